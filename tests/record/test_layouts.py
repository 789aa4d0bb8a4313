"""A record of an older layout is read without a trace, and brought to today's by the next save, a copy kept."""

import json
import os
import shutil
import sqlite3
from pathlib import Path

import pytest

from rotorkit.record import Record, RecordError, export_lines, import_lines, recheck, schema, verify
from rotorkit.sheets import Folder
from tests.record.bench import TODAY, Bench, plain_work

KEPT = Path(__file__).parent / "layouts"
"""Records as each layout was first written: every later version reads them."""


@pytest.mark.parametrize("file", sorted(KEPT.glob("layout-*.sqlite")), ids=lambda file: file.stem)
def test_every_layout_ever_written_is_read(file: Path, tmp_path: Path) -> None:
    shutil.copyfile(file, tmp_path / "record.sqlite")
    record = Record(tmp_path)
    told = json.loads(file.with_suffix(".json").read_text(encoding="utf-8"))
    assert verify(record, told["head"]).whole
    parts = ("number", "check", "word", "who", "note", "replaces", "hash")
    assert [{part: getattr(entry, part) for part in parts} for entry in record.entries()] == told["entries"]
    for entry in record.entries():
        assert entry.outcome.findings
        assert entry.outcome.steps
        (tmp_path / "aircraft.toml").write_text(record.file_text(entry.aircraft_file), encoding="utf-8")
    assert len(recheck(Folder(tmp_path), record, today=TODAY).reworks) == len(record.checks())
    assert record.add("x", plain_work(), "file").number == len(told["entries"]) + 1
    assert verify(record, told["head"]).whole


def weather_column(connection: sqlite3.Connection) -> None:
    """A later layout, invented: it adds a column beside the sealed ones and a table."""
    connection.execute("ALTER TABLE entry ADD COLUMN weather TEXT")
    connection.execute("CREATE TABLE place (name TEXT)")


def a_guard_more(connection: sqlite3.Connection) -> None:
    connection.execute(
        "CREATE TRIGGER place_stays BEFORE DELETE ON place BEGIN SELECT RAISE(ABORT, 'places stay'); END"
    )


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch) -> None:
    """A program two layouts later."""
    monkeypatch.setattr(schema, "MIGRATIONS", (weather_column, a_guard_more))


def test_an_older_layout_is_read_without_a_trace(bench: Bench, request: pytest.FixtureRequest) -> None:
    entries = bench.save_all()
    data = bench.record.path.read_bytes()
    request.getfixturevalue("later")
    assert schema.layout() == 3
    assert bench.record.entries() == entries
    assert bench.record.last("hover_today") == entries[4]
    assert verify(bench.record).whole
    assert bench.record.path.read_bytes() == data
    assert sorted(os.listdir(bench.path)) == ["aircraft.toml", "readings.toml", "record.sqlite"]


def test_the_next_save_brings_it_up_and_keeps_a_copy(bench: Bench, request: pytest.FixtureRequest) -> None:
    entries = bench.save_all()
    data = bench.record.path.read_bytes()
    request.getfixturevalue("later")
    assert bench.save().number == 6
    assert bench.record.entries()[:5] == entries
    found = verify(bench.record)
    assert found.whole
    assert found.doubts == []
    database = sqlite3.connect(bench.record.path)
    assert database.execute("PRAGMA user_version").fetchone() == (3,)
    assert database.execute("SELECT weather FROM entry").fetchall() == [(None,)] * 6
    database.close()
    copy = bench.path / "record-layout-1.sqlite"
    assert sqlite3.connect(copy).execute("PRAGMA user_version").fetchone() == (1,)
    assert len(copy.read_bytes()) == len(data)
    bench.save()
    assert sorted(os.listdir(bench.path)) == [
        "aircraft.toml",
        "readings.toml",
        "record-layout-1.sqlite",
        "record.sqlite",
    ]


def test_a_step_that_fails_leaves_the_record_as_it_was(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.save()
    data = bench.record.path.read_bytes()

    def fails(connection: sqlite3.Connection) -> None:
        weather_column(connection)
        connection.execute("CREATE TABLE place (name TEXT)")

    monkeypatch.setattr(schema, "MIGRATIONS", (fails,))
    with pytest.raises(RecordError, match="Nothing was saved"):
        bench.record.add("x", plain_work(), "file")
    monkeypatch.undo()
    assert bench.record.path.read_bytes() == data
    assert verify(bench.record).entries == 1


def test_two_programs_bring_it_up_once(bench: Bench, request: pytest.FixtureRequest) -> None:
    bench.save()
    request.getfixturevalue("later")
    bench.record.add("x", plain_work(), "file")
    bench.record.add("y", plain_work(), "file")
    assert verify(bench.record).entries == 3


def test_a_new_record_is_of_todays_layout(bench: Bench, later: None) -> None:
    bench.save()
    database = sqlite3.connect(bench.record.path)
    assert database.execute("PRAGMA user_version").fetchone() == (3,)
    assert verify(bench.record).whole
    assert not (bench.path / "record-layout-1.sqlite").exists()


def test_an_export_does_not_depend_on_the_layout(bench: Bench, request: pytest.FixtureRequest) -> None:
    bench.prepared(Bench.save_all)
    export_lines(bench.record, bench.path / "one.jsonl")
    request.getfixturevalue("later")
    export_lines(bench.record, bench.path / "two.jsonl")
    there = bench.path / "there"
    there.mkdir()
    import_lines(Record(there), bench.path / "one.jsonl")
    export_lines(Record(there), bench.path / "three.jsonl")
    one, two, three = ((bench.path / f"{name}.jsonl").read_bytes() for name in ("one", "two", "three"))
    assert one == two == three


def test_a_layout_that_was_never_written(bench: Bench) -> None:
    bench.save()
    database = sqlite3.connect(bench.record.path)
    database.execute("PRAGMA user_version = 0")
    database.close()
    with pytest.raises(RecordError, match="a layout that rotorkit never wrote"):
        bench.record.entries()
