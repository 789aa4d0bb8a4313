"""Reading what people type: ``5/16 in``, ``12 ft 6 in``, ``26° 30'``, ``1,650 lb``, ``48 ± 2 lb``.

Text is read in the light of the kind wanted. Nothing is evaluated: the text is cut into numbers and unit spellings by
bounded regular expressions, and every unit must stand in `rotorkit.quantities.units`. A text longer than
`LONGEST_TEXT` characters is refused at once, so that any text is answered within a moment.

One part lends its unit to another only where nothing else can be meant (``48 ± 2 lb``). What can be meant in two ways
is refused with both of them written out (`AmbiguousReading`): ``0.60 ± 5 %``, ``12 ft 6 in ± 1``, ``3,125 in``. One
writing has one meaning wherever it is taken; where a field's bounds leave no other, it is taken there.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from rotorkit.quantities.errors import AmbiguousReading, QuantityError, shortened
from rotorkit.quantities.kinds import Kind, Ratio, difference_kind, kind_of, required_kind
from rotorkit.quantities.spelled_units import SHARES, unit_container
from rotorkit.quantities.units import GREATEST

LONGEST_TEXT = 120
MOST_REPEATS = 100
COMPOUND_DIGITS = 6
"""A reading typed in parts that so many digits say exactly is said back in its first unit, else in its smallest."""
ECHO_DIGITS = 10
"""What no decimal says exactly, such as 1/3 in, is said back to so many digits."""
LARGEST = 1e30
"""Beyond this size (in SI units) there is nothing to read on an aircraft, and a sum of squares might overflow."""

# a compound reading such as 12 ft 6 in: the unit, the smaller unit that may follow it, how many of those make one
SMALLER_UNITS = {
    ("foot", "inch"): 12,
    ("degree", "arcminute"): 60,
    ("arcminute", "arcsecond"): 60,
    ("pound", "ounce"): 16,
    ("force_pound", "force_ounce"): 16,
    ("hour", "minute"): 60,
    ("minute", "second"): 60,
}
FRACTIONS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
PLAIN = {  # one sign written in several ways
    "−": "-", "‐": "-", "‑": "-", "×": "*", "⋅": "·", "•": "·", "⁄": "/",
    "˚": "°", "‘": "’", "“": "”", "\t": " ", "\u00a0": " ", "\u202f": " ", "\u2009": " ",
}  # fmt: skip
PERCENT = ("%", "percent", "pct")
SUPERSCRIPTS = {"⁻": "-", "¹": "1", "²": "2", "³": "3", "⁴": "4"}
KNOWN_SYMBOLS = set("°º′″’”'\"%#·±")

NUMBER = re.compile(
    r"""(?P<whole>\d{1,12})(?P<between>[ ]+|-)(?P<top>\d{1,4})/(?P<bottom>\d{1,4})(?![\d.,/])     # 35 1/2, 35-1/2
      | (?P<num>\d{1,4})/(?P<den>\d{1,4})(?![\d.,/])                                    # 5/16
      | (?P<decimal>(?:[1-9]\d{0,2}(?:(?:,\d{3}){1,9}|(?:[ ]\d{3}){1,9}(?![\d/]|[ ]\d))|\d{1,30})
        (?:\.\d{0,30})?|\.\d{1,30})
        (?P<exponent>[eE][+-]?\d{1,3})?(?![\d])                                         # 1,650.5, 13e-6
    """,
    re.VERBOSE,
)
# a unit ends where the next number starts: at a digit after a space or a mark such as ' or °, but 1/°F is a unit
NEXT_NUMBER = re.compile(r"(?<=[\s'\"°º′″’”])(?!1\s*/\s*[^\d\s])(?:\d|\.\d)")
# 12'-6", 12 ft, 6 in and 12ft6in: a comma, a hyphen or nothing at all between the parts of one length, angle or time
JOINT = re.compile(
    r"((?<![A-Za-z])(?:feet|foot|ft|deg|degrees?|lbs?|hrs?|h|min)\.?|['′’°º])(?:\s*,\s*|-[ ]*)(?=\d|\.\d)"
    r"|((?<![A-Za-z])(?:feet|foot|ft|deg|lbs?|hrs?|h|min))"
    r"(?=\d{1,2}(?:\.\d{1,9})?(?:[ -]\d{1,3}/\d{1,3}|/\d{1,3})?[ ]?(?:in\b|inch|[\"″”]|oz\b|min|sec|s\b|['′’]))"
)
TWO_WAYS = re.compile(r"([1-9]\d{0,2})([.,])(\d{3})")
RATIO_UNITS = ("", "1")
NO_NUMBER = re.compile(r"[+-]?\s*(?:nan|inf)", re.IGNORECASE)


Possible = Callable[["Reading", bool], bool]


@dataclass(frozen=True)
class Reading:
    """One thing that a person typed, and what was understood.

    value: the quantity, in the unit typed. uncertainty: what stood after ``±``, an expanded uncertainty (k = 2), or
    None. kind: what was wanted. typed: the text as it came. step: one unit in the last place written (for a fraction,
    one part). compound: whether a fraction or several numbers were typed, as in ``12 ft 6 1/2 in``. complete: the text
    with every unit written out, which reads the same without a unit beside the field. smallest: the same value in the
    smallest unit typed.
    """

    value: Any
    uncertainty: Any
    kind: Kind
    typed: str
    step: Any
    compound: bool = False
    complete: str = ""
    smallest: Any = None

    @property
    def understood(self) -> str:
        """What was understood, said back in the unit typed: 30 inches typed as feet and inches are 2.5 ft.

        The promise: read again, it is the same value; to the last bit where one decimal was typed, and within five
        parts in 10^10 where a fraction or several numbers were (exact again where a decimal in the first or the
        smallest unit typed says it exactly: 25 inches typed as feet and inches are 25 in). The record works from the
        text as typed, never from this one.
        """
        from rotorkit.quantities.saying import say

        shown = self.value
        if self.compound:
            short = float(f"{shown.magnitude:.{COMPOUND_DIGITS}g}")
            if not math.isclose(short, shown.magnitude, rel_tol=1e-14) and self.smallest is not None:
                shown = self.smallest
            shown = type(shown)(float(f"{shown.magnitude:.{ECHO_DIGITS}g}"), shown._units)
        text = self._plain(say(shown, as_typed=True, kind=self.kind))
        if self.uncertainty is not None:
            size = self.uncertainty
            short = type(size)(float(f"{size.magnitude:.{ECHO_DIGITS}g}"), size._units)
            text += " ± " + say(short, as_typed=True, kind=difference_kind(self.kind))
        return self._plain(text)

    def _plain(self, text: str) -> str:
        """An echo that could itself be meant in two ways (1.653 lb) with one more nought (1.6530 lb)."""
        for _ in range(4):
            try:
                read(text, self.kind)
            except AmbiguousReading as problem:
                text = problem.ways[0]
            else:
                break
        return text

    @property
    def si(self) -> float:
        """The bare value in coherent SI units."""
        from rotorkit.quantities.registry import si_value

        return float(si_value(self.value, self.kind))

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


def read(text: str, kind: Any, bare_unit: str | None = None, possible: Possible | None = None) -> Reading:
    """Read `text` as a quantity of `kind`.

    Arguments: text as typed, with its unit; kind, one of `KINDS` (``Force``); bare_unit, the unit that a bare number
    takes (a form passes the unit shown beside its field; without one a bare number is refused); possible, whether a
    reading can be, and as another meaning than our own (second argument): what could be meant in two ways is taken in
    our own meaning where this leaves no other.
    Returns a `Reading`. Raises `QuantityError` with what is needed, what came and what to type.

    >>> from rotorkit.quantities import Length, read
    >>> read("12 ft 6 in", Length).to("inch").magnitude
    150.0
    """
    wanted = kind_of(kind)
    if wanted is None:
        raise TypeError(f"read needs a kind such as Length or Force, got {kind!r}")
    if not isinstance(text, str):
        raise QuantityError(f"needs text such as '{wanted.example}', got {type(text).__name__}")
    try:
        return _read(text, wanted, bare_unit)
    except AmbiguousReading as problem:
        if possible is None:
            raise
        taken, *others = problem.ways
        if _can_be(taken, wanted, bare_unit, possible) and not any(
            _can_be(way, wanted, bare_unit, possible, other=True) for way in others
        ):
            found = _read(taken, wanted, bare_unit)
            return replace(found, typed=text, complete=text if bare_unit is None else found.complete)
        raise


def _can_be(text: str, kind: Kind, bare_unit: str | None, possible: Possible, other: bool = False) -> bool:
    try:
        return possible(_read(text, kind, bare_unit), other)
    except AmbiguousReading:
        return True
    except QuantityError:
        return False


def read_repeats(text: str, kind: Any, bare_unit: str | None = None, possible: Possible | None = None) -> list[Reading]:
    """Read repeated readings of one thing, parted by semicolons: ``12.1; 12.3; 12.2 deg``.

    The unit of the last serves all that have none; where others bear another one, or it is a per cent (``0.55; 58 %``),
    that is refused. Arguments as for `read`. Raises `QuantityError` as `read` does; for a reading that is missing
    beside a semicolon; and for more than `MOST_REPEATS`.
    """
    wanted = kind_of(kind)
    if not isinstance(text, str) or wanted is None:
        return [read(text, kind, bare_unit, possible)]
    parts = [part.strip() for part in text.split(";", MOST_REPEATS)]
    if len(parts) > MOST_REPEATS:
        raise QuantityError(f"needs at most {MOST_REPEATS} readings, parted by semicolons")
    if len(parts) > 1 and not all(parts):
        raise QuantityError(f"a reading is missing beside a semicolon in {shortened(text)}")
    if len(parts) > 1 and all(len(part) <= LONGEST_TEXT for part in parts):
        bare_unit = _unit_for_all(parts, text, wanted, bare_unit)
    return [read(part, kind, bare_unit, possible) for part in parts]


def _unit_for_all(parts: list[str], typed: str, kind: Kind, bare_unit: str | None) -> str | None:
    """The unit that the readings without one take: that of the last, else the form's."""
    written = [_written_unit(part, kind) for part in parts]
    if all(written):
        return bare_unit
    taken = written[-1] or bare_unit
    for unit in filter(None, written):
        if kind.si == "" and not _is_one(unit, kind) and not _same_unit(unit, bare_unit, kind):
            raise QuantityError(
                f"can be meant in two ways: some of the readings in {shortened(typed)} bear '{unit}' and some do not. "
                f"Write it behind each: {shortened('; '.join(_beared(parts, written, unit)), 80)}"
            )
        if taken is not None and not _same_unit(unit, taken, kind):
            first, other = ("; ".join(_beared(parts, written, one)) for one in (unit, taken))
            raise QuantityError(
                f"can be meant in two ways: some of the readings in {shortened(typed)} bear no unit, and may be in "
                f"{unit} or in {taken}. Write the unit behind each: {shortened(first, 80)} or {shortened(other, 80)}"
            )
    return taken


