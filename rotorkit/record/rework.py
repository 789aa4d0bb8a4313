"""Working a saved check again with today's program, aircraft file and instruments, and saying what moved and why.

An entry is stale when what it rests on has changed: not when any byte of the aircraft file has. So its readings are
worked three times: as kept; by today's program with the file as it stood (what moves here is the program's doing); and
by today's program with today's file. What moves between the last two is put down to the values of the file that moved
it, found by changing the old file one value at a time.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pydantic import ValidationError

from rotorkit.aircraft.file import AIRCRAFT_FILE, tables_of
from rotorkit.folder.workings import Workings
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, UNDONE
from rotorkit.quantities import QuantityError
from rotorkit.record.entry import SavedEntry
from rotorkit.record.errors import RecordError
from rotorkit.record.moves import LIMIT, LIMIT_SOURCE, VERDICT, Move, besides, moves, sources_moved
from rotorkit.record.snapshot import aircraft_of, instrument_dump
from rotorkit.record.taken import Entries, not_in_the_file, sources_of
from rotorkit.sheets.base import Finding, Outcome, Sheet, SheetError
from rotorkit.sheets.catalogue import sheet_type

if TYPE_CHECKING:
    from rotorkit.aircraft import Aircraft


LIMITS = "limits changed"
AIRCRAFT = "aircraft file changed"
INSTRUMENT = "instrument changed"
OVERDUE = "calibration past due"
SHEET = "sheet changed"
PROGRAM = "program changed"
CANNOT = "can no longer be worked out"
TAKEN = "figure of another check changed"
ALTERED = "entry altered"

MOST_VALUES = 60
"""When more values than this changed in one table of the file, the table is named and not each value."""
LONGEST_VALUE = 60
OF_INSTRUMENT = {
    "serial": "serial number",
    "measures": "quantity",
    "uncertainty": "uncertainty",
    "shared": "shared error",
    "stated_as": "how the uncertainty is stated",
    "tables": "calibration table",
}
ANOTHER = ("serial", "measures")
"""What makes it another instrument, whether or not a figure moved. The rest counts where it moves a figure."""
WORKING = (SheetError, QuantityError, RecordError)


@dataclass(frozen=True)
class Cause:
    """Why an entry no longer stands as saved. word: one of this module's. sentence: what changed, in words."""

    word: str
    sentence: str


