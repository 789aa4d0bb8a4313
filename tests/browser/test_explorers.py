"""Explorers as a person meets them: a figure typed, a slider turned by key and by hand, nonsense in a field."""

import re

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.driver import FRONT, PATIENCE, Desk
from tests.browser.test_notebooks import shared

# by notebook: the word in the labels, and what the picture is called
EXPLORERS = {
    "hover_margin": {
        "map": "Power margin in the hover",
        "ceiling": "Hover ceiling over weight",
        "span": "Load along one blade",
    },
    "anti_torque_margin": {"pedals": "Tail-rotor thrust remaining at full pedal"},
    "level_flight": {"curve": "Power over airspeed", "climb": "Best rate of climb"},
    "autorotation": {"glide": "Rate of descent with the power off"},
}


def picture(desk: Desk, title: str) -> str:
    """What an explorer's picture says in words; empty where there is none."""
    found = desk.page.locator(f'{FRONT} .rotorkit-explorer [role=img][aria-label^="{title}"]')
    assert found.count() <= 1
    return (found.get_attribute("aria-label") or "") if found.count() else ""


def changed(desk: Desk, title: str, before: str) -> str:
    """The picture's words, once they are others than before."""
    found = desk.page.locator(f'{FRONT} .rotorkit-explorer [role=img][aria-label^="{title}"]')
    expect(found).not_to_have_attribute("aria-label", before, timeout=PATIENCE)
    return picture(desk, title)


def shown(desk: Desk, title: str, words: str) -> None:
    """Wait for the picture that says these words."""
    found = desk.page.locator(f'{FRONT} .rotorkit-explorer [role=img][aria-label^="{title}"]')
    expect(found).to_have_attribute("aria-label", words, timeout=PATIENCE)


def slider_of(desk: Desk, label: str) -> Locator:
    line = desk.page.locator(f"{FRONT} .rotorkit-line").filter(has=desk.page.get_by_label(label, exact=True))
    return line.locator(".noUi-handle")


def in_view(desk: Desk, label: str) -> None:
    desk.field(label).wait_for(state="attached")
    desk.field(label).scroll_into_view_if_needed()


@pytest.mark.parametrize(
    ("run_once", "notebook"), [pytest.param(name, name, id=name) for name in EXPLORERS], indirect=["run_once"]
)
def test_typing_and_turning_change_the_picture(run_once: Desk, notebook: str) -> None:
    desk = run_once
    for short, title in EXPLORERS[notebook].items():
        label = f"Gross weight, {short}"
        in_view(desk, label)
        before, stood = picture(desk, title), desk.field(label).input_value()
        desk.fill(label, "1,150 lb")
        typed = changed(desk, title, before)

        slider_of(desk, label).focus()
        for _ in range(3):
            desk.page.keyboard.press("ArrowRight")
        expect(desk.field(label)).to_have_value("1,165 lb", timeout=PATIENCE)
        assert changed(desk, title, typed) != before

        desk.fill(label, "a banana")
        line = desk.page.locator(f"{FRONT} .rotorkit-line").filter(has=desk.page.get_by_label(label, exact=True))
        expect(line).to_contain_text("cannot read", ignore_case=True, timeout=PATIENCE)
        desk.wait_text(re.compile("No picture yet"), seconds=PATIENCE / 1000)
        assert picture(desk, title) == ""
        assert desk.outputs.get_by_text("Traceback").count() == 0
        desk.fill(label, "1,150 lb")
        shown(desk, title, typed)
        desk.fill(label, stood)
        shown(desk, title, before)


@shared("hover_margin")
def test_a_slider_is_pulled_by_hand_and_the_form_is_left_alone(run_once: Desk) -> None:
    desk = run_once
    label, title = "Gross weight, map", "Power margin in the hover"
    in_view(desk, label)
    before = picture(desk, title)
    slider = slider_of(desk, label)
    slider.scroll_into_view_if_needed()
    slider.hover()  # waits until it stands still: what is drawn above it pushes it down
    box = slider.bounding_box()
    assert box is not None
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    desk.page.mouse.move(x, y)
    desk.page.mouse.down()
    for i in range(12):
        desk.page.mouse.move(x - 4 * i, y)
        desk.page.wait_for_timeout(20)
    desk.page.mouse.up()
    assert changed(desk, title, before)
    expect(desk.field(label)).not_to_have_value("1,255 lb", timeout=PATIENCE)
    expect(desk.field("Gross weight")).to_have_value("1,255 lb", timeout=PATIENCE)
    desk.button("Start again with the form's readings").first.click()
    expect(desk.field(label)).to_have_value("1,255 lb", timeout=PATIENCE)
    shown(desk, title, before)
