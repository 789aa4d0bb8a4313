"""A fresh working folder as a builder has it, for tests that run notebooks: `python -m tests.working_folder DIR`."""

import shutil
import subprocess
import sys
from pathlib import Path

CHECKOUT = Path(__file__).resolve().parent.parent


def make_working_folder(folder: Path) -> Path:
    """Make `folder` by the program itself, with the demo aircraft, its readings and every notebook in it."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    done = subprocess.run(
        [sys.executable, "-m", "rotorkit", "new", str(folder.resolve()), "--demo"],
        cwd=CHECKOUT,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode != 0:
        raise RuntimeError(f"rotorkit new {folder} --demo failed:\n{done.stdout}{done.stderr}")
    missing = _notebooks(CHECKOUT / "notebooks") - _notebooks(folder)
    if missing:
        raise RuntimeError(f"rotorkit new left out {sorted(missing)}")
    return folder


def _notebooks(folder: Path) -> set[str]:
    found = (path for path in folder.rglob("*.ipynb") if ".ipynb_checkpoints" not in path.parts)
    return {path.relative_to(folder).as_posix() for path in found}


def copy_working_folder(made: Path, folder: Path) -> Path:
    """A second one like `made`, without the second it takes to make it."""
    shutil.copytree(made, folder)
    return folder


if __name__ == "__main__":
    make_working_folder(Path(sys.argv[1]))
