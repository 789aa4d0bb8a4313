"""Engine power by the SAE's factor, warm intake, damp air and a rating: limits and order."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.atmosphere import standard_pressure, standard_temperature
from rotorkit.engine import (
    METHODS,
    derated_power,
    dry_pressure,
    engine_model,
    engine_power_available,
    full_throttle_power_gagg_ferrar,
    full_throttle_power_sae_j1349,
    power_ratio_intake_heat,
)
from rotorkit.quantities import Quantity, QuantityError, assert_quantity

STANDARD = ("1013.25 hPa", "15 degC")


@pytest.mark.parametrize("method", METHODS)
def test_the_rating_on_the_standard_day(method: str) -> None:
    assert_quantity(engine_power_available("150 hp", *STANDARD, method=method), "150.000 hp", within="0.001 %")


@pytest.mark.parametrize("method", METHODS)
def test_height_heat_damp_and_a_warm_intake_each_cost_power(method: str) -> None:
    day = {"pressure": "900 hPa", "temperature": "20 degC", "method": method}
    plain = engine_power_available("150 hp", **day)
    for change in (
        {"pressure": "850 hPa"}, {"temperature": "35 degC"}, {"vapour_pressure": "30 hPa"}, {"intake_rise": "15 K"},
    ):  # fmt: skip
        assert engine_power_available("150 hp", **{**day, **change}) < plain


@pytest.mark.parametrize("method", METHODS)
def test_dense_air_gives_no_more_than_the_rating(method: str) -> None:
    assert_quantity(engine_power_available("150 hp", "1040 hPa", "-10 degC", method=method), "150 hp", within="1e-9 %")


def test_the_two_relations_are_some_per_cent_apart_at_height() -> None:
    """By the two formulas on paper: 0.8229 against 0.8433 at 5000 ft, 0.6760 against 0.7038 at 10 000 ft."""
    for feet, apart in ((0, 0.0), (5000, 1 - 0.8229 / 0.8433), (10000, 1 - 0.6760 / 0.7038)):
        air = (standard_pressure(f"{feet} ft"), standard_temperature(f"{feet} ft"))
        one, other = (engine_power_available("150 hp", *air, method=method).m_as("hp") for method in METHODS)
        assert 1 - other / one == pytest.approx(apart, abs=2e-4)


@given(st.floats(600, 1010), st.floats(-20, 40))
def test_gagg_and_ferrar_by_hand(hectopascals: float, celsius: float) -> None:
    pressure, kelvin = hectopascals * 100, celsius + 273.15
    sigma = pressure / 287.05287 / kelvin / (101325 / 287.05287 / 288.15)
    expected = min(full_throttle_power_gagg_ferrar("150 hp", sigma).m_as("hp"), 150)
    found = engine_power_available("150 hp", f"{hectopascals} hPa", f"{kelvin} K")
    assert found.m_as("hp") == pytest.approx(expected, rel=1e-9)


def test_damp_air_counts_by_its_dry_part() -> None:
    assert_quantity(dry_pressure("1000 hPa", "30 hPa"), "970.00 hPa")
    damp = engine_power_available("150 hp", "1000 hPa", "30 degC", "30 hPa", method="SAE J1349")
    assert_quantity(damp, full_throttle_power_sae_j1349("150 hp", "970 hPa", "30 degC"), within="1e-9 %")


def test_intake_heat() -> None:
    assert_quantity(power_ratio_intake_heat("20 degC", "20 degC"), "1.000")
    assert power_ratio_intake_heat("15 degC", "35 degC").magnitude == pytest.approx(0.967, abs=5e-4)


def test_a_rating_caps() -> None:
    assert_quantity(derated_power("180 hp", "150 hp"), "150 hp", within="1e-9 %")
    many = derated_power(Quantity(np.array([140.0, 180.0]), "hp"), "150 hp").m_as("hp")
    assert many == pytest.approx([140, 150])


def test_errors() -> None:
    with pytest.raises(QuantityError, match="method must be one of Gagg & Ferrar, SAE J1349"):
        engine_power_available("150 hp", *STANDARD, method="guess")
    with pytest.raises(QuantityError, match="derated_to must be 30 % to 100 %"):
        engine_model("150 hp", "120 %")
