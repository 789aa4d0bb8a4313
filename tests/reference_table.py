"""Reading the tables of ``references/``: rows as dictionaries, the head's ``#`` lines passed over."""

import csv
from pathlib import Path

FOLDER = Path(__file__).resolve().parent.parent / "references"


def rows(name: str) -> list[dict[str, str]]:
    """The rows of one table, in order."""
    with (FOLDER / name).open(encoding="utf-8", newline="") as table:
        return list(csv.DictReader(line for line in table if not line.startswith("#")))


def row(name: str, column: str, starts: str) -> dict[str, str]:
    """The one row whose `column` starts with that text."""
    found = [r for r in rows(name) if r[column].startswith(starts)]
    assert len(found) == 1, f"{len(found)} rows of {name} have {column} starting with {starts!r}"
    return found[0]
