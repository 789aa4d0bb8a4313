"""Figures of the aircraft that were typed and are not in its file yet: kept beside the record, as readings are."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from rotorkit.folder.checks import Folder
from rotorkit.folder.drafts import Draft, DraftError, Drafts, new_window

OF_THE_FILE = "aircraft file: "
"""How a draft is named that is of a part of the aircraft file, before the part's place; no sheet is called so."""

FOR_A_JOB = "for "
"""How what a job asks for is named there, before the job's name."""


def places_of(drafts: Iterable[Draft]) -> dict[str, Draft]:
    """The parts of the aircraft file that were typed into and not written, by place, with the newest of each."""
    found: dict[str, Draft] = {}
    for one in drafts:
        if one.sheet.startswith(OF_THE_FILE):
            found.setdefault(one.sheet.removeprefix(OF_THE_FILE), one)
    return found


def left_typed(folder: Folder, start: str) -> bool:
    """Whether something was typed and not written into a part whose place begins so."""
    return any(place.startswith(start) for place in typed_at(folder))


def typed_at(folder: Folder) -> list[str]:
    """The places of the parts into which something was typed and not written."""
    try:
        return list(places_of(Drafts(None if folder.is_demo else folder.path).all()))
    except DraftError:
        return []


class Unwritten:
    """What was typed into the fields of one part of the aircraft file and is not written.

    place: of the part, or a job's name. `found` is what an earlier window left, or None; `problem` says why nothing can
    be kept, `unread` whether what an earlier window left could not be read.
    """

    def __init__(self, folder: Folder, place: str, system: str) -> None:
        self._drafts = Drafts(None if folder.is_demo else folder.path)
        self._named, self._system, self._window = OF_THE_FILE + place, system, new_window()
        self.problem = ""
        self.found: Draft | None = None
        self._mine: tuple[Draft, ...] = ()
        self._look()

    def _look(self) -> None:
        """See what an earlier window left."""
        try:
            there = self._drafts.of(self._named, "")
            self._mine = tuple(one for one in there if not one.elsewhere)
            self.found = self._mine[0] if self._mine else None
            self.problem, self.unread = "", False
        except DraftError as problem:
            self.problem, self.unread = str(problem), True

    def keep(self, typed: Mapping[str, Any]) -> None:
        """Keep what is typed and not written, in place of what was kept before; nothing typed drops it."""
        try:
            if not typed:
                self._drafts.drop(*self._mine)
                self._mine = ()
            else:
                draft = Draft(self._named, "", typed, {}, self._system, self._window)
                self._mine = (self._drafts.keep(draft, tuple(one for one in self._mine if one.window != self._window)),)
            self.problem = ""
        except DraftError as problem:
            self.problem = str(problem)
            if problem.draft is not None:
                self._mine = (problem.draft,)  # it waits to be written

    def keep_again(self, look: bool) -> None:
        """Try again to write what could not be written. look: also to read what could not be read."""
        try:
            self._drafts.write()
            self.problem = ""
        except DraftError as problem:
            self.problem = str(problem)
        if look and self.unread and not self.problem:
            self._look()
