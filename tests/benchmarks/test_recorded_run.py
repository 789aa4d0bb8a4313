"""A recorded run of a million rows beside a plain read of the same file by the library used: time and memory.

Each in a process of its own, so that the peak of memory is that reader's.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pandas

from tests.benchmarks.telling import tell, time_of

ROWS = 1_000_000
OURS = """
import json, sys, time
from pathlib import Path
peak_now = lambda: next(int(one.split()[1]) for one in Path('/proc/self/status').open() if one.startswith('VmHWM'))
from rotorkit.engine import Column, read_run
import pandas
columns = {"engine_speed": Column("RPM", "rpm"), "fuel_flow": Column("FF", "gal/h")}
columns |= {f"exhaust_{i}": Column(f"EGT{i}", "degF") for i in range(1, 5)}
base = peak_now()
start = time.process_time()
run = read_run(sys.argv[1], columns, Column("Time", "s"))
spent = time.process_time() - start
peak = peak_now() - base
print(json.dumps([spent, peak / 1024, run.rows, run.bad_rows]))
"""
PLAIN = """
import json, sys, time
from pathlib import Path
peak_now = lambda: next(int(one.split()[1]) for one in Path('/proc/self/status').open() if one.startswith('VmHWM'))
import pandas
base = peak_now()
start = time.process_time()
table = pandas.read_csv(sys.argv[1])
spent = time.process_time() - start
peak = peak_now() - base
print(json.dumps([spent, peak / 1024, len(table), 0]))
"""


def measured(code: str, path: Path) -> list[float]:
    done = subprocess.run([sys.executable, "-c", code, str(path)], capture_output=True, text=True, check=True)
    found: list[float] = json.loads(done.stdout)
    return found


def test_a_million_rows(tmp_path: Path) -> None:
    draw = np.random.default_rng(3)
    table = pandas.DataFrame({"Time": np.arange(ROWS) / 10, "RPM": draw.normal(2400, 20, ROWS).round(0),
                              "FF": draw.normal(9.5, 0.1, ROWS).round(2)})  # fmt: skip
    for i in range(1, 5):
        table[f"EGT{i}"] = draw.normal(1350, 9, ROWS).round(1)
    path, spoiled = tmp_path / "run.csv", tmp_path / "spoiled.csv"
    table.to_csv(path, index=False)
    lines = path.read_text().splitlines()
    for i in range(1000, ROWS, 10_007):
        lines[i] = lines[i].replace(",", ",x", 1)
    spoiled.write_text("\n".join(lines) + "\n")
    plain, ours, bad = measured(PLAIN, path), measured(OURS, path), measured(OURS, spoiled)
    size = f"{path.stat().st_size / 1e6:.0f} MB"
    tell(f"a recorded run of a million rows, {size}, processor time and memory / pandas alone, nothing told",
         f"{time_of(ours[0])}, {ours[1]:.0f} MB", f"{time_of(plain[0])}, {plain[1]:.0f} MB",
         f"{ours[0] / plain[0]:.2f}")  # fmt: skip
    tell(f"the same with {bad[3]:.0f} bad rows, all counted", f"{time_of(bad[0])}, {bad[1]:.0f} MB")
    assert ours[2] == plain[2] == ROWS
    assert bad[3] == len(range(1000, ROWS, 10_007))
    assert ours[0] < 4 * plain[0] + 1
