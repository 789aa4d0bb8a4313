"""Which slip explains a hand figure. Every wrong figure is worked here by plain arithmetic, with its slip."""

import contextlib
import math
import random
from pathlib import Path
from typing import Any

import pytest

from rotorkit.aircraft import demo_folder, load_aircraft
from rotorkit.aircraft.performance_figures import PowerRows
from rotorkit.atmosphere import standard_density
from rotorkit.balance import permissible_unbalance
from rotorkit.balance.by_hand import weight_from_trial, what_the_trial_did
from rotorkit.engine import fuel_mass_flow
from rotorkit.engine.carburettor import air_density_at
from rotorkit.folder.checks import Folder
from rotorkit.judging.agreement import AGREES, DIFFERS
from rotorkit.judging.measured import Measured
from rotorkit.quantities import Angle, Length, Mass, QuantityError, TemperatureDifference, in_unit
from rotorkit.rigging import tension_at_temperature, tension_slope, turns_for_length_change
from rotorkit.rigging.blade_angle import blade_angle
from rotorkit.rotor import disk_area, tip_speed
from rotorkit.sheets.base import SheetError
from rotorkit.sheets.catalogue import sheet_type
from rotorkit.teach.otherwise import misread, otherwise
from rotorkit.teach.slips import Diagnosis, Other, diagnose, diagnose_figure
from rotorkit.teach.tables import with_a_wrong_row
from tests.benchmarks.slips_table import written

TIP = {"rotor_speed": "500 rpm", "rotor_radius": "12.5 ft"}
OMEGA = 500 * 2 * math.pi / 60
TENSION = {"tension": "32 lb", "slope": "0.35 lb/°F", "measured_at": "58 °F", "wanted_at": "70 °F"}


def families(formula: Any, values: Any, answer: str, **more: Any) -> list[tuple[str, ...]]:
    return [one.families for one in diagnose(formula, values, answer, **more).explanations]


@pytest.mark.parametrize(
    ("answer", "family", "words"),
    [
        (f"{OMEGA * 25:.1f} ft/s", "diameter", "the diameter was used for the rotor radius"),
        (f"{OMEGA * 6.25:.1f} ft/s", "diameter", "halved as if it were a diameter"),
        (f"{500 * 12.5:.0f} ft/s", "unit", "the rotor speed was taken as rad/s where it stands in rpm"),
        (f"{OMEGA * 12.5 * 0.3048:.1f} ft/s", "unit", "the figure is in m/s, and ft/s was written behind it"),
        (f"{OMEGA * 12.5 / 5280 * 3600:.1f} kt", "unit", "the figure is in mph, and kt was written behind it"),
        (f"{OMEGA * 12.5 * 12:.0f} ft/s", "unit", "in in, and ft was written"),
        (f"{-OMEGA * 12.5:.1f} ft/s", "sign", "only the sign differs"),
        (f"{OMEGA * 12.5 / 10:.2f} ft/s", "decimal point", "slipped by one place"),
    ],
)
def test_a_slip_in_one_formula_is_named(answer: str, family: str, words: str) -> None:
    found = diagnose(tip_speed, TIP, answer)
    assert found.word == DIFFERS
    assert family in [one.family for one in found.explanations]
    assert words in found.hint


def test_what_learners_do_most_is_named() -> None:
    """Turns a second without the 2π; the temperature it was measured at forgotten; multiplied in place of divided."""
    no_two_pi = diagnose(tip_speed, TIP, f"{500 / 60 * 12.5:.2f} ft/s")
    assert "the rotor speed was taken as rad/min, the 2π left out, where it stands in rpm" in no_two_pi.hint
    forgotten = diagnose(tension_at_temperature, TENSION, f"{32 + 0.35 * 70:.2f} lb")
    assert "the figure “measured at” was not taken off" in forgotten.hint
    assert forgotten.explanations[0].families == ("left out",)
    added = diagnose(tension_at_temperature, TENSION, f"{32 + 0.35 * (70 + 58):.2f} lb")
    assert "the figure “measured at” was added where it is taken off" in added.hint
    turns = diagnose(turns_for_length_change, {"length_change": "0.175 in", "length_per_turn": "0.098 in"}, "0.01715")
    assert "it was multiplied by the length per turn where it is divided" in turns.hint
    weighed = diagnose(fuel_mass_flow, {"flow": "18.65 L/h", "density": "0.831 kg/L"}, f"{18.65 / 0.831:.2f} kg/h")
    assert "it was divided by the density where it is multiplied" in weighed.hint
    swapped = diagnose(weight_from_trial, {"trial": "2 g", "as_found": "3.4 mm/s", "change": "3.38 mm/s"}, "1.9882 g")
    assert "the figure “as found” and the change were swapped" in swapped.hint
    did = {"as_found": "3.4 mm/s", "with_trial": "1.8 mm/s", "between": "74 deg"}
    assert "the figure “as found” was taken as it is" in diagnose(what_the_trial_did, did, "3.400 mm/s").hint
    said = swapped.hint.split("; or ")
    assert len(said) == len(set(said)), "the same words twice"


