"""The plan over speeds: against a count of every plan, Bayes' rule by least squares, and simulated aircraft."""

import itertools
import math
from typing import Any

import numpy as np
import pytest

from rotorkit.balance import Move, effect_model, plan_moves
from rotorkit.quantities import QuantityError
from tests.balance.simulated import by_plan, by_single_plane

EFFECTS = [
    [("0.05 in/s", "10 deg"), ("0.02 in/s", "100 deg"), ("0.03 in/s", "200 deg")],
    [("0.01 in/s", "300 deg"), ("0.06 in/s", "20 deg"), ("0.02 in/s", "80 deg")],
]
RISES = [[["0 in", "0.2 in", "0 in"], ["0 in", "0 in", "0.25 in"]]]
FOUND = [("0.31 in/s", "150 deg"), ("0.28 in/s", "240 deg")]
HEIGHTS = [["0.4 in", "0 in"]]


def arrow(pair: tuple[str, str]) -> complex:
    size, angle = (float(text.split()[0]) for text in pair)
    return complex(size * np.exp(1j * math.radians(angle)))


def test_the_plan_is_as_good_as_the_best_of_all() -> None:
    model = effect_model(EFFECTS, RISES)
    moves = [Move("washer", -5, 5, 0), Move("flat white", -4, 4, 0), Move("flat yellow", -4, 4, 0)]
    plan = plan_moves(model, moves, FOUND, ["0.2 in/s"] * 2, HEIGHTS, ["0.5 in"], near=1e-4)
    effects = np.array([[arrow(one) for one in row] for row in EFFECTS])
    now = np.array([arrow(one) for one in FOUND])

    def worst(steps: tuple[int, ...]) -> float:
        left = np.abs(now + effects @ np.array(steps)) / 0.2
        return max(*left, abs(0.4 + 0.2 * steps[1] - 0.25 * steps[2]) / 0.5)

    best = min(map(worst, itertools.product(range(-5, 6), range(-4, 5), range(-4, 5))))
    assert plan.proved
    assert worst(plan.steps) == pytest.approx(plan.worst)
    assert best * (1 - 1e-12) <= plan.worst <= best * 1.01  # the polygon stands for a circle within 0.9 %
    assert plan.worst_now == pytest.approx(worst((0, 0, 0)))
    few = plan_moves(
        model, [Move(m.name, m.least, m.most, 0.2) for m in moves], FOUND, ["0.2 in/s"] * 2, HEIGHTS, ["0.5 in"]
    )
    assert sum(map(abs, few.steps)) < sum(map(abs, plan.steps))
    none = plan_moves(model, [Move("washer", 0, 0)] * 3, FOUND, ["0.1 in/s"] * 2, HEIGHTS, ["0.5 in"])
    assert none.steps == (0, 0, 0)
    assert "worn bearing" in none.in_words
    with pytest.raises(QuantityError, match="3"):
        plan_moves(model, moves[:2], FOUND, ["0.2 in/s"] * 2, HEIGHTS, ["0.5 in"])


def test_no_step_is_asked_for_that_does_nothing() -> None:
    """Two blades opposite each other moved alike change nothing but the count of steps."""
    pair = [("0.05 in/s", "0 deg"), ("0.05 in/s", "180 deg")]
    model = effect_model([pair], [[["0.2 in", "0 in"], ["0 in", "0.2 in"]]])
    moves = [Move("white", -6, 6), Move("yellow", -6, 6)]
    for near in (0.001, 0.5, 5.0):
        plan = plan_moves(
            model, moves, [("0.31 in/s", "180 deg")], ["0.2 in/s"], [["0 in", "0 in"]], ["9 in"], near=near
        )
        assert plan.steps[0] - plan.steps[1] in (5, 6, 7)
        assert min(map(abs, plan.steps)) == 0 or plan.steps[0] * plan.steps[1] < 0


def test_in_limits_goes_before_few_steps() -> None:
    """A washer makes 0.005 of the limit, less than its step costs: still ten or more are put on, 1.05 - 10 x 0.005 = 1;
    and only where all of them are too few is it said that none does."""
    model = effect_model([[("0.001 in/s", "0 deg")]])
    for most, there in ((60, True), (10, True), (9, False)):
        plan = plan_moves(model, [Move("washer", 0, most)], [("0.21 in/s", "180 deg")], ["0.2 in/s"])
        assert (plan.worst <= 1 + 1e-9) == there
        assert ("out of limits still" in plan.in_words) is False
        assert ("No plan of these moves" in plan.in_words) != there
        assert plan.worst == pytest.approx(abs(0.21 - 0.001 * plan.steps[0]) / 0.2)
    with pytest.raises(QuantityError, match="washer: its steps are counted from how it stands now"):
        plan_moves(model, [Move("washer", 2, 5)], [("0.21 in/s", "180 deg")], ["0.2 in/s"])


