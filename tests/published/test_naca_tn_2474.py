"""NACA TN 2474 (Castles & Gray, 1951): hover of a three-bladed rotor, and the measured curve of vertical descent.

Known: read by eye from scans. Hover: the same section figures as for NACA TN 626, from its section test. The two runs
of the one rotor contradict each other: at a thrust coefficient of 0.0040 run 16 takes 20 % more torque than run 15
(less that without thrust), at 0.002 it takes 13 % less, so that no theory is within 10 % of all points of both.
"""

import numpy as np
import pytest

from rotorkit.quantities import assert_quantity
from rotorkit.rotor import induced_ratio_vertical, vertical_autorotation_descent_rate
from rotorkit.rotor.blade_element.comparison import ComparedPoint, Taken, compare
from tests.reference_table import row, rows

FOUND = compare("NACA TN 2474")
ASKED = [point for point in FOUND.points if point.asked]
CONTRADICTED = {
    8.85: "at the same thrust run 16 takes 20 % more torque than run 15",
    7.18: "thrust is 6.6 % low there, which takes 10 % off the torque; at the measured thrust it is within 4 %",
}


def name(point: ComparedPoint) -> str:
    return f"{point.case} {point.pitch_deg:g} deg"


@pytest.mark.parametrize("point", ASKED, ids=name)
def test_thrust_between_6_and_10_degrees(point: ComparedPoint) -> None:
    assert point.thrust_error == pytest.approx(0, abs=10)


@pytest.mark.parametrize("point", ASKED, ids=name)
def test_torque_between_6_and_10_degrees(point: ComparedPoint, request: pytest.FixtureRequest) -> None:
    why = CONTRADICTED.get(point.pitch_deg or 0)
    if why:
        request.applymarker(pytest.mark.xfail(reason=why, strict=True))
    assert point.torque_error == pytest.approx(0, abs=10)


def test_one_stated_drag_holds_both_reports_between_6_and_10_degrees() -> None:
    """With 0.0113 + 1.25 alpha^2, which NACA TN 626 states for its own rotors, thrust and whole torque at the angle of
    every point from 6 to 10 degrees are within 10 %: on this rotor adjusted to another report, on those of TN 626 to
    itself. Torque at the measured thrust is not (up to 11 % high), nor are the points at other angles. Here the whole
    torque is the measured one, less that without thrust, plus that without thrust by this drag."""
    here, there = (compare(name, adjusted=True) for name in ("NACA TN 2474", "NACA TN 626"))
    assert repr(here.section) == repr(there.section)
    for found in (here, there):
        for point in (point for point in found.points if point.asked):
            assert point.thrust_error == pytest.approx(0, abs=10), name(point)
            assert point.whole_torque_error == pytest.approx(0, abs=10), name(point)
    assert here.worst("whole_torque_error", asked=True) == pytest.approx((-5.7, 7.7), abs=0.1)
    assert here.worst("torque_error", asked=True) == pytest.approx((-7.1, 11.3), abs=0.1)
    assert there.worst("torque_error", asked=True) == pytest.approx((-2.8, 3.1), abs=0.1)
    assert here.worst("whole_at_thrust_error", asked=True) == pytest.approx((-6.0, 11.2), abs=0.1)
    assert here.worst("thrust_error", counted=True) == pytest.approx((-10.2, 14.3), abs=0.1)
    assert (there.adjusted_to, here.adjusted_to) == (
        "NACA TN 626, these rotors", "NACA TN 626, other rotors of this section",
    )  # fmt: skip
    with pytest.raises(ValueError, match="not for NASA TM-81232"):
        compare("NASA TM-81232", adjusted=True)


def test_a_steeper_lift_curve_would_help_one_run_and_harm_the_other() -> None:
    def deviations(slope: float, run: str) -> list[float]:
        points = compare("NACA TN 2474", taken=Taken(lift_slope=slope)).points
        return [100 * (p.deviation("thrust at an angle") or 0) for p in points if p.counted and run in p.case]

    assert deviations(1, "run 16")[:4] == pytest.approx([11.3, 9.7, 10.6, 7.0], abs=0.1)
    assert deviations(1.05, "run 16")[:4] == pytest.approx([8.7, 6.6, 7.2, 3.6], abs=0.1)
    assert sum(deviations(1, "run 15")) / 6 == pytest.approx(-4.5, abs=0.1)
    assert sum(deviations(1.05, "run 15")) / 6 == pytest.approx(-7.5, abs=0.1)


def test_the_two_runs_contradict_each_other() -> None:
    points = [r for r in rows("naca_tn_2474_hover.csv") if r["dCQ"]]
    of_run = {
        run: sorted((float(r["CT"]), float(r["dCQ"])) for r in points if r["run_rpm"].startswith(run))
        for run in ("15", "16")
    }
    slow, fast = (np.interp([0.002, 0.004], *zip(*of_run[run], strict=True)) for run in ("15", "16"))
    assert (fast / slow - 1) * 100 == pytest.approx([-13, 20], abs=0.6)


def test_errors_as_found() -> None:
    assert FOUND.worst("thrust_error", asked=True) == pytest.approx((-6.6, 0.3), abs=0.1)
    assert FOUND.worst("torque_error", asked=True) == pytest.approx((-14.5, 3.2), abs=0.1)
    assert FOUND.worst("at_thrust_error", asked=True) == pytest.approx((-14.9, 5.1), abs=0.1)


@pytest.mark.parametrize("point", rows("naca_tn_2474_descent_curve.csv"), ids=lambda r: r["descent_ratio"])
def test_the_measured_curve_of_descent(point: dict[str, str]) -> None:
    """From just below the hover to just above the windmill branch, where theory takes over."""
    descent = float(point["descent_ratio"])
    if 0 < descent < 2:
        assert_quantity(induced_ratio_vertical(-descent), point["induced_ratio_fig12"])
        if point["induced_ratio_full_scale_fig16"]:
            found = induced_ratio_vertical(-descent, "full scale")
            assert_quantity(found, point["induced_ratio_full_scale_fig16"])
    if point["momentum_theory_climb_branch"]:
        # the table's last column is momentum theory's climb branch carried on below the hover, where it does not hold
        assert (descent / 2 + (descent**2 / 4 + 1) ** 0.5) == pytest.approx(
            float(point["momentum_theory_climb_branch"]), abs=0.0006
        )


def test_the_curve_meets_ideal_autorotation_within_the_reading() -> None:
    """Where the induced ratio equals the descent ratio no power is needed: 1.75 within 0.03."""
    descent = np.linspace(1.6, 1.9, 3001)
    over = induced_ratio_vertical(-descent).magnitude - descent
    assert descent[np.argmin(np.abs(over))] == pytest.approx(1.75, abs=0.03)


@pytest.mark.parametrize(("loading", "place"), [("2.5", 0), ("3", 1), ("4", 2)])
def test_vertical_autorotation(loading: str, place: int) -> None:
    expected = row("rotor_flight_checks.csv", "given", "1.75 vh at sea level")["expected"].split("; ")[place]
    found = vertical_autorotation_descent_rate(f"{float(loading) * 100} lbf", "0.0023769 slug/ft^3", "100 ft^2")
    assert_quantity(found, f"{expected} ft/min")
