"""The build record: every saved check of one aircraft, kept, found again, worked again, carried elsewhere.

What stands here is loaded when it is first asked for: what only lists a record needs no sheet and no unit.
"""

from __future__ import annotations

import sys
import warnings
from importlib import import_module
from types import ModuleType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rotorkit.record.attached import Attached
    from rotorkit.record.board import (
        NEVER_DONE,
        NOT_THE_WHOLE_LIST,
        STALE,
        USUAL,
        Board,
        BoardRow,
        MilestoneBoard,
        board,
    )
    from rotorkit.record.entry import InstrumentUsed, SavedEntry, Understood
    from rotorkit.record.errors import NOTHING_SAVED, AircraftChangedError, NewerEntryError, NoEntryError, RecordError
    from rotorkit.record.history import History, HistoryRow, history
    from rotorkit.record.recheck import Recheck, RecheckRow, recheck
    from rotorkit.record.rework import Cause, Rework, rework
    from rotorkit.record.spreadsheet import csv_text, export_csv
    from rotorkit.record.stands import standings
    from rotorkit.record.store import CHANGED, NEVER, SAVED, Record
    from rotorkit.record.transfer import Exported, Imported, export_lines, import_lines
    from rotorkit.record.verify import Verification, verify

__all__ = [
    "CHANGED",
    "NEVER",
    "NEVER_DONE",
    "NOTHING_SAVED",
    "NOT_THE_WHOLE_LIST",
    "SAVED",
    "STALE",
    "USUAL",
    "AircraftChangedError",
    "Attached",
    "Board",
    "BoardRow",
    "Cause",
    "Exported",
    "History",
    "HistoryRow",
    "Imported",
    "InstrumentUsed",
    "MilestoneBoard",
    "NewerEntryError",
    "NoEntryError",
    "Recheck",
    "RecheckRow",
    "Record",
    "RecordError",
    "Rework",
    "SavedEntry",
    "Understood",
    "Verification",
    "board",
    "csv_text",
    "export_csv",
    "export_lines",
    "history",
    "import_lines",
    "recheck",
    "rework",
    "standings",
    "verify",
]

_PARTS = (
    "errors", "entry", "attached", "store", "verify",
    "board", "history", "recheck", "rework", "spreadsheet", "stands", "transfer",
)  # fmt: skip


def __getattr__(name: str) -> Any:
    if name in __all__:
        for part in _PARTS:
            found = vars(import_module(f"rotorkit.record.{part}"))
            if name in found:
                return found[name]
    if name != "Entry":
        raise AttributeError(f"module 'rotorkit.record' has no attribute {name!r}")
    warnings.warn("rotorkit.record.Entry is named SavedEntry now", DeprecationWarning, stacklevel=2)
    return import_module("rotorkit.record.entry").SavedEntry


class _Record(ModuleType):
    """The package. A function that bears its file's name, such as `verify`, stays the function: an import of the file
    would put the file in its place."""

    def __setattr__(self, name: str, value: Any) -> None:
        if name in __all__ and isinstance(value, ModuleType):
            value = getattr(value, name)
        super().__setattr__(name, value)


sys.modules[__name__].__class__ = _Record
