"""`@formula`: a relation written once. Its value, uncertainty, worked calculation and inverse come from one body."""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Mapping
from typing import Any

from rotorkit.formula import tracing
from rotorkit.formula.contract import Bounds, Contract, si_of
from rotorkit.formula.inverse import solve
from rotorkit.formula.notation import latex_letter
from rotorkit.formula.tabled import TableGiven, is_column
from rotorkit.formula.worked import Heading, Worked, heading_of, work_out
from rotorkit.judging.measured import Measured, combine
from rotorkit.quantities import Kind, QuantityError, from_si, say
from rotorkit.sources import Citation

REGISTERED: list[Formula] = []
"""Every formula made, for the checks that run over all of them."""


class Formula:
    """A relation between quantities, written once as plain arithmetic.

    Call it with text, quantities, readings or `Measured`: the result is a quantity in coherent SI units, or a
    `Measured` where an argument carries an uncertainty. ``.si(...)`` is the bare-float twin; ``.worked(...)`` the
    calculation as a person would write it; ``.solve_for(name, result=..., ...)`` the inverse.
    """

    def __init__(
        self,
        function: Callable[..., Any],
        source: Citation,
        letters: Mapping[str, str],
        result: str,
        valid: Bounds | None,
        shown: Mapping[str, tuple[str, str]] | None,
        title: str | None = None,
    ) -> None:
        functools.update_wrapper(self, function)
        self.name, self.citation = function.__name__, source
        self.title = title or self.name.replace("_", " ").strip().capitalize()
        names = _names(function)
        if set(names) - set(letters) or set(shown or {}) - {*names, "result"} or set(valid or {}) - set(names):
            raise TypeError(f"{self.name}: letters must name {', '.join(names)}; shown and valid nothing besides")
        self.contract = Contract(function, valid)
        self.letters = {name: latex_letter(letter) for name, letter in letters.items()}
        self.result_letter = latex_letter(result)
        self.shown = dict(shown or {})
        REGISTERED.append(self)

    @functools.cached_property
    def kind(self) -> Kind:
        """The kind of the result."""
        if self.contract.result is None:
            raise TypeError(f"{self.name}: the result's annotation names no kind")
        missing = [a.name for a in self.contract.arguments if a.kind is None]
        if missing:
            raise TypeError(f"{self.name}: every argument of a formula needs a kind; {', '.join(missing)} has none")
        return self.contract.result

    @functools.cached_property
    def traced(self) -> tracing.Traced:
        """What its body says, read at first use."""
        return tracing.trace(self.contract)

    @functools.cached_property
    def _compiled(self) -> tracing.Compiled:
        return tracing.compiled(self.traced)

    @functools.cached_property
    def _slopes(self) -> tracing.Compiled:
        return tracing.compiled_slopes(self.traced)

    @functools.cached_property
    def heading(self) -> Heading:
        """What every worked calculation of this formula has in common, written at first use."""
        return heading_of(self)

    @functools.cached_property
    def expression(self) -> Any:
        """The SymPy expression, evaluated, for those who want to go on with it."""
        return self.traced.in_sympy.expression

    def si(self, *args: Any, **kwargs: Any) -> Any:
        """The bare twin: coherent SI floats or arrays in, the same out, nothing checked."""
        if kwargs:
            args = tuple(self.contract.bound(args, kwargs))
        for value in args:
            if type(value) is not float and getattr(value, "shape", None):
                return self._compiled.array(*args)
        return self._compiled.scalar(*args)

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        if tracing.active.depth:
            return tracing.run_symbolic(self.contract.function, self.contract.bound(args, kwargs))
        kind, agreed = self.kind, self.contract
        values = list(args) if not kwargs and len(args) == len(agreed.names) else agreed.bound(args, kwargs)
        try:
            bare, uncertain = agreed.convert(values)
        except TableGiven:
            return agreed.over_columns(self, self.si, values)
        if uncertain:
            return self._propagated(bare, uncertain)
        for value in bare:
            if type(value) is not float:
                return from_si(self._array(bare), kind)
        return from_si(self._scalar(bare), kind)

    def _scalar(self, bare: list[Any]) -> float:
        function = self._compiled.scalar
        try:
            value = function(*bare)
        except (ArithmeticError, ValueError, TypeError) as problem:
            raise QuantityError(self._no_value(bare)) from problem
        if type(value) is not float or not math.isfinite(value):
            raise QuantityError(self._no_value(bare))
        return value

    def _array(self, bare: list[Any]) -> Any:
        import numpy

        function = self._compiled.array
        try:
            with numpy.errstate(all="ignore"):
                value = function(*bare)
                total = float(numpy.sum(value))
        except ValueError:
            shapes = ", ".join(
                f"{a.name} {v.shape}" for a, v in zip(self.contract.arguments, bare, strict=True) if hasattr(v, "shape")
            )
            raise QuantityError(f"{self.name}: the arrays do not fit together: {shapes}") from None
        # the sum is finite only if every element is, and costs one pass
        if not math.isfinite(total) and not numpy.isfinite(value).all():
            bad = numpy.flatnonzero(~numpy.isfinite(value))
            raise QuantityError(
                f"{self.name} has no real value at {bad.size} of {numpy.size(value)} points (the first is {bad[0]})"
            )
        return value

    def _no_value(self, bare: list[Any]) -> str:
        given = ", ".join(
            f"{a.name} = {say(from_si(value, a.kind))}" if a.kind else f"{a.name} = {value}"
            for a, value in zip(self.contract.arguments, bare, strict=True)
        )
        return f"{self.name} has no real value for {given}"

    def _propagated(self, bare: list[Any], uncertain: dict[int, Measured]) -> Measured:
        unit = self.shown.get("result")
        if any(type(value) is not float for value in bare):
            import numpy

            value = self._array(bare)
            with numpy.errstate(all="ignore"):
                slopes = self._slopes.array(*bare)
            good = all(numpy.isfinite(slopes[position]).all() for position in uncertain)
        else:
            value = self._scalar(bare)
            slopes_of = self._slopes.scalar
            try:
                slopes = slopes_of(*bare)
            except (ArithmeticError, ValueError, TypeError):
                slopes = [math.nan] * len(bare)
            good = all(math.isfinite(slopes[position]) for position in uncertain)
        if not good:
            raise QuantityError(
                f"{self.name}: the uncertainty cannot be carried through here, where the result has no finite slope"
            )
        return combine(value, self.kind, list(uncertain.values()), [slopes[i] for i in uncertain], unit)

    def worked(self, *args: Any, system: str | None = None, **kwargs: Any) -> Worked:
        """The worked calculation for scalar arguments: formula, converted inputs, substitution, result.

        The value is worked out at once, the lines when they are first asked for.
        """
        agreed = self.contract
        values = list(args) if not kwargs and len(args) == len(agreed.names) else agreed.bound(args, kwargs)
        if any(type(one) is not Measured and (is_column(one) or getattr(one, "shape", ())) for one in values):
            raise QuantityError(f"{self.name}: a worked calculation takes single values, not arrays")
        bare, uncertain = self.contract.convert(values)
        result = self._propagated(bare, uncertain) if uncertain else Measured(self._scalar(bare), self.kind)
        result = Measured(result.si, self.kind, result.components, self.shown.get("result"), worked=self.title)
        return work_out(self, values, bare, uncertain, result, system)

    def solve_for(self, unknown: str, *, result: Any, between: tuple[Any, Any] | None = None, **known: Any) -> Any:
        """The value of one argument that gives `result`, the others known.

        Arguments: unknown, the argument's name; result, what the formula is to give; between, the two ends of the range
        to look in where several values would do; known, the other arguments by name. Of a `Measured` the value counts.
        Returns a quantity in coherent SI units. Raises `QuantityError` where there is none, or several.
        """
        argument = next((a for a in self.contract.arguments if a.name == unknown), None)
        if argument is None or argument.kind is None:
            raise QuantityError(f"{self.name} has no argument {unknown!r}: they are {', '.join(self.contract.names)}")
        values = self.contract.bound((), known, without=unknown)
        if any(is_column(value) for value in values):
            raise QuantityError(f"{self.name}: solve_for takes single values, not arrays")
        bare, _ = self.contract.convert(values, without=unknown)
        if any(type(value) is not float for value in bare):
            raise QuantityError(f"{self.name}: solve_for takes single values, not arrays")
        names = [name for name in self.contract.names if name != unknown]
        try:
            wanted, _ = si_of(result, self.kind, "result")
        except QuantityError as problem:
            raise QuantityError(f"{self.name}: result {problem}") from None
        try:
            ends = tuple(si_of(end, argument.kind, "between")[0] for end in between) if between else None
        except QuantityError as problem:
            raise QuantityError(f"{self.name}: between {problem}") from None
        found = solve(self, argument, dict(zip(names, bare, strict=True)), float(wanted), ends)
        return from_si(found, argument.kind)

    def _repr_markdown_(self) -> str:
        """Typed alone in a cell of a notebook: the relation set, what each letter stands for, source and range."""
        about = next(iter((self.__doc__ or "").split("\n\n")), "")
        rows = [f"- ${self.letters[a.name]}$: `{a.name}`, {a.kind.bare_name if a.kind else 'a value'}"
                + (f", {a.bounds}" if a.bounds else "") for a in self.contract.arguments]  # fmt: skip
        relation = self.heading.formula.latex
        return "\n\n".join(
            [
                f"**{self.title}**: {' '.join(about.split())}",
                f"$$\n{relation}\n$$",
                "\n".join([f"- ${self.result_letter}$: the result, {self.kind.bare_name}", *rows]),
                f"Source: {self.citation.sentence}",
            ]
        )

    def __repr__(self) -> str:
        return f"<formula {self.name}({', '.join(self.contract.names)})>"


