"""Push-pull tubes: the load at which a tube bows out, and how much is left over the load it carries.

A slender tube buckles elastically (Euler); a stocky one yields as it buckles (Johnson's parabola). The two curves
meet, with one tangent, at the transition slenderness, where the stress is half the yield strength. A control tube has
rod ends at both ends: pinned, effective length factor 1. Nothing better may be assumed.

Sign: loads are compression, positive.

Not covered: a tube that is bent or dented (it bears less: sight along it, roll it on a flat plate), loads off the axis,
local crippling of a thin wall (a wall below a fiftieth of the diameter), holes and rivets at the ends, the shank of the
rod end in bending, vibration and fatigue.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from rotorkit import sources
from rotorkit.formula import nomenclature, pi, sqrt
from rotorkit.formula.contract import contract, si_of
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import (
    Area,
    Force,
    Kind,
    Length,
    QuantityError,
    Ratio,
    SecondMomentOfArea,
    Stress,
    required_kind,
    say,
)
from rotorkit.rigging.cable_strength import strength_margin

_LENGTH, _RATIO = required_kind(Length), required_kind(Ratio)
_POSITIVE = ("1e-5 m", None)
_INCHES = ("in", "mm")
_STRESS = ("1 psi", None)
_SECTION = sources.ARITHMETIC.at("section of a round tube")
_END = ("0.5", "2.5")

_formula = nomenclature(
    letters={
        "outer_diameter": "d", "wall": "t", "second_moment": "I", "area": "A", "length": "L", "radius": "r",
        "end_factor": "K", "elastic_modulus": "E", "yield_strength": r"\sigma_y",
    },
    valid={
        "outer_diameter": _POSITIVE, "wall": _POSITIVE, "area": ("1e-10 m^2", None), "length": _POSITIVE,
        "radius": _POSITIVE, "end_factor": _END, "elastic_modulus": _STRESS, "yield_strength": _STRESS,
    },
    shown={"outer_diameter": _INCHES, "wall": _INCHES, "area": ("in^2", "mm^2"), "length": _INCHES, "radius": _INCHES},
)  # fmt: skip


@_formula(source=_SECTION, result="A", shown={"result": ("in^2", "mm^2")})
def tube_area(outer_diameter: Length, wall: Length) -> Area:
    """Area of metal in a round tube's section.

    Examples
    --------
    3/4 in x 0.049 in: pi x 0.049 x (0.75 - 0.049) = 0.1079 in2.

    >>> from rotorkit.quantities import say
    >>> say(tube_area("3/4 in", "0.049 in"), "in^2", digits=4)
    '0.1079 in²'
    """
    return pi * wall * (outer_diameter - wall)


@_formula(source=_SECTION, result="I")
def tube_second_moment(outer_diameter: Length, wall: Length) -> SecondMomentOfArea:
    """Second moment of area of a round tube about a diameter.

    Examples
    --------
    3/4 in x 0.049 in: pi/64 (0.75^4 - 0.652^4) = 0.00666 in4.

    >>> from rotorkit.quantities import say
    >>> say(tube_second_moment("3/4 in", "0.049 in"), "in^4", digits=3)
    '0.00666 in⁴'
    """
    return pi / 64 * (outer_diameter**4 - (outer_diameter - 2 * wall) ** 4)


@_formula(
    source=sources.DEFINITION.at("radius of gyration"),
    result="r",
    valid={"second_moment": ("1e-14 m^4", None)},
    shown={"result": _INCHES},
)
def radius_of_gyration(second_moment: SecondMomentOfArea, area: Area) -> Length:
    """Radius of gyration of a section.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(radius_of_gyration("0.00666 in^4", "0.1079 in^2"), "in", digits=3)
    '0.248 in'
    """
    return sqrt(second_moment / area)


@_formula(source=sources.DEFINITION.at("slenderness ratio"), result=r"\lambda")
def slenderness_ratio(length: Length, radius: Length, end_factor: Ratio) -> Ratio:
    """Slenderness of a column: effective length over radius of gyration.

    Parameters
    ----------
    length : Length
        [length] between the rod-end bearings
    radius : Length
        [length] of gyration
    end_factor : Ratio
        [-] 1 for pinned ends, which rod ends are

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(slenderness_ratio("36 in", "0.248 in", 1), digits=3)
    '145'
    """
    return end_factor * length / radius


@_formula(source=sources.JOHNSON_COLUMN.at("tangent to Euler's curve at half the yield strength"), result=r"\lambda_c")
def transition_slenderness(elastic_modulus: Stress, yield_strength: Stress) -> Ratio:
    """Slenderness at which Johnson's parabola meets Euler's curve: sqrt(2 pi^2 E / yield strength).

    Examples
    --------
    Aluminium alloy, 10e6 and 40e3 psi: 70.2; steel, 29e6 and 75e3 psi: 87.4.

    >>> from rotorkit.quantities import say
    >>> say(transition_slenderness("10000000 psi", "40000 psi"), digits=3)
    '70.2'
    """
    return sqrt(2 * pi**2 * elastic_modulus / yield_strength)


@_formula(source=sources.EULER_COLUMN.at("P = pi^2 E I / (K L)^2"), result="P_E")
def euler_load(elastic_modulus: Stress, second_moment: SecondMomentOfArea, length: Length, end_factor: Ratio) -> Force:
    """Load at which a slender column buckles elastically.

    Parameters
    ----------
    elastic_modulus : Stress
        [stress] Young's modulus
    second_moment : SecondMomentOfArea
        [second moment of area] the least of the section
    length : Length
        [length] between the pins
    end_factor : Ratio
        [-] effective length over length: 1 pinned at both ends, 2 free at one end, 0.5 built in at both

    Returns
    -------
    Force
        The load, compression.

    Notes
    -----
    Range of validity: slenderness above `transition_slenderness`; below it this is too high, dangerously so.

    Examples
    --------
    3/4 x 0.049 in aluminium, 36 in: pi^2 x 10e6 x 0.00666 / 36^2 = 507 lbf.

    >>> from rotorkit.quantities import say
    >>> say(euler_load("10000000 psi", "0.00666 in^4", "36 in", 1), "lbf", digits=3)
    '507 lbf'
    """
    return pi**2 * elastic_modulus * second_moment / (end_factor * length) ** 2


@_formula(source=sources.JOHNSON_COLUMN.at("P = A s_y (1 - s_y (K L / r)^2 / (4 pi^2 E))"), result="P_J")
def johnson_load(
    elastic_modulus: Stress, yield_strength: Stress, area: Area, length: Length, radius: Length, end_factor: Ratio
) -> Force:
    """Load at which a column of medium slenderness buckles and yields, by Johnson's parabola.

    Parameters
    ----------
    elastic_modulus : Stress
        as in `euler_load`.
    yield_strength : Stress
        in compression.
    area : Area
        of the section.
    length, radius : Length
        between the ends, and the radius of gyration.
    end_factor : Ratio
        as in `euler_load`.

    Returns
    -------
    Force
        The load, compression.

    Notes
    -----
    Range of validity: slenderness below `transition_slenderness`.

    Examples
    --------
    3/4 x 0.049 in aluminium, 12 in: slenderness 48.3; 0.1079 x 40000 (1 - 40000 x 48.3^2 / (4 pi^2 10e6)) = 3295 lbf.

    >>> from rotorkit.quantities import say
    >>> load = johnson_load("10000000 psi", "40000 psi", "0.1079 in^2", "12 in", "0.2484 in", 1)
    >>> say(load, "lbf", digits=3)
    '3,295 lbf'
    """
    return (
        area
        * yield_strength
        * (1 - yield_strength * (end_factor * length / radius) ** 2 / (4 * pi**2 * elastic_modulus))
    )


@contract
def buckling_load(
    outer_diameter: Length,
    wall: Length,
    length: Length,
    elastic_modulus: Stress,
    yield_strength: Stress,
    end_factor: Ratio,
) -> Force:
    """Load at which a round tube buckles: Euler's if it is slender, Johnson's if not.

    Source: `euler_load`, `johnson_load`, and the slenderness at which they meet.

    Parameters
    ----------
    outer_diameter, wall : Length
        [length] of the tube
    length : Length
        [length] between the rod-end bearings
    elastic_modulus, yield_strength : Stress
        [stress] of its alloy and temper, from the tube's certificate or the kit maker
    end_factor : Ratio
        [-] 1 for rod ends

    Returns
    -------
    Force
        The load, compression (force).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(buckling_load("3/4 in", "0.049 in", "36 in", "10000000 psi", "40000 psi", 1), "lbf", digits=3)
    '507 lbf'
    """
    area = tube_area.si(outer_diameter, wall)
    second = tube_second_moment.si(outer_diameter, wall)
    radius = radius_of_gyration.si(second, area)
    slender = slenderness_ratio.si(length, radius, end_factor)
    if slender >= transition_slenderness.si(elastic_modulus, yield_strength):
        return euler_load.si(elastic_modulus, second, length, end_factor)
    return johnson_load.si(elastic_modulus, yield_strength, area, length, radius, end_factor)


@dataclass(frozen=True)
class TubeColumn:
    """A tube as a column.

    load: at which it buckles, Measured. slenderness, transition: plain numbers. regime: "slender (Euler)" or "stocky
    (Johnson)". margin: Measured ratio over the greatest load (load / greatest - 1), None if no load was given. remarks:
    what should be looked at.
    """

    load: Measured
    slenderness: float
    transition: float
    regime: str
    margin: Measured | None
    remarks: tuple[str, ...]


THIN_WALL = 1 / 50
"""A wall thinner than this part of the diameter may cripple locally before the tube buckles as a column (a common
engineering rule, from memory)."""


def tube_column(
    outer_diameter: Any,
    wall: Any,
    length: Any,
    elastic_modulus: Any,
    yield_strength: Any,
    greatest_load: Any = None,
    end_factor: Any = 1,
) -> TubeColumn:
    """A push-pull tube judged as a column, with its margin over the greatest load.

    Parameters
    ----------
    outer_diameter, wall, length, elastic_modulus, yield_strength, end_factor : Any
        as in `buckling_load`; text,
        quantities or Measured.
    greatest_load : Any
        [force] compression, with the factor that the manual or the rules ask for; None if not known.

    Returns
    -------
    TubeColumn
        The `TubeColumn`.

    Raises
    ------
    QuantityError
        a value cannot be read, or the wall is more than half the diameter.

    Examples
    --------
    >>> found = tube_column("3/4 in", "0.049 in", "36 in", "10000000 psi", "40000 psi", "200 lbf")
    >>> found.regime, round(found.slenderness), round(float(found.margin.si), 2)
    ('slender (Euler)', 145, 1.54)
    """
    thickness = _si(wall, _LENGTH, "wall") / _si(outer_diameter, _LENGTH, "outer_diameter")
    if thickness > 0.5:
        thick, wide = (one if isinstance(one, str) else say(one) for one in (wall, outer_diameter))
        raise QuantityError(f"wall: {thick} is more than half of the outer diameter, {wide}")
    area, second = tube_area(outer_diameter, wall), tube_second_moment(outer_diameter, wall)
    radius = radius_of_gyration(second, area)
    slender = _si(slenderness_ratio(length, radius, end_factor), _RATIO, "slenderness")
    transition = _si(transition_slenderness(elastic_modulus, yield_strength), _RATIO, "slenderness")
    load = buckling_load(outer_diameter, wall, length, elastic_modulus, yield_strength, end_factor)
    load = load if isinstance(load, Measured) else measured(load, Force, "buckling load")
    margin = None
    if greatest_load is not None:
        margin = strength_margin(load, greatest_load)
        margin = margin if isinstance(margin, Measured) else measured(margin, Ratio, "margin")
    remarks = []
    if thickness < THIN_WALL:
        remarks.append("The wall is thin for its diameter: it may cripple locally first, which is not covered here.")
    if margin is not None and float(margin.si) < 0:
        remarks.append("The tube buckles under this load.")
    regime = "slender (Euler)" if slender >= transition else "stocky (Johnson)"
    return TubeColumn(load, slender, transition, regime, margin, tuple(remarks))


def _si(value: Any, kind: Kind, label: str) -> float:
    return float(si_of(value, kind, label)[0])
