"""Each notebook, opened and run once: nothing for axe-core to find; a reading that changes the verdict, and back."""

import re
import time

import pytest
from playwright.sync_api import expect

from rotorkit.aircraft import demo_folder
from rotorkit.folder.checks import Folder
from tests.browser.driver import FRONT, Desk
from tests.browser.test_notebooks import VERDICT, look_at, picture_words, to_the_top, verdict

# notebook, the readings to begin with (the first, where none are named), field, a reading that changes the verdict,
# the verdict before and after
SHEETS = [
    ("blade_angles", "", "Reading, row 6", "24.8; 24.9; 24.8 deg", "too close to call", "out of limits"),
    ("cable_tension", "", "Dial reading", "33; 33; 33", "in limits", "out of limits"),
    ("hover_margin", "", "Air temperature", "110 °F", "too close to call", "out of limits"),
    ("pitch_rigging", "main_rotor_rigged", "Reading, row 1", "4.6; 4.6; 4.6 deg", "in limits", "out of limits"),
    ("cyclic_range", "cyclic_rigged", "Reading, row 4", "18.5; 18.5; 18.4 deg", "in limits", "too close to call"),
    ("control_travel", "", "Reading, row 6", "32; 32; 32 deg", "in limits", "out of limits"),
    ("control_corners", "", "Least clearance, row 10", "0.05 in", "no verdict yet", "out of limits"),
    ("cable_rigging", "pedal_right_rigged", "Dial reading", "33; 33; 33", "in limits", "out of limits"),
    ("tension_trend", "", "Dial reading, row 4", "20; 20; 20", "in limits", "out of limits"),
    ("push_pull_tubes", "", "Length", "60 in", "in limits", "out of limits"),
    ("anti_torque_margin", "", "Blade angle at full left pedal", "4 deg", "too close to call", "out of limits"),
    ("level_flight", "", "Gross weight", "2,300 lb", "too close to call", "out of limits"),
    ("autorotation", "", "Airspeed in the glide", "120 kt", "too close to call", "out of limits"),
    ("rotor_track", "", "Height, row 1", "1.7; 1.7; 1.7 in", "out of limits", "in limits"),
    ("one_plane_balance", "", "Check run", "0.4; 0.4; 0.4 in/s", "in limits", "out of limits"),
    ("two_plane_balance", "", "Amplitude, row 7", "0.4; 0.4; 0.4 in/s", "in limits", "out of limits"),
    ("track_and_balance", "", "Amplitude, row 5", "0.5; 0.51; 0.52 in/s", "too close to call", "out of limits"),
    ("vibration_orders", "", "Amplitude, row 1 of orders", "0.5 ± 0.01 in/s", "in limits", "out of limits"),
    ("static_balance", "", "Outer scale, row 2", "16.91; 16.91; 16.91 lb", "out of limits", "in limits"),
]
OTHER_PARTS = ("How to measure", "Cautions", "Uncertainty", "By hand", "Note, history", "Not covered", "Practice")
ALL_PARTS = ("blade_angles", "hover_margin")
"""The notebooks in which every part of the form is looked at: their shape is the same in all."""
NOTEBOOKS = [*(notebook for notebook, *_ in SHEETS), "home", "hover"]


@pytest.mark.parametrize(
    ("run_once", "notebook"),
    [pytest.param(name, name, id=name) for name in NOTEBOOKS],
    indirect=["run_once"],
)
def test_axe_finds_nothing_and_formulas_are_set(run_once: Desk, notebook: str) -> None:
    desk = run_once
    to_the_top(desk)
    if notebook not in ("home", "hover"):
        look_at(desk, "Calculation")
    if notebook not in ("home", "control_corners", "hover"):  # there the calculation is one of words
        formulas = desk.page.locator(f"{FRONT} .rotorkit-math mjx-container")
        expect(formulas, "formulas stay as they were typed").not_to_have_count(0)
    assert desk.axe() == []
    assert desk.page.locator(f"{FRONT} mjx-merror").count() == 0
    if notebook not in ("home", "hover"):
        for part in OTHER_PARTS if notebook in ALL_PARTS else OTHER_PARTS[:1]:
            look_at(desk, part)
            assert desk.axe(f"{FRONT} .rotorkit-panel") == []
        desk.page.keyboard.press("Enter")  # on the button that closes it
        expect(desk.page.locator(f"{FRONT} .rotorkit-panel > *")).to_have_count(0)


