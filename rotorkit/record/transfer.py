r"""Carrying the record elsewhere: JSON Lines, which lose nothing, and CSV for a spreadsheet.

An export is UTF-8 text, one JSON object to a line, each line ended by ``\n``::

    {"entries":2,"export":1,"head":"<hash of the last>","record":"<the record's name>"}
    {"aircraft_file":"<hash>","text":"<the file>"}        before the first entry that it was used for
    {"hash":"<hash>","sealed":{...}}                      an entry, see rotorkit.record.chain

Every object is in the canonical form of RFC 8785, so that the same record gives the same bytes anywhere. The hash is
the SHA-256 of the bytes after ``"sealed":`` without the last brace.
"""

from __future__ import annotations

import contextlib
import csv
import io
import json
import secrets
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from rotorkit.quantities import display_system, in_unit, unit_factor, unit_label
from rotorkit.record import files
from rotorkit.record.chain import Sealed, canonical, hash_of_bytes
from rotorkit.record.dumps import kind_named
from rotorkit.record.entry import Entry
from rotorkit.record.errors import NOTHING_SAVED, RecordError
from rotorkit.record.store import COLUMNS, Record, entry_of, insert
from rotorkit.visible import named_in

__all__ = ["COLUMN_TITLES", "csv_text", "export_csv", "export_lines", "import_lines"]

EXPORT = 1
SEALED = b',"sealed":'


def export_lines(record: Record, target: Path | str, overwrite: bool = False) -> int:
    """Write the whole record to a file as JSON Lines. Returns the number of entries.

    The file is written beside its place and put there whole. Raises `RecordError` where there is no record, where the
    file exists already and `overwrite` is not given, and where it cannot be written.
    """
    count = 0

    def lines(out: io.BufferedWriter) -> None:
        nonlocal count
        for line in _lines(record):
            out.write(line)
            count += line.startswith(b'{"hash":')

    _write(Path(target), lines, overwrite)
    return count


def _lines(record: Record) -> Iterator[bytes]:
    with files.reading(record.path, record.wait) as connection:
        if connection is None:
            raise RecordError(f"There is no record in {record.folder} to export.")
        name, entries, head = connection.execute("SELECT record, entries, head FROM chain").fetchone()
        yield _line({"export": EXPORT, "record": name, "entries": entries, "head": head})
        told = set()
        for row in connection.execute(f"SELECT {COLUMNS} FROM entry ORDER BY number"):
            entry = entry_of(row)
            if entry.aircraft_file not in told:
                told.add(entry.aircraft_file)
                query = "SELECT text FROM aircraft_file WHERE hash = ?"
                (text,) = connection.execute(query, (entry.aircraft_file,)).fetchone() or (b"",)
                yield _line({"aircraft_file": entry.aircraft_file, "text": bytes(text).decode("utf-8")})
            yield f'{{"hash":"{entry.hash}","sealed":{entry.sealed.text}}}\n'.encode()


def _line(value: Any) -> bytes:
    return (canonical(value) + "\n").encode("utf-8")


def _write(target: Path, fill: Any, overwrite: bool) -> None:
    if target.exists() and not overwrite:
        raise RecordError(f"{target} exists already: name another file, or remove it first.")
    made = target.with_name(f".{target.name}.{secrets.token_hex(6)}")
    try:
        with open(made, "xb") as out:
            fill(out)
            out.flush()
            files.flush_file(out.fileno())
        made.replace(target)
        files.flush_folder(target.parent)
    except OSError as problem:
        raise RecordError(f"{target} cannot be written: {problem.strerror or problem}.") from problem
    finally:
        with contextlib.suppress(OSError):
            made.unlink(missing_ok=True)


def import_lines(record: Record, source: Path | str) -> int:
    """Bring an export into a folder. Returns the number of entries added.

    Into a folder without a record the whole is brought; into one that holds the beginning of the same record, what is
    missing at its end. All or nothing: every line's hash and place is checked before the record is touched.
    Raises `RecordError` with the line number where the export was altered, is cut off, or is of another record.
    """
    path = Path(source)
    try:
        with open(path, "rb") as file:
            head, entries, kept = _read(path, file)
    except OSError as problem:
        raise RecordError(f"{path} cannot be read: {problem.strerror or problem}. {NOTHING_SAVED}") from problem
    with files.writing(record.path, record.wait, record=head["record"]) as connection:
        name, count, _ = connection.execute("SELECT record, entries, head FROM chain").fetchone()
        if name != head["record"]:
            raise RecordError(
                f"{path.name} is of another record than the one in {record.folder}: import it into a new folder."
            )
        here = [hash_ for (hash_,) in connection.execute("SELECT hash FROM entry ORDER BY number")]
        same = min(len(here), len(entries))
        parted = next((i for i in range(same) if here[i] != entries[i].hash), None)
        if parted is not None:
            raise RecordError(
                f"The record in {record.folder} and {path.name} part at entry {parted + 1}: both were added to. Keep "
                "both, and save again in one of them what only the other holds."
            )
        for entry in entries[count:]:
            insert(connection, entry, kept[entry.aircraft_file])
        return max(0, len(entries) - len(here))


