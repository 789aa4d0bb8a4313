"""What the command works only once, from one time that it is called to the next."""

from __future__ import annotations

from contextlib import AbstractContextManager, nullcontext
from typing import TYPE_CHECKING

from rotorkit.edges.program import is_the_command

if TYPE_CHECKING:
    from rotorkit.folder.workings import Workings


def known_entries() -> AbstractContextManager[None]:
    """While entries are listed or shown: which of them earlier commands looked at (`entries_looked_at`)."""
    from rotorkit.record.looked_at import entries_looked_at

    return entries_looked_at() if is_the_command() else nullcontext()


def known_workings(figures: bool = False) -> Workings:
    """What earlier commands worked, for this one. figures: whether nothing but these is shown (`Sheet.figures`).

    A program that only calls the command's functions works everything: there the library may have been changed in
    memory, as a test or somebody at a notebook does.
    """
    from rotorkit.folder.workings import Workings
    from rotorkit.record.remembered import Remembered

    return Workings(earlier=Remembered() if is_the_command() else None, figures=figures)
