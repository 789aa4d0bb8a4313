"""The stations at which blade angles are read: a row for each blade at each position, and what makes a row complete."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, Literal, get_args

from pydantic import Field

from rotorkit.aircraft import Rotor
from rotorkit.aircraft.entries import Choice, Entry, Readings
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured
from rotorkit.quantities import Angle
from rotorkit.quantities.errors import shortened
from rotorkit.sheets.base import Row, SheetError
from rotorkit.sheets.rigging.protractor import mixed

if TYPE_CHECKING:
    from rotorkit.sheets.rigging.blade_angles import BladeAngles

__all__ = [
    "BY_REFERENCE",
    "FACING_ONE_WAY",
    "HIGH_STOP",
    "LOW_STOP",
    "NEUTRAL",
    "POSITIONS",
    "PROTRACTOR_READINGS",
    "TURNED_WITH_BLADE",
    "WAYS",
    "Position",
    "ReadStation",
    "Station",
    "Way",
    "blade_named",
    "expected_positions",
    "key_of",
    "limit_at",
    "read_stations",
]

Position = Literal["low stop", "neutral", "high stop"]
POSITIONS: tuple[str, ...] = get_args(Position)
LOW_STOP, NEUTRAL, HIGH_STOP = POSITIONS

Way = Literal[
    "reading less a reference surface",
    "half a turn apart, protractor turned with the blade",
    "half a turn apart, protractor kept facing one way",
]
WAYS: tuple[str, ...] = get_args(Way)
BY_REFERENCE, TURNED_WITH_BLADE, FACING_ONE_WAY = WAYS

PROTRACTOR_READINGS = Entry(
    Angle, ("deg", "deg"), ("-180 deg", "180 deg"), ("-45 deg", "45 deg"), by="protractor", repeats=True
)


class Station(Row):
    """One blade at one position of the control."""

    blade: str = Field("", title="Blade", description="Its name in the aircraft file, as marked on the blade.")
    position: Annotated[Position, Choice(options=POSITIONS)] = Field(
        title="Position", description="The control against its stop, or at neutral with the rigging pin in."
    )
    reading: Annotated[Readings | None, PROTRACTOR_READINGS] = Field(
        None,
        title="Reading",
        description=(
            "On the blade at the station that the manual names. Lift the protractor and set it on afresh for each "
            "repeat; part repeats by semicolons: 9.8; 9.9; 9.7 deg."
        ),
    )
    second: Annotated[Readings | None, PROTRACTOR_READINGS] = Field(
        None,
        title="Half a turn later",
        description="The same blade, station and control position, the rotor turned by half a turn.",
    )
    reference: Annotated[Readings | None, PROTRACTOR_READINGS] = Field(
        None,
        title="Reference",
        description=(
            "On a surface square to the shaft, the protractor held as on the blade and the rotor not turned in "
            "between. Leave it empty if one reference serves the whole sheet."
        ),
    )

    @property
    def given(self) -> list[str]:
        """The fields with a reading in them."""
        return [name for name in ("reading", "second", "reference") if getattr(self, name) is not None]


def expected_positions(rotor: Rotor) -> tuple[str, ...]:
    """The positions at which a rotor is to be read: both stops, and neutral where it has a limit."""
    return POSITIONS if rotor.limits.neutral is not None else (LOW_STOP, HIGH_STOP)


def limit_at(rotor: Rotor, position: str) -> Limit | None:
    """The limit of the blade angle at a position."""
    found: Limit | None = getattr(rotor.limits, key_of(position))
    return found


def key_of(name: str) -> str:
    """A name as it stands in a finding's key."""
    return re.sub(r"\W+", "_", name.strip())


@dataclass
class ReadStation:
    """A station with its readings, and what comes of them."""

    row: int
    blade: str
    position: str
    station: Station
    angle: Measured = field(init=False)

    @property
    def words(self) -> str:
        return f"blade {self.blade}, {self.position}"


def read_stations(sheet: BladeAngles, rotor: Rotor) -> list[ReadStation]:
    """The rows with a reading. Raises `SheetError` with every row that is half filled in, and every field missing."""
    problems: list[tuple[str, str]] = []
    found: dict[tuple[str, str], ReadStation] = {}
    for i, station in enumerate(sheet.stations):
        at = f"stations.{i}"
        faults = _faults(station, sheet)
        blade = blade_named(station.blade, rotor)
        if blade is None and (station.blade.strip() or station.given):
            names = ", ".join(rotor.blades)
            faults.append(
                ("blade", f"is no blade of the {sheet.rotor}: it has {names}; got {shortened(station.blade)}")
            )
        elif blade is not None and station.reading is not None:
            key = blade, station.position
            if key in found:
                there = f"blade {blade} at the {station.position} stands in row {found[key].row + 1} already"
                faults.append(("position", f"{there}: write repeats into one row, parted by semicolons"))
            else:
                found[key] = ReadStation(i, blade, station.position, station)
        problems += [(f"{at}.{name}", message) for name, message in faults]
    for name in ("reference", "zero", "zero_turned"):
        problems += mixed(name, getattr(sheet, name))
    if sheet.zero is None and sheet.way == TURNED_WITH_BLADE:
        problems.append(("zero", "is needed: with the protractor turned with the blade its zero does not cancel"))
    elif sheet.zero is None and sheet.zero_turned is not None:
        problems.append(("zero", "is missing: the same surface was read with the protractor end for end"))
    if not found and not problems:
        problems.append(("stations.0.reading" if sheet.stations else "stations", "needs a reading: none is taken yet"))
    if problems:
        raise SheetError(problems)
    return list(found.values())


def _faults(station: Station, sheet: BladeAngles) -> list[tuple[str, str]]:
    """(field, message) for each field of a row that is missing, or that the way of reading has no use for."""
    found: list[tuple[str, str]] = []
    by_reference = sheet.way == BY_REFERENCE
    for name in station.given:
        found += mixed(name, getattr(station, name))
    if station.given and station.reading is None:
        others = " and ".join(Station.model_fields[name].title or name for name in station.given)
        found.append(("reading", f"is missing: the row has {others}"))
    unused = "second" if by_reference else "reference"
    if unused in station.given:
        found.append((unused, f"is not used by the way of reading {sheet.way!r}: clear it, or change the way"))
    if station.reading is not None and by_reference and station.reference is None and sheet.reference is None:
        found.append(("reference", "is needed: the reference reading of this row, or one for the whole sheet"))
    if station.reading is not None and not by_reference and station.second is None:
        found.append(("second", "is needed: the reading of the same blade half a turn later"))
    return found


def blade_named(name: str, rotor: Rotor) -> str | None:
    """The rotor's blade of that name, capitals aside; None where there is none."""
    name = name.strip()
    if name in rotor.blades:
        return name
    alike = [blade for blade in rotor.blades if blade.casefold() == name.casefold()]
    return alike[0] if len(alike) == 1 else None
