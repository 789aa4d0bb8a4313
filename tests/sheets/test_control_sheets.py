"""Control-travel and control-corner sheets: lines and bands by hand, corners tried and not, refusals."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, UNDONE
from rotorkit.pictures.data import Bars, Chart, Looks
from rotorkit.quantities import assert_quantity
from rotorkit.sheets import ControlCorners, ControlTravel, SheetError
from rotorkit.sheets.base import Outcome, Sheet
from tests.searching import examples
from tests.sheets.variants import LEFT_OUT, aircraft

DEMO = aircraft()


def problems_of(made: Sheet, craft: Aircraft = DEMO) -> dict[str, str]:
    with pytest.raises(SheetError) as caught:
        made.work(craft)
    return dict(caught.value.problems)


def said(outcome: Outcome, words: str) -> bool:
    return any(words in sentence for sentence in outcome.remarks)


def travel(*places: tuple[float, str, float], **fields: Any) -> ControlTravel:
    rows = [{"position": f"{x} in", "way": way, "reading": f"{angle:.3f} deg"} for x, way, angle in places]
    typed = {"rotor": "tail rotor", "blade": "A", "control": "pedals", "protractor": "protractor", "places": rows}
    return ControlTravel.from_readings({**typed, "reference": "1.4 deg", **fields})


def sweep(slope: float, start: float, band: float, places: tuple[float, ...] = (0, 1.5, 3, 4.5, 6)) -> ControlTravel:
    """Readings on two lines, the way back `band` degrees above the way out."""
    rows = [(x, "rising", start + slope * x - band / 2 + 1.4) for x in places]
    return travel(*rows, *[(x, "falling", start + slope * x + band / 2 + 1.4) for x in reversed(places)])


def degrees(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.value.m_as("deg"))


# travel


def test_slope_band_and_dead_band_by_hand() -> None:
    """5 deg an inch, 0.5 deg apart: 0.5/5 = 0.1 in of pedal before the blade follows."""
    outcome = sweep(5, -8, 0.5).work(DEMO)
    assert_quantity(outcome.finding("slope").measured, "5.000 deg/in")
    assert_quantity(outcome.finding("friction_band").measured, "0.500 deg")
    assert_quantity(outcome.finding("dead_band").measured, "0.1000 in")
    assert degrees(outcome, "departure") == pytest.approx(0, abs=1e-9)
    assert outcome.word == IN_LIMITS
    assert outcome.finding("dead_band").row()[2] == "at most 0.15 in (demo manual 7-11)"
    assert sweep(5, -8, 1.5).work(DEMO).word == OUT_OF_LIMITS


def test_the_common_range_of_the_pedals() -> None:
    """+9 to -26.5 deg over 6 in (common practice, no source): -35.5/6 = -5.917 deg an inch; 0.4 deg: 0.0676 in."""
    outcome = sweep(-35.5 / 6, 9, -0.4).work(DEMO)
    assert_quantity(outcome.finding("slope").measured, "-5.917 deg/in")
    assert_quantity(outcome.finding("friction_band").measured, "0.400 deg")
    assert_quantity(outcome.finding("dead_band").measured, "0.0676 in")


@examples(30)
@given(st.floats(1, 9), st.floats(-20, 20), st.floats(0, 2))
def test_two_lines_are_found_whatever_they_are(slope: float, start: float, band: float) -> None:
    outcome = sweep(slope, start, band).work(DEMO)
    assert float(outcome.finding("slope").measured.value.m_as("deg/in")) == pytest.approx(slope, abs=1e-3)
    assert degrees(outcome, "friction_band") == pytest.approx(band, abs=2e-3)


def test_the_reference_moves_no_slope_and_no_band() -> None:
    one, other = sweep(5, -8, 0.5).work(DEMO), sweep(5, -8, 0.5).model_copy(update={"reference": None}).work(DEMO)
    for key in ("slope", "friction_band", "dead_band"):
        assert one.finding(key).measured.si == pytest.approx(other.finding(key).measured.si)
    assert said(other, "No reference was read")


def test_ways_confused_are_told() -> None:
    assert said(sweep(5, -8, -1.5).work(DEMO), "the blade would run ahead of its control")


def test_one_way_alone_gives_a_slope() -> None:
    outcome = travel((0, "rising", 0), (2, "rising", 10), (4, "rising", 20)).work(DEMO)
    assert [f.key for f in outcome.findings] == ["slope", "departure"]
    assert said(outcome, "Only one direction was read")


def test_a_place_where_the_blade_hardly_follows_is_named() -> None:
    rows = [(x, "rising", y) for x, y in ((0, 0.0), (1, 5.0), (2, 10.0), (3, 10.8), (4, 15.8), (5, 20.8))]
    outcome = travel(*rows).work(DEMO)
    assert said(outcome, "The blade follows least between 2.00 in and 3.00 in")


def test_a_bent_linkage_is_out_of_limits_and_not_in_doubt() -> None:
    """4 deg lost over the last of five places, both ways: 1.6 deg off the straight line, known to 0.2."""
    straight = [(x, way, 5 * x) for way in ("rising", "falling") for x in (0, 1.5, 3, 4.5, 6)]
    bent = [(x, way, angle - (4 if x == 6 else 0)) for x, way, angle in straight]
    assert travel(*straight).work(DEMO).finding("departure").verdict.word == IN_LIMITS
    found = travel(*bent).work(DEMO).finding("departure")
    assert abs(degrees(travel(*bent).work(DEMO), "departure")) == pytest.approx(1.6, abs=1e-3)
    assert found.verdict.word == OUT_OF_LIMITS


@pytest.mark.parametrize(
    ("limit", "off", "word"),
    [
        ({"low": "-3 deg", "high": "3 deg"}, -2.0, IN_LIMITS),
        ({"low": "-3 deg", "high": "0.5 deg"}, 1.0, OUT_OF_LIMITS),
        ({"high": "0.5 deg"}, 1.0, OUT_OF_LIMITS),
        ({"low": "-0.5 deg"}, -2.0, OUT_OF_LIMITS),
        ({"high": "1.5 deg"}, -2.0, IN_LIMITS),
    ],
)
def test_a_departure_is_judged_where_it_is_worst_by_its_limit(limit: dict[str, str], off: float, word: str) -> None:
    """Off a line of 5 deg for each inch by 1, 0, -2, 0, 1: they add up to nothing, and about the middle to no slope."""
    places = [(x, way, 5 * x + more) for way in ("rising", "falling") for x, more in enumerate((1, 0, -2, 0, 1))]
    craft = aircraft(control_limits__travel__pedals__departure={**limit, "source": "test"})
    outcome = travel(*places).work(craft)
    assert degrees(outcome, "departure") == pytest.approx(off, abs=1e-6)
    assert outcome.finding("departure").verdict.word == word


def test_the_chart_has_both_lines_with_their_readings() -> None:
    chart = next(p for p in sweep(5, -8, 0.5).work(DEMO).pictures if isinstance(p, Chart))
    assert [c.label for c in chart.curves] == ["line, position rising", "line, position falling"]
    assert [len(d.x) for d in chart.dots] == [5, 5]
    assert list(chart.curves[0].x) == pytest.approx([0, 6])


@pytest.mark.parametrize(
    ("made", "path", "told"),
    [
        (travel((0, "rising", 0), (1, "rising", 5)), "places", "needs readings at three places or more, got 2"),
        (
            travel((0, "rising", 0), (1, "rising", 5), (2, "not watched", 9)),
            "places.2.way",
            "for all of them, or for none",
        ),
        (travel((0, "rising", 0), blade="C"), "blade", "is not a blade of the tail rotor; blades: A, B"),
        (
            travel((0, "rising", 0), control="throttle"),
            "control",
            "is no control of the aircraft file: it has collective",
        ),
        (travel((0, "rising", 0), places=[{"position": "1 in"}]), "places.0.reading", "is missing"),
        (travel((0, "rising", 0), places=[{"reading": "1 deg"}]), "places.0.position", "is missing"),
    ],
)
def test_what_is_wrong_with_a_sweep_is_told(made: ControlTravel, path: str, told: str) -> None:
    assert told in problems_of(made)[path]


def test_all_at_one_place_is_refused() -> None:
    found = problems_of(travel((1, "rising", 0), (1, "rising", 5), (1, "rising", 5)))
    assert "cannot tell" in found[""]


def test_without_limits_the_figures_stand_alone() -> None:
    outcome = sweep(5, -8, 0.5).work(aircraft(control_limits=LEFT_OUT))
    assert outcome.word == NO_LIMIT
    assert not any(isinstance(p, Bars) for p in outcome.pictures)
    bare = aircraft(control_limits=LEFT_OUT, controls=LEFT_OUT)
    assert "write [controls]" in problems_of(sweep(5, -8, 0.5), bare)["control"]


# corners


def corners(tried: int = 16, craft: Aircraft = DEMO, **changed: dict[str, str]) -> ControlCorners:
    """The first of all corners tried and found free, some rows changed: ``row_3={"contact": ...}``."""
    start = ControlCorners.start(craft)
    for i, row in enumerate(start["corners"]):
        if i < tried:
            row.update(reached="every control", contact="free")
        row.update(changed.get(f"row_{i}", {}))
    return ControlCorners.from_readings({**start, "rule": "caliper"})


def test_all_corners_free_is_in_limits() -> None:
    outcome = corners().work(DEMO)
    assert outcome.word == IN_LIMITS
    assert outcome.finding("corners_tried").row()[1] == "16"
    assert said(outcome, "16 of 16 combinations tried")


@pytest.mark.parametrize("tried", [1, 8, 15])
def test_no_verdict_before_all_are_tried(tried: int) -> None:
    outcome = corners(tried).work(DEMO)
    assert outcome.word == UNDONE
    assert len(outcome.missing) == 16 - tried
    assert outcome.finding("corners_tried").verdict.settle == f"try the other {16 - tried}"
    assert said(outcome, "not tried: ")
    (looks,) = [p for p in outcome.pictures if isinstance(p, Looks)]
    assert sum(row.seen == "not tried" and row.word == UNDONE for row in looks.rows) == 16 - tried
    assert all(finding.verdict.word == UNDONE for finding in outcome.findings)


def test_one_contact_decides_the_whole() -> None:
    touched = {"contact": "touches or binds", "what": "pitch link on hub bolt"}
    for tried in (1, 16):
        outcome = corners(tried, row_3=touched).work(DEMO)
        assert outcome.word == OUT_OF_LIMITS
        assert "pitch link on hub bolt" in outcome.finding("corners_faulty").verdict.settle
    short = corners(row_5={"reached": "one falls short"}).work(DEMO)
    assert short.finding("corners_faulty").measured.si == 1
    assert short.word == OUT_OF_LIMITS


def test_a_clearance_is_judged_with_its_uncertainty() -> None:
    """1/8 in at least, the caliper known to 0.004: 0.15 in, 0.127 too close, 0.1 out."""
    for size, word in (("0.15 in", IN_LIMITS), ("0.127 in", "too close to call"), ("0.1 in", OUT_OF_LIMITS)):
        outcome = corners(row_0={"clearance": size}).work(DEMO)
        (found,) = [f for f in outcome.findings if f.key.startswith("clearance.")]
        assert found.verdict.word == outcome.word == word
        assert found.key == "clearance.low_stop.full_forward.full_left.full_left"


def test_half_a_look_is_no_verdict() -> None:
    outcome = corners(row_2={"reached": "not looked at"}).work(DEMO)
    assert outcome.word == UNDONE
    assert outcome.finding("corners_faulty").verdict.settle.startswith("look at the 1 that")


def test_a_clearance_however_ample_is_no_look_at_contact_and_ends() -> None:
    """1/8 in at least: 0.5 in is ample at every corner, and nobody looked whether anything touches elsewhere."""
    rows = {
        f"row_{i}": {"clearance": "0.5 in", "contact": "not looked at", "reached": "not looked at"} for i in range(16)
    }
    outcome = corners(**rows).work(DEMO)
    assert outcome.word == UNDONE
    assert len(outcome.missing) == 16
    (looks,) = [p for p in outcome.pictures if isinstance(p, Looks)]
    assert {row.word for row in looks.rows} == {UNDONE}


def test_a_clearance_without_a_limit_is_not_undone() -> None:
    outcome = corners(row_0={"clearance": "0.15 in"}, craft=aircraft(control_limits=LEFT_OUT)).work(DEMO)
    bare = corners(row_0={"clearance": "0.15 in"}).work(aircraft(control_limits=LEFT_OUT))
    assert outcome.word == IN_LIMITS
    assert bare.word == NO_LIMIT
    assert not any(finding.verdict.undone for finding in bare.findings)


def test_the_corners_follow_the_aircraft() -> None:
    two = aircraft(controls={"collective": ["low", "high"], "stick": ["forward", "aft"]}, control_limits=LEFT_OUT)
    start = ControlCorners.start(two)
    assert [row["corner"] for row in start["corners"]] == [
        "collective low, stick forward",
        "collective low, stick aft",
        "collective high, stick forward",
        "collective high, stick aft",
    ]
    assert corners(4, two).work(two).word == IN_LIMITS


@pytest.mark.parametrize(
    ("row", "path", "told"),
    [
        ({"corner": "collective up"}, "corners.0.corner", "is no combination of the controls' ends"),
        ({"contact": "touches or binds"}, "corners.0.what", "what touches what, and where"),
    ],
)
def test_what_is_wrong_with_a_corner_is_told(row: dict[str, str], path: str, told: str) -> None:
    assert told in problems_of(corners(row_0=row))[path]


def test_a_corner_twice_and_words_without_a_look() -> None:
    first = ControlCorners.start(DEMO)["corners"][0]["corner"]
    assert "already entered in row 1" in problems_of(corners(row_1={"corner": first}))["corners.1.corner"]
    found = problems_of(corners(4, row_9={"what": "near the mast"}))
    assert "nothing is marked as looked at" in found["corners.9.contact"]


def test_what_was_seen_is_a_reading() -> None:
    start = ControlCorners.start(DEMO)
    assert ControlCorners.is_blank(start)
    start["corners"][3]["contact"] = "free"
    assert not ControlCorners.is_blank(start)
    bare = aircraft(controls=LEFT_OUT, control_limits=LEFT_OUT)
    assert "write [controls]" in problems_of(ControlCorners.from_readings({}), bare)["corners"]
