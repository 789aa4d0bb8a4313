"""Speeds, climb and ceilings against a plain calculation with SciPy's optimisers, and what must hold between them."""

from math import pi, sqrt

import numpy as np
import pytest
from scipy.optimize import brentq, minimize_scalar

from rotorkit.engine import PowerTable, engine_model
from rotorkit.quantities import Quantity, QuantityError, assert_quantity
from rotorkit.rotor import (
    LinearSection,
    autorotation_descent,
    climb_ceiling,
    climb_rate,
    engine_power_level_flight,
    engine_power_to_hover_by_blade_element,
    engine_power_to_hover_near_ground,
    hover_ceiling,
    mass_at_hover_ceiling,
    power_model,
    power_parts,
    rotor_blades,
    speed_for_best_glide,
    speed_for_best_range,
    speed_for_least_power,
    speed_for_least_sink,
    top_speed,
)

SHAPE = ("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in", "2912 rpm", "0.1163")
MODEL = power_model(*SHAPE, "94 %", "2 hp")
ENGINE = engine_model("138 hp")
AIR = "1.225 kg/m^3"
HP, KNOT, FOOT, POUND, G = 745.6998715822702, 1852 / 3600, 0.3048, 0.45359237, 9.80665
MASS = 1250 * POUND
R = 140 / 12 * FOOT
TURN, AREA, TAIL_AREA = 455 * pi / 30, pi * (140 * 0.0254) ** 2, pi * 0.6604**2
TIP, TAIL_TIP = TURN * R, 2912 * pi / 30 * 0.6604


def rotors(mass: float, density: float, speed: float) -> tuple[float, float, float]:
    """Main-rotor power, tail-rotor power, tail rotor's profile power, W: written anew, inflow by a bracketed root."""
    weight = mass * G
    v = brentq(lambda v: v * sqrt(speed**2 + v * v) - weight / (2 * density * AREA), 0, 60, xtol=1e-14)
    main = 1.2 * weight * v + density * AREA * TIP**3 * 0.0455 * 0.0125 / 8 * (1 + 4.65 * (speed / TIP) ** 2)
    main += density * speed**3 * 7 * FOOT**2 / 2
    thrust = main / TURN / (14 * FOOT)
    w = brentq(lambda w: w * sqrt(speed**2 + w * w) - thrust / (2 * density * TAIL_AREA), 0, 90, xtol=1e-14)
    idle = density * TAIL_AREA * TAIL_TIP**3 * 0.1163 * 0.012 / 8 * (1 + 4.65 * (speed / TAIL_TIP) ** 2)
    return main, 1.25 * thrust * w + idle, idle


def engine(mass: float, density: float, speed: float) -> float:
    main, tail, _ = rotors(mass, density, speed)
    return (main + tail) / 0.94 + 2 * HP


def bottom(of: object, low: float = 5.0, high: float = 80.0) -> float:
    return float(minimize_scalar(of, bounds=(low, high), method="bounded", options={"xatol": 1e-10}).x)


def thin(height: float, warmer: float) -> float:
    temperature = 288.15 - 0.0065 * height
    pressure = 101325 * (temperature / 288.15) ** (G / (287.05287 * 0.0065))
    return pressure / (287.05287 * (temperature + warmer))


def available(density: float) -> float:
    sigma = density / (101325 / (287.05287 * 288.15))
    return 138 * HP * min(1.0, sigma - (1 - sigma) / 7.55)


@pytest.mark.parametrize("knots", [0, 20, 50, 90])
def test_engine_power(knots: float) -> None:
    found = engine_power_level_flight(MODEL, "1250 lb", AIR, f"{knots} kt")
    assert found.m_as("W") == pytest.approx(engine(MASS, 1.225, knots * KNOT), rel=1e-9)


