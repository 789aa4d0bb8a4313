"""Quick typing that is no guess: corners that were looked at, units changed, a setting without its unit."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.notebook import Form, open_form
from rotorkit.record import Record, verify
from rotorkit.sheets import Folder

Make = Callable[..., Form]


def test_the_other_corners_are_said_free_at_once_and_what_was_said_stays(form: Make) -> None:
    made = form("control_corners")
    made.load(made.sheet.start(made.aircraft))
    made.set("corners.3.contact", "contact")
    table = made._rows["corners"]
    table.well_button.click()
    seen = [(row["reached"].text, row["contact"].text) for row in table.rows]
    assert seen[3] == ("not looked at", "contact"), "a row of which something was said is the person's own"
    assert {*seen[:3], *seen[4:]} == {("every control", "free")}
    made.undo()
    assert table.rows[0]["contact"].text == "not looked at"


def test_units_change_without_touching_what_was_typed(tmp_path: Path) -> None:
    for name in ("aircraft.toml", "readings.toml"):
        shutil.copyfile(demo_folder() / name, tmp_path / name)
    made = open_form("hover_margin", folder=Folder(tmp_path))
    made.set("temperature", "95")
    made.set("gross_weight", "1,200 lb")
    margin = float(made.outcome.finding("power_margin").measured.si)
    made.units_button.click()
    assert (made.get("temperature"), made.get("gross_weight")) == ("95 °F", "1,200 lb")
    assert "kW" in made.figures.value
    assert float(made.outcome.finding("power_margin").measured.si) == pytest.approx(margin, rel=1e-12)
    made.set("temperature", "35")
    assert made.readings["temperature"] == "35 °C"
    entry = made.save("A. Builder")
    assert (entry.word, made.saved) == (made.outcome.word, "saved")
    assert verify(Record(tmp_path)).whole
    made.units_button.click()
    assert made.get("temperature") == "35 °C"


@pytest.mark.parametrize(("typed", "asked"), [("1013", "1013 hPa"), ("2992", "29.92 inHg"), ("1e9", "")])
def test_a_setting_without_its_unit_is_asked_about(form: Make, typed: str, asked: str) -> None:
    """14 CFR 1.1 and the standard day: 29.92 inHg is 1013 hPa."""
    made = form("hover_margin")
    made.set("altimeter_setting", typed)
    assert made.outcome is None
    assert (f"Is it {asked}? Then write it so." in made.message("altimeter_setting")) == bool(asked)
    assert asked or "Is it" not in made.message("altimeter_setting")
