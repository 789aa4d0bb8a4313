"""Blade-angle sheet: each way of reading worked by hand, its uncertainty, what is refused and what is asked about."""

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.pictures.data import Angles, Bars
from rotorkit.quantities import assert_quantity
from rotorkit.sheets import BladeAngles, SheetError
from rotorkit.sheets.base import Outcome
from tests.searching import examples
from tests.sheets.variants import LEFT_OUT, aircraft

BY_REFERENCE = "reading less a reference surface"
TURNED = "half a turn apart, protractor turned with the blade"
ONE_WAY = "half a turn apart, protractor kept facing one way"
DEMO = aircraft()
READS_DOWN = aircraft(main_rotor__protractor_reads_positive="leading edge down")


def row(blade: str, position: str, reading: str = "", second: str = "", reference: str = "") -> dict[str, str]:
    given = {"blade": blade, "position": position, "reading": reading, "second": second, "reference": reference}
    return {name: text for name, text in given.items() if text}


def sheet(*stations: dict[str, str], **fields: str) -> BladeAngles:
    readings: dict[str, Any] = {"rotor": "main rotor", "protractor": "protractor", "stations": list(stations)}
    return BladeAngles.from_readings({**readings, **fields})


def problems_of(made: BladeAngles) -> dict[str, str]:
    with pytest.raises(SheetError) as caught:
        made.work(DEMO)
    return dict(caught.value.problems)


def degrees(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.value.m_as("deg"))


def around(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.expanded.m_as("deg"))


# the ways of reading, by hand: the protractor is known to 0.2 deg, a reading written to 0.1 deg to 0.2/sqrt(12) deg


def test_reading_less_reference() -> None:
    """9.8 - 1.8 = 8.0; two places of the scale and two readings: sqrt(2) x sqrt(0.2^2 + 0.0577^2) = 0.294."""
    outcome = sheet(row("white", "low stop", "9.8 deg"), reference="1.8 deg").work(DEMO)
    assert degrees(outcome, "low_stop.white") == pytest.approx(8.0)
    assert around(outcome, "low_stop.white") == pytest.approx(0.2944, abs=1e-4)


def test_reading_less_its_own_reference_goes_before_the_sheets() -> None:
    made = sheet(row("white", "low stop", "9.8 deg", reference="2.3 deg"), reference="1.8 deg")
    assert degrees(made.work(DEMO), "low_stop.white") == pytest.approx(7.5)


def test_protractor_turned_with_the_blade() -> None:
    """(9.8 + 6.8)/2 - 0.3 = 8.0, lean (9.8 - 6.8)/2 = 1.5. Both readings stand near one place of the scale, the zero at
    another: sqrt(0.2^2 + 0.2^2 + 0.0577^2/2 + 0.0577^2) = 0.291."""
    outcome = sheet(row("white", "low stop", "9.8 deg", "6.8 deg"), way=TURNED, zero="0.3 deg").work(DEMO)
    assert degrees(outcome, "low_stop.white") == pytest.approx(8.0)
    assert around(outcome, "low_stop.white") == pytest.approx(0.2915, abs=1e-4)
    lean = next(step for step in outcome.steps if step.title.startswith("Shaft's lean"))
    assert_quantity(lean.value, "1.50 deg")


def test_zero_from_one_surface_read_end_for_end() -> None:
    """(1.5 + -0.9)/2 = 0.3, on a bench that slopes 1.2 deg."""
    fields = {"way": TURNED, "zero": "1.5 deg", "zero_turned": "-0.9 deg"}
    outcome = sheet(row("white", "low stop", "9.8 deg", "6.8 deg"), **fields).work(DEMO)
    assert degrees(outcome, "low_stop.white") == pytest.approx(8.0)


def test_protractor_kept_facing_one_way() -> None:
    """(9.8 - -6.2)/2 = 8.0; two places of the scale, each at half: 0.294/2 = 0.147. Lean (9.8 + -6.2)/2 - 0.3 = 1.5."""
    outcome = sheet(row("white", "low stop", "9.8 deg", "-6.2 deg"), way=ONE_WAY, zero="0.3 deg").work(DEMO)
    assert degrees(outcome, "low_stop.white") == pytest.approx(8.0)
    assert around(outcome, "low_stop.white") == pytest.approx(0.1472, abs=1e-4)
    lean = next(step for step in outcome.steps if step.title.startswith("Shaft's lean"))
    assert_quantity(lean.value, "1.50 deg")


