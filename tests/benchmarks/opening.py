"""Every notebook opened from home: how long until its form answers, and what of it stands on a laptop's first screen.

Run by ``make benchmarks``, alone with ``PYTEST_ARGS="-k opening"``, a part of it with
``ROTORKIT_NOTEBOOKS="mixture hover_margin"`` before it. It asserts no time. Of each opening it tells the messages that
the kernel sent to the page, and of one reading typed, with Enter; and the time from Enter to the frame with the new
picture, over that of blade angles in the same run. A screen of each stands in
``tests/browser/screenshots`` afterwards.
"""

import os
import re
import statistics
import time
from typing import Any

import pytest
from playwright.sync_api import Error, Locator, WebSocket

from rotorkit.folder.notebooks import shipped_notebooks
from tests.benchmarks.telling import tell
from tests.browser.conftest import chromium
from tests.browser.driver import FRONT, SCROLLED, TO_THE_TOP, Desk

pytestmark = pytest.mark.skipif(chromium() is None, reason="No Chromium on this machine: nothing was opened.")
NO_FORM = ("home", "aircraft")
NOTEBOOKS = os.environ.get("ROTORKIT_NOTEBOOKS", "").split() or [
    name.removesuffix(".ipynb")
    for name in shipped_notebooks()
    if "/" not in name and name.removesuffix(".ipynb") not in NO_FORM
]
AS_LONG = "blade_angles"
FIELDS, EDITS = 3, 3
PICTURE = ".rotorkit-form:not(.rotorkit-explorer) .rotorkit-pictures [role=img]"
ANSWER = f"{FRONT} .rotorkit-banner:not(:empty)"
SCREENS = {
    "1366 x 768": (1366, 768, False),
    "1366 x 768, files shown": (1366, 768, True),
    "1024 x 768": (1024, 768, False),
}
FILES = "shown => window.jupyterapp.shell[shown ? 'expandLeft' : 'collapseLeft']()"
# Where things stand, from the top of the window, and what is cut off at their right.
SEEN = """front => {
  const panel = document.querySelector(front);
  const at = found => found ? found.getBoundingClientRect() : null;
  const shown = found => found.checkVisibility({visibilityProperty: true}) && at(found).height > 2;
  const one = selector => Array.from(panel.querySelectorAll(selector)).find(shown);
  const form = one('.rotorkit-form:not(.rotorkit-explorer)');
  const inside = selector => Array.from(form.querySelectorAll(selector)).filter(shown);
  const title = one('h1'), banner = one('.rotorkit-banner');
  const answer = one('.rotorkit-banner .rotorkit-word') || banner;
  const reading = inside('.rotorkit-first :is(.rotorkit-line, .rotorkit-row:not(.head)) :is(input, select)')[0];
  const picture = inside('.rotorkit-first .rotorkit-pictures svg')[0];
  const save = Array.from(panel.querySelectorAll('button')).find(e => e.innerText === 'Save to the record');
  const height = picture ? at(picture).height : 0;
  const cut = inside('input').filter(e => e.scrollWidth > e.clientWidth + 1)
    .sort((a, b) => b.scrollWidth - b.clientWidth - a.scrollWidth + a.clientWidth)
    .map(e => `${e.value} (${e.scrollWidth - e.clientWidth} px of ${e.scrollWidth})`);
  const beyond = inside('*').filter(e => !e.closest('svg, mjx-container, .widget-label.unseen, .rotorkit-unseen')
    && at(e).width > 2 && at(e).right > at(form).right + 2);
  const side = inside('.rotorkit-table').filter(e => e.scrollWidth > e.clientWidth + 1).length;
  const buttons = new Set(inside('.rotorkit-openings button').map(e => Math.round(at(e).top)));
  return {
    width: Math.round(at(form).width), title: title ? at(title).bottom : 0, answer: answer ? at(answer).bottom : 9999,
    banner: banner ? at(banner).bottom : 9999, reading: reading ? at(reading).bottom : 9999,
    picture: picture ? Math.round(at(picture).top) : -1, height: Math.round(height),
    wide: picture ? Math.round(at(picture).width) : 0,
    half: picture ? at(picture).top + height / 2 <= window.innerHeight : true,
    save: save ? at(save).bottom : 9999, far: save && answer ? Math.round(at(save).top - at(answer).bottom) : null,
    cut: cut, beyond: beyond.length, side: side, lines: buttons.size,
  };
}"""


def at_once(seen: dict[str, Any], height: int = 768) -> bool:
    """Title, answer, the readings' beginning and Save stand on the screen, and half of the picture or more."""
    return bool(seen["half"]) and all(0 <= seen[name] <= height for name in ("title", "answer", "reading", "save"))


def said(seen: dict[str, Any]) -> str:
    """Where a screen falls short, with where its picture begins and ends."""
    faults = [
        *([] if at_once(seen) else ["NOT all on one screen"]),
        *([f"{seen['lines']} lines of buttons"] if seen["lines"] > 1 else []),
        *([f"{len(seen['cut'])} fields cut off, most {seen['cut'][0]}"] if seen["cut"] else []),
        *([f"{seen['side']} tables scroll sideways"] if seen["side"] else []),
        *([f"{seen['beyond']} parts reach beyond the form"] if seen["beyond"] else []),
    ]
    picture = f"picture {seen['picture']} to {seen['picture'] + seen['height']} px" if seen["height"] else "no picture"
    return f"form {seen['width']} px, {picture}{''.join(f'; {fault}' for fault in faults)}"


