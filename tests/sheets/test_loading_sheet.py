"""The loading sheet, by plain arithmetic apart from the library."""

import math
import re
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.mass import Loading, ballast_that_brings_inside, envelope
from rotorkit.pictures.data import Chart
from rotorkit.quantities import assert_quantity
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.weighing.loading import LoadingSheet
from tests.sheets.small import small_aircraft

EMPTY, ARM, SIDE = 800.0, 107.0, -0.2
STATIONS: dict[str, Any] = {
    "pilot": {"title": "Pilot", "arm": "80 in", "lateral_arm": "10 in", "least": "130 lb", "most": "240 lb"},
    "guest": {"title": "Guest", "arm": "80 in", "lateral_arm": "-10 in", "most": "240 lb", "or_none": True},
    "tank": {"title": "Tank", "arm": "110 in", "lateral_arm": "-5 in", "most": "120 lb", "burns": True},
}


def lengthwise(aft: str = "104 in") -> dict[str, Any]:
    corners = [("96 in", "850 lb"), ("96 in", "1300 lb"), ("101 in", "1300 lb"), (aft, "1000 lb"), (aft, "850 lb")]
    return {
        "title": "Length",
        "between": "arm and mass",
        "corners": [{"arm": x, "mass": m} for x, m in corners],
        "source": "test",
    }


CORNERS = [
    {"lateral_arm": x, "mass": m}
    for x, m in (("-2 in", "850 lb"), ("-2 in", "1300 lb"), ("2 in", "1300 lb"), ("2 in", "850 lb"))
]
SIDEWAYS = {"title": "Side", "between": "lateral arm and mass", "corners": CORNERS, "source": "test"}


def craft(*hulls: dict[str, Any], **changes: Any) -> Aircraft:
    return small_aircraft(
        loading={
            "empty_weight": f"{EMPTY} ± 2 lb",
            "empty_arm": f"{ARM} ± 0.1 in",
            "empty_lateral_arm": f"{SIDE} ± 0.1 in",
            "source": "test",
            "stations": STATIONS,
            "envelopes": list(hulls or (lengthwise(), SIDEWAYS)),
            **changes,
        },
        weights__maximum="1300 lb",
    )


def worked(pilot: float = 180, guest: float = 160, tank: float = 100, left: float = 0, on: Aircraft | None = None
           ) -> Outcome:  # fmt: skip
    rows = [
        {"station": "Pilot", "mass": f"{pilot} ± 1 lb"},
        {"station": "guest", "mass": f"{guest} ± 1 lb"},
        {"station": "Tank", "mass": f"{tank} ± 2 lb", "left": f"{left} ± 0.1 lb"},
    ]
    return LoadingSheet.from_readings({"items": rows}).work(on or craft())


def plain(pilot: float, guest: float, tank: float) -> tuple[float, float, float]:
    mass = EMPTY + pilot + guest + tank
    arm = (EMPTY * ARM + (pilot + guest) * 80 + tank * 110) / mass
    return mass, arm, (EMPTY * SIDE + (pilot - guest) * 10 - tank * 5) / mass


def inches(outcome: Outcome, key: str) -> float:
    return float(outcome.finding(key).measured.value.m_as("in"))


def test_what_no_loading_can_meet_is_said_before_anything_slow() -> None:
    """A pilot of 600 lb at the least makes 1,400 lb with the 800 empty, above the 1,300 allowed."""
    heavy = {**STATIONS, "pilot": {**STATIONS["pilot"], "least": "600 lb", "most": "700 lb"}}
    rows = [{"station": "Pilot", "mass": "180 ± 1 lb"}]
    for stations, leads in ((heavy, True), (STATIONS, False)):
        sheet, on = LoadingSheet.from_readings({"items": rows}), craft(stations=stations)
        for outcome in (sheet.quickly(on), sheet.work(on)):
            assert any(one.startswith("Even the lightest loading, 1,400") for one in outcome.lead) == leads


