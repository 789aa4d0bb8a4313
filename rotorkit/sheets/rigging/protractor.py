"""What sheets that read a protractor share: pooled scatter, means of repeats with its error, worked steps."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from rotorkit import sources
from rotorkit.aircraft import Aircraft, Instrument, Rotor
from rotorkit.aircraft.entries import Readings
from rotorkit.formula import Worked
from rotorkit.judging.measured import Measured
from rotorkit.quantities import Angle, say
from rotorkit.quantities.errors import shortened
from rotorkit.rigging import Repeatability, mean_of_repeats, repeatability_of
from rotorkit.sheets.base import Sheet, SheetError, plain_step

__all__ = ["ProtractorWork", "mixed"]

QUESTION_REPEAT = math.radians(1.0)
"""A repeat that lies this far from the mean is asked about (common practice, no source)."""


class ProtractorWork:
    """One working of a sheet whose field `protractor` names the instrument, on one rotor of the aircraft."""

    def __init__(self, sheet: Sheet, aircraft: Aircraft, rotor: str) -> None:
        self.aircraft, self.system = aircraft, aircraft.aircraft.display
        if rotor not in aircraft.rotors:
            raise SheetError([("rotor", f"must be one of {', '.join(aircraft.rotors)}; got {shortened(rotor)}")])
        self.rotor: Rotor = aircraft.rotors[rotor]
        self.protractor: Instrument = sheet.instrument("protractor", aircraft)
        if self.protractor.measures != "angle":
            raise SheetError([("protractor", f"{self.protractor.title} measures {self.protractor.measures}, no angle")])
        self.sign = str(self.rotor.convention.sign)
        self.overdue = sheet.calibrations_overdue(aircraft)
        self.steps: list[Worked] = []
        self.asked: list[str] = []
        self.repeatability: Repeatability | None = None

    def _pool(self, groups: Sequence[Readings]) -> None:
        """Pool the scatter of all repeats: one protractor, one pair of hands."""
        pooled = repeatability_of([group for group in groups if group], Angle)
        if pooled is not None:
            value = Measured(pooled.standard_deviation_si, Angle)
            cited = sources.JCGM_100.at("4.2.4")
            self.steps.append(plain_step("Scatter of one reading, all repeats pooled", [str(pooled)], value, cited))
        self.repeatability = pooled

    def _mean(self, readings: Readings, what: str, place: str) -> Measured:
        """The mean of a field's repeats, with the protractor's error near that place of its scale."""
        # no reading is known better than its last digit, however well the repeats agree
        step = min((r.step for r in readings), key=lambda size: float(size.m_as("rad")))
        mean = mean_of_repeats(
            list(readings),
            Angle,
            what,
            self.protractor.errors_near(place, readings[0]),
            self.repeatability,
            None if readings[0].uncertainty is not None else step,
        ).shown_in("deg")
        if len(readings) > 1:
            added = " + ".join(f"({r.understood})" if r.si < 0 else r.understood for r in readings)
            line = f"({added}) / {len(readings)} = {say(mean)}"
            self.steps.append(plain_step(f"Mean of {what}", [line], mean, sources.JCGM_100.at("4.2.1")))
            centre = float(mean.si)
            far = max(readings, key=lambda r: abs(r.si - centre))
            if abs(far.si - centre) > QUESTION_REPEAT:
                self.asked.append(
                    f"{what[:1].upper()}{what[1:]}: {far.understood} lies far from the other repeats. Read it again."
                )
        return mean

    def _worked(self, title: str, formula: Any, *given: Any) -> Measured:
        step = formula.worked(*given).titled(title)
        self.steps.append(step)
        value: Measured = step.value
        return value


def mixed(name: str, readings: Readings | None) -> list[tuple[str, str]]:
    """The problem of repeats of which some bear ± and others do not."""
    typed = [reading.uncertainty is not None for reading in readings or ()]
    if any(typed) and not all(typed):
        return [(name, "has ± with some repeats and not with others: write it with each, or with none")]
    return []
