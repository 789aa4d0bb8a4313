"""What a document is made of, before it is a page or a PDF: plain pieces that hold text as it was typed.

No piece holds markup. Both writers take every text letter for letter, so that a note with ``<script>`` or LaTeX in it
appears as it was typed, in either form.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

SIZE = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')


@dataclass(frozen=True)
class Strong:
    """Words that stand out."""

    text: str


@dataclass(frozen=True)
class Code:
    """Text as typed into a field or a file, or a hash: in letters of even width."""

    text: str


@dataclass(frozen=True)
class Verdict:
    """One of the verdict words; the writers add a mark and a colour that only repeat it."""

    word: str


@dataclass(frozen=True)
class Letter:
    """A formula's letter within a line. latex, and the same as plain text."""

    latex: str
    text: str


@dataclass(frozen=True)
class Link:
    """Words that lead to the heading with this key."""

    text: str
    key: str


Piece = str | Strong | Code | Verdict | Letter | Link
Inline = Piece | Sequence[Piece]
"""Words of a paragraph or a cell."""


def pieces(words: Inline) -> list[Piece]:
    """Words as a list of pieces."""
    return [words] if isinstance(words, (str, Strong, Code, Verdict, Letter, Link)) else list(words)


@dataclass(frozen=True)
class Heading:
    """A heading. level: 1 to 4. key: what links lead to. fresh_page: begins a page. aside: words for the right column
    of the contents (a verdict), where the heading is listed there. mark: what the contents say after its words."""

    level: int
    text: str
    key: str = ""
    fresh_page: bool = False
    aside: str = ""
    mark: str = ""


@dataclass(frozen=True)
class Paragraph:
    """Words. style: "", "lead" (large), "small" or "opening" (never parted from what follows)."""

    words: Inline
    style: str = ""


@dataclass(frozen=True)
class Bullets:
    """A list."""

    items: Sequence[Inline]


@dataclass(frozen=True)
class Table:
    """A table. title: its caption. head: the columns. widths: their shares of the width. A row's first cell
    names it."""

    title: str
    head: Sequence[str]
    rows: Sequence[Sequence[Inline]]
    widths: Sequence[float]


@dataclass(frozen=True)
class Values:
    """The letters of a formula, each with what it is and its value."""

    rows: Sequence[tuple[Letter, str, str]]


@dataclass(frozen=True)
class Formula:
    """A formula on a line of its own: LaTeX, and the same as plain text."""

    latex: str
    text: str


@dataclass(frozen=True)
class Figure:
    """A picture: its SVG, which brings its own title and description, and both as text. down: how many points it may be
    high on paper, where it shares its page with others; 0 for as many as a page has."""

    svg: str
    title: str
    words: str = ""
    down: float = 0.0

    @property
    def size(self) -> tuple[float, float]:
        """How wide and how high it was drawn, in pixels."""
        found = SIZE.search(self.svg)
        return (float(found[1]) or 2.0, float(found[2]) or 1.0) if found else (2.0, 1.0)

    @property
    def ratio(self) -> float:
        """Its height over its width."""
        wide, high = self.size
        return high / wide


@dataclass(frozen=True)
class Box:
    """A framed part. kind: "verdict", "warning", "caution" or "note"."""

    kind: str
    title: str
    blocks: Sequence[Block]


@dataclass(frozen=True)
class Signatures:
    """Lines to sign on: one row for each role."""

    roles: Sequence[str]


@dataclass(frozen=True)
class Together:
    """Pieces that stay on one page where they fit on one."""

    blocks: Sequence[Block]


@dataclass(frozen=True)
class Contents:
    """The contents, made by the writer from the headings of levels 1 and 2."""

    title: str


@dataclass(frozen=True)
class Lines:
    """Short lines under a title, set in columns side by side where they are short enough."""

    title: str
    items: Sequence[Inline]


@dataclass(frozen=True)
class OnePage:
    """A page that holds all of one thing. top, then spare, then the picture, as large as there is room for, then rest;
    more: what is left out of a PDF where the page has no room for it, and instead: the words that then stand there;
    spare: what is left out too where there would be no room for the picture, and without: the words for both; end: at
    the foot of the page, never parted from what stands above; lower: the picture drawn anew for so many points across
    and down, where there is no room for it as it is."""

    top: Sequence[Block]
    picture: Figure | None
    rest: Sequence[Block]
    more: Sequence[Block]
    instead: str
    end: Sequence[Block]
    spare: Sequence[Block] = ()
    without: str = ""
    lower: Callable[[float, float], Figure | None] | None = None

    @property
    def blocks(self) -> list[Block]:
        """All of it in order."""
        return [
            *self.top, *self.spare, *([self.picture] if self.picture else []), *self.rest, *self.more, *self.end
        ]  # fmt: skip


Block = (
    Heading
    | Paragraph
    | Bullets
    | Table
    | Values
    | Formula
    | Figure
    | Box
    | Signatures
    | Together
    | Contents
    | Lines
    | OnePage
)


@dataclass
class Document:
    """A document. running, identity: the words at the head and at the foot of each page. paper: "us-letter" or "a4",
    for the PDF; a page in a browser prints on what the printer holds."""

    title: str
    author: str
    subject: str
    running: str
    identity: str
    paper: str
    keywords: Sequence[str] = field(default_factory=tuple)
    blocks: list[Block] = field(default_factory=list)

    def each_block(self) -> Iterator[Block]:
        """The pieces in order, what stands on one page one by one."""
        for block in self.blocks:
            if isinstance(block, OnePage):
                yield from block.blocks
            else:
                yield block

    def headings(self) -> list[Heading]:
        """Every heading."""
        return [block for block in self.each_block() if isinstance(block, Heading)]

    def add(self, *blocks: Block) -> None:
        """Put pieces at the end."""
        self.blocks += blocks
