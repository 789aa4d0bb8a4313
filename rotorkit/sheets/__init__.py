"""The sheets, one file per job."""

from rotorkit.sheets.base import About, Finding, Outcome, Sheet, SheetError, sheet_names, sheet_type
from rotorkit.sheets.blade_angles import BladeAngles
from rotorkit.sheets.cable_tension import CableTension
from rotorkit.sheets.folder import Check, Folder
from rotorkit.sheets.hover_margin import HoverMargin
from rotorkit.sheets.pitch_rigging import PitchRigging

__all__ = [
    "About",
    "BladeAngles",
    "CableTension",
    "Check",
    "Finding",
    "Folder",
    "HoverMargin",
    "Outcome",
    "PitchRigging",
    "Sheet",
    "SheetError",
    "sheet_names",
    "sheet_type",
]
