"""Stops the library's clock in every Python that the tests start: a command, a writer, a server, a kernel.

Python runs a module of this name by itself where its folder is on the import path. The library has nothing that sets
its clock from outside, so this puts a stopped one in the place of the machine's, in the one module that asks for it,
as that is loaded. It loads nothing itself, and it is part of the tests alone: no wheel carries it.
"""

import sys
from datetime import datetime, timedelta, timezone
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec, PathFinder
from importlib.util import module_from_spec
from pathlib import Path
from types import ModuleType
from typing import Any

NOW = datetime(2026, 11, 30, 10, 30, tzinfo=timezone(timedelta(hours=1)))
"""The demo's instruments are all within their calibration then, and whatever a test saves by hand is earlier."""
CLOCK = "rotorkit.edges.clock"


def stop(module: ModuleType) -> None:
    vars(module)["machine"] = lambda: NOW


class Stopped(MetaPathFinder):
    """Finds the module of the clock as it is found anyhow, and stops it once it has been run."""

    def find_spec(self, name: str, path: Any = None, target: Any = None) -> ModuleSpec | None:
        found = PathFinder.find_spec(name, path) if name == CLOCK else None
        if found is None or found.loader is None:
            return None
        run = found.loader.exec_module

        def exec_module(module: ModuleType) -> None:
            run(module)
            stop(module)

        found.loader.exec_module = exec_module  # type: ignore[method-assign]
        return found


if not any(type(one).__name__ == Stopped.__name__ for one in sys.meta_path):
    sys.meta_path.insert(0, Stopped())
if CLOCK in sys.modules:
    stop(sys.modules[CLOCK])

if __name__ == "sitecustomize":  # it hides another of its name, which some systems need: that is run after all
    elsewhere = [place for place in sys.path if Path(place).resolve() != Path(__file__).resolve().parent]
    hidden = PathFinder.find_spec("sitecustomize", elsewhere)
    if hidden is not None and hidden.loader is not None:
        hidden.loader.exec_module(module_from_spec(hidden))
