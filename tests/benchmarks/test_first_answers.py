"""What the first answer of a program that has just started costs, in processor time, against what any such program must
load: ratios of two times in one run, so that the machine cancels. Nothing here fails for being slow.

Figures of one run stand in DEVELOPERS.md.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

from rotorkit.folder.workings import Workings
from rotorkit.record import board
from tests.record.bench import Bench

RUNS = 3
LOADED = "import pint, numpy, pydantic"


def spent(*arguments: str, at: Path) -> float:
    """Processor seconds of a Python process of its own, the median of some."""
    found = []
    for _ in range(RUNS):
        before = os.times()
        subprocess.run([sys.executable, *arguments], cwd=at, check=True, capture_output=True)
        after = os.times()
        found.append(after.children_user - before.children_user + after.children_system - before.children_system)
    return statistics.median(found)


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    made = Bench(tmp_path_factory.mktemp("first"))
    made.save_all()
    return made


def test_commands(bench: Bench) -> None:
    floor = spent("-c", LOADED, at=bench.path)
    print(f"\n{LOADED}: {floor:.2f} s of processor time")
    for command in (
        ["status"],
        ["record", "list"],
        ["record", "save", "pedal_left_tension", "--who", "A. Builder"],
    ):
        took = spent("-m", "rotorkit", *command, at=bench.path)
        print(f"rotorkit {' '.join(command[:2])}: {took:.2f} s, {took / floor:.1f} times that")


def test_a_form(bench: Bench) -> None:
    floor = spent("-c", f"{LOADED}; import ipywidgets", at=bench.path)
    for sheet in ("cable_tension", "blade_angles", "hover_margin"):
        code = f"from rotorkit.notebook import open_form; open_form({sheet!r}).outcome.word"
        took = spent("-c", code, at=bench.path)
        print(
            f"\na form of {sheet} with its answer: {took:.2f} s, {took / floor:.1f} times the libraries alone", end=""
        )
    print()


def test_the_board_again(bench: Bench) -> None:
    kept = Workings()
    times = []
    for _ in range(3):
        start = time.process_time()
        board(bench.folder, workings=kept)
        times.append(time.process_time() - start)
    print(f"\nthe board, first and then again: {', '.join(f'{one:.2f}' for one in times)} s")