def written_share(text: str) -> float | None:
    """The share that a text such as ``2 %``, ``2 percent`` or ``300 ppm`` writes; None where it writes none."""
    main, mark, _ = text.partition("±")
    try:
        found = read(main, Ratio)
    except QuantityError:
        return None
    return None if mark or not dict(found.value._units.items()).keys() & set(SHARES) else found.si


def without_spread(text: str) -> str:
    """A typed quantity without what is typed of its uncertainty; a unit that stands behind both stays."""
    main, _, spread = (part.strip() for part in text.replace("+/-", "±").replace("+-", "±").partition("±"))
    try:
        numbers = list(_parts(main, text, _RATIO))
    except QuantityError:
        return main
    behind = _written_unit(spread, _RATIO)
    if numbers[-1].unit_text or numbers[-1].is_ratio or not behind:
        return main
    return f"{main} {behind}"


_RATIO = required_kind(Ratio)


def _beared(parts: list[str], written: list[str], unit: str) -> list[str]:
    return [part if has else f"{part} {unit}" for part, has in zip(parts, written, strict=True)]


def _written_unit(text: str, kind: Kind) -> str:
    """The unit that a reading bears itself, the first where it is a compound one; empty where there is none."""
    main, _, spread = text.replace("+/-", "±").replace("+-", "±").partition("±")
    for number, share_counts in ((main, True), (spread, False)):
        found = NUMBER.match(number.strip().lstrip("+-−– "))
        rest = found.string[found.end() :].strip() if found else ""
        stop = NEXT_NUMBER.search(rest)
        unit = (rest[: stop.start()] if stop else rest).strip()
        if unit and not unit.startswith(":") and (share_counts or not _is_percent(unit)):
            return unit
    return ""


