"""Formulas: a relation written once, for its value, uncertainty, worked calculation, inverse and exercise."""

from rotorkit.formula.core import REGISTERED, Formula, formula, nomenclature
from rotorkit.formula.dimensions import dimension_error
from rotorkit.formula.functions import absolute, acos, asin, atan, cos, exp, log, pi, sin, sqrt, tan
from rotorkit.formula.worked import Line, Worked

__all__ = [
    "REGISTERED",
    "Formula",
    "Line",
    "Worked",
    "absolute",
    "acos",
    "asin",
    "atan",
    "cos",
    "dimension_error",
    "exp",
    "formula",
    "log",
    "nomenclature",
    "pi",
    "sin",
    "sqrt",
    "tan",
]
