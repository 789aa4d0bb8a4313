"""Balance of the blades along the chord: where the centre of mass lies, and washers that bring it right."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.balance.blades import Station
from rotorkit.balance.phasors import of_kinds
from rotorkit.formula import formula
from rotorkit.judging.measured import Measured, combine, largest_less_smallest
from rotorkit.quantities import Length, Mass, QuantityError

MOST_WAYS = 20_000
"""So many ways of one blade are compared."""


@formula(
    source=sources.ARITHMETIC.at("moments over masses"),
    letters={
        "root": "m_0", "root_place": "x_0", "nose": "m_1", "nose_place": "x_1", "tail": "m_2", "tail_place": "x_2",
    },
    result="x",
    title="Centre of mass along the chord",
)  # fmt: skip
def chordwise_centre(
    root: Mass, root_place: Length, nose: Mass, nose_place: Length, tail: Mass, tail_place: Length
) -> Length:
    """Centre of mass of a blade on three points, along the chord: (m0 x0 + m1 x1 + m2 x2) / (m0 + m1 + m2).

    Parameters
    ----------
    root, nose, tail : Mass
        What the scales show under the root, and under the outer part near the nose and near the trailing edge, less
        the supports; not all nothing.
    root_place, nose_place, tail_place : Length
        Of the points, from the leading edge, aft positive.

    Returns
    -------
    Length
        From the leading edge, aft positive.

    Notes
    -----
    Source: statics. Range: the chord level, every support a point or an edge along the span, nothing else touching.

    Examples
    --------
    20 lb at 2 in, 10 lb at 1 in and 5 lb at 6 in: (40 + 10 + 30) / 35 = 2.286 in.

    >>> from rotorkit.quantities import say
    >>> say(chordwise_centre("20 lb", "2 in", "10 lb", "1 in", "5 lb", "6 in"), "in", digits=4)
    '2.286 in'
    """
    return (root * root_place + nose * nose_place + tail * tail_place) / (root + nose + tail)


@dataclass(frozen=True)
class MatchedChords:
    """Washers that bring the blades' centres of mass along the chord together.

    changes: for each blade the washers to add at each place (negative: to take out). centres: each blade's then, from
    the leading edge. difference: the largest less the smallest, with uncertainty. before: the same as found. within:
    whether every centre then lies between the bounds, by the best figures. washers: moved in all.
    """

    changes: tuple[tuple[int, ...], ...]
    centres: tuple[Measured, ...]
    difference: Measured
    before: Measured
    within: bool
    washers: int


def match_chords(
    masses: Sequence[Any],
    centres: Sequence[Any],
    places: Sequence[Sequence[Station]],
    washer: Any,
    foremost: Any = None,
    aftmost: Any = None,
    close_enough: Any = None,
) -> MatchedChords:
    """Whole washers that bring the blades' centres of mass along the chord nearest to each other, between bounds.

    A washer of mass w at x moves the centre of a blade of mass m from c to (m c + w x) / (m + w).

    Parameters
    ----------
    masses, centres : sequences of Mass and of Length
        Of each blade, two or more; the centre from the leading edge, aft positive.
    places : sequence of sequences of Station
        For each blade, in the same order, where washers may be: `station` is here the distance from the leading edge.
    washer : Mass
        Of one washer.
    foremost, aftmost : Length, optional
        Between which each centre must lie: ways that keep to them come first, however far apart.
    close_enough : Length, optional
        A difference up to this is good enough: then the fewest washers that reach it.

    Returns
    -------
    MatchedChords
        The least difference that whole washers allow; of those that are alike, the one that moves fewest.

    Raises
    ------
    QuantityError
        Fewer than two blades, numbers that differ, a place that carries more than it may, or too many ways.

    Notes
    -----
    Source: statics; enumeration: each blade's centres as its washers make them, and the narrowest window that holds one
    of each (computed). Range: rigid blades. Washers change the span moment too: weigh the blades again.

    Examples
    --------
    Blades of 10 kg, one 1 mm further aft; washers of 50 g at 10 mm, where the centre is at 50 mm, bring it forward by
    0.199 mm each: five of them.

    >>> nose = [Station("10 mm", "500 g")]
    >>> found = match_chords(["10 kg", "10 kg"], ["50 mm", "51 mm"], [nose, nose], "50 g")
    >>> found.changes, round(float(found.difference.si), 9)
    (((0,), (5,)), 0.0)
    """
    if len(masses) < 2 or not len(masses) == len(centres) == len(places):
        raise QuantityError(
            f"masses: needs two blades or more, each with its centre and its places, got {len(masses)}, "
            f"{len(centres)} and {len(places)}"
        )
    heavy = [of_kinds(one, (Mass,), f"mass {i}") for i, one in enumerate(masses, start=1)]
    found = [of_kinds(one, (Length,), f"centre {i}") for i, one in enumerate(centres, start=1)]
    one = of_kinds(washer, (Mass,), "washer")
    if float(one.si) <= 0 or min(float(mass.si) for mass in heavy) <= 0:
        raise QuantityError("washer: washers and blades need a mass above nothing")
    low, high = (
        default if bound is None else float(of_kinds(bound, (Length,), name).si)
        for bound, default, name in ((foremost, -math.inf, "foremost"), (aftmost, math.inf, "aftmost"))
    )
    ways = [
        _ways(mass, centre, there, one, i)
        for i, (mass, centre, there) in enumerate(zip(heavy, found, places, strict=True), start=1)
    ]
    kept = [[way for way in each if low <= way[0] <= high] or _least_outside(each, low, high) for each in ways]
    enough = 0.0 if close_enough is None else float(of_kinds(close_enough, (Length,), "close_enough").si)
    changes = _nearest(kept, enough)
    after = [
        _centre(mass, centre, there, counts, one)
        for mass, centre, there, counts in zip(heavy, found, places, changes, strict=True)
    ]
    return MatchedChords(
        tuple(changes), tuple(after), largest_less_smallest(after), largest_less_smallest(found),
        all(low <= float(centre.si) <= high for centre in after),
        sum(abs(count) for counts in changes for count in counts),
    )  # fmt: skip


Way = tuple[float, int, tuple[int, ...]]


def _ways(mass: Measured, centre: Measured, places: Sequence[Station], washer: Measured, blade: int) -> list[Way]:
    """(centre, washers moved, counts) of every way of one blade, foremost first."""
    ranges, each = [], float(washer.si)
    for place in places:
        most = math.floor(float(of_kinds(place.largest, (Mass,), f"blade {blade}, largest").si) / each + 1e-9)
        if not 0 <= place.installed <= most:
            raise QuantityError(
                f"blade {blade}: {place.installed} washers are in a place that may carry {most} at most"
            )
        ranges.append(range(-place.installed, most - place.installed + 1))
    if math.prod(len(one) for one in ranges) > MOST_WAYS:
        raise QuantityError(f"blade {blade}: more ways than can be compared; name fewer places")
    return sorted(
        (float(_centre(mass, centre, places, counts, washer).si), sum(map(abs, counts)), counts)
        for counts in itertools.product(*ranges)
    )


def _centre(
    mass: Measured, centre: Measured, places: Sequence[Station], counts: Sequence[int], washer: Measured
) -> Measured:
    """The centre with these washers, with what all of it is known to."""
    own, at, each = float(mass.si), float(centre.si), float(washer.si)
    spots = [float(of_kinds(place.station, (Length,), "place").si) for place in places]
    added = each * sum(counts)
    whole = own + added
    lever = sum(count * spot for count, spot in zip(counts, spots, strict=True))
    after = (own * at + each * lever) / whole
    slopes = [own / whole, (at - after) / whole, (lever - sum(counts) * after) / whole]
    return combine(after, Length, [centre, mass, washer], slopes, centre.unit)


def _least_outside(ways: Sequence[Way], low: float, high: float) -> list[Way]:
    """Where no way keeps to the bounds, that which comes nearest to them."""
    return [min(ways, key=lambda way: (max(low - way[0], way[0] - high), way[1]))]


def _nearest(ways: Sequence[Sequence[Way]], enough: float) -> list[tuple[int, ...]]:
    """Of each blade one way: the least difference, or one that is good enough, then the fewest washers. Every way's
    centre is tried as the lowest of all."""
    values = [np.array([way[0] for way in each]) for each in ways]
    slack = 1e-9 * max(float(np.abs(np.concatenate(values)).max()), 1e-300)
    best: tuple[float, int, list[tuple[int, ...]]] | None = None
    for lowest in np.concatenate(values):
        starts = [int(np.searchsorted(one, lowest - slack)) for one in values]
        if any(start >= len(one) for start, one in zip(starts, values, strict=True)):
            continue
        least = max(float(one[start]) for start, one in zip(starts, values, strict=True)) - float(lowest)
        least = max(least, enough)
        if best is not None and least > best[0] + slack:
            continue
        picked = []
        for each, one, start in zip(ways, values, starts, strict=True):
            end = int(np.searchsorted(one, lowest + least + slack, side="right"))
            picked.append(min(each[start:end], key=lambda way: way[1]))
        moved = sum(way[1] for way in picked)
        if best is None or least < best[0] - slack or moved < best[1]:
            best = least, moved, [way[2] for way in picked]
    assert best is not None
    return best[2]
