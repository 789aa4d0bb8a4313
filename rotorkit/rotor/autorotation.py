"""Power off: how fast the aircraft sinks, how long the rotor turns, and what its inertia is worth.

After the engine quits the rotor slows down within a second or two unless the collective is lowered; what then drives it
is the air from below, paid for in height; and what cushions the landing is the energy in the turning blades. The
figures here size those three. They are no training: autorotations are practised with an instructor, and the
height-velocity diagram of the manual governs.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import nomenclature
from rotorkit.quantities import (
    Area,
    AutorotativeIndex,
    Constant,
    Density,
    DiskLoading,
    Energy,
    Force,
    MomentOfInertia,
    Power,
    Ratio,
    RotationRate,
    Speed,
    Time,
)
from rotorkit.rotor import ranges
from rotorkit.rotor.hover import induced_velocity_hovering
from rotorkit.rotor.vertical import AUTOROTATION_DESCENT_RATIO

ENERGY_PER_POWER_GUIDELINE = Constant(
    1.5, "s", "t_E", sources.ROTORCRAFT_DESIGN_NOTES.at("rotor energy over hover power, single engine")
)
INERTIA = ("0.01 kg*m^2", "100000 kg*m^2")

_formula = nomenclature(
    letters={
        "thrust": "T", "density": r"\rho", "disk_area": "A", "power_needed": "P", "weight": "W", "airspeed": "V",
        "descent_rate": "V_d", "rotor_inertia": "I", "rotor_speed": r"\Omega", "hover_power": "P", "time": "t",
        "energy_per_power": "t_E", "rotor_speed_ratio": r"\Omega/\Omega_0", "disk_loading": "DL",
    },
    valid={
        "thrust": ranges.NOT_NEGATIVE_FORCE, "density": ranges.AIR_DENSITY, "disk_area": ranges.DISK_AREA,
        "power_needed": ranges.NOT_NEGATIVE_POWER, "weight": ("1 lbf", None), "airspeed": ranges.AIRSPEED,
        "descent_rate": ("1 ft/min", "6000 ft/min"), "rotor_inertia": INERTIA, "rotor_speed": ranges.ROTOR_SPEED,
        "hover_power": ("0.1 hp", None), "time": ("0 s", "60 s"), "energy_per_power": ("0.05 s", "60 s"),
        "rotor_speed_ratio": ("0.1", "1"), "disk_loading": ("0.1 lbf/ft^2", "100 lbf/ft^2"),
    },
    shown={"airspeed": ("kt", "kt"), "descent_rate": ("ft/min", "m/s")},
)  # fmt: skip


@_formula(
    source=sources.NACA_TN_2474.at("fig. 12, where the measured curve meets ideal autorotation"),
    result="V_d",
    shown={"result": ("ft/min", "m/s")},
    title="Rate of descent in autorotation, straight down",
)
def vertical_autorotation_descent_rate(thrust: Force, density: Density, disk_area: Area) -> Speed:
    """Rate of vertical descent of an ideal rotor with the power off, from measurements.

    Formula: Vd = 1.75 vh, vh = sqrt(T / (2 rho A)).

    Parameters
    ----------
    thrust : Force
        equal to the weight in steady descent (force).
    density : Density
        air density.
    disk_area : Area
        rotor disk area.

    Returns
    -------
    Speed
        The rate of descent, down positive. A real rotor comes down faster by the power that its blade drag takes over
        the weight. It is why nobody lands that way: about 2500 ft/min for 3 lb/ft^2.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: vertical descent; 1.75 was read from the curve to within 0.03; the tests scatter more.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(vertical_autorotation_descent_rate("300 lbf", "0.0023769 slug/ft^3", "100 ft^2"), "ft/min", digits=4)
    '2,638 ft/min'
    """
    return AUTOROTATION_DESCENT_RATIO * induced_velocity_hovering(thrust, density, disk_area)


@_formula(
    source=sources.ARITHMETIC.at("energy balance of a steady glide"),
    result="V_d",
    shown={"result": ("ft/min", "m/s")},
    title="Rate of descent in autorotation",
)
def autorotation_descent_rate(power_needed: Power, weight: Force) -> Speed:
    """Rate of descent in a steady autorotation with forward speed: height pays the power that level flight takes.

    Formula: Vd = P / W.

    Parameters
    ----------
    power_needed : Power
        at the rotors in level flight at that airspeed (power): main rotor, tail rotor (small, the torque
        is gone) and what drags in the transmission. No engine, no accessories.
    weight : Force
        of all that flies (force).

    Returns
    -------
    Speed
        The rate of descent, down positive; least at the speed of least power.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: steady, at airspeeds above about the hovering induced velocity (25 to 30 kt), where level-flight
    power still holds in the descent. Slower, and straight down, see `vertical_autorotation_descent_rate`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(autorotation_descent_rate("60 hp", "1400 lbf"), "ft/min", digits=4)
    '1,414 ft/min'
    """
    return power_needed / weight


@_formula(source=sources.DEFINITION.at("glide ratio"), result="V/V_d")
def glide_ratio(airspeed: Speed, descent_rate: Speed) -> Ratio:
    """Distance flown over height lost in a glide, in still air.

    Formula: V / Vd.

    Parameters
    ----------
    airspeed : Speed
        true airspeed along the flight path, taken as level (speed).
    descent_rate : Speed
        down positive (speed).

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
    Range of validity: still air; for steep glides 5 % too high.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(glide_ratio("60 kt", "1414 ft/min"), digits=3)
    '4.30'
    """
    return airspeed / descent_rate


@_formula(source=sources.DEFINITION.at("energy of rotation"), result="E", shown={"result": ("ft*lbf", "kJ")})
def rotor_energy(rotor_inertia: MomentOfInertia, rotor_speed: RotationRate) -> Energy:
    """Energy in the turning main rotor.

    Formula: E = I Omega^2 / 2.

    Parameters
    ----------
    rotor_inertia : MomentOfInertia
        of all blades and the hub about the shaft (moment of inertia); tip weights count most.
    rotor_speed : RotationRate
        of that rotor (rotation rate).

    Returns
    -------
    Energy
        The energy. Only the part above the lowest safe rotor speed can be used.

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
    >>> say(rotor_energy("112 slug*ft^2", "455 rpm"), "kJ", digits=4)
    '172.4 kJ'
    """
    return rotor_inertia * rotor_speed**2 / 2


@_formula(
    source=sources.ROTORCRAFT_DESIGN_NOTES.at("rotor energy over hover power"),
    result="t_E",
    title="Rotor energy over hover power",
)
def energy_per_power(rotor_inertia: MomentOfInertia, rotor_speed: RotationRate, hover_power: Power) -> Time:
    """How long the rotor's energy could feed a hover, if all of it could be used: the measure of a forgiving rotor.

    Formula: t = I Omega^2 / (2 P).

    Parameters
    ----------
    rotor_inertia : MomentOfInertia
        of the main rotor about its shaft (moment of inertia).
    rotor_speed : RotationRate
        of the main rotor (rotation rate).
    hover_power : Power
        at the main rotor's shaft, out of ground effect (power).

    Returns
    -------
    Time
        The time. Guideline: 1.5 s or more with one engine, 0.75 s with two (quoted from rotorcraft design notes).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: a comparison of rotors, not a time to react.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(energy_per_power("112 slug*ft^2", "455 rpm", "100 hp"), "s", digits=3)
    '2.31 s'
    """
    return rotor_energy(rotor_inertia, rotor_speed) / hover_power


@_formula(
    source=sources.ARITHMETIC.at("I dOmega/dt = -Q with torque as the square of speed"),
    result=r"\Omega/\Omega_0",
    title="Rotor speed ratio after a loss of power",
)
def rotor_speed_ratio_after_power_loss(time: Time, energy_per_power: Time) -> Ratio:
    """Rotor speed after power loss over that before, if nobody lowers the collective.

    At a fixed blade angle torque falls with the square of rotor speed, so that the speed falls quickly at first.

    Formula: Omega / Omega0 = 1 / (1 + t / (2 tE)).

    Parameters
    ----------
    time : Time
        since the power went (time).
    energy_per_power : Time
        rotor energy over the power that was being used (`energy_per_power`).

    Returns
    -------
    Ratio
        The ratio of rotor speeds.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: constant blade angle and inflow; in a real failure the aircraft begins to sink, which helps, and
    stalled blades do not follow the square law.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(rotor_speed_ratio_after_power_loss("1 s", "1.5 s"), digits=3)
    '0.750'
    """
    return 1 / (1 + time / (2 * energy_per_power))


@_formula(
    source=sources.ARITHMETIC.at("I dOmega/dt = -Q with torque as the square of speed, inverted"),
    result="t",
    title="Time until a rotor speed ratio",
)
def time_until_rotor_speed_ratio(rotor_speed_ratio: Ratio, energy_per_power: Time) -> Time:
    """Time from power loss until rotor speed has fallen to a given fraction, if nobody lowers the collective.

    Formula: t = 2 tE (Omega0 / Omega - 1).

    Parameters
    ----------
    rotor_speed_ratio : Ratio
        the lowest rotor speed allowed with power off over the speed before (ratio).
    energy_per_power : Time
        rotor energy over the power that was being used (`energy_per_power`).

    Returns
    -------
    Time
        The time in which the collective has to be down. Surprise takes the first second of it.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: as `rotor_speed_ratio_after_power_loss`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(time_until_rotor_speed_ratio("90 %", "1.5 s"), "s", digits=3)
    '0.333 s'
    """
    return 2 * energy_per_power * (1 / rotor_speed_ratio - 1)


@_formula(
    source=sources.COMMON_PRACTICE.at("autorotative index with the energy, factor one half"),
    result="AI_E",
    title="Autorotative index, by energy",
)
def autorotative_index_of_energy(
    rotor_inertia: MomentOfInertia, rotor_speed: RotationRate, weight: Force, disk_loading: DiskLoading
) -> AutorotativeIndex:
    """Autorotative index by the rotor's ENERGY: half of `autorotative_index_of_inertia` for the same aircraft.

    Two definitions are in print under one name, a factor of two apart. Say which one a figure is, and compare only like
    with like.

    Formula: AI = (I Omega^2 / 2) / (W DL).

    Parameters
    ----------
    rotor_inertia : MomentOfInertia
        of the main rotor about its shaft (moment of inertia).
    rotor_speed : RotationRate
        of the main rotor (rotation rate).
    weight : Force
        gross weight (force).
    disk_loading : DiskLoading
        weight over disk area.

    Returns
    -------
    AutorotativeIndex
        The index (volume per force), usually told in ft^3/lb. It falls with thin air: multiply by the density ratio to
        compare at height (common practice, no source).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: a comparison of rotors.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(autorotative_index_of_energy("112 slug*ft^2", "455 rpm", "1250 lbf", "2.923 lbf/ft^2"), "ft^3/lbf",
    ...     digits=3)
    '34.8 ft³/lbf'
    """
    return rotor_energy(rotor_inertia, rotor_speed) / (weight * disk_loading)


@_formula(
    source=sources.COMMON_PRACTICE.at("autorotative index with inertia times speed squared"),
    result="AI_I",
    title="Autorotative index, by inertia",
)
def autorotative_index_of_inertia(
    rotor_inertia: MomentOfInertia, rotor_speed: RotationRate, weight: Force, disk_loading: DiskLoading
) -> AutorotativeIndex:
    """Autorotative index by inertia times speed SQUARED: twice `autorotative_index_of_energy` for the same aircraft.

    Formula: AI = I Omega^2 / (W DL).

    Parameters
    ----------
    rotor_inertia, rotor_speed, weight, disk_loading : MomentOfInertia, RotationRate, Force, DiskLoading
        as `autorotative_index_of_energy`.

    Returns
    -------
    AutorotativeIndex
        The index (volume per force).

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible; every bad one is named.

    Notes
    -----
    Range of validity: a comparison of rotors, among figures of the same definition.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(autorotative_index_of_inertia("112 slug*ft^2", "455 rpm", "1250 lbf", "2.923 lbf/ft^2"), "ft^3/lbf",
    ...     digits=3)
    '69.6 ft³/lbf'
    """
    return rotor_inertia * rotor_speed**2 / (weight * disk_loading)
