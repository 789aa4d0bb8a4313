"""Balance in two planes and more: influence coefficients from trial runs, weighted least squares over many readings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.balance.holes import Hole, split_between_holes, washers_as_arrows, washers_in_words
from rotorkit.balance.one_plane import checked_sense, sensed
from rotorkit.balance.phasors import (
    AMPLITUDES,
    WEIGHTS,
    Phasor,
    as_phasor,
    of_kinds,
    phasors_from,
    same_kind,
    unit_typed,
)
from rotorkit.judging.measured import Measured
from rotorkit.quantities import QuantityError

WELL_TOLD, BADLY_TOLD, NOT_TOLD = 10.0, 100.0, 1e6
"""Condition numbers up to which planes are told apart well, from which hardly, and from which not at all: common
practice."""


@dataclass(frozen=True)
class Influence:
    """What weight in each plane does to each reading.

    effects: a row for each reading, in it for each plane the vibration that `per` of weight at the plane's mark makes.
    per: that weight. sense: a word of `rotorkit.balance.one_plane.SENSES`, how the weights' angles are counted.
    """

    effects: tuple[tuple[Phasor, ...], ...]
    per: Measured
    sense: str = "with phase"

    @property
    def matrix(self) -> np.ndarray:
        """The bare complex matrix, readings x planes, in SI units of vibration for a SI unit of weight."""
        return np.array([[one.si for one in row] for row in self.effects]) / float(self.per.si)

    @property
    def shape(self) -> tuple[int, int]:
        """(readings, planes)."""
        return len(self.effects), len(self.effects[0])


@dataclass(frozen=True)
class PlanesBalance:
    """Corrections for all planes, and what they should leave.

    corrections: a weight for each plane, its angle from the plane's mark as the trial weight's. residuals: what is
    promised at each reading, with the uncertainty of readings and coefficients. condition: of the weighted matrix, the
    factor by which an error may grow at worst. in_words: what it means. influence, original: what it was worked from.
    ridge: how strongly weights were held back.
    """

    corrections: tuple[Phasor, ...]
    residuals: tuple[Phasor, ...]
    condition: float
    in_words: str
    influence: Influence
    original: tuple[Phasor, ...]
    ridge: float = 0.0

    @property
    def worst(self) -> Phasor:
        """The largest of the residuals promised."""
        return max(self.residuals, key=lambda one: abs(one.si))

    def with_weights(self, weights: Sequence[Any]) -> tuple[Phasor, ...]:
        """What is promised at each reading with other weights, such as whole ones. weights: a pair or `Phasor` for each
        plane, (0 of the kind, any angle) where there is none."""
        kind = self.influence.per.kind
        return _promised(self.original, self.influence, [as_phasor(one, (kind,), "weight") for one in weights])


@dataclass(frozen=True)
class Agreement:
    """Whether a reading is what was expected.

    distance: how far apart, in standard uncertainties of their difference (of an arrow: 2.45 is passed by 5 % where all
    is well). chance: that two that agree lie so far apart or further. holds: chance of 5 % or more.
    """

    distance: float
    chance: float
    holds: bool
    in_words: str


def influence_coefficients(
    original: Sequence[Any], trials: Sequence[Any], with_trials: Sequence[Sequence[Any]], sense: str = "with phase"
) -> Influence:
    """The effect of weight in each plane on each reading, from trial runs.

    A = (V1 - V0) T^-1, in the sense of least squares where there are more trials than planes.

    Parameters
    ----------
    original : sequence of readings
        V0 of each reading (station, speed or condition): a pair (amplitude, angle), a list of pairs for repeats, or a
        Phasor. One kind throughout. Angles from the instrument's mark, positive in the sense in which its phase rises.
    trials : sequence
        One for each trial run: a pair (weight, angle), in the plane of the run's own number; or a mapping
        ``{0: pair, 1: pair}`` of planes, from 0, that had a weight in that run: so a trial weight that stayed on while
        the next plane was tried is told.
    with_trials : sequence of sequences of readings
        ``with_trials[run][reading]``, as `original`.
    sense : "with phase" or "against phase"
        How the weights' angles are counted, see `one_plane_balance`.

    Returns
    -------
    Influence
        Per weight of the first trial.

    Raises
    ------
    QuantityError
        Numbers of readings differ, planes without a trial, kinds that differ.

    Notes
    -----
    Source: influence coefficient method; J. Vaughan's application note, the two-plane example (quoted). Range: as
    `one_plane_balance`. It leaves out phase errors of the origin, which all runs must share.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> found = influence_coefficients([("2 in/s", "0 deg")], [("10 g", "0 deg")], [[("1 in/s", "0 deg")]])
    >>> say(found.effects[0][0].amplitude, "in/s", digits=4), say(found.effects[0][0].angle, "deg")
    ('1.000 in/s', '180.0°')
    """
    checked_sense(sense)
    before = [as_phasor(one, AMPLITUDES, f"original reading {i}") for i, one in enumerate(original, start=1)]
    runs = [dict(one) if isinstance(one, Mapping) else {k: one} for k, one in enumerate(trials)]
    planes = sorted({plane for run in runs for plane in run})
    if planes != list(range(len(planes))) or not planes:
        raise QuantityError(f"trials: planes are counted from 0 without a gap, got {planes}")
    if len(with_trials) != len(runs) or any(len(run) != len(before) for run in with_trials):
        raise QuantityError(f"with_trials: needs for each of {len(runs)} runs {len(before)} readings")
    after = [
        [as_phasor(one, AMPLITUDES, f"run {k}, reading {i}") for i, one in enumerate(run, start=1)]
        for k, run in enumerate(with_trials, start=1)
    ]
    weights = [
        [(plane, as_phasor(one, WEIGHTS, f"trial weight {k}")) for plane, one in run.items()]
        for k, run in enumerate(runs, start=1)
    ]
    same_kind([*before, *(one for run in after for one in run)], "readings")
    tried = [one for run in weights for _, one in run]
    same_kind(tried, "trial weights")
    size = next((abs(one.si) for one in tried if abs(one.si)), 0.0)
    if not size:
        raise QuantityError("trials: need a weight above nothing")
    per = Measured(size, tried[0].kind, unit=tried[0].unit)

    def work(v0: Any, *given: Any) -> Any:
        rest, put = np.stack(given[: len(runs)], axis=-1), given[len(runs) :]
        matrix = np.zeros((len(v0), len(planes), len(runs)), dtype=complex)
        at = 0
        for k, run in enumerate(weights):
            for plane, _ in run:
                matrix[:, plane, k] = sensed(put[at], sense)
                at += 1
        if (np.linalg.matrix_rank(matrix, tol=1e-9 * size) < len(planes)).any():
            raise QuantityError("trials: each plane needs a trial run of its own; these do not tell the planes apart")
        row = (rest - v0[:, None])[:, None] @ np.linalg.pinv(matrix)
        return row[:, 0].T * size

    effects = []
    for i, v0 in enumerate(before):
        given = [v0, *(run[i] for run in after), *tried]
        effects.append(tuple(phasors_from(work, [v0.kind] * len(planes), given, [v0.unit] * len(planes))))
    return Influence(tuple(effects), per, sense)


def influence_of(effects: Sequence[Sequence[Any]], per: Any = 1, sense: str = "with phase") -> Influence:
    """Influence coefficients that are known already, such as those kept from an earlier job.

    Parameters
    ----------
    effects : sequence of sequences
        A row for each reading, in it a pair (amplitude, angle) or Phasor for each plane: what `per` of weight at the
        plane's mark does.
    per : weight
        A mass, an unbalance, or a bare number.
    sense : "with phase" or "against phase"
        See `one_plane_balance`.

    Returns
    -------
    Influence

    Raises
    ------
    QuantityError
        Rows of different lengths, kinds that differ.

    Notes
    -----
    Source: definition. Range: the aircraft, mounting, speed and instrument with which they were found.

    Examples
    --------
    >>> influence_of([[("0.1 in/s", "90 deg")]], per="10 g").shape
    (1, 1)
    """
    checked_sense(sense)
    rows = [[as_phasor(one, AMPLITUDES, f"effect on reading {i}") for one in row] for i, row in enumerate(effects, 1)]
    if not rows or not rows[0] or any(len(row) != len(rows[0]) for row in rows):
        raise QuantityError("effects: needs for each reading one effect for each plane")
    same_kind([one for row in rows for one in row], "effects")
    weight = of_kinds(per, WEIGHTS, "per")
    if float(weight.si) <= 0:
        raise QuantityError("per: needs a weight above nothing")
    weight = weight if weight.unit is not None else weight.shown_in(unit_typed(weight))
    return Influence(tuple(tuple(row) for row in rows), weight, sense)


def balance_planes(
    original: Sequence[Any],
    influence: Influence,
    importance: Sequence[float] | None = None,
    ridge: float = 0.0,
    least: str = "sum of squares",
) -> PlanesBalance:
    """The weights in all planes that leave least vibration over all readings.

    Least sum of w |V0 + A C|^2 over the readings; with as many planes as readings nothing is left.

    Parameters
    ----------
    original : sequence of readings
        V0, as for `influence_coefficients`, in the order of the influence's readings.
    influence : Influence
        Of `influence_coefficients` or `influence_of`.
    importance : sequence of float, optional
        Of each reading, above nothing: 2 means that 0.1 in/s there counts as 0.2. Give 1 over each reading's limit to
        weigh each against its own.
    ridge : float
        Nothing for the plain solution. Else weights that do little are held back: the sum has (ridge s |C|)^2 added, s
        the largest singular value. 0.05 to 0.2 where planes cannot be told apart (common practice, no source).
    least : "sum of squares" or "worst"
        "worst" makes the largest of the readings as small as it can be (by repeated weighing).

    Returns
    -------
    PlanesBalance

    Raises
    ------
    QuantityError
        Another number of readings than the influence has, or fewer readings than planes without a ridge.

    Notes
    -----
    Source: T. P. Goodman, 1964 (quoted), weighted least squares; the worst reading by Lawson's algorithm (memory).
    Range: as `one_plane_balance`. First-order uncertainty, in which what the trial runs and the original have in
    common is kept.

    Examples
    --------
    Goodman's three readings and two planes: 0.81 and 1.48.

    >>> from rotorkit.quantities import say
    >>> rows = [(3, 2), (5, 2), (5, 3)]
    >>> known = influence_of([[(first, "0 deg"), (second, "180 deg")] for first, second in rows])
    >>> found = balance_planes([(1, "0 deg"), (1, "180 deg"), (0, "0 deg")], known)
    >>> [say(one.amplitude, digits=3) for one in found.corrections]
    ['0.810', '1.48']
    """
    before = [as_phasor(one, AMPLITUDES, f"original reading {i}") for i, one in enumerate(original, start=1)]
    readings, planes = influence.shape
    if len(before) != readings:
        raise QuantityError(f"original: the influence has {readings} readings, got {len(before)}")
    same_kind([*before, influence.effects[0][0]], "original and effects")
    if readings < planes and not ridge:
        raise QuantityError(
            f"original: {readings} readings cannot settle {planes} planes. Take more readings, leave planes out, or "
            "give a ridge, which then chooses the smallest weights."
        )
    if least not in ("sum of squares", "worst"):
        raise QuantityError(f"least: needs 'sum of squares' or 'worst', got {least!r}")
    if not 0 <= ridge < math.inf:
        raise QuantityError(f"ridge: needs nothing or more, got {ridge}")
    weight = np.ones(readings) if importance is None else np.asarray(importance, dtype=float)
    if weight.shape != (readings,) or not (weight > 0).all() or not np.isfinite(weight).all():
        raise QuantityError(f"importance: needs {readings} numbers above nothing")

    matrix = influence.matrix
    v0 = np.array([one.si for one in before])
    scaled = weight[:, None] * matrix
    sizes = np.linalg.svd(scaled, compute_uv=False)
    condition = float(sizes[0] / sizes[-1]) if len(sizes) == planes and sizes[-1] > 0 else math.inf
    if not ridge and (condition > 1e12 or not sizes[0]):
        raise QuantityError("effects: the planes cannot be told apart at all; leave one out, or give a ridge")
    squares = weight**2
    if least == "worst":
        squares = _lawson(matrix, v0, weight, ridge)

    def work(*given: Any) -> Any:
        v = np.stack(given[:readings], axis=-1)
        a = np.stack(given[readings:], axis=-1).reshape(len(v), readings, planes) / float(influence.per.si)
        return sensed(_solved(a, v, squares, ridge), influence.sense).T

    inputs = [*before, *(one for row in influence.effects for one in row)]
    kind, unit = influence.per.kind, influence.per.unit
    corrections = phasors_from(work, [kind] * planes, inputs, [unit] * planes)
    residuals = _promised(before, influence, [one.exact for one in corrections])
    return PlanesBalance(
        tuple(corrections), residuals, condition, condition_in_words(condition), influence, tuple(before), ridge
    )


def _solved(matrix: np.ndarray, v0: np.ndarray, squares: np.ndarray, ridge: float) -> np.ndarray:
    """The weights of one set of readings, or of many: those in the first axis."""
    root = np.sqrt(squares)
    a, b = root[:, None] * matrix, -root * v0
    if ridge:
        planes = matrix.shape[-1]
        a = np.concatenate([a, _held(a, ridge)[..., None, None] * np.eye(planes)], axis=-2)
        b = np.concatenate([b, np.zeros((*b.shape[:-1], planes))], axis=-1)
    if a.ndim == 2:
        return np.asarray(np.linalg.lstsq(a, b, rcond=None)[0])
    return np.asarray((np.linalg.pinv(a, rcond=np.finfo(float).eps * max(a.shape[-2:])) @ b[..., None])[..., 0])


def _held(weighed: np.ndarray, ridge: float) -> Any:
    """What a weight counts for among the weighed readings: the ridge times their strongest effect."""
    return ridge * np.linalg.svd(weighed, compute_uv=False)[..., 0]


def _lawson(matrix: np.ndarray, v0: np.ndarray, weight: np.ndarray, ridge: float) -> np.ndarray:
    """Squared weights with which least squares makes the worst weighted reading least."""
    share = np.full(len(v0), 1 / len(v0))
    for _ in range(2000):
        found = _solved(matrix, v0, share * weight**2, ridge)
        left = weight * np.abs(v0 + matrix @ found)
        if left.max() <= 1e-14 * np.abs(weight * v0).max():
            break
        renewed = share * left
        renewed /= renewed.sum()
        if np.abs(renewed - share).max() < 1e-12:
            break
        share = renewed
    return np.asarray(share * weight**2)


def _promised(before: Sequence[Phasor], influence: Influence, weights: Sequence[Phasor]) -> tuple[Phasor, ...]:
    _, planes = influence.shape
    if len(weights) != planes:
        raise QuantityError(f"weights: needs one for each of {planes} planes, got {len(weights)}")
    promised = []
    for v0, row in zip(before, influence.effects, strict=True):

        def work(*given: Any) -> list[Any]:
            put = [sensed(one, influence.sense) for one in given[1 + planes :]]
            effects = given[1 : 1 + planes]
            return [given[0] + sum(a * c for a, c in zip(effects, put, strict=True)) / float(influence.per.si)]

        promised += phasors_from(work, [v0.kind], [v0, *row, *weights], [v0.unit])
    return tuple(promised)


def condition_in_words(condition: float) -> str:
    """What a condition number means for who puts weights on.

    Parameters
    ----------
    condition : float
        Largest over smallest singular value, 1 or more.

    Returns
    -------
    str
        A sentence.

    Notes
    -----
    Source: definition of the condition number; the bounds 10 and 100 are common practice (no source).

    Examples
    --------
    >>> condition_in_words(3.2)
    'The planes are told apart well: an error of 1 % in the readings is one of 3.2 % in the weights at worst.'
    """
    if not condition < NOT_TOLD:
        return "These readings cannot tell the planes apart: weights that cancel each other look like no weight at all."
    factor = f"{condition:.2g}" if condition < BADLY_TOLD else f"{float(f'{condition:.2g}'):,.0f}"
    grown = f"an error of 1 % in the readings is one of {factor} % in the weights at worst"
    if condition <= WELL_TOLD:
        return f"The planes are told apart well: {grown}."
    if condition <= BADLY_TOLD:
        return f"The planes are told apart only fairly: {grown}. Read often, and use trial weights that change much."
    return f"The planes are hardly told apart: {grown}. Use one plane, another place, or hold weights back (ridge)."


def still_hold(expected: Phasor | Sequence[Phasor], found: Phasor | Sequence[Phasor]) -> Agreement:
    """Whether the vibration found after a move is what kept coefficients promised.

    Parameters
    ----------
    expected : Phasor or sequence of Phasor
        As promised (`predicted`, `balance_planes`), with its uncertainty; several places are judged together, with what
        their promises have in common.
    found : Phasor or sequence of Phasor
        As read now, with its uncertainty, in the same order.

    Returns
    -------
    Agreement

    Raises
    ------
    QuantityError
        Kinds or numbers differ, or neither has an uncertainty: then nothing can be said.

    Notes
    -----
    Source: normal distribution in two dimensions for each place, squared distance d' S^-1 d is chi-square with 2
    degrees of freedom a place (computed). Range: uncertainties that are stated honestly.

    Examples
    --------
    >>> from rotorkit.balance.phasors import phasor
    >>> still_hold(phasor("0.1 ± 0.04 in/s", "0 ± 20 deg"), phasor("0.12 ± 0.04 in/s", "10 ± 20 deg")).holds
    True
    """
    from scipy.special import gammaincc

    awaited, come = ([one] if isinstance(one, Phasor) else list(one) for one in (expected, found))
    if len(awaited) != len(come) or not come:
        raise QuantityError(f"expected and found: needs as many of both, got {len(awaited)} and {len(come)}")
    same_kind([*awaited, *come], "expected and found")
    gaps = [read - said for said, read in zip(awaited, come, strict=True)]
    parts = [part for gap in gaps for part in (gap.along, gap.across)]
    origins = list(dict.fromkeys(origin for part in parts for origin in part.components))
    rows = np.array([[float(part.components.get(one, 0.0)) for one in origins] for part in parts], dtype=float)
    covariance = rows.reshape(len(parts), -1) @ rows.reshape(len(parts), -1).T
    size = float(np.trace(covariance))
    if size <= 0:
        raise QuantityError("expected and found: needs the uncertainty of one of them at least, type it after ±")
    # a direction without any uncertainty is given a hundredth of the others', lest nothing ever agrees
    covariance = covariance + np.eye(len(parts)) * 1e-4 * size / len(gaps)
    arrow = np.array([float(part.si) for part in parts])
    square = float(arrow @ np.linalg.solve(covariance, arrow))
    chance = float(gammaincc(len(gaps), square / 2))
    holds = chance >= 0.05
    if holds:
        words = "What was promised and what is read agree within their uncertainty: the coefficients still hold."
    else:
        words = (
            "What was promised is not what is read: the coefficients no longer hold, a weight or place was mistaken, "
            "or something has changed. Look for looseness and wear, then make a new trial run."
        )
    return Agreement(math.sqrt(square), chance, holds, words)


@dataclass(frozen=True)
class PlanesSplit:
    """Whole washers in the holes of several planes.

    changes: for each plane the washers to add in each of its holes (negative: to take out), in the order given.
    achieved: what they amount to in each plane, with the uncertainty of washer and places. residuals: what they should
    leave at each reading. in_words: what to do, with the planes by their names.
    """

    changes: tuple[tuple[int, ...], ...]
    achieved: tuple[Phasor, ...]
    residuals: tuple[Phasor, ...]
    in_words: str

    @property
    def worst(self) -> Phasor:
        """The largest of the residuals."""
        return max(self.residuals, key=lambda one: abs(one.si))


def split_between_planes(
    found: PlanesBalance,
    holes: Sequence[Sequence[Hole]],
    washer: Any,
    importance: Sequence[float] | None = None,
    names: Sequence[str] = (),
) -> PlanesSplit:
    """Whole washers in the holes of all planes that leave little vibration over all readings.

    In each plane first the washers nearest to its weight (`split_between_holes`, proved); then, since what is left over
    in one plane may be made good in another, washers are exchanged, one or two at a time in any planes, until no such
    exchange leaves less. Weights that were held back are held back here alike.

    Parameters
    ----------
    found : PlanesBalance
        Of `balance_planes`.
    holes : sequence of sequences of Hole
        For each plane one or more, with angles counted as the trial weights'.
    washer : weight
        Mass of one washer.
    importance : sequence of float, optional
        As for `balance_planes`.
    names : sequence of str, optional
        Of the planes; their numbers where not given.

    Returns
    -------
    PlanesSplit

    Raises
    ------
    QuantityError
        As `split_between_holes`, or not holes for each plane.

    Notes
    -----
    Source: enumeration in each plane, then exchanges (computed): no change of one or two washers does better, but a
    change of more might. Range: as `balance_planes`.

    Examples
    --------
    >>> known = influence_of([[("1 in/s", "0 deg")]], per="10 g")
    >>> found = balance_planes([("0.5 in/s", "180 deg")], known)
    >>> split_between_planes(found, [[Hole("0 deg", "20 g", name="tip")]], "1 g", names=["A"]).changes
    ((5,),)
    """
    planes = len(found.corrections)
    if len(holes) != planes or not all(holes):
        raise QuantityError(f"holes: needs one or more for each of {planes} planes")
    readings = len(found.original)
    weight = np.ones(readings) if importance is None else np.asarray(importance, dtype=float)
    splits = [
        split_between_holes(one.exact, there, washer) for one, there in zip(found.corrections, holes, strict=True)
    ]
    places, counts, low, high, effects = [], [], [], [], []
    each_matrix, sense = found.influence.matrix, found.influence.sense
    held = _held(weight[:, None] * each_matrix, found.ridge)
    for plane, (there, split) in enumerate(zip(holes, splits, strict=True)):
        arrows, least, most, _ = washers_as_arrows(found.corrections[plane], there, washer)
        for k, arrow in enumerate(arrows):
            places.append((plane, k, arrow))
            counts.append(split.changes[k])
            low.append(least[k])
            high.append(most[k])
            # what it does to the readings, and what it counts for as a weight in its plane where weights are held back
            own = held * np.eye(planes)[plane] * arrow.si
            effects.append(np.concatenate([weight * each_matrix[:, plane] * sensed(arrow.si, sense), own]))
    made = np.array(counts)
    start = np.concatenate([weight * np.array([one.si for one in found.original]), np.zeros(planes)])
    made = _exchanged(start, np.array(effects), made, np.array(low), np.array(high))
    nothing = Measured(0.0, found.influence.per.kind, unit=found.influence.per.unit)
    achieved = [Phasor(nothing, nothing)] * planes
    changes: list[list[int]] = [[] for _ in range(planes)]
    for (plane, _, arrow), count in zip(places, made, strict=True):
        achieved[plane] = achieved[plane] + arrow.times(int(count))
        changes[plane].append(int(count))
    said = []
    for plane, split in enumerate(splits):
        name = names[plane] if names else str(plane + 1)
        moves = washers_in_words(changes[plane], split.names)
        said.append(f"plane {name}: {moves or 'move no washer'}")
    words = f"{'; '.join(said)}."
    return PlanesSplit(
        tuple(tuple(one) for one in changes),
        tuple(achieved),
        found.with_weights(achieved),
        words[0].upper() + words[1:],
    )


def _exchanged(
    start: np.ndarray, effects: np.ndarray, made: np.ndarray, low: np.ndarray, high: np.ndarray
) -> np.ndarray:
    """Counts from which no change of one or two washers leaves less: sum of squares, then fewer washers. start: the
    readings without any; effects: places x readings."""
    count = len(made)
    steps = np.vstack([np.eye(count, dtype=int), -np.eye(count, dtype=int)])
    first, second = np.triu_indices(2 * count)
    tries = np.unique(np.vstack([steps, steps[first] + steps[second]]), axis=0)
    moved = tries @ effects
    for _ in range(1000):
        left = start + made @ effects
        after = np.sum(np.abs(left + moved) ** 2, axis=1)
        now = float(np.sum(np.abs(left) ** 2))
        fit = ((made + tries >= low) & (made + tries <= high)).all(axis=1)
        near = 1e-9 * max(now, float(np.sum(np.abs(effects) ** 2)) * 1e-6)
        fewer = np.abs(made + tries).sum(axis=1) < np.abs(made).sum()
        good = fit & ((after < now - near) | ((after <= now + near) & fewer))
        if not good.any():
            break
        which = np.flatnonzero(good)
        made = (
            made + tries[which[np.lexsort((np.abs(made + tries[which]).sum(axis=1), np.round(after[which] / near)))[0]]]
        )
    return made
