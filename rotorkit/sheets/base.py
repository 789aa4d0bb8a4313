"""What a sheet is: one job from raw readings to verdict, that never knows who shows it.

A sheet's fields say what they hold, what they mean and how they are measured. `work` takes the aircraft and returns an
`Outcome`: the worked steps, the findings with their verdicts, the data of the pictures, and what should be looked at.
"""

from __future__ import annotations

import functools
import re
from abc import abstractmethod
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from contextvars import ContextVar
from dataclasses import dataclass, field, replace
from datetime import date
from importlib import import_module
from importlib.util import find_spec
from typing import TYPE_CHECKING, Any, ClassVar, Literal, Self, get_args, get_origin

from pydantic import PrivateAttr, ValidationError
from pydantic.fields import FieldInfo

from rotorkit.aircraft.entries import (
    Choice,
    Entry,
    GivenRows,
    LimitEntry,
    MissingFigures,
    Readings,
    Section,
    message_of,
)
from rotorkit.aircraft.said import missing_figures
from rotorkit.edges import clock
from rotorkit.edges.recent import Recent, TheVerySame
from rotorkit.edges.visible import in_a_line
from rotorkit.formula import Line, Worked
from rotorkit.formula.notation import latex_text
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE, WORDS, Limit, Verdict, worst
from rotorkit.judging.measured import Measured
from rotorkit.pictures.data import BarRow, Bars, Picture
from rotorkit.quantities import (
    QuantityError,
    Ratio,
    display,
    display_system,
    in_unit,
    required_kind,
    say,
    unit_factor,
    unit_label,
)
from rotorkit.quantities.errors import shortened
from rotorkit.sheets.exercises import Exercise
from rotorkit.sheets.parts_words import missing_words
from rotorkit.sources import Citation

if TYPE_CHECKING:
    from rotorkit.aircraft import Aircraft, Instrument


@dataclass(frozen=True)
class About:
    """What a sheet says of itself."""

    title: str
    settles: str
    when: str
    tools: tuple[str, ...]
    procedure: tuple[str, ...]
    sign_convention: str
    cautions: tuple[str, ...]
    not_covered: tuple[str, ...]


NO_ROWS = GivenRows()


@dataclass(frozen=True)
class Field:
    """One field as a form shows it. name: as in the sheet. One of entry, choice, row, or plain text (none of them)."""

    name: str
    title: str
    how: str
    required: bool
    entry: Entry | None = None
    choice: Choice | None = None
    row: type[Row] | None = None
    default: Any = None
    given: GivenRows = NO_ROWS


@dataclass(frozen=True)
class Finding:
    """One figure of a sheet with its verdict. key: stable over versions, for the record. aside: a figure told beside
    the judged ones, which has no limit of its own, or for which none is set and none need be."""

    key: str
    title: str
    verdict: Verdict
    aside: bool = False
    system: str = ""
    """The display system it is said in: the aircraft's, set by `Sheet.work`; empty for the one in force."""

    @property
    def measured(self) -> Measured:
        return self.verdict.measured

    @property
    def counted(self) -> str:
        """A count, which is exact, as it was counted; empty for anything that is none."""
        return _count(self.measured)

    @property
    def said(self) -> str:
        """The figure with its uncertainty, in the limit's unit; a count as it was counted."""
        limit = self.verdict.limit
        with display(self.system or display_system()):
            return self.counted or say(self.measured, limit.said_in if limit is not None and not limit.open else None)

    def unit(self, system: str) -> str:
        """The unit that it is said in, in a display system, as `said` and `row` say it: the limit's, else the
        figure's."""
        limit = self.verdict.limit
        with display(system):
            unit = limit.said_in if limit is not None and not limit.open else None
        return unit or self.measured.shown_unit(system)

    def row(self) -> tuple[str, str, str, str]:
        """What, figure with uncertainty, limit with source, verdict in words: a row of the verdict table."""
        limit = self.verdict.limit
        with display(self.system or display_system()):
            shown = self.said
            against = f"{limit.text} ({limit.source})" if limit is not None and not limit.open else "none given"
        return self.title, shown, against, self.verdict.word


def _count(figure: Measured) -> str:
    """A count, which is exact, in whole or half numbers as it was counted; empty for anything that is none."""
    if figure.kind.si or figure.components or (2 * float(figure.si)) % 1 or abs(figure.si) > 1000:
        return ""
    return f"{float(figure.si):g}"


