"""What is picked out of a recorded run, against the model that made it; and how a run gets into the sheets."""

from __future__ import annotations

import hashlib
import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from rotorkit.aircraft import Aircraft, demo_folder, load_aircraft
from rotorkit.engine import (
    Column,
    RecordedRun,
    exhaust_peaks,
    hottest,
    ignition_drops,
    leaned,
    oil_pressure_rise,
    read_run,
    settled_stretches,
)
from rotorkit.folder.making import DEMO_RUN
from rotorkit.folder.recorded_runs import READS_RUNS, read_run_into
from rotorkit.judging.limits import UNDONE
from rotorkit.judging.measured import Measured
from rotorkit.quantities import QuantityError
from rotorkit.sheets.catalogue import sheet_type, sheets_in_order
from rotorkit.sheets.engine.mixture import FIXED
from tests.engine import demo_run as made
from tests.sheets.small import small_aircraft


@pytest.fixture(scope="module")
def aircraft() -> Aircraft:
    return load_aircraft(demo_folder())


@pytest.fixture(scope="module")
def run(aircraft: Aircraft) -> RecordedRun:
    return aircraft.recorders["panel"].read(demo_folder() / DEMO_RUN)


def s(pair: tuple[int, int]) -> tuple[str, str]:
    return f"{pair[0]} s", f"{pair[1]} s"


def clocked(pair: tuple[int, int]) -> str:
    return f"{made.clock(pair[0])} to {made.clock(pair[1])}"


def within(figure: Measured, truth: float, unit: str) -> bool:
    """Whether the truth lies within the stated ±."""
    off = abs(float(figure.value.m_as(unit)) - truth)
    return off <= float(figure.expanded.m_as(unit if unit != "degF" else "delta_degF"))


def made_run(**channels: Any) -> RecordedRun:
    """A run of a row a second, in SI units."""
    count = len(next(iter(channels.values())))
    return RecordedRun(
        "made.csv", np.arange(count, dtype=float), {k: np.asarray(v, float) for k, v in channels.items()}, count
    )


GPH = 0.003785411784 / 3600
RPM = 2 * math.pi / 60


def kelvin(f: Any) -> Any:
    return (f - 32) / 1.8 + 273.15


def test_the_demo_file_is_its_model_s() -> None:
    assert (demo_folder() / DEMO_RUN).read_text(encoding="utf-8") == made.demo_run()


def test_peaks_drops_and_oil_are_the_model_s(run: RecordedRun) -> None:
    found = exhaust_peaks(run, *s(made.LEAN))
    assert found.keys() == made.PEAKS.keys()
    for cylinder, (flow, top) in made.PEAKS.items():
        peak = found[cylinder]
        assert peak is not None
        assert within(peak.flow, flow, "gal/h")
        assert within(peak.temperature, top, "degF")
        # 0.1 gal/h of the sensor, and a little for the scatter
        assert 0.1 <= float(peak.flow.expanded.m_as("gal/h")) < 0.13
    drops = ignition_drops(run, *s(made.CHECK))
    for drop, truth in zip(drops, (made.LEFT, made.RIGHT), strict=True):
        assert within(drop.drop, truth, "rpm")
        assert float(drop.drop.expanded.m_as("rpm")) < 5  # what the sensor is off by, 10 rpm, cancels
        assert float(drop.both.expanded.m_as("rpm")) > 10
    rise = oil_pressure_rise(run)
    assert rise is not None
    assert within(rise, made.OIL - made.FIRES, "s")


def test_the_steps_are_found_where_they_were_held(run: RecordedRun) -> None:
    found = settled_stretches(run, "fuel_flow", *s((640, 919)))
    assert len(found) == len(made.STEPS)
    for i, one in enumerate(found):  # held from 640 + 40 i; what is smoothed over two seconds is left out at either end
        assert 640 + 40 * i <= one.start <= 644 + 40 * i
        assert one.end <= 680 + 40 * i
        assert one.length > 30
    steps = leaned(run, *s(made.LEAN))
    assert not steps.swept
    for step, flow in zip(steps.steps, made.STEPS, strict=True):
        assert within(step.flow, flow, "gal/h")


