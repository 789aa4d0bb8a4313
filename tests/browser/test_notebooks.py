"""The notebooks as a person meets them: run, typed into, corrected, reloaded; by keyboard alone; in both themes."""

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Locator, expect

from tests.browser.driver import FRONT, TO_THE_TOP, Desk

VERDICT = f"{FRONT} .rotorkit-form .rotorkit-head"


def shared(notebook: str) -> pytest.MarkDecorator:
    """A test over the one opening of this notebook, which it leaves as it found it."""
    return pytest.mark.parametrize("run_once", [pytest.param(notebook, id=notebook)], indirect=True)


def to_the_top(desk: Desk) -> None:
    desk.page.evaluate(TO_THE_TOP)


def opened(desk: Desk, notebook: str) -> None:
    desk.open_notebook(notebook)
    desk.run_all()
    to_the_top(desk)


def look_at(desk: Desk, part: str) -> Locator:
    """Open a part of the form by its button, with a key, and wait until it is there."""
    button = desk.page.locator(f"{FRONT} .rotorkit-openings button", has_text=part)
    button.focus()
    desk.page.keyboard.press("Enter")
    found = desk.page.locator(f"{FRONT} .rotorkit-panel > *")
    expect(button).to_contain_text("\N{BLACK DOWN-POINTING SMALL TRIANGLE}")
    expect(found).to_have_count(1)
    expect(desk.button(f"Close {part}")).to_be_focused()
    return found


def verdict(desk: Desk) -> str:
    return desk.page.locator(f"{VERDICT} .rotorkit-word").inner_text().strip()


def picture_words(desk: Desk) -> list[str]:
    pictures = desk.page.locator(f"{FRONT} .rotorkit-form:not(.rotorkit-explorer) .rotorkit-pictures [role=img]")
    words: list[str] = pictures.evaluate_all("all => all.map(one => one.getAttribute('aria-label') || '')")
    return words  # of one moment: pictures that follow may be on their way


@contextmanager
def theme(desk: Desk, name: str, light: str) -> Iterator[None]:
    """JupyterLab in this theme; its own again after that, which the server would otherwise keep."""
    change = "theme => window.jupyterapp.commands.execute('apputils:change-theme', {theme})"
    desk.page.evaluate(change, name)
    desk.page.wait_for_selector(f"body[data-jp-theme-light={light}]", state="attached")
    try:
        yield
    finally:
        desk.page.evaluate(change, "JupyterLab Light")
        desk.page.wait_for_selector("body[data-jp-theme-light=true]", state="attached")


@shared("hover_margin")
def test_axe_finds_nothing_in_the_dark(run_once: Desk) -> None:
    desk = run_once
    with theme(desk, "JupyterLab Dark", "false"), desk.typed_back("Air temperature", "Relative humidity"):
        desk.fill("Air temperature", "118 °F")
        desk.fill("Relative humidity", "damp")
        desk.wait_text(re.compile("Cannot read"))
        assert desk.axe() == []


@shared("hover_margin")
def test_while_a_reading_is_being_typed_there_is_no_verdict(run_once: Desk) -> None:
    desk = run_once
    box = desk.field("Air temperature")
    with desk.typed_back("Air temperature"):
        box.focus()
        desk.page.keyboard.press("Control+a")
        desk.page.keyboard.type("88")
        desk.wait_text(re.compile("You are typing: the verdict follows"))
        assert not desk.page.locator(VERDICT).is_visible()
        desk.wait_text(re.compile("understood: 88 °F"))  # a pause takes it, with the unit beside the field
        assert desk.page.locator(VERDICT).is_visible()


@shared("hover_margin")
def test_a_questioned_reading_is_taken_and_pointed_out(run_once: Desk) -> None:
    desk = run_once
    with desk.typed_back("Air temperature"):
        desk.fill("Air temperature", "120 °F")
        desk.wait_text(re.compile("outside what is usual here"))
        assert verdict(desk)


STRAIGHT_ON = """(box, next) => {
  box.focus();
  box.dispatchEvent(new KeyboardEvent('keypress', {key: 'Enter', bubbles: true}));
  return document.activeElement === next;
}"""


