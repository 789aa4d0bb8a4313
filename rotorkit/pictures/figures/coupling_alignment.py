"""Where the dials of a coupling's alignment touch, and what is measured along the shafts."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET

WIDTH, HEIGHT = 720, 400

WORDS = (
    "First, the bracket is clamped on the fixed shaft and reaches over to the other hub: the rim dial's stem stands "
    "square on its rim, the face dial's stem along the axis on its front face. The distances to the middle of the "
    "coupling, the front feet and the rear feet of the moved machine are measured from the plane of the rim dial. "
    "Second, looking from the fixed shaft towards the moved one, the dials are read at the top, right, bottom and left."
)


def coupling_alignment() -> str:
    """The figure as SVG text."""
    y = 130.0
    plane = 330.0
    body = [
        number(24, 24, 1), paper.text(42, 29, "Bracket on the fixed shaft, dials on the other hub", 14, INK, bold=True),
        paper.line(20, y, 700, y, QUIET, 1, "8 4 2 4"),
        # the fixed shaft with its hub, the moved one with its hub, machine and feet
        paper.rectangle(30, y - 10, 190, 20, METAL, INK, 1.5),
        paper.rectangle(220, y - 34, 22, 68, BAND, INK, 1.5),
        paper.rectangle(300, y - 34, 60, 68, BAND, INK, 1.5),
        paper.rectangle(360, y - 10, 80, 20, METAL, INK, 1.5),
        paper.rectangle(440, y - 46, 220, 92, PAPER, INK, 1.5, 4),
        *[paper.rectangle(x - 16, y + 46, 32, 12, METAL, INK, 1.5) for x in (470.0, 630.0)],
        *[paper.rectangle(x - 16, y + 58, 32, 4, ACCENT, ACCENT, 1) for x in (470.0, 630.0)],
        paper.line(440, y + 63, 668, y + 63, INK, 2),
        # the bracket with both dials
        paper.rectangle(176, y - 22, 22, 44, METAL, INK, 1.5),
        paper.line(187, y - 22, 187, y - 82, INK, 4), paper.line(187, y - 82, 340, y - 82, INK, 4),
        paper.circle(plane, y - 66, 13, PAPER, INK, 1.5), paper.line(plane, y - 53, plane, y - 35, ACCENT, 2.5),
        paper.line(268, y - 82, 268, y - 26, INK, 3), paper.circle(268, y - 22, 11, PAPER, INK, 1.5),
        paper.line(279, y - 22, 299, y - 22, ACCENT, 2.5),
        label("rim dial: its stem pushed in is positive", 400, 56, (plane + 14, y - 68), 230),
        label("face dial, on the front face", 42, 62, (257, y - 22), 110),
        label("fixed", 60, y + 34, None, 60), label("to be moved", 520, y + 4, None, 100),
        label("shims", 672, y + 36, (646, y + 59), 60),
        paper.line(plane, y + 38, plane, y + 106, QUIET, 1),
        paper.arrow(plane, y + 76, 470, y + 76, ACCENT, 1.4), paper.arrow(plane, y + 92, 630, y + 92, ACCENT, 1.4),
        paper.arrow(plane, y + 60, 271, y + 60, ACCENT, 1.4), paper.line(271, y + 36, 271, y + 66, QUIET, 1, "3 3"),
        label("middle: here negative", 200, y + 80, None, 130),
        paper.line(12, 250, WIDTH - 12, 250, "#bdbdbd", 1),
        number(24, 274, 2), paper.text(42, 279, "Seen from the fixed shaft", 14, INK, bold=True),
        paper.circle(120, 340, 38, BAND, INK, 1.5), paper.circle(120, 340, 10, METAL, INK, 1.5),
        *[
            paper.text(x, at, words, 13, INK, "middle")
            for words, x, at in (
                ("top", 120.0, 297.0), ("right", 182.0, 344.0), ("bottom", 120.0, 394.0), ("left", 60.0, 344.0),
            )
        ],
        paragraph(
            "Both shafts are turned together, a quarter at a time, pushed one way along their axis. Top plus bottom "
            "has to equal left plus right, or a reading is wrong. Finally the top again: it must read the same as "
            "before.",
            240, 310, 450,
        ),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "Dials on a coupling", WORDS, body)
