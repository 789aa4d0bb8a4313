"""What somebody with a database editor, a text editor or bad intent can do to a record, and what every face says then.

A seal can be set anew on anything, so a forgery here comes with a right hash and in a right chain, where that is
possible at all: then what the entry holds must give it away, or nothing can.
"""

import csv
import io
import json
import os
import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from rotorkit.cli.entries_text import entries_text
from rotorkit.cli.record_text import board_text, entry_text, recheck_text
from rotorkit.cli.verdict_table import table_of, table_text
from rotorkit.dossier import write_dossier
from rotorkit.notebook.keeping import Keeping
from rotorkit.record import (
    STALE,
    Record,
    RecordError,
    board,
    csv_text,
    export_lines,
    history,
    import_lines,
    recheck,
    verify,
)
from rotorkit.record.chain import Sealed, canonical, hash_of, hash_of_bytes
from rotorkit.record.entry import SavedEntry
from rotorkit.record.looked_at import fault_in
from rotorkit.record.schema import make
from rotorkit.record.store import insert
from rotorkit.sheets.catalogue import sheet_type
from tests.cli.test_cli import rotorkit
from tests.record.bench import TODAY, Bench, plain_work
from tests.record.test_verify import tamper

MAIN = "main_rotor_angles"


def save_three(bench: Bench) -> None:
    """Three checks, one of them out of limits whatever the demo says: its limit is set so."""
    work = plain_work(title="Blade angles")
    finding = out_of_limits()
    work["outcome"] = {"findings": [finding], "word": "out of limits", "steps": [], "pictures": [], "remarks": []}
    bench.record.add("blades", work, "file")
    bench.save("pedal_left_tension")
    bench.save("hover_today")


@pytest.fixture
def saved(bench: Bench) -> Bench:
    return bench.prepared(save_three)


def out_of_limits() -> dict[str, Any]:
    """A figure of 3 N against at most 2 N."""
    return {
        "key": "pull", "title": "Pull", "text": "3.00 ± 0.20 N", "limit_name": "pull", "word": "out of limits",
        "sentence": "pull: 3 N; at most 2 N: out of limits", "settle": "", "aside": False, "probability": 0.0,
        "figure": {"kind": "Force", "value": 3.0, "standard_uncertainty": 0.1, "components": [], "shown_unit": "N",
                   "si_unit": "N"},
        "limit": {"name": "pull", "kind": "Force", "low": None, "high": "2 N", "low_si": None, "high_si": 2.0,
                  "unit": "N", "source": "manual 1-1", "text": "at most 2 N"},
    }  # fmt: skip


def faces(bench: Bench) -> str:
    """All that can be said of a record, in one text. None of it may fail, or take long."""
    record, folder = bench.record, bench.folder
    found = verify(record)
    made = board(folder, record, today=TODAY)
    again = recheck(folder, record, everything=True, today=TODAY)
    parts = [entries_text(record), csv_text(record, "us"), board_text(made), recheck_text(again)]
    parts += [entry_text(record, entry.number) for entry in record.entries()]
    parts += [row.words for check in record.checks() for row in history(record, check).rows]
    parts += [table_text(table_of(folder, TODAY)), found.sentence]
    for check in record.checks():
        record.state(check, {}), record.last(check), history(record, check).charts("us")
    Keeping(folder, sheet_type("cable_tension")).checks()
    return "\n".join(parts)


REWRITTEN = "UPDATE entry SET work = replace(work, 'out of limits', 'in limits') WHERE number = 1"


def rehashed(record: Record, number: int, work: str) -> None:
    """An entry given other contents with a hash that fits."""
    sealed = record.entry(number).sealed._replace(work=work)
    tamper(record.path, f"UPDATE entry SET work = CAST(X'{work.encode().hex()}' AS TEXT) WHERE number = {number}",
           f"UPDATE entry SET hash = '{hash_of(sealed)}' WHERE number = {number}")  # fmt: skip


