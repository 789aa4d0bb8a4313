"""Drawn figures of how readings are taken, one for each sheet: still drawings, to be understood at a glance."""

from __future__ import annotations

from collections.abc import Callable

from rotorkit.pictures.figures.anti_torque_margin import anti_torque_margin
from rotorkit.pictures.figures.autorotation import autorotation
from rotorkit.pictures.figures.blade_angles import blade_angles
from rotorkit.pictures.figures.cable_rigging import cable_rigging
from rotorkit.pictures.figures.cable_tension import cable_tension
from rotorkit.pictures.figures.control_corners import control_corners
from rotorkit.pictures.figures.control_travel import control_travel
from rotorkit.pictures.figures.cyclic_range import cyclic_range
from rotorkit.pictures.figures.hover_margin import hover_margin
from rotorkit.pictures.figures.level_flight import level_flight
from rotorkit.pictures.figures.pitch_rigging import pitch_rigging
from rotorkit.pictures.figures.push_pull_tubes import push_pull_tubes
from rotorkit.pictures.figures.tension_trend import tension_trend

__all__ = [
    "FIGURES",
    "anti_torque_margin",
    "autorotation",
    "blade_angles",
    "cable_rigging",
    "cable_tension",
    "control_corners",
    "control_travel",
    "cyclic_range",
    "hover_margin",
    "level_flight",
    "measuring",
    "pitch_rigging",
    "push_pull_tubes",
    "tension_trend",
]

FIGURES: dict[str, Callable[[], str]] = {
    "anti_torque_margin": anti_torque_margin,
    "autorotation": autorotation,
    "blade_angles": blade_angles,
    "cable_rigging": cable_rigging,
    "cable_tension": cable_tension,
    "control_corners": control_corners,
    "control_travel": control_travel,
    "cyclic_range": cyclic_range,
    "hover_margin": hover_margin,
    "level_flight": level_flight,
    "pitch_rigging": pitch_rigging,
    "push_pull_tubes": push_pull_tubes,
    "tension_trend": tension_trend,
}


def measuring(sheet: str) -> str:
    """The figure of how a sheet's readings are taken, as SVG text; empty where none is drawn. sheet: the sheet's
    name.
    """
    return FIGURES[sheet]() if sheet in FIGURES else ""
