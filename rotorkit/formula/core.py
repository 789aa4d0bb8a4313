"""`@formula`: a relation written once. Its value, uncertainty, worked calculation and inverse come from one body."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Mapping
from typing import Any

from rotorkit.contract import Contract, si_of
from rotorkit.formula import tracing
from rotorkit.formula.inverse import solve
from rotorkit.formula.worked import Worked, work_out
from rotorkit.measured import Measured, combine
from rotorkit.quantities import Kind, QuantityError, from_si, kind_of, say
from rotorkit.sources import Citation

Bounds = Mapping[str, tuple[str | None, str | None]]
REGISTERED: list[Formula] = []
"""Every formula made, for the checks that run over all of them."""


class Formula:
    """A relation between quantities, written once as plain arithmetic.

    Call it with text, quantities, readings or `Measured`: the result is a quantity in coherent SI units, or a `Measured`
    where an argument carries an uncertainty. ``.si(...)`` is the bare-float twin; ``.worked(...)`` the calculation as a
    person would write it; ``.solve_for(name, result=..., ...)`` the inverse.
    """

    def __init__(
        self,
        function: Callable[..., Any],
        source: Citation,
        letters: Mapping[str, str],
        result: str,
        valid: Bounds | None,
        shown: Mapping[str, tuple[str, str]] | None,
    ) -> None:
        functools.update_wrapper(self, function)
        self.name, self.citation = function.__name__, source
        self.contract = Contract(function, valid)
        self.letters, self.result_letter = dict(letters), result
        self.shown = dict(shown or {})
        REGISTERED.append(self)

    @functools.cached_property
    def kind(self) -> Kind:
        """The kind of the result."""
        if self.contract.result is None:
            raise TypeError(f"{self.name}: the result's annotation names no kind")
        missing = [a.name for a in self.contract.arguments if a.name not in self.letters]
        if missing or any(a.kind is None for a in self.contract.arguments):
            raise TypeError(f"{self.name}: every argument needs a kind and a letter; check {', '.join(missing)}")
        return self.contract.result

    @functools.cached_property
    def traced(self) -> tracing.Traced:
        """The expressions (SymPy is imported here, at first use)."""
        return tracing.trace(self.contract)

    @functools.cached_property
    def _compiled(self) -> tracing.Compiled:
        return tracing.compiled(self.traced, self.traced.evaluated)

    @functools.cached_property
    def _with_slopes(self) -> tracing.Compiled:
        slopes = [self.traced.evaluated.diff(symbol) for symbol in self.traced.symbols.values()]
        return tracing.compiled(self.traced, [self.traced.evaluated, *slopes])

    @functools.cached_property
    def expression(self) -> Any:
        """The SymPy expression, evaluated, for those who want to go on with it."""
        return self.traced.evaluated

    def si(self, *args: Any, **kwargs: Any) -> Any:
        """The bare twin: coherent SI floats or arrays in, the same out, nothing checked."""
        if kwargs:
            args = tuple(self.contract.bound(args, kwargs))
        if any(hasattr(value, "dtype") and value.shape for value in args):
            return self._compiled.array(*args)
        return self._compiled.scalar(*args)

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        if tracing.active.depth:
            return tracing.run_symbolic(self.contract.function, self.contract.bound(args, kwargs))
        kind, agreed = self.kind, self.contract
        values = list(args) if not kwargs and len(args) == len(agreed.names) else agreed.bound(args, kwargs)
        bare, uncertain = agreed.convert(values)
        if uncertain:
            return self._propagated(bare, uncertain)
        for value in bare:
            if type(value) is not float:
                return from_si(self._array(self._compiled.array, bare), kind)
        return from_si(self._scalar(self._compiled.scalar, bare), kind)

    def _scalar(self, function: Callable[..., Any], bare: list[Any]) -> Any:
        try:
            value = function(*bare)
        except (ValueError, ZeroDivisionError, OverflowError, TypeError) as problem:
            raise QuantityError(self._no_value(bare)) from problem
        first = value[0] if isinstance(value, list) else value
        if isinstance(first, complex) or not math.isfinite(first):
            raise QuantityError(self._no_value(bare))
        return value

    def _array(self, function: Callable[..., Any], bare: list[Any]) -> Any:
        import numpy

        with numpy.errstate(all="ignore"):
            value = function(*bare)
        first = numpy.asarray(value[0] if isinstance(value, list) else value)
        if first.size and not math.isfinite(float(first.sum())) and not numpy.isfinite(first).all():
            bad = int((~numpy.isfinite(first)).sum())
            raise QuantityError(f"{self.name} has no real value at {bad} of {first.size} points")
        return value

    def _no_value(self, bare: list[Any]) -> str:
        given = ", ".join(
            f"{a.name} = {say(from_si(value, a.kind))}" for a, value in zip(self.contract.arguments, bare, strict=True)
        )
        return f"{self.name} has no real value for {given}"

    def _propagated(self, bare: list[Any], uncertain: dict[int, Measured]) -> Measured:
        arrays = any(getattr(value, "shape", ()) for value in bare)
        slopes_of = self._with_slopes.array if arrays else self._with_slopes.scalar
        value, *slopes = (self._array if arrays else self._scalar)(slopes_of, bare)
        inputs = list(uncertain.values())
        unit = self.shown.get("result")
        return combine(value, self.kind, inputs, [slopes[position] for position in uncertain], unit)

    def worked(self, *args: Any, system: str | None = None, **kwargs: Any) -> Worked:
        """The worked calculation for scalar arguments: formula, converted inputs, substitution, result."""
        values = self.contract.bound(args, kwargs)
        bare, uncertain = self.contract.convert(values)
        if any(getattr(value, "shape", ()) for value in bare):
            raise QuantityError(f"{self.name}: a worked calculation takes single values, not arrays")
        result = (
            self._propagated(bare, uncertain)
            if uncertain
            else Measured(self._scalar(self._compiled.scalar, bare), self.kind)
        )
        return work_out(self, values, bare, result.shown_in(self.shown.get("result")), system)

    def solve_for(self, unknown: str, *, result: Any, between: tuple[Any, Any] | None = None, **known: Any) -> Any:
        """The value of one argument that gives `result`, the others known.

        Arguments: unknown, the argument's name; result, what the formula is to give; between, the two ends of the range
        to look in where several values would do; known, the other arguments by name.
        Returns a quantity in coherent SI units. Raises `QuantityError` where there is none, or several.
        """
        argument = next((a for a in self.contract.arguments if a.name == unknown), None)
        if argument is None or argument.kind is None:
            raise QuantityError(f"{self.name} has no argument {unknown!r}: they are {', '.join(self.contract.names)}")
        values = self.contract.bound((), known, without=unknown)
        bare, _ = self.contract.convert(values, without=unknown)
        names = [name for name in self.contract.names if name != unknown]
        try:
            wanted, _ = si_of(result, self.kind, "result")
            ends = tuple(si_of(end, argument.kind, "between")[0] for end in between) if between else None
        except QuantityError as problem:
            raise QuantityError(f"{self.name}: result {problem}") from None
        found = solve(self, argument, dict(zip(names, bare, strict=True)), float(wanted), ends)
        return from_si(found, argument.kind)

    def __repr__(self) -> str:
        return f"<formula {self.name}({', '.join(self.contract.names)})>"


def formula(
    *,
    source: Citation,
    letters: Mapping[str, str],
    result: str,
    valid: Bounds | None = None,
    shown: Mapping[str, tuple[str, str]] | None = None,
) -> Callable[[Callable[..., Any]], Formula]:
    """Make a function's body, one return of plain arithmetic, a `Formula`.

    Arguments: source, where the relation is published; letters, the textbook letter (LaTeX) of each argument; result,
    the letter of the result; valid, inclusive bounds as text with units, None for open; shown, the (us, metric) units
    to show an argument or the "result" in, where its kind's own are not apt.
    """

    def make(function: Callable[..., Any]) -> Formula:
        return Formula(function, source, letters, result, valid, shown)

    return make


__all__ = ["REGISTERED", "Formula", "formula", "kind_of"]
