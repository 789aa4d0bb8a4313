"""Drawn figures for parts of the aircraft file: what an engine's figures are, its power table, what performance is held
against, how milestones hold together, and what an instrument's uncertainty says.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, UNDONE
from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET, SMALL

WIDTH = 640
RULE = "#bdbdbd"


def _head(at: float, figure: int, words: str) -> list[str]:
    return [number(at, 24, figure), paper.text(at + 18, 29, words, 14, INK, bold=True)]


def engine() -> str:
    """What the engine's figures mean."""
    words = (
        "First, the engine at full throttle on a standard day at sea level: its rated power, at its rated speed. If "
        "the manual allows less, that fraction is the derating. Second, the air at the intake, cowling on and engine "
        "hot, is warmer than outside by the intake rise: warmer air means less power. Third, the higher, the less "
        "power."
    )
    fins = [paper.line(118, 92 + 9 * k, 152, 92 + 9 * k, INK, 1.5) for k in range(4)]
    body = [
        *_head(24, 1, "Full throttle, standard day, sea level"),
        paper.rectangle(96, 132, 150, 58, METAL, INK, 1.5, 8), paper.rectangle(122, 86, 26, 46, METAL, INK, 1.5, 3),
        *fins, paper.rectangle(190, 86, 26, 46, METAL, INK, 1.5, 3),
        *[paper.line(186, 92 + 9 * k, 220, 92 + 9 * k, INK, 1.5) for k in range(4)],
        paper.line(246, 160, 300, 160, INK, 6), paper.arrow(282, 132, 282, 188, ACCENT, 2.5, 9),
        label("rated power, at the rated speed of its shaft", 232, 214, (282, 178), 130),
        paper.rectangle(60, 150, 36, 22, PAPER, INK, 1.5), paper.arrow(14, 161, 56, 161, ACCENT, 2.5, 9),
        label("intake: warmer than outside by the intake rise", 14, 214, (70, 174), 130),
        paper.line(372, 14, 372, 236, RULE, 1),
        *_head(396, 2, "Higher up"),
        paper.path([(420, 196), (420, 56)], INK, 1.5), paper.path([(420, 196), (612, 196)], INK, 1.5),
        paper.path([(420, 74), (480, 104), (540, 130), (600, 152)], ACCENT, 3),
        paper.path([(420, 96), (480, 122), (540, 146), (600, 166)], ACCENT, 2, "6 4"),
        paper.text(424, 52, "power", SMALL, INK), paper.text(610, 214, "height", SMALL, INK, "end"),
        label("rated", 500, 84, (486, 106), 90), label("derated: that share of it", 424, 172, (474, 120), 90),
    ]  # fmt: skip
    return paper.picture(WIDTH, 252, "What the engine's figures mean", words, body)


def power_table() -> str:
    """What the rows of an engine's power table are."""
    words = (
        "The engine maker's curve of power at full throttle and the rated speed, over height. Each row of the table "
        "is a point on it, height rising from row to row; between two rows the power follows a straight line."
    )
    points = [(96.0, 66.0), (186.0, 98.0), (276.0, 126.0), (366.0, 150.0)]
    rows = ["0 ft", "2,500 ft", "5,000 ft", "7,500 ft"]
    body = [
        paper.text(16, 27, "Full throttle, rated speed", 14, INK, bold=True),
        paper.path([(96, 196), (96, 46)], INK, 1.5), paper.path([(96, 196), (400, 196)], INK, 1.5),
        paper.path(points, ACCENT, 2.5), *[paper.circle(x, y, 5, PAPER, INK, 2) for x, y in points],
        *[paper.line(x, y + 6, x, 196, QUIET, 1, "3 3") for x, y in points[1:]],
        *[paper.text(x, 214, words_, SMALL, INK, "middle") for (x, _), words_ in zip(points, rows, strict=True)],
        paper.text(88, 60, "power", SMALL, INK, "end"), paper.text(400, 234, "height", SMALL, INK, "end"),
        label("each row is a point", 220, 66, (190, 94), 160),
        label("between two: a straight line", 290, 92, (322, 136), 130),
        paragraph(
            "Say whether the chart is over pressure altitude or density altitude. Copy it from the maker's chart for "
            "this very engine, never from a similar one.", 450, 66, 170,
        ),
    ]  # fmt: skip
    return paper.picture(WIDTH, 248, "What the rows of a power table mean", words, body)


def performance() -> str:
    """What performance is compared with."""
    words = (
        "First, a margin is what you have less what is needed; its limit is the least that must be left. That goes "
        "for power, for the weight that could be added, for the tail rotor's blade angle and thrust. Second, other "
        "limits are maximums: density altitude, tip Mach number, blade loading, never-exceed airspeed, rate of descent."
    )
    body = [
        *_head(24, 1, "At least: what is left over"),
        paper.rectangle(40, 64, 252, 30, BAND, INK, 1.5), paper.text(48, 84, "what you have", SMALL, INK),
        paper.rectangle(40, 108, 190, 30, METAL, INK, 1.5), paper.text(48, 128, "what is needed", SMALL, INK),
        paper.line(230, 56, 230, 184, QUIET, 1, "3 3"), paper.line(292, 56, 292, 184, QUIET, 1, "3 3"),
        paper.arrow(230, 160, 290, 160, ACCENT, 2.5, 9), paper.text(222, 165, "margin", SMALL, INK, "end", bold=True),
        paragraph("Power, weight, blade angle and thrust of the tail rotor: never less than the limit.", 40, 206, 262),
        paper.line(330, 14, 330, 236, RULE, 1),
        *_head(354, 2, "At most: what may be reached"),
        paper.rectangle(380, 76, 220, 12, METAL, INK, 1.5, 6), paper.rectangle(380, 76, 150, 12, BAND, INK, 1.5, 6),
        paper.line(540, 62, 540, 104, INK, 3), label("limit", 552, 66, None, 60),
        label("today's figure, with its ±", 380, 124, (524, 88), 190),
        paragraph(
            "Density altitude, tip Mach number, blade loading, airspeed, descent: each comes from you, the manual or "
            "your test programme. One left empty is not judged.", 354, 168, 270,
        ),
    ]  # fmt: skip
    return paper.picture(WIDTH, 252, "What performance is compared with", words, body)


