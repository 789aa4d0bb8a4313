"""Mass and weight: what a scale shows, weighing, loading, envelopes, and the force that a rotor has to carry."""

from __future__ import annotations

from rotorkit.mass.envelope import (
    Envelope,
    Margins,
    PathCheck,
    Standing,
    ballast_that_brings_inside,
    burn_path,
    envelope,
    most_that_may_be_added,
)
from rotorkit.mass.loading import (
    Item,
    Loading,
    WeighIn,
    combined_weighings,
    item,
    loading,
    negligible_change,
    support,
    weigh_in,
)
from rotorkit.mass.moments import (
    ballast_mass,
    centre_of_gravity,
    centre_of_gravity_after_change,
    centre_of_gravity_change_by_shift,
    centre_of_gravity_levelled,
    hang_angle,
    height_of_centre_of_gravity,
    mass_moment,
    mass_to_shift,
    minimum_fuel_for_forward_check,
    net_mass,
)
from rotorkit.mass.weight import mass_from_weight, weight_force
from rotorkit.mass.worst import Load, Worst, load, load_of, worst_loading

__all__ = [
    "Envelope",
    "Item",
    "Load",
    "Loading",
    "Margins",
    "PathCheck",
    "Standing",
    "WeighIn",
    "Worst",
    "ballast_mass",
    "ballast_that_brings_inside",
    "burn_path",
    "centre_of_gravity",
    "centre_of_gravity_after_change",
    "centre_of_gravity_change_by_shift",
    "centre_of_gravity_levelled",
    "combined_weighings",
    "envelope",
    "hang_angle",
    "height_of_centre_of_gravity",
    "item",
    "load",
    "load_of",
    "loading",
    "mass_from_weight",
    "mass_moment",
    "mass_to_shift",
    "minimum_fuel_for_forward_check",
    "most_that_may_be_added",
    "negligible_change",
    "net_mass",
    "support",
    "weigh_in",
    "weight_force",
    "worst_loading",
]
