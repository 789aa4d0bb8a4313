"""The built wheel in a fresh environment, used from an empty folder, no checkout in reach: `make wheel-test`."""

import json
import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parent.parent.parent
SETTINGS = """
import json, pathlib
from jupyterlab import commands
from jupyterlab_server.settings_utils import get_settings, _get_overrides
app = pathlib.Path(commands.get_app_dir())
name = "@jupyterlab/apputils-extension:kernels-settings"
overrides, error = _get_overrides(str(app / "settings"))
answer, _ = get_settings(str(app), str(app / "schemas"), "nowhere", schema_name=name, overrides=overrides)
print(json.dumps([error, answer["schema"]["properties"]["commsOverSubshells"]["default"]]))
"""


@pytest.fixture(scope="module")
def wheel() -> Path:
    found = sorted((CHECKOUT / "build" / "wheel").glob("rotorkit-*.whl"))
    assert len(found) == 1, "no wheel in build/wheel: run make wheel-test, which builds it first"
    return found[0]


@pytest.fixture(scope="module")
def environment(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new environment with the wheel and what the wheel itself asks for, in the pinned versions; no test tools."""
    folder = tmp_path_factory.mktemp("installed") / "venv"
    uv = [sys.executable, "-m", "uv", "--quiet"]
    subprocess.run([*uv, "venv", "--python", sys.executable, str(folder)], check=True)
    python = folder / ("Scripts" if os.name == "nt" else "bin") / "python"
    pins = str(CHECKOUT / "requirements.txt")
    subprocess.run([*uv, "pip", "install", "--python", str(python), "--constraint", pins, str(wheel)], check=True)
    return python.parent


@pytest.fixture(scope="module")
def empty(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("empty")


def run(environment: Path, folder: Path, program: str, *arguments: str) -> str:
    """Run an installed program where nothing of the checkout is in reach."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "VIRTUAL_ENV"))}
    done = subprocess.run(
        [str(environment / program), *arguments], cwd=folder, env=clean, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, f"{program} {' '.join(arguments)}:\n{done.stdout}{done.stderr}"
    return done.stdout


def test_wheel_carries_notebooks_demo_settings_and_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = archive.namelist()
    inside = "rotorkit/shipped/notebooks/"
    shipped = {name.removeprefix(inside) for name in names if name.startswith(inside)}
    assert shipped == notebooks(CHECKOUT / "notebooks")
    assert {"rotorkit/demo/aircraft.toml", "rotorkit/demo/readings.toml", "rotorkit/py.typed"} <= set(names)
    assert sum(name.endswith("share/jupyter/lab/settings/overrides.d/rotorkit.json") for name in names) == 1
    extension = {"package.json", "schemas/rotorkit/page.json", "static/page.js"}
    assert {f"rotorkit/lab/extension/rotorkit/{name}" for name in extension} <= set(names)
    assert {name.split("/")[0].split("-")[0] for name in names} == {"rotorkit"}
    assert not [name for name in names if "checkpoint" in name or name.endswith((".sqlite", ".pyc"))]


def notebooks(folder: Path) -> set[str]:
    return {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*.ipynb")
        if ".ipynb_checkpoints" not in path.parts
    }


def test_version(environment: Path, empty: Path, wheel: Path) -> None:
    assert wheel.name.split("-")[1] in run(environment, empty, "rotorkit", "--version")


def test_a_working_folder_from_an_empty_folder(environment: Path, empty: Path) -> None:
    run(environment, empty, "rotorkit", "new", "hangar", "--demo")
    assert (empty / "hangar" / "aircraft.toml").is_file()
    assert notebooks(empty / "hangar") == notebooks(CHECKOUT / "notebooks")
    assert run(environment, empty, "rotorkit", "status", "hangar").strip()


def test_jupyterlab_reads_the_shipped_setting(environment: Path, empty: Path) -> None:
    error, value = json.loads(run(environment, empty, "python", "-c", SETTINGS))
    assert (error, value) == ("", "disabled")
