"""What the record takes: checking ten thousand entries, saving into them, and three hundred killed writers.

Figures of one run stand in DEVELOPERS.md.
"""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest

from rotorkit.record import Record, board, files, recheck, verify
from rotorkit.record.chain import Sealed, hash_of
from rotorkit.record.entry import SavedEntry
from rotorkit.record.store import insert
from tests.record import killed
from tests.record.bench import TODAY, Bench

ENTRIES = 10_000


def many(bench: Bench, count: int) -> None:
    """A record of real entries of the demo's five checks, in turn, written in one go."""
    five = bench.save_all()
    text = bench.record.aircraft_text().encode()
    bench.record.path.unlink()
    with files.writing(bench.record.path, 10) as connection:
        (before,) = connection.execute("SELECT head FROM chain").fetchone()
        for number in range(1, count + 1):
            like: Sealed = five[number % 5].sealed
            sealed = like._replace(number=number, previous=before, check=f"check {number % 200}")
            entry = SavedEntry(sealed, hash_of(sealed))
            insert(connection, entry, text)
            before = entry.hash


def test_ten_thousand_entries(tmp_path: Path) -> None:
    bench = Bench(tmp_path)
    many(bench, ENTRIES)
    size = bench.record.path.stat().st_size / 1e6
    record = Record(tmp_path)
    start = time.perf_counter()
    found = verify(record, contents=False)
    checking = time.perf_counter() - start
    start = time.perf_counter()
    assert verify(record).whole
    whole = time.perf_counter() - start
    assert found.whole
    assert found.entries == ENTRIES
    start = time.perf_counter()
    bench.save()
    saving = time.perf_counter() - start
    start = time.perf_counter()
    record.last("check 7")
    last = time.perf_counter() - start
    print(
        f"\n{ENTRIES:,} entries, {size:.0f} MB: seals {checking:.2f} s, verify {whole:.1f} s, "
        f"one save {saving * 1e3:.0f} ms, ",
        end="",
    )
    print(f"latest of a check with {ENTRIES // 200} entries {last * 1e3:.0f} ms")
    assert checking < 2


def test_two_hundred_checks_worked_again(tmp_path: Path) -> None:
    bench = Bench(tmp_path)
    many(bench, 200)
    bench.change('rated_power = "138 ± 3 hp"', 'rated_power = "137 ± 3 hp"')
    start = time.perf_counter()
    found = recheck(bench.folder, bench.record, today=TODAY)
    again = time.perf_counter() - start
    assert len(found.reworks) == 200
    start = time.perf_counter()
    board(bench.folder, bench.record, today=TODAY)
    print(f"\n200 checks, the aircraft file changed: recheck {again:.1f} s, board {time.perf_counter() - start:.1f} s")
    assert again < 30


@pytest.mark.skipif(not hasattr(os, "fork"), reason="writers are forked")
def test_three_hundred_killed_writers(tmp_path: Path) -> None:
    tally = killed.run(tmp_path / "folder", 300, seed=int(time.time()))
    print(f"\n{tally}")
    assert tally.lost == 0
