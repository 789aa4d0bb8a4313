"""Recordings made by a stated model, so that the truth is known: orders, sweeps, lost pulses, spectrum lines."""

import math
import wave
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.io import wavfile

from rotorkit.balance import one_plane_balance
from rotorkit.quantities import QuantityError, assert_quantity
from rotorkit.vibration import (
    Waterfall,
    calibrate_with_gravity,
    drive_lines,
    name_lines,
    one_turn_as_text,
    one_turn_from_text,
    orders_of,
    pulse_times,
    read_recording,
    read_with_pulses,
    recording,
    simulated_recording,
    spectra,
    spectra_as_text,
    spectra_from_text,
    spectrum,
    synchronous_average,
    too_near,
    turns_from_pulses,
    velocity_turn,
    waterfall,
)

RATE = 400.0


def made(
    seconds: float, start: float, end: float, parts: dict[int, tuple[float, float]], noise: float = 0.0, seed: int = 0
) -> tuple[np.ndarray, np.ndarray]:
    """(samples, pulse times) of a rotor that goes evenly from `start` to `end`, in Hz. parts: order -> (g, deg)."""
    t = np.arange(int(seconds * RATE)) / RATE
    speed = (end - start) / seconds

    def angle(time: np.ndarray) -> np.ndarray:
        return np.asarray(start * time + speed * time**2 / 2)

    turns = np.arange(int(angle(np.array(seconds))) + 1)
    times = turns / start if not speed else (np.sqrt(start**2 + 2 * speed * turns) - start) / speed
    x = np.zeros(len(t))
    for order, (size, phase) in parts.items():
        x += size * np.cos(math.tau * order * angle(t) - math.radians(phase))
    return x + np.random.default_rng(seed).normal(0, noise, len(t)) if noise else x, times


def test_a_swept_speed_keeps_amplitude_and_phase() -> None:
    x, pulses = made(20, 4.0, 9.0, {1: (0.2, 40), 2: (0.05, -100), 4: (0.02, 170)})
    found = orders_of(recording(x, "400 Hz", "g"), turns_from_pulses(pulses), [1, 2, 3, 4])
    for order, size, phase in ((1, 0.2, 40.0), (2, 0.05, -100.0), (4, 0.02, 170.0)):
        assert_quantity(found[order].vibration.amplitude, f"{size} g", within="0.0002 g")
        assert_quantity(found[order].vibration.angle, f"{phase} deg", within="0.3 deg")
    assert abs(found[3].vibration.si) < 0.002
    assert found.slowest.si / math.tau < 4.2
    assert found.fastest.si / math.tau > 8.8


def test_an_order_near_the_finest_that_is_told_keeps_its_size() -> None:
    """0.1 g at 8 a turn, 57.6 to 64 Hz of 400 samples a second: a cubic spline alone would take off 0.11 to 0.17 %."""
    x, pulses = made(20, 7.2, 8.0, {8: (0.1, 40)})
    found = orders_of(recording(x, "400 Hz", "g"), turns_from_pulses(pulses), [8])[8].vibration
    assert_quantity(found.amplitude, "0.1 g", within="0.00001 g")
    assert_quantity(found.angle, "40 deg", within="0.01 deg")


def test_turns_whose_samples_could_not_be_read_are_left_out_while_the_pulses_go_on() -> None:
    """8 turns of 160, put in as a straight line, would take a twentieth off the mean: 0.19 g for 0.2."""
    x, pulses = made(20, 8.0, 8.0, {1: (0.2, 40)})
    holed = np.arange(2000, 2400)
    x[holed] = 0.0
    found = orders_of(
        replace(recording(x, "400 Hz", "g"), bad=len(holed), bad_at=holed), turns_from_pulses(pulses), [1]
    )
    assert_quantity(found[1].vibration.amplitude, "0.2 g", within="0.0002 g")
    assert found.turns == len(pulses) - 1 - 9
    assert "left out, in which samples could not be read" in found.in_words


def test_stated_uncertainty_covers_the_truth_in_95_of_100() -> None:
    """300 records with noise. 95.45 % is wanted, three standard errors of 300 are allowed."""
    amplitude = phase = 0
    runs = 300
    for seed in range(runs):
        x, pulses = made(5, 7.3, 7.6, {1: (0.05, 130), 3: (0.02, 10)}, 0.05, seed)
        once = orders_of(recording(x, "400 Hz", "g"), turns_from_pulses(pulses), [1])[1].vibration
        amplitude += abs(float(once.amplitude.si) - 0.05 * 9.80665) <= float(once.amplitude.expanded_si)
        phase += abs(float(once.angle.si) - math.radians(130)) <= float(once.angle.expanded_si)
    for covered in (amplitude, phase):
        assert 0.918 <= covered / runs <= 0.991, (amplitude, phase)