def test_both_ends_of_the_flight() -> None:
    outcome = worked()
    for key, tank in (("start", 100), ("end", 0)):
        _, arm, side = plain(180, 160, tank)
        assert inches(outcome, f"arm_{key}") == pytest.approx(arm)
        assert inches(outcome, f"lateral_arm_{key}") == pytest.approx(side)
    assert float(outcome.finding("gross_weight").measured.value.m_as("lb")) == pytest.approx(1240)
    assert outcome.word == IN_LIMITS
    assert outcome.missing == []
    charts = [one for one in outcome.pictures if isinstance(one, Chart)]
    assert [one.title for one in charts[:2]] == ["Length", "Side"]
    side, above = charts[2:]  # where the loads lie: each stands over its arm as high as it is heavy
    assert [(one.label, one.x, one.y) for one in side.points] == [
        ("empty", pytest.approx(107), pytest.approx(800)), ("Pilot", pytest.approx(80), pytest.approx(180)),
        ("Guest", pytest.approx(80), pytest.approx(160)), ("Tank", pytest.approx(110), pytest.approx(100)),
    ]  # fmt: skip
    places = {one.label: (one.x, one.y) for one in above.points}
    assert places["Guest"] == pytest.approx((80, -10))
    assert places["total at the start"] == pytest.approx(plain(180, 160, 100)[1:])
    assert charts[0].curves[1].x[0] == pytest.approx(plain(180, 160, 100)[1])
    assert charts[0].curves[1].x[-1] == pytest.approx(plain(180, 160, 0)[1])


def test_margins_at_the_tightest_place() -> None:
    outcome = worked()
    # forward: at the end, with the tank behind the rest empty; aft: where it comes nearest, tried in small steps
    assert inches(outcome, "Length.low") == pytest.approx(plain(180, 160, 0)[1] - 96, abs=2e-3)

    def aft(mass: float) -> float:
        return 104.0 if mass <= 1000 else 104 - (mass - 1000) / 300 * 3

    tried = [aft(plain(180, 160, t / 10)[0]) - plain(180, 160, t / 10)[1] for t in range(1001)]
    assert inches(outcome, "Length.high") == pytest.approx(min(tried), abs=2e-3)


def test_left_of_the_tank_counts() -> None:
    outcome = worked(left=30)
    assert inches(outcome, "arm_end") == pytest.approx(plain(180, 160, 30)[1])


@pytest.mark.parametrize(
    ("aft", "word"),
    # solo, 180 lb and 100 lb of fuel: 102.78 in at the start, 102.04 in at the end, to about 0.15 in
    [
        ("104 in", IN_LIMITS),
        ("103.05 in", IN_LIMITS),
        ("102.85 in", TOO_CLOSE),
        ("102.70 in", TOO_CLOSE),
        ("102.3 in", OUT_OF_LIMITS),
    ],
)
def test_both_sides_of_the_aft_limit(aft: str, word: str) -> None:
    corners = [("96 in", "850 lb"), ("96 in", "1300 lb"), (aft, "1300 lb"), (aft, "850 lb")]
    hull = {**lengthwise(), "corners": [{"arm": x, "mass": m} for x, m in corners]}
    outcome = worked(guest=0, on=craft(hull, SIDEWAYS))
    assert outcome.word == word
    assert outcome.finding("Length.high").verdict.word == word
    assert outcome.finding("Length.inside").verdict.word == word
    assert any("Do not fly" in said for said in outcome.lead) == (float(aft.split()[0]) < plain(180, 0, 100)[1])


@pytest.mark.parametrize("pilot", range(130, 200, 5))
def test_exactly_on_the_edge_without_any_uncertainty_is_in_limits(pilot: int) -> None:
    """The pilot at 80 in and the empty aircraft so far behind 104 in that both balance there: 24 in times the pilot."""
    arm = round(104 + 24 * pilot / EMPTY, 6)
    exact = {"empty_weight": f"{EMPTY} ± 0 lb", "empty_arm": f"{arm} ± 0 in", "empty_lateral_arm": "0 ± 0 in"}
    rows = [{"station": "Pilot", "mass": f"{pilot} ± 0 lb"}, {"station": "Guest", "mass": "0 ± 0 lb"},
            {"station": "Tank", "mass": "0 ± 0 lb", "left": "0 ± 0 lb"}]  # fmt: skip
    for more, word in ((0.0, IN_LIMITS), (1e-6, OUT_OF_LIMITS)):
        exact["empty_arm"] = f"{arm + more:.6f} ± 0 in"
        outcome = LoadingSheet.from_readings({"items": rows}).work(craft(**exact))
        assert {outcome.finding(key).verdict.word for key in ("Length.high", "Length.inside")} == {word}


