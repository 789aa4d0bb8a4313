"""One engine as performance needs it: its full-throttle power in any air, by a published relation or the builder's
table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.atmosphere.air_of_the_day import DayAir
from rotorkit.atmosphere.altimetry import pressure_altitude
from rotorkit.atmosphere.density import density_altitude
from rotorkit.engine.correction import METHODS, engine_power_available
from rotorkit.engine.power_table import PowerTable
from rotorkit.formula.contract import contract
from rotorkit.quantities import Power, QuantityError, Ratio, TemperatureDifference


@dataclass(frozen=True)
class EngineModel:
    """One engine, in bare SI figures; `engine_model` makes one. `table` takes the place of the relation where
    given, its powers times `table_share`."""

    sea_level_power: float
    rating: float
    intake_rise: float
    method: str
    table: PowerTable | None = None
    table_share: Any = 1.0

    def available(self, air: DayAir) -> Any:
        """Power at the engine's output, W, in this air (`rotorkit.atmosphere.air_of_the_day`); floats or arrays.

        A table by density altitude is entered with that of the moist air, one by pressure altitude with the pressure's
        height; outside the table it refuses.
        """
        if self.table is not None:
            if self.table.by == "density altitude":
                height = density_altitude.si(air.density)
            else:
                height = pressure_altitude.si(air.pressure)
            found = self.table.si(height) * self.table_share
        else:
            found = engine_power_available.si(
                self.sea_level_power, air.pressure, air.temperature, air.vapour_pressure, self.intake_rise, self.method
            )
        held = np.minimum(found, self.rating)
        return held if np.ndim(held) else float(held)


@contract
def engine_model(
    sea_level_power: Power,
    derated_to: Ratio = "100 %",
    intake_rise: TemperatureDifference = "0 K",
    method: str = "Gagg & Ferrar",
    table: PowerTable | None = None,
) -> EngineModel:
    """One engine for the performance functions.

    Parameters
    ----------
    sea_level_power : Power
        full throttle, standard day at sea level (power).
    derated_to : Ratio
        what the manual allows of it, as a part of it (ratio); 100 % for an engine that is not derated.
    intake_rise : TemperatureDifference
        how much warmer the air is at the intake than outside (temperature difference).
    method : str
        one of `rotorkit.engine.METHODS`.
    table : PowerTable | None
        the builder's own `PowerTable` for one engine speed, in place of the method.

    Returns
    -------
    EngineModel
        An `EngineModel`.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible.

    Examples
    --------
    >>> from rotorkit.atmosphere.air_of_the_day import air_of_the_day
    >>> engine = engine_model("138 hp", "90 %")
    >>> [round(engine.available(air_of_the_day(height)) / 745.7, 1) for height in (0.0, 1524.0)]
    [124.2, 116.4]
    """
    if method not in METHODS:
        raise QuantityError(f"engine_model: method must be one of {', '.join(METHODS)}, got {method!r}")
    if not 0.3 <= derated_to <= 1:
        raise QuantityError(f"engine_model: derated_to must be 30 % to 100 %, got {derated_to:g}")
    if table is not None and table.speeds is not None:
        raise QuantityError("engine_model: table must be for one engine speed: take the column of the speed flown")
    return EngineModel(sea_level_power, sea_level_power * derated_to, intake_rise, method, table)
