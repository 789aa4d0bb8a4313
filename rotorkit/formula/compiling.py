"""From an expression to a function: the arithmetic as its author wrote it, with nothing worked out twice.

SymPy's own way of rewriting an expression is good for going on with it, and slow on arrays: it turns
``T * sqrt(T / (2 * rho * A))`` into powers of three halves. Here the written form is kept, constants are folded, equal
parts are computed once, and small whole powers are products.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
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
    return _function(writer, writer.text(expression))


def compiled_slopes_as_written(expression: Any, symbols: list[Any], array: bool) -> Callable[..., Any]:
    """A function of the symbols that gives the list of the expression's slopes, one for each symbol.

    The chain rule, from the result back to the symbols: some hundred times quicker to write than SymPy's derivatives,
    and what several slopes have in common is worked out once. The slope of an absolute value is one-sided at zero.
    """
    writer = _SlopeWriter(expression, {symbol: f"a{i}" for i, symbol in enumerate(symbols)}, array)
    return _function(writer, f"[{', '.join(writer.slopes(expression, symbols))}]")


def _function(writer: _Writer, result: str) -> Callable[..., Any]:
    lines = [f"def function({', '.join(writer.names.values())}):", *(f"    {line}" for line in writer.lines)]
    lines.append(f"    return {result}")
    import numpy

    module: Any = numpy if writer.array else math
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
        self._variables[part] = self._line(written)
        return self._variables[part]

    def _line(self, written: str) -> str:
        name = f"x{len(self.lines)}"
        self.lines.append(f"{name} = {written}")
        return name

    def _composed(self, part: Any) -> str:
        if part.is_Add:
            text = self.text(part.args[0])
            for term in part.args[1:]:
                plain = _without_minus(term)
                text += f" + {self.text(term)}" if plain is None else f" - {self.text(plain)}"
            return text
        if part.is_Mul:
            return self._product(part.args)
        if part.is_Pow:
            return self._power(*part.args)
        name = type(part).__name__
        if name in FUNCTIONS and len(part.args) == 1:
            return f"{self._function(FUNCTIONS[name][self.array])}({self.text(part.args[0])})"
        raise NotCompiled(name)

    def _product(self, factors: Sequence[Any]) -> str:
        top, bottom = "", ""
        for factor in factors:
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


class _SlopeWriter(_Writer):
    """Writes the slopes of an expression: each part a variable, then the chain rule from the last to the first."""

    def text(self, part: Any) -> str:
        if part in self.names or part in self._variables or not part.free_symbols:
            return super().text(part)
        return self._variable(part, self._composed(part))

    def slopes(self, expression: Any, symbols: list[Any]) -> list[str]:
        """The text of the slope with respect to each symbol."""
        terms: dict[Any, list[str]] = {expression: ["1.0"]}
        for part in reversed(self._parts(expression)):
            upper = " + ".join(terms[part])
            if upper != "1.0" and not upper.isidentifier():
                upper = self._line(upper)
            for inner, slope in self._inner_slopes(part):
                by_chain = slope if upper == "1.0" else upper if slope == "1.0" else f"{upper} * {slope}"
                terms.setdefault(inner, []).append(by_chain)
        return [" + ".join(terms.get(symbol, ["0.0"])) for symbol in symbols]

    def _parts(self, expression: Any) -> list[Any]:
        """What is worked out of the symbols, each part after those that it holds."""
        found: dict[Any, None] = {}

        def look(part: Any) -> None:
            if part.args and part.free_symbols and part not in found:
                for inner in part.args:
                    look(inner)
                found[part] = None

        look(expression)
        return list(found)

    def _inner_slopes(self, part: Any) -> Iterator[tuple[Any, str]]:
        """What a part holds that varies, and the part's slope with respect to it: of products without brackets, so that
        the chain goes from factor to factor, and 1/x² of a very large x does not sink to zero before it meets x."""
        if part.is_Add:
            yield from ((term, "1.0") for term in part.args if term.free_symbols)
        elif part.is_Mul:
            for position, factor in enumerate(part.args):
                if factor.free_symbols:
                    yield factor, self._product(part.args[:position] + part.args[position + 1 :])
        elif part.is_Pow:
            base, exponent = part.args
            if base.free_symbols:
                yield base, self._slope_of_power(part, base, exponent)
            if exponent.free_symbols:
                yield exponent, f"{self.text(part)} * {self._function('log')}({self.text(base)})"
        else:
            yield part.args[0], f"({self._slope_of_function(part)})"

    def _slope_of_power(self, part: Any, base: Any, exponent: Any) -> str:
        size = float(exponent) if exponent.is_number else None
        if size == 2:
            return f"2.0 * {self.text(base)}"
        if size == -1:
            return f"-{self.text(part)} * {self.text(part)}"
        if size == 0.5:
            return f"0.5 / {self.text(part)}"
        if size is None or size > 1:
            return f"{self.text(exponent)} * ({self._power(base, exponent - 1)})"
        return f"{self.text(exponent)} * {self.text(part)} / {self.text(base)}"

    def _slope_of_function(self, part: Any) -> str:
        name, inside = type(part).__name__, self.text(part.args[0])
        if name == "sin":
            return f"{self._function('cos')}({inside})"
        if name == "cos":
            return f"-{self._function('sin')}({inside})"
        if name == "tan":
            return f"1.0 + {self.text(part)} * {self.text(part)}"
        if name in ("asin", "acos"):
            return f"{'-' if name == 'acos' else ''}1.0 / {self._function('sqrt')}(1.0 - {inside} * {inside})"
        if name == "atan":
            return f"1.0 / (1.0 + {inside} * {inside})"
        if name == "exp":
            return self.text(part)
        if name == "log":
            return f"1.0 / {inside}"
        if name == "Abs":
            return (
                f"{self._function('where')}({inside} < 0, -1.0, 1.0)"
                if self.array
                else f"-1.0 if {inside} < 0 else 1.0"
            )
        raise NotCompiled(name)


def _without_minus(term: Any) -> Any:
    """b, where a term is -1 times b; else None."""
    if term.is_Mul and len(term.args) == 2 and term.args[0] == -1:
        return term.args[1]
    return None
