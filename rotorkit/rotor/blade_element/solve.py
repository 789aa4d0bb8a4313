"""The inflow angle of every blade element: momentum against lift, solved for whole arrays at once.

For an element at the station r (a fraction of the radius) with inflow angle phi, blade angle theta and Prandtl factor
F, the thrust of the annulus by momentum theory equals that of the blades' lift:

    8 F r sin^2(phi) / sigma = cl(theta - phi) cos(phi)

with sigma = blades x chord / (pi x radius) there. This holds with the swirl of the wake and without it: the two differ
only in the speed that the section meets, r cos(phi) or r / cos(phi) of the tip speed (lift alone makes the induced
velocity, and that is square to the flow met; drag is left out of the balance, as usual). The unknown here is
s = sin(phi), between no inflow and no lift.

In attached flow with a straight lift curve and small angles, s has a closed form for a given F:
s = 2 x / (1 + sqrt(1 + 4 k F x / a)), k = 8 r / sigma, x the blade angle from zero lift, a the lift slope
(Gessow & Myers' and Leishman's lambda = sigma a / 16 F (sqrt(1 + 32 F theta r / (sigma a)) - 1)). It starts Newton's
steps, whose slope is exact; what has not settled after them, and everything with a table or a stall, is left to
`rotorkit.rotor.roots.bracketed`.
"""

from __future__ import annotations

from typing import Any

import numpy as np

_TWO_OVER_PI = 2 / np.pi
_LEAST_SINE, _MOST_SINE = 1e-9, 0.999999
SETTLED = 3e-3
"""Newton's last step, relative to its result, after which the result is good to about 1e-6: what is left is a tenth of
its square (measured on the worst element of a twisted rotor: steps of 1e-1, 1e-3, 1e-7, 1e-15)."""
NEWTON_STEPS = 5


def prandtl_factor(sine: Any, tip: Any, root: Any) -> Any:
    """Prandtl's factor for the tip times that for the root, at inflow angles whose sine is given (not negative).

    F = (2/pi) acos(exp(-f)), f = (N/2)(1 - r) / (r sin phi) at the tip and (N/2)(r - r0) / (r sin phi) at the root,
    N blades, r0 the root cut-out. Source: `sources.PRANDTL_TIP_LOSS`. `tip` and `root` are f times sin phi; None
    leaves that loss out.
    """
    one_over = 1 / np.maximum(sine, _LEAST_SINE)
    factor: Any = 1.0
    for reach in (tip, root):
        if reach is not None:
            factor = factor * (_TWO_OVER_PI * np.arccos(np.exp(-reach * one_over)))
    return factor


def _factor_and_slope(one_over: Any, tip: Any, root: Any) -> tuple[Any, Any]:
    """Prandtl's factor, and its slope by the sine times sine over factor. In place where it can be, as `attached`."""
    factor: Any = None
    relative: Any = None
    for reach in (tip, root):
        if reach is None:
            continue
        e = reach * one_over
        slope = e.copy()
        np.exp(np.negative(e, out=e), out=e)
        part = np.arccos(e)
        slope *= e
        e *= e
        np.sqrt(np.subtract(1, e, out=e), out=e)
        e *= part
        slope /= e
        part *= _TWO_OVER_PI
        factor = part if factor is None else np.multiply(factor, part, out=factor)
        relative = slope if relative is None else np.add(relative, slope, out=relative)
    if factor is None:
        return np.ones_like(one_over), np.zeros_like(one_over)
    return factor, np.negative(relative, out=relative)


def attached(steepness: Any, angle: Any, slope: Any, tip: Any, root: Any) -> tuple[Any, Any]:
    """Sine of the inflow angle for a straight lift curve, by closed form and a few Newton steps.

    Args: steepness, k = 8 r / sigma; angle, blade angle from zero lift, rad, any sign; slope, lift slope; tip, root as
    `prandtl_factor` takes them. All broadcast to the shape of `angle`, whose last axis is the station.
    Returns: the sine (with the angle's sign), and where it has settled (booleans).
    """
    size = np.abs(angle)
    # a start good to 1e-3 needs no more than single precision, at half the time
    s = _start(*(None if x is None else x.astype(np.float32) for x in (steepness, size, slope, tip, root)))
    s = s.astype(float)
    settled: Any = np.False_
    for _ in range(NEWTON_STEPS):
        settled = _newton(s, steepness, size, slope, tip, root)
        if settled.all():
            break
    return np.copysign(s, angle), settled


def _start(steepness: Any, size: Any, slope: Any, tip: Any, root: Any) -> Any:
    """The closed form without loss, again with the loss found from it, and one Newton step."""
    four = steepness * size
    four /= slope
    four *= 4
    double = 2 * size
    s = four + 1
    np.sqrt(s, out=s)
    s += 1
    np.divide(double, s, out=s)
    four *= prandtl_factor(s, tip, root)
    four += 1
    np.sqrt(four, out=four)
    four += 1
    np.minimum(np.divide(double, four, out=s), _MOST_SINE, out=s)
    _newton(s, steepness, size, slope, tip, root)
    return s


def _newton(s: Any, steepness: Any, size: Any, slope: Any, tip: Any, root: Any) -> Any:
    """One Newton step of the balance, into `s` itself; where it was small (booleans).

    The arithmetic is done in place: this is where the time goes, and it must stay in the processor's cache.
    """
    one_over = np.maximum(s, _LEAST_SINE)
    np.reciprocal(one_over, out=one_over)
    momentum, turn = _factor_and_slope(one_over, tip, root)
    momentum *= steepness
    momentum *= s
    # slope of momentum: k s (2 F + s F'); of lift times cosine: -(a + lift s / cosine)
    turn += 2
    turn *= momentum
    momentum *= s
    cosine = s * s
    np.sqrt(np.subtract(1, cosine, out=cosine), out=cosine)
    lift = np.arcsin(s)
    np.subtract(size, lift, out=lift)
    lift *= slope
    step = momentum
    step -= np.multiply(lift, cosine, out=one_over)
    lift *= s
    lift /= cosine
    turn += lift
    turn += slope
    step /= turn
    s -= step
    np.clip(s, 0.0, _MOST_SINE, out=s)
    return np.abs(step) <= SETTLED * s + 1e-12
