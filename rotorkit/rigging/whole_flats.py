"""The best whole-number setting of several adjusters that each move several stations: an exact search.

Everything is in half widths of the limits: ``r = deviation + effect @ flats`` is where the stations stand, ``1 - |r|``
less the uncertainty their margin. What is best, in this order:

1. the greatest worst margin of all stations that the adjusters can move;
2. the least sum of squares of the stations' departures from mid-limit;
3. the fewest flats turned; and of what is then still equal, the first in the order of the adjusters.

Two margins, or two sums, that differ by less than `EQUAL` count as equal, or rounding would decide.

A rotor has few adjusters, and its limits leave few settings that could be best: those are listed, all of them, one
adjuster after the other (`_settings`), and what is best among them is plain to see. Where they are more than
`MOST_LISTED`, the first step is a mixed-integer linear programme (branch and bound, SciPy's HiGHS), and the second a
depth-first search over whole numbers around the real least-squares solution: each partial choice is dropped when the
sum of squares that it cannot escape exceeds the best found, or when no choice of the rest can keep the margin. It
visits every choice that could be best.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray


EQUAL = 1e-5
"""Differences of margin (in half widths) or of the sum of squares below this count as none: of a limit half a degree
wide either way, five millionths of a degree. Ten times what the linear programme's own tolerances leave open."""

CANNOT_BE_MOVED = 0.05
"""A station that all adjusters together, over their whole range, move by less than this part of its half width is left
out of the choice: to chase it would cost every other station its margin and gain nothing."""

MOST_LISTED = 20_000
"""So many settings, or beginnings of settings, are listed at most: a few milliseconds."""

GREATEST_SEARCH = 400_000
"""Partial choices looked at before the search stops and says that its answer is not proven to be the best."""


@dataclass(frozen=True)
class Problem:
    """Stations (rows) and adjusters (columns).

    deviation: of each station from its mid-limit, in half widths; for a one-sided limit such that the limit lies at 1
    (a high one) or -1 (a low one). effect: of one flat. uncertainty: expanded, in half widths. has_low, has_high: which
    sides there are. least, most: flats that each adjuster can be turned, least <= 0 <= most.
    """

    deviation: NDArray[Any]
    effect: NDArray[Any]
    uncertainty: NDArray[Any]
    has_low: NDArray[Any]
    has_high: NDArray[Any]
    least: NDArray[Any]
    most: NDArray[Any]

    def margins(self, flats: Any) -> NDArray[Any]:
        """Margin of each station, in half widths. Beyond mid-limit (of a one-sided limit: one scale inside) there is no
        more to gain."""
        where = self.deviation + self.effect @ np.asarray(flats, float)
        side = np.maximum(np.where(self.has_high, where, -np.inf), np.where(self.has_low, -where, -np.inf))
        return np.asarray(np.minimum(1.0 - self.uncertainty - side, 1.0))

    def squares(self, flats: Any) -> float:
        """Sum of squares from mid-limit of the stations that have one."""
        where = self.deviation + self.effect @ np.asarray(flats, float)
        return float((where[self.has_low & self.has_high] ** 2).sum())

    @property
    def movable(self) -> NDArray[Any]:
        """Which stations the adjusters can move enough to matter."""
        reach = np.abs(self.effect) @ np.maximum(np.abs(self.least), np.abs(self.most))
        return np.asarray(reach >= CANNOT_BE_MOVED)

    def of_rows(self, rows: NDArray[Any]) -> Problem:
        """The problem of some of the stations."""
        return Problem(
            self.deviation[rows],
            self.effect[rows],
            self.uncertainty[rows],
            self.has_low[rows],
            self.has_high[rows],
            self.least,
            self.most,
        )

    def sides(self) -> tuple[NDArray[Any], NDArray[Any], NDArray[Any]]:
        """Rows ``a @ flats + margin <= b`` of every side that there is, and the station of each."""
        index = np.arange(len(self.deviation))
        a = np.vstack([self.effect[self.has_high], -self.effect[self.has_low]])
        room = 1.0 - self.uncertainty
        b = np.concatenate([(room - self.deviation)[self.has_high], (room + self.deviation)[self.has_low]])
        return a, b, np.concatenate([index[self.has_high], index[self.has_low]])


