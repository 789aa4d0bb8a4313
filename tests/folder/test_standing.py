"""Which readings stand for a check: the rule by itself, and drafts kept through what ends a program at any moment."""

import json
import os
import sqlite3
import subprocess
import sys
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest

from rotorkit.edges import clock
from rotorkit.folder import drafts as drafts_file
from rotorkit.folder.checks import Check
from rotorkit.folder.drafts import DRAFTS_FILE, Draft, DraftError, Drafts
from rotorkit.folder.forms import same_readings
from rotorkit.folder.standing import DRAFT, NOTHING, READINGS, RECORD, which_stands

SHEET = "cable_tension"


@dataclass
class Entry:
    readings: dict[str, Any]
    local: Any
    number: int = 12
    sheet: str = SHEET
    title: str = "Left cable"
    who: str = "A. Builder"


def draft(dial: str, of: str = "left") -> Draft:
    return Draft(SHEET, of, {"dial": dial}, {"dial": dial}, "us", "window", clock.now())


FILE = Check("left", "Left cable", SHEET, {"dial": "21; 21; 21"})


def test_of_draft_and_record_the_newer_stands_and_the_file_where_there_is_neither() -> None:
    now, later, before = clock.now(), timedelta(minutes=5), -timedelta(minutes=5)
    saved = Entry({"dial": "24; 24; 24"}, now)
    newer, older = (replace(draft("26"), at=now + by) for by in (later, before))
    assert which_stands("left", in_file=FILE).source == READINGS
    assert which_stands("left", saved=saved, in_file=FILE).source == RECORD
    assert which_stands("left", saved=saved, in_file=FILE, drafts=[newer]).readings == {"dial": "26"}
    stands = which_stands("left", saved=saved, in_file=FILE, drafts=[older])
    assert (stands.source, stands.readings) == (RECORD, saved.readings)
    assert f"An older draft of {older.when} is kept too." in stands.sentence
    assert which_stands("left", drafts=[older], in_file=FILE).source == DRAFT
    assert which_stands("left", in_file=replace(FILE, readings={"dial": ""})).source == NOTHING


def test_what_says_the_same_as_the_saved_readings_is_no_other() -> None:
    saved = Entry({"dial": "21; 21; 21"}, clock.now())
    stands = which_stands("left", saved=saved, in_file=FILE, drafts=[replace(draft("21; 21; 21 "), at=clock.now())])
    assert (stands.source, stands.others_not_saved) == (RECORD, [])
    assert stands.sentence == f"Saved as entry 12 of {saved.local:%Y-%m-%d %H:%M}, by A. Builder."


def test_what_another_sheet_left_under_the_name_is_not_taken() -> None:
    saved = Entry({"rotor": "tail rotor"}, clock.now(), sheet="blade_angles")
    assert which_stands("left", SHEET, saved=saved, in_file=FILE).source == READINGS


def test_the_file_that_does_not_stand_is_said() -> None:
    stands = which_stands("left", saved=Entry({"dial": "24; 24; 24"}, clock.now()), in_file=FILE)
    assert "The readings file has other readings, which are not used." in stands.sentence
    assert stands.others_not_saved == ["The readings file"]


def test_a_draft_is_kept_as_typed_and_found_in_a_folder_that_was_carried_elsewhere(tmp_path: Path) -> None:
    here, there = tmp_path / "here", tmp_path / "there"
    here.mkdir()
    typed = {"dial": "27;27 ; about", "stations": [{"blade": "A", "reading": "3,5"}, {"blade": "", "reading": ""}]}
    Drafts(here).keep(Draft(SHEET, "left", typed, {"dial": "27; 27"}, "metric", "one"))
    here.rename(there)
    (found,) = Drafts(there).of(SHEET, "left")
    assert (found.typed, found.system, found.elsewhere) == (typed, "metric", False)
    assert Drafts(there).of(SHEET, "right") == []


def test_each_window_has_its_own_and_looking_makes_no_file(tmp_path: Path) -> None:
    drafts = Drafts(tmp_path)
    assert drafts.all() == []
    assert list(tmp_path.iterdir()) == []
    one = drafts.keep(draft("21"))
    two = drafts.keep(replace(draft("22"), window="other"))
    assert [found.typed["dial"] for found in drafts.of(SHEET, "left")] == ["22", "21"]
    drafts.keep(replace(draft("23"), window="third"), (one, two))
    assert [found.typed["dial"] for found in drafts.of(SHEET, "left")] == ["23"]


def test_a_program_killed_at_any_moment_leaves_the_last_draft_or_the_one_before(tmp_path: Path) -> None:
    """Killed while it writes without end: what it said was kept is there, and nothing half."""
    code = (
        "import sys; from rotorkit.folder.drafts import Draft, Drafts; from pathlib import Path\n"
        f"kept = Drafts(Path({str(tmp_path)!r}))\n"
        f"for i in range(10**6):\n kept.keep(Draft({SHEET!r}, 'left', {{'dial': str(i) * 2000}}, {{}}, 'us', 'w'))\n"
        " print(i, flush=True)\n"
    )
    with subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        for _ in range(20):
            last = int(process.stdout.readline())
        (while_open,) = Drafts(tmp_path).of(SHEET, "left")
        assert while_open.elsewhere, "another program that runs"
        process.kill()
    (found,) = Drafts(tmp_path).of(SHEET, "left")
    number = found.typed["dial"]
    assert any(number == str(i) * 2000 and i >= last for i in range(last, last + 500))
    assert not found.elsewhere, "it does not run any more"