def test_velocity_is_worked_in_each_turn_and_lags() -> None:
    """0.1 g at 7.5 Hz: 0.1 x 386.09 / 47.12 = 0.8193 in/s, its peak a quarter of a turn after the acceleration's."""
    x, pulses = made(10, 7.5, 7.5, {1: (0.1, 20)})
    once = orders_of(recording(x, "400 Hz", "g"), turns_from_pulses(pulses), [1], velocity=True)[1].vibration
    assert_quantity(once.amplitude, "0.8193 in/s", within="0.0005 in/s")
    assert_quantity(once.angle, "110.0 deg", within="0.1 deg")
    late = orders_of(recording(x, "400 Hz", "g"), turns_from_pulses(pulses), [1], phase_lag="15 deg")[1].vibration
    assert_quantity(late.angle, "5.0 deg", within="0.1 deg")
    with pytest.raises(QuantityError, match="acceleration"):
        orders_of(recording(x, "400 Hz", "in/s"), turns_from_pulses(pulses), [1], velocity=True)


def test_weights_counted_against_the_turning_go_with_the_phase() -> None:
    """Heavy spot 60 deg ahead of the mark in the sense of turning: it reaches the sensor at the mark 60 deg sooner."""
    heavy, trial_at = 60.0, 200.0  # in the sense of turning

    def phase_of(moments: list[tuple[float, float]]) -> tuple[np.ndarray, np.ndarray]:
        x = sum(
            (made(8, 7.5, 7.5, {1: (0.01 * size, -place)})[0] for size, place in moments), start=np.zeros(int(8 * RATE))
        )
        return x, made(8, 7.5, 7.5, {})[1]

    read = []
    for moments in ([(12.0, heavy)], [(12.0, heavy), (8.0, trial_at)]):
        x, pulses = phase_of(moments)
        read.append(orders_of(recording(x, "400 Hz", "g"), turns_from_pulses(pulses), [1])[1].vibration)
    found = one_plane_balance(read[0], ("8 g", f"{trial_at} deg"), read[1], sense="against phase")
    assert_quantity(found.weight, "12.00 g", within="0.02 g")
    assert_quantity(found.angle, f"{heavy - 180} deg", within="0.2 deg")


def test_lost_and_false_pulses_are_told_and_cost_nothing() -> None:
    x, pulses = made(30, 6.0, 8.0, {1: (0.2, 40)})
    worse = np.delete(pulses, [20, 21, 77])
    worse = np.sort(np.append(worse, (pulses[50] + pulses[51]) / 2 + 0.01))
    turns = turns_from_pulses(worse)
    assert (turns.lost, turns.false, turns.gaps) == (3, 1, ())
    assert "3 lost pulses" in turns.in_words
    assert "1 false pulse " in turns.in_words
    assert turns.whole == len(pulses) - 1
    once = orders_of(recording(x, "400 Hz", "g"), turns, [1])[1].vibration
    assert_quantity(once.amplitude, "0.2 g", within="0.0005 g")
    assert_quantity(once.angle, "40 deg", within="0.3 deg")
    # a gap that is no whole number of pulses: its turns are left out, and it is said
    shifted = np.concatenate([pulses[:100], pulses[100:] + 0.07])
    odd = turns_from_pulses(shifted)
    assert len(odd.gaps) == 1
    assert not odd.usable.all()
    assert "1 gap in the pulses" in odd.in_words