@pytest.mark.parametrize(
    ("fields", "second"),
    [({"reference": "1.8 deg"}, ""), ({"way": TURNED, "zero": "0.3 deg"}, "6.8 deg"), ({"way": ONE_WAY}, "-6.2 deg")],
)
def test_a_protractor_that_reads_the_other_way_round_turns_the_sign(fields: dict[str, str], second: str) -> None:
    made = sheet(row("white", "low stop", "9.8 deg", second), **fields)
    outcome = made.work(READS_DOWN)
    assert degrees(outcome, "low_stop.white") == pytest.approx(-8.0)
    assert READS_DOWN.main_rotor.convention.sentence in outcome.remarks


def test_repeats_are_averaged_and_their_scatter_pooled_over_the_sheet() -> None:
    """2.0, 2.2 and 2.1, 2.1, 2.4: squares 0.02 + 0.06 over 3 degrees of freedom: s = 0.163; t = 3.307. Mean of three:
    t s/sqrt(3) = 0.312, with the protractor 0.371; the spread has no part of the protractor's."""
    stations = (row("white", "low stop", "2.0; 2.2 deg"), row("yellow", "low stop", "2.1; 2.1; 2.4 deg"))
    outcome = sheet(*stations, reference="0 ± 0 deg").work(DEMO)
    assert degrees(outcome, "low_stop.white") == pytest.approx(2.1)
    assert degrees(outcome, "low_stop.yellow") == pytest.approx(2.2)
    alone, pair = 3.307 * 0.16330 / 3**0.5, 3.307 * 0.16330 / 2**0.5
    spread = outcome.finding("spread.low_stop").measured
    assert float(spread.expanded.m_as("deg")) == pytest.approx((alone**2 + pair**2) ** 0.5, rel=2e-3)
    assert not any("near" in part.label and part.share > 1e-12 for part in spread.budget())
    assert any(step.title == "Mean of blade yellow, low stop" for step in outcome.steps)


def test_the_reference_drops_out_of_travel_and_spread() -> None:
    stations = [row(b, p, r) for b, p, r in (("white", "low stop", "3.4 deg"), ("white", "high stop", "15.5 deg"))]
    outcome = sheet(*stations, row("yellow", "low stop", "3.5 deg"), reference="1.4 deg").work(DEMO)
    travel = outcome.finding("travel.white").measured
    assert_quantity(travel, "12.10 deg")
    for key in ("travel.white", "spread.low_stop"):
        budget = outcome.finding(key).measured.budget()
        assert not any("reference" in part.label and part.share > 1e-12 for part in budget)
    assert around(outcome, "spread.low_stop") == pytest.approx(2**0.5 * 0.0577, abs=1e-4)


def test_an_uncertainty_typed_with_a_reading_stands_for_the_protractors() -> None:
    outcome = sheet(row("white", "low stop", "9.8 ± 0.4 deg"), reference="1.8 ± 0.3 deg").work(DEMO)
    assert around(outcome, "low_stop.white") == pytest.approx(0.5)


# findings and pictures


def full() -> BladeAngles:
    stations = (
        row("white", "low stop", "3.4 deg"),
        row("yellow", "low stop", "3.5 deg"),
        row("white", "high stop", "15.3 deg"),
        row("yellow", "high stop", "15.4 deg"),
    )
    return sheet(*stations, reference="1.4 deg")


def test_findings_keys_limits_and_words() -> None:
    outcome = full().work(DEMO)
    assert [finding.key for finding in outcome.findings] == [
        "low_stop.white",
        "low_stop.yellow",
        "high_stop.white",
        "high_stop.yellow",
        "travel.white",
        "travel.yellow",
        "spread.low_stop",
        "spread.high_stop",
    ]
    assert {finding.verdict.word for finding in outcome.findings} == {"in limits"}
    assert outcome.finding("low_stop.white").row() == (
        "Blade white, low stop",
        "2.00 ± 0.29°",
        "1.5° to 2.5° (demo manual 7-3)",
        "in limits",
    )
    assert outcome.finding("low_stop.white").verdict.sentence.startswith("Blade white, low stop: 2.00")
    assert outcome.remarks == [DEMO.main_rotor.convention.sentence]


