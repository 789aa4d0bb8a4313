"""What level flight depends on: the day's readings, and what drags."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph, turn_arrow
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 380

WORDS = (
    "Left: the helicopter flying level; its parasite drag is that of a flat plate, square to the airflow, with the "
    "area given in the aircraft file. Middle: the rotor from above; on one side the blade advances and its tip sees "
    "the highest Mach number, on the other it retreats and has to work at the largest angle. Right: the power curve, "
    "high in the hover, lowest at the best climb speed, then rising again; a straight line from the origin touches "
    "it at the best range speed."
)


def level_flight() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "What drags", 14, INK, bold=True), *_drag(),
        paper.line(244, 14, 244, HEIGHT - 14, "#bdbdbd", 1),
        number(268, 24, 2), paper.text(286, 29, "Two sides of the rotor", 14, INK, bold=True), *_disk(),
        paper.line(470, 14, 470, HEIGHT - 14, "#bdbdbd", 1),
        number(494, 24, 3), paper.text(512, 29, "The power curve", 14, INK, bold=True), *_curve(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "What level flight depends on", WORDS, body)


def _drag() -> list[str]:
    cabin = "M 40 150 C 42 128 60 112 88 112 L 120 116 L 134 134 L 130 160 L 68 166 C 50 164 40 160 40 150 Z"
    return [
        paper.line(20, 86, 184, 94, INK, 3),
        paper.line(100, 90, 100, 112, INK, 4),
        paper.curve("M 130 130 L 214 126 L 214 132 L 132 146 Z", INK, 1.5, METAL),
        paper.curve(cabin, INK, 1.5, METAL),
        paper.line(70, 166, 66, 180, INK, 2), paper.line(120, 162, 124, 180, INK, 2),
        paper.line(52, 182, 146, 182, INK, 3),
        *[paper.arrow(6, y, 32, y, QUIET, 1.5, 6) for y in (120.0, 140.0, 160.0)],
        paper.text(120, 212, "drags like", SMALL, INK, "middle"),
        paper.rectangle(112, 222, 10, 56, ACCENT, INK, 1),
        *[paper.arrow(76, y, 106, y, QUIET, 1.5, 6) for y in (236.0, 250.0, 264.0)],
        label("a flat plate of the area in the aircraft file", 134, 240, None, 96),
        paragraph("Weight, air and rotor speed are read as for the hover margin.", 20, 316, 210),
    ]  # fmt: skip


def _disk() -> list[str]:
    x, y = 356.0, 170.0
    return [
        paper.circle(x, y, 72, "none", QUIET, 1.5),
        turn_arrow(x, y, 72, 60, 20, QUIET),
        *[paper.arrow(x + dx, 58, x + dx, 82, QUIET, 1.5, 6) for dx in (-40.0, 0.0, 40.0)],
        paper.text(x + 54, 74, "wind", SMALL, QUIET),
        paper.line(x, y, x + 72, y, INK, 4), paper.line(x, y, x - 72, y, INK, 4),
        paper.circle(x, y, 5, INK, INK, 1),
        paper.arrow(x + 66, y - 4, x + 66, y - 40, ACCENT, 2.5, 8),
        paper.arrow(x - 66, y + 4, x - 66, y + 24, ACCENT, 2.5, 8),
        label("advancing tip: highest Mach number", 366, 264, (x + 66, y - 20), 96),
        label("retreating blade: largest angle, stalls first", 256, 264, (x - 66, y + 18), 96),
        paragraph("Tip speed and airspeed add on one side and subtract on the other.", 256, 330, 206),
    ]  # fmt: skip


def _curve() -> list[str]:
    left, bottom, wide, high = 502.0, 262.0, 196.0, 196.0

    def at(v: float) -> tuple[float, float]:
        power = 0.42 / math.sqrt(1 + (v / 0.24) ** 2) + 0.20 + 0.48 * v**3
        return left + wide * v, bottom - high * power

    points = [at(k / 40) for k in range(41)]
    least = min(points, key=lambda p: -p[1])
    best = min(points[5:], key=lambda p: (bottom - p[1]) / (p[0] - left))
    slope = (bottom - best[1]) / (best[0] - left)
    end = min(left + wide, left + high / slope)
    return [
        paper.path([(left, bottom - high), (left, bottom), (left + wide, bottom)], INK, 1.5),
        paper.path(points, ACCENT, 2.5),
        paper.line(left, bottom, end, bottom - slope * (end - left), QUIET, 1.5, "5 4"),
        paper.circle(*least, 4, PAPER, INK, 2), paper.circle(*best, 4, INK, INK, 1),
        paper.text(left, bottom - high - 8, "power", SMALL, QUIET),
        paper.text(left + wide, bottom + 18, "airspeed", SMALL, QUIET, "end"),
        label("least power: best climb", 500, 300, (least[0], least[1] + 5), 92),
        label("least power per mile: best range", 606, 300, (best[0], best[1] + 5), 104),
    ]  # fmt: skip
