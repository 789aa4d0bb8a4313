"""One reading taken once: what a saved check has is offered where it is asked for, and kept with its entry."""

import io
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PIL import Image

from rotorkit.aircraft import demo_folder
from rotorkit.edges import clock
from rotorkit.notebook import Form, open_form
from rotorkit.record import Record, recheck
from rotorkit.record.rework import TAKEN
from rotorkit.record.taken import sources_of
from rotorkit.sheets import Folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    for name in ("aircraft.toml", "readings.toml"):
        shutil.copyfile(demo_folder() / name, tmp_path / name)
    return tmp_path


def opened(folder: Path, sheet: str, check: str = "") -> Form:
    made = open_form(sheet, folder=Folder(folder))
    assert made.turn_to(check)
    return made


def named(folder: Path) -> str:
    return next(one.name for one in Folder(folder).checks if one.sheet == "anti_torque_margin")


def attach_later(folder: Path, number: int, days: int) -> None:
    """A photograph added to an entry some days after it was saved."""
    picture = io.BytesIO()
    Image.new("RGB", (2, 2)).save(picture, "PNG")
    later = datetime.now(UTC).astimezone() + timedelta(days=days)
    Record(folder, clock=lambda: later).attach(number, [("dial.png", picture.getvalue())], "A. Builder")


def lines(form: Form) -> list[str]:
    form.offers_box.show(form.offers)
    buttons = form.offers_box.buttons  # a last line may only say how many more there are
    return [line.children[1].value for line in form.offers_box.box.children[: len(buttons)]]


def moved(folder: Path) -> list[str]:
    """Why saved checks no longer stand on what they were taken from."""
    again = recheck(Folder(folder), Record(folder), today=clock.today())
    return [cause.sentence for one in again.reworks for cause in one.causes if cause.word == TAKEN]


def test_the_readings_of_the_day_are_taken_by_one_click(folder: Path) -> None:
    day = {"altimeter_setting": "29.81 inHg", "elevation": "640 ft", "temperature": "71 °F", "humidity": "33 %"}
    hover = opened(folder, "hover_margin", "hover_today")
    for path, text in day.items():
        hover.set(path, text)
    saved = hover.save("A. Builder")

    level = opened(folder, "level_flight")
    (line,) = [one for one in lines(level) if "temperature 71" in one]
    assert f"From entry {saved.number} of " in line
    assert "lateral centre of gravity at the end" in lines(level)[-1], "of one loading all is offered, or nothing"
    for text in day.values():
        assert text in line
    level.offers_box.buttons[lines(level).index(line)].click()
    assert {path: level.get(path) for path in day} == {
        path: f"{text} [entry {saved.number}: {path}]" for path, text in day.items()
    }
    assert level.get("thermometer") == "thermometer", "the instrument that it was read with"
    assert f"from entry {saved.number}" in level.message("temperature")
    assert not [one for one in level.offers if one.path in day], "what stands there is not offered again"
    level.undo()
    assert level.get("temperature") == ""


