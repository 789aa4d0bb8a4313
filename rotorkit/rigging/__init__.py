"""Rigging: blade angles, pitch links and what to turn, cyclic, control travel, cables and push-pull tubes."""

from __future__ import annotations

import warnings
from typing import Any

# isort: off
# fmt: off
from rotorkit.rigging.blade_angle import (
    blade_angle, blade_angle_protractor_kept_facing_one_way, blade_angle_protractor_turned_with_blade,
    blade_to_blade_spread, protractor_zero_end_for_end, shaft_lean_protractor_kept_facing_one_way,
    shaft_lean_protractor_turned_with_blade, surface_slope_end_for_end, travel_between_stops,
)
from rotorkit.rigging.cable import (
    axial_stiffness_from_stretch_factor, axial_stiffness_of_uniform_bar, cable_stretch_ratio, end_stiffness,
    metallic_area, stiffness_felt_by_one_run, stiffness_in_series, stretched_length,
)
from rotorkit.rigging.cable_friction import (
    friction_coefficient_from_tensions, tension_after_wrap, tension_loss_at_turning_pulley,
)
from rotorkit.rigging.cable_rules import (
    SAFETY_WIRES, SafetyWire, angle_from_offset, change_of_direction, fairlead_limit, pulley_verdict,
    safety_wire_for, smallest_primary_cable_limit, threads_exposed_limit, threads_inside_at_first_limit,
)
from rotorkit.rigging.cable_strength import CABLE_STRENGTHS, CableStrength, breaking_strength, strength_margin
from rotorkit.rigging.cable_tension import (
    slack_temperature, tension_at_temperature, tension_change, tension_change_from_growth,
    tension_change_rigid_structure, tension_change_two_temperatures, tension_slope, tension_slope_rigid_structure,
    thermal_growth,
)
from rotorkit.rigging.control_corners import CornerMap, CornerReading, added_effects, corner_combinations, corner_map
from rotorkit.rigging.control_travel import (
    CONTROL_KINDS, TravelFit, TravelReading, control_travel, dead_band_from_reversal,
)
from rotorkit.rigging.cyclic import (
    PLACES, STICK_DIRECTIONS, CyclicRanges, Harmonics, RotorTurn, azimuth_of, cyclic_amplitude, cyclic_range,
    half_difference, harmonics, highest_azimuth, mean_of_opposite, swashplate_highest_azimuth, swashplate_tilt,
)
from rotorkit.rigging.gauge import CalibrationTable, calibration_table_for, interpolated_tension, tension_from_gauge
from rotorkit.rigging.materials import (
    CABLE_CONSTRUCTIONS, MATERIALS, CableConstruction, Material, cable_construction, material,
)
from rotorkit.rigging.pitch_adjustment import AIMS, Adjustment, StationOutcome, what_to_turn
from rotorkit.rigging.pitch_link import (
    LENGTHENING, PitchLink, angle_from_length_change, angle_horn_not_square, angle_short_link, angle_small,
)
from rotorkit.rigging.push_pull import (
    TubeColumn, buckling_load, euler_load, johnson_load, radius_of_gyration, slenderness_ratio,
    transition_slenderness, tube_area, tube_column, tube_second_moment,
)
from rotorkit.rigging.repeats import Repeatability, coverage_factor, mean_of_repeats, repeatability_of, shared_error
from rotorkit.rigging.rod_end import (
    WITNESS_WIRE, engagement_after_turns, engagement_verdict, flats_within_engagement, witness_hole_verdict,
)
from rotorkit.rigging.rotor_effects import BladePlace, cyclic_rod, pitch_link_adjuster, rod_for_all_blades
from rotorkit.rigging.sign_convention import ChordTurn, SignConvention
from rotorkit.rigging.slack_cable import TIGHTEN, judged_tension, may_be_slack, unknown_tension
from rotorkit.rigging.stations import Adjuster, Station, combined_station, difference_stations, effect_per_flat
from rotorkit.rigging.tension_band import BandPoint, tension_band_at, tension_chart
from rotorkit.rigging.tension_trend import TensionLine, tension_trend
from rotorkit.rigging.threads import (
    Thread, flats_for_turns, length_change_both_ends, length_change_one_end, length_change_same_hand,
    stretch_under_force, thread, tightening_torque, turn_of_nut, turns_for_length_change,
)
from rotorkit.rigging.turnbuckle import (
    TurnbucklePlan, shortening_for_tension, stiffness_felt_by_pinned_run, tension_change_of_other_run,
    tension_change_of_turns, threads_exposed_after, turnbuckle_plan, turnbuckle_turns,
)
# isort: on

