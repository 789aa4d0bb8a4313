"""Reading what people type: ``5/16 in``, ``11 ft 8 in``, ``14° 20'``, ``1,310 lb``, ``35 ± 2 lb``.

Text is read in the light of the kind wanted. Nothing is evaluated: the text is cut into numbers and unit spellings by
bounded regular expressions, and every unit must stand in `rotorkit.quantities.units`. A text longer than
`LONGEST_TEXT` characters is refused at once, so that any text is answered within a moment.

One part lends its unit to another only where nothing else can be meant (``35 ± 2 lb``). What can be meant in two ways
is refused with both of them written out (`AmbiguousReading`): ``0.60 ± 5 %``, ``11 ft 8 in ± 1``, ``3,125 in``. One
writing has one meaning wherever it is taken; where a field's bounds leave no other, it is taken there.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property, lru_cache
from typing import Any

from rotorkit.quantities.errors import AmbiguousReading, QuantityError, shortened
from rotorkit.quantities.kinds import Kind, Ratio, difference_kind, kind_of, required_kind
from rotorkit.quantities.lending import Written, is_one, is_percent, same_unit, single
from rotorkit.quantities.parts import LONGEST_TEXT, NEXT_NUMBER, NUMBER, Part, cleaned, cut
from rotorkit.quantities.pint_inside import registry, units_of
from rotorkit.quantities.several import SMALLER_UNITS, bracketed, on_semicolons, space_in_number, spaced, terms
from rotorkit.quantities.spelled_units import SHARES, unit_container
from rotorkit.quantities.taken_from import TakenFrom

MOST_REPEATS = 100
COMPOUND_DIGITS = 6
"""A reading typed in parts that so many digits say exactly is said back in its first unit, else in its smallest."""
ECHO_DIGITS = 10
"""What no decimal says exactly, such as 1/3 in, is said back to so many digits."""
POWER_OF_TEN = re.compile(r"\d+(?:\.\d+)?[eE][-+]?\d+")
LARGEST = 1e30
"""Beyond this size (in SI units) there is nothing to read on an aircraft, and a sum of squares might overflow."""

Possible = Callable[["Reading", bool], bool]


@dataclass(frozen=True)
class Reading:
    """One thing that a person typed, and what was understood.

    value: the quantity, in the unit typed. uncertainty: what stood after ``±``, an expanded uncertainty (k = 2), or
    None. kind: what was wanted. typed: the text as it came. step: one unit in the last place written (for a fraction,
    one part). compound: whether a fraction or several numbers were typed, as in ``11 ft 8 1/2 in``. complete: the text
    with every unit written out, which reads the same without a unit beside the field. smallest: the same value in the
    smallest unit typed. addends: what was added up, where a sum was typed (``900 + 180 lb``); its uncertainty is that
    of independent readings, so the root of the sum of squares (JCGM 100:2008, 5.1.2), and so is its step.
    taken_from: the other check's figure that this is, where the text says so. in_arc: an angle as it was written in
    degrees and minutes, which a few decimals seldom say.
    """

    value: Any
    uncertainty: Any
    kind: Kind
    typed: str
    step: Any
    compound: bool = False
    complete: str = ""
    smallest: Any = None
    addends: tuple[Reading, ...] = ()
    taken_from: TakenFrom | None = None
    in_arc: str = ""

    @property
    def told(self) -> str:
        """What was understood, with the word that it is a sum where one was typed."""
        return self.understood + (f", the sum of {len(self.addends)}" if self.addends else "")

    @cached_property
    def understood(self) -> str:
        """What was understood, said back in the unit typed: 30 inches typed as feet and inches are 2.5 ft.

        The promise: read again, it is the same value; to the last bit where one decimal was typed, and within five
        parts in 10^10 where a fraction or several numbers were (exact again where a decimal in the first or the
        smallest unit typed says it exactly: 25 inches typed as feet and inches are 25 in; 7° 55' stays 7° 55'). The
        record works from the text as typed, never from this one.
        """
        from rotorkit.quantities.saying import say

        shown, in_arc = self.value, ""
        if self.compound:
            short = float(f"{shown.magnitude:.{COMPOUND_DIGITS}g}")
            if not math.isclose(short, shown.magnitude, rel_tol=1e-14):
                shown, in_arc = self.smallest if self.smallest is not None else shown, self.in_arc
            shown = type(shown)(float(f"{shown.magnitude:.{ECHO_DIGITS}g}"), units_of(shown))
        text = in_arc or self._plain(say(shown, as_typed=True, kind=self.kind))
        if self.uncertainty is not None:
            size = self.uncertainty
            short = type(size)(float(f"{size.magnitude:.{ECHO_DIGITS}g}"), units_of(size))
            text += " ± " + say(short, as_typed=True, kind=difference_kind(self.kind))
        if not POWER_OF_TEN.search(self.typed):  # nobody who wrote 0.00005 means to read 5e-05
            text = POWER_OF_TEN.sub(lambda found: f"{Decimal(found[0]):,f}", text)
        return self._plain(text)

    @property
    def said(self) -> str:
        """As `understood` where the display system in force has the unit typed, else in that system's own unit: a
        manual's 70 °F is 21.11 °C where figures are metric."""
        from rotorkit.quantities.saying import belongs_to_display, say

        if belongs_to_display(self.value, self.kind):
            return self.understood
        spread = "" if self.uncertainty is None else f" ± {say(self.uncertainty, kind=difference_kind(self.kind))}"
        return say(self) + spread

    def _plain(self, text: str) -> str:
        """An echo that could itself be meant in two ways (1.653 lb) with one more zero (1.6530 lb)."""
        for _ in range(4):
            try:
                read(text, self.kind)
            except AmbiguousReading as problem:
                text = problem.ways[0]
            else:
                break
        return text

    @cached_property
    def si(self) -> float:
        """The bare value in coherent SI units."""
        from rotorkit.quantities.foreign import si_value

        return float(si_value(self.value, self.kind))

    @cached_property
    def step_si(self) -> float:
        """The size of `step` in coherent SI units."""
        from rotorkit.quantities.foreign import si_value

        return abs(float(si_value(self.step, difference_kind(self.kind))))

    @property
    def magnitude(self) -> float:
        return float(self.value.magnitude)

    @property
    def units(self) -> Any:
        return self.value.units

    def to(self, unit: str) -> Any:
        """The value converted, as a quantity."""
        return self.value.to(unit)

    def m_as(self, unit: str) -> float:
        """The value's number in another unit."""
        return float(self.value.m_as(unit))

    def __str__(self) -> str:
        return self.understood


