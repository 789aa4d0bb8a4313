"""The `rotorkit` command as it is typed where this runs: by its name alone only where a terminal finds it by that."""

from __future__ import annotations

import os
import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

NAME = "rotorkit"
AS_BEFORE = "Files are written whole or not at all: what was saved before stands."
NO_MEMORY = (
    f"the computer's memory ran out. {AS_BEFORE} Close other programs, or give this one more memory, and do the same "
    "again."
)
GUESTS = ("babel", "dask", "uncertainties")
"""What pint looks for while it is loaded, so that its quantities can hold it, where it is installed. No command needs
it, and with it pint takes half as long again to load."""
LAB_GUESTS = ("rfc3987_syntax",)
"""What JupyterLab's server looks for in the same way, for addresses in other alphabets in its own schemas, where there
are none: it builds a grammar while it is loaded, which takes half as long as all the rest of the server."""


_commands: list[str] = []


def is_command() -> None:
    """Say that this program is the `rotorkit` command, and nobody else's."""
    _commands.append(NAME)


def is_the_command() -> bool:
    """Whether this program is the command, in which nobody changes our own code while it runs."""
    return bool(_commands)


@contextmanager
def without_guests() -> Iterator[None]:
    """While pint is loaded by the command: without those. Who needs one of them afterwards loads it as ever."""
    with without(*(GUESTS if _commands else ())):
        yield


@contextmanager
def without(*names: str) -> Iterator[None]:
    """Libraries are not found while something else is loaded that would do without them. Who needs one of them
    afterwards loads it as ever, and one that is loaded already stays."""
    hidden = [name for name in names if name not in sys.modules]
    for name in hidden:
        sys.modules[name] = None  # type: ignore[assignment]
    try:
        yield
    finally:
        for name in hidden:
            sys.modules.pop(name, None)


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