@pytest.mark.parametrize("put", ["no database", "a row", "a folder"])
def test_a_drafts_file_that_is_none_is_told_or_passed_over(tmp_path: Path, put: str) -> None:
    path = tmp_path / DRAFTS_FILE
    if put == "a row":
        Drafts(tmp_path).keep(draft("21"))
        with sqlite3.connect(path) as connection:
            connection.execute('UPDATE draft SET body = \'{"typed": {"dial": 3}}\'')
        assert Drafts(tmp_path).all() == []
        return
    path.mkdir() if put == "a folder" else path.write_text("no database")
    with pytest.raises(DraftError, match=DRAFTS_FILE):
        Drafts(tmp_path).all()
    with pytest.raises(DraftError, match=DRAFTS_FILE):
        Drafts(tmp_path).keep(draft("21"))


def test_what_cannot_be_written_waits_and_is_found_meanwhile(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another program is at a writing for longer than anybody waits: nothing is lost, and nothing comes back."""
    for name in ("WAIT", "WAIT_AGAIN"):
        monkeypatch.setattr(drafts_file, name, 0.01)
    kept, gone = Drafts(tmp_path).keep(draft("21")), Drafts(tmp_path).keep(draft("3", "right"))

    def on_the_drive() -> dict[str, str]:
        with sqlite3.connect(tmp_path / DRAFTS_FILE) as looked_at:
            found = dict(looked_at.execute("SELECT check_name, body FROM draft").fetchall())
        return {check: str(json.loads(body)["typed"]["dial"]) for check, body in found.items()}

    other = sqlite3.connect(tmp_path / DRAFTS_FILE, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(DraftError, match="locked") as told:
        Drafts(tmp_path).keep(draft("21; 22"), (kept,))
    with pytest.raises(DraftError, match="locked"):
        Drafts(tmp_path).drop(gone)
    assert told.value.draft is not None
    assert told.value.draft.typed == {"dial": "21; 22"}
    (found,) = Drafts(tmp_path).all()
    assert found == told.value.draft
    with pytest.raises(DraftError, match="locked"):
        Drafts(tmp_path).write()
    assert on_the_drive() == {"left": "21", "right": "3"}
    other.close()
    Drafts(tmp_path).keep(draft("7", "elsewhere"))
    assert on_the_drive() == {"left": "21; 22", "elsewhere": "7"}, "with the next writing, whoever makes it"
    assert not Drafts(tmp_path).waiting


def test_what_waits_and_is_thrown_away_is_never_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("WAIT", "WAIT_AGAIN"):
        monkeypatch.setattr(drafts_file, name, 0.01)
    Drafts(tmp_path).keep(draft("3", "right"))
    other = sqlite3.connect(tmp_path / DRAFTS_FILE, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(DraftError) as told:
        Drafts(tmp_path).keep(draft("21"))
    assert told.value.draft is not None
    with pytest.raises(DraftError):
        Drafts(tmp_path).drop(told.value.draft)
    other.close()
    Drafts(tmp_path).write()
    assert [one.check for one in Drafts(tmp_path).all()] == ["right"]


def test_what_no_file_can_hold_keeps_nothing_else_back(tmp_path: Path) -> None:
    with pytest.raises(DraftError, match="surrogates"):
        Drafts(tmp_path).keep(draft("\ud800"))
    Drafts(tmp_path).keep(draft("21"))
    assert [one.typed for one in Drafts(tmp_path).all()] == [{"dial": "21"}]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_a_pipe_in_its_place_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / DRAFTS_FILE)
    with pytest.raises(DraftError, match="it is a pipe"):
        Drafts(tmp_path).all()


def test_a_unit_behind_both_or_once_says_the_same() -> None:
    """A form in other units writes '35.9 ± 0.1 in' as '35.9 in ± 0.1 in': the same reading, and nothing has changed."""

    def same(one: str, other: str) -> bool:
        return same_readings("push_pull_tubes", {"length": one}, {"length": other})

    assert same("35.9 ± 0.1 in", "35.9 in ± 0.1 in")
    assert not same("35.9 ± 0.1 in", "35.9 in ± 0.2 in")
    assert not same("35.9 ± 0.1 in", "35.9 in")
    assert not same("35.9 in", "911.86 mm"), "typed otherwise: a person has done something"
    assert not same("35.9 ± 0.1 in", "about a banana")
    rows = [{"station": "Fuel", "mass": one} for one in ("108 ± 3 lb", "108 lb ± 3 lb", "109 lb ± 3 lb")]
    assert same_readings("loading", {"items": rows[:1]}, {"items": rows[1:2]})
    assert not same_readings("loading", {"items": rows[:1]}, {"items": rows[2:]})
    assert not same_readings("loading", {"items": rows[:1]}, {"items": rows[:2]})
