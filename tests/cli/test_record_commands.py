"""`rotorkit record`, `recheck`, `dossier`, the board in `status`: in words, with the exit codes that are promised."""

import json
import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.cli import console, verdict_table
from rotorkit.record import Record, verify
from rotorkit.sheets import Folder
from tests.cli.test_cli import Answer, new, rotorkit


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return new(tmp_path / "d")


def run(place: Path, *arguments: str) -> Answer:
    """A command on the folder, named last."""
    return rotorkit(*arguments, place, at=place.parent)


def save(place: Path, check: str = "pedal_left_tension", *more: str) -> Answer:
    return run(place, "record", "save", check, "--who", "A. Builder", *more)


def change(place: Path, old: str, new_text: str, name: str = "aircraft.toml") -> None:
    text = (place / name).read_text(encoding="utf-8")
    assert old in text
    (place / name).write_text(text.replace(old, new_text), encoding="utf-8")


class TestSave:
    def test_saves_what_the_readings_file_holds(self, place: Path) -> None:
        answer = save(place, "pedal_left_tension", "--note", "cold hangar")
        assert (answer.code, answer.err) == (0, "")
        assert answer.out.startswith("Saved as entry 1: Anti-torque cable, left pedal: in limits.\n")
        entry = Record(place).entry(1)
        assert entry.hash in answer.out
        assert (entry.who, entry.note, entry.title) == ("A. Builder", "cold hangar", "Anti-torque cable, left pedal")
        check = Folder(place).check("pedal_left_tension")
        assert Record(place).state(check.name, check.readings, check.sheet) == "saved"

    def test_a_correction(self, place: Path) -> None:
        save(place)
        answer = save(place, "pedal_left_tension", "--corrects", "1")
        assert (answer.code, answer.out) == (1, "")
        assert answer.err == "rotorkit: Say why this corrects entry 1. Nothing was saved.\n"
        assert save(place, "pedal_left_tension", "--corrects", "1", "--why", "misread").code == 0
        assert Record(place).replaced() == {1: 2}

    def test_refusals(self, place: Path) -> None:
        assert "Missing option '--who'" in run(place, "record", "save", "pedal_left_tension").err
        assert run(place, "record", "save", "pedal_left_tension").code == 2
        answer = save(place, "mooring")
        assert (answer.code, answer.out) == (1, "")
        assert "no check 'mooring'" in answer.err
        change(place, 'dial = "27.5; 28; 27.5"', 'dial = "warm"', "readings.toml")
        assert "dial" in save(place).err
        assert not (place / "record.sqlite").exists()

    def test_a_blank_check(self, tmp_path: Path) -> None:
        place = new(tmp_path / "mine", demo=False)
        (place / "aircraft.toml").write_bytes((demo_folder() / "aircraft.toml").read_bytes())
        answer = save(place, "cable_tension")
        assert answer.code == 1
        assert "holds no readings yet" in answer.err

    def test_not_into_the_demo_inside_the_program(self, tmp_path: Path) -> None:
        answer = rotorkit("record", "save", "pedal_left_tension", "--who", "A", at=tmp_path)
        assert answer.code == 1
        assert "the demo inside the program keeps no record" in " ".join(answer.err.split())
        answer = rotorkit("record", "save", "pedal_left_tension", demo_folder(), "--who", "A", at=tmp_path)
        assert answer.code == 1
        assert not (demo_folder() / "record.sqlite").exists()


class TestListAndShow:
    def test_list(self, place: Path) -> None:
        assert run(place, "record", "list").out == "Nothing has been saved in this record yet.\n"
        save(place)
        save(place, "pedal_left_tension", "--corrects", "1", "--why", "wrong riser", "--note", "two\nlines")
        save(place, "hover_today")
        out = run(place, "record", "list").out
        assert "    1  Anti-torque cable, left pedal (pedal_left_tension): in limits" in out
        assert "replaced by entry 2" in out
        assert "corrects entry 1: wrong riser" in out
        assert "note: two / lines" in out
        assert "Each with its verdict as it was saved. Whether these still stand: " in " ".join(out.split())
        assert max(map(len, out.splitlines())) <= 80
        only = rotorkit("record", "list", place, "--check", "hover_today", at=place.parent)
        assert "left pedal" not in only.out
        assert "too close to call" in only.out
        answer = rotorkit("record", "list", place, "--check", "mooring", at=place.parent)
        assert answer.code == 1
        assert "it has pedal_left_tension, hover_today" in " ".join(answer.err.split())

    def test_show(self, place: Path) -> None:
        save(place, "pedal_left_tension", "--note", "cold <hangar>")
        out = run(place, "record", "show", "1").out
        words = " ".join(out.split())
        entry = Record(place).entry(1)
        assert "dial: 27.5; 28; 27.5" in words
        assert "Cable tension gauge, number G-41" in words
        assert "calibrated 2026-02-20, due 2027-02-20" in words
        assert "Tension at 70 °F: 36.6 ± 2.0 lbf: in limits; limit 30 lbf to 40 lbf (demo manual 7-12)" in words
        assert "cold <hangar>" in words
        assert f"hash {entry.hash}" in words
        assert "Worst verdict: in limits." in words
        answer = run(place, "record", "show", "7")
        assert (answer.code, answer.out) == (1, "")
        assert answer.err == "rotorkit: The record holds no entry 7: its last is entry 1.\n"
        answer = run(place, "record", "show", "pedal_left_tension")
        assert answer.code == 2
        assert "needs an entry's number such as 12, got 'pedal_left_tension'" in " ".join(answer.err.split())
        answer = run(place, "record", "save", "hover_today", "--who", "A", "--corrects", "first", "--why", "slip")
        assert answer.code == 2
        assert "needs an entry's number such as 12, got 'first'" in " ".join(answer.err.split())


