"""Orders of a long recording: the work beside a bare SciPy pipeline. (`test_order_records.py`: whether the stated
uncertainty covers the truth.)"""

from __future__ import annotations

import math
import time
import tracemalloc
from collections.abc import Callable

import numpy as np
import pytest
from scipy.interpolate import CubicSpline

from rotorkit.vibration import orders_of, recording, turns_from_pulses
from tests.benchmarks.telling import tell, time_of

SAMPLES = 10_000_000
POINTS = 64
"""Points of a turn in the bare pipeline."""


def bare(x: np.ndarray, rate: float, pulses: np.ndarray, order: int, *, spline: bool) -> complex:
    """The same order over the turns by a spline or by straight lines, with nothing looked at and no uncertainty."""
    whole = len(pulses) - 1
    at = np.interp(np.arange(whole * POINTS) / POINTS, np.arange(len(pulses)), pulses)
    t = np.arange(len(x)) / rate
    turned = CubicSpline(t, x)(at) if spline else np.interp(at, t, x)
    return complex(2 * np.fft.fft(turned.reshape(whole, POINTS).mean(axis=0))[order] / POINTS)


def test_ten_million_samples() -> None:
    t = np.arange(SAMPLES) / 5000
    x = 0.2 * np.cos(math.tau * 7.5 * t - math.radians(40)) + 0.05 * np.cos(math.tau * 15 * t)
    pulses = np.arange(int(t[-1] * 7.5) + 1) / 7.5
    del t

    def ours() -> complex:
        return complex(orders_of(recording(x, "5000 Hz", "g"), turns_from_pulses(pulses), [1, 2, 4])[1].vibration.si)

    assert abs(ours()) / 9.80665 == pytest.approx(0.2, abs=2e-4)
    mine, held = cost(ours)
    for spline in (True, False):
        assert abs(bare(x, 5000, pulses, 1, spline=spline)) == pytest.approx(0.2, abs=3e-4)
        theirs, theirs_held = cost(lambda spline=spline: bare(x, 5000, pulses, 1, spline=spline))  # type: ignore[misc]
        by = "by SciPy's cubic spline" if spline else "by NumPy's straight lines"
        tell(
            f"orders of ten million samples / bare, {by}, without uncertainty (processor; memory besides)",
            f"{time_of(mine)}, {held / 1e6:.0f} MB",
            f"{time_of(theirs)}, {theirs_held / 1e6:.0f} MB",
            f"{mine / theirs:.2f}",
        )


def cost(work: Callable[[], object]) -> tuple[float, int]:
    """Processor seconds, and the most memory held at once besides what was there."""
    start = time.process_time()
    work()
    spent = time.process_time() - start
    tracemalloc.start()
    work()
    (_, most), _ = tracemalloc.get_traced_memory(), tracemalloc.stop()
    return spent, most
