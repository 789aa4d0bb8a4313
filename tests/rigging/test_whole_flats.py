"""The exact search: against every whole setting there is, tried one by one."""

import itertools

import numpy as np
import pytest

from rotorkit.rigging import whole_flats
from rotorkit.rigging.whole_flats import EQUAL, Problem, best_fewest, best_margin, real_optimum

RANGE = {1: 20, 2: 12, 3: 7, 4: 4}


def random_problem(chance: np.random.Generator, coarse: bool) -> Problem:
    """A few stations and adjusters; coarse ones are all in fifths, so that many settings are equally good."""
    adjusters, stations = int(chance.integers(1, 5)), int(chance.integers(1, 9))
    effect = chance.normal(size=(stations, adjusters)) * chance.choice([0.05, 0.2, 0.6])
    effect *= chance.random((stations, adjusters)) < 0.7
    deviation = chance.normal(size=stations) * chance.choice([0.5, 2.0, 6.0])
    if coarse:
        effect, deviation = np.round(effect * 5) / 5, np.round(deviation * 5) / 5
    low = chance.random(stations) < 0.9
    high = (chance.random(stations) < 0.9) | ~low
    most = RANGE[adjusters]
    return Problem(
        deviation,
        effect,
        np.abs(chance.normal(size=stations)) * 0.2 * chance.integers(0, 2),
        low,
        high,
        -chance.integers(0, most + 1, adjusters),
        chance.integers(0, most + 1, adjusters),
    )


def every_setting(problem: Problem) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """All settings with their worst margin, sum of squares and flats turned, written without the module's functions."""
    keep = (np.abs(problem.effect) * np.maximum(-problem.least, problem.most)).sum(axis=1) >= 0.05
    settings = np.array(
        list(itertools.product(*(range(a, b + 1) for a, b in zip(problem.least, problem.most, strict=True))))
    )
    where = problem.deviation[keep] + settings @ problem.effect[keep].T
    room = 1 - problem.uncertainty[keep]
    low, high = problem.has_low[keep], problem.has_high[keep]
    margins = np.minimum(np.where(high, room - where, np.inf), np.where(low, room + where, np.inf))
    worst = np.minimum(margins.min(axis=1), 1.0) if keep.any() else np.full(len(settings), np.inf)
    return settings, worst, (where[:, low & high] ** 2).sum(axis=1), np.abs(settings).sum(axis=1)


@pytest.mark.parametrize(("coarse", "listed"), [(False, True), (True, True), (False, False), (True, False)])
def test_the_best_of_all_settings_is_found(coarse: bool, listed: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    chance = np.random.default_rng(41 + coarse)
    if not listed:  # by programme and search, as where there are too many to list
        monkeypatch.setattr(whole_flats, "MOST_LISTED", 0)
    for _ in range(250 if listed else 80):
        problem = random_problem(chance, coarse)
        settings, worst, squares, turned = every_setting(problem)
        good = worst >= worst.max() - EQUAL
        good &= squares <= squares[good].min() + EQUAL
        good &= turned == turned[good].min()
        best = min(map(tuple, settings[good]))
        found = best_margin(problem)
        assert found.proven
        if problem.movable.any():
            assert found.flats == best
            assert found.worst == pytest.approx(worst.max(), abs=1e-6)
        else:
            assert not any(found.flats)


@pytest.mark.parametrize("coarse", [False, True])
def test_the_fewest_flats_of_all_settings_are_found(coarse: bool) -> None:
    chance = np.random.default_rng(43 + coarse)
    met = 0
    for _ in range(150):
        problem = random_problem(chance, coarse)
        _, worst, _, turned = every_setting(problem)
        found = best_fewest(problem)
        inside = worst >= -1e-9
        if not inside.any():
            assert found is None
            continue
        met += 1
        assert found is not None
        fewest = turned[inside].min()
        assert sum(map(abs, found.flats)) == fewest
        if problem.movable.any():
            assert found.worst == pytest.approx(worst[inside & (turned == fewest)].max(), abs=1e-6)
    assert met > 20


def test_the_real_optimum_bounds_every_whole_one() -> None:
    chance = np.random.default_rng(47)
    for _ in range(60):
        problem = random_problem(chance, False)
        problem = problem.of_rows(problem.movable)
        if not len(problem.deviation):
            continue
        real, whole = real_optimum(problem), best_margin(problem)
        assert min(real.worst, 1.0) >= whole.worst - 1e-6
        assert real_optimum(problem, bounded=False).worst >= real.worst - 1e-6
        if real.worst < 1 - 1e-6:
            assert real.holding


def test_a_search_that_is_cut_short_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(whole_flats, "GREATEST_SEARCH", 2)
    monkeypatch.setattr(whole_flats, "MOST_LISTED", 0)
    chance = np.random.default_rng(53)
    effect = chance.normal(size=(8, 4)) * 0.2
    bounds = np.full(4, 12)
    both = np.ones(8, bool)
    found = best_margin(Problem(chance.normal(size=8) * 3, effect, np.zeros(8), both, both, -bounds, bounds))
    assert not found.proven
    assert len(found.flats) == 4
