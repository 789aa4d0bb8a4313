"""Reading and changing ``aircraft.toml``: errors point to the line, comments survive a change."""

from __future__ import annotations

import codecs
import contextlib
import os
import re
import tempfile
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar, cast

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]

from pydantic import BaseModel, ValidationError

from rotorkit.aircraft.entries import NOT_FILLED_IN, message_of, twin
from rotorkit.aircraft.merging import Rows, at_place, harmed, holds, put_at, spaced
from rotorkit.aircraft.ordering import InOrder, reordered, stands_so
from rotorkit.aircraft.place import AIRCRAFT_FILE, demo_folder
from rotorkit.aircraft.places import line_numbers
from rotorkit.aircraft.syntax import syntax_fault
from rotorkit.edges.program import typed
from rotorkit.edges.received import bytes_of, is_there, too_much
from rotorkit.edges.visible import in_a_line, visible

if TYPE_CHECKING:
    from rotorkit.aircraft.model import Aircraft

MARK = "\ufeff"
"""The byte order mark."""
LONG_KEY = re.compile(r"""(?:\.[ \t]*(?:[\w-]+|"[^"\n]*"|'[^'\n]*')[ \t]*){40}""")
"""A key of so many parts: the reader of the format takes a time that grows with their square."""
CANNOT = (
    "{} was left as it was: it is written in a way that cannot be changed from here without damaging it. "
    "Change it in an editor."
)
MOST_FAULTS = 60
"""So many faults are told at once; how many more there are is said."""
Model = TypeVar("Model", bound=BaseModel)


class AircraftFileError(ValueError):
    """A file that cannot be read as it stands. The message gives, for each fault, the line and what to write."""

    def __init__(self, message: str, faults: Sequence[tuple[str, str]] = ()) -> None:
        super().__init__(visible(message))
        self.faults = [(place, visible(said)) for place, said in faults]
        """(dotted place, what is wrong there) for each fault that has a place."""


def load_aircraft(path: Path | str) -> Aircraft:
    """The aircraft in a file, or in the ``aircraft.toml`` of a folder.

    Raises `AircraftFileError` with every fault, its line and what to do.
    """
    file = _file_of(path)
    text = text_of(file)
    return aircraft_of(text, file)


def aircraft_of(text: str, file: Path = Path(AIRCRAFT_FILE)) -> Aircraft:
    """The aircraft in the text of an aircraft file, also as the record keeps it. file: only named in messages.

    One text is read once in a program; each who asks gets a copy, to change as they like.
    """
    return cast("Aircraft", twin(_read(file.name, text)))


@lru_cache(maxsize=16)
def _read(name: str, text: str) -> Aircraft:
    from rotorkit.aircraft.model import Aircraft

    file = Path(name)  # all that a message names of it
    return checked(file, tables_of(file, text), text, Aircraft)


def _file_of(path: Path | str) -> Path:
    file = Path(path)
    return file / AIRCRAFT_FILE if file.is_dir() and file.name != AIRCRAFT_FILE else file


def text_of(file: Path) -> str:
    """A file's text with its line ends as they are, without the byte order mark that some editors put first."""
    return whole_text_of(file).removeprefix(MARK)


def whole_text_of(file: Path) -> str:
    """A file's text byte for byte, the mark included: what the record keeps. Raises `AircraftFileError`."""
    try:
        raw = bytes_of(file)
    except FileNotFoundError as problem:
        if is_there(file):
            raise AircraftFileError(f"{file} cannot be read: {problem.strerror}") from None
        how = typed("new DIR")
        raise AircraftFileError(f"there is no {file.name} in {file.parent}: make one with '{how}'") from None
    except OSError as problem:
        raise AircraftFileError(f"{file} cannot be read: {problem.strerror or problem}") from None
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as problem:
        line = raw.count(b"\n", 0, problem.start) + 1
        at = "" if b"\0" in raw else f" line {line}"  # of two bytes a letter, lines cannot be counted so
        raise AircraftFileError(
            f"{file.name}{at}: the file is not saved as UTF-8 text: save it again with the encoding UTF-8"
        ) from None


def tables_of(file: Path, text: str) -> dict[str, Any]:
    """The tables of a TOML text, a byte order mark before it or not, or a plain message. file: only named in it."""
    if LONG_KEY.search(text):
        raise AircraftFileError(f"{file.name}: a key has far more parts between points than any that is known here")
    try:
        tables = tomllib.loads(text.removeprefix(MARK))
    except (tomllib.TOMLDecodeError, RecursionError) as problem:
        if isinstance(problem, RecursionError):
            raise AircraftFileError(f"{file.name}: brackets nested too deeply") from None
        raise AircraftFileError(f"{file.name} {syntax_fault(text.removeprefix(MARK), str(problem))}") from None
    if found := too_much(tables):
        raise AircraftFileError(f"{file.name}: {found}")
    return tables


