"""Showing sheets in a notebook: one form for every sheet, and pages to read.

>>> form = open_form("hover_margin")  # doctest: +SKIP
>>> form.set("temperature", "95 °F")  # doctest: +SKIP
"""

from __future__ import annotations

from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

from rotorkit.aircraft import AircraftFileError
from rotorkit.folder.checks import Folder
from rotorkit.notebook import generations, turning
from rotorkit.notebook.form import Form
from rotorkit.notebook.offers import offer_recording, offer_rigged_stops
from rotorkit.notebook.pages import Page, aircraft_page, board_page, folder_page, listed_page, show, verdicts_page
from rotorkit.notebook.turning import begin_with, turn_to
from rotorkit.sheets.base import SheetError

if TYPE_CHECKING:
    from rotorkit.notebook.aircraft_form import AircraftForm
    from rotorkit.notebook.dossier_part import dossier_part
    from rotorkit.notebook.explorer import Explorer
    from rotorkit.notebook.home import Current, every_check, home_page, your_aircraft
    from rotorkit.notebook.lesson import LessonPage, course_page, open_lesson
    from rotorkit.notebook.practising import practice
    from rotorkit.notebook.proof import comparison_axes, comparison_page, found_page, held_out_page, looked_for_page

_WHERE = {
    "AircraftForm": "aircraft_form",
    "Explorer": "explorer",
    "dossier_part": "dossier_part",
    "practice": "practising",
    **dict.fromkeys(("Current", "every_check", "home_page", "your_aircraft"), "home"),
    **dict.fromkeys(("LessonPage", "course_page", "open_lesson"), "lesson"),
    **dict.fromkeys(("comparison_axes", "comparison_page", "found_page", "held_out_page", "looked_for_page"), "proof"),
}
"""What a form does without is imported when it is first named, so that a form comes sooner."""

__all__ = [
    "AircraftForm",
    "Current",
    "Explorer",
    "Form",
    "LessonPage",
    "Page",
    "aircraft_page",
    "begin_with",
    "board_page",
    "comparison_axes",
    "comparison_page",
    "course_page",
    "dossier_part",
    "every_check",
    "folder_page",
    "found_page",
    "held_out_page",
    "home_page",
    "listed_page",
    "looked_for_page",
    "offer_recording",
    "offer_rigged_stops",
    "open_folder",
    "open_form",
    "open_lesson",
    "practice",
    "show",
    "turn_to",
    "verdicts_page",
    "your_aircraft",
]


generations.watch()


def __getattr__(name: str) -> Any:
    if name not in _WHERE:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found = globals()[name] = getattr(import_module(f"{__name__}.{_WHERE[name]}"), name)  # not its file of that name
    return found


def open_folder(folder: Path | str | None = None) -> Folder:
    """The working folder: the one named, else the nearest that holds an aircraft file, else the demo.

    Raises `AircraftFileError`, which a notebook shows as a plain message with the line to change.
    """
    found = Folder.here() if folder is None else Folder(folder)
    try:
        _ = found.aircraft, found.checks
    except (AircraftFileError, SheetError) as problem:
        raise _plain(problem) from None
    return found


def open_form(sheet: str, check: str | None = None, folder: Path | str | Folder | None = None) -> Form:
    """A form over a sheet, with the readings of a check of the working folder.

    Arguments: sheet, its name ("hover_margin"); check, the check's name in the readings file (default: the first of
    this sheet; an empty form where there is none); folder, the working folder (default: the nearest one).

    >>> open_form("cable_tension", "pedal_right_tension").outcome.word
    'out of limits'
    """
    found = folder if isinstance(folder, Folder) else open_folder(folder)
    asked = turning.asked_for()
    try:
        form = Form(sheet, found, check)
        turning.opened(form)
        if check is None and asked is not None:
            form.turn_to(*asked)
        return form
    except (AircraftFileError, SheetError) as problem:
        raise _plain(problem) from None


def _plain(problem: Exception) -> Exception:
    """The same error, shown by a notebook as its message alone."""
    problem._render_traceback_ = lambda: [f"{type(problem).__name__}: {problem}"]  # type: ignore[attr-defined]
    return problem
