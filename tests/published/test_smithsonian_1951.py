"""Altimeter setting by its definition (Smithsonian Meteorological Tables), as computed in the table; known: computed.

The table took 3386.389 Pa for one inch of mercury; the unit's exact conventional value is 3386.388640 Pa. The pressures
are given to the function in pascals by the table's factor, so that its printed digits can be checked; typed in inches
of mercury the answers move by 0.003 ft.
"""

import pytest

from rotorkit.atmosphere import pressure_altitude, pressure_altitude_from_altimeter, standard_pressure, station_pressure
from rotorkit.quantities import assert_quantity
from tests.reference_table import rows

TABLE = rows("pressure_altitude.csv")
TABLE_INCH_OF_MERCURY = 3386.389


def _id(row: dict[str, str]) -> str:
    return f"{row['elevation_ft']} ft {row['altimeter_inHg']} inHg"


@pytest.mark.parametrize("row", TABLE, ids=_id)
def test_station_pressure_and_pressure_altitude(row: dict[str, str]) -> None:
    setting = f"{float(row['altimeter_inHg']) * TABLE_INCH_OF_MERCURY:.6f} Pa"
    elevation = f"{row['elevation_ft']} ft"
    pressure = station_pressure(setting, elevation)
    assert_quantity(pressure, f"{row['station_pressure_Pa']} Pa")
    assert_quantity(pressure_altitude_from_altimeter(setting, elevation), f"{row['pressure_altitude_ft']} ft")
    assert_quantity(pressure_altitude(pressure), f"{row['pressure_altitude_ft']} ft")


@pytest.mark.parametrize("row", TABLE, ids=_id)
def test_typed_in_inches_of_mercury(row: dict[str, str]) -> None:
    found = pressure_altitude_from_altimeter(f"{row['altimeter_inHg']} inHg", f"{row['elevation_ft']} ft")
    assert_quantity(found, f"{row['pressure_altitude_ft']} ft", within="0.003 ft")


def test_the_ratio_method_is_the_26_ft_trap() -> None:
    """Setting times standard pressure ratio, the shortcut to avoid: 26 ft off at 8000 ft with 29.42 inHg."""
    right = pressure_altitude_from_altimeter("29.42 inHg", "8000 ft")
    ratio = standard_pressure("8000 ft").m_as("Pa") / standard_pressure("0 ft").m_as("Pa")
    shortcut = pressure_altitude(f"{29.42 * 3386.38864 * ratio} Pa")
    assert_quantity(abs(shortcut - right), "26 ft", within="1 ft", kind=None)
