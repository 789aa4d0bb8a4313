"""What each command ends with is what the page of the commands promises: done, not done, not understood, stopped."""

from __future__ import annotations

import re
import shutil
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest

from rotorkit import cli
from rotorkit.record import Record
from tests.cli.test_cli import CHECKOUT, Answer, by_itself, new, rotorkit
from tests.record.bench import Bench

PAGE = (CHECKOUT / "docs" / "pages" / "commands.md").read_text("utf-8")
CHECK = "pedal_left_tension"

CASES = [
    # a word, the code, a part of what is said
    ("--version", 0, ""),
    ("-h", 0, ""),
    ("status", 0, ""),
    (f"status {CHECK}", 0, ""),
    ("status --json", 0, ""),
    ("record list", 0, ""),
    ("record show 1", 0, ""),
    ("record verify", 0, ""),
    ("record export e.jsonl", 0, ""),
    ("record csv figures.csv", 0, ""),
    (f"record save {CHECK} --who A", 0, ""),
    ("recheck", 0, ""),
    ("dossier --no-pdf --out paper", 0, ""),
    (f"worksheet {CHECK} --out w.pdf", 0, ""),
    ("class lesson --students 1 --ask signs --no-pdf", 0, ""),
    ("new another", 0, ""),
    # a folder, a name, an entry that there is not
    ("status nowhere/", 1, "there is no folder nowhere"),
    ("status ../empty", 1, "there is no aircraft.toml"),
    ("status aircraft.toml", 1, "name its folder"),
    ("status nosuch", 1, "no check of that name"),
    ("lab nowhere", 1, "there is no folder nowhere"),
    ("record list nowhere", 1, "there is no folder nowhere"),
    ("record list --check nosuch", 1, "holds no entry of nosuch"),
    ("record show 999", 1, "holds no entry 999"),
    ("record verify --noted 0123456789", 1, "0123456789"),
    ("record save nosuch --who A", 1, "has no check 'nosuch'"),
    ("record attach 999 photo.jpg --who A", 1, "999"),
    ("record attach 1 nosuch.jpg --who A", 1, "nosuch.jpg cannot be read"),
    ("worksheet nosuch", 1, "no check of that name"),
    ("recording nosuch.csv", 1, "there is no file nosuch.csv"),
    ("class mark ../empty", 1, "there is no class.json"),
    ("class lesson --students 0", 1, "1 to 200 students"),
    ("class lesson --students 1 --ask nosuch", 1, "nosuch"),
    ("weight-and-balance --no-pdf", 1, "the report is not complete"),
    # a file that cannot be read or written
    ("status ../bad", 1, "aircraft.toml line 1"),
    ("status --json ../bad", 1, "aircraft.toml line 1"),
    ("status ../badly_read", 1, "readings.toml line 1"),
    ("recheck ../bad", 1, "aircraft.toml line 1"),
    ("dossier ../bad", 1, "aircraft.toml line 1"),
    ("weight-and-balance ../bad", 1, "aircraft.toml line 1"),
    ("worksheet ../bad", 1, "aircraft.toml line 1"),
    ("dossier --out nowhere/x", 1, "there is no folder nowhere"),
    ("weight-and-balance --out nowhere/x", 1, "there is no folder nowhere"),
    ("worksheet --out nowhere/x", 1, "there is no folder nowhere"),
    ("record export nowhere/x", 1, "cannot be written"),
    ("record export aircraft.toml", 1, "exists already"),
    ("record csv nowhere/x", 1, "cannot be written"),
    ("record csv aircraft.toml", 1, "exists already"),
    ("record import nosuch", 1, "cannot be read"),
    ("record import aircraft.toml", 1, "is not a line of a record's export"),
    ("new .", 1, "is not empty"),
    ("new aircraft.toml", 1, "is a file"),
    # not understood
    ("", 2, ""),
    ("nosuch", 2, "No such command"),
    ("--bad", 2, "No such option"),
    ("status a b c", 2, "takes 1 check and one folder"),
    ("record", 2, ""),
    ("record show x", 2, "needs an entry's number"),
    (f"record save {CHECK}", 2, "--who"),
    (f"record save {CHECK} --who A --by-hand 12", 2, "FIGURE=VALUE"),
    ("record attach 1", 2, ""),
    ("recheck --bad", 2, "No such option"),
    ("dossier --paper a4", 2, "No such option"),
    ("weight-and-balance a b", 2, ""),
    ("worksheet --paper b5", 2, "choose letter or a5"),
    ("recording", 2, ""),
    ("class", 2, ""),
    ("class lesson", 2, "how many students"),
    ("class a b", 2, "name one folder"),
    ("class lesson --students many", 2, "many"),
    ("new", 2, ""),
]


