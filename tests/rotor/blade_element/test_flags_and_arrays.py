"""Stall, figures stretched beyond their data, thrusts that no angle gives; shapes, blocks and memory."""

import tracemalloc

import numpy as np
import pytest

from rotorkit.quantities import QuantityError
from rotorkit.rotor.blade_element import (
    Air,
    Blades,
    LinearSection,
    Model,
    SectionTable,
    along_blade,
    at_collective,
    at_thrust,
    blade_element_hover,
    rotor_blades,
)
from rotorkit.rotor.blade_element.annuli import BLOCK, HoverNumbers, blocks

AIR = Air(1.225, 340.294, 1.789e-5)
SECTION = LinearSection(5.75, (0.0113, 0.0, 0.75), 0.93)
BLADES = rotor_blades(2, "2.5 ft", "2 in", "5 in", SECTION)
ANGLES = [f"{angle} deg" for angle in np.arange(-20, 20.5, 0.5)]
LIFT, DRAG = SECTION.coefficients(np.radians(np.arange(-20, 20.5, 0.5)), 0.0)
SPEED = 100.5


def test_a_stalled_blade_says_so() -> None:
    hover = blade_element_hover(BLADES, "960 rpm", "1.225 kg/m^3", collective="18 deg")
    assert hover.numbers.stalled > 0.8
    assert "stalled" in hover.remarks[0]
    assert blade_element_hover(BLADES, "960 rpm", "1.225 kg/m^3", collective="8 deg").remarks == []


def test_a_thrust_that_no_angle_gives_is_no_number_and_says_so() -> None:
    hover = blade_element_hover(BLADES, "960 rpm", "1.225 kg/m^3", thrust="60 lbf")
    assert np.isnan(hover.numbers.power)
    assert hover.numbers.reached is False
    assert hover.remarks[0].startswith("No blade angle gives the thrust")
    both = at_thrust(BLADES, SPEED, AIR, np.array([30.0, 300.0]))
    assert both.reached.tolist() == [True, False]
    assert np.isfinite(both.power[0])
    assert np.isnan(both.power[1])


def test_the_deeply_stalled_blade_is_no_way_to_a_thrust() -> None:
    """Past the stall thrust falls and rises again with the flat plate; a thrust above the peak must not be found
    there."""
    peak = np.max(at_collective(BLADES, SPEED, AIR, np.radians(np.arange(0, 17, 0.1))).thrust)
    late = at_collective(BLADES, SPEED, AIR, np.radians(40.0)).thrust
    assert at_thrust(BLADES, SPEED, AIR, 0.999 * peak).reached
    assert not at_thrust(BLADES, SPEED, AIR, 1.01 * peak).reached
    assert late > 0


def test_thrust_near_the_peak_is_found_on_the_near_side() -> None:
    angles = np.radians(np.arange(0, 17, 0.1))
    peak_angle = angles[np.argmax(at_collective(BLADES, SPEED, AIR, angles).thrust)]
    peak = at_collective(BLADES, SPEED, AIR, peak_angle).thrust
    hover = at_thrust(BLADES, SPEED, AIR, np.array([0.9, 0.97, 0.995]) * peak)
    assert (hover.collective < peak_angle).all()
    assert hover.thrust == pytest.approx(np.array([0.9, 0.97, 0.995]) * peak, rel=1e-6)


def test_a_tip_that_pulls_the_other_way_is_outside_the_theory() -> None:
    blades = rotor_blades(2, "2.5 ft", "2 in", "5 in", SECTION, twist="-20 deg")
    hover = at_collective(blades, SPEED, AIR, np.radians(3.0))
    along = along_blade(blades, SPEED, AIR, np.radians(3.0))
    assert 0.05 < hover.outside_theory < 0.6
    assert hover.outside_theory == pytest.approx(along.weight @ along.outside_theory / (1 - 5 / 30), rel=1e-9)
    assert along.outside_theory[-1]


def test_a_table_that_ends_says_where_it_was_stretched() -> None:
    short = SectionTable(["-4 deg", "0 deg", "4 deg"], [-0.4, 0.0, 0.4], [0.012, 0.01, 0.012])
    blades = rotor_blades(2, "2.5 ft", "2 in", "5 in", short)
    hover = blade_element_hover(blades, "960 rpm", "1.225 kg/m^3", collective="12 deg")
    assert hover.numbers.stretched > 0.5
    assert any("outside the section's figures" in remark for remark in hover.remarks)


@pytest.mark.parametrize("pitch", [-10.0, -2.0, 2.0, 6.0, 10.0])
def test_a_table_of_the_linear_section_gives_the_same(pitch: float) -> None:
    plain = LinearSection(5.75, (0.0113, 0.0, 0.75), 0.93, compressible=False)
    table = SectionTable(ANGLES, LIFT, DRAG)
    one, other = (
        at_collective(rotor_blades(2, "2.5 ft", "2 in", "5 in", section), SPEED, AIR, np.radians(pitch))
        for section in (plain, table)
    )
    assert other.thrust == pytest.approx(one.thrust, rel=1e-5)
    assert other.power == pytest.approx(one.power, rel=2e-3)  # a parabola of drag on straight lines