@dataclass
class Rework:
    """A saved entry worked again. outcome: today's, or None where it cannot be worked. causes: why it is stale, empty
    where it stands. moved: (what moved, its cause). notes: what changed without making it stale."""

    entry: SavedEntry
    outcome: Outcome | None = None
    causes: list[Cause] = field(default_factory=list)
    moved: list[tuple[Move, Cause]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def stale(self) -> bool:
        return bool(self.causes)

    @property
    def untrue(self) -> bool:
        """Whether the entry is not what was saved: then nothing of it is shown as if it stood."""
        return self.outcome is None and any(cause.word == ALTERED for cause in self.causes)

    @property
    def word(self) -> str:
        """The verdict as saved; but none yet where a part of the whole job, as it is known today, is not there."""
        missing = self.outcome is not None and self.outcome.missing
        return UNDONE if missing and self.entry.word in (NO_LIMIT, IN_LIMITS) else self.entry.word

    def _add(self, cause: Cause) -> Cause:
        if cause not in self.causes:
            self.causes.append(cause)
        return cause


def rework(
    entry: SavedEntry,
    file_then: str | None,
    file_now: str,
    today: date,
    untrue: str = "",
    entries: Entries | None = None,
    workings: Workings | None = None,
) -> Rework:
    """Work an entry again.

    Arguments: entry; file_then, the text of the aircraft file as it stood, None where the record does not hold it as it
    was; file_now, its text today; today's date, for the instruments' calibration; untrue, why the entry is not what was
    saved, where more is known of that than the entry itself shows (`Verification.untrue_of`); entries, the record, by
    which figures that were taken from other entries are checked against them (None: they are not); workings, what was
    worked of the same checks a moment ago. Raises `RecordError` where today's file cannot be read.
    """
    now = aircraft_of(file_now)
    found = Rework(entry)
    if untrue or entry.fault:
        why = untrue or f"entry {entry.number} {entry.fault}"
        found._add(Cause(ALTERED, f"{why}; 'rotorkit record verify' says more"))
        return found
    try:
        kind = sheet_type(entry.sheet)
    except SheetError as problem:
        found._add(Cause(CANNOT, f"this sheet no longer exists: {problem}"))
        return found
    if kind.version != entry.sheet_version:
        found._add(
            Cause(
                SHEET,
                f"the sheet {entry.sheet} is version {kind.version} now, this was worked with version "
                f"{entry.sheet_version}",
            )
        )
    try:
        sheet = kind.from_readings(entry.readings)
        found.outcome = sheet.work(now) if workings is None else workings.outcome(sheet, now)
    except WORKING as problem:
        found._add(Cause(CANNOT, _one_line(problem)))
        return found
    except MemoryError:  # no fault of this sheet, and no reason to call the entry stale
        raise
    except Exception as problem:  # a fault of one sheet is told, and does not hide the other checks
        found._add(Cause(CANNOT, f"the sheet failed: {type(problem).__name__}: {_one_line(problem)}"))
        return found
    _compare(found, sheet, file_then, file_now, workings)
    _instruments(found, now, today)
    for moved, said in sources_of(sheet, entries) if entries is not None else ():
        if moved:
            found._add(Cause(TAKEN, said))
        else:
            found.notes.append(said)
    for said in not_in_the_file(sheet, now, entries) if entries is not None else ():
        found._add(Cause(TAKEN, said))
    return found


def _compare(found: Rework, sheet: Sheet, file_then: str | None, file_now: str, workings: Workings | None) -> None:
    assert found.outcome is not None
    kept, now = found.entry.findings, found.outcome.findings
    found.notes += besides(kept, now)
    if file_then is None:
        gone = Cause(ALTERED, "the aircraft file it was worked with is not in the record as it was")
        found._add(gone)
        found.moved += [(move, gone) for move in moves(kept, now)]
        return
    try:
        if file_then == file_now:
            then = now
        elif workings is None:
            then = sheet.work(aircraft_of(file_then)).findings
        else:
            then = workings.outcome(sheet, aircraft_of(file_then)).findings
    except WORKING as problem:
        # nothing to tell the program's part from the file's part by
        for move in moves(kept, now):
            cause = Cause(PROGRAM, f"this version cannot read the aircraft file as it was then ({_one_line(problem)})")
            found.moved.append((move, found._add(cause)))
        return
    by_program = moves(kept, then)
    if by_program:
        cause = Cause(PROGRAM, f"the same inputs gave a different figure with rotorkit {found.entry.rotorkit}")
        found.moved += [(move, found._add(cause)) for move in by_program]
    if file_then != file_now:
        by_file = moves(then, now)
        causes = list(_causes(sheet, then, file_then, file_now)) if by_file else []
        for move in by_file:
            mine = [cause for cause, touched in causes if (move.key, move.what) in touched]
            for cause in mine or [Cause(AIRCRAFT, "several values of the aircraft file changed together")]:
                found.moved.append((move, found._add(cause)))
        found.notes += [move.sentence for move in sources_moved(then, now)]


Touched = set[tuple[str, str]]


def _causes(sheet: Sheet, then: list[Finding], file_then: str, file_now: str) -> Iterator[tuple[Cause, Touched]]:
    """Each changed value of the file that alone moves something, with what it moves."""
    old, new = (tables_of(Path(AIRCRAFT_FILE), text) for text in (file_then, file_now))
    for table in sorted(old.keys() | new.keys()):
        if old.get(table) == new.get(table) or table in ("milestones", "aircraft"):
            continue
        values = list(_changed(old.get(table), new.get(table), (table,)))
        if len(values) > MOST_VALUES:
            values = [((table,), old.get(table), new.get(table))]
        alone = False
        for place, _, now in values:
            touched = _touched(sheet, then, old, place, now)
            if touched:
                alone = True
                yield _cause(old, place, now, touched), touched
        if not alone and (touched := _touched(sheet, then, old, (table,), new.get(table))):
            word = INSTRUMENT if table == "instruments" else AIRCRAFT
            yield Cause(word, f"[{table}] changed"), touched


def _changed(old: Any, new: Any, place: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], Any, Any]]:
    """(place, old, new) of each value that differs; a limit's inline table and a list are one value."""
    if old == new:
        return
    if isinstance(old, dict) and isinstance(new, dict) and not _is_limit(old) and not _is_limit(new):
        for key in [*old, *(key for key in new if key not in old)]:
            yield from _changed(old.get(key), new.get(key), (*place, key))
    else:
        yield place, old, new


