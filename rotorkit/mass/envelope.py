"""Envelopes of centre of gravity: a loading or a whole burn path inside or not, how far from the edge, how surely.

An envelope is a polygon from the manual, straight from corner to corner, with the axes that the manual draws: arm over
mass, lateral arm over mass, lateral arm over arm, or moment over mass.
"""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE
from rotorkit.judging.measured import COVERAGE, Measured, measured, propagate
from rotorkit.mass.loading import ARM_UNIT, Loading, _as_item
from rotorkit.quantities import Length, Mass, MassDifference, MassMoment, QuantityError, required_kind

AXES = {
    "arm": Length,
    "lateral arm": Length,
    "mass": Mass,
    "moment": MassMoment,
    "lateral moment": MassMoment,
}
"""What an axis of an envelope may be, with its kind."""
_OF = {
    "arm": lambda load: load.arm,
    "lateral arm": lambda load: load.lateral_arm,
    "mass": lambda load: load.mass,
    "moment": lambda load: load.moment,
    "lateral moment": lambda load: load.lateral_moment,
}
_PART = {
    "mass": (0, False),
    "moment": (1, False),
    "lateral moment": (2, False),
    "arm": (1, True),
    "lateral arm": (2, True),
}
"""Which part of a state (mass, moment, lateral moment) an axis is, and whether that over the mass."""
_SLACK = 1e-12
_BESIDE = 1e-9
"""Of the way: so near beside a corner its two sides are looked at."""


@dataclass(frozen=True)
class Margins:
    """How far a loading is from the edges, each positive inside. low, high: along the axis across (for an arm: from
    the forward limit, and from the aft limit); under, over: along the axis up (for a mass: above the least, and below
    the greatest). None where the envelope has no edge that way at this place."""

    low: Measured | None
    high: Measured | None
    under: Measured | None
    over: Measured | None


@dataclass(frozen=True)
class PathCheck:
    """Whether a whole path lies inside. leaves_at: the part of the path (0 to 1) at which it first is outside; None
    where it never is."""

    inside: bool
    leaves_at: float | None


@dataclass(frozen=True)
class Standing:
    """How a loading, or a whole flight, stands to one envelope. word: the verdict, with everything that is uncertain.
    certainty: the least `Envelope.certainty` of it; leaves_at: as in `PathCheck`, by the best figures."""

    word: str
    certainty: float
    leaves_at: float | None

    @property
    def inside(self) -> bool:
        """Whether the best figures lie inside, all along the way."""
        return self.leaves_at is None

    @property
    def too_close(self) -> str:
        """What a verdict of too close to call rests on."""
        near = f"{abs(self.certainty):.1f}"
        return f"the nearest edge is {near} standard uncertainties away, and {COVERAGE:g} are asked for"


