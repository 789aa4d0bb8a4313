"""The entries of one check over time: verdicts, figures, and the data of a trend picture."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import display_system, in_unit, unit_factor, unit_label
from rotorkit.record.entry import SavedEntry, corrected, first_form
from rotorkit.record.moves import limit_in_force
from rotorkit.record.store import Record
from rotorkit.sheets.base import Finding

__all__ = ["History", "HistoryRow", "history"]

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
class History:
    """The history of a check, oldest first."""

    check: str
    rows: list[HistoryRow]

    @property
    def standing(self) -> list[HistoryRow]:
        """The entries that no other replaces."""
        return [row for row in self.rows if row.replaced_by is None]

    def figures(self) -> dict[str, list[tuple[HistoryRow, Finding]]]:
        """By finding's key, its figures over time, of the entries that stand and are as they were saved."""
        found: dict[str, list[tuple[HistoryRow, Finding]]] = {}
        for row in self.standing:
            if row.entry.fault:
                continue
            for finding in row.entry.findings:
                found.setdefault(finding.key, []).append((row, finding))
        return found

    def charts(self, system: str | None = None, fewest: int = 2) -> list[Chart]:
        """A trend picture for each figure that was worked at least `fewest` times, those with a limit first."""
        many = [figures for figures in self.figures().values() if len(figures) >= fewest]
        limited = [figures for figures in many if limit_in_force(figures[-1][1]) is not None]
        open_ = [figures for figures in many if limit_in_force(figures[-1][1]) is None]
        return [_chart(figures, system or display_system()) for figures in limited + open_]


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