def test_readings_that_are_written_many_times_over_are_as_steady(run: RecordedRun) -> None:
    """Each row 60 times within its second, as of a monitor that writes oftener than it reads: no scatter from row to
    row, and the same steps as of the file with each reading once."""
    often = 60
    first, last = made.LEAN
    rows = slice(first, last)
    held = {name: np.repeat(values[rows], often) for name, values in run.channels.items()}
    time = np.arange((last - first) * often) / often
    many = leaned(RecordedRun("often.csv", time, held, len(time), sensors=run.sensors))
    once = leaned(run, *s(made.LEAN))
    assert not many.swept
    assert len(many.steps) == len(once.steps) == len(made.STEPS)
    for one, other in zip(many.steps, once.steps, strict=True):
        assert float((one.flow - other.flow).value.m_as("gal/h")) == pytest.approx(0, abs=0.01)
        assert one.stretch.start + first == pytest.approx(other.stretch.start, abs=1.5)


def test_the_leanest_step_counts_where_its_least_reading_comes_first() -> None:
    """The least of all readings stands in the first second of the last step; full rich again at once is no step."""
    flow = np.repeat([9.4, 8.8, 8.3, 8.0, 7.7, 7.4, 7.1, 9.4], 40)
    flow[240:242] -= 0.03
    run = made_run(fuel_flow=flow * GPH, exhaust_1=kelvin(1430 - 46 * (flow - 7.3) ** 2))
    assert [round(float(one.flow.value.m_as("gal/h")), 2) for one in leaned(run).steps] == [
        9.4, 8.8, 8.3, 8.0, 7.7, 7.4, 7.1,
    ]  # fmt: skip


@pytest.mark.parametrize("held", [12, 20])
def test_steps_held_too_short_for_the_probes_bear_their_lag(held: int) -> None:
    """A probe five seconds behind: by hand exp(-6/5) to exp(-12/5), a fifth of the step, is lacking in the later half
    of twelve seconds."""
    flow = np.repeat([9.4, 9.0, 8.7, 8.4, 8.1, 7.8, 7.5, 7.2], held)
    shown = 1430 - 46 * (flow - 7.9) ** 2
    for i in range(1, len(shown)):
        shown[i] = shown[i - 1] + (1 - math.exp(-1 / 5)) * (1430 - 46 * (flow[i] - 7.9) ** 2 - shown[i - 1])
    draw = np.random.default_rng(4)
    run = made_run(
        fuel_flow=(flow + draw.normal(0, 0.02, len(flow))) * GPH,
        exhaust_1=kelvin(shown + draw.normal(0, 1, len(flow))),
    )
    assert leaned(run).swept == (held == 12)
    peak = exhaust_peaks(run)[1]
    assert peak is not None
    assert within(peak.flow, 7.9, "gal/h")


@pytest.mark.parametrize(("seconds", "lag"), [(240, 0.0), (240, 4.0), (80, 4.0)])
def test_a_sweep_without_stops_bears_what_the_probes_lag(seconds: int, lag: float) -> None:
    """Drawn back evenly from 9.4 to 7 gal/h; the probe behind it shows the peak later, at less flow."""
    draw = np.random.default_rng(2)
    flow = np.interp(np.arange(seconds + 60), [30, 30 + seconds, 34 + seconds], [9.4, 7.0, 9.4])
    hot = 1430 - 46 * (flow - 7.9) ** 2
    shown = hot.copy()
    for i in range(1, len(hot)):
        shown[i] = shown[i - 1] + ((1 - math.exp(-1 / lag)) if lag else 1.0) * (hot[i] - shown[i - 1])
    run = made_run(
        fuel_flow=(flow + draw.normal(0, 0.02, len(flow))) * GPH,
        exhaust_1=kelvin(shown + draw.normal(0, 1, len(flow))),
    )
    steps = leaned(run)
    assert steps.swept
    assert len(steps.steps) == 11
    peak = exhaust_peaks(run)[1]
    assert peak is not None
    assert within(peak.flow, 7.9, "gal/h")
    # five seconds of the sweep, and no less
    assert float(peak.flow.expanded.m_as("gal/h")) > 5 * 2.4 / seconds
    assert abs(float(peak.flow.value.m_as("gal/h")) - 7.9) == pytest.approx(lag * 2.4 / seconds, abs=0.03)


