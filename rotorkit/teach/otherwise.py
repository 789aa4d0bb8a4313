"""What a sheet comes to with its readings taken otherwise: another choice, another riser, two rows swapped.

What a chain of formulas does not show, because the sheet looks it up: the sheet itself is worked again.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.quantities import QuantityError
from rotorkit.sheets.base import Field, Sheet, SheetError
from rotorkit.teach.slips import Other

__all__ = ["otherwise", "taken_otherwise"]

MOST = 40
"""So many workings are gone through at most."""


def otherwise(sheet: Sheet, aircraft: Aircraft, key: str) -> list[Other]:
    """The figure `key` of a sheet with each thing taken otherwise, for those that can be worked."""
    found: list[Other] = []
    for number, (words, family, where, readings) in enumerate(taken_otherwise(sheet, aircraft)):
        if number >= MOST:
            break
        try:
            value = float(type(sheet).from_readings(readings).work(aircraft).finding(key).measured.si)
        except (SheetError, QuantityError, KeyError, ValueError):
            continue
        found.append(Other(words, value, family, where))
    return found


def taken_otherwise(sheet: Sheet, aircraft: Aircraft) -> Iterator[tuple[str, str, str, dict[str, Any]]]:
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


def _rows_swapped(one: Field, given: Mapping[str, Any]) -> Iterator[tuple[str, str, str, dict[str, Any]]]:
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


def _fields_swapped(sheet: Sheet, given: Mapping[str, Any]) -> Iterator[tuple[str, str, str, dict[str, Any]]]:
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