__all__ = [
    "AIMS", "CABLE_CONSTRUCTIONS", "CABLE_STRENGTHS", "CONTROL_KINDS", "LENGTHENING", "MATERIALS", "PLACES",
    "SAFETY_WIRES", "STICK_DIRECTIONS", "TIGHTEN", "WITNESS_WIRE", "Adjuster", "Adjustment", "BandPoint",
    "BladePlace", "CableConstruction", "CableStrength", "CalibrationTable", "ChordTurn", "CornerMap", "CornerReading",
    "CyclicRanges", "Harmonics", "Material", "PitchLink", "Repeatability", "RotorTurn", "SafetyWire",
    "SignConvention", "Station", "StationOutcome", "TensionLine", "Thread", "TravelFit", "TravelReading",
    "TubeColumn", "TurnbucklePlan", "added_effects", "angle_from_length_change", "angle_from_offset",
    "angle_horn_not_square", "angle_short_link", "angle_small", "axial_stiffness_from_stretch_factor",
    "axial_stiffness_of_uniform_bar", "azimuth_of", "blade_angle", "blade_angle_protractor_kept_facing_one_way",
    "blade_angle_protractor_turned_with_blade", "blade_to_blade_spread", "breaking_strength", "buckling_load",
    "cable_construction", "cable_stretch_ratio", "calibration_table_for", "change_of_direction", "combined_station",
    "control_travel", "corner_combinations", "corner_map", "coverage_factor", "cyclic_amplitude", "cyclic_range",
    "cyclic_rod", "dead_band_from_reversal", "difference_stations", "effect_per_flat", "end_stiffness",
    "engagement_after_turns", "engagement_verdict", "euler_load", "fairlead_limit", "flats_for_turns",
    "flats_within_engagement", "friction_coefficient_from_tensions", "half_difference", "harmonics",
    "highest_azimuth", "interpolated_tension", "johnson_load", "judged_tension", "length_change_both_ends",
    "length_change_one_end", "length_change_same_hand", "material", "may_be_slack", "mean_of_opposite",
    "mean_of_repeats", "metallic_area", "pitch_link_adjuster", "protractor_zero_end_for_end", "pulley_verdict",
    "radius_of_gyration", "repeatability_of", "rod_for_all_blades", "safety_wire_for",
    "shaft_lean_protractor_kept_facing_one_way", "shaft_lean_protractor_turned_with_blade", "shared_error",
    "shortening_for_tension", "slack_temperature", "slenderness_ratio", "smallest_primary_cable_limit",
    "stiffness_felt_by_one_run", "stiffness_felt_by_pinned_run", "stiffness_in_series", "strength_margin",
    "stretch_under_force", "stretched_length", "surface_slope_end_for_end", "swashplate_highest_azimuth",
    "swashplate_tilt", "tension_after_wrap", "tension_at_temperature", "tension_band_at", "tension_change",
    "tension_change_from_growth", "tension_change_of_other_run", "tension_change_of_turns",
    "tension_change_rigid_structure", "tension_change_two_temperatures", "tension_chart", "tension_from_gauge",
    "tension_loss_at_turning_pulley", "tension_slope", "tension_slope_rigid_structure", "tension_trend",
    "thermal_growth", "thread", "threads_exposed_after", "threads_exposed_limit", "threads_inside_at_first_limit",
    "tightening_torque", "transition_slenderness", "travel_between_stops", "tube_area", "tube_column",
    "tube_second_moment", "turn_of_nut", "turnbuckle_plan", "turnbuckle_turns", "turns_for_length_change",
    "unknown_tension", "what_to_turn", "witness_hole_verdict",
]
# fmt: on

RENAMED = {"ControlTravel": "TravelFit", "CyclicRange": "CyclicRanges", "TensionTrend": "TensionLine"}
"""Earlier names, which the sheets bear too, and present ones."""


def __getattr__(name: str) -> Any:
    now = RENAMED.get(name)
    if now is None:
        raise AttributeError(f"module 'rotorkit.rigging' has no attribute {name!r}")
    warnings.warn(f"rotorkit.rigging.{name} is named {now} now", DeprecationWarning, stacklevel=2)
    return globals()[now]
