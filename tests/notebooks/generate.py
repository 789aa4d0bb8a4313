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
from rotorkit.sheets.catalogue import sheets_in_order
from rotorkit.sources import cautions
from rotorkit.teach.lesson import Lesson, lessons_in_order

FOLDER = Path(__file__).resolve().parent.parent.parent / "notebooks"
HOME = "home"
LEARN = "learn"
AIRCRAFT, AIRCRAFT_TITLE = "aircraft", "Your aircraft"
OWN = "own"
SLOTS = ("readings", "what would change it", "go further", "checks")
METADATA = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}
HINT = "*Nothing to see below? In the menu above: Run → Run All Cells.*"
"""Stands below the title for who opens a notebook in a JupyterLab that does not run it by itself."""
PART = "part"
"""What a generated cell is, in its metadata: the title; the hint; "code", there for who goes on in code; "checks"."""

DOSSIER = (
    "## The dossier\n\nThe whole record as one document for the inspector: readings, worked calculations, pictures, "
    "verdicts, history, and lines to sign. In a terminal: `rotorkit dossier`."
)
OUR_AIRCRAFT = (
    f"## Your aircraft\n\nDimensions, limits with their manual pages, instruments with their uncertainties, milestones "
    f"of your own: [type them in]({AIRCRAFT}.ipynb), or edit `aircraft.toml` beside this notebook as plain text. If "
    "the name is the demo's, this is an invented aircraft to try things on: make a folder for your own with "
    "`rotorkit new my-aircraft` in a terminal."
)
VERDICTS = (
    "## How to read a verdict\n\nA reading is never exact. Each figure is given with its uncertainty, and the whole "
    "range is compared with the limit (the rule of ISO 14253-1 and JCGM 106). How far the hover estimates were from "
    "measured rotors is in [the proof](proof/hover.ipynb). These are the verdicts:"
)
EVERY_CHECK = "## Every check with its verdicts"
GO_ON = (
    "## The picture, to work on\n\nOn matplotlib's Axes: give it your own title, notes, another line; "
    '`ax.figure.savefig("mine.png")` saves it. It does not follow the form: run the cell again after a change.'
)
PLOT = """for chart in form.charts[:1]:
    ax = chart.plot()
    ax.set_title(f"{chart.title}\\nas the form stood when this cell was run")
    display(ax.figure)"""
FURTHER = "## Go further\n\nThe functions behind the form. Each gives its source, range and signs: `help(name)`."
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
    "takes the unit beside the field. A job works as soon as its own figures are there, and asks for any that are "
    "missing. What you write here goes into `aircraft.toml`, which keeps your comments; you can also edit that file "
    "by hand. "
    "What you have typed but not written yet is still there when you come back. Only a new engine monitor has to be "
    "started in the file itself, under `[recorders.NAME]`."
)
COURSE = (
    "## Learning\n\nLessons of about twenty minutes, for a new helper or for yourself. Answers are kept under the "
    "name typed, beside the record but not in it."
)
LESSON_CHECK = """# every question's own answer is marked right, and the picture is there
assert lesson.try_out() == []
assert lesson.explorer.fault is None
assert lesson.explorer.seen is not None, lesson.explorer.problems"""
AIRCRAFT_CHECK = """# what the form shows is what the file holds
from rotorkit.notebook import open_folder

assert aircraft.figures is not None
assert aircraft.figures.values == {}
assert open_folder().aircraft.all_lacking() == aircraft.folder.aircraft.all_lacking()"""


def cell(kind: str, source: str, **metadata: Any) -> dict[str, Any]:
    """A cell. Its identifier follows from its text, so that writing twice gives the same file."""
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


def own_cells_in(path: Path) -> dict[str, list[dict[str, Any]]]:
    """The own cells of a notebook's file; none where there is no such file yet."""
    return own_cells(json.loads(path.read_text(encoding="utf-8")) if path.exists() else {"cells": []})


def hidden(source: str) -> dict[str, Any]:
    """A code cell that only shows something, its code out of sight."""
    return cell("code", source, jupyter={"source_hidden": True})


def notebook_of(cells: list[dict[str, Any]]) -> dict[str, Any]:
    """A notebook of these cells."""
    return {"cells": cells, "metadata": METADATA, "nbformat": 4, "nbformat_minor": 5}


def of_aircraft() -> dict[str, Any]:
    """The notebook of the builder's own aircraft."""
    return notebook_of(
        [
            cell("markdown", f"# {AIRCRAFT_TITLE}\n\n[Home]({HOME}.ipynb)", part="title"),
            cell("markdown", HINT, part="hint"),
            hidden("from rotorkit.notebook import AircraftForm\n\naircraft = AircraftForm()\naircraft"),
            cell("markdown", AIRCRAFT_ABOUT),
            cell("markdown", CHECKS, part="checks"),
            cell("code", AIRCRAFT_CHECK, part="checks"),
        ]
    )


