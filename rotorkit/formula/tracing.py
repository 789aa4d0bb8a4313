"""Running a formula's body once with symbols, and compiling what comes out.

The body is traced twice: as written, with SymPy's automatic evaluation off, for showing; and evaluated, for computing.
"""

from __future__ import annotations

import threading
import types
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from rotorkit.formula.compiling import NotCompiled, compiled_as_written, compiled_slopes_as_written, in_pieces
from rotorkit.formula.contract import Contract
from rotorkit.formula.functions import MathFunction, Pi
from rotorkit.quantities import Constant


class _Active(threading.local):
    depth: int = 0
    constants: dict[str, Any] | None = None


active = _Active()
"""Whether this thread is tracing: a formula called meanwhile gives its expression in place of a value."""


@dataclass(frozen=True)
class Traced:
    """A formula as expressions, as written and evaluated, with its argument symbols and the constants it met."""

    written: Any
    evaluated: Any
    symbols: dict[str, Any]
    constants: dict[str, tuple[Any, Constant]]


def symbols_for(agreed: Contract) -> dict[str, Any]:
    """A symbol for each argument: positive where its kind or its bounds say so."""
    import sympy

    made = {}
    for argument in agreed.arguments:
        positive = (argument.kind is not None and argument.kind.minimum is not None) or (
            argument.low is not None and argument.low >= 0
        )
        made[argument.name] = sympy.Symbol(argument.name, **({"positive": True} if positive else {"real": True}))
    return made


def run_symbolic(function: Callable[..., Any], values: list[Any]) -> Any:
    """The body's expression for symbolic values, with its constants and functions put in as symbols."""
    import sympy

    scope = dict(function.__globals__)
    for name in function.__code__.co_names:
        if name in scope:
            scope[name] = _symbolic(scope[name])
    closure = tuple(types.CellType(_symbolic(cell.cell_contents)) for cell in function.__closure__ or ()) or None
    body = types.FunctionType(function.__code__, scope, function.__name__, function.__defaults__, closure)
    return sympy.sympify(body(*values))


def _symbolic(found: Any) -> Any:
    """What stands in a trace for something that a body names: a symbol for a constant, SymPy's twin of a function."""
    import sympy

    if isinstance(found, Constant):
        assert active.constants is not None
        # two constants that share a letter, of two formulas put together, stay two
        name = f"constant:{found.letter}:{float(found)!r}:{found.unit}"
        symbol = sympy.Symbol(name, **({"positive": True} if found > 0 else {"real": True}))
        active.constants[name] = (symbol, found)
        return symbol
    if isinstance(found, MathFunction):
        return getattr(sympy, found.symbolic)
    return sympy.pi if isinstance(found, Pi) else found


def trace(agreed: Contract) -> Traced:
    """Both expressions of a formula."""
    import sympy

    symbols = symbols_for(agreed)
    arguments = list(symbols.values())
    before = (active.depth, active.constants)
    constants: dict[str, tuple[Any, Constant]] = {}
    active.depth, active.constants = active.depth + 1, constants
    try:
        with sympy.evaluate(False):
            written = run_symbolic(agreed.function, arguments)
        evaluated = run_symbolic(agreed.function, arguments)
    except (TypeError, ValueError) as problem:
        raise TypeError(
            f"{agreed.name}: the body of a formula is one return of plain arithmetic on its arguments, constants, the "
            f"functions of rotorkit.formula and other formulas, without if or comparison ({problem})"
        ) from problem
    finally:
        active.depth, active.constants = before
    return Traced(written, evaluated, symbols, constants)


@dataclass(frozen=True)
class Compiled:
    """A compiled function for floats and its twin for arrays."""

    scalar: Callable[..., Any]
    array: Callable[..., Any]


def compiled(traced: Traced) -> Compiled:
    """The value, compiled from the expression as written."""
    import sympy

    with sympy.evaluate(False):
        ready = traced.written.xreplace({symbol: sympy.Float(float(c)) for symbol, c in traced.constants.values()})
    order = list(traced.symbols.values())
    try:
        array = in_pieces(compiled_as_written(ready, order, array=True))
        return Compiled(compiled_as_written(ready, order, array=False), array)
    except NotCompiled:
        return _rewritten(order, _with_constants(traced, traced.evaluated))


def compiled_slopes(traced: Traced) -> Compiled:
    """The slope with respect to every argument, as a list, compiled together.

    The slope of an absolute value is one-sided at nought: a difference of nought is no better known than another.
    """
    import sympy

    order = list(traced.symbols.values())
    ready = traced.evaluated.xreplace({symbol: sympy.Float(float(c)) for symbol, c in traced.constants.values()})
    try:
        array = in_pieces(compiled_slopes_as_written(ready, order, array=True))
        return Compiled(compiled_slopes_as_written(ready, order, array=False), array)
    except NotCompiled:
        pass
    slopes = [
        traced.evaluated.diff(symbol).replace(sympy.sign, lambda x: sympy.Piecewise((-1, x < 0), (1, True)))
        for symbol in traced.symbols.values()
    ]
    return _rewritten(order, [_with_constants(traced, slope) for slope in slopes])


def compiled_with_constants(traced: Traced) -> Callable[..., float]:
    """The value for scalars, with the constants as further arguments: for the check of dimensions."""
    order = [*traced.symbols.values(), *(symbol for symbol, _ in traced.constants.values())]
    return _rewritten(order, traced.evaluated).scalar


def _with_constants(traced: Traced, expression: Any) -> Any:
    return expression.subs({symbol: float(constant) for symbol, constant in traced.constants.values()})


def _rewritten(order: list[Any], expressions: Any) -> Compiled:
    import sympy

    return Compiled(
        sympy.lambdify(order, expressions, modules="math", cse=True),
        in_pieces(sympy.lambdify(order, expressions, modules="numpy", cse=True)),
    )


def numbers(values: Mapping[str, float], traced: Traced) -> dict[Any, float]:
    """Symbol to value, for the arguments given by name and all constants."""
    found: dict[Any, float] = {traced.symbols[name]: value for name, value in values.items()}
    found |= {symbol: float(constant) for symbol, constant in traced.constants.values()}
    return found
