"""Practice on the aircraft: a sheet with invented readings and one fault planted in them, to be found.

The readings are the demo aircraft's. One thing went wrong when they were taken: two blades swapped, a zero not set, a
reference forgotten, another riser in the gauge, a sign, a decimal point. The learner sees the readings as they were
written down, what they come to, and the figures of the last check, when all was well.

Nothing of it can reach a record: a sheet of practice says so of itself, and the record refuses it.

>>> tried = practice("blade_angles", seed=3)
>>> tried.try_(tried.choices.index(tried.fault)).right
True
"""

from __future__ import annotations

import functools
import random
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from rotorkit.aircraft import Aircraft, demo_folder, load_aircraft
from rotorkit.folder.checks import Check, Folder
from rotorkit.quantities import QuantityError
from rotorkit.sheets.base import NOT_LOOKED_AT, Outcome, Sheet, SheetError
from rotorkit.sheets.catalogue import sheet_type
from rotorkit.teach.otherwise import in_a_sentence, row_words, taken_otherwise

INVENTED = "Practice: these readings are invented, with a fault planted in them."
"""Stands first wherever a practice is shown, and is why the record refuses it."""
CHOICES = 5
"""So many faults the learner has to choose from."""
MOST_WORKED = 24
COARSE = 0.05
"""Where no fault moves a figure by as much as it is known to: all other readings are the same, so this much shows."""
ZEROS = ("reference", "zero", "tare")
"""Parts of the names of fields that are taken off the others."""


@dataclass(frozen=True)
class Tried:
    """One choice judged. words: what to tell the learner."""

    right: bool
    words: str


@dataclass(frozen=True)
class _Fault:
    words: str
    family: str
    readings: Mapping[str, Any]
    figures: tuple[float, ...] = ()
    """What it makes of the sheet's figures: a fault that makes the same of them cannot be told from it."""


@dataclass
class Practice:
    """A sheet with a fault planted.

    name: the sheet's; seed; title: of the invented check; readings: as they were written down, the fault among them;
    outcome: what they come to; before: (title, figure now, figure at the last check) of each figure; choices: faults in
    words, one of which is the one. tries: how many choices were judged.
    """

    name: str
    seed: str
    title: str
    readings: Mapping[str, Any]
    outcome: Outcome
    before: list[tuple[str, str, str]]
    choices: tuple[str, ...]
    _fault: str = field(repr=False)
    _moved: tuple[str, ...] = field(repr=False)
    _family: str = field(repr=False)
    tries: int = 0
    hints_told: int = 0

    @property
    def sheet(self) -> Sheet:
        """The sheet with the readings, marked as invented: no record takes it."""
        return sheet_type(self.name).from_readings(self.readings).as_invented(INVENTED)

    @property
    def fault(self) -> str:
        """What was planted, for the instructor."""
        return self._fault

    def try_(self, number: int) -> Tried:
        """Judge one of the choices, counted from 0."""
        if not 0 <= number < len(self.choices):
            raise QuantityError(f"there are {len(self.choices)} choices, counted from 0, got {number}")
        self.tries += 1
        chosen = self.choices[number]
        if chosen == self._fault:
            return Tried(True, f"That is it: {chosen}. {self._told_by()}")
        return Tried(False, f"No: with that, other figures would have moved ({chosen}). Look again.")

    def hint(self) -> str:
        """The next hint: what to look at, which figures moved, what kind of thing went wrong."""
        hints = ("Which figures differ from the last check?", self._told_by(), FAMILIES[self._family])
        self.hints_told = min(self.hints_told + 1, len(hints))
        return hints[self.hints_told - 1]

    def _told_by(self) -> str:
        moved = self._moved[:4]
        more = len(self._moved) - len(moved)
        return f"It shows in: {'; '.join(moved)}{f'; and {more} more' if more else ''}."


FAMILIES = {
    "swapped": "Two things have been swapped.",
    "table": "Something was chosen that does not belong to this job: compare each choice with the manual and the card.",
    "left out": "Something that has to be subtracted from every reading was forgotten.",
    "sign": "One reading has the wrong sign.",
    "zero": "An instrument was not at zero to begin with: everything read with it is off by the same amount.",
    "decimal point": "One reading is far too large or too small beside the others.",
}


