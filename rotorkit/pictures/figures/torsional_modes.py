"""The drive as discs on springs, from engine to both rotors, and how a spring in twist is measured."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, turn_arrow
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET

WIDTH, HEIGHT = 720, 350

WORDS = (
    "First, the drive as rigid parts joined by springs in twist: the engine, belts, the jackshaft, the mast with the "
    "main rotor's hub, its blades moving in lag, and the tail drive shaft with the tail rotor. Second, the stiffness "
    "of one shaft: the far end held, a weight on an arm at the near end, and a pointer that shows how much it twists."
)


def torsional_modes() -> str:
    """The figure as SVG text."""
    y, x = 150.0, (70.0, 190.0, 320.0)
    body = [
        number(24, 24, 1), paper.text(42, 29, "Parts and what joins them", 14, INK, bold=True),
        paper.line(x[0], y, x[2], y, INK, 2), paper.line(x[1], y, x[1], 270, INK, 2),
        paper.line(x[1], 270, x[2], 270, INK, 2),
        _spring((x[0] + x[1]) / 2, y), _spring((x[1] + x[2]) / 2, y), _spring((x[1] + x[2]) / 2, 270),
        *[paper.rectangle(at - 9, high - size, 18, 2 * size, METAL, INK, 1.5)
          for at, high, size in ((x[0], y, 34.0), (x[1], y, 20.0), (x[2], y, 24.0), (x[2], 270.0, 18.0))],
        paper.rectangle(x[2] + 34, y - 62, 12, 124, BAND, INK, 1.5), paper.line(x[2] + 9, y, x[2] + 34, y, INK, 2),
        _spring(x[2] + 22, y, 6),
        label("engine", x[0], 206, anchor="middle"), label("jackshaft", x[1] - 14, 206, anchor="end"),
        label("main rotor: its hub", x[2] - 24, 96, (x[2], y - 20), 80, "end"),
        label("blades, separately", x[2] + 40, 234, anchor="middle", width=120),
        label("tail rotor", x[2], 312, anchor="middle"),
        label("belts", (x[0] + x[1]) / 2, 122, anchor="middle"), label("mast", 250, 174, anchor="middle"),
        label("tail drive shaft", 254, 296, anchor="middle"),
        paper.line(424, 12, 424, HEIGHT - 12, "#bdbdbd", 1),
        number(448, 24, 2), paper.text(466, 29, "A spring in twist", 14, INK, bold=True),
        paper.rectangle(660, 110, 34, 90, METAL, INK, 1.5),
        paper.rectangle(500, 143, 160, 24, PAPER, INK, 1.5),
        paper.line(506, 155, 440, 155, INK, 5), paper.line(444, 155, 444, 226, INK, 1.5),
        paper.rectangle(430, 226, 28, 26, METAL, INK, 1.5),
        turn_arrow(520, 155, 46, 215, 150),
        label("far end held", 677, 96, (677, 110), 90, "end"),
        label("weight on an arm: torque", 474, 252, (460, 240), 190),
        label("pointer: its twist", 560, 74, (496, 118), 120),
        label("stiffness: torque over twist", 440, 312, width=250),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "The drive in twist", WORDS, body)


def _spring(x: float, y: float, half: float = 14) -> str:
    """A sign for what gives in twist."""
    steps = [(x - half + half * k / 3, y + (-7 if k % 2 else 7) * (0 < k < 6)) for k in range(7)]
    return (
        paper.rectangle(x - half, y - 8, 2 * half, 16, PAPER, PAPER, 0)
        + paper.path(steps, ACCENT, 2)
        + (paper.line(x, y + 12, x, y + 12, QUIET, 1))
    )
