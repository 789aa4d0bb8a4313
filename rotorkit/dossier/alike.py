"""Whether what was understood says no more than what was typed: then a page says it once."""

from __future__ import annotations

import re

_NUMBER = r"[-+]?\d[\d,]*\.?\d*(?:e[-+]?\d+)?"
_PART = re.compile(rf"({_NUMBER})\s*([^±]*)\s*(?:±\s*({_NUMBER})\s*(.*))?")
_SPELLED = {"+/-": "±", "deg": "°", "turns": "turn", "*": "·", "^2": "²", "^3": "³"}


def alike(typed: str, understood: str) -> bool:
    """Whether both are the same numbers in the same unit, written once for all of them or beside each.

    "35.9 ± 0.1 in" is like "35.9 in ± 0.1 in", and "7.6; 7.7 deg" like "7.6°; 7.7°". Another unit, a fraction worked
    out, a ± of its own: not alike, so that both are shown.
    """
    one, other = _parts(typed), _parts(understood)
    return typed.strip() == understood.strip() or (one is not None and one == other)


def _parts(text: str) -> list[tuple[float, float | None, str]] | None:
    """Value, ± and unit of each repeat, a missing unit taken from what follows; None where it is written otherwise."""
    for other, spelled in _SPELLED.items():
        text = text.replace(other, spelled)
    found: list[tuple[float, float | None, str]] = []
    unit = ""
    for part in reversed(text.split(";")):
        read = _PART.fullmatch(part.strip())
        if read is None:
            return None
        value, of_value, spread, of_spread = read.groups()
        of_value, of_spread = of_value.strip(), (of_spread or "").strip()
        if of_value and of_spread and of_value != of_spread:
            return None
        unit = of_spread or of_value or unit
        found.append((_number(value), None if spread is None else _number(spread), unit))
    return found[::-1]


def _number(text: str) -> float:
    return float(text.replace(",", ""))
