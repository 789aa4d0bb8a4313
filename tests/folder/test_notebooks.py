"""A working folder's notebooks when rotorkit becomes a newer one: what is the builder's own is never lost.

`earlier/` holds two notebooks as they were shipped before a notebook bore a hash, under the names they then had.
"""

import json
import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.folder import notebooks
from rotorkit.folder.notebooks import (
    Origin,
    Renewed,
    WorkFolderError,
    as_shipped,
    origin_of,
    renew_notebooks,
    shipped_notebooks,
    source_hash,
)
from tests.record.drives import read_only_drive, small_drive

EARLIER = Path(__file__).resolve().parent / "earlier"
OWN = "# my own words"
NOTHING = Renewed()


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """A working folder with the notebooks of this version."""
    folder = tmp_path / "hangar"
    folder.mkdir()
    shutil.copyfile(demo_folder() / "aircraft.toml", folder / "aircraft.toml")
    renew_notebooks(folder)
    return folder


@pytest.fixture
def earlier(place: Path) -> Path:
    """A working folder with the two notebooks as an earlier version shipped them, under the names they then had."""
    for name, now in (("00_start_here", "home"), ("02_cable_tension", "cable_tension")):
        (place / f"{now}.ipynb").unlink()
        shutil.copyfile(EARLIER / f"{name}.ipynb", place / f"{name}.ipynb")
    return place


def change(path: Path, how: Callable[[dict[str, Any]], object]) -> bytes:
    """Change a notebook as JupyterLab does when it saves; what then stands in it."""
    notebook = json.loads(path.read_text("utf-8"))
    how(notebook)
    path.write_text(json.dumps(notebook, indent=1, ensure_ascii=False) + "\n", "utf-8")
    return path.read_bytes()


def edited(path: Path) -> bytes:
    return change(path, lambda notebook: notebook["cells"][1].update(source=[OWN]))


def ran(notebook: dict[str, Any]) -> None:
    """Every cell run by Shift and Enter, which adds an empty one, and saved with widgets and a cell's folding."""
    for number, cell in enumerate(notebook["cells"], 1):
        if cell["cell_type"] == "code":
            cell["execution_count"] = number
            cell["outputs"] = [{"output_type": "stream", "name": "stdout", "text": ["35.1 lbf\n"]}]
        cell["metadata"]["collapsed"] = True
        cell["source"] = "".join(cell["source"])
    notebook["cells"].append(
        {"cell_type": "code", "execution_count": None, "id": "new", "metadata": {}, "outputs": [], "source": []}
    )
    notebook["metadata"]["widgets"] = {"state": {}}


def says(path: Path) -> str:
    return "".join("".join(cell["source"]) for cell in json.loads(path.read_text("utf-8"))["cells"])


def of_this_version(path: Path, name: str) -> bool:
    return says(path) == says(shipped_notebooks()[name])


