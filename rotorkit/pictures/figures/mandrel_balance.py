"""How a tail rotor or fan is balanced on a mandrel: the place level with the axle, and the weight that starts it."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph, turn_arrow
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 300

WORDS = (
    "First, the part sits on a true mandrel on two level rails, out of any draft. One place is brought level with "
    "the axle, always on the same side, and weight is added there until it just begins to turn down; the same at "
    "every place all round. Second, a known weight is fixed at one place and everything is done again: the stand "
    "must find it. Third, whole washers go opposite the heavy side, and it is measured again."
)


def mandrel_balance() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "What just starts it", 14, INK, bold=True), *_part(124),
        paper.circle(180, 146, 7, ACCENT, INK, 1.5), turn_arrow(124, 146, 74, -35, 20),
        number(252, 24, 2), paper.text(270, 29, "A known weight on", 14, INK, bold=True), *_part(352),
        paper.circle(352, 202, 8, INK, INK, 1.5), paper.circle(408, 146, 7, ACCENT, INK, 1.5),
        number(490, 24, 3), paper.text(508, 29, "Washers, then again", 14, INK, bold=True), *_part(590),
        paper.circle(550, 106, 7, ACCENT, INK, 1.5), paper.text(536, 92, "light side", SMALL, INK, "end"),
        paper.text(640, 204, "heavy", SMALL, QUIET),
        label("weight here", 196, 196, (182, 153), 50),
        label("known", 284, 216, (344, 203), 60),
        paragraph("Each place in turn, level with the axle, on one side.", 24, 262, 200),
        paragraph("The stand must find it, or it proves nothing.", 252, 262, 200),
        paragraph("Opposite the heavy side, locked, checked by two people.", 490, 262, 210),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How a part is balanced on a mandrel", WORDS, body)


def _part(x: float) -> list[str]:
    spots = ((56, 0), (40, 40), (0, 56), (-40, 40), (-56, 0), (-40, -40), (0, -56), (40, -40))
    return [
        paper.circle(x, 146, 66, PAPER, INK, 1.5),
        *[paper.circle(x + dx, 146 + dy, 4, PAPER, INK, 1) for dx, dy in spots],
        paper.circle(x, 146, 10, METAL, INK, 1.5),
        paper.line(x - 30, 157, x + 30, 157, INK, 2),
        paper.line(x - 24, 157, x - 24, 232, QUIET, 2),
        paper.line(x + 24, 157, x + 24, 232, QUIET, 2),
        paper.line(x, 80, x, 70, INK, 3),
    ]
