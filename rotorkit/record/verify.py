"""Whether the record is as it was saved: every entry, none missing, in order."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from rotorkit.record import files, schema
from rotorkit.record.attached import Attached, attached_to, faults_of
from rotorkit.record.chain import Sealed, hash_of_bytes
from rotorkit.record.entry import LOST, LOST_WORK
from rotorkit.record.errors import RecordError
from rotorkit.record.looked_at import fault_in
from rotorkit.record.store import COLUMNS, Record

SHORTEST_NOTED = 8
"""So many hexadecimal digits of a hash, noted elsewhere, are enough to know it by."""

PROGRESS_EACH = 100
MOST_TOLD = 40
"""So many faults are told in a sentence; beside the entries all are."""


@dataclass
class Verification:
    """What `verify` found. faults: one sentence each; doubts: nothing wrong, but to be looked at. entries, head: how
    many entries there are, and the last one's hash, to note elsewhere. beside: the faults that concern an entry, by
    its number; untrue: the entries that are not what was saved, and whose verdict and figures nobody shows."""

    entries: int = 0
    head: str = ""
    faults: list[str] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)
    noted: str = ""
    beside: dict[int, list[str]] = field(default_factory=dict)
    untrue: set[int] = field(default_factory=set)
    attached: list[tuple[int, Attached]] = field(default_factory=list)
    """The photographs that entries name, with the entry's number."""

    def said_of(self, number: int) -> str:
        """What is wrong about an entry, in words; empty where nothing is."""
        return "; ".join(self.beside.get(number, []))

    def untrue_of(self, number: int) -> str:
        """Why nothing of an entry is shown, in words; empty where it is what was saved."""
        return self.said_of(number) if number in self.untrue else ""

    def _fault(self, number: int, said: str, untrue: bool = True) -> None:
        self.faults.append(said)
        self.beside.setdefault(number, []).append(said)
        if untrue:
            self.untrue.add(number)

    @property
    def whole(self) -> bool:
        """Whether nothing is wrong."""
        return not self.faults

    @property
    def sentence(self) -> str:
        """The result in words."""
        if self.faults:
            told, more = self.faults[:MOST_TOLD], len(self.faults) - MOST_TOLD
            said = "; ".join(told) + (f"; and {more:,} more faults" if more > 0 else "")
            return f"The record is not as it was saved: {said}."
        if not self.entries:
            return "Nothing has been saved in this record yet."
        end = f" {self.noted}" if self.noted else ""
        many = "1 entry" if self.entries == 1 else f"all {self.entries:,} entries"
        return f"The record is complete: {many} as saved, none missing. The last one's hash is {self.head}.{end}"


def verify(
    record: Record,
    noted: str | None = None,
    progress: Callable[[int, int], None] | None = None,
    contents: bool = True,
) -> Verification:
    """Check every entry's hash, its place in the chain and its contents, the kept aircraft files, the end, the guards.

    Arguments: record; noted, the hash of an entry as noted elsewhere (printed in a dossier), whole or its first digits,
    which shows whether this record still holds that entry; progress, called with (entries done, of how many); contents,
    whether to look at what each entry holds too (a few milliseconds each), or at the seals alone.
    Raises `RecordError` where the file cannot be read as a record at all. Changes nothing.
    """
    found = Verification()
    if noted is not None and len(noted.strip()) < SHORTEST_NOTED:
        raise RecordError(f"A noted hash needs at least {SHORTEST_NOTED} of its digits, got {noted!r}.")
    with files.reading(record.path, record.wait) as connection:
        if connection is not None:
            walk(connection, found, noted, progress, contents)
        elif noted:
            found.faults.append(f"there is no record in this folder, but the hash {noted} was noted from one")
    for number, said in faults_of(record.folder, found.attached):
        found._fault(number, said, untrue=False)
    found.doubts += _stray_copies(record.path)
    return found


def walk(
    connection: sqlite3.Connection,
    found: Verification,
    noted: str | None = None,
    progress: Callable[[int, int], None] | None = None,
    contents: bool = True,
) -> None:
    """The same for an open record; what is found is put into `found`."""
    before_factory = connection.text_factory
    connection.text_factory = bytes
    try:
        _walk(connection, found, noted, progress, contents)
    finally:
        connection.text_factory = before_factory


@dataclass
class _So:
    """What is known of the entries before one: numbers, checks, and which were corrected."""

    checks: dict[int, str] = field(default_factory=dict)
    replaced: dict[int, int] = field(default_factory=dict)


