"""The drive train: speeds, torque, shafts, joints, belts, bearings, clutches, brakes, and what vibrates in it.

- speeds, train: every shaft's speed from any one, ratios by turns counted, slip, rotor-speed limits
- shafts: torque, torsion stress and twist, keys, splines, flanges; universal_joint: uneven turning and pairs
- alignment: offset and angle at a coupling from dial readings, what to shim
- belt_geometry, belts: wraps, lengths, tensions, power, and how to set them
- bearings: life, duty cycles, fault frequencies; clutches, brakes
- critical: closed forms of critical speeds; whirl: any shaft line by finite elements; torsion: torsional modes
- engine_orders: what shakes them
- blade_modes: rotating blades; fan_plot: where orders meet frequencies; frequency_map: whose line it is
- ground_resonance: hub, landing gear and lagging blades, a screening
"""

from __future__ import annotations

# isort: off
# fmt: off
from rotorkit.drive.speeds import (
    belt_slip, blade_passage_frequency, gear_driven_speed, highest_power_off_rotor_speed,
    least_power_on_rotor_speed, lowest_power_off_rotor_speed, needle_split, pulley_driven_speed, ratio_by_turns,
    rotation_rate_from_passages, speed_ratio, tachometer_error,
)
from rotorkit.drive.train import (
    Link, ShaftLoad, Train, belt, gears, one_way_clutch, shaft, train,
)
from rotorkit.drive.shafts import (
    bolt_shear_stress, equivalent_length, flange_friction_torque, key_bearing_stress, key_shear_stress, peak_torque,
    polar_second_moment, power_from_torque, shaft_twist, solid_diameter_for_stress, spline_bearing_stress,
    torque_for_stress, torque_for_twist, torque_from_power, torsion_stress, torsional_stiffness,
)
from rotorkit.drive.universal_joint import (
    JointPair, universal_joint_acceleration, universal_joint_angle_for_fluctuation, universal_joint_fluctuation,
    universal_joint_greatest_acceleration, universal_joint_greatest_speed, universal_joint_least_speed,
    universal_joint_pair,
    universal_joint_pair_crossed_fluctuation,
    universal_joint_pair_fluctuation, universal_joint_speed, universal_joint_unit_ratio_angle,
)
from rotorkit.drive.alignment import (
    ShimPlan, closing_error, coupling_offset, coupling_slope, foot_change, offset_along, whole_shims,
)
from rotorkit.drive.belt_geometry import (
    belt_span, centre_distance_for_belt_length, crossed_belt_length, crossed_belt_span, crossed_belt_wrap,
    open_belt_length, open_belt_wrap_large, open_belt_wrap_small, pulley_lean, pulleys_out_of_line,
)
from rotorkit.drive.belts import (
    belt_allowed_tension, belt_linear_density, belt_power, belt_power_from_initial_tension, belt_shaft_load,
    belt_slip_margin, belt_speed, belt_speed_for_greatest_power, belt_tension_ratio, centrifugal_tension,
    deflection_force, deflection_rule, initial_tension, initial_tension_for_power, number_of_belts,
    power_of_one_belt, slack_side_tension, span_frequency, tension_difference_for_power, tension_from_deflection,
    tension_from_span_frequency, tight_side_tension_for_power,
)
from rotorkit.drive.bearings import (
    BALL, ROLLER, BearingFrequencies, bearing_capacity_for_life, bearing_frequencies, bearing_life_at_reliability,
    bearing_life_hours, bearing_life_revolutions, bearing_life_ten, duty_cycle_load, duty_cycle_speed,
    equivalent_bearing_load,
)
from rotorkit.drive.clutches import (
    LineContact, centrifugal_clutch_torque, clutch_acceleration, clutch_pressure_mean, clutch_pressure_uniform_wear,
    clutch_slip_energy, clutch_slip_energy_of_two_rotors, clutch_slip_time, clutch_torque_uniform_pressure,
    clutch_torque_uniform_wear, cone_clutch_torque, line_contact, plate_force_for_pressure,
    roller_clutch_normal_force, roller_clutch_wedges,
)
from rotorkit.drive.brakes import (
    BandTensions, band_and_block_tension_ratio, band_brake_force, band_brake_tensions, band_lever_tensions,
    band_tension_ratio, block_friction_coefficient, brake_energy, brake_power, brake_temperature_rise,
    disc_brake_torque, kinetic_energy, rotor_speed_for_brake_energy, rotor_stopping_time, shoe_brake_force,
    stopping_time,
)
from rotorkit.drive.critical import (
    SHAFT_ENDS, WhirlBand, axial_stiffness_between_ends, critical_margin, critical_speed_from_deflection,
    critical_speed_of_overhung_disc, deflection_at_speed, dunkerley_frequency, rayleigh_frequency,
    round_bar_second_moment, speeds_for_deflection, stiffness_at_load, uniform_shaft_frequency, vibration_frequency,
)
from rotorkit.drive.torsion import (
    TorsionalModes, TorsionalTrain, belt_torsional_stiffness, damped_frequency, firing_frequency, holzer_frequencies,
    holzer_residual, hub_inertia_beside_lagging_blades, lagging_blades_inertia, lagging_blades_stiffness,
    node_distance, referred_inertia, referred_stiffness, stiffness_of_shafts_in_series, torsional_chain,
    torsional_frequency_one_rotor, torsional_frequency_two_rotors, torsional_modes, torsional_train,
)
from rotorkit.drive.engine_orders import (
    EngineOrders, engine_torque_orders,
)
from rotorkit.drive.whirl import (
    Bearing, CriticalSpeed, Disc, ShaftLine, ShaftPiece, WhirlModes, cowper_shear_coefficient, shaft_line,
    solid_disc, tube_critical_speeds, tube_whirl,
)
from rotorkit.drive.blade_modes import (
    BladeSection, RotatingBlade, Southwell, hinged_flap_frequency_ratio, hinged_lag_frequency_ratio, rotating_blade,
    southwell_frequency,
)
from rotorkit.drive.fan_plot import (
    Crossing, least_separation, order_crossings, speed_margin,
)
from rotorkit.drive.ground_resonance import (
    GroundResonance, UnstableRange, decay_damping_ratio, ground_resonance, hub_damping, losses_together,
    pull_stiffness, swinging_mass,
)
from rotorkit.drive.frequency_map import (
    FrequencyLine, LineMatch, bearing_lines, belt_pass_frequency, gear_mesh_lines, match_frequency, shaft_lines,
)
# isort: on