def _is_percent(unit_text: str) -> bool:
    return unit_text in PERCENT


def _is_one(unit_text: str, kind: Kind) -> bool:
    """Whether a unit is a plain ratio: nothing, in/in; not %, ppm, in/ft."""
    from rotorkit.quantities.registry import unit_factor

    try:
        return unit_factor(unit_text, kind) == 1.0
    except QuantityError:
        return True  # what is no unit of the kind is refused later, with its reason


def _same_unit(one: str, other: str | None, kind: Kind) -> bool:
    if other is None:
        return False
    try:
        return bool(unit_container(one, kind) == unit_container(other, kind))
    except QuantityError:
        return True  # as above


@lru_cache(maxsize=4096)
def _read(typed: str, kind: Kind, bare_unit: str | None) -> Reading:
    from rotorkit.quantities.registry import refusal, registry, si_value

    text = _cleaned(typed, kind)
    main, mark, spread = (part.strip() for part in text.partition("±"))
    if mark and ("±" in spread or not spread or not main):
        raise QuantityError(f"cannot read {shortened(typed)}: write it like '48 ± 2 lb'")
    spread_parts = list(_parts(spread, typed, kind)) if spread else []
    parts = list(_parts(main, typed, kind))
    if len(spread_parts) > 1:
        raise QuantityError(f"the uncertainty in {shortened(typed)} must be one number with one unit")
    written = _Written(typed, main, spread, parts, spread_parts[0] if spread_parts else None, kind, bare_unit)
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
    written.ask_about_separators(magnitude, units)
    compound = len(parts) > 1 or any(part.broken for part in parts)
    smallest = None
    if len(parts) > 1:
        small = unit_container(parts[-1].unit_text, kind)
        if _single(small) not in ("arcminute", "arcsecond"):
            smallest = registry().Quantity(_in_smallest(parts, kind), small)
    return Reading(quantity, uncertainty, kind, typed, _difference(step, units), compound, written.complete, smallest)