@pytest.mark.parametrize(
    ("pilot", "guest", "asked"),
    [(130, 0, []), (129, 0, ["Pilot: 129.0 ± 1.0 lb is less than the least it is to hold, 130 lb."]),
     (240, 0, []), (241, 0, ["Pilot: 241.0 ± 1.0 lb is more than it may hold, 240 lb."]),
     (150, 50, ["Guest: 50.0 ± 1.0 lb is less than the least it is to hold, 90 lb."])],
)  # fmt: skip
def test_less_or_more_than_a_station_may_hold_is_asked_about(pilot: float, guest: float, asked: list[str]) -> None:
    """The guest's place may also stay empty."""
    stations = {**STATIONS, "guest": {**STATIONS["guest"], "least": "90 lb"}}
    outcome = worked(pilot=pilot, guest=guest, on=craft(stations=stations))
    assert [said for said in outcome.remarks if "hold" in said] == asked


def test_mirrored_persons_mirror_the_side() -> None:
    one, other = worked(220, 140, 0), worked(140, 220, 0)
    assert inches(one, "lateral_arm_start") - SIDE * EMPTY / 1160 == pytest.approx(
        -(inches(other, "lateral_arm_start") - SIDE * EMPTY / 1160)
    )


@pytest.mark.parametrize(
    ("pilot", "word"), [(235, IN_LIMITS), (239, TOO_CLOSE), (241, TOO_CLOSE), (246, OUT_OF_LIMITS)]
)
def test_the_maximum_weight(pilot: float, word: str) -> None:
    # 800 + pilot + 160 + 100, known to 3.2 lb: 1300 at 240
    assert worked(pilot).finding("gross_weight").verdict.word == word


def test_inside_at_both_ends_and_outside_between_is_out() -> None:
    """A notch in the aft limit that the path passes: checking the ends alone would be calm."""
    start, end = plain(180, 160, 100), plain(180, 160, 0)
    mass, arm, _ = plain(180, 160, 50)
    notch = [("96 in", "850 lb"), ("96 in", "1300 lb"), ("104 in", "1300 lb"), ("104 in", f"{mass + 10} lb"),
             (f"{arm - 1} in", f"{mass} lb"), ("104 in", f"{mass - 10} lb"), ("104 in", "850 lb")]  # fmt: skip
    hull = {**lengthwise(), "corners": [{"arm": x, "mass": m} for x, m in notch]}
    outcome = worked(on=craft(hull, SIDEWAYS))
    assert abs(start[0] - mass) > 20 < abs(end[0] - mass)
    assert outcome.word == OUT_OF_LIMITS
    assert any("as fuel burns off" in said for said in outcome.lead)


def test_far_outside_both_ways_is_out() -> None:
    outcome = worked(500, 500, 100)
    assert outcome.word == OUT_OF_LIMITS
    assert outcome.finding("Length.inside").verdict.word == OUT_OF_LIMITS
    assert any("at start" in said for said in outcome.lead)


def test_worst_loadings_by_trying_all() -> None:
    outcome = worked()
    # end points of each range, 1300 lb at most
    tried = [plain(p, g, t) for p in (130, 240) for g in (0, 240) for t in (0, 120) if EMPTY + p + g + t <= 1300]
    assert inches(outcome, "worst.forward") == pytest.approx(min(arm for _, arm, _ in tried))
    assert inches(outcome, "worst.aft") == pytest.approx(max(arm for _, arm, _ in tried))
    assert inches(outcome, "worst.right") == pytest.approx(max(side for _, _, side in tried))
    narrow = {**SIDEWAYS, "corners": [{**c, "lateral_arm": c["lateral_arm"].replace("2", "1")} for c in CORNERS]}
    told = worked(on=craft(lengthwise(), narrow)).remarks
    assert any("Furthest left" in said and "Outside" in said for said in told)


