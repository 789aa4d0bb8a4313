"""The builder's aircraft as a form: every section of the aircraft file as typed fields, each written back into it."""

from __future__ import annotations

import functools
import re
import threading
from collections.abc import Callable, Collection
from pathlib import Path
from typing import Any

from rotorkit.aircraft import Aircraft, AircraftFileError, set_values
from rotorkit.aircraft.asked import BLOCKS
from rotorkit.aircraft.file import AIRCRAFT_FILE, put_back, text_of
from rotorkit.aircraft.milestones import Milestone
from rotorkit.aircraft.ordering import InOrder
from rotorkit.edges import clock
from rotorkit.folder.checks import Folder
from rotorkit.folder.recorded_tables import tables_in
from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.asking import AddBlock, FiguresBox, said_of_columns
from rotorkit.notebook.closing import close_all
from rotorkit.notebook.later import Later
from rotorkit.notebook.layout import boxed
from rotorkit.notebook.parts import options_kept, put
from rotorkit.notebook.sections import fields_of_section, figure_of, movable, removable, sections, title_of
from rotorkit.notebook.style import STYLE
from rotorkit.notebook.unwritten import typed_at
from rotorkit.notebook.watching import QUIET, Watching
from rotorkit.pictures import draw
from rotorkit.quantities import QuantityError
from rotorkit.sheets.catalogue import sheets_in_order
from rotorkit.sheets.drive.shaft_speeds import the_train
from rotorkit.sheets.programme import usual_milestones

ADDED = (*BLOCKS, "controls", "recorders")
"""What can be added by a button, in the order of the buttons' list."""
USUAL_ONES = "Write the usual ones into the file, to change them"
OWN_MILESTONES = (
    "Without milestones of your own the usual ones apply, with the jobs this program knows. Once the file has one, "
    "it must have them all, in order: the usual ones then no longer apply."
)
UNREADABLE = "The file cannot be read as it is now: these fields show it as it was before."
MOVES = {-1: "Move up in the list", 1: "Move down in the list"}
TYPED_THERE = "{}: something is typed there and not written. First write it, or put back what is in the file."
GONE = "[{}] was taken out of the aircraft file elsewhere."
OF_THE_TRAIN = ("drive", "links", "belts", "shafts")
"""Sections under which the whole train is drawn."""
ROWS = "dial reading and tension on each line, for example: 12 20 lb"


