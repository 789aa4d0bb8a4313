"""A formula's body as it stands: what comes out when it is run once with letters in place of figures.

A body is plain arithmetic, so a handful of parts is enough to hold it: sums, products, powers and the functions of
`rotorkit.formula`. They keep what was written in the order in which it was written, and nothing is rewritten. From them
the value and the slopes are compiled, and the worked calculation is set. SymPy, whose loading and rewriting took longer
than all else of a first working, is asked where somebody wants to go on with the expression (`in_sympy`).

The parts go by SymPy's names (``args``, ``is_Add``, ``free_symbols``), so that what reads the one reads the other: a
quotient is a product with a power of -1, a difference a sum with -1 times what is taken away.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any


class Expression:
    """One part of a body: what it is made of, and the letters in it."""

    __slots__ = ("_hash", "args", "free_symbols")

    is_Add = is_Mul = is_Pow = is_Number = is_Integer = is_Rational = False

    args: tuple[Any, ...]
    free_symbols: frozenset[Symbol]

    def __init__(self, *args: Any) -> None:
        self.args = args
        self.free_symbols = frozenset().union(*(part.free_symbols for part in args))
        self._hash = hash((type(self).__name__, args))

    @property
    def is_number(self) -> bool:
        """Whether there is no letter in it."""
        return not self.free_symbols

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        if self is other:
            return True
        return type(self) is type(other) and self._hash == other._hash and self.args == other.args

    def __bool__(self) -> bool:
        raise TypeError("what it comes to is not known while the formula is read: no if, and, or, not")

    def __float__(self) -> float:
        if self.free_symbols:
            raise TypeError(f"a figure is asked for where {', '.join(sorted(map(str, self.free_symbols)))} stands")
        return self.value([float(part) for part in self.args])

    def value(self, of: list[float]) -> float:
        """What the part comes to, from what its own parts come to."""
        raise NotImplementedError

    def __add__(self, other: Any) -> Any:
        return _both(Add, self, other)

    def __radd__(self, other: Any) -> Any:
        return _both(Add, other, self)

    def __sub__(self, other: Any) -> Any:
        taken = _part(other)
        return NotImplemented if taken is None else Add(self, -taken)

    def __rsub__(self, other: Any) -> Any:
        first = _part(other)
        return NotImplemented if first is None else Add(first, -self)

    def __mul__(self, other: Any) -> Any:
        return _both(Mul, self, other)

    def __rmul__(self, other: Any) -> Any:
        return _both(Mul, other, self)

    def __truediv__(self, other: Any) -> Any:
        under = _part(other)
        return NotImplemented if under is None else Mul(self, Pow(under, MINUS_ONE))

    def __rtruediv__(self, other: Any) -> Any:
        above = _part(other)
        if above is None:
            return NotImplemented
        under = Pow(self, MINUS_ONE)
        return under if above == 1 else Mul(above, under)

    def __pow__(self, other: Any) -> Any:
        return _both(Pow, self, other)

    def __rpow__(self, other: Any) -> Any:
        return _both(Pow, other, self)

    def __neg__(self) -> Expression:
        return Mul(MINUS_ONE, self)

    def __pos__(self) -> Expression:
        return self

    def __abs__(self) -> Expression:
        return applied("Abs", self)

    def __repr__(self) -> str:
        return f"{type(self).__name__}({', '.join(map(repr, self.args))})"


class Symbol(Expression):
    """A letter: an argument or a constant. positive: it cannot be less than zero."""

    __slots__ = ("name", "positive")

    def __init__(self, name: str, positive: bool = False) -> None:
        self.name, self.positive, self.args = name, positive, ()
        self.free_symbols = frozenset([self])
        self._hash = hash((name, positive))

    def __hash__(self) -> int:
        return hash((self.name, self.positive))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Symbol) and (self.name, self.positive) == (other.name, other.positive)

    def __repr__(self) -> str:
        return self.name


class Number(Expression):
    """A figure as it was typed: a whole one stays whole."""

    __slots__ = ("figure",)

    is_Number = True

    def __init__(self, figure: float) -> None:
        self.figure, self.args, self.free_symbols = figure, (), frozenset()
        self._hash = hash((type(figure).__name__, figure))

    @property
    def is_Integer(self) -> bool:  # type: ignore[override]  # a constant of the class elsewhere
        return type(self.figure) is int

    is_Rational = is_Integer

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        if isinstance(other, Number):
            return type(self.figure) is type(other.figure) and self.figure == other.figure
        return isinstance(other, int | float) and self.figure == other

    def __lt__(self, other: Any) -> bool:
        return self.figure < float(other)

    def __gt__(self, other: Any) -> bool:
        return self.figure > float(other)

    def __float__(self) -> float:
        return float(self.figure)

    def __neg__(self) -> Number:
        return Number(-self.figure)

    def __sub__(self, other: Any) -> Any:
        return Number(self.figure - other) if type(other) in (int, float) else super().__sub__(other)

    def __repr__(self) -> str:
        return str(self.figure)


MINUS_ONE, HALF = Number(-1), Number(0.5)


class PiNumber(Expression):
    """The circle's ratio, which is shown by its letter."""

    __slots__ = ()

    def value(self, of: list[float]) -> float:
        return math.pi

    def __repr__(self) -> str:
        return "pi"


