"""The rotors: geometry, loading and coefficients, hovering flight, and how power is shared out between them.

Everything here is for hovering out of ground effect in still air. Thrust is positive along the shaft, away from the
disk's downwash. Coefficients are the American ones, without the factor one half: CT = T / (rho A Vt^2).
"""

from __future__ import annotations

from rotorkit.rotor.geometry import (
    disk_area,
    rotor_speed_for_tip_speed,
    solidity,
    tip_mach_advancing,
    tip_mach_hovering,
    tip_speed,
)
from rotorkit.rotor.hover import (
    figure_of_merit,
    figure_of_merit_from_coefficients,
    hover_power_from_figure_of_merit,
    hover_power_induced_and_profile,
    hover_thrust_from_power,
    ideal_hover_power,
    ideal_power_loading,
    induced_velocity_hovering,
    profile_power_hovering,
)
from rotorkit.rotor.loading import (
    blade_loading,
    disk_loading,
    power_coefficient,
    power_loading,
    thrust_coefficient,
    torque_coefficient,
)
from rotorkit.rotor.shares import (
    engine_power_needed,
    main_rotor_power_available,
    main_rotor_torque,
    power_after_transmission,
    tail_rotor_power,
    tail_rotor_power_from_share,
    tail_rotor_thrust_needed,
    transmission_loss,
)

__all__ = [
    "blade_loading",
    "disk_area",
    "disk_loading",
    "engine_power_needed",
    "figure_of_merit",
    "figure_of_merit_from_coefficients",
    "hover_power_from_figure_of_merit",
    "hover_power_induced_and_profile",
    "hover_thrust_from_power",
    "ideal_hover_power",
    "ideal_power_loading",
    "induced_velocity_hovering",
    "main_rotor_power_available",
    "main_rotor_torque",
    "power_after_transmission",
    "power_coefficient",
    "power_loading",
    "profile_power_hovering",
    "rotor_speed_for_tip_speed",
    "solidity",
    "tail_rotor_power",
    "tail_rotor_power_from_share",
    "tail_rotor_thrust_needed",
    "thrust_coefficient",
    "tip_mach_advancing",
    "tip_mach_hovering",
    "tip_speed",
    "torque_coefficient",
    "transmission_loss",
]
