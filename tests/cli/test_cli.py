"""The `rotorkit` command, as a builder meets it: every answer in words, nothing overwritten, nothing half-made."""

import contextlib
import io
import json
import os
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest
import typer.testing
from typer.main import get_command
from typer.testing import CliRunner

from rotorkit import __version__, cli
from rotorkit.aircraft import demo_folder
from rotorkit.folder import making as workfolder
from rotorkit.folder.checks import Folder
from rotorkit.judging.limits import WORDS
from rotorkit.sheets import sheet_names
from tests.fixed_clock import IMPORT_PATH

CHECKOUT = Path(__file__).resolve().parent.parent.parent
NOTEBOOK = json.dumps(
    {
        "cells": [],
        "metadata": {"kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"}},
        "nbformat": 4,
        "nbformat_minor": 5,
    }
)


typer.testing._get_command = cache(get_command)  # put together once, not for each line that is run


class Answer(NamedTuple):
    code: int
    out: str
    err: str


def rotorkit(*arguments: str | Path, at: Path, columns: int = 80) -> Answer:
    """The command within this process, run in a folder: quick."""
    environment = {"COLUMNS": str(columns), "DISPLAY": None, "WAYLAND_DISPLAY": None}
    with contextlib.chdir(at):
        done = CliRunner().invoke(cli.app, list(map(str, arguments)), env=environment, prog_name="rotorkit")
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return Answer(done.exit_code, done.stdout, done.stderr)


def by_itself(*arguments: str | Path, at: Path, **environment: str) -> Answer:
    """The command as a process of its own."""
    clean = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY", "COLUMNS")}
    clean |= {"PYTHONPATH": IMPORT_PATH, "PYTHONIOENCODING": "utf-8"} | environment
    command = [sys.executable, "-m", "rotorkit", *map(str, arguments)]
    done = subprocess.run(command, cwd=at, env=clean, capture_output=True, stdin=subprocess.DEVNULL, check=False)
    assert b"Traceback" not in done.stderr, done.stderr.decode()
    encoding = environment.get("PYTHONIOENCODING", "utf-8")
    return Answer(done.returncode, done.stdout.decode(encoding), done.stderr.decode(encoding))


_PLACE = tempfile.TemporaryDirectory(prefix="rotorkit-made-")
_MADE: dict[bool, Path] = {}


def new(folder: Path, demo: bool = True) -> Path:
    """A working folder: one is made by the program, and those after it are copies of that one, as it was made."""
    if demo not in _MADE:
        _MADE[demo] = Path(_PLACE.name) / ("demo" if demo else "own")
        workfolder.make_folder(_MADE[demo], demo)
    return Path(shutil.copytree(_MADE[demo], folder, dirs_exist_ok=True))


