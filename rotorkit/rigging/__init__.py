"""Rigging: blade angles from a protractor, and the tension of control cables."""

from __future__ import annotations

from rotorkit.rigging.blade_angle import *  # noqa: F403
from rotorkit.rigging.blade_angle import __all__ as _blade_angle
from rotorkit.rigging.cable import *  # noqa: F403
from rotorkit.rigging.cable import __all__ as _cable
from rotorkit.rigging.cable_tension import *  # noqa: F403
from rotorkit.rigging.cable_tension import __all__ as _cable_tension
from rotorkit.rigging.gauge import *  # noqa: F403
from rotorkit.rigging.gauge import __all__ as _gauge
from rotorkit.rigging.materials import *  # noqa: F403
from rotorkit.rigging.materials import __all__ as _materials
from rotorkit.rigging.repeats import *  # noqa: F403
from rotorkit.rigging.repeats import __all__ as _repeats
from rotorkit.rigging.sign_convention import *  # noqa: F403
from rotorkit.rigging.sign_convention import __all__ as _sign_convention

__all__ = [*_blade_angle, *_cable, *_cable_tension, *_gauge, *_materials, *_repeats, *_sign_convention]  # noqa: PLE0604
