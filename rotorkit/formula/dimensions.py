"""The machine check of a formula's dimensions: scale the base units, and see whether the result scales as it must."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from rotorkit.formula import tracing
from rotorkit.quantities import Kind, read
from rotorkit.quantities.registry import dimensions, kind_of_units, registry
from rotorkit.quantities.spelled_units import unit_container

if TYPE_CHECKING:
    from rotorkit.formula.core import Formula

SCALES = {"[length]": 3.1, "[mass]": 0.37, "[time]": 1.9, "[temperature]": 2.3}


def dimension_error(formula: Formula, at: dict[str, float] | None = None) -> float:
    """The relative error of the result when the base units are scaled: zero, but for rounding, for a sound formula.

    Arguments: at, the SI values to check at by name (default: each kind's example, brought within the bounds).
    """
    values = [(at or {}).get(a.name, _sample(a)) for a in formula.contract.arguments]
    factors = [_factor(dimensions(a.kind)) for a in formula.contract.arguments]  # type: ignore[arg-type]
    traced = formula.traced
    function = tracing.compiled(traced, traced.evaluated, with_constants=True).scalar
    constants = [float(constant) for _, constant in traced.constants.values()]
    scales = [_factor(_dimensions_of(constant.unit)) for _, constant in traced.constants.values()]
    plain = function(*values, *constants)
    scaled = function(
        *(v * f for v, f in zip(values, factors, strict=True)), *(c * s for c, s in zip(constants, scales, strict=True))
    )
    expected = plain * _factor(dimensions(formula.kind))
    return abs(scaled - expected) / (abs(expected) or 1.0)


def _sample(argument: Any) -> float:
    text = argument.kind.example.split(" or ")[0]
    value = read(text, argument.kind).si
    low, high = argument.low, argument.high
    if (low is not None and value < low) or (high is not None and value > high):
        value = (low + high) / 2 if low is not None and high is not None else (low if low is not None else high)
        value = value * 1.1 + (1e-3 if value == 0 else 0.0) if low is None or high is None else value
    return float(value)


def _dimensions_of(unit: str) -> Any:
    units = unit_container(unit, Kind("a constant", unit, unit, unit, "", flavour="per degree"))
    assert kind_of_units(units) is not None or units is not None
    return registry().get_dimensionality(units)


def _factor(dimension: Any) -> float:
    factor = 1.0
    for name, power in dimension.items():
        factor *= SCALES[name] ** float(power)
    return factor