def test_the_corrected_line_is_shown() -> None:
    """6250 is 500 times 12.5: the line that turns rpm into rad/s is the one that was left out."""
    found = diagnose(tip_speed, TIP, "6250 ft/s")
    assert found.sure
    assert any("500 rpm × 0.1047198" in line for line in found.corrected)


@pytest.mark.parametrize("answer", ["654.5 ft/s", "654 ft/s", "654.498 ft/s", "199.49 m/s", "446.2 mph", "387.8 kt"])
def test_a_right_figure_is_never_called_wrong(answer: str) -> None:
    found = diagnose(tip_speed, TIP, answer)
    assert found.word == AGREES
    assert not found.explanations
    assert not found.hint


def test_a_figure_that_no_slip_explains_is_told_so() -> None:
    for answer in ("500 ft/s", "711.3 ft/s", "0 ft/s"):
        found = diagnose(tip_speed, TIP, answer)
        assert not found.explanations
        assert "work through the steps again" in found.hint


def test_rounding_on_the_way_is_no_slip() -> None:
    """52.4 rad/s in place of 52.36: 655.0."""
    found = diagnose(tip_speed, TIP, "655.0 ft/s")
    assert found.near
    assert not found.explanations
    assert "rounding along the way" in found.hint


def test_two_slips_together() -> None:
    """rpm not turned, and the diameter for the radius; not told where one alone explains it."""
    found = diagnose(tip_speed, TIP, "12500.0 ft/s")
    assert any(set(one.families) == {"unit"} or "diameter" in one.families for one in found.explanations)
    assert all(len(one.families) == 2 for one in found.explanations)
    assert {len(one.families) for one in diagnose(tip_speed, TIP, "6250 ft/s").explanations} == {1}


def test_what_explains_it_equally_is_all_said() -> None:
    """A tenth of the figure: the point slipped in the speed, in the radius or in the result; nobody can tell."""
    found = diagnose(tip_speed, TIP, "65.45 ft/s")
    assert {one.where for one in found.explanations} == {("result",), ("rotor_speed",), ("rotor_radius",)}
    assert not found.sure
    assert "any one of these would give this figure" in found.hint


def test_a_reference_not_taken_off_and_added() -> None:
    given = {"reading": "9.3 deg", "reference": "1.4 deg", "sign": "1"}
    assert diagnose(blade_angle, given, "7.9 deg").good
    assert ("left out",) in families(blade_angle, given, "9.3 deg")
    assert ("wrong way",) in families(blade_angle, given, "10.7 deg")
    assert "the reference was not taken off" in diagnose(blade_angle, given, "9.3 deg").hint


def test_minutes_of_arc_read_as_decimals() -> None:
    """10° 20' read as 10.20: less 1.4 is 8.80, and the right one is 8.933."""
    given = {"reading": "10° 20'", "reference": "1.4 deg", "sign": "1"}
    assert ("minutes",) in families(blade_angle, given, "8.80 deg")


def test_temperatures_and_their_differences() -> None:
    """Density at 29.92 inHg and 85 °F: 85 taken as °C, and 85 turned like a difference, 85 x 5/9 K."""
    given = {"pressure": "29.92 inHg", "temperature": "85 °F"}
    pressure = 29.92 * 3386.389
    right, celsius, difference = (pressure / 287.053 / t for t in ((85 + 459.67) * 5 / 9, 85 + 273.15, 85 * 5 / 9))
    assert diagnose(air_density_at, given, f"{right:.3f} kg/m^3").good
    assert ("temperature",) in families(air_density_at, given, f"{celsius:.4f} kg/m^3")
    assert ("temperature",) in families(air_density_at, given, f"{difference:.3f} kg/m^3")


