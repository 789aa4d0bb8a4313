"""Kernels that have imported the library already: `pytest -p tests.ready_kernel`.

A kernel spends two seconds of processor time on imports, and the tests of the notebooks and of the browser start more
than a hundred. With this plugin one process imports once what every notebook of the working folder imports first, and
each kernel is a fork of it: a process of its own, with an empty namespace, in which nothing but imports has happened.
JupyterLab and nbval find them under the name that they ask for, python3, and start, interrupt, restart and end them as
any other kernel.

Only where asked for, and only where a process can be forked; elsewhere kernels are what they are. What a start costs is
for the benchmarks, which run without it. That a form opens in a kernel that starts from nothing is seen by the tests
over a `fresh_desk`, whose notebooks ask for one by another name (`use_plain_kernels`).
"""

import json
import os
import shutil
import socket
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from ipykernel.kernelspec import get_kernel_dict

from rotorkit.edges.program import LAB_GUESTS, without

with without(*LAB_GUESTS):  # as the command loads JupyterLab's server: nbval reads notebooks by the same library
    import jsonschema  # noqa: F401

HERE = Path(__file__).resolve().parent
NAME = "JUPYTER_PATH"
"""Where Jupyter looks for kernels before it looks anywhere else."""
PLAIN = "plain"
POSSIBLE = hasattr(os, "fork") and sys.platform == "linux"


class Ready:
    """The process with the imports done, and the folder with the kernel's description that leads to it."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="rotorkit-"))
        place = str(self.folder / "door")
        self._describe("python3", "-I", "-S", str(HERE / "ask.py"), place)
        self._describe(PLAIN, "-m", "ipykernel_launcher")
        with socket.socket(socket.AF_UNIX) as door:
            # open before anybody can ask: a kernel that asked while the process was still starting would be refused
            door.bind(place)
            door.listen(64)
            # -P: the folder of the script is no place to import from
            self._process = subprocess.Popen(
                [sys.executable, "-P", str(HERE / "fork.py"), str(door.fileno())],
                stdin=subprocess.PIPE,
                start_new_session=True,
                pass_fds=[door.fileno()],
            )
        self._before = os.environ.get(NAME)
        os.environ[NAME] = os.pathsep.join([str(self.folder), *([self._before] if self._before else [])])

    def _describe(self, name: str, *started: str) -> None:
        place = self.folder / "kernels" / name / "kernel.json"
        place.parent.mkdir(parents=True)
        command = [sys.executable, *started, "-f", "{connection_file}"]
        said = {"argv": command, "display_name": name, "language": "python", "metadata": get_kernel_dict()["metadata"]}
        place.write_text(json.dumps(said), "utf-8")

    def end(self) -> None:
        """No more kernels of this kind: it ends when what it reads from is closed, and kernels that run with it."""
        assert self._process.stdin is not None
        self._process.stdin.close()
        self._process.wait(timeout=30)
        shutil.rmtree(self.folder, ignore_errors=True)
        if self._before is None:
            os.environ.pop(NAME, None)
        else:
            os.environ[NAME] = self._before


def pytest_configure(config: pytest.Config) -> None:
    """Once for all workers: they begin after this, with the same environment."""
    if POSSIBLE and not hasattr(config, "workerinput") and not config.option.collectonly:
        config.stash[READY] = Ready()
    if "nbval.kernel" in sys.modules:  # it lays out every message of a kernel for a log that nobody writes
        sys.modules["nbval.kernel"].pformat = lambda message: message  # type: ignore[attr-defined]


def pytest_unconfigure(config: pytest.Config) -> None:
    if READY in config.stash:
        config.stash[READY].end()


READY = pytest.StashKey[Ready]()


def plain_kernel() -> str:
    """The name of kernels that start from nothing; empty where there are no others."""
    places = [Path(one) for one in os.environ.get(NAME, "").split(os.pathsep) if one]
    return PLAIN if any((one / "kernels" / PLAIN).exists() for one in places) else ""


def use_plain_kernels(folder: Path) -> None:
    """Have the notebooks of this folder ask for kernels that start from nothing, as on a builder's machine."""
    if not plain_kernel():
        return
    for place in folder.rglob("*.ipynb"):
        said = json.loads(place.read_text("utf-8"))
        said["metadata"]["kernelspec"]["name"] = PLAIN
        place.write_text(json.dumps(said), "utf-8")
