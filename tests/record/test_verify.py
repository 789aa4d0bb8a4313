"""Whatever was done to a record behind its guards is told, with the number of the entry."""

import random
import re
import shutil
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest

from rotorkit.record import Record, RecordError, verify
from rotorkit.record.chain import hash_of
from rotorkit.record.store import COLUMNS, entry_of
from tests.record.bench import Bench

REWRITE = "UPDATE entry SET work = replace(work, 'out of limits', 'in limits')"
TRIGGERS = "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"


def tamper(path: Path, *statements: str) -> None:
    """What a person with a database editor would do: take the guards off, change, put them back."""
    database = sqlite3.connect(path, isolation_level=None)
    guards = database.execute(TRIGGERS).fetchall()
    for name, _ in guards:
        database.execute(f"DROP TRIGGER {name}")
    for statement in statements:
        database.execute(statement)
    for _, sql in guards:
        database.execute(sql)
    database.close()


@pytest.fixture
def saved(bench: Bench) -> Record:
    return bench.prepared(Bench.save_all).record


@pytest.mark.parametrize(
    ("statements", "said"),
    [
        ([f"{REWRITE} WHERE number = 4"], "entry 4 was altered"),
        (["UPDATE entry SET work = work || ' ' WHERE number = 5"], "entry 5 was altered"),
        (["UPDATE entry SET saved = '2025-01-01T00:00:00.000000Z' WHERE number = 1"], "entry 1 was altered"),
        (["UPDATE entry SET check_name = 'hover_today' WHERE number = 2"], "entry 2 was altered"),
        (["UPDATE entry SET replaces = 1 WHERE number = 2"], "entry 2 was altered"),
        (["DELETE FROM entry WHERE number = 3"], "entry 3 is missing"),
        (["DELETE FROM entry WHERE number IN (2, 3)"], "entries 2 to 3 are missing"),
        (["DELETE FROM entry WHERE number = 5"], "entry 5 is missing from the end"),
        (["DELETE FROM entry WHERE number > 2"], "entries 3 to 5 are missing from the end"),
        (["DELETE FROM entry"], "entries 1 to 5 are missing from the end"),
        (["UPDATE chain SET entries = 4"], "should end with entry 4"),
        (["UPDATE aircraft_file SET text = CAST(text || ' ' AS BLOB)"], "aircraft file .* was altered"),
        (["DELETE FROM aircraft_file"], "the aircraft file that entry 1 was worked with is missing"),
        (["UPDATE entry SET number = 9 WHERE number = 5"], "entries 5 to 8 are missing"),
    ],
)  # fmt: skip
def test_tampering_is_told(saved: Record, statements: list[str], said: str) -> None:
    tamper(saved.path, *statements)
    found = verify(saved)
    assert not found.whole
    assert any(re.search(said, fault) for fault in found.faults), found.faults
    assert found.sentence.startswith("The record is not as it was saved")


def test_an_entry_rewritten_with_a_hash_of_its_own_breaks_the_chain(saved: Record) -> None:
    database = sqlite3.connect(saved.path)
    entry = entry_of(database.execute(f"SELECT {COLUMNS} FROM entry WHERE number = 2").fetchone())
    database.close()
    forged = entry.sealed._replace(work=entry.sealed.work.replace("out of limits", "in limits"))
    tamper(
        saved.path,
        f"UPDATE entry SET work = replace(work, 'out of limits', 'in limits'), hash = '{hash_of(forged)}' WHERE number "
        f"= 2",
    )
    assert verify(saved).faults == [
        "entry 3 does not follow from the one before it: entry 2 is not the entry that was here"
    ]


def test_a_rewritten_last_entry_is_told(saved: Record) -> None:
    entry = saved.entry(5)
    forged = entry.sealed._replace(work=entry.sealed.work.replace("too close to call", "in limits"))
    tamper(
        saved.path,
        f"UPDATE entry SET work = replace(work, 'too close to call', 'in limits'), hash = '{hash_of(forged)}' WHERE "
        f"number = 5",
    )
    (fault,) = verify(saved).faults
    assert fault.startswith("the record should end with entry 5")