def test_a_furthest_loading_is_inside_only_by_an_envelope_of_that_direction() -> None:
    def after(*hulls: dict[str, Any], **changes: Any) -> dict[str, str]:
        told = [said for said in worked(on=craft(*hulls, **changes)).remarks if said.startswith("Furthest")]
        return {said.split()[1]: said.rsplit("lb.", 1)[1].strip() for said in told}

    silent = "No envelope in the aircraft file says whether it is allowed."
    both = after()
    assert both["forward"] == both["left"] == "This one is inside."
    one_way = after(lengthwise())
    assert one_way["forward"] == "This one is inside."
    assert one_way["left"] == one_way["right"] == silent
    assert set(after(envelopes=[]).values()) == {silent}


def box(forward: str) -> dict[str, Any]:
    corners = [(forward, "850 lb"), (forward, "1300 lb"), ("104 in", "1300 lb"), ("104 in", "850 lb")]
    return {**lengthwise(), "corners": [{"arm": x, "mass": m} for x, m in corners]}


def test_room_is_told_for_the_whole_flight() -> None:
    """60 lb more with the pilot are inside at the start and forward of the limit once the tank is empty."""
    forward = 98.6
    assert plain(240, 160, 100)[1] > forward > plain(240, 160, 0)[1]
    told = [said for said in worked(on=craft(box(f"{forward} in"), SIDEWAYS)).remarks if "room for" in said]
    # (M + w 80) / (m + w) = 98.6 with the tank empty
    mass, arm, _ = plain(180, 160, 0)
    room = mass * (arm - forward) / (forward - 80)
    assert 20 < room < 60
    assert f"Pilot {math.floor(10 * room) / 10} lb" in told[0]  # 21.29: rounded up it were too much
    out = worked(on=craft(box("99.2 in"), SIDEWAYS))
    assert plain(180, 160, 100)[1] > 99.2 > plain(180, 160, 0)[1]
    assert not any("room for" in said for said in out.remarks)
    assert any("room for" in said for said in worked().remarks)
    assert not any("room for" in said for said in worked(on=craft(lengthwise())).remarks)  # nothing said of the side


def test_a_margin_surely_none_goes_before_one_that_may_be_less() -> None:
    """The tank's arm badly known: full, the aft margin is a little and doubtful; empty, the pilot's seat decides."""
    stations = {**STATIONS, "tank": {**STATIONS["tank"], "arm": "100 ± 30 in"}}
    outcome = worked(pilot=130, guest=0, tank=110, on=craft(lengthwise("102.5 in"), SIDEWAYS, stations=stations))
    start, end = ((EMPTY * ARM + 130 * 80 + tank * 100) / (EMPTY + 130 + tank) for tank in (110, 0))
    margin = outcome.finding("Length.high")
    assert 102.5 - start < 0 < 30 * 110 / 1040 - (start - 102.5)  # may well be inside
    assert margin.verdict.word == OUT_OF_LIMITS
    assert_quantity(margin.measured, f"{102.5 - end:.3f} in")


def test_what_is_missing_is_no_verdict() -> None:
    rows = [{"station": "Pilot", "mass": "180 ± 1 lb"}, {"station": "Tank", "mass": "100 ± 2 lb"}]
    outcome = LoadingSheet.from_readings({"items": rows}).work(craft())
    assert outcome.word == UNDONE
    assert outcome.missing == ["Guest: mass (0 if empty)", "Tank: amount left at the end"]
    one_way = worked(on=craft(lengthwise()))
    assert one_way.word == UNDONE
    assert one_way.missing == ["an envelope to the side in [loading] of the aircraft file"]


@pytest.mark.parametrize(
    ("rows", "path", "said"),
    [
        ([{"station": "Boot", "mass": "1 lb"}], "items.0.station", "defined: Pilot, Guest, Tank"),
        ([{"station": "Pilot", "mass": "1 lb"}, {"station": "PILOT", "mass": "1 lb"}], "items.1.station", "already"),
        ([{"station": "Pilot", "mass": "180 lb", "left": "1 lb"}], "items.0.left", "nothing burns"),
        ([{"station": "Tank", "mass": "80 lb", "left": "81 lb"}], "items.0.left", "more than there was"),
        ([{"station": "Tank", "left": "8 lb"}], "items.0.mass", "is missing"),
        ([], "items", "needs a reading"),
    ],
)
def test_faults_at_their_fields(rows: list[dict[str, str]], path: str, said: str) -> None:
    with pytest.raises(SheetError) as refusal:
        LoadingSheet.from_readings({"items": rows}).work(craft())
    assert said in dict(refusal.value.problems)[path]


