"""What the record holds of a form's checks, and saving into it: all of it but the widgets.

Which readings stand for a check is decided in one place, `rotorkit.folder.standing`: here it is asked, and the form's
own draft is kept.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Collection, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.file import AIRCRAFT_FILE
from rotorkit.edges.program import typed
from rotorkit.folder.checks import Check, Folder
from rotorkit.folder.drafts import Draft, DraftError, Drafts, new_window
from rotorkit.folder.forms import as_typed, same_readings
from rotorkit.folder.standing import Standing, which_stands
from rotorkit.notebook.watching import file_state
from rotorkit.record import CHANGED, NEVER, NOTHING_SAVED, SAVED, Record, RecordError, SavedEntry, verify
from rotorkit.record.entry import first_form
from rotorkit.record.listing import Listed, last_of_each, listed
from rotorkit.record.taken import not_in_the_file, of_another, sources_of
from rotorkit.sheets.base import Outcome, Sheet

DEMO_IS_READ_ONLY = (
    "This is the demo inside the program. It is read-only and keeps no record: nothing can be saved here. Make a "
    f"folder of your own with '{typed('new DIR --demo')}' (or without --demo, for your own aircraft), and open the "
    "notebooks there."
)


NOT_SAVED_YET = (
    "Photographs belong to a saved check, and this one has no intact saved entry yet: save it first, with the button "
    "at the top of the form."
)


@dataclass(frozen=True)
class Trial:
    """What became of readings that were saved into a record made for the purpose. state: "saved" where they came back
    as they were; whole: whether that record checks as whole; word: the verdict that it keeps."""

    state: str
    whole: bool
    word: str


MOST_ASKED = 12
"""Of so many checks of other sheets, the newest, is it looked at what they have; and of so many entries of each."""


class Keeping:
    """The record as a form of one sheet sees it.

    `look` reads the record again if it has grown; `problem` says why it cannot be read, and is empty where it can;
    `damage` says what is wrong with a record that can be read, `untrue` why each entry is not what was saved.
    `draft` is what this form keeps unsaved, `draft_problem` why nothing can be kept, `elsewhere` that the same check
    stands in another window.
    """

    def __init__(self, folder: Folder, sheet: type[Sheet]) -> None:
        self.folder, self.sheet = folder, sheet
        self.record = Record(folder)
        self.problem = self.damage = ""
        self.untrue: dict[int, str] = {}
        self.stamp: tuple[int, str] = (-1, "")
        self._looked_at: tuple[int, ...] = ()
        self._last: dict[str, SavedEntry | None] = {}
        self._listed: list[Listed] | None = None
        self.drafts = Drafts(None if folder.is_demo else folder.path)
        self.window = new_window()
        self.draft: Draft | None = None
        self.draft_problem = self.elsewhere = ""
        self._taken_over: tuple[Draft, ...] = ()
        self._rests: tuple[object, list[tuple[bool, str]]] | None = None
        self.look()

    def look(self, grown_here: bool = False) -> None:
        """See whether the record has grown, in this notebook or in another, or its file is another although it has not.

        grown_here: whether this form has just saved into the file as it was looked at last: nothing but what it added
        is then another. All else is checked whole, since who alters an entry need not add one.
        """
        file = self._file()
        altered, self._looked_at = file != self._looked_at and not grown_here, file
        try:
            stamp, problem = self.record.head(), ""
        except RecordError as fault:
            stamp, problem = (-1, str(fault)), str(fault)
        if stamp != self.stamp or altered:
            before, self.stamp, self.problem = self.stamp, stamp, problem
            grown = self._grown_by_one(before) if before[0] >= 0 and not problem else None
            if grown is None or not grown_here:
                self._verify()
            if grown is None or self.damage or self.untrue or self.problem:
                self._last.clear()
                self._listed = None
            else:  # nothing else has changed
                self._last.pop(grown.check, None)
                if self._listed:
                    try:
                        self._listed = [*self._listed, *listed(self.record, self._listed[-1].number)]
                    except RecordError:  # told by who asks for the list
                        self._listed = None

    def _file(self) -> tuple[int, ...]:
        return file_state(self.record.path)

    def _grown_by_one(self, before: tuple[int, str]) -> SavedEntry | None:
        """The one sound entry by which the record is more than it was, found whole; None where it is not so."""
        number, head = self.stamp
        if number != before[0] + 1 or number < 2 or self.damage or self.untrue:
            return None
        try:
            entry = self.record.entry(number)
        except RecordError:
            return None
        follows = entry.sealed.previous == before[1] and entry.hash == head and not entry.fault
        return entry if follows else None

    def _verify(self) -> None:
        """Check the seals of the whole record: what is wrong with it is told in the form, and nothing of such an entry
        is shown. What an entry holds is looked at when it is shown (`sound`)."""
        self.untrue, self.damage = {}, ""
        if self.problem:
            return
        try:
            found = verify(self.record, contents=False)
        except RecordError as fault:
            self.problem = str(fault)
            return
        self.untrue = {number: found.untrue_of(number) for number in found.untrue}
        if not found.whole:
            self.damage = found.sentence

    def newest(self, check: str) -> int:
        """The number of the newest entry of a check, 0 where there is none or it cannot be told."""
        try:
            return self.record.newest(check) if check and not self.problem else 0
        except RecordError:
            return 0

    def sound(self, entry: SavedEntry) -> bool:
        """Whether an entry is what was saved."""
        return not entry.fault and entry.number not in self.untrue

    def last(self, check: str) -> SavedEntry | None:
        """What stands for a check in the record, or None; None also where the record cannot be read."""
        if check not in self._last and not self.problem:
            try:
                self._last[check] = self.record.last(check) if check else None
                if (entry := self._last[check]) is not None and not self.sound(entry):
                    self._last[check] = None  # nothing of it is shown or compared; `damage` tells of it
            except RecordError as fault:
                self._last[check] = None
                self.problem = str(fault)
        return self._last.get(check)

    def checks(self) -> list[Check]:
        """The checks of this sheet: those of the readings file, then those that only the record knows."""
        found = [one for one in self.folder.checks if one.sheet == self.sheet.name]
        known = {one.name for one in self.folder.checks}
        lasting = {name: row.number for name, row in self._of_sheet().items() if name not in known}
        self._read_together(lasting)
        for name in lasting:
            entry = self.last(name)
            if entry is not None and entry.sheet == self.sheet.name:
                found.append(Check(name, entry.title, entry.sheet, entry.readings))
        return found

    def _read_together(self, lasting: Mapping[str, int]) -> None:
        """Read what stands for many checks at once, by the numbers of their entries: each by itself takes as long to
        open the record."""
        wanted = {number: name for name, number in lasting.items() if name not in self._last}
        if self.problem or len(wanted) < 2:
            return
        with suppress(RecordError):  # told where one of them is asked for
            for entry in self.record.entries_of(wanted):
                self._last[wanted[entry.number]] = entry if self.sound(entry) else None

    # drafts

    def standing(self, check: str) -> Standing:
        """What stands for a check, with what else there is of it: the one rule."""
        return which_stands(
            check, self.sheet.name, saved=self.last(check), drafts=self._drafts(check), in_file=self.in_file(check)
        )

    def _drafts(self, check: str) -> list[Draft]:
        try:
            return self.drafts.of(self.sheet.name, check)
        except DraftError as problem:
            self.draft_problem = str(problem)
            return []

    def begin(self, standing: Standing) -> None:
        """Begin with what stands: a draft of a window that is gone, or of this program, is this form's from now on."""
        drafts = self._drafts(standing.check)
        self.draft = standing.draft_not_saved or standing.typed_alike
        self._taken_over = tuple(
            one for one in drafts if one == self.draft and not one.elsewhere and one.window != self.window
        )
        self._tell_elsewhere(drafts)

    def keep(self, check: str, typed: Mapping[str, Any], readings: Mapping[str, Any], system: str) -> None:
        """Keep what stands in the form as this window's draft. What cannot be kept is told, and nothing is raised."""
        there = self.draft
        if there is not None and (there.typed, there.check, there.window) == (typed, check, self.window):
            return  # it stands there already
        draft = Draft(self.sheet.name, check, typed, readings, system, self.window)
        try:
            self.draft = self.drafts.keep(draft, self._taken_over)
            self._taken_over, self.draft_problem = (), ""
        except DraftError as problem:
            self.draft_problem = str(problem)
            if problem.draft is not None:
                self.draft, self._taken_over = problem.draft, ()  # it waits, with what it was to replace

    def keep_again(self) -> None:
        """Try again what could not be done with the drafts: to read them, to write what waits."""
        try:
            self.drafts.write()
            self.drafts.all()
            self.draft_problem = ""
        except DraftError as problem:
            self.draft_problem = str(problem)

    def spelled(self, typed: Mapping[str, Any], now: Mapping[str, Any]) -> None:
        """Know the draft by how its readings are spelled in other units: it is kept as it was typed, and no newer."""
        if self.draft is not None and (self.draft.typed, self.draft.window) == (typed, self.window):
            self.draft = replace(self.draft, typed=now)

    def forget(self) -> None:
        """Throw this form's draft away: what it held is saved, or stands as it was loaded."""
        gone = [*self._taken_over, *([self.draft] if self.draft is not None and not self.draft.elsewhere else [])]
        self.draft, self._taken_over = None, ()
        if gone:
            try:
                self.drafts.drop(*gone)
                self.draft_problem = ""
            except DraftError as problem:
                self.draft_problem = str(problem)

    def look_elsewhere(self, check: str) -> None:
        """See whether the same check has been typed into in another window in the meantime."""
        if self.drafts.path is not None:
            self._tell_elsewhere(self._drafts(check))

    def _tell_elsewhere(self, drafts: list[Draft]) -> None:
        others = [one for one in drafts if one.window != self.window and one.elsewhere]
        self.elsewhere = ""
        if others:
            self.elsewhere = (
                f"This check is also open in another window, with unsaved typing from {others[0].when}. "
                "Both are "
                "kept; close one of them. To use what was typed there: Record, 'Start again from'."
            )

    def other_drafts(self, check: str) -> list[Draft]:
        """The drafts of a check other than the one that this form keeps, newest first."""
        return [one for one in self._drafts(check) if one != self.draft and one.window != self.window]

    def _names(self) -> list[str]:
        try:
            return [] if self.problem else self.record.checks()
        except RecordError as fault:
            self.problem = str(fault)
            return []

    def _of_sheet(self) -> dict[str, Listed]:
        """The checks that the record holds of this sheet, each with the entry that stands for it."""
        try:
            rows = [] if self.problem else self.listed()
        except RecordError as fault:
            self.problem = str(fault)
            return {}
        return {name: row for name, (row, _) in last_of_each(rows).items() if row.sheet == self.sheet.name}

    def of_sheets(self, sheets: Collection[str], but: str = "") -> dict[str, Standing]:
        """What stands for the checks of some sheets, all but one: of those that only the record knows the newest."""
        try:
            rows = [] if self.problem else self.listed()
            drafts = self.drafts.all()
        except (RecordError, DraftError):
            return {}
        in_file = {one.name: one for one in self.folder.checks if one.sheet in sheets}
        kept = sorted(
            ((last.number, name) for name, (last, _) in last_of_each(rows).items() if last.sheet in sheets),
            reverse=True,
        )
        found = {}
        for name in dict.fromkeys([*(name for _, name in kept[:MOST_ASKED]), *in_file]):
            if name == but:
                continue
            of = [one for one in drafts if one.check == name]
            found[name] = which_stands(name, saved=self.last(name), drafts=of, in_file=in_file.get(name))
        return found

    def of_another(self, sheet: Sheet) -> dict[str, str]:
        """What is wrong, by path, with readings that were taken from an entry on another rotor, cable or the like."""
        why = "read it here, or pick what it was read on"
        return {} if self.problem else {path: f"{said}: {why}" for path, said in of_another(sheet, self.record)}

    def rests(self, sheet: Sheet | None, aircraft: Aircraft) -> list[tuple[bool, str]]:
        """(whether it no longer rests on that, sentence) of what readings were taken from other entries, and of figures
        of the aircraft file that came from other checks, as far as there is something to say."""
        if sheet is None or self.problem or self.folder.is_demo:
            return []
        now = (self.stamp, self._looked_at, aircraft, sheet.readings())
        if self._rests is None or self._rests[0] != now:
            try:
                found = [*sources_of(sheet, self.record)]
                found += [(True, said) for said in not_in_the_file(sheet, aircraft, self.record)]
            except RecordError as problem:
                found = [(True, str(problem))]
            self._rests = now, found
        return self._rests[1]

    def past(self, check: str) -> list[SavedEntry]:
        """What stands of all that was saved of a check, the last of it."""
        try:
            return [one for one, _ in self.record.standing(check)[-MOST_ASKED:] if self.sound(one)]
        except RecordError:
            return []

    def done_on(self, sheets: Collection[str]) -> dict[int, date]:
        """The day of the work of each entry of some sheets that corrects another or adds photographs to it: that of the
        entry that it goes back to."""
        try:
            rows = [] if self.problem else self.listed()
            every = {one.number: one for one in rows if one.sheet in sheets}
            later = [one for one in every.values() if one.replaces is not None]
            return {one.number: self.record.entry(first_form(one, every).number).local.date() for one in later}
        except RecordError:
            return {}

    def listed(self) -> list[Listed]:
        """Every entry of the record as a list, read once for as long as the record is the same."""
        if self._listed is None:
            self._listed = listed(self.record)
        return self._listed

    def readings(self, check: str) -> tuple[int | None, Mapping[str, Any]] | None:
        """(number of the entry or None, readings) of what stands for a check besides drafts; None where there is
        nothing."""
        kept = which_stands(check, self.sheet.name, saved=self.last(check), in_file=self.in_file(check))
        if kept.saved is None and kept.in_file is None:
            return None
        return (kept.saved.number if kept.saved is not None else None), kept.readings

    def in_file(self, check: str) -> Check | None:
        """The check as the readings file has it, or None."""
        return next((one for one in self.folder.checks if one.name == check and one.sheet == self.sheet.name), None)

    def state(self, check: str, readings: Mapping[str, Any], loaded: tuple[int | None, Mapping[str, Any]]) -> str:
        """Whether readings are kept, in one of the record's words. loaded: the entry that the form was filled from, and
        what the form then held (a field may write a reading otherwise than it was typed)."""
        entry = self.last(check)
        if entry is None:
            return NEVER
        if entry.sheet != self.sheet.name:
            return CHANGED
        held = [entry.readings, *([loaded[1]] if loaded[0] == entry.number else [])]
        now = as_typed(readings)
        return SAVED if any(same_readings(entry.sheet, now, as_typed(one)) for one in held) else CHANGED

    def title(self, check: str) -> str:
        """The title to save under."""
        found = self.in_file(check)
        entry = self.last(check)
        return found.title if found is not None else entry.title if entry is not None else ""

    def new_name(self, title: str) -> str:
        """The name of a new check from its title. Raises `RecordError` where there is one of that name."""
        name = check_name(title)
        if not name:
            raise RecordError(
                f"Give the new check a name, for example 'Left pedal cable, after rigging'. {NOTHING_SAVED}"
            )
        if name in {one.name for one in self.folder.checks} or name in self._names():
            raise RecordError(
                f"There is a check called {name} already: choose it at the top of the form, or give this one a "
                f"different name. {NOTHING_SAVED}"
            )
        return name

    def save(
        self,
        check: str,
        title: str,
        sheet: Sheet,
        outcome: Outcome,
        who: str,
        note: str,
        replaces: int | None,
        why: str,
        after: int,
        by_hand: Mapping[str, str] | None = None,
    ) -> SavedEntry:
        """Save, and see the record as it is then. after: the newest entry of the check that was there when the form was
        filled; by_hand: figures worked by hand, by their keys. Raises `RecordError`."""
        if self.folder.is_demo:
            raise RecordError(f"{DEMO_IS_READ_ONLY} {NOTHING_SAVED}")
        try:
            text = self.record.aircraft_text()
        except RecordError as problem:
            raise RecordError(f"{problem} {NOTHING_SAVED}") from None
        as_looked_at = self._file() == self._looked_at
        try:
            return self.record.save(check, sheet, outcome, text, who, note, replaces, why, title, after, by_hand)
        finally:
            self.look(grown_here=as_looked_at)

    def attach(self, check: str, photographs: Sequence[Path | tuple[str, bytes]], who: str) -> SavedEntry:
        """Attach photographs to the entry that stands for a check, and see the record as it is then. Raises
        `RecordError`."""
        if self.folder.is_demo:
            raise RecordError(f"{DEMO_IS_READ_ONLY} {NOTHING_SAVED}")
        self.look()
        if self.problem:
            raise RecordError(f"{self.problem} {NOTHING_SAVED}")
        entry = self.last(check)
        if entry is None or entry.sheet != self.sheet.name:
            raise RecordError(f"{NOT_SAVED_YET} {NOTHING_SAVED}")
        try:
            return self.record.attach(entry.number, photographs, who)
        finally:
            self.look()

    def try_saving(self, sheet: Sheet, outcome: Outcome) -> Trial:
        """Save what stands in the form into a folder that is made for it and thrown away, and read it back. The
        builder's own record is not touched. Raises `RecordError`."""
        with tempfile.TemporaryDirectory(prefix="rotorkit-") as made:
            shutil.copyfile(self.folder.path / AIRCRAFT_FILE, Path(made) / AIRCRAFT_FILE)
            record = Record(made)
            record.save("trial", sheet, outcome, record.aircraft_text(), "a trial")
            again = Record(made)
            entry = again.last("trial")
            assert entry is not None
            return Trial(again.state("trial", sheet.readings(), entry.sheet), verify(again).whole, entry.outcome.word)


def check_name(title: str) -> str:
    """A check's name from its title: lower-case letters and digits, separated by underscores.

    >>> check_name("Left pedal cable, after rigging")
    'left_pedal_cable_after_rigging'
    """
    return "_".join("".join(letter if letter.isalnum() else " " for letter in title.lower()).split())
