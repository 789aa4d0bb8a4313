"""Figures that a saved check took from another: whether what they were taken from still says the same."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any, Protocol

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.asked import asked_at
from rotorkit.aircraft.entries import Readings
from rotorkit.folder.offers import ONE_THING, Offer, text_of_figure
from rotorkit.judging.agreement import says_the_same
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import QuantityError, Reading, say
from rotorkit.quantities.taken_from import parted
from rotorkit.record.entry import SavedEntry, first_form
from rotorkit.record.errors import RecordError
from rotorkit.record.snapshot import walk
from rotorkit.sheets.base import Finding, Sheet, SheetError
from rotorkit.sheets.catalogue import sheet_type


class Entries(Protocol):
    """What is asked of the record."""

    def entry(self, number: int) -> SavedEntry: ...
    def entries(self, check: str | None = None) -> list[SavedEntry]: ...
    def standing(self, check: str) -> list[tuple[SavedEntry, SavedEntry]]: ...
    def newest_of(self, sheets: Sequence[str]) -> SavedEntry | None: ...


def sources_of(sheet: Sheet, entries: Entries) -> Iterator[tuple[bool, str]]:
    """(whether the reading no longer rests on what it says, sentence) of each reading that was taken from an entry, as
    far as there is something to say. An entry that was corrected counts with its correction; that the same job was done
    again since, with another figure, is told and moves nothing."""
    for _, title, reading, number, key in _taken(sheet):
        yield from _source(title, reading, number, key, entries)
    for _, said in of_another(sheet, entries):
        yield True, said


def not_in_the_file(sheet: Sheet, aircraft: Aircraft, entries: Entries) -> Iterator[str]:
    """What the newest check of those that the aircraft file's figures come from (`Sheet.file_holds`) came to and the
    file does not say, by more than both ±: what was worked with the file no longer stands, and what was taken from
    that neither."""
    for place, newest, figure in _newest(_holds(sheet, entries), entries):
        table, name = place.rsplit(".", 1)
        there = getattr(aircraft, table, None)
        if there is None or not there.has(name):
            continue
        typed = getattr(there, name)
        if figure.measured.kind == typed.kind and _apart(typed, figure.measured):
            yield (
                f"[{table}] {name} is {typed.understood}, and entry {newest.number}, {newest.title}, came to "
                f"{figure.said}: write that into the aircraft file"
            )


def _apart(typed: Reading, figure: Measured) -> bool:
    """Whether a reading and a figure differ by more than both their ±."""
    held = measured(typed, typed.kind, "held")
    apart = abs(float(held.si) - float(figure.si))
    return apart > math.hypot(float(held.expanded_si), float(figure.expanded_si))


def offered_to_the_file(
    holds: Mapping[str, tuple[str, ...]], aircraft: Aircraft, entries: Entries, system: str, apart: bool = False
) -> list[Offer]:
    """What the newest check of those that figures of the aircraft file come from came to, where the file does not say
    the same: one offer a place. An entry of which a part is missing, or that is not as it was saved, offers nothing.

    Arguments: holds, as `Sheet.file_holds`; system, whose units the fields show; apart, to offer only what the file
    does not have, or has otherwise by more than both ±.
    """
    found = []
    for place, entry, figure in _newest(holds, entries):
        asked = asked_at(place, aircraft)
        table, name = place.rsplit(".", 1)
        there = getattr(aircraft, table, None)
        if asked is None or asked.entry is None or entry.outcome.missing:
            continue
        if there is not None and there.has(name):
            typed = getattr(there, name)
            if not _apart(typed, figure.measured) if apart else says_the_same(typed, figure.measured):
                continue
        try:
            text = text_of_figure(figure.measured, asked.entry, system)
        except QuantityError:
            continue
        when = f"{entry.local.day} {entry.local:%B %Y}"
        found.append(Offer(place, figure.title, text, text, entry.check, entry.title, entry.number, when))
    return found


def _newest(holds: Mapping[str, tuple[str, ...]], entries: Entries) -> Iterator[tuple[str, SavedEntry, Finding]]:
    """What the newest of the checks that each place comes from came to for it."""
    for place, keys in holds.items():
        newest = entries.newest_of([key.split(".")[0] for key in keys])
        if newest is None or newest.fault:
            continue
        key = next(key.split(".", 1)[1] for key in keys if key.split(".")[0] == newest.sheet)
        figure = next((one for one in newest.findings if one.key == key), None)
        if figure is not None:
            yield place, newest, figure


def _holds(sheet: Sheet, entries: Entries) -> dict[str, tuple[str, ...]]:
    """`Sheet.file_holds` of a sheet and of those whose entries it took readings from."""
    found = dict(sheet.file_holds)
    for number in dict.fromkeys(number for _, _, _, number, _ in _taken(sheet)):
        try:
            found |= sheet_type(entries.entry(number).sheet).file_holds
        except (RecordError, SheetError):
            continue  # is told by `sources_of`
    return found


def of_another(sheet: Sheet, entries: Entries) -> Iterator[tuple[str, str]]:
    """(path, sentence) of each reading that was taken from an entry on another rotor, cable, tube, belt or shaft than
    the sheet is worked on."""
    things = [one for one in sheet.fields() if one.choice is not None and one.choice.of in ONE_THING]
    for path, title, _, number, _ in _taken(sheet) if things else ():
        try:
            source = entries.entry(number)
        except RecordError:
            continue
        for one in things:
            here, there = str(getattr(sheet, one.name) or ""), "" if source.fault else source.readings.get(one.name, "")
            if here and there and there != here:
                yield path, f"{title} was taken from entry {number}, and that is of {there}, not of {here}"


def _taken(sheet: Sheet) -> Iterator[tuple[str, str, Reading, int, str]]:
    """Path, title, reading, entry and key of each reading that was taken from an entry."""
    for path, field, value in walk(sheet):
        for one in value[:1] if isinstance(value, Readings) else [value]:  # repeats were taken together
            if isinstance(one, Reading) and one.taken_from is not None and one.taken_from.entry is not None:
                yield path, field.title, one, one.taken_from.entry, one.taken_from.key


def _source(title: str, reading: Reading, number: int, key: str, entries: Entries) -> Iterator[tuple[bool, str]]:
    try:
        source = entries.entry(number)
        standing = entries.standing(source.check)
        every = {one.number: one for one in entries.entries(source.check)}
    except RecordError:
        yield True, f"{title} is said to be from entry {number}, which the record does not have"
        return
    if source.fault:
        yield True, f"{title} was taken from entry {number}, which {source.fault}"
        return
    if (typed := _reading(source, key)) is not None:
        yield from _read_there(title, reading, typed, source, key, standing, every)
        return
    said = _figure(source, key)
    if said is None or said.kind != reading.kind:
        yield True, f"{title} is said to be from entry {number}, which has no such figure ({key})"
        return
    if not says_the_same(reading, said):
        yield True, f"{title} is said to be from entry {number}, which gives {say(said)}, not {reading.understood}"
        return
    first = first_form(source, every)
    now = next((entry for entry, of in standing if of.number == first.number), None)
    if now is not None and now.number != number and (figure := _other(reading, now, key)) is not None:
        yield True, f"{title} was taken from entry {number}, corrected since by entry {now.number}: {say(figure)}"
        return
    last = standing[-1][0] if standing else source
    if last.number != number and (now is None or last.number != now.number):
        figure = _other(reading, last, key)
        if figure is not None:
            told = f"{title} was taken from entry {number}; it has been done again since, as entry {last.number}"
            yield False, f"{told}: {say(figure)}"


def _read_there(
    title: str,
    reading: Reading,
    typed: str,
    source: SavedEntry,
    key: str,
    standing: Iterable[tuple[SavedEntry, SavedEntry]],
    every: Mapping[int, SavedEntry],
) -> Iterator[tuple[bool, str]]:
    """The same of a reading that was taken over as it was typed."""
    number, mine = source.number, parted(reading.typed)[0].strip()
    if mine != typed:
        yield True, f"{title} is said to be from entry {number}, where {typed} was read, not {mine}"
        return
    first = first_form(source, every)
    now = next((entry for entry, of in standing if of.number == first.number), None)
    if now is not None and now.number != number and (other := _reading(now, key)) != typed:
        was = f": {other} was read" if other else ", where it no longer exists"
        yield True, f"{title} was taken from entry {number}, corrected since by entry {now.number}{was}"


def _reading(entry: SavedEntry, key: str) -> str | None:
    """What was typed at a place of an entry ("dial", "stations.2.reading"), without where it was taken from; None where
    there is no such reading."""
    if entry.fault or any(one.key == key for one in entry.findings):
        return None
    at: Any = entry.readings
    for name in key.split("."):
        if isinstance(at, list):
            at = at[int(name)] if name.isdigit() and int(name) < len(at) else None
        else:
            at = at.get(name) if isinstance(at, Mapping) else None
    return parted(at)[0].strip() if isinstance(at, str) and at.strip() else None


def _other(reading: Reading, entry: SavedEntry, key: str) -> Measured | None:
    """The figure of an entry, where it is another one than was taken."""
    found = None if entry.fault else _figure(entry, key)
    return None if found is None or found.kind != reading.kind or says_the_same(reading, found) else found


def _figure(entry: SavedEntry, key: str) -> Measured | None:
    return next((one.measured for one in entry.findings if one.key == key), None)
