"""Saved checks worked again: what moved, and by whose doing."""

from collections.abc import Callable
from datetime import date

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import measured
from rotorkit.quantities import Length
from rotorkit.record import RecordError, recheck
from rotorkit.record.moves import besides, moves
from rotorkit.record.rework import AIRCRAFT, ALTERED, CANNOT, INSTRUMENT, LIMITS, OVERDUE, PROGRAM, SHEET
from rotorkit.sheets import BladeAngles, CableTension, Outcome
from rotorkit.sheets.base import Finding
from tests.record.bench import TODAY, Bench
from tests.record.test_verify import tamper


def causes(bench: Bench, today: date = TODAY) -> dict[str, list[str]]:
    """By check, the causes in words."""
    found = recheck(bench.folder, bench.record, today=today)
    return {
        again.entry.check: [f"{cause.word}: {cause.sentence}" for cause in again.causes]
        for again in found.reworks
        if again.stale
    }


def moved(bench: Bench, today: date = TODAY) -> set[tuple[str, str, str]]:
    """(check, what moved, kind of cause)."""
    return {
        (row.entry.check, row.what, row.word)
        for row in recheck(bench.folder, bench.record, today=today).rows
        if row.what
    }


def test_nothing_changed(bench: Bench) -> None:
    bench.prepared(Bench.save_all)
    found = recheck(bench.folder, bench.record, today=TODAY)
    assert found.rows == []
    assert found.sentence == "5 entries were worked again: every figure and verdict stands."


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("# The demo aircraft: invented", "# Invented"),
        ('radius = "11 ft 8 in" ', 'radius = "140 in" '),
        ('name = "Demo two-seater"', 'name = "Demo three"'),
        ('display = "us"', 'display = "metric"'),
        ('title = "Digital protractor"', 'title = "Protractor"'),
        ('maximum = "1,310 lb"', 'maximum = "1310 lb"'),
        ('source = "demo manual 7-12"', 'source = "demo manual, revision 2, 7-12"'),
        ('low = "30 lb"', 'low = "30.0 lbf"'),
        ("calibrated = 2026-04-12\ndue = 2027-04-12", "calibrated = 2026-04-12\ndue = 2027-06-12"),
        ("[weights]", '[[milestones]]\ntitle = "x"\nneeds = [{check = "y", why = "z"}]\n[weights]'),
    ],
)
def test_a_change_of_the_file_on_which_nothing_rests_is_no_staleness(bench: Bench, old: str, new: str) -> None:
    bench.prepared(Bench.save_all)
    bench.change(old, new)
    assert causes(bench) == {}


def test_a_changed_limit(bench: Bench) -> None:
    bench.prepared(Bench.save_all)
    bench.change(
        '[cables.pedal_left.limits]\ntension = { low = "30 lb"',
        '[cables.pedal_left.limits]\ntension = { low = "39.5 lb"',
    )
    assert causes(bench) == {
        "pedal_left_tension": [
            "limits changed: [cables.pedal_left.limits] tension was low 30 lb, high 40 lb (demo manual 7-12), now low "
            "39.5 lb, "
            "high 40 lb (demo manual 7-12)"
        ]
    }
    assert moved(bench) >= {("pedal_left_tension", "limit", LIMITS), ("pedal_left_tension", "verdict", LIMITS)}
    row = next(row for row in recheck(bench.folder, bench.record, today=TODAY).rows if row.what == "verdict")
    assert (row.was, row.now) == ("in limits", "out of limits")
    assert row.cells[:3] == ("3", "pedal_left_tension", f"{row.figure}: verdict")


def test_a_limit_taken_away(bench: Bench) -> None:
    bench.save("pedal_left_tension")
    bench.change(
        '[cables.pedal_left.limits]\ntension = { low = "30 lb", high = "40 lb", source = "demo manual 7-12" }',
        "[cables.pedal_left.limits]",
    )
    (cause,) = causes(bench)["pedal_left_tension"]
    assert cause.endswith("now not given")
    assert cause.startswith(LIMITS)


def test_a_source_alone_is_told_as_a_note(bench: Bench) -> None:
    bench.save("pedal_left_tension")
    bench.change('source = "demo manual 7-12"', 'source = "demo manual, revision 2, 7-12"')
    (again,) = recheck(bench.folder, bench.record, today=TODAY).reworks
    assert not again.stale
    assert any("limit's source was demo manual 7-12, now demo manual, revision 2, 7-12" in note for note in again.notes)


def test_what_a_reader_cannot_see_of_an_uncertainty_is_told_as_a_note(bench: Bench) -> None:
    """A ± that says the same in the digits that are shown leaves the entry standing; one digit more does not."""
    bench.save("hover_today")
    bench.change('rated_power = "138 ± 3 hp"', 'rated_power = "138 ± 3.0001 hp"')
    (again,) = recheck(bench.folder, bench.record, today=TODAY).reworks
    assert not again.stale
    assert any(note.startswith("the uncertainty differs only in digits that are not shown: ") for note in again.notes)
    bench.change('rated_power = "138 ± 3.0001 hp"', 'rated_power = "138 ± 3.2 hp"')
    assert ("hover_today", "uncertainty", AIRCRAFT) in moved(bench)


