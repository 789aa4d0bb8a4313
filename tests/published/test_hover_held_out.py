"""The stated uncertainty of the blade-element hover against the reports that it was not adjusted to.

Every figure of `rotorkit.rotor.blade_element.trust` is what four published measurements say, no smaller and no rounder;
what twice of it does not cover is named here, point by point.
"""

import csv
import math
from pathlib import Path

import pytest

from rotorkit.rotor.blade_element.comparison import COMPARISONS, LOOKED_FOR, NOTHING, Taken, compare
from rotorkit.rotor.blade_element.held_out import held_out
from rotorkit.rotor.blade_element.trust import (
    ANGLE_FOR_THRUST,
    FAST_TIPS,
    LEAST_LOADING,
    POWER_AT_THRUST,
    STATED,
    THRUST_AT_ANGLE,
    TORQUE_AT_ANGLE,
)

REFERENCES = Path(__file__).resolve().parents[2] / "references"
FALLS_OUT = {
    "angle for a thrust": [("NASA TM-81232", "tip Mach 0.794", 5.0)],
    "thrust at an angle": [("NASA TM-81232", "tip Mach 0.794", 5.0)],
    "power at a thrust": [("NACA TN 2318", "single lower", 0.00076), ("NACA TN 2318", "single lower", 0.00106)],
    "torque at an angle": [("NACA TN 626", "4 blades", 11.0), ("NACA TN 2474", "run 16, 1600 rpm", 8.85)],
}


def test_nothing_is_adjusted_to_a_rotor() -> None:
    """The drag of both sections as the section tests have it."""
    drags = {name: compare(name).section.drag for name in COMPARISONS}
    assert all(compare(name).adjusted_to == NOTHING for name in COMPARISONS)
    assert drags["NACA TN 626"] == drags["NACA TN 2474"] == (0.0113, 0.0, 0.75)
    assert drags["NACA TN 2318"] == drags["NASA TM-81232"] == (0.0087, -0.0216, 0.4)


@pytest.mark.parametrize("of", STATED)
def test_what_is_stated_is_what_the_reports_say(of: str) -> None:
    """Root mean square, each report alike, rounded up to the next half per cent."""
    of_reports = []
    for points in held_out(of).points.values():
        of_reports.append(sum(deviation**2 for _, deviation in points) / len(points))
    found = math.sqrt(sum(of_reports) / len(of_reports))
    assert found <= STATED[of] < found + 0.005
    assert STATED[of] == pytest.approx(round(STATED[of] * 200) / 200, abs=1e-12)


@pytest.mark.parametrize("of", STATED)
def test_twice_of_it_covers_19_points_in_20(of: str) -> None:
    found = held_out(of)
    outside = [
        (name, point.case, point.thrust if point.pitch_deg is None else point.pitch_deg)
        for name, point, _ in found.outside(STATED[of])
    ]
    assert outside == FALLS_OUT[of]
    share = 1 - len(outside) / found.count()
    if of == "torque at an angle":  # told beside the figure; no sheet rests on it
        assert share == pytest.approx(22 / 24)
    else:
        assert share >= 0.95


def test_how_many_points_there_are() -> None:
    assert {of: held_out(of).count() for of in STATED} == {
        "angle for a thrust": 35, "thrust at an angle": 35, "power at a thrust": 41, "torque at an angle": 24,
    }  # fmt: skip


def test_a_report_left_out_is_not_always_covered_by_the_others() -> None:
    """What the others would state, and how many of its points that covers: as the notebook and the module say."""
    found = {}
    for of in ("angle for a thrust", "power at a thrust"):
        one = held_out(of)
        for name in one.points:
            standard = one.standard(without=name)
            found[of[:5], name] = (
                round(200 * standard, 1), one.count(name) - len(one.outside(standard, name)), one.count(name),
            )  # fmt: skip
    assert found == {
        ("angle", "NACA TN 626"): (35.8, 14, 14),
        ("angle", "NACA TN 2474"): (35.3, 11, 11),
        ("angle", "NASA TM-81232"): (10.7, 0, 10),
        ("power", "NACA TN 626"): (27.9, 14, 14),
        ("power", "NACA TN 2474"): (29.5, 10, 10),
        ("power", "NACA TN 2318"): (14.6, 3, 17),
    }


