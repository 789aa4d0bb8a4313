"""From an expression to a function: the arithmetic as its author wrote it, with nothing worked out twice.

SymPy's own way of rewriting an expression is good for showing and for slopes, and slow on arrays: it turns
``T * sqrt(T / (2 * rho * A))`` into powers of three halves. Here the written form is kept, constants are folded, equal
parts are computed once, and small whole powers are products.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

FUNCTIONS = {  # SymPy's name: (in math, in NumPy)
    "sin": ("sin", "sin"),
    "cos": ("cos", "cos"),
    "tan": ("tan", "tan"),
    "asin": ("asin", "arcsin"),
    "acos": ("acos", "arccos"),
    "atan": ("atan", "arctan"),
    "exp": ("exp", "exp"),
    "log": ("log", "log"),
    "Abs": ("fabs", "abs"),
}
LARGEST_PRODUCT = 4


PIECE = 32768
"""Elements worked out at a time: few enough that what comes in between stays in the processor's cache."""


def in_pieces(function: Callable[..., Any]) -> Callable[..., Any]:
    """The same function of arrays, faster on long ones: piece by piece, half the time of all at once."""

    def run(*values: Any) -> Any:
        arrays = [value for value in values if getattr(value, "shape", ())]
        size = arrays[0].size if arrays else 0
        if size <= PIECE or any(a.shape != arrays[0].shape or not a.flags.c_contiguous for a in arrays):
            return function(*values)
        import numpy

        flat = [value.reshape(-1) if getattr(value, "shape", ()) else value for value in values]
        found: list[Any] = []
        for start in range(0, size, PIECE):
            part = slice(start, start + PIECE)
            results = function(*(value[part] if getattr(value, "shape", ()) else value for value in flat))
            if not found:
                found = [numpy.empty(size) for _ in (results if isinstance(results, list) else [results])]
            for whole, result in zip(found, results if isinstance(results, list) else [results], strict=True):
                whole[part] = result
        whole_shape = [whole.reshape(arrays[0].shape) for whole in found]
        return whole_shape if isinstance(results, list) else whole_shape[0]

    return run


class NotCompiled(Exception):
    """The expression holds something that this writer does not know."""


def compiled_as_written(expression: Any, symbols: list[Any], array: bool) -> Callable[..., Any]:
    """A function of the symbols, in order, for floats (`array` False) or for NumPy arrays."""
    names = {symbol: f"a{i}" for i, symbol in enumerate(symbols)}
    writer = _Writer(expression, names, array)
    result = writer.text(expression)
    lines = [f"def function({', '.join(names.values())}):", *(f"    {line}" for line in writer.lines)]
    lines.append(f"    return {result}")
    import numpy

    module: Any = numpy if array else math
    space: dict[str, Any] = {name: getattr(module, name) for name in writer.used}
    exec("\n".join(lines), space)
    function: Callable[..., Any] = space["function"]
    function.__doc__ = "\n".join(lines)
    return function


class _Writer:
    """Writes an expression as Python, a part that comes again as a variable."""

    def __init__(self, expression: Any, names: Mapping[Any, str], array: bool) -> None:
        self.names, self.array = names, array
        self.lines: list[str] = []
        self.used: set[str] = set()
        self._variables: dict[Any, str] = {}
        self._times: dict[Any, int] = {}
        self._count(expression)

    def _count(self, part: Any) -> None:
        self._times[part] = self._times.get(part, 0) + 1
        if self._times[part] == 1:
            for inner in part.args:
                self._count(inner)

    def text(self, part: Any) -> str:
        if part in self.names:
            return self.names[part]
        if part in self._variables:
            return self._variables[part]
        if not part.free_symbols:
            value = float(part)
            return repr(value) if value >= 0 else f"({value!r})"
        written = self._composed(part)
        return self._variable(part, written) if self._times.get(part, 0) > 1 else f"({written})"

    def _variable(self, part: Any, written: str) -> str:
        name = f"x{len(self.lines)}"
        self.lines.append(f"{name} = {written}")
        self._variables[part] = name
        return name

    def _composed(self, part: Any) -> str:
        if part.is_Add:
            text = self.text(part.args[0])
            for term in part.args[1:]:
                plain = _without_minus(term)
                text += f" + {self.text(term)}" if plain is None else f" - {self.text(plain)}"
            return text
        if part.is_Mul:
            return self._product(part)
        if part.is_Pow:
            return self._power(*part.args)
        name = type(part).__name__
        if name in FUNCTIONS and len(part.args) == 1:
            return f"{self._function(FUNCTIONS[name][self.array])}({self.text(part.args[0])})"
        raise NotCompiled(name)

    def _product(self, part: Any) -> str:
        top, bottom = "", ""
        for factor in part.args:
            if factor.is_Pow and factor.args[1].is_number and float(factor.args[1]) < 0:
                base, exponent = factor.args[0], -factor.args[1]
                bottom += f" / {self.text(base)}" if exponent == 1 else f" / ({self._power(base, exponent)})"
            elif factor == -1 and not top:
                top = "-"
            else:
                top += ("" if top in ("", "-") else " * ") + self.text(factor)
        return (top if top not in ("", "-") else top + "1.0") + bottom

    def _power(self, base: Any, exponent: Any) -> str:
        size = float(exponent) if exponent.is_number else None
        if size is not None and size < 0:
            return f"1.0 / ({self._power(base, -exponent)})"
        if size == 0.5:
            return f"{self._function('sqrt')}({self.text(base)})"
        if size == 1.5 or (size is not None and size == int(size) and 1 <= size <= LARGEST_PRODUCT):
            name = self.text(base)
            if base.args and base not in self._variables:
                name = self._variable(base, name)
            return f"{name} * {self._function('sqrt')}({name})" if size == 1.5 else " * ".join([name] * int(size))
        return f"{self.text(base)} ** {self.text(exponent)}"

    def _function(self, name: str) -> str:
        self.used.add(name)
        return name


def _without_minus(term: Any) -> Any:
    """b, where a term is -1 times b; else None."""
    if term.is_Mul and len(term.args) == 2 and term.args[0] == -1:
        return term.args[1]
    return None
