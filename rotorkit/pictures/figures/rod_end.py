"""A rod end in its body, cut open: eye, thread, jam nut, engagement, witness hole. For figures of links and tubes."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.figures.drawing import ACCENT, label
from rotorkit.pictures.paper import BAND, INK, METAL, PAPER, QUIET, SMALL


def eye(x: float, y: float, size: float = 13) -> str:
    """The eye of a rod end with its ball."""
    return (
        paper.circle(x, y, size, METAL, INK, 1.5)
        + paper.circle(x, y, size * 0.55, PAPER, INK, 1.2)
        + paper.circle(x, y, size * 0.25, METAL, INK, 1)
    )


def cut_open(x: float, y: float) -> list[str]:
    """One rod end and the end of its body, cut open; the eye at (x, y), the body to the right."""
    body, shank = x + 74, x + 176
    ticks = [paper.line(t, y - 8, t, y + 8, QUIET, 1) for t in range(int(x) + 20, int(shank), 6)]
    return [
        paper.rectangle(body, y - 22, 190, 44, METAL, INK, 1.5, 2),
        paper.rectangle(body, y - 8, 150, 16, PAPER, INK, 1),
        paper.rectangle(x + 12, y - 8, shank - x - 12, 16, BAND, INK, 1.5),
        *ticks,
        paper.rectangle(x + 52, y - 18, 20, 36, METAL, INK, 1.5, 2),
        paper.line(x + 58, y - 18, x + 58, y + 18, QUIET, 1),
        paper.line(x + 66, y - 18, x + 66, y + 18, QUIET, 1),
        eye(x, y, 16),
        paper.rectangle(body + 44, y - 23, 9, 16, PAPER, INK, 1.5),
        paper.line(body + 48, y - 70, body + 48, y - 9, ACCENT, 2),
        paper.arrow(body, y + 40, shank, y + 40, ACCENT, 1.5),
        paper.arrow(shank, y + 40, body, y + 40, ACCENT, 1.5),
        paper.line(body, y + 24, body, y + 48, ACCENT, 1.5),
        paper.line(shank, y + 12, shank, y + 48, ACCENT, 1.5),
        paper.text((body + shank) / 2, y + 58, "engagement", SMALL, INK, "middle"),
        label("jam nut", x + 32, y - 34, (x + 62, y - 20), 60),
        label("witness hole: threads seen, and the 0.020 in wire stops at the shank", body + 60, y - 62, None, 160),
    ]
