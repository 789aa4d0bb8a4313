"""The notebooks that this copy carries, and those of a working folder: added where missing, renewed where unchanged."""

from __future__ import annotations

import hashlib
import json
import os
import secrets
import shutil
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rotorkit.sheets.catalogue import sheets_in_order

__all__ = [
    "FIRST_NOTEBOOK",
    "Renewed",
    "WorkFolderError",
    "as_shipped",
    "copy_notebook",
    "keep_apart_name",
    "rename_where_free",
    "renew_notebooks",
    "shipped_notebooks",
    "source_hash",
    "unused_name",
]

FIRST_NOTEBOOK = "start_here.ipynb"
SHIPPED_AS = "shipped_as"
"""The key in a shipped notebook's metadata that holds the hash of its cells as they were shipped."""
EARLIER_NAMES = {
    "00_start_here.ipynb": "start_here.ipynb",
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
            said.append(f"Notebooks added: {', '.join(self.added)}.")
        if self.renewed:
            said.append(f"Notebooks renewed (you had not changed them): {', '.join(self.renewed)}.")
        if self.kept:
            both = ", ".join(f"{name} as {other}" for name, other in zip(self.kept, self.aside, strict=True))
            said.append(f"Notebooks that you had changed are kept beside the new ones: {both}.")
        return said


def shipped_notebooks() -> dict[str, Path]:
    """The notebooks that this copy of rotorkit carries, the one to begin with first, then in the order of the sheets;
    by their names in a working folder (``proof/hover.ipynb`` for one in a folder of its own)."""
    order = {f"{sheet.name}.ipynb": place for place, sheet in enumerate(sheets_in_order(), 1)} | {FIRST_NOTEBOOK: 0}
    for place in (_PACKAGE / "shipped" / "notebooks", _PACKAGE.parent / "notebooks"):
        if found := [path for path in place.rglob("*.ipynb") if ".ipynb_checkpoints" not in path.parts]:
            names = {path.relative_to(place).as_posix(): path for path in found}
            return dict(sorted(names.items(), key=lambda one: ("/" in one[0], order.get(one[0], len(order)), one[0])))
    raise WorkFolderError("this copy of rotorkit carries no notebooks: install it again")


def source_hash(notebook: dict[str, Any]) -> str:
    """The hash of what a notebook's cells say, whatever was run in it or shown by it since."""
    cells = [[one.get("cell_type"), "".join(one.get("source", []))] for one in notebook.get("cells", [])]
    return hashlib.sha256(json.dumps(cells, ensure_ascii=False).encode("utf-8", "surrogatepass")).hexdigest()


def as_shipped(path: Path) -> bool:
    """Whether a notebook is as some version of rotorkit shipped it: what its cells say gives the hash that it bears.

    One shipped before they bore a hash is known by a list. A file that cannot be read is not as shipped.
    """
    try:
        notebook = json.loads(path.read_text(encoding="utf-8"))
        found = source_hash(notebook)
        return found == notebook["metadata"].get("rotorkit", {}).get(SHIPPED_AS) or found in _earlier_hashes()
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return False


def _earlier_hashes() -> set[str]:
    text = (_PACKAGE / "folder" / "earlier_notebooks.txt").read_text(encoding="utf-8")
    return {line.split()[0] for line in text.splitlines() if line and not line.startswith("#")}


def copy_notebook(source: Path, place: Path) -> None:
    """A shipped notebook into a working folder, with the hash of what it says. Refuses to take another file's place."""
    notebook = json.loads(source.read_text(encoding="utf-8"))
    notebook["metadata"]["rotorkit"] = {SHIPPED_AS: source_hash(notebook)}
    place.parent.mkdir(exist_ok=True)
    new = place.parent / unused_name()
    try:
        new.write_text(json.dumps(notebook, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
        rename_where_free(new, place)
    finally:
        new.unlink(missing_ok=True)


def renew_notebooks(folder: Path) -> Renewed:
    """Bring a working folder's notebooks up to this version: what is missing is added, what the builder has not changed
    is renewed, what they have changed is kept beside the new one under another name.

    Raises `WorkFolderError` where the folder cannot be written.
    """
    added: list[str] = []
    renewed: list[str] = []
    kept: list[str] = []
    aside: list[str] = []
    earlier = {new: old for old, new in EARLIER_NAMES.items()}
    try:
        for name, source in shipped_notebooks().items():
            place = folder / name
            before = folder / earlier[name] if name in earlier else None
            if before is not None and os.path.lexists(before) and not os.path.lexists(place):
                if as_shipped(before):
                    before.unlink()
                    renewed.append(name)
                else:  # under its earlier name it is out of the way already
                    kept.append(name)
                    aside.append(before.name)
                copy_notebook(source, place)
                continue
            if not os.path.lexists(place):
                copy_notebook(source, place)
                added.append(name)
                continue
            now = source_hash(json.loads(source.read_text(encoding="utf-8")))
            try:
                there = source_hash(json.loads(place.read_text(encoding="utf-8")))
            except (OSError, ValueError, AttributeError, TypeError):
                continue  # whatever it is, it is not ours to touch
            if there == now:
                continue
            if as_shipped(place):
                place.unlink()
                renewed.append(name)
            elif _bears(place) in ("", now):  # changed since this version shipped it: the builder's own
                continue
            else:
                other = keep_apart_name(place)
                rename_where_free(place, other)
                kept.append(name)
                aside.append(other.name)
            copy_notebook(source, place)
    except OSError as problem:
        raise WorkFolderError(f"the notebooks cannot be put into {folder}: {problem.strerror or problem}") from None
    return Renewed(tuple(added), tuple(renewed), tuple(kept), tuple(aside))


def _bears(place: Path) -> str:
    """The hash that a notebook bears from the version that shipped it; empty for one that bears none."""
    metadata = json.loads(place.read_text(encoding="utf-8")).get("metadata", {})
    return str(metadata.get("rotorkit", {}).get(SHIPPED_AS, ""))


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
        raise WorkFolderError(f"{place} has come to stand there in the meantime, and is left as it is") from None
    except OSError:  # a file system without links
        if place.exists():
            raise WorkFolderError(f"{place} has come to stand there in the meantime, and is left as it is") from None
        shutil.move(source, place)
        return
    source.unlink()
