"""Running a formula's body once with symbols, and compiling what comes out.

What comes out is the body as written: for showing, for computing, for its slopes, and for SymPy where it is asked for.
"""

from __future__ import annotations

import functools
import threading
import types
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from rotorkit.formula.compiling import compiled_as_written, compiled_slopes_as_written, in_pieces
from rotorkit.formula.contract import Contract
from rotorkit.formula.expressions import Expression, PiNumber, Symbol, applied, expression_of, in_sympy, put_in
from rotorkit.formula.functions import MathFunction, Pi
from rotorkit.quantities import Constant


class _Active(threading.local):
    depth: int = 0
    constants: dict[str, Any] | None = None


active = _Active()
"""Whether this thread is tracing: a formula called meanwhile gives its expression in place of a value."""


@dataclass(frozen=True)
class Traced:
    """A formula as it is written, with the letters of its arguments and the constants that it met."""

    written: Expression
    symbols: dict[str, Symbol]
    constants: dict[str, tuple[Symbol, Constant]]

    @functools.cached_property
    def in_sympy(self) -> InSympy:
        """The same for SymPy, which is imported here."""
        import sympy

        letters = [*self.symbols.values(), *(symbol for symbol, _ in self.constants.values())]
        made = {
            letter: sympy.Symbol(letter.name, **({"positive": True} if letter.positive else {"real": True}))
            for letter in letters
        }
        figures = {made[letter]: float(constant) for letter, constant in self.constants.values()}
        arguments = {name: made[letter] for name, letter in self.symbols.items()}
        return InSympy(in_sympy(self.written, made), arguments, figures)


@dataclass(frozen=True)
class InSympy:
    """A formula as SymPy has it, evaluated; its symbol of each argument; the constants' symbols and values."""

    expression: Any
    symbols: dict[str, Any]
    constants: dict[Any, float]


def symbols_for(agreed: Contract) -> dict[str, Symbol]:
    """A letter for each argument: positive where its kind or its bounds say so."""
    made = {}
    for argument in agreed.arguments:
        positive = (argument.kind is not None and argument.kind.minimum is not None) or (
            argument.low is not None and argument.low >= 0
        )
        made[argument.name] = Symbol(argument.name, positive)
    return made


def run_symbolic(function: Callable[..., Any], values: list[Any]) -> Expression:
    """The body's expression for letters, with its constants and functions put in as such."""
    scope = dict(function.__globals__)
    for name in function.__code__.co_names:
        if name in scope:
            scope[name] = _symbolic(scope[name])
    closure = tuple(types.CellType(_symbolic(cell.cell_contents)) for cell in function.__closure__ or ()) or None
    body = types.FunctionType(function.__code__, scope, function.__name__, function.__defaults__, closure)
    body.__kwdefaults__ = function.__kwdefaults__
    return expression_of(body(*values))


def _symbolic(found: Any) -> Any:
    """What stands in a trace for something that a body names: a letter for a constant, a part for a function's call."""
    if isinstance(found, Constant):
        assert active.constants is not None
        # two constants that share a letter, of two formulas put together, stay two
        name = f"constant:{found.letter}:{float(found)!r}:{found.unit}"
        symbol = Symbol(name, positive=found > 0)
        active.constants[name] = (symbol, found)
        return symbol
    if isinstance(found, MathFunction):
        return functools.partial(applied, found.symbolic)
    return PiNumber() if isinstance(found, Pi) else found


def trace(agreed: Contract) -> Traced:
    """A formula's expression."""
    symbols = symbols_for(agreed)
    before = (active.depth, active.constants)
    constants: dict[str, tuple[Symbol, Constant]] = {}
    active.depth, active.constants = active.depth + 1, constants
    try:
        written = run_symbolic(agreed.function, list(symbols.values()))
    except (TypeError, ValueError, AttributeError) as problem:
        raise TypeError(
            f"{agreed.name}: the body of a formula is one return of plain arithmetic on its arguments, constants, the "
            f"functions of rotorkit.formula and other formulas, without if or comparison ({problem})"
        ) from problem
    finally:
        active.depth, active.constants = before
    return Traced(written, symbols, constants)


@dataclass(frozen=True)
class Compiled:
    """A compiled function for floats and its twin for arrays."""

    scalar: Callable[..., Any]
    array: Callable[..., Any]


def compiled(traced: Traced) -> Compiled:
    """The value, compiled from the expression as written."""
    return _both(compiled_as_written, traced)


def compiled_slopes(traced: Traced) -> Compiled:
    """The slope with respect to every argument, as a list, compiled together.

    The slope of an absolute value is one-sided at zero: a difference of zero is no better known than another.
    """
    return _both(compiled_slopes_as_written, traced)


def _both(compile_it: Callable[..., Callable[..., Any]], traced: Traced) -> Compiled:
    ready = put_in(traced.written, {symbol: float(constant) for symbol, constant in traced.constants.values()})
    order = list(traced.symbols.values())
    return Compiled(compile_it(ready, order, array=False), in_pieces(compile_it(ready, order, array=True)))


def compiled_with_constants(traced: Traced) -> Callable[..., float]:
    """The value for scalars, with the constants as further arguments: for the check of dimensions."""
    order = [*traced.symbols.values(), *(symbol for symbol, _ in traced.constants.values())]
    return compiled_as_written(traced.written, order, array=False)
