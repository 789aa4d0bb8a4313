"""Cyclic-range sheet: ranges, cross-coupling and phase by hand, a leaning shaft, both ways of turning, what to turn."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.aircraft import Aircraft
from rotorkit.pictures.data import Chart, Turns
from rotorkit.quantities import assert_quantity
from rotorkit.sheets import CyclicRange, SheetError
from rotorkit.sheets.base import Outcome
from tests.searching import examples
from tests.sheets.variants import LEFT_OUT, aircraft

DEMO = aircraft()
CLOCKWISE = aircraft(main_rotor__swashplate__rotor_turns="clockwise seen from above")
PLACES = ("over the tail", "over the right side", "over the nose", "over the left side")
AZIMUTH = dict(zip(PLACES, (0, 90, 180, 270), strict=True))
RIGHT = {"forward": (6.0, 270), "aft": (5.0, 90), "left": (4.5, 0), "right": (3.5, 180)}
"""Cyclic pitch and the azimuth of its top, as the demo's manual has it, turning counter-clockwise."""


def sheet(
    waves: dict[str, tuple[float, float]],
    lean: tuple[float, float] = (0.0, 0.0),
    offset: float = 0.0,
    places: tuple[str, ...] = PLACES,
    clockwise: bool = False,
    **fields: Any,
) -> CyclicRange:
    """Readings of waves (amplitude, azimuth of the top) at 8 deg of collective, on a shaft that leans; offset: a tilt
    forward at every stick position, degrees."""

    def azimuth(place: str) -> float:
        return math.radians(-AZIMUTH[place] if clockwise else AZIMUTH[place])

    def wave(place: str, size: float, top: float) -> float:
        return size * math.cos(azimuth(place) - math.radians(top))

    rows = [
        {
            "stick": stick,
            "place": place,
            "reading": f"{8 + wave(place, *found) + wave(place, offset, 270) + wave(place, *lean) + 0.3:.4f} deg",
        }
        for stick, found in waves.items()
        for place in places
    ]
    references = [{"place": place, "reading": f"{wave(place, *lean) + 0.3:.4f} deg"} for place in places]
    typed = {"protractor": "protractor", "stations": rows, "references": references, **fields}
    return CyclicRange.from_readings(typed)


def degrees(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.value.m_as("deg"))


def problems_of(made: CyclicRange, craft: Aircraft = DEMO) -> dict[str, str]:
    with pytest.raises(SheetError) as caught:
        made.work(craft)
    return dict(caught.value.problems)


def said(outcome: Outcome, words: str) -> bool:
    return any(words in sentence for sentence in outcome.remarks)


def test_the_ranges_by_hand() -> None:
    """Forward: 14.0 over the left, 2.0 over the right: (14 - 2)/2 = 6; nothing across; 6 + 5 = 11 of travel."""
    outcome = sheet(RIGHT).work(DEMO)
    for stick, (size, _) in RIGHT.items():
        assert degrees(outcome, f"range.{stick}") == pytest.approx(size, abs=2e-4)
        assert degrees(outcome, f"cross.{stick}") == pytest.approx(0, abs=2e-4)
        assert degrees(outcome, f"collective.{stick}") == pytest.approx(8, abs=2e-4)
    assert degrees(outcome, "travel.fore_and_aft") == pytest.approx(11, abs=2e-4)
    assert degrees(outcome, "phase.left_and_right") == pytest.approx(0, abs=3e-3)
    assert outcome.word == "in limits"
    assert outcome.finding("range.forward").row()[2] == "5.5° to 6.5° (demo manual 7-6)"
    step = next(s for s in outcome.steps if s.title.startswith("Cyclic pitch, stick forward: over the left side"))
    assert_quantity(step.value, "6.000 deg")


def test_without_a_limit_across_that_is_not_judged_and_said_first() -> None:
    limits = {
        stick: {"low": f"{size - 0.5} deg", "high": f"{size + 0.5} deg", "source": "demo"}
        for stick, (size, _) in RIGHT.items()
    }
    bare = sheet(RIGHT).work(aircraft(main_rotor__swashplate__limits=limits))
    assert any("There is no limit for what the stick does across its own line" in one for one in bare.first)
    cross = {"high": "0.5 deg", "low": "-0.5 deg", "source": "demo"}
    held = sheet(RIGHT).work(aircraft(main_rotor__swashplate__limits={**limits, "cross": cross}))
    assert not any("There is no limit for what the stick does" in one for one in held.first)


