"""A recording that lies in the working folder, brought to the readings of the check of orders."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from rotorkit.quantities import Acceleration, QuantityError, Ratio, Speed, in_unit, read, required_kind
from rotorkit.quantities.errors import shortened
from rotorkit.quantities.parts import whole_number
from rotorkit.sheets.balance.vibration_orders import STEADY
from rotorkit.vibration import (
    Orders,
    Recording,
    Turns,
    calibrate_with_gravity,
    looked_over,
    name_lines,
    one_turn_as_text,
    orders_of,
    pulse_times,
    read_with_pulses,
    spectra_as_text,
    spectrum,
    synchronous_average,
    turns_from_pulses,
    velocity_turn,
    waterfall,
)

PIECES, TURNS_IN_A_PIECE = 40, 5
"""Of a run-up: into how many pieces it is cut, and how many turns at the lowest speed each holds at least."""
MOST_LINES = 8
"""How many lines of a spectrum are put into the form."""
MOST_BAD, PULSED, FEWEST_TURNS = 0.01, 0.9, 30
"""Nothing is judged by a recording of which a larger share of the samples could not be read, whose pulses last for a
smaller share of its time, or that holds fewer turns (our own choice; half a minute of a main rotor is some 200)."""
OVER = 4.0
"""Seconds over which the speed is smoothed to see it wander: over fewer a pulse's own place, known to a sample, would
show as wandering (our own choice)."""
TELLS = 0.005
"""From which share on the wandering is told (our own choice)."""
BETWEEN = 3 * math.pi / 8 - 1
"""How much larger a line is than it is shown, at most: midway between two figures a Hann window shows 8 / (3 pi) of it,
a loss of 1.42 dB (F. J. Harris, "On the Use of Windows for Harmonic Analysis with the Discrete Fourier Transform",
Proc. IEEE 66, 1978, table 1; from memory)."""


@dataclass(frozen=True)
class FromRecording:
    """A recording as the check's fields map it. vibration: what shakes. turns: of the pulses. orders: of the rotor.
    fingerprint: SHA-256 of the file. cut_off: how many samples stand where the recorder's range ends."""

    vibration: Recording
    turns: Turns
    orders: Orders
    fingerprint: str
    cut_off: int = 0

    @property
    def doubts(self) -> list[str]:
        """Why it is no recording to judge by: so much of what shook is not in it."""
        found, seconds = [], self.vibration.seconds
        if self.cut_off:
            found.append(
                f"{self.cut_off:,} samples are cut off: they stand where the recorder's range ends, so that it shakes "
                "more than is told here. Record with a larger range or less gain."
            )
        if self.vibration.bad > MOST_BAD * len(self.vibration):
            found.append(
                f"{100 * self.vibration.bad / len(self.vibration):.0f} % of the samples could not be read: lines of "
                "the spectrum are told too small. Cut the file to an even part."
            )
        pulsed = self.turns.seconds
        if pulsed < PULSED * seconds:
            found.append(
                f"There are pulses in {pulsed:.3g} s of {seconds:.3g} s: the tachometer failed, or the rotor stood "
                "still. Cut the file to the part with pulses."
            )
        if self.orders.turns < FEWEST_TURNS:
            found.append(
                f"It holds {self.orders.turns} turns: what comes and goes between two parts is not seen in so few. "
                "Record half a minute."
            )
        return found


Progress = Callable[[str, int, int], None]
"""Called with what is being done, how much of it is done, and of how much."""


def _share_of(progress: Progress | None, what: str) -> Callable[[float], None] | None:
    return None if progress is None else lambda share: progress(f"{what}, per cent", round(100 * share), 100)


