"""The house rule: a room imports only from rooms below it, no two import each other, and the import is light."""

import ast
import subprocess
import sys
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "rotorkit"
FLOOR = {
    "edges": -1,
    "quantities": 0,
    "sources": 0.25,
    "judging": 0.5,
    "pictures": 0.75,
    "formula": 1,
    **dict.fromkeys(
        ["atmosphere", "rotor", "rigging", "drive", "engine", "mass", "balance", "vibration", "flight"],
        2,
    ),
    "aircraft": 3,
    "sheets": 4,
    "folder": 4.5,
    "teach": 4.75,
    **dict.fromkeys(["record", "dossier", "notebook"], 5),
    "lab": 5.5,
    "cli": 6,
    **dict.fromkeys(["__main__", "__init__", "moved"], 7),
}
# Loaded only inside the function that uses them, so that a command or an import answers at once.
HEAVY = ["sympy", "scipy", "matplotlib", "IPython", "ipywidgets", "nbformat", "jupyterlab", "typer"]


PINT_INSIDE = PACKAGE / "quantities" / "pint_inside.py"
PINT_PRIVATE = {"_units", "_magnitude", "_REGISTRY", "_dimensionality", "_get_base_units", "_to_magnitude"}


@cache
def parts_of(text: str) -> list[ast.AST]:
    """What these tests look at of a source, which is parsed once: imports, and what is named as pint's insides."""
    return [
        node
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Import | ast.ImportFrom)
        or (isinstance(node, ast.Attribute) and node.attr in PINT_PRIVATE)
        or (isinstance(node, ast.Constant) and node.value in PINT_PRIVATE)
    ]


def room_of(path: Path, package: Path = PACKAGE) -> str:
    return path.relative_to(package).parts[0].removesuffix(".py")


def rooms_imported(path: Path, package: Path = PACKAGE) -> set[str]:
    """The rooms that a file imports from, wherever in the file the import stands."""
    here = ("rotorkit", *path.relative_to(package).parts[:-1])
    found: set[str] = set()
    for node in parts_of(path.read_text(encoding="utf-8")):
        if isinstance(node, ast.Import):
            modules = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = [*here[: len(here) - node.level + 1]] if node.level else []
            module = ".".join([*base, *([node.module] if node.module else [])])
            modules = [f"{module}.{alias.name}" for alias in node.names] if module == "rotorkit" else [module]
        else:
            continue
        found |= {
            parts[1] for parts in (module.split(".") for module in modules) if parts[0] == "rotorkit" and parts[1:]
        }
    return found & FLOOR.keys() - {room_of(path, package)}


def faults(package: Path) -> list[str]:
    said = []
    below: dict[str, set[str]] = {}
    for path in sorted(package.rglob("*.py")):
        room, where = room_of(path, package), path.relative_to(package.parent)
        if room not in FLOOR:
            said.append(f"{where}: the room {room} has no floor; give it one in {Path(__file__).name}")
            continue
        imported = rooms_imported(path, package)
        below.setdefault(room, set()).update(imported)
        said += [
            f"{where}: imports {other}, a room above {room}" for other in sorted(imported) if FLOOR[other] > FLOOR[room]
        ]
        if room == "sheets" and drawn(path):
            said.append(f"{where}: draws a picture; a sheet gives a picture's data, and never knows who shows it")
    try:
        TopologicalSorter(below).prepare()
    except CycleError as circle:
        said.append("rooms import each other in a circle: " + " - ".join(circle.args[1]))
    return said


def test_rooms_import_only_from_rooms_below() -> None:
    assert faults(PACKAGE) == []


def modules_imported(path: Path, package: Path = PACKAGE) -> set[str]:
    """The files of the package that a file imports, wherever in it the import stands, also for the type checker."""
    here = list(path.relative_to(package.parent).with_suffix("").parts)
    inside = here if path.name == "__init__.py" else here[:-1]
    inside = inside[:-1] if path.name == "__init__.py" else inside
    found: set[str] = set()
    for node in parts_of(path.read_text(encoding="utf-8")):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = inside[: len(inside) - node.level + 1] if node.level else []
            module = ".".join([*base, *([node.module] if node.module else [])])
            for alias in node.names:
                whole = f"{module}.{alias.name}"
                found.add(whole if file_of(whole, package) else module)
    return {name for name in found if name.split(".")[0] == package.name and file_of(name, package)}


