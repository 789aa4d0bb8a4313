"""How an aircraft is pulled and rocked on its gear at the hub, and what rotor and gear then do to each other."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, QUIET

WIDTH, HEIGHT = 720, 400

WORDS = (
    "First, from ahead: a level pull at the hub with a spring scale, and how far the hub moves; then the aircraft is "
    "rocked at its own rhythm and let go, and its free swings are timed and read at the hub; the same fore and aft. "
    "Second, from above: blades that lag unevenly move their common centre of gravity off the shaft; it whirls round "
    "and pulls the hub with it, and the hub shakes the blades."
)


def ground_resonance() -> str:
    """The figure as SVG text."""
    x, floor = 180.0, 300.0
    body = [
        number(24, 24, 1), paper.text(42, 29, "Pulled and rocked at the hub", 14, INK, bold=True),
        paper.line(40, floor, 330, floor, INK, 2),
        # body, mast, hub, blades, skids
        paper.circle(x, floor - 90, 46, BAND, INK, 1.5),
        paper.rectangle(x - 6, floor - 196, 12, 62, METAL, INK, 1.5),
        paper.rectangle(x - 22, floor - 206, 44, 12, METAL, INK, 1.5),
        paper.line(x - 150, floor - 196, x - 22, floor - 200, INK, 3),
        paper.line(x + 22, floor - 200, x + 150, floor - 196, INK, 3),
        *[paper.line(x + way * 28, floor - 54, x + way * 64, floor - 6, INK, 3) for way in (-1, 1)],
        *[paper.rectangle(x + way * 64 - 14, floor - 8, 28, 6, METAL, INK, 1.5) for way in (-1, 1)],
        paper.arrow(x + 24, floor - 216, x + 110, floor - 216, ACCENT, 2.5),
        label("pull, level", 240, 62, (x + 92, floor - 218), 120),
        paper.line(x, floor - 228, x, floor - 190, QUIET, 1, "4 3"),
        paper.line(x + 16, floor - 228, x + 16, floor - 190, QUIET, 1, "4 3"),
        label("the hub moves", 50, 66, (x + 8, floor - 222), 90),
        label("gear, tires, skids as for the run", 250, 250, (x + 66, floor - 10), 90),
        paper.line(352, 12, 352, HEIGHT - 12, "#bdbdbd", 1),
        number(376, 24, 2), paper.text(394, 29, "From above: what can then build up", 14, INK, bold=True),
        paper.circle(530, 160, 9, METAL, INK, 1.5),
        *[paper.line(530, 160, a, b, INK, 4) for a, b in ((640, 150), (468, 250), (478, 62))],
        *[paper.line(530, 160, a, b, QUIET, 1, "5 4") for a, b in ((640, 160), (475, 255), (475, 65))],
        paper.circle(541, 152, 5, ACCENT, ACCENT, 1),
        label("centre of gravity of all blades, off the shaft", 590, 90, (546, 149), 120),
        paper.arrow(541, 152, 556, 141, ACCENT, 2),
        label("a blade lags behind its place", 580, 220, (470, 246), 120),
        paper.circle(530, 160, 20, "none", QUIET, 1),
        paragraph(
            "When the whirl is in step with the rocking on the gear, each feeds the other. It takes damping in lag "
            "and in the gear to stop it: one alone does not.",
            380, 330, 310,
        ),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "Rocked on its gear", WORDS, body)