def test_what_held_on_another_day_is_not_offered(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    opened(folder, "hover_margin", "hover_today").save("A. Builder")
    attach_later(folder, 1, days=1)
    tomorrow = clock.today() + timedelta(days=1)
    monkeypatch.setattr(clock, "today", lambda: tomorrow)
    level = opened(folder, "level_flight")
    assert not [one for one in level.offers if one.path == "temperature"]


def test_a_reading_of_which_nobody_says_the_instrument_is_not_given_one(folder: Path) -> None:
    """Offered under the thermometer named here, it would be surer than where it comes from."""
    hover = opened(folder, "hover_margin", "hover_today")
    hover.set("thermometer", "")
    hover.save("A. Builder")
    level = opened(folder, "level_flight")
    for named, offers in (("", 1), ("thermometer", 0)):
        level.set("thermometer", named)
        assert len([one for one in level.offers if one.path == "temperature" and one.entry is not None]) == offers


def test_each_dial_reading_of_a_cable_is_a_row_of_its_trend(folder: Path) -> None:
    left = opened(folder, "cable_tension", "pedal_left_tension")
    for dial in ("27; 27.5; 27", "26; 26.5; 26"):
        left.set("dial", dial)
        left.save("A. Builder")
    opened(folder, "cable_tension", "pedal_right_tension").save("A. Builder")

    attach_later(folder, 2, days=20)

    trend = opened(folder, "tension_trend")
    trend.set("cable", left.get("cable"))
    rows = [one for one in trend.offers if one.adds]
    assert [one.entry for one in rows] == [4, 1], "of this cable, and every day of it"
    assert dict(rows[0].rows[0])["day"] == clock.today().isoformat(), "of the reading, not of its photograph"
    trend.take(rows[-1])
    first = trend._rows["days"].rows[0]
    assert first["day"].text == clock.today().isoformat()
    assert first["dial"].text == "27; 27.5; 27 [entry 1: dial]"
    assert first["temperature"].text.endswith("[entry 1: temperature]")
    assert len(trend._rows["days"].rows) == 3, "into a row that was empty"
    assert "from entry 1" in first["dial"].echo.value

    # and back: a dial that was read for the trend today
    rigging = opened(folder, "cable_rigging")
    rigging.set("cable", left.get("cable"))
    assert {one.entry for one in rigging.offers if one.path == "dial"} == {4}


def test_a_dial_taken_of_one_cable_gives_no_verdict_on_another(folder: Path) -> None:
    """Taken while the wrong cable was picked, which the form then is turned away from."""
    opened(folder, "cable_tension", "pedal_left_tension").save("A. Builder")
    right = opened(folder, "cable_tension", "pedal_right_tension")
    right.set("cable", "pedal_left")
    right.set("dial", "")
    right.take(next(one for one in right.offers if one.path == "dial"))
    assert right.outcome is not None
    right.set("cable", "pedal_right")
    assert right.outcome is None
    assert "entry 1, and that is of pedal_left, not of pedal_right" in right.message("dial")
    right.set("dial", "26; 26.5; 26")
    assert right.outcome is not None
    # written past the form, it is told where the record is rechecked
    taken = Folder(folder).check("pedal_right_tension").readings | {"dial": "27.5; 28; 27.5 [entry 1: dial]"}
    right.load(taken)
    sheet = right.sheet.from_readings(taken)
    assert [moved for moved, said in sources_of(sheet, Record(folder)) if "of pedal_left" in said] == [True]


def test_a_rotor_that_was_read_is_not_read_again_to_be_rigged(folder: Path) -> None:
    angles = opened(folder, "blade_angles", "tail_rotor_angles")
    angles.save("A. Builder")
    rigging = opened(folder, "pitch_rigging")
    rigging.set("rotor", "main rotor")
    assert not [one for one in rigging.offers if one.entry is not None], "of another rotor"
    rigging.set("rotor", "tail rotor")
    (offer,) = [one for one in rigging.offers if one.entry is not None]
    rigging.take(offer)
    for now, then in zip(rigging._rows["stations"].texts(), angles._rows["stations"].texts(), strict=True):
        assert (now["blade"], now["position"]) == (then["blade"], then["position"])
        assert now["reading"].startswith(then["reading"].split("deg")[0].strip())
        assert "[entry 1: stations." in now["reading"]
    assert rigging.get("way") == angles.get("way")
    here, there = (one.worked_sheet.work(one.aircraft).finding("low_stop.A").measured for one in (rigging, angles))
    assert float(here.si) == pytest.approx(float(there.si), rel=1e-12)
    assert float(here.expanded_si) == pytest.approx(float(there.expanded_si), rel=1e-9)


def test_a_reading_that_is_corrected_at_its_source_is_told(folder: Path) -> None:
    hover = opened(folder, "hover_margin", "hover_today")
    first = hover.save("A. Builder")
    anti = opened(folder, "anti_torque_margin", named(folder))
    anti.set("temperature", f"{hover.get('temperature')} [entry {first.number}: temperature]")
    anti.save("A. Builder")
    assert moved(folder) == []
    hover.set("temperature", "40 °F")
    hover.save("A. Builder", replaces=first.number, why="the thermometer lay in the sun")
    (cause,) = moved(folder)
    assert "corrected since by entry 3: 40 °F was read" in cause
    anti.set("temperature", f"41 °F [entry {first.number}: temperature]")
    anti.save("A. Builder")
    assert any("not 41 °F" in cause for cause in moved(folder))
