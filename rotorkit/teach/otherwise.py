"""What a sheet comes to with its readings taken otherwise: another choice, another riser, two rows swapped, a reading
misread.

What a chain of formulas does not show, because the sheet looks it up or adds it up outside its formulas: the sheet
itself is worked again.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Mapping
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.entries import Entry, Readings
from rotorkit.judging.measured import Measured
from rotorkit.quantities import QuantityError
from rotorkit.quantities.pint_inside import units_of
from rotorkit.sheets.base import Field, Outcome, Sheet, SheetError
from rotorkit.teach.chain import chain_of_steps
from rotorkit.teach.confusions import confusions_of
from rotorkit.teach.slips import Other, Others

__all__ = ["misread", "otherwise", "row_words", "taken_otherwise"]

MISREAD = ("unit", "temperature", "decimal point", "sign")
"""The families of what one reading is misread as."""
Taken = tuple[str, str, str, dict[str, Any]]
"""(words, family of slip, field, readings) of one thing taken otherwise."""


def otherwise(sheet: Sheet, aircraft: Aircraft, key: str) -> Others:
    """The figure `key` of a sheet with each thing taken otherwise, for those that can be worked.

    So many workings are gone through as the sheet allows (`Sheet.workings`). What is misread of a reading that the
    figure's own chain of formulas shows is left to the chain; a reading that the figure does not rest on is tried once.
    """
    given, found = sheet.readings(), list[Other]()
    changed: list[dict[str, Any]] = []
    well = _worked(sheet, aircraft, given)
    right = None if well is None else _figure(well, key)
    if well is None or right is None:
        return Others()
    idle, times = set[str](), 0
    for words, family, where, readings in _each(sheet, aircraft, _in_the_chain(well, right)):
        if where in idle:
            continue
        times += 1
        if times > type(sheet).workings:
            break
        outcome = _worked(sheet, aircraft, readings)
        figure = None if outcome is None else _figure(outcome, key)
        if outcome is None or figure is None:
            continue
        if abs(float(figure.si) - float(right.si)) <= 1e-9 * abs(float(right.si)):
            if family in MISREAD:
                idle.add(where)
            continue
        found.append(Other(words, float(figure.si), family, where, steps=outcome.steps, figure=figure))
        changed.append(readings)

    def both(one: int, other: int) -> float | None:
        readings = _together(given, changed[one], changed[other])
        outcome = None if readings is None else _worked(sheet, aircraft, readings)
        figure = None if outcome is None else _figure(outcome, key)
        return None if figure is None else float(figure.si)

    return Others(found, both, type(sheet).workings // 4)


def _worked(sheet: Sheet, aircraft: Aircraft, readings: Mapping[str, Any]) -> Outcome | None:
    try:
        return type(sheet).from_readings(readings).work(aircraft)
    except (SheetError, QuantityError, ValueError):
        return None


def _figure(outcome: Outcome, key: str) -> Measured | None:
    return next((one.measured for one in outcome.findings if one.key == key), None)


def _each(sheet: Sheet, aircraft: Aircraft, but: set[str]) -> Iterator[Taken]:
    """Everything that can be taken otherwise: choices and swaps, then what is misread, one by one in turn, so that of
    either there are some where not all can be worked."""
    ways = [taken_otherwise(sheet, aircraft), misread(sheet, but)]
    while ways:
        for way in list(ways):
            one = next(way, None)
            if one is None:
                ways.remove(way)
            else:
                yield one


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
            yield from _rows_swapped(one, given)
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


def _rows_swapped(one: Field, given: Mapping[str, Any]) -> Iterator[Taken]:
    """Two rows of a table with a reading in each other's places."""
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
                title = column.title[:1].lower() + column.title[1:]
                words = f"the {title} of rows {i + 1} and {j + 1} ({first} and {second}) were swapped"
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
        for i, row in enumerate(given.get(one.name) or []):
            for column in one.row.fields():
                if column.entry is not None and isinstance(text := row.get(column.name), str):
                    title = f'"{column.title}" of {row_words(one, row) or f"row {i + 1}"}'
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


def _lower(title: str) -> str:
    return title[:1].lower() + title[1:]
