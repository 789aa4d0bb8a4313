"""From the click on a notebook to a form with an answer, how long its page is, how far the answer stands from Save.

Run by ``make benchmarks``, alone with ``PYTEST_ARGS="-k opening"``. It asserts no time.
"""

import time

import pytest

from tests.benchmarks.telling import tell
from tests.browser.conftest import chromium
from tests.browser.driver import FRONT, SCROLLED, Desk

pytestmark = pytest.mark.skipif(chromium() is None, reason="No Chromium on this machine: nothing was opened.")
NOTEBOOKS = ("blade_angles", "cable_tension", "hover_margin", "anti_torque_margin")
ANSWER = f"{FRONT} .rotorkit-banner .rotorkit-word"
FAR = """front => {
  const at = (found, side) => found.getBoundingClientRect()[side];
  const panel = document.querySelector(front);
  const answer = panel.querySelector('.rotorkit-banner .rotorkit-word');
  const save = Array.from(panel.querySelectorAll('button')).find(e => e.innerText === 'Save to the record');
  return Math.round(at(save, 'top') - at(answer, 'bottom'));
}"""


def test_opening(desk: Desk) -> None:
    desk.page.set_viewport_size({"width": 1366, "height": 768})
    desk.open_notebook("home")
    desk.run_all()
    home = desk.page.locator(f"{FRONT} .rotorkit-home")
    for name in NOTEBOOKS:
        begun = time.monotonic()
        home.locator(f"a[data-rotorkit-open='{name}.ipynb']").first.click()
        desk.page.locator(ANSWER).first.wait_for(timeout=120_000)
        taken = time.monotonic() - begun
        desk.run_all()
        height, far = desk.page.evaluate(SCROLLED, FRONT), desk.page.evaluate(FAR, FRONT)
        tell(f"click on home to a form that answers: {name}", f"{taken:.1f} s", "", "", "3 s on a quiet machine")
        tell(f"height of its page; from the answer down to Save: {name}", f"{height:,} px; {far} px", "", "", "")
        desk.page.locator(FRONT).get_by_role("link", name="Home", exact=True).first.click()
        home.first.wait_for()