@shared("hover_margin")
def test_by_keyboard_alone(run_once: Desk) -> None:
    """Enter goes down to the next reading; Tab and Shift and Tab to everything, choosers too."""
    desk = run_once
    first = desk.field("Gross weight")
    with desk.typed_back("Gross weight"):
        first.focus()
        keys = desk.page.keyboard
        keys.press("Control+a")
        keys.type("600 kg")
        keys.press("Enter")
        desk.wait_text("understood: 600 kg = 1,323 lb")
        expect(desk.field("Centre of gravity")).to_be_focused()
        hint = desk.page.locator(f"{FRONT} .rotorkit-first .rotorkit-hint:visible")
        shape = hint.bounding_box()
        assert shape is not None
        assert shape["width"] > shape["height"]  # beside the field, and no strip a word wide
        keys.press("Shift+Tab")
        expect(desk.field("Weighed with")).to_be_focused()
        keys.press("Shift+Tab")
        expect(first).to_be_focused()
        keys.press("Tab")
        expect(desk.field("Weighed with")).to_be_focused()
        # the key after Enter is for the next field, however busy the page is
        straight = first.evaluate(STRAIGHT_ON, desk.field("Centre of gravity").element_handle())
        assert straight, "a key that follows Enter at once is taken by the field of before"


@shared("blade_angles")
def test_no_key_in_a_form_is_a_command_to_the_cells(run_once: Desk) -> None:
    """JupyterLab takes a letter on a list, a button or the page for one: "x" cuts the cell, and the form with it."""
    desk = run_once
    keys, cells = desk.page.keyboard, desk.page.locator(f"{FRONT} .jp-Cell")
    chooser, there = desk.field("Position, row 1"), cells.count()
    cell = cells.filter(has=desk.page.get_by_label("Position, row 1", exact=True))
    held = chooser.input_value()
    chooser.focus()
    keys.press("ArrowDown")
    expect(chooser).not_to_have_value(held)
    keys.press("ArrowUp")
    expect(chooser).to_have_value(held)
    for place in (chooser, desk.button("Add a row"), cell):
        place.focus()
        for key in ("m", "x", "b", "d", "d", "Shift+m"):
            keys.press(key)
        expect(place).to_be_focused()
    expect(cells).to_have_count(there)
    # nor is there JupyterLab's menu of cells over a field, with "Cut Cell" beside "Paste"
    desk.field("Reading, row 1").click(button="right")
    expect(desk.page.locator(".lm-Menu")).to_have_count(0)
    # where a keyboard comes up on the screen, the field that is typed in stays in view
    last = desk.field("Reading, row 6")
    last.click()
    size = desk.page.viewport_size
    assert size is not None
    box = last.bounding_box()
    assert box is not None
    try:
        desk.page.set_viewport_size({"width": size["width"], "height": int(box["y"])})
        expect(last).to_be_in_viewport(ratio=1)
    finally:
        desk.page.set_viewport_size(size)


def paste(desk: Desk, box: Locator, marked: str, copied: str) -> None:
    desk.page.evaluate("text => navigator.clipboard.writeText(text)", copied)
    box.focus()
    desk.page.keyboard.press(marked)
    desk.page.keyboard.press("Control+v")


@shared("blade_angles")
def test_a_column_goes_down_the_rows_typed_or_pasted(run_once: Desk) -> None:
    """A browser alone takes the line breaks out: 1 and 2 from a table would be the reading 12."""
    desk = run_once
    desk.page.context.grant_permissions(["clipboard-read", "clipboard-write"])
    rows = [desk.field(f"Reading, row {number}") for number in (1, 2, 3)]
    with desk.typed_back("Reading, row 1", "Reading, row 2", "Reading, row 3", "Work done by"):
        paste(desk, rows[0], "Control+a", "4\t5")
        expect(rows[0]).to_have_value("4; 5")
        paste(desk, rows[0], "Control+a", "7 deg")  # what holds no break is the browser's own to put in: as if typed
        rows[0].press("Enter")
        desk.wait_text(re.compile("understood: 7°"))
        expect(rows[1]).to_be_focused()
        paste(desk, rows[0], "Control+a", "1.1\n2.2\r\n3.3\n")
        for row, stands in zip(rows, ("1.1", "2.2", "3.3"), strict=True):
            expect(row).to_have_value(stands)
        desk.wait_text(re.compile("3 lines put in, one to a row, from row 1 on"))
        desk.button("Undo").click()
        expect(rows[0]).to_have_value("7 deg")
        expect(desk.outputs.get_by_text("3 lines put in")).to_have_count(0)
        paste(desk, desk.field("Work done by"), "Control+a", "1\n2")
        expect(desk.field("Work done by")).to_have_value("1; 2")


