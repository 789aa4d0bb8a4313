"""One field of a form: a native, labelled input, its unit, and under it what was understood or what is wrong."""

from __future__ import annotations

import functools
from collections.abc import Callable, Mapping
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.edges import clock
from rotorkit.edges.visible import in_a_line
from rotorkit.notebook import typed, widgets, words
from rotorkit.sheets.base import Field

LONG = 40
"""Letters of a choice beyond which it takes a line of its own within its row, and is written out under it where the row
folds: the list itself shows no more than there is room for."""

UNTAKEN = "<p>Press Enter to accept this reading.</p>"


class FieldBox:
    """A field with its widgets.

    path: as in a sheet's errors ("stations.0.reading"). changed: called when the person changes what stands in it;
    entered: when Enter is pressed. on_pasted: called with several lines that were put into it, if set; else they stand
    in it as repeats.
    """

    def __init__(
        self,
        path: str,
        spec: Field,
        label: str,
        aircraft: Aircraft,
        changed: Callable[[FieldBox], None],
        entered: Callable[[FieldBox], None],
        show_hint: bool = True,
    ) -> None:
        self.path, self.spec, self.aircraft, self.show_hint = path, spec, aircraft, show_hint
        self.system = aircraft.aircraft.display
        self.options = self._options()
        if self.is_choice:
            self.control: Any = widgets.Dropdown(options=self._listed(""), value=None, description=label)
        else:
            self.control = widgets.Text(description=label, continuous_update=True)
            self.control.on_msg(lambda _widget, content, _buffers: self._message(content))
        self.echo = widgets.HTML()
        self.echo.add_class("rotorkit-echo")
        self._changed, self._entered = changed, entered
        self.on_pasted: Callable[[FieldBox, str], None] | None = None
        self._setting = False
        self._kept: tuple[str, typed.Taken] | None = None
        self._echoes: dict[str, str] = {}
        self.control.observe(self._observed, names="value")

    @functools.cached_property
    def unit(self) -> Any:
        """The unit beside the field; a table of rows has it at its head."""
        said = typed.field_unit(self.spec.entry, self.system) if self.spec.entry is not None else ""
        return widgets.HTML(f'<span class="rotorkit-unit">{words.escape(said)}</span>')

    @property
    def is_choice(self) -> bool:
        return self.spec.choice is not None

    @property
    def default(self) -> str:
        """What stands in the field where nothing is given: the sheet's own default."""
        default = getattr(self.spec.default, "typed", self.spec.default)
        return default if isinstance(default, str) else ""

    @property
    def text(self) -> str:
        """What stands in the field."""
        return str(self.control.value or "")

    def put(self, text: str) -> None:
        """Put a text into the field; nothing is called."""
        self._setting = True
        try:
            if self.is_choice:
                self.control.options = self._listed(text)
            self.control.value = text
        finally:
            self._setting = False

    def _observed(self, change: Mapping[str, Any]) -> None:
        if self._setting:
            return
        if not self.is_choice and typed.has_lines(given := self.text):
            if self.on_pasted is not None:
                self.put(str(change["old"] or ""))
                self.on_pasted(self, given)
                return
            self.put(typed.on_one_line(given))
        self._changed(self)

    def _message(self, content: Mapping[str, Any]) -> None:
        if content.get("event") == "submit":
            self._entered(self)

    # choices

    def _options(self) -> dict[str, str]:
        choice = self.spec.choice
        if choice is None:
            return {}
        if choice.of:
            return self.aircraft.choices(choice.of, choice.measures)
        return dict(zip(choice.options, choice.said or choice.options, strict=True))

    def _listed(self, value: str) -> list[tuple[str, str]]:
        """Words and key of what can be picked; what stands there though nothing knows it is listed too, and said so."""
        listed = [(said, key) for key, said in self.options.items()]
        if not value or not (self.spec.required or self.default):
            none = "none named" if self.spec.choice and self.spec.choice.of == "instruments" else "not chosen"
            if "" not in self.options:
                listed.append((none, ""))
        if value and value not in self.options:
            listed.append((f"{value} (not known)", value))
        return [(in_a_line(said), key) for said, key in listed]

    def follow(self, aircraft: Aircraft) -> None:
        """Take in the choices and instruments of another aircraft file; what stands in the field stays."""
        self.aircraft, self._echoes = aircraft, {}
        if self.is_choice:
            self.options = self._options()
            if list(self.control.options) != self._listed(self.text):
                self.put(self.text)

    # what was understood

    @property
    def _taken(self) -> typed.Taken:
        """What stands in a field of readings, read once for as long as it stands there."""
        assert self.spec.entry is not None
        text = self.text
        if self._kept is None or self._kept[0] != text:
            self._kept, self._echoes = (text, typed.taken(text, self.spec.entry, self.system)), {}
        return self._kept[1]

    def reading(self) -> str:
        """The field's text with its unit, as a sheet takes it. Text that cannot be read is given as it stands, for the
        sheet to say what is wrong with it."""
        if self.spec.entry is None or not self.text.strip():
            return self.text.strip()
        return self._taken.given

    def value(self) -> Any:
        """What a sheet is made from: the reading that was read of `reading`, or the text where there is none."""
        if self.spec.entry is None or not self.text.strip():
            return self.text.strip()
        return self._taken.given if self._taken.reading is None else self._taken.reading

    def doubt(self) -> str:
        """A sentence where the reading is outside the credible range; empty otherwise."""
        if self.spec.entry is None or not self.text.strip():
            return ""
        return self.spec.entry.doubt(self._taken.reading)

    def tell(self, problem: str, instrument_key: str = "") -> None:
        """Say under the field what was understood, or the problem of the sheet at this field."""
        said = self._said(problem, instrument_key)
        if said != self.echo.value:
            self.echo.value = said

    def untaken(self) -> None:
        """Say that what stands there is not yet taken."""
        said = UNTAKEN + (words.hint(self.spec.how) if self.show_hint else "")
        if self.echo.value != said:
            self.echo.value = said

    def _said(self, problem: str, instrument_key: str) -> str:
        hint = words.hint(self.spec.how) if self.show_hint else ""
        blank = not self.text.strip()
        if problem and blank and not self.is_choice:
            waiting = "still to be filled in" if problem == "is missing" else problem
            return f'<p role="status"><b>{words.escape(words.capital(waiting))}.</b></p>{hint}'
        if problem:
            meant = f". {self._taken.meant}" if self.spec.entry is not None and not blank and self._taken.meant else ""
            return words.wrong(words.capital(problem) + meant) + hint
        if self.is_choice:
            return self._whole() + self._calibration() + hint
        if self.spec.entry is None or blank:
            return hint
        found = self._taken
        if found.reading is None:
            return words.wrong(words.capital(found.problem)) + hint
        if instrument_key not in self._echoes:
            instrument = self.aircraft.instruments.get(instrument_key)
            said = typed.understood(found.reading, self.spec.entry, self.system, instrument, not self.show_hint)
            self._echoes[instrument_key] = words.understood(said)
        questioned = self.doubt()
        return self._echoes[instrument_key] + (words.doubt(questioned) if questioned else "") + hint

    def _whole(self) -> str:
        said = self.options.get(self.text, "")
        return f'<p class="rotorkit-whole">{words.escape(said)}</p>' if len(said) > LONG else ""

    def _calibration(self) -> str:
        if (
            self.spec.choice is None
            or self.spec.choice.of != "instruments"
            or self.text not in self.aircraft.instruments
        ):
            return ""
        instrument = self.aircraft.instruments[self.text]
        if instrument.due is not None and instrument.due < clock.today():
            return words.doubt(instrument.calibration_words(clock.today()))
        return ""
