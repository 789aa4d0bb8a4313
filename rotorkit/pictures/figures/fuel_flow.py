"""How the fuel flow is tested: into a can at the carburettor's height; what an attitude does to the head."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, group, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First: with the tank at its minimum and the vents open, the line is taken off at the carburettor and its end "
    "held at the height of the inlet; a marked volume is timed into a grounded can. Second: with the nose up, a tank "
    "aft of the carburettor comes down relative to it, and the head that drives the fuel is smaller."
)


def fuel_flow() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Into the can", 14, INK, bold=True), *_can(),
        number(400, 24, 2), paper.text(418, 29, "What attitude costs", 14, INK, bold=True), *_head(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How the fuel flow is tested", WORDS, body)


def _tank(x: float, y: float) -> list[str]:
    return [paper.rectangle(x, y, 78, 46, METAL, INK, 1.5, 6), paper.rectangle(x + 3, y + 30, 72, 13, BAND, INK, 1)]


def _can() -> list[str]:
    return [
        *_tank(70, 62),
        paper.line(109, 62, 109, 50, INK, 2),
        paper.line(109, 108, 109, 130, INK, 3),
        paper.line(109, 130, 206, 168, INK, 3),
        paper.rectangle(206, 196, 54, 56, PAPER, INK, 1.5),
        paper.rectangle(206, 226, 54, 26, BAND, INK, 1),
        paper.line(206, 168, 232, 168, INK, 3),
        paper.line(232, 168, 232, 192, ACCENT, 2, "4 3"),
        paper.line(150, 168, 300, 168, QUIET, 1, "3 2"),
        label("vent open", 122, 48, (111, 52), 90),
        label("tank at its minimum", 164, 96, (146, 98), 130),
        label("inlet of the carburettor: the line's end stays at this height", 272, 190, (234, 168), 110),
        label("can, grounded; time a marked volume", 50, 216, (206, 226), 120),
        paragraph("Worst attitude of flight. With a pump: its own pressure held.", 24, 292, 330),
    ]


def _head() -> list[str]:
    parts = [
        *_tank(60, -92),
        paper.rectangle(-60, -16, 34, 32, METAL, INK, 1.5, 3),
        paper.line(99, -46, 99, -6, INK, 2),
        paper.line(99, -6, -26, -6, INK, 2),
    ]
    return [
        group(500, 196, 14, parts),
        paper.line(470, 188, 690, 188, QUIET, 1, "3 2"),
        paper.line(606, 160, 690, 160, QUIET, 1, "3 2"),
        paper.arrow(676, 188, 676, 160, ACCENT, 2, 9),
        label("head", 684, 178, None, 40),
        label("carburettor", 402, 150, (452, 186), 80),
        label("nose up: the rear tank is lower", 560, 268, (606, 162), 140),
        paragraph("Without head, nothing flows.", 400, 300, 290),
    ]
