"""A correction split between the holes that exist, in whole washers: all are compared, so the best is proved."""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.balance.phasors import WEIGHTS, Phasor, as_phasor, of_kinds, phasor
from rotorkit.balance.static import product
from rotorkit.edges.recent import Recent, exactly
from rotorkit.judging.measured import Measured
from rotorkit.quantities import Angle, Length, Mass, QuantityError, Unbalance, required_kind, say

MOST_COMBINATIONS = 3_000_000
"""So many are held at once, some hundred megabytes."""
MOST_KEPT = 20_000
"""Of so many the table is kept for the next correction, some hundred kilobytes."""
_SUMS = Recent[tuple[np.ndarray, np.ndarray]](16)
_UNBALANCE = required_kind(Unbalance)


@dataclass(frozen=True)
class Hole:
    """A place for washers.

    angle: from the same mark and in the same sense as the correction's. largest: the greatest mass that it may carry,
    as the manual says. installed: washers that are in it already, which may be taken out. radius: from the axis,
    needed where the correction is an unbalance (mass times radius). name: to say it by; its angle where empty.
    """

    angle: Any
    largest: Any
    installed: int = 0
    radius: Any = None
    name: str = ""


@dataclass(frozen=True)
class Split:
    """How the washers go.

    changes: washers to add in each hole (negative: to take out), in the order given. achieved: what they amount to,
    with the uncertainty of the washer, which all of them share, and of the holes' places. error: achieved less wanted.
    washers: moved in all. places: holes touched. compared: combinations that were compared, all there are. names: the
    holes' names. in_words: what to do.
    """

    changes: tuple[int, ...]
    achieved: Phasor
    error: Phasor
    washers: int
    places: int
    compared: int
    names: tuple[str, ...]
    in_words: str


def split_between_holes(
    weight: Any, holes: Sequence[Hole], washer: Any, most_places: int | None = None, close_enough: Any = None
) -> Split:
    """Whole washers in the holes there are that come nearest to a correction.

    Every combination of whole washers within each hole's greatest mass is compared, none is left out: by sums of one
    half of the holes against the nearest sum of the other half. Of those that come equally near, the one that moves
    fewest washers.

    Parameters
    ----------
    weight : pair (weight, angle) or Phasor
        The correction, a mass at the holes' radius, an unbalance, or a bare number.
    holes : sequence of Hole
        One or more.
    washer : weight
        Mass of one washer (a bare number where the weight is one).
    most_places : int, optional
        No more holes than these are touched.
    close_enough : weight, optional
        An error up to this is good enough: then the fewest holes that reach it, and in them the fewest washers. Where
        none reach it, the nearest.

    Returns
    -------
    Split

    Raises
    ------
    QuantityError
        No holes, kinds that differ, or more combinations than can be compared: then give `most_places`.

    Notes
    -----
    Source: enumeration (computed). Range: weights that simply add up; all of it within the manual's stations and
    masses.

    Examples
    --------
    12 g midway between two holes at 0 and 60 deg, washers of 2 g: 3.46 of them in each would do; 3 and 4 do best.

    >>> found = split_between_holes(("12 g", "30 deg"), [Hole("0 deg", "10 g"), Hole("60 deg", "10 g")], "2 g")
    >>> sorted(found.changes), found.washers
    ([3, 4], 7)
    """
    wanted = as_phasor(weight, WEIGHTS, "weight")
    if not holes:
        raise QuantityError("holes: needs one or more")
    arrows, least, most, names = washers_as_arrows(wanted, holes, washer)
    each = np.array([arrow.si for arrow in arrows])
    target = wanted.si
    scale = float(np.abs(each).max())
    tolerance = 1e-9 * scale
    all_ways = math.prod(high - low + 1 for low, high in zip(least, most, strict=True))

    chosen = None
    if close_enough is not None:
        near = float(of_kinds(close_enough, (wanted.kind,), "close_enough").si)
        for places in range(min(len(holes), most_places or len(holes)) + 1):
            if _count(places, least, most) > MOST_COMBINATIONS:
                break
            found = _fewest(places, each, least, most, target, near * (1 + 1e-12))
            if found is not None:
                chosen = found
                break
    if chosen is None and most_places is not None and most_places < len(holes):
        if sum(_count(places, least, most) for places in range(most_places + 1)) > MOST_COMBINATIONS:
            raise QuantityError("holes: more combinations than can be compared; give fewer holes or most_places")
        tried = [
            found
            for places in range(most_places + 1)
            if (found := _fewest(places, each, least, most, target, math.inf, tolerance)) is not None
        ]
        chosen = min(tried, key=lambda n: (round(abs(each @ n - target) / tolerance), int(np.abs(n).sum())))
    if chosen is None:
        chosen = _nearest(each, least, most, target, tolerance)

    nothing = Measured(0.0, wanted.kind, unit=wanted.unit)
    achieved = sum((arrow.times(int(n)) for arrow, n in zip(arrows, chosen, strict=True)), Phasor(nothing, nothing))
    error = achieved - wanted.exact
    # to a thousandth of a washer, below which it is rounding
    off = error.exact.amplitude
    apart = "just what is wanted" if float(off.si) < 1e-3 * scale else f"{say(off)} from what is wanted"
    words = f"{washers_in_words(chosen, names) or 'move no washer'}: {apart}."
    washers, places = int(np.abs(chosen).sum()), int(np.count_nonzero(chosen))
    changes = tuple(int(count) for count in chosen)
    return Split(changes, achieved, error, washers, places, all_ways, tuple(names), words[0].upper() + words[1:])


