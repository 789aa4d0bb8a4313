"""U. C. Jindal, Machine Design: belts, bearings, a clutch. Known: quoted (companion notebooks to the book; the book was
not seen)."""

import math

import pytest

from rotorkit.drive import (
    bearing_capacity_for_life,
    bearing_life_hours,
    bearing_life_revolutions,
    bearing_life_ten,
    belt_allowed_tension,
    belt_power,
    belt_speed,
    centrifugal_tension,
    clutch_acceleration,
    clutch_slip_energy,
    clutch_slip_time,
    clutch_torque_uniform_wear,
    duty_cycle_load,
    duty_cycle_speed,
    equivalent_bearing_load,
    number_of_belts,
    open_belt_wrap_small,
    plate_force_for_pressure,
    power_from_torque,
    slack_side_tension,
)
from rotorkit.quantities import assert_quantity
from tests.reference_table import row, rows


def one(case: str) -> dict[str, str]:
    return next(r for r in rows("drive_textbook.csv") if r["id"] == case)


def test_example_21_3_v_belts() -> None:
    # 1 m, 0.25 and 0.625 m, 1000 rpm, 0.35 kg/m, 22 x 14 mm, 2.2 MPa, 0.28; 19 degrees is half the groove's angle, and
    # the belt's own flanks lean by 20 (the section with which the tension comes out). Tensions are whole ones.
    recomputed = [text.strip() for text in row("drive_examples.csv", "id", "TB11")["recomputed"].split(";")]
    speed = belt_speed("1000 rpm", "0.25 m")
    assert_quantity(centrifugal_tension("0.35 kg/m", speed), f"{recomputed[0]} N")
    section = f"{14 * (22 - 14 * math.tan(math.radians(20)))} mm^2"
    tight = belt_allowed_tension(section, "2.2 MPa")
    assert_quantity(tight, f"{recomputed[1]} N")
    wrap = open_belt_wrap_small("0.625 m", "0.25 m", "1 m")
    assert_quantity(slack_side_tension(tight, 0.28, wrap, "0.35 kg/m", speed, "38 deg"), f"{recomputed[2]} N")
    power = belt_power(tight, speed, 0.28, wrap, "38 deg", "0.35 kg/m")
    assert 22000 / power.magnitude == pytest.approx(float(recomputed[3]), abs=5e-5)
    assert_quantity(number_of_belts("22 kW", power), "5")  # 4.02: the book's 4 is a little short


def test_example_18_2_combined_load() -> None:
    recomputed = [text.strip() for text in row("drive_examples.csv", "id", "TB26")["recomputed"].split(";")]
    for factor, millions in zip((1, 1.2), recomputed, strict=True):
        load = equivalent_bearing_load("1250 N", "625 N", 0.56, 1.2, factor)
        assert float(bearing_life_revolutions("5590 N", load).magnitude) / 1e6 == pytest.approx(
            float(millions), abs=5e-5
        )


def test_example_18_4_life_in_hours() -> None:
    assert_quantity(
        bearing_life_hours("41 kN", "20 kN", "720 rpm"), f"{row('drive_examples.csv', 'id', 'TB27')['recomputed']} h"
    )


def test_example_18_7_reliability() -> None:
    ten = bearing_life_ten("6000 h", "98 %", 1.17)
    assert_quantity(bearing_capacity_for_life("3500 N", ten, "1400 rpm"), f"{one('BR3')['recomputed']} N")


def test_example_18_10_duty_cycle() -> None:
    # The second condition's equivalent load: 0.56 x 300 + 1.13 x 120 = 303.6 N.
    mean, hours = (text.strip() for text in one("BR5")["recomputed"].split(";"))
    second = equivalent_bearing_load("300 N", "120 N", 0.56, 1.13)
    speeds, shares = ["1440 rpm", "720 rpm"], ["2/3", "1/3"]
    load = duty_cycle_load(["600 N", second], speeds, shares)
    assert_quantity(load, f"{mean} N")
    assert_quantity(bearing_life_hours("1430 N", load, duty_cycle_speed(speeds, shares)), f"{hours} h")


def test_example_22_1_clutch_as_printed() -> None:
    # As printed, with one face's torque: with two faces the torque doubles and the time halves; the heat, which is the
    # energy given to the load, stays the same.
    force, torque, power, acceleration, time, energy = (text.strip() for text in one("CL5")["recomputed"].split(";"))
    pressed = plate_force_for_pressure("0.1 N/mm^2", "110 mm", "70 mm")
    assert_quantity(pressed, f"{force} N")
    found = clutch_torque_uniform_wear(0.28, pressed, "110 mm", "70 mm", 1)
    assert_quantity(found, f"{torque} N*m")
    assert_quantity(power_from_torque(found, "300 rpm"), f"{power} W")
    assert_quantity(clutch_acceleration(found, "7.2 kg*m^2"), f"{acceleration} rad/s^2")
    assert_quantity(clutch_slip_time("7.2 kg*m^2", "300 rpm", found), f"{time} s")
    assert_quantity(clutch_slip_energy("7.2 kg*m^2", "300 rpm"), f"{energy} J")
