"""Mass and weight: what a scale shows, and the force that a rotor has to carry."""

from __future__ import annotations

from rotorkit.mass.weight import mass_from_weight, weight_force

__all__ = ["mass_from_weight", "weight_force"]
