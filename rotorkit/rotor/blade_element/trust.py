"""How far the blade-element hover may be off: standard uncertainties from rotors that it was not adjusted to.

Each figure is a part of what the theory says. It is the root mean square of how far four published measurements lie
from the theory, each report counting alike, at blade loadings of `LEAST_LOADING` and more, with the sections' own drag
and nothing adjusted to any rotor (`rotorkit.rotor.blade_element.held_out` works it out, point by point),
rounded up to the next half per cent. Twice of it covers about 95 % of those points; a test holds every figure to the
comparison. Sheets take their uncertainty of the model from here and from nowhere else.

It is what is known from four reports, not a law. Left out in turn, a report is not always covered by what the others
say: not the blade angles of NASA TM-81232, two short broad blades, and not the power of NACA TN 2318, whose blades were
rough and thick. A rotor as unlike these four as those two are unlike the rest may be off by more.
"""

from __future__ import annotations

LEAST_LOADING = 0.015
"""Blade loading CT / solidity from which on the errors count: about an eighth of where these rotors stall. Below it a
thrust hangs on tenths of a degree and says nothing as a part of itself; those points are told and not counted."""
ANGLE_FOR_THRUST = 0.15
"""Of the blade angle, from the angle without lift, that gives a thrust."""
THRUST_AT_ANGLE = 0.165
"""Of the thrust at a blade angle."""
POWER_AT_THRUST = 0.125
"""Of the power, or torque, at a thrust. Nearly always the rotors took more than the theory says."""
TORQUE_AT_ANGLE = 0.065
"""Of the torque at a blade angle: from two reports only, and twice of it covers 92 % of their points."""
FAST_TIPS = 0.65
"""Tip Mach number above which blade angles were off by more than twice `ANGLE_FOR_THRUST` (NASA TM-81232)."""
STATED = {
    "angle for a thrust": ANGLE_FOR_THRUST,
    "thrust at an angle": THRUST_AT_ANGLE,
    "power at a thrust": POWER_AT_THRUST,
    "torque at an angle": TORQUE_AT_ANGLE,
}
"""The standard uncertainties by what they are of, as `held_out` names it."""
