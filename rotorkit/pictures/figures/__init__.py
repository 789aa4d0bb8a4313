"""Drawn figures of how readings are taken, one for each sheet: still drawings, to be understood at a glance."""

from __future__ import annotations

from collections.abc import Callable

from rotorkit.pictures.figures.blade_angles import blade_angles
from rotorkit.pictures.figures.cable_tension import cable_tension
from rotorkit.pictures.figures.hover_margin import hover_margin

__all__ = ["FIGURES", "blade_angles", "cable_tension", "hover_margin", "measuring"]

FIGURES: dict[str, Callable[[], str]] = {
    "blade_angles": blade_angles,
    "cable_tension": cable_tension,
    "hover_margin": hover_margin,
}


def measuring(sheet: str) -> str:
    """The figure of how a sheet's readings are taken, as SVG text; empty where none is drawn. sheet: the sheet's
    name.
    """
    return FIGURES[sheet]() if sheet in FIGURES else ""
