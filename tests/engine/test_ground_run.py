"""The engine on the ground held to physics: derivatives, inverses, symmetry, limits of the nozzle."""

import math

import pytest

from rotorkit.engine import (
    air_heat_flow,
    air_temperature_rise,
    angle_of_arc,
    angle_of_greatest_piston_speed,
    arc_on_disc,
    avgas_density,
    compression_orifice,
    cowl_pressure_drop,
    crank_angle,
    equivalent_leak_diameter,
    fan_flow,
    fan_power,
    fan_pressure,
    fuel_flow_factor,
    fuel_flow_from_test,
    fuel_head,
    fuel_needed_at_power,
    fuel_volume_flow,
    jar_shares,
    jar_spread,
    jet_diameter,
    jet_diameter_for_flow,
    jet_mass_flow,
    piston_acceleration,
    piston_speed,
    piston_travel,
    required_fuel_flow,
    timing_from_disc,
    true_top_dead_centre,
)
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import Angle, Length, QuantityError, Volume, assert_quantity

STROKE, ROD = 0.098, 0.16


@pytest.mark.parametrize("degrees", [1, 12, 25, 60, 90, 134, 179])
def test_speed_and_acceleration_are_the_derivatives_and_the_angle_the_inverse(degrees: float) -> None:
    a, h = math.radians(degrees), 1e-4

    def x(at: float) -> float:
        return float(piston_travel.si(STROKE, ROD, at))

    assert float(piston_speed.si(STROKE, ROD, a, 5.0)) == pytest.approx(5 * (x(a + h) - x(a - h)) / (2 * h), rel=1e-6)
    second = 25 * (x(a + h) - 2 * x(a) + x(a - h)) / h**2
    assert float(piston_acceleration.si(STROKE, ROD, a, 5.0)) == pytest.approx(second, rel=1e-4, abs=1e-5)
    assert float(crank_angle.si(STROKE, ROD, x(a))) == pytest.approx(a, abs=1e-9)
    assert x(-a) == pytest.approx(x(a))


def test_ends_of_the_stroke_and_the_fastest_place() -> None:
    assert float(piston_travel.si(STROKE, ROD, 0.0)) == 0
    assert float(piston_travel.si(STROKE, ROD, math.pi)) == pytest.approx(STROKE)
    fastest = float(angle_of_greatest_piston_speed.si(STROKE, ROD))
    speeds = [float(piston_speed.si(STROKE, ROD, fastest + d, 1.0)) for d in (-0.01, 0.0, 0.01)]
    assert max(speeds) == speeds[1]
    with pytest.raises(QuantityError, match="longer"):
        angle_of_greatest_piston_speed("1 m", "0.4 m")


def test_near_the_top_the_travel_tells_little() -> None:
    """0.1 mm of the gauge: half a degree at 25 degrees before the top, several near it."""
    near, far = (
        crank_angle(
            "98 mm", "160 mm", measured(piston_travel("98 mm", "160 mm", f"{a} deg"), Length, "gauge", "0.1 mm")
        )
        for a in (3, 25)
    )
    assert float(far.expanded_si) < math.radians(0.3) < float(near.expanded_si)


@pytest.mark.parametrize(
    ("first", "second", "top"),
    [
        ("332 deg", "30 deg", "1.0 deg"),
        ("30 deg", "332 deg", "1.0 deg"),
        ("-20 deg", "26 deg", "3.0 deg"),
        ("170 deg", "-170 deg", "180.0 deg"),
    ],
)
def test_top_dead_centre_half_way(first: str, second: str, top: str) -> None:
    found = true_top_dead_centre(first, second)
    assert math.remainder(float(found.m_as("deg")) - float(top.split()[0]), 360) == pytest.approx(0, abs=1e-9)


def test_top_dead_centre_needs_a_shorter_way() -> None:
    with pytest.raises(QuantityError, match="half a turn"):
        true_top_dead_centre("0 deg", "180 deg")


def test_errors_in_common_of_the_disc_drop_out_of_the_timing() -> None:
    zero = {"disc zero": "2 deg"}
    first, second, fires = (
        measured(text, Angle, text, "0.5 deg", shared=zero) for text in ("-28 deg", "30 deg", "-24 deg")
    )
    timing = timing_from_disc(fires, true_top_dead_centre(first, second))
    assert_quantity(timing, "25.00 deg")
    assert float(timing.expanded_si) == pytest.approx(math.radians(0.5 * math.sqrt(1.5)))
    assert_quantity(timing_from_disc("24 deg", "-1 deg", rises_after_top=False), "25.00 deg")
    assert_quantity(timing_from_disc("5 deg", "0 deg"), "-5.00 deg")


def test_arcs_there_and_back() -> None:
    assert_quantity(angle_of_arc("5 in", arc_on_disc("5 in", "25 deg")), "25.000 deg")