def test_speeds() -> None:
    best = speed_for_least_power(MODEL, "1250 lb", AIR).m_as("m/s")
    assert best == pytest.approx(bottom(lambda v: engine(MASS, 1.225, v)), abs=1e-4)
    far = speed_for_best_range(MODEL, "1250 lb", AIR).m_as("m/s")
    assert far == pytest.approx(bottom(lambda v: engine(MASS, 1.225, v) / v), abs=1e-4)
    wind = speed_for_best_range(MODEL, "1250 lb", AIR, "20 kt").m_as("m/s")
    assert wind == pytest.approx(bottom(lambda v: engine(MASS, 1.225, v) / (v - 20 * KNOT), 15), abs=1e-4)
    assert wind > far > best
    fast = top_speed(MODEL, "1250 lb", AIR, "120 hp").m_as("m/s")
    assert fast == pytest.approx(brentq(lambda v: engine(MASS, 1.225, v) - 120 * HP, best, 90), abs=1e-6)


def test_climb() -> None:
    main, tail, _ = rotors(MASS, 1.225, 45 * KNOT)
    expected = (120 * HP - engine(MASS, 1.225, 45 * KNOT)) * 0.94 * main / (main + tail) / (MASS * G)
    assert climb_rate(MODEL, "1250 lb", AIR, "45 kt", "120 hp").m_as("m/s") == pytest.approx(expected, rel=1e-9)


def test_ceilings() -> None:
    found = hover_ceiling(MODEL, ENGINE, "1250 lb", "15 K").m_as("m")
    expected = brentq(lambda h: available(thin(h, 15)) - engine(MASS, thin(h, 15), 0), -1500, 9000)
    assert found == pytest.approx(expected, abs=0.01)
    assert_quantity(mass_at_hover_ceiling(MODEL, ENGINE, f"{found} m", "15 K"), "1250.0 lb")
    near = hover_ceiling(MODEL, ENGINE, "1250 lb", "15 K", rotor_height="10 ft")
    by_hayden = hover_ceiling(MODEL, ENGINE, "1250 lb", "15 K", rotor_height="10 ft", ground_effect="Hayden")
    assert by_hayden != near
    with pytest.raises(QuantityError, match="ground_effect must be one of Cheeseman & Bennett, Hayden, got 'x'"):
        hover_ceiling(MODEL, ENGINE, "1250 lb", "15 K", rotor_height="10 ft", ground_effect="x")
    assert near.m_as("m") > found + 500

    def climb(height: float) -> float:
        density = thin(height, 0)
        speed = bottom(lambda v: engine(MASS, density, v), 5, 60)
        main, tail, _ = rotors(MASS, density, speed)
        left = (available(density) - engine(MASS, density, speed)) * 0.94 * main / (main + tail) / (MASS * G)
        return left - 100 * FOOT / 60

    service = climb_ceiling(MODEL, ENGINE, "1250 lb").m_as("m")
    assert service == pytest.approx(brentq(climb, 0, 9000), abs=0.1)
    assert climb_ceiling(MODEL, ENGINE, "1250 lb", "0 ft/min").m_as("m") > service > found


def test_glide() -> None:
    def sink(speed: float) -> float:
        main, _, idle = rotors(MASS, 1.225, speed)
        return (main + idle / 0.94) / (MASS * G)

    assert autorotation_descent(MODEL, "1250 lb", AIR, "50 kt").m_as("m/s") == pytest.approx(sink(50 * KNOT), rel=1e-9)
    slow = speed_for_least_sink(MODEL, "1250 lb", AIR).m_as("m/s")
    flat = speed_for_best_glide(MODEL, "1250 lb", AIR).m_as("m/s")
    assert slow == pytest.approx(bottom(sink, 12), abs=1e-4)
    assert flat == pytest.approx(bottom(lambda v: sink(v) / v, 12), abs=1e-4)
    with pytest.raises(QuantityError, match="25 kt"):
        autorotation_descent(MODEL, "1250 lb", AIR, "10 kt")


