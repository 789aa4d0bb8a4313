"""A writer killed at any moment loses nothing that it had acknowledged, and the next one goes on."""

import os
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from rotorkit.record import Record, verify
from tests.record import killed
from tests.record.bench import Bench

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="writers are forked")
KILLS = int(os.environ.get("ROTORKIT_KILLS", "60"))
"""How many; `ROTORKIT_KILLS=300 make test-unit` for the full count."""


def test_no_acknowledged_entry_is_lost(tmp_path: Path) -> None:
    tally = killed.run(tmp_path / "folder", KILLS, seed=7)
    print(tally)
    assert tally.kills == KILLS
    assert tally.acknowledged > 0
    assert tally.lost == 0


HALF_WAY = """
import os, signal, sqlite3, sys
database = sqlite3.connect(sys.argv[1], isolation_level=None)
database.execute("PRAGMA cache_size = 2")  # too small to hold the change: pages go to the file before the end
database.execute("BEGIN IMMEDIATE")
(head,) = database.execute("SELECT head FROM chain").fetchone()
database.execute(
    "INSERT INTO entry SELECT 2, check_name, saved, local, aircraft_file, NULL, ?, 'x', ? FROM entry", (head, "y" *
    900_000)
)
os.kill(os.getpid(), signal.SIGKILL)
"""


def test_a_save_cut_off_half_way_is_read_past_without_a_trace_and_put_right_by_the_next(bench: Bench) -> None:
    entry = bench.save()
    size = bench.record.path.stat().st_size
    done = subprocess.run([sys.executable, "-c", HALF_WAY, str(bench.record.path)], check=False)
    assert done.returncode == -signal.SIGKILL
    journal = bench.record.path.with_name("record.sqlite-journal")
    assert journal.exists()
    assert bench.record.path.stat().st_size > size  # half of it stands in the file
    before = bench.record.path.read_bytes(), journal.read_bytes(), sorted(os.listdir(bench.path))
    record = Record(bench.path)
    assert record.entries() == [entry]
    assert verify(record).whole
    assert record.head() == (1, entry.hash)
    assert (bench.record.path.read_bytes(), journal.read_bytes(), sorted(os.listdir(bench.path))) == before
    assert bench.save().number == 2
    assert not journal.exists()
    assert verify(record).entries == 2


def test_what_a_cut_off_first_save_leaves_is_no_record(bench: Bench) -> None:
    """The record is made under another name first."""
    half = bench.path / ".record.sqlite.0123456789ab"
    sqlite3.connect(half).close()
    half.write_bytes(b"")
    assert bench.record.entries() == []
    assert bench.save().number == 1
