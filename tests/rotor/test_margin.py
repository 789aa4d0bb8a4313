"""What is left in the hover, against plain arithmetic done apart from the library, and against physics."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.atmosphere import standard_density
from rotorkit.engine import full_throttle_power_gagg_ferrar, power_held_to_rating
from rotorkit.quantities import QuantityError, assert_quantity
from rotorkit.rotor.margin import (
    density_where_power_is_used_up,
    density_where_power_is_used_up_by_parts,
    engine_power_to_hover,
    engine_power_to_hover_by_parts,
    mass_margin,
    mass_that_can_hover,
    mass_that_can_hover_by_parts,
    power_margin,
)

HP = 550.0  # ft lbf/s, by definition
SLUG = 14.5939029372  # kg, from 1 lb = 0.45359237 kg, 1 ft = 0.3048 m and 1 g = 9.80665 m/s^2
FOOT = 0.3048


def hover_hp(
    weight: float, density: float, merit: float | None = 0.6, induced: float = 1.15, drag: float = 0.011
) -> float:
    """Horsepower at the engine for a weight in lbf and a density in slug/ft^3, written out by hand in feet and pounds.

    Rotor: radius 12.5 ft, 500 rpm, solidity 0.03; tail rotor: radius 2.083 ft, arm 14.25 ft, figure of merit 0.55;
    transmission 94 %, accessories 2 hp.
    """
    turn = 500 * 2 * math.pi / 60
    area = math.pi * 12.5**2
    ideal = weight * math.sqrt(weight / (2 * density * area))
    if merit is not None:
        main = ideal / merit
    else:
        main = induced * ideal + density * area * (turn * 12.5) ** 3 * 0.03 * drag / 8
    thrust = main / turn / 14.25
    tail = thrust * math.sqrt(thrust / (2 * density * math.pi * 2.083**2)) / 0.55
    return (main + tail) / 0.94 / HP + 2


MERIT = ("12.5 ft", "0.6", "500 rpm", "14.25 ft", "2.083 ft", "0.55", "94 %", "2 hp")
PARTS = ("12.5 ft", "500 rpm", "0.03", "1.15", "0.011", "14.25 ft", "2.083 ft", "0.55", "94 %", "2 hp")
MERIT_SI = (
    12.5 * FOOT,
    0.6,
    500 * math.tau / 60,
    14.25 * FOOT,
    2.083 * FOOT,
    0.55,
    0.94,
    2 * HP * 4.4482216152605 * FOOT,
)
PARTS_SI = (MERIT_SI[0], MERIT_SI[2], 0.03, 1.15, 0.011, *MERIT_SI[3:])
WAYS = [
    (engine_power_to_hover, mass_that_can_hover, density_where_power_is_used_up, MERIT, MERIT_SI),
    (
        engine_power_to_hover_by_parts,
        mass_that_can_hover_by_parts,
        density_where_power_is_used_up_by_parts,
        PARTS,
        PARTS_SI,
    ),
]
by_each_way = pytest.mark.parametrize(("power", "mass", "density", "rest", "si"), WAYS, ids=["merit", "parts"])

masses = st.floats(200, 1500)
densities = st.floats(0.6, 1.5)


class TestAgainstPlainArithmetic:
    @pytest.mark.parametrize("weight", [600, 1400, 2400])
    @pytest.mark.parametrize("density", ["0.0023769", "0.0019", "0.0026"])
    def test_power_by_figure_of_merit(self, weight: int, density: str) -> None:
        got = engine_power_to_hover(f"{weight} lb", f"{density} slug/ft^3", *MERIT)
        assert got.m_as("hp") == pytest.approx(hover_hp(weight, float(density)), rel=1e-9)

    @pytest.mark.parametrize("weight", [600, 1400, 2400])
    @pytest.mark.parametrize("density", ["0.0023769", "0.0019", "0.0026"])
    def test_power_by_parts(self, weight: int, density: str) -> None:
        got = engine_power_to_hover_by_parts(f"{weight} lb", f"{density} slug/ft^3", *PARTS)
        assert got.m_as("hp") == pytest.approx(hover_hp(weight, float(density), None), rel=1e-9)

    def test_hand_worked_chain(self) -> None:
        """1400 lb at sea level: 103.9 hp at the rotor (62.3 hp ideal over 0.6), torque 1091 ft-lb, tail-rotor thrust
        76.6 lbf, 8.7 hp for it, (103.9 + 8.7) / 0.94 + 2 = 121.8 hp."""
        assert_quantity(engine_power_to_hover("1400 lb", "0.0023769 slug/ft^3", *MERIT), "121.8 hp")

    def test_a_margin_is_available_less_needed_with_its_sign(self) -> None:
        assert_quantity(power_margin("126.5 hp", "120 hp"), "6.5 hp")
        assert_quantity(power_margin("120 hp", "126.5 hp"), "-6.5 hp")
        assert_quantity(mass_margin("1400 lb", "1450 lb"), "-50 lb")


class TestInverse:
    @by_each_way
    @given(kilograms=masses, thick=densities)
    def test_the_mass_that_can_hover_put_back_takes_all_the_power(
        self, power: Any, mass: Any, density: Any, rest: Any, si: Any, kilograms: float, thick: float
    ) -> None:
        watts = power.si(kilograms, thick, *si)
        assert mass.si(watts, thick, *si) == pytest.approx(kilograms, rel=1e-9)

    @by_each_way
    def test_at_the_density_found_the_power_is_used_up(
        self, power: Any, mass: Any, density: Any, rest: Any, si: Any
    ) -> None:
        found = density("1400 lb", "150 hp", "1", *rest)
        ratio = float((found / standard_density("0 ft")).m_as(""))
        assert_quantity(
            power("1400 lb", found, *rest), full_throttle_power_gagg_ferrar("150 hp", ratio), within="1e-7 %"
        )

    @pytest.mark.parametrize(("by_parts", "expected"), [(False, 1.083318682), (True, 0.991155353)])
    def test_the_density_found_by_bisection_apart(self, by_parts: bool, expected: float) -> None:
        """The same balance, bisected with the hand-written arithmetic above: kg/m^3."""
        to_slug = FOOT**3 / SLUG

        def left(density: float) -> float:
            sigma = density / 1.225
            return 150 * (sigma - (1 - sigma) / 7.55) - hover_hp(1400, density * to_slug, None if by_parts else 0.6)

        thin, thick = 0.7, 1.225
        for _ in range(80):
            middle = (thin + thick) / 2
            thin, thick = (thin, middle) if left(middle) > 0 else (middle, thick)
        assert thin == pytest.approx(expected, rel=1e-8)
        function, rest = (
            (density_where_power_is_used_up_by_parts, PARTS) if by_parts else (density_where_power_is_used_up, MERIT)
        )
        assert function("1400 lb", "150 hp", "1", *rest).m_as("kg/m^3") == pytest.approx(thin, rel=1e-7)


class TestPhysics:
    @by_each_way
    @given(kilograms=masses, thick=densities, more=st.floats(1.001, 1.5))
    def test_more_mass_takes_more_power(
        self, power: Any, mass: Any, density: Any, rest: Any, si: Any, kilograms: float, thick: float, more: float
    ) -> None:
        assert power.si(kilograms * more, thick, *si) > power.si(kilograms, thick, *si)

    @given(kilograms=masses, thick=densities, more=st.floats(1.001, 1.5))
    def test_thin_air_takes_more_power(self, kilograms: float, thick: float, more: float) -> None:
        assert engine_power_to_hover.si(kilograms, thick, *MERIT_SI) > engine_power_to_hover.si(
            kilograms, thick * more, *MERIT_SI
        )

    @by_each_way
    @given(watts=st.floats(40e3, 200e3), thick=densities, more=st.floats(1.001, 1.5))
    def test_more_power_lifts_more(
        self, power: Any, mass: Any, density: Any, rest: Any, si: Any, watts: float, thick: float, more: float
    ) -> None:
        assert mass.si(watts * more, thick, *si) > mass.si(watts, thick, *si)

    @by_each_way
    @given(kilograms=st.floats(450, 700), more=st.floats(1.01, 1.2))
    def test_a_heavier_aircraft_is_out_of_power_lower_down(
        self, power: Any, mass: Any, density: Any, rest: Any, si: Any, kilograms: float, more: float
    ) -> None:
        watts = 150 * HP * 4.4482216152605 * FOOT
        assert density.si(kilograms * more, watts, 1.0, *si) > density.si(kilograms, watts, 1.0, *si)

    def test_damp_air_brings_the_ceiling_down(self) -> None:
        dry = density_where_power_is_used_up("1400 lb", "150 hp", "1", *MERIT)
        damp = density_where_power_is_used_up("1400 lb", "150 hp", "0.97", *MERIT)
        assert damp > dry

    @given(thick=densities)
    def test_without_blade_drag_the_two_estimates_are_one(self, thick: float) -> None:
        """A figure of merit FM is an induced factor 1/FM without profile power."""
        parts = (*PARTS_SI[:3], 1 / 0.6, 0.0, *PARTS_SI[5:])
        assert engine_power_to_hover_by_parts.si(600, thick, *parts) == pytest.approx(
            engine_power_to_hover.si(600, thick, *MERIT_SI), rel=1e-12
        )

    def test_units_do_not_matter(self) -> None:
        metric = engine_power_to_hover("635.029318 kg", "1.225 kg/m^3", "3.81 m", "0.6", "500 rpm", "4.3434 m",
                                       "634.8984 mm", "0.55", "0.94", "1491.3997431 W")  # fmt: skip
        us = engine_power_to_hover("1400 lb", "1.225 kg/m^3", *MERIT)
        assert metric.m_as("hp") == pytest.approx(us.m_as("hp"), rel=1e-9)


class TestEdges:
    @by_each_way
    def test_accessories_that_take_all(self, power: Any, mass: Any, density: Any, rest: Any, si: Any) -> None:
        with pytest.raises(QuantityError, match="nothing is left to lift with"):
            mass("2 hp", "1.225 kg/m^3", *rest)

    def test_blade_drag_that_takes_all(self) -> None:
        with pytest.raises(QuantityError, match="nothing is left to lift with"):
            mass_that_can_hover_by_parts("25 hp", "1.225 kg/m^3", *PARTS)

    @by_each_way
    def test_no_air_is_thick_enough(self, power: Any, mass: Any, density: Any, rest: Any, si: Any) -> None:
        with pytest.raises(QuantityError, match="not enough power in air of any density"):
            density("4000 lb", "150 hp", "1", *rest)

    @by_each_way
    def test_power_is_left_at_every_height(self, power: Any, mass: Any, density: Any, rest: Any, si: Any) -> None:
        with pytest.raises(QuantityError, match="power is left at every height"):
            density("150 lb", "150 hp", "1", *rest)

    def test_every_bad_argument_is_named(self) -> None:
        with pytest.raises(QuantityError) as refusal:
            engine_power_to_hover("1400 lbf", "1.225 kg/m^3", "12.5 ft", "60", "500 Hz", *MERIT[3:])
        for name in ("gross_mass", "figure_of_merit", "rotor_speed"):
            assert name in str(refusal.value)


class TestRating:
    @given(sigma=st.floats(0.5, 1.3))
    def test_never_above_the_rating_and_the_formula_below(self, sigma: float) -> None:
        got = power_held_to_rating.si(1000.0, sigma)
        assert got == min(1000.0, full_throttle_power_gagg_ferrar.si(1000.0, sigma))

    def test_joins_without_a_step(self) -> None:
        assert power_held_to_rating.si(1000.0, 1 - 1e-12) == pytest.approx(1000.0)

    def test_keeps_the_ratings_uncertainty(self) -> None:
        assert power_held_to_rating("150 ± 3 hp", "1.1").expanded.m_as("hp") == pytest.approx(3.0)
