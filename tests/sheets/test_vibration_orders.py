"""The sheet of a recording's orders, and the recording brought to it: against the model that made the recording."""

import hashlib
import math
import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from scipy.io import wavfile

from rotorkit.aircraft import demo_folder
from rotorkit.aircraft.derived import drive_cycles
from rotorkit.folder.recordings import read_into, recording_of
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.quantities import QuantityError
from rotorkit.sheets.balance.vibration_orders import VibrationOrders
from rotorkit.sheets.base import SheetError
from rotorkit.vibration import drive_lines, names_at, recording, simulated_recording
from rotorkit.vibration.plausible import looked_over
from tests.sheets.small import small_aircraft
from tests.vibration import demo_recording as demo

LIMITS: dict[str, Any] = {
    "once": {"high": "5 mm/s", "source": "test"},
    "blades": {"high": "8 mm/s", "source": "test"},
    "line": {"high": "3 mm/s", "source": "test"},
}
DEMO = {"recording": "hover_cabin.csv", "unit": "g", "column": "cabin_volts", "pulses": "mark"}
GRAVITY = {"upright": "1.75 ± 0.001", "turned_over": "1.55 ± 0.001"}


def readings(**changed: Any) -> dict[str, Any]:
    """The small aircraft: three blades, engine 5.5 and tail rotor 6.1 to 1; 480 rpm are 8 Hz."""
    made = {
        "speed": "480 ± 1 rpm",
        "resolution": "0.2 Hz",
        "length": "30 s",
        "orders": [
            {"order": "1", "amplitude": "2 ± 0.2 mm/s", "phase": "40 ± 5 deg"},
            {"order": "3", "amplitude": "4 ± 0.2 mm/s"},
        ],
        "lines": [
            {"frequency": "48.9 ± 0.05 Hz", "amplitude": "1 ± 0.2 mm/s"},
            {"frequency": "8 ± 0.05 Hz", "amplitude": "2 ± 0.2 mm/s"},
            {"frequency": "31 ± 0.05 Hz", "amplitude": "1 ± 0.2 mm/s"},
        ],
    }
    return {**made, **changed}


def worked(limits: Any = LIMITS, ratio: str = "6.1:1", **changed: Any) -> Any:
    given = {"limits": {"vibration_orders": limits} if limits else {}, "drive__tail_to_main_rotor": ratio}
    return VibrationOrders.from_readings(readings(**changed)).work(small_aircraft(**given))


def titles(outcome: Any) -> list[str]:
    return [one.title for one in outcome.findings if one.key.startswith("line.")]


@pytest.mark.parametrize(
    ("order", "size", "word"),
    [
        ("1", 4.7, IN_LIMITS), ("1", 4.9, TOO_CLOSE), ("1", 5.3, OUT_OF_LIMITS),
        ("3", 7.7, IN_LIMITS), ("3", 8.1, TOO_CLOSE), ("3", 8.3, OUT_OF_LIMITS),
    ],
)  # fmt: skip
def test_once_a_turn_and_once_a_blade_have_limits_of_their_own(order: str, size: float, word: str) -> None:
    rows = [{"order": one, "amplitude": "2 ± 0.2 mm/s"} for one in ("1", "3")]
    rows = [{**row, "amplitude": f"{size} ± 0.2 mm/s"} if row["order"] == order else row for row in rows]
    assert worked(orders=rows).word == word
    assert worked(limits={}).word == NO_LIMIT
    # another order is told beside them, however large
    assert worked(orders=[*readings()["orders"], {"order": "2", "amplitude": "90 ± 1 mm/s"}]).word == IN_LIMITS


