"""Text in lines of a width, for a terminal."""

from __future__ import annotations

import textwrap

from rotorkit.edges.visible import in_a_line

WIDEST = 110
NARROWEST = 60


def within(width: int) -> int:
    """A terminal's width, as far as text reads well in it."""
    return max(NARROWEST, min(width, WIDEST))


def item(text: str, width: int, mark: str = "  - ") -> str:
    """A text as an item of a list, its further lines set in."""
    return "\n".join(lines_of(text, width, mark))


def filled(text: str, width: int) -> str:
    """A text in lines of a width."""
    return "\n".join(lines_of(text, width))


def lines_of(text: str, width: int, mark: str = "") -> list[str]:
    """A text in lines of a width, no word parted at its hyphen: a page or a part's number stays whole."""
    return textwrap.wrap(
        in_a_line(text), width, initial_indent=mark, subsequent_indent=" " * len(mark), break_on_hyphens=False
    )