def recording_of(
    folder: Path, readings: Mapping[str, Any], blades: int, progress: Progress | None = None
) -> FromRecording:
    """A recording of the folder by the fields that map it.

    Arguments: folder, the working folder; readings, of the check of orders as typed, of which recording, unit, column,
    pulses, per_turn, rate, upright, turned_over and doubt are looked at; blades, of the main rotor; progress, called
    while it is read and worked.

    Raises `QuantityError`, in words that name the field.
    """
    file = file_of(folder, readings)
    name = file.name
    unit = str(readings.get("unit", "g"))
    sensitivity, share = 1.0, _text(readings, "doubt") or None
    offset = 0.0
    both = [_text(readings, one) for one in ("upright", "turned_over")]
    if any(both):
        if not all(both) or unit != "g":
            raise QuantityError("turned_over: both outputs are needed; the numbers are then in g")
        found = calibrate_with_gravity(*both)
        sensitivity, offset = float(found.sensitivity.si), float(found.offset.si)
        if found.share:
            share = f"{200 * math.hypot(found.share, _share(share) / 2):.6g} %"
    vibration_at, pulses_at = (_column(readings, one) for one in ("column", "pulses"))
    rate = _text(readings, "rate") or None
    vibration, signal = read_with_pulses(
        file, unit, vibration_at, pulses_at, rate, sensitivity, offset, share, _share_of(progress, "reading the file")
    )
    if file.suffix.lower() == ".wav" and np.issubdtype(vibration.values.dtype, np.integer) and not any(both):
        raise QuantityError(
            f"upright: {name} holds whole numbers, fractions of its full scale, not {unit}: calibrate it by gravity, "
            "or type as outputs the fraction that one g is, and the same with a minus sign"
        )
    shown = looked_over(vibration)
    if not any(both) and (other := shown.gravity_in_another_unit(unit)):
        raise QuantityError(
            f"unit: as {unit} their mean is {shown.number(unit):.3g}, which is gravity in "
            f"{other}: are the numbers {other}? If it is none, take the mean off them first"
        )
    shown.refuse(vibration)
    per_turn = _text(readings, "per_turn") or "1"
    marks = whole_number(per_turn)
    if not marks:
        raise QuantityError(f"per_turn: needs a whole number of pulses a turn, got {shortened(per_turn)}")
    times = pulse_times(signal, signal.rate)
    turns = turns_from_pulses(times, marks)
    is_acceleration = vibration.kind.alike(required_kind(Acceleration))
    orders = orders_of(vibration, turns, sorted({1, 2, blades, 2 * blades}), velocity=is_acceleration,
                       progress=_share_of(progress, "resampling it by the rotor's angle"))  # fmt: skip
    return FromRecording(vibration, turns, orders, fingerprint_of(file), shown.cut_off)


def file_of(
    folder: Path,
    readings: Mapping[str, Any],
    ends: Sequence[str] = (".csv", ".wav", ".npy", ".tsv"),
    example: str = "hover.csv",
) -> Path:
    """The file of the working folder that the field "recording" names. ends: of the files that are told where there is
    none of that name. Raises `QuantityError`."""
    name = str(readings.get("recording", "") or "").strip()
    if not name:
        raise QuantityError(f"recording: needs the name of a file in the working folder, such as {example}")
    file = folder / name
    if Path(name).name != name or not file.is_file():
        there = ", ".join(sorted(one.name for one in folder.iterdir() if one.suffix in ends))
        raise QuantityError(f"recording: there is no file {name} in the working folder; there are {there or 'none'}")
    return file


def fingerprint_of(file: Path) -> str:
    """SHA-256 of a file, by which the very file is known again."""
    with file.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def read_into(
    folder: Path,
    readings: Mapping[str, Any],
    blades: int,
    most: int = MOST_LINES,
    progress: Progress | None = None,
) -> dict[str, Any]:
    """The readings that a recording gives the check of orders: its orders and lines, with uncertainty, the speed, the
    file's fingerprint, and what was wrong with samples and pulses. Arguments and errors: as `recording_of`."""
    found = recording_of(folder, readings, blades, progress)
    rows = []
    for order, one in found.orders.orders.items():
        size, angle = one.vibration.amplitude, one.vibration.angle
        row = {"order": f"{order:g}", "amplitude": _said(size, "mm/s", Speed)}
        if float(size.si) > float(size.expanded_si):  # below its own uncertainty an amplitude has no phase
            row["phase"] = _said(angle, "deg", angle.kind)
        rows.append(row)
    lines = spectrum(found.vibration)
    is_acceleration = found.vibration.kind.alike(required_kind(Acceleration))
    # the largest of velocity, which is what is judged: by acceleration what is quick would crowd out what is slow
    sizes = {
        peak.frequency: float(in_unit(peak.amplitude / (math.tau * peak.frequency if is_acceleration else 1.0), "mm/s",
                                      Speed))
        for peak in name_lines(lines, {}, len(lines.amplitudes))
    }  # fmt: skip
    wandered = wander_of(found.turns, found.vibration.rate)
    shown = []
    for at in sorted(sorted(sizes, key=lambda one: -sizes[one])[:most]):
        wide = math.hypot(BETWEEN, 2 * found.vibration.scale_share, smear(at * wandered / lines.resolution) - 1)
        off = lines.resolution / 2 + at * wandered / 2
        shown.append(
            {"frequency": f"{at:.4f} ± {off:.2g} Hz", "amplitude": f"{sizes[at]:.4g} ± {wide * sizes[at]:.3g} mm/s"}
        )
    was_wrong = found.orders.in_words
    if wandered > TELLS:
        was_wrong += f" The speed wandered by {100 * wandered:.1f} %: the faster a line, the more it smears, and its ±."
    if len(sizes) > len(shown):
        was_wrong += f" {len(sizes) - len(shown)} more lines stood out, all smaller than those below."
    return {
        "orders": rows,
        "lines": shown,
        "speed": _said(found.orders.speed, "rpm", found.orders.speed.kind),
        "length": f"{found.vibration.seconds:.6g} s",
        "resolution": f"{lines.resolution:.6g} Hz",
        "stood_out": str(len(shown)),
        "fingerprint": found.fingerprint,
        "not_judged_by": " ".join(found.doubts),
        "was_wrong": was_wrong,
        "slowest": _said(found.orders.slowest, "rpm", found.orders.slowest.kind).partition(" ±")[0] + " rpm",
        "fastest": _said(found.orders.fastest, "rpm", found.orders.fastest.kind).partition(" ±")[0] + " rpm",
        "one_turn": _one_turn(found),
        "run_up": _run_up(found),
    }


