"""Parts that follow a form: worked calculation, uncertainty budget, hand figures, what-if.

Each follows the form. What is slow to show (typeset formulas) is kept to the step that is looked at.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Protocol

from rotorkit.edges.visible import in_a_line
from rotorkit.judging.agreement import compare_by_hand
from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.closing import close_all
from rotorkit.notebook.style import STYLE
from rotorkit.quantities import Kind, QuantityError, read, unit_label
from rotorkit.record.by_hand import bare_unit_of
from rotorkit.sheets.base import Finding, Outcome, SheetError

BY_HAND = (
    "<p>Work a figure on paper and type it here. It is judged by the digits that you wrote. What is here when you "
    "save the check is kept with it, along with whether it agreed.</p>"
)
NOTHING = '<p class="rotorkit-hint">Nothing yet: the form has no verdict at the moment.</p>'
EVERY = -1


class Followed(Protocol):
    """What a part of a page knows of the form that it follows."""

    outcome: Outcome | None
    system: str
    sheet: Any
    aircraft: Any
    check: str
    folder: Any
    keeping: Any
    typing: bool

    @property
    def readings(self) -> dict[str, Any]: ...

    @property
    def saved(self) -> str: ...

    @property
    def _told_of_limits(self) -> bool: ...

    def work(self) -> None: ...

    def save(self, *given: Any, **named: Any) -> Any: ...

    def attach(self, photographs: Any, who: str) -> Any: ...

    def load(self, readings: Any) -> None: ...

    def figures_written(self) -> None: ...

    def _tell_saved(self) -> None: ...

    def _guard(self, action: Any) -> Any: ...

    def _box(self, path: str) -> Any: ...


class Part:
    """A part: `box`, its widget, and `update`, gone through after the form has worked its sheet."""

    def __init__(self, form: Followed, children: Sequence[Any]) -> None:
        self.form = form
        self.box = widgets.VBox([widgets.HTML(STYLE), *children])
        self.box.add_class("rotorkit-form")

    def update(self) -> Iterator[None]:
        """Follow the form, piece by piece: between two pieces the form may see to a key press."""
        self._update()
        self.box.remove_class("rotorkit-typing")
        yield

    def stale(self) -> None:
        """Take out of sight what belongs to readings that are being typed over."""
        self.box.add_class("rotorkit-typing")

    def _update(self) -> None:
        raise NotImplementedError

    def _pick(self, label: str, chosen: Any) -> Any:
        """A native list to pick from, with its label."""
        pick = widgets.Dropdown(description=label, options=[("", None)])
        pick.observe(self.form._guard(chosen), names="value")
        return pick

    def _chosen(self, _change: object) -> None:
        """What is seen of the one picked."""
        if self.form.outcome is not None:
            self._show(self.form.outcome)

    def _show(self, outcome: Outcome) -> None:
        raise NotImplementedError

    @staticmethod
    def _picker(pick: Any) -> Any:
        box = widgets.Box([pick])
        box.add_class("rotorkit-pick")
        return box


def options_kept(pick: Any, options: list[tuple[str, Any]], otherwise: Any) -> None:
    """Change what can be picked, keeping what was picked where it is still there."""
    options = [(in_a_line(said), value) for said, value in options]
    if list(pick.options) == options:
        return
    was = pick.value
    values = [value for _, value in options]
    pick.options = options
    pick.value = was if was in values else otherwise


class CalculationPart(Part):
    """Every step with its result, and the step that is looked at typeset in full."""

    def __init__(self, form: Followed) -> None:
        self.table = widgets.HTML()
        self.pick = self._early_pick(form)
        self.math = widgets.HTMLMath()
        for shown in (self.table, self.math):
            shown.add_class("rotorkit-outcome")
        super().__init__(form, [self.table, self._picker(self.pick), self.math])

    def _early_pick(self, form: Followed) -> Any:
        self.form = form
        return self._pick("Look at step", self._chosen)

    def _update(self) -> None:
        outcome = self.form.outcome
        if outcome is None:
            put(self.table, pages.framed(NOTHING))
            put(self.math, "")
            return
        put(self.table, pages.framed(words.step_table(outcome.steps, self.form.system)))
        titles = [(f"{i}. {step.title}", i - 1) for i, step in enumerate(outcome.steps, 1)]
        options_kept(self.pick, [*titles, ("each step in turn", EVERY)], 0)
        self._show(outcome)

    def _show(self, outcome: Outcome) -> None:
        number = self.pick.value
        steps = outcome.steps if number == EVERY else outcome.steps[number : number + 1] if number is not None else []
        put(self.math, pages.framed("".join(words.step_math(step) for step in steps)))


class BudgetPart(Part):
    """Where the uncertainty of a figure comes from, for the figure that is picked."""

    def __init__(self, form: Followed) -> None:
        self.form = form
        self.pick = self._pick("Uncertainty of", self._chosen)
        self.table = widgets.HTML()
        self.table.add_class("rotorkit-outcome")
        super().__init__(form, [self._picker(self.pick), self.table])

    def _update(self) -> None:
        outcome = self.form.outcome
        if outcome is None:
            put(self.table, pages.framed(NOTHING))
            return
        options_kept(self.pick, [(found.title, found.key) for found in outcome.findings], _first_key(outcome))
        self._show(outcome)

    def _show(self, outcome: Outcome) -> None:
        if self.pick.value is None:
            put(self.table, "")
            return
        found = outcome.finding(self.pick.value)
        put(self.table, pages.framed(words.budget_table(found, self.form.system)))


def _first_key(outcome: Outcome) -> str | None:
    """The finding to look at first: one that bears the worst verdict."""
    for found in outcome.findings:
        if found.verdict.word == outcome.word and not found.aside:
            return found.key
    return outcome.findings[0].key if outcome.findings else None


class HandPart(Part):
    """A field for the person's own figure beside each of the sheet's, judged by the digits written."""

    def __init__(self, form: Followed) -> None:
        self.lines = widgets.VBox([])
        self.message = widgets.HTML()
        self.inputs: dict[str, tuple[Any, Any]] = {}
        self.units: dict[str, tuple[str, Any]] = {}
        self.diagnosed: dict[str, tuple[Any, Any]] = {}
        self.others: dict[str, tuple[Outcome, Any]] = {}
        self.of = form.check
        super().__init__(form, [widgets.HTML(pages.framed(BY_HAND)), self.message, self.lines])

    def _kept(self) -> str:
        """The hand figures that the last entry of the check holds."""
        entry = self.form.keeping.last(self.form.check)
        if entry is None or not entry.by_hand:
            return ""
        told = "; ".join(f"{one.title}: {one.typed}, {one.word}, judged {one.day}" for one in entry.by_hand)
        return words.hint(f"Kept with entry {entry.number}: {told}.")

    def _update(self) -> None:
        outcome = self.form.outcome
        if self.of != self.form.check:  # a figure worked for one check is none of another
            self.of = self.form.check
            self.clear()
        put(self.message, pages.framed(NOTHING if outcome is None else self._kept()))
        if outcome is None:
            for box, answer in self.inputs.values():
                put(answer, words.hint("to be judged when there is a figure") if box.value.strip() else "")
            return
        figures = [found for found in outcome.findings if not found.counted]
        keys = [found.key for found in figures]
        for found in figures:
            self._under_its_name(found)
        if [key for key in self.inputs if key in keys] != keys or len(self.inputs) != len(keys):
            self._make(figures)
        for found in figures:
            self._judge(found)

    def _make(self, figures: list[Finding]) -> None:
        before, gone = self.inputs, self.lines.children
        self.inputs, lines = {}, []
        for found in figures:
            box, answer = before.get(found.key) or self._input(found)
            self.inputs[found.key] = (box, answer)
            unit = widgets.HTML(self._label(found))
            self.units[found.key] = self._unit(found), unit
            line = widgets.Box([box, unit, answer])
            line.add_class("rotorkit-hand")
            lines.append(line)
        self.lines.children = lines
        for line in gone:
            of_it, unit, answer = line.children
            close_all(unit, *([] if any(of_it is box for box, _ in self.inputs.values()) else [of_it, answer]))
            line.children = ()
            close_all(line)

    def _input(self, found: Finding) -> tuple[Any, Any]:
        box = widgets.Text(description=_hand_label(found), continuous_update=False)
        answer = widgets.HTML()
        answer.add_class("rotorkit-echo")
        answer.add_class("rotorkit-outcome")
        key = found.key
        box.observe(self.form._guard(lambda _change: self._typed(key)), names="value")
        return box, answer

    def _unit(self, found: Finding) -> str:
        return bare_unit_of(found, self.form.system)

    def _under_its_name(self, found: Finding) -> None:
        """What names the field: a title may say where the figure was found, such as the station of the greatest
        departure."""
        self._in_its_unit(found)
        if found.key in self.inputs and (box := self.inputs[found.key][0]).description != _hand_label(found):
            box.description = _hand_label(found)

    def _in_its_unit(self, found: Finding) -> None:
        """Where the figure is in another unit now, by the form's units or by its limit: a bare number that was typed
        gets the unit that stood beside it, and the new one stands there."""
        before, label = self.units.get(found.key, ("", None))
        if label is None or before == self._unit(found):
            return
        self.units[found.key] = self._unit(found), label
        self.diagnosed.pop(found.key, None)
        label.value = self._label(found)
        box, _ = self.inputs[found.key]
        if text := box.value.strip():
            box.value = _with_its_unit(text, found.measured.kind, before)

    @property
    def figures(self) -> dict[str, str]:
        """What stands in the fields, by the keys of the figures: as typed, a bare number of a form that is shown in
        other units than the aircraft file's with its unit."""
        form, found = self.form, {}
        other = form.system != form.folder.aircraft.aircraft.display
        for one in form.outcome.findings if form.outcome is not None else []:
            self._in_its_unit(one)
            if one.key in self.inputs and (text := self.inputs[one.key][0].value.strip()):
                found[one.key] = _with_its_unit(text, one.measured.kind, self._unit(one)) if other else text
        return found

    def clear(self) -> None:
        """Empty the fields: what stood there is kept, or belongs to another check."""
        for box, answer in self.inputs.values():
            box.value = ""
            put(answer, "")

    def _label(self, found: Finding) -> str:
        unit = self._unit(found)
        label = unit_label(unit, found.measured.kind) if unit else ""
        return f'<span class="rotorkit-unit">{words.escape("degrees" if label == "°" else label)}</span>'

    def _typed(self, key: str) -> None:
        if self.form.outcome is not None:
            self._judge(self.form.outcome.finding(key))

    def judge(self, key: str, text: str) -> str:
        """Type a hand figure, and have it judged in words."""
        self.inputs[key][0].value = text
        assert self.form.outcome is not None
        return self._judge(self.form.outcome.finding(key))

    def _judge(self, found: Finding) -> str:
        self._in_its_unit(found)
        box, answer = self.inputs[found.key]
        text = box.value.strip()
        if not text:
            put(answer, "")
            return ""
        try:
            agreement = compare_by_hand(text, found.measured, self._unit(found) or None)
            corrected: list[str] = []
            if not agreement.good:
                diagnosis = self._diagnosed(found, text)
                agreement, corrected = diagnosis.agreement, diagnosis.shown
        except QuantityError as problem:
            put(answer, words.wrong(words.capital(str(problem))))
            return str(problem)
        said = (
            f"<b>{words.escape(words.capital(agreement.word))}.</b> {words.escape(words.capital(agreement.sentence))}."
        )
        if agreement.hint:
            said += f" {words.escape(words.capital(agreement.hint))}."
        if corrected:
            said += " As it should be:" + "".join(f"<br>{words.escape(line)}" for line in corrected)
        kind = "" if agreement.good else ' class="rotorkit-note"'
        put(answer, f'<p role="status"{kind}>{said}</p>')
        return agreement.word

    def _diagnosed(self, found: Finding, text: str) -> Any:
        """Which slip explains a figure that does not agree. It is worked out once for a figure and the readings."""
        from rotorkit.teach.otherwise import otherwise
        from rotorkit.teach.slips import Others, diagnose_figure

        outcome, form = self.form.outcome, self.form
        assert outcome is not None
        key = (text, float(found.measured.si), float(found.measured.expanded_si))
        kept = self.diagnosed.get(found.key)
        if kept is None or kept[0] != key:
            before = self.others.get(found.key)
            if before is None or before[0] is not outcome:
                try:
                    others = otherwise(form.sheet.from_readings(form.readings), form.aircraft, found.key)
                except SheetError:
                    others = Others()
                before = self.others[found.key] = (outcome, others)
            others = before[1]
            made = diagnose_figure(outcome.steps, found.measured, text, self._unit(found) or None, others)
            kept = self.diagnosed[found.key] = (key, made)
        return kept[1]


