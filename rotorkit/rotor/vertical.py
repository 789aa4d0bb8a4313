"""Vertical climb and descent by momentum theory, and by measurement where that theory has no answer.

Speeds are told as ratios to the hovering induced velocity vh = sqrt(T / (2 rho A)): the climb ratio is positive upward,
the induced ratio positive downward through the disk. Momentum theory is exact for an actuator disk in two states: from
hover upward, and in fast descent, beyond twice vh, where the air passes up through the rotor and drives it (the
windmill branch). In between the wake folds back on the rotor: the vortex-ring state, then the turbulent-wake state in
which an autorotation straight down settles. There no momentum balance holds; the curves of NACA TN 2474 were measured,
scatter by 0.15 and more, and say what the induced velocity was on average, not that the flow is steady.
"""

from __future__ import annotations

from typing import Any

from rotorkit import sources
from rotorkit.formula import formula, sqrt
from rotorkit.formula.contract import contract
from rotorkit.quantities import Area, Constant, Density, Force, Power, QuantityError, Ratio, Speed
from rotorkit.rotor import ranges
from rotorkit.rotor.hover import induced_velocity_hovering
from rotorkit.sources import cautions, published

AUTOROTATION_DESCENT_RATIO = Constant(
    1.75, "", r"V_d/v_h", sources.NACA_TN_2474.at("fig. 12, ideal autorotation, within 0.03")
)
VORTEX_RING_FROM, VORTEX_RING_TO = -0.25, -1.5
"""Climb ratios between which the vortex-ring state is to be feared: from the wake's first unsteadiness to the peak of
the measured curve. The lower end is common practice (no source), the upper end is read from NACA TN 2474, fig. 12."""
WINDMILL_FROM = -2.0
CURVES = {"model rotor": "induced_ratio_fig12", "full scale": "induced_ratio_full_scale_fig16"}
_TABLE = "naca_tn_2474_descent_curve.csv"
_VERTICAL = {"thrust": ranges.NOT_NEGATIVE_FORCE, "density": ranges.AIR_DENSITY, "disk_area": ranges.DISK_AREA}
_LETTERS = {"thrust": "T", "density": r"\rho", "disk_area": "A"}


@formula(
    source=sources.MOMENTUM_THEORY.at("vertical climb"),
    letters={"climb_ratio": r"\mu"},
    result="v/v_h",
    valid={"climb_ratio": ("0", "20")},
    title="Induced velocity ratio in a vertical climb",
)
def induced_ratio_climbing(climb_ratio: Ratio) -> Ratio:
    """Induced velocity in a vertical climb over that in the hover: a climbing rotor meets more air and pushes it less.

    Formula: v / vh = -m / 2 + sqrt((m / 2)^2 + 1), m the climb ratio.

    Parameters
    ----------
    climb_ratio : Ratio
        rate of climb over hovering induced velocity (ratio, not negative).

    Returns
    -------
    Ratio
        The induced ratio; 1 in the hover.

    Raises
    ------
    QuantityError
        the ratio is negative: a descent has other answers (`induced_ratio_vertical`).

    Notes
    -----
    Range of validity: hover and climb straight up, out of ground effect.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(induced_ratio_climbing(1), digits=6)
    '0.618034'
    """
    return -climb_ratio / 2 + sqrt((climb_ratio / 2) ** 2 + 1)


@formula(
    source=sources.MOMENTUM_THEORY.at("windmill branch"),
    letters={"climb_ratio": r"\mu"},
    result="v/v_h",
    valid={"climb_ratio": ("-20", "-2")},
    title="Induced velocity ratio in a fast vertical descent",
)
def induced_ratio_windmill(climb_ratio: Ratio) -> Ratio:
    """Induced velocity in a fast vertical descent over that in the hover, where the air drives the rotor.

    Formula: v / vh = -m / 2 - sqrt((m / 2)^2 - 1), m the climb ratio (negative).

    Parameters
    ----------
    climb_ratio : Ratio
        rate of climb over hovering induced velocity (ratio), -2 or less: a descent at twice the hovering
        induced velocity or faster.

    Returns
    -------
    Ratio
        The induced ratio (positive: it slows the air that comes up).

    Raises
    ------
    QuantityError
        the descent is slower: momentum theory has no answer there.

    Notes
    -----
    Range of validity: windmill branch only.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(induced_ratio_windmill(-3), digits=6)
    '0.381966'
    """
    return -climb_ratio / 2 - sqrt((climb_ratio / 2) ** 2 - 1)


