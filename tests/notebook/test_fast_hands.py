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
    assert (f"inHg. Is it {asked}? Then write it so." in made.message("altimeter_setting")) == bool(asked)
    assert asked or "Is it" not in made.message("altimeter_setting")


class TestAPastedColumn:
    """What a table of several lines becomes, whether a browser brings it or a script."""

    def test_it_fills_the_rows_downward_and_what_stood_there_comes_back(self, form: Make) -> None:
        made = form("control_travel")
        before = made._as_typed
        rows = len(before["places"])
        made.set("places.0.position", "\n".join(["0", "", *[f"{n}.5" for n in range(1, rows)], "99", ""]))
        assert made.get("places.1.position") == before["places"][1]["position"], "an empty line leaves its row"
        column = [made.get(f"places.{n}.position") for n in range(rows + 1)]
        assert column[0] == "0"
        assert column[2:] == [*[f"{n}.5" for n in range(1, rows - 1)], f"{rows - 1}.5"]
        assert len(made._rows["places"].rows) == rows + 2, "the places may be as many as there are"
        assert "2 rows were added" in made._rows["places"].pasted.value
        made.undo()
        assert made._as_typed == before
        assert not made._rows["places"].pasted.value

    def test_a_row_that_needs_a_name_is_not_made_up(self, form: Make) -> None:
        made = form("blade_angles")
        rows = len(made._rows["stations"].rows)
        made.set(f"stations.{rows - 2}.reading", "1\u20282\u20283\u20284")
        assert [made.get(f"stations.{n}.reading") for n in (rows - 2, rows - 1)] == ["1", "2"]
        assert len(made._rows["stations"].rows) == rows
        said = made._rows["stations"].pasted.value
        assert "2 values do not fit" in said
        assert "3" in said
        made.set("stations.0.reading", "1 deg")
        assert not made._rows["stations"].pasted.value, "it was said of what was pasted, and is gone with the next"

    def test_columns_beside_one_another(self, form: Make) -> None:
        """Repeats where the column takes repeats, else into the columns to the right, a choice by its words."""
        made = form("control_travel")
        made.set("places.0.reading", "1.1\t1.2\n2.1\t2.2")
        assert [made.get(f"places.{n}.reading") for n in (0, 1)] == ["1.1; 1.2", "2.1; 2.2"]
        made.set("places.0.position", "0\tFalling\n1\tsideways")
        assert [made.get(f"places.{n}.position") for n in (0, 1)] == ["0", "1"]
        assert made.get("places.0.way") == "falling"
        assert "sideways" in made._rows["places"].pasted.value

    def test_a_single_field_takes_them_as_repeats(self, form: Make) -> None:
        made = form("cable_tension")
        made._fields["dial"].control.value = "27\u202828\t29\n"
        made.work()
        assert made.get("dial") == "27; 28; 29"
        made.set("dial", "30\r\n31\n")
        assert made.get("dial") == "30; 31"


def test_a_sum_is_said_back_as_one(form: Make) -> None:
    made = form("hover_margin")
    made.set("gross_weight", "1250 lb")
    alone = float(made.worked_sheet.measured("gross_weight", "weight", made.aircraft).expanded_si)
    made.set("gross_weight", "900 + 180 + 170")
    assert "1,250 lb, the sum of 3" in made.message("gross_weight")
    assert made.readings["gross_weight"] == "900 + 180 + 170 lb"
    summed = made.worked_sheet.measured("gross_weight", "weight", made.aircraft)
    assert float(summed.si) == pytest.approx(1250 * 0.45359237)
    assert float(summed.expanded_si) != pytest.approx(alone), "three readings of a scale err three times"
