"""The aircraft's figures as fields: asked for in the job, written into the file, faults at the field."""

import asyncio
import itertools
import sqlite3
import time
import tomllib
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from ipywidgets.widgets.widget import _instances

from rotorkit.aircraft import demo_folder, load_aircraft, set_value
from rotorkit.aircraft.derived import shaft_turns
from rotorkit.edges import clock
from rotorkit.folder import drafts
from rotorkit.folder.checks import Folder
from rotorkit.folder.drafts import DRAFTS_FILE
from rotorkit.notebook import AircraftForm, Form, asking
from rotorkit.notebook.file_rows import FileRows
from rotorkit.notebook.sections import figure_of, sections
from rotorkit.sheets.programme import usual_milestones

OWN = "# my own file\n[aircraft]\nname = 'Mine' # as painted\n"


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    (tmp_path / "aircraft.toml").write_text(OWN, encoding="utf-8")
    return Folder(tmp_path)


@pytest.mark.parametrize(("typed_in", "then", "length"), [("us", "metric", "ft"), ("metric", "us", "m")])
def test_what_is_typed_and_not_written_means_the_same_where_other_units_are_shown(
    folder: Folder, typed_in: str, then: str, length: str
) -> None:
    """A bare 12 under feet stays 12 ft: as metres the rotor would be three times as large."""
    arm, file = "in" if typed_in == "us" else "mm", folder.path
    set_value(file, "aircraft.display", typed_in)
    form = AircraftForm(Folder(file))
    form.show("main_rotor")
    form.figures.set("main_rotor.radius", "12")
    form.figures.set("main_rotor.speed", "480 rpm")
    form.show("loading")
    form.figures.rows["loading.stations"].rows.add({"title": "Seat"})
    form.figures.rows["loading.stations"].rows.rows[0]["arm"].control.value = "900 ± 2"
    form.figures.keep()
    hover = Form("hover_margin", folder)
    hover.asks.figures.set("main_rotor.radius", "11")
    hover.asks.figures.keep()
    set_value(file, "aircraft.display", then)
    form = AircraftForm(Folder(file))
    form.show("main_rotor")
    assert form.figures.values == {"main_rotor.radius": f"12 {length}", "main_rotor.speed": "480 rpm"}
    assert form.figures.boxes["main_rotor.speed"].text == "480 rpm"
    form.show("loading")
    (stations,) = form.figures.rows.values()
    assert stations.rows.rows[0]["arm"].reading() == f"900 ± 2 {arm}"
    hover = Form("hover_margin", Folder(file))
    assert hover.asks.figures.values == {"main_rotor.radius": f"11 {length}"}


def test_from_nothing_to_a_verdict_in_the_job_itself(folder: Folder) -> None:
    """Blade angles of an aircraft whose file holds its name alone: by hand, 6.0 - 3.0 = 3.0 degrees at the low stop."""
    form = Form("blade_angles", folder)
    assert form.fault is None
    assert "3 figures of the aircraft are still to be filled in" in form.problems[""]
    asks = form.asks.figures
    assert asks is not None
    assert list(asks.boxes) == [
        "main_rotor.blades", "main_rotor.positive_blade_angle", "main_rotor.protractor_reads_positive",
    ]  # fmt: skip
    assert (
        "the mark of each blade, such as white, yellow. Separate them with commas"
        in asks.boxes["main_rotor.blades"].echo.value
    )
    assert "Needed by: Blade angles" in asks.boxes["main_rotor.positive_blade_angle"].echo.value
    asks.set("main_rotor.blades", "white, yellow")
    asks.set("main_rotor.positive_blade_angle", "leading edge up")
    asks.set("main_rotor.protractor_reads_positive", "leading edge up")
    assert asks.write()
    (adds,) = form.asks.adds
    assert list(adds.measures.options) == ["angle"]
    assert adds.add() == ""
    assert "in words" in adds.message.value
    adds.name.value = "Digital level"
    assert adds.add() == "digital_level"
    assert form.get("protractor") == "digital_level"  # the only one that fits
    asks = form.asks.figures
    assert asks is not None
    assert list(asks.boxes) == ["instruments.digital_level.uncertainty"]
    asks.set("instruments.digital_level.uncertainty", "0.2 lb")
    assert not asks.write()
    assert "Needs an angle" in asks.boxes["instruments.digital_level.uncertainty"].echo.value
    asks.set("instruments.digital_level.uncertainty", "0.2 deg")
    assert asks.write()
    assert form.asks.box.children == ()
    assert [row["blade"] for row in form.readings["stations"]] == ["white", "yellow", "white", "yellow"]
    form.set("reference", "3")
    for number, reading in enumerate(("6", "6", "14", "14")):
        form.set(f"stations.{number}.reading", reading)
    assert form.problems == {}
    assert form.outcome is not None
    assert "3.0" in str([found.row() for found in form.outcome.findings])
    text = (folder.path / "aircraft.toml").read_text(encoding="utf-8")
    assert text.startswith(OWN)
    assert load_aircraft(folder.path).main_rotor.blades == ["white", "yellow"]


def test_another_cable_asks_for_its_own_figures(folder: Folder) -> None:
    form = Form("cable_tension", folder)
    first, second = form.asks.adds
    first.name.value = "Left pedal"
    first.add()
    (second,) = form.asks.adds
    second.name.value = "Gauge"
    second.add()
    asks = form.asks.figures
    assert asks is not None
    for key, text in {"limits_at": "70", "diameter": "3/32", "construction": "7x7", "steel": "carbon steel"}.items():
        asks.set(f"cables.left_pedal.{key}", text)
    asks.set("cables.left_pedal.airframe_material", "aluminium alloy 6061")
    asks.set("instruments.gauge.uncertainty", "2 lb")
    assert asks.write()
    assert 'limits_at = "70 °F"' in (folder.path / "aircraft.toml").read_text(encoding="utf-8")  # the field's unit
    form.set("tension", "35")
    form.set("temperature", "70")
    assert form.outcome is not None
    assert (form.outcome.word, form.problems) == ("no limit given", {})


