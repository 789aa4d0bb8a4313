"""Explorations: the same figures as the sheets at the same conditions, and pictures that hold together."""

import re
from typing import Any

import numpy as np
import pytest

from rotorkit.aircraft import Aircraft, demo_folder, load_aircraft
from rotorkit.folder.checks import Folder
from rotorkit.pictures.data import Chart, Contour
from rotorkit.quantities import QuantityError, say
from rotorkit.sheets.exploring.explorations import EXPLORATIONS, Seen, starting_values
from rotorkit.sheets.performance.pedal_stops import AGAINST, WITH
from rotorkit.sheets.performance.power_reckoning import BY_BLADES, BY_MERIT, BY_PARTS
from tests.sheets.test_anti_torque_margin import STOPS
from tests.sheets.test_anti_torque_margin import worked as pedalled
from tests.sheets.test_autorotation import worked as glided
from tests.sheets.test_drive_sheets import worked as hung
from tests.sheets.test_hover_margin import DAY, aircraft_with, figure, worked
from tests.sheets.test_level_flight import worked as flown

DEMO = load_aircraft(demo_folder())
START = starting_values(DAY)


def seen(name: str, aircraft: Aircraft = DEMO, estimate: str = BY_MERIT, **change: str) -> Seen:
    exploration = EXPLORATIONS[name]
    given = {**START, **change}
    at = {knob.name: knob.si(given.get(knob.name, knob.start)) for knob in exploration.knobs(aircraft)}
    return exploration.see(aircraft, at, estimate if exploration.estimates else "")


@pytest.mark.parametrize("name", EXPLORATIONS)
def test_every_knob_starts_within_its_range_and_something_is_seen(name: str) -> None:
    for knob in EXPLORATIONS[name].knobs(DEMO):
        assert knob.si(knob.low) <= knob.si(knob.start) <= knob.si(knob.high), knob.name
        knob.entry.read(knob.start)
    found = seen(name)
    assert found.pictures
    assert found.lines


def test_starting_values_come_from_a_sheets_readings() -> None:
    """Pressure altitude of 29.87 inHg at 640 ft; an uncertainty typed with a reading is left out."""
    assert START["height"] == "687 ft"
    assert starting_values({"gross_weight": "1255 ± 5 lb"}) == {"gross_weight": "1255 lb"}
    assert starting_values({"gross_weight": "1,255 lb ± 0.5 %"}) == {"gross_weight": "1,255 lb"}
    assert starting_values({"flat_plate_area": "7.0 ± 1.0 ft^2"}) == {"flat_plate_area": "7.0 ft^2"}
    assert starting_values({"humidity": "55 ± 3 %"}) == {"humidity": "55 %"}
    assert "height" not in starting_values({"altimeter_setting": "high", "elevation": "640 ft"})


class TestMap:
    @pytest.mark.parametrize("download", ["0 %", "4 %"])
    @pytest.mark.parametrize("estimate", [BY_MERIT, BY_PARTS, BY_BLADES])
    def test_the_margin_at_the_point_is_the_sheets(self, estimate: str, download: str) -> None:
        """The sheet at 29.87 inHg and 640 ft is at 687.4 ft; the knob at whole feet. Read off the map's grid too."""
        craft = aircraft_with(airframe={"download": download})
        found = seen("margin_map", craft, estimate, height="687.4 ft")
        margin = figure(worked(craft, estimate=estimate), "power_margin", "hp")
        said = re.search(rf"by {estimate}: ([\d.]+) hp", found.lines[0])
        assert said is not None
        assert float(said[1]) == pytest.approx(margin, abs=0.05)
        (contour,) = found.pictures
        assert isinstance(contour, Contour)
        column = [float(np.interp(84, contour.x, row)) for row in contour.values]
        assert float(np.interp(687.4, contour.y, column)) == pytest.approx(margin, abs=0.1)

    def test_margins_fall_with_height_and_heat(self) -> None:
        (contour,) = seen("margin_map").pictures
        assert isinstance(contour, Contour)
        values = np.asarray(contour.values)
        assert (np.diff(values, axis=0) < 0).all()
        assert (np.diff(values[:, 8:], axis=1) < 0).all()

    def test_what_is_asked_for_is_the_files(self) -> None:
        (contour,) = seen("margin_map").pictures
        assert isinstance(contour, Contour)
        assert contour.asked is not None
        assert contour.asked[0] == pytest.approx(10)
        data = DEMO.model_dump(exclude_none=True)
        del data["performance"]["power_margin"]
        (bare,) = seen("margin_map", Aircraft.model_validate(data)).pictures
        assert isinstance(bare, Contour)
        assert bare.asked is None

    def test_where_the_engines_table_ends_there_is_no_figure(self) -> None:
        table = {"by": "pressure altitude", "source": "maker", "rows": [["0 ft", "138 hp"], ["6000 ft", "112 hp"]]}
        (contour,) = seen("margin_map", aircraft_with(engine={"power_table": table})).pictures
        assert isinstance(contour, Contour)
        values = np.asarray(contour.values)
        assert np.isfinite(values[contour.y.index(5000.0)]).all()
        assert np.isnan(values[-1]).all()


