"""A chart of one thing over another: curves, bands, and the day's point with its uncertainty."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from typing import TYPE_CHECKING, Any

import numpy as np

from rotorkit.pictures import paper
from rotorkit.pictures.data import Band, Chart, Curve, Dots, Point
from rotorkit.pictures.paper import BAND, BAND_EDGE, COLOURS, INK, LINES, QUIET, SMALL
from rotorkit.quantities import number_text

if TYPE_CHECKING:
    from numpy.typing import NDArray


LEFT, RIGHT, HEIGHT = 66, 30, 240.0
KEY, FOOT, LOWEST = 0.38, 46, 80.0
"""Of a low chart the key's share of its width, the height below its axes, and how high these are at least."""
GRID = "#e0e0e0"


@dataclass(frozen=True)
class Frame:
    """The area of the axes and what lies at its edges."""

    left: float
    top: float
    width: float
    height: float
    x: tuple[float, float]
    y: tuple[float, float]

    def at(self, x: Any, y: Any) -> tuple[Any, Any]:
        """The place of a point, or of many."""
        return (
            self.left + self.width * (x - self.x[0]) / (self.x[1] - self.x[0]),
            self.top + self.height * (1 - (y - self.y[0]) / (self.y[1] - self.y[0])),
        )

    def held(self, x: float, y: float) -> tuple[float, float]:
        """The place of a point, moved to the edge where it lies outside."""
        return self.at(min(max(x, self.x[0]), self.x[1]), min(max(y, self.y[0]), self.y[1]))

    def holds(self, x: float, y: float) -> bool:
        return self.x[0] <= x <= self.x[1] and self.y[0] <= y <= self.y[1]


def draw_chart(chart: Chart, width: float = 480, low: float = 0.0) -> str:
    """The picture. Axes hold every curve, band and point; the key below names each line in words. low: as `draw` has
    it; the key then stands beside the axes."""
    top, body = heading(chart.title, chart.y_label, width)
    beside = KEY * width if low else 0.0
    foot = FOOT + 15 * (len(paper.wrapped(chart.x_label, width - beside - 28, SMALL)) - 1)
    high = min(max(low - top - foot, LOWEST), HEIGHT) if low else HEIGHT
    frame = _frame(chart, top, width - beside, high)
    body += [_band(band, frame) for band in chart.bands]
    body += axes(frame)
    curves = [_places(frame, one.x, one.y) for one in chart.curves]
    body += [_curve(one, places) for one, places in zip(chart.curves, curves, strict=True)]
    for group in chart.dots:
        body += [_dot(*frame.at(x, y), group.style) for x, y in _finite(group)]
    if chart.points:
        body += points_on(chart.points, frame, _drawn(chart, frame, curves))
    y, along = along_the_foot(chart.x_label, frame, width - beside)
    body += along
    if not beside:
        y, key = _key(chart, y + 22, width)
        return paper.picture(width, y + 2, chart.title, in_words(chart), body + key)
    under, key = _key(chart, top + 12, beside)
    body += paper.moved(key, width - beside)
    return paper.picture(width, max(y + 10, under - 10), chart.title, in_words(chart), body)


def heading(title: str, y_label: str, width: float) -> tuple[float, list[str]]:
    """The title and what runs upwards: the height after them, and their elements."""
    body, top = paper.heading(title, width)
    top += 9
    for part in paper.wrapped(y_label, width - 28, SMALL):
        top += 15
        body.append(paper.text(14, top, part, SMALL, QUIET))
    return top + 10, body


def along_the_foot(x_label: str, frame: Frame, width: float) -> tuple[float, list[str]]:
    """What runs to the right, under the frame: the height of its last line, and its elements."""
    y, lines = frame.top + frame.height + 36, paper.wrapped(x_label, width - 28, SMALL)
    half = max(paper.text_width(one, SMALL) for one in lines) / 2
    middle = min(frame.left + frame.width / 2, width - 14 - half)
    body = [paper.text(middle, y + 15 * i, one, SMALL, QUIET, "middle") for i, one in enumerate(lines)]
    return y + 15 * (len(lines) - 1), body


def points_on(points: Sequence[Point], frame: Frame, lines: Sequence[tuple[float, float]] | NDArray[Any]) -> list[str]:
    """Points with their uncertainties and labels, set where they cover least of the lines (places along them)."""
    known = [point for point in points if math.isfinite(point.x) and math.isfinite(point.y)]
    marks, along = [frame.held(point.x, point.y) for point in known], _array(lines)
    body = [part for point in known for part in _whiskers(point, frame)]
    labels: list[Box] = []
    for point in known:
        label, box = _label(point, frame, along, marks, labels)
        labels.append(box)
        body += label
    return body


