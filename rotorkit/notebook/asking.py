"""Figures of the aircraft file as typed fields: asked for in the job that needs them, and section by section.

What is typed is written into the aircraft file itself, all of a part at once, with its comments kept; a fault is said
at its field, and the file then stays as it was.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from rotorkit.aircraft import Aircraft, AircraftFileError, set_values
from rotorkit.aircraft.asked import BLOCKS, Asked, asked_at, asked_in, key_for, stands, written
from rotorkit.aircraft.asked_rows import AskedRows
from rotorkit.aircraft.entries import Choice, Entry
from rotorkit.aircraft.file import AIRCRAFT_FILE, load_toml, text_of
from rotorkit.aircraft.instruments import MEASURES
from rotorkit.edges import clock
from rotorkit.engine.recorded import CHANNELS
from rotorkit.folder.checks import Folder
from rotorkit.folder.offers import Offer
from rotorkit.folder.recorded_tables import tables_in
from rotorkit.notebook import pages, typed, widgets, words
from rotorkit.notebook.closing import close_all
from rotorkit.notebook.fields import FieldBox
from rotorkit.notebook.file_rows import FileRows
from rotorkit.notebook.later import Later, can_wait
from rotorkit.notebook.layout import boxed
from rotorkit.notebook.parts import put
from rotorkit.notebook.taking import OffersBox
from rotorkit.notebook.unwritten import FOR_A_JOB, Unwritten
from rotorkit.notebook.watching import file_state
from rotorkit.quantities import QuantityError, required_kind, unit_for_display
from rotorkit.record import Record, RecordError
from rotorkit.record.taken import offered_to_the_file
from rotorkit.sheets.base import Field, Sheet
from rotorkit.sheets.catalogue import sheets_in_order

DEMO = "This is the demo inside the program, which is read-only: make a folder of your own with 'rotorkit new DIR'."
WRITE = "Write into the aircraft file"
MOST_JOBS = 4
"""So many jobs are named that need a figure."""
HOW_WELL = (
    "An instrument's uncertainty is on its data sheet or certificate; if there is none, take half its smallest "
    "division, or how far two readings of one thing differ, whichever is more (common practice, no source)."
)
"""Where a person finds what an instrument may be off by."""
PLAIN = "or %"
"""Behind a limit that is a plain number."""
NEWER = (
    "A saved check came to other figures than the aircraft file has, by more than their ±. Take them, look at them, "
    "and write them into the aircraft file."
)
OF_A_WEIGHING = "Those of the empty aircraft come from its own weigh-in, or the ledger of equipment since."
TAKEN = "Look at them, then write them into the aircraft file: they are not in it yet."
BACK = "Show what is in the file"
FILED = " (as the file had it)"
"""Behind the place of a table that is kept: what the file's rows were when it was typed into."""
CHANGED_ELSEWHERE = "The aircraft file was changed elsewhere: fields that you have not typed into show it as it is now."
WRITING_REPLACES = f'What you typed stands here; writing it replaces what the file holds now, which "{BACK}" puts here.'
CHANGED_SINCE = (
    " But the rows in the file have been changed since: these do not include what was added or changed there, and "
    f'writing these removes it. "{BACK}" puts the rows of the file here; what you typed is then gone.'
)
TYPED_SINCE = "What you have typed since is not in the aircraft file yet."
SETTLED = 0.3
"""Where the last letter came this recently, another may be on its way: a press waits as long for it."""
KEPT_AFTER = 0.4
"""Seconds without typing after which what is typed is kept."""
KEPT_AGAIN = 2.0
"""Seconds after which it is tried again to keep what could not be kept."""
TRIED_AGAIN = "This is tried again by itself; write it into the aircraft file before you close this page."
TABLE_OF = {
    "cables": "cables",
    "push-pull tubes": "push_pull_tubes",
    "belts": "belts",
    "shafts": "shafts",
    "couplings": "couplings",
    "bearings": "bearings",
    "instruments": "instruments",
    "controls": "controls",
    "corners": "controls",
}
"""The table of the aircraft file that a field's choices come from."""


