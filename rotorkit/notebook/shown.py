"""What a form has behind its buttons, or shows in a cell of its own: pages of its sheet, and parts that follow it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, cast

from rotorkit.notebook import pages
from rotorkit.notebook.attaching import PhotographsPart
from rotorkit.notebook.guarded import Guarded
from rotorkit.notebook.limits_part import LimitsPart
from rotorkit.notebook.parts import BudgetPart, CalculationPart, Followed, HandPart, Part, WhatIfPart
from rotorkit.notebook.record_part import RecordPart
from rotorkit.pictures.data import Angles, Bars, Chart, Contour, with_a_scale
from rotorkit.sheets.base import Sheet


class Shown(Guarded):
    """The pages and parts of a form."""

    sheet: type[Sheet]
    _parts: dict[str, Part]

    @property
    def settles(self) -> pages.Page:
        """What the sheet settles, and when it is done."""
        return pages.settles(self.sheet)

    @property
    def cautions(self) -> pages.Page:
        return pages.cautions(self.sheet)

    @property
    def how(self) -> pages.Page:
        """Tools, procedure, sign convention and the drawn figure."""
        return pages.how(self.sheet)

    @property
    def not_covered(self) -> pages.Page:
        return pages.not_covered(self.sheet)

    @property
    def calculation(self) -> Any:
        """The worked calculation, step by step."""
        return self._part("calculation", CalculationPart)

    @property
    def budget(self) -> Any:
        """Where the uncertainty of each figure comes from."""
        return self._part("budget", BudgetPart)

    @property
    def by_hand(self) -> Any:
        """The place for the person's own hand figures."""
        return self._part("by_hand", HandPart)

    @property
    def record(self) -> Any:
        """Saving to the record, and what the record holds of this check."""
        box = self._part("record", RecordPart)
        if not box.part.read:
            self._guard(box.part.look)()
        return box

    @property
    def saving(self) -> Any:
        """Who did the work, and the button that saves."""
        return self._part("record", RecordPart).part.bar

    @property
    def limits(self) -> Any:
        """The limits that the check is judged by, as fields that are written into the aircraft file."""
        return self._part("limits", LimitsPart)

    @property
    def photographs(self) -> Any:
        """Photographs of the saved check: those there are, and the place to attach more."""
        return self._part("photographs", PhotographsPart)

    @property
    def worksheet(self) -> Any:
        """The page to take to the aircraft."""
        from rotorkit.notebook.worksheet_part import WorksheetPart

        return self._part("worksheet", WorksheetPart)

    @property
    def practice(self) -> Any:
        """Practice with invented readings and a fault planted in them; nothing of it is of this form."""
        from rotorkit.notebook.practising import PracticeRoom

        room = PracticeRoom(self.sheet.name, self._form.system)
        room.box.part = room
        return room.box

    def what_if(self, changes: Sequence[Mapping[str, str]], figures: Sequence[str] = ()) -> Any:
        """What the figures would be with other readings in place of some: a table that follows the form.

        changes: one mapping of field paths to readings for each row. figures: keys of findings (default: the first
        two).
        """
        return self._shown(f"what_if {len(self._parts)}", WhatIfPart(self._form, changes, figures))

    @property
    def charts(self) -> list[Chart | Contour | Bars | Angles]:
        """The pictures that have a scale as the form stands now, each with `plot(ax=None)`; none without figures."""
        outcome = self._form.outcome
        return [] if outcome is None else with_a_scale(outcome.pictures)

    @property
    def _form(self) -> Followed:
        return cast(Followed, self)

    def _part(self, name: str, make: Callable[[Followed], Part]) -> Any:
        with self._lock:
            if name in self._parts:
                return self._parts[name].box
            return self._shown(name, make(self._form))

    def _shown(self, name: str, part: Part) -> Any:
        part.box.part = part
        self._parts[name] = part
        self._guard(lambda: go_through(part.update()))()
        return part.box


def go_through(pieces: Iterable[None]) -> None:
    """Go through all pieces of an update at once."""
    for _ in pieces:
        pass
