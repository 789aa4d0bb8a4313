"""The day and the time come from one place, which the machine's clock alone moves; in the tests it stands still."""

import ast
import os
import re
import subprocess
import sys
from datetime import UTC, datetime
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

import pytest

from rotorkit.edges import clock
from rotorkit.record import Record
from tests.fixed_clock import IMPORT_PATH, NOW

PACKAGE = Path(clock.__file__).resolve().parent.parent
CLOCK = Path("edges/clock.py")
OF_DATES = {"now", "today", "utcnow"}
OF_TIME = {"time", "time_ns", "localtime", "gmtime", "ctime", "asctime", "strftime", "clock_gettime", "monotonic"}
OF_TIME |= {"monotonic_ns", "perf_counter", "perf_counter_ns", "process_time"}
IN_TEXTS = re.compile(r"CURRENT_(?:TIMESTAMP|DATE|TIME)\b|\b(?:date|time|datetime|julianday|strftime)\([^)]*'now'")
"""What makes a database ask for the time."""


def asked(text: str) -> list[str]:
    """Where a file asks for the day or the time by other means than the library's clock."""
    found = []
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name | ast.Attribute):
            of = node.value.id if isinstance(node.value, ast.Name) else node.value.attr
            if node.attr in OF_DATES and of in ("date", "datetime", "dt", "Timestamp", "pd"):
                found.append(f"line {node.lineno}: {of}.{node.attr}")
            if node.attr in OF_TIME and of in ("time", "_time"):
                found.append(f"line {node.lineno}: {of}.{node.attr}")
        elif isinstance(node, ast.ImportFrom) and node.module == "time":
            found += [f"line {node.lineno}: from time import {a.name}" for a in node.names if a.name != "sleep"]
        elif isinstance(node, ast.Import | ast.ImportFrom):
            names = [(a.name, a.asname) for a in node.names if a.asname]
            found += [f"line {node.lineno}: {n} as {a}" for n, a in names if n in ("date", "datetime", "time")]
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            if IN_TEXTS.search(node.value):
                found.append(f"line {node.lineno}: {node.value[:40]!r}")
        elif isinstance(node, ast.Call):
            name = getattr(node.func, "attr", getattr(node.func, "id", ""))
            if name == "uuid1" or (
                name in ("datetime64", "Timestamp", "to_datetime")
                and {"'now'", "'today'"} & {ast.unparse(one) for one in node.args}
            ):
                found.append(f"line {node.lineno}: {name}")
    return found


def test_nothing_else_of_the_library_asks_for_the_day_or_the_time() -> None:
    files = {file.relative_to(PACKAGE): asked(file.read_text("utf-8")) for file in PACKAGE.rglob("*.py")}
    assert files.pop(CLOCK), "the clock itself is seen to ask"
    assert {file: found for file, found in files.items() if found} == {}


@pytest.mark.parametrize(
    "text",
    [
        "day = date.today()",
        "field(default_factory=date.today)",
        "import datetime\nx = datetime.datetime.now()",
        "x = datetime.now().astimezone()",
        "x = datetime.utcnow()",
        "import time\ntime.time()",
        "from time import time",
        "from time import monotonic, sleep",
        "from datetime import date as d",
        "import time as t",
        "time.strftime('%Y')",
        "sql = 'INSERT INTO a VALUES (CURRENT_TIMESTAMP)'",
        '''sql = "SELECT datetime('now')"''',
        "numpy.datetime64('today')",
    ],
)
def test_the_check_itself_sees_each(text: str) -> None:
    assert asked(text)


@pytest.mark.parametrize("text", ["clock.today()", "clock.now()", "from time import sleep", "time.sleep(1)", "row.now"])
def test_the_check_itself_passes_what_is_right(text: str) -> None:
    assert not asked(text)


@pytest.fixture
def running() -> ModuleType:
    """The clock as it is outside the tests."""
    spec = spec_from_file_location("running_clock", PACKAGE / CLOCK)
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_it_tells_the_machine_s_time(running: ModuleType) -> None:
    before = datetime.now(UTC)
    found = running.now()
    assert before <= found <= datetime.now(UTC)
    assert found.utcoffset() == datetime.now().astimezone().utcoffset()
    assert running.elapsed() <= running.elapsed()


def test_the_day_is_that_of_the_machine_s_own_zone(running: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    late = datetime.fromisoformat("2031-06-01T23:30:00-07:00")  # the next day at Greenwich
    monkeypatch.setattr(running, "machine", lambda: late)
    assert (str(running.today()), running.now()) == ("2031-06-01", late)


def test_nothing_from_outside_moves_it() -> None:
    """A variable that set the day could put a false one into a record without a word."""
    names = {
        name.id if isinstance(name, ast.Name) else name.attr
        for name in ast.walk(ast.parse((PACKAGE / CLOCK).read_text("utf-8")))
        if isinstance(name, ast.Name | ast.Attribute)
    }
    assert names.isdisjoint({"environ", "environb", "getenv", "open", "argv", "read_text"})


def test_it_stands_still_in_the_tests_and_in_what_they_start(tmp_path: Path) -> None:
    assert (clock.now(), clock.today(), clock.elapsed()) == (NOW, NOW.date(), clock.elapsed())
    assert Record(tmp_path)._clock() == NOW
    code = "from rotorkit.edges import clock; print(clock.now().isoformat(), clock.today())"
    for path in (os.environ["PYTHONPATH"], IMPORT_PATH):
        done = subprocess.run(
            [sys.executable, "-c", code], cwd=tmp_path, env={**os.environ, "PYTHONPATH": path}, capture_output=True
        )
        assert done.stdout.decode().split() == [NOW.isoformat(), str(NOW.date())], done.stderr
