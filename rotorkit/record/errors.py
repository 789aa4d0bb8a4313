"""What can go wrong with the record, in plain words: what happened, whether anything was saved, what to do."""

from __future__ import annotations

import errno
import os
import sqlite3
from pathlib import Path

from rotorkit.edges.visible import visible

NOTHING_SAVED = "Nothing was saved; what you typed is still in the form."
UNTOUCHED = "The file was left untouched."
RESTORE = (
    "Copy it to a safe place as it is, then put your last backup in its place, or import your last export into a new "
    "folder."
)


class RecordError(Exception):
    """The record could not be read or written. saved: False where nothing was, None where that could not be told."""

    def __init__(self, message: str, saved: bool | None = False) -> None:
        super().__init__(visible(message))
        self.saved = saved


class NoEntryError(RecordError):
    """There is no entry of that number."""


class NewerEntryError(RecordError):
    """Another entry of the check was saved since the one who saves last looked. number: of that entry."""

    def __init__(self, message: str, number: int) -> None:
        super().__init__(message)
        self.number = number


class AircraftChangedError(RecordError):
    """The aircraft file gives another outcome now than the one that was to be saved."""


def in_plain_words(problem: Exception, path: Path, wait: float, saving: bool) -> RecordError:
    """A fault of the database or the drive as a `RecordError`.

    Arguments: problem, as raised; path, of the record; wait, how long a lock was waited for, in seconds; saving,
    whether something was to be saved (then the message says that nothing was).
    """
    if isinstance(problem, RecordError):
        return problem
    end = f" {NOTHING_SAVED}" if saving else ""
    return RecordError(_what(problem, path, wait, saving) + end)


def _what(problem: Exception, path: Path, wait: float, saving: bool) -> str:
    if not path.parent.is_dir():
        return f"The folder {path.parent} no longer exists (moved, renamed, or on a drive that is no longer connected)."
    code = getattr(problem, "sqlite_errorcode", None)
    primary = code & 0xFF if isinstance(code, int) else None
    if primary in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
        return (
            f"{path.name} is in use by another program (a notebook that is saving, a backup or a synchronising "
            f"client) and did not come free within {wait:g} seconds. Try again."
        )
    if primary == sqlite3.SQLITE_FULL or getattr(problem, "errno", None) in (
        errno.ENOSPC,
        getattr(errno, "EDQUOT", errno.ENOSPC),
    ):
        return f"The drive that holds {path} is full. Make room, then save again."
    if primary == sqlite3.SQLITE_NOTADB:
        return f"{path.name} is not a build record, or its beginning is damaged. {UNTOUCHED} {RESTORE}"
    if primary in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_ERROR) or "decode" in str(problem).lower():
        return f"{path.name} is damaged ({problem}). {UNTOUCHED} {RESTORE}"
    if (
        primary == sqlite3.SQLITE_READONLY
        or (primary == sqlite3.SQLITE_CANTOPEN and saving)
        or isinstance(problem, PermissionError)
        or getattr(problem, "errno", None) == errno.EROFS
    ):
        return _not_allowed(path, saving)
    if primary == sqlite3.SQLITE_CANTOPEN:
        return f"{path} cannot be opened: check that you may read it."
    if code in (sqlite3.SQLITE_IOERR_LOCK, sqlite3.SQLITE_IOERR_UNLOCK, sqlite3.SQLITE_IOERR_RDLOCK):
        return (
            f"The drive that holds {path} cannot lock files, so saving there would not be safe. Move the folder to "
            "another drive."
        )
    if primary == sqlite3.SQLITE_IOERR or isinstance(problem, OSError):
        detail = getattr(problem, "strerror", None) or problem
        return (
            f"The drive that holds {path} failed to write or read the data ({detail}): it may be full, over its quota, "
            "or failing."
        )
    if primary == sqlite3.SQLITE_CONSTRAINT:
        return f"{path.name} refused this: {problem}."
    return f"{path.name}: {problem}."


def _not_allowed(path: Path, saving: bool) -> str:
    if not saving:
        return f"{path} cannot be opened: check that you may read it."
    if path.exists() and not os.access(path, os.W_OK):
        return f"{path} is read-only. Allow writing to it, or copy the folder to a place where you may write."
    if not os.access(path.parent, os.W_OK):
        return f"The folder {path.parent} is read-only. Allow writing to it, or copy it to a place where you may write."
    return f"{path} cannot be written: the file, its folder or its drive is read-only or held by another program."
