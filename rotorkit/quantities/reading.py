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

from rotorkit.quantities.errors import QuantityError
from rotorkit.quantities.kinds import Kind, kind_of
from rotorkit.quantities.units import (
    CELSIUS_SPELLINGS,
    FAHRENHEIT_SPELLINGS,
    OUNCE_SPELLINGS,
    POUND_SPELLINGS,
    REFUSED,
    spelling_table,
)

LONGEST_TEXT = 120
GREATEST_POWER = 4
SPELLINGS = spelling_table()
SMALLER_UNITS = {  # a compound reading such as 12 ft 6 in: the unit, the smaller unit that may follow, how many make one
    ("foot", "inch"): 12,
    ("degree", "arcminute"): 60,
    ("arcminute", "arcsecond"): 60,
    ("pound", "ounce"): 16,
    ("force_pound", "force_ounce"): 16,
    ("hour", "minute"): 60,
    ("minute", "second"): 60,
}
ENERGY_AS_TYPED: dict[frozenset[tuple[str, float]], dict[str, float]] = {
    frozenset({("foot", 1.0), ("force_pound", 1.0)}): {"foot_pound": 1.0},
    frozenset({("newton", 1.0), ("meter", 1.0)}): {"joule": 1.0},
}
VULGAR_FRACTIONS = {
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "⅓": "1/3",
    "⅔": "2/3",
}
PLAIN = {
    "−": "-",
    "‐": "-",
    "‑": "-",
    "×": "*",
    "⋅": "·",
    "•": "·",
    "µ": "µ",
    "⁄": "/",
    "\u00a0": " ",
    "\u202f": " ",
    "\u2009": " ",
}
SUPERSCRIPTS = {"²": "^2", "³": "^3", "⁴": "^4"}
KNOWN_SYMBOLS = set("°º′″’”'\"%#·±")

NUMBER = re.compile(
    r"""(?P<whole>\d{1,12})[ -]+(?P<top>\d{1,4})/(?P<bottom>\d{1,4})(?![\d.,/])     # 35 1/2, 35-1/2
      | (?P<num>\d{1,4})/(?P<den>\d{1,4})(?![\d.,/])                                # 5/16
      | (?P<decimal>(?:\d{1,3}(?:,\d{3}){1,4}|\d{1,30})(?:\.\d{0,30})?|\.\d{1,30})(?P<exponent>[eE][+-]?\d{1,3})?(?![\d])
    """,
    re.VERBOSE,
)
TOKEN = re.compile(r"\*\*|[A-Za-z.#µ]+|[°º]\s?[CFR](?![A-Za-z])|[°º%'\"′″’”]|\^-?\d|\d|[/*·()\-]|\s+")


@dataclass(frozen=True)
class Reading:
    """One thing that a person typed, and what was understood.

    value: the quantity, in the unit typed. uncertainty: what stood after ``±``, an expanded uncertainty (k = 2), or None.
    kind: what was wanted. typed: the text as it came. step: one unit in the last place written (for a fraction, one part).
    """

    value: Any
    uncertainty: Any
    kind: Kind
    typed: str
    step: Any

    @property
    def understood(self) -> str:
        """What was understood, said back in the unit typed."""
        from rotorkit.quantities.saying import say

        text = say(self.value, as_typed=True, kind=self.kind)
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
    """Read repeated readings of one thing, parted by semicolons: ``12.1; 12.3; 12.2 deg`` (a last unit serves all)."""
    parts = [part.strip() for part in str(text)[: LONGEST_TEXT * 4].split(";")]
    if not all(parts):
        raise QuantityError(f"a reading is missing beside a semicolon in {_shown(text)}")
    last = _NUMBER_ONLY.sub("", parts[-1], count=1).strip()
    unit = last if last and not last.startswith("±") else bare_unit
    return [read(part, kind, unit or bare_unit) for part in parts]


_NUMBER_ONLY = re.compile(r"^[+\-−]?[\d.,/ \-eE]*\d")