def test_missing_or_changed_guards_are_told(saved: Record) -> None:
    database = sqlite3.connect(saved.path)
    database.execute("DROP TRIGGER entry_stays")
    database.close()
    (fault,) = verify(saved).faults
    assert "guards" in fault
    assert "entry_stays" in fault


def test_an_older_copy_is_known_only_by_a_hash_noted_elsewhere(bench: Bench, tmp_path: Path) -> None:
    bench.save()
    shutil.copyfile(bench.record.path, tmp_path / "backup")
    noted = bench.save().hash
    assert verify(bench.record, noted).noted == "It contains the entry whose hash was noted."
    assert verify(bench.record, noted[:12].upper()).whole
    shutil.copyfile(tmp_path / "backup", bench.record.path)
    (tmp_path / "backup").unlink()
    assert verify(bench.record).whole  # nothing within the file can tell
    (fault,) = verify(bench.record, noted).faults
    assert "replaced by an older copy" in fault
    bench.record.path.unlink()
    assert "there is no record in this folder" in verify(bench.record, noted).sentence
    with pytest.raises(RecordError, match="at least 8"):
        verify(bench.record, "abc")


def test_a_clock_put_back_is_a_doubt_and_no_fault(bench: Bench) -> None:
    bench.save()
    bench.clock.now = bench.clock.now.replace(year=2020)
    bench.save()
    found = verify(bench.record)
    assert found.whole
    assert found.doubts == ["entry 2 has an earlier time than the one before it: a clock was set back"]


def test_a_copy_left_by_a_synchronising_client_is_pointed_out(saved: Record) -> None:
    shutil.copyfile(saved.path, saved.folder / "record (laptop's conflicted copy).sqlite")
    (doubt,) = verify(saved).doubts
    assert "record (laptop's conflicted copy).sqlite" in doubt


def test_the_head_is_what_to_note(saved: Record) -> None:
    found = verify(saved)
    assert (found.entries, found.head) == saved.head() == (5, saved.entry(5).hash)
    assert found.head in found.sentence


def test_progress_is_told(bench: Bench) -> None:
    bench.save()
    seen: list[tuple[int, int]] = []
    verify(bench.record, progress=lambda done, of: seen.append((done, of)))
    assert seen[-1] == (1, 1)


def everything(record: Record) -> list[object]:
    texts = [record.file_text(entry.aircraft_file) for entry in record.entries()]
    return [[(entry.sealed, entry.hash) for entry in record.entries()], texts]


def damaged(path: Path, change: Callable[[bytearray], None]) -> None:
    data = bytearray(path.read_bytes())
    change(data)
    path.write_bytes(data)


def test_no_flipped_byte_goes_unnoticed_unless_nothing_kept_depends_on_it(bench: Bench) -> None:
    """Flip one byte at a time, everywhere: either verify tells, or every entry reads as before."""
    bench.save()
    bench.save("pedal_right_tension")
    record, before = bench.record, everything(bench.record)
    data = record.path.read_bytes()
    chosen = random.Random(1)
    places = [*range(100), *chosen.sample(range(100, len(data)), 400)]
    told = 0
    for place in places:
        flipped = bytearray(data)
        flipped[place] ^= chosen.choice([1, 2, 4, 8, 16, 32, 64, 128, 255])
        record.path.write_bytes(flipped)
        try:
            whole, said = verify(record).whole, ""
        except RecordError as problem:
            whole, said = False, str(problem)
        assert said.startswith("record.sqlite") or not said, said
        if whole:
            assert everything(record) == before, place
        told += not whole
        assert record.path.read_bytes() == flipped
    assert told > 0.5 * len(places)


def test_no_cut_goes_unnoticed(bench: Bench) -> None:
    bench.save()
    bench.save("pedal_right_tension")
    record = bench.record
    data = record.path.read_bytes()
    for length in [0, 1, 50, 99, 100, 4095, 4096, 8192, len(data) // 2, len(data) - 4096, len(data) - 1]:
        record.path.write_bytes(data[:length])
        with pytest.raises(RecordError, match=r"cut off|beginning is damaged"):
            verify(record)
        assert record.path.read_bytes() == data[:length]
