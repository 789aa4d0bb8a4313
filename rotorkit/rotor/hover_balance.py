"""The power balance of a hover, whichever estimate gives the main rotor's power and whatever engine drives it.

Three estimates of the main rotor's power stand side by side: a figure of merit, an induced factor with a profile drag
coefficient, and blade-element hover. Each needs the same tail rotor, drive and accessories beside it. A `HoverBalance`
holds one of them with its figures, each a `Measured`, and finds where power needed and available are the same: the mass
that can just hover, and the density of the air in which nothing is left. Uncertainties go through those roots to first
order, by the slopes of the balance itself.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, cast

import numpy as np

from rotorkit.atmosphere.standard import dynamic_viscosity, speed_of_sound
from rotorkit.judging.measured import Measured, combine, recently
from rotorkit.quantities import Density, Mass, Power, QuantityError
from rotorkit.rotor.blade_element import Air, Blades, at_thrust
from rotorkit.rotor.geometry import disk_area
from rotorkit.rotor.margin import engine_power_to_hover, engine_power_to_hover_by_parts
from rotorkit.rotor.roots import between, bracketed
from rotorkit.rotor.shares import engine_power_needed, main_rotor_torque, tail_rotor_power, tail_rotor_thrust_needed
from rotorkit.sources.constants import STANDARD_GRAVITY

LIGHTEST, THIN, THICK, DENSITY_STEPS = 1e-3, 0.3, 2.0, 34
"""kg; kg/m^3 from air above any height that a light helicopter reaches to denser than any, in steps of 0.05."""
COARSE = 4
"""So many of these steps at a time are looked at first."""
FIRST_TRY, MOST_STEPS, SETTLED = 100.0, 9, 1e-11
"""kg; how often the mass is bettered; how near the power has to come, as a part of it."""


def engine_power_for(
    main: Any, density: Any, speed: Any, arm: Any, tail_radius: Any, tail_merit: Any, efficiency: Any, accessories: Any
) -> Any:
    """Engine power for a main rotor's power in the hover: bare SI arrays. Source: the formulas of
    `rotorkit.rotor.shares`."""
    thrust = tail_rotor_thrust_needed.si(main_rotor_torque.si(main, speed), arm)
    tail = tail_rotor_power.si(thrust, density, disk_area.si(tail_radius), tail_merit)
    return engine_power_needed.si(main, tail, accessories, efficiency)


def engine_power_by_merit(
    mass: Any, density: Any, correction: Any, speed: Any, arm: Any, tail_radius: Any, tail_merit: Any, efficiency: Any,
    accessories: Any, radius: Any, merit: Any,
) -> Any:  # fmt: skip
    """Engine power to hover by a figure of merit, the main rotor's power times a correction (bare SI arrays)."""
    rest = (arm, tail_radius, tail_merit, efficiency, accessories)
    return engine_power_to_hover.si(mass, density, radius, merit / correction, speed, *rest)


def engine_power_by_parts(
    mass: Any, density: Any, correction: Any, speed: Any, arm: Any, tail_radius: Any, tail_merit: Any, efficiency: Any,
    accessories: Any, radius: Any, solidity: Any, induced: Any, drag: Any,
) -> Any:  # fmt: skip
    """Engine power to hover by induced factor and profile drag, times a correction (bare SI arrays)."""
    rest = (arm, tail_radius, tail_merit, efficiency, accessories)
    return engine_power_to_hover_by_parts.si(
        mass, density, radius, speed, solidity, induced * correction, drag * correction, *rest
    )


def engine_power_by_blades(blades: Blades) -> Callable[..., Any]:
    """The same by blade-element hover of these blades, as a function of mass, density, correction, speed, arm, tail
    radius, tail figure of merit, efficiency, accessories and the air's temperature. Where the blades cannot carry the
    mass the power is infinite."""

    def needed(
        mass: Any, density: Any, correction: Any, speed: Any, arm: Any, tail_radius: Any, tail_merit: Any,
        efficiency: Any, accessories: Any, temperature: Any,
    ) -> Any:  # fmt: skip
        air = Air(density, speed_of_sound.si(temperature), dynamic_viscosity.si(temperature))
        main = correction * at_thrust(blades, speed, air, mass * STANDARD_GRAVITY).power
        whole = engine_power_for(main, density, speed, arm, tail_radius, tail_merit, efficiency, accessories)
        return np.where(np.isfinite(main), whole, np.inf)

    return needed


