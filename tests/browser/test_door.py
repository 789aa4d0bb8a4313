"""The door: home, a form and back; a page that runs itself and comes back by itself; a stranger's code is not run."""

import json
import re
import urllib.request

import psutil
from playwright.sync_api import Locator, Route, expect

from rotorkit.folder.notebooks import source_hash
from rotorkit.lab import EXTENSIONS
from rotorkit.record import Record
from tests.browser.driver import FRONT, Desk, Lab
from tests.browser.test_notebooks import VERDICT

STATE = "() => window.jupyterapp.shell.currentWidget.node.dataset.rotorkit"
KERNEL = "() => window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.id"
DEAF = """() => {
  window.jupyterapp.shell.currentWidget.sessionContext.session.kernel._msgChain = new Promise(() => {});
}"""
"""JupyterLab takes one message after the other: where one is never done with, none after it is."""
TOP = "front => document.querySelector(front + ' .jp-WindowedPanel-outer').scrollTop"
SEEN = f"{FRONT} .jp-Cell-outputArea"
OTHERS_READY = """() => {
  const open = Array.from(window.jupyterapp.shell.widgets('main')).filter(one => one.sessionContext);
  return open.length > 1 && open.every(one => one.sessionContext.session && one.sessionContext.session.kernel
    && one.sessionContext.session.kernel.status === 'idle');
}"""
UNSAVED = """() => Array.from(window.jupyterapp.shell.widgets('main'))
  .filter(one => one.context && one.context.model.dirty).map(one => one.context.path)"""
SAID = f"{FRONT} .rotorkit-say"


def test_from_home_to_a_form_and_back(fresh_desk: Desk) -> None:
    desk = fresh_desk
    page = desk.page
    page.set_viewport_size({"width": 1366, "height": 768})
    desk.open_notebook("home")
    desk.run_all()
    desk.look("home")
    home = page.locator(f"{FRONT} .rotorkit-home").first
    ready = desk.lab.kernel_kept_ready()
    home.get_by_role("link", name="Anti-torque cable, right pedal").first.click()
    expect(desk.field("Dial reading")).to_have_value("19.5; 20; 20", timeout=60_000)
    desk.wait_ready()
    desk.run_all()
    assert page.evaluate(TOP, FRONT) == 0
    assert page.evaluate(KERNEL) == ready  # the form works in its own folder, below
    desk.look("form_from_home")
    # no code, and the checks are one line
    code = page.locator(f"{FRONT} .jp-CodeCell .jp-Cell-inputWrapper").filter(visible=True)
    expect(code).to_have_count(0)
    checks = page.locator(f"{FRONT} .rotorkit-checks")
    expect(checks).to_contain_text(re.compile(r"\d+ checks passed"))
    checks.get_by_role("button", name="Show them").click()
    expect(page.locator(f"{FRONT} .rotorkit-check").get_by_text("assert").first).to_be_visible()
    # the picture that stands with the code alone is drawn once the code is shown
    drawn = page.locator(f"{FRONT} .rotorkit-later .jp-OutputArea-output img")
    expect(drawn).to_have_count(0)
    page.get_by_label("Show the code").filter(visible=True).check()
    assert code.count() > 5
    expect(drawn).to_have_count(1)
    page.wait_for_function("() => !window.jupyterapp.shell.currentWidget.context.model.dirty")

    desk.fill("Work done by", "A. Builder")
    desk.button("Save to the record").press("Enter")
    desk.wait_text(re.compile("Saved as entry 1"))
    page.locator(FRONT).get_by_role("link", name="Home", exact=True).click()
    row = page.locator(f"{FRONT} .rotorkit-home tr", has_text="Anti-torque cable, right pedal").first
    expect(row).to_contain_text("entry 1", timeout=30_000)
    assert [entry.check for entry in Record(desk.folder).entries()] == ["pedal_right_tension"]
    # the switch stays as it was left, and a form that is open turns to the check of the link
    expect(page.get_by_label("Show the code").filter(visible=True)).to_be_checked()
    home.get_by_role("link", name="Anti-torque cable, left pedal").first.click()
    expect(desk.field("Dial reading")).to_have_value("27.5; 28; 27.5")
    page.get_by_label("Show the code").filter(
        visible=True
    ).uncheck()  # the server keeps it, for the tests after this too

    # loaded anew, what nobody has looked at yet is nothing that JupyterLab would ask to save
    desk.reload()
    page.wait_for_function(OTHERS_READY)
    page.wait_for_timeout(1000)
    page.wait_for_function(f"() => ({UNSAVED})().length === 0", timeout=30_000)


