"""The build record of one aircraft: ``record.sqlite`` beside the aircraft file, only ever added to.

Who only reads it needs no figures: what a save works with is loaded by the save.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rotorkit.aircraft.place import AIRCRAFT_FILE, demo_folder
from rotorkit.edges.clock import now as time_of_day
from rotorkit.edges.program import typed
from rotorkit.record import files
from rotorkit.record.attached import keep, received, with_more
from rotorkit.record.chain import Sealed, canonical, hash_of, hash_of_bytes
from rotorkit.record.entry import SavedEntry, corrected, first_form
from rotorkit.record.errors import (
    NOTHING_SAVED,
    RESTORE,
    UNTOUCHED,
    AircraftChangedError,
    NewerEntryError,
    NoEntryError,
    RecordError,
)
from rotorkit.record.looked_at import fault_in

if TYPE_CHECKING:
    from rotorkit.folder.checks import Folder
    from rotorkit.sheets.base import Outcome, Sheet


SAVED = "saved"
CHANGED = "changed since saved"
NEVER = "never saved"

WAIT = 10.0
"""How long a save or a reading waits for another that is under way, in seconds."""
LONGEST_NOTE = 1_000_000
COLUMNS = "number, check_name, saved, local, aircraft_file, replaces, previous, work, hash"
AFTER = """coalesce(
  (SELECT next.previous FROM entry AS next WHERE next.number = entry.number + 1),
  CASE WHEN entry.number = (SELECT entries FROM chain) THEN (SELECT head FROM chain) END)"""
READ = f"{COLUMNS}, {AFTER}"
"""An entry, and the hash that it bears by what comes after it."""
AT_ONCE = 500
"""So many entries are asked for by number in one question."""


class Record:
    """The record of a working folder.

    Arguments: folder, a path or a `Folder`; wait, how long to wait for another saver, in seconds; clock, what tells the
    time, with its offset. Making one reads and writes nothing; reading never creates or changes a file.
    """

    def __init__(
        self, folder: Folder | Path | str, *, wait: float = WAIT, clock: Callable[[], datetime] | None = None
    ) -> None:
        self.folder = Path(folder) if isinstance(folder, (str, Path)) else folder.path
        self.path = self.folder / files.RECORD_FILE
        self.wait = wait
        self._clock = clock or time_of_day

    # saving

    def save(
        self,
        check: str,
        sheet: Sheet,
        outcome: Outcome,
        aircraft_text: str,
        who: str,
        note: str = "",
        replaces: int | None = None,
        why: str = "",
        title: str = "",
        after: int | None = None,
        by_hand: Mapping[str, str] | None = None,
    ) -> SavedEntry:
        """Add an entry. When this returns, it is on the drive.

        Arguments: check, the job's name ("tail_rotor_angles"); sheet, with its readings; outcome, as it was shown;
        aircraft_text, the text of the aircraft file that it was worked with (`aircraft_text`); who did the work; note,
        anything; replaces, the number of the entry that this one corrects, and why; title, of the check;
        after, the number of the newest entry of the check that the person has seen, 0 where there was none (None: it is
        not asked); where there is a newer one by then, `NewerEntryError` asks to look at it first; by_hand, the figures
        that were worked by hand, as typed, by the key of the figure ({"drop.left": "77 rpm"}): each is judged and kept.
        Raises `RecordError`, which says what happened and that nothing was saved. So it does where the outcome is not
        what the readings and that aircraft file come to: what is kept is what was seen, on what it rested.
        """
        from rotorkit.quantities import QuantityError, display
        from rotorkit.record.by_hand import judged, kept_of
        from rotorkit.record.moves import moves
        from rotorkit.record.snapshot import aircraft_of, snapshot
        from rotorkit.sheets.base import SheetError

        who, why = who.strip(), why.strip()
        self._check_texts(check, who, note, why, title, replaces)
        if sheet.invented:
            raise RecordError(f"{sheet.invented} {NOTHING_SAVED}")
        if outcome.unfinished:
            raise RecordError(f"Still being worked out: {', '.join(outcome.unfinished)}. {NOTHING_SAVED}")
        try:
            aircraft = aircraft_of(aircraft_text)
            changed = moves(outcome.findings, sheet.work(aircraft).findings)
        except (SheetError, QuantityError, RecordError) as problem:
            raise RecordError(
                f"This cannot be worked out with the aircraft file as it is now: {problem} {NOTHING_SAVED}"
            ) from problem
        if changed:
            raise AircraftChangedError(
                f"The aircraft file has changed since this was worked out: {changed[0].sentence}. Work the form out "
                f"again, check it, then save. {NOTHING_SAVED}"
            )
        with display(aircraft.aircraft.display):
            work = snapshot(sheet, outcome, aircraft, who, note, why, title)
            figures = judged(outcome, by_hand, self._clock().date()) if by_hand else []
        before = self._corrected(replaces)
        if before is not None:
            figures = [*kept_of(before.work, outcome, [one.key for one in figures]), *figures]
        if figures:
            work["by_hand"] = [one.plain() for one in figures]
        if before is not None and before.photographs:  # they show the same work
            work["photographs"] = [one.plain() for one in before.photographs]
        return self.add(check, work, aircraft_text, replaces, after)

    def _corrected(self, number: int | None) -> SavedEntry | None:
        """The entry that is corrected, for what its correction keeps of it; None where nothing of it can be kept."""
        try:
            before = self.entry(number) if number is not None else None
        except RecordError:  # told when the correction is added
            return None
        return None if before is None or before.fault else before

    def add(
        self,
        check: str,
        work: Mapping[str, Any],
        aircraft_text: str,
        replaces: int | None = None,
        after: int | None = None,
    ) -> SavedEntry:
        """Add an entry from what it is to keep, as plain values (`save` makes them). Raises `RecordError`."""
        if self.folder.resolve() == demo_folder():
            raise RecordError(
                "The built-in demo keeps no record: make your own folder with "
                f"'{typed('new DIR --demo')}'. {NOTHING_SAVED}"
            )
        try:
            text, file = canonical(work), aircraft_text.encode("utf-8")
            text.encode("utf-8")
        except UnicodeEncodeError as problem:
            raise RecordError(
                f"A text contains half of a character pair ({problem.object[problem.start]!r}), which no file can "
                f"keep: type it again. {NOTHING_SAVED}"
            ) from None
        except (TypeError, ValueError) as problem:
            raise RecordError(f"This outcome cannot be kept: {problem}. {NOTHING_SAVED}") from problem
        file_hash = hash_of_bytes(file)
        entry: SavedEntry | None = None
        try:
            with files.writing(self.path, self.wait) as connection:
                previous = _last_in_order(connection)
                if replaces is not None:
                    _check_replaced(connection, check, replaces)
                if after is not None:
                    _check_seen(connection, check, after)
                now = self._clock()
                sealed = Sealed(
                    previous[0] + 1,
                    check,
                    now.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z"),
                    now.isoformat(timespec="seconds"),
                    file_hash,
                    replaces,
                    previous[1],
                    text,
                )
                if fault := fault_in(sealed):
                    raise RecordError(f"This cannot be kept: {fault}. {NOTHING_SAVED}")
                entry = SavedEntry(sealed, hash_of(sealed))
                insert(connection, entry, file)
        except RecordError as problem:
            if entry is not None and self._may_hold(entry):
                told = str(problem).replace(NOTHING_SAVED, "").strip()
                raise RecordError(
                    f"{told} The drive did not confirm entry {entry.number}: it may or may not be in the record. Look "
                    "at the list of entries before you save again.",
                    saved=None,
                ) from problem
            raise
        return entry

    def attach(self, number: int, given: Sequence[Path | tuple[str, bytes]], who: str) -> SavedEntry:
        """Attach photographs to a saved check; the entry that then stands for it comes back.

        It is an entry of its own, which holds all that entry `number` held, names it, and adds the photographs with
        their hashes; nothing of entry `number` changes. The files are put into the folder ``photographs`` beside the
        record first, byte for byte.

        Parameters
        ----------
        number : int
            the entry. One that was corrected is refused: its correction is the one to attach to.
        given : sequence
            files, or names with their bytes: JPEG, PNG or WebP.
        who : str
            who attaches them; who did the work stays as it was.

        Returns
        -------
        SavedEntry
            The entry with the photographs.

        Raises
        ------
        RecordError
            Nothing was attached; the message says why.
        """
        who, entry = who.strip(), self.entry(number)
        if entry.fault:
            raise RecordError(f"Entry {number} {entry.fault}: nothing can be attached to it. {NOTHING_SAVED}")
        if not given:
            raise RecordError(f"Name one photograph or more. {NOTHING_SAVED}")
        if not who:
            raise RecordError(f"Say who is attaching them: a name or initials. {NOTHING_SAVED}")
        taken = [received(one) for one in given]
        photographs = with_more(number, entry.photographs, [one for one, _ in taken])
        many = "1 photograph" if len(taken) == 1 else f"{len(taken)} photographs"
        why = f"{many} attached by {who}: {', '.join(one.name for one, _ in taken)}"
        self._check_texts(entry.check, who, "", why[:LONGEST_NOTE], entry.title, number)
        text = self.file_text(entry.aircraft_file)
        with files.reading(self.path, self.wait) as connection:  # before a file is put anywhere
            if connection is not None:
                _check_replaced(connection, entry.check, number)
        for one, data in taken:
            keep(self.folder, one, data)
        work = {**entry.work, "photographs": photographs, "why": why[:LONGEST_NOTE]}
        return self.add(entry.check, work, text, replaces=number)

    def _may_hold(self, entry: SavedEntry) -> bool:
        """After an error at the very end of a save: whether the entry is there all the same, or nobody can tell."""
        try:
            return self.entry(entry.number).hash == entry.hash
        except NoEntryError:
            return False
        except RecordError:
            return True

    def _check_texts(self, check: str, who: str, note: str, why: str, title: str, replaces: int | None) -> None:
        from rotorkit.folder.checks import LONGEST_NAME, name_fault

        faults = []
        if fault := name_fault(check):
            faults.append(fault)
        if not who:
            faults.append("say who did the work: a name or initials")
        if len(who) > LONGEST_NAME or len(title) > LONGEST_NAME:
            faults.append(f"a name or title may have at most {LONGEST_NAME} characters")
        if len(note) > LONGEST_NOTE or len(why) > LONGEST_NOTE:
            faults.append(f"a note may have at most {LONGEST_NOTE:,} characters, got {max(len(note), len(why)):,}")
        if replaces is not None and not why:
            faults.append(f"say why this corrects entry {replaces}")
        if replaces is None and why:
            faults.append("a reason for a correction needs the number of the entry that it replaces")
        if faults:
            said = "; ".join(faults)
            raise RecordError(f"{said[0].upper()}{said[1:]}. {NOTHING_SAVED}")

    # reading

    def aircraft_text(self) -> str:
        """The aircraft file's text, byte for byte, for `save`."""
        from rotorkit.aircraft.file import AircraftFileError, whole_text_of

        try:
            return whole_text_of(self.folder / AIRCRAFT_FILE)
        except AircraftFileError as problem:
            raise RecordError(str(problem)) from problem

    def entries(self, check: str | None = None) -> list[SavedEntry]:
        """Every entry in order, or those of one check, corrected ones included."""
        where, given = ("WHERE check_name = ?", (check,)) if check is not None else ("", ())
        with files.reading(self.path, self.wait) as connection:
            if connection is None:
                return []
            rows = connection.execute(f"SELECT {READ} FROM entry {where} ORDER BY number", given)
            return [entry_of(row) for row in rows]

    def entry(self, number: int) -> SavedEntry:
        """One entry. Raises `RecordError` where there is none of that number."""
        with files.reading(self.path, self.wait) as connection:
            row, last = None, 0
            if connection is not None:
                row = connection.execute(f"SELECT {READ} FROM entry WHERE number = ?", (number,)).fetchone()
                (last,) = connection.execute("SELECT coalesce(max(number), 0) FROM entry").fetchone()
        if row is None:
            there = f"its last is entry {last}" if last else "nothing has been saved in it yet"
            raise NoEntryError(f"The record holds no entry {number}: {there}.")
        return entry_of(row)

    def entries_of(self, numbers: Iterable[int]) -> list[SavedEntry]:
        """The entries of these numbers, in order; one that there is not is left out."""
        wanted = sorted(set(numbers))
        with files.reading(self.path, self.wait) as connection:
            if connection is None:
                return []
            found: list[SavedEntry] = []
            for first in range(0, len(wanted), AT_ONCE):
                some = wanted[first : first + AT_ONCE]
                places = ", ".join("?" * len(some))
                rows = connection.execute(f"SELECT {READ} FROM entry WHERE number IN ({places}) ORDER BY number", some)
                found += [entry_of(row) for row in rows]
            return found

    def newest(self, check: str) -> int:
        """The number of the newest entry of a check, 0 where there is none."""
        with files.reading(self.path, self.wait) as connection:
            if connection is None:
                return 0
            (found,) = connection.execute("SELECT max(number) FROM entry WHERE check_name = ?", (check,)).fetchone()
            return int(found or 0)

    def checks(self) -> list[str]:
        """The names of all checks that have an entry, in the order of their first."""
        with files.reading(self.path, self.wait) as connection:
            if connection is None:
                return []
            return [
                name for (name,) in connection.execute("SELECT check_name FROM entry GROUP BY 1 ORDER BY min(number)")
            ]

    def replaced(self) -> dict[int, int]:
        """Number of each corrected entry, and of the one that replaces it."""
        with files.reading(self.path, self.wait) as connection:
            if connection is None:
                return {}
            rows = connection.execute(f"SELECT {READ} FROM entry WHERE replaces IS NOT NULL ORDER BY number")
            return corrected(map(entry_of, rows))

    def standing(self, check: str) -> list[tuple[SavedEntry, SavedEntry]]:
        """(entry, the first form of it) for each entry of a check that no other replaces, in the order of the work
        done: a correction stands where the entry stood that it corrects."""
        return standing_of(self.entries(check))

    def newest_of(self, sheets: Sequence[str]) -> SavedEntry | None:
        """The entry of any of these sheets that was saved last; None where there is none."""
        with files.reading(self.path, self.wait) as connection:
            if connection is None:
                return None
            row = connection.execute(
                f"SELECT {READ} FROM entry WHERE typeof(work) = 'text' AND json_valid(work) AND "
                f"json_extract(work, '$.sheet.name') IN ({', '.join('?' * len(sheets))}) ORDER BY number DESC LIMIT 1",
                tuple(sheets),
            ).fetchone()
        return None if row is None else entry_of(row)

    def last(self, check: str) -> SavedEntry | None:
        """What stands for a check today: its latest entry, in its corrected form; None where it was never saved."""
        standing = self.standing(check)
        return standing[-1][0] if standing else None

    def last_of_each(self) -> list[SavedEntry]:
        """What stands today for each check that has an entry, in the order of their first entries; read at once."""
        by_check: dict[str, list[SavedEntry]] = {}
        for entry in self.entries():
            by_check.setdefault(entry.check, []).append(entry)
        return [standing[-1][0] for some in by_check.values() if (standing := standing_of(some))]

    def file_text(self, hash: str) -> str:
        """The text of an aircraft file as it stood, by its hash (`SavedEntry.aircraft_file`)."""
        with files.reading(self.path, self.wait) as connection:
            row = None
            if connection is not None:
                row = connection.execute("SELECT text FROM aircraft_file WHERE hash = ?", (hash,)).fetchone()
        if row is None or not isinstance(row[0], bytes):
            raise RecordError(f"The record does not hold the aircraft file {hash[:12]}.")
        if hash_of_bytes(row[0]) != hash:
            raise RecordError(
                f"The kept aircraft file {hash[:12]} was altered after it was saved. {UNTOUCHED} {RESTORE}"
            )
        try:
            return row[0].decode("utf-8")
        except UnicodeDecodeError:
            raise RecordError(f"The kept aircraft file {hash[:12]} is not text. {UNTOUCHED} {RESTORE}") from None

    def file_text_or_none(self, hash: str) -> str | None:
        """The same; None where the record does not hold it as it was."""
        try:
            return self.file_text(hash)
        except RecordError:
            return None

    def head(self) -> tuple[int, str]:
        """How many entries there are, and the hash of the last: noted elsewhere, they show later that none is
        missing."""
        with files.reading(self.path, self.wait) as connection:
            if connection is None:
                return 0, ""
            count, head = connection.execute("SELECT entries, head FROM chain").fetchone()
            return int(count), str(head)

    def state(self, check: str, readings: Mapping[str, Any], sheet: str | None = None) -> str:
        """Whether a form's readings, as typed, are kept: `SAVED`, `CHANGED` or `NEVER`."""
        from rotorkit.folder.forms import as_typed, same_readings

        last = self.last(check)
        if last is None:
            return NEVER
        if last.fault or (sheet is not None and sheet != last.sheet):
            return CHANGED
        return SAVED if same_readings(last.sheet, as_typed(readings), as_typed(last.readings)) else CHANGED


