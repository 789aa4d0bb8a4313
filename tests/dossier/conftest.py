"""One dossier of the demo, written once, with a correction, a note to be escaped and a check that was never saved."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from pathlib import Path

import pytest

from rotorkit.dossier import Dossier, write_dossier
from rotorkit.record.entry import SavedEntry
from tests.record.bench import Bench

NOTE = (
    "Second line below.\n<script>alert('x')</script> & <b onclick=\"y\">bold</b> $x^2$ \\frac{a}{b} #let x = 1 "
    "*stars* _under_ `ticks` @there <there> // not a comment"
)
WHY = "the third reading was <misread> & $typed$ twice"
NEVER_SAVED = "pedal_right_tension"
NOW = datetime(2026, 6, 1, 12, 30, tzinfo=timezone(timedelta(hours=2)))


@dataclass
class Written:
    """A dossier, what it was written from, and its texts."""

    bench: Bench
    dossier: Dossier
    entries: list[SavedEntry]
    told: list[tuple[str, int, int]]

    @property
    def html(self) -> str:
        return self.dossier.page.read_text("utf-8")

    @property
    def worked(self) -> str:
        """The page of the second volume."""
        return self.dossier.more_pages[0].read_text("utf-8")


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path)


@pytest.fixture(scope="session")
def written(tmp_path_factory: pytest.TempPathFactory) -> Written:
    bench = Bench(tmp_path_factory.mktemp("dossier"))
    for check in bench.folder.checks:
        if check.name != NEVER_SAVED:
            bench.save(check.name, note=NOTE if check.sheet == "hover_margin" else "")
    wrong = bench.save("pedal_left_tension", {"dial": "26; 26.5; 29"})
    bench.save("pedal_left_tension", {"dial": "26; 26.5; 26.5"}, replaces=wrong.number, why=WHY)
    told: list[tuple[str, int, int]] = []
    dossier = write_dossier(
        bench.folder, progress=lambda what, done, of: told.append((what, done, of)), now=NOW, worked=True
    )
    return Written(bench, dossier, bench.record.entries(), told)