def practice(sheet: str, seed: int | str = 1, system: str = "us") -> Practice:
    """A sheet with a fault planted by the seed; its figures are said in the units of a display system.

    Raises `SheetError` for an unknown sheet, `QuantityError` for one in which nothing can be planted.
    """
    sheet_type(sheet)  # an unknown one is told as such
    checks = [one for one in _folder().checks if one.sheet == sheet]
    draw = random.Random(f"practice {sheet} {seed}")
    if checks:
        check = draw.choice(checks)
        aircraft = demo_aircraft(system)
        well = check.outcome(aircraft)
        faults = _planted(check.name, system)
        order = [draw.choice([one for one in faults if one.family == family]) for family in _shuffled(draw, faults)]
        for fault in order:
            outcome = sheet_type(sheet).from_readings(fault.readings).work(aircraft)
            others = [one for one in faults if one.words != fault.words and one.figures != fault.figures]
            if not others:
                continue
            wrong = draw.sample(others, min(CHOICES - 1, len(others)))
            choices = [fault.words, *(one.words for one in wrong)]
            draw.shuffle(choices)
            now = {one.key: one for one in outcome.findings}
            before = [(one.title, now[one.key].said if one.key in now else "none", one.said) for one in well.findings]
            return Practice(
                sheet, str(seed), check.title, fault.readings, outcome, before, tuple(choices), fault.words,
                tuple(_moved(well, outcome)) or tuple(_moved(well, outcome, COARSE)), fault.family,
            )  # fmt: skip
    raise QuantityError(f"no fault can be planted in {sheet}: nothing in it can be misread")


def _shuffled(draw: random.Random, faults: tuple[_Fault, ...]) -> list[str]:
    families = list(dict.fromkeys(one.family for one in faults))
    draw.shuffle(families)
    return families


@functools.cache
def demo_aircraft(system: str = "us") -> Aircraft:
    """The invented aircraft that is practised on, its figures said in the units of a display system."""
    loaded = load_aircraft(demo_folder())
    return loaded.model_copy(update={"aircraft": loaded.aircraft.model_copy(update={"display": system})})


@functools.cache
def _folder() -> Folder:
    return Folder(demo_folder())


@functools.cache
def _planted(name: str, system: str) -> tuple[_Fault, ...]:
    """Every fault of a demo check that can be worked and that moves a figure by more than it is known to; of a check
    whose figures are known too coarsely for that, those that move one by a twentieth of that."""
    check = _folder().check(name)
    try:
        well = check.outcome(demo_aircraft(system))
    except (SheetError, QuantityError):
        return ()
    found: list[_Fault] = []
    coarse: list[_Fault] = []
    for fault in _spread(list(_faults(check, system))):
        try:
            outcome = sheet_type(check.sheet).from_readings(fault.readings).work(demo_aircraft(system))
        except (SheetError, QuantityError, ValueError):
            continue
        figures = tuple(round(float(one.measured.si), 9) for one in outcome.findings)
        if any(_moved(well, outcome)):
            found.append(replace(fault, figures=figures))
        elif any(_moved(well, outcome, COARSE)):
            coarse.append(replace(fault, figures=figures))
    return tuple(found if len(found) > 1 else [*found, *coarse])