def test_leak_by_plain_nozzles() -> None:
    """Both choked, the leak twice the orifice's area: the pressure halves, counted from vacuum."""
    ambient, supply = 14.6959, 80.0
    low = (supply + ambient) / 2.2 - ambient  # below the critical ratio 0.528, so the orifice is choked
    found = equivalent_leak_diameter(f"{low!r} psi", "0.040 in")
    assert float(found.m_as("in")) == pytest.approx(0.040 * math.sqrt(2.2), rel=1e-4)
    tight, half, open_ = (float(equivalent_leak_diameter(f"{p} psi", "1 mm").m_as("mm")) for p in (80, 79.999, 2))
    assert tight == 0
    assert half < 0.1
    assert open_ > 2
    for bad in ("0 psi", "81 psi", "-1 psi"):
        with pytest.raises(QuantityError):
            equivalent_leak_diameter(bad, "1 mm")


def test_the_orifice_splits_at_five_inches_to_the_hair() -> None:
    assert_quantity(compression_orifice("127 mm"), "0.060 in")
    assert_quantity(compression_orifice("126.99 mm"), "0.040 in")
    with pytest.raises(QuantityError, match="bore"):
        compression_orifice("5 m")


def test_jets_there_and_back() -> None:
    flow = jet_mass_flow("1.3 mm", "0.7", "720 kg/m^3", "20 inH2O")
    assert_quantity(jet_diameter(flow, "0.7", "720 kg/m^3", "20 inH2O"), "1.3000 mm")
    # a tenth more flow at twice the drop, checked by the flow itself
    new = jet_diameter_for_flow("1.3 mm", "1.1", "2")
    more = jet_mass_flow(new, "0.7", "720 kg/m^3", "40 inH2O")
    assert float(more / flow) == pytest.approx(1.1)


def test_fuel_flow_by_plain_arithmetic() -> None:
    need = fuel_volume_flow(fuel_needed_at_power("138 hp", "0.55 lb/(hp*h)"), "6.00 lb/gal")
    assert_quantity(need, "12.65 gal/h")
    assert_quantity(required_fuel_flow(need, fuel_flow_factor("gravity")), "18.975 gal/h")
    assert_quantity(fuel_flow_from_test("0.5 gal", "90 s"), "20.00 gal/h")
    with pytest.raises(QuantityError, match="gravity, pump"):
        fuel_flow_factor("hand")


def test_head_turns_with_the_aircraft() -> None:
    assert_quantity(fuel_head("20 in", "24 in", "0 deg"), "20.00 in")
    nose_up, nose_down = (fuel_head("20 in", "24 in", f"{a} deg").m_as("in") for a in (10, -10))
    assert nose_up < 20 < nose_down
    assert nose_up == pytest.approx(20 * math.cos(math.radians(10)) - 24 * math.sin(math.radians(10)))
    assert_quantity(fuel_head("20 in", "-24 in", "10 deg"), f"{nose_down!r} in", within="1e-9 in")


def test_jars() -> None:
    common = {"jar marks": "2 mL"}
    jars = [measured(f"{v} mL", Volume, f"jar {v}", "1 mL", shared=common) for v in (196, 200, 204, 200)]
    assert_quantity(jar_spread(jars), "0.0400")
    assert float(jar_spread(jars).expanded_si) == pytest.approx(math.sqrt(2) / 200, rel=0.02)
    assert [round(float(share.si), 3) for share in jar_shares(jars)] == [0.98, 1.0, 1.02, 1.0]
    assert isinstance(jar_spread(["1 mL", "1 mL"]), Measured)
    for bad in (["1 mL"], ["0 mL", "0 mL"]):
        with pytest.raises(QuantityError, match="jar"):
            jar_spread(bad)


def test_fans_and_cowls() -> None:
    assert_quantity(fan_flow("1000 cfm", "2000 rpm", "3000 rpm"), "1500.0 cfm")
    assert_quantity(fan_pressure("4 inH2O", "2000 rpm", "3000 rpm", "0.8"), "7.20 inH2O")
    assert_quantity(fan_power("2 hp", "2000 rpm", "3000 rpm", "0.8"), "5.40 hp")
    assert_quantity(cowl_pressure_drop("4 inH2O", "1.5", "0.8"), "11.25 inH2O")
    assert_quantity(
        air_temperature_rise(air_heat_flow("90 cfm", "1.1 kg/m^3", "40 K"), "90 cfm", "1.1 kg/m^3"), "40.00 K"
    )


def test_fuel_grows_lighter_as_it_warms() -> None:
    cold, cool, warm = (float(avgas_density(f"{t} degC").m_as("kg/m^3")) for t in (-10, 15, 40))
    assert cool == pytest.approx(720)
    assert cold > cool > warm
    assert 0.0010 < (cold - warm) / 50 / 720 < 0.0014
