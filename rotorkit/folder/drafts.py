"""What stands in a form and is not saved yet, kept as typed: ``drafts.sqlite`` beside the record.

A draft is no record. It has no chain, may be changed and thrown away, and proves nothing; it is there so that nothing
typed is lost. Each window has its own, so that two windows on one check never write over each other. What cannot be
written at once waits in the program for the next try, and is found there meanwhile.
"""

from __future__ import annotations

import contextlib
import functools
import json
import os
import secrets
import socket
import sqlite3
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from rotorkit.edges import clock
from rotorkit.edges.received import is_there, opened
from rotorkit.edges.visible import in_a_line

DRAFTS_FILE = "drafts.sqlite"
WAIT = 5.0
"""Seconds that a writing, or a reading, waits for another program's writing."""
WAIT_AGAIN = 0.5
"""The same, and of a reading, where the last could not be done: every key press would wait as long."""
BETWEEN = 0.003
"""Seconds between two looks whether another writing is done: even ones, so that of many programs none goes without."""
LARGEST = 2_000_000
"""Letters of one draft: far above any form."""
MOST = 2_000
"""So many drafts are looked at."""
LAYOUT = """CREATE TABLE IF NOT EXISTS draft (
  sheet TEXT NOT NULL, check_name TEXT NOT NULL, window TEXT NOT NULL,
  at TEXT NOT NULL, process TEXT NOT NULL, body TEXT NOT NULL,
  PRIMARY KEY (sheet, check_name, window))"""


class DraftError(ValueError):
    """Drafts that cannot be kept or read: why, in plain words. draft: the one that then waits to be written."""

    draft: Draft | None = None


@dataclass(frozen=True)
class Draft:
    """What stands in a window's form, not saved.

    sheet and check as in the record, check "" where the form is of none yet. typed: each field's text as typed, and for
    a table of rows a list of such texts by column. readings: the same with units, as a sheet takes them. system: the
    display system whose units bare numbers took. window: which form it is. at: when it was typed. process: the program
    that it was typed in.
    """

    sheet: str
    check: str
    typed: Mapping[str, Any]
    readings: Mapping[str, Any]
    system: str
    window: str = ""
    at: datetime = field(default_factory=clock.now)
    process: str = ""

    @property
    def when(self) -> str:
        """When it was typed, in words: the time of day, with the day where that is not today."""
        return f"{self.at:%H:%M}" if self.at.date() == clock.today() else f"{self.at:%Y-%m-%d %H:%M}"

    @property
    def elsewhere(self) -> bool:
        """Whether it stands in a window of another program that still runs on this machine."""
        return self.process not in ("", _process()) and _runs(self.process)


class _Waiting:
    """What this program could not write yet: drafts by sheet, check and window, and those to be thrown away, each by
    when it was typed; None stands for whatever the file has of that window."""

    def __init__(self) -> None:
        self.kept: dict[tuple[str, str, str], Draft] = {}
        self.gone: dict[tuple[str, str, str, str | None], None] = {}

    def __bool__(self) -> bool:
        return bool(self.kept or self.gone)

    def keep(self, draft: Draft) -> None:
        self.kept.pop(_key(draft), None)
        self.kept[_key(draft)] = draft

    def drop(self, drafts: tuple[Draft, ...]) -> None:
        for one in drafts:
            if (there := self.kept.get(_key(one))) is not None and there.at == one.at:
                del self.kept[_key(one)]
                self.gone[(*_key(one), None)] = None  # the file may have an earlier one, which it was to replace
            self.gone[(*_key(one), one.at.isoformat())] = None

    def over(self, found: list[Draft]) -> list[Draft]:
        """The drafts that there are once it is written."""
        gone, replaced = self.gone.keys(), self.kept.keys()
        stay = [one for one in found if not {(*_key(one), one.at.isoformat()), (*_key(one), None)} & gone]
        return [*reversed(self.kept.values()), *(one for one in stay if _key(one) not in replaced)]


_WAITING: dict[Path, _Waiting] = {}
_HELD_UP: set[Path] = set()
"""Files into which nothing could be written, or of which nothing could be read, since the last writing."""


