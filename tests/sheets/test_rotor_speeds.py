"""Rotor speeds and needles by plain arithmetic: 14 CFR 27.1509 (read in stored copies) and both needles."""

from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from rotorkit.sheets.drive.shaft_speeds import the_train
from tests.sheets.small import small_aircraft

LIMITS = {
    "split": {"low": "-5 rpm", "high": "5 rpm", "source": "test"},
    "parted": {"low": "20 rpm", "source": "test"},
}
GIVEN: dict[str, Any] = {
    "off_high": "500 ± 0 rpm", "off_low": "400 ± 0 rpm", "on_low": "430 ± 0 rpm", "design_most": "540 ± 0 rpm",
    "shown_most": "530 ± 1 rpm", "shown_least_off": "370 ± 1 rpm", "proved_least_off": "375 ± 0 rpm",
    "shown_least_on": "420 ± 1 rpm", "proved_least_on": "425 ± 0 rpm", "rotor_joined": "470 ± 1 rpm",
    "engine_joined": "2585 ± 5 rpm", "rotor_parted": "460 ± 2 rpm", "engine_parted": "1650 ± 20 rpm",
}  # fmt: skip


def worked(change: dict[str, Any] | None = None, limits: Any = LIMITS) -> Outcome:
    craft: Aircraft = small_aircraft(limits={"rotor_speeds": limits} if limits else {})
    given = {k: v for k, v in {**GIVEN, **(change or {})}.items() if v is not None}
    return sheet_type("rotor_speeds").from_readings(given).work(craft)


def rpm(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.si) * 30 / 3.141592653589793


def test_figures_by_hand() -> None:
    found = worked()
    assert rpm(found, "off_high") == pytest.approx(0.95 * 530 - 500)
    assert rpm(found, "off_low") == pytest.approx(400 - 1.05 * 375)
    assert rpm(found, "on_low") == pytest.approx(430 - 425)
    assert rpm(found, "split") == pytest.approx(470 - 2585 / 5.5, abs=1e-9)
    assert rpm(found, "parted") == pytest.approx(460 - 1650 / 5.5)
    assert found.word == IN_LIMITS


@pytest.mark.parametrize(
    ("change", "key", "word"),
    [
        ({"off_high": "502 ± 0 rpm"}, "off_high", IN_LIMITS),
        ({"off_high": "505 ± 0 rpm"}, "off_high", OUT_OF_LIMITS),
        ({"off_high": "503.5 ± 0 rpm"}, "off_high", TOO_CLOSE),
        ({"design_most": "520 ± 0 rpm"}, "off_high", OUT_OF_LIMITS),  # the lesser of both
        ({"off_low": "395 ± 0 rpm"}, "off_low", IN_LIMITS),
        ({"off_low": "392 ± 0 rpm"}, "off_low", OUT_OF_LIMITS),
        ({"shown_least_off": "385 ± 1 rpm"}, "off_low", OUT_OF_LIMITS),  # the greater of both
        ({"on_low": "427 ± 0 rpm"}, "on_low", IN_LIMITS),
        ({"on_low": "424 ± 0 rpm"}, "on_low", OUT_OF_LIMITS),
        ({"held_on": "440 ± 1 rpm"}, "held_on", IN_LIMITS),  # the minimum on the placard is 430: 27.1509(c)(2)
        ({"held_on": "428 ± 1 rpm"}, "held_on", OUT_OF_LIMITS),
        ({"held_on": "430.5 ± 1 rpm"}, "held_on", TOO_CLOSE),
        ({"rotor_joined": "466 ± 0.2 rpm"}, "split", IN_LIMITS),
        ({"rotor_joined": "463 ± 0.2 rpm"}, "split", OUT_OF_LIMITS),
        ({"rotor_joined": "477 ± 0.2 rpm"}, "split", OUT_OF_LIMITS),
        ({"engine_parted": "2400 ± 5 rpm"}, "parted", IN_LIMITS),
        ({"engine_parted": "2450 ± 5 rpm"}, "parted", OUT_OF_LIMITS),
    ],
)
def test_both_sides(change: dict[str, Any], key: str, word: str) -> None:
    assert worked(change).finding(key).verdict.word == word