def test_pictures_show_every_station_and_every_limit() -> None:
    outcome = full().work(DEMO)
    angles, against = outcome.pictures
    assert isinstance(angles, Angles)
    assert isinstance(against, Bars)
    assert angles.positive == "leading edge up"
    first = angles.rows[0]
    assert (first.label, first.word) == ("Blade white, low stop", "in limits")
    assert (first.angle, first.low, first.high) == pytest.approx((2.0, 1.5, 2.5))
    assert len(angles.rows) == 4
    assert [bar.label for bar in against.rows] == [f.title for f in outcome.findings[4:]]
    alone = sheet(row("white", "low stop", "3.4 deg"), reference="1.4 deg").work(DEMO)
    assert len(alone.pictures) == 1


def test_every_station_is_worked() -> None:
    titles = [step.title for step in full().work(DEMO).steps]
    for blade in ("white", "yellow"):
        assert f"Travel between the stops: blade {blade}" in titles
        assert f"Blade angle: blade {blade}, high stop" in titles
    assert "Blade-to-blade spread, low stop" in titles


def test_what_is_not_measured_yet_is_told() -> None:
    outcome = sheet(
        row("white", "low stop", "3.4 deg"), row("white", "high stop"), row("yellow", "low stop"), reference="1.4 deg"
    ).work(DEMO)
    assert [finding.key for finding in outcome.findings] == ["low_stop.white"]
    assert outcome.missing == [
        "blade yellow at the low stop",
        "blade white at the high stop",
        "blade yellow at the high stop",
    ]
    assert outcome.word in ("no verdict yet", outcome.findings[0].verdict.word)


def test_a_limit_that_is_not_given_is_told_so() -> None:
    outcome = full().work(aircraft(main_rotor__limits=LEFT_OUT))
    assert {finding.verdict.word for finding in outcome.findings} == {"no limit given"}
    assert outcome.word == "no limit given"


def test_start_has_a_row_for_each_blade_and_position() -> None:
    start = BladeAngles.start(DEMO)
    assert (start["rotor"], start["protractor"]) == ("main rotor", ""), "the demo has two instruments for angles"
    assert start["stations"] == [row(b, p) for p in ("low stop", "high stop") for b in ("white", "yellow")]
    tail = BladeAngles.start(DEMO, "tail rotor")
    assert [(r["blade"], r["position"]) for r in tail["stations"]] == [
        (b, p) for p in ("low stop", "neutral", "high stop") for b in ("A", "B")
    ]
    start["protractor"] = "protractor"
    assert problems_of(BladeAngles.from_readings(start)) == {"stations.0.reading": "needs a reading"}


def test_any_number_of_blades() -> None:
    five = aircraft(main_rotor__blades=["1", "2", "3", "4", "no. 5"])
    stations = [row(b, "low stop", f"{2 + i / 10} deg") for i, b in enumerate(five.main_rotor.blades)]
    outcome = sheet(*stations, reference="0.0 deg").work(five)
    assert outcome.finding("low_stop.no_5").title == "Blade no. 5, low stop"
    assert degrees(outcome, "spread.low_stop") == pytest.approx(0.4)
    one = aircraft(main_rotor__blades=["1"])
    assert [f.key for f in sheet(row("1", "low stop", "2 deg"), reference="0.0 deg").work(one).findings] == [
        "low_stop.1"
    ]


# what is asked about


def remark(outcome: Outcome, words: str) -> bool:
    return any(words in sentence for sentence in outcome.remarks)


def test_a_protractor_not_held_as_said_shows_as_a_lean() -> None:
    turned_in_truth = sheet(row("white", "high stop", "15.8 deg", "12.8 deg"), way=ONE_WAY).work(DEMO)
    assert remark(turned_in_truth, "Was the protractor really kept facing one way?")
    kept_in_truth = sheet(row("white", "high stop", "15.8 deg", "-12.2 deg"), way=TURNED, zero="0.3 deg").work(DEMO)
    assert remark(kept_in_truth, "Was the protractor really turned with the blade?")
    right = sheet(row("white", "high stop", "15.8 deg", "-12.2 deg"), way=ONE_WAY, zero="0.3 deg").work(DEMO)
    assert not remark(right, "really")


