"""The one explorer: it shows any exploration, with a labelled field and a slider beside it for each condition.

The field is what counts: a slider only turns it. The picture follows at once; where a field cannot be read the picture
is gone and the field says why. The picture bears no uncertainty and no verdict: those the form's sheet gives, worked
under it at the same conditions with the form's readings.
"""

from __future__ import annotations

import functools
import math
import threading
from collections.abc import Mapping
from typing import Any

from rotorkit.aircraft.entries import MissingFigures
from rotorkit.aircraft.said import places_in_words
from rotorkit.edges import clock
from rotorkit.folder.checks import Folder
from rotorkit.folder.standing import NOTHING
from rotorkit.judging.limits import WORDS
from rotorkit.notebook import pages, widgets, words
from rotorkit.notebook.closing import close_all
from rotorkit.notebook.fields import FieldBox
from rotorkit.notebook.form import OVERTAKEN, PAUSE, Form
from rotorkit.notebook.guarded import Guarded
from rotorkit.notebook.later import Later
from rotorkit.notebook.layout import boxed
from rotorkit.notebook.parts import put
from rotorkit.notebook.style import STYLE
from rotorkit.pictures import draw
from rotorkit.pictures.data import Angles, Bars, Chart, Contour, with_a_scale
from rotorkit.quantities import QuantityError, in_unit, unit_label
from rotorkit.sheets.base import Field, Outcome, SheetError
from rotorkit.sheets.exploring.explorations import (
    EXPLORATIONS,
    Exploration,
    Knob,
    Seen,
    readings_at,
    starting_values,
)
from rotorkit.sheets.performance.power_reckoning import BY_BLADES, BY_MERIT, BY_PARTS

ONE_WIDE, SIDE_BY_SIDE = 560, 408
TYPING = "<p>You are typing: the picture follows when you press Enter or pause.</p>"
UNJUDGED = (
    "The picture is an estimate without uncertainty and without a verdict. It is for planning tests, never for "
    "going beyond "
    "the manual's limits: the form's verdict and the manual are what count."
)
JUDGED_AFTER = 0.25
"""Seconds after the picture within which the form's sheet is worked at its conditions."""
MOST_JUDGED = 3
WAITS = (
    "Nothing to explore yet: this starts as soon as the aircraft file has the figures it needs. The form above asks "
    "for them; still missing here: {}."
)