@dataclass(frozen=True)
class Outcome:
    """What a sheet comes to.

    lead: sentences that stand first wherever the outcome is told: what physics does not allow, and that a figure is an
    estimate. missing: the parts of the whole job that are still to be done, in words; `Sheet.work` fills it.
    told_to_do: the sheet's own sentence on what to do, or what can be done today; it_covers: beginnings of the keys of
    the findings that it sees to. unfinished: what is still being worked, in words, where only what is quick was asked
    for: no record takes such an outcome. unjudged: whether a verdict is among what is still being worked.
    """

    title: str
    findings: list[Finding]
    steps: list[Worked]
    pictures: list[Picture] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    lead: list[str] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)
    told_to_do: str = ""
    it_covers: tuple[str, ...] = ()
    unfinished: tuple[str, ...] = ()
    unjudged: bool = False

    @property
    def to_do(self) -> str:
        """What to do, in words, for the place beside the verdict: the sheet's own sentence, then what the figures that
        bear the verdict ask for, as far as that sentence does not see to them, then what is still missing."""
        word, said, bearing = self.word, [self.told_to_do] if self.told_to_do else [], self.bearing
        if word in (OUT_OF_LIMITS, TOO_CLOSE) or (word == UNDONE and not self.missing):
            named = [f"{one.title}: {one.verdict.settle.split('; ')[0]}." for one in bearing if one.verdict.settle]
            said += named[:MOST_TOLD]
            if len(named) > MOST_TOLD:
                said.append(f"And {len(named) - MOST_TOLD} more, in the table.")
        elif word == NO_LIMIT:
            said.append(f"Write the manual's limit into the aircraft file: {'; '.join(one.title for one in bearing)}.")
        if self.missing:
            said.append(missing_words(self.missing))
        said += [f"{what[:1].upper()}{what[1:]} is being worked." for what in self.unfinished]
        return " ".join(said) or NOTHING_TO_DO

    @property
    def bearing(self) -> list[Finding]:
        """The figures that bear the verdict, as far as what the working says is to be done does not see to them; to a
        limit that is not given nothing does."""
        covered = ("\0",) if self.word == NO_LIMIT else self.it_covers or ("\0",)
        return [
            found
            for found in self.findings
            if not found.aside and found.verdict.word == self.word and not found.key.startswith(covered)
        ]

    @property
    def to_do_after_first(self) -> str:
        """The same for a place where the sentences of `first` stand already."""
        said = self.to_do
        for one in self.first:
            said = said.replace(one, "")
        return " ".join(said.split())

    @property
    def word(self) -> str:
        """The worst verdict, of the figures that are not told aside; none yet as long as a part of the job is missing,
        or a verdict is still being worked, and what is there is not out of limits or too close to call."""
        found = worst([finding.verdict for finding in self.findings if not finding.aside])
        return UNDONE if (self.missing or self.unjudged) and found in (NO_LIMIT, IN_LIMITS) else found

    @property
    def deciding(self) -> Finding | None:
        """The figure that the verdict hangs on: of those with the worst word the one that its limit leaves the least
        room, counted in its own uncertainties; None where there is no figure."""
        judged = [one for one in self.findings if not one.aside] or self.findings
        word = worst([one.verdict for one in judged])
        return min((one for one in judged if one.verdict.word == word), key=lambda one: one.verdict.room, default=None)

    @property
    def unsure(self) -> list[str]:
        """Of the lead what says that a figure is an estimate, or rests on a reading whose error nobody knows."""
        return [said for said in self.lead if said.startswith((AN_ESTIMATE, *NOBODY_KNOWS))]

    @property
    def warned(self) -> list[str]:
        """Of the lead all else: what physics does not allow, and what is to be looked at before anything turns."""
        return [said for said in self.lead if said not in self.unsure]

    @property
    def first(self) -> list[str]:
        """The sentences to be read before any figure: the lead, and what is still missing."""
        return [*self.lead, *([missing_words(self.missing)] if self.missing else [])]

    def finding(self, key: str) -> Finding:
        """A finding by its key."""
        for found in self.findings:
            if found.key == key:
                return found
        raise KeyError(f"no finding {key!r}: there are {', '.join(f.key for f in self.findings)}")


@dataclass(frozen=True)
class Needed:
    """That a usual milestone needs a sheet. before: the milestone's title, one of `USUAL_MILESTONES`; why: the reason,
    for the one who reads the board; of: which rotor; each: "cables" or "push-pull tubes", for a job for each of them;
    where_limited: only where the aircraft file gives the sheet a limit of its own, as for a job that not every manual
    asks for.
    """

    before: str
    why: str
    of: str = ""
    each: str = ""
    where_limited: bool = False


@dataclass(frozen=True)
class SheetLimit(LimitEntry):
    """A limit that a sheet reads from its own part of the aircraft file. comment: what it is, for the builder's blank
    file."""

    comment: str = ""


@dataclass(frozen=True)
class Part:
    """One part of a sheet's whole job for an aircraft. words: what it is, so that it can stand in a list of what is
    missing: "blade A at the low stop". done: whether the readings hold it."""

    words: str
    done: bool


