"""The engine: what power is left of its rating in thinner, warmer or damper air.

`engine_power_available` puts height, heat, humidity and intake temperature together by either of two published
relations; `PowerTable` takes the builder's own figures instead.
"""

from __future__ import annotations

from rotorkit.engine.altitude import full_throttle_power_gagg_ferrar, power_held_to_rating, power_ratio_gagg_ferrar
from rotorkit.engine.correction import (
    METHODS,
    derated_power,
    dry_pressure,
    engine_power_available,
    full_throttle_power_sae_j1349,
    power_ratio_intake_heat,
    sae_j1349_correction_factor,
)
from rotorkit.engine.model import EngineModel, engine_model
from rotorkit.engine.power_of_the_day import EngineOnTheDay
from rotorkit.engine.power_table import PowerTable
from rotorkit.engine.speed import power_at_engine_speed

__all__ = [
    "METHODS",
    "EngineModel",
    "EngineOnTheDay",
    "PowerTable",
    "derated_power",
    "dry_pressure",
    "engine_model",
    "engine_power_available",
    "full_throttle_power_gagg_ferrar",
    "full_throttle_power_sae_j1349",
    "power_at_engine_speed",
    "power_held_to_rating",
    "power_ratio_gagg_ferrar",
    "power_ratio_intake_heat",
    "sae_j1349_correction_factor",
]
