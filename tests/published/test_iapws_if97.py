"""IAPWS IF97 saturation pressure beside Buck's 1981 form. Known: computed (a general-purpose library).

The table allows 0.5 % from 0 to 45 °C for Magnus-type forms. Found: worst -0.086 % (25 °C), and +0.15 % at 50 °C.
"""

import pytest

from rotorkit.atmosphere import saturation_vapour_pressure_buck
from rotorkit.quantities import assert_quantity
from tests.reference_table import rows


@pytest.mark.parametrize("row", rows("saturation_vapour_pressure.csv"), ids=lambda row: f"{row['t_C']} degC")
def test_saturation_pressure(row: dict[str, str]) -> None:
    found = saturation_vapour_pressure_buck(f"{row['t_C']} degC")
    assert_quantity(found, f"{row['IF97_Pa']} Pa", within="0.5 %")
    # and no worse than the docstring says
    assert_quantity(found, f"{row['IF97_Pa']} Pa", within="0.09 %" if float(row["t_C"]) <= 45 else "0.15 %")