def _spread(faults: list[_Fault]) -> list[_Fault]:
    """So many of them as can be worked in a moment, of every family some."""
    families = list(dict.fromkeys(one.family for one in faults))
    most = max(1, MOST_WORKED // max(1, len(families)))
    kept = []
    for family in families:
        of = [one for one in faults if one.family == family]
        kept += of[:: max(1, len(of) // most)][:most]
    return kept


def _moved(well: Outcome, outcome: Outcome, share: float = 1.0) -> Iterator[str]:
    """The titles of the figures that moved by more than they are known to, or by that share of it."""
    now = {one.key: one.measured for one in outcome.findings}
    for one in well.findings:
        figure = now.get(one.key)
        if figure is None:
            continue
        off = abs(float(figure.si) - float(one.measured.si))
        if off > max(share * float(one.measured.expanded_si), 0.01 * abs(float(one.measured.si)), 1e-12):
            yield one.title


def _faults(check: Check, system: str = "us") -> Iterator[_Fault]:
    sheet, given = check.made(), dict(check.readings)
    for words, family, where, readings in taken_otherwise(sheet, demo_aircraft(system)):
        instrument = next((one.choice for one in sheet.fields() if one.name == where and one.choice), None)
        if instrument is not None and (instrument.of == "instruments" or readings[where] == NOT_LOOKED_AT):
            continue
        yield _Fault(_rows_named(sheet, given, where, readings) or words, family, readings)
    yield from _zero_not_set(sheet, given)
    for one in sheet.fields():
        text = given.get(one.name)
        if one.entry is not None and isinstance(text, str) and any(part in one.name for part in ZEROS):
            unit = re.sub(r"[^A-Za-z°/%*^]+", " ", text.partition("±")[0]).split()
            words = f"the {in_a_sentence(one.title)} was not taken off: it stands as 0"
            yield _Fault(words, "left out", {**given, one.name: f"0 {unit[-1] if unit else ''}".strip()})
        if one.entry is not None and isinstance(text, str):
            for family, words, new in _misread(f"the {in_a_sentence(one.title)}", text):
                yield _Fault(words, family, {**given, one.name: new})
        if one.row is None:
            continue
        columns = [column for column in one.row.fields() if column.entry is not None]
        rows = [dict(row) for row in given.get(one.name) or []]
        for i, row in enumerate(rows):
            for column in columns:
                text = row.get(column.name)
                if not isinstance(text, str):
                    continue
                of = f"the {in_a_sentence(column.title)} of {_row_words(sheet, one.name, row) or f'row {i + 1}'}"
                for family, words, new in _misread(of, text):
                    changed = [dict(r) for r in rows]
                    changed[i][column.name] = new
                    yield _Fault(words, family, {**given, one.name: changed})


def _zero_not_set(sheet: Sheet, given: Mapping[str, Any]) -> Iterator[_Fault]:
    """Everything that an instrument reads in one field or one column, off by the same amount."""
    for one in sheet.fields():
        if one.entry is not None and one.entry.by and isinstance(text := given.get(one.name), str):
            new = _shifted(text, _by(text))
            if new:
                words = f"the instrument had not been set to zero before the {in_a_sentence(one.title)} was read"
                yield _Fault(words, "zero", {**given, one.name: new})
        if one.row is None:
            continue
        for column in one.row.fields():
            rows = [dict(row) for row in given.get(one.name) or []]
            texts = [row.get(column.name) for row in rows]
            if column.entry is None or not column.entry.by or not any(isinstance(text, str) for text in texts):
                continue
            by = max((_by(text) for text in texts if isinstance(text, str)), default=0.0)
            changed = [
                {**row, column.name: _shifted(row[column.name], by)} if isinstance(row.get(column.name), str) else row
                for row in rows
            ]
            if all(row.get(column.name) != "" for row in changed):
                words = (
                    f"the instrument had not been set to zero before the rows' {in_a_sentence(column.title)} was read"
                )
                yield _Fault(words, "zero", {**given, one.name: changed})


OFF_BY = 0.15
"""An instrument that was not set to zero is off by this share of its greatest reading."""


def _by(text: str) -> float:
    return OFF_BY * max((abs(float(number)) for number in _FIGURE.findall(_parted(text)[0])), default=0.0)


def _shifted(text: str, by: float) -> str:
    """A reading, or its repeats, with something added to each; empty where it cannot be told how."""
    head, tail = _parted(text)
    if _COMPOUND.search(head) or not by:
        return ""

    def more(found: re.Match[str]) -> str:
        decimals = len(found[0].partition(".")[2])
        return f"{float(found[0]) + by:.{decimals}f}"

    return _FIGURE.sub(more, head) + tail


def _parted(text: str) -> tuple[str, str]:
    """What was read, without thousands' commas, and what its ± is."""
    head, sign, tail = text.partition("±")
    return _THOUSANDS.sub("", head), sign + tail


_THOUSANDS = re.compile(r"(?<=\d),(?=\d{3}(?!\d))")
_COMPOUND = re.compile(r"['\"/,\[]|\d [A-Za-z]+ \d")
_FIGURE = re.compile(r"-?\d+(?:\.\d+)?")


def _misread(what: str, text: str) -> Iterator[tuple[str, str, str]]:
    """(family, words, text) of a reading written down wrongly; its ± stays, and compound ones are left alone."""
    head, tail = _parted(text)
    numbers = _FIGURE.findall(head)
    if _COMPOUND.search(head) or not any(float(number) for number in numbers):
        return
    turned = _FIGURE.sub(lambda found: found[0][1:] if found[0].startswith("-") else f"-{found[0]}", head)
    yield "sign", f"{what} was written with the wrong sign", turned + tail
    if all("." in number for number in numbers):
        moved = _FIGURE.sub(lambda found: f"{float(found[0]) * 10:g}", head)
        yield "decimal point", f"the decimal point of {what} was left out", moved + tail
    elif all(float(number) == 0 or abs(float(number)) >= 10 for number in numbers):
        moved = _FIGURE.sub(lambda found: f"{float(found[0]) / 10:g}", head)
        yield "decimal point", f"the decimal point of {what} was put one place too far to the left", moved + tail


def _rows_named(sheet: Sheet, given: Mapping[str, Any], where: str, readings: Mapping[str, Any]) -> str:
    """Two rows swapped, by what stands in them in place of their numbers."""
    name, _, rest = where.partition(".")
    numbers = rest.split()
    if len(numbers) != 2:
        return ""
    rows, changed = given[name], readings[name]
    first = int(numbers[0])
    of = next(one for one in sheet.fields() if one.name == name)
    assert of.row is not None
    column = next(c.title for c in of.row.fields() if rows[first].get(c.name) != changed[first].get(c.name))
    one, other = (_row_words(sheet, name, rows[int(number)]) for number in numbers)
    return f"the {in_a_sentence(column)} of {one} and of {other} were swapped" if one and other else ""


def _row_words(sheet: Sheet, name: str, row: Mapping[str, Any]) -> str:
    """A row by what it is of: its choices and names."""
    return row_words(next(one for one in sheet.fields() if one.name == name), row)
