"""A shaft's turns by the aircraft file's links, in every job of the drive that asks for them: taken, held, refused."""

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import drive_cycles
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft
from tests.sheets.test_bearing_life import BEARING, readings
from tests.sheets.test_drive_sheets import BELT, SHAFT
from tests.sheets.test_one_way_clutch import GOOD as CLUTCH
from tests.sheets.test_rotor_brake import GIVEN as BRAKE
from tests.sheets.test_shaft_connections import GOOD as SEATS
from tests.sheets.test_shaft_connections import KEY

LINKS: dict[str, Any] = {
    "gears": {"kind": "gears", "driver": "engine", "driven": "lay shaft", "driver_teeth": 20, "driven_teeth": 40},
    "main": {"kind": "bevel gears", "driver": "lay shaft", "driven": "main rotor", "driver_teeth": 12,
             "driven_teeth": 33},
    "drive": {"kind": "gears", "driver": "lay shaft", "driven": "tail shaft", "turns": "2.1818"},
    "hung": {"kind": "shaft", "driver": "tail shaft", "driven": "tail rotor", "shaft": "tail"},
}  # fmt: skip
TURNS = 33 / 12
"""Of the lay shaft; the tail shaft turns 2.1818 times as fast: 6 times the rotor, 2,820 rpm at its 470."""
JOINTS = {"first": "10 ± 0 deg", "yokes": "one joint alone", "feel": "free, no play", "inertia": "0.001 ± 0 kg*m^2"}
ASKED: dict[str, tuple[dict[str, Any], str, float]] = {
    "one_way_clutch": (CLUTCH, "peak", -1.0),
    "shaft_connections": ({**SEATS, **KEY}, "peak", -1.0),
    "universal_joints": ({**JOINTS, "turns": "3"}, "torque", 2.0),
    "rotor_brake": (BRAKE, "reckoned", -1.0),
}
"""Readings that type the turns, a figure, and with which power of the turns it grows."""


def aircraft(**more: Any) -> Aircraft:
    return small_aircraft(**{"links": LINKS, "shafts": {"tail": {**SHAFT, "greatest_speed": "3000 rpm"}}, **more})


def worked(name: str, given: dict[str, Any], craft: Aircraft | None = None) -> Outcome:
    return sheet_type(name).from_readings(given).work(craft or aircraft())


def refused(name: str, given: dict[str, Any], craft: Aircraft | None = None) -> dict[str, str]:
    with pytest.raises(SheetError) as told:
        worked(name, given, craft)
    return dict(told.value.problems)


@pytest.mark.parametrize("name", ASKED)
def test_turns_come_from_the_links_or_are_held_against_them(name: str) -> None:
    given, key, power = ASKED[name]
    bare = {path: text for path, text in given.items() if path != "turns"}
    typed = worked(name, {**bare, "turns": "1"})
    taken = worked(name, {**bare, "on_shaft": "lay shaft"})
    ratio = float(taken.finding(key).measured.si) / float(typed.finding(key).measured.si)
    assert ratio == pytest.approx(TURNS**power, rel=1e-9)
    assert taken.missing == worked(name, {**bare, "turns": "2.75"}).missing, "nothing more is asked for"
    agreeing = worked(name, {**bare, "on_shaft": "lay shaft", "turns": "2.76"})
    assert agreeing.finding(key), "within half a per cent"
    said = refused(name, {**bare, "on_shaft": "lay shaft", "turns": "2.70"})["turns"]
    assert "must be 2.75" in said
    assert "lay shaft" in said
    assert "2.7" in said.rpartition("got")[2]
    said = refused(name, {**bare, "on_shaft": "idler"})["on_shaft"]
    assert "engine, lay shaft, main rotor, tail shaft, tail rotor" in said
    near = worked(name, {**bare, "turns": "2.70"})
    assert any("near those of lay shaft" in one for one in near.remarks)
    assert not any("near those of" in one for one in worked(name, {**bare, "turns": "2.755"}).remarks)
    assert any("No shaft of the aircraft file's links" in one for one in worked(name, {**bare, "turns": "3.7"}).remarks)
    assert sheet_type(name).start(aircraft())["on_shaft"] == "", "a person says which shaft it is"


