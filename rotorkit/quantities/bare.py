"""From anything a caller may pass (but a `Measured`) to a bare SI value, held to what its kind allows."""

from __future__ import annotations

import decimal
import fractions
import math
from typing import Any

from rotorkit.quantities.errors import QuantityError
from rotorkit.quantities.foreign import si_value
from rotorkit.quantities.kinds import Kind
from rotorkit.quantities.pint_inside import is_quantity
from rotorkit.quantities.reading import Reading, read
from rotorkit.quantities.registry import from_si, plain_number

NUMBER_TYPES = (int, float, decimal.Decimal, fractions.Fraction)


def taken(value: Any, kind: Kind) -> Any:
    """The SI value, a float or an array, of a text with unit, a quantity, a `Reading`, or for a ratio a plain number.

    Raises `QuantityError` naming what is needed, what came and what to type. A list or tuple is refused, since nothing
    tells whether its numbers carry a unit: several values come as an array with its unit.
    """
    if isinstance(value, str):
        return read(value, kind, by_program=True).si
    if isinstance(value, Reading):
        if not kind.alike(value.kind):
            raise QuantityError(f"needs {kind.name}, got {value.kind.name} ({value.understood})")
        return value.si
    if is_quantity(value):
        try:
            return si_value(value, kind)
        except ValueError as why:
            came = f"{value!s:.80}"
            raise QuantityError(f"needs {kind.name}, got {came} ({why}): type for example '{kind.example}'") from None
    if isinstance(value, bool) or value is None:
        raise QuantityError(f"needs {kind.name}, got {value!r}: type for example '{kind.example}'")
    if isinstance(value, NUMBER_TYPES) or hasattr(value, "dtype"):
        if kind.si == "":
            try:
                return plain_number(value)
            except QuantityError as why:
                raise QuantityError(f"needs {kind.name}: {why}") from None
        came = f"the bare number {value!r}" if isinstance(value, NUMBER_TYPES) else "bare numbers"
        raise QuantityError(f"needs {kind.name} with its unit, got {came}: type for example '{kind.example}'")
    if isinstance(value, (list, tuple)):
        how = "numpy.array([...])" if kind.si == "" else f"Quantity([...], '{kind.us}')"
        raise QuantityError(f"needs {kind.name}, got a {type(value).__name__}: pass several values as {how}")
    raise QuantityError(f"needs {kind.name}, got {type(value).__name__}: type for example '{kind.example}'")


def held(si: Any, kind: Kind) -> tuple[Any, float, float]:
    """(value, least, most) of a bare SI value: finite, and not below what the kind allows; else `QuantityError`."""
    if type(si) is not float:
        si = plain_number(si)
    if type(si) is float:
        if not math.isfinite(si):
            raise QuantityError(f"needs {kind.name}, got {si}, which is not a number")
        if kind.minimum is not None and si < kind.minimum:
            raise QuantityError(f"needs {kind.name} of zero or more, got {_shown(si, kind)}")
        return si, si, si
    if not si.size:
        return si, math.inf, -math.inf
    # two passes tell all: a NaN anywhere makes both of them NaN
    least, most = float(si.min()), float(si.max())
    if not (math.isfinite(least) and math.isfinite(most)):
        raise QuantityError(f"needs {kind.name}, got an array that holds a value which is not a number")
    if kind.minimum is not None and least < kind.minimum:
        raise QuantityError(f"needs {kind.name} of zero or more, got an array that holds {_shown(least, kind)}")
    return si, least, most


def _shown(si: float, kind: Kind) -> str:
    from rotorkit.quantities.saying import say

    return say(from_si(si, kind))