class TestAircraftForm:
    def test_sections_blocks_and_limits(self, folder: Folder) -> None:
        form = AircraftForm(folder)
        form.show("main_rotor")
        assert form.figures is not None
        form.figures.set("main_rotor.radius", "12")
        form.figures.set("main_rotor.limits.travel.low", "10")
        assert not form.figures.write()
        assert "Needs its source" in form.figures.boxes["main_rotor.limits.travel.source"].echo.value
        form.figures.set("main_rotor.limits.travel.source", "7-1")
        assert form.figures.write()
        assert "2 figures" in form.figures.message.value
        assert form.add("cables", "Left cable") == "left_cable"
        assert form.pick.value == "cables.left_cable"
        assert form.add("instruments", "Tension gauge", "cable tension") == "tension_gauge"
        form.figures.set("instruments.tension_gauge.serial", "12")
        form.figures.set("instruments.tension_gauge.uncertainty", "0.5")
        assert not form.figures.write()  # without a table it reads pounds
        form.figures.set("instruments.tension_gauge.uncertainty", "3 %")
        assert form.figures.write()
        table = form.gauge
        assert table is not None
        table.riser.value, table.diameter.value, table.rows.value = "1", "3/32 in", "12 20 lb\n19\t30 lb\nx 40 lb"
        assert not table.add()
        assert "Row 3 needs dial reading and tension" in table.message.value
        table.rows.value = "1_2 20 lb\n19 30 lb\n25 40 lb"  # meant for 1.2, and no 12
        assert not table.add()
        assert "Row 1 needs dial reading and tension" in table.message.value
        table.rows.value = "12 20 lb\n19\t30 lb\n25 40 lb"
        assert table.add()
        assert form.add("controls", "pedals", ends="full left, full right") == "pedals"
        assert form.add("controls", "stick", ends="full left") == ""
        aircraft = load_aircraft(folder.path)
        assert aircraft.main_rotor.radius.typed == "12 ft"
        assert aircraft.main_rotor.limits.travel is not None
        assert len(aircraft.instruments["tension_gauge"].tables[0].rows) == 3
        assert aircraft.controls == {"pedals": ["full left", "full right"]}

    def test_a_file_changed_meanwhile_is_told_and_kept(self, folder: Folder) -> None:
        form = AircraftForm(folder)
        assert form.figures is not None
        form.figures.set("aircraft.serial", "7")
        file = folder.path / "aircraft.toml"
        file.write_text(OWN + "builder = 'me'\n", encoding="utf-8")
        assert not form.figures.write()
        assert "changed meanwhile" in form.figures.message.value
        assert file.read_text(encoding="utf-8") == OWN + "builder = 'me'\n"
        assert form.figures.write()  # seen and pressed again
        assert file.read_text(encoding="utf-8").startswith(OWN + "builder = 'me'\n")

    def test_looking_at_sections_leaves_nothing_behind(self, folder: Folder) -> None:
        form = AircraftForm(folder)
        assert form.box.model_id  # on a page
        for place in ("main_rotor", "engine"):
            form.show(place)
        before = len(_instances)
        for place in ("main_rotor", "engine") * 2:
            form.show(place)
        assert len(_instances) == before


ROWS = """\
[engine]
rated_power = "100 hp"

[engine.power_table]            # the maker's chart
by = "density altitude"
rows = [
    ["0 ft", "100 hp"],         # standard day
    ["8000 ft", "74 hp"],
]
source = "chart 3"

[[measured_hovers]]             # calm
title = "first"
gross_weight = "1,000 lb"       # weighed
pressure_altitude = "500 ft"
temperature = "50 °F"
rotor_speed = "450 rpm"

[loading]
empty_weight = "600 ± 2 lb"
empty_arm = "100 in"
source = "weighing of May"

[loading.stations.seat]         # the only one
title = "Seat"
arm = "80 in"
most = "250 lb"

[controls]
pedals = ["full left", "full right"]    # two
"""


