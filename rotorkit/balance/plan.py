"""Track and balance together over several conditions: one plan of whole flats, tab steps and washers, that learns."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

import numpy as np

from rotorkit.balance.phasors import AMPLITUDES, Phasor, as_phasor, of_kinds, same_kind
from rotorkit.quantities import Length, QuantityError

NO_ANSWER = (
    "What does not answer to weight, pitch or tab is not balance or track: look for a worn bearing, rod end or damper, "
    "a loose blade bolt or mount, before anything else is moved."
)
FIVE_PERCENT = 5.99
"""What chi-square of two degrees of freedom passes in 5 % of cases: -2 ln 0.05."""
SIDES = 24
"""Sides of the polygon that stands for a circle in the plan: the worst is at most 0.9 % more than told."""


@dataclass(frozen=True)
class Move:
    """Something that may be changed, in whole steps.

    name: "washer at the tip of blade white". least, most: steps from how it stands now (a flat in is -1). cost: what a
    step is worth avoiding, as a share of the limit: 0.01 means that a step is made only where it brings the worst down
    by a hundredth of its limit.
    """

    name: str
    least: int
    most: int
    cost: float = 0.01


@dataclass(frozen=True)
class EffectModel:
    """What a step of each move does to each reading: a mean and how sure it is.

    Readings are first the vibrations (arrows), then for each condition the heights of the blades. mean: readings x
    moves, complex, SI; covariance: for each reading moves x moves, of either part, complex where moves of one sort are
    turned alike; noise: standard uncertainty of one reading, SI. vibrations: how many of the readings are arrows;
    blades: of each condition's heights.
    """

    mean: np.ndarray
    covariance: np.ndarray
    noise: np.ndarray
    vibrations: int
    blades: int

    def promised(self, now: np.ndarray, steps: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(readings, their standard uncertainty in either part) after so many steps of each move."""
        return now + self.mean @ steps, np.sqrt(self._variance(steps) + self.noise**2)

    def _variance(self, steps: np.ndarray) -> np.ndarray:
        """Of the effect of so many steps, in either part."""
        return np.maximum(np.einsum("j,ijk,k->i", steps, self.covariance, steps).real, 0.0)

    def learned(self, steps: Any, before: Any, after: Any) -> EffectModel:
        """The model after a move was made and measured: what was thought before, and what was seen, each by its weight.

        Parameters
        ----------
        steps : sequence of int
            That were made of each move.
        before, after : array
            Readings in the model's order, complex, SI, before and after (`MovesPlan.now` gives the one). What was not
            read both times is not a number (``nan``), and nothing is learned of it.

        Returns
        -------
        EffectModel

        Raises
        ------
        QuantityError
            Another number of steps or readings.

        Notes
        -----
        Source: Bayes' rule for a linear model with normal errors: gain P n / (n' P n + 2 s^2), since the change is of
        two readings (computed). Range: effects in proportion to the steps.
        """
        made = np.asarray(steps, dtype=float)
        change = np.asarray(after, dtype=complex) - np.asarray(before, dtype=complex)
        if made.shape != self.mean.shape[1:] or change.shape != self.mean.shape[:1]:
            raise QuantityError(
                f"steps: needs {self.mean.shape[1]}, and {self.mean.shape[0]} readings before and after"
            )
        spread = np.einsum("ijk,k->ij", self.covariance, made)
        total = (spread @ made).real + 2 * self.noise**2
        seen = np.isfinite(change)
        gain = np.where(seen[:, None], spread / total[:, None], 0.0)
        mean = self.mean + gain * np.where(seen, change - self.mean @ made, 0.0)[:, None]
        covariance = self.covariance - np.einsum("ij,ik->ijk", gain, spread.conj())
        return replace(self, mean=mean, covariance=covariance)

    def surprise(self, steps: Any, before: Any, after: Any) -> float:
        """The chance that a change so far from what was expected comes about where the model is right; small: a part
        that does not answer to weight or pitch, a mistaken move, or something loose. From 0 to 1; what is not a number
        was not read and does not count."""
        from scipy.special import gammaincc

        made = np.asarray(steps, dtype=float)
        change = np.asarray(after, dtype=complex) - np.asarray(before, dtype=complex) - self.mean @ made
        variance = self._variance(made) + 2 * self.noise**2
        seen = np.isfinite(change)
        arrows = np.arange(len(change)) < self.vibrations
        squares = np.where(arrows, np.abs(change) ** 2, change.real**2) / variance
        freedom = 2 * int((arrows & seen).sum()) + int((~arrows & seen).sum())
        return float(gammaincc(freedom / 2, float(squares[seen].sum()) / 2)) if freedom else 1.0