@dataclass(frozen=True)
class Envelope:
    """One polygon of the manual, in SI units; `envelope` makes one."""

    title: str
    across: str
    up: str
    corners: tuple[tuple[float, float], ...]

    @functools.cached_property
    def edges(self) -> list[tuple[tuple[float, float], tuple[float, float]]]:
        """Each edge from corner to corner, the last one closing it."""
        return list(zip(self.corners, self.corners[1:] + self.corners[:1], strict=True))

    @property
    def hollow(self) -> bool:
        """Whether the outline turns inwards at a corner."""
        turns = [
            (x2 - x1) * (y3 - y2) - (y2 - y1) * (x3 - x2)
            for (x1, y1), (x2, y2), (x3, y3) in zip(
                self.corners, self.corners[1:] + self.corners[:1], self.corners[2:] + self.corners[:2], strict=True
            )
        ]
        return min(turns) < 0 < max(turns)

    def place(self, load: Loading) -> tuple[Measured, Measured]:
        """Where a loading stands on the two axes."""
        return _OF[self.across](load), _OF[self.up](load)

    def holds(self, across: Any, up: Any) -> Any:
        """Whether points lie inside; on the edge counts as inside. SI values, floats or arrays."""
        x, y = across, up
        if type(x) is not float or type(y) is not float:  # for a single point arrays are slow
            x, y = np.broadcast_arrays(np.asarray(across, dtype=float), np.asarray(up, dtype=float))
        wide, high = self._size
        odd: Any = False
        on: Any = False
        for (x1, y1), (x2, y2) in self.edges:
            turned = (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)
            near = abs(turned) <= _SLACK * 1e3 * wide * high
            within = (x >= min(x1, x2) - _SLACK * wide) & (x <= max(x1, x2) + _SLACK * wide)
            within &= (y >= min(y1, y2) - _SLACK * high) & (y <= max(y1, y2) + _SLACK * high)
            on |= near & within
            if y1 != y2:
                crosses = (y1 > y) != (y2 > y)
                odd ^= crosses & (x < x1 + (x2 - x1) * (y - y1) / (y2 - y1))
        found = odd | on
        return found if getattr(found, "shape", ()) else bool(found)

    @functools.cached_property
    def _size(self) -> tuple[float, float]:
        xs, ys = zip(*self.corners, strict=True)
        return max(map(abs, xs)) + max(xs) - min(xs), max(map(abs, ys)) + max(ys) - min(ys)

    def contains(self, load: Loading) -> bool:
        """Whether the loading's best value lies inside or on the edge; how surely, see `certainty`."""
        x, y = self.place(load)
        return bool(self.holds(float(x.si), float(y.si)))

    def contains_at(self, mass: float, arm: float, lateral_arm: float) -> bool:
        """`contains` of bare SI figures."""
        return bool(self.holds(*self._at((mass, mass * arm, mass * lateral_arm))))

    def spans(self, up: float) -> list[tuple[float, float]]:
        """The stretches of the axis across that lie inside at a value of the axis up, in order (SI)."""
        return _spans([(a, b) for a, b in self.edges], up)

    def spans_up(self, across: float) -> list[tuple[float, float]]:
        """The stretches of the axis up that lie inside at a value of the axis across, in order (SI)."""
        return _spans([((y1, x1), (y2, x2)) for (x1, y1), (x2, y2) in self.edges], across)

    def margins(self, load: Loading) -> Margins:
        """How far the loading is from the edges along either axis, with uncertainty.

        What is uncertain in both coordinates at once is carried through: a mass that is more than thought also moves
        the centre of gravity, and the limit with it.
        """
        x, y = self.place(load)
        across, up = (required_kind(Length if "arm" in axis else MassDifference if axis == "mass" else MassMoment)
                      for axis in (self.across, self.up))  # fmt: skip

        spans, spans_up = functools.cache(self.spans), functools.cache(self.spans_up)  # both ends ask for the same

        def margin(side: int, upright: bool) -> Measured | None:
            def of(u: float, v: float) -> float:
                along, at = (v, u) if upright else (u, v)
                low, high = _nearest((spans_up if upright else spans)(at), along)
                room = along - low if side < 0 else high - along
                # on the edge but for the last bit of the way there
                return 0.0 if abs(room) <= _SLACK * self._size[upright] else room

            if math.isnan(of(float(x.si), float(y.si))):
                return None
            kind = up if upright else across
            unit = ARM_UNIT if kind == required_kind(Length) else None
            return propagate(of, kind, [x, y], unit)

        return Margins(margin(-1, False), margin(1, False), margin(-1, True), margin(1, True))

    def certainty(self, load: Loading, known_together: bool = True) -> float:
        """Distance to the nearest edge, counted in standard uncertainties of the loading; negative outside.

        The two coordinates' uncertainties with their correlation make an ellipse; the distance is measured in its own
        scale, to edges and corners alike. At `COVERAGE` (2) or more the whole ellipse lies inside, at -2 or less
        wholly outside; between, it is too close to call. Infinite where nothing is uncertain.

        known_together: whether the loading carries how its weight and its centre of gravity are off together. Where
        they were read or taken over one by one it does not: then the nearest edge is looked for with both independent,
        with both off the same way and with each off against the other, and the least of the three counts.
        """
        x, y = self.place(load)
        both = [(float(part), float(y.components.get(origin, 0.0))) for origin, part in x.components.items()]
        both += [(0.0, float(part)) for origin, part in y.components.items() if origin not in x.components]
        wide, high = (
            (math.fsum(part * part for part in parts) for parts in zip(*both, strict=True)) if both else (0.0, 0.0)
        )
        found = math.fsum(u * v for u, v in both)
        whole = math.sqrt(wide * high)
        # what is known exactly has no width
        least_x, least_y = (
            (1e-12 * max(abs(float(one.si)), 1e-9)) ** 2 + 1e-14 * square for one, square in ((x, wide), (y, high))
        )
        corners = [(across - float(x.si), up - float(y.si)) for across, up in self.corners]
        distances = []
        for together in [found] if known_together else [0.0, whole, -whole]:
            # the triangular root of the covariance (Cholesky), by which the ellipse becomes a circle
            root = math.sqrt(wide + least_x)
            shared = together / root
            own = math.sqrt(max(high + least_y - shared**2, least_y))
            flat = [(across / root, (up - shared * across / root) / own) for across, up in corners]
            distances += [_to_segment(a, b) for a, b in zip(flat, flat[1:] + flat[:1], strict=True)]
        nearest = min(distances) if any(u or v for u, v in both) else math.inf
        return nearest if self.contains(load) else -nearest

    def surely_contains(self, load: Loading) -> bool:
        """Whether the loading lies inside with its whole expanded uncertainty (k = 2)."""
        return self.certainty(load) >= COVERAGE

    def standing(self, start: Loading, end: Loading | None = None, known_together: bool = True) -> Standing:
        """The verdict on a loading, or on the whole way from one to another (`path`).

        In limits: all of it lies inside with its whole expanded uncertainty (k = 2). Out of limits: by the best figures
        it leaves the envelope, and somewhere it lies outside with its whole uncertainty. Too close to call: the rest.
        known_together: as in `certainty`.
        """
        if end is None:  # nowhere to go: one place is all there is to look at
            inside = self.contains(start)
            path, certain = PathCheck(inside, None if inside else 0.0), self.certainty(start, known_together)
        else:
            path = self.path(start, end)
            certain = min(
                self.certainty(start.on_the_way(end, min(1.0, max(0.0, part))), known_together)
                for part in self.tightest(start, end)
            )
        word = IN_LIMITS if path.inside and certain >= COVERAGE else TOO_CLOSE
        if not path.inside and certain <= -COVERAGE:
            word = OUT_OF_LIMITS
        return Standing(word, certain, path.leaves_at)

    def path(self, start: Loading, end: Loading) -> PathCheck:
        """Whether the whole way between two loadings lies inside, as what differs is burned or added bit by bit.

        Exact: along the way mass and moments change in proportion, so that the centre of gravity moves on a curve;
        where it meets an edge is a quadratic equation.
        """
        a, b = _state(start), _state(end)

        def inside(t: float) -> bool:
            return bool(self.holds(*self._at(a + (b - a) * t)))

        ends = self._meetings(a, b)
        stops = sorted({0.0, 1.0, *ends})
        if not inside(0.0):
            return PathCheck(False, 0.0)
        for t, after in itertools.pairwise(stops):
            if after - t > 1e-13 and not inside((t + after) / 2):
                return PathCheck(False, t)
        return PathCheck(True, None)

    def along(self, start: Loading, end: Loading, part: float) -> tuple[float, float]:
        """The place on the two axes (SI values) when a part of what differs is gone: for the line in a picture."""
        a, b = _state(start), _state(end)
        across, up = self._at(a + (b - a) * part)
        return float(across), float(up)

    def tightest(self, start: Loading, end: Loading) -> list[float]:
        """Parts of the way (0 to 1) at one of which it comes nearest to an edge, along either axis: both ends, where it
        passes a corner's height or its place across, and where it runs along an edge for an instant.

        Between two such places the distance to any edge, along an axis, only grows or only shrinks. At the corner of a
        hollow it may leap, so that there both sides are looked at.
        """
        a, b = _state(start), _state(end)
        change, found = b - a, {0.0, 1.0}
        beside = (-_BESIDE, 0.0, _BESIDE) if self.hollow else (0.0,)
        for at, axis in enumerate((self.across, self.up)):
            for corner in self.corners:  # amount of the axis: a part of the state, or that over the mass
                part, over = _PART[axis]
                rise = change[part] - (corner[at] * change[0] if over else 0.0)
                lacks = (corner[at] * a[0] if over else corner[at]) - a[part]
                if rise:
                    found |= {lacks / rise + near for near in beside}
        turned = [change[part] * a[0] - a[part] * change[0] if over else change[part] for part, over in
                  (_PART[self.across], _PART[self.up])]  # fmt: skip
        curved = [_PART[axis][1] for axis in (self.across, self.up)]
        if curved[0] != curved[1] and change[0]:  # an arm over a sum: a curve, which may touch an edge between corners
            for (x1, y1), (x2, y2) in self.edges:
                square = (y2 - y1) * turned[0], (x2 - x1) * turned[1]
                top, under = square if curved[0] else square[::-1]
                if under and top / under > 0:
                    found.add((math.sqrt(top / under) - a[0]) / change[0])
        return sorted(t for t in found if -1e-12 <= t <= 1 + 1e-12)

    def _at(self, state: Any) -> tuple[float, float]:
        mass, moment, lateral = state
        of = {
            "mass": mass, "moment": moment, "lateral moment": lateral,
            "arm": moment / mass, "lateral arm": lateral / mass,
        }  # fmt: skip
        return of[self.across], of[self.up]

    def _meetings(self, a: Any, b: Any) -> list[float]:
        """Where on the way from one state to another the path meets the line of any edge."""
        mass, moment, lateral = ((float(p), float(q - p)) for p, q in zip(a, b, strict=True))
        arms = any("arm" in axis for axis in (self.across, self.up))
        times = mass if arms else (1.0, 0.0)
        of = {
            "arm": (*moment, 0.0), "lateral arm": (*lateral, 0.0),
            "mass": _product(mass, times), "moment": _product(moment, times),
            "lateral moment": _product(lateral, times),
        }  # fmt: skip
        u, v, whole = of[self.across], of[self.up], (*times, 0.0)
        found = []
        for (x1, y1), (x2, y2) in self.edges:
            line = [(y2 - y1) * (p - x1 * w) - (x2 - x1) * (q - y1 * w) for p, q, w in zip(u, v, whole, strict=True)]
            found += [t for t in _roots(*line) if 0 < t < 1]
        return found


