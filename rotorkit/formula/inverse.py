"""The inverse of a formula: peel off one operation at a time, else bracket every root there is and refine it.

Whatever way a value was found, it is put back into the formula before it is given.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from rotorkit.formula.expressions import put_in
from rotorkit.quantities import QuantityError, from_si, say

if TYPE_CHECKING:
    from rotorkit.formula.contract import Argument
    from rotorkit.formula.relation import Relation

PUT_BACK = 1e-9
"""How near the formula's value must come to the wanted one, relative, when a solution is put back."""


def solve(formula: Relation, argument: Argument, known: dict[str, float], wanted: float, ends: Any) -> float:
    """The SI value of one argument for a wanted SI result."""
    ends = None if ends is None else (min(ends), max(ends))
    candidates = _peeled(formula, argument.name, known, wanted)
    good = _checked(formula, argument, known, wanted, candidates or [], ends)
    if candidates is None or not good:
        good = _checked(formula, argument, known, wanted, _bracketed(formula, argument, known, wanted, ends), ends)
    if not good:
        raise QuantityError(
            f"{formula.name}: no {argument.name}{_range(argument, ends)} gives {say(from_si(wanted, formula.kind))}"
        )
    if len(good) > 1:
        shown = " and ".join(say(from_si(value, argument.kind)) for value in good)
        raise QuantityError(f"{formula.name}: several values of {argument.name} do, {shown}: give between=(low, high)")
    return good[0] + 0.0  # no minus zero


def _range(argument: Argument, ends: Any) -> str:
    if ends is not None:
        low, high = (say(from_si(end, argument.kind)) for end in ends)
        return f" between {low} and {high}"
    return f" {argument.bounds}" if argument.bounds else ""


def _value(formula: Relation, known: dict[str, float], name: str, at: float) -> float:
    """The formula's value with one argument at another place; TypeError where it is not real."""
    return float(formula.si(*[at if n == name else known[n] for n in formula.contract.names]))


def _checked(
    formula: Relation, argument: Argument, known: dict[str, float], wanted: float, found: Iterable[float], ends: Any
) -> list[float]:
    """Those candidates that are within bounds and give the wanted value when put back, each once."""
    good: list[float] = []
    kind = argument.kind
    assert kind is not None
    low, high = ends if ends is not None else (argument.low, argument.high)
    if ends is None and low is None:
        low = kind.minimum
    for value in found:
        slack = 1e-9 * max(abs(value), abs(low or 0.0), abs(high or 0.0), 1e-6)
        if (low is not None and value < low - slack) or (high is not None and value > high + slack):
            continue
        # at a bound, to the last bits: on it
        value = value if low is None else max(value, low)
        value = value if high is None else min(value, high)
        try:
            back = _value(formula, known, argument.name, value)
        except (ValueError, ArithmeticError, TypeError):
            continue
        if not math.isfinite(back):
            continue
        if formula.contract.beside:
            every = [value if n == argument.name else known[n] for n in formula.contract.names]
            if formula.contract.beside_problems(every, every):
                continue
        if abs(back - wanted) > PUT_BACK * max(abs(wanted), _swing(formula, known, argument.name, value)):
            continue
        if not any(math.isclose(value, other, rel_tol=1e-7, abs_tol=1e-12) for other in good):
            good.append(value)
    return sorted(good)


def _swing(formula: Relation, known: dict[str, float], name: str, at: float) -> float:
    """How much the result would change if the argument changed by the whole of itself: the size to measure by where the
    wanted result is zero."""
    try:
        beside = _value(formula, known, name, at * (1 + 1e-6)), _value(formula, known, name, at * (1 - 1e-6))
    except (ValueError, ArithmeticError, TypeError):
        return 0.0
    swing = abs(beside[0] - beside[1]) / 2e-6
    return swing if math.isfinite(swing) else 0.0


def _peeled(formula: Relation, name: str, known: dict[str, float], wanted: float) -> list[float] | None:
    """All candidates where the unknown stands in one place of the expression, as written or as SymPy puts it together;
    else None."""
    traced = formula.traced
    unknown = traced.symbols[name]
    if unknown in traced.written.free_symbols:
        figures = {traced.symbols[other]: value for other, value in known.items()}
        figures |= {symbol: float(constant) for symbol, constant in traced.constants.values()}
        found = _peel(put_in(traced.written, figures), unknown, wanted)
        if found is not None:
            return found
    there = traced.in_sympy
    evaluated = there.expression.subs({there.symbols[other]: value for other, value in known.items()} | there.constants)
    if there.symbols[name] not in evaluated.free_symbols:
        raise QuantityError(f"{formula.name} does not depend on {name}")
    return _peel(evaluated, there.symbols[name], wanted)


