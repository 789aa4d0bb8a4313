"""How ignition timing is read: a piston stop and a degree disc find the top, the disc is read as the points open."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET

WIDTH, HEIGHT = 720, 320

WORDS = (
    "First, a stop in the plug hole catches the piston at the same height before and after the top: top dead centre "
    "is halfway between the two disc readings. Second, the disc is read as the points open, approached in the "
    "direction the engine runs. Timing is positive before top dead centre."
)


def ignition_timing() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Find the top with a stop", 14, INK, bold=True), *_stop(),
        number(380, 24, 2), paper.text(398, 29, "Read the disc as the points open", 14, INK, bold=True), *_disc(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How ignition timing is read", WORDS, body)


def _stop() -> list[str]:
    return [
        paper.rectangle(96, 70, 14, 130, METAL, INK, 1.5),
        paper.rectangle(186, 70, 14, 130, METAL, INK, 1.5),
        paper.rectangle(96, 58, 104, 14, METAL, INK, 1.5),
        paper.rectangle(142, 44, 12, 56, ACCENT, INK, 1.5),
        paper.rectangle(112, 100, 72, 44, BAND, INK, 1.5, 4),
        paper.line(148, 130, 176, 216, INK, 5),
        paper.circle(148, 130, 5, PAPER, INK, 1.5),
        paper.circle(176, 216, 6, PAPER, INK, 1.5),
        paper.circle(148, 236, 36, "none", QUIET, 1.5),
        label("piston stop", 214, 60, (154, 54), 100),
        label("piston", 214, 120, (184, 122), 80),
        paragraph("Turn gently up to the stop from each side: halfway is the top.", 24, 292, 320),
    ]


def _disc() -> list[str]:
    return [
        paper.circle(520, 160, 84, PAPER, INK, 1.5),
        paper.circle(520, 160, 8, METAL, INK, 1.5),
        paper.line(520, 160, 520, 76, INK, 2),
        paper.line(520, 160, 484, 84, ACCENT, 2.5),
        paper.line(520, 160, 582, 103, QUIET, 1.5, "5 3"),
        paper.line(520, 160, 458, 103, QUIET, 1.5, "5 3"),
        label("top", 530, 68, (520, 76), 60),
        label("points open", 392, 74, (484, 84), 80),
        label("on the stop", 606, 96, (582, 103), 90),
        label("on the stop", 384, 120, (458, 103), 70),
        paragraph("Approach it the way the engine runs, never backwards.", 380, 292, 320),
    ]
