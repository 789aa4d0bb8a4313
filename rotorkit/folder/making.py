"""Making a builder's working folder: the aircraft file, the readings file and the notebooks, all or nothing.

Nothing that is there is ever overwritten. A folder is made beside its place and moved there when it is whole.
"""

from __future__ import annotations

import os
import shutil
import textwrap
from collections.abc import Iterable
from pathlib import Path

from rotorkit.aircraft import demo_folder
from rotorkit.aircraft.file import AIRCRAFT_FILE
from rotorkit.folder.checks import READINGS_FILE
from rotorkit.folder.notebooks import WorkFolderError, copy_notebook, rename_where_free, shipped_notebooks, unused_name
from rotorkit.sheets.base import Field, Row, Sheet
from rotorkit.sheets.catalogue import sheets_in_order

_PACKAGE = Path(__file__).resolve().parent.parent
_WIDTH = 100
DEMO_RECORDING = "hover_cabin.csv"
"""The demo's recording, made by a stated model (`tests/vibration/demo_recording.py`), so that the truth is known."""
DEMO_RUN = "ground_run.csv"
"""The demo's ground run, made likewise (`tests/engine/demo_run.py`)."""


def make_folder(folder: Path, demo: bool = False) -> list[str]:
    """Make a working folder, and return the names of the files in it.

    Arguments: folder, where; it may exist if it is empty. demo: with the invented demo aircraft and its readings;
    otherwise with an aircraft file and a readings file to fill in.

    Raises `WorkFolderError`; then nothing is left behind and nothing is changed.
    """
    folder = Path(folder)
    if folder.exists() and not folder.is_dir():
        raise WorkFolderError(f"{folder} is a file: name a new folder")
    exists = folder.is_dir()
    try:
        there = sorted(path.name for path in folder.iterdir()) if exists else []
        if there:
            some = ", ".join(there[:3]) + (" ..." if len(there) > 3 else "")
            raise WorkFolderError(
                f"{folder} is not empty (it holds {some}), and nothing in it is touched: name a new folder"
            )
        made = _missing_parents(folder)
        staging = folder / unused_name() if exists else folder.parent / unused_name()
        try:
            staging.mkdir(parents=True)
            names = _fill(staging, demo)
            if exists:  # somebody may stand in it, so it stays the same folder
                _move_into(staging, folder, names)
            else:
                os.rename(staging, folder)
        except BaseException:
            shutil.rmtree(staging, ignore_errors=True)
            for parent in made:
                if parent.is_dir() and not any(parent.iterdir()):
                    parent.rmdir()
            raise
    except OSError as problem:
        raise WorkFolderError(f"{folder} cannot be made: {problem.strerror or problem}") from None
    return names


def _missing_parents(folder: Path) -> list[Path]:
    """The folders above that are yet to be made, innermost first."""
    return [parent for parent in folder.absolute().parents if not parent.exists()]


def _fill(staging: Path, demo: bool) -> list[str]:
    if demo:
        for name in (AIRCRAFT_FILE, READINGS_FILE, DEMO_RECORDING, DEMO_RUN):
            shutil.copyfile(demo_folder() / name, staging / name)
    else:
        (staging / AIRCRAFT_FILE).write_text(blank_aircraft(), encoding="utf-8")
        (staging / READINGS_FILE).write_text(blank_readings(), encoding="utf-8")
    notebooks = shipped_notebooks()
    for name, notebook in notebooks.items():
        copy_notebook(notebook, staging / name)
    return [AIRCRAFT_FILE, READINGS_FILE, *([DEMO_RECORDING, DEMO_RUN] if demo else []), *notebooks]


def _move_into(staging: Path, folder: Path, names: Iterable[str]) -> None:
    moved: list[Path] = []
    made: list[Path] = []
    try:
        for name in names:
            parent = (folder / name).parent
            if not parent.exists():
                parent.mkdir()
                made.append(parent)
            rename_where_free(staging / name, folder / name)
            moved.append(folder / name)
        shutil.rmtree(staging)
    except BaseException:
        for path in moved:
            path.unlink(missing_ok=True)
        for parent in made:
            if not any(parent.iterdir()):
                parent.rmdir()
        raise


def blank_aircraft() -> str:
    """An aircraft file to fill in: the aircraft itself, then the limits that single sheets read."""
    text = (_PACKAGE / "blank" / AIRCRAFT_FILE).read_text(encoding="utf-8")
    blocks = []
    for sheet in sheets_in_order():
        lines = [
            f'# {key} = {{ low = "", high = "", source = "" }}   # {one.comment}' for key, one in sheet.limits.items()
        ]
        if lines:
            blocks.append("\n".join([f"# [limits.{sheet.name}]", *lines]))
    if not blocks:
        return text
    head = "# Limits of single checks, all optional: remove the # from those that your manual gives.\n\n"
    return text.rstrip("\n") + "\n\n" + head + "\n#\n".join(blocks) + "\n"


def blank_readings() -> str:
    """A readings file to fill in: a check for each sheet, every field with its title and how it is measured."""
    head = (
        "Your readings, as typed. Each check has a name in brackets, the sheet that works it, and its readings with "
        'their units: "35 ± 2 lb", "30.02 inHg". Separate several readings of one thing with semicolons. To keep two '
        "checks of one sort, copy a block and give it another name. A check whose readings are all blank is left out. "
        "To see what they come to: rotorkit status. The notebooks start with these readings."
    )
    return "\n".join([_comment(head), *(_blank_check(sheet) for sheet in sheets_in_order())])


def _comment(text: str, first: str = "# ", width: int = _WIDTH) -> str:
    return textwrap.fill(text, width, initial_indent=first, subsequent_indent="# ") + "\n"


def _blank_check(sheet: type[Sheet]) -> str:
    lines = [_comment(f"{sheet.about.title}. {sheet.about.settles}"), f"[{sheet.name}]\n", f'sheet = "{sheet.name}"\n']
    lines.append(f'title = "{sheet.about.title}"\n')
    rows = []
    for field in sheet.fields():
        if field.row is not None:
            rows.append(_blank_row(sheet.name, field, field.row))
        else:
            lines.append(_blank_field(field))
    return "".join([*lines, *rows])


def _blank_row(name: str, field: Field, row: type[Row]) -> str:
    about = f"{field.title}. {field.how} Copy this block, with its heading, for each further row.".replace("  ", " ")
    return "".join(["\n", _comment(about), f"[[{name}.{field.name}]]\n", *(_blank_field(one) for one in row.fields())])


def _blank_field(field: Field) -> str:
    about = field.title + ("." if field.required else " (optional).") + (f" {field.how}" if field.how else "")
    value = ""
    if field.choice is not None and field.choice.of:
        about += f" A name from [{field.choice.of}] of the aircraft file."
        if field.choice.of == "rotors":
            about = about.replace("A name from [rotors] of the aircraft file.", '"main rotor" or "tail rotor".')
    elif field.choice is not None:
        about += " One of: " + ", ".join(f'"{option}"' for option in field.choice.options) + "."
        value = field.default or ""
    elif isinstance(getattr(field.default, "typed", field.default), str):
        value = getattr(field.default, "typed", field.default)
    return _comment(about, first="# ") + f'{field.name} = "{value}"\n'
