"""The line of every table, key and element of a TOML text, so that a fault can be pointed to.

The text must be valid TOML (the standard library has read it already); here only places are found, no values.
"""

from __future__ import annotations

import re
from contextlib import suppress

Place = tuple[str, ...]
_BARE = re.compile(r"[A-Za-z0-9_\-]+")
_SCALAR = re.compile(r"[^,\]}#\n]+")
_OPENINGS = ('"""', "'''", '"', "'")


def line_numbers(text: str) -> dict[Place, int]:
    """The line (from 1) of each place of a TOML text. A place is the path of names to a table, a key or, by its number
    from 0, an element of an array: ``("instruments", "tension_gauge", "tables", "0", "rows", "2")``."""
    return _Scan(text).places


def statements(text: str) -> list[tuple[Place, int, int]]:
    """Each section's header and each key of a TOML text, in order: its place, its first line and its last (from 1)."""
    return _Scan(text).statements


class _Scan:
    def __init__(self, text: str) -> None:
        self.text = text.replace("\r\n", "\n")
        self.at = 0
        self._counted = (0, 1)  # as far as lines are counted, and the line there
        self.places: dict[Place, int] = {}
        self.counts: dict[Place, int] = {}
        self.statements: list[tuple[Place, int, int]] = []
        with suppress(IndexError):  # where the text ends within something, what was found so far stands
            self._document()

    @property
    def line(self) -> int:
        at, line = self._counted
        line += self.text.count("\n", at, self.at) if self.at >= at else -self.text.count("\n", self.at, at)
        self._counted = (self.at, line)
        return line

    def _space(self, lines: bool = False) -> None:
        """Pass blanks, and with `lines` also line ends and comments."""
        while self.at < len(self.text):
            sign = self.text[self.at]
            if sign in " \t" or (lines and sign == "\n"):
                self.at += 1
            elif lines and sign == "#":
                self._rest_of_line()
            else:
                return

    def _rest_of_line(self) -> None:
        end = self.text.find("\n", self.at)
        self.at = len(self.text) if end < 0 else end

    def _document(self) -> None:
        table: Place = ()
        while True:
            self._space(lines=True)
            if self.at >= len(self.text):
                return
            line = self.line
            if self.text[self.at] == "[":
                place = table = self._header()
            else:
                place = self._pair(table)
            self.statements.append((place, line, self.line))
            self._space()
            self._rest_of_line()

    def _header(self) -> Place:
        line, array = self.line, self.text.startswith("[[", self.at)
        self.at += 2 if array else 1
        names = self._key()
        table: Place = ()
        for i, name in enumerate(names):
            table = (*table, name)
            if array and i == len(names) - 1:
                self.places.setdefault(table, line)
                self.counts[table] = self.counts.get(table, -1) + 1
            if table in self.counts:
                table = (*table, str(self.counts[table]))
        self.places.setdefault(table, line)
        return table

    def _pair(self, table: Place) -> Place:
        line = self.line
        names = self._key()
        for depth in range(1, len(names) + 1):
            self.places.setdefault((*table, *names[:depth]), line)
        self._space()
        self.at += 1  # the equals sign
        self._value((*table, *names))
        return (*table, *names)

    def _key(self) -> Place:
        """A dotted key, quoted or bare; stops at what follows it."""
        names = []
        while True:
            self._space()
            if self.text[self.at] in "\"'":
                names.append(self._string())
            elif found := _BARE.match(self.text, self.at):
                names.append(found[0])
                self.at = found.end()
            self._space()
            if self.at >= len(self.text) or self.text[self.at] != ".":
                return tuple(names)
            self.at += 1

    def _string(self) -> str:
        """Pass a string of any of the four sorts, and return what stands in it (escapes as written)."""
        opening = next(o for o in _OPENINGS if self.text.startswith(o, self.at))
        start = self.at = self.at + len(opening)
        while not self.text.startswith(opening, self.at):
            self.at += 2 if opening[0] == '"' and self.text[self.at] == "\\" else 1
            self.text[self.at - 1]  # ends the scan at the end of the text
        while len(opening) == 3 and self.text[self.at + 3 : self.at + 4] == opening[0]:
            self.at += 1  # quotation marks may stand right before the closing ones
        inside = self.text[start : self.at]
        self.at += len(opening)
        return inside

    def _value(self, place: Place) -> None:
        self._space()
        sign = self.text[self.at]
        if sign in "\"'":
            self._string()
        elif sign == "[":
            self._elements(place, "]")
        elif sign == "{":
            self._elements(place, "}")
        else:
            found = _SCALAR.match(self.text, self.at)
            self.at = found.end() if found else self.at + 1

    def _elements(self, place: Place, closing: str) -> None:
        self.at += 1
        number = 0
        while True:
            self._space(lines=True)
            if self.text[self.at] == closing:
                self.at += 1
                return
            if self.text[self.at] == ",":
                self.at += 1
                continue
            if closing == "]":
                self.places.setdefault((*place, str(number)), self.line)
                self._value((*place, str(number)))
                number += 1
            else:
                self._pair(place)