class TestAnAlteredVerdict:
    """`list`, `csv`, `show`, board, recheck, form and dossier never show it as it stands."""

    @pytest.mark.parametrize("how", ["altered", "hashed anew", "of another check", "made to replace itself"])
    def test_it_is_told_beside_the_entry_and_nothing_of_it_is_shown(self, saved: Bench, how: str) -> None:
        assert "Blade angles (blades): out of limits" in entries_text(saved.record)
        if how == "altered":
            tamper(saved.record.path, REWRITTEN)
        elif how == "hashed anew":
            rehashed(saved.record, 1, saved.record.entry(1).sealed.work.replace("out of limits", "in limits"))
        elif how == "of another check":
            tamper(saved.record.path, REWRITTEN, "UPDATE entry SET check_name = 'elsewhere' WHERE number = 1")
        else:
            tamper(saved.record.path, REWRITTEN, "UPDATE entry SET replaces = 1 WHERE number = 1")
        found = verify(saved.record)
        assert not found.whole
        assert 1 in found.untrue
        assert found.beside[1]
        told = faces(saved)
        assert "Blade angles" not in told
        assert "Pull" not in told
        listed = " ".join(entries_text(saved.record).split())
        assert "1 blades: NOT AS IT WAS SAVED, no verdict" in listed or "1 elsewhere: NOT AS IT WAS SAVED" in listed
        assert "Nothing" not in entry_text(saved.record, 2)
        assert "NOT AS IT WAS SAVED" in entry_text(saved.record, 1)
        rows = [row for row in csv.DictReader(io.StringIO(csv_text(saved.record), newline="")) if row["entry"] == "1"]
        assert [(row["verdict"], row["overall verdict"], row["figure"]) for row in rows] == [
            ("not as it was saved", "not as it was saved", "")
        ]
        assert board(saved.folder, saved.record, today=TODAY).faults

    def test_every_command_tells_it_and_ends_with_1(self, saved: Bench, tmp_path: Path) -> None:
        tamper(saved.record.path, REWRITTEN)
        (saved.path / "out").mkdir()
        for arguments in (["record", "list"], ["record", "show", "1"], ["record", "verify"], ["recheck"], ["status"],
                          ["record", "csv", str(saved.path / "out" / "a.csv")], ["dossier", "--no-pdf"],
                          ["record", "export", str(saved.path / "out" / "a.jsonl")]):  # fmt: skip
            answer = rotorkit(*arguments, saved.path, at=saved.path)
            words = " ".join((answer.out + answer.err).split())
            assert answer.code == 1, arguments
            assert "entry 1" in words.lower(), arguments
            assert "altered after it was saved" in words, arguments
        assert (saved.path / "out" / "a.csv").exists()
        page = (saved.path / "dossier.html").read_text("utf-8")
        assert "not as it was saved" in page
        assert "Blade angles" not in page

    def test_a_job_whose_entry_was_altered_is_never_done(self, saved: Bench) -> None:
        entry = saved.record.last("pedal_left_tension")
        assert entry is not None
        tamper(
            saved.record.path,
            f"UPDATE entry SET work = replace(work, 'A. Builder', 'A. Other') WHERE number = {entry.number}",
        )
        made = board(saved.folder, saved.record, today=TODAY)
        rows = [row for _, row in made.rows if row.entry is not None and row.entry.number == entry.number]
        assert rows
        assert all(row.word == STALE and not row.done and not row.verdict for row in rows)
        assert made.sentence.startswith("The record is not as it was saved")
        assert not any("when saved" in row.sentence for row in rows)

    def test_a_form_shows_nothing_of_it(self, saved: Bench) -> None:
        tamper(saved.record.path, "UPDATE entry SET work = replace(work, 'A. Builder', 'A. Other')")
        keeping = Keeping(saved.folder, sheet_type("cable_tension"))
        assert "entry 2 was altered" in keeping.damage
        assert keeping.last("pedal_left_tension") is None
        assert not keeping.sound(saved.record.entry(2))

    def test_a_damaged_aircraft_file_is_told_beside_and_the_verdict_stands(self, saved: Bench) -> None:
        tamper(saved.record.path, "UPDATE aircraft_file SET text = CAST(text || ' ' AS BLOB)")
        told = " ".join(entries_text(saved.record).split())
        assert "Blade angles (blades): out of limits" in told
        assert "the aircraft file that entry 2 was worked with was altered" in told
        assert all(row.word == STALE for _, row in board(saved.folder, saved.record, today=TODAY).rows if row.entry)


