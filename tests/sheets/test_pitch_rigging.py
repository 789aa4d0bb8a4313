"""Pitch-rigging sheet: what to turn, worked by hand and against an exact rotor; threads, effects, refusals."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, OUT_OF_LIMITS, UNDONE
from rotorkit.pictures import draw
from rotorkit.pictures.data import Bars, Looks, Turns
from rotorkit.quantities import assert_quantity
from rotorkit.sheets import BladeAngles, PitchRigging, SheetError
from rotorkit.sheets.base import Outcome
from tests.searching import examples
from tests.sheets.variants import LEFT_OUT, aircraft

DEMO = aircraft()
NO_RODS = aircraft(main_rotor__rods=LEFT_OUT)
SEEN = "threads seen, wire stops"
LEAN = 0.6
# The demo's links by hand: both ends 1/4-28, one flat 2/28/6 = 0.0119048 in on 6.5 in: 0.10494 deg where the horn is
# square, 8 deg; at 2 deg 0.10494/cos(6 deg) = 0.1055 deg.
FLAT = math.degrees(2 / 28 / 6 / 6.5)


def stations(angles: dict[tuple[str, str], float], repeats: int = 3) -> list[dict[str, str]]:
    """Rows read half a turn apart with the protractor facing one way, the shaft leaning by `LEAN`."""
    return [
        {
            "blade": blade,
            "position": position,
            "reading": "; ".join([f"{angle + LEAN:.3f} deg"] * repeats),
            "second": "; ".join([f"{-angle + LEAN:.3f} deg"] * repeats),
        }
        for (blade, position), angle in angles.items()
    ]


def angles(white: tuple[float, float], yellow: tuple[float, float]) -> dict[tuple[str, str], float]:
    return {
        (blade, position): angle
        for i, position in enumerate(("low stop", "high stop"))
        for blade, angle in (("white", white[i]), ("yellow", yellow[i]))
    }


def links(white: float = 0.55, yellow: float = 0.55, hole: str = SEEN) -> list[dict[str, str]]:
    return [
        {"blade": blade, "upper": f"{e} in", "lower": f"{e} in", "upper_hole": hole, "lower_hole": hole}
        for blade, e in (("white", white), ("yellow", yellow))
    ]


def sheet(read: dict[tuple[str, str], float], **fields: Any) -> PitchRigging:
    typed = {
        "rotor": "main rotor",
        "protractor": "protractor",
        "way": "half a turn apart, protractor kept facing one way",
        "caliper": "caliper",
        "stations": stations(read),
        "links": links(),
        **fields,
    }
    return PitchRigging.from_readings({name: given for name, given in typed.items() if given is not None})


def flats(outcome: Outcome, aim: int = 0) -> dict[str, int]:
    """What each thing is to be turned by, signed, from the words of the picture."""
    (picture,) = [one for one in outcome.pictures if isinstance(one, Turns)]
    found = {}
    for row in picture.rows:
        turn = row.turns[min(aim, len(row.turns) - 1)]
        found[row.label] = turn.way * int(turn.amount.split()[0]) if turn.way else 0
    return found


def problems_of(made: PitchRigging, craft: Aircraft = DEMO) -> dict[str, str]:
    with pytest.raises(SheetError) as caught:
        made.work(craft)
    return dict(caught.value.problems)


def said(outcome: Outcome, words: str) -> bool:
    return any(words in sentence for sentence in outcome.remarks)


# what to turn, by hand


def test_two_links_by_hand() -> None:
    """Links alone, every blade off by the same at both stops: white 0.85 deg high = 8 flats, yellow 1.05 low = 10."""
    made = sheet(angles((2.85, 14.85), (0.95, 12.95)), adjust="pitch links alone")
    outcome = made.work(DEMO)
    assert flats(outcome) == {"White pitch link": -8, "Yellow pitch link": 10}
    assert said(outcome, "18 flats in all bring every station into limits")
    assert said(outcome, "White pitch link: 8 flats shorter (1 1/3 turns). Jam nuts loose")
    assert said(outcome, "Yellow pitch link: 10 flats longer (1 2/3 turns)")
    assert said(outcome, "Turn, lock, read again")


def test_a_stop_is_turned_where_all_blades_stand_wrong_at_it_alone() -> None:
    """Both blades 0.6 deg high at the high stop only: the stop further out by 6 flats of -0.1 deg, the links stay."""
    turned = flats(sheet(angles((2.0, 14.6), (2.0, 14.6))).work(DEMO))
    assert turned["High collective stop"] in range(4, 8)
    assert {n for name, n in turned.items() if name != "High collective stop"} == {0}


def test_the_best_margin_turns_no_more_than_it_takes() -> None:
    """Nothing is gained by turning all links one way and the collective rod the other."""
    turned = flats(sheet(angles((2.85, 14.82), (1.02, 12.95))).work(DEMO))
    assert sum(map(abs, turned.values())) <= 20
    assert turned["Collective rod"] == 0


def test_in_limits_nothing_is_turned_to_no_purpose() -> None:
    outcome = sheet(angles((2.0, 14.0), (2.0, 14.0))).work(DEMO)
    assert set(flats(outcome).values()) == {0}
    assert said(outcome, "Every station is in limits: nothing needs to be turned")
    assert not any(isinstance(p, Bars) and "Expected" in p.title for p in outcome.pictures)


def test_the_fewest_flats_stand_beside_the_best_margin() -> None:
    outcome = sheet(angles((2.85, 14.85), (0.95, 12.95)), adjust="pitch links alone").work(DEMO)
    best, fewest = flats(outcome), flats(outcome, 1)
    assert sum(map(abs, fewest.values())) <= sum(map(abs, best.values()))
    (turns,) = [one for one in outcome.pictures if isinstance(one, Turns)]
    assert list(turns.aims) == ["Best margin", "Fewest flats"]
    after = [p for p in outcome.pictures if isinstance(p, Bars) and p.title.startswith("Expected after turning")]
    assert len(after) == 2
    assert all(row.word == IN_LIMITS for picture in after for row in picture.rows)
    # nothing is in limits before it was read again: a forecast says that it is one
    assert all(row.shown == "expected in limits" for picture in after for row in picture.rows)
    assert "expected in limits" in draw(after[0])
    (now,) = [p for p in outcome.pictures if isinstance(p, Bars) and p.title == "As read now"]
    assert not any(row.shown for row in now.rows)


@examples(25)
@given(st.tuples(*[st.integers(-9, 9)] * 2), st.tuples(*[st.integers(-5, 5)] * 3))
def test_a_rotor_put_out_of_rig_is_brought_back(out: tuple[int, int], rods: tuple[int, int, int]) -> None:
    """An exact rotor (arcsines), out of rig by whole flats; after turning as planned every true angle is in limits."""

    def true(blade: int, stop: int, turned: dict[str, int]) -> float:
        middle, name = (2.0, 14.0)[stop], ("White", "Yellow")[blade]
        link = out[blade] + turned.get(f"{name} pitch link", 0)
        angle = math.degrees(math.asin(math.sin(math.radians(middle - 8)) + link * math.radians(FLAT))) + 8
        angle += 0.15 * (rods[0] + turned.get("Collective rod", 0))
        place = ("Low collective stop", "High collective stop")[stop]
        return angle + (0.1, -0.1)[stop] * (rods[1 + stop] + turned.get(place, 0))

    def read(turned: dict[str, int]) -> dict[tuple[str, str], float]:
        white, yellow = ((true(b, 0, turned), true(b, 1, turned)) for b in (0, 1))
        return angles(white, yellow)

    before = sheet(read({}))
    outcome = before.work(DEMO)
    after = sheet(read(flats(outcome))).work(DEMO)
    assert {f.verdict.word for f in after.findings if not f.aside} == {IN_LIMITS}
    assert sum(map(abs, flats(after).values())) == 0 or flats(after) is not None


def test_what_is_expected_is_what_comes_of_it() -> None:
    """White 8 flats shorter at 2.85 deg: 8 x 0.10494/cos(5.15 deg) = 0.843: 2.007 deg, as the worked step has it."""
    outcome = sheet(angles((2.85, 14.85), (0.95, 12.95)), adjust="pitch links alone").work(DEMO)
    step = next(s for s in outcome.steps if s.title == "Expected after turning: blade white, low stop")
    assert_quantity(step.value, "2.007 deg", within="0.002 deg")


# threads


def test_engagement_before_and_after() -> None:
    """10 flats longer take 10/6/28 = 0.0595 in from each end: 0.55 - 0.0595 = 0.4905 in."""
    outcome = sheet(angles((2.85, 14.85), (0.95, 12.95)), adjust="pitch links alone").work(DEMO)
    assert outcome.finding("engagement.yellow.upper").row()[1:] == (
        "0.5500 ± 0.0040 in",
        "0.375 in to 0.7 in (demo manual 7-5)",
        "in limits",
    )
    step = next(s for s in outcome.steps if s.title == "Engagement after turning: link yellow, upper rod end")
    assert_quantity(step.value, "0.4905 in")


def test_the_thread_sets_how_far_a_link_may_go() -> None:
    """0.41 in of 0.375 with 0.004 in of doubt: 0.031 in = 0.868 turns = 5.2 flats: 5 flats longer at most."""
    made = sheet(angles((2.85, 14.85), (0.95, 12.95)), adjust="pitch links alone", links=links(0.55, 0.41))
    outcome = made.work(DEMO)
    assert flats(outcome)["Yellow pitch link"] == 5
    assert said(outcome, "Thread engagement prevents it: yellow pitch link (longer)")


def test_an_end_that_is_not_surely_in_far_enough_keeps_its_link_as_it_is() -> None:
    outcome = sheet(angles((2.85, 14.85), (0.95, 12.95)), links=links(0.55, 0.376)).work(DEMO)
    assert flats(outcome)["Yellow pitch link"] == 0
    assert said(outcome, "it is not certain that the upper and the lower rod end is in by the least engagement")
    assert outcome.finding("engagement.yellow.upper").verdict.word == "too close to call"


def test_a_witness_hole_that_lets_the_wire_through_is_out_of_limits_and_no_longer_link() -> None:
    made = sheet(angles((2.85, 14.85), (0.95, 12.95)), links=links(hole="wire passes"))
    outcome = made.work(DEMO)
    found = outcome.finding("witness.white.upper")
    assert (found.measured.si, found.verdict.word) == (1.0, "out of limits")
    assert all(n <= 0 for name, n in flats(outcome).items() if name.endswith("pitch link"))
    (looks,) = [p for p in outcome.pictures if isinstance(p, Looks)]
    assert [row.word for row in looks.rows] == ["out of limits"] * 4


def test_without_engagement_the_plan_stays_within_two_turns_and_says_so() -> None:
    outcome = sheet(angles((4.2, 16.2), (2.0, 14.0)), links=None, adjust="pitch links alone").work(DEMO)
    assert flats(outcome)["White pitch link"] == -12
    assert said(outcome, "The engagement of the link of blade white was not measured")


def test_which_way_round() -> None:
    """A right-hand end leaves the body as the body turns clockwise, seen from that end; the upper one is right hand."""
    made = sheet(angles((1.2, 13.2), (2.0, 14.0)), adjust="pitch links alone")
    assert said(made.work(DEMO), "turn the body clockwise as seen from the pitch horn along the link")
    left = aircraft(
        main_rotor__pitch_links__upper_thread="1/4-28 left hand", main_rotor__pitch_links__lower_thread="1/4-28"
    )
    assert said(made.work(left), "turn the body counter-clockwise as seen from the pitch horn along the link")


def test_the_tail_rotor_is_rigged_by_the_same_sheet() -> None:
    """One rod end of 10-32, by half turns: 1/64 in on 2.25 in = 0.398 deg a step; blade A 1 deg low everywhere."""
    at = {("A", "low stop"): -4.0, ("A", "neutral"): 6.0, ("A", "high stop"): 26.0}
    at |= {("B", "low stop"): -3.0, ("B", "neutral"): 7.0, ("B", "high stop"): 27.0}
    rows = [{**row, "position": row["position"]} for row in stations(at)]
    ends = [{"blade": b, "upper": "0.4 in"} for b in "AB"]
    outcome = sheet(at, rotor="tail rotor", stations=rows, links=ends).work(DEMO)
    turned = flats(outcome)
    assert turned == {"A pitch link": 2, "B pitch link": 0} or turned == {"A pitch link": 3, "B pitch link": 0}
    assert said(outcome, "Take the rod end off its bolt and screw it out by half turns")


def test_the_angles_are_those_of_the_blade_angle_sheet() -> None:
    read = angles((2.85, 14.85), (0.95, 12.95))
    made = sheet(read)
    same = BladeAngles.from_readings(
        {name: made.readings()[name] for name in ("rotor", "protractor", "way", "stations")}
    )
    mine, theirs = made.work(DEMO), same.work(DEMO)
    for found in theirs.findings:
        assert mine.finding(found.key).row() == found.row()


# flats that were turned


def trial(flats_turned: str, before: str, after: str, **more: str) -> list[dict[str, str]]:
    row = {"adjuster": "yellow pitch link", "flats": flats_turned, "blade": "yellow", "position": "low stop"}
    return [{**row, "before": before, "after": after, **more}]


def test_a_measured_effect_takes_the_place_of_the_geometry() -> None:
    """12 flats, 0.40 to 1.60 deg: 0.1 deg a flat, where the geometry gives 0.1063 at 0.95 deg."""
    made = sheet(angles((2.0, 14.0), (0.95, 12.95)), trials=trial("12", "0.4; 0.4; 0.4 deg", "1.6; 1.6; 1.6 deg"))
    outcome = made.work(DEMO)
    found = outcome.finding("effect.yellow_pitch_link.low_stop.yellow")
    assert_quantity(found.measured, "0.1000 deg")
    assert found.aside
    assert said(outcome, "The plan uses the measured one")


def test_the_effect_of_a_flat_does_not_depend_on_which_way_the_protractor_rises() -> None:
    """The same blades under a protractor that rises the other way: every reading mirrored, the effect 1.2/12 deg."""
    craft = aircraft(main_rotor__protractor_reads_positive="leading edge down")
    turned = trial("12", "-0.4; -0.4; -0.4 deg", "-1.6; -1.6; -1.6 deg")
    outcome = sheet(angles((-2.0, -14.0), (-0.95, -12.95)), trials=turned).work(craft)
    assert_quantity(outcome.finding("effect.yellow_pitch_link.low_stop.yellow").measured, "0.1000 deg")
    assert said(outcome, "The plan uses the measured one")


def test_a_shared_error_of_the_protractor_drops_out_of_the_effect() -> None:
    """Resolution 0.1 deg twice at 0.0577, over 12 flats: sqrt(2) x 0.0577/12 = 0.0068; the protractor's 0.2 is gone."""
    made = sheet(angles((2.0, 14.0), (0.95, 12.95)), trials=trial("12", "0.4 deg", "1.7 deg"))
    effect = made.work(DEMO).finding("effect.yellow_pitch_link.low_stop.yellow").measured
    assert float(effect.expanded.m_as("deg")) == pytest.approx(2**0.5 * 0.1 / 3**0.5 / 12, rel=1e-3)


