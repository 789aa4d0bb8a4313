"""A value with its uncertainty, kept by where the uncertainty comes from.

Every reading brings its own origin; an error that several readings share (a protractor's zero) is one origin in all of
them. A result keeps the signed share of every origin, so that what is common cancels in a difference and adds in a sum:
first-order propagation with correlations kept (JCGM 100:2008, 5.1 and 5.2).
"""

from __future__ import annotations

import functools
import itertools
import math
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np

from rotorkit.edges.recent import Recent, exactly
from rotorkit.quantities import (
    Kind,
    QuantityError,
    Ratio,
    Reading,
    TemperatureDifference,
    difference_kind,
    from_si,
    kind_of,
    read,
    required_kind,
    written_share,
)
from rotorkit.quantities.bare import held, taken
from rotorkit.quantities.saying import unit_of_size

COVERAGE = 2.0
"""The coverage factor k of every expanded uncertainty: about 95 % for a normal distribution (JCGM 100:2008, 6.3)."""

STATED_AS = {
    "expanded": (1 / COVERAGE, "an expanded uncertainty (k = 2)"),
    "bounds": (1 / math.sqrt(3), "bounds, any value between them as likely (JCGM 100:2008, 4.3.7)"),
    "standard": (1.0, "a standard uncertainty"),
}
"""How a stated uncertainty is turned into a standard one: the factor, and in words."""

_STUDENT = (
    13.967730199244548, 4.526536687430166, 3.306822175005651, 2.869309414628827, 2.648649430702703,
    2.5165240556531296, 2.428805130403569, 2.366415784041984, 2.319805898259143, 2.2836782024779296,
    2.254862696779905, 2.2313480940240513, 2.2117975433526165, 2.195288190931808, 2.1811626350751743,
    2.168939991186383, 2.1582604329091817, 2.14884938823294, 2.1404937230531997, 2.133025480454186,
    2.1263105213802973, 2.1202404265211148, 2.114726617557868, 2.109696019518312, 2.1050878128603885,
    2.100850968865175, 2.096942356548186, 2.093325272284351, 2.0899682860171875, 2.0868443273103687,
)  # fmt: skip
"""Student's t for 1 degree of freedom and more that a normal deviate of 2 has the probability of: worked by SciPy's
`stdtrit`, to which a test holds them. Few readings then need not wait until SciPy is loaded."""

_counter = itertools.count(1)


