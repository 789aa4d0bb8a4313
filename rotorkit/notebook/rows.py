"""A table of readings within a form: rows that can be added and removed, every cell with its own label."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from typing import Any

from rotorkit.aircraft import Aircraft
from rotorkit.notebook import widgets, words
from rotorkit.notebook.closing import close_all
from rotorkit.notebook.fields import LONG, FieldBox
from rotorkit.notebook.parts import put
from rotorkit.notebook.style import CELL, STEPS
from rotorkit.notebook.typed import cells_of, field_unit, for_field, lines_of_column, on_one_line
from rotorkit.pictures.paper import text_width
from rotorkit.quantities.errors import shortened
from rotorkit.sheets.base import NOT_LOOKED_AT, Field

BUTTONS = ("Remove row {}", "Move row {} up", "Move row {} down")
WAYS = (-1, 1)
"""Where the second and the third of these take a row."""
END, ORDERED_END = 30, 98
"""Pixels of a row's end, where its buttons are: one, or all three."""
NARROW = ("blade",)
"""Columns of a word or two."""
MOST_ROWS = 100
"""To so many rows a table grows when a column is pasted into it."""
MOST_NAMED = 3
"""How many of the values that did not fit are named."""
AROUND = 20
"""Pixels of a cell about the letters that stand in it."""
MOST_ROOM = 320
"""Pixels that a column gets at most for what stands in it."""


