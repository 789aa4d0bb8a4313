"""Photographs of a saved check: kept as they came, held by the chain, and told when they are not as they were."""

import hashlib
import io
import json
from pathlib import Path

import pytest
from PIL import Image

from rotorkit.dossier.photographs import photograph_blocks
from rotorkit.record import RecordError, board, verify
from rotorkit.record.attached import FOLDER, looked_at
from rotorkit.record.looked_at import fault_in
from tests.record.bench import Bench


def photograph(path: Path, colour: str = "red", size: tuple[int, int] = (2400, 1200), turned: int = 1) -> Path:
    exif = Image.Exif()
    exif[0x0112] = turned  # orientation
    exif[0x010F] = "a maker's name"
    Image.new("RGB", size, colour).save(path, "JPEG", exif=exif)
    return path


def test_an_attached_photograph_is_held_by_the_chain_and_nothing_else_changes(bench: Bench, tmp_path: Path) -> None:
    first = bench.save()
    given = photograph(tmp_path / "witness hole.jpg")
    entry = bench.record.attach(1, [given], "B. Helper")
    digest = hashlib.sha256(given.read_bytes()).hexdigest()
    (kept,) = entry.photographs
    assert (kept.name, kept.sha256, kept.size) == ("witness hole.jpg", digest, given.stat().st_size)
    assert (tmp_path / FOLDER / kept.file).read_bytes() == given.read_bytes()
    assert (entry.number, entry.replaces, entry.why) == (2, 1, "1 photograph attached by B. Helper: witness hole.jpg")
    assert (entry.who, entry.note, entry.word, entry.readings) == (first.who, first.note, first.word, first.readings)
    assert bench.record.entry(1).hash == first.hash
    assert digest in entry.sealed.work
    assert entry.sealed.previous == first.hash
    assert bench.record.last("pedal_left_tension") == entry
    assert bench.record.state("pedal_left_tension", first.readings) == "saved"
    assert verify(bench.record).whole
    assert not [row for part in board(bench.folder).milestones for row in part.rows if row.word == "stale"]

    more = bench.record.attach(2, [("a.png", png()), ("b.png", png("blue"))], "B. Helper")
    assert [one.name for one in more.photographs] == ["witness hole.jpg", "a.png", "b.png"]
    corrected = bench.save(changed={"temperature": "61 °F"}, replaces=3, why="the thermometer lay in the sun")
    assert corrected.photographs == more.photographs, "they show the same work"
    assert not bench.save(changed={"temperature": "62 °F"}).photographs, "work of its own"
    (tmp_path / FOLDER / kept.file).write_bytes(given.read_bytes() + b" ")
    (tmp_path / FOLDER / more.photographs[2].file).unlink()
    found = verify(bench.record)
    assert [said.split(" (")[0] for said in found.faults] == [
        "photograph witness hole.jpg of entry 2 was changed since it was attached",
        f"photograph b.png of entry 3 is missing: put {more.photographs[2].file} back into the folder {FOLDER}, from a "
        "backup",
    ]
    assert not found.untrue, "verdicts and figures are what was saved"
    shown = [type(block).__name__ for block in photograph_blocks(tmp_path, more)]
    assert shown == ["Heading", "Box", "Together", "Box"]


def png(colour: str = "green") -> bytes:
    data = io.BytesIO()
    Image.new("RGB", (40, 30), colour).save(data, "PNG")
    return data.getvalue()


def test_what_cannot_be_attached_is_told_and_nothing_is_written(bench: Bench, tmp_path: Path) -> None:
    bench.save()
    (tmp_path / "notes.jpg").write_text("no picture")
    (tmp_path / "drawing.svg").write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
    for given, said in [
        ([tmp_path / "notes.jpg"], "notes.jpg is not a photograph that can be shown"),
        ([tmp_path / "drawing.svg"], "Save it as JPEG or PNG"),
        ([("phone.jpg", b"\0\0\0\x18ftypheic" + bytes(40))], "phone.jpg is not a .*: it is a HEIC file"),
        ([("report.png", b"%PDF-1.7 ...")], "it is a PDF"),
        ([("none.jpg", b"")], "none.jpg is an empty file"),
        ([tmp_path / "not there.jpg"], "cannot be read: No such file"),
        ([tmp_path], "it is a folder"),
        ([("a.png", png()), ("again.png", png())], "is attached to entry 1 already"),
        ([("a.png", png()[:60])], "a.png is a photograph that breaks off"),
        ([], "Name one photograph or more"),
    ]:
        with pytest.raises(RecordError, match=said) as refusal:
            bench.record.attach(1, given, "B. Helper")
        assert "Nothing was saved" in str(refusal.value)
        assert "Error" not in str(refusal.value), "no programmer's words"
    with pytest.raises(RecordError, match="Say who is attaching them"):
        bench.record.attach(1, [("a.png", png())], " ")
    with pytest.raises(RecordError, match="no entry 7"):
        bench.record.attach(7, [("a.png", png())], "B. Helper")
    assert not (tmp_path / FOLDER).exists()
    bench.record.attach(1, [("a.png", png())], "B. Helper")
    with pytest.raises(RecordError, match="already replaced by entry 2: correct that one"):
        bench.record.attach(1, [("b.png", png("blue"))], "B. Helper")
    assert len(list((tmp_path / FOLDER).iterdir())) == 1


def test_too_little_memory_is_not_called_a_bad_photograph(monkeypatch: pytest.MonkeyPatch) -> None:
    def none_left(*_: object, **__: object) -> None:
        raise MemoryError

    monkeypatch.setattr(Image, "open", none_left)
    with pytest.raises(RecordError, match="could not be looked at, with too little memory") as refusal:
        looked_at("good.png", png())
    assert "not a photograph" not in str(refusal.value)


def test_a_record_names_no_file_elsewhere(bench: Bench) -> None:
    bench.save()
    entry = bench.record.attach(1, [("a.png", png())], "B. Helper")
    assert fault_in(entry.sealed) == ""
    work = json.loads(entry.sealed.work)
    for change in ({"file": "../../secrets.png"}, {"sha256": "0" * 64}, {"size": -1}, {"more": 1}):
        told = {**work, "photographs": [{**work["photographs"][0], **change}]}
        assert fault_in(entry.sealed._replace(work=json.dumps(told)))


def test_the_dossier_shows_it_smaller_upright_and_without_what_the_camera_wrote(bench: Bench, tmp_path: Path) -> None:
    import base64
    import re

    bench.save()
    entry = bench.record.attach(1, [photograph(tmp_path / "hub.jpg", turned=6)], "B. Helper")
    _, together = photograph_blocks(tmp_path, entry)
    svg = together.blocks[0].svg  # type: ignore[union-attr]
    assert 'aria-label="Photograph hub.jpg"' in svg, "a name that stays where the title is taken out"
    data = base64.b64decode(re.search(r"base64,([^\"]+)", svg)[1])  # type: ignore[index]
    with Image.open(io.BytesIO(data)) as shown:
        assert shown.size == (550, 1100), "a quarter turn, and the longer side 1,100 pixels"
        assert not dict(shown.getexif())
    assert b"maker" not in data