@dataclass(frozen=True)
class Solution:
    """flats: of each adjuster. worst: the worst margin of the stations that can be moved. squares: their sum of squares
    from mid-limit. proven: whether it is known to be the best. looked_at: partial choices of the search."""

    flats: tuple[int, ...]
    worst: float
    squares: float
    proven: bool = True
    looked_at: int = 0


@dataclass(frozen=True)
class RealOptimum:
    """The best margin if flats need not be whole. holding: the stations that hold it there."""

    worst: float
    flats: NDArray[Any]
    holding: tuple[int, ...]


def real_optimum(problem: Problem, bounded: bool = True) -> RealOptimum:
    """The greatest worst margin with flats of any size: no whole flats can do better.

    bounded: whether the adjusters' ranges hold. The stations whose constraints carry the optimum (with a multiplier
    above zero) prove that it can be no better: they cannot be satisfied together.
    """
    from scipy.optimize import linprog

    a, b, station = problem.sides()
    count = a.shape[1]
    bounds = [(low, high) if bounded else (None, None) for low, high in zip(problem.least, problem.most, strict=True)]
    found = linprog(
        np.r_[np.zeros(count), -1.0],
        A_ub=np.c_[a, np.ones(len(a))],
        b_ub=b,
        bounds=[*bounds, (None, 1.0)],
        method="highs",
    )
    holding = sorted({int(station[i]) for i in np.flatnonzero(np.abs(found.ineqlin.marginals) > 1e-7)})
    return RealOptimum(float(found.x[-1]), np.asarray(found.x[:-1]), tuple(holding))


def best_margin(whole: Problem) -> Solution:
    """The best setting: greatest worst margin, then least sum of squares, then fewest flats."""
    found = _best_margin(whole, -np.inf)
    assert found is not None
    return found


def _best_margin(whole: Problem, at_least: float) -> Solution | None:
    """The same; None where it is known that no setting has a margin of at least so much."""
    problem = whole.of_rows(whole.movable)
    if not len(problem.deviation):
        return Solution((0,) * len(problem.least), np.inf, 0.0)
    start = float(problem.margins(_uphill(problem)).min())
    listed = _settings(problem, max(start, at_least) - EQUAL)
    if listed is not None:
        return _best_of(problem, listed) if len(listed) else None
    first = _downhill(problem, _greatest_margin(problem))
    search = _Search(problem, first)
    while True:
        search.run()
        if search.better is None:
            break
        search = _Search(problem, search.better)  # the programme's tolerance had hidden a better margin
    flats = search.chosen()
    worst = float(problem.margins(flats).min())
    return Solution(tuple(int(n) for n in flats), worst, problem.squares(flats), search.proven, search.looked_at)


def _uphill(problem: Problem) -> NDArray[Any]:
    """A setting of a good worst margin, though perhaps not the best: the least squares rounded, bettered by moves of
    one or two adjusters."""
    least, most = problem.least, problem.most
    aim = np.where(problem.has_low & problem.has_high, 1.0, 0.1)[:, None]
    flats = np.linalg.lstsq(aim * problem.effect, -aim[:, 0] * problem.deviation, rcond=None)[0]
    flats = np.clip(np.rint(flats), least, most)
    moves = _moves(len(flats))
    moves = np.vstack([moves, 3 * moves])
    worst = float(problem.margins(flats).min())
    while True:
        ends = flats + moves
        ends = ends[((ends >= least) & (ends <= most)).all(axis=1)]
        if not len(ends):
            return flats
        margins = _worst_margins(problem, ends)
        best = int(margins.argmax())
        if not margins[best] > worst + 1e-9:
            return flats
        flats, worst = ends[best], float(margins[best])


def _worst_margins(problem: Problem, settings: NDArray[Any]) -> NDArray[Any]:
    """The worst margin of each setting, a row each."""
    where = problem.deviation + settings @ problem.effect.T
    side = np.maximum(np.where(problem.has_high, where, -np.inf), np.where(problem.has_low, -where, -np.inf))
    return np.asarray(np.minimum(1.0 - problem.uncertainty - side, 1.0).min(axis=1))


