"""The inflow angle of every blade element: momentum against lift, solved for whole arrays at once.

For an element at the station r (a part of the radius) with inflow angle phi, blade angle theta and Prandtl factor F,
the thrust of the annulus by momentum theory equals that of the blades' lift:

    8 F r sin^2(phi) / sigma = cl(theta - phi) cos(phi)

with sigma = blades x chord / (pi x radius) there. This holds with the swirl of the wake and without it: the two differ
only in the speed that the section meets, r cos(phi) or r / cos(phi) of the tip speed (lift alone makes the induced
velocity, and that is square to the flow met; drag is left out of the balance, as usual). The unknown here is
s = sin(phi), between no inflow and no lift.

In attached flow with a straight lift curve and small angles, s has a closed form for a given F:
s = 2 x / (1 + sqrt(1 + 4 k F x / a)), k = 8 r / sigma, x the blade angle from zero lift, a the lift slope
(Gessow & Myers' and Leishman's lambda = sigma a / 16 F (sqrt(1 + 32 F theta r / (sigma a)) - 1)). It starts Newton's
steps, whose slope is exact; what has not settled after them, and everything with a table or a stall, goes through
bracketed steps that cannot fail.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

__all__ = ["attached", "bracketed", "prandtl_factor"]

_TWO_OVER_PI = 2 / np.pi
_LEAST_SINE, _MOST_SINE = 1e-9, 0.999999
SETTLED = 3e-3
"""Newton's last step, relative to its result, after which the result is good to about 1e-6: what is left is a tenth of
its square (measured on the worst element of a twisted rotor: steps of 1e-1, 1e-3, 1e-7, 1e-15)."""
NEWTON_STEPS = 5
MOST_STEPS = 60


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


def _factor_and_slope(sine: Any, tip: Any, root: Any) -> tuple[Any, Any]:
    """Prandtl's factor, and sine times its slope by the sine."""
    one_over = 1 / np.maximum(sine, _LEAST_SINE)
    factor: Any = 1.0
    relative: Any = 0.0
    for reach in (tip, root):
        if reach is not None:
            f = reach * one_over
            e = np.exp(-f)
            part = np.arccos(e)
            relative = relative - f * e / (part * np.sqrt(1 - e * e))
            factor = factor * (_TWO_OVER_PI * part)
    return factor, factor * relative


def attached(steepness: Any, angle: Any, slope: Any, tip: Any, root: Any) -> tuple[Any, Any]:
    """Sine of the inflow angle for a straight lift curve, by closed form and a few Newton steps.

    Args: steepness, k = 8 r / sigma; angle, blade angle from zero lift, rad, any sign; slope, lift slope; tip, root as
    `prandtl_factor` takes them. All broadcast.
    Returns: the sine (with the angle's sign), and where it has settled (booleans).
    """
    size = np.abs(angle)
    four = 4 * steepness * size / slope
    double = 2 * size
    s = double / (1 + np.sqrt(1 + four))
    s = np.minimum(double / (1 + np.sqrt(1 + four * prandtl_factor(s, tip, root))), _MOST_SINE)
    settled: Any = np.False_
    for _ in range(NEWTON_STEPS):
        factor, turned = _factor_and_slope(s, tip, root)
        cosine = np.sqrt(1 - s * s)
        lift = slope * (size - np.arcsin(s))
        momentum = steepness * s
        step = (factor * momentum * s - lift * cosine) / (momentum * (2 * factor + turned) + slope + lift * s / cosine)
        s = np.clip(s - step, 0.0, _MOST_SINE)
        settled = np.abs(step) <= SETTLED * s + 1e-12
        if settled.all():
            break
    return np.copysign(s, angle), settled


def bracketed(residual: Callable[[Any], Any], low: Any, high: Any) -> tuple[Any, Any]:
    """The roots of many equations at once, each between its own ends, where the residual is negative and positive.

    Chandrupatla's method: inverse quadratic steps where they are safe, halving where not, at most `MOST_STEPS`. Known
    method; T. R. Chandrupatla, Advances in Engineering Software 28, 1997 (from memory).

    Args: residual, of an array; low and high, arrays of ends.
    Returns: the roots, and where they have settled (booleans).
    """
    a, b = np.array(low, dtype=float), np.array(high, dtype=float)
    fa, fb = residual(a), residual(b)
    c, fc = a.copy(), fa.copy()
    t = np.full(a.shape, 0.5)
    settled = np.zeros(a.shape, dtype=bool)
    best = b
    for _ in range(MOST_STEPS):
        x = a + t * (b - a)
        fx = residual(x)
        same = np.sign(fx) == np.sign(fa)
        c, fc = np.where(same, a, b), np.where(same, fa, fb)
        b, fb = np.where(same, b, a), np.where(same, fb, fa)
        a, fa = x, fx
        nearer = np.abs(fa) < np.abs(fb)
        best, least = np.where(nearer, a, b), np.where(nearer, fa, fb)
        gap = np.abs(b - a)
        tolerance = 2e-12 + 1e-11 * np.abs(best)
        settled = (gap <= tolerance) | (least == 0)
        if settled.all():
            break
        with np.errstate(all="ignore"):
            xi = (a - b) / (c - b)
            phi = (fa - fb) / (fc - fb)
            quadratic = (phi * phi < xi) & ((1 - phi) ** 2 < 1 - xi)
            step = fa / (fb - fa) * fc / (fb - fc) + (c - a) / (b - a) * fa / (fc - fa) * fb / (fc - fb)
            t = np.where(quadratic, step, 0.5)
            edge = np.where(gap > 0, 0.5 * tolerance / gap, 0.5)
        t = np.clip(np.where(np.isfinite(t), t, 0.5), np.minimum(edge, 0.5), np.maximum(1 - edge, 0.5))
    return best, settled
