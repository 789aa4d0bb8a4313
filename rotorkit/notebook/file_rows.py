"""Rows of the aircraft file as a table that is typed into: each cell typed, rows added and removed by a button."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.asked import stands, written
from rotorkit.aircraft.asked_rows import AskedRows, Element, elements, to_write
from rotorkit.aircraft.entries import Choice
from rotorkit.notebook import words
from rotorkit.notebook.fields import FieldBox
from rotorkit.notebook.parts import put
from rotorkit.notebook.rows import RowsBox
from rotorkit.notebook.typed import for_field, in_units_of
from rotorkit.quantities import QuantityError
from rotorkit.sheets.base import Field

NAME = "(its name in the file)"
"""Beside the columns of a row that is kept: the name under which it stands in the file."""


NUMBER = "number "
"""What stands before the number of a row that has no name there."""


class FileRows:
    """A table of rows over a part of the aircraft file.

    `box` is its widget. `fill` puts in what the file holds; `values` is what is to be written where it differs;
    `touched` says whether anything was typed since. guard: as a form's actions are done; changed: called when anything
    is typed, added or removed.
    """

    def __init__(
        self,
        asked: AskedRows,
        aircraft: Aircraft,
        guard: Callable[[Callable[..., Any]], Callable[..., None]],
        changed: Callable[[], None],
    ) -> None:
        self.asked, self._told_changed, self.system = asked, changed, aircraft.aircraft.display
        self._by_name = dict(zip(asked.names, asked.columns, strict=True))
        columns = [self._column(name) for name in asked.names]
        spec = Field(asked.place, asked.title, words.capital(f"{asked.words}."), False)
        self.rows = RowsBox(
            spec,
            aircraft,
            self._changed,
            self._changed,
            lambda act: guard(lambda: self._act(act))(),
            columns=columns,
            ordered=asked.ordered,
        )
        self.box = self.rows.box
        self._from: list[tuple[dict[str, FieldBox], Element, int]] = []
        self._filled: list[dict[str, str]] = []
        self._places: list[str] = []
        self._told: list[dict[str, FieldBox]] = []

    def _column(self, name: str) -> Field:
        one = self._by_name[name]
        choice = Choice(options=one.options, said=one.said) if one.options else None
        return Field(name, words.capital(one.title.rpartition(": ")[2]), one.words, False, one.entry, choice)

    def _act(self, act: Callable[[], None]) -> None:
        act()
        self.tell_nothing()
        self._told_changed()

    def _changed(self, box: FieldBox) -> None:
        box.tell("")
        self._told_changed()

    def fill(self, given: Any) -> None:
        """Put in what the file holds. given: what stands there at the place, or None."""
        found = elements(self.asked, given)
        self.rows.put([{name: stands(row.get(name)) for name in self.asked.names} for _, row in found])
        self._from = list(zip(self.rows.rows, found, range(len(found)), strict=True))
        self._filled = self.rows.texts()
        self.tell_nothing()

    def follow(self, given: Any) -> None:
        """Take in what the file holds now. given: as in `fill`. What was typed stays: rows that have a name there are
        known again by it, and by their number those of a table that is as it was."""
        if not self.touched:
            self.fill(given)
            return
        found = elements(self.asked, given)
        filed = [self.rows.shown_of({name: stands(row.get(name)) for name in self.asked.names}) for _, row in found]
        same = filed == self._filled
        by_name = {one[0]: (one, number) for number, one in enumerate(found) if one[0]}
        self._from = [
            (row, *now)
            for row, was, number in self._from
            if (now := (found[number], number) if same else by_name.get(was[0])) is not None
        ]
        self._filled = filed

    def _origin(self, row: dict[str, FieldBox]) -> Element:
        """What the file held of a row; nothing of one that was added."""
        return next((one for of, one, _ in self._from if of is row), ("", {}))

    def _number(self, row: dict[str, FieldBox]) -> int | None:
        """Which row of the file it is, from 0; None of one that was added."""
        return next((number for of, _, number in self._from if of is row), None)

    def _named(self, row: dict[str, FieldBox]) -> str:
        """What tells a row of the file again: its name there, or its number where rows have none."""
        number = self._number(row)
        return "" if number is None else self._origin(row)[0] or f"{NUMBER}{number}"

    def texts(self) -> list[dict[str, str]]:
        """What stands in the cells, letter for letter, with the name that each row has in the file."""
        return [{**text, NAME: self._named(row)} for row, text in zip(self.rows.rows, self.rows.texts(), strict=True)]

    @property
    def filed(self) -> list[dict[str, str]]:
        """What the file held when the table was filled from it, as its cells showed it."""
        return self._filled

    def put_texts(self, rows: Sequence[Mapping[str, str]], typed_in: str, same: bool = True) -> None:
        """Put texts into the cells, as `texts` gave them. typed_in: the display system whose units the cells showed
        then; same: whether the file's rows are those of then; where they are not, a number tells no row again."""
        there = {one[0] or f"{NUMBER}{number}": (one, number) for _, one, number in self._from if one[0] or same}
        entries = {column.name: column.entry for column in self.rows.columns}
        self.rows.put_texts(
            [
                {name: in_units_of(self.system, text, entries.get(name), typed_in) for name, text in row.items()}
                for row in rows
            ]
        )
        pairs = zip(self.rows.rows, rows, strict=True)
        self._from = [(row, *there[key]) for row, text in pairs if (key := text.get(NAME, "")) in there]
        self.tell_nothing()

    def tell_nothing(self) -> None:
        """Say of every cell what was understood, and of none what is wrong."""
        put(self.rows.message, "")
        for box in self.rows.boxes:
            box.tell("")

    @property
    def touched(self) -> bool:
        """Whether what stands here is another than what it was filled with."""
        return self.rows.texts() != self._filled

    def values(self, given: Any) -> dict[str, Any]:
        """What is to be written so that the file holds these rows, by place. Raises `AircraftFileError`."""
        self._told = self._in_order([row for row in self.rows.rows if any(box.text.strip() for box in row.values())])
        rows = [self._element(row) for row in self._told]
        self._places = [f"{self.asked.place}.{i}" for i in range(len(rows))]
        found, self._places = to_write(self.asked, rows, given, [self._number(row) for row in self._told])
        return found

    def _in_order(self, rows: list[dict[str, FieldBox]]) -> list[dict[str, FieldBox]]:
        """Rows of figures that rise by their first column, which may have been added anywhere."""
        first = self.asked.names[0]
        if self.asked.holds != "lists":
            return rows
        try:
            return sorted(rows, key=lambda row: _size(row[first]))
        except (QuantityError, ValueError):
            return rows  # what cannot be read is told where it stands

    def _element(self, row: dict[str, FieldBox]) -> Element:
        """A row as it is written: what nobody typed into stays as the file has it."""
        key, before = self._origin(row)
        found = {}
        for name, box in row.items():
            was, column = before.get(name), self._by_name[name]
            text = box.reading()
            if was is not None and (text == stands(was) or box.text == self._as_filled(box, was)):
                found[name] = was
            else:
                found[name] = written(column, text)
        return key, found

    @staticmethod
    def _as_filled(box: FieldBox, was: Any) -> str:
        text = stands(was)
        return for_field(text, box.spec.entry, box.system) if box.spec.entry is not None else text

    def tell(self, place: str, said: str) -> bool:
        """Say a fault at its cell, or at the table; whether it is one of these rows."""
        for number, (row, at) in enumerate(zip(self._told, self._places, strict=False)):
            if place == at or place.startswith(f"{at}."):
                name = self._cell(place.removeprefix(at).lstrip("."), said)
                if name in row:
                    row[name].tell(said)
                else:
                    self._say(f"Row {number + 1}: {said}")
                return True
        if place == self.asked.place or place.startswith(f"{self.asked.place}."):
            self._say(said)
            return True
        return False

    def _cell(self, rest: str, said: str) -> str:
        """The column that a fault is of: by its place within the row, or by the word that it begins with."""
        names = self.asked.names
        if self.asked.holds == "lists" and rest.isdigit() and int(rest) < len(names):
            return names[int(rest)]
        return rest if rest in names else next((name for name in names if said.split(" ")[0] == name), "")

    def _say(self, said: str) -> None:
        self.rows.message.value = words.wrong(words.capital(said))


def _size(box: FieldBox) -> float:
    """What a cell's figure is sorted by."""
    return float(box.text) if box.spec.entry is None else float(box.spec.entry.read(box.reading()).si)
