"""R. S. Khurmi and J. K. Gupta, Theory of Machines: joints, belts, clutches. Known: quoted (companion notebooks to the
book; the book was not seen)."""

import math

import pytest

from rotorkit.drive import (
    belt_allowed_tension,
    belt_linear_density,
    belt_power,
    belt_power_from_initial_tension,
    belt_speed,
    belt_speed_for_greatest_power,
    clutch_pressure_mean,
    clutch_pressure_uniform_wear,
    clutch_torque_uniform_wear,
    crossed_belt_length,
    crossed_belt_wrap,
    number_of_belts,
    plate_force_for_pressure,
    power_from_torque,
    slack_side_tension,
    universal_joint_angle_for_fluctuation,
    universal_joint_fluctuation,
    universal_joint_greatest_acceleration,
    universal_joint_greatest_speed,
    universal_joint_least_speed,
    universal_joint_pair,
    universal_joint_unit_ratio_angle,
)
from rotorkit.quantities import assert_quantity
from tests.reference_table import rows

TABLE = "drive_textbook.csv"


def one(case: str) -> dict[str, str]:
    return next(r for r in rows(TABLE) if r["id"] == case)


def recomputed(case: str) -> list[str]:
    return [text.strip() for text in one(case)["recomputed"].split(";")]


def test_example_9_4_angle_of_a_joint_by_its_fluctuation() -> None:
    angle = universal_joint_angle_for_fluctuation("12 %")
    assert_quantity(angle, one("UJ1")["published"].removeprefix("alpha "))
    assert_quantity(angle, f"{recomputed('UJ1')[0]} deg")
    assert_quantity(universal_joint_fluctuation(angle), "0.1200")


def test_example_9_2_greatest_acceleration() -> None:
    # Published 3080 rad/s2 (book: omega rounded to 157); torque on 12 kg at 0.1 m: 370 N m.
    acceleration = universal_joint_greatest_acceleration("1500 rpm", "20 deg")
    assert_quantity(acceleration, f"{recomputed('UJ3')[0]} rad/s^2", within="0.1 %")
    assert float(acceleration.magnitude) * 12 * 0.1**2 == pytest.approx(float(recomputed("UJ3")[1]), rel=1e-3)


def test_example_9_3_angle_of_equal_speeds() -> None:
    # The companion takes a cosine for its inverse: the recomputed figures are right.
    angle = universal_joint_unit_ratio_angle("18 deg")
    assert_quantity(angle, f"{recomputed('UJ4')[0]} deg")
    assert 180 - math.degrees(angle.magnitude) == pytest.approx(float(recomputed("UJ4")[1]), abs=5e-5)


def test_example_9_7_two_joints_wrongly_phased() -> None:
    most, least, output_most, output_least = recomputed("UJ6")
    assert_quantity(universal_joint_greatest_speed("500 rpm", "20 deg"), f"{most} rpm")
    assert_quantity(universal_joint_least_speed("500 rpm", "20 deg"), f"{least} rpm")
    wrong = universal_joint_pair("500 rpm", "20 deg", "20 deg", "90 deg")
    assert_quantity(wrong.intermediate_greatest, f"{most} rpm")
    assert_quantity(wrong.intermediate_least, f"{least} rpm")
    assert_quantity(wrong.output_greatest, f"{output_most} rpm")
    assert_quantity(wrong.output_least, f"{output_least} rpm")


def test_example_11_4_flat_belt() -> None:
    power = belt_power("2500 N", belt_speed("200 rpm", "0.6 m"), 0.25, "160 deg")
    assert_quantity(power, one("BL1")["published"])
    assert_quantity(power, f"{recomputed('BL1')[0]} kW")


def test_example_11_5_rope_of_two_and_a_half_turns() -> None:
    slack = slack_side_tension("9000 N", 0.25, "2.5 turns")
    assert_quantity(slack, f"{recomputed('BL2')[0]} N")
    power = belt_power("9000 N", belt_speed("20 rpm", "0.3 m"), 0.25, "2.5 turns")
    assert_quantity(power, f"{recomputed('BL2')[1]} kW")