def test_a_long_hole_in_the_pulses_is_not_counted_over() -> None:
    """A rotor at 7.5 Hz that is up to 3 % faster for 8 s, in which no pulse came: 60.96 turns, where an even speed
    would have made 60, and of two pulses a turn 121.9 for 120, so that either mark may come first after it."""
    t = np.arange(30 * RATE) / RATE

    def turned(time: np.ndarray) -> np.ndarray:
        inside = np.clip(time - 10, 0, 8)
        return np.asarray(7.5 * time + 0.12 * (inside - np.sin(math.tau * inside / 8) * 8 / math.tau))

    assert turned(np.array(18.0)) - turned(np.array(10.0)) == pytest.approx(60.96)
    x = 0.2 * np.cos(math.tau * turned(t) - math.radians(40))
    for per_turn in (1, 2):
        marks = np.interp(np.arange(0, per_turn * turned(t[-1])) / per_turn, turned(t), t)
        turns = turns_from_pulses(marks[(marks < 10.01) | (marks > 18.01)], per_turn)
        assert (turns.lost, len(turns.gaps)) == (0, 1)
        assert turns.seconds == pytest.approx(22, abs=0.3)
        found = orders_of(recording(x, "400 Hz", "g"), turns, [1])
        assert found.turns == pytest.approx(165 if per_turn == 1 else 90, abs=2)
        assert_quantity(found[1].vibration.amplitude, "0.2 g", within="0.0005 g")
        off = (math.degrees(float(found[1].vibration.angle.si)) - 40) % (360 / per_turn)
        assert min(off, 360 / per_turn - off) < 0.3
        assert ("longest stretch" in turns.in_words) == (per_turn == 2)
        assert waterfall(recording(x, "400 Hz", "g"), turns, "0.5 Hz").times == pytest.approx(
            [*range(1, 10), *range(20, 29)], abs=0.01
        )


def test_several_pulses_a_turn_are_no_datum() -> None:
    """The same recording, begun with one pulse of four or with the next: its phase is 90 degrees apart; it is said."""
    x, pulses = made(10, 7.5, 7.5, {1: (0.2, 40)})
    four = np.sort(np.concatenate([pulses + k / 30 for k in range(4)]))
    whole = recording(x, "400 Hz", "g")
    phases = [orders_of(whole, turns_from_pulses(four[k:], 4), [1])[1].vibration.angle.si for k in (0, 1)]
    assert np.degrees(phases) == pytest.approx([40, -50], abs=0.3)
    for said in (turns_from_pulses(four, 4).in_words, orders_of(whole, turns_from_pulses(four, 4), [1]).in_words):
        assert "4 pulses a turn nothing says which" in said
    assert "nothing says which" not in turns_from_pulses(pulses).in_words


def test_pulses_from_a_noisy_signal() -> None:
    t = np.arange(0, 5, 1 / 5000)
    clean = (np.mod(t * 7.5 + 0.5, 1) < 0.04).astype(float) * 3
    noisy = clean + np.random.default_rng(2).normal(0, 0.15, len(t))
    found = pulse_times(noisy, 5000)
    assert len(found) == 37  # 7.5 a second, from 1/15 s on
    assert np.diff(found) == pytest.approx(1 / 7.5, abs=3e-4)
    down = pulse_times(-noisy, 5000, rising=False)
    assert down == pytest.approx(found)
    with pytest.raises(QuantityError, match="never passes"):
        pulse_times(np.zeros(100), 100.0)


def test_the_average_turn_leaves_what_is_not_the_rotor_s() -> None:
    x, pulses = made(60, 7.5, 7.5, {1: (0.2, 0), 2: (0.1, 0)})
    t = np.arange(len(x)) / RATE
    x = x + 0.3 * np.sin(math.tau * 38.9 * t)
    mean = synchronous_average(recording(x, "400 Hz", "g"), turns_from_pulses(pulses))
    wanted = 9.80665 * (0.2 * np.cos(mean.angles) + 0.1 * np.cos(2 * mean.angles))
    assert np.abs(mean.mean - wanted).max() < 0.02 * 9.80665
    assert mean.scatter.mean() == pytest.approx(0.3 * 9.80665 / math.sqrt(2), rel=0.05)


def test_lines_are_named_and_near_ones_told() -> None:
    t = np.arange(int(60 * RATE)) / RATE
    x = 0.2 * np.sin(math.tau * 7.5 * t) + 0.1 * np.sin(math.tau * 39.0 * t) + 0.05 * np.sin(math.tau * 61.7 * t)
    x += np.random.default_rng(4).normal(0, 0.05, len(t))
    found = spectrum(recording(x, "400 Hz", "in/s"), "0.1 Hz")
    lines = drive_lines("450 rpm", {"main rotor": 1, "tail rotor": 5.2, "fan": 5.23})
    named = name_lines(found, lines)
    assert [line.names[:1] for line in named[:3]] == [("main rotor",), ("tail rotor",), ()]
    assert named[0].amplitude / 0.0254 == pytest.approx(0.2, rel=0.03)
    [pair] = too_near(lines, found.resolution)
    assert set(pair.names) == {"tail rotor", "fan"}
    assert pair.apart == pytest.approx(0.03 * 7.5)
    # the recording that it asks for does tell them: between the two peaks the spectrum falls by half
    seconds = pair.needed * 1.02
    long = np.arange(int(seconds * RATE)) / RATE
    both = np.sin(math.tau * 39.0 * long) + np.sin(math.tau * 39.225 * long)
    told = spectrum(recording(both, "400 Hz", "in/s"), f"{1 / (seconds * 0.999):.9f} Hz")
    between = told.amplitudes[(told.frequencies > 39.06) & (told.frequencies < 39.165)].min()
    assert between < 0.5 * told.amplitudes.max()
    # with the spectrum of itself, several pieces, that recording does not: so the sentence says it is of a piece
    assert too_near(lines, spectrum(recording(both, "400 Hz", "in/s")).resolution)
    assert "17.8 s at steady speed in one piece" in pair.in_words
    assert not too_near(lines, 0.05)


