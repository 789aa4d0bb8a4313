"""The builder's aircraft: dimensions, drive, limits with their manual page, instruments with their uncertainty."""

from rotorkit.aircraft.controls import (
    ControlLimits,
    PitchLinks,
    PushPullTube,
    Rod,
    Swashplate,
    TravelLimits,
    Turnbuckle,
)
from rotorkit.aircraft.file import AircraftFileError, demo_folder, load_aircraft, set_value, set_values
from rotorkit.aircraft.instruments import Instrument
from rotorkit.aircraft.milestones import USUAL_MILESTONES, Milestone, Need
from rotorkit.aircraft.model import Aircraft, Cable, Drive, Engine, MainRotor, Rotor, TailRotor
from rotorkit.aircraft.performance_figures import Airframe, BladeShape, MeasuredHover, PowerRows

__all__ = [
    "USUAL_MILESTONES",
    "Aircraft",
    "AircraftFileError",
    "Airframe",
    "BladeShape",
    "Cable",
    "ControlLimits",
    "Drive",
    "Engine",
    "Instrument",
    "MainRotor",
    "MeasuredHover",
    "Milestone",
    "Need",
    "PitchLinks",
    "PowerRows",
    "PushPullTube",
    "Rod",
    "Rotor",
    "Swashplate",
    "TailRotor",
    "TravelLimits",
    "Turnbuckle",
    "demo_folder",
    "load_aircraft",
    "set_value",
    "set_values",
]