def _in_smallest(parts: list[_Part], kind: Kind) -> float:
    """The magnitude of a compound reading in its last unit."""
    total, before = abs(parts[0].number), unit_container(parts[0].unit_text, kind)
    for part in parts[1:]:
        smaller = unit_container(part.unit_text, kind)
        total = total * SMALLER_UNITS[_single(before), _single(smaller)] + abs(part.number)
        before = smaller
    return math.copysign(total, parts[0].number) if total else 0.0


@dataclass
class _Written:
    """What was typed, cut into parts, while each part is given its unit."""

    typed: str
    main: str
    spread: str
    parts: list[_Part]
    spread_part: _Part | None
    kind: Kind
    bare_unit: str | None

    def give_units(self) -> None:
        """The unit of a number that has none: the one that nothing else can be meant by, else the form's; refused
        where there is none, and where one unit could be lent and another meant."""
        last, spread = self.parts[-1], self.spread_part
        if self.kind.si == "":
            self._give_ratio(last, spread)
        else:
            self._give(last, spread)
        self.main = self._with_unit(self.main, last)
        if spread is not None:
            self.spread = self._with_unit(self.spread, spread)

    @property
    def complete(self) -> str:
        return self.main + (f" ± {self.spread}" if self.spread else "")

    @staticmethod
    def _with_unit(text: str, part: _Part) -> str:
        return text if part.typed_unit or not part.unit_text or part.is_ratio else f"{text} {part.unit_text}"

    def _ways(self, *pairs: tuple[str, str]) -> AmbiguousReading:
        return AmbiguousReading(self.typed, *(main + (f" ± {spread}" if spread else "") for main, spread in pairs))

    def _give_ratio(self, last: _Part, spread: _Part | None) -> None:
        """A share (%, ppm) is never lent: 0.60 ± 5 % is 0.60 % to one and 0.60 ± 0.03 to another."""
        if spread is not None and spread.is_ratio:
            raise QuantityError(f"the uncertainty in {shortened(self.typed)} must be a number: write it like '6 ± 0.1'")
        unit = self.bare_unit or ""
        if not last.unit_text and not last.is_ratio and len(self.parts) == 1:
            if last.broken and not last.whole and not _is_one(unit, self.kind):
                raise self._fraction(last, spread, unit)
            last.unit_text = unit
        if spread is None:
            return
        if spread.unit_text and not last.unit_text and not _is_one(spread.unit_text, self.kind):
            if not _is_percent(spread.unit_text):
                raise QuantityError(
                    f"can be meant in two ways: write {shortened(self.typed)} as plain numbers, like '0.75 ± 0.02', or "
                    f"with {spread.unit_text} behind both"
                )
            size, share = abs(last.number), spread.number / 100
            ways = [(self.main, _short(one)) for one in (size * share, share) if one]
            if not last.is_ratio:
                ways.insert(0, (f"{self.main} {spread.unit_text}", self.spread))
            raise self._ways(*ways)
        if not spread.unit_text:
            own = last.unit_text
            if own and not last.typed_unit:
                spread.unit_text = own  # both bare: both take the form's
            elif own and not _is_one(own, self.kind):
                if self.bare_unit is not None and _same_unit(own, self.bare_unit, self.kind):
                    spread.unit_text = own
                elif spread.number < 1:
                    raise self._ways(
                        (self.main, f"{self.spread} {own}"), (self.main, f"{_short(spread.number * 100)} %")
                    )
                else:
                    spread.unit_text = own
            else:
                spread.unit_text = own

    def _fraction(self, last: _Part, spread: _Part | None, unit: str) -> AmbiguousReading:
        """3/4 in a field of per cent: three quarters of one per cent to one, 75 % to another."""
        sizes = [self.spread, self.spread]
        if spread is not None and not spread.unit_text:
            sizes = [f"{_short(spread.number)} {unit}", f"{_short(spread.number * 100)} %"]
        shares = [f"{_short(last.number)} {unit}", f"{_short(last.number * 100)} %"]
        return self._ways(*zip(shares, sizes, strict=True))

    def _give(self, last: _Part, spread: _Part | None) -> None:
        after = spread.unit_text if spread is not None and len(self.parts) == 1 else ""
        after = "" if _is_percent(after) else after
        if not last.unit_text:
            if after and self.bare_unit is not None and not _same_unit(after, self.bare_unit, self.kind):
                raise self._ways((f"{self.main} {after}", self.spread), (f"{self.main} {self.bare_unit}", self.spread))
            if after and _single(_container(after, self.kind)) in ("arcminute", "arcsecond"):
                raise self._ways((f"{self.main}{after}", self.spread), (f"{self.main}°", self.spread))
            last.unit_text = after or self._of_the_form()
        if spread is None or spread.unit_text:
            return
        own = last.unit_text
        if len(self.parts) > 1:
            raise self._ways(
                (self.main, f"{self.spread} {own}"), (self.main, f"{self.spread} {self.parts[0].unit_text}")
            )
        if self.bare_unit is not None and not _same_unit(own, self.bare_unit, self.kind):
            raise self._ways((self.main, f"{self.spread} {own}"), (self.main, f"{self.spread} {self.bare_unit}"))
        spread.unit_text = own

    def _of_the_form(self) -> str:
        if self.bare_unit is not None:
            return self.bare_unit
        one, typed = len(self.parts) == 1, shortened(self.typed)
        what = f"the bare number {typed}" if one else f"{typed}, whose last number has none"
        raise QuantityError(f"needs {self.kind.name} with its unit, got {what}: type for example '{self.kind.example}'")

    def ask_about_separators(self, magnitude: float, units: Any) -> None:
        """Refuse 3,125 in and 1.650 lb: who writes a decimal comma means something else by it, and may well do so."""
        if len(self.parts) > 1:
            return
        for part, text, in_spread in ((self.parts[0], self.main, False), (self.spread_part, self.spread, True)):
            found = TWO_WAYS.fullmatch(part.text) if part is not None and not part.is_ratio else None
            if part is None or found is None:
                continue
            whole, sign, places = found.groups()
            thousands, decimal = float(whole + places), float(f"{whole}.{places}")
            of = _container(part.unit_text, self.kind) if not _is_percent(part.unit_text) else None
            greatest = GREATEST.get("percent" if of is None else _key(of))
            if greatest is None:
                continue
            if in_spread and of == units:
                greatest = min(greatest, abs(magnitude))
            asked = greatest / 1000 <= decimal <= greatest if sign == "," else thousands <= greatest
            if not asked:
                continue
            shortest = f"{decimal:.3f}".rstrip("0")
            written = [
                text.replace(part.text, new, 1)
                for new in (
                    whole + places,
                    f"{decimal:.4f}"
                    if len(shortest) == len(f"{decimal:.3f}")
                    else shortest + "0" * shortest.endswith("."),
                )
            ]
            if sign == ".":
                written.reverse()
            raise self._ways(*(((self.main, new) if in_spread else (new, self.spread)) for new in written))


