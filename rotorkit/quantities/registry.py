"""The one unit registry, and the rules that tell kinds apart by their units.

The registry is private to rotorkit and made at first use: importing rotorkit changes no other program's registry, and
quantities of another registry are taken by converting them with that registry's own definitions.
Inside, everything is a bare float in coherent SI units; the factor of every pair of units is worked out once and kept.
"""

from __future__ import annotations

import decimal
import fractions
from functools import lru_cache
from typing import Any

from rotorkit.quantities.errors import QuantityError
from rotorkit.quantities.kinds import KINDS, Kind, kind_of, required_kind
from rotorkit.quantities.pint_inside import quantity, registry, units_of
from rotorkit.quantities.spelled_units import unit_container

ANGLE_UNITS = {
    "radian",
    "degree",
    "turn",
    "arcminute",
    "arcsecond",
    "grade",
    "mil",
    "revolutions_per_minute",
    "revolutions_per_second",
}
ENERGY_UNITS = {
    "joule",
    "erg",
    "electron_volt",
    "watt_hour",
    "calorie",
    "international_calorie",
    "fifteen_degree_calorie",
    "british_thermal_unit",
    "international_british_thermal_unit",
    "thermochemical_british_thermal_unit",
    "foot_pound",
    "therm",
    "ton_TNT",
}
FORCE_UNITS = {"newton", "force_pound", "force_kilogram", "force_ounce", "force_gram", "kip", "dyne", "poundal"}
SOLID_ANGLE_UNITS = {"steradian", "square_degree"}
AS_FORCE = {"pound": "force_pound", "ounce": "force_ounce", "kilogram": "force_kilogram"}
FORCE_WRITTEN = {"pound": "lbf", "ounce": "ozf", "kilogram": "kgf"}
OFFSET_UNITS = {"degree_Celsius": (1.0, 273.15), "degree_Fahrenheit": (5.0 / 9.0, 459.67)}


@lru_cache(maxsize=4096)
def _base_name(name: str) -> str:
    try:
        parsed = registry().parse_unit_name(name)
    except Exception:
        return name
    return parsed[0][1] if parsed else name


def _names(units: Any) -> dict[str, float]:
    names: dict[str, float] = {}
    for name, power in units.items():
        base = _base_name(name)
        names[base] = names.get(base, 0) + float(power)
    return names


@lru_cache(maxsize=256)
def dimensions(kind: Kind) -> Any:
    """The dimensions of a kind, as the registry's container."""
    return registry().get_dimensionality(unit_container(kind.si, kind))


def refusal(units: Any, kind: Kind) -> str | None:
    """Why a quantity in these units (a pint units container) is not of this kind; None if it is."""
    names = _names(units)
    if registry().get_dimensionality(units) != dimensions(kind):
        return _mass_for_force(names, kind) or "its dimensions differ"
    if SOLID_ANGLE_UNITS & names.keys():
        return "its unit is one of solid angle"
    angle = sum(power for name, power in names.items() if name in ANGLE_UNITS)
    if angle != kind.angle:
        if kind.angle:
            return "its unit says no turning" if dimensions(kind) else "its unit says no angle"
        return "its unit is one of turning"
    if kind.name == "a ratio" and names.get("count"):
        return "its unit is a count"
    energy = any(name in ENERGY_UNITS for name in names) or ("watt" in names and "second" in names)
    force = any(name in FORCE_UNITS for name in names)
    if kind.flavour == "torque" and not (force and not energy):
        return "its unit is one of energy" if energy else "its unit does not tell a torque from an energy"
    if kind.flavour == "energy" and not energy:
        return "its unit is one of torque" if force else "its unit does not tell a torque from an energy"
    difference = any(name.startswith("delta_") for name in units)
    if kind.flavour == "temperature" and difference:
        return "its unit says a difference of temperatures"
    if kind.flavour != "temperature" and names.keys() & OFFSET_UNITS.keys():
        return "its unit says a temperature, not a difference (delta_degF, delta_degC)"
    return None


def _mass_for_force(names: dict[str, float], kind: Kind) -> str | None:
    """A hint where a pound of mass stands for one of force: a registry's ``lb`` is a mass, the trade's is often not."""
    if kind.pound != "force" or not names.keys() & AS_FORCE.keys():
        return None
    changed = registry().UnitsContainer({AS_FORCE.get(name, name): power for name, power in names.items()})
    if registry().get_dimensionality(changed) != dimensions(kind):
        return None
    mass = next(name for name in names if name in AS_FORCE)
    return f"its {mass} is a mass: the force is {AS_FORCE[mass]}, {FORCE_WRITTEN[mass]}"


@lru_cache(maxsize=8192)
def scale(units: Any, kind: Kind) -> tuple[float, float, str | None]:
    """(factor, shift, refusal). Without a shift, the SI value is magnitude * factor; with one, see `in_kelvin`."""
    try:
        why = refusal(units, kind)
        if why or not units:
            return 1.0, 0.0, why
        if kind.flavour == "temperature":
            for name, (factor, shift) in OFFSET_UNITS.items():
                if name in units:
                    return factor, shift, None
        at_0, at_1, at_2 = (float(registry().Quantity(x, units).to_base_units().magnitude) for x in (0.0, 1.0, 2.0))
    except Exception as problem:  # a unit that this registry does not have, or cannot multiply
        return 1.0, 0.0, str(problem)
    if at_0 != 0.0 or abs(at_2 - 2 * at_1) > 1e-12 * abs(at_2):
        return 1.0, 0.0, "its scale is not a plain multiple"  # a decibel, a scale with another zero
    return _exact(at_1), 0.0, None


