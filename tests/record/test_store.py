"""Saving and finding again."""

import json
import os
from pathlib import Path

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.judging.limits import IN_LIMITS, TOO_CLOSE
from rotorkit.record import CHANGED, NEVER, NOTHING_SAVED, SAVED, Record, RecordError, verify
from rotorkit.sheets import Folder
from tests.record.bench import Bench


def test_an_entry_holds_all_that_was_done(bench: Bench) -> None:
    entry = bench.save("tail_rotor_angles", note="in the hangar")
    found = Record(bench.path).last("tail_rotor_angles")
    assert found == entry
    assert found is not None
    assert (found.number, found.check, found.sheet, found.sheet_version) == (1, "tail_rotor_angles", "blade_angles", 1)
    assert (found.who, found.note, found.word) == ("A. Builder", "in the hangar", TOO_CLOSE)
    assert found.saved.isoformat() == "2026-06-01T08:01:00+00:00"
    assert found.local.isoformat() == "2026-06-01T10:01:00+02:00"
    assert found.readings == {**bench.folder.check("tail_rotor_angles").readings}
    first = next(r for r in found.understood if r.path == "stations.0.reading")
    assert (first.typed, first.understood) == ("-1.4; -1.5; -1.4 deg", "-1.4°; -1.5°; -1.4°")
    (protractor,) = found.instruments
    assert (protractor.title, protractor.serial, protractor.uncertainty) == ("Digital protractor", "P-3", "0.2 deg")
    assert (protractor.calibrated, protractor.due, protractor.stated_as) == ("2026-04-12", "2027-04-12", "expanded")
    assert found.aircraft["name"] == "Demo two-seater"
    assert bench.record.file_text(found.aircraft_file).encode() == (bench.path / "aircraft.toml").read_bytes()


@pytest.mark.parametrize("check", ["tail_rotor_angles", "pedal_left_tension", "hover_today"])
def test_the_outcome_comes_back_as_it_was_shown(bench: Bench, check: str) -> None:
    shown = bench.folder.check(check).outcome(bench.folder.aircraft)
    bench.save(check)
    found = Record(bench.path).last(check)
    assert found is not None
    kept = found.outcome
    assert [f.row() for f in kept.findings] == [f.row() for f in shown.findings]
    assert [f.verdict.sentence for f in kept.findings] == [f.verdict.sentence for f in shown.findings]
    assert [f.verdict.settle for f in kept.findings] == [f.verdict.settle for f in shown.findings]
    assert [float(f.measured.si) for f in kept.findings] == [float(f.measured.si) for f in shown.findings]
    assert [[(r.label, r.share) for r in f.measured.budget()] for f in kept.findings] == [
        [(r.label, r.share) for r in f.measured.budget()] for f in shown.findings
    ]
    assert [step.text for step in kept.steps] == [step.text for step in shown.steps]
    assert [step.latex for step in kept.steps] == [step.latex for step in shown.steps]
    assert [(type(p), p.title) for p in kept.pictures] == [(type(p), p.title) for p in shown.pictures]
    assert (kept.remarks, kept.word) == (shown.remarks, shown.word)


def test_what_is_kept_is_open_to_anybody(bench: Bench) -> None:
    work = json.loads(bench.save().sealed.work)
    finding = work["outcome"]["findings"][0]
    assert finding["figure"]["kind"] == "Force"
    assert finding["figure"]["si_unit"] == "N"
    assert finding["limit"]["source"] == "demo manual 7-12"
    assert (finding["limit"]["low"], finding["limit"]["high"]) == ("30 lb", "40 lb")
    step = work["outcome"]["steps"][0]
    assert step["source"]
    assert {"part", "latex", "text", "words"} <= step["lines"][0].keys()


def test_the_aircraft_file_is_kept_once_for_each_state_of_it(bench: Bench) -> None:
    one, two = bench.save(), bench.save()
    bench.change("# The demo aircraft", "# My aircraft")
    three = bench.save()
    assert one.aircraft_file == two.aircraft_file != three.aircraft_file
    assert bench.record.file_text(one.aircraft_file).startswith("# The demo aircraft")
    assert bench.record.file_text(three.aircraft_file).startswith("# My aircraft")


