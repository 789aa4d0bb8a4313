"""Practice in a notebook: readings with a fault planted, the figures now and at the last check, what it may have been.

It is no form: nothing can be typed into it but a choice, and nothing of it is saved.
"""

from __future__ import annotations

import random
import threading
from collections.abc import Mapping
from typing import Any

from rotorkit.edges.visible import in_a_line
from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.closing import close_all
from rotorkit.notebook.guarded import Guarded
from rotorkit.notebook.parts import put
from rotorkit.notebook.style import STYLE
from rotorkit.quantities import QuantityError
from rotorkit.sheets.base import Field, Sheet, SheetError
from rotorkit.sheets.catalogue import sheet_type
from rotorkit.teach.in_units import instrument_carried, reading_carried
from rotorkit.teach.practice import INVENTED, Practice, demo_aircraft
from rotorkit.teach.practice import practice as planted

MOST_SEEDS = 10_000
ABOUT = (
    "Practice on invented readings of the demo aircraft, with one mistake in them: find it. Your own "
    "readings, "
    "drafts and record are left alone."
)
PLANT, PLANTING, ANOTHER = "Plant a fault", "Planting a fault ...", "Another fault"


def practice(sheet: str, seed: int | None = None, system: str = "us") -> PracticePage:
    """A sheet with invented readings and one fault planted in them, to be found.

    Arguments: sheet, its name ("cable_tension"); seed, the same for the same fault (default: another one each time);
    system, the units that the readings and figures are shown in, "us" or "metric".
    Raises `SheetError` for an unknown sheet, `QuantityError` for one in which nothing can be planted.
    """
    drawn = random.SystemRandom().randrange(MOST_SEEDS) if seed is None else seed
    return PracticePage(planted(sheet, drawn, system), system)


class PracticePage(Guarded):
    """The page. `box`, its widget; `practice`, what is practised; `choose` tries a choice by its number, as a click."""

    def __init__(self, practised: Practice, system: str = "us") -> None:
        self.practice = practised
        self.system = system
        self._lock = threading.RLock()
        self.fault: Exception | None = None
        self.message = widgets.HTML()
        self.pick = widgets.Dropdown(
            description="What went wrong?",
            options=[("choose", None), *((in_a_line(said), i) for i, said in enumerate(practised.choices))],
        )
        self.check = widgets.Button(description="Is it this?")
        self.hint = widgets.Button(description="Hint")
        self.check.on_click(self._guard(lambda _button: self._checked()))
        self.hint.on_click(self._guard(lambda _button: put(self.message, words.hint(self.practice.hint()))))
        pick = widgets.Box([self.pick])
        pick.add_class("rotorkit-pick")
        self.shown = widgets.HTML(pages.framed(self._page()))
        self.shown.add_class("rotorkit-outcome")
        self.box = widgets.VBox(
            [widgets.HTML(STYLE), self.shown, pick, widgets.HBox([self.check, self.hint]), self.message]
        )
        self.box.add_class("rotorkit-form")

    def choose(self, number: int) -> str:
        """Pick a choice and have it judged; what is said of it, as HTML."""
        self.pick.value = number
        self._checked()
        return str(self.message.value)

    def _checked(self) -> None:
        if self.pick.value is None:
            put(self.message, words.hint("Choose what you think went wrong, then press the button again."))
            return
        tried = self.practice.try_(self.pick.value)
        lead = "Found." if tried.right else "Not that."
        kind = "" if tried.right else ' class="rotorkit-note"'
        put(self.message, f'<p role="status"{kind}><b>{lead}</b> {words.escape(tried.words)}</p>')

    def _page(self) -> str:
        one = self.practice
        head = f"<p><b>{words.escape(INVENTED)}</b> Nothing here is kept. Practice {words.escape(one.seed)}.</p>"
        taken = words.table("The readings as written down", ("Field", "Reading"), _written(one, self.system))
        heads = ("Figure", "Now", "At the last check")
        return head + taken + words.table("What they give", heads, one.before)

    def _tell_fault(self, fault: Exception) -> None:
        self.fault = fault
        put(self.message, words.wrong(str(fault)))

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.box)


class PracticeRoom(Guarded):
    """The place for practice behind a form's button: what it is, a button that plants a fault, then the page of it.

    It knows the sheet's name and the units to show alone: neither the form's readings nor its folder, drafts or record.
    `page`: what is practised now, or None; `begin` plants a fault, as a click does.
    """

    def __init__(self, sheet: str, system: str = "us") -> None:
        self.sheet = sheet
        self.page: PracticePage | None = None
        self._lock = threading.RLock()
        self.fault: Exception | None = None
        self.system = system
        self.message = widgets.HTML(pages.framed(f"<p>{words.escape(ABOUT)}</p>"))
        self.button = widgets.Button(description=PLANT)
        self.button.on_click(self._guard(lambda _button: self.begin()))
        self.place = widgets.VBox([])
        self.box = widgets.VBox([widgets.HTML(STYLE), self.message, self.button, self.place])
        self.box.add_class("rotorkit-form")

    def begin(self, seed: int | None = None) -> None:
        """Plant a fault, another one each time, or that of a seed, in place of the one that is there."""
        self.button.disabled, self.button.description = True, PLANTING
        try:
            page = practice(self.sheet, seed, self.system)
        except (QuantityError, SheetError) as problem:
            put(self.message, words.wrong(str(problem)))
            return
        finally:
            self.button.disabled, self.button.description = False, ANOTHER if self.page else PLANT
        before, self.page = self.page, page
        self.place.children = [page.box]
        self.button.description = ANOTHER
        if before is not None:
            close_all(before.box)

    def _tell_fault(self, fault: Exception) -> None:
        self.fault = fault
        put(self.message, words.wrong(str(fault)))


def _written(one: Practice, system: str) -> list[tuple[str, str]]:
    """The readings as lines, in the units of a display system: a field's title, what stands in it; of a table a line
    for each row."""
    sheet: type[Sheet] = sheet_type(one.name)
    lines = []
    for field in sheet.fields():
        value: Any = one.readings.get(field.name)
        if value is None or value == "":
            continue
        if field.row is None:
            lines.append((field.title, _said(field, value, system)))
            continue
        columns = {column.name: column for column in field.row.fields()}
        for i, row in enumerate(value, 1):
            lines.append((f"{field.title}, row {i}", _row(row, columns, system)))
    return lines


def _said(field: Field | None, value: Any, system: str) -> str:
    """A reading as typed, or in the reader's units; what was picked by its title, not by its key in the file."""
    if field is not None and field.entry is not None and isinstance(value, str):
        return reading_carried(value, field.entry, system)
    if field is None or field.choice is None or not field.choice.of:
        return str(value)
    if field.choice.of == "instruments" and value in demo_aircraft().instruments:
        return instrument_carried(demo_aircraft().instruments[value], system)
    there = demo_aircraft().choices(field.choice.of, field.choice.measures)
    return str(there.get(value, value) if isinstance(there, Mapping) else value)


def _row(row: Mapping[str, Any], columns: Mapping[str, Field], system: str) -> str:
    return ", ".join(_said(columns.get(name), value, system) for name, value in row.items() if value not in (None, ""))