def file_of(module: str, package: Path = PACKAGE) -> Path | None:
    """The file of a module of the package; None where it is none."""
    place = package.parent.joinpath(*module.split("."))
    for file in (place.with_suffix(".py"), place / "__init__.py"):
        if file.is_file():
            return file
    return None


def circles(package: Path = PACKAGE) -> list[str]:
    """Files that import each other in a circle, within a room or across: one is told at a time."""
    below = {}
    for path in package.rglob("*.py"):
        below[path] = {file for name in modules_imported(path, package) if (file := file_of(name, package))} - {path}
    try:
        TopologicalSorter(below).prepare()
    except CycleError as circle:
        return [" - ".join(str(file.relative_to(package)) for file in circle.args[1])]
    return []


def test_no_file_imports_itself_by_a_detour() -> None:
    assert circles() == []


def drawn(path: Path) -> bool:
    """Whether a file uses what draws, not only the data of pictures."""
    names = {name for name in modules_imported(path) if name.startswith("rotorkit.pictures")}
    return bool(names - {"rotorkit.pictures.data"})


@pytest.mark.parametrize(
    ("room", "text", "fault"),
    [
        ("rigging/cable.py", "from rotorkit.sheets import base\n", "a room above rigging"),
        ("rigging/cable.py", "from ..sheets.base import Sheet\n", "a room above rigging"),
        ("rigging/cable.py", "def f():\n    import rotorkit.cli\n", "a room above rigging"),
        ("judging/limits.py", "from .. import aircraft\n", "a room above judging"),
        ("shed.py", "", "has no floor"),
    ],
)
def test_the_check_itself_sees_each_fault(tmp_path: Path, room: str, text: str, fault: str) -> None:
    path = tmp_path / "rotorkit" / room
    path.parent.mkdir(parents=True)
    path.write_text(text)
    assert any(fault in said for said in faults(tmp_path / "rotorkit"))


def test_the_check_itself_sees_a_circle_and_passes_what_is_right(tmp_path: Path) -> None:
    package = tmp_path / "rotorkit"
    package.mkdir()
    (package / "record.py").write_text("from rotorkit.judging.limits import Limit\n")
    (package / "dossier.py").write_text("from rotorkit import record\nfrom .pictures import dial\n")
    assert faults(package) == []
    (package / "record.py").write_text("from .dossier import write\n")
    assert any("circle" in said for said in faults(package))


def of_pint(text: str) -> list[str]:
    """What a source touches of pint's insides: attributes with an underscore, by whatever way, and pint by itself."""
    found = []
    for node in parts_of(text):
        if isinstance(node, ast.Attribute):
            found.append(f"{node.lineno}: .{node.attr}")
        if isinstance(node, ast.Constant):
            found.append(f"{node.lineno}: {node.value!r}")
        if isinstance(node, ast.Import) and any(name.name.partition(".")[0] == "pint" for name in node.names):
            found.append(f"{node.lineno}: import pint")
        if isinstance(node, ast.ImportFrom) and node.module and node.module.partition(".")[0] == "pint":
            found += [f"{node.lineno}: {name.name}" for name in node.names if name.name != "Quantity"]
    return found


def test_pints_insides_are_known_to_one_file() -> None:
    files = [path for path in sorted(PACKAGE.rglob("*.py")) if path != PINT_INSIDE]
    assert not {str(path): found for path in files if (found := of_pint(path.read_text(encoding="utf-8")))}
    assert of_pint(PINT_INSIDE.read_text(encoding="utf-8"))


@pytest.mark.parametrize(
    "text",
    ["x._units", 'hasattr(x, "_magnitude")', "import pint.util", "from pint import UnitRegistry"],
)
def test_the_check_sees_what_touches_pint(text: str) -> None:
    assert of_pint(text)


def test_importing_the_package_stays_light() -> None:
    code = f"import sys, rotorkit; print(*[name for name in {HEAVY} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=PACKAGE.parent, capture_output=True, text=True, check=True)
    assert done.stdout.split() == [], f"import rotorkit also imports {done.stdout}"
