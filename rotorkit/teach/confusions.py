"""Which units are taken for which: the one table of it, from which every unit slip follows.

Units are the registry's names. What is confused follows from the unit in which a figure stands, a part of it at a time:
a stiffness in lbf/in is mistaken where pounds are taken for newtons, or inches for feet. Common practice (no source).
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Any

from rotorkit.quantities import Kind
from rotorkit.quantities.pint_inside import registry, units_of
from rotorkit.quantities.registry import dimensions
from rotorkit.quantities.saying import unit_text
from rotorkit.quantities.spelled_units import unit_container

STANDARD_GRAVITY = 9.80665
STANDARD_GRAVITY_IN_FEET = STANDARD_GRAVITY / 0.3048

PARTS: dict[str, tuple[str, ...]] = {
    "foot": ("inch", "meter", "millimeter"),
    "inch": ("foot", "millimeter", "meter"),
    "millimeter": ("meter", "inch", "foot"),
    "meter": ("foot", "millimeter", "inch"),
    "degree": ("radian",),
    "radian": ("degree",),
    "revolutions_per_minute": ("radian/second", "hertz", "radian/minute"),
    "radian/second": ("revolutions_per_minute",),
    "turn": ("radian", "degree"),
    "arcminute": ("degree",),
    "pound": ("kilogram", "slug", "ounce", "force_pound"),
    "slug": ("pound", "kilogram"),
    "kilogram": ("pound", "force_kilogram", "gram"),
    "gram": ("kilogram", "ounce"),
    "ounce": ("pound", "gram"),
    "force_pound": ("newton", "force_kilogram", "pound"),
    "newton": ("force_pound", "force_kilogram"),
    "second": ("minute", "hour"),
    "minute": ("second", "hour"),
    "hour": ("minute", "second"),
    "gallon": ("liter", "imperial_gallon"),
    "liter": ("gallon", "meter**3"),
    "horsepower": ("watt", "kilowatt"),
    "kilowatt": ("watt", "horsepower"),
    "watt": ("kilowatt", "horsepower"),
    "delta_degree_Fahrenheit": ("kelvin",),
    "degree_Fahrenheit": ("kelvin",),
    "kelvin": ("delta_degree_Fahrenheit",),
    "kilojoule": ("joule",),
    "percent": ("dimensionless",),
}
"""A part of a unit, and what it is taken for."""

WHOLE: tuple[tuple[str, ...], ...] = (
    ("knot", "mile_per_hour", "foot/second", "meter/second", "kilometer/hour", "foot/minute"),
    ("pound_force_per_square_inch", "inch_Hg", "hectopascal", "kilopascal", "pascal", "force_pound/foot**2", "bar"),
    ("horsepower", "kilowatt", "watt", "foot*force_pound/second", "foot*force_pound/minute"),
    ("slug/foot**3", "kilogram/meter**3", "pound/foot**3"),
    ("force_pound*foot", "force_pound*inch", "newton*meter"),
    ("inch**2", "foot**2", "meter**2"),
)
"""Whole units that are taken for one another."""

USUAL = frozenset(
    frozenset(pair.split(" | "))
    for pair in (
        "foot | inch",
        "degree | radian",
        "revolutions_per_minute | radian/second",
        "pound | slug",
        "pound | kilogram",
        "force_pound | newton",
        "knot | mile_per_hour",
        "minute | second",
        "inch | millimeter",
        "gallon | liter",
        "horsepower | watt",
        "horsepower | kilowatt",
        "foot | meter",
        "gram | ounce",
        "horsepower | foot*force_pound/second",
        "horsepower | foot*force_pound/minute",
        "percent | dimensionless",
        "delta_degree_Fahrenheit | kelvin",
    )
)
"""The pairs that are taken for one another most."""


@lru_cache(maxsize=512)
def si_scale(unit: str) -> float:
    """How many coherent SI units one of it is; of an offset temperature unit one degree."""
    if unit in ("degree_Fahrenheit", "delta_degree_Fahrenheit"):
        return 5 / 9
    if unit in ("degree_Celsius", "delta_degree_Celsius", "kelvin"):
        return 1.0
    if unit == "degree":
        return 0.017453292519943295
    return float(registry().Quantity(1.0, unit).to_base_units().magnitude)


class Confusion:
    """One unit taken for another. ratio: what the SI value is multiplied by; written, taken: the two units in words;
    usual: whether it is among the most frequent."""

    def __init__(self, ratio: float, written: str, taken: str, usual: bool) -> None:
        self.ratio, self.written, self.taken, self.usual = ratio, written, taken, usual


@lru_cache(maxsize=512)
def _label(unit: str) -> str:
    """A unit as it is written beside a figure."""
    if unit == "radian/minute":  # nobody means it: it is what turns come to without the 2π
        return "rad/min, the 2π left out,"
    return "a plain number" if unit == "dimensionless" else unit_text(_units(unit)) or unit


@lru_cache(maxsize=512)
def _key(unit: str) -> str:
    """One text for all spellings of a unit."""
    return _joined({str(name): float(power) for name, power in _units(unit).items()})


def _units(unit: str) -> Any:
    return units_of(registry().Quantity(1.0, unit))


def confusions_of(units: Any, kind: Kind) -> list[Confusion]:
    """What a figure of a kind, standing in these units, is mistaken for, each ratio once."""
    names = {str(name): float(power) for name, power in units.items()}
    found: list[Confusion] = []
    texts = {unit_text(units), *(unit_text(unit_container(u, kind)) for u in (kind.si, kind.us, kind.metric) if u)}

    def add(ratio: float, written: str, taken: str) -> None:
        if abs(ratio - 1) > 1e-9 and not any(abs(one.ratio / ratio - 1) < 1e-9 for one in found):
            usual = frozenset((written, taken)) in USUAL
            first, second = (one if one in texts else _label(one) for one in (written, taken))
            found.append(Confusion(ratio, first, second, usual))

    whole = _joined(names)
    for group in WHOLE:
        held = [one for one in group if _key(one) == whole]
        for other in group:
            if held and other != held[0]:
                add(si_scale(other) / si_scale(held[0]), held[0], other)
    if whole == _joined({"radian": 1, "second": -1}):
        add(si_scale("revolutions_per_minute"), "radian/second", "revolutions_per_minute")
    for name, power in names.items():
        for other in PARTS.get(name, ()):
            if other == "kelvin" and kind.flavour == "temperature":
                continue  # a temperature has slips of its own
            add((_scale(other) / _scale(name)) ** power, name, other)
    for unit in dict.fromkeys((kind.si, kind.us, kind.metric)):  # as it stands in the formula, or beside other fields
        if unit and kind.flavour != "temperature":
            other_units = unit_container(unit, kind)
            add(_size(other_units) / _size(units), unit_text(units), unit_text(other_units))
    if kind.pound == "force" and "force_pound" in names and dimensions(kind):
        add(1 / STANDARD_GRAVITY_IN_FEET, "force_pound", "slug")
    return found


def _scale(name: str) -> float:
    return 1.0 if name == "dimensionless" else si_scale(name)


def _size(units: Any) -> float:
    return math.prod(_scale(str(name)) ** float(power) for name, power in units.items())


def _joined(names: dict[str, float]) -> str:
    return " ".join(f"{name}^{float(power):g}" for name, power in sorted(names.items()))
