"""The simple carburettor: throat and jet, the depression that lifts fuel, and what a clogged filter does.

Air through the throat and fuel through the jet both go with the root of the depression, so the mixture stays about the
same; the lip that fuel must climb, and whatever throttles the air before the float bowl's vent, change it.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.atmosphere.standard import AIR_GAS_CONSTANT, HEAT_CAPACITY_RATIO
from rotorkit.engine.fuel import jet_diameter
from rotorkit.formula import nomenclature
from rotorkit.formula.functions import pi, sqrt
from rotorkit.quantities import Density, GaugePressure, Length, MassFlow, Pressure, Ratio, Speed, Temperature
from rotorkit.sources.constants import STANDARD_GRAVITY

SIMPLE = sources.GUPTA_ENGINES.at("chapter 9, simple carburettor")

_formula = nomenclature(
    letters={
        "pressure": "p_1", "temperature": "T_1", "speed": "v", "velocity_coefficient": "C_v", "throat": "p_2",
        "mass_flow": r"W_a", "density": r"\rho", "coefficient": "C_a", "depression": r"\Delta p", "diameter": "d",
        "lip": "z", "fuel_density": r"\rho_f", "air_density": r"\rho_a", "throat_coefficient": "C_a", "jet": "d",
        "jet_coefficient": "C_f", "ratio": "A/F_0", "drop": r"\Delta p", "filter_drop": r"\Delta p_f",
    },
    valid={
        "speed": ("0 m/s", "250 m/s"), "velocity_coefficient": ("0.3", "1"), "coefficient": ("0.3", "1"),
        "depression": ("1 Pa", None), "diameter": ("0.05 mm", "20 mm"), "throat_coefficient": ("0.3", "1"),
        "jet_coefficient": ("0.3", "1"), "drop": ("1 Pa", None), "filter_drop": ("0 Pa", None),
    },
)  # fmt: skip


@_formula(
    source=sources.ARITHMETIC.at("perfect gas"),
    letters={"pressure": "p", "temperature": "T"},
    result=r"\rho_a",
    valid={"temperature": ("-80 degC", "300 degC")},
    title="Density of the air",
)
def air_density_at(pressure: Pressure, temperature: Temperature) -> Density:
    """Density of dry air at any pressure and temperature of an intake or a cowl.

    Formula: rho = p / (R T).

    Parameters
    ----------
    pressure : Pressure
        of dry air (absolute)
    temperature : Temperature
        of it

    Returns
    -------
    Density
        The density.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: perfect gas; for the day's damp air see `rotorkit.atmosphere`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(air_density_at("1.013 bar", "294 K"), "kg/m^3", digits=4)
    '1.200 kg/m³'
    """
    return pressure / (AIR_GAS_CONSTANT * temperature)


@_formula(source=SIMPLE, result=r"p_2", title="Pressure in the throat")
def throat_pressure(
    pressure: Pressure, temperature: Temperature, speed: Speed, velocity_coefficient: Ratio = "1"
) -> Pressure:
    """Pressure in the carburettor's throat at an air speed there, compressible.

    Formula: p2 = p1 (1 - (v/C)^2 (k - 1) / (2 k R T1))^(k / (k - 1)).

    Parameters
    ----------
    pressure : Pressure
        before the carburettor (absolute)
    temperature : Temperature
        there
    speed : Speed
        of the air in the throat
    velocity_coefficient : Ratio
        speed over that without loss

    Returns
    -------
    Pressure
        The pressure (absolute).

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: below the speed of sound; dry air.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(throat_pressure("1.013 bar", "300 K", "90 m/s", "0.8"), "bar", digits=4)
    '0.9405 bar'
    """
    return pressure * (
        1
        - (speed / velocity_coefficient) ** 2
        * (HEAT_CAPACITY_RATIO - 1)
        / (2 * HEAT_CAPACITY_RATIO * AIR_GAS_CONSTANT * temperature)
    ) ** (HEAT_CAPACITY_RATIO / (HEAT_CAPACITY_RATIO - 1))


@_formula(source=SIMPLE, result=r"\rho_2", title="Density in the throat")
def throat_density(pressure: Pressure, temperature: Temperature, throat: Pressure) -> Density:
    """Density of the air in the throat, expanded without loss of heat.

    Formula: rho2 = p1 / (R T1) (p2 / p1)^(1/k).

    Parameters
    ----------
    pressure : Pressure
        before the carburettor (absolute)
    temperature : Temperature
        there
    throat : Pressure
        in the throat (absolute)

    Returns
    -------
    Density
        The density.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: as `throat_pressure`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(throat_density("1.013 bar", "300 K", "0.9405 bar"), "kg/m^3", digits=4)
    '1.116 kg/m³'
    """
    return pressure / (AIR_GAS_CONSTANT * temperature) * (throat / pressure) ** (1 / HEAT_CAPACITY_RATIO)


@_formula(
    source=SIMPLE,
    result=r"D",
    valid={"mass_flow": ("0 kg/s", None), "speed": ("0.1 m/s", None)},
    title="Throat for this flow",
)
def throat_diameter(mass_flow: MassFlow, density: Density, speed: Speed) -> Length:
    """Diameter of a round throat that passes an air flow at a speed.

    Formula: D = sqrt(4 m / (pi rho v)).

    Parameters
    ----------
    mass_flow : MassFlow
        of air
    density : Density
        in the throat
    speed : Speed
        in the throat

    Returns
    -------
    Length
        The diameter.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: any round section with even flow.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(throat_diameter("5 kg/min", "1.1158 kg/m^3", "90 m/s"), "cm", digits=3)
    '3.25 cm'
    """
    return sqrt(4 * mass_flow / (pi * density * speed))


@_formula(
    source=SIMPLE,
    letters={"density": r"\rho_a"},
    result=r"D",
    valid={"mass_flow": ("0 kg/s", None)},
    title="Throat for this depression",
)
def throat_diameter_for_depression(
    mass_flow: MassFlow, coefficient: Ratio, density: Density, depression: GaugePressure
) -> Length:
    """Diameter of the throat that makes a depression of an air flow, the air taken as of one density.

    Formula: D = sqrt(4 m / (pi C sqrt(2 rho dp))).

    Parameters
    ----------
    mass_flow : MassFlow
        of air
    coefficient : Ratio
        flow coefficient of the throat
    density : Density
        of the air before it
    depression : GaugePressure
        of the throat below the pressure before it

    Returns
    -------
    Length
        The diameter.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: depressions up to a tenth of the pressure.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(throat_diameter_for_depression("91.8 kg/h", "0.8", "1.2006 kg/m^3", "3448.8 Pa"), "mm", digits=4)
    '21.12 mm'
    """
    return jet_diameter(mass_flow, coefficient, density, depression)


@_formula(
    source=SIMPLE,
    letters={"mass_flow": r"W_f", "coefficient": "C_f", "density": r"\rho_f"},
    result=r"\Delta p",
    title="Depression needed",
)
def depression_for_jet_flow(
    mass_flow: MassFlow, diameter: Length, coefficient: Ratio, density: Density, lip: Length = "0 mm"
) -> GaugePressure:
    """Depression in the throat that draws a fuel flow through the jet and up to the nozzle's lip.

    Formula: dp = (4 m / (pi C d^2))^2 / (2 rho) + rho g0 z.

    Parameters
    ----------
    mass_flow : MassFlow
        of fuel
    diameter : Length
        of the jet's bore
    coefficient : Ratio
        flow coefficient of the jet
    density : Density
        of fuel
    lip : Length
        height of the nozzle's lip above the fuel in the bowl

    Returns
    -------
    GaugePressure
        The depression, positive.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: bowl vented to the pressure before the throat.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(depression_for_jet_flow("6 kg/h", "1.2 mm", "0.65", "750 kg/m^3", "3 mm"), "Pa", digits=4)
    '3,449 Pa'
    """
    return (4 * mass_flow / (pi * coefficient * diameter**2)) ** 2 / (2 * density) + density * STANDARD_GRAVITY * lip


@_formula(source=SIMPLE, result=r"v_c", valid={"lip": ("0 mm", None)}, title="Air speed that lifts fuel")
def air_speed_that_lifts_fuel(
    fuel_density: Density, air_density: Density, lip: Length, velocity_coefficient: Ratio = "1"
) -> Speed:
    """Least air speed in the throat at which fuel reaches the nozzle's lip.

    Formula: v = C sqrt(2 g0 z rho_f / rho_a).

    Parameters
    ----------
    fuel_density : Density
        of fuel
    air_density : Density
        of air
    lip : Length
        height of the nozzle's lip above the fuel in the bowl
    velocity_coefficient : Ratio
        of the throat; 1 for the speed without loss

    Returns
    -------
    Speed
        The speed.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: steady flow. Books differ on whether the coefficient belongs here.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(air_speed_that_lifts_fuel("750 kg/m^3", "1.2 kg/m^3", "4 mm"), "m/s", digits=3)
    '7.00 m/s'
    """
    return velocity_coefficient * sqrt(2 * STANDARD_GRAVITY * lip * fuel_density / air_density)


@_formula(source=SIMPLE, letters={"throat": "D"}, result=r"A/F", title="Air to fuel")
def air_fuel_ratio(
    throat: Length,
    throat_coefficient: Ratio,
    jet: Length,
    jet_coefficient: Ratio,
    air_density: Density,
    fuel_density: Density,
    depression: GaugePressure,
    lip: Length = "0 mm",
) -> Ratio:
    """Air over fuel, by mass, of a simple carburettor; the air taken as of one density.

    Formula: A/F = (Ca / Cf) (D / d)^2 sqrt(rho_a dp / (rho_f (dp - rho_f g0 z))).

    Parameters
    ----------
    throat : Length
        diameter of the throat
    throat_coefficient : Ratio
        its flow coefficient
    jet : Length
        diameter of the jet's bore
    jet_coefficient : Ratio
        its flow coefficient
    air_density : Density
        of the air before the throat
    fuel_density : Density
        of fuel
    depression : GaugePressure
        of the throat
    lip : Length
        height of the nozzle's lip above the fuel in the bowl

    Returns
    -------
    Ratio
        The ratio; about 15 burns all of both, 12 to 13 is rich.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: depressions up to a tenth of the pressure. Richer as the air thins: at height the fuel stays
    the same.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(air_fuel_ratio("22 mm", "0.82", "1.2 mm", "0.7", "1.2 kg/m^3", "750 kg/m^3", "0.075 bar", "4 mm"), digits=4)
    '15.78'
    """
    return (
        throat_coefficient
        / jet_coefficient
        * (throat / jet) ** 2
        * sqrt(air_density * depression / (fuel_density * (depression - fuel_density * STANDARD_GRAVITY * lip)))
    )


@_formula(source=SIMPLE, result=r"A/F", title="Air to fuel behind the filter")
def air_fuel_ratio_behind_filter(ratio: Ratio, drop: GaugePressure, filter_drop: GaugePressure) -> Ratio:
    """Air over fuel with a filter before the throat and the float bowl vented to the free air: it grows rich.

    Formula: A/F = A/F0 sqrt(dp / (dp + dpf)).

    Parameters
    ----------
    ratio : Ratio
        air over fuel without the filter
    drop : GaugePressure
        from before the throat to the throat
    filter_drop : GaugePressure
        across the filter

    Returns
    -------
    Ratio
        The ratio, less than without the filter.

    Raises
    ------
    QuantityError
        an argument is not of its kind or out of range.

    Notes
    -----
    Range of validity: the air flow stays the same. A bowl vented behind the filter is not affected.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(air_fuel_ratio_behind_filter("14.5", "0.188 bar", "0.05 bar"), digits=4)
    '12.89'
    """
    return ratio * sqrt(drop / (drop + filter_drop))