@dataclass(frozen=True)
class HoverBalance:
    """One estimate with its figures.

    needed: engine power of (mass, density, *figures); available: engine power of (sea-level power, density) on the day;
    figures: what `needed` takes after mass and density, each with its uncertainty.
    """

    needed: Callable[..., Any]
    available: Callable[[Any, Any], Any]
    figures: tuple[Measured, ...]

    @property
    def bare(self) -> list[float]:
        """The figures without their uncertainties."""
        return [float(figure.si) for figure in self.figures]

    def power(self, mass: Any, density: Any) -> Any:
        """Engine power needed (bare SI arrays)."""
        return self.needed(mass, density, *self.bare)

    def masses(self, power: Any, density: Any, near: float = FIRST_TRY) -> Any:
        """The mass that can just hover for each engine power and density (bare SI arrays of one shape); not a number
        where accessories and blade drag use up all of the power. near: a mass that may be of about that size."""
        power, density = np.broadcast_arrays(np.asarray(power, dtype=float), np.asarray(density, dtype=float))
        with np.errstate(all="ignore"):
            idle = self.power(np.full(power.shape, LIGHTEST), density)
            able = idle < power
            quick = self._stepped(power, density, idle, near)
        if (np.isfinite(quick) | ~able).all():
            return np.where(able, quick, np.nan)
        rest = able & ~np.isfinite(quick)
        found = np.where(able, quick, np.nan)
        found[rest] = self._bracketed(power[rest], density[rest])
        return found

    def _stepped(self, power: Any, density: Any, idle: Any, near: float) -> Any:
        """The same by few steps, the power above that of the blades' drag alone growing about as the mass to 1.5; not a
        number where they do not settle, so that `_bracketed` decides."""
        before = np.full(power.shape, near)
        taken_before = self.power(before, density)
        now = before * ((power - idle) / (taken_before - idle)) ** (2 / 3)
        found = np.full(power.shape, np.nan)
        for _ in range(MOST_STEPS):
            taken = self.power(now, density)
            settled = np.abs(taken - power) <= SETTLED * power
            found = np.where(settled & np.isnan(found), now, found)
            lost = ~np.isfinite(taken)
            if (settled | lost | np.isfinite(found)).all():
                break
            slope = (taken - taken_before) / (now - before)
            rising = np.isfinite(slope) & (slope > 0)
            step = np.where(rising, (taken - power) / slope, now - now * ((power - idle) / (taken - idle)) ** (2 / 3))
            before, taken_before = now, taken
            now = np.where(np.isfinite(found), now, np.clip(now - step, 0.5 * now, 2 * now))
        return found

    def _bracketed(self, power: Any, density: Any) -> Any:
        """The same surely: the mass doubled until there is not enough power, then found between."""
        high = np.full(power.shape, LIGHTEST)
        with np.errstate(all="ignore"):
            able = self.power(high, density) < power
            high = np.where(able, 1000.0, high)
            for _ in range(8):
                more = able & (self.power(high, density) < power)
                if not more.any():
                    break
                high = np.where(more, 2 * high, high)

            def residual(mass: Any) -> Any:
                return np.where(np.isfinite(off := self.power(mass, density) - power), off, 1e9)

            found, _ = bracketed(residual, np.full(power.shape, LIGHTEST), np.where(able, high, 1000.0))
        return np.where(able, found, np.nan)

    def mass_at(self, power: Measured, density: Measured, root: float | None = None) -> Measured:
        """The mass that can just hover. root: what `masses` found for it already, which it asks otherwise.
        Raises `QuantityError` where nothing is left to lift with."""
        found = self.masses(np.array([power.si]), np.array([density.si]))[0] if root is None else root
        if not np.isfinite(found):
            raise QuantityError("engine_power is used up by accessories and blade drag: nothing is left to lift with")
        return root_of(
            lambda mass, power, density, *figures: power - self.needed(mass, density, *figures),
            Mass, float(found), (power, density, *self.figures),
        )  # fmt: skip

    def density_at(self, mass: Measured, sea_level_power: Measured) -> Measured:
        """The thin density at which the power needed is all there is. Raises `QuantityError` where there is none."""

        def left(density: Any, mass: Any, power: Any, *figures: Any) -> Any:
            return self.available(power, density) - self.needed(mass, density, *figures)

        steps = np.linspace(THIN, THICK, DENSITY_STEPS + 1)
        at = [float(mass.si), float(sea_level_power.si), *self.bare]
        values = _crossing(lambda some: left(some, *(np.full(some.shape, one) for one in at)), steps)
        known = np.flatnonzero(~np.isnan(values))
        if known.size and values[known[0]] > 0:
            if known[0]:
                raise QuantityError("power is left at every height that the engine's table reaches")
            raise QuantityError("gross_mass is so small that power is left at every height that the formulas reach")
        for one, other in itertools.pairwise(known):
            if values[other] >= 0:
                found = between(lambda density: left(density, *at), float(steps[one]), float(steps[other]))
                return root_of(left, Density, found, (mass, sea_level_power, *self.figures))
        raise QuantityError("gross_mass is so large that there is not enough power in air of any density")


