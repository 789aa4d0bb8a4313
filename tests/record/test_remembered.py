"""What earlier commands worked is taken for nothing but itself: whatever it rests on, changed, is seen at once."""

import json
import os
import sqlite3
import tomllib
from collections.abc import Callable
from dataclasses import fields, replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

import rotorkit
from rotorkit.aircraft import demo_folder
from rotorkit.aircraft.looked_at import LookedAt
from rotorkit.cli.status_json import status_json
from rotorkit.cli.status_text import short_text
from rotorkit.cli.verdict_table import table_of
from rotorkit.edges import clock, kept
from rotorkit.folder.checks import Folder
from rotorkit.folder.workings import Workings
from rotorkit.record import board, looked_at, shape, verify
from rotorkit.record.looked_at import LOOKED_AT, entries_looked_at
from rotorkit.record.remembered import OUTCOMES, PARTS, Remembered, _rests_on
from rotorkit.sheets.base import Finding, Outcome, Sheet
from rotorkit.sheets.catalogue import sheet_type
from tests.record.bench import Bench

pytestmark = pytest.mark.skipif(os.name == "nt", reason="another cache folder there")


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setattr(kept.sys, "platform", "linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    return tmp_path / "cache" / "rotorkit" / OUTCOMES


@pytest.fixture
def bench(tmp_path: Path, cache: Path) -> Bench:
    (tmp_path / "a").mkdir()
    return Bench(tmp_path / "a")


@pytest.fixture
def worked(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The sheets that are worked from here on, by name."""
    names: list[str] = []
    plain = Sheet.work

    def work(self: Sheet, aircraft: Any) -> Outcome:
        names.append(type(self).name)
        return plain(self, aircraft)

    monkeypatch.setattr(Sheet, "work", work)
    return names


def status(bench: Bench, figures: bool = True) -> str:
    """All that `rotorkit status` prints, and what it says to another program, as a command that has just started."""
    workings = Workings(earlier=Remembered(), figures=figures)
    table, found = table_of(bench.folder, workings=workings), board(bench.folder, workings=workings)
    told = short_text(table, found)
    return told if figures else told + status_json(table, found)


def anew(bench: Bench) -> str:
    """The same, nothing being remembered."""
    table, found = table_of(bench.folder), board(bench.folder)
    return short_text(table, found) + status_json(table, found)


def test_what_is_taken_is_what_would_be_worked(bench: Bench, worked: list[str], cache: Path) -> None:
    bench.prepared(Bench.save_all)
    bench.read("tail_rotor_angles", "main_rotor_angles", "cyclic_first", "main_rotor_first_rigging", "corners")
    for system in ("us", "metric"):
        text = (bench.path / "aircraft.toml").read_text("utf-8")
        (bench.path / "aircraft.toml").write_text(text.replace('display = "us"', f'display = "{system}"'), "utf-8")
        assert bench.folder.aircraft.aircraft.display == system
        first = status(bench, figures=False)
        worked.clear()
        again = status(bench, figures=False)
        assert worked == []
        assert again == first == anew(bench)
    assert (cache.stat().st_mode & 0o077, cache.parent.stat().st_mode & 0o077) == (0, 0)
    assert not any(b"Demo" in one.read_bytes() for one in cache.iterdir()), "whose it is, nobody can tell from it"


def test_status_does_not_work_what_it_does_not_print(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    from rotorkit.sheets.rigging import cyclic_range, pitch_rigging

    bench.read("cyclic_first", "main_rotor_first_rigging")
    whole = anew(bench)

    def planned(*_: Any) -> Any:
        raise AssertionError("what to turn is not printed")

    with monkeypatch.context() as without:
        for sheet in (cyclic_range, pitch_rigging):
            without.setattr(sheet, "plan", planned)
        short = status(bench)
        assert short == status(bench)
    assert whole.startswith(short)
    assert status(bench, figures=False) == whole, "who shows more works it after all"
    assert "Turn" in whole.replace(short, "") or "turn" in whole.replace(short, "")


def test_a_changed_limit_instrument_or_figure_of_the_aircraft_is_seen(bench: Bench, worked: list[str]) -> None:
    bench.prepared(Bench.save_all)
    calm = status(bench)
    assert "pedal_left_tension" not in calm.split("IN LIMITS")[0]
    before = (bench.path / "aircraft.toml").read_text("utf-8")
    tables = tomllib.loads(before)
    gauge = tables["instruments"][bench.folder.check("pedal_left_tension").readings["gauge"]]
    for old, new in (
        ('high = "40 lb"', 'high = "31 lb"'),
        (f'uncertainty = "{gauge["uncertainty"]}" ', 'uncertainty = "9" '),
    ):
        worked.clear()
        bench.change(old, new)
        changed = status(bench)
        assert "cable_tension" in worked
        assert changed != calm
        assert "pedal_left_tension" in changed.split("IN LIMITS")[0], f"{old} became {new}"
        (bench.path / "aircraft.toml").write_text(before, "utf-8")
        assert status(bench) == calm, "and back again"


def test_every_text_of_the_aircraft_file_is_of_what_it_is_found_by(bench: Bench) -> None:
    given = bench.folder.aircraft.model_dump_json()
    leaves: list[str] = []

    def walk(value: Any) -> None:
        if isinstance(value, dict):
            for one in value.values():
                walk(one)
        elif isinstance(value, list):
            for one in value:
                walk(one)
        else:
            leaves.append(json.dumps(value if isinstance(value, bool) else str(value), ensure_ascii=False).strip('"'))

    walk(tomllib.loads((bench.path / "aircraft.toml").read_text("utf-8")))
    assert len(leaves) > 400
    assert [one for one in leaves if one.strip() and one not in given] == []


def test_what_did_not_look_at_what_was_changed_is_not_worked_again(bench: Bench, worked: list[str]) -> None:
    bench.save_all()
    status(bench)
    before = (bench.path / "aircraft.toml").read_text("utf-8")
    tables = tomllib.loads(before)
    in_hover = tables["performance"]["power_margin"]["low"]
    for old, new, sheets in (
        ('high = "40 lb"', 'high = "31 lb"', {"cable_tension"}),  # of a cable
        (f'power_margin = {{ low = "{in_hover}"', 'power_margin = { low = "9 hp"', {"hover_margin"}),
        ('[limits.rotor_track]\nspread = { high = "1/2 in"', '[limits.rotor_track]\nspread = { high = "3/4 in"', set()),
        ('name = "', 'name = "Another ', {check.sheet for check in bench.folder.checks}),  # and how all is shown
    ):
        bench.change(old, new)
        worked.clear()
        changed = status(bench)
        assert set(worked) == sheets
        assert changed in anew(bench), "as if nothing were known"
        (bench.path / "aircraft.toml").write_text(before, "utf-8")
        worked.clear()
        status(bench)
        assert worked == [], "and back again"


@pytest.mark.parametrize("system", ["us", "metric"])
def test_every_check_is_taken_as_it_was_worked(bench: Bench, system: str) -> None:
    """Whatever a face tells of an outcome but for its worked steps and pictures."""
    demo = Folder(demo_folder())
    identity = demo.aircraft.aircraft.model_copy(update={"display": system})
    aircraft, earlier = demo.aircraft.model_copy(update={"aircraft": identity}), Remembered()
    for check in demo.checks:
        sheet, looked_at = check.made(), LookedAt(aircraft)
        with clock.watched() as watch:
            outcome = sheet.work(looked_at.given)
        earlier.keep(sheet, looked_at, outcome, watch)
        taken = Remembered().find(check.made(), aircraft)
        assert taken is not None, check.name
        for one in fields(Outcome):
            if one.name not in ("findings", "steps", "pictures"):
                assert getattr(taken, one.name) == getattr(outcome, one.name), (check.name, one.name)
        assert (taken.word, taken.first, taken.to_do) == (outcome.word, outcome.first, outcome.to_do)
        assert [_told(one) for one in taken.findings] == [_told(one) for one in outcome.findings], check.name


def _told(found: Finding) -> Any:
    verdict, measured = found.verdict, found.verdict.measured
    return (
        *(found.key, found.row(), found.counted, found.aside, found.system, found.unit("us"), found.unit("metric")),
        *(verdict.sentence, verdict.settle, verdict.probability),
        *(float(measured.si), float(measured.standard_si), {origin.label for origin in measured.components}),
    )


def test_a_changed_reading_entry_or_draft_is_seen(bench: Bench, worked: list[str]) -> None:
    bench.prepared(Bench.save_all)
    status(bench)
    worked.clear()
    bench.save("pedal_left_tension", {"dial": "22"})
    worked.clear()
    assert "pedal_left_tension" in status(bench).split("IN LIMITS")[0]
    assert worked == ["cable_tension"], "the one that was saved, and no other"


def test_a_figure_altered_in_the_record_and_sealed_again_is_seen(bench: Bench) -> None:
    entry = bench.save_all()[0]
    status(bench)
    work = json.loads(json.dumps(entry.work))
    work["outcome"]["findings"][0]["figure"]["value"] *= 1.01
    bench.record.add(entry.check, work, bench.record.aircraft_text())
    found = board(bench.folder, workings=Workings(earlier=Remembered()))
    (row,) = {row.check: row for _, row in found.rows if row.check == entry.check}.values()
    assert row.word == "stale"
    assert row.causes[0].startswith("program changed"), "the same inputs give another figure than the entry holds"


def test_another_version_works_everything_anew(
    bench: Bench, worked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    status(bench)
    worked.clear()
    status(bench)
    assert worked == []
    with monkeypatch.context() as later:
        later.setattr("rotorkit.record.remembered.our_code", lambda: "another file of ours, or another NumPy")
        status(bench)
        assert len(worked) == len(bench.folder.checks)
    worked.clear()
    kind = sheet_type("cable_tension")
    monkeypatch.setattr(kind, "version", kind.version + 1)
    status(bench)
    assert set(worked) == {"cable_tension"}


def test_our_code_is_another_when_a_file_of_ours_is(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / "edges").mkdir()
    (tmp_path / "rooms").mkdir()
    formula = tmp_path / "rooms" / "formula.py"
    formula.write_text("a + b", "utf-8")
    monkeypatch.setattr(kept, "__file__", str(tmp_path / "edges" / "kept.py"))
    plain = kept.our_code.__wrapped__
    first = plain()
    assert plain() == first
    formula.write_text("a - b", "utf-8")  # as long as before
    os.utime(formula, ns=(1, 1))
    second = plain()
    assert second != first
    (tmp_path / "rooms" / "#formula.py").symlink_to(tmp_path / "gone")  # as an editor leaves one beside a file
    assert plain() == second
    monkeypatch.setattr(rotorkit, "__version__", "0.2.0")  # of files as long, and as old by what an archive says
    assert plain() != second


def test_a_calibration_that_runs_out_overnight_is_seen(
    bench: Bench, worked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    check, aircraft = bench.folder.check("pedal_left_tension"), bench.folder.aircraft
    first = Workings(earlier=Remembered()).outcome(check.made(), aircraft)
    due = aircraft.instruments[check.readings["gauge"]].due
    assert due is not None
    worked.clear()
    for day, new in ((due, False), (date(2031, 1, 1), True), (date(2031, 1, 2), False), (due, True)):
        monkeypatch.setattr(clock, "today", lambda day=day: day)
        found = Workings(earlier=Remembered()).outcome(check.made(), aircraft)
        assert (found.remarks == first.remarks) == (day == due)
        assert bool(worked) == new, f"{day}: the answer is the same until the due date is past"
        worked.clear()


def test_what_asks_for_the_day_itself_holds_for_that_day(
    bench: Bench, worked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    check, aircraft, earlier = bench.folder.check("pedal_left_tension"), bench.folder.aircraft, Remembered()
    sheet = check.made()
    looked_at = LookedAt(aircraft)
    with clock.watched() as watch:
        outcome = sheet.work(looked_at.given)
        assert (watch.asked, bool(watch.past)) == (False, True), "of the day only whether calibrations have run out"
        clock.now()
    assert watch.asked
    earlier.keep(sheet, looked_at, outcome, watch)
    assert earlier.find(sheet, aircraft) is not None
    monkeypatch.setattr(clock, "today", lambda: date(2026, 1, 2))
    assert earlier.find(sheet, aircraft) is None


@pytest.mark.parametrize(
    "spoil",
    [
        lambda text: text.replace(b'"value": ', b'"value": 1'),
        lambda text: text[: len(text) // 2],
        lambda text: b"",
        lambda text: b"\xff\xfe",
        lambda text: text.partition(b"\n")[2],
    ],
)
def test_what_is_damaged_is_worked_anew(
    bench: Bench, worked: list[str], cache: Path, spoil: Callable[[bytes], bytes]
) -> None:
    right = status(bench)
    for one in cache.iterdir():
        one.write_bytes(spoil(one.read_bytes()))
    worked.clear()
    assert status(bench) == right
    assert len(worked) == len(bench.folder.checks)


def test_what_stands_under_anothers_name_is_worked_anew(bench: Bench, worked: list[str], cache: Path) -> None:
    right = status(bench)
    one, other, *_ = sorted(cache.iterdir())
    one.write_bytes(other.read_bytes())
    worked.clear()
    assert status(bench) == right
    assert len(worked) == 1
    # and a text that is sealed well, and is of no outcome
    of = _rests_on(bench.folder.checks[0].made(), "whole")
    parts = json.loads(kept.remembered(PARTS, of) or "")
    kept.remember(OUTCOMES, Remembered()._key(of, parts, bench.folder.aircraft), '{"findings": 3}')
    assert status(bench) == right
    # and parts that are none
    for spoilt in ("", "3", '[["limits"]]', '[["no such", ""]]', '[["loading", 3]]', "[[3, 4]]", "null"):
        kept.remember(PARTS, of, spoilt)
        assert status(bench) == right


def test_what_is_not_whole_invented_or_made_without_text_is_not_kept(bench: Bench, cache: Path) -> None:
    earlier, aircraft = Remembered(), bench.folder.aircraft
    sheet = bench.folder.check("pedal_left_tension").made()
    looked_at = LookedAt(aircraft)
    with clock.watched() as watch:
        outcome = sheet.work(looked_at.given)
    earlier.keep(sheet.as_invented("for practice"), looked_at, outcome, watch)
    earlier.keep(sheet, looked_at, replace(outcome, unjudged=True), watch)
    typed: Any = sheet.temperature  # type: ignore[attr-defined]
    made = replace(typed, value=typed.value + typed.step * 20)  # another value than its text says
    by_hand = sheet.model_copy(update={"temperature": made})
    earlier.keep(by_hand, looked_at, by_hand.work(aircraft), watch)
    assert not cache.exists()
    assert earlier.find(sheet, aircraft) is None


def test_entries_that_were_looked_at_are_known_by_their_hash_alone(
    bench: Bench, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = bench.save(), bench.save("hover_today")
    looked: list[str] = []
    plain = shape._fault_in_work
    monkeypatch.setattr(shape, "_fault_in_work", lambda text, data: looked.append(text) or plain(text, data))

    def a_command(counts: int) -> list[str]:
        """What `verify` finds in a program that has just started."""
        monkeypatch.setattr(looked_at, "_RIGHT", set())
        looked.clear()
        with entries_looked_at():
            found = verify(bench.record).faults
        assert len(looked) == counts
        return found

    assert a_command(counts=2) == []
    assert a_command(counts=0) == []
    third = bench.save()
    assert a_command(counts=1) == [], "the new one, and no other"
    with sqlite3.connect(bench.record.path) as altered:
        for trigger in altered.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            altered.execute(f"DROP TRIGGER {trigger[0]}")
        altered.execute("UPDATE entry SET work = replace(work, 'A. Builder', 'B. Builder') WHERE number = 2")
    for entry in bench.record.entries():
        assert entry.fault or entry.first == entry.outcome.first
    assert any("entry 2" in fault for fault in a_command(counts=0)), "its seal tells that it is another"
    monkeypatch.setattr("rotorkit.record.looked_at.our_code", lambda: "another version")
    a_command(counts=2)
    for spoil in ("[3", "{}", '["", 4, null]', "3"):
        kept.remember(LOOKED_AT, "another version", spoil)
        a_command(counts=2)
    assert {first.number, second.number, third.number} == {1, 2, 3}


def test_where_nothing_can_be_kept_everything_is_worked(bench: Bench, cache: Path) -> None:
    cache.parent.mkdir(parents=True)
    cache.parent.chmod(0o777)
    assert status(bench) in anew(bench)
    assert not cache.exists()
