"""The functions that a formula's body may use: on numbers and arrays they compute, in a trace they become symbols."""

from __future__ import annotations

import math
from typing import Any


class MathFunction:
    """One elementary function: on a number or an array it computes; a trace puts its symbolic twin in place."""

    def __init__(self, name: str, numeric: str, symbolic: str) -> None:
        self.__name__, self._numeric, self.symbolic = name, numeric, symbolic

    def __call__(self, *values: Any) -> Any:
        import numpy

        return getattr(numpy, self._numeric)(*values)

    def __repr__(self) -> str:
        return f"<function {self.__name__} of rotorkit.formula>"


class Pi(float):
    """The circle's ratio, exact in a trace."""


sqrt = MathFunction("sqrt", "sqrt", "sqrt")
sin = MathFunction("sin", "sin", "sin")
cos = MathFunction("cos", "cos", "cos")
tan = MathFunction("tan", "tan", "tan")
asin = MathFunction("asin", "arcsin", "asin")
acos = MathFunction("acos", "arccos", "acos")
atan = MathFunction("atan", "arctan", "atan")
exp = MathFunction("exp", "exp", "exp")
log = MathFunction("log", "log", "log")
absolute = MathFunction("absolute", "abs", "Abs")
pi = Pi(math.pi)
