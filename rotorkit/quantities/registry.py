"""The one unit registry, and the rules that tell kinds apart by their units.

The registry is private to rotorkit and made at first use: importing rotorkit changes no other program's registry, and
quantities of another registry are taken by converting them with that registry's own definitions.
Inside, everything is a bare float in coherent SI units; the factor of every pair of units is worked out once and kept.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import pint

from rotorkit.quantities.kinds import KINDS, Kind, kind_of

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
OFFSET_UNITS = {"degree_Celsius": (1.0, 273.15), "degree_Fahrenheit": (5.0 / 9.0, 459.67)}


@lru_cache(maxsize=1)
def registry() -> Any:
    """The private unit registry (made at first use: about a tenth of a second)."""
    return pint.UnitRegistry()


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
    from rotorkit.quantities.reading import unit_container

    return registry().get_dimensionality(unit_container(kind.si, kind))


def refusal(units: Any, kind: Kind) -> str | None:
    """Why a quantity in these units (a pint units container) is not of this kind; None if it is."""
    names = _names(units)
    if registry().get_dimensionality(units) != dimensions(kind):
        return "its dimensions differ"
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
    offset = [name for name in names if name in ("degree_Celsius", "degree_Fahrenheit", "degree_Rankine")]
    difference = any(name.startswith("delta_") for name in units)
    if kind.flavour == "temperature" and difference:
        return "its unit says a difference of temperatures"
    if kind.flavour in ("difference", "per degree") and any(name != "degree_Rankine" for name in offset):
        return "its unit says a temperature, not a difference"
    return None


@lru_cache(maxsize=8192)
def _scale(units: Any, kind: Kind) -> tuple[float, float, str | None]:
    """(factor, shift, refusal): SI value = (magnitude + shift) * factor."""
    try:
        why = refusal(units, kind)
    except Exception as problem:  # a unit that this registry does not have
        return 1.0, 0.0, str(problem)
    if why:
        return 1.0, 0.0, why
    if kind.flavour == "temperature":
        for name, (factor, shift) in OFFSET_UNITS.items():
            if name in units:
                return factor, shift, None
    if not units:
        return 1.0, 0.0, None
    return float(registry().Quantity(1.0, units).to_base_units().magnitude), 0.0, None


_scales: dict[Kind, dict[Any, tuple[float, float, str | None]]] = {}


def si_value(quantity: Any, kind: Kind) -> Any:
    """The bare SI value (float or array) of a pint quantity; a `ValueError` says why where it is not of this kind."""
    units = quantity._units
    if quantity._REGISTRY is not registry():
        return _foreign_value(quantity, kind)
    scales = _scales.get(kind)
    if scales is None:
        scales = _scales[kind] = {}
    found = scales.get(units)
    if found is None:
        found = scales[units] = _scale(units, kind)
    factor, shift, why = found
    if why:
        raise ValueError(why)
    magnitude = quantity._magnitude
    if shift:
        # shifted before it is scaled, and by an exact 5/9: 32 °F is 273.15 K and 212 °F is 373.15 K to the last bit
        return (magnitude + shift) * 5.0 / 9.0 if factor != 1.0 else magnitude + shift
    return magnitude * factor if factor != 1.0 else magnitude


def _foreign_value(quantity: Any, kind: Kind) -> Any:
    why = refusal(quantity._units, kind)
    if why:
        raise ValueError(why)
    units = registry().Unit(registry().UnitsContainer(dict(_si_units(kind).items())))
    return quantity.to(str(units)).magnitude if kind.si else quantity.to("dimensionless").magnitude


@lru_cache(maxsize=256)
def _si_units(kind: Kind) -> Any:
    from rotorkit.quantities.reading import unit_container

    return unit_container(kind.si, kind)


@lru_cache(maxsize=256)
def _si_unit(kind: Kind) -> Any:
    return registry().Unit(_si_units(kind))


def from_si(value: Any, kind: Kind) -> Any:
    """A quantity of this kind from a bare SI value (float or array)."""
    return registry().Quantity(value, _si_unit(kind))


def in_unit(value: Any, unit: str, kind: Kind) -> Any:
    """A bare SI value expressed in another unit of the kind (text, as typed): the inverse of reading it."""
    factor, shift, why = _scale(_unit_of(unit, kind), kind)
    if why:
        raise ValueError(f"{unit!r} is not a unit of {kind.name}: {why}")
    if shift:
        return value * 9.0 / 5.0 - shift if factor != 1.0 else value - shift
    return value / factor


@lru_cache(maxsize=1024)
def _unit_of(unit: str, kind: Kind) -> Any:
    from rotorkit.quantities.reading import unit_container

    return unit_container(unit, kind)


def unit_factor(unit: str, kind: Kind) -> float:
    """How many SI units one `unit` of this kind is (for a difference, where the scale has an offset)."""
    factor, _, why = _scale(_unit_of(unit, kind), kind)
    if why:
        raise ValueError(f"{unit!r} is not a unit of {kind.name}: {why}")
    return factor


@lru_cache(maxsize=1024)
def kind_of_units(units: Any) -> Kind | None:
    """The first kind of `KINDS` that a quantity in these units can be; None where none fits."""
    for annotation in KINDS.values():
        kind = kind_of(annotation)
        if kind is not None and refusal(units, kind) is None:
            return kind
    return None