class FromChecks:
    """What saved checks came to that the aircraft file holds (`Sheet.file_holds`): looked for again where the record or
    the file is another. apart: only what the file lacks, or has otherwise by more than both ±."""

    def __init__(self, apart: bool) -> None:
        self._apart = apart
        self._for: tuple[object, ...] = ()
        self._found: list[Offer] = []

    def offers(self, folder: Folder, holds: Mapping[str, tuple[str, ...]], system: str) -> list[Offer]:
        if not holds or folder.is_demo:
            return []
        record = Record(folder)
        now = (folder.aircraft, file_state(record.path), tuple(holds), system)
        if now != self._for:
            try:
                found = offered_to_the_file(holds, folder.aircraft, record, system, self._apart)
            except RecordError:  # told by the form that saves
                found = []
            self._for, self._found = now, found
        return self._found


def from_checks() -> dict[str, tuple[str, ...]]:
    """The figures of the aircraft file that come from checks, each with the figures of these."""
    return {place: keys for sheet in sheets_in_order() for place, keys in sheet.file_holds.items()}


def needed_by(place: str) -> list[str]:
    """The titles of the jobs that cannot be worked without a figure."""
    table, _, key = place.rpartition(".")
    found = []
    for sheet in sheets_in_order():
        for used in sheet.uses:
            of, _, name = used.rpartition(".")
            fits = of == table or (of == "{rotor}" and table in ("main_rotor", "tail_rotor"))
            if name == key and (fits or (of == "cables.{cable}" and table.startswith("cables."))):
                found.append(sheet.about.title)
                break
    return found


def _without_brackets(words: str) -> str:
    """How a list is explained to one who edits the file, for one who types it: without quotes and brackets."""
    words = re.sub(r"; \[\] where [^;.]*", "", words).replace(", in quotes", "")
    return re.sub(r':? \["([^\]]*)\]', lambda found: ", such as " + found[1].replace('"', ""), words)


def _spec(asked: Asked, whole: bool = False) -> Field:
    """The field of a figure. whole: with the section in its title, where those of several stand together."""
    how = asked.words
    title = asked.title if whole else asked.title.rpartition(": ")[2]
    if asked.many:
        how = _without_brackets(how)
        none = "" if asked.needed else "; write none if there is none"
        how = f"{how}. Separate them with commas{none}".removeprefix(". ")
    choice = Choice(options=asked.options, said=asked.said) if asked.options else None
    jobs = needed_by(asked.place) if asked.needed else []
    if jobs:
        more = f" and {len(jobs) - MOST_JOBS} more jobs" if len(jobs) > MOST_JOBS + 1 else ""
        named = ", ".join(jobs[:MOST_JOBS] if more else jobs)
        how = f"{how}{'. ' if how else ''}Needed by: {named}{more}."
    return Field(asked.place, words.capital(title), how, False, asked.entry, choice)


def _limits_head() -> Any:
    """The heads of the columns of the limits that follow."""
    heads = ("Limit", "at least", "at most", "", "manual page")
    return boxed([widgets.HTML(words.escape(head)) for head in heads], "rotorkit-limit", "head")


SIDES = ("low", "high", "source")
"""What a limit holds."""


