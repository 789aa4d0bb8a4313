"""The verdict table of a working folder, as plain text: every check, its figures, limits and verdicts.

Plain text reads the same in a terminal, in a pipe and aloud; no colour carries a meaning. One check that cannot be
worked is a row that says why, and the others are worked all the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextvars import copy_context
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING

from rotorkit.aircraft.said import short_places
from rotorkit.cli.lines import filled, item, lines_of, within
from rotorkit.edges import clock
from rotorkit.edges.program import typed
from rotorkit.folder.checks import READINGS_FILE, Check, Folder
from rotorkit.folder.standing import DRAFT, NOTHING, READINGS, RECORD
from rotorkit.folder.workings import Workings
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE, WORDS
from rotorkit.quantities import display, display_system, use_display
from rotorkit.record import Record, RecordError, SavedEntry, standings
from rotorkit.sheets.base import Finding, SheetError
from rotorkit.sheets.catalogue import sheet_type
from rotorkit.sources import cautions

if TYPE_CHECKING:
    from rotorkit.aircraft import Aircraft


EVERY = "--every-figure"
NOT_AS_SAVED, UNREAD, NOT_STANDING = "not as it was saved", "cannot be read", "readings file, not what stands"
STATES = (RECORD, DRAFT, READINGS, NOTHING, NOT_STANDING, NOT_AS_SAVED, UNREAD)
"""Where the readings stand that a check is worked with, or what is wrong with its entry."""
UNNAMED = "(a check without a name)"
HEADINGS = ("figure", "value", "limit (source)", "verdict")
LEGEND = (
    "The figure after ± is the expanded uncertainty (k = 2, about 95 %). A figure is in limits when all of value "
    "± uncertainty lies inside the limit, out of limits when all of it lies outside, and otherwise too close to call."
)


@dataclass(frozen=True)
class Figure:
    """One row: the figure, its value with uncertainty, the limit with its source, the verdict, what would settle it.
    key: the figure's name, which never changes its meaning; against, source: the limit, and where it comes from; aside:
    told beside the judged ones."""

    title: str
    value: str
    limit: str
    verdict: str
    settle: str
    key: str = ""
    against: str = ""
    source: str = ""
    aside: bool = False


@dataclass
class CheckTable:
    """One check: its verdict's word, what is to be read before any figure, its rows, what else should be looked at,
    what kept it from being worked (or nothing), and which readings these are. warned, unsure: of what is to be read
    first that which physics does not allow, and that which says how little a figure is known. deciding: the figure that
    the verdict hangs on. to_do: what to do, or what can be done today, beside that. state: where the readings stand
    (`STATES`), "" in the demo inside the program; number: of the entry that stands for it."""

    title: str
    name: str = ""
    sheet: str = ""
    word: str = ""
    first: list[str] = field(default_factory=list)
    figures: list[Figure] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    problem: str = ""
    blank: bool = False
    kept: str = ""
    warned: list[str] = field(default_factory=list)
    unsure: list[str] = field(default_factory=list)
    deciding: Figure | None = None
    state: str = ""
    number: int | None = None
    to_do: str = ""


@dataclass
class Table:
    """A whole folder. look_at: what in the aircraft file does not fit together, and calibrations that have run out."""

    aircraft: str
    checks: list[CheckTable]
    look_at: list[str]

    def count(self, word: str) -> int:
        """How many figures have a verdict."""
        return sum(figure.verdict == word for check in self.checks for figure in check.figures)


def table_of(
    folder: Folder, today: date | None = None, only: str | None = None, workings: Workings | None = None
) -> Table:
    """Work every check of a folder, or only the one of a name, in the display of its aircraft file; the caller's
    display stays as it is. workings: what was worked of the same checks a moment ago.

    Raises `AircraftFileError` where a file cannot be read.
    """
    return copy_context().run(_table_of, folder, today, only, workings)


def table_of_check(folder: Folder, check: Check) -> Table:
    """The table of one check that need not be one of the folder's, worked with its aircraft file."""

    def one() -> Table:
        use_display(folder.aircraft.aircraft.display)
        return Table(folder.aircraft.aircraft.name, [_worked(check, folder.aircraft, None)], [])

    return copy_context().run(one)


def _table_of(folder: Folder, today: date | None, only: str | None, workings: Workings | None) -> Table:
    aircraft = folder.aircraft
    use_display(aircraft.aircraft.display)
    return Table(
        aircraft.aircraft.name + (f", serial {aircraft.aircraft.serial}" if aircraft.aircraft.serial else ""),
        _checks(folder, aircraft, only, workings),
        aircraft.inconsistencies() + _calibrations(aircraft, today or clock.today()),
    )


