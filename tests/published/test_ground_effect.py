"""Ground effect: Cheeseman & Bennett 1955 (formula quoted, figures computed) and Hayden 1976 (memory, high)."""

import pytest

from rotorkit.quantities import assert_quantity
from rotorkit.rotor import ground_effect_induced_power_ratio_hayden, ground_effect_thrust_ratio_cheeseman_bennett
from tests.reference_table import row

HEIGHTS = [0.5, 1, 1.5, 2, 3]


@pytest.mark.parametrize("place", range(5))
def test_cheeseman_and_bennett(place: int) -> None:
    expected = row("rotor_flight_checks.csv", "given", "Cheeseman")["expected"].split("; ")[place]
    assert_quantity(ground_effect_thrust_ratio_cheeseman_bennett(HEIGHTS[place]), expected)


@pytest.mark.parametrize("place", range(5))
def test_hayden(place: int) -> None:
    expected = row("rotor_flight_checks.csv", "given", "Hayden")["expected"].split("; ")[place]
    assert_quantity(ground_effect_induced_power_ratio_hayden(HEIGHTS[place]), expected)
