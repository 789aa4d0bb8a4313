"""The machine check of a formula's dimensions: scale the base units, and see whether the result scales as it must."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from rotorkit.formula import tracing
from rotorkit.quantities import Kind, read
from rotorkit.quantities.pint_inside import registry
from rotorkit.quantities.registry import dimensions
from rotorkit.quantities.spelled_units import unit_container

if TYPE_CHECKING:
    from rotorkit.formula.contract import Argument
    from rotorkit.formula.relation import Relation

SCALES = {"[length]": 3.1, "[mass]": 0.37, "[time]": 1.9, "[temperature]": 2.3}
TRIES = 60


def dimension_error(formula: Relation, at: dict[str, float] | None = None) -> float:
    """The relative error of the result when the base units are scaled: zero, but for rounding, for a sound formula.

    Arguments: at, the SI values to check at by name (default: about each kind's example, within the bounds, where the
    formula has a value other than zero). Raises ValueError where no such place is found.
    """
    factors = [_factor(dimensions(kind)) for argument in formula.contract.arguments if (kind := argument.kind)]
    traced = formula.traced
    function = tracing.compiled_with_constants(traced)
    constants = [float(constant) for _, constant in traced.constants.values()]
    scales = [_factor(_dimensions_of(constant.unit)) for _, constant in traced.constants.values()]
    values, plain = _somewhere(formula, function, constants, at or {})
    scaled = function(
        *(v * f for v, f in zip(values, factors, strict=True)), *(c * s for c, s in zip(constants, scales, strict=True))
    )
    expected = plain * _factor(dimensions(formula.kind))
    return float(abs(scaled - expected) / abs(expected))


def _somewhere(
    formula: Relation, function: Callable[..., float], constants: list[float], at: dict[str, float]
) -> tuple[list[float], float]:
    """Argument values within all bounds, none of them special, where the formula has a value, and that value."""
    for attempt in range(TRIES):
        values = [
            at[argument.name] if argument.name in at else _sample(argument, (attempt * 7 + i * 3) % 11 / 11.0)
            for i, argument in enumerate(formula.contract.arguments)
        ]
        if formula.contract.beside_problems(values, values):  # a bore wider than its tube is no place to look
            continue
        try:
            value = function(*values, *constants)
        except (ValueError, ArithmeticError, TypeError):
            continue
        if not isinstance(value, complex) and math.isfinite(value) and value != 0:
            return values, value
    raise ValueError(f"{formula.name} has no value where it was looked for: give `at`")


def _sample(argument: Argument, where: float) -> float:
    """A value of the argument: between its bounds, or about its kind's example, by `where` from 0 to 1."""
    assert argument.kind is not None
    low, high = argument.low, argument.high
    if argument.only:
        return argument.only[int(where * len(argument.only))]
    if low is not None and high is not None:
        return low + (high - low) * (0.05 + 0.9 * where)
    value = read(argument.kind.example.split(" or ")[0], argument.kind).si * 10.0 ** (2.0 * where - 1.0)
    if argument.kind.flavour == "temperature":
        value = 250.0 + 80.0 * where
    value = value if low is None else max(value, low + (abs(low) or 1.0) * 0.01 * (1 + where))
    return value if high is None else min(value, high - (abs(high) or 1.0) * 0.01 * (1 + where))


def _dimensions_of(unit: str) -> Any:
    units = unit_container(unit, Kind("a constant", unit, unit, unit, "", flavour="per degree"))
    return registry().get_dimensionality(units)


def _factor(dimension: Any) -> float:
    factor = 1.0
    for name, power in dimension.items():
        factor *= SCALES[name] ** float(power)
    return factor
