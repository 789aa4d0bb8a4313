"""Nothing typed is lost: a form's draft, what is undone, two windows, and what every face says of one check."""

import asyncio
import itertools
import sqlite3
import time
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from rotorkit.cli.verdict_table import table_of
from rotorkit.dossier.writing import document_of
from rotorkit.edges import clock
from rotorkit.folder import drafts as drafts_file
from rotorkit.folder.drafts import DRAFTS_FILE, Drafts
from rotorkit.folder.making import blank_readings
from rotorkit.notebook import Form, folder_page, open_form
from rotorkit.record import CHANGED, SAVED, Record, board, recheck
from rotorkit.sheets import Folder

CHECK = "pedal_left_tension"


def opened(place: Path, sheet: str = "cable_tension", check: str | None = CHECK) -> Form:
    return open_form(sheet, check, Folder(place))


def test_what_stands_is_there_again_as_typed_read_or_not(place: Path) -> None:
    form = opened(place)
    assert not (place / DRAFTS_FILE).exists(), "opening makes no file"
    form.set("dial", "26 ;26.5")
    form.set("temperature", "warm")
    again = opened(place)
    assert (again.get("dial"), again.get("temperature")) == ("26 ;26.5", "warm")
    assert "Your draft of " in again.kept.value
    assert "not saved." in again.kept.value
    assert Record(place).entries() == [], "the record is for what is saved"


