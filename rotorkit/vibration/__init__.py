"""Vibration: a recording to the orders of a rotor and the lines of a drive train; sine amplitudes, bands, zones."""

from __future__ import annotations

from rotorkit.vibration.bands import NOT_A_HELICOPTER, ZONES, severity_zone, vibration_band
from rotorkit.vibration.orders import Order, Orders, SynchronousAverage, orders_of, synchronous_average
from rotorkit.vibration.plausible import LookedOver, looked_over
from rotorkit.vibration.recordings import (
    GravityCalibration,
    Recording,
    calibrate_with_gravity,
    read_recording,
    read_with_pulses,
    recording,
)
from rotorkit.vibration.reduced import (
    SpeedSpectra,
    one_turn_as_text,
    one_turn_from_text,
    spectra_as_text,
    spectra_from_text,
    velocity_turn,
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
    "LookedOver",
    "Order",
    "Orders",
    "Recording",
    "Simulated",
    "Spectrum",
    "SpeedSpectra",
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
    "looked_over",
    "name_lines",
    "names_at",
    "one_turn_as_text",
    "one_turn_from_text",
    "orders_of",
    "pulse_times",
    "read_recording",
    "read_with_pulses",
    "recording",
    "severity_zone",
    "simulated_recording",
    "spectra_as_text",
    "spectra_from_text",
    "spectrum",
    "synchronous_average",
    "too_near",
    "turns_from_pulses",
    "velocity_from_acceleration",
    "velocity_from_displacement",
    "velocity_turn",
    "vibration_band",
    "waterfall",
]
