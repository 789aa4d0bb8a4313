"""The `rotorkit` command: make a working folder, see its verdicts, open it in JupyterLab, keep and show its record.

Only what every command needs is imported here; the rest is imported by the command that uses it, so that the answer to
a small question comes at once.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from rotorkit import __version__
from rotorkit.cli import class_commands, record_commands, recording_command
from rotorkit.cli.console import fail, here_or, no_such, not_as_saved, quoted, say, split_names, width, working_folder
from rotorkit.edges.program import AS_BEFORE, NO_MEMORY, is_command, typed
from rotorkit.edges.received import is_there
from rotorkit.edges.visible import in_a_line

if TYPE_CHECKING:
    from rotorkit.cli.verdict_table import Table
    from rotorkit.folder.checks import Folder
    from rotorkit.folder.workings import Workings
    from rotorkit.record import Board, RecordError

__all__ = ["app"]

DEMO_FOLDER = "rotorkit-demo"


class _App(typer.Typer):
    """The command. A fault of our own is told in a line, with where to see more, and not as a stack trace."""

    def __call__(self, *args: Any, **kwargs: Any) -> Any:
        is_command()
        try:
            return super().__call__(*args, **kwargs)
        except MemoryError:
            say(f"rotorkit: {NO_MEMORY}", error=True)
            sys.exit(71)
        except OSError as fault:
            if os.environ.get("ROTORKIT_TRACE"):
                raise
            where = f" ({in_a_line(str(fault.filename))})" if fault.filename else ""
            say(f"rotorkit: the computer refused: {fault.strerror or fault}{where}. {AS_BEFORE}", error=True)
            sys.exit(1)
        except Exception as fault:
            if os.environ.get("ROTORKIT_TRACE"):
                raise
            say(
                f"rotorkit: a fault in rotorkit itself: {type(fault).__name__}: {fault}\n"
                f"To see where it arose, set ROTORKIT_TRACE=1 and do the same again.",
                error=True,
            )
            sys.exit(70)


app = _App(
    name="rotorkit",
    help="Rigging, weighing and performance figures for finishing a light helicopter: from your readings to verdicts.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
app.add_typer(record_commands.app)
app.command()(record_commands.recheck)
app.command()(record_commands.dossier)
app.command("weight-and-balance")(record_commands.weight_and_balance)
app.command()(record_commands.worksheet)
app.command()(recording_command.recording)
app.command("class")(class_commands.class_set)


def _version(wanted: bool) -> None:
    if wanted:
        say(f"rotorkit {__version__}")
        raise typer.Exit


@app.callback()
def main(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version and stop.")
    ] = False,
) -> None:
    """Rigging, weighing and performance figures for finishing a light helicopter: from your readings to verdicts."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="rotorkit-plain")


@app.command()
def new(
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="The folder to make.", show_default=False)],
    demo: Annotated[
        bool, typer.Option("--demo", help="With the invented demo aircraft and its readings, to try things on.")
    ] = False,
) -> None:
    """Make a working folder: an aircraft file and a readings file to fill in, and the notebooks.

    Nothing that exists is overwritten.
    """
    from rotorkit.folder.making import WorkFolderError, make_folder

    try:
        names = make_folder(folder, demo)
    except WorkFolderError as problem:
        fail(str(problem))
    say(f"Made {folder} with")
    about = {
        "aircraft.toml": "the demo aircraft" if demo else "your aircraft: fill in what is empty",
        "readings.toml": "its readings" if demo else "your readings, with their units",
        "hover_cabin.csv": "a vibration, recorded",
        "ground_run.csv": "a ground run, recorded",
    }
    for name in names:
        say(f"  {name:<28}{about.get(name, '')}".rstrip())
    say(f"Next:\n  {typed('status')} {quoted(folder)}\n  {typed('lab')} {quoted(folder)}")


