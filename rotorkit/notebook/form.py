"""The one form: it shows any sheet, from what the sheet says of itself.

Fields take what is typed; a verdict is shown only for the readings that stand on the screen. While a reading is being
typed the verdict is out of sight; Enter, or a pause, works the sheet again; where a reading cannot be taken the verdict
is gone and the field says why. An error that nobody foresaw becomes a plain sentence on the page, and is kept in
`fault`.
"""

from __future__ import annotations

import functools
import inspect
import math
import threading
from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from rotorkit.aircraft import Aircraft, AircraftFileError
from rotorkit.aircraft.file import AIRCRAFT_FILE, aircraft_of, text_of
from rotorkit.edges import clock
from rotorkit.folder.checks import READINGS_FILE, Folder
from rotorkit.folder.drafts import Draft
from rotorkit.folder.offers import DAY, Offer, figures_offered, sheets_asked
from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.asking import FiguresBox, JobAsks
from rotorkit.notebook.chooser import CheckChooser
from rotorkit.notebook.closing import close_all
from rotorkit.notebook.fields import FieldBox
from rotorkit.notebook.keeping import DEMO_IS_READ_ONLY, Keeping, Trial
from rotorkit.notebook.later import Later, can_wait
from rotorkit.notebook.layout import boxed, lines_of, make_room, titles_of
from rotorkit.notebook.limits_part import LimitsPart
from rotorkit.notebook.opened import Opened
from rotorkit.notebook.parts import HandPart, Part, put
from rotorkit.notebook.record_part import RecordPart
from rotorkit.notebook.rows import BESIDE_PICTURE, RowsBox
from rotorkit.notebook.shown import Shown, go_through
from rotorkit.notebook.style import STYLE
from rotorkit.notebook.taking import OffersBox
from rotorkit.notebook.typed import OTHER, for_field, has_lines, on_one_line
from rotorkit.notebook.watching import QUIET, TODAY, Watching, file_state
from rotorkit.pictures import draw
from rotorkit.quantities.taken_from import parted
from rotorkit.record import NOTHING_SAVED, SAVED, AircraftChangedError, NewerEntryError, RecordError, SavedEntry
from rotorkit.record.moves import moves
from rotorkit.sheets.base import Outcome, Sheet, SheetError
from rotorkit.sheets.catalogue import sheet_type

PAUSE = 0.6
"""Seconds without a key press after which a reading is taken without Enter."""
OVERTAKEN = 0.25
"""Enter may overtake the last key press on its way here: a text that comes this soon after it is taken at once."""
RUSH = 0.012
"""Where the last key press came this recently, another may be on its way: Enter waits as long for it."""
KEPT_WITHIN = 0.2
"""Seconds after a key press within which what stands in the form is kept as a draft, taken or not."""
KEPT_AGAIN = 2.0
"""Seconds after which it is tried again to keep what could not be kept."""
MOST_UNDONE = 50
FORGET = "Forget the recording"
"""The button that takes out what reading a file wrote."""
LIMITS = "Limits"
"""The button behind which the limits are typed in."""
IN_OTHER = {"us": "Metric units", "metric": "US units"}
"""What the button that changes the units says."""
SOON = 0.02
"""Seconds after what is quick to work has been shown until the rest is: the page has it by then, and a key comes in."""
AFTERWARDS = 0.4
"""Seconds after which the parts that are slower to show follow the verdict and the picture."""
PICTURE_WIDTH = 405
MANY_LINES = 7
"""So many single fields stand about as high as a picture: it stands beside them, above the rows, where it fits."""

BROAD = 810
"""A table that needs more room than this has none beside a picture on a laptop either."""

LINES_ABOVE = 4
"""So many single fields leave little empty beside the picture: rows that have no room there stand under both."""

AGAIN = "worked out again with it."
OLD_FILES = "A file cannot be read as it is now. What stands here was worked with it as it was before."
NO_LONGER = "Rests on what is no longer so:"
NEW_DAY = "A new day has begun: worked out again, with the calibration of the instruments as of today."
TYPING = "<p>You are typing: the verdict follows when you press Enter or pause.</p>"