def test_opening(desk: Desk) -> None:
    page = desk.page
    page.set_viewport_size({"width": 1366, "height": 768})
    messages: list[int] = []

    def listen(socket: WebSocket) -> None:
        if "/channels" in socket.url:
            socket.on("framereceived", lambda frame: messages.append(len(frame)))

    page.on("websocket", listen)
    desk.open_notebook("home")
    desk.run_all()
    home = page.locator(f"{FRONT} .rotorkit-home")
    whole = dict.fromkeys(SCREENS, 0)
    paces: dict[str, list[float]] = {}
    for name in NOTEBOOKS:
        page.set_viewport_size({"width": 1366, "height": 768})
        messages.clear()
        begun = time.monotonic()
        home.locator(f"a[data-rotorkit-open='{name}.ipynb']").first.click()
        page.locator(ANSWER).first.wait_for(timeout=120_000)
        taken = time.monotonic() - begun
        desk.run_all()
        page.wait_for_timeout(500)
        opened = (len(messages), sum(messages) / 1000)
        edit = one_edit(desk, messages)
        paces[name] = redraws(desk)
        height = page.evaluate(SCROLLED, FRONT)
        for screen, (wide, high, files) in SCREENS.items():
            page.set_viewport_size({"width": wide, "height": high})
            page.evaluate(FILES, files)
            page.wait_for_timeout(300)
            page.evaluate(TO_THE_TOP)
            page.wait_for_timeout(200)
            seen = page.evaluate(SEEN, FRONT)
            whole[screen] += at_once(seen)
            tell(f"{name}, {screen}", said(seen), "", "", "all on one screen")
            desk.screenshot(f"opened_{name}_{wide}{'_files' if files else ''}")
            if screen == "1366 x 768":
                far = seen["far"]
        page.evaluate(FILES, False)
        tell(f"click on home to a form that answers: {name}", f"{taken:.1f} s", "", "", "3 s on a quiet machine")
        tell(f"height of its page; from the answer down to Save: {name}", f"{height:,} px; {far} px")
        tell(
            f"messages from its kernel when opened; for a reading typed: {name}",
            f"{opened[0]}, {opened[1]:.0f} kB; {edit}",
        )
        page.evaluate("() => window.jupyterapp.shell.currentWidget.dispose()")
        desk.lab.end_kernels(f"{desk.folder.name}/{name}")
        page.evaluate(
            "async path => { await window.jupyterapp.commands.execute('docmanager:open', {path}); }",
            f"{desk.folder.name}/home.ipynb",
        )
        home.first.wait_for()
    told = {name: statistics.median(pace) for name, pace in paces.items() if pace}
    for name, pace in told.items():
        over = f"{pace / told[AS_LONG]:.2f} of blade angles'" if AS_LONG in told else ""
        tell(f"Enter to the new picture, {len(paces[name])} edits: {name}", f"{pace:.0f} ms", over, "", "1.5")
    for screen, count in whole.items():
        tell(
            f"title, answer, readings, picture and Save on one screen of {screen}", f"{count} of {len(NOTEBOOKS)} forms"
        )


def typed(desk: Desk) -> list[Locator]:
    """The readings' first fields that hold a figure."""
    boxes = desk.page.locator(f"{FRONT} .rotorkit-first input[type=text]:visible:enabled").all()[:12]
    return [box for box in boxes if re.search(r"\d", box.input_value()) and box.get_attribute("aria-label") != "Date"]


def redraws(desk: Desk) -> list[float]:
    """Milliseconds from Enter to the frame with the new picture, of readings that move it: each with a digit more."""
    found: list[float] = []
    for box in typed(desk)[:FIELDS]:
        held = box.input_value()
        number = re.search(r"\d[\d,]*(\.\d+)?", held)
        assert number is not None
        try:
            for by in range(2, 2 + EDITS):
                more = number[0] + ("" if "." in number[0] else ".") + f"{by}"
                text = held[: number.start()] + more + held[number.end() :]
                found.append(desk.time_change(box, text, PICTURE, longest=4.0))
                desk.page.wait_for_timeout(500)
        except Error:
            pass  # a reading that the picture does not show
        box.fill(held)
        box.press("Enter")
        desk.page.wait_for_timeout(1000)
    return found


def one_edit(desk: Desk, messages: list[int]) -> str:
    """The last figure of the first reading typed anew, and back: messages of the first of the two."""
    for box in typed(desk):
        held = box.input_value()
        at = [place for place, letter in enumerate(held) if letter.isdigit()][-1]
        messages.clear()
        box.fill(f"{held[:at]}{(int(held[at]) + 1) % 10}{held[at + 1 :]}")
        box.press("Enter")
        desk.page.wait_for_timeout(2500)
        told = f"{len(messages)}, {sum(messages) / 1000:.0f} kB"
        box.fill(held)
        box.press("Enter")
        desk.page.wait_for_timeout(1000)
        return told
    return "none typed"
