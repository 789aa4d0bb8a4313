"""Instruments: what each measures, how well, and until when its calibration holds."""

from __future__ import annotations

import math
from datetime import date
from typing import Annotated, Any, Literal

from pydantic import Field, field_validator, model_validator

from rotorkit.aircraft.entries import Entry, Figures, NeededText, Section, as_date, needed
from rotorkit.judging.measured import COVERAGE, STATED_AS, Measured, measured
from rotorkit.quantities import (
    Angle,
    Force,
    Kind,
    Length,
    Mass,
    Pressure,
    QuantityError,
    Ratio,
    Reading,
    RotationRate,
    Speed,
    Temperature,
    difference_kind,
    from_si,
    read,
    required_kind,
    written_share,
)
from rotorkit.rigging.gauge import CalibrationTable
from rotorkit.rigging.repeats import shared_error

MEASURES: dict[str, Any] = {
    "angle": Angle,
    "cable tension": Force,
    "temperature": Temperature,
    "pressure": Pressure,
    "humidity": Ratio,
    "mass": Mass,
    "rotor speed": RotationRate,
    "length": Length,
    "vibration": Speed,
}
"""What an instrument can measure, and the kind of its reading."""


CABLE_DIAMETERS = ("1/32 in", "1/2 in")
"""Of a control cable, the thinnest and the thickest: what is typed in millimetres with three decimals, as 3.175 mm is
for 1/8 in, can then be nothing else."""


class GaugeTable(Section):
    """One column of a tension gauge's calibration: for one riser and one cable size."""

    riser: NeededText
    cable_diameter: Annotated[Reading, Entry(Length, ("in", "mm"), physical=CABLE_DIAMETERS)]
    rows: list[tuple[float, str]] = Field(
        description="pairs of dial reading and tension, as the gauge's table gives them"
    )
    uncertainty: Annotated[Reading | None, Entry(Force)] = None


