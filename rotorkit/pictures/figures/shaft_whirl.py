"""Where a shaft on hangers is measured, and how it bows out at its critical speed."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First, a tubular shaft on its hangers: every place is measured from the front end of the shaft to the middle of "
    "the bearing. Second, at its critical speed the shaft bows between its hangers, most in the longest span; a "
    "hanger that was moved, or is softer, lowers that speed."
)


def shaft_whirl() -> str:
    """The figure as SVG text."""
    hangers = (70.0, 230.0, 400.0, 640.0)
    y, below = 92.0, 238.0
    body = [
        number(24, 24, 1), paper.text(42, 29, "Places, all from the front end", 14, INK, bold=True),
        paper.rectangle(50, y - 6, 620, 12, METAL, INK, 1.5, 3),
        *[part for x in hangers for part in _hanger(x, y)],
        paper.line(50, y + 30, 50, y + 74, QUIET, 1),
        *[paper.arrow(50, y + 34 + 12 * i, x, y + 34 + 12 * i, ACCENT, 1.4) for i, x in enumerate(hangers)],
        label("front end", 24, 62, (50, 84), 60),
        label("middle of the bearing", 262, 60, (230, 76), 140),
        paper.line(12, 178, WIDTH - 12, 178, "#bdbdbd", 1),
        number(24, 202, 2), paper.text(42, 207, "Whirl: it bows, most in the longest span", 14, INK, bold=True),
        paper.curve(
            f"M 50 {below + 6} L 70 {below} C 120 {below - 22} 180 {below - 22} 230 {below} "
            f"C 290 {below + 34} 340 {below + 34} 400 {below} C 480 {below - 66} 560 {below - 66} 640 {below} "
            f"L 670 {below + 12}", ACCENT, 2.5,
        ),
        paper.line(50, below, 670, below, QUIET, 1, "6 4"),
        *[paper.circle(x, below, 5, PAPER, INK, 1.5) for x in hangers],
        paragraph("Nobody stands beside a shaft the first time it is run up.", 24, 296, 560),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "A shaft on its hangers", WORDS, body)


def _hanger(x: float, y: float) -> list[str]:
    return [
        paper.rectangle(x - 9, y - 16, 18, 32, BAND, INK, 1.5, 3),
        paper.line(x, y + 16, x, y + 26, INK, 3),
        paper.line(x - 12, y + 27, x + 12, y + 27, INK, 2),
    ]
