"""Constants that more than one room needs, each with its source. A constant of one subject lives with that subject."""

from __future__ import annotations

from rotorkit import sources
from rotorkit.quantities import Constant

STANDARD_GRAVITY = Constant(9.80665, "m/s^2", "g_0", sources.NIST_SP_811.at("Appendix B.8"))
