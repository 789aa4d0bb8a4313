"""What was worked a moment ago, found by all that it rests on: while somebody changes one reading after another, most
of what a sheet needs is asked for again with the very same figures.

Only for what follows from its key alone, and is never changed by who gets it.
"""

from __future__ import annotations

import functools
from array import array
from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

Thing = TypeVar("Thing")


_FORGET: set[Callable[[], None]] = set()


def forget() -> None:
    """Throw away all that is kept here, so that everything is worked anew: to hold what is kept against it."""
    for one in _FORGET:
        one()


class _Asked(Generic[Thing]):
    __slots__ = ("_hash", "_key", "work")

    def __init__(self, key: Hashable, work: Callable[[], Thing]) -> None:
        self._key, self.work, self._hash = key, work, hash(key)

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Asked) and self._key == other._key


class Recent(Generic[Thing]):
    """The last results of some work. most: so many; of more the one that was asked for longest ago goes first.

    >>> squares = Recent[int](2)
    >>> squares.get(3, lambda: 9), squares.get(3, lambda: 1 / 0)
    (9, 9)
    """

    def __init__(self, most: int) -> None:
        @functools.lru_cache(maxsize=most)
        def found(asked: _Asked[Thing]) -> Thing:
            return asked.work()

        self._found = found
        _FORGET.add(found.cache_clear)

    def get(self, key: Hashable, work: Callable[[], Thing]) -> Thing:
        """What the key came to, worked where it is not there. key: everything that the work rests on; of figures their
        bits (`exactly`), since 0 and -0 are equal and lead elsewhere."""
        return self._found(_Asked(key, work))


def exactly(*figures: float) -> bytes:
    """Figures as a part of a key, to the last bit."""
    return array("d", figures).tobytes()


class TheVerySame:
    """Things that nobody changes as a part of a key, without taking them to pieces: the same only as themselves."""

    __slots__ = ("_hash", "_things")

    def __init__(self, *things: object) -> None:
        self._things, self._hash = things, hash(tuple(map(id, things)))

    def __hash__(self) -> int:
        return self._hash

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, TheVerySame) or len(self._things) != len(other._things):
            return False
        return all(one is another for one, another in zip(self._things, other._things, strict=True))
