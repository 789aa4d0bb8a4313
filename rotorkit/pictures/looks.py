"""Things that were looked at, each with what was seen and its verdict in words."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby, product

from rotorkit.judging.limits import OUT_OF_LIMITS, TOO_CLOSE, WORDS
from rotorkit.pictures import paper
from rotorkit.pictures.data import Look, Looks
from rotorkit.pictures.paper import QUIET, SMALL

MARGIN = 14
BESIDE = 120
"""Pixels for the words beside a table's rows."""
COLUMN = 56
"""The narrowest column of a table."""
RULE = "#e0e0e0"


def draw_looks(looks: Looks, width: float = 480) -> str:
    """The picture: label and verdict in one line, what was seen under. Of combinations a table with each verdict's
    mark, under it how many there are of each, and in words those that are not well."""
    body, y = paper.heading(looks.title, width)
    y += 8
    rows: Sequence[Look] = looks.rows
    if across := _across(rows, width):
        y, parts = _table(rows, across, y, width)
        body += parts
        rows = [row for row in rows if row.word in (OUT_OF_LIMITS, TOO_CLOSE)]
    for row in rows:
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
    parts = [paper.line(MARGIN, y, width - MARGIN, y, RULE, 1)]
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


def _across(rows: Sequence[Look], width: float) -> int:
    """How many of the things that are combined stand over the columns of a table; 0 where there is no table."""
    of = [tuple(row.of) for row in rows]  # lists, out of a record
    if not of or not all(of):
        return 0
    ends = [list(dict.fromkeys(some)) for some in zip(*of, strict=False)]
    if of != list(product(*ends)):
        return 0
    most = (width - 2 * MARGIN - BESIDE) / COLUMN
    counts = (n for n in (2, 1) if n < len(ends) and math.prod(map(len, ends[-n:])) <= most)
    return next(counts, 0)


def _table(rows: Sequence[Look], across: int, y: float, width: float) -> tuple[float, list[str]]:
    """Every combination's mark, from the height y downwards: where the table ends, and its elements."""
    lines = [list(some) for _, some in groupby(rows, key=lambda row: row.of[:-across])]
    column, left, right = (width - 2 * MARGIN - BESIDE) / len(lines[0]), MARGIN + BESIDE, width - MARGIN
    parts: list[str] = []
    for level in range(len(rows[0].of) - across, len(rows[0].of)):
        place, heads = float(left), []
        for of, below in groupby(lines[0], key=lambda row: row.of[: level + 1]):
            wide = column * len(list(below))
            heads.append((place + wide / 2, paper.wrapped(of[-1], wide - 6, SMALL)))
            place += wide
        y += 4
        for at, words in heads:
            parts += [paper.text(at, y + 14 * (i + 1), one, SMALL, anchor="middle") for i, one in enumerate(words)]
        y += 14 * max(len(words) for _, words in heads)
    y += 8
    band: tuple[str, ...] = ()
    for row in lines:
        *above, beside = row[0].of[:-across]
        if above and tuple(above) != band:
            band = tuple(above)
            for said in paper.wrapped(", ".join(band), (right - MARGIN) / 1.1, SMALL):
                y += 17
                parts.append(paper.text(MARGIN, y, said, SMALL, bold=True))
            y += 5
        words = paper.wrapped(beside, BESIDE - 8, SMALL)
        high = max(14 * len(words) + 8, 30)
        parts.append(paper.line(MARGIN, y, right, y, RULE, 1))
        first = y + high / 2 - 7 * len(words) + 11
        parts += [paper.text(MARGIN, first + 14 * i, said, SMALL) for i, said in enumerate(words)]
        parts += [paper.mark(left + column * (i + 0.5), y + high / 2, one.word, 8) for i, one in enumerate(row)]
        y += high
    parts.append(paper.line(MARGIN, y, right, y, RULE, 1))
    y += 6
    for word in WORDS:
        if count := sum(one.word == word for one in rows):
            y += 18
            parts.append(paper.mark(MARGIN + 8, y - 4, word))
            parts.append(paper.text(MARGIN + 24, y, f"{word}: {count}", colour=paper.COLOURS[word], bold=True))
    return y + 10, parts