def _settings(problem: Problem, floor: float) -> NDArray[Any] | None:
    """All whole settings, a row each, with no margin below the floor; None where they are too many to list.

    Adjusters are chosen one after the other, those first that move most stations. What the later ones can still do to
    each station bounds what the next one may be: nothing that could be in the list is left out.
    """
    effect, count = problem.effect, len(problem.least)
    room = 1.0 - problem.uncertainty - floor
    lowest = np.where(problem.has_low, -room, -np.inf) - problem.deviation
    highest = np.where(problem.has_high, room, np.inf) - problem.deviation
    low, high = problem.least.astype(float), problem.most.astype(float)
    up, down = effect > 1e-12, effect < -1e-12
    over = np.where(up | down, effect, 1.0)

    def between(
        least: NDArray[Any], most: NDArray[Any], of: Any, low: Any, high: Any
    ) -> tuple[NDArray[Any], NDArray[Any]]:
        """Whole numbers x of the adjusters `of` with least <= effect * x <= most at every station (last axis)."""
        ends = least / over.T[of], most / over.T[of]
        from_low = np.where(up.T[of], ends[0], np.where(down.T[of], ends[1], -np.inf)).max(axis=-1)
        from_high = np.where(up.T[of], ends[1], np.where(down.T[of], ends[0], np.inf)).min(axis=-1)
        return np.maximum(low, np.ceil(from_low - 1e-7)), np.minimum(high, np.floor(from_high + 1e-7))

    for _ in range(8):
        reach = np.stack([effect * low, effect * high])
        less, more = reach.min(axis=0).T, reach.max(axis=0).T
        before = float((high - low).sum())
        rest_less, rest_more = less.sum(axis=0) - less, more.sum(axis=0) - more
        low, high = between(lowest - rest_more, highest - rest_less, slice(None), low, high)
        if (low > high).any():
            return np.empty((0, count))
        if float((high - low).sum()) >= before:
            break
    order = sorted(range(count), key=lambda j: (high[j] > low[j], -int((up | down)[:, j].sum()), j))
    reach = np.stack([effect * low, effect * high])
    less, more = reach.min(axis=0), reach.max(axis=0)
    chosen, moved = np.zeros((1, count)), np.zeros((1, len(effect)))
    for place, j in enumerate(order):
        later = order[place + 1 :]
        rest_less, rest_more = less[:, later].sum(axis=1), more[:, later].sum(axis=1)
        first, last = between(lowest - moved - rest_more, highest - moved - rest_less, j, low[j], high[j])
        many = np.maximum(last - first + 1, 0).astype(int)
        total = int(many.sum())
        if total > MOST_LISTED:
            return None
        of = np.repeat(np.arange(len(many)), many)
        here = first[of] + np.arange(total) - np.repeat(np.cumsum(many) - many, many)
        chosen, moved = chosen[of], moved[of] + here[:, None] * effect[:, j]
        chosen[:, j] = here
    return chosen[_worst_margins(problem, chosen) >= floor - 1e-12] if len(chosen) else chosen


def _best_of(problem: Problem, settings: NDArray[Any]) -> Solution:
    """The best of the settings listed."""
    margins = _worst_margins(problem, settings)
    settings = settings[margins >= margins.max() - EQUAL]
    where = problem.deviation + settings @ problem.effect.T
    squares = (where[:, problem.has_low & problem.has_high] ** 2).sum(axis=1)
    settings = settings[squares <= squares.min() + EQUAL]
    flats = min((int(np.abs(one).sum()), tuple(int(n) for n in one)) for one in settings)[1]
    worst = float(problem.margins(flats).min())
    return Solution(flats, worst, problem.squares(flats), looked_at=len(margins))


