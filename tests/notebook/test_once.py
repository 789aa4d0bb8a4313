"""Every text in a form is read once: an edit reads the edited text, and none of those that stand beside it."""

from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest

from rotorkit.aircraft.entries import Entry
from rotorkit.notebook import Form
from rotorkit.sheets.catalogue import sheet_names

Make = Callable[..., Form]


@pytest.fixture
def texts(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How often each text was read as a field's."""
    found: Counter[str] = Counter()
    reads = Entry.read

    def counted(entry: Entry, given: Any, bare_unit: str | None = None) -> Any:
        if isinstance(given, str):
            found[given] += 1
        return reads(entry, given, bare_unit)

    monkeypatch.setattr(Entry, "read", counted)
    return found


def filled(form: Form) -> list[Any]:
    return [box for box in form._all_boxes if box.spec.entry is not None and box.text.strip()]


@pytest.mark.parametrize("sheet", sheet_names())
class TestEverySheet:
    def test_an_edit_reads_what_was_edited(self, shared: Make, sheet: str, texts: Counter[str]) -> None:
        made = shared(sheet)
        edited = filled(made)[-1]
        texts.clear()
        made.set(edited.path, f" {edited.text} ")
        made.calculation, made.budget, made.by_hand, made.record  # noqa: B018
        typed = edited.text.strip()
        assert set(texts) <= {typed, edited.reading()}, "what stands beside it is not read again"
        # once with the unit beside the field for a bare number, and once as the sheet and the record read it
        assert 1 <= sum(texts.values()) <= 2 + (edited.reading() != typed)

    def test_pressing_enter_again_reads_nothing(self, shared: Make, sheet: str, texts: Counter[str]) -> None:
        made = shared(sheet)
        texts.clear()
        made.work()
        assert not texts

    def test_what_was_kept_is_what_the_texts_say(self, shared: Make, sheet: str) -> None:
        """The sheet made from kept readings is the one that the record makes from the texts."""
        made = shared(sheet)
        from_texts = made.sheet.from_readings(made.readings)
        assert made.worked_sheet is not None
        assert made.outcome is not None
        assert made.worked_sheet.readings() == from_texts.readings()
        anew = from_texts.work(made.aircraft)
        assert [one.row() for one in made.outcome.findings] == [one.row() for one in anew.findings]
        assert made.outcome.word == anew.word


def test_a_reading_that_cannot_be_taken_is_read_anew_once_it_is_mended(form: Make) -> None:
    made = form("cable_tension")
    path = "reading" if "reading" in made._fields else filled(made)[0].path
    good, word = made.get(path), made.outcome.word if made.outcome else ""
    made.set(path, "about a banana")
    assert made.outcome is None
    assert "cannot read" in made.message(path).lower()
    made.set(path, good)
    assert made.outcome is not None
    assert made.outcome.word == word