def test_pounds_for_slugs_and_the_square_left_out() -> None:
    given = {"rotor_radius": "12.5 ft"}
    assert ("diameter",) in families(disk_area, given, f"{math.pi * 25**2:.0f} ft^2")
    assert ("power",) in families(disk_area, given, f"{math.pi * 12.5 * 0.3048:.3f} m^2")
    figure = Measured(1310 * 0.45359237, Mass)
    assert "slug" in diagnose_figure([], figure, f"{1310 * 32.174:.0f} lb").hint


def test_a_formula_solved_for_another_of_its_quantities() -> None:
    """Which speed gives 654.5 ft/s at 12.5 ft: 52.36 rad/s, 500 rpm. Left in rad/s it is 52.36."""
    given = {"result": "654.5 ft/s", "rotor_radius": "12.5 ft"}
    assert diagnose(tip_speed, given, "500 rpm", unknown="rotor_speed").good
    assert ("unit",) in families(tip_speed, given, "52.36 rpm", unknown="rotor_speed")
    assert ("diameter",) in families(tip_speed, given, "250 rpm", unknown="rotor_speed")
    # 70 °F wanted, 4.2 lb more: solved for the temperature it was measured at
    cold = {name: value for name, value in TENSION.items() if name != "measured_at"} | {"result": "36.2 lb"}
    assert diagnose(tension_at_temperature, cold, "58 °F", unknown="measured_at").good
    assert families(tension_at_temperature, cold, "82 °F", unknown="measured_at")


@pytest.mark.parametrize(
    ("typed", "figure", "hint"),
    [
        ("-9.5 deg", Measured(math.radians(9.5), Angle), "sign convention"),
        ("-8 deg", Measured(math.radians(9.5), Angle), "unit by unit"),
        ("150 in", Measured(150 * 0.3048, Length), "the figure is in ft, and in was written"),
        ("150 ft", Measured(150 * 0.0254, Length), "the figure is in in, and ft was written"),
        ("0.1658 deg", Measured(math.radians(9.5), Angle), "rad"),
        ("36 °F", Measured(20 / 1.8 * 1.8, TemperatureDifference), ""),
        ("20 °F", Measured(20.0, TemperatureDifference), "other degrees"),
    ],
)
def test_a_bare_figure_without_its_steps(typed: str, figure: Measured, hint: str) -> None:
    assert hint in diagnose_figure([], figure, typed).hint


def test_bad_input_is_refused_with_a_reason() -> None:
    with pytest.raises(QuantityError, match="unit"):
        diagnose(tip_speed, TIP, "654.5")
    with pytest.raises(QuantityError, match="rotor_radius is missing"):
        diagnose(tip_speed, {"rotor_speed": "500 rpm"}, "654.5 ft/s")


# through the steps of a sheet

AIRCRAFT = load_aircraft(demo_folder())


def test_a_sheets_chain_from_gauge_to_limit() -> None:
    """Two dial readings stand between rows of the gauge's table; the tension is then carried to 70 °F."""
    check = Folder(demo_folder()).check("pedal_left_tension")
    outcome = check.outcome(AIRCRAFT)
    carried = outcome.finding("tension_at_limit_temperature").measured
    read, slope = (outcome.finding(key).measured for key in ("tension_today", "slope"))
    by_hand = {step.name: float(step.value.si) for step in outcome.steps}["tension_at_temperature"]
    assert by_hand  # the last of them is the limit's own
    pounds = 4.4482216152605
    more = (70 - 58) * 5 / 9 * float(slope.si) / pounds
    left_out = diagnose_figure(outcome.steps, carried, f"{float(read.si) / pounds:.1f} lb")
    assert "step left out" in [one.family for one in left_out.explanations] or "left out" in [
        one.family for one in left_out.explanations
    ]
    assert "Tension corrected to 70 °F" in left_out.hint
    wrong_way = diagnose_figure(outcome.steps, carried, f"{float(read.si) / pounds - more:.1f} lb")
    assert "wrong way" in [one.family for one in wrong_way.explanations]
    assert diagnose_figure(outcome.steps, carried, f"{float(carried.si) / pounds:.1f} lb").word == AGREES


