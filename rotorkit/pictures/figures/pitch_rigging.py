"""How a rotor's pitch links are rigged: read, turn, lock, read again."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import (
    ACCENT,
    group,
    label,
    number,
    paragraph,
    protractor,
    section,
    turn_arrow,
)
from rotorkit.pictures.figures.rod_end import cut_open, eye
from rotorkit.pictures.paper import INK, METAL, QUIET, SMALL

WIDTH, HEIGHT = 720, 470
ANGLE = 10.0

WORDS = (
    "First, the link and what it moves: a blade section seen from its tip with the protractor on a flat block; the "
    "pitch horn reaches forward of the feathering axis, the pitch link is below its end, and a longer link turns the "
    "leading edge up. A link on a trailing horn does the opposite: the aircraft file says which. Second, one rod end "
    "cut open: jam nut, thread, engagement measured along the thread inside the body, and the witness hole, in which "
    "threads are seen and a wire stops at the shank. Third, the order of work: read every blade at both stops, work "
    "the plan, turn and count the flats, lock the jam nuts, read again, until every station is in limits."
)


def pitch_rigging() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "What a link moves", 14, INK, bold=True), *_horn(),
        number(384, 24, 2), paper.text(402, 29, "Each rod end, before and after", 14, INK, bold=True),
        *cut_open(412, 140),
        paper.line(12, 296, WIDTH - 12, 296, "#bdbdbd", 1),
        number(24, 320, 3), paper.text(42, 325, "Read, turn, lock, read again", 14, INK, bold=True), *_order(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How pitch links are rigged", WORDS, body)


def _horn() -> list[str]:
    x, y = 190.0, 128.0
    reach = 118.0
    tip = (x - reach * math.cos(math.radians(ANGLE)), y - reach * math.sin(math.radians(ANGLE)))
    on_top = group(
        34, -13, 0, [paper.rectangle(-34, -5, 68, 5, METAL, INK, 1.2), group(0, -5, 0, protractor("left", 1.1))]
    )
    return [
        paper.line(x - 150, y, x + 150, y, QUIET, 1, "6 4"),
        group(x, y, ANGLE, [paper.rectangle(-reach, -5, reach, 10, METAL, INK, 1.5, 4), *section(150), on_top]),
        paper.circle(x, y, 4, INK, INK, 1),
        paper.line(tip[0], tip[1] + 14, tip[0], tip[1] + 112, INK, 3),
        paper.rectangle(tip[0] - 8, tip[1] + 36, 16, 54, METAL, INK, 1.5, 2),
        eye(*tip, 11), eye(tip[0], tip[1] + 122, 11),
        paper.arrow(tip[0] + 24, tip[1] + 60, tip[0] + 24, tip[1] + 30, ACCENT, 2.5, 9),
        paper.arrow(tip[0] + 24, tip[1] + 68, tip[0] + 24, tip[1] + 98, ACCENT, 2.5, 9),
        turn_arrow(x, y, 100, 186, 214),
        label("longer", tip[0] + 34, tip[1] + 68, None, 60),
        label("pitch link, its lower end on the swashplate", 126, 256, (tip[0] + 12, tip[1] + 124), 160),
        label("pitch horn", 18, 66, (tip[0] + 14, tip[1] - 2), 70),
        label("feathering axis", 216, 164, (x + 3, y + 3), 100),
        paragraph("The aircraft file says whether a longer link raises or lowers the blade angle.", 196, 206, 180),
    ]  # fmt: skip


def _order() -> list[str]:
    boxes = [
        "Read every blade at both stops",
        "The plan: which link, how many flats",
        "Turn, count aloud, mark",
        "Lock, square the rod ends, inspect",
        "Read again: angles and threads",
    ]
    parts = []
    for i, words in enumerate(boxes):
        left = 24 + 138 * i
        parts.append(paper.rectangle(left, 346, 118, 58, "#eef4fa", ACCENT, 1.5, 5))
        lines = paper.wrapped(words, 106, SMALL)
        parts += [
            paper.text(left + 59, 371 + 15 * (k - (len(lines) - 1) / 2) + 4, one, SMALL, INK, "middle")
            for k, one in enumerate(lines)
        ]
        if i < len(boxes) - 1:
            parts.append(paper.arrow(left + 120, 375, left + 136, 375, QUIET, 2, 8))
    back = [(24 + 138 * 4 + 59, 406), (24 + 138 * 4 + 59, 432), (83, 432), (83, 410)]
    return [
        *parts,
        paper.path(back, QUIET, 2),
        paper.arrow_head(83, 406, -math.pi / 2, QUIET, 9),
        paper.text(
            360, 450, "until every blade, every thread and every witness hole is in limits", SMALL, INK, "middle"
        ),
    ]