def chain(entries: list[tuple[str, int | None, str]]) -> list[SavedEntry]:
    """Entries (check, replaces, work) in a chain of their own, sealed as they should be."""
    name, made = "ab" * 32, []
    before = name
    for number, (check, replaces, work) in enumerate(entries, 1):
        time = f"2026-06-01T08:{number:02d}:00"
        sealed = Sealed(
            number, check, f"{time}.000000Z", f"{time}+00:00", hash_of_bytes(b"file"), replaces, before, work
        )
        made.append(SavedEntry(sealed, hash_of(sealed)))
        before = made[-1].hash
    return made


def written(path: Path, entries: list[SavedEntry], form: int = 1) -> Path:
    lines = [{"export": form, "record": "ab" * 32, "entries": len(entries), "head": entries[-1].hash},
             {"aircraft_file": hash_of_bytes(b"file"), "text": "file"}]  # fmt: skip
    text = "".join(canonical(line) + "\n" for line in lines)
    text += "".join(f'{{"hash":"{one.hash}","sealed":{one.sealed.text}}}\n' for one in entries)
    path.write_text(text, encoding="utf-8")
    return path


def other_work(**more: object) -> str:
    return canonical(plain_work(**more))


def changed(path: str, value: object) -> str:
    """The work of a figure out of limits with one part of it changed, or taken away."""
    work: Any = plain_work()
    work["outcome"]["findings"] = [out_of_limits()]
    work["outcome"]["word"] = "out of limits"
    *places, last = path.split(".")
    at = work
    for place in places:
        at = at[int(place)] if place.isdigit() else at[place]
    if value is GONE:
        del at[last]
    else:
        at[last] = value
    return canonical(work)


GONE = object()
FORGERIES: dict[str, str] = {
    "no entry at all": "{}",
    "a list": "[]",
    "no outcome": canonical({k: v for k, v in plain_work().items() if k != "outcome"}),
    "a word of its own": changed("outcome.word", "all is well"),
    "calm over a figure that is not": changed("outcome.word", "in limits"),
    "a figure's word of its own": changed("outcome.findings.0.word", "fine"),
    "a figure that is text": changed("outcome.findings.0.figure.value", "3"),
    "a figure without a kind": changed("outcome.findings.0.figure.kind", "Nothing"),
    "a unit that does not fit": changed("outcome.findings.0.figure.shown_unit", "ft"),
    "a unit that is none": changed("outcome.findings.0.figure.shown_unit", "__import__"),
    "an uncertainty below zero": changed("outcome.findings.0.figure.standard_uncertainty", -1),
    "a size of nothing": changed("outcome.findings.0.figure.value", 1e300),
    "a limit upside down": changed("outcome.findings.0.limit.low_si", 9),
    "a limit without sides": changed("outcome.findings.0.limit.high_si", None),
    "a finding without a title": changed("outcome.findings.0.title", GONE),
    "a title that is a table": changed("title", {"a": 1}),
    "a display of its own": changed("display", "furlongs"),
    "a sheet without a name": changed("sheet.name", GONE),
    "an instrument with a part too many": changed("instruments", [{"x": 1}]),
    "a day that is none": changed("instruments", [dict.fromkeys(
        ("key", "title", "serial", "measures", "uncertainty", "stated_as"), "x") | {"fields": [], "shared": None,
        "calibrated": "yesterday", "due": None}]),
    "a picture that is text": changed("outcome.pictures", ["x"]),
    "a line with a part too many": changed("outcome.steps", [{"name": "", "title": "", "lines": [{"evil": 1}],
                                                               "result": None, "source": ""}]),
    "deep brackets": '{"title":' + "[" * 100_000 + "]" * 100_000 + "}",
    "not so deep brackets": changed("readings", {"a": json.loads("[" * 60 + "]" * 60)}),
    "no number": '{"title":NaN}',
    "no JSON": "not at all",
    "lost by its own word": '{"lost":true}',
}  # fmt: skip


