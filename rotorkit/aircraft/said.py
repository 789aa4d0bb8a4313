"""What each figure of the aircraft file is, in words: taken from the comments of the blank file, where they stand once.

A figure is called by its place: "main_rotor.radius", "cables.first_cable.length". Blocks that a builder adds under
names of their own are spoken of as the blank file speaks of its first one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache
from pathlib import Path

_FIRST = {
    "cables": "first_cable",
    "push_pull_tubes": "first_tube",
    "belts": "first_belt",
    "shafts": "first_shaft",
    "couplings": "first_coupling",
    "bearings": "first_bearing",
    "links": "first_link",
    "rods": "first_rod",
    "instruments": "protractor",
    "travel": "pedals",
    "recorders": "panel",
}
"""How the blank file calls the first block of those that bear the builder's own names."""
_HEADER = re.compile(r"^(?:# ?)?\[+([\w.]+)\]+")
_KEY = re.compile(r"^(?:# ?)?(\w+) = ((?:\"[^\"]*\"|\[[^\]]*\]|\{[^}]*\}|[^#])*)(?:#\s*(.*))?$")
_MORE = re.compile(r"^#?\s{12,}#\s+(.*)$")
_FOR_EXAMPLE = re.compile(r",? for example .*$")


def blank_file() -> str:
    """The text of the aircraft file that a builder fills in."""
    return (Path(__file__).resolve().parent.parent / "blank" / "aircraft.toml").read_text(encoding="utf-8")


@cache
def _comments() -> dict[str, str]:
    """The comment beside each key of the blank file, by its place, with the lines that carry it on."""
    found: dict[str, str] = {}
    table = place = ""
    for line in blank_file().splitlines():
        if header := _HEADER.match(line):
            table, place = header[1], ""
        elif (more := _MORE.match(line)) and place:
            found[place] = f"{found[place]} {more[1].strip()}".strip()
        elif key := _KEY.match(line):
            place = f"{table}.{key[1]}"
            found[place] = (key[3] or "").strip()
        else:
            place = ""
    return found


def _in_the_blank(place: str) -> list[str]:
    """How the blank file may call a place: blocks by their first one; the tail rotor's by the main rotor's."""
    exact, parts = place, place.split(".")
    for i, part in enumerate(parts[:-1]):
        if part in _FIRST and i + 1 < len(parts) - 1:
            parts[i + 1] = _FIRST[part]
    named = ".".join(parts)
    inline = [named.rpartition(".")[0]] if ".time." in named else []  # a table on one line has one comment
    return [exact, named, named.replace("tail_rotor.", "main_rotor.", 1), *inline]


def figure_words(place: str) -> str:
    """What a figure is, as the blank file explains it; empty where it does not."""
    comments = _comments()
    found = next((comments[one] for one in _in_the_blank(place) if comments.get(one)), "")
    if place.startswith("instruments.") and place not in comments:
        found = _FOR_EXAMPLE.sub("", found)  # the unit of another instrument
    return found.removeprefix("optional: ").removeprefix("optional, ")


def figure_title(place: str) -> str:
    """A figure's name with the section it stands in: "main rotor: radius", "pedal left: length"."""
    table, _, key = place.rpartition(".")
    parts = [part for part in table.split(".") if part not in _FIRST]
    return f"{' '.join(parts)}: {key}".replace("_", " ") if parts else key.replace("_", " ")


def in_the_manual(place: str) -> str:
    """A figure in a sentence: its name, what it is, and where it is written."""
    table, _, key = place.rpartition(".")
    what = figure_words(place)
    return f"{figure_title(place)}{f' ({what})' if what else ''}, written as {key} in [{table}]"


def short_places(places: Sequence[str]) -> str:
    """Figures by section: "[main_rotor] blades, radius; [drive] efficiency"."""
    by_table: dict[str, list[str]] = {}
    for place in places:
        table, _, key = place.rpartition(".")
        by_table.setdefault(table, []).append(key)
    return "; ".join(f"[{table}] {', '.join(keys)}" for table, keys in by_table.items())


def places_in_words(places: Sequence[str]) -> str:
    """Figures by section as a person calls them: "main rotor: blades, radius; drive: efficiency"."""
    by_table: dict[str, list[str]] = {}
    for place in places:
        table, _, key = figure_title(place).rpartition(": ")
        by_table.setdefault(table, []).append(key)
    return "; ".join(f"{table}: {', '.join(keys)}" if table else ", ".join(keys) for table, keys in by_table.items())


def missing_figures(places: Sequence[str]) -> str:
    """The sentence of a job that lacks figures of the aircraft file."""
    one = len(places) == 1
    start = "one figure" if one else f"{len(places)} figures"
    return (
        f"the aircraft file does not give {start} that this job needs: {'; '.join(map(in_the_manual, places))}. "
        f"Take {'it' if one else 'them'} from your kit manual"
    )
