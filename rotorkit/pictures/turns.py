"""What to turn: a rod or barrel for each, with arrows that show whether its ends move apart or draw together."""

from __future__ import annotations

from rotorkit.pictures import paper
from rotorkit.pictures.data import TurnRow, Turns
from rotorkit.pictures.paper import BAND_EDGE, INK, METAL, PAPER, QUIET, SMALL

MARGIN, BODY, SIGN = 14, 50, 84


def draw_turns(turns: Turns, width: float = 480) -> str:
    """The picture: a row for each thing to turn, a column for each aim."""
    body, y = paper.heading(turns.title, width)
    y += 6
    columns = max(len(turns.aims), 1)
    wide = (width - 2 * MARGIN) / columns
    if len(turns.aims) > 1:
        heads = [paper.wrapped(aim, wide - 8, SMALL) for aim in turns.aims]
        for i, lines in enumerate(heads):
            body += [paper.text(MARGIN + i * wide, y + 15 * (k + 1), one, SMALL, QUIET) for k, one in enumerate(lines)]
        y += 15 * max(len(lines) for lines in heads) + 6
    for row in turns.rows:
        y, parts = _row(row, y, width, wide)
        body += parts
    if not turns.rows:
        y += 22
        body.append(paper.text(MARGIN, y, "Nothing needs turning.", colour=QUIET))
    words = " ".join(in_words(row, turns.aims) for row in turns.rows)
    return paper.picture(width, y + 8, turns.title, words, body)


def in_words(row: TurnRow, aims: object) -> str:
    """One row as a sentence."""
    named = list(aims) if isinstance(aims, (list, tuple)) else []
    if len(named) > 1:
        said = "; ".join(f"{aim}: {turn.amount}" for aim, turn in zip(named, row.turns, strict=True))
    else:
        said = "; ".join(turn.amount for turn in row.turns)
    return f"{row.label}: {said}." + (f" {row.how}" if row.how else "")


def _row(row: TurnRow, y: float, width: float, wide: float) -> tuple[float, list[str]]:
    """One row from the height y downwards: where it ends, and its elements."""
    parts = [paper.line(MARGIN, y, width - MARGIN, y, "#e0e0e0", 1)]
    y += 3
    for one in paper.wrapped(row.label, (width - 2 * MARGIN) / 1.1):
        y += 15
        parts.append(paper.text(MARGIN, y, one, bold=True))
    deepest = y + 36
    for i, turn in enumerate(row.turns):
        left = MARGIN + i * wide
        lines = paper.wrapped(turn.amount, (wide - SIGN - 12) / 1.1)
        parts += (_stop if row.stop else _sign)(left + SIGN / 2, y + 25, turn.way)
        top = y + 29 - 7.5 * (len(lines) - 1)
        parts += [
            paper.text(left + SIGN + 6, max(top, y + 17) + 15 * k, one, bold=bool(turn.way))
            for k, one in enumerate(lines)
        ]
        deepest = max(deepest, max(top, y + 17) + 15 * (len(lines) - 1) + 8)
    y = deepest + 2
    for one in paper.wrapped(row.how, width - 2 * MARGIN, SMALL) if row.how else []:
        y += 15
        parts.append(paper.text(MARGIN, y, one, SMALL, QUIET))
    return y + (8 if row.how else 4), parts


def _stop(x: float, y: float, way: int) -> list[str]:
    """A stop bolt in its wall, with its jam nut: an arrow away from the wall where it goes out, towards it where in."""
    wall = x - 26
    parts = [
        paper.rectangle(wall - 8, y - 15, 8, 30, QUIET, INK, 1.5),
        paper.line(wall, y, x + 14, y, QUIET, 6),
        paper.rectangle(wall + 4, y - 8, 7, 16, METAL, INK, 1.5),
        paper.rectangle(x + 12, y - 8, 12, 16, METAL, INK, 1.5, 2),
    ]
    if way:
        start, end = (x - 6, x + 22) if way > 0 else (x + 22, x - 6)
        parts.append(paper.arrow(start, y - 14, end, y - 14, BAND_EDGE, 2.5, 9))
    return parts


def _sign(x: float, y: float, way: int) -> list[str]:
    """A body between two rod ends: arrows outwards where it gets longer, inwards where shorter, none where it stays."""
    half = BODY / 2
    reach = SIGN / 2 - 4
    parts = [
        paper.line(x - reach + 6, y, x + reach - 6, y, QUIET, 3),
        paper.rectangle(x - half + 12, y - 8, BODY - 24, 16, METAL, INK, 1.5, 2),
        *[paper.line(x + k, y - 8, x + k, y + 8, QUIET, 1) for k in (-6, 6)],
        *[paper.circle(x + side * (reach - 8), y, 6, PAPER, INK, 1.5) for side in (-1, 1)],
    ]
    if way:
        for side in (-1, 1):
            start, end = (13, 31) if way > 0 else (31, 13)
            parts.append(paper.arrow(x + side * start, y - 14, x + side * end, y - 14, BAND_EDGE, 2.5, 9))
    return parts
