"""Exercises and lessons in the reader's units: the one place where they are turned from US into metric ones.

An exercise is declared in the units of its story, mostly US ones. For a reader with a metric aircraft file each number
is drawn as for anybody else and then carried to the nearest round number of the metric unit, so that a seed poses the
same question in both, as hard in the one as in the other. Where a sentence, a unit or a fixed number has to be another
one, its author writes both, the US one first: ``{28 lb|124.6 N}`` in a sentence, ``"70 °F|20 °C"`` for a fixed number.

>>> worded("At {70 °F|20 °C} the cable is right.", "metric")
'At 20 °C the cable is right.'
>>> from rotorkit.quantities import Length
>>> carried("11.8 ft", "0.1 ft", Length, "metric")
'3.60 m'
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any

from rotorkit.aircraft.entries import Entry, Readings
from rotorkit.aircraft.instruments import Instrument
from rotorkit.judging.measured import difference_si
from rotorkit.quantities import (
    Kind,
    QuantityError,
    difference_kind,
    in_unit,
    kind_of,
    number_text,
    read,
    unit_factor,
    unit_for_display,
    unit_label,
    written_share,
)
from rotorkit.quantities.saying import belongs_to_display
from rotorkit.sheets.exercises import Exercise, Range

_BOTH = re.compile(r"\{([^{}|]*)\|([^{}|]*)\}")
_NUMBER = re.compile(r"^([+-]?[\d,]*\.?\d+(?:e[+-]?\d+)?)\s*(.*)$")
LEAST_DIGITS = 2
"""A fixed number that is typed with one digit is carried to so many: 5 ft are 1.5 m, not 2 m."""
ROUND = (1, 2, 5)


def worded(text: str, system: str) -> str:
    """A sentence for a reader of the system, "us" or "metric": of each ``{one|other}`` the part that is theirs."""
    return _BOTH.sub(lambda found: found[2 if system == "metric" else 1], text)


def in_units_of(exercise: Exercise, system: str) -> Exercise:
    """An exercise for a reader of the system: its sentences, the unit to answer in and its fixed numbers. The ranges
    stay: what is drawn from them is carried by `carried`."""
    kinds = kinds_of(exercise)
    asked = kinds.get(exercise.unknown or "result")
    given: dict[str, Range | str] = {}
    for name, one in exercise.given.items():
        if isinstance(one, str):
            first, both, other = one.partition("|")
            own = other if both and system == "metric" else first
            one = own if both else carried(own, "", kinds.get(name), system)
        given[name] = one
    first, both, other = exercise.unit.partition("|")
    unit = other if both and system == "metric" else first
    if not both and unit and asked is not None and system == "metric":
        unit = unit_for_display(unit, asked, system)
    return replace(
        exercise,
        title=worded(exercise.title, system),
        story=worded(exercise.story, system),
        find=worded(exercise.find, system),
        hints=tuple(worded(one, system) for one in exercise.hints),
        given=given,
        unit=unit,
    )


def kinds_of(exercise: Exercise) -> dict[str, Kind | None]:
    """The kind of each argument of an exercise's formula, and of its ``result``; none for one on a whole sheet."""
    if exercise.of is None:
        return {}
    return {one.name: one.kind for one in exercise.of.contract.arguments} | {"result": exercise.of.kind}


def carried(text: str, step: str, kind: Any, system: str) -> str:
    """A number with its unit, as text, in the reader's units.

    text: as drawn or as declared; step: what it was drawn in, as text with its unit, so that the new one is a whole
    number of the nearest round step; empty for a fixed number, which keeps its count of digits. What is in the
    system's own units already comes back as it is, and so does everything for a reader of US units.
    """
    wanted = kind_of(kind)
    number, unit = _parted(text)
    if system != "metric" or wanted is None or not number or not unit:
        return text
    new = unit_for_display(unit, wanted, system)
    if new == unit:
        return text
    value = float(in_unit(float(read(text, wanted).si), new, wanted))
    if step:
        size = float(_parted(step)[0]) * unit_factor(unit, wanted) / unit_factor(new, wanted)
        place, times = _round_step(size)
        if place == -3 and abs(value) >= 1:  # three decimals behind a whole number are asked about where they are typed
            place, times = -2, 1
        whole = round(value / (times * 10.0**place)) * times
        return f"{whole * 10.0**place:,.{max(0, -place)}f} {_spelled(new)}"
    digits = max(LEAST_DIGITS, len(re.sub(r"\D", "", number).lstrip("0")))
    decimals = digits - 1 - math.floor(math.log10(abs(value))) if value else 0
    return f"{round(value, decimals):,.{max(0, decimals)}f} {_spelled(new)}"


def reading_carried(text: str, entry: Entry, system: str) -> str:
    """What was typed into a field, in the reader's units: repeats one by one, each about as finely as it was read, with
    its ±. What is in the system's own units, or no reading at all, comes back as it is."""
    try:
        read_as = entry.read(text)
    except QuantityError:
        return text
    every = list(read_as) if isinstance(read_as, Readings) else [read_as]
    kind, unit = entry.wanted, entry.shown_unit(system)
    if all(belongs_to_display(one.value, kind, system) for one in every):
        return text
    factor, said = unit_factor(unit, kind), []
    for one in every:
        step = abs(difference_si(one.step, kind)) / factor
        decimals = max(0, math.ceil(-math.log10(step) - 0.5)) if step else 0
        number = f"{float(in_unit(one.si, unit, kind)):,.{decimals}f}"
        spread = ""
        if one.uncertainty is not None:
            spread = f" ± {number_text(abs(difference_si(one.uncertainty, kind)) / factor, 2)}"
        said.append(f"{number}{spread} {unit_label(unit, kind)}".replace(" °", "°" if unit == "deg" else " °").strip())
    return "; ".join(said)


def instrument_carried(instrument: Instrument, system: str) -> str:
    """An instrument in words, as `Instrument.serves` has it, its ± in the reader's units."""
    spread = instrument.uncertainty
    if instrument.tables or written_share(spread) is not None:
        return instrument.serves
    said = carried(spread, "", difference_kind(instrument.kind), system)
    return instrument.model_copy(update={"uncertainty": said}).serves


def stays_in_us(exercise: Exercise) -> bool:
    """Whether an exercise as it is declared gives or asks for something in units that a metric reader would not use."""
    kinds = kinds_of(exercise)
    texts = {name: one if isinstance(one, str) else one.low for name, one in exercise.given.items()}
    units = [(_parted(text)[1], kinds.get(name)) for name, text in texts.items()]
    units.append((exercise.unit, kinds.get(exercise.unknown or "result")))
    return any(unit and kind is not None and unit_for_display(unit, kind, "metric") != unit for unit, kind in units)


def _round_step(size: float) -> tuple[int, int]:
    """The nearest of 1, 2 and 5 times a power of ten, as the power and the 1, 2 or 5."""
    near = math.floor(math.log10(size))
    every = [(place, times) for place in (near, near + 1) for times in ROUND]
    return min(every, key=lambda one: abs(math.log(one[1] * 10.0 ** one[0] / size)))


def _parted(text: str) -> tuple[str, str]:
    found = _NUMBER.match(text)
    return (found[1].replace(",", ""), found[2]) if found else ("", "")


def _spelled(unit: str) -> str:
    """A temperature's unit as a person writes it."""
    return unit.replace("degC", "°C")