def _checks(folder: Folder, aircraft: Aircraft, only: str | None, workings: Workings | None) -> list[CheckTable]:
    """Each check with the readings that stand for it; where the readings file holds others, those worked too, so that
    nothing that was typed there goes unseen."""
    faults: dict[str, str] = {}
    entries: dict[str, SavedEntry] = {}
    unread = ""
    try:
        record = Record(folder)
        for name in record.checks():
            entry = record.last(name)
            if entry is not None and entry.fault:
                faults[name] = f"entry {entry.number} {entry.fault}"
            elif entry is not None:
                entries[name] = entry
    except RecordError:  # why is told where the status board would stand
        unread, entries = "what is saved was not looked at: the record cannot be read", {}
    stand = standings(folder, entries=entries)
    found = []
    for name in dict.fromkeys([*stand, *faults]):
        if only not in (None, name):
            continue
        one = stand.get(name)
        if one is None:  # the record alone knows it, and not as it was saved
            problem = f"{faults[name]}: nothing of it is shown"
            found.append(CheckTable(name.strip() or UNNAMED, name, problem=problem, state=NOT_AS_SAVED))
            continue
        kept = "" if folder.is_demo or one.source == NOTHING else unread or faults.get(name, "") or one.sentence
        state = "" if folder.is_demo else UNREAD if unread else NOT_AS_SAVED if name in faults else one.source
        number = one.saved.number if one.saved is not None else None
        found.append(replace(_worked(one.as_check, aircraft, workings), kept=kept, state=state, number=number))
        if one.file_not_standing and one.in_file is not None:
            title = f"{one.title}, as {READINGS_FILE} has it"
            kept = f"not saved, and not what stands: 'rotorkit record save {name}' saves it"
            found.append(replace(_worked(one.in_file, aircraft, workings), title=title, kept=kept, state=NOT_STANDING))
    return found


def _calibrations(aircraft: Aircraft, today: date) -> list[str]:
    return [
        f"{instrument.named}: its calibration was due on {instrument.due}"
        for instrument in aircraft.instruments.values()
        if instrument.due is not None and instrument.due < today
    ]


def _worked(check: Check, aircraft: Aircraft, workings: Workings | None) -> CheckTable:
    table = CheckTable(check.title.strip() or UNNAMED, check.name, check.sheet)
    try:
        if check.blank:
            table.blank = True
            sheet = sheet_type(check.sheet)
            if lacking := sheet.figures_lacking(sheet.picked_in(check.readings, aircraft), aircraft):
                table.notes = [f"it waits for {short_places(lacking)} in the aircraft file"]
            return table
        outcome = check.outcome(aircraft, workings)
    except SheetError as error:
        table.problem = "\n".join(_problem_in_words(*problem) for problem in error.problems)
        return table
    except MemoryError:  # no fault of this check
        raise
    except Exception as error:  # one faulty sheet must not hide the others
        table.problem = f"a fault in rotorkit itself: {type(error).__name__}: {error}"
        return table
    table.figures = [_figure(found) for found in outcome.findings]
    table.word, table.first = outcome.word, outcome.first
    table.warned, table.unsure, decides = outcome.warned, outcome.unsure, outcome.deciding
    table.deciding = None if decides is None else _figure(decides)
    table.to_do = outcome.to_do_after_first
    table.notes = outcome.remarks
    return table


def _figure(found: Finding) -> Figure:
    limit = found.verdict.limit
    given = limit is not None and not limit.open
    with display(found.system or display_system()):
        against = limit.text if limit is not None and given else ""
    source = limit.source if limit is not None and given else ""
    return Figure(*found.row(), found.verdict.settle, found.key, against, source, found.aside)


def _problem_in_words(path: str, message: str) -> str:
    """A field's path as one finds it in the readings file: rows are counted from one."""
    parts = [f"no. {int(part) + 1}" if part.isdigit() else part for part in path.split(".") if part]
    return f"{' '.join(parts)}: {message}" if parts else message


def table_text(table: Table, width: int = 80, every: bool = False) -> str:
    """The table as text of a given width, from 60 to 110 columns.

    every: with every figure; without, the figures to act on, and how many others there are.
    """
    width = within(width)
    parts = [filled(f"Verdicts for {table.aircraft}", width), filled(LEGEND, width)]
    for check in table.checks:
        parts.append(_check_text(check, width, every))
    if not table.checks:
        parts.append(f"No checks: {READINGS_FILE} is missing or empty.")
    if table.look_at:
        parts.append("\n".join(["To look at first:", *(item(sentence, width) for sentence in table.look_at)]))
    parts += [filled(_summary(table, every), width), filled(cautions.AN_AID, width)]
    return "\n\n".join(parts) + "\n"


