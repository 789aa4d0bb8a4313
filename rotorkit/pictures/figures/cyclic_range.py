"""How the cyclic range is read: one blade over four places, the reference at each."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph, turn_arrow
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SKY, SMALL

WIDTH, HEIGHT = 720, 430

WORDS = (
    "First, the four places seen from above, nose up: over the nose, over the right side, over the tail, over the "
    "left side; one blade is brought round and read over each. The rotor drawn turns counter-clockwise: with the "
    "stick forward the blade angle must be greatest over the left side and least over the right, a quarter of a turn "
    "before the disk is highest over the tail. For a rotor that turns clockwise the sides are swapped: the sheet "
    "says which applies to your aircraft. Second, why the reference is read at each place: on a leaning shaft the "
    "reference surface leans too, up on one side and down on the other, and that looks like cyclic pitch. Blade less "
    "reference, place by place. Third, the stick full forward, aft, left and right, one after the other, the other "
    "axis at neutral."
)


def cyclic_range() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "One blade, four places", 14, INK, bold=True), *_above(),
        paper.line(404, 14, 404, HEIGHT - 14, "#bdbdbd", 1),
        number(430, 24, 2), paper.text(448, 29, "The reference at each place", 14, INK, bold=True), *_lean(),
        number(430, 262, 3), paper.text(448, 267, "Stick full, one way at a time", 14, INK, bold=True), *_stick(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How the cyclic range is read", WORDS, body)


def _above() -> list[str]:
    x, y, radius = 200.0, 218.0, 118.0
    cabin = (
        f"M {x} {y - 74} C {x + 34} {y - 70} {x + 36} {y + 16} {x + 14} {y + 40} L {x + 5} {y + 130} "
        f"L {x - 5} {y + 130} L {x - 14} {y + 40} C {x - 36} {y + 16} {x - 34} {y - 70} {x} {y - 74} Z"
    )
    places = [
        ("over the nose", x, y - radius, "middle", x, y - radius - 18),
        ("over the right side", x + radius, y, "start", x + radius - 46, y - 22),
        ("over the tail", x, y + radius, "start", x + 20, y + radius + 8),
        ("over the left side", x - radius, y, "end", x - radius + 46, y - 22),
    ]
    parts = [
        paper.curve(cabin, QUIET, 1.5, SKY),
        paper.circle(x, y, radius, "none", QUIET, 1),
        paper.rectangle(x - radius - 8, y - 7, radius + 8, 14, METAL, INK, 1.5, 2),
        paper.circle(x, y, 10, METAL, INK, 1.5),
        turn_arrow(x, y, radius + 26, 336, 304),
    ]
    for words, px, py, anchor, tx, ty in places:
        parts.append(paper.circle(px, py, 6, ACCENT, PAPER, 1.5))
        parts.append(paper.text(tx, ty, words, SMALL, INK, anchor))
    return [
        *parts,
        label("turns counter-clockwise, seen from above", 262, 60, None, 140),
        label("stick forward: blade angle greatest here", 16, 274, (x - radius - 2, y + 8), 100),
        label("and least here", 318, 274, (x + radius, y + 8), 80),
        paragraph(
            "A quarter of a turn later the blade is highest over the tail: the disk tilts forward.", 24, 388, 350
        ),
    ]


def _lean() -> list[str]:
    """A shaft that leans, with its reference surface read from two sides."""
    x, y = 560.0, 140.0
    lean = math.radians(8)
    end = (x + 70 * math.sin(lean), y - 70 * math.cos(lean))
    foot = (x - 46 * math.sin(lean), y + 46 * math.cos(lean))
    plate = [(x + side * 66 * math.cos(lean), y + side * 66 * math.sin(lean)) for side in (-1, 1)]
    return [
        paper.path([foot, end], "#bdbdbd", 10),
        paper.path([foot, end], QUIET, 1, "9 3 2 3"),
        paper.line(x - 96, y, x + 96, y, QUIET, 1, "6 4"),
        paper.path(plate, INK, 5),
        paper.text(plate[0][0] - 66, plate[0][1] - 10, "reads one way", SMALL, INK, "start"),
        paper.text(plate[1][0] - 6, plate[1][1] + 22, "and the other", SMALL, INK, "start"),
        label("shaft leans", 606, 66, (end[0] + 4, end[1] + 8), 100),
        paragraph(
            "Cyclic pitch = blade less reference, place by place. A lean left in looks like cyclic.",
            428,
            206,
            280,
        ),
    ]


def _stick() -> list[str]:
    x, y = 500.0, 346.0
    parts = [paper.rectangle(x - 52, y - 52, 104, 104, SKY, INK, 1.5, 8), paper.circle(x, y, 9, METAL, INK, 1.5)]
    for words, dx, dy, tx, ty, anchor in (
        ("forward", 0, -1, x, y - 60, "middle"),
        ("aft", 0, 1, x, y + 70, "middle"),
        ("left", -1, 0, x - 58, y + 4, "end"),
        ("right", 1, 0, x + 58, y + 4, "start"),
    ):
        parts.append(paper.arrow(x + 14 * dx, y + 14 * dy, x + 44 * dx, y + 44 * dy, ACCENT, 2.5, 9))
        parts.append(paper.text(tx, ty, words, SMALL, INK, anchor))
    parts.append(
        paragraph("Held at its end, the other axis at neutral, the collective where the manual has it.", 604, 312, 106)
    )
    return parts
