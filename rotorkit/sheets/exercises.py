"""What a sheet says of its exercises: a story in the trade, the ranges of its numbers, what is to be found.

Only what is declared stands here; `rotorkit.teach.exercise` draws the numbers, asks and marks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from rotorkit.formula import Formula


@dataclass(frozen=True)
class Range:
    """What a number of an exercise is drawn from: every step from low to high, both ends with the same unit as text
    (``Range("6 deg", "12 deg", "0.1 deg")``). It is said with as many decimals as the step has."""

    low: str
    high: str
    step: str


@dataclass(frozen=True)
class Exercise:
    """One exercise of a sheet.

    name: its key within the sheet; title: what stands above it; story: the situation, each given number as ``{name}``;
    find: what is to be found, so that it stands after "Find" ("the blade angle"); unit: to answer in; digits: how many
    significant digits are asked; hints: told one after the other, the last one nearly the way itself.

    of: the formula, with the argument `unknown` to be solved for (empty: its result is asked, else ``result`` is
    given); or figure: the key of a finding of the sheet, for an exercise on the whole of it.
    given: of each argument (of the sheet: each field, rows as ``stations.0.reading``) the range or a fixed text. What
    of a sheet's readings is not given stands as in the demo's check.
    sign: +1 or -1, which every answer must have; 0 for any.
    """

    name: str
    title: str
    story: str
    find: str
    unit: str
    of: Formula | None = None
    given: Mapping[str, Range | str] = field(default_factory=dict)
    unknown: str = ""
    figure: str = ""
    digits: int = 3
    hints: tuple[str, ...] = ()
    sign: int = 1
    check: str = ""
    """Of an exercise on a whole sheet the demo's check that lends the other readings; empty: the first one."""

    def __post_init__(self) -> None:
        if (self.of is None) == (not self.figure):
            raise TypeError(f"exercise {self.name}: needs a formula or a figure of its sheet, and not both")

    def names(self) -> list[Any]:
        """The given names, in order."""
        return list(self.given)
