"""Recorded runs: every row is read or told of, and each figure is the file's own in SI units."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pandas
import pytest

from rotorkit.aircraft import demo_folder, load_aircraft
from rotorkit.engine import Column, read_run, recorded
from rotorkit.quantities import QuantityError

COLUMNS = {
    "engine_speed": Column("RPM", "rpm"),
    "exhaust_1": Column("EGT1", "degF"),
    "fuel_flow": Column("FF", "gal/h"),
}
TIME = Column("Time", "s")
HEAD = "Monitor 3000, unit 12\n\nTime,RPM,MAP,EGT1,FF\n"


def file(path: Path, text: str) -> Path:
    made = path / "run.csv"
    made.write_text(text, encoding="utf-8")
    return made


def test_units_and_what_is_not_wanted(tmp_path: Path) -> None:
    run = read_run(file(tmp_path, HEAD + "10,2400,28.1,1350,9.5\n10.5,2410,28.2,1352,9.6\n"), COLUMNS, TIME)
    assert run.time == pytest.approx([0, 0.5])
    assert run.channels["engine_speed"] == pytest.approx(np.array([2400, 2410]) * 2 * math.pi / 60)
    assert run.channels["exhaust_1"] == pytest.approx((np.array([1350, 1352]) - 32) / 1.8 + 273.15)
    assert run.channels["fuel_flow"] == pytest.approx(np.array([9.5, 9.6]) * 0.003785411784 / 3600)
    assert "manifold_pressure" not in run.channels
    assert (run.rows, run.bad_rows, run.sentences) == (2, 0, ["run.csv: 2 rows."])


ROWS = """10,2400,28.1,1350,9.5
11,err,28.1,1351,9.5
12,2402,28.1,1352,9.6,7,8
13,2403,28.1