def few_turned(whole: Problem, best: Solution, as_good: float) -> Solution:
    """A setting as good as the best to within `as_good` half widths that turns few adjusters, none further than needed.

    Adjusters are left out one after the other as long as that can be had without them, from the first on and from the
    last on; of the two the one that turns fewer things, then fewer flats. Then the flats of each are held to the least
    number with which it still can. Not proven to be the fewest of all: that would be another search.
    """
    rows = np.flatnonzero(whole.movable)
    floor = best.worst - as_good if best.worst < 0 else max(best.worst - as_good, 0.0)

    def within(least: NDArray[Any], most: NDArray[Any]) -> Solution | None:
        problem = replace(whole, least=least, most=most)
        found = _best_margin(problem, floor)
        if found is None:
            return None
        worst = float(problem.margins(found.flats)[rows].min())
        return replace(found, worst=worst) if worst >= floor - EQUAL else None

    def without_some(order: Sequence[int]) -> Solution:
        found, least, most = best, whole.least.copy(), whole.most.copy()
        for i in order:
            kept = least[i], most[i]
            least[i] = most[i] = 0
            answer = within(least, most)
            if answer is None:
                least[i], most[i] = kept
            else:
                found = answer
        return found

    count = range(len(whole.least))
    found = min(
        (without_some(order) for order in (count, count[::-1])),
        key=lambda made: (sum(n != 0 for n in made.flats), sum(map(abs, made.flats))),
    )
    turned = np.array([n != 0 for n in found.flats])
    least, most = np.where(turned, whole.least, 0), np.where(turned, whole.most, 0)
    low, high = 1, max(map(abs, found.flats), default=0)
    while low < high:
        middle = (low + high) // 2
        answer = within(np.maximum(least, -middle), np.minimum(most, middle))
        if answer is None:
            low = middle + 1
        else:
            found, high = answer, middle
    return found


def best_fewest(whole: Problem) -> Solution | None:
    """The fewest flats that bring every station that can be moved into limits, and of those the greatest worst margin.

    None where no whole flats do.
    """
    problem = whole.of_rows(whole.movable)
    if not len(problem.deviation):
        return Solution((0,) * len(problem.least), np.inf, 0.0)
    listed = _settings(problem, 0.0)
    if listed is None:
        flats = _fewest(problem)
    else:
        turned = np.abs(listed).sum(axis=1)
        few = listed[turned == turned.min()] if len(listed) else listed
        flats = few[int(_worst_margins(problem, few).argmax())] if len(few) else None
    if flats is None:
        return None
    worst = float(problem.margins(flats).min())
    if worst < -1e-9:  # in limits only by the programme's tolerance
        return None
    return Solution(tuple(int(n) for n in flats), worst, problem.squares(flats))


def _greatest_margin(problem: Problem) -> NDArray[Any]:
    """Whole flats of the greatest worst margin."""
    from scipy.optimize import Bounds, LinearConstraint, milp

    a, b, _ = problem.sides()
    count = a.shape[1]
    found = milp(
        np.r_[np.zeros(count), -1.0],
        integrality=np.r_[np.ones(count), 0],
        bounds=Bounds(np.r_[problem.least, -np.inf], np.r_[problem.most, 1.0]),
        constraints=LinearConstraint(np.c_[a, np.ones(len(a))], -np.inf, b),
        options={"mip_rel_gap": 0.0},
    )
    return np.asarray(np.rint(found.x[:count]))


