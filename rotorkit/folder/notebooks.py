"""The notebooks that this copy carries, and those of a working folder: added where missing, renewed where unchanged."""

from __future__ import annotations

import functools
import hashlib
import json
import os
import secrets
import shutil
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rotorkit.edges.received import bytes_of
from rotorkit.sheets.catalogue import sheets_in_order

FIRST_NOTEBOOK = "home.ipynb"
SHIPPED_AS = "shipped_as"
"""The key in a shipped notebook's metadata that holds the hash of its cells as they were shipped."""
EARLIER_NAMES = {
    "00_start_here.ipynb": "home.ipynb",
    "start_here.ipynb": "home.ipynb",
    "01_blade_angles.ipynb": "blade_angles.ipynb",
    "02_cable_tension.ipynb": "cable_tension.ipynb",
    "03_hover_margin.ipynb": "hover_margin.ipynb",
    "04_pitch_rigging.ipynb": "pitch_rigging.ipynb",
    "05_cyclic_range.ipynb": "cyclic_range.ipynb",
    "06_control_travel.ipynb": "control_travel.ipynb",
    "07_control_corners.ipynb": "control_corners.ipynb",
    "08_cable_rigging.ipynb": "cable_rigging.ipynb",
    "09_tension_trend.ipynb": "tension_trend.ipynb",
    "10_push_pull_tubes.ipynb": "push_pull_tubes.ipynb",
    "11_anti_torque_margin.ipynb": "anti_torque_margin.ipynb",
    "12_level_flight.ipynb": "level_flight.ipynb",
    "13_autorotation.ipynb": "autorotation.ipynb",
}
"""What the notebooks were called before their order moved to the catalogue."""
LARGEST_NOTEBOOK = 100_000_000
"""Bytes of a notebook with all that was shown in it."""
MOST_NAMED = 5
"""Notebooks that are named in a line about them: of more only how many there are, and where."""
_PACKAGE = Path(__file__).resolve().parent.parent


class WorkFolderError(ValueError):
    """A working folder that cannot be made or used: what is in the way, and what to do."""


@dataclass(frozen=True)
class Renewed:
    """What was done to a working folder's notebooks, by their names. added: they were missing; renewed: as they had
    been shipped, and replaced by the present ones; kept: changed by the builder, and left beside the present ones;
    aside: the names under which those are kept.
    """

    added: tuple[str, ...] = ()
    renewed: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()
    aside: tuple[str, ...] = ()

    @property
    def sentences(self) -> list[str]:
        """What was done, in words; empty where nothing was."""
        said = []
        if self.added:
            said.append(f"Notebooks added: {_listed(self.added)}.")
        if self.renewed:
            said.append(f"Notebooks renewed (you had not changed them): {_listed(self.renewed)}.")
        if self.kept:
            both = ", ".join(f"{name} as {other}" for name, other in zip(self.kept, self.aside, strict=True))
            said.append(f"Notebooks that you had changed are kept beside the new ones: {both}.")
        return said


def _listed(names: Sequence[str]) -> str:
    """Notebooks by name where they are few, else how many lie where."""
    if len(names) <= MOST_NAMED:
        return ", ".join(names)
    places = Counter(name.rpartition("/")[0] for name in names)
    said = [f"{count} in {f'its folder {place}' if place else 'the working folder'}" for place, count in places.items()]
    return f"{len(names)}, {', '.join(said)}"


def shipped_notebooks() -> dict[str, Path]:
    """The notebooks that this copy of rotorkit carries, the one to begin with first, then in the order of the sheets;
    by their names in a working folder (``proof/hover.ipynb`` for one in a folder of its own)."""
    order = {f"{sheet.name}.ipynb": place for place, sheet in enumerate(sheets_in_order(), 1)} | {FIRST_NOTEBOOK: 0}
    for place in (_PACKAGE / "shipped" / "notebooks", _PACKAGE.parent / "notebooks"):
        if found := [path for path in place.rglob("*.ipynb") if ".ipynb_checkpoints" not in path.parts]:
            names = {path.relative_to(place).as_posix(): path for path in found}
            return dict(sorted(names.items(), key=lambda one: ("/" in one[0], order.get(one[0], len(order)), one[0])))
    raise WorkFolderError("this copy of rotorkit has no notebooks: install it again")


def source_hash(notebook: dict[str, Any]) -> str:
    """The hash of what a notebook's cells say, whatever was run in it or shown by it since. A cell that says nothing
    does not count: running the last cell adds one."""
    cells = [[one.get("cell_type"), "".join(one.get("source", []))] for one in notebook.get("cells", [])]
    said = json.dumps([cell for cell in cells if cell[1].strip()], ensure_ascii=False)
    return hashlib.sha256(said.encode("utf-8", "surrogatepass")).hexdigest()


def as_shipped(path: Path) -> bool:
    """Whether a notebook is as some version of rotorkit shipped it: what its cells say gives the hash that it bears.

    One shipped before they bore a hash is known by a list. A file that cannot be read is not as shipped.
    """
    there = _there(path)
    return there is not None and there.as_shipped


class Origin:
    """What an opened notebook is: SHIPPED, one of this version, to the letter; CHANGED, one of rotorkit's that says
    something else; OTHER, anybody's."""

    SHIPPED = "shipped"
    CHANGED = "changed"
    OTHER = "other"