14,"2404",28.1,"1354",---
15,2405,28.1,inf,9.7
16,2406,28.1,1356,9.8
"""


@pytest.mark.parametrize("at_once", [200_000, 3, 1])
def test_what_cannot_be_read_is_told_with_its_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, at_once: int
) -> None:
    monkeypatch.setattr(recorded, "ROWS_AT_ONCE", at_once)
    run = read_run(file(tmp_path, HEAD + ROWS), COLUMNS, TIME, absent=["---"])
    assert [one.words for one in run.bad] == [
        "line 5, RPM: 'err'",
        "line 6: 7 cells where there are 5 columns",
        "line 10, EGT1: 'inf'",
    ]
    assert (run.rows, run.bad_rows) == (8, 3)
    rpm = run.channels["engine_speed"] * 60 / (2 * math.pi)
    assert rpm == pytest.approx([2400, np.nan, 2403, np.nan, 2404, 2405, 2406], nan_ok=True)
    # a row that ends early and an empty one are there with nothing in them; what the monitor marks as absent too
    assert run.empty == {"time": 1, "engine_speed": 1, "exhaust_1": 2, "fuel_flow": 3}
    assert "3 rows hold what cannot be read" in run.sentences[1]
    assert "fuel_flow: nothing stands in 3 of 8 rows." in run.sentences


def test_the_same_as_pandas_reads_where_nothing_is_wrong(tmp_path: Path) -> None:
    draw = np.random.default_rng(1)
    table = pandas.DataFrame({"Time": np.arange(5000) * 0.2})
    for name, middle, scatter in (("RPM", 2400, 20), ("EGT1", 1350, 9), ("FF", 9.5, 0.1)):
        table[name] = draw.normal(middle, scatter, 5000).round(2)
    path = tmp_path / "run.csv"
    table.to_csv(path, index=False)
    run = read_run(path, COLUMNS, TIME)
    assert np.array_equal(run.time, table["Time"].to_numpy())
    assert run.channels["engine_speed"] == pytest.approx(table["RPM"].to_numpy() * 2 * math.pi / 60, rel=1e-12)
    mean = run.mean("exhaust_1", "0 s", "2000 s")
    assert float(mean.value.m_as("degF")) == pytest.approx(table["EGT1"].mean(), rel=1e-9)
    # independent samples: the scatter over the root of their number
    assert float(mean.standard_si) == pytest.approx(table["EGT1"].std() / 1.8 / math.sqrt(5000), rel=0.15)
    with_sensor = run.mean("exhaust_1", "0 s", "2000 s", "9 degF")
    assert float(with_sensor.expanded_si) == pytest.approx(5.0, rel=0.01)


def test_samples_that_hang_together_are_not_counted_as_many() -> None:
    """An autoregressive series with a = 0.95: the mean's standard deviation is sqrt((1 + a) / (1 - a)) = 6.2 times that
    of as many independent samples (Box, Jenkins and Reinsel, Time Series Analysis, from memory)."""
    draw, a, n, found, true = np.random.default_rng(2), 0.95, 4000, [], []
    for _ in range(60):
        noise = draw.normal(size=n) * math.sqrt(1 - a * a)
        x = np.empty(n)
        x[0] = draw.normal()
        for i in range(1, n):
            x[i] = a * x[i - 1] + noise[i]
        run = recorded.RecordedRun("made", np.arange(n, dtype=float), {"exhaust_1": 1000 + x}, n)
        mean = run.mean("exhaust_1", "0 s", f"{n} s")
        true.append(float(mean.si) - 1000)
        found.append(float(mean.standard_si))
    assert np.mean(found) == pytest.approx(math.sqrt((1 + a) / (1 - a) / n), rel=0.15)
    assert np.std(true) == pytest.approx(np.mean(found), rel=0.25)


def test_a_clock_goes_on_over_midnight(tmp_path: Path) -> None:
    rows = "".join(f"{at},2400,28,1350,9.5\n" for at in ("23:59:58", "23:59:59.5", "0:00:01", "25:00:00", "00:01"))
    run = read_run(file(tmp_path, HEAD + rows), COLUMNS, Column("Time", "clock"))
    assert run.time == pytest.approx([0, 1.5, 3, np.nan, 62], nan_ok=True)
    assert run.bad[0].words == "line 7, Time: '25:00:00'"
    # a row out of order beside midnight goes back a day, and a clock that is set later that day none
    rows = "".join(f"{at},2400,28,1350,9.5\n" for at in ("23:59:58", "0:00:01", "23:59:59", "0:00:02"))
    assert read_run(file(tmp_path, HEAD + rows), COLUMNS, Column("Time", "clock")).time == pytest.approx([0, 3, 1, 4])
    rows = "".join(f"{at},2400,28,1350,9.5\n" for at in ("0:00:01", "23:30:00", "0:00:10"))
    unset = read_run(file(tmp_path, HEAD + rows), COLUMNS, Column("Time", "clock"))
    assert unset.time == pytest.approx([0, 84599, 86409])


def test_continental_files(tmp_path: Path) -> None:
    text = "Zeit;RPM;EGT1;FF\n0,0;2400,5;700,5;36,0\n1,0;x;701;36\n"
    columns = {
        "engine_speed": Column("RPM", "rpm"),
        "exhaust_1": Column("EGT1", "degC"),
        "fuel_flow": Column("FF", "L/h"),
    }
    run = read_run(file(tmp_path, text), columns, Column("Zeit", "s"), ";", ",")
    assert run.channels["exhaust_1"] == pytest.approx([973.65, 974.15])
    assert run.channels["engine_speed"] * 60 / (2 * math.pi) == pytest.approx([2400.5, np.nan], nan_ok=True)
    assert run.bad[0].words == "line 3, RPM: 'x'"


@pytest.mark.parametrize(
    ("text", "columns", "said"),
    [
        ("a,b\n1,2\n", COLUMNS, "no column is called 'Time', 'RPM', 'EGT1', 'FF'; its row of names has a, b"),
        ("Time,RPM,RPM,EGT1,FF\n1,2,3,4,5\n", COLUMNS, "more than one column is called 'RPM'"),
        (HEAD, COLUMNS, "no row stands below its row of names"),
        (HEAD + "1,2,3,4,5\n", {"engine_speed": Column("RPM", "psi")}, "engine_speed: the unit 'psi'"),
        (HEAD + "1,2,3,4,5\n", {"speed": Column("RPM", "rpm")}, "no channel 'speed'"),
        (HEAD + "1,2,3,4,5\n", {}, "name one channel"),
    ],
)
def test_faults_in_words(tmp_path: Path, text: str, columns: dict[str, Column], said: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read_run(file(tmp_path, text), columns, TIME)
    assert said in str(caught.value)


def test_no_file_and_progress(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(QuantityError, match="cannot be read"):
        read_run(tmp_path / "none.csv", COLUMNS, TIME)
    monkeypatch.setattr(recorded, "ROWS_AT_ONCE", 100)
    path = file(tmp_path, HEAD + "1,2400,28,1350,9.5\n" * 1000)
    told: list[tuple[int, int]] = []
    read_run(path, COLUMNS, TIME, progress=lambda done, of: told.append((done, of)))
    assert len(told) == 10
    assert told == sorted(told)
    assert told[-1] == (path.stat().st_size, path.stat().st_size)


def test_named_once_in_the_aircraft_file(tmp_path: Path) -> None:
    panel = load_aircraft(demo_folder()).recorders["panel"]
    head = "Time,RPM,FF,EGT1,EGT2,EGT3,EGT4,CHT1,CHT2,CHT3,CHT4,OILP,OILT,OAT"
    path = file(tmp_path, f"{head}\n12:00:00,2400,9.5,1350,1360,1340,---,340,341,342,343,68,180,70\n")
    run = panel.read(path)
    assert run.channels["oil_pressure"] == pytest.approx([68 * 6894.757293], rel=1e-6)
    assert (run.sensors["oil_pressure"], run.clock_at) == ("2 psi", 43200.0)
    assert panel.fits(path)
    assert not panel.fits(file(tmp_path, head.replace("OAT", "Air") + "\n"))
    assert run.empty == {"exhaust_4": 1}


def test_a_cell_too_many_shifts_no_figure(tmp_path: Path) -> None:
    """A decimal comma among commas makes two cells of one: the exhaust would be what stands before it."""
    rows = "10,2400,5,28,1350,9\n11,2401,28.1,1351,9.5\n12,2402,5,28,1352,---\n"
    run = read_run(file(tmp_path, HEAD + rows), COLUMNS, TIME, absent=["---"])
    assert np.isfinite(run.channels["exhaust_1"]).tolist() == [False, True, False]
    assert run.channels["exhaust_1"][1] == pytest.approx((1351 - 32) / 1.8 + 273.15)
    told = "more cells than the 5 columns that have a name"
    assert [(one.line, one.text) for one in run.bad] == [(4, told), (6, told)]
    assert (run.rows, run.bad_rows, run.empty) == (3, 2, {})
    ended = read_run(file(tmp_path, HEAD + "10,2400,28.1,1350,9.5,\n11,2401,28.1,1351,9.5,\n"), COLUMNS, TIME)
    assert (ended.bad_rows, ended.channels["fuel_flow"].size) == (0, 2)  # every line ends with a separator
    with pytest.raises(QuantityError, match="no row of its column"):
        read_run(file(tmp_path, HEAD + "10,2400,5,28,1350,9\n" * 3), COLUMNS, TIME)


def test_a_clock_is_read_alike_digit_by_digit_and_by_pattern(tmp_path: Path) -> None:
    """Times in full, with and without parts of a second, short ones, spaced ones, none, and what is no time of day."""
    typed = ["09:41:07", "09:41:07.5", "09:41:08.250", " 09:41:09", "9:41:10", "09:42", "", "09:61:00", "24:00:00",
             "09:43:61", "09:43:60.5", "09:43:0x", "09.44.00", "09:45:00.", "23:59:59.999"]  # fmt: skip
    by_hand = [34867, 34867.5, 34868.25, 34869, 34870, 34920, None, None, None, None, 35040.5, None, None, 35100,
               86399.999]  # fmt: skip
    file = tmp_path / "run.csv"
    file.write_text("Time,RPM\n" + "".join(f"{one},{i}\n" for i, one in enumerate(typed)), encoding="utf-8")
    run = read_run(file, {"engine_speed": Column("RPM", "rpm")}, Column("Time", "clock"))
    for found, expected in zip(run.time, by_hand, strict=True):
        if expected is None:
            assert math.isnan(found)
        else:
            assert found == pytest.approx(expected - 34867, abs=1e-9)
    assert run.bad_rows == 5


def test_a_sensor_that_is_out_for_a_while_is_said_in_one(tmp_path: Path) -> None:
    rows = [[str(i), "ERR" if 3 <= i < 9 or i == 12 else "2400", "" if i == 5 else "9.5", "" if i == 5 else "1300"]
            for i in range(20)]  # fmt: skip
    rows[9][2] = "ERR"
    file = tmp_path / "run.csv"
    file.write_text("Time,RPM,FF,EGT1\n" + "\n".join(map(",".join, rows)) + "\n", encoding="utf-8")
    columns = {"engine_speed": Column("RPM", "rpm"), "fuel_flow": Column("FF", "gal/h"),
               "exhaust_1": Column("EGT1", "degF")}  # fmt: skip
    said = read_run(file, columns, Column("Time", "s")).sentences
    assert (
        said[1]
        == "8 rows hold what cannot be read: lines 5 to 10, RPM: 'ERR'; line 11, FF: 'ERR'; line 14, RPM: 'ERR'."
    )
    assert said[2] == "fuel_flow, exhaust_1: nothing stands in 1 of 20 rows."


def test_lines_after_one_another_in_two_columns_are_two_faults() -> None:
    bad = [recorded.BadCell(4, "FF", "ERR"), *(recorded.BadCell(line, "RPM", "ERR") for line in (5, 6))]
    assert recorded._together(bad) == (["line 4, FF: 'ERR'", "lines 5 to 6, RPM: 'ERR'"], 3)


def test_one_kind_of_bad_rows_hides_no_other(tmp_path: Path) -> None:
    """Every third row has a cell too many, 30 in all; 'ERR' stands in six rows with others between them: of each the
    first three are named, and all are counted."""
    rows = [f"{i},{'ERR' if i % 15 == 1 else 2400},9.5" + (",7" if i % 3 == 0 else "") for i in range(90)]
    file = tmp_path / "run.csv"
    file.write_text("Time,RPM,FF\n" + "\n".join(rows) + "\n", encoding="utf-8")
    run = read_run(
        file, {"engine_speed": Column("RPM", "rpm"), "fuel_flow": Column("FF", "gal/h")}, Column("Time", "s")
    )
    over = "more cells than the 3 columns that have a name"
    assert run.sentences[1] == (
        f"36 rows hold what cannot be read: line 2: {over}; line 3, RPM: 'ERR'; line 5: {over}; line 8: {over}; "
        "line 18, RPM: 'ERR'; line 33, RPM: 'ERR', and 30 more rows."
    )
