"""Drawn figures of how readings are taken, one for each sheet: still drawings, to be understood at a glance.

A figure is found by its file: ``NAME.py`` with a function ``NAME`` draws that of the sheet NAME.
"""

from __future__ import annotations

import pkgutil
from importlib import import_module

__all__ = ["measuring", "names"]

_PARTS = ("drawing", "of_the_aircraft", "rod_end")
"""Files with what several figures are drawn of, and with figures that are no sheet's."""


def names() -> list[str]:
    """The sheets that a figure is drawn for."""
    return [found.name for found in pkgutil.iter_modules(__path__) if found.name not in _PARTS]


def measuring(sheet: str) -> str:
    """The figure of how a sheet's readings are taken, as SVG text; empty where none is drawn. sheet: the sheet's
    name.
    """
    if sheet not in names():
        return ""
    svg: str = getattr(import_module(f"{__name__}.{sheet}"), sheet)()
    return svg
