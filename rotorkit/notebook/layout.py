"""How a form's fields are laid out: one line for each, with the chooser of its instrument beside it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rotorkit.notebook import widgets
from rotorkit.notebook.fields import FieldBox
from rotorkit.notebook.rows import RowsBox
from rotorkit.notebook.typed import field_unit
from rotorkit.sheets.base import Sheet

__all__ = ["boxed", "lines_of", "titles_of"]

LONG_UNIT = 7
"""Letters of a unit beyond which a reading with it has as much room as several readings."""


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


def titles_of(fields: Mapping[str, FieldBox], rows: Mapping[str, RowsBox]) -> dict[str, str]:
    """The title of every field by its path, each field of a row with its number, and of each table of rows."""
    boxes = [*fields.values(), *(box for one in rows.values() for box in one.boxes)]
    return {box.path: box.control.description for box in boxes} | {name: one.spec.title for name, one in rows.items()}
