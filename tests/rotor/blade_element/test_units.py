"""The unit-aware edge: the unit does not matter, uncertainty goes through, quantities of arrays come back shaped."""

import numpy as np
import pytest

from rotorkit.judging.measured import measured
from rotorkit.quantities import Force, Quantity, assert_quantity
from rotorkit.rotor import (
    LinearSection,
    blade_element_hover,
    blade_element_power,
    hover_power_from_figure_of_merit,
    rotor_blades,
)

SECTION = LinearSection(5.73, (0.0087, -0.0216, 0.4), 1.2, thickness_ratio=0.12)
BLADES = rotor_blades(2, "12 ft 6 in", "7 1/2 in", "20 in", SECTION, twist="-6 deg")
METRIC = rotor_blades(2, "3.81 m", "190.5 mm", "50.8 cm", SECTION, twist="-0.10471975512 rad")


def test_units_do_not_matter() -> None:
    us = blade_element_hover(BLADES, "500 rpm", "0.0023769 slug/ft^3", thrust="1450 lbf", temperature="59 °F")
    si = blade_element_hover(METRIC, "52.35987756 rad/s", "1.22501 kg/m^3", thrust="6449.92 N", temperature="15 °C")
    assert_quantity(us.power, si.power, within="0.001 %")
    assert_quantity(us.collective, si.collective, within="0.001 %")


def test_the_result_fits_the_library() -> None:
    hover = blade_element_hover(BLADES, "500 rpm", "1.225 kg/m^3", thrust="1450 lbf")
    assert_quantity(hover.thrust, "1450.00 lbf")
    assert_quantity(
        hover_power_from_figure_of_merit("1450 lbf", "1.225 kg/m^3", "490.874 ft^2", hover.figure_of_merit),
        hover.power, within="0.001 %",
    )  # fmt: skip
    assert_quantity(hover.induced_power + hover.profile_power, hover.power, within="0.0000001 %")
    assert hover.along_blade().station.shape == (60,)


def test_uncertainty_goes_through() -> None:
    thrust = measured("1450 ± 29 lbf", Force, "weight")
    power = blade_element_power(BLADES, thrust, "500 rpm", "1.225 kg/m^3")
    more, less = (blade_element_power(BLADES, f"{x} lbf", "500 rpm", "1.225 kg/m^3").m_as("hp") for x in (1479, 1421))
    assert power.expanded.m_as("hp") == pytest.approx((more - less) / 2, rel=1e-3)
    assert 1 < power.expanded.m_as("hp") / power.value.m_as("hp") / 0.02 < 1.5


def test_quantities_of_arrays() -> None:
    thrust = Quantity(np.array([1200.0, 1400.0]), "lbf")
    density = Quantity(np.array([[1.225], [1.0]]), "kg/m^3")
    hover = blade_element_hover(BLADES, "500 rpm", density, thrust=thrust)
    assert hover.power.shape == (2, 2)
    one = blade_element_hover(BLADES, "500 rpm", "1.0 kg/m^3", thrust="1400 lbf")
    assert hover.power[1, 1].m_as("W") == pytest.approx(one.power.m_as("W"), rel=1e-9)
