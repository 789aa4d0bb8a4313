"""Comparing quantities in tests and in a notebook's check cells: one way, that never compares bare numbers."""

from __future__ import annotations

from typing import Any

from rotorkit.quantities.errors import QuantityError
from rotorkit.quantities.foreign import si_value
from rotorkit.quantities.kinds import Kind, difference_kind, kind_of
from rotorkit.quantities.pint_inside import is_quantity
from rotorkit.quantities.reading import read
from rotorkit.quantities.registry import kind_of_quantity


def assert_quantity(actual: Any, expected: Any, within: str | None = None, kind: Any = None) -> None:
    """Assert that a quantity is the expected one.

    Arguments: actual, a quantity, `Reading` or `Measured` (of which the value counts); expected, text as typed
    (``"24.4939 ft/s"``) or a quantity; within, the tolerance as text, relative (``"0.5 %"``) or in a unit (``"1 ft"``).
    Without `within` the tolerance is half a unit in the last place that the expected text prints, so that a published
    figure is checked to the digits printed and no further.
    Raises AssertionError with both figures, the difference and the tolerance; QuantityError where kinds differ.
    """
    import numpy

    quantity = getattr(actual, "value", actual)
    if not is_quantity(quantity):
        raise QuantityError(f"assert_quantity needs a quantity, got {quantity!r}")
    wanted = kind_of(kind) or kind_of(getattr(actual, "kind", None)) or kind_of_quantity(quantity)
    if wanted is None:
        raise QuantityError(f"no kind is known for {quantity.units}")
    step: Any = 0.0
    if isinstance(expected, str):
        reading = read(expected, wanted, by_program=True)
        expected, step = reading.value, _size(reading.step, wanted) / 2
    elif within is None:
        raise QuantityError("give `within`, or the expected figure as text with the digits it was printed with")
    got, want = numpy.asarray(si_value(quantity, wanted)), numpy.asarray(si_value(expected, wanted))
    if within is not None:
        if within.strip().endswith("%"):
            step = abs(want) * float(within.strip().rstrip("% ")) / 100
        else:
            step = read(within, difference_kind(wanted), by_program=True).si
    # a published figure that was rounded at an exact half differs by half a unit and a float's last bit
    worst = numpy.max(numpy.abs(got - want) - step - 1e-12 * numpy.abs(want))
    if not worst <= 0:
        difference = numpy.max(numpy.abs(got - want))
        share = difference / numpy.max(numpy.abs(want)) if numpy.max(numpy.abs(want)) else float("nan")
        unit = wanted.si or "(ratio)"
        raise AssertionError(
            f"got {got} {unit}, expected {want} {unit}: "
            f"off by {difference:.6g} ({share:.3%}), allowed {numpy.max(step):.6g}"
        )


def _size(difference: Any, kind: Kind) -> float:
    return float(si_value(difference, difference_kind(kind)))