@pytest.mark.parametrize("forgery", FORGERIES)
def test_a_forgery_with_a_right_hash_is_refused_whole(bench: Bench, forgery: str) -> None:
    entries = chain([("a", None, other_work()), ("a", None, FORGERIES[forgery])])
    there = Record(bench.path)
    with pytest.raises(RecordError) as caught:
        import_lines(there, written(bench.path / "bad.jsonl", entries))
    assert "Nothing was saved" in str(caught.value)
    assert "line 4" in str(caught.value)
    assert len(str(caught.value)) < 1000
    assert not there.path.exists()


def test_forgeries_in_the_database_stop_no_command(bench: Bench) -> None:
    """Each stands as the last of a check, in a right chain, with a right hash."""
    works = [other_work(), *FORGERIES.values(), other_work()]
    forged = set(range(2, len(works)))
    held(bench, chain([(f"check {i}" if i != 3 else "pedal_left_tension", None, work) for i, work in enumerate(works)]))
    found = verify(bench.record)
    assert found.untrue == forged
    told = " ".join(faces(bench).split())
    assert all(f"entry {number} is " in told for number in forged)
    assert "all is well" not in told
    export = export_lines(bench.record, bench.path / "out.jsonl")
    assert set(export.left_out) == forged
    assert write_dossier(bench.folder, pdf=False).faults


def held(bench: Bench, entries: list[SavedEntry]) -> None:
    """A record that holds these entries, put there by hand."""
    database = sqlite3.connect(bench.record.path, isolation_level=None)
    make(database, "ab" * 32)
    for entry in entries:
        insert(database, entry, b"file")
    database.close()


@pytest.mark.parametrize(
    ("entries", "said"),
    [
        ([("a", 1, {})], "corrects entry 1, which is not before it"),
        ([("a", None, {}), ("a", 2, {})], "corrects entry 2, which is not before it"),
        ([("a", 2, {}), ("a", 1, {})], "corrects entry 2, which is not before it"),
        ([("a", None, {}), ("b", 1, {})], "is of another check"),
        ([("a", None, {}), ("a", 1, {}), ("a", 1, {})], "both correct entry 1"),
        ([("a", -3, {})], "corrects entry -3"),
        ([("", None, {})], "needs a name"),
        ([("a\x1b[2J", None, {})], "what can be seen"),
        ([("x" * 300, None, {})], "at most 200"),
    ],
)  # fmt: skip
def test_corrections_in_a_circle_and_names_that_are_none(bench: Bench, entries: list[Any], said: str) -> None:
    made = chain([(check, replaces, other_work(**more)) for check, replaces, more in entries])
    with pytest.raises(RecordError, match=said):
        import_lines(Record(bench.path), written(bench.path / "bad.jsonl", made))
    assert not bench.record.path.exists()
    held(bench, made)
    assert not verify(bench.record).whole
    told = faces(bench)  # and none of it runs for ever
    assert said != "needs a name" or "(a check without a name)" in told


