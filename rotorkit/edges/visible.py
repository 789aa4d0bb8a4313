"""Text that somebody else may have written, made safe to show: what is not seen, or turns the order of what follows, is
named by its number.

A title, a name, a note, a key or a message may come from a received folder. A terminal obeys control characters in it,
and a direction mark makes a screen show words in another order than they stand, so that one verdict could be made to
look like another. Every face passes its text through here: terminal, error messages, pictures, form, document.
"""

from __future__ import annotations

import re
from functools import lru_cache
from html import escape

UNSEEN = re.compile(
    "["
    "\x00-\x08\x0b-\x1f\x7f-\x9f"  # control characters, but for tab and line end
    "\u00ad\u034f\u061c\u180b-\u180f"  # soft hyphen, joiners and marks that are never seen
    "\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0"  # letters that show as nothing
    "\u200b-\u200f\u2028-\u202e\u2060-\u206f"  # without width; line and paragraph ends; what turns the order
    "\ufeff\ufff0-\ufffb\ufffe\uffff"  # the byte order mark, interlinear marks, no characters
    "\ud800-\udfff\ue000-\uf8ff"  # halves of a pair; private use, which looks different everywhere
    "\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e0fff\U000f0000-\U0010ffff"
    "]"
)
"""Characters that are not seen, that a terminal obeys, or that turn the order of what follows: text would not read as
it was typed. By Unicode's own lists (general categories Cc, Cf, Cs, Co, Zl, Zp and what it calls default ignorable),
but for the signs that only choose how a pictograph is drawn."""


def named(character: str) -> str:
    """A character that cannot be shown, by its number: [U+202E]."""
    return f"[U+{ord(character):04X}]"


def named_in(text: str) -> str:
    """Text with every unseen character named; tabs and all line ends stay, as in a cell of a spreadsheet."""
    return UNSEEN.sub(lambda found: found[0] if found[0] == "\r" else named(found[0]), text)


def visible(text: str) -> str:
    r"""Text with its line ends all alike, and with every unseen character named.

    >>> visible("in\x1b[8m limits\u202e")
    'in[U+001B][8m limits[U+202E]'
    """
    if text.isascii() and text.isprintable():
        return text
    text = text.replace("\r\n", "\n").replace("\r", "\n").replace("\t", "    ")
    return UNSEEN.sub(lambda found: named(found[0]), text)


@lru_cache(maxsize=2048)  # titles, units and words of a picture are the same from one edit to the next
def escaped(text: str, quote: bool = True) -> str:
    """The same for HTML and SVG, so that no letter of it is taken for markup."""
    return escape(visible(text), quote)


def in_a_line(text: str) -> str:
    r"""The same for a text that must not look like two lines: a line end in it is named too.

    >>> in_a_line("pedals\nAll in limits")
    'pedals[U+000A]All in limits'
    """
    return visible(text).replace("\n", named("\n"))
