"""Level flight: Glauert's inflow (closed form, computed), the profile-power integral (computed), and Leishman,
Principles of Helicopter Aerodynamics, problem 5.3 (problem quoted, answers computed)."""

import pytest

from rotorkit.quantities import assert_quantity
from rotorkit.rotor import (
    climb_rate_from_excess_power,
    disk_area,
    flat_plate_area_from_power,
    glauert_inflow_ratio,
    induced_velocity_fast_flight,
    profile_power_factor,
    profile_power_level_flight,
)
from tests.reference_table import row, rows

ANSWERS = {
    part.rsplit(" ", 2)[0]: " ".join(part.rsplit(" ", 2)[1:])
    for part in row("rotor_flight_checks.csv", "subject", "level flight")["expected"].split("; ")
}
STATE = ("0.002 slug/ft^3", disk_area("19 ft"))


@pytest.mark.parametrize(("ratio", "place"), [(0.05, 0), (0.1, 1), (0.2, 2), (0.3, 3)])
def test_glauert(ratio: float, place: int) -> None:
    expected = row("rotor_flight_checks.csv", "given", "Glauert inflow")["expected"].split("; ")[place]
    assert_quantity(glauert_inflow_ratio(0.005, ratio, "0 deg"), expected)


@pytest.mark.parametrize("point", rows("profile_power_factor.csv"), ids=lambda r: r["advance_ratio"])
def test_profile_power_over_the_disk(point: dict[str, str]) -> None:
    assert_quantity(profile_power_factor(float(point["advance_ratio"])), point["factor"], within="0.0005 %")


def test_the_usual_short_form_meets_the_integral_at_a_quarter() -> None:
    """The table's head: 1 + 4.65 mu^2 equals it at 0.25."""
    assert profile_power_factor(0.25).magnitude == pytest.approx(1 + 4.65 * 0.25**2, abs=5e-5)


def test_problem_5_3() -> None:
    """6000 lbf at 210 ft/s with 655 hp; the induced part by Glauert's short form, as the answer has it."""
    induced = 1.15 * induced_velocity_fast_flight("6000 lbf", *STATE, "210 ft/s").m_as("ft/s") * 6000 / 550
    assert induced == pytest.approx(float(ANSWERS["induced"].split()[0]), abs=0.005)
    profile = profile_power_level_flight(*STATE, "700 ft/s", 0.08, 0.01, "210 ft/s")
    assert_quantity(profile, ANSWERS["profile"])
    parasite = 655 - induced - profile.m_as("hp")
    assert parasite == pytest.approx(float(ANSWERS["parasite"].split()[0]), abs=0.012)  # two rounded figures taken off
    assert_quantity(
        flat_plate_area_from_power(f"{parasite} hp", "0.002 slug/ft^3", "210 ft/s"),
        f"{ANSWERS['flat plate'].split()[0]} ft^2",
    )
    assert_quantity(climb_rate_from_excess_power("800 hp", "655 hp", "6000 lbf"), ANSWERS["climb"])
