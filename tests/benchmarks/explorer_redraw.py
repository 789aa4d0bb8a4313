"""From an edit in an explorer to the frame with the new picture, in a real JupyterLab in the system's Chromium.

Run by ``make benchmarks``, alone with ``PYTEST_ARGS="-k explorer"``: it prints a table. It asserts no time,
since a busy machine would fail it; it fails where an edit brings no new picture at all.
"""

import statistics

import pytest

from tests.benchmarks.telling import tell
from tests.browser.conftest import chromium
from tests.browser.driver import FRONT, WATCH, Desk
from tests.browser.test_explorers import in_view, slider_of

pytestmark = pytest.mark.skipif(chromium() is None, reason="No Chromium on this machine: no redraw was timed.")
TIMES = 30
PAUSE = 400
"""Milliseconds between two edits: as a person who looks at what came."""
# notebook, the word in the labels, field, edits, the estimate to pick, what the picture is called
CASES = [
    ("hover_margin", "map", "Gross weight", lambda i: f"{1200 + 5 * i} lb", "figure of merit", "Power margin"),
    ("hover_margin", "map", "Gross weight", lambda i: f"{1200 + 5 * i} lb", "blade element", "Power margin"),
    ("hover_margin", "ceiling", "Relative humidity", lambda i: f"{i} %", "", "Hover ceiling"),
    ("hover_margin", "span", "Gross weight", lambda i: f"{1200 + 5 * i} lb", "", "Load along"),
    (
        "anti_torque_margin",
        "pedals",
        "Gross weight",
        lambda i: f"{1200 + 5 * i} lb",
        "blade element",
        "Tail-rotor thrust remaining",
    ),
    ("level_flight", "curve", "Gross weight", lambda i: f"{1200 + 5 * i} lb", "", "Power over airspeed"),
    ("level_flight", "climb", "Gross weight", lambda i: f"{1200 + 5 * i} lb", "", "Best rate of climb"),
    (
        "autorotation",
        "glide",
        "True airspeed in the glide",
        lambda i: f"{40 + i} kt",
        "figure of merit",
        "Rate of descent",
    ),
]


@pytest.mark.parametrize("case", range(len(CASES)), ids=lambda i: f"{CASES[i][1]}-{CASES[i][4] or 'plain'}")
def test_redraw(desk: Desk, case: int) -> None:
    notebook, short, field, reading, estimate, title = CASES[case]
    desk.open_notebook(notebook)
    desk.run_all()
    label = f"{field}, {short}"
    in_view(desk, label)
    if estimate:
        desk.field(f"Estimate by, {short}").select_option(label=estimate)
    picture = f'.rotorkit-explorer [role=img][aria-label^="{title}"]'
    desk.page.wait_for_timeout(1500)
    for warm in range(3):
        desk.time_change(label, reading(40 + warm), picture)
    times = []
    for i in range(TIMES):
        desk.page.wait_for_timeout(PAUSE)
        times.append(desk.time_change(label, reading(i), picture))
    shown(f"{title}{f' by {estimate}' if estimate else ''}, {field} typed", times)


def test_slider(desk: Desk) -> None:
    """From an arrow key on the slider's handle to the new contour."""
    desk.open_notebook("hover_margin")
    desk.run_all()
    label = "Gross weight, map"
    in_view(desk, label)
    slider_of(desk, label).focus()
    picture = '.rotorkit-explorer [role=img][aria-label^="Power margin"]'
    times = []
    for i in range(TIMES + 3):
        desk.page.wait_for_timeout(PAUSE)
        desk.page.evaluate(WATCH, [picture, FRONT])
        desk.page.keyboard.press("ArrowLeft")
        elapsed = float(desk.page.evaluate("() => window.rotorkitChange"))
        if i >= 3:
            times.append(elapsed)
    shown("Power margin by figure of merit, slider turned", times)


def shown(what: str, times: list[float]) -> None:
    said = f"median {statistics.median(times):.0f} ms, worst {max(times):.0f} ms"
    tell(f"an explorer's edit to the frame with the new picture, {len(times)} edits: {what}", said, "", "", "120 ms")