def test_arrays_give_what_single_figures_give() -> None:
    masses = Quantity(np.array([1050.0, 1150.0, 1250.0]), "lb")
    ceilings = hover_ceiling(MODEL, ENGINE, masses, "10 K").m_as("m")
    speeds = speed_for_least_power(MODEL, masses, AIR).m_as("m/s")
    for i, pounds in enumerate((1050, 1150, 1250)):
        assert ceilings[i] == pytest.approx(hover_ceiling(MODEL, ENGINE, f"{pounds} lb", "10 K").m_as("m"), abs=1e-6)
        assert speeds[i] == pytest.approx(speed_for_least_power(MODEL, f"{pounds} lb", AIR).m_as("m/s"), abs=1e-5)
    assert (np.diff(ceilings) < 0).all()
    grid = power_parts(MODEL, np.linspace(500, 700, 5)[:, None], np.linspace(0.9, 1.2, 4), 0.0)
    assert grid.total.shape == (5, 4)
    rebuilt = (grid.main_rotor + grid.tail_rotor) / MODEL.transmission_efficiency + MODEL.accessory_power
    assert grid.total == pytest.approx(rebuilt, rel=1e-12)


def test_no_answer_is_said_or_left_out() -> None:
    with pytest.raises(QuantityError, match="not even on the lowest ground"):
        hover_ceiling(MODEL, ENGINE, "3000 lb")
    with pytest.raises(QuantityError, match="no real value"):
        hover_ceiling(MODEL, ENGINE, Quantity(np.array([1250.0, 3000.0]), "lb"))
    both = hover_ceiling.si(MODEL, ENGINE, np.array([1250.0, 3000.0]) * POUND, 0.0, 0.0)
    assert np.isfinite(both[0])
    assert np.isnan(both[1])
    with pytest.raises(QuantityError, match="at every speed"):
        top_speed(MODEL, "1250 lb", AIR, "40 hp")


def test_ground_effect_helps_and_refuses_too_near() -> None:
    away = engine_power_level_flight(MODEL, "1250 lb", AIR, "0 kt")
    for method in ("Cheeseman & Bennett", "Hayden"):
        near = engine_power_to_hover_near_ground(MODEL, "1250 lb", AIR, "10 ft", method)
        assert 0.8 * away < near < away
    with pytest.raises(QuantityError, match="half a rotor radius"):
        engine_power_to_hover_near_ground(MODEL, "1250 lb", AIR, "5 ft")


def test_blade_element_hover_beside_the_quick_model() -> None:
    section = LinearSection(5.73, (0.0120, 0, 0.4), 1.2, thickness_ratio=0.12)
    blades = rotor_blades(2, "11 ft 8 in", "10 in", "19 in", section, twist="-6 deg")
    by_blades = engine_power_to_hover_by_blade_element(MODEL, blades, "1250 lb", AIR)
    assert by_blades.m_as("hp") == pytest.approx(107.2, rel=0.1)


def test_download_falls_with_speed() -> None:
    loaded = power_model(*SHAPE, "94 %", "2 hp", download_ratio="4 %")
    extra = [
        (
            engine_power_level_flight(loaded, "1250 lb", AIR, v) / engine_power_level_flight(MODEL, "1250 lb", AIR, v)
        ).m_as("")
        - 1
        for v in ("0 kt", "30 kt", "60 kt")
    ]
    assert extra[0] > extra[1] > extra[2] > 0
    assert extra[2] < 0.002


def test_the_builders_own_table_takes_the_place_of_the_relation() -> None:
    table = PowerTable(["-5000 ft", "0 ft", "10000 ft", "30000 ft"], ["138 hp", "138 hp", "97 hp", "55 hp"])
    by_table = hover_ceiling(MODEL, engine_model("138 hp", table=table), "1250 lb")
    by_relation = hover_ceiling(MODEL, ENGINE, "1250 lb")
    assert by_table.m_as("ft") == pytest.approx(by_relation.m_as("ft"), abs=600)


def test_a_model_that_cannot_be_is_refused() -> None:
    with pytest.raises(QuantityError, match="solidity must be from"):
        power_model("11 ft 8 in", "455 rpm", "0.9", *SHAPE[3:], "94 %", "2 hp")
