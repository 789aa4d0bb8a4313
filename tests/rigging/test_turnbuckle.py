"""Turnbuckles: turns and tension against springs solved as a chain; bands by temperature; plans."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import measured
from rotorkit.quantities import Force, QuantityError, Ratio, Temperature, assert_quantity
from rotorkit.rigging import (
    shortening_for_tension,
    stiffness_felt_by_one_run,
    stiffness_felt_by_pinned_run,
    tension_at_temperature,
    tension_band_at,
    tension_change_of_other_run,
    tension_change_of_turns,
    tension_chart,
    threads_exposed_after,
    turnbuckle_plan,
    turnbuckle_turns,
)

RUN = ("200 in", "96450 lbf", "1000 lbf/in", 2, "1/28 in", "1/28 in")
TARGET = Limit("cable tension", Force, "42 lbf", "52 lbf", "manual 7-12", "lbf")


def test_a_free_loop_as_springs_and_a_structure_that_yields() -> None:
    # Two runs of stiffness k round two free pulleys whose supports come together by (2 T) / structure: one turnbuckle
    # is shortened by s. Balance of the loop's length: 2 T / k + 2 x (2 T / structure) = s.
    k, structure, s = 96450 / 200, 2000.0, 0.05
    tension = s / (2 / k + 4 / structure)
    felt = stiffness_felt_by_one_run(f"{structure} lbf/in", 2)
    assert_quantity(
        shortening_for_tension(f"{tension:.12f} lbf", "200 in", "96450 lbf", felt, 2), "0.05 in", within="1e-9 in"
    )


def springs(k_c: float, k_s: float, s: float, runs: int, free: bool) -> "np.ndarray":
    """Tension of each run, by equilibrium and fit alone: unknowns are the tensions, how far the supports come together,
    and how far the far quadrant turns (at its rim), which is nought where it is pinned."""
    matrix, right = np.zeros((runs + 2, runs + 2)), np.zeros(runs + 2)
    supports, turned = runs, runs + 1
    for i in range(runs):  # T_i / k_c = what it is shortened by, less how far its ends come together
        matrix[i, i], matrix[i, supports] = 1 / k_c, 1
        matrix[i, turned] = 1 if i == 0 else -1
        right[i] = s if i == 0 else 0
    matrix[supports, :runs], matrix[supports, supports] = 1, -k_s  # the airframe bears all the runs
    if free:
        matrix[turned, 0], matrix[turned, 1] = 1, -1  # no moment on the quadrant
    else:
        matrix[turned, turned] = 1
    return np.linalg.solve(matrix, right)[:runs]


@given(st.floats(50, 2000), st.floats(100, 20000), st.floats(-0.1, 0.1).filter(lambda s: abs(s) > 1e-3))
def test_one_turnbuckle_against_the_springs_solved_together(k_c: float, k_s: float, s: float) -> None:
    """Free loop of two; pinned loop of one to four runs; what the others lose."""
    length = "100 in"
    cable = f"{100 * k_c:.9f} lbf", f"{k_s:.9f} lbf/in"
    barrel = f"{abs(s):.12f}", "0 in"
    turns = 1 if s > 0 else -1
    felt = stiffness_felt_by_one_run(cable[1], 2)
    both = tension_change_of_turns(turns, length, cable[0], felt, 2, f"{barrel[0]} in", barrel[1])
    assert springs(k_c, k_s, s, 2, True) == pytest.approx([both.m_as("lbf")] * 2, rel=1e-6)
    for runs in (1, 2, 3, 4):
        met = stiffness_felt_by_pinned_run(cable[1], runs, length, cable[0])
        one = tension_change_of_turns(turns, length, cable[0], met, 1, f"{barrel[0]} in", barrel[1])
        other = tension_change_of_other_run(one, cable[1], runs, length, cable[0])
        wanted = springs(k_c, k_s, s, runs, False)
        assert [one.m_as("lbf"), *[other.m_as("lbf")] * (runs - 1)] == pytest.approx(list(wanted), rel=1e-6)


def test_a_rigid_airframe_lets_the_other_run_be() -> None:
    lost = tension_change_of_other_run("10 lbf", "1e15 lbf/in", 2, "200 in", "96450 lbf")
    assert abs(float(lost.m_as("lbf"))) < 1e-9


def test_where_the_airframe_is_not_known_the_forecast_says_so() -> None:
    """Half of the rigid airframe's change, anything from none to all of it: 11 lbf wanted, 1/2 turn of 34.4/2 lbf."""
    share = measured("0.5", Ratio, "airframe", "0.5", stated_as="bounds")
    rigid = ("200 in", "96450 lbf", "1e15 lbf/in", 2, "1/28 in", "1/28 in")
    plan = turnbuckle_plan(measured("36 lbf", Force, "gauge", "1 lbf"), TARGET, *rigid, share=share)
    whole = plan.turns * (2 / 28) * 96450 / 200 / 2
    assert_quantity(plan.after, f"{36 + whole / 2:.6f} lbf", within="1e-4 lbf")
    assert float(plan.after.expanded_si) / 4.4482216 == pytest.approx(np.hypot(1.0, whole / np.sqrt(3)), rel=1e-5)


@given(turns=st.floats(-5, 5), length=st.floats(10, 500), runs=st.sampled_from([1, 2]))
def test_turns_and_tension_undo_each_other(turns: float, length: float, runs: int) -> None:
    run = (f"{length:.6f} in", "96450 lbf", "1000 lbf/in", runs, "1/28 in", "1/32 in")
    change = tension_change_of_turns(turns, *run)
    assert float(turnbuckle_turns(change, *run).magnitude) == pytest.approx(turns, abs=1e-9)


