"""Mass and weight at standard gravity (9.80665 m/s^2 exactly, NIST SP 811, quoted)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.mass import mass_from_weight, weight_force
from rotorkit.quantities import QuantityError, assert_quantity


def test_a_pound_weighs_a_pound_and_a_kilogram_9_80665_newtons() -> None:
    assert_quantity(weight_force("1400 lb"), "1400.000000 lb")
    assert_quantity(weight_force("1 kg"), "9.80665 N")
    assert_quantity(weight_force("1 slug"), "32.17405 lb")


@given(st.floats(0, 1e4))
def test_round_trip(kilograms: float) -> None:
    assert mass_from_weight(weight_force(f"{kilograms} kg")).m_as("kg") == pytest.approx(kilograms, rel=1e-13)


def test_force_and_mass_are_kept_apart() -> None:
    with pytest.raises(QuantityError, match="mass"):
        weight_force("1400 lbf")
    with pytest.raises(QuantityError, match="weight"):
        mass_from_weight("1400 kg")
    with pytest.raises(QuantityError, match="mass"):
        weight_force("-5 lb")