def test_the_state_of_a_form_in_words(bench: Bench) -> None:
    typed = dict(bench.folder.check("pedal_left_tension").readings)
    assert bench.record.state("pedal_left_tension", typed) == NEVER
    bench.save("pedal_left_tension")
    assert bench.record.state("pedal_left_tension", typed) == SAVED
    assert bench.record.state("pedal_left_tension", {**typed, "riser": " 1 ", "tension": ""}) == SAVED
    assert bench.record.state("pedal_left_tension", {**typed, "tension": None}) == SAVED
    assert bench.record.state("pedal_left_tension", {**typed, "temperature": "59 °F"}) == CHANGED
    assert bench.record.state("pedal_left_tension", {k: v for k, v in typed.items() if k != "thermometer"}) == CHANGED
    assert bench.record.state("pedal_left_tension", typed, "hover_margin") == CHANGED


def test_the_state_of_a_form_with_rows(bench: Bench) -> None:
    bench.save("tail_rotor_angles")
    typed = dict(bench.folder.check("tail_rotor_angles").readings)
    rows = [dict(row) for row in typed["stations"]]
    blank = {"blade": "", "position": "", "reading": ""}
    assert bench.record.state("tail_rotor_angles", {**typed, "stations": [*rows, blank]}) == SAVED
    assert bench.record.state("tail_rotor_angles", {**typed, "stations": rows[:-1]}) == CHANGED
    rows[1]["reading"] = "-6.3"
    assert bench.record.state("tail_rotor_angles", {**typed, "stations": rows}) == CHANGED


def test_a_default_left_alone_is_no_change(bench: Bench) -> None:
    typed = dict(bench.folder.check("hover_today").readings)
    assert "estimate" not in typed
    bench.save("hover_today")
    assert bench.record.state("hover_today", typed) == SAVED
    assert bench.record.state("hover_today", {**typed, "estimate": "figure of merit"}) == SAVED
    assert bench.record.state("hover_today", {**typed, "estimate": "induced factor and profile drag"}) == CHANGED


def test_a_correction_names_what_it_replaces_and_why(bench: Bench) -> None:
    first = bench.save()
    second = bench.save(changed={"dial": "27; 27; 27"}, replaces=first.number, why="read the wrong scale")
    assert (second.replaces, second.why) == (1, "read the wrong scale")
    assert bench.record.entry(1) == first
    assert bench.record.last(first.check) == second
    assert bench.record.replaced() == {1: 2}


def test_a_correction_of_older_work_does_not_become_the_latest(bench: Bench) -> None:
    january = bench.save()
    february = bench.save(changed={"dial": "24; 24; 24"})
    bench.save(changed={"dial": "28; 28; 28"}, replaces=january.number, why="mistyped")
    assert bench.record.last(january.check) == february
    assert [entry.number for entry, _ in bench.record.standing(january.check)] == [3, 2]


def save_and_correct(bench: Bench) -> None:
    bench.save()
    bench.save("hover_today")
    bench.save()
    bench.save(replaces=3, why="mistyped")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"replaces": 7, "why": "x"}, "There is no entry 7 to correct"),
        ({"replaces": 1}, "Say why this corrects entry 1"),
        ({"why": "x"}, "needs the number of the entry"),
        ({"replaces": 2, "why": "x"}, "is of hover_today, not of pedal_left_tension"),
        ({"replaces": 3, "why": "x"}, "already replaced by entry 4"),
        ({"who": "  "}, "Say who did the work"),
        ({"who": "x" * 201}, "at most 200 characters"),
        ({"note": "x" * 1_000_001}, "at most 1,000,000 characters, got 1,000,001"),
        ({"note": "half \ud83d"}, "half of a character pair"),
    ],
)
def test_what_cannot_be_saved_is_said_plainly(bench: Bench, given: dict[str, object], said: str) -> None:
    bench.prepared(save_and_correct)
    head = bench.record.head()
    with pytest.raises(RecordError, match=said) as caught:
        bench.save(**given)
    assert str(caught.value).endswith(NOTHING_SAVED)
    assert caught.value.saved is False
    assert bench.record.head() == head


@pytest.mark.parametrize("name", ["", "  ", "two\nlines", "nul\x00", "x" * 201])
def test_a_check_needs_a_name_of_one_line(bench: Bench, name: str) -> None:
    check = bench.folder.check("pedal_left_tension")
    with pytest.raises(RecordError, match="name"):
        bench.record.save(
            name, check.made(), check.outcome(bench.folder.aircraft), bench.record.aircraft_text(), "A. Builder"
        )
    assert not bench.record.path.exists()