def test_files_say_the_same_as_the_array(tmp_path: Path) -> None:
    x, _ = made(4, 7.5, 7.5, {1: (0.2, 40)})
    np.save(tmp_path / "a.npy", x * 0.1)  # 0.1 V a g
    wavfile.write(tmp_path / "a.wav", int(RATE), (x * 32768 / 2).astype(np.int16))  # full scale is 2 g
    t = np.arange(len(x)) / RATE
    lines = [f"{a:.6f},{b:.9f}" for a, b in zip(t, x, strict=True)]
    lines[100] = "oops"
    (tmp_path / "a.csv").write_text("# logger\ntime,vertical\n" + "\n".join(lines) + "\n")
    plain = recording(x, "400 Hz", "g")
    for found, off in (
        (read_recording(tmp_path / "a.npy", "g", "400 Hz", sensitivity=0.1), 1e-9),
        (read_recording(tmp_path / "a.wav", "g", sensitivity=0.5), 1e-3),
        (read_recording(tmp_path / "a.csv", "g", column="vertical", time_column="time"), 0.02),
    ):
        assert found.rate == pytest.approx(RATE, rel=1e-6)
        assert np.abs(found.part(0, len(x)) - plain.part(0, len(x))).max() < off * 9.80665
    assert found.bad == 1
    assert found.where == (103,)
    assert "1 row not readable" in found.in_words
    # a pause of 8 rows, half of one per cent: every phase after it would be 0.02 s x 7.5 Hz x 360 = 54 degrees off
    (tmp_path / "pause.csv").write_text("time,vertical\n" + "\n".join(lines[:100][:50] + lines[101:700] + lines[708:]))
    with pytest.raises(QuantityError, match="not even"):
        read_recording(tmp_path / "pause.csv", "g")
    with wave.open(str(tmp_path / "b.wav"), "wb") as deep:  # 24 bits, low byte first: full scale is 2 g
        deep.setparams((1, 3, int(RATE), 0, "NONE", ""))
        deep.writeframes(b"".join(int(v * 2**22).to_bytes(3, "little", signed=True) for v in x))
    same = read_recording(tmp_path / "b.wav", "g", sensitivity=0.5)
    assert np.abs(same.part(0, len(x)) - plain.part(0, len(x))).max() < 1e-6 * 9.80665
    (tmp_path / "no.wav").write_bytes(b"not a wave at all")
    with pytest.raises(QuantityError, match="no WAV file"):
        read_recording(tmp_path / "no.wav", "g")
    with pytest.raises(QuantityError, match="none called"):
        read_recording(tmp_path / "a.csv", "g", column="lateral")
    with pytest.raises(QuantityError, match="rate"):
        read_recording(tmp_path / "a.npy", "g")


def test_gravity_turned_over() -> None:
    found = calibrate_with_gravity("2.61 ± 0.01", "2.39 ± 0.01")
    assert float(found.sensitivity.si) == pytest.approx(0.11)
    assert float(found.offset.si) == pytest.approx(2.5)
    assert found.share == pytest.approx(math.hypot(0.005, 0.005) / 2 / 0.11)
    made_of = recording([2.61, 2.5], "10 Hz", "g", float(found.sensitivity.si), float(found.offset.si))
    assert made_of.part(0, 2) == pytest.approx([9.80665, 0])
    with pytest.raises(QuantityError, match="gravity"):
        calibrate_with_gravity(1, 1)


def test_calibration_is_shared_by_all_orders() -> None:
    x, pulses = made(10, 7.5, 7.5, {1: (0.2, 40), 2: (0.1, 0)})
    found = orders_of(recording(x, "400 Hz", "g", scale_uncertainty="4 %"), turns_from_pulses(pulses), [1, 2])
    for order in (1, 2):
        size = found[order].vibration.amplitude
        assert float(size.standard_si) / float(size.si) == pytest.approx(0.02, rel=0.02)