def load_toml(file: Path) -> dict[str, Any]:
    """A TOML file's tables, or a plain message."""
    return tables_of(file, text_of(file))


def checked(file: Path, data: dict[str, Any], text: str, model: type[Model], instead: str = "") -> Model:
    """The model of a file's tables; every fault in one message, each with its line.

    Arguments: file, named in the message; data, the tables; text, where they stand; model, what they must fit;
    instead, a sentence to put first.
    """
    try:
        return model.model_validate(data)
    except ValidationError as problem:
        errors = problem.errors(include_url=False)
    places = line_numbers(text)
    faults, told = [], []
    for error in errors:
        where = tuple(str(part) for part in error["loc"])
        line = _line(places, where)
        of = f"{file.name} line {line}" if line else file.name
        given = None if error["type"] == "missing" and len(where) > 1 else error["input"]
        message = message_of(error, model)
        faults.append((line, in_a_line(f"{of}: {in_words(where, given)} {message}")))
        told.append((".".join(where), in_a_line(message)))
    faults.sort(key=lambda fault: fault[0])
    lines = [sentence for _, sentence in faults[:MOST_FAULTS]]
    if len(faults) > MOST_FAULTS:
        lines.append(f"{file.name}: and {len(faults) - MOST_FAULTS:,} more of this sort")
    blank = sum(NOT_FILLED_IN in sentence for _, sentence in faults)
    if blank > 3 and not instead:
        lines.insert(0, f"{file.name} is not ready: {blank} places are still to be filled in.")
    raise AircraftFileError("\n".join([instead, *lines] if instead else lines), told)


def in_words(where: tuple[str, ...], given: Any = None) -> str:
    """A place in the file as one would look for it: ``[main_rotor] radius``."""
    if not where:
        return "the file"
    if isinstance(given, dict):
        return f"section [{'.'.join(where)}]"
    if len(where) == 1:
        return where[0]
    last = len(where) - 1
    while last > 1 and where[last].isdigit():  # a place within a list is told from the list's own name on
        last -= 1
    parts = ["number " + str(int(part) + 1) if part.isdigit() else part for part in where[last:]]
    return f"[{'.'.join(where[:last])}] {', '.join(parts)}"


def _line(places: dict[tuple[str, ...], int], where: tuple[str, ...]) -> int:
    for length in range(len(where), 0, -1):
        if found := places.get(where[:length]):
            return found
    return 0


def set_value(path: Path | str, place: str, text: str) -> Aircraft:
    """Change one value of the aircraft file, keep every comment, and return the aircraft as it is then.

    Arguments: path, the file or its folder; place, dotted (``"main_rotor.chord"``); text, the new value as typed.
    The new file is checked before it takes the old one's place, in one step; a bad value leaves the file as it was.
    Line ends and a byte order mark stay as they are. Raises `AircraftFileError`.
    """
    import tomlkit

    file = _file_of(path)
    before = text_of(file)
    tables_of(file, before)  # a plain message where the file is no TOML
    document: Any = tomlkit.parse(before)
    *tables, key = place.split(".")
    table = document
    for depth, name in enumerate(tables, 1):
        try:
            table = table[int(name)] if isinstance(table, list) else table[name]
        except (KeyError, IndexError, ValueError):
            table = None
        if not isinstance(table, (dict, list)):
            raise AircraftFileError(f"{file.name} has no section [{'.'.join(tables[:depth])}]")
    if isinstance(table, list):
        raise AircraftFileError(f"{file.name}: [{'.'.join(tables)}] is a list: name the key of one of its parts")
    table[key] = text
    return _replaced(file, before, tomlkit.dumps(document))


def set_values(path: Path | str, values: Mapping[str, Any], expected: str | None = None) -> Aircraft:
    """Write values into the aircraft file, all of them or none, keep every comment, and return the aircraft as it is
    then. Sections that are not there yet are made.

    Arguments: path, the file or its folder; values, by dotted place: a text as typed, a whole number, a list, a table,
    or None to take the key out; a part of a list by its number from 0; where a place ends in "[]", what is given is
    added to a list of tables; `InOrder` puts what stands at its place in another order. expected: the file's text as
    the person has seen it (`text_of`); where it has changed since, nothing is written.
    Raises `AircraftFileError`, with `faults` by place.
    """
    file = _file_of(path)
    with _alone(file):
        before = text_of(file)
        if expected is not None and before != expected:
            raise AircraftFileError(
                f"{file.name} has been changed meanwhile, in another window or an editor: nothing was written. What is "
                "there now has been read; look at it, then write again."
            )
        return _with_values(file, before, values)