def standing_of(entries: Iterable[SavedEntry]) -> list[tuple[SavedEntry, SavedEntry]]:
    """What `Record.standing` gives, of the entries of one check."""
    every = {entry.number: entry for entry in entries}
    gone = corrected(every.values())
    found = [(entry, first_form(entry, every)) for entry in every.values() if entry.number not in gone]
    return sorted(found, key=lambda pair: pair[1].number)


def entry_of(row: tuple[Any, ...]) -> SavedEntry:
    """An entry from a row of `COLUMNS` or of `READ`."""
    number, check, saved, local, file, replaces, previous, work, hash_, *more = row
    texts = [
        one.decode("utf-8", "replace") if isinstance(one, bytes) else str(one)
        for one in (check, saved, local, file, previous, work, hash_)
    ]  # what is no text any more does not give its hash
    check, saved, local, file, previous, work, hash_ = texts
    return SavedEntry(
        Sealed(number, check, saved, local, file, replaces, previous, work),
        hash_,
        None if not more or more[0] is None else str(more[0]),
    )


def insert(connection: sqlite3.Connection, entry: SavedEntry, file: bytes) -> None:
    """Put an entry at the end, and its aircraft file where it is new."""
    sealed = entry.sealed
    known = connection.execute("SELECT 1 FROM aircraft_file WHERE hash = ?", (sealed.aircraft_file,)).fetchone()
    if known is None:
        connection.execute("INSERT INTO aircraft_file (hash, text) VALUES (?, ?)", (sealed.aircraft_file, file))
    connection.execute(
        f"INSERT INTO entry ({COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            sealed.number,
            sealed.check,
            sealed.saved,
            sealed.local,
            sealed.aircraft_file,
            sealed.replaces,
            sealed.previous,
            sealed.work,
            entry.hash,
        ),
    )


