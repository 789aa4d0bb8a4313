"""The entries of one check over time: verdicts, figures, and the data of a trend picture."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from rotorkit.judging import ahead
from rotorkit.judging.ahead import Ahead, looking_ahead
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import display_system, in_unit, unit_factor, unit_label
from rotorkit.record.entry import SavedEntry, corrected, first_form
from rotorkit.record.moves import limit_in_force
from rotorkit.record.store import Record
from rotorkit.sheets.base import Finding, Sheet, SheetError
from rotorkit.sheets.catalogue import sheet_type

NO_PROMISE = (
    "A look ahead along a straight line, by the days on which it was saved: not a promise, and no reason to skip an "
    "inspection."
)

# The axis of a trend counts in the largest of these of which it holds two.
TIMES = {"days": 86400.0, "hours": 3600.0, "minutes": 60.0, "seconds": 1.0}


@dataclass(frozen=True)
class HistoryRow:
    """One entry. when: on the clock of the place, of the first form of the entry (a correction stands for the day of
    the work that it corrects). replaced_by: the number of the entry that corrects this one, or None where it stands."""

    entry: SavedEntry
    when: datetime
    replaced_by: int | None

    @property
    def words(self) -> str:
        """The entry in one line: number, day, verdict, who, and what it corrects or is corrected by."""
        if self.entry.fault:
            return f"{self.entry.number} · {self.entry.fault}: nothing of it is shown"
        parts = [f"{self.entry.number}", f"{self.when:%Y-%m-%d %H:%M}", self.entry.word, self.entry.who]
        if self.entry.replaces is not None:
            parts.append(f"corrects entry {self.entry.replaces}: {self.entry.why}")
        if self.replaced_by is not None:
            parts.append(f"replaced by entry {self.replaced_by}")
        return " · ".join(parts)


@dataclass(frozen=True)
class LookAhead:
    """What the history of one figure tells of its limit ahead: a sentence, and the picture; ahead is None where there
    are too few entries for more than a sentence."""

    title: str
    sentence: str
    ahead: Ahead | None
    chart: Chart | None


@dataclass(frozen=True)
class History:
    """The history of a check, oldest first."""

    check: str
    rows: list[HistoryRow]

    @property
    def standing(self) -> list[HistoryRow]:
        """The entries that no other replaces."""
        return [row for row in self.rows if row.replaced_by is None]

    def figures(self) -> list[list[tuple[HistoryRow, Finding]]]:
        """Each figure over time, of the entries that stand and are as they were saved: by its key, or by what its sheet
        knows it again by (`Sheet.known_by`)."""
        found: list[list[tuple[HistoryRow, Finding]]] = []
        last: list[Any] = []
        for row in self.standing:
            if row.entry.fault:
                continue
            sheet, findings = _sheet_of(row), row.entry.findings
            told = sheet.known_by(row.entry.readings, findings)
            for finding, one, place in zip(findings, told, sheet.same_figures(told, last), strict=True):
                if place is None:
                    found.append([(row, finding)])
                    last.append(one)
                else:
                    found[place].append((row, finding))
                    last[place] = one
        return found

    def charts(self, system: str | None = None, fewest: int = 2) -> list[Chart]:
        """A trend picture for each figure that was worked at least `fewest` times, those with a limit first."""
        many = [figures for figures in self.figures() if len(figures) >= fewest]
        limited = [figures for figures in many if limit_in_force(figures[-1][1]) is not None]
        open_ = [figures for figures in many if limit_in_force(figures[-1][1]) is None]
        return [_chart(figures, system or display_system()) for figures in limited + open_]

    def looks_ahead(self, system: str | None = None) -> list[LookAhead]:
        """For each figure with a limit that tells of wear (`Sheet.looked_ahead`), when it may meet that limit: of the
        entries that can be compared, one for each measurement, at least four. Those that may meet it first come first.
        """
        rows = [row for row in self.standing if not row.entry.fault]
        sheet = _sheet_of(rows[-1]) if rows else Sheet
        if not sheet.looked_ahead:
            return []
        series: dict[str, HistoryRow] = {}
        compared = None
        for row in reversed(rows):  # the newest says what is compared, and of one measurement the newest entry stands
            of = sheet.of_one_series(row.entry.readings)
            if of is None:
                if compared is None:
                    return []
                continue
            compared = of[0] if compared is None else compared
            if of[0] == compared:
                series.setdefault(of[1] or f"entry {row.entry.number}", row)
        kept = [*reversed(series.values())]
        found = []
        for last in kept[-1].entry.findings if len(kept) > 1 else ():
            if last.key.startswith(sheet.looked_ahead) and (limit := limit_in_force(last)) is not None:
                found.append(_look(_figures_of(sheet, kept, last), limit, system or display_system()))
        return sorted(found, key=lambda one: _soonest(one.ahead))


def told_ahead(looks: list[LookAhead]) -> list[str]:
    """What a history tells ahead, sentence by sentence, and once what it is worth."""
    said = [one.sentence for one in looks]
    return [*said, NO_PROMISE] if any(one.ahead is not None for one in looks) else said


def _sheet_of(row: HistoryRow) -> type[Sheet]:
    """The sheet of an entry; what all sheets have in common where there is none of its name."""
    try:
        return sheet_type(row.entry.sheet)
    except SheetError:
        return Sheet


def _figures_of(sheet: type[Sheet], rows: list[HistoryRow], last: Finding) -> list[tuple[HistoryRow, Finding]]:
    """A figure of the last entry in each that has it."""
    newest = rows[-1].entry
    place = next(i for i, one in enumerate(newest.findings) if one.key == last.key)
    told, found = sheet.known_by(newest.readings, newest.findings), []
    for row in rows:
        there = [one for one in row.entry.findings if one.measured.kind == last.measured.kind]
        same = sheet.same_figures(told, sheet.known_by(row.entry.readings, there))[place]
        if same is not None:
            found.append((row, there[same]))
    return found


def _soonest(one: Ahead | None) -> float:
    if one is None:
        return float("inf")
    if one.at_limit:
        return -1.0
    return one.horizon_si if one.earliest_si is None else one.earliest_si - one.last_si


def _look(figures: list[tuple[HistoryRow, Finding]], limit: Any, system: str) -> LookAhead:
    last = figures[-1][1]
    start = figures[0][0].when
    times = [(row.when - start).total_seconds() for row, _ in figures]
    found = looking_ahead(times, [finding.measured for _, finding in figures], limit)
    if found is None:
        count = len(set(times))
        said = f"{last.title}: {count} entries to compare; from {ahead.FEWEST} on there is a look ahead to its limit."
        return LookAhead(last.title, said, None, None)
    chart = _chart(figures, system)
    scale = max(TIMES[name] for name in TIMES if chart.x_label.endswith(f", {name}"))
    unit = last.unit(system)
    x = [float(one) / scale for one in found.times_si[:: ahead.STEPS // 40]]
    line, half = (values[:: ahead.STEPS // 40] for values in (found.line_si, found.half_si))

    def shown(values: Any) -> list[float]:
        return [max(0.0, float(in_unit(float(one), unit, last.measured.kind))) for one in values]

    curves = [
        *chart.curves[:1],
        Curve("straight line, extended ahead", x, shown(line), "second"),
        Curve("highest and lowest it may be", [*x, *reversed(x)],
              [*shown(line + half), *reversed(shown(line - half))], "third"),
    ]  # fmt: skip
    for one in chart.curves[1:]:  # the limit as it stands, as far as is looked ahead
        curves.append(replace(one, x=[*one.x, x[-1]], y=[*one.y, one.y[-1]]))
    return LookAhead(last.title, _said(last.title, found, start), found, replace(chart, curves=tuple(curves)))


def _said(title: str, found: Ahead, start: datetime) -> str:
    long = found.last_si >= 2 * TIMES["days"]

    def day(seconds: float) -> str:
        when = start + timedelta(seconds=seconds)
        return f"{when.day} {when:%B %Y}" if long else f"{when:%Y-%m-%d %H:%M}"

    span = f"{found.last_si / TIMES['days']:.0f} days" if long else f"{found.last_si / TIMES['hours']:.1f} hours"
    said = f"{title}: {found.count} entries over {span}, {found.word}. "
    horizon = day(found.horizon_si)
    if found.at_limit:
        return f"{said}The line has reached the limit already: go by the verdict; there is nothing to look ahead to."
    if found.word in (ahead.BENDS, ahead.BENDS_DOWN):
        said += "A straight line gives too late a date: look for the cause now. "
    if found.earliest_si is not None and found.earliest_si <= found.last_si:
        said += "It cannot be said whether the line is within the limit today"
        said += f"; the line itself meets it about {day(found.met_si)}. " if found.met_si is not None else ". "
    elif found.met_si is not None:
        assert found.earliest_si is not None
        said += f"The line meets its limit about {day(found.met_si)}, perhaps as early as {day(found.earliest_si)}; "
        said += (
            f"and hardly later than {day(found.latest_si)}. " if found.latest_si is not None else
            "how late cannot be said. "
        )  # fmt: skip
    elif found.earliest_si is not None:
        said += f"It may reach its limit as early as {day(found.earliest_si)}, because the line is so poorly known. "
    else:
        said += f"It does not meet its limit before {horizon}; nothing is said further ahead than it has been watched. "
    return said.strip()


def history(record: Record, check: str) -> History:
    """The history of a check. Empty where it was never saved."""
    every = {entry.number: entry for entry in record.entries(check)}
    replaced = corrected(every.values())
    rows = []
    for entry in every.values():
        rows.append(HistoryRow(entry, first_form(entry, every).local, replaced.get(entry.number)))
    return History(check, sorted(rows, key=lambda row: (row.when.timestamp(), row.entry.number)))


def _chart(figures: list[tuple[HistoryRow, Finding]], system: str) -> Chart:
    """One figure over the time since its first entry, with its uncertainty, and the limit as it stood each time."""
    start, last = figures[0][0].when, figures[-1][1]
    span = (figures[-1][0].when - start).total_seconds()
    time = next((name for name, seconds in TIMES.items() if span >= 2 * seconds), "seconds")
    kind = last.measured.kind
    unit = last.unit(system)

    def shown(si: float) -> float:
        return float(in_unit(si, unit, kind))

    days, points = [], []
    sides: dict[str, tuple[list[float], list[float]]] = {"low": ([], []), "high": ([], [])}
    for row, finding in figures:
        if finding.measured.kind != kind:
            continue
        day = round((row.when - start).total_seconds() / TIMES[time], 2)
        days.append(day)
        spread = float(finding.measured.expanded_si) / unit_factor(unit, kind)
        points.append(
            Point(str(row.entry.number), day, shown(float(finding.measured.si)), 0.0, spread, finding.verdict.word)
        )
        stood = limit_in_force(finding)
        for side, (x, y) in sides.items():
            bound = None if stood is None else getattr(stood, f"{side}_si")
            if bound is not None:
                x.append(day)
                y.append(shown(bound))
    curves = [Curve(last.title, days, [point.y for point in points], "main")]
    curves += [Curve(f"{side} limit", *_steps(x, y), "bound") for side, (x, y) in sides.items() if x]
    label = unit_label(unit, kind)
    return Chart(
        f"{last.title} over time",
        f"time since {start:{'%Y-%m-%d' if time == 'days' else '%Y-%m-%d %H:%M'}}, {time}",
        f"{last.title}{f', {label}' if label else ''}",
        tuple(curves),
        (),
        tuple(points),
    )


def _steps(x: list[float], y: list[float]) -> tuple[list[float], list[float]]:
    """A limit holds until the entry that was judged by another: its line goes in steps."""
    across, up = [x[0]], [y[0]]
    for day, before, now in zip(x[1:], y, y[1:], strict=False):
        across += [day] if before == now else [day, day]
        up += [now] if before == now else [before, now]
    return across, up