QUICK_ALONE: ContextVar[bool] = ContextVar("QUICK_ALONE", default=False)
"""Whether a working leaves out for now what takes long (`Working.slowly`)."""
FIGURES_ALONE: ContextVar[bool] = ContextVar("FIGURES_ALONE", default=False)
"""Whether a working leaves out what takes long and bears no figure: what to turn."""
SUBJECTS = ("rigging", "weighing", "drive", "engine", "performance", "balance", "flight")
"""The rooms of the sheets, in the order in which a builder comes to them."""
NOT_LOOKED_AT: Literal["not looked at"] = "not looked at"
"""What a choice of things seen begins with: any other of its options was seen."""
MOST_TOLD = 2
"""How many figures say beside the verdict what they ask for, before the others are counted."""
LEFT_OPEN = ("instruments", "drive shafts")
"""What an empty form picks nothing of where there are several."""
NOTHING_TO_DO = "Nothing to change."
UNNAMED, BARE = "instrument is named for", "± is typed with"
AN_ESTIMATE = "This is an estimate"
"""How the sentence begins that says so."""
NOBODY_KNOWS = (f"No {UNNAMED}", f"No {BARE}")
"""How the sentence begins that names readings taken as exact."""
"""How many missing parts are named before the others are counted."""


class SheetError(ValueError):
    """Readings that a sheet cannot be worked with. problems: (field path such as "stations.2.reading", message).
    figures: the places of the aircraft file's figures that the job needs and that are not there yet."""

    def __init__(self, problems: list[tuple[str, str]], figures: Sequence[str] = ()) -> None:
        super().__init__("\n".join(in_a_line(f"{path}: {said}" if path else said) for path, said in problems))
        self.problems = problems
        self.figures = list(figures)


def _in_words(problem: QuantityError) -> str:
    """What a formula does not take, for who reads no Python: its arguments in words, without the function's name."""
    return "; ".join(f"{name.replace('_', ' ')} {said}" for name, said in problem.problems) or str(problem)


def without(figures: Sequence[str]) -> SheetError:
    """A job that lacks figures of the aircraft file, in words that say where each stands."""
    return SheetError([("", missing_figures(figures))], figures)


def fields_of(model: type[Section]) -> list[Field]:
    """The fields of a sheet or a row, in order."""
    return list(_fields_of(model))


@functools.cache
def _fields_of(model: type[Section]) -> tuple[Field, ...]:
    """They are asked for with every reading, and what a class declares never changes."""
    found = []
    for name, info in model.model_fields.items():
        entry = next((m for m in info.metadata if isinstance(m, Entry)), None)
        choice = next((m for m in info.metadata if isinstance(m, Choice)), None)
        found.append(
            Field(
                name,
                info.title or name.replace("_", " ").capitalize(),
                info.description or "",
                info.is_required(),
                entry,
                choice,
                _row_of(info),
                None if info.is_required() else info.get_default(call_default_factory=True),
                next((m for m in info.metadata if isinstance(m, GivenRows)), NO_ROWS),
            )
        )
    return tuple(found)


def _placed(places: Sequence[str], picked: Mapping[str, Any]) -> list[str]:
    """Places in the aircraft file with the rotor, the cable or the like that a field picks put in; those of one that is
    not picked are left out."""
    found = []
    for place in places:
        field = place[place.find("{") + 1 : place.find("}")] if "{" in place else ""
        if field and not picked.get(field):
            continue
        key = str(picked.get(field, ""))
        found.append(place.replace(f"{{{field}}}", key.replace(" ", "_") if field == "rotor" else key))
    return found


def _row_of(info: FieldInfo) -> type[Row] | None:
    if get_origin(info.annotation) is list:
        (inner,) = get_args(info.annotation)
        if isinstance(inner, type) and issubclass(inner, Row):
            return inner
    return None


@dataclass(frozen=True)
class Again:
    """What of one check another of the same sheet goes on from.

    title: what it is, in words. at: the field, or the table, beside which it is offered. fields: names of the fields
    that are taken over as they were typed. tables: for each table its rows, each with its number among the check's own,
    None for a row that is new and holds no reading yet. set: what is put into further fields.
    """

    title: str
    at: str
    fields: tuple[str, ...]
    tables: Mapping[str, Sequence[tuple[int | None, Mapping[str, Any]]]] = field(default_factory=dict)
    set: Mapping[str, str] = field(default_factory=dict)


class Row(Section):
    """One line of a table of readings within a sheet. all_well: what a form's button says, and what it puts into the
    columns of those rows of which nothing was said yet; a person presses it who has looked at them all."""

    all_well: ClassVar[tuple[str, Mapping[str, str]]] = ("", {})

    @classmethod
    def fields(cls) -> list[Field]:
        """The columns."""
        return fields_of(cls)


