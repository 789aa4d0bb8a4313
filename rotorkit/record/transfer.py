r"""Carrying the record elsewhere: JSON Lines, which lose nothing.

An export is UTF-8 text, one JSON object to a line, each line ended by ``\n``::

    {"entries":2,"export":1,"head":"<hash of the last>","record":"<the record's name>"}
    {"aircraft_file":"<hash>","text":"<the file>"}        before the first entry that it was used for
    {"hash":"<hash>","sealed":{...}}                      an entry, see rotorkit.record.chain

An export of a damaged record is of form 2. Its first line says with ``lost_at_end`` how many entries were lost after
the last; in the place of an entry that is not what was saved stands its hash, as the next entry carries it, and instead
of the text of an aircraft file that was altered stands that it is lost::

    {"lost":{"hash":"<hash>","number":4,"why":"<in words>"}}
    {"aircraft_file":"<hash>","lost":true}

Every object is in the canonical form of RFC 8785, so that the same record gives the same bytes anywhere. The hash is
the SHA-256 of the bytes after ``"sealed":`` without the last brace.
"""

from __future__ import annotations

import contextlib
import io
import json
import secrets
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, BinaryIO

from rotorkit.edges.received import LARGEST_TEXT, opened, too_much
from rotorkit.record import files, schema
from rotorkit.record.chain import Sealed, canonical, hash_of_bytes, is_hash
from rotorkit.record.entry import LOST, LOST_WORK, SavedEntry
from rotorkit.record.errors import NOTHING_SAVED, RecordError
from rotorkit.record.shape import DEEPEST, MOST_VALUES
from rotorkit.record.store import COLUMNS, Record, entry_of, insert
from rotorkit.record.verify import Verification, walk

EXPORT, EXPORT_WITH_GAPS = 1, 2
LONGEST_LINE, LARGEST_EXPORT, MOST_ENTRIES = 64_000_000, 1_000_000_000, 200_000
LOST_CHECK = "lost"
NO_TIME = "1970-01-01T00:00:00.000000Z"
MOST_TOLD = 40
SEALED = b',"sealed":'


@dataclass(frozen=True)
class Exported:
    """What an export holds: how many entries, and which were left out because they are not what was saved, with why.
    files: hashes of kept aircraft files that could not be written as they were. faults: what is wrong with the
    record."""

    entries: int
    left_out: Mapping[int, str] = field(default_factory=dict)
    files: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()

    @property
    def whole(self) -> bool:
        """Whether the record is as it was saved, so that nothing was left out."""
        return not self.faults

    @property
    def sentence(self) -> str:
        """What is wrong and what was left out, in words; empty where nothing is."""
        if self.whole:
            return ""
        said = [f"entry {number} ({why})" for number, why in sorted(self.left_out.items())[:MOST_TOLD]]
        if len(self.left_out) > MOST_TOLD:
            said.append(f"{len(self.left_out) - MOST_TOLD:,} more entries")
        said += [f"the kept aircraft file {hash_[:12]}, which was altered or is missing" for hash_ in self.files]
        if not said:
            return f"The record is not as it was saved: {'; '.join(self.faults[:MOST_TOLD])}. Every entry was written."
        return f"The record is not as it was saved. Left out: {'; '.join(said)}."


def export_lines(record: Record, target: Path | str, overwrite: bool = False) -> Exported:
    """Write the record to a file as JSON Lines: every entry that is as it was saved. Returns what was written.

    The file is written beside its place and put there whole. An entry that is not what was saved is left out, and named
    in the answer and in the file. Raises `RecordError` where there is no record or no good entry in it, where the file
    exists already and `overwrite` is not given, and where it cannot be written.
    """
    found = Exported(0)

    def lines(out: io.BufferedWriter) -> None:
        nonlocal found
        with files.reading(record.path, record.wait) as connection:
            if connection is None:
                raise RecordError(f"There is no record in {record.folder} to export.")
            found = _write_lines(connection, out)

    write_whole(Path(target), lines, overwrite)
    return found


