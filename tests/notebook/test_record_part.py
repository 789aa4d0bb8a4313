"""A form and the record without a browser: what is reopened, what is said, what is saved, and what a failure leaves."""

import shutil
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any
from unittest.mock import patch

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.dossier.pdf import PdfError
from rotorkit.notebook import Form, board_page, dossier_part, folder_page, open_form
from rotorkit.notebook.keeping import check_name
from rotorkit.record import CHANGED, NEVER, NOTHING_SAVED, SAVED, Record, RecordError, files, verify
from rotorkit.sheets import Folder
from rotorkit.sheets.base import SheetError
from rotorkit.sheets.catalogue import sheet_names
from tests.record.drives import fill, read_only_drive, small_drive


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A working folder with the demo's files."""
    return demo_in(tmp_path / "hangar")


def demo_in(folder: Path) -> Path:
    folder.mkdir(exist_ok=True)
    for name in ("aircraft.toml", "readings.toml"):
        shutil.copyfile(demo_folder() / name, folder / name)
    return folder


def opened(place: Path, sheet: str = "cable_tension", check: str | None = None) -> Form:
    return open_form(sheet, check, Folder(place))


def press(part: Any, who: str = "A. Builder") -> str:
    """Press the button that saves: what is said then. (A second press at once is taken for a slip.)"""
    part.who.value = who
    part._saved_at = -100.0
    part.button.click()
    return str(part.message.value)


@pytest.mark.parametrize("sheet", sheet_names())
class TestEverySheet:
    def test_saves_and_reopens_with_the_same_readings(self, place: Path, sheet: str) -> None:
        """Saved in the terminal from the readings file, whose texts a field may write otherwise; then from the form."""
        folder, record = Folder(place), Record(place)
        check = folder.first(sheet)
        assert check is not None
        made = check.made()
        record.save(check.name, made, made.work(folder.aircraft), record.aircraft_text(), "A. Builder")
        form = opened(place, sheet)
        assert form.saved == SAVED
        entry = form.save("A. Builder", "a note")
        assert (form.saved, entry.number, entry.check, entry.note) == (SAVED, 2, form.check, "a note")
        again = opened(place, sheet)
        assert again.saved == SAVED
        assert again.readings == form.readings
        assert "Saved." in again.kept.value
        assert entry.outcome.word == again.outcome.word  # type: ignore[union-attr]
        assert verify(record).whole


def test_what_was_never_saved_says_so(place: Path) -> None:
    form = opened(place)
    assert form.saved == NEVER
    assert "Never saved." in form.kept.value
    assert form.save("A. Builder", "a note").number == 1


def test_a_reading_typed_over_is_changed_and_typed_back_is_saved(place: Path) -> None:
    form = opened(place)
    typed = form.get("dial")
    form.save("A. Builder")
    form.set("dial", "19; 19; 19")
    assert form.saved == CHANGED
    assert "Changed since saved." in form.kept.value
    form.set("dial", "a banana")
    assert form.saved == CHANGED
    form.set("dial", typed)
    assert form.saved == SAVED


def test_what_another_notebook_saved_is_seen(place: Path) -> None:
    form, other = opened(place), opened(place)
    other.set("dial", "26; 26; 26")
    other.save("B. Builder")
    form.set("riser", "1")
    assert form.saved == CHANGED
    assert "entry 1" in form.kept.value


def test_the_button_says_what_is_missing_and_saves_when_it_is_there(place: Path) -> None:
    form = opened(place)
    part = form.record.part
    assert "Say who did the work" in press(part, who=" ")
    assert Record(place).entries() == []
    form.set("dial", "nonsense")
    assert "There is no verdict to save yet: look at Dial reading" in press(part)
    form.set("dial", "27; 27; 27")
    part.note.value = "a <b>note</b>\nof two lines"
    said = press(part)
    assert "Saved as entry 1" in said
    assert (part.note.value, part.who.value) == ("", "A. Builder")
    assert "a &lt;b&gt;note&lt;/b&gt;<br>of two lines" in part.earlier.value
    part.button.click()
    assert len(Record(place).entries()) == 1, "a second press at once is a slip"