class Sheet(Section):
    """One job: its readings as fields, `work` to the outcome. Make one from typed text with `from_readings`."""

    about: ClassVar[About]
    name: ClassVar[str]
    """What its file is called."""
    order: ClassVar[int] = 1000
    """Its place among the sheets of its subject, in the order in which a builder comes to them."""
    needed: ClassVar[tuple[Needed, ...]] = ()
    """The usual milestones that need it, and why."""
    limits: ClassVar[Mapping[str, SheetLimit]] = {}
    """Limits of its own, by key: they stand in the aircraft file under ``[limits.NAME]``."""
    uses: ClassVar[tuple[str, ...]] = ()
    """The aircraft file's figures without which it cannot be worked, by their places: "main_rotor.radius"; of the rotor
    or the cable that a field picks, "{rotor}.blades" and "cables.{cable}.limits_at"."""
    puts_right: ClassVar[Mapping[str, str]] = {}
    """What to do about a figure that is out of limits or too close to call, in one sentence, by the beginning of its
    finding's key, the longest that fits; "" for any. It stands beside the verdict, after what the working itself says
    is to be done, and not for figures that this sees to (`Outcome.it_covers`)."""
    judged_by: ClassVar[tuple[str, ...]] = ()
    """Where the aircraft file holds the limits that it judges by, beside those of its own, by their places as in
    `uses`: one limit ("performance.climb") or all that stand there ("cables.{cable}.limits")."""
    told_at_the_aircraft: ClassVar[tuple[str, ...]] = ()
    """What the aircraft file says of signs and of the place to measure, by places as in `uses`: the worksheet prints
    it, since the file is not at hand there."""
    exercises: ClassVar[tuple[Exercise, ...]] = ()
    """What can be practised of it: stories with ranges of numbers, asked and marked by `rotorkit.teach`."""
    workings: ClassVar[int] = 160
    """So many times it may be worked again while a person waits to be told which slip explains a hand figure. A sheet
    that takes long to work says fewer, so that it is a matter of a few seconds."""
    has_slow_part: ClassVar[bool] = False
    """Whether a part of its working takes so long that a form shows the figures and verdicts first (`slowly`)."""
    file_holds: ClassVar[dict[str, tuple[str, ...]]] = {}
    """Figures of the aircraft file that come from checks, with those checks' figures: "loading.empty_weight" from
    "weigh_in.empty_weight". Where the newest of them came to something else, what was saved here no longer stands."""
    reads_runs: ClassVar[bool] = False
    """Whether an engine monitor's recorded run can be read into it (`rotorkit.folder.recorded_runs`)."""
    reads_vibration: ClassVar[bool] = False
    """Whether a recording of vibration can be read into it (`rotorkit.folder.recordings`)."""
    by_file: ClassVar[tuple[str, ...]] = ()
    """Fields and rows that reading a recording fills in: no pencil does."""
    of_file: ClassVar[tuple[str, ...]] = ()
    """Fields that name a recording, or from when until when in it: another each time."""
    version: ClassVar[int] = 1
    kinds: ClassVar[dict[str, type[Sheet]]] = {}
    _invented: str = PrivateAttr("")

    @classmethod
    def __pydantic_init_subclass__(cls, **kwargs: Any) -> None:
        if {"about", "name"} & cls.__dict__.keys():  # one that says nothing of itself is what others are built on
            cls.name = cls.__dict__.get("name", cls.__module__.rpartition(".")[2])
            Sheet.kinds[cls.name] = cls

    @classmethod
    def fields(cls) -> list[Field]:
        """The fields in the sheet's order."""
        return fields_of(cls)

    @classmethod
    def beside(cls) -> dict[str, str]:
        """By a field's name the choice of its instrument that stands beside it: where it alone is read with that."""
        fields = cls.fields()
        used: dict[str, list[str]] = {}
        for spec in fields:
            for one in spec.row.fields() if spec.row is not None else [spec]:
                if one.entry is not None and one.entry.by:
                    used.setdefault(one.entry.by, []).append(spec.name if spec.row is None else "")
        single = {spec.name for spec in fields if spec.row is None}
        return {names[0]: by for by, names in used.items() if len(names) == 1 and names[0] and by in single}

    @classmethod
    def fields_as_typed(cls) -> list[Field]:
        """The fields in the order in which a form asks for them and a worksheet has their boxes: an instrument that one
        reading alone is read with behind that reading, the tables of rows behind the rest."""
        fields = {one.name: one for one in cls.fields()}
        beside = cls.beside()
        found = []
        for name, one in fields.items():
            if one.row is None and name not in beside.values():
                found += [one, fields[beside[name]]] if name in beside else [one]
        return [*found, *(one for one in fields.values() if one.row is not None)]

    @classmethod
    def start(cls, aircraft: Aircraft) -> dict[str, Any]:
        """What an empty form starts with for this aircraft: its choices made, its rows named, no reading filled in. Of
        instruments the only one that fits is chosen; where several do, none is: a person knows which was in hand."""
        start: dict[str, Any] = {}
        for one in cls.fields():
            if one.choice is not None:
                options = (
                    list(aircraft.choices(one.choice.of, one.choice.measures))
                    if one.choice.of
                    else list(one.choice.options)
                )
                sure = len(options) == 1 or one.choice.of not in LEFT_OPEN
                start[one.name] = options[0] if options and sure else ""
            elif one.default is not None and one.row is None:
                start[one.name] = getattr(one.default, "typed", one.default)
        return start

    @classmethod
    def begin(cls, aircraft: Aircraft, **picked: str) -> dict[str, Any]:
        """The same, with as much of it as the aircraft file allows so far. picked: choices that decide on the rows."""
        try:
            return cls.start(aircraft, **picked)
        except MissingFigures:
            return {**Sheet.start.__func__(cls, aircraft), **picked}  # type: ignore[attr-defined]

    goes_on: ClassVar[bool] = False
    """Whether a check of it can go on from another of the same sheet (`again`)."""

    @classmethod
    def again(cls, readings: Mapping[str, Any]) -> Again | None:
        """What of a check's readings, as typed, another of this sheet goes on from; None where there is nothing."""
        return None

    looked_ahead: ClassVar[tuple[str, ...]] = ()
    """Beginnings of the keys of figures that tell of wear where they change from entry to entry: of these the history
    looks ahead to their limit."""

    @classmethod
    def of_one_series(cls, readings: Mapping[str, Any]) -> tuple[str, str] | None:
        """What entries must have in common to be compared over time, and by which the very same measurement that was
        saved twice is known; None for one that is not to be compared."""
        return "", ""

    @classmethod
    def known_by(cls, readings: Mapping[str, Any], findings: Sequence[Finding]) -> list[Any]:
        """By what each figure of an entry is known again in another entry of its check: by its key alone."""
        return [finding.key for finding in findings]

    @classmethod
    def same_figures(cls, of: Sequence[Any], among: Sequence[Any]) -> list[int | None]:
        """For each figure of one entry which of another's it is, or None, both as `known_by` tells them; two are never
        the same one."""
        places = {one: i for i, one in enumerate(among)}
        return [places.get(one) for one in of]

    @classmethod
    def is_blank(cls, readings: Mapping[str, Any]) -> bool:
        """Whether readings as typed hold no reading at all: choices and names alone are none, but for a choice of
        what was seen, which begins with `NOT_LOOKED_AT`."""
        return not _any_reading(cls, readings)

    @classmethod
    def in_todays_form(cls, readings: Mapping[str, Any], aircraft: Aircraft) -> dict[str, Any]:
        """Readings as typed, those of an older form under today's fields where the aircraft file tells how."""
        return dict(readings)

    @classmethod
    def from_readings(cls, readings: Mapping[str, Any]) -> Self:
        """The sheet from readings as typed. Raises `SheetError` with every bad field."""
        try:
            return cls.model_validate(dict(readings))
        except ValidationError as problem:
            raise SheetError(
                [(".".join(map(str, e["loc"])), message_of(e, cls)) for e in problem.errors(include_url=False)]
            ) from None

    def as_invented(self, why: str) -> Self:
        """The same sheet, marked as invented: no record takes it. why: the sentence that says so."""
        made = self.model_copy()
        made._invented = why
        return made

    @property
    def invented(self) -> str:
        """Why its readings are no readings of an aircraft; empty for a sheet that may be saved."""
        return self._invented

    def readings(self) -> dict[str, Any]:
        """The readings as typed, for the record: `from_readings` of it gives the same sheet."""
        return self.model_dump(exclude_none=True)

    def quickly(self, aircraft: Aircraft) -> Outcome:
        """`work` without what takes long: its figures and verdicts are those of the whole working, and what is left out
        is named in `Outcome.unfinished`."""
        before = QUICK_ALONE.set(True)
        try:
            return self.work(aircraft)
        finally:
            QUICK_ALONE.reset(before)

    def figures(self, aircraft: Aircraft) -> Outcome:
        """`work` with every figure, verdict and sentence to be read first, for who shows no more than these: without
        what takes long and bears none of them, which is named in `Outcome.unfinished`."""
        before = FIGURES_ALONE.set(True)
        try:
            return self.work(aircraft)
        finally:
            FIGURES_ALONE.reset(before)

    def work(self, aircraft: Aircraft) -> Outcome:
        """Work the sheet for an aircraft, said in its display system, with the parts of the job that are missing.

        Raises `SheetError` where readings and aircraft do not fit together.
        """
        system = aircraft.aircraft.display
        with display(system):
            try:
                if lacking := self.figures_lacking(self.picked(), aircraft):
                    raise without(lacking)
                outcome = self._work(aircraft)
            except MissingFigures as problem:
                raise without(problem.places) from None
            except QuantityError as problem:
                raise SheetError([("", _in_words(problem))]) from None
            missing = [part.words for part in self.parts(aircraft) if not part.done]
            steps = _in_units_of_findings(outcome, system)
        findings = [replace(finding, system=system) for finding in outcome.findings]
        lead = [*outcome.lead, *self.taken_as_exact()]
        told = " ".join(filter(None, [outcome.told_to_do, *self._putting_right(outcome)]))
        missing += outcome.missing
        return replace(outcome, findings=findings, steps=steps, lead=lead, missing=missing, told_to_do=told)

    def _putting_right(self, outcome: Outcome) -> list[str]:
        """What puts right the figures that the verdict hangs on, each sentence once."""
        if outcome.word not in (OUT_OF_LIMITS, TOO_CLOSE):
            return []
        keys = sorted(self.puts_right, key=len, reverse=True)
        of = [next((key for key in keys if one.key.startswith(key)), None) for one in outcome.bearing]
        return list(dict.fromkeys(self.puts_right[key] for key in of if key is not None))

    @abstractmethod
    def _work(self, aircraft: Aircraft) -> Outcome:
        """The sheet's own working: steps, findings, pictures, remarks. May raise `SheetError` or `QuantityError`."""

    def parts(self, aircraft: Aircraft) -> list[Part]:
        """What the whole job consists of for this aircraft, each part with whether it is there.

        Fields that must be filled in need no part of their own: without them there is no outcome. A sheet with rows, or
        with readings that may stay empty, names here what the job is not whole without.
        """
        return []

    def picked(self) -> dict[str, str]:
        """What its choices are."""
        return {one.name: str(getattr(self, one.name)) for one in self.fields() if one.choice is not None}

    @classmethod
    def picked_in(cls, readings: Mapping[str, Any], aircraft: Aircraft) -> dict[str, str]:
        """The choices of readings as typed; where none is made, those that an empty form starts with."""
        start = cls.begin(aircraft)
        names = [one.name for one in cls.fields() if one.choice is not None]
        return {name: str(readings.get(name) or start.get(name, "")) for name in names}

    @classmethod
    def figures_used(cls, picked: Mapping[str, Any], aircraft: Aircraft) -> list[str]:
        """The places of the aircraft file's figures that it cannot be worked without. picked: its choices by field;
        figures of a rotor or a cable that is not picked are left out."""
        return _placed(cls.uses, picked)

    @classmethod
    def limits_used(cls, picked: Mapping[str, Any]) -> list[str]:
        """The places of the aircraft file's limits that it judges by, its own section first. picked: as above."""
        return [*([f"limits.{cls.name}"] if cls.limits else []), *_placed(cls.judged_by, picked)]

    @classmethod
    def words_of_file(cls, picked: Mapping[str, Any], aircraft: Aircraft) -> list[tuple[str, str]]:
        """What the file says at each place of `told_at_the_aircraft`; empty where nothing yet. picked: as above."""
        return [
            (place, str(functools.reduce(getattr, place.split("."), aircraft)) if aircraft.gives(place) else "")
            for place in _placed(cls.told_at_the_aircraft, picked)
        ]

    @classmethod
    def figures_lacking(cls, picked: Mapping[str, Any], aircraft: Aircraft) -> list[str]:
        """Those of them that the file does not give."""
        found = [place for place in cls.figures_used(picked, aircraft) if not aircraft.gives(place)]
        for one in cls.fields():
            if one.choice is not None and one.choice.of == "instruments":
                instrument = aircraft.instruments.get(str(picked.get(one.name, "")))
                found += [f"{instrument.place}.{name}" for name in instrument.lacking()] if instrument else []
        return list(dict.fromkeys(found))

    @classmethod
    def limit(cls, key: str, aircraft: Aircraft) -> Limit | None:
        """One of the sheet's own limits as the aircraft file gives it; None where it gives none.

        Raises `QuantityError`, with the place in the file, where it cannot be read.
        """
        given = aircraft.limits.get(cls.name, {}).get(key)
        if given is None:
            return None
        try:
            return cls.limits[key].read_or_none(given)
        except QuantityError as problem:
            raise QuantityError(f"aircraft file: [limits.{cls.name}] {key} {problem}") from None

    def doubts(self) -> list[tuple[str, str]]:
        """(field path, sentence) for each reading outside the credible range."""
        return [(path, doubt) for path, entry, value in _entries(self, "") if (doubt := entry.doubt(value))]

    def taken_as_exact(self) -> list[str]:
        """The sentence that names the readings whose error nobody knows: no instrument is named for them, or none can
        be, and no ± is typed with them. A figure of them is surer than it should be, so it leads. None where there are
        none."""
        unnamed = list(dict.fromkeys(title for title, by, value in _read_by(self, self) if not by and _bare(value)))
        typed = list(dict.fromkeys(_read_by_none(self)))
        if not unnamed and not typed:
            return []
        lacking = [f"{no} {_listed(of)}" for no, of in ((UNNAMED, unnamed), (BARE, typed)) if of]
        of = "them" if len(unnamed) + len(typed) > 1 else "it"
        do = "Name the instrument, or write ± with the reading." if unnamed else "Write ± with the reading."
        return [
            f"No {', and no '.join(lacking)}: taken as exact, so every figure worked from {of} is less certain than "
            f"it says. {do}"
        ]

    def instrument(self, field_name: str, aircraft: Aircraft) -> Instrument:
        """The instrument that a field of this sheet names."""
        key = getattr(self, field_name)
        choice = next((one.choice for one in self.fields() if one.name == field_name), None)
        found = aircraft.instruments.get(key)
        if found is None:
            measures = choice.measures if choice is not None else ""
            there = ", ".join(aircraft.choices("instruments", measures)) or "none"
            of = f" for {measures}" if measures else ""
            none = f"no instrument {shortened(key)}{of} in" if key else f"no instrument{of} is picked from"
            raise SheetError([(field_name, f"{none} the aircraft file; defined: {there}")])
        if choice is not None and choice.measures and found.measures != choice.measures:
            raise SheetError(
                [(field_name, f"needs an instrument for {choice.measures}: {shortened(key)} measures {found.measures}")]
            )
        return found

    def calibrations_overdue(self, aircraft: Aircraft, today: date | None = None) -> list[str]:
        """A sentence for each instrument that this sheet names whose calibration is past its due date."""
        chosen = [getattr(self, one.name) for one in self.fields() if one.choice and one.choice.of == "instruments"]
        named = [aircraft.instruments[key] for key in dict.fromkeys(chosen) if key in aircraft.instruments]
        return [
            f"{one.named}: {one.was_due}. Do not rely on its uncertainty until it has been checked."
            for one in named
            if one.due is not None and clock.past(one.due, today)
        ]

    def measured(self, path: str, label: str, aircraft: Aircraft) -> Measured:
        """The reading in a field, with the uncertainty of the instrument that its entry says it is read with."""
        entry, value = _entry_at(self, path)
        reading = value[0] if isinstance(value, Readings) else value
        source = reading.taken_from
        # a figure's ± holds all; of a reading what the instrument has in common with all its readings comes to it
        if source is not None and reading.uncertainty is not None and not _was_read(entry, source.key):
            label = f"{label} (from {source.words})"
        elif entry.by and getattr(self, entry.by):
            instrument = self.instrument(entry.by, aircraft)
            read_by = _READ_BY.get(
                (TheVerySame(reading, instrument), label), lambda: instrument.measure(reading, label)
            )
            return read_by.afresh()
        from rotorkit.judging.measured import measured

        return measured(reading, entry.wanted, label)