def _walk(
    connection: sqlite3.Connection,
    found: Verification,
    noted: str | None,
    progress: Callable[[int, int], None] | None,
    contents: bool,
) -> None:
    row = connection.execute("SELECT record, entries, head FROM chain").fetchone() or (b"", 0, b"")
    name, count, head = _text(row[0]), row[1], _text(row[2])
    kept = _kept_files(connection, found)
    before, number, time = name, 0, ""
    so = _So()
    wanted = (noted or "").strip().lower()
    missed = bool(wanted)
    try:
        for row in connection.execute(f"SELECT {COLUMNS} FROM entry ORDER BY number"):
            here = row[0]
            if here != number + 1:
                gone = f"entry {number + 1} is" if here == number + 2 else f"entries {number + 1} to {here - 1} are"
                found.faults.append(f"{gone} missing")
            sealed, hash_, given = _sealed(row)
            if sealed.work == LOST_WORK:
                found._fault(here, f"entry {here} {LOST}")
            elif given != hash_:
                found._fault(here, f"entry {here} was altered after it was saved")
            elif contents and (fault := fault_in(sealed, row[7] if isinstance(row[7], bytes) else None, given)):
                found._fault(here, f"entry {here} is not what rotorkit saves ({fault})")
            if here == number + 1 and given == hash_ and sealed.previous != before and sealed.work != LOST_WORK:
                who = f"entry {number} is not the entry" if number else "the record's name is not the one"
                said = f"entry {here} does not follow from the one before it: {who} that was here"
                found._fault(number or here, said, untrue=bool(number))
            _beside(found, here, sealed, kept, so)
            if contents and '"photographs":' in sealed.work and here not in found.untrue:
                found.attached += [(here, one) for one in attached_to(json.loads(sealed.work))]
            if sealed.saved < time and sealed.work != LOST_WORK:
                found.doubts.append(f"entry {here} has an earlier time than the one before it: a clock was set back")
            missed = missed and not hash_.startswith(wanted)
            before, number, time = hash_, here, sealed.saved
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
            said = (
                f"the record should end with entry {count} ({head[:12]}), and ends with entry {number} ({before[:12]})"
            )
            found._fault(number, said, untrue=number == count)
    if progress is not None:
        progress(number, count)
    if guards := schema.guards_changed(connection):
        found.faults.append(f"the guards against changing entries are not as they were made ({', '.join(guards)})")
    _whole_pages(connection, found)
    found.entries, found.head = number, before if number else ""
    if missed:
        found.faults.append(f"no entry has the hash {noted}: the record was replaced by an older copy, or rewritten")
    elif wanted:
        found.noted = "It contains the entry whose hash was noted."


def _text(value: Any) -> str:
    return value.decode("utf-8", "replace") if isinstance(value, bytes) else str(value)


def _sealed(row: tuple[Any, ...]) -> tuple[Sealed, str, str]:
    """The parts of an entry as text, its hash as it stands, and the hash that the bytes of its parts give; empty where
    these are no text."""
    number, check, saved, local, file, replaces, previous, work, hash_ = row
    name, utc, here, kept, before, text = (_text(part) for part in (check, saved, local, file, previous, work))
    sealed = Sealed(number, name, utc, here, kept, replaces, before, text)
    try:
        for part, read in zip(row[1:8], (name, utc, here, kept, "", before, text), strict=True):
            if isinstance(part, bytes) and "\ufffd" in read:  # as a text may hold it, or in the place of what is none
                part.decode("utf-8")
        bytes_of_work = work if isinstance(work, bytes) else text.encode()
        return sealed, _text(hash_), hash_of_bytes(b"%b%b}" % (sealed.before_work.encode(), bytes_of_work))
    except UnicodeError:
        return sealed, _text(hash_), ""


def _beside(found: Verification, here: int, sealed: Sealed, kept: dict[str, bool], so: _So) -> None:
    """What an entry leans on: its aircraft file, and the entry that it corrects."""
    if not kept.get(sealed.aircraft_file, False):
        how = "was altered" if sealed.aircraft_file in kept else "is missing"
        said = f"the aircraft file that entry {here} was worked with {how}"
        if how == "is missing":
            found._fault(here, said, untrue=False)
        else:  # told once for all, and beside each
            found.beside.setdefault(here, []).append(said)
    replaces = sealed.replaces
    if replaces is not None:
        if replaces not in so.checks:
            said = f"entry {here} corrects entry {replaces}, which is not before it"
            found._fault(here, said, untrue=not isinstance(replaces, int) or replaces >= here)
        elif so.checks[replaces] not in (sealed.check, ""):
            found._fault(here, f"entry {here} corrects entry {replaces}, which is of another check")
        elif replaces in so.replaced:
            found._fault(
                here, f"entries {so.replaced[replaces]} and {here} both correct entry {replaces}", untrue=False
            )
        else:
            so.replaced[replaces] = here
    so.checks[here] = "" if sealed.work == LOST_WORK else sealed.check


def _kept_files(connection: sqlite3.Connection, found: Verification) -> dict[str, bool]:
    """The hashes of the kept aircraft files, and whether each is as it was kept."""
    kept: dict[str, bool] = {}
    try:
        for hash_, text in connection.execute("SELECT hash, text FROM aircraft_file"):
            said = _text(hash_)
            kept[said] = isinstance(text, bytes) and hash_of_bytes(text) == said
            if not kept[said]:
                found.faults.append(f"the kept aircraft file {said[:12]} {'is lost' if text == b'' else 'was altered'}")
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
        f"beside the record there is {', '.join(others)}: a file-sync program may have split the record in two; find "
        "out which is right"
    ]