def test_a_figure_told_today_alone_and_without_a_limit_is_no_change() -> None:
    open_ended, floor = Limit("gap", Length), Limit("gap", Length, "0 in", source="manual 3")
    saved = [Finding("span", "Span", open_ended.judge(measured("1.0 ± 0.1 in", Length, "rule")))]
    free, judged = (
        Finding("gap", "Gap", side.judge(measured("0.2 ± 0.1 in", Length, "rule"))) for side in (open_ended, floor)
    )
    assert moves(saved, [*saved, free]) == []
    assert besides(saved, [*saved, free]) == ["also shown today, without a limit: Gap"]
    assert [move.what for move in moves(saved, [*saved, judged])] == ["new"]
    assert besides(saved, [*saved, judged]) == []


def test_a_changed_value_that_one_sheet_uses(bench: Bench) -> None:
    bench.prepared(Bench.save_all)
    bench.change('rated_power = "138 ± 3 hp"', 'rated_power = "129 ± 3 hp"')
    found = causes(bench)
    assert list(found) == ["hover_today"]
    assert found["hover_today"] == ["aircraft file changed: [engine] rated_power was 138 ± 3 hp, now 129 ± 3 hp"]
    assert ("hover_today", "figure", AIRCRAFT) in moved(bench)


def test_two_changes_are_told_apart(bench: Bench) -> None:
    bench.save("tail_rotor_angles")
    bench.change('high_stop = { low = "26 deg"', 'high_stop = { low = "25 deg"')
    bench.change('uncertainty = "0.2 deg"', 'uncertainty = "0.4 deg"')
    bench.change('chord = "4 3/4 in"', 'chord = "5 in"')  # no blade angle rests on it
    assert moved(bench) >= {("tail_rotor_angles", "limit", LIMITS), ("tail_rotor_angles", "uncertainty", INSTRUMENT)}
    assert not any(word == AIRCRAFT for _, _, word in moved(bench))
    assert causes(bench)["tail_rotor_angles"] == [
        "instrument changed: Digital protractor: its uncertainty was 0.2 deg, now 0.4 deg",
        "limits changed: [tail_rotor.limits] high_stop was low 26 deg, high 28 deg (demo manual 7-9), now low 25 deg, "
        "high 28 deg (demo manual 7-9)",
    ]


def test_values_that_only_fit_together(bench: Bench) -> None:
    """Turning both signs round leaves the angles as they are; turning one turns them."""
    bench.save("tail_rotor_angles")
    away, toward = "leading edge away from the tail boom", "leading edge toward the tail boom"
    bench.change(f'protractor_reads_positive = "{away}"', f'protractor_reads_positive = "{toward}"')
    (cause,) = causes(bench)["tail_rotor_angles"]
    assert cause == f"aircraft file changed: [tail_rotor] protractor_reads_positive was {away}, now {toward}"
    bench.change(f'positive_blade_angle = "{away}"', f'positive_blade_angle = "{toward}"')
    assert not any(what == "figure" for _, what, _ in moved(bench))


def save_two(bench: Bench) -> None:
    bench.save("pedal_left_tension")
    bench.save("hover_today")


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('serial = "G-41"', 'serial = "G-42"', "Cable tension gauge: its serial number was G-41, now G-42"),
        ("calibrated = 2026-02-20", "calibrated = 2026-05-20", "was calibrated 2026-02-20 when this was saved"),
        ("[instruments.tension_gauge]", "[instruments.gauge]", CANNOT),
        ('[31, "38 lb"]', '[31, "39 lb"]', "Cable tension gauge: its calibration table changed"),
        ('uncertainty = "2 °F"', 'uncertainty = "4 °F"', "Hangar thermometer: its uncertainty was 2 °F, now 4 °F"),
    ],
)  # fmt: skip
def test_an_instrument_that_changed(bench: Bench, old: str, new: str, said: str) -> None:
    bench.prepared(save_two)
    bench.change(old, new)
    if "gauge]" in old:
        bench.change("[[instruments.tension_gauge.tables]]", "[[instruments.gauge.tables]]")
    found = causes(bench)
    assert any(said in cause for cause in found["pedal_left_tension"]), found
    assert ("hover_today" in found) == ("°F" in old)


def test_a_typed_uncertainty_does_not_rest_on_the_instruments(bench: Bench) -> None:
    bench.save("hover_today", {"gross_weight": "1,255 ± 5 lb"})
    bench.change('uncertainty = "0.5 %"', 'uncertainty = "1 %"')
    (again,) = recheck(bench.folder, bench.record, today=TODAY).reworks
    assert not again.stale
    assert again.notes == ["Three floor scales: its uncertainty was 0.5 %, now 1 %; no figure moved"]


