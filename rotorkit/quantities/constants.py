"""A physical constant: a number with its unit, letter and source, usable as a plain SI float in formula bodies."""

from __future__ import annotations

from typing import Any


class Constant(float):
    """A float (the SI value) that remembers its unit, letter and citation.

    In a formula body it stands at module level; the formula traces it as a symbol, so that it appears by its letter in
    the worked calculation and takes part in the dimension check.

    >>> Constant(9.80665, "m/s^2", "g_0", None) * 2
    19.6133
    """

    unit: str
    letter: str
    citation: Any

    def __new__(cls, value: float, unit: str, letter: str, citation: Any = None) -> Constant:
        made = super().__new__(cls, value)
        made.unit, made.letter, made.citation = unit, letter, citation
        return made

    def __reduce__(self) -> Any:
        return Constant, (float(self), self.unit, self.letter, self.citation)