def _read(path: Path, file: Any) -> tuple[dict[str, Any], list[Entry], dict[str, bytes]]:
    head: dict[str, Any] = {}
    entries: list[Entry] = []
    kept: dict[str, bytes] = {}
    before = ""
    for number, line in enumerate(file, 1):
        try:
            value = json.loads(line)
            if number == 1:
                if value["export"] != EXPORT:
                    raise RecordError(
                        f"{path.name} is an export of a newer rotorkit (form {value['export']}): update rotorkit. "
                        f"{NOTHING_SAVED}"
                    )
                head, before = value, value["record"]
            elif "aircraft_file" in value:
                text = value["text"].encode("utf-8")
                if hash_of_bytes(text) != value["aircraft_file"]:
                    raise RecordError(f"{path.name} line {number}: the aircraft file was altered. {NOTHING_SAVED}")
                kept[value["aircraft_file"]] = text
            else:
                entry = _entry(line, value)
                if hash_of_bytes(entry.sealed.text.encode("utf-8")) != entry.hash:
                    raise RecordError(f"{path.name} line {number}: entry {entry.number} was altered. {NOTHING_SAVED}")
                if (
                    entry.sealed.previous != before
                    or entry.number != len(entries) + 1
                    or entry.aircraft_file not in kept
                ):
                    raise RecordError(
                        f"{path.name} line {number}: something is missing before entry {entry.number}. {NOTHING_SAVED}"
                    )
                entries.append(entry)
                before = entry.hash
        except (ValueError, TypeError, KeyError, AttributeError) as problem:
            raise RecordError(
                f"{path.name} line {number} is not a line of a record's export ({problem}). {NOTHING_SAVED}"
            ) from problem
    if not head:
        raise RecordError(f"{path.name} is empty. {NOTHING_SAVED}")
    if (len(entries), before) != (head["entries"], head["head"]):
        raise RecordError(
            f"{path.name} is cut off: it holds {len(entries)} of {head['entries']} entries. {NOTHING_SAVED}"
        )
    return head, entries, kept


def _entry(line: bytes, value: dict[str, Any]) -> Entry:
    """An entry of a line. The work's text is taken as it stands; a line that was laid out anew is put in canonical
    form."""
    sealed = value["sealed"]
    parts = Sealed(
        sealed["number"],
        sealed["check"],
        sealed["saved"],
        sealed["local"],
        sealed["aircraft_file"],
        sealed["replaces"],
        sealed["previous"],
        "",
    )
    start = line.find(SEALED) + len(SEALED)
    before = parts.before_work.encode("utf-8")
    end = line.rstrip(b"\r\n")
    if line[start : start + len(before)] == before and end.endswith(b"}}"):
        work = end[start + len(before) : -2].decode("utf-8")
    else:
        work = canonical(sealed["work"])
    return Entry(parts._replace(work=work), value["hash"])


COLUMN_TITLES = (
    "entry", "check", "title", "sheet", "sheet version", "saved UTC", "saved local", "who", "finding", "figure",
    "expanded uncertainty (k=2)", "unit", "low limit", "high limit", "limit unit", "limit source", "verdict",
    "in words", "figure SI", "standard uncertainty SI", "SI unit", "overall verdict", "note", "replaces", "why",
    "replaced by", "rotorkit", "hash",
)  # fmt: skip

FORMULA_STARTS = tuple("=+-@\t\r\n＝＋－＠|%")


def csv_text(record: Record, system: str | None = None) -> str:
    """The record as comma-separated values (RFC 4180), one row for each finding; units in columns of their own.

    Figures are in the unit that they are shown in, with a point for the decimal; the SI value beside them is exact.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMN_TITLES)
    replaced = record.replaced()
    for entry in record.entries():
        for saved in entry.work["outcome"]["findings"]:
            writer.writerow([_cell(value) for value in _csv_row(entry, saved, replaced, system or display_system())])
    return out.getvalue()


def export_csv(record: Record, target: Path | str, system: str | None = None, overwrite: bool = False) -> None:
    """Write `csv_text` to a file, as UTF-8 with the mark (BOM) by which a spreadsheet knows it, so that ± and °
    survive."""
    text = csv_text(record, system)
    _write(Path(target), lambda out: out.write(text.encode("utf-8-sig")), overwrite)


def _csv_row(entry: Entry, saved: dict[str, Any], replaced: dict[int, int], system: str) -> list[Any]:
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
    return [
        entry.number, entry.check, entry.title, sheet["name"], sheet["version"], entry.sealed.saved, entry.sealed.local,
        entry.who, saved["title"], in_shown(figure["value"]),
        _Number(f"{figure['standard_uncertainty'] * 2 / unit_factor(unit, kind):.10g}"), label,
        *(in_shown(side) for side in sides), label if limit else "", limit["source"] if limit else "", saved["word"],
        saved["sentence"], _Number(repr(float(figure["value"]))), _Number(repr(float(figure["standard_uncertainty"]))),
        figure["si_unit"], entry.word, entry.note, entry.replaces or "", entry.why, replaced.get(entry.number, ""),
        entry.rotorkit, entry.hash,
    ]  # fmt: skip


class _Number(str):
    """A number as text, which a spreadsheet may take as one."""


def _cell(value: Any) -> Any:
    """A cell. Text that a spreadsheet would take for a formula gets an apostrophe before it, so that it stays text."""
    if isinstance(value, _Number) or not isinstance(value, str):
        return value
    text = named_in(value)
    return f"'{text}" if text.lstrip(" \u00a0").startswith(FORMULA_STARTS) else text
