"""W. D. Callister, Fundamentals of Materials Science and Engineering, 3rd ed., Table B.6: thermal expansion. Known:
quoted."""

import pytest

from rotorkit.quantities import ThermalExpansion, assert_quantity, read
from rotorkit.rigging import MATERIALS
from tests.reference_table import rows

TABLE = rows("thermal_expansion.csv")


@pytest.mark.parametrize("printed", TABLE, ids=lambda r: r["material"])
def test_expansion_as_printed_in_both_units(printed: dict[str, str]) -> None:
    held = read(MATERIALS[printed["material"]].expansion, ThermalExpansion).value
    assert_quantity(held, f"{printed['per_degC_1e-6']}e-6 /°C")
    # The second column is the first, divided by 1.8 and rounded to its own digits.
    assert_quantity(held, f"{printed['per_degF_1e-6']}e-6 /°F")


@pytest.mark.parametrize("printed", TABLE, ids=lambda r: r["material"])
def test_the_family_holds_the_value(printed: dict[str, str]) -> None:
    held = MATERIALS[printed["material"]]
    low, value, high = (read(text, ThermalExpansion).si for text in (held.low, held.expansion, held.high))
    assert low <= value <= high
    assert (low, high) == pytest.approx([float(printed[f"{end}_per_degC_1e-6"]) * 1e-6 for end in ("low", "high")])


def test_every_material_of_the_table_and_no_other() -> None:
    assert list(MATERIALS) == [r["material"] for r in TABLE]
