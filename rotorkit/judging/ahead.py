"""Looking ahead from figures read at several times: when a straight line may meet a limit, no surer than they tell."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, coverage_factor
from rotorkit.quantities import QuantityError

FEWEST = 4
"""So many times are needed: three make a line with one degree of freedom, whose scatter nobody knows (our own choice).
"""
TO_SEE_A_BEND = 6
"""So many times are needed to tell a bend from scatter (our own choice)."""
STEPS = 4000
RISING, FALLING, NO_TREND = "rising", "falling", "no trend seen"
BENDS, BENDS_DOWN = "rising faster and faster", "falling faster and faster"


@dataclass(frozen=True)
class Ahead:
    """What a straight line through figures tells of a limit ahead.

    word: which way it goes. times_si, line_si, half_si: seconds since the first, the line there, and how far it may be
    off (95 %), from the first time to `horizon_si`, as far ahead as the figures reach back. met_si: when the line meets
    the limit, earliest_si and latest_si: when at the earliest and at the latest, as well as the line is known; each
    None where that is not within the horizon. at_limit: whether the line is at its limit, or beyond, already.
    """

    word: str
    count: int
    slope_si: float
    slope_half_si: float
    times_si: np.ndarray
    line_si: np.ndarray
    half_si: np.ndarray
    last_si: float
    horizon_si: float
    at_limit: bool
    met_si: float | None
    earliest_si: float | None
    latest_si: float | None


def looking_ahead(times: Sequence[float], figures: Sequence[Measured], limit: Limit) -> Ahead | None:
    """When figures that are read again and again may meet a limit.

    A straight line by least squares; its doubt by the scatter about it, widened by Student's t, and not less than the
    figures' own standard uncertainty; to that comes the figures' own uncertainty once more, as of one calibration that
    they all share. The farther ahead, the less is known.

    Parameters
    ----------
    times : sequence of float
        Seconds since any start, in any order.
    figures : sequence of Measured
        As many, of the limit's kind.
    limit : Limit
        Whose sides are looked at.

    Returns
    -------
    Ahead or None
        None for fewer than four times, or a limit without a side.

    Raises
    ------
    QuantityError
        Not as many times as figures.

    Notes
    -----
    Source: least squares with Student's t (JCGM 100:2008, G.3; any textbook of regression). Range: as far ahead as the
    figures reach back, and no farther; what wears faster and faster is told where six times or more show it.

    Examples
    --------
    1.0, 1.1, 1.2, 1.3 mm/s in as many days: 2 mm/s would be met after 10 days, which is more than as far ahead as the
    three days reach back.

    >>> from rotorkit.judging.measured import measured
    >>> from rotorkit.quantities import Speed
    >>> four = [measured(f"{1 + i / 10} mm/s", Speed, "once a turn") for i in range(4)]
    >>> near, far = (Limit("vibration", Speed, high=high, source="manual") for high in ("1.5 mm/s", "2 mm/s"))
    >>> found = looking_ahead([0, 86400, 2 * 86400, 3 * 86400], four, near)
    >>> found.word, round(found.met_si / 86400, 2), looking_ahead([0, 1, 2, 3], four, far).met_si
    ('rising', 5.0, None)
    """
    if len(times) != len(figures):
        raise QuantityError(f"times: needs as many as there are figures, got {len(times)} and {len(figures)}")
    sides = [(sign, side) for sign, side in ((1.0, limit.high_si), (-1.0, limit.low_si)) if side is not None]
    if len(set(times)) < FEWEST or not sides:
        return None
    order = np.argsort(np.array(times, dtype=float), kind="stable")
    t = np.array(times, dtype=float)[order]
    t -= t[0]
    y = np.array([float(one.si) for one in figures])[order]
    own = np.array([float(one.standard_si) for one in figures])
    n, middle, span = len(t), float(t.mean()), float(t[-1])
    about = float(((t - middle) ** 2).sum())
    slope = float(((t - middle) * y).sum() / about)
    level = float(y.mean())
    scatter = math.sqrt(float(((y - level - slope * (t - middle)) ** 2).sum()) / (n - 2))
    factor = coverage_factor(n - 2)
    slope_half = factor * scatter / math.sqrt(about)
    ahead = np.linspace(0.0, 2 * span, STEPS + 1)
    ahead[STEPS // 2] = span  # to the last bit, for what is met today is told by it
    line = level + slope * (ahead - middle)
    doubt = max(scatter, float(np.sqrt((own**2).mean())))
    half = np.hypot(factor * doubt * np.sqrt(1 / n + (ahead - middle) ** 2 / about), 2 * float(own.mean()))
    word = NO_TREND if abs(slope) <= slope_half else RISING if slope > 0 else FALLING
    from_last = ahead >= span

    def first(beyond: np.ndarray) -> float | None:
        found = ahead[from_last & beyond]
        return float(found[0]) if len(found) else None

    told = []
    for sign, side in sides:
        left = sign * (side - line)
        told.append((first(left <= half) or math.inf, first(left <= 0), first(left <= -half), left, sign))
    earliest, met, latest, left, sign = min(told, key=lambda one: (one[0], float(one[3][-1])))
    if n >= TO_SEE_A_BEND and _bends(t, y, sign):
        word = BENDS if sign > 0 else BENDS_DOWN
    at_limit = any(float(one[3][STEPS // 2]) <= 0 for one in told)
    return Ahead(
        word, n, slope, slope_half, ahead, line, half, span, 2 * span, at_limit,
        met, None if math.isinf(earliest) else earliest, latest,
    )  # fmt: skip


def _bends(t: np.ndarray, y: np.ndarray, sign: float) -> bool:
    """Whether the figures bend towards the limit, and at the last go towards it, more than their scatter tells: what
    settles far from a high limit bends upwards too, and falls all the same."""
    scaled = t / t[-1]
    columns = np.stack([np.ones_like(scaled), scaled, scaled**2], axis=1)
    if np.linalg.matrix_rank(columns) < 3:
        return False
    fit = np.linalg.lstsq(columns, y, rcond=None)[0]
    freedom = len(t) - 3
    variance = float(((y - columns @ fit) ** 2).sum()) / freedom
    inverse = np.linalg.inv(columns.T @ columns)
    factor, least = coverage_factor(freedom), 1e-9 * float(np.abs(y).max())
    for of in (np.array([0.0, 0.0, 1.0]), np.array([0.0, 1.0, 2.0])):  # the bend, and the slope at the last
        if sign * float(of @ fit) <= factor * math.sqrt(variance * float(of @ inverse @ of)) + least:
            return False
    return True