def _key(units: Any) -> str:
    """The name of a unit or of a product of plain units, as `GREATEST` has it."""
    names = dict(units.items())
    return "*".join(sorted(names)) if all(power == 1 for power in names.values()) else _quotient(names)


def _quotient(names: dict[str, float]) -> str:
    top, bottom = ([name for name, power in names.items() if power == sign] for sign in (1, -1))
    return f"{top[0]}/{bottom[0]}" if len(top) == len(bottom) == 1 and len(names) == 2 else "?"


def _container(unit_text: str, kind: Kind) -> Any:
    return unit_container(unit_text, kind)


def _short(number: float) -> str:
    return f"{number:.10g}"


def _difference(size: float, units: Any) -> Any:
    """A size in these units as a difference: a step of one °F is no temperature of one °F."""
    from rotorkit.quantities.registry import registry

    offset = {"degree_Fahrenheit": "delta_degree_Fahrenheit", "degree_Celsius": "delta_degree_Celsius"}
    names = {offset.get(name, name): power for name, power in units.items()}
    return registry().Quantity(size, registry().UnitsContainer(names))


def _spread(part: _Part, magnitude: float, units: Any, typed: str, kind: Kind) -> Any:
    from rotorkit.quantities.registry import refusal

    if not 0 <= part.number <= LARGEST:
        raise QuantityError(f"the uncertainty in {shortened(typed)} is negative or too large")
    if _is_percent(part.unit_text) and kind.si != "":
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


