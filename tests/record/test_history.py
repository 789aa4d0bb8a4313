"""A check over time, and the data of its trend picture."""

from datetime import timedelta
from typing import Any

import pytest

from rotorkit.cli.record_text import entry_text
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import measured
from rotorkit.pictures import draw
from rotorkit.quantities import Speed
from rotorkit.record import history
from rotorkit.record.history import told_ahead
from rotorkit.sheets.balance.vibration_orders import NOT_NAMED, VibrationOrders, keys_of_lines
from rotorkit.sheets.base import Finding
from tests.record.bench import Bench


def a_cable_over_months(bench: Bench) -> None:
    for dial in ("28; 28; 28", "27; 27; 27", "25; 25; 25"):
        bench.save(changed={"dial": dial})
        bench.clock.now += timedelta(days=30)


def test_verdicts_and_figures_over_time(bench: Bench) -> None:
    a_cable_over_months(bench)
    bench.save("hover_today")
    found = history(bench.record, "pedal_left_tension")
    assert [row.entry.number for row in found.rows] == [1, 2, 3]
    assert found.rows[0].entry.word == "in limits"
    assert found.rows[0].words == "1 · 2026-06-01 10:01 · in limits · A. Builder"
    figures, *_ = found.figures()
    assert {finding.key for _, finding in figures} == {found.rows[0].entry.findings[0].key}
    values = [float(finding.measured.si) for _, finding in figures]
    assert values == sorted(values, reverse=True)


def test_a_trend_picture(bench: Bench) -> None:
    a_cable_over_months(bench)
    chart, *_ = history(bench.record, "pedal_left_tension").charts("us")
    assert chart.title.endswith("over time")
    assert (chart.x_label, chart.y_label.endswith(", lbf")) == ("time since 2026-06-01, days", True)
    assert [point.x for point in chart.points] == pytest.approx([0, 30, 60], abs=0.01)
    assert [point.label for point in chart.points] == ["1", "2", "3"]
    assert all(point.y_spread > 0 for point in chart.points)
    assert chart.points[0].word == "in limits"
    bounds = {curve.label: list(curve.y) for curve in chart.curves if curve.style == "bound"}
    assert bounds == {"low limit": pytest.approx([30, 30, 30]), "high limit": pytest.approx([40, 40, 40])}
    metric, *_ = history(bench.record, "pedal_left_tension").charts("metric")
    assert metric.y_label.endswith(", N")
    assert metric.points[0].y == pytest.approx(chart.points[0].y * 4.4482216, rel=1e-6)
    assert "<svg" in draw(chart)


@pytest.mark.parametrize(
    ("apart", "label", "last"),
    [
        (timedelta(seconds=5), "time since 2026-06-01 10:01, seconds", 10),
        (timedelta(minutes=3), "time since 2026-06-01 10:01, minutes", 6),
        (timedelta(hours=1), "time since 2026-06-01 10:01, hours", 2),
        (timedelta(hours=24), "time since 2026-06-01, days", 2),
    ],
)
def test_entries_close_together_are_told_in_a_finer_time(
    bench: Bench, apart: timedelta, label: str, last: float
) -> None:
    for _ in range(3):
        bench.save()
        bench.clock.now += apart - timedelta(minutes=1)  # the clock itself moves a minute at each look
    chart, *_ = history(bench.record, "pedal_left_tension").charts("us")
    assert (chart.x_label, chart.points[-1].x) == (label, last)


def test_a_limit_that_changed_goes_in_steps(bench: Bench) -> None:
    bench.save()
    bench.clock.now += timedelta(days=10)
    bench.change('tension = { low = "30 lb"', 'tension = { low = "32 lb"')
    bench.save()
    chart, *_ = history(bench.record, "pedal_left_tension").charts("us")
    low = next(curve for curve in chart.curves if curve.label == "low limit")
    assert list(low.y) == pytest.approx([30, 30, 32])
    assert low.x[1] == low.x[2] == pytest.approx(10, abs=0.01)


def test_a_correction_stands_on_the_day_of_the_work(bench: Bench) -> None:
    a_cable_over_months(bench)
    bench.save(changed={"dial": "28.5; 28.5; 28.5"}, replaces=1, why="mistyped")
    found = history(bench.record, "pedal_left_tension")
    assert [row.entry.number for row in found.rows] == [1, 4, 2, 3]
    assert [row.entry.number for row in found.standing] == [4, 2, 3]
    assert found.rows[0].replaced_by == 4
    assert found.rows[0].words.endswith("replaced by entry 4")
    assert found.rows[1].words.endswith("corrects entry 1: mistyped")
    assert found.rows[1].when == found.rows[0].when
    chart, *_ = found.charts("us")
    assert [point.label for point in chart.points] == ["4", "2", "3"]