def _array(points: Sequence[tuple[float, float]] | NDArray[Any]) -> NDArray[Any]:
    """Points in rows."""
    return np.array(points, dtype=float).reshape(-1, 2)


def _frame(chart: Chart, top: float, width: float, high: float) -> Frame:
    xs: list[float] = []
    ys: list[float] = []
    for curve in chart.curves:
        xs += curve.x
        ys += curve.y
    for band in chart.bands:
        xs += band.x
        ys += [*band.low, *band.high]
    for group in chart.dots:
        xs += group.x
        ys += group.y
    for p in chart.points:
        xs += [p.x - p.x_spread, p.x + p.x_spread]
        ys += [p.y - p.y_spread, p.y + p.y_spread]
    outlined = any(_is_outline(curve) for curve in chart.curves)
    across, up = _span(xs, 0.05 if chart.equal or outlined else 0.0), _span(ys, 0.08)
    wide = width - LEFT - RIGHT
    if chart.equal:
        per = max((across[1] - across[0]) / wide, (up[1] - up[0]) / high)
        across, up = _widened(across, per * wide), _widened(up, per * high)
    return Frame(LEFT, top, wide, high, across, up)


def _is_outline(curve: Curve) -> bool:
    """Whether a curve comes back to where it began: its sides must not lie on the frame's, where nobody sees them."""
    return len(curve.x) > 3 and (curve.x[0], curve.y[0]) == (curve.x[-1], curve.y[-1])


def _widened(span: tuple[float, float], reach: float) -> tuple[float, float]:
    middle = (span[0] + span[1]) / 2
    return middle - reach / 2, middle + reach / 2


def _span(values: Sequence[float], pad: float = 0.0) -> tuple[float, float]:
    finite = [v for v in values if math.isfinite(v)] or [0.0, 1.0]
    low, high = min(finite), max(finite)
    if high - low < 1e-9 * max(abs(low), abs(high), 1e-9):
        reach = max(abs(low) * 0.1, 1.0)
        return low - reach, high + reach
    return low - pad * (high - low), high + pad * (high - low)


def axes(frame: Frame) -> list[str]:
    """Both axes with their figures, and a faint grid."""
    parts = []
    bottom = frame.top + frame.height
    across = paper.nice_ticks(*frame.x, most=6)
    for tick, said in zip(across, paper.tick_texts(across), strict=True):
        x, _ = frame.at(tick, frame.y[0])
        parts += [
            paper.line(x, frame.top, x, bottom, GRID, 1),
            paper.line(x, bottom, x, bottom + 5, INK, 1),
            paper.text(x, bottom + 18, said, SMALL, INK, "middle"),
        ]
    up = paper.nice_ticks(*frame.y, most=7)
    for tick, said in zip(up, paper.tick_texts(up), strict=True):
        _, y = frame.at(frame.x[0], tick)
        parts += [
            paper.line(frame.left, y, frame.left + frame.width, y, GRID, 1),
            paper.line(frame.left - 5, y, frame.left, y, INK, 1),
            paper.text(frame.left - 9, y + 4, said, SMALL, INK, "end"),
        ]
    corner = [(frame.left, frame.top), (frame.left, bottom), (frame.left + frame.width, bottom)]
    return [*parts, paper.path(corner, INK, 1.5)]


def _curve(curve: Curve, places: NDArray[Any]) -> str:
    colour, thick, dashes = LINES.get(curve.style, LINES["main"])
    return paper.path(places.tolist(), colour, thick, dashes) if len(places) > 1 else ""


def _places(frame: Frame, xs: Sequence[float], ys: Sequence[float]) -> NDArray[Any]:
    """Where the points of a line stand, those that are finite, in rows."""
    across, up = np.asarray(xs, dtype=float), np.asarray(ys, dtype=float)
    there = np.isfinite(across) & np.isfinite(up)
    return np.stack(frame.at(across[there], up[there]), axis=1)


def _finite(group: Dots) -> list[tuple[float, float]]:
    return [(x, y) for x, y in zip(group.x, group.y, strict=True) if math.isfinite(x) and math.isfinite(y)]


def _dot(x: float, y: float, style: str) -> str:
    """The mark of one of many points: a disk, or an open square."""
    colour = LINES.get(style, LINES["main"])[0]
    if style == "main":
        return paper.circle(x, y, 4, colour, paper.PAPER, 1)
    return paper.rectangle(x - 4, y - 4, 8, 8, paper.PAPER, colour, 2)


