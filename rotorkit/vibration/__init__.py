"""Vibration: sine amplitudes, bands and zones."""

from __future__ import annotations

from rotorkit.vibration.bands import NOT_A_HELICOPTER, ZONES, severity_zone, vibration_band
from rotorkit.vibration.sine import (
    STATED,
    acceleration_from_displacement,
    acceleration_from_velocity,
    amplitude_as,
    decibels,
    displacement_from_acceleration,
    displacement_from_velocity,
    velocity_from_acceleration,
    velocity_from_displacement,
)

__all__ = [
    "NOT_A_HELICOPTER",
    "STATED",
    "ZONES",
    "acceleration_from_displacement",
    "acceleration_from_velocity",
    "amplitude_as",
    "decibels",
    "displacement_from_acceleration",
    "displacement_from_velocity",
    "severity_zone",
    "velocity_from_acceleration",
    "velocity_from_displacement",
    "vibration_band",
]
