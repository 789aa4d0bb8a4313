"""What hangs on what, one under the other: each in its box, joined to what carries it by a line with words."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.data import Branch, Branches
from rotorkit.pictures.paper import BAND, INK, PAPER, QUIET, SMALL

MARGIN, INDENT, HIGH = 14, 26, 28
LEAST = 200
"""So wide a box is at least, in pixels; what hangs deep is moved in by less."""


def draw_branches(tree: Branches, width: float = 480) -> str:
    """The picture: from the top down, each moved in under what carries it."""
    body, y = paper.heading(tree.title, width)
    deepest = max((row.depth for row in tree.rows), default=0)
    step = min(INDENT, max((width - 2 * MARGIN - LEAST) / deepest, 6)) if deepest else INDENT
    ends: dict[int, float] = {}
    y += 8
    for row in tree.rows:
        left = MARGIN + row.depth * step
        room = width - MARGIN - left
        top = y
        for part in paper.wrapped(row.by, room - 6, SMALL) if row.by else []:
            y += 15
            body.append(paper.text(left + 6, y, part, SMALL, QUIET))
        y += 6
        names = paper.wrapped(row.label, (room - 16) / 1.1 - paper.text_width(row.said) - 10)
        high = HIGH + 15 * (len(names) - 1)
        if row.depth:
            x = left - step / 2
            body.append(paper.path([(x, ends.get(row.depth - 1, top)), (x, y + high / 2), (left, y + high / 2)], INK))
        body.append(paper.rectangle(left, y, room, high, BAND if row.marked else PAPER, INK, 1.5, 4))
        for k, part in enumerate(names):
            body.append(paper.text(left + 8, y + 18 + 15 * k, part, bold=True))
        body.append(paper.text(width - MARGIN - 8, y + 18, row.said, anchor="end"))
        y += high
        ends[row.depth] = y
    return paper.picture(width, y + 12, tree.title, " ".join(map(in_words, tree.rows)), body)


def in_words(row: Branch) -> str:
    """One as a sentence."""
    by = f", on {row.under} by {row.by}" if row.by else ""
    return f"{row.label}{by}: {row.said}."