class TestCurves:
    def test_the_ceiling_holds_what_is_said_beside_it(self) -> None:
        found = seen("ceilings")
        (chart,) = found.pictures
        assert isinstance(chart, Chart)
        away, near, by_hayden, bound = chart.curves
        assert by_hayden.label.endswith("Hayden")
        for curve, line in zip((away, near, by_hayden), found.lines, strict=False):
            able = float(line.rsplit(": ", 1)[1].removesuffix(" lb.").replace(",", ""))
            assert float(np.interp(687, curve.y, curve.x)) == pytest.approx(able, abs=2)
        assert set(bound.x) == {1310.0}
        assert all(n > a for a, n in zip(away.x, near.x, strict=True)), "the ground helps"

    def test_far_from_the_ground_it_helps_little(self) -> None:
        low, high = (seen("ceilings", rotor_height=height).pictures[0] for height in ("8 ft", "30 ft"))
        assert isinstance(low, Chart)
        assert isinstance(high, Chart)
        assert high.curves[1].x[0] / high.curves[0].x[0] < 1.03 < low.curves[1].x[0] / low.curves[0].x[0]

    def test_the_power_curve_is_the_sheets(self) -> None:
        outcome = flown()
        line = seen("power_curve", height="687.4 ft").lines[0]
        assert f"{figure(outcome, 'climb', 'ft/min'):,.0f} ft/min" in line
        assert f"at {figure(outcome, 'speed_best_climb', 'kt'):.1f} kt" in line

    def test_an_overloaded_aircraft_is_told(self) -> None:
        assert any(
            "more power than the engine gives" in line for line in seen("power_curve", gross_weight="3200 lb").lines
        )

    def test_the_load_along_the_blade_adds_up_to_the_weight(self) -> None:
        """Two blades of 11 ft 8 in: the sum over the span is half the weight each."""
        load, lift = seen("blade_span").pictures
        assert isinstance(load, Chart)
        assert isinstance(lift, Chart)
        (curve,) = load.curves
        assert 2 * 35 / 3 * float(np.trapezoid(curve.y, curve.x)) == pytest.approx(1255, rel=5e-3)
        assert max(lift.curves[0].y) < 1.2 == lift.curves[1].y[0]

    def test_more_twist_moves_the_load_inboard(self) -> None:
        def middle(twist: str) -> float:
            (curve,) = seen("blade_span", twist=twist).pictures[0].curves  # type: ignore[union-attr]
            return float(np.trapezoid(np.multiply(curve.x, curve.y), curve.x) / np.trapezoid(curve.y, curve.x))

        assert middle("-14 deg") < middle("-6 deg") < middle("0 deg")

    def test_blades_that_stall_first_show_no_picture(self) -> None:
        found = seen("blade_span", gross_weight="3200 lb", height="10000 ft")
        assert found.pictures == []
        assert "they stall first" in found.lines[0]


def test_the_pedals_begin_at_the_stop_that_pushes_hardest() -> None:
    given = {"full_left": "-22.63 ± 0.44 deg", "full_right": "7.75 deg"}
    assert starting_values({**given, "positive_pushes": WITH})["pedal_stop"] == "-22.63 deg"
    assert starting_values({**given, "positive_pushes": AGAINST})["pedal_stop"] == "7.75 deg"
    assert starting_values({"high_stop": "-22.63 deg", "positive_pushes": WITH})["pedal_stop"] == "-22.63 deg"
    assert "pedal_stop" not in starting_values({**given, "full_left": "far", "positive_pushes": AGAINST})
    assert "pedal_stop" not in starting_values({"full_left": "2 deg", "positive_pushes": AGAINST})