def test_status_of_a_record_that_cannot_be_read_counts_nothing_of_it(place: Path) -> None:
    save(place, "pedal_left_tension")
    file = place / "record.sqlite"
    file.write_bytes(file.read_bytes()[:5000])
    answer = run(place, "status")
    assert answer.code == 1
    assert answer.out.splitlines()[1].startswith("The record cannot be read"), "before any verdict"
    assert answer.out.count("\n") + answer.err.count("\n") <= 40, "told once: no check keeps its line for that alone"
    assert "are saved" not in answer.out
    assert "is cut off" in answer.err
    answer = run(place, "status", "pedal_left_tension")
    assert answer.code == 1
    assert answer.out.startswith("The record cannot be read")
    assert "readings: what is saved was not looked at" in answer.out


def test_status_of_a_check_that_no_longer_stands_says_so_first(place: Path) -> None:
    save(place, "pedal_left_tension")
    assert "No longer stands" not in run(place, "status", "pedal_left_tension").out
    file = place / "aircraft.toml"
    text = file.read_text(encoding="utf-8")
    changed = text.replace('low = "30 lb", high = "40 lb"', 'low = "30 lb", high = "41 lb"')
    assert changed != text
    file.write_text(changed, encoding="utf-8")
    answer = run(place, "status", "pedal_left_tension")
    assert answer.code == 0
    assert answer.out.startswith("No longer stands as saved: pedal_left_tension. Why: ")
    assert ": in limits" in " ".join(answer.out.splitlines()[1:4])


def test_students_that_are_no_number(place: Path) -> None:
    answer = rotorkit("class", "my-class", "--students", "two", at=place.parent)
    assert (answer.code, answer.out) == (2, "")
    assert "needs a number of students such as 12, got 'two'" in " ".join(answer.err.split())


def test_more_names_than_a_command_takes_are_not_understood(place: Path) -> None:
    answer = rotorkit("status", "one", "two", place, at=place.parent)
    assert (answer.code, answer.out) == (2, "")
    assert "takes 1 check and one folder at most" in answer.err


def test_a_spreadsheet_of_nothing_is_not_written(place: Path) -> None:
    answer = rotorkit("record", "csv", "all.csv", place, at=place.parent)
    assert (answer.code, answer.out) == (1, "")
    assert answer.err == "rotorkit: Nothing has been saved in this record yet. No file was written.\n"
    assert not (place.parent / "all.csv").exists()


class TestVerify:
    def test_whole(self, place: Path) -> None:
        assert run(place, "record", "verify").out == "Nothing has been saved in this record yet.\n"
        save(place)
        hash_ = Record(place).entry(1).hash
        answer = run(place, "record", "verify")
        assert answer.code == 0
        assert hash_ in answer.out
        answer = rotorkit("record", "verify", place, "--noted", hash_[:12], at=place.parent)
        assert answer.code == 0
        assert "contains the entry whose hash was noted" in " ".join(answer.out.split())

    def test_not_whole_gives_1(self, place: Path) -> None:
        save(place)
        answer = rotorkit("record", "verify", place, "--noted", "0123456789", at=place.parent)
        assert (answer.code, answer.out) == (1, "")
        assert "no entry has the hash 0123456789" in " ".join(answer.err.split())
        data = (place / "record.sqlite").read_bytes()
        at = data.index(b"27.5; 28; 27.5")
        (place / "record.sqlite").write_bytes(data[:at] + b"9" + data[at + 1 :])
        answer = run(place, "record", "verify")
        assert answer.code == 1
        assert "entry 1 was altered after it was saved" in " ".join(answer.err.split())
        (place / "record.sqlite").write_bytes(data[:5000])
        assert run(place, "record", "verify").code == 1

    def test_a_stray_copy_is_pointed_out_and_is_no_fault(self, place: Path) -> None:
        save(place)
        (place / "record (conflicted copy).sqlite").write_bytes(b"x")
        answer = run(place, "record", "verify")
        assert answer.code == 0
        assert "Needs attention: beside the record there is" in answer.out


