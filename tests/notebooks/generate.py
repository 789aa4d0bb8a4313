"""The shipped notebooks, written from the sheets: ``make notebooks``.

What is alike in all of them stands here once. What is a notebook's own (what would change it, go further, checks
against figures worked elsewhere) stands in the notebook, in cells that say so in their metadata (``{"own": SLOT}``),
and stays there when the rest is written anew. A sheet without a notebook gets one.
"""

from __future__ import annotations

import hashlib
import json
import sys
from pathlib import Path
from typing import Any

from rotorkit.sheets.base import Sheet
from rotorkit.sheets.catalogue import sheets_in_order, subject_of

FOLDER = Path(__file__).resolve().parent.parent.parent / "notebooks"
START = "start_here"
AIRCRAFT, AIRCRAFT_TITLE = "aircraft", "Your aircraft"
OWN = "own"
SLOTS = ("readings", "what would change it", "go further", "checks")
METADATA = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}
LIST_HEAD = "## The notebooks"

READINGS = (
    "## Your readings, the verdict, the picture\n\nType a reading with its unit, or a bare number for the unit beside "
    "the field, and press Enter. What was understood is shown under each field."
)
BY_HAND = (
    "## Your own hand figure\n\nWork a figure on paper and type it here. It is judged by the digits that you wrote and "
    "by what the readings are known to."
)
SAVE = (
    "## Save to the record\n\nA check that is not written down did not happen. What you save is kept in "
    "`record.sqlite` beside your aircraft file, and nothing in it is ever changed. To fix a mistake, save a "
    "correction; it names the entry it replaces and gives the reason. The next time, the form begins with what you "
    "saved last."
)
GO_ON = (
    "## The picture, to go on with\n\nOn matplotlib's Axes: give it your own title, notes, another line; "
    '`ax.figure.savefig("mine.png")` keeps it. It does not follow the form: run the cell again after a change.'
)
PLOT = """for chart in form.charts[:1]:
    ax = chart.plot()
    ax.set_title(f"{chart.title}\\nas the form stood when this cell was run")
    display(ax.figure)"""
FURTHER = "## Go further\n\nThe functions behind the form, open. Each says its source, range and signs: `help(name)`."
CHECKS = (
    "## Checks\n\nThese cells check the functions against independent figures, and the form for consistency. If one of "
    "them fails, do not rely on this notebook."
)
TRY_SAVING = """# what stands in the form, saved into a record that is thrown away, and read back: yours is not touched
assert form.fault is None
if form.outcome:
    trial = form.try_saving()
    assert (trial.state, trial.whole, trial.word) == ("saved", True, form.outcome.word)
assert form.saved in ("saved", "changed since saved", "never saved")"""

AIRCRAFT_ABOUT = (
    "Take every figure from your own kit manual, never from another aircraft, and type it with its unit; a bare number "
    "takes the unit beside the field. A job works as soon as its own figures are there, and asks for what it lacks. "
    "What you write here goes into `aircraft.toml`, where your comments stay; that file may be edited by hand as well. "
    "Tables of engine power, hovers that were measured and milestones of your own are still written there."
)
AIRCRAFT_CHECK = """# what the form shows is what the file holds
from rotorkit.notebook import open_folder

assert aircraft.figures is not None
assert aircraft.figures.values == {}
assert open_folder().aircraft.all_lacking() == aircraft.folder.aircraft.all_lacking()"""


def cell(kind: str, source: str, hidden: bool = False, **metadata: Any) -> dict[str, Any]:
    """A cell. Its identifier follows from its text, so that writing twice gives the same file."""
    if hidden:
        metadata["jupyter"] = {"source_hidden": True}
    made: dict[str, Any] = {"cell_type": kind}
    if kind == "code":
        made["execution_count"] = None
    made["id"] = hashlib.sha256(f"{kind}\n{source}".encode()).hexdigest()[:8]
    made["metadata"] = metadata
    if kind == "code":
        made["outputs"] = []
    made["source"] = source.splitlines(keepends=True)
    return made


def own_cells(notebook: dict[str, Any]) -> dict[str, list[dict[str, Any]]]:
    """A notebook's own cells, by slot, as they stand in it."""
    found: dict[str, list[dict[str, Any]]] = {slot: [] for slot in SLOTS}
    for one in notebook["cells"]:
        slot = one["metadata"].get(OWN)
        if slot is not None:
            found[slot].append(one)
    return found


