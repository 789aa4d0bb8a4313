"""What stands in a form's fields, as readings with their units: a bare number takes the unit shown beside its field.

A sheet is always made from text with units, as the terminal and the record make it, so that a reading means the same
wherever it is seen again.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from rotorkit.aircraft import Instrument
from rotorkit.aircraft.entries import Entry, Readings
from rotorkit.judging.measured import difference_si
from rotorkit.quantities import (
    Pressure,
    QuantityError,
    Reading,
    in_unit,
    read,
    required_kind,
    say,
    unit_factor,
    unit_label,
)

OTHER = {"us": "metric", "metric": "us"}
_BARE = re.compile(r"[-+−–]?[\d.,  \u202f\u2009]*\d\.?(?:[eE][-+]?\d+)?")
"""A number that bears no unit, also with what may be a decimal comma or stand between thousands."""
_BREAK = re.compile(r"\r\n|[\n\v\f\r\x85\u2028\u2029]")


def has_lines(text: str) -> bool:
    """Whether several lines were put into a field of one line, as a column of a table is when it is pasted."""
    return bool(_BREAK.search(text.rstrip()))


def lines_of_column(text: str) -> list[str]:
    """The lines of a pasted column; one that is empty keeps its place, those at the end do not."""
    return [line.strip(" ;") for line in _BREAK.split(text.rstrip())]


def cells_of(line: str) -> list[str]:
    """What stood beside one another in a line of a pasted table."""
    return [cell.strip(" ;") for cell in line.split("\t")]


def on_one_line(text: str) -> str:
    """Readings that stood apart in a table, as repeats of one field."""
    return "; ".join(cell for line in lines_of_column(text) for cell in cells_of(line) if cell)


def field_unit(entry: Entry, system: str) -> str:
    """The unit beside a field as it is written; empty for a plain number."""
    label = _label(entry, system)
    return "degrees" if label == "°" else label


def _label(entry: Entry, system: str) -> str:
    unit = entry.shown_unit(system)
    return unit_label(unit, entry.wanted) if unit else ""


@dataclass(frozen=True)
class Taken:
    """What a field's text was taken for. given: the text with its unit, as a sheet and the record take it. reading:
    what was read of it; None where it cannot be read, and then problem says why."""

    given: str
    reading: Reading | Readings | None = None
    problem: str = ""
    meant: str = ""
    """Where a bare number cannot be in the field's unit: in which usual one it could be, as a question."""


def taken(text: str, entry: Entry, system: str) -> Taken:
    """What a field's text is taken for. A text that cannot be taken is given all the same, for the sheet to refuse."""
    try:
        return Taken(*_with_unit(text, entry, system))
    except QuantityError:
        given = bare_with_unit(text, entry, system)
    try:
        return Taken(given, entry.read(given))
    except QuantityError as problem:
        return Taken(given, None, str(problem), _meant(text, entry))


SETTINGS = (("hPa", 1.0), ("inHg", 1.0), ("inHg", 0.01))
"""Units that an altimeter setting is read out in, the last without its point: 2992."""


def _meant(text: str, entry: Entry) -> str:
    """In which unit a bare number of a pressure could be meant; empty where in none, or where it is no bare number."""
    try:
        number = float(text.replace(",", ""))
    except ValueError:
        return ""
    if entry.wanted is not required_kind(Pressure):
        return ""
    for unit, part in SETTINGS:
        written = f"{number * part:g}" if part == 1 else f"{number * part:.2f}"
        try:
            found = entry.read(f"{written} {unit}")
        except QuantityError:
            continue
        if not entry.doubt(found):
            return f"Is it {written} {unit}? Then write it so."
    return ""


def with_unit(text: str, entry: Entry, system: str) -> str:
    """The text with its unit: as typed where it bears one, with the field's unit where it is a bare number.

    Raises `QuantityError` where it cannot be read, or is outside the physical range.
    """
    return _with_unit(text, entry, system)[0]


def _with_unit(text: str, entry: Entry, system: str) -> tuple[str, Reading | Readings]:
    text = text.strip()
    unit = entry.shown_unit(system)
    if not unit:
        return text, entry.read(text)
    wanted = entry.read(text, unit)
    complete = "; ".join(reading.complete for reading in _each(wanted))
    for candidate in (text, f"{text} {unit}", complete):
        try:
            if _parts(found := entry.read(candidate)) == _parts(wanted):
                return candidate, found
        except QuantityError:
            continue
    given = "; ".join(_in_field_unit(reading, entry, unit) for reading in _each(wanted))
    return given, entry.read(given)


def bare_with_unit(text: str, entry: Entry, system: str) -> str:
    """A text that cannot be taken: with the field's unit where it is a bare number, or several, each with its ± or
    without, which then is out of bounds and not in want of a unit; else as it stands."""
    unit = entry.shown_unit(system)
    found = [_numbers(part) for part in (text.split(";") if entry.repeats else [text])]
    if not unit or not all(found):
        return text
    return "; ".join(f"{' ± '.join(numbers)} {unit}" for numbers in found)


