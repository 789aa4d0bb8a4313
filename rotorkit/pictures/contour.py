"""Lines of equal value over two things, with the day's point on them: the heavy line is where nothing is left."""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np

from rotorkit.pictures import paper
from rotorkit.pictures.chart import (
    HEIGHT,
    LEFT,
    RIGHT,
    Frame,
    along_the_foot,
    axes,
    heading,
    key_words,
    point_words,
    points_on,
)
from rotorkit.pictures.data import Contour
from rotorkit.pictures.paper import BAND_EDGE, INK, join_unit

MOST_LINES = 9
BELOW = "#f3e3e1"
LABEL = 12.0
ZERO, ASKED = (INK, 3.0, ""), ("#7a4b00", 2.0, "7 4")
EVERY = (BAND_EDGE, 1.2, "")

Line = list[tuple[float, float]]
Label = tuple[float, float, float]
"""Middle and width of a value written on its line."""


def draw_contour(contour: Contour, width: float = 480) -> str:
    """The picture: lines at round values, each with its value beside it; what lies beyond the heavy line is shaded."""
    values = np.asarray(contour.values, dtype=float)
    top, body = heading(contour.title, contour.y_label, width)
    frame = Frame(LEFT, top, width - LEFT - RIGHT, HEIGHT, (contour.x[0], contour.x[-1]), (contour.y[0], contour.y[-1]))
    body += _shaded(contour, values, frame)
    body += axes(frame)
    asked = None if contour.asked is None else contour.asked[0]
    shown = [(0.0, ZERO)] + ([] if asked is None else [(asked, ASKED)])
    shown += [(one, EVERY) for one in _levels(values) if one and (asked is None or abs(one - asked) > 1e-9)]
    drawn: list[tuple[float, float]] = []
    labels: list[Label] = []
    written: list[str] = []  # the lines that matter most have the first choice of a place for their value
    for level, style in shown:
        for line in lines_at(contour, level):
            places = [frame.at(x, y) for x, y in line]
            body.append(paper.path(places, *style))
            drawn += _all_along(places)
            written += _value(join_unit(f"{level:,.6g}".replace("-", "−"), contour.unit), style, places, frame, labels)
    body += written
    body += points_on(contour.points, frame, [*drawn, *((x, y) for x, y, _ in labels)])
    y, along = along_the_foot(contour.x_label, frame, width)
    body += along
    y, key = _key(contour, y + 22, width)
    return paper.picture(width, y + 2, contour.title, in_words(contour, values), body + key)


def _levels(values: Any) -> list[float]:
    known = values[np.isfinite(values)]
    return paper.nice_ticks(float(known.min()), float(known.max()), MOST_LINES) if known.size else []


def lines_at(contour: Contour, level: float) -> list[Line]:
    """The lines on which the value is `level`, each as the points that it runs through."""
    import contourpy

    values = np.ma.masked_invalid(np.asarray(contour.values, dtype=float))
    made = contourpy.contour_generator(np.asarray(contour.x, dtype=float), np.asarray(contour.y, dtype=float), values)
    found: Any = made.lines(level)
    return [[(float(x), float(y)) for x, y in one] for one in found]


def _shaded(contour: Contour, values: Any, frame: Frame) -> list[str]:
    """The area in which less than nothing is left, or no figure can be had: row by row, cut at the heavy line."""
    x = np.asarray(contour.x, dtype=float)
    filled = np.where(np.isfinite(values), values, -1.0)
    parts = []
    for row in range(len(contour.y) - 1):
        low, high = filled[row], filled[row + 1]
        _, top = frame.at(x[0], contour.y[row + 1])
        _, bottom = frame.at(x[0], contour.y[row])
        for start, end in _runs((low + high) / 2, x):
            left, right = frame.at(start, contour.y[row])[0], frame.at(end, contour.y[row])[0]
            parts.append(paper.rectangle(left, top, right - left, bottom - top + 0.3, BELOW))
    return parts