def of_sheet(sheet: type[Sheet], own: dict[str, list[dict[str, Any]]]) -> dict[str, Any]:
    """The notebook of a sheet: what all have alike, with its own cells in their places."""
    every = "\n".join("".join(one["source"]) for slot in SLOTS for one in own[slot])
    shows = ", show" if "show(" in every.replace("_show(", "") else ""
    cells = [
        cell("markdown", f"# {sheet.about.title}\n\n*Nothing to see below? In the menu above: Run → Run All Cells.*"),
        cell(
            "code",
            f'from rotorkit.notebook import open_form{shows}\n\nform = open_form("{sheet.name}")\nform.settles',
            hidden=True,
        ),
        cell("markdown", "## Cautions"),
        cell("code", "form.cautions", hidden=True),
        cell("markdown", "## Tools and procedure"),
        cell("code", "form.how", hidden=True),
        cell("markdown", READINGS),
        cell("code", "form", hidden=True),
        *own["readings"],
        cell("markdown", "## The worked calculation"),
        cell("code", "form.calculation", hidden=True),
        cell("markdown", "### Where the uncertainty comes from"),
        cell("code", "form.budget", hidden=True),
        cell("markdown", BY_HAND),
        cell("code", "form.by_hand", hidden=True),
        *own["what would change it"],
        cell("markdown", GO_ON),
        cell("code", PLOT),
        cell("markdown", SAVE),
        cell("code", "form.record", hidden=True),
    ]
    if own["go further"]:
        cells += [cell("markdown", FURTHER), *own["go further"]]
    cells += [
        cell("markdown", "## What this does not cover"),
        cell("code", "form.not_covered", hidden=True),
        cell("markdown", CHECKS),
        *own["checks"],
        cell("code", TRY_SAVING),
    ]
    return {"cells": cells, "metadata": METADATA, "nbformat": 4, "nbformat_minor": 5}


def of_aircraft() -> dict[str, Any]:
    """The notebook of the builder's own aircraft."""
    cells = [
        cell("markdown", f"# {AIRCRAFT_TITLE}\n\n*Nothing to see below? In the menu above: Run → Run All Cells.*"),
        cell(
            "code",
            "from rotorkit.notebook import AircraftForm\n\naircraft = AircraftForm()\naircraft",
            hidden=True,
        ),
        cell("markdown", AIRCRAFT_ABOUT),
        cell("markdown", CHECKS),
        cell("code", AIRCRAFT_CHECK),
    ]
    return {"cells": cells, "metadata": METADATA, "nbformat": 4, "nbformat_minor": 5}


def start_here(notebook: dict[str, Any]) -> dict[str, Any]:
    """The notebook to begin with, its list of notebooks written anew."""
    lines, subject = [f"- [{AIRCRAFT_TITLE}]({AIRCRAFT}.ipynb)"], ""
    for sheet in sheets_in_order():
        if subject_of(sheet) != subject:
            subject = subject_of(sheet)
            lines.append(f"\n{subject.capitalize()}:\n")
        lines.append(f"- [{sheet.about.title}]({sheet.name}.ipynb)")
    lines.append("\nProof:\n")
    lines.append("- [The hover by blade element against published measurements](proof/hover.ipynb)")
    text = LIST_HEAD + "\n" + "\n".join(lines)
    cells = [
        cell("markdown", text) if "".join(one["source"]).startswith(LIST_HEAD) else one for one in notebook["cells"]
    ]
    return {**notebook, "cells": cells}


def written(notebook: dict[str, Any]) -> str:
    """A notebook as it stands in its file."""
    return json.dumps(notebook, indent=1, ensure_ascii=False) + "\n"


def expected() -> dict[Path, str]:
    """Every generated notebook with the text that its file should hold."""
    found = {}
    for sheet in sheets_in_order():
        path = FOLDER / f"{sheet.name}.ipynb"
        own: dict[str, list[dict[str, Any]]] = {slot: [] for slot in SLOTS}
        if path.exists():
            own = own_cells(json.loads(path.read_text(encoding="utf-8")))
        found[path] = written(of_sheet(sheet, own))
    start = FOLDER / f"{START}.ipynb"
    found[FOLDER / f"{AIRCRAFT}.ipynb"] = written(of_aircraft())
    found[start] = written(start_here(json.loads(start.read_text(encoding="utf-8"))))
    return found


def main() -> None:
    """Write what differs."""
    for path, text in expected().items():
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.write_text(text, encoding="utf-8")
            print(f"written: {path.name}")


if __name__ == "__main__":
    sys.exit(main())
