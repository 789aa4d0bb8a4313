"""Airspeeds: against the standard atmosphere's table, figures worked elsewhere, and each other."""

import math

import pytest

from rotorkit.atmosphere import (
    calibrated_airspeed,
    impact_pressure,
    standard_density,
    standard_pressure,
    true_airspeed,
)
from rotorkit.quantities import QuantityError, assert_quantity
from tests.reference_table import rows

TABLE = [row for row in rows("isa_geopotential.csv") if -2000 <= int(row["H_ft"]) <= 12000]
KNOT = 1852 / 3600


@pytest.mark.parametrize(
    ("metres", "knots"), [(1000, 261.8680), (2000, 274.5248), (3000, 288.0309), (4000, 302.4505), (5000, 317.8517)]
)
def test_250_knots_in_the_standard_atmosphere(metres: int, knots: float) -> None:
    """Figures of an open-source air-traffic tool's own tests, in which the same equation is written anew (read).
    Its constants are rounded otherwise: 5e-6 off."""
    found = true_airspeed("250 kt", standard_pressure(f"{metres} m"), standard_density(f"{metres} m"))
    assert float(found.m_as("kt")) == pytest.approx(knots, rel=1e-5)


@pytest.mark.parametrize("row", TABLE, ids=lambda row: f"{row['H_ft']} ft")
def test_slow_air_goes_by_the_root_of_the_density_ratio(row: dict[str, str]) -> None:
    """At 40 kt compressibility is less than 1 part in 3000: the table's density alone gives the true airspeed."""
    found = true_airspeed("40 kt", f"{row['p_Pa']} Pa", f"{row['rho_kg_m3']} kg/m^3")
    assert float(found.m_as("kt")) == pytest.approx(40 / math.sqrt(float(row["rho_kg_m3"]) / 1.225), rel=4e-4)


def test_two_per_cent_for_each_thousand_feet() -> None:
    """The pilot's rule of the FAA's handbooks (from memory): 2 % more for each 1000 ft, good to 2 % to 10,000 ft."""
    for feet in (2000, 5000, 8000, 10000):
        found = true_airspeed("85 kt", standard_pressure(f"{feet} ft"), standard_density(f"{feet} ft"))
        assert float(found.m_as("kt")) == pytest.approx(85 * (1 + 0.02 * feet / 1000), rel=0.035)


def test_on_a_standard_day_at_sea_level_both_are_one() -> None:
    assert_quantity(true_airspeed("85 kt", "1013.25 hPa", standard_density("0 ft")), "85.0000 kt")


def test_impact_pressure_by_hand() -> None:
    """rho V^2 / 2 = 1621.0 Pa at 100 kt; times 1 + M^2 / 4 + M^4 / 40 with M = 0.15118: 1630.3 Pa."""
    speed = 100 * KNOT
    mach = speed / 340.294
    assert float(impact_pressure("100 kt", "1013.25 hPa", "1.225 kg/m^3").m_as("Pa")) == pytest.approx(
        1.225 * speed**2 / 2 * (1 + mach**2 / 4 + mach**4 / 40), rel=1e-6
    )


@pytest.mark.parametrize("knots", [0, 25, 85, 180])
@pytest.mark.parametrize(("pressure", "density"), [("700 hPa", "0.85 kg/m^3"), ("1040 hPa", "1.35 kg/m^3")])
def test_there_and_back(knots: int, pressure: str, density: str) -> None:
    there = true_airspeed(f"{knots} kt", pressure, density)
    assert float(calibrated_airspeed(there, pressure, density).m_as("kt")) == pytest.approx(knots, abs=1e-9)


def test_what_is_not_credible_is_refused() -> None:
    with pytest.raises(QuantityError, match="airspeed"):
        true_airspeed("600 kt", "1013 hPa", "1.2 kg/m^3")