class Origin(NamedTuple):  # a tuple, whose hash is asked for with every sum
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
    unit: the unit in which it was typed or is to be said, or None for the kind's own. reading: what was typed, where
    this is a reading as it came. worked: the title of the worked calculation that gave it and showed it in SI units.
    """

    __slots__ = ("_standard_si", "components", "kind", "reading", "si", "unit", "worked")

    def __init__(
        self,
        si: Any,
        kind: Any,
        components: Mapping[Origin, Any] | None = None,
        unit: Any = None,
        reading: Reading | None = None,
        worked: str = "",
    ) -> None:
        found = kind if type(kind) is Kind else kind_of(kind)
        if found is None:
            raise TypeError(f"Measured needs a kind such as Force, got {kind!r}")
        self.si, self.kind, self.unit = si, found, unit
        self.components: dict[Origin, Any] = dict(components) if components else {}
        self.reading, self.worked = reading, worked
        self._standard_si: Any = None

    @property
    def value(self) -> Any:
        """The value as a quantity in coherent SI units."""
        return from_si(self.si, self.kind)

    @property
    def standard_si(self) -> Any:
        """The standard uncertainty in SI units, a float or an array."""
        if self._standard_si is None:
            self._standard_si = self._root_of_squares()
        return self._standard_si

    def _root_of_squares(self) -> Any:
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
        return self.unit if self.unit is not None else unit_of_size(self.kind, self.si, system)

    def shown_in(self, unit: Any) -> Measured:
        """The same, to be said in `unit` (text, or a pair for us and metric)."""
        return Measured(self.si, self.kind, self.components, unit)

    def afresh(self) -> Measured:
        """The same figure as of another reading: its own errors are origins of their own, what it shares stays."""
        return Measured(
            self.si,
            self.kind,
            {Origin(o.label, next(_counter)) if o.number else o: part for o, part in self.components.items()},
            self.unit,
            self.reading,
            self.worked,
        )

    def budget(self) -> list[BudgetRow]:
        """What each origin contributes, largest first. For a single value; an array of values has none."""
        if getattr(self.si, "shape", ()):
            raise QuantityError("a budget is of a single value, not of an array")
        total = float(self.standard_si) ** 2
        rows = [
            BudgetRow(
                origin.label, _as_difference(abs(float(part)), self.kind), float(part) ** 2 / total if total else 0.0
            )
            for origin, part in self.components.items()
        ]
        return sorted(rows, key=lambda row: -row.share)

    def __add__(self, other: Measured) -> Measured:
        """The sum. A temperature takes a temperature difference, on either side; two temperatures have no sum."""
        flavours = self.kind.flavour, self._other(other).kind.flavour
        if flavours == ("difference", "temperature"):
            return other + self
        if flavours != ("temperature", "difference") and (
            flavours[0] == "temperature" or not self.kind.alike(other.kind)
        ):
            raise QuantityError(f"cannot add {self.kind.name} and {other.kind.name}")
        return _linear([(1.0, self), (1.0, other)])

    def __sub__(self, other: Measured) -> Measured:
        """The difference; that of two temperatures is a temperature difference."""
        flavours = self.kind.flavour, self._other(other).kind.flavour
        if flavours != ("temperature", "difference") and not self.kind.alike(other.kind):
            raise QuantityError(f"cannot subtract {other.kind.name} from {self.kind.name}")
        found = _linear([(1.0, self), (-1.0, other)])
        if flavours == ("temperature", "temperature"):
            return Measured(found.si, TemperatureDifference, found.components)
        return found

    def __neg__(self) -> Measured:
        return self * -1.0

    def __mul__(self, factor: float) -> Measured:
        if not isinstance(factor, (int, float)) or isinstance(factor, bool):
            return NotImplemented
        if self.kind.flavour == "temperature":
            raise QuantityError("a temperature times a number is no temperature: take the difference of two")
        return _linear([(float(factor), self)])

    __rmul__ = __mul__

    def __truediv__(self, divisor: float) -> Measured:
        return self * (1.0 / divisor)

    def _other(self, other: Any) -> Measured:
        if not isinstance(other, Measured):
            raise QuantityError(f"cannot add or subtract {self.kind.name} and {type(other).__name__}")
        return other

    def __repr__(self) -> str:
        from rotorkit.quantities import say

        return (
            f"Measured({say(self)})"
            if not getattr(self.si, "shape", ())
            else f"Measured(array of {self.kind.bare_name})"
        )


def _as_difference(si: Any, kind: Kind) -> Any:
    return from_si(si, difference_kind(kind))


def measured(
    given: Any,
    kind: Any,
    label: str,
    uncertainty: Any = None,
    shared: Mapping[str, Any] | None = None,
    stated_as: str = "expanded",
) -> Measured:
    """A reading as a `Measured`.

    Arguments: given, text (``"35 lb"``, ``"35 ± 2 lb"``), a quantity or a `Reading`; kind; label, what the reading is,
    for the budget; uncertainty, the reading's own (text such as ``"0.5 lb"`` or ``"2 %"`` of the reading, or a
    quantity), used where none was typed after ``±``; shared, errors in common with other readings, by name; stated_as,
    a key of `STATED_AS`, how `uncertainty` and `shared` are stated (what is typed after ``±`` is always expanded).
    A `Measured` of the kind is given back as it is, with the uncertainty that it has.
    Raises `QuantityError` for what is not of the kind, or not finite.

    >>> from rotorkit.quantities import Force, say
    >>> say(measured("35 lb", Force, "gauge", uncertainty="2 lb"))
    '35.0 ± 2.0 lbf'
    """
    wanted = required_kind(kind)
    if isinstance(given, Measured):
        if not wanted.alike(given.kind):
            raise QuantityError(f"{label}: needs {wanted.name}, got {given.kind.name}")
        return given
    reading = read(given, wanted, by_program=True) if isinstance(given, str) else given
    value, _, _ = held(taken(reading, wanted), wanted)
    factor = STATED_AS[stated_as][0]
    components: dict[Origin, Any] = {}
    own, own_factor = uncertainty, factor
    if isinstance(reading, Reading) and reading.uncertainty is not None:
        own, own_factor = reading.uncertainty, STATED_AS["expanded"][0]
    if own is not None:
        components[Origin(label, next(_counter))] = own_factor * difference_si(own, wanted, value)
    for name, size in (shared or {}).items():
        components[Origin(name)] = factor * difference_si(size, wanted, value)
    kept = {origin: part for origin, part in components.items() if _some(part)}
    return Measured(value, wanted, kept, reading=reading if isinstance(reading, Reading) else None)


def _some(part: Any) -> bool:
    return bool(part.any()) if getattr(part, "shape", ()) else bool(part)


def difference_si(size: Any, kind: Kind, of: Any = None) -> Any:
    """The size of an uncertainty in SI units, from text (``"0.1 deg"``) or a quantity.

    of: the SI value that a percentage (``"2 %"``) is of; for a ratio a percentage is a difference of ratios.
    """
    wanted = difference_kind(kind)
    if isinstance(size, str) and kind.si != "" and of is not None and written_share(size) is not None:
        if kind.flavour == "temperature":
            raise QuantityError(f"a percentage of a temperature, {size}, has no meaning: give degrees")
        share = difference_si(size, _RATIO)
        return share * abs(of)
    if isinstance(size, str):
        size = read(size, wanted, by_program=True).value
    try:
        found = float(taken(size, wanted))
    except TypeError:
        raise QuantityError(f"an uncertainty must be a single value, got {size!s:.60}") from None
    if not found >= 0 or not math.isfinite(found):
        raise QuantityError(f"an uncertainty must be zero or more, got {size}")
    return found


_RATIO = required_kind(Ratio)


def _linear(terms: Sequence[tuple[float, Measured]]) -> Measured:
    first = terms[0][1]
    components: dict[Origin, Any] = {origin: terms[0][0] * part for origin, part in first.components.items()}
    for factor, term in terms[1:]:
        for origin, part in term.components.items():
            components[origin] = components[origin] + factor * part if origin in components else factor * part
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


def propagate(
    function: Callable[..., float],
    kind: Any,
    inputs: Sequence[Measured],
    unit: Any = None,
    many: Callable[..., Any] | None = None,
) -> Measured:
    """Propagation through an ordinary function of bare SI floats, with slopes by central differences over one
    standard uncertainty (JCGM 100:2008, 5.1.3 note 2); one-sided where the function ends (the edge of a table) within
    one uncertainty; what is exact is not moved at all. many: the same function of arrays, not a number where it has no
    value: all in one call."""
    centre = [float(term.si) for term in inputs]
    points = [centre]
    uncertain = [i for i, term in enumerate(inputs) if float(term.standard_si) > 0]
    for i in uncertain:
        step = max(float(inputs[i].standard_si), abs(centre[i]) * 1e-9)  # never lost in the value's own last digits
        points += [[*centre[:i], centre[i] + way * step, *centre[i + 1 :]] for way in (-1, 1)]
    if many is not None:
        columns = (np.array(column) for column in zip(*points, strict=True))
        values = [float(one) for one in np.broadcast_to(many(*columns), len(points))]
    if many is None or not math.isfinite(values[0]):
        values = [function(*centre), *(_value_or_none(function, point) for point in points[1:])]
    slopes = [0.0] * len(inputs)
    for row, i in enumerate(uncertain):
        ends = [
            (points[k][i], values[k]) if math.isfinite(values[k]) else (centre[i], values[0])
            for k in (2 * row + 1, 2 * row + 2)
        ]
        (x0, y0), (x1, y1) = ends
        if x0 == x1:
            raise QuantityError("the function has no value beside this point, so its uncertainty cannot be found")
        slopes[i] = (y1 - y0) / (x1 - x0)
    return combine(values[0], kind, inputs, slopes, unit)


def _value_or_none(function: Callable[..., float], point: Sequence[float]) -> float:
    """The function's value there; not a number where it has none."""
    try:
        return float(function(*point))
    except (ValueError, ArithmeticError):
        return math.nan