def _product(a: tuple[float, float], b: tuple[float, float]) -> tuple[float, float, float]:
    """Coefficients of (a0 + a1 t) (b0 + b1 t), lowest first."""
    return a[0] * b[0], a[0] * b[1] + a[1] * b[0], a[1] * b[1]


def _roots(c: float, b: float, a: float) -> list[float]:
    """Real roots of a t^2 + b t + c, without loss where two terms nearly cancel; none where it is constant."""
    if a == 0:
        return [-c / b] if b else []
    square = b * b - 4 * a * c
    if square < 0:
        return []
    half = -(b + math.copysign(math.sqrt(square), b)) / 2
    return [half / a, *([c / half] if half else [])]


def _state(load: Loading) -> Any:
    return np.array([float(load.mass.si), float(load.moment.si), float(load.lateral_moment.si)])


def _to_segment(a: tuple[float, float], b: tuple[float, float]) -> float:
    """Distance of the origin to a segment."""
    x, y = b[0] - a[0], b[1] - a[1]
    length = x * x + y * y
    t = min(1.0, max(0.0, -(a[0] * x + a[1] * y) / length)) if length else 0.0
    return math.hypot(a[0] + t * x, a[1] + t * y)


def _spans(edges: Sequence[Any], at: float) -> list[tuple[float, float]]:
    """Stretches inside at a height, half-open at corners so that each counts once; the top edge from below."""
    ys = [p[1] for edge in edges for p in edge]
    low, high = min(ys), max(ys)
    slack = _SLACK * max(abs(low), abs(high))
    if not low - slack <= at <= high + slack:
        return []
    at = min(max(at, low), math.nextafter(high, -math.inf))
    met = []
    for (x1, y1), (x2, y2) in edges:
        if (y1 > at) != (y2 > at):
            met.append(x1 + (x2 - x1) * (at - y1) / (y2 - y1))
    met.sort()
    return list(zip(met[::2], met[1::2], strict=True))