def _key(draft: Draft) -> tuple[str, str, str]:
    return draft.sheet, draft.check, draft.window


class Drafts:
    """The drafts of a working folder. folder: None where nothing may be written (the demo): then they are kept as long
    as this object."""

    def __init__(self, folder: Path | None) -> None:
        self.path = None if folder is None else folder / DRAFTS_FILE
        self._here: dict[tuple[str, str, str], Draft] = {}

    @property
    def _waiting(self) -> _Waiting:
        """What waits to be written, whichever form of this program it is of."""
        assert self.path is not None
        return _WAITING.setdefault(self.path.absolute(), _Waiting())

    @property
    def waiting(self) -> bool:
        """Whether something could not be written yet."""
        return self.path is not None and bool(self._waiting)

    def keep(self, draft: Draft, instead: tuple[Draft, ...] = ()) -> Draft:
        """Keep a draft in place of the same window's earlier one, and of those that it took over, in one step: after a
        power cut the one or the others are there. Returns it with its time. Raises `DraftError`, which has it: then it
        waits in this program to be written."""
        draft = replace(draft, at=clock.now(), process=_process())
        if self.path is None:
            self.drop(*instead)
            self._here.pop(_key(draft), None)
            self._here[_key(draft)] = draft
            return draft
        try:
            "".join(_row_of(draft)).encode()
        except UnicodeError as problem:  # it could never be written, and would keep back the others
            raise _cannot(self.path, problem) from None
        self._waiting.drop(instead)
        self._waiting.keep(draft)
        try:
            self.write()
        except DraftError as problem:
            problem.draft = draft
            raise
        return draft

    def drop(self, *drafts: Draft) -> None:
        """Throw drafts away: what they hold is saved, or was taken back. Raises `DraftError`: then they are thrown away
        with the next writing."""
        for one in drafts:
            self._here.pop(_key(one), None)
        if drafts and self.path is not None and (self.waiting or is_there(self.path)):
            self._waiting.drop(drafts)
            self.write()

    def write(self) -> None:
        """Write what waits to be written. Raises `DraftError`: then it goes on waiting."""
        if self.path is None or not self.waiting:
            return
        waiting = self._waiting
        with self._writing(self.path) as connection:
            connection.executemany(
                "DELETE FROM draft WHERE sheet = ? AND check_name = ? AND window = ? AND at = coalesce(?, at)",
                waiting.gone,
            )
            connection.executemany(
                "INSERT OR REPLACE INTO draft VALUES (?, ?, ?, ?, ?, ?)", map(_row_of, waiting.kept.values())
            )
        del _WAITING[self.path.absolute()]

    def of(self, sheet: str, check: str) -> list[Draft]:
        """The drafts of a check, newest first. Raises `DraftError`."""
        return [one for one in self.all() if (one.sheet, one.check) == (sheet, check)]

    def all(self) -> list[Draft]:
        """Every draft, newest first; one that does not hold what a draft holds is passed over. Nothing is made where
        there is none. Raises `DraftError`."""
        if self.path is None:
            return list(reversed(self._here.values()))
        rows = _rows(self.path) if is_there(self.path) else []
        found = [draft for row in rows if (draft := _draft_of(row)) is not None]
        return self._waiting.over(found) if self.waiting else found

    @contextlib.contextmanager
    def _writing(self, path: Path) -> Iterator[sqlite3.Connection]:
        """The file, open for one step that is done whole or not at all, and is on the drive when it is done."""
        try:
            with contextlib.closing(_connected(path)) as connection:
                _begun(connection, _wait(path))
                connection.execute(LAYOUT)
                yield connection
                connection.execute("COMMIT")
                _HELD_UP.discard(path)
        except (sqlite3.Error, OSError, UnicodeError) as problem:
            _HELD_UP.add(path)
            raise _cannot(path, problem) from None


def _wait(path: Path) -> float:
    return WAIT_AGAIN if path in _HELD_UP else WAIT


def _cannot(path: Path, problem: Exception) -> DraftError:
    return DraftError(f"{path.name} cannot be written ({in_a_line(str(problem))})")