def _exact(factor: float) -> float:
    """A factor that is a short decimal by definition, without the last-bit errors of the way to it: 0.3048 m per ft."""
    for digits in (10, 12, 14):
        short = float(f"{factor:.{digits}g}")
        if abs(short - factor) <= 4e-16 * abs(factor):
            return short
    return factor


def scales_of(kind: Kind) -> dict[Any, tuple[float, float, str | None]]:
    """What has been worked out so far for this kind: (factor, shift, refusal) by units container."""
    return kind.scales


def in_kelvin(magnitude: Any, factor: float) -> Any:
    """A temperature in °F (factor 5/9) or °C (factor 1) in kelvins. By way of the ice point, so that 32 °F, 59 °F and
    212 °F are 273.15, 288.15 and 373.15 K to the last bit, and absolute zero is zero."""
    return (magnitude - 32.0) * 5.0 / 9.0 + 273.15 if factor != 1.0 else magnitude + 273.15


def plain_number(number: Any) -> Any:
    """A float, or an array of float64, from any real number or array of them; `QuantityError` for anything else.

    float32 and integer arrays are widened before they are scaled, so that nothing overflows or is cut off on the way.
    """
    if isinstance(number, bool):
        raise QuantityError(f"{number} is not a number")
    if isinstance(number, (int, float)):
        return float(number)
    import numpy

    if isinstance(number, numpy.ndarray):
        if type(number) is not numpy.ndarray:
            raise QuantityError(f"it holds a {type(number).__name__}: turn it into a plain NumPy array first")
        if number.dtype.kind not in "fiu":
            raise QuantityError(f"it holds an array of {number.dtype}, not of numbers")
        return number.astype(numpy.float64, copy=False) if number.shape else float(number)
    if isinstance(number, numpy.generic):
        if number.dtype.kind not in "fiu":
            raise QuantityError(f"{number} is not a number")
        return float(number)
    if isinstance(number, (decimal.Decimal, fractions.Fraction)):
        return float(number)
    raise QuantityError(f"it holds a {type(number).__name__}, not a number")


@lru_cache(maxsize=256)
def si_units(kind: Kind) -> Any:
    """The units container of a kind's SI unit. A temperature difference keeps its own, so that it never passes for a
    temperature."""
    if kind.flavour == "difference":
        return registry().UnitsContainer({"delta_degree_Celsius": 1})
    return unit_container(kind.si, kind)


def from_si(value: Any, kind: Any) -> Any:
    """A quantity of this kind from a bare SI value (float or array)."""
    kind = kind if type(kind) is Kind else required_kind(kind)
    made = quantity(value, si_units(kind))
    made._kind = kind  # what it was made as, for `say`: its unit alone does not tell a stress from a pressure
    return made


def in_unit(value: Any, unit: str, kind: Any) -> Any:
    """A bare SI value expressed in another unit of the kind (text, as typed): the inverse of reading it."""
    kind = kind if type(kind) is Kind else required_kind(kind)
    factor, shift, why = scale(_unit_of(unit, kind), kind)
    if why:
        raise QuantityError(f"{unit!r} is not a unit of {kind.name}: {why}")
    if shift:
        return (value - 273.15) * 9.0 / 5.0 + 32.0 if factor != 1.0 else value - 273.15
    return value / factor


@lru_cache(maxsize=1024)
def _unit_of(unit: str, kind: Kind) -> Any:
    return unit_container(unit, kind)


def unit_factor(unit: str, kind: Any) -> float:
    """How many SI units one `unit` of this kind is (for a difference, where the scale has an offset)."""
    kind = kind if type(kind) is Kind else required_kind(kind)
    factor, _, why = scale(_unit_of(unit, kind), kind)
    if why:
        raise QuantityError(f"{unit!r} is not a unit of {kind.name}: {why}")
    return factor


@lru_cache(maxsize=1024)
def kind_of_units(units: Any) -> Kind | None:
    """The kind that a quantity in these units most likely is: one whose own unit this is (SI, then shown), else the
    first of `KINDS` that it can be; None where none fits."""
    try:
        fitting = [kind for kind in _kinds() if refusal(units, kind) is None]
    except Exception:  # a unit that this registry does not have
        return None
    own = [kind for kind in fitting if units == si_units(kind)]
    shown = [kind for kind in fitting if units in (_unit_of(kind.us, kind), _unit_of(kind.metric, kind))]
    return next(iter(own + shown + fitting), None)


@lru_cache(maxsize=1)
def _kinds() -> list[Kind]:
    return [kind for kind in map(kind_of, KINDS.values()) if kind is not None]


def kind_of_quantity(given: Any) -> Kind | None:
    """The kind that a quantity was made as, where its units still allow that, else the likely one by its units."""
    made_as = getattr(given, "_kind", None)
    if isinstance(made_as, Kind) and refusal(units_of(given), made_as) is None:
        return made_as
    return kind_of_units(units_of(given))