@formula(
    source=sources.DEFINITION.at("power of thrust against the air that comes through the disk"),
    letters={"climb_ratio": r"\mu", "induced_ratio": "v/v_h"},
    result="P/P_h",
    title="Power ratio in vertical flight",
)
def power_ratio_vertical(climb_ratio: Ratio, induced_ratio: Ratio) -> Ratio:
    """Ideal power in vertical flight over ideal hover power: climbing plus inducing.

    Formula: P / Ph = m + v / vh.

    Parameters
    ----------
    climb_ratio : Ratio
        rate of climb over hovering induced velocity (ratio, up positive).
    induced_ratio : Ratio
        from the function for that state.

    Returns
    -------
    Ratio
        The power ratio; zero in ideal autorotation, negative where the air gives power to the rotor. Without blade
        drag.

    Raises
    ------
    QuantityError
        an argument is not a ratio.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(power_ratio_vertical(1, induced_ratio_climbing(1)), digits=6)
    '1.61803'
    """
    return climb_ratio + induced_ratio


@formula(
    source=sources.MOMENTUM_THEORY.at("vertical climb"),
    letters={**_LETTERS, "climb_speed": "V_c"},
    result="v_i",
    valid={**_VERTICAL, "climb_speed": ranges.DESCENT},
    shown={"climb_speed": ("ft/min", "m/s")},
    title="Induced velocity in a vertical climb",
)
def induced_velocity_climbing(thrust: Force, density: Density, disk_area: Area, climb_speed: Speed) -> Speed:
    """Induced velocity in a vertical climb.

    Formula: vi = -Vc / 2 + sqrt((Vc / 2)^2 + T / (2 rho A)).

    Parameters
    ----------
    thrust, density, disk_area : Force, Density, Area
        as in the hover.
    climb_speed : Speed
        straight up (speed, not negative).

    Returns
    -------
    Speed
        The induced velocity, down positive.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover and climb straight up, out of ground effect.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(induced_velocity_climbing("1400 lbf", "0.0023769 slug/ft^3", "490.874 ft^2", "0 ft/min"), "ft/s",
    ...     digits=5)
    '24.494 ft/s'
    """
    return -climb_speed / 2 + sqrt((climb_speed / 2) ** 2 + thrust / (2 * density * disk_area))


@formula(
    source=sources.MOMENTUM_THEORY.at("windmill branch"),
    letters={**_LETTERS, "descent_speed": "V_d"},
    result="v_i",
    valid={**_VERTICAL, "descent_speed": ranges.DESCENT},
    shown={"descent_speed": ("ft/min", "m/s")},
    title="Induced velocity in a fast vertical descent",
)
def induced_velocity_windmill(thrust: Force, density: Density, disk_area: Area, descent_speed: Speed) -> Speed:
    """Induced velocity in a vertical descent at twice the hovering induced velocity or faster.

    Formula: vi = Vd / 2 - sqrt((Vd / 2)^2 - T / (2 rho A)).

    Parameters
    ----------
    thrust, density, disk_area : Force, Density, Area
        as in the hover.
    descent_speed : Speed
        straight down (speed, positive in descent).

    Returns
    -------
    Speed
        The induced velocity (against the air that comes up).

    Raises
    ------
    QuantityError
        an argument is not of its kind; or the descent is slower than twice the hovering induced
        velocity, where there is no real value.

    Notes
    -----
    Range of validity: windmill branch only.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(induced_velocity_windmill("1400 lbf", "0.0023769 slug/ft^3", "490.874 ft^2", "60 ft/s"), "ft/s",
    ...     digits=5)
    '12.678 ft/s'
    """
    return descent_speed / 2 - sqrt((descent_speed / 2) ** 2 - thrust / (2 * density * disk_area))