@lru_cache(maxsize=4096)
def _read(typed: str, kind: Kind, bare_unit: str | None) -> Reading:
    from rotorkit.quantities.registry import refusal, registry, si_value

    text = _cleaned(typed, kind)
    main, _, spread = (part.strip() for part in text.partition("±"))
    if "±" in text and ("±" in spread or not spread or not main):
        raise QuantityError(f"cannot read {_shown(typed)}: write it like '48 ± 2 lb'")
    spread_parts = list(_parts(spread, typed, kind)) if spread else []
    parts = list(_parts(main, typed, kind))
    if len(parts) == 1 and not parts[0].unit_text and spread_parts and spread_parts[-1].unit_text not in ("", "%"):
        parts[0].unit_text = spread_parts[-1].unit_text
    if kind.si == "" and len(parts) == 1 and not parts[0].unit_text:
        parts[0].unit_text = ""
    elif not parts[-1].unit_text:
        if bare_unit is None:
            raise QuantityError(
                f"needs {kind.name} with its unit, got the bare number {_shown(typed)}: type for example '{kind.example}'"
            )
        parts[-1].unit_text = bare_unit
    magnitude, units, step = _joined(parts, typed, kind)
    why = refusal(units, kind)
    if why:
        other = _other_kind(units)
        said = f"which is {other}" if other and other != kind.name else why
        raise QuantityError(f"needs {kind.name}, got {_shown(typed)}, {said}: type for example '{kind.example}'")
    quantity = registry().Quantity(magnitude, units)
    in_si = si_value(quantity, kind)
    if not math.isfinite(in_si):
        raise QuantityError(f"{_shown(typed)} is too large to be {kind.name}")
    if kind.minimum is not None and in_si < kind.minimum:
        least = "absolute zero" if kind.flavour == "temperature" else "zero"
        raise QuantityError(f"{_shown(typed)} is below {least}: {kind.name} cannot be")
    uncertainty = _spread(spread_parts, magnitude, units, typed, kind) if spread_parts else None
    return Reading(quantity, uncertainty, kind, typed, _difference(step, units))


def _difference(size: float, units: Any) -> Any:
    """A size in these units as a difference: a step of one °F is no temperature of one °F."""
    from rotorkit.quantities.registry import registry

    offset = {"degree_Fahrenheit": "delta_degree_Fahrenheit", "degree_Celsius": "delta_degree_Celsius"}
    names = {offset.get(name, name): power for name, power in units.items()}
    return registry().Quantity(size, registry().UnitsContainer(names))


def _spread(parts: list[_Part], magnitude: float, units: Any, typed: str, kind: Kind) -> Any:
    if len(parts) > 1:
        raise QuantityError(f"the uncertainty in {_shown(typed)} must be one number with one unit")
    part = parts[0]
    if part.number < 0:
        raise QuantityError(f"the uncertainty in {_shown(typed)} is negative")
    if part.unit_text == "%" and kind.si != "":
        if kind.flavour == "temperature":
            raise QuantityError(f"a percentage of a temperature in {_shown(typed)} has no meaning: give degrees")
        return _difference(abs(magnitude) * part.number / 100.0, units)
    unit = unit_container(part.unit_text, kind) if part.unit_text else units
    from rotorkit.quantities.registry import registry

    if registry().get_dimensionality(unit) != registry().get_dimensionality(units):
        raise QuantityError(f"the uncertainty in {_shown(typed)} is in a unit of another kind")
    return _difference(part.number, unit)


@dataclass
class _Part:
    number: float
    step: float
    unit_text: str


def _shown(text: str) -> str:
    clean = "".join(c if c.isprintable() else f"\\u{ord(c):04x}" for c in text[:40])
    return f"'{clean}…'" if len(text) > 40 else f"'{clean}'"


def _cleaned(typed: str, kind: Kind) -> str:
    if len(typed) > LONGEST_TEXT:
        raise QuantityError(f"needs {kind.name} such as '{kind.example}', got a text of {len(typed)} characters")
    text = typed.strip()
    if not text:
        raise QuantityError(f"is empty: needs {kind.name}, for example '{kind.example}'")
    out = []
    for character in text:
        if character in VULGAR_FRACTIONS:
            out.append((" " if out and out[-1][-1:].isdigit() else "") + VULGAR_FRACTIONS[character])
        elif character in PLAIN or character in SUPERSCRIPTS:
            out.append(PLAIN.get(character) or SUPERSCRIPTS[character])
        elif character in KNOWN_SYMBOLS or (character.isascii() and character.isprintable()) or character == "\t":
            out.append(" " if character == "\t" else character)
        elif character == "–" and not out:
            out.append("-")
        else:
            name = unicodedata.name(character, "a control character").lower()
            raise QuantityError(
                f"{_shown(typed)} holds {name} (U+{ord(character):04X}), which is not read: type it again"
            )
    return "".join(out).replace("+/-", "±").replace("+-", "±")


