"""How cable tension is read with a gauge."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET

WIDTH, HEIGHT = 720, 384
CABLE = 118.0

WORDS = (
    "First, a tension gauge clamped on a straight run of cable, away from pulleys, fairleads, turnbuckles and "
    "splices: two anvils hold the cable from one side, the riser between them presses it the other way, and the dial "
    "shows divisions, not pounds. Note the riser's number. Second, a thermometer on the airframe beside the cable, "
    "after the whole aircraft has stood at that temperature. Third, how the figure follows: this gauge's own table, "
    "for this riser and this cable, turns the dial reading into the tension now; that is corrected to the manual's "
    "temperature and compared with the manual's limit."
)


def cable_tension() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1),
        paper.text(42, 29, "Gauge on a straight run, controls at neutral", 14, INK, bold=True),
        *_run(), *_gauge(),
        number(24, 300, 2), paper.text(42, 305, "Temperature", 14, INK, bold=True), *_thermometer(),
        paper.line(462, 14, 462, HEIGHT - 14, "#bdbdbd", 1),
        number(488, 24, 3), paper.text(506, 29, "How the figure follows", 14, INK, bold=True), *_chain(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How cable tension is read with a gauge", WORDS, body)


def _run() -> list[str]:
    """The cable from a pulley to a turnbuckle, deflected by the gauge in the middle."""
    points = [(48, CABLE), (160, CABLE), (220, CABLE - 12), (280, CABLE), (366, CABLE)]
    return [
        paper.circle(48, CABLE + 22, 22, METAL, INK, 1.5),
        paper.circle(48, CABLE + 22, 5, PAPER, INK, 1.5),
        paper.path([(26, CABLE + 60), (26, CABLE + 22)], INK, 3),
        paper.path(points, INK, 3.5),
        paper.path(points, METAL, 1.2, "3 3"),
        paper.rectangle(366, CABLE - 8, 54, 16, METAL, INK, 1.5, 5),
        paper.line(378, CABLE - 8, 378, CABLE + 8, INK, 1),
        paper.line(408, CABLE - 8, 408, CABLE + 8, INK, 1),
        paper.line(420, CABLE, 450, CABLE, INK, 3.5),
        label("pulley or fairlead: keep away", 16, 64, (50, CABLE - 4), 110),
        label("turnbuckle, splice: keep away", 356, 64, (394, CABLE - 10), 100),
    ]


def _gauge() -> list[str]:
    """The gauge: body, anvils below the cable, riser pressing it up, dial and its hand."""
    parts = [
        paper.rectangle(140, CABLE + 12, 160, 34, METAL, INK, 1.5, 6),
        paper.rectangle(186, CABLE + 40, 68, 24, METAL, INK, 1.5),
        paper.circle(220, CABLE + 102, 46, PAPER, INK, 2),
    ]
    for x in (160.0, 280.0):
        parts.append(
            paper.polygon(
                [(x - 9, CABLE + 14), (x - 7, CABLE - 14), (x + 7, CABLE - 14), (x + 9, CABLE + 14)], METAL, INK, 1.5
            )
        )
        parts.append(paper.line(x - 6, CABLE - 3, x + 6, CABLE - 3, INK, 2))
    parts.append(
        paper.polygon(
            [(210, CABLE + 16), (212, CABLE - 6), (220, CABLE - 10), (228, CABLE - 6), (230, CABLE + 16)],
            ACCENT,
            INK,
            1.5,
        )
    )
    for i in range(11):
        angle = math.radians(150 + 24 * i)
        inner = 34 if i % 5 else 30
        parts.append(
            paper.line(
                220 + inner * math.cos(angle),
                CABLE + 102 + inner * math.sin(angle),
                220 + 40 * math.cos(angle),
                CABLE + 102 + 40 * math.sin(angle),
                INK,
                1.5,
            )
        )
    hand = math.radians(292)
    parts += [
        paper.line(220, CABLE + 102, 220 + 33 * math.cos(hand), CABLE + 102 + 33 * math.sin(hand), ACCENT, 3),
        paper.circle(220, CABLE + 102, 4, INK, INK, 1),
        label("riser: note its number, it goes with the table", 172, 62, (220, CABLE - 3), 150),
        label("anvils", 104, CABLE + 58, (154, CABLE + 8), 60),
        label("dial: read its divisions. They are not pounds.", 300, CABLE + 96, (262, CABLE + 100), 140),
        label("lift off, work the controls, put it on again: three readings", 20, CABLE + 92, None, 140),
    ]
    return parts


def _thermometer() -> list[str]:
    return [
        paper.rectangle(352, 290, 10, 52, PAPER, INK, 1.5, 5),
        paper.circle(357, 346, 9, ACCENT, INK, 1.5),
        paper.rectangle(355, 312, 4, 32, ACCENT),
        *[paper.line(364, 298 + 8 * i, 370, 298 + 8 * i, INK, 1) for i in range(6)],
        paragraph(
            "On the airframe beside the cable, out of the sun, once the whole aircraft has stood at that temperature "
            "long enough: airframe and cable expand differently.",
            42, 326, 300,
        ),
    ]  # fmt: skip


def _chain() -> list[str]:
    """Dial, table, tension now, tension at the manual's temperature, limit: one under the other."""
    boxes = [
        ("dial reading", PAPER),
        ("this gauge's own table: this serial number, this riser, this cable", "#eef4fa"),
        ("tension now", PAPER),
        ("cable and airframe: correct to the manual's temperature", "#eef4fa"),
        ("tension to compare with the manual's limit", PAPER),
    ]
    parts, y = [], 46.0
    for i, (words, fill) in enumerate(boxes):
        lines = paper.wrapped(words, 196, 12.5)
        high = 16.0 * len(lines) + 14
        parts.append(paper.rectangle(486, y, 220, high, fill, INK if fill == PAPER else ACCENT, 1.5, 5))
        parts += [paper.text(596, y + 20 + 16 * k, one, 12.5, INK, "middle") for k, one in enumerate(lines)]
        y += high
        if i < len(boxes) - 1:
            parts.append(paper.arrow(596, y + 2, 596, y + 22, QUIET, 2, 9))
            y += 24
    return parts
