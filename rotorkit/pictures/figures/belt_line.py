"""A straightedge along two pulleys, and where a tensioner stands in its travel."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, group, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER

WIDTH, HEIGHT = 720, 320

WORDS = (
    "First, both pulleys seen along the planes of their faces, a straightedge on the driving pulley's face: the gaps "
    "to the driven pulley's face at its near and far edge show how far it is out of line and how it leans. Second, a "
    "tensioner in its travel: its slackest position, where it is now, and its tightest position."
)


def belt_line() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Straightedge on the faces", 14, INK, bold=True),
        paper.rectangle(78, 150, 104, 32, METAL, INK, 1.5), paper.rectangle(78, 161, 104, 8, BAND, INK, 1),
        paper.rectangle(64, 136, 300, 12, PAPER, INK, 1.5),
        group(262, 178, 4, [paper.rectangle(-74, -16, 148, 32, METAL, INK, 1.5),
                            paper.rectangle(-74, -5, 148, 8, BAND, INK, 1)]),
        paper.line(194, 149, 194, 156, ACCENT, 2.5), paper.line(334, 149, 334, 166, ACCENT, 2.5),
        label("straightedge", 66, 128), label("driving pulley: touches twice", 70, 214, width=110),
        label("gap, near edge", 150, 88, (194, 152), 110), label("gap, far edge", 300, 88, (334, 158), 110),
        label("driven pulley", 262, 226, anchor="middle"),
        paragraph("Measure at the upper and lower edge too.", 60, 272, 300),
        paper.line(400, 12, 400, HEIGHT - 12, "#bdbdbd", 1),
        number(424, 24, 2), paper.text(442, 29, "Take-up", 14, INK, bold=True),
        paper.rectangle(436, 140, 250, 16, PAPER, INK, 1.5), paper.rectangle(540, 128, 20, 40, METAL, INK, 1.5),
        paper.line(440, 124, 440, 172, INK, 2), paper.line(682, 124, 682, 172, INK, 2),
        label("slackest", 440, 116, anchor="middle", width=80), label("now", 550, 116, anchor="middle"),
        label("tightest", 676, 116, anchor="middle", width=80), paper.arrow(564, 190, 680, 190, ACCENT, 2),
        label("left", 622, 210, anchor="middle"),
        paragraph("Look all round every belt: glaze, cracks, fraying, one that rides low.", 424, 254, 270),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "Belt alignment and take-up", WORDS, body)