def out_of_limits(desk: Desk) -> Locator:
    """A cable's form with a reading typed that is out of limits; its verdict."""
    desk.open_notebook("cable_tension")
    desk.run_all()
    desk.fill("Dial reading", "33; 33; 33")
    verdict = desk.page.locator(f"{VERDICT} .rotorkit-word")
    expect(verdict).to_contain_text("out of limits")
    return verdict


def test_what_is_old_is_covered_and_the_page_comes_back_by_itself(fresh_desk: Desk) -> None:
    desk = fresh_desk
    page, verdict = desk.page, out_of_limits(desk)

    def came_back() -> None:
        page.wait_for_function(STATE.replace("dataset.rotorkit", "dataset.rotorkit === 'run'"), timeout=60_000)
        expect(desk.field("Dial reading")).to_have_value("33; 33; 33")
        expect(verdict).to_contain_text("out of limits")
        expect(page.locator(SAID)).to_have_count(0)

    # the kernel is ended by somebody else
    desk.lab.end_kernels(desk.folder.name)
    page.wait_for_function(STATE.replace("dataset.rotorkit", "dataset.rotorkit !== 'run'"), timeout=30_000)
    expect(verdict).not_to_be_visible()
    came_back()

    # the same, and JupyterLab hears of it before the page looks
    desk.lab.end_kernels(desk.folder.name)
    page.evaluate("() => window.jupyterapp.serviceManager.kernels.refreshRunning()")
    came_back()

    # the server does not answer, and is there again; then it no longer accepts the page
    asked = re.compile("rotorkit/started|/api/(kernels|sessions)")
    page.route(asked, lambda route: route.abort())
    expect(page.locator(SAID)).to_contain_text("rotorkit lab is no longer running", timeout=30_000)
    expect(verdict).not_to_be_visible()
    # JupyterLab says so too, in a box over the page: it does not stay
    boxes = page.locator(".jp-Dialog")
    expect(boxes).to_contain_text("Server Connection Error", timeout=60_000)
    expect(boxes).to_have_count(0)
    desk.look("stopped")

    def stranger(route: Route) -> None:
        route.fulfill(status=403, body="{}")

    page.unroute(asked)
    came_back()
    page.route(re.compile("rotorkit/started"), stranger, times=1)
    expect(page.locator(SAID)).to_contain_text("open the address that the program printed", timeout=30_000)


def test_a_kernel_that_cannot_start_or_does_not_answer(fresh_desk: Desk) -> None:
    desk = fresh_desk
    page, verdict = desk.page, out_of_limits(desk)

    # no kernel can be started for a moment: it is asked for again, and JupyterLab's box does not stay over the page
    def refused(route: Route) -> None:
        if route.request.method == "POST":
            route.fulfill(status=500, body='{"message": "Kernel does not exist"}')
        else:
            route.continue_()

    sessions = re.compile(r"/api/sessions\?")
    page.route(sessions, refused)
    with page.expect_response(lambda answer: bool(sessions.search(answer.url)) and answer.status == 500):
        desk.lab.end_kernels(desk.folder.name)
    page.unroute(sessions)
    page.wait_for_function(STATE.replace("dataset.rotorkit", "dataset.rotorkit === 'run'"), timeout=60_000)
    expect(desk.field("Dial reading")).to_have_value("33; 33; 33")
    expect(page.locator(SAID)).to_have_count(0)
    expect(page.locator(".jp-Dialog")).to_have_count(0, timeout=30_000)

    # a kernel that does not answer: no verdict of before stands beside what is typed
    named = page.evaluate(KERNEL)
    kernel = next(one for one in psutil.process_iter(["cmdline"]) if named in " ".join(one.info["cmdline"] or ()))
    kernel.suspend()
    try:
        desk.fill("Dial reading", "27; 27; 27")
        expect(verdict).not_to_be_visible()
        expect(desk.field("Dial reading")).to_be_visible()
    finally:
        kernel.resume()
    expect(verdict).to_have_text(re.compile("^in limits"))

    # what the kernel says does not come through any more, though it has answered
    page.evaluate(DEAF)
    desk.fill("Dial reading", "33; 33; 33")
    expect(verdict).not_to_be_visible()
    expect(verdict).to_contain_text("out of limits", timeout=90_000)
    expect(desk.field("Dial reading")).to_have_value("33; 33; 33")  # of which the kernel had the first letter


