"""What takes long to work out and is the same for every program: kept in the user's own cache folder, safe to delete.

Nothing of an aircraft, a reading or a record stands there. What is kept is sealed, so that a file that was damaged or
changed is thrown away and worked out anew; and it is used only where nobody else may write.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sys
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import TypeVar

__all__ = ["cache_folder", "known", "note", "with_kept"]

Thing = TypeVar("Thing")
SEAL = "seal.json"
MOST_NOTED = 100


def cache_folder() -> Path | None:
    """The folder for what is kept; None where there is none that this user alone may write to."""
    try:
        if os.name == "nt":
            root = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
        elif sys.platform == "darwin":
            root = Path.home() / "Library" / "Caches"
        else:
            root = Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache")
        if not root.is_absolute():
            return None
        folder = root / "rotorkit"
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        if hasattr(os, "getuid"):
            about = folder.lstat()
            if folder.is_symlink() or about.st_uid != os.getuid() or about.st_mode & 0o022:
                return None
    except (OSError, RuntimeError):
        return None
    return folder


def with_kept(name: str, work: Callable[[Path | None], Thing]) -> Thing:
    """What `work` gives with a folder in which it finds what it kept there before; with none where nothing can be kept.

    name: of what is kept, with the versions on which it depends. It is used only as it was kept: each file's hash
    stands in its seal.
    """
    root = cache_folder()
    if root is None:
        return work(None)
    place = root / name
    if place.is_dir():
        if _is_whole(place):
            with suppress(Exception):  # kept by something that this program cannot read: worked out anew
                return work(place)
        shutil.rmtree(place, ignore_errors=True)
    try:
        made = Path(tempfile.mkdtemp(prefix=f"{name}.", dir=root))
    except OSError:
        return work(None)
    try:
        found = work(made)
        (made / SEAL).write_text(json.dumps(_hashes(made)), "utf-8")
        os.rename(made, place)  # another program may have been quicker: then theirs stands
    except OSError:
        return work(None)
    finally:
        shutil.rmtree(made, ignore_errors=True)
    return found


def _hashes(folder: Path) -> dict[str, str]:
    return {
        one.name: hashlib.sha256(one.read_bytes()).hexdigest() for one in sorted(folder.iterdir()) if one.name != SEAL
    }


def _is_whole(folder: Path) -> bool:
    try:
        return bool(json.loads((folder / SEAL).read_text("utf-8")) == _hashes(folder))
    except (OSError, ValueError):
        return False


def _noted(what: str, of: str) -> Path | None:
    root = cache_folder()
    return None if root is None else root / what / hashlib.sha256(of.encode("utf-8")).hexdigest()


def known(what: str, of: str) -> bool:
    """Whether it was noted before that something holds ("limits read well") of a text."""
    file = _noted(what, of)
    return file is not None and file.is_file()


def note(what: str, of: str) -> None:
    """Note that something holds of a text, for the next program."""
    file = _noted(what, of)
    if file is None:
        return
    with suppress(OSError):
        file.parent.mkdir(mode=0o700, exist_ok=True)
        file.touch()
        for old in sorted(file.parent.iterdir(), key=lambda one: one.stat().st_mtime)[:-MOST_NOTED]:
            old.unlink()
