"""Airspeeds of a manual in the day's air: indicated and calibrated ones made true, and true ones as the indicator has
them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rotorkit import sources
from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.performance_figures import KNOTS
from rotorkit.atmosphere import calibrated_airspeed, true_airspeed
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import Density, Pressure, Ratio, Speed, say
from rotorkit.sheets.performance.power_reckoning import Day
from rotorkit.sheets.working import Reckoning, value_of

INDICATED, CALIBRATED, TRUE = "indicated", "calibrated", "true"
UNSAID = "which airspeed the manual gives its never-exceed speed as ([performance] airspeed_is in the aircraft file)"


@dataclass(frozen=True)
class FlownAirspeed:
    """An airspeed in the day's air, calibrated and true."""

    calibrated: Measured
    true: Measured

    @property
    def words(self) -> str:
        """Both, said."""
        said = (say(one.shown_in(KNOTS), digits=3) if not one.components else say(one.shown_in(KNOTS))
                for one in (self.calibrated, self.true))  # fmt: skip
        return " calibrated, ".join(said) + " true in this air"


def calibrated(airspeed: Measured, day: Day) -> Measured:
    """A true airspeed as an indicator without position error shows it in the day's air."""
    return value_of(calibrated_airspeed, airspeed, day.pressure, day.density).shown_in(KNOTS)


def flown(to: Reckoning, airspeed: Measured, which: str, error: Measured | None, day: Day) -> FlownAirspeed:
    """An airspeed of a manual, calibrated and true. which: of `WHICH_AIRSPEED`; error: calibrated less indicated."""
    if which == TRUE:
        return FlownAirspeed(calibrated(airspeed, day), airspeed.shown_in(KNOTS))
    if which == INDICATED and error is not None:
        found = (airspeed + error).shown_in(KNOTS)
        line = (
            f"indicated {say(airspeed.shown_in(KNOTS))} plus position error {say(error.shown_in(KNOTS))}: {say(found)}"
        )
        airspeed = to.step("Calibrated airspeed", [line], found, sources.DEFINITION.at("position error"))
    true = to.work("", true_airspeed, airspeed, day.pressure, day.density)
    return FlownAirspeed(airspeed.shown_in(KNOTS), true.shown_in(KNOTS))


def taken_as_calibrated(what: str, lacking: str) -> str:
    """That an indicated airspeed without its position error was taken for a calibrated one, in a sentence."""
    return (
        f"The {what} is an indicated airspeed, and {lacking}: it was taken as calibrated. See the manual's "
        "airspeed calibration table."
    )


def limit_in(aircraft: Aircraft, pressure: float, density: float) -> FlownAirspeed | None:
    """The never-exceed speed in air of a pressure and density (SI), without uncertainty, for an exploration."""
    zero = Measured(0.0, Ratio)
    air = [Measured(pressure, Pressure), Measured(density, Density)]
    day = Day(air[0], zero, zero, zero, air[1], zero, zero, zero)
    return airspeed_limit(Reckoning(), aircraft, day)


def airspeed_limit(to: Reckoning, aircraft: Aircraft, day: Day) -> FlownAirspeed | None:
    """The never-exceed speed in the day's air; None where the file gives none.

    Where the file does not say which airspeed it is, the faster reading of it is taken and that is asked for.
    """
    performance = aircraft.performance
    limit = performance.airspeed
    if limit is None or limit.high_si is None:
        return None
    most = Measured(float(limit.high_si), Speed, {}, KNOTS)
    which = performance.airspeed_is
    if which is None:
        to.missing.append(UNSAID)
        found = flown(to, most, CALIBRATED, None, day)
        if found.true.si < most.si:
            found = flown(to, most, TRUE, None, day)
        return found
    error: Any = performance.position_error
    if which == INDICATED and error is None:
        to.lead.append(taken_as_calibrated("never-exceed speed", "the aircraft file gives no position_error for it"))
    given = None if error is None else measured(error, Speed, "position error at the never-exceed speed")
    return flown(to, most, which, given, day)