class AircraftForm(Watching):
    """A form over the aircraft file of a working folder: one section at a time, and what each job still waits for.

    Arguments: folder, the working folder (default: the nearest one). `show` picks a section; `figures` are its fields.
    """

    def __init__(self, folder: Folder | None = None) -> None:
        self.folder = folder or Folder.here()
        self._lock = threading.RLock()
        self._later = Later(self._guard)
        self._seen = self._states()
        self.figures: FiguresBox | None = None
        self.gauge: GaugeTableBox | None = None
        self.state = widgets.HTML()
        self.pick = widgets.Dropdown(description="Section", options=[])
        self.new = widgets.Dropdown(description="Add another", options=[("nothing", ""), *map(_addable, ADDED)])
        self.fields = widgets.VBox([])
        self.adding = widgets.VBox([])
        self._settling = False
        self.pick.observe(self._guard(self._picked), names="value")
        self.new.observe(self._guard(lambda change: self._offer(change["new"])), names="value")
        picker, adder = boxed([self.pick], "rotorkit-pick"), boxed([self.new], "rotorkit-pick")
        shown = [widgets.HTML(STYLE), picker, self.fields, adder, self.adding, self.state]
        self.box = boxed(shown, "rotorkit-form", upright=True)
        self._settle()
        self.show(next(iter(self.sections)))

    @property
    def system(self) -> str:  # type: ignore[override]
        """The display system of the aircraft file."""
        return self.folder.aircraft.aircraft.display

    def _settle(self) -> None:
        """Follow the file: its sections, and what the jobs wait for."""
        aircraft = self.folder.aircraft
        self.sections = sections(aircraft)
        self._settling = True
        try:
            options = [(title_of(place, aircraft), place) for place in self.sections]
            options_kept(self.pick, options, next(iter(self.sections)))
        finally:
            self._settling = False
        put(self.state, pages.framed(_waiting(aircraft)))

    def _picked(self, change: Any) -> None:
        if not self._settling:
            self.show(change["new"])

    def show(self, place: str) -> None:
        """Show the fields of a section, by its place: "main_rotor", "cables.pedal_left"."""
        if not place:
            return
        if self.pick.value != place:
            self.pick.value = place  # comes back here
            return
        if self.figures is not None:
            self.figures.close()
        close_all(*self.fields.children)
        aircraft = self.folder.aircraft
        asked, tables = fields_of_section(place, self.sections[place], aircraft)
        self.figures = FiguresBox(self.folder, asked, self._written, self._guard, self._head(place), tables, place)
        self.gauge, children = None, [self.figures.box]
        if place.startswith("instruments.") and place.count(".") == 1 and self._measures(place) == "cable tension":
            self.gauge = GaugeTableBox(self.folder, place, self._written, self._guard)
            children.append(self.gauge.box)
        self.more, self.train = boxed([], "rotorkit-answer"), widgets.HTML()
        self.fields.children = [*children, self.more, self.train]
        self._offer_more(place)
        self._show_train(place)

    def _offer_more(self, place: str) -> None:
        """The buttons for what can be done with the whole of a part."""
        assert self.figures is not None
        close_all(*self.more.children)
        more = []
        if place == "milestones.0" and not self.folder.aircraft.milestones:
            more.append(self._button(USUAL_ONES, self.write_usual_milestones))
        more += self._moves(place)
        if removable(place) and self.figures.given(place) is not None:
            more.append(self._button("Remove this from the aircraft file", self.remove))
        self.more.children = more

    def _moves(self, place: str) -> list[Any]:
        """The buttons that move a part up and down among the others of its kind."""
        return [
            self._button(said, functools.partial(self.move, by))
            for by, said in MOVES.items()
            if self._in_order(place, by)
        ]

    def _show_train(self, place: str) -> None:
        """The whole train as the file's links have it, under what is a part of it."""
        drawn: list[str] = []
        if place.split(".")[0] in OF_THE_TRAIN:
            try:
                drawn = [draw(one) for one in the_train(self.folder.aircraft)]
            except (AircraftFileError, QuantityError):  # told at the fields
                drawn = []
        put(self.train, pages.framed(pages.pictures(drawn)) if drawn else "")

    def _button(self, said: str, act: Callable[[], Any]) -> Any:
        button = widgets.Button(description=said, disabled=self.folder.is_demo)
        button.on_click(self._guard(lambda _button: act()))
        return button

    def _head(self, place: str) -> str:
        """What stands above a part's fields: its figure, and what is to be known before."""
        svg = figure_of(place, self.folder.aircraft)
        figure = f'<div class="rotorkit-figure">{svg}</div>'
        shown = f'<details class="rotorkit-shows" open><summary>What these are</summary>{figure}</details>'
        said = words.note(OWN_MILESTONES) if place.startswith("milestones") else ""
        if place.startswith("recorders."):
            said = "".join(said_of_columns(name, one.columns) for name, one in tables_in(self.folder.path).items())
        return pages.framed((shown if svg else "") + said)

    def remove(self) -> bool:
        """Take the part that is shown out of the aircraft file; a button puts it back. Whether that was done."""
        assert self.figures is not None
        place, title = self.pick.value, title_of(self.pick.value, self.folder.aircraft)
        table, _, number = place.rpartition(".")
        if isinstance(there := self.figures.given(table), list):  # those after it get other numbers, and another one
            after = [f"{table}.{later}" for later in range(int(number) + 1, len(there) + 1)]
            if self._typed_there(after):
                return False
        return self._change({place: None}, place, f"Removed from {AIRCRAFT_FILE}: {title}.")

    def move(self, by: int) -> bool:
        """Move the part that is shown up (-1) or down (1) among the others of its kind; a button puts it back. Whether
        that was done."""
        assert self.figures is not None
        place, title = self.pick.value, self._called(self.pick.value)
        table, _, name = place.rpartition(".")
        names = self._in_order(place, by)
        if not names:
            return False
        to, numbered = names.index(name), isinstance(self.figures.given(table), list)
        beside = f"{table}.{names[to - by]}"
        other = self._called(beside)
        if numbered and self._typed_there([place, beside]):
            return False
        said = f"{words.capital(title)} now stands {'before' if by < 0 else 'after'} {other} in {AIRCRAFT_FILE}."
        return self._change({table: InOrder(names)}, f"{table}.{to}" if numbered else place, said, place)

    def _typed_there(self, places: Collection[str]) -> bool:
        """Whether something is typed and not written into one of these parts, which are told by their numbers alone: it
        would come to stand in another. That is said."""
        assert self.figures is not None
        self.figures.keep()
        found = next((one for one in typed_at(self.folder) if one in places), "")
        if found:
            put(self.figures.message, pages.framed(words.wrong(TYPED_THERE.format(words.capital(self._called(found))))))
        return bool(found)

    def _called(self, place: str) -> str:
        """A part by its name alone."""
        return re.sub(r" \(\d+ to be filled in\)$", "", title_of(place, self.folder.aircraft))

    def _in_order(self, place: str, by: int) -> list[str]:
        """The names, or numbers, of a part and the others of its kind, it moved up or down by one; empty where it has
        no place there."""
        table, _, name = place.rpartition(".")
        there = self.figures.given(table) if self.figures is not None and movable(place) else None
        names = list(map(str, range(len(there)) if isinstance(there, list) else there or ()))
        if name not in names or not 0 <= names.index(name) + by < len(names):
            return []
        at = names.index(name)
        names.insert(at + by, names.pop(at))
        return names

    def _change(self, values: dict[str, Any], show: str, said: str, back_to: str = "") -> bool:
        """Write a change of a whole part, show a part, and say what was done, with a button that puts the file back as
        it was and shows the part back_to, else the same. Whether that was done."""
        assert self.figures is not None
        before = self.figures.seen
        try:
            aircraft = set_values(self.folder.path, values, before)
        except AircraftFileError as problem:
            put(self.figures.message, pages.framed(words.wrong(str(problem))))
            return False
        if None in values.values():
            self.figures.as_in_the_file()
        self._written(aircraft)
        self.show(show if show in self.sections else next(iter(self.sections)))
        self._after = text_of(self.folder.path / AIRCRAFT_FILE)
        done = widgets.HTML(pages.framed(words.done(said)))
        back = self._button("Put it back", lambda: self._put_back(before, back_to or show))
        again = self._moves(self.pick.value) if back_to else []  # at hand where the eye is
        self.fields.children = [done, boxed([back, *again], "rotorkit-answer"), *self.fields.children]
        return True

    def _put_back(self, before: str, place: str) -> None:
        """The file as it was before a part was taken out, where it was not changed since."""
        assert self.figures is not None
        file = self.folder.path / AIRCRAFT_FILE
        if not put_back(file, before, self._after):
            said = f"{AIRCRAFT_FILE} has been changed since, so it was not put back as it was: nothing was written."
            put(self.figures.message, pages.framed(words.wrong(said)))
            return
        self._follow()
        self.show(place)

    def write_usual_milestones(self) -> bool:
        """Write the usual milestones into the file, to be changed there. Whether that was done."""
        assert self.figures is not None
        values = {"milestones": [_as_written(one) for one in usual_milestones(self.folder.aircraft)]}
        try:
            aircraft = set_values(self.folder.path, values, self.figures.seen)
        except AircraftFileError as problem:
            put(self.figures.message, pages.framed(words.wrong(str(problem))))
            return False
        self._written(aircraft)
        self.show("milestones.0")
        return True

    def _measures(self, place: str) -> str:
        one = self.folder.aircraft.instruments[place.partition(".")[2]]
        return one.measures if one.has("measures") else ""

    def _offer(self, table: str) -> None:
        close_all(*self.adding.children)
        self.adder = AddBlock(self.folder, table, self._added, self._guard) if table else None
        self.adding.children = [self.adder.box] if self.adder is not None else []

    def add(self, table: str, title: str, measures: str = "", ends: str = "") -> str:
        """Add a cable, tube, rod, instrument or control, as the button does: its key in the file."""
        self.new.value = table
        self._offer(table)
        assert self.adder is not None
        self.adder.name.value = title
        if measures:
            self.adder.measures.value = measures
        if ends:
            self.adder.ends.value = ends
        return self.adder.add()

    def _added(self, _aircraft: Aircraft) -> None:
        before = set(self.sections)
        self._follow()
        fresh = [place for place in self.sections if place not in before]
        if fresh:
            self.show(fresh[0])

    def _written(self, _aircraft: Aircraft) -> None:
        self._follow()
        assert self.figures is not None
        self.figures.look(self.folder)
        self._offer_more(self.pick.value)
        self._show_train(self.pick.value)

    def _follow(self) -> None:
        self.folder = Folder(self.folder.path)
        self._settle()

    @property
    def watched(self) -> Path:
        return self.folder.path

    @property
    def busy(self) -> bool:
        return self.figures is not None and clock.elapsed() - self.figures.typed_at < QUIET

    def _changed_since(self, changed: Collection[str]) -> None:
        """Follow an aircraft file that was changed elsewhere, with what is typed here as it is."""
        assert self.figures is not None
        place, folder = self.pick.value, Folder(self.folder.path)
        try:
            there = place in sections(folder.aircraft)
        except AircraftFileError as problem:
            put(self.state, pages.framed(words.wrong(str(problem).splitlines()[0], UNREADABLE)))
            return
        self._follow()
        if not there:  # what was typed there is kept, and stands there again if the part comes back
            self.show(next(iter(self.sections)))
            put(self.figures.message, pages.framed(words.note(GONE.format(place))))
        elif self.figures.look(self.folder):
            self._offer_more(place)
            self._show_train(place)

    def _tell_fault(self, fault: Exception) -> None:
        put(self.state, pages.framed(words.fault(fault)))

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.box)
        self.watch()


