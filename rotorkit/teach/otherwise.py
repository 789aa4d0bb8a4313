"""What a sheet comes to with its readings taken otherwise: another choice, another riser, two rows swapped, a reading
misread.

What a chain of formulas does not show, because the sheet looks it up or adds it up outside its formulas: the sheet
itself is worked again.
"""

from __future__ import annotations

import functools
import itertools
import re
from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Entry, Readings
from rotorkit.judging.measured import Measured
from rotorkit.quantities import QuantityError
from rotorkit.quantities.pint_inside import units_of
from rotorkit.sheets.base import QUICK_ALONE, Field, Outcome, Sheet, SheetError
from rotorkit.teach.chain import chain_of_steps
from rotorkit.teach.confusions import confusions_of
from rotorkit.teach.in_units import reading_carried
from rotorkit.teach.slips import Other, Others
from rotorkit.teach.tables import with_a_wrong_row

NOT_TOLD = "not told"
"""In place of a family: worked only to see how a figure follows a reading."""
REFUSED = 0.25
"""What a working that is refused counts, beside one that is gone through."""
SLOWER = 4
"""So many times fewer workings are gone through where the slow part of a sheet is needed for a figure."""
LEAST_BOTH = 8
"""So many workings at least are gone through for two things at once, and for what was reckoned."""
Taken = tuple[str, str, str, dict[str, Any]]
"""(words, family of slip, field, readings) of one thing taken otherwise."""


def otherwise(sheet: Sheet, aircraft: Aircraft, key: str) -> Others:
    """The figure `key` of a sheet with each thing taken otherwise, for those that can be worked.

    So many workings are gone through as the sheet allows (`Sheet.workings`). What is misread of a reading that the
    figure's own chain of formulas shows is left to the chain; a reading that the figure does not rest on is tried once.
    What there is no time for is reckoned, from how the figure followed each reading when that was misread, and worked
    where it may come near to a hand figure.
    """
    given = sheet.readings()
    well = _worked(sheet, aircraft, given)
    right = None if well is None else _figure(well, key)
    if right is None and type(sheet).has_slow_part:  # a figure of the part that is left out elsewhere
        return _otherwise(sheet, aircraft, key, whole=True)
    return _otherwise(sheet, aircraft, key, whole=False)


