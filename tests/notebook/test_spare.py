"""The notebooks' kernels, as they go to the folder of a notebook."""

import asyncio
import json
import os
import sys
from pathlib import Path
from typing import Any

import pytest
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager

from rotorkit.lab.spare import GO, NAMED, Kernels


def test_no_file_of_the_folder_stands_in_for_a_library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "iniconfig.py").write_text("raise AssertionError('not the library')", "utf-8")
    (tmp_path / "of_the_folder.py").write_text("HERE = True", "utf-8")
    monkeypatch.chdir(tmp_path.parent)
    monkeypatch.setattr(sys, "path", ["", *sys.path])  # as a notebook's kernel has it
    monkeypatch.setitem(os.environ, "JPY_SESSION_NAME", "")
    for name in [one for one in sys.modules if one.split(".")[0] == "iniconfig"]:
        monkeypatch.delitem(sys.modules, name)
    told: dict[str, object] = {}
    exec(GO.format(folder=str(tmp_path), more=NAMED.format(session="a 'folder'/x.ipynb")), told)
    assert Path.cwd() == tmp_path
    assert os.environ["JPY_SESSION_NAME"] == "a 'folder'/x.ipynb"
    assert [name for name in told if not name.startswith("__")] == []
    exec("import iniconfig, of_the_folder", told)
    assert told["of_the_folder"].HERE  # type: ignore[attr-defined]
    monkeypatch.delitem(sys.modules, "of_the_folder")


def test_every_kernel_begins_away_from_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where it begins in the folder, a file there stands in for what starts the kernel, whoever sent the folder."""
    asked: list[dict[str, Any]] = []

    async def start(_: object, *, kernel_id: str | None = None, path: object = None, **given: Any) -> str:
        asked.append({"path": path, **given})
        return "a kernel"

    monkeypatch.setattr(AsyncMappingKernelManager, "_async_start_kernel", start)
    (tmp_path / "hangar").mkdir()
    kernels = Kernels(root_dir=str(tmp_path), keeps_one_ready=False)
    assert asyncio.run(kernels.start_kernel(path="hangar", kernel_name="python3")) == "a kernel"
    assert asked[0]["path"] is None
    assert asked[0]["cwd"] == sys.prefix
    going = json.loads(asked[0]["extra_arguments"][0].removeprefix("--IPKernelApp.exec_lines="))
    assert going == [GO.format(folder=str(tmp_path / "hangar"), more="")]