def test_too_few_flats_leave_the_geometry_in_place() -> None:
    outcome = sheet(angles((2.0, 14.0), (0.95, 12.95)), trials=trial("1", "0.9 deg", "1.0 deg")).work(DEMO)
    assert said(outcome, "too uncertain to plan by")


def test_a_blade_that_goes_the_other_way_is_told() -> None:
    """6 flats longer, 1.6 to 0.9 deg, where longer raises: no plan may rest on either sign, and it leads."""
    trials = trial("6", "1.6 deg", "0.9 deg")
    for white, yellow, word in (((2.0, 14.0), (0.95, 12.95), OUT_OF_LIMITS), ((2.0, 14.0), (2.0, 14.0), UNDONE)):
        outcome = sheet(angles(white, yellow), trials=trials).work(DEMO)
        assert outcome.word == word
        assert "the blade went the opposite way to what the aircraft file says. Turn nothing" in outcome.first[0]
        assert outcome.to_do.startswith("Turn nothing yet.")
        assert not said(outcome, "flats shorter")
        assert not said(outcome, "flats longer")
    right = sheet(angles((2.0, 14.0), (0.95, 12.95)), trials=trial("-6", "1.6 deg", "0.9 deg")).work(DEMO)
    assert "flats longer" in right.to_do