def _band(band: Band, frame: Frame) -> str:
    """The area, filled and hatched, with both its edges drawn."""
    lower = [frame.held(x, y) for x, y in zip(band.x, band.low, strict=True)]
    upper = [frame.held(x, y) for x, y in zip(band.x, band.high, strict=True)]
    if len(lower) < 2:
        return ""
    drawn = paper.polygon([*lower, *reversed(upper)], BAND)
    return drawn + paper.path(lower, BAND_EDGE, 1.5) + paper.path(upper, BAND_EDGE, 1.5)


def _drawn(chart: Chart, frame: Frame, curves: Sequence[NDArray[Any]]) -> NDArray[Any]:
    """Places all along the lines, every few pixels. curves: the points of each curve."""
    sides = [_places(frame, band.x, side) for band in chart.bands for side in (band.low, band.high)]
    lines = [one for one in (*curves, *sides) if len(one)]
    if not lines:
        return _array([])
    places = np.concatenate(lines)
    way = np.diff(places, axis=0)
    steps = np.minimum(100, 1 + (np.hypot(way[:, 0], way[:, 1]) / 6).astype(int))
    steps[np.cumsum([len(one) for one in lines])[:-1] - 1] = 0  # from one line to the next there is none
    nth = np.arange(steps.sum()) - np.repeat(np.cumsum(steps) - steps, steps)
    parts = np.repeat(way, steps, axis=0) * nth[:, None] / np.repeat(steps, steps)[:, None]
    return np.repeat(places[:-1], steps, axis=0) + parts


def _whiskers(point: Point, frame: Frame) -> list[str]:
    """A point's mark with its uncertainties."""
    colour = COLOURS.get(point.word, INK)
    x, y = frame.held(point.x, point.y)
    parts = []
    if point.x_spread:
        ends = [frame.held(point.x + s * point.x_spread, point.y)[0] for s in (-1, 1)]
        parts.append(paper.line(ends[0], y, ends[1], y, colour, 2))
        parts += [paper.line(end, y - 5, end, y + 5, colour, 2) for end in ends]
    if point.y_spread:
        ends = [frame.held(point.x, point.y + s * point.y_spread)[1] for s in (-1, 1)]
        parts.append(paper.line(x, ends[0], x, ends[1], colour, 2))
        parts += [paper.line(x - 5, end, x + 5, end, colour, 2) for end in ends]
    return [*parts, paper.mark(x, y, point.word)]


LABEL, LABEL_HEIGHT = 12.5, 19.0
Box = tuple[float, float, float]
"""Left, top and width of a label."""


def _label(
    point: Point,
    frame: Frame,
    along: NDArray[Any],
    marks: Sequence[tuple[float, float]],
    others: Sequence[Box],
) -> tuple[list[str], Box]:
    """A point's label in a box, with a leader to the mark where it stands away from it."""
    colour = COLOURS.get(point.word, INK)
    said = point.label + (f": {point.word}" if point.word else "")
    wide = paper.text_width(said, LABEL, bold=True) + 10
    x, y = frame.held(point.x, point.y)
    left, top = _free_place(x, y, wide, frame, along, marks, others)
    end = (min(max(x, left), left + wide), min(max(y, top), top + LABEL_HEIGHT))
    leader = [paper.line(x, y, *end, colour, 1)] if math.hypot(end[0] - x, end[1] - y) > 18 else []
    return [
        *leader,
        paper.rectangle(left, top, wide, LABEL_HEIGHT, "#ffffff", colour, 1, 3),
        paper.text(left + wide / 2, top + 14, said, LABEL, colour, "middle", bold=True),
    ], (left, top, wide)


PLACES = tuple(product((10.0, 34.0, 58.0), (0, 1, 2), (False, True)))
"""Where a label may stand, the best first: how far off, to the right, to the left or amid, below or above."""
NEAR_LINE, NEAR_MARK = 4.0, 8.0
"""How far a label keeps from lines and from marks."""