def test_a_correction_names_its_entry_and_the_reason(place: Path) -> None:
    form = opened(place)
    part = form.record.part
    assert part.sort.layout.display == "none", "nothing to correct yet"
    press(part)
    form.set("dial", "26; 26; 26")
    part.sort.value = 1
    assert part.why.layout.display is None
    assert "Say why this corrects entry 1" in press(part)
    part.why.value = "misread"
    assert "Saved as entry 2, which replaces entry 1" in press(part)
    assert "Corrects entry 1: misread" in part.earlier.value
    assert "Replaced by entry 2." in part.earlier.value
    assert [number for _, number in part.sort.options] == [0, 2], "an entry is corrected once"
    assert part.sort.value == 0
    assert part.why.layout.display == "none"


def test_history_trend_and_an_earlier_entry_as_a_start(place: Path) -> None:
    form = opened(place)
    part = form.record.part
    for dial in ("28; 28; 28", "27; 27; 27"):
        form.set("dial", dial)
        press(part)
    assert part.earlier.value.count("<tr><th") == 3
    assert "Tension at 70 °F over time" in part.trend.value
    labels = [label for label, _ in part.figure.options]
    assert labels[0].startswith("Tension at 70 °F")
    part.figure.value = 1
    assert labels[1].split(",")[0] in part.trend.value
    part.start.value = 1
    part.start_button.click()
    assert form.get("dial") == "28; 28; 28"
    assert form.saved == CHANGED
    assert "The readings of entry 1 are now in the form" in part.start_message.value
    part.start.value = 0
    part.start_button.click()
    assert form.get("dial") == "27.5; 28; 27.5", "what the readings file holds"


def test_a_new_check_needs_no_readings_file(place: Path) -> None:
    (place / "readings.toml").unlink()
    form = opened(place)
    part = form.record.part
    assert form.check == ""
    assert part.title.layout.display is None
    for path, text in (("riser", "1"), ("dial", "27; 27; 27"), ("temperature", "58 °F")):
        form.set(path, text)
    assert "Give the new check a name" in press(part)
    part.title.value = "Left pedal, after 10 h"
    assert "Saved as entry 1" in press(part)
    assert (form.check, form.checks.value) == ("left_pedal_after_10_h", "left_pedal_after_10_h")
    assert part.title.layout.display == "none"
    again = opened(place)
    assert again.checks.label == "Left pedal, after 10 h"
    assert (again.saved, again.get("dial")) == (SAVED, "27; 27; 27")
    again.checks.value = ""
    again.load(again.readings | {"riser": "1", "dial": "27", "temperature": "58 °F"})
    part = again.record.part
    part.title.value = "left pedal after 10 h"
    assert "There is a check called left_pedal_after_10_h already" in press(part)
    assert opened(place, check="left_pedal_after_10_h").saved == SAVED
    with pytest.raises(SheetError, match=r"no check 'yesterday'.* left_pedal_after_10_h"):
        opened(place, check="yesterday")


@pytest.mark.parametrize(
    ("title", "name"), [("Left pedal, 10 h!", "left_pedal_10_h"), ("  ", ""), ("Große Prüfung", "große_prüfung")]
)
def test_a_checks_name(title: str, name: str) -> None:
    assert check_name(title) == name


def test_the_demo_inside_the_program_says_that_it_is_read_only(form: Callable[..., Form]) -> None:
    made = form("cable_tension")
    assert "read-only and keeps no record" in made.kept.value
    assert "read-only and keeps no record" in press(made.record.part)
    assert NOTHING_SAVED.split(";")[0] in made.record.part.message.value
    with pytest.raises(RecordError, match="keeps no record"):
        made.save("A. Builder")
    assert not (demo_folder() / "record.sqlite").exists()