def propagate_together(
    function: Callable[..., Mapping[str, Any]],
    kinds: Mapping[str, Any],
    inputs: Sequence[Measured],
) -> dict[str, Measured]:
    """Several results of one function of bare SI arrays, with their uncertainties, from a single call.

    The function gets an array for each input: its value first, then every uncertain one a standard uncertainty up and
    down. Slopes as in `propagate`; where one side has no value the other stands for both. A result without a value (not
    a number) is left out.

    Arguments: function, gives arrays by name; kinds, of the results by the same names; inputs.
    """
    uncertain = [i for i, term in enumerate(inputs) if float(term.standard_si) > 0]
    columns = np.tile([float(term.si) for term in inputs], (2 * len(uncertain) + 1, 1))
    for row, i in enumerate(uncertain):
        columns[2 * row + 1, i] += float(inputs[i].standard_si)
        columns[2 * row + 2, i] -= float(inputs[i].standard_si)
    found = {}
    for name, given in function(*columns.T).items():
        values = np.broadcast_to(np.asarray(given, dtype=float), columns.shape[:1]).tolist()
        if not math.isfinite(values[0]):
            continue
        slopes = []
        for row, i in enumerate(uncertain):
            up, down = values[2 * row + 1], values[2 * row + 2]
            sides = [(side - values[0]) * sign for side, sign in ((up, 1), (down, -1)) if math.isfinite(side)]
            if not sides:
                raise QuantityError(f"{name} has no value beside this point, so its uncertainty cannot be found")
            slopes.append(sum(sides) / len(sides) / float(inputs[i].standard_si))
        found[name] = combine(values[0], kinds[name], [inputs[i] for i in uncertain], slopes)
    return found


