"""The command as it is typed: by its name where a terminal finds it, else by its path."""

import importlib
import importlib.util
import json
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


def test_what_pint_looks_for_is_hidden_from_the_command_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(program, "_commands", [])
    monkeypatch.setattr(program, "GUESTS", ("colorsys", "json"))
    monkeypatch.delitem(sys.modules, "colorsys", raising=False)
    with program.without_guests():
        assert importlib.util.find_spec("colorsys") is not None
    program.is_command()
    with program.without_guests():
        assert importlib.util.find_spec("colorsys") is None
        with pytest.raises(ImportError):
            importlib.import_module("colorsys")
        assert sys.modules["json"] is json, "what is loaded already stays"
    assert importlib.import_module("colorsys")


def test_jupyterlab_is_loaded_without_a_grammar_that_nothing_uses(monkeypatch: pytest.MonkeyPatch) -> None:
    """As `tests/conftest.py` loads it: what needs an address in another alphabet still finds the library afterwards."""
    import jsonschema

    checked = jsonschema.FormatChecker.checkers
    assert "date" in checked
    assert "iri" not in checked
    for name in program.LAB_GUESTS:
        assert importlib.util.find_spec(name) is not None
