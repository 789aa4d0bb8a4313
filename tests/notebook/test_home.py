"""Home: what is next, every job with a link to its form, and kept current; a form turns to the check of its link."""

import re
import shutil
from html import unescape
from pathlib import Path

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.aircraft.file import AIRCRAFT_FILE
from rotorkit.folder.checks import READINGS_FILE, Folder
from rotorkit.notebook import begin_with, dossier_part, every_check, home_page, open_form, turn_to, your_aircraft
from rotorkit.sheets.catalogue import sheet_names
from rotorkit.sources import cautions

LINK = re.compile(
    r'<a href="([\w/]+\.ipynb)" data-rotorkit-open="([\w/]+\.ipynb)"'
    r'(?: data-rotorkit-check="([^"]*)")?(?: data-rotorkit-of="[^"]+")?>([^<]*)</a>'
)


@pytest.fixture
def hangar(tmp_path: Path) -> Path:
    """A working folder with the demo aircraft and two checks."""
    shutil.copyfile(demo_folder() / AIRCRAFT_FILE, tmp_path / AIRCRAFT_FILE)
    (tmp_path / READINGS_FILE).write_text(
        """[left]
sheet = "cable_tension"
title = "Left <b>cable</b>"
cable = "pedal_left"
gauge = "tension_gauge"
riser = "1"
dial = "27.5; 28; 27.5"
temperature = "58 °F"
thermometer = "thermometer"

[right]
sheet = "cable_tension"
title = "Right cable"
cable = "pedal_right"
""",
        "utf-8",
    )
    return tmp_path


def links(html: str) -> list[tuple[str, str, str]]:
    """(notebook, check or "(none)", words) of every link."""
    found = []
    for one in LINK.finditer(html):
        assert one[1] == one[2]
        found.append((one[1], "(none)" if one[3] is None else unescape(one[3]), unescape(one[4])))
    assert len(found) == html.count("<a ")
    return found


def test_every_job_is_a_click_away_and_a_saved_check_is_seen_at_once(hangar: Path) -> None:
    home = home_page(hangar)
    html = home.shown.value
    there = links(html)
    for name in sheet_names():
        assert (f"{name}.ipynb", "", "Start a new one") in there
        assert any(notebook == f"{name}.ipynb" and check == "(none)" for notebook, check, _ in there)
    assert ("cable_tension.ipynb", "left", "Left <b>cable</b>") in there
    assert "<b>cable</b>" not in html
    assert "from the readings file, not saved" in html
    assert "no readings yet" in html
    assert cautions.MANUAL_GOVERNS in unescape(html)
    # nothing has changed: nothing is worked again
    assert not home.look()

    form = open_form("cable_tension", "left", Folder(hangar))
    form.save("A. Builder")
    assert home.look()
    assert f"{form.outcome.word} (entry 1)" in home.shown.value  # type: ignore[union-attr]
    assert re.search(r"Left &lt;b&gt;cable&lt;/b&gt;</a>.{0,400}entry 1", home.shown.value, re.DOTALL)
    form.set("dial", "19; 19; 19")
    assert home.look()
    assert re.search(r"your draft of [^;]*, not saved; in limits \(entry 1\)", home.shown.value)


def test_a_file_that_cannot_be_read_is_told_and_followed(hangar: Path) -> None:
    pages = [home_page(hangar), your_aircraft(hangar), every_check(hangar)]
    file = hangar / AIRCRAFT_FILE
    good = file.read_text("utf-8")
    file.write_text(good.replace("[aircraft]", "[aircraft"), "utf-8")
    for page in pages:
        assert page.look()
        assert "rotorkit-wrong" in page.shown.value
        assert AIRCRAFT_FILE in page.shown.value
        assert "<table" not in page.shown.value
    file.write_text(good, "utf-8")
    for page in pages:
        assert page.look()
        assert "<table" in page.shown.value


def test_a_nearly_empty_aircraft_file_says_what_each_job_waits_for(tmp_path: Path) -> None:
    (tmp_path / AIRCRAFT_FILE).write_text('[aircraft]\nname = "Mine"\n', "utf-8")
    html = home_page(tmp_path).shown.value
    assert ("aircraft.ipynb", "(none)", "its figures") in links(html)
    assert "It is waiting for figures of your aircraft: " in html
    assert "rotorkit-wrong" not in html


def test_a_form_begins_with_the_check_that_a_link_asked_for(hangar: Path) -> None:
    folder = Folder(hangar)
    begin_with("right")
    form = open_form("cable_tension", folder=folder)
    assert (form.check, form.get("cable")) == ("right", "pedal_right")
    assert 'data-rotorkit-at="right"' in form.chooser.at.value
    # asked for once
    assert open_form("cable_tension", folder=folder).check == "left"
    # one that is open turns; a check that is not there leaves all as it is
    turn_to("")
    assert form.check == ""
    turn_to("left")
    assert (form.check, form.get("dial")) == ("left", "27.5; 28; 27.5")
    assert not form.turn_to("nobody's")
    assert form.check == "left"


def test_the_dossiers_button_is_no_file_of_its_name(hangar: Path) -> None:
    assert dossier_part(Folder(hangar)).children


def test_a_job_of_the_tail_rotor_opens_a_form_of_the_tail_rotor(tmp_path: Path) -> None:
    (tmp_path / AIRCRAFT_FILE).write_text('[aircraft]\nname = "Mine"\n', "utf-8")
    html = home_page(tmp_path).shown.value
    assert 'data-rotorkit-check="" data-rotorkit-of="tail rotor">Blade angles: tail rotor<' in html
    begin_with("", "tail rotor")
    form = open_form("blade_angles", folder=Folder(tmp_path))
    assert (form.check, form.get("rotor"), form.chooser.note.value) == ("", "tail rotor", "")
    turn_to("", "main rotor")  # nothing was typed yet
    assert (form.get("rotor"), form.chooser.note.value) == ("main rotor", "")
    turn_to("", "pedal_left")  # neither rotor: a cable
    assert (form.get("rotor"), form.chooser.note.value) == ("main rotor", "")
    form.set("reference", "0.4 deg")
    turn_to("", "tail rotor")  # what was typed for one rotor is never taken for the other's
    assert form.get("rotor") == "main rotor"
    assert "You came here for tail rotor" in form.chooser.note.value
    form.set("reference", "")
    assert form.chooser.note.value == ""