def _free_place(
    x: float, y: float, wide: float, frame: Frame, along: NDArray[Any], marks: Sequence[tuple[float, float]],
    others: Sequence[Box],
) -> tuple[float, float]:  # fmt: skip
    """Where a point's label covers least: no mark and no other label if that can be, then as little line as can be, and
    any number of a line's places before a mark. along: places along the lines, in rows."""
    right, bottom = frame.left + frame.width - wide - 3, frame.top + frame.height - LABEL_HEIGHT - 3
    px, py = along.T
    best, found = math.inf, (x, y)
    for away, across, down in PLACES:
        left = min(max(x + (12.0, -12.0 - wide, -wide / 2)[across], frame.left + 4), right)
        top = min(max(y - away - LABEL_HEIGHT if down else y + away, frame.top + 3), bottom)
        cost = int(away / 8)
        if cost >= best:
            break
        cost += 1000 * sum(
            left - NEAR_MARK < mx < left + wide + NEAR_MARK and top - NEAR_MARK < my < top + NEAR_MARK + LABEL_HEIGHT
            for mx, my in marks
        )
        cost += 1000 * sum(
            left < ox + ow + 3 and ox < left + wide + 3 and abs(top - oy) < LABEL_HEIGHT + 2 for ox, oy, ow in others
        )
        if cost >= best:
            continue
        over = (px > left - NEAR_LINE) & (px < left + wide + NEAR_LINE)
        over &= (py > top - NEAR_LINE) & (py < top + LABEL_HEIGHT + NEAR_LINE)
        cost += int(np.count_nonzero(over))
        if cost < best:
            best, found = cost, (left, top)
    return found


def _key(chart: Chart, y: float, width: float) -> tuple[float, list[str]]:
    """The key: a sample of each line and band with its words. Returns the height after it."""
    parts = []
    for band in chart.bands:
        parts.append(paper.rectangle(14, y - 10, 30, 12, BAND, BAND_EDGE, 1.5))
        y = key_words(parts, band.label, y, width)
    for curve in chart.curves:
        if not curve.label:  # one more of those that are named already
            continue
        colour, thick, dashes = LINES.get(curve.style, LINES["main"])
        parts.append(paper.line(14, y - 4, 44, y - 4, colour, thick, dashes))
        y = key_words(parts, curve.label, y, width)
    for group in chart.dots:
        parts.append(_dot(29, y - 4, group.style))
        y = key_words(parts, group.label, y, width)
    for point in chart.points:
        parts.append(paper.mark(29, y - 4, point.word))
        y = key_words(parts, point_words(point, chart.x_label, chart.y_label), y, width)
    return y, parts


def key_words(parts: list[str], words: str, y: float, width: float) -> float:
    """A line of the key; the height after it."""
    for part in paper.wrapped(words, width - 54 - 12, SMALL):
        parts.append(paper.text(54, y, part, SMALL))
        y += 16
    return y + 3


def _named(value: float, spread: float, label: str) -> str:
    """A value along an axis whose label ends in its unit: "density altitude 3,450 ± 148 ft"."""
    name, _, unit = label.rpartition(", ")
    if not spread:  # where it was put, so without noughts
        number = number_text(value)
        number = number.rstrip("0").rstrip(".") if "." in number and "e" not in number else number
        return f"{name or label} {paper.join_unit(number, unit if name else '')}"
    return f"{name or label} {paper.figure_text(value, spread, unit if name else '')}"


def point_words(point: Point, x_label: str, y_label: str) -> str:
    """A point in words: where it stands, and its verdict. A label that says no more than where it stands is not said
    twice."""
    at = [_named(point.x, point.x_spread, x_label), _named(point.y, point.y_spread, y_label)]
    named = "" if any(one.endswith(f" {point.label}") for one in at) else f"{point.label}: "
    return f"{named}{', '.join(at)}" + (f": {point.word}" if point.word else "")


def in_words(chart: Chart) -> str:
    """What is to be seen: the axes, where each line starts and ends, each point."""
    said = [f"{chart.y_label} over {chart.x_label}."]
    for curve in chart.curves:
        if len(curve.x):
            ends = [f"{number_text(curve.y[i])} at {number_text(curve.x[i])}" for i in (0, -1)]
            said.append(f"{curve.label or 'another'}: from {ends[0]} to {ends[1]}.")
    for band in chart.bands:
        if len(band.x):
            ends = [
                f"{number_text(band.low[i])} to {number_text(band.high[i])} at {number_text(band.x[i])}"
                for i in (0, -1)
            ]
            said.append(f"{band.label}: from {ends[0]}, to {ends[1]}.")
    for group in chart.dots:
        if found := _finite(group):
            ends = [f"{number_text(y)} at {number_text(x)}" for x, y in (min(found), max(found))]
            said.append(f"{group.label}: {len(found)} points, from {ends[0]} to {ends[1]}.")
    return " ".join([*said, *(f"{point_words(point, chart.x_label, chart.y_label)}." for point in chart.points)])
