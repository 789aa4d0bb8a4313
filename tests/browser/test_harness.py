"""The browser tests' own tools, proved on a notebook of a few lines: what they report is what a person would see."""

import re
import time

import psutil
import pytest

from tests.browser.driver import FRONT, Desk
from tests.browser.plain_form import FORM, FORM_NOTEBOOK, write

form = pytest.mark.parametrize("run_once", [pytest.param(FORM_NOTEBOOK, id="form")], indirect=True)


def test_type_see_the_change_restart_and_reload(empty_desk: Desk) -> None:
    desk = empty_desk
    desk.open_notebook(write(desk.folder, FORM))
    desk.run_all()
    desk.wait_text("read as [1 in]")
    desk.fill("Length", "5/16 in")
    desk.wait_text("read as [5/16 in]")
    assert desk.screenshot("harness").stat().st_size > 5000
    desk.save()
    desk.reload()
    desk.wait_text("read as [5/16 in]")
    desk.restart_kernel()
    desk.run_all()
    desk.wait_text("read as [1 in]")


@form
def test_callbacks_run_on_the_kernels_main_thread(run_once: Desk) -> None:
    """The setting that the package ships takes effect; JupyterLab's own default is a second thread."""
    desk = run_once
    with desk.typed_back("Length"):
        for number in range(2, 6):
            # the second thread, where there is one, takes over a moment after the form appears
            desk.page.wait_for_timeout(500)
            desk.fill("Length", f"{number} in")
            desk.wait_text(f"read as [{number} in] on the main thread")


@form
def test_keyboard_alone_reaches_the_field(run_once: Desk) -> None:
    desk = run_once
    field = desk.field("Length")
    desk.page.evaluate("() => document.activeElement.blur()")
    for _ in range(40):
        desk.page.keyboard.press("Tab")
        if field.evaluate("box => box === document.activeElement"):
            break
    else:
        pytest.fail("the field is not reached by the Tab key")
    with desk.typed_back("Length"):
        desk.page.keyboard.press("End")
        desk.page.keyboard.type("ch")
        desk.page.keyboard.press("Enter")
        desk.wait_text("read as [1 inch]")


@form
def test_time_from_key_press_to_changed_picture(run_once: Desk) -> None:
    desk = run_once
    with desk.typed_back("Length"):
        times = [desk.time_change("Length", f"{'1' * n} in") for n in range(2, 7)]
    assert all(1 < time < 2000 for time in times), times


def test_an_error_in_a_cell_is_reported(empty_desk: Desk) -> None:
    desk = empty_desk
    desk.open_notebook(write(desk.folder, "1 / 0", "2"))
    found = desk.run_all(expect_errors=True)
    assert any("ZeroDivisionError" in line for line in found)
    with pytest.raises(AssertionError, match="ZeroDivisionError"):
        desk.run_all()


def test_a_kernel_is_interrupted_and_ended(empty_desk: Desk) -> None:
    """That most of them are forks of one process changes nothing of it."""
    desk = empty_desk
    asleep = "import os, time\nprint('kernel', os.getpid(), flush=True)\ntime.sleep(120)"
    desk.open_notebook(write(desk.folder, asleep))
    desk.page.evaluate("() => void window.jupyterapp.commands.execute('notebook:run-all-cells')")
    said = desk.wait_text(re.compile(r"kernel \d+")).inner_text()
    (session,) = [one for one in desk.lab.ask("GET", "sessions") if one["path"].startswith(desk.folder.name)]
    desk.lab.ask("POST", f"kernels/{session['kernel']['id']}/interrupt")
    desk.wait_text(re.compile("KeyboardInterrupt"))
    kernel = int(said.split()[1])
    assert psutil.pid_exists(kernel)
    desk.close_all()
    desk.lab.end_kernels(desk.folder.name)
    end = time.monotonic() + 20
    while psutil.pid_exists(kernel) and time.monotonic() < end:
        time.sleep(0.05)
    assert not psutil.pid_exists(kernel)


def test_accessibility_faults_are_found_where_they_are(empty_desk: Desk) -> None:
    """Far down the page too, where the browser leaves out of sight what is out of view; and none are made up."""
    desk = empty_desk
    show = "import ipywidgets as widgets\nwidgets.HTML('{}')".format
    faulty = show(
        '<input id="unlabelled"><p style="color: #aaa; background: #fff">too pale</p>'
        '<div class="beneath" style="background: #fff"><p style="color: #666">dark enough</p></div>'
    )
    desk.open_notebook(write(desk.folder, FORM, show('<div style="height: 3000px"></div>'), faulty))
    desk.run_all()
    faults = desk.axe()
    assert [fault.split()[0] for fault in faults] == ["label", "color-contrast"], faults
    assert desk.axe() == faults, "what has been judged once is still a fault"
    grey = "front => document.querySelector(front + ' .beneath').style.background = '#999'"
    desk.page.evaluate(grey, FRONT)  # the same text, which had passed, over another background
    assert [fault.split()[0] for fault in desk.axe()] == ["label", "color-contrast", "color-contrast"]