def washers_in_words(changes: Iterable[int], names: Sequence[str]) -> str:
    """Washers to add or take out, in words; empty where there are none."""
    return "; ".join(_said(int(count), name) for count, name in zip(changes, names, strict=True) if count)


def washers_as_arrows(
    wanted: Phasor, holes: Sequence[Hole], washer: Any
) -> tuple[list[Phasor], list[int], list[int], list[str]]:
    """(one washer in each hole as an arrow, fewest and most to move there, the holes' names)."""
    return _ways(wanted, holes, _washer(wanted, washer))


def _washer(wanted: Phasor, washer: Any) -> Measured:
    unit_weight = of_kinds(washer, (Mass,) if wanted.kind.alike(_UNBALANCE) else (wanted.kind,), "washer")
    if float(unit_weight.si) <= 0:
        raise QuantityError("washer: needs a mass above nothing")
    return unit_weight


def _said(count: int, name: str) -> str:
    what = f"{abs(count)} washer{'s' if abs(count) > 1 else ''}"
    return f"add {what} at {name}" if count > 0 else f"take {what} out at {name}"


def _ways(
    wanted: Phasor, holes: Sequence[Hole], washer: Measured
) -> tuple[list[Phasor], list[int], list[int], list[str]]:
    """(one washer in each hole as an arrow, fewest, most, names)."""
    one = float(washer.si)
    arrows, least, most, names = [], [], [], []
    mass_kind = Mass if wanted.kind.alike(_UNBALANCE) else wanted.kind
    for i, hole in enumerate(holes, start=1):
        angle = of_kinds(hole.angle, (Angle,), f"hole {i}, angle")
        name = hole.name or say(of_kinds(hole.angle, (Angle,), "angle"), "deg")
        largest = float(of_kinds(hole.largest, (mass_kind,), f"hole {name}, largest").si)
        capacity = math.floor(largest / one + 1e-9)
        if isinstance(hole.installed, bool) or int(hole.installed) != hole.installed or hole.installed < 0:
            raise QuantityError(f"hole {name}, installed: needs a whole number of washers, got {hole.installed}")
        if hole.installed > capacity:
            raise QuantityError(f"hole {name}: {hole.installed} washers are in it, and it may carry {capacity} at most")
        weight = washer
        if wanted.kind.alike(_UNBALANCE):
            if hole.radius is None:
                raise QuantityError(f"hole {name}, radius: is needed, since the correction is an unbalance")
            weight = product(washer, of_kinds(hole.radius, (Length,), f"hole {name}, radius"), _UNBALANCE)
        made = phasor(weight, angle, (wanted.kind,), f"washer at {name}")
        arrows.append(Phasor(made.along.shown_in(wanted.unit), made.across.shown_in(wanted.unit)))
        least.append(-int(hole.installed))
        most.append(capacity - int(hole.installed))
        names.append(name)
    return arrows, least, most, names


def _count(places: int, least: Sequence[int], most: Sequence[int]) -> int:
    """How many combinations touch so many holes: the elementary symmetric sum of each hole's ways."""
    ways = [high - low for low, high in zip(least, most, strict=True)]
    sums = [1] + [0] * places
    for way in ways:
        for k in range(places, 0, -1):
            sums[k] += sums[k - 1] * way
    return sums[places]


