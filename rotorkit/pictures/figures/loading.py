"""How a loading is checked: stations with their arms, the envelope with the burn path."""

from __future__ import annotations

import itertools

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, craft_and_datum, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First: each station has an arm from the datum, aft positive, and a lateral arm, right positive; people and bags "
    "are weighed, fuel by volume and density. Second: the loading is a point of the envelope, and it moves along a "
    "curve as fuel burns; the whole curve must be inside, uncertainty included."
)


def loading() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Weigh what goes aboard", 14, INK, bold=True), *_stations(),
        number(400, 24, 2), paper.text(418, 29, "Follow it as fuel burns", 14, INK, bold=True), *_envelope(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How a loading is checked", WORDS, body)


def _stations() -> list[str]:
    return [
        *craft_and_datum(),
        paper.circle(136, 150, 9, PAPER, INK, 1.5),
        paper.rectangle(180, 140, 22, 22, BAND, INK, 1.5),
        paper.arrow(54, 212, 136, 212, ACCENT, 2, 9),
        paper.arrow(54, 232, 191, 232, ACCENT, 2, 9),
        label("seat", 80, 196, (136, 159), 60),
        label("fuel", 232, 190, (191, 162), 60),
        paragraph("Lateral arms: positive to the right, facing forward.", 24, 272, 330),
    ]


def _envelope() -> list[str]:
    corners = [(450, 240), (450, 80), (560, 80), (630, 190), (630, 240), (450, 240)]
    return [
        *(paper.line(*a, *b, INK, 2) for a, b in itertools.pairwise(corners)),
        paper.line(430, 262, 680, 262, QUIET, 1),
        paper.line(430, 262, 430, 66, QUIET, 1),
        paper.text(680, 278, "arm", SMALL, INK, "end"),
        paper.text(424, 62, "mass", SMALL, INK, "end"),
        paper.line(540, 116, 514, 176, ACCENT, 3),
        paper.circle(540, 116, 5, ACCENT, INK, 1),
        paper.circle(514, 176, 5, PAPER, INK, 1.5),
        label("start", 486, 112, (535, 116), 60),
        label("tanks empty", 540, 196, (519, 178), 100),
        paragraph("Both ends inside is not enough: the whole path counts.", 400, 304, 300),
    ]
