"""Momentum theory in vertical climb and on the windmill branch: closed forms. Known: computed."""

import pytest

from rotorkit.quantities import assert_quantity
from rotorkit.rotor import induced_ratio_climbing, induced_ratio_vertical, induced_ratio_windmill, power_ratio_vertical
from tests.reference_table import row


def figures(given: str) -> list[str]:
    return row("rotor_flight_checks.csv", "given", given)["expected"].split("; ")


@pytest.mark.parametrize(("ratio", "place"), [(0.5, 0), (1, 1), (2, 2), (3, 3)])
def test_climb(ratio: float, place: int) -> None:
    induced = induced_ratio_climbing(ratio)
    assert_quantity(induced, figures("climb speed")[place])
    assert_quantity(induced_ratio_vertical(ratio), figures("climb speed")[place])
    assert_quantity(power_ratio_vertical(ratio, induced), figures("same: power")[place])


@pytest.mark.parametrize(("ratio", "place"), [(-2, 0), (-2.5, 1), (-3, 2), (-4, 3)])
def test_windmill_branch(ratio: float, place: int) -> None:
    assert_quantity(induced_ratio_windmill(ratio), figures("windmill branch")[place])
    assert_quantity(induced_ratio_vertical(ratio), figures("windmill branch")[place])
