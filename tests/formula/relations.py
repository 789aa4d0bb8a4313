"""Small relations for the tests of the machinery: each has what one of them needs."""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import absolute, acos, asin, atan, cos, exp, formula, log, pi, sin, sqrt, tan
from rotorkit.quantities import (
    Angle,
    Area,
    Constant,
    Density,
    Force,
    Length,
    Power,
    Pressure,
    Ratio,
    Speed,
    Temperature,
    TemperatureDifference,
    Torque,
)

SOURCE = sources.ARITHMETIC.at("a relation for a test")
SEA_LEVEL = Constant(101325.0, "Pa", "p_0", SOURCE)
SCALE = Constant(44330.0, "m", "H", SOURCE)
FIRST_R = Constant(2.0, "m", "R", SOURCE)
SECOND_R = Constant(5.0, "s", "R", SOURCE)


@formula(source=SOURCE, letters={"thrust": "T", "density": r"\rho", "area": "A"}, result="P",
         valid={"thrust": ("0 lbf", None)})  # fmt: skip
def hover(thrust: Force, density: Density, area: Area) -> Power:
    """Ideal power."""
    return thrust * sqrt(thrust / (2 * density * area))


@formula(source=SOURCE, letters={"height": "h"}, result="p")
def barometric(height: Length) -> Pressure:
    """The case that keeps a symbolic solver busy for a minute."""
    return SEA_LEVEL * (1 - height / SCALE) ** 5.256


@formula(source=SOURCE, letters={"pressure": "p"}, result="h")
def altitude(pressure: Pressure) -> Length:
    return SCALE * (1 - (pressure / SEA_LEVEL) ** 0.19)


@formula(source=SOURCE, letters={"height": "h"}, result="h'")
def there_and_back(height: Length) -> Length:
    return altitude(barometric(height=height))


@formula(source=SOURCE, letters={"a": "a"}, result="y")
def square(a: Ratio) -> Ratio:
    return a**2


@formula(source=SOURCE, letters={"a": "a", "b": "b"}, result="y")
def cubic(a: Ratio, b: Ratio) -> Ratio:
    return a**3 - b * a


@formula(source=SOURCE, letters={"a": "a"}, result="y")
def humped(a: Ratio) -> Ratio:
    return a * exp(-a)


@formula(source=SOURCE, letters={"a": r"\theta"}, result="y", valid={"a": ("0 deg", "90 deg")})
def sine(a: Angle) -> Ratio:
    return sin(a)


@formula(source=SOURCE, letters={"first": "a", "second": "b"}, result="d")
def difference(first: Length, second: Length) -> Length:
    return first - second


@formula(source=SOURCE, letters={"length": "l"}, result="s")
def two_letters_alike(length: Length) -> Ratio:
    return length / FIRST_R


@formula(source=SOURCE, letters={"length": "l"}, result="v")
def with_both_letters(length: Length) -> Speed:
    return two_letters_alike(length) * FIRST_R / SECOND_R


@formula(source=SOURCE, letters={"warm": "t_2", "cold": "t_1"}, result=r"\Delta t")
def rise(warm: Temperature, cold: Temperature) -> TemperatureDifference:
    return warm - cold


@formula(source=SOURCE, letters={"cold": "t_1", "change": r"\Delta t"}, result="t_2")
def warmed(cold: Temperature, change: TemperatureDifference) -> Temperature:
    return cold + change


@formula(source=SOURCE, letters={"force": "F", "arm": "r"}, result="Q")
def moment(force: Force, arm: Length) -> Torque:
    return force * arm


@formula(source=SOURCE, letters={"share": "s", "power": "P"}, result="P_s", shown={"share": ("%", "%")})
def share_of(share: Ratio, power: Power) -> Power:
    return share * power


@formula(source=SOURCE, letters={"part": "P_1", "whole": "P"}, result="s", shown={"result": ("%", "%")})
def share_in(part: Power, whole: Power) -> Ratio:
    return part / whole


@formula(source=SOURCE, letters={"a": "a", "b": "b", "c": "c"}, result="y")
def everything(a: Ratio, b: Ratio, c: Ratio) -> Ratio:
    """Every function that a body may use, in one."""
    return (
        sin(a) * cos(b) + tan(a * b) - asin(a / 3) * acos(b / 3) + atan(c) / sqrt(a + b + 3)
        + exp(-a * a) * log(c + 4) - absolute(a - b) ** 1.5 + pi * c**3 / (1 + b**2) + (c + 4) ** (2 / 3)
        + (a + 3) ** -2
    )  # fmt: skip