def _crossing(function: Callable[[Any], Any], steps: Any) -> Any:
    """A function's values at steps, as far as they are needed to find where it first rises through nothing: first at
    every fourth step, then between the two where it does; at every step where that tells nothing. What was not worked
    out is not a number.

    The upper steps are looked at first, and the lower ones only where those do not tell: what is left of the power
    rises through nothing but once, and in air so thin that the blades stall it is long to work out."""
    coarse = np.array(sorted({*range(0, len(steps), COARSE), len(steps) - 1}))
    values = np.full(steps.shape, np.nan)
    with np.errstate(all="ignore"):
        for some in (coarse[len(coarse) // 3 :], coarse):
            unknown = some[np.isnan(values[some])]
            values[unknown] = function(steps[unknown])
            known = some[~np.isnan(values[some])]
            crossed = [(a, b) for a, b in itertools.pairwise(known) if values[a] < 0 <= values[b] and b - a <= COARSE]
            if crossed and values[known[0]] < 0:
                first, last = crossed[0]
                values[first + 1 : last] = function(steps[first + 1 : last])
                return values
        return function(steps)


def main_rotor_power_at(engine_power: Measured, density: Measured, shares: Sequence[Measured]) -> Measured:
    """The main rotor's power in a hover that takes an engine power: `engine_power_for` turned round.

    shares: main rotor's speed, tail arm, tail rotor's radius and figure of merit, efficiency, accessories.
    Raises `QuantityError` where the accessories take all of it.
    """
    return cast("Measured", _main_rotor_power_at(engine_power, density, *shares)[0])


@recently(16)
def _main_rotor_power_at(engine_power: Measured, density: Measured, *shares: Measured) -> tuple[Measured]:
    at = [float(density.si), *(float(share.si) for share in shares)]
    top = float(engine_power.si)

    def residual(main: Any, power: Any, *rest: Any) -> Any:
        return power - engine_power_for(main, *rest)

    if residual(0.0, top, *at) <= 0:
        raise QuantityError("the accessories take all of the engine's power: nothing is left for the rotors")
    found = between(lambda main: residual(main, top, *at), 0.0, top)
    return (root_of(residual, Power, found, (engine_power, density, *shares)),)


def root_of(residual: Callable[..., Any], kind: Any, root: float, inputs: Sequence[Measured]) -> Measured:
    """A root with its uncertainty: of residual(root, *inputs) = 0 the slope by an input is minus the slope of the
    residual by the input over that by the root (JCGM 100:2008, 5.1.3), each by central differences over one standard
    uncertainty. residual takes arrays; one call serves all."""
    uncertain = [i for i, term in enumerate(inputs) if float(term.standard_si) > 0]
    columns = np.tile([root, *(float(term.si) for term in inputs)], (2 * len(uncertain) + 2, 1))
    steps = [1e-4 * abs(root), *(float(inputs[i].standard_si) for i in uncertain)]
    for row, (column, step) in enumerate(zip([0, *(i + 1 for i in uncertain)], steps, strict=True)):
        columns[2 * row, column] += step
        columns[2 * row + 1, column] -= step
    with np.errstate(all="ignore"):
        values = np.asarray(residual(*columns.T), dtype=float)
    if not np.isfinite(values).all():
        raise QuantityError("the balance has no value beside this point, so its uncertainty cannot be found")
    slopes = (values[::2] - values[1::2]) / (2 * np.array(steps))
    return combine(root, kind, [inputs[i] for i in uncertain], [float(-one / slopes[0]) for one in slopes[1:]])
