"""The layout of ``record.sqlite``, the guards that make it append-only, and the way from an older layout to today's.

Layout 1. A later layout is one more function in `MIGRATIONS`; it may add to the tables, never change the columns that
are sealed, or every hash would break.
"""

from __future__ import annotations

import secrets
import sqlite3
from collections.abc import Callable
from pathlib import Path

from rotorkit import __version__
from rotorkit.record.errors import UNTOUCHED, RecordError

APPLICATION = 0x524B4252
"""Marks the file as a build record: SQLite's application id, "RKBR"."""

TABLES = """
CREATE TABLE chain (
  only INTEGER PRIMARY KEY CHECK (only = 1),
  record TEXT NOT NULL,      -- the record's own name, 64 random hexadecimal digits
  entries INTEGER NOT NULL,  -- how many there are
  head TEXT NOT NULL         -- hash of the last; the record's name where there is none
);
CREATE TABLE aircraft_file (
  hash TEXT PRIMARY KEY NOT NULL,  -- SHA-256 of text
  text BLOB NOT NULL               -- the file's bytes
);
CREATE TABLE entry (
  number INTEGER PRIMARY KEY,
  check_name TEXT NOT NULL,
  saved TEXT NOT NULL,        -- UTC
  local TEXT NOT NULL,        -- local time with its offset
  aircraft_file TEXT NOT NULL REFERENCES aircraft_file (hash),
  replaces INTEGER REFERENCES entry (number),
  previous TEXT NOT NULL,     -- hash of the entry before
  hash TEXT NOT NULL,         -- SHA-256 of the sealed entry
  work TEXT NOT NULL          -- canonical JSON, see rotorkit.record.chain
);
"""
GUARDS = """
CREATE TRIGGER entry_is_next BEFORE INSERT ON entry
WHEN NEW.number IS NOT (SELECT entries + 1 FROM chain) OR NEW.previous IS NOT (SELECT head FROM chain)
BEGIN SELECT RAISE(ABORT, 'an entry can only be added at the end'); END;
CREATE TRIGGER entry_moves_head AFTER INSERT ON entry
BEGIN UPDATE chain SET entries = NEW.number, head = NEW.hash; END;
CREATE TRIGGER entry_stays BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never changed: save a correction that replaces it'); END;
CREATE TRIGGER entry_is_kept BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never removed: save a correction that replaces it'); END;
CREATE TRIGGER chain_is_one BEFORE INSERT ON chain WHEN EXISTS (SELECT 1 FROM chain)
BEGIN SELECT RAISE(ABORT, 'a record has one chain'); END;
CREATE TRIGGER chain_grows BEFORE UPDATE ON chain
WHEN NEW.record IS NOT OLD.record OR NEW.only IS NOT OLD.only OR NEW.entries IS NOT OLD.entries + 1
  OR NOT EXISTS (SELECT 1 FROM entry WHERE number = NEW.entries AND hash = NEW.head)
BEGIN SELECT RAISE(ABORT, 'the chain only moves with a new entry'); END;
CREATE TRIGGER chain_is_kept BEFORE DELETE ON chain
BEGIN SELECT RAISE(ABORT, 'the chain is never removed'); END;
CREATE TRIGGER aircraft_file_is_new BEFORE INSERT ON aircraft_file
WHEN EXISTS (SELECT 1 FROM aircraft_file WHERE hash = NEW.hash)
BEGIN SELECT RAISE(ABORT, 'an aircraft file is kept once'); END;
CREATE TRIGGER aircraft_file_stays BEFORE UPDATE ON aircraft_file
BEGIN SELECT RAISE(ABORT, 'a kept aircraft file is never changed'); END;
CREATE TRIGGER aircraft_file_is_kept BEFORE DELETE ON aircraft_file
BEGIN SELECT RAISE(ABORT, 'a kept aircraft file is never removed'); END;
"""

MIGRATIONS: tuple[Callable[[sqlite3.Connection], None], ...] = ()
"""The step from layout 1 to 2, from 2 to 3, and so on."""


def layout() -> int:
    """The layout that this program writes."""
    return 1 + len(MIGRATIONS)


def make(connection: sqlite3.Connection, record: str | None = None) -> None:
    """Make the tables and guards in an empty database. record: the record's name, or None for a new one."""
    name = record or secrets.token_hex(32)
    connection.executescript(TABLES + GUARDS)
    connection.execute("INSERT INTO chain (only, record, entries, head) VALUES (1, ?, 0, ?)", (name, name))
    connection.execute(f"PRAGMA application_id = {APPLICATION}")
    connection.execute("PRAGMA user_version = 1")
    migrate(connection)


def check_layout(connection: sqlite3.Connection, path: Path) -> int:
    """The layout of an open record. Raises `RecordError` for another program's database and for a newer layout."""
    (application,) = connection.execute("PRAGMA application_id").fetchone()
    (found,) = connection.execute("PRAGMA user_version").fetchone()
    if application != APPLICATION:
        raise RecordError(f"{path.name} is a database, but not a build record of rotorkit. {UNTOUCHED}")
    if found > layout():
        raise RecordError(too_new(path, found))
    if found < 1:
        raise RecordError(f"{path.name} has a layout that rotorkit never wrote ({found}). {UNTOUCHED}")
    kinds = dict(connection.execute("SELECT name, type FROM sqlite_master WHERE rootpage > 0 OR type = 'view'"))
    for table in ("chain", "aircraft_file", "entry"):
        if kinds.get(table) != "table":  # a view could give rows without end
            raise RecordError(f"{path.name} has no table {table} as rotorkit makes it. {UNTOUCHED}")
    if connection.execute("SELECT count(*) FROM chain").fetchone() != (1,):
        raise RecordError(f"{path.name} is damaged (it does not say how many entries it holds). {UNTOUCHED}")
    return int(found)


def too_new(path: Path, found: int) -> str:
    """What to say of a record of a newer layout."""
    return (
        f"{path.name} was written by a newer rotorkit (layout {found}; rotorkit {__version__} knows layouts up to "
        f"{layout()}). Update rotorkit to read it. {UNTOUCHED}"
    )


def migrate(connection: sqlite3.Connection) -> None:
    """Bring an open record of an older layout to today's, within the caller's transaction."""
    (found,) = connection.execute("PRAGMA user_version").fetchone()
    for number, step in enumerate(MIGRATIONS[found - 1 :], found + 1):
        step(connection)
        connection.execute(f"PRAGMA user_version = {number}")


def guards_changed(connection: sqlite3.Connection) -> list[str]:
    """The names of guards that are missing from an open record, changed, or not ours."""
    query = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"
    fresh = sqlite3.connect(":memory:")
    try:
        make(fresh)
        ours, theirs = dict(fresh.execute(query)), {_text(name): _text(sql) for name, sql in connection.execute(query)}
    finally:
        fresh.close()
    return sorted(name for name in ours.keys() | theirs.keys() if ours.get(name) != theirs.get(name))


def _text(value: str | bytes) -> str:
    return value.decode("utf-8", "replace") if isinstance(value, bytes) else value