def test_what_cannot_be_worked_is_refused() -> None:
    x, pulses = made(10, 7.5, 7.5, {1: (0.2, 40)})
    turns = turns_from_pulses(pulses)
    with pytest.raises(QuantityError, match="samples a second"):
        orders_of(recording(x, "400 Hz", "g"), turns, [20])
    with pytest.raises(QuantityError, match="whole numbers"):
        orders_of(recording(x, "400 Hz", "g"), turns, [1.5])
    with pytest.raises(QuantityError, match="two whole turns"):
        orders_of(recording(x, "400 Hz", "g"), turns, [1], offset=1000.0)
    with pytest.raises(QuantityError, match="four pulses"):
        turns_from_pulses([0.0, 1.0])
    with pytest.raises(QuantityError, match="unit"):
        recording(x, "400 Hz", "lb")


def test_a_waterfall_follows_the_speed() -> None:
    """A rotor from 4 to 9 Hz with twice a turn, and a hum that stays at 30 Hz: each piece's lines at its own speed."""
    x, pulses = made(40, 4.0, 9.0, {1: (0.2, 40), 2: (0.1, 0)})
    t = np.arange(len(x)) / RATE
    found = waterfall(
        recording(x + 0.05 * np.sin(math.tau * 30 * t), "400 Hz", "g"), turns_from_pulses(pulses), "0.5 Hz"
    )
    middle = 4.0 + 5.0 / 40 * found.times
    assert found.speeds / math.tau == pytest.approx(middle, abs=0.02)
    for row, speed in zip(found.amplitudes, middle, strict=True):
        assert found.frequencies[int(np.argmax(row))] == pytest.approx(speed, abs=0.5)
        hum = row[int(np.argmin(np.abs(found.frequencies - 30)))]
        assert hum == pytest.approx(0.05 * 9.80665, rel=0.05)
    with pytest.raises(QuantityError, match="resolution"):
        waterfall(recording(x, "400 Hz", "g"), turns_from_pulses(pulses), "0.001 Hz")