def test_trying_touches_nothing(place: Path, form: Callable[..., Form]) -> None:
    for made in (opened(place), form("blade_angles")):
        trial = made.try_saving()
        assert (trial.state, trial.whole, trial.word) == (SAVED, True, made.outcome.word)  # type: ignore[union-attr]
        assert made.saved == NEVER
        made.load({})
        with pytest.raises(RecordError, match="no verdict"):
            made.try_saving()
    there = {path.name for path in place.iterdir()}
    assert there <= {"aircraft.toml", "readings.toml", "drafts.sqlite"}, "no record; what was emptied is a draft"


def test_a_full_and_a_read_only_drive_leave_what_was_typed() -> None:
    with small_drive("256k") as drive:
        form = opened(demo_in(drive))
        part = form.record.part
        form.set("dial", "28; 28; 28")
        part.note.value = "a note"
        fill(drive)
        assert "is full. Make room, then save again." in press(part)
        with read_only_drive(drive):
            assert "read-only" in press(part)
        assert (form.get("dial"), part.note.value, part.who.value) == ("28; 28; 28", "a note", "A. Builder")
        assert form.outcome is not None
        assert 'role="alert"' in part.message.value
        assert form.fault is None
        (drive / "filler").unlink()
        assert "Saved as entry 1" in press(part)


@pytest.mark.parametrize("content", [b"", b"no record " * 1000])
def test_a_record_that_cannot_be_read_is_told_and_hides_no_form(place: Path, content: bytes) -> None:
    (place / "record.sqlite").write_bytes(content)
    form = opened(place)
    assert form.outcome is not None
    assert "record.sqlite is" in form.kept.value
    assert "record.sqlite is" in press(form.record.part)
    assert form.fault is None
    assert (place / "record.sqlite").read_bytes() == content
    assert "The status board cannot be shown." in board_page(Folder(place)).html
    assert "unknown: the record cannot be read" in folder_page(Folder(place)).html


def test_an_altered_entry_is_told(place: Path) -> None:
    import sqlite3

    form = opened(place)
    form.save("A. Builder")
    database = sqlite3.connect(place / "record.sqlite")
    database.execute("DROP TRIGGER entry_stays")
    database.execute("UPDATE entry SET work = 'x'")
    database.commit()
    database.close()
    again = opened(place)
    assert "was altered after it was saved" in again.kept.value
    assert again.outcome is not None
    assert again.record.part.form.fault is None


def test_a_changed_aircraft_file_is_worked_with_before_anything_is_saved(place: Path) -> None:
    form = opened(place)
    part = form.record.part
    file = place / "aircraft.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('low = "30 lb", high = "40 lb"', 'low = "30 lb", high = "33 lb"'), encoding="utf-8")
    said = press(part)
    assert "The aircraft file has changed since this was worked" in said
    assert "now been worked out with the aircraft file as it is" in said
    assert form.outcome is not None
    assert form.outcome.word == "out of limits"
    assert Record(place).entries() == []
    assert "Saved as entry 1" in press(part)
    file.write_text("[aircraft\n", encoding="utf-8")
    form.set("dial", "26; 26; 26")
    assert "the aircraft file cannot be read" in press(part)
    assert form.get("dial") == "26; 26; 26"


def test_no_verdict_stands_by_a_limit_that_was_changed_in_another_window(place: Path) -> None:
    """36.6 lbf by 30 to 40, then by 30 to 33: the next reading taken, whichever, is judged by the file as it is now,
    in the units and with the texts that stand in the form; a file half written is left alone."""
    form = opened(place)
    form.show_in("metric")
    file = place / "aircraft.toml"
    text = file.read_text(encoding="utf-8")
    assert form.outcome.word == "in limits"  # type: ignore[union-attr]
    file.write_text("# a word more\n" + text, encoding="utf-8")
    box = form._box("temperature")
    form.set("temperature", "14 °C")
    assert form._box("temperature") is box, "nothing that it says is another"
    file.write_text(text[:-200] + "[", encoding="utf-8")
    form.set("temperature", "15 °C")
    assert form.outcome.word == "in limits"  # type: ignore[union-attr]
    file.write_text(text.replace('low = "30 lb", high = "40 lb"', 'low = "30 lb", high = "33 lb"'), encoding="utf-8")
    form.set("temperature", "16")
    assert form.outcome is not None
    assert (form.outcome.word, form.system, form.get("temperature")) == ("out of limits", "metric", "16")
    assert "out of limits" in form.headline.value
    assert form.readings["temperature"] == "16 °C"


