"""The builder's own power table: what the engine's maker, or a test, says it gives at height and speed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from rotorkit.formula.contract import si_of
from rotorkit.quantities import Kind, Length, Power, QuantityError, RotationRate, from_si, required_kind, say
from rotorkit.quantities.pint_inside import is_quantity

_LENGTH = required_kind(Length)
_POWER = required_kind(Power)
_RATE = required_kind(RotationRate)


class PowerTable:
    """Full-throttle power by height, and by engine speed where the table has columns for it.

    Between the rows power lies on straight lines; outside the table nothing is known, and nothing is given.

    Parameters
    ----------
    heights
        of the rows, rising (text with units or quantities, or one quantity array).
    power
        of each row; with `speeds`, one row of powers for each height.
    speeds
        engine speeds of the columns, rising; None where the table is for one speed.
    by
        what kind of height the rows are, in words: "density altitude" or "pressure altitude". Told with every
        error, because the two differ by thousands of feet on a hot day.
    source
        where the table comes from, in words.

    Raises
    ------
    QuantityError
        shapes do not fit, an axis does not rise, a power is not above zero.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> table = PowerTable(["0 ft", "5000 ft", "10000 ft"], ["138 hp", "116 hp", "97 hp"], by="density altitude")
    >>> say(table.power("2500 ft"), "hp", digits=4)
    '127.0 hp'
    """

    def __init__(
        self, heights: Any, power: Any, *, speeds: Any = None, by: str = "density altitude", source: str = ""
    ) -> None:
        if by not in ("density altitude", "pressure altitude"):
            raise QuantityError(f"PowerTable: by must be 'density altitude' or 'pressure altitude', got {by!r}")
        self.by, self.source = by, source
        self.heights = _rising(heights, _LENGTH, "heights")
        self.speeds = None if speeds is None else _rising(speeds, _RATE, "speeds")
        rows = power if speeds is not None else [power]
        table = np.array([_bare(row, _POWER, "power") for row in rows])
        self.powers = table if speeds is not None else table.T
        wanted = (len(self.heights), 1 if self.speeds is None else len(self.speeds))
        if self.powers.shape != wanted:
            raise QuantityError(
                f"PowerTable: power needs {wanted[0]} rows of {wanted[1]}, as heights and speeds have it, "
                f"got {self.powers.shape[0]} of {self.powers.shape[1] if self.powers.ndim > 1 else 1}"
            )
        if (self.powers <= 0).any():
            raise QuantityError("PowerTable: power must be above zero everywhere")

    def power(self, height: Any, speed: Any = None) -> Any:
        """Power at a height (and engine speed), a quantity.

        Parameters
        ----------
        height : Any
            of the kind that `by` says (length or array).
        speed : Any
            engine speed (rotation rate or array), where the table has columns for it.

        Raises
        ------
        QuantityError
            outside the table, or a speed is missing or not wanted; the message says the table's range.
        """
        at = si_of(height, _LENGTH, "height")[0]
        if (speed is None) != (self.speeds is None):
            raise QuantityError(
                "PowerTable: this table is for one engine speed: give none"
                if self.speeds is None
                else "PowerTable: this table needs the engine speed"
            )
        return from_si(self.si(at, None if speed is None else si_of(speed, _RATE, "speed")[0]), _POWER)

    def si(self, height: Any, speed: Any = None) -> Any:
        """The bare twin of `power`: metres and rad/s in, watts out; outside the table it refuses too."""
        row, up = _place(self.heights, height, _LENGTH, self.by)
        if self.speeds is None:
            low, high = self.powers[row, 0], self.powers[row + 1, 0]
        else:
            column, along = _place(self.speeds, speed, _RATE, "engine speed")
            low, high = (
                self.powers[r, column] + along * (self.powers[r, column + 1] - self.powers[r, column])
                for r in (row, row + 1)
            )
        found = low + up * (high - low)
        return found if np.ndim(found) else float(found)


def _bare(given: Any, kind: Kind, name: str) -> list[float]:
    if is_quantity(given):
        return [float(x) for x in np.atleast_1d(si_of(given, kind, name)[0])]
    if isinstance(given, str) or not isinstance(given, Sequence):
        raise QuantityError(f"PowerTable: {name} must be a row of values with units, got {given!r}")
    found = []
    for value in given:
        try:
            found.append(float(si_of(value, kind, name)[0]))
        except QuantityError as problem:
            raise QuantityError(f"PowerTable: {name} {problem}") from None
    return found


def _rising(given: Any, kind: Kind, name: str) -> Any:
    values = np.array(_bare(given, kind, name))
    if len(values) < 2 or (np.diff(values) <= 0).any():
        raise QuantityError(f"PowerTable: {name} must be two or more, each above the one before")
    return values


def _place(axis: Any, at: Any, kind: Kind, name: str) -> tuple[Any, Any]:
    at = np.asarray(at, dtype=float)
    slack = 1e-9 * (axis[-1] - axis[0])
    if at.size and (at.min() < axis[0] - slack or at.max() > axis[-1] + slack):
        far = at.min() if at.min() < axis[0] else at.max()
        raise QuantityError(
            f"PowerTable: {name} must be from {say(from_si(axis[0], kind))} to {say(from_si(axis[-1], kind))}, "
            f"where the table ends; got {say(from_si(float(far), kind))}"
        )
    below = np.clip(np.searchsorted(axis, at, side="right") - 1, 0, len(axis) - 2)
    return below, (at - axis[below]) / (axis[below + 1] - axis[below])
