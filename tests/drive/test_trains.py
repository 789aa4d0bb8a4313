"""Trains of shafts: speeds from any one, senses, loads with losses, and what is refused."""

import math

import pytest

from rotorkit.drive import (
    belt,
    belt_power,
    centre_distance_for_belt_length,
    clutch_pressure_uniform_wear,
    critical_speed_of_overhung_disc,
    duty_cycle_load,
    gears,
    number_of_belts,
    one_way_clutch,
    open_belt_wrap_small,
    plate_force_for_pressure,
    ratio_by_turns,
    round_bar_second_moment,
    shaft,
    shoe_brake_force,
    torsion_stress,
    torsional_stiffness,
    train,
    universal_joint_pair,
)
from rotorkit.drive.train import Train
from rotorkit.quantities import QuantityError, assert_quantity


def whole() -> Train:
    return train(
        belt("engine", "jackshaft", "9 in", "13.5 in", slip="1 %", efficiency="96 %"),
        one_way_clutch("jackshaft", "pinion"),
        gears("pinion", "main rotor", 11, 43, efficiency="98 %"),
        shaft("pinion", "tail drive"),
        gears("tail drive", "tail rotor", 20, 13, efficiency="98 %", arrangement="bevel"),
    )


def test_every_shaft_from_any_one() -> None:
    by_hand = {"engine": 2700.0, "jackshaft": 1782.0, "pinion": 1782.0, "main rotor": 1782 * 11 / 43}
    by_hand |= {"tail drive": 1782.0, "tail rotor": 1782 * 20 / 13}
    for name, speed in by_hand.items():
        found = whole().speeds(name, f"{speed} rpm")
        for other, expected in by_hand.items():
            assert float(found[other].magnitude) * 30 / math.pi == pytest.approx(expected, rel=1e-12)


def test_freewheeling_and_senses() -> None:
    assert set(whole().ratios("main rotor", freewheeling=True)) == {"pinion", "main rotor", "tail drive", "tail rotor"}
    assert set(whole().ratios("engine", freewheeling=True)) == {"engine", "jackshaft"}
    senses = whole().senses("engine")
    assert senses["jackshaft"] is True
    assert senses["main rotor"] is False
    assert senses["tail rotor"] is None


def test_loads_add_up_with_losses() -> None:
    loads = whole().loads("engine", "2700 rpm", {"main rotor": "100 hp", "tail rotor": "10 hp", "jackshaft": "2 hp"})
    pinion = 100 / 0.98 + 10 / 0.98
    assert_quantity(loads["pinion"].power, f"{pinion} hp", within="1e-9 %")
    assert_quantity(loads["engine"].power, f"{(pinion + 2) / 0.96} hp", within="1e-9 %")
    torque = 100 * 33000 / (2 * math.pi * 1782 * 11 / 43)
    assert_quantity(loads["main rotor"].torque, f"{torque} lbf*ft", within="1e-7 %")


def test_turns_counted_from_either_end() -> None:
    one = ratio_by_turns("58.25 turns", "10 turns")
    other = ratio_by_turns("10 turns", "58.25 turns")
    assert float(one.magnitude) * float(other.magnitude) == pytest.approx(1)
    assert_quantity(ratio_by_turns("2097 deg", "1 turn"), "5.825")


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (lambda: train(), "needs a link"),
        (lambda: train(shaft("a", "b"), shaft("c", "d")), "no link leads from a to c, d"),
        (lambda: train(shaft("a", "b"), gears("a", "b", 10, 20)), "two ways"),
        (lambda: train(shaft("a", "a")), "with itself"),
        (lambda: train(shaft("a", "b")).speeds("x", "1 rpm"), "no shaft 'x'"),
        (lambda: belt("a", "b", "9 in", "13 in", efficiency="120 %"), "above 0 and not above 1"),
        (lambda: gears("a", "b", 10, 20, arrangement="odd"), "arrangement must be"),
    ],
)
def test_refused(made: object, said: str) -> None:
    with pytest.raises(QuantityError, match=said):
        made()  # type: ignore[operator]


def test_what_carries_nothing_and_what_stands_still_is_refused() -> None:
    # 0.3 kg/m at 50 m/s take 750 N of centrifugal tension: a belt set to 700 N carries less than nothing
    fast = belt_power("700 N", "50 m/s", 0.3, "160 deg", "180 deg", "0.3 kg/m")
    for power in (fast, "0 kW"):
        with pytest.raises(QuantityError, match="power_per_belt"):
            number_of_belts("10 kW", power)
    with pytest.raises(QuantityError, match="turn"):
        duty_cycle_load(["100 N", "200 N"], ["0 rpm", "0 rpm"], ["1/2", "1/2"])


def test_what_cannot_be_made_is_refused_by_name() -> None:
    for work, said in (
        (lambda: torsion_stress("250 lbf*ft", "1.5 in", "2 in"), "inner_diameter must be less than outer_diameter"),
        (lambda: torsional_stiffness("36 in", "12e6 psi", "1 in", "1 in"), "inner_diameter must be less than"),
        (lambda: round_bar_second_moment("3 in", "80 mm"), "must be less than outer_diameter .3 in., got 80 mm"),
        (lambda: plate_force_for_pressure("0.1 MPa", "70 mm", "110 mm"), "inner_radius must be less than outer_radius"),
        (lambda: clutch_pressure_uniform_wear("4 kN", "100 mm", "50 mm", "40 mm"), "radius must be at least inner_"),
        (lambda: clutch_pressure_uniform_wear("4 kN", "100 mm", "50 mm", "101 mm"), "radius must be at most outer_"),
        (lambda: open_belt_wrap_small("9 in", "13.5 in", "24 in"), "small_diameter must be at most large_diameter"),
        (lambda: centre_distance_for_belt_length("0 in", "9 in", "9 in"), "belt_length must be from"),
        (lambda: shoe_brake_force("100 N*m", "0.2 m", "0", "0.9 m", "0.4 m"), "friction_coefficient must be from"),
        (lambda: universal_joint_pair("500 rpm", "95 deg", "20 deg"), "first_angle must be from 0 deg to 80 deg"),
        (lambda: critical_speed_of_overhung_disc("30e6 psi", "4 in^4", "36 in", "0 lb", "0 lb*in^2", "0 lb*in^2"),
         "mass must be"),
        (lambda: critical_speed_of_overhung_disc("30e6 psi", "4 in^4", "36 in", "9 lb", "1 lb*in^2", "3 lb*in^2"),
         "at most twice diametral_inertia"),
    ):  # fmt: skip
        with pytest.raises(QuantityError, match=said):
            work()
    assert_quantity(open_belt_wrap_small("9 in", "9 in", "24 in"), "180.0 deg")