__all__ = [  # noqa: RUF022 (a paragraph for each file, in the order above)
    "belt_slip", "blade_passage_frequency", "gear_driven_speed", "highest_power_off_rotor_speed",
    "least_power_on_rotor_speed", "lowest_power_off_rotor_speed", "needle_split", "pulley_driven_speed",
    "ratio_by_turns", "rotation_rate_from_passages", "speed_ratio", "tachometer_error",
    "Link", "ShaftLoad", "Train", "belt", "gears", "one_way_clutch", "shaft", "train",
    "bolt_shear_stress", "equivalent_length", "flange_friction_torque", "key_bearing_stress", "key_shear_stress",
    "peak_torque", "polar_second_moment", "power_from_torque", "shaft_twist", "solid_diameter_for_stress",
    "spline_bearing_stress", "torque_for_stress", "torque_for_twist", "torque_from_power", "torsion_stress",
    "torsional_stiffness",
    "JointPair", "universal_joint_acceleration", "universal_joint_angle_for_fluctuation",
    "universal_joint_fluctuation", "universal_joint_greatest_acceleration", "universal_joint_greatest_speed",
    "universal_joint_least_speed", "universal_joint_pair", "universal_joint_pair_crossed_fluctuation",
    "universal_joint_pair_fluctuation", "universal_joint_speed",
    "universal_joint_unit_ratio_angle",
    "ShimPlan", "closing_error", "coupling_offset", "coupling_slope", "foot_change", "offset_along", "whole_shims",
    "belt_span", "centre_distance_for_belt_length", "crossed_belt_length", "crossed_belt_span", "crossed_belt_wrap",
    "open_belt_length", "open_belt_wrap_large", "open_belt_wrap_small", "pulley_lean", "pulleys_out_of_line",
    "belt_allowed_tension", "belt_linear_density", "belt_power", "belt_power_from_initial_tension",
    "belt_shaft_load", "belt_slip_margin", "belt_speed", "belt_speed_for_greatest_power", "belt_tension_ratio",
    "centrifugal_tension", "deflection_force", "deflection_rule", "initial_tension", "initial_tension_for_power",
    "number_of_belts", "power_of_one_belt", "slack_side_tension", "span_frequency", "tension_difference_for_power",
    "tension_from_deflection", "tension_from_span_frequency", "tight_side_tension_for_power",
    "BALL", "ROLLER", "BearingFrequencies", "bearing_capacity_for_life", "bearing_frequencies",
    "bearing_life_at_reliability", "bearing_life_hours", "bearing_life_revolutions", "bearing_life_ten",
    "duty_cycle_load", "duty_cycle_speed", "equivalent_bearing_load",
    "LineContact", "centrifugal_clutch_torque", "clutch_acceleration", "clutch_pressure_mean",
    "clutch_pressure_uniform_wear", "clutch_slip_energy", "clutch_slip_energy_of_two_rotors", "clutch_slip_time",
    "clutch_torque_uniform_pressure", "clutch_torque_uniform_wear", "cone_clutch_torque", "line_contact",
    "plate_force_for_pressure", "roller_clutch_normal_force", "roller_clutch_wedges",
    "BandTensions", "band_and_block_tension_ratio", "band_brake_force", "band_brake_tensions",
    "band_lever_tensions", "band_tension_ratio", "block_friction_coefficient", "brake_energy", "brake_power",
    "brake_temperature_rise", "disc_brake_torque", "kinetic_energy", "rotor_speed_for_brake_energy",
    "rotor_stopping_time", "shoe_brake_force", "stopping_time",
    "SHAFT_ENDS", "WhirlBand", "axial_stiffness_between_ends", "critical_margin", "critical_speed_from_deflection",
    "critical_speed_of_overhung_disc", "deflection_at_speed", "dunkerley_frequency", "rayleigh_frequency",
    "round_bar_second_moment", "speeds_for_deflection", "stiffness_at_load", "uniform_shaft_frequency",
    "vibration_frequency",
    "TorsionalModes", "TorsionalTrain", "belt_torsional_stiffness", "damped_frequency", "firing_frequency",
    "holzer_frequencies", "holzer_residual", "hub_inertia_beside_lagging_blades", "lagging_blades_inertia",
    "lagging_blades_stiffness", "node_distance", "referred_inertia", "referred_stiffness",
    "stiffness_of_shafts_in_series", "torsional_chain", "torsional_frequency_one_rotor",
    "torsional_frequency_two_rotors", "torsional_modes", "torsional_train",
    "EngineOrders", "engine_torque_orders",
    "Bearing", "CriticalSpeed", "Disc", "ShaftLine", "ShaftPiece", "WhirlModes", "cowper_shear_coefficient",
    "shaft_line", "solid_disc", "tube_critical_speeds", "tube_whirl",
    "BladeSection", "RotatingBlade", "Southwell", "hinged_flap_frequency_ratio", "hinged_lag_frequency_ratio",
    "rotating_blade", "southwell_frequency",
    "Crossing", "least_separation", "order_crossings", "speed_margin",
    "GroundResonance", "UnstableRange", "decay_damping_ratio", "ground_resonance", "hub_damping", "losses_together",
    "pull_stiffness", "swinging_mass",
    "FrequencyLine", "LineMatch", "bearing_lines", "belt_pass_frequency", "gear_mesh_lines", "match_frequency",
    "shaft_lines",
]
# fmt: on
