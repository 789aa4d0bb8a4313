"""A person's own hand figure against the sheet's: do they agree?

Judged by the digits that the person wrote, never by a fixed per cent: a figure written as 654.5 ft/s claims half a
tenth, one written as 35 1/2 deg a quarter of a degree. What the readings are known to excuses nothing, for both were
worked from the same readings: a tare forgotten may well be less than a gauge's ±. It is told beside the difference.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from rotorkit.judging.measured import Measured, difference_si, measured
from rotorkit.quantities import QuantityError, Reading, display_system, from_si, read, say, unit_factor
from rotorkit.quantities.pint_inside import is_quantity
from rotorkit.quantities.registry import kind_of_quantity

AGREES = "agrees"
DIFFERS_LITTLE = "differs by less than the readings' ±"
DIFFERS = "does not agree"
WITHIN_READINGS = "agrees within the uncertainty of the readings"
"""A word of earlier entries of a record, which stays as it was judged; nothing is judged so today."""
AGREEING = (AGREES, WITHIN_READINGS)
"""The words of a figure that was judged to agree."""


SURELY_ANOTHER = 30.0
"""A hand figure that could be meant in two ways (1.310 lb) is taken as the one that lies within this factor of ours."""

OTHER_TEMPERATURE = 250.0
"""In kelvins, of a temperature: two ways to mean one lie further apart than twice this (1.000 °F and 1,000 °F)."""


@dataclass(frozen=True)
class Agreement:
    """A hand figure judged. word: `AGREES`, `DIFFERS_LITTLE` or `DIFFERS`. sentence: why. hint: what to look at; which
    slip explains a figure that does not agree, `rotorkit.teach.slips` finds. reading: the figure as it was read. good:
    whether it agrees."""

    word: str
    sentence: str
    hint: str = ""
    reading: Reading | None = None

    @property
    def good(self) -> bool:
        return self.word in AGREEING


def near_to(figure: Measured) -> Callable[[Reading, bool], bool]:
    """Which of the ways to mean a hand figure can be (`rotorkit.quantities.read`), by the right one. Of a temperature
    by how far it lies from it, for its scale begins elsewhere: 1,428 °F for 1428 °F."""
    value = float(figure.si)
    if figure.kind.flavour == "temperature":
        return lambda hand, other: abs(hand.si - value) < OTHER_TEMPERATURE
    return lambda hand, other: 1 / SURELY_ANOTHER < abs(hand.si) / (abs(value) or 1.0) < SURELY_ANOTHER


def compare_by_hand(typed: str, figure: Any, bare_unit: str | None = None) -> Agreement:
    """Compare a hand figure as typed (``654.5 ft/s``, ``35 1/2 deg``) with the sheet's figure, or with a quantity.

    Returns an `Agreement`: it agrees where the difference is within half a unit of the last place written, or of the
    last place that the sheet's own figure is said to; beyond that it does not agree, and it is told apart whether the
    difference is less than the expanded uncertainty (k = 2) that the readings give the figure: then a limit is judged
    hardly otherwise, but something was done otherwise all the same. Raises `QuantityError` where the text cannot be
    read.

    >>> from rotorkit.quantities import Angle
    >>> compare_by_hand("35 1/2 deg", Measured(0.6196, Angle)).word
    'agrees'
    """
    if not isinstance(figure, Measured):
        kind = kind_of_quantity(figure) if is_quantity(figure) else None
        if kind is None:
            raise QuantityError(f"a hand figure is compared with a measured value or a quantity, got {figure!r:.60}")
        figure = measured(figure, kind, "figure")
    value = float(figure.si)
    reading = read(typed, figure.kind, bare_unit, near_to(figure))
    step = difference_si(abs(reading.step), figure.kind)
    difference = reading.si - value
    spread = float(figure.expanded_si)
    # the sheet's own figure is carried in full; a hand figure cut off rather than rounded is one unit out at most
    written = step / 2 * (1 + 1e-9) + 1e-12 * abs(value)
    unit = figure.shown_unit(display_system())
    off = _size(difference, figure, bare_unit or unit)
    ours = say(figure, bare_unit if bare_unit != unit else None)
    if abs(difference) <= written:
        return Agreement(AGREES, f"{reading.understood} agrees with {ours} to the digits written", reading=reading)
    if abs(difference) <= _own_rounding(figure, bare_unit or unit):
        return Agreement(
            AGREES, f"{reading.understood} agrees with {ours} to the digits that it is said to", reading=reading
        )
    if abs(difference) <= spread:
        return Agreement(
            DIFFERS_LITTLE,
            f"{reading.understood} is {off} from {ours}: more than the digits written, though less than the ± that the "
            "readings give it. Both are worked from the same readings, so that something was done otherwise",
            "rounding along the way, or a conversion factor with few digits",
            reading,
        )
    hint = "" if value and reading.si else "work through the steps again"
    return Agreement(DIFFERS, f"{reading.understood} is {off} from {ours}", hint, reading)


def _own_rounding(figure: Measured, unit: str) -> float:
    """Half a unit of the last place that a figure is said to, the second digit of its ±; 0 of one without ±."""
    one = unit_factor(unit, figure.kind)
    if not one or not figure.expanded_si:
        return 0.0
    return float(10.0 ** (math.floor(math.log10(float(figure.expanded_si) / one)) - 1) * one / 2)


def _size(difference: float, figure: Measured, unit: str) -> str:
    from rotorkit.judging.measured import _as_difference

    if figure.kind.flavour == "temperature":
        return say(_as_difference(abs(difference), figure.kind), digits=2)
    return say(from_si(abs(difference), figure.kind), unit if unit_factor(unit, figure.kind) else None, digits=2)


ROUNDED = 0.051
"""Of its ±: a figure is said to the second digit of its ±, so that what was written down lies no further from it."""


def says_the_same(reading: Reading, figure: Measured) -> bool:
    """Whether a reading is this figure written down as it is said: value and ± to the rounding of its digits.

    >>> from rotorkit.quantities import Mass
    >>> says_the_same(read("802.0 ± 2.8 lb", Mass), measured("802.03 ± 2.83 lb", Mass, "empty weight"))
    True
    """
    if reading.kind != figure.kind:
        return False
    spread = 0.0 if reading.uncertainty is None else float(difference_si(reading.uncertainty, reading.kind))
    near = max(ROUNDED * float(figure.expanded_si), 1e-6 * abs(float(figure.si)))
    if not figure.expanded_si:
        near = max(near, 1e-4 * abs(float(figure.si)))  # without ± it is said to four digits
    return abs(reading.si - float(figure.si)) <= near and abs(spread - float(figure.expanded_si)) <= near
