"""What the record takes: checking ten thousand entries, saving into them, and three hundred killed writers.

Processor times. Figures of one run stand in DEVELOPERS.md.
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
from tests.benchmarks.telling import tell, time_of
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
    start = time.process_time()
    found = verify(record, contents=False)
    checking = time.process_time() - start
    start = time.process_time()
    assert verify(record).whole
    whole = time.process_time() - start
    assert found.whole
    assert found.entries == ENTRIES
    start = time.process_time()
    bench.save()
    saving = time.process_time() - start
    start = time.process_time()
    record.last("check 7")
    last = time.process_time() - start
    record_of = f"a record of {ENTRIES:,} entries, {size:.0f} MB (processor)"
    tell(f"seals of {record_of} verified", time_of(checking), "", "", "2 s or less")
    tell("the same with what each entry holds", time_of(whole))
    tell(f"one save into it / the latest of a check with {ENTRIES // 200} entries", time_of(saving), time_of(last))
    assert checking < 2


def test_two_hundred_checks_worked_again(tmp_path: Path) -> None:
    bench = Bench(tmp_path)
    many(bench, 200)
    bench.change('rated_power = "138 ± 3 hp"', 'rated_power = "137 ± 3 hp"')
    start = time.process_time()
    found = recheck(bench.folder, bench.record, today=TODAY)
    again = time.process_time() - start
    assert len(found.reworks) == 200
    start = time.process_time()
    board(bench.folder, bench.record, today=TODAY)
    shown = time.process_time() - start
    tell("200 checks with the aircraft file changed (processor): recheck / board", time_of(again), time_of(shown))
    assert again < 30


@pytest.mark.skipif(not hasattr(os, "fork"), reason="writers are forked")
def test_three_hundred_killed_writers(tmp_path: Path) -> None:
    tally = killed.run(tmp_path / "folder", 300, seed=int(time.time()))
    tell(f"300 writers killed while they saved: {tally}", f"{tally.lost} lost", "", "", "0")
    assert tally.lost == 0