class TestCarrying:
    def test_export_and_import(self, place: Path, tmp_path: Path) -> None:
        save(place)
        save(place, "hover_today")
        lines = tmp_path / "out.jsonl"
        assert run(place, "record", "export", str(lines)).out == f"Wrote 2 entries to {lines}.\n"
        answer = run(place, "record", "export", str(lines))
        assert answer.code == 1
        assert "exists already" in " ".join(answer.err.split())
        assert rotorkit("record", "export", lines, place, "--overwrite", at=tmp_path).code == 0
        other = tmp_path / "restored"
        other.mkdir()
        answer = rotorkit("record", "import", lines, other, at=tmp_path)
        assert answer.code == 0
        said = " ".join(answer.out.split())
        assert said.startswith(f"Added 2 entries to the record in {other}.")
        assert "no aircraft.toml in it yet" in said
        assert Record(other).entries() == Record(place).entries()
        assert rotorkit("record", "verify", other, at=tmp_path).code == 0
        assert "Added 0 entries" in rotorkit("record", "import", lines, other, at=tmp_path).out

    def test_an_altered_export_is_refused_whole(self, place: Path, tmp_path: Path) -> None:
        save(place)
        lines = tmp_path / "out.jsonl"
        run(place, "record", "export", str(lines))
        lines.write_text(lines.read_text("utf-8").replace("27.5; 28", "99.5; 28"), encoding="utf-8")
        other = new(tmp_path / "other")
        answer = rotorkit("record", "import", lines, other, at=tmp_path)
        assert answer.code == 1
        assert "was altered. Nothing was saved." in " ".join(answer.err.split())
        assert not (other / "record.sqlite").exists()
        assert rotorkit("record", "import", tmp_path / "none", other, at=tmp_path).code == 1
        assert rotorkit("record", "import", lines, tmp_path / "nowhere", at=tmp_path).code == 1

    def test_csv(self, place: Path, tmp_path: Path) -> None:
        save(place)
        file = tmp_path / "out.csv"
        assert run(place, "record", "csv", str(file)).out == f"Wrote {file}.\n"
        text = file.read_text("utf-8-sig")
        assert text.splitlines()[0].startswith("entry,check,title")
        assert "Tension at 70 °F" in text
        assert run(place, "record", "csv", str(file)).code == 1


class TestRecheck:
    def test_what_moved_and_why_and_0_all_the_same(self, place: Path) -> None:
        assert run(place, "recheck").out == "The record has no entry to work out again.\n\n"
        save(place)
        save(place)
        assert "every figure and verdict stands" in run(place, "recheck").out
        change(place, 'low = "30 lb", high = "40 lb"', 'low = "30 lb", high = "33 lb"')
        answer = run(place, "recheck")
        words = " ".join(answer.out.split())
        assert answer.code == 0
        assert "1 entry was worked again: entry 2 does not stand as saved." in words
        assert "Tension at 70 °F: verdict was in limits, now out of limits. limits changed:" in words
        answer = rotorkit("recheck", place, "--all", at=place.parent)
        assert "2 entries were worked again: entries 1, 2 do not stand as saved." in " ".join(answer.out.split())

    def test_a_file_that_cannot_be_read_gives_1(self, place: Path) -> None:
        save(place)
        (place / "record.sqlite").write_bytes(b"")
        answer = run(place, "recheck")
        assert (answer.code, answer.out) == (1, "")
        assert "record.sqlite is empty" in answer.err