@app.command()
def status(
    named: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="[CHECK] [DIR]",
            help="The name of a check, to see that one whole; the working folder, if not the one you are in.",
            show_default=False,
        ),
    ] = None,
    every: Annotated[
        bool, typer.Option("--every-figure", help="Every figure and note of every check, and every milestone's jobs.")
    ] = False,
    as_json: Annotated[
        bool, typer.Option("--json", help="Everything as JSON, for another program; keys keep their meaning.")
    ] = False,
) -> None:
    """Tell how the folder stands: a line for each check, worst first, and what the next milestone still needs.

    The exit code is 0 also when a figure is out of limits or a job is not done, and 1 when a file cannot be
    read or the record is not as it was saved.
    """
    checks, folder = split_names(named or [], most=1)
    here = here_or(folder)
    if here.is_demo and not as_json:
        say("There is no aircraft.toml here: this is the invented demo aircraft.\n")
    told = _behind(folder) if folder is not None else ""
    if as_json:
        _print_json(here, checks)
    elif checks:
        _print_check(here, checks[0], told)
    else:
        _print_table(here, every, told)


@app.command()
def lab(
    folder: Annotated[
        Path | None,
        typer.Argument(
            metavar="[DIR]",
            help=f"The working folder; without it, the one you are in, or else the demo in {DEMO_FOLDER}.",
            show_default=False,
        ),
    ] = None,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Open no browser: print the address to open.")
    ] = False,
) -> None:
    """Print verdict table and status board, then open the working folder's notebooks in JupyterLab on this computer.

    Notebooks that the folder lacks are added, and those of an earlier version renewed; one that you changed is kept
    beside the new one.
    """
    from rotorkit.aircraft.file import AIRCRAFT_FILE
    from rotorkit.folder.making import WorkFolderError, make_folder
    from rotorkit.folder.notebooks import renew_notebooks

    said = 0
    try:
        if folder is None:
            folder = Path.cwd() if is_there(Path(AIRCRAFT_FILE)) else Path(DEMO_FOLDER)
            if not is_there(folder / AIRCRAFT_FILE):
                make_folder(folder, demo=True)
                say(
                    f"Made {DEMO_FOLDER}, a working folder with the invented demo aircraft. Make your own with: "
                    f"{typed('new my-aircraft')}"
                )
                said = 1
        here = working_folder(folder)
        try:
            _print_table(here, told=_behind(folder), said=said)
        except typer.Exit:
            say("JupyterLab will open anyway; fix the file there.\n", error=True)
        for sentence in renew_notebooks(here.path).sentences:
            say(sentence)
    except WorkFolderError as problem:
        fail(str(problem))
    _open_lab(here.path, browser=not no_browser and _has_display())


@contextmanager
def _files_in_words() -> Iterator[None]:
    """What can be wrong with the folder's files, as a plain message after what was printed, and exit code 1."""
    from rotorkit.aircraft import AircraftFileError
    from rotorkit.record import RecordError
    from rotorkit.sheets.base import SheetError

    try:
        yield
    except (AircraftFileError, RecordError, SheetError) as problem:
        sys.stdout.flush()
        fail(str(problem))
    sys.stdout.flush()


def _behind(folder: Path) -> str:
    """The working folder as it is typed behind a command, with a blank before it; nothing for the one that one is in,
    where "." would be lost in a sentence's end."""
    return "" if folder.resolve() == Path.cwd() else f" {quoted(folder)}"


def _print_table(folder: Folder, every: bool = False, told: str = "", said: int = 0) -> None:
    """said: lines that stand on the screen before it."""
    from rotorkit.cli.known import known_entries, known_workings
    from rotorkit.cli.record_text import board_text
    from rotorkit.cli.status_text import SCREEN, short_text
    from rotorkit.cli.verdict_table import table_of, table_text

    with _files_in_words(), known_entries():
        workings = known_workings(figures=not every)
        table = table_of(folder, workings=workings)
        found, fault = _board(folder, workings)
        if every:
            say(table_text(table, width(), every))
            if found is not None:
                say(board_text(found, width()))
        else:
            say(short_text(table, found, width(), told, SCREEN - said))
        if fault is not None:
            raise fault
        _tell_faults(found)


