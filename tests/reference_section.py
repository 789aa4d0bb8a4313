"""The README's reference section, from the code itself: `python -m tests.reference_section` or `make reference`.

A test holds the two together, so that the section cannot fall behind.
"""

import importlib
import inspect
import pkgutil
import re
from pathlib import Path
from typing import Any

import rotorkit
from rotorkit.quantities import KINDS, kind_of, unit_label
from rotorkit.sheets import sheet_names, sheet_type

README = Path(__file__).resolve().parent.parent / "README.md"
BEGIN, END = "<!-- reference: begin (written by `make reference`) -->", "<!-- reference: end -->"
# What a user calls comes first; rooms that only the rooms above them use are left out.
FIRST = ["quantities", "judging", "formula", "aircraft", "sheets", "folder", "notebook", "pictures"]
INSIDE = {"cli", "__main__", "edges", "moved", "sources"}


def rooms() -> list[str]:
    """The rooms with public names: first those that everything rests on, then the others by their letters."""
    names = {module.name for module in pkgutil.iter_modules(rotorkit.__path__)} - INSIDE
    return [*(name for name in FIRST if name in names), *sorted(names - set(FIRST))]


def public(room: str) -> dict[str, Any]:
    """What a room offers to be called: its functions, formulas and classes, by name."""
    module = importlib.import_module(f"rotorkit.{room}")
    found = {name: getattr(module, name) for name in module.__all__}
    return {
        name: thing
        for name, thing in found.items()
        if callable(thing) and kind_of(thing) is None and not isinstance(thing, (str, float)) and name != "Quantity"
    }


def first_sentence(text: str | None) -> str:
    """What a thing is: the first sentence of its text."""
    paragraph = " ".join((text or "").split("\n\n")[0].split())
    sentence = re.split(r"(?<=[a-z0-9)\"”`°])\. (?=[A-Z`]|\w+(?:, \w+)*: )", paragraph)[0].rstrip(".")
    return sentence.replace("``", "`").replace("|", "\\|")


def room_section(room: str) -> list[str]:
    module = importlib.import_module(f"rotorkit.{room}")
    by_text: dict[str, list[str]] = {}  # things with the same words share a row
    for name, thing in public(room).items():
        by_text.setdefault(first_sentence(inspect.getdoc(thing)), []).append(f"`{name}`")
    rows = [f"| {' '.join(names)} | {text} |" for text, names in by_text.items()]
    if not rows:
        return []
    intro = first_sentence(inspect.getdoc(module))
    return [
        f"### `rotorkit.{room}`",
        "",
        intro if intro.endswith("?") else f"{intro}.",
        "",
        "| name | what it is |",
        "| --- | --- |",
        *rows,
        "",
    ]


def kinds_section() -> list[str]:
    rows = []
    for name, annotation in KINDS.items():
        kind = kind_of(annotation)
        assert kind is not None
        us, metric = (unit_label(kind.shown(system), kind) or "-" for system in ("us", "metric"))
        rows.append(f"| `{name}` | {kind.bare_name} | {us} | {metric} | `{kind.example}` |")
    return [
        "### Kinds and their units",
        "",
        "| kind | what it is | shown (US) | shown (metric) | typed, for example |",
        "| --- | --- | --- | --- | --- |",
        *rows,
        "",
    ]


def sheets_section() -> list[str]:
    rows = [
        f"| `{name}` | {sheet_type(name).about.title} | {sheet_type(name).about.settles} |" for name in sheet_names()
    ]
    return ["### Sheets", "", "| name | title | what it settles |", "| --- | --- | --- |", *rows, ""]


def section() -> str:
    """The whole section, between its two marks."""
    lines = [*kinds_section(), *sheets_section(), *(line for room in rooms() for line in room_section(room))]
    return "\n".join([BEGIN, "", *lines, END])


def written(text: str) -> str:
    """A README's text with the section as it is today."""
    before, mark, rest = text.partition(BEGIN)
    _, end, after = rest.partition(END)
    assert mark, f"the README has no line {BEGIN}"
    assert end, f"the README has no line {END}"
    return before + section() + after


if __name__ == "__main__":
    README.write_text(written(README.read_text(encoding="utf-8")), encoding="utf-8")