def wander_of(turns: Turns, rate: float) -> float:
    """By which share of its mean the rotor's speed went up and down. rate: samples a second of the pulses' signal.

    Slowly, over `OVER` seconds each; and quickly, as a wave would that scatters single turns as they do, where they
    scatter more than pulses whose place is known to a sample (its two ends, each even over one: 0.41 samples).
    """
    rates = turns.rates[turns.usable]
    mean = float(rates.mean())
    count = max(1, min(len(rates) // 2, round(OVER * mean)))
    smooth = np.convolve(rates, np.ones(count) / count, "valid")
    slow = float(smooth.max() - smooth.min()) / mean
    quick, by_samples = (float(rates.std()) / mean) ** 2, (math.sqrt(2 / 12) * mean / rate) ** 2
    return max(slow, math.sqrt(8 * (quick - by_samples))) if quick > 1.5 * by_samples else slow


def smear(figures: float) -> float:
    """How many times larger than it is shown a line may be that wanders over so many figures of a spectrum.

    Its power is spread over them: the root of 1 + figures / 1.5, a Hann window's own width being 1.5 figures (Harris,
    as above; from memory). Checked against made recordings whose speed rose or wavered by 1 to 9 %: in 24 cases it was
    no less than what was found, and at most 1.9 times that.
    """
    return math.sqrt(1 + max(0.0, figures) / 1.5)


def _one_turn(found: FromRecording) -> str:
    """The mean of all turns, for its picture; empty where it is neither acceleration nor velocity."""
    try:
        turn = velocity_turn(synchronous_average(found.vibration, found.turns), float(found.orders.speed.si))
    except QuantityError:
        return ""
    return one_turn_as_text(turn)


def _run_up(found: FromRecording) -> str:
    """Spectra over the speed, where it changed; empty where it did not, or the recording is too short for them."""
    slow, fast = float(found.orders.slowest.si), float(found.orders.fastest.si)
    if fast - slow <= STEADY * float(found.orders.speed.si):
        return ""
    # so short that the speed hardly changes in a piece, so long that it holds some turns
    piece = max(found.vibration.seconds / PIECES, TURNS_IN_A_PIECE * math.tau / slow)
    try:
        return spectra_as_text(waterfall(found.vibration, found.turns, f"{1 / piece:.6g} Hz"))
    except QuantityError:
        return ""


def _said(figure: Any, unit: str, kind: Any) -> str:
    value, wide = (float(in_unit(one, unit, kind)) for one in (figure.si, figure.si + figure.expanded_si))
    return f"{value:.6g} ± {wide - value:.3g} {unit}"


def _text(readings: Mapping[str, Any], name: str) -> str:
    value = readings.get(name)
    return "" if value is None else str(getattr(value, "typed", value)).strip()


def _share(text: str | None) -> float:
    return 0.0 if not text else float(read(text, Ratio).si)


def _column(readings: Mapping[str, Any], name: str) -> int | str:
    text = _text(readings, name)
    if not text:
        raise QuantityError(f"{name}: needs a column: its number, counted from 0, or its name in the first row")
    number = whole_number(text)
    return text if number is None else number
