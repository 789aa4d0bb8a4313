"""How a blade's angle is read with a protractor."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, group, label, number, paragraph, protractor, section, turn_arrow
from rotorkit.pictures.paper import INK, METAL, QUIET, SMALL

WIDTH, HEIGHT = 720, 520
ANGLE, LEAN = 13.0, 6.0
THREE_WAYS = "One of three ways (the black tab is one and the same end of the protractor)"
BLADE = [(464.0, 102.0), (486.0, 96.0), (704.0, 96.0), (704.0, 140.0), (486.0, 140.0), (464.0, 126.0)]

WORDS = (
    "First, which way is which: a blade section seen from the tip, its leading edge to the left, with a flat block "
    "and the protractor on top; one arrow turns the leading edge up, the other down. The aircraft file says which "
    "of the two is positive and which makes the reading rise. Second, where: the block lies across the chord at the "
    "station the manual names, square to the span. Third, one of three ways. One: the reading on the blade less "
    "the reading on a surface square to the shaft, protractor the same way round, rotor not turned. Two: two "
    "readings half a turn apart, the marked end of the protractor at the leading edge both times: their mean less "
    "the protractor's zero. Three: two readings half a turn apart, the marked end to the same side of the hangar "
    "both times: half of the first less the second. All with the sign that the aircraft file gives."
)


def blade_angles() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Which way is which", 14, INK, bold=True), *_signs(),
        number(400, 24, 2), paper.text(418, 29, "Where", 14, INK, bold=True), *_where(),
        paper.line(12, 244, WIDTH - 12, 244, "#bdbdbd", 1),
        number(24, 268, 3), paper.text(42, 273, THREE_WAYS, 14, INK, bold=True),
    ]  # fmt: skip
    ways = [
        ("One: less a reference", "blade − reference", "blade", "reference", _reference("left"), False),
        ("Two: turned with the blade", "mean of both − zero", "first", "half a turn later", None, True),
        ("Three: facing one way", "(first − second) / 2", "first", "half a turn later", None, False),
    ]
    for i, (title, result, first, second, other, with_blade) in enumerate(ways):
        left = 12 + 236 * i
        body.append(paper.text(left + 6, 304, title, 13, INK, bold=True))
        body += _view(left + 58, 404, _on_blade("left"), False)
        drawn = other if other is not None else _on_blade("left" if with_blade else "right")
        body += _view(left + 168, 404, drawn, other is None)
        body.append(paper.text(left + 58, 464, first, SMALL, QUIET, "middle"))
        body.append(paper.text(left + 168, 464, second, SMALL, QUIET, "middle"))
        body.append(paper.rectangle(left + 4, 474, 222, 38, "#eef4fa", ACCENT, 1, 4))
        body.append(paper.text(left + 115, 490, "blade angle, apart from its sign =", SMALL, INK, "middle"))
        body.append(paper.text(left + 115, 506, result, 13, INK, "middle", bold=True))
        if i:
            body.append(paper.line(left - 4, 288, left - 4, 510, "#bdbdbd", 1))
    return paper.picture(WIDTH, HEIGHT, "How blade angles are read with a protractor", WORDS, body)


def _signs() -> list[str]:
    x, y = 190.0, 138.0
    chord = 190.0
    on_top = group(
        40, -13, 0, [paper.rectangle(-36, -5, 72, 5, METAL, INK, 1.2), group(0, -5, 0, protractor("left", 1.3))]
    )
    return [
        paper.line(x - 120, y, x + 160, y, QUIET, 1, "6 4"),
        paper.text(x + 164, y + 4, "level", SMALL, QUIET),
        group(x, y, ANGLE, [*section(chord), on_top]),
        turn_arrow(x, y, 92, 192, 222),
        turn_arrow(x, y, 92, 186, 156),
        label("leading edge up", 14, 62, None, 100),
        label("leading edge down", 14, 196, None, 120),
        label("flat block, protractor", 258, 62, (244, 104), 110),
        paragraph(
            "The aircraft file says which way is + for the blade, and which way the reading rises.", 142, 203, 245
        ),
    ]


def _where() -> list[str]:
    top, bottom = 96.0, 140.0
    station = 566.0
    return [
        paper.circle(416, 118, 15, METAL, INK, 1.5),
        paper.circle(416, 118, 4, INK, INK, 1),
        paper.rectangle(428, 109, 40, 18, METAL, INK, 1.5),
        paper.polygon(BLADE, "#f4f4f4", INK, 1.5),
        paper.line(station, top - 12, station, bottom + 12, ACCENT, 1.5, "4 3"),
        paper.rectangle(station - 7, top - 3, 14, bottom - top + 6, METAL, INK, 1.2),
        paper.rectangle(station - 5, top + 6, 10, 32, "#ffffff", INK, 1.5, 2),
        paper.rectangle(station - 5, top + 6, 10, 6, INK, INK, 1),
        paper.text(640, 122, "blade from above", SMALL, QUIET, "middle"),
        label("shaft", 400, 166, (416, 134), 60),
        label("leading edge", 636, 76, (660, 96), 100),
        paper.arrow(416, 184, station, 184, ACCENT, 1.5),
        paper.arrow(station, 184, 416, 184, ACCENT, 1.5),
        paper.line(416, 176, 416, 192, ACCENT, 1.5),
        paper.line(station, 156, station, 192, ACCENT, 1.5),
        paper.text((416 + station) / 2 + 10, 179, "station", SMALL, INK, "middle"),
        paragraph("At the manual's station, square to the span, on its flat block.", 400, 212, 310),
    ]  # fmt: skip


def _on_blade(marked: str) -> list[str]:
    """Blade section, block and protractor, about the quarter chord; `marked` end seen before any mirroring."""
    return [
        *section(84),
        paper.rectangle(-10, -11, 42, 4, METAL, INK, 1.2),
        group(11, -11, 0, protractor(marked, 0.85)),
    ]


def _reference(marked: str) -> list[str]:
    """A surface square to the shaft with the protractor on it."""
    return [paper.rectangle(-34, -4, 68, 8, METAL, INK, 1.5), group(0, -4, 0, protractor(marked, 0.85))]


def _view(x: float, y: float, drawn: list[str], turned: bool) -> list[str]:
    """One reading: a shaft that leans, and what is read on it; turned: leading edge to the right."""
    lean = math.radians(LEAN)
    is_blade = len(drawn) > 2 and "polygon" in drawn[0]
    tilt = (-(ANGLE - LEAN) if turned else ANGLE + LEAN) if is_blade else LEAN
    axis = [(x - 46 * math.sin(lean), y + 46 * math.cos(lean)), (x + 62 * math.sin(lean), y - 62 * math.cos(lean))]
    shaft = [(x - 46 * math.sin(lean), y + 46 * math.cos(lean)), (x, y)]
    return [
        paper.line(x - 50, y, x + 50, y, QUIET, 1, "6 4"),
        paper.path(shaft, "#bdbdbd", 9),
        paper.path(axis, QUIET, 1, "9 3 2 3"),
        group(x, y, tilt, drawn, mirrored=turned),
    ]