def test_what_a_sheet_looks_up_taken_otherwise() -> None:
    """Every riser of the gauge's table but the right one is tried, and a blade read for another."""
    folder = Folder(demo_folder())
    sheet = folder.check("pedal_left_tension").made()
    gauge = AIRCRAFT.instruments[sheet.gauge]  # type: ignore[attr-defined]
    risers = {table.riser for table in gauge.tables}
    told = otherwise(sheet, AIRCRAFT, "tension_today")
    assert len(risers) == 1 or any("riser" in one.words for one in told)
    angles = folder.check("tail_rotor_angles")
    outcome = angles.outcome(AIRCRAFT)
    others = otherwise(angles.made(), AIRCRAFT, outcome.findings[0].key)
    swapped = [one for one in others if one.family == "swapped" and one.value != float(outcome.findings[0].measured.si)]
    assert swapped
    typed = f"{math.degrees(swapped[0].value):.2f} deg"
    found = diagnose_figure(outcome.steps, outcome.findings[0].measured, typed, others=others)
    assert found.good or any("swapped" in one.words for one in found.explanations)
    assert sheet_type("blade_angles")


def test_readings_misread_where_the_sheet_adds_them_up() -> None:
    """Three scales of 165.83, 330.67 and 326.33 lb with a tare of 3 lb each, 12 lb of fuel taken off: 801.83 lb."""
    check = Folder(demo_folder()).check("weighed")
    outcome, sheet = check.outcome(AIRCRAFT), check.made()
    figure = outcome.finding("empty_weight").measured
    scales, rest = (497.5 / 3, 992 / 3, 979 / 3), 9.0 + 12.0
    assert float(figure.si) / 0.45359237 == pytest.approx(sum(scales) - rest)
    others = otherwise(sheet, AIRCRAFT, "empty_weight")
    assert not [one for one in others if "arm" in one.where], "no weight rests on an arm"

    def told(pounds: float) -> tuple[tuple[str, ...], tuple[str, ...], str]:
        found = diagnose_figure(outcome.steps, figure, f"{pounds:.1f} lb", others=others)
        first = found.explanations[0]
        return first.families, first.where, found.hint

    ten_times = sum(scales) + 9 * scales[1] - rest
    families, where, hint = told(ten_times)
    assert (families, where) == (("decimal point",), ("points.1.reading",))
    assert '"Scale reads" of left jack point' in hint
    families, where, _ = told(sum(scales) + 9 * scales[1] - 0.9 * scales[2] - rest)
    assert (set(families), set(where)) == ({"decimal point"}, {"points.1.reading", "points.2.reading"})
    families, _, hint = told(2 * ten_times)
    assert set(families) == {"decimal point", "factor"}
    assert hint.startswith(("perhaps", "any one"))
    kilograms = scales[0] / 0.45359237
    assert told(kilograms + scales[1] + scales[2] - rest)[:2] == (("unit",), ("points.0.reading",))


def test_taken_otherwise_and_then_written_down_wrongly() -> None:
    """Another row's 11° for the sheet's 8°, and a slip in writing it down."""
    right = Measured(math.radians(8), Angle)
    other = Other("the readings of rows 1 and 2 were swapped", math.radians(11), "swapped", "rows.0 1")
    for typed, family in (("-11.00 deg", "sign"), ("110.0 deg", "decimal point"), ("22.00 deg", "factor")):
        assert not diagnose_figure([], right, typed).explanations
        found = diagnose_figure([], right, typed, others=[other])
        assert found.explanations[0].families == ("swapped", family)
        assert found.explanations[0].where == ("rows.0 1", "result")
        assert not found.sure
        assert "perhaps the readings of rows 1 and 2 were swapped, and " in found.hint
    # one alone is told by itself: 11° as it is, and 16° as twice the 8°
    for typed, families in (("11.00 deg", ("swapped",)), ("16.00 deg", ("factor",))):
        assert [one.families for one in diagnose_figure([], right, typed, others=[other]).explanations] == [families]
    # what changes nothing is no half of a pair
    same = Other("the same again", math.radians(8), "swapped", "rows.0 2")
    assert {one.families for one in diagnose_figure([], right, "-8.00 deg", others=[same]).explanations} == {("sign",)}