def _parts(text: str, typed: str, kind: Kind) -> Iterator[_Part]:
    """Cut ``12 ft 6 1/2 in`` into numbers with the unit text that follows each."""
    if re.match(r"[+-]?\s*(nan|inf)", text, re.IGNORECASE):
        raise QuantityError(f"{_shown(typed)} is not a number: needs {kind.name}, for example '{kind.example}'")
    sign = 1.0
    match = re.match(r"([+-])\s*", text)
    position = 0
    if match:
        sign = -1.0 if match.group(1) == "-" else 1.0
        position = match.end()
    first = True
    while position < len(text):
        found = NUMBER.match(text, position)
        if not found:
            raise QuantityError(f"cannot read {_shown(typed)} as {kind.name}: type for example '{kind.example}'")
        if text[found.end() : found.end() + 1] == ",":
            raise QuantityError(
                f"the comma in {_shown(typed)} is not clear: write 12.5 for a decimal, 1,650 for thousands"
            )
        number, step = _number(found, typed)
        position = found.end()
        tail = text[position:]
        ratio = re.match(r"\s*:\s*(\d{1,6}(?:\.\d{1,12})?)\s*$", tail)
        if ratio and kind.si == "" and first:
            bottom = float(ratio.group(1))
            if bottom == 0:
                raise QuantityError(f"{_shown(typed)} divides by zero")
            yield _Part(sign * number / bottom, step / bottom, "")
            return
        # a unit ends where the next number starts: at a digit after a space or after a mark such as ' or °
        stop = re.search(r"(?<=[\s'\"°º′’])(?:\d|\.\d)", tail)
        end = stop.start() if stop else len(tail)
        unit_text = tail[:end].strip()
        if stop and not unit_text:
            raise QuantityError(f"cannot read {_shown(typed)} as {kind.name}: type for example '{kind.example}'")
        yield _Part(sign * number, step, unit_text)
        position += end
        first = False


def _number(found: re.Match[str], typed: str) -> tuple[float, float]:
    if found["whole"] or found["num"]:
        top, bottom = (found["top"], found["bottom"]) if found["whole"] else (found["num"], found["den"])
        if int(bottom) == 0:
            raise QuantityError(f"{_shown(typed)} divides by zero")
        return float(found["whole"] or 0) + int(top) / int(bottom), 1.0 / int(bottom)
    digits = found["decimal"].replace(",", "")
    exponent = int((found["exponent"] or "e0")[1:])
    value = float(f"{digits}e{exponent}")
    if not math.isfinite(value):
        raise QuantityError(f"{_shown(typed)} is too large")
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
            raise QuantityError(f"cannot read {_shown(typed)}: write it like '12 ft 6 in', '26° 30\\'' or '26.5°'")
        if abs(part.number) >= ratio:
            raise QuantityError(
                f"in {_shown(typed)} the part {abs(part.number):g} {part.unit_text} must be below {ratio}"
            )
        scale *= ratio
        total += abs(part.number) / scale
        step, before = part.step / scale, smaller
    return (-total if negative else total), units, step


def _single(units: Any) -> str:
    names = dict(units.items())
    return next(iter(names)) if len(names) == 1 and next(iter(names.values())) == 1 else ""


@lru_cache(maxsize=4096)
def unit_container(text: str, kind: Kind) -> Any:
    """The registry's units container for a unit as typed, in the light of a kind."""
    from rotorkit.quantities.registry import registry

    powers: dict[str, float] = {}
    for spelling, power in _factors(text, kind):
        for name, inner in _named(spelling, kind).items():
            powers[name] = powers.get(name, 0) + inner * power
    # in/in/°F is a thermal expansion: a unit over itself is gone
    names = {name: power for name, power in powers.items() if power}
    if kind.flavour == "energy":  # ft-lb and N·m, where an energy is wanted, are energies and stay so
        names = ENERGY_AS_TYPED.get(frozenset(names.items()), names)
    return registry().UnitsContainer(names)


