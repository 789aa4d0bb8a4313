"""Reading what people type: ``5/16 in``, ``12 ft 6 in``, ``26° 30'``, ``1,650 lb``, ``48 ± 2 lb``.

Text is read in the light of the kind wanted. Nothing is evaluated: the text is cut into numbers and unit spellings by
bounded regular expressions, and every unit must stand in `rotorkit.quantities.units`. A text longer than
`LONGEST_TEXT` characters is refused at once, so that any text is answered within a moment.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from rotorkit.quantities.errors import QuantityError, shortened
from rotorkit.quantities.kinds import Kind, kind_of
from rotorkit.quantities.spelled_units import unit_container

LONGEST_TEXT = 120
MOST_REPEATS = 100
COMPOUND_DIGITS = 6
"""To so many digits a reading typed in parts is said back in one unit: few of them make a short decimal."""
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
SUPERSCRIPTS = {"⁻": "-", "¹": "1", "²": "2", "³": "3", "⁴": "4"}
KNOWN_SYMBOLS = set("°º′″’”'\"%#·±")

NUMBER = re.compile(
    r"""(?P<whole>\d{1,12})(?:[ ]+|-)(?P<top>\d{1,4})/(?P<bottom>\d{1,4})(?![\d.,/])     # 35 1/2, 35-1/2
      | (?P<num>\d{1,4})/(?P<den>\d{1,4})(?![\d.,/])                                    # 5/16
      | (?P<decimal>(?:[1-9]\d{0,2}(?:,\d{3}){1,9}|\d{1,30})(?:\.\d{0,30})?|\.\d{1,30})
        (?P<exponent>[eE][+-]?\d{1,3})?(?![\d])                                         # 1,650.5, 13e-6
    """,
    re.VERBOSE,
)
# a unit ends where the next number starts: at a digit after a space or a mark such as ' or °, but 1/°F is a unit
NEXT_NUMBER = re.compile(r"(?<=[\s'\"°º′″’”])(?!1\s*/\s*[^\d\s])(?:\d|\.\d)")
NO_NUMBER = re.compile(r"[+-]?\s*(?:nan|inf)", re.IGNORECASE)


@dataclass(frozen=True)
class Reading:
    """One thing that a person typed, and what was understood.

    value: the quantity, in the unit typed. uncertainty: what stood after ``±``, an expanded uncertainty (k = 2), or
    None. kind: what was wanted. typed: the text as it came. step: one unit in the last place written (for a fraction,
    one part). compound: whether a fraction or several numbers were typed, as in ``12 ft 6 1/2 in``.
    """

    value: Any
    uncertainty: Any
    kind: Kind
    typed: str
    step: Any
    compound: bool = False

    @property
    def understood(self) -> str:
        """What was understood, said back in the unit typed: 25 inches typed as feet and inches are 2.08333 ft."""
        from rotorkit.quantities.saying import say

        shown = self.value
        if self.compound:
            shown = type(shown)(float(f"{shown.magnitude:.{COMPOUND_DIGITS}g}"), shown._units)
        text = say(shown, as_typed=True, kind=self.kind)
        if self.uncertainty is not None:
            text += " ± " + say(self.uncertainty, as_typed=True, kind=self.kind)
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


def read(text: str, kind: Any, bare_unit: str | None = None) -> Reading:
    """Read `text` as a quantity of `kind`.

    Arguments: text as typed, with its unit; kind, one of `KINDS` (``Force``); bare_unit, the unit that a bare number
    takes (a form passes the unit shown beside its field; without one a bare number is refused).
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
    return _read(text, wanted, bare_unit)


def read_repeats(text: str, kind: Any, bare_unit: str | None = None) -> list[Reading]:
    """Read repeated readings of one thing, parted by semicolons: ``12.1; 12.3; 12.2 deg``.

    The unit of the last serves all that have none. Raises `QuantityError` as `read` does; for a reading that is missing
    beside a semicolon; and for more than `MOST_REPEATS`.
    """
    wanted = kind_of(kind)
    if not isinstance(text, str) or wanted is None:
        return [read(text, kind, bare_unit)]
    parts = [part.strip() for part in text.split(";", MOST_REPEATS)]
    if len(parts) > MOST_REPEATS:
        raise QuantityError(f"needs at most {MOST_REPEATS} readings, parted by semicolons")
    if len(parts) > 1 and not all(parts):
        raise QuantityError(f"a reading is missing beside a semicolon in {shortened(text)}")
    unit = _last_unit(parts[-1]) if len(parts[-1]) <= LONGEST_TEXT else ""
    return [read(part, kind, unit or bare_unit) for part in parts]


