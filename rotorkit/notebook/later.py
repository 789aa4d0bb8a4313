"""Doing things a little later, in a notebook's kernel; at once where nothing runs that could wait (a plain script)."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator

BETWEEN = 0.005
"""Seconds between two pieces of something long, so that a key press need not wait for all of it."""


class Later:
    """What is to be done later, by name. guard: wraps what is done then."""

    def __init__(self, guard: Callable[[Callable[[], None]], Callable[[], None]]) -> None:
        self._guard = guard
        self._timers: dict[str, asyncio.TimerHandle] = {}

    def do(self, name: str, seconds: float, action: Callable[[], None]) -> None:
        """Do something in a while, instead of what was to be done under that name before."""
        self.cancel(name)
        if can_wait():
            self._timers[name] = asyncio.get_running_loop().call_later(seconds, self._guard(action))
        else:
            self._guard(action)()

    def do_pieces(self, name: str, seconds: float, pieces: Iterator[None]) -> None:
        """Go through pieces in a while, with a short rest after each."""
        self.do(name, seconds, lambda: self._next(name, pieces))

    def _next(self, name: str, pieces: Iterator[None]) -> None:
        for _ in pieces:
            if can_wait():
                self.do_pieces(name, BETWEEN, pieces)
                return

    def cancel(self, name: str) -> None:
        """Do not do it after all."""
        if (timer := self._timers.pop(name, None)) is not None:
            timer.cancel()


def can_wait() -> bool:
    """Whether something runs here that could do a thing later."""
    try:
        asyncio.get_running_loop()
    except RuntimeError:
        return False
    return True
