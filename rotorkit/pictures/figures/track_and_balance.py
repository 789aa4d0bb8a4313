"""How a rotor is tracked and balanced over the speed range: what may be moved on a blade, and the cycle to be flown."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import INK, METAL, PAPER

WIDTH, HEIGHT = 720, 320

WORDS = (
    "A blade seen from above: the pitch link at the root, whose flats raise or lower the whole blade; the tab at the "
    "trailing edge, which lifts the blade more the faster it flies; washers at the tip, which change the lateral "
    "balance. The cycle: first the same conditions are flown and read each time, lateral, vertical and tip heights; "
    "second all the moves of the plan are made and written down; third the same is flown again and compared with "
    "what was expected, so that the next plan is better. It ends in limits, or when something does not respond."
)


def track_and_balance() -> str:
    """The figure as SVG text."""
    body = [
        paper.rectangle(70, 74, 560, 54, PAPER, INK, 1.5, 4),
        paper.circle(52, 101, 26, METAL, INK, 1.5),
        paper.circle(52, 101, 6, PAPER, INK, 1.5),
        paper.rectangle(420, 128, 96, 13, ACCENT, INK, 1.2),
        paper.rectangle(92, 60, 12, 40, METAL, INK, 1.5, 2),
        paper.circle(616, 90, 6, ACCENT, INK, 1.5),
        paper.circle(616, 112, 6, ACCENT, INK, 1.5),
        label("link flats: the whole blade, at every speed", 126, 36, (104, 66), 170),
        label("tab: more at higher speed", 400, 168, (468, 142), 180),
        label("tip washers: lateral vibration", 520, 36, (614, 84), 150),
        label("leading edge", 250, 66, None, 120),
    ]
    steps = (
        (24, 1, "Fly and read", "The same conditions every time: lateral, vertical, and every tip's height."),
        (258, 2, "Move", "Make all the moves of the plan; write down each one."),
        (492, 3, "Fly again", "Expected against measured: the next plan is better. In limits: stop."),
    )
    for x, figure, title, words in steps:
        body += [
            number(x, 216, figure),
            paper.text(x + 18, 221, title, 14, INK, bold=True),
            paragraph(words, x, 248, 200),
        ]
    return paper.picture(WIDTH, HEIGHT, "How a rotor is tracked and balanced over the speed range", WORDS, body)
