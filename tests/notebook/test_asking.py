"""The aircraft's figures as fields: asked for in the job, written into the file, faults at the field."""

from pathlib import Path

import pytest
from ipywidgets.widgets.widget import _instances

from rotorkit.aircraft import load_aircraft
from rotorkit.folder.checks import Folder
from rotorkit.notebook import AircraftForm, Form

OWN = "# my own file\n[aircraft]\nname = 'Mine' # as painted\n"


@pytest.fixture
def folder(tmp_path: Path) -> Folder:
    (tmp_path / "aircraft.toml").write_text(OWN, encoding="utf-8")
    return Folder(tmp_path)


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
    assert "Needed by: Blade angles" in asks.boxes["main_rotor.positive_blade_angle"].echo.value
    asks.set("main_rotor.blades", "white, yellow")
    asks.set("main_rotor.positive_blade_angle", "leading edge up")
    asks.set("main_rotor.protractor_reads_positive", "leading edge up")
    assert asks.write()
    (adds,) = form.asks.adds
    assert list(adds.measures.options) == ["angle"]
    assert adds.add() == ""
    assert "a name in words first" in adds.message.value
    adds.name.value = "Digital level"
    assert adds.add() == "digital_level"
    assert form.get("protractor") == "digital_level"  # the only one that fits
    asks = form.asks.figures
    assert asks is not None
    assert list(asks.boxes) == ["instruments.digital_level.uncertainty"]
    asks.set("instruments.digital_level.uncertainty", "0.2 lb")
    assert not asks.write()
    assert "needs an angle" in asks.boxes["instruments.digital_level.uncertainty"].echo.value
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
        for place in ("main_rotor", "engine"):
            form.show(place)
        before = len(_instances)
        for place in ("main_rotor", "engine") * 2:
            form.show(place)
        assert len(_instances) == before