def _is_limit(value: Mapping[str, Any]) -> bool:
    return "source" in value and value.keys() <= {"low", "high", "source"}


def _touched(sheet: Sheet, then: list[Finding], old: dict[str, Any], place: tuple[str, ...], value: Any) -> Touched:
    """What moves when only this value of the old file is today's."""
    from rotorkit.aircraft.model import Aircraft

    changed = copy.deepcopy(old)
    table = changed
    for name in place[:-1]:
        table = table.setdefault(name, {})
    if value is None:
        table.pop(place[-1], None)
    else:
        table[place[-1]] = value
    try:
        return {(move.key, move.what) for move in moves(then, sheet.work(Aircraft.model_validate(changed)).findings)}
    except (ValidationError, *WORKING):
        return set()  # this value only fits together with others that changed


def _at(table: Any, place: tuple[str, ...]) -> Any:
    for name in place:
        table = table.get(name) if isinstance(table, dict) else None
    return table


def _cause(old: dict[str, Any], place: tuple[str, ...], now: Any, touched: Touched) -> Cause:
    was = _at(old, place)
    if place[0] == "instruments" and len(place) == 3:
        title = str(_at(old, (*place[:2], "title")) or place[1])
        return _instrument_cause(title, place[2], was, now)
    parts = {what for _, what in touched}
    word = INSTRUMENT if place[0] == "instruments" else LIMITS if parts <= {LIMIT, LIMIT_SOURCE, VERDICT} else AIRCRAFT
    where = f"[{'.'.join(place[:-1])}] {place[-1]}" if len(place) > 1 else f"[{place[0]}]"
    return Cause(word, f"{where} was {_said(was)}, now {_said(now)}")


def _instrument_cause(title: str, name: str, was: Any, now: Any) -> Cause:
    what = f"{title}: its {OF_INSTRUMENT.get(name, name)}"
    if isinstance(was, list) or isinstance(now, list):
        return Cause(INSTRUMENT, f"{what} changed")
    return Cause(INSTRUMENT, f"{what} was {was or 'not given'}, now {now or 'not given'}")


def _said(value: Any) -> str:
    if value is None:
        return "not given"
    if isinstance(value, dict):
        if not _is_limit(value):
            return "another table"
        sides = [f"{side} {value[side]}" for side in ("low", "high") if side in value]
        return f"{', '.join(sides)} ({value['source']})"
    text = str(value)
    return text if len(text) <= LONGEST_VALUE else text[:LONGEST_VALUE] + " …"


def _instruments(found: Rework, now: Aircraft, today: date) -> None:
    """What became of the instruments that the readings were taken with."""
    saved_on = found.entry.local.date()
    for used in found.entry.instruments:
        instrument = now.instruments.get(used.key)
        if instrument is None:
            found._add(Cause(INSTRUMENT, f"{used.title} is no longer in the aircraft file"))
            continue
        current = instrument_dump(instrument)
        for name in ("serial", "measures", "uncertainty", "shared", "stated_as"):
            if current[name] != getattr(used, name):
                cause = _instrument_cause(used.title, name, getattr(used, name), current[name])
                if name in ANOTHER:
                    found._add(cause)
                elif cause not in found.causes:
                    found.notes.append(f"{cause.sentence}; no figure moved")
        if current["calibrated"] != used.calibrated:
            given = f"was calibrated {used.calibrated}" if used.calibrated else "had no calibration date"
            today_is = current["calibrated"] or "none is given"
            found._add(Cause(INSTRUMENT, f"{used.title} {given} when this was saved, now {today_is}"))
        elif used.due is not None and date.fromisoformat(used.due) < saved_on:
            found._add(Cause(OVERDUE, f"the calibration of {used.title} was due on {used.due}, before this was saved"))
        elif instrument.due is not None and instrument.due < today:
            found._add(Cause(OVERDUE, f"the calibration of {used.title} has been due since {instrument.due}"))
        if current["title"] != used.title:
            found.notes.append(f"{used.title} is called {current['title']} now")


def _one_line(problem: Exception) -> str:
    return "; ".join(str(problem).splitlines())