@dataclass(frozen=True)
class MovesPlan:
    """A plan.

    steps: of each move, in order. now: the readings as found; promised, sure: after the plan, and their standard
    uncertainty. worst: the largest of vibrations and track spreads then, each over its limit (1 is at the limit);
    worst_now: the same as found. proved: whether none does better, steps at their cost, by more than `near`. in_words:
    what to do.
    """

    steps: tuple[int, ...]
    now: np.ndarray
    promised: np.ndarray
    sure: np.ndarray
    worst: float
    worst_now: float
    proved: bool
    in_words: str


def unanswered(model: EffectModel, steps: Any, before: Any, after: Any) -> list[int]:
    """Which vibrations did not answer to a move that should have changed them.

    Those whose change should have stood clear of the readings' noise, is none beyond that noise, and is as far from
    what was expected as one that answers is in 5 % of cases.

    Parameters
    ----------
    model : EffectModel
        As it was before the move.
    steps : sequence of int
        That were made of each move.
    before, after : array
        Readings, as for `EffectModel.learned`.

    Returns
    -------
    list of int
        Numbers of the readings.

    Notes
    -----
    Source: chi-square of two degrees of freedom, 5.99 at 5 % (computed); clear is three times the noise of a difference
    (common practice, no source). Range: noise that is stated honestly.

    Examples
    --------
    >>> model = effect_model([[("0.05 in/s", "0 deg")]], vibration_noise="0.01 in/s")
    >>> unanswered(model, [6], [0.3 * 0.0254], [0.29 * 0.0254]), unanswered(model, [6], [0.3 * 0.0254], [0.1 * 0.0254])
    ([0], [])
    """
    made = np.asarray(steps, dtype=float)
    change = np.asarray(after, dtype=complex) - np.asarray(before, dtype=complex)
    expected = model.mean @ made
    noise = 2 * model.noise**2
    found = []
    for i in range(model.vibrations):
        if not np.isfinite(change[i]) or abs(expected[i]) ** 2 < 9 * noise[i]:
            continue
        variance = float(made @ model.covariance[i].real @ made) + noise[i]
        if (
            abs(change[i]) ** 2 < FIVE_PERCENT * noise[i]
            and abs(change[i] - expected[i]) ** 2 > FIVE_PERCENT * variance
        ):
            found.append(i)
    return found