def test_lines_are_named_by_the_ratios() -> None:
    """480 rpm: rotor 8 Hz, tail rotor 48.8 Hz, its two blades 97.6 Hz, engine 44 Hz; 31 Hz is nobody's."""
    outcome = worked()
    assert [title.split(": ")[1] for title in titles(outcome)] == [
        "main rotor, 1 a turn", "no part in the list turns at this rate", "tail rotor, 1 a turn",
    ]  # fmt: skip
    assert any("31.00 Hz: no part in the list turns at this rate" in said for said in outcome.remarks)
    fan = worked(others=[{"name": "fan", "ratio": "3.875"}])
    assert "fan" in titles(fan)[1]
    # two lines too near each other: 0.4 Hz apart at 0.2 Hz want four over the difference, 10 s
    near = " ".join(worked(others=[{"name": "alternator", "ratio": "6.15"}]).remarks)
    assert "tail rotor, 1 a turn and alternator are 0.4 Hz apart" in near
    assert " 10 s at steady speed" in near
    assert not any("alternator" in said for said in worked(others=[{"name": "alternator", "ratio": "6.25"}]).remarks)
    # a tail rotor of six turns to one turns as the main rotor's six a turn does: both are named, and it is said
    alike = worked(ratio="6:1", lines=[{"frequency": "48 ± 0.05 Hz", "amplitude": "1 ± 0.1 mm/s"}])
    assert "main rotor, 6 a turn, or tail rotor, 1 a turn" in titles(alike)[0]
    assert any("no recording tells them apart" in said for said in alike.remarks)


@pytest.mark.parametrize(("size", "word"), [(2.7, IN_LIMITS), (2.9, TOO_CLOSE), (3.3, OUT_OF_LIMITS)])
def test_a_line_is_judged_and_says_which_part_to_look_at(size: float, word: str) -> None:
    rows = [{"frequency": "48.9 ± 0.05 Hz", "amplitude": f"{size} ± 0.2 mm/s"}]
    outcome = worked(lines=rows)
    assert outcome.word == word
    assert ("Look at: tail rotor, 1 a turn." in outcome.to_do) == (word == OUT_OF_LIMITS)
    nobodys = worked(lines=[{"frequency": "31 ± 0.05 Hz", "amplitude": f"{size} ± 0.2 mm/s"}])
    assert ("Look at: what turns at 31.00 Hz." in nobodys.to_do) == (word == OUT_OF_LIMITS)
    # a line that the tail rotor may be as well as six a turn of the main rotor is judged, also where that order is read
    rows = [*readings()["orders"], {"order": "6", "amplitude": "1 ± 0.2 mm/s"}]
    either = [{"frequency": "48 ± 0.05 Hz", "amplitude": f"{size} ± 0.2 mm/s"}]
    assert worked(ratio="6:1", lines=either, orders=rows).word == word
    # the rotor's own line is judged by its order, not twice
    own = [{"frequency": "8 ± 0.05 Hz", "amplitude": f"{size} ± 0.2 mm/s"}]
    assert worked(lines=own).word == IN_LIMITS


@pytest.mark.parametrize(
    ("size", "word"),
    [(2.7, IN_LIMITS), (2.9, UNDONE), (5.0, UNDONE), (7.9, UNDONE), (8.3, OUT_OF_LIMITS)],
)
def test_a_line_that_may_be_the_rotor_s_own_is_no_false_no_and_no_false_calm(size: float, word: str) -> None:
    """A pump at 2.98 turns beside the blades' 3: 23.84 and 24.0 Hz, 0.2 Hz of resolution. The blades may have 8 mm/s,
    the pump 3: between the two nobody knows, above both it is too much for either."""
    pump = [{"name": "pump", "ratio": "2.98"}]
    line = [{"frequency": "23.9 ± 0.05 Hz", "amplitude": f"{size} ± 0.2 mm/s"}]
    found = worked(lines=line, others=pump)
    (told,) = [one for one in found.findings if one.key.startswith("line.")]
    assert told.verdict.word == word
    assert found.word == word
    assert ("find out which it is, main rotor, 3 a turn or pump" in told.verdict.settle) == (word == UNDONE)
    # the same line with the blades' order not read has the line's limit alone, and without a limit for the blades
    # nobody knows above the line's
    alone = worked(lines=line, others=pump, orders=readings()["orders"][:1])
    (told,) = [one for one in alone.findings if one.key.startswith("line.")]
    assert told.verdict.word == {2.7: IN_LIMITS, 2.9: TOO_CLOSE}.get(size, OUT_OF_LIMITS)
    (told,) = [
        one for one in worked({"line": LIMITS["line"]}, lines=line, others=pump).findings if one.key.startswith("line.")
    ]
    assert told.verdict.word == (IN_LIMITS if size < 2.8 else UNDONE)


