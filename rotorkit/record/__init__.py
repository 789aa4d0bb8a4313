"""The build record: every saved check of one aircraft, kept, found again, worked again, carried elsewhere."""

from __future__ import annotations

import warnings
from typing import Any

from rotorkit.record.attached import Attached
from rotorkit.record.board import NEVER_DONE, NOT_THE_WHOLE_LIST, STALE, USUAL, Board, BoardRow, MilestoneBoard, board
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


def __getattr__(name: str) -> Any:
    if name != "Entry":
        raise AttributeError(f"module 'rotorkit.record' has no attribute {name!r}")
    warnings.warn("rotorkit.record.Entry is named SavedEntry now", DeprecationWarning, stacklevel=2)
    return SavedEntry
