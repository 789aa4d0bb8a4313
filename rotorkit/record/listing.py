"""What a record holds, as a list: of each entry what it is of, without its figures. The database itself looks into the
entries, so that a record of thousands is listed in a moment and none of it stays in memory."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from rotorkit.record import files
from rotorkit.record.entry import corrected, first_form
from rotorkit.record.store import Record

_QUERY = """
SELECT number, check_name, replaces,
  CASE WHEN typeof(work) = 'text' AND json_valid(work)
    THEN json_extract(work, '$.sheet.name', '$.title', '$.readings') END
FROM entry WHERE number > ? ORDER BY number
"""


@dataclass(frozen=True)
class Listed:
    """An entry in a list. of: sheet, title and readings as JSON; None where the entry is no text that can be read."""

    number: int
    check: str
    replaces: int | None
    of: str | None
    told: Callable[[int], str]

    @cached_property
    def _of(self) -> tuple[str, str, dict[str, Any]]:
        try:
            sheet, title, readings = json.loads(self.of or "[]")
        except ValueError:
            return "", "", {}
        return str(sheet or ""), str(title or ""), readings if isinstance(readings, dict) else {}

    @property
    def sheet(self) -> str:
        """The sheet's name; empty where it cannot be read."""
        return self._of[0]

    @property
    def title(self) -> str:
        """The check's title as it was saved."""
        return self._of[1]

    @property
    def readings(self) -> dict[str, Any]:
        """The readings as typed."""
        return self._of[2]

    @cached_property
    def fault(self) -> str:
        """What is wrong with the entry, in words: the entry itself is read for it."""
        return self.told(self.number)


def listed(record: Record, after: int = 0) -> list[Listed]:
    """Every entry of a record, in order, or those after one. Raises `RecordError` where the record cannot be read."""

    def told(number: int) -> str:
        return record.entry(number).fault

    with files.reading(record.path, record.wait) as connection:
        if connection is None:
            return []
        return [
            Listed(number, str(check), replaces, None if of is None else str(of), told)
            for number, check, replaces, of in connection.execute(_QUERY, (after,))
        ]


def last_of_each(rows: Iterable[Listed]) -> dict[str, tuple[Listed, Listed]]:
    """(the entry that stands, its first form) for each check, in the order of their first entries: as `Record.last`."""
    by_check: dict[str, dict[int, Listed]] = {}
    for row in rows:
        by_check.setdefault(row.check, {})[row.number] = row
    found = {}
    for check, every in by_check.items():
        gone = corrected(every.values())
        standing = [(row, first_form(row, every)) for row in every.values() if row.number not in gone]
        if standing:
            found[check] = max(standing, key=lambda pair: pair[1].number)
    return found