def _nearest(spans: Sequence[tuple[float, float]], at: float) -> tuple[float, float]:
    """The span that holds a value, else the nearest one; not a number where there is none."""
    if not spans:
        return math.nan, math.nan
    return min(spans, key=lambda span: max(span[0] - at, at - span[1], 0.0))


def envelope(corners: Sequence[tuple[Any, Any]], across: str = "arm", up: str = "mass", title: str = "") -> Envelope:
    """An envelope from its corners, in order round it.

    Parameters
    ----------
    corners : sequence of pairs
        (across, up) of each corner as text with units or quantities; three or more. The last is joined to the first.
    across, up : str
        what the axes are, of `AXES`: "arm", "lateral arm", "mass", "moment", "lateral moment".
    title : str
        in words, for pictures.

    Returns
    -------
    Envelope
        The polygon; hollows are allowed, edges that cross are not.

    Raises
    ------
    QuantityError
        Fewer than three corners, an unknown axis, a corner that is not of its kind, edges that cross, no area.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> allowed = envelope([("92 in", "900 lb"), ("92 in", "1310 lb"), ("99 in", "1310 lb"), ("101 in", "900 lb")])
    >>> load = Loading.at("1255 ± 6 lb", "93.5 ± 0.2 in")
    >>> allowed.contains(load), say(allowed.margins(load).low, "in")
    (True, '1.50 ± 0.20 in')
    >>> round(allowed.certainty(load), 1)
    15.0
    """
    for axis in (across, up):
        if axis not in AXES:
            raise QuantityError(f"envelope: an axis must be one of {', '.join(AXES)}, got {axis!r:.40}")
    if across == up:
        raise QuantityError(f"envelope: across and up are both {across}: they must differ")
    if len(corners) < 3:
        raise QuantityError(f"envelope: corners: needs three or more, got {len(corners)}")
    points = tuple(
        (
            float(measured(x, AXES[across], f"{across} of corner {i}").si),
            float(measured(y, AXES[up], f"{up} of corner {i}").si),
        )
        for i, (x, y) in enumerate(corners, 1)
    )
    if len(set(points)) < len(points):
        raise QuantityError("envelope: two corners are the same: leave the closing one out")
    made = Envelope(title, across, up, points)
    edges = made.edges
    for i, one in enumerate(edges):
        for j in range(i + 2, len(edges)):
            if (i, j) != (0, len(edges) - 1) and _cross(*one, *edges[j]):
                raise QuantityError(
                    f"envelope: the edge after corner {i + 1} crosses the one after corner {j + 1}: give the corners "
                    "in order round it"
                )
    area = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in edges) / 2
    wide, high = (max(side) - min(side) for side in zip(*points, strict=True))
    if abs(area) <= 1e-9 * wide * high or not wide * high:
        raise QuantityError("envelope: the corners lie on one line: it has no inside")
    return made