@dataclass
class _Part:
    number: float
    step: float
    unit_text: str
    text: str = ""
    broken: bool = False
    whole: bool = False
    is_ratio: bool = False

    def __post_init__(self) -> None:
        self.typed_unit = self.unit_text


def _cleaned(typed: str, kind: Kind) -> str:
    if len(typed) > LONGEST_TEXT:
        raise QuantityError(f"needs {kind.name} such as '{kind.example}', got a text of {len(typed)} characters")
    text = typed.strip()
    if not text:
        raise QuantityError(f"is empty: needs {kind.name}, for example '{kind.example}'")
    out = ""
    for i, character in enumerate(text):
        if character in FRACTIONS:
            out += (" " if out[-1:].isdigit() else "") + FRACTIONS[character] + " "
        elif character in SUPERSCRIPTS:
            out += ("" if text[i - 1 : i] == "⁻" else "^") + SUPERSCRIPTS[character]
        elif character in PLAIN:
            out += PLAIN[character]
        elif character in KNOWN_SYMBOLS or (character.isascii() and character.isprintable()):
            out += character
        elif character == "–" and (not out or out[-1:].isalpha() or out.endswith("±")):
            out += "-"  # an en dash before a number or in ft–lb; between two numbers it would be a range
        else:
            name = unicodedata.name(character, "a control character").lower()
            raise QuantityError(
                f"{shortened(typed)} holds {name} (U+{ord(character):04X}), which is not read: type it again"
            )
    out = out.strip().replace("+/-", "±").replace("+-", "±")
    return re.sub(r"\bper\s?cent\b", "%", re.sub(r"''|’’|′′", '"', out))


