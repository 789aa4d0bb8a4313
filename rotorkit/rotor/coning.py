"""How the blades rise: Lock number and coning."""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.quantities import Angle, Density, Length, MomentOfInertia, Ratio
from rotorkit.rotor.autorotation import INERTIA
from rotorkit.rotor.ranges import AIR_DENSITY, CHORD, RADIUS


@formula(
    source=sources.DEFINITION.at("Lock number"),
    letters={"density": r"\rho", "lift_slope": "a", "chord": "c", "rotor_radius": "R", "blade_inertia": "I_b"},
    result=r"\gamma",
    valid={
        "density": AIR_DENSITY,
        "lift_slope": ("3", "8"),
        "chord": CHORD,
        "rotor_radius": RADIUS,
        "blade_inertia": INERTIA,
    },
    shown={"chord": ("in", "mm")},
)
def lock_number(
    density: Density, lift_slope: Ratio, chord: Length, rotor_radius: Length, blade_inertia: MomentOfInertia
) -> Ratio:
    """The blade's lift against its inertia in flapping: heavy blades have a small Lock number.

    Formula: gamma = rho a c R^4 / Ib.

    Parameters
    ----------
    density : Density
        air density.
    lift_slope : Ratio
        of the section, per radian (ratio).
    chord : Length
        of the blade.
    rotor_radius : Length
        from the shaft's axis to the blade tip.
    blade_inertia : MomentOfInertia
        of ONE blade about its flapping hinge or the shaft (moment of inertia).

    Returns
    -------
    Ratio
        The Lock number; 4 to 10 for light helicopters (common practice, no source).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: rectangular blades.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(lock_number("0.0023769 slug/ft^3", 5.73, "10 in", "11 ft 8 in", "56 slug*ft^2"), digits=3)
    '3.75'
    """
    return density * lift_slope * chord * rotor_radius**4 / blade_inertia


@formula(
    source=sources.BLADE_ELEMENT_THEORY.at("coning in the hover, even inflow, no twist"),
    letters={"lock_number": r"\gamma", "blade_angle": r"\theta", "inflow_ratio": r"\lambda"},
    result=r"\beta_0",
    valid={"lock_number": ("0.5", "20"), "blade_angle": ("-10 deg", "30 deg"), "inflow_ratio": ("-0.2", "0.3")},
    shown={"result": ("deg", "deg"), "blade_angle": ("deg", "deg")},
)
def coning_angle(lock_number: Ratio, blade_angle: Angle, inflow_ratio: Ratio) -> Angle:
    """How far the blades rise above the plane square to the shaft: lift against centrifugal force.

    Formula: beta0 = (gamma / 8) (theta - 4 lambda / 3).

    Parameters
    ----------
    lock_number : Ratio
        of the blade (`lock_number`).
    blade_angle : Angle
        without twist (angle); of a twisted blade take it at 0.8 of the radius.
    inflow_ratio : Ratio
        all the flow down through the disk over tip speed (ratio); in the hover sqrt(CT / 2).

    Returns
    -------
    Angle
        The coning angle, up positive. It grows as rotor speed falls: coning past the manual's limit means that rotor
        speed is far too low.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover, even inflow, blades hinged at the shaft or flexible; the blade's weight is neglected.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(coning_angle(8, "8 deg", 0.05), "deg", digits=5)
    '4.1803°'
    """
    return lock_number / 8 * (blade_angle - 4 * inflow_ratio / 3)
