"""The status board: each job's word, why, and what comes next."""

import json
import sys
from datetime import date

import pytest

from rotorkit.cli.record_text import board_text, entry_text, jobs_text
from rotorkit.cli.status_json import status_json
from rotorkit.cli.status_text import short_text
from rotorkit.cli.verdict_table import check_text, table_of
from rotorkit.notebook.home import home_html
from rotorkit.record import NEVER_DONE, STALE, Board, BoardRow, board, recheck
from tests.record.bench import TODAY, Bench


def seen(bench: Bench, today: date = TODAY) -> Board:
    return board(bench.folder, bench.record, today=today)


def row(found: Board, job: str) -> BoardRow:
    return next(row for _, row in found.rows if job in row.job)


def test_before_anything_is_saved(bench: Bench) -> None:
    found = seen(bench)
    assert found.usual
    assert [milestone.title for milestone in found.milestones] == [
        "First engine run",
        "First rotor turn",
        "First hover",
        "First flight out of ground effect",
        "End of the test phase",
    ]
    assert {row.word for _, row in found.rows} == {NEVER_DONE}
    assert all(row.why for _, row in found.rows)
    first = row(found, "Tail rotor")
    assert (first.check, first.sheet, first.todo) == ("tail_rotor_angles", "blade_angles", first.todo)
    assert first.todo == "open it, look its readings over, and save it", "they wait in the readings file"
    assert first.notes == ("its readings are in the readings file, but not saved to the record",)
    assert found.sentence.startswith("Next: First engine run: 10 of 10 jobs need work (")
    assert not bench.record.path.exists()


def test_every_word(bench: Bench) -> None:
    bench.save("main_rotor_angles")
    bench.save("tail_rotor_angles")
    bench.save("pedal_left_tension")
    found = seen(bench)
    assert row(found, "Main rotor").word == "out of limits"
    assert row(found, "Main rotor").todo
    assert row(found, "Tail rotor").word == "too close to call"
    assert row(found, "Tail rotor").todo.startswith("Set pitch links and stops as the manual says")
    assert " Blade B, high stop: the figure lies 0.20° inside" in row(found, "Tail rotor").todo
    assert row(found, "left pedal").word == "in limits"
    assert row(found, "left pedal").done
    assert row(found, "left pedal").todo == ""
    told = " ".join(entry_text(bench.record, 3).split())
    assert "What to do" in told  # the sheet's own sentence, as it was saved
    assert "At today's 58 °F the gauge should show 23.7 to 29.7 on its dial." in told
    (worked,) = table_of(bench.folder, only="pedal_left_tension").checks
    assert worked.to_do in told
    assert f"What to do: {worked.to_do}" in " ".join(check_text([worked]).split())
    assert row(found, "right pedal").word == NEVER_DONE
    assert row(found, "left pedal").sentence == "in limits (entry 3, 2026-06-01)"


def test_no_limit_given(bench: Bench) -> None:
    bench.change(
        '[cables.pedal_left.limits]\ntension = { low = "30 lb", high = "40 lb", source = "demo manual 7-12" }',
        "[cables.pedal_left.limits]",
    )
    bench.save("pedal_left_tension")
    found = row(seen(bench), "left pedal")
    assert found.word == "no limit given"
    assert not found.done
    assert "manual's page" in found.todo
    assert "no limit given for" in found.notes[0]


def test_what_is_still_to_be_done_is_no_want_of_a_limit(bench: Bench) -> None:
    bench.read("corners")
    bench.save("corners")
    found = row(seen(bench), "Corners")
    assert found.word == "no verdict yet"
    assert found.todo.startswith("Not done yet: collective high stop, cyclic fore and aft full aft, ")
    assert found.notes[0].startswith("no verdict yet on Corners tried")