def origin_of(notebook: dict[str, Any], path: str, bears: bool = False) -> str:
    """What an opened notebook is, by what its cells say alone.

    Arguments: notebook, with its cells; path, in the working folder; bears, whether it says of itself that rotorkit
    shipped it: then it is rotorkit's, changed, where its cells are not those of this version.
    """
    if source_hash(notebook) in _shipped_now():
        return Origin.SHIPPED
    return Origin.CHANGED if bears or path in shipped_notebooks() else Origin.OTHER


@functools.cache
def _shipped_now() -> frozenset[str]:
    """The hashes of the notebooks that this copy carries."""
    return frozenset(source_hash(json.loads(one.read_text(encoding="utf-8"))) for one in shipped_notebooks().values())


@dataclass(frozen=True)
class _There:
    """A notebook of a working folder. says: the hash of its cells; bears: that from the version that shipped it, empty
    where it bears none."""

    says: str
    bears: str

    @property
    def as_shipped(self) -> bool:
        return self.says == self.bears or self.says in _earlier()


def _there(path: Path) -> _There | None:
    """What stands in a notebook's place; None where it is no notebook that can be read."""
    try:
        notebook = json.loads(bytes_of(path, LARGEST_NOTEBOOK).decode("utf-8"))
        bears = notebook["metadata"].get("rotorkit", {})
        return _There(source_hash(notebook), str(bears.get(SHIPPED_AS, "")) if isinstance(bears, dict) else "")
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None


@functools.cache
def _earlier() -> dict[str, str]:
    """The names of the notebooks that were shipped before they bore a hash, by the hash of what they said."""
    text = (_PACKAGE / "folder" / "earlier_notebooks.txt").read_text(encoding="utf-8")
    lines = [line.split() for line in text.splitlines() if line and not line.startswith("#")]
    return {line[0]: line[1] for line in lines}


def copy_notebook(source: Path, place: Path, instead: bool = False) -> None:
    """A shipped notebook into a working folder, with the hash of what it says. Refuses to take another file's place,
    unless it is to stand there instead."""
    notebook = json.loads(source.read_text(encoding="utf-8"))
    notebook["metadata"]["rotorkit"] = {SHIPPED_AS: source_hash(notebook)}
    place.parent.mkdir(exist_ok=True)
    new = place.parent / unused_name()
    try:
        new.write_text(json.dumps(notebook, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
        if instead:
            os.replace(new, place)
        else:
            rename_where_free(new, place)
    finally:
        new.unlink(missing_ok=True)


def renew_notebooks(folder: Path) -> Renewed:
    """Bring a working folder's notebooks up to this version: what is missing is added, what the builder has not changed
    is renewed, what they have changed is kept beside the new one under another name. A file that was never one of the
    shipped ones stays as it is, also under one of their names.

    Raises `WorkFolderError` where the folder cannot be written.
    """
    done: dict[str, list[str]] = {"added": [], "renewed": [], "kept": [], "aside": []}
    try:
        for name, source in shipped_notebooks().items():
            place = folder / name
            earlier = {
                folder / old: there for old in _earlier_names(name) if (there := _there(folder / old)) is not None
            }
            if os.path.lexists(place):
                _renew(name, source, place, done)
                continue
            copy_notebook(source, place)
            if not earlier:
                done["added"].append(name)
            for before, found in earlier.items():
                if found.as_shipped:
                    before.unlink()
                    if name not in done["renewed"]:
                        done["renewed"].append(name)
                else:  # under its earlier name it is out of the way already
                    done["kept"].append(name)
                    done["aside"].append(before.name)
    except OSError as problem:
        raise WorkFolderError(
            f"the notebooks of {folder} are not all those of this version, and the missing ones cannot be written: "
            f"{problem.strerror or problem}. Make the folder writable, or open a copy of it."
        ) from None
    return Renewed(**{what: tuple(names) for what, names in done.items()})


def _earlier_names(name: str) -> list[str]:
    """What a shipped notebook was called before."""
    return [old for old, new in EARLIER_NAMES.items() if new == name]


def _renew(name: str, source: Path, place: Path, done: dict[str, list[str]]) -> None:
    """Renew the notebook in a shipped one's place, or keep it apart, or leave it."""
    now = source_hash(json.loads(source.read_text(encoding="utf-8")))
    there = _there(place)
    if there is None or there.says == now or there.bears == now:
        return  # no notebook at all, the present one, or the present one as the builder changed it
    if there.as_shipped:
        copy_notebook(source, place, instead=True)
        done["renewed"].append(name)
    elif there.bears or name in _earlier().values():
        other = keep_apart_name(place)
        rename_where_free(place, other)
        copy_notebook(source, place)
        done["kept"].append(name)
        done["aside"].append(other.name)


def keep_apart_name(place: Path) -> Path:
    """A free name beside a file for what its owner changed: ``blade_angles (yours).ipynb``."""
    number = 1
    while True:
        of = "yours" if number == 1 else f"yours {number}"
        other = place.with_name(f"{place.stem} ({of}){place.suffix}")
        if not os.path.lexists(other):
            return other
        number += 1


def unused_name() -> str:
    """A hidden name that nobody else uses."""
    return f".rotorkit-{secrets.token_hex(6)}"


def rename_where_free(source: Path, place: Path) -> None:
    """Move a file, refusing where one has come to stand there in the meantime."""
    try:
        os.link(source, place)  # unlike a rename, a link never takes another file's place
    except FileExistsError:
        raise WorkFolderError(f"{place} appeared there in the meantime and is left as it is") from None
    except OSError:  # a file system without links
        if place.exists():
            raise WorkFolderError(f"{place} appeared there in the meantime and is left as it is") from None
        shutil.move(source, place)
        return
    source.unlink()
