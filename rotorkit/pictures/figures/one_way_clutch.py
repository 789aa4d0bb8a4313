"""A one-way clutch in section, and how it is tried by hand."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph, turn_arrow
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER

WIDTH, HEIGHT = 720, 340

WORDS = (
    "First, a one-way clutch seen along the shaft: rollers between an inner and an outer race wedge when the engine "
    "side turns in its running direction, and roll free when the rotor side runs faster. Second, trying it by hand: "
    "turn the rotor in its own direction, and the engine must stay still; turn the engine side, and the rotor must "
    "follow at once; and a spring scale, level at the blade, measures the drag."
)


def one_way_clutch() -> str:
    """The figure as SVG text."""
    x, y = 170.0, 180.0
    rollers = [
        paper.circle(x + 66 * math.cos(math.radians(a)), y + 66 * math.sin(math.radians(a)), 13, METAL, INK, 1.5)
        for a in range(0, 360, 60)
    ]
    body = [
        number(24, 24, 1), paper.text(42, 29, "Seen along the shaft", 14, INK, bold=True),
        paper.circle(x, y, 104, BAND, INK, 1.5), paper.circle(x, y, 80, PAPER, INK, 1.5),
        paper.circle(x, y, 53, METAL, INK, 1.5), paper.circle(x, y, 22, PAPER, INK, 1.5), *rollers,
        turn_arrow(x, y, 116, 280, 318),
        label("outer race: rotor side, runs free", 20, 66, (x - 60, y - 72), 130),
        label("rollers or sprags wedge here", 282, 128, (x + 68, y - 4), 90),
        label("inner race: engine side", 262, 316, (x + 20, y + 34), 150),
        paper.line(390, 12, 390, HEIGHT - 12, "#bdbdbd", 1),
        number(414, 24, 2), paper.text(432, 29, "Tried by hand", 14, INK, bold=True),
        paper.rectangle(424, 110, 64, 44, METAL, INK, 1.5), paper.line(488, 132, 560, 132, INK, 2),
        paper.rectangle(512, 112, 24, 40, BAND, INK, 1.5), paper.line(560, 132, 560, 92, INK, 2),
        paper.line(470, 92, 690, 92, INK, 4), paper.arrow(684, 92, 684, 58, ACCENT, 2.5),
        label("engine", 456, 172, anchor="middle"), label("clutch", 524, 172, anchor="middle"),
        label("spring scale: level, square to the blade", 520, 52, (680, 72), 130),
        label("radius of the pull, from the axis", 576, 116, width=130),
        paragraph("Turn the rotor: the engine must stay still. Turn the engine side: the rotor must follow at "
                  "once.", 414,
                  212, 290),
        paragraph("Throttle closed at the end of a run: the needles split at once.", 414, 274, 290),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "A one-way clutch and its test", WORDS, body)