def test_the_mean_pitch_is_of_all_places_or_of_the_two() -> None:
    for places in (PLACES, ("over the left side", "over the right side")):
        outcome = sheet({"forward": RIGHT["forward"]}, places=places).work(DEMO)
        (step,) = [one for one in outcome.steps if one.title == "Mean pitch, stick forward"]
        assert math.degrees(float(step.value.si)) == pytest.approx(8, abs=1e-3)


def test_a_leaning_shaft_drops_out_place_by_place() -> None:
    outcome = sheet(RIGHT, lean=(2.5, 130)).work(DEMO)
    for stick, (size, _) in RIGHT.items():
        assert degrees(outcome, f"range.{stick}") == pytest.approx(size, abs=2e-4)
        assert degrees(outcome, f"cross.{stick}") == pytest.approx(0, abs=2e-4)


def test_its_uncertainty_by_hand() -> None:
    """Four readings with 0.2 deg each and a display of 0.0001: half of sqrt(4 x 0.2^2) = 0.2."""
    figure = sheet(RIGHT).work(DEMO).finding("range.forward").measured
    assert float(figure.expanded.m_as("deg")) == pytest.approx(0.2, rel=1e-3)


def test_clockwise_nose_and_tail_change_places() -> None:
    """Stick left raises the blade over the nose there: azimuth 180 in the direction of rotation is over the nose."""
    tops = {"forward": (6.0, 270), "aft": (5.0, 90), "left": (4.5, 180), "right": (3.5, 0)}
    outcome = sheet(
        {s: (size, 360 - top if s in ("left", "right") else top) for s, (size, top) in tops.items()}, clockwise=True
    ).work(CLOCKWISE)
    assert said(outcome, "Stick forward: the blade angle must be greatest over the right side")
    assert said(outcome, "clockwise seen from above")
    assert {round(abs(degrees(outcome, f"range.{s}")), 3) for s in tops} <= {6.0, 5.0, 4.5, 3.5}


def test_words_of_the_expected_azimuth() -> None:
    outcome = sheet(RIGHT).work(DEMO)
    assert said(outcome, "Stick forward: the blade angle must be greatest over the left side (270° from over the tail")
    assert said(outcome, "Stick left: the blade angle must be greatest over the tail")
    assert said(outcome, "The swashplate then stands highest over the tail")
    late = aircraft(main_rotor__swashplate__response_lag="60 deg")
    assert said(sheet(RIGHT).work(late), "between the left side and the tail, nearer to the former")


def test_a_stick_that_acts_the_wrong_way_is_told_first() -> None:
    outcome = sheet({**RIGHT, "forward": (6.0, 90)}).work(DEMO)
    assert degrees(outcome, "range.forward") == pytest.approx(-6, abs=2e-4)
    assert outcome.first[0].startswith("Stick forward: the cyclic pitch is")
    assert "Do not run or fly it like this" in outcome.first[0]
    assert outcome.to_do == "Turn no rod yet."
    assert not [p for p in outcome.pictures if isinstance(p, Turns)]
    assert [p for p in sheet(RIGHT).work(DEMO).pictures if isinstance(p, Turns)]


def test_a_phase_error_is_told_and_not_mended_by_rods() -> None:
    """All tops 12 deg late: phase 12 deg; across 6 sin(12) = 1.247 deg."""
    outcome = sheet({s: (size, top + 12) for s, (size, top) in RIGHT.items()}).work(DEMO)
    assert degrees(outcome, "phase.fore_and_aft") == pytest.approx(12, abs=1e-2)
    assert abs(degrees(outcome, "cross.forward")) == pytest.approx(6 * math.sin(math.radians(12)), abs=1e-3)
    assert said(outcome, "greatest 12° later in the turn than it should be. Rods cannot correct a phase error")


def test_a_tilt_that_stays_at_neutral_is_no_phase_error() -> None:
    """0.8 deg forward at every stick position: forward 6.8, aft 4.2, across 0.8 with the stick left and right; four
    flats of 0.2 deg shorter take it away."""
    outcome = sheet(RIGHT, offset=0.8).work(DEMO)
    assert degrees(outcome, "range.forward") == pytest.approx(6.8, abs=1e-3)
    assert degrees(outcome, "range.aft") == pytest.approx(4.2, abs=1e-3)
    assert degrees(outcome, "cross.left") == pytest.approx(0.8, abs=1e-3)
    assert degrees(outcome, "phase.fore_and_aft") == pytest.approx(0, abs=3e-3)
    (turns,) = [p for p in outcome.pictures if isinstance(p, Turns)]
    rows = {row.label: row.turns[0] for row in turns.rows}
    assert (rows["Fore-and-aft cyclic rod"].amount, rows["Fore-and-aft cyclic rod"].way) == (
        "4 flats shorter (2/3 turn)",
        -1,
    )
    assert rows["Left-and-right cyclic rod"].way == 0
    assert sheet(RIGHT, offset=0.0).work(DEMO).word == "in limits"