def test_once_is_no_trend(bench: Bench) -> None:
    assert history(bench.record, "pedal_left_tension").rows == []
    bench.save()
    assert history(bench.record, "pedal_left_tension").charts() == []
    assert len(history(bench.record, "pedal_left_tension").charts(fewest=1)) >= 1


def test_orders_of_recordings_over_time(bench: Bench) -> None:
    """An order and a line of one part stay one figure over recordings at other speeds, each with its own limit."""
    rows = [{"order": "1", "amplitude": "6.6 ± 0.1 mm/s"}, {"order": "2", "amplitude": "8.8 ± 0.1 mm/s"}]
    fan = [{"name": "cooling fan", "ratio": "10.3 ± 0.1"}]
    for rpm, line, slip in ((455.0, 0.5, 1.0), (452.0, 0.9, 0.992), (457.5, 1.6, 1.0)):
        at = rpm / 60 * 10.3 * slip  # the cooling fan, whose belt slips: 10.3 and 10.2 turns
        lines = [{"frequency": f"{at:.3f} ± 0.05 Hz", "amplitude": f"{line} ± 0.1 mm/s"}]
        read = {"orders": rows, "lines": lines, "speed": f"{rpm} ± 0.5 rpm", "resolution": "0.1 Hz", "others": fan}
        sheet = VibrationOrders.from_readings(read)
        worked, text = sheet.work(bench.folder.aircraft), bench.record.aircraft_text()
        bench.record.save("hover_recorded", sheet, worked, text, who="A. Builder", title="Hover")
        bench.clock.now += timedelta(days=20)
    charts = {chart.curves[0].label: chart for chart in history(bench.record, "hover_recorded").charts("metric")}
    once = charts["Main rotor, 1 a turn"]
    assert [point.x for point in once.points] == pytest.approx([0, 20, 40], abs=0.01)
    assert next(curve for curve in once.curves if curve.style == "bound").y == pytest.approx([7.62] * 3)
    told = next(chart for label, chart in charts.items() if label.endswith("cooling fan"))
    assert [point.y for point in told.points] == pytest.approx([0.5, 0.9, 1.6])
    assert next(curve for curve in told.curves if curve.style == "bound").y == pytest.approx([2.032] * 3)


def recorded(bench: Bench, size: float, unnamed: float = 30.40, **more: str) -> None:
    fan = [{"name": "cooling fan", "ratio": "10.34"}]
    rows = [{"order": "1", "amplitude": f"{size} ± 0.05 mm/s"}, {"order": "2", "amplitude": "8.8 ± 0.1 mm/s"}]
    lines = [{"frequency": "78.41 ± 0.05 Hz", "amplitude": f"{size / 5} ± 0.02 mm/s"}]
    lines += [{"frequency": f"{unnamed * 455 / 60:.3f} ± 0.35 Hz", "amplitude": f"{size / 9} ± 0.02 mm/s"}]
    read = {"orders": rows, "lines": lines, "speed": "455 ± 0.5 rpm", "resolution": "0.1 Hz", "others": fan, **more}
    sheet = VibrationOrders.from_readings(read)
    worked, text = sheet.work(bench.folder.aircraft), bench.record.aircraft_text()
    bench.record.save("hover_recorded", sheet, worked, text, who="A. Builder", title="Hover")
    bench.clock.now += timedelta(days=20)


def test_orders_look_ahead_to_their_limit(bench: Bench) -> None:
    """By hand: 4.0, 4.6, 5.2, 5.8 mm/s every 20 days meet 7.62 mm/s after 60 + 1.82 / 0.03 = 120.7 days: beyond the 60
    days that are looked ahead; with 6.8 instead of 5.8 the line (5.15 in the middle, 0.045 a day) does after 84.9."""
    for size in (4.0, 4.6, 5.2):
        recorded(bench, size)
    few = history(bench.record, "hover_recorded").looks_ahead("metric")
    assert {one.title: one.ahead for one in few}["Main rotor, 1 a turn"] is None
    assert "3 entries to compare; from 4 on" in few[0].sentence
    recorded(bench, 6.8, unnamed=30.34)
    found = {one.title: one for one in history(bench.record, "hover_recorded").looks_ahead("metric")}
    once = found["Main rotor, 1 a turn"]
    assert once.ahead is not None
    level, slope = 5.15, (-30 * 4.0 - 10 * 4.6 + 10 * 5.2 + 30 * 6.8) / 2000
    assert once.ahead.met_si is not None
    assert once.ahead.met_si / 86400 == pytest.approx(30 + (7.62 - level) / slope, abs=0.1)
    assert "meets it about 25 August 2026" in once.sentence
    assert told_ahead([*found.values()])[-1].endswith("not a promise, and no reason to skip an inspection.")
    assert once.chart is not None
    assert max(once.chart.curves[1].x) == pytest.approx(120, abs=0.1)
    assert "<svg" in draw(once.chart)
    # a line that nobody names, known to 0.06 turns, is 30.4 a turn three times and 30.3 the last
    (other,) = [one for title, one in found.items() if NOT_NAMED in title]
    assert other.ahead is not None
    assert other.ahead.count == 4
    # of the part's line too; what shakes alike each time has no trend and does not meet its limit
    assert any("cooling fan" in title for title in found)
    assert "no trend seen. It does not meet its limit before" in found["Main rotor, 2 a turn"].sentence
    shown = entry_text(bench.record, 4)
    assert "Looking ahead" in shown
    assert "Looking ahead" not in entry_text(bench.record, 3)


