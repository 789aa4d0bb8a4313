"""Hovering close to the ground, and the downwash on the airframe.

The ground keeps the wake from falling freely: the same thrust takes less power, or the same power gives more thrust.
Two published relations, kept apart by their authors' names. Both measure height from the ROTOR, not from the skids,
over firm level ground in still air. Over tall grass, a slope, a roof's edge or water the help is less or none: never
count on it to get away.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import nomenclature
from rotorkit.quantities import Area, Force, Length, Ratio, Speed
from rotorkit.rotor import ranges

_formula = nomenclature(
    letters={
        "rotor_height": "z", "rotor_radius": "R", "height_ratio": "z/R", "airspeed": "V", "induced_velocity": "v_i",
        "vertical_drag_area": "f_v", "disk_area": "A", "wake_speed_ratio": "k", "weight": "W",
        "download_ratio": "D_v/T",
    },
    valid={
        "rotor_height": ("1 ft", "1000 ft"), "rotor_radius": ranges.RADIUS, "height_ratio": ranges.HEIGHT_OVER_RADIUS,
        "airspeed": ranges.AIRSPEED, "induced_velocity": ("1 ft/s", "200 ft/s"),
        "vertical_drag_area": ranges.FLAT_PLATE,
        "disk_area": ranges.DISK_AREA, "wake_speed_ratio": ("1", "2"), "weight": ranges.NOT_NEGATIVE_FORCE,
        "download_ratio": ("0", "0.3"),
    },
    shown={"airspeed": ("kt", "kt")},
)  # fmt: skip


@_formula(source=sources.DEFINITION.at("rotor height over radius"), result="z/R")
def rotor_height_ratio(rotor_height: Length, rotor_radius: Length) -> Ratio:
    """Height of the rotor over the ground in rotor radii.

    Formula: z / R.

    Parameters
    ----------
    rotor_height : Length
        from the ground up to the hub (length): skid height plus the hub's height over the skids.
    rotor_radius : Length
        from the shaft's axis to the blade tip (length).

    Returns
    -------
    Ratio
        The ratio.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible.

    Notes
    -----
    Range of validity: any.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(rotor_height_ratio("12 ft", "11 ft 8 in"), digits=3)
    '1.03'
    """
    return rotor_height / rotor_radius


@_formula(
    source=sources.CHEESEMAN_BENNETT_1955.at("hover"),
    result="T/T_{oge}",
    title="Thrust ratio near the ground, after Cheeseman and Bennett",
)
def ground_effect_thrust_ratio_cheeseman_bennett(height_ratio: Ratio) -> Ratio:
    """Thrust near the ground over thrust away from it, at the same power, by Cheeseman and Bennett.

    Formula: T / Toge = 1 / (1 - (R / 4 z)^2).

    Parameters
    ----------
    height_ratio : Ratio
        height of the rotor over its radius (`rotor_height_ratio`), 0.5 or more.

    Returns
    -------
    Ratio
        The thrust ratio, 1 or more.

    Raises
    ------
    QuantityError
        no ratio was given, or the rotor is lower than half a radius.

    Notes
    -----
    Range of validity: z / R of 0.5 or more, hover, still air, firm level ground. The rotor is taken as a source and its
    mirror image; blade loading is not included.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(ground_effect_thrust_ratio_cheeseman_bennett(1), digits=6)
    '1.06667'
    """
    return 1 / (1 - (1 / (4 * height_ratio)) ** 2)


@_formula(
    source=sources.CHEESEMAN_BENNETT_1955.at("forward flight"),
    result="T/T_{oge}",
    title="Thrust ratio near the ground in motion, after Cheeseman and Bennett",
)
def ground_effect_thrust_ratio_cheeseman_bennett_moving(
    height_ratio: Ratio, airspeed: Speed, induced_velocity: Speed
) -> Ratio:
    """Thrust near the ground over thrust away from it at the same power, moving over the ground or in wind.

    Formula: T / Toge = 1 / (1 - (R / 4 z)^2 / (1 + (V / vi)^2)).

    Parameters
    ----------
    height_ratio : Ratio
        height of the rotor over its radius (`rotor_height_ratio`), 0.5 or more.
    airspeed : Speed
        along the ground (speed).
    induced_velocity : Speed
        of the rotor at that airspeed (speed; `induced_velocity_level_flight`).

    Returns
    -------
    Ratio
        The thrust ratio; ground effect is blown away with speed.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: as in hover; the ground vortex ahead of the rotor, which can cost power at walking pace, is not
    included.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(ground_effect_thrust_ratio_cheeseman_bennett_moving(1, "0 kt", "24 ft/s"), digits=6)
    '1.06667'
    """
    return 1 / (1 - (1 / (4 * height_ratio)) ** 2 / (1 + (airspeed / induced_velocity) ** 2))


@_formula(
    source=sources.ARITHMETIC.at("thrust ratio at constant power, with induced power rising as thrust to the 3/2"),
    result="P_i/P_{i,oge}",
    title="Induced power ratio near the ground, after Cheeseman and Bennett",
)
def ground_effect_induced_power_ratio_cheeseman_bennett(height_ratio: Ratio) -> Ratio:
    """Induced power near the ground over that away from it, at the same thrust, after Cheeseman and Bennett.

    At the same power the ground gives a thrust ratio t; induced power grows with thrust to the 3/2; so at the same
    thrust it takes the part t^(-3/2).

    Formula: Pi / Pi,oge = (1 - (R / 4 z)^2)^(3/2).

    Parameters
    ----------
    height_ratio : Ratio
        height of the rotor over its radius (`rotor_height_ratio`), 0.5 or more.

    Returns
    -------
    Ratio
        The induced-power ratio, 1 or less.

    Raises
    ------
    QuantityError
        no ratio was given, or the rotor is lower than half a radius.

    Notes
    -----
    Range of validity: as `ground_effect_thrust_ratio_cheeseman_bennett`; profile power does not change.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(ground_effect_induced_power_ratio_cheeseman_bennett(1), digits=4)
    '0.9077'
    """
    return (1 - (1 / (4 * height_ratio)) ** 2) ** (3 / 2)


@_formula(
    source=sources.HAYDEN_1976.at("curve through flight-test data"),
    result="P_i/P_{i,oge}",
    title="Induced power ratio near the ground, after Hayden",
)
def ground_effect_induced_power_ratio_hayden(height_ratio: Ratio) -> Ratio:
    """Induced power near the ground over that away from it, at the same thrust, by Hayden's fit to flight tests.

    Formula: Pi / Pi,oge = 1 / (0.9926 + 0.0379 (2 R / z)^2).

    Parameters
    ----------
    height_ratio : Ratio
        height of the rotor over its radius (`rotor_height_ratio`), 0.5 or more.

    Returns
    -------
    Ratio
        The induced-power ratio; it reads 1.007 far away, where it should be 1: the fit is no better than that.

    Raises
    ------
    QuantityError
        no ratio was given, or the rotor is lower than half a radius.

    Notes
    -----
    Range of validity: z / R of 0.5 or more, hover; the coefficients are from memory (high).

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(ground_effect_induced_power_ratio_hayden(1), digits=5)
    '0.87397'
    """
    return 1 / (0.9926 + 0.0379 * (2 / height_ratio) ** 2)


@_formula(source=sources.ARITHMETIC.at("drag of the airframe in the downwash, by momentum theory"), result="D_v/T")
def download_ratio(vertical_drag_area: Area, disk_area: Area, wake_speed_ratio: Ratio) -> Ratio:
    """The fraction of the hover thrust that is lost to downwash on the airframe.

    The airframe stands in air that comes down at k vh: Dv = rho (k vh)^2 fv / 2, and vh^2 = T / (2 rho A).

    Formula: Dv / T = k^2 fv / (4 A).

    Parameters
    ----------
    vertical_drag_area : Area
        flat-plate area of the airframe seen from above, inside the wake (area): projected area
        times its drag coefficient, 0.5 for a round boom to 1.2 for a flat cabin (common practice, no source).
    disk_area : Area
        of the rotor.
    wake_speed_ratio : Ratio
        speed of the wake at the airframe over that at the disk (ratio): 1 close under the rotor, 2
        far below; 1.5 half a radius below (common practice, no source).

    Returns
    -------
    Ratio
        The download over thrust (ratio); 2 % to 5 % for small helicopters (common practice, no source).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover out of ground effect; near the ground the download falls and may turn into a lift.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(download_ratio("25 ft^2", "427.606 ft^2", 1.5), "%", digits=3)
    '3.29 %'
    """
    return wake_speed_ratio**2 * vertical_drag_area / (4 * disk_area)


@_formula(source=sources.ARITHMETIC.at("balance of forces in the hover"), result="T", title="Thrust with the download")
def thrust_with_download(weight: Force, download_ratio: Ratio) -> Force:
    """Rotor thrust that holds the weight and the downwash on the airframe.

    Formula: T = W / (1 - Dv / T).

    Parameters
    ----------
    weight : Force
        of all that is lifted (force).
    download_ratio : Ratio
        download over thrust (`download_ratio`).

    Returns
    -------
    Force
        The thrust.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: hover.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(thrust_with_download("1400 lbf", "3 %"), "lbf", digits=5)
    '1,443.3 lbf'
    """
    return weight / (1 - download_ratio)