def test_a_spike_is_no_peak() -> None:
    """One reading 1,100 °F too high, of a step held for 40 s at 8.8 gal/h: its mean is 55 °F too high."""
    flow = np.repeat([9.4, 8.8, 8.3, 8.0, 7.7, 7.4, 7.1], 40) + np.random.default_rng(2).normal(0, 0.02, 280)
    hot = 1430 - 46 * (flow - 7.8) ** 2
    hot[70] += 1100
    run = made_run(fuel_flow=flow * GPH, exhaust_1=kelvin(hot))
    peak = exhaust_peaks(run)[1]
    assert peak is not None
    assert float(peak.flow.value.m_as("gal/h")) == pytest.approx(7.8, abs=0.03)
    assert [1 in step.exhausts for step in leaned(run).steps] == [True, False, *[True] * 5]
    with pytest.raises(QuantityError, match="was not leaned"):
        leaned(made_run(fuel_flow=np.linspace(-1e-9, 1e-9, 50), exhaust_1=kelvin(hot[:50])))


def test_a_peak_that_was_not_passed_is_none_and_no_leaning_is_told() -> None:
    flow = np.repeat([9.4, 9.0, 8.6, 8.3], 30)
    run = made_run(fuel_flow=flow * GPH, exhaust_1=kelvin(1430 - 46 * (flow - 7.9) ** 2))
    assert exhaust_peaks(run) == {1: None}
    still = made_run(fuel_flow=np.full(100, 9.4) * GPH, exhaust_1=kelvin(np.full(100, 1300.0)))
    with pytest.raises(QuantityError, match="was not leaned"):
        leaned(still)
    with pytest.raises(QuantityError, match="no exhaust temperature was recorded"):
        leaned(made_run(fuel_flow=flow * GPH))


@pytest.mark.parametrize(
    ("levels", "found"),
    [
        ([2000, 1920, 2000, 1880, 2000], [80, 120]),
        ([2000, 1920, 1000], []),  # it did not come back to both
        ([2000, 1000, 2000], []),  # the throttle closed, and no ignition
        ([2000, 2000, 2000], []),  # one that does nothing is not found
        ([2000, 2080, 2000], []),
        ([2000, 1940, 1880, 2000, 1880, 2000], [120]),  # sagged in two steps: 120, and neither 60 nor 120 is sure
        ([2000, 1940, 1890, 2000], []),  # no settled speed on both between two tries: 110, and not 50
    ],
)
def test_what_counts_as_a_try_of_an_ignition(levels: list[int], found: list[int]) -> None:
    speed = np.repeat(levels, 12) + np.random.default_rng(4).normal(0, 3, 12 * len(levels))
    drops = ignition_drops(made_run(engine_speed=speed * RPM))
    assert [round(float(one.drop.value.m_as("rpm")), -1) for one in drops] == found


def test_half_of_a_small_sag_is_no_drop_and_a_spike_is_no_try() -> None:
    """16 rpm and then 24 more are a drop of 40: within 1 % of the speed on both, but not within half of the 24."""
    speed = np.repeat([2000.0, 1984, 1960, 2000, 1960, 2000], 12) + np.random.default_rng(4).normal(0, 0.5, 72)
    assert [round(float(one.drop.value.m_as("rpm"))) for one in ignition_drops(made_run(engine_speed=speed * RPM))] == [
        40
    ]
    steady = np.random.default_rng(1).normal(2000.0, 3, 81)
    for at in range(20, 60):
        spiked = steady.copy()
        spiked[at] = 0.0
        assert ignition_drops(made_run(engine_speed=spiked * RPM)) == []


def test_oil_that_never_comes_and_an_engine_that_ran_already() -> None:
    speed = np.concatenate([np.zeros(5), np.full(60, 1000.0)]) * RPM
    with pytest.raises(QuantityError, match="never rises by 5 psi"):
        oil_pressure_rise(made_run(engine_speed=speed, oil_pressure=np.zeros(65)))
    assert oil_pressure_rise(made_run(engine_speed=speed[5:], oil_pressure=np.full(60, 3e5))) is None
    spiked = np.zeros(65)
    spiked[[7, 30, 31]] = 4e5
    spiked[40:] = 3e5
    rise = oil_pressure_rise(made_run(engine_speed=speed, oil_pressure=spiked))
    assert rise is not None
    assert float(rise.value.m_as("s")) == pytest.approx(35)  # from row 5 to row 40, not to a spike
    with pytest.raises(QuantityError, match="never fires"):
        oil_pressure_rise(made_run(engine_speed=speed * 0.2, oil_pressure=np.zeros(65)))