CLUTCHED = {
    "gears": {**LINKS["gears"], "driven": "clutch shaft"},
    "clutch": {"kind": "one-way clutch", "driver": "clutch shaft", "driven": "lay shaft"},
    "fan": {"kind": "one-way clutch", "driver": "tail shaft", "driven": "fan"},
    **{name: link for name, link in LINKS.items() if name != "gears"},
}  # fmt: skip
"""The engine drives a shaft that drives the lay shaft over a one-way clutch. A slowed lay shaft slows the rotor, a
slowed clutch shaft or engine does not: the clutch lets go. A slowed fan, which the rotor's side drives, does."""


def test_a_brake_before_the_one_way_clutch_does_not_slow_the_rotor() -> None:
    bare = {path: text for path, text in BRAKE.items() if path != "turns"}
    craft = aircraft(links=CLUTCHED)
    for shaft in ("lay shaft", "tail shaft", "fan"):
        assert worked("rotor_brake", {**bare, "on_shaft": shaft}, craft).finding("reckoned")
    for shaft in ("clutch shaft", "engine"):
        said = refused("rotor_brake", {**bare, "on_shaft": shaft}, craft)["on_shaft"]
        assert "lets the rotor run on" in said
        assert shaft in said
    typed = {text: worked("rotor_brake", {**bare, "turns": text}, craft).lead for text in ("2.75", "5.5")}
    asked = {text: any("does not slow the rotor" in one for one in said) for text, said in typed.items()}
    assert asked == {"2.75": False, "5.5": True}, "2.75 the lay shaft makes too, 5.5 the engine alone"
    # without a clutch the whole train slows with it
    assert worked("rotor_brake", {**bare, "on_shaft": "engine"}).finding("reckoned")


def test_a_clutch_is_at_a_clutch() -> None:
    bare = {path: text for path, text in CLUTCH.items() if path != "turns"}
    craft = aircraft(links=CLUTCHED)
    for shaft in ("clutch shaft", "lay shaft"):
        assert worked("one_way_clutch", {**bare, "on_shaft": shaft}, craft).finding("peak")
    said = refused("one_way_clutch", {**bare, "on_shaft": "engine"}, craft)["on_shaft"]
    assert "from clutch shaft to lay shaft" in said


def test_a_file_without_links_has_no_shaft_to_pick() -> None:
    said = refused("one_way_clutch", {**CLUTCH, "on_shaft": "lay shaft"}, small_aircraft())["on_shaft"]
    assert "[links.name]" in said


@pytest.mark.parametrize(
    ("speed", "fits"), [("2810 rpm", True), ("3500 rpm", True), ("2780 rpm", False), ("3600 rpm", False)]
)
def test_a_shaft_on_hangers_turns_as_the_links_make_it(speed: str, fits: bool) -> None:
    """470 rpm times 2.75 times 2.1818 is 2,820 rpm; up to a quarter more the rotor may be run, no faster."""
    craft = aircraft(shafts={"tail": {**SHAFT, "greatest_speed": speed}})
    given = {"shaft": "tail", "hangers": [{"hanger": "a", "place": "0 ± 1 mm"}, {"hanger": "b", "place": "2 ± 0 m"}]}
    told = [one for one in craft.inconsistencies() if "[shafts.tail] greatest_speed" in one]
    assert bool(told) != fits
    if fits:
        assert worked("shaft_whirl", given, craft).findings
    else:
        said = refused("shaft_whirl", given, craft)["shaft"]
        assert "2,820 rpm of tail shaft" in said
        assert speed in said