def _write_lines(connection: sqlite3.Connection, out: io.BufferedWriter) -> Exported:
    checked = Verification()
    walk(connection, checked)
    name, entries, head = connection.execute("SELECT record, entries, head FROM chain").fetchone()
    lost: dict[int, str] = {}
    hashes: dict[int, str] = {}
    end, at_end = 0, 0
    if checked.faults:
        lost, hashes, name = _lost(connection, checked, name, entries)
        if not hashes:
            raise RecordError("The record holds no entry that is as it was saved: there is nothing to export.")
        end = max(hashes)
        at_end = sum(number > end for number in lost)
        first: dict[str, Any] = {"export": EXPORT_WITH_GAPS, "record": name, "entries": end, "head": hashes[end]}
        out.write(_line({**first, "lost_at_end": at_end}))
    else:
        end = entries
        out.write(_line({"export": EXPORT, "record": name, "entries": entries, "head": head}))
    told: set[str] = set()
    gone: list[str] = []
    before = name
    for number in range(1, end + 1):
        if number in lost:
            after = _row(connection, number + 1) if number + 1 in hashes else None
            before = entry_of(after).sealed.previous if after is not None else hash_of_bytes(before.encode())
            out.write(_line({"lost": {"number": number, "hash": before, "why": lost[number]}}))
            continue
        row = _row(connection, number)
        assert row is not None
        entry = entry_of(row)
        if entry.aircraft_file not in told:
            told.add(entry.aircraft_file)
            text = _kept_text(connection, entry.aircraft_file)
            if text is None:
                gone.append(entry.aircraft_file)
            out.write(
                _line({"aircraft_file": entry.aircraft_file, **({"lost": True} if text is None else {"text": text})})
            )
        out.write(f'{{"hash":"{entry.hash}","sealed":{entry.sealed.text}}}\n'.encode())
        before = entry.hash
    return Exported(end - sum(number <= end for number in lost), lost, tuple(gone), tuple(checked.faults))


def _row(connection: sqlite3.Connection, number: int) -> tuple[Any, ...] | None:
    try:
        row: tuple[Any, ...] | None = connection.execute(
            f"SELECT {COLUMNS} FROM entry WHERE number = ?", (number,)
        ).fetchone()
    except sqlite3.DatabaseError:  # this page of the file is damaged; others may not be
        return None
    return row


def _kept_text(connection: sqlite3.Connection, hash_: str) -> str | None:
    """The text of a kept aircraft file; None where it is not what was kept."""
    try:
        row = connection.execute("SELECT text FROM aircraft_file WHERE hash = ?", (hash_,)).fetchone()
        text = bytes(row[0])
        return text.decode("utf-8") if hash_of_bytes(text) == hash_ else None
    except (sqlite3.DatabaseError, TypeError, UnicodeDecodeError):
        return None


def _lost(
    connection: sqlite3.Connection, checked: Verification, name: str, count: Any
) -> tuple[dict[int, str], dict[int, str], str]:
    """Of a record with faults: why each entry that is not what was saved is lost; the hashes of those that are; and the
    record's name."""
    try:
        (last,) = connection.execute("SELECT max(number) FROM entry").fetchone()
    except sqlite3.DatabaseError:
        last = 0
    top = max(count if isinstance(count, int) else 0, last or 0)
    if top > MOST_ENTRIES:
        top = last if isinstance(last, int) and last <= MOST_ENTRIES else checked.entries
    lost: dict[int, str] = {}
    good: dict[int, str] = {}
    follows: dict[int, str] = {}
    for number in range(1, top + 1):
        row = _row(connection, number)
        if row is None:
            lost[number] = "missing, or its place in the file is damaged"
        elif why := checked.untrue_of(number) or (fault if (fault := entry_of(row).fault) else ""):
            lost[number] = why
        else:
            entry = entry_of(row)
            good[number], follows[number] = entry.hash, entry.sealed.previous
    for number in sorted(good, reverse=True):
        if number + 1 in follows and number in good and good[number] != follows[number + 1]:
            lost[number] = "not the entry that was here"
            del good[number], follows[number]
    if 1 in follows:
        name = follows[1]
    return lost, good, name if is_hash(name) else hash_of_bytes(b"")


def _line(value: Any) -> bytes:
    return (canonical(value) + "\n").encode("utf-8")


def write_whole(target: Path, fill: Any, overwrite: bool) -> None:
    if target.exists() and not overwrite:
        raise RecordError(f"{target} exists already: name another file, or remove it first.")
    made = target.with_name(f".{target.name}.{secrets.token_hex(6)}")
    try:
        with open(made, "xb") as out:
            fill(out)
            out.flush()
            files.flush_file(out.fileno())
        made.replace(target)
        files.flush_folder(target.parent)
    except OSError as problem:
        raise RecordError(f"{target} cannot be written: {problem.strerror or problem}.") from problem
    finally:
        with contextlib.suppress(OSError):
            made.unlink(missing_ok=True)


