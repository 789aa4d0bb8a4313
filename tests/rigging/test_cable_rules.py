"""Cable rules, strength and friction: edges, oracles and refusals (published figures: tests/published)."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from rotorkit.judging.measured import measured
from rotorkit.quantities import Force, QuantityError, assert_quantity
from rotorkit.rigging import (
    angle_from_offset,
    breaking_strength,
    change_of_direction,
    fairlead_limit,
    friction_coefficient_from_tensions,
    safety_wire_for,
    strength_margin,
    tension_after_wrap,
    tension_loss_at_turning_pulley,
)


@given(friction=st.floats(0, 1), wrap=st.floats(0, 720))
def test_capstan_is_the_friction_summed_round_the_drum(friction: float, wrap: float) -> None:
    # dT = -mu T d(beta), integrated step by step.
    found = tension_after_wrap("100 lbf", friction, f"{wrap:.9f} deg").m_as("lbf")
    summed = solve_ivp(lambda _, t: -friction * t, (0, np.radians(wrap)), [100.0], rtol=1e-9, atol=1e-12).y[0, -1]
    assert found == pytest.approx(summed, rel=1e-6)


def test_friction_from_tensions_is_the_inverse() -> None:
    slack = tension_after_wrap("50 lbf", "0.12", "75 deg")
    assert_quantity(friction_coefficient_from_tensions("50 lbf", slack, "75 deg"), "0.12000")


def test_a_turning_pulley_loses_far_less_than_a_seized_one() -> None:
    loss = tension_loss_at_turning_pulley("50 lbf", "90 deg", "0.01", "0.2 in", "1.25 in").m_as("lbf")
    seized = 50 - tension_after_wrap("50 lbf", "0.15", "90 deg").m_as("lbf")
    assert loss < seized / 50
    assert_quantity(
        tension_loss_at_turning_pulley("50 lbf", "0 deg", "0.01", "0.2 in", "1.25 in"), "0 lbf", within="1e-12 lbf"
    )


def test_direction_by_protractor_and_by_straightedge() -> None:
    assert_quantity(
        change_of_direction("14.6 deg", "12.4 deg"), change_of_direction("12.4 deg", "14.6 deg"), within="1e-9 deg"
    )
    limit = fairlead_limit()
    assert limit.judge(measured(angle_from_offset("0.62 in", "12 in"), limit.kind, "offset")).word == "in limits"
    assert limit.judge(measured(angle_from_offset("0.64 in", "12 in"), limit.kind, "offset")).word == "out of limits"


def test_a_fairlead_turns_a_cable_by_three_degrees_and_no_more() -> None:
    """14 CFR 27.685(d)(7): three degrees."""
    limit = fairlead_limit()
    assert limit.judge(measured("2.99 deg", limit.kind, "protractor")).word == "in limits"
    assert limit.judge(measured("3.01 deg", limit.kind, "protractor")).word == "out of limits"


def test_strength_look_up_in_other_words_and_refusals() -> None:
    strength, _ = breaking_strength("3.2 mm", "7 x 19", "Carbon Steel")
    assert_quantity(strength, "2000 lbf")
    with pytest.raises(
        QuantityError, match="Of that size it has: 7x19 in carbon steel; 7x19 in corrosion-resistant steel"
    ):
        breaking_strength("1/8 in", "7x7", "carbon steel")
    with pytest.raises(QuantityError, match="it has: none"):
        breaking_strength("0.14 in", "7x19", "carbon steel")
    with pytest.raises(QuantityError, match="steel: needs"):
        breaking_strength("1/8 in", "7x19", "galvanised")


def test_margin() -> None:
    assert_quantity(strength_margin("450 lbf", "450 lbf"), "0.000")
    assert float(strength_margin("400 lbf", "450 lbf").magnitude) < 0
    uncertain = strength_margin("2000 lbf", measured("450 lbf", Force, "load", "45 lbf"))
    assert float(uncertain.expanded_si) == pytest.approx(2000 / 450 * 0.1, rel=1e-6)
    with pytest.raises(QuantityError, match="load"):
        strength_margin("2000 lbf", "0 lbf")


def test_safety_wire_of_large_cables() -> None:
    assert safety_wire_for("5/32 in") == safety_wire_for("3/8 in")
    # a tenth of a millimetre of a nominal 1/8 in is read as that size, a size between two rows as none
    assert safety_wire_for("3.2 mm") == safety_wire_for("1/8 in")
    for between in ("0.110 in", "0.140 in"):
        with pytest.raises(QuantityError, match="holds 1/16, 3/32, 1/8, and 5/32 in"):
            safety_wire_for(between)
