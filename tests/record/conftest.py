"""The bench on which every test of the record works."""

from pathlib import Path

import pytest

from tests.record.bench import Bench


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path)