def test_two_blades_of_opposite_sign_are_asked_about() -> None:
    stations = row("white", "high stop", "15.4 deg"), row("yellow", "high stop", "-12.6 deg")
    outcome = sheet(*stations, reference="1.4 deg").work(DEMO)
    assert remark(outcome, "of opposite sign. Was the protractor the same way round on both?")
    assert outcome.first[0].startswith("Blade yellow, high stop: -14.00 ± 0.29° is out of limits, 14.00 ± 0.29° would")


def test_a_sign_that_may_be_turned_round_is_looked_at_before_anything_is_set() -> None:
    turned = sheet(row("white", "high stop", "-12.6 deg"), reference="1.4 deg").work(DEMO)
    assert "-14.00 ± 0.29° is out of limits, 14.00 ± 0.29° would be in." in turned.first[0]
    assert turned.to_do.startswith("Check the sign on the blade itself before you adjust anything. Set pitch links ")
    right = sheet(row("white", "high stop", "18.4 deg"), reference="1.4 deg").work(DEMO)
    assert right.word == "out of limits"
    assert right.to_do.startswith("Set pitch links ")


def test_a_low_stop_above_the_high_stop_leads() -> None:
    stations = row("white", "low stop", "15.4 deg"), row("white", "high stop", "3.4 deg")
    outcome = sheet(*stations, reference="1.4 deg").work(DEMO)
    assert "the low stop (14.00 ± 0.29°) lies above the high stop (2.00 ± 0.29°)" in outcome.first[0]
    assert outcome.finding("travel.white").verdict.word == "out of limits"
    assert outcome.to_do.startswith("Turn nothing yet.")
    assert "Set pitch links" not in outcome.to_do
    right = sheet(row("white", "low stop", "3.4 deg"), row("white", "high stop", "17.4 deg"), reference="1.4 deg")
    assert right.work(DEMO).to_do.startswith("Set pitch links and stops as the manual says")


def test_neutral_outside_the_stops_a_stray_repeat_and_a_strange_reading_are_asked_about() -> None:
    stations = (
        row("A", "low stop", "-8.0 deg"),
        row("A", "neutral", "-10.0 deg"),
        row("A", "high stop", "22.0; 22.1; 25.1 deg"),
        row("B", "high stop", "62.0 deg"),
    )
    outcome = sheet(*stations, rotor="tail rotor", reference="0.0 deg").work(DEMO)
    assert remark(outcome, "Blade A: neutral")
    assert remark(outcome, "Blade A, high stop: 25.1° is far from the other repeats. Read it again.")
    assert remark(outcome, "Blade B, high stop: 62° is outside what is usual here")


def test_a_calibration_past_its_due_date_is_told() -> None:
    overdue = aircraft(instruments__protractor__due=date(2026, 4, 30))
    told = full().calibrations_overdue(overdue, date(2026, 5, 1))
    assert told == [
        "Digital protractor: calibration was due 2026-04-30. Do not rely on its uncertainty until it has been checked."
    ]
    assert full().calibrations_overdue(overdue, date(2026, 4, 30)) == []
    long_ago = aircraft(
        instruments__protractor__calibrated=date(2000, 1, 1), instruments__protractor__due=date(2001, 1, 1)
    )
    assert remark(full().work(long_ago), "calibration was due 2001-01-01")


def test_a_field_that_the_way_of_reading_has_no_use_for_is_told() -> None:
    outcome = sheet(row("white", "low stop", "9.8 deg", "-6.2 deg"), way=ONE_WAY, reference="1.8 deg").work(DEMO)
    assert remark(outcome, "Reference for all rows is not used by this way of reading.")


# what is refused, and where