def test_the_slope_of_a_cable_knows_its_expansions() -> None:
    """The structure's expansion less the cable's: taken off the wrong way round, the sign is turned."""
    given = {
        "structure_expansion": "23.6e-6 /K",
        "cable_expansion": "11.7e-6 /K",
        "length": "200 in",
        "axial_stiffness": "111607 lb",
        "structure_stiffness": "500 lb/in",
    }
    stiffness = 1 / (200 / 111607 + 1 / 500)
    forgotten = 23.6e-6 * 200 * stiffness / 1.8
    found = diagnose(tension_slope, given, f"{forgotten:.4f} lb/°F")
    assert "the cable expansion was not taken off" in found.hint


def test_feet_and_inches_are_not_misread_as_one_number() -> None:
    """Of 5 ft 2 in a point one place off would be 50 ft 2 in, which nobody writes; of 62 in it is 620 in."""
    check = next(one for one in Folder(demo_folder()).checks if one.sheet == "weigh_in")
    given = check.readings
    row = {**given["points"][0]}
    for text, tried in (("5 ft 2 in", False), ("60 in + 2 in", False), ("62 in", True), ("5.2 ± 0.1 ft", True)):
        rows = [{**row, "arm": text}, *given["points"][1:]]
        sheet = sheet_type("weigh_in").from_readings({**given, "points": rows})
        assert any(where == "points.0.arm" for _, _, where, _ in misread(sheet)) is tried, text


# a wrong row of a table


def as_written(si: float, finding: Any) -> str:
    unit, kind = finding.measured.shown_unit("us"), finding.measured.kind
    return f"{float(in_unit(si, unit, kind)):.5g} {unit}"


def says(found: Diagnosis, *words: str) -> bool:
    return any(one.families == ("table",) and all(word in one.words for word in words) for one in found.explanations)


def test_a_neighbouring_row_of_the_standard_atmosphere() -> None:
    """Rows of the U.S. Standard Atmosphere, 1976, by its equations (0.00237689 theta^4.25588, as in the lessons)."""
    printed = {1000: 0.0023081, 2000: 0.0022409, 3000: 0.0021752, 4000: 0.0021110}  # slug/ft3
    for height, row in ((2000, 1000), (2000, 3000), (2350, 2000), (2350, 3000), (2999, 4000)):
        found = diagnose(standard_density, {"pressure_altitude": f"{height} ft"}, f"{printed[row]:.7f} slug/ft^3")
        assert not found.good
        assert says(found, f"row of {row:,} ft", f"{height:,} ft"), (height, row, found.hint)
    right = diagnose(standard_density, {"pressure_altitude": "2000 ft"}, "0.0022409 slug/ft^3")
    assert right.good


def test_a_neighbouring_grade_of_balance() -> None:
    given = {"grade": "6.3 mm/s", "mass": "12 lb", "speed": "2700 rpm"}
    for other in (2.5, 16.0):
        # grade over radians per second, times the mass
        ounces = other / (2700 * 2 * math.pi / 60) / 25.4 * 12 * 16
        found = diagnose(permissible_unbalance, given, f"{ounces:.4f} oz*in")
        assert says(found, f"{other:g}", "6.3", "grade"), found.hint


def told_rows(sheet: Any, aircraft: Any, key: str, place: str) -> int:
    """How many rows of a table, read for another, are named when what the sheet comes to with them is typed: every one
    that makes a difference. A row that is not the one in use makes none, or cannot be worked."""
    outcome, rows, told = sheet.work(aircraft), [], 0
    finding = outcome.finding(key)
    for words, where, changed in with_a_wrong_row(sheet, aircraft):
        if where.startswith(place):
            with contextlib.suppress(SheetError):
                rows.append(Other(words, float(sheet.work(changed).finding(key).measured.si), "table", where))
    for one in rows:
        found = diagnose_figure(outcome.steps, finding.measured, as_written(one.value, finding), others=rows)
        assert found.good or any(one.words in said.words for said in found.explanations), (one.words, found.hint)
        told += not found.good
    return told


