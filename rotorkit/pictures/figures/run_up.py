"""How to run up the engine: the drop on one ignition over time, and the order of a ground run."""

from __future__ import annotations

import itertools

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import INK, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First: engine speed over time. On both ignitions it is steady; on one it falls and settles: the drop; back on "
    "both it recovers before the other is tried. Second, the order of the run: tied down and clear, oil pressure "
    "within the manual's time, warm up before adding speed, ignition drops, the switch at idle, cool down."
)


def run_up() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "On both, on one, on both", 14, INK, bold=True), *_drop(),
        number(400, 24, 2), paper.text(418, 29, "In this order", 14, INK, bold=True), *_order(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How to run up the engine", WORDS, body)


def _drop() -> list[str]:
    way = [(54, 100), (120, 100), (132, 142), (176, 142), (188, 100), (248, 100), (260, 156), (304, 156), (316, 100),
           (356, 100)]  # fmt: skip
    return [
        paper.line(54, 230, 366, 230, QUIET, 1),
        paper.line(54, 230, 54, 66, QUIET, 1),
        paper.text(366, 246, "time", SMALL, INK, "end"),
        paper.text(60, 62, "engine speed", SMALL, INK),
        *(paper.line(*a, *b, INK, 2.5) for a, b in itertools.pairwise(way)),
        paper.line(120, 100, 320, 100, QUIET, 1, "3 2"),
        paper.arrow(154, 100, 154, 140, ACCENT, 2, 9),
        paper.arrow(282, 100, 282, 154, ACCENT, 2, 9),
        label("drop", 154, 92, None, 40, "middle"),
        label("drop", 282, 92, None, 40, "middle"),
        paper.text(154, 192, "one", SMALL, INK, "middle"),
        paper.text(282, 192, "the other", SMALL, INK, "middle"),
        paper.text(87, 192, "both", SMALL, INK, "middle"),
        paper.text(218, 192, "both", SMALL, INK, "middle"),
        paragraph("Throttle untouched; let it settle on both before the other is tried.", 24, 276, 330),
    ]


def _order() -> list[str]:
    steps = ("tied down, clear, into the wind", "start: watch to oil pressure", "warm up", "on one, on the other",
             "idle: switch off for an instant", "cool down, stop")  # fmt: skip
    parts: list[str] = []
    for i, words in enumerate(steps):
        y = 50 + 38 * i
        parts += [
            paper.rectangle(410, y, 270, 28, PAPER, INK, 1.5, 4),
            paper.text(424, y + 19, words, SMALL, INK),
        ]
        if i:
            parts.append(paper.arrow(545, y - 10, 545, y - 1, ACCENT, 1.5, 6))
    return [*parts, paragraph("No oil pressure within the manual's time: stop.", 400, 296, 290)]
