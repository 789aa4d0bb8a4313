"""Power off: rotor-speed decay and coning (closed forms, computed), the energy guideline (design notes, quoted)."""

import pytest

from rotorkit.quantities import assert_quantity
from rotorkit.rotor import ENERGY_PER_POWER_GUIDELINE, coning_angle, rotor_speed_ratio_after_power_loss
from tests.reference_table import row


@pytest.mark.parametrize(("seconds", "place"), [(1, 0), (2, 1)])
def test_rotor_speed_left_after_power_loss(seconds: int, place: int) -> None:
    expected = row("rotor_flight_checks.csv", "given", "rotor speed left")["expected"].split("; ")[place]
    assert_quantity(rotor_speed_ratio_after_power_loss(f"{seconds} s", "1.5 s"), expected)


def test_coning() -> None:
    expected = row("rotor_flight_checks.csv", "subject", "coning")["expected"]
    assert_quantity(coning_angle(8, "8 deg", 0.05), f"{expected} deg")


def test_the_guideline() -> None:
    assert "single engine 1.5 s" in row("rotor_flight_checks.csv", "given", "energy/power guideline")["given"]
    assert float(ENERGY_PER_POWER_GUIDELINE) == 1.5
