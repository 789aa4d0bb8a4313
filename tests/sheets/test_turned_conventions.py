"""The same aircraft written with a sign convention turned round, or in the other units, comes to the same.

Every check of the demo is worked as it stands and as somebody else would have written it down: the blade angles counted
positive the other way (in the aircraft file, its limits, blades, links and rods, and in the readings that are blade
angles), the protractor reading the other way, the display and the readings in metric units. Verdicts are the same,
figures the same in size; which of them change sign is said here, key by key. A new sheet joins with its check in the
demo.
"""

import copy
import re
import tomllib
from collections.abc import Callable
from functools import cache
from typing import Any

import pytest

from rotorkit.aircraft import Aircraft, demo_folder
from rotorkit.pictures.data import Turns
from rotorkit.quantities import in_unit
from rotorkit.sheets.base import Outcome, Row, Sheet, fields_of
from rotorkit.sheets.catalogue import sheet_type

UP, DOWN = "leading edge up", "leading edge down"
AWAY, TOWARD = "leading edge away from the tail boom", "leading edge toward the tail boom"
OPPOSITE = {UP: DOWN, DOWN: UP, AWAY: TOWARD, TOWARD: AWAY}
AGAINST, WITH = "against the main rotor's torque", "with the main rotor's torque"
STOPS = {"low_stop": "high_stop", "high_stop": "low_stop", "low stop": "high stop", "high stop": "low stop"}
ROTORS = {"main_rotor": "main rotor", "tail_rotor": "tail rotor"}
READINGS = tomllib.loads((demo_folder() / "readings.toml").read_text("utf-8"))
SHAPE = {
    "main_rotor": {"zero_lift_angle": "-1.5 deg", "drag_linear": "-0.01"},
    "tail_rotor": {"twist": "-7 deg", "zero_lift_angle": "-2 deg", "drag_linear": "-0.02", "measured_at": "8 in"},
}
"""Twist and camber, so that they matter."""
TURNS_SIGN = {
    "blade_angles": r"(low_stop|high_stop|neutral)\.",
    "pitch_rigging": r"(low_stop|high_stop|neutral|effect)\.",
    "cyclic_range": r"collective\.",
    "control_travel": r"slope|angle|departure",
    "anti_torque_margin": r"blade_angle_needed$",
}
"""Figures that are blade angles with their sign, by sheet: these and no others turn with the blade's convention."""


@cache
def file_text() -> str:
    return (demo_folder() / "aircraft.toml").read_text("utf-8")


@cache
def _tables() -> dict[str, Any]:
    made = tomllib.loads(file_text())
    for rotor, shape in SHAPE.items():
        made[rotor]["blade"] |= shape
    return made


def tables() -> dict[str, Any]:
    return copy.deepcopy(_tables())


def negated(text: str) -> str:
    """A typed angle, or repeats of one, with its sign turned."""
    parts = [re.sub(r"^(\s*)([-+]?)(?=\d)", lambda m: m[1] + ("" if m[2] == "-" else "-"), p) for p in text.split(";")]
    return ";".join(parts)


def turned_limit(limit: dict[str, str]) -> dict[str, str]:
    sides = {"low": limit.get("high"), "high": limit.get("low")}
    return {"source": limit["source"], **{side: negated(text) for side, text in sides.items() if text is not None}}


def turn_blade(made: dict[str, Any], rotor: str) -> None:
    """A rotor's blade angles counted the other way, all through the aircraft file."""
    table = made[rotor]
    table["positive_blade_angle"] = OPPOSITE[table["positive_blade_angle"]]
    limits = table.get("limits", {})
    table["limits"] = {
        STOPS.get(name, name): limit if name in ("travel", "blade_to_blade") else turned_limit(limit)
        for name, limit in limits.items()
    }
    links = table.get("pitch_links")
    if links is not None:
        words = ("raises the blade angle", "lowers the blade angle")
        links["lengthening"] = words[1 - words.index(links["lengthening"])]
        if "square_at" in links:
            links["square_at"] = negated(links["square_at"])
    for rod in table.get("rods", {}).values():
        rod["angle_per_turn"] = negated(rod["angle_per_turn"])
        rod["moves"] = re.sub("(low|high) stop", lambda m: STOPS[m[0]], rod["moves"])
    for name in ("twist", "zero_lift_angle", "drag_linear"):
        if name in table["blade"]:
            table["blade"][name] = negated(table["blade"][name])
    for travel in made["control_limits"]["travel"].values() if rotor == "tail_rotor" else ():
        if "departure" in travel:
            travel["departure"] = turned_limit(travel["departure"])


def of_rotor(readings: dict[str, Any], rotor: str) -> bool:
    named = readings.get("rotor") or ("main rotor" if readings["sheet"] == "cyclic_range" else "")
    return bool(named == ROTORS[rotor])


