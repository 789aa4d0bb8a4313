"""The contract of a public function: its annotations say the kinds, and every bad argument is named in one message.

`contract` makes an ordinary function (one that iterates or looks up) unit-aware: the body works on bare SI floats.
`rotorkit.formula` uses the same `Contract` for relations written once.
"""

from __future__ import annotations

import functools
import inspect
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, get_type_hints

from rotorkit.measured import Measured, measured, propagate
from rotorkit.quantities import Kind, QuantityError, Reading, from_si, kind_of, read, say, si_value

__all__ = ["Contract", "contract"]


@dataclass
class Argument:
    """One argument of a contract: its name, its kind (None: passed through untouched) and bounds in SI units."""

    name: str
    kind: Kind | None
    default: Any
    low: float | None = None
    high: float | None = None
    bounds: str = ""
    cache: dict[str, Any] = field(default_factory=dict)


class Contract:
    """The arguments and the result of one function, as its annotations state them."""

    def __init__(
        self, function: Callable[..., Any], valid: Mapping[str, tuple[str | None, str | None]] | None = None
    ) -> None:
        self.function, self.name = function, function.__name__
        self._valid = dict(valid or {})

    @functools.cached_property
    def arguments(self) -> list[Argument]:
        hints = get_type_hints(self.function, include_extras=True)
        found = []
        for name, parameter in inspect.signature(self.function).parameters.items():
            argument = Argument(name, kind_of(hints.get(name)), parameter.default)
            if name in self._valid and argument.kind is not None:
                low, high = self._valid[name]
                argument.low = None if low is None else read(low, argument.kind).si
                argument.high = None if high is None else read(high, argument.kind).si
                argument.bounds = _bounds_text(low, high)
            found.append(argument)
        unknown = set(self._valid) - {a.name for a in found} - {"result"}
        if unknown:
            raise TypeError(f"{self.name}: valid names no argument: {', '.join(sorted(unknown))}")
        return found

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
        if len(args) > len(arguments):
            problems.append(("", f"takes {len(arguments)} arguments ({', '.join(self.names)}), got {len(args)}"))
        given = dict(zip((a.name for a in arguments), args, strict=False))
        for name, value in kwargs.items():
            if name not in self.names or name == without:
                problems.append((name, f"is not an argument of {self.name}: they are {', '.join(self.names)}"))
            elif name in given:
                problems.append((name, "was given twice"))
            else:
                given[name] = value
        values = []
        for argument in arguments:
            if argument.name in given:
                values.append(given[argument.name])
            elif argument.default is not inspect.Parameter.empty:
                values.append(argument.default)
            else:
                need = argument.kind.name if argument.kind else "a value"
                example = f", for example '{argument.kind.example}'" if argument.kind else ""
                problems.append((argument.name, f"is missing: needs {need}{example}"))
        self.report(problems)
        return values

    def convert(self, values: list[Any], without: str | None = None) -> tuple[list[Any], dict[int, Measured]]:
        """Bare SI values of bound arguments, and those that carry an uncertainty by position; one message for all bad."""
        problems: list[tuple[str, str]] = []
        out: list[Any] = []
        uncertain: dict[int, Measured] = {}
        arguments = self.arguments if without is None else [a for a in self.arguments if a.name != without]
        for position, (argument, value) in enumerate(zip(arguments, values, strict=True)):
            kind = argument.kind
            if kind is None:
                out.append(value)
                continue
            try:
                si, carried = si_of(value, kind, argument.name)
                if argument.bounds:
                    self._within(argument, si, value)
            except (QuantityError, ValueError) as problem:
                problems.append((argument.name, str(problem)))
                out.append(None)
                continue
            if carried is not None:
                uncertain[position] = carried
            out.append(si)
        if problems:
            self.report(problems)
        return out, uncertain

    def _within(self, argument: Argument, si: Any, given: Any) -> None:
        least, most = (si, si) if isinstance(si, float) else (si.min(), si.max())
        # a bound typed in one unit and met exactly in another may differ in the last bit
        slack = 1e-12 * max(abs(argument.low or 0), abs(argument.high or 0))
        if (argument.low is not None and least < argument.low - slack) or (
            argument.high is not None and most > argument.high + slack
        ):
            shown = given if isinstance(given, str) else say(given)
            raise QuantityError(f"must be {argument.bounds}, got {shown}")

    def report(self, problems: list[tuple[str, str]]) -> None:
        """Raise one error that names every bad argument."""
        if problems:
            lines = [f"{name} {message}".strip() for name, message in problems]
            text = f"{self.name}: {lines[0]}" if len(lines) == 1 else f"{self.name}:\n  " + "\n  ".join(lines)
            raise QuantityError(text, problems)


