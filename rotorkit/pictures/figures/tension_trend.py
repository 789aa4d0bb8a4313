"""How a cable's tension is followed over time: the same gauge, the same place, one temperature."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, BAND_EDGE, INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 300

WORDS = (
    "First, the same gauge with the same riser on the same place of the cable, day after day: when it was fitted, "
    "the next day, after some hours, at inspections. Second, each tension is corrected to the manual's temperature "
    "before it is compared, or the seasons would look like a trend. Third, tension over time: a new cable stretches "
    "at first and then holds; one that keeps stretching will reach its limit, and something in it or at its ends is "
    "coming apart."
)


def tension_trend() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Same gauge, same place", 14, INK, bold=True), *_days(),
        number(262, 24, 2), paper.text(280, 29, "One temperature", 14, INK, bold=True), *_carried(),
        number(452, 24, 3), paper.text(470, 29, "Does it hold?", 14, INK, bold=True), *_holds(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How a cable's tension is followed over time", WORDS, body)


def _days() -> list[str]:
    parts = []
    for i, words in enumerate(("fitted", "next day", "inspection")):
        y = 84.0 + 58 * i
        parts += [
            paper.line(30, y, 220, y, INK, 3),
            paper.rectangle(104, y - 2, 44, 20, METAL, INK, 1.5, 4),
            paper.line(124, y - 8, 124, y, ACCENT, 4),
            paper.circle(126, y + 26, 13, PAPER, INK, 1.5),
            paper.line(126, y + 26, 132 - 3 * i, y + 17, ACCENT, 2),
            paper.text(30, y - 10, words, SMALL, INK),
        ]
    parts.append(paragraph("Controls worked and pinned the same way each time.", 24, 272, 220))
    return parts


def _carried() -> list[str]:
    return [
        paper.rectangle(282, 66, 10, 90, PAPER, INK, 1.5, 5),
        paper.circle(287, 162, 10, ACCENT, INK, 1.5),
        paper.rectangle(285, 100, 4, 58, ACCENT),
        paper.arrow(312, 110, 352, 110, QUIET, 2, 9),
        paper.rectangle(362, 66, 10, 90, PAPER, INK, 1.5, 5),
        paper.circle(367, 162, 10, ACCENT, INK, 1.5),
        paper.rectangle(365, 84, 4, 74, ACCENT),
        paper.text(287, 192, "that day's", SMALL, INK, "middle"),
        paper.text(370, 192, "the manual's", SMALL, INK, "middle"),
        paragraph(
            "Each tension is corrected to the manual's temperature, or the seasons would look like a trend.",
            262,
            226,
            170,
        ),
    ]


def _holds() -> list[str]:
    left, bottom = 476.0, 216.0
    good = [(left + 8, 84), (left + 38, 112), (left + 80, 122), (left + 140, 126), (left + 210, 127)]
    bad = [(left + 8, 88), (left + 60, 118), (left + 120, 152), (left + 180, 184)]
    return [
        paper.rectangle(left, 92, 222, 78, BAND, BAND_EDGE, 1.5),
        paper.path([(left, 64), (left, bottom), (left + 222, bottom)], INK, 1.5),
        paper.path(good, BAND_EDGE, 2.5),
        *[paper.circle(px, py, 4, BAND_EDGE, PAPER, 1) for px, py in good],
        paper.path(bad, "#9c1c12", 2.5, "7 4"),
        *[paper.rectangle(px - 4, py - 4, 8, 8, PAPER, "#9c1c12", 2) for px, py in bad],
        paper.text(left + 111, bottom + 18, "time", SMALL, QUIET, "middle"),
        paper.text(left - 4, 58, "tension", SMALL, QUIET),
        label("settles: good", left + 122, 82, (left + 140, 122), 90),
        label("keeps stretching: find out why", left + 14, 162, (left + 118, 156), 96),
        paragraph("Start again whenever the turnbuckle was turned.", left - 24, 262, 230),
    ]
