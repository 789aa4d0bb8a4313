"""What other checks have already, offered above a form's fields: one click takes it, nothing is put in unasked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable
from typing import Any

from rotorkit.folder.offers import Offer
from rotorkit.notebook import widgets, words
from rotorkit.notebook.closing import close_all
from rotorkit.notebook.layout import boxed

MOST_SHOWN = 6
"""So many sources are offered at once."""


class OffersBox:
    """The offers, those of one source in one line with one button. take: called with the offers of a line."""

    def __init__(self, guard: Callable[..., Any], take: Callable[[list[Offer]], None]) -> None:
        self._guard, self._take = guard, take
        self.offers: list[Offer] = []
        self.buttons: list[Any] = []
        self.box = boxed([], "rotorkit-offers", upright=True)

    def show(self, offers: Iterable[Offer]) -> None:
        """Show these; nothing is touched where they are shown already."""
        wanted = list(offers)
        if wanted == self.offers:
            return
        close_all(*self.box.children)
        self.offers, self.buttons, lines = wanted, [], []
        found = _lines(wanted)
        shown = _shown(found)
        for group in shown:
            first = group[0]
            had = "; ".join(one.figure if one.rows else f"{lowered(one.title)} {one.figure}" for one in group)
            said = f"From {first.where} ({first.of}): {had}."
            it = "them" if len(group) > 1 or len(first.rows) > 1 else "it"
            button = widgets.Button(description=f"Take {it}", tooltip=said)
            button.on_click(self._guard(lambda _button, group=group: self._take(group)))
            self.buttons.append(button)
            lines.append(boxed([button, widgets.HTML(f"<p>{words.escape(said)}</p>")], "rotorkit-offer"))
        if more := len(found) - len(shown):
            lines.append(widgets.HTML(words.hint(f"And {more} more, of earlier checks.")))
        self.box.children = lines


def _shown(lines: list[list[Offer]]) -> list[list[Offer]]:
    """The first of the lines, and what else their last source offers; of its rows only what has room."""
    count = MOST_SHOWN
    while count < len(lines) and not lines[count][0].rows and _source(lines[count]) == _source(lines[count - 1]):
        count += 1
    return lines[:count]


def _source(line: list[Offer]) -> tuple[Any, Any]:
    return line[0].check, line[0].entry


def lowered(title: str) -> str:
    """A title as it stands within a sentence."""
    return title[:1].lower() + title[1:]


def _lines(offers: list[Offer]) -> list[list[Offer]]:
    """The offers by the line they stand in: all of one source together; a row, and what several would go into one field
    of, alone."""
    found: dict[Any, list[Offer]] = {}
    places = Counter((one.check, one.entry, one.path) for one in offers)
    for one in offers:
        alone = one.rows or places[one.check, one.entry, one.path] > 1
        found.setdefault((one.check, one.entry, (one.path, one.text) if alone else ()), []).append(one)
    return list(found.values())
