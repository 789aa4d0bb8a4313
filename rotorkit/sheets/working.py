"""One working of a sheet: what is collected on the way from readings to outcome, the same for every sheet.

A sheet's own working adds its steps, figures and sentences here; how repeats become a mean, how a row is matched to a
blade, how a fault is turned to its field and what every sheet says at its end stands once, in this file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any, TypeVar

from rotorkit import sources
from rotorkit.aircraft import Aircraft, Instrument, Rotor
from rotorkit.aircraft.entries import Readings
from rotorkit.formula import Worked
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, measured
from rotorkit.pictures.data import Picture
from rotorkit.quantities import say
from rotorkit.quantities.errors import shortened
from rotorkit.rigging import Repeatability, mean_of_repeats, repeatability_of
from rotorkit.sheets.base import Finding, Outcome, Row, Sheet, SheetError, judge, plain_step, unset
from rotorkit.sources import Citation

__all__ = ["Reckoning", "Working", "blade_named", "capital", "value_of"]

AnyRow = TypeVar("AnyRow", bound=Row)


class Reckoning:
    """Steps of a calculation, and what is to be said of it: lead before any figure, notes after them; missing, what of
    the job is still to be done. It needs no sheet."""

    def __init__(self) -> None:
        self.steps: list[Worked] = []
        self.notes: list[str] = []
        self.lead: list[str] = []
        self.missing: list[str] = []

    def work(self, title: str, formula: Any, *given: Any) -> Measured:
        """A formula worked: its step is kept under the title (its own where that is empty), its value returned."""
        step: Worked = formula.worked(*given)
        self.steps.append(step.titled(title) if title else step)
        value: Measured = step.value
        return value

    def step(self, title: str, lines: Sequence[str], value: Measured, citation: Citation) -> Measured:
        """A step that no single formula gives: a look-up, a difference, the largest of several."""
        self.steps.append(plain_step(title, list(lines), value, citation))
        return value


class Working(Reckoning):
    """What a working collects. Besides the steps these are findings and pictures, in this order of being added;
    `problem` gathers what is wrong at a field until `settle` refuses it all in one message.
    """

    def __init__(self, sheet: Sheet, aircraft: Aircraft) -> None:
        super().__init__()
        self.sheet: Any = sheet
        self.aircraft, self.system = aircraft, aircraft.aircraft.display
        self.findings: list[Finding] = []
        self.pictures: list[Picture] = []
        self.problems: list[tuple[str, str]] = []

    # faults

    def problem(self, path: str, message: str) -> None:
        """Note that a field is wrong. path: "weight", "rows.2.reading"."""
        self.problems.append((path, message))

    def settle(self) -> None:
        """Refuse what was noted, all at once. Raises `SheetError` where anything was."""
        if self.problems:
            raise SheetError(self.problems)

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

        Refused at once (`SheetError`) where no row holds any: there is nothing to work.
        """
        rows = [
            (i, row)
            for i, row in enumerate(getattr(self.sheet, name))
            if any(getattr(row, one) is not None for one in readings)
        ]
        if not rows and not self.problems:
            where = f"{name}.0.{readings[0]}" if getattr(self.sheet, name) else name
            self.problem(where, "needs a reading: none is taken yet")
            self.settle()
        return rows

    def by_key(
        self, name: str, rows: Iterable[tuple[int, AnyRow]], key: Callable[[AnyRow], Any], column: str
    ) -> dict[Any, tuple[int, AnyRow]]:
        """Rows by what they are of. A key that stands twice is a fault at its column; None is left out."""
        found: dict[Any, tuple[int, AnyRow]] = {}
        for i, row in rows:
            of = key(row)
            if of is None:
                continue
            if of in found:
                self.problem(
                    f"{name}.{i}.{column}", f"already entered in row {found[of][0] + 1}: put repeats in one row"
                )
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
            if blade(row) is None:
                given = shortened(row.blade)  # type: ignore[attr-defined]
                there = ", ".join(rotor.blades)
                self.problem(f"{name}.{i}.blade", f"is no blade of the {of}: it has {there}; got {given}")
        return self.by_key(name, rows, blade, "blade")

    def pool(self, groups: Sequence[Readings | None], kind: Any) -> Repeatability | None:
        """The scatter of one reading, pooled from all repeats: one instrument, one pair of hands."""
        pooled = repeatability_of([group for group in groups if group], kind)
        if pooled is not None:
            value = Measured(pooled.standard_deviation_si, kind)
            cited = sources.JCGM_100.at("4.2.4")
            self.steps.append(plain_step("Scatter of one reading, all repeats pooled", [str(pooled)], value, cited))
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
    ) -> Measured:
        """The mean of a field's repeats, with their scatter and the instrument's error near that place of its scale."""
        # no reading is known better than its last digit, however well the repeats agree
        step = min((one.step for one in readings), key=lambda size: abs(float(size.m)))
        shared: Mapping[str, Any] | None = None
        if instrument is not None:
            shared = instrument.errors_near(place or what, readings[0])
        resolution = None if readings[0].uncertainty is not None else step
        mean = mean_of_repeats(list(readings), kind, what, shared, pooled, resolution)
        mean = mean if unit is None else mean.shown_in(unit)
        if len(readings) > 1:
            added = " + ".join(f"({one.understood})" if one.si < 0 else one.understood for one in readings)
            line = f"({added}) / {len(readings)} = {say(mean)}"
            self.steps.append(plain_step(f"Mean of {what}", [line], mean, sources.JCGM_100.at("4.2.1")))
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
        """A figure held against its limit. aside: told beside the judged ones where it has no limit. physical: what
        physics asks for whatever the manual says (`rotorkit.sheets.base.judge`). The verdict calls the figure by the
        finding's title; where a name is given by the limit's own name, or by this one where there is no limit.
        """
        named = limit if name or limit is None else replace(limit, name=title)
        verdict = judge(named, figure, name or title, physical)
        finding = Finding(key, title, verdict, aside and unset(limit))
        self.findings.append(finding)
        return finding

    def tell(self, key: str, title: str, figure: Measured, name: str = "") -> Finding:
        """A figure for information, without a limit. name: what its sentence calls it, where that is not the title."""
        finding = Finding(key, title, judge(None, figure, name or title), aside=True)
        self.findings.append(finding)
        return finding

    # the end

    def outcome(self, title: str = "", remarks: Sequence[str] | None = None) -> Outcome:
        """The outcome of all that was collected: the notes, then calibrations past due and readings to be doubted."""
        said = list(self.notes if remarks is None else remarks)
        said += self.sheet.calibrations_overdue(self.aircraft)
        said += [f"{sentence}." for _, sentence in self.sheet.doubts()]
        return Outcome(
            title or self.sheet.about.title,
            self.findings,
            self.steps,
            self.pictures,
            list(dict.fromkeys(said)),
            self.lead,
            self.missing,
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
