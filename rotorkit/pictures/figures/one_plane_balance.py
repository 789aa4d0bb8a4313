"""How a rotor is balanced in one plane: a run as found, one with a trial weight, washers in the holes there are."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label, number, paragraph, turn_arrow
from rotorkit.pictures.paper import INK, METAL, PAPER, QUIET, SMALL

WIDTH, HEIGHT = 720, 300

WORDS = (
    "First, as found: a pick-up that is not moved gives the once-per-turn amplitude, a pulse or strobe at the rotor's "
    "mark gives the phase. Second, a trial weight is put at one hole and the run is repeated at the same speed. The "
    "difference of the two arrows is the effect of that weight. Third, the trial weight comes off, and washers go into "
    "the holes that come closest to the weight that cancels the vibration as found; then a check run is made."
)


def one_plane_balance() -> str:
    """The figure as SVG text."""
    body = [
        number(24, 24, 1), paper.text(42, 29, "Run as found", 14, INK, bold=True), *_hub(120, None),
        number(252, 24, 2), paper.text(270, 29, "With a trial weight", 14, INK, bold=True), *_hub(348, 0),
        number(490, 24, 3), paper.text(508, 29, "Washers, and check", 14, INK, bold=True), *_washers(586),
        label("mark", 34, 70, (112, 84), 60),
        label("trial weight at the mark", 396, 66, (354, 80), 90),
        paragraph("Amplitude and phase, three times, at the manual's speed.", 24, 246, 200),
        paragraph("Nothing else changed: same speed, mounting and wind.", 252, 246, 200),
        paragraph("Trial weight off. Locked, checked by two people.", 490, 246, 200),
    ]  # fmt: skip
    return paper.picture(WIDTH, HEIGHT, "How a rotor is balanced in one plane", WORDS, body)


def _hub(x: float, weight: float | None) -> list[str]:
    parts = [
        paper.circle(x, 148, 64, PAPER, INK, 1.5),
        paper.circle(x, 148, 10, METAL, INK, 1.5),
        paper.line(x, 92, x, 80, INK, 3),
        turn_arrow(x, 148, 34, 200, 330),
    ]
    parts += [paper.circle(x + dx, 148 + dy, 4, PAPER, INK, 1) for dx, dy in ((0, -52), (52, 0), (0, 52), (-52, 0))]
    if weight is not None:
        parts.append(paper.circle(x, 96, 8, ACCENT, INK, 1.5))
    return parts


def _washers(x: float) -> list[str]:
    return [
        *_hub(x, None),
        paper.circle(x + 52, 148, 7, ACCENT, INK, 1.5),
        paper.circle(x, 200, 5.5, ACCENT, INK, 1.5),
        paper.text(x + 66, 152, "most here", SMALL, INK),
        paper.text(x + 12, 222, "some here", SMALL, QUIET),
    ]
