"""What takes long to work out and is the same for every program: kept in the user's own cache folder, safe to delete.

What stands there is either the same for everybody, or a text under the hash of all that it rests on (`remembered`): of
it no aircraft, reading or person can be told. What is kept is sealed, so that a file that was damaged or changed is
thrown away and worked out again; and it is used only where nobody else may write.
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
from functools import cache
from pathlib import Path
from typing import TypeVar

Thing = TypeVar("Thing")
SEAL = "seal.json"
MOST_NOTED = 1000
MOST_REMEMBERED = 2000
LIBRARIES = ("numpy", "scipy", "pint", "pydantic", "msgspec")
"""What a figure is worked with, and an entry looked at, besides our own code."""


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
        _thin(file.parent, MOST_NOTED)


@cache
def our_code() -> str:
    """What a figure was worked by: a hash over each of our own files with its size and its last change, and over the
    versions of Python and of the libraries that do arithmetic. Another program has another."""
    from importlib.metadata import version

    ours = Path(__file__).parents[1]
    found = [
        sys.modules["rotorkit"].__version__,
        sys.version,
        sys.platform,
        *(f"{name} {version(name)}" for name in LIBRARIES),
    ]
    for folder, inner, names in os.walk(ours):
        inner[:] = sorted(one for one in inner if one not in ("__pycache__", "shipped"))
        for name in sorted(names):
            with suppress(OSError):  # an editor's own file, gone again
                about = os.stat(os.path.join(folder, name))
                found.append(f"{folder} {name} {about.st_size} {about.st_mtime_ns}")
    return hashlib.sha256("\n".join(found).encode("utf-8")).hexdigest()


def _sealed(of: str, text: str) -> str:
    return hashlib.sha256(f"{of}\0{text}".encode()).hexdigest()


def remembered(what: str, of: str) -> str | None:
    """The text that was kept for what another text holds all of; None where there is none, or not as it was kept.

    what: its sort ("outcomes"); of: everything that it rests on.
    """
    file = _noted(what, of)
    if file is None:
        return None
    try:
        seal, _, text = file.read_bytes().decode("utf-8").partition("\n")
    except (OSError, UnicodeDecodeError):
        return None
    return text if seal == _sealed(of, text) else None


def remember(what: str, of: str, text: str) -> None:
    """Keep a text for the next program; see `remembered`. Nothing is said where it cannot be kept."""
    file = _noted(what, of)
    if file is None:
        return
    with suppress(OSError):
        file.parent.mkdir(mode=0o700, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=".", dir=file.parent)
        try:
            with os.fdopen(handle, "wb") as out:
                out.write(f"{_sealed(of, text)}\n{text}".encode())
            os.replace(name, file)
        except OSError:  # no room for it, and no half of it is left
            os.unlink(name)
            raise
        _thin(file.parent, MOST_REMEMBERED)


def _thin(folder: Path, most: int) -> None:
    """The oldest thrown away of what is more than there may be."""
    names = os.listdir(folder)
    if len(names) > most:
        for old in sorted((folder / name for name in names), key=lambda one: one.stat().st_mtime)[:-most]:
            old.unlink()
