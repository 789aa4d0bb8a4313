"""The builder's own aircraft in its form, in the browser: a section filled in, written, and found in the file."""

from pathlib import Path

from tests.browser.driver import OUTPUTS, Desk

SLOW = """
import time
from rotorkit.notebook.asking import FiguresBox
from comm import create_comm
at_once, late = FiguresBox._changed, create_comm(target_name='late')
FiguresBox._changed = lambda self, box: (time.sleep(0.6), at_once(self, box), late.send({}))
FiguresBox._pressed = FiguresBox.write
aircraft.show('weights')
"""
"""The kernel has much to do, and writes when it hears of the press."""
LATE = """() => window.jupyterapp.shell.currentWidget.sessionContext.session.kernel.registerCommTarget('late', comm => {
  comm.onMsg = () => new Promise(go => setTimeout(go, 400));
})"""
"""So has the page: the kernel's answer to a letter stands in line behind what it said before."""
RUN = """async code => {
  const kernel = window.jupyterapp.shell.currentWidget.sessionContext.session.kernel;
  return (await kernel.requestExecute({code, silent: true}).done).content.status;
}"""
PRESS = """said => Array.from(document.querySelectorAll('.rotorkit-form button'))
  .find(one => one.textContent.includes(said)).click()"""


def test_a_section_is_filled_in_and_written(desk: Desk) -> None:
    """The file is emptied first: a builder begins with nothing."""
    file = Path(desk.folder) / "aircraft.toml"
    file.write_text('[aircraft]\nname = "Mine"   # as painted\n', encoding="utf-8")
    desk.page.set_viewport_size({"width": 1366, "height": 768})
    desk.open_notebook("aircraft")
    assert desk.run_all() == []
    desk.wait_text("What jobs are still waiting for")
    desk.page.locator(f"{OUTPUTS} select").first.select_option(label="weights (1 to be filled in)")
    desk.wait_text("the greatest gross weight that the manual allows")
    desk.fill("Maximum", "1310")
    desk.look("aircraft")
    desk.button("Write into the aircraft file").click()
    desk.wait_text("Written into aircraft.toml: 1 figure.")
    assert file.read_text(encoding="utf-8").startswith('[aircraft]\nname = "Mine"   # as painted\n')
    assert 'maximum = "1310 lb"' in file.read_text(encoding="utf-8")
    assert desk.axe() == []


def test_a_press_does_not_overtake_what_is_being_typed(desk: Desk) -> None:
    """A field's text waits in the page for the kernel's answer to the letter before, a press does not: what was written
    was the first letter."""
    file = Path(desk.folder) / "aircraft.toml"
    file.write_text('[aircraft]\nname = "Mine"\n', encoding="utf-8")
    desk.open_notebook("aircraft")
    assert desk.run_all() == []
    desk.page.locator(f"{OUTPUTS} select").first.select_option(label="weights (1 to be filled in)")
    desk.wait_text("the greatest gross weight that the manual allows")
    desk.page.evaluate(LATE)
    assert desk.page.evaluate(RUN, SLOW) == "ok"
    desk.field("Maximum").focus()
    desk.page.keyboard.type("1310")
    desk.page.evaluate(PRESS, "Write into the aircraft file")
    desk.wait_text("Written into aircraft.toml: 1 figure.")
    assert 'maximum = "1310 lb"' in file.read_text(encoding="utf-8")
