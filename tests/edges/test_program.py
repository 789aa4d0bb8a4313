"""The command as it is typed: by its name where a terminal finds it, else by its path."""

import sys
from pathlib import Path

import pytest

from rotorkit.edges import program


def test_where_the_name_is_found_it_is_the_name() -> None:
    assert program.typed("new DIR") == "rotorkit new DIR"


def test_where_it_is_not_it_is_the_path_from_here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    home = tmp_path / "a house" / ".venv" / "bin"
    home.mkdir(parents=True)
    monkeypatch.setattr(sys, "executable", str(home / "python"))
    monkeypatch.setenv("PATH", str(tmp_path))
    assert program.typed("new DIR") == f'"{home / "python"}" -m rotorkit new DIR'
    beside = home / ("rotorkit.exe" if sys.platform == "win32" else "rotorkit")
    beside.touch()
    assert program.typed("new DIR") == f'"{beside}" new DIR'
    monkeypatch.chdir(tmp_path / "a house")
    assert program.typed("new DIR") == f"{beside.relative_to(tmp_path / 'a house')} new DIR"
