"""Push-pull-tube sheet: buckling by hand on both sides of the transition, rod ends, refusals."""

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.aircraft import Aircraft
from rotorkit.pictures.data import Looks
from rotorkit.quantities import assert_quantity
from rotorkit.sheets import PushPullTubes, SheetError
from rotorkit.sheets.base import Outcome
from tests.searching import examples
from tests.sheets.variants import LEFT_OUT, aircraft

DEMO = aircraft()
SEEN = "threads seen, wire stops"


def sheet(**fields: Any) -> PushPullTubes:
    ends = [{"end": e, "engagement": "0.45 in", "hole": SEEN} for e in ("lever", "mixer")]
    return PushPullTubes.from_readings({"tube": "collective", "caliper": "caliper", "ends": ends, **fields})


def problems_of(made: PushPullTubes, craft: Aircraft = DEMO) -> dict[str, str]:
    with pytest.raises(SheetError) as caught:
        made.work(craft)
    return dict(caught.value.problems)


def said(outcome: Outcome, words: str) -> bool:
    return any(words in sentence for sentence in outcome.remarks)


def test_a_slender_tube_by_hand() -> None:
    """3/4 x 0.049 in, 36 in, 10e6 psi: I = pi/64 (0.75^4 - 0.652^4) = 0.0066611 in4, 507.3 lbf; over 200 lbf: 1.536."""
    second = math.pi / 64 * (0.75**4 - 0.652**4)
    load = math.pi**2 * 10e6 * second / 36**2
    outcome = sheet().work(DEMO)
    assert_quantity(outcome.finding("buckling_load").measured, f"{load:.1f} lbf")
    assert_quantity(outcome.finding("buckling_margin").measured, f"{load / 200 - 1:.3f}")
    assert outcome.finding("buckling_margin").row()[2:] == ("at least 0.5 (demo manual 7-2)", "in limits")
    assert said(outcome, "slender, so that it buckles elastically")
    assert outcome.word == "in limits"


def test_a_stocky_tube_by_hand() -> None:
    """12 in: slenderness 48.3 below 75.1; 0.10791 x 35000 (1 - 35000 x 48.29^2/(4 pi^2 x 10e6)) = 2996 lbf."""
    area = math.pi / 4 * (0.75**2 - 0.652**2)
    slender = 12 / math.sqrt(math.pi / 64 * (0.75**4 - 0.652**4) / area)
    load = area * 35000 * (1 - 35000 * slender**2 / (4 * math.pi**2 * 10e6))
    outcome = sheet(length="12 in").work(DEMO)
    assert_quantity(outcome.finding("buckling_load").measured, f"{load:.0f} lbf")
    assert said(outcome, "stocky, so that it yields as it buckles")
    assert said(outcome, "differs from the aircraft file's 36 in. Is this the right tube?")


def test_what_is_measured_on_the_tube_goes_before_the_file() -> None:
    """A diameter known to 0.004 in: 4 x 0.004/0.75 or so of the load, and less for the wall in it."""
    bare, taken = sheet().work(DEMO), sheet(outer_diameter="0.745 in").work(DEMO)
    assert bare.finding("buckling_load").measured.standard_si == 0
    load = taken.finding("buckling_load").measured
    expected = math.pi**2 * 10e6 * math.pi / 64 * (0.745**4 - 0.647**4) / 36**2
    assert_quantity(load, f"{expected:.1f} lbf")
    step = 0.0001
    moved = math.pi**2 * 10e6 * math.pi / 64 * ((0.745 + step) ** 4 - (0.647 + step) ** 4) / 36**2
    assert float(load.expanded.m_as("lbf")) == pytest.approx(0.004 * (moved - expected) / step, rel=1e-2)


def test_too_long_a_tube_is_out_of_limits_and_said_so() -> None:
    outcome = sheet(length="60 in").work(DEMO)
    assert outcome.finding("buckling_margin").verdict.word == "out of limits"
    assert outcome.first[0] == "The tube buckles under this load: do not fly it."


@examples(40)
@given(st.floats(6, 100))
def test_longer_is_weaker_and_never_above_euler(length: float) -> None:
    one, two = (
        float(sheet(length=f"{size:.3f} in").work(DEMO).finding("buckling_load").measured.value.m_as("lbf"))
        for size in (length, length + 1)
    )
    euler = math.pi**2 * 10e6 * math.pi / 64 * (0.75**4 - 0.652**4) / round(length, 3) ** 2
    assert two < one <= euler * (1 + 1e-9)


def test_rod_ends() -> None:
    ends = [
        {"end": "lever", "engagement": "0.36 in", "hole": "wire passes"},
        {"end": "mixer", "engagement": "0.377 in", "hole": "no threads seen"},
    ]
    outcome = sheet(ends=ends).work(DEMO)
    words = {key: outcome.finding(key).verdict.word for key in ("engagement.lever", "engagement.mixer")}
    assert words == {"engagement.lever": "out of limits", "engagement.mixer": "too close to call"}
    assert outcome.finding("witness.lever").row()[1] == "1"
    assert outcome.finding("witness.mixer").verdict.word == "out of limits"
    (looks,) = [p for p in outcome.pictures if isinstance(p, Looks)]
    assert [row.seen for row in looks.rows] == ["wire passes", "no threads seen"]
    unseen = sheet(ends=[{"end": "lever", "engagement": "0.45 in"}]).work(DEMO)
    assert unseen.missing == [
        "rod end, lever: witness hole",
        "rod end, other end: engagement",
        "rod end, other end: witness hole",
    ]
    assert unseen.word == "no verdict yet"
    none = [{"end": end, "engagement": "0.45 in", "hole": "it has no hole"} for end in ("lever", "mixer")]
    assert sheet(ends=none).work(DEMO).word == "in limits"
    assert said(sheet(ends=none).work(DEMO), "Rod end, lever: it has no witness hole")


@pytest.mark.parametrize(
    ("fields", "path", "told"),
    [
        ({"tube": "pedals"}, "tube", "is no push-pull tube of the aircraft file: it has collective"),
        ({"ends": [{"engagement": "0.45 in"}]}, "ends.0.end", "which end is it"),
        (
            {"ends": [{"end": "a", "hole": SEEN}, {"end": "A", "hole": SEEN}]},
            "ends.1.end",
            "already entered in row 1: give each end a name",
        ),
        ({"ends": [{"end": "a"}]}, "ends.0.engagement", "nothing has been measured on this tube yet"),
        ({"ends": []}, "ends", "nothing has been measured on this tube yet"),
        ({"caliper": "scales"}, "caliper", "needs an instrument for length"),
    ],
)
def test_what_is_wrong_is_told_at_its_field(fields: dict[str, Any], path: str, told: str) -> None:
    assert told in problems_of(sheet(**fields))[path]


def test_a_wall_that_is_more_than_half_the_tube_is_refused() -> None:
    found = problems_of(sheet(outer_diameter="0.5 in", wall="0.3 in"))
    assert "more than half of the outer diameter, 0.5000 ± 0.0040 in" in found["wall"]


def test_what_the_aircraft_file_lacks_is_told() -> None:
    none = aircraft(push_pull_tubes=LEFT_OUT)
    assert "write [push_pull_tubes.name] for each" in problems_of(sheet(), none)["tube"]
    no_load = aircraft(push_pull_tubes__collective__greatest_load=LEFT_OUT)
    outcome = sheet().work(no_load)
    assert outcome.missing[0] == "margin against buckling: write greatest_load into [push_pull_tubes.collective]"
    assert outcome.word == "no verdict yet"
    assert "buckling_margin" not in [f.key for f in outcome.findings]
