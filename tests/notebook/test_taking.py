"""One reading taken once: what a saved check has is offered where it is asked for, and kept with its entry."""

import io
import shutil
import tomllib
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from PIL import Image

from rotorkit.aircraft import demo_folder
from rotorkit.edges import clock
from rotorkit.notebook import AircraftForm, Form, open_form
from rotorkit.notebook.asking import FiguresBox
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


def without(folder: Path, *keys: str) -> str:
    """The aircraft file without some keys of [loading], as it stands then."""
    file = folder / "aircraft.toml"
    lines = file.read_text(encoding="utf-8").split("\n")
    start = lines.index(next(line for line in lines if line.startswith("[loading]")))
    kept = [line for i, line in enumerate(lines) if not (start < i < start + 5 and line.split(" ")[0] in keys)]
    file.write_text("\n".join(kept), encoding="utf-8")
    return file.read_text(encoding="utf-8")


EMPTY = ("empty_weight", "empty_arm", "empty_lateral_arm")


def held(folder: Path) -> dict[str, str]:
    return {name: text for name, text in tomllib.loads((folder / "aircraft.toml").read_text())["loading"].items()
            if isinstance(text, str)}  # fmt: skip


def offered(figures: FiguresBox) -> list[str]:
    return [line.children[1].value for line in figures.offers.box.children]


def test_loading_is_offered_the_weigh_in_s_empty_aircraft_lengthwise_and_to_the_side(folder: Path) -> None:
    before = without(folder, *EMPTY, "source")
    loading = opened(folder, "loading", "loaded_today")
    assert loading.outcome is None
    assert offered(loading.asks.figures) == [], "nothing is saved yet"
    assert "loading.empty_lateral_arm" not in loading.asks.figures.boxes
    weighed = opened(folder, "weigh_in", "weighed")
    weighed.save("A. Builder")
    found = {one.key: one.said for one in weighed.outcome.findings}
    loading.work()
    figures = loading.asks.figures
    assert set(figures.boxes) == {f"loading.{name}" for name in (*EMPTY, "source")}
    (said,) = offered(figures)
    assert "From entry 1 of " in said
    assert all(found[name] in said for name in EMPTY)
    assert (folder / "aircraft.toml").read_text(encoding="utf-8") == before, "nothing is put in unasked"
    figures.offers.buttons[0].click()
    assert "they are not in it yet" in figures.message.value
    assert loading.outcome is None
    assert offered(figures) == [], "it stands there"
    head = figures.box.children[0].value
    assert "come from its own weigh-in" in head
    assert "kit manual" not in head, "a manual does not know what this aircraft weighs"
    figures.as_in_the_file()
    figures.offers.buttons[0].click()
    assert figures.write()
    there = held(folder)
    assert {name: there[name] for name in EMPTY} == {name: found[name] for name in EMPTY}
    assert there["source"] == f"{weighed.keeping.title('weighed')}, entry 1 of 30 November 2026"
    assert loading.outcome is not None
    assert loading.asks.figures is None, "nothing is asked for any more"
    assert f"The empty aircraft comes from: {there['source']}." in str(loading.outcome)


def test_what_was_worked_with_it_is_stale_where_it_is_weighed_again_otherwise(folder: Path) -> None:
    weighed = opened(folder, "weigh_in", "weighed")
    weighed.save("A. Builder")
    loading = opened(folder, "loading", "loaded_today")
    assert loading.asks.figures is None, "the file says so within both ±"
    loading.save("A. Builder")
    for number in range(3):
        path = f"points.{number}.reading"
        first, *_ = weighed.get(path).split(";")
        weighed.set(path, f"{float(first.split()[0].replace(',', '')) * 1.02:.1f} lb")
    weighed.save("A. Builder")
    again = recheck(Folder(folder), Record(folder), today=clock.today())
    (stale,) = [one for one in again.reworks if one.entry.check == "loaded_today"]
    assert any("[loading] empty_weight is 802 lb ± 2.8 lb, and entry 3" in cause.sentence for cause in stale.causes)
    loading.work()
    figures = loading.asks.figures
    assert "came to other figures than the aircraft file has" in figures.box.children[0].value
    assert loading.outcome is not None, "worked with what the file has, and said to rest on what is no longer so"
    assert figures.boxes["loading.empty_weight"].text == "802.0 ± 2.8 lb"
    figures.offers.buttons[0].click()
    assert figures.write()
    assert loading.asks.figures is None
    again = recheck(Folder(folder), Record(folder), today=clock.today())
    (stale,) = [one for one in again.reworks if one.entry.check == "loaded_today"]
    assert stale.stale, "the aircraft file is another: it is to be saved again"
    assert not any("write that into the aircraft file" in cause.sentence for cause in stale.causes)


def test_the_aircraft_s_own_form_offers_it_too_and_follows_the_record(folder: Path) -> None:
    form = AircraftForm(Folder(folder))
    form.show("loading")
    assert offered(form.figures) == []
    opened(folder, "equipment_ledger", "equipment_since").save("A. Builder")
    form.look()
    assert offered(form.figures) == [], "the file says the same"
    opened(folder, "weigh_in", "weighed").save("A. Builder")
    form.look()
    (said,) = offered(form.figures)
    assert "801.8 ± 2.8 lb" in said
    assert "106.94 ± 0.16 in" in said
    form.figures.offers.buttons[0].click()
    assert form.figures.boxes["loading.empty_arm"].text == "106.94 ± 0.16 in"
    assert form.figures.write()
    assert offered(form.figures) == []


def test_a_weigh_in_that_is_not_whole_offers_nothing(folder: Path) -> None:
    without(folder, *EMPTY, "source")
    weighed = opened(folder, "weigh_in", "weighed")
    weighed.set("oil", "not looked at")
    weighed.save("A. Builder")
    assert weighed.outcome.missing
    assert offered(opened(folder, "loading", "loaded_today").asks.figures) == []
