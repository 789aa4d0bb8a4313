"""One working of a sheet: what is collected on the way from readings to outcome, the same for every sheet.

A sheet's own working adds its steps, figures and sentences here; how repeats become a mean, how a row is matched to a
blade, how a fault is turned to its field and what every sheet says at its end stands once, in this file.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from rotorkit import sources
from rotorkit.aircraft import Aircraft, Instrument, Rotor
from rotorkit.aircraft.entries import Readings
from rotorkit.edges.recent import Recent, TheVerySame
from rotorkit.formula import Worked
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, Limit, Verdict
from rotorkit.judging.measured import Measured, measured
from rotorkit.pictures.data import Picture
from rotorkit.quantities import Ratio, display_system, say
from rotorkit.quantities.errors import shortened
from rotorkit.rigging import Repeatability, mean_of_repeats, repeatability_of
from rotorkit.sheets.base import (
    FIGURES_ALONE,
    QUICK_ALONE,
    Finding,
    Outcome,
    Row,
    Sheet,
    SheetError,
    bars,
    judge,
    plain_step,
)
from rotorkit.sources import Citation

AnyRow = TypeVar("AnyRow", bound=Row)
Thing = TypeVar("Thing")


class Reckoning:
    """Steps of a calculation, and what is to be said of it: lead before any figure, notes after them; missing, what of
    the job is still to be done. It needs no sheet."""

    def __init__(self) -> None:
        self.steps: list[Worked] = []
        self.notes: list[str] = []
        self.lead: list[str] = []
        self.missing: list[str] = []

    def work(self, title: str, formula: Any, *given: Any, unit: tuple[str, str] | None = None) -> Measured:
        """A formula worked: its step is kept under the title (its own where that is empty), its value returned. unit:
        to say it in, us and metric, where that is not the kind's own."""
        step: Worked = formula.worked(*given)
        step = step if unit is None else step.shown_in(unit)
        self.steps.append(step.titled(title) if title else step)
        value: Measured = step.value
        return value

    def step(
        self, title: str, lines: Sequence[str], value: Measured, citation: Citation, told: bool = False
    ) -> Measured:
        """A step that no single formula gives: a look-up, a difference, the largest of several. told: as `plain_step`
        has it."""
        self.steps.append(plain_step(title, list(lines), value, citation, told))
        return value


_MEANS = Recent[tuple[Measured, str, str]](512)
"""Means of repeats that were taken last, with what is said of them: with each edit most fields stay as they are."""


