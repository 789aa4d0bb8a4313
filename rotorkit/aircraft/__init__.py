"""The builder's aircraft: dimensions, drive, limits with their manual page, instruments with their uncertainty.

What stands here is loaded when it is first asked for: what only reads a record needs no model of the aircraft, nor the
physics below it.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
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

_PARTS = ("file", "milestones", "instruments", "performance_figures", "controls", "model")


def __getattr__(name: str) -> Any:
    if name in __all__:
        for part in _PARTS:
            found = vars(import_module(f"rotorkit.aircraft.{part}"))
            if name in found:
                return found[name]
    raise AttributeError(f"module 'rotorkit.aircraft' has no attribute {name!r}")