def _fewest(problem: Problem) -> NDArray[Any] | None:
    """Whole flats with every margin zero or more, the fewest turned, and of those the greatest worst margin.

    The margin (0 to 1) weighs just less than one flat, so that it decides only between equal numbers of flats.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    a, b, _ = problem.sides()
    count = a.shape[1]
    found = milp(
        np.r_[np.ones(2 * count), -0.999],
        integrality=np.r_[np.ones(2 * count), 0],
        bounds=Bounds(0.0, np.r_[problem.most, -problem.least, 1.0]),
        constraints=LinearConstraint(np.c_[a, -a, np.ones(len(a))], -np.inf, b + 1e-9),
        options={"mip_rel_gap": 0.0},
    )
    if found.x is None:
        return None
    return np.asarray(np.rint(found.x[:count]) - np.rint(found.x[count : 2 * count]))


def _downhill(problem: Problem, start: NDArray[Any]) -> NDArray[Any]:
    """A setting of the same worst margin with a lesser sum of squares, by moves of one or two adjusters: a good first
    answer, so that the search that proves the best has less to look at."""
    moves = _moves(len(start))
    moved = moves @ problem.effect.T
    squared = problem.has_low & problem.has_high
    floor = float(problem.margins(start).min()) - EQUAL
    room = 1.0 - problem.uncertainty - floor
    lowest, highest = np.where(problem.has_low, -room, -np.inf), np.where(problem.has_high, room, np.inf)
    flats, best = start.copy(), problem.squares(start)
    while True:
        where = problem.deviation + problem.effect @ flats + moved
        ends = flats + moves
        good = ((where >= lowest) & (where <= highest)).all(axis=1)
        good &= ((ends >= problem.least) & (ends <= problem.most)).all(axis=1)
        squares = np.where(good, (where[:, squared] ** 2).sum(axis=1), np.inf)
        least = int(squares.argmin())
        if not squares[least] < best - EQUAL:
            return flats
        flats, best = ends[least], float(squares[least])


def _moves(count: int) -> NDArray[Any]:
    """Moves of one adjuster by a flat, or of two, either way: a row each."""
    one = np.eye(count)
    two = [one[i] + sign * one[j] for i in range(count) for j in range(i) for sign in (1, -1)]
    moves = np.vstack([one, *two]) if two else one
    return np.vstack([moves, -moves])


def _order(effect: NDArray[Any]) -> NDArray[Any]:
    """The adjusters in the order that makes the diagonal of R rise: each next one has the least of what the ones before
    it cannot do. The choices made first are then few (a thousand times fewer than in another order where some adjusters
    can almost stand in for others, as a collective rod can for all pitch links together)."""
    left, order, rest = list(range(effect.shape[1])), [], effect.copy()
    while left:
        sizes = np.linalg.norm(rest[:, left], axis=0)
        order.append(left.pop(int(sizes.argmin())))
        along, size = rest[:, order[-1]], float(sizes.min())
        if size > 1e-9:
            rest = rest - np.outer(along, along @ rest) / size**2
    return np.array(order)


@dataclass
class _Search:
    """Depth-first over whole numbers: all settings whose worst margin equals the best, by their sum of squares.

    The effect on the stations is factored ``Q @ R``, R triangular: once the later adjusters are chosen, each row of R
    adds its own square, whatever the earlier ones do, and the sum so far can only grow. The last in `_order` are chosen
    first.
    """

    problem: Problem
    start: NDArray[Any]
    better: NDArray[Any] | None = None
    proven: bool = True
    looked_at: int = 0
    found: list[tuple[float, int, tuple[int, ...]]] = field(default_factory=list)

    def __post_init__(self) -> None:
        problem = self.problem
        self.floor = float(problem.margins(self.start).min())
        room = 1.0 - problem.uncertainty - (self.floor - EQUAL)
        self.lowest = np.where(problem.has_low, -room, -np.inf) - problem.deviation
        self.highest = np.where(problem.has_high, room, np.inf) - problem.deviation
        low, high = self._box()
        self.order = _order(problem.effect[problem.has_low & problem.has_high])
        self.low, self.high = low[self.order], high[self.order]
        effect = problem.effect[:, self.order]
        self.effect = effect
        squared = problem.has_low & problem.has_high
        count = effect.shape[1]
        rows = np.vstack([effect[squared], np.zeros((max(0, count - int(squared.sum())), count))])
        q, self.r = np.linalg.qr(rows)
        aim = -np.r_[problem.deviation[squared], np.zeros(len(rows) - int(squared.sum()))]
        self.y = q.T @ aim
        self.beyond = max(float(aim @ aim - self.y @ self.y), 0.0)  # what no setting can take away
        self.r[np.abs(self.r) < 1e-9] = 0.0
        # what the adjusters before each one can add to each station, least and most
        reach = np.stack([effect * self.low, effect * self.high])
        none = np.zeros((len(effect), 1))
        self.least_before = np.hstack([none, np.cumsum(reach.min(axis=0), axis=1)])
        self.most_before = np.hstack([none, np.cumsum(reach.max(axis=0), axis=1)])
        self.best = problem.squares(self.start)
        self.fewest = int(np.abs(self.start).sum())
        self._keep(self.start[self.order])

    def _box(self) -> tuple[NDArray[Any], NDArray[Any]]:
        """Range of each adjuster that can keep the margin, from the stations one by one, until nothing changes."""
        effect, low, high = self.problem.effect, self.problem.least.astype(float), self.problem.most.astype(float)
        for _ in range(8):
            before = float((high - low).sum())
            for j in range(len(low)):
                column = effect[:, j]
                ends = np.stack([effect * low, effect * high])
                rest_least = ends.min(axis=0).sum(axis=1) - ends.min(axis=0)[:, j]
                rest_most = ends.max(axis=0).sum(axis=1) - ends.max(axis=0)[:, j]
                low[j], high[j] = self._within(
                    column, self.lowest - rest_most, self.highest - rest_least, low[j], high[j]
                )
            if float((high - low).sum()) >= before:
                break
        return low, high

    @staticmethod
    def _within(
        column: NDArray[Any], lowest: NDArray[Any], highest: NDArray[Any], low: float, high: float
    ) -> tuple[float, float]:
        """Whole numbers x with lowest <= column * x <= highest for every station."""
        up, down = column > 1e-12, column < -1e-12
        if up.any():
            low = max(low, float(np.ceil((lowest[up] / column[up]).max() - 1e-7)))
            high = min(high, float(np.floor((highest[up] / column[up]).min() + 1e-7)))
        if down.any():
            low = max(low, float(np.ceil((highest[down] / column[down]).max() - 1e-7)))
            high = min(high, float(np.floor((lowest[down] / column[down]).min() + 1e-7)))
        return low, high

    def run(self) -> None:
        """The whole search."""
        count = self.effect.shape[1]
        self._choose(count - 1, np.zeros(count), np.zeros(len(self.effect)), self.beyond, 0)

    def _choose(self, k: int, flats: NDArray[Any], moved: NDArray[Any], squares: float, turned: int) -> None:
        if self.better is not None or not self.proven:
            return
        self.looked_at += 1
        if self.looked_at > GREATEST_SEARCH:
            self.proven = False
            return
        low, high = self._within(
            self.effect[:, k],
            self.lowest - moved - self.most_before[:, k],
            self.highest - moved - self.least_before[:, k],
            self.low[k],
            self.high[k],
        )
        pivot = self.r[k, k]
        rest = self.y[k] - self.r[k, k + 1 :] @ flats[k + 1 :]
        if pivot:
            centre = rest / pivot
            far = np.sqrt(max(self.best + EQUAL - squares, 0.0)) / abs(pivot) + 1e-9
            low, high = max(low, np.ceil(centre - far)), min(high, np.floor(centre + far))
        else:
            centre = 0.0
        if low > high:
            return
        for x in sorted(np.arange(low, high + 1), key=lambda whole: (abs(whole - centre), abs(whole))):
            sum_so_far = squares + float(rest - pivot * x) ** 2
            number = turned + int(abs(x))
            if sum_so_far > self.best + EQUAL or (sum_so_far > self.best - EQUAL and number > self.fewest):
                continue
            flats[k] = x
            if k:
                self._choose(k - 1, flats, moved + self.effect[:, k] * x, sum_so_far, number)
            else:
                self._keep(flats)
        flats[k] = 0.0

    def _keep(self, ordered: NDArray[Any]) -> None:
        """A whole setting: is it among the best so far?"""
        flats = np.zeros(len(ordered))
        flats[self.order] = ordered
        worst = float(self.problem.margins(flats).min())
        if worst > self.floor + 1e-9:
            self.better = flats
            return
        if worst < self.floor - EQUAL:
            return
        squares, number = self.problem.squares(flats), int(np.abs(flats).sum())
        if squares < self.best - EQUAL:
            self.fewest = number
        elif squares <= self.best + EQUAL:
            self.fewest = min(self.fewest, number)
        self.best = min(self.best, squares)
        self.found.append((squares, number, tuple(int(n) for n in flats)))
        if len(self.found) > 64:
            self.found = [entry for entry in self.found if entry[0] <= self.best + EQUAL]

    def chosen(self) -> tuple[int, ...]:
        """Of the least sums of squares the one with the fewest flats."""
        return min((number, flats) for squares, number, flats in self.found if squares <= self.best + EQUAL)[1]
