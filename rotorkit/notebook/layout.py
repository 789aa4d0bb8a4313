"""How a form's fields are laid out: one line for each, with the chooser of its instrument beside it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from rotorkit.notebook import widgets
from rotorkit.notebook.fields import FieldBox
from rotorkit.notebook.rows import RowsBox
from rotorkit.notebook.typed import field_unit
from rotorkit.pictures.paper import text_width
from rotorkit.sheets.base import Sheet

LONG_UNIT = 7
"""Letters of a unit beyond which a reading with it has as much room as several readings."""
ROOM, ROOM_BESIDE_CHOOSER, ROOM_OF_REPEATS = 142, 102, 210
"""Pixels of letters that a field of a line shows."""


def boxed(children: list[Any], *styles: str, upright: bool = False) -> Any:
    """Widgets in a box of the given styles. Its layout is shared; `show` hides it."""
    box = widgets.VBox(children) if upright else widgets.Box(children)
    for style in styles:
        box.add_class(style)
    return box


def lines_of(sheet: type[Sheet], fields: Mapping[str, FieldBox], rows: Mapping[str, RowsBox]) -> list[Any]:
    """The lines of a form: fields as they are typed in, then the tables of rows."""
    beside = sheet.beside()
    lines = []
    for name in [one.name for one in sheet.fields_as_typed() if one.name in fields]:
        if name in beside.values():
            continue
        box = fields[name]
        entry = box.spec.entry
        long = entry is not None and (entry.repeats or len(field_unit(entry, box.system)) > LONG_UNIT)
        more = ("repeats",) if long else ()
        if name in beside:
            by = fields[beside[name]]
            by.show_hint = False
            chooser = boxed([by.control, by.echo], "rotorkit-by", upright=True)
            lines.append(boxed([box.control, box.unit, chooser, box.echo], "rotorkit-line", "with-chooser", *more))
        elif box.is_choice or box.spec.entry is None:  # words: no unit, so that they have the width of the line
            lines.append(boxed([box.control, box.echo], "rotorkit-line", "choice"))
        else:
            lines.append(boxed([box.control, box.unit, box.echo], "rotorkit-line", *more))
    return lines + [table.box for table in rows.values()]


def make_room(lines: Sequence[Any]) -> None:
    """Give a line in which more stands than its field shows the room of the whole line."""
    for line in lines:
        styles = line._dom_classes
        if "rotorkit-line" not in styles or "choice" in styles:
            continue
        beside, repeats = "with-chooser" in styles, "repeats" in styles
        room = ROOM_BESIDE_CHOOSER if beside else ROOM_OF_REPEATS if repeats else ROOM
        holds = text_width(line.children[0].value, 13) > room
        if holds != ("long" in styles):
            (line.add_class if holds else line.remove_class)("long")


def titles_of(fields: Mapping[str, FieldBox], rows: Mapping[str, RowsBox]) -> dict[str, str]:
    """The title of every field by its path, each field of a row with its number, and of each table of rows."""
    boxes = [*fields.values(), *(box for one in rows.values() for box in one.boxes)]
    return {box.path: box.control.description for box in boxes} | {name: one.spec.title for name, one in rows.items()}
