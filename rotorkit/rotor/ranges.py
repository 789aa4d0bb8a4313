"""The ranges that the rotor functions accept. They are wide: they catch slips of unit, not poor designs.

A density in slug/ft^3 typed with lb/ft^3, a radius in inches typed in feet, an rpm left as rad/s all fall outside.
"""

from __future__ import annotations

AIR_DENSITY = ("0.3 kg/m^3", "2 kg/m^3")
RADIUS = ("3 in", "60 ft")
DISK_AREA = ("0.1 ft^2", "12000 ft^2")
TIP_SPEED = ("30 ft/s", "1100 ft/s")
ROTOR_SPEED = ("50 rpm", "6000 rpm")
SOLIDITY = ("0.005", "0.4")
BLADES = ("1", "8")
CHORD = ("0.5 in", "4 ft")
FIGURE_OF_MERIT = ("0.05", "1")
EFFICIENCY = ("0.5", "1")
NOT_NEGATIVE_FORCE = ("0 lbf", None)
NOT_NEGATIVE_POWER = ("0 hp", None)
NOT_NEGATIVE_TORQUE = ("0 ft-lb", None)
PROFILE_DRAG = ("0.004", "0.05")
INDUCED_FACTOR = ("1", "2")
AIRSPEED = ("0 kt", "300 kt")
FLAT_PLATE = ("0 ft^2", "200 ft^2")
ADVANCE_RATIO = ("0", "0.5")
HEIGHT_OVER_RADIUS = ("0.5", None)
DESCENT = ("0 m/s", "100 m/s")
