"""A value with its uncertainty, kept by where the uncertainty comes from.

Every reading brings its own origin; an error that several readings share (a protractor's zero) is one origin in all of
them. A result keeps the signed share of every origin, so that what is common cancels in a difference and adds in a sum:
first-order propagation with correlations kept (JCGM 100:2008, 5.1 and 5.2).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rotorkit.quantities import Kind, Quantity, QuantityError, Reading, from_si, kind_of, read, si_value, unit_factor

__all__ = ["BudgetRow", "Measured", "Origin", "largest_less_smallest", "mean_of", "measured"]

COVERAGE = 2.0
"""The coverage factor k of every expanded uncertainty: about 95 % for a normal distribution (JCGM 100:2008, 6.3)."""

STATED_AS = {
    "expanded": (1 / COVERAGE, "an expanded uncertainty (k = 2)"),
    "bounds": (1 / math.sqrt(3), "bounds, any value between them as likely (JCGM 100:2008, 4.3.7)"),
    "standard": (1.0, "a standard uncertainty"),
}
"""How a stated uncertainty is turned into a standard one: the factor, and in words."""

_counter = itertools.count(1)


@dataclass(frozen=True)
class Origin:
    """Where an uncertainty comes from. Two readings' own errors are two origins, even under one label (by `number`);
    an error that readings share has number 0 and is the same origin wherever its label stands."""

    label: str
    number: int = 0


@dataclass(frozen=True)
class BudgetRow:
    """One origin's part: the standard uncertainty it alone would cause (a quantity), and its share of the variance."""

    label: str
    contribution: Any
    share: float


class Measured:
    """A value of a kind with its uncertainty components.

    si: the value in coherent SI units, a float or an array. components: signed standard uncertainty by origin, SI.
    unit: the unit in which it was typed or is to be said, or None for the kind's own.
    """

    __slots__ = ("components", "kind", "si", "unit")

    def __init__(self, si: Any, kind: Any, components: Mapping[Origin, Any] | None = None, unit: Any = None) -> None:
        found = kind_of(kind)
        if found is None:
            raise TypeError(f"Measured needs a kind such as Force, got {kind!r}")
        self.si, self.kind, self.unit = si, found, unit
        self.components: dict[Origin, Any] = dict(components or {})

    @property
    def value(self) -> Any:
        """The value as a quantity in coherent SI units."""
        return from_si(self.si, self.kind)

    @property
    def standard_si(self) -> Any:
        """The standard uncertainty in SI units, a float or an array."""
        parts = list(self.components.values())
        if not parts:
            return 0.0
        if len(parts) == 1:
            return abs(parts[0])
        total = parts[0] * parts[0]
        for part in parts[1:]:
            total = total + part * part
        return total**0.5

    @property
    def expanded_si(self) -> Any:
        """The expanded uncertainty (k = 2) in SI units."""
        return COVERAGE * self.standard_si

    @property
    def standard_uncertainty(self) -> Any:
        """The standard uncertainty, a quantity (for a temperature, a temperature difference)."""
        return _as_difference(self.standard_si, self.kind)

    @property
    def expanded(self) -> Any:
        """The expanded uncertainty (k = 2), a quantity."""
        return _as_difference(self.expanded_si, self.kind)

    def shown_unit(self, system: str) -> str:
        """The unit to say this in: its own where it has one for the system, else the kind's."""
        if isinstance(self.unit, tuple):
            return str(self.unit[1] if system == "metric" else self.unit[0])
        return self.unit if self.unit is not None else self.kind.shown(system)

    def shown_in(self, unit: Any) -> Measured:
        """The same, to be said in `unit` (text, or a pair for us and metric)."""
        return Measured(self.si, self.kind, self.components, unit)

    def budget(self) -> list[BudgetRow]:
        """What each origin contributes, largest first."""
        total = float(self.standard_si) ** 2
        rows = [
            BudgetRow(
                origin.label, _as_difference(abs(float(part)), self.kind), float(part) ** 2 / total if total else 0.0
            )
            for origin, part in self.components.items()
        ]
        return sorted(rows, key=lambda row: -row.share)

    def __add__(self, other: Measured) -> Measured:
        return _linear([(1.0, self), (1.0, self._alike(other))])

    def __sub__(self, other: Measured) -> Measured:
        return _linear([(1.0, self), (-1.0, self._alike(other))])

    def __neg__(self) -> Measured:
        return _linear([(-1.0, self)])

    def __mul__(self, factor: float) -> Measured:
        if not isinstance(factor, (int, float)):
            return NotImplemented
        return _linear([(float(factor), self)])

    __rmul__ = __mul__

    def __truediv__(self, divisor: float) -> Measured:
        return self * (1.0 / divisor)

    def _alike(self, other: Any) -> Measured:
        if not isinstance(other, Measured) or other.kind != self.kind:
            what = getattr(getattr(other, "kind", None), "name", type(other).__name__)
            raise QuantityError(f"cannot add or subtract {self.kind.name} and {what}")
        return other

    def __repr__(self) -> str:
        from rotorkit.quantities import say

        return (
            f"Measured({say(self)})"
            if not getattr(self.si, "shape", ())
            else f"Measured(array of {self.kind.bare_name})"
        )


def _as_difference(si: Any, kind: Kind) -> Any:
    from rotorkit.quantities import TemperatureDifference

    return from_si(si, kind_of(TemperatureDifference) if kind.flavour == "temperature" else kind)  # type: ignore[arg-type]


