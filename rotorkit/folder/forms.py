"""Readings as typed, compared without regard to what makes no difference: blanks, empty fields, defaults left as they
are."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rotorkit.aircraft.entries import Entry, Readings
from rotorkit.quantities import QuantityError
from rotorkit.sheets.base import Row, Sheet, SheetError, fields_of
from rotorkit.sheets.catalogue import sheet_type


def as_typed(readings: Mapping[str, Any]) -> dict[str, Any]:
    """Readings as trimmed text, without empty fields and without rows in which nothing stands."""
    kept: dict[str, Any] = {}
    for name, value in readings.items():
        if isinstance(value, (list, tuple)):
            rows = [as_typed(row) if isinstance(row, Mapping) else _text(row) for row in value]
            while rows and not rows[-1]:
                rows.pop()
            if rows:
                kept[name] = rows
        elif text := _text(value):
            kept[name] = text
    return kept


def _text(value: Any) -> str:
    return "" if value is None else str(getattr(value, "typed", value)).strip()


def same_readings(sheet: str, one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Whether two sets of readings, from `as_typed`, say the same to a sheet: a field left out counts as its
    default, and a unit written once for a value and its ± (35.9 ± 0.1 in) as written behind both."""
    try:
        kind = sheet_type(sheet)
    except SheetError:
        return dict(one) == dict(other)
    return _alike(kind, _filled(kind, one), _filled(kind, other))


def _alike(kind: type[Sheet] | type[Row], one: Any, other: Any) -> bool:
    """Whether filled readings are the same; only what is written otherwise is read."""
    if one == other:
        return True
    if not isinstance(one, Mapping) or not isinstance(other, Mapping) or one.keys() != other.keys():
        return False
    fields = {field.name: field for field in fields_of(kind)}
    for name, text in one.items():
        its, field = other[name], fields.get(name)
        if text == its:
            continue
        if field is None:
            return False
        if field.row is not None:
            row = field.row
            if len(text) != len(its) or not all(_alike(row, a, b) for a, b in zip(text, its, strict=True)):
                return False
        elif field.entry is None or _complete(field.entry, text) != _complete(field.entry, its):
            return False
    return True


def _complete(entry: Entry, text: Any) -> str:
    """A reading with the units that it was taken with written behind each number; as it is, where it cannot be read."""
    try:
        found = entry.read(text)
    except QuantityError:
        return str(text)
    return "; ".join(one.complete for one in (found if isinstance(found, Readings) else [found]))


def _filled(kind: type[Sheet] | type[Row], readings: Mapping[str, Any]) -> dict[str, Any]:
    filled = dict(readings)
    for field in fields_of(kind):
        if field.row is not None:
            rows = filled.get(field.name, [])
            filled[field.name] = [_filled(field.row, row) if isinstance(row, Mapping) else row for row in rows]
        elif field.name not in filled and (default := _text(field.default)):
            filled[field.name] = default
    return filled
