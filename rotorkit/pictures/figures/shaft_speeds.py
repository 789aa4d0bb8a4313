"""How drive ratios are counted, and a tachometer is checked against an optical one."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET

WIDTH, HEIGHT = 720, 290

WORDS = (
    "First, chalk marks on the engine's pulley, on one main-rotor blade and on one tail-rotor blade, each against a "
    "fixed pointer. Second, the main rotor is turned by hand ten whole turns in its own direction; the whole turns "
    "of the other end are counted and its last part turn is estimated. Third, on the first run an optical tachometer "
    "is compared with the panel's at the same moment."
)


def shaft_speeds() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Mark both ends", 14, INK, bold=True), *_marks(),
        number(262, 24, 2), paper.text(280, 29, "Turn, and count both", 14, INK, bold=True), *_turns(),
        number(500, 24, 3), paper.text(518, 29, "Optical against panel", 14, INK, bold=True), *_optical(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How shaft speeds are checked", WORDS, body)


def _marks() -> list[str]:
    return [
        paper.circle(110, 126, 56, METAL, INK, 1.5),
        paper.circle(110, 126, 8, PAPER, INK, 1.5),
        paper.line(110, 84, 110, 72, ACCENT, 5),
        paper.polygon([(110, 66), (103, 52), (117, 52)], INK, INK, 1),
        label("fixed pointer", 132, 58, (118, 56), 80),
        label("chalk mark", 172, 92, (114, 78), 70),
        paragraph("Engine off and safe, plugs out. A mark on the pulley and on one blade of each rotor.", 24, 226, 210),
    ]


def _turns() -> list[str]:
    return [
        paper.line(280, 90, 460, 90, INK, 5),
        paper.line(370, 90, 370, 150, METAL, 9),
        paper.circle(370, 90, 7, PAPER, INK, 1.5),
        paper.curve("M 420 76 A 52 16 0 0 0 330 72", ACCENT, 2),
        paper.arrow(340, 70, 326, 75, ACCENT, 2, 8),
        paper.circle(330, 170, 24, METAL, INK, 1.5),
        paper.line(330, 152, 330, 146, ACCENT, 4),
        label("10 whole turns", 375, 56, None, 110),
        label("count whole turns, then the part turn", 372, 176, (354, 170), 110),
        paragraph("Write how well you know the last part turn: 58.00 ± 0.05 turns.", 262, 226, 210),
    ]


def _optical() -> list[str]:
    return [
        paper.line(512, 84, 690, 84, INK, 5),
        paper.rectangle(656, 80, 20, 8, ACCENT, INK, 1),
        paper.rectangle(560, 150, 52, 30, BAND, INK, 1.5, 4),
        paper.line(606, 148, 664, 92, QUIET, 1.5, "5 4"),
        label("reflecting tape, one blade only", 520, 62, (658, 80), 110),
        label("optical tachometer", 560, 200, None, 120),
        paragraph("Read it and the panel at the same moment, from well clear of the disk.", 500, 226, 200),
    ]
