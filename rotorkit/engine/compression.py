"""Differential compression test: which orifice, what a reading means, and how large a leak it stands for."""

from __future__ import annotations

import math

from rotorkit import sources
from rotorkit.atmosphere.standard import HEAT_CAPACITY_RATIO
from rotorkit.formula import formula
from rotorkit.formula.contract import contract
from rotorkit.quantities import Constant, GaugePressure, Length, Pressure, QuantityError, Ratio

BORE_FROM_WHICH_THE_LARGE_ORIFICE = Constant(5 * 0.0254, "m", "B", sources.AC_43_13_1B.at("8-14, change 1"))
SMALL_ORIFICE, LARGE_ORIFICE = 0.040 * 0.0254, 0.060 * 0.0254


@contract
def compression_orifice(bore: Length) -> Length:
    """Diameter of the tester's orifice for a cylinder bore: 0.040 in below 5.00 in, 0.060 in from there on.

    Both are 0.250 in long with a 60 degree approach. A tester with the wrong one makes a good cylinder look bad, or a
    bad one good.

    Parameters
    ----------
    bore : Length
        of the cylinder.

    Returns
    -------
    Length
        The orifice's diameter.

    Raises
    ------
    QuantityError
        Not a length, or no bore of an engine (1 to 10 in).

    Notes
    -----
    Source: AC 43.13-1B, 8-14, change 1, 2001 (quoted on two pages). Older texts drew a line at 1000 cubic inches of
    displacement; it is gone. What the engine maker says takes precedence.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(compression_orifice("4.999 in"), "in", digits=2), say(compression_orifice("5.125 in"), "in", digits=2)
    ('0.040 in', '0.060 in')
    """
    if not 0.0254 <= bore <= 0.254:
        raise QuantityError("compression_orifice: bore must be from 1 in to 10 in")
    return LARGE_ORIFICE if bore >= BORE_FROM_WHICH_THE_LARGE_ORIFICE * (1 - 1e-12) else SMALL_ORIFICE


@formula(
    source=sources.AC_43_13_1B.at("8-14"),
    letters={"reading": "p_2", "supply": "p_1"},
    result=r"L",
    valid={"supply": ("10 psi", "200 psi"), "reading": ("0 psi", "200 psi")},
    title="Loss of compression",
)
def compression_loss(reading: GaugePressure, supply: GaugePressure = "80 psi") -> Ratio:
    """Pressure lost across the tester's orifice, over the supply.

    Formula: L = (p1 - p2) / p1.

    Parameters
    ----------
    reading : GaugePressure
        of the cylinder's gauge
    supply : GaugePressure
        of the regulated gauge

    Returns
    -------
    Ratio
        The loss; more than 25 % is suspect (60/80 is just 25 %).

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: piston at top dead centre of the compression stroke, engine warm, propeller or rotor held.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(compression_loss("75 psi"), "%", digits=3)
    '6.25 %'
    """
    return (supply - reading) / supply


@contract
def equivalent_leak_diameter(
    reading: GaugePressure,
    orifice: Length,
    supply: GaugePressure = "80 psi",
    ambient: Pressure = "101325 Pa",
) -> Length:
    """Diameter of the one round hole that would leak what this cylinder leaks.

    What flows into the cylinder through the tester's orifice leaves it through the leak. Both are taken as nozzles of
    one flow coefficient and of air at one temperature; each is choked or not as its own pressures say.

    Parameters
    ----------
    reading : GaugePressure
        of the cylinder's gauge, below the supply and above nothing.
    orifice : Length
        of the tester (`compression_orifice`).
    supply : GaugePressure
        of the regulated gauge.
    ambient : Pressure
        of the air outside (absolute).

    Returns
    -------
    Length
        The diameter of the hole; nothing where the reading is the supply itself.

    Raises
    ------
    QuantityError
        The reading is not from just above nothing to the supply.

    Notes
    -----
    Source: isentropic flow of a perfect gas through two nozzles in a row (derived). Range: air; gauges that agree
    with each other. Worked by hand: 75 over 80 psi: 89.70/94.70 = 0.9472; the orifice passes 0.3164 p1 A1, the leak
    0.6847 p2 A2 (choked), so A2/A1 = 0.4878 and d = 0.040 sqrt(0.4878) = 0.0279 in.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> [say(equivalent_leak_diameter(f"{p} psi", "0.040 in"), "in", digits=3) for p in (75, 70, 60)]
    ['0.0279 in', '0.0336 in', '0.0412 in']
    """
    if not 0 < reading <= supply:
        raise QuantityError("equivalent_leak_diameter: reading must be above 0 psi and not above the supply")
    inside = reading + ambient
    into, out = _flow(supply + ambient, inside), _flow(inside, ambient)
    return orifice * math.sqrt(into / out)


def _flow(upstream: float, downstream: float) -> float:
    """Mass flow of a nozzle for each area, times the root of R T: choked or not."""
    k = float(HEAT_CAPACITY_RATIO)
    ratio = max(downstream / upstream, (2 / (k + 1)) ** (k / (k - 1)))
    return upstream * math.sqrt(max(0.0, 2 * k / (k - 1) * (ratio ** (2 / k) - ratio ** ((k + 1) / k))))