def _fewest(
    places: int,
    arrows: np.ndarray,
    least: Sequence[int],
    most: Sequence[int],
    target: complex,
    near: float,
    tolerance: float = 0.0,
) -> np.ndarray | None:
    """Of all combinations that touch just so many holes and come within `near`: fewest washers, then nearest; with a
    tolerance nearest, then fewest washers. None where none comes so near."""
    best, best_rank = None, (math.inf, math.inf)
    for chosen in itertools.combinations(range(len(arrows)), places):
        ways = tuple((least[h], most[h]) for h in chosen)
        if (0, 0) in ways:
            continue
        few = math.prod(high - low for low, high in ways) <= MOST_KEPT
        table, washers = (_counted if few else _counted.__wrapped__)(ways)
        distance = np.abs(arrows[list(chosen)] @ table - target) if places else np.array([abs(target)])
        good = distance <= near
        if not good.any():
            continue
        if tolerance:
            first, second = np.round(distance / tolerance), washers.astype(float)
        else:
            first, second = washers.astype(float), distance
        order = np.lexsort((second[good], first[good]))[0]
        rank = (float(first[good][order]), float(second[good][order]))
        if rank < best_rank:
            best_rank = rank
            best = np.zeros(len(arrows), dtype=int)
            best[list(chosen)] = table[:, np.flatnonzero(good)[order]]
    return best


@functools.lru_cache(maxsize=512)
def _counted(ways: tuple[tuple[int, int], ...]) -> tuple[np.ndarray, np.ndarray]:
    """Every way to put some washers into each of a few holes, a column each, and how many washers each way moves. ways:
    the fewest and the most in each hole."""
    counts = [[n for n in range(low, high + 1) if n] for low, high in ways]
    table = np.array(np.meshgrid(*counts, indexing="ij")).reshape(len(ways), -1) if ways else np.zeros((0, 1), int)
    washers = np.abs(table).sum(axis=0)
    table.flags.writeable = washers.flags.writeable = False
    return table, washers


def _sums(
    arrows: np.ndarray, least: Sequence[int], most: Sequence[int], tolerance: float
) -> tuple[np.ndarray, np.ndarray]:
    """`_all_sums`, kept where there are few: they are the same for every correction."""
    if math.prod(high - low + 1 for low, high in zip(least, most, strict=True)) > MOST_KEPT:
        return _all_sums(arrows, least, most, tolerance)
    key = arrows.tobytes(), tuple(least), tuple(most), exactly(tolerance)
    return _SUMS.get(key, lambda: _all_sums(arrows, least, most, tolerance))


def _all_sums(
    arrows: np.ndarray, least: Sequence[int], most: Sequence[int], tolerance: float
) -> tuple[np.ndarray, np.ndarray]:
    """All different sums of these holes, each with the counts that give it with fewest washers."""
    counts = np.zeros((1, 0), dtype=np.int16)
    sums = np.zeros(1, dtype=complex)
    for arrow, low, high in zip(arrows, least, most, strict=True):
        steps = np.arange(low, high + 1)
        if len(sums) * len(steps) > MOST_COMBINATIONS:
            raise QuantityError(
                "holes: more combinations than can be compared. Give fewer holes, or most_places, so that no more than "
                "these are touched."
            )
        sums = (sums[:, None] + steps * arrow).ravel()
        counts = np.hstack(
            [np.repeat(counts, len(steps), axis=0), np.tile(steps, len(counts))[:, None].astype(np.int16)]
        )
        key = np.round(sums / (10 * tolerance))
        order = np.lexsort((np.abs(counts).sum(axis=1), key.imag, key.real))
        fresh = np.ones(len(order), dtype=bool)
        fresh[1:] = key[order][1:] != key[order][:-1]
        sums, counts = sums[order][fresh], counts[order][fresh]
    sums.flags.writeable = counts.flags.writeable = False
    return sums, counts


def _nearest(
    arrows: np.ndarray, least: Sequence[int], most: Sequence[int], target: complex, tolerance: float
) -> np.ndarray:
    from scipy.spatial import cKDTree

    # every second hole to either half, so that neither half holds all of one side of the rotor
    halves = [list(range(start, len(arrows), 2)) for start in (0, 1)]
    (left, left_counts), (right, right_counts) = (
        _sums(arrows[half], [least[h] for h in half], [most[h] for h in half], tolerance) for half in halves
    )
    tree = cKDTree(np.column_stack([right.real, right.imag]))
    asked = np.column_stack([(target - left).real, (target - left).imag])
    distance, _ = tree.query(asked)
    # a target far beyond what the holes may carry is met no more nearly than its own last bits
    best = float(distance.min()) * (1 + 1e-12) + 100 * tolerance
    best_counts, best_washers = None, math.inf
    for i in np.flatnonzero(distance <= best):
        for j in tree.query_ball_point(asked[i], best):
            washers = int(np.abs(left_counts[i]).sum() + np.abs(right_counts[j]).sum())
            if washers < best_washers:
                best_counts, best_washers = (i, j), washers
    assert best_counts is not None
    whole = np.zeros(len(arrows), dtype=int)
    whole[halves[0]], whole[halves[1]] = left_counts[best_counts[0]], right_counts[best_counts[1]]
    return whole