@pytest.mark.parametrize(("a_minute", "settled"), [(1.8, True), (2.2, False), (-1.8, True), (-5.0, False)])
def test_a_temperature_has_settled_below_two_degrees_a_minute(a_minute: float, settled: bool) -> None:
    """14 CFR 25.1045(a): read: its rate of change, up or down."""
    seconds = np.arange(200)
    found = hottest(made_run(head_2=kelvin(300 + a_minute * seconds / 60)), "head_2")
    assert found.settled == settled
    assert float(found.rising.value.m_as("delta_degF")) == pytest.approx(a_minute, rel=1e-6)
    top = 300 + max(0.0, a_minute * 199 / 60)
    assert float(found.reading.value.m_as("degF")) == pytest.approx(top, abs=0.2)


def test_nothing_settles_by_a_spike_by_a_few_seconds_or_by_cooling_down() -> None:
    """Rising by 10 °F a minute, with one reading of nothing; the same digit for eleven seconds of 5 °F a minute;
    throttle closed at 100 s as it still rose; a sensor that fell silent before the end; and a monitor that writes every
    ten seconds, of a head that fell and rises again by 6 °F a minute."""
    seconds = np.arange(200)
    spiked = 300 + 10 * seconds / 60
    spiked[195] = 0
    closed = np.where(seconds < 100, 400 + 6 * seconds / 60, 410 - 12 * (seconds - 100) / 60)
    silent = np.where(seconds < 150, 300.0, np.nan)
    for values, stretch in (
        (spiked, ("0 s", None)), (np.round(300.2 + 5 * seconds / 60), ("40 s", "51 s")), (closed, ("100 s", None)),
        (silent, ("0 s", "190 s")),
    ):  # fmt: skip
        assert not hottest(made_run(head_2=kelvin(values)), "head_2", *stretch).settled
    assert hottest(made_run(head_2=kelvin(silent)), "head_2", "0 s", "149 s").settled
    slow = made_run(head_2=kelvin(np.abs(np.arange(61) - 30.0) + 300))
    slow.time = slow.time * 10
    assert not hottest(slow, "head_2").settled


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("12 min to 13.5 min", (720, 810)), ("12:00 to 13:30", (720, 810)), ("0:12:00 - 0:13:30", (720, 810)),
        ("720 s – 810 s", (720, 810)),
    ],
)  # fmt: skip
def test_a_stretch_as_it_is_written(text: str, seconds: tuple[float, float]) -> None:
    assert made_run(engine_speed=np.ones(1000)).stretch(text) == pytest.approx(seconds)


def test_a_stretch_by_the_clock_goes_over_midnight_and_is_refused_in_words(run: RecordedRun) -> None:
    assert run.stretch(clocked(made.LEAN)) == made.LEAN
    assert run.stretch("09:41:07 to 2 min") == (0, 120)
    night = made_run(engine_speed=np.ones(1000))
    night.clock_at = 86400.0 - 100
    assert night.stretch("23:58:20 to 00:01:40") == (0, 200)
    for text, why in (
        ("09:45", "two times"), ("9:50 to 9:55", "time of day with its seconds"),
        ("09:50:00 to 09:49:00", "ends before"),
        ("09:40:00 to 09:50:00", "from 09:41:07 to 09:58:27"), ("09:50:71 to 09:52:00", "is no time"),
        ("09:50:00 to noon", "noon"), ("1 ft to 2 ft", "time"),
    ):  # fmt: skip
        with pytest.raises(QuantityError, match=why):
            run.stretch(text)


GIVEN: dict[str, dict[str, Any]] = {
    "mixture": {"full_stretch": clocked(made.FULL), "lean_stretch": clocked(made.LEAN), "temperature": "71 ± 1 °F"},
    "run_up": {
        "check_stretch": clocked(made.CHECK), "idle_stretch": clocked(made.IDLE),
        "alone": [{"ignition": "left", "runs": "smooth"}, {"ignition": "right", "runs": "smooth"}],
    },
    "cooling": {
        "run_stretch": clocked((300, 430)), "height": "1,200 ± 50 ft",
        "temperatures": [
            {"where": "base", "part": "cylinder barrel", "reading": "200 ± 5 °F"}, {"where": "oil", "part": "oil"},
        ],
    },
}  # fmt: skip


