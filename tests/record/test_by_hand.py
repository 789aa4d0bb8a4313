"""Figures worked by hand: kept with the entry as typed, judged when it is saved, shown wherever the entry is."""

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from rotorkit.cli import app
from rotorkit.cli.record_text import entry_text
from rotorkit.dossier.check_pages import CheckPages, check_blocks
from rotorkit.dossier.worksheet import jobs_of, worksheet_data
from rotorkit.edges import clock
from rotorkit.judging.agreement import AGREES, DIFFERS, DIFFERS_LITTLE, WITHIN_READINGS
from rotorkit.notebook import open_form
from rotorkit.record import RecordError, verify
from rotorkit.record.by_hand import by_hand_of
from rotorkit.record.chain import canonical
from rotorkit.record.looked_at import fault_in
from rotorkit.record.shape import _WorkedByHand
from rotorkit.record.spreadsheet import csv_text
from tests.record.bench import Bench

CHECK = "pedal_left_tension"


def keys(bench: Bench) -> tuple[str, str]:
    """A figure of the check and what it comes to, in pounds, by its own outcome."""
    found = next(one for one in bench.folder.check(CHECK).outcome(bench.folder.aircraft).findings if not one.counted)
    return found.key, f"{float(found.measured.si) / 4.4482216152605:.2f}"


def test_a_hand_figure_is_kept_as_typed_and_judged_against_what_is_saved(bench: Bench) -> None:
    key, right = keys(bench)
    entry = bench.save(by_hand={key: f"{right} lb"})
    (kept,) = entry.by_hand
    assert (kept.key, kept.typed, kept.word, kept.good) == (key, f"{right} lb", AGREES, True)
    assert kept.day == f"{entry.local:%Y-%m-%d}"
    assert right in kept.sentence
    assert verify(bench.record).whole
    assert bench.save().by_hand == [], "work of its own"
    wrong = bench.save(by_hand={key: f"{2 * float(right):.1f}"})  # a bare number is in the unit that is shown
    assert (wrong.by_hand[0].word, wrong.by_hand[0].understood) == (DIFFERS, f"{2 * float(right):.1f} lbf")
    assert "worked by hand" not in entry_text(bench.record, 2).lower()
    told = " ".join(entry_text(bench.record, 1).split())
    assert f"{kept.title}: {right} lb: agrees" in told
    rows = csv_text(bench.record).splitlines()
    assert rows[0].endswith('hash,by hand,"by hand, judged","by hand, day"')
    assert any(f"{right} lb,{AGREES}" in row for row in rows)
    assert "by_hand" not in json.loads(bench.record.entry(2).sealed.work), "an entry without one is as it always was"


def test_what_an_earlier_entry_judged_to_agree_stays_so() -> None:
    """The word of before, that agreed within the ± of the readings, is read and told as it was judged."""
    plain = {"key": "k", "title": "T", "typed": "1 lb", "understood": "1 lb", "sentence": "s", "day": "2026-11-30"}
    (kept,) = by_hand_of({"by_hand": [plain | {"word": WITHIN_READINGS}]})
    assert kept.good
    assert _WorkedByHand.model_validate(kept.plain()).word == WITHIN_READINGS
    (kept,) = by_hand_of({"by_hand": [plain | {"word": DIFFERS_LITTLE}]})
    assert not kept.good
    assert _WorkedByHand.model_validate(kept.plain()).word == DIFFERS_LITTLE


def test_a_correction_keeps_it_where_the_figure_is_the_same(bench: Bench, tmp_path: Path) -> None:
    key, right = keys(bench)
    first = bench.save(by_hand={key: f"{right} lb"})
    note = bench.save(note="the cable's tag is yellow", replaces=1, why="a note was lacking")
    assert note.by_hand == first.by_hand
    again = bench.save(replaces=2, why="worked again", by_hand={key: f"{right} lbf"})
    assert [one.typed for one in again.by_hand] == [f"{right} lbf"]
    moved = bench.save(changed={"temperature": "35 °F"}, replaces=3, why="the thermometer lay in the sun")
    assert moved.by_hand == [], "it was worked for another figure"


