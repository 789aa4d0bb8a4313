"""An entry of the record: what was done, with what, what came out, and what that rested on."""

from __future__ import annotations

import functools
import json
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from pydantic import ValidationError

from rotorkit import __version__
from rotorkit.aircraft import Aircraft
from rotorkit.entries import Readings, message_of
from rotorkit.quantities import Reading, display_system
from rotorkit.record.chain import Sealed, hash_of
from rotorkit.record.dumps import kind_name, outcome_dump, outcome_restored
from rotorkit.record.errors import RESTORE, UNTOUCHED, RecordError
from rotorkit.sheets.base import Field, Finding, Outcome, Row, Sheet, fields_of
from rotorkit.visible import in_a_line

__all__ = ["Entry", "InstrumentUsed", "Understood", "aircraft_of", "snapshot", "walk"]

MEASURING = ("title", "serial", "measures", "uncertainty", "shared", "stated_as", "calibrated", "due")


@dataclass(frozen=True)
class Understood:
    """A reading: the field's path and title, the text as typed, and what was understood."""

    path: str
    title: str
    typed: str
    understood: str


@dataclass(frozen=True)
class InstrumentUsed:
    """An instrument as it stood: its key in the aircraft file and the fields it was named in; texts as in that file."""

    key: str
    fields: tuple[str, ...]
    title: str
    serial: str
    measures: str
    uncertainty: str
    shared: str | None
    stated_as: str
    calibrated: str | None
    due: str | None


@dataclass(frozen=True)
class Entry:
    """One saved check. What it holds never changes; a correction is another entry that names this one."""

    sealed: Sealed
    hash: str

    @property
    def number(self) -> int:
        return self.sealed.number

    @property
    def check(self) -> str:
        """Which job of the aircraft: the check's name."""
        return self.sealed.check

    @property
    def replaces(self) -> int | None:
        """The number of the entry that this one corrects."""
        return self.sealed.replaces

    @property
    def aircraft_file(self) -> str:
        """SHA-256 of the aircraft file as it stood; its text is kept in the record."""
        return self.sealed.aircraft_file

    @property
    def saved(self) -> datetime:
        """When, in UTC."""
        return datetime.fromisoformat(self.sealed.saved)

    @property
    def local(self) -> datetime:
        """When, on the clock of the place, with its offset."""
        return datetime.fromisoformat(self.sealed.local)

    @functools.cached_property
    def whole(self) -> bool:
        """Whether the entry is as it was saved: its text gives its hash."""
        return hash_of(self.sealed) == self.hash

    @functools.cached_property
    def work(self) -> dict[str, Any]:
        """All that was kept, as plain values. Raises `RecordError` where it was altered so that it cannot be read."""
        try:
            found: dict[str, Any] = json.loads(self.sealed.work)
        except ValueError:
            raise RecordError(
                f"Entry {self.number} cannot be read: it was altered after it was saved. {UNTOUCHED} {RESTORE}"
            ) from None
        return found

    @property
    def title(self) -> str:
        return str(self.work["title"])

    @property
    def sheet(self) -> str:
        """The sheet's name."""
        return str(self.work["sheet"]["name"])

    @property
    def sheet_version(self) -> int:
        return int(self.work["sheet"]["version"])

    @property
    def readings(self) -> dict[str, Any]:
        """The readings as typed, by field: what a form is filled with again."""
        found: dict[str, Any] = self.work["readings"]
        return found

    @property
    def understood(self) -> list[Understood]:
        """Each reading as typed and as understood, in the sheet's order."""
        return [Understood(r["path"], r["title"], r["typed"], r["understood"]) for r in self.work["understood"]]

    @property
    def instruments(self) -> list[InstrumentUsed]:
        return [InstrumentUsed(**{**one, "fields": tuple(one["fields"])}) for one in self.work["instruments"]]

    @functools.cached_property
    def outcome(self) -> Outcome:
        """Findings, worked steps, pictures and remarks as they stood."""
        return outcome_restored(self.title, self.work["outcome"])

    @property
    def findings(self) -> list[Finding]:
        return self.outcome.findings

    @property
    def word(self) -> str:
        """The worst verdict."""
        return str(self.work["outcome"]["word"])

    @property
    def who(self) -> str:
        return str(self.work["who"])

    @property
    def note(self) -> str:
        return str(self.work["note"])

    @property
    def why(self) -> str:
        """Why it replaces another."""
        return str(self.work["why"])

    @property
    def rotorkit(self) -> str:
        """The version of the program."""
        return str(self.work["rotorkit"])

    @property
    def aircraft(self) -> dict[str, str]:
        """Name, serial number and registration of the aircraft as they stood."""
        return {key: str(text) for key, text in self.work["aircraft"].items()}

    def __repr__(self) -> str:
        said = f"<entry {self.number}, {self.check}, {self.sealed.local[:16]}: {self.word}>"
        return in_a_line(said)


@functools.lru_cache(maxsize=16)
def aircraft_of(text: str) -> Aircraft:
    """The aircraft in the text of an aircraft file. Raises `RecordError` where this version cannot read it."""
    try:
        return Aircraft.model_validate(tomllib.loads(text))
    except ValidationError as problem:
        faults = [f"[{'.'.join(map(str, e['loc']))}] {message_of(e)}" for e in problem.errors(include_url=False)]
        raise RecordError("the aircraft file cannot be read: " + "; ".join(faults)) from None
    except tomllib.TOMLDecodeError as problem:
        raise RecordError(f"the aircraft file cannot be read: {problem}") from None


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
