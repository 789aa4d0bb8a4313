"""Invented cases of weighing, loading and timing, by plain arithmetic apart from the library."""

import math

import pytest

from rotorkit.engine import piston_travel, piston_travel_offset
from rotorkit.mass import Loading, burn_path, centre_of_gravity, envelope, item, negligible_change, weigh_in
from rotorkit.quantities import QuantityError

INCH, POUND = 0.0254, 0.45359237


def test_three_scales_a_tare_on_one_and_a_datum_behind() -> None:
    empty = weigh_in(
        [
            ("nose", "212 lb", "-70 in", "0 in", "12 lb"),
            ("left", "410 lb", "-8 in", "-30 in"),
            ("right", "398 lb", "-8 in", "30 in"),
        ]
    ).empty
    mass = 200 + 410 + 398
    assert empty.mass.si == pytest.approx(mass * POUND)
    assert empty.arm.si == pytest.approx((200 * -70 + 808 * -8) / mass * INCH)
    assert empty.lateral_arm.si == pytest.approx((398 - 410) * 30 / mass * INCH)


def test_nose_up_is_negative_and_brings_the_centre_forward() -> None:
    done = weigh_in([("nose", "200 lb", "-70 in"), ("mains", "800 lb", "-8 in")], pitch="-2 deg", height="30 in")
    assert done.levelled.arm.si == pytest.approx((-20.4 - 30 * math.tan(math.radians(2))) * INCH)


def test_left_over_fuel_and_oil_come_off_both_axes() -> None:
    rows = [("nose", "90 kg", "0.5 m"), ("left", "200 kg", "2.6 m", "-0.8 m"), ("right", "210 kg", "2.6 m", "0.8 m")]
    empty = weigh_in(rows, removed=[("fuel", "14.4 kg", "2.9 m", "-0.3 m"), ("oil", "5.3 kg", "3.1 m")]).empty
    assert empty.arm.si == pytest.approx((45 + 410 * 2.6 - 14.4 * 2.9 - 5.3 * 3.1) / 480.3)
    assert empty.lateral_arm.si == pytest.approx((8 + 14.4 * 0.3) / 480.3)


def test_a_path_that_leaves_the_envelope_does_so_where_halving_finds_it() -> None:
    allowed = envelope([("95 in", "1500 lb"), ("101 in", "1500 lb"), ("99 in", "2300 lb"), ("95 in", "2300 lb")])
    tank = ("fuel", "300 lb", "90 in")
    start, end = burn_path(Loading.at("1600 lb", "101.5 in").added(tank), [tank])
    low, high = 0.0, 1.0
    for _ in range(60):
        part = (low + high) / 2
        mass = 1900 - 300 * part
        arm = (1600 * 101.5 + 300 * (1 - part) * 90) / mass
        low, high = (part, high) if arm <= 101 - 2 * (mass - 1500) / 800 else (low, part)
    assert allowed.path(start, end).leaves_at == pytest.approx(low, abs=1e-9)
    moment = "211.2e3 lb*in"
    assert float(centre_of_gravity(moment, "2253 lb").m_as("in")) == pytest.approx(211200 / 2253)
    assert not negligible_change("1050 lb", "0.9 lb", "0.013 in", "6 in")  # 0.2 % of 6 in is 0.012 in
    assert negligible_change("1050 lb", "0.9 lb", "0.011 in", "6 in")


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ([("nose", "900 N", "0.5 m")], "scale under nose.*needs a mass.*force"),
        ([("nose", "90 lb", "2 lb")], "arm of nose.*needs a length"),
        ([("nose", "-9 lb", "0.5 m")], "scale under nose.*below zero"),
        ([("nose", "90 lb", "10 in", "0 in", "2 in")], "tare under nose.*needs a mass"),
    ],
)
def test_what_is_wrong_in_a_row_is_named(rows: list[tuple[str, ...]], said: str) -> None:
    with pytest.raises(QuantityError, match=said):
        weigh_in(rows)


def test_an_item_that_is_a_force_is_named() -> None:
    with pytest.raises(QuantityError, match=r"pilot.*force"):
        item("pilot", "900 N", "1 m")


@pytest.mark.parametrize("offset", [-6.0, -2.0, 0.0, 2.0, 6.0])
@pytest.mark.parametrize("angle", [-170.0, -28.0, 0.0, 28.0, 90.0])
def test_an_offset_piston_is_where_geometry_by_search_puts_it(offset: float, angle: float) -> None:
    """The pin's height of plain geometry, its highest place searched, not solved for."""

    def pin(at: float) -> float:
        return 45 * math.cos(at) + math.sqrt(150**2 - (45 * math.sin(at) - offset) ** 2)

    low, high = -0.3, 0.3
    for _ in range(200):  # the highest place, by thirds
        a, b = low + (high - low) / 3, high - (high - low) / 3
        low, high = (a, high) if pin(a) < pin(b) else (low, b)
    wanted = pin(low) - pin(low + math.radians(angle))
    found = piston_travel_offset("90 mm", "150 mm", f"{offset} mm", f"{angle} deg")
    assert float(found.m_as("mm")) == pytest.approx(wanted, abs=1e-5)
    mirrored = piston_travel_offset("90 mm", "150 mm", f"{-offset} mm", f"{-angle} deg")
    assert float(mirrored.m_as("mm")) == pytest.approx(float(found.m_as("mm")), abs=1e-9)
    if not offset:
        plain = piston_travel("90 mm", "150 mm", f"{angle} deg")
        assert float(found.m_as("mm")) == pytest.approx(float(plain.m_as("mm")), abs=1e-9)


def test_a_rod_too_short_for_the_offset_is_told() -> None:
    with pytest.raises(QuantityError, match="rod must be longer"):
        piston_travel_offset("90 mm", "46 mm", "2 mm", "1 deg")
