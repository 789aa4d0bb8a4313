"""A main rotor rigged in the browser: mis-rigged readings, the plan, the turning (by an exact rotor), read again."""

import math
import re

from playwright.sync_api import expect

from rotorkit.record import Record, verify
from tests.browser.driver import FRONT, LOOKED_AT, TO_THE_TOP, Desk
from tests.browser.test_notebooks import VERDICT, opened, picture_words, shared, verdict
from tests.browser.test_record import save, state

LEAN = 0.6
TRUE = {
    ("white", "low stop"): 2.85,
    ("yellow", "low stop"): 1.02,
    ("white", "high stop"): 14.82,
    ("yellow", "high stop"): 12.95,
}
ROWS = list(TRUE)
WAYS = {"longer": 1, "out": 1, "shorter": -1, "in": -1}


def plan(desk: Desk) -> dict[str, int]:
    """What the picture says to turn, for the best margin."""
    # a reading that is still being taken has the pictures out of sight for a moment
    desk.page.locator(f"{FRONT} [role=img][aria-label*='What to turn']").first.wait_for(state="visible")
    (words,) = [said for said in picture_words(desk) if said.startswith("What to turn")]
    found = {}
    for name in (
        "White pitch link",
        "Yellow pitch link",
        "Collective rod",
        "Low collective stop",
        "High collective stop",
    ):
        said = re.search(rf"{name}: (?:Best margin: )?(?:as it is|(\d+) flats? (\w+))", words)
        assert said is not None, words
        found[name] = int(said[1]) * WAYS[said[2]] if said[1] else 0
    return found


def turned(flats: dict[str, int]) -> dict[tuple[str, str], float]:
    """The true angles after turning, by arcsines."""
    found = {}
    for (blade, position), angle in TRUE.items():
        rise = flats[f"{blade.capitalize()} pitch link"] * (2 / 28 / 6) / 6.5
        angle = math.degrees(math.asin(math.sin(math.radians(angle - 8)) + rise)) + 8
        stop, sign = ("Low collective stop", 0.1) if position == "low stop" else ("High collective stop", -0.1)
        found[blade, position] = angle + 0.15 * flats["Collective rod"] + sign * flats[stop]
    return found


def read(desk: Desk, angles: dict[tuple[str, str], float]) -> None:
    """Type what a protractor kept facing one way shows, each blade half a turn apart, the shaft leaning."""
    for row, place in enumerate(ROWS, 1):
        first, second = angles[place] + LEAN, -angles[place] + LEAN
        desk.fill(f"Reading, row {row}", f"{first:.1f}; {first + 0.04:.1f}; {first - 0.04:.1f}")
        desk.fill(f"Half a turn later, row {row}", f"{second:.1f}; {second + 0.04:.1f}; {second - 0.04:.1f}")


def look(desk: Desk, name: str) -> None:
    """Keep a picture of the whole form, where it is asked for."""
    if not LOOKED_AT:
        return
    size = desk.page.viewport_size
    assert size is not None
    desk.page.set_viewport_size({"width": size["width"], "height": 5200})
    desk.page.evaluate(TO_THE_TOP)
    desk.look(name, desk.page.locator(f"{FRONT} .rotorkit-form").first)
    desk.page.set_viewport_size(size)


def test_from_mis_rigged_to_in_limits(desk: Desk) -> None:
    opened(desk, "pitch_rigging")
    assert verdict(desk) == "out of limits"
    read(desk, TRUE)
    expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text("out of limits")
    desk.wait_text(re.compile("White pitch link: .* shorter"))
    flats = plan(desk)
    assert flats["White pitch link"] < 0 < flats["Yellow pitch link"]
    expected = [words for words in picture_words(desk) if words.startswith("Expected after turning, best margin")]
    assert expected
    assert "out of limits" not in expected[0]
    look(desk, "rigging_before")
    save(desk, note="as the links were screwed on")
    desk.wait_text(re.compile("Saved as entry 1"))

    read(desk, turned(flats))
    for row, (blade, was) in enumerate((("White", 0.51), ("Yellow", 0.48)), 1):
        now = was - flats[f"{blade} pitch link"] / 6 / 28
        desk.fill(f"Upper engagement, row {row}", f"{now + 0.01:.2f} in")
        desk.fill(f"Lower engagement, row {row}", f"{now:.2f} in")
    # the form moves as long as readings are taken: a person, too, waits before pressing a button
    desk.wait_text(f"understood: {was - flats['Yellow pitch link'] / 6 / 28:.2f} in", seconds=20)
    desk.button("Remove row 1").last.click()  # what was tried with the yellow link belongs to the readings before
    expect(desk.field("Flats, row 1")).to_have_count(0, timeout=20_000)
    expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text("in limits")
    (again,) = [words for words in picture_words(desk) if words.startswith("What to turn")]
    look(desk, "rigging_after")
    # what is left to gain is less than the readings are known to
    assert sum(int(n) for n in re.findall(r"Best margin: (\d+) flat", again)) <= 4
    state(desk, "Changed since saved.")
    save(desk, note="turned, locked, read again")
    desk.wait_text(re.compile("Saved as entry 2"))
    first, second = Record(desk.folder).entries()
    assert (first.word, second.word) == ("out of limits", "in limits")
    assert verify(Record(desk.folder)).whole

    desk.restart_kernel()
    desk.run_all()
    state(desk, "Saved.")
    expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text("in limits")
    opened(desk, "home")
    (row,) = desk.page.locator(f"{FRONT} tr", has_text="the first turn loads every rod end").all()
    expect(row).to_contain_text("in limits")
    expect(row).to_contain_text("entry 2")
    desk.look("rigging_board")


@shared("cable_rigging")
def test_the_cable_is_tightened_as_the_plan_says(run_once: Desk) -> None:
    desk = run_once
    assert verdict(desk) == "out of limits"
    desk.wait_text(re.compile("Turn the barrel 1 1/2 turns tighter"))
    with desk.typed_back("Dial reading", "Threads outside, one end", "Threads outside, other end"):
        desk.fill("Dial reading", "27.5; 27; 27.5")
        desk.fill("Threads outside, one end", "1.5")
        desk.fill("Threads outside, other end", "1")
        expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_contain_text("in limits")
        desk.wait_text(re.compile("Leave the turnbuckle as it is"))
        look(desk, "cable_after")


@shared("pitch_rigging")
def test_what_cannot_be_is_told_beside_its_field(run_once: Desk) -> None:
    desk = run_once
    for field, typed, said in (
        ("Reading, row 1", "3.5; x; 3.6 deg", "x"),
        ("Upper engagement, row 1", "9 in", "9 in"),
        ("Flats, row 1", "half", "half"),
    ):
        good = desk.field(field).input_value()
        desk.fill(field, typed)
        beside = desk.page.locator(f"{FRONT} .rotorkit-row .rotorkit-wrong", has_text=said)
        expect(beside.first).to_be_visible()
        expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_have_count(0)
        assert not desk.outputs.get_by_text("Traceback").count()
        if field.startswith("Reading"):
            desk.look("rigging_wrong", desk.page.locator(f"{FRONT} .rotorkit-form").first)
        desk.fill(field, good)
        expect(desk.page.locator(f"{VERDICT} .rotorkit-word")).to_have_count(1)
