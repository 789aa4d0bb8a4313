"""How high a piece of a document is set, about: what a page has room for, told without typesetting it several times.

The typesetter would have to lay a page out whole for each size of its letters that is tried. So the height is worked
out here from the letters' usual widths, to a few per cent; the picture of a page takes up the difference. A test
checks it against what the typesetter measures.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from rotorkit.dossier import blocks

ACROSS = {"us-letter": 521.3, "a4": 504.6}
"""How wide a page is between its margins, in points, by its paper."""
DOWN = {"us-letter": 698.5, "a4": 748.3}
"""How high it is."""
CAP = 0.65
"""A line's height over the size of its letters: capitals on their line."""
LEADING, SPACING = 0.5, 0.6
"""Between two lines, and between two paragraphs, over the size of the letters."""
MONO = 0.602 * 0.88
BOLD = 1.08
SMALL = 0.93
"""The size of small words over that of the others."""
USUAL = 0.49
WIDTHS = {
    0.21: "',.|", 0.25: ":; ·l", 0.28: "°ij{}!", 0.31: "fI()tJ/", 0.36: '"-[]*r', 0.4: "s`zc?", 0.455: "eé~a",
    0.47: "0123456789#$FS", 0.5: "_xμbvgqodk", 0.535: "y^p≤≥LuhPn", 0.56: "+<=>±×−EY", 0.6: "RBTZ", 0.65: "ΔK%CVXU",
    0.7: "GANDOQ&", 0.76: "Hwm", 0.9: "M@W",
}  # fmt: skip
"""How wide letters are, over their size: measured by the typesetter, in its own typeface."""


class _Wide(dict[str, float]):
    def __missing__(self, letter: str) -> float:
        return USUAL


WIDE = _Wide({letter: wide for wide, letters in WIDTHS.items() for letter in letters})
BREAKS = 0.95
"""Of a line's width so much is used, as words are not parted."""


@lru_cache(maxsize=4096)
def _word(text: str) -> float:
    """How wide a text is, over the size of its letters."""
    return sum(map(WIDE.__getitem__, text))


def _wide(words: blocks.Inline) -> list[float]:
    """How wide words are, line by line where they bring line ends of their own."""
    lines = [0.0]
    for piece in blocks.pieces(words):
        first, *others = _parts(piece)
        lines[-1] += first
        lines += others
    return lines


def _parts(piece: blocks.Piece) -> list[float]:
    match piece:
        case str():
            return [_word(line) for line in piece.split("\n")]
        case blocks.Code():
            return [MONO * len(line) for line in piece.text.split("\n")]
        case blocks.Strong():
            return [BOLD * _word(line) for line in piece.text.split("\n")]
        case blocks.Verdict():
            return [0.9 + BOLD * _word(piece.word)]
        case blocks.Letter():
            return [1.5]
    return [_word(piece.text)]


def _lines(words: blocks.Inline, size: float, across: float, bold: float = 1.0) -> int:
    """How many lines words take."""
    return sum(max(1, math.ceil(bold * wide * size / (BREAKS * across))) for wide in _wide(words))


def _text(words: blocks.Inline, size: float, across: float, bold: float = 1.0) -> float:
    return _lines(words, size, across, bold) * (CAP + LEADING) * size - LEADING * size


def columns_of(block: blocks.Lines) -> int:
    """In how many columns short lines are set."""
    longest = max(map(letters_in, block.items), default=0)
    return 1 if len(block.items) < 3 else 3 if longest < 40 else 2


def letters_in(part: Any) -> int:
    """About how many letters a piece holds; a row of a table or a formula counts as a line."""
    match part:
        case str():
            return len(part) + 60 * part.count("\n")
        case blocks.Heading() | blocks.Code() | blocks.Strong() | blocks.Link():
            return len(part.text)
        case blocks.Paragraph():
            return 80 + letters_in(part.words)
        case blocks.Bullets() | blocks.Lines():
            return sum(80 + letters_in(item) for item in part.items)
        case blocks.Table():
            return sum(max(80, sum(map(letters_in, row))) for row in part.rows)
        case blocks.Values():
            return 100 * len(part.rows)
        case blocks.Formula():
            return 200
        case blocks.Figure():
            return 1000
        case blocks.Signatures():
            return 200 * len(part.roles)
        case blocks.Box() | blocks.Together():
            return letters_in(part.blocks)
        case list() | tuple():
            return sum(map(letters_in, part))
    return 10


def high(held: Sequence[blocks.Block], size: float, across: float) -> float:
    """How high pieces are, one below the other, in points. size: of the letters; across: the width, both in points."""
    return sum(_high(block, size, across) for block in held)


def _high(block: blocks.Block, size: float, across: float) -> float:
    match block:
        case blocks.Heading():
            large = {1: 24.0, 2: 17.0, 3: 13.0}.get(block.level, 10.5)
            return _text(block.text, large, across, BOLD) + (10.0 + 0.9 * size if block.level == 2 else 2 * size)
        case blocks.Paragraph():
            letters = SMALL * size if block.style == "small" else 12.0 if block.style == "lead" else size
            return _text(block.words, letters, across) + SPACING * size
        case blocks.Bullets():
            inside = sum(_lines(item, size, across - 1.3 * size) for item in block.items)
            return inside * (CAP + LEADING) * size + 0.15 * size
        case blocks.Table():
            return (1.2 + CAP + 0.5 + 0.4) * size + _table(block, size, across)
        case blocks.Lines():
            return _columns(block, size, across)
        case blocks.Box():
            return (1.2 + CAP) * size + 16.0 + high(block.blocks, size, across - 22.0)
        case blocks.Together():
            return 0.2 * size + high(block.blocks, size, across)
        case blocks.Signatures():
            return CAP * size + 0.52 * size + len(block.roles) * 24.4 + 0.6 * size
        case blocks.Figure():
            return across * block.ratio + 1.2 * size
    return 2 * size


def _table(table: blocks.Table, size: float, across: float) -> float:
    shares = [across * share / sum(table.widths) - 7.0 for share in table.widths]
    rows: list[Sequence[blocks.Inline]] = [list(table.head), *table.rows]
    found = 0.0
    for at, row in enumerate(rows):
        cells = [
            _text(words, size, share, BOLD if at == 0 or column == 0 else 1.0)
            for column, (words, share) in enumerate(zip(row, shares, strict=False))
        ]
        found += max(cells, default=CAP * size) + 0.52 * size
    return found


def _columns(block: blocks.Lines, size: float, across: float) -> float:
    columns = columns_of(block)
    each = math.ceil(len(block.items) / columns)
    width = (across - (columns - 1) * 1.2 * size) / columns - size
    heights = [_text(item, size, width) + 0.5 * size for item in block.items]
    column = max((sum(heights[at * each : (at + 1) * each]) for at in range(columns)), default=0.0)
    return (0.4 + CAP + 0.4) * size + column
