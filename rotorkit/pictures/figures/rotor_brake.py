"""A rotor brake: disc, pads, and what is read of a stop."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph, turn_arrow
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER

WIDTH, HEIGHT = 720, 320

WORDS = (
    "First, a brake disc on its shaft with the pads of one caliper: the radius goes from the axis to the middle of the "
    "pads, the force presses each pad on the disc. Second, a stop: the rotor coasts down to the speed allowed, the "
    "brake goes on, the watch runs until the rotor stops, and the disc temperature is read at once."
)


def rotor_brake() -> str:
    """The figure as SVG text."""
    x, y = 150.0, 175.0
    body = [
        number(24, 24, 1), paper.text(42, 29, "Disc and pads", 14, INK, bold=True),
        paper.circle(x, y, 90, BAND, INK, 1.5), paper.circle(x, y, 30, PAPER, INK, 1.5),
        paper.rectangle(x + 44, y - 26, 36, 52, METAL, INK, 1.5, 4), turn_arrow(x, y, 102, 120, 170),
        paper.line(x, y, x + 62, y, ACCENT, 2), paper.circle(x, y, 3, INK, INK, 1),
        label("radius to the middle of the pads", 258, 106, (x + 52, y - 1), 110),
        label("pads press on both sides", 262, 200, (x + 70, y + 18), 100),
        label("disc: this mass heats up", 40, 296, (x - 50, y + 66), 170),
        paper.line(380, 12, 380, HEIGHT - 12, "#bdbdbd", 1),
        number(404, 24, 2), paper.text(422, 29, "A stop", 14, INK, bold=True),
        paper.line(420, 240, 690, 240, INK, 1.5), paper.line(420, 240, 420, 70, INK, 1.5),
        paper.path([(420, 80), (450, 110), (490, 138), (530, 156)], INK, 2),
        paper.path([(530, 156), (640, 240)], ACCENT, 2.5), paper.line(530, 156, 530, 240, INK, 1, "3 3"),
        label("rotor speed", 426, 62), label("coasts", 470, 104), label("brake applied", 540, 150),
        label("stands", 634, 258, anchor="middle"), paper.arrow(534, 228, 634, 228, INK, 1.5),
        label("watch", 584, 222, anchor="middle"),
        paragraph("Read the disc temperature at once, from outside the rotor disk.", 404, 284, 290),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "A rotor brake and a stop", WORDS, body)