class Working(Reckoning):
    """What a working collects. Besides the steps these are findings and pictures, in this order of being added; asked,
    what should be asked about the readings, is said after the notes. `problem` gathers what is wrong at a field until
    `settle` refuses it all in one message.

    A sheet makes one in its `_work`; one whose working has figures that several of its parts need makes a class of its
    own of it.
    """

    def __init__(self, sheet: Sheet, aircraft: Aircraft) -> None:
        super().__init__()
        self.sheet: Any = sheet
        self.aircraft, self.system = aircraft, aircraft.aircraft.display
        self.findings: list[Finding] = []
        self.pictures: list[Picture] = []
        self.asked: list[str] = []
        self.problems: list[tuple[str, str]] = []
        self.told_to_do: str = ""
        self.it_covers: tuple[str, ...] = ()
        self.unfinished: list[str] = []
        self.unjudged = False

    def slowly(self, what: str, work: Callable[[], Thing], judges: bool = False, bears: bool = True) -> Thing | None:
        """What takes long; None where only what is quick is asked for, and then `what` ("what to move") is named as
        being worked. judges: whether a verdict hangs on it, so that nothing is called in limits before it is there;
        bears: whether it gives any figure, or a sentence to be read before the figures."""
        if QUICK_ALONE.get() or (FIGURES_ALONE.get() and not bears):
            self.unfinished.append(what)
            self.unjudged |= judges
            return None
        return work()

    # faults

    def problem(self, path: str, message: str) -> None:
        """Note that a field is wrong, once. path: "weight", "rows.2.reading"."""
        if (path, message) not in self.problems:
            self.problems.append((path, message))

    def together(self, names: Sequence[str], why: str = "", row: Any = None, at: str = "") -> None:
        """Note which of some fields are empty where another of them is filled in: they count together alone.

        why: the message; where there is none, that it is needed with the first that is filled in. row: the row that
        they are columns of, and at: its place, such as "looks.2.".
        """
        of = self.sheet if row is None else row
        there = [name for name in names if getattr(of, name) is not None]
        for name in names if there else ():
            if name not in there:
                self.problem(f"{at}{name}", why or f"is needed with {type(of).model_fields[there[0]].title}")

    def settle(self) -> None:
        """Refuse what was noted, all at once. Raises `SheetError` where anything was."""
        if self.problems:
            raise SheetError(self.problems)

    def mixed(self, path: str, readings: Any) -> None:
        """Note repeats of which some bear ± and others do not: what stands for the instrument's error is then unclear.

        A single reading, and a field that is left empty, are none.
        """
        typed = [one.uncertainty is not None for one in readings] if isinstance(readings, Readings) else []
        if any(typed) and not all(typed):
            self.problem(path, "has ± with some repeats and not with others: write it with each, or with none")

    def blade(self, path: str, name: str, rotor: Rotor, of: str) -> str | None:
        """The rotor's blade that a field names; a name that is none's is noted. of: the rotor in words."""
        blade = blade_named(name, rotor)
        if blade is None:
            there = ", ".join(rotor.blades)
            self.problem(path, f"is not a blade of the {of}; blades: {there}; got {shortened(name)}")
        return blade

    def thing(self, path: str, there: Mapping[str, Thing], what: str, none: str = "none") -> Thing:
        """What a field names of the aircraft file. what: in words, "cable"; none: told where the file has none.

        Refused at once (`SheetError`) where it names none: without it there is nothing to work.
        """
        name = getattr(self.sheet, path)
        if name not in there:
            known = ", ".join(there) or none
            self.problem(path, f"is no {what} of the aircraft file: it has {known}; got {shortened(name)}")
            self.settle()
        return there[name]

    # readings

    def reading(self, path: str, label: str, unit: str | tuple[str, str] | None = None) -> Measured:
        """The reading in a field, with the uncertainty of the instrument that it is read with. unit: to show it in."""
        figure = self.sheet.measured(path, label, self.aircraft)
        return figure if unit is None else figure.shown_in(unit)

    def instrument(self, field_name: str) -> Instrument | None:
        """The instrument that a field names; None where it is left empty."""
        return self.sheet.instrument(field_name, self.aircraft) if getattr(self.sheet, field_name) else None

    def filled(self, name: str, *readings: str) -> list[tuple[int, Any]]:
        """The rows of a table that hold one of these readings, each with its number; a row without any is passed over.

        Refused at once (`SheetError`) where no row holds any: there is nothing to work. Repeats of which some bear ±
        and others do not are noted.
        """
        rows = [
            (i, row)
            for i, row in enumerate(getattr(self.sheet, name))
            if any(getattr(row, one) is not None for one in readings)
        ]
        if not rows and not self.problems:
            where = f"{name}.0.{readings[0]}" if getattr(self.sheet, name) else name
            self.problem(where, "needs a reading")
            self.settle()
        for i, row in rows:
            for one in readings:
                self.mixed(f"{name}.{i}.{one}", getattr(row, one))
        return rows

    def by_key(
        self,
        name: str,
        rows: Iterable[tuple[int, AnyRow]],
        key: Callable[[AnyRow], Any],
        column: str,
        advice: str = "put repeats in one row",
    ) -> dict[Any, tuple[int, AnyRow]]:
        """Rows by what they are of. A key that stands twice is a fault at its column; None and "" are left out.

        advice: what to do about two of one key.
        """
        found: dict[Any, tuple[int, AnyRow]] = {}
        for i, row in rows:
            of = key(row)
            if of is None or of == "":
                continue
            if of in found:
                self.problem(f"{name}.{i}.{column}", f"already entered in row {found[of][0] + 1}: {advice}")
            else:
                found[of] = i, row
        return found

    def by_blade(
        self, name: str, rows: Iterable[tuple[int, AnyRow]], rotor: Rotor, of: str
    ) -> dict[str, tuple[int, AnyRow]]:
        """Rows by the rotor's blade that their column `blade` names. of: the rotor in words, for the message."""

        def blade(row: Any) -> str | None:
            return blade_named(row.blade, rotor)

        rows = list(rows)
        for i, row in rows:
            self.blade(f"{name}.{i}.blade", row.blade, rotor, of)  # type: ignore[attr-defined]
        return self.by_key(name, rows, blade, "blade")

    def pool(
        self, groups: Sequence[Readings | None], kind: Any, unit: str | tuple[str, str] | None = None
    ) -> Repeatability | None:
        """The scatter of one reading, pooled from all repeats: one instrument, one pair of hands. unit: to say it in,
        that of the readings."""
        pooled = repeatability_of([group for group in groups if group], kind)
        if pooled is not None:
            value = Measured(pooled.standard_deviation_si, kind, unit=unit)
            said = pooled.said(None if unit is None else value.shown_unit(self.system))
            cited = sources.JCGM_100.at("4.2.4")
            self.step("Scatter of a single reading, all repeats pooled", [said], value, cited, told=True)
        return pooled

    def mean(
        self,
        readings: Readings,
        what: str,
        kind: Any,
        instrument: Instrument | None = None,
        place: str = "",
        pooled: Repeatability | None = None,
        unit: str | tuple[str, str] | None = None,
        far: float = math.inf,
        label: str = "",
        own_step: bool = True,
    ) -> Measured:
        """The mean of a field's repeats, with their scatter and the instrument's error near that place of its scale.

        what: in words, for the step; label: for the budget, where it is to be another. far: in SI units, a repeat that
        lies further from the mean is asked about. own_step: whether the last digit typed counts; not where the
        instrument's own uncertainty holds its resolution.
        """
        key = (
            TheVerySame(*readings, instrument), what, kind, place, pooled, unit, far, label, own_step, display_system()
        )  # fmt: skip

        def work() -> tuple[Measured, str, str]:
            shared: Mapping[str, Any] | None = None
            if instrument is not None:
                shared = instrument.errors_near(place or what, *readings)
            resolution = None
            if own_step and readings[0].uncertainty is None:
                # no reading is known better than its last digit, however well the repeats agree
                resolution = min(readings, key=lambda one: one.step_si).step
            mean = mean_of_repeats(list(readings), kind, label or what, shared, pooled, resolution)
            mean = mean if unit is None else mean.shown_in(unit)
            if len(readings) == 1:
                return mean, "", ""
            added = " + ".join(f"({one.understood})" if one.si < 0 else one.understood for one in readings)
            centre = float(mean.si)
            furthest = max(readings, key=lambda one: abs(one.si - centre))
            asked = ""
            if abs(furthest.si - centre) > far:
                asked = f"{capital(what)}: {furthest.understood} is far from the other repeats. Read it again."
            return mean, f"({added}) / {len(readings)} = {say(mean)}", asked

        kept, line, asked = _MEANS.get(key, work)
        mean = kept.afresh()
        if line:
            self.step(f"Mean of {what}", [line], mean, sources.JCGM_100.at("4.2.1"))
        if asked:
            self.asked.append(asked)
        return mean

    # figures

    def judge(
        self,
        key: str,
        title: str,
        limit: Limit | None,
        figure: Measured,
        *,
        name: str = "",
        aside: bool = False,
        physical: Limit | None = None,
    ) -> Finding:
        """A figure judged against its limit. aside: told beside the judged ones where nothing judges it. physical: what
        physics asks for whatever the manual says (`rotorkit.sheets.base.judge`). The verdict calls the figure by the
        finding's title; where a name is given by the limit's own name, or by this one where there is no limit.
        """
        verdict = judge(limit if name else named(limit, title), figure, name or title, physical)
        return self.found(key, title, verdict, aside and verdict.word == NO_LIMIT)

    def tell(self, key: str, title: str, figure: Measured, name: str = "") -> Finding:
        """A figure for information, without a limit. name: what its sentence calls it, where that is not the title."""
        return self.found(key, title, judge(None, figure, name or title), aside=True)

    def found(self, key: str, title: str, verdict: Verdict, aside: bool = False) -> Finding:
        """A figure whose verdict stands already."""
        finding = Finding(key, title, verdict, aside)
        self.findings.append(finding)
        return finding

    def seen(self, key: str, title: str, bad: bool, limit: Limit, said: str, settle: str = "") -> Finding:
        """What was seen, heard or felt, with its verdict: in limits or out of them, as a count of faults."""
        word = OUT_OF_LIMITS if bad else IN_LIMITS
        faults = Measured(float(bad), Ratio)
        return self.found(key, title, Verdict(word, faults, limit, f"{title}: {said}; {word}", settle))

    def bad(self, *keys: str) -> bool:
        """Whether a figure is out of limits or too close to call: any, or one whose key begins with one of these."""
        bearing = [one for one in self.findings if one.key.startswith(keys or ("",))]
        return any(one.verdict.word in (OUT_OF_LIMITS, TOO_CLOSE) for one in bearing)

    def say_to_do(self, sentence: str, *covers: str) -> None:
        """Say what to do, or what can be done today, in one sentence. covers: beginnings of the keys of the findings
        that it sees to, which then need not say by themselves what they ask for."""
        self.told_to_do, self.it_covers = sentence, covers

    def compare(self, title: str, findings: Iterable[Finding] | None = None) -> None:
        """The picture of findings, all of them if none are named, that have a limit; none where none has."""
        picture = bars(title, list(self.findings if findings is None else findings), self.system)
        if picture.rows:
            self.pictures.append(picture)

    # the end

    def place(self, path: str) -> str:
        """The place of a field in words, for a sentence about its reading; empty where the sentence says it."""
        return ""

    def outcome(self, title: str = "", remarks: Sequence[str] | None = None) -> Outcome:
        """The outcome of all that was collected: the notes, then calibrations past due, what is asked about the
        readings, and readings to be doubted. title: the sheet's own where it is empty; remarks: in place of the notes.
        """
        said = list(self.notes if remarks is None else remarks)
        said += self.sheet.calibrations_overdue(self.aircraft)
        said += self.asked
        said += [
            f"{place}: {told}." if (place := self.place(path)) else f"{told}." for path, told in self.sheet.doubts()
        ]
        return Outcome(
            title or self.sheet.about.title,
            self.findings,
            self.steps,
            self.pictures,
            list(dict.fromkeys(said)),
            self.lead,
            self.missing,
            self.told_to_do,
            self.it_covers,
            tuple(self.unfinished),
            self.unjudged,
        )


def value_of(function: Any, *given: Any) -> Measured:
    """The result of a formula, or of a function under contract, as a `Measured` also where nothing is uncertain."""
    kind = function.contract.result if hasattr(function, "contract") else function.kind
    return measured(function(*given), kind, function.__name__)


def blade_named(name: str, rotor: Rotor) -> str | None:
    """The rotor's blade of that name, capitals aside; None where there is none."""
    name = name.strip()
    if name in rotor.blades:
        return name
    alike = [blade for blade in rotor.blades if blade.casefold() == name.casefold()]
    return alike[0] if len(alike) == 1 else None


def capital(text: str) -> str:
    """The first letter as a capital."""
    return text[:1].upper() + text[1:]


def key_of(name: str) -> str:
    """A name as it stands in a finding's key."""
    return re.sub(r"\W+", "_", name.strip())


def named(limit: Limit | None, name: str) -> Limit | None:
    """The limit under another name, for the sentence of its verdict."""
    return None if limit is None else replace(limit, name=name)