def _bounds_text(low: str | None, high: str | None) -> str:
    if low is not None and high is not None:
        return f"from {low} to {high}"
    return f"{low} or more" if low is not None else f"{high} or less"


@functools.lru_cache(maxsize=4096)
def _text_value(text: str, kind: Kind) -> tuple[float, Reading | None]:
    reading = read(text, kind)
    return reading.si, reading if reading.uncertainty is not None else None


def si_of(value: Any, kind: Kind, label: str) -> tuple[Any, Measured | None]:
    """The bare SI value of anything a caller may pass, and the `Measured` where it carries an uncertainty."""
    carried = None
    if isinstance(value, str):
        si, uncertain = _text_value(value, kind)
        return si, measured(uncertain, kind, label) if uncertain is not None else None
    if isinstance(value, Measured):
        if value.kind != kind and value.kind.si != kind.si:
            raise QuantityError(f"needs {kind.name}, got {value.kind.name} ({say(value)})")
        si, carried = value.si, value if value.components else None
    elif isinstance(value, Reading):
        if value.kind != kind:
            si = si_value(value.value, kind)
        else:
            si = value.si
        carried = measured(value, kind, label) if value.uncertainty is not None else None
    elif hasattr(value, "_units"):
        try:
            si = si_value(value, kind)
        except ValueError as why:
            raise QuantityError(
                f"needs {kind.name}, got {value!s} ({why}): type for example '{kind.example}'"
            ) from None
    elif isinstance(value, bool) or value is None:
        raise QuantityError(f"needs {kind.name}, got {value!r}: type for example '{kind.example}'")
    elif kind.si == "" and _is_number(value):
        si = value
    elif _is_number(value):
        shown = f"the bare number {value!r}" if isinstance(value, (int, float)) else "bare numbers"
        raise QuantityError(f"needs {kind.name} with its unit, got {shown}: type for example '{kind.example}'")
    else:
        raise QuantityError(f"needs {kind.name}, got {type(value).__name__}: type for example '{kind.example}'")
    return _finite(si, kind), carried


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) or (hasattr(value, "dtype") and value.dtype.kind in "fiu")


def _finite(si: Any, kind: Kind) -> Any:
    if type(si) is float or isinstance(si, (int, float)):
        if not math.isfinite(si):
            raise QuantityError(f"needs {kind.name}, got {si}, which is not a number")
        if kind.minimum is not None and si < kind.minimum:
            raise QuantityError(f"needs {kind.name} of zero or more, got {say(from_si(si, kind))}")
        return float(si)
    import numpy

    array = numpy.asarray(si)
    if array.dtype.kind not in "fiu":
        raise QuantityError(f"needs numbers, got an array of {array.dtype}")
    array = array.astype(float, copy=False)
    # the sum is finite only if every element is, and costs one pass
    if array.size and not math.isfinite(float(array.sum())) and not bool(numpy.isfinite(array).all()):
        raise QuantityError(f"needs {kind.name}, got an array that holds a value which is not a number")
    if kind.minimum is not None and array.size and array.min() < kind.minimum:
        raise QuantityError(f"needs {kind.name} of zero or more, got an array with {array.min():g} {kind.si}")
    return array


def contract(function: Callable[..., Any]) -> Any:
    """Make an ordinary function unit-aware by its annotations.

    The body gets bare SI floats (or arrays) and returns one for the annotated kind; arguments without a kind pass
    untouched. The caller passes text with a unit, quantities, readings or `Measured`; with a `Measured` the result is
    one too, with slopes by central differences. ``.si`` is the bare function.
    """
    agreed = Contract(function)

    @functools.wraps(function)
    def checked(*args: Any, **kwargs: Any) -> Any:
        values = agreed.bound(args, kwargs)
        bare, uncertain = agreed.convert(values)
        if agreed.result is None:
            return function(*bare)
        if not uncertain:
            return from_si(function(*bare), agreed.result)
        positions = list(uncertain)

        def of_uncertain(*points: float) -> float:
            at = list(bare)
            for position, point in zip(positions, points, strict=True):
                at[position] = point
            return float(function(*at))

        return propagate(of_uncertain, agreed.result, [uncertain[p] for p in positions])

    checked.si = function  # type: ignore[attr-defined]
    checked.contract = agreed  # type: ignore[attr-defined]
    return checked