class FiguresBox:
    """Fields for figures of the aircraft file, with a button that writes them into it.

    What is typed and not written is kept beside the record, and stands there again.

    Arguments: folder; asked, the figures; done, called with the aircraft as it is after a writing; head, what stands
    above; tables, its tables of rows; kept_as, the place or the job under which what is not written is kept.
    """

    def __init__(
        self,
        folder: Folder,
        asked: Iterable[Asked],
        done: Callable[[Aircraft], None],
        guard: Callable[[Callable[..., Any]], Callable[..., None]],
        head: str = "",
        tables: Iterable[AskedRows] = (),
        kept_as: str = "",
        kept: Callable[[], None] | None = None,
    ) -> None:
        self.folder, self.done, self.kept = folder, done, kept
        self.aircraft = folder.aircraft
        self.system = self.aircraft.aircraft.display
        self.asked = {one.place: one for one in asked}
        tables_of = {place.rpartition(".")[0] for place in self.asked}
        self._whole = kept_as.startswith(FOR_A_JOB) and (len(tables_of) > 1 or any("." in one for one in tables_of))
        self.boxes: dict[str, FieldBox] = {}
        self._filled: dict[str, str] = {}
        self._read()
        lines: list[Any] = []
        for one in self.asked.values():
            if one.limit is not None and not any("rotorkit-limit" in line._dom_classes for line in lines):
                lines.append(_limits_head())
            lines.append(self._limit_line(one) if one.limit is not None else self._plain_line(one))
        self.rows = {one.place: FileRows(one, self.aircraft, guard, self._keep_soon) for one in tables}
        for place, rows in self.rows.items():
            rows.fill(self.given(place))
        self.message = widgets.HTML()
        self.button = widgets.Button(description=WRITE, disabled=folder.is_demo)
        self.button.on_click(guard(lambda _button: self._pressed()))
        self.back = widgets.Button(description=BACK)
        self.back.on_click(guard(lambda _button: self.as_in_the_file()))
        if folder.is_demo:
            put(self.message, words.hint(DEMO))
        fields = boxed(lines, "rotorkit-fields", upright=True)
        shown = [fields, *(rows.box for rows in self.rows.values())]
        buttons = boxed([self.button, self.back], "rotorkit-answer")
        self._from_checks, self.offers = FromChecks(apart=False), OffersBox(guard, self.take)
        above = [widgets.HTML(head), self.offers.box]
        self.box = boxed([*above, *shown, buttons, self.message], "rotorkit-form", upright=True)
        self._later = Later(guard)
        self.typed_at = -math.inf
        self._written = False  # the message says so
        self._since: dict[str, Any] = {}  # what the file's rows were, where they are others since they were typed into
        self.unwritten = Unwritten(folder, kept_as, self.system) if kept_as else None
        self._take_up()
        self._offer()

    def _offer(self) -> None:
        """Offer what saved checks came to that is asked for here and the file does not say."""
        holds = {place: keys for place, keys in from_checks().items() if place in self.asked}
        found = self._from_checks.offers(self.folder, holds, self.system)
        self.offers.show([one for one in found if self.boxes[one.path].text != self._for(one)])

    def _for(self, offer: Offer) -> str:
        entry = self.boxes[offer.path].spec.entry
        return typed.for_field(offer.text, entry, self.system) if entry is not None else offer.text

    def take(self, offers: Sequence[Offer]) -> None:
        """Put what a saved check came to into its fields, and where it is from; nothing is written."""
        for one in offers:
            self.set(one.path, self._for(one))
            source = f"{one.path.rpartition('.')[0]}.source"
            if source in self.boxes:
                self.set(source, f"{one.of}, {one.where}")
        put(self.message, pages.framed(words.note(TAKEN)))
        self._offer()

    def _take_up(self) -> None:
        """Put in what was typed before and not written."""
        found = self.unwritten.found if self.unwritten is not None else None
        if self.unwritten is not None and self.unwritten.unread:
            self._tell_not_kept()
        if found is None:
            return
        filed = {place: found.typed.get(place + FILED, rows.filed) for place, rows in self.rows.items()}
        changed = self._since = {place: was for place, was in filed.items() if was != self.rows[place].filed}
        for place, typed_ in found.typed.items():
            if isinstance(typed_, str) and place in self.boxes:
                entry = self.boxes[place].spec.entry
                self.boxes[place].put(typed.in_units_of(self.system, typed_, entry, found.system))
                self.boxes[place].tell("")
            elif isinstance(typed_, list) and place in self.rows:
                self.rows[place].put_texts(typed_, found.system, same=place not in changed)
        if self.typed:
            said = f"What you typed at {found.when} is back in these fields. It is not in the aircraft file yet."
            told = words.wrong(said + CHANGED_SINCE) if changed else words.note(said)
            put(self.message, pages.framed(told))

    @property
    def typed(self) -> dict[str, Any]:
        """What was typed and is not written, by place: texts, and whole tables of rows."""
        fields = {place: box.text for place, box in self.boxes.items() if self._touched(place)}
        return fields | {place: rows.texts() for place, rows in self.rows.items() if rows.touched}

    def _keep_soon(self) -> None:
        self.typed_at = clock.elapsed()
        if self._written and self.typed:
            self._written = False
            put(self.message, pages.framed(words.note(TYPED_SINCE)))
        if self.unwritten is not None:
            self._later.do("keep", KEPT_AFTER, self.keep)

    def keep(self) -> None:
        """Keep what is typed and not written, beside the record."""
        self._later.cancel("keep")
        if self.unwritten is not None:
            filed = {
                place + FILED: self._since.get(place, rows.filed) for place, rows in self.rows.items() if rows.touched
            }
            self.unwritten.keep(self.typed | filed)
            if self.unwritten.problem:
                self._tell_not_kept()
        if self.kept is not None:
            self.kept()

    def _tell_not_kept(self) -> None:
        assert self.unwritten is not None
        said = f"What you type here is not kept yet: {self.unwritten.problem}. {TRIED_AGAIN}"
        put(self.message, pages.framed(words.note(said)))
        if can_wait():
            self._later.do("keep again", KEPT_AGAIN, self._keep_again)

    def _keep_again(self) -> None:
        """Try again to keep what could not be kept."""
        assert self.unwritten is not None
        unread = self.unwritten.unread
        self.unwritten.keep_again(look=not self.typed)
        if self.unwritten.problem:
            self._tell_not_kept()
        elif unread and not self.unwritten.unread and self.unwritten.found is not None:
            self._take_up()
        elif not self._written:
            put(self.message, pages.framed(words.note("What you type here is kept now.")))

    def as_in_the_file(self) -> None:
        """Put back what the file holds, in place of what was typed and not written."""
        self._read()
        self._fill_all()
        self._offer()
        self.keep()
        put(self.message, pages.framed(words.note("These fields show what is in the aircraft file.")))

    def _fill_all(self) -> None:
        self._since = {}
        for place in self.boxes:
            self._fill(place, self.given(place))
        for place, rows in self.rows.items():
            rows.fill(self.given(place))

    def _read(self) -> None:
        """The file as it stands now: what a later writing is checked against."""
        file = self.folder.path / AIRCRAFT_FILE
        self.seen, self.tables = text_of(file), load_toml(file)

    def _plain_line(self, one: Asked) -> Any:
        box = self._field(one.place, _spec(one, self._whole), self.given(one.place))
        whole = ["whole"] if self._whole else []
        if box.is_choice or one.entry is None:  # words: no unit, so that they have the width of the line
            return boxed([box.control, box.echo], "rotorkit-line", "choice", *whole)
        return boxed([box.control, box.unit, box.echo], "rotorkit-line", *whole)

    def _limit_line(self, one: Asked) -> Any:
        """A limit on one line: what it is, its two sides, the manual's page."""
        assert one.limit is not None
        kind = required_kind(one.limit.kind)
        unit = one.limit.unit if one.limit.unit is not None else kind.shown("us")
        other = unit_for_display(unit, kind, "metric") if unit else unit
        entry = Entry(one.limit.kind, (unit, other))
        given = self.given(one.place)
        given = given if isinstance(given, Mapping) else {}
        name = words.capital(one.limit.name)
        fields = []
        for side, said in (("low", "at least"), ("high", "at most")):
            spec = Field(f"{one.place}.{side}", f"{name}, {said}", "", False, entry)
            fields.append(self._field(spec.name, spec, given.get(side)))
        spec = Field(f"{one.place}.source", f"{name}, manual page", "", False)
        fields.append(self._field(spec.name, spec, given.get("source")))
        low, high, source = fields
        unit = typed.field_unit(entry, self.system)
        what = widgets.HTML(f"<p><b>{words.escape(name)}</b></p>{words.hint(one.words)}")
        cells = [boxed([box.control, box.echo], upright=True) for box in (low, high)]
        page = boxed([source.control, source.echo], upright=True)
        said = unit or PLAIN  # a bare 3 is three times as much, and not 3 %
        of = widgets.HTML(f'<span class="rotorkit-unit">{words.escape(said)}</span>')
        return boxed([what, *cells, of, page], "rotorkit-limit")

    def _field(self, place: str, spec: Field, given: Any) -> FieldBox:
        box = FieldBox(place, spec, spec.title, self.aircraft, self._changed, self._changed)
        self.boxes[place] = box
        self._fill(place, given)
        return box

    def _fill(self, place: str, given: Any) -> None:
        """Put what the file holds into a field."""
        box, text = self.boxes[place], stands(given)
        entry = box.spec.entry
        box.put(typed.for_field(text, entry, self.system) if entry is not None and text else text)
        box.tell("")
        self._filled[place] = box.text

    def _touched(self, place: str) -> bool:
        """Whether the person has typed into a field since it was filled from the file."""
        return self.boxes[place].text != self._filled[place]

    def look(self, folder: Folder) -> bool:
        """Go on with a folder as it was read now: where its aircraft file was changed elsewhere, fields that nobody has
        typed into show what it holds now, and what was typed stays and is not moved. Whether it was."""
        self.folder, self.aircraft = folder, folder.aircraft
        self._offer()
        if text_of(folder.path / AIRCRAFT_FILE) == self.seen:
            return False
        put(self.message, pages.framed(self._look_again()))
        return True

    def _look_again(self) -> str:
        """Read the file again, and fill the fields that nobody has typed into from it: what is to be said of that."""
        before = {place: self.given(place) for place in self.asked}
        filed = {place: rows.filed for place, rows in self.rows.items() if rows.touched}
        self._read()
        under = [place for place, was in before.items() if self.given(place) != was and self._typed_into(place)]
        for place in self.boxes:
            if not self._touched(place):
                self._fill(place, self.given(place))
        for place, rows in self.rows.items():
            rows.follow(self.given(place))
            if rows.touched and rows.filed != filed.get(place):
                self._since.setdefault(place, filed.get(place))
        told = words.note(CHANGED_ELSEWHERE)
        if under:
            named = ", ".join(self.asked[place].title for place in under)
            told += words.wrong(f"{named}. {WRITING_REPLACES}", "Changed there too, where you have typed:")
        if self._since:
            told += words.wrong(CHANGED_SINCE.strip())
        self.keep()
        return told

    @property
    def limits_typed(self) -> list[str]:
        """The limits that were typed and are not written, by name."""
        return [
            words.capital(one.limit.name)
            for place, one in self.asked.items()
            if one.limit is not None and self._typed_into(place)
        ]

    def _typed_into(self, place: str) -> bool:
        return any(map(self._touched, self._boxes_of(self.asked[place])))

    def given(self, place: str) -> Any:
        """What the file holds at a place, as it was last read; None where there is nothing."""
        at: Any = self.tables
        for name in place.split("."):
            if isinstance(at, list):
                at = at[int(name)] if int(name) < len(at) else None
            else:
                at = at.get(name) if isinstance(at, Mapping) else None
        return at

    def _changed(self, box: FieldBox) -> None:
        box.tell("")
        self._keep_soon()

    def set(self, place: str, text: str) -> None:
        """Type into a field: "main_rotor.radius", "cables.left.limits.tension.low"."""
        self.boxes[place].put(text)
        self._changed(self.boxes[place])

    @property
    def values(self) -> dict[str, Any]:
        """What is to be written: what differs from the file, by place."""
        found: dict[str, Any] = {}
        for place, one in self.asked.items():
            if not any(map(self._touched, self._boxes_of(one))):
                continue
            if one.limit is not None:
                sides = {side: self.boxes[f"{place}.{side}"].reading() for side in SIDES}
                value: Any = {side: text for side, text in sides.items() if text} or None
                if value is not None:
                    value.setdefault("source", "")
                given = self.given(place)
                was = {k: v for k, v in given.items() if v} if isinstance(given, Mapping) else {}
                if (value or {}) != was:
                    found[place] = value
                continue
            value, given = written(one, self.boxes[place].reading()), self.given(place)
            if value != given and not (value is None and given in ("", [])):
                found[place] = value
        for place, rows in self.rows.items():
            if rows.touched:
                found |= rows.values(self.given(place))
        return found

    def close(self) -> None:
        """Keep what is not written, and close what the kernel would keep of it beside its box."""
        self.keep()
        close_all(*(self.boxes[place].unit for place, one in self.asked.items() if one.entry is not None))

    def _boxes_of(self, one: Asked) -> list[str]:
        return [one.place] if one.limit is None else [f"{one.place}.{side}" for side in SIDES]

    def _pressed(self) -> None:
        """Write, once no more letters come: a press may overtake the last of them on its way here."""
        if can_wait() and clock.elapsed() - self.typed_at < SETTLED:
            self._later.do("write", SETTLED, self._pressed)
        else:
            self.write()

    def write(self) -> bool:
        """Write what was typed into the aircraft file: whether that was done. What is wrong is said at its field."""
        if self.folder.is_demo:
            put(self.message, words.hint(DEMO))
            return False
        for rows in self.rows.values():
            rows.tell_nothing()
        for box in self.boxes.values():  # what was wrong before may have been put right in another field
            box.tell("")
        try:
            values = self.values
            if not values:
                put(self.message, pages.framed(words.note("The aircraft file already has all of this.")))
                return False
            self._look_at_limits(values)
            aircraft = set_values(self.folder.path, values, self.seen)
        except AircraftFileError as problem:
            self._tell(problem)
            return False
        self._read()
        self._fill_all()
        self.keep()
        figures = len([place for place in values if place in self.asked])
        told = [] if not figures else ["1 figure" if figures == 1 else f"{figures} figures"]
        told += [
            rows.asked.title.lower()
            for place, rows in self.rows.items()
            if any(one == place or one.startswith(f"{place}.") for one in values)
        ]
        put(self.message, pages.framed(words.done(f"Written into {AIRCRAFT_FILE}: {', '.join(told)}.")))
        self._written = True
        self.done(aircraft)
        return True

    def _look_at_limits(self, values: Mapping[str, Any]) -> None:
        """Raise `AircraftFileError` for limits that cannot be read: those of single jobs are not read with the file."""
        faults = []
        for place, value in values.items():
            limit = self.asked[place].limit if place in self.asked else None
            if limit is not None and value is not None:
                try:
                    limit.read_or_none(value)
                except QuantityError as fault:
                    faults.append((place, str(fault)))
        if faults:
            raise AircraftFileError("; ".join(f"{place} {said}" for place, said in faults), faults)

    def _tell(self, problem: AircraftFileError) -> None:
        if not problem.faults:
            told = words.wrong(str(problem))
            put(self.message, pages.framed(told + self._look_again()))
            return
        elsewhere = []
        for place, said in problem.faults:
            sides = [side for side in SIDES if f" {side} " in f" {said.replace(',', ' ')} "]
            limit = place in self.asked and self.asked[place].limit is not None
            at_side = [*sides[-1:], "source"] if limit else []
            key, _, of_key = said.partition(" ")
            near = [place, *(f"{place}.{side}" for side in at_side), f"{place}.{key}"]
            at = next((one for one in near if one in self.boxes), None)
            if at is not None:
                of_value = of_key.startswith(self.boxes[at].text)  # "due 2026-01-31 is before ..."
                self.boxes[at].tell(said if of_value or at != f"{place}.{key}" else of_key)
            elif not any(rows.tell(place, said) for rows in self.rows.values()):
                own = any(one.startswith(f"{place}.") for one in [*self.boxes, *self.rows])
                elsewhere.append(words.capital(said) if own else f"{place}: {said}")
        told = "Nothing is written yet: look at the fields that say what is wrong."
        put(self.message, pages.framed(words.wrong("; ".join(elsewhere) or told)))