def broken_line(path: Path, change: Callable[[str], str]) -> Path:
    lines = written(path, chain([("a", None, other_work())])).read_text("utf-8").splitlines(keepends=True)
    path.write_text("".join([*lines[:2], change(lines[2])]), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    "line",
    ["[" * 200_000, '{"a":' * 200_000, '{"hash":"x","sealed":' + "[" * 5000 + "]" * 5000 + "}", "9" * 10_000, "{}",
     "null",
     '{"hash":1,"sealed":1}', '{"lost":1}', '{"lost":{"number":2,"hash":"x"}}', '{"aircraft_file":1,"text":2}'],
)  # fmt: skip
def test_lines_that_are_none(bench: Bench, line: str) -> None:
    for at in (0, 2):
        lines = written(bench.path / "bad.jsonl", chain([("a", None, other_work())])).read_text("utf-8").splitlines()
        lines[at] = line
        (bench.path / "bad.jsonl").write_text("\n".join(lines), encoding="utf-8")
        with pytest.raises(RecordError, match=f"line {at + 1}") as caught:
            import_lines(Record(bench.path), bench.path / "bad.jsonl")
        assert "Nothing was saved" in str(caught.value)


def test_more_than_any_record_holds(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    from rotorkit.record import transfer

    file = written(bench.path / "big.jsonl", chain([("a", None, other_work(note="x" * 5000))]))
    for name, most in (("LONGEST_LINE", 4000), ("LARGEST_EXPORT", 4000)):
        with monkeypatch.context() as small:
            small.setattr(transfer, name, most)
            with pytest.raises(RecordError, match="far too large for a record"):
                import_lines(Record(bench.path), file)
    assert import_lines(Record(bench.path), file).added == 1


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="pipes by name are a POSIX thing")
def test_a_pipe_is_not_waited_for(bench: Bench) -> None:
    os.mkfifo(bench.path / "pipe")
    with pytest.raises(RecordError, match="it is a pipe, not a file"):
        import_lines(bench.record, bench.path / "pipe")
    os.mkfifo(bench.record.path)
    for read in (bench.record.entries, bench.record.head, lambda: verify(bench.record), bench.save):
        with pytest.raises(RecordError, match="it is a pipe, not a file"):
            read()


def test_a_view_in_the_place_of_a_table_is_refused(bench: Bench) -> None:
    bench.save()
    database = sqlite3.connect(bench.record.path, isolation_level=None)
    database.execute("ALTER TABLE entry RENAME TO other")
    database.execute(
        "CREATE VIEW entry AS WITH RECURSIVE n(number) AS (SELECT 1 UNION ALL SELECT number + 1 FROM n) SELECT number, "
        "'a' AS check_name, '' AS saved, '' AS local, '' AS aircraft_file, NULL AS replaces, '' AS previous, '' AS "
        "hash, '' AS work FROM n"
    )
    database.close()
    for read in (bench.record.entries, lambda: verify(bench.record), bench.save):
        with pytest.raises(RecordError, match="has no table entry as rotorkit makes it"):
            read()


