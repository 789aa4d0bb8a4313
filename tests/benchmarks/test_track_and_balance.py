"""Simulated aircraft: runs until in limits, by the plan that learns and by the plain single-plane method."""

from __future__ import annotations

import os

import numpy as np

from tests.balance.simulated import MOST_ROUNDS, by_plan, by_single_plane
from tests.benchmarks.telling import tell

AIRCRAFT = int(os.environ.get("AIRCRAFT", "300"))
"""A plan for one of them takes some 0.8 s: 1,000 take over ten minutes, and are asked for by AIRCRAFT=1000."""


def test_simulated_aircraft() -> None:
    plans, kept = [], []
    for seed in range(AIRCRAFT):
        runs, distances = by_plan(seed)
        plans.append(runs)
        kept += distances
    plain = [by_single_plane(seed) for seed in range(AIRCRAFT)]
    said = [
        f"median {np.median(runs):g}, 95 % {np.percentile(runs, 95):g}, worst {max(runs)}, "
        f"{sum(run >= MOST_ROUNDS for run in runs)} not within {MOST_ROUNDS}"
        for runs in (plans, plain)
    ]
    tell(f"runs until in limits, {AIRCRAFT} simulated aircraft: by the plan / by the single-plane method", *said)
    share = np.mean(np.array(kept) <= 2.4477)
    tell(f"promises of the plan kept within their 95 % bounds, of {len(kept)}", f"{share:.1%}", wanted="95 %")
    assert np.median(plans) < np.median(plain)