def _cross(a: Any, b: Any, c: Any, d: Any) -> bool:
    def side(p: Any, q: Any, r: Any) -> float:
        return float((q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0]))

    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def burn_path(full: Loading, tanks: Sequence[Any]) -> list[Loading]:
    """The loadings at which the way from full tanks to empty ones turns: the start, and after each tank.

    Parameters
    ----------
    full : Loading
        with all the fuel aboard.
    tanks : sequence
        `Item`s or (name, mass, arm, lateral arm), in the order in which they run empty. Tanks that empty together are
        one item at their common arm.

    Returns
    -------
    list of Loading
        One more than tanks. Between two of them mass and moments fall in proportion (`Envelope.path`).

    Raises
    ------
    QuantityError
        More fuel is burned than there is mass.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> path = burn_path(Loading.at("1255 lb", "96 in"), [("main tank", "100 lb", "104 in")])
    >>> [say(load.arm, "in", digits=4) for load in path]
    ['96.00 in', '95.31 in']
    """
    path = [full]
    for tank in tanks:
        path.append(path[-1].removed(_as_item(tank)))
    return path


def most_that_may_be_added(
    load: Loading, envelopes: Sequence[Envelope], arm: Any, lateral_arm: Any = "0 in", at_most: Any = "1000 lb"
) -> Measured:
    """How much may be put at one place until the loading reaches an edge of any envelope, by its best value.

    Parameters
    ----------
    load : Loading
        as it is.
    envelopes : sequence of Envelope
        all that must hold.
    arm, lateral_arm : Length
        of the place.
    at_most : Mass
        where to stop looking.

    Returns
    -------
    Measured
        The mass; 0 where the loading is outside already; `at_most` where nothing stops it. No uncertainty: it is where
        the best value meets the edge; stay away from it by the loading's own uncertainty.

    Raises
    ------
    QuantityError
        An argument is not of its kind.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> allowed = envelope([("92 in", "900 lb"), ("92 in", "1310 lb"), ("99 in", "1310 lb"), ("101 in", "900 lb")])
    >>> say(most_that_may_be_added(Loading.at("1255 lb", "93 in"), [allowed], "64 in"), "lb", digits=4)
    '44.82 lb'
    """
    most = measured(at_most, Mass, "at_most")
    end = load.added(("added", most, arm, lateral_arm))
    checks = [one.path(load, end) for one in envelopes]
    part = min((1.0 if one.leaves_at is None else one.leaves_at for one in checks), default=1.0)
    return Measured(float(most.si) * part, Mass)