@pytest.mark.parametrize("sign", ["leading edge up", "leading edge down"])
def test_stops_that_are_exchanged_lead_and_nothing_is_planned(sign: str) -> None:
    """2.6 and 14.6 deg read by a protractor that the file has the other way round are -2.6 and -14.6: travel -12."""
    craft = aircraft(main_rotor__protractor_reads_positive=sign)
    outcome = sheet(angles((2.6, 14.6), (2.6, 14.6))).work(craft)
    turned = sign == "leading edge down"
    assert_quantity(outcome.finding("travel.white").measured, "-12.00 deg" if turned else "12.00 deg")
    assert ("lies above the high stop" in " ".join(outcome.first)) == turned
    assert (outcome.to_do == "Turn nothing yet.") == turned
    assert any(isinstance(picture, Turns) for picture in outcome.pictures) != turned


# refusals


@pytest.mark.parametrize(
    ("fields", "path", "told"),
    [
        ({"links": [{"blade": "green", "upper": "0.5 in", "lower": "0.5 in"}]}, "links.0.blade", "is not a blade of"),
        ({"links": [{"blade": "white", "upper": "0.5 in"}]}, "links.0.lower", "both ends of the body move"),
        ({"links": [*links()[:1], *links()[:1]]}, "links.1.blade", "already entered in row 1"),
        ({"trials": trial("1.5", "1 deg", "2 deg")}, "trials.0.flats", "needs a whole number other than zero"),
        ({"trials": trial("0", "1 deg", "2 deg")}, "trials.0.flats", "needs a whole number other than zero"),
        ({"trials": trial("6", "", "2 deg")}, "trials.0.before", "is missing"),
        ({"trials": trial("6", "1 deg", "2 deg", adjuster="green link")}, "trials.0.adjuster", "is not one of"),
        ({"trials": trial("6", "1 deg", "2 deg", blade="white")}, "trials.0.blade", "does not move blade white"),
        ({"trials": trial("6", "1 deg", "2 deg", blade="green")}, "trials.0.blade", "is not a blade of the main rotor"),
        ({"caliper": "protractor"}, "caliper", "needs an instrument for length"),
        ({"protractor": "scales"}, "protractor", "needs an instrument for angle"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_told_at_its_field(fields: dict[str, Any], path: str, told: str) -> None:
    found = problems_of(sheet(angles((2.0, 14.0), (2.0, 14.0)), **fields))
    assert told in found[path]


def test_an_aircraft_file_without_links_and_rods_says_what_to_write() -> None:
    bare = aircraft(main_rotor__pitch_links=LEFT_OUT, main_rotor__rods=LEFT_OUT)
    found = problems_of(sheet(angles((2.0, 14.0), (2.0, 14.0)), links=None), bare)
    assert "[main_rotor.pitch_links]" in found["rotor"]
    no_links = aircraft(main_rotor__pitch_links=LEFT_OUT)
    found = problems_of(sheet(angles((2.0, 14.0), (2.0, 14.0))), no_links)
    assert "needs [main_rotor.pitch_links]" in found["links"]
    made = sheet(angles((2.0, 14.0), (2.0, 14.0)), adjust="pitch links alone")
    assert made.work(NO_RODS).word == IN_LIMITS


def test_without_limits_there_is_nothing_to_aim_at() -> None:
    open_ended = aircraft(main_rotor__limits=LEFT_OUT)
    outcome = sheet(angles((2.85, 14.85), (0.95, 12.95))).work(open_ended)
    assert said(outcome, "there is nothing to aim for")
    assert not any(isinstance(p, Turns) for p in outcome.pictures)


def test_the_common_range_of_an_anti_torque_rotor_as_readings() -> None:
    """+9 to -26.5 deg (common practice, no source): limits about it, blade A read 1 deg off, one step of 0.398 deg."""
    limits = {
        "low_stop": {"low": "-27.5 deg", "high": "-25.5 deg", "source": "demo"},
        "high_stop": {"low": "8 deg", "high": "10 deg", "source": "demo"},
        "travel": {"low": "34.5 deg", "high": "36.5 deg", "source": "demo"},
    }
    craft = aircraft(tail_rotor__limits=limits)
    at = {("A", "low stop"): -25.6, ("A", "high stop"): 9.9, ("B", "low stop"): -26.5, ("B", "high stop"): 9.0}
    ends = [{"blade": b, "upper": "0.4 in"} for b in "AB"]
    outcome = sheet(at, rotor="tail rotor", stations=stations(at), links=ends).work(craft)
    assert_quantity(outcome.finding("travel.B").measured, "35.5 deg", within="0.01 deg")
    assert flats(outcome)["A pitch link"] == -2
    assert flats(outcome)["B pitch link"] == 0


def test_what_is_not_known_of_arm_and_rod_is_in_the_forecast() -> None:
    """An arm known to 10 % makes each flat known to 10 %: the forecast carries flats x 0.1055 deg x 10 % beside the
    reading's own; and a measured effect is compared with such a one without a fault."""
    exact = aircraft(main_rotor__rods=LEFT_OUT, main_rotor__pitch_links__arm="6.5 in")
    loose = aircraft(main_rotor__rods=LEFT_OUT, main_rotor__pitch_links__arm="6.5 ± 0.65 in")
    read = angles((2.0, 14.0), (0.95, 12.95))
    (name,) = {b.title for b in sheet(read).work(exact).pictures if b.title.startswith("Expected after turning, best")}
    bars = [next(p for p in sheet(read).work(craft).pictures if p.title == name) for craft in (exact, loose)]
    assert isinstance(bars[0], Bars)
    assert isinstance(bars[1], Bars)
    wider = [
        (one.spread, other.spread)
        for one, other in zip(bars[0].rows, bars[1].rows, strict=True)
        if "yellow, low" in one.label
    ]
    assert wider
    assert all(other > one for one, other in wider)
    tried = trial("12", "0.4; 0.4; 0.4 deg", "1.6; 1.6; 1.6 deg")
    assert said(sheet(read, trials=tried).work(loose), "The plan uses the measured one")