def test_what_cannot_be_compared_is_not_looked_ahead_by(bench: Bench) -> None:
    for _ in range(4):
        recorded(bench, 5.0, fingerprint="abc")  # one file, saved four times, is one recording
    assert history(bench.record, "hover_recorded").looks_ahead() == []
    for i in range(3):
        recorded(bench, 5.0 + i / 10, fingerprint=f"file {i}", place="tail boom")
    found = history(bench.record, "hover_recorded").looks_ahead()
    assert all("3 entries" in one.sentence for one in found)
    recorded(bench, 5.4, slowest="300 rpm", fastest="455 rpm", place="tail boom")  # a run-up tells of no speed
    assert history(bench.record, "hover_recorded").looks_ahead() == []


def told(*lines: tuple[float, float, str], speed: float = 450.0) -> list[Any]:
    """Lines of an entry as they are known again: each with its turns, how far they may be off, in Hz, and its name."""
    rows = [{"frequency": f"{turns * speed / 60:.5f} ± {off} Hz", "amplitude": "1 mm/s"} for turns, off, _ in lines]
    readings = {"lines": rows, "speed": f"{speed} rpm", "resolution": "0.01 Hz"}
    order = sorted(range(len(lines)), key=lambda i: lines[i][0])
    keys = keys_of_lines([lines[i][0] for i in order])
    size = measured("1 mm/s", Speed, "line")
    findings = [
        Finding(key, f"Line at 1 Hz: {lines[i][2] or NOT_NAMED}", Limit("line", Speed).judge(size))
        for i, key in zip(order, keys, strict=True)
    ]
    return VibrationOrders.known_by(readings, findings)


def test_a_line_is_known_again_by_its_part_or_by_turning_as_fast() -> None:
    keys = keys_of_lines([1.0, 5.12, 5.08])
    assert keys == ["line.1_0_a_turn", "line.5_12_a_turn", "line.5_08_a_turn"]
    same = VibrationOrders.same_figures
    # a belt that slips 1 % moves its fan from 10.34 to 10.24 turns, into another tenth, at another speed too
    assert same(told((10.34, 0.01, "fan")), told((1, 0.01, ""), (10.24, 0.01, "fan"), speed=440)) == [1]
    # nobody names it: as near as 0.03 + 0.01 Hz on either side say, 0.04 Hz x 1.414 / 7.5 Hz = 0.0075 turns
    for apart, found in ((0.007, [0]), (0.008, [None])):
        assert same(told((5.149, 0.03, "")), told((5.149 + apart, 0.03, ""))) == found
    assert same(told((5.149, 0.03, "fan")), told((5.155, 0.03, ""))) == [0]  # it was named since
    assert same(told((5.149, 0.03, "fan")), told((5.155, 0.03, "cooling fan"))) == [0]  # its part was named anew
    # two parts that are both named both times are two, however near
    first, second = told((5.149, 0.03, "fan"), (9, 0.01, "belt")), told((5.155, 0.03, "belt"))
    assert same(first, second) == [None, 0]
    assert same(told((5.149, 0.03, "fan"), (9, 0.01, "belt"), (9.5, 0.01, "belt")), second) == [None, None, None]
    # of two of one name each goes with the nearer; what could be either is neither, and none is given twice
    two = told((9.97, 0.01, "fan"), (10.03, 0.01, "fan"))
    assert same(two, told((9.971, 0.01, "fan"), (10.031, 0.01, "fan"))) == [0, 1]
    assert same(two, told((10.0, 0.01, "fan"))) == [None, None]
    assert same(told((10.0, 0.5, "")), told((9.97, 0.01, ""), (10.03, 0.01, ""))) == [None]
    assert same(["order.1", "order.2"], ["order.2"]) == [None, 0]
    # without its readings, as in an entry that is not read any more, by what its key says
    size = measured("1 mm/s", Speed, "line")
    bare = Finding("line.5_1_a_turn", "Line", Limit("line", Speed).judge(size))
    assert same(VibrationOrders.known_by({}, [bare]), told((5.12, 0.01, ""))) == [0]
