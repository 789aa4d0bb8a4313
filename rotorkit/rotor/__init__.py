"""The rotors: geometry, loading and coefficients, hover, climb and descent, level flight, power off, and who gets what
power.

- geometry, loading: disk, solidity, tip speed and Mach number; disk, power and blade loading; coefficients
- hover: momentum theory with a figure of merit, or with an induced factor and profile drag
- blade_element: hover from blades and sections, by combined blade-element and momentum theory
- vertical: climb and descent; ground_effect: near the ground, and the downwash on the airframe
- forward, forward_flow: level flight; autorotation, coning: power off and the blades' energy
- shares: who gets what of the engine's power; antitorque: pedal left from the rigged blade angles
- power_model, performance: the whole helicopter's power curve, speeds, climb, ceilings and glide
- margin: what is left in the hover; hover_trim: how it hangs there, and the cyclic that this takes

Thrust is positive along the shaft, away from the disk's downwash. Coefficients are the American ones, without the
factor one half: CT = T / (rho A Vt^2). Out of ground effect and in still air, where nothing else is said.
"""

from __future__ import annotations

# isort: off
# fmt: off
from rotorkit.rotor.geometry import (
    disk_area, rotor_speed_for_tip_speed, solidity, tip_mach_advancing, tip_mach_hovering, tip_speed,
)
from rotorkit.rotor.loading import (
    blade_loading, disk_loading, power_coefficient, power_loading, thrust_coefficient, torque_coefficient,
)
from rotorkit.rotor.hover import (
    figure_of_merit, figure_of_merit_from_coefficients, hover_power_from_figure_of_merit,
    hover_power_induced_and_profile, hover_thrust_from_power, ideal_hover_power, ideal_power_loading,
    induced_velocity_hovering, profile_power_hovering,
)
from rotorkit.rotor.blade_element import (
    BladeElementHover, Blades, LinearSection, SectionTable, blade_element_hover, blade_element_power, rotor_blades,
)
from rotorkit.rotor.vertical import (
    AUTOROTATION_DESCENT_RATIO, descent_cautions, ideal_power_climbing, induced_ratio_climbing,
    induced_ratio_vertical, induced_ratio_windmill, induced_velocity_climbing, induced_velocity_windmill,
    power_ratio_vertical, vertical_climb_rate, working_state,
)
from rotorkit.rotor.ground_effect import (
    download_ratio, ground_effect_induced_power_ratio_cheeseman_bennett, ground_effect_induced_power_ratio_hayden,
    ground_effect_thrust_ratio_cheeseman_bennett, ground_effect_thrust_ratio_cheeseman_bennett_moving,
    rotor_height_ratio, thrust_with_download,
)
from rotorkit.rotor.forward import (
    advance_ratio, climb_rate_from_excess_power, flat_plate_area_from_power, induced_power_level_flight,
    induced_velocity_fast_flight, induced_velocity_level_flight, parasite_power, profile_power_level_flight,
    rotor_power_level_flight,
)
from rotorkit.rotor.forward_flow import (
    blade_cautions, glauert_inflow_ratio, profile_power_factor, retreating_blade_lift_coefficient,
)
from rotorkit.rotor.autorotation import (
    ENERGY_PER_POWER_GUIDELINE, autorotation_descent_rate, autorotative_index_of_energy,
    autorotative_index_of_inertia, energy_per_power, glide_ratio, rotor_energy, rotor_speed_ratio_after_power_loss,
    time_until_rotor_speed_ratio, vertical_autorotation_descent_rate,
)
from rotorkit.rotor.coning import coning_angle, lock_number
from rotorkit.rotor.shares import (
    engine_power_needed, main_rotor_power_available, main_rotor_torque, power_after_transmission, tail_rotor_power,
    tail_rotor_power_from_share, tail_rotor_thrust_needed, transmission_loss,
)
from rotorkit.rotor.antitorque import PedalMargin, pedal_margin
from rotorkit.rotor.hover_trim import (
    cyclic_for_disk_tilt, cyclic_remaining, disk_tilt_with_side_force, height_along_mast, height_with_hub_stiffness,
    hub_stiffness, mast_lean_with_side_force, offset_from_mast,
)
from rotorkit.rotor.power_model import (
    GROUND_EFFECTS, PowerModel, PowerParts, engine_power_level_flight, engine_power_to_hover_by_blade_element,
    engine_power_to_hover_near_ground, power_model, power_parts,
)
from rotorkit.rotor.performance import (
    autorotation_descent, climb_ceiling, climb_rate, hover_ceiling, mass_at_hover_ceiling, speed_for_best_glide,
    speed_for_best_range, speed_for_least_power, speed_for_least_sink, top_speed,
)
# isort: on

