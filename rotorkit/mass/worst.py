"""The worst loading: of all that may be aboard, the most forward, aft, left or right centre of gravity. Searched, not
guessed, and proven.

The centre of gravity is a ratio of two sums, so its least value over everything that may be aboard lies at a corner of
what can be reached: each load at its least or its greatest. Only where a greatest mass cuts that off may one load stand
between. The reachable masses and moments form a polygon whose edges are the loads, sorted by arm, so the corner is
found by one sort; where the cut falls between two ways of loading that exclude each other, the search branches on
these, best bound first, and stops when no bound is better than what is found.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from rotorkit.judging.measured import Measured, measured
from rotorkit.mass.loading import Item, Loading, item
from rotorkit.quantities import Length, Mass, QuantityError

TOWARDS = {"forward": (1, 1.0), "aft": (1, -1.0), "left": (2, 1.0), "right": (2, -1.0)}
"""Which way, with the part of a piece it looks at (1: arm, 2: lateral arm) and the sign that makes it a least value."""


@dataclass(frozen=True)
class Piece:
    """One way in which a load may be aboard: any mass from least to most at one place, SI. places: arm and lateral arm
    with their uncertainties, which the search does not look at and its result bears."""

    least: float
    most: float
    arm: float
    lateral_arm: float
    places: tuple[Measured, Measured] | None = None


@dataclass(frozen=True)
class Load:
    """What may be aboard under one name, in any one of its ways."""

    name: str
    pieces: tuple[Piece, ...]


@dataclass(frozen=True)
class Worst:
    """The worst loading: what it comes to, what is aboard, and how many sets of ways were looked at to prove it."""

    loading: Loading
    aboard: tuple[Item, ...]
    looked_at: int


def load(name: str, least: Any, most: Any, arm: Any, lateral_arm: Any = "0 in", or_none: bool = False) -> Load:
    """A load that may have any mass between two bounds, at one place.

    Parameters
    ----------
    name : str
        what it is.
    least, most : Mass
        between which it may lie.
    arm, lateral_arm : Length
        of its place, aft and right positive.
    or_none : bool
        whether it may also not be aboard at all (a passenger weighs something, or stays at home).

    Returns
    -------
    Load
        For `worst_loading`.

    Raises
    ------
    QuantityError
        An argument is not of its kind, or least is more than most.

    Examples
    --------
    >>> len(load("passenger", "120 lb", "240 lb", "64 in", "-13.5 in", or_none=True).pieces)
    2
    """
    low, high = (float(measured(one, Mass, f"{name}, {what}").si) for one, what in ((least, "least"), (most, "most")))
    if low > high:
        raise QuantityError(f"{name}: least {least} is more than most {most}")
    places = measured(arm, Length, f"arm of {name}"), measured(lateral_arm, Length, f"lateral arm of {name}")
    at = float(places[0].si), float(places[1].si)
    pieces = (Piece(low, high, *at, places),)
    return Load(name, ((Piece(0.0, 0.0, *at), *pieces)) if or_none and low > 0 else pieces)


def load_of(name: str, ways: Sequence[tuple[Any, ...]]) -> Load:
    """A load that is aboard in one of several ways: each (mass, arm) or (mass, arm, lateral arm).

    Parameters
    ----------
    name : str
        what it is.
    ways : sequence of tuples
        one of which holds; ("0 lb", any arm) where it may be left out.

    Returns
    -------
    Load
        For `worst_loading`.

    Raises
    ------
    QuantityError
        No way is given, or a figure is not of its kind.

    Examples
    --------
    >>> len(load_of("baggage", [("0 lb", "96 in"), ("50 lb", "80 in"), ("50 lb", "110 in")]).pieces)
    3
    """
    if not ways:
        raise QuantityError(f"{name}: needs one way to be aboard at least")
    made = []
    for mass, arm, *lateral in ways:
        held = float(measured(mass, Mass, name).si)
        places = (
            measured(arm, Length, f"arm of {name}"),
            measured(lateral[0] if lateral else "0 in", Length, f"lateral arm of {name}"),
        )
        made.append(Piece(held, held, float(places[0].si), float(places[1].si), places))
    return Load(name, tuple(made))


def worst_loading(base: Loading, loads: Sequence[Load], towards: str = "forward", at_most: Any = None) -> Worst:
    """The loading whose centre of gravity lies furthest one way, of all that the loads allow: exact.

    Parameters
    ----------
    base : Loading
        what is always aboard: the empty aircraft.
    loads : sequence of Load
        what may be aboard, each in any one of its ways (`load`, `load_of`).
    towards : str
        "forward", "aft", "left" or "right".
    at_most : Mass or None
        the greatest mass allowed; loadings above it do not count.

    Returns
    -------
    Worst
        The loading with the items aboard: the furthest by the best figures, with the uncertainty of its arms and of
        the base. The masses are the bounds themselves, and exact.

    Raises
    ------
    QuantityError
        An unknown way, or even the lightest loading is above `at_most`.

    Notes
    -----
    Source: a ratio of two linear forms takes its least value at a corner (linear-fractional programming; derived in
    the module's head). The tests compare it with trying every combination.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> empty = Loading.at("1169 lb", "10.6 in").added(("oil", "17 lb", "-49 in"))
    >>> may_be = [load("pilot", "170 lb", "170 lb", "16 in"), load("fuel", "83 lb", "240 lb", "22 in")]
    >>> say(worst_loading(empty, may_be, "forward").loading.arm, "in", digits=4)
    '11.19 in'
    """
    if towards not in TOWARDS:
        raise QuantityError(f"worst_loading: towards must be one of {', '.join(TOWARDS)}, got {towards!r:.40}")
    part, sign = TOWARDS[towards]
    greatest = float("inf") if at_most is None else float(measured(at_most, Mass, "at_most").si)
    moment = base.moment if part == 1 else base.lateral_moment
    start = (float(base.mass.si), sign * float(moment.si))
    count = itertools.count()
    heap: list[tuple[float, int, tuple[Load, ...], Any, int | None]] = []

    def put(ways: tuple[Load, ...]) -> None:
        found = _relaxed(start, ways, part, sign, greatest)
        if found is not None:
            ratio, masses, torn = found
            heapq.heappush(heap, (ratio, next(count), ways, masses, torn))

    put(tuple(loads))
    looked_at = 0
    while heap:
        _, _, ways, chosen, torn = heapq.heappop(heap)
        looked_at += 1
        if torn is None:
            aboard = tuple(
                item(one.name, _kg(mass), *(piece.places or (_m(piece.arm), _m(piece.lateral_arm))))
                for one, (mass, piece) in zip(ways, chosen, strict=True)
                if mass
            )
            return Worst(base.added(*aboard), aboard, looked_at)
        for piece in ways[torn].pieces:
            put((*ways[:torn], Load(ways[torn].name, (piece,)), *ways[torn + 1 :]))
    raise QuantityError("worst_loading: even the lightest loading is above at_most: nothing that is allowed is left")


def _kg(si: float) -> Measured:
    return Measured(si, Mass)


def _m(si: float) -> Measured:
    return Measured(si, Length)


def _relaxed(start: tuple[float, float], loads: Sequence[Load], part: int, sign: float, greatest: float) -> Any:
    """The least ratio over the polygon of all that could be reached if ways could be mixed: (ratio, each load's mass
    and piece, number of the load that is mixed or None); None where even the lightest is too heavy."""
    mass, moment = start
    state: list[tuple[float, Piece]] = []
    steps: list[tuple[float, float, float, int, float, Piece, bool]] = []
    for i, one in enumerate(loads):
        chain = _lower_chain(one, part, sign)
        m, _, piece = chain[0]
        state.append((m, piece))
        mass, moment = mass + m, moment + chain[0][1]
        for (m1, g1, p1), (m2, g2, p2) in itertools.pairwise(chain):
            steps.append(((g2 - g1) / (m2 - m1), m2 - m1, g2 - g1, i, m2, p2, p1 is p2))
    if mass > greatest * (1 + 1e-12):
        return None
    steps.sort(key=lambda step: step[0])
    best: tuple[float, list[tuple[float, Piece]], int | None] = (
        moment / mass if mass else float("inf"),
        list(state),
        None,
    )
    for _, more, turn, i, end, piece, whole in steps:
        part_of = min(1.0, (greatest - mass) / more)
        if part_of <= 0:
            break
        mass, moment = mass + part_of * more, moment + part_of * turn
        cut = part_of < 1
        state[i] = (state[i][0] + part_of * more if cut else end, piece)
        ratio = moment / mass
        if ratio < best[0]:
            best = (ratio, list(state), i if cut and not whole else None)
        if cut:
            break
    return best


def _lower_chain(one: Load, part: int, sign: float) -> list[tuple[float, float, Piece]]:
    """Lower boundary, from the least mass to the greatest, of a load's ways in the plane of mass and moment."""
    points = []
    for piece in one.pieces:
        arm = sign * (piece.arm if part == 1 else piece.lateral_arm)
        points.append((piece.least, piece.least * arm, piece))
        if piece.most > piece.least:
            points.append((piece.most, piece.most * arm, piece))
    points.sort(key=lambda point: point[:2])
    chain: list[tuple[float, float, Piece]] = []
    for point in points:
        if chain and point[0] == chain[-1][0]:
            continue  # as heavy, with no less moment
        while len(chain) > 1 and _above(chain[-2], chain[-1], point):
            chain.pop()
        chain.append(point)
    return chain


def _above(a: Any, b: Any, c: Any) -> bool:
    return bool((b[1] - a[1]) * (c[0] - a[0]) >= (c[1] - a[1]) * (b[0] - a[0]))