def _numbers(text: str) -> list[str]:
    """A bare number and its bare ±, as they stand; nothing where one of them is no bare number."""
    parts = [part.strip() for part in text.replace("+/-", "±").split("±")]
    return parts if len(parts) <= 2 and all(map(_BARE.fullmatch, parts)) else []


def in_units_of(system: str, text: str, entry: Entry | None, typed_in: str) -> str:
    """A text for a field that shows units of `system`, as it was typed into one that showed those of `typed_in`: the
    same reading, a bare number with the unit that it took there."""
    if entry is None or system == typed_in or not text.strip():
        return text
    return for_field(taken(text, entry, typed_in).given, entry, system)


def for_field(typed: str, entry: Entry, system: str) -> str:
    """A text with units, as kept, for a field: changed only where the field would read it otherwise (a humidity kept as
    ``0.55`` in a field of per cent). A text that cannot be read is left as it is, for the field to say so."""
    unit = entry.shown_unit(system)
    if not unit or not typed.strip():
        return typed
    try:
        kept = entry.read(typed)
    except QuantityError:
        return typed
    for candidate in (typed, "; ".join(reading.complete for reading in _each(kept))):
        try:
            if _parts(entry.read(candidate, unit)) == _parts(kept):
                return candidate
        except QuantityError:
            continue
    return "; ".join(_in_field_unit(reading, entry, unit) for reading in _each(kept))


def _in_field_unit(reading: Reading, entry: Entry, unit: str) -> str:
    """A reading in the field's unit, with so many digits that it is read back as the same value."""
    number = float(in_unit(reading.si, unit, entry.wanted))

    def same(text: str) -> bool:
        try:
            return read(text, entry.wanted, possible=entry.can_be).si == reading.si
        except QuantityError:
            return False

    tried = (f"{number:.{digits}g} {unit}" for digits in range(10, 17))
    text = next((text for text in tried if same(text)), f"{number!r} {unit}")
    if reading.uncertainty is not None:
        spread = difference_si(reading.uncertainty, entry.wanted)
        text += f" ± {spread / unit_factor(unit, entry.wanted):.10g} {unit}"
    return text


def _each(read: Reading | Readings) -> list[Reading]:
    return list(read) if isinstance(read, Readings) else [read]


def _parts(read: Reading | Readings) -> list[tuple[float, float | None]]:
    return [
        (reading.si, None if reading.uncertainty is None else difference_si(reading.uncertainty, reading.kind))
        for reading in _each(read)
    ]


def understood(
    read_as: Reading | Readings, entry: Entry, system: str, instrument: Instrument | None = None, short: bool = False
) -> str:
    """What was understood: in the unit typed, in the other system's, with the uncertainty. short: without the last two,
    where there is little room."""
    readings = _each(read_as)
    said = "; ".join(reading.told for reading in readings) if len(readings) < 8 else f"{len(readings)} readings"
    if len(readings) > 1:
        mean = sum(reading.si for reading in readings) / len(readings)
        said += f" (mean of {len(readings)}: {_say_si(mean, entry, system)})"
    elif not short:
        said += _in_other_unit(readings[0], entry, system)
    if not short and instrument is not None and all(reading.uncertainty is None for reading in readings):
        said += _spread(readings[0], entry, system, instrument, len(readings) > 1)
    if (source := readings[0].taken_from) is not None:
        said += f", from {source.words}"
    return said


def _say_si(si: float, entry: Entry, system: str) -> str:
    unit = entry.shown_unit(system)
    number = f"{float(in_unit(si, unit, entry.wanted)):,.4g}" if unit else f"{si:,.4g}"
    label = _label(entry, system)
    return number + ("" if not label or label == "°" else " ") + label


def _in_other_unit(reading: Reading, entry: Entry, system: str) -> str:
    """The same in the unit beside the field and in the other system's, where these differ from what was typed."""
    own = say(reading.value, as_typed=True, kind=entry.wanted)
    others = []
    for other in (system, OTHER[system]):
        unit = entry.shown_unit(other)
        if not unit:
            continue
        words = say(reading.value, unit, kind=entry.wanted)
        if words.split(" ")[-1] != own.split(" ")[-1] and not words.endswith("°") and words not in others:
            others.append(words)
    return f" = {' = '.join(others)}" if others else ""


def _spread(reading: Reading, entry: Entry, system: str, instrument: Instrument, several: bool) -> str:
    try:
        figure = instrument.measure(reading, "")
    except QuantityError:
        return ""
    unit = entry.shown_unit(system)
    spread = float(figure.expanded_si)
    if unit:
        low, high = (float(in_unit(si, unit, entry.wanted)) for si in (0.0, 1.0))
        spread *= high - low
    label = _label(entry, system)
    size = f"{spread:.2g}{'' if not label or label == '°' else ' '}{label}"
    return f", ± {size}{' each' if several else ''} ({instrument.title})"