@pytest.mark.parametrize(
    ("stations", "fields", "place", "words"),
    [
        ([row("white", "low stop", "9.8 deg")], {}, "stations.0.reference", "is needed"),
        ([row("white", "low stop", "9.8 deg")], {"way": ONE_WAY}, "stations.0.second", "half a turn later"),
        ([row("white", "low stop", "9.8 deg", "6.8 deg")], {"way": TURNED}, "zero", "does not cancel"),
        ([row("white", "low stop", second="6.8 deg")], {"way": ONE_WAY}, "stations.0.reading", "is missing"),
        ([row("white", "low stop", reference="1 deg")], {}, "stations.0.reading", "is missing"),
        ([row("white", "low stop", "9 deg", "6 deg")], {"reference": "1 deg"}, "stations.0.second", "change the way"),
        (
            [row("white", "low stop", "9 deg", "6 deg", "1 deg")],
            {"way": ONE_WAY},
            "stations.0.reference",
            "change the way",
        ),
        ([row("green", "low stop", "9 deg")], {"reference": "1 deg"}, "stations.0.blade", "blades: white, yellow"),
        ([row("", "low stop", "9 deg")], {"reference": "1 deg"}, "stations.0.blade", "blades: white, yellow"),
        (
            [row("white", "low stop", "9 deg"), row(" White ", "low stop", "9 deg")],
            {"reference": "1 deg"},
            "stations.1.position",
            "already entered in row 1",
        ),
        ([row("white", "low stop", "9; 9 ± 0.1 deg")], {"reference": "1 deg"}, "stations.0.reading", "with each"),
        ([row("white", "low stop", "9 deg")], {"reference": "1; 1 ± 0.1 deg"}, "reference", "with each"),
        (
            [row("white", "low stop", "9 deg", "-6 deg")],
            {"way": ONE_WAY, "zero_turned": "1 deg"},
            "zero",
            "is missing",
        ),
        ([], {}, "stations", "needs a reading"),
        ([row("white", "low stop", "9 deg")], {"reference": "1 deg", "rotor": "third rotor"}, "rotor", "main rotor"),
        ([row("white", "low stop", "9 deg")], {"reference": "1 deg", "protractor": ""}, "protractor", "no instrument"),
        (
            [row("white", "low stop", "9 deg")],
            {"reference": "1 deg", "protractor": "scales"},
            "protractor",
            "needs an instrument for angle",
        ),
    ],
)
def test_refused_at_the_field(stations: list[dict[str, str]], fields: dict[str, str], place: str, words: str) -> None:
    assert words in problems_of(sheet(*stations, **fields))[place]


@pytest.mark.parametrize(
    ("change", "place", "words"),
    [
        ({"reading": "9.8"}, "stations.0.reading", "unit"),
        ({"reading": "9.8 in"}, "stations.0.reading", "an angle"),
        ({"reading": "9.8; ; 9.7 deg"}, "stations.0.reading", "missing beside a semicolon"),
        ({"reading": "190 deg"}, "stations.0.reading", "from -180 deg to 180 deg"),
        ({"reading": "nan deg"}, "stations.0.reading", "nan"),
        ({"position": "top"}, "stations.0.position", 'write "low stop"'),
        ({"positon": "low stop"}, "stations.0.positon", "did you mean position?"),
    ],
)
def test_refused_as_typed(change: dict[str, str], place: str, words: str) -> None:
    with pytest.raises(SheetError) as caught:
        sheet({**row("white", "low stop", "9.8 deg"), **change}, reference="1.8 deg")
    assert words in dict(caught.value.problems)[place]


def test_every_bad_row_is_told_at_once() -> None:
    found = problems_of(
        sheet(row("white", "low stop", "9 deg"), row("green", "high stop", second="9 deg"), way=ONE_WAY)
    )
    assert set(found) == {"stations.0.second", "stations.1.blade", "stations.1.reading"}


def test_readings_come_back_as_typed() -> None:
    typed = {
        "rotor": "tail rotor",
        "protractor": "protractor",
        "way": BY_REFERENCE,
        "reference": "1.4; 1.3; 1.4 deg",
        "stations": [row("A", "low stop", "-6° 24'; -6.5 deg"), row("B", "low stop"), row("A", "neutral", "8 1/2 deg")],
    }
    made = BladeAngles.from_readings(typed)
    assert made.readings() == typed
    again = BladeAngles.from_readings(made.readings()).work(DEMO)
    assert [f.row() for f in again.findings] == [f.row() for f in made.work(DEMO).findings]


# a range of common practice (no source): anti-torque blade angle +9 to -26.5 deg; nothing is claimed of any aircraft


