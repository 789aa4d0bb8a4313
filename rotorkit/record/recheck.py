"""Every saved check worked again with today's program, limits and instruments: what moved, and why."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date

from rotorkit.edges import clock
from rotorkit.folder.checks import Folder
from rotorkit.record.entry import SavedEntry
from rotorkit.record.rework import Rework, rework
from rotorkit.record.stands import standings
from rotorkit.record.store import Record
from rotorkit.record.verify import Verification, verify


@dataclass(frozen=True)
class RecheckRow:
    """One thing that moved, or a cause that moved nothing. what: "figure", "uncertainty", "limit", "verdict", or ""
    for a cause alone. was, now: in words. word: the kind of cause. cause: in words."""

    entry: SavedEntry
    figure: str
    what: str
    was: str
    now: str
    word: str
    cause: str

    @property
    def cells(self) -> tuple[str, str, str, str, str, str]:
        """Entry, check, what, was, now, cause: a row of a table."""
        figure = f"{self.figure}: {self.what}" if self.what else self.figure
        return str(self.entry.number), self.entry.check, figure, self.was, self.now, f"{self.word}: {self.cause}"


@dataclass
class Recheck:
    """The result. reworks: each entry worked again. faults: what is wrong with the record. besides: other readings that
    are kept for a saved check and were not worked, because they are not saved; a sentence each."""

    reworks: list[Rework] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    besides: list[str] = field(default_factory=list)

    @property
    def rows(self) -> list[RecheckRow]:
        """What moved, entry by entry."""
        found = []
        for again in self.reworks:
            told = set()
            for move, cause in again.moved:
                told.add(cause)
                found.append(
                    RecheckRow(again.entry, move.title, move.what, move.was, move.now, cause.word, cause.sentence)
                )
            found += [
                RecheckRow(again.entry, "", "", "", "", cause.word, cause.sentence)
                for cause in again.causes
                if cause not in told
            ]
        return found

    @property
    def sentence(self) -> str:
        """The result in words."""
        count, stale = len(self.reworks), [str(again.entry.number) for again in self.reworks if again.stale]
        if not count:
            return "The record has no entry to work out again."
        worked = "1 entry was worked again" if count == 1 else f"{count:,} entries were worked again"
        if not stale:
            return f"{worked}: every figure and verdict stands."
        which = f"entry {stale[0]} does" if len(stale) == 1 else f"entries {', '.join(stale)} do"
        return f"{worked}: {which} not stand as saved."


def recheck(
    folder: Folder,
    record: Record | None = None,
    *,
    everything: bool = False,
    today: date | None = None,
    progress: Callable[[int, int], None] | None = None,
    verification: Verification | None = None,
) -> Recheck:
    """Work saved entries again: what stands for each check, or with `everything` each entry, corrected ones included.

    Arguments: folder, with today's aircraft file; record, the folder's own where None; today, for calibration dates;
    progress, called with (entries done, of how many); verification, what `verify` has just found. Raises `RecordError`
    where record or aircraft file cannot be read.
    """
    record = record or Record(folder)
    verification = verification or verify(record)
    day, file_now = today or clock.today(), record.aircraft_text()
    entries = record.entries() if everything else record.last_of_each()
    files = {hash: record.file_text_or_none(hash) for hash in {entry.aircraft_file for entry in entries}}
    found = Recheck(faults=list(verification.faults))
    for done, entry in enumerate(entries, 1):
        untrue = verification.untrue_of(entry.number)
        found.reworks.append(rework(entry, files[entry.aircraft_file], file_now, day, untrue, record))
        if progress is not None:
            progress(done, len(entries))
    stand = standings(folder, entries={entry.check: entry for entry in entries})  # the last of each check stands
    found.besides = [
        f"{one.title}: {where[0].lower()}{where[1:]} holds other readings, which are not saved and were not worked"
        for one in stand.values()
        for where in one.others_not_saved
    ]
    return found
