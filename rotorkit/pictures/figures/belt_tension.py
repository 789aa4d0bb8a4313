"""How belt tension is measured: its run plucked and heard, or pressed aside with a force gauge."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 300

WORDS = (
    "First, one run of a belt is plucked in its middle between the two pulleys, and the frequency at which it rings "
    "is read close by; the free length of the run is from where it leaves one pulley to where it meets the other. "
    "Second, as another way, the middle of the run is pressed square aside by one sixty-fourth of that length and "
    "the force is read."
)


def belt_tension() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "By the sound of the run", 14, INK, bold=True), *_drive(24),
        paper.curve("M 96 82 C 150 66 220 66 280 74", ACCENT, 1.5, "none", "5 4"),
        paper.curve("M 96 82 C 150 94 220 90 280 74", ACCENT, 1.5, "none", "5 4"),
        label("pluck here, listen close by", 132, 48, (186, 76), 170),
        paragraph("Three times. Keep the other belts of the set off it.", 24, 262, 300),
        number(384, 24, 2), paper.text(402, 29, "Or by pressing it aside", 14, INK, bold=True), *_drive(384),
        paper.arrow(546, 46, 546, 72, ACCENT, 3, 9),
        label("force gauge, square to the run", 560, 52, (550, 58), 120),
        paragraph("Press by 1/64 of the free length: a rule across both pulleys shows it.", 384, 262, 310),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How belt tension is measured", WORDS, body)


def _drive(left: float) -> list[str]:
    small, large, y = left + 72, left + 256, 132.0
    return [
        paper.circle(small, y, 50, METAL, INK, 1.5),
        paper.circle(large, y, 62, METAL, INK, 1.5),
        paper.circle(small, y, 6, PAPER, INK, 1.5),
        paper.circle(large, y, 6, PAPER, INK, 1.5),
        paper.line(small, y - 50, large, y - 62, INK, 4),
        paper.line(small, y + 50, large, y + 62, INK, 4),
        paper.line(small, y + 56, small, y + 88, QUIET, 1),
        paper.line(large, y + 66, large, y + 88, QUIET, 1),
        paper.arrow(small, y + 82, large, y + 82, QUIET, 1.2),
        paper.arrow(large, y + 82, small, y + 82, QUIET, 1.2),
        paper.text((small + large) / 2, y + 98, "centre distance", SMALL, INK, "middle"),
    ]
