"""How a push-pull tube is inspected: straightness, its size, its rod ends."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.figures.rod_end import cut_open, eye
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 420

WORDS = (
    "First, a push-pull tube on a flat plate: roll it, and light beneath it shows a bow; replace a tube that is bent "
    "or dented. Its length is between the centres of the two bearings; measure its diameter at three places, its "
    "wall at an open end. Pushed too hard, a slender tube buckles in the middle. Second, each rod end "
    "cut open: jam nut, thread, engagement along the thread inside the end fitting, and the witness hole, in which "
    "threads are seen and a wire stops at the shank. With the jam nuts tight, both rod ends must still rock both ways."
)


def push_pull_tubes() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Straight and the right size", 14, INK, bold=True), *_tube(),
        paper.line(12, 224, WIDTH - 12, 224, "#bdbdbd", 1),
        number(24, 250, 2), paper.text(42, 255, "Both rod ends", 14, INK, bold=True), *cut_open(70, 330),
        paragraph("With the jam nuts tight, both rod ends must still rock both ways, over the whole "
                  "travel.", 460, 312, 240),
        paragraph("The end of the shank must reach past the hole.", 460, 362, 240),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How a push-pull tube is inspected", WORDS, body)


def _tube() -> list[str]:
    y = 104.0
    left, right = 60.0, 500.0
    return [
        paper.rectangle(30, y + 13, 500, 9, METAL, INK, 1.2),
        paper.rectangle(left + 34, y - 12, right - left - 68, 24, METAL, INK, 1.5, 3),
        *[paper.line(a, y, b, y, INK, 5) for a, b in ((left + 10, left + 34), (right - 34, right - 10))],
        eye(left, y, 12),
        eye(right, y, 12),
        paper.curve(f"M {left + 34} {y} C 200 {y - 62} 360 {y - 62} {right - 34} {y}", QUIET, 1.5, "none", "6 4"),
        paper.arrow(20, y, left - 16, y, ACCENT, 3, 10),
        paper.arrow(540, y, right + 16, y, ACCENT, 3, 10),
        paper.line(left, y + 30, left, y + 62, ACCENT, 1.5),
        paper.line(right, y + 30, right, y + 62, ACCENT, 1.5),
        paper.arrow(left, y + 54, right, y + 54, ACCENT, 1.5),
        paper.arrow(right, y + 54, left, y + 54, ACCENT, 1.5),
        paper.text((left + right) / 2, y + 72, "length, between the bearings' centres", SMALL, INK, "middle"),
        label("push", 522, 92, None, 40),
        label("buckles if pushed too hard", 372, 54, (330, y - 44), 190),
        label("flat plate: roll it, watch the light beneath", 60, 206, (80, y + 20), 260),
        paper.circle(636, y, 34, METAL, INK, 1.5),
        paper.circle(636, y, 25, PAPER, INK, 1.5),
        paper.arrow(602, y + 50, 670, y + 50, ACCENT, 1.5),
        paper.arrow(670, y + 50, 602, y + 50, ACCENT, 1.5),
        paper.text(636, y + 68, "outer diameter", SMALL, INK, "middle"),
        label("wall", 680, 66, (666, y - 8), 30),
    ]
