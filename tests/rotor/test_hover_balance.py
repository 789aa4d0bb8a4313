"""The hover's balance: roots, and which way each input moves them, against plain differences."""

import itertools
import math
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import Density, Force, Length, Mass, Power, Pressure, Ratio, RotationRate
from rotorkit.rotor.hover_balance import (
    HoverBalance,
    _crossing,
    engine_power_by_merit,
    engine_power_by_parts,
    main_rotor_power_at,
    root_of,
)

G = 9.80665
MASS, AIR, SPEED, ARM, RADIUS, TAIL = 560.0, 1.12, 47.6, 4.4, 3.6, 0.62


def by_hand(
    mass: float, air: float, correction: float, speed: float, arm: float, tail: float, tail_merit: float, drive: float,
    taken: float, radius: float, merit: float,
) -> float:  # fmt: skip
    """Momentum theory with figures of merit: P = T sqrt(T / (2 rho A)) / FM; the tail rotor holds the torque."""

    def hover(thrust: float, disk: float) -> float:
        return thrust * math.sqrt(thrust / (2 * air * math.pi * disk**2))

    main = correction * hover(mass * G, radius) / merit
    return taken + (main + hover(main / speed / arm, tail) / tail_merit) / drive


FIGURES = {
    "correction": (1.06, Ratio), "speed": (SPEED, RotationRate), "arm": (ARM, Length), "tail radius": (TAIL, Length),
    "tail merit": (0.55, Ratio), "drive": (0.93, Ratio), "accessories": (1500.0, Power), "radius": (RADIUS, Length),
    "merit": (0.62, Ratio),
}  # fmt: skip
VALUES = [value for value, _ in FIGURES.values()]


def uncertain(name: str, value: float, kind: Any) -> Measured:
    made = measured(Measured(value, kind), kind, name)
    origin = measured("1 ± 1", Ratio, name)
    return Measured(value, made.kind, {next(iter(origin.components)): 0.004 * value})


def test_power_by_merit() -> None:
    found = engine_power_by_merit(MASS, AIR, *VALUES)
    assert float(found) == pytest.approx(by_hand(MASS, AIR, *VALUES), rel=1e-9)


def test_power_by_parts() -> None:
    """Induced factor 1.2 and drag 0.011, both times the correction; the rest as above."""
    tips = SPEED * RADIUS
    disk = math.pi * RADIUS**2
    induced = 1.2 * MASS * G * math.sqrt(MASS * G / (2 * AIR * disk))
    main = 1.06 * (induced + AIR * disk * tips**3 * 0.04 * 0.011 / 8)
    thrust = main / SPEED / ARM
    tail = thrust * math.sqrt(thrust / (2 * AIR * math.pi * TAIL**2)) / 0.55
    wanted = 1500 + (main + tail) / 0.93
    found = engine_power_by_parts(MASS, AIR, 1.06, SPEED, ARM, TAIL, 0.55, 0.93, 1500.0, RADIUS, 0.04, 1.2, 0.011)
    assert float(found) == pytest.approx(wanted, rel=1e-9)


def test_a_root_moves_with_each_input_as_it_should() -> None:
    """x = a / b: with a it rises, with b it falls; components keep the sign, so that what is common cancels."""
    a, b = uncertain("a", 6.0, Force), uncertain("b", 2.0, Pressure)
    found = root_of(lambda x, a, b: a - x * b, Ratio, 3.0, (a, b))
    parts = {origin.label: float(part) for origin, part in found.components.items()}
    assert parts["a"] == pytest.approx(0.004 * 3, rel=1e-3)
    assert parts["b"] == pytest.approx(-0.004 * 3, rel=1e-3)


def solved(of: Callable[[float], float]) -> float:
    low, high = 100.0, 3000.0
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if of(middle) < 0 else (low, middle)
    return low