def _put(text: str, values: Mapping[str, Any]) -> str:
    import tomlkit

    document: Any = tomlkit.parse(text)
    for place, value in values.items():
        put_at(document, place, value)
    return tomlkit.dumps(document)


def _in_order(file: Path, text: str, place: str, order: InOrder) -> str:
    """The text with the parts of a place in another order; those of a list within brackets too."""
    try:
        return reordered(text, place, order)
    except ValueError:
        there = at_place(tables_of(file, text), place)
        if not isinstance(there, list):
            raise
        numbers = [int(number) for number in order]
        return _put(text, {place: Rows((there[number] for number in numbers), numbers)})


def _with_values(file: Path, before: str, values: Mapping[str, Any]) -> Aircraft:
    from tomlkit.exceptions import TOMLKitError

    there = tables_of(file, before)
    orders = {place: value for place, value in values.items() if isinstance(value, InOrder)}
    values = {place: value for place, value in values.items() if place not in orders}
    try:
        after = _put(before, values) if values else before
        for place, order in orders.items():
            was, after = at_place(tables_of(file, after), place), _in_order(file, after, place, order)
            if not stands_so(was, at_place(tables_of(file, after), place), order):
                raise ValueError
        written = tables_of(file, after)
    except (TOMLKitError, AircraftFileError, KeyError, IndexError, TypeError, ValueError):
        raise AircraftFileError(CANNOT.format(file.name)) from None
    if not all(holds(written, place, value) for place, value in values.items()) or harmed(
        there, written, [*values, *orders]
    ):
        raise AircraftFileError(CANNOT.format(file.name))
    airy = spaced(after, before)
    return _replaced(file, before, airy if tables_of(file, airy) == written else after)


@contextlib.contextmanager
def _alone(file: Path) -> Iterator[None]:
    """Hold off every other window that writes a file of the same folder, from the reading of it until it is written:
    else the later of two would put back what the first has changed. A drive or a system without such a lock has none.
    """
    with contextlib.ExitStack() as stack:
        if fcntl is not None:
            with contextlib.suppress(OSError):
                handle = os.open(file.resolve().parent, os.O_RDONLY)
                stack.callback(os.close, handle)
                fcntl.flock(handle, fcntl.LOCK_EX)
        yield


def put_back(file: Path, text: str, after: str) -> bool:
    """Write what a file held before a change, where it still holds what it held after that; whether it did.

    Raises `AircraftFileError` where it cannot be written.
    """
    with _alone(file):
        if text_of(file) != after:
            return False
        replace_file(file, text)
        return True


def _replaced(file: Path, before: str, after: str) -> Aircraft:
    """Put a new text in the file's place once it has been checked; line ends stay as they were."""
    if "\r\n" in before and before.count("\n") == before.count("\r\n"):
        after = after.replace("\r\n", "\n").replace("\n", "\r\n")
    from rotorkit.aircraft.model import Aircraft

    aircraft = checked(file, tables_of(file, after), after, Aircraft, f"{file.name} was left as it was.")
    replace_file(file, after)
    return aircraft


def replace_file(file: Path, text: str) -> None:
    """Write a file whole or not at all; what a link points to is replaced, not the link."""
    file = file.resolve()
    try:
        mark = codecs.BOM_UTF8 if file.exists() and file.read_bytes().startswith(codecs.BOM_UTF8) else b""
        handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    except OSError as problem:
        raise AircraftFileError(f"{file} cannot be written: {problem.strerror or problem}") from None
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(mark + text.encode("utf-8"))
            out.flush()
            os.fsync(out.fileno())
        if file.exists():
            os.chmod(name, file.stat().st_mode & 0o777)
        os.replace(name, file)
    except BaseException as problem:
        Path(name).unlink(missing_ok=True)
        if isinstance(problem, OSError):
            raise AircraftFileError(f"{file} cannot be written: {problem.strerror or problem}") from None
        raise


__all__ = [
    "AIRCRAFT_FILE",
    "AircraftFileError",
    "aircraft_of",
    "checked",
    "demo_folder",
    "load_aircraft",
    "load_toml",
    "put_back",
    "set_value",
    "set_values",
    "tables_of",
    "text_of",
    "whole_text_of",
]
