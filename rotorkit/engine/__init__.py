"""The engine: what power is left of its rating in thinner air."""

from __future__ import annotations

from rotorkit.engine.altitude import full_throttle_power_gagg_ferrar, power_held_to_rating, power_ratio_gagg_ferrar

__all__ = ["full_throttle_power_gagg_ferrar", "power_held_to_rating", "power_ratio_gagg_ferrar"]