def effect_model(
    vibration: Sequence[Sequence[Any]],
    track: Sequence[Sequence[Sequence[Any]]] = (),
    doubt: float = 0.3,
    doubt_angle: float = 0.35,
    vibration_noise: Any = "0.02 in/s",
    track_noise: Any = "0.06 in",
    sorts: Sequence[str] = (),
    own: float = 0.1,
) -> EffectModel:
    """What is thought of the moves' effects before any was made: the prior.

    Parameters
    ----------
    vibration : sequence of sequences of readings
        ``vibration[reading][move]``: an arrow (amplitude, angle) for one step, of one kind throughout.
    track : sequence of sequences of sequences of Length
        ``track[condition][blade][move]``: the rise of that blade's tip for one step.
    doubt, doubt_angle : float
        Relative standard uncertainty of the sizes, and in rad of the angles: how far another aircraft of the sort may
        be from these figures.
    vibration_noise, track_noise : amplitude, Length
        Standard uncertainty of one reading.
    sorts : sequence of str, optional
        Of each move, such as ``["washer", "washer", "flat", "flat"]``: at one reading the moves of one sort are off by
        one factor and one angle, which those doubts are of, so that what one blade teaches holds for the others. Where
        not given each move is doubted for itself.
    own : float
        With sorts: by how much each single effect may be off besides, as a share of it.

    Returns
    -------
    EffectModel
        Different readings are doubted each for itself; an effect of nothing is thought to be within a tenth of that
        reading's largest.

    Raises
    ------
    QuantityError
        Rows of different lengths, kinds that differ.

    Notes
    -----
    Source: common practice (no source) for the doubts: state your own. Range: small moves, effects in proportion.

    Examples
    --------
    >>> model = effect_model([[("0.05 in/s", "0 deg"), ("0.05 in/s", "180 deg")]])
    >>> model.mean.shape, model.vibrations
    ((1, 2), 1)
    """
    arrows = [
        [as_phasor(one, AMPLITUDES, f"effect on reading {i}") for one in row]
        for i, row in enumerate(vibration, start=1)
    ]
    heights = [[[of_kinds(one, (Length,), "rise of a tip") for one in row] for row in blades] for blades in track]
    same_kind([one for row in arrows for one in row], "effects")
    counts = {len(row) for row in arrows} | {len(row) for blades in heights for row in blades}
    if len(counts) != 1 or not min(counts):
        raise QuantityError("effects: needs for each reading an effect for each move")
    if len({len(blades) for blades in heights}) > 1:
        raise QuantityError("track: needs each blade's rise in each condition")
    mean = np.array(
        [[one.si for one in row] for row in arrows]
        + [[complex(float(one.si)) for one in row] for blades in heights for row in blades]
    )
    largest = np.abs(mean).max(axis=1, keepdims=True)
    sizes = np.abs(mean) * math.hypot(doubt, doubt_angle) / math.sqrt(2)
    sizes[len(arrows) :] = np.abs(mean[len(arrows) :]) * doubt
    least = 0.1 * largest * doubt
    if sorts and len(sorts) != mean.shape[1]:
        raise QuantityError(f"sorts: needs one for each of {mean.shape[1]} moves, got {len(sorts)}")
    noise = (
        [float(of_kinds(vibration_noise, (arrows[0][0].kind,), "vibration_noise").si)] * len(arrows) if arrows else []
    )
    quiet = float(of_kinds(track_noise, (Length,), "track_noise").si)
    noise = [*noise, *[quiet] * (len(mean) - len(arrows))]
    apart = np.eye(mean.shape[1])
    if sorts:
        alike = np.array([[one == other for other in sorts] for one in sorts])
        scale = np.full(len(mean), math.hypot(doubt, doubt_angle) / math.sqrt(2))
        scale[len(arrows) :] = doubt
        common = np.einsum("ij,ik->ijk", mean, mean.conj()) * alike * scale[:, None, None] ** 2
        itself = np.maximum(own * np.abs(mean), np.where(np.abs(mean) > 0, 0.0, least))
        covariance = common + np.einsum("ij,jk->ijk", itself**2, apart)
    else:
        covariance = np.einsum("ij,jk->ijk", np.maximum(sizes, least) ** 2, apart)
    return EffectModel(mean, covariance, np.array(noise), len(arrows), len(heights[0]) if heights else 0)