def _board(folder: Folder, workings: Workings) -> tuple[Board | None, RecordError | None]:
    """The status board, or why there is none: the rest is shown all the same."""
    from rotorkit.record import RecordError, board

    try:
        return board(folder, workings=workings), None
    except RecordError as problem:
        return None, problem


def _print_check(folder: Folder, name: str, told: str = "") -> None:
    """One check whole, with the jobs that it stands for."""
    from rotorkit.cli.known import known_entries, known_workings
    from rotorkit.cli.lines import filled, within
    from rotorkit.cli.record_text import jobs_text
    from rotorkit.cli.status_text import RECORD_UNREAD, stale_told
    from rotorkit.cli.verdict_table import check_text, table_of

    with _files_in_words(), known_entries():
        workings = known_workings()
        table = _the_one(table_of(folder, only=name, workings=workings), folder, name)
        found, fault = _board(folder, workings)
        if found is None:
            say(filled(RECORD_UNREAD, within(width())))
        elif name in found.stale:
            say(filled(stale_told([name], told), within(width())))
        say(check_text(table.checks, width()))
        if fault is not None:
            raise fault
        if found is not None:
            say(jobs_text(found, name, width()))
        _tell_faults(found)


def _the_one(table: Table, folder: Folder, name: str) -> Table:
    """The table of one check, where there is such a check."""
    if not table.checks:
        fail(no_such(name, [check.name for check in folder.checks]))
    return table


def _print_json(folder: Folder, checks: list[str]) -> None:
    from rotorkit.cli.known import known_entries, known_workings
    from rotorkit.cli.status_json import status_json
    from rotorkit.cli.verdict_table import table_of

    with _files_in_words(), known_entries():
        workings = known_workings()
        table = table_of(folder, only=checks[0] if checks else None, workings=workings)
        if checks:
            _the_one(table, folder, checks[0])
        found, fault = _board(folder, workings)
        say(status_json(table, found, "" if fault is None else str(fault)))
        if fault is not None:
            raise fault
        _tell_faults(found)


def _tell_faults(found: Board | None) -> None:
    if found is not None and found.faults:
        sys.stdout.flush()
        fail(not_as_saved(found.faults))


def _has_display() -> bool:
    """Whether a browser can be opened here."""
    return not sys.platform.startswith("linux") or bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))


def _open_lab(folder: Path, browser: bool) -> None:
    """Run JupyterLab until it is stopped: on loopback, with a token, at the first notebook."""
    import secrets

    from rotorkit.edges.program import LAB_GUESTS, without

    with without(*LAB_GUESTS):
        from jupyterlab.labapp import LabApp

    from rotorkit.folder.notebooks import FIRST_NOTEBOOK
    from rotorkit.lab import lab_arguments

    first = FIRST_NOTEBOOK if (folder / FIRST_NOTEBOOK).is_file() else ""
    token = secrets.token_hex(24)
    # the notebooks run on the Python that rotorkit is installed in, whatever else the computer has
    os.environ.setdefault("JUPYTER_PREFER_ENV_PATH", "1")
    arguments = [
        f"--ServerApp.root_dir={folder.resolve()}",
        "--ServerApp.ip=127.0.0.1",
        f"--IdentityProvider.token={token}",
        f"--ServerApp.open_browser={browser}",
        f"--LabApp.default_url=/lab/tree/{first}" if first else "--LabApp.default_url=/lab",
        "--Application.log_level=WARN",
        *lab_arguments(),
    ]
    if getattr(os, "geteuid", lambda: 1)() == 0:
        arguments.append("--ServerApp.allow_root=True")
    # JupyterLab runs settings that are written as Python from the folder it is started in, which may come from anybody
    os.chdir(sys.prefix)
    server: Any = LabApp.initialize_server(argv=arguments)
    address = f"http://127.0.0.1:{server.port}{server.base_url}lab/tree/{first}?token={token}"
    say(f"JupyterLab {'opens in your browser' if browser else 'runs'}. Its address on this computer:")
    say(f"    {address}\nTo stop it, press Ctrl and C here, then y.")
    sys.stdout.flush()
    server.start()