def test_a_long_table_is_read_in_parts_as_in_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In parts of a few rows, by pandas, laid on disk: every figure, every bad row and every pulse as in one go."""
    from rotorkit.vibration import recordings, turns

    x, pulses = made(4, 7.5, 7.5, {1: (0.2, 40)})
    t = np.arange(len(x)) / RATE
    mark = ((t * 7.5) % 1 < 0.06).astype(int)
    lines = [f"{a:.6f},{b:.9f},{c}" for a, b, c in zip(t, x, mark, strict=True)]
    spoilt = {0: "0.0,---,0", 401: "oops", 402: "", 700: f"{t[700]:.6f},nan,0", len(x) - 1: "1,2"}
    for row, text in spoilt.items():
        lines[row] = text
    file = tmp_path / "long.csv"
    file.write_text("time,vertical,mark\n" + "\n".join(lines) + "\n")
    whole, signal = read_with_pulses(file, "g", "vertical", "mark")
    shares: list[float] = []
    monkeypatch.setattr(recordings, "BYTES_AT_ONCE", 2000)
    monkeypatch.setattr(recordings, "MANY_ROWS", 10)
    monkeypatch.setattr(recordings, "MOST_IN_MEMORY", 500)
    monkeypatch.setattr(turns, "SAMPLES_AT_ONCE", 37)
    parts, marks = read_with_pulses(file, "g", "vertical", "mark", progress=shares.append)
    assert isinstance(parts.values, np.memmap)
    assert np.array_equal(parts.part(0, len(x)), whole.part(0, len(x)))
    for found in (whole, parts):
        assert (found.bad, found.where) == (5, (2, 403, 404, 702, len(x) + 1))
        # each on the line between its good neighbours, at an end as the next one
        assert found.values[401] == pytest.approx(x[400] + (x[403] - x[400]) / 3, abs=1e-8)
        assert found.values[0] == pytest.approx(x[1], abs=1e-8)
        assert found.values[-1] == pytest.approx(x[-2], abs=1e-8)
        assert found.values[1] == pytest.approx(x[1], abs=1e-9)
    assert np.array_equal(pulse_times(marks, marks.rate), pulse_times(np.asarray(signal.values), signal.rate))
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    assert pulse_times(marks, marks.rate)[:3] == pytest.approx(pulses[pulses > 0.01][:3], abs=2 / RATE)


def test_a_length_without_large_primes_is_transformed() -> None:
    """2,222,222 is 2 x 239 x 4649; at most one per cent shorter there is a length of twos, threes and fives alone."""
    from rotorkit.vibration.spectra import _quick

    for length in (2_222_222, 100_003, 1_000_003, 7_654_321):
        quick = rest = _quick(length)
        assert 0.96 * length < quick <= length
        for prime in (2, 3, 5):
            while rest % prime == 0:
                rest //= prime
        assert rest == 1
    assert _quick(1066) == 1066


def test_one_turn_and_spectra_reduced() -> None:
    """A run-up of 0.2 in/s once a turn: after the way through text it stands where the rotor's speed says, as large."""
    run = simulated_recording(40, "200 Hz", "240 rpm", {1: ("0.2 in/s", 50.0)}, end_speed="480 rpm")
    turns = turns_from_pulses(pulse_times(run.pulses, 200.0))
    whole = recording(run.acceleration, "200 Hz", "m/s^2")
    text = spectra_as_text(waterfall(whole, turns, "0.8 Hz"))
    found = spectra_from_text(text)
    assert len(text) < 8000
    assert found.rpm[0] < 260
    assert found.rpm[-1] > 460
    tops = found.hertz[found.velocities.argmax(axis=1)]
    assert np.abs(tops - found.rpm / 60).max() < 0.8 + (found.hertz[1] - found.hertz[0]) / 2
    # a speed that moves within a piece spreads the line: never more than is there, and most of it
    assert found.velocities.max(axis=1) == pytest.approx(np.full(len(found.rpm), 5.08), rel=0.25)
    steady = simulated_recording(20, "200 Hz", "450 rpm", {1: ("0.2 in/s", 50.0), 2: ("0.1 in/s", -30.0)})
    turns = turns_from_pulses(pulse_times(steady.pulses, 200.0))
    mean = synchronous_average(recording(steady.acceleration, "200 Hz", "m/s^2"), turns)
    turn = one_turn_from_text(one_turn_as_text(velocity_turn(mean, 450 * math.pi / 30)))
    angles = np.arange(72) * math.tau / 72
    wanted = 5.08 * np.cos(angles - math.radians(50)) + 2.54 * np.cos(2 * angles - math.radians(-30))
    assert np.abs(turn - wanted).max() < 0.15
    assert spectra_as_text(Waterfall(np.zeros(1), np.ones(1), np.arange(3.0), np.zeros((1, 3)), mean.kind)) == ""
    for wrong in ("", "1 2", "1 2 3 four", "nan nan nan nan"):
        with pytest.raises(QuantityError, match="one turn"):
            one_turn_from_text(wrong)
    for wrong in ("", "40 Hz; 200 rpm: 1 2", "40 Hz; 200 rpm: 1 2; 210 rpm: 1", "40 Hz; 200 rpm: 1 -2; 210 rpm: 1 2"):
        with pytest.raises(QuantityError, match="two speeds"):
            spectra_from_text(wrong)


def test_a_long_recording_is_looked_at_piece_by_piece(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Pages of the file are let go after each look and are there again, with what was written into them; and the
    spectrum's pieces, of which all of it is transformed at once, grow to a bound."""
    shape = np.sin(np.arange(40_000) * 0.31)
    shape[[7, 30_000]] = 5.0
    np.save(tmp_path / "long.npy", shape)
    mapped = np.load(tmp_path / "long.npy", mmap_mode="r+")
    found = recording(mapped, "1000 Hz", "mm/s")
    mapped[[7, 30_000]] = 0.25
    for _ in range(2):
        assert found.part(0, 40_000)[[6, 7, 30_000]] == pytest.approx([shape[6] / 1000, 0.00025, 0.00025])
    aside = np.load(tmp_path / "long.npy", mmap_mode="c")
    aside[:] = 2.0  # which stays out of the file
    assert recording(aside, "1000 Hz", "mm/s").part(0, 40_000) == pytest.approx(np.full(40_000, 0.002))
    before = spectrum(found)
    monkeypatch.setattr(spectra, "LONGEST", 4000)
    after = spectrum(found)
    assert (len(after.amplitudes), after.resolution) == (2001, 0.25)
    assert after.pieces > before.pieces
    at = 0.31 * 1000 / (2 * np.pi)
    for one in (before, after):
        assert one.frequencies[int(np.argmax(one.amplitudes))] == pytest.approx(at, abs=one.resolution)
