"""Export and import lose nothing; a spreadsheet gets figures, units and texts that cannot run."""

import csv
import io
import json
from pathlib import Path

import pytest

from rotorkit.record import NOTHING_SAVED, Record, RecordError, csv_text, export_csv, export_lines, import_lines, verify
from rotorkit.record.chain import canonical, hash_of_bytes
from tests.record.bench import Bench, plain_work
from tests.record.test_store import NASTY


def save_much(bench: Bench) -> None:
    """A record with every sheet, two aircraft files, a correction and nasty texts."""
    bench.save_all()
    bench.change("# The demo aircraft", "# ±°直升机")
    for text in NASTY:
        bench.save(note=text, who=text)
    bench.save(replaces=3, why="=cmd|' /C calc'!A0")


@pytest.fixture
def rich(bench: Bench) -> Bench:
    return bench.prepared(save_much)


def other(bench: Bench) -> Record:
    folder = bench.path / "elsewhere"
    folder.mkdir(exist_ok=True)
    return Record(folder)


def test_out_in_out_gives_the_same_bytes(rich: Bench) -> None:
    one, two = rich.path / "one.jsonl", rich.path / "two.jsonl"
    there = other(rich)
    assert export_lines(rich.record, one).entries == 14
    assert import_lines(there, one).added == 14
    assert export_lines(there, two).entries == 14
    assert one.read_bytes() == two.read_bytes()
    assert verify(there).whole
    assert there.head() == rich.record.head()
    assert there.entries() == rich.record.entries()
    for entry in there.entries():
        assert there.file_text(entry.aircraft_file) == rich.record.file_text(entry.aircraft_file)
        assert entry.outcome.findings


def test_an_export_is_one_json_object_to_a_line(rich: Bench) -> None:
    export_lines(rich.record, rich.path / "one.jsonl")
    data = (rich.path / "one.jsonl").read_bytes()
    assert data.endswith(b"\n")
    lines = [json.loads(line) for line in data.decode("utf-8").split("\n")[:-1]]
    assert lines[0].keys() == {"export", "record", "entries", "head"}
    assert sum("sealed" in line for line in lines) == 14
    assert sum("aircraft_file" in line for line in lines) == 2


def test_a_line_laid_out_anew_is_taken_all_the_same(rich: Bench) -> None:
    """Another program may have written the lines with spaces and in another order."""
    export_lines(rich.record, rich.path / "one.jsonl")
    lines = (rich.path / "one.jsonl").read_text(encoding="utf-8").splitlines()
    anew = "\r\n".join(json.dumps(dict(reversed(json.loads(line).items())), indent=None) for line in lines)
    (rich.path / "anew.jsonl").write_text(anew, encoding="utf-8", newline="")
    there = other(rich)
    assert import_lines(there, rich.path / "anew.jsonl").added == 14
    assert verify(there).whole
    assert there.head() == rich.record.head()


def test_what_is_missing_at_the_end_is_added(rich: Bench) -> None:
    export_lines(rich.record, rich.path / "one.jsonl")
    there = other(rich)
    import_lines(there, rich.path / "one.jsonl")
    rich.save()
    rich.save("hover_today")
    export_lines(rich.record, rich.path / "two.jsonl")
    assert import_lines(there, rich.path / "two.jsonl").added == 2
    assert import_lines(there, rich.path / "two.jsonl").added == 0
    assert import_lines(there, rich.path / "one.jsonl").added == 0
    assert there.head() == rich.record.head()
    assert verify(there).whole


def test_two_records_that_parted_are_not_mixed(rich: Bench) -> None:
    export_lines(rich.record, rich.path / "one.jsonl")
    there = other(rich)
    import_lines(there, rich.path / "one.jsonl")
    rich.save()
    there.add("pedal_left_tension", plain_work(note="here"), "file")
    export_lines(rich.record, rich.path / "two.jsonl")
    with pytest.raises(RecordError, match=r"differ from entry 15 on.*Nothing was saved"):
        import_lines(there, rich.path / "two.jsonl")
    assert there.head()[0] == 15


def test_another_record_is_not_mixed_in(bench: Bench) -> None:
    bench.save()
    export_lines(bench.record, bench.path / "one.jsonl")
    there = other(bench)
    there.add("x", plain_work(), "file")
    with pytest.raises(RecordError, match=r"is of a different record .*into a new folder.*Nothing was saved"):
        import_lines(there, bench.path / "one.jsonl")


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda lines: [lines[0], *lines[2:]], "line 2: something is missing before entry 1"),
        (lambda lines: [*lines[:3], *lines[4:]], "line 4: something is missing before entry 3"),
        (lambda lines: lines[:-1], "is cut off: it holds 13 of 14 entries"),
        (lambda lines: [*lines[:-1], lines[-1][:-50]], "line 17 is not a line of a record's export"),
        (lambda lines: [lines[0].replace(b'"export":1', b'"export":3'), *lines[1:]], "of a newer rotorkit"),
        (lambda lines: [line.replace(b"out of limits", b"in limits") for line in lines], "line 4: entry 2 was altered"),
        (
            lambda lines: [line.replace(b'low = \\"30 lb', b'low = \\"29 lb') for line in lines],
            "line 2: the aircraft file",
        ),
        (lambda lines: [lines[1]], "line 1 is not a line"),
        (lambda lines: [b"[1, 2]\n"], "line 1 is not a line"),
        (lambda lines: [b"\xff\xfe\n"], "line 1 is not a line"),
        (lambda lines: [], "is empty"),
    ],
)
def test_an_export_that_was_altered_is_refused_whole(rich: Bench, change: object, said: str) -> None:
    export_lines(rich.record, rich.path / "one.jsonl")
    lines = (rich.path / "one.jsonl").read_bytes().splitlines(keepends=True)
    (rich.path / "bad.jsonl").write_bytes(b"".join(change(lines)))  # type: ignore[operator]
    there = other(rich)
    with pytest.raises(RecordError, match=said) as caught:
        import_lines(there, rich.path / "bad.jsonl")
    assert NOTHING_SAVED in str(caught.value)
    assert not there.path.exists()