def read(
    text: str, kind: Any, bare_unit: str | None = None, possible: Possible | None = None, by_program: bool = False
) -> Reading:
    """Read `text` as a quantity of `kind`.

    Arguments: text as typed, with its unit; kind, one of `KINDS` (``Force``); bare_unit, the unit that a bare number
    takes (a form passes the unit shown beside its field; without one a bare number is refused); possible, whether a
    reading can be, and as another meaning than our own (second argument): what could be meant in two ways is taken in
    our own meaning where this leaves no other; by_program, whether a program wrote the text (an argument of a formula):
    its point is a decimal point, also before three figures (``2.083 ft``), and only a comma is asked about.
    Returns a `Reading`. Raises `QuantityError` with what is needed, what came and what to type.

    >>> from rotorkit.quantities import Length, read
    >>> read("11 ft 8 in", Length).to("inch").magnitude
    140.0
    """
    wanted = kind_of(kind)
    if wanted is None:
        raise TypeError(f"read needs a kind such as Length or Force, got {kind!r}")
    if not isinstance(text, str):
        raise QuantityError(f"needs text such as '{wanted.example}', got {type(text).__name__}")
    try:
        return _read(text, wanted, bare_unit, by_program)
    except AmbiguousReading as problem:
        if possible is None:
            raise
        taken, *others = problem.ways
        if _can_be(taken, wanted, bare_unit, possible) and not any(
            _can_be(way, wanted, bare_unit, possible, other=True) for way in others
        ):
            found = _read(taken, wanted, bare_unit)
            # our own meaning is written with one more zero (1.6530 lb), which the person did not write, or without the
            # last one (1.03 ft/s), which the person did
            more = sum(one.isdigit() for one in taken) - sum(one.isdigit() for one in text)
            return replace(
                found, typed=text, step=found.step * 10.0**more, complete=text if bare_unit is None else found.complete
            )
        raise


