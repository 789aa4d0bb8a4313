"""How rotor track is read: coloured tips, a flag brought in once, the marks measured."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 290

WORDS = (
    "First, each blade's tip is colored with a different chalk. Second, with the rotor at the manual's speed a flag on "
    "a pole is brought in once, slowly, from outside the disk, until every tip has touched it; everybody else stays "
    "clear. Third, the middle of each mark is measured above one line of the flag; the highest less the lowest is the "
    "track."
)


def rotor_track() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Colour each tip", 14, INK, bold=True), *_tips(),
        number(252, 24, 2), paper.text(270, 29, "Bring the flag in once", 14, INK, bold=True), *_flag(),
        number(500, 24, 3), paper.text(518, 29, "Measure the marks", 14, INK, bold=True), *_marks(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How rotor track is read", WORDS, body)


def _tips() -> list[str]:
    return [
        paper.rectangle(30, 92, 170, 14, METAL, INK, 1.5),
        paper.rectangle(182, 92, 18, 14, ACCENT, INK, 1.5),
        paper.rectangle(30, 142, 170, 14, METAL, INK, 1.5),
        paper.rectangle(182, 142, 18, 14, PAPER, INK, 1.5),
        label("one colour", 120, 74, (190, 90), 80),
        label("another", 120, 184, (190, 158), 80),
        paragraph("Rotor still, and tied down, while you do it.", 24, 240, 200),
    ]


def _flag() -> list[str]:
    return [
        paper.line(258, 122, 372, 118, INK, 4),
        paper.line(258, 130, 372, 134, QUIET, 4),
        paper.line(392, 70, 392, 220, INK, 4),
        paper.rectangle(380, 84, 12, 84, BAND, INK, 1.5),
        paper.arrow(452, 128, 404, 128, ACCENT, 2, 9),
        label("tips, as they pass", 262, 92, (340, 118), 110),
        label("flag on its pole", 404, 164, (394, 180), 60),
        paragraph("Nobody near except the one with the flag; no loose things.", 252, 240, 220),
    ]


def _marks() -> list[str]:
    return [
        paper.rectangle(560, 62, 60, 150, BAND, INK, 1.5),
        paper.line(556, 194, 624, 194, INK, 1.5, "6 3"),
        paper.rectangle(576, 98, 28, 9, ACCENT, INK, 1),
        paper.rectangle(576, 138, 28, 9, PAPER, INK, 1),
        paper.arrow(640, 194, 640, 103, ACCENT, 1.5),
        paper.arrow(658, 194, 658, 143, QUIET, 1.5),
        paper.text(548, 198, "one line", SMALL, INK, "end"),
        paper.text(548, 107, "high", SMALL, INK, "end"),
        paper.text(548, 147, "low", SMALL, INK, "end"),
        paragraph("Middle of each mark above the line. Three flags tell you more than one.", 500, 240, 200),
    ]
