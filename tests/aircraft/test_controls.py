"""The controls in the aircraft file: what is read, and the plain words for what is wrong."""

from typing import Any

import pytest
from pydantic import ValidationError

from rotorkit.aircraft import (
    Aircraft,
    PitchLinks,
    PushPullTube,
    Rod,
    Swashplate,
    Turnbuckle,
    demo_folder,
    load_aircraft,
)
from rotorkit.aircraft.entries import message_of
from rotorkit.quantities import Length, assert_quantity, read
from rotorkit.rigging import BladePlace, CornerReading, corner_map, tube_column, turnbuckle_plan

LINKS = {
    "arm": "6.5 in",
    "upper_thread": "1/4-28",
    "lower_thread": "1/4-28 LH",
    "lengthening": "raises the blade angle",
}
ROD = {"title": "rod", "moves": "every blade", "angle_per_turn": "0.9 deg"}
TUBE = {
    "title": "tube",
    "outer_diameter": "3/4 in",
    "wall": "0.049 in",
    "length": "36 in",
    "elastic_modulus": "10000000 psi",
    "yield_strength": "35000 psi",
}


@pytest.fixture(scope="module")
def demo() -> Aircraft:
    return load_aircraft(demo_folder())


def test_the_demo_has_every_section_and_they_serve(demo: Aircraft) -> None:
    links = demo.main_rotor.pitch_links
    assert links is not None
    assert_quantity(links.link.angle_per_flat("8 deg"), "0.1049 deg")
    assert demo.tail_rotor.pitch_links.link.lower is None
    plate = demo.main_rotor.swashplate
    assert plate.limits.forward.text == "5.5° to 6.5°"
    tube = demo.push_pull_tubes["collective"]
    column = tube_column(
        tube.outer_diameter, tube.wall, tube.length, tube.elastic_modulus, tube.yield_strength, tube.greatest_load
    )
    assert tube.limits.buckling_margin.judge(column.margin).word == "in limits"
    cable = demo.cables["pedal_left"]
    plan = turnbuckle_plan(
        "25 lbf", cable.limits.tension, cable.length, "86000 lbf", "500 lbf/in", 2, *cable.turnbuckle.pitches
    )
    assert plan.turns > 0
    assert (
        len(
            corner_map(demo.controls, [CornerReading({name: ends[0] for name, ends in demo.controls.items()})]).findings
        )
        == 16
    )


@pytest.mark.parametrize(
    ("section", "given", "said"),
    [
        (PitchLinks, {**LINKS, "lower_thread": "1/4-28"}, "of one hand and one pitch"),
        (PitchLinks, {**LINKS, "upper_thread": "fine"}, "needs diameter and threads per inch"),
        (PitchLinks, {**LINKS, "lengthening": "up"}, "raises the blade angle"),
        (PitchLinks, {**LINKS, "least_engagement": "0.5 in", "greatest_engagement": "0.4 in"}, "is not below"),
        (PitchLinks, {**LINKS, "least_engagement": "0.4 in", "greatest_engagement": "0.4 in"}, "is not below"),
        (PitchLinks, {**LINKS, "arm": "6.5 ft"}, "must be from"),
        (Rod, {**ROD, "angle_per_turn": "0 deg"}, "must not be zero"),
        (Rod, {**ROD, "moves": "cyclic"}, "greatest_at is needed"),
        (Rod, {**ROD, "greatest_at": "90 deg"}, "belongs to a cyclic rod"),
        (Rod, {**ROD, "least": 3}, "0"),
        (Swashplate, {"rotor_turns": "left"}, "counter-clockwise seen from above"),
        (Turnbuckle, {"thread_one": "10-32", "thread_other": "10-32"}, "have the same hand"),
        (PushPullTube, {**TUBE, "wall": "0.4 in"}, "more than half of outer_diameter"),
    ],
)
def test_faults_are_told_in_plain_words(section: Any, given: dict[str, Any], said: str) -> None:
    with pytest.raises(ValidationError) as caught:
        section.model_validate(given)
    assert any(said in message_of(error) for error in caught.value.errors(include_url=False))


def test_a_stop_moves_the_blades_at_it_alone() -> None:
    low, high = (BladePlace(f"white, {stop}", "white", stop) for stop in ("low stop", "high stop"))
    stop = Rod.model_validate({**ROD, "moves": "every blade at the low stop"})
    made = stop.adjuster([low, high])
    assert made is not None
    assert list(made.effects) == ["white, low stop"]
    assert stop.adjuster([high]) is None
    rod = Rod.model_validate(ROD).adjuster([low, high])
    assert rod is not None
    assert list(rod.effects) == ["white, low stop", "white, high stop"]


def test_a_turnbuckle_of_one_thread_draws_in_by_that_alone() -> None:
    one, other = Turnbuckle.model_validate({"thread_one": "10-32"}).pitches
    assert read(one, Length).si == pytest.approx(0.0254 / 32)
    assert read(other, Length).si == 0
    both = Turnbuckle.model_validate({"thread_one": "10-32", "thread_other": "10-32 left hand"}).pitches
    assert both == (one, one)


def test_all_of_it_is_optional(demo: Aircraft) -> None:
    data = demo.model_dump()
    for rotor in ("main_rotor", "tail_rotor"):
        for name in ("pitch_links", "rods", "swashplate"):
            data[rotor].pop(name, None)
    for name in ("push_pull_tubes", "controls", "control_limits"):
        del data[name]
    for cable in data["cables"].values():
        cable.pop("turnbuckle")
        cable.pop("greatest_load")
    bare = Aircraft.model_validate(data)
    assert bare.main_rotor.pitch_links is None
    assert bare.controls == {}


def test_a_control_needs_two_ends(demo: Aircraft) -> None:
    data = demo.model_dump()
    data["controls"] = {"pedals": ["full left"]}
    with pytest.raises(ValidationError, match="two different ends"):
        Aircraft.model_validate(data)
