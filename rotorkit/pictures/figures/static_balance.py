"""How a blade's span moment is weighed: level on two supports, each on a scale, places from the axis of rotation."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 300

WORDS = (
    "First, the blade lies level on two narrow supports, one on each of two scales, at the same two places for every "
    "blade. The places are measured from the axis of rotation, as if the blade were bolted to the hub. Second, both "
    "scales are read at once, less the supports; mass times place, added up, is the blade's span moment. Third, "
    "whole washers go into the tip pocket of the lighter blade, and it is weighed again."
)


def static_balance() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Level on two supports", 14, INK, bold=True),
        number(300, 24, 2), paper.text(318, 29, "Read both at once", 14, INK, bold=True),
        number(530, 24, 3), paper.text(548, 29, "Washers at the tip", 14, INK, bold=True),
        *_blade(), *_scale(190), *_scale(560), *_places(),
        label("washers", 640, 74, (668, 106), 60),
        label("axis of rotation", 24, 74, (60, 92), 100),
        paragraph("The same two places for every blade.", 24, 262, 240),
        paragraph("Subtract the supports' weight; no draft.", 300, 262, 200),
        paragraph("Never more than the manual's mass; weigh again.", 530, 262, 180),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How a blade's span moment is weighed", WORDS, body)


def _blade() -> list[str]:
    return [
        paper.line(60, 80, 60, 250, QUIET, 1.5, "6 3"),
        paper.rectangle(120, 104, 570, 16, METAL, INK, 1.5),
        paper.rectangle(100, 100, 40, 24, PAPER, INK, 1.5),
        paper.rectangle(654, 106, 24, 12, ACCENT, INK, 1.5),
    ]


def _scale(x: float) -> list[str]:
    return [
        paper.line(x - 10, 150, x, 121, INK, 2),
        paper.line(x + 10, 150, x, 121, INK, 2),
        paper.rectangle(x - 44, 150, 88, 36, PAPER, INK, 1.5, 4),
        paper.text(x, 174, "scale", SMALL, INK, "middle"),
    ]


def _places() -> list[str]:
    return [
        paper.arrow(60, 208, 190, 208, ACCENT, 1.5),
        paper.arrow(60, 234, 560, 234, ACCENT, 1.5),
        paper.text(72, 203, "inner place", SMALL, INK),
        paper.text(300, 229, "outer place", SMALL, INK),
    ]
