"""Placards of rotor speed beside what was shown, and both needles, joined and parted."""

from __future__ import annotations

import math

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, PAPER

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First, a scale of rotor speed: the power-off band on the placard lies between 105 % of the greater minimum and "
    "95 % of the lesser maximum that were shown or calculated. Second, the two needles on one dial: together under "
    "power, split after the throttle is closed, the rotor's above the engine's."
)


def rotor_speeds() -> str:
    """The figure as SVG text."""
    x = 150.0
    marks = (
        (70.0, "lesser of design and shown maximum"), (250.0, "greater of both minima"),
    )  # fmt: skip
    body = [
        number(24, 24, 1), paper.text(42, 29, "Placard and shown speeds", 14, INK, bold=True),
        paper.line(x, 56, x, 290, INK, 1.5), paper.rectangle(x - 14, 100, 28, 124, BAND, INK, 1.5),
        *[paper.line(x - 24, y, x + 24, y, INK, 2) for y, _ in marks],
        *[label(words, x + 34, y + 4, width=170) for y, words in marks],
        label("placard, power off", x + 34, 162, width=130), label("95 %", x - 60, 90), label("105 %", x - 66, 244),
        paper.arrow(x - 20, 72, x - 20, 98, ACCENT, 2), paper.arrow(x - 20, 248, x - 20, 226, ACCENT, 2),
        label("rotor speed", 40, 60),
        paper.line(390, 12, 390, HEIGHT - 12, "#bdbdbd", 1),
        number(414, 24, 2), paper.text(432, 29, "Both needles", 14, INK, bold=True),
        *_dial(480, 130, 60, 60), *_dial(630, 130, 60, 130),
        label("under power: together", 480, 218, anchor="middle"),
        label("throttle closed: split", 630, 218, anchor="middle"),
        label("R rotor, E engine, both on the rotor's scale", 555, 70, anchor="middle", width=290),
        paragraph("The split: rotor needle less engine needle, positive when the rotor is faster.", 414, 262, 290),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "Rotor speeds and needles", WORDS, body)


def _dial(x: float, y: float, rotor: float, engine: float) -> list[str]:
    """A dial with two needles; degrees from straight up, anticlockwise as speed falls."""
    ends = []
    for name, angle, size in (("R", rotor, 40.0), ("E", engine, 34.0)):
        a = math.radians(90 - 120 + angle)
        tip = x + size * math.cos(a), y - size * math.sin(a)
        ends += [paper.line(x, y, *tip, ACCENT if name == "R" else INK, 2.5)]
        beyond = 1.22 if name == "R" else 0.62
        ends += [paper.text(x + size * beyond * math.cos(a) + (8 if name == "E" else 0),
                            y - size * beyond * math.sin(a) + 5, name, 13, INK, "middle")]  # fmt: skip
    return [paper.circle(x, y, 56, PAPER, INK, 1.5), paper.circle(x, y, 3, INK, INK, 1), *ends]
