"""The stations at which blade angles are read: a row for each blade at each position, and what makes a row complete."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Annotated, Literal, get_args

from pydantic import Field

from rotorkit.aircraft import Rotor
from rotorkit.aircraft.entries import Choice, Readings
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured
from rotorkit.sheets.base import Row
from rotorkit.sheets.rigging.protractor import PROTRACTOR_READINGS
from rotorkit.sheets.working import key_of

__all__ = [
    "BY_REFERENCE",
    "FACING_ONE_WAY",
    "HIGH_STOP",
    "LOW_STOP",
    "NEUTRAL",
    "POSITIONS",
    "TURNED_WITH_BLADE",
    "WAYS",
    "Position",
    "ReadStation",
    "Station",
    "StationRow",
    "Way",
    "expected_positions",
    "limit_at",
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


class StationRow(Row):
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


Station = StationRow
"""Its earlier name."""


def expected_positions(rotor: Rotor) -> tuple[str, ...]:
    """The positions at which a rotor is to be read: both stops, and neutral where it has a limit."""
    return POSITIONS if rotor.limits.neutral is not None else (LOW_STOP, HIGH_STOP)


def limit_at(rotor: Rotor, position: str) -> Limit | None:
    """The limit of the blade angle at a position."""
    found: Limit | None = getattr(rotor.limits, key_of(position))
    return found


@dataclass
class ReadStation:
    """A station with its readings, and what comes of them."""

    row: int
    blade: str
    position: str
    station: StationRow
    angle: Measured = field(init=False)

    @property
    def words(self) -> str:
        return f"blade {self.blade}, {self.position}"
