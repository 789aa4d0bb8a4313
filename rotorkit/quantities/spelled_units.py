"""From a unit as it is typed (``lb/(hp*h)``, ``ft-lb``, ``sq ft``, ``1/°F``) to the registry's units, by kind.

Every unit must stand in `rotorkit.quantities.units`; nothing else is known, and nothing is evaluated.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Any

from rotorkit.quantities.errors import QuantityError, shortened
from rotorkit.quantities.kinds import Kind
from rotorkit.quantities.parts import SUPERSCRIPTS
from rotorkit.quantities.pint_inside import registry
from rotorkit.quantities.units import (
    CELSIUS_SPELLINGS,
    FAHRENHEIT_SPELLINGS,
    OUNCE_SPELLINGS,
    POUND_SPELLINGS,
    REFUSED,
    spelling_table,
)

GREATEST_POWER = 4
SHARES = ("percent", "ppm")
SPELLINGS = spelling_table()
ENERGY_AS_TYPED: dict[frozenset[tuple[str, float]], dict[str, float]] = {
    frozenset({("foot", 1.0), ("force_pound", 1.0)}): {"foot_pound": 1.0},
    frozenset({("newton", 1.0), ("meter", 1.0)}): {"joule": 1.0},
}
TOKEN = re.compile(r"\*\*|[A-Za-z.#µ]+|[°º]\s?[CFR](?![A-Za-z])|[°º%'\"′″’”]|\^-?\d|\d|[/*·()\-]|\s+")


def _degrees(found: re.Match[str]) -> str:
    return "deg" + found[1].upper()


IN_WORDS: tuple[tuple[re.Pattern[str], Any], ...] = (  # how people write what the tokens then mean
    (re.compile(r"\bper\b"), "/"),
    (re.compile(r"\b(?:sq|square)\.?\s+([A-Za-z]+)"), r"\1^2"),
    (re.compile(r"\b(?:cu|cubic)\.?\s+([A-Za-z]+)"), r"\1^3"),
    (re.compile(r"(?:\bin\.?\s+|\binch(?:es)?\s+|[\"″”]\s?)(?:of\s+)?(?:Hg|hg|HG|mercury)\b"), "inHg"),
    (re.compile(r"\bmm\.?\s+(?:of\s+)?(?:Hg|hg|HG|mercury)\b"), "mmHg"),
    (re.compile(r"\b(in|cm|mm)\.?\s*(?:of\s+)?(?:H2O|H₂O|water)(?![A-Za-z])"), r"\1HOH"),
    (re.compile(r"\b(?:US\s+)?fl\.?\s*oz\b\.?"), "floz"),
    (re.compile(r"(?:\b(?:deg|degrees?)\b\.?|[°º])\s*(C|F)(?:elsius|ahrenheit)?\b", re.IGNORECASE), _degrees),
    (re.compile(r"(?<![A-Za-z])(lbf|lb|lbs|ft|in|N|kg|kgf|kp|m)\.(?=(?:lbf|lbs|lb|ft|in|N|kg|kgf|m)\b)"), r"\1·"),
    (re.compile(r"\b(?:US|U\.S\.)\s+(gal\w*)"), r"\1"),
)


RAISED = str.maketrans({sign: f"^{digit}" for sign, digit in SUPERSCRIPTS.items() if digit in "234"})
"""A power as it is said back, in², and as it is typed, in^2."""


@lru_cache(maxsize=4096)
def unit_container(text: str, kind: Kind) -> Any:
    """The registry's units container for a unit as typed, or as it is said back, in the light of a kind."""
    text = text.translate(RAISED)
    powers: dict[str, float] = {}
    shares = 0
    for spelling, power in _factors(text, kind):
        for name, inner in _named(spelling, kind).items():
            powers[name] = powers.get(name, 0) + inner * power
            shares += name in SHARES
    if shares > 1 or any(powers.get(share, 1) != 1 for share in SHARES):
        raise QuantityError(
            f"needs {kind.name}, and the unit {shortened(text)} is not known: type for example '{kind.example}'"
        )
    # in/in/°F is a thermal expansion: a unit over itself is gone
    names = {name: power for name, power in powers.items() if power}
    for share in SHARES:  # 5 % m would be a hundredth of what was meant; ppm/°F is an expansion
        if names.get(share) and len(names) > 1 and not (share == "ppm" and kind.flavour == "per degree"):
            raise QuantityError(
                f"needs {kind.name}, and the unit {shortened(text)} mixes a share of something with a unit: "
                f"type for example '{kind.example}', with its uncertainty '± 2 %'"
            )
    if kind.flavour == "energy":  # ft-lb and N·m, where an energy is wanted, are energies and stay so
        names = ENERGY_AS_TYPED.get(frozenset(names.items()), names)
    return registry().UnitsContainer(names)