def test_stale_with_its_cause(bench: Bench) -> None:
    bench.save("pedal_left_tension")
    bench.change(
        '[cables.pedal_left.limits]\ntension = { low = "30 lb"', '[cables.pedal_left.limits]\ntension = { low = "29 lb"'
    )
    found = row(seen(bench), "left pedal")
    assert (found.word, found.verdict) == (STALE, "in limits")
    assert not found.done
    assert found.sentence.startswith(
        "stale (entry 1, 2026-06-01, in limits when saved): limits changed: [cables.pedal_left.limits] tension was low "
        "30 lb"
    )
    assert found.todo


def test_a_comment_is_not_stale(bench: Bench) -> None:
    bench.save("pedal_left_tension")
    bench.change("# The demo aircraft", "# Our aircraft")
    assert row(seen(bench), "left pedal").word == "in limits"


def test_saved_again_it_stands(bench: Bench) -> None:
    bench.save("pedal_left_tension")
    bench.change('uncertainty = "2 °F"', 'uncertainty = "3 °F"')
    assert row(seen(bench), "left pedal").word == STALE
    bench.save("pedal_left_tension")
    assert row(seen(bench), "left pedal").word == "in limits"


def test_the_latest_of_several_checks_of_one_thing_counts(bench: Bench) -> None:
    check = bench.folder.check("pedal_right_tension")
    bench.save("pedal_right_tension")
    sheet = type(check.made()).from_readings({**check.readings, "dial": "28; 28; 28"})
    text, aircraft = bench.record.aircraft_text(), bench.folder.aircraft
    bench.record.save("after_tightening", sheet, sheet.work(aircraft), text, "A. Builder", title="Right, tightened")
    found = row(seen(bench), "Right, tightened")
    assert (found.word, found.check) == ("in limits", "after_tightening")
    bench.save("pedal_right_tension", replaces=1, why="mistyped")  # a correction does not make old work newer
    assert row(seen(bench), "Right, tightened").word == "in limits"


OWN = """
[[milestones]]
title = "Blades on"
reached = 2026-05-01
needs = [{ check = "tail_rotor_angles", why = "they were off for painting" }]

[[milestones]]
title = "Run-up"
needs = [
    { check = "pedal_left_tension", why = "a slack cable wanders" },
    { sheet = "hover_margin", why = "to know the day" },
    { check = "torque_of_the_mast_nut", why = "the manual says so" },
    { sheet = "blade_angles", of = "tail rotor", why = "again" },
]
"""


def test_milestones_of_the_aircraft_file(bench: Bench) -> None:
    file = bench.path / "aircraft.toml"
    file.write_text(file.read_text(encoding="utf-8") + OWN, encoding="utf-8")
    bench.save("pedal_left_tension")
    found = seen(bench)
    assert not found.usual
    assert [milestone.title for milestone in found.milestones] == ["Blades on", "Run-up"]
    assert found.milestones[0].sentence == "Blades on: reached on 2026-05-01"
    assert found.next is found.milestones[1]
    assert found.next.sentence == "Run-up: 3 of 4 jobs need work"
    unknown = row(found, "torque of the mast nut")
    assert unknown.word == NEVER_DONE
    assert "no check is called torque_of_the_mast_nut yet" in unknown.notes[0]
    assert [row.why for row in found.next.rows] == [
        "a slack cable wanders",
        "to know the day",
        "the manual says so",
        "again",
    ]


def test_a_sheet_that_does_not_exist_is_told(bench: Bench) -> None:
    file = bench.path / "aircraft.toml"
    own = '\n[[milestones]]\ntitle = "x"\nneeds = [{ sheet = "blade_angels", why = "y" }]\n'
    file.write_text(file.read_text(encoding="utf-8") + own, encoding="utf-8")
    ((_, only),) = seen(bench).rows
    assert only.word == NEVER_DONE
    assert "no sheet is called 'blade_angels'" in only.notes[0]