class TestRows:
    """What the file holds in rows, typed: against the file read by the standard library."""

    @pytest.fixture
    def shown(self, folder: Folder) -> AircraftForm:
        (folder.path / "aircraft.toml").write_text(OWN + ROWS, encoding="utf-8")
        return AircraftForm(Folder(folder.path))

    def held(self, form: AircraftForm) -> dict[str, Any]:
        return tomllib.loads((form.folder.path / "aircraft.toml").read_text(encoding="utf-8"))

    def rows(self, form: AircraftForm, place: str) -> FileRows:
        form.show(place.rpartition(".")[0] or place)
        assert form.figures is not None
        return form.figures.rows[place]

    def type_in(self, rows: FileRows, number: int, **cells: str) -> None:
        for name, text in cells.items():
            box = rows.rows.rows[number][name]
            box.put(text)
            rows._changed(box)

    def test_a_power_table_grows_in_order_and_keeps_its_comments(self, shown: AircraftForm) -> None:
        rows = self.rows(shown, "engine.power_table.rows")
        assert shown.figures is not None
        rows.rows.add()
        self.type_in(rows, 2, height="4000", power="about 80")
        assert not shown.figures.write()
        assert "80" in rows.rows.rows[2]["power"].echo.value or "needs" in rows.rows.message.value
        self.type_in(rows, 2, power="88")
        assert shown.figures.write()
        table = self.held(shown)["engine"]["power_table"]
        assert table["rows"] == [["0 ft", "100 hp"], ["4000 ft", "88 hp"], ["8000 ft", "74 hp"]]
        text = (shown.folder.path / "aircraft.toml").read_text(encoding="utf-8")
        assert '    ["0 ft", "100 hp"],         # standard day\n' in text
        assert load_aircraft(shown.folder.path).engine.power_table is not None

    def test_hovers_come_and_go(self, shown: AircraftForm) -> None:
        rows = self.rows(shown, "measured_hovers")
        assert shown.figures is not None
        rows.rows.add()
        self.type_in(rows, 1, title="second", gross_weight="1100", pressure_altitude="500", temperature="-70")
        assert not shown.figures.write()
        assert "Must be" in rows.rows.rows[1]["temperature"].echo.value
        assert "Still to be filled in" in rows.rows.rows[1]["rotor_speed"].echo.value
        self.type_in(rows, 1, temperature="61", rotor_speed="455")
        assert shown.figures.write()
        first, second = self.held(shown)["measured_hovers"]
        assert (first["gross_weight"], second["gross_weight"]) == ("1,000 lb", "1100 lb")
        assert second == {**second, "temperature": "61 °F", "rotor_speed": "455 rpm", "pressure_altitude": "500 ft"}
        rows.rows.remove(1)
        self.type_in(rows, 0, temperature="52")
        assert shown.figures.write()
        assert self.held(shown)["measured_hovers"] == [{**first, "temperature": "52 °F"}]
        text = (shown.folder.path / "aircraft.toml").read_text(encoding="utf-8")
        assert 'gross_weight = "1,000 lb"       # weighed\n' in text
        assert "[[measured_hovers]]             # calm\n" in text

    def test_places_for_a_load_keep_the_names_that_readings_know_them_by(self, shown: AircraftForm) -> None:
        rows = self.rows(shown, "loading.stations")
        assert shown.figures is not None
        self.type_in(rows, 0, title="Left seat")
        rows.rows.add()
        self.type_in(rows, 1, title="Main tank", arm="101 ± 0.5", most="90", burns="yes")
        shown.show("weights")  # and back: nothing typed is lost
        rows = self.rows(shown, "loading.stations")
        assert [row["title"] for row in rows.texts()] == ["Left seat", "Main tank"]
        assert shown.figures.write()
        stations = self.held(shown)["loading"]["stations"]
        assert stations["seat"] == {"title": "Left seat", "arm": "80 in", "most": "250 lb"}
        assert stations["main_tank"] == {"title": "Main tank", "arm": "101 ± 0.5 in", "most": "90 lb", "burns": True}
        rows.rows._act(lambda: rows.rows.remove(0))
        shown = AircraftForm(Folder(shown.folder.path))  # the page loaded again
        rows = self.rows(shown, "loading.stations")
        assert shown.figures is not None
        assert "is back in these fields" in shown.figures.message.value
        assert shown.figures.write()
        assert list(self.held(shown)["loading"]["stations"]) == ["main_tank"]

    def test_an_envelope_and_a_milestone_are_begun(self, shown: AircraftForm) -> None:
        rows = self.rows(shown, "loading.envelopes.0.corners")
        figures = shown.figures
        assert figures is not None
        figures.set("loading.envelopes.0.title", "Fore and aft")
        figures.set("loading.envelopes.0.between", "arm and mass")
        figures.set("loading.envelopes.0.source", "6-3")
        for arm, mass in (("95", "600"), ("95", "1300"), ("105", "")):
            rows.rows.add()
            self.type_in(rows, len(rows.rows.rows) - 1, arm=arm, mass=mass)
        assert not figures.write()
        assert "Corner 3 needs arm and its mass" in figures.message.value
        self.type_in(rows, 2, mass="1300")
        assert figures.write()
        corners = self.held(shown)["loading"]["envelopes"][0]["corners"]
        assert corners[2] == {"arm": "105 in", "mass": "1300 lb"}
        assert "loading: envelope Fore" in str(shown.pick.options).replace("envelope: ", "envelope ")
        shown.show("milestones.0")
        assert shown.write_usual_milestones()
        usual = [one.title for one in usual_milestones(load_aircraft(shown.folder.path))]
        assert [one["title"] for one in self.held(shown)["milestones"]] == usual
        rows = self.rows(shown, "milestones.1.needs")
        rows.rows.add()
        self.type_in(rows, len(rows.rows.rows) - 1, sheet="compression", why="its cylinders")
        assert shown.figures is not None
        shown.figures.set("milestones.1.reached", "2026-11-02")
        assert shown.figures.write()
        second = load_aircraft(shown.folder.path).milestones[1]
        assert (second.needs[-1].sheet, second.needs[-1].why) == ("compression", "its cylinders")
        assert str(second.reached) == "2026-11-02"
        before = (shown.folder.path / "aircraft.toml").read_text(encoding="utf-8")
        assert shown.remove()
        assert [one["title"] for one in self.held(shown)["milestones"]] == [usual[0], *usual[2:]]
        shown._put_back(before, "milestones.1")
        assert (shown.folder.path / "aircraft.toml").read_text(encoding="utf-8") == before

    def test_controls_and_limits_of_jobs(self, shown: AircraftForm) -> None:
        rows = self.rows(shown, "controls")
        assert shown.figures is not None
        rows.rows.add()
        self.type_in(rows, 1, control="collective", ends="down")
        assert not shown.figures.write()
        assert "two different ends" in rows.rows.message.value + rows.rows.rows[1]["ends"].echo.value
        self.type_in(rows, 1, ends="down, up")
        assert shown.figures.write()
        shown.show("control_limits.travel.collective")
        assert shown.figures is not None
        shown.figures.set("control_limits.travel.collective.dead_band.high", "0.1")
        shown.figures.set("control_limits.travel.collective.dead_band.source", "7-1")
        assert shown.figures.write()
        shown.show("limits.compression")
        assert shown.figures is not None
        shown.figures.set("limits.compression.loss.high", "25")
        shown.figures.set("limits.compression.loss.source", "5-2")
        assert shown.figures.write()
        held = self.held(shown)
        assert held["controls"] == {"pedals": ["full left", "full right"], "collective": ["down", "up"]}
        assert held["control_limits"]["travel"]["collective"]["dead_band"] == {"high": "0.1 in", "source": "7-1"}
        assert held["limits"]["compression"]["loss"] == {"high": "25 %", "source": "5-2"}

    def test_a_control_with_a_point_in_its_name_stays_as_it_is(self, shown: AircraftForm) -> None:
        """Places are parted by points, so such a name cannot be written to: neither doubled nor half taken out."""
        file = shown.folder.path / "aircraft.toml"
        file.write_text(OWN + '[controls]\n"no. 1" = ["in", "out"] # mine\n', encoding="utf-8")
        shown = AircraftForm(Folder(file.parent))
        rows = self.rows(shown, "controls")
        assert shown.figures is not None
        rows.rows.add()
        self.type_in(rows, 1, control="stick", ends="left, right")
        assert shown.figures.write()
        assert self.held(shown)["controls"] == {"no. 1": ["in", "out"], "stick": ["left", "right"]}
        for change in (lambda: self.type_in(rows, 0, ends="in, full out"), lambda: rows.rows.remove(0)):
            change()
            assert not shown.figures.write()
            assert "a point in its name" in rows.rows.message.value + rows.rows.rows[0]["control"].echo.value
        assert self.held(shown)["controls"] == {"no. 1": ["in", "out"], "stick": ["left", "right"]}

    def test_every_part_of_the_demo_is_shown_and_writes_nothing_by_itself(self) -> None:
        form = AircraftForm(Folder(demo_folder()))
        for place in {model: place for place, model in form.sections.items()}.values():
            form.show(place)
            assert form.figures is not None
            assert form.figures.box in form.fields.children
            assert (place, form.figures.values, form.figures.typed) == (place, {}, {})


