"""The one form: it shows any sheet, from what the sheet says of itself.

Fields take what is typed; a verdict is shown only for the readings that stand on the screen. While a reading is being
typed the verdict is out of sight; Enter, or a pause, works the sheet anew; where a reading cannot be taken the verdict
is gone and the field says why. An error that nobody foresaw becomes a plain sentence on the page, and is kept in
`fault`.
"""

from __future__ import annotations

import functools
import inspect
import threading
import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from typing import Any

import ipywidgets as widgets

from rotorkit.notebook import pages, words
from rotorkit.notebook.fields import FieldBox
from rotorkit.notebook.later import Later
from rotorkit.notebook.layout import boxed, lines_of
from rotorkit.notebook.parts import BudgetPart, CalculationPart, HandPart, Part, WhatIfPart
from rotorkit.notebook.rows import RowsBox
from rotorkit.notebook.style import STYLE
from rotorkit.notebook.typed import for_field
from rotorkit.pictures import draw
from rotorkit.quantities import use_display
from rotorkit.sheets.base import Outcome, Sheet, SheetError, sheet_type
from rotorkit.sheets.folder import Folder

__all__ = ["Form"]

PAUSE = 0.6
"""Seconds without a key press after which a reading is taken without Enter."""
OVERTAKEN = 0.25
"""Enter may overtake the last key press on its way here: a text that comes this soon after it is taken at once."""
RUSH = 0.012
"""Where the last key press came this recently, another may be on its way: Enter waits as long for it."""
AFTERWARDS = 0.4
"""Seconds after which the parts that are slower to show follow the verdict and the picture."""
PICTURE_WIDTH = 405

TYPING = "<p>A reading is being typed: the verdict follows when you press Enter, or pause.</p>"
EMPTY = "an empty form"