def read_in(aircraft: Aircraft, sheet: str, **changed: Any) -> dict[str, Any]:
    given = {"recording": DEMO_RUN, **GIVEN[sheet], **changed}
    return {**given, **read_run_into(demo_folder(), aircraft, sheet, given)}


def test_the_demo_s_mixture_is_what_its_run_says(aircraft: Aircraft) -> None:
    from rotorkit.folder.checks import Folder

    kept = next(one for one in Folder(demo_folder()).checks if one.sheet == "mixture").readings
    found = read_run_into(demo_folder(), aircraft, "mixture", kept)
    assert {name: kept[name] for name in found} == found
    digest = hashlib.sha256((demo_folder() / DEMO_RUN).read_bytes()).hexdigest()
    assert found["fingerprint"] == digest
    outcome = sheet_type("mixture").from_readings(kept).work(aircraft)
    for cylinder, (flow, _) in made.PEAKS.items():
        assert within(outcome.finding(f"peak_flow.{cylinder}").measured, flow, "gal/h")
    assert any(digest[:16] in said for said in outcome.remarks)
    # the spoiled rows are told with their lines, in the sheet and so in the record
    assert any("line 336, RPM: 'ERR'; line 710, EGT2: 'ERR'" in said for said in outcome.remarks)
    unread = {**kept, "fingerprint": ""}
    assert any("was not read" in said for said in sheet_type("mixture").from_readings(unread).work(aircraft).remarks)


def test_a_run_up_and_what_no_recording_tells(aircraft: Aircraft) -> None:
    found = read_in(aircraft, "run_up")
    outcome = sheet_type("run_up").from_readings(found).work(aircraft)
    for key, truth in (("drop.left", made.LEFT), ("drop.right", made.RIGHT), ("difference", made.RIGHT - made.LEFT)):
        assert within(outcome.finding(key).measured, truth, "rpm")
    assert within(outcome.finding("oil_rise").measured, made.OIL - made.FIRES, "s")
    assert outcome.missing == ["whether the switch stops each ignition"]
    assert [row["runs"] for row in found["alone"]] == ["smooth", "smooth"]
    # one row for two drops: nobody guesses which
    one = read_in(aircraft, "run_up", alone=[{"ignition": "left"}])
    assert one["alone"] == [{"ignition": "left"}]
    # by the model it runs on the one from the 472nd and from the 494th second
    assert "Drops of the engine speed found: 2 (09:48:59, 09:49:22), and the table has 1 ignitions" in one["was_wrong"]


def test_what_had_not_settled_stays_empty(aircraft: Aircraft) -> None:
    found = read_in(aircraft, "cooling")
    assert [row["where"] for row in found["temperatures"]] == [*(f"cylinder {i}" for i in range(1, 5)), "oil", "base"]
    assert not any("reading" in row for row in found["temperatures"][:5])
    outcome = sheet_type("cooling").from_readings(found).work(aircraft)
    assert outcome.word == UNDONE
    assert "cylinder 3" in outcome.missing
    assert "cylinder 3 (by 3.00 ± 0.5" in found["was_wrong"]
    # as the heads cool they have settled no more; the oil has
    later = read_in(aircraft, "cooling", run_stretch=clocked((620, 930)))
    missing = sheet_type("cooling").from_readings(later).work(aircraft).missing
    assert "cylinder 4" in missing
    assert "oil" not in missing
    assert later["ambient"].startswith("66.0 ± 2.")


def test_a_head_that_cannot_be_read_and_a_row_not_yet_read_stay_asked_for(tmp_path: Path) -> None:
    columns = {f"head_{i}": {"column": f"h{i}", "unit": "degC", "uncertainty": "2 °C"} for i in (1, 2)}
    small = small_aircraft(recorders={"a": {"title": "A", "columns": columns, "absent": ["---"]}})
    (tmp_path / "run.csv").write_text("h1,h2\n" + "180,---\n" * 100, encoding="utf-8")
    begun = sheet_type("cooling").start(small)["temperatures"]
    given = {
        "recording": "run.csv", "run_stretch": "0:00 to 1:30",
        "temperatures": [*begun, {"where": "base of 2", "part": "cylinder barrel"}],
    }  # fmt: skip
    rows = read_run_into(tmp_path, small, "cooling", given)["temperatures"]
    assert [(row["where"], bool(row.get("reading"))) for row in rows] == [
        ("cylinder 1", True), ("cylinder 2", False), ("base of 2", False),
    ]  # fmt: skip
    assert rows[0]["reading"].startswith("356.0 ± 3.6")  # 180 ± 2 °C