class TestLimitsInTheJob:
    """What a check is judged by is typed in within its form, and the file keeps all that it held."""

    def test_a_job_asks_for_its_own_limits(self, tmp_path: Path) -> None:
        (tmp_path / "aircraft.toml").write_text(
            OWN + "\n[limits.compression] # of the engine\nloss = { high = '25 %', source = '5-2' } # after the run\n",
            encoding="utf-8",
        )
        form = Form("compression", Folder(tmp_path))
        form.opened.toggle("Limits")
        figures = form.limits.part.figures
        assert figures is not None
        assert list(figures.asked) == ["limits.compression.loss", "limits.compression.spread"]
        assert figures.boxes["limits.compression.loss.high"].text == "25 %"
        figures.set("limits.compression.spread.high", "10 lb")
        figures.set("limits.compression.spread.source", "5-3")
        assert not figures.write()
        assert figures.boxes["limits.compression.spread.high"].echo.value != ""
        figures.set("limits.compression.spread.high", "10")
        assert figures.write()
        assert "Written" in figures.message.value
        text = (tmp_path / "aircraft.toml").read_text(encoding="utf-8")
        assert text.startswith(OWN)
        assert "loss = { high = '25 %', source = '5-2' } # after the run\n" in text
        assert 'spread = {high = "10 psi", source = "5-3"}' in text
        found = form.sheet.limit("spread", form.folder.aircraft)
        assert found is not None
        assert found.high_si == pytest.approx(10 * 6894.757, rel=1e-6)

    def test_of_the_cable_that_is_picked_and_judged_at_once(self, tmp_path: Path) -> None:
        """At the manual's own temperature nothing is corrected: 35 lbf read is 35 lbf judged, by 30 to 40 and 36 to
        40."""
        cable = '[cables.{0}]\ntitle = "{0}"\nlimits_at = "70 °F"\nslope = "0.5 lb/°F"\n'
        gauge = '[instruments.{0}]\ntitle = "{0}"\nmeasures = "{1}"\nuncertainty = "{2}"\n'
        text = OWN + cable.format("left") + cable.format("right")
        text += gauge.format("gauge", "cable tension", "0.2 lb") + gauge.format("thermo", "temperature", "1 °F")
        (tmp_path / "aircraft.toml").write_text(text, encoding="utf-8")
        form = Form("cable_tension", Folder(tmp_path))
        form.set("cable", "left")
        form.set("tension", "35")
        form.set("temperature", "70")
        assert form.outcome is not None
        assert form.outcome.word == "no limit given"
        assert "The button Limits below" in form.headline.value
        form.opened.toggle("Limits")
        for low, high, word in (("30", "40", "in limits"), ("36", "40", "out of limits")):
            figures = form.limits.part.figures
            assert figures is not None
            assert [one.place for one in figures.asked.values()] == ["cables.left.limits.tension"]
            for side, typed in (("low", low), ("high", high), ("source", "7-12")):
                figures.set(f"cables.left.limits.tension.{side}", typed)
            assert figures.write()
            assert form.get("tension") == "35"
            assert form.outcome is not None
            assert form.outcome.word == word
        form.set("cable", "right")
        for _ in form.limits.part.update():
            pass
        assert list(form.limits.part.figures.asked) == ["cables.right.limits.tension"]
        assert form.outcome is not None
        assert form.outcome.word == "no limit given"

    def test_what_is_typed_and_not_written_stands_there_again(self, folder: Folder) -> None:
        form = Form("compression", folder)
        figures = form.limits.part.figures
        assert figures is not None
        figures.set("limits.compression.loss.high", "20")
        figures.close()
        again = Form("compression", folder).limits.part.figures
        assert again is not None
        assert again.boxes["limits.compression.loss.high"].text == "20"

    def test_what_could_not_be_kept_is_told_and_kept_later(
        self, folder: Folder, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        for name in ("WAIT", "WAIT_AGAIN"):
            monkeypatch.setattr(f"rotorkit.folder.drafts.{name}", 0.01)
        began, ticks = clock.now(), itertools.count()
        monkeypatch.setattr(clock, "now", lambda: began + timedelta(seconds=next(ticks)))
        form = AircraftForm(folder)
        form.show("weights")
        form.figures.set("weights.maximum", "1,300 lb")
        other = sqlite3.connect(folder.path / DRAFTS_FILE, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        form.figures.set("weights.maximum", "1,310 lb")
        assert "What you type here is not kept yet: drafts.sqlite cannot be written" in form.figures.message.value
        form.show("engine")
        form.show("weights")
        assert form.figures.boxes["weights.maximum"].text == "1,310 lb"
        other.close()
        form.figures.keep()
        drafts_of_another = [drafts._draft_of(row) for row in drafts._rows(folder.path / DRAFTS_FILE)]
        assert [one.typed["weights.maximum"] for one in drafts_of_another if one] == ["1,310 lb"]
        other = sqlite3.connect(folder.path / DRAFTS_FILE, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        form.figures.set("weights.maximum", "1,320 lb")
        form.figures.set("weights.maximum", "")  # as the file has it
        other.close()
        form.figures._keep_again()
        assert drafts._rows(folder.path / DRAFTS_FILE) == []

    def test_what_was_typed_before_and_could_not_be_read_comes_in(
        self, folder: Folder, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        for name in ("WAIT", "WAIT_AGAIN"):
            monkeypatch.setattr(f"rotorkit.folder.drafts.{name}", 0.01)
        form = AircraftForm(folder)
        form.show("weights")
        form.figures.set("weights.maximum", "1,310 lb")
        other = sqlite3.connect(folder.path / DRAFTS_FILE, isolation_level=None)
        other.execute("BEGIN EXCLUSIVE")
        form = AircraftForm(folder)
        form.show("weights")
        assert form.figures.boxes["weights.maximum"].text != "1,310 lb"
        assert "drafts.sqlite cannot be read" in form.figures.message.value
        other.close()
        form.figures._keep_again()
        assert form.figures.boxes["weights.maximum"].text == "1,310 lb"
        assert "is back in these fields" in form.figures.message.value

    def test_a_verdict_says_that_limits_were_typed_by_which_it_does_not_go(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """35 lbf: in 30 to 40, and out of 36 to 40, which stands in the fields and not in the file."""
        monkeypatch.setattr(asking, "KEPT_AFTER", 0.0)
        cable = '[cables.{0}]\ntitle = "{0}"\nlimits_at = "70 °F"\nslope = "0.5 lb/°F"\n'
        limits = '[cables.{0}.limits]\ntension = {{ low = "30 lb", high = "40 lb", source = "7-12" }}\n'
        gauge = '[instruments.{0}]\ntitle = "{0}"\nmeasures = "{1}"\nuncertainty = "{2}"\n'
        text = OWN + "".join(one.format(name) for name in ("left", "right") for one in (cable, limits))
        text += gauge.format("gauge", "cable tension", "0.2 lb") + gauge.format("thermo", "temperature", "1 °F")
        (tmp_path / "aircraft.toml").write_text(text, encoding="utf-8")
        form = Form("cable_tension", Folder(tmp_path))

        def typed(of: Form) -> bool:
            for _ in of.limits.part.update() if "limits" in of._parts else ():
                pass
            return "Cable tension. The verdict does not know of it" in of.kept.value

        for field, reading in (("cable", "left"), ("tension", "35"), ("temperature", "70")):
            form.set(field, reading)
        assert form.outcome is not None
        assert (form.outcome.word, typed(form)) == ("in limits", False)
        figures = form.limits.part.figures
        assert figures is not None
        figures.set("cables.left.limits.tension.low", "36")
        figures.keep()
        assert (form.outcome.word, typed(form)) == ("in limits", True)
        form.opened.toggle("Limits")
        form.opened.toggle("Limits")  # closed again: it is still said
        form.work()
        assert typed(form)
        again = Form("cable_tension", Folder(tmp_path))  # the page loaded again, and nothing opened in it
        assert again.get("cable") == "left"
        assert typed(again)
        again.set("cable", "right")  # of the other cable nothing was typed
        assert not typed(again)
        again.set("cable", "left")
        assert typed(again)
        figures = again.limits.part.figures
        assert figures is not None
        assert figures.boxes["cables.left.limits.tension.low"].text == "36"
        assert figures.write()
        assert again.outcome is not None
        assert (again.outcome.word, typed(again)) == ("out of limits", False)

    def test_saving_says_first_that_limits_are_typed_and_not_written(self, tmp_path: Path) -> None:
        """35 lbf: in 30 to 40, and out of 36 to 40, which is typed. Told once, and then no trap."""
        text = OWN + '[cables.left]\ntitle = "left"\nlimits_at = "70 °F"\nslope = "0.5 lb/°F"\n[cables.left.limits]\n'
        text += 'tension = { low = "30 lb", high = "40 lb", source = "7-12" }\n'
        for name, what, off in (("gauge", "cable tension", "0.2 lb"), ("thermo", "temperature", "1 °F")):
            text += f'[instruments.{name}]\ntitle = "{name}"\nmeasures = "{what}"\nuncertainty = "{off}"\n'
        (tmp_path / "aircraft.toml").write_text(text, encoding="utf-8")
        form = Form("cable_tension", Folder(tmp_path))
        for field, reading in (("cable", "left"), ("tension", "35"), ("temperature", "70")):
            form.set(field, reading)
        part, figures = form.record.part, form.limits.part.figures
        assert figures is not None
        part.who.value, part.title.value = "A. Builder", "Left cable"

        def pressed() -> str:
            part.button.click()
            return part.message.value

        def low(text: str) -> None:
            figures.set("cables.left.limits.tension.low", text)

        low("36")
        told = pressed()
        assert form.keeping.record.entries() == []
        assert (
            "A limit is typed and not in the aircraft file yet: Cable tension. The verdict does not know of it" in told
        )
        assert "press Save again now" in told
        form.set("tension", "35.5")  # other readings: what was told was not of them
        assert part.message.value == ""
        assert "press Save again now" in pressed()
        low("37")
        assert "press Save again now" in pressed(), "another limit"
        assert "Saved as entry 1" in pressed()
        assert [one.word for one in form.keeping.record.entries()] == ["in limits"]
        form.set("tension", "35")
        assert "press Save again now" in pressed(), "told of each entry"
        assert figures.write()
        for _ in part.update():
            pass
        assert part.message.value == "", "it is in the file now"
        assert "Saved as entry 2" in pressed()
        assert [one.word for one in form.keeping.record.entries()] == ["in limits", "out of limits"]

    def test_what_is_wrong_is_said_without_a_key_of_the_file(self, folder: Folder) -> None:
        form = AircraftForm(folder)
        assert form.add("instruments", "Dial", "cable tension") == "dial"
        box = form.figures.boxes["instruments.dial.uncertainty"]
        assert "of one reading, in its own unit" in box.echo.value
        assert "deg" not in box.echo.value  # the unit of a protractor
        form.figures.set("instruments.dial.uncertainty", "0,2 lb")
        assert not form.figures.write()
        assert ">The comma in &#x27;0,2 lb&#x27; is not clear" in box.echo.value


class TestRowsKeepTheirComments:
    TABLE = (
        OWN + '[engine.power_table]\nsource = "chart"\nby = "pressure altitude"\nrows = [\n'
        '  ["0 ft", "150 hp"], # by the sea\n  ["4000 ft", "130 hp"], # in the hills\n'
        '  ["8000 ft", "110 hp"] # up\n]\n'
    )

    @pytest.mark.parametrize(
        ("gone", "stay"), [(2, ["# by the sea", "# in the hills"]), (1, ["# by the sea", "# up"]),
                           (0, ["# in the hills", "# up"])],
    )  # fmt: skip
    @pytest.mark.parametrize("after_a_break", [False, True])
    def test_a_new_row_takes_over_no_comment(
        self, folder: Folder, gone: int, stay: list[str], after_a_break: bool
    ) -> None:
        file = folder.path / "aircraft.toml"
        file.write_text(self.TABLE, encoding="utf-8")
        form = AircraftForm(Folder(folder.path))
        form.show("engine.power_table")
        assert form.figures is not None
        rows = form.figures.rows["engine.power_table.rows"]
        rows.rows.remove(gone)
        rows.rows.add({"height": "9000 ft", "power": "100 hp"})
        if after_a_break:
            form.figures.keep()
            form = AircraftForm(Folder(folder.path))
            form.show("engine.power_table")
        assert form.figures is not None
        assert form.figures.write()
        text = file.read_text(encoding="utf-8")
        lines = {line.split("#")[0].strip(" ,"): "#" + line.split("#")[1] for line in text.split("\n") if "] #" in line
                 or "], #" in line}  # fmt: skip
        before = ['["0 ft", "150 hp"]', '["4000 ft", "130 hp"]', '["8000 ft", "110 hp"]']
        kept = [one for number, one in enumerate(before) if number != gone]
        assert lines == dict(zip(kept, stay, strict=True))
        assert len(tomllib.loads(text)["engine"]["power_table"]["rows"]) == 3

    def test_rows_all_new_take_over_no_comment_and_moved_ones_no_other_s(self, folder: Folder) -> None:
        file = folder.path / "aircraft.toml"
        for texts, stays in (
            (None, []),
            (
                {0: "5000 ft"},
                [
                    '"4000 ft", "130 hp"], # in the hills',
                    '"5000 ft", "150 hp"], # by the sea',
                    '"8000 ft", "110 hp"] # up',
                ],
            ),
        ):
            file.write_text(self.TABLE, encoding="utf-8")
            form = AircraftForm(Folder(folder.path))
            form.show("engine.power_table")
            assert form.figures is not None
            rows = form.figures.rows["engine.power_table.rows"].rows
            if texts is None:
                for number in (2, 1, 0):
                    rows.remove(number)
                rows.add({"height": "1000 ft", "power": "145 hp"})
                rows.add({"height": "9000 ft", "power": "100 hp"})
            else:
                rows.rows[0]["height"].put(texts[0])
            assert form.figures.write()
            text = file.read_text(encoding="utf-8")
            lines = [line for line in text.split("\n") if "] #" in line or "], #" in line]
            assert [line.strip().removeprefix("[") for line in lines] == stays

    CORNERS = (
        OWN + '[[loading.envelopes]]\ntitle = "Mine"\nbetween = "arm and mass"\ncorners = [\n'
        '    # light and forward\n    { arm = "96 in", mass = "850 lb" },  # first\n'
        '    { arm = "96 in", mass = "1310 lb" },\n    { arm = "104 in", mass = "1310 lb" }, # third\n'
        '    { arm = "104 in", mass = "850 lb" }  # fourth\n    # the manual, page 6-4\n]\nsource = "manual"\n'
    )

    def test_a_row_is_moved_with_what_is_said_beside_it(self, folder: Folder) -> None:
        """A corner that is added stands last: it goes to its place round the envelope by its button."""
        file = folder.path / "aircraft.toml"
        file.write_text(self.CORNERS, encoding="utf-8")
        form = AircraftForm(Folder(folder.path))
        form.show("loading.envelopes.0")
        assert form.figures is not None
        (rows,) = form.figures.rows.values()
        fourth = rows.rows._buttons[3]
        assert [one.description for one in fourth] == ["Remove row 4", "Move row 4 up", "Move row 4 down"]
        fourth[2].click()  # it is the last: it stays
        assert not rows.touched
        for _ in range(3):
            fourth[1].click()
        assert [one.description for one in fourth] == ["Remove row 1", "Move row 1 up", "Move row 1 down"]
        assert rows.rows.rows[0]["mass"].path == "loading.envelopes.0.corners.0.mass"
        fourth[1].click()
        assert rows.rows._buttons[0] is fourth
        assert form.figures.write()
        text = file.read_text(encoding="utf-8")
        assert text[text.index("corners") : text.index("source")] == (
            'corners = [\n    { arm = "104 in", mass = "850 lb" },  # fourth\n'
            '    # light and forward\n    { arm = "96 in", mass = "850 lb" },  # first\n'
            '    { arm = "96 in", mass = "1310 lb" },\n    { arm = "104 in", mass = "1310 lb" } # third\n'
            "    # the manual, page 6-4\n]\n"
        )
        rows.rows.add({"arm": "100 in", "mass": "1400 lb"})
        assert not form.figures.write(), "the edges cross"
        rows.rows._buttons[4][1].click()
        assert form.figures.write()
        text = file.read_text(encoding="utf-8")
        arms = [(one["arm"], one["mass"]) for one in tomllib.loads(text)["loading"]["envelopes"][0]["corners"]]
        assert arms[2:] == [("96 in", "1310 lb"), ("100 in", "1400 lb"), ("104 in", "1310 lb")]
        assert [line.split("# ")[1] for line in text.split("\n") if "#" in line and "arm" in line] == [
            "fourth", "first", "third"
        ]  # fmt: skip

    PARTS = (
        OWN + '[loading.stations.seat] # the left one\ntitle = "Seat"\narm = "80 in"\nmost = "250 lb"\n\n'
        '# under the seat\n[loading.stations.tank]\ntitle = "Tank"\narm = "101 in"\nmost = "90 lb"\nburns = true\n\n'
        '[cables.left]\ntitle = "Left" # pedal\n\n[cables.right]\ntitle = "Right"\n\n[cables.trim]\ntitle = "Trim"\n\n'
        '[controls]\npedals = ["left", "right"] # feet\ncyclic = ["fore", "aft"] # right hand\n'
    )

    def test_places_for_a_load_and_controls_are_moved(self, folder: Folder) -> None:
        file = folder.path / "aircraft.toml"
        file.write_text(self.PARTS, encoding="utf-8")
        form = AircraftForm(Folder(folder.path))
        form.show("loading")
        assert form.figures is not None
        rows = form.figures.rows["loading.stations"]
        rows.rows.add({"title": "Locker", "arm": "110 in", "most": "40 lb"})
        for _ in range(2):
            rows.rows._buttons[-1 if rows.rows.rows[-1]["title"].text == "Locker" else 1][1].click()
        rows.rows.rows[1]["most"].put("240 lb")
        assert [row["title"] for row in rows.texts()] == ["Locker", "Seat", "Tank"]
        form.show("controls")
        form.show("loading")  # the order that was left and not written stands there again
        assert form.figures is not None
        assert [row["title"] for row in form.figures.rows["loading.stations"].texts()] == ["Locker", "Seat", "Tank"]
        assert form.figures.write()
        held = tomllib.loads(file.read_text(encoding="utf-8"))["loading"]["stations"]
        assert list(held) == ["locker", "seat", "tank"]
        assert held["seat"] == {"title": "Seat", "arm": "80 in", "most": "240 lb"}
        text = file.read_text(encoding="utf-8")
        assert "[loading.stations.seat] # the left one\n" in text
        assert "# under the seat\n[loading.stations.tank]\n" in text
        empty = Form("loading", Folder(folder.path))
        assert [row["station"] for row in empty.readings["items"]] == ["Locker", "Seat", "Tank"], "and so in its job"
        form.show("controls")
        assert form.figures is not None
        rows = form.figures.rows["controls"]
        rows.rows._buttons[1][1].click()
        assert form.figures.write()
        text = file.read_text(encoding="utf-8")
        assert text.index('cyclic = ["fore", "aft"] # right hand') < text.index('pedals = ["left", "right"] # feet')

    def test_a_cable_is_moved_and_put_back(self, folder: Folder) -> None:
        file = folder.path / "aircraft.toml"
        file.write_text(self.PARTS, encoding="utf-8")
        form = AircraftForm(Folder(folder.path))

        def offered() -> list[str]:
            return [one.description for one in form.more.children]

        up, down, out = "Move up in the list", "Move down in the list", "Remove this from the aircraft file"
        form.show("weights")
        assert offered() == []
        form.show("cables.left")
        assert offered() == [down, out]
        assert form.figures is not None
        form.figures.set("cables.left.limits_at", "70 °F")  # is not written, and is not lost
        form.more.children[0].click()
        assert offered() == [up, down, out]
        assert (form.pick.value, form.figures.boxes["cables.left.limits_at"].text) == ("cables.left", "70 °F")
        assert "Cables: left now stands after cables: right" in form.fields.children[0].value
        assert list(Folder(folder.path).aircraft.choices("cables")) == ["right", "left", "trim"]
        assert form.move(1)
        assert offered() == [up, out]
        assert not form.move(1)
        assert [place for place in form.sections if place.startswith("cables") and "turn" not in place] == [
            "cables.right", "cables.trim", "cables.left"
        ]  # fmt: skip
        text = file.read_text(encoding="utf-8")
        assert '[cables.left]\ntitle = "Left" # pedal\n\n[controls]' in text
        form.fields.children[1].children[0].click()  # put it back
        assert list(Folder(folder.path).aircraft.choices("cables")) == ["right", "left", "trim"]
        assert form.figures is not None
        assert form.figures.boxes["cables.left.limits_at"].text == "70 °F"

    def test_a_milestone_is_moved_and_takes_nothing_typed_at_another(self, folder: Folder) -> None:
        form = AircraftForm(folder)
        form.show("milestones.0")
        assert form.write_usual_milestones()
        usual = [one.title for one in form.folder.aircraft.milestones]
        form.show("milestones.2")
        assert form.figures is not None
        form.figures.set("milestones.2.title", "Mine")
        assert not form.move(-1)
        assert f"Milestone: {usual[2]}: something is typed there and not written" in form.figures.message.value
        form.show("milestones.1")
        assert not form.move(1), "what was typed is of the third"
        assert not form.remove(), "and would be of the one after it"
        assert f"Milestone: {usual[2]}: something is typed there" in form.figures.message.value
        assert [one.title for one in load_aircraft(folder.path).milestones] == usual
        form.show("milestones.2")
        assert form.figures is not None
        form.figures.as_in_the_file()
        assert form.move(-1)
        assert form.pick.value == "milestones.1"
        moved = [usual[0], usual[2], usual[1], *usual[3:]]
        assert [one.title for one in load_aircraft(folder.path).milestones] == moved
        form.fields.children[1].children[0].click()
        assert [one.title for one in load_aircraft(folder.path).milestones] == usual
        assert form.pick.value == "milestones.2"

    def test_rows_kept_over_a_file_changed_since_say_so(self, folder: Folder) -> None:
        file = folder.path / "aircraft.toml"
        for added, told in (("", False), ('  ["2000 ft", "140 hp"], # by hand\n', True)):
            file.write_text(self.TABLE, encoding="utf-8")
            form = AircraftForm(Folder(folder.path))
            form.show("engine.power_table")
            assert form.figures is not None
            form.figures.rows["engine.power_table.rows"].rows.add({"height": "9000 ft", "power": "100 hp"})
            form.figures.keep()
            file.write_text(self.TABLE.replace('  ["4000', f'{added}  ["4000'), encoding="utf-8")
            for _again in range(2):
                form = AircraftForm(Folder(folder.path))
                form.show("engine.power_table")
                assert form.figures is not None
                form.figures.keep()
            assert "is back in these fields" in form.figures.message.value
            assert ("writing these removes it" in form.figures.message.value) is told
            assert form.figures.write()
            assert '"8000 ft", "110 hp"], # in the hills' not in file.read_text(encoding="utf-8")


def test_a_link_of_the_drive_is_begun_and_written_within_the_form(folder: Folder) -> None:
    form = AircraftForm(folder)
    assert form.add("links", "First gears") == ""
    assert "[links.first_gears]" in form.adder.message.value
    figures, at = form.adder.figures, "links.first_gears"
    for key, text in {"kind": "gears", "driver": "engine", "driven": "engine", "driver_teeth": "20"}.items():
        figures.set(f"{at}.{key}", text)
    figures.set(f"{at}.driven_teeth", "4000")
    assert not figures.write()
    assert "Must be 500 or less" in figures.boxes[f"{at}.driven_teeth"].echo.value
    figures.set(f"{at}.driven_teeth", "40")
    assert not figures.write()
    assert "a link joins two shafts" in figures.boxes[f"{at}.driver"].echo.value
    figures.set(f"{at}.driven", "main rotor")
    figures.set(f"{at}.turns", "2")
    assert not figures.write()
    assert "a link joins two shafts" not in figures.boxes[f"{at}.driver"].echo.value  # put right in the other field
    assert (folder.path / "aircraft.toml").read_text(encoding="utf-8") == OWN
    figures.set(f"{at}.turns", "")
    assert figures.write()
    assert form.pick.value == at
    assert (folder.path / "aircraft.toml").read_text(encoding="utf-8").startswith(OWN)
    assert shaft_turns(load_aircraft(folder.path)) == pytest.approx({"engine": 2.0, "main rotor": 1.0})  # 40 / 20
    # the whole train stands beneath, from what was just written
    assert "<svg" in form.train.value
    assert "turns" in form.train.value or "rpm" in form.train.value
    form.show("main_rotor")
    assert "<svg" not in form.train.value


class TestAnEngineMonitor:
    def test_one_is_begun_and_filled_in_without_the_file(self, folder: Folder) -> None:
        (folder.path / "run.csv").write_text("Time;RPM;EGT 1\n12:00:01;2700;1350,5\n", encoding="utf-8")
        form = AircraftForm(folder)
        assert form.add("recorders", "Engine monitor") == ""
        assert "Type the name of that column" in form.adder.message.value
        assert "Time, RPM, EGT 1" in form.adder.monitor.heads.value
        form.adder.monitor.column.value, form.adder.monitor.unit.value = "RPM", "furlong"
        assert form.adder.add() == ""
        form.adder.monitor.unit.value = "rpm"
        assert form.adder.add() == "engine_monitor"
        assert form.pick.value == "recorders.engine_monitor"
        assert form.figures is not None
        at = "recorders.engine_monitor"
        form.figures.set(f"{at}.time.column", "Time")
        form.figures.set(f"{at}.time.unit", "clock")
        form.figures.rows[f"{at}.columns"].rows.add({"channel": "exhaust_1", "column": "EGT 1", "unit": "degF"})
        assert form.figures.write()
        recorder = load_aircraft(folder.path).recorders["engine_monitor"]
        run = recorder.read(folder.path / "run.csv")
        assert sorted(run.channels) == ["engine_speed", "exhaust_1"]
        assert run.channels["engine_speed"][0] == pytest.approx(2700 * 2 * 3.141592653589793 / 60)
        assert run.channels["exhaust_1"][0] == pytest.approx((1350.5 - 32) / 1.8 + 273.15)
        form.figures.set(f"{at}.time.column", "")
        form.figures.set(f"{at}.time.unit", "")
        assert form.figures.write()
        assert load_aircraft(folder.path).recorders["engine_monitor"].time is None


def test_every_part_of_the_aircraft_has_a_figure_where_one_helps(tmp_path: Path) -> None:
    kinds = ["angle", "cable tension", "temperature", "pressure", "humidity", "mass", "rotor speed", "length",
             "vibration"]  # fmt: skip
    instruments = "".join(
        f'[instruments.one_{number}]\ntitle = "a"\nmeasures = "{kind}"\nuncertainty = ""\n'
        for number, kind in enumerate(kinds)
    )
    (tmp_path / "aircraft.toml").write_text(OWN + instruments, encoding="utf-8")
    aircraft = load_aircraft(tmp_path)
    without = [place for place in sections(aircraft) if not figure_of(place, aircraft).startswith("<svg")]
    assert without == ["aircraft"]  # names: nothing to draw


def test_a_press_that_overtakes_the_last_letters_waits_for_them(
    folder: Folder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(clock, "elapsed", time.monotonic)
    monkeypatch.setattr(asking, "SETTLED", 0.05)

    async def pressed() -> None:
        form = AircraftForm(folder)
        form.show("weights")
        box = form.figures.boxes["weights.maximum"]
        box.control.value = "1"
        form.figures.button.click()
        box.control.value = "1310"
        while "Written" not in form.figures.message.value:
            await asyncio.sleep(0.01)
        assert 'maximum = "1310 lb"' in (folder.path / "aircraft.toml").read_text("utf-8")
        box.control.value = "1320"
        assert "What you have typed since is not in the aircraft file yet." in form.figures.message.value

    asyncio.run(pressed())
