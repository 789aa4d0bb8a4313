"""The parts of the aircraft file as its form shows them: their order, names, fields and figures."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.asked import BLOCKS, Asked, asked_in, limits_asked, sections_of
from rotorkit.aircraft.asked_rows import AskedRows, rows_in, with_options
from rotorkit.aircraft.entries import Figures, Section
from rotorkit.aircraft.milestones import Milestone
from rotorkit.pictures.figures import measuring, of_the_aircraft
from rotorkit.sheets.base import Sheet
from rotorkit.sheets.catalogue import sheets_in_order

OF_SHEETS = "limits."
LISTED = {
    "loading.envelopes": ("loading: envelope", "another envelope"),
    "milestones": ("milestone", "another milestone"),
}
"""Lists of which the form shows each part: what one is called, and what is picked to begin another."""
_NOT_REMOVED = ("aircraft", "main_rotor", "tail_rotor", "drive", "engine", "weights", "performance", "controls")
_FIGURES = {
    "main_rotor": "blade_angles",
    "main_rotor.blade": "hover_margin",
    "main_rotor.pitch_links": "pitch_rigging",
    "main_rotor.rods": "pitch_rigging",
    "main_rotor.swashplate": "cyclic_range",
    "main_rotor.lag": "ground_resonance",
    "tail_rotor": "anti_torque_margin",
    "tail_rotor.pitch_links": "pitch_rigging",
    "tail_rotor.rods": "pitch_rigging",
    "drive": "shaft_speeds",
    "measured_hovers": "hover_margin",
    "recorders": "run_up",
    "weights": "weigh_in",
    "loading": "loading",
    "cables": "cable_rigging",
    "push_pull_tubes": "push_pull_tubes",
    "belts": "belt_tension",
    "shafts": "shaft_whirl",
    "couplings": "coupling_alignment",
    "bearings": "bearing_life",
    "links": "shaft_speeds",
    "controls": "control_corners",
    "control_limits": "control_corners",
    "control_limits.travel": "control_travel",
    "airframe": "level_flight",
}
"""The sheet whose figure shows what a part's figures are, by the part's place or its beginning."""
_OWN_FIGURES = {
    "engine.power_table": of_the_aircraft.power_table,
    "engine": of_the_aircraft.engine,
    "performance": of_the_aircraft.performance,
    "milestones": of_the_aircraft.milestones,
}
"""Parts with a figure that is no sheet's, the finer place first."""
_MEASURED = {
    "angle": "blade_angles",
    "cable tension": "cable_tension",
    "mass": "weigh_in",
    "vibration": "one_plane_balance",
}


def sections(aircraft: Aircraft) -> dict[str, type[Section]]:
    """Every part that can be shown, by its place: those of the file, and the limits that single jobs have."""
    own = {f"{OF_SHEETS}{sheet.name}": Section for sheet in sheets_in_order() if sheet.limits}
    found = sections_of(aircraft)
    before = {place: model for place, model in found.items() if not place.startswith("milestones")}
    return {**before, **own, **found}


def title_of(place: str, aircraft: Aircraft) -> str:
    """A part by its name, with what is still to be filled in."""
    at = _at(aircraft, place)
    head, _, last = place.rpartition(".")
    if head in LISTED:
        one, another = LISTED[head]
        return f"{one}: {at.title}" if at is not None else another
    if place.startswith(OF_SHEETS):
        sheet = next(one for one in sheets_in_order() if one.name == last)
        return f"limits: {sheet.about.title}"
    title = place.replace(".tables.", ": calibration table ").replace("_", " ").replace(".", ": ")
    if ".tables." in place:
        title = f"{title[: -len(last)]}{int(last) + 1}"
    lacking = len(at.lacking()) if isinstance(at, Figures) else 0
    if at is None or (place in ("measured_hovers", "controls") and not at):
        return f"{title} (optional, not there yet)"
    return f"{title} ({lacking} to be filled in)" if lacking else title


def _at(aircraft: Aircraft, place: str) -> Any:
    at: Any = aircraft
    for name in place.split("."):
        if isinstance(at, Mapping):
            at = at.get(name)
        elif isinstance(at, list):
            at = at[int(name)] if int(name) < len(at) else None
        else:
            at = getattr(at, name, None)
    return at


def fields_of_section(place: str, model: type[Section], aircraft: Aircraft) -> tuple[list[Asked], list[AskedRows]]:
    """The figures of a part, and its tables of rows."""
    if place.startswith(OF_SHEETS):
        return _own_limits(place), []
    tables = list(rows_in(place, model, aircraft))
    if model is Milestone:
        jobs = {sheet.name: sheet.about.title for sheet in sheets_in_order()}
        tables = [with_options(one, "sheet", jobs) for one in tables]
    return list(asked_in(place, model)), tables


def _own_limits(place: str) -> list[Asked]:
    """The limits that a job has of its own, by their place in the file: "limits.compression"."""
    sheet = next(one for one in sheets_in_order() if f"{OF_SHEETS}{one.name}" == place)
    return [
        Asked(f"{place}.{key}", key.replace("_", " "), one.comment, False, limit=one)
        for key, one in sheet.limits.items()
    ]


def limits_of(sheet: type[Sheet], picked: Mapping[str, str], aircraft: Aircraft) -> list[Asked]:
    """What a job's figures are judged by, wherever the aircraft file has it. picked: the form's choices."""
    found: list[Asked] = []
    for place in sheet.limits_used(picked):
        found += _own_limits(place) if place.startswith(OF_SHEETS) else limits_asked(place, aircraft)
    return found


def figure_of(place: str, aircraft: Aircraft) -> str:
    """The figure that shows what a part's figures are, as SVG text; empty where none is drawn."""
    if place.startswith(OF_SHEETS):
        return measuring(place.removeprefix(OF_SHEETS))
    if place.startswith("instruments."):
        one = aircraft.instruments.get(place.split(".")[1])
        what = one.measures if one is not None and one.has("measures") else ""
        return measuring(_MEASURED.get(what, "")) or of_the_aircraft.instrument(what)
    own = next((draw for start, draw in _OWN_FIGURES.items() if place == start or place.startswith(f"{start}.")), None)
    if own is not None:
        return own()
    beginnings = (place.rsplit(".", cut)[0] for cut in range(place.count(".") + 1))
    sheet = next((_FIGURES[one] for one in beginnings if one in _FIGURES), "")
    return measuring(sheet)


def movable(place: str) -> bool:
    """Whether a part stands among others of its kind, whose order is that of every list in which they are picked."""
    return place.rpartition(".")[0] in (*BLOCKS, *LISTED, "recorders")


def removable(place: str) -> bool:
    """Whether a part is one that the file can be without."""
    return place not in _NOT_REMOVED and not place.startswith(OF_SHEETS)
