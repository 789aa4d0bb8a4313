"""The sheets, one file per job."""

from rotorkit.sheets.base import About, Finding, Outcome, Sheet, SheetError, sheet_names, sheet_type
from rotorkit.sheets.blade_angles import BladeAngles
from rotorkit.sheets.cable_rigging import CableRigging
from rotorkit.sheets.cable_tension import CableTension
from rotorkit.sheets.control_corners import ControlCorners
from rotorkit.sheets.control_travel import ControlTravel
from rotorkit.sheets.cyclic_range import CyclicRange
from rotorkit.sheets.folder import Check, Folder
from rotorkit.sheets.hover_margin import HoverMargin
from rotorkit.sheets.pitch_rigging import PitchRigging
from rotorkit.sheets.push_pull_tubes import PushPullTubes
from rotorkit.sheets.tension_trend import TensionTrend

__all__ = [
    "About",
    "BladeAngles",
    "CableRigging",
    "CableTension",
    "Check",
    "ControlCorners",
    "ControlTravel",
    "CyclicRange",
    "Finding",
    "Folder",
    "HoverMargin",
    "Outcome",
    "PitchRigging",
    "PushPullTubes",
    "Sheet",
    "SheetError",
    "TensionTrend",
    "sheet_names",
    "sheet_type",
]
