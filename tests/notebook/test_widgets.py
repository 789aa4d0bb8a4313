"""A long day at one form: the kernel holds no more widgets at its end than at its beginning."""

from pathlib import Path

from ipywidgets.widgets import widget

from rotorkit.notebook import Form, open_form
from rotorkit.sheets import Folder


def held() -> int:
    return len(widget._instances)


def test_rows_and_checks_leave_no_widget_behind(form: object) -> None:
    made: Form = form("blade_angles")  # type: ignore[operator]
    checks = [value for _, value in made.chooser.control.options]
    for check in checks:  # so that every shape has been there once
        made.chooser.control.value = check
    made.chooser.control.value = checks[0]
    before = held()
    for _ in range(3):
        made.add_row("stations")
        made.remove_row("stations", 0)
        made.undo()
        made.remove_row("stations", len(made._rows["stations"].rows) - 1)
        made._rows["stations"].fresh_button.click()
        made.undo()
        for check in [*checks[1:], checks[0]]:
            made.chooser.control.value = check
    assert held() == before


def test_hand_figures_follow_a_check_without_leaving_widgets(form: object) -> None:
    made: Form = form("blade_angles")  # type: ignore[operator]
    part = made.by_hand
    first, *others = [value for _, value in made.chooser.control.options if value]
    before = 0
    for turn in range(3):
        for check in [*others, first]:
            made.chooser.control.value = check
        before = before or held()
        assert held() == before, turn
    assert part.part.inputs


def test_the_aircraft_file_read_again_leaves_none(tmp_path: Path) -> None:
    from rotorkit.aircraft import demo_folder

    for name in ("aircraft.toml", "readings.toml"):
        (tmp_path / name).write_bytes((demo_folder() / name).read_bytes())
    made = open_form("blade_angles", folder=Folder(tmp_path))
    before = held()
    made.read_again()
    assert held() == before