def recently(most: int) -> Callable[[Callable[..., tuple[Any, ...]]], Callable[..., tuple[Any, ...]]]:
    """Keeps the last results of a function that tells nothing but what its arguments come to: `Measured` by their
    figures, whose origins are put into the result anew, and what else can be compared. It knows no label of theirs.

    most: so many are kept. The function gives a tuple.
    """

    def keeping(function: Callable[..., tuple[Any, ...]]) -> Callable[..., tuple[Any, ...]]:
        kept = Recent[tuple[Any, ...]](most)

        @functools.wraps(function)
        def asked(*given: Any) -> tuple[Any, ...]:
            origins = [origin for one in given if isinstance(one, Measured) for origin in one.components]
            number = {origin: i for i, origin in enumerate(dict.fromkeys(origins), 1)}
            known = list(number)

            def work() -> tuple[Any, ...]:
                return function(*(_renamed(one, {of: Origin("", i) for of, i in number.items()}) for one in given))

            key = tuple(_figures_of(one, number) if isinstance(one, Measured) else one for one in given)
            back = {Origin("", i): of for i, of in enumerate(known, 1)}
            return tuple(_renamed(one, back) for one in kept.get(key, work))

        return asked

    return keeping


def _figures_of(one: Measured, number: Mapping[Origin, int]) -> tuple[Any, ...]:
    parts = one.components
    return exactly(one.si, *parts.values()), tuple(number[origin] for origin in parts), one.kind, one.unit


def _renamed(one: Any, names: Mapping[Origin, Origin]) -> Any:
    if not isinstance(one, Measured):
        return one
    return Measured(
        one.si, one.kind, {names.get(origin, origin): part for origin, part in one.components.items()}, one.unit
    )


def coverage_factor(degrees_of_freedom: int) -> float:
    """Student's t that covers 95.45 %, both sides: the factor that replaces k = 2 where few readings were taken.

    Source: JCGM 100:2008, G.3 and Table G.2, column 95.45 %.
    Arguments: degrees_of_freedom, readings less what was worked out from them, 1 or more.
    Returns a plain number, 2 or more. Raises `QuantityError` for fewer than one degree of freedom.

    >>> [round(coverage_factor(n), 2) for n in (1, 2, 4, 9)]
    [13.97, 4.53, 2.87, 2.32]
    """
    if degrees_of_freedom < 1:
        raise QuantityError(f"degrees_of_freedom: needs 1 or more, got {degrees_of_freedom}. Take another reading.")
    if degrees_of_freedom <= len(_STUDENT) and degrees_of_freedom == int(degrees_of_freedom):
        return _STUDENT[int(degrees_of_freedom) - 1]
    from scipy.special import stdtrit

    return float(stdtrit(degrees_of_freedom, 0.9772498680518208))  # the normal probability below +2 sigma


def _widened(scatter: float, count: int) -> float:
    """The standard uncertainty by scatter, widened by Student's t over 2 (JCGM 100:2008, G.3); of two it is not."""
    return scatter * coverage_factor(count - 1) / COVERAGE if count > 2 else scatter


def mean_of(readings: Sequence[Measured]) -> Measured:
    """The mean of repeated readings of one thing, each with its own stated uncertainty.

    Each reading's own uncertainty is kept, and what several of them share (a reference read once) always. Where
    repeats scatter more than their own uncertainties say, the standard deviation of the mean s/sqrt(n) (JCGM 100:2008,
    4.2.3), widened by Student's t over 2 for three readings or more (G.3), becomes an origin "scatter of repeats" in
    place of the smaller own part, so that neither is counted twice. Of two readings it is half their difference, not
    widened: take a third. For raw repeats of an instrument see `rotorkit.rigging.repeats`.
    """
    if not readings:
        raise QuantityError("a mean needs at least one reading")
    count = len(readings)
    strange = next((r for r in readings if not (isinstance(r, Measured) and r.kind.alike(readings[0].kind))), None)
    if strange is not None:
        what = strange.kind.name if isinstance(strange, Measured) else f"a {type(strange).__name__}"
        raise QuantityError(f"a mean needs readings of one kind, got {what} among them")
    mean = _linear([(1.0 / count, reading) for reading in readings])
    if count < 2:
        return mean
    values = [float(reading.si) for reading in readings]
    scatter = math.sqrt(sum((v - float(mean.si)) ** 2 for v in values) / (count - 1) / count)
    stands_in = Counter(origin for reading in readings for origin in reading.components)
    own = {o: part for o, part in mean.components.items() if o.number and stands_in[o] == 1}
    own_size = math.sqrt(sum(float(part) ** 2 for part in own.values()))
    if scatter <= own_size:
        return mean
    components = {o: part for o, part in mean.components.items() if o not in own}
    widened = _widened(scatter, count)
    components[Origin("scatter of repeats", next(_counter))] = widened
    return Measured(mean.si, mean.kind, components, mean.unit)