class JobAsks:
    """What a job still needs of the aircraft file, asked for in its form. box: the widget; empty where nothing is.

    Arguments: guard, as a form's actions are done; done, called once figures have been written.
    """

    def __init__(self, guard: Callable[[Callable[..., Any]], Callable[..., None]], done: Callable[[], None]) -> None:
        self._guard, self._done = guard, done
        self.box = widgets.VBox([])
        self.figures: FiguresBox | None = None
        self.adds: list[AddBlock] = []
        self._from_checks = FromChecks(apart=True)
        self._for: tuple[Any, ...] = ()

    def follow(
        self, folder: Folder, sheet: type[Sheet], picked: Mapping[str, str], further: Sequence[str] = ()
    ) -> list[str]:
        """Ask for what is missing, and return its places. picked: the form's choices; further: what a working
        missed."""
        aircraft = folder.aircraft
        places = list(dict.fromkeys([*sheet.figures_lacking(picked, aircraft), *further]))
        nothing = _nothing_to_pick(sheet, aircraft)
        offered = self._from_checks.offers(folder, sheet.file_holds, aircraft.aircraft.display)
        tables = dict.fromkeys(place.rpartition(".")[0] for place in sheet.file_holds) if offered else ()
        more = [*sheet.file_holds, *(f"{table}.source" for table in tables)] if offered else []
        asked = [one for place in dict.fromkeys([*places, *more]) if (one := asked_at(place, aircraft)) is not None]
        now = (folder.path, tuple(nothing), bool(places), *((one.place, one.title, one.options) for one in asked))
        if now == self._for:
            if self.figures is not None:
                self.figures.look(folder)
            for add in self.adds:
                add.folder = folder
            return places
        if self.figures is not None:
            self.figures.close()
        close_all(*self.box.children)
        self._for, self.figures, self.adds, children = now, None, [], []
        if nothing:
            what = " and no ".join(_called(table) + (f" for {of}" if of else "") for table, of in nothing)
            said = f"The aircraft file names no {what} yet, and this job needs one: add it here."
            children.append(widgets.HTML(pages.framed(words.note(said))))
        for table, measures in nothing:
            self.adds.append(AddBlock(folder, table, self._written, self._guard, measures))
            children.append(self.adds[-1].box)
        if asked:
            needed = [one for one in asked if one.place in places]
            head = pages.framed(words.note(_needs(needed) if needed else NEWER))
            self.figures = FiguresBox(folder, asked, self._written, self._guard, head, kept_as=FOR_A_JOB + sheet.name)
            children.append(self.figures.box)
        self.box.children = children
        return places

    def _written(self, _aircraft: Aircraft) -> None:
        self._for = ()
        self._done()