def of_sheet(sheet: type[Sheet], own: dict[str, list[dict[str, Any]]]) -> dict[str, Any]:
    """The notebook of a sheet: the form, which has all that belongs to the check behind its buttons; then what is the
    notebook's own, and the cells to go on with."""
    every = "\n".join("".join(one["source"]) for slot in SLOTS for one in own[slot])
    shows = ", show" if "show(" in every.replace("_show(", "") else ""
    cells = [
        cell("markdown", f"# {sheet.about.title}\n\n[Home]({HOME}.ipynb). {cautions.SHORT}", part="title"),
        cell("markdown", HINT, part="hint"),
        hidden(f'from rotorkit.notebook import open_form{shows}\n\nform = open_form("{sheet.name}")\nform'),
        *own["readings"],
        *own["what would change it"],
        cell("markdown", GO_ON, part="code"),
        cell("code", PLOT, part="code"),
    ]
    if own["go further"]:
        cells += [cell("markdown", FURTHER, part="code"), *own["go further"]]
    cells += [
        cell("markdown", CHECKS, part="checks"),
        *own["checks"],
        cell("code", TRY_SAVING, part="checks"),
    ]
    return notebook_of(cells)


def of_lesson(lesson: Lesson, following: Lesson | None, number: int, every: int) -> dict[str, Any]:
    """The notebook of a lesson: no answer stands in it."""
    on = f"[Next lesson: {following.title}]({following.name}.ipynb)" if following else "This was the last lesson."
    return notebook_of(
        [
            cell(
                "markdown",
                f"# {lesson.title}\n\n[Home](../{HOME}.ipynb). Lesson {number} of {every}. {cautions.SHORT}",
                part="title",
            ),
            cell("markdown", HINT, part="hint"),
            hidden(f'from rotorkit.notebook import open_lesson\n\nlesson = open_lesson("{lesson.name}")\nlesson'),
            cell("markdown", f"## {lesson.picture.title}"),
            hidden("lesson.picture"),
            cell("markdown", "## Worked together"),
            hidden("lesson.example"),
            cell("markdown", "## On your own"),
            hidden("lesson.exercises"),
            cell("markdown", "## What we have learned"),
            hidden("lesson.learned"),
            cell("markdown", on),
            cell("markdown", CHECKS, part="checks"),
            cell("code", LESSON_CHECK, part="checks"),
        ]
    )


def home(own: dict[str, list[dict[str, Any]]]) -> dict[str, Any]:
    """The notebook to begin with."""
    return notebook_of(
        [
            cell("markdown", "# Home", part="title"),
            cell("markdown", HINT, part="hint"),
            hidden("from rotorkit.notebook import home_page\n\nhome_page()"),
            cell("markdown", DOSSIER),
            hidden("from rotorkit.notebook import dossier_part\n\ndossier_part()"),
            cell("markdown", OUR_AIRCRAFT),
            hidden("from rotorkit.notebook import your_aircraft\n\nyour_aircraft()"),
            cell("markdown", VERDICTS),
            hidden("from rotorkit.notebook import verdicts_page\n\nverdicts_page()"),
            cell("markdown", EVERY_CHECK),
            hidden("from rotorkit.notebook import every_check\n\nevery_check()"),
            cell("markdown", COURSE),
            hidden("from rotorkit.notebook import course_page\n\ncourse_page()"),
            cell("markdown", CHECKS, part="checks"),
            *own["checks"],
        ]
    )


def written(notebook: dict[str, Any]) -> str:
    """A notebook as it stands in its file."""
    return json.dumps(notebook, indent=1, ensure_ascii=False) + "\n"


def expected() -> dict[Path, str]:
    """Every generated notebook with the text that its file should hold."""
    found = {}
    for sheet in sheets_in_order():
        path = FOLDER / f"{sheet.name}.ipynb"
        found[path] = written(of_sheet(sheet, own_cells_in(path)))
    found[FOLDER / f"{AIRCRAFT}.ipynb"] = written(of_aircraft())
    course = lessons_in_order()
    for number, (lesson, following) in enumerate(zip(course, [*course[1:], None], strict=True), 1):
        found[FOLDER / LEARN / f"{lesson.name}.ipynb"] = written(of_lesson(lesson, following, number, len(course)))
    path = FOLDER / f"{HOME}.ipynb"
    found[path] = written(home(own_cells_in(path)))
    return found


def main() -> None:
    """Write what differs."""
    for path, text in expected().items():
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")
            print(f"written: {path.name}")


if __name__ == "__main__":
    sys.exit(main())