def _can_be(text: str, kind: Kind, bare_unit: str | None, possible: Possible, other: bool = False) -> bool:
    try:
        return possible(_read(text, kind, bare_unit), other)
    except AmbiguousReading:
        return True
    except QuantityError:
        return False


def read_repeats(text: str, kind: Any, bare_unit: str | None = None, possible: Possible | None = None) -> list[Reading]:
    """Read repeated readings of one thing, separated by semicolons or line breaks: ``12.1; 12.3; 12.2 deg``; by spaces
    where nothing else can be meant: ``12.1 12.3 12.2 deg``.

    The unit of the last serves all that have none; where others bear another one, or it is a per cent (``0.55; 58 %``),
    that is refused. Arguments as for `read`. Raises `QuantityError` as `read` does; for a reading that is missing
    beside a semicolon; and for more than `MOST_REPEATS`.

    >>> from rotorkit.quantities import Angle, read_repeats
    >>> [one.understood for one in read_repeats("12.1 12.3 12.2 deg", Angle)]
    ['12.1°', '12.3°', '12.2°']
    """
    wanted = kind_of(kind)
    if not isinstance(text, str) or wanted is None:
        return [read(text, kind, bare_unit, possible)]
    lines, text = text, on_semicolons(text)
    if (text != lines or ("+" in text and ";" not in text)) and (apart_or_joined := space_in_number(text)):
        return _one_of_two(text, *apart_or_joined, wanted, bare_unit, possible)
    if ";" not in text and (apart := spaced(text, wanted, bare_unit)) is not None:
        if apart.otherwise:
            return _one_of_two(text, apart.written, apart.otherwise, wanted, bare_unit, possible)
        text = apart.written
    parts = [part.strip() for part in text.split(";", MOST_REPEATS)]
    if len(parts) > MOST_REPEATS:
        raise QuantityError(f"needs at most {MOST_REPEATS} readings, separated by semicolons")
    if len(parts) > 1 and not all(parts):
        raise QuantityError(f"a reading is missing beside a semicolon in {shortened(text)}")
    if len(parts) > 1 and all(len(part) <= LONGEST_TEXT for part in parts):
        bare_unit = _unit_for_all(parts, text, wanted, bare_unit)
    return [read(part, kind, bare_unit, possible) for part in parts]


def _one_of_two(
    text: str, repeats: str, otherwise: str, kind: Kind, bare_unit: str | None, possible: Possible | None
) -> list[Reading]:
    """The readings of a text that is repeats or something else, where one of the two cannot be."""
    found: list[list[Reading]] = []
    for way, other in ((repeats, False), (otherwise, True)):
        try:
            readings = read_repeats(way, kind, bare_unit, possible)
        except QuantityError:
            continue
        if possible is None or all(possible(one, other) for one in readings):
            found.append(readings)
    if len(found) != 1:
        raise AmbiguousReading(text, repeats, otherwise)
    return found[0]


def _unit_for_all(parts: list[str], typed: str, kind: Kind, bare_unit: str | None, by: str = "; ") -> str | None:
    """The unit that the readings without one take: that of the last, else the form's. by: what parts them."""
    written = [_written_unit(part, kind) for part in parts]
    if all(written):
        return bare_unit
    taken = written[-1] or bare_unit
    for unit in filter(None, [*written, *(_smallest_unit(part, kind) for part in parts)]):
        if kind.si == "" and not is_one(unit, kind) and not same_unit(unit, bare_unit, kind):
            raise QuantityError(
                f"can be meant in two ways: some of the readings in {shortened(typed)} bear '{unit}' and some do not. "
                f"Write it behind each: {shortened(by.join(_beared(parts, written, unit)), 80)}"
            )
        if taken is not None and not same_unit(unit, taken, kind):
            first, other = (by.join(_beared(parts, written, one)) for one in (unit, taken))
            raise QuantityError(
                f"can be meant in two ways: some of the readings in {shortened(typed)} bear no unit, and may be in "
                f"{unit} or in {taken}. Write the unit behind each: {shortened(first, 80)} or {shortened(other, 80)}"
            )
    return taken


