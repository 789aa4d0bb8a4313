"""A key, a spline and a bolted flange: what is measured of each."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER

WIDTH, HEIGHT = 720, 320

WORDS = (
    "Three connections seen along their shafts. First, a key between shaft and hub: shaft diameter, width and height "
    "of the key; its length runs along the shaft. Second, a spline: mean diameter between tips and roots, and the "
    "height over which the teeth touch. Third, a flange: bolt circle and bolts; faces and holes are inspected with a "
    "lamp for dust and signs of movement."
)


def _across(left: float, right: float, y: float) -> list[str]:
    """A measure between two places, with an arrow to either side."""
    middle = (left + right) / 2
    return [paper.arrow(middle, y, left, y, ACCENT), paper.arrow(middle, y, right, y, ACCENT)]


def shaft_connections() -> str:
    """The figure as SVG text."""
    y = 150.0
    teeth = []
    for a in range(0, 360, 30):
        at = math.radians(a)
        teeth.append(paper.circle(360 + 55 * math.cos(at), y + 55 * math.sin(at), 7, METAL, INK, 1.5))
    bolts = [
        paper.circle(600 + 56 * math.cos(math.radians(a)), y + 56 * math.sin(math.radians(a)), 9, PAPER, INK, 1.5)
        for a in range(0, 360, 60)
    ]
    body = [
        number(24, 24, 1), paper.text(42, 29, "Key", 14, INK, bold=True),
        paper.circle(120, y, 78, BAND, INK, 1.5), paper.circle(120, y, 48, METAL, INK, 1.5),
        paper.rectangle(107, y - 64, 26, 32, PAPER, INK, 1.5),
        *_across(72, 168, y + 104), label("shaft diameter", 120, y + 124, anchor="middle"),
        label("width, height", 178, 62, (134, y - 50), 60),
        paper.line(240, 12, 240, 220, "#bdbdbd", 1),
        number(264, 24, 2), paper.text(282, 29, "Spline", 14, INK, bold=True),
        paper.circle(360, y, 78, BAND, INK, 1.5), *teeth, paper.circle(360, y, 50, METAL, INK, 1.5),
        *_across(305, 415, y + 104), label("mean diameter", 360, y + 124, anchor="middle"),
        label("height that touches", 424, 62, (390, y - 46), 60),
        paper.line(480, 12, 480, 220, "#bdbdbd", 1),
        number(504, 24, 3), paper.text(522, 29, "Flange", 14, INK, bold=True),
        paper.circle(600, y, 78, BAND, INK, 1.5), *bolts, paper.circle(600, y, 26, METAL, INK, 1.5),
        *_across(544, 656, y + 104), label("bolt circle", 600, y + 124, anchor="middle"),
        paragraph("Lengths are along the shaft: for the key, what bears; for the spline, what is engaged. Inspect "
                  "every seat with lamp and mirror: red or black dust, or paint marks out of line, mean that it "
                  "moves.", 24, 292, 660),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "A key, a spline and a bolted flange", WORDS, body)