def blade_readings(readings: dict[str, Any], rotor: str) -> dict[str, Any]:
    """The same readings where that rotor's blade angles are counted the other way: the stops change places, since the
    low one is the lower angle with its sign; the protractor reads as it did."""
    made = copy.deepcopy(readings)
    if of_rotor(readings, rotor) and readings["sheet"] in ("blade_angles", "pitch_rigging"):
        for row in [*made.get("stations", []), *made.get("trials", [])]:
            row["position"] = STOPS.get(row["position"], row["position"])
    if readings["sheet"] == "anti_torque_margin" and rotor == "tail_rotor":
        made |= {name: negated(made[name]) for name in ("full_left", "full_right")}
        made["positive_pushes"] = WITH if made["positive_pushes"] == AGAINST else AGAINST
    return made


def protractor_readings(readings: dict[str, Any], rotor: str) -> dict[str, Any]:
    """The same readings with a protractor that reads the other way on that rotor."""
    made = copy.deepcopy(readings)
    if of_rotor(readings, rotor):
        lists = [rows for rows in made.values() if isinstance(rows, list)]
        for table in [made, *(row for rows in lists for row in rows)]:
            for name in ("reading", "second", "reference", "zero", "zero_turned", "before", "after"):
                if isinstance(table.get(name), str):
                    table[name] = negated(table[name])
    return made


def worked(made: dict[str, Any], readings: dict[str, Any]) -> Outcome:
    given = {name: value for name, value in readings.items() if name not in ("sheet", "title")}
    return sheet_type(readings["sheet"]).from_readings(given).work(Aircraft.model_validate(made))


@cache
def as_it_stands(check: str) -> Outcome:
    return worked(tables(), READINGS[check])


def compare(check: str, other: Outcome, signs: str, key: Callable[[str], str] = lambda key: key) -> None:
    """Verdicts, figures, uncertainties and what to turn. signs: pattern of the keys whose figure changes sign."""
    one = as_it_stands(check)
    assert other.word == one.word
    assert sorted(key(found.key) for found in one.findings) == sorted(found.key for found in other.findings)
    for found in one.findings:
        same = other.finding(key(found.key))
        sign = -1 if signs and re.match(signs, found.key) else 1
        value, spread = float(found.measured.si), float(found.measured.expanded_si)
        assert sign * float(same.measured.si) == pytest.approx(value, rel=1e-6, abs=1e-9), found.key
        assert float(same.measured.expanded_si) == pytest.approx(spread, rel=1e-4, abs=1e-9), found.key
        assert same.verdict.word == found.verdict.word, found.key
        assert same.aside == found.aside, found.key
    assert turns(other) == turns(one)
    assert len(other.lead) == len(one.lead)
    assert len(other.missing) == len(one.missing)


def turns(outcome: Outcome) -> dict[str, list[str]]:
    """What to turn, by what is turned."""
    return {
        row.label: [turn.amount for turn in row.turns]
        for picture in outcome.pictures
        if isinstance(picture, Turns)
        for row in picture.rows
    }


@pytest.mark.parametrize("rotor", list(ROTORS))
@pytest.mark.parametrize("check", list(READINGS))
def test_blade_angles_counted_the_other_way(check: str, rotor: str) -> None:
    made, readings = tables(), READINGS[check]
    turn_blade(made, rotor)
    other = worked(made, blade_readings(readings, rotor))
    mine = of_rotor(readings, rotor) or (readings["sheet"] == "anti_torque_margin" and rotor == "tail_rotor")

    def key(name: str) -> str:
        if not mine or readings["sheet"] not in ("blade_angles", "pitch_rigging"):
            return name
        return re.sub("(low|high)_stop", lambda m: STOPS[m[0]], name)

    compare(check, other, TURNS_SIGN.get(readings["sheet"], "") if mine else "", key)


@pytest.mark.parametrize("rotor", list(ROTORS))
@pytest.mark.parametrize("check", list(READINGS))
def test_a_protractor_that_reads_the_other_way(check: str, rotor: str) -> None:
    made = tables()
    made[rotor]["protractor_reads_positive"] = OPPOSITE[made[rotor]["protractor_reads_positive"]]
    compare(check, worked(made, protractor_readings(READINGS[check], rotor)), "")


def metric(model: type[Sheet] | type[Row], given: dict[str, Any]) -> dict[str, Any]:
    """Readings typed in metric units; those with ± of their own stay as they are."""
    made = dict(given)
    for one in fields_of(model):
        typed = given.get(one.name)
        if one.row is not None and isinstance(typed, list):
            made[one.name] = [metric(one.row, row) for row in typed]
        elif one.entry is not None and isinstance(typed, str) and typed.strip() and "±" not in typed:
            unit = one.entry.shown_unit("metric")
            taken = one.entry.read(typed)
            many = taken if isinstance(taken, tuple) else (taken,)
            if unit != one.entry.shown_unit("us"):
                made[one.name] = "; ".join(f"{float(in_unit(r.si, unit, r.kind)):.10g} {unit}" for r in many)
    return made


@pytest.mark.parametrize("check", list(READINGS))
def test_metric_readings_and_a_metric_display(check: str) -> None:
    made, readings = tables(), READINGS[check]
    made["aircraft"]["display"] = "metric"
    compare(check, worked(made, metric(sheet_type(readings["sheet"]), readings)), "")
