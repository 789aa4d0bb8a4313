"""What a form gives out and takes in besides readings: a page to take to the aircraft, photographs of saved work."""

import io
import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any
from unittest.mock import Mock

import pypdf
import pytest
from PIL import Image

from rotorkit.dossier.pdf import PdfError
from rotorkit.notebook import Form, open_form
from rotorkit.record import CHANGED, SAVED, Record, RecordError, verify
from rotorkit.record.attached import FOLDER
from rotorkit.sheets import Folder
from tests.notebook.test_record_part import demo_in

NOON = datetime(2026, 6, 1, 12, 0)


def png(colour: str = "green") -> bytes:
    data = io.BytesIO()
    Image.new("RGB", (800, 400), colour).save(data, "PNG")
    return data.getvalue()


@contextmanager
def inside(folder: Path) -> Iterator[None]:
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)


def choose(part: Any, **files: bytes) -> str:
    """Choose files, as the browser sends them: what is said then."""
    part.pick.value = tuple(
        {"name": name.replace("_", "."), "type": "image/png", "size": len(data), "last_modified": NOON, "content": data}
        for name, data in files.items()
    )
    return str(part.message.value)


@pytest.fixture
def form(tmp_path: Path) -> Form:
    return open_form("rotor_track", "track_first_run", Folder(demo_in(tmp_path)))


def test_photographs_are_attached_to_what_was_saved_and_the_form_goes_on(form: Form, tmp_path: Path) -> None:
    part = form.photographs.part
    assert "save it first" in part.stands.value
    assert part.pick.disabled, "nothing to attach to"
    assert part.who.disabled
    with pytest.raises(RecordError, match="save it first"):
        form.attach([("a.png", png())], "B. Helper")
    form.save("A. Builder")
    assert "attached to entry 1" in part.stands.value
    assert not part.pick.disabled
    assert part.who.value == "A. Builder"
    part.who.value = ""
    assert "Say who is attaching them" in choose(part, a_png=png())
    part.who.value = "B. Helper"
    assert "notes.png is not a photograph that can be shown" in choose(part, notes_png=b"no picture")
    assert "Nothing was attached." in part.message.value
    assert 'role="alert"' in part.message.value
    assert not (tmp_path / FOLDER).exists()
    assert part.pick.value == (), "the same file can be chosen again"

    assert "2 photographs attached: saved as entry 2, which replaces entry 1" in choose(
        part, a_png=png(), hub_png=png("blue")
    )
    record = Record(tmp_path)
    entry = record.entry(2)
    assert [one.name for one in entry.photographs] == ["a.png", "hub.png"]
    assert (tmp_path / FOLDER / entry.photographs[0].file).read_bytes() == png()
    assert (entry.who, entry.readings) == ("A. Builder", record.entry(1).readings)
    assert form.saved == SAVED
    assert part.there.value.count("<img ") == 2
    assert 'alt="Photograph hub.png"' in part.there.value
    assert 'width="260" height="130"' in part.there.value
    assert "a.png is attached to entry 2 already" in choose(part, a_png=png())
    assert verify(record).whole
    (tmp_path / FOLDER / entry.photographs[0].file).unlink()
    again = open_form("rotor_track", "track_first_run", Folder(tmp_path))
    assert "a.png is missing" in again.photographs.part.there.value


def test_what_is_typed_since_stays_typed_and_is_saved_after_the_photographs(form: Form, tmp_path: Path) -> None:
    form.save("A. Builder")
    part = form.photographs.part
    path, changed = "marks.1.height", "2.20; 2.21; 2.19 in"
    form.set(path, changed)
    assert form.saved == CHANGED
    assert "not part of it" in part.stands.value
    assert "attached" in choose(part, a_png=png())
    assert form.saved == CHANGED
    assert form.get(path) == changed
    assert form.save("A. Builder").number == 3, "the entry with the photographs is known here: it is no news"
    assert not Record(tmp_path).entry(3).photographs, "work of its own"


def test_an_entry_that_was_saved_elsewhere_in_the_meantime_is_the_one_attached_to(form: Form, tmp_path: Path) -> None:
    form.save("A. Builder")
    other = open_form("rotor_track", "track_first_run", Folder(tmp_path))
    other.save("C. Friend")
    assert form.attach([("a.png", png())], "B. Helper").replaces == 2


def test_the_worksheet_is_that_of_the_form_as_it_stands(
    form: Form, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    part = form.worksheet.part
    with inside(tmp_path):
        part.button.click()
    assert 'data-rotorkit-open="worksheet_track_first_run.pdf"' in part.message.value
    words = text_of(tmp_path / "worksheet_track_first_run.pdf")
    assert "at most 0.5 in" in words
    form.show_in("metric")
    part.paper.value = "a5"
    part.button.click()
    assert "data-rotorkit-open" not in part.message.value, "no link where the notebook lies elsewhere"
    assert str(tmp_path) in part.message.value
    words = text_of(tmp_path / "worksheet_track_first_run.pdf")
    assert "(mm)" in words
    assert "at most 12.7 mm" in words
    form.turn_to("")
    assert part.message.value == "", "what was written is of another check"
    part.button.click()
    assert (tmp_path / "worksheet_rotor_track.pdf").is_file()
    monkeypatch.setattr("rotorkit.dossier.worksheet.typeset", Mock(side_effect=PdfError("the typesetter is not there")))
    part.button.click()
    assert "No worksheet was written: the typesetter is not there." in part.message.value
    assert form.fault is None


def text_of(file: Path) -> str:
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(file).pages).split())