@pytest.mark.parametrize(("speed", "leads"), [(480, False), (240, True), (940, True), (360, False), (580, False)])
def test_a_speed_that_is_not_the_rotor_s_leads(speed: int, leads: bool) -> None:
    """470 rpm are its 100 %: half of it where every other pulse is lost, twice where two marks are taken for one."""
    assert any("no order here is the rotor's" in said for said in worked(speed=f"{speed} ± 1 rpm").lead) == leads


def test_what_is_missing() -> None:
    assert worked(orders=readings()["orders"][:1]).missing == ["3 a turn of the main rotor"]
    assert worked(lines=[]).missing == ["every line that stood out of the spectrum"]
    assert worked(stood_out="3").missing == []
    assert worked(stood_out="4").missing == ["every line that stood out of the spectrum"]
    bare = worked(speed=None)
    assert bare.missing == ["rotor speed and resolution, to name them by"]
    assert bare.word == UNDONE


@pytest.mark.parametrize(("fastest", "steady"), [(490, True), (501, True), (512, False), (590, False)])
def test_a_speed_that_changed_is_no_verdict(fastest: int, steady: bool) -> None:
    """456 to 504 rpm is a tenth of 480."""
    outcome = worked(slowest="456 rpm", fastest=f"{fastest} rpm")
    assert (outcome.word == IN_LIMITS) == steady
    assert (outcome.missing == []) == steady
    assert any("record again at one speed" in said for said in outcome.lead) != steady


def test_pictures_of_one_turn_and_of_the_spectra_over_the_speed() -> None:
    """Velocities of 25.4 mm/s are 1 in/s; the tallest of the spectra stands two and a half distances up."""
    turn = " ".join(["25.4", "0", "-25.4", "0"])
    rows = "400 rpm: 0 5 0 0; 450 rpm: 0 10 0 0; 500 rpm: 0 0 5 0"
    outcome = worked(one_turn=turn, run_up=f"20 Hz; {rows}")
    one, fall = (
        next(chart for chart in outcome.pictures if chart.title.startswith(title)) for title in ("One turn", "Spectra")
    )
    assert one.curves[0].y == pytest.approx([1, 0, -1, 0, 1])
    assert list(one.curves[0].x) == [0, 90, 180, 270, 360]
    assert max(fall.curves[0].y) == pytest.approx(450 + 2.5 * 50)
    once = next(curve for curve in fall.curves if curve.label == "main rotor, 1 a turn")
    assert (list(once.x), list(once.y)) == ([400 / 60, 500 / 60], [400, 500])
    # 3 a turn leave the picture at its edge, 17.5 Hz and 350 rpm: below the lowest speed, so that nothing is drawn
    assert "main rotor, 3 a turn" not in [curve.label for curve in fall.curves]
    assert len(worked().pictures) == len(outcome.pictures) - 2
    for field in ("one_turn", "run_up"):
        with pytest.raises(SheetError) as refusal:
            worked(**{field: "by hand"})
        assert dict(refusal.value.problems)[field].startswith("needs ")