_READ_BY = Recent[Measured](512)
"""Readings that were taken last with an instrument: with each edit most fields stay as they are."""


def kind_named(name: str) -> type[Sheet] | None:
    """A sheet's class by its name, loaded from the file of that name where it is not yet; None where there is none: so
    one sheet's form need not wait for all the others."""
    if name not in Sheet.kinds and name.isidentifier():
        for subject in SUBJECTS:
            with suppress(ModuleNotFoundError):  # a subject without a sheet yet
                if find_spec(f"rotorkit.sheets.{subject}.{name}") is not None:
                    import_module(f"rotorkit.sheets.{subject}.{name}")
                    break
    return Sheet.kinds.get(name)


def _any_reading(model: type[Section], given: Mapping[str, Any]) -> bool:
    unknown = set(given) - set(model.model_fields)
    if unknown:
        return True  # told as a mistake when the sheet is made
    for one in fields_of(model):
        value, start = given.get(one.name), getattr(one.default, "typed", one.default)
        if one.row is not None:
            rows = value if isinstance(value, list) else []
            if any(not isinstance(row, Mapping) or _any_reading(one.row, row) for row in rows):
                return True
        if one.entry is not None and value not in (None, start) and str(value).strip():
            return True
        if one.choice is not None and NOT_LOOKED_AT in one.choice.options and value not in (None, "", NOT_LOOKED_AT):
            return True
    return False