def test_a_calibration_that_ran_out(bench: Bench) -> None:
    bench.save("pedal_left_tension")
    assert causes(bench, date(2027, 2, 20)) == {}
    assert causes(bench, date(2027, 2, 21)) == {
        "pedal_left_tension": [f"{OVERDUE}: the calibration of Cable tension gauge has been due since 2027-02-20"]
    }


def test_a_calibration_that_had_run_out_already(bench: Bench) -> None:
    bench.change("due = 2027-02-20", "due = 2026-05-20")
    bench.save("pedal_left_tension")
    assert causes(bench) == {
        "pedal_left_tension": [
            f"{OVERDUE}: the calibration of Cable tension gauge was due on 2026-05-20, before this was saved"
        ]
    }


def test_a_cable_that_is_gone(bench: Bench) -> None:
    bench.save("pedal_right_tension")
    bench.change("[cables.pedal_right", "[cables.right")
    (cause,) = causes(bench)["pedal_right_tension"]
    assert cause.startswith(f"{CANNOT}: ")
    assert "pedal_right" in cause


def test_the_programs_own_doing(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.save("tail_rotor_angles")
    bench.save("pedal_left_tension")
    true = CableTension.work

    def wrong(self: CableTension, aircraft: Aircraft) -> Outcome:
        from dataclasses import replace

        outcome = true(self, aircraft)
        first, *rest = outcome.findings
        verdict = first.verdict.limit.judge(first.measured * 1.1)  # type: ignore[union-attr]
        return replace(outcome, findings=[replace(first, verdict=verdict), *rest])

    monkeypatch.setattr(CableTension, "work", wrong)
    assert causes(bench) == {
        "pedal_left_tension": ["program changed: the same inputs gave a different figure with rotorkit 0.1.0"]
    }
    assert ("pedal_left_tension", "figure", PROGRAM) in moved(bench)
    bench.change(
        '[cables.pedal_left.limits]\ntension = { low = "30 lb"', '[cables.pedal_left.limits]\ntension = { low = "39 lb"'
    )
    words = {(what, word) for _, what, word in moved(bench)}
    assert {("figure", PROGRAM), ("limit", LIMITS)} <= words


def test_a_newer_sheet(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.save("tail_rotor_angles")
    monkeypatch.setattr(BladeAngles, "version", 2)
    (cause,) = causes(bench)["tail_rotor_angles"]
    assert cause == f"{SHEET}: the sheet blade_angles is version 2 now, this was worked with version 1"


def test_a_sheet_that_fails_does_not_hide_the_others(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    bench.prepared(Bench.save_all)

    def broken(self: CableTension, aircraft: Aircraft) -> Outcome:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(CableTension, "work", broken)
    found = causes(bench)
    assert set(found) == {"pedal_left_tension", "pedal_right_tension"}
    assert found["pedal_left_tension"] == [f"{CANNOT}: the sheet failed: ZeroDivisionError: division by zero"]


def test_a_sheet_that_is_gone(bench: Bench) -> None:
    from rotorkit.sheets import Sheet

    bench.save("tail_rotor_angles")
    kept: dict[str, type[Sheet]] = dict(Sheet.kinds)
    try:
        del Sheet.kinds["blade_angles"]
        (cause,) = causes(bench)["tail_rotor_angles"]
    finally:
        Sheet.kinds.clear()
        Sheet.kinds.update(kept)
    assert cause.startswith(f"{CANNOT}: this sheet no longer exists")


def test_an_altered_entry(bench: Bench) -> None:
    bench.save("pedal_right_tension")
    tamper(bench.record.path, "UPDATE entry SET work = replace(work, 'out of limits', 'in limits')")
    (cause,) = causes(bench)["pedal_right_tension"]
    assert cause.startswith(f"{ALTERED}: ")


def test_the_latest_of_each_check_or_every_entry(bench: Bench) -> None:
    bench.save(changed={"dial": "40; 40; 40"})
    bench.save()
    bench.save("hover_today")
    assert [again.entry.number for again in recheck(bench.folder, bench.record, today=TODAY).reworks] == [2, 3]
    seen: list[tuple[int, int]] = []
    tell: Callable[[int, int], None] = lambda done, of: seen.append((done, of))  # noqa: E731
    every = recheck(bench.folder, bench.record, everything=True, today=TODAY, progress=tell)
    assert [again.entry.number for again in every.reworks] == [1, 2, 3]
    assert seen == [(1, 3), (2, 3), (3, 3)]


def test_nothing_to_do_and_nothing_to_read(bench: Bench) -> None:
    assert recheck(bench.folder, bench.record).sentence == "The record has no entry to work out again."
    bench.save()
    (bench.path / "aircraft.toml").write_text("[aircraft\n")
    with pytest.raises(RecordError, match="aircraft file cannot be read"):
        recheck(bench.folder, bench.record)