def test_what_was_seen_is_what_is_kept(bench: Bench) -> None:
    """The file was changed while a form stood open: its outcome no longer is what the file gives."""
    folder = bench.folder
    check = folder.check("pedal_left_tension")
    shown = check.outcome(folder.aircraft)
    bench.change('tension = { low = "30 lb"', 'tension = { low = "35 lb"')
    with pytest.raises(RecordError, match=r"aircraft file has changed .*limit was 30 lbf to 40 lbf, now 35 lbf"):
        bench.record.save(check.name, check.made(), shown, bench.record.aircraft_text(), "A. Builder")
    bench.change("[cables.pedal_left]", "[cables.pedal_links]")
    with pytest.raises(RecordError, match=r"cannot be worked out with the aircraft file.*Nothing was saved"):
        bench.record.save(check.name, check.made(), shown, bench.record.aircraft_text(), "A. Builder")
    assert not bench.record.path.exists()


NASTY = [
    "Jürgen Müller, 直升机, مروحية, 🚁",
    "<script>alert('x')</script> & </td>",
    r"$\frac{1}{0}$ \input{/etc/passwd} \end{document}",
    "bell \x07, escape \x1b[31m, nul \x00, delete \x7f, form feed \x0c",
    "first\r\nsecond\tthird\n",
    "e\u0301 is not \u00e9, nor is \ufeff nothing",
    "=1+1",
    "'; DROP TABLE entry; --",
]


@pytest.mark.parametrize("text", NASTY)
def test_notes_and_names_come_back_as_typed(bench: Bench, text: str) -> None:
    bench.save(note=text, who=text, title=text)
    bench.save(note=text * 1000)
    first, second = Record(bench.path).entries()
    assert (first.note, first.who, first.title) == (text, text.strip(), text)
    assert second.note == text * 1000
    assert verify(bench.record).whole


def test_a_very_long_note_is_kept(bench: Bench) -> None:
    note = "ü" * 1_000_000
    bench.save(note=note)
    assert Record(bench.path).entry(1).note == note


def test_a_file_with_windows_line_ends_is_kept_byte_for_byte(bench: Bench) -> None:
    file = bench.path / "aircraft.toml"
    file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    entry = bench.save()
    assert bench.record.file_text(entry.aircraft_file).encode() == file.read_bytes()


def test_reading_leaves_no_trace(bench: Bench) -> None:
    record = Record(bench.path)
    before = sorted(os.listdir(bench.path))
    assert (record.entries(), record.last("x"), record.checks(), record.head()) == ([], None, [], (0, ""))
    assert verify(record).sentence == "Nothing has been saved in this record yet."
    assert sorted(os.listdir(bench.path)) == before
    bench.save_all()
    stamp, listing = bench.record.path.stat(), sorted(os.listdir(bench.path))
    data = bench.record.path.read_bytes()
    record.entries()
    record.last("hover_today")
    verify(record)
    assert sorted(os.listdir(bench.path)) == listing == sorted([*before, "record.sqlite"])
    assert bench.record.path.read_bytes() == data
    assert bench.record.path.stat().st_mtime_ns == stamp.st_mtime_ns


def test_the_demo_inside_the_program_is_not_written_to() -> None:
    folder = Folder(demo_folder())
    check = folder.checks[0]
    record = Record(folder)
    with pytest.raises(RecordError, match="rotorkit new DIR --demo"):
        record.save(check.name, check.made(), check.outcome(folder.aircraft), record.aircraft_text(), "A. Builder")
    assert not record.path.exists()
    assert record.entries() == []


def test_the_name_of_the_folder_may_hold_anything(tmp_path: Path) -> None:
    odd = tmp_path / "Hangar 3 #2 ?mode=rw%20 ü 'x'"
    odd.mkdir()
    bench = Bench(odd)
    bench.save()
    assert Record(odd).last("pedal_left_tension") is not None
    assert (odd / "record.sqlite").is_file()


def test_a_figure_in_limits_is_kept_as_such(bench: Bench) -> None:
    assert bench.save("pedal_left_tension").word == IN_LIMITS
