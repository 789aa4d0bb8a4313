"""What `.ci/run` does with a part that fails: with a `make` that only writes down what it was asked for."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

RUN = Path(__file__).resolve().parent.parent / ".ci" / "run"
PARTS = ["env", "check", "wheel-test", "docs", "test"]


@pytest.mark.parametrize(("failing", "ran"), [("env", ["env"]), ("check", PARTS), ("test", PARTS), ("nothing", PARTS)])
def test_without_an_environment_nothing_else_is_tried(tmp_path: Path, failing: str, ran: list[str]) -> None:
    (tmp_path / ".ci").mkdir()
    shutil.copyfile(RUN, tmp_path / ".ci" / "run")
    tools = tmp_path / "tools"
    tools.mkdir()
    for name, does in (("make", f'echo "$2" >> asked; [ "$2" != {failing} ]'), ("chromium", ""), ("python3", "")):
        (tools / name).write_text(f"#!/bin/sh\n{does}\n")
        (tools / name).chmod(0o755)
    told = subprocess.run(
        ["bash", ".ci/run"],
        cwd=tmp_path,
        env={**os.environ, "PATH": f"{tools}:{os.environ['PATH']}"},
        capture_output=True,
        text=True,
    )
    assert (tmp_path / "asked").read_text().split() == ran
    assert told.returncode == (failing != "nothing")
    assert (f"failed: make {failing}" in told.stdout) == (failing != "nothing")
