"""What the anti-torque margin is made of: torque, arm and thrust seen from above, and the pedal stops."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, group, label, number, paragraph, section, turn_arrow
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 400
CENTRE = (130.0, 190.0)

WORDS = (
    "Left, the helicopter from above: the rotor turns one way, its torque turns the nose the other way, and the tail "
    "rotor's thrust at the end of its arm stops that. Right, the tail rotor's blade at both pedal stops: this rotor "
    "turns clockwise seen from above and needs right pedal against its torque; a rotor that turns counter-clockwise "
    "needs left pedal. The angles are the means of the blades from the blade-angle check, each with "
    "its sign. What remains lies between the angle that holds the nose and that stop."
)


def anti_torque_margin() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Who pushes which way (from above)", 14, INK, bold=True), *_above(),
        paper.line(424, 14, 424, HEIGHT - 14, "#bdbdbd", 1),
        number(450, 24, 2), paper.text(468, 29, "The blade at both stops", 14, INK, bold=True), *_stops(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "What holds the nose in the hover", WORDS, body)


def _above() -> list[str]:
    x, y = CENTRE
    tail = x + 250
    return [
        paper.circle(x, y, 108, "none", QUIET, 1.5),
        turn_arrow(x, y, 108, -150, -100, QUIET),
        paper.curve(f"M {x - 46} {y} C {x - 46} {y - 26} {x - 10} {y - 30} {x + 16} {y - 20} L {tail} {y - 5} "
                    f"L {tail} {y + 5} L {x + 16} {y + 20} C {x - 10} {y + 30} {x - 46} {y + 26} {x - 46} {y} Z",
                    INK, 1.5, METAL),
        paper.circle(x, y, 5, INK, INK, 1),
        turn_arrow(x, y, 62, 210, 150),
        paper.rectangle(tail - 3, y - 26, 6, 52, PAPER, INK, 1.5),
        paper.arrow(tail, y + 26, tail, y + 76, ACCENT, 3, 10),
        paper.line(x, y + 128, tail, y + 128, INK, 1),
        paper.line(x, y + 122, x, y + 134, INK, 1),
        paper.line(tail, y + 122, tail, y + 134, INK, 1),
        paper.text((x + tail) / 2, y + 146, "arm: axis to axis", SMALL, INK, "middle"),
        label("the rotor turns", 16, 62, (x - 76, y - 78), 90),
        label("its torque turns the nose", 14, 300, (x - 58, y - 20), 84),
        label("thrust needed = torque over arm", 250, 116, (tail, y - 26), 110),
        label("thrust past the fin", tail - 18, y + 66, None, 60, "end"),
    ]  # fmt: skip


def _stops() -> list[str]:
    parts = []
    for y, angle, words in (
        (104.0, -22.0, "full right here: hardest against the torque"),
        (196.0, 8.0, "full left here"),
    ):
        parts += [
            paper.line(452, y, 584, y, QUIET, 1, "4 4"),
            group(500, y, angle, section(110)),
            label(words, 600, y - 2, None, 106),
        ]
    return [
        *parts,
        paragraph(
            "Take the mean of the blades at each pedal from the blade-angle check, with its sign. Push the pedals and "
            "watch which way the leading edges go: the file says which way is positive, you say which way that pushes.",
            446, 252, 262,
        ),
        paragraph("Weight, air and rotor speed are read as for the hover margin.", 446, 362, 262),
    ]  # fmt: skip
