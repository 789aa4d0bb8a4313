"""What one check of the folder already has that another asks for: read once, typed once.

What may be offered where stands in the sheets' fields (`Entry.given_by`, `GivenRows`); what is offered is of the same
rotor, cable, tube, belt or shaft, was read with the same instrument, and, where it holds for a day only, today.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from rotorkit.aircraft.entries import Entry
from rotorkit.edges import clock
from rotorkit.folder.checks import Check, Folder
from rotorkit.folder.standing import DRAFT, NOTHING, RECORD, Standing
from rotorkit.judging.measured import mean_of
from rotorkit.quantities import QuantityError, say
from rotorkit.quantities.taken_from import TakenFrom, parted
from rotorkit.sheets.base import Field, Finding, Sheet, SheetError
from rotorkit.sheets.catalogue import sheet_type

if TYPE_CHECKING:
    from rotorkit.sheets.performance.pedal_stops import RiggedStops


ONE_THING = ("rotors", "cables", "push-pull tubes", "belts", "shafts")
"""Choices of what a job is done on: another of them is another thing, and its readings are no readings of this one."""
DAY = "day"
"""The column of a row that says of which day it is."""


@dataclass(frozen=True)
class Offer:
    """A figure of another check that may stand in a field.

    path: the field. title: what the figure is called where it comes from. text: what to put into the field, with unit,
    ± and, in brackets, where it was taken from. figure: the same without the brackets. check, of: the check's name and
    title. entry: the record's number, None where it is not saved. when: of the entry, in words. also: what goes into
    other fields with it, by path: the instrument that it was read with, and what else belongs to it. rows: for a table
    of rows (its name is then the path), the rows, and adds: whether these come to those that are there. tables: rows of
    further tables, by name.
    """

    path: str
    title: str
    text: str
    figure: str
    check: str
    of: str
    entry: int | None
    when: str = ""
    also: tuple[tuple[str, str], ...] = ()
    rows: tuple[tuple[tuple[str, str], ...], ...] = ()
    adds: bool = False
    tables: tuple[tuple[str, tuple[tuple[tuple[str, str], ...], ...]], ...] = ()

    @property
    def where(self) -> str:
        """Its source in words."""
        return f"entry {self.entry} of {self.when}" if self.entry is not None else "a check that is not saved"

    @property
    def sentence(self) -> str:
        """For the one who is offered it: figure and source."""
        return f"{self.title} by {self.where}, {self.of}: {self.figure}"


def text_of_figure(figure: Any, entry: Entry, system: str) -> str:
    """A figure with its ± as a field of this entry takes it. Raises `QuantityError` where the field cannot."""
    text = say(figure, entry.shown_unit(system) or None, system)
    read = entry.read(text)
    (read,) = read if entry.repeats else (read,)
    if abs(float(read.si) - float(figure.si)) > 0.5 * abs(float(figure.expanded_si)) + 1e-4 * abs(float(figure.si)):
        raise QuantityError(f"{text} does not read back as the same figure")
    return text


def sheets_asked(sheet: type[Sheet]) -> set[str]:
    """The sheets whose checks may have something that a sheet asks for."""
    found = {of.partition(".")[0] for one in sheet.fields() if one.entry is not None for of in one.entry.given_by}
    if sheet.goes_on:
        found.add(sheet.name)
    return found.union(
        *({*one.given.rows, *one.given.checks, *(name for name, _ in one.given.figures)} for one in sheet.fields())
    )


def figures_offered(
    folder: Folder,
    sheet: type[Sheet],
    standings: Mapping[str, Standing],
    system: str = "",
    picked: Mapping[str, str] | None = None,
    past: Mapping[str, Sequence[Any]] | None = None,
    done: Mapping[int, date] | None = None,
) -> list[Offer]:
    """What the folder's other checks already have of what a sheet's fields ask for (`Entry.given_by`, `GivenRows`):
    saved ones first, the newest before all.

    Arguments: folder; sheet, that asks; standings, what stands for each check (`rotorkit.record.stands.standings`);
    system, of the units (default: the aircraft file's); picked, the choices made in the form that asks; past, further
    saved entries that stand by check, each of which makes a row where rows are asked for; done, the day of the work by
    the number of an entry that corrects another or adds photographs to it. A figure is offered of a check that can be
    worked and of which no part is missing.
    """
    wanted, found = sheets_asked(sheet), list[Offer]()
    picks, units = picked or {}, system or folder.aircraft.aircraft.display
    for standing in standings.values():
        if standing.sheet not in wanted or standing.source == NOTHING:
            continue
        source = _Source(standing, sheet_type(standing.sheet), done=done)
        if not source.of_the_same(sheet, picks):
            continue
        found += [offer for one in sheet.fields() for offer in _single(folder, sheet, one, source, units, picks)]
        if sheet.goes_on and standing.sheet == sheet.name:
            found += source.to_go_on_from(folder, sheet)
        for one in sheet.fields():
            if standing.sheet in one.given.rows and standing.sheet != sheet.name:
                found += source.all_rows(sheet, one)
            for name, rows in one.given.figures:
                if standing.sheet == name:
                    found += _from_figures(folder, one, rows, source, (past or {}).get(standing.check, ()), units)
            if standing.sheet in one.given.checks:
                found += _as_rows(sheet, one, source, (past or {}).get(standing.check, ()), picks)
    newest: dict[Any, Offer] = {}
    for offer in sorted(found, key=lambda offer: -(offer.entry or 0)):
        newest.setdefault((offer.path, offer.figure) if not offer.rows else offer, offer)  # the same again is no news
    return list(newest.values())


def _single(
    folder: Folder, sheet: type[Sheet], one: Field, source: _Source, system: str, picks: Mapping[str, str]
) -> Iterable[Offer]:
    """What one check has for one field that is no table."""
    if one.entry is None:
        return
    for of in one.entry.given_by:
        name, _, key = of.partition(".")
        if name != source.standing.sheet:
            continue
        if key.partition(".")[0] in source.kind.model_fields:
            offer = source.reading(sheet, one, key, picks)
        else:
            offer = source.figure(folder, one, key, system)
        if offer is not None:
            yield offer


class _Source:
    """A check that may have something, and what it has."""

    def __init__(
        self, standing: Standing, kind: type[Sheet], saved: Any = None, done: Mapping[int, date] | None = None
    ) -> None:
        self.standing, self.kind, self.done = standing, kind, done or {}
        self.saved: Any = saved or (standing.saved if standing.source == RECORD else None)
        self.readings: Mapping[str, Any] = self.saved.readings if self.saved is not None else standing.readings
        self._figures: dict[str, Finding] | None = None

    @property
    def day(self) -> date | None:
        """The day on which it was saved first, or typed; None where nobody says."""
        if self.saved is not None:
            day: date = self.done.get(self.saved.number) or self.saved.local.date()
            return day
        draft = self.standing.draft
        return draft.at.date() if self.standing.source == DRAFT and draft is not None else None

    def of_the_same(self, sheet: type[Sheet], picks: Mapping[str, str]) -> bool:
        """Whether it was done on what the sheet that asks is done on, as far as both say."""
        for one in sheet.fields():
            if one.choice is not None and one.choice.of in ONE_THING and one.name in self.kind.model_fields:
                mine, theirs = picks.get(one.name, ""), str(self.readings.get(one.name, ""))
                if mine and theirs != mine:
                    return False
        return True

    def _offer(self, path: str, title: str, figure: str, key: str, **more: Any) -> Offer:
        number = self.saved.number if self.saved is not None else None
        text = f"{figure} {TakenFrom(number, self.standing.check, key).written}"
        when = f"{self.day.day} {self.day:%B %Y}" if self.saved is not None and self.day is not None else ""
        return Offer(path, title, text, figure, self.standing.check, self.standing.title, number, when, **more)

    def figure(self, folder: Folder, one: Field, key: str, system: str) -> Offer | None:
        """A figure that it came to, for a field."""
        assert one.entry is not None
        if self._figures is None:
            self._figures = self._worked(folder)
        if key not in self._figures or (one.entry.for_a_day and self.day != clock.today()):
            return None
        try:
            text = text_of_figure(self._figures[key].measured, one.entry, system)
        except QuantityError:
            return None
        return self._offer(one.name, self._figures[key].title, text, key)

    def _worked(self, folder: Folder) -> dict[str, Finding]:
        """What it came to, by key: of a saved one as it was saved."""
        try:
            outcome = self.saved.outcome if self.saved is not None else self.standing.as_check.outcome(folder.aircraft)
        except (SheetError, QuantityError):
            return {}
        return {} if outcome.missing else {found.key: found for found in outcome.findings}

    def reading(self, sheet: type[Sheet], one: Field, key: str, picks: Mapping[str, str]) -> Offer | None:
        """A reading of it, for a field: as it was typed, if it was read with the instrument that is named here."""
        assert one.entry is not None
        name, _, column = key.partition(".")
        places: list[tuple[str, Any, date | None]] = [(name, self.readings.get(name), self.day)]
        if column:
            rows = self.readings.get(name, [])
            rows = rows if isinstance(rows, list) else []
            places = [
                (f"{name}.{i}.{column}", row.get(column), _day_of(row)) for i, row in reversed([*enumerate(rows)])
            ]
        for path, typed, day in places:
            if one.entry.for_a_day and day != clock.today():
                continue
            text, before = parted(str(typed or ""))
            if not text.strip() or before is not None or (also := self._read_with(sheet, one, picks)) is None:
                continue
            try:
                one.entry.read(text)
            except QuantityError:
                continue
            return self._offer(one.name, one.title, text.strip(), path, also=also)
        return None

    def _read_with(
        self, sheet: type[Sheet], one: Field, picks: Mapping[str, str]
    ) -> tuple[tuple[str, str], ...] | None:
        """The instrument and its riser, to be named with a reading of it; None where one is named already that is not
        the one that it was read with, or nobody says which that was."""
        also = []
        for name in ([one.entry.by] if one.entry is not None and one.entry.by else []) + ["riser"]:
            if name not in sheet.model_fields or name not in self.kind.model_fields:
                continue
            mine, theirs = picks.get(name, ""), str(self.readings.get(name, "") or "")
            if name == "riser" and (one.entry is None or one.entry.by != "gauge"):
                continue
            if mine and mine != theirs:
                return None
            if theirs and not mine:
                also.append((name, theirs))
        return tuple(also)

    def all_rows(self, sheet: type[Sheet], one: Field) -> Iterable[Offer]:
        """Its rows, with everything else that it has in common with the sheet."""
        assert one.row is not None
        rows = [row for row in self.readings.get(one.name, []) if isinstance(row, Mapping)]
        taken = [self._row(one, f"{one.name}.{i}", row) for i, row in enumerate(rows)]
        count = sum(any(" [" in text for _, text in row) for row in taken)
        if not count:
            return
        also = []
        for shared in sheet.fields():
            typed = str(self.readings.get(shared.name, "") or "")
            if shared.name not in self.kind.model_fields or shared.row is not None or not typed.strip():
                continue
            text, before = parted(typed)
            if shared.entry is not None and before is None:
                typed = self._offer(shared.name, shared.title, text.strip(), shared.name).text
            also.append((shared.name, typed))
        figure = f"the {count} rows with their readings" if count > 1 else "the row with its readings"
        yield self._offer(one.name, one.title, figure, one.name, rows=tuple(taken), also=tuple(also))

    def to_go_on_from(self, folder: Folder, sheet: type[Sheet]) -> Iterable[Offer]:
        """What of it another check of the same sheet goes on from, each reading with its source."""
        again = sheet.again(self.readings)
        if again is None:
            return
        try:
            self.standing.as_check.outcome(folder.aircraft) if self.saved is None else self.saved.outcome
        except (SheetError, QuantityError):
            return
        fields, also = {one.name: one for one in sheet.fields()}, []
        for name in again.fields:
            typed = str(self.readings.get(name, "") or "").strip()
            if typed and fields[name].entry is not None and parted(typed)[1] is None:
                typed = self._offer(name, fields[name].title, typed, name).text
            if typed and name != again.at:
                also.append((name, typed))
        tables = []
        for name, rows in again.tables.items():
            made = tuple(
                self._row(fields[name], f"{name}.{i}", row) if i is not None else tuple(row.items()) for i, row in rows
            )
            tables.append((name, made))
        also += again.set.items()
        if again.at in again.tables:
            rows_there = next(rows for name, rows in tables if name == again.at)
            others = tuple((name, rows) for name, rows in tables if name != again.at)
            figure = again.title[:1].lower() + again.title[1:]
            yield self._offer(again.at, again.title, figure, again.at, rows=rows_there, also=tuple(also),
                              tables=others)  # fmt: skip
            return
        typed = str(self.readings.get(again.at, "") or "").strip()
        if typed and parted(typed)[1] is None:
            yield self._offer(again.at, again.title, typed, again.at, also=tuple(also), tables=tuple(tables))

    def _row(self, one: Field, path: str, row: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
        """A row with the source behind every reading."""
        assert one.row is not None
        taken = []
        for column in one.row.fields():
            typed = str(row.get(column.name, "") or "")
            if column.entry is not None and typed.strip() and parted(typed)[1] is None:
                typed = self._offer(column.name, column.title, typed.strip(), f"{path}.{column.name}").text
            if typed:
                taken.append((column.name, typed))
        return tuple(taken)


def _day_of(row: Any) -> date | None:
    try:
        return date.fromisoformat(str(row.get(DAY, "")).strip())
    except (ValueError, AttributeError):
        return None


def _as_rows(
    sheet: type[Sheet], one: Field, newest: _Source, past: Sequence[Any], picks: Mapping[str, str]
) -> Iterable[Offer]:
    """A check as one row of a table, and each of its earlier entries as another."""
    assert one.row is not None
    earlier = [_Source(newest.standing, newest.kind, saved, newest.done) for saved in past]
    for source in {(each.saved.number if each.saved else 0): each for each in [*earlier, newest]}.values():
        if source.day is None or not source.of_the_same(sheet, picks):
            continue
        row, also, said = {DAY: source.day.isoformat()}, dict[str, str](), []
        for column in one.row.fields():
            typed = str(source.readings.get(column.name, "") or "").strip()
            if column.entry is None or not typed or parted(typed)[1] is not None:
                continue
            with_it = source._read_with(sheet, column, picks)
            if with_it is None:
                row = {}
                break
            also |= dict(with_it)
            offer = source._offer(column.name, column.title, typed, column.name)
            row[column.name] = offer.text
            said.append(f"{column.title.removeprefix('Or: ').lower()} {typed}")
        if len(row) > 1:
            figure = f"{row[DAY]}, {', '.join(said)}"
            yield source._offer(
                one.name, "Row", figure, one.name, rows=(tuple(row.items()),), adds=True, also=tuple(also.items())
            )


def _from_figures(
    folder: Folder,
    one: Field,
    rows: Sequence[Sequence[tuple[str, str]]],
    newest: _Source,
    past: Sequence[Any],
    system: str,
) -> Iterable[Offer]:
    """What a check came to, as rows of a table; where they add to what is there, of each of its earlier entries too."""
    assert one.row is not None
    columns = {column.name: column for column in one.row.fields()}
    earlier = [_Source(newest.standing, newest.kind, saved, newest.done) for saved in past] if one.given.adds else []
    for source in {(each.saved.number if each.saved else 0): each for each in [*earlier, newest]}.values():
        made, titles = [], []
        when = f" of {source.day.day} {source.day:%B %Y}" if source.day is not None else ""
        for wanted in rows:
            row: dict[str, str] = {}
            for name, key in wanted:
                if key.startswith("="):
                    row[name] = key[1:].format(check=source.standing.title, when=when)
                else:
                    kinds = (source.figure(folder, columns[name], one_of, system) for one_of in key.split("|"))
                    offer = next((found for found in kinds if found is not None), None)
                    if offer is not None:
                        row[name] = offer.text
            if len(row) == len(wanted):
                made.append(tuple(row.items()))
                titles.append(next(iter(row.values())))
        if made:
            figure = "; ".join(parted(title)[0] for title in titles)
            yield source._offer(one.name, one.title, figure, one.name, rows=tuple(made), adds=one.given.adds)


def rigged_stops(folder: Folder, checks: Iterable[Check] | None = None) -> RiggedStops | None:
    """The stops that the folder's first blade-angle check of the tail rotor comes to; None where there is none, or it
    cannot be worked, or a stop is not in it. checks: with the readings that stand for them (default: as the readings
    file has them)."""
    from rotorkit.sheets.performance.pedal_stops import RiggedStops, pedal_against_torque

    for check in folder.checks if checks is None else checks:
        if check.sheet != "blade_angles" or check.readings.get("rotor") != "tail rotor" or check.blank:
            continue
        try:
            outcome = check.outcome(folder.aircraft)
        except SheetError:
            continue
        stops = {
            stop: [found.measured for found in outcome.findings if found.key.startswith(f"{stop}.")]
            for stop in ("low_stop", "high_stop")
        }
        if all(stops.values()):
            plate = folder.aircraft.main_rotor.swashplate
            against = pedal_against_torque(plate.rotor_turns) if plate is not None else None
            return RiggedStops(check.title, mean_of(stops["low_stop"]), mean_of(stops["high_stop"]), against)
    return None
