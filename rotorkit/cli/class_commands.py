"""The command for a class: question sheets, key and notebooks; then marking what came back."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from rotorkit.cli.console import fail, quoted, say, typed
from rotorkit.edges.visible import in_a_line

MARK = "mark"


def _how_many(text: str) -> int:
    if not (text.isascii() and text.isdigit()):
        raise typer.BadParameter(f"needs a number of students such as 12, got '{in_a_line(text)}'")
    return int(text)


def class_set(
    named: Annotated[
        list[str],
        typer.Argument(
            metavar="[mark] DIR",
            help="The folder to make for the class; after the word mark, the folder of a class whose answers are back.",
            show_default=False,
        ),
    ],
    students: Annotated[
        int | None, typer.Option("--students", metavar="N", help="How many students.", parser=_how_many)
    ] = None,
    seed: Annotated[
        str,
        typer.Option(
            "--seed",
            help="Seed of all the numbers: the same seed makes the same numbers again, so keep it to yourself; "
            "without one they are random.",
        ),
    ] = "",
    ask: Annotated[
        list[str] | None,
        typer.Option("--ask", metavar="NAME", help="An exercise, or a lesson for all of its own; may be repeated."),
    ] = None,
    metric: Annotated[
        bool, typer.Option("--metric", help="Numbers in metric units; without it those of the aircraft file here.")
    ] = False,
    no_pdf: Annotated[bool, typer.Option("--no-pdf", help="Only HTML pages.")] = False,
) -> None:
    """Make exercises for a class, each student with numbers of their own; or mark what came back.

    DIR gets question sheets and the instructor's key on paper, and a notebook for each student, in which
    no answer stands. Put the filled-in notebooks back into DIR, type answers from paper into answers.csv,
    and mark: a table for the terminal and marks.csv, with the slips that the class made most.
    """
    if len(named) == 2 and named[0] == MARK:
        _mark(Path(named[1]))
    elif len(named) == 1 and students is not None:
        _make(Path(named[0]), students, seed, ask or [], not no_pdf, metric)
    elif len(named) == 1:
        fail(f"how many students? Write  {typed('class')} {quoted(Path(named[0]))} --students 12, or to mark a class  "
             f"{typed('class')} {MARK} {quoted(Path(named[0]))}", code=2)  # fmt: skip
    else:
        fail(f"name one folder: {typed('class')} DIR --students N, or {typed('class')} {MARK} DIR", code=2)


def _make(folder: Path, students: int, seed: str, ask: list[str], pdf: bool, metric: bool) -> None:
    from rotorkit.dossier import DossierError
    from rotorkit.dossier.class_set import write_class_papers
    from rotorkit.teach.classes import ANSWERS_FILE, CLASS_FILE, ClassError, make_class

    try:
        made = make_class(folder, students, seed, ask, "metric" if metric or _metric_here() else "us")
        files, why = write_class_papers(made, folder, pdf)
    except (ClassError, DossierError) as problem:
        fail(str(problem))
    say(f"A class of {students} with {len(made.questions)} questions each, seed {made.seed}, in {quoted(folder)}:")
    say(f"  {CLASS_FILE:<18}for you alone: marking needs it, and every answer follows from it")
    for file in files:
        say(f"  {file.name:<18}{'for you alone' if file.stem == 'key' else 'to print, a sheet for each student'}")
    say("  notebooks/        one for each student, without answers: hand out these alone")
    say(f"  {ANSWERS_FILE:<18}to type what was answered on paper")
    say(f"When they are back: {typed('class')} {MARK} {quoted(folder)}")
    if why:
        fail(f"no PDF of all of it: {why}")


def _metric_here() -> bool:
    """Whether the aircraft file of the folder that the command is given in asks for metric units."""
    from rotorkit.aircraft import AircraftFileError
    from rotorkit.folder.checks import Folder

    try:
        return Folder.here().aircraft.aircraft.display == "metric"
    except AircraftFileError:  # no file, or a faulty one: that is for other commands to tell
        return False


def _mark(folder: Path) -> None:
    from rotorkit.teach.classes import MARKS_FILE, ClassError, mark_class

    try:
        marked = mark_class(folder)
    except ClassError as problem:
        fail(str(problem))
    say(marked.table())
    say(f"\nWrote {quoted(folder / MARKS_FILE)}")
