"""How a control's travel is mapped: tape at the control, protractor at the blade, one way and back."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, group, label, number, paragraph, protractor, section
from rotorkit.pictures.paper import BAND, INK, LINES, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First, a pedal with a tape along its path, fixed at one end: the position is read from one and the same mark. "
    "Second, a blade with the protractor on its flat block: do not turn the rotor until the sheet is full. Third, the "
    "result: blade angle over position, one line for the way out and one for the way back; the height between them is "
    "the friction band, the width between them the dead band of the control, and their slope the angle per inch."
)


def control_travel() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Position of the control", 14, INK, bold=True), *_pedal(),
        number(262, 24, 2), paper.text(280, 29, "Angle of the blade", 14, INK, bold=True), *_blade(),
        number(482, 24, 3), paper.text(500, 29, "Out and back", 14, INK, bold=True), *_lines(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How a control's travel is mapped", WORDS, body)


def _pedal() -> list[str]:
    ticks = [paper.line(40 + 18 * i, 176, 40 + 18 * i, 176 + (14 if i % 2 == 0 else 9), INK, 1.2) for i in range(10)]
    return [
        paper.rectangle(34, 176, 176, 22, "#fff7d6", INK, 1.5),
        *ticks,
        paper.line(120, 250, 92, 92, INK, 5),
        paper.rectangle(70, 76, 40, 18, METAL, INK, 1.5, 3),
        paper.circle(120, 252, 7, METAL, INK, 1.5),
        paper.line(120, 250, 160, 94, QUIET, 1.5, "5 4"),
        paper.arrow(104, 128, 142, 128, ACCENT, 2.5, 9),
        label("tape along its path, fixed at one end", 24, 222, (44, 198), 80),
        label("approach each place without overshooting", 132, 62, None, 110),
        paragraph("Hands light: a hard pull stretches the cable.", 24, 290, 200),
    ]


def _blade() -> list[str]:
    on_top = group(
        30, -12, 0, [paper.rectangle(-32, -5, 64, 5, METAL, INK, 1.2), group(0, -5, 0, protractor("left", 1.2))]
    )
    return [
        paper.line(268, 170, 462, 170, QUIET, 1, "6 4"),
        group(356, 170, 9, [*section(160), on_top]),
        paragraph(
            "The same blade in the same place. Do not turn the rotor until the last row is filled in.", 268, 238, 190
        ),
    ]


def _lines() -> list[str]:
    left, bottom = 510.0, 236.0
    out, back = LINES["main"], LINES["second"]
    return [
        paper.polygon(
            [
                (left + 16, bottom - 22),
                (left + 170, bottom - 148),
                (left + 170, bottom - 174),
                (left + 16, bottom - 48),
            ],
            BAND,
        ),
        paper.path([(left, 60), (left, bottom), (left + 190, bottom)], INK, 1.5),
        paper.path([(left + 16, bottom - 22), (left + 170, bottom - 148)], out[0], out[1], out[2]),
        paper.path([(left + 16, bottom - 48), (left + 170, bottom - 174)], back[0], back[1], back[2]),
        *[paper.circle(left + 16 + 38.5 * i, bottom - 22 - 31.5 * i, 4, out[0], PAPER, 1) for i in range(5)],
        *[paper.rectangle(left + 12 + 38.5 * i, bottom - 52 - 31.5 * i, 8, 8, PAPER, back[0], 2) for i in range(5)],
        paper.arrow(left + 93, bottom - 85, left + 93, bottom - 111, ACCENT, 1.5, 7),
        paper.arrow(left + 93, bottom - 111, left + 93, bottom - 85, ACCENT, 1.5, 7),
        label("friction band", left + 106, bottom - 66, (left + 94, bottom - 98), 90),
        paper.text(left + 95, bottom + 18, "position of the control", SMALL, QUIET, "middle"),
        paper.text(left - 4, 54, "blade angle", SMALL, QUIET, "start"),
        paragraph("Out: disks. Back: squares. Slope: angle per inch.", left - 22, 284, 210),
    ]