def test_every_job_done(bench: Bench) -> None:
    file = bench.path / "aircraft.toml"
    own = '\n[[milestones]]\ntitle = "x"\nneeds = [{ check = "pedal_left_tension", why = "y" }]\n'
    file.write_text(file.read_text(encoding="utf-8") + own, encoding="utf-8")
    bench.save("pedal_left_tension")
    assert seen(bench).sentence == "Next: x: the jobs listed here are in limits; the manual's own list still applies."
    bench.change('title = "x"', 'title = "x"\nreached = 2026-05-30')
    assert seen(bench).sentence == "Every milestone has been reached."


def test_without_a_readings_file(bench: Bench) -> None:
    (bench.path / "readings.toml").unlink()
    found = seen(bench)
    cable = row(found, "Anti-torque cable, left pedal")
    assert cable.job == "Cable tension: Anti-torque cable, left pedal"
    assert (cable.check, cable.sheet, cable.notes) == ("", "cable_tension", ())


def test_a_saved_check_of_no_milestone_is_told_where_it_is_out_of_limits_or_stale(bench: Bench) -> None:
    own = '[[milestones]]\ntitle = "Run-up"\nneeds = [{ check = "tail_rotor_angles", why = "the pedals" }]\n'
    file = bench.path / "aircraft.toml"
    file.write_text(f"{file.read_text(encoding='utf-8')}\n{own}", encoding="utf-8")
    bench.save("tail_rotor_angles")
    bench.save("pedal_left_tension")
    assert (seen(bench).besides, seen(bench).stale) == ((), [])
    bench.save("main_rotor_angles")
    (out,) = seen(bench).besides
    assert (out.check, out.word) == ("main_rotor_angles", "out of limits")
    assert "Main rotor" in out.job
    bench.change(
        '[cables.pedal_left.limits]\ntension = { low = "30 lb"', '[cables.pedal_left.limits]\ntension = { low = "29 lb"'
    )
    (bench.path / "readings.toml").unlink()  # the record alone knows it then
    found = seen(bench)
    assert {row.check: row.word for row in found.besides} == {
        "main_rotor_angles": "out of limits", "pedal_left_tension": STALE,
    }  # fmt: skip
    assert found.stale == ["pedal_left_tension"]
    told = short_text(table_of(bench.folder), found)
    assert "No longer stands as saved: pedal_left_tension." in told
    whole = " ".join(board_text(found).split())
    assert "Anti-torque cable, left pedal: stale (entry 2," in whole
    assert "limits changed: [cables.pedal_left.limits] tension was low 30 lb" in whole
    assert "stale (entry 2," in jobs_text(found, "pedal_left_tension")
    assert [job["check"] for job in json.loads(status_json(table_of(bench.folder), found))["besides"]] == [
        row.check for row in found.besides
    ]
    assert "Out of limits, or to be looked at again" in home_html(bench.folder)


@pytest.mark.parametrize("today", [date(2026, 6, 1), date(2030, 1, 1)])
def test_progress_is_told(bench: Bench, today: date) -> None:
    bench.prepared(Bench.save_all)
    told: list[tuple[int, int]] = []
    board(bench.folder, bench.record, today=today, progress=lambda done, of: told.append((done, of)))
    assert told == [(n, 5) for n in range(1, 6)]


def test_what_a_recheck_has_found_is_not_worked_twice(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.prepared(Bench.save_all)
    bench.change('high = "40 lb"', 'high = "39 lb"')
    again = recheck(bench.folder, bench.record, today=TODAY)
    before = board(bench.folder, bench.record, today=TODAY)

    def worked(*_: object) -> None:
        raise AssertionError("worked again")

    monkeypatch.setattr(sys.modules["rotorkit.record.board"], "rework", worked)
    assert board(bench.folder, bench.record, today=TODAY, reworks=again.reworks) == before


def test_a_job_is_of_what_the_aircraft_file_calls_it(bench: Bench) -> None:
    jobs = {row.job for _, row in board(bench.folder, bench.record).rows}
    for key, title in (("tail_drive", "Tail-rotor drive shaft"), ("jackshaft_front", "Jackshaft, front bearing")):
        assert any(job.endswith(f": {title}") for job in jobs)
        assert not any(job.endswith(f": {key}") for job in jobs)
