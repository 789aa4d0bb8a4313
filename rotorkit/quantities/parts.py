"""What is typed, cut into numbers with the unit text that follows each."""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from rotorkit.quantities.errors import QuantityError, shortened
from rotorkit.quantities.kinds import Kind

LONGEST_TEXT = 120
FRACTIONS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
PLAIN = {  # one sign written in several ways
    "−": "-", "‐": "-", "‑": "-", "×": "*", "⋅": "·", "•": "·", "⁄": "/",
    "˚": "°", "‘": "’", "“": "”", "\t": " ", "\u00a0": " ", "\u202f": " ", "\u2009": " ", "μ": "µ",
}  # fmt: skip
SUPERSCRIPTS = {"⁻": "-", "¹": "1", "²": "2", "³": "3", "⁴": "4"}
KNOWN_SYMBOLS = set("°º′″’”'\"%#·±µ")

NUMBER = re.compile(
    r"""(?P<whole>\d{1,12})(?P<between>[ ]+|-)(?P<top>\d{1,4})/(?P<bottom>\d{1,4})(?![\d.,/])     # 35 1/2, 35-1/2
      | (?P<num>\d{1,4})/(?P<den>\d{1,4})(?![\d.,/])                                    # 5/16
      | (?P<decimal>(?:[1-9]\d{0,2}(?:(?:,\d{3}){1,9}|(?:[ ]\d{3}){1,9}(?![\d/]|[ ]\d))|\d{1,30})
        (?:\.\d{0,30})?|\.\d{1,30})
        (?P<exponent>[eE][+-]?\d{1,3})?(?![\d])                                         # 1,310.5, 13e-6
    """,
    re.VERBOSE,
)
# a unit ends where the next number starts: at a digit after a space or a mark such as ' or °, but 1/°F is a unit
NEXT_NUMBER = re.compile(r"(?<=[\s'\"°º′″’”])(?!1\s*/\s*[^\d\s])(?:\d|\.\d)")
# 11'-8", 11 ft, 8 in and 11ft8in: a comma, a hyphen or nothing at all between the parts of one length, angle or time
JOINT = re.compile(
    r"((?<![A-Za-z])(?:feet|foot|ft|deg|degrees?|lbs?|hrs?|h|min)\.?|['′’°º])(?:\s*,\s*|-[ ]*)(?=\d|\.\d)"
    r"|((?<![A-Za-z])(?:feet|foot|ft|deg|lbs?|hrs?|h|min))"
    r"(?=\d{1,2}(?:\.\d{1,9})?(?:[ -]\d{1,3}/\d{1,3}|/\d{1,3})?[ ]?(?:in\b|inch|[\"″”]|oz\b|min|sec|s\b|['′’]))"
)
DEGREES_APART = re.compile(
    r"(?:[Δ∆]\s?|\bdelta_)(?:[°º˚]\s?|deg(?:ree)?_?)?([CFK])(?:elsius|ahrenheit|elvin)?(?![A-Za-z])"
)
"""A difference of temperatures as other programs write its unit: Δ°C, delta_degF."""
NO_NUMBER = re.compile(r"[+-]?\s*(?:nan|inf)", re.IGNORECASE)


@dataclass
class Part:
    number: float
    step: float
    unit_text: str
    text: str = ""
    broken: bool = False
    whole: bool = False
    is_ratio: bool = False

    def __post_init__(self) -> None:
        self.typed_unit = self.unit_text


def whole_number(text: str) -> int | None:
    """A count as typed, such as the number of a run, an order or a column: at most six plain digits, else none.

    >>> whole_number(" 12 "), whole_number("²"), whole_number("9" * 5000)
    (12, None, None)
    """
    text = text.strip()
    return int(text) if re.fullmatch(r"[0-9]{1,6}", text) else None


def cleaned(typed: str, kind: Kind) -> str:
    if len(typed) > LONGEST_TEXT:
        raise QuantityError(f"needs {kind.name} such as '{kind.example}', got a text of {len(typed)} characters")
    text = typed.strip()
    if not text:
        raise QuantityError(f"is empty: needs {kind.name}, for example '{kind.example}'")
    if kind.flavour == "temperature" and DEGREES_APART.search(re.split(r"±|\+/?-", text)[0]):
        raise QuantityError(
            f"{shortened(typed)} is a difference of temperatures: needs {kind.name}, for example '{kind.example}'"
        )
    text = DEGREES_APART.sub(lambda found: found[1] if found[1] == "K" else f"°{found[1]}", text)
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


def cut(text: str, typed: str, kind: Kind) -> Iterator[Part]:
    """Cut ``11 ft 8 1/2 in`` into numbers with the unit text that follows each."""
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
                f"the comma in {shortened(typed)} is not clear: write 11.5 for a decimal, 1,310 for thousands"
            )
        if re.match(r"\.[.\d]", text[found.end() :]):
            raise QuantityError(
                f"{shortened(typed)} has more than one decimal point in a number: type for example '{kind.example}'"
            )
        number, step = _number(found, typed)
        position = found.end()
        tail = text[position:]
        ratio = re.match(r"\s*:\s*(\d{1,6}(?:\.\d{1,12})?)\s*$", tail)
        if ratio and kind.si == "" and first:
            bottom = float(ratio.group(1))
            if bottom == 0:
                raise QuantityError(f"{shortened(typed)} divides by zero")
            yield Part(sign * number / bottom, step / bottom, "", found.group(), broken=True, is_ratio=True)
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
                f"two numbers stand without a unit between them in {shortened(typed)}: write thousands as 1,310"
            )
        broken = found["decimal"] is None
        yield Part(sign * number, step, unit_text, found.group(), broken, bool(found["whole"]))
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
