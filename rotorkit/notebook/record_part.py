"""Saving a form to the record, and what the record holds of its check: earlier entries, figures over time, corrections,
and earlier readings to start from again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from rotorkit.edges import clock
from rotorkit.folder.checks import READINGS_FILE
from rotorkit.folder.drafts import Draft
from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.layout import boxed
from rotorkit.notebook.parts import Followed, Part, options_kept, put
from rotorkit.pictures import draw
from rotorkit.record import SAVED, History, RecordError, SavedEntry, history, rework
from rotorkit.record.history import told_ahead

TREND_WIDTH = 560
MOST_SHOWN = 12
"""So many earlier entries are listed; the dossier and the terminal list all."""
MOST_OFFERED = 60
JUST_NOW = 3.0
"""Seconds within which a second press of the button, with nothing typed in between, is taken for a slip."""
SAVE = (
    "<p>A check that is not written down did not happen. What you save is kept in <code>record.sqlite</code> beside "
    "your aircraft file, and nothing in it is ever changed. To fix a mistake, save a correction; it names the entry it "
    "replaces and gives the reason. The next time, the form begins with what you saved last.</p>"
)
NEW_ENTRY = "a new entry"
NEW = FROM_FILE = 0
"""What stands for no entry: entries are numbered from 1. (A list takes None for nothing picked.)"""


class RecordPart(Part):
    """Who did the work and the button that saves, which stay in sight as the form's `bar`; besides a note, what it
    corrects, and what the record holds, which is read when it is first looked at (`read`)."""

    def __init__(self, form: Followed) -> None:
        self.form = form
        self.title = widgets.Text(description="Name of the new check")
        self.who = widgets.Text(description="Work done by")
        self.note = widgets.Textarea(description="Note", rows=2)
        self.sort = widgets.Dropdown(description="Save it as", options=[(NEW_ENTRY, NEW)])
        self.why = widgets.Text(description="Why it is corrected")
        self.button = widgets.Button(description="Save to the record")
        self.message = widgets.HTML()
        self.earlier = widgets.HTML()
        self.figure = self._pick("Over time", self._figure_chosen)
        self.trend = widgets.HTML()
        self.start = self._pick("Start again from", lambda _change: None)
        self.start_button = widgets.Button(description="Put these readings into the form")
        self.start_message = widgets.HTML()
        for one in (self.title, self.who, self.note, self.sort, self.why):
            one.add_class("rotorkit-keep")
        self.sort.observe(form._guard(self._sort_chosen), names="value")
        self.button.on_click(form._guard(self._save))
        self.start_button.on_click(form._guard(self._start))
        self._seen: tuple[Any, ...] = ()
        self._history = History("", [])
        self._charts: list[Any] = []
        self._drafts: list[Draft] = []
        self._saved_at = -JUST_NOW
        self._told_of: tuple[object, ...] = ()
        self._figure_box = self._picker(self.figure)
        self._start_box = widgets.VBox([self._picker(self.start), self.start_button, self.start_message])
        self.bar = boxed([self.title, self.who, self.button, self.message], "rotorkit-bar")
        self.read = False
        super().__init__(
            form,
            [
                *(widgets.HTML(pages.framed(SAVE)), self.note, self.sort, self.why),
                *(self.earlier, self._figure_box, self.trend, self._start_box),
            ],
        )
        self._shapes()

    def update(self) -> Iterator[None]:
        """Follow the form: first what stands there, then its history, where anything that it is told by is another:
        record, check, units, the aircraft file as it is now, or the day."""
        keeping = self.form.keeping
        self._shapes()
        if self._told_of != self._stands:  # what was said belongs to other readings
            put(self.message, "")
            put(self.start_message, "")
        self.box.remove_class("rotorkit-typing")
        yield
        if not self.read:  # nobody looks at it yet
            return
        now = (
            *(keeping.stamp, self.form.check, keeping.elsewhere, self.form.system, clock.today()),
            self._file_as_it_is(),
        )
        if now != self._seen:
            self._seen = ()  # where a key comes before all of it is told, it is told with the next working
            yield from self._read()
            self._seen = now

    def _file_as_it_is(self) -> str:
        try:
            return self.form.keeping.record.aircraft_text()
        except RecordError as problem:
            return str(problem)

    @property
    def _stands(self) -> tuple[object, ...]:
        return self.form.check, self.form.readings, self.form._told_of_limits

    def tell_nothing(self) -> None:
        """Take away what was said of the entry saved before: another stands for it now."""
        put(self.message, "")

    def _tell(self, where: Any, told: str) -> None:
        self._told_of = self._stands
        put(where, told)

    def _shapes(self) -> None:
        """What stands there: a name for a new check, a reason for a correction."""
        widgets.show(self.title, not self.form.check)
        widgets.show(self.sort, len(self.sort.options) > 1)
        widgets.show(self.why, self.sort.value != NEW)

    def _read(self) -> Iterator[None]:
        keeping, check = self.form.keeping, self.form.check
        try:
            self._history = history(keeping.record, check) if check and not keeping.problem else History("", [])
            told = "" if keeping.problem else words.earlier_entries(self._history, MOST_SHOWN, keeping.untrue)
            start = self._offered()
        except RecordError as problem:
            self._history, told, start = History("", []), words.wrong(str(problem)), []
        put(self.earlier, pages.framed(told))
        sound = [row.entry for row in reversed(self._history.standing) if keeping.sound(row.entry)]
        standing = sound[:MOST_OFFERED]
        options_kept(
            self.sort, [(NEW_ENTRY, NEW), *((f"a correction of {_named(e)}", e.number) for e in standing)], NEW
        )
        options_kept(self.start, start, start[0][1] if start else None)
        widgets.show(self._start_box, bool(start))
        self._shapes()
        yield
        ahead = self._history.looks_ahead(self.form.system)
        drawn = [one.chart for one in ahead if one.chart is not None]
        titles = {chart.title for chart in drawn}
        self._charts = [
            *drawn, *(one for one in self._history.charts(self.form.system) if one.title not in titles)
        ]  # fmt: skip
        told += "".join(words.note(one) for one in told_ahead(ahead))
        options_kept(
            self.figure, [(chart.y_label, i) for i, chart in enumerate(self._charts)], 0 if self._charts else None
        )
        widgets.show(self._figure_box, bool(self._charts))
        self._draw()
        yield
        put(self.earlier, pages.framed(told + self._stale()))

    def _stale(self) -> str:
        """Why the last entry no longer stands as it was saved, if so."""
        keeping = self.form.keeping
        entry = keeping.last(self.form.check)
        if entry is None:
            return ""
        try:
            now = keeping.record.aircraft_text()
            then = keeping.record.file_text_or_none(entry.aircraft_file)
            again = rework(entry, then, now, clock.today(), entries=keeping.record)
        except RecordError as problem:
            return words.wrong(str(problem))
        if not again.stale:
            return ""
        told = "; ".join(f"{cause.word}: {cause.sentence}" for cause in again.causes)
        return words.note(f"Entry {entry.number} is stale: it no longer stands as saved. {words.capital(told)}.")

    def _offered(self) -> list[tuple[str, Any]]:
        """Earlier readings to start from again: the readings file's, and the entries of this sheet, newest first."""
        keeping = self.form.keeping
        found: list[tuple[str, Any]] = []
        if not keeping.problem:
            for row in reversed(keeping.listed()):
                if len(found) == MOST_OFFERED:
                    break
                if row.sheet == keeping.sheet.name and keeping.sound(one := keeping.record.entry(row.number)):
                    found.append((f"{_named(one)}: {one.title}", one.number))
        if keeping.in_file(self.form.check) is not None:
            found.append((f"what {READINGS_FILE} has for this check", FROM_FILE))
        self._drafts = keeping.other_drafts(self.form.check)
        found += [(f"the draft of {one.when}, not saved", -i) for i, one in enumerate(self._drafts, 1)]
        return found

    def _figure_chosen(self, _change: object) -> None:
        self._draw()

    def _draw(self) -> None:
        number = self.figure.value
        chart = self._charts[number] if number is not None and number < len(self._charts) else None
        put(self.trend, "" if chart is None else pages.framed(pages.pictures([draw(chart, TREND_WIDTH)])))

    def _sort_chosen(self, _change: object) -> None:
        self._shapes()

    # what the buttons do

    def _save(self, _button: object) -> None:
        if clock.elapsed() - self._saved_at < JUST_NOW and self.form.saved == SAVED and self.sort.value == NEW:
            return  # the message of the press before still stands
        if self.form.typing:
            self.form.work()
            self._tell(self.message, words.wrong("The verdict has only just been worked out: look at it, then save."))
            return
        try:
            entry = self.form.save(
                self.who.value,
                self.note.value,
                self.sort.value if self.sort.value != NEW else None,
                self.why.value if self.sort.value != NEW else "",
                self.title.value,
            )
        except RecordError as problem:
            self._tell(self.message, words.refused(str(problem)))
            return
        self._saved_at = clock.elapsed()
        self.title.value = self.note.value = self.why.value = ""
        self.sort.value = NEW
        self._tell(self.message, words.saved(entry))
        for _ in self.update():
            pass

    def look(self) -> None:
        """Read what the record holds of the check, and follow it from now on."""
        self.read = True
        for _ in self.update():
            pass

    def _start(self, _button: object) -> None:
        keeping, number = self.form.keeping, self.start.value
        try:
            if number == FROM_FILE:
                found = keeping.in_file(self.form.check)
                readings, of = (found.readings if found is not None else {}), READINGS_FILE
            elif number < FROM_FILE:
                readings, of = self._drafts[-number - 1].readings, "that draft"
            else:
                entry = keeping.record.entry(number)
                if not keeping.sound(entry):
                    raise RecordError(f"Entry {entry.number} is not as it was saved, so its readings are not offered.")
                readings, of = entry.readings, f"entry {number}"
        except RecordError as problem:
            self._tell(self.start_message, words.wrong(str(problem)))
            return
        self.form.load(readings)
        self._tell(self.start_message, words.done(f"The readings of {of} are now in the form; nothing has been saved."))


def _named(entry: SavedEntry) -> str:
    return f"entry {entry.number} ({entry.local:%Y-%m-%d %H:%M}, {entry.word})"