class Add(Expression):
    """A sum."""

    __slots__ = ()
    is_Add = True

    def value(self, of: list[float]) -> float:
        return sum(of[1:], of[0])


class Mul(Expression):
    """A product."""

    __slots__ = ()
    is_Mul = True

    def value(self, of: list[float]) -> float:
        return math.prod(of)

    def __neg__(self) -> Expression:
        first, *others = self.args
        if not first.is_Number:
            return Mul(MINUS_ONE, *self.args)
        return Mul(-first, *others) if first != -1 else Mul(*others) if len(others) > 1 else others[0]


class Pow(Expression):
    """A power: base and exponent."""

    __slots__ = ()
    is_Pow = True

    def value(self, of: list[float]) -> float:
        return math.pow(*of)


class _Applied(Expression):
    """A function of one part; each function is a class of its own, by SymPy's name."""

    __slots__ = ()
    works: Callable[[float], float]

    def value(self, of: list[float]) -> float:
        return type(self).works(of[0])


def _function(name: str, works: Callable[[float], float]) -> type[_Applied]:
    return type(name, (_Applied,), {"__slots__": (), "works": staticmethod(works)})


_FUNCTIONS = {
    name: _function(name, works)
    for name, works in {
        "sin": math.sin, "cos": math.cos, "tan": math.tan, "asin": math.asin, "acos": math.acos, "atan": math.atan,
        "exp": math.exp, "log": math.log, "Abs": math.fabs,
    }.items()
}  # fmt: skip


def applied(name: str, *values: Any) -> Expression:
    """A function, by SymPy's name, of what stands in its brackets; a square root is a power.

    Raises TypeError where it does not take so many, or where one of them is no part of a formula.
    """
    if len(values) != 1:
        raise TypeError(f"{name} takes one value, got {len(values)}")
    inside = expression_of(values[0])
    return Pow(inside, HALF) if name == "sqrt" else _FUNCTIONS[name](inside)


def _part(value: Any) -> Expression | None:
    if isinstance(value, Expression):
        return value
    if not isinstance(value, int | float) or isinstance(value, bool):
        return None
    return Number(int(value) if isinstance(value, int) else float(value))


def _both(kind: type[Expression], left: Any, right: Any) -> Any:
    parts = _part(left), _part(right)
    return NotImplemented if None in (parts[0], parts[1]) else kind(*parts)


def expression_of(value: Any) -> Expression:
    """A part of a formula; TypeError for what is none."""
    part = _part(value)
    if part is None:
        raise TypeError(f"{type(value).__name__} is no part of a formula")
    return part


def put_in(expression: Expression, figures: Mapping[Symbol, float]) -> Expression:
    """The expression with figures in place of some of its letters; nothing is worked out."""
    if not expression.free_symbols & figures.keys():
        return expression
    if isinstance(expression, Symbol):
        return Number(figures[expression])
    return type(expression)(*(put_in(part, figures) for part in expression.args))


def in_sympy(expression: Expression, symbols: Mapping[Symbol, Any]) -> Any:
    """The expression as SymPy has it, evaluated. symbols: SymPy's for each letter."""
    import sympy

    if isinstance(expression, Symbol):
        return symbols[expression]
    if isinstance(expression, Number):
        return sympy.sympify(expression.figure)
    if isinstance(expression, PiNumber):
        return sympy.pi
    if expression.is_Pow and expression.args[1] is HALF:
        return sympy.sqrt(in_sympy(expression.args[0], symbols))
    return getattr(sympy, type(expression).__name__)(*(in_sympy(part, symbols) for part in expression.args))
