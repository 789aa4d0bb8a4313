"""How a blade's chordwise balance is weighed: root on one support, outer part on two, places from the nose."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 300

WORDS = (
    "First, the blade lies level on three narrow supports, each on its own scale: one under the root, two under the "
    "outer part, near the nose and near the trailing edge. Second, each support's place is measured from the leading "
    "edge, aft. Mass times place, added up and divided by the total mass, gives the centre of mass. Third, whole "
    "washers go into the pocket in the nose, and the blade is weighed again, along the span too."
)


def chord_balance() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Three supports, from above", 14, INK, bold=True),
        number(300, 24, 2), paper.text(318, 29, "Places from the nose", 14, INK, bold=True),
        number(530, 24, 3), paper.text(548, 29, "Washers in the nose", 14, INK, bold=True),
        *_from_above(), *_section(), *_washers(),
        paragraph("Level along span and chord; the same places for every blade.", 24, 252, 230),
        paragraph("Square to the span, aft positive. Subtract the supports' weight.", 300, 252, 200),
        paragraph("Never more than the manual's mass; weigh the span moment again.", 530, 252, 180),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How a blade's chordwise balance is weighed", WORDS, body)


def _from_above() -> list[str]:
    return [
        paper.rectangle(40, 104, 220, 56, METAL, INK, 1.5),
        paper.rectangle(24, 112, 30, 20, PAPER, INK, 1.5),
        *[paper.rectangle(x - 4, y - 9, 8, 18, ACCENT, INK, 1) for x, y in ((48, 122), (214, 114), (214, 148))],
        paper.text(40, 96, "leading edge", SMALL, INK),
        label("root", 30, 196, (46, 136), 60),
        label("nose", 232, 84, (216, 108), 60),
        label("tail", 232, 196, (216, 158), 60),
    ]


def _section() -> list[str]:
    return [
        paper.path([(300, 130), (312, 118), (350, 112), (420, 120), (490, 132), (420, 138), (350, 142), (312, 140),
                    (300, 130)], INK, 1.5),
        *[paper.line(x, 142, x, 160, INK, 2) for x in (322, 456)],
        paper.line(300, 130, 300, 226, QUIET, 1, "4 3"),
        paper.arrow(300, 190, 322, 190, ACCENT, 1.5), paper.text(328, 194, "nose place", SMALL, INK),
        paper.arrow(300, 218, 456, 218, ACCENT, 1.5), paper.text(372, 213, "tail place", SMALL, INK),
        paper.circle(346, 128, 5, ACCENT, INK, 1.5), label("centre of mass", 370, 84, (349, 123), 100),
    ]  # fmt: skip


def _washers() -> list[str]:
    return [
        paper.path([(540, 130), (552, 118), (590, 112), (660, 120), (700, 132), (660, 138), (590, 142), (552, 140),
                    (540, 130)], INK, 1.5),
        paper.circle(553, 129, 6, ACCENT, INK, 1.5),
        label("pocket", 548, 84, (553, 122), 60),
    ]  # fmt: skip