@pytest.mark.parametrize(("speed", "fits"), [("2600 rpm", True), ("3200 rpm", True), ("1700 rpm", False)])
def test_a_belt_turns_as_the_links_make_it(speed: str, fits: bool) -> None:
    """Pulleys of 200 and 300 mm: the engine turns 1.5 times the lay shaft, 5.5 / 1.5 of the rotor."""
    by_belt = {**LINKS, "gears": {"kind": "belt", "driver": "engine", "driven": "lay shaft", "belt": "one"},
               "main": {**LINKS["main"], "driver_teeth": 15, "driven_teeth": 55}}  # fmt: skip
    craft = aircraft(links=by_belt, belts={"one": {**BELT, "driver_speed": speed}})
    rows = [{"number": str(k), "frequency": "60 ± 0.5 Hz"} for k in (1, 2)]
    given = {"belt": "one", "runs": rows}
    if fits:
        assert worked("belt_tension", given, craft).findings
        assert not any("driver_speed" in one for one in craft.inconsistencies())
    else:
        said = refused("belt_tension", given, craft)["belt"]
        assert "2,585 rpm of engine" in said
        assert speed in said


class TestBearing:
    craft = staticmethod(lambda **more: aircraft(bearings={"one": {**BEARING, "on_shaft": "lay shaft", **more}}))

    def test_an_empty_speed_is_that_of_its_shaft(self) -> None:
        given = readings()
        for row in given["conditions"]:
            del row["speed"]
        rate = 470 * TURNS  # 1,292.5 rpm at every condition
        typed = readings(duty=[(q, fr, fa, rate) for q, fr, fa in ((0.4, 4000.0, 0.0), (0.6, 2500.0, 1500.0))])
        by_links, by_hand = (worked("bearing_life", one, self.craft()) for one in (given, typed))
        for key in ("life", "load", "speed"):
            assert float(by_links.finding(key).measured.si) == pytest.approx(
                float(by_hand.finding(key).measured.si), rel=1e-9
            )
        assert by_links.word == by_hand.word

    def test_the_speed_of_another_shaft_is_refused(self) -> None:
        said = refused("bearing_life", readings(duty=[(1.0, 4000.0, 0.0, 2585.0)]), self.craft())["conditions.0.speed"]
        assert "1,292" in said
        assert "2,585 rpm" in said or "2585" in said
        assert worked("bearing_life", readings(duty=[(1.0, 4000.0, 0.0, 1600.0)]), self.craft()).findings

    def test_its_own_turns_are_held_against_its_shaft(self) -> None:
        both = self.craft(turns="2.9")
        assert any("[bearings.one]" in one and "2.75 turns of lay shaft" in one for one in both.inconsistencies())
        assert "2.9" in refused("bearing_life", readings(), both)["bearing"]
        lost = self.craft(on_shaft="idler")
        assert any("no shaft of [links]" in one for one in lost.inconsistencies())
        assert "engine, lay shaft" in refused("bearing_life", readings(), lost)["bearing"]
        assert not any("[bearings" in one for one in self.craft(turns="2.755").inconsistencies())

    def test_its_lines_follow_from_its_shaft(self) -> None:
        balls = {"elements": 9, "element_diameter": "10 mm", "pitch_diameter": "50 mm"}
        found = drive_cycles(self.craft(**balls))["bearing: outer race"][0]
        assert found == pytest.approx(9 / 2 * (1 - 10 / 50) * TURNS)
        assert "bearing: outer race" not in drive_cycles(aircraft(bearings={"one": {**BEARING, **balls}}))


def test_a_link_names_a_shaft_of_the_file() -> None:
    with pytest.raises(ValueError, match=r'shaft = "other" names no \[shafts\] of this file: there are tail'):
        aircraft(links={**LINKS, "hung": {**LINKS["hung"], "shaft": "other"}})
    with pytest.raises(ValueError, match="shaft names a shaft on hangers"):
        aircraft(links={**LINKS, "gears": {**LINKS["gears"], "shaft": "tail"}})
    assert math.isclose(TURNS, 2.75)
