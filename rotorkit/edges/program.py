"""The `rotorkit` command as it is typed where this runs: by its name alone only where a terminal finds it by that."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

__all__ = ["typed"]

NAME = "rotorkit"


def typed(words: str = "") -> str:
    """The command with its words, as it works here: ``rotorkit new DIR`` where the name is found, else with the path
    of the environment that this runs in: ``.venv/bin/rotorkit new DIR``."""
    command = _command()
    return f"{command} {words}" if words else command


def _command() -> str:
    beside = Path(sys.executable).with_name(NAME + (".exe" if os.name == "nt" else ""))
    found = shutil.which(NAME)
    if found is not None and (not beside.exists() or os.path.samefile(found, beside)):
        return NAME
    path, end = (beside, "") if beside.exists() else (Path(sys.executable), f" -m {NAME}")
    here = Path.cwd()
    said = str(path.relative_to(here)) if path.is_relative_to(here) else str(path)
    return (f'"{said}"' if " " in said else said) + end