GAUGE = [(10.0, "10 lb"), (20.0, "22 lb"), (30.0, "36 lb"), (40.0, "52 lb")]


def _with_gauge_table(sheet: Any) -> Any:
    gauge = AIRCRAFT.instruments[sheet.gauge]
    tables = [table.model_copy(update={"rows": GAUGE}) for table in gauge.tables]
    changed = gauge.model_copy(update={"tables": tables})
    return AIRCRAFT.model_copy(update={"instruments": {**AIRCRAFT.instruments, sheet.gauge: changed}})


def test_a_neighbouring_row_of_a_gauges_table() -> None:
    check = Folder(demo_folder()).check("pedal_left_tension")
    chance = random.Random(5)
    for _ in range(12):
        dial, up = chance.choice([k / 2 for k in range(41, 60)]), chance.choice((-1, 1))
        sheet = type(check.made()).from_readings({**check.readings, "dial": f"{dial:g}"})
        aircraft = _with_gauge_table(sheet)
        outcome = sheet.work(aircraft)
        figure = outcome.finding("tension_today").measured
        at = 1 + up  # 20 to 30 divisions is the stretch from row 1
        low, high = (float(GAUGE[k][1].split()[0]) for k in (at, at + 1))
        wrong = low + (dial - 20) / 10 * (high - low)
        others = otherwise(sheet, aircraft, "tension_today")
        found = diagnose_figure(outcome.steps, figure, f"{wrong:.2f} lb", others=others)
        rows = f"rows of {GAUGE[at][0]:g} and {GAUGE[at + 1][0]:g}", "place of 20 and 30"
        assert says(found, *rows), (dial, up, found.hint)


def test_a_neighbouring_row_of_the_power_table() -> None:
    rows = [["0 ft", "150 hp"], ["2000 ft", "139 hp"], ["4000 ft", "129 hp"], ["6000 ft", "120 hp"]]
    check = next(one for one in Folder(demo_folder()).checks if one.sheet == "hover_margin")
    table = PowerRows(by="pressure altitude", rows=rows, source="an invented table")
    aircraft = AIRCRAFT.model_copy(update={"engine": AIRCRAFT.engine.model_copy(update={"power_table": table})})
    assert told_rows(check.made(), aircraft, "power_margin", "engine.power_table")


@pytest.mark.parametrize(
    ("check", "key", "place"),
    [
        ("pedal_left_tension", "tension_at_limit_temperature", "cables.pedal_left.steel"),
        ("pedal_left_tension", "tension_at_limit_temperature", "cables.pedal_left.airframe_material"),
        ("loaded_today", "arm_start", "loading.stations"),
        ("loaded_today", "Lengthwise.high", "loading.envelopes"),
    ],
)
def test_a_neighbouring_row_of_materials_and_places(check: str, key: str, place: str) -> None:
    """A row that makes a difference is named when the figure that it gives is typed."""
    assert told_rows(Folder(demo_folder()).check(check).made(), AIRCRAFT, key, place)


def test_how_often_a_slip_is_found_stands_in_one_place() -> None:
    """The benchmark's table, which the docs take as it stands."""
    checkout = Path(__file__).resolve().parents[2]
    assert "```{include} generated/slips_found.md" in (checkout / "docs/pages/validation.md").read_text("utf-8")
    assert '"benchmarks" / "slips_found.md"' in (checkout / "docs/generate.py").read_text("utf-8")
    row = {"cases": 200, "found": 190, "first": 150, "said": 300, "sure": 90, "wrong": 3}
    part = {"what": "a try", "rows": {"one": row, "two": row}, "right": 7, "alarms": 0, "at_random": 5, "claimed": 1}
    text = written({"formulas": [part, part]})
    assert "| every formula, one slip (wanted: 95 % found) | 400 | 95.0 % | 75.0 % | 1.5 | 180 | 6 |" in text
    assert "Sure and wrong: 12 of 800, 1.5 % (wanted: 2 % at most). What was gone through: a try." in text
    kept = (checkout / "tests/benchmarks/slips_found.md").read_text("utf-8")
    assert kept.splitlines()[:2] == text.splitlines()[:2]
