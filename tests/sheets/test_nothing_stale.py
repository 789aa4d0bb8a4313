"""Nothing that is kept from an earlier working answers where it must not: a sheet worked after others comes to what it
comes to with nothing kept, to the last bit, whatever reading or figure of the aircraft is another."""

from __future__ import annotations

import functools
import gc
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft, demo_folder
from rotorkit.aircraft.entries import Section
from rotorkit.edges.recent import Recent
from rotorkit.folder import Check, Folder
from rotorkit.pictures import draw
from rotorkit.quantities import Reading
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.benchmarks.test_edits import changed, readings_of

FOLDER = Folder(demo_folder())
MOST_READINGS = 3
RESTED_ON = (
    "main_rotor.radius", "main_rotor.chord", "main_rotor.speed", "main_rotor.blade", "tail_rotor.radius",
    "tail_rotor.chord", "tail_rotor.blade", "loading.envelopes", "measured_hovers",
)  # fmt: skip
"""Figures of the aircraft file on which something rests that is kept."""


def forget(kept: list[Recent[Any]]) -> None:
    """Throw away all that was worked a moment ago."""
    for one in kept:
        one._found.cache_clear()


def all_kept() -> list[Recent[Any]]:
    return [one for one in gc.get_objects() if isinstance(one, Recent)]


def told(outcome: Outcome) -> list[Any]:
    figures = [(one.key, one.measured.si, one.measured.standard_si, one.row()) for one in outcome.findings]
    steps = [(one.title, [line.text for line in one.lines], one.value.si) for one in outcome.steps]
    origins = [sorted((origin.label, part) for origin, part in one.measured.components.items())
               for one in outcome.findings]  # fmt: skip
    pictures = [draw(one, 405) for one in outcome.pictures]
    return [figures, origins, steps, outcome.lead, outcome.remarks, outcome.to_do, pictures]


def worked(check: Check, readings: Any, aircraft: Aircraft) -> list[Any]:
    try:
        return told(sheet_type(check.sheet).from_readings(readings).work(aircraft))
    except SheetError as problem:
        return problem.problems


def edits(check: Check) -> Iterator[dict[str, Any]]:
    there = readings_of(check)
    for where, text in there[:: max(1, -(-len(there) // MOST_READINGS))]:
        yield changed(check, where, text, 4)


@pytest.mark.parametrize("check", FOLDER.checks, ids=lambda one: one.name)
def test_a_reading_that_is_another(check: Check) -> None:
    every = [dict(check.readings), *edits(check)]
    first, *others, again = (worked(check, one, FOLDER.aircraft) for one in [*every, every[0]])
    kept = all_kept()
    for readings, found in zip(every, [again, *others], strict=True):
        forget(kept)
        assert found == worked(check, readings, FOLDER.aircraft)
    assert first == again


def places(section: Any, at: tuple[Any, ...] = ()) -> Iterator[tuple[tuple[Any, ...], Reading]]:
    """Each reading of the aircraft file, with the way to it."""
    if isinstance(section, Reading):
        yield at, section
    elif isinstance(section, Section):
        for name, value in section.__dict__.items():
            yield from places(value, (*at, name))
    elif isinstance(section, dict | list):
        for key, value in section.items() if isinstance(section, dict) else enumerate(section):
            yield from places(value, (*at, key))


def put(section: Any, at: tuple[Any, ...], reading: Reading) -> Any:
    """The same with another reading there."""
    if not at:
        return reading
    here, *rest = at
    if isinstance(section, Section):
        return section.model_copy(update={here: put(getattr(section, here), tuple(rest), reading)})
    copied = section.copy()
    copied[here] = put(section[here], tuple(rest), reading)
    return copied


@functools.cache
def other_aircraft() -> list[tuple[str, Aircraft]]:
    """The demo aircraft with one figure a little larger, of those that what is kept rests on."""
    found = []
    for room in ("main_rotor", "tail_rotor", "loading", "measured_hovers"):
        for at, reading in places(getattr(FOLDER.aircraft, room), (room,)):
            place = ".".join(map(str, at))
            if place.startswith(RESTED_ON):
                more = type(reading.value)(1.001 * reading.magnitude + 1e-6, reading.units)
                found.append((place, put(FOLDER.aircraft, at, replace(reading, value=more))))
    return found


@pytest.mark.parametrize("name", ["hover_by_blades", "pedals_today"])
def test_a_figure_of_the_aircraft_that_is_another(name: str) -> None:
    check, moved = FOLDER.check(name), []
    as_it_is, kept = worked(check, check.readings, FOLDER.aircraft), all_kept()
    for place, aircraft in other_aircraft():
        found = worked(check, check.readings, aircraft)
        forget(kept)
        assert found == worked(check, check.readings, aircraft), place
        moved += [place] if found != as_it_is else []
    assert len(moved) > 10