def test_where_no_station_is_named_yet_it_says_where_they_are_added() -> None:
    with pytest.raises(SheetError, match="add yours in the notebook Your aircraft, section loading"):
        LoadingSheet.from_readings({"items": [{"station": "Pilot", "mass": "1 lb"}]}).work(craft(stations={}))


def test_without_the_files_section_it_says_what_to_write() -> None:
    with pytest.raises(SheetError, match=r"in \[loading\]"):
        LoadingSheet.from_readings({"items": [{"station": "Pilot", "mass": "1 lb"}]}).work(small_aircraft())


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"envelopes": [{**lengthwise(), "corners": lengthwise()["corners"][:2]}]}, "three or more"),
        ({"envelopes": [{**lengthwise(), "corners": [{"mass": "1 lb"}] * 3}]}, "corner 1 needs arm and its mass"),
        ({"envelopes": [lengthwise(), lengthwise()]}, "different titles"),
        ({"stations": {"a": {"title": "A", "arm": "1 in", "least": "2 lb", "most": "1 lb"}}}, "more than most"),
    ],
)
def test_the_file_is_checked(changes: dict[str, Any], said: str) -> None:
    with pytest.raises(ValueError, match=said):
        craft(**changes)


def test_the_uncertainty_at_start_by_partials() -> None:
    mass, arm, _ = plain(180, 160, 100)
    parts = [
        (ARM - arm) / mass * 2, EMPTY / mass * 0.1, (80 - arm) / mass, (80 - arm) / mass, (110 - arm) / mass * 2
    ]  # fmt: skip
    found = float(worked().finding("arm_start").measured.expanded.m_as("in"))
    assert found == pytest.approx(math.sqrt(sum(p * p for p in parts)), rel=1e-4)


def test_ballast_brings_the_whole_flight_surely_inside() -> None:
    """A light pilot alone is too far aft. Ballast on the other seat: by hand at the last drop, where it lies furthest
    aft of the two ends, to the edge at 102 in (800 · 107 + 130 · 80 + m · 80) / (930 + m) = 102, m = 52.7 lb; and some
    more, so that its ± is inside too. To the side it stays within 2 in: (-160 + 1300 - 10 m) / (930 + m) ± 0.2."""
    on = craft(lengthwise("102 in"), SIDEWAYS)
    alone = {"guest": 0.0, "tank": 0.0, "pilot": 130.0}
    outcome = worked(**alone, on=on)
    assert outcome.word == OUT_OF_LIMITS
    needed = re.search(r"one of these, and no less: (.*)\.", outcome.told_to_do)
    assert needed is not None
    seats = dict(re.findall(r"(\w+) ([\d.]+) lb", needed[1]))
    assert seats.keys() == {"Pilot", "Guest"}  # no tank: it burns
    mass = float(seats["Guest"])
    edge = (800 * 107 + 130 * 80 - 930 * 102) / (102 - 80)
    assert edge < mass < 1.25 * edge
    assert worked(**{**alone, "guest": mass + 1}, on=on).word == IN_LIMITS
    assert worked(**{**alone, "guest": mass - 1.5}, on=on).word == TOO_CLOSE
    # nothing is said where nothing is needed, and what cannot be done is said
    assert "Ballast" not in worked(on=on).to_do
    narrow = craft(lengthwise("102 in"), {**SIDEWAYS, "corners": [
        {"lateral_arm": x, "mass": m} for x, m in (("3 in", "850 lb"), ("3 in", "1300 lb"), ("4 in", "1300 lb"))
    ]})  # fmt: skip
    assert "No ballast at a single place" in worked(**alone, on=narrow).to_do