class TestFlight:
    def test_the_climb_at_the_point_is_the_sheets(self) -> None:
        found = seen("climb_map", height="687.4 ft")
        climb = figure(flown(), "climb", "ft/min")
        assert f"{climb:,.0f} ft/min" in found.lines[0]
        (contour,) = found.pictures
        assert isinstance(contour, Contour)
        column = [float(np.interp(84, contour.x, row)) for row in contour.values]
        assert float(np.interp(687.4, contour.y, column)) == pytest.approx(climb, rel=2e-3)
        hot = np.asarray(contour.values)[:, -1]
        assert (np.diff(hot) < 0).all(), "less climb the higher; in the cold the engine is held to its rating"

    @pytest.mark.parametrize("estimate", [BY_MERIT, BY_PARTS, BY_BLADES])
    def test_the_pedal_left_is_the_sheets(self, estimate: str) -> None:
        found = seen("pedals", estimate=estimate, height="687.4 ft", pedal_stop=STOPS["full_left"])
        outcome = pedalled(estimate=estimate)
        assert f"{figure(outcome, 'thrust_margin', 'lbf'):.3g} lbf" in found.lines[0]
        assert f"{figure(outcome, 'pedal_margin', 'deg'):.1f}°" in found.lines[1]
        contour, chart = found.pictures
        assert isinstance(contour, Contour)
        assert isinstance(chart, Chart)
        column = [float(np.interp(84, contour.x, row)) for row in contour.values]
        left = float(np.interp(687.4, contour.y, column))
        assert left == pytest.approx(figure(outcome, "thrust_margin", "lbf"), rel=2e-3)
        assert chart.points[1].y - chart.points[0].y == pytest.approx(left, rel=2e-3)

    def test_a_stop_that_is_not_enough_is_said(self) -> None:
        found = seen("pedals", pedal_stop="3 deg")
        assert any("more blade angle than the stop that pushes hardest allows" in line for line in found.lines)

    def test_the_glide_is_the_sheets(self) -> None:
        outcome = glided()
        found = seen("glide", height="687.4 ft", airspeed="47 kt")
        assert f"Rate of descent {figure(outcome, 'descent', 'ft/min'):,.0f} ft/min" in found.lines[0]
        assert f"by figure of merit: {figure(outcome, 'energy_per_power', 's'):.2f} s" in found.lines[1]
        assert f"after {figure(outcome, 'time_to_lowest_speed', 's'):.3f} s" in found.lines[2]

    def test_more_inertia_buys_time(self) -> None:
        def lasts(inertia: str) -> float:
            return float(seen("glide", inertia=inertia).lines[1].rsplit(": ", 1)[1].removesuffix(" s."))

        assert lasts("100 slug*ft^2") == pytest.approx(2 * lasts("50 slug*ft^2"), rel=5e-3)

    def test_a_rotor_that_is_too_slow_already_has_no_time(self) -> None:
        data = DEMO.model_dump(exclude_none=True)
        data["main_rotor"]["lowest_speed"] = "473 rpm"
        found = seen("glide", Aircraft.model_validate(data))
        assert not any("Lowest rotor speed" in line for line in found.lines)


@pytest.mark.parametrize(
    ("name", "section", "told"),
    [("ceilings", "airframe", r"\[airframe\]"), ("power_curve", "airframe", r"\[airframe\]"),
     ("climb_map", "airframe", r"\[airframe\]"), ("glide", "blade", r"\[main_rotor.blade\]"),
     ("blade_span", "blade", r"\[main_rotor.blade\]")],
)  # fmt: skip
def test_what_the_file_lacks_is_named(name: str, section: str, told: str) -> None:
    data: dict[str, Any] = DEMO.model_dump(exclude_none=True)
    del (data if section in data else data["main_rotor"])[section]
    with pytest.raises(QuantityError, match=told):
        seen(name, Aircraft.model_validate(data))