NARROW = """front => {
  const form = document.querySelector(front + ' .rotorkit-form'), at = found => found.getBoundingClientRect();
  const picture = at(form.querySelector('.rotorkit-first .rotorkit-pictures svg'));
  const long = form.querySelector('.rotorkit-row:not(.head) .rotorkit-long') || form;
  return {
    picture: picture.top, right: picture.left - at(form.querySelector('.rotorkit-typed')).right,
    buttons: new Set(Array.from(form.querySelectorAll('.rotorkit-openings button'), one => at(one).top)).size,
    sideways: Array.from(form.querySelectorAll('.rotorkit-table'))
      .filter(e => e.scrollWidth > e.clientWidth + 1).length,
    long: at(long).width,
    whole: Array.from(form.querySelectorAll('.rotorkit-whole')).filter(e => e.checkVisibility()).map(e => e.innerText),
    cut: Array.from(form.querySelectorAll('.rotorkit-row input')).filter(e => e.scrollWidth > e.clientWidth + 1)
      .map(e => e.value),
  };
}"""


@pytest.mark.parametrize(
    ("run_once", "notebook"),
    [pytest.param(name, name, id=name) for name in ("blade_angles", "control_corners", "vibration_orders")],
    indirect=["run_once"],
)
def test_on_a_tablet_the_picture_stands_beside_rows_that_need_the_whole_width(run_once: Desk, notebook: str) -> None:
    page = run_once.page
    before = page.viewport_size
    assert before is not None
    page.set_viewport_size({"width": 1024, "height": 768})
    page.evaluate("() => window.jupyterapp.shell.collapseLeft()")  # as in a page that opens so narrow
    to_the_top(run_once)
    page.wait_for_timeout(300)
    seen = page.evaluate(NARROW, FRONT)
    run_once.look(f"tablet_{notebook}")
    faults = run_once.axe()
    page.evaluate("() => window.jupyterapp.shell.expandLeft()")
    page.set_viewport_size({"width": 1366, "height": 768})
    page.wait_for_timeout(300)
    cut = page.evaluate(NARROW, FRONT)["cut"]
    page.set_viewport_size(before)
    assert seen["cut"] == cut == []
    assert seen["picture"] < 500, seen
    assert seen["right"] > 0, seen
    assert (seen["buttons"], seen["sideways"]) == (1, 0), seen
    assert seen["long"] > 450, seen  # sixteen corners' names begin alike: cut short, they would be one
    assert len(set(seen["whole"])) == (16 if notebook == "control_corners" else 0)
    assert faults == []


@pytest.mark.parametrize(
    ("run_once", "notebook"),
    [pytest.param("track_and_balance", "track_and_balance", id="track_and_balance")],
    indirect=["run_once"],
)
def test_on_a_laptop_the_broadest_rows_have_the_whole_width_beneath_the_picture(run_once: Desk, notebook: str) -> None:
    page = run_once.page
    before = page.viewport_size
    assert before is not None
    page.set_viewport_size({"width": 1366, "height": 768})
    page.evaluate("() => window.jupyterapp.shell.collapseLeft()")
    to_the_top(run_once)
    page.wait_for_timeout(300)
    seen = page.evaluate(NARROW, FRONT)
    run_once.look(f"laptop_{notebook}")
    page.evaluate("() => window.jupyterapp.shell.expandLeft()")
    page.set_viewport_size(before)
    assert seen["picture"] < 500, seen
    assert seen["sideways"] == 0, seen


@pytest.mark.parametrize(
    ("run_once", "check", "field", "reading", "before", "after"),
    [pytest.param(*sheet, id=sheet[0]) for sheet in SHEETS],
    indirect=["run_once"],
)
def test_a_reading_changes_verdict_and_picture_and_nonsense_takes_them_away(
    run_once: Desk, check: str, field: str, reading: str, before: str, after: str
) -> None:
    desk = run_once
    to_the_top(desk)
    begins = desk.field("Readings of").input_value()
    if check:
        desk.field("Readings of").select_option(label=Folder(demo_folder()).check(check).title)
        expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text(before)
    desk.field(field).scroll_into_view_if_needed()
    typed = desk.field(field).input_value()
    assert verdict(desk) == before
    seen = picture_words(desk)
    assert seen
    assert all(len(words) > 40 for words in seen)

    desk.fill(field, reading)
    expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text(after)
    assert picture_words(desk) != seen

    desk.fill(field, "about a banana")
    desk.wait_text(re.compile("Cannot read .about a banana. as"))
    desk.wait_text(re.compile(f"look at {field}"))
    assert desk.page.locator(VERDICT).count() == 0, "a verdict that belongs to other readings"
    assert picture_words(desk) == []
    assert not desk.outputs.get_by_text("Traceback").count()

    desk.fill(field, typed)
    expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text(before)
    # on a slow machine a pause between two keys shows, for a moment, what the half-typed reading comes to
    end = time.monotonic() + 15
    while picture_words(desk) != seen and time.monotonic() < end:
        desk.page.wait_for_timeout(200)
    assert picture_words(desk) == seen
    desk.field("Readings of").select_option(label=begins)