@pytest.fixture(scope="module")
def kept(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A working folder with a saved check, and beside it folders of which each lacks something."""
    place = tmp_path_factory.mktemp("codes")
    here = new(place / "here")
    Bench(here).save(CHECK)
    (place / "empty").mkdir()
    for name, file in (("bad", "aircraft.toml"), ("badly_read", "readings.toml")):
        shutil.copytree(here, place / name, ignore=shutil.ignore_patterns("*.ipynb"))
        (place / name / file).write_text("[aircraft\n", encoding="utf-8")
    return place


@pytest.fixture
def here(kept: Path, tmp_path: Path) -> Path:
    return shutil.copytree(kept, tmp_path / "codes") / "here"


def in_words(answer: Answer) -> str:
    return " ".join((answer.out + answer.err).split())


@pytest.mark.parametrize(
    ("words", "code", "said"), CASES, ids=lambda value: str(value) if isinstance(value, str) else ""
)
def test_as_promised(words: str, code: int, said: str, here: Path) -> None:
    answer = rotorkit(*words.split(), at=here, columns=300)
    assert answer.code == code, answer
    assert said in in_words(answer)
    assert "Traceback" not in in_words(answer)
    if code == 1:
        assert answer.err.startswith("rotorkit: "), "what is wrong stands on the error stream"


def test_the_page_names_every_code_and_every_command_is_tried() -> None:
    table = PAGE.split("## Exit codes")[1]
    named = {int(code) for code in re.findall(r"^\| (\d+) \|", table, re.MULTILINE)}
    assert named == {0, 1, 2, 70, 71, 130}, "70 and 71 are tried with the faults of our own"
    commands = set(re.findall(r"^\| `rotorkit ((?:record |class mark)?[a-z-]+)", PAGE, re.MULTILINE))
    tried = {words for words, *_ in CASES}
    for command in commands:
        assert any(words.startswith(command) for words in tried), command


def test_stopped_by_the_person(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    def stopped() -> None:
        raise KeyboardInterrupt

    app = cli._App(pretty_exceptions_enable=False)
    app.command()(stopped)
    monkeypatch.setattr(sys, "argv", ["rotorkit"])
    with pytest.raises(SystemExit) as end:
        app()
    assert end.value.code == 130
    assert "Traceback" not in capsys.readouterr().err


def test_a_record_that_another_program_holds(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(Record.__init__.__kwdefaults__, "wait", 0.1)
    other = sqlite3.connect(here / "record.sqlite")
    other.execute("BEGIN EXCLUSIVE")
    for words in ("record list", "record verify", f"record save {CHECK} --who A", "status", "dossier --no-pdf"):
        answer = rotorkit(*words.split(), at=here, columns=300)
        assert answer.code == 1, words
        assert "in use by another program" in answer.err, words
    other.close()


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device here that is always full")
def test_an_output_that_is_full(here: Path) -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "rotorkit", "record", "list"],
            cwd=here,
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
        )
    assert done.returncode == 1
    assert b"the computer refused: No space left on device" in done.stderr
    assert b"Traceback" not in done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="no bound of a file's size there")
@pytest.mark.parametrize(
    "words",
    [
        f"worksheet {CHECK} --out w.pdf",
        "dossier --no-pdf --out paper",
        "record export e.jsonl",
        "record csv figures.csv",
        f"record save {CHECK} --who A",
        "class lesson --students 1 --ask signs --no-pdf",
        "new another",
    ],
)
def test_a_drive_that_is_full(words: str, here: Path) -> None:
    """No file may grow beyond a few bytes: what was there stands, and nothing is half written."""
    before = {path: path.read_bytes() for path in here.rglob("*") if path.is_file()}
    code = (
        "import resource, sys; resource.setrlimit(resource.RLIMIT_FSIZE, (64, 64)); "
        "from rotorkit.cli import app; sys.argv = ['rotorkit', *sys.argv[1:]]; app()"
    )
    done = subprocess.run(
        [sys.executable, "-B", "-c", code, *words.split()], cwd=here, capture_output=True, text=True, check=False
    )
    assert done.returncode == 1, done
    assert done.stderr.startswith("rotorkit: ")
    assert "Traceback" not in done.stderr
    assert {path: path.read_bytes() for path in before} == before
    assert rotorkit("record", "verify", at=here).code == 0


def test_words_after_the_command_are_tried_in_a_process_of_its_own_too(here: Path) -> None:
    assert by_itself("status", "nowhere/", at=here).code == 1
    assert by_itself("record", "show", "x", at=here).code == 2
