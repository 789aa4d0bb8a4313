"""Home: what is next on the aircraft, every job one click from its form, and what must be looked at again.

The page keeps itself current: every few seconds it looks whether a file of the folder has changed, and only then works
anything again.
"""

from __future__ import annotations

import threading
from collections import Counter
from collections.abc import Callable, Collection, Iterable, Sequence
from pathlib import Path

from rotorkit.aircraft import AircraftFileError
from rotorkit.aircraft.said import places_in_words
from rotorkit.edges.visible import in_a_line
from rotorkit.folder.checks import Folder
from rotorkit.folder.drafts import Draft, DraftError, Drafts
from rotorkit.folder.standing import RECORD
from rotorkit.folder.workings import Workings
from rotorkit.judging.limits import OUT_OF_LIMITS
from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.later import Later
from rotorkit.notebook.layout import boxed
from rotorkit.notebook.parts import put
from rotorkit.notebook.sections import title_of
from rotorkit.notebook.style import STYLE
from rotorkit.notebook.unwritten import FOR_A_JOB, places_of
from rotorkit.notebook.watching import Watching
from rotorkit.quantities import use_display
from rotorkit.record import (
    NOT_THE_WHOLE_LIST,
    STALE,
    USUAL,
    Board,
    BoardRow,
    MilestoneBoard,
    RecordError,
    SavedEntry,
    board,
)
from rotorkit.record.stands import standings, standings_in_part
from rotorkit.sheets.base import Sheet, SheetError
from rotorkit.sheets.catalogue import sheets_in_order, subject_of
from rotorkit.sources import cautions

MOST_LISTED = 8
"""So many checks of one job are listed; its form has them all."""
SHORT_CAUTIONS = (cautions.MANUAL_GOVERNS, cautions.AN_AID, cautions.ENGINE_OFF, cautions.TURNING_ROTORS)

MEND = (
    "<p>Fix the line named above: double-click the file in the list on the left, change it, and save it with Ctrl "
    "and S. This page then updates itself.</p>"
)

WORKINGS = Workings()
"""What the pages of this kernel worked: after a save only what was saved is worked again."""
Listed = tuple[str, str, str]
"""A check's name, its title, and how it stands in words."""


class Current(Watching):
    """A page about a working folder that is kept current. box: the widget; `look` shows it again where a file has
    changed, and `watch` does so every few seconds from then on.

    Arguments: page, what makes its HTML; folder (default: the nearest working folder).
    """

    def __init__(self, page: Callable[[Folder], str], folder: Folder | Path | str | None = None) -> None:
        found = Folder.here() if folder is None else folder
        self.page = page
        self.path = found.path if isinstance(found, Folder) else Path(found)
        self.system = "us"
        self._lock = threading.RLock()
        self._later = Later(self._guard)
        self.shown = widgets.HTML()
        self.box = boxed([widgets.HTML(STYLE), self.shown], "rotorkit-form", "rotorkit-home", upright=True)
        self.look()

    @property
    def watched(self) -> Path:
        return self.path

    def _changed_since(self, changed: Collection[str]) -> None:
        put(self.shown, pages.framed(self._told(Folder(self.path))))

    def _told(self, folder: Folder) -> str:
        try:
            use_display(folder.aircraft.aircraft.display)
            _ = folder.checks
        except (AircraftFileError, SheetError) as problem:
            return words.wrong(str(problem), "The folder's files cannot be read yet.") + MEND
        return self.page(folder)

    def _tell_fault(self, fault: Exception) -> None:
        put(self.shown, pages.framed(words.fault(fault)))

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.box)
        self.watch()


def home_page(folder: Folder | Path | str | None = None) -> Current:
    """The page to begin with: the aircraft, what is next with how it stands, and every job by subject. It keeps itself
    current, and says what is wrong where a file cannot be read."""
    return Current(home_html, folder)


def your_aircraft(folder: Folder | Path | str | None = None) -> Current:
    """The aircraft with its instruments, and what in its file does not fit together, kept current."""
    return Current(lambda found: pages.aircraft_page(found.aircraft).html, folder)


def every_check(folder: Folder | Path | str | None = None) -> Current:
    """Every check with its verdicts and figures, kept current."""
    return Current(lambda found: pages.folder_page(found, WORKINGS).html, folder)


def home_html(folder: Folder) -> str:
    """What stands on the page to begin with, as HTML. Raises `AircraftFileError` where the folder cannot be read."""
    aircraft = folder.aircraft
    serial = f", serial {words.escape(aircraft.aircraft.serial)}" if aircraft.aircraft.serial else ""
    figures = words.opens("aircraft", None, "its figures")
    head = f"<p><b>{words.escape(aircraft.aircraft.name)}</b>{serial} ({figures})</p>"
    if folder.is_demo:
        head += words.note("This is the demo inside the program: nothing can be saved here.")
    try:
        found = board(folder, workings=WORKINGS)
    except RecordError as problem:
        return head + words.wrong(str(problem), "The record cannot be read.") + _jobs(folder, None) + _short_cautions()
    head += _unwritten(folder)
    parts = [head, _damage(found), _next(found), _again(found), _jobs(folder, found), _later_on(found)]
    return "".join([*parts, _short_cautions()])


def _unwritten(folder: Folder) -> str:
    """Which figures of the aircraft were typed and are not in its file yet."""
    places = [place for place in places_of(drafts_of(folder)) if not place.startswith(FOR_A_JOB)]
    if not places:
        return ""
    named = ", ".join(title_of(place, folder.aircraft) for place in places)
    said = f"You typed figures of your aircraft that are not in its file yet ({words.escape(named)}): "
    return f'<p class="rotorkit-note">{said}{words.opens("aircraft", None, "write them")}.</p>'


