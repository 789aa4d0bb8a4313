"""The list of a record: the same entries stand by it as by the entries themselves, and none of them is read whole."""

import shutil
import sqlite3
from pathlib import Path

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.folder.checks import Folder
from rotorkit.notebook.keeping import Keeping
from rotorkit.record import Record, board
from rotorkit.record.entry import SavedEntry
from rotorkit.record.listing import last_of_each, listed
from rotorkit.sheets.catalogue import sheet_type


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Record:
    """Two tensions, one of them saved twice and its first entry corrected, and blade angles."""
    folder = Folder(shutil.copytree(demo_folder(), tmp_path_factory.mktemp("kept") / "folder"))
    record, text = Record(folder), (demo_folder() / "aircraft.toml").read_bytes().decode()
    for name, replaces in [
        ("pedal_left_tension", None), ("pedal_right_tension", None), ("pedal_left_tension", None),
        ("tail_rotor_angles", None), ("pedal_left_tension", 1),
    ]:  # fmt: skip
        check = folder.check(name)
        sheet = check.made()
        outcome = sheet.work(folder.aircraft)
        record.save(name, sheet, outcome, text, "me", replaces=replaces, why="typed wrongly" if replaces else "")
    return record


def test_it_says_what_each_entry_says(kept: Record) -> None:
    rows, entries = listed(kept), kept.entries()
    assert [(row.number, row.check, row.replaces) for row in rows] == [(e.number, e.check, e.replaces) for e in entries]
    assert [(row.sheet, row.title, row.readings) for row in rows] == [(e.sheet, e.title, e.readings) for e in entries]
    assert not any(row.fault for row in rows)


def test_the_same_entry_stands_for_each_check(kept: Record) -> None:
    """The correction of the first stands on the first day, so the second saving is the last done."""
    last = {name: row.number for name, (row, _) in last_of_each(listed(kept)).items()}
    assert last == {"pedal_left_tension": 3, "pedal_right_tension": 2, "tail_rotor_angles": 4}
    assert list(last) == kept.checks()
    assert last == {name: entry.number for name in last if (entry := kept.last(name)) is not None}


def test_no_other_entry_is_read_whole(kept: Record, monkeypatch: pytest.MonkeyPatch) -> None:
    read: set[int] = set()
    plain = SavedEntry.work.func  # type: ignore[attr-defined]

    def work(self: SavedEntry) -> object:
        read.add(self.number)
        return plain(self)

    monkeypatch.setattr(SavedEntry, "work", property(work))
    keeping = Keeping(Folder(kept.folder), sheet_type("blade_angles"))
    assert {one.name for one in keeping.checks()} == {"tail_rotor_angles", "main_rotor_angles"}
    assert read <= {4}


def test_an_entry_that_is_no_text_is_listed_as_nothing(kept: Record, tmp_path: Path) -> None:
    copy = Record(shutil.copytree(kept.folder, tmp_path / "copy"))
    with sqlite3.connect(copy.path) as raw:
        raw.execute("DROP TRIGGER entry_stays")
        raw.execute("UPDATE entry SET work = '{broken' WHERE number = 2")
    assert [row.sheet for row in listed(copy)] == [
        "cable_tension",
        "",
        "cable_tension",
        "blade_angles",
        "cable_tension",
    ]
    found = board(Folder(copy.folder))
    assert any("entry 2 was altered" in fault for fault in found.faults)


def test_a_record_that_is_not_there_is_an_empty_list(tmp_path: Path) -> None:
    assert listed(Record(tmp_path)) == []
