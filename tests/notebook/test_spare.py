"""A kernel that is kept ready, as it goes to the folder of a notebook."""

import os
import sys
from pathlib import Path

import pytest

from rotorkit.lab.spare import GO


def test_no_file_of_the_folder_stands_in_for_a_library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "iniconfig.py").write_text("raise AssertionError('not the library')", "utf-8")
    (tmp_path / "of_the_folder.py").write_text("HERE = True", "utf-8")
    monkeypatch.chdir(tmp_path.parent)
    monkeypatch.setattr(sys, "path", ["", *sys.path])  # as a notebook's kernel has it
    monkeypatch.setitem(os.environ, "JPY_SESSION_NAME", "")
    for name in [one for one in sys.modules if one.split(".")[0] == "iniconfig"]:
        monkeypatch.delitem(sys.modules, name)
    told: dict[str, object] = {}
    exec(GO.format(folder=str(tmp_path), session="a 'folder'/x.ipynb"), told)
    assert Path.cwd() == tmp_path
    assert os.environ["JPY_SESSION_NAME"] == "a 'folder'/x.ipynb"
    assert [name for name in told if not name.startswith("__")] == []
    exec("import iniconfig, of_the_folder", told)
    assert told["of_the_folder"].HERE  # type: ignore[attr-defined]
    monkeypatch.delitem(sys.modules, "of_the_folder")
