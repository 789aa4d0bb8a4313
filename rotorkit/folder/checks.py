"""A builder's working folder: the aircraft file, and the readings typed into a text file beside it.

``readings.toml`` holds checks by name, each with its sheet and its readings as typed::

    [tail_rotor_angles]
    sheet = "blade_angles"
    title = "Tail rotor, after fitting the pitch links"
    rotor = "tail rotor"
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rotorkit.aircraft.entries import twin
from rotorkit.aircraft.file import AircraftFileError, load_aircraft, tables_of, text_of
from rotorkit.aircraft.place import AIRCRAFT_FILE, demo_folder, nearest_folder
from rotorkit.aircraft.places import line_numbers
from rotorkit.edges.kept import known, note, our_code
from rotorkit.edges.received import is_there
from rotorkit.edges.visible import in_a_line
from rotorkit.folder.workings import Workings
from rotorkit.quantities import QuantityError
from rotorkit.sheets.base import Outcome, Sheet, SheetError
from rotorkit.sheets.catalogue import sheet_type

if TYPE_CHECKING:
    from rotorkit.aircraft import Aircraft

READINGS_FILE = "readings.toml"
LIMITS_READ = "limits-read"

LONGEST_NAME = 200


def name_fault(name: str) -> str:
    """What is wrong with the name of a check; empty where nothing is. By its name a check is picked, saved and found
    again, so it is one line of what can be seen."""
    if not name.strip():
        return "a check needs a name"
    if len(name) > LONGEST_NAME:
        return f"the name of a check may have at most {LONGEST_NAME} characters, got {name[:40]}…"
    if in_a_line(name) != name:
        return f"the name of a check is one line of what can be seen, got {in_a_line(name)}"
    return ""


@dataclass(frozen=True)
class Check:
    """One check of the folder: its name, title, sheet's name and readings as typed."""

    name: str
    title: str
    sheet: str
    readings: Mapping[str, Any]

    @property
    def blank(self) -> bool:
        """Whether no reading of it is filled in yet. One of an unknown sheet is not blank: working it says what is
        wrong."""
        try:
            return sheet_type(self.sheet).is_blank(self.readings)
        except SheetError:
            return False

    def made(self) -> Sheet:
        """The sheet. Raises `SheetError`."""
        return sheet_type(self.sheet).from_readings(self.readings)

    def outcome(self, aircraft: Aircraft, workings: Workings | None = None) -> Outcome:
        """The sheet worked; workings, what was worked of the same checks a moment ago. Raises `SheetError`."""
        sheet = self.made()
        return sheet.work(aircraft) if workings is None else workings.outcome(sheet, aircraft)


class Folder:
    """A working folder. path: the folder itself."""

    def __init__(self, path: Path | str) -> None:
        self.path = Path(path)

    @classmethod
    def here(cls, start: Path | str = ".") -> Folder:
        """The nearest folder, from `start` upwards, that holds an aircraft file; the demo where there is none."""
        return cls(nearest_folder(start))

    @property
    def is_demo(self) -> bool:
        """Whether this is the demo inside the package, which nobody writes to."""
        return self.path == demo_folder()

    @cached_property
    def aircraft(self) -> Aircraft:
        """The aircraft. Raises `AircraftFileError`, also where a sheet's own limits cannot be read."""
        aircraft = load_aircraft(self.path)
        # looked at with the sheets that read them, of which nearly all would have to be loaded: once for these limits
        of = {name: repr((name, given, our_code())) for name, given in aircraft.limits.items()}
        new = [name for name in of if not known(LIMITS_READ, of[name])]
        if faults := limit_faults(aircraft, new):
            raise AircraftFileError("\n".join(faults))
        for name in new:
            note(LIMITS_READ, of[name])
        return aircraft

    @cached_property
    def checks(self) -> list[Check]:
        """The checks of the readings file, in its order; none where there is no such file."""
        file = self.path / READINGS_FILE
        if not is_there(file):
            return []
        return [
            Check(name, title, sheet, twin(readings))
            for name, title, sheet, readings in _checks_in(file.name, text_of(file))
        ]

    def check(self, name: str) -> Check:
        """A check by its name."""
        for one in self.checks:
            if one.name == name:
                return one
        raise SheetError(
            [("", f"{READINGS_FILE} has no check {name!r}: it has {', '.join(c.name for c in self.checks)}")]
        )

    def first(self, sheet: str) -> Check | None:
        """The first check of a sheet, or None."""
        return next((one for one in self.checks if one.sheet == sheet), None)


@lru_cache(maxsize=16)
def _checks_in(file: str, text: str) -> list[tuple[str, str, str, dict[str, Any]]]:
    """Name, title, sheet and readings of each check in a text, which is read once in a program. file: its name, for
    messages. Raises `AircraftFileError`."""
    found, faults = [], []
    for name, table in tables_of(Path(file), text).items():
        if fault := name_fault(name):
            faults.append((name, f"[{name}] {fault}: write for example [pedal_left_tension]"))
        elif isinstance(table, list):
            faults.append((name, f"[[{name}]] needs single brackets: a check is headed [{name}]"))
        elif not isinstance(table, dict):
            faults.append((name, f"{name} belongs to no check: put it below a line with the check's name, [my_check]"))
        elif not isinstance(table.get("sheet"), str) or not table["sheet"].strip():
            faults.append((name, f'[{name}] needs the name of its sheet, for example sheet = "cable_tension"'))
        else:
            readings = {key: value for key, value in table.items() if key not in ("sheet", "title")}
            title = str(table.get("title", "")).strip() or name.replace("_", " ").capitalize()
            found.append((name, title, table["sheet"], readings))
    if faults:
        lines = line_numbers(text)  # looked for only where there is a line to be told: it takes as long as the reading
        told = [f"{file} line {lines.get((name,), 0)}: {said}" for name, said in faults]
        raise AircraftFileError("\n".join(map(in_a_line, told)))
    return found


def limit_faults(aircraft: Aircraft, names: Iterable[str]) -> list[str]:
    """What is wrong with the limits that single sheets read, ``[limits.NAME]``, each fault with what to write. names:
    those that are looked at."""
    faults = []
    for name in names:
        given, at = aircraft.limits[name], f"{AIRCRAFT_FILE}: [limits.{name}]"
        try:
            sheet = sheet_type(name)
        except SheetError as problem:
            faults.append(f"{at} {problem.problems[0][1]}")
            continue
        for key in given:
            if key not in sheet.limits:
                there = ", ".join(sheet.limits) or "none"
                faults.append(f"{at} {in_a_line(key)} is not known here: the limits of this check are {there}")
                continue
            try:
                sheet.limit(key, aircraft)
            except QuantityError as problem:
                faults.append(str(problem).replace("aircraft file:", f"{AIRCRAFT_FILE}:"))
    return faults
