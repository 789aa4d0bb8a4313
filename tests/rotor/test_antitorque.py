"""Pedal margin: what is left adds up to the travel, signs, twisted blades, and the words when it is not enough."""

import numpy as np
import pytest

from rotorkit.quantities import Quantity, QuantityError, assert_quantity
from rotorkit.rotor import LinearSection, pedal_margin, rotor_blades

SECTION = LinearSection(5.73, (0.0087, -0.0216, 0.4), 1.2, thickness_ratio=0.12)
BLADES = rotor_blades(2, "25 in", "4 1/2 in", "7 in", SECTION)
GIVEN = ("3000 rpm", "1.225 kg/m^3")


def test_what_is_left_adds_up() -> None:
    margin = pedal_margin(BLADES, *GIVEN, "75 lbf", "-8 deg", "18 deg")
    assert_quantity(margin.angle_left_to_high_stop + margin.angle_left_to_low_stop, "26 deg", within="1e-7 %")
    total = margin.thrust_left_at_high_stop + margin.thrust_left_at_low_stop
    assert total.m_as("N") == pytest.approx(margin.thrust_at_high_si - margin.thrust_at_low_si, rel=1e-9)
    assert 0 < margin.pedal_used < 1
    assert margin.remarks == []


def test_at_the_angle_needed_nothing_is_left() -> None:
    margin = pedal_margin(BLADES, *GIVEN, "75 lbf", "-8 deg", "18 deg")
    again = pedal_margin(BLADES, *GIVEN, "75 lbf", "-8 deg", margin.blade_angle_needed)
    assert again.thrust_left_at_high_stop.m_as("lbf") == pytest.approx(0, abs=1e-5)
    assert again.angle_left_to_high_stop.m_as("deg") == pytest.approx(0, abs=1e-6)


def test_blockage_takes_pedal() -> None:
    free, fin = (pedal_margin(BLADES, *GIVEN, "75 lbf", "-8 deg", "18 deg", blockage=b) for b in ("0 %", "15 %"))
    assert fin.blade_angle_needed > free.blade_angle_needed
    assert fin.power_needed > free.power_needed


def test_thin_air_takes_pedal() -> None:
    margin = pedal_margin(
        BLADES, "3000 rpm", Quantity(np.array([1.2, 1.0, 0.85]), "kg/m^3"), "90 lbf", "-8 deg", "18 deg"
    )
    assert (np.diff(margin.needed_si) > 0).all()
    assert (np.diff(margin.thrust_left_at_high_stop.magnitude) < 0).all()


def test_not_enough_is_said() -> None:
    beyond = pedal_margin(BLADES, *GIVEN, "75 lbf", "-8 deg", "5 deg")
    assert beyond.thrust_left_at_high_stop.magnitude < 0
    assert beyond.angle_left_to_high_stop.magnitude < 0
    assert "more blade angle than the stop that pushes hardest allows" in beyond.remarks[0]
    never = pedal_margin(BLADES, *GIVEN, "900 lbf", "-8 deg", "18 deg")
    assert "stall before that" in never.remarks[0]
    late = pedal_margin(BLADES, *GIVEN, "75 lbf", "-8 deg", "24 deg")
    assert "do not count on the last of the pedal" in late.remarks[-1]


def test_twisted_blades_are_measured_where_they_are_measured() -> None:
    twisted = rotor_blades(2, "25 in", "4 1/2 in", "7 in", SECTION, twist="-8 deg")
    at_root = pedal_margin(twisted, *GIVEN, "75 lbf", "-8 deg", "18 deg", measured_at=0.3)
    at_three_quarters = pedal_margin(twisted, *GIVEN, "75 lbf", "-8 deg", "18 deg")
    shift = at_root.blade_angle_needed - at_three_quarters.blade_angle_needed
    assert shift.m_as("deg") == pytest.approx(8 * 0.45, rel=1e-6)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"high_stop": "-9 deg"}, "sign convention"),
        ({"blockage": "60 %"}, "blockage"),
        ({"measured_at": 0.1}, "on the blade"),
    ],
)
def test_errors(change: dict[str, str], message: str) -> None:
    given = {"thrust_needed": "75 lbf", "low_stop": "-8 deg", "high_stop": "18 deg", **change}
    with pytest.raises(QuantityError, match=message):
        pedal_margin(BLADES, *GIVEN, **given)