def test_the_first_entry_of_an_export_is_number_one(bench: Bench) -> None:
    """Entry 2 without an entry 1, in a chain that holds: hashed and joined on as if nothing were missing."""
    bench.record.add("x", plain_work(), "file")
    export_lines(bench.record, bench.path / "one.jsonl")
    text = (bench.path / "one.jsonl").read_text("utf-8").replace('"number":1', '"number":2')
    last = json.loads(text.splitlines()[-1])
    sealed = canonical(last["sealed"])
    assert sealed in text
    text = text.replace(last["hash"], hash_of_bytes(sealed.encode("utf-8")))
    (bench.path / "bad.jsonl").write_text(text, "utf-8", newline="\n")
    with pytest.raises(RecordError, match="line 3: something is missing before entry 2"):
        import_lines(other(bench), bench.path / "bad.jsonl")


def test_an_export_never_overwrites_unasked(bench: Bench) -> None:
    target = bench.path / "out"
    with pytest.raises(RecordError, match="There is no record"):
        export_lines(bench.record, target)
    assert not target.exists()
    bench.save()
    target.write_text("mine")
    for export in (export_lines, export_csv):
        with pytest.raises(RecordError, match="exists already"):
            export(bench.record, target)
        assert target.read_text() == "mine"
    export_lines(bench.record, target, overwrite=True)
    with pytest.raises(RecordError, match="cannot be written"):
        export_lines(bench.record, bench.path / "nowhere" / "out")
    with pytest.raises(RecordError, match="cannot be read"):
        import_lines(other(bench), bench.path / "nowhere")
    assert {path.name for path in bench.path.iterdir()} == {
        "aircraft.toml", "readings.toml", "record.sqlite", "out", "elsewhere",
    }  # fmt: skip


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_a_spreadsheet_gets_a_row_for_each_finding_with_units_beside(bench: Bench) -> None:
    entry = bench.save("pedal_left_tension")
    found = rows(csv_text(bench.record, "us"))
    assert len(found) == len(entry.findings)
    first = found[0]
    assert (first["entry"], first["check"], first["unit"]) == ("1", "pedal_left_tension", "lbf")
    assert (first["low limit"], first["high limit"], first["limit unit"]) == ("30", "40", "lbf")
    assert (first["limit source"], first["verdict"]) == ("demo manual 7-12", "in limits")
    assert float(first["figure SI"]) == float(entry.findings[0].measured.si)
    assert first["SI unit"] == "N"
    assert float(first["figure"]) == pytest.approx(float(first["figure SI"]) / 4.4482216152605, rel=1e-9)
    expanded = 2 * float(first["standard uncertainty SI"]) / 4.4482216152605
    assert float(first["expanded uncertainty (k=2)"]) == pytest.approx(expanded, rel=1e-9)
    metric = rows(csv_text(bench.record, "metric"))[0]
    assert (metric["unit"], metric["figure"]) == ("N", f"{float(first['figure SI']):.10g}")


def test_temperatures_and_their_uncertainties_are_told_apart(bench: Bench) -> None:
    """A temperature has an offset, its uncertainty has none."""
    entry = bench.save("pedal_left_tension")
    slack = next(f for f in entry.findings if f.measured.kind.flavour == "temperature")
    row = next(r for r in rows(csv_text(bench.record, "us")) if r["finding"] == slack.title)
    assert row["unit"] == "°F"
    assert float(row["figure"]) == pytest.approx(float(slack.measured.si) * 1.8 - 459.67, rel=1e-9)
    assert float(row["expanded uncertainty (k=2)"]) == pytest.approx(float(slack.measured.expanded_si) * 1.8, rel=1e-9)


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "  =1", "＝1", "|calc", "%0A=1"])
def test_no_text_runs_in_a_spreadsheet(bench: Bench, text: str) -> None:
    bench.save(note=text, who=text, title=text)
    for row in rows(csv_text(bench.record)):
        assert row["note"] == "'" + text
        assert row["who"] == "'" + text.strip()
        assert row["title"] == "'" + text


def test_figures_below_zero_stay_figures(bench: Bench) -> None:
    bench.save("tail_rotor_angles")
    low = rows(csv_text(bench.record))[0]
    assert float(low["figure"]) < 0
    assert float(low["low limit"]) == -4


def test_texts_of_several_lines_stay_in_their_cell(bench: Bench) -> None:
    note = 'first\r\nsecond, "quoted"; third'
    bench.save(note=note)
    assert {row["note"] for row in rows(csv_text(bench.record))} == {note}


def test_the_file_bears_the_mark_that_spreadsheets_know_utf_8_by(bench: Bench, tmp_path: Path) -> None:
    bench.save("tail_rotor_angles", note="±°")
    export_csv(bench.record, tmp_path / "out.csv")
    data = (tmp_path / "out.csv").read_bytes()
    assert data.startswith(b"\xef\xbb\xbfentry,check,")
    assert "±°" in data.decode("utf-8-sig")
    assert data.count(b"\r\n") == len(rows(csv_text(bench.record))) + 1