class TestExportOfADamagedRecord:
    """The good entries are written, the bad ones named, and what was written can be imported."""

    @pytest.mark.parametrize(
        ("statements", "left_out", "lost"),
        [
            (["UPDATE entry SET work = work || ' ' WHERE number = 3"], {3}, (3,)),
            (["UPDATE entry SET work = work || ' ' WHERE number = 1"], {1}, (1,)),
            (["UPDATE entry SET work = work || ' ' WHERE number IN (2, 3)"], {2, 3}, (2, 3)),
            (["UPDATE entry SET work = work || ' ' WHERE number = 5"], {5}, ()),
            (["DELETE FROM entry WHERE number = 2"], {2}, (2,)),
            (["DELETE FROM entry WHERE number > 3"], {4, 5}, ()),
            (["UPDATE entry SET check_name = CAST(X'ff' AS TEXT) WHERE number = 4"], {4}, (4,)),
            (["UPDATE chain SET entries = 99999999999999"], set(), ()),
        ],
    )  # fmt: skip
    def test_there_and_back(
        self, bench: Bench, statements: list[str], left_out: set[int], lost: tuple[int, ...]
    ) -> None:
        bench.prepared(Bench.save_all)
        good = {entry.number: entry for entry in bench.record.entries()}
        tamper(bench.record.path, *statements)
        out = bench.path / "out.jsonl"
        answer = rotorkit("record", "export", out, bench.path, at=bench.path)
        assert answer.code == 1
        words = " ".join(answer.err.split())
        assert all(f"entry {number} (" in words for number in left_out)
        assert f"Wrote {5 - len(left_out)} entr" in answer.out
        there = Record(bench.path / "there")
        there.folder.mkdir()
        answer = rotorkit("record", "import", out, there.folder, at=bench.path)
        assert answer.code == bool(left_out), "the export itself says what is lost"
        kept = {entry.number: entry for entry in there.entries() if not entry.lost}
        assert kept == {number: entry for number, entry in good.items() if number not in left_out}
        found = verify(there)
        assert found.untrue == set(lost)
        assert all("is lost" in fault for fault in found.faults)
        for number in lost:
            assert f"entry {number} is lost" in " ".join(entries_text(there).split())
        again = bench.path / "again.jsonl"
        assert set(export_lines(there, again).left_out) == set(lost)
        third = Record(bench.path / "third")
        third.folder.mkdir()
        assert import_lines(third, again).lost == lost
        assert third.entries() == there.entries()

    def test_a_record_goes_on_after_it(self, bench: Bench) -> None:
        bench.prepared(Bench.save_all)
        tamper(bench.record.path, "UPDATE entry SET work = work || ' ' WHERE number = 3")
        export_lines(bench.record, bench.path / "out.jsonl")
        bench.record.path.unlink()
        assert import_lines(bench.record, bench.path / "out.jsonl").lost == (3,)
        bench.save()
        assert verify(bench.record).untrue == {3}
        assert bench.record.head()[0] == 6
        faces(bench)

    def test_a_lost_aircraft_file(self, bench: Bench) -> None:
        bench.prepared(Bench.save_all)
        tamper(bench.record.path, "UPDATE aircraft_file SET text = CAST('x' AS BLOB)")
        found = export_lines(bench.record, bench.path / "out.jsonl")
        assert (found.entries, found.left_out, len(found.files)) == (5, {}, 1)
        assert "the kept aircraft file" in found.sentence
        there = Record(bench.path / "there")
        there.folder.mkdir()
        assert import_lines(there, bench.path / "out.jsonl").added == 5
        assert there.entries() == bench.record.entries()
        assert verify(there).untrue == set()
        assert "is lost" in verify(there).sentence

    def test_pages_that_are_damaged(self, bench: Bench) -> None:
        """A drive gave back other bytes than it was given."""
        for i in range(12):
            bench.save("main_rotor_angles", note=f"mark {i} " + "x" * 20_000)
        good = {entry.number: entry for entry in bench.record.entries()}
        data = bytearray(bench.record.path.read_bytes())
        at = data.index(b"mark 5 ") // 4096 * 4096
        data[at : at + 3000] = b"\xee" * 3000
        bench.record.path.write_bytes(bytes(data))
        found = export_lines(bench.record, bench.path / "out.jsonl")
        assert found.left_out
        there = Record(bench.path / "there")
        there.folder.mkdir()
        import_lines(there, bench.path / "out.jsonl")
        kept = [entry for entry in there.entries() if not entry.lost]
        assert kept
        assert all(good[entry.number] == entry for entry in kept)

    def test_nothing_good_is_nothing_to_export(self, bench: Bench) -> None:
        bench.save()
        tamper(bench.record.path, "UPDATE entry SET work = '{}'")
        with pytest.raises(RecordError, match="nothing to export"):
            export_lines(bench.record, bench.path / "out.jsonl")
        assert not (bench.path / "out.jsonl").exists()


def test_what_every_sheet_saves_is_what_the_check_asks(bench: Bench) -> None:
    """The check of what an entry holds is not stricter than saving is: all of the demo's checks are taken."""
    from rotorkit.aircraft import demo_folder
    from rotorkit.folder.checks import Folder

    names = [check.name for check in Folder(demo_folder()).checks]
    bench.read(*names)
    for entry in bench.save_all():
        assert fault_in(entry.sealed) == ""
    assert verify(bench.record).whole