def _as_written(milestone: Milestone) -> dict[str, Any]:
    """A milestone as it stands in the file."""
    needs = [{name: text for name, text in need if text} for need in milestone.needs]
    return {"title": milestone.title, "needs": needs}


def _addable(table: str) -> tuple[str, str]:
    others = {"controls": "control of the pilot's", "recorders": "engine monitor that records"}
    return (others.get(table) or BLOCKS[table][0]), table


def _waiting(aircraft: Aircraft) -> str:
    """Which jobs can be worked with what the file holds, and how many figures each of the others waits for."""
    rows = []
    for sheet in sheets_in_order():
        lacking = sheet.figures_lacking(sheet.picked_in({}, aircraft), aircraft)
        if lacking:
            told = "1 figure" if len(lacking) == 1 else f"{len(lacking)} figures"
            rows.append((sheet.about.title, told))
    contradictions = words.listed(aircraft.inconsistencies())
    fits = f"<p><b>These do not fit together</b></p>{contradictions}" if aircraft.inconsistencies() else ""
    if not rows:
        return f"{fits}<p>Every job has the aircraft figures it needs.</p>"
    return fits + words.table("What jobs are still waiting for", ("Job", "to be filled in"), rows)


class GaugeTableBox:
    """A calibration table of a tension gauge, added to the aircraft file by a button."""

    def __init__(self, folder: Folder, place: str, done: Any, guard: Any) -> None:
        self.folder, self.place, self.done = folder, place, done
        self.riser, self.diameter = self._text("Riser"), self._text("Cable diameter")
        self.spread = self._text("Uncertainty of the tensions")
        self.diameter.placeholder, self.spread.placeholder = "3/32 in", "optional: 1 lb"
        self.rows = widgets.Textarea(description="Rows of the table", placeholder=ROWS, rows=6)
        self.rows.add_class("rotorkit-keep")
        button = widgets.Button(description="Add this gauge table", disabled=folder.is_demo)
        button.on_click(guard(lambda _button: self.add()))
        self.message = widgets.HTML()
        head = widgets.HTML(pages.framed("<h3>Another calibration table of this gauge</h3>" + words.hint(ROWS)))
        children = [head, self.riser, self.diameter, self.rows, self.spread, button, self.message]
        self.box = boxed(children, "rotorkit-form", upright=True)

    @staticmethod
    def _text(label: str) -> Any:
        made = widgets.Text(description=label, continuous_update=True)
        made.add_class("rotorkit-keep")
        return made

    def add(self) -> bool:
        """Add it to the gauge: whether that was done; the message says why not."""
        rows: list[list[Any]] = []
        for number, line in enumerate(self.rows.value.splitlines(), 1):
            if not line.strip():
                continue
            dial, _, tension = line.strip().replace("\t", " ").replace(",", " ").partition(" ")
            try:
                rows.append([float(dial.replace("_", "?")), tension.strip()])
            except ValueError:
                return self._refuse(f'Row {number} needs {ROWS}; got "{line.strip()}"')
        table: dict[str, Any] = {"riser": self.riser.value.strip(), "cable_diameter": self.diameter.value.strip()}
        if self.spread.value.strip():
            table["uncertainty"] = self.spread.value.strip()
        table["rows"] = rows
        try:
            aircraft = set_values(self.folder.path, {f"{self.place}.tables[]": table})
        except AircraftFileError as problem:
            told = [f"{place.rpartition('.')[2].replace('_', ' ')} {said}" for place, said in problem.faults]
            return self._refuse("; ".join(told) or str(problem))
        put(self.message, pages.framed(words.done(f"Added to {AIRCRAFT_FILE}: a table of {len(rows)} rows.")))
        for one in (self.riser, self.diameter, self.rows, self.spread):
            one.value = ""
        self.done(aircraft)
        return True

    def _refuse(self, said: str) -> bool:
        put(self.message, pages.framed(words.wrong(words.capital(said))))
        return False
