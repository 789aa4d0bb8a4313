"""Engine power in thinner air."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.engine import (
    full_throttle_power_gagg_ferrar,
    hottest_ambient,
    power_held_to_rating,
    power_ratio_gagg_ferrar,
)
from rotorkit.quantities import Length, QuantityError, Ratio, assert_quantity, from_si, required_kind


def test_full_power_at_sea_level() -> None:
    assert_quantity(power_ratio_gagg_ferrar(1), "1.000000000")


@given(st.floats(0.5, 0.999))
def test_power_falls_faster_than_density(sigma: float) -> None:
    """Friction stays while the charge thins: the ratio lies below the density ratio, and falls with it."""
    assert power_ratio_gagg_ferrar.si(sigma) < sigma
    assert power_ratio_gagg_ferrar.si(sigma) < power_ratio_gagg_ferrar.si(sigma + 0.001)


def test_power_is_the_ratio_of_the_rating() -> None:
    assert_quantity(full_throttle_power_gagg_ferrar("150 hp", 0.8616705), f"{150 * 0.8433487:.3f} hp")


def test_the_density_that_leaves_enough_power() -> None:
    sigma = full_throttle_power_gagg_ferrar.solve_for("density_ratio", result="126.5023 hp", sea_level_power="150 hp")
    assert_quantity(sigma, "0.86167")


@pytest.mark.parametrize("sigma", [0.4, 1.4, "86"])
def test_outside_its_range_it_is_refused(sigma: object) -> None:
    with pytest.raises(QuantityError, match="density_ratio"):
        power_ratio_gagg_ferrar(sigma)


def test_a_sweep_over_heights() -> None:
    """Arrays: 150 (s - (1 - s) / 7.55), held at 150 from a density ratio of 1 on; 100 °F less 3.6 °F each 1,000 ft."""
    found = power_held_to_rating("150 hp", from_si(np.array([0.8, 1.0, 1.1]), required_kind(Ratio)))
    assert found.m_as("hp") == pytest.approx([150 * (0.8 - 0.2 / 7.55), 150, 150])
    air = hottest_ambient(from_si(np.array([-304.8, 0.0, 1524.0, 20000.0]), required_kind(Length)))
    assert air.m_as("degF") == pytest.approx([103.6, 100, 82, -69.7])