class TestDossier:
    def test_page_and_pdf(self, place: Path) -> None:
        save(place)
        answer = run(place, "dossier")
        assert answer.code == (0 if (place / "dossier.pdf").exists() else 1)
        assert f"Wrote {place / 'dossier.html'}, 0." in answer.out
        assert "It shows 1 check of a record of 1 entry." in answer.out
        assert "Not saved to the record, and so not shown: " in answer.out
        assert "\r" not in answer.out + answer.err, "a bar is for a terminal"

    def test_page_alone_elsewhere(self, place: Path, tmp_path: Path) -> None:
        save(place)
        answer = rotorkit("dossier", place, "--out", tmp_path / "mine.html", "--no-pdf", at=tmp_path)
        assert answer.code == 0
        assert (tmp_path / "mine.html").is_file()
        assert not list(tmp_path.rglob("*.pdf"))
        assert rotorkit("dossier", place, "--out", tmp_path / "no" / "x", at=tmp_path).code == 1

    def test_a_pdf_that_cannot_be_made_gives_1_and_the_page(self, place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        from rotorkit.dossier import writing
        from rotorkit.dossier.pdf import PdfError

        def fails(*_: object) -> bytes:
            raise PdfError("no typesetter here")

        monkeypatch.setattr(writing, "pdf_of", fails)
        save(place)
        answer = run(place, "dossier")
        assert answer.code == 1
        assert (place / "dossier.html").is_file()
        assert "no PDF was written: no typesetter here" in answer.err

    def test_a_record_that_is_not_whole_gives_1_and_is_told(self, place: Path) -> None:
        save(place)
        data = (place / "record.sqlite").read_bytes()
        (place / "record.sqlite").write_bytes(data.replace(b"27.5; 28; 27.5", b"27.5; 29; 27.5"))
        answer = rotorkit("dossier", place, "--no-pdf", at=place.parent)
        assert answer.code == 1
        assert "the record is not as it was saved, and the dossier says so" in " ".join(answer.err.split())

    def test_a_check_of_an_unknown_sheet_is_no_reason_to_stop(self, place: Path) -> None:
        (place / "readings.toml").write_text('[odd]\nsheet = "no_such_sheet"\nx = "1"\n', encoding="utf-8")
        answer = rotorkit("dossier", place, "--no-pdf", at=place.parent)
        assert answer.code == 0, answer.err
        assert "Odd" in answer.out


class TestStatus:
    def test_the_board_follows_the_table(self, place: Path) -> None:
        out = run(place, "status", "--every-figure").out
        assert out.index("Figures in all:") < out.index("Status board")
        # main rotor, tail rotor, corners, cyclic; of two cables the tension and the turnbuckle; the ignition
        assert "Next: First engine run: 10 of 10 jobs need work" in " ".join(out.split())
        assert "never done" in out
        assert "  readings: From the readings file, not saved." in out
        assert not (place / "record.sqlite").exists()
        save(place)
        save(place, "hover_today")
        save(place, "main_rotor_angles")
        words = " ".join(run(place, "status", "--every-figure").out.split())
        assert "Anti-torque cable, left pedal: in limits (entry 1, " in words
        assert "Hover, with two aboard: too close to call (entry 2, " in words
        assert "Main rotor, collective stops: out of limits (entry 3, " in words
        assert "readings: Saved as entry 1 of " in words
        assert "No longer stands" not in run(place, "status").out
        change(place, 'low = "30 lb", high = "40 lb"', 'low = "30 lb", high = "33 lb"')
        change(place, 'gross_weight = "1,255 lb"', 'gross_weight = "1,190 lb"', "readings.toml")
        short = " ".join(run(place, "status").out.split())
        checks = tomllib.loads((place / "readings.toml").read_text(encoding="utf-8"))
        assert f"Record: the readings of 3 of {len(checks)} are saved." in short
        assert "No longer stands as saved: pedal_left_tension. Why: " in short
        in_limits = short[short.index(" IN LIMITS ") : short.index("Figures in all:")]
        assert "hover_today est. (not what stands: readings.toml has others)" in in_limits
        assert "NO READINGS YET" not in in_limits  # the heading above the line is that of its verdict
        answer = run(place, "status", "--every-figure")
        words = " ".join(answer.out.split())
        assert answer.code == 0
        assert "Anti-torque cable, left pedal: stale (entry 1, " in words
        assert "limits changed: [cables.pedal_left.limits] tension was" in words
        assert "readings: Saved as entry 2 of " in words
        assert "The readings file has other readings, which are not used." in words
        assert "Hover, with two aboard, as readings.toml has it: in limits" in words
        assert "readings: not saved, and not what stands: 'rotorkit record save hover_today' saves it" in words
        assert max(map(len, answer.out.splitlines())) <= 80

    def test_a_check_that_only_the_record_knows_is_in_the_table(self, place: Path) -> None:
        save(place)
        (place / "readings.toml").unlink()
        words = " ".join(run(place, "status", "--every-figure").out.split())
        assert "Tension at 70 °F 36.6 ± 2.0 lbf" in words
        assert "readings: Saved as entry 1 of " in words
        assert len(verdict_table.table_of(Folder(place)).checks) == 1

    def test_a_record_that_cannot_be_read_gives_1_after_the_table(self, place: Path) -> None:
        (place / "record.sqlite").write_bytes(b"")
        answer = run(place, "status")
        assert answer.code == 1
        assert "Figures in all:" in answer.out
        assert "record.sqlite is empty" in answer.err

    def test_reached_milestones_are_behind(self, place: Path) -> None:
        text = (place / "aircraft.toml").read_text(encoding="utf-8")
        text += (
            '\n[[milestones]]\ntitle = "First engine run"\nreached = 2026-05-01\n'
            'needs = [{ sheet = "hover_margin", why = "air" }]\n'
            '[[milestones]]\ntitle = "Turn"\nneeds = [{ check = "pedal_left_tension", why = "slack" }]\n'
        )
        (place / "aircraft.toml").write_text(text, encoding="utf-8")
        save(place)
        assert "Next: Turn: the jobs listed here are in limits" in " ".join(run(place, "status").out.split())
        words = " ".join(run(place, "status", "--every-figure").out.split())
        assert "Next: Turn: the jobs listed here are in limits; the manual's own list still applies." in words
        assert "First engine run: reached on 2026-05-01" in words
        assert "these are the usual ones" not in words


def test_progress_shows_in_a_terminal_alone(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with console.Progress() as bar:
        bar("setting the checks", 1, 2)
    assert capsys.readouterr().err == ""
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    with console.Progress() as bar:
        bar.of("setting the checks")(1, 2)
        bar("setting the checks", 2, 2)
    err = capsys.readouterr().err
    assert "[############............] setting the checks, 1 of 2" in err
    assert "[########################] setting the checks, 2 of 2" in err
    assert err.endswith(" \r"), "taken away at the end"


def test_a_list_loads_neither_sheets_nor_units(place: Path, tmp_path: Path) -> None:
    """What its entries say of themselves is enough, once they were looked at: by the save, where the command saved."""
    code = (
        "import sys; from rotorkit.cli import app\n"
        "try: app(sys.argv[1:])\n"
        "except SystemExit as end: assert not end.code\n"
        "heavy = 'numpy', 'pint', 'scipy', 'msgspec', 'rotorkit.sheets.base'\n"
        "print('LOADED', *[name for name in heavy if name in sys.modules])"
    )
    own = {**os.environ, "XDG_CACHE_HOME": str(tmp_path / "own")}

    def command(*arguments: str) -> str:
        asked = [sys.executable, "-c", code, "record", *arguments]
        done = subprocess.run(asked, cwd=place, capture_output=True, text=True, check=True, env=own)
        return done.stdout

    assert "rotorkit.sheets.base" in command("save", "pedal_left_tension", "--who", "A. Builder")
    for _ in range(2):
        said, loaded = command("list").split("LOADED")
        assert loaded.split() == []
        assert said == run(place, "record", "list").out


def test_reading_commands_leave_no_trace(place: Path) -> None:
    save(place)

    def held() -> dict[Path, bytes]:
        return {path: path.read_bytes() for path in place.rglob("*") if path.is_file()}

    before = held()
    for arguments in (["status"], ["record", "list"], ["record", "show", "1"], ["record", "verify"], ["recheck"]):
        assert run(place, *arguments).code == 0
    assert held() == before
    assert verify(Record(place)).whole
    assert json.loads((place / "home.ipynb").read_text("utf-8"))["nbformat"] == 4


class TestRecording:
    def test_orders_lines_and_what_was_wrong(self, place: Path) -> None:
        """The demo's recording, its columns as the demo's check says; its truth is in tests/vibration."""
        answer = rotorkit("recording", place / "hover_cabin.csv", place, at=place.parent)
        said = " ".join(answer.out.split())
        assert (answer.code, answer.err) == (0, "")
        assert said.startswith("hover_cabin.csv, its columns as in hover_recorded: in limits")
        for part in ("0.2595 ± 0.0055 in/s", "tail rotor, 1 a", "cooling fan", "1 lost pulse put", "first: 1,236"):
            assert part in said
        # nothing was written, and a run without the mapping says what it needs
        assert Record(place).checks() == []
        answer = rotorkit("recording", place / "hover_cabin.csv", place, "--column", "floor", at=place.parent)
        assert answer.code == 1
        assert "there is none called 'floor'" in answer.err
        answer = rotorkit("recording", place / "hover_cabin.csv", place, "--check", "mooring", at=place.parent)
        assert answer.code == 1
        assert "hover_recorded" in answer.err
        assert rotorkit("recording", place / "no.csv", place, at=place.parent).code == 1