@lru_cache(maxsize=1024)
def written_share(text: str) -> float | None:
    """The share that a text such as ``2 %``, ``2 percent`` or ``300 ppm`` writes; None where it writes none."""
    main, mark, _ = text.partition("±")
    try:
        found = read(main, Ratio)
    except QuantityError:
        return None
    return None if mark or not dict(units_of(found.value).items()).keys() & set(SHARES) else found.si


def without_spread(text: str) -> str:
    """A typed quantity without what is typed of its uncertainty; a unit that stands behind both stays. Of a sum that of
    each part goes."""
    text = text.replace("+/-", "±").replace("+-", "±")
    if (summed := bracketed(text)) is not None:
        unit, _, spread = (part.strip() for part in summed[1].partition("±"))
        return f"({summed[0]}) {unit or _unit_behind(spread)}".strip()
    if len(parts := terms(text)) > 1:
        return " + ".join(map(without_spread, parts))
    main, _, spread = (part.strip() for part in text.partition("±"))
    try:
        numbers = list(cut(main, text, _RATIO))
    except QuantityError:
        return main
    behind = _written_unit(spread, _RATIO)
    if numbers[-1].unit_text or numbers[-1].is_ratio or not behind:
        return main
    return f"{main} {behind}"


_RATIO = required_kind(Ratio)


def _unit_behind(spread: str) -> str:
    """The unit behind an uncertainty, where it is none of its own."""
    unit = _written_unit(spread, _RATIO)
    return "" if is_percent(unit) else unit


def _beared(parts: list[str], written: list[str], unit: str) -> list[str]:
    return [part if has else f"{part} {unit}" for part, has in zip(parts, written, strict=True)]


def _written_unit(text: str, kind: Kind) -> str:
    """The unit that a reading bears itself, the first where it is a compound one; empty where there is none."""
    if kind.adds:
        text = terms(text)[-1]
    main, _, spread = text.replace("+/-", "±").replace("+-", "±").partition("±")
    for number, share_counts in ((main, True), (spread, False)):
        found = NUMBER.match(number.strip().lstrip("+-−– "))
        rest = found.string[found.end() :].strip() if found else ""
        stop = NEXT_NUMBER.search(rest)
        unit = (rest[: stop.start()] if stop else rest).strip()
        if unit and not unit.startswith(":") and (share_counts or not is_percent(unit)):
            return unit
    return ""


def _smallest_unit(text: str, kind: Kind) -> str:
    """The last unit of a reading that is a compound one, as in 11 ft 8 in; empty for any other."""
    main = (terms(text)[-1] if kind.adds else text).partition("±")[0].strip()
    try:
        units = [part.unit_text for part in cut(main, text, kind)]
    except QuantityError:  # told when it is read
        return ""
    return units[-1] if len(units) > 1 else ""