def test_anti_torque_range_of_common_practice() -> None:
    limits = {
        "low_stop": {"low": "-27.5 deg", "high": "-25.5 deg", "source": "common practice (no source)"},
        "high_stop": {"low": "8 deg", "high": "10 deg", "source": "common practice (no source)"},
    }
    toward = "leading edge toward the tail boom"
    practice = aircraft(tail_rotor__limits=limits, tail_rotor__protractor_reads_positive=toward)
    stations = row("A", "high stop", "-7.6; -7.7; -7.6 deg"), row("A", "low stop", "27.9; 27.8; 28.0 deg")
    outcome = sheet(*stations, rotor="tail rotor", reference="1.4; 1.3; 1.4 deg").work(practice)
    assert_quantity(outcome.finding("high_stop.A").measured, "9.0 deg")
    assert_quantity(outcome.finding("low_stop.A").measured, "-26.5 deg")
    assert_quantity(outcome.finding("travel.A").measured, "35.5 deg")
    assert [outcome.finding(k).verdict.word for k in ("high_stop.A", "low_stop.A")] == ["in limits"] * 2
    assert outcome.finding("travel.A").verdict.word == "no limit given"


# what must not matter

ANGLE = st.floats(-40, 40).map(lambda x: round(x, 2))
FEW = examples(40)


def angles_of(made: BladeAngles, craft: Any = DEMO) -> dict[str, tuple[float, float, str]]:
    outcome = made.work(craft)
    return {f.key: (float(f.measured.si), float(f.measured.expanded_si), f.verdict.word) for f in outcome.findings}


def same(one: dict[str, tuple[float, float, str]], other: dict[str, tuple[float, float, str]]) -> None:
    assert one.keys() == other.keys()
    for key, (value, spread, _) in one.items():
        assert other[key][:2] == pytest.approx((value, spread), abs=1e-12)


def two(low: float, high: float, base: float, shift: float = 0.0, flip: int = 1) -> BladeAngles:
    def text(x: float) -> str:
        return f"{flip * x + shift:.2f} deg"

    stations = row("white", "low stop", text(low)), row("white", "high stop", text(high))
    return sheet(*stations, reference=text(base))


@FEW
@given(ANGLE, ANGLE, ANGLE, ANGLE)
def test_a_constant_in_all_readings_changes_nothing(low: float, high: float, base: float, shift: float) -> None:
    same(angles_of(two(low, high, base)), angles_of(two(low, high, base, shift)))


@FEW
@given(ANGLE, ANGLE, ANGLE)
def test_a_protractor_upside_down_changes_nothing_once_it_is_stated(low: float, high: float, base: float) -> None:
    same(angles_of(two(low, high, base)), angles_of(two(low, high, base, flip=-1), READS_DOWN))


@FEW
@given(ANGLE, ANGLE, st.floats(-3, 3), st.floats(-2, 2))
def test_lean_and_zero_never_reach_the_angle(low: float, high: float, lean: float, zero: float) -> None:
    """True angles seen through a leaning shaft and a false protractor come out by all three ways, read as derived in
    `rotorkit.rigging.blade_angle`."""
    lean, zero = round(lean, 2), round(zero, 2)
    positions = {"low stop": low, "high stop": high}

    def stations(second: Any) -> list[dict[str, str]]:
        return [row("white", p, f"{a + lean + zero:.2f} deg", second(a)) for p, a in positions.items()]

    ways = [
        sheet(*stations(lambda a: ""), reference=f"{lean + zero:.2f} deg"),
        sheet(*stations(lambda a: f"{a - lean + zero:.2f} deg"), way=TURNED, zero=f"{zero:.2f} deg"),
        sheet(*stations(lambda a: f"{-a + lean + zero:.2f} deg"), way=ONE_WAY),
    ]
    for made in ways:
        outcome = made.work(DEMO)
        assert degrees(outcome, "low_stop.white") == pytest.approx(low, abs=1e-9)
        assert degrees(outcome, "high_stop.white") == pytest.approx(high, abs=1e-9)
        assert degrees(outcome, "travel.white") == pytest.approx(high - low, abs=1e-9)


@FEW
@given(st.permutations(full().readings()["stations"]))
def test_the_order_of_the_rows_does_not_matter(stations: list[dict[str, str]]) -> None:
    assert angles_of(sheet(*stations, reference="1.4 deg")) == angles_of(full())