@examples(40)
@given(st.floats(0.5, 9), st.floats(0, 360), st.floats(0, 3), st.floats(0, 360))
def test_size_and_azimuth_are_found_whatever_the_lean(size: float, top: float, lean: float, toward: float) -> None:
    outcome = sheet({"forward": (size, top)}, lean=(lean, toward)).work(DEMO)
    along, across = degrees(outcome, "range.forward"), degrees(outcome, "cross.forward")
    assert math.hypot(along, across) == pytest.approx(size, abs=1e-3)
    assert along == pytest.approx(size * math.cos(math.radians(top - 270)), abs=1e-3)


def test_two_places_on_the_line_give_the_range_alone() -> None:
    outcome = sheet({"forward": RIGHT["forward"]}, places=("over the right side", "over the left side")).work(DEMO)
    assert degrees(outcome, "range.forward") == pytest.approx(6, abs=2e-4)
    assert [f.key for f in outcome.findings] == ["range.forward"]
    assert said(outcome, "what the stick does across its own line cannot be seen")
    assert not any("There is no limit for what the stick does" in one for one in outcome.first)
    unlimited = aircraft(main_rotor__swashplate__limits__cross=LEFT_OUT)
    two = sheet({"forward": RIGHT["forward"]}, places=("over the right side", "over the left side"))
    bare = two.work(unlimited)
    assert any("There is no limit for what the stick does across its own line" in one for one in bare.first)
    assert outcome.missing == [
        "stick forward: a third place, for what it does across",
        "stick aft",
        "stick left",
        "stick right",
    ]


def test_three_places_serve() -> None:
    outcome = sheet(RIGHT, places=PLACES[:3]).work(DEMO)
    assert degrees(outcome, "range.forward") == pytest.approx(6, abs=2e-4)


def test_the_charts_hold_wave_and_readings() -> None:
    charts = [p for p in sheet(RIGHT).work(DEMO).pictures if isinstance(p, Chart)]
    assert [chart.title for chart in charts] == [
        "Blade angle around the rotor, fore and aft",
        "Blade angle around the rotor, left and right",
    ]
    assert len(charts[0].curves) == len(charts[0].dots) == len(charts[0].points) == 2
    assert max(charts[0].curves[0].y) == pytest.approx(14, abs=1e-3)


def changed(made: CyclicRange, name: str, number: int, **more: str) -> CyclicRange:
    given = made.readings()
    given[name][number] |= more
    return CyclicRange.from_readings(given)


def test_what_is_wrong_is_told_at_its_field() -> None:
    good = sheet(RIGHT)
    missing = good.readings()
    missing["references"][2].pop("reading")
    found = problems_of(CyclicRange.from_readings(missing))
    assert "is needed with the blade over the nose" in found["references.2.reading"]
    assert (
        "already entered in row 1"
        in problems_of(changed(good, "stations", 1, place="over the tail"))["stations.1.place"]
    )
    wrong = sheet({"forward": RIGHT["forward"]}, places=("over the tail", "over the nose"))
    assert (
        "or over the two that lie on its own line (over the left side and over the right side)"
        in problems_of(wrong)["stations.0.reading"]
    )
    mixed = changed(good, "stations", 0, reading="8 ± 0.1; 8.1 deg")
    assert "has ± with some repeats" in problems_of(mixed)["stations.0.reading"]


def test_an_aircraft_file_that_lacks_what_is_needed_says_what_to_write() -> None:
    bare = aircraft(main_rotor__swashplate=LEFT_OUT)
    assert "written as rotor_turns in [main_rotor.swashplate]" in problems_of(sheet(RIGHT), bare)[""]
    no_rods = aircraft(main_rotor__rods=LEFT_OUT)
    assert said(sheet(RIGHT).work(no_rods), "write [main_rotor.rods.name]")
    no_limits = aircraft(main_rotor__swashplate__limits=LEFT_OUT)
    outcome = sheet(RIGHT).work(no_limits)
    assert said(outcome, "write [main_rotor.swashplate.limits]")
    assert outcome.word == "no limit given"
