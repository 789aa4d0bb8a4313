"""The rotors: geometry, loading and coefficients, hover, climb and descent, level flight, power off, and who gets what
power.

- geometry, loading: disk, solidity, tip speed and Mach number; disk, power and blade loading; coefficients
- hover: momentum theory with a figure of merit, or with an induced factor and profile drag
- blade_element: hover from blades and sections, by combined blade-element and momentum theory
- vertical: climb and descent; ground_effect: near the ground, and the downwash on the airframe
- forward, forward_flow: level flight; autorotation, coning: power off and the blades' energy
- shares: who gets what of the engine's power; antitorque: pedal left from the rigged blade angles
- power_model, performance: the whole helicopter's power curve, speeds, climb, ceilings and glide
- margin: what is left in the hover

Thrust is positive along the shaft, away from the disk's downwash. Coefficients are the American ones, without the
factor one half: CT = T / (rho A Vt^2). Out of ground effect and in still air, where nothing else is said.
"""

from __future__ import annotations

from rotorkit.rotor.antitorque import PedalMargin, pedal_margin
from rotorkit.rotor.autorotation import (
    ENERGY_PER_POWER_GUIDELINE,
    autorotation_descent_rate,
    autorotative_index_of_energy,
    autorotative_index_of_inertia,
    energy_per_power,
    glide_ratio,
    rotor_energy,
    rotor_speed_ratio_after_power_loss,
    time_until_rotor_speed_ratio,
    vertical_autorotation_descent_rate,
)
from rotorkit.rotor.blade_element import (
    BladeElementHover,
    Blades,
    LinearSection,
    SectionTable,
    blade_element_hover,
    blade_element_power,
    rotor_blades,
)
from rotorkit.rotor.coning import coning_angle, lock_number
from rotorkit.rotor.forward import (
    advance_ratio,
    climb_rate_from_excess_power,
    flat_plate_area_from_power,
    induced_power_level_flight,
    induced_velocity_fast_flight,
    induced_velocity_level_flight,
    parasite_power,
    profile_power_level_flight,
    rotor_power_level_flight,
)
from rotorkit.rotor.forward_flow import glauert_inflow_ratio, profile_power_factor, retreating_blade_lift_coefficient
from rotorkit.rotor.geometry import (
    disk_area,
    rotor_speed_for_tip_speed,
    solidity,
    tip_mach_advancing,
    tip_mach_hovering,
    tip_speed,
)
from rotorkit.rotor.ground_effect import (
    download_ratio,
    ground_effect_induced_power_ratio_cheeseman_bennett,
    ground_effect_induced_power_ratio_hayden,
    ground_effect_thrust_ratio_cheeseman_bennett,
    ground_effect_thrust_ratio_cheeseman_bennett_moving,
    rotor_height_ratio,
    thrust_with_download,
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
from rotorkit.rotor.performance import (
    autorotation_descent,
    climb_ceiling,
    climb_rate,
    hover_ceiling,
    mass_at_hover_ceiling,
    speed_for_best_glide,
    speed_for_best_range,
    speed_for_least_power,
    speed_for_least_sink,
    top_speed,
)
from rotorkit.rotor.power_model import (
    GROUND_EFFECTS,
    PowerModel,
    PowerParts,
    engine_power_level_flight,
    engine_power_to_hover_by_blade_element,
    engine_power_to_hover_near_ground,
    power_model,
    power_parts,
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
from rotorkit.rotor.vertical import (
    AUTOROTATION_DESCENT_RATIO,
    ideal_power_climbing,
    induced_ratio_climbing,
    induced_ratio_vertical,
    induced_ratio_windmill,
    induced_velocity_climbing,
    induced_velocity_windmill,
    power_ratio_vertical,
    vertical_climb_rate,
    working_state,
)

__all__ = [
    "AUTOROTATION_DESCENT_RATIO",
    "ENERGY_PER_POWER_GUIDELINE",
    "GROUND_EFFECTS",
    "BladeElementHover",
    "Blades",
    "LinearSection",
    "PedalMargin",
    "PowerModel",
    "PowerParts",
    "SectionTable",
    "advance_ratio",
    "autorotation_descent",
    "autorotation_descent_rate",
    "autorotative_index_of_energy",
    "autorotative_index_of_inertia",
    "blade_element_hover",
    "blade_element_power",
    "blade_loading",
    "climb_ceiling",
    "climb_rate",
    "climb_rate_from_excess_power",
    "coning_angle",
    "disk_area",
    "disk_loading",
    "download_ratio",
    "energy_per_power",
    "engine_power_level_flight",
    "engine_power_needed",
    "engine_power_to_hover_by_blade_element",
    "engine_power_to_hover_near_ground",
    "figure_of_merit",
    "figure_of_merit_from_coefficients",
    "flat_plate_area_from_power",
    "glauert_inflow_ratio",
    "glide_ratio",
    "ground_effect_induced_power_ratio_cheeseman_bennett",
    "ground_effect_induced_power_ratio_hayden",
    "ground_effect_thrust_ratio_cheeseman_bennett",
    "ground_effect_thrust_ratio_cheeseman_bennett_moving",
    "hover_ceiling",
    "hover_power_from_figure_of_merit",
    "hover_power_induced_and_profile",
    "hover_thrust_from_power",
    "ideal_hover_power",
    "ideal_power_climbing",
    "ideal_power_loading",
    "induced_power_level_flight",
    "induced_ratio_climbing",
    "induced_ratio_vertical",
    "induced_ratio_windmill",
    "induced_velocity_climbing",
    "induced_velocity_fast_flight",
    "induced_velocity_hovering",
    "induced_velocity_level_flight",
    "induced_velocity_windmill",
    "lock_number",
    "main_rotor_power_available",
    "main_rotor_torque",
    "mass_at_hover_ceiling",
    "parasite_power",
    "pedal_margin",
    "power_after_transmission",
    "power_coefficient",
    "power_loading",
    "power_model",
    "power_parts",
    "power_ratio_vertical",
    "profile_power_factor",
    "profile_power_hovering",
    "profile_power_level_flight",
    "retreating_blade_lift_coefficient",
    "rotor_blades",
    "rotor_energy",
    "rotor_height_ratio",
    "rotor_power_level_flight",
    "rotor_speed_for_tip_speed",
    "rotor_speed_ratio_after_power_loss",
    "solidity",
    "speed_for_best_glide",
    "speed_for_best_range",
    "speed_for_least_power",
    "speed_for_least_sink",
    "tail_rotor_power",
    "tail_rotor_power_from_share",
    "tail_rotor_thrust_needed",
    "thrust_coefficient",
    "thrust_with_download",
    "time_until_rotor_speed_ratio",
    "tip_mach_advancing",
    "tip_mach_hovering",
    "tip_speed",
    "top_speed",
    "torque_coefficient",
    "transmission_loss",
    "vertical_autorotation_descent_rate",
    "vertical_climb_rate",
    "working_state",
]