def test_an_entry_altered_while_a_form_is_open_is_told_there(place: Path) -> None:
    """At its next look, also where another window has saved since: nothing was added by who altered it."""
    form, other = opened(place), opened(place, check="pedal_right_tension")
    form.save("A. Builder")
    form.set("dial", "28")
    form.save("A. Builder")
    with closing(sqlite3.connect(Record(place).path)) as file:
        guards = file.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'").fetchall()
        for name, _ in guards:
            file.execute(f"DROP TRIGGER {name}")
        file.execute("UPDATE entry SET work = replace(work, 'demo manual', 'demo Manual') WHERE number = 1")
        for _, text in guards:
            file.execute(text)
        file.commit()
    form.work()
    assert "entry 1 was altered" in form.keeping.damage
    assert "entry 1 was altered" in form.kept.value
    other.save("A. Builder")
    assert Record(place).head()[0] == 3
    form.work()
    assert "entry 1 was altered" in form.keeping.damage
    assert "entry 1 was altered" in other.keeping.damage


def test_a_stale_entry_is_pointed_out(place: Path) -> None:
    opened(place).save("A. Builder")
    file = place / "aircraft.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace('low = "30 lb", high = "40 lb"', 'low = "30 lb", high = "33 lb"'), encoding="utf-8")
    told = opened(place).record.part.earlier.value
    assert "Entry 1 is stale: it no longer stands as saved. Limits changed" in told
    html = board_page(Folder(place)).html
    assert "<b>stale</b> entry 1" in html
    assert "in limits when saved" in html


def test_a_form_that_stays_open_points_out_what_a_form_opened_anew_does(place: Path) -> None:
    """Its history follows what it is told by: limits changed meanwhile, units, and a look that a key cut off."""
    form = opened(place)
    form.save("A. Builder")
    part = form.record.part
    assert "stale" not in part.earlier.value
    file = place / "aircraft.toml"
    file.write_text(file.read_text("utf-8").replace('"40 lb"', '"38 lb"'), "utf-8")
    pieces = part.update()
    for _ in range(2):  # what stands there, and the first of what is read: then a key comes in
        next(pieces)
    pieces.close()
    for _ in part.update():
        pass
    anew = opened(place).record.part
    assert "Entry 1 is stale" in anew.earlier.value
    assert part.earlier.value == anew.earlier.value
    form.read_again()
    form.set("dial", "29")
    form.save("A. Builder")
    form.show_in("metric")
    for _ in part.update():
        pass
    assert ">N</text>" in part.trend.value or " N<" in part.trend.value or ", N" in part.trend.value


def test_readings_of_other_checks_are_not_mixed_up(place: Path) -> None:
    form = opened(place)
    form.save("A. Builder")
    form.set("dial", "25; 25; 25")
    form.checks.value = "pedal_right_tension"
    assert form.saved == NEVER
    form.save("A. Builder")
    assert form.saved == SAVED
    form.checks.value = "pedal_left_tension"
    assert (form.get("dial"), form.saved) == ("25; 25; 25", CHANGED)
    assert [entry.check for entry in Record(place).entries()] == ["pedal_left_tension", "pedal_right_tension"]


def test_the_board_says_what_is_next(place: Path) -> None:
    html = board_page(Folder(place)).html
    assert "Next: First engine run" in html
    assert "never done" in html
    opened(place).save("A. Builder")
    assert "in limits" in board_page(Folder(place)).html
    assert "Saved as entry 1" in folder_page(Folder(place)).html


