"""Full-throttle power of a normally aspirated piston engine in thinner air."""

from __future__ import annotations

import numpy as np

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.formula.contract import contract
from rotorkit.quantities import Power, Ratio

# From 20 000 ft standard down to a very cold day at sea level: the formula was made for altitude, and above a ratio
# of 1 it is stretched.
DENSITY_RATIO = ("0.5", "1.3")


@formula(source=sources.GAGG_FERRAR_1934.at("power ratio by density ratio"), letters={"density_ratio": r"\sigma"},
         result=r"\phi", valid={"density_ratio": DENSITY_RATIO},
         title="Power ratio at altitude, after Gagg and Ferrar")  # fmt: skip
def power_ratio_gagg_ferrar(density_ratio: Ratio) -> Ratio:
    """Full-throttle power in thin air over full-throttle power at sea level, at the same engine speed.

    Friction does not fall with the air, so that power falls faster than density.

    Formula: phi = sigma - (1 - sigma) / 7.55.

    Parameters
    ----------
    density_ratio : Ratio
        air density over the standard sea-level density. On a damp day take it from the DRY part of the
        air (`rotorkit.atmosphere.dry_air_density`): water vapour fills the cylinder and brings no oxygen. At 35
        °C, saturated, that costs 3 to 4 % of power more than the density of the moist air says.

    Returns
    -------
    Ratio
        The power ratio; 1 at sea level, standard day. Above 1 in denser air: an engine held to a rated power or
        manifold pressure does not give that, so do not count on it.

    Raises
    ------
    QuantityError
        no ratio was given, or it is out of range.

    Notes
    -----
    Range of validity: normally aspirated piston engines at full throttle and the right mixture, density ratio 0.5 to
    1.3. Intake heat, carburettor heat, a tired engine and a mixture set for another height are not included. An engine
    derated to a manifold-pressure limit holds its limit up to the height where full throttle just reaches it.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(power_ratio_gagg_ferrar(0.8616705), digits=6)
    '0.843349'
    """
    return density_ratio - (1 - density_ratio) / 7.55


@formula(source=sources.GAGG_FERRAR_1934.at("power ratio by density ratio"),
         letters={"sea_level_power": "P_0", "density_ratio": r"\sigma"}, result="P",
         valid={"sea_level_power": ("0 hp", None), "density_ratio": DENSITY_RATIO},
         title="Full-throttle power, after Gagg and Ferrar")  # fmt: skip
def full_throttle_power_gagg_ferrar(sea_level_power: Power, density_ratio: Ratio) -> Power:
    """Full-throttle power of a normally aspirated piston engine in the air as it is.

    Formula: P = P0 (sigma - (1 - sigma) / 7.55).

    Parameters
    ----------
    sea_level_power : Power
        full-throttle power at sea level, standard day, at the speed used. For a derated engine that is
        more than its rating; the rating then caps the result.
    density_ratio : Ratio
        air density over the standard sea-level density; of the dry part of the air on a damp day
        (`power_ratio_gagg_ferrar`).

    Returns
    -------
    Power
        The power at the engine's output.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range; every bad one is named.

    Notes
    -----
    Range of validity: as `power_ratio_gagg_ferrar`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(full_throttle_power_gagg_ferrar("138 hp", 0.8616705), "hp", digits=4)
    '116.4 hp'
    """
    return sea_level_power * power_ratio_gagg_ferrar(density_ratio)


@contract
def power_held_to_rating(rated_power: Power, density_ratio: Ratio) -> Power:
    """Power to count on from an engine rated at sea level: `full_throttle_power_gagg_ferrar`, never above the rating.

    In air denser than the standard sea level's the formula promises more than the rating. It was made for altitude and
    is stretched there, and an engine's maker does not promise it: so neither does this.

    Parameters
    ----------
    rated_power : Power
        full-throttle power at sea level, standard day (not negative).
    density_ratio : Ratio
        of the dry part of the air, as in `power_ratio_gagg_ferrar`.

    Returns
    -------
    Power
        The power at the engine's output; the rating itself from a density ratio of 1 on.

    Raises
    ------
    QuantityError
        an argument is not of its kind.

    Notes
    -----
    Source: Gagg and Ferrar (1934) below a density ratio of 1; the cap is common practice (no source).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(power_held_to_rating("138 hp", "0.8616705"), "hp"), say(power_held_to_rating("138 hp", "1.08"), "hp")
    ('116.4 hp', '138.0 hp')
    """
    found = full_throttle_power_gagg_ferrar.si(rated_power, density_ratio)
    held = np.where(np.less(density_ratio, 1), found, rated_power)
    return held if np.ndim(held) else float(held)
