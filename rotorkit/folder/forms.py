"""Readings as typed, compared without regard to what makes no difference: blanks, empty fields, defaults left as they
are."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rotorkit.sheets.base import Row, Sheet, SheetError, fields_of
from rotorkit.sheets.catalogue import sheet_type

__all__ = ["as_typed", "same_readings"]


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
    default."""
    try:
        kind = sheet_type(sheet)
    except SheetError:
        return dict(one) == dict(other)
    return _filled(kind, one) == _filled(kind, other)


def _filled(kind: type[Sheet] | type[Row], readings: Mapping[str, Any]) -> dict[str, Any]:
    filled = dict(readings)
    for field in fields_of(kind):
        if field.row is not None:
            rows = filled.get(field.name, [])
            filled[field.name] = [_filled(field.row, row) if isinstance(row, Mapping) else row for row in rows]
        elif field.name not in filled and (default := _text(field.default)):
            filled[field.name] = default
    return filled
