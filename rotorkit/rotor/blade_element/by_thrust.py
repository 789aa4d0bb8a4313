"""The collective that gives a thrust: the blade-element hover turned round, for whole arrays."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import numpy as np

from rotorkit.edges.recent import Recent
from rotorkit.rotor.blade_element.annuli import (
    PLAIN,
    Air,
    Forces,
    HoverNumbers,
    Meeting,
    Model,
    blocks,
    grid_of,
    numbers_met,
    numbers_of,
    once,
    parts,
    recent,
)
from rotorkit.rotor.blade_element.blades import Blades
from rotorkit.rotor.roots import bracketed

MOST_COLLECTIVE = np.radians(40.0)
"""The largest collective that is tried, either way from the blade angle without lift."""
_PAST_STALL = 0.97
"""Where thrust has fallen to this part of its peak, the blade is past the stall."""
_STEP = np.radians(1.0)
_ENOUGH = 1e-9
_QUICK_STEPS = 9
_RECENT = Recent[Any](32)
"""Collectives and coefficients at given thrusts: those of the measured hovers stay from one edit to the next."""


def at_thrust(blades: Blades, rotor_speed: Any, air: Air, thrust: Any, model: Model = PLAIN) -> HoverNumbers:
    """The hover at given thrusts (N, any sign; any shapes that broadcast). Where no collective gives the thrust, every
    figure is not a number and `reached` is False."""
    shape, speed, density, sound, viscosity, force = _flat(rotor_speed, air, thrust)
    tips = speed * blades.radius
    one, of = once(blades, tips, density, sound, viscosity, force / (density * blades.disk_area * tips**2))
    met = tips[one], density[one], sound[one], viscosity[one], force[one]

    def solved() -> tuple[Any, Any, Any]:
        size = met[0].size
        found, collective, reached = np.empty((6, size)), np.empty(size), np.empty(size, dtype=bool)
        for block, rotor, wanted in _meetings(blades, *met, model):
            angle, reached[block], f = _solve(rotor, wanted)
            collective[block] = np.where(reached[block], angle, 0.0)
            if f is None:
                f = rotor.forces(collective[block, np.newaxis])
            found[:, block] = rotor.coefficients(f)
        for one in (found, collective, reached):
            one.flags.writeable = False
        return found, collective, reached

    found, collective, reached = recent(_RECENT, blades, model, met, solved)
    found, collective, reached = found[:, of], collective[of], reached[of]
    return numbers_of(blades, found, collective, tips, speed, density, sound, reached.reshape(shape), shape)


def collective_for_thrust(
    blades: Blades, rotor_speed: Any, air: Air, thrust: Any, model: Model = PLAIN
) -> tuple[Any, Any]:
    """The collective (rad, at 0.75 of the radius) that gives a thrust, and whether there is one.

    Quick secant steps from the textbook estimate; where they do not settle, or part of the blade is stalled, the
    collective is walked a degree at a time from no lift to the first that gives enough, and found between the two.
    """
    shape, speed, density, sound, viscosity, force = _flat(rotor_speed, air, thrust)
    found, reached = np.empty(force.shape), np.empty(force.shape, dtype=bool)
    for block, rotor, wanted in _meetings(blades, speed * blades.radius, density, sound, viscosity, force, model):
        found[block], reached[block], _ = _solve(rotor, wanted)
    return found.reshape(shape), reached.reshape(shape)


def _flat(rotor_speed: Any, air: Air, thrust: Any) -> tuple[Any, ...]:
    """The shape of the conditions; speed, density, speed of sound, viscosity and force of each, in one row."""
    shape = np.broadcast_shapes(*(np.shape(x) for x in (rotor_speed, thrust, *parts(air))))
    flat = (np.broadcast_to(np.asarray(x, dtype=float), shape).reshape(-1) for x in (rotor_speed, *parts(air), thrust))
    return shape, *flat


def _meetings(
    blades: Blades, tips: Any, density: Any, sound: Any, viscosity: Any, force: Any, model: Model
) -> Iterator[tuple[slice, Meeting, Any]]:
    """The conditions block by block: which, the blades that meet them, the thrust coefficients wanted."""
    grid = grid_of(blades, model)
    wanted = force / (density * blades.disk_area * tips**2)
    for block in blocks(wanted.size, model.stations):
        mach, reynolds = numbers_met(blades, grid, tips[block], density[block], sound[block], viscosity[block])
        yield block, Meeting(blades, grid, model, mach, reynolds), wanted[block]


def _solve(rotor: Meeting, wanted: Any) -> tuple[Any, Any, Forces | None]:
    """The collectives, which of them give what is wanted, and the forces there where they are known already."""
    loading = rotor.blades.solidity * 5.7
    draught = np.sqrt(np.abs(wanted) / 2)
    slope = loading / 6 / (1 + loading / (16 * np.maximum(draught, 1e-3)))
    before = _zero_lift(rotor) + 6 * wanted / loading + np.copysign(1.5 * draught, wanted)
    off_before = rotor.thrust(before) - wanted
    now = before - off_before / slope
    enough = _ENOUGH * np.abs(wanted) + 1e-13
    good = np.zeros(wanted.shape, dtype=bool)
    with np.errstate(divide="ignore", invalid="ignore"):
        for _ in range(_QUICK_STEPS):
            f = rotor.forces(now[:, np.newaxis])
            off = rotor.thrust_of(f) - wanted
            good = np.abs(off) <= enough
            if good.all():
                break
            moved = now - before
            secant = (off - off_before) / moved
            # a slope that is not near the expected one is no guide: near the stall the walk decides
            secant = np.where((secant > 0.2 * slope) & np.isfinite(secant), secant, slope)
            before, off_before = np.where(good, before, now), np.where(good, off_before, off)
            now = np.where(good, now, now - off / secant)
    if not good.all():
        now = np.where(np.isfinite(now), now, 0.0)
        f = rotor.forces(now[:, np.newaxis])
    # where part of a blade is stalled, the walk decides
    stalled = rotor.stalled(f)
    if stalled.any():
        good &= ~stalled.any(axis=-1)
    if good.all():
        return now, good, f
    rest = np.flatnonzero(~good)
    now[rest], good[rest] = _walk(rotor.part(rest), wanted[rest])
    return now, good, None


def _zero_lift(rotor: Meeting) -> Any:
    """The section's angle without lift at 0.75 of the radius, to start from."""
    at = np.argmin(np.abs(rotor.grid.r - 0.75))
    zero = rotor.section.zero_lift
    return zero[..., at] if np.ndim(zero) else zero