def measured(
    given: Any,
    kind: Any,
    label: str,
    uncertainty: Any = None,
    shared: Mapping[str, Any] | None = None,
    stated_as: str = "expanded",
) -> Measured:
    """A reading as a `Measured`.

    Arguments: given, text (``"48 lb"``, ``"48 ± 2 lb"``), a quantity or a `Reading`; kind; label, what the reading is,
    for the budget; uncertainty, the reading's own (text or quantity), used where none was typed after ``±``;
    shared, errors in common with other readings, by name; stated_as, a key of `STATED_AS`, how `uncertainty` and
    `shared` are stated (what is typed after ``±`` is always expanded, k = 2).
    """
    if isinstance(given, Measured):
        return given
    wanted = kind_of(kind)
    if wanted is None:
        raise TypeError(f"measured needs a kind such as Force, got {kind!r}")
    reading = read(given, wanted) if isinstance(given, str) else given
    factor = STATED_AS[stated_as][0]
    components: dict[Origin, Any] = {}
    own, own_factor = uncertainty, factor
    if isinstance(reading, Reading):
        if reading.uncertainty is not None:
            own, own_factor = reading.uncertainty, STATED_AS["expanded"][0]
        value, unit = reading.si, _unit_typed(reading)
    else:
        value, unit = si_value(reading, wanted), None
    if own is not None:
        components[Origin(label, next(_counter))] = own_factor * difference_si(own, wanted)
    for name, size in (shared or {}).items():
        components[Origin(name)] = factor * difference_si(size, wanted)
    return Measured(value, wanted, {o: part for o, part in components.items() if part}, unit)


def _unit_typed(reading: Reading) -> str | None:
    return None


def difference_si(size: Any, kind: Kind) -> float:
    """The size of an uncertainty in SI units, from text (``"0.1 deg"``) or a quantity."""
    from rotorkit.quantities import TemperatureDifference

    wanted = kind_of(TemperatureDifference) if kind.flavour == "temperature" else kind
    assert wanted is not None
    if isinstance(size, str):
        size = read(size, wanted).value
    found = float(si_value(size, wanted))
    if not found >= 0 or not math.isfinite(found):
        raise QuantityError(f"an uncertainty must be zero or more, got {size}")
    return found


def _linear(terms: Sequence[tuple[float, Measured]]) -> Measured:
    first = terms[0][1]
    components: dict[Origin, Any] = {}
    for factor, term in terms:
        for origin, part in term.components.items():
            components[origin] = components.get(origin, 0.0) + factor * part
    total = sum(factor * term.si for factor, term in terms)
    return Measured(total, first.kind, components, first.unit)


def combine(value: Any, kind: Any, inputs: Sequence[Measured], slopes: Sequence[Any], unit: Any = None) -> Measured:
    """A result from its SI value and the slope with respect to each input: u(y) by origin = sum of slope x u(x)."""
    components: dict[Origin, Any] = {}
    for term, slope in zip(inputs, slopes, strict=True):
        for origin, part in term.components.items():
            if origin in components:
                components[origin] = components[origin] + slope * part
            else:
                components[origin] = slope * part
    return Measured(value, kind, components, unit)


def propagate(function: Callable[..., float], kind: Any, inputs: Sequence[Measured], unit: Any = None) -> Measured:
    """Propagation through an ordinary function of bare SI floats, with slopes by central differences over one
    standard uncertainty (JCGM 100:2008, 5.1.3 note 2)."""
    centre = [float(term.si) for term in inputs]
    slopes = []
    for i, term in enumerate(inputs):
        step = float(term.standard_si) or abs(centre[i]) * 1e-6 or 1e-9
        high, low = list(centre), list(centre)
        high[i] += step
        low[i] -= step
        slopes.append(_slope(function, centre, low, high, i))
    return combine(function(*centre), kind, inputs, slopes, unit)


def _slope(function: Callable[..., float], centre: list[float], low: list[float], high: list[float], i: int) -> float:
    """Central difference; one-sided where the function ends (the edge of a table) within one uncertainty."""
    ends = []
    for point in (low, high):
        try:
            ends.append((point[i], function(*point)))
        except ValueError:
            ends.append((centre[i], function(*centre)))
    (x0, y0), (x1, y1) = ends
    if x0 == x1:
        raise QuantityError("the function has no value beside this point, so its uncertainty cannot be found")
    return (y1 - y0) / (x1 - x0)


def mean_of(readings: Sequence[Measured]) -> Measured:
    """The mean of repeated readings of one thing.

    Each reading's own uncertainty is kept; where three or more repeats scatter more than their own uncertainties say,
    the standard deviation of the mean s/sqrt(n) (JCGM 100:2008, 4.2.3) is added as an origin "scatter of repeats" in
    place of the smaller own part, so that neither is counted twice.
    """
    if not readings:
        raise QuantityError("a mean needs at least one reading")
    count = len(readings)
    mean = _linear([(1.0 / count, reading) for reading in readings])
    if count < 3:
        return mean
    values = [float(reading.si) for reading in readings]
    scatter = math.sqrt(sum((v - float(mean.si)) ** 2 for v in values) / (count - 1) / count)
    own = {o: part for o, part in mean.components.items() if o.number}
    own_size = math.sqrt(sum(float(part) ** 2 for part in own.values()))
    if scatter <= own_size:
        return mean
    components = {o: part for o, part in mean.components.items() if not o.number}
    components[Origin("scatter of repeats", next(_counter))] = scatter
    return Measured(mean.si, mean.kind, components, mean.unit)


def largest_less_smallest(readings: Sequence[Measured]) -> Measured:
    """The spread of several readings: largest less smallest. What all readings share cancels."""
    if len(readings) < 2:
        raise QuantityError("a spread needs at least two readings")
    ordered = sorted(readings, key=lambda reading: float(reading.si))
    return ordered[-1] - ordered[0]
