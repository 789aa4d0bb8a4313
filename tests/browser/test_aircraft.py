"""The builder's own aircraft in its form, in the browser: a section filled in, written, and found in the file."""

from pathlib import Path

from tests.browser.driver import OUTPUTS, Desk


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
