"""SAE J1349 (1990), correction factor of spark-ignition engines. Known: formula quoted, figures computed."""

import pytest

from rotorkit.engine import sae_j1349_correction_factor
from rotorkit.quantities import assert_quantity
from tests.reference_table import row


@pytest.mark.parametrize(
    ("pressure", "temperature", "place"),
    [("990 hPa", "25 degC", 0), ("990 hPa", "35 degC", 1), ("1013.25 hPa", "15 degC", 2)],
)
def test_factor(pressure: str, temperature: str, place: int) -> None:
    expected = row("rotor_flight_checks.csv", "subject", "engine power")["expected"].split("; ")[place]
    assert_quantity(sae_j1349_correction_factor(pressure, temperature), expected)