def _peel(expression: Any, unknown: Any, wanted: float) -> list[float] | None:
    """Undo one operation after another while the unknown stands in one place; None where it stands in several."""
    values = [float(wanted)]
    while expression != unknown:
        holders = [part for part in expression.args if unknown in part.free_symbols]
        if len(holders) != 1:
            return None
        inner = holders[0]
        others = [part for part in expression.args if part is not inner]
        try:
            if expression.is_Add:
                rest = sum(float(part) for part in others)
                values = [value - rest for value in values]
            elif expression.is_Mul:
                rest = math.prod(float(part) for part in others)
                values = [value / rest for value in values]
            elif expression.is_Pow:
                values = _unpower(expression, inner, values)
            else:
                undone = _undo(expression, values)
                if undone is None:
                    return None
                values = undone
        except (TypeError, ValueError, ArithmeticError):
            return None
        expression = inner
    return values


def _unpower(expression: Any, inner: Any, values: list[float]) -> list[float]:
    base, power = expression.args
    if inner is base:
        exponent = float(power)
        roots = []
        for value in values:
            if value >= 0:
                root = value ** (1 / exponent) if value else 0.0
                roots.append(root)
                if exponent % 2 == 0:
                    roots.append(-root)
            elif exponent % 2 == 1:
                roots.append(-((-value) ** (1 / exponent)))
        return roots
    return [math.log(value) / math.log(float(base)) for value in values]


def _undo(expression: Any, values: list[float]) -> list[float] | None:
    turn = 2 * math.pi
    name = type(expression).__name__
    if name == "exp":
        return [math.log(value) for value in values]
    if name == "log":
        return [math.exp(value) for value in values]
    if name == "sin":
        return [a for v in values for a in (math.asin(v), math.pi - math.asin(v))]
    if name == "cos":
        return [a for v in values for a in (math.acos(v), -math.acos(v), turn - math.acos(v))]
    if name == "tan":
        return [a for v in values for a in (math.atan(v), math.atan(v) + math.pi)]
    inverse = {"asin": math.sin, "acos": math.cos, "atan": math.tan}.get(name)
    return [inverse(value) for value in values] if inverse else None


def _bracketed(formula: Relation, argument: Argument, known: dict[str, float], wanted: float, ends: Any) -> list[float]:
    """Every place on a grid over the range where the formula crosses the wanted value or comes nearest to it, refined;
    the grid spans all sizes where the range is open. What only came near is sorted out when it is put back."""
    import numpy
    from scipy.optimize import brentq, minimize_scalar

    assert argument.kind is not None
    low, high = ends if ends is not None else (argument.low, argument.high)
    if low is None:
        low = argument.kind.minimum
    grid = [float(point) for point in _grid(low, high)]

    def off(at: float) -> float:
        return _difference(formula, argument.name, known, wanted, at)

    with numpy.errstate(all="ignore"):
        values = [off(point) for point in grid]
        roots = [point for point, value in zip(grid, values, strict=True) if value == 0]
        for a, b, at, then in zip(grid, grid[1:], values, values[1:], strict=False):
            if at * then < 0:
                roots.append(float(brentq(off, a, b, xtol=1e-300, rtol=8.9e-16)))
        sizes = [abs(value) for value in values]
        for i in range(1, len(grid) - 1):  # a value that is met at a peak, and not crossed
            if values[i - 1] * values[i] > 0 < values[i] * values[i + 1] and sizes[i - 1] >= sizes[i] <= sizes[i + 1]:
                peak = minimize_scalar(
                    lambda x: abs(off(x)), bounds=(grid[i - 1], grid[i + 1]), method="bounded", options={"xatol": 1e-12}
                )
                roots.append(float(peak.x))
    return roots


def _grid(low: float | None, high: float | None) -> Any:
    import numpy

    if low is not None and high is not None:
        return numpy.linspace(low, high, 801)
    sizes = numpy.logspace(-9, 12, 1051)
    if low is not None:
        return numpy.concatenate([[low], low + sizes])
    if high is not None:
        return numpy.concatenate([high - sizes[::-1], [high]])
    return numpy.concatenate([-sizes[::-1], [0.0], sizes])


def _difference(formula: Relation, name: str, known: dict[str, float], wanted: float, at: float) -> float:
    """The formula's value less the wanted one; not a number where the formula has no real value."""
    try:
        value = _value(formula, known, name, at) - wanted
    except (ValueError, ArithmeticError, TypeError):
        return math.nan
    return value if math.isfinite(value) else math.nan
