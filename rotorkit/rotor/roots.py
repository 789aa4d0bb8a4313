"""Roots of many equations at once: the one finder of this room.

`scipy.optimize.elementwise.find_root` is the same method, and the tests hold this one to it. It is not used here
because of what it costs while somebody types: importing it takes longer than working a sheet, and a blade-element hover
of one condition took 1.6 to 3 times as long with it. It hands over only the equations that are still open, so that
what the residual knows of each had to be picked out again in every step.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np

MOST_STEPS = 60


def bracketed(residual: Callable[[Any], Any], low: Any, high: Any, within: float = 1e-11) -> tuple[Any, Any]:
    """The roots of many equations at once, each between its own ends, at which the residual has two signs.

    Chandrupatla's method: inverse quadratic steps where they are safe, halving where not, at most `MOST_STEPS`. Known
    method; T. R. Chandrupatla, Advances in Engineering Software 28, 1997 (from memory). Where the ends are one, that is
    the root.

    Args: residual, of an array; low and high, arrays of ends, of one shape; within, how near to the root, as a part of
    it (of a root near zero: a fifth of that).
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
        tolerance = within * (0.2 + np.abs(best))
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


def between(residual: Callable[[float], float], low: float, high: float, within: float = 1e-11) -> float:
    """The root of one equation of plain numbers, many times quicker than `bracketed`: between two ends at which the
    residual has two signs, finite or not.

    By chords, for which the end that stays counts half as much each time (the Illinois rule; known method); by halves
    where a residual is not finite, and where three chords have not made the gap a tenth.
    """
    a, b, fa, fb = low, high, float(residual(low)), float(residual(high))
    gap, chords = abs(b - a), 0
    for _ in range(4 * MOST_STEPS):
        chord = chords < 3 and math.isfinite(fa) and math.isfinite(fb)
        x = b - fb * (b - a) / (fb - fa) if chord else (a + b) / 2
        fx = float(residual(x))
        if fx == 0:
            return x
        if (fx < 0) != (fb < 0):
            a, fa = b, fb
        elif chord:
            fa /= 2
        b, fb = x, fx
        chords += 1
        if not chord or abs(b - a) < gap / 10:
            gap, chords = abs(b - a), 0
        if abs(b - a) <= within * (0.2 + abs(b)):
            break
    return b
