"""Each shipped notebook checks itself, stays thin, and is saved bare. (`make test-notebooks` runs them, by nbval.)"""

import ast
import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.notebooks.generate import expected

FOLDER = Path(__file__).resolve().parent.parent.parent / "notebooks"
NOTEBOOKS = sorted(path for path in FOLDER.rglob("*.ipynb") if ".ipynb_checkpoints" not in path.parts)
COMPARED = "# NBVAL_CHECK_OUTPUT"
LONGEST_CELL = 25
BEHIND_A_BUTTON = "record|cautions|settles|how|calculation|budget|by_hand|not_covered"


def read(path: Path) -> dict[str, Any]:
    notebook: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return notebook


def code_cells(notebook: dict[str, Any]) -> list[tuple[str, dict[str, Any]]]:
    return [("".join(cell["source"]), cell) for cell in notebook["cells"] if cell["cell_type"] == "code"]


def has_check(code: str) -> bool:
    """Whether a cell asserts something that is not a constant."""
    try:
        tree = ast.parse("\n".join(line for line in code.splitlines() if not line.lstrip().startswith(("%", "!"))))
    except SyntaxError:
        return False
    return any(
        (isinstance(node, ast.Assert) and not isinstance(node.test, ast.Constant))
        or (isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id.startswith("assert_"))
        for node in ast.walk(tree)
    )


def runs_late(cell: dict[str, Any]) -> bool:
    """Whether the page leaves a cell out until its code is shown (`rotorkit/lab/extension`)."""
    return bool(cell["metadata"].get("part") == "code")


def names(code: str, how: type[ast.expr_context]) -> set[str]:
    """The names that a cell makes or asks for."""
    return {node.id for node in ast.walk(ast.parse(code)) if isinstance(node, ast.Name) and isinstance(node.ctx, how)}


def test_they_are_what_the_sheets_say() -> None:
    behind = [path.name for path, text in expected().items() if path.read_text(encoding="utf-8") != text]
    assert behind == [], "`make notebooks` writes them"


def test_there_are_notebooks() -> None:
    assert NOTEBOOKS, f"no notebook in {FOLDER}"


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
class TestEachNotebook:
    def test_has_a_check_cell(self, path: Path) -> None:
        assert any(has_check(code) for code, _ in code_cells(read(path))), (
            "no cell asserts anything: a run proves nothing"
        )

    def test_is_saved_without_outputs(self, path: Path) -> None:
        """A cell marked for comparison keeps the plain text to compare with; nothing else is kept."""
        for code, cell in code_cells(read(path)):
            assert cell["execution_count"] is None, code
            if COMPARED not in code:
                assert cell["outputs"] == [], code
            for output in cell["outputs"]:
                assert output["output_type"] == "stream" or set(output["data"]) == {"text/plain"}, code

    def test_holds_no_widget_state(self, path: Path) -> None:
        assert "widgets" not in read(path)["metadata"]

    def test_needs_only_the_plain_python_kernel(self, path: Path) -> None:
        assert read(path)["metadata"]["kernelspec"]["name"] == "python3"

    def test_needs_no_figure_that_a_new_aircraft_does_not_have(self, path: Path) -> None:
        """It runs to its end in a folder where nothing is filled in: what goes further takes the demo's figures."""
        for code, _ in code_cells(read(path)):
            bare = "\n".join(line.partition("#")[0] for line in code.splitlines())
            sections = r"(main_rotor|tail_rotor|engine|drive|weights)"
            assert not re.search(rf"form\.aircraft\.{sections}|power_model_of\(form", bare), code

    def test_no_cell_rests_on_what_runs_once_the_code_is_shown(self, path: Path) -> None:
        cells = code_cells(read(path))
        late = {name for code, cell in cells if runs_late(cell) for name in names(code, ast.Store)}
        for code, cell in cells:
            assert runs_late(cell) or not late & (names(code, ast.Load) - names(code, ast.Store)), code

    def test_is_thin(self, path: Path) -> None:
        long = [code for code, _ in code_cells(read(path)) if code.count("\n") >= LONGEST_CELL]
        assert not long, f"over {LONGEST_CELL} lines; does it belong in the library?\n{long}"
        for code, _ in code_cells(read(path)):
            assert not re.search(r"^\s*(def|class) ", code, re.MULTILINE), f"library code in a cell:\n{code}"

    def test_one_with_a_form_tries_to_save_and_repeats_nothing_of_the_form(self, path: Path) -> None:
        every = "\n".join(code for code, _ in code_cells(read(path)))
        if "open_form(" in every:
            assert "form.try_saving()" in every, "no check cell that tries it"
        assert ".save(" not in every, "a notebook that is run must not write into the builder's record"
        twice = re.findall(rf"^form\.(?:{BEHIND_A_BUTTON})$", every, re.MULTILINE)
        assert not twice, "the form itself has these behind its buttons"

    def test_expects_no_errors(self, path: Path) -> None:
        """A cell tagged as raising passes when nothing raises, so the tag proves nothing."""
        tags = {tag for cell in read(path)["cells"] for tag in cell["metadata"].get("tags", [])}
        assert not tags & {"raises-exception", "nbval-skip"}


@pytest.mark.parametrize(
    ("code", "checks"),
    [
        ("assert x == 1", True),
        ("assert_quantity(x, '1 ft')", True),
        ("# assert", False),
        ("assert True", False),
        ("'assert x'", False),
    ],
)
def test_what_counts_as_a_check(code: str, checks: bool) -> None:
    assert has_check(code) is checks
