"""Gagg & Ferrar 1934, power of a normally aspirated engine with height. Known: quoted by a textbook, computed."""

import pytest

from rotorkit.atmosphere import density_ratio, standard_density
from rotorkit.engine import full_throttle_power_gagg_ferrar, power_ratio_gagg_ferrar
from rotorkit.quantities import assert_quantity
from tests.reference_table import rows


@pytest.mark.parametrize("row", rows("engine_altitude_lapse.csv"), ids=lambda row: f"{row['H_ft']} ft")
def test_power_ratio(row: dict[str, str]) -> None:
    sigma = density_ratio(standard_density(f"{row['H_ft']} ft"))
    assert_quantity(sigma, row["density_ratio"], within="0.00001 %")
    assert_quantity(power_ratio_gagg_ferrar(float(row["density_ratio"])), row["power_ratio"], within="0.00001 %")
    expected = f"{150 * float(row['power_ratio'])} hp"
    assert_quantity(full_throttle_power_gagg_ferrar("150 hp", sigma), expected, within="0.00002 %")
