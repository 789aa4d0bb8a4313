"""The rotor brake by plain arithmetic apart from the library."""

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.sheets.base import AN_ESTIMATE, Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft

LIMITS = {
    "speed": {"high": "160 rpm", "source": "test"},
    "temperature": {"high": "120 °C", "source": "test"},
    "time": {"low": "10 s", "high": "40 s", "source": "test"},
}
GIVEN: dict[str, Any] = {
    "inertia": "180 ± 0 kg*m^2", "tail_inertia": "0.2 ± 0 kg*m^2", "speed": "150 ± 0 rpm", "disc_mass": "1.5 ± 0 kg",
    "specific_heat": "500 ± 0 J/(kg*K)", "starts_at": "20 ± 0 °C", "pad_force": "600 ± 0 N",
    "pad_radius": "100 ± 0 mm", "pads": "2", "friction": "0.4 ± 0", "turns": "3", "stopped_in": "20 ± 0.5 s",
}  # fmt: skip
BOTH = 180 + 0.2 * 6**2  # the tail rotor turns six times as fast
RATE = 150 * math.pi / 30
ENERGY = BOTH * RATE**2 / 2
TORQUE = 2 * 0.4 * 600 * 0.1


def worked(change: dict[str, Any] | None = None, limits: Any = LIMITS) -> Outcome:
    craft: Aircraft = small_aircraft(limits={"rotor_brake": limits} if limits else {})
    given = {k: v for k, v in {**GIVEN, **(change or {})}.items() if v is not None}
    return sheet_type("rotor_brake").from_readings(given).work(craft)


def si(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.si)


def test_figures_by_hand() -> None:
    found = worked()
    assert si(found, "energy") == pytest.approx(ENERGY, rel=1e-9)
    assert si(found, "temperature") == pytest.approx(293.15 + ENERGY / (1.5 * 500), rel=1e-9)
    assert si(found, "torque") == pytest.approx(TORQUE, rel=1e-9)
    seconds = BOTH * RATE / (3 * TORQUE)  # the disc turns three times as fast: three times its torque at the rotor
    assert si(found, "reckoned") == pytest.approx(seconds, rel=1e-9)
    assert si(found, "power") == pytest.approx(ENERGY / seconds, rel=1e-9)
    # from the speed that is allowed the disc ends just at its limit
    fastest = si(found, "allowed")
    assert BOTH * fastest**2 / 2 / (1.5 * 500) == pytest.approx(100, rel=1e-9)
    assert found.word == IN_LIMITS
    assert found.lead[0].startswith(AN_ESTIMATE)


@pytest.mark.parametrize(
    ("change", "key", "word"),
    [
        ({"speed": "159 ± 0.5 rpm"}, "speed", IN_LIMITS),
        ({"speed": "161 ± 0.5 rpm"}, "speed", OUT_OF_LIMITS),
        ({"speed": "160 ± 0.5 rpm"}, "speed", TOO_CLOSE),
        ({"starts_at": f"{119 - ENERGY / 750} ± 0.5 °C"}, "temperature", IN_LIMITS),
        ({"starts_at": f"{121 - ENERGY / 750} ± 0.5 °C"}, "temperature", OUT_OF_LIMITS),
        ({"stopped_in": "9 ± 0.5 s"}, "time", OUT_OF_LIMITS),
        ({"stopped_in": "11 ± 0.5 s"}, "time", IN_LIMITS),
        ({"stopped_in": "41 ± 0.5 s"}, "time", OUT_OF_LIMITS),
    ],
)
def test_both_sides(change: dict[str, Any], key: str, word: str) -> None:
    found = worked(change)
    assert found.finding(key).verdict.word == word
    if word != IN_LIMITS and key != "time":
        assert found.to_do.startswith("Let it coast")


def test_no_limit_and_what_is_missing() -> None:
    assert worked({}, None).word == NO_LIMIT
    for left in ("inertia", "disc_mass", "stopped_in"):
        change: dict[str, Any] = {left: None}
        if left == "inertia":
            change["tail_inertia"] = None
        assert worked(change).word == UNDONE


def test_what_does_not_fit_leads() -> None:
    seconds = BOTH * RATE / (3 * TORQUE)
    assert not any("glazed" in said for said in worked({"stopped_in": f"{1.2 * seconds} ± 0.2 s"}).lead)
    assert any("glazed" in said for said in worked({"stopped_in": f"{1.5 * seconds} ± 0.2 s"}).lead)
    after = 20 + ENERGY / 750
    assert not any("drag before" in said for said in worked({"ends_at": f"{after + 1} ± 2 °C"}).lead)
    assert any("drag before" in said for said in worked({"ends_at": f"{after + 5} ± 2 °C"}).lead)
    # and it is not "nothing to change", whatever the limits say
    assert worked({}).to_do == "Nothing to change."
    slow = worked({"stopped_in": f"{1.5 * seconds} ± 0.2 s"}, {}).to_do
    assert "does not fit pads and inertia: find out why" in slow
    both = worked({"stopped_in": f"{1.5 * seconds} ± 0.2 s", "ends_at": f"{after + 5} ± 2 °C"}).to_do
    assert "does not fit pads and inertia and the energy of the stop" in both
    cool = worked({"ends_at": f"{after + 5} ± 2 °C", "speed": "170 ± 2 rpm"})
    assert cool.word != OUT_OF_LIMITS or cool.to_do.startswith("Let it coast")


@pytest.mark.parametrize(
    ("change", "path"), [({"friction": None}, "friction"), ({"inertia": None}, "inertia"), ({"pads": "1.5"}, "pads")]
)
def test_faults_at_their_fields(change: dict[str, Any], path: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked(change)
    assert path in dict(refusal.value.problems), refusal.value.problems


@pytest.mark.parametrize(
    ("read", "left", "word"),
    [
        ("300 ± 5 °C", (), OUT_OF_LIMITS),
        ("122 ± 5 °C", (), TOO_CLOSE),
        ("50 ± 5 °C", (), IN_LIMITS),
        ("300 ± 5 °C", ("disc_mass",), OUT_OF_LIMITS),
    ],
)
def test_a_disc_that_was_read_too_hot_is_out_of_limits_however_cool_it_was_reckoned(
    read: str, left: tuple[str, ...], word: str
) -> None:
    """Reckoned it ends at some 51 °C, with a limit of 120 °C."""
    found = worked({"ends_at": read, **dict.fromkeys(left)})
    assert found.finding("read").verdict.word == word
    assert found.word == word
    assert found.to_do.startswith("Let it coast") == (word != IN_LIMITS)
    assert worked({"ends_at": read}, None).word == NO_LIMIT


def test_what_is_called_sure_is_no_higher_than_it_is() -> None:
    """The disc's mass such that 100 K more are reached from 143.6 rpm; hot already, from no speed."""
    mass = BOTH * (143.6 * math.pi / 30) ** 2 / 2 / (500 * 100)
    assert any(said.startswith("From 143 rpm") for said in worked({"disc_mass": f"{mass} ± 0 kg"}).remarks)
    assert any("let it cool first" in said for said in worked({"starts_at": "130 ± 1 °C"}).remarks)
