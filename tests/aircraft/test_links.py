"""The drive's links by plain arithmetic: every shaft's speed, what they are held against, and faults at their place."""

import math
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.aircraft.derived import drive_cycles, shaft_turns, train_of
from rotorkit.aircraft.links import from_the_engine, link_words
from rotorkit.pictures.data import Branches
from rotorkit.sheets.catalogue import sheet_type
from tests.sheets.small import small_aircraft

GEARS = {"kind": "gears", "driver": "engine", "driven": "pinion", "driver_teeth": 20, "driven_teeth": 40}
MAIN = {"kind": "bevel gears", "driver": "pinion", "driven": "main rotor", "driver_teeth": 12, "driven_teeth": 33}
TAIL = {"kind": "gears", "driver": "pinion", "driven": "tail rotor", "turns": "2.1818"}
LINKS = {"first": GEARS, "second": MAIN, "third": TAIL}  # 2 x 2.75 = 5.5; 2.75 x 2.1818 = 6.0


def aircraft(links: dict[str, Any] | None = None, **more: Any) -> Aircraft:
    return small_aircraft(links=LINKS if links is None else links, **more)


def test_every_shaft_from_the_main_rotor() -> None:
    turns = shaft_turns(aircraft())
    assert turns == pytest.approx({"engine": 5.5, "pinion": 2.75, "main rotor": 1, "tail rotor": 2.75 * 2.1818})
    assert train_of(small_aircraft()) is None
    assert shaft_turns(small_aircraft()) == {}


def test_shafts_stand_in_the_order_in_which_they_are_driven() -> None:
    """The tail rotor's link first in the file, and one written from its far end."""
    turned = {"third": TAIL, "second": MAIN, "first": GEARS}
    found = [(one.shaft, one.under, one.depth) for one in from_the_engine(aircraft(turned).links)]
    assert found == [("engine", "", 0), ("pinion", "engine", 1), ("tail rotor", "pinion", 2),
                     ("main rotor", "pinion", 2)]  # fmt: skip
    mast = {"first": {**GEARS, "driver": "turbine"}, "second": {**MAIN, "driven": "mast"}}
    assert [one.shaft for one in from_the_engine(aircraft(mast).links)] == ["turbine", "pinion", "mast"]
    assert from_the_engine({}) == []


def test_a_link_in_words() -> None:
    fan = {"kind": "one-way clutch", "driver": "engine", "driven": "fan"}
    pump = {"kind": "belt", "driver": "fan", "driven": "pump", "turns": "1:2", "slip": "1 %"}
    even = {"kind": "belt", "driver": "fan", "driven": "generator", "turns": "1:1"}
    craft = aircraft({**LINKS, "fourth": fan, "fifth": pump, "sixth": even})
    said = [link_words(one, craft.belts, craft.shafts) for one in craft.links.values()]
    assert said == [
        "gears, 20 on 40 teeth", "bevel gears, 12 on 33 teeth", "gears, 2.182 turns for one", "one-way clutch",
        "belt, 0.5 turns for one, slip 1 %", "belt, 1 turn for one",
    ]  # fmt: skip


def test_the_shaft_speeds_show_the_train() -> None:
    readings = {"engine_turns": "55 ± 0.1 turns", "rotor_turns_engine": "10 ± 0.05 turns"}
    (drawn,) = [
        one
        for one in sheet_type("shaft_speeds").from_readings(readings).work(aircraft()).pictures
        if isinstance(one, Branches)
    ]
    assert [(row.label, row.depth, row.marked) for row in drawn.rows] == [
        ("engine", 0, True), ("pinion", 1, False), ("main rotor", 2, True), ("tail rotor", 2, True),
    ]  # fmt: skip
    assert [row.said for row in drawn.rows[::2]] == ["2,585 rpm", "470.0 rpm"]  # 470 x 5.5
    bare = sheet_type("shaft_speeds").from_readings(readings).work(small_aircraft())
    assert not any(isinstance(one, Branches) for one in bare.pictures)


def test_a_belt_s_slip_takes_of_its_speed() -> None:
    slipping = {"kind": "belt", "driver": "engine", "driven": "pinion", "turns": "0.5", "slip": "2 %"}
    turns = shaft_turns(aircraft({**LINKS, "first": slipping}))
    assert turns["engine"] == pytest.approx(2.75 / (0.5 * 0.98))