def test_it_learns_as_bayes_rule_says() -> None:
    """One reading, two moves: prior and two observed changes as one least-squares problem, each row over its error."""
    model = effect_model([[("0.05 in/s", "0 deg"), ("0.04 in/s", "90 deg")]], vibration_noise="0.01 in/s")
    seen = [((3, 0), 0.20 + 0.05j), ((1, 2), 0.03 + 0.11j)]
    learned = model
    for steps, change in seen:
        learned = learned.learned(steps, [0.0], [change * 0.0254])
    prior, noise = np.sqrt(np.diag(model.covariance[0])) / 0.0254, 0.01 * math.sqrt(2)
    rows = np.vstack([np.diag(1 / prior), [np.array(steps) / noise for steps, _ in seen]])
    right = np.concatenate([model.mean[0] / 0.0254 / prior, [change / noise for _, change in seen]])
    wanted = np.linalg.lstsq(rows.astype(complex), right, rcond=None)[0]
    assert learned.mean[0] / 0.0254 == pytest.approx(wanted)
    assert learned.covariance[0] / 0.0254**2 == pytest.approx(np.linalg.inv(rows.T @ rows))
    assert model.surprise((3, 0), [0.0], [0.15 * 0.0254]) == pytest.approx(1.0)
    assert model.surprise((3, 0), [0.0], [-0.15 * 0.0254]) < 1e-4


def test_moves_of_one_sort_learn_from_each_other() -> None:
    """One washer was tried: the common factor, by the normal equation of one unknown, moves the other washer's too."""
    washers = [("0.05 in/s", "0 deg"), ("0.05 in/s", "180 deg"), ("0.03 in/s", "90 deg")]
    model = effect_model([washers], vibration_noise="0.01 in/s", sorts=["washer", "washer", "flat"], own=0.0)
    seen = 6 * 0.05 * 1.3 * np.exp(0.2j)
    learned = model.learned([6, 0, 0], [0.0], [seen * 0.0254])
    scale, noise = math.hypot(0.3, 0.35) / math.sqrt(2), 0.01 * math.sqrt(2)
    weight = (6 * 0.05 * scale) ** 2 / ((6 * 0.05 * scale) ** 2 + noise**2)
    factor = 1 + weight * (1.3 * np.exp(0.2j) - 1)
    assert learned.mean[0, :2] / 0.0254 == pytest.approx([0.05 * factor, -0.05 * factor])
    assert learned.mean[0, 2] == pytest.approx(model.mean[0, 2])
    left = 0.05 * 0.0254 * scale * math.sqrt(1 - weight)
    assert np.sqrt(learned.covariance[0, 1, 1].real) == pytest.approx(left)
    # opposite blades moved opposite ways do twice one, wrongly by the same factor: not by the root of two
    both = model.promised(np.array([0j]), np.array([1.0, -1.0, 0.0]))[1][0]
    assert both == pytest.approx(math.hypot(2 * 0.05 * scale, 0.01) * 0.0254)
    with pytest.raises(QuantityError, match="sorts"):
        effect_model([washers], sorts=["washer"])
    # what was not read is not learned of, and does not count
    unread = model.learned([6, 0, 0], [math.nan], [seen])
    assert unread.mean == pytest.approx(model.mean)
    assert unread.covariance == pytest.approx(model.covariance)
    assert model.surprise([6, 0, 0], [math.nan], [seen]) == 1.0


def test_simulated_aircraft_come_into_limits() -> None:
    """A few of those of the benchmark: the plan needs no more runs than one thing at a time, and keeps its promise."""
    plans = [by_plan(seed) for seed in range(4)]
    plain = [by_single_plane(seed) for seed in range(4)]
    assert sum(runs for runs, _ in plans) <= sum(plain)
    kept = np.array([one for _, distances in plans for one in distances])
    assert np.mean(kept <= 2.4477) > 0.85


def test_no_plan_moves_every_blade_of_one_sort_the_same_way() -> None:
    """A flat lifts the white tip by 0.25 in, the yellow one by 0.21 as the model has learned, and shakes by 0.05 in/s,
    the one against the other: two on both take 0.08 in off a track of 0.10, on paper, and move the collective."""
    model = effect_model(
        [[("0.05 in/s", "0 deg"), ("0.05 in/s", "180 deg")]], [[["0.25 in", "0 in"], ["0 in", "0.21 in"]]]
    )
    moves = [Move("link flat, blade white", -6, 6), Move("link flat, blade yellow", -6, 6)]
    heights = [["1.00 in", "1.10 in"]]

    def steps(sides: list[list[str]], **more: Any) -> tuple[int, ...]:
        return plan_moves(model, moves, [("0 in/s", "0 deg")], ["0.2 in/s"], sides, ["0.5 in"], **more).steps

    assert steps(heights) == (2, 2)
    assert steps(heights, alike=[(0, 1)]) == (0, 0)
    assert steps([["1.00 in", "0.90 in"]], alike=[(0, 1)]) == (0, 0)
    for worse, way in ((["1.00 in", "2.00 in"], 1), (["2.00 in", "1.00 in"], -1)):
        white, yellow = steps([worse], alike=[(0, 1)])
        assert way * white > 0
        assert way * yellow <= 0
