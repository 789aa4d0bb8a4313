"""Where the day's readings for the hover are taken."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 386
GROUND = 268.0

WORDS = (
    "Left: the helicopter on its scales, weighed as it will lift off today with people, fuel and baggage, or its "
    "weight from the weight record. Middle: thermometer and hygrometer hang in the shade at rotor height, "
    "away from the engine and from hot ground. Right: the altimeter; turn its knob until the hands show the field's "
    "elevation, then read the altimeter setting in the small window. The rotor speed is the one you will hover at."
)


def hover_margin() -> str:
    """The figure as SVG text."""
    body = [
        paper.line(12, GROUND, 474, GROUND, QUIET, 2),
        number(24, 24, 1), paper.text(42, 29, "Weight, as lifted today", 14, INK, bold=True), *_helicopter(),
        number(330, 24, 2), paper.text(348, 29, "Air", 14, INK, bold=True), *_air(),
        paper.line(484, 14, 484, HEIGHT - 14, "#bdbdbd", 1),
        number(510, 24, 3), paper.text(528, 29, "Altimeter setting", 14, INK, bold=True), *_altimeter(600, 142, 82),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "Where the readings for the hover are taken", WORDS, body)


def _helicopter() -> list[str]:
    """A light helicopter seen from the side, on scales."""
    cabin = "M 64 196 C 66 168 92 146 126 146 L 168 150 L 186 176 L 180 214 L 100 222 C 78 220 64 210 64 196 Z"
    glass = "M 74 190 C 78 170 98 156 122 156 L 122 194 Z"
    boom = "M 180 172 L 292 166 L 292 174 L 182 196 Z"
    return [
        paper.line(24, 112, 256, 112, INK, 3),
        paper.rectangle(132, 106, 16, 10, METAL, INK, 1.5),
        paper.line(140, 116, 140, 148, INK, 4),
        paper.curve(boom, INK, 1.5, METAL),
        paper.curve(cabin, INK, 1.5, METAL),
        paper.curve(glass, INK, 1.2, PAPER),
        paper.line(292, 140, 292, 200, INK, 2.5),
        paper.circle(292, 170, 4, METAL, INK, 1.5),
        paper.line(106, 222, 98, 244, INK, 2.5),
        paper.line(168, 216, 176, 244, INK, 2.5),
        paper.curve("M 66 238 C 68 244 74 246 80 246 L 204 246", INK, 3),
        *[
            paper.rectangle(x, 248, 40, 18, PAPER, ACCENT, 2, 3) + paper.line(x + 10, 257, x + 30, 257, ACCENT, 2)
            for x in (78.0, 158.0)
        ],
        label("rotor speed of the hover", 30, 92, (90, 110), 200),
        label("scales, or the weight record", 214, 236, (200, 256), 110),
        paragraph("Empty weight, people, fuel, baggage: everything that leaves the ground.", 24, 294, 280),
        paragraph("Field elevation from the chart, above mean sea level.", 24, 336, 280),
    ]


def _air() -> list[str]:
    """Thermometer and hygrometer in the shade, the sun crossed off by a roof."""
    rays = [
        paper.line(
            450 + 20 * math.cos(a), 60 + 20 * math.sin(a), 450 + 27 * math.cos(a), 60 + 27 * math.sin(a), QUIET, 2
        )
        for a in (math.pi * k / 4 for k in range(8))
    ]
    return [
        paper.circle(450, 60, 14, PAPER, QUIET, 2),
        *rays,
        paper.polygon([(340, 108), (398, 78), (456, 108)], METAL, INK, 1.5),
        paper.line(346, 108, 346, GROUND, INK, 2),
        paper.line(450, 108, 450, GROUND, INK, 2),
        paper.line(378, 110, 378, 122, INK, 1),
        paper.rectangle(373, 122, 10, 52, PAPER, INK, 1.5, 5),
        paper.circle(378, 178, 9, ACCENT, INK, 1.5),
        paper.rectangle(376, 144, 4, 32, ACCENT),
        paper.line(420, 110, 420, 126, INK, 1),
        paper.circle(420, 146, 20, PAPER, INK, 1.5),
        paper.text(420, 151, "%", 13, INK, "middle", bold=True),
        paper.text(398, 210, "in the shade,", SMALL, INK, "middle"),
        paper.text(398, 226, "at rotor height", SMALL, INK, "middle"),
        paragraph(
            "Away from the engine, its exhaust and hot ground. Temperature and humidity together.", 330, 294, 146
        ),
    ]


def _altimeter(x: float, y: float, radius: float) -> list[str]:
    """An altimeter: numbers, two hands, the setting's window and the knob."""
    parts = [paper.circle(x, y, radius, PAPER, INK, 2.5)]
    for k in range(10):
        angle = math.radians(-90 + 36 * k)
        cosine, sine = math.cos(angle), math.sin(angle)
        parts.append(
            paper.line(
                x + (radius - 9) * cosine,
                y + (radius - 9) * sine,
                x + (radius - 2) * cosine,
                y + (radius - 2) * sine,
                INK,
                2,
            )
        )
        if k != 3:  # the setting's window is there
            parts.append(
                paper.text(x + (radius - 20) * cosine, y + (radius - 20) * sine + 4.5, str(k), 13, INK, "middle")
            )
    for turn, length, thick in ((-90 + 72, radius - 30, 3.0), (-90 + 43, radius - 46, 5.5)):
        angle = math.radians(turn)
        parts.append(paper.line(x, y, x + length * math.cos(angle), y + length * math.sin(angle), INK, thick))
    parts += [
        paper.circle(x, y, 6, INK, INK, 1),
        paper.rectangle(x + 16, y + 10, 50, 20, "#eef4fa", ACCENT, 2, 2),
        paper.text(x + 41, y + 25, "29.92", 13, INK, "middle", bold=True),
        paper.circle(x - 62, y + 70, 13, METAL, INK, 1.5),
        paper.line(x - 70, y + 65, x - 54, y + 75, INK, 1),
        paper.line(x - 72, y + 71, x - 58, y + 79, INK, 1),
        label("then read the setting in the window", 622, 254, None, 96),
        paper.path([(686, 240), (686, 190), (x + 68, y + 26)], QUIET, 1)
        + paper.circle(x + 66, y + 25, 2, QUIET, QUIET, 1),
        label("turn the knob until the hands show the field's elevation", 500, 254, (x - 64, y + 84), 110),
        paragraph(
            "Away from an airfield: ask for the altimeter setting, which is the pressure reduced to sea level.",
            500,
            326,
            208,
        ),
    ]
    return parts
