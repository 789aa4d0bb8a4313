"""The sheets: one file for each job, in a room for each subject.

What a sheet is stands in `rotorkit.sheets.base`, which there are in `rotorkit.sheets.catalogue`. A sheet's class can be
taken from here by its name: ``from rotorkit.sheets import BladeAngles``.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from rotorkit.sheets.base import About, Finding, Outcome, Sheet, SheetError

__all__ = ["About", "Finding", "Outcome", "Sheet", "SheetError", "sheet_names", "sheet_type"]


def __getattr__(name: str) -> Any:
    if name.startswith("_"):
        raise AttributeError(f"module 'rotorkit.sheets' has no attribute {name!r}")
    from importlib import import_module

    if name in __all__[:5]:
        return getattr(import_module("rotorkit.sheets.base"), name)
    catalogue = import_module("rotorkit.sheets.catalogue")
    if name in ("sheet_names", "sheet_type"):
        return getattr(catalogue, name)
    if name in ("Check", "Folder"):
        return getattr(import_module("rotorkit.folder"), name)
    for sheet in catalogue.sheets_in_order():
        if sheet.__name__ == name:
            return sheet
    raise AttributeError(f"module 'rotorkit.sheets' has no attribute {name!r}")
