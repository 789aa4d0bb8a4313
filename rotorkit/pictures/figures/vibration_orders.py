"""How a vibration is recorded: a pick-up calibrated by gravity, and a mark on the rotor beside it in one file."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 300

WORDS = (
    "First, the pick-up is laid on a level bench with its axis up and then turned over: half the difference of its "
    "outputs is one g. Second, it is fastened where the manual says, and a tachometer's pulses, one per turn of the "
    "main rotor, are recorded along with its signal. Third, the file is read: the signal is lined up with the rotor's "
    "angle, so that what belongs to the rotor repeats every turn, and every other line is named from the drive ratios."
)


def vibration_orders() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Gravity calibrates", 14, INK, bold=True),
        *_pick_up(80, 110, up=True), *_pick_up(170, 110, up=False),
        paper.line(40, 134, 210, 134, INK, 2),
        paper.text(80, 160, "axis up", SMALL, INK, "middle"), paper.text(170, 160, "turned over", SMALL, INK, "middle"),
        number(250, 24, 2), paper.text(268, 29, "Record both at once", 14, INK, bold=True),
        paper.path(_wave(262, 92), ACCENT, 1.8), paper.path(_pulses(262, 150), INK, 1.8),
        label("what shakes", 262, 58, None, 120), label("one pulse a turn", 262, 180, None, 140),
        number(508, 24, 3), paper.text(526, 29, "Lines with names", 14, INK, bold=True),
        paper.line(520, 150, 700, 150, INK, 1.5),
        *(paper.line(x, 150, x, 150 - high, ACCENT, 4) for x, high in ((540, 62), (572, 84), (626, 26), (668, 18))),
        paper.text(556, 168, "rotor", SMALL, INK, "middle"), paper.text(626, 168, "engine", SMALL, INK, "middle"),
        paper.text(676, 168, "tail", SMALL, QUIET, "middle"),
        paragraph("Level, at rest; write both outputs down.", 24, 216, 190),
        paragraph("Half a minute at steady speed; nothing loose.", 250, 216, 200),
        paragraph("Too close to separate: record for longer.", 508, 216, 195),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How a vibration is recorded and read", WORDS, body)


def _pick_up(x: float, y: float, up: bool) -> list[str]:
    tip = y - 44 if up else y + 16
    start = y - 18 if up else y - 8
    return [
        paper.rectangle(x - 18, y - 10, 36, 34, METAL, INK, 1.5, 3),
        paper.line(x, start, x, tip, ACCENT, 3),
        paper.circle(x, tip, 4, ACCENT if up else PAPER, ACCENT, 1.5),
    ]


def _wave(x: float, y: float) -> list[tuple[float, float]]:
    return [(x + k, y + 14 * math.sin(k / 9) + 7 * math.sin(k / 4.5 + 1)) for k in range(0, 210, 3)]


def _pulses(x: float, y: float) -> list[tuple[float, float]]:
    points: list[tuple[float, float]] = []
    for k in range(4):
        at = x + k * 56.5
        points += [(at, y), (at, y - 20), (at + 8, y - 20), (at + 8, y), (min(at + 56.5, x + 207), y)]
    return points
