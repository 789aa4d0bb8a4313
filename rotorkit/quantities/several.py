"""Several numbers in one text: repeats separated by semicolons, line breaks or spaces, and the parts of a sum.

Spaces part repeats only where nothing else can be meant: ``1.2 1.3 1.1 deg``. Two numbers that could be one thing in
two units (``11 8 in``), thousands (``101 102 lb``) or a range (``5 -3``) are asked about.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from rotorkit.quantities.errors import QuantityError, shortened
from rotorkit.quantities.kinds import Kind
from rotorkit.quantities.lending import single
from rotorkit.quantities.parts import NEXT_NUMBER
from rotorkit.quantities.spelled_units import unit_container

# a compound reading such as 11 ft 8 in: the unit, the smaller unit that may follow it, how many of those make one
SMALLER_UNITS = {
    ("foot", "inch"): 12,
    ("degree", "arcminute"): 60,
    ("arcminute", "arcsecond"): 60,
    ("pound", "ounce"): 16,
    ("force_pound", "force_ounce"): 16,
    ("hour", "minute"): 60,
    ("minute", "second"): 60,
}
SPELLED = {"foot": " ft ", "inch": " in", "degree": "° ", "arcminute": "'", "pound": " lb ", "ounce": " oz"}
SPELLED |= {"force_pound": " lb ", "force_ounce": " oz", "hour": " h ", "minute": " min", "second": " s"}
SPELLED |= {"arcsecond": '"'}

_NUMBER = r"[-−–]?(?:\d[\d.,/]*|\.\d+)"
_SPACED = re.compile(rf"({_NUMBER}(?:[ \t\u00a0\u202f\u2009]+{_NUMBER})+)\s*((?![-−–+.,/])[^\d\s;±+][^;±+]*)?")
_FRACTION = re.compile(r"\d{1,4}/\d{1,4}")
_THREE = re.compile(r"\d{3}(?:\.\d*)?")
LONGEST_SPACED = 1200
_LINE_BREAKS = re.compile(r"[\n\v\f\r\x85\u2028\u2029]+")
_THOUSANDS = re.compile(r"(?<![\d.,/])([1-9]\d{0,2})[ \t\u00a0\u202f\u2009](?=\d{3}(?![\d/]))")
_PLUS = re.compile(r"(?<!\d[eE])\s*\+\s*")
_BRACKETED = re.compile(r"\(([^()±]*\+[^()±]*)\)(.*)")


def on_semicolons(text: str) -> str:
    """A text of several lines as one, its lines separated by semicolons."""
    if not _LINE_BREAKS.search(text):
        return text
    return "; ".join(line.strip(" ;") for line in _LINE_BREAKS.split(text) if line.strip(" ;"))


@dataclass(frozen=True)
class Spaced:
    """Repeats that were separated by spaces. parts: each of them, the last with the unit. otherwise: what
    else the text could mean, or empty."""

    parts: list[str]
    otherwise: str = ""

    @property
    def written(self) -> str:
        """The same with semicolons."""
        return "; ".join(self.parts)


def spaced(text: str, kind: Kind, bare_unit: str | None) -> Spaced | None:
    """The repeats in a text such as ``1.2 1.3 1.1 deg``; None where it is no row of numbers with one unit at most.

    Raises `QuantityError` where some are negative and some are not (``5 -3``): a range or a difference looks the same.
    """
    found = _SPACED.fullmatch(text.strip()) if len(text) <= LONGEST_SPACED else None
    if found is None:
        return None
    numbers, unit = _numbers(found[1].split()), (found[2] or "").strip()
    if len(numbers) < 2 or NEXT_NUMBER.search(" " + unit) or any(re.match(r"[-−–]?0\d", one) for one in numbers):
        return None
    parts = [*numbers[:-1], f"{numbers[-1]} {unit}".strip()]
    negative = [one[0] in "-−–" for one in numbers]
    if any(negative) and not all(negative):
        raise QuantityError(
            f"{shortened(text)} can be readings, a range or a difference: write '{'; '.join(parts[:3])}"
            f"{'; …' if len(parts) > 3 else ''}' for readings of their own, else one number"
        )
    return Spaced(parts, _thousands(numbers, unit) or _in_two_units(numbers, unit or bare_unit, kind))


def _numbers(tokens: list[str]) -> list[str]:
    """The numbers, a whole one with the fraction that follows it as one: 35 1/2."""
    found: list[str] = []
    for token in tokens:
        if found and _FRACTION.fullmatch(token) and re.fullmatch(r"[-−–]?\d+", found[-1]):
            found[-1] += f" {token}"
        else:
            found.append(token)
    return found


def _thousands(numbers: list[str], unit: str) -> str:
    """The text with the spaces taken for those between thousands, where they can be."""
    joined: list[str] = []
    goes_on = False
    for number in numbers:
        if goes_on and _THREE.fullmatch(number):
            joined[-1] += number
            goes_on = "." not in number
        else:
            joined.append(number)
            goes_on = bool(re.fullmatch(r"[-−–]?[1-9]\d{0,2}", number))
    return f"{'; '.join(joined)} {unit}".strip() if len(joined) < len(numbers) else ""


def _in_two_units(numbers: list[str], unit: str | None, kind: Kind) -> str:
    """Two numbers as one thing in two units, where they can be: 11 8 in as 11 ft 8 in."""
    if len(numbers) != 2 or not re.fullmatch(r"[-−–]?\d+", numbers[0]) or numbers[1][0] in "-−–" or unit is None:
        return ""
    try:
        name = single(unit_container(unit, kind))
        second = float(sum(map(Fraction, numbers[1].split())))  # 11 8 1/2 in, as a tape is read
    except (QuantityError, ValueError, ZeroDivisionError):
        return ""
    for (large, small), many in SMALLER_UNITS.items():
        if name in (large, small) and second < many:
            return f"{numbers[0]}{SPELLED[large]}{numbers[1]}{SPELLED[small]}"
    return ""


def space_in_number(text: str) -> tuple[str, str] | None:
    """A text in which a space may part readings or thousands, written as either: ``450 + 455 460 lb``; else None."""
    apart = _THOUSANDS.sub(r"\1; ", text)
    return None if apart == text else (apart, _THOUSANDS.sub(r"\1", text))


def terms(text: str) -> list[str]:
    """The parts of a sum: ``900 + 180 + 170 lb``; one where it is none."""
    return _PLUS.split(text) if "+" in text.strip().lstrip("+") else [text]


def bracketed(text: str) -> tuple[str, str] | None:
    """The sum and what stands behind it of ``(900 + 180) lb ± 3 lb``; None where there are no such brackets."""
    found = _BRACKETED.fullmatch(text.strip())
    return (found[1].strip(), found[2].strip()) if found else None