def _was_read(entry: Entry, key: str) -> bool:
    """Whether what stands in a field was read for the check that it was taken from, and is no figure of it."""
    field = key.partition(".")[0]
    asked = [(kind_named(of), given) for of, given in (one.split(".")[:2] for one in entry.given_by) if given == field]
    return any(sheet is not None and given in sheet.model_fields for sheet, given in asked)


def _bare(value: Any) -> bool:
    """Whether a reading, or one of its repeats, was typed without ±."""
    return any(one.uncertainty is None for one in (value if isinstance(value, Readings) else [value]))


def _listed(titles: Sequence[str]) -> str:
    """Titles of fields in a sentence."""
    *others, last = (f'"{title}"' for title in titles)
    return f"{', '.join(others)} and {last}" if others else last


def _read_by(model: Section, sheet: Sheet) -> Iterator[tuple[str, str, Any]]:
    """(title, instrument named for it or none, value) of each reading that an instrument is asked for, rows too."""
    for one in fields_of(type(model)):
        value = getattr(model, one.name)
        if one.entry is not None and one.entry.by and value is not None:
            yield one.title, getattr(sheet, one.entry.by), value
        elif one.row is not None:
            for row in value:
                yield from _read_by(row, sheet)


def _read_by_none(model: Section) -> Iterator[str]:
    """The title of each reading for which no instrument is asked and that was typed without ±, rows too."""
    for one in fields_of(type(model)):
        value = getattr(model, one.name)
        if one.row is not None:
            for row in value:
                yield from _read_by_none(row)
        elif (
            one.entry is not None
            and not (one.entry.by or one.entry.exact)
            and (one.entry.wanted is not required_kind(Ratio) or "ppm" in (one.entry.unit or ()))  # a count is exact
            and value is not None
            and _bare(value)
            and getattr(value, "typed", "") != getattr(one.default, "typed", one.default)
        ):
            yield one.title