def test_the_dossier_is_written_when_the_button_is_pressed(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(place)
    opened(place).save("A. Builder")
    part = dossier_part(Folder(place))
    assert not (place / "dossier.html").exists()
    button, papers, shown = part.children[1:]
    button.click()
    assert 'Written: <a href="dossier.html" data-rotorkit-open="dossier.html">dossier.html</a>' in shown.value
    assert "with 1 check of the record" in shown.value
    assert "Not saved to the record, so not in it" in shown.value
    assert (place / "dossier.html").is_file()
    with patch("rotorkit.dossier.writing.pdf_of", side_effect=PdfError("not here")):
        papers.click()
    assert 'Written: <a href="weight-and-balance.html"' in shown.value
    assert "It is not complete, and says so: the record has no weighing, no loading" in shown.value
    assert "No PDF: not here" in shown.value
    for less in ("rotorkit.edges.memory._left", "rotorkit.dossier.writing.recheck"):
        none = {"return_value": 5_000_000} if less.endswith("_left") else {"side_effect": MemoryError}
        with patch(less, **none):
            button.click()
        assert "No dossier was written: the computer&#x27;s memory ran out. Files are written whole" in shown.value
        assert "fault" not in shown.value
        assert button.disabled is False
    (place / "record.sqlite").write_bytes(b"")
    button.click()
    assert "No dossier was written: record.sqlite is empty" in shown.value
    assert button.disabled is False


def test_two_forms_on_one_check_ask_before_the_second_is_the_newer(place: Path) -> None:
    """What somebody else saved in the meantime is told; pressed again, with that known, the save is made."""
    one, two = opened(place), opened(place)
    assert one.check == two.check
    first = one.save("A. Builder")
    with pytest.raises(
        RecordError, match=rf"entry {first.number} of the same check was saved .* by A\. Builder"
    ) as caught:
        two.save("B. Helper")
    assert "Nothing was saved" in str(caught.value)
    assert Record(place).head()[0] == 1
    second = two.save("B. Helper")
    assert second.number == 2
    with pytest.raises(RecordError, match="entry 2 of the same check"):
        one.save("A. Builder")
    assert two.save("B. Helper").number == 3, "one's own entry is known"


def test_many_saved_checks_cost_no_more_openings_of_the_record(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What stands for the checks that only the record knows is read together; a save reads none of them again."""
    folder, record = Folder(place), Record(place)
    check = next(one for one in folder.checks if one.sheet == "cable_tension")
    made, outcome = check.made(), check.outcome(folder.aircraft)
    openings: list[Path] = []
    reading = files.reading

    def counted(path: Path, *given: Any) -> Any:
        openings.append(path)
        return reading(path, *given)

    def save(*numbers: int, **more: Any) -> None:
        for number in numbers:
            record.save(f"cable_{number}", made, outcome, record.aircraft_text(), "A. Builder", **more)

    taken = []
    monkeypatch.setattr(files, "reading", counted)
    for numbers in (range(2), range(2, 9)):
        save(*numbers)
        openings.clear()
        form = opened(place)
        at_opening = len(openings)
        openings.clear()
        form.save("A. Builder")
        taken.append((at_opening, len(openings)))
    assert taken[0] == taken[1]
    # in another window one check is corrected and a new one saved: both are seen, and the others stand as they were
    before = {one.name: form.keeping.last(one.name) for one in form.keeping.checks()}
    last = record.last("cable_3")
    assert last is not None
    save(3, replaces=last.number, why="read again")
    form.keeping.look()
    save(9)
    form.keeping.look()
    names = [one.name for one in form.keeping.checks()]
    assert names == [one.name for one in opened(place).keeping.checks()]
    assert "cable_9" in names
    for name in names:
        now, there = form.keeping.last(name), record.last(name)
        assert (now and now.number) == (there and there.number)
        if name not in ("cable_3", "cable_9"):
            assert now is before[name]
