"""Where cooling and cabin air are measured: the taps about the cylinders, and the pilot's head."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First: air is forced down past the cylinders; a gauge between two taps, above and below, reads the pressure "
    "drop, and the engine speed is read with it. Second: carbon monoxide is read at the pilot's head, heat off and "
    "heat on, doors shut; the heater is a jacket around the exhaust, and a crack in the exhaust lets the gas in."
)


def cooling() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Across the cylinders", 14, INK, bold=True), *_drop(),
        number(400, 24, 2), paper.text(418, 29, "At the pilot's head", 14, INK, bold=True), *_cabin(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "Where cooling and cabin air are measured", WORDS, body)


def _drop() -> list[str]:
    fins = [paper.line(96 + 12 * i, 124, 96 + 12 * i, 176, INK, 2) for i in range(9)]
    return [
        paper.rectangle(64, 66, 160, 180, PAPER, INK, 1.5, 8),
        paper.rectangle(86, 120, 116, 60, METAL, INK, 1.5, 4),
        *fins,
        *(paper.arrow(x, 80, x, 114, ACCENT, 2, 8) for x in (100, 144, 188)),
        *(paper.arrow(x, 186, x, 220, ACCENT, 2, 8) for x in (100, 144, 188)),
        paper.line(224, 92, 276, 92, INK, 2),
        paper.line(224, 224, 276, 224, INK, 2),
        paper.line(276, 92, 276, 224, INK, 2),
        paper.circle(276, 158, 18, PAPER, INK, 2),
        paper.line(276, 158, 286, 148, ACCENT, 2),
        label("the drop, with the engine's speed", 304, 154, None, 64),
        label("from the fan", 70, 58, None, 100),
        paragraph("Temperatures at their highest, settled; air and height at that moment.", 24, 284, 330),
    ]


def _cabin() -> list[str]:
    return [
        paper.rectangle(424, 70, 180, 150, PAPER, INK, 1.5, 24),
        paper.circle(500, 116, 16, PAPER, INK, 2),
        paper.line(500, 132, 500, 178, INK, 4),
        paper.line(500, 178, 462, 178, INK, 4),
        paper.rectangle(520, 100, 22, 26, BAND, INK, 1.5, 3),
        paper.rectangle(560, 236, 110, 26, METAL, INK, 1.5, 6),
        paper.line(584, 236, 560, 206, INK, 4),
        label("detector", 556, 96, (543, 108), 60),
        label("exhaust in the heater's jacket", 420, 246, (560, 249), 110),
        paper.text(612, 84, "doors shut", SMALL, QUIET),
        paragraph("Heat off and heat on. You cannot smell it.", 400, 296, 290),
    ]
