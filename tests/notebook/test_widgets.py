"""A long day at one form: the kernel holds no more widgets at its end than at its beginning."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from IPython.core.events import EventManager, available_events
from ipywidgets.widgets import widget

from rotorkit.notebook import Form, generations, open_form
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
    for sheet in ("blade_angles", "mixture"):  # the second keeps what a file wrote out of sight
        made = open_form(sheet, folder=Folder(tmp_path))
        before = held()
        made.read_again()
        assert held() == before, sheet


class Notebook:
    """The part of IPython's shell that knows of cells: its events, and the notebook's variables."""

    def __init__(self) -> None:
        self.user_ns: dict[str, Any] = {"_oh": {}}
        self.events = EventManager(self, available_events)

    def run(self, cell: str | None, code: str) -> None:
        info = SimpleNamespace(cell_id=cell)
        self.events.trigger("pre_run_cell", info)
        try:
            exec(code, self.user_ns)
        finally:
            self.events.trigger("post_run_cell", SimpleNamespace(info=info))


class TestCellsRunAgain:
    OPEN = "from rotorkit.notebook import open_form; form = open_form('cable_tension')"
    PARTS = "form.record, form.calculation, form.budget, form.by_hand, form.what_if([{'temperature': '20 °F'}])"

    @pytest.fixture
    def notebook(self, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Notebook:
        monkeypatch.chdir(tmp_path)
        made = Notebook()
        monkeypatch.setattr(generations, "_watched", [generations.Generations(made)])
        return made

    def test_run_all_adds_nothing(self, notebook: Notebook) -> None:
        counts = []
        for _ in range(5):
            for cell, code in enumerate(
                [
                    self.OPEN, self.PARTS, "from rotorkit.notebook import Explorer, home_page, dossier_part",
                    "seen = Explorer('glide', form.folder)", "home_page()", "dossier_part()",
                ]
            ):  # fmt: skip
                notebook.run(str(cell), code)
            counts.append(held())
        assert counts[4] == counts[3] == counts[2]
        assert notebook.user_ns["form"].box.comm is not None

    def test_what_a_variable_still_has_stays(self, notebook: Notebook) -> None:
        notebook.run("1", self.OPEN)
        notebook.run("2", "mine = {'kept': [form]}; part = form.budget")
        kept, part = notebook.user_ns["form"], notebook.user_ns["part"]
        for _ in range(4):
            notebook.run("1", self.OPEN)
        assert kept.box.comm is not None
        assert part.comm is not None
        notebook.run("2", "mine = part = None")
        for _ in range(3):
            notebook.run("1", self.OPEN)
        assert kept.box.comm is None

    def test_the_time_before_stays_as_its_parts_stand_under_other_cells(self, notebook: Notebook) -> None:
        notebook.run("1", self.OPEN)
        first = notebook.user_ns["form"]
        notebook.run("1", self.OPEN)
        assert first.box.comm is not None
        notebook.run("1", self.OPEN)
        assert first.box.comm is None

    def test_a_cell_that_nobody_names_closes_nothing(self, notebook: Notebook) -> None:
        notebook.run(None, self.OPEN)
        first = notebook.user_ns["form"]
        for _ in range(3):
            notebook.run(None, self.OPEN)
        assert first.box.comm is not None

    def test_earlier_answers_do_not_hold_it(self, notebook: Notebook) -> None:
        notebook.run("1", self.OPEN)
        space = notebook.user_ns
        space["_oh"][1] = space["_1"] = space["form"]
        for _ in range(2):
            notebook.run("1", self.OPEN)
        assert not space["_oh"]
        assert "_1" not in space
