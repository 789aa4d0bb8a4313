"""A long day at one form: the kernel holds no more widgets at its end than at its beginning."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import ipywidgets
import pytest
from IPython.core.events import EventManager, available_events
from ipywidgets.widgets import widget

from rotorkit.notebook import Form, generations, open_form, widgets
from rotorkit.notebook.closing import close_all
from rotorkit.sheets import Folder


def held() -> int:
    return len(widget._instances)


def put_on_a_page(made: Any) -> Any:
    """Show it, which is when the page is told of its widgets."""
    assert made.box.model_id
    return made


def test_rows_and_checks_leave_no_widget_behind(form: object) -> None:
    made: Form = put_on_a_page(form("blade_angles"))  # type: ignore[operator]
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
    made: Form = put_on_a_page(form("blade_angles"))  # type: ignore[operator]
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
        made = put_on_a_page(open_form(sheet, folder=Folder(tmp_path)))
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
    OPEN = "from rotorkit.notebook import open_form; form = open_form('cable_tension'); form.box.model_id"
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
                    self.OPEN, f"[one.model_id for one in ({self.PARTS})]",
                    "from rotorkit.notebook import Explorer, home_page, dossier_part",
                    "seen = Explorer('glide', form.folder); seen.box.model_id",
                    "home_page().box.model_id", "dossier_part().model_id",
                ]
            ):  # fmt: skip
                notebook.run(str(cell), code)
            counts.append(held())
        assert counts[4] == counts[3] == counts[2]
        assert notebook.user_ns["form"].box.comm is not None

    def test_what_a_variable_still_has_stays(self, notebook: Notebook) -> None:
        notebook.run("1", self.OPEN)
        notebook.run("2", "mine = {'kept': [form]}; part = form.budget; shown = part.model_id")
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


class TestWhatThePageIsTold:
    def told(self, monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
        """What is told from now on of a widget that is new: its state."""
        said: list[dict[str, Any]] = []
        real = widget.comm.create_comm

        def create(**given: Any) -> Any:
            said.append(given["data"]["state"])
            return real(**given)

        monkeypatch.setattr(widget.comm, "create_comm", create)
        return said

    def test_each_widget_once_as_it_stands_and_one_layout_for_many(
        self, form: object, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        told = self.told(monkeypatch)
        made: Form = form("blade_angles")  # type: ignore[operator]
        assert told == []
        put_on_a_page(made)
        kinds = [one["_model_name"] for one in told]
        shown = [one for one in told if "_dom_classes" in one]
        assert len(shown) > 150
        assert len(told) - len(shown) == sum(kind.endswith(("StyleModel", "LayoutModel")) for kind in kinds) < 12
        assert any("rotorkit-form" in one["_dom_classes"] for one in shown)

    def test_a_part_is_told_before_what_it_stands_in(self, monkeypatch: pytest.MonkeyPatch) -> None:
        told = self.told(monkeypatch)
        word = widgets.HTML("before")
        word.value = "after"
        box = widgets.VBox([word])
        assert box.model_id == box.comm.comm_id
        seen = [one for one in told if one["_model_name"] in ("HTMLModel", "VBoxModel")]
        assert [one["_model_name"] for one in seen] == ["HTMLModel", "VBoxModel"]
        assert seen[0]["value"] == "after"
        assert seen[1]["children"] == [f"IPY_MODEL_{word.model_id}"]

    def test_a_widget_put_in_later_is_told_then(self, monkeypatch: pytest.MonkeyPatch) -> None:
        box, late = widgets.VBox([]), widgets.Button(description="late")
        assert box.model_id
        assert late.comm is None
        box.children = [late]
        assert late.comm is not None

    def test_hiding_one_hides_no_other(self) -> None:
        one, other = widgets.HTML("one"), widgets.HTML("other")
        assert one.layout is other.layout
        with pytest.raises(AttributeError, match="display of what several widgets have"):
            one.layout.display = "none"
        widgets.show(one, False)
        assert (one.layout.display, other.layout.display) == ("none", None)
        widgets.show(one, True)
        assert one.layout is other.layout

    def test_one_with_a_layout_of_its_own_keeps_it(self) -> None:
        own = widgets.HTML("own", layout=ipywidgets.Layout(width="3em"))
        widgets.show(own, False)
        assert (own.layout.display, own.layout.width) == ("none", "3em")
        widgets.show(own, True)
        assert (own.layout.display, own.layout.width) == (None, "3em")

    def test_closing_one_leaves_what_the_others_have(self) -> None:
        one, other = widgets.Text("1"), widgets.Text("2")
        assert one.model_id
        assert other.model_id
        close_all(one)
        assert one.comm is None
        assert one.closed
        assert other.layout.comm is not None
        assert other.style.comm is not None

    def test_after_a_page_was_emptied_what_several_have_is_told_again(self) -> None:
        one = widgets.Text("1")
        assert one.model_id
        one.layout.close()
        another = widgets.Text("2")
        assert another.model_id
        assert another.layout.comm is not None
