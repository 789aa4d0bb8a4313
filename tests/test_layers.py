"""The house rule: a room imports only from rooms below it, no two import each other, and the import is light."""

import ast
import subprocess
import sys
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

PACKAGE = Path(__file__).resolve().parent.parent / "rotorkit"
FLOOR = {
    "visible": -1,
    **dict.fromkeys(["quantities", "sources", "cautions", "published"], 0),
    **dict.fromkeys(["constants", "measured", "contract", "received"], 0.5),
    **dict.fromkeys(["formula", "limits", "agreement", "entries", "labelled"], 1),
    **dict.fromkeys(
        ["atmosphere", "rotor", "rigging", "drivetrain", "engine", "mass", "balance", "flight"],
        2,
    ),
    "aircraft": 3,
    **dict.fromkeys(["sheets", "pictures"], 4),
    **dict.fromkeys(["record", "dossier", "teach", "notebook", "workfolder", "verdict_table", "record_text"], 5),
    "cli": 6,
    **dict.fromkeys(["__main__", "__init__"], 7),
}
# Loaded only inside the function that uses them, so that a command or an import answers at once.
HEAVY = ["sympy", "scipy", "matplotlib", "IPython", "ipywidgets", "nbformat", "jupyterlab", "typer"]


def room_of(path: Path, package: Path = PACKAGE) -> str:
    return path.relative_to(package).parts[0].removesuffix(".py")


def rooms_imported(path: Path, package: Path = PACKAGE) -> set[str]:
    """The rooms that a file imports from, wherever in the file the import stands."""
    here = ("rotorkit", *path.relative_to(package).parts[:-1])
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
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
        if "pictures" in imported and FLOOR[room] != 5:
            said.append(f"{where}: imports pictures, which only the rooms that show things may use")
    try:
        TopologicalSorter(below).prepare()
    except CycleError as circle:
        said.append("rooms import each other in a circle: " + " - ".join(circle.args[1]))
    return said


def test_rooms_import_only_from_rooms_below() -> None:
    assert faults(PACKAGE) == []


LONGEST_MODULE = 450  # about 400 is the aim; a few lines over are no reason to split a subject


def test_modules_stay_short() -> None:
    long = {
        str(p.relative_to(PACKAGE)): n
        for p in PACKAGE.rglob("*.py")
        if (n := p.read_text("utf-8").count("\n")) > LONGEST_MODULE
    }
    assert not long, f"over {LONGEST_MODULE} lines; does each hold two subjects? {long}"


@pytest.mark.parametrize(
    ("room", "text", "fault"),
    [
        ("rigging/cable.py", "from rotorkit.sheets import base\n", "a room above rigging"),
        ("rigging/cable.py", "from ..sheets.base import Sheet\n", "a room above rigging"),
        ("rigging/cable.py", "def f():\n    import rotorkit.cli\n", "a room above rigging"),
        ("limits.py", "from . import aircraft\n", "a room above limits"),
        ("sheets/hover.py", "from rotorkit.pictures import dial\n", "imports pictures"),
        ("cli.py", "from rotorkit import pictures\n", "imports pictures"),
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


def test_importing_the_package_stays_light() -> None:
    code = f"import sys, rotorkit; print(*[name for name in {HEAVY} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=PACKAGE.parent, capture_output=True, text=True, check=True)
    assert done.stdout.split() == [], f"import rotorkit also imports {done.stdout}"
