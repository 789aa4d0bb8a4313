"""How the aircraft is weighed: scales under the points, arms from the datum, seen from the side and from above."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First, seen from the side: the aircraft stands level on its scales; the arm of each point is measured from the "
    "datum, aft positive, between plumb lines on the floor. Second, seen from above: lateral arms are measured from "
    "the plane of symmetry, positive to the right, facing forward. Nose down and left side down are positive."
)


def weigh_in() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "From the side", 14, INK, bold=True), *_side(),
        number(400, 24, 2), paper.text(418, 29, "From above", 14, INK, bold=True), *_above(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How the aircraft is weighed", WORDS, body)


def _side() -> list[str]:
    return [
        paper.line(54, 52, 54, 262, QUIET, 1.5, "6 3"),
        paper.text(54, 46, "datum", SMALL, INK, "middle"),
        paper.rectangle(112, 104, 96, 66, METAL, INK, 1.5, 18),
        paper.line(206, 130, 346, 122, INK, 5),
        paper.line(164, 104, 164, 74, INK, 4),
        paper.line(80, 74, 250, 74, INK, 2),
        paper.line(132, 170, 132, 206, INK, 3),
        paper.line(196, 170, 196, 206, INK, 3),
        paper.rectangle(116, 206, 32, 12, BAND, INK, 1.5),
        paper.rectangle(180, 206, 32, 12, BAND, INK, 1.5),
        paper.line(30, 219, 370, 219, INK, 1.5),
        paper.arrow(54, 240, 132, 240, ACCENT, 2, 9),
        paper.arrow(54, 258, 196, 258, ACCENT, 2, 9),
        label("arms, aft positive", 214, 254, (196, 258), 120),
        label("scale, and its tare", 240, 196, (212, 210), 120),
        paragraph("Level at the levelling points; read and type in any tilt left.", 24, 288, 330),
    ]


def _above() -> list[str]:
    return [
        paper.line(420, 140, 700, 140, QUIET, 1.5, "6 3"),
        paper.rectangle(456, 108, 96, 64, METAL, INK, 1.5, 18),
        paper.line(550, 140, 694, 140, INK, 5),
        paper.rectangle(470, 132, 16, 16, PAPER, INK, 1.5),
        paper.rectangle(536, 184, 16, 16, BAND, INK, 1.5),
        paper.rectangle(536, 80, 16, 16, BAND, INK, 1.5),
        paper.arrow(544, 140, 544, 88, ACCENT, 2, 9),
        paper.arrow(544, 140, 544, 192, QUIET, 2, 9),
        paper.text(560, 92, "right: positive", SMALL, INK),
        paper.text(560, 198, "left: negative", SMALL, INK),
        paper.text(448, 128, "nose", SMALL, INK, "end"),
        paragraph("Three points or four, a row for each.", 400, 288, 290),
    ]