def _entries(model: Section, prefix: str) -> Iterator[tuple[str, Entry, Any]]:
    for one in fields_of(type(model)):
        value = getattr(model, one.name)
        if one.entry is not None and value is not None:
            yield prefix + one.name, one.entry, value
        elif one.row is not None:
            for i, row in enumerate(value):
                yield from _entries(row, f"{prefix}{one.name}.{i}.")


def _entry_at(model: Section, path: str) -> tuple[Entry, Any]:
    """The entry and the reading at a place such as "steps.3.flow"."""
    name, _, rest = path.partition(".")
    value = getattr(model, name)
    if rest:
        number, _, column = rest.partition(".")
        return _entry_at(value[int(number)], column)
    entry = next(one.entry for one in fields_of(type(model)) if one.name == name)
    assert entry is not None
    return entry, value


def _in_units_of_findings(outcome: Outcome, system: str) -> list[Worked]:
    """The steps, with the result of one that gives a finding said in the finding's unit: an arm in inches, not in feet,
    where the table below it and the manual's limit say inches."""
    figures = {(float(one.measured.si), one.measured.kind.name): one for one in outcome.findings}
    steps = []
    for step in outcome.steps:
        value = step.value
        if isinstance(value, Measured) and not getattr(value.si, "shape", ()):
            found = figures.get((float(value.si), value.kind.name))
            if found is not None and (unit := found.unit(system)) != value.shown_unit(system):
                step = step.shown_in(unit)
        steps.append(step)
    return steps