@dataclass(frozen=True)
class Imported:
    """What an import brought: how many entries were added; lost: the numbers of those that only keep the place of one
    that was damaged when the export was written; at_end: how many were lost after the last."""

    added: int
    lost: tuple[int, ...] = ()
    at_end: int = 0

    @property
    def sentence(self) -> str:
        """What is missing, in words; empty where nothing is."""
        said = []
        if self.lost:
            many = ", ".join(map(str, self.lost[:MOST_TOLD])) + (" …" if len(self.lost) > MOST_TOLD else "")
            said.append(f"lost when the export was written, and marked as lost: entry {many}")
        if self.at_end:
            said.append(f"lost at the end, and not included: {self.at_end}")
        return f"The export is of a damaged record: {'; '.join(said)}." if said else ""


def import_lines(record: Record, source: Path | str) -> Imported:
    """Bring an export into a folder. Returns what was added.

    Into a folder without a record the whole is brought; into one that holds the beginning of the same record, what is
    missing at its end. All or nothing: before the record is touched, the whole is put together aside and checked as
    `verify` checks a record: hashes, order, kept files, corrections, and what each entry holds.
    Raises `RecordError` with the line number where the export was altered, is cut off, or is of another record.
    """
    path = Path(source)
    try:
        with opened(path) as file:
            brought = _read(path, file)
    except OSError as problem:
        raise RecordError(f"{path} cannot be read: {problem.strerror or problem}. {NOTHING_SAVED}") from problem
    _check(path, brought)
    entries = brought.entries
    with files.writing(record.path, record.wait, record=brought.name) as connection:
        name, count, _ = connection.execute("SELECT record, entries, head FROM chain").fetchone()
        if name != brought.name:
            raise RecordError(
                f"{path.name} is of a different record from the one in {record.folder}: import it into a new folder."
            )
        here = [hash_ for (hash_,) in connection.execute("SELECT hash FROM entry ORDER BY number")]
        same = min(len(here), len(entries))
        parted = next((i for i in range(same) if here[i] != entries[i].hash), None)
        if parted is not None:
            raise RecordError(
                f"The record in {record.folder} and {path.name} differ from entry {parted + 1} on: both were added "
                "to. Keep both, and save again in one of them what only the other has."
            )
        for entry in entries[count:]:
            insert(connection, entry, brought.kept[entry.aircraft_file])
        return Imported(
            max(0, len(entries) - len(here)), tuple(one.number for one in entries if one.lost), brought.at_end
        )


@dataclass
class _Brought:
    """An export, read: the record's name, its entries in order, the kept aircraft files by hash (empty where lost)."""

    name: str = ""
    count: Any = 0
    head: str = ""
    at_end: int = 0
    entries: list[SavedEntry] = field(default_factory=list)
    kept: dict[str, bytes] = field(default_factory=dict)
    lost_files: set[str] = field(default_factory=set)


def _check(path: Path, brought: _Brought) -> None:
    """Put the whole together aside, and check it as `verify` does. Raises `RecordError`."""
    found = Verification()
    with contextlib.closing(sqlite3.connect(":memory:", isolation_level=None)) as aside:
        try:
            schema.make(aside, brought.name)
            aside.execute("PRAGMA foreign_keys = ON")
            for entry in brought.entries:
                insert(aside, entry, brought.kept[entry.aircraft_file])
        except (sqlite3.Error, OverflowError) as problem:
            raise RecordError(f"{path.name} is not a consistent record ({problem}). {NOTHING_SAVED}") from problem
        walk(aside, found)
    told = {f"entry {one.number} {LOST}" for one in brought.entries if one.lost}
    told |= {f"the kept aircraft file {hash_[:12]} is lost" for hash_ in brought.lost_files}
    if faults := [fault for fault in found.faults if fault not in told]:
        more = f"; and {len(faults) - MOST_TOLD:,} more faults" if len(faults) > MOST_TOLD else ""
        raise RecordError(
            f"{path.name} does not hold a record as rotorkit saves it: {'; '.join(faults[:MOST_TOLD])}{more}. "
            f"{NOTHING_SAVED}"
        )


