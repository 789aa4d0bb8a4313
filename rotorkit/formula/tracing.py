"""Running a formula's body once with symbols, and compiling what comes out.

The body is traced twice: as written, with SymPy's automatic evaluation off, for showing; and evaluated, for computing.
"""

from __future__ import annotations

import threading
import types
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from rotorkit.contract import Contract
from rotorkit.formula.functions import MathFunction, Pi
from rotorkit.quantities import Constant


class _Active(threading.local):
    depth: int = 0
    constants: dict[str, Any] | None = None


active = _Active()
"""Whether this thread is tracing: a formula called meanwhile gives its expression in place of a value."""


@dataclass(frozen=True)
class Traced:
    """A formula as expressions: as written and evaluated, with its argument symbols and the constants met on the way."""

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
        found = scope.get(name)
        if isinstance(found, Constant):
            assert active.constants is not None
            letter = found.letter or name
            symbol = sympy.Symbol(f"constant:{letter}", **({"positive": True} if found > 0 else {"real": True}))
            active.constants[symbol.name] = (symbol, found)
            scope[name] = symbol
        elif isinstance(found, MathFunction):
            scope[name] = getattr(sympy, found.symbolic)
        elif isinstance(found, Pi):
            scope[name] = sympy.pi
    body = types.FunctionType(function.__code__, scope, function.__name__, function.__defaults__, function.__closure__)
    return sympy.sympify(body(*values))


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
    finally:
        active.depth, active.constants = before
    return Traced(written, evaluated, symbols, constants)


@dataclass(frozen=True)
class Compiled:
    """The compiled function for scalars and for arrays, taking the arguments then nothing else (constants are in)."""

    scalar: Callable[..., float]
    array: Callable[..., Any]


def compiled(traced: Traced, expressions: Any, with_constants: bool = False) -> Compiled:
    """Compile one expression, or a list, of the traced arguments. `with_constants` makes the constants arguments too."""
    import sympy

    order = list(traced.symbols.values())
    if with_constants:
        order += [symbol for symbol, _ in traced.constants.values()]
        ready = expressions
    else:
        values = {symbol: float(constant) for symbol, constant in traced.constants.values()}
        ready = [e.subs(values) for e in expressions] if isinstance(expressions, list) else expressions.subs(values)
    return Compiled(
        sympy.lambdify(order, ready, modules="math", cse=True),
        sympy.lambdify(order, ready, modules="numpy", cse=True),
    )


def numbers(values: Mapping[str, float], traced: Traced) -> dict[Any, float]:
    """Symbol to value, for the arguments given by name and all constants."""
    found: dict[Any, float] = {traced.symbols[name]: value for name, value in values.items()}
    found |= {symbol: float(constant) for symbol, constant in traced.constants.values()}
    return found