def plan_moves(
    model: EffectModel,
    moves: Sequence[Move],
    vibration: Sequence[Any],
    vibration_limits: Sequence[Any],
    track: Sequence[Sequence[Any]] = (),
    track_limits: Sequence[Any] = (),
    near: float = 0.1,
    seconds: float = 10.0,
    nodes: int | None = None,
    alike: Sequence[Sequence[int]] = (),
) -> MovesPlan:
    """The whole steps that leave the worst vibration and track spread, each over its limit, as small as can be.

    Parameters
    ----------
    model : EffectModel
        Of `effect_model`, or as it has learned since.
    moves : sequence of Move
        In the model's order.
    vibration : sequence of readings
        Arrows as found, in the model's order: pair (amplitude, angle) or Phasor.
    vibration_limits : sequence of amplitudes
        One for each, above nothing.
    track : sequence of sequences of Length
        Heights of the blades' tips in each condition.
    track_limits : sequence of Length
        The greatest spread in each condition.
    near : float
        How near to the best of all plans is near enough, as a share of it: what is proved. Less takes longer.
    seconds : float
        At most so long is sought.
    nodes : int, optional
        At most so many branches are tried, for a plan that is the same on a slow machine and on a quick one.
    alike : sequence of sequences of int, optional
        Numbers of the moves that are one sort on every blade, such as ``[(0, 1), (2, 3)]``. A step of each of them
        together neither tracks nor balances, whatever small differences the model has learned (of pitch links it moves
        the collective's range): no plan moves all of them the same way.

    Returns
    -------
    MovesPlan

    Raises
    ------
    QuantityError
        Numbers that do not fit the model, or a move that cannot be left as it stands.

    Notes
    -----
    A small integer programme (HiGHS, by SciPy): circles are taken as polygons of 24 sides. Each step costs what its
    move says, so that no more are made than are needed; but a plan that comes in limits goes before one that does not,
    whatever its steps cost. Source: computed. Range: effects in proportion to the steps.

    Examples
    --------
    0.3 in/s at 180 degrees, a washer makes 0.05 at 0: six.

    >>> model = effect_model([[("0.05 in/s", "0 deg")]])
    >>> plan = plan_moves(model, [Move("washer, blade white", 0, 10)], [("0.3 in/s", "180 deg")], ["0.2 in/s"])
    >>> plan.steps, plan.in_words
    ((6,), 'washer, blade white: +6. The worst is then 0.00 of its limit; it is 1.50 now.')
    """
    now, limits = _readings(model, vibration, vibration_limits, track, track_limits)
    if len(moves) != model.mean.shape[1]:
        raise QuantityError(f"moves: the model has {model.mean.shape[1]}, got {len(moves)}")
    for move in moves:
        if not move.least <= 0 <= move.most:
            raise QuantityError(
                f"{move.name}: its steps are counted from how it stands now, so least is 0 or below and most 0 or "
                f"above; got {move.least} to {move.most}"
            )
    rows, offsets = _rows(model, now, limits)
    steps, proved, _ = _solved(rows, offsets, moves, near, seconds, nodes=nodes)
    worst = _worst(model, model.promised(now, steps.astype(float))[0], limits)
    none_does = False
    if worst > 1 + 1e-9:
        # what steps cost, or being near enough, may have left it out of limits where a plan would bring it in
        within, _, none_does = _solved(rows, offsets, moves, near, seconds, 1.0, nodes)
        if _worst(model, model.promised(now, within.astype(float))[0], limits) < worst:
            steps, proved = within, False
    apart = _without_common(steps, alike)
    proved = proved and bool((apart == steps).all())
    steps = _polished(model, now, limits, moves, apart, alike)
    promised, sure = model.promised(now, steps.astype(float))
    worst = _worst(model, promised, limits)
    worst_now = _worst(model, now, limits)
    said = "; ".join(f"{move.name}: {int(n):+d}" for move, n in zip(moves, steps, strict=True) if n) or "move nothing"
    words = f"{said}. The worst is then {worst:.2f} of its limit; it is {worst_now:.2f} now."
    if none_does:
        words += " No plan of these moves brings all in limits: look for what does not answer, a worn bearing or rod."
    elif worst > 1 + 1e-9:
        words += " That is out of limits still; whether a plan of these moves brings all in was not settled."
    return MovesPlan(tuple(int(n) for n in steps), now, promised, sure, worst, worst_now, proved, words)


def _readings(
    model: EffectModel, vibration: Sequence[Any], vibration_limits: Sequence[Any], track: Any, track_limits: Any
) -> tuple[np.ndarray, np.ndarray]:
    conditions = 0 if not model.blades else (len(model.mean) - model.vibrations) // model.blades
    if len(vibration) != model.vibrations or len(vibration_limits) != model.vibrations:
        raise QuantityError(f"vibration: needs {model.vibrations} readings, and a limit for each")
    if len(track) != conditions or len(track_limits) != conditions or any(len(one) != model.blades for one in track):
        raise QuantityError(f"track: needs {conditions} conditions of {model.blades} blades, and a limit for each")
    arrows: list[Phasor] = [as_phasor(one, AMPLITUDES, f"reading {i}") for i, one in enumerate(vibration, start=1)]
    heights = [float(of_kinds(one, (Length,), "height").si) for blades in track for one in blades]
    bounds = [float(of_kinds(one, (arrows[0].kind,), "limit").si) for one in vibration_limits]
    bounds += [float(of_kinds(one, (Length,), "limit").si) for one in track_limits]
    if min(bounds) <= 0:
        raise QuantityError("limits: each needs to be above nothing")
    return np.array([*(one.si for one in arrows), *heights], dtype=complex), np.array(bounds)


