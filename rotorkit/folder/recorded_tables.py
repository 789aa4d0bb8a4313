"""Tables in the working folder that an engine monitor may have written: their first rows alone are read."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from pathlib import Path

from rotorkit.edges.visible import in_a_line

_ENDINGS = (".csv", ".txt", ".tsv", ".dat")
_LINES, _LETTERS, _MOST = 3, 4_000, 20
_PARTED = {",": ",", ";": ";", "\t": "tab"}


@dataclass(frozen=True)
class TableHead:
    """How a table begins. columns: its first row; separator, decimal: as the aircraft file says them."""

    columns: list[str]
    separator: str
    decimal: str


def tables_in(folder: Path) -> dict[str, TableHead]:
    """The tables of a folder by their file's name: those whose first row parts into two columns or more."""
    found = {}
    for file in sorted(folder.iterdir()) if folder.is_dir() else []:
        if file.suffix.lower() in _ENDINGS and file.is_file() and (head := _head(file)) is not None:
            found[file.name] = head
        if len(found) == _MOST:
            break
    return found


def _head(file: Path) -> TableHead | None:
    try:
        with file.open(encoding="utf-8-sig", errors="replace", newline="") as opened:
            lines = opened.read(_LETTERS).splitlines()[:_LINES]
    except OSError:
        return None
    if not lines:
        return None
    parted = max(_PARTED, key=lines[0].count)
    columns = [in_a_line(one.strip())[:40] for one in next(csv.reader([lines[0]], delimiter=parted), [])]
    if len(columns) < 2:
        return None
    comma = parted != "," and any(re.search(r"\d,\d", line) for line in lines[1:])
    return TableHead(columns, _PARTED[parted], "," if comma else ".")