class Explorer(Guarded):
    """An exploration to turn at.

    Arguments: name, one of `explorations.EXPLORATIONS`, or an exploration itself; start, a `Form` whose readings it
    begins with, or a working folder. `set` types into a field, `turn` moves its slider; `seen` is what is shown, or
    None; `problems` what keeps it from being shown, by field.
    """

    def __init__(self, name: str | Exploration, start: Form | Folder) -> None:
        if isinstance(name, str) and name not in EXPLORATIONS:
            raise ValueError(f"no exploration is called {name!r}: there are {', '.join(EXPLORATIONS)}")
        self.of = EXPLORATIONS[name] if isinstance(name, str) else name
        self.exploration = self.of
        self.form = start if isinstance(start, Form) else None
        self.aircraft = start.aircraft
        self.system = self.aircraft.aircraft.display
        self.seen: Seen | None = None
        self.problems: dict[str, str] = {}
        self.fault: Exception | None = None
        self._lock = threading.RLock()
        self._later = Later(self._guard)
        self._entered_at = -OVERTAKEN
        self._moving = False
        self._values: dict[str, float] = {}
        self._began: dict[str, float] | None = None
        self._beyond: set[str] = set()
        self._readings: Mapping[str, Any] = {}
        self._folder = start.folder if isinstance(start, Form) else start
        self.knobs: dict[str, Knob] = {}
        self.box = boxed([], "rotorkit-form", "rotorkit-explorer", upright=True)
        self._begin()
        if self.form is not None:
            self.form.on_change(self._guard(lambda _form: self._follow()))

    def _begin(self) -> None:
        """Begin with the form's readings; where figures of the aircraft are lacking, say which."""
        readings = self.form.readings if self.form is not None else {}
        try:
            self._made_for(readings)
        except MissingFigures as missing:
            self.knobs = {}
            self._make()
            self.problems = {"": WAITS.format(places_in_words(missing.places))}
            put(self.state, pages.framed(words.note(self.problems[""])))
            return
        self._make()
        self._load(readings)

    def _made_for(self, readings: Mapping[str, Any]) -> None:
        """Its knobs, and itself where it is made again for the readings that it begins with."""
        if self.of.begun is not None:
            self.exploration = self.of.begun(self.aircraft, readings, self._others())
        self.knobs = {knob.name: knob for knob in self.exploration.knobs(self.aircraft)}

    def _others(self) -> dict[str, Mapping[str, Any]]:
        """The readings that stand for checks of other sheets, one of each: what was saved last, else as the folder has
        them; of the form's own sheet the form's."""
        if self.form is not None:
            standing = self.form.keeping.of_sheets(self.of.also, but=self.form.check).values()
            found = {one.sheet: one.readings for one in reversed([*standing]) if one.source != NOTHING}
            return {**found, self.form.sheet.name: self.form.readings}
        return {one.sheet: one.readings for one in reversed(self._folder.checks) if one.sheet in self.of.also}

    def _follow(self) -> None:
        """Go on with the aircraft as it is, once its file has been written in the form."""
        if self.form is None or self.form.folder is self._folder:
            return
        self._folder, self.aircraft = self.form.folder, self.form.aircraft
        if self.knobs:
            self.work()
        else:
            self._begin()

    # what it is told

    def set(self, name: str, text: str) -> None:
        """Type into a field, and have it taken."""
        with self._lock:
            self.fields[name].put(text)
            self.work()

    def turn(self, name: str, value: float) -> None:
        """Move a slider, in the unit beside its field."""
        self.sliders[name].value = value

    def get(self, name: str) -> str:
        """What stands in a field."""
        return self.fields[name].text

    def load(self, readings: Mapping[str, Any]) -> None:
        """Begin with a sheet's readings; what they do not hold stands at its usual value."""
        with self._lock:
            if self.of.begun is not None:
                before = self.knobs
                self._made_for(readings)
                if self.knobs != before:
                    self._make()
            self._load(readings)

    def _load(self, readings: Mapping[str, Any]) -> None:
        with self._lock:
            given = starting_values(readings)
            self._readings, self._began, self._beyond = readings, None, set()
            for name, knob in self.knobs.items():
                text = given.get(name, knob.start)
                try:
                    knob.entry.read(text)
                except QuantityError:  # outside what can be turned to, or not readable: the form says so
                    text = knob.start
                    self._beyond.add(name)
                self.fields[name].put(self._shown(knob, knob.si(text)))
            if self.estimate is not None:
                self.estimate.value = given.get("estimate", BY_MERIT)
            self.work()

    # making it

    @property
    def charts(self) -> list[Chart | Contour | Bars | Angles]:
        """The pictures as the explorer stands now, each with its `plot(ax=None)`; none where it says why not."""
        return [] if self.seen is None else with_a_scale(self.seen.pictures)

    def _make(self) -> None:
        self.fields: dict[str, FieldBox] = {}
        self.sliders: dict[str, Any] = {}
        self.estimate: Any = None
        lines = []
        changed, entered = self._guard(self._on_changed), self._guard(self._on_entered)
        for name, knob in self.knobs.items():
            spec = Field(name, knob.title, "", True, knob.entry)
            box = FieldBox(name, spec, self._label(knob.title), self.aircraft, changed, entered, show_hint=False)
            box.control.description_allow_html = True
            step = knob.step[self.system == "metric"]
            low, high = (self._number(knob, knob.si(text)) for text in (knob.low, knob.high))
            # a slider counts its steps from its lower end: whole steps give whole figures
            low, high = (step * turn(round(end / step, 6)) for end, turn in ((low, math.ceil), (high, math.floor)))
            slider = widgets.FloatSlider(
                min=low, max=high, step=step, readout=False, description="",
                layout=widgets.alike(width="100%", min_width="120px"),
            )  # fmt: skip
            slider.observe(self._guard(functools.partial(self._on_moved, name)), names="value")
            self.fields[name], self.sliders[name] = box, slider
            lines.append(boxed([box.control, box.unit, slider, box.echo], "rotorkit-line", "with-slider"))
        if self.exploration.estimates:
            options = [BY_MERIT, BY_PARTS, *([BY_BLADES] if self.aircraft.main_rotor.blade is not None else [])]
            self.estimate = widgets.Dropdown(options=options, value=BY_MERIT, description=self._label("Estimate by"))
            self.estimate.description_allow_html = True
            self.estimate.observe(self._guard(lambda _change: self.work()), names="value")
            lines.append(boxed([self.estimate], "rotorkit-pick"))
        self.state, self.picture, self.said, self.judged = (widgets.HTML() for _ in range(4))
        for shown in (self.picture, self.said, self.judged):
            shown.add_class("rotorkit-outcome")
        about = widgets.HTML(
            STYLE
            + pages.framed(
                f"<p><b>{words.escape(self.exploration.title)}.</b> {words.escape(self.exploration.about)}</p>"
            )
        )
        parts: list[Any] = [about, boxed(lines, "rotorkit-fields", upright=True)]
        if self.form is not None:
            button = widgets.Button(description="Start again with the form's readings")
            button.on_click(self._guard(lambda _button: self.load(self.form.readings if self.form else {})))
            parts.append(button)
        parts += [self.state, boxed([self.picture, self.said, self.judged], "rotorkit-outcome", upright=True)]
        if not self.knobs:  # nothing to explore yet
            parts = [about, self.state]
        before, self.box.children = self.box.children, parts
        close_all(*before)

    def _ipython_display_(self) -> None:
        from IPython.display import display

        display(self.box)

    def _label(self, title: str) -> str:
        """A page may hold several fields of one title: which explorer this is of is told to whoever does not see it."""
        return f'{words.escape(title)}<span class="rotorkit-unseen">, {words.escape(self.exploration.short)}</span>'

    def _number(self, knob: Knob, si: float) -> float:
        return float(in_unit(si, knob.entry.shown_unit(self.system), knob.entry.wanted))

    def _shown(self, knob: Knob, si: float) -> str:
        """A value as it stands in its field: by the slider's step, with the unit."""
        step = knob.step[self.system == "metric"]
        decimals = max(0, len(f"{step:g}".partition(".")[2]))
        label = unit_label(knob.entry.shown_unit(self.system), knob.entry.wanted)
        number = f"{self._number(knob, si):,.{decimals}f}"
        return f"{number} {'deg' if label == '°' else label}".strip()

    # what happens

    def _on_changed(self, box: FieldBox) -> None:
        if clock.elapsed() - self._entered_at < OVERTAKEN:  # Enter was quicker than the last key
            self.work()
            return
        box.untaken()
        self.seen = None
        self.box.add_class("rotorkit-typing")
        self.state.value = TYPING
        self._later.do("work", PAUSE, self.work)

    def _on_entered(self, _box: FieldBox) -> None:
        self._entered_at = clock.elapsed()
        self.work()

    def _stand(self, name: str, si: float) -> float:
        """Where a slider stands for a value: on the step next to it, since the page moves it there in any case and
        would take that for a turn by hand."""
        slider = self.sliders[name]
        at = min(max(self._number(self.knobs[name], si), slider.min), slider.max)
        return float(slider.min + slider.step * round((at - slider.min) / slider.step))

    def _on_moved(self, name: str, change: Any) -> None:
        knob = self.knobs[name]
        if self._moving or (name in self._values and self._same(name, change["new"])):
            return
        unit = knob.entry.shown_unit(self.system)
        low, high = (float(in_unit(si, unit, knob.entry.wanted)) for si in (0.0, 1.0))
        self.fields[name].put(self._shown(knob, (change["new"] - low) / (high - low)))
        self.work()

    def _same(self, name: str, stand: float) -> bool:
        """Whether a slider stands where its field's value puts it already."""
        return abs(stand - self._stand(name, self._values[name])) < 1e-6 * float(self.sliders[name].step)

    def work(self) -> None:
        """Show what the fields come to."""
        self._anew(self._work, "work")

    def _work(self) -> None:
        values, self.problems, self.seen = {}, {}, None
        for name, box in self.fields.items():
            knob = self.knobs[name]
            try:
                values[name] = float(knob.entry.read(box.value()).si)
            except QuantityError as problem:
                self.problems[name] = str(problem)
        if not self.problems:
            try:
                self.seen = self.exploration.see(self.aircraft, values, self.estimate.value if self.estimate else "")
            except QuantityError as problem:
                self.problems[""] = str(problem)
        self._values = values
        if self._began is None:  # what is shown for a reading beyond the range is not what the form has
            self._began = {name: si for name, si in values.items() if name not in self._beyond}
        self._show(values)

    def _show(self, values: Mapping[str, float]) -> None:
        self._moving = True  # before the picture: whoever sees that turns on from where the value stands
        try:
            for name, box in self.fields.items():
                box.tell(self.problems.get(name, ""))
                if name in values:
                    slider, at = self.sliders[name], self._stand(name, values[name])
                    if abs(slider.value - at) > 1e-6 * slider.step:
                        slider.value = at
        finally:
            self._moving = False
        if self.seen is not None:
            width = ONE_WIDE if len(self.seen.pictures) == 1 else SIDE_BY_SIDE
            drawn = [draw(picture, width) for picture in self.seen.pictures]
            put(self.picture, pages.framed(pages.pictures(drawn)))
            put(self.said, pages.framed(words.listed([*self.seen.lines, self.exploration.closing or UNJUDGED])))
        else:
            put(self.picture, "")
            put(self.said, "")
        put(self.judged, "")
        if self.seen is not None and self.form is not None:
            self._later.do("judged", JUDGED_AFTER, self._judge)
        self.box.remove_class("rotorkit-typing")
        titles = {name: knob.title for name, knob in self.knobs.items()}
        why = words.why_not(self.problems, titles).replace("No verdict yet", "No picture yet")
        put(self.state, "" if self.seen is not None else pages.framed(why))

    def at_these_conditions(self) -> Outcome | None:
        """What the form's sheet comes to at the conditions turned to, with the uncertainty that its readings have; None
        where there is no form, or a condition is none of its readings, or it cannot be worked there."""
        if self.form is None or self.seen is None or self._began is None:
            return None
        if self.exploration.conditions is not None:
            return self.exploration.conditions(self.aircraft, self._values, self._began)
        readings = readings_at(self._readings, self._began, self._values, self.knobs)
        if readings is None:
            return None
        if self.estimate is not None and "estimate" in readings:
            readings["estimate"] = self.estimate.value
        try:
            return self.form.sheet.from_readings(readings).work(self.aircraft)
        except SheetError:
            return None

    def _judge(self) -> None:
        outcome = self.at_these_conditions()
        if outcome is None or self.form is None:
            put(self.judged, "")
            return
        bearing = [one for one in outcome.findings if not one.aside] or outcome.findings
        worst_first = sorted(bearing, key=lambda one: WORDS.index(one.verdict.word))
        figures = "; ".join(f"{one.title} {one.said}: {one.verdict.word}" for one in worst_first[:MOST_JUDGED])
        title = self.form.sheet.about.title
        said = f"The check {title} at these conditions, with the ± of the form's readings: {outcome.word}. {figures}."
        after = [one for one in outcome.first if one not in outcome.warned]
        put(self.judged, pages.framed(words.note(" ".join([*outcome.warned, said, *after]))))

    def _tell_fault(self, fault: Exception) -> None:
        self.fault, self.seen = fault, None
        for shown in (self.picture, self.said, self.judged):
            put(shown, "")
        self.box.remove_class("rotorkit-typing")
        put(self.state, pages.framed(words.fault(fault)))