@formula(
    source=sources.MOMENTUM_THEORY.at("vertical climb"),
    letters={**_LETTERS, "climb_speed": "V_c"},
    result="P",
    valid={**_VERTICAL, "climb_speed": ranges.DESCENT},
    shown={"climb_speed": ("ft/min", "m/s")},
    title="Ideal power in a vertical climb",
)
def ideal_power_climbing(thrust: Force, density: Density, disk_area: Area, climb_speed: Speed) -> Power:
    """The least power for a vertical climb.

    Formula: P = T (Vc + vi), vi by `induced_velocity_climbing`.

    Parameters
    ----------
    thrust, density, disk_area : Force, Density, Area
        as in the hover.
    climb_speed : Speed
        straight up (speed, not negative).

    Returns
    -------
    Power
        The ideal power at the rotor's shaft. Less than hover power plus thrust times rate of climb, because the induced
        velocity falls.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover and climb straight up, out of ground effect.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(ideal_power_climbing("1400 lbf", "0.0023769 slug/ft^3", "490.874 ft^2", "300 ft/min"), "hp", digits=4)
    '69.04 hp'
    """
    return thrust * (climb_speed + induced_velocity_climbing(thrust, density, disk_area, climb_speed))


@formula(
    source=sources.MOMENTUM_THEORY.at("vertical climb, inverted, with an induced factor"),
    letters={**_LETTERS, "rotor_power": "P", "profile_power": "P_0", "induced_factor": r"\kappa"},
    result="V_c + v_i",
    shown={"result": ("ft/s", "m/s")},
    title="Air speed up through the rotor, its own and the climb's",
)
def _upward_part(
    thrust: Force, density: Density, disk_area: Area, rotor_power: Power, profile_power: Power, induced_factor: Ratio
) -> Speed:
    """Speed of the air through the disk in a vertical climb, Vc + v: (p + sqrt(p^2 - 4 (kappa - 1) vh^2)) / 2 with
    p = (P - P0) / T."""
    return (
        (rotor_power - profile_power) / thrust
        + sqrt(
            ((rotor_power - profile_power) / thrust) ** 2
            - 4 * (induced_factor - 1) * induced_velocity_hovering(thrust, density, disk_area) ** 2
        )
    ) / 2


@formula(
    source=sources.MOMENTUM_THEORY.at("vertical climb, inverted, with an induced factor"),
    letters={**_LETTERS, "rotor_power": "P", "profile_power": "P_0", "induced_factor": r"\kappa"},
    result="V_c",
    valid={
        **_VERTICAL,
        "thrust": ("1 lbf", None),
        "rotor_power": ranges.NOT_NEGATIVE_POWER,
        "profile_power": ranges.NOT_NEGATIVE_POWER,
        "induced_factor": ranges.INDUCED_FACTOR,
    },
    shown={"result": ("ft/min", "m/s")},
    title="Rate of climb, straight up",
)
def vertical_climb_rate(
    thrust: Force, density: Density, disk_area: Area, rotor_power: Power, profile_power: Power, induced_factor: Ratio
) -> Speed:
    """Vertical rate of climb from the power in hand.

    From P = T (Vc + kappa v) + P0 and v (Vc + v) = T / (2 rho A):
    Formula: u = (p + sqrt(p^2 - 4 (kappa - 1) vh^2)) / 2 with p = (P - P0) / T; Vc = u - vh^2 / u.

    Parameters
    ----------
    thrust : Force
        the weight, with the download on the airframe (force).
    density, disk_area : Density, Area
        of the air; of the rotor.
    rotor_power : Power
        at the main rotor's shaft, after tail rotor, losses and accessories.
    profile_power : Power
        what the blades' drag takes of it (`profile_power_hovering`).
    induced_factor : Ratio
        actual over ideal induced power; 1.15 is usual (common practice, no source).

    Returns
    -------
    Speed
        The rate of climb (speed). Zero or less where the power just holds the hover or does not: a negative figure says
        that much, but is no rate of descent.

    Raises
    ------
    QuantityError
        an argument is not of its kind; or the power is far too little, where there is no real value.

    Notes
    -----
    Range of validity: climb straight up, out of ground effect.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(vertical_climb_rate("1400 lbf", "0.0023769 slug/ft^3", "490.874 ft^2", "69.036 hp", "0 hp", 1),
    ...     "ft/min", digits=3)
    '300 ft/min'
    """
    return _upward_part(thrust, density, disk_area, rotor_power, profile_power, induced_factor) - (
        induced_velocity_hovering(thrust, density, disk_area) ** 2
        / _upward_part(thrust, density, disk_area, rotor_power, profile_power, induced_factor)
    )