def _walk(rotor: Meeting, wanted: Any) -> tuple[Any, Any]:
    """First collective, from no lift outward, that gives the thrust: a degree at a time, then between. None past the
    stall, where thrust has begun to fall: what a wholly stalled blade gives further on is no way to hover."""
    sense = np.where(wanted < 0, -1.0, 1.0)
    amount = np.abs(wanted)
    low = _zero_lift(rotor) - sense * 2 * _STEP
    high, best = low.copy(), low.copy()
    reached, over, peak = np.zeros(wanted.shape, dtype=bool), np.zeros(wanted.shape, dtype=bool), np.zeros(wanted.shape)
    before, rise = np.zeros(wanted.shape), np.zeros(wanted.shape)
    for _ in range(round(MOST_COLLECTIVE / _STEP)):
        thrust = sense * rotor.thrust(high)
        rise, before = np.maximum(rise, thrust - before), thrust
        reached |= ~over & (thrust >= amount)
        best, peak = np.where(thrust > peak, high, best), np.maximum(peak, thrust)
        over |= ~reached & (peak > 0) & (thrust < _PAST_STALL * peak)
        if (reached | over).all():
            break
        low = np.where(reached, low, high)
        high = np.where(reached, high, high + sense * _STEP)
    # the peak may stand between two steps, but no higher above the best of them than the steepest step rose
    missed = np.flatnonzero(~reached & (amount <= peak + rise))
    if missed.size:
        part = rotor.part(missed)
        top, most = _peak(part, best[missed], sense[missed])
        found = most >= amount[missed]
        reached[missed[found]] = True
        high[missed[found]] = top[found]
        low[missed[found]] = best[missed[found]] - sense[missed[found]] * _STEP
    found, _ = bracketed(lambda middle: sense * rotor.thrust(middle) - amount, low, np.where(reached, high, low))
    return found, reached


def _peak(rotor: Meeting, near: Any, sense: Any) -> tuple[Any, Any]:
    """The collective within a step of `near` that gives the most thrust, and that thrust, by golden section."""
    golden = (np.sqrt(5) - 1) / 2
    a, b = near - _STEP, near + _STEP
    c, d = b - golden * (b - a), a + golden * (b - a)
    at_c, at_d = sense * rotor.thrust(c), sense * rotor.thrust(d)
    for _ in range(28):
        first = at_c > at_d
        a, b = np.where(first, a, c), np.where(first, d, b)
        fresh = np.where(first, b - golden * (b - a), a + golden * (b - a))
        at_fresh = sense * rotor.thrust(fresh)  # the other of the two inner points stands there already
        c, d, at_c, at_d = (
            np.where(first, fresh, d),
            np.where(first, c, fresh),
            np.where(first, at_fresh, at_d),
            np.where(first, at_c, at_fresh),
        )
    top = 0.5 * (a + b)
    return top, sense * rotor.thrust(top)
