"""Nothing that is kept from an earlier working answers where it must not: a sheet worked after others comes to what it
comes to with nothing kept, to the last bit, whatever reading or figure of the aircraft is another."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft, demo_folder
from rotorkit.aircraft.entries import Section
from rotorkit.edges.recent import forget
from rotorkit.folder import Check, Folder
from rotorkit.pictures import draw
from rotorkit.quantities import Reading
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.benchmarks.test_edits import changed, readings_of

FOLDER = Folder(demo_folder())
MOST_READINGS = 3
EVERY_READING = ("main_blades_alike", "pedals_today", "balance_once_a_turn", "tail_rotor_on_mandrel", "mixture_ground")
"""Checks of which most is kept: each reading is changed; of the others so many."""
RESTED_ON = (
    "main_rotor.radius", "main_rotor.chord", "main_rotor.speed", "main_rotor.blade", "tail_rotor.radius",
    "tail_rotor.chord", "tail_rotor.blade", "loading.envelopes", "measured_hovers",
)  # fmt: skip
"""Figures of the aircraft file on which something rests that is kept."""


def told(outcome: Outcome) -> list[Any]:
    figures = [(one.key, one.measured.si, one.measured.standard_si, one.row()) for one in outcome.findings]
    steps = [(one.title, [line.text for line in one.lines], one.value.si) for one in outcome.steps]
    origins = [sorted((origin.label, part) for origin, part in one.measured.components.items())
               for one in outcome.findings]  # fmt: skip
    pictures = [draw(one, 405) for one in outcome.pictures]
    return [figures, origins, steps, outcome.lead, outcome.remarks, outcome.to_do, pictures]


def worked(check: Check, readings: Any, aircraft: Aircraft, quickly: bool = False) -> list[Any]:
    try:
        sheet = sheet_type(check.sheet).from_readings(readings)
        return told(sheet.quickly(aircraft) if quickly else sheet.work(aircraft))
    except SheetError as problem:
        return problem.problems


def edits(check: Check) -> Iterator[dict[str, Any]]:
    there = readings_of(check)
    most = len(there) if check.name in EVERY_READING else MOST_READINGS
    for where, text in there[:: max(1, -(-len(there) // most))]:
        yield changed(check, where, text, 4)


@pytest.mark.parametrize("check", FOLDER.checks, ids=lambda one: one.name)
def test_a_reading_that_is_another(check: Check) -> None:
    every = [dict(check.readings), *edits(check)]
    first, *others, again = (worked(check, one, FOLDER.aircraft) for one in [*every, every[0]])
    for readings, found in zip(every, [again, *others], strict=True):
        forget()
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
    as_it_is = worked(check, check.readings, FOLDER.aircraft, quickly=True)
    for place, aircraft in other_aircraft():
        found = worked(check, check.readings, aircraft, quickly=True)
        forget()
        assert found == worked(check, check.readings, aircraft, quickly=True), place
        moved += [place] if found != as_it_is else []
        worked(check, check.readings, FOLDER.aircraft, quickly=True)
    assert len(moved) > 10
