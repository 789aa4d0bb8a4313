"""Vibration: a recording to the orders of a rotor and the lines of a drive train; sine amplitudes, bands, zones."""

from __future__ import annotations

from rotorkit.vibration.bands import NOT_A_HELICOPTER, ZONES, severity_zone, vibration_band
from rotorkit.vibration.orders import Order, Orders, SynchronousAverage, orders_of, synchronous_average
from rotorkit.vibration.recordings import (
    GravityCalibration,
    Recording,
    calibrate_with_gravity,
    read_recording,
    recording,
)
from rotorkit.vibration.simulated import Simulated, simulated_recording
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
from rotorkit.vibration.spectra import (
    Line,
    Spectrum,
    TooNear,
    Waterfall,
    drive_lines,
    name_lines,
    names_at,
    spectrum,
    too_near,
    waterfall,
)
from rotorkit.vibration.turns import Turns, pulse_times, turns_from_pulses

__all__ = [
    "NOT_A_HELICOPTER",
    "STATED",
    "ZONES",
    "GravityCalibration",
    "Line",
    "Order",
    "Orders",
    "Recording",
    "Simulated",
    "Spectrum",
    "SynchronousAverage",
    "TooNear",
    "Turns",
    "Waterfall",
    "acceleration_from_displacement",
    "acceleration_from_velocity",
    "amplitude_as",
    "calibrate_with_gravity",
    "decibels",
    "displacement_from_acceleration",
    "displacement_from_velocity",
    "drive_lines",
    "name_lines",
    "names_at",
    "orders_of",
    "pulse_times",
    "read_recording",
    "recording",
    "severity_zone",
    "simulated_recording",
    "spectrum",
    "synchronous_average",
    "too_near",
    "turns_from_pulses",
    "velocity_from_acceleration",
    "velocity_from_displacement",
    "vibration_band",
    "waterfall",
]
