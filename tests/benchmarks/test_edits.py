"""From an edit to the picture, in the library: of each demo check one reading after another changed by its last digit,
the sheet made and worked anew and drawn, over what blade angles take in the same run, so that the machine cancels.
Every reading is one that was not there before, so that nothing kept from an earlier working answers in its place.
Nothing here fails for being slow.

Figures of one run stand in DEVELOPERS.md.
"""

from __future__ import annotations

import copy
import re
import statistics
import time
from collections.abc import Iterator
from typing import Any

from rotorkit.aircraft import Aircraft, demo_folder
from rotorkit.folder import Check, Folder
from rotorkit.notebook import words
from rotorkit.pictures import draw
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.benchmarks.telling import tell, time_of

EDITS = 24
"""At most so many readings of a check are changed, evenly over all that it has."""
TIMES = 3
"""Each is changed so many times; the least time counts, since other work on the machine only ever adds to it."""
AS_LONG = "tail_rotor_angles"


def readings_of(check: Check) -> list[tuple[tuple[Any, ...], str]]:
    """(where, text) of each reading typed with a digit."""
    found: list[tuple[tuple[Any, ...], str]] = []
    for one in sheet_type(check.sheet).fields():
        given = check.readings.get(one.name)
        if one.row is not None:
            for i, row in enumerate(given or []):
                for column in one.row.fields():
                    if column.entry is not None and column.name in row:
                        found.append(((one.name, i, column.name), str(row[column.name])))
        elif one.entry is not None and given is not None:
            found.append(((one.name,), str(given)))
    return [(where, text) for where, text in found if re.search(r"\d", text)]


def changed(check: Check, where: tuple[Any, ...], text: str, by: int) -> dict[str, Any]:
    """The readings with the last digit of one's first number another, and a digit behind it that is new each time."""
    number = re.search(r"\d[\d,]*(\.\d+)?", text)
    assert number is not None
    digits = number[0] + ("" if "." in number[0] else ".") + f"{by}1"
    readings: dict[str, Any] = copy.deepcopy(dict(check.readings))
    at: Any = readings
    for step in where[:-1]:
        at = at[step]
    at[where[-1]] = text[: number.start()] + digits + text[number.end() :]
    return readings


def shown(outcome: Outcome) -> None:
    words.answer(outcome)
    for picture in outcome.pictures:
        draw(picture, 405)


def edits(check: Check, aircraft: Aircraft) -> Iterator[tuple[float, float]]:
    """Processor seconds of each edit: to the verdicts and the picture, and to all of the answer."""
    made, there = sheet_type(check.sheet), readings_of(check)
    for where, text in there[:: max(1, -(-len(there) // EDITS))]:
        first, whole = [], []
        for by in range(1, TIMES + 1):
            readings = changed(check, where, text, by)
            start = time.process_time()
            try:
                sheet = made.from_readings(readings)
                if made.has_slow_part:
                    shown(sheet.quickly(aircraft))
                    first.append(time.process_time() - start)
                shown(sheet.work(aircraft))
            except SheetError:  # a count, or a reading that others hold in place
                continue
            whole.append(time.process_time() - start)
        if whole:
            yield min(first or whole), min(whole)


def test_every_sheet() -> None:
    folder = Folder(demo_folder())
    took = {}
    for check in folder.checks:
        shown(check.outcome(folder.aircraft))
        if found := list(edits(check, folder.aircraft)):
            took[check.name] = found
    of = {name: statistics.median(first for first, _ in found) for name, found in took.items()}
    for name in sorted(of, key=of.__getitem__):
        whole = statistics.median(all_of_it for _, all_of_it in took[name])
        what = f"edit to verdict and picture of {name} / of blade angles, {len(took[name])} readings"
        later = f"; all of it {time_of(whole)}" if whole > 1.01 * of[name] else ""
        tell(what, time_of(of[name]) + later, time_of(of[AS_LONG]), f"{of[name] / of[AS_LONG]:.2f}", "1.5")