def test_a_changed_notebook_asks_before_it_runs(fresh_desk: Desk) -> None:
    desk = fresh_desk
    place = desk.folder / "cable_tension.ipynb"
    notebook = json.loads(place.read_text("utf-8"))
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code" and "open_form" in "".join(cell["source"]):
            cell["source"] = ["open('ran.txt', 'w').close()\n", *cell["source"]]
            cell["outputs"] = [{"output_type": "stream", "name": "stdout", "text": ["in limits, of another day"]}]
            cell["execution_count"] = 1
    notebook["metadata"]["rotorkit"] = {"shipped_as": source_hash(notebook)}  # as if it had been shipped so
    place.write_text(json.dumps(notebook), "utf-8")
    desk.open_notebook("cable_tension")
    said = desk.page.locator(SAID)
    expect(said).to_contain_text("somebody has changed it")
    expect(desk.page.locator(SEEN, has_text="of another day")).not_to_be_visible()
    desk.page.wait_for_timeout(1000)
    assert not (desk.folder / "ran.txt").exists()
    desk.look("changed")
    said.get_by_role("button", name="Run it").click()
    expect(desk.field("Dial reading")).to_have_value("27.5; 28; 27.5", timeout=60_000)
    assert (desk.folder / "ran.txt").exists()
    expect(desk.page.locator(SEEN, has_text="of another day")).to_have_count(0)


def test_of_two_windows_one_has_the_form_and_the_other_says_so(fresh_desk: Desk) -> None:
    """They have one kernel: the form of the first was closed, and its page stood there without it, and said nothing."""
    desk = fresh_desk
    verdict = out_of_limits(desk)
    page, there = desk.page, desk.page.context.new_page()
    there.goto(re.sub("workspaces/[^/]+", "workspaces/another", page.url))
    dial = there.locator(f"{FRONT} .jp-OutputArea").get_by_label("Dial reading", exact=True)
    expect(dial).to_have_value("33; 33; 33", timeout=60_000)
    expect(page.locator(SAID)).to_contain_text("opened in another window")
    expect(verdict).not_to_be_visible()
    expect(there.locator(SAID)).to_have_count(0)
    page.locator(SAID).get_by_role("button", name="Work it here").click()
    expect(desk.field("Dial reading")).to_have_value("33; 33; 33", timeout=60_000)
    expect(verdict).to_contain_text("out of limits")
    expect(there.locator(SAID)).to_contain_text("opened in another window")
    expect(dial).not_to_be_visible()
    there.close()


def test_after_an_update_the_page_has_the_script_of_today(lab: Lab) -> None:
    [script] = EXTENSIONS.rglob("*.js")
    with urllib.request.urlopen(f"{lab.url}lab/extensions/{script.relative_to(EXTENSIONS).as_posix()}") as answer:
        assert answer.headers["Cache-Control"] == "no-cache"
        assert answer.read() == script.read_bytes()


FILES = "() => window.jupyterapp.shell.leftCollapsed"
FIRST_SCREEN = """front => [
  'h1', '.rotorkit-word', '.rotorkit-pictures svg', '.rotorkit-bar button', '.rotorkit-fields input'
]
  .map(one => document.querySelector(`${front} ${one}`).getBoundingClientRect())
  .every(at => at.width > 0 && at.top >= 0 && at.top < innerHeight - 250)"""


def test_in_a_narrow_window_a_form_has_the_room_of_the_list_of_files_until_that_is_opened_again(
    fresh_desk: Desk,
) -> None:
    desk, page = fresh_desk, fresh_desk.page
    desk.open_notebook("home")
    desk.run_all()
    assert not page.evaluate(FILES)
    page.set_viewport_size({"width": 1024, "height": 768})
    home = page.locator(f"{FRONT} .rotorkit-home").first
    home.get_by_role("link", name="Anti-torque cable, right pedal").first.click()
    expect(desk.field("Dial reading")).to_have_value("19.5; 20; 20", timeout=60_000)
    desk.wait_ready()
    page.wait_for_function(FILES)
    page.wait_for_timeout(500)
    assert page.evaluate(FIRST_SCREEN, FRONT)
    desk.look("narrow_from_home")
    # a person opens the list again: it stays, also once the page was loaded again
    page.get_by_role("tab", name="File Browser").click()
    page.wait_for_function(f"() => !({FILES})()")
    page.wait_for_timeout(500)
    desk.open_notebook("blade_angles")
    assert not page.evaluate(FILES)
    desk.reload()
    page.wait_for_timeout(1000)
    assert not page.evaluate(FILES)
    # and is folded as before once they have closed it
    page.get_by_role("tab", name="File Browser").click()
    page.wait_for_function(FILES)
    page.wait_for_timeout(500)
    page.evaluate("() => window.jupyterapp.shell.expandLeft()")
    page.evaluate("() => window.localStorage.removeItem('rotorkit list of files stays open')")
    desk.open_notebook("weigh_in")
    page.wait_for_function(FILES)
