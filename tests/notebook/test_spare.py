"""The notebooks' kernels, as they go to the folder of a notebook."""

import asyncio
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager

from rotorkit import lab
from rotorkit.lab import spare
from rotorkit.lab.spare import GO, NAMED, READY, Kernels

LOADED = ["rotorkit.notebook.form", "scipy.special", "scipy.optimize"]


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


def test_a_kernel_that_is_kept_ready_has_loaded_what_takes_long() -> None:
    """A fault while it gets ready is told nowhere: it would be seen only in how long a form takes."""
    told = f"{READY}; import sys; print(*[name for name in {LOADED!r} if name not in sys.modules])"
    done = subprocess.run([sys.executable, "-c", told], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == ""


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


@pytest.mark.parametrize("encrypted", [True, False])
def test_a_kernel_puts_no_programmers_words_into_the_terminal(
    encrypted: bool, tmp_path: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither one that is sent to the folder, nor one that was kept ready, nor one that is started again."""
    from traitlets.config import Application

    monkeypatch.setattr(spare, "READY", "pass")  # what it loads counts for nothing here, nor how long it takes
    monkeypatch.setattr(spare, "ANSWERS_WITHIN", 600.0)
    monkeypatch.setattr(lab, "_can_encrypt", lab._can_encrypt if encrypted else lambda: False)
    settings = Application()
    settings.parse_command_line(lab.lab_arguments())

    async def use() -> list[dict[str, Any]]:
        kernels = Kernels(root_dir=str(tmp_path), connection_dir=str(tmp_path), config=settings.config)
        await kernels._start_spare()
        kept, found = kernels.spare, []
        taken, own = [await kernels.start_kernel(path="", kernel_name="python3") for _ in range(2)]
        kernels.keeps_one_ready = False
        assert taken == kept != own
        for kernel_id in (taken, own):
            kernel = kernels.get_kernel(kernel_id)
            for again in (False, True):
                if again:
                    await kernels.restart_kernel(kernel_id)
                assert await kernels._does(kernel, f"import os; assert os.getcwd() == {str(tmp_path)!r}")
            found.append(kernel.get_connection_info())
        await kernels.shutdown_all(now=True)
        return found

    connections = asyncio.run(use())
    assert [bool(one.get("curve_secretkey")) for one in connections] == [encrypted] * 2, "who may listen"
    assert "WARNING" not in "".join(capfd.readouterr())


def test_a_kernel_that_starts_again_by_itself_takes_other_ports(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where another program has taken one meanwhile it would fail at the same each time, until it is given up."""
    from traitlets.config import Application

    monkeypatch.setattr(spare, "READY", "pass")
    settings = Application()
    settings.parse_command_line(lab.lab_arguments())

    async def use() -> list[set[int]]:
        kernels = Kernels(root_dir=str(tmp_path), connection_dir=str(tmp_path), config=settings.config)
        kernels.keeps_one_ready = False
        kernel = kernels.get_kernel(await kernels.start_kernel(path="", kernel_name="python3"))
        found = []
        for again in (False, True):
            if again:
                await kernel.restart_kernel(now=True, newports=True)
            found.append({port for name, port in kernel.get_connection_info().items() if name.endswith("_port")})
        await kernels.shutdown_all(now=True)
        return found

    before, after = asyncio.run(use())
    assert len(before) == len(after) == 5
    assert len(before & after) < 2, "the system gives free ports by chance: one may be the same again, two are not"
