"""How to enter a change of equipment: what is weighed and measured of each piece, and what a row adds or takes off."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, craft_and_datum, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First: each piece is weighed with its bracket; the arm of its middle is measured from the datum, aft positive, "
    "and to the side, right positive. Second: what is fitted adds its mass and moment, what is taken out subtracts "
    "them, what is moved keeps its mass and changes its place."
)


def equipment_ledger() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Weigh it, and measure its place", 14, INK, bold=True), *_place(),
        number(400, 24, 2), paper.text(418, 29, "One row for each change", 14, INK, bold=True), *_rows(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How to enter a change of equipment", WORDS, body)


def _place() -> list[str]:
    return [
        *craft_and_datum(),
        paper.rectangle(118, 150, 20, 16, BAND, INK, 1.5),
        paper.arrow(54, 214, 128, 214, ACCENT, 2, 9),
        paper.line(128, 168, 128, 220, QUIET, 1, "3 2"),
        label("arm of its middle", 138, 218, None, 120),
        label("the piece, with its bracket", 232, 176, (139, 158), 110),
        paragraph("The same sideways: positive to the right, facing forward.", 24, 272, 330),
    ]


def _rows() -> list[str]:
    rows = (("fitted", "+"), ("taken out", "−"), ("moved", "− there, + here"))
    parts: list[str] = []
    for i, (word, sign) in enumerate(rows):
        y = 64 + 56 * i
        parts += [
            paper.rectangle(410, y, 270, 40, PAPER, INK, 1.5, 4),
            paper.text(424, y + 25, word, 13, INK, bold=True),
            paper.text(664, y + 25, f"{sign} mass and moment" if i < 2 else sign, SMALL, INK, "end"),
        ]
    return [*parts, paragraph("Type each mass as the scale shows it: the row sets the sign.", 400, 254, 290)]