def combined_by_uncertainty(figures: Sequence[Measured], same_error: Sequence[bool | str] = ()) -> Measured:
    """One figure from several of the same thing, each worked out whole, each weighted by one over its ± squared.

    What several of them share by its origin stays whole, as in `mean_of`. same_error: of each, whether its uncertainty
    is the first one's error over again, as of two weighings on the same scales with the same arms, whose origins are
    not known any more: such a figure is off as the first one is, in proportion, so that taking it in makes nothing
    surer but what scatters. A word in its place names an error that all with the same word have in common, the first
    of them in full and the others in proportion: two weighings on one set of scales that is not this one's. The scatter
    about the mean, the root of sum w (x - mean)^2 / (n - 1) with weights that add up to one, is an origin of its own:
    beside figures with the same error in full, as nothing else tells their own part; beside others as far as it is more
    than the ± that each has for itself leads to expect, so that the larger stands. For three or more it is widened by
    Student's t over 2 (JCGM 100:2008, G.3); of two it is not: take a third.

    Raises `QuantityError` where there is none, they are of different kinds, or one has no uncertainty and others do.

    Examples
    --------
    801 and 802 lb, each ± 2: half way, ± 2 / root 2; both off alike: ± 2, and half the difference (± 1) beside it.

    >>> from rotorkit.quantities import Mass, say
    >>> one, other = (measured(f"{m} ± 2 lb", Mass, f"weighing {m}") for m in (801, 802))
    >>> say(combined_by_uncertainty([one, other])), say(combined_by_uncertainty([one, other], [True, True]))
    ('801.5 ± 1.4 lb', '801.5 ± 2.2 lb')
    """
    if not figures:
        raise QuantityError("combined_by_uncertainty: needs a figure at least")
    first, count = figures[0], len(figures)
    if any(not one.kind.alike(first.kind) for one in figures):
        raise QuantityError("combined_by_uncertainty: needs figures of one kind")
    spreads = [float(one.standard_si) for one in figures]
    if count == 1:
        return first
    if not all(spreads) and any(spreads):
        raise QuantityError("combined_by_uncertainty: every figure needs its ±, or none")
    parts = [1 / spread**2 if spread else 1.0 for spread in spreads]
    weights = [part / sum(parts) for part in parts]
    alike = [False, *same_error[1:], *[False] * count][:count]
    first_of: dict[bool | str, int] = {True: 0}
    terms, shared = list(figures), False
    for i in range(1, count):
        if not alike[i] or (of := first_of.setdefault(alike[i], i)) == i:
            continue
        shared = True
        if spreads[of]:
            share = spreads[i] / spreads[of]
            components = {origin: part * share for origin, part in figures[of].components.items()}
            terms[i] = Measured(figures[i].si, first.kind, components, first.unit)
    mean = _linear(list(zip(weights, terms, strict=True)))
    off = [float(one.si) - float(mean.si) for one in figures]
    scatter = math.sqrt(sum(weight * d**2 for weight, d in zip(weights, off, strict=True)) / (count - 1))
    widened = _widened(scatter, count)
    if shared:
        more = widened
    else:
        stands_in = Counter(origin for one in figures for origin in one.components)
        own = math.sqrt(sum(float(part) ** 2 for origin, part in mean.components.items() if stands_in[origin] == 1))
        more = math.sqrt(max(0.0, widened**2 - own**2))
    if not more:
        return mean
    components = {**mean.components, Origin("scatter of what was combined", next(_counter)): more}
    return Measured(mean.si, mean.kind, components, mean.unit)


def largest_less_smallest(readings: Sequence[Measured]) -> Measured:
    """The spread of several readings: largest less smallest. What all readings share cancels."""
    if len(readings) < 2:
        raise QuantityError("a spread needs at least two readings")
    ordered = sorted(readings, key=lambda reading: float(reading.si))
    return ordered[-1] - ordered[0]