def _factors(text: str, kind: Kind) -> Iterator[tuple[str, int]]:
    """(spelling, power) of each unit in ``lb/(hp*h)``, ``ft-lb``, ``sq ft``, ``1/°F``, ``slug/ft^3``."""
    if not text:
        return
    text = re.sub(r"\bper\b", "/", text)
    text = re.sub(r"\b(sq|square)\.?\s+([A-Za-z]+)", r"\2^2", text)
    text = re.sub(r"\b(cu|cubic)\.?\s+([A-Za-z]+)", r"\2^3", text)
    text = re.sub(r"\bin\.?\s+(Hg|hg)\b", "inHg", text)
    text = re.sub(r"\b(deg|degrees?)\s+(C|F)\b", r"deg\2", text)
    text = re.sub(r"\b(US|U\.S\.)\s+(gal\w*)", r"\2", text)
    sign, depth, pending, position = 1, 0, None, 0
    inside = 1
    while position < len(text):
        token = TOKEN.match(text, position)
        if not token:
            raise QuantityError(f"does not know the unit {_shown(text)}")
        piece, position = token.group(), token.end()
        if piece.isspace():
            continue
        if piece[0] == "^" or piece == "**" or (piece.isdigit() and pending is not None):
            if piece == "**":
                digit = re.compile(r"-?\d").match(text, position)
                piece, position = ("^" + digit.group(), digit.end()) if digit else ("^0", position)
            power = int(piece.lstrip("^"))
            if pending is None or not 0 < abs(power) <= GREATEST_POWER:
                raise QuantityError(f"cannot read the power in the unit {_shown(text)}")
            yield pending[0], pending[1] * power
            pending = None
            continue
        if pending is not None:
            yield pending
            pending = None
        if piece == "/":
            sign = -1 if depth == 0 else sign
            inside = -1 if depth else 1
        elif piece in "*·-":
            # lb/hp*h is read as lb·h/hp by some and lb/(hp·h) by others
            if sign < 0 and depth == 0:
                raise QuantityError(f"put brackets in the unit {_shown(text)}, as in lb/(hp*h)")
        elif piece == "(":
            depth += 1
        elif piece == ")":
            depth -= 1
            inside = 1
            if depth < 0:
                raise QuantityError(f"the brackets in the unit {_shown(text)} do not match")
        elif piece == "1":
            continue
        elif piece.isdigit():
            raise QuantityError(f"does not know the unit {_shown(text)}")
        else:
            pending = (piece, sign * inside)
    if pending is not None:
        yield pending
    if depth:
        raise QuantityError(f"the brackets in the unit {_shown(text)} do not match")


def _named(spelling: str, kind: Kind) -> dict[str, float]:
    """The registry units that one spelling stands for, in the light of the kind."""
    name = _spelled(re.sub(r"(?<=[°º])\s", "", spelling), kind)
    powers: dict[str, float] = {}
    sign = 1.0
    for piece in re.split(r"(?<!\*)([*/])(?!\*)", name):
        if piece in "*/":
            sign = -1.0 if piece == "/" else 1.0
            continue
        unit, _, power = piece.partition("**")
        if unit != "dimensionless":
            powers[unit] = powers.get(unit, 0) + sign * float(power or 1)
    return powers


def _spelled(spelling: str, kind: Kind) -> str:
    for candidate in (spelling, spelling.lower()):
        if kind.angle == 1 and not kind.si.endswith("/s"):
            if candidate in ("'", "′", "’", "arcmin", "min"):
                return "arcminute"
            if candidate in ('"', "″", "”", "arcsec"):
                return "arcsecond"
        if kind.bare_name == "frequency" and candidate in ("cpm", "cycle", "cycles"):
            return "1/minute" if candidate == "cpm" else "dimensionless"
        if kind.flavour == "gauge pressure" and candidate == "psig":
            return "pound_force_per_square_inch"
        if candidate == "psig" and kind.bare_name == "absolute pressure":
            raise QuantityError(
                "'psig' is measured from the air around; an absolute pressure is needed: type psi or inHg"
            )
        if kind.bare_name == "acceleration" and candidate == "g":
            return "standard_gravity"
        if kind.pound == "force" and candidate in ("kg", "kgs"):
            raise QuantityError(f"'{spelling}' is a mass; for {kind.name} type kgf, N or lbf")
        if candidate in POUND_SPELLINGS:
            return "force_pound" if kind.pound == "force" else "pound"
        if candidate in OUNCE_SPELLINGS:
            return "force_ounce" if kind.pound == "force" else "ounce"
        if candidate in FAHRENHEIT_SPELLINGS or candidate == "f":
            return "degree_Fahrenheit" if kind.flavour == "temperature" else "delta_degree_Fahrenheit"
        if candidate in CELSIUS_SPELLINGS or candidate == "c":
            return "degree_Celsius" if kind.flavour == "temperature" else "delta_degree_Celsius"
        if candidate in REFUSED:
            raise QuantityError(REFUSED[candidate])
        if candidate in SPELLINGS:
            return SPELLINGS[candidate]
        if candidate in _LOWERED:
            return _LOWERED[candidate]
    raise QuantityError(f"does not know the unit {_shown(spelling)}: type for example '{kind.example}'")


def _lowered() -> dict[str, str]:
    table: dict[str, set[str]] = {}
    for spelling, unit in SPELLINGS.items():
        table.setdefault(spelling.lower(), set()).add(unit)
    return {spelling: units.pop() for spelling, units in table.items() if len(units) == 1}


_LOWERED = _lowered()


def _other_kind(units: Any) -> str | None:
    from rotorkit.quantities.registry import kind_of_units

    found = kind_of_units(units)
    return found.name if found else None