def test_a_rigid_airframe_and_a_short_cable_take_the_least_turns() -> None:
    rigid = turnbuckle_turns("10 lbf", "200 in", "96450 lbf", "1e15 lbf/in", 1, "1/28 in", "1/28 in")
    assert float(rigid.magnitude) == pytest.approx(10 * 200 / 96450 / (2 / 28))
    soft = turnbuckle_turns("10 lbf", "200 in", "96450 lbf", "100 lbf/in", 1, "1/28 in", "1/28 in")
    assert soft.magnitude > 5 * rigid.magnitude


@given(t=st.floats(-40, 120), slope=st.floats(-0.5, 0.7))
def test_judging_in_the_days_band_is_judging_at_the_manuals_temperature(t: float, slope: float) -> None:
    c, day = f"{slope:.6f} lbf/degF", f"{t:.6f} °F"
    band = tension_band_at(TARGET, c, "70 °F", day)
    assert band.high_si >= band.low_si >= 0
    for pounds in (30.0, 41.0, 43.0, 51.0, 53.0, 70.0):
        carried = tension_at_temperature(f"{pounds} lbf", c, day, "70 °F").m_as("lbf")
        low, high = 42.0, 52.0
        if min(abs(carried - low), abs(carried - high)) > 1e-6 and pounds > 0 and band.low_si > 0:
            here = band.judge(measured(f"{pounds} lbf", Force, "gauge")).word
            assert here == ("in limits" if low <= carried <= high else "out of limits")


def test_an_open_side_stays_open_and_nought_is_the_least() -> None:
    one_sided = Limit("tension", Force, low="20 lbf", source="manual")
    assert tension_band_at(one_sided, "0.5 lbf/degF", "70 °F", "60 °F").high_si is None
    assert tension_band_at(one_sided, "0.5 lbf/degF", "70 °F", "0 °F").low_si == 0


def test_chart() -> None:
    chart = tension_chart(TARGET, "0.43 lbf/degF", "70 °F", "-10 °F", "110 °F", 13)
    assert len(chart) == 13
    at = measured("70 °F", Temperature, "t").si
    (middle,) = [p for p in chart if abs(p.temperature_si - at) < 1e-6]
    assert (middle.low_si, middle.high_si) == pytest.approx((TARGET.low_si, TARGET.high_si))
    assert np.all(np.diff([p.high_si for p in chart]) > 0)
    with pytest.raises(QuantityError, match="colder first"):
        tension_chart(TARGET, "0.43 lbf/degF", "70 °F", "50 °F", "50 °F")


def test_plan_aims_for_the_middle_by_half_turns() -> None:
    plan = turnbuckle_plan(measured("36 lbf", Force, "gauge", "1 lbf"), TARGET, *RUN, threads_exposed=(3.5, 4.5))
    assert plan.turns == 1.0
    assert [verdict.word for verdict in plan.threads] == ["in limits", "out of limits"]
    assert_quantity(plan.after, "47.6 lbf", within="0.05 lbf")
    assert_quantity(plan.after.expanded, "1 lbf", within="1e-9 lbf")
    # No other half turn comes nearer to the middle.
    middle = 47.0
    for other in (0.0, 0.5, 1.5, 2.0):
        after = 36 + tension_change_of_turns(other, *RUN).m_as("lbf")
        assert abs(after - middle) >= abs(plan.after.value.m_as("lbf") - middle) - 1e-9


def test_plan_looser_and_none() -> None:
    tight = turnbuckle_plan("65 lbf", TARGET, *RUN, threads_exposed=(1,))
    assert tight.sentence == "turn the barrel 1 1/2 turns looser, work the controls, and measure again"
    assert_quantity(tight.threads[0].measured, "2.5", within="1e-9")
    slack = turnbuckle_plan("36 lbf", TARGET, *RUN, threads_exposed=(3, 0.5))
    assert (slack.wanted, slack.turns) == (1.0, 0.5)
    held = turnbuckle_plan("65 lbf", TARGET, *RUN, threads_exposed=(1, 2))
    assert (held.wanted, held.turns) == (-1.5, -1.0)
    held = turnbuckle_plan("65 lbf", TARGET, *RUN, threads_exposed=(3.5, 2))
    assert held.sentence == "leave the turnbuckle as it is: its threads do not allow a turn that way"
    good = turnbuckle_plan("47 lbf", TARGET, *RUN)
    assert good.sentence == "leave the turnbuckle as it is"
    quarter = turnbuckle_plan("44 lbf", TARGET, *RUN, step=0.25)
    assert quarter.sentence.startswith("turn the barrel 1/4 turn tighter")


def test_uncertain_stiffness_makes_the_turns_uncertain() -> None:
    run = ("200 in", measured("96450 lbf", Force, "axial stiffness", "10000 lbf"), *RUN[2:])
    plan = turnbuckle_plan("36 lbf", TARGET, *run)
    assert float(plan.exact.expanded_si) > 0
    assert float(plan.after.expanded_si) > 0


def test_refusals() -> None:
    with pytest.raises(QuantityError, match="needs both sides"):
        turnbuckle_plan("36 lbf", Limit("t", Force, low="42 lbf"), *RUN)
    with pytest.raises(QuantityError, match="step"):
        turnbuckle_plan("36 lbf", TARGET, *RUN, step=0)
    with pytest.raises(QuantityError, match="runs_in_loop"):
        turnbuckle_turns("10 lbf", "200 in", "96450 lbf", "1000 lbf/in", 0, "1/28 in", "1/28 in")


def test_threads_exposed() -> None:
    assert_quantity(threads_exposed_after(4, 1.5), "2.5")
    assert_quantity(threads_exposed_after(1, 2), "-1.0")