def _last_in_order(connection: sqlite3.Connection) -> tuple[int, str]:
    """Number and hash of the last entry. Raises `RecordError` where the end of the record is not what it was."""
    count, head = connection.execute("SELECT entries, head FROM chain").fetchone()
    row = connection.execute(f"SELECT {COLUMNS} FROM entry ORDER BY number DESC LIMIT 1").fetchone()
    if row is not None:
        last = entry_of(row)
        if (last.number, last.hash, hash_of(last.sealed)) == (count, head, head):
            return last.number, last.hash
    elif count == 0:
        return 0, str(head)
    raise RecordError(
        f"The end of the record is not as it was saved: it should end with entry {count}. 'rotorkit record verify' "
        "says what is wrong."
    )


def _check_seen(connection: sqlite3.Connection, check: str, after: int) -> None:
    """Refuse a save where somebody else saved the same check in the meantime."""
    query = f"SELECT {COLUMNS} FROM entry WHERE check_name = ? ORDER BY number DESC LIMIT 1"
    row = connection.execute(query, (check,)).fetchone()
    if row is None or row[0] <= after:
        return
    newer = entry_of(row)
    of = f", by {newer.who}" if not newer.fault else ""
    raise NewerEntryError(
        f"Since this form was filled, entry {newer.number} of the same check was saved ({newer.local:%Y-%m-%d %H:%M}"
        f"{of}): see it among the earlier entries. To keep yours as well, as the newer one, save once more. "
        f"{NOTHING_SAVED}",
        newer.number,
    )


def _check_replaced(connection: sqlite3.Connection, check: str, replaces: int) -> None:
    row = connection.execute("SELECT check_name FROM entry WHERE number = ?", (replaces,)).fetchone()
    if row is None:
        raise RecordError(f"There is no entry {replaces} to correct.")
    if row[0] != check:
        raise RecordError(f"Entry {replaces} is of {row[0]}, not of {check}: a correction has to be of the same check.")
    later = connection.execute("SELECT number FROM entry WHERE replaces = ?", (replaces,)).fetchone()
    if later is not None:
        raise RecordError(f"Entry {replaces} is already replaced by entry {later[0]}: correct that one.")
