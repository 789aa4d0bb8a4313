"""Nothing is worked twice, and nothing is taken for what it is not: another reading, limit or day is worked anew."""

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from rotorkit.cli.verdict_table import table_of
from rotorkit.edges import clock
from rotorkit.folder.workings import MOST_AIRCRAFT, Workings
from rotorkit.notebook import home
from rotorkit.record import STALE, board, verify
from rotorkit.record.snapshot import aircraft_of
from rotorkit.sheets.base import Outcome, Sheet, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.record.bench import Bench


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path)


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


def test_whatever_a_working_rests_on_makes_it_another(
    bench: Bench, worked: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    kept, check, aircraft = Workings(), bench.folder.check("pedal_left_tension"), bench.folder.aircraft
    first = kept.outcome(check.made(), aircraft)
    assert kept.outcome(check.made(), aircraft_of(bench.record.aircraft_text())) is first, "the same file read again"
    assert len(worked) == 1

    other = type(check.made()).from_readings({**check.readings, "temperature": "61 °F"})
    assert kept.outcome(other, aircraft) is not first
    bench.change('high = "40 lb"', 'high = "39 lb"')
    changed = kept.outcome(check.made(), bench.folder.aircraft)
    assert [f.verdict.limit.text for f in changed.findings if f.verdict.limit] != [
        f.verdict.limit.text for f in first.findings if f.verdict.limit
    ]
    monkeypatch.setattr(clock, "today", lambda: date(2031, 1, 1))
    later = kept.outcome(check.made(), aircraft)
    assert later.remarks != first.remarks, "the gauge's calibration has run out by then"
    assert len(worked) == 4


def test_an_aircraft_that_somebody_changed_in_place_is_another(bench: Bench, worked: list[str]) -> None:
    kept, check, aircraft = Workings(), bench.folder.check("hover_today"), bench.folder.aircraft
    before = kept.outcome(check.made(), aircraft)
    aircraft.limits["hover_margin"] = {}
    kept.outcome(check.made(), aircraft)
    assert len(worked) == 2
    assert kept.outcome(check.made(), bench.folder.aircraft) is before


def test_a_fault_is_told_each_time_and_not_kept(bench: Bench, worked: list[str]) -> None:
    kept = Workings()
    readings = {**bench.folder.check("pedal_left_tension").readings, "cable": "no such cable"}
    sheet = sheet_type("cable_tension").from_readings(readings)
    for _ in range(2):
        with pytest.raises(SheetError):
            kept.outcome(sheet, bench.folder.aircraft)
    assert len(worked) == 2


def test_it_stays_small(bench: Bench, worked: list[str]) -> None:
    kept, check, aircraft = Workings(most=2), bench.folder.check("pedal_left_tension"), bench.folder.aircraft
    made = [type(check.made()).from_readings({**check.readings, "temperature": f"{at} °F"}) for at in (50, 60, 70)]
    for sheet in (*made, made[2], made[1], made[0]):  # the first is gone by then
        kept.outcome(sheet, aircraft)
    assert len(worked) == 4
    for _ in range(2 * MOST_AIRCRAFT):
        bench.change("[aircraft]", "[aircraft]\n# changed")
        kept.outcome(made[0], bench.folder.aircraft)
    assert len(worked) == 4, "a comment is no other aircraft"


def test_table_and_board_work_each_check_once(bench: Bench, worked: list[str]) -> None:
    bench.prepared(Bench.save_all)
    alone = table_of(bench.folder), board(bench.folder)
    worked.clear()
    kept = Workings()
    together = table_of(bench.folder, workings=kept), board(bench.folder, workings=kept)
    assert len(worked) == len(bench.folder.checks)
    assert together[0] == alone[0]
    assert [(row.job, row.sentence, row.todo) for _, row in together[1].rows] == [
        (row.job, row.sentence, row.todo) for _, row in alone[1].rows
    ]


def test_home_works_only_what_was_saved_since(bench: Bench, worked: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(home, "WORKINGS", Workings())
    bench.prepared(Bench.save_all)
    page = home.home_page(bench.path)
    before = page.shown.value
    bench.save("pedal_left_tension", {"temperature": "61 °F"})
    worked.clear()
    assert page.look()
    assert worked == ["cable_tension"]
    assert page.shown.value != before
    bench.change('high = "40 lb"', 'high = "30 lb"')
    assert page.look()
    assert "out of limits" in page.shown.value


def test_home_reads_no_more_entries_than_it_shows(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    for number in range(home.MOST_LISTED + 3):
        entry = bench.save()
        bench.record.add(f"tension_{number}", entry.work, bench.record.aircraft_text())
    read: list[int] = []
    plain = type(bench.record).entry
    monkeypatch.setattr(type(bench.record), "entry", lambda self, number: read.append(number) or plain(self, number))
    standing, more = home.standings_in_part(bench.folder, home.MOST_LISTED)
    # two tensions of the readings file come first
    assert [one.check for one in standing.values() if one.sheet == "cable_tension"] == [
        "pedal_left_tension", "pedal_right_tension", *(f"tension_{n}" for n in range(home.MOST_LISTED - 2)),
    ]  # fmt: skip
    assert more == {"cable_tension": 5}
    assert len(read) == home.MOST_LISTED - 1, "one of those shown was never saved"
    assert "and 5 more, in the list at the form" in home.home_html(bench.folder)


def test_one_text_is_read_once_and_each_has_tables_of_its_own(bench: Bench) -> None:
    bench.prepared(Bench.save_all)
    folder, text = bench.folder, bench.record.aircraft_text()
    one, other = folder.aircraft, aircraft_of(text)
    assert one == other
    assert one is not other
    assert one.main_rotor is not other.main_rotor
    assert one.limits is not other.limits
    assert one.main_rotor.radius is other.main_rotor.radius, "one text, one reading of it"

    kept, check = Workings(), folder.check("pedal_left_tension")
    before = kept.outcome(check.made(), one)
    assert kept.outcome(check.made(), other) is before
    gauge = next(iter(one.instruments.values()))
    was, gauge.serial = gauge.serial, "another"
    assert kept.outcome(check.made(), one) is not before, "changed in place, within a table of a table"
    assert other == aircraft_of(text) == bench.folder.aircraft, "and in nobody else's"
    gauge.serial = was
    assert kept.outcome(check.made(), one) is before


def test_a_figure_altered_and_sealed_again_shows_by_working_it_alone(bench: Bench) -> None:
    work = json.loads(json.dumps(bench.save("pedal_left_tension").work))
    work["outcome"]["findings"][0]["figure"]["value"] *= 1.03
    bench.record.add("pedal_left_tension", work, bench.record.aircraft_text())
    assert not verify(bench.record).faults, "seal and chain are right"
    row = next(row for _, row in board(bench.folder, workings=Workings()).rows if row.check == "pedal_left_tension")
    assert row.word == STALE
    assert "the same inputs gave a different figure" in row.sentence
