"""Explorers as a person meets them: a figure typed, a slider turned by its handle, nonsense in a field."""

import re

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.driver import FRONT, Desk
from tests.browser.test_notebooks import opened

# notebook, the word in the labels, what the picture is called
EXPLORERS = [
    ("03", "map", "Power margin in the hover"),
    ("03", "ceiling", "Hover ceiling over weight"),
    ("03", "span", "Load along one blade"),
    ("12", "curve", "Power over airspeed"),
]


def pictures(desk: Desk, title: str) -> list[str]:
    found = desk.page.locator(f'{FRONT} .rotorkit-form [role=img][aria-label^="{title}"]')
    return [found.nth(i).get_attribute("aria-label") or "" for i in range(found.count())]


def slider_of(desk: Desk, label: str) -> Locator:
    line = desk.page.locator(f"{FRONT} .rotorkit-line").filter(has=desk.page.get_by_label(label, exact=True))
    return line.locator(".noUi-handle")


def in_view(desk: Desk, label: str) -> None:
    desk.field(label).wait_for(state="attached")
    desk.field(label).scroll_into_view_if_needed()


@pytest.mark.parametrize(("notebook", "short", "title"), EXPLORERS)
def test_typing_and_turning_change_the_picture(desk: Desk, notebook: str, short: str, title: str) -> None:
    opened(desk, notebook)
    label = f"Gross weight, {short}"
    in_view(desk, label)
    (before,) = (words for words in pictures(desk, title)[-1:])
    desk.fill(label, "1,150 lb")
    desk.wait_text(re.compile("understood: 1,150 lb"))
    (typed,) = (words for words in pictures(desk, title)[-1:])
    assert typed != before

    slider_of(desk, label).focus()
    for _ in range(3):
        desk.page.keyboard.press("ArrowRight")
    expect(desk.field(label)).to_have_value("1,165 lb")
    assert pictures(desk, title)[-1:] not in ([typed], [before])

    desk.fill(label, "a banana")
    desk.wait_text(re.compile("No picture yet"))
    assert not desk.outputs.get_by_text("Traceback").count()
    desk.fill(label, "1,150 lb")
    desk.wait_text(re.compile("understood: 1,150 lb"))
    assert pictures(desk, title)[-1:] == [typed]
