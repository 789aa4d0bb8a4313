"""The list at the top of a form, from which the check whose readings it holds is picked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from rotorkit.edges.visible import escaped as escape
from rotorkit.edges.visible import in_a_line
from rotorkit.folder.checks import Check
from rotorkit.notebook import widgets
from rotorkit.notebook.layout import boxed

EMPTY = "a new check (an empty form)"


class CheckChooser:
    """A native list of checks, and last an empty form. picked: called with the name of the check that a person picks,
    "" for the empty form; not called when the list changes by itself."""

    def __init__(self, checks: Sequence[Check], first: str, picked: Callable[[str], None]) -> None:
        self._picked, self._listing = picked, False
        self.control = widgets.Dropdown(options=_options(checks), value=first, description="Readings of")
        self.control.observe(self._observed, names="value")
        self.at = widgets.HTML(_at(first))
        self.box = boxed([self.control, self.at], "rotorkit-pick")
        self.note = widgets.HTML()

    def _observed(self, change: Any) -> None:
        self.at.value = _at(change["new"])
        if not self._listing:
            self._picked(change["new"])

    def show(self, checks: Sequence[Check], value: str) -> None:
        """List other checks, with this one picked."""
        options = _options(checks)
        if list(self.control.options) == options and self.control.value == value:
            return
        self._listing = True
        try:
            self.control.options = options
            self.control.value = value
        finally:
            self._listing = False


def _at(check: str) -> str:
    """Says to the page, unseen, which check its form is of, so that it can come back to it."""
    return f'<span hidden data-rotorkit-at="{escape(check)}"></span>'


def _options(checks: Sequence[Check]) -> list[tuple[str, str]]:
    """Titles with the checks' names; where two titles are the same, the names tell them apart."""
    titles = [one.title for one in checks]
    listed = [(one.title if titles.count(one.title) == 1 else f"{one.title} ({one.name})", one.name) for one in checks]
    return [*((in_a_line(said), name) for said, name in listed), (EMPTY, "")]