def _needs(asked: Sequence[Asked]) -> str:
    """What a job needs of the aircraft file, and where a person finds it."""
    alone = len(asked) == 1
    said = "one figure" if alone else f"{len(asked)} figures"
    start = f"This job needs {said} of your aircraft that {'is' if alone else 'are'} not there yet."
    found = ""
    of_instruments = [one for one in asked if one.place.startswith("instruments.")]
    filed = from_checks()
    tables = {place.rpartition(".")[0] for place in filed}
    weighed = [one for one in asked if one.place in filed or one.place in {f"{table}.source" for table in tables}]
    if len(of_instruments) + len(weighed) < len(asked):
        it = "it" if alone else "those of the aircraft" if of_instruments or weighed else "them"
        found += f" Take {it} from your kit manual, never from another aircraft."
    if weighed:
        found += f" {OF_A_WEIGHING}"
    if any(one.place.endswith(".uncertainty") for one in of_instruments):
        found += f" {HOW_WELL}"
    return start + found


def _called(table: str) -> str:
    return {"controls": "control", "recorders": "engine monitor"}.get(table) or BLOCKS[table][0]


def _nothing_to_pick(sheet: type[Sheet], aircraft: Aircraft) -> list[tuple[str, str]]:
    """The tables of the aircraft file that a field of the sheet has to pick from and that hold nothing to pick, each
    with what an instrument of it is to measure."""
    found = []
    for one in (column for field in sheet.fields() for column in (field.row.fields() if field.row else [field])):
        if one.choice is None or one.choice.of not in TABLE_OF:
            continue
        if not one.required and one.choice.of != "corners":
            continue
        if not aircraft.choices(one.choice.of, one.choice.measures):
            found.append((TABLE_OF[one.choice.of], one.choice.measures))
    return list(dict.fromkeys(found))


