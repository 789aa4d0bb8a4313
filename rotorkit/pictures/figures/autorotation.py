"""What autorotation depends on: the glide, and what the blades hold."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 380

CABIN = "M 58 126 C 58 110 72 102 90 106 L 108 116 L 104 134 L 70 136 C 62 134 58 132 58 126 Z"

WORDS = (
    "Left: the engine has stopped, the aircraft glides; air from below drives the rotor, and height pays for it. "
    "Middle: rotor speed in the seconds after power loss if the collective stays up: it falls quickly to the lowest "
    "speed that the manual allows. Right: how to find a blade's moment of inertia about the shaft: from the kit "
    "maker, or by swinging the blade as a pendulum from its root and measuring its mass and balance point."
)


def autorotation() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "The glide", 14, INK, bold=True), *_glide(),
        paper.line(254, 14, 254, HEIGHT - 14, "#bdbdbd", 1),
        number(278, 24, 2), paper.text(296, 29, "The first seconds", 14, INK, bold=True), *_decay(),
        paper.line(480, 14, 480, HEIGHT - 14, "#bdbdbd", 1),
        number(504, 24, 3), paper.text(522, 29, "What a blade holds", 14, INK, bold=True), *_blade(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "What autorotation depends on", WORDS, body)


def _glide() -> list[str]:
    return [
        paper.line(16, 284, 240, 284, QUIET, 2),
        paper.line(40, 96, 232, 276, QUIET, 1.5, "6 4"),
        paper.line(44, 82, 124, 98, INK, 3), paper.line(84, 90, 82, 104, INK, 4),
        paper.curve(CABIN, INK, 1.5, METAL),
        paper.line(106, 120, 156, 126, INK, 4),
        *[paper.arrow(x, 176, x, 150, ACCENT, 2, 7) for x in (62.0, 84.0, 106.0)],
        label("air from below drives the rotor", 20, 200, (72, 168), 96),
        paper.arrow(226, 70, 226, 130, INK, 2, 8), label("rate of descent", 218, 80, None, 80, "end"),
        paragraph("Height supplies the power that the engine would give in level flight at that "
                  "airspeed.", 20, 312, 216),
    ]  # fmt: skip


def _decay() -> list[str]:
    left, bottom, wide, high = 290.0, 250.0, 174.0, 180.0
    points = [(left + wide * t / 3, bottom - high / (1 + t / 3.0)) for t in (k / 10 for k in range(31))]
    lowest = bottom - 0.9 * high
    return [
        paper.path([(left, bottom - high - 8), (left, bottom), (left + wide, bottom)], INK, 1.5),
        paper.path(points, ACCENT, 2.5),
        paper.line(left, lowest, left + wide, lowest, INK, 1.5, "10 3 2 3"),
        paper.text(left + 4, bottom - high - 14, "rotor speed", SMALL, QUIET),
        paper.text(left + wide, bottom + 18, "seconds", SMALL, QUIET, "end"),
        label("lowest speed allowed", 300, 190, (396, lowest), 70),
        paragraph(
            "With the collective left up the rotor slows by itself. The time to the lowest speed is all you have to "
            "lower it, surprise included.", 276, 292, 196,
        ),
    ]  # fmt: skip


def _blade() -> list[str]:
    hinge = (600.0, 62.0)
    angle = math.radians(14)
    tip = (hinge[0] + 176 * math.sin(angle), hinge[1] + 176 * math.cos(angle))
    return [
        paper.line(560, 62, 640, 62, INK, 3),
        paper.line(*hinge, hinge[0], hinge[1] + 184, QUIET, 1, "4 4"),
        paper.line(*hinge, *tip, INK, 9), paper.line(*hinge, *tip, METAL, 6),
        paper.circle(*hinge, 5, PAPER, INK, 2),
        paper.circle(hinge[0] + 92 * math.sin(angle), hinge[1] + 92 * math.cos(angle), 4, ACCENT, INK, 1),
        label("its balance point", 644, 140, (626, 152), 64),
        label("time 20 swings", 498, 214, (606, 236), 84),
        paragraph(
            "The moment of inertia of one blade about the shaft, with its tip weight: from the kit maker. Check that "
            "figure by swinging the blade as a pendulum.", 496, 292, 212,
        ),
    ]  # fmt: skip
