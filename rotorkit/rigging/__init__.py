"""Rigging: blade angles, pitch links and what to turn, cyclic, control travel, cables and push-pull tubes."""

from __future__ import annotations

from rotorkit.rigging.blade_angle import *  # noqa: F403
from rotorkit.rigging.blade_angle import __all__ as _blade_angle
from rotorkit.rigging.cable import *  # noqa: F403
from rotorkit.rigging.cable import __all__ as _cable
from rotorkit.rigging.cable_friction import *  # noqa: F403
from rotorkit.rigging.cable_friction import __all__ as _cable_friction
from rotorkit.rigging.cable_rules import *  # noqa: F403
from rotorkit.rigging.cable_rules import __all__ as _cable_rules
from rotorkit.rigging.cable_strength import *  # noqa: F403
from rotorkit.rigging.cable_strength import __all__ as _cable_strength
from rotorkit.rigging.cable_tension import *  # noqa: F403
from rotorkit.rigging.cable_tension import __all__ as _cable_tension
from rotorkit.rigging.control_corners import *  # noqa: F403
from rotorkit.rigging.control_corners import __all__ as _control_corners
from rotorkit.rigging.control_travel import *  # noqa: F403
from rotorkit.rigging.control_travel import __all__ as _control_travel
from rotorkit.rigging.cyclic import *  # noqa: F403
from rotorkit.rigging.cyclic import __all__ as _cyclic
from rotorkit.rigging.gauge import *  # noqa: F403
from rotorkit.rigging.gauge import __all__ as _gauge
from rotorkit.rigging.materials import *  # noqa: F403
from rotorkit.rigging.materials import __all__ as _materials
from rotorkit.rigging.pitch_adjustment import *  # noqa: F403
from rotorkit.rigging.pitch_adjustment import __all__ as _pitch_adjustment
from rotorkit.rigging.pitch_link import *  # noqa: F403
from rotorkit.rigging.pitch_link import __all__ as _pitch_link
from rotorkit.rigging.push_pull import *  # noqa: F403
from rotorkit.rigging.push_pull import __all__ as _push_pull
from rotorkit.rigging.repeats import *  # noqa: F403
from rotorkit.rigging.repeats import __all__ as _repeats
from rotorkit.rigging.rod_end import *  # noqa: F403
from rotorkit.rigging.rod_end import __all__ as _rod_end
from rotorkit.rigging.rotor_effects import *  # noqa: F403
from rotorkit.rigging.rotor_effects import __all__ as _rotor_effects
from rotorkit.rigging.sign_convention import *  # noqa: F403
from rotorkit.rigging.sign_convention import __all__ as _sign_convention
from rotorkit.rigging.slack_cable import *  # noqa: F403
from rotorkit.rigging.slack_cable import __all__ as _slack_cable
from rotorkit.rigging.stations import *  # noqa: F403
from rotorkit.rigging.stations import __all__ as _stations
from rotorkit.rigging.tension_band import *  # noqa: F403
from rotorkit.rigging.tension_band import __all__ as _tension_band
from rotorkit.rigging.tension_trend import *  # noqa: F403
from rotorkit.rigging.tension_trend import __all__ as _tension_trend
from rotorkit.rigging.threads import *  # noqa: F403
from rotorkit.rigging.threads import __all__ as _threads
from rotorkit.rigging.turnbuckle import *  # noqa: F403
from rotorkit.rigging.turnbuckle import __all__ as _turnbuckle

__all__ = [  # noqa: PLE0604
    *_blade_angle,
    *_cable,
    *_cable_friction,
    *_cable_rules,
    *_cable_strength,
    *_cable_tension,
    *_control_corners,
    *_control_travel,
    *_cyclic,
    *_gauge,
    *_materials,
    *_pitch_adjustment,
    *_pitch_link,
    *_push_pull,
    *_repeats,
    *_rod_end,
    *_rotor_effects,
    *_sign_convention,
    *_slack_cable,
    *_stations,
    *_tension_band,
    *_tension_trend,
    *_threads,
    *_turnbuckle,
]
