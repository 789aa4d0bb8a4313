"""How a rotor is balanced in two planes: as found, a trial weight at either end in turn, washers at both."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import INK, METAL, PAPER, SMALL

WIDTH, HEIGHT = 720, 330

WORDS = (
    "A rotor on two bearings seen from the side, with plane A near the front pick-up and plane B near the rear one. "
    "First, it is run as found, and amplitude and phase are read at both pick-ups. Second, a trial weight in plane A "
    "alone, and both pick-ups are read again: it affects the far one too. Third, that weight comes off, and a trial "
    "weight goes into plane B alone. Then washers go into the holes of both planes together, and a check run is made."
)


def two_plane_balance() -> str:
    """The figure as SVG text."""
    steps = [
        (24, 1, "As found", None, "Amplitude and phase at both places, three times."),
        (255, 2, "Weight in A alone", "A", "Same speed, mounting and wind. Read both places again."),
        (486, 3, "Weight in B alone", "B", "A's weight is off. Read both places again."),
    ]
    body = []
    for x, figure, title, weight, words in steps:
        body += [
            number(x, 24, figure), paper.text(x + 18, 29, title, 14, INK, bold=True), *_rotor(x + 100, weight),
            paragraph(words, x, 232, 205),
        ]  # fmt: skip
    body += [
        label("pick-up, front", 24, 196, (72, 176), 100),
        label("pick-up, rear", 150, 196, (176, 176), 100),
        number(24, 300, 4),
        paper.text(42, 305, "Both trial weights off; washers into the holes of both planes; a check run.", 14, INK),
    ]
    return paper.picture(WIDTH, HEIGHT, "How a rotor is balanced in two planes", WORDS, body)


def _rotor(x: float, weight: str | None) -> list[str]:
    """The rotor from the side, about x: shaft, bearings with pick-ups, two disks as the planes."""
    parts = [paper.line(x - 78, 112, x + 90, 112, INK, 5)]
    for at in (x - 52, x + 52):
        parts += [
            paper.rectangle(at - 9, 104, 18, 62, PAPER, INK, 1.5),
            paper.rectangle(at - 12, 166, 24, 9, ACCENT, INK, 1),
        ]
    for at, name in ((x - 26, "A"), (x + 26, "B")):
        parts += [
            paper.rectangle(at - 8, 60, 16, 104, METAL, INK, 1.5),
            paper.text(at, 52, name, SMALL, INK, "middle", bold=True),
        ]
        if weight == name:
            parts += [paper.circle(at, 66, 7, ACCENT, INK, 1.5)]
    return parts