@pytest.mark.parametrize("design", [400, 401, 402, 405, 500, 540])
def test_a_placard_at_the_very_speed_that_the_rule_allows_is_in_limits(design: int) -> None:
    """95 % of the maximum and 105 % of the minimum, all of it exact: "may not exceed" leaves the speed itself free."""
    exact = {
        "design_most": f"{design} ± 0 rpm", "shown_most": f"{design + 5} ± 0 rpm",
        "off_high": f"{0.95 * design:.2f} ± 0 rpm",
        "shown_least_off": f"{design - 200} ± 0 rpm", "proved_least_off": f"{design - 210} ± 0 rpm",
        "off_low": f"{1.05 * (design - 200):.2f} ± 0 rpm", "on_low": "370 ± 0 rpm", "shown_least_on": "370 ± 0 rpm",
        "proved_least_on": "360 ± 0 rpm", "held_on": "370 ± 0 rpm",
    }  # fmt: skip
    found = worked(exact)
    for key in ("off_high", "off_low", "on_low", "held_on"):
        assert found.finding(key).verdict.word == IN_LIMITS
        assert found.finding(key).measured.si == 0
    a_little_over = worked({**exact, "off_high": f"{0.95 * design + 0.01:.2f} ± 0 rpm"})
    assert a_little_over.finding("off_high").verdict.word == OUT_OF_LIMITS


def test_the_upper_bound_of_the_power_on_minimum() -> None:
    """Held speed less placard; without one nothing is asked, and a placard is asked for with one."""
    found = worked({"held_on": "440 ± 1 rpm"})
    assert rpm(found, "held_on") == pytest.approx(440 - 430)
    assert found.word == IN_LIMITS
    assert "held_on" not in {one.key for one in worked().findings}
    assert any("27.1509(c)(2)) was not looked at" in one for one in worked().remarks)
    assert not any("not looked at" in one for one in found.remarks)
    low = worked({"held_on": "420 ± 1 rpm"})
    assert low.word == OUT_OF_LIMITS
    assert low.to_do.startswith("Rewrite the placard")
    alone = {"on_low": None, "shown_least_on": None, "proved_least_on": None, "held_on": "440 ± 1 rpm"}
    with pytest.raises(SheetError) as refusal:
        worked(alone)
    assert [path for path, _ in refusal.value.problems] == ["on_low"]


def test_needles_that_stay_together_lead_without_any_limit() -> None:
    found = worked({"engine_parted": "2540 ± 20 rpm"}, None)  # the rotor 1.8 rpm below its drive
    assert found.finding("parted").verdict.word in (OUT_OF_LIMITS, TOO_CLOSE)
    assert "autorotation" in found.lead[0]
    assert found.to_do.startswith("Do not fly it")
    assert worked({}, None).lead == []


@pytest.mark.parametrize(
    "left",
    [
        ("off_high", "design_most", "shown_most"),
        ("rotor_parted", "engine_parted"),
        ("on_low", "shown_least_on", "proved_least_on"),
    ],
)
def test_what_is_missing(left: tuple[str, ...]) -> None:
    assert worked(dict.fromkeys(left)).word == UNDONE


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"shown_most": None}, "shown_most"),
        ({"engine_joined": None}, "engine_joined"),
        ({"off_low": "510 rpm"}, "off_low"),
        ({"on_low": "510 rpm"}, "on_low"),
    ],
)
def test_faults_at_their_fields(change: dict[str, Any], path: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked(change)
    assert path in dict(refusal.value.problems), refusal.value.problems


@pytest.mark.parametrize(("rotor", "said"), [(490, "above the engine's"), (450, "below the engine's"), (470, "")])
def test_needles_apart_under_power_are_told_both_ways(rotor: int, said: str) -> None:
    """The engine drives it at 470 rpm."""
    told = " ".join(worked({"rotor_joined": f"{rotor} ± 1 rpm"}).remarks)
    assert (said in told) if said else ("Under power" not in told)


def test_the_train_has_each_shafts_own_speed() -> None:
    """Gears of 15 on 60 teeth: the engine turns four times as fast as the rotor."""
    gears = {"kind": "gears", "driver": "engine", "driven": "main rotor", "driver_teeth": 15, "driven_teeth": 60}
    craft = small_aircraft(links={"first": gears}, drive__engine_to_main_rotor="4:1")
    [train] = the_train(craft)
    assert [(one.label, one.said) for one in train.rows] == [("engine", "1,880 rpm"), ("main rotor", "470.0 rpm")]
