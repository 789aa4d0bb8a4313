"""Drawn figures of how readings are taken, one for each sheet: still drawings, to be understood at a glance."""

from __future__ import annotations

from collections.abc import Callable

from rotorkit.pictures.figures.anti_torque_margin import anti_torque_margin
from rotorkit.pictures.figures.autorotation import autorotation
from rotorkit.pictures.figures.blade_angles import blade_angles
from rotorkit.pictures.figures.cable_tension import cable_tension
from rotorkit.pictures.figures.hover_margin import hover_margin
from rotorkit.pictures.figures.level_flight import level_flight

__all__ = [
    "FIGURES",
    "anti_torque_margin",
    "autorotation",
    "blade_angles",
    "cable_tension",
    "hover_margin",
    "level_flight",
    "measuring",
]

FIGURES: dict[str, Callable[[], str]] = {
    "anti_torque_margin": anti_torque_margin,
    "autorotation": autorotation,
    "blade_angles": blade_angles,
    "cable_tension": cable_tension,
    "hover_margin": hover_margin,
    "level_flight": level_flight,
}


def measuring(sheet: str) -> str:
    """The figure of how a sheet's readings are taken, as SVG text; empty where none is drawn. sheet: the sheet's
    name.
    """
    return FIGURES[sheet]() if sheet in FIGURES else ""