class Instrument(Figures):
    """An instrument of the builder's.

    uncertainty: of each reading on its own; shared: an error shared by all its readings (a zero). Both are text, in
    the unit of what it measures or per cent of the reading, and stated as `stated_as` says.
    """

    together = True
    title: NeededText = needed()
    measures: Literal[
        "angle", "cable tension", "temperature", "pressure", "humidity", "mass", "rotor speed", "length", "vibration"
    ] = needed()
    serial: str = ""
    uncertainty: NeededText = needed()
    shared: str | None = None
    stated_as: Literal["expanded", "bounds", "standard"] = "expanded"
    calibrated: date | None = None
    due: date | None = None
    tables: list[GaugeTable] = Field(default_factory=list)

    @property
    def kind(self) -> Kind:
        """The kind of what it reads. A tension gauge with tables reads dial divisions, a plain ratio."""
        return required_kind(Ratio if self.tables else MEASURES[self.measures])

    @field_validator("calibrated", "due", mode="before")
    @classmethod
    def _dates(cls, given: Any) -> Any:
        return as_date(given)

    @model_validator(mode="after")
    def _readable(self) -> Instrument:
        for name in ("uncertainty", "shared"):
            text = getattr(self, name) if self.has(name, "measures") else None
            if text is None or not text.strip():
                continue
            try:
                self._size(text, 1.0)
            except QuantityError as problem:
                raise ValueError(f"{name} {problem}") from None
        if self.calibrated and self.due and self.due < self.calibrated:
            raise ValueError(f"due {self.due} is before calibrated {self.calibrated}")
        if self.tables and self.has("measures") and self.measures != "cable tension":
            raise ValueError('has calibration tables, which only an instrument with measures = "cable tension" has')
        if self.tables and not self.serial.strip():
            raise ValueError("needs its serial number: a calibration table belongs to one gauge, as its table says")
        self.calibration_tables()  # a table that cannot be used is told when the file is read, not in the hangar
        return self

    def _size(self, text: str, value: float) -> float:
        """An uncertainty's size in SI units at an SI reading."""
        share = written_share(text)
        if share is not None and self.kind.flavour == "temperature":
            raise QuantityError(f'needs degrees, for example "2 °F", got {text}: a share of a temperature says nothing')
        if share is None and self.tables:  # the dial's own divisions, a plain number
            try:
                size = float(text)
            except ValueError:
                raise QuantityError(
                    f'needs divisions of the dial, for example "0.5", or per cent of the reading; got {text}: a gauge '
                    "with tables is read in divisions"
                ) from None
        else:
            size = read(text, difference_kind(self.kind)).si if share is None else share
        if size < 0:
            raise QuantityError(f"must be zero or more, got {text}")
        # a share is of the reading; of humidity, points
        return size if share is None or self.measures == "humidity" else abs(value) * share

    def _own(self, reading: Reading) -> float:
        """The instrument's own uncertainty of a reading, SI; of a sum that of its readings, each with its own error."""
        return math.hypot(*(self._size(self.uncertainty, one.si) for one in reading.addends or (reading,)))

    def _in_common(self, reading: Reading) -> float:
        """What it has in common with all its readings, SI; in a sum it counts with every one of them."""
        return sum(self._size(self.shared, one.si) for one in reading.addends or (reading,)) if self.shared else 0.0

    def measure(self, given: Any, label: str) -> Measured:
        """A reading taken with this instrument, with its uncertainty (unless one was typed with the reading)."""
        reading = read(given, self.kind) if isinstance(given, str) else given
        difference = difference_kind(self.kind)
        own = from_si(self._own(reading), difference)
        shared = {f"{self.named}, in common": from_si(self._in_common(reading), difference)} if self.shared else {}
        return measured(reading, self.kind, f"{label} ({self.named})", own, shared, self.stated_as)

    def errors_near(self, place: str, *readings: Reading) -> dict[str, Any]:
        """The errors that readings near one place of the scale have in common, by name, expanded (k = 2): for `shared`.

        The instrument's own error is one and the same near one place and another one elsewhere (`shared_error`); it is
        left out where an uncertainty was typed with the readings, which then stands for it. Of repeats the one with
        which it is largest counts.
        """
        difference = difference_kind(self.kind)
        factor = COVERAGE * STATED_AS[self.stated_as][0]
        found: dict[str, Any] = {}
        if readings[0].uncertainty is None:
            own = from_si(factor * max(self._own(one) for one in readings), difference)
            found |= shared_error(self.named, place, own)
        if self.shared:
            found[f"{self.named}, in common"] = from_si(
                factor * max(self._in_common(one) for one in readings), difference
            )
        return found

    def calibration_tables(self) -> list[CalibrationTable]:
        """The gauge's calibration, as the rigging functions take it."""
        return [
            CalibrationTable(
                self.serial,
                table.riser,
                table.cable_diameter.typed,
                table.rows,
                table.uncertainty.value if table.uncertainty else None,
                str(self.calibrated or ""),
            )
            for table in self.tables
        ]

    def calibration_words(self, today: date) -> str:
        """Whether the calibration holds today, in words."""
        if self.due is None:
            return (
                "no calibration date given" if self.calibrated is None else f"calibrated {self.calibrated}, no due date"
            )
        return self.was_due if self.due < today else f"calibrated, due {self.due}"

    @property
    def was_due(self) -> str:
        """That its calibration is past due, in words."""
        return f"calibration was due {self.due}"

    @property
    def spread(self) -> str:
        """Its uncertainty in words, with ±; that it is still to be filled in where the file does not give it."""
        return f"± {self.uncertainty}" if self.has("uncertainty") else "still to be filled in"

    @property
    def what(self) -> str:
        """What it measures, in a word; that it is still to be filled in where the file does not say."""
        return str(self.measures) if self.has("measures") else "still to be filled in"

    @property
    def serves(self) -> str:
        """The instrument in words, for a chooser."""
        known = f"± {self.uncertainty}" if self.has("uncertainty") else "its uncertainty is still to be filled in"
        return f"{self.named}{f' no. {self.serial}' if self.serial else ''} ({known})"
