"""How to try the corners of the controls: all ends together, every combination, eyes along the run."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SKY, SMALL

WIDTH, HEIGHT = 720, 330

WORDS = (
    "First, the controls: collective lever, stick in its square, pedals; each is held against one of its ends, all "
    "at the same time. Second, what to look at: pitch link, horn, scissor and bolt heads at the rotor while it is "
    "turned through a whole turn, then every tube and cable back to the pilot; where clearance is small, measure the "
    "smallest. Third, the list: every combination of ends is a corner; tick each one only when it has been tried."
)


def control_corners() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "All at their ends together", 14, INK, bold=True), *_controls(),
        number(288, 24, 2), paper.text(306, 29, "Look and feel", 14, INK, bold=True), *_look(),
        number(520, 24, 3), paper.text(538, 29, "Every combination", 14, INK, bold=True), *_list(),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How to try the corners of the controls", WORDS, body)


def _controls() -> list[str]:
    return [
        paper.line(40, 190, 84, 92, INK, 6),
        paper.line(40, 190, 104, 138, QUIET, 2, "5 4"),
        paper.arrow(100, 130, 88, 104, ACCENT, 2.5, 9),
        paper.text(24, 214, "collective", SMALL, INK),
        paper.rectangle(132, 84, 112, 112, SKY, INK, 1.5, 8),
        paper.line(188, 140, 236, 92, INK, 5),
        paper.circle(236, 92, 8, METAL, INK, 1.5),
        paper.circle(188, 140, 4, INK, INK, 1),
        paper.text(188, 214, "stick: a corner of its square", SMALL, INK, "middle"),
        paper.line(56, 262, 112, 246, INK, 4),
        paper.rectangle(42, 254, 24, 14, METAL, INK, 1.5, 2),
        paper.rectangle(104, 238, 24, 14, METAL, INK, 1.5, 2),
        paper.text(140, 258, "pedals: full one way", SMALL, INK),
        paragraph("A link that touches stops the control short of its end, and that feels like the end.", 24, 292, 240),
    ]


def _look() -> list[str]:
    return [
        paper.rectangle(300, 92, 190, 14, METAL, INK, 1.5, 3),
        paper.rectangle(384, 70, 22, 130, METAL, INK, 1.5),
        paper.rectangle(330, 180, 130, 14, METAL, INK, 1.5, 3),
        paper.line(344, 106, 344, 180, INK, 4),
        paper.circle(344, 106, 6, PAPER, INK, 1.5),
        paper.circle(344, 184, 6, PAPER, INK, 1.5),
        paper.line(450, 112, 462, 182, INK, 4),
        paper.circle(450, 110, 6, PAPER, INK, 1.5),
        paper.circle(456, 148, 15, "none", ACCENT, 2.5),
        paper.rectangle(466, 140, 20, 18, METAL, INK, 1.5),
        label("near here: measure the clearance", 404, 226, (458, 164), 110),
        label("links, horns, scissor, bolt heads", 296, 228, (340, 160), 100),
        paragraph("Turn the rotor through a whole turn; then follow every tube and cable.", 296, 288, 200),
    ]


def _list() -> list[str]:
    rows = [
        ("low, forward, left, left", True),
        ("low, forward, left, right", True),
        ("low, forward, right, left", True),
        ("low, forward, right, right", False),
        ("and so on", False),
    ]
    parts = []
    for i, (words, ticked) in enumerate(rows):
        y = 74.0 + 32 * i
        parts.append(paper.rectangle(530, y - 12, 16, 16, PAPER, INK, 1.5, 2))
        if ticked:
            parts.append(paper.path([(533, y - 4), (537, y + 1), (544, y - 9)], ACCENT, 2.5))
        parts.append(paper.text(554, y + 1, words, SMALL, INK))
    parts.append(
        paragraph(
            "A corner nobody tried is not known to be good: no overall verdict until all are tried.", 524, 252, 184
        )
    )
    return parts