def _hand_label(found: Finding) -> str:
    return in_a_line(f"By hand: {found.title}")


def _with_its_unit(text: str, kind: Kind, unit: str) -> str:
    """A bare number with its unit behind it; what bears one, or needs none, as it stands."""
    try:
        read(text, kind)
    except QuantityError:
        return f"{text} {unit}".strip()
    return text


class WhatIfPart(Part):
    """What the figures would be with other readings: a table that follows the form."""

    def __init__(self, form: Followed, changes: Sequence[Mapping[str, str]], figures: Sequence[str]) -> None:
        self.changes, self.keys = changes, list(figures)
        self.table = widgets.HTML()
        self.table.add_class("rotorkit-outcome")
        super().__init__(form, [self.table])

    def update(self) -> Iterator[None]:
        """Follow the form, a row at a time."""
        outcome = self.form.outcome
        if outcome is None:
            put(self.table, pages.framed(NOTHING))
            self.box.remove_class("rotorkit-typing")
            return
        judged = [found.key for found in outcome.findings if not found.aside]
        keys = self.keys or judged[:2] or [found.key for found in outcome.findings[:2]]
        shown = [outcome.finding(key) for key in keys]
        heads = ["With", *(found.title for found in shown), "Worst verdict"]
        rows = [self._row("the readings as they are", outcome, keys)]
        for change in self.changes:
            said = ", ".join(f"{self._title(path)} {text}" for path, text in change.items())
            yield
            rows.append(self._changed(said, change, keys))
        raw = range(1, len(heads))
        put(self.table, pages.framed(words.table("What the figures would be", heads, rows, raw)))
        self.box.remove_class("rotorkit-typing")

    def _title(self, path: str) -> str:
        return str(self.form._box(path).control.description).lower()

    def _changed(self, said: str, change: Mapping[str, str], keys: Sequence[str]) -> list[str]:
        readings = self.form.readings
        for path, text in change.items():
            _place(readings, path, text)
        try:
            return self._row(said, self.form.sheet.from_readings(readings).work(self.form.aircraft), keys)
        except SheetError as problem:
            told = words.escape(words.capital("; ".join(message for _, message in problem.problems)))
            return [said, told, *[""] * len(keys)]

    def _row(self, said: str, outcome: Outcome, keys: Sequence[str]) -> list[str]:
        figures = []
        for key in keys:
            found = outcome.finding(key)
            word = "" if found.aside else f"<br>{words.escape(found.verdict.word)}"
            figures.append(words.escape(found.row()[1]) + word)
        return [said, *figures, words.verdict_word(outcome.word)]


def _place(readings: dict[str, Any], path: str, text: str) -> None:
    """Put a reading in its place; rows are not shared with the form's own."""
    name, _, rest = path.partition(".")
    if not rest:
        readings[name] = text
        return
    number, _, column = rest.partition(".")
    readings[name] = [dict(row) for row in readings[name]]
    readings[name][int(number)][column] = text


def put(shown: Any, value: str) -> None:
    """Change a widget's text only where it differs."""
    if shown.value != value:
        shown.value = value
