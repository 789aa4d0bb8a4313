"""Whether the record is as it was saved: every entry, none missing, in order."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from rotorkit.record import files, schema
from rotorkit.record.chain import Sealed, hash_of_bytes
from rotorkit.record.errors import RecordError
from rotorkit.record.store import COLUMNS, Record

__all__ = ["Verification", "verify"]

SHORTEST_NOTED = 8
"""So many hexadecimal digits of a hash, noted elsewhere, are enough to know it by."""

PROGRESS_EACH = 500


@dataclass
class Verification:
    """What `verify` found. faults: one sentence each; doubts: nothing wrong, but to be looked at. entries, head: how
    many entries there are, and the last one's hash, to note elsewhere."""

    entries: int = 0
    head: str = ""
    faults: list[str] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)
    noted: str = ""

    @property
    def whole(self) -> bool:
        """Whether nothing is wrong."""
        return not self.faults

    @property
    def sentence(self) -> str:
        """The result in words."""
        if self.faults:
            return f"The record is not as it was saved: {'; '.join(self.faults)}."
        if not self.entries:
            return "The record holds no entry yet."
        end = f" {self.noted}" if self.noted else ""
        many = "1 entry" if self.entries == 1 else f"all {self.entries:,} entries"
        return f"The record is whole: {many} as saved, none missing. The last one's hash is {self.head}.{end}"


def verify(
    record: Record, noted: str | None = None, progress: Callable[[int, int], None] | None = None
) -> Verification:
    """Check every entry's hash, its place in the chain, the kept aircraft files, the end, and the guards.

    Arguments: record; noted, the hash of an entry as noted elsewhere (printed in a dossier), whole or its first digits,
    which shows whether this record still holds that entry; progress, called with (entries done, of how many).
    Raises `RecordError` where the file cannot be read as a record at all. Changes nothing.
    """
    found = Verification()
    if noted is not None and len(noted.strip()) < SHORTEST_NOTED:
        raise RecordError(f"A noted hash needs at least {SHORTEST_NOTED} of its digits, got {noted!r}.")
    with files.reading(record.path, record.wait) as connection:
        if connection is not None:
            _walk(connection, found, noted, progress)
        elif noted:
            found.faults.append(f"there is no record in this folder, but the hash {noted} was noted from one")
    found.doubts += _stray_copies(record.path)
    return found


def _walk(
    connection: sqlite3.Connection, found: Verification, noted: str | None, progress: Callable[[int, int], None] | None
) -> None:
    connection.text_factory = bytes
    row = connection.execute("SELECT record, entries, head FROM chain").fetchone() or (b"", 0, b"")
    name, count, head = _text(row[0]), row[1], _text(row[2])
    kept = _kept_files(connection, found)
    before, number, time = name, 0, ""
    seen: set[int] = set()
    wanted = (noted or "").strip().lower()
    missed = bool(wanted)
    try:
        for row in connection.execute(f"SELECT {COLUMNS} FROM entry ORDER BY number"):
            here, hash_, sealed = _sealed(row)
            if here != number + 1:
                gone = f"entry {number + 1} is" if here == number + 2 else f"entries {number + 1} to {here - 1} are"
                found.faults.append(f"{gone} missing")
            if hash_of_bytes(sealed.before_work.encode() + row[7] + b"}") != hash_:
                found.faults.append(f"entry {here} was altered after it was saved")
            elif here == number + 1 and sealed.previous != before:
                who = f"entry {number} was" if number else "the record's name was"
                found.faults.append(
                    f"entry {here} does not follow from the one before it: {who} put in another's place"
                )
            if sealed.aircraft_file not in kept:
                found.faults.append(f"the aircraft file that entry {here} was worked with is missing")
            if sealed.replaces is not None and sealed.replaces not in seen:
                found.faults.append(f"entry {here} corrects entry {sealed.replaces}, which is not before it")
            if sealed.saved < time:
                found.doubts.append(f"entry {here} bears an earlier time than the one before: a clock was put back")
            missed = missed and not hash_.startswith(wanted)
            before, number, time = hash_, here, sealed.saved
            seen.add(here)
            if progress is not None and here % PROGRESS_EACH == 0:
                progress(here, count)
    except (sqlite3.DatabaseError, ValueError, TypeError, AttributeError) as problem:
        found.faults.append(f"the file is damaged after entry {number} ({problem})")
        found.entries, found.head = number, before
        return
    if (number, before) != (count, head):
        if isinstance(count, int) and count > number:
            gone = f"entry {count} is" if count == number + 1 else f"entries {number + 1} to {count} are"
            found.faults.append(f"{gone} missing from the end")
        else:
            found.faults.append(
                f"the record should end with entry {count} ({head[:12]}), and ends with entry {number} ({before[:12]})"
            )
    if progress is not None:
        progress(number, count)
    if guards := schema.guards_changed(connection):
        found.faults.append(
            f"the guards that keep entries from being changed are not as they were made ({', '.join(guards)})"
        )
    _whole_pages(connection, found)
    found.entries, found.head = number, before if number else ""
    if missed:
        found.faults.append(
            f"no entry bears the hash {noted}: the record was put back to an older copy, or written anew"
        )
    elif wanted:
        found.noted = "It holds the entry whose hash was noted."


def _text(value: Any) -> str:
    return value.decode("utf-8", "replace") if isinstance(value, bytes) else str(value)


def _sealed(row: tuple[Any, ...]) -> tuple[int, str, Sealed]:
    number, check, saved, local, file, replaces, previous, _, hash_ = row
    name, utc, here, kept, before = (part.decode("utf-8") for part in (check, saved, local, file, previous))
    return number, hash_.decode("utf-8"), Sealed(number, name, utc, here, kept, replaces, before, "")


def _kept_files(connection: sqlite3.Connection, found: Verification) -> set[str]:
    kept = set()
    try:
        for hash_, text in connection.execute("SELECT hash, text FROM aircraft_file"):
            said = _text(hash_)
            if isinstance(text, bytes) and hash_of_bytes(text) == said:
                kept.add(said)
            else:
                found.faults.append(f"the kept aircraft file {said[:12]} was altered")
                kept.add(said)
    except sqlite3.DatabaseError as problem:
        found.faults.append(f"the kept aircraft files cannot all be read ({problem})")
    return kept


def _whole_pages(connection: sqlite3.Connection, found: Verification) -> None:
    """Whether the database holds together page by page (SQLite's own check)."""
    try:
        said: Iterable[tuple[Any, ...]] = connection.execute("PRAGMA integrity_check(3)").fetchall()
        lines = [_text(line) for (line,) in said]
    except sqlite3.DatabaseError as problem:
        lines = [str(problem)]
    if lines != ["ok"]:
        found.faults.append(f"the file is damaged inside ({'; '.join(lines)})")


def _stray_copies(path: Path) -> list[str]:
    """Copies that a synchronising client puts beside a record when two computers saved at once."""
    others = sorted(
        other.name
        for other in path.parent.glob(f"{path.stem}*{path.suffix}")
        if other.name != path.name and not other.name.startswith(f"{path.stem}-layout-")
    )
    if not others:
        return []
    return [
        f"beside the record lies {', '.join(others)}: a synchronising client may have parted two records; look which "
        "is right"
    ]