__all__ = [  # noqa: RUF022 (a paragraph for each file, in the order above)
    "disk_area", "rotor_speed_for_tip_speed", "solidity", "tip_mach_advancing", "tip_mach_hovering", "tip_speed",
    "blade_loading", "disk_loading", "power_coefficient", "power_loading", "thrust_coefficient",
    "torque_coefficient",
    "figure_of_merit", "figure_of_merit_from_coefficients", "hover_power_from_figure_of_merit",
    "hover_power_induced_and_profile", "hover_thrust_from_power", "ideal_hover_power", "ideal_power_loading",
    "induced_velocity_hovering", "profile_power_hovering",
    "BladeElementHover", "Blades", "LinearSection", "SectionTable", "blade_element_hover", "blade_element_power",
    "rotor_blades",
    "AUTOROTATION_DESCENT_RATIO", "descent_cautions", "ideal_power_climbing", "induced_ratio_climbing",
    "induced_ratio_vertical", "induced_ratio_windmill", "induced_velocity_climbing", "induced_velocity_windmill",
    "power_ratio_vertical", "vertical_climb_rate", "working_state",
    "download_ratio", "ground_effect_induced_power_ratio_cheeseman_bennett",
    "ground_effect_induced_power_ratio_hayden", "ground_effect_thrust_ratio_cheeseman_bennett",
    "ground_effect_thrust_ratio_cheeseman_bennett_moving", "rotor_height_ratio", "thrust_with_download",
    "advance_ratio", "climb_rate_from_excess_power", "flat_plate_area_from_power", "induced_power_level_flight",
    "induced_velocity_fast_flight", "induced_velocity_level_flight", "parasite_power", "profile_power_level_flight",
    "rotor_power_level_flight",
    "blade_cautions", "glauert_inflow_ratio", "profile_power_factor", "retreating_blade_lift_coefficient",
    "ENERGY_PER_POWER_GUIDELINE", "autorotation_descent_rate", "autorotative_index_of_energy",
    "autorotative_index_of_inertia", "energy_per_power", "glide_ratio", "rotor_energy",
    "rotor_speed_ratio_after_power_loss", "time_until_rotor_speed_ratio", "vertical_autorotation_descent_rate",
    "coning_angle", "lock_number",
    "engine_power_needed", "main_rotor_power_available", "main_rotor_torque", "power_after_transmission",
    "tail_rotor_power", "tail_rotor_power_from_share", "tail_rotor_thrust_needed", "transmission_loss",
    "PedalMargin", "pedal_margin",
    "cyclic_for_disk_tilt", "cyclic_remaining", "disk_tilt_with_side_force", "height_along_mast",
    "height_with_hub_stiffness", "hub_stiffness", "mast_lean_with_side_force", "offset_from_mast",
    "GROUND_EFFECTS", "PowerModel", "PowerParts", "engine_power_level_flight",
    "engine_power_to_hover_by_blade_element", "engine_power_to_hover_near_ground", "power_model", "power_parts",
    "autorotation_descent", "climb_ceiling", "climb_rate", "hover_ceiling", "mass_at_hover_ceiling",
    "speed_for_best_glide", "speed_for_best_range", "speed_for_least_power", "speed_for_least_sink", "top_speed",
]
# fmt: on
