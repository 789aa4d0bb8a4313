"""Figures against their limits, one under the other, each on its own scale."""

from __future__ import annotations

import math
import pickle
from dataclasses import dataclass

from rotorkit.edges.recent import Recent
from rotorkit.pictures import paper
from rotorkit.pictures.data import BarRow, Bars
from rotorkit.pictures.paper import BAND, BAND_EDGE, COLOURS, QUIET, SMALL, figure_text, side_text, text_width

MARGIN = 14
ROW, STRIP, FOOT = 76, 42, 6
FARTHEST = 4.0
"""How many widths of the limit the scale may be stretched to hold a figure; beyond, an arrow at the edge shows it."""


def draw_bars(bars: Bars, width: float = 480, columns: int = 1) -> str:
    """The picture. Each row: label and verdict in words, the figure above its mark, the limit's sides below."""
    body, y = paper.heading(bars.title, width)
    y, drawn = paper.rows(bars.rows, _row, y + 11, width, columns)
    body += drawn
    if not bars.rows:
        y += 22
        body.append(paper.text(MARGIN, y, "No figure here has a limit.", colour=QUIET))
    return paper.picture(width, y + FOOT, bars.title, " ".join(in_words(row) for row in bars.rows), body)


def in_words(row: BarRow) -> str:
    """One row as a sentence."""
    return (
        f"{row.label}: {figure_text(row.value, row.spread, row.unit)}, "
        f"limit {paper.limit_text(row.low, row.high, row.unit, row.digits)}: {row.shown or row.word}."
    )


_ROWS = Recent[tuple[float, list[str]]](256)
"""Rows drawn last, by all that they show and where."""


def _row(row: BarRow, y: float, width: float) -> tuple[float, list[str]]:
    """One row from the height y downwards: how much height it takes, and its elements."""
    return _ROWS.get((pickle.dumps(row), y, width), lambda: _row_drawn(row, y, width))


def _row_drawn(row: BarRow, y: float, width: float) -> tuple[float, list[str]]:
    word_width, verdict = paper.verdict(width - MARGIN, y + 14, row.word, row.shown)
    lines = paper.wrapped(row.label, (width - 2 * MARGIN - word_width - 8) / 1.1)
    parts = [paper.text(MARGIN, y + 14 + 15 * i, part, bold=True) for i, part in enumerate(lines)]
    down = 15.0 * (len(lines) - 1)
    return ROW + down, [*parts, verdict, *strip(row, MARGIN, y + STRIP + down, width - 2 * MARGIN)]


@dataclass(frozen=True)
class Scale:
    """Where values lie on a strip from `left` that is `width` long."""

    low: float
    high: float
    left: float
    width: float

    def at(self, value: float) -> float:
        """The place of a value, held within the strip."""
        share = (value - self.low) / (self.high - self.low)
        return self.left + self.width * min(max(share, 0.0), 1.0)

    def holds(self, value: float) -> bool:
        return self.low <= value <= self.high


def scale_of(row: BarRow, left: float, width: float) -> Scale:
    """A scale that shows the whole limit, and the figure with its whiskers where they are not too far off."""
    sides = [side for side in (row.low, row.high) if side is not None]
    ends = [row.value - row.spread, row.value + row.spread]
    if len(sides) == 2 and sides[1] > sides[0]:
        unit = sides[1] - sides[0]
        low = max(min(*ends, sides[0] - 0.35 * unit), sides[0] - FARTHEST * unit)
        high = min(max(*ends, sides[1] + 0.35 * unit), sides[1] + FARTHEST * unit)
        pad = 0.06 * (high - low)
        return Scale(low - pad, high + pad, left, width)
    points = sides + ends if sides else ends
    reach = max(max(points) - min(points), 0.1 * max((abs(p) for p in points), default=0.0), 1e-9)
    low, high = min(points) - 0.3 * reach, max(points) + 0.3 * reach
    return Scale(low, high, left, width)


