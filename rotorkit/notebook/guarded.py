"""What a page's own actions are done under: one at a time, and with no error lost."""

from __future__ import annotations

import functools
import threading
from collections.abc import Callable
from typing import Any, Self

from rotorkit.notebook import generations
from rotorkit.notebook.later import Later
from rotorkit.quantities import use_display


class Guarded:
    """A part of a page with a lock, a display system ("us" or "metric"), and a way to tell an unforeseen error."""

    system: str
    fault: Exception | None
    _lock: threading.RLock
    _later: Later

    def __new__(cls, *_given: Any, **_named: Any) -> Self:
        one = super().__new__(cls)
        generations.made(one)
        return one

    def _tell_fault(self, fault: Exception) -> None:
        """Say an error that nobody foresaw, on the page."""
        raise fault

    def _anew(self, work: Callable[[], None], *waiting: str) -> None:
        """Work the page again at once, instead of what was to be done later under these names."""
        with self._lock:
            for one in waiting:
                self._later.cancel(one)
            use_display(self.system)
            self.fault = None
            try:
                work()
            except Exception as fault:
                self._tell_fault(fault)

    def _guard(self, action: Callable[..., Any]) -> Callable[..., None]:
        """An action under the lock, whose unforeseen error reaches the page."""

        @functools.wraps(action)
        def guarded(*given: Any) -> None:
            with self._lock:
                use_display(self.system)
                try:
                    action(*given)
                except Exception as fault:
                    self._tell_fault(fault)

        return guarded
