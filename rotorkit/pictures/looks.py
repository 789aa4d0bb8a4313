"""Things that were looked at, each with what was seen and its verdict in words."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.data import Look, Looks
from rotorkit.pictures.paper import QUIET, SMALL

__all__ = ["draw_looks"]

MARGIN = 14


def draw_looks(looks: Looks, width: float = 480) -> str:
    """The picture: label and verdict in one line, what was seen beneath."""
    body, y = paper.heading(looks.title, width)
    y += 8
    for row in looks.rows:
        y, parts = _row(row, y, width)
        body += parts
    if not looks.rows:
        y += 22
        body.append(paper.text(MARGIN, y, "Nothing has been looked at yet.", colour=QUIET))
    return paper.picture(width, y + 10, looks.title, " ".join(in_words(row) for row in looks.rows), body)


def in_words(row: Look) -> str:
    """One row as a sentence."""
    return f"{row.label}: {row.seen}: {row.shown or row.word}."


def _row(row: Look, y: float, width: float) -> tuple[float, list[str]]:
    """One row from the height y downwards: where it ends, and its elements."""
    parts = [paper.line(MARGIN, y, width - MARGIN, y, "#e0e0e0", 1)]
    wide, verdict = paper.verdict(width - MARGIN, y + 19, row.word, row.shown)
    parts.append(verdict)
    y += 4
    for one in paper.wrapped(row.label, (width - 2 * MARGIN - wide - 8) / 1.1):
        y += 15
        parts.append(paper.text(MARGIN, y, one, bold=True))
    for one in paper.wrapped(row.seen, width - 2 * MARGIN, SMALL):
        y += 15
        parts.append(paper.text(MARGIN, y, one, SMALL, QUIET))
    return y + 8, parts
