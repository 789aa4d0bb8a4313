"""A thousand simulated aircraft: runs until in limits, by the plan that learns and by the plain single-plane method."""

from __future__ import annotations

import numpy as np

from tests.balance.simulated import MOST_ROUNDS, by_plan, by_single_plane

AIRCRAFT = 1000


def test_a_thousand_aircraft() -> None:
    plans, kept = [], []
    for seed in range(AIRCRAFT):
        runs, distances = by_plan(seed)
        plans.append(runs)
        kept += distances
    plain = [by_single_plane(seed) for seed in range(AIRCRAFT)]
    for name, runs in (("plan", np.array(plans)), ("single plane", np.array(plain))):
        print(
            f"{name}: median {np.median(runs):g}, 95 % {np.percentile(runs, 95):g}, worst {runs.max()}, "
            f"not within {MOST_ROUNDS} runs {np.mean(runs >= MOST_ROUNDS):.1%}"
        )
    print(f"promises kept within 95 % bounds: {np.mean(np.array(kept) <= 2.4477):.1%} of {len(kept)}")
    assert np.median(plans) < np.median(plain)
