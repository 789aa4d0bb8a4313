"""The inverse of a formula: peel off one operation at a time, else ask SymPy for a while, else bracket a root.

Whatever way a value was found, it is put back into the formula before it is given.
"""

from __future__ import annotations

import contextlib
import ctypes
import gc
import math
import os
import sys
import threading
import time
import types
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

from rotorkit.formula import tracing
from rotorkit.quantities import QuantityError, from_si, say

if TYPE_CHECKING:
    from rotorkit.contract import Argument
    from rotorkit.formula.core import Formula

SYMPY_SECONDS = 0.5
PUT_BACK = 1e-9
"""How near the formula's value must come to the wanted one, relative, when a solution is put back."""


def solve(formula: Formula, argument: Argument, known: dict[str, float], wanted: float, ends: Any) -> float:
    """The SI value of one argument for a wanted SI result."""
    ends = None if ends is None else (min(ends), max(ends))
    candidates, complete = _closed_form(formula, argument.name, known, wanted)
    good = _checked(formula, argument, known, wanted, candidates, ends)
    if not (good and complete):  # a solver may find one value of several
        candidates = [*good, *_bracketed(formula, argument, known, wanted, ends)]
        good = _checked(formula, argument, known, wanted, candidates, ends)
    if not good:
        raise QuantityError(
            f"{formula.name}: no {argument.name}{_range(argument, ends)} gives {say(from_si(wanted, formula.kind))}"
        )
    if len(good) > 1:
        shown = " and ".join(say(from_si(value, argument.kind)) for value in good)  # type: ignore[arg-type]
        raise QuantityError(f"{formula.name}: several values of {argument.name} do, {shown}: give between=(low, high)")
    return good[0] + 0.0  # no minus zero


def _range(argument: Argument, ends: Any) -> str:
    if ends is not None:
        low, high = (say(from_si(end, argument.kind)) for end in ends)  # type: ignore[arg-type]
        return f" between {low} and {high}"
    return f" {argument.bounds}" if argument.bounds else ""


def _value(formula: Formula, known: dict[str, float], name: str, at: float) -> float:
    """The formula's value with one argument at another place; TypeError where it is not real."""
    return float(formula.si(*[at if n == name else known[n] for n in formula.contract.names]))


def _checked(
    formula: Formula, argument: Argument, known: dict[str, float], wanted: float, found: Iterable[float], ends: Any
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
        if abs(back - wanted) > PUT_BACK * max(abs(wanted), _swing(formula, known, argument.name, value)):
            continue
        if not any(math.isclose(value, other, rel_tol=1e-7, abs_tol=1e-12) for other in good):
            good.append(value)
    return sorted(good)


def _swing(formula: Formula, known: dict[str, float], name: str, at: float) -> float:
    """How much the result would change if the argument changed by the whole of itself: the size to measure by where the
    wanted result is zero."""
    try:
        beside = _value(formula, known, name, at * (1 + 1e-6)), _value(formula, known, name, at * (1 - 1e-6))
    except (ValueError, ArithmeticError, TypeError):
        return 0.0
    swing = abs(beside[0] - beside[1]) / 2e-6
    return swing if math.isfinite(swing) else 0.0


def _closed_form(formula: Formula, name: str, known: dict[str, float], wanted: float) -> tuple[list[float], bool]:
    """Candidates, and whether they are surely all that there are."""
    import sympy

    traced = formula.traced
    unknown = traced.symbols[name]
    expression = traced.evaluated.subs(tracing.numbers(known, traced))
    if unknown not in expression.free_symbols:
        raise QuantityError(f"{formula.name} does not depend on {name}")
    peeled = _peel(expression, unknown, wanted)
    if peeled is not None:
        return peeled, True
    loose = sympy.Symbol("unknown")
    equation = expression.xreplace({unknown: loose}) - wanted
    solutions = _within_time(lambda: sympy.solve(equation, loose, rational=False), SYMPY_SECONDS)
    values = []
    for solution in solutions or []:
        try:
            number = complex(solution)
        except TypeError:
            continue
        if abs(number.imag) <= 1e-12 * max(abs(number.real), 1e-12):
            values.append(number.real)
    return values, False


def _peel(expression: Any, unknown: Any, wanted: float) -> list[float] | None:
    """Undo one operation after another while the unknown stands in one place; None where it stands in several."""
    import sympy

    values = [float(wanted)]
    while expression != unknown:
        holders = [part for part in expression.args if unknown in part.free_symbols]
        if len(holders) != 1:
            return None
        inner = holders[0]
        others = [part for part in expression.args if part is not inner]
        try:
            if expression.is_Add:
                rest = float(sum(others))
                values = [value - rest for value in values]
            elif expression.is_Mul:
                rest = float(sympy.prod(others))
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


class _TooLong(BaseException):
    """Not an `Exception`, so that no handler on the way takes it for a failed attempt."""


def _within_time(work: Callable[[], Any], seconds: float) -> Any:
    """The result of `work`, or None where it takes longer or fails.

    It runs on a thread of its own that looks at the clock whenever a function of the solver is called, and stops there.
    """
    import mpmath
    import sympy

    solver = tuple(os.path.dirname(module.__file__) for module in (sympy, mpmath))
    box: list[Any] = [None]

    def run() -> None:
        end = time.monotonic() + seconds

        def look(frame: types.FrameType, event: str, argument: Any) -> None:
            if time.monotonic() > end and frame.f_code.co_filename.startswith(solver):
                raise _TooLong

        sys.settrace(look)
        # a failure means no closed form, or none within the time
        with contextlib.suppress(Exception, _TooLong):
            box[0] = work()
        sys.settrace(None)

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    thread.join(seconds + 0.3)
    if thread.is_alive():
        _stop(thread)
    return box[0]


def _stop(thread: threading.Thread) -> None:
    """Stop a loop that calls nothing and so sees no clock: the word is sent again where it was lost on the way."""
    collecting = gc.isenabled()
    gc.disable()  # a collector's callback on that thread would swallow the word, and complain
    try:
        for _ in range(20):
            if thread.ident is not None:
                ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread.ident), ctypes.py_object(_TooLong))
            thread.join(0.05)
            if not thread.is_alive():
                break
    finally:
        if collecting:
            gc.enable()


def _bracketed(formula: Formula, argument: Argument, known: dict[str, float], wanted: float, ends: Any) -> list[float]:
    """Every sign change on a grid over the range, refined; the grid spans all sizes where the range is open."""
    import numpy
    from scipy.optimize import brentq

    assert argument.kind is not None
    low, high = ends if ends is not None else (argument.low, argument.high)
    if low is None:
        low = argument.kind.minimum
    grid = _grid(low, high)
    with numpy.errstate(all="ignore"):
        values = [_difference(formula, argument.name, known, wanted, float(point)) for point in grid]
    roots = []
    for i in range(len(grid) - 1):
        a, b = values[i], values[i + 1]
        if a is None or b is None:
            continue
        if a == 0:
            roots.append(float(grid[i]))
        elif a * b < 0:
            roots.append(
                float(
                    brentq(
                        lambda x: _difference(formula, argument.name, known, wanted, x),
                        grid[i],
                        grid[i + 1],
                        xtol=1e-300,
                        rtol=8.9e-16,
                    )
                )
            )
    if values[-1] == 0:
        roots.append(float(grid[-1]))
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


def _difference(formula: Formula, name: str, known: dict[str, float], wanted: float, at: float) -> Any:
    try:
        value = _value(formula, known, name, at) - wanted
    except (ValueError, ArithmeticError, TypeError):
        return None
    return value if math.isfinite(value) else None
