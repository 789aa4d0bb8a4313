"""A blade as stretches, its first shapes in flap, and how a fan plot is read."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First, a blade from the axis outwards: the root, uniform stretches, each with its length, mass per length and "
    "stiffness in flap and in lag, and a tip weight; below it the shapes of its first two flap modes. Second, a fan "
    "plot: frequencies over rotor speed, straight lines for once, twice and three times a turn, and the band of "
    "speeds in use, where no frequency should cross a line."
)


def blade_modes() -> str:
    """The figure as SVG text."""
    y = 110.0
    first = [(60 + 3 * k, 226 - 34 * (k / 100) ** 1.6) for k in range(0, 101, 4)]
    second = [(60 + 3 * k, 280 + 20 * math.sin(1.45 * math.pi * k / 100) * (k / 100) ** 0.3) for k in range(0, 101, 4)]
    body = [
        number(24, 24, 1), paper.text(42, 29, "A blade in uniform stretches", 14, INK, bold=True),
        paper.line(50, y - 34, 50, y + 34, INK, 1.5, "6 4"), paper.rectangle(62, y - 9, 48, 18, METAL, INK, 1.5),
        paper.rectangle(110, y - 6, 240, 12, BAND, INK, 1.5), paper.rectangle(350, y - 6, 10, 12, INK, INK, 1),
        label("axis", 44, 62), label("root: hinged or clamped", 70, 150, (62, y + 10), 90),
        label("stretch 1", 86, 88, anchor="middle"), label("stretch 2", 230, 88, anchor="middle"),
        label("tip weight", 366, 72, (355, y - 6), 80, "end"),
        paper.line(60, 226, 360, 226, INK, 1, "3 3"), paper.path(first, ACCENT, 2),
        label("first mode in flap", 150, 190), paper.line(60, 280, 360, 280, INK, 1, "3 3"),
        paper.path(second, ACCENT, 2), label("second", 190, 318),
        paper.line(396, 12, 396, HEIGHT - 12, "#bdbdbd", 1),
        number(420, 24, 2), paper.text(438, 29, "A fan plot", 14, INK, bold=True),
        paper.rectangle(584, 60, 50, 220, BAND, BAND, 0),
        paper.line(430, 280, 690, 280, INK, 1.5), paper.line(430, 280, 430, 60, INK, 1.5),
        *[paper.line(430, 280, 680, 280 - 50 * n, INK, 1) for n in (1, 2, 3)],
        *[paper.text(684, 284 - 50 * n, str(n), 13, INK) for n in (1, 2, 3)],
        paper.path([(430 + 10 * k, 280 - math.hypot(16, 2.15 * k)) for k in range(26)], ACCENT, 2),
        paper.path([(430 + 10 * k, 280 - math.hypot(88, 4.9 * k)) for k in range(26)], ACCENT, 2),
        paper.circle(477, 261, 4, PAPER, INK, 1.5),
        label("speeds in use", 609, 52, anchor="middle"), label("rotor speed", 690, 298, anchor="end"),
        label("crosses an order here", 440, 120, (477, 257), 90), label("frequency", 436, 72),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "A blade and its fan plot", WORDS, body)