def milestones() -> str:
    """How milestones work."""
    words = (
        "Milestones come in order. Each needs certain jobs; it is reached only when every one of them is in limits "
        "and still stands as saved."
    )
    steps = (("first engine run", 18.0), ("first rotor turn", 230.0), ("first hover", 442.0))
    body: list[str] = []
    for i, (title, x) in enumerate(steps):
        body += [
            paper.rectangle(x, 40, 176, 34, BAND, INK, 1.5, 6),
            paper.text(x + 88, 62, title, 14, INK, "middle", bold=True),
        ]
        for k, job in enumerate(("a job, and why", "another, of one rotor", "a check of your own")):
            y = 96 + 30 * k
            word = (IN_LIMITS, UNDONE, OUT_OF_LIMITS)[(i + k) % 3 if i else 0]
            body += [paper.mark(x + 14, y + 8, word), paper.text(x + 28, y + 13, job, SMALL, INK)]
        if i:
            body.append(paper.arrow(x - 34, 57, x - 4, 57, ACCENT, 2.5, 9))
    body.append(
        paragraph(
            "A milestone is reached when every one of its jobs is in limits and nothing they depend on has changed "
            "since.",
            18, 206, 600,
        )
    )  # fmt: skip
    return paper.picture(WIDTH, 232, "How milestones work", words, body)


def _thermometer() -> list[str]:
    return [
        paper.rectangle(104, 66, 18, 104, PAPER, INK, 1.5, 9), paper.circle(113, 182, 17, ACCENT, INK, 1.5),
        paper.rectangle(109, 106, 8, 70, ACCENT),
        *[paper.line(126, 78 + 14 * k, 138, 78 + 14 * k, INK, 1) for k in range(6)],
    ]  # fmt: skip


def _dial(words: str) -> list[str]:
    from math import cos, radians, sin

    marks = [(cos(radians(140 + 26 * k)), sin(radians(140 + 26 * k))) for k in range(11)]
    return [
        paper.circle(113, 130, 60, PAPER, INK, 2),
        *[paper.line(113 + 48 * c, 130 + 48 * s, 113 + 56 * c, 130 + 56 * s, INK, 1.5) for c, s in marks],
        paper.line(113, 130, 113 + 40 * cos(radians(312)), 130 + 40 * sin(radians(312)), ACCENT, 3),
        paper.circle(113, 130, 4, INK, INK, 1), paper.text(113, 166, words, SMALL, INK, "middle"),
    ]  # fmt: skip


def _rule() -> list[str]:
    return [
        paper.rectangle(34, 112, 168, 34, METAL, INK, 1.5),
        *[paper.line(44 + 15 * k, 112, 44 + 15 * k, 130 if k % 5 == 0 else 122, INK, 1) for k in range(11)],
        paper.line(44, 96, 44, 108, ACCENT, 2), paper.line(164, 96, 164, 108, ACCENT, 2),
        paper.arrow(60, 98, 46, 98, ACCENT, 2), paper.arrow(148, 98, 162, 98, ACCENT, 2),
    ]  # fmt: skip


_GLYPHS: dict[str, tuple[str, Callable[[], Sequence[str]]]] = {
    "temperature": ("A thermometer", _thermometer),
    "pressure": ("An altimeter's window or a gauge", lambda: _dial("pressure")),
    "humidity": ("A hygrometer", lambda: _dial("% humidity")),
    "rotor speed": ("A tachometer", lambda: _dial("rpm")),
    "length": ("A rule, tape or caliper", _rule),
}
"""Instruments of which no check's own figure shows how they are read: what one is called, and what is drawn of it."""


def instrument(measures: str) -> str:
    """What an instrument's uncertainty says, with a drawing of one; empty for what is not drawn. measures: what it
    measures, as the aircraft file says it."""
    if measures not in _GLYPHS:
        return ""
    title, draw = _GLYPHS[measures]
    words = (
        f"First, {title[0].lower()}{title[1:]}. Second, what its uncertainty means: the true value is within ± that "
        "of each reading, nearly always. Third, a shared error, such as a zero that is off, moves all its readings "
        "the same way."
    )
    body = [
        *_head(24, 1, title), *draw(),
        paper.line(240, 14, 240, 226, RULE, 1),
        *_head(264, 2, "Uncertainty: of each reading"),
        paper.line(290, 92, 590, 92, INK, 1.5), paper.rectangle(380, 80, 120, 24, BAND, "none", 0, 4),
        paper.line(380, 74, 380, 110, ACCENT, 2), paper.line(500, 74, 500, 110, ACCENT, 2),
        paper.circle(440, 92, 5, INK, INK, 1), paper.text(440, 68, "reading", SMALL, INK, "middle"),
        paper.text(380, 126, "−", 14, INK, "middle"), paper.text(500, 126, "+", 14, INK, "middle"),
        paragraph("From its data sheet or certificate; otherwise half its smallest division, or how far two readings "
                  "of one thing differ, whichever is more.", 264, 146, 360),
        number(274, 205, 3),
        paper.text(292, 210, "Shared: an error of all readings alike, such as its zero", SMALL, INK),
    ]  # fmt: skip
    return paper.picture(WIDTH, 232, f"{title}: what its uncertainty means", words, body)