def _rows(model: EffectModel, now: np.ndarray, limits: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Real rows r with r . steps + offset <= t: each arrow in every direction, each pair of blades either way."""
    turned = np.exp(-1j * math.tau * np.arange(SIDES) / SIDES)
    rows, offsets = [], []
    for i in range(model.vibrations):
        rows.append((turned[:, None] * model.mean[i]).real / limits[i])
        offsets.append((turned * now[i]).real / limits[i])
    for k in range(len(limits) - model.vibrations):
        first = model.vibrations + k * model.blades
        for one in range(model.blades):
            for other in range(model.blades):
                if one != other:
                    scale = limits[model.vibrations + k]
                    rows.append((model.mean[first + one] - model.mean[first + other]).real[None] / scale)
                    offsets.append((now[first + one] - now[first + other]).real[None] / scale)
    return np.vstack(rows), np.concatenate(offsets)


def _solved(
    rows: np.ndarray,
    offsets: np.ndarray,
    moves: Sequence[Move],
    near: float,
    seconds: float,
    highest: float = math.inf,
    nodes: int | None = None,
) -> tuple[np.ndarray, bool, bool]:
    """Least of t + cost x |steps|, steps whole, t up to `highest`: (steps, whether proved, whether proved that there
    are none). A polygon is never more than its circle, so where it has none the circle has none.

    It is asked for again with every edit of the sheet; most of them change none of these numbers, and what was found
    for the last few is kept."""
    each = tuple((float(move.least), float(move.most), move.cost) for move in moves)
    steps, proved, none = _kept(rows.tobytes(), offsets.tobytes(), each, near, seconds, highest, nodes)
    return np.array(steps, dtype=int), proved, none


@lru_cache(maxsize=16)
def _kept(
    rows_held: bytes,
    offsets_held: bytes,
    moves: tuple[tuple[float, float, float], ...],
    near: float,
    seconds: float,
    highest: float,
    nodes: int | None,
) -> tuple[tuple[int, ...], bool, bool]:
    from scipy.optimize import Bounds, LinearConstraint, milp

    count = len(moves)
    offsets = np.frombuffer(offsets_held)
    rows = np.frombuffer(rows_held).reshape(len(offsets), count)
    low, high, cost = (np.array(one) for one in zip(*moves, strict=True))
    # unknowns: steps up, steps down, t
    objective = np.concatenate([cost, cost, [1.0]])
    table = np.hstack([rows, -rows, -np.ones((len(rows), 1))])
    bounds = Bounds(np.zeros(2 * count + 1), np.concatenate([high, -low, [highest]]))
    found = milp(
        objective,
        constraints=LinearConstraint(table, -np.inf, -offsets),
        integrality=np.concatenate([np.ones(2 * count), [0]]),
        bounds=bounds,
        options={"time_limit": seconds, "mip_rel_gap": near, **({} if nodes is None else {"node_limit": nodes})},
    )
    if found.x is None:
        return (0,) * count, False, found.status == 2
    steps = np.round(found.x[:count] - found.x[count : 2 * count])
    return tuple(int(n) for n in steps), found.status == 0, False


def _without_common(steps: np.ndarray, alike: Sequence[Sequence[int]]) -> np.ndarray:
    """The steps less what every blade has of one sort."""
    left = steps.copy()
    for group in map(list, alike):
        part = steps[group]
        left[group] -= max(int(part.min()), 0) + min(int(part.max()), 0)
    return left


def _polished(
    model: EffectModel,
    now: np.ndarray,
    limits: np.ndarray,
    moves: Sequence[Move],
    steps: np.ndarray,
    alike: Sequence[Sequence[int]] = (),
) -> np.ndarray:
    """The plan after which no change of one step or two does better: near enough may leave steps that do nothing."""
    count = len(moves)
    cost = np.array([move.cost for move in moves])
    low, high = (np.array([getattr(move, side) for move in moves]) for side in ("least", "most"))
    single = np.vstack([np.eye(count, dtype=int), -np.eye(count, dtype=int)])
    first, second = np.triu_indices(2 * count)
    tries = np.unique(np.vstack([single, single[first] + single[second]]), axis=0)
    for _ in range(200):
        others = steps + tries
        others = others[((others >= low) & (others <= high)).all(axis=1)]
        for group in map(list, alike):
            part = others[:, group]
            others = others[(part.min(axis=1) <= 0) & (part.max(axis=1) >= 0)]
        every = np.vstack([steps, others])
        worst = _worst_of(model, now[:, None] + model.mean @ every.T, limits)
        # in limits goes first; then what is left, and what the steps cost
        rank = 1e4 * (worst > 1 + 1e-9) + worst + np.abs(every) @ cost
        best = int(np.argmin(rank))
        if rank[best] > rank[0] - 1e-9:
            break
        steps = every[best]
    return steps


def _worst_of(model: EffectModel, readings: np.ndarray, limits: np.ndarray) -> np.ndarray:
    """The largest of each column, over its limit."""
    worst = [np.abs(readings[i]) / limits[i] for i in range(model.vibrations)]
    for k in range(len(limits) - model.vibrations):
        first = model.vibrations + k * model.blades
        heights = readings[first : first + model.blades].real
        worst.append(np.ptp(heights, axis=0) / limits[model.vibrations + k])
    return np.asarray(np.max(worst, axis=0))


def _worst(model: EffectModel, readings: np.ndarray, limits: np.ndarray) -> float:
    return float(_worst_of(model, readings[:, None], limits)[0])