def test_they_are_held_against_the_drive_s_own_ratios() -> None:
    assert not any("[links]" in said for said in aircraft().inconsistencies())
    wrong = aircraft({**LINKS, "first": {**GEARS, "driven_teeth": 41}})
    (said,) = [one for one in wrong.inconsistencies() if "[links]" in one]
    assert "5.638 turns of the engine" in said
    assert "engine_to_main_rotor is 5.5:1" in said


def test_the_main_rotor_is_known_however_it_is_written_and_missed_where_it_is_not() -> None:
    assert shaft_turns(aircraft({**LINKS, "second": {**MAIN, "driven": "Main  Rotor"}})) == shaft_turns(aircraft())
    without = aircraft({**LINKS, "second": {**MAIN, "driven": "mast"}})
    assert shaft_turns(without) == {}
    assert any("do not lead to the main rotor" in said for said in without.inconsistencies())


@pytest.mark.parametrize(("turns", "said"), [("5.5", False), ("5.52", False), ("5.7", True), ("2.75", True)])
def test_a_belt_s_own_turns_are_held_against_the_links(turns: str, said: bool) -> None:
    sizes = {"driver_diameter": "5 in", "driven_diameter": "10 in", "centre_distance": "20 in"}
    by_belt = {"kind": "belt", "driver": "engine", "driven": "pinion", "belt": "main"}
    craft = aircraft({**LINKS, "first": by_belt}, belts={"main": {"title": "Main belts", **sizes, "turns": turns}})
    assert any("[belts.main] turns" in one for one in craft.inconsistencies()) == said


def test_shafts_and_teeth_are_known_in_a_vibration() -> None:
    cycles = {name: turns for name, (turns, _) in drive_cycles(aircraft()).items()}
    assert cycles["pinion: 1 a turn"] == pytest.approx(2.75)
    assert cycles["teeth of engine and pinion"] == pytest.approx(5.5 * 20)
    assert cycles["teeth of pinion and main rotor"] == pytest.approx(33)  # as many as the rotor's own wheel has
    assert "engine: 1 a turn" not in cycles  # it is there by its own name


@pytest.mark.parametrize(("cylinders", "firing"), [(None, 2.0), (4, 2.0), (6, 3.0), (3, 1.5)])
def test_the_engine_s_firing_by_its_cylinders(cylinders: int | None, firing: float) -> None:
    craft = aircraft()
    craft = craft.model_copy(update={"engine": craft.engine.model_copy(update={"cylinders": cylinders})})
    lines = [turns / 5.5 for name, (turns, _) in drive_cycles(craft).items() if name.startswith("engine,")]
    assert lines == pytest.approx([0.5, 1.0, firing])


def test_the_job_tells_every_shaft_s_speed() -> None:
    given = {"engine_turns": "55.0 ± 0.1 turn", "rotor_turns_engine": "10.0 ± 0.02 turn"}
    outcome = sheet_type("shaft_speeds").from_readings(given).work(aircraft())
    assert float(outcome.finding("shaft.pinion").measured.si) == pytest.approx(470 * 2.75 * math.pi / 30)
    assert not any("links" in said for said in outcome.remarks)
    counted = {**given, "engine_turns": "58.0 ± 0.1 turn"}
    outcome = sheet_type("shaft_speeds").from_readings(counted).work(aircraft())
    assert any("links make 5.5 turns of the engine" in said for said in outcome.remarks)


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"driven": "engine"}, "a link joins two shafts"),
        ({"driven_teeth": None}, "are needed both, or neither"),
        ({"driver_teeth": None, "driven_teeth": None}, "needs one of three"),
        ({"turns": "2"}, "needs one of three"),
        ({"slip": "2 %"}, "slip is a belt's"),
        ({"kind": "shaft"}, "turns both its shafts alike"),
        ({"kind": "belt"}, "teeth are not asked"),
        ({"driven": "somewhere"}, "no link leads from"),
        ({"driver": "pinion", "driven": "engine", "kind": "belt", "driver_teeth": None, "driven_teeth": None,
          "belt": "main"}, "names no belt drive of this file: there are none"),
    ],
)  # fmt: skip
def test_faults_are_told(changed: dict[str, Any], said: str) -> None:
    first = {key: value for key, value in {**GEARS, **changed}.items() if value is not None}
    with pytest.raises(ValueError, match=said):
        aircraft({**LINKS, "first": first})