def _otherwise(sheet: Sheet, aircraft: Aircraft, key: str, whole: bool) -> Others:
    """The same. whole: whether each working is gone through with its slow part too."""
    given = sheet.readings()
    well = _worked(sheet, aircraft, given, whole)
    right = None if well is None else _figure(well, key)
    if well is None or right is None:
        return Others()
    most = type(sheet).workings // (SLOWER if whole else 1)
    known = _Followed(sheet, given, float(right.si))
    found, left, times = list[Other](), list[Taken](), 0.0
    for one in _each(sheet, aircraft, _in_the_chain(well, right), known):
        if known.idle(one):
            continue
        if times >= most:
            left.append(one)
            continue
        words, family, where, readings = one
        outcome = _worked(sheet, aircraft, readings, whole)
        times += outcome is not None or REFUSED  # what cannot be is refused before it is worked
        figure = None if outcome is None else _figure(outcome, key)
        if outcome is None or figure is None:
            continue
        known.saw(one, float(figure.si))
        if not _same(figure, right) and family != NOT_TOLD:
            found.append(Other(words, float(figure.si), family, where, "", outcome.steps, figure, readings))
    rows = with_a_wrong_row(sheet, aircraft)
    for words, where, changed in itertools.islice(rows, max(most // 4, LEAST_BOTH)):
        outcome = _worked(sheet, changed, given, whole)
        figure = None if outcome is None else _figure(outcome, key)
        if outcome is not None and figure is not None and not _same(figure, right):
            found.append(Other(words, float(figure.si), "table", where, "", outcome.steps, figure, given, changed))
    reckoned = []
    for words, family, where, readings in left:
        value = known.reckoned(readings)
        if value is not None and family != NOT_TOLD and abs(value - float(right.si)) > 1e-9 * abs(float(right.si)):
            reckoned.append(Other(words, value, family, where, readings=readings))

    @functools.cache
    def worked(number: int) -> Other | None:
        one = reckoned[number]
        outcome = _worked(sheet, aircraft, one.readings, whole)
        figure = None if outcome is None else _figure(outcome, key)
        if outcome is None or figure is None or _same(figure, right):
            return None
        return replace(one, value=float(figure.si), steps=outcome.steps, figure=figure)

    def work(one: Other) -> Other | None:
        return worked(next(i for i, other in enumerate(reckoned) if other is one))

    def both(one: Other, other: Other) -> float | None:
        tables = [of.aircraft for of in (one, other) if of.aircraft is not None]
        readings = _together(given, one.readings, other.readings)
        if readings is None or len(tables) > 1:
            return None
        outcome = _worked(sheet, tables[0] if tables else aircraft, readings, whole)
        figure = None if outcome is None else _figure(outcome, key)
        return None if figure is None else float(figure.si)

    at_once = max(most // 4, LEAST_BOTH)
    return Others(found, both, at_once, reckoned, work, at_once)


def _same(figure: Measured, right: Measured) -> bool:
    return abs(float(figure.si) - float(right.si)) <= 1e-9 * abs(float(right.si))


class _Followed:
    """How a figure followed its readings, one by one, when they were misread."""

    def __init__(self, sheet: Sheet, given: Mapping[str, Any], right: float) -> None:
        self.given, self.right = given, right
        self.entries = {path: entry for (_, entry), path, _ in _readings(sheet, given)}
        self.slopes: dict[str, float] = {}

    def moved(self, readings: Mapping[str, Any]) -> dict[str, float] | None:
        """By how much, in SI units, each reading was moved; None where anything else was, or one cannot be read."""
        found = {}
        for path, was, now in _differences(self.given, readings):
            entry = self.entries.get(path)
            if entry is None:
                return None
            try:
                found[path] = _mean(entry.read(now)) - _mean(entry.read(was))
            except QuantityError:
                return None
        return found

    def saw(self, one: Taken, value: float) -> None:
        """Keep how the figure follows a reading, where that alone was moved."""
        moved = self.moved(one[3])
        if moved and len(moved) == 1:
            ((path, by),) = moved.items()
            if by and path not in self.slopes:
                off = value - self.right
                self.slopes[path] = 0.0 if abs(off) <= 1e-9 * abs(self.right) else off / by

    def idle(self, one: Taken) -> bool:
        """Whether it moves nothing but readings that the figure did not follow."""
        paths = [path for path, _, _ in _differences(self.given, one[3])]
        return bool(paths) and all(self.slopes.get(path) == 0.0 for path in paths)

    def follows(self, one: Taken) -> bool:
        """Whether it moves a reading that the figure is known to follow."""
        return any(self.slopes.get(path) for path, _, _ in _differences(self.given, one[3]))

    def reckoned(self, readings: Mapping[str, Any]) -> float | None:
        """What it should come to; None where it is not known how the figure follows one of them."""
        moved = self.moved(readings)
        if not moved or any(path not in self.slopes for path in moved):
            return None
        return self.right + sum(self.slopes[path] * by for path, by in moved.items())


def _mean(given: Any) -> float:
    readings = given if isinstance(given, Readings) else [given]
    return sum(one.si for one in readings) / len(readings)


def _differences(given: Mapping[str, Any], readings: Mapping[str, Any]) -> Iterator[tuple[str, Any, Any]]:
    """(path, what stood there, what stands there now) of each text that is another."""
    for name, was in given.items():
        now = readings.get(name)
        if now == was:
            continue
        if not (isinstance(was, list) and isinstance(now, list) and len(was) == len(now)):
            yield name, was, now
            continue
        for i, (row, other) in enumerate(zip(was, now, strict=True)):
            for column in {*row, *other}:
                if row.get(column) != other.get(column):
                    yield f"{name}.{i}.{column}", row.get(column), other.get(column)


def _worked(sheet: Sheet, aircraft: Aircraft, readings: Mapping[str, Any], whole: bool = False) -> Outcome | None:
    """The sheet with these readings, without what takes long unless the whole is asked for; None where it cannot be."""
    quick = QUICK_ALONE.set(not whole)
    try:
        return type(sheet).from_readings(readings).work(aircraft)
    except (SheetError, QuantityError, ValueError):
        return None
    finally:
        QUICK_ALONE.reset(quick)


def _figure(outcome: Outcome, key: str) -> Measured | None:
    return next((one.measured for one in outcome.findings if one.key == key), None)


def _each(sheet: Sheet, aircraft: Aircraft, but: set[str], known: _Followed) -> Iterator[Taken]:
    """Everything that can be taken otherwise: every reading misread once, so that it is known which the figure follows
    and how; other choices; then swaps and what else is misread in turn, so that of either there are some where not
    all can be worked, those first that move what the figure is known to follow. A reading of the chain is misread here
    only to see that, where it may be swapped."""
    taken = list(taken_otherwise(sheet, aircraft))
    choices, swaps = ([one for one in taken if (one[1] == "table") is what] for what in (True, False))
    swapped = {path for one in swaps for path, _, _ in _differences(known.given, one[3])}
    first, rest = set[str](), list[Taken]()
    texts = {path: text for _, path, text in _readings(sheet, known.given)}
    for words, family, where, readings in misread(sheet):
        if texts[where] in but:
            if where in swapped and where not in first:
                first.add(where)
                yield words, NOT_TOLD, where, readings
        elif where in first:
            rest.append((words, family, where, readings))
        else:
            first.add(where)
            yield words, family, where, readings
    later = list[Taken]()
    for one in rest:
        if one[2] in known.slopes:
            later.append(one)
        else:  # the first way was refused
            yield one
    yield from choices
    in_turn = [one for pair in itertools.zip_longest(swaps, later) for one in pair if one is not None]
    yield from sorted(in_turn, key=lambda one: not known.follows(one))


def _in_the_chain(outcome: Outcome, figure: Measured) -> set[str]:
    """The readings, as typed, that the chain of a figure's formulas begins with."""
    chain = chain_of_steps(outcome.steps, figure)
    if chain is None:
        return set()
    return {node.reading.typed for node in chain.nodes if node.what == "leaf" and node.reading is not None}


def _together(given: Mapping[str, Any], one: Mapping[str, Any], other: Mapping[str, Any]) -> dict[str, Any] | None:
    """Readings with what two have changed; None where both have changed the same one."""
    made = dict(given)
    for name in {*one, *other}:
        was, first, second = given.get(name), one.get(name), other.get(name)
        if first == was or second == was:
            made[name] = second if first == was else first
        elif isinstance(was, list) and isinstance(first, list) and isinstance(second, list):
            rows = []
            for row, a, b in zip(was, first, second, strict=True):
                columns = {
                    column
                    for column in {*a, *b}
                    if a.get(column) != row.get(column) or b.get(column) != row.get(column)
                }
                if any(a.get(c) != row.get(c) and b.get(c) != row.get(c) for c in columns):
                    return None
                rows.append({**row, **{c: a.get(c) if a.get(c) != row.get(c) else b.get(c) for c in columns}})
            made[name] = rows
        else:
            return None
    return made


def taken_otherwise(sheet: Sheet, aircraft: Aircraft) -> Iterator[Taken]:
    """(words, family of slip, field, readings) of each thing that can be taken otherwise, the commonest first."""
    given = sheet.readings()
    for one in sheet.fields():
        for other in _options(one, sheet, aircraft):
            title = one.title[:1].lower() + one.title[1:]
            words = f"{title} {other} was taken in place of {given.get(one.name) or 'the right one'}"
            yield words, "table", one.name, {**given, one.name: other}
    for one in sheet.fields():
        if one.row is not None:
            yield from _rows_swapped(one, given, aircraft.aircraft.display)
    yield from _fields_swapped(sheet, given)


def _options(one: Field, sheet: Sheet, aircraft: Aircraft) -> list[str]:
    """What else a choice could be, or a mark on a gauge's riser."""
    now = str(getattr(sheet, one.name, ""))
    if one.choice is not None:
        options = (
            list(aircraft.choices(one.choice.of, one.choice.measures)) if one.choice.of else list(one.choice.options)
        )
    elif one.name == "riser" and (gauge := aircraft.instruments.get(str(getattr(sheet, "gauge", "")))) is not None:
        options = list(dict.fromkeys(table.riser for table in gauge.tables))
    else:
        options = []
    return [option for option in options if option and option != now]


def _rows_swapped(one: Field, given: Mapping[str, Any], system: str) -> Iterator[Taken]:
    """Two rows of a table with a reading in each other's places, said in the units of a display system."""
    assert one.row is not None
    rows = [dict(row) for row in given.get(one.name) or []]
    columns = [column for column in one.row.fields() if column.entry is not None]
    for i in range(len(rows)):
        for j in range(i + 1, len(rows)):
            for column in columns:
                first, second = rows[i].get(column.name), rows[j].get(column.name)
                if not first or not second or first == second:
                    continue
                changed = [dict(row) for row in rows]
                changed[i][column.name], changed[j][column.name] = second, first
                assert column.entry is not None
                said = " and ".join(reading_carried(text, column.entry, system) for text in (first, second))
                words = f"the {in_a_sentence(column.title)} of rows {i + 1} and {j + 1} ({said}) were swapped"
                yield words, "swapped", f"{one.name}.{i} {j}", {**given, one.name: changed}


def _fields_swapped(sheet: Sheet, given: Mapping[str, Any]) -> Iterator[Taken]:
    """Two fields of one kind in each other's places."""
    fields = [one for one in sheet.fields() if one.entry is not None and given.get(one.name)]
    for i, one in enumerate(fields):
        for other in fields[i + 1 :]:
            assert one.entry is not None
            assert other.entry is not None
            if one.entry.wanted.alike(other.entry.wanted) and given[one.name] != given[other.name]:
                words = f'"{one.title}" and "{other.title}" were swapped'
                changed = {**given, one.name: given[other.name], other.name: given[one.name]}
                yield words, "swapped", f"{one.name} {other.name}", changed


def misread(sheet: Sheet, but: set[str] | None = None) -> Iterator[Taken]:
    """A reading with its decimal point one place off, in another unit, or with its sign turned: the commonest way of
    every reading first, then the next. but: readings, as typed, that are left out."""
    given = sheet.readings()
    ways = [
        (title, path, list(_ways(entry, text)))
        for (title, entry), path, text in _readings(sheet, given)
        if text not in (but or ())
    ]
    for number in range(max((len(found) for _, _, found in ways), default=0)):
        for title, path, found in ways:
            if number < len(found):
                family, said, text = found[number]
                yield said.format(title), family, path, _with(given, path, text)


def _with(given: Mapping[str, Any], path: str, text: str) -> dict[str, Any]:
    name, _, rest = path.partition(".")
    if not rest:
        return {**given, name: text}
    number, _, column = rest.partition(".")
    rows = [dict(row) for row in given[name]]
    rows[int(number)][column] = text
    return {**given, name: rows}


def _readings(sheet: Sheet, given: Mapping[str, Any]) -> Iterator[tuple[tuple[str, Entry], str, str]]:
    """((title, entry), path, text) of each reading."""
    for one in sheet.fields():
        if one.row is None:
            if one.entry is not None and isinstance(text := given.get(one.name), str):
                yield (f'"{one.title}"', one.entry), one.name, text
            continue
        rows = given.get(one.name) or []
        named = [row_words(one, row) for row in rows]
        for i, row in enumerate(rows):
            called = named[i] if named[i] and named.count(named[i]) == 1 else f"row {i + 1}"
            for column in one.row.fields():
                if column.entry is not None and isinstance(text := row.get(column.name), str):
                    title = f'"{column.title}" of {called}'
                    yield (title, column.entry), f"{one.name}.{i}.{column.name}", text


def _ways(entry: Entry, text: str) -> Iterator[tuple[str, str, str]]:
    """(family, words with a place for the reading, text) of each way to misread it."""
    head, sign, tail = text.partition("±")
    plain = _PLAIN.match(_THOUSANDS.sub("", head))
    if plain is None or not any(float(one) for one in plain[1].split(";")):
        return
    kind = entry.wanted

    def times(factor: float) -> str:
        return "; ".join(f"{float(one) * factor:.9g}" for one in plain[1].split(";")) + plain[2] + sign + tail

    if kind.flavour == "temperature":
        other = {"°F": "°C", "degF": "degC", "°C": "°F", "degC": "degF"}
        for one, instead in other.items():
            if one in text:
                yield "temperature", f"{{}} was taken as {instead} where it stands in {one}", text.replace(one, instead)
                break
    else:
        try:
            reading = entry.read(text)
            first = reading[0] if isinstance(reading, Readings) else reading
            found = confusions_of(units_of(first.value), kind)
        except QuantityError:
            found = []
        for confused in found:
            if confused.usual:
                words = f"{{}} was taken as {confused.taken} where it stands in {confused.written}"
                yield "unit", words, times(confused.ratio)
    for factor in (10.0, 0.1):
        yield "decimal point", "the decimal point of {} slipped by one place", times(factor)
    if kind.minimum is None:
        yield "sign", "the sign of {} was turned", times(-1.0)


_THOUSANDS = re.compile(r"(?<=\d),(?=\d{3}(?!\d))")
_PLAIN = re.compile(
    r"^\s*(-?\d+(?:\.\d+)?(?:; *-?\d+(?:\.\d+)?)*)"
    r"(\s*(?:[^\d\s;,'\"\[+](?:(?!\s\d|\d[A-Za-z])[^;,'\"\[+])*)?)$"
)
"""A reading, or repeats of it, with one unit behind it: no feet and inches, no sum."""


def row_words(of: Field, row: Mapping[str, Any]) -> str:
    """A row by what it is of: the choices and names that stand before its readings; empty where it has none."""
    assert of.row is not None
    first = itertools.takewhile(lambda column: column.entry is None, of.row.fields())
    return ", ".join([str(row[column.name]) for column in first if row.get(column.name)][:2])


def in_a_sentence(title: str) -> str:
    """A field's title behind "the": its arm is the arm."""
    return title[:1].lower() + title[1:] if not title.startswith("Its ") else title[4:]