@contract
def induced_ratio_vertical(climb_ratio: Ratio, curve: str = "model rotor") -> Ratio:
    """Induced velocity over that in the hover, for any vertical speed: theory where it holds, measurement between.

    Climb and hover: `induced_ratio_climbing`. Descent at twice the hovering induced velocity or faster:
    `induced_ratio_windmill`. Between: the curve of NACA TN 2474, EMPIRICAL, on straight lines between its points as
    read by eye (within 0.03; the tests behind it scatter by 0.15). It does not join the theory: the hover end of the
    measured curve is 1.10 (model) or 1.22 (full scale), since a real rotor is not ideal, and at the windmill end the
    model's is 1.35 where theory says 1.

    Parameters
    ----------
    climb_ratio : Ratio
        rate of climb over hovering induced velocity (ratio or array, up positive).
    curve : str
        "model rotor" (fig. 12, a 6-ft rotor without twist) or "full scale" (fig. 16, read to a descent ratio of
        1.8 only; beyond, the model rotor's stands in).

    Returns
    -------
    Ratio
        The induced ratio.

    Raises
    ------
    QuantityError
        the curve is not one of the two.

    Notes
    -----
    Range of validity: `working_state` names the part. In the vortex-ring state nothing is steady: use the figure to
    keep away from there, never to plan a flight in it.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(induced_ratio_vertical(-1), digits=3), say(induced_ratio_vertical(-2.5), digits=3)
    ('2.02', '0.500')
    """
    import numpy as np

    if curve not in CURVES:
        raise QuantityError(f"induced_ratio_vertical: curve must be one of {', '.join(CURVES)}, got {curve!r}")
    ratio = np.asarray(climb_ratio, dtype=float)
    descent, induced = _curve(curve)
    with np.errstate(invalid="ignore"):
        found = np.select(
            [ratio >= 0, ratio > WINDMILL_FROM],
            [induced_ratio_climbing.si(np.maximum(ratio, 0.0)), np.interp(-ratio, descent, induced)],
            induced_ratio_windmill.si(np.minimum(ratio, WINDMILL_FROM)),
        )
    return found if np.ndim(climb_ratio) else float(found)


def _curve(curve: str) -> tuple[list[float], list[float]]:
    rows = published.rows(_TABLE)
    column = CURVES[curve]
    given = [row[column] or (row["induced_ratio_fig12"] if float(row["descent_ratio"]) > 1.8 else "") for row in rows]
    return (
        [float(row["descent_ratio"]) for row, value in zip(rows, given, strict=True) if value],
        [float(value) for value in given if value],
    )


def working_state(climb_ratio: Any) -> str:
    """The working state of a rotor in vertical flight, in words.

    Parameters
    ----------
    climb_ratio : Any
        rate of climb over hovering induced velocity (a plain number or a ratio, up positive).

    Returns
    -------
    str
        "climb", "hover", "slow descent", "vortex-ring state", "turbulent-wake state" or "windmill state". Between the
        hover and the windmill state the figures are measured, not theory. Where one ends and the next begins is common
        practice (no source), but for -2, which is momentum theory.

    Examples
    --------
    >>> working_state(-0.8)
    'vortex-ring state'
    """
    ratio = float(getattr(climb_ratio, "magnitude", climb_ratio))
    if ratio > 0:
        return "climb"
    if ratio == 0:
        return "hover"
    if ratio > VORTEX_RING_FROM:
        return "slow descent"
    if ratio > VORTEX_RING_TO:
        return "vortex-ring state"
    return "turbulent-wake state" if ratio > WINDMILL_FROM else "windmill state"


def descent_cautions(climb_ratio: Any) -> list[str]:
    """The cautions that belong to a vertical speed, for whoever shows a figure at it; empty in climb and hover.

    Parameters
    ----------
    climb_ratio : Any
        rate of climb over hovering induced velocity (a plain number or a ratio, up positive).

    Examples
    --------
    >>> [caution[:17] for caution in descent_cautions(-0.8)]
    ['Vortex-ring state']
    """
    state = working_state(climb_ratio)
    if state in ("slow descent", "vortex-ring state", "turbulent-wake state"):
        return [cautions.VORTEX_RING]
    return [cautions.AUTOROTATION] if state == "windmill state" else []
