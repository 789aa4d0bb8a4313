"""What is read of a gearbox's oil: gauge, air, and the magnet's harvest."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET

WIDTH, HEIGHT = 720, 320

WORDS = (
    "First, a gearbox with its oil, the bulb of the gauge and the magnetic plug at its lowest point. Second, what is "
    "on the white cloth: fine grey fuzz is wear; a flake, a splinter or a piece with an edge is a part breaking up."
)


def gearbox_oil() -> str:
    """The figure as SVG text."""
    fuzz = [paper.circle(474 + 9 * (k % 6) + 3 * (k % 2), 112 + 8 * (k // 6), 1.3, QUIET, QUIET, 1) for k in range(24)]
    body = [
        number(24, 24, 1), paper.text(42, 29, "Oil, gauge and magnet", 14, INK, bold=True),
        paper.rectangle(70, 90, 190, 130, METAL, INK, 1.5, 10), paper.rectangle(72, 160, 186, 58, BAND, BAND, 0, 8),
        paper.rectangle(146, 52, 38, 38, METAL, INK, 1.5), paper.rectangle(146, 216, 36, 26, PAPER, INK, 1.5),
        paper.rectangle(157, 206, 14, 12, INK, INK, 1), paper.line(250, 186, 300, 186, INK, 3),
        paper.circle(322, 186, 20, PAPER, INK, 1.5), paper.line(322, 186, 332, 174, ACCENT, 2),
        label("oil", 100, 186), label("gauge: warmed through", 288, 228, width=90),
        label("magnetic plug at the lowest point", 60, 268, (150, 236), 220),
        label("outside air: at the same moment", 206, 66, width=180),
        paper.line(396, 12, 396, HEIGHT - 12, "#bdbdbd", 1),
        number(420, 24, 2), paper.text(438, 29, "On the white cloth", 14, INK, bold=True),
        paper.rectangle(430, 70, 260, 100, PAPER, INK, 1.5), *fuzz,
        paper.path([(590, 104), (618, 98), (626, 112), (604, 122), (590, 104)], INK, 1.5),
        paper.line(640, 134, 664, 120, INK, 3),
        label("fine fuzz that smears: wear", 434, 196, (494, 140), 110),
        label("flake or splinter: do not fly", 580, 196, (606, 118), 110),
        paragraph("Measure the largest piece, keep it in a bag with the date and the hours.", 420, 256, 280),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "Oil and metal in a gearbox", WORDS, body)
