"""From Enter in a field to the frame with the new picture, in a real JupyterLab in the system's Chromium.

Run by ``make benchmarks``, alone with ``PYTEST_ARGS="-k redraw"``: it prints a table. It asserts no time,
since a busy machine would fail it; it fails where a reading brings no new picture at all.
"""

import statistics

import pytest

from tests.benchmarks.telling import tell
from tests.browser.conftest import chromium
from tests.browser.driver import FRONT, Desk

pytestmark = pytest.mark.skipif(chromium() is None, reason="No Chromium on this machine: no redraw was timed.")
PICTURE = ".rotorkit-form:not(.rotorkit-explorer) .rotorkit-pictures [role=img]"
TIMES = 30
FIELDS = {
    "blade_angles": ("Reading, row 1", lambda i: f"-6.{i % 9 + 1}; -6.5; -6.4 deg"),
    "cable_tension": ("Dial reading", lambda i: f"2{i % 9}.5; 28; 27.5"),
    "hover_margin": ("Air temperature", lambda i: f"{60 + i % 50} °F"),
}
found: dict[str, list[float]] = {}


@pytest.mark.parametrize("notebook", FIELDS)
def test_redraw(desk: Desk, notebook: str) -> None:
    desk.open_notebook(notebook)
    desk.run_all()
    label, reading = FIELDS[notebook]
    desk.field(label).scroll_into_view_if_needed()
    desk.page.wait_for_timeout(1000)
    for warm in range(3):
        desk.time_change(label, reading(100 + warm), PICTURE)
    times = []
    for i in range(TIMES):
        times.append(desk.time_change(label, reading(i), PICTURE))
        desk.page.wait_for_timeout(1000)  # as a person does, who looks at what came
    assert desk.page.locator(f"{FRONT} {PICTURE}").count()
    found[notebook] = times
    shown(f"{notebook}, {label}", times)


def test_all_together() -> None:
    times = sorted(time for one in found.values() for time in one)
    if not times:
        pytest.skip("no notebook was timed")
    shown("all of them", times, "60 ms median or less")


def shown(what: str, times: list[float], wanted: str = "") -> None:
    said = f"median {statistics.median(times):.0f} ms, worst {max(times):.0f} ms"
    tell(f"Enter in a field to the frame with the new picture, {len(times)} edits: {what}", said, "", "", wanted)
