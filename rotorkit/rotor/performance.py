"""Speeds, climb, ceilings and the glide of a whole helicopter, from its `PowerModel` and its `EngineModel`.

Everything here is an estimate for planning tests. The speeds are found on the power curve, the ceilings where the
margin is gone; each on any number of masses and densities at once. Where there is no answer (not enough power at any
speed, a margin that is gone already on the lowest ground, or is still there at the top of the range) a single figure is
refused with the reason, an array holds "not a number" there.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np

from rotorkit.atmosphere.air_of_the_day import air_of_the_day
from rotorkit.engine.model import EngineModel
from rotorkit.formula.contract import contract
from rotorkit.quantities import (
    Density,
    Length,
    Mass,
    Power,
    QuantityError,
    Ratio,
    Speed,
    TemperatureDifference,
)
from rotorkit.rotor.forward import profile_power_level_flight
from rotorkit.rotor.power_model import GROUND_EFFECTS, PowerModel, power_parts
from rotorkit.rotor.roots import bracketed
from rotorkit.sources.constants import STANDARD_GRAVITY

LOWEST, HIGHEST = -1500.0, 9000.0
"""Pressure altitudes between which ceilings are looked for, m."""
SLOWEST_GLIDE = 12.0
"""Airspeed from which level-flight power stands for the glide, m/s: about 25 kt, above the hovering induced
velocity."""
FASTEST = 90.0
"""Airspeed up to which the power curve is searched, m/s."""
_COARSE, _FINE, _FINER = 91, 21, 3
"""Airspeeds of the first grid and of the finer ones, how many of those, each a tenth as wide."""


@contract
def speed_for_least_power(model: PowerModel, gross_mass: Mass, density: Density) -> Speed:
    """Airspeed at which level flight takes the least power: the speed for best rate of climb.

    Args: model, from `power_model`; gross_mass and density, single or arrays.
    Returns: true airspeed.
    Raises: QuantityError: an argument is not of its kind.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.power_model import power_model
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(speed_for_least_power(model, "1250 lb", "1.225 kg/m^3"), "kt", digits=3)
    '44.0 kt'
    """
    return _least(lambda v: power_parts(model, gross_mass, density, v).total, gross_mass, density)


@contract
def speed_for_best_range(model: PowerModel, gross_mass: Mass, density: Density, headwind: Speed = "0 kt") -> Speed:
    """Airspeed that takes the least fuel per mile over the ground: least power over ground speed.

    Args: model; gross_mass; density; headwind, along the path (speed), negative for a tail wind. Fuel per power is
    taken as the same at all powers, as for a mixture leaned alike (common practice, no source).
    Returns: true airspeed.
    Raises: QuantityError: an argument is not of its kind.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.power_model import power_model
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(speed_for_best_range(model, "1250 lb", "1.225 kg/m^3"), "kt", digits=3)
    '70.3 kt'
    """

    def per_distance(v: Any) -> Any:
        over_ground = v - headwind
        return np.where(over_ground > 0.5, power_parts(model, gross_mass, density, v).total / over_ground, np.inf)

    return _least(per_distance, gross_mass, density, headwind, start=0.5)


@contract
def top_speed(model: PowerModel, gross_mass: Mass, density: Density, engine_power: Power) -> Speed:
    """Fastest level flight with the engine's power.

    Args: model; gross_mass; density; engine_power, at its output in that air.
    Returns: true airspeed. The manual's never-exceed speed, advancing-tip Mach number and retreating-blade stall may
    come sooner: this knows nothing of them.
    Raises: QuantityError: level flight is not possible at any speed.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.power_model import power_model
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(top_speed(model, "1250 lb", "1.225 kg/m^3", "120 hp"), "kt", digits=3)
    '95.6 kt'
    """
    return top_speed_above(
        speed_for_least_power.si(model, gross_mass, density), model, gross_mass, density, engine_power
    )


def top_speed_above(slow: Any, model: PowerModel, gross_mass: Any, density: Any, engine_power: Any) -> Any:
    """`top_speed` of bare SI figures, where the speed for least power is known already."""
    left = lambda v: engine_power - power_parts(model, gross_mass, density, v).total  # noqa: E731
    return _crossing(left, slow, FASTEST, "level flight takes more than engine_power at every speed", "top speed")


@contract
def climb_rate(model: PowerModel, gross_mass: Mass, density: Density, airspeed: Speed, engine_power: Power) -> Speed:
    """Rate of climb in forward flight from the power left over.

    What is left at the engine goes through the transmission; a part of it goes to the tail rotor, in the measure of
    level flight; the rest lifts the weight (`climb_rate_from_excess_power`).

    Args: model; gross_mass; density; airspeed, true; engine_power, at its output in that air. All may be arrays.
    Returns: rate of climb, up positive; negative where level flight takes more than there is.
    Raises: QuantityError: an argument is not of its kind.

    Range of validity: airspeeds above about 25 kt. Slower it is too small: the climb itself lightens the induced power.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.power_model import power_model
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(climb_rate(model, "1250 lb", "1.225 kg/m^3", "45 kt", "120 hp"), "ft/min", digits=3)
    '1,311 ft/min'
    """
    parts = power_parts(model, gross_mass, density, airspeed)
    to_rotors = (engine_power - parts.total) * model.transmission_efficiency
    return to_rotors * parts.main_rotor / (parts.main_rotor + parts.tail_rotor) / (gross_mass * STANDARD_GRAVITY)


@contract
def hover_ceiling(
    model: PowerModel,
    engine: EngineModel,
    gross_mass: Mass,
    isa_deviation: TemperatureDifference = "0 K",
    relative_humidity: Ratio = "0 %",
    rotor_height: Length | None = None,
    ground_effect: str = "Cheeseman & Bennett",
) -> Length:
    """Pressure altitude at which the hover takes all the power that the engine gives.

    Args: model; engine, from `engine_model`; gross_mass; isa_deviation, how much warmer than standard at every height;
    relative_humidity, at every height; rotor_height, over firm level ground (text or a quantity; half a radius or
    more), for a hover in ground effect; None for out of ground effect; ground_effect, one of `GROUND_EFFECTS`.
    Returns: the pressure altitude; its density altitude is that of `air_of_the_day`.
    Raises: QuantityError: the hover is not possible on the lowest ground, or still is at 9000 m.

    Range of validity: without wind, without a margin: nobody flies there.

    Examples
    --------
    >>> from rotorkit.engine import engine_model
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.power_model import power_model
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(hover_ceiling(model, engine_model("138 hp"), "1250 lb", "15 K"), "ft", digits=3)
    '4,719 ft'
    """
    return _ceiling(
        lambda height: _hover_left(
            model, engine, gross_mass, isa_deviation, relative_humidity, rotor_height, ground_effect, height
        ),
        gross_mass, isa_deviation, relative_humidity, name="hover ceiling",
    )  # fmt: skip


@contract
def mass_at_hover_ceiling(
    model: PowerModel,
    engine: EngineModel,
    pressure_altitude: Length,
    isa_deviation: TemperatureDifference = "0 K",
    relative_humidity: Ratio = "0 %",
    rotor_height: Length | None = None,
    ground_effect: str = "Cheeseman & Bennett",
) -> Mass:
    """Gross mass that can just hover at a pressure altitude: the inverse of `hover_ceiling`, for the ceiling's picture.

    Args: as `hover_ceiling`, with pressure_altitude in the place of gross_mass; single or arrays.
    Returns: the gross mass.
    Raises: QuantityError: nothing can hover there.

    Examples
    --------
    >>> from rotorkit.engine import engine_model
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.power_model import power_model
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(mass_at_hover_ceiling(model, engine_model("138 hp"), "4719 ft", "15 K"), "lb", digits=3)
    '1,250 lb'
    """
    return _crossing(
        lambda mass: _hover_left(
            model, engine, mass, isa_deviation, relative_humidity, rotor_height, ground_effect, pressure_altitude
        ),
        20.0 + 0 * pressure_altitude * isa_deviation * relative_humidity, 20000.0,
        "the engine gives less than a hover at any weight takes", "mass",
    )  # fmt: skip


@contract
def climb_ceiling(
    model: PowerModel,
    engine: EngineModel,
    gross_mass: Mass,
    climb: Speed = "100 ft/min",
    isa_deviation: TemperatureDifference = "0 K",
    relative_humidity: Ratio = "0 %",
) -> Length:
    """Pressure altitude at which the best rate of climb has fallen to a given one: 100 ft/min for the service ceiling,
    none for the absolute one.

    Args: model; engine; gross_mass; climb, the rate of climb that is left; the others as `hover_ceiling`.
    Returns: the pressure altitude.
    Raises: QuantityError: that climb is not reached on the lowest ground, or still is at 9000 m.

    Examples
    --------
    >>> from rotorkit.engine import engine_model
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.power_model import power_model
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(climb_ceiling(model, engine_model("138 hp"), "1250 lb"), "ft", digits=3)
    '19,669 ft'
    """

    def left(height: Any) -> Any:
        air = air_of_the_day(height, isa_deviation, relative_humidity)
        best = speed_for_least_power.si(model, gross_mass, air.density)
        return climb_rate.si(model, gross_mass, air.density, best, engine.available(air)) - climb

    return _ceiling(left, gross_mass, climb, isa_deviation, relative_humidity, name="ceiling")


@contract
def autorotation_descent(model: PowerModel, gross_mass: Mass, density: Density, airspeed: Speed) -> Speed:
    """Rate of descent in a steady autorotation at an airspeed, the rotor kept at its speed.

    Height pays the main rotor's level-flight power, the turning of the unloaded tail rotor, and the transmission's
    losses on what still goes through it (`autorotation_descent_rate`).

    Args: model; gross_mass; density; airspeed, true, 25 kt or more; single or arrays.
    Returns: rate of descent, down positive.
    Raises: QuantityError: the airspeed is too small for this relation.

    Range of validity: steady glide, no flare, no turn.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.power_model import power_model
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(autorotation_descent(model, "1250 lb", "1.225 kg/m^3", "50 kt"), "ft/min", digits=3)
    '1,519 ft/min'
    """
    if np.min(airspeed) < SLOWEST_GLIDE:
        raise QuantityError(
            f"autorotation_descent: airspeed must be {SLOWEST_GLIDE:g} m/s (about 25 kt) or more: slower, level-flight "
            "power says nothing of the descent (vertical_autorotation_descent_rate gives the one straight down)"
        )
    parts = power_parts(model, gross_mass, density, airspeed)
    idle = profile_power_level_flight.si(
        density, model.tail_disk_area, model.tail_tip_speed, model.tail_solidity,
        model.tail_profile_drag_coefficient, airspeed,
    )  # fmt: skip
    through = parts.main_rotor + idle / model.transmission_efficiency
    return through / (gross_mass * STANDARD_GRAVITY)


@contract
def speed_for_least_sink(model: PowerModel, gross_mass: Mass, density: Density) -> Speed:
    """Airspeed of the slowest descent in autorotation. Args, returns and range as `autorotation_descent`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.power_model import power_model
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(speed_for_least_sink(model, "1250 lb", "1.225 kg/m^3"), "kt", digits=3)
    '43.6 kt'
    """
    sink = lambda v: autorotation_descent.si(model, gross_mass, density, v)  # noqa: E731
    return _least(sink, gross_mass, density, start=SLOWEST_GLIDE)


@contract
def speed_for_best_glide(model: PowerModel, gross_mass: Mass, density: Density, headwind: Speed = "0 kt") -> Speed:
    """Airspeed of the flattest path over the ground in autorotation. Args, returns and range as `autorotation_descent`;
    headwind along the path (speed), negative for a tail wind.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> from rotorkit.rotor.power_model import power_model
    >>> model = power_model("11 ft 8 in", "455 rpm", "0.0455", "1.2", "0.0125", "7 ft^2", "14 ft", "26 in",
    ...     "2912 rpm", "0.1163", "94 %", "2 hp")
    >>> say(speed_for_best_glide(model, "1250 lb", "1.225 kg/m^3"), "kt", digits=3)
    '69.7 kt'
    """

    def slope(v: Any) -> Any:
        over_ground = v - headwind
        return np.where(over_ground > 0.5, autorotation_descent.si(model, gross_mass, density, v) / over_ground, np.inf)

    return _least(slope, gross_mass, density, headwind, start=SLOWEST_GLIDE)


def _hover_left(
    model: PowerModel, engine: EngineModel, mass: Any, warmer: Any, humidity: Any, rotor_height: Any, method: str,
    height: Any,
) -> Any:  # fmt: skip
    ratio: Any = 1.0
    if method not in GROUND_EFFECTS:
        raise QuantityError(f"ground_effect must be one of {', '.join(GROUND_EFFECTS)}, got {method!r}")
    if rotor_height is not None:
        over = rotor_height / model.rotor_radius
        if np.min(over) < 0.5:
            raise QuantityError("rotor_height must be half a rotor radius or more: nearer the ground no relation holds")
        ratio = GROUND_EFFECTS[method].si(over)
    air = air_of_the_day(height, warmer, humidity)
    return engine.available(air) - power_parts(model, mass, air.density, 0.0, ratio).total


def _ceiling(left: Callable[[Any], Any], *conditions: Any, name: str) -> Any:
    start = LOWEST + 0 * sum(np.asarray(c, dtype=float) for c in conditions)
    return _crossing(left, start, HIGHEST, "not even on the lowest ground is there enough power", name)


def _crossing(left: Callable[[Any], Any], low: Any, high: float, never: str, name: str) -> Any:
    """Where what is left turns from positive to negative; never: the reason where it is negative at once."""
    single = np.ndim(low) == 0
    low = np.atleast_1d(np.asarray(low, dtype=float))
    high_end = np.full(low.shape, float(high))
    first, last = np.broadcast_to(left(low), low.shape), np.broadcast_to(left(high_end), low.shape)
    none = ~((first >= 0) & (last <= 0))
    if single and none.any():
        raise QuantityError(never if first[0] < 0 else f"the {name} lies beyond the range that is searched, {high:g}")
    found, _ = bracketed(left, low, np.where(none, low, high_end), 1e-14)  # uncertainties are its differences
    found = np.where(none, np.nan, found)
    return float(found[0]) if single else found


def _least(of: Callable[[Any], Any], *conditions: Any, start: float = 0.0) -> Any:
    """The airspeed at which something is least: a coarse grid, then finer ones about the least, at last the parabola
    through the lowest three points, for every condition at once. of takes airspeeds with a leading axis before the
    conditions' own."""
    shape = np.broadcast_shapes(*(np.shape(c) for c in conditions))
    leading = (slice(None), *[np.newaxis] * len(shape))
    low, high, points = np.full(shape, start), np.full(shape, FASTEST), _COARSE
    for _ in range(_FINER + 1):
        grid = low + (high - low) * np.linspace(0.0, 1.0, points)[leading]
        values = np.broadcast_to(of(grid), grid.shape)
        at = np.clip(np.argmin(values, axis=0), 1, points - 2)[np.newaxis]
        low, high = (np.take_along_axis(grid, at + side, axis=0)[0] for side in (-1, 1))
        points = _FINE
    before, lowest, after = (np.take_along_axis(values, at + side, axis=0)[0] for side in (-1, 0, 1))
    with np.errstate(all="ignore"):
        aside = (before - after) / (before - 2 * lowest + after) / 4  # of the width of two steps
    found = 0.5 * (low + high) + (high - low) * np.where(np.abs(aside) <= 0.25, aside, 0.0)
    return found if shape else float(found)