def _parts(text: str, typed: str, kind: Kind) -> Iterator[_Part]:
    """Cut ``12 ft 6 1/2 in`` into numbers with the unit text that follows each."""
    if NO_NUMBER.match(text):
        raise QuantityError(f"{shortened(typed)} is not a number: needs {kind.name}, for example '{kind.example}'")
    text = JOINT.sub(lambda joint: f"{joint[1] or joint[2]} ", text)
    sign = 1.0
    match = re.match(r"([+-])\s*", text)
    position = 0
    if match:
        sign = -1.0 if match.group(1) == "-" else 1.0
        position = match.end()
    first = True
    while first or position < len(text):
        found = NUMBER.match(text, position)
        if not found:
            raise QuantityError(f"cannot read {shortened(typed)} as {kind.name}: type for example '{kind.example}'")
        if text[found.end() : found.end() + 1] == ",":
            raise QuantityError(
                f"the comma in {shortened(typed)} is not clear: write 12.5 for a decimal, 1,650 for thousands"
            )
        number, step = _number(found, typed)
        position = found.end()
        tail = text[position:]
        ratio = re.match(r"\s*:\s*(\d{1,6}(?:\.\d{1,12})?)\s*$", tail)
        if ratio and kind.si == "" and first:
            bottom = float(ratio.group(1))
            if bottom == 0:
                raise QuantityError(f"{shortened(typed)} divides by zero")
            yield _Part(sign * number / bottom, step / bottom, "", found.group(), broken=True, is_ratio=True)
            return
        if re.match(r"\s*[-+]\s*[\d.]", tail):
            raise QuantityError(
                f"{shortened(typed)} looks like a range or a sum: type one number with its unit, like '{kind.example}'"
            )
        stop = NEXT_NUMBER.search(tail)
        end = stop.start() if stop else len(tail)
        unit_text = tail[:end].strip()
        if stop and not unit_text:
            raise QuantityError(
                f"two numbers stand without a unit between them in {shortened(typed)}: write thousands as 1,650"
            )
        broken = found["decimal"] is None
        yield _Part(sign * number, step, unit_text, found.group(), broken, bool(found["whole"]))
        position += end
        first = False


def _number(found: re.Match[str], typed: str) -> tuple[float, float]:
    if found["whole"] or found["num"]:
        top, bottom = (found["top"], found["bottom"]) if found["whole"] else (found["num"], found["den"])
        if int(bottom) == 0:
            raise QuantityError(f"{shortened(typed)} divides by zero")
        if found["between"] == "-" and not int(found["whole"]):
            raise QuantityError(f"{shortened(typed)} looks like a range: type one number, such as {top}/{bottom}")
        if found["whole"] and int(top) >= int(bottom):
            raise QuantityError(f"the fraction in {shortened(typed)} is not below one: write it like 35 1/2")
        return float(found["whole"] or 0) + int(top) / int(bottom), 1.0 / int(bottom)
    digits = found["decimal"].replace(",", "").replace(" ", "")
    exponent = int((found["exponent"] or "e0")[1:])
    value = float(f"{digits}e{exponent}")
    if not math.isfinite(value) or (not value and digits.strip("0.")):
        raise QuantityError(f"{shortened(typed)} is too {'large' if value else 'small'} a number")
    places = len(digits.partition(".")[2])
    return value, float(f"1e{exponent - places}")


def _joined(parts: list[_Part], typed: str, kind: Kind) -> tuple[float, Any, float]:
    """One magnitude from the parts of a compound reading, in the unit of the first part."""
    units = unit_container(parts[0].unit_text, kind)
    magnitude, step, scale = parts[0].number, parts[0].step, 1.0
    negative = math.copysign(1.0, magnitude) < 0
    total, before = abs(magnitude), units
    for i, part in enumerate(parts[1:]):
        smaller = unit_container(part.unit_text, kind)
        ratio = SMALLER_UNITS.get((_single(before), _single(smaller)))
        if ratio is None or parts[i].number != int(parts[i].number) or parts[i].step != 1.0:
            raise QuantityError(f"cannot read {shortened(typed)}: write it like '12 ft 6 in', '26° 30\\'' or '26.5°'")
        if abs(part.number) >= ratio:
            raise QuantityError(
                f"in {shortened(typed)} the part {abs(part.number):g} {part.unit_text} must be below {ratio}"
            )
        scale *= ratio
        total += abs(part.number) / scale
        step, before = part.step / scale, smaller
    return (-total if negative and total else total), units, step


def _single(units: Any) -> str:
    names = dict(units.items())
    return next(iter(names)) if len(names) == 1 and next(iter(names.values())) == 1 else ""


def _other_kind(units: Any) -> str | None:
    from rotorkit.quantities.registry import kind_of_units

    found = kind_of_units(units)
    return found.name if found else None