def ballast_that_brings_inside(
    start: Loading,
    end: Loading,
    envelopes: Sequence[Envelope],
    arm: Any,
    lateral_arm: Any = "0 in",
    at_most: Any = "1000 lb",
) -> Measured | None:
    """The least ballast at one place, there from start to end, with which the whole way lies surely inside.

    Parameters
    ----------
    start, end : Loading
        without it, at the flight's start and at its end.
    envelopes : sequence of Envelope
        all that must hold.
    arm, lateral_arm : Length
        of the place, with their uncertainty.
    at_most : Mass
        what the place, and the maximum weight, still allow.

    Returns
    -------
    Measured or None
        The mass, 0 where none is needed; None where no mass up to `at_most` does it. No uncertainty of its own: with it
        the loading lies inside with its whole expanded uncertainty (k = 2), all along the way.

    Raises
    ------
    QuantityError
        An argument is not of its kind.

    Notes
    -----
    Searched in 64 equal steps and then halved: a window narrower than a step of `at_most` may be missed, and is then
    reported as none. Source: statics; FAA-H-8083-1B, p. 10-7 (quoted) for one limit: m (xw - x) / (xb - xw).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> allowed = envelope([("92 in", "900 lb"), ("92 in", "1310 lb"), ("99 in", "1310 lb"), ("99 in", "900 lb")])
    >>> load = Loading.at("1100 lb", "91 in")
    >>> say(ballast_that_brings_inside(load, load, [allowed], "130 in"), "lb", digits=4)  # 1100 (92 - 91) / (130 - 92)
    '28.95 lb'
    """
    most = measured(at_most, Mass, "at_most")

    def surely(mass: float) -> bool:
        here, there = (
            one.added(("ballast", Measured(mass, MassDifference), arm, lateral_arm)) if mass else one
            for one in (start, end)
        )
        if not all(one.path(here, there).inside for one in envelopes):  # quick, and often all that is needed
            return False
        return all(one.standing(here, there).word == IN_LIMITS for one in envelopes)

    if surely(0.0):
        return Measured(0.0, Mass)
    low = 0.0
    for step in range(1, 65):
        high = float(most.si) * step / 64
        if high > 0 and surely(high):
            for _ in range(24):
                middle = (low + high) / 2
                low, high = (low, middle) if surely(middle) else (middle, high)
            return Measured(high, Mass)
        low = high
    return None
