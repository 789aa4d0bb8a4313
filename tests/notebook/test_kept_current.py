"""An open page that nobody touches: what is changed in another window, or by hand, is followed, and said."""

import asyncio
import os
import sqlite3
from collections.abc import Callable
from datetime import timedelta
from html import unescape
from pathlib import Path

import pytest

from rotorkit.aircraft import set_value, set_values
from rotorkit.edges import clock
from rotorkit.notebook import AircraftForm, Form, home_page, open_form, watching
from rotorkit.record import SAVED, STALE, Record, RecordError, board
from rotorkit.sheets import Folder
from tests.record.test_attached import png

CHECK = "pedal_left_tension"
LIMIT = "cables.pedal_left.limits.tension"
ELSEWHERE = "The aircraft file was changed elsewhere: worked out again with it."


def opened(place: Path, sheet: str = "cable_tension", check: str | None = CHECK) -> Form:
    return open_form(sheet, check, Folder(place))


def tightened(place: Path) -> None:
    set_value(place, LIMIT, {"low": "90 lbf", "high": "95 lbf", "source": "kit manual, invented page"})


def altered(file: Path, change: Callable[[str], str]) -> None:
    file.write_text(change(file.read_text("utf-8")), "utf-8")


class TestTheAircraftFile:
    def test_a_limit_that_was_changed_judges_at_the_next_look(self, place: Path) -> None:
        form = opened(place)
        form.set("temperature", "61")
        fields = {name: box.control for name, box in form._fields.items()}
        assert form.outcome.word == "in limits"
        assert not form.look() or ELSEWHERE not in form.kept.value
        tightened(place)
        assert form.look()
        assert form.outcome.word == "out of limits"
        assert ELSEWHERE in form.kept.value
        assert form.get("temperature") == "61"
        assert {name: box.control for name, box in form._fields.items()} == fields, "nothing moves under the hands"
        assert not form.look(), "nothing has changed since"
        assert ELSEWHERE in form.kept.value
        form.set("temperature", "62")
        assert ELSEWHERE not in form.kept.value, "the person has gone on"

    def test_a_reading_that_is_taken_says_so_too(self, place: Path) -> None:
        form = opened(place)
        tightened(place)
        form.set("temperature", "61")
        assert form.outcome.word == "out of limits"
        assert ELSEWHERE in form.kept.value

    def test_not_while_somebody_types(self, place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        now = [1000.0]
        monkeypatch.setattr(clock, "elapsed", lambda: now[0])

        async def typed() -> None:
            form = opened(place)
            form.look()
            tightened(place)
            form._box("dial").control.value = "27"
            assert form.typing
            assert not form.look()
            form.work()
            tightened_at = form.outcome.word if form.outcome else ""
            altered(place / "aircraft.toml", lambda text: text.replace("95 lbf", "96 lbf"))
            assert not form.look(), "a pause of a moment is no end of typing"
            now[0] += watching.QUIET
            assert form.look()
            assert form.get("dial") == "27"
            assert tightened_at == "out of limits"

        asyncio.run(typed())

    def test_an_instrument_that_is_new_is_in_the_list_and_what_was_picked_stays(self, place: Path) -> None:
        form = opened(place)
        picked = form.get("gauge")
        given = {"title": "Borrowed gauge", "measures": "cable tension", "uncertainty": "2 lb"}
        set_values(place, {f"instruments.borrowed.{key}": value for key, value in given.items()})
        form.look()
        assert "borrowed" in [key for _, key in form._box("gauge").control.options]
        assert form.get("gauge") == picked

    def test_one_that_cannot_be_read_is_told_and_what_stood_is_said_to_be_old(self, place: Path) -> None:
        form, whole = opened(place), (place / "aircraft.toml").read_text("utf-8")
        form.look()
        (place / "aircraft.toml").write_text(whole + "\n[cables", "utf-8")
        form.look()
        assert "cannot be read as it is now" in form.state.value
        assert form.outcome is not None
        (place / "aircraft.toml").write_text(whole, "utf-8")
        form.look()
        assert form.state.value == ""

    def test_a_limit_of_a_job_that_cannot_be_read_is_not_passed_over_for_good(self, place: Path) -> None:
        form = opened(place, "rotor_track", None)
        form.look()
        written = 'spread = { high = "1/2 in", source = "demo manual 8-2" }'
        altered(place / "aircraft.toml", lambda text: text.replace(written, 'spread = "much"'))
        form.look()
        assert "cannot be read as it is now" in form.state.value
        altered(place / "aircraft.toml", lambda text: text.replace('spread = "much"', written.replace("1/2", "3/4")))
        form.look()
        assert "cannot be read" not in form.state.value
        assert ELSEWHERE in form.kept.value

    def test_other_units_are_taken_on_with_what_was_typed(self, place: Path) -> None:
        form = opened(place)
        form.set("temperature", "50")
        set_value(place, "aircraft.display", "metric")
        form.look()
        assert form.system == "metric"
        assert form.readings["temperature"] == "50 °F"

    def test_a_new_day(self, place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        form = opened(place)
        tomorrow = clock.today() + timedelta(days=1)
        monkeypatch.setattr(clock, "today", lambda: tomorrow)
        assert form.look()
        assert "A new day has begun" in form.kept.value


class TestTheRecord:
    def test_what_was_saved_elsewhere_stands_here_too_unless_something_is_typed(self, place: Path) -> None:
        here, other = opened(place), opened(place)
        before = here.get("temperature")
        other.set("temperature", "64")
        other.save("A. Builder")
        here.look()
        assert here.get("temperature") == "64 °F"
        assert "Entry 1 of this check was saved elsewhere: its readings are here now." in here.kept.value
        assert here.saved == SAVED
        here.undo()
        assert here.get("temperature") == before

    def test_what_is_typed_stays_and_is_told(self, place: Path) -> None:
        here, other = opened(place), opened(place)
        here.set("dial", "26; 26; 26")
        other.set("temperature", "64")
        other.save("A. Builder")
        here.look()
        assert here.get("dial") == "26; 26; 26"
        assert here.get("temperature") != "64"
        assert "Entry 1 of this check was saved elsewhere. What stands here is not saved." in here.kept.value
        with pytest.raises(RecordError, match="entry 1"):
            here.save("B. Helper")
        assert here.save("B. Helper").number == 2

    def test_photographs_attached_elsewhere_change_no_reading(self, place: Path) -> None:
        here = opened(place)
        here.save("A. Builder")
        Record(place).attach(1, [("witness.png", png())], "A. Builder")
        here.look()
        assert here.saved == SAVED
        assert "What stands here is in the record as before." in here.kept.value

    def test_an_entry_that_was_altered_is_told(self, place: Path) -> None:
        form = opened(place)
        form.save("A. Builder")
        form.look()
        with sqlite3.connect(place / "record.sqlite") as connection:
            connection.execute("DROP TRIGGER entry_stays")
            connection.execute("UPDATE entry SET work = replace(work, 'A. Builder', 'B. Builder')")
        connection.close()
        form.look()
        assert form.keeping.damage
        assert form.keeping.damage in unescape(form.kept.value)

    def test_what_was_saved_and_would_be_judged_otherwise_today_says_so(self, place: Path) -> None:
        form = opened(place)
        form.save("A. Builder")
        assert "no longer" not in form.kept.value
        tightened(place)
        form.look()
        assert "It no longer stands as it was saved:" in form.kept.value


class TestTheReadingsFile:
    def test_its_readings_are_followed_where_nothing_is_typed(self, place: Path) -> None:
        form, touched = opened(place), opened(place)
        touched.set("temperature", "70")
        text = (place / "readings.toml").read_text("utf-8")
        of_check = text[text.index(f"[{CHECK}]") :]
        was = of_check[of_check.index("dial = ") :].splitlines()[0]
        altered(place / "readings.toml", lambda whole: whole.replace(was, 'dial = "22; 22; 22"', 1))
        form.look()
        assert form.get("dial") == "22; 22; 22"
        assert "readings.toml was changed elsewhere: its readings are here now." in form.kept.value
        touched.look()
        assert touched.get("dial") != "22; 22; 22"
        assert touched.get("temperature") == "70"

    def test_it_is_followed_too_where_the_folder_was_read_again_meanwhile(self, place: Path) -> None:
        """As after figures were written into the aircraft file, or a save that found another one."""
        form = opened(place)
        form.look()
        text = (place / "readings.toml").read_text("utf-8")
        of_check = text[text.index(f"[{CHECK}]") :]
        was = of_check[of_check.index("dial = ") :].splitlines()[0]
        another = '\n[another]\nsheet = "cable_tension"\n'
        altered(place / "readings.toml", lambda whole: whole.replace(was, 'dial = "22; 22; 22"', 1) + another)
        form.read_again()
        form.look()
        assert form.get("dial") == "22; 22; 22"
        assert "readings.toml was changed elsewhere: its readings are here now." in form.kept.value
        assert "another" in [one.name for one in form._checks]

    def test_a_check_that_is_new_is_in_the_list(self, place: Path) -> None:
        form = opened(place)
        altered(place / "readings.toml", lambda text: text + '\n[another]\nsheet = "cable_tension"\n')
        form.look()
        assert "another" in [key for _, key in form.checks.options]
        assert form.checks.value == CHECK


class TestWhatItRestsOn:
    @staticmethod
    def changed(form: Form, text: str) -> None:
        """The first reading of its first table is another."""
        name = next(name for name, rows in form._rows.items() if rows.rows)
        column = next(column for column, box in form._rows[name].rows[0].items() if box.spec.entry is not None)
        form.set(f"{name}.0.{column}", text)
        assert form.outcome is not None, form.problems

    def test_a_loading_that_is_not_saved_knows_of_a_newer_weighing(self, place: Path) -> None:
        form = opened(place, "loading", None)
        assert "came to" not in form.state.value
        weighing = open_form("weigh_in", folder=Folder(place))
        self.changed(weighing, "420 lb")
        weighing.save("A. Builder")
        form.look()
        assert "Rests on what is no longer so:" in form.state.value
        assert "[loading] empty_weight is " in form.state.value
        assert "came to" in form.state.value
        assert form.outcome is not None

    def test_the_same_where_a_saved_one_stands(self, place: Path) -> None:
        form = opened(place, "loading", None)
        form.save("A. Builder")
        weighing = open_form("weigh_in", folder=Folder(place))
        self.changed(weighing, "420 lb")
        weighing.save("A. Builder")
        form.look()
        assert "[loading] empty_weight is " in form.state.value
        (row,) = {row.word for _, row in board(Folder(place)).rows if row.entry and row.entry.sheet == "loading"}
        assert row == STALE, "the board's word"

    def test_what_was_taken_from_an_entry_that_is_corrected_since(self, place: Path) -> None:
        loading = opened(place, "loading", None)
        loading.save("A. Builder")
        margin = open_form("hover_margin", folder=Folder(place))
        offer = next(one for one in margin.offers if one.path == "gross_weight")
        margin.take(offer)
        assert "[entry 1: gross_weight]" in margin.get("gross_weight")
        self.changed(loading, "150 lb")
        loading.save("A. Builder", replaces=1, why="read wrongly")
        margin.look()
        assert "was taken from entry 1, corrected since by entry 2" in margin.state.value


class TestTheAircraftForm:
    def test_fields_follow_and_what_is_typed_stays(self, place: Path) -> None:
        form = AircraftForm(Folder(place))
        form.show("main_rotor")
        controls = {name: box.control for name, box in form.figures.boxes.items()}
        form.figures.set("main_rotor.speed", "498 rpm")
        set_values(place, {"main_rotor.radius": "13.5 ft", "main_rotor.speed": "505 rpm"})
        form.figures.typed_at = -1e9
        form.look()
        assert form.figures.boxes["main_rotor.radius"].text == "13.5 ft"
        assert form.figures.boxes["main_rotor.speed"].text == "498 rpm"
        assert {name: box.control for name, box in form.figures.boxes.items()} == controls
        said = form.figures.message.value
        assert "The aircraft file was changed elsewhere" in said
        assert "Changed there too, where you have typed:" in said
        assert form.figures.write()
        assert 'speed = "498 rpm"' in (place / "aircraft.toml").read_text("utf-8")
        assert 'radius = "13.5 ft"' in (place / "aircraft.toml").read_text("utf-8")

    def test_not_while_somebody_types_and_a_broken_file_is_told(self, place: Path) -> None:
        form = AircraftForm(Folder(place))
        form.show("main_rotor")
        form.figures.set("main_rotor.speed", "498 rpm")
        set_value(place, "main_rotor.radius", "13.5 ft")
        assert not form.look()
        form.figures.typed_at = -1e9
        whole = (place / "aircraft.toml").read_text("utf-8")
        (place / "aircraft.toml").write_text(whole + "\n[cables", "utf-8")
        form.look()
        assert "cannot be read as it is now" in form.state.value
        (place / "aircraft.toml").write_text(whole, "utf-8")
        form.look()
        assert form.figures.boxes["main_rotor.radius"].text == "13.5 ft"
        assert "cannot be read" not in form.state.value

    def test_rows_that_were_typed_into_are_known_again_by_their_names(self, place: Path) -> None:
        form = AircraftForm(Folder(place))
        form.show("loading")
        rows = form.figures.rows["loading.stations"]
        names = [one["(its name in the file)"] for one in rows.texts()]
        rows.rows.rows[1]["title"].control.value = "Another title"
        set_value(place, f"loading.stations.{names[2]}.arm", "71 in")
        form.figures.typed_at = -1e9
        form.look()
        assert [one["(its name in the file)"] for one in rows.texts()] == names
        assert rows.touched
        assert "rows in the file have been changed since" in form.figures.message.value

    def test_a_part_that_was_taken_out_elsewhere_is_told(self, place: Path) -> None:
        form = AircraftForm(Folder(place))
        form.show("cables.pedal_left")
        set_values(place, {"cables.pedal_left": None})
        form.look()
        assert "[cables.pedal_left] was taken out of the aircraft file elsewhere." in form.figures.message.value


def test_a_page_that_is_shown_looks_by_itself_until_it_is_closed(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(watching, "LOOK", 0.01)
    worked: list[int] = []

    async def idle() -> None:
        form = opened(place)
        form.on_change(lambda _form: worked.append(1))
        form.watch()
        form.box.open()
        await asyncio.sleep(0.1)
        assert not worked, "where nothing changes nothing is worked"
        tightened(place)
        for _ in range(500):
            await asyncio.sleep(0.01)
            if worked:
                break
        assert ELSEWHERE in form.kept.value
        form.box.close()
        monkeypatch.setattr(form, "look", lambda: pytest.fail("a form that is closed looks no more"))
        await asyncio.sleep(0.1)

    asyncio.run(idle())


def test_looking_where_nothing_has_changed_asks_for_four_files_and_reads_none(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    form, home = opened(place), home_page(place)
    form.look()
    asked: list[str] = []
    stat = os.stat

    def counted(path: object, *given: object, **named: object) -> os.stat_result:
        asked.append(str(path))
        return stat(path, *given, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "stat", counted)
    monkeypatch.setattr("builtins.open", lambda *_: pytest.fail("a file is read"))
    monkeypatch.setattr(sqlite3, "connect", lambda *_, **__: pytest.fail("a database is opened"))
    assert not form.look()
    assert not home.look()
    assert len([one for one in asked if str(place) in one]) == 2 * len(watching.WATCHED)
