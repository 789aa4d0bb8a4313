"""What an entry keeps of a worked sheet, as plain values."""

from __future__ import annotations

import functools
from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

from rotorkit import __version__
from rotorkit.aircraft import file
from rotorkit.aircraft.entries import Readings
from rotorkit.aircraft.file import AircraftFileError
from rotorkit.quantities import Reading, display_system
from rotorkit.record.dumps import kind_name, outcome_dump
from rotorkit.record.errors import RecordError
from rotorkit.sheets.base import Field, Outcome, Row, Sheet, fields_of

if TYPE_CHECKING:
    from rotorkit.aircraft import Aircraft


MEASURING = ("title", "serial", "measures", "uncertainty", "shared", "stated_as", "calibrated", "due")


@functools.lru_cache(maxsize=16)
def aircraft_of(text: str) -> Aircraft:
    """The aircraft in the text of an aircraft file. Raises `RecordError` where this version cannot read it."""
    try:
        return file.aircraft_of(text)
    except AircraftFileError as problem:
        raise RecordError("the aircraft file cannot be read: " + "; ".join(str(problem).splitlines())) from None


def walk(model: Sheet | Row, prefix: str = "") -> Iterator[tuple[str, Field, Any]]:
    """(path, field, value) of every field of a sheet, those of its rows included ("stations.2.reading")."""
    for one in fields_of(type(model)):
        value = getattr(model, one.name)
        if one.row is None:
            yield prefix + one.name, one, value
        else:
            for i, row in enumerate(value):
                yield from walk(row, f"{prefix}{one.name}.{i}.")


def snapshot(
    sheet: Sheet, outcome: Outcome, aircraft: Aircraft, who: str, note: str, why: str, title: str
) -> dict[str, Any]:
    """All that an entry keeps of a worked sheet, as plain values."""
    identity = aircraft.aircraft
    return {
        "title": title or outcome.title,
        "sheet": {"name": type(sheet).name, "version": type(sheet).version, "title": outcome.title},
        "aircraft": {"name": identity.name, "serial": identity.serial, "registration": identity.registration},
        "readings": sheet.readings(),
        "understood": [_understood(path, one, value) for path, one, value in walk(sheet) if value is not None],
        "instruments": _instruments(sheet, aircraft),
        "outcome": outcome_dump(outcome),
        "who": who,
        "note": note,
        "why": why,
        "display": display_system(),
        "rotorkit": __version__,
    }


def _understood(path: str, one: Field, value: Any) -> dict[str, Any]:
    if isinstance(value, (Reading, Readings)):
        many = list(value) if isinstance(value, Readings) else [value]
        return {
            "path": path,
            "title": one.title,
            "typed": value.typed,
            "understood": value.understood,
            "kind": kind_name(many[0].kind) if many else "",
            "values": [reading.si for reading in many],
            "si_unit": many[0].kind.si if many else "",
        }
    text = value if isinstance(value, str) else str(value)
    return {
        "path": path,
        "title": one.title,
        "typed": text,
        "understood": text,
        "kind": "",
        "values": [],
        "si_unit": "",
    }


def _instruments(sheet: Sheet, aircraft: Aircraft) -> list[dict[str, Any]]:
    """The instruments that the sheet's fields name, each once, with the fields."""
    used: dict[str, list[str]] = {}
    for path, one, value in walk(sheet):
        if one.choice is not None and one.choice.of == "instruments" and value:
            used.setdefault(str(value), []).append(path)
    return [
        {"key": key, "fields": paths, **instrument_dump(aircraft.instruments[key])}
        for key, paths in used.items()
        if key in aircraft.instruments
    ]


def instrument_dump(instrument: Any) -> dict[str, Any]:
    """What of an instrument a figure rests on, as texts."""
    found: Mapping[str, Any] = {name: getattr(instrument, name) for name in MEASURING}
    return {name: value if value is None or isinstance(value, str) else str(value) for name, value in found.items()}