@lru_cache(maxsize=4096)
def _read(typed: str, kind: Kind, bare_unit: str | None, by_program: bool = False) -> Reading:
    from rotorkit.quantities.foreign import si_value
    from rotorkit.quantities.registry import refusal

    text = cleaned(typed, kind)
    if "+" in text and kind.adds and (summed := _sum(text, typed, kind, bare_unit, by_program)) is not None:
        return summed
    main, mark, spread = (part.strip() for part in text.partition("±"))
    if mark and ("±" in spread or not spread or not main):
        raise QuantityError(f"cannot read {shortened(typed)}: write it like '35 ± 2 lb'")
    spread_parts = list(cut(spread, typed, kind)) if spread else []
    parts = list(cut(main, typed, kind))
    if len(spread_parts) > 1:
        raise QuantityError(f"the uncertainty in {shortened(typed)} must be one number with one unit")
    written = Written(typed, main, spread, parts, spread_parts[0] if spread_parts else None, kind, bare_unit)
    written.give_units()
    magnitude, units, step = _joined(parts, typed, kind)
    why = refusal(units, kind)
    if why:
        other = _other_kind(units)
        said = f"which is {other}" if other and other != kind.name else why
        raise QuantityError(f"needs {kind.name}, got {shortened(typed)}, {said}: type for example '{kind.example}'")
    quantity = registry().Quantity(magnitude, units)
    in_si = si_value(quantity, kind)
    if not abs(in_si) <= LARGEST:
        raise QuantityError(f"{shortened(typed)} is too large to be {kind.name}")
    if kind.minimum is not None and in_si < kind.minimum:
        least = "absolute zero" if kind.flavour == "temperature" else "zero"
        raise QuantityError(f"{shortened(typed)} is below {least}: {kind.name} cannot be")
    uncertainty = _spread(written.spread_part, magnitude, units, typed, kind) if written.spread_part else None
    written.ask_about_separators(magnitude, units, "," if by_program else ".,")
    compound = len(parts) > 1 or any(part.broken for part in parts)
    smallest, in_arc = None, ""
    if len(parts) > 1:
        small = unit_container(parts[-1].unit_text, kind)
        if single(small) in ("arcminute", "arcsecond"):
            in_arc = written.main
        else:
            smallest = registry().Quantity(_in_smallest(parts, kind), small)
    return Reading(
        quantity,
        uncertainty,
        kind,
        typed,
        _difference(step, units),
        compound,
        written.complete,
        smallest,
        in_arc=in_arc,
    )


def _sum(text: str, typed: str, kind: Kind, bare_unit: str | None, by_program: bool) -> Reading | None:
    """A sum as one reading, of ``900 + 180 + 170 lb`` and ``(900 + 180) lb ± 3 lb``; None where it is none."""
    inner, behind = bracketed(text) or (text, "")
    parts = terms(inner)
    if len(parts) < 2:
        return None
    spreads = ["±" in part for part in parts]
    if any(spreads) and not all(spreads):
        raise QuantityError(
            f"the ± in {shortened(typed)} may be of one part or of the sum: write it with each part, or brackets "
            f"around the sum, like '(900 + 180) lb ± 3 lb'"
        )
    if not all(parts) or any(part[0] in "+-" for part in parts[1:]):
        raise QuantityError(f"cannot read the sum {shortened(typed)}: write it like '900 + 180 + 170 lb'")
    lent, spread = behind.partition("±")[0].strip(), behind.partition("±")[2].strip()
    spread_unit = _written_unit(spread, kind)
    spread_unit = "" if is_percent(spread_unit) else spread_unit
    if not lent and spread_unit and not all(_written_unit(part, kind) for part in parts):
        if bare_unit is not None and not same_unit(spread_unit, bare_unit, kind):
            raise QuantityError(
                f"can be meant in two ways: the parts of the sum {shortened(typed)} bear no unit, and may be in "
                f"{spread_unit} or in {bare_unit}. Write the unit behind the brackets"
            )
        lent = spread_unit
    whole: Reading | None = None
    try:
        unit = _unit_for_all(parts, typed, kind, lent or bare_unit, " + ")
        addends = tuple(_read(part, kind, unit, by_program) for part in parts)
        units = units_of(addends[0].value)
        magnitude = math.fsum(one.value.m_as(units) for one in addends)
        in_sum = [
            part.unit_text
            for one in addends
            for part in cut(cleaned(one.complete.partition("±")[0], kind), typed, kind)
        ]
        if lent and not all(same_unit(one, lent, kind) for one in in_sum):
            raise QuantityError(
                f"cannot read {shortened(typed)}: its parts are not in the unit behind the brackets, {lent}"
            )
        if spread:
            meant = [*in_sum, *([] if lent or bare_unit is None else [bare_unit])]
            other = next((one for one in meant if not same_unit(one, in_sum[0], kind)), "")
            if other and not _written_unit(spread, kind):
                raise QuantityError(
                    f"can be meant in two ways: the ± in {shortened(typed)} may be in {in_sum[0]} or in {other}. Write "
                    f"the unit behind it"
                )
            whole = _read(f"{magnitude:.9f} {in_sum[0]} ± {spread}", kind, in_sum[0])
    except AmbiguousReading as problem:  # of one part: its ways are not those of the sum
        raise QuantityError(str(problem)) from None
    difference = _difference(1.0, units).units
    uncertainty = whole.uncertainty if whole else None
    if all(spreads):
        uncertainty = _difference(math.hypot(*(one.uncertainty.m_as(difference) for one in addends)), units)
    step = _difference(math.hypot(*(one.step.m_as(difference) for one in addends)), units)
    complete = " + ".join(one.complete for one in addends)
    if whole is not None:
        complete = f"({complete}) ± {whole.complete.partition('±')[2].strip()}"
    quantity = registry().Quantity(magnitude, units)
    return Reading(quantity, uncertainty, kind, typed, step, True, complete, None, addends)


