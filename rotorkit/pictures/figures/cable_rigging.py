"""How a control cable is rigged: turnbuckle, fairlead, pulley."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph, turn_arrow
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 400

WORDS = (
    "First, a turnbuckle: barrel between two terminals, one thread right-hand, one left-hand; count the threads "
    "outside the barrel at both ends: three at most. Hold both terminals still and turn the barrel half a turn at a "
    "time. Second, a fairlead: a straightedge laid along the cable on one side shows how far the cable bends away on "
    "the other; three degrees at most. Third, a pulley: the cable is clear of the flange, the pulley turns, and the "
    "tension is read on the pulling side and on the slack side at the same moment."
)


def cable_rigging() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Turnbuckle: hold, turn, count", 14, INK, bold=True), *_turnbuckle(),
        paper.line(12, 196, WIDTH - 12, 196, "#bdbdbd", 1),
        number(24, 222, 2), paper.text(42, 227, "Fairlead: 3 degrees at most", 14, INK, bold=True), *_fairlead(),
        number(394, 222, 3), paper.text(412, 227, "Pulley: turns, flange clear", 14, INK, bold=True), *_pulley(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How a control cable is rigged", WORDS, body)


def _turnbuckle() -> list[str]:
    y = 112.0
    left, right = 250.0, 440.0
    threads = [paper.line(left - 8 - 8 * i, y - 8, left - 8 - 8 * i, y + 8, QUIET, 1.5) for i in range(3)]
    threads += [paper.line(right + 8 + 8 * i, y - 8, right + 8 + 8 * i, y + 8, QUIET, 1.5) for i in range(3)]
    return [
        paper.line(24, y, 140, y, INK, 3.5),
        paper.line(550, y, 696, y, INK, 3.5),
        paper.rectangle(140, y - 7, left - 140, 14, METAL, INK, 1.5),
        paper.rectangle(right, y - 7, 550 - right, 14, METAL, INK, 1.5),
        *threads,
        paper.rectangle(left, y - 18, right - left, 36, METAL, INK, 1.5, 6),
        paper.circle((left + right) / 2, y, 6, PAPER, INK, 1.5),
        turn_arrow((left + right) / 2, y, 34, 200, 330),
        label("barrel: tighter draws both ends in", 300, 168, ((left + right) / 2, y + 20), 190),
        label("threads outside: count, 3 at most", 160, 62, (left - 16, y - 10), 110),
        label("the same at this end", 470, 66, (right + 18, y - 10), 120),
        label("terminal, held still: the cable must not twist", 30, 150, (170, y + 8), 190),
        label("safety wire or clip when done", 548, 150, (right + 30, y + 8), 140),
    ]


def _fairlead() -> list[str]:
    y = 318.0
    bend = math.radians(7)
    end = (200 + 156 * math.cos(bend), y - 156 * math.sin(bend))
    return [
        paper.path([(28, y), (200, y), end], INK, 3.5),
        paper.rectangle(40, y + 4, 320, 7, "#fff7d6", INK, 1.2),
        paper.rectangle(190, y - 18, 20, 14, METAL, INK, 1.5, 3),
        paper.rectangle(190, y + 12, 20, 14, METAL, INK, 1.5, 3),
        paper.line(330, y + 4, 330, y - 14, ACCENT, 2),
        label("fairlead", 170, 284, (196, y - 18), 60),
        label("gap", 334, 296, (331, y - 6), 30),
        label("straightedge along the cable on this side", 28, 352, (70, y + 11), 130),
        label("distance from the fairlead to the gap", 226, 352, None, 140),
    ]


def _pulley() -> list[str]:
    x, y = 560.0, 316.0
    return [
        paper.circle(x, y, 40, METAL, INK, 1.5),
        paper.circle(x, y, 34, PAPER, INK, 1),
        paper.circle(x, y, 7, METAL, INK, 1.5),
        paper.path([(x - 120, y - 36), (x, y - 36)], INK, 3.5),
        paper.curve(f"M {x} {y - 36} A 36 36 0 0 1 {x + 36} {y}", INK, 3.5),
        paper.path([(x + 36, y), (x + 36, y + 66)], INK, 3.5),
        paper.arrow(x - 84, y - 48, x - 118, y - 48, ACCENT, 2.5, 9),
        turn_arrow(x, y, 22, 300, 200),
        label("pulling side: read here", 404, 256, (x - 100, y - 38), 140),
        label("and here, at the same moment: slack side", 612, 366, (x + 38, y + 44), 100),
        paragraph("A loss greater than the bearing's means that the cable slides: the pulley is stuck.", 404, 334, 116),
        paper.text(x + 48, y - 40, "wrap 90°", SMALL, INK),
    ]
