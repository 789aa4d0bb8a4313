"""What every command needs: printing, failing in plain words, naming a working folder, showing progress."""

from __future__ import annotations

import codecs
import shutil
import sys
import textwrap
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import typer

from rotorkit.edges import clock
from rotorkit.edges.program import typed
from rotorkit.edges.received import is_there
from rotorkit.edges.visible import in_a_line, visible

if TYPE_CHECKING:
    from rotorkit.folder.checks import Folder


PLAIN = {
    "±": "+/-",
    "°": " deg",
    "²": "^2",
    "³": "^3",
    "⁴": "^4",
    "·": "*",
    "×": "x",
    "−": "-",
    "–": "-",
    "…": "...",
    "’": "'",
    "′": "'",
    "″": '"',
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
}
"""What a console that cannot show a sign is given in its place; a sign not named here becomes a question mark."""
BAR = 24
MOST_TOLD = 20
"""So many faults are told at once."""
BETWEEN = 0.1
"""Seconds between two signs of progress."""


def _plain_signs(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    signs = error.object[error.start : error.end]
    return "".join(PLAIN.get(sign, "?") for sign in signs), error.end


codecs.register_error("rotorkit-plain", _plain_signs)


def say(text: str, error: bool = False) -> None:
    """Print a text, with what a terminal would obey or turn round made visible.

    (Typer's own way of printing takes a console of few signs for one of many.)
    """
    print(visible(text), file=sys.stderr if error else sys.stdout)


def width() -> int:
    """Columns of the terminal."""
    return shutil.get_terminal_size((80, 24)).columns


def fail(message: str, code: int = 1) -> NoReturn:
    """Say what is wrong on the error stream and end with 1, or with 2 where the command was not understood."""
    for line in f"rotorkit: {message}".split("\n"):
        say(wrapped(line, "    "), error=True)
    raise typer.Exit(code)


def not_as_saved(faults: Sequence[str]) -> str:
    """What is wrong with the record, in a sentence."""
    told = "; ".join(faults[:MOST_TOLD])
    return f"the record is not as it was saved: {told}. 'rotorkit record verify' tells all"


def wrapped(text: str, indent: str = "") -> str:
    """A text in lines as wide as the terminal; no word, path or hash is broken."""
    return textwrap.fill(
        in_a_line(text), max(60, width()), subsequent_indent=indent, break_on_hyphens=False, break_long_words=False
    )


def quoted(folder: Path) -> str:
    """A path as it is typed in a terminal."""
    said = in_a_line(str(folder))
    return f'"{said}"' if " " in said else said


def working_folder(folder: Path) -> Folder:
    """The working folder at a path, or a plain word on why it is none."""
    from rotorkit.aircraft.file import AIRCRAFT_FILE
    from rotorkit.folder.checks import Folder

    if not folder.exists():
        fail(f"there is no folder {folder}: make one with: {typed('new')} {quoted(folder)}")
    if not folder.is_dir():
        fail(f"{folder} is a file: name its folder")
    if not is_there(folder / AIRCRAFT_FILE):
        fail(f"there is no {AIRCRAFT_FILE} in {folder}: make a working folder with: {typed('new DIR')}")
    return Folder(folder)


def here_or(folder: Path | None) -> Folder:
    """The working folder that is named; without a name, the one that one stands in, or else the demo."""
    from rotorkit.folder.checks import Folder

    return Folder.here() if folder is None else working_folder(folder)


def split_names(named: Sequence[str], most: int | None = None) -> tuple[list[str], Path | None]:
    """What was named in a command, parted into names of checks and the working folder, which stands last.

    A folder is what is one, or is written as a path; with a check's name before it, the last is a folder whatever it
    looks like. most: how many checks may be named, None for any number.
    """
    names, folder = list(named), None
    if names and (_a_path(names[-1]) or (most is not None and len(names) > most)):
        folder = Path(names.pop())
    if most is not None and len(names) > most:
        fail(f"takes {most} check and one folder at most, got {in_a_line(' '.join(named))}", code=2)
    return names, folder


def no_such(name: str, there: Sequence[str]) -> str:
    """That something named is neither a folder nor one of the checks that there are."""
    has = f"the folder has {', '.join(there)}" if there else "the folder has no check"
    return f"there is no folder {name}, and no check of that name: {has}"


def _a_path(name: str) -> bool:
    return Path(name).is_dir() or is_there(Path(name)) or any(sign in name for sign in "/\\") or name in (".", "..")


class Progress:
    """A bar on the error stream, where that is a terminal; nothing where it is not. Called with what is being done, how
    much of it is done, and of how much; taken away at the end of the ``with`` block."""

    def __init__(self) -> None:
        self._shown = sys.stderr.isatty()
        self._at, self._length = 0.0, 0

    def __enter__(self) -> Progress:
        return self

    def __exit__(self, *_: object) -> None:
        if self._length:
            sys.stderr.write("\r" + " " * self._length + "\r")
            sys.stderr.flush()

    def __call__(self, what: str, done: int, of: int) -> None:
        if not self._shown or (done < of and clock.elapsed() - self._at < BETWEEN):
            return
        self._at = clock.elapsed()
        full = BAR * done // max(of, 1)
        line = f"[{'#' * full}{'.' * (BAR - full)}] {what}{f', {done} of {of}' if of > 1 else ''}"[: width() - 1]
        sys.stderr.write("\r" + line.ljust(self._length))
        sys.stderr.flush()
        self._length = max(self._length, len(line))

    def of(self, what: str) -> Counted:
        """The same for something that counts only (done, of)."""
        return Counted(self, what)


class Counted:
    """Progress of one thing."""

    def __init__(self, progress: Progress, what: str) -> None:
        self._progress, self._what = progress, what

    def __call__(self, done: int, of: int) -> None:
        self._progress(self._what, done, of)