def _in_smallest(parts: list[Part], kind: Kind) -> float:
    """The magnitude of a compound reading in its last unit."""
    total, before = abs(parts[0].number), unit_container(parts[0].unit_text, kind)
    for part in parts[1:]:
        smaller = unit_container(part.unit_text, kind)
        total = total * SMALLER_UNITS[single(before), single(smaller)] + abs(part.number)
        before = smaller
    return math.copysign(total, parts[0].number) if total else 0.0


def _difference(size: float, units: Any) -> Any:
    """A size in these units as a difference: a step of one °F is no temperature of one °F."""

    offset = {"degree_Fahrenheit": "delta_degree_Fahrenheit", "degree_Celsius": "delta_degree_Celsius"}
    names = {offset.get(name, name): power for name, power in units.items()}
    return registry().Quantity(size, registry().UnitsContainer(names))


def _spread(part: Part, magnitude: float, units: Any, typed: str, kind: Kind) -> Any:
    from rotorkit.quantities.registry import refusal

    if not 0 <= part.number <= LARGEST:
        raise QuantityError(f"the uncertainty in {shortened(typed)} is negative or too large")
    if is_percent(part.unit_text) and kind.si != "":
        if kind.flavour == "temperature":
            raise QuantityError(f"a percentage of a temperature in {shortened(typed)} has no meaning: give degrees")
        if not magnitude and part.number:
            raise QuantityError(
                f"a percentage of nothing in {shortened(typed)} says nothing: give the uncertainty in a unit, like "
                f"'{kind.example}'"
            )
        return _difference(abs(magnitude) * part.number / 100.0, units)
    unit = unit_container(part.unit_text, kind) if part.unit_text else units
    why = refusal(unit, kind)
    if why:
        raise QuantityError(f"the uncertainty in {shortened(typed)} is not of {kind.name}: {why}")
    return _difference(part.number, unit)


def _joined(parts: list[Part], typed: str, kind: Kind) -> tuple[float, Any, float]:
    """One magnitude from the parts of a compound reading, in the unit of the first part."""
    units = unit_container(parts[0].unit_text, kind)
    magnitude, step, scale = parts[0].number, parts[0].step, 1.0
    negative = math.copysign(1.0, magnitude) < 0
    total, before = abs(magnitude), units
    for i, part in enumerate(parts[1:]):
        smaller = unit_container(part.unit_text, kind)
        ratio = SMALLER_UNITS.get((single(before), single(smaller)))
        if ratio is None or parts[i].number != int(parts[i].number) or parts[i].step != 1.0:
            raise QuantityError(f"cannot read {shortened(typed)}: write it like '11 ft 8 in', '14° 20\\'' or '14.5°'")
        if abs(part.number) >= ratio:
            raise QuantityError(
                f"in {shortened(typed)} the part {abs(part.number):g} {part.unit_text} must be below {ratio}"
            )
        scale *= ratio
        total += abs(part.number) / scale
        step, before = part.step / scale, smaller
    return (-total if negative and total else total), units, step


def _other_kind(units: Any) -> str | None:
    from rotorkit.quantities.registry import kind_of_units

    found = kind_of_units(units)
    return found.name if found else None