def test_a_table_by_mach_and_reynolds_lies_between_its_columns() -> None:
    mach, reynolds = [0.0, 0.4], [1e5, 1e6]
    lift, drag = np.empty((len(ANGLES), 2, 2)), np.empty((len(ANGLES), 2, 2))
    for i in range(2):
        for j in range(2):
            lift[:, i, j], drag[:, i, j] = LIFT * (1 + 0.1 * i), DRAG * (1 - 0.2 * j)
    table = SectionTable(ANGLES, lift, drag, mach=mach, reynolds=reynolds)
    angle = np.radians(4.0)
    cl, cd = table.coefficients(angle, 0.2, 10**5.5)
    expected_cl, expected_cd = SECTION.coefficients(angle, 0.0)
    assert float(cl) == pytest.approx(1.05 * float(expected_cl), rel=1e-6)
    assert float(cd) == pytest.approx(0.9 * float(expected_cd), rel=2e-3)
    blades = rotor_blades(2, "2.5 ft", "2 in", "5 in", table)
    hover = at_collective(blades, SPEED, AIR, np.radians(8.0))
    assert hover.thrust > at_collective(BLADES, SPEED, AIR, np.radians(8.0)).thrust
    assert 0 < hover.stretched < 0.5  # the inboard Reynolds numbers lie below the table


@pytest.mark.parametrize(
    ("given", "message"),
    [
        (lambda: LinearSection(0.1, (0.01, 0, 1), 1.2), "lift_slope must be 3 to 8 per radian"),
        (lambda: LinearSection(5.7, (0.0, 0, 1), 1.2), "drag must be three numbers"),
        (lambda: SectionTable(["0 deg", "2 deg"], [0, 0.2], [0.01, 0.01]), "three or more"),
        (lambda: SectionTable(["0 deg", "2 deg", "4 deg"], [0.1, 0.2, 0.4], [0.01, 0.01, 0.01]), "pass through zero"),
        (lambda: SectionTable(["-2 deg", "2 deg", "4 deg"], [0.1, 0.2], [0.01, 0.01, 0.01]), "needs the shape"),
        (lambda: SectionTable(["-2 deg", "2 deg", "4 deg"], [-1, 1, 2], [1, 1, 1], reynolds=[0.2]), "plain Reynolds"),
        (lambda: rotor_blades(2, "12.5 ft", "7 in", "9 ft", SECTION), "root_cutout"),
        (lambda: rotor_blades(2, "12.5 ft", "7 ft", "2 ft", SECTION), "chord must be"),
        (lambda: rotor_blades(2, "12.5 ft", "7 in", "20 in", SECTION, taper=9), "taper"),
        (lambda: rotor_blades(2.5, "12.5 ft", "7 in", "20 in", SECTION), "whole number"),
        (lambda: blade_element_hover(BLADES, "960 rpm", "1.2 kg/m^3"), "either collective or thrust"),
        (lambda: blade_element_hover(BLADES, "16 Hz", "1.2", thrust="3 ft"), "rotor_speed needs a rotation rate"),
        (lambda: blade_element_hover(BLADES, "960 rpm", "1.2 kg/m^3", collective="8"), "collective needs an angle"),
        (lambda: blade_element_hover(BLADES, "960 rpm", "1.2 kg/m^3", collective="8 deg", stations=2), "stations"),
        (lambda: blade_element_hover("x", "960 rpm", "1.2 kg/m^3", collective="8 deg"), "must come from rotor_blades"),
    ],
)  # fmt: skip
def test_errors_name_the_field(given: object, message: str) -> None:
    with pytest.raises(QuantityError, match=message):
        given()  # type: ignore[operator]


def test_any_shape_goes_in_and_comes_out() -> None:
    collective = np.radians(np.array([[4.0], [8.0]]))
    density = np.array([0.9, 1.0, 1.2])
    hover = at_collective(BLADES, SPEED, Air(density, 340.0, 1.8e-5), collective)
    assert hover.thrust.shape == hover.stalled.shape == (2, 3)
    for i in range(2):
        for j in range(3):
            one = at_collective(BLADES, SPEED, Air(density[j], 340.0, 1.8e-5), collective[i, 0])
            assert hover.thrust[i, j] == pytest.approx(one.thrust, rel=1e-12)
            assert isinstance(one.thrust, float)
    assert along_blade(BLADES, SPEED, Air(density, 340.0, 1.8e-5), collective).lift_coefficient.shape == (2, 3, 60)


def test_blocks_do_not_show() -> None:
    """A result does not depend on which conditions share a block with it."""
    rng = np.random.default_rng(2)
    many = np.radians(rng.uniform(1, 16, 3 * BLOCK // 60))
    sound = rng.uniform(320, 350, many.size)
    whole = at_collective(BLADES, SPEED, Air(1.2, sound, 1.8e-5), many)
    for at in (0, BLOCK // 60 - 1, BLOCK // 60, many.size - 1):
        one = at_collective(BLADES, SPEED, Air(1.2, sound[at], 1.8e-5), many[at])
        assert whole.thrust[at] == pytest.approx(one.thrust, rel=1e-6)
    assert sum(b.stop - b.start for b in blocks(many.size, 60)) == many.size


def test_memory_grows_with_the_results_not_with_the_stations() -> None:
    conditions = 200_000
    angle = np.linspace(0.02, 0.15, conditions)
    tracemalloc.start()
    at_collective(BLADES, SPEED, AIR, angle, Model(stations=60))
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    results = len(HoverNumbers.__dataclass_fields__) * 8 * conditions
    assert peak < 3.5 * results
    assert peak < 60 * 8 * conditions  # less than a single array over all stations


def test_blades_by_their_stations() -> None:
    straight = rotor_blades(2, "2.5 ft", "2 in", "5 in", SECTION, twist="-8 deg", taper=0.5)
    at = (5 / 30, 0.5, 1.0)
    by_stations = Blades(
        2,
        0.762,
        5 / 30,
        SECTION,
        at,
        tuple(straight.chord_at(x) for x in at),
        tuple(np.radians(-8 * x + 3) for x in at),
    )
    one, other = (at_collective(b, SPEED, AIR, 0.14) for b in (straight, by_stations))
    assert one.thrust == pytest.approx(other.thrust, rel=1e-12)
    assert by_stations.twist_at(0.75) == pytest.approx(0, abs=1e-15)