def test_ballast_where_it_already_sits_somebody_bears_the_place_s_error_once() -> None:
    """Both seats' arms ± 0.5 in: 130 lb and the ballast at the same place are off together, so the pilot's seat needs
    more than the guest's."""
    seats = {name: {**one, "arm": "80 ± 0.5 in"} if name != "tank" else one for name, one in STATIONS.items()}
    on = craft(lengthwise("102 in"), SIDEWAYS, stations=seats)
    alone = {"guest": 0.0, "tank": 0.0, "pilot": 130.0}
    needed = {name.lower(): float(mass) for name, mass in
              re.findall(r"(\w+) ([\d.]+) lb", worked(**alone, on=on).told_to_do.split("no less:")[1])}  # fmt: skip
    assert needed["pilot"] > needed["guest"] + 0.3
    for name, mass in needed.items():
        assert worked(**{**alone, name: alone[name] + mass}, on=on).word == IN_LIMITS


@pytest.mark.parametrize(("maximum", "offered"), [("988 lb", False), ("990 lb", True)])
def test_ballast_leaves_the_maximum_weight_its_own_uncertainty(maximum: str, offered: bool) -> None:
    """55.9 lb are needed at 930 ± 3.2 lb (2, 1, 1 and 2 lb): above 989.1 lb the weight is surely below its maximum."""
    on = small_aircraft(loading=craft(lengthwise("102 in"), SIDEWAYS).loading, weights__maximum=maximum)
    outcome = worked(pilot=130, guest=0, tank=0, on=on)
    assert ("one of these, and no less" in outcome.told_to_do) == offered
    assert ("No ballast at a single place" in outcome.told_to_do) != offered
    if offered:
        assert worked(pilot=130, guest=55.9, tank=0, on=on).word == IN_LIMITS


def test_ballast_by_hand_for_one_limit() -> None:
    """FAA-H-8083-1B, p. 10-7 (quoted, WB6): 1,876 lb at 32.2 in, wanted at 33 in, ballast at 228 in: 7.69641 lb."""
    hull = envelope([("33 in", "1000 lb"), ("33 in", "3000 lb"), ("40 in", "3000 lb"), ("40 in", "1000 lb")])
    load = Loading.at("1876 lb", "32.2 in")
    found = ballast_that_brings_inside(load, load, [hull], "228 in")
    assert found is not None
    assert_quantity(found, "7.69641 lb", within="0.0001 lb")
    # mirrored, from aft of the other limit by ballast ahead of it: 1876 (40 - 40.8) / (-155 - 40) lb
    aft = Loading.at("1876 lb", "40.8 in")
    mirrored = ballast_that_brings_inside(aft, aft, [hull], "-155 in")
    assert mirrored is not None
    assert_quantity(mirrored, f"{1876 * 0.8 / 195} lb", within="0.0001 lb")
    assert ballast_that_brings_inside(aft, aft, [hull], "228 in") is None
    inside = Loading.at("1876 lb", "35 in")
    assert float(getattr(ballast_that_brings_inside(inside, inside, [hull], "228 in"), "si", -1)) == 0


def test_ballast_counts_the_end_of_the_flight() -> None:
    """Inside at the start, too far forward with the tank empty. In the tail, by hand at the end, to the edge:
    (800 · 107 + 340 · 80 + 200 m) / (1140 + m) = 99.3 in, m = 3.99 lb; at the start none is needed."""
    corners = [("99.3 in", "850 lb"), ("99.3 in", "1300 lb"), ("103 in", "1300 lb"), ("103 in", "850 lb")]
    hull = {**lengthwise(), "corners": [{"arm": x, "mass": m} for x, m in corners]}
    tail = {"title": "Tail", "arm": "200 in", "most": "60 lb"}
    on = craft(hull, SIDEWAYS, stations={**STATIONS, "tail": tail})
    rows = [{"station": name, "mass": f"{mass} ± 1 lb"} for name, mass in (("Pilot", 180), ("Guest", 160))]
    rows += [{"station": "Tank", "mass": "100 ± 1 lb", "left": "0 ± 0.1 lb"}]

    def with_tail(mass: float) -> Outcome:
        return LoadingSheet.from_readings({"items": [*rows, {"station": "Tail", "mass": f"{mass} ± 0 lb"}]}).work(on)

    found = with_tail(0)
    assert found.word == OUT_OF_LIMITS
    needed = float(re.search(r"no less: Tail ([\d.]+) lb", found.told_to_do)[1])  # type: ignore[index]
    assert needed > (99.3 * 1140 - 800 * 107 - 340 * 80) / (200 - 99.3)
    assert with_tail(needed).word == IN_LIMITS
    assert with_tail(needed - 0.3).word == TOO_CLOSE


