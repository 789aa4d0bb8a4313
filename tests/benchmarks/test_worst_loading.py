"""The worst loading of a million combinations beside a bare NumPy evaluation of every one of them, same answer."""

from __future__ import annotations

import time
import tracemalloc
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from rotorkit.mass import Loading, load_of, worst_loading
from tests.benchmarks.telling import tell, time_of

LOADS, WAYS, MOST = 6, 10, 1310.0


def best_of(work: Callable[[], Any], times: int) -> tuple[float, Any]:
    spent = []
    for _ in range(times):
        start = time.process_time()
        found = work()
        spent.append(time.process_time() - start)
    return min(spent), found


def every_one(empty: tuple[float, float], masses: np.ndarray, arms: np.ndarray) -> float:
    """The most forward centre of gravity of every combination, by broadcasting; none above the maximum."""
    mass, moment = np.array(empty[0]), np.array(empty[0] * empty[1])
    for i in range(LOADS):
        shape = [1] * LOADS
        shape[i] = WAYS
        mass = mass + masses[i].reshape(shape)
        moment = moment + (masses[i] * arms[i]).reshape(shape)
    return float(np.where(mass <= MOST, moment / mass, np.inf).min())


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_million_combinations(seed: int) -> None:
    draw = np.random.default_rng(seed)
    masses = draw.uniform(0, 150, (LOADS, WAYS)).round(1)
    masses[:, 0] = 0.0
    arms = draw.uniform(60, 150, (LOADS, WAYS)).round(1)
    empty = (802.0, 106.84)
    base = Loading.at(f"{empty[0]} lb", f"{empty[1]} in")
    loads = [
        load_of(f"load {i}", [(f"{m} lb", f"{x} in") for m, x in zip(masses[i], arms[i], strict=True)])
        for i in range(LOADS)
    ]
    ours, found = best_of(lambda: worst_loading(base, loads, "forward", f"{MOST} lb"), 5)
    bare, least = best_of(lambda: every_one(empty, masses, arms), 3)
    assert float(found.loading.arm.value.m_as("in")) == pytest.approx(least, rel=1e-12)
    tracemalloc.start()
    every_one(empty, masses, arms)
    much = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    tell(
        f"worst loading of {WAYS**LOADS:,} combinations, {found.looked_at} sets looked at / bare NumPy over all, "
        f"{much:.0f} MB, same answer",
        time_of(ours),
        time_of(bare),
        f"{ours / bare:.3f}",
    )
    assert ours < bare
