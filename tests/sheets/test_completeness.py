"""A part of a job is not the job: until every part is there the word is "no verdict yet", with what is missing."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.folder.checks import Check
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE, Limit, Verdict
from rotorkit.judging.measured import measured
from rotorkit.quantities import Angle, Power
from rotorkit.sheets.base import Finding, Outcome, Part, Sheet, SheetError, judge, missing_words
from rotorkit.sheets.catalogue import sheet_names, sheet_type
from tests.sheets.as_it_stands import AIRCRAFT, CHECKS, as_it_stands

SHEETS = [sheet_type(name) for name in sheet_names()]


def optional_readings(sheet: type[Sheet]) -> list[str]:
    """Rows, and readings that may stay empty: what a builder can leave out without being refused."""
    return [one.name for one in sheet.fields() if one.row is not None or (one.entry is not None and not one.required)]


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda sheet: sheet.name)
def test_a_sheet_with_rows_says_what_makes_it_whole(sheet: type[Sheet]) -> None:
    if any(one.row is not None for one in sheet.fields()):
        assert sheet.parts is not Sheet.parts, f"{sheet.name} has rows: its parts() must say which make it whole"


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.name)
class TestEveryCheck:
    def test_a_row_left_out_never_calms(self, check: Check) -> None:
        """One row after another is taken out: the word stays, or there is no verdict yet, or the sheet asks for it."""
        whole = as_it_stands(check.name)
        for name, rows in check.readings.items():
            if not isinstance(rows, list):
                continue
            for i in range(len(rows)):
                self.never_calmer(check, whole, {**check.readings, name: rows[:i] + rows[i + 1 :]})

    def test_a_reading_left_out_never_calms(self, check: Check) -> None:
        whole, sheet = as_it_stands(check.name), sheet_type(check.sheet)
        for one in sheet.fields():
            if one.entry is not None and one.name in check.readings:
                self.never_calmer(check, whole, {k: v for k, v in check.readings.items() if k != one.name})
            for i, row in enumerate(check.readings.get(one.name, []) if one.row is not None else []):
                for column in one.row.fields() if one.row is not None else []:
                    if column.name in row and (column.entry is not None or column.choice is not None):
                        changed: dict[str, Any] = copy.deepcopy(dict(check.readings))
                        del changed[one.name][i][column.name]
                        self.never_calmer(check, whole, changed)

    def never_calmer(self, check: Check, whole: Outcome, readings: dict[str, Any]) -> None:
        try:
            part = sheet_type(check.sheet).from_readings(readings).work(AIRCRAFT)
        except SheetError:
            return
        lost = {finding.key for finding in whole.findings if not finding.aside} - {f.key for f in part.findings}
        if lost and part.word in (IN_LIMITS, NO_LIMIT):
            assert not [key for key in lost if not key.startswith(OPTIONAL)], f"{lost} went, and it says {part.word}"


OPTIONAL = ("clearance.", "friction.", "held_on", "loss.", "read", "spread.", "travel.")
"""Findings that may go with a reading that may stay empty: a clearance that is ample, the loss across a pulley, a
brake disc's temperature as read beside the one that is reckoned, which is judged as well; an upper bound that few
flight tests show, of which the sheet says that it was not looked at; and those that follow
from others, whose own readings are parts."""


def test_one_blade_at_one_stop_is_no_verdict() -> None:
    check = next(one for one in CHECKS if one.sheet == "blade_angles")
    sheet = sheet_type("blade_angles")
    rows = check.readings["stations"]
    for i in range(len(rows)):
        outcome = sheet.from_readings({**check.readings, "stations": [rows[i]]}).work(AIRCRAFT)
        assert outcome.word in (UNDONE, OUT_OF_LIMITS, TOO_CLOSE)
        assert len(outcome.missing) == len(rows) - 1


def test_what_is_out_of_limits_leads_over_what_is_missing() -> None:
    limit = Limit("angle", Angle, "1 deg", "2 deg", "demo")
    far, near = (measured(text, Angle, text) for text in ("9 ± 0.1 deg", "1.5 ± 0.1 deg"))
    missing = ["blade B"]
    found = [Finding("a", "A", limit.judge(far)), Finding("b", "B", limit.judge(near))]
    assert Outcome("x", found, [], missing=missing).word == OUT_OF_LIMITS
    assert Outcome("x", found[1:], [], missing=missing).word == UNDONE
    assert Outcome("x", found[1:], []).word == IN_LIMITS
    assert Outcome("x", [], [], missing=missing).word == UNDONE
    free = Finding("c", "C", judge(None, near, "C"))
    assert Outcome("x", [free], []).word == NO_LIMIT
    assert Outcome("x", [free], [], missing=missing).word == UNDONE
    undone = Finding("d", "D", Verdict(UNDONE, near, None, "d: not looked at", "look"))
    assert Outcome("x", [*found[1:], undone], []).word == UNDONE


def test_what_leads_and_what_is_missing_stand_first() -> None:
    outcome = Outcome("x", [], [], lead=["The engine cannot hold this weight."], missing=["a", "b"])
    assert outcome.first == ["The engine cannot hold this weight.", "Not done yet: a; b."]
    assert missing_words([str(i) for i in range(11)]).endswith("; 7; and 3 more.")


@pytest.mark.parametrize(
    ("margin", "given", "word"),
    [
        ("-3 ± 1 hp", None, OUT_OF_LIMITS),  # nothing is left, whatever the manual says
        ("-0.5 ± 1 hp", None, TOO_CLOSE),
        ("3 ± 1 hp", None, NO_LIMIT),  # physics allows it; the manual has not spoken
        ("3 ± 1 hp", "5 hp", OUT_OF_LIMITS),
        ("7 ± 1 hp", "5 hp", IN_LIMITS),
        ("5.5 ± 1 hp", "5 hp", TOO_CLOSE),
        ("-3 ± 1 hp", "-5 hp", OUT_OF_LIMITS),  # a manual's limit does not make power
    ],
)
def test_what_physics_asks_for_is_a_limit_of_its_own(margin: str, given: str | None, word: str) -> None:
    physical = Limit("power margin", Power, "0 hp", None, "physics: no power is left below nothing")
    limit = None if given is None else Limit("power margin", Power, given, None, "demo")
    assert judge(limit, measured(margin, Power, "x"), "power margin", physical).word == word


def test_an_unfinished_part_is_a_plain_pair() -> None:
    assert Part("blade A", done=False) != Part("blade A", done=True)


def test_a_cable_names_its_pulleys_or_says_it_has_none() -> None:
    """What the aircraft file does not say is asked for; a list without a name in it is an answer."""
    check = next(one for one in CHECKS if one.sheet == "cable_rigging" and one.outcome(AIRCRAFT).word == IN_LIMITS)
    given = AIRCRAFT.cables[check.readings["cable"]]

    def craft(**changed: Any) -> Aircraft:
        return AIRCRAFT.model_copy(
            update={"cables": {**AIRCRAFT.cables, check.readings["cable"]: given.model_copy(update=changed)}}
        )

    silent = check.outcome(craft(pulleys=None))
    assert silent.word == UNDONE
    assert silent.missing == [
        f"pulleys of this run: name them in [cables.{check.readings['cable']}], pulleys = […], or [] for none"
    ]
    assert check.outcome(craft(pulleys=[])).word == IN_LIMITS
    another = check.outcome(craft(pulleys=[*given.pulleys, "boom, frame 4"]))
    assert another.missing == ["pulley, boom, frame 4"]
