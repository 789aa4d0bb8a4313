"""The browser's fixtures, once for all that is timed in one, and the table of what was measured."""

from pathlib import Path

import pytest

from tests.benchmarks import telling
from tests.browser.conftest import browser, desk, empty_desk, lab, made_folder  # noqa: F401

KEPT = Path(__file__).resolve().parent.parent.parent / "build" / "measured.md"


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Print the table, and keep it."""
    if telling.ROWS:
        print("\n\n" + telling.table())
        KEPT.parent.mkdir(exist_ok=True)
        KEPT.write_text(telling.table(), encoding="utf-8")