def test_example_11_6_crossed_belt() -> None:
    # The companion takes a sine for its inverse: 3.476 rad and 2.74 kW are right. The length is by the textbook's
    # approximation, pi (r1 + r2) + 2 x + (r1 + r2)^2 / x; the exact one is 0.003 % longer.
    length, wrap, power = recomputed("BL3")
    sizes = ("0.45 m", "0.2 m", "1.95 m")
    assert_quantity(crossed_belt_length(*sizes), f"{length} m", within="0.003 %")
    assert float(length) == pytest.approx(math.pi * 0.325 + 2 * 1.95 + 0.325**2 / 1.95, abs=5e-6)
    assert_quantity(crossed_belt_wrap(*sizes), f"{wrap} rad")
    found = belt_power("1000 N", belt_speed("200 rpm", "0.45 m"), 0.25, crossed_belt_wrap(*sizes))
    assert_quantity(found, f"{power} kW")


def test_example_11_10_speed_for_greatest_power() -> None:
    tension, mass = belt_allowed_tension("600 mm^2", "2 MPa"), belt_linear_density("600 mm^2", "1000 kg/m^3")
    speed = belt_speed_for_greatest_power(tension, mass)
    assert_quantity(speed, f"{recomputed('BL4')[0]} m/s")
    power = belt_power(tension, speed, 0.3, "120 deg", linear_density=mass)
    assert_quantity(power, f"{recomputed('BL4')[1]} kW")


def test_example_11_12_power_from_initial_tension() -> None:
    power = belt_power_from_initial_tension("2000 N", belt_speed("500 rpm", "0.4 m"), 0.3, "150 deg")
    assert_quantity(power, one("BL6")["published"])
    assert_quantity(power, f"{recomputed('BL6')[0]} kW")


def test_example_11_17_pair_of_v_belts() -> None:
    tension, mass = belt_allowed_tension("750 mm^2", "7 MPa"), belt_linear_density("750 mm^2", "1200 kg/m^3")
    power = belt_power(tension, belt_speed("1500 rpm", "0.3 m"), 0.12, "180 deg", "30 deg", mass)
    assert_quantity(2 * power, f"{recomputed('BL8')[0]} kW")
    speed = belt_speed_for_greatest_power(tension, mass)
    assert speed.magnitude / 0.15 * 30 / math.pi == pytest.approx(float(recomputed("BL8")[1]), abs=0.005)


def test_example_11_20_rope_drive() -> None:
    power = belt_power("2400 N", belt_speed("90 rpm", "4 m"), 0.28, "160 deg", "45 deg", "1.5 kg/m")
    each, number = recomputed("BL10")
    assert_quantity(power, f"{each} kW")
    assert float(number) == pytest.approx(600 / float(each), abs=5e-5)
    assert_quantity(number_of_belts("600 kW", power), "20")


def test_example_10_22_pressures_of_a_worn_in_clutch() -> None:
    inner, outer, mean = recomputed("CL1")
    plate = ("4 kN", "100 mm", "50 mm")
    assert_quantity(clutch_pressure_uniform_wear(*plate, "50 mm"), f"{inner} N/mm^2")
    assert_quantity(clutch_pressure_uniform_wear(*plate, "100 mm"), f"{outer} N/mm^2")
    assert_quantity(clutch_pressure_mean(*plate), f"{mean} N/mm^2")


@pytest.mark.parametrize(
    ("case", "pressure", "outer", "inner", "faces", "speed"),
    [
        ("CL2", "0.1 N/mm^2", "150 mm", "100 mm", 2, "2500 rpm"),  # example 10.23
        ("CL4", "0.127 N/mm^2", "125 mm", "75 mm", 4, "500 rpm"),  # example 10.28
    ],
)
def test_plate_clutches(case: str, pressure: str, outer: str, inner: str, faces: int, speed: str) -> None:
    force = plate_force_for_pressure(pressure, outer, inner)
    power = power_from_torque(clutch_torque_uniform_wear(0.3, force, outer, inner, faces), speed)
    assert_quantity(power, f"{recomputed(case)[0]} kW")