def _begun(connection: sqlite3.Connection, wait: float) -> None:
    """Begin a writing, as soon as no other program is at one. SQLite's own waiting looks ever more seldom, so that one
    of six programs that write without a pause got no turn in five seconds."""
    connection.execute("PRAGMA busy_timeout = 0")
    for tries_left in reversed(range(round(wait / BETWEEN) + 1)):
        try:
            connection.execute("PRAGMA journal_mode = DELETE")
            connection.execute("PRAGMA synchronous = FULL")
            connection.execute("BEGIN IMMEDIATE")
            break
        except sqlite3.OperationalError as problem:
            if problem.sqlite_errorcode & 0xFF not in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED):
                raise
            if not tries_left:
                raise
            time.sleep(BETWEEN)
    connection.execute(f"PRAGMA busy_timeout = {round(1000 * WAIT)}")  # for those that read at this moment


def _rows(path: Path) -> list[tuple[Any, ...]]:
    """Every row, read without a trace; where a writer was cut off, what it left half-done is first put right."""
    for read_only in (True, False):
        try:
            with contextlib.closing(_connected(path, read_only)) as connection:
                found = connection.execute(
                    "SELECT sheet, check_name, window, at, process, body FROM draft WHERE length(body) <= ? "
                    "ORDER BY rowid DESC LIMIT ?",
                    (LARGEST, MOST),
                )
                return found.fetchall()
        except (sqlite3.Error, OSError, UnicodeError) as problem:
            if "no such table" in str(problem):  # the first program that writes into it is at it
                return []
            if not read_only or getattr(problem, "sqlite_errorcode", 0) & 0xFF == sqlite3.SQLITE_BUSY:
                _HELD_UP.add(path)
                raise DraftError(f"{path.name} cannot be read ({in_a_line(str(problem))})") from None
    return []


def _connected(path: Path, read_only: bool = False) -> sqlite3.Connection:
    if is_there(path):
        opened(path).close()  # an ordinary file, and no pipe to wait for
    mode = "ro" if read_only else "rwc"
    return sqlite3.connect(
        f"{path.resolve().as_uri()}?mode={mode}", uri=True, timeout=_wait(path), isolation_level=None
    )


def new_window() -> str:
    """A name for a form that nobody else has."""
    return secrets.token_hex(8)


def _row_of(draft: Draft) -> tuple[str, ...]:
    body = json.dumps(
        {"typed": draft.typed, "readings": draft.readings, "system": draft.system}, ensure_ascii=False, default=str
    )
    return (*_key(draft), draft.at.isoformat(), draft.process, body)


def _draft_of(row: tuple[Any, ...]) -> Draft | None:
    """A draft from its row; None where the row does not hold one."""
    try:
        sheet, check, window, at, process, body = (str(one) for one in row)
        when, held = datetime.fromisoformat(at), json.loads(body)
        typed, readings, system = held["typed"], held["readings"], held["system"]
    except (ValueError, KeyError, TypeError, RecursionError):
        return None
    if when.tzinfo is None or system not in ("us", "metric") or not (_texts(typed) and _texts(readings)):
        return None
    return Draft(sheet, check, typed, readings, system, window, when, process)


def _texts(held: object) -> bool:
    """Whether this is texts by name, and lists of rows of texts by name."""

    def row(one: object) -> bool:
        return isinstance(one, dict) and all(isinstance(value, str) for value in one.values())

    return isinstance(held, dict) and all(
        isinstance(value, str) or (isinstance(value, list) and all(map(row, value))) for value in held.values()
    )


@functools.cache
def _process() -> str:
    """This program, told from every other that runs or ran: the machine, its number there, and when it began."""
    return _named(os.getpid())


def _named(number: int) -> str:
    import psutil

    return f"{socket.gethostname()} {number} {psutil.Process(number).create_time():.2f}"


def _runs(process: str) -> bool:
    """Whether a program still runs on this machine; of another machine's nobody can tell."""
    import psutil

    host, _, rest = process.rpartition(" ")[0].rpartition(" ")
    try:
        return host == socket.gethostname() and _named(int(rest)) == process
    except (psutil.Error, ValueError, OSError):
        return False
