"""A form is loaded with the demo's readings, whatever folder the tests run in."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.folder.checks import Folder
from rotorkit.notebook import Form, open_form


@pytest.fixture
def form() -> Callable[..., Form]:
    def made(sheet: str, check: str | None = None) -> Form:
        return open_form(sheet, check, Folder(demo_folder()))

    return made


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A working folder with the demo's files."""
    folder = tmp_path / "hangar"
    folder.mkdir()
    for name in ("aircraft.toml", "readings.toml"):
        shutil.copyfile(demo_folder() / name, folder / name)
    return folder


_OPENED: dict[str, tuple[Form, dict[str, object]]] = {}


@pytest.fixture
def shared(form: Callable[..., Form]) -> Callable[[str], Form]:
    """The demo's form of a sheet, opened once for all tests that take it from here: for each it holds the readings with
    which it opened, and nothing is opened by a button."""

    def made(sheet: str) -> Form:
        if sheet not in _OPENED:
            fresh = form(sheet)
            _OPENED[sheet] = fresh, fresh.readings
        again, readings = _OPENED[sheet]
        if again.opened.shown:
            again.opened.toggle(again.opened.shown)
        if again.readings != readings or again.outcome is None or again.problems or again.fault:
            again.load(readings)
        assert again.readings == readings
        return again

    return made
