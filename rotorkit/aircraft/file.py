"""Reading and changing ``aircraft.toml``: errors point to the line, comments survive a change."""

from __future__ import annotations

import os
import re
import tempfile
import tomllib
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from rotorkit.aircraft.model import Aircraft
from rotorkit.entries import message_of

AIRCRAFT_FILE = "aircraft.toml"
Model = TypeVar("Model", bound=BaseModel)


class AircraftFileError(ValueError):
    """A file that cannot be read as it stands. The message gives, for each fault, the line and what to write."""


def load_aircraft(path: Path | str) -> Aircraft:
    """The aircraft in a file, or in the ``aircraft.toml`` of a folder.

    Raises `AircraftFileError` with every fault, its line and what to do.
    """
    file = Path(path)
    if file.is_dir():
        file = file / AIRCRAFT_FILE
    return checked(file, load_toml(file), Aircraft)


def load_toml(file: Path) -> dict[str, Any]:
    """A TOML file's tables, or a plain message."""
    try:
        return tomllib.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        raise AircraftFileError(f"there is no {file.name} in {file.parent}: make one with 'rotorkit new DIR'") from None
    except (OSError, UnicodeDecodeError) as problem:
        raise AircraftFileError(f"{file} cannot be read: {problem}") from None
    except tomllib.TOMLDecodeError as problem:
        raise AircraftFileError(
            f'{file.name}: {problem}. Text and quantities stand in quotes: radius = "12 ft 6 in"'
        ) from None


def checked(file: Path, data: dict[str, Any], model: type[Model]) -> Model:
    """The model of a file's tables; every fault in one message, each with its line."""
    try:
        return model.model_validate(data)
    except ValidationError as problem:
        places = line_numbers(file.read_text(encoding="utf-8"))
        lines = []
        for error in problem.errors(include_url=False):
            where = [str(part) for part in error["loc"]]
            lines.append(f"{file.name}{_line(places, where)}: {in_words(where)} {message_of(error)}")
        raise AircraftFileError("\n".join(lines)) from None


def in_words(where: list[str]) -> str:
    """A place in the file as one would look for it: ``[main_rotor] radius``."""
    if len(where) == 1:
        return f"section [{where[0]}]"
    return f"[{'.'.join(where[:-1])}] {where[-1]}"


def line_numbers(text: str) -> dict[tuple[str, ...], int]:
    """The line of each table and key of a TOML text, by dotted place."""
    places: dict[tuple[str, ...], int] = {}
    table: tuple[str, ...] = ()
    counts: dict[tuple[str, ...], int] = {}
    for number, line in enumerate(text.splitlines(), 1):
        header = re.match(r"\s*(\[\[?)\s*([^\]]+?)\s*\]", line)
        if header:
            table = tuple(part.strip().strip("\"'") for part in re.findall(r'"[^"]*"|\'[^\']*\'|[^.]+', header[2]))
            if header[1] == "[[":
                counts[table] = counts.get(table, -1) + 1
                table = (*table, str(counts[table]))
            places.setdefault(table, number)
            continue
        key = re.match(r"\s*([A-Za-z0-9_\-\"'. ]+?)\s*=", line)
        if key:
            parts = tuple(part.strip().strip("\"'") for part in key[1].split("."))
            places.setdefault((*table, *parts), number)
    return places


def _line(places: dict[tuple[str, ...], int], where: list[str]) -> str:
    for length in range(len(where), 0, -1):
        found = places.get(tuple(where[:length]))
        if found:
            return f" line {found}"
    return ""


def set_value(path: Path | str, place: str, text: str) -> Aircraft:
    """Change one value of the aircraft file, keep every comment, and return the aircraft as it is then.

    Arguments: path, the file or its folder; place, dotted (``"main_rotor.chord"``); text, the new value as typed.
    The new file is checked before it takes the old one's place, in one step; a bad value leaves the file as it was.
    """
    import tomlkit

    file = Path(path)
    if file.is_dir():
        file = file / AIRCRAFT_FILE
    document: Any = tomlkit.parse(file.read_text(encoding="utf-8"))
    *tables, key = place.split(".")
    table = document
    for name in tables:
        if name not in table:
            raise AircraftFileError(f"{file.name} has no section [{'.'.join(tables)}]")
        table = table[name]
    table[key] = text
    changed = tomlkit.dumps(document)
    aircraft = checked_text(file, changed)
    replace_file(file, changed)
    return aircraft


def checked_text(file: Path, text: str) -> Aircraft:
    """The aircraft in a text that is to become a file."""
    try:
        return Aircraft.model_validate(tomllib.loads(text))
    except ValidationError as problem:
        faults = [f"{in_words([str(p) for p in e['loc']])} {message_of(e)}" for e in problem.errors(include_url=False)]
        raise AircraftFileError(f"{file.name} was left as it was: " + "; ".join(faults)) from None


def replace_file(file: Path, text: str) -> None:
    """Write a file whole or not at all."""
    handle, name = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as out:
            out.write(text)
            out.flush()
            os.fsync(out.fileno())
        if file.exists():
            os.chmod(name, file.stat().st_mode & 0o777)
        os.replace(name, file)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def demo_folder() -> Path:
    """The folder of the invented demo aircraft, with its readings."""
    return Path(__file__).resolve().parent.parent / "demo"


__all__ = ["AIRCRAFT_FILE", "AircraftFileError", "checked", "demo_folder", "load_aircraft", "load_toml", "set_value"]