def test_which_points_count() -> None:
    """Those of a blade loading of 0.015 and more, by the reports' own solidities; never a section's lift."""
    solidity = {"2 blades": 0.0424, "4 blades": 0.0849, "run 15": 0.05, "run 16": 0.05, "single": 0.027,
                "tip Mach": 2 * 0.1905 / (math.pi * 1.143)}  # fmt: skip
    for name in COMPARISONS:
        for point in compare(name).points:
            kin = [of for case, of in solidity.items() if point.case.startswith(case)]
            assert point.counted == (bool(kin) and point.thrust / kin[0] >= LEAST_LOADING - 1e-4)
            if kin and not point.counted:
                assert abs(point.angle_error or 0) <= 0.31  # what is left out lies within a third of a degree


def test_one_deviation_by_hand() -> None:
    """NASA TM-81232 at 8 degrees, 1250 rpm: by the theory CT is 0.00572 there; measured, 0.00459: a fifth less."""
    with (REFERENCES / "nasa_tm_81232_hover.csv").open(encoding="utf-8") as file:
        table = list(csv.DictReader(line for line in file if not line.startswith("#")))
    measured = next(float(r["CT"]) for r in table if r["pitch_deg"] == "8" and r["rpm"] == "1250")
    (point,) = [p for p in compare("NASA TM-81232").points if p.case == "tip Mach 0.439" and p.pitch_deg == 8]
    assert point.thrust_model == pytest.approx(0.00572, abs=5e-6)
    assert point.deviation("thrust at an angle") == pytest.approx(measured / 0.00572 - 1, abs=1e-3)
    assert point.deviation("angle for a thrust") == pytest.approx(8 / (point.pitch_model or 0) - 1, abs=1e-12)
    assert point.deviation("power at a thrust") is None


def test_above_fast_tips_more_than_is_stated() -> None:
    found = held_out("angle for a thrust")
    outside = [point for _, point, _ in found.outside(ANGLE_FOR_THRUST)]
    assert all(float(point.case.removeprefix("tip Mach ")) > FAST_TIPS for point in outside)
    slow = [d for p, d in found.points["NASA TM-81232"] if float(p.case.removeprefix("tip Mach ")) <= FAST_TIPS]
    assert max(slow) == pytest.approx(0.253, abs=1e-3)


def test_slender_and_broad_blades_as_the_docstring_of_the_hover_has_it() -> None:
    thrust = held_out("thrust at an angle").points
    slender = [d for name in ("NACA TN 626", "NACA TN 2474") for _, d in thrust[name]]
    broad = [d for _, d in thrust["NASA TM-81232"]]
    assert max(map(abs, slender)) < 0.15
    assert (min(broad), max(broad)) == pytest.approx((-0.38, -0.19), abs=0.005)
    power = [d for points in held_out("power at a thrust").points.values() for _, d in points]
    assert sum(d > 0 for d in power) / len(power) > 0.8
    assert (THRUST_AT_ANGLE, POWER_AT_THRUST, TORQUE_AT_ANGLE) == (0.165, 0.125, 0.065)


def test_no_part_of_the_theory_is_the_cause_alone() -> None:
    """Changed in turn, nothing brings the two reports that lie far off near: the thrust of the broad blades stays 24 %
    or more low, the power of the rough ones 11 % or more high; and what helps one report harms another."""
    for said, taken in LOOKED_FOR.items():
        assert held_out("thrust at an angle", taken).mean("NASA TM-81232") < -0.235, said
        assert held_out("power at a thrust", taken).mean("NACA TN 2318") > 0.11, said
    flatter = held_out("thrust at an angle", Taken(lift_slope=0.95))
    assert flatter.mean("NACA TN 2474") > held_out("thrust at an angle").mean("NACA TN 2474") > 0