@pytest.mark.parametrize(
    ("sheet", "changed", "why"),
    [
        ("mixture", {"recording": ""}, "recording: needs the name"),
        ("mixture", {"recording": "other.csv"}, "no file other.csv"),
        ("mixture", {"recording": "../demo/ground_run.csv"}, "no file"),
        ("mixture", {"recording": "hover_cabin.csv"}, "no column is called"),
        ("mixture", {"lean_stretch": "", "full_stretch": ""}, "full_stretch: from when"),
        ("mixture", {"control": FIXED, "full_stretch": ""}, "full_stretch: from when"),
        ("mixture", {"lean_stretch": "10 s to 12 s"}, "lean_stretch: fuel_flow: only 3 samples"),
        ("mixture", {"lean_stretch": clocked((300, 400))}, "lean_stretch: fuel_flow: the mixture was not leaned"),
        ("cooling", {"run_stretch": ""}, "run_stretch: from when"),
        ("run_up", {"check_stretch": "now"}, "check_stretch: needs two times"),
    ],
)
def test_what_cannot_be_read_names_its_field(aircraft: Aircraft, sheet: str, changed: dict[str, str], why: str) -> None:
    with pytest.raises(QuantityError, match=why):
        read_in(aircraft, sheet, **changed)


def test_the_monitor_is_found_by_its_columns_and_a_bare_one_is_told(tmp_path: Path) -> None:
    columns = {"engine_speed": {"column": "rev", "unit": "rpm"}, "fuel_flow": {"column": "fuel", "unit": "L/h"}}
    small = small_aircraft(recorders={"a": {"title": "A", "columns": columns}})
    rows = "\n".join(f"{2500 + i % 3},{40 + i % 2 / 10}" for i in range(60))
    (tmp_path / "run.csv").write_text(f"rev,fuel\n{rows}\n", encoding="utf-8")
    given = {"recording": "run.csv", "full_stretch": "0:05 to 0:45", "control": FIXED}
    seen: list[tuple[int, int]] = []
    found = read_run_into(tmp_path, small, "mixture", given, lambda done, of: seen.append((done, of)))
    assert seen[-1][0] == seen[-1][1] == (tmp_path / "run.csv").stat().st_size
    assert found["full_flow"].startswith("10.58")  # 40.05 L/h over 3.785411784
    assert "The aircraft file gives no sensor uncertainty for engine_speed, fuel_flow" in found["was_wrong"]
    assert "The engine turned at 2,50" in found["was_wrong"]  # 2585 rpm are rated
    bare = small_aircraft()
    with pytest.raises(QuantityError, match="names no engine monitor"):
        read_run_into(tmp_path, bare, "mixture", given)
    twice = small_aircraft(recorders={one: {"title": one, "columns": columns} for one in "ab"})
    with pytest.raises(QuantityError, match="fits more than one engine monitor"):
        read_run_into(tmp_path, twice, "mixture", given)


def test_what_a_sensor_is_off_by_stands_once_in_the_aircraft_file(tmp_path: Path) -> None:
    (tmp_path / "run.csv").write_text("rev\n" + "\n".join(["2500", "2502"] * 30), encoding="utf-8")
    run = read_run(tmp_path / "run.csv", {"engine_speed": Column("rev", "rpm")})
    run.sensors = {"engine_speed": "1 %"}
    two = [run.mean("engine_speed", *stretch) for stretch in (("0 s", "20 s"), ("30 s", "50 s"))]
    assert float(two[0].expanded.m_as("rpm")) == pytest.approx(25.0, rel=0.01)
    assert float((two[0] - two[1]).expanded.m_as("rpm")) < 1  # the same sensor: in a difference it cancels
    column = {"column": "f", "unit": "gal/h", "uncertainty": "2 ft"}
    with pytest.raises(Exception, match="fuel_flow: uncertainty"):
        small_aircraft(recorders={"a": {"title": "A", "columns": {"fuel_flow": column}}})


def test_every_sheet_that_says_so_reads_runs() -> None:
    assert {one.name for one in sheets_in_order() if one.reads_runs} == READS_RUNS.keys()