class Form(Shown, Watching):
    """A form over a sheet of a working folder.

    Arguments: sheet, its name; folder, the working folder (default: the nearest one); check, the name of the check in
    the folder's readings to begin with (default: the first of this sheet).

    `outcome` is what the readings on the screen come to, or None; `unfinished` whether of these only what is quick to
    work is shown so far; `problems` what keeps them from being worked, by field path ("" for what is no single
    field's); `readings` the readings with their units; `set` types into a field;
    `load` puts other readings in; `on_change` is told after every working; `save` keeps them in the record; `attach`
    adds photographs to what was saved.
    """

    def __init__(self, sheet: str, folder: Folder | None = None, check: str | None = None) -> None:
        self.folder = self._followed = folder or Folder.here()
        self._seen = self._states()
        self.aircraft = self.folder.aircraft
        self.system = self.aircraft.aircraft.display
        self.sheet: type[Sheet] = sheet_type(sheet)
        self.outcome: Outcome | None = None
        self.worked_sheet: Sheet | None = None
        self.problems: dict[str, str] = {}
        self.fault: Exception | None = None
        self.typing = self.unfinished = False
        self._drawn: list[tuple[str, str]] = []
        self._typed_at = self._entered_at = -QUIET
        self._entered: FieldBox | None = None
        self._lock = threading.RLock()
        self._later = Later(self._guard)
        self._listeners: list[Callable[[Form], None]] = []
        self._parts: dict[str, Part] = {}
        self.keeping = Keeping(self.folder, self.sheet)
        self._checks = self.keeping.checks()
        self._undo: list[tuple[dict[str, Any], dict[str, str]]] = []
        self._unknown: dict[str, str] = {}
        self._newest = 0
        self._file_text = self._unread = self._news = ""
        self._file_state: tuple[int, ...] = ()
        self._loaded: tuple[int | None, Mapping[str, Any]] = (None, {})
        self._spelled: tuple[str, Mapping[str, Any], Mapping[str, Any]] | None = None
        self._came_for = ""
        self._told_of: tuple[object, ...] | None = None
        self._offers: list[Offer] = []
        self._rests: list[tuple[bool, str]] = []
        self._offered_for: tuple[Any, ...] = ()
        self.check = self._first(check)
        self._make_boxes()
        self.box = self._make_box()
        self.saved_by.children = [self.saving]
        self._begin(self.check)

    # what the form shows and is told

    @property
    def readings(self) -> dict[str, Any]:
        """The readings with their units, as a sheet and the record take them; what is empty is left out."""
        found: dict[str, Any] = {}
        for name, box in self._fields.items():
            if text := box.reading():
                found[name] = text
        for name, rows in self._rows.items():
            found[name] = rows.readings()
        return found

    @property
    def _values(self) -> dict[str, Any]:
        """The same as the sheet is made from it: what has been read already is not read again."""
        single = {name: value for name, box in self._fields.items() if (value := box.value()) != ""}
        return single | {name: rows.values() for name, rows in self._rows.items()}

    def set(self, path: str, text: str) -> None:
        """Type into a field ("temperature", "stations.0.reading") or pick a choice by its key, and have it taken."""
        with self._lock:
            box = self._box(path)
            for rows in self._rows.values():
                put(rows.pasted, "")
            if box.is_choice:
                box.put(text)
                self._chosen(box)
            elif has_lines(text) and box.on_pasted is not None:
                box.on_pasted(box, text)  # a column, as if it was pasted
            else:
                box.put(on_one_line(text) if has_lines(text) else text)
            self.work()

    def get(self, path: str) -> str:
        """What stands in a field."""
        return self._box(path).text

    def message(self, path: str) -> str:
        """What is said under a field, as HTML text."""
        return str(self._box(path).echo.value)

    def load(self, readings: Mapping[str, Any]) -> None:
        """Put other readings, with their units, in place of those in the form."""
        with self._lock:
            self._remember()
            self._fill(readings)
            self.work()

    def turn_to(self, check: str, of: str = "") -> bool:
        """Turn to another check of this sheet by its name, "" for an empty form; whether there is one. of: the rotor
        or cable that an empty form is to be of."""
        with self._lock:
            self.keeping.look()
            self._checks = self.keeping.checks()
            if check and check not in [one.name for one in self._checks]:
                return False
            self.chooser.show(self._checks, self.check)
            self.checks.value = check
            self._came_for = of if not check else ""
            for box, _known in self._asked_another():
                if self.sheet.is_blank(self.readings):
                    self.set(box.path, of)
            self._tell_another()
            return True

    def _asked_another(self) -> list[tuple[FieldBox, dict[str, str]]]:
        """The choice, with its options in words, that is not the rotor or cable for which a link opened a new
        check."""
        found = []
        for box in self._fields.values() if self._came_for and not self.check else ():
            choice = box.spec.choice
            if choice is None or not choice.of or choice.of == "instruments" or box.text == self._came_for:
                continue
            known = self.aircraft.choices(choice.of, choice.measures)
            if self._came_for in known:
                found.append((box, known))
        return found

    def _tell_another(self) -> None:
        """Readings that were typed are never taken for another's: where a link asked for another, it is told."""
        typed = not self.sheet.is_blank(self.readings)
        said = [
            f"You came here for {known[self._came_for]}, and what stands here was typed for "
            f"{known.get(box.text, 'another')}: save it under a name of its own, or empty it, before you begin."
            for box, known in (self._asked_another() if typed else ())
        ]
        put(self.chooser.note, words.note(said[0]) if said else "")

    def _fill(self, readings: Mapping[str, Any]) -> None:
        """Put readings into the fields; nothing is worked."""
        readings = self.sheet.in_todays_form(readings, self.aircraft)
        for name in [*self._fields, *self._rows]:
            self._fill_one(name, readings.get(name))
        self._make_room()
        former = getattr(self.sheet, "former", {})
        self._unknown = {
            name: former.get(name, "is not known here") for name in readings if name not in self.sheet.model_fields
        }

    def _fill_one(self, name: str, reading: Any) -> None:
        if name in self._rows:
            self._rows[name].put(list(reading or []))
        elif name in self._fields:
            box = self._fields[name]
            text = str(reading or "") or box.default
            box.put(for_field(text, box.spec.entry, self.system) if box.spec.entry is not None else text)

    @property
    def _as_typed(self) -> dict[str, Any]:
        """What stands in the fields, letter for letter."""
        single: dict[str, Any] = {name: box.text for name, box in self._fields.items()}
        return single | {name: rows.texts() for name, rows in self._rows.items()}

    def _put_back(self, typed: Mapping[str, Any]) -> None:
        """Put texts back into the fields, letter for letter; what there is no field for is left out."""
        for name, box in self._fields.items():
            if isinstance(text := typed.get(name, ""), str):
                box.put(text)
        for name, rows in self._rows.items():
            rows.put_texts([row for row in typed.get(name, []) if isinstance(row, Mapping)])
        self._make_room()

    def _put_draft(self, draft: Draft) -> None:
        """Put a draft into the fields: as typed, or with its units where bare numbers would mean something else."""
        if draft.system == self.system:
            self._put_back(draft.typed)
        else:
            self._fill(draft.readings)

    def _remember(self) -> None:
        """Remember what stands in the form, so that `undo` can bring it back."""
        now = self._as_typed
        if not self._undo or self._undo[-1][0] != now:
            self._undo.append((now, self._unknown))
            del self._undo[:-MOST_UNDONE]
        self._tell_undo()

    def show_in(self, system: str) -> None:
        """Take bare numbers in, and show figures in, the units of another system ("us" or "metric"). What was typed
        stays; a bare number gets the unit that it was typed in. The aircraft file is not touched."""
        with self._lock:
            typed, readings, before = self._as_typed, self.readings, self.system
            self.aircraft, self.system = _shown_in(self.aircraft, system), system
            self._make_boxes()
            self._lay_out()
            self._spell(typed, readings, before)
            self._undo.clear()
            self._tell_undo()
            self.work()

    def _spell(self, typed: Mapping[str, Any], readings: Mapping[str, Any], before: str) -> None:
        """Put readings that stood here in the units of the system before into fields of other units. Where a text would
        be read otherwise there, it is spelled out; turned back untouched, it is as it was typed. Spelled otherwise
        nothing is another reading: what was loaded, or kept as a draft, stays that."""
        untouched, spelled = readings == self._loaded[1], self._spelled
        if spelled is not None and (spelled[0], spelled[1]) == (self.system, typed):
            self._put_back(spelled[2])
        else:
            self._fill(readings)
        self._spelled = (before, self._as_typed, typed)
        if untouched:
            self._loaded = (self._loaded[0], self.readings)
        else:
            self.keeping.spelled(typed, self._as_typed)

    def undo(self) -> None:
        """Bring back what stood in the form before rows were emptied or removed, or other readings loaded."""
        with self._lock:
            now = self._as_typed
            while self._undo:
                typed, unknown = self._undo.pop()
                if typed != now:
                    self._put_back(typed)
                    self._unknown = unknown
                    break
            self._tell_undo()
            self.work()

    def _tell_undo(self) -> None:
        widgets.show(self.undo_button, bool(self._undo))

    def add_row(self, name: str, **readings: str) -> None:
        """Add a row to a table of readings ("stations")."""
        with self._lock:
            self._rows[name].add(readings)
            self.work()

    def remove_row(self, name: str, number: int) -> None:
        """Remove a row, counted from 0."""
        with self._lock:
            self._remember()
            self._rows[name].remove(number)
            self.work()

    def by_hand_figure(self, key: str, text: str) -> str:
        """Type a hand figure for a finding: whether it agrees, in words."""
        part = self.by_hand.part
        with self._lock:
            return part.judge(key, text)

    def _by_hand_figures(self) -> dict[str, str]:
        """What stands in the fields for hand figures; none before they were opened, or of another check."""
        part = self._parts.get("by_hand")
        return part.figures if isinstance(part, HandPart) and part.of == self.check else {}

    @property
    def offers(self) -> list[Offer]:
        """What other checks have already that is asked for here, and that does not stand here: `take` puts one in."""
        return [one for one in self._offered() if self._is_news(one)]

    def take(self, *offers: Offer) -> None:
        """Put what another check has into the form, with where it is from; `undo` brings back what stood there."""
        with self._lock:
            self._remember()
            for offer in offers:
                for path, text in offer.also:
                    self._box(path).put(self._for(path, text))
                for name, rows in offer.tables:
                    self._rows[name].put([dict(row) for row in rows])
                if not offer.rows:
                    self._box(offer.path).put(self._for(offer.path, offer.text))
                elif offer.adds:
                    self._rows[offer.path].take_in([dict(row) for row in offer.rows])
                else:
                    self._rows[offer.path].put([dict(row) for row in offer.rows])
            self.work()

    def _for(self, path: str, text: str) -> str:
        entry = self._box(path).spec.entry
        return for_field(text, entry, self.system) if entry is not None else text

    def _offered(self) -> list[Offer]:
        """What the other checks have: looked for again where the record has grown, or another choice is made."""
        picked = {name: box.text for name, box in self._fields.items() if box.spec.entry is None}
        key = (self.keeping.stamp, self.check, self.system, *picked.items())
        if key != self._offered_for:
            self._offered_for, self._offers = key, []
            if sheets := sheets_asked(self.sheet):
                standings = self.keeping.of_sheets(sheets, but=self.check)
                given = [one.given for one in self.sheet.fields()]
                asked = {of for one in given for of in one.checks}
                asked |= {of for one in given if one.adds for of, _ in one.figures}
                past = {name: self.keeping.past(name) for name, one in standings.items() if one.sheet in asked}
                self._offers = figures_offered(
                    self.folder, self.sheet, standings, self.system, picked, past, self.keeping.done_on(sheets)
                )
        return self._offers

    def _is_news(self, offer: Offer) -> bool:
        """Whether it does not stand in the form yet: for what is filled in, whether it was saved after that."""
        if offer.adds:
            there = {text for row in self._rows[offer.path].texts() for text in row.values()}
            days = {row.get(DAY) for row in self._rows[offer.path].texts()}
            return not any(text in there or (name == DAY and text in days) for name, text in offer.rows[0])
        if offer.rows:
            return not self._rows[offer.path].any_reading
        now = self._box(offer.path).text.strip()
        if not now:
            return True
        later = offer.entry is not None and offer.entry > (self._loaded[0] or self._newest)
        return later and parted(now)[0].strip() != offer.figure and f"[entry {offer.entry}:" not in now

    def on_change(self, listener: Callable[[Form], None]) -> None:
        """Have a function told of every working, and of the first key of a reading being typed."""
        self._listeners.append(listener)

    # keeping

    @property
    def saved(self) -> str:
        """Whether what stands in the form is kept: "saved", "changed since saved" or "never saved"."""
        return self.keeping.state(self.check, self.readings, self._loaded)

    def save(self, who: str, note: str = "", replaces: int | None = None, why: str = "", title: str = "") -> SavedEntry:
        """Save what stands in the form to the record. When this returns, it is on the drive.

        Arguments: who did the work; note, anything; replaces, the number of the entry that this one corrects, and why;
        title, what a new check is called, where the form is of none yet. Raises `RecordError`, which says why nothing
        was saved; the form stays as it is. Limits that are typed here and not written are told so, once: called again
        with nothing changed, it is saved as it stands.
        """
        with self._lock:
            if self.typing or self.unfinished:
                self.work()
            if self.outcome is None or self.worked_sheet is None:
                faulty = words.at_fault(self.problems, titles_of(self._fields, self._rows))
                raise RecordError(f"There is no verdict to save yet: look at {faulty}. {NOTHING_SAVED}")
            if not self._told_of_limits and (limits := self._limits_typed()):
                self._told_of = self._without_limits
                raise RecordError(words.limits_not_written(limits))
            known, check = bool(self.check), self.check or self.keeping.new_name(title)
            named = self.keeping.title(check) if known else title.strip()
            try:
                outcome = self.outcome
                if self.system != self.folder.aircraft.aircraft.display:  # the record is in the aircraft file's units
                    outcome = self.worked_sheet.work(self.folder.aircraft)
                by_hand = self._by_hand_figures()
                entry = self.keeping.save(
                    check, named, self.worked_sheet, outcome, who, note, replaces, why, self._newest, by_hand
                )
            except NewerEntryError as problem:
                self._newest = problem.number  # now the person knows of it: pressed again, theirs is saved too
                raise
            except AircraftChangedError as problem:
                raise RecordError(f"{problem} {self._read_again()}") from None
            finally:
                self._tell_saved()
            self._loaded, self._newest, self._told_of = (entry.number, self.readings), entry.number, None
            self.keeping.forget()
            self.check = check
            self._checks = self.keeping.checks()
            self.chooser.show(self._checks, check)
            if isinstance(part := self._parts.get("by_hand"), HandPart):
                part.clear()  # kept now: the next entry needs a figure worked anew
                go_through(part.update())
            self._tell_saved()
            self._follow()
            return entry

    def attach(self, photographs: Sequence[Path | tuple[str, bytes]], who: str) -> SavedEntry:
        """Attach photographs to what the record holds of this check, by an entry of its own; what is typed in the form
        and not saved is not touched.

        Arguments: photographs, files, or names with their bytes; who attaches them. Raises `RecordError`, which says
        why nothing was attached.
        """
        with self._lock:
            try:
                entry = self.keeping.attach(self.check, photographs, who)
            finally:
                self._tell_saved()
            if self._loaded[0] == entry.replaces:
                self._loaded = (entry.number, self._loaded[1])
            if self._newest == entry.replaces:
                self._newest = entry.number
            if isinstance(part := self._parts.get("record"), RecordPart):
                part.tell_nothing()
            self._tell_saved()
            self._follow()
            return entry

    def try_saving(self) -> Trial:
        """Save what stands in the form into a record that is thrown away, and read it back: the builder's own is not
        touched. Raises `RecordError` where there is nothing to save."""
        with self._lock:
            if self.unfinished:
                self.work()
            if self.outcome is None or self.worked_sheet is None:
                raise RecordError("There is no verdict, so nothing can be tried.")
            return self.keeping.try_saving(self.worked_sheet, self.outcome)

    def _read_again(self) -> str:
        try:
            self.read_again()
        except AircraftFileError as problem:
            return str(problem)
        return "The form has now been worked out with the aircraft file as it is: look at the verdict."

    def read_again(self) -> None:
        """Read the aircraft file and the readings file again, and work what stands in the form with them. Raises
        `AircraftFileError`; then nothing has changed."""
        with self._lock:
            self._take_in(Folder(self.folder.path))
            self._work_anew()

    def _take_in(self, folder: Folder) -> None:
        """Go on with a folder as it was read now, its fields as they are: what is being typed is neither taken away nor
        moved, unless its unit is another. Raises `AircraftFileError`."""
        _ = folder.aircraft, folder.checks
        typed, readings, system = self._as_typed, self.readings, self.system
        display, before = folder.aircraft.aircraft.display, self.folder.aircraft.aircraft.display
        self.system = system if display == before else display  # what the person chose to see it in stays
        self.folder = self.keeping.folder = folder
        self.aircraft = folder.aircraft if self.system == display else _shown_in(folder.aircraft, self.system)
        self._offered_for = ()
        if self.system == system and self._boxes_follow():
            return
        self._make_boxes()
        self._lay_out()
        if self.system == system:
            self._put_back(typed)  # letter for letter
        else:
            self._remember()
            self._spell(typed, readings, system)

    def _boxes_follow(self) -> bool:
        """Have the fields take in the aircraft; whether they could."""
        if self._with_fresh() != self._made_with_fresh:
            return False
        for box in self._fields.values():
            box.follow(self.aircraft)
        fits = [rows.follow(self.aircraft) for rows in self._rows.values()]
        return all(fits)

    # what is changed elsewhere

    @property
    def watched(self) -> Path:
        return self.folder.path

    @property
    def busy(self) -> bool:
        asking = [self.asks.figures, self._limits]
        last = max(self._typed_at, *(one.typed_at for one in asking if one is not None), -math.inf)
        return self.typing or self.unfinished or clock.elapsed() - last < QUIET

    def _changed_since(self, changed: Collection[str]) -> None:
        """Follow what was changed in another window or by hand, and say so; what is typed here stays."""
        news = [NEW_DAY] if TODAY in changed else []
        unread, record = self._unread, self._of_record
        news += self._follow_files()
        self.keeping.look()
        if self._of_record != record:
            news += self._follow_record()
        if news or (unread, record) != (self._unread, self._of_record):
            self._news = " ".join(news) or self._news
            self._work_anew()
        elif self.fault is None:  # what is said of that stays
            self._tell_saved()

    @property
    def _of_record(self) -> tuple[object, ...]:
        """What the form tells of the record as a whole."""
        return self.keeping.stamp, self.keeping.damage, self.keeping.problem

    def _follow_files(self) -> list[str]:
        """Take in the aircraft file and the readings file where they say something else than when they were read: what
        was changed, in words. One that cannot be read, perhaps half written, is told, and what was read of it before
        goes on."""
        if self.folder.is_demo:
            return []
        before, followed = self.folder, self._followed
        untouched = self._loaded[0] is None and self.readings == self._loaded[1]
        now = Folder(before.path)
        try:
            of_file, text = file_state(now.path / READINGS_FILE), text_of(now.path / AIRCRAFT_FILE)
            others = of_file != self._file_state and now.checks != followed.checks
            another = text != self._file_text and aircraft_of(text) != before.aircraft
            if another or others:
                self._take_in(now)
            self._file_text, self._file_state, self._unread = text, of_file, ""
        except AircraftFileError as problem:
            self._unread = str(problem).splitlines()[0]
            return []
        told = [f"The aircraft file was changed elsewhere: {AGAIN}"] if another else []
        if others:
            self._followed = now
            self._list_checks()
            given = self.keeping.in_file(self.check)
            if untouched and given is not None and given not in followed.checks:
                self._fill_with_kept()
                told.append(f"{READINGS_FILE} was changed elsewhere: its readings are here now.")
        return told

    def _follow_record(self) -> list[str]:
        """Take in what was saved of this check elsewhere, where nothing is typed here that is not saved: what there is
        now, in words."""
        self._list_checks()
        newest, last = self.keeping.newest(self.check), self.keeping.last(self.check)
        if newest <= self._newest or last is None or last.sheet != self.sheet.name:
            return []
        said = f"Entry {newest} of this check was saved elsewhere"
        if self.readings != self._loaded[1] and self.saved != SAVED:
            return [f"{said}. What stands here is not saved."]
        if self.saved == SAVED:  # photographs, or the same once more
            self._loaded, self._newest = (last.number, self.readings), newest
            return [f"{said}. What stands here is in the record as before."]
        self._remember()
        self._fill_with_kept()
        self._tell_undo()
        return [f"{said}: its readings are here now. Undo brings back those that were."]

    def _list_checks(self) -> None:
        """List the checks that there are now; the one that the form is of stays there."""
        mine = [one for one in self._checks if one.name == self.check]
        self._checks = self.keeping.checks()
        if self.check and self.check not in [one.name for one in self._checks]:
            self._checks += mine
        self.chooser.show(self._checks, self.check)

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.box)
        self.watch()

    # making it

    def _make_boxes(self) -> None:
        self._fields: dict[str, FieldBox] = {}
        self._rows: dict[str, RowsBox] = {}
        self._by_file: list[FieldBox] = []
        changed, entered = self._guard(self._on_changed), self._guard(self._on_entered)
        titles = Counter(column.title for spec in self.sheet.fields() if spec.row for column in spec.row.fields())
        twice = {title for title, times in titles.items() if times > 1}
        self._made_with_fresh = self._with_fresh()
        for spec in self.sheet.fields():
            if spec.row is not None:
                fresh = self._emptied if spec.name in self._made_with_fresh else None
                self._rows[spec.name] = RowsBox(spec, self.aircraft, changed, entered, self._act, fresh, twice)
            else:
                box = FieldBox(spec.name, spec, spec.title, self.aircraft, changed, entered)
                if spec.name in self.sheet.by_file and spec.entry is None and not box.is_choice:
                    self._by_file.append(box)
                    box.control.disabled = True  # what reading the file writes, nobody types
                    box.control.observe(lambda _change: self._tell_by_file(), names="value")
                self._fields[spec.name] = box

    def _with_fresh(self) -> tuple[str, ...]:
        """The tables of which a choice gives the rows to begin with."""
        begun = self.sheet.begin(self.aircraft) if self._start_choices else {}
        return tuple(name for name, given in begun.items() if given)

    def _make_by_file(self) -> list[Any]:
        """What reading a file wrote, as text that opens, and the button that takes it out; nothing for most sheets."""
        if not (written := self._by_file):
            return []
        self.by_file = widgets.HTML()
        self.forget_button = widgets.Button(description=FORGET)
        self.forget_button.on_click(lambda _button: self._act(self._forget))
        unseen = boxed([box.control for box in written])
        widgets.show(unseen, False)
        echoes = [box.echo for box in written]
        self.by_file_box = boxed([self.by_file, *echoes, self.forget_button, unseen], "rotorkit-by-file", upright=True)
        self._tell_by_file()
        return [self.by_file_box]

    def _tell_by_file(self) -> None:
        there = [box for box in self._by_file if box.text.strip()]
        widgets.show(self.by_file_box, bool(there))
        recording = self._fields["recording"].text.strip() if "recording" in self._fields else ""
        said = [f"<p><b>{words.escape(box.spec.title)}</b>: {words.escape(box.text)}</p>" for box in there]
        of = f"Read from {recording}" if recording else "Read from a recording"
        mark = self._fields["fingerprint"].text.strip() if "fingerprint" in self._fields else ""
        known = f", fingerprint {mark[:16]}…" if mark else ""
        put(
            self.by_file,
            f"<details><summary><b>{words.escape(of)}</b>{words.escape(known)}</summary>{''.join(said)}</details>",
        )

    def _forget(self) -> None:
        """Take out what reading a file wrote, and the file's name; readings that were typed stay. Undo brings it
        back."""
        for name in [*self.sheet.by_file, "recording"]:
            if name in self._fields or name in self._rows:
                self._fill_one(name, None)

    @functools.cached_property
    def _start_choices(self) -> list[str]:
        """The choices that decide which rows a form starts with."""
        return [name for name in inspect.signature(self.sheet.start).parameters if name in self.sheet.model_fields]

    def _make_box(self) -> Any:
        self.units_button = widgets.Button(description=IN_OTHER[self.system])
        self.units_button.on_click(self._guard(lambda _button: self.show_in(OTHER[self.system])))
        self.undo_button = widgets.Button(description="Undo")
        self.undo_button.on_click(self._guard(lambda _button: self.undo()))
        self.state = widgets.HTML()
        self.state.add_class("rotorkit-state")
        self.kept = widgets.HTML()
        self.headline = widgets.HTML()
        self.figures = widgets.HTML()
        self.picture = widgets.HTML()
        for shown in (self.headline, self.figures, self.picture):
            shown.add_class("rotorkit-outcome")
        self.fields = boxed([], "rotorkit-fields", upright=True)
        self.tables = boxed([], "rotorkit-tables", upright=True)
        self._lay_out()
        self.chooser = CheckChooser(self._checks, self.check, self._guard(self._on_check))
        self.checks = self.chooser.control
        self.saved_by = boxed([], "rotorkit-saving")
        self.opened = Opened(self._guard, self._openings())
        answer = boxed([self.headline, self.state], "rotorkit-answer", upright=True)
        keep = boxed([self.saved_by, self.undo_button, self.units_button, self.kept], "rotorkit-keeping")
        banner = boxed([answer, keep, self.opened.buttons], "rotorkit-banner", upright=True)
        typed = boxed([self.fields, self.tables], "rotorkit-typed", upright=True)
        self.first = boxed([typed, self.picture], "rotorkit-first")
        self.asks = JobAsks(self._guard, self.figures_written)
        self.offers_box = OffersBox(self._guard, lambda offers: self.take(*offers))
        below = [self.opened.box, self.asks.box, self.offers_box.box, self.first, self.figures]
        return boxed(
            [widgets.HTML(STYLE), self.chooser.box, self.chooser.note, banner, *below], "rotorkit-form", upright=True
        )

    def _make_room(self) -> None:
        """Give fields the room of what stands in them; place rows and picture by the room that the rows need."""
        make_room(self.fields.children)
        need = max((table.need for table in self._rows.values()), default=0)
        broad = need > BROAD and self._lines >= LINES_ABOVE
        tall = broad or (need > BESIDE_PICTURE and self._lines >= MANY_LINES)
        for name, holds in (("wide", need > BESIDE_PICTURE), ("tall", tall), ("broad", broad)):
            if holds != (name in self.first._dom_classes):
                (self.first.add_class if holds else self.first.remove_class)(name)

    def _lay_out(self) -> None:
        """Put the fields and the tables of rows in their places, and close what stood there."""
        before = [*self.fields.children, *self.tables.children]
        typed = {name: box for name, box in self._fields.items() if box not in self._by_file}
        lines = lines_of(self.sheet, typed, {})
        self._lines = len(lines)
        self.fields.children = [*lines, *self._make_by_file()]
        self.tables.children = [table.box for table in self._rows.values()]
        close_all(*before)

    def _openings(self) -> dict[str, Callable[[], Any]]:
        """What is one click away, by its button's word; made when it is first asked for."""

        def page(of: Callable[[], pages.Page]) -> Callable[[], Any]:
            return lambda: widgets.HTML(pages.framed(of().html))

        run = {"Recorded run": self._recorded_run} if self.sheet.reads_runs else {}
        if self.sheet.reads_vibration:
            run = {"Recording": self._recorded_vibration}
        limits = (
            {LIMITS: lambda: self.limits} if self.sheet.limits_used(dict.fromkeys(self.sheet.model_fields, "x")) else {}
        )
        return {
            "How to measure": page(lambda: pages.Page(self.settles.html + self.how.html)),
            **run,
            **limits,
            "Cautions": page(lambda: self.cautions),
            "Calculation": lambda: self.calculation,
            "Uncertainty": lambda: self.budget,
            "By hand": lambda: self.by_hand,
            "Note, history": lambda: self.record,
            "Photos": lambda: self.photographs,
            "Worksheet": lambda: self.worksheet,
            "Not covered": page(lambda: self.not_covered),
            "Practice": lambda: self.practice,
        }

    def _recorded_run(self) -> Any:
        from rotorkit.notebook.recorded import recorded_run

        return recorded_run(
            self._guard, self.sheet.name, self.folder.path, lambda: self.aircraft, lambda: self.readings, self.load
        )

    def _recorded_vibration(self) -> Any:
        from rotorkit.notebook.recorded import recorded_vibration

        return recorded_vibration(
            self._guard, self.folder.path, lambda: self.aircraft, lambda: self.readings, self.load
        )

    def _box(self, path: str) -> FieldBox:
        if path in self._fields:
            return self._fields[path]
        name, _, rest = path.partition(".")
        number, _, column = rest.partition(".")
        if name in self._rows and number.isdigit() and int(number) < len(self._rows[name].rows):
            row = self._rows[name].rows[int(number)]
            if column in row:
                return row[column]
        raise KeyError(f"the form has no field {path!r}: it has {', '.join([*self._fields, *self._rows])}")

    @property
    def _all_boxes(self) -> list[FieldBox]:
        return [*self._fields.values(), *(box for rows in self._rows.values() for box in rows.boxes)]

    # readings to begin with

    def _first(self, check: str | None) -> str:
        names = [one.name for one in self._checks]
        if check is not None and check not in names:
            of = f"no check {check!r} of the sheet {self.sheet.name}"
            raise SheetError([("", f"readings file and record have {of}: they have {', '.join(names) or 'none'}")])
        return check if check is not None else names[0] if names else ""

    def _begin(self, check: str) -> None:
        """Put in what stands for a check: its draft, the last saved readings, or those of the readings file."""
        self.check = check
        standing = self.keeping.standing(check)
        self._fill_with_kept()
        self.keeping.begin(standing)
        if self.keeping.draft is not None:
            self._put_draft(self.keeping.draft)
        self._undo.clear()
        self._tell_undo()
        if "limits" not in self._parts and self._limits_place and LimitsPart.was_typed_into(self):
            _ = self.limits  # so that the verdict does not go without a word of them
        self.work()

    def _fill_with_kept(self) -> None:
        """Put in what stands for the check besides drafts."""
        number, given = self.keeping.readings(self.check) or (None, self.sheet.begin(self.aircraft))
        self._fill(given)
        if number is None and self.sheet.is_blank(given):
            self._pick_the_only_ones()
        self._loaded, self._newest = (number, self.readings), self.keeping.newest(self.check)

    def _pick_the_only_ones(self) -> None:
        """Pick the only instrument that fits, where none is named yet."""
        for box in self._fields.values():
            choice = box.spec.choice
            if choice is not None and choice.of == "instruments" and not box.text:
                options = list(self.aircraft.choices(choice.of, choice.measures))
                if len(options) == 1:
                    box.put(options[0])

    def _keep_draft(self) -> None:
        """Keep what stands in the form as a draft, unless it is what was loaded."""
        if self.readings == self._loaded[1]:
            self.keeping.forget()
        else:
            self.keeping.keep(self.check, self._as_typed, self.readings, self.system)
        if self.keeping.draft_problem and can_wait():
            self._later.do("keep again", KEPT_AGAIN, self._keep_again)

    def _keep_again(self) -> None:
        """Try again to read and to keep drafts, until it can be done; then what was left of this check stands here, as
        if it had been read when the form was opened."""
        self.keeping.keep_again()
        left = self.keeping.draft is None and self.readings == self._loaded[1]
        if left and not self.keeping.draft_problem and self.keeping.standing(self.check).draft_not_saved is not None:
            self._begin(self.check)
        else:
            self._tell_saved()

    def _emptied(self) -> None:
        self._remember()
        self._fresh_rows()

    def _fresh_rows(self) -> None:
        chosen = {name: self._fields[name].text for name in self._start_choices}
        start = self.sheet.begin(self.aircraft, **chosen)
        for name, rows in self._rows.items():
            rows.put(list(start.get(name, [])))

    # what happens

    def _act(self, action: Callable[[], None]) -> None:
        def act() -> None:
            self._remember()
            action()
            self.work()

        self._guard(act)()

    def _on_changed(self, box: FieldBox) -> None:
        if box.is_choice:
            self._chosen(box)
            self._quick_first()
            return
        self._typed_at = clock.elapsed()
        if box is self._entered and self._typed_at - self._entered_at < OVERTAKEN:
            self._quick_first()
            return
        box.untaken()
        self._news = ""
        if not self.typing:
            self.typing = True
            self.outcome = None
            self._later.cancel("whole")
            self._later.cancel("parts")
            for part in self._parts.values():
                part.stale()
            self.box.add_class("rotorkit-typing")
            self.state.value = TYPING
            self._tell_saved()
            self._tell_listeners()
        self._later.do("draft", KEPT_WITHIN, self._keep_draft)
        self._later.do("work", PAUSE, self._quick_first)

    def _on_entered(self, box: FieldBox) -> None:
        self._entered, self._entered_at = box, clock.elapsed()
        if self._entered_at - self._typed_at < RUSH:
            self._later.do("work", RUSH, self._quick_first)
        elif self.typing:
            self._quick_first()
            self._entered_at = clock.elapsed()  # a key that waited for this working was typed before it

    def _on_check(self, check: str) -> None:
        if self.typing or self.unfinished:
            self.work()
        self.check = check
        self._came_for = ""
        self.keeping.look()
        self._begin(self.check)

    def _chosen(self, box: FieldBox) -> None:
        """Rows that hold no reading yet follow the choice that they depend on."""
        if box.path in self._start_choices and not any(rows.any_reading for rows in self._rows.values()):
            self._fresh_rows()

    def work(self) -> None:
        """Work the sheet with what stands in the fields, and show what it comes to; by the files as they are now, so
        that no verdict stands by a limit that was changed in another window."""
        self._by_the_files()
        self._work_anew()

    def _work_anew(self) -> None:
        self._anew(self._work, "work", "whole", "parts", "draft")

    def _by_the_files(self) -> None:
        with self._lock:
            self._news = " ".join(self._follow_files())

    def _quick_first(self) -> None:
        """The same for what was typed: where a part of the working takes long, figures and verdicts are shown before
        it, and it follows at once, unless another key or choice comes first."""
        if not (self.sheet.has_slow_part and can_wait()):
            self.work()
            return
        self._by_the_files()
        self._anew(self._show_quick, "work", "whole", "parts", "draft")

    def _show_quick(self) -> None:
        outcome = sheet = None
        if not self._unknown:
            with suppress(SheetError):  # said by the whole working
                sheet = self.sheet.from_readings(self._values)
                if not self.keeping.of_another(sheet):
                    outcome = sheet.quickly(self.aircraft)
        if sheet is None or outcome is None:
            self._work()
            return
        if not outcome.unfinished:
            self._work((sheet, outcome))
            return
        self.outcome, self.worked_sheet, self.problems, self.unfinished = None, None, {}, True
        for part in self._parts.values():
            part.stale()
        self._show_answer(outcome)
        put(self.figures, pages.framed(words.remarks(outcome, []) + words.findings_table(outcome)))
        if not self.typing:  # a choice: nobody was told yet that what stood there is no more
            self._tell_saved()
            self._tell_listeners()
        self.typing = False
        self.box.remove_class("rotorkit-typing")
        put(self.state, "")  # the answer says what is being worked
        self._later.do("whole", SOON, self._work_anew)

    def _show_answer(self, outcome: Outcome) -> None:
        """Verdict and pictures. As long as something is being worked the pictures that it will bring stand there as
        they were, pale and said to be old: the page keeps its height under the hands of who types."""
        drawn = [(one.title, draw(one, PICTURE_WIDTH)) for one in outcome.pictures]
        shown = [svg for _, svg in drawn]
        if not outcome.unfinished:
            self._drawn = drawn
        elif self._drawn:
            now, titles = dict(drawn), [title for title, _ in self._drawn]
            shown = [now[title] if title in now else pages.old_picture(svg) for title, svg in self._drawn]
            shown += [svg for title, svg in drawn if title not in titles]
        put(self.picture, pages.framed(pages.pictures(shown)))
        put(self.headline, pages.framed(words.answer(outcome, self._limits_place)))

    def _work(self, done: tuple[Sheet, Outcome] | None = None) -> None:
        """done: the sheet and its whole outcome, where it was worked already."""
        self.outcome, self.worked_sheet, self.problems, self.unfinished = None, None, {}, False
        if self._came_for:
            self._tell_another()
        missed: list[str] = []
        try:
            if self._unknown:
                raise SheetError(list(self._unknown.items()))
            if done is None:
                self.worked_sheet = self.sheet.from_readings(self._values)
                outcome = self.worked_sheet.work(self.aircraft)
            else:
                self.worked_sheet, outcome = done
            self.problems = self.keeping.of_another(self.worked_sheet)
            self.outcome = None if self.problems else outcome
        except SheetError as error:
            missed = error.figures
            for path, message in [] if missed else error.problems:
                self.problems[path] = f"{self.problems[path]}; {message}" if path in self.problems else message
        picked = {name: box.text for name, box in self._fields.items() if box.is_choice}
        if lacking := self.asks.follow(self.folder, self.sheet, picked, missed):
            self.problems[""] = words.lacks_figures(len(lacking))
        self._show()

    def figures_written(self) -> None:
        """Figures that the job asked for are in the aircraft file now."""
        self.read_again()
        readings = self.readings
        chosen = {name: text for name in self._start_choices if (text := self._fields[name].text)}
        fresh = self.sheet.begin(self.aircraft, **chosen)
        lacking = {name: value for name, value in fresh.items() if value and not readings.get(name)}
        if lacking:  # rows and choices there are now
            with self._lock:
                for name, value in lacking.items():
                    self._fill_one(name, value)
                self.work()

    def _show(self) -> None:
        """Picture and verdict first, the fields' echoes after them, slower parts in a while."""
        if self.outcome is not None:
            self._show_answer(self.outcome)
        else:
            self._drawn = []
            for shown in (self.picture, self.headline, self.figures):
                put(shown, "")
        self._settle_state()
        if self.outcome is not None:
            doubts = [box.doubt() for box in self._all_boxes]
            figures = words.remarks(self.outcome, doubts) + words.findings_table(self.outcome)
            put(self.figures, pages.framed(figures))
        self._keep_draft()  # on the drive before a field says what was understood
        for box in self._all_boxes:
            entry = box.spec.entry
            by = self._fields[entry.by].text if entry is not None and entry.by in self._fields else ""
            box.tell(self.problems.get(box.path, ""), by)
        for name, rows in self._rows.items():
            put(rows.message, words.wrong(words.capital(self.problems[name])) if name in self.problems else "")
        self._tell_saved()
        self._follow()
        self._tell_listeners()

    @property
    def _limits_place(self) -> str:
        """Behind which button of this form limits are typed in; empty where it has none."""
        return LIMITS if LIMITS in self.opened.words else ""

    def _tell_saved(self) -> None:
        """Keep what stands in the form, and say which readings these are, and whether they are in the record."""
        self.keeping.look()
        self._keep_draft()
        self.keeping.look_elsewhere(self.check)
        damage = words.wrong(self.keeping.damage) if self.keeping.damage else ""
        keeping, last = self.keeping, self.keeping.last(self.check)
        word = self.saved
        moved = moves(last.findings, self.outcome.findings) if word == SAVED and last and self.outcome else []
        kept = words.kept(word, last, keeping.standing(self.check), keeping.draft, self.not_kept, moved)
        told = [self._news, keeping.elsewhere, *(words.sentence(said) for moved, said in self._rests if not moved)]
        if keeping.draft_problem:
            told.append(
                f"What you type is not kept as a draft: {keeping.draft_problem}. This is tried again by itself; save "
                "before you close this."
            )
        said = " ".join(one for one in told if one)
        limits = self._limits_typed() if self.outcome is not None else []
        not_in_file = words.not_in_file(limits) if limits else ""
        put(self.kept, pages.framed(damage + not_in_file + kept + (words.note(said) if said else "")))

    @property
    def _limits(self) -> FiguresBox | None:
        """The fields for limits, where they were opened."""
        part = self._parts.get("limits")
        return part.figures if isinstance(part, LimitsPart) else None

    def _limits_typed(self) -> list[str]:
        """The limits that were typed here and are not in the aircraft file, by name."""
        return self._limits.limits_typed if self._limits is not None else []

    @property
    def _without_limits(self) -> tuple[object, ...]:
        """What would be saved, and the limits that were typed by which it does not go."""
        return self.check, self.readings, self._limits.typed if self._limits is not None else {}

    @property
    def _told_of_limits(self) -> bool:
        """Whether who saves was told of these very limits, with these readings."""
        return self._told_of == self._without_limits

    @property
    def not_kept(self) -> str:
        """Why nothing can be kept here, or an empty text."""
        return DEMO_IS_READ_ONLY if self.folder.is_demo else self.keeping.problem

    def _settle_state(self) -> None:
        self.units_button.description = IN_OTHER[self.system]
        self.typing = False
        self.box.remove_class("rotorkit-typing")
        self._rests = self.keeping.rests(self.worked_sheet, self.folder.aircraft) if self.outcome is not None else []
        said = "" if self.outcome is not None else self._why_not()
        if self._unread:
            said = words.wrong(self._unread, OLD_FILES) + said
        said += "".join(words.wrong(words.sentence(one), NO_LONGER) for moved, one in self._rests if moved)
        put(self.state, pages.framed(said) if said else "")

    def _why_not(self) -> str:
        return words.why_not(self.problems, titles_of(self._fields, self._rows))

    def _tell_fault(self, fault: Exception) -> None:
        """An error that nobody foresaw: said plainly, the verdict taken away, the error kept."""
        self.fault, self.outcome, self.typing, self.unfinished = fault, None, False, False
        for shown in (self.picture, self.headline, self.figures):
            put(shown, "")
        self.box.remove_class("rotorkit-typing")
        put(self.state, pages.framed(words.fault(fault)))
        for part in self._parts.values():
            with suppress(Exception):
                go_through(part.update())

    def _follow(self) -> None:
        """Have the parts follow, in a while."""
        self._later.do_pieces("parts", AFTERWARDS, self._pieces())

    def _pieces(self) -> Iterator[None]:
        for part in list(self._parts.values()):
            yield from part.update()
        self.offers_box.show(self.offers)
        yield

    def _tell_listeners(self) -> None:
        for listener in self._listeners:
            listener(self)


def _shown_in(aircraft: Aircraft, system: str) -> Aircraft:
    """The same aircraft with its figures shown in, and bare numbers taken in, other units."""
    identity = aircraft.aircraft.model_copy(update={"display": system})
    return aircraft.model_copy(update={"aircraft": identity})
