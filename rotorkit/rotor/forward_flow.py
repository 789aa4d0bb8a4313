"""The flow in forward flight: inflow with a tilted disk, profile power over the whole disk, the retreating blade's
load."""

from __future__ import annotations

from typing import Any

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.formula.contract import contract
from rotorkit.quantities import Angle, QuantityError, Ratio
from rotorkit.rotor.ranges import ADVANCE_RATIO
from rotorkit.sources import cautions

ADVANCING_TIP_MACH, RETREATING_LIFT = 0.8, 1.1
"""Where shock drag on the advancing tip and stall on the retreating blade are to be expected of plain sections of 12 %
thickness: common practice (no source). The manual's never-exceed speed comes first."""


@formula(
    source=sources.ARITHMETIC.at("roll balance of a blade at 270 degrees with an even lift coefficient"),
    letters={"blade_loading": r"C_T/\sigma", "advance_ratio": r"\mu"},
    result="c_l",
    valid={"blade_loading": ("0", "0.3"), "advance_ratio": ADVANCE_RATIO},
    title="Lift coefficient of the retreating blade",
)
def retreating_blade_lift_coefficient(blade_loading: Ratio, advance_ratio: Ratio) -> Ratio:
    """Lift coefficient that the retreating blade has to reach so that the rotor does not roll: an index of how near
    retreating-blade stall is.

    The moment about the hub that an even lift coefficient makes outboard of the reversed flow at the retreating side,
    cl (1 - mu)^3 (3 + mu) / 12, is set equal to that of the mean lift coefficient 6 CT / sigma in the hover, over 4.

    Formula: cl = 18 (CT / sigma) / ((1 - mu)^3 (3 + mu)).

    Parameters
    ----------
    blade_loading : Ratio
        CT / sigma (ratio).
    advance_ratio : Ratio
        airspeed over tip speed (ratio).

    Returns
    -------
    Ratio
        The lift coefficient. Above the section's greatest lift coefficient, about 1.1 to 1.3 (common practice, no
        source), expect stall: vibration, nose-up pitching, roll toward the retreating side.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: an index: a real blade's lift is uneven along its length, it stalls earlier at the tip, and for a
    moment it holds a little more than in a steady test.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(retreating_blade_lift_coefficient(0.08, 0.2), digits=3)
    '0.879'
    """
    return 18 * blade_loading / ((1 - advance_ratio) ** 3 * (3 + advance_ratio))


@contract
def profile_power_factor(advance_ratio: Ratio) -> Ratio:
    """Profile power in forward flight over that in hover, by the integral over the whole disk.

    Constant section drag against the resultant of cross and radial flow, reversed flow included: the mean of 4 times
    the cube of the speed met, ((r + mu sin psi)^2 + (mu cos psi)^2)^(3/2). It holds the power at the shaft and that
    which the blades' drag along the flight path takes.

    Parameters
    ----------
    advance_ratio : Ratio
        airspeed over tip speed (ratio or array), 0 to 0.6.

    Returns
    -------
    Ratio
        The factor on hovering profile power; 1 + 4.65 mu^2 is its usual short form.

    Raises
    ------
    QuantityError
        the ratio is out of range.

    Notes
    -----
    Range of validity: constant section drag coefficient, rectangular blades from the axis to the tip.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(profile_power_factor(0.25), digits=6)
    '1.29064'
    """
    import numpy as np

    mu = np.asarray(advance_ratio, dtype=float)
    if mu.size and (mu.min() < 0 or mu.max() > 0.6):
        raise QuantityError(f"profile_power_factor: advance_ratio must be from 0 to 0.6, got {float(mu.flat[0]):g}")
    # the integrand is smooth but at the axis: r = s^2 takes that corner in its stride
    node, weight = np.polynomial.legendre.leggauss(48)
    s = (node + 1) / 2
    r, along = s**2, weight / 2 * 2 * s
    sine = np.sin((np.arange(96) + 0.5) * 2 * np.pi / 96)
    square = r[:, None] ** 2 + 2 * mu[..., None, None] * r[:, None] * sine + mu[..., None, None] ** 2
    factor: Any = 4 * (np.maximum(square, 0) ** 1.5).mean(axis=-1) @ along
    return factor if np.ndim(advance_ratio) else float(factor)


