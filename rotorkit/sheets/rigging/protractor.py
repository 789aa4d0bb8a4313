"""What sheets that read a protractor share: the entry of a reading, the rotor and its signs, means of repeats."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rotorkit.aircraft import Aircraft, Instrument, Rotor
from rotorkit.aircraft.entries import Entry, Readings
from rotorkit.judging.measured import Measured
from rotorkit.quantities import Angle
from rotorkit.quantities.errors import shortened
from rotorkit.rigging import Repeatability
from rotorkit.sheets.base import Sheet, SheetError
from rotorkit.sheets.working import Working

SIGNS_USED = ("{rotor}.blades", "{rotor}.positive_blade_angle", "{rotor}.protractor_reads_positive")
"""The figures of the rotor that is read without which a protractor's reading says nothing."""

SIGNS_TOLD = ("{rotor}.positive_blade_angle", "{rotor}.protractor_reads_positive", "{rotor}.measured_at")
"""What the person with the protractor needs of them, and where on the blade it is put."""

PROTRACTOR_READINGS = Entry(
    Angle, ("deg", "deg"), ("-180 deg", "180 deg"), ("-45 deg", "45 deg"), by="protractor", repeats=True
)
QUESTION_REPEAT = math.radians(1.0)
"""A repeat that lies this far from the mean is asked about (common practice, no source)."""


class ProtractorWork(Working):
    """One working of a sheet whose field `protractor` names the instrument, on one rotor of the aircraft."""

    def __init__(self, sheet: Sheet, aircraft: Aircraft, rotor: str) -> None:
        super().__init__(sheet, aircraft)
        if rotor not in aircraft.rotors:
            raise SheetError([("rotor", f"must be one of {', '.join(aircraft.rotors)}; got {shortened(rotor)}")])
        self.rotor: Rotor = aircraft.rotors[rotor]
        self.protractor: Instrument = sheet.instrument("protractor", aircraft)
        self.sign = str(self.rotor.convention.sign)
        self.repeatability: Repeatability | None = None

    def pool_angles(self, groups: Sequence[Readings | None]) -> None:
        """Pool the scatter of all repeats: one protractor, one pair of hands."""
        self.repeatability = self.pool(groups, Angle)

    def angle(self, readings: Readings, what: str, place: str) -> Measured:
        """The mean of a field's repeats, with the protractor's error near that place of its scale."""
        pooled = self.repeatability
        return self.mean(readings, what, Angle, self.protractor, place, pooled, "deg", QUESTION_REPEAT)