@shared("blade_angles")
def test_rows_are_added_and_removed_by_keyboard(run_once: Desk) -> None:
    desk = run_once
    desk.button("Add a row").press("Enter")
    expect(desk.field("Reading, row 7")).to_be_visible()
    desk.field("Blade, row 7").focus()
    desk.page.keyboard.type("C")
    desk.page.keyboard.press("Enter")
    desk.wait_text(re.compile("not a blade of the tail rotor"))
    desk.button("Remove row 7").press("Enter")
    expect(desk.field("Reading, row 7")).to_have_count(0)
    assert verdict(desk) == "too close to call"


@shared("cable_tension")
def test_an_own_hand_figure_is_judged(run_once: Desk) -> None:
    desk = run_once
    look_at(desk, "By hand")
    with desk.typed_back("By hand: Tension at 70 °F"):
        desk.fill("By hand: Tension at 70 °F", "36.6 lb")
        desk.wait_text("Agrees")
        desk.fill("By hand: Tension at 70 °F", "97 lb")
        desk.wait_text(re.compile("Does not agree"))
    desk.button("Close By hand").press("Enter")


def test_the_form_is_there_after_a_reload(desk: Desk) -> None:
    opened(desk, "cable_tension")
    desk.fill("Dial reading", "33; 33; 33")
    expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text("out of limits")
    desk.save()
    desk.reload()
    desk.wait_text(re.compile("out of limits"))
    assert desk.field("Dial reading").input_value() == "33; 33; 33"
    desk.restart_kernel()
    desk.run_all()
    desk.page.evaluate(TO_THE_TOP)
    # what was typed is a draft by then, and comes back with it
    expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text("out of limits")
    assert desk.field("Dial reading").input_value() == "33; 33; 33"


@shared("hover_margin")
def test_every_step_can_be_looked_at(run_once: Desk) -> None:
    desk = run_once
    look_at(desk, "Calculation")
    pick = desk.field("Look at step")
    pick.select_option(label="5. Density altitude")
    expect(desk.page.locator(f"{FRONT} .rotorkit-math")).to_have_count(1)
    pick.select_option(label="each step in turn")
    desk.page.wait_for_function(
        "front => document.querySelectorAll(front + ' .rotorkit-form .rotorkit-math mjx-container').length > 20",
        arg=FRONT,
    )
    assert desk.page.locator(f"{FRONT} mjx-merror").count() == 0
    desk.button("Close Calculation").press("Enter")


AT_ONCE = """(box, text) => {
  box.focus();
  for (let end = 1; end <= text.length; end += 1) {
    box.value = text.slice(0, end);
    box.dispatchEvent(new Event('input', {bubbles: true}));
  }
  box.dispatchEvent(new KeyboardEvent('keypress', {key: 'Enter', keyCode: 13, bubbles: true}));
}"""
"""Typed faster than any kernel answers: it has the first letter when Enter is pressed."""


def test_a_lesson_marks_as_a_learner_types(desk: Desk) -> None:
    """Nonsense, a hint, right; home is one click away."""
    opened(desk, "signs")
    asked = desk.page.locator(f"{FRONT} .rotorkit-question").first
    box = asked.get_by_role("textbox")
    for typed, told in (("a banana", "Write a number"), ("8.3 deg", "too small"), ("10.7 deg", "10.7° is right")):
        box.evaluate(AT_ONCE, typed)
        expect(asked.get_by_text(told)).to_be_visible()
    second = desk.page.locator(f"{FRONT} .rotorkit-question").nth(1)
    second.get_by_role("button", name="Hint").click()
    expect(second.get_by_text("First the difference")).to_be_visible()
    expect(desk.page.locator(FRONT).get_by_text("1 of 6 done")).to_be_visible()
    assert desk.axe() == []
    desk.page.locator(f"{FRONT} a", has_text="Home").first.click()
    desk.page.locator(FRONT).get_by_text("Every job").first.wait_for(timeout=30_000)
