"""NIST SP 811, Appendix B.8: conversion factors, as `read` understands the units people type. Known: quoted.

Each to half a unit in the last printed digit. Units that the trade does not type are refused, never misread.
"""

import pytest

from rotorkit.quantities import (
    Force,
    Length,
    Mass,
    Power,
    Pressure,
    QuantityError,
    SpecificFuelConsumption,
    Speed,
    Torque,
    Volume,
    assert_quantity,
    read,
)
from tests.reference_table import rows

TYPED = {
    "slug": ("1 slug", Mass, "kg"),
    "lbf": ("1 lb", Force, "N"),
    "horsepower (550 ft.lbf/s)": ("1 hp", Power, "W"),
    "horsepower (metric)": ("1 PS", Power, "W"),
    "inch of mercury, conventional": ("1 inHg", Pressure, "Pa"),
    "inch of water, conventional": ("1 inH2O", Pressure, "Pa"),
    "knot": ("1 kt", Speed, "m/s"),
    "gallon (U.S.)": ("1 gal", Volume, "m^3"),
    "mile": ("1 mile", Length, "m"),
    "ounce-force inch": ("1 oz-in", Torque, "N*m"),
    "lbf.in": ("1 in-lb", Torque, "N*m"),
    "psi": ("1 psi", Pressure, "Pa"),
    "lb/(hp.h)": ("1 lb/(hp*h)", SpecificFuelConsumption, "kg/J"),
}
REFUSED = {
    "horsepower (electric)": ("1 electric hp", Power),
    "horsepower (U.K.)": ("1 UK hp", Power),
    "horsepower (water)": ("1 water hp", Power),
    "horsepower (boiler)": ("1 boiler hp", Power),
    "inch of mercury (32 F)": ("1 inHg32", Pressure),
    "inch of mercury (60 F)": ("1 inHg60", Pressure),
    "inch of water (39.2 F)": ("1 inH2O39", Pressure),
    "inch of water (60 F)": ("1 inH2O60", Pressure),
}
TABLE = rows("nist_sp_811_units.csv")


@pytest.mark.parametrize("row", TABLE, ids=lambda row: row["unit"].replace(" ", "_"))
def test_factor(row: dict[str, str]) -> None:
    if row["unit"] in REFUSED:
        text, kind = REFUSED[row["unit"]]
        with pytest.raises(QuantityError):
            read(text, kind)
        pytest.skip("a unit that is not typed in this trade: refused, not misread")
    text, kind, unit = TYPED[row["unit"]]
    found = read(text, kind)
    assert_quantity(found, f"{row['rounded_factor']} {unit}")
    if row["exact_or_more_digits"]:
        assert_quantity(found, f"{row['exact_or_more_digits']} {unit}")
