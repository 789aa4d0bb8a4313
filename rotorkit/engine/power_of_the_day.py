"""One engine on one day: its power at every density that the day has on the way up."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from rotorkit.atmosphere.air_of_the_day import DayAir, air_of_the_day
from rotorkit.atmosphere.altimetry import pressure_altitude
from rotorkit.atmosphere.density import density_altitude
from rotorkit.atmosphere.standard import standard_density
from rotorkit.engine.altitude import full_throttle_power_gagg_ferrar
from rotorkit.engine.correction import METHODS
from rotorkit.engine.model import EngineModel

LOWEST, HIGHEST, HEIGHTS = -4000.0, 10900.0, 150
"""Pressure altitudes between which the day's air is known here, m, and into how many the range is divided."""


@dataclass(frozen=True)
class EngineOnTheDay:
    """The power available over the density of the air, as one goes up on a day.

    engine: from `engine_model`. isa_deviation: how much warmer than standard, the same at every height, K. humidity:
    relative, at every height. dry_share: of the air's density at the place, held at every height where the engine is a
    plain one (no table, derating or warm intake), whose power then is a matter of density alone.
    """

    engine: EngineModel
    isa_deviation: float
    humidity: float
    dry_share: float

    @property
    def plain(self) -> bool:
        """Whether the power follows from the density alone, by `full_throttle_power_gagg_ferrar`."""
        engine = self.engine
        whole = engine.rating == engine.sea_level_power and engine.intake_rise == 0
        return engine.table is None and whole and engine.method == METHODS[0]

    def available(self, sea_level_power: Any, density: Any) -> Any:
        """Power at the engine's output, W (bare arrays); not a number where a table does not reach. sea_level_power
        takes the engine's own place, so that its uncertainty can be followed; a table is scaled with it."""
        if self.plain:
            ratio = self.dry_share * density / standard_density.si(0.0)
            return np.minimum(full_throttle_power_gagg_ferrar.si(sea_level_power, ratio), sea_level_power)
        heights = np.linspace(HIGHEST, LOWEST, HEIGHTS)
        densities = air_of_the_day(heights, self.isa_deviation, self.humidity).density
        # between the heights the logarithm of the density runs nearly straight
        at = np.interp(np.log(density), np.log(densities), heights, left=np.nan, right=np.nan)
        return power_in(self.engine, sea_level_power, air_of_the_day(at, self.isa_deviation, self.humidity))


def power_in(engine: EngineModel, sea_level_power: Any, air: DayAir) -> Any:
    """The engine's power in this air with another sea-level power (bare arrays): `EngineModel.available`, but not a
    number where its table does not reach."""
    scaled = scaled_to(engine, sea_level_power)
    table = engine.table
    if table is None:
        return scaled.available(air)
    by_density = table.by == "density altitude"
    height = np.asarray(density_altitude.si(air.density) if by_density else pressure_altitude.si(air.pressure))
    low, high = table.heights[0], table.heights[-1]
    found = table.si(np.clip(np.nan_to_num(height, nan=low), low, high)) * scaled.table_share
    found = np.minimum(found, scaled.rating)
    return np.where((height >= low) & (height <= high), found, np.nan)


def scaled_to(engine: EngineModel, sea_level_power: Any) -> EngineModel:
    """The engine with another sea-level power, derated and with its table in the same measure (bare, single or
    arrays)."""
    share = sea_level_power / engine.sea_level_power
    return replace(
        engine,
        sea_level_power=sea_level_power,
        rating=engine.rating * share,
        table_share=engine.table_share * share,
    )