def _factors(text: str, kind: Kind) -> Iterator[tuple[str, int]]:
    """(spelling, power) of each unit. Products and quotients go from left to right; brackets are one deep."""
    for words, sign_text in IN_WORDS:
        text = words.sub(sign_text, text)
    outer, inner, bracket = 1, 1, False  # the sign of what follows: outside, and within the bracket
    pending: tuple[str, int] | None = None
    position, operator = 0, ""
    while position < len(text):
        token = TOKEN.match(text, position)
        if not token:
            raise QuantityError(
                f"needs {kind.name}, and the unit {shortened(text)} is not known: type for example '{kind.example}'"
            )
        piece, position = token.group(), token.end()
        if piece.isspace():
            continue
        start = position - len(piece)
        if piece.isdigit() and pending is not None and not (piece in "234" and text[start - 1].isalpha()):
            # ft2 is square feet; what 35 lb1 or 94 %4 is, nobody knows
            raise QuantityError(
                f"the {piece} in the unit {shortened(text)} is not clear: write a power like ft^2, and put a space "
                f"before a number that follows"
            )
        if piece[0] == "^" or piece == "**" or (piece.isdigit() and pending is not None):
            if piece == "**":
                digit = _POWER.match(text, position)
                piece, position = ("^" + digit.group(), digit.end()) if digit else ("^0", position)
            power = int(piece.lstrip("^"))
            if pending is None or not 0 < abs(power) <= GREATEST_POWER:
                raise QuantityError(
                    f"cannot read the power in the unit {shortened(text)}: put a space before a number that follows"
                )
            yield pending[0], pending[1] * power
            pending = None
            continue
        if pending is not None:
            yield pending
            pending = None
        if operator and piece in "/*·-)":
            raise QuantityError(
                f"needs {kind.name}, and the unit {shortened(text)} is not known: type for example '{kind.example}'"
            )
        operator = piece if piece in "/*·-" else ""
        if piece == "/":
            if bracket:
                inner = -1
            else:
                outer = -1
        elif piece in "*·-":
            # lb/hp*h is read as lb·h/hp by some and as lb/(hp·h) by others
            if (inner if bracket else outer) < 0:
                raise QuantityError(f"put brackets in the unit {shortened(text)}, as in lb/(hp*h)")
        elif piece == "(":
            if bracket:
                raise QuantityError(f"the unit {shortened(text)} has brackets in brackets, which are not read")
            bracket, inner = True, 1
        elif piece == ")":
            if not bracket:
                raise QuantityError(f"the brackets in the unit {shortened(text)} do not match")
            bracket, inner = False, 1
        elif piece == "1" and not text[:start].strip() and text[position:].lstrip()[:1] == "/":
            continue  # 1/°F
        elif piece.isdigit():
            raise QuantityError(
                f"needs {kind.name}, and the unit {shortened(text)} is not known: type for example '{kind.example}'"
            )
        else:
            pending = (piece, outer * inner)
    if pending is not None:
        yield pending
    if operator:
        raise QuantityError(f"the unit {shortened(text)} breaks off: type for example '{kind.example}'")
    if bracket:
        raise QuantityError(f"the brackets in the unit {shortened(text)} do not match")


_POWER = re.compile(r"-?\d")


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
        if unit not in ("dimensionless", "1"):
            powers[unit] = powers.get(unit, 0) + sign * float(power or 1)
    return powers


def _spelled(spelling: str, kind: Kind) -> str:
    """The registry's name for one spelling: as the kind has it, as typed, else in small letters; a point behind an
    abbreviation is left out where it is not known with it."""
    candidates = [spelling, spelling.lower()]
    if spelling.endswith(".") and spelling.count(".") == 1:
        candidates += [spelling[:-1], spelling[:-1].lower()]
    for candidate in candidates:
        found = _by_kind(candidate, spelling, kind)
        if found:
            return found
        if candidate in REFUSED:
            raise QuantityError(f"needs {kind.name}: {REFUSED[candidate]}")
        if candidate in SPELLINGS:
            return SPELLINGS[candidate]
        found = _LOWERED.get(candidate)
        # 5 MPA is 5 MPa, but 5 mPa is a thousand million times less
        if found and not (found.startswith("mega") and spelling.startswith("m")):
            return found
    raise QuantityError(
        f"needs {kind.name}, and the unit {shortened(spelling)} is not known: type for example '{kind.example}'"
    )


def _by_kind(candidate: str, typed: str, kind: Kind) -> str | None:
    """What a spelling means for this kind and for no other."""
    if kind.angle == 1 and not kind.si.endswith("/s"):
        if candidate in ("'", "′", "’", "arcmin", "min"):
            return "arcminute"
        if candidate in ('"', "″", "”", "arcsec"):
            return "arcsecond"
    if kind.bare_name == "frequency" and candidate in ("cpm", "cps", "cycle", "cycles"):
        return {"cpm": "1/minute", "cps": "1/second"}.get(candidate, "dimensionless")
    if candidate == "psig" and kind.flavour == "gauge pressure":
        return "pound_force_per_square_inch"
    if candidate == "psig" and kind.bare_name == "absolute pressure":
        raise QuantityError("'psig' is measured from the air around; an absolute pressure is needed: type psi or inHg")
    if candidate == "psia" and kind.flavour == "gauge pressure":
        raise QuantityError(
            "'psia' is measured from vacuum; a pressure above the air around is needed: type psi or psig"
        )
    if kind.bare_name == "acceleration" and candidate == "g":
        return "standard_gravity"
    if kind.pound == "force" and candidate in ("kg", "kgs"):
        instead = "kgf, N or lbf" if kind.bare_name == "force" else f"for example '{kind.example}'"
        raise QuantityError(f"'{typed}' is a mass; for {kind.name} type {instead}")
    if candidate in POUND_SPELLINGS:
        return "force_pound" if kind.pound == "force" else "pound"
    if candidate in OUNCE_SPELLINGS:
        return "force_ounce" if kind.pound == "force" else "ounce"
    if candidate in FAHRENHEIT_SPELLINGS or candidate == "f":
        return "degree_Fahrenheit" if kind.flavour == "temperature" else "delta_degree_Fahrenheit"
    if candidate in CELSIUS_SPELLINGS or candidate == "c":
        return "degree_Celsius" if kind.flavour == "temperature" else "delta_degree_Celsius"
    return None


def _lowered() -> dict[str, str]:
    table: dict[str, set[str]] = {}
    for spelling, unit in SPELLINGS.items():
        table.setdefault(spelling.lower(), set()).add(unit)
    return {spelling: units.pop() for spelling, units in table.items() if len(units) == 1}


_LOWERED = _lowered()