def _read(path: Path, file: BinaryIO) -> _Brought:
    found = _Brought()
    whole = 0
    for number, line in enumerate(iter(lambda: file.readline(LONGEST_LINE + 1), b""), 1):
        whole += len(line)
        if len(line) > LONGEST_LINE or whole > LARGEST_EXPORT or len(found.entries) > MOST_ENTRIES:
            raise RecordError(
                f"{path.name} line {number}: far too large for a record ({LONGEST_LINE:,} bytes to a line, "
                f"{LARGEST_EXPORT:,} in all and {MOST_ENTRIES:,} entries are read). {NOTHING_SAVED}"
            )
        try:
            value = json.loads(line)
            if deep := too_much(value, MOST_VALUES, DEEPEST):
                raise ValueError(deep)
            if number == 1:
                _read_head(path, value, found)
            elif "aircraft_file" in value:
                _read_file(path, number, value, found)
            elif "lost" in value:
                _read_lost(value["lost"], found)
            else:
                _read_entry(path, number, line, value, found)
        except RecursionError:
            raise RecordError(f"{path.name} line {number}: brackets nested too deeply. {NOTHING_SAVED}") from None
        except (ValueError, TypeError, KeyError, AttributeError) as problem:
            raise RecordError(
                f"{path.name} line {number} is not a line of a record's export ({str(problem)[:200]}). {NOTHING_SAVED}"
            ) from problem
    if not found.name:
        raise RecordError(f"{path.name} is empty. {NOTHING_SAVED}")
    last = found.entries[-1].hash if found.entries else found.name
    if (len(found.entries), last) != (found.count, found.head) or (found.entries and found.entries[-1].lost):
        raise RecordError(
            f"{path.name} is cut off: it holds {len(found.entries)} of {str(found.count)[:20]} entries. {NOTHING_SAVED}"
        )
    return found


def _read_head(path: Path, value: dict[str, Any], found: _Brought) -> None:
    if value["export"] not in (EXPORT, EXPORT_WITH_GAPS):
        raise RecordError(
            f"{path.name} is an export of a newer rotorkit (form {str(value['export'])[:20]}): update rotorkit. "
            f"{NOTHING_SAVED}"
        )
    if not is_hash(value["record"]):
        raise ValueError("the record's name is none")
    found.name, found.count, found.head = value["record"], value["entries"], value["head"]
    found.at_end = int(value.get("lost_at_end", 0))


def _read_file(path: Path, number: int, value: dict[str, Any], found: _Brought) -> None:
    hash_ = value["aircraft_file"]
    if not is_hash(hash_):
        raise ValueError("the aircraft file's hash is none")
    if value.get("lost") is True and "text" not in value:
        found.lost_files.add(hash_)
        found.kept[hash_] = b""
        return
    text = value["text"].encode("utf-8")
    if hash_of_bytes(text) != hash_:
        raise RecordError(f"{path.name} line {number}: the aircraft file was altered. {NOTHING_SAVED}")
    if len(text) > LARGEST_TEXT:
        raise ValueError("the aircraft file is far larger than any")
    found.kept[hash_] = text


def _read_lost(value: dict[str, Any], found: _Brought) -> None:
    """The place of an entry that was damaged when the export was written."""
    before = found.entries[-1] if found.entries else None
    if value["number"] != len(found.entries) + 1 or not is_hash(value["hash"]):
        raise ValueError("the lost entry is not the next")
    time = before.sealed.saved if before is not None else NO_TIME
    nothing = hash_of_bytes(b"")
    found.kept.setdefault(nothing, b"")
    previous = before.hash if before is not None else found.name
    sealed = Sealed(value["number"], LOST_CHECK, time, time, nothing, None, previous, LOST_WORK)
    found.entries.append(SavedEntry(sealed, value["hash"]))


def _read_entry(path: Path, number: int, line: bytes, value: dict[str, Any], found: _Brought) -> None:
    entry = _entry(line, value)
    if hash_of_bytes(entry.sealed.text.encode("utf-8")) != entry.hash:
        raise RecordError(f"{path.name} line {number}: entry {entry.number} was altered. {NOTHING_SAVED}")
    before = found.entries[-1].hash if found.entries else found.name
    if (
        entry.sealed.previous != before
        or entry.number != len(found.entries) + 1
        or entry.aircraft_file not in found.kept
    ):
        raise RecordError(
            f"{path.name} line {number}: something is missing before entry {str(entry.number)[:20]}. {NOTHING_SAVED}"
        )
    if fault := entry.fault:
        raise RecordError(f"{path.name} line {number}: entry {entry.number} {fault}. {NOTHING_SAVED}")
    found.entries.append(entry)


def _entry(line: bytes, value: dict[str, Any]) -> SavedEntry:
    """An entry of a line. The work's text is taken as it stands; a line that was laid out again is put in canonical
    form."""
    sealed = value["sealed"]
    parts = Sealed(
        sealed["number"],
        sealed["check"],
        sealed["saved"],
        sealed["local"],
        sealed["aircraft_file"],
        sealed["replaces"],
        sealed["previous"],
        "",
    )
    start = line.find(SEALED) + len(SEALED)
    before = parts.before_work.encode("utf-8")
    end = line.rstrip(b"\r\n")
    if line[start : start + len(before)] == before and end.endswith(b"}}"):
        work = end[start + len(before) : -2].decode("utf-8")
    else:
        work = canonical(sealed["work"])
    return SavedEntry(parts._replace(work=work), value["hash"])
