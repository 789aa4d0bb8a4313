"""The record for a spreadsheet: comma-separated values, one row for each figure. It cannot be imported again."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

from rotorkit.edges.visible import named_in
from rotorkit.quantities import display_system, in_unit, unit_factor, unit_label
from rotorkit.record.dumps import kind_named
from rotorkit.record.entry import SavedEntry
from rotorkit.record.store import Record
from rotorkit.record.transfer import write_whole
from rotorkit.record.verify import Verification, verify

COLUMN_TITLES = (
    "entry", "check", "title", "sheet", "sheet version", "saved UTC", "saved local", "who", "finding", "figure",
    "expanded uncertainty (k=2)", "unit", "low limit", "high limit", "limit unit", "limit source", "verdict",
    "in words", "figure SI", "standard uncertainty SI", "SI unit", "overall verdict", "note", "replaces", "why",
    "replaced by", "rotorkit", "hash", "by hand", "by hand, judged", "by hand, day",
)  # fmt: skip

NOT_SAVED = "not as it was saved"
FORMULA_STARTS = tuple("=+-@\t\r\n＝＋－＠|%")


def csv_text(record: Record, system: str | None = None, verification: Verification | None = None) -> str:
    """The record as comma-separated values (RFC 4180), one row for each finding; units in columns of their own.

    An entry that is not what was saved is one row that says so, without figures and without its verdict.

    Figures are in the unit that they are shown in, with a point for the decimal; the SI value beside them is exact.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMN_TITLES)
    replaced = record.replaced()
    found = verification or verify(record)
    for entry in record.entries():
        if untrue := found.untrue_of(entry.number):
            writer.writerow([_cell(value) for value in _untrue_row(entry, untrue)])
            continue
        for saved in entry.work["outcome"]["findings"]:
            writer.writerow([_cell(value) for value in _csv_row(entry, saved, replaced, system or display_system())])
    return out.getvalue()


def _untrue_row(entry: SavedEntry, why: str) -> list[Any]:
    row: list[Any] = [""] * len(COLUMN_TITLES)
    for title, value in (
        ("entry", entry.number),
        ("check", entry.check),
        ("verdict", NOT_SAVED),
        ("in words", why),
        ("overall verdict", NOT_SAVED),
        ("hash", entry.hash),
    ):
        row[COLUMN_TITLES.index(title)] = value
    return row


def export_csv(
    record: Record,
    target: Path | str,
    system: str | None = None,
    overwrite: bool = False,
    verification: Verification | None = None,
) -> None:
    """Write `csv_text` to a file, as UTF-8 with the mark (BOM) by which a spreadsheet knows it, so that ± and °
    survive."""
    text = csv_text(record, system, verification)
    write_whole(Path(target), lambda out: out.write(text.encode("utf-8-sig")), overwrite)


def _csv_row(entry: SavedEntry, saved: dict[str, Any], replaced: dict[int, int], system: str) -> list[Any]:
    figure, limit = saved["figure"], saved["limit"]
    kind = kind_named(figure["kind"])
    shown = figure["shown_unit"]
    own = kind.shown(system) if shown is None else shown if isinstance(shown, str) else shown[system == "metric"]
    unit = limit["unit"] if limit is not None and limit["unit"] and system == "us" else own

    def in_shown(si: float | None) -> Any:
        return "" if si is None else _Number(f"{float(in_unit(si, unit, kind)):.10g}")

    sides = [None, None] if limit is None else [limit["low_si"], limit["high_si"]]
    sheet = entry.work["sheet"]
    label = unit_label(unit, kind)
    hand = next((one for one in entry.by_hand if one.key == saved["key"]), None)
    return [
        entry.number, entry.check, entry.title, sheet["name"], sheet["version"], entry.sealed.saved, entry.sealed.local,
        entry.who, saved["title"], in_shown(figure["value"]),
        _Number(f"{figure['standard_uncertainty'] * 2 / unit_factor(unit, kind):.10g}"), label,
        *(in_shown(side) for side in sides), label if limit else "", limit["source"] if limit else "", saved["word"],
        saved["sentence"], _Number(repr(float(figure["value"]))), _Number(repr(float(figure["standard_uncertainty"]))),
        figure["si_unit"], entry.word, entry.note, entry.replaces or "", entry.why, replaced.get(entry.number, ""),
        entry.rotorkit, entry.hash, *((hand.typed, hand.word, hand.day) if hand is not None else ("", "", "")),
    ]  # fmt: skip


class _Number(str):
    """A number as text, which a spreadsheet may take as one."""


def _cell(value: Any) -> Any:
    """A cell. Text that a spreadsheet would take for a formula gets an apostrophe before it, so that it stays text."""
    if isinstance(value, _Number) or not isinstance(value, str):
        return value
    text = named_in(value)
    return f"'{text}" if text.lstrip(" \u00a0").startswith(FORMULA_STARTS) else text