class TestShaftFan:
    def test_the_critical_speed_is_the_sheets_and_the_plots(self) -> None:
        """Hangers of the demo's shaft evenly from 0 to 156 in; then one moved by 6 in. Over the rotor's speed: of the
        shaft 58/15 x 48/29 = 6.4 turns for one of it."""
        names = ["front", "frame 2", "frame 4", "frame 6", "rear"]
        for moved in (78.0, 84.0):
            places = [0.0, 39.0, moved, 117.0, 156.0]
            rows = [{"hanger": name, "place": f"{at} in"} for name, at in zip(names, places, strict=True)]
            sheet = hung("shaft_whirl", {"shaft": "tail_drive", "hangers": rows}, DEMO)
            rpm = float(sheet.finding("critical_speed").measured.si) * 30 / np.pi
            found = seen("shaft_fan", place_3=f"{moved} in", rotor_speed="500 rpm")
            assert f"First critical speed {rpm:,.0f} rpm" in found.lines[1]
            assert f"{100 * (rpm / 3200 - 1):.0f} % above operating speed, 3,200 rpm, the rotor's 500" in found.lines[1]
            (chart,) = found.pictures
            assert isinstance(chart, Chart)
            once = min(
                x for x, y in zip(chart.dots[0].x, chart.dots[0].y, strict=True) if abs(y / x * 60 / 6.4 - 1) < 1e-6
            )
            assert once * 6.4 == pytest.approx(rpm, rel=2e-3)  # on the plot's straight pieces

    def test_faster_than_it_may_and_a_wall_that_cannot_be(self) -> None:
        assert "BELOW" in seen("shaft_fan", rotor_speed="1000 rpm", hanger_stiffness="200 lbf/in").lines[1]
        with pytest.raises(QuantityError, match="half of the outer diameter"):
            seen("shaft_fan", wall="0.8 in")

    def test_without_a_link_that_names_the_shaft_it_is_over_the_shafts_own_speed(self) -> None:
        data = DEMO.model_dump(exclude_none=True)
        del data["links"]["tail_drive"]["shaft"]
        found = seen("shaft_fan", Aircraft.model_validate(data), shaft_speed="3200 rpm")
        assert "3,200 rpm." in found.lines[1]
        assert any('shaft = "tail_drive"' in line for line in found.lines)
        (chart,) = found.pictures
        assert isinstance(chart, Chart)
        assert chart.x_label == "Speed of the shaft (rpm)"

    def test_what_sits_on_the_tube_sits_there_in_the_plot_too(self) -> None:
        """Half a row of it is passed over; the check itself refuses that, so there is no ± then."""
        readings = {one.sheet: dict(one.readings) for one in reversed(Folder(demo_folder()).checks)}
        shaft_fan, row = EXPLORATIONS["shaft_fan"], {"what": "coupling", "mass": "0.5 lb", "place": "59 in"}
        assert shaft_fan.begun is not None
        told = []
        for masses in ([], [row], [row, {"what": "flange", "mass": "1 lb"}]):
            of_shaft = {**readings["shaft_whirl"], "masses": masses}
            made = shaft_fan.begun(DEMO, of_shaft, {})
            at = {one.name: one.si(one.start) for one in made.knobs(DEMO)}
            told.append(made.see(DEMO, at, "").lines[1])
            if len(masses) < 2:
                found = hung("shaft_whirl", of_shaft, DEMO).finding("critical_speed").measured
                assert f"First critical speed {say(found)}: " in told[-1]
        bare, one, other = (float(line.split()[3].replace(",", "")) for line in told)
        assert one == other
        # 0.5 lb in the middle of a span, beside 1.1 lb of tube in the span, swings with twice the tube's share
        assert bare > 1.1 * one

    def test_blades_and_margins_are_those_of_the_check_of_blade_modes(self) -> None:
        readings = {one.sheet: dict(one.readings) for one in reversed(Folder(demo_folder()).checks)}
        shaft_fan = EXPLORATIONS["shaft_fan"]
        assert shaft_fan.begun is not None
        made = shaft_fan.begun(DEMO, readings["shaft_whirl"], readings)
        at = {one.name: one.si(one.start) for one in made.knobs(DEMO)}
        full = 455.0
        at["rotor_speed"] = full * np.pi / 30
        found = made.see(DEMO, at, "")
        blades = hung("blade_modes", readings["blade_modes"], DEMO)
        hertz = [float(blades.finding(f"mode.{name}").measured.si) for name in ("flap.1", "flap.2", "lag.1")]
        said = next(line for line in found.lines if "times a turn" in line and line.startswith("The blades at"))
        for one in hertz:
            assert f"{one * 60 / full:.2f}" in said
        shaft, of_blades = found.pictures
        assert isinstance(shaft, Chart)
        assert isinstance(of_blades, Chart)
        for chart in (shaft, of_blades):
            band = next(one for one in chart.bands if one.label == "speeds in use")
            assert list(band.x) == pytest.approx([410.0, 510.0])
            bound = next(one for one in chart.curves if one.style == "bound")
            assert bound.x[0] == pytest.approx(full)
        # twice a turn of the shaft: by hand half its first critical speed, over 6.4, against 410 to 510
        critical = float(hung("shaft_whirl", readings["shaft_whirl"], DEMO).finding("critical_speed").measured.si)
        twice = critical * 30 / np.pi / 2 / 6.4
        line = next(line for line in found.lines if line.startswith("Crossings of the shaft"))
        told = float(line.partition("twice a turn at ")[2].partition(" rpm")[0])
        assert told == pytest.approx(twice, rel=2e-3)  # at half the speed it stiffens a little less by turning
        assert "WITHIN" in line.partition(";")[0]
        flap = np.array([y for one in of_blades.curves if one.style == "main" for y in one.y[:1]])
        assert len(flap) == 3
        assert [one.label for one in of_blades.curves if one.style == "main"] == ["modes in flap", "", ""]
