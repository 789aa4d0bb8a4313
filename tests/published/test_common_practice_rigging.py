"""One aircraft's figures: never rig by them. +9 to -26.5 deg and 45 to 50 lbf (no source), held as arithmetic alone.

Known: practice. They are run through the functions as readings; nothing is claimed of any aircraft.
"""

import pytest

from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import measured
from rotorkit.quantities import Angle, Force, Ratio, assert_quantity
from rotorkit.rigging import (
    CalibrationTable,
    SignConvention,
    TravelReading,
    blade_angle,
    control_travel,
    mean_of_repeats,
    repeatability_of,
    shared_error,
    slack_temperature,
    tension_at_temperature,
    tension_from_gauge,
    tension_slope_rigid_structure,
    travel_between_stops,
    turnbuckle_plan,
)
from tests.reference_table import row


def test_the_row_is_marked_as_practice() -> None:
    assert row("cable_checks.csv", "subject", "control travel")["known"] == "practice"


def test_anti_torque_range_from_readings_to_verdict() -> None:
    sign = SignConvention("leading edge toward the tail boom", "leading edge away from the tail boom").sign
    reference = ["1.4 deg", "1.3 deg", "1.4 deg"]
    stops = {"full left": ["-7.6 deg", "-7.7 deg", "-7.6 deg"], "full right": ["27.9 deg", "27.8 deg", "28.0 deg"]}
    pooled = repeatability_of([reference, *stops.values()], Angle)

    def mean(readings: list[str], place: str):
        return mean_of_repeats(readings, Angle, place, shared_error("protractor", place, "0.2 deg"), pooled)

    zero = mean(reference, "reference")
    left, right = (blade_angle(mean(readings, place), zero, sign) for place, readings in stops.items())
    assert_quantity(left, "9.0 deg", within="0.05 deg")
    assert_quantity(right, "-26.5 deg", within="0.05 deg")
    travel = travel_between_stops(left, right)
    assert_quantity(travel, "-35.5 deg", within="0.05 deg")
    # The reference drops out of the travel, so that it is known no worse than two readings with their instrument
    # errors.
    assert not any("reference" in r.label and r.share > 1e-12 for r in travel.budget())
    judged = Limit("full left", Angle, low="8.0 deg", high="10.0 deg", source="common practice (no source)").judge(left)
    assert judged.word == "in limits"
    tight = Limit("full left", Angle, low="8.9 deg", high="9.1 deg", source="common practice (no source)").judge(left)
    assert tight.word == "too close to call"


def test_tension_range_from_dial_to_verdict() -> None:
    rows = [(18, "30 lbf"), (24, "40 lbf"), (30, "50 lbf"), (35, "60 lbf")]
    table = CalibrationTable("A17", "1", "1/8 in", rows, uncertainty="1 lbf")
    dial = mean_of_repeats([28.0, 28.5, 28.0, 28.5], Ratio, "dial reading", resolution=0.5)
    tension = tension_from_gauge(table, dial, "A17", "1", "1/8 in")
    assert_quantity(tension, "47.08 lbf")
    limit = Limit("tail cable tension", Force, low="45 lbf", high="50 lbf", source="common practice (no source)")
    assert limit.judge(tension).word == "in limits"
    # Carried from a 50 degF hangar to a 90 degF field at the rigid airframe's slope the same cable is over the range.
    slope = tension_slope_rigid_structure("13.1e-6 /°F", "6.5e-6 /°F", "96450 lbf")
    assert limit.judge(tension_at_temperature(tension, slope, "50 °F", "90 °F")).word == "out of limits"
    assert slack_temperature(tension, slope, "50 °F").value.m_as("kelvin") == pytest.approx(242.05, abs=0.1)


def test_anti_torque_range_over_the_pedal_travel() -> None:
    # +9 to -26.5 deg over an invented 6 in of pedal, read both ways with 0.4 deg between them.
    at = {0.0: 9.0, 2.0: -2.8, 4.0: -14.7, 6.0: -26.5}
    readings = [
        TravelReading(f"{x} in", measured(f"{angle + side:.2f} deg", Angle, f"{x} {way}", "0.2 deg"), way)
        for way, side in (("up", 0.2), ("down", -0.2))
        for x, angle in at.items()
    ]
    found = control_travel(readings)
    assert_quantity(found.slope, "-5.92 deg/in", within="0.01 deg/in")
    assert_quantity(found.friction_band, "0.4 deg", within="0.01 deg")
    assert_quantity(found.dead_band, "0.068 in", within="0.002 in")
    assert_quantity(found.angle_at("0 in"), "9.0 deg", within="0.06 deg")
    assert_quantity(found.angle_at("6 in"), "-26.5 deg", within="0.06 deg")


def test_tension_range_as_the_target_of_a_turnbuckle() -> None:
    target = Limit("tail cable tension", Force, low="45 lbf", high="50 lbf", source="common practice (no source)")
    slack = measured("38 lbf", Force, "gauge", "1 lbf")
    run = ("200 in", "96450 lbf", "1000 lbf/in", 2, "1/28 in", "1/28 in")
    plan = turnbuckle_plan(slack, target, *run, threads_exposed=(3, 3), step=0.25)
    assert plan.turns == 0.75
    assert_quantity(plan.after, "46.7 lbf", within="0.05 lbf")
    assert plan.verdict.word == "in limits"