def test_a_correction_drops_it_where_what_the_readings_are_known_to_has_moved(bench: Bench) -> None:
    """Nearly its whole ± away it differs by less than that; from the same value known better it differs by more."""
    found = bench.folder.check(CHECK).outcome(bench.folder.aircraft).finding("tension_today").measured
    off = f"{(float(found.si) + 0.95 * float(found.expanded_si)) / 4.4482216152605:.2f} lb"
    assert bench.save(by_hand={"tension_today": off}).by_hand[0].word == DIFFERS_LITTLE
    bench.change('uncertainty = "0.5"                 # in div', 'uncertainty = "0.1"  # in div')
    again = bench.save(replaces=1, why="the gauge's ± was copied wrongly")
    now = again.outcome.finding("tension_today").measured
    assert float(now.si) == pytest.approx(float(found.si), rel=1e-12)
    assert float(now.expanded_si) < 0.94 * float(found.expanded_si)
    assert again.by_hand == []


def test_what_cannot_be_kept_is_refused_in_words(bench: Bench) -> None:
    key, right = keys(bench)
    for given, told in (
        ({"no_such": "3 lb"}, "no figure 'no_such'"),
        ({key: "about thirty"}, "cannot be read"),
        ({key: "30 rpm"}, "cannot be read"),
        ({key: "3" * 300}, "letters at most"),
    ):
        with pytest.raises(RecordError, match=told):
            bench.save(by_hand=given)
    assert not bench.record.entries()
    assert bench.save(by_hand={key: "  "}).by_hand == []
    entry = bench.save(by_hand={key: right})
    work: dict[str, Any] = json.loads(entry.sealed.work)

    def fault(**changed: Any) -> str:
        work["by_hand"] = [{**entry.by_hand[0].plain(), **changed}]
        return fault_in(entry.sealed._replace(work=canonical(work)))

    assert not fault()
    assert "not there" in fault(key="another")
    assert fault(word="splendid")
    assert fault(day="yesterday")
    assert fault(typed=3)


def test_it_is_shown_in_form_dossier_worksheet_and_terminal(bench: Bench) -> None:
    key, right = keys(bench)
    form = open_form("cable_tension", CHECK, bench.folder)
    assert form.by_hand_figure(key, right) == AGREES
    entry = form.save("A. Builder")
    assert [one.typed for one in entry.by_hand] == [right]
    part = form.by_hand.part
    assert f"Kept with entry 1: {entry.by_hand[0].title}: {right}, agrees" in part.message.value
    assert part.inputs[key][0].value == "", "the next entry needs one worked anew"
    assert form.save("A. Builder").by_hand == []
    part.inputs[key][0].value = right
    form.turn_to("pedal_right_tension")
    assert part.figures == {}
    assert form.save("A. Builder").by_hand == [], "worked for another cable"
    form.turn_to(CHECK)
    form.show_in("metric")
    assert form.outcome is not None
    free = next(one for one in form.outcome.findings if one.measured.kind.flavour == "temperature")
    part.inputs[free.key][0].value = f"{float(free.measured.si) - 273.15:.1f}"  # °C, in a record of °F
    third = form.save("A. Builder")
    assert (third.by_hand[0].word, third.by_hand[0].typed[-1:]) == (AGREES, "C"), third.by_hand
    assert "°F" in third.by_hand[0].sentence
    told = repr(list(check_blocks(CheckPages(third, [], {}, "x"))))
    assert "Worked by hand" in told
    assert third.by_hand[0].typed in told
    page = worksheet_data(bench.folder, jobs_of(bench.folder, [CHECK]), "letter", clock.now())["pages"][0]
    assert page["by_hand"][0]["last"].startswith(f"last time {third.by_hand[0].typed}, agrees")
    (empty,) = worksheet_data(bench.folder, jobs_of(bench.folder, ["rotor_track"]), "a5", clock.now())["pages"]
    assert empty["by_hand"] == [{"title": "", "unit": "", "last": ""}]
    run = CliRunner().invoke(
        app, ["record", "save", CHECK, str(bench.path), "--who", "A. Builder", "--by-hand", f"{key}={right} lb"]
    )
    assert run.exit_code == 0, run.output
    assert "By hand" in run.output
    assert "look at" not in run.output
    run = CliRunner().invoke(
        app,
        ["record", "save", CHECK, str(bench.path), "--who", "A", "--by-hand", f"{key}={float(right) * 4.44822:.2f} lb"],
    )
    told = " ".join(run.output.split())
    assert "look at: the figure is in N, and lbf was written behind it" in told  # pounds worked as newtons
    assert "As it should be: " in told
    for wrong in ("nothing", f"{key}="):
        run = CliRunner().invoke(app, ["record", "save", CHECK, str(bench.path), "--who", "A", "--by-hand", wrong])
        assert run.exit_code == 2
        assert "FIGURE=VALUE" in run.output
