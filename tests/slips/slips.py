"""Deliberate slips: what stands in the files of this folder, found in the package.

A file of slips is a layer. A heading names a module by its file's name, and the test files in reach; each slip below it
is a name, the text as it stands and the text with the slip::

    == push_pull.py | test_push_pull.py test_gere.py

    Euler's load with one factor of pi
    - return pi**2 * elastic_modulus
    + return pi * elastic_modulus
    = why no test can tell the two apart, where none can

A module may be moved to another room, and a test file too: both are looked for by name. White space counts as white
space however it is broken. The old text has to stand once and no more in the files of that name; else that is a fault
of the slip. A slip that leaves an indented line must be written with the indent that the next line needs.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

__all__ = ["PACKAGE", "TESTS", "Slip", "SlipError", "files_named", "read_slips", "tests_known", "write_tests_known"]

FOLDER = Path(__file__).resolve().parent
TESTS = FOLDER.parent
PACKAGE = TESTS.parent / "rotorkit"
KNOWN = FOLDER / "caught_by.tsv"
"""A slip's file, its name and the test that last caught it."""


class SlipError(ValueError):
    """A slip that does not fit the package as it is."""


@dataclass
class Slip:
    """One deliberate slip."""

    layer: str
    file: str
    name: str
    tests: tuple[str, ...]
    old: list[str] = field(default_factory=list)
    new: list[str] = field(default_factory=list)
    equivalent: str = ""

    def where(self) -> tuple[Path, int, int, str]:
        """The module's file, from where to where the old text stands, and the source; `SlipError` if the old text is
        not there just once."""
        words = r"\s+".join(re.escape(part) for part in " ".join(self.old).split())
        files = files_named(PACKAGE, self.file)
        found = [(path, m, text) for path in files for text in [_text(path)] for m in re.finditer(words, text)]
        if len(found) != 1:
            raise SlipError(f"{self.layer}, {self.file}, {self.name}: {self._fault(len(files), len(found), words)}")
        path, match, text = found[0]
        return path, match.start(), match.end(), text

    def place(self) -> tuple[Path, str]:
        """The module's file, and its source with the slip made; `SlipError` as of `where`."""
        path, start, end, text = self.where()
        return path, text[:start] + "\n".join(self.new) + text[end:]

    def _fault(self, files: int, times: int, words: str) -> str:
        if times:
            return f"its old text stands {times} times, and must stand once: write more of it"
        elsewhere = [p for p in sorted(PACKAGE.rglob("*.py")) if re.search(words, p.read_text("utf-8"))]
        there = ", ".join(path.relative_to(PACKAGE).as_posix() for path in elsewhere) or "nowhere in the package"
        return f"its old text is not in {files} files of that name; it stands in: {there}"

    def test_files(self) -> list[Path]:
        """The test files in reach, and the module itself, whose docstrings hold examples."""
        found = []
        for name in self.tests:
            there = [path for path in files_named(TESTS, name) if "benchmarks" not in path.parts]
            if not there:
                raise SlipError(f"{self.layer}, {self.file}: no test file is called {name}")
            found += there
        return found


def tests_known() -> dict[tuple[str, str], str]:
    """The test that caught a slip when it was last run, by the slip's file and name: it is asked first.

    It is no more than an order: where that test is gone or passes, all tests in reach run.
    """
    lines = KNOWN.read_text("utf-8").splitlines() if KNOWN.exists() else []
    rows = [line.split("\t") for line in lines if line.count("\t") == 2]
    return {(file, name): test for file, name, test in rows}


def write_tests_known(known: dict[tuple[str, str], str]) -> None:
    """Keeps them for the next run, of the slips that there are."""
    own = [(slip.file, slip.name) for slip in read_slips()]
    KNOWN.write_text(
        "".join(f"{file}\t{name}\t{known[file, name]}\n" for file, name in own if (file, name) in known), "utf-8"
    )


def files_named(folder: Path, name: str) -> list[Path]:
    """Every file of that name under a folder; the name may have folders before it."""
    parts = Path(name).parts
    return [path for path in _python_files(folder) if path.parts[-len(parts) :] == parts]


@cache
def _text(path: Path) -> str:
    return path.read_text("utf-8")


@cache
def _python_files(folder: Path) -> list[Path]:
    return sorted(folder.rglob("*.py"))


def read_slips(folder: Path = FOLDER) -> list[Slip]:
    """All slips, layer by layer, in the order of the files."""
    return [slip for path in sorted(folder.glob("*.slips")) for slip in _of_file(path)]


def _of_file(path: Path) -> list[Slip]:
    found: list[Slip] = []
    layer = path.stem.partition("_")[2]
    file, tests, slip = "", tuple[str, ...](), None
    for number, line in enumerate(path.read_text("utf-8").splitlines(), 1):
        mark, text = line[:2], line[2:]
        if not line.strip() or line.startswith("#"):
            slip = None
        elif line.startswith("=="):
            file, _, names = (part.strip() for part in line[2:].partition("|"))
            tests = tuple(names.split())
        elif mark in ("- ", "+ ", "= ") and slip is not None:
            if mark == "= ":
                slip.equivalent = text
            else:
                (slip.old if mark == "- " else slip.new).append(text)
        elif file and slip is None:
            slip = Slip(layer, file, line.strip(), tests)
            found.append(slip)
        else:
            raise SlipError(f"{path.name}, line {number}: is neither a heading nor a part of a slip: {line!r}")
    return found
