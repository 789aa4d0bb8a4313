"""Blade sections at their angles, each beside a strip that shows how the angle lies in its limit.

The section stands at its true angle, so that a wrong sign is seen at a glance; the strip magnifies the few degrees that
the limit allows, which are too narrow to be seen as a true wedge.
"""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.bars import in_words as row_in_words
from rotorkit.pictures.bars import strip
from rotorkit.pictures.data import AngleRow, Angles, BarRow
from rotorkit.pictures.paper import BAND, BAND_EDGE, INK, METAL, QUIET, SMALL

MARGIN, ROW, SECTION = 14, 92, 150
CHORD = 96
QUARTER = 0.25
SHAPE = [(x / 20) ** 2 for x in range(21)]


def draw_angles(angles: Angles, width: float = 480, columns: int = 1) -> str:
    """The picture: a row for each blade section, and which way is positive in words."""
    body, y = paper.heading(angles.title, width)
    y += 3
    positive = (
        f"Positive, and drawn upwards: {angles.positive}. Each section is drawn at its true angle, leading edge to the "
        "left."
    )
    for part in paper.wrapped(positive, width - 2 * MARGIN, SMALL):
        y += 16
        body.append(paper.text(MARGIN, y, part, SMALL, QUIET))
    y, drawn = paper.rows(angles.rows, _row, y + 12, width, columns)
    body += drawn
    words = f"Positive is {angles.positive}. " + " ".join(in_words(row) for row in angles.rows)
    return paper.picture(width, y + 4, angles.title, words, body)


def _bar(row: AngleRow) -> BarRow:
    return BarRow(row.label, row.angle, row.spread, row.low, row.high, "°", row.word)


def in_words(row: AngleRow) -> str:
    """One row as a sentence, with the way the leading edge points."""
    way = "positive" if row.angle > 0 else "negative" if row.angle < 0 else "level"
    return row_in_words(_bar(row)).removesuffix(".") + f" ({way})."


def _row(row: AngleRow, y: float, width: float) -> tuple[float, list[str]]:
    """One row from the height y downwards: how much height it takes, and its elements."""
    left = MARGIN + SECTION + 16
    parts = [paper.line(MARGIN, y, width - MARGIN, y, "#e0e0e0", 1)]
    parts += _section(row, MARGIN + SECTION * 0.5, y + ROW / 2)
    room = width - left - MARGIN
    word_width, verdict = paper.verdict(width - MARGIN, y + 20, row.word)
    beside = paper.text_width(row.label, bold=True) + word_width + 8 <= room
    label = paper.wrapped(row.label, room / 1.1)[:2]
    if not beside:  # the verdict gets a line of its own
        _, verdict = paper.verdict(width - MARGIN, y + 20 + 16 * len(label), row.word)
    down = 0 if beside else 16 * len(label)
    parts += [paper.text(left, y + 20 + 15 * i, part, bold=True) for i, part in enumerate(label)]
    return ROW + down, [*parts, verdict, *strip(_bar(row), left, y + 60 + down, room)]


def _section(row: AngleRow, x: float, y: float) -> list[str]:
    """The section about its quarter chord, with the zero line, the limit's wedge and an arrow for the turn."""
    if not math.isfinite(row.angle):
        return []
    half = SECTION / 2
    pivot = (x + CHORD * (QUARTER - 0.5), y)
    ahead = pivot[0] - (x - half)  # how far the zero line runs ahead of the pivot
    parts = [paper.line(x - half, y, x + half, y, QUIET, 1, "5 3")]
    if row.low is not None or row.high is not None:
        low = row.low if row.low is not None else min(row.angle, row.high or 0.0) - 6
        high = row.high if row.high is not None else max(row.angle, row.low or 0.0) + 6
        reach = ahead - 2
        arc = [_turned(pivot, -reach, low + (high - low) * i / 8) for i in range(9)]
        parts.append(paper.polygon([pivot, *arc], BAND, BAND_EDGE, 1))
    parts.append(blade_section(pivot, CHORD, row.angle))
    parts.append(paper.circle(*pivot, 2.5, INK))
    if abs(row.angle) >= 0.3:
        parts += _turn(pivot, CHORD * (1 - QUARTER) + 14, row.angle)
    sign = "+" if row.angle > 0 else "−" if row.angle < 0 else ""
    parts.append(
        paper.text(x + half, y + (16 if row.angle <= 0 else -8), f"{sign}{abs(row.angle):.1f}°", SMALL, INK, "end")
    )
    return parts


def _turn(pivot: tuple[float, float], radius: float, degrees: float) -> list[str]:
    """An arc from the zero line to the trailing edge's place, with a head where there is room for one."""
    steps = max(2, int(abs(degrees) / 3))
    arc = [_turned(pivot, radius, degrees * i / steps) for i in range(steps + 1)]
    parts = [paper.path(arc, INK, 1.2)]
    (x0, y0), (x1, y1) = arc[-2], arc[-1]
    if abs(degrees) * radius * math.pi / 180 > 8:
        parts.append(paper.arrow_head(x1, y1, math.atan2(y1 - y0, x1 - x0), INK, 6))
    return parts


def _turned(pivot: tuple[float, float], along: float, degrees: float) -> tuple[float, float]:
    """A point `along` the chord from the pivot (positive towards the trailing edge), turned leading edge up by
    degrees.
    """
    angle = math.radians(degrees)
    return pivot[0] + along * math.cos(angle), pivot[1] + along * math.sin(angle)


def blade_section(pivot: tuple[float, float], chord: float, degrees: float, fill: str = METAL) -> str:
    """A symmetrical section, leading edge to the left, turned about its quarter chord, leading edge up for a positive
    angle. The thickness is that of a common 12 per cent section (a drawing, not a dimension)."""
    angle = math.radians(degrees)
    cosine, sine = math.cos(angle), math.sin(angle)

    def placed(x: float, up: float) -> tuple[float, float]:
        along, across = (x - QUARTER) * chord, up * chord
        return pivot[0] + along * cosine + across * sine, pivot[1] + along * sine - across * cosine

    upper = [placed(x, _thickness(x)) for x in SHAPE]
    lower = [placed(x, -_thickness(x)) for x in reversed(SHAPE[:-1])]
    chord_line = paper.line(*placed(0.0, 0.0), *placed(1.0, 0.0), QUIET, 0.8)
    return paper.polygon([*upper, *lower], fill, INK, 1.5) + chord_line


def _thickness(x: float) -> float:
    return 0.6 * (0.2969 * math.sqrt(x) - 0.126 * x - 0.3516 * x**2 + 0.2843 * x**3 - 0.1036 * x**4)
