"""The figures of the aircraft file one by one, for whoever asks a person for them: what each holds, in which section it
stands, and how what was typed is written into the file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum
from typing import Any, Literal, get_args, get_origin

from pydantic.fields import FieldInfo

from rotorkit.aircraft.controls import (
    ControlLimits,
    Hub,
    PitchLinks,
    PushPullTube,
    Rod,
    Swashplate,
    TravelLimits,
    Turnbuckle,
)
from rotorkit.aircraft.drive_parts import Belt, Coupling, DriveBearing, DriveLink, DriveShaft, LagHinge
from rotorkit.aircraft.entries import Choice, Entry, Figures, LimitEntry, Section
from rotorkit.aircraft.instruments import GaugeTable, Instrument
from rotorkit.aircraft.loading import EnvelopeLines, LoadingFigures
from rotorkit.aircraft.milestones import Milestone
from rotorkit.aircraft.model import Aircraft, Cable
from rotorkit.aircraft.performance_figures import Airframe, BladeShape, PowerRows
from rotorkit.aircraft.recorders import RecordedColumn, Recorder
from rotorkit.aircraft.said import figure_title, figure_words

BLOCKS: dict[str, tuple[str, type[Figures]]] = {
    "cables": ("cable", Cable),
    "push_pull_tubes": ("push-pull tube", PushPullTube),
    "belts": ("belt drive", Belt),
    "shafts": ("shaft", DriveShaft),
    "couplings": ("coupling", Coupling),
    "bearings": ("bearing", DriveBearing),
    "links": ("link of the drive", DriveLink),
    "instruments": ("instrument", Instrument),
    "main_rotor.rods": ("rod or stop of the main rotor", Rod),
    "tail_rotor.rods": ("rod or stop of the tail rotor", Rod),
}
"""What a builder may have several of, each under a name of its own: what one is called, and what it holds."""
_LISTS = ("blades", "fairleads", "pulleys", "hangers", "absent")
_YES, _NO = "yes", "no"
_OPTIONAL: dict[str, type[Section]] = {
    "main_rotor.blade": BladeShape,
    "tail_rotor.blade": BladeShape,
    "main_rotor.pitch_links": PitchLinks,
    "tail_rotor.pitch_links": PitchLinks,
    "main_rotor.swashplate": Swashplate,
    "main_rotor.lag": LagHinge,
    "main_rotor.hub": Hub,
    "engine.power_table": PowerRows,
    "airframe": Airframe,
    "loading": LoadingFigures,
}
_ALWAYS = ("aircraft", "main_rotor", "tail_rotor", "drive", "engine", "weights", "performance")


class _OnlyRows(Section):
    """A part of the aircraft file that holds rows and no figure beside them."""


@dataclass(frozen=True)
class Asked:
    """One figure as it is asked for. place: dotted. One of entry, limit, options, or plain text; said: the options in
    words, where they differ; many: a list of texts, separated by commas; whole: a whole number; number: any plain
    number; truth: true or false, picked as yes or no. needed: whether a job may wait for it."""

    place: str
    title: str
    words: str
    needed: bool
    entry: Entry | None = None
    limit: LimitEntry | None = None
    options: tuple[str, ...] = ()
    many: bool = False
    whole: bool = False
    said: tuple[str, ...] = ()
    number: bool = False
    truth: bool = False


def key_for(title: str, there: Any = ()) -> str:
    """The name of a new block from its title: lower-case letters and digits, separated by underscores, not one of those
    that are there.

    >>> key_for("Anti-torque cable, left", ["anti_torque_cable_left"])
    'anti_torque_cable_left_2'
    """
    name = re.sub(r"[^a-z0-9]+", "_", title.lower()).strip("_") or "one"
    found, number = name, 2
    while found in there:
        found, number = f"{name}_{number}", number + 1
    return found


def sections_of(aircraft: Aircraft) -> dict[str, type[Section]]:
    """Every section that can be asked for, by its place: those that any aircraft has, those that are optional, and each
    cable, tube, rod and instrument that the file names."""
    found: dict[str, type[Section]] = {}
    for name in _ALWAYS:
        found[name] = type(getattr(aircraft, name))
        found |= {place: model for place, model in _OPTIONAL.items() if place.startswith(f"{name}.")}
        if name == "engine":
            found["airframe"] = Airframe
            found["measured_hovers"] = _OnlyRows
        if name == "weights":
            found["loading"] = LoadingFigures
            envelopes = aircraft.loading.envelopes if aircraft.loading is not None else []
            found |= _listed("loading.envelopes", len(envelopes), EnvelopeLines)
    for table, (_, model) in BLOCKS.items():
        for key in _blocks(aircraft, table):
            found[f"{table}.{key}"] = model
            if model is Cable:
                found[f"{table}.{key}.turnbuckle"] = Turnbuckle
            if model is Instrument and (tables := aircraft.instruments[key].tables):
                found |= _listed(f"{table}.{key}.tables", len(tables), GaugeTable, another=False)
    found["controls"], found["control_limits"] = _OnlyRows, ControlLimits
    found |= {f"control_limits.travel.{name}": TravelLimits for name in aircraft.controls}
    found |= {f"recorders.{name}": Recorder for name in aircraft.recorders}
    return found | _listed("milestones", len(aircraft.milestones), Milestone)


def _listed(place: str, count: int, model: type[Section], another: bool = True) -> dict[str, type[Section]]:
    """The parts of a list of tables by their numbers, and the place of another one."""
    return {f"{place}.{i}": model for i in range(count + another)}


def _blocks(aircraft: Aircraft, table: str) -> dict[str, Any]:
    at: Any = aircraft
    for name in table.split("."):
        at = getattr(at, name)
    return dict(at)


def asked_in(place: str, model: type[Section]) -> Iterator[Asked]:
    """Each figure of a section, the needed ones first; then its limits."""
    needed = _needed(model)
    rest = [name for name in model.model_fields if name not in needed]
    for name in [*needed, *rest]:
        if (one := asked_of(f"{place}.{name}", model, name)) is not None:
            yield one
    if model is Recorder:
        yield from (one for one in asked_in(f"{place}.time", RecordedColumn) if not one.place.endswith(".uncertainty"))
    limits = model.model_fields.get("limits")
    if limits is not None and isinstance(kind := limits.annotation, type) and issubclass(kind, Section):
        yield from asked_in(f"{place}.limits", kind)


def asked_at(place: str, aircraft: Aircraft) -> Asked | None:
    """One figure by its place; None where nothing of that name can be asked for."""
    table, _, key = place.rpartition(".")
    model = sections_of(aircraft).get(table)
    return None if model is None or key not in model.model_fields else asked_of(place, model, key)


def limits_asked(place: str, aircraft: Aircraft) -> list[Asked]:
    """What is asked for at a place of the file that figures are judged by: one limit, or all that stand there."""
    sections = sections_of(aircraft)
    if place in sections:
        return [one for one in asked_in(place, sections[place]) if one.limit is not None]
    table, _, key = place.rpartition(".")
    model = sections.get(table)
    if model is None and table.endswith(".limits"):
        found = limits_asked(table, aircraft)
        return [one for one in found if one.place == place]
    if model is None or key not in model.model_fields:
        return []
    if key == "limits":
        return [one for one in asked_in(table, model) if one.place.startswith(f"{place}.")]
    one = asked_of(place, model, key)
    return [] if one is None else [one]


def _needed(model: type[Section]) -> list[str]:
    """The figures of a section that a job may wait for, or that it cannot be without."""
    if issubclass(model, Figures):
        return model.needed_figures()
    return [name for name, info in model.model_fields.items() if info.is_required()]


def asked_of(place: str, model: type[Section], key: str) -> Asked | None:
    """One field of a section as it is asked for; None where it holds rows or a section of its own."""
    return _asked(place, model.model_fields[key], key in _needed(model))


def _asked(place: str, info: FieldInfo, needed: bool) -> Asked | None:
    key = place.rpartition(".")[2]
    said: dict[str, Any] = {
        "place": place,
        "title": figure_title(place),
        "words": figure_words(place),
        "needed": needed,
    }
    for mark in info.metadata:
        if isinstance(mark, Entry):
            return Asked(**said, entry=mark)
        if isinstance(mark, LimitEntry):
            return Asked(**said, limit=mark)
        if isinstance(mark, Choice):
            return Asked(**said, options=mark.options)
    if key in _LISTS:
        return Asked(**said, many=True)
    if get_origin(info.annotation) in (dict, list):
        return None
    if info.annotation is bool:
        return Asked(**said, options=(_YES, _NO), truth=True)
    kinds = _kinds(info.annotation)
    options = tuple(one for kind in kinds for one in _options(kind))
    if options:
        if key in ("positive_blade_angle", "protractor_reads_positive"):
            boom = place.startswith("tail_rotor")
            options = tuple(one for one in options if ("boom" in one) is boom)
        return Asked(**said, options=options)
    if int in kinds:
        return Asked(**said, whole=True)
    if str in kinds or any(getattr(kind, "__name__", "") == "date" for kind in kinds):
        return Asked(**said)
    return None


def _kinds(annotation: Any) -> list[Any]:
    if get_origin(annotation) is Literal or isinstance(annotation, type):
        return [annotation]
    return [one for part in get_args(annotation) for one in _kinds(part)]


def _options(kind: Any) -> tuple[str, ...]:
    if get_origin(kind) is Literal:
        return tuple(map(str, get_args(kind)))
    if isinstance(kind, type) and issubclass(kind, Enum):
        return tuple(str(one.value) for one in kind)
    return ()


def written(asked: Asked, text: str) -> Any:
    """How what was typed is written into the file; None for what is left empty, which takes the key out.

    >>> written(Asked("main_rotor.blades", "Blades", "", True, many=True), "white, yellow; red")
    ['white', 'yellow', 'red']
    """
    text = text.strip()
    if not text:
        return None
    if asked.many:
        return [] if text == "none" else [part.strip() for part in re.split("[,;]", text) if part.strip()]
    if asked.entry is not None:
        text = text.replace("degF", "°F").replace("degC", "°C")  # as a person writes it
    if asked.whole and re.fullmatch(r"-?\d+", text):
        return int(text)
    if asked.number and re.fullmatch(r"-?\d+(\.\d+)?", text):
        return float(text) if "." in text else int(text)
    if asked.truth:
        return text == _YES
    return text


def stands(given: Any) -> str:
    """What stands in the file, as it is typed into a field."""
    if isinstance(given, bool):
        return _YES if given else _NO
    if isinstance(given, list):
        return ", ".join(map(str, given)) if given else ""
    return "" if given is None else str(given)