def strip(row: BarRow, left: float, y: float, width: float) -> list[str]:
    """The strip alone: the limit as a band, the figure's mark with its whisker, numbers above and below."""
    if not (math.isfinite(row.value) and math.isfinite(row.spread)):
        return [paper.text(left, y, "no figure", colour=QUIET)]
    scale = scale_of(row, left, width)
    right = left + width
    parts = [paper.line(left, y, right, y, QUIET, 1)]
    if row.low is not None or row.high is not None:
        parts += _band(row, scale, y)
    colour = COLOURS.get(row.word, QUIET)
    place = scale.at(row.value)
    parts += _whisker(row, scale, y, colour)
    beyond = "" if scale.holds(row.value) else ("right" if row.value > scale.high else "left")
    if beyond:
        parts.append(paper.arrow_head(place, y, 0.0 if beyond == "right" else math.pi, colour, 14))
    else:
        parts.append(paper.mark(place, y, row.word))
    said = figure_text(row.value, row.spread, row.unit)
    parts.append(_held(place, y - 13, said, left, right, 13, colour, bold=True))
    return parts


def _band(row: BarRow, scale: Scale, y: float) -> list[str]:
    """The limit: a band between its sides, open at a side that is not given, each side's number below its edge."""
    left, right = scale.left, scale.left + scale.width
    start = left if row.low is None else scale.at(row.low)
    end = right if row.high is None else scale.at(row.high)
    parts = [paper.rectangle(start, y - 8, end - start, 16, BAND), paper.line(start, y, end, y, BAND_EDGE, 1)]
    texts = []
    for side, place, inward in ((row.low, start, 1), (row.high, end, -1)):
        if side is None:
            continue
        parts.append(paper.line(place, y - 11, place, y + 11, BAND_EDGE, 2.5))
        # a short foot to the inner side tells which side of the line is allowed, without its colour
        parts += [paper.line(place, y + edge, place + 5 * inward, y + edge, BAND_EDGE, 2.5) for edge in (-10, 10)]
        texts.append((place, side_text(side, row.unit, row.digits)))
    if (
        len(texts) == 2
        and texts[1][0] - texts[0][0] < (text_width(texts[0][1], SMALL) + text_width(texts[1][1], SMALL)) / 2 + 8
    ):
        both = f"{texts[0][1]} to {texts[1][1]}"
        parts.append(_held((start + end) / 2, y + 24, both, left, right, SMALL, BAND_EDGE))
    elif len(texts) == 2:
        parts += [_held(place, y + 24, said, left, right, SMALL, BAND_EDGE) for place, said in texts]
    else:
        place, said = texts[0]
        words = f"{said} or more" if row.low is not None else f"{said} or less"
        parts.append(_held(place, y + 24, words, left, right, SMALL, BAND_EDGE))
        tip = right - 3 if row.high is None else left + 3
        parts.append(paper.arrow_head(tip, y, 0.0 if row.high is None else math.pi, BAND_EDGE, 8))
    return parts


def _whisker(row: BarRow, scale: Scale, y: float, colour: str) -> list[str]:
    """The expanded uncertainty: a line with end strokes; an end beyond the scale runs out in an arrow."""
    if not row.spread:
        return []
    ends = (row.value - row.spread, row.value + row.spread)
    places = [scale.at(end) for end in ends]
    parts = [paper.line(places[0], y, places[1], y, colour, 3)]
    for end, place, away in zip(ends, places, (math.pi, 0.0), strict=True):
        if scale.holds(end):
            parts.append(paper.line(place, y - 6, place, y + 6, colour, 2.5))
        elif scale.holds(row.value) or (end > scale.high) != (away == math.pi):
            parts.append(paper.arrow_head(place, y, away, colour, 9))
    return parts


def _held(
    x: float, y: float, words: str, left: float, right: float, size: float, colour: str, bold: bool = False
) -> str:
    """Words centred on x, moved inwards where they would run over the edge."""
    half = text_width(words, size, bold) / 2
    centre = min(max(x, left + half), right - half) if 2 * half < right - left else (left + right) / 2
    return paper.text(centre, y, words, size, colour, "middle", bold)