@pytest.mark.parametrize(
    ("low", "high", "first"),
    [("-2 in", "2 in", None), ("-0.4 in", "2 in", "Right tank"), ("-2 in", "0.4 in", "Left tank")],
)
def test_tanks_that_empty_one_after_the_other_lead_where_that_leaves_the_envelope(
    low: str, high: str, first: str | None
) -> None:
    """Two tanks of 60 lb 14 in to either side: in proportion the centre of gravity stays near the middle. With one of
    them empty, by hand, (-0.2 · 800 + 10 · 180 - 10 · 160 ± 14 · 60) / 1,200 = 0.73 in right or 0.67 in left."""
    tank = {**STATIONS["tank"], "most": "60 lb"}
    stations = {name: STATIONS[name] for name in ("pilot", "guest")}
    stations |= {
        "left": {**tank, "title": "Left tank", "lateral_arm": "-14 in"},
        "right": {**tank, "title": "Right tank", "lateral_arm": "14 in"},
    }
    corners = [
        {"lateral_arm": x, "mass": m}
        for x, m in ((low, "850 lb"), (low, "1300 lb"), (high, "1300 lb"), (high, "850 lb"))
    ]
    craft_of_two = craft(lengthwise(), {**SIDEWAYS, "corners": corners}, stations=stations)
    rows = [
        {"station": "Pilot", "mass": "180 ± 1 lb"},
        {"station": "Guest", "mass": "160 ± 1 lb"},
        {"station": "Left tank", "mass": "60 ± 1 lb", "left": "0 lb"},
        {"station": "Right tank", "mass": "60 ± 1 lb", "left": "0 lb"},
    ]
    outcome = LoadingSheet.from_readings({"items": rows}).work(craft_of_two)
    told = [one for one in outcome.lead if "in proportion" in one]
    if first is None:
        assert not told
    else:
        assert told == [
            f"Side: inside only where the tanks empty in proportion. With {first} emptied first it lies outside the "
            "envelope: do not fly it until you know how they empty."
        ]
    # of one tank there is no order
    assert not any("in proportion" in one for one in [*worked().lead, *worked().remarks])


def test_the_room_that_is_told_is_rounded_down() -> None:
    """By hand: 800 empty, 100 of fuel and 180 + 93.37 lb aboard weigh 1,173.37 lb, 126.63 below what is allowed, and
    the envelope is further."""
    outcome = worked(guest=93.37)
    told = next(one for one in outcome.remarks if one.startswith("From start to end there is room"))
    rooms = dict(re.findall(r"(\w+) ([\d.]+) lb", told))
    assert {name: float(room) for name, room in rooms.items()} == {"Pilot": 60.0, "Guest": 126.6, "Tank": 20.0}


def test_room_is_for_the_way_between_the_ends_too() -> None:
    """An envelope with a notch half way: a pilot who is heavier passes its tip as the fuel burns, though start and end
    lie inside. By plain arithmetic over the whole way, a hundredth of a pound at a time."""
    corners = [("96 in", "850 lb"), ("96 in", "1180 lb"), ("99.2 in", "1200 lb"), ("96 in", "1220 lb"),
               ("96 in", "1300 lb"), ("104 in", "1300 lb"), ("104 in", "850 lb")]  # fmt: skip
    notched = {**lengthwise(), "corners": [{"arm": x, "mass": m} for x, m in corners]}

    def inside(more: float) -> bool:
        for tank in range(1001):
            mass, arm, side = plain(180 + more, 160, tank / 10)
            forward = 96 + 3.2 * max(0.0, 1 - abs(mass - 1200) / 20)
            if arm < forward or abs(side) > 2 or mass > 1300:
                return False
        return True

    by_hand = next(more / 10 for more in range(601) if not inside((more + 1) / 10))
    assert 0 < by_hand < 60
    told = next(said for said in worked(on=craft(notched, SIDEWAYS)).remarks if "room for" in said)
    assert f"Pilot {by_hand} lb" in told