@pytest.fixture
def next_version(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> str:
    """rotorkit as it will be when the words of one notebook are mended; that notebook's name."""
    name = "cable_tension.ipynb"
    newer = tmp_path / "newer" / name
    newer.parent.mkdir()
    shutil.copyfile(shipped_notebooks()[name], newer)
    change(newer, lambda notebook: notebook["cells"][0].update(source=["# Cable tension, mended"]))
    shipped = shipped_notebooks() | {name: newer}
    monkeypatch.setattr(notebooks, "shipped_notebooks", lambda: shipped)
    return name


def held(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


class TestThisVersion:
    def test_a_folder_without_gets_all_and_says_so(self, tmp_path: Path) -> None:
        done = renew_notebooks(tmp_path)
        assert list(done.added) == list(shipped_notebooks())
        assert all(of_this_version(tmp_path / name, name) and as_shipped(tmp_path / name) for name in done.added)
        there, course, proof = (len(list((tmp_path / part).glob("*.ipynb"))) for part in (".", "learn", "proof"))
        assert done.sentences == [
            f"Notebooks added: {len(done.added)}, {there} in the working folder, {course} in its folder learn, "
            f"{proof} in its folder proof."
        ]

    def test_a_folder_that_has_them_is_left_alone(self, place: Path) -> None:
        before = held(place)
        assert renew_notebooks(place) == NOTHING
        assert renew_notebooks(place).sentences == []
        assert held(place) == before

    def test_what_the_builder_changed_in_it_is_theirs(self, place: Path) -> None:
        edited(place / "cable_tension.ipynb")
        before = held(place)
        assert renew_notebooks(place) == NOTHING
        assert held(place) == before

    def test_only_what_is_missing_is_added(self, place: Path) -> None:
        (place / "proof" / "hover.ipynb").unlink()
        (place / "proof").rmdir()
        assert renew_notebooks(place) == Renewed(added=("proof/hover.ipynb",))


class TestFromNumberedNames:
    def test_unchanged_ones_are_renewed_under_their_new_names(self, earlier: Path) -> None:
        done = renew_notebooks(earlier)
        assert done == Renewed(renewed=("home.ipynb", "cable_tension.ipynb"))
        assert not [path.name for path in earlier.glob("0*.ipynb")]
        assert all(of_this_version(earlier / name, name) for name in done.renewed)
        assert done.sentences == ["Notebooks renewed (you had not changed them): home.ipynb, cable_tension.ipynb."]
        assert renew_notebooks(earlier) == NOTHING

    def test_having_been_run_is_no_change(self, earlier: Path) -> None:
        change(earlier / "02_cable_tension.ipynb", ran)
        assert renew_notebooks(earlier).renewed == ("home.ipynb", "cable_tension.ipynb")

    def test_a_changed_one_is_kept_and_named(self, earlier: Path) -> None:
        own = edited(earlier / "02_cable_tension.ipynb")
        done = renew_notebooks(earlier)
        assert done == Renewed(
            renewed=("home.ipynb",), kept=("cable_tension.ipynb",), aside=("02_cable_tension.ipynb",)
        )
        assert (earlier / "02_cable_tension.ipynb").read_bytes() == own
        assert of_this_version(earlier / "cable_tension.ipynb", "cable_tension.ipynb")
        assert "kept beside the new ones: cable_tension.ipynb as 02_cable_tension.ipynb." in done.sentences[-1]
        assert renew_notebooks(earlier) == NOTHING, "told once"

    def test_a_name_that_stayed_the_same(self, place: Path) -> None:
        """One that had no number bears no hash either when it is changed: its name tells that it was shipped."""
        proof = place / "proof" / "hover.ipynb"
        change(proof, lambda notebook: notebook["metadata"].pop("rotorkit"))
        own = edited(proof)
        done = renew_notebooks(place)
        assert done == Renewed(kept=("proof/hover.ipynb",), aside=("hover (yours).ipynb",))
        assert proof.with_name("hover (yours).ipynb").read_bytes() == own
        assert of_this_version(proof, "proof/hover.ipynb")

    def test_both_names_there(self, earlier: Path) -> None:
        """A person copied the old one back: nothing more is done with it."""
        renew_notebooks(earlier)
        shutil.copyfile(EARLIER / "02_cable_tension.ipynb", earlier / "02_cable_tension.ipynb")
        assert renew_notebooks(earlier) == NOTHING
        assert (earlier / "02_cable_tension.ipynb").is_file()


class TestToTheNextVersion:
    def test_unchanged(self, place: Path, next_version: str) -> None:
        change(place / next_version, ran)
        assert renew_notebooks(place) == Renewed(renewed=(next_version,))
        assert "mended" in says(place / next_version)
        assert renew_notebooks(place) == NOTHING

    def test_changed(self, place: Path, next_version: str) -> None:
        own = edited(place / next_version)
        assert renew_notebooks(place) == Renewed(kept=(next_version,), aside=("cable_tension (yours).ipynb",))
        assert (place / "cable_tension (yours).ipynb").read_bytes() == own
        assert "mended" in says(place / next_version)
        assert renew_notebooks(place) == NOTHING

    def test_a_name_that_is_taken_is_never_overwritten(self, place: Path, next_version: str) -> None:
        (place / "cable_tension (yours).ipynb").write_text("notes", "utf-8")
        edited(place / next_version)
        assert renew_notebooks(place).aside == ("cable_tension (yours 2).ipynb",)
        assert (place / "cable_tension (yours).ipynb").read_text("utf-8") == "notes"


class TestForeignFiles:
    def test_a_notebook_of_another_name(self, earlier: Path) -> None:
        foreign = earlier / "my_trial.ipynb"
        shutil.copyfile(EARLIER / "02_cable_tension.ipynb", foreign)
        before = foreign.read_bytes()
        renew_notebooks(earlier)
        assert foreign.read_bytes() == before

    @pytest.mark.parametrize(
        "content",
        [
            b"",
            b"not a notebook",
            b"\xff\xfe",
            b"[]",
            b"{}",
            b'{"cells": 3, "metadata": {}}',
            b'{"cells": ["x"], "metadata": {}}',
            b'{"cells": [], "metadata": []}',
            b'{"cells": [], "metadata": {"rotorkit": "x"}}',
            b"[" * 200_000,
            b'{"cells": [{"cell_type": "code", "source": "own = 1"}], "metadata": {}}',
        ],
    )
    def test_what_was_never_shipped_stays_as_it_is(self, place: Path, content: bytes) -> None:
        (place / "rotor_track.ipynb").write_bytes(content)
        assert renew_notebooks(place) == NOTHING
        assert (place / "rotor_track.ipynb").read_bytes() == content

    @pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes on this system")
    def test_a_folder_and_a_pipe(self, place: Path) -> None:
        for name in ("rotor_track.ipynb", "blade_angles.ipynb"):
            (place / name).unlink()
        (place / "rotor_track.ipynb").mkdir()
        os.mkfifo(place / "blade_angles.ipynb")
        assert renew_notebooks(place) == NOTHING


class TestWhatCannotBeWritten:
    def test_a_read_only_drive_is_told(self, earlier: Path) -> None:
        with small_drive("4m") as drive:
            shutil.copytree(earlier, drive, dirs_exist_ok=True)
            before = held(drive)
            with read_only_drive(drive), pytest.raises(WorkFolderError, match=r"(?s)cannot be written.*Read-only"):
                renew_notebooks(drive)
            assert held(drive) == before

    def test_a_read_only_drive_with_nothing_to_do(self, place: Path) -> None:
        with small_drive("4m") as drive:
            shutil.copytree(place, drive, dirs_exist_ok=True)
            with read_only_drive(drive):
                assert renew_notebooks(drive) == NOTHING

    def test_a_write_that_fails_loses_nothing(
        self, place: Path, next_version: str, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        before = held(place)

        def full(*_arguments: object, **_named: object) -> None:
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(Path, "write_text", full)
        with pytest.raises(WorkFolderError, match="No space left on device"):
            renew_notebooks(place)
        monkeypatch.undo()
        assert held(place) == before


class TestWhatAnOpenedNotebookIs:
    """By what its cells say, and by nothing that it says of itself: what is as shipped runs when it is opened."""

    def cells(self, name: str) -> dict[str, Any]:
        notebook: dict[str, Any] = json.loads(shipped_notebooks()[name].read_text("utf-8"))
        return notebook

    @pytest.mark.parametrize("name", ["home.ipynb", "cable_tension.ipynb", "proof/hover.ipynb"])
    def test_as_shipped_under_any_name(self, name: str) -> None:
        assert origin_of(self.cells(name), name) == Origin.SHIPPED
        assert origin_of(self.cells(name), "elsewhere/copy.ipynb") == Origin.SHIPPED

    def test_run_it_is_still_the_same(self) -> None:
        notebook = self.cells("home.ipynb")
        ran(notebook)
        assert origin_of(notebook, "home.ipynb") == Origin.SHIPPED

    @pytest.mark.parametrize("changed", [" ", "\nimport os", "#"])
    def test_a_letter_more_and_it_is_changed(self, changed: str) -> None:
        notebook = self.cells("home.ipynb")
        cell = next(one for one in notebook["cells"] if one["cell_type"] == "code")
        cell["source"] = ["".join(cell["source"]) + changed]
        assert origin_of(notebook, "home.ipynb") == Origin.CHANGED

    def test_words_that_became_code_are_a_change(self) -> None:
        notebook = self.cells("home.ipynb")
        notebook["cells"][0]["cell_type"] = "code"
        assert origin_of(notebook, "home.ipynb") == Origin.CHANGED

    def test_its_own_claim_counts_for_nothing(self) -> None:
        notebook = {"cells": [{"cell_type": "code", "source": "import os"}]}
        notebook["metadata"] = {"rotorkit": {"shipped_as": source_hash(notebook)}}  # type: ignore[assignment]
        assert origin_of(notebook, "mine.ipynb", bears=True) == Origin.CHANGED
        assert origin_of(notebook, "mine.ipynb") == Origin.OTHER

    def test_one_of_an_earlier_version_is_not_this_versions(self) -> None:
        notebook = json.loads((EARLIER / "02_cable_tension.ipynb").read_text("utf-8"))
        assert origin_of(notebook, "cable_tension.ipynb") == Origin.CHANGED


def test_the_notebook_to_begin_with_has_a_new_name(place: Path) -> None:
    was = place / "start_here.ipynb"
    (place / "home.ipynb").rename(was)
    assert renew_notebooks(place).renewed == ("home.ipynb",)
    assert not was.exists()
    (place / "home.ipynb").rename(was)
    mine = edited(was)
    assert renew_notebooks(place) == Renewed(kept=("home.ipynb",), aside=("start_here.ipynb",))
    assert was.read_bytes() == mine
