"""The contract of a public function: its annotations say the kinds, and every bad argument is named in one message.

`contract` makes an ordinary function (one that iterates or looks up) unit-aware: the body works on bare SI floats.
`rotorkit.formula` uses the same `Contract` for relations written once.
"""

from __future__ import annotations

import functools
import inspect
import math
import sys
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, get_args, get_type_hints

import numpy
from numpy import ndarray
from numpy.linalg import LinAlgError

from rotorkit.formula.tabled import TableGiven, is_column, over_columns
from rotorkit.judging.measured import Measured, measured, propagate
from rotorkit.quantities import Kind, QuantityError, Reading, from_si, kind_of, read, required_kind, say
from rotorkit.quantities.bare import held, taken
from rotorkit.quantities.pint_inside import magnitude_of, registry, units_of
from rotorkit.quantities.registry import scales_of

Bounds = Mapping[str, tuple[str | None, str | None] | frozenset[str]]

_NOT_MET = (1.0, 0.0, "not met before")


@dataclass
class Argument:
    """One argument of a contract: its name, its kind (None: passed through untouched) and bounds in SI units.

    only: the SI values that it can have, where these are few. optional: annotated with ``| None``, so that None passes.
    keyword_only: stands after a ``*``. least, most: between these an SI value is good for sure; beyond, it is looked at
    closely. scales: what is known of the kind's units.
    """

    name: str
    kind: Kind | None
    default: Any
    low: float | None = None
    high: float | None = None
    bounds: str = ""
    only: tuple[float, ...] = ()
    optional: bool = False
    keyword_only: bool = False
    least: float = -sys.float_info.max
    most: float = sys.float_info.max
    scales: dict[Any, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Beside:
    """That one argument is bounded by another: the value at `less` is at most, or below, that at `more`. of: the
    argument whose bound it is."""

    less: int
    more: int
    below: bool
    of: int


class Contract:
    """The arguments and the result of one function, as its annotations state them.

    valid: bounds by argument: two texts with units (None where it is open), or a frozenset of the few values there are.
    In place of a text a bound may name another argument, ``"outer_diameter"``, or say that it must not be met:
    ``"< outer_diameter"`` as an upper one, ``"> inner_diameter"`` as a lower one.
    """

    def __init__(
        self,
        function: Callable[..., Any],
        valid: Bounds | None = None,
    ) -> None:
        self.function, self.name = function, function.__name__
        self._valid = dict(valid or {})

    @functools.cached_property
    def arguments(self) -> list[Argument]:
        hints = get_type_hints(self.function, include_extras=True)
        found = []
        for name, parameter in inspect.signature(self.function).parameters.items():
            if parameter.kind in (parameter.VAR_POSITIONAL, parameter.VAR_KEYWORD):
                raise TypeError(f"{self.name}: a contract names every argument; *{name} names none")
            argument = Argument(name, kind_of(hints.get(name)), parameter.default)
            argument.optional = type(None) in get_args(hints.get(name))
            argument.keyword_only = parameter.kind is parameter.KEYWORD_ONLY
            if name in self._valid and argument.kind is not None:
                valid = self._valid[name]
                if isinstance(valid, frozenset):
                    argument.only = tuple(sorted(read(text, argument.kind).si for text in valid))
                    argument.bounds = " or ".join(sorted(valid, key=lambda text: -read(text, argument.kind).si))
                else:
                    low, high = (self._plain_bound(end, side) for side, end in enumerate(valid))
                    argument.low = None if low is None else read(low, argument.kind).si
                    argument.high = None if high is None else read(high, argument.kind).si
                    argument.bounds = bounds_text(low, high)
            if argument.kind is not None:
                lows = [low for low in (argument.low, argument.kind.minimum) if low is not None]
                argument.least = math.inf if argument.only else max([*lows, argument.least])
                argument.most = argument.most if argument.high is None else argument.high
                argument.scales = scales_of(argument.kind)
            found.append(argument)
        unknown = set(self._valid) - {a.name for a in found} - {"result"}
        if unknown:
            raise TypeError(f"{self.name}: valid names no argument: {', '.join(sorted(unknown))}")
        return found

    def _plain_bound(self, end: str | None, side: int) -> str | None:
        """A bound as text with a unit: of one that names another argument, that argument's own."""
        other = None if end is None else self._named(end)
        if other is None:
            return end
        theirs = self._valid.get(other, (None, None))
        return None if isinstance(theirs, frozenset) else self._plain_bound(theirs[side], side)

    def _named(self, end: str) -> str | None:
        """The argument that a bound names."""
        word = end.lstrip("<> ")
        return word if word in inspect.signature(self.function).parameters else None

    @functools.cached_property
    def beside(self) -> tuple[Beside, ...]:
        """The bounds between two arguments."""
        found = []
        for of, argument in enumerate(self.arguments):
            valid = self._valid.get(argument.name)
            for side, end in enumerate(() if valid is None or isinstance(valid, frozenset) else valid):
                other = None if end is None else self._named(end)
                if other is None or end is None:
                    continue
                pair = (of, self.names.index(other))
                less, more = pair if side == 1 else pair[::-1]
                found.append(Beside(less, more, end[0] in "<>", of))
        return tuple(found)

    def beside_problems(self, values: Sequence[Any], given: Sequence[Any]) -> list[tuple[str, str]]:
        """What is wrong between two of the bare SI values, which stand for all arguments in order. given: the same as
        they came, to be said."""
        problems = []
        for one in self.beside:
            less, more = values[one.less], values[one.more]
            if less is None or more is None:
                continue
            try:
                gap = more - less
            except ValueError:  # arrays that do not fit together: the body says so
                continue
            # the same size typed in two units may differ in the last bit
            slack = 1e-12 * float(abs(numpy.max(less)))
            if numpy.min(gap) <= slack if one.below else numpy.min(gap) < -slack:
                problems.append((self.names[one.of], self._beside_words(one, given)))
        return problems

    def _beside_words(self, one: Beside, given: Sequence[Any]) -> str:
        upper = one.of == one.less
        word = ("less than" if one.below else "at most") if upper else "more than" if one.below else "at least"
        other = one.more if upper else one.less
        return f"must be {word} {self.names[other]} ({_shown(given[other])}), got {_shown(given[one.of])}"

    @functools.cached_property
    def names(self) -> tuple[str, ...]:
        return tuple(argument.name for argument in self.arguments)

    @functools.cached_property
    def result(self) -> Kind | None:
        return kind_of(get_type_hints(self.function, include_extras=True).get("return"))

    def bound(self, args: tuple[Any, ...], kwargs: Mapping[str, Any], without: str | None = None) -> list[Any]:
        """The given arguments in order; one message for all that are missing, unknown or given twice."""
        arguments = [a for a in self.arguments if a.name != without]
        problems: list[tuple[str, str]] = []
        in_order = [a.name for a in arguments if not a.keyword_only]
        if len(args) > len(in_order):
            problems.append(("", f"takes {len(in_order)} arguments ({', '.join(in_order)}) in order, got {len(args)}"))
        given = dict(zip(in_order, args, strict=False))
        for name, value in kwargs.items():
            if name not in self.names or name == without:
                problems.append((name, f"is not an argument of {self.name}: they are {', '.join(self.names)}"))
            elif name in given:
                problems.append((name, "was given twice"))
            else:
                given[name] = value
        values: list[Any] = []
        for argument in arguments:
            if argument.name in given:
                values.append(given[argument.name])
            elif argument.default is not inspect.Parameter.empty:
                values.append(argument.default)
            else:
                need = argument.kind.name if argument.kind else "a value"
                example = f", for example '{argument.kind.example}'" if argument.kind else ""
                problems.append((argument.name, f"is missing: needs {need}{example}"))
        if problems:  # then say at once what else is wrong
            for argument in arguments:
                if argument.name in given:
                    try:
                        self._converted(argument, given[argument.name])
                    except TableGiven:
                        continue
                    except ValueError as problem:
                        problems.append((argument.name, str(problem)))
        self.report(problems)
        return values

    def convert(self, values: list[Any], without: str | None = None) -> tuple[list[Any], dict[int, Measured]]:
        """Bare SI values of bound arguments, and by position those with an uncertainty; one message for all bad."""
        problems: list[tuple[str, str]] = []
        out: list[Any] = []
        uncertain: dict[int, Measured] = {}
        arguments = self.arguments if without is None else [a for a in self.arguments if a.name != without]
        own = registry().Quantity
        for position, (argument, value) in enumerate(zip(arguments, values, strict=True)):
            if (
                type(value) is own
            ):  # the short way for a plain quantity of the kind, in a unit met before, within bounds
                factor, shift, why = argument.scales.get(units_of(value), _NOT_MET)
                magnitude = magnitude_of(value)
                if why is None and not shift:
                    if type(magnitude) is float or type(magnitude) is int:
                        si = magnitude * factor
                        if argument.least <= si <= argument.most:
                            out.append(si)
                            continue
                    elif type(magnitude) is ndarray and magnitude.ndim and magnitude.dtype == float and magnitude.size:
                        si = magnitude if factor == 1.0 else magnitude * factor
                        if argument.least <= si.min() and si.max() <= argument.most:
                            out.append(si)
                            continue
            elif (
                type(value) is Measured
                and value.kind is argument.kind
                and type(value.si) is float
                and argument.least <= value.si <= argument.most
            ):
                out.append(value.si)
                if value.components:
                    uncertain[position] = value
                continue
            try:
                si, carried = self._converted(argument, value)
            except ValueError as problem:
                problems.append((argument.name, str(problem)))
                continue
            if carried is not None:
                uncertain[position] = carried
            out.append(si)
        if not problems and without is None and self.beside:
            problems = self.beside_problems(out, values)
        if problems:
            self.report(problems)
        return out, uncertain

    def _converted(self, argument: Argument, value: Any) -> tuple[Any, Measured | None]:
        kind = argument.kind
        if kind is None or (value is None and argument.optional):
            return value, None
        if is_column(value):
            raise TableGiven
        si, carried = _taken(value, kind, argument.name)
        si, least, most = held(si, kind)
        if argument.only and not _all_among(si, argument.only):
            raise QuantityError(f"must be {argument.bounds}, got {_shown(value)}")
        if argument.bounds:
            self._within(argument, least, most, value)
        return si, carried

    def _within(self, argument: Argument, least: float, most: float, given: Any) -> None:
        # a bound typed in one unit and met exactly in another may differ in the last bit
        slack = 1e-12 * max(abs(argument.low or 0), abs(argument.high or 0))
        if (argument.low is not None and least < argument.low - slack) or (
            argument.high is not None and most > argument.high + slack
        ):
            raise QuantityError(f"must be {argument.bounds}, got {_shown(given)}")

    def finite(self, si: Any) -> Any:
        """A result in SI units, where it is a finite number (or array of them); else `QuantityError`."""
        try:
            return held(si, self._unbounded)[0]
        except QuantityError:
            shown = si if isinstance(si, (int, float)) else f"{type(si).__name__} with a value that is not a number"
            raise QuantityError(f"{self.name} has no real value for these arguments (it gave {shown})") from None

    def over_columns(self, call: Callable[..., Any], si: Callable[..., Any], values: list[Any]) -> Any:
        """What the function gives where an argument is a column of a table. call: the function itself; si: its bare
        twin; values: the bound arguments."""
        kinds = [argument.kind for argument in self.arguments]
        return over_columns(self.name, call, si, self.names, kinds, self.result, values)

    @functools.cached_property
    def _unbounded(self) -> Kind:
        """The result's kind without its least value: a margin of weight may be negative."""
        assert self.result is not None
        return replace(self.result, minimum=None)

    def report(self, problems: list[tuple[str, str]]) -> None:
        """Raise one error that names every bad argument."""
        if problems:
            lines = [f"{name} {message}".strip() for name, message in problems]
            text = f"{self.name}: {lines[0]}" if len(lines) == 1 else f"{self.name}:\n  " + "\n  ".join(lines)
            raise QuantityError(text, problems)


def _all_among(si: Any, only: tuple[float, ...]) -> bool:
    if not getattr(si, "shape", ()):
        return si in only
    from numpy import isin

    return bool(isin(si, only).all())


def _shown(given: Any) -> str:
    if isinstance(given, str):
        return given
    return f"{given!s:.60}" if isinstance(given, ndarray) else say(given)


def bounds_text(low: str | None, high: str | None) -> str:
    """Bounds in words, one of which is given at least."""
    if low is not None and high is not None:
        return f"from {low} to {high}"
    return f"{low} or more" if low is not None else f"{high} or less"


@functools.lru_cache(maxsize=4096)
def _text_value(text: str, kind: Kind) -> tuple[float, Reading | None]:
    reading = read(text, kind, by_program=True)
    return reading.si, reading if reading.uncertainty is not None else None


def si_of(value: Any, kind: Any, label: str) -> tuple[Any, Measured | None]:
    """The bare SI value of anything a caller may pass, and the `Measured` where it carries an uncertainty."""
    kind = kind if type(kind) is Kind else required_kind(kind)
    si, carried = _taken(value, kind, label)
    return held(si, kind)[0], carried


def _taken(value: Any, kind: Kind, label: str) -> tuple[Any, Measured | None]:
    if type(value) is Reading and value.kind is kind and value.uncertainty is None:  # the usual one
        return value.si, None
    if isinstance(value, str):
        si, uncertain = _text_value(value, kind)
        return si, measured(uncertain, kind, label) if uncertain is not None else None
    if isinstance(value, Measured):
        if not kind.alike(value.kind):
            raise QuantityError(f"needs {kind.name}, got {value.kind.name} ({say(value)})")
        return value.si, value if value.components else None
    if isinstance(value, Reading) and value.uncertainty is not None and kind.alike(value.kind):
        return value.si, measured(value, kind, label)
    return taken(value, kind), None


def contract(function: Callable[..., Any] | None = None, *, valid: Bounds | None = None, arrays: bool = False) -> Any:
    """Make an ordinary function unit-aware by its annotations. valid: bounds of its arguments, as for `Contract`.
    arrays: that its body takes arrays too, and gives "not a number" where it has no value: all that an uncertainty asks
    for is then worked in one call.

    The body gets bare SI floats (or arrays) and returns one for the annotated kind; arguments without a kind pass
    untouched. The caller passes text with a unit, quantities, readings or `Measured`; with a `Measured` the result is
    one too, with slopes by central differences. ``.si`` is the bare function. A result that is not finite is refused,
    and so are arguments for which the body divides by zero, overflows or meets a singular matrix.
    """
    if function is None:
        return functools.partial(contract, valid=valid, arrays=arrays)
    agreed = Contract(function, valid)

    def run(bare: list[Any]) -> Any:
        named = {a.name: value for a, value in zip(agreed.arguments, bare, strict=True) if a.keyword_only}
        try:
            return function(*bare[: len(bare) - len(named)], **named)
        except (ArithmeticError, LinAlgError) as problem:
            given = ", ".join(
                f"{a.name} = {say(from_si(value, a.kind)) if a.kind and isinstance(value, float) else f'{value!s:.60}'}"
                for a, value in zip(agreed.arguments, bare, strict=True)
            )
            raise QuantityError(f"{agreed.name} has no value for {given}: {problem}") from problem
        except (TypeError, ValueError) as problem:
            many = [i for i, value in enumerate(bare) if getattr(value, "ndim", 0)]
            if isinstance(problem, QuantityError) or not many:
                raise
            if agreed.result is None:
                named_so = " and ".join(agreed.names[i] for i in many)
                raise QuantityError(
                    f"{agreed.name}: needs a single figure for {named_so} here, got an array: call it for each"
                ) from problem
            return one_by_one(bare, many)

    def one_by_one(bare: list[Any], many: list[int]) -> Any:
        """A body that takes single figures only, called for each row of the arrays."""
        columns = numpy.broadcast_arrays(*(bare[i] for i in many))
        found = []
        for row in zip(*(column.ravel().tolist() for column in columns), strict=True):
            each = list(bare)
            for i, value in zip(many, row, strict=True):
                each[i] = value
            found.append(run(each))
        return numpy.array(found, dtype=float).reshape(columns[0].shape)

    @functools.wraps(function)
    def checked(*args: Any, **kwargs: Any) -> Any:
        values = agreed.bound(args, kwargs)
        try:
            bare, uncertain = agreed.convert(values)
        except TableGiven:
            return agreed.over_columns(checked, function, values)
        if agreed.result is None:
            return run(bare)
        if not uncertain:
            return from_si(agreed.finite(run(bare)), agreed.result)
        positions = list(uncertain)
        if any(getattr(uncertain[position].si, "shape", ()) for position in positions):
            raise QuantityError(f"{agreed.name}: takes single values where an uncertainty is to be carried, not arrays")

        def of_uncertain(*points: float) -> float:
            at = list(bare)
            for position, point in zip(positions, points, strict=True):
                at[position] = point
            return float(agreed.finite(run(at)))

        def of_many(*points: Any) -> Any:
            at = list(bare)
            for position, point in zip(positions, points, strict=True):
                at[position] = point
            return run(at)

        return propagate(
            of_uncertain, agreed.result, [uncertain[p] for p in positions], many=of_many if arrays else None
        )

    checked.si = function  # type: ignore[attr-defined]
    checked.contract = agreed  # type: ignore[attr-defined]
    return checked