def formula(
    *,
    source: Citation,
    letters: Mapping[str, str],
    result: str,
    valid: Bounds | None = None,
    shown: Mapping[str, tuple[str, str]] | None = None,
    title: str | None = None,
) -> Callable[[Callable[..., Any]], Formula]:
    """Make a function's body, one return of plain arithmetic, a `Formula`.

    Arguments: source, where the relation is published; letters, the textbook letter (LaTeX) of each argument; result,
    the letter of the result (a name of several Latin letters, RH or T_{oge}, is set upright by itself); valid,
    inclusive bounds as text with units, None for open, or a frozenset of the few values there are; a bound may name
    another argument ("outer_diameter", or "< outer_diameter" where it must not be met); shown, the (us,
    metric) units to show an argument or the "result" in, where its kind's own are not apt; title, what its worked
    calculation is headed with, where the function's name in words does not read well.
    """

    def make(function: Callable[..., Any]) -> Formula:
        return Formula(function, source, letters, result, valid, shown, title)

    return make


def _names(function: Callable[..., Any]) -> tuple[str, ...]:
    """The names of a function's arguments, in order."""
    code = function.__code__
    return code.co_varnames[: code.co_argcount + code.co_kwonlyargcount]


def nomenclature(
    *,
    letters: Mapping[str, str],
    valid: Bounds | None = None,
    shown: Mapping[str, tuple[str, str]] | None = None,
) -> Callable[..., Callable[[Callable[..., Any]], Formula]]:
    """`formula` for the relations of one file: what is alike wherever an argument of a name occurs is said once.

    Arguments: letters, valid and shown of all these arguments, as for `formula`. What it gives back is called as
    `formula` is; a relation takes what is said here of its own arguments, and what it says itself stands instead.
    Raises `TypeError` where valid or shown names an argument without a letter here.
    """
    if stray := {*(valid or {}), *(shown or {})} - set(letters):
        raise TypeError(f"nomenclature: there is no letter for {', '.join(sorted(stray))}")
    tables: dict[str, Mapping[str, Any]] = {"letters": letters, "valid": valid or {}, "shown": shown or {}}

    def relation(*, source: Citation, result: str, title: str | None = None, **own: Any) -> Any:
        def make(function: Callable[..., Any]) -> Formula:
            names = _names(function)
            usual = {what: {name: table[name] for name in names if name in table} for what, table in tables.items()}
            said = {what: {**of_file, **own.get(what, {})} for what, of_file in usual.items()}
            return formula(source=source, result=result, title=title, **{**own, **said})(function)

        return make

    return relation