def _text_field(label: str) -> Any:
    made = widgets.Text(description=label, continuous_update=True)
    return made


class Monitor:
    """What an engine monitor is begun with: a file that it wrote, and one of its columns; the others follow as rows."""

    def __init__(self, folder: Folder) -> None:
        self.files = tables_in(folder.path)
        options = [("none here yet", ""), *((name, name) for name in self.files)]
        self.file = widgets.Dropdown(description="A file that it wrote", options=options)
        self.channel = widgets.Dropdown(description="One of its columns holds", options=list(CHANNELS))
        self.column, self.unit = _text_field("That column is called"), _text_field("Its unit")
        self.column.placeholder, self.unit.placeholder = "RPM", "rpm"
        self.heads = widgets.HTML()
        self.file.observe(lambda change: self._named(change["new"]), names="value")
        self.fields = [self.file, self.heads, self.channel, self.column, self.unit]
        if len(self.files) == 1:
            self.file.value = next(iter(self.files))

    def _named(self, file: str) -> None:
        put(self.heads, pages.framed(said_of_columns(file, self.files[file].columns)) if file else "")

    def values(self, place: str) -> dict[str, Any]:
        """What is written of it, by place."""
        at = f"{place}.columns.{self.channel.value}"
        found: dict[str, Any] = {f"{at}.column": self.column.value.strip(), f"{at}.unit": self.unit.value.strip()}
        if self.file.value:
            written_as = self.files[self.file.value]
            found = {f"{place}.separator": written_as.separator, f"{place}.decimal": written_as.decimal, **found}
        return found


