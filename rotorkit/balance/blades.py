"""Blades on the bench: span moment from scales, and which weight at which station makes the blades alike."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.balance.phasors import of_kinds
from rotorkit.formula import nomenclature
from rotorkit.judging.measured import Measured, combine, largest_less_smallest
from rotorkit.quantities import Length, Mass, QuantityError, Unbalance

_STATICS = sources.ARITHMETIC

_formula = nomenclature(
    letters={
        "inner": "m_1", "inner_station": "r_1", "outer": "m_2", "outer_station": "r_2", "mass": "m",
        "edge_station": "r_0", "shown": "m_1", "scale_station": "r_1", "first": "m_1", "first_station": "x_1",
        "second": "m_2", "second_station": "x_2", "known": "U_0", "change": "d", "step": "s",
    },
    valid={"change": ("1e-12 m", None)},
)  # fmt: skip


@_formula(
    source=_STATICS.at("moments about the axis of rotation"),
    result="M",
    title="Span moment of the blade, on two scales",
)
def span_moment_from_scales(inner: Mass, inner_station: Length, outer: Mass, outer_station: Length) -> Unbalance:
    """Span moment of a blade that lies level on two scales: m1 r1 + m2 r2.

    Parameters
    ----------
    inner, outer : Mass
        What the scales show, less the supports (tare).
    inner_station, outer_station : Length
        Of the supports, from the axis of rotation, outward positive: the blade as if bolted on. A scale in the middle
        of the grip's bolt has that bolt's radius.

    Returns
    -------
    Unbalance
        Mass times radius about the axis of rotation.

    Notes
    -----
    Source: statics. Range: blade level, nothing else touching it, both read at once.

    Examples
    --------
    12 lb at 10 in and 15 lb at 130 in: 120 + 1950 = 2070 lb in.

    >>> from rotorkit.quantities import say
    >>> say(span_moment_from_scales("12 lb", "10 in", "15 lb", "130 in"), "lb*in", digits=4)
    '2,070 lb·in'
    """
    return inner * inner_station + outer * outer_station


@_formula(
    source=_STATICS.at("moments about the axis of rotation"),
    result="M",
    title="Span moment of the blade, on an edge and a scale",
)
def span_moment_from_knife_edge(mass: Mass, edge_station: Length, shown: Mass, scale_station: Length) -> Unbalance:
    """Span moment of a blade on a knife edge and one scale: m r0 + m1 (r1 - r0).

    Parameters
    ----------
    mass : Mass
        Of the whole blade, weighed before.
    edge_station : Length
        Of the knife edge, from the axis of rotation, outward positive.
    shown : Mass
        What the scale shows, less its support.
    scale_station : Length
        Of the scale, likewise.

    Returns
    -------
    Unbalance
        As `span_moment_from_scales`.

    Notes
    -----
    Source: statics. Range: as `span_moment_from_scales`.

    Examples
    --------
    The same blade of 27 lb with a knife edge in place of the inner scale: 27 x 10 + 15 x 120 = 2070 lb in.

    >>> from rotorkit.quantities import say
    >>> say(span_moment_from_knife_edge("27 lb", "10 in", "15 lb", "130 in"), "lb*in", digits=4)
    '2,070 lb·in'
    """
    return mass * edge_station + shown * (scale_station - edge_station)


@_formula(source=_STATICS.at("moments over masses"), result="x", title="Centre of mass")
def centre_of_mass(first: Mass, first_station: Length, second: Mass, second_station: Length) -> Length:
    """Centre of mass of a blade on two scales, along the span or along the chord: (m1 x1 + m2 x2) / (m1 + m2).

    Parameters
    ----------
    first, second : Mass
        What the scales show, less the supports; not both nothing.
    first_station, second_station : Length
        Of the supports from one datum: the axis of rotation, or the leading edge (aft positive) for the chord.

    Returns
    -------
    Length
        From the same datum.

    Notes
    -----
    Source: statics. Range: as `span_moment_from_scales`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(centre_of_mass("12 lb", "10 in", "15 lb", "130 in"), "in", digits=4)
    '76.67 in'
    """
    return (first * first_station + second * second_station) / (first + second)


@_formula(source=_STATICS.at("proportion"), result="U", title="Smallest unbalance shown")
def smallest_shown(known: Unbalance, change: Length, step: Length) -> Unbalance:
    """The smallest unbalance that a stand or mandrel shows, from a known weight added: known x step / change.

    Parameters
    ----------
    known : Unbalance
        Of the weight added, mass times its radius.
    change : Length
        How far the pointer or bubble moved by it.
    step : Length
        The least movement that can be seen.

    Returns
    -------
    Unbalance
        What the stand cannot tell from nothing. Where the limit is smaller, the stand is too coarse.

    Notes
    -----
    Source: proportion. Range: small movements, no friction: try it both ways round.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(smallest_shown("1 oz*in", "10 mm", "0.5 mm"), "oz*in", digits=3)
    '0.0500 oz·in'
    """
    return known * step / change


@dataclass(frozen=True)
class Station:
    """A place of the blade for weight. station: from the axis of rotation. largest: the greatest mass it may carry.
    installed: washers in it already. name: to say it by."""

    station: Any
    largest: Any
    installed: int = 0
    name: str = ""


@dataclass(frozen=True)
class MatchedBlades:
    """Washers that make the blades' span moments alike.

    changes: for each blade the washers to add at each of its stations (negative: to take out). moments: each blade's
    span moment then. spread: the largest less the smallest, with uncertainty. before: the same as found. washers:
    moved in all.
    """

    changes: tuple[tuple[int, ...], ...]
    moments: tuple[Measured, ...]
    spread: Measured
    before: Measured
    washers: int


def match_blades(moments: Sequence[Any], stations: Sequence[Sequence[Station]], washer: Any) -> MatchedBlades:
    """Whole washers at the blades' stations that bring all span moments nearest to each other: every way compared.

    Parameters
    ----------
    moments : sequence of Unbalance
        Span moment of each blade, two or more.
    stations : sequence of sequences of Station
        For each blade, in the same order, the places where weight may be; a blade may have none.
    washer : Mass
        Of one washer.

    Returns
    -------
    MatchedBlades
        The least spread that whole washers allow; of those that are alike, the one that moves fewest.

    Raises
    ------
    QuantityError
        Fewer than two blades, another number of stations, a station that carries more than it may, or more ways than
        can be compared.

    Notes
    -----
    Source: enumeration: in the merged list of all moments that each blade can reach, the narrowest window that holds
    one of each (computed). Range: weight at a station adds mass times its radius to the moment. Chordwise balance is
    another check: weight ahead of or behind the blade's axis changes how it flies.

    Examples
    --------
    2070 and 2066 lb in; washers of 0.01 lb at 130 in add 1.3 lb in each: three of them in the light blade leave 0.1.

    >>> from rotorkit.quantities import say
    >>> found = match_blades(["2070 lb*in", "2066 lb*in"],
    ...                      [[Station("130 in", "0.1 lb")], [Station("130 in", "0.1 lb")]], "0.01 lb")
    >>> found.changes, say(found.spread, "lb*in", digits=2)
    (((0,), (3,)), '0.10 lb·in')
    """
    if len(moments) < 2 or len(stations) != len(moments):
        raise QuantityError(
            f"stations: needs a list for each of two blades or more, got {len(moments)} and {len(stations)}"
        )
    found = [of_kinds(one, (Unbalance,), f"span moment {i}") for i, one in enumerate(moments, start=1)]
    one = of_kinds(washer, (Mass,), "washer")
    if float(one.si) <= 0:
        raise QuantityError("washer: needs a mass above nothing")
    pairs = enumerate(zip(found, stations, strict=True), start=1)
    reached = [_reached(float(moment.si), places, float(one.si), i) for i, (moment, places) in pairs]
    picked = _narrowest(reached)
    changes, after = [], []
    for moment, places, way in zip(found, stations, picked, strict=True):
        counts = way[2]
        changes.append(counts)
        lever = sum(
            n * float(of_kinds(p.station, (Length,), "station").si) for n, p in zip(counts, places, strict=True)
        )
        after.append(
            combine(float(moment.si) + lever * float(one.si), Unbalance, [moment, one], [1.0, lever], moment.unit)
        )
    return MatchedBlades(
        tuple(changes), tuple(after), largest_less_smallest(after), largest_less_smallest(found),
        sum(abs(n) for counts in changes for n in counts),
    )  # fmt: skip


Way = tuple[float, int, tuple[int, ...]]


def _reached(moment: float, places: Sequence[Station], washer: float, blade: int) -> list[Way]:
    """(moment, washers moved, counts) of every way for one blade; of like moments the one that moves fewest."""
    ranges = []
    for place in places:
        name = f"blade {blade}, station {place.name or place.station}"
        capacity = math.floor(float(of_kinds(place.largest, (Mass,), f"{name}, largest").si) / washer + 1e-9)
        if not 0 <= place.installed <= capacity:
            raise QuantityError(f"{name}: {place.installed} washers are in it, and it may carry {capacity} at most")
        ranges.append(range(-place.installed, capacity - place.installed + 1))
    if math.prod(len(one) for one in ranges) > 200_000:
        raise QuantityError(f"blade {blade}: more ways than can be compared; name fewer stations")
    arms = [float(of_kinds(place.station, (Length,), "station").si) * washer for place in places]
    best: dict[float, Way] = {}
    for counts in itertools.product(*ranges):
        value = moment + sum(n * arm for n, arm in zip(counts, arms, strict=True))
        moved = sum(map(abs, counts))
        key = round(value, 12)
        if key not in best or moved < best[key][1]:
            best[key] = (value, moved, counts)
    return sorted(best.values())


def _narrowest(reached: Sequence[list[Way]]) -> list[Way]:
    """One way for each blade: the least spread of moments, then the fewest washers."""
    values = [np.array([way[0] for way in ways]) for ways in reached]
    moved = [np.array([way[1] for way in ways]) for ways in reached]
    lowest = np.concatenate(values)
    lowest.sort()
    # for each possible lowest moment, the next at or above it of every blade gives the least possible spread
    slack = 1e-9 * max(float(np.abs(lowest).max()), 1e-300)
    at = [np.searchsorted(value, lowest - slack) for value in values]
    open_ended = np.zeros(len(lowest), dtype=bool)
    for value, index in zip(values, at, strict=True):
        open_ended |= index >= len(value)
    lowest, at = lowest[~open_ended], [index[~open_ended] for index in at]
    nexts = np.array([value[index] for value, index in zip(values, at, strict=True)])
    spread = nexts.max(axis=0) - nexts.min(axis=0)
    least = spread.min()
    best, best_moved = None, math.inf
    for k in np.flatnonzero(spread <= least + 2 * slack):
        chosen = []
        for value, washers in zip(values, moved, strict=True):
            inside = np.flatnonzero((value >= lowest[k] - slack) & (value <= lowest[k] + least + 2 * slack))
            chosen.append(int(inside[np.argmin(washers[inside])]))
        total = sum(int(washers[i]) for washers, i in zip(moved, chosen, strict=True))
        if total < best_moved:
            best, best_moved = chosen, total
    assert best is not None
    return [ways[i] for ways, i in zip(reached, best, strict=True)]
