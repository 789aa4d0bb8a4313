"""Every sheet that there is, by name, by subject and in the builder's order. A new sheet is a new file, no more."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache, lru_cache

from rotorkit.quantities.errors import shortened
from rotorkit.sheets.base import SUBJECTS, Sheet, SheetError, kind_named


@cache
def _load() -> None:
    """Import every file of the subjects' rooms, so that each sheet stands in the table."""
    for subject in SUBJECTS:
        try:
            room = importlib.import_module(f"rotorkit.sheets.{subject}")
        except ModuleNotFoundError:  # a subject without a sheet yet
            continue
        for module in pkgutil.walk_packages(room.__path__, f"rotorkit.sheets.{subject}."):
            importlib.import_module(module.name)


def sheet_type(name: str) -> type[Sheet]:
    """A sheet's class by its name. Raises `SheetError` for an unknown one."""
    found = kind_named(name)
    if found is None and name in sheet_names():  # its file is called otherwise
        found = Sheet.kinds[name]
    if found is None:
        raise SheetError([("sheet", f"no sheet is called {shortened(name)}: there are {', '.join(sheet_names())}")])
    return found


def sheet_names() -> list[str]:
    """The names of all sheets, in the order of their letters."""
    _load()
    return sorted(Sheet.kinds)


def subject_of(sheet: type[Sheet]) -> str:
    """The room that a sheet stands in: "rigging", "performance"."""
    parts = sheet.__module__.split(".")
    return parts[2] if parts[:2] == ["rotorkit", "sheets"] and len(parts) > 3 else ""


def sheets_in_order() -> list[type[Sheet]]:
    """All sheets in the builder's order: by subject, within it by `Sheet.order`, then by name."""
    _load()
    return list(_in_order(tuple(Sheet.kinds.values())))


@lru_cache(maxsize=1)
def _in_order(sheets: tuple[type[Sheet], ...]) -> tuple[type[Sheet], ...]:
    rank = {subject: i for i, subject in enumerate(SUBJECTS)}
    return tuple(sorted(sheets, key=lambda sheet: (rank.get(subject_of(sheet), len(rank)), sheet.order, sheet.name)))
