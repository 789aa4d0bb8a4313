"""How the mixture is checked on the ground: exhaust over fuel flow, and why a helicopter is not leaned in flight."""

from __future__ import annotations

import itertools

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First: as the mixture is leaned step by step the exhaust gets hotter, passes its peak and cools; how far full "
    "rich is below the peak is read from the rich side. Second: with no propeller to keep it turning, an engine that "
    "stops in flight is disconnected from the rotor at once by the one-way clutch: never lean a helicopter in flight."
)


def mixture() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Lean it on the ground", 14, INK, bold=True), *_curve(),
        number(400, 24, 2), paper.text(418, 29, "Never in flight", 14, INK, bold=True), *_clutch(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How the mixture is checked", WORDS, body)


def _curve() -> list[str]:
    places = [(84, 150), (116, 116), (150, 98), (186, 92), (222, 98), (268, 120), (330, 166)]
    return [
        paper.line(54, 230, 366, 230, QUIET, 1),
        paper.line(54, 230, 54, 66, QUIET, 1),
        paper.text(366, 246, "fuel flow: rich to the right", SMALL, INK, "end"),
        paper.text(60, 62, "exhaust", SMALL, INK),
        *(paper.line(*a, *b, INK, 2) for a, b in itertools.pairwise(places)),
        *(paper.circle(x, y, 4, PAPER, INK, 1.5) for x, y in places),
        paper.line(186, 92, 352, 92, QUIET, 1, "3 2"),
        paper.arrow(330, 92, 330, 162, ACCENT, 2, 9),
        label("peak", 174, 82, None, 40),
        label("full rich", 306, 186, None, 60),
        label("below its peak", 338, 118, None, 44),
        paragraph("Small steps, each settled; then full rich at once, and leave it there.", 24, 282, 330),
    ]


def _clutch() -> list[str]:
    return [
        paper.rectangle(424, 150, 84, 56, METAL, INK, 1.5, 6),
        paper.text(466, 182, "engine", SMALL, INK, "middle"),
        paper.line(508, 178, 560, 178, INK, 4),
        paper.circle(574, 178, 14, PAPER, INK, 2),
        paper.line(588, 178, 640, 178, INK, 4),
        paper.line(640, 178, 640, 96, INK, 4),
        paper.line(560, 96, 706, 96, INK, 3),
        label("one-way clutch: releases as the engine slows", 520, 226, (574, 192), 130),
        label("the rotor turns on and drives nothing back", 408, 84, (560, 96), 130),
        paragraph("No propeller turns it: once stopped, it stays stopped.", 400, 292, 290),
    ]