class RowsBox:
    """The rows of one field of a sheet (such as "stations").

    changed, entered: as in `FieldBox`. act: is given what a button does, to do it under the form's lock. fresh: what
    puts empty rows in place of those that stand there, or None. elsewhere: titles that columns of another table bear
    too: their labels name the table. columns: where the field has no row of its own that says them. ordered: whether a
    row can be moved among the others, because their order says something.
    """

    def __init__(
        self,
        spec: Field,
        aircraft: Aircraft,
        changed: Callable[[FieldBox], None],
        entered: Callable[[FieldBox], None],
        act: Callable[[Callable[[], None]], None],
        fresh: Callable[[], None] | None = None,
        elsewhere: Collection[str] = (),
        columns: Sequence[Field] = (),
        ordered: bool = False,
    ) -> None:
        self._elsewhere = elsewhere
        self.spec, self.aircraft = spec, aircraft
        self.columns = columns or (spec.row.fields() if spec.row is not None else [])
        self._told_changed, self._entered, self._act = changed, entered, act
        self.ordered = ordered
        self._end = ORDERED_END if ordered else END
        self.rows: list[dict[str, FieldBox]] = []
        self._buttons: list[list[Any]] = []
        self._lines: list[Any] = []
        self._step, self._broad = 0, frozenset[int]()
        self._grid, self.need = "", 0
        self._measure()
        self.body = widgets.VBox([])
        self.add_button = widgets.Button(description="Add a row")
        self.add_button.on_click(lambda _button: act(self.add))
        buttons = [self.add_button]
        if fresh is not None:
            self.fresh_button = widgets.Button(description="Empty rows for what is chosen above")
            self.fresh_button.on_click(lambda _button: act(fresh))
            buttons.append(self.fresh_button)
        self._well, values = spec.row.all_well if spec.row is not None else ("", {})
        if self._well:
            self.well_button = widgets.Button(description=self._well)
            self.well_button.on_click(lambda _button: act(lambda: self._fill_well(values)))
            buttons.append(self.well_button)
        self.message = widgets.HTML()
        self.pasted = widgets.HTML()
        self.head = self._head()
        self.box = widgets.VBox(
            [widgets.HTML(self._about()), self.head, self.body, self.pasted, self.message, widgets.HBox(buttons)]
        )
        self.box.add_class("rotorkit-table")

    def _changed(self, box: FieldBox) -> None:
        put(self.pasted, "")
        self._told_changed(box)

    def _measure(self) -> None:
        """Which columns take a line of their own, and how wide the others are."""
        self._long = {column.name for column in self.columns if self._letters(column) > LONG}
        widths = [self._width(column) for column in self.columns if column.name not in self._long]
        widths = _within(widths, ROOM)
        if BESIDE_PICTURE < _taken(widths) <= BESIDE_PICTURE + NEARLY_BESIDE:
            widths = _within(widths, BESIDE_PICTURE)
        self._least = widths

    def follow(self, aircraft: Aircraft) -> bool:
        """Take in the choices and instruments of another aircraft file; what stands in the cells stays. Whether it
        could: False where the columns are to be of another width, and the table has to be made again."""
        before, self.aircraft = (self._long, self._least), aircraft
        self._measure()
        for box in self.boxes:
            box.follow(aircraft)
        return (self._long, self._least) == before

    def _width(self, column: Field) -> str:
        if column.entry is not None:
            least = max(96, round(9.2 * max(map(len, f"{column.title},".split()))))
            return "minmax(128px, 1.5fr)" if column.entry.repeats else f"minmax({least}px, 1fr)"
        if column.choice is None:
            return "minmax(64px, 0.6fr)" if column.name in NARROW else "minmax(136px, 1.2fr)"
        share = 1 if self.spec.row is not None else 1.25  # a row of the aircraft file may say "not chosen"
        return f"minmax({40 + round(6.8 * self._letters(column))}px, {share}fr)"

    def _letters(self, column: Field) -> int:
        """Letters of the longest option of a choice."""
        if column.choice is None:
            return 0
        options = (
            column.choice.said
            or column.choice.options
            or tuple(self.aircraft.choices(column.choice.of, column.choice.measures).values())
        )
        return max(map(len, options), default=0)

    def _about(self) -> str:
        told = [
            f"<li><b>{words.escape(column.title)}</b>: {words.escape(column.how)}</li>"
            for column in self.columns
            if column.how
        ]
        how = f"<details><summary>What the columns hold</summary><ul>{''.join(told)}</ul></details>" if told else ""
        return f"<p><b>{words.escape(self.spec.title)}</b> {words.escape(self.spec.how)}</p>{how}"

    def _head(self) -> Any:
        system = self.aircraft.aircraft.display
        heads = [widgets.HTML("Row")]
        for column in self.columns:
            unit = field_unit(column.entry, system) if column.entry is not None else ""
            heads.append(widgets.HTML(words.escape(f"{column.title}{f', {unit}' if unit else ''}")))
        return self._line([*heads, widgets.HTML("")], "head")

    def _line(self, children: list[Any], more: str = "") -> Any:
        """A row: its number, its cells, its button. A long choice has a line of its own; what follows goes under."""
        for i, column in enumerate(self.columns, 1):
            if column.name in self._long:
                # by grid-area: what sets a widget's layout clears it last, and its columns with it
                children[i].layout = widgets.alike(grid_area="auto / 2 / auto / -1")
                children[i].add_class("rotorkit-long")
                children[i + 1].layout = widgets.alike(grid_area="auto / 2 / auto / 3")
        box = widgets.Box(children)
        box.add_class("rotorkit-row")
        if more:
            box.add_class(more)
        return box

    def _make_room(self) -> None:
        """Give each column the room of what stands in its cells, and note what the table needs before it folds."""
        places = [place for place, column in enumerate(self.columns, 1) if column.name not in self._long]
        widths, broad = [], set()
        for place, least in zip(places, self._least, strict=True):
            column = self.columns[place - 1]
            typed = [] if column.choice is not None else [row[column.name].text for row in self.rows]
            asked = min(max((round(text_width(text, 13) + AROUND) for text in typed), default=0), MOST_ROOM)
            widths.append(least.replace(f"({_least([least])}px", f"({max(asked, _least([least]))}px"))
            if asked > CELL:
                broad.add(place)
        self.need = _taken(widths) + self._end - END
        step = next(step for step in STEPS if self.need <= step)
        if step != self._step:
            self.box.remove_class(f"folds-{self._step}")
            self.box.add_class(f"folds-{step}")
            self._step = step
        self._grid, self._broad = f"30px {' '.join(widths)} {self._end}px", frozenset(broad)
        for line in (self.head, *self._lines):
            self._give_room(line)

    def _give_room(self, line: Any) -> None:
        """Give a row the table's columns."""
        line.layout = widgets.alike(grid_template_columns=self._grid)
        for place, cell in enumerate(line.children):
            if place in self._broad:
                cell.add_class("rotorkit-broad")
            elif "rotorkit-broad" in cell._dom_classes:
                cell.remove_class("rotorkit-broad")

    @property
    def boxes(self) -> list[FieldBox]:
        """Every cell."""
        return [box for row in self.rows for box in row.values()]

    @property
    def any_reading(self) -> bool:
        """Whether a reading stands in any row."""
        return any(box.text.strip() for box in self.boxes if box.spec.entry is not None)

    def put(self, rows: list[Mapping[str, Any]]) -> None:
        """Put rows of readings as kept in place of those that stand there. Rows that are there are filled again."""
        self._fit(len(rows))
        for row, given in zip(self.rows, rows, strict=True):
            self._fill(row, given)
        put(self.pasted, "")
        self._make_room()
        self._show()

    def _fill_well(self, values: Mapping[str, str]) -> None:
        """Say of the rows of which nothing was said yet that they were looked at and found well."""
        for row in self.rows:
            if all(row[name].text in ("", NOT_LOOKED_AT) for name in values):
                for name, value in values.items():
                    row[name].put(value)

    def texts(self) -> list[dict[str, str]]:
        """What stands in the cells, letter for letter."""
        return [{name: box.text for name, box in row.items()} for row in self.rows]

    def put_texts(self, rows: Sequence[Mapping[str, str]]) -> None:
        """Put texts into the cells, letter for letter."""
        self._fit(len(rows))
        for row, given in zip(self.rows, rows, strict=True):
            for name, box in row.items():
                box.put(given.get(name, ""))
        put(self.pasted, "")
        self._make_room()
        self._show()

    def add(self, given: Mapping[str, Any] | None = None) -> None:
        """Add a row at the end."""
        self._append()
        self._fill(self.rows[-1], given or {})
        self._show()

    def remove(self, number: int) -> None:
        """Remove a row, counted from 0."""
        self._take_out(number)
        self._count_anew()
        self._show()

    def move(self, number: int, by: int) -> None:
        """Move a row, counted from 0, up (-1) or down (1); one that has no place there stays."""
        to = number + by
        if not 0 <= to < len(self.rows):
            return
        self.rows.insert(to, self.rows.pop(number))
        self._lines.insert(to, self._lines.pop(number))
        self._buttons.insert(to, self._buttons.pop(number))
        self._count_anew()
        self._show()
        self._buttons[to][WAYS.index(by) + 1].focus()  # so that it can be pressed again

    def _count_anew(self) -> None:
        for i, row in enumerate(self.rows):
            for name, box in row.items():
                box.path = f"{self.spec.name}.{i}.{name}"
                box.control.description = self._label(box.spec, i)
            self._lines[i].children[0].value = _number(i)
            for button, said in zip(self._buttons[i], BUTTONS, strict=False):
                button.description = said.format(i + 1)

    def _fit(self, count: int) -> None:
        """Have so many rows, keeping those that are there."""
        while len(self.rows) > count:
            self._take_out(len(self.rows) - 1)
        while len(self.rows) < count:
            self._append()

    def _take_out(self, number: int) -> None:
        """Take a row away, and close its widgets: the kernel would keep them for good."""
        del self.rows[number], self._buttons[number]
        line = self._lines.pop(number)
        self.body.children = self._lines
        close_all(line)

    def _append(self) -> None:
        number = len(self.rows)
        row = self._new_row(number)
        self.rows.append(row)
        buttons = [widgets.Button(description=said.format(number + 1)) for said in BUTTONS[: 3 if self.ordered else 1]]
        buttons[0].on_click(lambda _button: self._act(lambda: self.remove(self._place(row))))
        for button, by in zip(buttons[1:], WAYS, strict=False):
            button.add_class("up" if by < 0 else "down")
            button.on_click(lambda _button, by=by: self._act(lambda: self.move(self._place(row), by)))
        self._buttons.append(buttons)
        cells = [widgets.VBox([box.control, box.echo]) for box in row.values()]
        end = widgets.HBox(buttons) if self.ordered else buttons[0]
        if self.ordered:
            end.add_class("rotorkit-moves")
        self._lines.append(self._line([widgets.HTML(_number(number)), *cells, end]))
        if self._grid:
            self._give_room(self._lines[-1])

    def _new_row(self, number: int) -> dict[str, FieldBox]:
        row = {}
        for column in self.columns:
            path = f"{self.spec.name}.{number}.{column.name}"
            label = self._label(column, number)
            box = FieldBox(path, column, label, self.aircraft, self._changed, self._entered, show_hint=False)
            box.on_pasted = self._on_pasted
            row[column.name] = box
        return row

    def shown_of(self, given: Mapping[str, Any]) -> dict[str, str]:
        """What the cells of a row show of readings as kept."""
        row = self._new_row(len(self.rows))
        self._fill(row, given)
        return {name: box.text for name, box in row.items()}

    def take_in(self, rows: Sequence[Mapping[str, str]]) -> None:
        """Put further rows into those that hold nothing yet, and add what is left."""
        free = [row for row in self.rows if not any(box.text.strip() for box in row.values() if not box.is_choice)]
        for given in rows:
            if not free:
                self._append()
            self._fill(free.pop(0) if free else self.rows[-1], given)
        put(self.pasted, "")
        self._make_room()
        self._show()

    # a column that was pasted

    def _on_pasted(self, box: FieldBox, text: str) -> None:
        self._act(lambda: self.take(box, text))

    def take(self, box: FieldBox, text: str) -> None:
        """Put a column of values into the rows downward, the first into `box`, one to a row; where it is of several
        columns, into those to the right too, or as repeats where the column takes these. An empty line leaves its row
        as it is. Rows are added where a row needs no name, or the names are what is pasted. What was put in, and what
        did not fit, is said under the table."""
        start, name = next((i, name) for i, row in enumerate(self.rows) for name, one in row.items() if one is box)
        first = [column.name for column in self.columns].index(name)
        grows = first == 0 or self.columns[0].entry is not None
        lines, before, filled = lines_of_column(text), len(self.rows), 0
        lost: list[str] = []
        for i, line in enumerate(lines, start):
            if not line:
                continue
            while grows and len(self.rows) <= i < MOST_ROWS:
                self._append()
                self._fill(self.rows[-1], {})
            if i >= len(self.rows):
                lost.append(line)
                continue
            left_out = self._put_across(i, first, line)
            filled += len(left_out) < len(cells_of(line))
            lost += left_out
        self._make_room()
        self._show()
        put(self.pasted, self._said_of_paste(filled, start, len(lines), before, lost, grows))

    def _put_across(self, number: int, first: int, line: str) -> list[str]:
        """Put a line of a pasted table into a row, from a column on; what does not fit comes back."""
        cells, lost = cells_of(line), []
        entry = self.columns[first].entry
        if entry is not None and entry.repeats:
            cells = [on_one_line(line)]
        for place, cell in enumerate(cells, first):
            if not cell:
                continue
            box = self.rows[number][self.columns[place].name] if place < len(self.columns) else None
            if box is not None and box.is_choice:
                known = {key: key for key in box.options} | {said: key for key, said in box.options.items()}
                cell_key = {said.casefold(): key for said, key in known.items()}.get(cell.casefold())
                if cell_key is None:
                    lost.append(cell)
                else:
                    box.put(cell_key)
            elif box is not None:
                box.put(cell)
            else:
                lost.append(cell)
        return lost

    def _said_of_paste(self, filled: int, start: int, lines: int, before: int, lost: list[str], grows: bool) -> str:
        said = f"Pasted: {filled} {'line' if filled == 1 else 'lines'} put in, one to a row, from row {start + 1} on"
        if (added := len(self.rows) - before) > 0:
            said += f"; {'one row was' if added == 1 else f'{added} rows were'} added"
        said += ". Undo brings back what was there."
        if not lost:
            return words.done(said)
        named = ", ".join(map(shortened, lost[:MOST_NAMED])) + (", …" if len(lost) > MOST_NAMED else "")
        many = f"{len(lost)} values do" if len(lost) > 1 else "One value does"
        said += f" {many} not fit and {'are' if len(lost) > 1 else 'is'} left out: {named}."
        if start + lines > len(self.rows):
            said += f" The table has {len(self.rows)} {'row' if len(self.rows) == 1 else 'rows'}" + (
                ", the most it can have."
                if grows
                else f", and each needs its {self.columns[0].title.lower()}: add rows first, or check what you copied."
            )
        return words.wrong(said)

    def _place(self, row: dict[str, FieldBox]) -> int:
        return next(i for i, one in enumerate(self.rows) if one is row)

    def _fill(self, row: dict[str, FieldBox], given: Mapping[str, Any]) -> None:
        for column in self.columns:
            box = row[column.name]
            text = str(given.get(column.name, "") or "") or (box.default if column.choice is not None else "")
            if not text and column.choice is not None and column.required and box.options:
                text = next(iter(box.options))
            box.put(for_field(text, column.entry, box.system) if column.entry is not None else text)

    def _label(self, column: Field, number: int) -> str:
        of = f" of {self.spec.title.lower()}" if column.title in self._elsewhere else ""
        return f"{column.title}, row {number + 1}{of}"

    def _show(self) -> None:
        self.body.children = self._lines

    def readings(self) -> list[dict[str, str]]:
        """The rows with their units, without what is empty."""
        return [{name: text for name, box in row.items() if (text := box.reading())} for row in self.rows]

    def values(self) -> list[dict[str, Any]]:
        """The rows as a sheet is made from them, read already, without what is empty."""
        return [{name: value for name, box in row.items() if (value := box.value()) != ""} for row in self.rows]


def _number(row: int) -> str:
    return f'<span class="rotorkit-number">{row + 1}</span>'


ROOM = 872
"""Pixels that the columns of a table share at most before any of them would be cut off."""
BESIDE_PICTURE = 474
"""Pixels beside a picture in a window of 1280: a table that needs more has the whole width, and the picture under."""
NEARLY_BESIDE = 28
"""A table that needs so much more at most is made narrower, rather than lose its place beside the picture."""


def _least(widths: list[str]) -> int:
    return sum(int(width.split("(")[1].split("px")[0]) for width in widths)


def _taken(widths: list[str]) -> int:
    """Pixels that a row takes at the least: its number, its columns, the button that removes it, what parts them."""
    return 30 + _least(widths) + 30 + 8 * (len(widths) + 1)


def _within(widths: list[str], room: int) -> list[str]:
    """The least widths of columns, made smaller in proportion where together they would not fit."""
    share = min(1.0, (room - _taken(widths) + _least(widths)) / _least(widths))
    return [re.sub(r"minmax\((\d+)px", lambda least: f"minmax({int(int(least[1]) * share)}px", one) for one in widths]