def _last_unit(text: str) -> str:
    """The unit that ends a simple reading; empty for a compound one, or where there is none."""
    main, _, spread = text.partition("±")
    for part in (main, spread):
        found = NUMBER.match(part.strip().lstrip("+-−– "))
        unit = found.string[found.end() :].strip() if found else ""
        if unit and not any(character.isdigit() for character in unit):
            return unit
    return ""


@lru_cache(maxsize=4096)
def _read(typed: str, kind: Kind, bare_unit: str | None) -> Reading:
    from rotorkit.quantities.registry import refusal, registry, si_value

    text = _cleaned(typed, kind)
    main, mark, spread = (part.strip() for part in text.partition("±"))
    if mark and ("±" in spread or not spread or not main):
        raise QuantityError(f"cannot read {shortened(typed)}: write it like '48 ± 2 lb'")
    spread_parts = list(_parts(spread, typed, kind)) if spread else []
    parts = list(_parts(main, typed, kind))
    last = parts[-1]
    if not last.unit_text:
        last.unit_text = _unit_not_written(parts, spread_parts, typed, kind, bare_unit)
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
    uncertainty = _spread(spread_parts, magnitude, units, typed, kind) if spread_parts else None
    compound = len(parts) > 1 or any(part.broken for part in parts)
    return Reading(quantity, uncertainty, kind, typed, _difference(step, units), compound)


def _unit_not_written(
    parts: list[_Part], spread_parts: list[_Part], typed: str, kind: Kind, bare_unit: str | None
) -> str:
    """The unit of a last number that has none: the one after ``±``, else the form's; a ratio needs none."""
    after = spread_parts[-1].unit_text if spread_parts and len(parts) == 1 else ""
    if after and (after != "%" or kind.si == ""):
        return after
    if bare_unit is not None:
        return bare_unit
    if kind.si == "" and len(parts) == 1:
        return ""
    what = (
        f"the bare number {shortened(typed)}" if len(parts) == 1 else f"{shortened(typed)}, whose last number has none"
    )
    raise QuantityError(f"needs {kind.name} with its unit, got {what}: type for example '{kind.example}'")


def _difference(size: float, units: Any) -> Any:
    """A size in these units as a difference: a step of one °F is no temperature of one °F."""
    from rotorkit.quantities.registry import registry

    offset = {"degree_Fahrenheit": "delta_degree_Fahrenheit", "degree_Celsius": "delta_degree_Celsius"}
    names = {offset.get(name, name): power for name, power in units.items()}
    return registry().Quantity(size, registry().UnitsContainer(names))


def _spread(parts: list[_Part], magnitude: float, units: Any, typed: str, kind: Kind) -> Any:
    from rotorkit.quantities.registry import refusal

    if len(parts) > 1:
        raise QuantityError(f"the uncertainty in {shortened(typed)} must be one number with one unit")
    part = parts[0]
    if not 0 <= part.number <= LARGEST:
        raise QuantityError(f"the uncertainty in {shortened(typed)} is negative or too large")
    if part.unit_text == "%" and kind.si != "":
        if kind.flavour == "temperature":
            raise QuantityError(f"a percentage of a temperature in {shortened(typed)} has no meaning: give degrees")
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
    broken: bool = False


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
    return out.strip().replace("+/-", "±").replace("+-", "±")


def _parts(text: str, typed: str, kind: Kind) -> Iterator[_Part]:
    """Cut ``12 ft 6 1/2 in`` into numbers with the unit text that follows each."""
    if NO_NUMBER.match(text):
        raise QuantityError(f"{shortened(typed)} is not a number: needs {kind.name}, for example '{kind.example}'")
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
            yield _Part(sign * number / bottom, step / bottom, "", broken=True)
            return
        stop = NEXT_NUMBER.search(tail)
        end = stop.start() if stop else len(tail)
        unit_text = tail[:end].strip()
        if stop and not unit_text:
            raise QuantityError(
                f"two numbers stand without a unit between them in {shortened(typed)}: write thousands as 1,650"
            )
        yield _Part(sign * number, step, unit_text, broken=found["decimal"] is None)
        position += end
        first = False


def _number(found: re.Match[str], typed: str) -> tuple[float, float]:
    if found["whole"] or found["num"]:
        top, bottom = (found["top"], found["bottom"]) if found["whole"] else (found["num"], found["den"])
        if int(bottom) == 0:
            raise QuantityError(f"{shortened(typed)} divides by zero")
        if found["whole"] and int(top) >= int(bottom):
            raise QuantityError(f"the fraction in {shortened(typed)} is not below one: write it like 35 1/2")
        return float(found["whole"] or 0) + int(top) / int(bottom), 1.0 / int(bottom)
    digits = found["decimal"].replace(",", "")
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
