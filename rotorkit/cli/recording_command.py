"""The command for a vibration recording: read, its orders and lines named, what was wrong with it told."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from rotorkit.cli.console import Progress, fail, here_or, no_such, say, width

if TYPE_CHECKING:
    from rotorkit.folder.checks import Check, Folder


SHEET = "vibration_orders"
MAPPING = (
    "place", "unit", "column", "pulses", "per_turn", "rate", "upright", "turned_over", "doubt", "others",
)  # fmt: skip
"""The fields of the check that say what the columns of a recording are, and what else turns."""


def recording(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="A recording: .csv, .tsv, .txt, .wav or .npy.")],
    folder: Annotated[
        Path | None,
        typer.Argument(metavar="[DIR]", help="The working folder; without it, the one you are in.", show_default=False),
    ] = None,
    check: Annotated[
        str, typer.Option("--check", metavar="NAME", help="The check of orders whose columns and calibration hold.")
    ] = "",
    unit: Annotated[str, typer.Option("--unit", help="What its numbers are: g, m/s^2, in/s, mm/s.")] = "",
    column: Annotated[str, typer.Option("--column", help="Of the vibration: counted from 0, or its name.")] = "",
    pulses: Annotated[str, typer.Option("--pulses", help="Of the tachometer, likewise.")] = "",
    per_turn: Annotated[str, typer.Option("--per-turn", help="Pulses a turn.")] = "",
    rate: Annotated[str, typer.Option("--rate", help='Samples a second, "400 Hz", where the file does not say.')] = "",
    upright: Annotated[str, typer.Option("--upright", help="What it shows at rest with its axis up.")] = "",
    turned_over: Annotated[str, typer.Option("--turned-over", help="The same with its axis down.")] = "",
) -> None:
    """Read a vibration recording: the rotor's orders, which part every line is, and what was wrong with it.

    What the columns are is taken from the folder's check of orders that names this file, or from the only one
    there is; options say it again. Nothing is written: the notebook of the check reads it into its form.
    """
    from rotorkit.cli.verdict_table import Table, check_text, table_of_check
    from rotorkit.folder.checks import Check
    from rotorkit.folder.recordings import read_into
    from rotorkit.quantities import QuantityError
    from rotorkit.sheets.catalogue import sheet_type

    here = here_or(folder)
    given = {
        "unit": unit, "column": column, "pulses": pulses, "per_turn": per_turn, "rate": rate, "upright": upright,
        "turned_over": turned_over,
    }  # fmt: skip
    mapped, source = _mapped(here, file.name, check)
    start = {name: field for name, field in sheet_type(SHEET).start(here.aircraft).items() if name in MAPPING}
    readings = {**start, **mapped, **{name: text for name, text in given.items() if text}, "recording": file.name}
    place = file.resolve().parent
    try:
        with Progress() as progress:
            found = read_into(place, readings, len(here.aircraft.main_rotor.blades), progress=progress)
    except (QuantityError, OSError) as problem:
        fail(f"{file}: {problem}")
    title = f"{file.name}, {source}" if source else file.name
    table: Table = table_of_check(here, Check(file.stem, title, SHEET, {**readings, **found}))
    say(check_text(table.checks, width()))
    if any(one.problem for one in table.checks):
        raise typer.Exit(1)


def _mapped(here: Folder, name: str, wanted: str) -> tuple[dict[str, Any], str]:
    """What a check of the folder says of the columns, and which check that is; nothing where none does."""
    from rotorkit.record import RecordError, standings

    try:
        there = [one.as_check for one in standings(here).values()]
    except RecordError:  # what stands in the readings file is then all there is
        there = list(here.checks)
    orders: list[Check] = [one for one in there if one.sheet == SHEET]
    if wanted:
        found = next((one for one in orders if one.name == wanted), None)
        if found is None:
            fail(no_such(wanted, [one.name for one in orders]))
    else:
        naming = [one for one in orders if str(one.readings.get("recording", "")).strip() == name]
        found = naming[0] if naming else orders[0] if len(orders) == 1 else None
    if found is None:
        return {}, ""
    kept = {key: value for key, value in found.readings.items() if key in MAPPING and value not in (None, "")}
    return kept, f"its columns as in {found.name}"
