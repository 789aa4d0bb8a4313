"""The command within this process finds what it worked for an earlier test, as it does of an earlier command."""

import pytest

from rotorkit.cli import known
from rotorkit.folder.workings import Workings

FIGURES, WHOLE = Workings(figures=True), Workings()


@pytest.fixture(autouse=True)
def _worked_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(known, "known_workings", lambda figures=False: FIGURES if figures else WHOLE)