def plain_step(title: str, lines: list[str], value: Measured, citation: Citation, told: bool = False) -> Worked:
    """A worked step that no single formula gives: a mean of repeats, a look-up in a table. Its result stands in a line
    of its own where none of its lines says it. told: that they say it, if not to the same digit."""
    system = display_system()  # the one in force now, whenever the lines are asked for

    def written(shown: Measured = value) -> list[Line]:
        found = [Line("step", latex_text(line), line) for line in lines]
        with display(system):
            result = say(shown)
        if not told and not any(re.search(rf"(?<![\d.,-]){re.escape(result)}(?!\d)", line) for line in lines):
            found.append(Line("result", f"= {latex_text(result)}", f"= {result}"))
        return found

    return Worked(title.lower().replace(" ", "_"), title, written, value, citation)


def bars(title: str, findings: list[Finding], system: str) -> Bars:
    """The picture of findings that have a limit, each on its own scale."""
    rows = []
    for finding in findings:
        limit, figure = finding.verdict.limit, finding.measured
        if limit is None or limit.open:
            continue
        unit = finding.unit(system)
        with display(system):
            digits = limit.digits
        low, high = (
            None if side is None else float(in_unit(side, unit, figure.kind)) for side in (limit.low_si, limit.high_si)
        )
        rows.append(
            BarRow(
                finding.title,
                float(in_unit(figure.si, unit, figure.kind)),
                float(figure.expanded_si) / unit_factor(unit, figure.kind),
                low,
                high,
                unit_label(unit, figure.kind),
                finding.verdict.word,
                digits=digits,
            )
        )
    return Bars(title, rows)


def forecast(row: BarRow) -> BarRow:
    """The same row, said as what is expected: nothing is in limits before it has been read."""
    return replace(row, shown=f"expected {row.word}")


def unset(limit: Limit | None) -> bool:
    """Whether the aircraft file sets no such limit."""
    return limit is None or limit.open


def judge(limit: Limit | None, figure: Measured, name: str, physical: Limit | None = None) -> Verdict:
    """The verdict against a limit that may not be given.

    physical: what physics asks for whatever the manual says, such as a power margin of at least nothing. A figure that
    fails it is out of limits (or too close to call) also where the manual gives no limit; one that meets it is judged
    by the manual's limit alone.
    """
    return _bearing(limit, figure, name, physical).judge(figure)


def judged_word(limit: Limit | None, figure: Measured, name: str, physical: Limit | None = None) -> str:
    """The word of that verdict, for one of many figures of which nothing else is told."""
    return _bearing(limit, figure, name, physical).word(figure)


def _bearing(limit: Limit | None, figure: Measured, name: str, physical: Limit | None) -> Limit:
    """Which of the two decides."""
    given = limit or Limit(name, figure.kind)
    if physical is not None:
        word = physical.word(figure)
        if word in (OUT_OF_LIMITS, TOO_CLOSE) and WORDS.index(word) < WORDS.index(given.word(figure)):
            return physical
    return given
