"""The status board: which jobs the aircraft still needs before each milestone, and how each stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING, Any

from rotorkit.aircraft.milestones import Need
from rotorkit.edges import clock
from rotorkit.folder.checks import Check, Folder
from rotorkit.folder.standing import Standing
from rotorkit.folder.workings import Workings
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.record.entry import SavedEntry
from rotorkit.record.listing import Listed, last_of_each, listed
from rotorkit.record.rework import Rework, rework
from rotorkit.record.snapshot import aircraft_of
from rotorkit.record.stands import standings
from rotorkit.record.store import Record
from rotorkit.record.verify import Verification, verify
from rotorkit.sheets.base import Sheet, SheetError
from rotorkit.sheets.catalogue import sheet_type
from rotorkit.sheets.parts_words import missing_words
from rotorkit.sheets.programme import programme

if TYPE_CHECKING:
    from rotorkit.aircraft import Aircraft


NEVER_DONE = "never done"
STALE = "stale"
WORDS = (IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE, UNDONE, NO_LIMIT, STALE, NEVER_DONE)
"""How a job stands: its last verdict in today's light, or that it must be looked at again, or that it was never
saved."""

DAMAGED = (
    "The record is not as it was saved. What is shown here may leave out what a missing or altered entry said: run "
    "'rotorkit record verify' first."
)

BESIDES = "Out of limits or stale, though no milestone waits for it"
NO_MILESTONE = "no milestone waits for it"
NOT_THE_WHOLE_LIST = (
    "The board holds only the jobs named in the aircraft file (or the usual ones), each as it was saved. It is "
    "neither the kit maker's list nor the inspector's, and it releases nothing."
)

USUAL = "The aircraft file names no milestones of its own: these are the usual ones (common practice, no source)."


@dataclass(frozen=True)
class BoardRow:
    """One job of one milestone.

    job: its title in words. why: the reason it is needed. word: one of `WORDS`. verdict: the verdict as saved, "" where
    never done. causes: why it is stale, in words. notes: what to know besides. entry: what stands for it, or None.
    missing: the parts of the job that are not there. waiting: whether readings of it, in a draft or in the readings
    file, wait only to be saved.
    check, sheet: names, to open the right form by; check is "" where no check of that name or sheet is known yet;
    of: which rotor or cable that one is to be of.
    """

    job: str
    why: str
    word: str
    verdict: str = ""
    causes: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    entry: SavedEntry | None = None
    check: str = ""
    sheet: str = ""
    missing: tuple[str, ...] = ()
    waiting: bool = False
    of: str = ""

    @property
    def done(self) -> bool:
        """Whether the job is done, in limits, and still stands."""
        return self.word == IN_LIMITS

    @property
    def sentence(self) -> str:
        """How the job stands, in one sentence with its causes."""
        said = self.word
        if self.entry is not None:
            said += f" (entry {self.entry.number}, {self.entry.local:%Y-%m-%d}"
            said += f", {self.verdict} when saved)" if self.word == STALE and self.verdict else ")"
        return said + (f": {'; '.join(self.causes)}" if self.causes else "")

    @property
    def todo(self) -> str:
        """What to do next, in words; empty where the job is done."""
        if self.word == STALE:
            return "open it, measure again wherever an instrument or a reading is in doubt, and save it again"
        if self.word == NEVER_DONE and self.waiting:
            return "open it, look its readings over, and save it"
        if self.word == UNDONE and self.missing:
            return missing_words(self.missing).rstrip(".")
        if self.entry is not None and self.word in (OUT_OF_LIMITS, TOO_CLOSE) and self.entry.outcome.told_to_do:
            return self.entry.outcome.to_do.rstrip(".")
        if self.entry is not None and self.word in (OUT_OF_LIMITS, TOO_CLOSE, UNDONE, NO_LIMIT):
            bearing = [f for f in self.entry.findings if f.verdict.word == self.word]
            settle = [f"{f.title}: {f.verdict.settle}" for f in bearing if f.verdict.settle or self.word != NO_LIMIT]
            if settle:
                return "; ".join(settle)
        return {
            UNDONE: "open it, finish what is missing, and save it",
            NO_LIMIT: "write its limits into the aircraft file, with the manual's page",
            NEVER_DONE: "do it and save it",
        }.get(self.word, "")

    @property
    def cells(self) -> tuple[str, str, str]:
        """Job, how it stands, why it is needed: a row of a table."""
        return self.job, self.sentence, self.why


@dataclass(frozen=True)
class MilestoneBoard:
    """One milestone with its jobs."""

    title: str
    rows: list[BoardRow]
    reached: date | None = None

    @property
    def open(self) -> list[BoardRow]:
        """The jobs that still need doing, mending or looking at."""
        return [row for row in self.rows if not row.done]

    @property
    def sentence(self) -> str:
        """The milestone in one sentence."""
        if self.reached is not None:
            return f"{self.title}: reached on {self.reached}"
        if not self.open:
            return f"{self.title}: the jobs listed here are in limits; the manual's own list still applies"
        count, of = len(self.open), len(self.rows)
        return f"{self.title}: {count} of {of} {'job needs' if of == 1 else 'jobs need'} work"


@dataclass(frozen=True)
class Board:
    """All milestones in order. usual: whether they are the usual ones, the aircraft file giving none. faults: what is
    wrong with the record. besides: saved checks that no milestone waits for, and that are out of limits or stale."""

    milestones: list[MilestoneBoard] = field(default_factory=list)
    usual: bool = False
    faults: tuple[str, ...] = ()
    besides: tuple[BoardRow, ...] = ()

    @property
    def next(self) -> MilestoneBoard | None:
        """The first milestone that is not behind."""
        return next((milestone for milestone in self.milestones if milestone.reached is None), None)

    @property
    def rows(self) -> list[tuple[MilestoneBoard, BoardRow]]:
        """Every job with its milestone."""
        return [(milestone, row) for milestone in self.milestones for row in milestone.rows]

    @property
    def stale(self) -> list[str]:
        """The checks that no longer stand as saved, whether a milestone needs them or not."""
        rows = [*(row for _, row in self.rows), *self.besides]
        return list(dict.fromkeys(row.check for row in rows if row.word == STALE))

    @property
    def sentence(self) -> str:
        """What comes next, in one sentence: a milestone stands on all that come before it and are not behind. Where the
        record is not as it was saved that comes first: an entry that is gone or altered may have said otherwise."""
        return f"{self.damaged} {self._next_in_words}".strip()

    @property
    def damaged(self) -> str:
        """That the record is not as it was saved, in a sentence; empty where it is."""
        return DAMAGED if self.faults else ""

    @property
    def _next_in_words(self) -> str:
        if self.next is None:
            return "Every milestone has been reached."
        if not self.next.open:
            return f"Next: {self.next.sentence}."
        jobs = "; ".join(f"{row.job}: {row.word}" for row in self.next.open)
        return f"Next: {self.next.sentence} ({jobs})."


def board(
    folder: Folder,
    record: Record | None = None,
    *,
    today: date | None = None,
    reworks: Iterable[Rework] = (),
    progress: Callable[[int, int], None] | None = None,
    verification: Verification | None = None,
    workings: Workings | None = None,
) -> Board:
    """The status board of a working folder.

    Arguments: folder, with today's aircraft file and its checks; record, the folder's own where None; today, for
    calibration dates; reworks, what `recheck` has just found of the same folder and day (`Recheck.reworks`), so that
    nothing is worked twice; progress, called with (checks worked again, of how many); verification, what `verify` has
    just found of the record; else its seals are looked at, and the contents of the entries that count; workings, what
    was worked of the same checks a moment ago, which is taken, and to which is added.
    Raises `RecordError` or `AircraftFileError` where record or file cannot be read.
    """
    record = record or Record(folder)
    verification = verification or verify(record, contents=False)
    file_now = record.aircraft_text()
    aircraft = aircraft_of(file_now)
    day = today or clock.today()
    checks = {check.name: check for check in folder.checks}
    last = last_of_each(listed(record))
    known = {name: row for name, (row, _) in last.items()}
    found = [(m, [(need, _checks_for(need, checks, known)) for need in m.needs]) for m in programme(aircraft)]
    # of the checks that serve a need the one counts whose work was done last: a correction does not make it newer
    counts = {id(need): _latest(names, last) for _, needs in found for need, names in needs}
    entries = {name: record.entry(last[name][0].number) for name in last}
    stand = standings(folder, entries=entries)
    known_already = {again.entry.hash: again for again in reworks}
    worked: dict[str, Rework] = {}
    names = list(dict.fromkeys([*(name for name in counts.values() if name), *last]))  # those of no milestone come last
    for done, name in enumerate(names, 1):
        entry = entries[name]
        then, untrue = record.file_text_or_none(entry.aircraft_file), verification.untrue_of(entry.number)
        worked[name] = known_already.get(entry.hash) or rework(entry, then, file_now, day, untrue, record, workings)
        if progress is not None:
            progress(done, len(names))
    milestones = []
    for m, needs in found:
        rows = [
            _row(need, worked[name], aircraft, stand)
            if (name := counts[id(need)])
            else _never(need, known, checks, aircraft, stand)
            for need, known in needs
        ]
        milestones.append(MilestoneBoard(m.title, rows, m.reached))
    besides = [
        _row(Need(check=name, why=NO_MILESTONE), worked[name], aircraft, stand)
        for name in last
        if name not in counts.values()
    ]
    inside = [  # what an entry holds is looked at where it counts
        f"entry {entry.number} {entry.fault}"
        for entry in entries.values()
        if entry.fault and entry.number not in verification.beside
    ]
    told = tuple(row for row in besides if row.word in (OUT_OF_LIMITS, STALE))
    return Board(milestones, not aircraft.milestones, (*verification.faults, *inside), told)


def _latest(known: list[str], last: dict[str, tuple[Listed, Listed]]) -> str:
    """Of some checks the one that was done last; "" where none was ever saved."""
    return max((name for name in known if name in last), key=lambda name: last[name][1].number, default="")


def _row(need: Need, again: Rework, aircraft: Aircraft, stand: Mapping[str, Standing]) -> BoardRow:
    entry = again.entry
    if again.untrue:  # nothing of it is shown: its title and its verdict may be another's
        told = tuple(f"{cause.word}: {cause.sentence}" for cause in again.causes)
        title = _title(need, aircraft)
        return BoardRow(title, need.why, STALE, "", told, (), entry, entry.check, need.sheet)
    notes = list(again.notes)
    if again.outcome is not None:
        counted = [f for f in again.outcome.findings if not f.aside]
        bare = [f.title for f in counted if f.verdict.word == NO_LIMIT]
        notes = [*again.outcome.lead, *notes]
        if again.outcome.missing and again.word != UNDONE:  # else it is what there is to do
            notes.append(missing_words(again.outcome.missing).rstrip("."))
        if undone := [f.title for f in counted if f.verdict.undone]:
            notes.append(f"no verdict yet on {', '.join(undone)}: something has still to be done")
        if bare:
            notes.append(f"no limit given for {', '.join(bare)}: write it into the aircraft file")
    notes += stand[entry.check].not_proved if entry.check in stand else []
    return BoardRow(
        entry.title,
        need.why,
        STALE if again.stale else again.word,
        entry.word,
        tuple(f"{cause.word}: {cause.sentence}" for cause in again.causes),
        tuple(notes),
        entry,
        entry.check,
        entry.sheet,
        tuple(again.outcome.missing) if again.outcome is not None else (),
    )


def _checks_for(need: Need, checks: dict[str, Check], entries: dict[str, Listed]) -> list[str]:
    """The names of the checks that serve a need, of the record and of the readings file."""
    if need.check:
        return [need.check] if need.check in checks or need.check in entries else []
    found = []
    for name in dict.fromkeys([*entries, *checks]):
        check: Check | Listed = entries[name] if name in entries else checks[name]
        if not check.sheet and name in checks:  # an entry that cannot be read; the file may know of what it was
            check = checks[name]
        sheet, readings = check.sheet, check.readings
        if sheet == need.sheet and (not need.of or need.of in _what_of(sheet, readings)):
            found.append(name)
    return found


def _what_of(sheet: str, readings: Mapping[str, Any]) -> list[str]:
    """What a check is of: the rotor or cable that its readings name."""
    try:
        kind: type[Sheet] = sheet_type(sheet)
    except SheetError:
        return []
    return [
        str(readings.get(one.name, ""))
        for one in kind.fields()
        if one.choice is not None and one.choice.of and one.choice.of != "instruments"
    ]


def _never(
    need: Need, known: list[str], checks: dict[str, Check], aircraft: Aircraft, stand: Mapping[str, Standing]
) -> BoardRow:
    notes = []
    check = next((name for name in known if name in checks), "")
    sheet = checks[check].sheet if check else need.sheet
    waiting = stand[check].not_proved if check else []
    if check:
        notes += waiting
    elif need.check:
        notes.append(f"no check is called {need.check} yet: is the name in the aircraft file the one you mean?")
    try:
        title = checks[check].title if check else _title(need, aircraft)
    except SheetError as problem:
        title = need.name
        notes.append(str(problem))
    return BoardRow(
        title,
        need.why,
        NEVER_DONE,
        notes=tuple(notes),
        check=check or need.check,
        sheet=sheet,
        waiting=bool(waiting),
        of=need.of,
    )


def _title(need: Need, aircraft: Aircraft) -> str:
    if need.check:
        return need.check.replace("_", " ")
    kind: type[Sheet] = sheet_type(need.sheet)
    if not need.of:
        return kind.about.title
    named = [
        aircraft.choices(one.choice.of)[need.of]
        for one in kind.fields()
        if one.choice is not None and one.choice.of and need.of in aircraft.choices(one.choice.of)
    ]
    return f"{kind.about.title}: {named[0] if named else need.of}"
