"""The browser's fixtures, once for all that is timed in one, and the table of what was measured."""

from pathlib import Path

import pytest

from tests.benchmarks import telling
from tests.browser.conftest import browser, fresh_desk, lab, made_folder  # noqa: F401

desk = fresh_desk
"""What is timed is a page that nobody had before."""
HERE = Path(__file__).resolve().parent
KEPT = HERE.parent.parent / "build" / "measured.md"
LAST_WHOLE_RUN = HERE / "measured.md"
"""What DEVELOPERS.md points at: written by a run of everything in which nothing failed, and by nothing else."""


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Print the table, and keep it."""
    if not telling.ROWS:
        return
    print("\n\n" + telling.table())
    KEPT.parent.mkdir(exist_ok=True)
    KEPT.write_text(telling.table(), encoding="utf-8")
    asked = session.config.option
    if not (asked.keyword or asked.markexpr or session.testsfailed) and session.config.args == ["tests/benchmarks"]:
        head = (
            f"# What the last whole run of `make benchmarks` printed\n\n{session.testscollected} benchmarks in one go. "
        )
        LAST_WHOLE_RUN.write_text(head + telling.table(), encoding="utf-8")