class Form:
    """A form over a sheet of a working folder.

    Arguments: sheet, its name; folder, the working folder (default: the nearest one); check, the name of the check in
    the folder's readings to begin with (default: the first of this sheet).

    `outcome` is what the readings on the screen come to, or None; `problems` what keeps them from being worked, by
    field path ("" for what is no single field's); `readings` the readings with their units; `set` types into a field;
    `load` puts other readings in; `on_change` is told after every working.
    """

    def __init__(self, sheet: str, folder: Folder | None = None, check: str | None = None) -> None:
        self.folder = folder or Folder.here()
        self.aircraft = self.folder.aircraft
        self.system = self.aircraft.aircraft.display
        self.sheet: type[Sheet] = sheet_type(sheet)
        self.outcome: Outcome | None = None
        self.worked_sheet: Sheet | None = None
        self.problems: dict[str, str] = {}
        self.fault: Exception | None = None
        self.typing = False
        self._typed_at = self._entered_at = -PAUSE
        self._lock = threading.RLock()
        self._later = Later(self._guard)
        self._listeners: list[Callable[[Form], None]] = []
        self._parts: dict[str, Part] = {}
        self._checks = [one for one in self.folder.checks if one.sheet == sheet]
        self._kept: dict[str, dict[str, Any]] = {}
        first = self.folder.check(check).name if check is not None else self._checks[0].name if self._checks else ""
        self.check = first
        self._make_boxes()
        self.box = self._make_box()
        self.load(self._readings_of(first))

    # what the form shows and is told

    @property
    def readings(self) -> dict[str, Any]:
        """The readings with their units, as a sheet and the record take them; what is empty is left out."""
        found: dict[str, Any] = {}
        for name, box in self._fields.items():
            if text := box.reading():
                found[name] = text
        for name, rows in self._rows.items():
            found[name] = rows.readings()
        return found

    def set(self, path: str, text: str) -> None:
        """Type into a field ("temperature", "stations.0.reading") or pick a choice by its key, and have it taken."""
        with self._lock:
            box = self._box(path)
            if box.is_choice:
                box.put(text)
                self._chosen(box)
            else:
                box.put(text)
            self.work()

    def get(self, path: str) -> str:
        """What stands in a field."""
        return self._box(path).text

    def message(self, path: str) -> str:
        """What is said beneath a field, as HTML text."""
        return str(self._box(path).echo.value)

    def load(self, readings: Mapping[str, Any]) -> None:
        """Put other readings, with their units, in place of those in the form."""
        with self._lock:
            for name, box in self._fields.items():
                text = str(readings.get(name, "") or "") or box.default
                box.put(for_field(text, box.spec.entry, self.system) if box.spec.entry is not None else text)
            for name, rows in self._rows.items():
                rows.put(list(readings.get(name, [])))
            self._unknown = {name: "is not known here" for name in readings if name not in self.sheet.model_fields}
            self.work()

    def add_row(self, name: str, **readings: str) -> None:
        """Add a row to a table of readings ("stations")."""
        with self._lock:
            self._rows[name].add(readings)
            self.work()

    def remove_row(self, name: str, number: int) -> None:
        """Remove a row, counted from 0."""
        with self._lock:
            self._rows[name].remove(number)
            self.work()

    def by_hand_figure(self, key: str, text: str) -> str:
        """Type a hand figure for a finding: whether it agrees, in words."""
        part = self.by_hand.part
        with self._lock:
            return part.judge(key, text)

    def on_change(self, listener: Callable[[Form], None]) -> None:
        """Have a function told of every working, and of the first key of a reading being typed."""
        self._listeners.append(listener)

    # the parts of a notebook's page

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

    def what_if(self, changes: Sequence[Mapping[str, str]], figures: Sequence[str] = ()) -> Any:
        """What the figures would be with other readings in place of some: a table that follows the form.

        changes: one mapping of field paths to readings for each row. figures: keys of findings (default: the first
        two).
        """
        part = WhatIfPart(self, changes, figures)
        return self._shown(f"what_if {len(self._parts)}", part)

    def _part(self, name: str, make: Callable[[Form], Part]) -> Any:
        with self._lock:
            if name in self._parts:
                return self._parts[name].box
            return self._shown(name, make(self))

    def _shown(self, name: str, part: Part) -> Any:
        part.box.part = part
        self._parts[name] = part
        self._guard(lambda: _all(part.update()))()
        return part.box

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.box)

    # making it

    def _make_boxes(self) -> None:
        self._fields: dict[str, FieldBox] = {}
        self._rows: dict[str, RowsBox] = {}
        changed, entered = self._guard(self._on_changed), self._guard(self._on_entered)
        for spec in self.sheet.fields():
            if spec.row is not None:
                fresh = self._fresh_rows if self._start_choices else None
                self._rows[spec.name] = RowsBox(spec, self.aircraft, changed, entered, self._act, fresh)
            else:
                self._fields[spec.name] = FieldBox(spec.name, spec, spec.title, self.aircraft, changed, entered)

    @functools.cached_property
    def _start_choices(self) -> list[str]:
        """The choices that decide which rows a form starts with."""
        return [name for name in inspect.signature(self.sheet.start).parameters if name in self.sheet.model_fields]

    def _make_box(self) -> Any:
        self.state = widgets.HTML()
        self.state.add_class("rotorkit-state")
        self.headline = widgets.HTML()
        self.figures = widgets.HTML()
        self.picture = widgets.HTML()
        self.footer = widgets.VBox([])
        self.headline.add_class("rotorkit-outcome")
        below = boxed([self.picture, self.figures], "rotorkit-outcome", upright=True)
        fields = boxed(lines_of(self.sheet, self._fields, self._rows), "rotorkit-fields", upright=True)
        shown = [widgets.HTML(STYLE), self._chooser(), self.state, self.headline, fields, below, self.footer]
        return boxed(shown, "rotorkit-form", upright=True)

    def _chooser(self) -> Any:
        options = [(one.title, one.name) for one in self._checks] + [(EMPTY, "")]
        self.checks = widgets.Dropdown(options=options, value=self.check, description="Readings of")
        self.checks.style.description_width = "initial"
        self.checks.observe(self._guard(self._on_check), names="value")
        return boxed([self.checks], "rotorkit-pick")

    def _box(self, path: str) -> FieldBox:
        if path in self._fields:
            return self._fields[path]
        name, _, rest = path.partition(".")
        number, _, column = rest.partition(".")
        if name in self._rows and number.isdigit() and int(number) < len(self._rows[name].rows):
            row = self._rows[name].rows[int(number)]
            if column in row:
                return row[column]
        raise KeyError(f"the form has no field {path!r}: it has {', '.join([*self._fields, *self._rows])}")

    @property
    def _all_boxes(self) -> list[FieldBox]:
        return [*self._fields.values(), *(box for rows in self._rows.values() for box in rows.boxes)]

    # readings to begin with

    def _readings_of(self, check: str) -> dict[str, Any]:
        if check in self._kept:
            return self._kept[check]
        start = self.sheet.start(self.aircraft)
        found = next((one for one in self._checks if one.name == check), None)
        return dict(start) if found is None else dict(found.readings)

    def _fresh_rows(self) -> None:
        chosen = {name: self._fields[name].text for name in self._start_choices}
        start = self.sheet.start(self.aircraft, **chosen)
        for name, rows in self._rows.items():
            rows.put(list(start.get(name, [])))

    # what happens

    def _guard(self, action: Callable[..., None]) -> Callable[..., None]:
        """An action under the form's lock, whose unforeseen error reaches the page."""

        @functools.wraps(action)
        def guarded(*given: Any) -> None:
            with self._lock:
                use_display(self.system)
                try:
                    action(*given)
                except Exception as fault:
                    self._tell_fault(fault)

        return guarded

    def _act(self, action: Callable[[], None]) -> None:
        def act() -> None:
            action()
            self.work()

        self._guard(act)()

    def _on_changed(self, box: FieldBox) -> None:
        if box.is_choice:
            self._chosen(box)
            self.work()
            return
        self._typed_at = time.monotonic()
        if self._typed_at - self._entered_at < OVERTAKEN:
            self.work()
            return
        box.untaken()
        if not self.typing:
            self.typing = True
            self.outcome = None
            self._later.cancel("parts")
            for part in self._parts.values():
                part.stale()
            self.box.add_class("rotorkit-typing")
            self.state.value = TYPING
            self._tell_listeners()
        self._later.do("work", PAUSE, self.work)

    def _on_entered(self, _box: FieldBox) -> None:
        self._entered_at = time.monotonic()
        if self._entered_at - self._typed_at < RUSH:
            self._later.do("work", RUSH, self.work)
        elif self.typing:
            self.work()

    def _on_check(self, change: Any) -> None:
        self._kept[self.check] = self.readings
        self.check = change["new"]
        self.load(self._readings_of(self.check))

    def _chosen(self, box: FieldBox) -> None:
        """Rows that hold no reading yet follow the choice that they depend on."""
        if box.path in self._start_choices and not any(rows.any_reading for rows in self._rows.values()):
            self._fresh_rows()

    def work(self) -> None:
        """Work the sheet with what stands in the fields, and show what it comes to."""
        with self._lock:
            self._later.cancel("work")
            self._later.cancel("parts")
            use_display(self.system)
            self.fault = None
            try:
                self._work()
            except Exception as fault:
                self._tell_fault(fault)

    def _work(self) -> None:
        self.outcome, self.worked_sheet, self.problems = None, None, {}
        try:
            if self._unknown:
                raise SheetError(list(self._unknown.items()))
            self.worked_sheet = self.sheet.from_readings(self.readings)
            self.outcome = self.worked_sheet.work(self.aircraft)
        except SheetError as error:
            for path, message in error.problems:
                self.problems[path] = f"{self.problems[path]}; {message}" if path in self.problems else message
        self._show()

    def _show(self) -> None:
        """Picture and verdict first, the fields' echoes after them, slower parts in a while."""
        if self.outcome is not None:
            _put(self.picture, pages.framed(pages.pictures([draw(p, PICTURE_WIDTH) for p in self.outcome.pictures])))
            _put(self.headline, pages.framed(words.headline(self.outcome)))
        else:
            for shown in (self.picture, self.headline, self.figures):
                _put(shown, "")
        self._settle_state()
        if self.outcome is not None:
            doubts = [box.doubt() for box in self._all_boxes]
            figures = words.findings_table(self.outcome, told=words.told(self.outcome)) + words.remarks(
                self.outcome, doubts
            )
            _put(self.figures, pages.framed(figures))
        for box in self._all_boxes:
            entry = box.spec.entry
            by = self._fields[entry.by].text if entry is not None and entry.by in self._fields else ""
            box.tell(self.problems.get(box.path, ""), by)
        for name, rows in self._rows.items():
            _put(rows.message, words.wrong(words.capital(self.problems[name])) if name in self.problems else "")
        self._later.do_pieces("parts", AFTERWARDS, self._pieces())
        self._tell_listeners()

    def _settle_state(self) -> None:
        self.typing = False
        self.box.remove_class("rotorkit-typing")
        _put(self.state, "" if self.outcome is not None else pages.framed(self._why_not()))

    def _why_not(self) -> str:
        titles = {box.path: box.control.description for box in self._all_boxes}
        titles |= {name: rows.spec.title for name, rows in self._rows.items()}
        return words.why_not(self.problems, titles)

    def _tell_fault(self, fault: Exception) -> None:
        """An error that nobody foresaw: said plainly, the verdict taken away, the error kept."""
        self.fault, self.outcome, self.typing = fault, None, False
        for shown in (self.picture, self.headline, self.figures):
            _put(shown, "")
        self.box.remove_class("rotorkit-typing")
        _put(self.state, pages.framed(words.fault(fault)))
        for part in self._parts.values():
            with suppress(Exception):
                _all(part.update())

    def _pieces(self) -> Iterator[None]:
        for part in list(self._parts.values()):
            yield from part.update()

    def _tell_listeners(self) -> None:
        for listener in self._listeners:
            listener(self)


def _all(pieces: Iterable[None]) -> None:
    for _ in pieces:
        pass


def _put(shown: Any, value: str) -> None:
    """Change a widget's text only where it differs."""
    if shown.value != value:
        shown.value = value