def _damage(found: Board) -> str:
    if not found.faults:
        return ""
    told = "".join(words.wrong(f"{words.capital(fault)}.") for fault in found.faults[: pages.MOST_TOLD])
    return words.wrong(found.sentence, "The record is not as it was saved.") + told


def _next(found: Board) -> str:
    """The next milestone: its open jobs first, then those that are done."""
    coming = found.next
    if coming is None:
        return "<h2>Next</h2><p>Every milestone has been reached.</p>"
    rows = [*coming.open, *(row for row in coming.rows if row.done)]
    hint = words.hint(f"{USUAL} {NOT_THE_WHOLE_LIST}" if found.usual else NOT_THE_WHOLE_LIST)
    return f"<h2>Next</h2>{_table(coming.sentence, rows)}{hint}"


def _table(caption: str, rows: Iterable[BoardRow]) -> str:
    """Jobs with their links, how they stand, and what to do."""
    heads = ("Job", "Status", "What to do")
    body = []
    for row in rows:
        told = [*row.causes, *([row.todo] if row.todo else []), *row.notes]
        body.append((_link(row) + words.hint(row.why), words.word_of(row), words.sentences(told)))
    return words.table(caption, heads, body, raw=(0, 1, 2))


def _link(row: BoardRow) -> str:
    known = row.entry is not None or row.check
    if not row.sheet:
        return words.escape(row.job)
    return words.opens(row.sheet, row.check if known else "", row.job, "" if known else row.of)


def _again(found: Board) -> str:
    """What is out of limits, or must be looked at again, in any other milestone or in none."""
    coming = found.next
    others = [row for milestone, row in found.rows if milestone is not coming and row.word in (OUT_OF_LIMITS, STALE)]
    rows = {(row.sheet, row.check, row.job): row for row in [*others, *found.besides]}
    if not rows:
        return ""
    return "<h2>Out of limits, or to be looked at again</h2>" + _table("In other milestones, or in none", rows.values())


def _later_on(found: Board) -> str:
    """The other milestones, folded away."""
    others = [milestone for milestone in found.milestones if milestone is not found.next]
    if not others:
        return ""
    return "<h2>Other milestones</h2>" + "".join(map(_folded, others))


def _folded(milestone: MilestoneBoard) -> str:
    said = words.escape(milestone.sentence)
    return f"<details><summary>{said}</summary>{_table(milestone.title, milestone.rows)}</details>"


def _jobs(folder: Folder, found: Board | None) -> str:
    """Every job by subject: its checks with how they stand, and a new one of its kind."""
    stands, more = _checks_of(folder, found)
    parts, subject = ["<h2>Every job</h2>"], ""
    rows: list[Sequence[str]] = []
    for sheet in sheets_in_order():
        if subject_of(sheet) != subject:
            parts.append(_subject(subject, rows))
            subject, rows = subject_of(sheet), []
        there = stands.get(sheet.name, [])
        listed = [f"{words.opens(sheet.name, name, title)}: {words.escape(said)}" for name, title, said in there]
        others = more[sheet.name] + max(len(listed) - MOST_LISTED, 0)
        if others:
            listed = [*listed[:MOST_LISTED], f"and {others:,} more, in the list at the form's top"]
        begin = words.opens(sheet.name, "", "Start a new one")
        rows.append(
            (
                words.opens(sheet.name, None, sheet.about.title),
                ("<br>".join(listed) or "none yet") + _waits(sheet, folder),
                begin,
            )
        )
    return "".join([*parts, _subject(subject, rows)])


def _waits(sheet: type[Sheet], folder: Folder) -> str:
    """What a job lacks of the aircraft's figures; its form asks for them too."""
    lacking = sheet.figures_lacking(sheet.picked_in({}, folder.aircraft), folder.aircraft)
    return words.hint(f"It is waiting for figures of your aircraft: {places_in_words(lacking)}.") if lacking else ""


def _subject(subject: str, rows: Sequence[Sequence[str]]) -> str:
    if not rows:
        return ""
    return words.table(words.capital(subject), ("Job", "Your checks", "Another"), rows, raw=(0, 1, 2))


def _checks_of(folder: Folder, found: Board | None) -> tuple[dict[str, list[Listed]], Counter[str]]:
    """The folder's checks by sheet, each with the readings that stand for it, as many as are shown; and how many others
    there are. How a saved one stands is the board's word where it is on the board, else the verdict as saved."""
    words_of = {} if found is None else {row.check: row.word for _, row in found.rows if row.entry is not None}
    listed: dict[str, list[Listed]] = {}
    try:
        standing, more = standings_in_part(folder, MOST_LISTED)
    except RecordError:
        standing, more = standings(folder, entries={}), Counter()
    for stands in standing.values():
        name = stands.check
        said = stands.own_sentence.rstrip(".")
        if isinstance(entry := stands.saved, SavedEntry):
            word = f"{words_of.get(name) or f'{entry.word} when saved'} (entry {entry.number})"
            said = word if stands.source == RECORD else f"{said}; {word}"
        listed.setdefault(stands.sheet, []).append((name, stands.title, in_a_line(said[:1].lower() + said[1:])))
    for draft in drafts_of(folder):
        if not draft.check:
            listed.setdefault(draft.sheet, []).append(("", "A new check", f"your draft of {draft.when}, not saved"))
    return listed, more


def drafts_of(folder: Folder) -> list[Draft]:
    """What stands in forms and is not saved; none where it cannot be read, which the form tells."""
    try:
        return Drafts(None if folder.is_demo else folder.path).all()
    except DraftError:
        return []


def _short_cautions() -> str:
    return f"<h2>Cautions</h2>{words.listed(SHORT_CAUTIONS)}"