def said_of_columns(file: str, columns: Sequence[str]) -> str:
    """The columns that a recorded table has, in words."""
    return words.hint(f"The first row of {file} names: {', '.join(columns)}.")


class AddBlock:
    """A button that adds a cable, a tube, a rod, an instrument or a control to the aircraft file, under its name in
    words; or begins an engine monitor. `measures`: what the instrument is to measure, where only one thing will do.
    `figures`: the fields of one that cannot stand in the file by its name alone, to be written together."""

    def __init__(
        self,
        folder: Folder,
        table: str,
        done: Callable[[Aircraft], None],
        guard: Callable[[Callable[..., Any]], Callable[..., None]],
        measures: str = "",
    ) -> None:
        self.folder, self.table, self.done, self.what = folder, table, done, _called(table)
        self.name = self._text(f"New {self.what}: its name")
        self.measures: Any = None
        self.ends: Any = None
        children = [self.name]
        if table == "instruments":
            options = [measures] if measures else list(MEASURES)
            self.measures = widgets.Dropdown(description="What it measures", options=options)
            children.append(self.measures)
        if table == "controls":
            self.ends = self._text("Ends of its travel, separated by commas")
            self.ends.placeholder = "full left, full right"
            children.append(self.ends)
        self.monitor = Monitor(folder) if table == "recorders" else None
        if self.monitor is not None:
            children += self.monitor.fields
        for one in children:
            one.add_class("rotorkit-keep")
        button = widgets.Button(description=f"Add this {self.what}", disabled=folder.is_demo)
        button.on_click(guard(lambda _button: self.add()))
        self.message = widgets.HTML()
        self._guard, self.fields = guard, widgets.VBox([])
        self.figures: FiguresBox | None = None
        self.box = boxed([*children, button, self.message, self.fields], "rotorkit-form", upright=True)

    @staticmethod
    def _text(label: str) -> Any:
        return _text_field(label)

    def add(self) -> str:
        """Add it: the key under which it stands then; empty where nothing was added, and the message says why."""
        title = self.name.value.strip()
        if not title:
            put(self.message, pages.framed(words.wrong(f"First give the new {self.what} a name in words.")))
            return ""
        if self.monitor is not None and not self.monitor.column.value.strip():
            said = "Type the name of that column as it is in the first row of the file."
            put(self.message, pages.framed(words.wrong(said)))
            return ""
        try:
            at: Any = load_toml(self.folder.path / AIRCRAFT_FILE)
            for name in self.table.split("."):
                at = at.get(name, {})
            key = title.replace(".", " ") if self.ends is not None else key_for(title, at)
            if self.table in BLOCKS and "title" not in BLOCKS[self.table][1].model_fields:
                self._ask(key)
                return ""
            aircraft = set_values(self.folder.path, self._values(key, title))
        except AircraftFileError as problem:
            said = "; ".join(what for _, what in problem.faults) or str(problem)
            put(self.message, pages.framed(words.wrong(words.capital(said))))
            return ""
        self.name.value = ""
        put(self.message, pages.framed(words.done(f"Added to {AIRCRAFT_FILE}: {title}.")))
        self.done(aircraft)
        return key

    def _ask(self, key: str) -> None:
        """Show the fields of one that is added by writing them."""
        place, model = f"{self.table}.{key}", BLOCKS[self.table][1]
        if self.figures is not None:
            self.figures.close()
        close_all(*self.fields.children)
        self.figures = FiguresBox(self.folder, asked_in(place, model), self.done, self._guard)
        self.fields.children = [self.figures.box]
        said = f"Fill in the {self.what} below, then write it: it will stand in {AIRCRAFT_FILE} as [{place}]."
        put(self.message, pages.framed(words.note(said)))

    def _values(self, key: str, title: str) -> dict[str, Any]:
        place = f"{self.table}.{key}"
        if self.ends is not None:
            return {place: [end.strip() for end in self.ends.value.split(",") if end.strip()]}
        if self.monitor is not None:
            return {f"{place}.title": title, **self.monitor.values(place)}
        more = {f"{place}.measures": self.measures.value} if self.measures is not None else {}
        return {f"{place}.title": title, **more}