def test_a_reading_is_on_the_drive_before_the_form_says_that_it_is_understood(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What ends in between takes no reading with it that somebody has seen taken."""
    form, told = opened(place), []
    box = form._box("dial")
    monkeypatch.setattr(box, "tell", lambda *_: told.append(opened(place).get("dial")))
    form.set("dial", "26; 26.5")
    assert told[0] == "26; 26.5"


def test_a_key_press_that_is_not_taken_yet_is_kept_too(place: Path) -> None:
    form = opened(place)
    form._box("dial").control.value = "2"
    assert opened(place).get("dial") == "2"


def test_rows_with_their_empty_cells_are_there_again(place: Path) -> None:
    form = open_form("blade_angles", folder=Folder(place))
    form.add_row("stations", blade="B", reading="about 7")
    form.add_row("stations")
    assert open_form("blade_angles", folder=Folder(place))._as_typed == form._as_typed


def test_a_row_that_was_added_and_holds_nothing_yet_is_there_again_over_what_was_saved(place: Path) -> None:
    form = open_form("tension_trend", folder=Folder(place))
    form.save("A. Builder")
    form.add_row("days")
    rows = len(form._rows["days"].rows)
    again = open_form("tension_trend", folder=Folder(place))
    assert (len(again._rows["days"].rows), again._as_typed) == (rows, form._as_typed)
    assert again.saved == SAVED, "nothing is read that is not saved"
    assert "What is in the form is in the record" in again.kept.value
    assert "draft" not in again.keeping.standing(again.check).sentence, "nor does any other face tell of a draft"
    again.remove_row("days", rows - 1)
    assert Drafts(place).all() == []
    again.add_row("days")
    again.save("A. Builder")
    assert len(open_form("tension_trend", folder=Folder(place))._rows["days"].rows) == rows


def test_a_bare_number_keeps_its_unit_when_the_display_is_changed(place: Path) -> None:
    form = opened(place)
    form.set("temperature", "50")
    path = place / "aircraft.toml"
    path.write_text(path.read_text().replace('display = "us"', 'display = "metric"'))
    again = opened(place)
    assert again.system == "metric"
    assert again.readings["temperature"] == "50 °F"


def test_to_press_metric_units_is_no_change_of_readings(place: Path) -> None:
    """22.0 ± 0.5 in is spelled out where bare numbers are mm, and is the same reading."""
    form = opened(place, "fuel_flow", "fuel_flow_first")
    typed, outcome = form._as_typed, form.outcome
    form.save("A. Builder")
    for _ in range(2):
        form.show_in("metric")
        assert form.get("height") == "22.0 in ± 0.5 in"
        assert (form.saved, Drafts(place).all()) == (SAVED, [])
        assert "draft" not in form.kept.value
        form.show_in("us")
        assert form._as_typed == typed, "letter for letter"
    assert [one.row() for one in form.outcome.findings] == [one.row() for one in outcome.findings]
    form.show_in("metric")
    form.set("height", "22.0 in ± 0.6 in")
    assert (form.saved, len(Drafts(place).all())) == (CHANGED, 1)
    form.show_in("us")
    assert form.get("height") == "22.0 in ± 0.6 in", "what was typed since is not turned back"


def test_a_draft_stays_as_it_was_typed_when_units_are_pressed(place: Path) -> None:
    form = opened(place, "fuel_flow", "fuel_flow_first")
    form.set("height", "22.5 ± 0.5")
    (kept,) = Drafts(place).all()
    form.show_in("metric")
    assert form.get("height") == "22.5 in ± 0.5 in"
    assert Drafts(place).all() == [kept]
    form.show_in("us")
    assert Drafts(place).all() == [kept]
    assert form.get("height") == "22.5 ± 0.5"
    form.show_in("metric")
    form.set("aft", "150 ± 10")
    (now,) = Drafts(place).all()
    assert (now.system, now.typed["aft"]) == ("metric", "150 ± 10")
    form.save("A. Builder")
    assert Drafts(place).all() == []


def test_the_aircraft_file_turned_to_metric_changes_no_reading_either(place: Path) -> None:
    form = opened(place, "fuel_flow", "fuel_flow_first")
    form.save("A. Builder")
    path = place / "aircraft.toml"
    path.write_text(path.read_text("utf-8").replace('display = "us"', 'display = "metric"'), "utf-8")
    form.read_again()
    assert (form.get("height"), form.saved, Drafts(place).all()) == ("22.0 in ± 0.5 in", SAVED, [])


def test_saved_or_typed_back_there_is_no_draft(place: Path) -> None:
    form = opened(place)
    typed = form.get("dial")
    form.set("dial", "26; 26; 26")
    form.set("dial", typed)
    assert Drafts(place).all() == []
    form.set("dial", "26; 26; 26")
    assert len(Drafts(place).all()) == 1
    form.save("A. Builder")
    assert Drafts(place).all() == []
    assert (opened(place).saved, opened(place).get("dial")) == (SAVED, "26; 26; 26")


def test_a_choice_that_takes_long_to_work_is_not_called_saved(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(clock, "elapsed", time.monotonic)

    async def chosen() -> None:
        made = opened(place, "blade_modes", "main_blades_alike")
        made.save("A. Builder")
        assert "is in the record" in made.kept.value
        told: list[bool] = []
        made.on_change(lambda one: told.append(one.outcome is None))
        made._box("flap_root").control.value = "hinged"
        assert made.unfinished
        assert "is in the record" not in made.kept.value
        assert told == [True]
        assert made.keeping.draft is not None
        while made.unfinished:
            await asyncio.sleep(0.002)
        assert told == [True, False]
        assert "is in the record" not in made.kept.value

    asyncio.run(chosen())


def test_each_check_and_the_form_of_none_keep_their_own(place: Path) -> None:
    form = opened(place)
    form.set("dial", "26; 26; 26")
    form.chooser.control.value = ""
    form.set("dial", "22; 22; 22")
    form.set("temperature", "70 °F")
    form.set("riser", "1")
    form.chooser.control.value = CHECK
    assert form.get("dial") == "26; 26; 26"
    again = opened(place, check=None)
    again.chooser.control.value = ""
    assert again.get("dial") == "22; 22; 22"
    again.set("cable", "pedal_left")
    again.save("A. Builder", title="A cable of another name")
    assert [one.check for one in Drafts(place).all()] == [CHECK]


def test_emptied_and_removed_rows_come_back(place: Path) -> None:
    form = open_form("blade_angles", folder=Folder(place))
    before, word = form._as_typed, form.outcome.word
    table = form._rows["stations"]
    assert form.undo_button.layout.display == "none"
    table.fresh_button.click()
    assert not table.any_reading
    assert form.undo_button.layout.display is None
    form.undo_button.click()
    assert form._as_typed == before
    form.remove_row("stations", 1)
    form.remove_row("stations", 0)
    form.undo()
    form.undo()
    assert (form._as_typed, form.outcome.word) == (before, word)
    assert form.undo_button.layout.display == "none"
    assert next(box.path for box in table.rows[1].values()) == "stations.1.blade"


def test_two_windows_each_keep_theirs_and_the_later_is_told(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first = opened(place)
    first.set("dial", "26; 26; 26")
    # the second window is another program, and the first one's still runs
    here = drafts_file._process()
    monkeypatch.setattr(drafts_file, "_process", lambda: "another")
    monkeypatch.setattr(drafts_file, "_runs", lambda process: process in (here, "another"))
    second = opened(place)
    assert second.get("dial") == "26; 26; 26"
    assert "is also open in another window" in second.kept.value
    second.set("dial", "22; 22; 22")
    assert sorted(one.typed["dial"] for one in Drafts(place).all()) == ["22; 22; 22", "26; 26; 26"]
    monkeypatch.setattr(drafts_file, "_process", lambda: here)
    first.set("riser", "1")
    assert "is also open in another window" in first.kept.value
    assert ("the draft of " + Drafts(place).all()[0].when) in str(second.record.part.start.options)


def test_a_draft_that_cannot_be_kept_is_told_and_the_form_goes_on(place: Path) -> None:
    (place / DRAFTS_FILE).write_text("no database at all, but a text")
    form = opened(place)
    form.set("dial", "26; 26; 26")
    assert form.outcome is not None
    assert "What you type is not kept as a draft: drafts.sqlite cannot be" in form.kept.value
    form.save("A. Builder")
    assert form.saved == SAVED


@pytest.fixture
def held(place: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[sqlite3.Connection]:
    """Another program that is at a writing, and does not end, until it is closed."""
    monkeypatch.setattr(drafts_file, "WAIT", 0.01)
    monkeypatch.setattr(drafts_file, "WAIT_AGAIN", 0.01)
    opened(place).set("dial", "25; 25; 25")  # so that there is a file
    other = sqlite3.connect(place / DRAFTS_FILE, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    yield other
    other.close()


NOT_KEPT = "What you type is not kept as a draft: drafts.sqlite cannot be written (database is locked)"


def on_the_drive(place: Path) -> list[str]:
    """The dial readings that another program finds."""
    found = [drafts_file._draft_of(row) for row in drafts_file._rows(place / DRAFTS_FILE)]
    return [str(one.typed.get("dial")) for one in found if one is not None]


def test_what_could_not_be_kept_is_told_and_tried_again_until_it_is(
    place: Path, held: sqlite3.Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("rotorkit.notebook.form.KEPT_AGAIN", 0.02)

    async def hand() -> None:
        form = opened(place)
        form.set("dial", "19; 19; 19")
        assert NOT_KEPT in form.kept.value
        form.turn_to("pedal_right_tension")
        assert form.get("dial") != "19; 19; 19"
        assert NOT_KEPT in form.kept.value, "it is not on the drive yet"
        form.turn_to(CHECK)
        assert form.get("dial") == "19; 19; 19"
        assert opened(place).get("dial") == "19; 19; 19", "nor is it lost where the cell is run again"
        assert "19; 19; 19" not in on_the_drive(place)
        held.close()
        for _ in range(400):
            if "is not kept" not in form.kept.value:
                break
            await asyncio.sleep(0.01)
        assert "is not kept" not in form.kept.value, "nobody typed anything more"
        assert on_the_drive(place) == ["19; 19; 19"]

    asyncio.run(hand())


def test_what_was_left_typed_and_could_not_be_read_comes_in_once_it_can(place: Path, held: sqlite3.Connection) -> None:
    held.close()
    opened(place).set("dial", "19; 19; 19")
    other = sqlite3.connect(place / DRAFTS_FILE, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    form = opened(place)
    assert form.get("dial") != "19; 19; 19"
    assert "drafts.sqlite cannot be read" in form.kept.value
    form._keep_again()
    assert "drafts.sqlite cannot be read" in form.kept.value
    other.close()
    form._keep_again()
    assert form.get("dial") == "19; 19; 19"
    assert "cannot be read" not in form.kept.value


def test_typed_back_while_nothing_can_be_kept_leaves_nothing(
    place: Path, held: sqlite3.Connection, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither what waited nor what this form had written before that."""
    began, ticks = clock.now(), itertools.count()
    monkeypatch.setattr(clock, "now", lambda: began + timedelta(seconds=next(ticks)))
    held.execute("ROLLBACK")
    form = opened(place)
    kept = Folder(place).check(CHECK).readings["dial"]
    form.set("dial", "18; 18; 18")
    assert on_the_drive(place) == ["18; 18; 18"]
    held.execute("BEGIN IMMEDIATE")
    form.set("dial", "19; 19; 19")
    form.set("dial", kept)
    assert Drafts(place).all() == []
    held.close()
    form._keep_again()
    assert (on_the_drive(place), opened(place).get("dial")) == ([], kept)


def test_saved_while_its_draft_cannot_be_thrown_away(place: Path, held: sqlite3.Connection) -> None:
    form = opened(place)
    form.set("dial", "19; 19; 19")
    form.save("A. Builder")
    assert form.saved == SAVED
    assert opened(place).saved == SAVED
    held.close()
    form._keep_again()
    assert (on_the_drive(place), opened(place).saved) == ([], SAVED)


def test_a_file_that_another_program_is_just_making_holds_no_draft_yet(place: Path) -> None:
    with sqlite3.connect(place / DRAFTS_FILE, isolation_level=None) as other:
        other.execute("BEGIN IMMEDIATE")
        assert "cannot be read" not in opened(place).kept.value


def test_one_truth_on_every_face(place: Path) -> None:
    """One check whose readings file, record and draft all differ: each face takes what its purpose allows, and says
    that there is more."""
    form = opened(place)
    form.set("dial", "26; 26; 26")
    form.save("A. Builder")
    form.set("dial", "19; 19; 19")
    assert form.saved == CHANGED
    drafted, folder = form.outcome.word, Folder(place)
    when = Drafts(place).all()[0].when
    assert f"Your draft of {when}, not saved. Last saved: entry 1" in form.kept.value
    assert "The readings file has other readings, which are not used." in form.kept.value
    here, file = [one for one in table_of(folder).checks if one.title.startswith(folder.check(CHECK).title)]
    assert (here.word, here.kept.split(" Last")[0]) == (drafted, f"Your draft of {when}, not saved.")
    assert "as readings.toml has it" in file.title
    assert f"Your draft of {when}, not saved." in folder_page(folder).html
    rows = {row.check: row for _, row in board(folder).rows}
    assert rows[CHECK].verdict != drafted, "a draft is never the record"
    assert f"a draft of {when} is in the form, but is not saved to the record" in rows[CHECK].notes
    again = recheck(folder)
    assert [one.entry.readings["dial"] for one in again.reworks] == ["26; 26; 26"]
    assert [said.split(": ")[1].split(" holds")[0] for said in again.besides] == [
        f"a draft of {when}",
        "the readings file",
    ]
    document, found = document_of(folder, clock.now(), lambda *_: None)
    assert f"A draft of {when} holds other readings" in str(document.__dict__)
    assert folder.check(CHECK).title not in found.not_saved


def test_an_empty_readings_file_has_no_readings_on_any_face(place: Path) -> None:
    (place / "readings.toml").write_text(blank_readings(), encoding="utf-8")
    folder = Folder(place)
    assert "No readings yet." in open_form("cable_tension", folder=folder).kept.value
    assert all(one.blank and not one.kept for one in table_of(folder).checks)
    assert not any("readings file" in note for _, row in board(folder).rows for note in row.notes)
    assert "readings file" not in folder_page(folder).html