@contract
def glauert_inflow_ratio(thrust_coefficient: Ratio, advance_ratio: Ratio, disk_angle: Angle) -> Ratio:
    """All the flow through the disk over tip speed, with the disk tilted forward: Glauert's equation.

    Solves lambda = mu tan(alpha) + CT / (2 sqrt(mu^2 + lambda^2)), by bracketed Newton steps.

    Parameters
    ----------
    thrust_coefficient : Ratio
        T / (rho A Vt^2) (ratio, not negative).
    advance_ratio : Ratio
        airspeed along the disk over tip speed (ratio, not negative).
    disk_angle : Angle
        tilt of the disk, forward positive (angle), 0 to 45 degrees.

    Returns
    -------
    Ratio
        The inflow ratio, down through the disk positive; less `mu tan(alpha)` it is the induced part.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range. With the disk tilted back, in a descent, the
        equation has more than one root and does not say which.

    Notes
    -----
    Range of validity: level flight and climb.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(glauert_inflow_ratio(0.005, 0.1, "0 deg"), digits=5)
    '0.024293'
    """
    import numpy as np

    ct, mu, alpha = (np.asarray(x, dtype=float) for x in (thrust_coefficient, advance_ratio, disk_angle))
    ranges = (("thrust_coefficient", ct, 0.1), ("advance_ratio", mu, 1.0), ("disk_angle", alpha, np.pi / 4))
    for name, value, most in ranges:
        if value.size and (value.min() < 0 or value.max() > most):
            raise QuantityError(f"glauert_inflow_ratio: {name} must be from 0 to {most:.4g}, got {value.min():g}")
    climb = mu * np.tan(alpha)
    low, high = climb, climb + np.sqrt(ct / 2)
    inflow = high + 0 * low
    for _ in range(60):
        speed = np.sqrt(mu * mu + inflow * inflow)
        with np.errstate(divide="ignore", invalid="ignore"):
            induced = np.where(speed > 0, ct / (2 * speed), 0.0)
            off = inflow - climb - induced
            step = off / (1 + np.where(speed > 0, induced * inflow / speed**2, 0.0))
        low, high = np.where(off < 0, inflow, low), np.where(off < 0, high, inflow)
        ahead = inflow - step
        ahead = np.where((ahead >= low) & (ahead <= high), ahead, 0.5 * (low + high))
        if np.all(np.abs(ahead - inflow) <= 1e-15 + 1e-14 * np.abs(ahead)):
            inflow = ahead
            break
        inflow = ahead
    return inflow if np.ndim(inflow) else float(inflow)


def blade_cautions(advancing_tip_mach: Any, retreating_lift: Any) -> list[str]:
    """What to say of the blades at an airspeed, in sentences; empty where nothing is.

    Parameters
    ----------
    advancing_tip_mach : Any
        from `tip_mach_advancing` (a plain number or a ratio).
    retreating_lift : Any
        from `retreating_blade_lift_coefficient` (a plain number or a ratio).

    Examples
    --------
    >>> blade_cautions(0.7, 1.3)[0][:40]
    'The retreating blade has to reach a lift'
    """
    mach, lift = (float(getattr(x, "magnitude", x)) for x in (advancing_tip_mach, retreating_lift))
    said = []
    if mach > ADVANCING_TIP_MACH:
        said.append(
            f"The advancing tip meets Mach {mach:.2f}, above {ADVANCING_TIP_MACH}: shock waves take power that is not "
            "counted here."
        )
    if lift > RETREATING_LIFT:
        said.append(
            f"The retreating blade has to reach a lift coefficient of {lift:.3f}, above {RETREATING_LIFT}: it stalls "
            "about here, and the true power is higher than shown."
        )
    return [*said, cautions.BLADE_STALL] if said else []