def test_the_weight_that_can_hover_moves_with_each_figure_as_by_hand() -> None:
    """Each figure's share has the sign and size of a plain difference of the balance solved anew by bisection."""
    figures = tuple(uncertain(name, value, kind) for name, (value, kind) in FIGURES.items())
    balance = HoverBalance(engine_power_by_merit, lambda power, density: power, figures)
    power = Measured(95_000.0, Power)
    found = balance.mass_at(power, Measured(AIR, Density))
    assert float(found.si) == pytest.approx(solved(lambda m: by_hand(m, AIR, *VALUES) - 95_000), rel=1e-6)
    parts = {origin.label: float(part) for origin, part in found.components.items()}
    for i, name in enumerate(FIGURES):
        ends = []
        for side in (1, -1):
            moved = [value * (1 + side * 0.004) if j == i else value for j, value in enumerate(VALUES)]
            ends.append(solved(lambda m, moved=moved: by_hand(m, AIR, *moved) - 95_000))
        assert parts[name] == pytest.approx((ends[0] - ends[1]) / 2, rel=0.01), name
    assert parts["speed"] > 0, "a faster rotor needs less torque, less tail rotor, and carries more"
    assert parts["correction"] < 0


def test_main_rotors_power_from_the_engines() -> None:
    """What the engine gives at 560 kg by hand, taken back to the main rotor."""
    main = MASS * G * math.sqrt(MASS * G / (2 * AIR * math.pi * RADIUS**2)) / 0.62
    whole = by_hand(MASS, AIR, 1.0, *VALUES[1:])
    shares = tuple(uncertain(name, *FIGURES[name]) for name in list(FIGURES)[1:7])
    found = main_rotor_power_at(Measured(whole, Power), Measured(AIR, Density), shares)
    assert float(found.si) == pytest.approx(main, rel=1e-6)
    parts = {origin.label: float(part) for origin, part in found.components.items()}
    assert parts["speed"] > 0
    assert parts["drive"] > 0
    assert parts["accessories"] < 0


def test_the_quick_steps_and_the_sure_bracket_find_the_same_mass() -> None:
    """And both put the power back; where accessories and drag take all of it there is none."""
    balance = HoverBalance(engine_power_by_parts, lambda power, density: power, tuple(
        Measured(value, kind) for value, kind in
        [*list(FIGURES.values())[:-1], (0.04, Ratio), (1.2, Ratio), (0.011, Ratio)]
    ))  # fmt: skip
    power, density = np.array([1.2e4, 60e3, 1.1e5, 2.2e5, 5e6]), np.array([1.2, 0.9, 1.12, 0.4, 1.3])
    found = balance.masses(power, density)
    assert np.isnan(found[0])
    assert found[1:] == pytest.approx(balance._bracketed(power, density)[1:], rel=1e-9)
    assert balance.power(found[1:], density[1:]) == pytest.approx(power[1:], rel=1e-10)


@pytest.mark.parametrize("blanks", [0, 1, 5])
@pytest.mark.parametrize("root", [0.31, 0.5, 0.70001, 1.27, 1.999])
def test_the_first_crossing_is_between_the_same_steps_however_it_was_looked_for(root: float, blanks: int) -> None:
    steps = np.linspace(0.3, 2.0, 35)
    asked = 0

    def function(at: Any) -> Any:
        nonlocal asked
        asked += len(at)
        return np.where(at < steps[blanks], np.nan, at - root)

    whole = function(steps)
    asked = 0
    known = np.flatnonzero(~np.isnan(values := _crossing(function, steps)))
    first = [(a, b) for a, b in itertools.pairwise(known) if values[b] >= 0][:1]
    every = np.flatnonzero(~np.isnan(whole))
    assert first == [(a, b) for a, b in itertools.pairwise(every) if whole[b] >= 0][:1]
    assert (values[known[0]] > 0) == (whole[every[0]] > 0)
    assert asked <= 13 or whole[every[0]] >= 0 or blanks


def test_mass_is_a_mass() -> None:
    balance = HoverBalance(engine_power_by_merit, lambda power, density: power, tuple(
        Measured(value, kind) for value, kind in FIGURES.values()
    ))  # fmt: skip
    assert balance.mass_at(Measured(95_000.0, Power), Measured(AIR, Density)).kind.alike(Measured(1.0, Mass).kind)
