"""An aircraft that notes which parts of it are looked at: what a working rests on, and nothing else of the file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, cast

from rotorkit.aircraft.model import Aircraft

BY_NAME = ("limits", "instruments")
"""Parts of which each table is noted by itself: no check looks at more than its own few."""
LOOKING = ("choices", "corners", "gives", "rotors")
"""What an aircraft does by looking at parts by their names: the stand-in does it, and notes them."""
ALL = ""
"""In the place of a table's name: the whole part."""


class LookedAt:
    """An aircraft for one working. whole: the aircraft itself; parts: what was looked at of it, each part with the name
    of its table, or `ALL`."""

    def __init__(self, whole: Aircraft) -> None:
        self.whole = whole
        self.parts: set[tuple[str, str]] = set()

    @property
    def given(self) -> Aircraft:
        """What a sheet is given in the aircraft's place."""
        return cast(Aircraft, _Given(self))


class _Given:
    """Stands for an aircraft. Nothing of it is to be had but through `__getattr__`, which notes a part before it gives
    it: what is not noted cannot have been used. What cannot be told apart is noted as every part."""

    __slots__ = ("_of",)
    model_fields = Aircraft.model_fields

    def __init__(self, of: LookedAt) -> None:
        self._of = of

    def __getattr__(self, name: str) -> Any:
        of = self._of
        if name in BY_NAME:
            return _ByName(name, getattr(of.whole, name), of.parts)
        if name in LOOKING:
            return vars(Aircraft)[name].__get__(self)
        of.parts.update((part, ALL) for part in ([name] if name in self.model_fields else self.model_fields))
        return getattr(of.whole, name)


class _ByName(Mapping[str, Any]):
    """Tables by name, each noted when it is asked for; all of them where it is asked which there are."""

    __slots__ = ("_name", "_parts", "_tables")

    def __init__(self, name: str, tables: Mapping[str, Any], parts: set[tuple[str, str]]) -> None:
        self._name, self._tables, self._parts = name, tables, parts

    def __getitem__(self, table: str) -> Any:
        self._parts.add((self._name, table))
        return self._tables[table]

    def __iter__(self) -> Iterator[str]:
        self._parts.add((self._name, ALL))
        return iter(self._tables)

    def __len__(self) -> int:
        self._parts.add((self._name, ALL))
        return len(self._tables)
