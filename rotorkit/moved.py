"""Where modules went: an import by an earlier path still works, with a word of where the module is now.

Kept until the next version but one. `CHANGELOG.md` lists the moves for readers.
"""

from __future__ import annotations

import sys
import warnings
from collections.abc import Sequence
from importlib import import_module
from importlib.abc import Loader, MetaPathFinder
from importlib.machinery import ModuleSpec
from types import ModuleType

_RIGGING = "blade_angles cable_rigging cable_tension control_corners control_travel cyclic_range pitch_rigging"
_PERFORMANCE = "anti_torque_margin autorotation hover_margin level_flight"
MOVED = {
    "rotorkit.agreement": "rotorkit.judging.agreement",
    "rotorkit.atmosphere.day": "rotorkit.atmosphere.air_of_the_day",
    "rotorkit.aircraft.performance": "rotorkit.aircraft.performance_figures",
    "rotorkit.cautions": "rotorkit.sources.cautions",
    "rotorkit.constants": "rotorkit.sources.constants",
    "rotorkit.contract": "rotorkit.formula.contract",
    "rotorkit.engine.day": "rotorkit.engine.power_of_the_day",
    "rotorkit.entries": "rotorkit.aircraft.entries",
    "rotorkit.labelled": "rotorkit.formula.labelled",
    "rotorkit.limits": "rotorkit.judging.limits",
    "rotorkit.measured": "rotorkit.judging.measured",
    "rotorkit.published": "rotorkit.sources.published",
    "rotorkit.record.forms": "rotorkit.folder.forms",
    "rotorkit.record_text": "rotorkit.cli.record_text",
    "rotorkit.rotor.blade_element.engine": "rotorkit.rotor.blade_element.annuli",
    "rotorkit.sheets.blade_stations": "rotorkit.sheets.rigging.blade_angles",
    "rotorkit.sheets.folder": "rotorkit.folder.checks",
    "rotorkit.sheets.picture": "rotorkit.pictures.data",
    "rotorkit.verdict_table": "rotorkit.cli.verdict_table",
    "rotorkit.visible": "rotorkit.edges.visible",
    "rotorkit.received": "rotorkit.edges.received",
    "rotorkit.workfolder": "rotorkit.folder.making",
    **{f"rotorkit.sheets.{name}": f"rotorkit.sheets.rigging.{name}" for name in _RIGGING.split()},
    **{f"rotorkit.sheets.{name}": f"rotorkit.sheets.rigging.{name}" for name in ("push_pull_tubes", "tension_trend")},
    **{f"rotorkit.sheets.{name}": f"rotorkit.sheets.performance.{name}" for name in _PERFORMANCE.split()},
}
"""Earlier path and present one."""
_NAMES_TOO = {
    "rotorkit.sheets.hover_margin": (
        "rotorkit.sheets.performance.day_and_weight",
        "rotorkit.sheets.performance.power_reckoning",
    )
}
"""Modules whose names an earlier path had besides its own."""
_RENAMED = {"rotorkit.sheets.blade_stations": {"Station": "StationRow"}}
"""Names of an earlier path, and what they are there now."""


class _Moved(Loader):
    """Loads a module under its earlier path: the names of those under their present path."""

    def __init__(self, now: str) -> None:
        self.now = now

    def exec_module(self, module: ModuleType) -> None:
        for path in (*_NAMES_TOO.get(module.__name__, ()), self.now):
            there = vars(import_module(path))
            module.__dict__.update({name: value for name, value in there.items() if not name.startswith("__")})
        for earlier, name in _RENAMED.get(module.__name__, {}).items():
            setattr(module, earlier, getattr(module, name))
        module.__doc__ = f"Moved to {self.now}."


class _Finder(MetaPathFinder):
    """Finds the modules that moved."""

    def find_spec(
        self, fullname: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        now = MOVED.get(fullname)
        if now is None:
            return None
        warnings.warn(f"{fullname} is now {now}: import it from there", DeprecationWarning, stacklevel=2)
        return ModuleSpec(fullname, _Moved(now))


def install() -> None:
    """Have earlier paths found, once. What is found elsewhere goes before."""
    if not any(isinstance(finder, _Finder) for finder in sys.meta_path):
        sys.meta_path.append(_Finder())
