"""Leishman, Principles of Helicopter Aerodynamics, problem 5.3: its profile power, brought back to the hover.

Known: the problem is quoted, its answer computed. The problem is in forward flight at advance ratio 0.3; profile power
there is the hovering figure times 1 + 4.65 mu^2.
"""

from rotorkit.quantities import assert_quantity
from rotorkit.rotor import disk_area, profile_power_hovering
from tests.reference_table import row


def test_profile_power_of_problem_5_3() -> None:
    given = row("rotor_hover_checks.csv", "topic", "profile power")
    hovering = profile_power_hovering("0.002 slug/ft^3", disk_area("19 ft"), "700 ft/s", 0.08, 0.01)
    assert_quantity(hovering * (1 + 4.65 * 0.3**2), f"{given['expected']} hp")