def _runs(values: Any, x: Any) -> list[tuple[float, float]]:
    """Where along a row the values are below nothing: from and to, on straight lines between the columns."""
    runs, start = [], float(x[0]) if values[0] < 0 else None
    for i in range(len(x) - 1):
        if (values[i] < 0) != (values[i + 1] < 0):
            at = float(x[i] + (x[i + 1] - x[i]) * values[i] / (values[i] - values[i + 1]))
            if start is None:
                start = at
            else:
                runs.append((start, at))
                start = None
    if start is not None:
        runs.append((start, float(x[-1])))
    return runs


def _all_along(places: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """Places every few pixels along a line."""
    found = []
    for (x0, y0), (x1, y1) in itertools.pairwise(places):
        steps = 1 + int(math.hypot(x1 - x0, y1 - y0) / 8)
        found += [(x0 + (x1 - x0) * i / steps, y0 + (y1 - y0) * i / steps) for i in range(steps)]
    return found


def _value(
    said: str, style: tuple[str, float, str], places: list[tuple[float, float]], frame: Frame, labels: list[Label]
) -> list[str]:
    """A line's value written on it, where there is room; its place is added to the labels."""
    wide = paper.text_width(said, LABEL, bold=True)
    place = _label_place(places, wide, frame, labels)
    if place is None:
        return []
    x, y = place
    labels.append((x, y, wide))
    return [
        paper.rectangle(x - wide / 2 - 2, y - 8.5, wide + 4, 15, paper.PAPER, round_=2),
        paper.text(x, y + 3.5, said, LABEL, style[0], "middle", bold=True),
    ]


def _label_place(
    places: list[tuple[float, float]], wide: float, frame: Frame, taken: list[Label]
) -> tuple[float, float] | None:
    """A place along a line for its value, within the axes, away from the line's ends and from other labels."""
    length = sum(math.hypot(b[0] - a[0], b[1] - a[1]) for a, b in itertools.pairwise(places))
    if length < 60:
        return None
    for share in (0.5, 0.35, 0.65, 0.25, 0.75):
        x, y = places[int(share * (len(places) - 1))]
        inside = frame.left + wide / 2 < x < frame.left + frame.width - wide / 2
        if inside and all(abs(x - tx) > (wide + other) / 2 + 6 or abs(y - ty) > 16 for tx, ty, other in taken):
            return x, y
    return None


def _key(contour: Contour, y: float, width: float) -> tuple[float, list[str]]:
    parts: list[str] = []
    values = np.asarray(contour.values, dtype=float)
    if lines_at(contour, 0.0):
        parts.append(paper.line(14, y - 4, 44, y - 4, *ZERO))
        y = key_words(parts, contour.zero, y, width)
    if contour.asked is not None:
        parts.append(paper.line(14, y - 4, 44, y - 4, *ASKED))
        y = key_words(parts, contour.asked[1], y, width)
    if not (values >= 0).all():
        parts.append(paper.rectangle(14, y - 10, 30, 12, BELOW, INK, 0.5))
        y = key_words(parts, contour.below, y, width)
    for point in contour.points:
        parts.append(paper.mark(29, y - 4, point.word))
        y = key_words(parts, point_words(point, contour.x_label, contour.y_label), y, width)
    return y, parts


def in_words(contour: Contour, values: Any) -> str:
    """What is to be seen: the corners, where the heavy line starts and ends, the points."""
    corners = [
        f"{join_unit(f'{values[row, column]:,.4g}', contour.unit)} at {contour.x[column]:,.4g} and "
        f"{contour.y[row]:,.4g}"
        for row in (0, -1) for column in (0, -1) if math.isfinite(values[row, column])
    ]  # fmt: skip
    said = [f"Over {contour.x_label} and {contour.y_label}: {', '.join(corners)}."]
    for line in lines_at(contour, 0.0):
        ends = [f"{x:,.4g} and {y:,.4g}" for x, y in (line[0], line[-1])]
        said.append(f"{contour.zero}: from {ends[0]} to {ends[1]}.")
    said += [f"{point_words(point, contour.x_label, contour.y_label)}." for point in contour.points]
    return " ".join(said)