def contents(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


class TestVersion:
    def test_says_it(self, tmp_path: Path) -> None:
        answer = by_itself("--version", at=tmp_path)
        assert (answer.code, answer.out) == (0, f"rotorkit {__version__}\n")

    def test_loads_nothing_heavy(self) -> None:
        code = (
            "import sys, rotorkit.cli\n"
            "print(*[m for m in ('numpy', 'pint', 'pydantic', 'sympy', 'scipy', 'jupyterlab') if m in sys.modules])"
        )
        done = subprocess.run([sys.executable, "-c", code], cwd=CHECKOUT, capture_output=True, text=True, check=True)
        assert done.stdout.split() == []


class TestNew:
    def test_makes_a_folder_with_every_file(self, tmp_path: Path) -> None:
        answer = rotorkit("new", "hangar", at=tmp_path)
        assert answer.code == 0, answer.err
        made = tmp_path / "hangar"
        names = {path.relative_to(made).as_posix() for path in made.rglob("*") if path.is_file()}
        assert names == {"aircraft.toml", "readings.toml", *workfolder.shipped_notebooks()}
        assert "proof/hover.ipynb" in names
        assert all(name in answer.out for name in names)

    def test_demo_copies_the_demo_as_it_is(self, tmp_path: Path) -> None:
        assert rotorkit("new", "hangar", "--demo", at=tmp_path).code == 0
        for name in ("aircraft.toml", "readings.toml"):
            assert (tmp_path / "hangar" / name).read_bytes() == (demo_folder() / name).read_bytes()

    def test_serves_an_empty_folder_and_stays_the_same_folder(self, tmp_path: Path) -> None:
        before = tmp_path.stat().st_ino
        assert rotorkit("new", ".", at=tmp_path).code == 0
        assert tmp_path.stat().st_ino == before
        assert (tmp_path / "aircraft.toml").is_file()
        assert (tmp_path / "proof" / "hover.ipynb").is_file()
        assert not [path for path in tmp_path.iterdir() if path.name.startswith(".")]

    def test_makes_the_folders_above(self, tmp_path: Path) -> None:
        assert rotorkit("new", "a/b c/ü", at=tmp_path).code == 0
        assert (tmp_path / "a" / "b c" / "ü" / "aircraft.toml").is_file()

    @pytest.mark.parametrize("name", ["aircraft.toml", "notes.txt", ".hidden"])
    def test_touches_no_folder_that_holds_anything(self, tmp_path: Path, name: str) -> None:
        (tmp_path / "hangar").mkdir()
        (tmp_path / "hangar" / name).write_text("mine")
        answer = rotorkit("new", "hangar", at=tmp_path)
        assert (answer.code, answer.out) == (1, "")
        assert "not empty" in answer.err
        assert contents(tmp_path) == {f"hangar/{name}": b"mine"}

    def test_touches_no_file_of_that_name(self, tmp_path: Path) -> None:
        (tmp_path / "hangar").write_text("mine")
        assert "is a file" in rotorkit("new", "hangar", at=tmp_path).err
        assert "cannot be made" in rotorkit("new", "hangar/inside", at=tmp_path).err
        assert contents(tmp_path) == {"hangar": b"mine"}

    @pytest.mark.parametrize("exists", [False, True])
    def test_leaves_nothing_half_made(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, exists: bool) -> None:
        """The disk fills up while the notebooks are copied."""
        if exists:
            (tmp_path / "a" / "hangar").mkdir(parents=True)

        def full() -> list[Path]:
            raise OSError(28, "No space left on device")

        monkeypatch.setattr(workfolder, "shipped_notebooks", full)
        with pytest.raises(workfolder.WorkFolderError, match="No space left"):
            workfolder.make_folder(tmp_path / "a" / "hangar")
        left = [str(path.relative_to(tmp_path)) for path in sorted(tmp_path.rglob("*"))]
        assert left == (["a", "a/hangar"] if exists else [])

    def test_gives_way_to_a_file_that_appears_meanwhile(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        fill = workfolder._fill

        def slow(staging: Path, demo: bool) -> list[str]:
            names = fill(staging, demo)
            (tmp_path / "readings.toml").write_text("mine")
            return names

        monkeypatch.setattr(workfolder, "_fill", slow)
        with pytest.raises(workfolder.WorkFolderError, match="in the meantime"):
            workfolder.make_folder(tmp_path)
        assert contents(tmp_path) == {"readings.toml": b"mine"}

    def test_a_copy_of_a_read_only_file_can_be_written(self, tmp_path: Path) -> None:
        folder = new(tmp_path / "hangar")
        assert all(os.access(path, os.W_OK) for path in folder.iterdir())

    def test_wants_a_folder(self, tmp_path: Path) -> None:
        answer = rotorkit("new", at=tmp_path)
        assert answer.code == 2
        assert "DIR" in answer.err


@pytest.fixture(scope="module")
def answer(tmp_path_factory: pytest.TempPathFactory) -> Answer:
    """The demo's verdict table with every figure, printed once."""
    folder = new(tmp_path_factory.mktemp("status") / "demo")
    return by_itself("status", folder, "--every-figure", at=folder.parent)


class TestStatusOfTheDemo:
    def test_exit_code_is_0_though_figures_are_out_of_limits(self, answer: Answer) -> None:
        assert (answer.code, answer.err) == (0, "")
        assert "out of limits" in answer.out

    def test_prints_every_figure_with_limit_uncertainty_and_verdict(self, answer: Answer) -> None:
        folder = Folder(demo_folder())
        words = " ".join(answer.out.split())
        assert folder.checks
        for check in folder.checks:
            assert check.title in answer.out
            for finding in check.outcome(folder.aircraft).findings:
                figure, value, limit, word = finding.row()
                first = next(line for line in answer.out.splitlines() if value in line)
                assert any(word in line for line in answer.out.splitlines() if value in line), first
                if finding.verdict.settle:
                    assert " ".join(finding.verdict.settle.split()) in words
                assert figure.split()[0] in words
                assert limit.split("(")[0].split()[0] in words

    def test_shows_all_kinds_of_verdict(self, answer: Answer) -> None:
        for word in WORDS:
            assert word in answer.out, f"the demo shows no figure that is {word}"

    def test_stays_within_80_columns_without_colour(self, answer: Answer) -> None:
        assert max(map(len, answer.out.splitlines())) <= 80
        assert "\x1b" not in answer.out
        assert not [line for line in answer.out.splitlines() if line != line.rstrip()]

    def test_counts_the_verdicts(self, answer: Answer) -> None:
        counted = re.search(
            r"Figures in all: (\d+) out of limits, (\d+) too close to call, (\d+) in limits", answer.out
        )
        assert counted is not None
        rows = [
            len(re.findall(rf"  {word}$", answer.out, re.MULTILINE))
            for word in ("out of limits", "too close to call", "in limits")
        ]
        assert [int(count) for count in counted.groups()] == rows

    def test_one_screen_has_a_line_for_each_check_worst_first(self, answer: Answer, tmp_path: Path) -> None:
        folder = Folder(new(tmp_path / "demo"))
        short = rotorkit("status", at=folder.path).out
        lines = short.splitlines()
        assert len(lines) <= 37, "with the address of JupyterLab it stays within 40"
        assert all(len(line) <= 80 or line.startswith("One check whole: ") for line in lines), "a path is never cut"
        groups = [line for line in lines if line.isupper()]
        assert groups == ["OUT OF LIMITS", "TOO CLOSE TO CALL", "NO VERDICT YET", "IN LIMITS"]
        told, _, in_limits = short.partition("    marked est.: ")
        estimates, _, calm = in_limits.partition("\n    with nothing to read first: ")
        calm = calm.partition("\n! read its")[0]
        assert " more: " not in short, "what is to be acted on has its line"
        number = re.search(r"^    (\d+) more with nothing to read first$", short, re.M)
        if number is not None:  # too many to be named beside those
            estimates, calm = estimates.partition(number[0])[0], ""
        unnamed = 0
        for check in folder.checks:
            outcome = check.outcome(folder.aircraft)
            alone = outcome.word == "in limits" and outcome.first == outcome.unsure
            assert (check.name in estimates.replace(",", " ").split()) == (alone and bool(outcome.unsure)), check.name
            if number is None:
                assert (check.name in calm.replace(",", " ").split()) == (alone and not outcome.unsure), check.name
            unnamed += alone and not outcome.unsure
            if alone:
                assert f"  {check.name} " not in told
                continue
            (line,) = [line for line in lines if line.startswith(f"  {check.name} ")]
            above = lines[: lines.index(line)]
            assert [group for group in above if group.isupper()][-1] == outcome.word.upper()
            decides = outcome.deciding
            assert decides is not None
            assert decides.verdict.word == outcome.word or outcome.missing
            assert decides.row()[1] in line
            assert ("est." in line) == bool(outcome.unsure)
            assert (" ! " in line) == bool(outcome.warned)
        assert number is None or int(number[1]) == unnamed
        words = " ".join(short.split())
        assert re.search(r"Next: First engine run: (\d+) of \1 jobs need work", words)
        assert "rotorkit status CHECK" in words
        counted = re.search(r"Figures in all: .*? in limits", words)
        assert counted is not None
        assert counted[0] in " ".join(answer.out.split())

    def test_one_check_whole(self, answer: Answer, tmp_path: Path) -> None:
        folder = Folder(new(tmp_path / "demo"))
        words = " ".join(rotorkit("status", "pedals_today", folder.path, at=tmp_path).out.split())
        outcome = folder.check("pedals_today").outcome(folder.aircraft)
        assert "Pedals, with two aboard: too close to call" in words
        for said in (*outcome.first, *outcome.remarks):
            assert " ".join(said.split()) in words
        for finding in outcome.findings:
            assert finding.row()[1] in words
        assert "Needed before: First hover" in words
        assert "Blade to blade" not in words
        assert rotorkit("status", "pedals_today", at=folder.path).out.split() == words.split()
        unknown = rotorkit("status", "pedals", folder.path, at=tmp_path)
        assert (unknown.code, unknown.out) == (1, "")
        assert "no check of that name" in unknown.err

    def test_json_has_the_keys_that_are_described(self, tmp_path: Path) -> None:
        from rotorkit.cli.status_json import FORMAT, KEYS

        folder = Folder(new(tmp_path / "demo"))
        told = json.loads(rotorkit("status", "--json", folder.path, at=tmp_path).out)

        def keys(value: object, at: str = "") -> set[str]:
            if isinstance(value, list):
                return set().union(*(keys(one, f"{at}[]") for one in value))
            if not isinstance(value, dict):
                return set()
            below = {f"{at}.{key}" if at else key: one for key, one in value.items()}
            return set(below).union(*(keys(one, path) for path, one in below.items()))

        assert keys(told) == set(KEYS)
        assert (told["format"], told["faults"]) == (FORMAT, [])
        assert [check["name"] for check in told["checks"]] == [check.name for check in folder.checks]
        (tension,) = [check for check in told["checks"] if check["name"] == "pedal_right_tension"]
        (figure,) = [one for one in tension["figures"] if one["key"] == tension["deciding"]]
        assert figure["limit"] == "30 lbf to 40 lbf"
        assert figure["source"] == "demo manual 7-12"
        assert figure["word"] == tension["word"] == "out of limits"
        assert tension["readings"] == "readings file"
        assert [one["title"] for one in told["milestones"] if one["next"]] == ["First engine run"]
        one = json.loads(rotorkit("status", "corners", "--json", at=folder.path).out)
        assert [check["name"] for check in one["checks"]] == ["corners"]

    def test_says_that_it_is_no_approval(self, answer: Answer) -> None:
        assert "not an approval" in " ".join(answer.out.split())


class TestStatus:
    def test_is_wider_where_the_terminal_is(self, tmp_path: Path) -> None:
        answer = rotorkit("status", new(tmp_path / "demo"), at=tmp_path, columns=140)
        lines = answer.out.splitlines()
        (path,) = [line for line in lines if line.startswith("One check whole: ")]
        assert f"{tmp_path / 'demo'}. All of it" in path, "a path is never cut"
        assert 80 < max(len(line) for line in lines if line != path) <= 110

    def test_the_folder_that_one_is_in_is_not_typed_behind_a_command(self, tmp_path: Path) -> None:
        new(tmp_path / "demo")
        told = rotorkit("status", ".", at=tmp_path / "demo").out  # "status CHECK .." would be the folder above
        assert "status CHECK. All of it" in told

    def test_only_calm_checks_go_without_their_line_and_only_where_the_screen_is_full(self) -> None:
        from rotorkit.cli.status_text import short_text
        from rotorkit.cli.verdict_table import NOT_AS_SAVED, NOT_STANDING, CheckTable, Table

        def told(calm: int) -> str:
            kept = [
                CheckTable("Out", "out", word="out of limits"),
                CheckTable("Close", "close", word="too close to call"),
                CheckTable("Warned", "warned", word="in limits", first=["Look."], warned=["Look."]),
                CheckTable("Unsure", "unsure", word="in limits", first=["An estimate."], unsure=["An estimate."]),
                CheckTable("Part", "part", word="in limits", first=["One blade is missing."]),
                CheckTable("Others", "others", word="in limits", state=NOT_STANDING),
                CheckTable("Changed", "changed", word="in limits", state=NOT_AS_SAVED),
                CheckTable("Broken", "broken", word="in limits", problem="a fault"),
                CheckTable("Blank", "blank", blank=True),
            ]
            good = [CheckTable(f"Good {at}", f"good_{at}", word="in limits") for at in range(calm)]
            text = short_text(Table("A", [*good, *kept], []), None)
            assert all(f"\n  {check.name} " in text for check in kept)
            assert all(check.name in text.replace(",", " ").split() for check in good)
            assert "marked est." not in text
            return text

        # beside the calm 20: 9 lines of checks, 5 groups, the head, the marks, the counts, the record, two at the foot
        full, over = told(17), told(18)
        assert len(full.splitlines()) == 37
        assert "nothing to read first:" not in full
        assert "\n    with nothing to read first: good_0, good_1, " in over
        assert len(over.splitlines()) == 20 + 3, "28 letters and 18 names, 178 in all, 76 to a line"

    def test_where_the_worst_are_more_than_a_screen_the_last_of_them_are_named_and_none_is_left_out(self) -> None:
        from rotorkit.cli.status_text import short_text
        from rotorkit.cli.verdict_table import NOT_AS_SAVED, CheckTable, Table

        def check(name: str, word: str, **others: list[str] | str) -> CheckTable:
            return CheckTable(name, name, word=word, **others)

        estimate = {"first": ["An estimate."], "unsure": ["An estimate."]}

        def told(out: int) -> list[str]:
            checks = [
                check("calm_one", "in limits"),
                check("est_one", "in limits", **estimate),
                check("est_two", "in limits", **estimate),
                check("part", "in limits", first=["An estimate.", "One blade is missing."], unsure=["An estimate."]),
                check("warned", "in limits", first=["Look."], warned=["Look."]),
                check("changed", "in limits", state=NOT_AS_SAVED),
                check("close_one", "too close to call"),
                check("close_two", "too close to call", first=["Look."], warned=["Look."]),
                *(check(f"out_{at:02}", "out of limits") for at in range(out)),
            ]
            text = short_text(Table("A", checks, []), None)
            named = text.replace(",", " ").split()
            assert all(named.count(one.name) >= 1 for one in checks), "none is left out"
            return text.splitlines()

        # beside those out of limits 16: the head, 3 groups, 2 too close, 3 in limits with 2 lines of names, the marks,
        # 2 of counts, 2 at the foot
        assert len(told(21)) == 37
        assert not [line for line in told(21) if " more: " in line]
        assert "    marked est.: est_one, est_two" in told(21)
        assert "    with nothing to read first: calm_one" in told(21)
        one_over = told(22)
        assert len(one_over) == 37
        assert [line for line in one_over if " more: " in line] == ["    and 2 more: est. part, ! warned"]
        many = told(40)
        assert len(many) <= 37
        assert [line for line in many if line.startswith("  changed ")], "what was changed in the record keeps its line"
        assert "    and 2 more: close_one, ! close_two" in many
        kept = [line.split()[0] for line in many if line.startswith("  out_")]
        assert kept == [f"out_{at:02}" for at in range(len(kept))]
        assert f"    and {40 - len(kept)} more: out_{len(kept)}, " in "\n".join(many)
        assert len(kept) >= 18, "no more of them are named than must be"

    def test_what_physics_does_not_allow_keeps_its_line_before_what_is_only_not_finished(self) -> None:
        from rotorkit.cli.status_text import short_text
        from rotorkit.cli.verdict_table import CheckTable, Table

        no = CheckTable("No", "no_go", word="in limits", first=["Do not."], warned=["Do not."])
        part = [
            CheckTable(f"Part {at}", f"part_{at:02}", word="no verdict yet", first=["Missing."]) for at in range(40)
        ]
        close = [CheckTable("Close", f"close_{at}", word="too close to call") for at in range(3)]
        close[1].first = close[1].warned = ["Do not."]
        lines = short_text(Table("A", [no, *close, *part], []), None).splitlines()
        assert len(lines) <= 37
        assert [line for line in lines if " more: " in line]
        assert [line for line in lines if line.startswith("  no_go ")]
        assert len([line for line in lines if line.startswith("  close_")]) == 3
        out = [CheckTable("Out", f"out_{at:02}", word="out of limits") for at in range(40)]
        out[-1].first = out[-1].warned = ["Do not."]
        lines = short_text(Table("A", out, []), None).splitlines()
        assert [line for line in lines if line.startswith("  out_39 ")]
        assert not [line for line in lines if line.startswith("  out_38 ")]

    def test_finds_the_folder_from_within(self, tmp_path: Path) -> None:
        inside = new(tmp_path / "demo") / "photos"
        inside.mkdir()
        assert "hover_today" in rotorkit("status", at=inside).out

    def test_says_when_it_shows_the_demo_for_want_of_a_folder(self, tmp_path: Path) -> None:
        assert rotorkit("status", at=tmp_path).out.startswith(
            "There is no aircraft.toml here: this is the invented demo"
        )

    def test_a_console_of_few_signs_gets_plain_ones(self, tmp_path: Path) -> None:
        answer = by_itself("status", new(tmp_path / "demo"), at=tmp_path, PYTHONIOENCODING="ascii")
        assert answer.code == 0
        assert "+/-" in answer.out
        assert "?" not in answer.out

    def test_a_check_that_cannot_be_worked_is_told_and_hides_no_other(self, tmp_path: Path) -> None:
        folder = new(tmp_path / "demo")
        readings = folder / "readings.toml"
        text = readings.read_text(encoding="utf-8")
        text = text.replace('gross_weight = "1,255 lb"', 'gross_weight = "1,255 ft"', 1)
        readings.write_text(text + '\n[odd]\nsheet = "no_such_sheet"\nx = "1"\n', encoding="utf-8")
        short = rotorkit("status", folder, at=tmp_path).out
        assert "COULD NOT BE WORKED" in short
        assert "  hover_today               gross_weight: needs a mass" in short
        answer = rotorkit("status", folder, "--every-figure", at=tmp_path)
        words = " ".join(answer.out.split())
        assert answer.code == 0
        assert "gross_weight: needs a mass, got '1,255 ft', which is a length" in words
        assert "no sheet is called 'no_such_sheet'" in words
        assert "Could not be worked: Hover, with two aboard; Odd." in words
        assert "Blade B, high stop" in words

    def test_a_fault_of_a_sheet_is_told_and_hides_no_other(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        from rotorkit.cli.verdict_table import table_of, table_text
        from rotorkit.sheets.performance.hover_margin import HoverMargin

        def broken(self: HoverMargin, aircraft: object) -> None:
            raise ZeroDivisionError("float division by zero")

        monkeypatch.setattr(HoverMargin, "work", broken)
        text = table_text(table_of(Folder(new(tmp_path / "demo"))))
        assert "a fault in rotorkit itself: ZeroDivisionError" in text
        assert "Blade B, high stop" in text

    def test_a_weight_above_the_maximum_is_told(self, tmp_path: Path) -> None:
        folder = new(tmp_path / "demo")
        readings = folder / "readings.toml"
        readings.write_text(readings.read_text(encoding="utf-8").replace("1,255 lb", "1,345 lb"), encoding="utf-8")
        assert "above the maximum" in " ".join(rotorkit("status", "hover_today", folder, at=tmp_path).out.split())
        assert re.search(r"hover_today +! est. ", rotorkit("status", folder, at=tmp_path).out)

    def test_what_does_not_fit_in_the_aircraft_file_is_told(self, tmp_path: Path) -> None:
        folder = new(tmp_path / "demo")
        file = folder / "aircraft.toml"
        text = (
            file.read_text(encoding="utf-8")
            .replace('"5.8:1"', '"5.2:1"')
            .replace("due = 2027-04-12", "due = 2020-04-12")
        )
        file.write_text(text.replace("calibrated = 2026-04-12", "calibrated = 2019-04-12"), encoding="utf-8")
        words = " ".join(rotorkit("status", folder, at=tmp_path).out.split())
        assert "To look at first: - [main_rotor] speed 455 rpm does not fit" in words
        assert "Digital protractor: its calibration was due on 2020-04-12" in words

    def test_metric_display_is_metric_throughout(self, tmp_path: Path) -> None:
        folder = new(tmp_path / "demo")
        file = folder / "aircraft.toml"
        text = file.read_text(encoding="utf-8").replace('display = "us"', 'display = "metric"')
        file.write_text(text, encoding="utf-8")
        answer = rotorkit("status", folder, "--every-figure", at=tmp_path)
        table = "\n".join(line for line in answer.out.splitlines() if "note:" not in line)
        assert re.search(r"\d kW\b", table)
        assert re.search(r"\d kg\b", table)
        assert re.search(r"\d N\b", table)
        assert not re.search(r"\d (lb|lbf|hp|ft)\b", table), "a figure is not in metric units"

    def test_no_readings_file_is_no_fault(self, tmp_path: Path) -> None:
        folder = new(tmp_path / "demo")
        (folder / "readings.toml").unlink()
        answer = rotorkit("status", folder, at=tmp_path)
        assert answer.code == 0
        assert "readings.toml is missing or empty" in answer.out

    @pytest.mark.parametrize(
        ("name", "bytes_", "told"),
        [
            ("aircraft.toml", b"[aircraft\n", "aircraft.toml line 1: a section's name goes in brackets"),
            ("aircraft.toml", b"# 9\xb0\n", "aircraft.toml line 1: the file is not saved as UTF-8"),
            ("readings.toml", b"[x]\nsheet = 3\n", "readings.toml line 1: [x] needs the name of its sheet"),
            ("readings.toml", b"x = '3 lb'\n", "readings.toml line 1: x belongs to no check"),
            ("readings.toml", b'[x]\nsheet = "hover_margin\nx', "readings.toml line 2: a quotation mark is missing"),
        ],
    )
    def test_a_file_that_cannot_be_read_gives_1_and_says_where(
        self, tmp_path: Path, name: str, bytes_: bytes, told: str
    ) -> None:
        folder = new(tmp_path / "demo")
        (folder / name).write_bytes(bytes_)
        answer = rotorkit("status", folder, at=tmp_path)
        assert (answer.code, answer.out) == (1, "")
        assert told in " ".join(answer.err.split())

    @pytest.mark.parametrize(
        ("path", "told"), [("nowhere", "there is no folder nowhere"), (".", "there is no aircraft.toml in .")]
    )
    def test_no_working_folder(self, tmp_path: Path, path: str, told: str) -> None:
        answer = rotorkit("status", path, at=tmp_path)
        assert answer.code == 1
        assert told in answer.err

    def test_a_reader_that_stops_early_gets_no_stack_trace(self, tmp_path: Path) -> None:
        command = f'"{sys.executable}" -m rotorkit status | head -1'
        done = subprocess.run(
            ["sh", "-c", command],
            cwd=tmp_path,
            env={**os.environ, "PYTHONPATH": IMPORT_PATH},
            capture_output=True,
            check=True,
        )
        assert b"Traceback" not in done.stderr


class TestUnfilled:
    """A folder for one's own aircraft, as it is before anything has been filled in."""

    def test_status_names_for_each_job_what_it_waits_for(self, tmp_path: Path) -> None:
        folder = new(tmp_path / "mine", demo=False)
        short = rotorkit("status", folder, at=tmp_path)
        assert "NO READINGS YET" in short.out
        assert "it waits for [main_rotor]" in short.out
        answer = rotorkit("status", folder, "--every-figure", at=tmp_path)
        words = " ".join(answer.out.split())
        assert answer.code == 0
        signs = "blades, positive_blade_angle, protractor_reads_positive"
        assert f"it waits for [main_rotor] {signs}; [instruments.protractor] uncertainty in the aircraft file" in words
        assert "it waits for [main_rotor] blades, radius; " in words  # the rotor track: nothing of engine or drive
        known = (folder / "aircraft.toml").read_text(encoding="utf-8")
        for waits in re.findall(r"it waits for (.*?) in the aircraft file", words):
            for keys in re.findall(r"\[[\w.]+\] ([\w, ]+)", waits):
                assert all(re.search(rf"^(# )?{key} = ", known, re.MULTILINE) for key in keys.split(", "))

    def test_readings_to_be_filled_in_are_no_fault(self, tmp_path: Path) -> None:
        folder = new(tmp_path / "mine", demo=False)
        (folder / "aircraft.toml").write_bytes((demo_folder() / "aircraft.toml").read_bytes())
        answer = rotorkit("status", folder, at=tmp_path)
        assert answer.code == 0
        assert "NO READINGS YET" in answer.out
        answer = rotorkit("status", folder, "--every-figure", at=tmp_path)
        assert answer.out.count("No readings yet.") == len(sheet_names())
        assert "could not be worked" not in answer.out

    def test_every_key_of_the_aircraft_file_is_in_the_blank_one(self, tmp_path: Path) -> None:
        from rotorkit.aircraft import Aircraft

        text = (new(tmp_path / "mine", demo=False) / "aircraft.toml").read_text(encoding="utf-8")
        known = set(re.findall(r"\b(\w+) = ", text))
        known |= {
            part for place in re.findall(r"^(?:# )?\[+([\w.]+)\]+", text, re.MULTILINE) for part in place.split(".")
        }
        for section, model in _models(Aircraft, ()):
            for name in model.model_fields:
                assert name in known, f"{'.'.join(section)} {name} is not in the blank aircraft file"

    def test_filled_in_and_uncommented_it_is_a_whole_aircraft(self, tmp_path: Path) -> None:
        """What a builder does: fill in every place, take the # away from the blocks, and look."""
        folder = new(tmp_path / "mine", demo=False)
        text = (folder / "aircraft.toml").read_text(encoding="utf-8")
        text = re.sub(r"^# (\[+[a-z]|\w+ = )", r"\1", text, flags=re.MULTILINE)
        for section, values in FILLED.items():
            head, mark, rest = text.partition(f"\n{section}")
            assert mark, section
            body, following, tail = re.split(r"(\n\[|\Z)", rest, maxsplit=1)
            for key, value in values.items():
                body, found = re.subn(rf'^({key} = )(""|\[\])', lambda m, v=value: m[1] + v, body, flags=re.MULTILINE)
                assert found == 1, (section, key)
            text = head + mark + body + following + tail
        (folder / "aircraft.toml").write_text(text, encoding="utf-8")
        answer = rotorkit("status", folder, at=tmp_path)
        assert answer.code == 0, answer.err
        aircraft = Folder(folder).aircraft
        assert aircraft.cables["first_cable"].limits.tension is None
        assert aircraft.inconsistencies() == []


_ROTOR = {"blades": '["A", "B"]', "measured_at": '"grip"', "chord": '"150 mm"'}
_TURN = '"leading edge up"'
_AWAY = '"leading edge away from the tail boom"'
FILLED = {
    "[links.first_link]": {"kind": '"gears"', "driver": '"pinion"', "driven": '"main rotor"'},
    "[aircraft]": {"name": '"Mine"'},
    "[main_rotor]": {
        **_ROTOR,
        "radius": '"3.56 m"',
        "speed": '"455 rpm"',
        "positive_blade_angle": _TURN,
        "protractor_reads_positive": _TURN,
        "figure_of_merit": '"0.62 ± 0.06"',
    },
    "[main_rotor.pitch_links]": {
        "arm": '"6 in"',
        "upper_thread": '"1/4-28"',
        "lower_thread": '"1/4-28 left hand"',
        "lengthening": '"raises the blade angle"',
    },
    "[main_rotor.rods.first_rod]": {"title": '"Collective"', "moves": '"every blade"', "angle_per_turn": '"0.9 deg"'},
    "[main_rotor.swashplate]": {"rotor_turns": '"clockwise seen from above"'},
    "[main_rotor.blade]": {
        "root_cutout": '"0.5 m"',
        "twist": '"-6 deg"',
        "drag_constant": '"0.011"',
        "greatest_lift": '"1.2"',
        "source": '"manual"',
    },
    "[airframe]": {"flat_plate_area": '"0.65 m^2"'},
    "[recorders.panel]": {"title": '"Engine monitor"'},
    "[engine.power_table]": {
        "by": '"density altitude"',
        "rows": '[["0 ft", "138 hp"], ["5000 ft", "117 hp"]]',
        "source": '"maker"',
    },
    "[[measured_hovers]]": {
        "title": '"card 4"',
        "gross_weight": '"500 kg"',
        "pressure_altitude": '"200 m"',
        "temperature": '"15 °C"',
        "rotor_speed": '"455 rpm"',
    },
    "[tail_rotor]": {
        **_ROTOR,
        "radius": '"0.66 m"',
        "speed": '"2912 rpm"',
        "positive_blade_angle": _AWAY,
        "protractor_reads_positive": _AWAY,
        "arm": '"4.3 m"',
        "figure_of_merit": '"0.55"',
    },
    "[drive]": {
        "engine_to_main_rotor": '"5.8:1"',
        "tail_to_main_rotor": '"6.4"',
        "efficiency": '"94 %"',
        "accessory_power": '"0 hp"',
    },
    "[engine]": {"rated_power": '"103 kW"', "rated_speed": '"2640 rpm"'},
    "[weights]": {"maximum": '"594 kg"'},
    "[loading]": {"empty_weight": '"364 ± 1 kg"', "empty_arm": '"2.72 m"', "source": '"weighing"'},
    "[loading.stations.right_seat]": {"title": '"Right seat"', "arm": '"2 m"', "most": '"104 kg"'},
    "[[loading.envelopes]]": {
        "title": '"Lengthwise"',
        "corners": '[{ arm = "2.4 m", mass = "380 kg" }, { arm = "2.4 m", mass = "594 kg" }, '
        '{ arm = "2.6 m", mass = "594 kg" }]',
        "source": '"manual"',
    },
    "[[milestones]]": {"title": '"Hover"', "needs": '[{ sheet = "hover_margin", why = "power" }]'},
    "[cables.first_cable]": {
        "title": '"Left"',
        "diameter": '"1/8 in"',
        "construction": '"7x19"',
        "steel": '"carbon steel"',
        "length": '"5 m"',
        "airframe_material": '"aluminium alloy 6061"',
        "limits_at": '"70 °F"',
    },
    "[cables.first_cable.turnbuckle]": {"thread_one": '"10-32"', "thread_other": '"10-32 left hand"'},
    "[push_pull_tubes.first_tube]": {
        "title": '"Collective"',
        "outer_diameter": '"20 mm"',
        "wall": '"1.5 mm"',
        "length": '"900 mm"',
        "elastic_modulus": '"70 GPa"',
        "yield_strength": '"240 MPa"',
    },
    "[instruments.protractor]": {"uncertainty": '"0.2 deg"'},
    "[instruments.thermometer]": {"uncertainty": '"1 °C"'},
    "[instruments.altimeter]": {"uncertainty": '"1 hPa"'},
    "[instruments.hygrometer]": {"uncertainty": '"5 %"'},
    "[instruments.scales]": {"uncertainty": '"0.5 %"'},
    "[instruments.tachometer]": {"uncertainty": '"2 rpm"'},
    "[instruments.caliper]": {"uncertainty": '"0.1 mm"'},
    "[instruments.tension_gauge]": {"serial": '"7"', "uncertainty": '"0.5"'},
    "[[instruments.tension_gauge.tables]]": {
        "riser": '"1"',
        "cable_diameter": '"1/8 in"',
        "rows": '[[12, "20 lb"], [19, "30 lb"], [25, "40 lb"]]',
    },
}


def _parts(annotation: object) -> list[object]:
    from typing import get_args

    found, queue = [], [annotation]
    while queue:
        one = queue.pop()
        found.append(one)
        queue += get_args(one)
    return found


def _model_in(part: object) -> bool:
    from pydantic import BaseModel

    return isinstance(part, type) and issubclass(part, BaseModel)


def _models(model: type, place: tuple[str, ...]) -> list[tuple[tuple[str, ...], type]]:
    found = [(place, model)] if place else []
    for name, info in model.model_fields.items():
        for part in _parts(info.annotation):
            if _model_in(part):
                found += _models(part, (*place, name))
    return found


class TestLab:
    """What `lab` does before JupyterLab; and once, JupyterLab itself."""

    @pytest.fixture
    def opened(self, monkeypatch: pytest.MonkeyPatch) -> list[tuple[Path, bool]]:
        calls: list[tuple[Path, bool]] = []
        monkeypatch.setattr(cli, "_open_lab", lambda folder, browser: calls.append((folder.resolve(), browser)))
        monkeypatch.delenv("DISPLAY", raising=False)
        monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
        return calls

    def run(self, *arguments: str) -> tuple[int, str, str]:
        done = CliRunner().invoke(cli.app, ["lab", *arguments])
        assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
        return done.exit_code, done.stdout, done.stderr

    def test_makes_the_demo_once_and_uses_it_again(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, opened: list[tuple[Path, bool]]
    ) -> None:
        monkeypatch.chdir(tmp_path)
        code, out, _ = self.run()
        assert code == 0
        assert "Figures in all:" in out
        demo = tmp_path / "rotorkit-demo"
        (demo / "readings.toml").write_text("# mine\n")
        code, out, _ = self.run()
        assert "Made" not in out
        assert (demo / "readings.toml").read_text() == "# mine\n"
        assert [folder for folder, _ in opened] == [demo, demo]

    def test_opens_the_folder_it_stands_in(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, opened: list[tuple[Path, bool]]
    ) -> None:
        monkeypatch.chdir(new(tmp_path / "mine"))
        assert self.run()[0] == 0
        assert opened == [(tmp_path / "mine", False)]

    def test_adds_what_is_missing_and_overwrites_nothing(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, opened: list[tuple[Path, bool]]
    ) -> None:
        folder = new(tmp_path / "mine")
        first, second, *_ = sorted(path.name for path in folder.glob("*.ipynb"))
        (folder / first).write_text("changed")
        (folder / second).unlink()
        shutil.rmtree(folder / "proof")
        code, out, _ = self.run(str(folder))
        assert code == 0
        assert f"Notebooks added: {second}, proof/hover.ipynb." in " ".join(out.split())
        assert (folder / "proof" / "hover.ipynb").is_file()
        assert (folder / first).read_text() == "changed"
        assert not [path for path in folder.iterdir() if path.name.startswith(".")]

    def test_a_file_that_cannot_be_read_is_told_and_can_be_mended_there(
        self, tmp_path: Path, opened: list[tuple[Path, bool]]
    ) -> None:
        folder = new(tmp_path / "mine", demo=False)
        (folder / "aircraft.toml").write_text("[main_rotor]\nradius = 12 ft\n", encoding="utf-8")
        code, _, err = self.run(str(folder))
        assert code == 0
        assert 'write radius = "12 ft"' in " ".join(err.split())
        assert opened

    def test_no_folder_opens_nothing(self, tmp_path: Path, opened: list[tuple[Path, bool]]) -> None:
        code, _, err = self.run(str(tmp_path / "nowhere"))
        assert code == 1
        assert "there is no folder" in err
        assert opened == []

    @pytest.mark.skipif(not sys.platform.startswith("linux"), reason="elsewhere a display is taken for granted")
    @pytest.mark.parametrize("name", ["DISPLAY", "WAYLAND_DISPLAY"])
    def test_a_browser_opens_where_there_is_a_display_and_it_is_wanted(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, opened: list[tuple[Path, bool]], name: str
    ) -> None:
        folder = str(new(tmp_path / "mine"))
        self.run(folder)
        monkeypatch.setenv(name, ":0")
        self.run(folder)
        self.run(folder, "--no-browser")
        assert [browser for _, browser in opened] == [False, True, False]

    @pytest.mark.skipif(os.name == "nt", reason="stops the server by a POSIX signal")
    def test_serves_on_loopback_with_a_token(self, tmp_path: Path) -> None:
        home = tmp_path / "home"
        home.mkdir()
        own = {"JUPYTER_CONFIG_DIR": home, "JUPYTER_DATA_DIR": home, "JUPYTER_RUNTIME_DIR": home, "HOME": home}
        environment = {**os.environ, **{k: str(v) for k, v in own.items()}, "PYTHONPATH": IMPORT_PATH}
        environment.pop("DISPLAY", None)
        command = [sys.executable, "-m", "rotorkit", "lab", "--no-browser"]
        with (tmp_path / "out").open("wb") as out, (tmp_path / "err").open("wb") as err:
            server = subprocess.Popen(
                command, cwd=tmp_path, env=environment, stdout=out, stderr=err, stdin=subprocess.DEVNULL
            )
        try:
            address = None
            end = time.monotonic() + 300  # no measure of speed: only so that a server that hangs ends the test
            while address is None:
                assert server.poll() is None, (tmp_path / "err").read_text()
                assert time.monotonic() < end, (tmp_path / "out").read_text() + (tmp_path / "err").read_text()
                time.sleep(0.1)
                address = re.search(
                    r"http://127\.0\.0\.1:\d+/lab/tree/home\.ipynb\?token=[0-9a-f]{48}", self.text(tmp_path)
                )
            said = self.text(tmp_path)
            assert said.index("Figures in all:") < said.index(address[0]), "the table comes first"
            with urllib.request.urlopen(address[0], timeout=30) as answer:
                assert answer.status == 200
            root = address[0].split("/lab/")[0]
            with pytest.raises(urllib.error.HTTPError, match="403"):
                urllib.request.urlopen(f"{root}/api/contents", timeout=30)
            token = address[0].partition("token=")[2]
            with urllib.request.urlopen(f"{root}/api/contents?token={token}", timeout=30) as answer:
                names = {entry["name"] for entry in json.load(answer)["content"]}
            assert {"aircraft.toml", "readings.toml"} <= names
        finally:
            server.send_signal(signal.SIGTERM)
            server.wait(timeout=20)
        assert "Traceback" not in (tmp_path / "err").read_text()

    @staticmethod
    def text(folder: Path) -> str:
        return (folder / "out").read_text(encoding="utf-8")


class TestPlainSigns:
    def test_each_sign_has_a_plain_one_and_others_a_question_mark(self) -> None:
        out = io.TextIOWrapper(io.BytesIO(), encoding="ascii", errors="rotorkit-plain")
        out.write("9.5° ± 0.2°, 3 lb/ft², 1 − 2, 漢")
        out.flush()
        out.buffer.seek(0)
        assert out.buffer.read() == b"9.5 deg +/- 0.2 deg, 3 lb/ft^2, 1 - 2, ?"


@pytest.mark.parametrize(
    ("fault", "code", "said"),
    [
        (RuntimeError("inside out"), 70, "a fault in rotorkit itself: RuntimeError: inside out"),
        (MemoryError(), 71, "the computer's memory ran out"),
        (OSError(28, "No space left on device"), 1, "the computer refused: No space left on device. Files are written"),
        (OSError(5, "Input/output error", "a.csv"), 1, "the computer refused: Input/output error (a.csv)."),
    ],
)
def test_a_fault_of_our_own_is_told_in_a_line(
    fault: Exception, code: int, said: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken() -> None:
        raise fault

    app = cli._App(pretty_exceptions_enable=False)
    app.command()(broken)
    monkeypatch.setattr(sys, "argv", ["rotorkit"])
    with pytest.raises(SystemExit) as stopped:
        app()
    assert stopped.value.code == code
    assert said in capsys.readouterr().err
