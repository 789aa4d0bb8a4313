"""How the cyclic remaining in the hover comes about: it hangs from its hub, the stick holds the disk level."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, group, label, number, paragraph
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET

WIDTH, HEIGHT = 720, 372

WORDS = (
    "First, from the left side: the thrust goes through the hub, and the aircraft hangs from it like a plumb bob, its "
    "centre of gravity straight below. Loaded ahead of the hub the nose hangs down; the disk stays level, tilted aft "
    "against the mast by as much, and the stick is held aft. Second, from behind, with a rotor that turns "
    "counter-clockwise seen from above: the tail rotor pushes to the right, the disk leans to the left against it, and "
    "as the tail rotor lies below the hub the left side hangs down. Third, the stick's field from above: each loading "
    "is a place where the stick is held; what is left to the edge is what the pilot has."
)


def cyclic_in_hover() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Fore and aft", 14, INK, bold=True), *_from_the_side(),
        number(268, 24, 2), paper.text(286, 29, "To the side", 14, INK, bold=True), *_from_behind(),
        number(500, 24, 3), paper.text(518, 29, "What is left", 14, INK, bold=True), *_stick(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How the cyclic remaining in the hover comes about", WORDS, body)


def _centre(x: float, y: float) -> str:
    return paper.circle(x, y, 6, PAPER, INK, 1.5) + paper.line(x - 6, y, x + 6, y, INK, 1) + paper.line(
        x, y - 6, x, y + 6, INK, 1
    )  # fmt: skip


def _from_the_side() -> list[str]:
    """Nose to the left, hanging nose down about its hub; the disk level."""
    cabin = [
        paper.line(0, 0, 0, 66, INK, 4),
        paper.rectangle(-78, 66, 112, 58, METAL, INK, 1.5, 16),
        paper.line(32, 84, 122, 76, INK, 5),
        paper.line(122, 62, 122, 92, INK, 2.5),
    ]
    hub = (134.0, 96.0)
    lean = -12.0
    low = 108.0
    return [
        group(*hub, lean, cabin),
        paper.line(hub[0] - 92, hub[1], hub[0] + 92, hub[1], INK, 3),
        paper.line(hub[0], hub[1], hub[0], hub[1] + low, ACCENT, 1.5, "5 3"),
        _centre(hub[0], hub[1] + low),
        paper.arrow(hub[0], hub[1] - 4, hub[0], hub[1] - 50, ACCENT, 2.5, 9),
        paper.arrow(hub[0], hub[1] + low + 8, hub[0], hub[1] + low + 54, ACCENT, 2.5, 9),
        label("thrust", hub[0] + 8, hub[1] - 38, None, 60),
        label("weight", hub[0] + 8, hub[1] + low + 46, None, 60),
        label("straight below the hub", 20, 268, (hub[0], hub[1] + low - 2), 90),
        paragraph("Loaded ahead of the hub: nose down, stick aft. Arm and height tell by how much.", 20, 316, 220),
    ]


def _from_behind() -> list[str]:
    """From behind: the left side on the left, hanging low, the disk leaning left, the tail rotor pushing right."""
    body = [
        paper.line(0, 0, 0, 66, INK, 4),
        paper.rectangle(-40, 66, 80, 62, METAL, INK, 1.5, 18),
        paper.line(-48, 142, 48, 142, INK, 3),
        paper.line(-30, 126, -36, 142, INK, 2),
        paper.line(30, 126, 36, 142, INK, 2),
    ]
    hub = (376.0, 96.0)
    angle = math.radians(8)
    dx, dy = 84 * math.cos(angle), 84 * math.sin(angle)
    return [
        group(*hub, -5, body),
        paper.line(hub[0] - dx, hub[1] + dy, hub[0] + dx, hub[1] - dy, INK, 3),
        paper.arrow(hub[0], hub[1] - 4, hub[0] - 50 * math.sin(angle), hub[1] - 4 - 46, ACCENT, 2.5, 9),
        paper.arrow(hub[0] + 14, hub[1] + 46, hub[0] + 74, hub[1] + 46, ACCENT, 2.5, 9),
        label("tail rotor's push", hub[0] + 26, hub[1] + 24, None, 70),
        _centre(hub[0] + 4, hub[1] + 96),
        label("the disk leans against it", 276, 64, (hub[0] - 48, hub[1] + 5), 70),
        paragraph(
            "Below the hub it also turns the left side down. A rotor the other way round: mirrored.", 268, 316, 206
        ),
    ]


def _stick() -> list[str]:
    """The stick's field from above, forward up."""
    left, top, wide, high = 534.0, 74.0, 130.0, 150.0
    points = ((586, 150), (598, 196), (612, 96), (560, 160), (636, 152))
    return [
        paper.rectangle(left, top, wide, high, PAPER, INK, 2, 4),
        paper.line(left + wide / 2, top, left + wide / 2, top + high, QUIET, 1, "4 3"),
        paper.line(left, top + high / 2, left + wide, top + high / 2, QUIET, 1, "4 3"),
        *(paper.circle(x, y, 5, ACCENT, INK, 1) for x, y in points),
        paper.arrow(598, 202, 598, top + high - 1, ACCENT, 2, 7),
        paper.text(left + wide / 2, top - 8, "full forward", 12, INK, "middle"),
        paper.text(left + 4, top + high + 18, "full aft", 12, INK),
        label("least left aft: loaded furthest forward", 560, 268, (600, 216), 120),
        paragraph("Wind, slope and moving off take theirs from what is left.", 500, 316, 206),
    ]
