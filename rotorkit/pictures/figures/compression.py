"""How the differential compression test is set up: two gauges with an orifice between them, the crank held."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER

WIDTH, HEIGHT = 720, 290

WORDS = (
    "First, regulated air goes through a known orifice between two gauges into the cylinder, with the piston at the "
    "top of its compression stroke. Second, the difference between the two gauges is what leaks past valves and "
    "rings; hold the crank all the time."
)


def compression() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Air through a known orifice", 14, INK, bold=True), *_tester(),
        number(430, 24, 2), paper.text(448, 29, "Piston at the top, crank held", 14, INK, bold=True), *_cylinder(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How compression is tested", WORDS, body)


def _tester() -> list[str]:
    return [
        paper.arrow(30, 160, 96, 160, ACCENT, 2, 9),
        paper.rectangle(96, 150, 250, 20, METAL, INK, 1.5),
        paper.circle(140, 112, 26, PAPER, INK, 1.5),
        paper.line(140, 112, 154, 96, INK, 2),
        paper.line(140, 138, 140, 150, INK, 3),
        paper.circle(300, 112, 26, PAPER, INK, 1.5),
        paper.line(300, 112, 306, 92, INK, 2),
        paper.line(300, 138, 300, 150, INK, 3),
        paper.rectangle(214, 150, 12, 20, ACCENT, INK, 1.5),
        paper.line(346, 160, 470, 160, INK, 2),
        label("regulated", 112, 76, None, 80),
        label("cylinder", 276, 76, None, 80),
        label("orifice, by the bore", 176, 204, (220, 170), 130),
        paragraph("Open the air slowly up to the regulated pressure.", 24, 260, 320),
    ]


def _cylinder() -> list[str]:
    return [
        paper.rectangle(470, 82, 14, 130, METAL, INK, 1.5),
        paper.rectangle(574, 82, 14, 130, METAL, INK, 1.5),
        paper.rectangle(470, 70, 118, 14, METAL, INK, 1.5),
        paper.rectangle(486, 94, 86, 44, BAND, INK, 1.5, 4),
        paper.line(529, 124, 529, 218, INK, 5),
        paper.circle(529, 124, 5, PAPER, INK, 1.5),
        paper.circle(529, 218, 6, PAPER, INK, 1.5),
        label("exhaust or intake: a valve; breather: rings", 602, 110, (572, 104), 100),
        paragraph("Listen where it escapes. Nobody near the rotor.", 430, 260, 280),
    ]
