"""The hovering rotor by combined blade-element and momentum theory.

From what a builder measures: `rotor_blades` (number, radius, chord, twist, taper, root cut-out, section), a section
(`LinearSection` or `SectionTable`), then `blade_element_hover` at a blade angle or at a thrust. The bare engine for
arrays is `at_collective` and `at_thrust`.
"""

from __future__ import annotations

from rotorkit.rotor.blade_element.annuli import Air, HoverNumbers, Model, StationNumbers, along_blade, at_collective
from rotorkit.rotor.blade_element.blades import COLLECTIVE_AT, Blades, rotor_blades
from rotorkit.rotor.blade_element.by_thrust import at_thrust, collective_for_thrust
from rotorkit.rotor.blade_element.hover import (
    BladeElementHover,
    blade_element_hover,
    blade_element_power,
    hover_and_power,
)
from rotorkit.rotor.blade_element.section_table import SectionTable
from rotorkit.rotor.blade_element.sections import LinearSection, Section, drag_rise, prandtl_glauert_factor

__all__ = [
    "COLLECTIVE_AT",
    "Air",
    "BladeElementHover",
    "Blades",
    "HoverNumbers",
    "LinearSection",
    "Model",
    "Section",
    "SectionTable",
    "StationNumbers",
    "along_blade",
    "at_collective",
    "at_thrust",
    "blade_element_hover",
    "blade_element_power",
    "collective_for_thrust",
    "drag_rise",
    "hover_and_power",
    "prandtl_glauert_factor",
    "rotor_blades",
]
