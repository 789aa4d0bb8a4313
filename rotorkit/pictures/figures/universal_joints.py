"""A shaft with two universal joints: which angles are measured, and how its yokes must lie."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL

WIDTH, HEIGHT = 720, 320

WORDS = (
    "A driving shaft, a shaft between two universal joints, and the driven shaft, all in one plane. The angle of a "
    "joint is between the line of one shaft and the line of the next; the two angles are equal. Below, the shaft in "
    "between, drawn twice: with its two yokes in one plane, as they must be, and with one a quarter turn out, which "
    "is wrong."
)


def universal_joints() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Angles between the shafts", 14, INK, bold=True),
        paper.line(40, 90, 200, 90, METAL, 12), paper.line(200, 90, 460, 150, METAL, 12),
        paper.line(460, 150, 640, 150, METAL, 12),
        paper.line(200, 90, 340, 90, ACCENT, 1.5, "4 3"), paper.line(460, 150, 600, 182, ACCENT, 1.5, "4 3"),
        paper.circle(200, 90, 12, BAND, INK, 1.5), paper.circle(460, 150, 12, BAND, INK, 1.5),
        label("first joint: this angle", 350, 84, (310, 102), 160), label("second joint", 612, 190, (560, 162), 100),
        label("driving", 90, 70, anchor="middle"), label("driven", 620, 136, anchor="middle"),
        number(24, 214, 2), paper.text(42, 219, "Yokes of the middle shaft", 14, INK, bold=True),
        paper.line(60, 256, 220, 256, METAL, 10), paper.line(60, 242, 60, 270, INK, 5),
        paper.line(220, 242, 220, 270, INK, 5), label("in one plane: right", 140, 286, anchor="middle"),
        paper.line(300, 256, 460, 256, METAL, 10), paper.line(300, 242, 300, 270, INK, 5),
        paper.circle(460, 256, 7, INK, INK, 1), label("a quarter turn apart: wrong", 380, 286, anchor="middle"),
        paragraph("All three shafts in one plane and both angles equal: then the driven shaft turns evenly.", 500, 236,
                  200),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "Universal joints", WORDS, body)
