"""Engine power in thinner air."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.engine import full_throttle_power_gagg_ferrar, power_ratio_gagg_ferrar
from rotorkit.quantities import QuantityError, assert_quantity


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
