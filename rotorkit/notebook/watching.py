"""What keeps a page of a working folder current: every few seconds it looks whether a file of the folder is another,
and only then reads or works anything again."""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path
from typing import Any

from rotorkit.aircraft.file import AIRCRAFT_FILE
from rotorkit.edges import clock
from rotorkit.folder.checks import READINGS_FILE
from rotorkit.folder.drafts import DRAFTS_FILE
from rotorkit.notebook.guarded import Guarded
from rotorkit.notebook.later import can_wait
from rotorkit.record.files import RECORD_FILE

LOOK = 2.0
"""Seconds between two looks at the folder's files."""
QUIET = 4.0
"""Seconds without a key press after which nobody is in the middle of typing something."""
WATCHED = (AIRCRAFT_FILE, READINGS_FILE, RECORD_FILE, DRAFTS_FILE)
TODAY = "today"
"""What is told to have changed where a new day has begun: calibrations fall due by it."""


class Watching(Guarded):
    """A page about a working folder that is kept current. box: its widget; `look` follows what has changed since the
    last look, and `watch` does so every few seconds from then on, for as long as the page is there.

    A page says of itself: `watched`, the folder; `_changed_since`, called with what has changed, by file name; and
    `busy`, while somebody types: then it is looked later.
    """

    box: Any
    _seen: dict[str, object] | None = None

    @property
    def watched(self) -> Path:
        raise NotImplementedError

    @property
    def busy(self) -> bool:
        """Whether somebody is typing here at this moment."""
        return False

    def _changed_since(self, changed: Collection[str]) -> None:
        raise NotImplementedError

    def _states(self) -> dict[str, object]:
        return {TODAY: clock.today(), **{name: file_state(self.watched / name) for name in WATCHED}}

    def look(self) -> bool:
        """Follow a file of the folder, or the day, that is another than at the last look; whether one was."""
        with self._lock:
            if self.busy:
                return False
            now, before = self._states(), self._seen or {}
            changed = {name for name, state in now.items() if name not in before or before[name] != state}
            self._seen = now
            if changed:
                self._changed_since(changed)
            return bool(changed)

    def watch(self) -> None:
        """Look from time to time, for as long as the page is there."""
        if can_wait() and not self.box.closed:
            self._later.do("look", LOOK, self._look_and_go_on)

    def _look_and_go_on(self) -> None:
        try:
            if not self.box.closed:
                self.look()
        finally:
            self.watch()


def file_state(file: Path) -> tuple[int, ...]:
    """What the file system says of a file, by which one that was changed is told; empty where there is none."""
    try:
        about = file.stat()
    except OSError:
        return ()
    return about.st_ino, about.st_size, about.st_mtime_ns, about.st_ctime_ns
