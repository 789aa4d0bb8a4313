"""What every test shares: the same examples, the same day and hour, whoever runs it, wherever and whenever."""

import gc
import os
import sys
from collections import Counter
from collections.abc import Generator
from pathlib import Path
from typing import Any

import pytest
from _pytest.doctest import DoctestModule
from _pytest.runner import runtestprotocol
from hypothesis import settings

import tests.fixed_clock  # first: the calendar stands still, here and in every process that is started  # noqa: F401
from rotorkit.edges import clock
from rotorkit.edges.program import LAB_GUESTS, without
from tests.searching import FACTOR, SEARCHING

# The command of this environment is found by its name, so that messages name it alike everywhere.
os.environ["PATH"] = os.pathsep.join([str(Path(sys.executable).parent), os.environ.get("PATH", "")])

# As the command loads JupyterLab's server: otherwise each worker builds a grammar that nothing uses.
with without(*LAB_GUESTS):
    import jsonschema  # noqa: F401

# No deadline for a single example: a laptop in a hangar and a shared build machine both stall now and then.
# Ordinarily the same examples every time, and none kept from an earlier run; `make fuzz` searches anew.
settings.register_profile("fixed", deadline=None, derandomize=True, database=None, print_blob=True)
settings.register_profile("fuzz", deadline=None, max_examples=100 * FACTOR, print_blob=True)
settings.load_profile("fuzz" if SEARCHING else "fixed")

# Nor does any time pass within this process between one key and the next: how fast the machine is decides nothing.
clock.elapsed = lambda: 1000.0  # type: ignore[method-assign,assignment]


def pytest_runtest_setup(item: pytest.Item) -> None:
    """Each test begins with US units, whatever the one before it, in whatever order, left in force."""
    from rotorkit.quantities import use_display  # not by the process that shares the tests out

    use_display("us")


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_protocol(item: pytest.Item, nextitem: pytest.Item | None) -> bool | None:
    """A worker tells of a test that passed once: begun, set up, called, torn down and ended are five messages else, and
    each is packed, sent, unpacked and counted. What did not pass is told as ever, and so are durations asked for."""
    if not hasattr(item.config, "workerinput") or item.config.getoption("durations") is not None:
        return None
    for report in runtestprotocol(item, log=False, nextitem=nextitem):
        if report.when == "call" or not report.passed:
            item.ihook.pytest_runtest_logreport(report=report)
    return True


@pytest.hookimpl(wrapper=True)
def pytest_collect_file(file_path: Path, parent: pytest.Collector) -> Generator[None, list[Any], list[Any]]:
    """Examples in docstrings are looked for in those tests' files alone that have the sign of one."""
    found = yield
    return found if b">>>" in file_path.read_bytes() else [one for one in found if not isinstance(one, DoctestModule)]


# The collector of garbage walks through all that there is, again and again: a tenth of the work, while twelve thousand
# tests are gathered and by each test after that. What is there when the tests begin stays, and is not walked through.
gc.set_threshold(100_000, 50, 50)


LONG = (
    *("quantities/test_reading_anything", "dossier/test_dossier", "cli/test_cli", "notebook/test_record_part"),
    *("record/test_killed", "dossier/test_page", "edges/test_visible", "dossier/test_pdf", "test_layers"),
    *("cli/test_record_commands", "notebook/test_explorer", "rigging/test_whole_flats", "record/test_writers"),
    *("balance/test_plan", "record/test_shape", "judging/test_ahead"),
    *("dossier/test_worksheet", "notebook/test_drafts", "notebook/test_taking", "notebook/test_widgets", "test_import"),
)
"""Files of few tests that take long, the longest first: at the end one worker would be busy with such a file alone."""


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Where files are shared out among workers, in the order of the work in them; the browser's have their own."""
    if not hasattr(config, "workerinput") or config.getvalue("loadgroup"):
        return
    here = Path(__file__).parent
    ranks = {here / f"{name}.py": rank for rank, name in enumerate(LONG)}
    counts = Counter(item.path for item in items)
    items.sort(key=lambda item: (ranks.get(item.path, len(LONG)), -counts[item.path], str(item.path)))


def pytest_collection_finish() -> None:
    """From here on what a test leaves behind is collected, as everywhere, though in larger heaps."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 20)
