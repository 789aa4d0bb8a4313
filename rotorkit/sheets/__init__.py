"""The sheets, one file per job."""

from rotorkit.sheets.base import About, Finding, Outcome, Sheet, SheetError, sheet_names, sheet_type
from rotorkit.sheets.rigging.blade_angles import BladeAngles
from rotorkit.sheets.rigging.cable_rigging import CableRigging
from rotorkit.sheets.rigging.cable_tension import CableTension
from rotorkit.sheets.rigging.control_corners import ControlCorners
from rotorkit.sheets.rigging.control_travel import ControlTravel
from rotorkit.sheets.rigging.cyclic_range import CyclicRange
from rotorkit.folder.checks import Check, Folder
from rotorkit.sheets.performance.hover_margin import HoverMargin
from rotorkit.sheets.rigging.pitch_rigging import PitchRigging
from rotorkit.sheets.rigging.push_pull_tubes import PushPullTubes
from rotorkit.sheets.rigging.tension_trend import TensionTrend

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
