"""What a bearing carries in each condition of flight, and what its life is worked out from."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First, a shaft in its bearing: the radial load acts across the shaft, like the pull of both runs of a belt; the "
    "axial load acts along it. Second, a typical flight is split into conditions, each with its share of the time, "
    "its load and its speed; twice the load wears a ball bearing eight times as fast."
)


def bearing_life() -> str:
    """The figure as SVG text."""
    y = 170.0
    bars = ((420.0, 70.0, 120.0, "hover"), (490.0, 130.0, 86.0, "cruise"), (620.0, 50.0, 56.0, "ground"))
    body = [
        number(24, 24, 1), paper.text(42, 29, "What it carries", 14, INK, bold=True),
        paper.rectangle(40, y - 14, 290, 28, METAL, INK, 1.5),
        *[paper.rectangle(150, y + side - 13, 44, 26, BAND, INK, 1.5) for side in (-32.0, 32.0)],
        *[paper.circle(172, y + side, 10, PAPER, INK, 1.5) for side in (-32.0, 32.0)],
        paper.rectangle(250, y - 44, 40, 88, METAL, INK, 1.5),
        paper.arrow(270, y + 48, 270, y + 112, ACCENT, 2.5),
        paper.arrow(330, y, 366, y, ACCENT, 2.5),
        label("radial load: both runs of the belt", 70, 262, (268, y + 84), 130),
        label("axial load", 300, 120, (346, y - 3), 70),
        label("inner ring turns, outer is fixed", 40, 78, (160, y - 44), 110),
        paper.line(392, 12, 392, HEIGHT - 12, "#bdbdbd", 1),
        number(416, 24, 2), paper.text(434, 29, "A flight's duty", 14, INK, bold=True),
        paper.line(412, 240, 690, 240, INK, 1.5), paper.line(412, 240, 412, 90, INK, 1.5),
        *[paper.rectangle(x, 240 - high, wide, high, BAND, INK, 1.5) for x, wide, high, _ in bars],
        *[paper.text(x + wide / 2, 256, words, 13, INK, "middle") for x, wide, _, words in bars],
        paper.text(412, 80, "load", 13, INK), paper.text(690, 274, "share of the time", 13, QUIET, "end"),
        paragraph("Twice the load wears a ball bearing eight times as fast.", 412, 300, 280),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "A bearing and its duty", WORDS, body)