@pytest.mark.parametrize(
    ("changed", "path", "said"),
    [
        ({"orders": [{"order": "once", "amplitude": "1 mm/s"}]}, "orders.0.order", "whole number"),
        ({"orders": [{"order": "1", "phase": "1 deg"}]}, "orders.0.amplitude", "is needed"),
        ({"orders": [{"order": "1", "amplitude": "1 mm/s"}] * 2}, "orders.1.order", "already"),
        ({"per_turn": "about one"}, "per_turn", "whole number of pulses"),
        ({"per_turn": "0"}, "per_turn", "1 or more"),
        ({"lines": [{"frequency": "8 Hz"}]}, "lines.0.amplitude", "is needed"),
        ({"others": [{"name": "fan"}]}, "others.0.ratio", "is needed"),
        ({"others": [{"name": "engine, 1 a turn", "ratio": "2"}]}, "others.0.name", "stands twice"),
    ],
)
def test_faults_at_their_fields(changed: dict[str, Any], path: str, said: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked(**changed)
    assert said in dict(refusal.value.problems)[path]


class TestRecording:
    def test_the_demo_s_is_its_model_s_and_its_truth_is_found(self) -> None:
        file = demo_folder() / "hover_cabin.csv"
        text = file.read_text(encoding="utf-8")
        assert text == demo.demo_recording()
        found = read_into(demo_folder(), {**DEMO, **GRAVITY}, 2)
        for row in found["orders"]:
            size, phase = demo.ORDERS[int(row["order"])]
            shown, wide = (float(part.split()[0]) for part in row["amplitude"].split("±"))
            assert abs(shown - float(size.split()[0]) * 25.4) <= 1.2 * wide
            angle, spread = (float(part.split()[0]) for part in row["phase"].split("±"))
            assert abs(angle - phase) <= 1.2 * spread
        assert found["fingerprint"] == hashlib.sha256(file.read_bytes()).hexdigest()
        assert "1 lost pulse" in found["was_wrong"]
        assert "1 row not readable" in found["was_wrong"]
        there = [float(row["frequency"].split()[0]) for row in found["lines"]]
        for ratio in (1, 2, 4, demo.ENGINE, demo.TAIL, demo.FAN):
            assert min(abs(one - ratio * 455.6 / 60) for one in there) < 0.2

    def test_gravity_sets_the_scale_and_its_doubt(self) -> None:
        """0.1 V for 1 g, each output known to 1 mV: 0.0014 of 0.2 V are 0.71 %; with 3 % of the certificate 3.1 %."""
        sure = recording_of(demo_folder(), {**DEMO, **GRAVITY}, 2).vibration
        assert sure.scale == pytest.approx(9.80665 / 0.1)
        assert 2 * sure.scale_share == pytest.approx(math.sqrt(2) * 0.001 / 0.2, rel=1e-3)
        both = recording_of(demo_folder(), {**DEMO, **GRAVITY, "doubt": "3 %"}, 2).vibration
        assert 2 * both.scale_share == pytest.approx(math.hypot(0.03, math.sqrt(2) * 0.001 / 0.2), rel=1e-3)

    def test_lines_are_the_largest_of_velocity_with_what_the_window_and_the_calibration_hide(
        self, tmp_path: Path
    ) -> None:
        """A fan of 6 mm/s at 20 Hz is 0.08 g, ten lines of 1 mm/s above 200 Hz are 0.13 g and more each."""
        rate, seconds = 1000, 60
        time = np.arange(rate * seconds) / rate
        mark = (8 * time) % 1 < 0.06

        def shaken(*lines: tuple[float, float]) -> Any:
            """Acceleration in g of velocities in mm/s, v = V cos(2 pi f t)."""
            return -sum(
                2 * np.pi * f * size / 9806.65 * np.sin(2 * np.pi * f * time) for f, size in ((8.0, 1.0), *lines)
            )

        def lines_of(values: Any, **more: str) -> tuple[dict[float, tuple[float, float]], str]:
            np.save(tmp_path / "made.npy", np.column_stack([values, mark]))
            fields = {"recording": "made.npy", "unit": "g", "column": "0", "pulses": "1", "rate": "1000 Hz", **more}
            found = read_into(tmp_path, fields, 2)
            parts = [(row["frequency"].split()[0], row["amplitude"].split()) for row in found["lines"]]
            return {float(at): (float(size[0]), float(size[2])) for at, size in parts}, found["was_wrong"]

        quick = [(200.0 + 18.1 * k, 1.0) for k in range(10)]
        found, said = lines_of(shaken((20.0, 6.0), *quick))
        assert len(found) == 8
        assert max(found, key=lambda at: found[at]) == pytest.approx(20.0, abs=0.1)
        assert "4 more lines stood out" in said
        # midway between two figures, the worst place: what is shown with its doubt reaches what is there, and no lower
        step = rate / int(len(time) / 4.5)
        between = step * (round(45 / step) + 0.5)
        found, _ = lines_of(shaken((between, 3.0)))
        size, wide = found[max(found)]
        assert size == pytest.approx(3.0 * 8 / (3 * math.pi), rel=1e-3)
        assert size + wide == pytest.approx(3.0, rel=2e-3)
        found, _ = lines_of(shaken((between, 3.0)), doubt="20 %")
        size, wide = found[max(found)]
        assert wide / size == pytest.approx(math.hypot(3 * math.pi / 8 - 1, 0.2), rel=2e-3)

    def test_a_wav_s_shares_of_full_scale_are_no_g(self, tmp_path: Path) -> None:
        """16 g at full scale: half of it is 8 g, and half a g where nobody says so."""
        turned = np.arange(2000) * 8 / 200
        both = np.column_stack([0.5 * np.cos(2 * np.pi * turned), 0.9 * (turned % 1 < 0.06)])
        wavfile.write(tmp_path / "made.wav", 200, np.round(both * 32767).astype(np.int16))
        fields = {"recording": "made.wav", "unit": "g", "column": "0", "pulses": "1"}
        with pytest.raises(QuantityError, match="fractions of its full scale"):
            recording_of(tmp_path, fields, 2)
        sixteenth = {"upright": "0.0625", "turned_over": "-0.0625"}
        found = recording_of(tmp_path, {**fields, **sixteenth}, 2).orders[1].vibration
        assert float(found.amplitude.si) == pytest.approx(8 * 9.80665 / (2 * math.pi * 8), rel=1e-3)

    def test_other_files_say_the_same(self, tmp_path: Path) -> None:
        rows = [line.split(",") for line in demo.demo_recording().splitlines()[1:]]
        values = np.array([[np.nan if cell == "---" else float(cell) for cell in row] for row in rows])
        values[:, 1] = np.where(np.isfinite(values[:, 1]), values[:, 1], demo.AT_REST)
        np.save(tmp_path / "hover.npy", values[:, 1:])
        wavfile.write(tmp_path / "hover.wav", 200, values[:, 1:].astype(np.float32))
        wanted = recording_of(demo_folder(), {**DEMO, **GRAVITY}, 2).orders[1].vibration.si
        channels = {"unit": "g", "column": "0", "pulses": "1", **GRAVITY}
        for name, rate in (("hover.npy", "200 Hz"), ("hover.wav", "")):
            found = recording_of(tmp_path, {**channels, "recording": name, "rate": rate}, 2)
            assert abs(found.orders[1].vibration.si - wanted) < 0.01 * abs(wanted)

    def test_a_run_up_leaves_its_spectra_and_a_steady_one_does_not(self, tmp_path: Path) -> None:
        made = simulated_recording(20, "200 Hz", "300 rpm", {1: ("0.2 in/s", 0.0)}, end_speed="450 rpm")
        np.save(tmp_path / "run.npy", np.column_stack([made.acceleration / 9.80665, made.pulses]))
        fields = {"recording": "run.npy", "unit": "g", "column": "0", "pulses": "1", "rate": "200 Hz"}
        told: list[tuple[str, int, int]] = []
        found = read_into(tmp_path, fields, 2, progress=lambda *one: told.append(one))
        assert float(found["slowest"].split()[0]) < 320
        assert float(found["fastest"].split()[0]) > 440
        outcome = VibrationOrders.from_readings({**fields, **found}).work(small_aircraft())
        assert outcome.word == UNDONE
        assert "Spectra over the rotor's speed" in [one.title for one in outcome.pictures]
        assert told[-1][1:] == (100, 100)
        steady = read_into(demo_folder(), {**DEMO, **GRAVITY}, 2)
        assert steady["run_up"] == ""
        assert len(steady["one_turn"].split()) == 72

    @pytest.mark.parametrize(
        ("changed", "said"),
        [
            ({"recording": ""}, "needs the name of a file"),
            ({"recording": "../aircraft.toml"}, "there is no file"),
            ({"recording": "hover.csv"}, "there are ground_run.csv, hover_cabin.csv"),
            ({"pulses": ""}, "pulses: needs a column"),
            ({"column": "floor"}, "there is none called 'floor'"),
            ({"upright": "1.75"}, "both outputs are needed"),
            ({"per_turn": "one"}, "whole number of pulses"),
            ({"per_turn": "²"}, "whole number of pulses"),
            ({"per_turn": "0"}, "whole number of pulses"),
            ({"column": "9" * 5000}, "there is none called"),
            ({"pulses": "cabin_volts"}, ""),
        ],
    )
    def test_what_cannot_be_read_is_told(self, changed: dict[str, str], said: str) -> None:
        if not said:  # a tachometer that is none: too many crossings, or turns that are no turns; told all the same
            with pytest.raises(QuantityError):
                recording_of(demo_folder(), {**DEMO, **changed}, 40)
            return
        with pytest.raises(QuantityError, match=said):
            recording_of(demo_folder(), {**DEMO, **changed}, 2)


def test_belts_and_bearings_of_the_aircraft_file_are_named() -> None:
    """Cycles for a turn of the main rotor by plain arithmetic: an open belt's length drawn, a bearing's rolling."""
    craft = small_aircraft(
        belts={"one": {
            "title": "Belt", "driver_diameter": "200 mm", "driven_diameter": "400 mm", "centre_distance": "700 mm",
            "turns": "5.5",
        }},
        bearings={"front": {
            "title": "Front bearing", "turns": "2.75", "elements": 9, "element_diameter": "10 mm",
            "pitch_diameter": "50 mm",
        }},
    )  # fmt: skip
    found = drive_cycles(craft)
    lean = math.asin(100 / 700)  # half the difference of the diameters, over the distance
    length = 2 * math.sqrt(700**2 - 100**2) + 200 * (math.pi + 2 * lean) + 100 * (math.pi - 2 * lean)
    assert found["Belt, coming round"] == pytest.approx((math.pi * 200 * 5.5 / length, 0.01))
    for words, cycles in (
        ("cage", 2.75 * 0.8 / 2), ("outer race", 9 * 2.75 * 0.8 / 2), ("inner race", 9 * 2.75 * 1.2 / 2),
        ("ball or roller", 2 * 2.75 * 5 / 2 * (1 - 0.04)),
    ):  # fmt: skip
        assert found[f"Front bearing: {words}"] == pytest.approx((cycles, 0.02))
    assert found["engine, 0.5 a turn"] == (2.75, 0.0)
    alike = {"title": "Hanger", "elements": 9, "element_diameter": "10 mm", "pitch_diameter": "50 mm"}
    both = drive_cycles(small_aircraft(bearings={"one": {**alike, "turns": "2"}, "two": {**alike, "turns": "3"}}))
    for name, turns in (("one", 2), ("two", 3)):
        assert both[f"Hanger ({name}): cage"][0] == pytest.approx(turns / 2 * (1 - 10 / 50))
    bare = small_aircraft(bearings={"front": {"title": "Front bearing", "turns": "2.75", "elements": 9}})
    assert not any("bearing" in name for name in drive_cycles(bare))
    # a line one and a half per cent off an outer race is still its own, three per cent off it is not
    exact = drive_lines("450 rpm", {"race": 9.9})["race"]
    slips = drive_lines("450 rpm", {"race": 9.9}, {"race": 0.02})
    for off, named in ((1.015, ("race",)), (1.03, ())):
        assert names_at(float(exact.si) * off, 0.1, slips) == named


def test_a_part_behind_a_belt_is_named_within_its_plus_or_minus() -> None:
    """455 rpm x 10.3 / 60 = 78.11 Hz; 0.8 % less is 77.48 Hz, beyond the resolution, within 1 % of a belt."""
    for ratio, named in (("10.3", False), ("10.3 ± 0.1", True)):
        fan = [{"name": "cooling fan", "ratio": ratio}]
        line = [{"frequency": "77.48 ± 0.05 Hz", "amplitude": "0.04 ± 0.01 in/s"}]
        said = titles(worked(others=fan, lines=line, speed="455 rpm", resolution="0.1 Hz"))
        assert any("cooling fan" in one for one in said) is named


def recorded(folder: Path, wave: Any, pulses: Any, **more: str) -> dict[str, Any]:
    """A recording of 400 samples a second in the folder, in g, with what maps it. more: further readings."""
    rows = np.column_stack([np.arange(len(wave)) / 400, wave, pulses])
    np.savetxt(folder / "made.csv", rows, "%.6f", ",")
    return {"recording": "made.csv", "unit": "g", "column": "1", "pulses": "2", "per_turn": "1", **more}


def a_shake(seconds: float = 20.0, drift: float = 0.0, size: float = 0.05) -> tuple[Any, Any]:
    """`size` g once a turn at 8 Hz, 0.02 g of the tail rotor at 6.1 times that, and the pulses; the speed rises by the
    share `drift`."""
    at = np.arange(int(400 * seconds)) / 400
    turned = np.cumsum(8 * (1 + drift * (at / seconds - 0.5))) / 400
    noise = np.random.default_rng(1).normal(0, 0.002, len(at))
    wave = size * np.cos(2 * np.pi * turned) + 0.02 * np.cos(6.1 * 2 * np.pi * turned) + noise
    return wave, (turned % 1 < 0.1).astype(float)


def judged(read: dict[str, Any], folder: Path) -> Any:
    return VibrationOrders.from_readings({**read, **read_into(folder, read, 3)}).work(
        small_aircraft(limits={"vibration_orders": LIMITS}, drive__tail_to_main_rotor="6.1:1")
    )


def test_a_recording_from_which_something_is_missing_is_not_judged(tmp_path: Path) -> None:
    """0.05 g at 8 Hz are 0.05 x 9.80665 / 50.27 = 9.755 mm/s; cut off at 0.02 g it would be in limits, at 5 mm/s."""
    wave, pulses = a_shake()
    whole = judged(recorded(tmp_path, wave, pulses), tmp_path)
    assert whole.missing == []
    assert float(whole.finding("order.1").measured.si) * 1000 == pytest.approx(9.755, rel=0.01)
    half = len(wave) // 2
    hole = wave.copy()
    hole[2000:2400] = np.nan
    cut, stopped = np.clip(wave, -0.02, 0.02), np.where(np.arange(len(wave)) < half, pulses, 0)
    for shakes, marks, said in (
        (cut, pulses, "samples are cut off"),
        (wave, stopped, "There are pulses in"),
        (wave, np.where(np.abs(np.arange(len(wave)) / half - 1) > 0.5, pulses, 0), "There are pulses in"),
        (hole, pulses, "5 % of the samples could not be read"),
        (wave[:1000], pulses[:1000], "It holds 1"),
        (wave, np.where(np.cumsum(np.diff(pulses, prepend=0) > 0) % 2 == 0, pulses, 0), "every other pulse was lost"),
    ):
        outcome = judged(recorded(tmp_path, shakes, marks), tmp_path)
        assert any(said in one for one in outcome.lead), said
        assert any("to judge by" in one for one in outcome.missing)
    # what was put in on a straight line shakes not at all, and is left out
    read = recorded(tmp_path, hole, pulses)
    found = read_into(tmp_path, read, 3)
    assert float(found["orders"][0]["amplitude"].split()[0]) == pytest.approx(9.755, rel=0.01)
    assert "left out, in which samples could not be read" in found["was_wrong"]


def test_the_top_of_a_sine_in_coarse_steps_is_no_end_of_a_range() -> None:
    """40 steps from bottom to top: the outermost two hold 2.4 times as many samples as those beside them."""
    wave = np.round(20 * np.sin(0.7 * np.arange(8000))) / 400
    assert (np.abs(wave) == np.abs(wave).max()).sum() > 500
    assert looked_over(recording(wave, "400 Hz", "g")).cut_off == 0
    assert looked_over(recording(np.clip(wave, -0.04, 0.04), "400 Hz", "g")).cut_off > 500


def test_what_is_no_vibration_in_this_unit_is_refused(tmp_path: Path) -> None:
    wave, pulses = a_shake()
    for changed, more, said in (
        ((wave * 0 + 1, pulses), {}, "column: its numbers never change"),
        ((pulses, wave), {}, "holds two numbers and no others"),
        ((wave * 1000, pulses), {}, "are the numbers of another unit"),
        ((wave, pulses), {"upright": "1000", "turned_over": "-1000"}, "shakes by 3.81e-05 g"),
        ((9.80665 * (wave + 1), pulses), {}, "gravity in m/s^2"),
        ((wave + 1, pulses), {"unit": "m/s^2"}, "gravity in g"),
        ((wave + 1, pulses), {"unit": "mm/s"}, "gravity in g"),
        ((9.80665 * (wave - 1), pulses), {"unit": "in/s"}, "gravity in m/s^2"),
        ((wave, pulses), {"unit": "mm/s"}, "shakes by 0.0381 mm/s"),
        ((wave, pulses), {"column": "2"}, "another column than the vibration's"),
        ((wave, pulses), {"column": "0"}, "0 holds the times"),
    ):
        with pytest.raises(QuantityError, match=re.escape(said)):
            read_into(tmp_path, recorded(tmp_path, *changed, **more), 3)
    wavfile.write(tmp_path / "one.wav", 400, wave.astype(np.float32))
    with pytest.raises(QuantityError, match="has 1 channel, counted from 0"):
        read_into(tmp_path, {"recording": "one.wav", "unit": "g", "column": "0", "pulses": "1"}, 3)
    (tmp_path / "empty.csv").write_text("")
    with pytest.raises(QuantityError, match="is empty"):
        read_into(tmp_path, {"recording": "empty.csv", "unit": "g", "column": "1", "pulses": "2"}, 3)


def test_semicolons_tabs_and_decimal_commas(tmp_path: Path) -> None:
    read = recorded(tmp_path, *a_shake())
    plain = read_into(tmp_path, read, 3)
    text = (tmp_path / "made.csv").read_text()
    for between, head in ((";", ""), ("\t", "time\tcabin\tmark\n")):
        (tmp_path / "made.csv").write_text(head + text.replace(",", between).replace(".", ","))
        assert read_into(tmp_path, read, 3)["orders"] == plain["orders"]
    (tmp_path / "made.csv").write_text(text.replace(".", ","))
    with pytest.raises(QuantityError, match="decimal commas"):
        read_into(tmp_path, read, 3)
    milliseconds = re.sub(r"(?m)^([\d.]+),", lambda one: f"{1000 * float(one[1]):.3f},", text)
    (tmp_path / "made.csv").write_text(milliseconds)
    with pytest.raises(QuantityError, match="say the samples a second, 400 Hz"):
        read_into(tmp_path, read, 3)


@pytest.mark.parametrize("drift", [0.0, 0.01, 0.03, 0.06])
def test_a_line_smeared_by_a_speed_that_rises_is_within_its_plus_or_minus(drift: float, tmp_path: Path) -> None:
    """The tail rotor's 0.02 g at 48.8 Hz are 0.02 x 9806.65 / 306.6 = 0.640 mm/s; a rise of 3 % shows half of it."""
    found = read_into(tmp_path, recorded(tmp_path, *a_shake(drift=drift)), 3)
    lines = [
        [float(one[key].split()[i]) for key in ("frequency", "amplitude") for i in (0, 2)] for one in found["lines"]
    ]
    size, wide = max(
        ((size, wide) for at, off, size, wide in lines if abs(at - 48.8) <= off + 0.3), key=lambda one: one[0]
    )
    assert abs(size - 0.640) <= wide
    assert wide < 3 * size
    assert ("wandered" in found["was_wrong"]) is (drift > 0)