def counted(table: Table, short: bool = False) -> str:
    """How many figures have which verdict, in a sentence. short: without those that nothing limits."""
    counts = {word: table.count(word) for word in (OUT_OF_LIMITS, TOO_CLOSE, IN_LIMITS, UNDONE, NO_LIMIT)}
    said = ", ".join(f"{count} {word}" for word, count in counts.items() if word not in (UNDONE, NO_LIMIT))
    if counts[UNDONE]:
        said += f", {counts[UNDONE]} with {UNDONE}"
    if counts[NO_LIMIT] and not short:
        said += f", {counts[NO_LIMIT]} with {NO_LIMIT}"
    return f"Figures in all: {said}."


def _summary(table: Table, every: bool) -> str:
    failed = [check.title for check in table.checks if check.problem]
    part = [check.title for check in table.checks if check.word == UNDONE]
    blank = [check.title for check in table.checks if check.blank]
    text = counted(table)
    if part:
        text += f" No verdict on the whole yet: {'; '.join(part)}."
    if failed:
        text += f" Could not be worked: {'; '.join(failed)}."
    if blank:
        text += f" No readings yet: {'; '.join(blank)}."
    if not every and any(check.figures for check in table.checks):
        text += f" Every figure: {typed('status')} {EVERY}."
    return text


def _widths(figures: list[Figure], width: int) -> tuple[int, int, int, int]:
    """The columns' widths: verdict and value as wide as they need, the rest shared by figure and limit."""
    verdict = max(len(word) for word in WORDS)
    value = max([len(HEADINGS[1]), *(len(figure.value) for figure in figures)])
    value = min(value, max(12, width - verdict - 6 - 2 * 16))
    rest = width - verdict - value - 6
    title = max([len(HEADINGS[0]), *(len(figure.title) for figure in figures)])
    limit = max([len(HEADINGS[2]), *(len(figure.limit) for figure in figures)])
    if title + limit > rest:
        title = min(title, max(rest // 2, rest - limit))
    return title, value, rest - title, verdict


def _to_act_on(figure: Figure) -> bool:
    return bool(figure.settle) or figure.verdict in (OUT_OF_LIMITS, TOO_CLOSE)


def check_text(checks: Sequence[CheckTable], width: int = 80) -> str:
    """One check whole: every figure, what to read first, notes, and which readings these are; others than those that
    stand after it."""
    width = within(width)
    parts = [_check_text(check, width, True) for check in checks]
    return "\n\n".join([*parts, filled(LEGEND, width), filled(cautions.AN_AID, width)]) + "\n"


def _check_text(check: CheckTable, width: int, every: bool) -> str:
    lines = lines_of(check.title + (f": {check.word}" if check.word else ""), width)
    lines.append("=" * max(map(len, lines)))
    lines += [filled(said, width) for said in check.first]
    if check.to_do and every:
        lines.append(filled(f"What to do: {check.to_do}", width))
    if check.blank:
        lines.append("No readings yet.")
    if check.problem:
        lines.append("This check could not be worked:")
        lines += [item(problem, width) for problem in check.problem.split("\n")]
    shown = [figure for figure in check.figures if every or _to_act_on(figure)]
    if shown:
        columns = _widths(shown, width)  # its own: a long value in one check makes no other's columns narrow
        lines += _row_lines(HEADINGS, columns)
        lines.append("  ".join("-" * column for column in columns))
        for figure in shown:
            lines += _row_lines((figure.title, figure.value, figure.limit, figure.verdict), columns)
            if figure.settle:
                lines.append(item(figure.settle, width, "    > "))
    if others := [figure.verdict for figure in check.figures if figure not in shown]:
        counts = [f"{others.count(word)} {word}" for word in (IN_LIMITS, UNDONE, NO_LIMIT) if word in others]
        lines.append(f"  {'other ' if shown else ''}figures: {', '.join(counts)}")
    lines += [item(note, width, "  note: ") for note in check.notes]
    if check.kept:
        lines.append(item(check.kept, width, "  readings: "))
    return "\n".join(lines)


def _row_lines(cells: tuple[str, str, str, str], columns: tuple[int, int, int, int]) -> list[str]:
    wrapped = [lines_of(cell, column) or [""] for cell, column in zip(cells, columns, strict=True)]
    height = max(len(cell) for cell in wrapped)
    lines = []
    for i in range(height):
        parts = [
            (cell[i] if i < len(cell) else "").ljust(column) for cell, column in zip(wrapped, columns, strict=True)
        ]
        lines.append("  ".join(parts).rstrip())
    return lines
