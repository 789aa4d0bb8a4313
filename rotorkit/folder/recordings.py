"""A recording that lies in the working folder, brought to the readings of the check of orders."""

from __future__ import annotations

import hashlib
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from rotorkit.quantities import Acceleration, QuantityError, Ratio, Speed, in_unit, read, required_kind
from rotorkit.quantities.errors import shortened
from rotorkit.quantities.parts import whole_number
from rotorkit.vibration import (
    Orders,
    Recording,
    Turns,
    calibrate_with_gravity,
    name_lines,
    orders_of,
    pulse_times,
    read_recording,
    spectrum,
    turns_from_pulses,
)

__all__ = ["FromRecording", "file_of", "fingerprint_of", "read_into", "recording_of"]

ENDS = (".csv", ".tsv", ".txt", ".wav", ".npy")
MOST_LINES = 8
"""How many lines of a spectrum are put into the form."""
BETWEEN = 3 * math.pi / 8 - 1
"""How much larger a line is than it is shown, at most: midway between two figures a Hann window shows 8 / (3 pi) of it,
a loss of 1.42 dB (F. J. Harris, "On the Use of Windows for Harmonic Analysis with the Discrete Fourier Transform",
Proc. IEEE 66, 1978, table 1; from memory)."""


@dataclass(frozen=True)
class FromRecording:
    """A recording as the check's fields map it. vibration: what shakes. turns: of the pulses. orders: of the rotor.
    fingerprint: SHA-256 of the file."""

    vibration: Recording
    turns: Turns
    orders: Orders
    fingerprint: str


def recording_of(folder: Path, readings: Mapping[str, Any], blades: int) -> FromRecording:
    """A recording of the folder by the fields that map it.

    Arguments: folder, the working folder; readings, of the check of orders as typed, of which recording, unit, column,
    pulses, per_turn, rate, upright, turned_over and doubt are looked at; blades, of the main rotor.

    Raises `QuantityError`, in words that name the field.
    """
    file = file_of(folder, readings)
    name = file.name
    unit, wav = str(readings.get("unit", "g")), file.suffix.lower() in (".wav", ".npy")
    sensitivity, share = 1.0, _text(readings, "doubt") or None
    offset = 0.0
    both = [_text(readings, one) for one in ("upright", "turned_over")]
    if any(both):
        if not all(both) or unit != "g":
            raise QuantityError("turned_over: both outputs are needed, and the numbers' unit is then g")
        found = calibrate_with_gravity(*both)
        sensitivity, offset = float(found.sensitivity.si), float(found.offset.si)
        if found.share:
            share = f"{200 * math.hypot(found.share, _share(share) / 2):.6g} %"
    vibration_at, pulses_at = (_column(readings, one) for one in ("column", "pulses"))
    rate = _text(readings, "rate") or None
    given: dict[str, Any] = {"rate": rate}
    if wav:
        if not isinstance(vibration_at, int) or not isinstance(pulses_at, int):
            raise QuantityError("column: of this sort of file channels are numbered, from 0")
        vibration = read_recording(file, unit, rate, sensitivity=sensitivity, offset=offset, scale_uncertainty=share,
                                   channel=vibration_at)  # fmt: skip
        signal = read_recording(file, "", rate, channel=pulses_at)
        if file.suffix.lower() == ".wav" and np.issubdtype(vibration.values.dtype, np.integer) and not any(both):
            raise QuantityError(
                f"upright: {name} holds whole numbers, shares of its full scale, which are no {unit}: calibrate it by "
                "gravity, or type as outputs the share that one g is, and the same with a minus sign"
            )
    else:
        given["time_column"] = None if rate else 0
        vibration = read_recording(file, unit, column=vibration_at, sensitivity=sensitivity, offset=offset,
                                   scale_uncertainty=share, **given)  # fmt: skip
        signal = read_recording(file, "", column=pulses_at, **given)
    per_turn = _text(readings, "per_turn") or "1"
    marks = whole_number(per_turn)
    if not marks:
        raise QuantityError(f"per_turn: needs a whole number of pulses a turn, got {shortened(per_turn)}")
    times = pulse_times(signal.part(0, len(signal)), signal.rate)
    turns = turns_from_pulses(times, marks)
    is_acceleration = vibration.kind.alike(required_kind(Acceleration))
    orders = orders_of(vibration, turns, sorted({1, 2, blades, 2 * blades}), velocity=is_acceleration)
    return FromRecording(vibration, turns, orders, fingerprint_of(file))


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


def read_into(folder: Path, readings: Mapping[str, Any], blades: int, most: int = MOST_LINES) -> dict[str, Any]:
    """The readings that a recording gives the check of orders: its orders and lines, with uncertainty, the speed, the
    file's fingerprint, and what was wrong with samples and pulses. Arguments and errors: as `recording_of`."""
    found = recording_of(folder, readings, blades)
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
                                      required_kind(Speed)))
        for peak in name_lines(lines, {}, len(lines.amplitudes))
    }  # fmt: skip
    wide = math.hypot(BETWEEN, 2 * found.vibration.scale_share)
    shown = [
        {"frequency": f"{at:.4f} ± {lines.resolution / 2:.2g} Hz",
         "amplitude": f"{sizes[at]:.4g} ± {wide * sizes[at]:.3g} mm/s"}
        for at in sorted(sorted(sizes, key=lambda one: -sizes[one])[:most])
    ]  # fmt: skip
    was_wrong = found.orders.in_words
    if len(sizes) > len(shown):
        was_wrong += f" {len(sizes) - len(shown)} more lines stood out, all of them smaller than those below."
    return {
        "orders": rows,
        "lines": shown,
        "speed": _said(found.orders.speed, "rpm", found.orders.speed.kind),
        "length": f"{found.vibration.seconds:.6g} s",
        "resolution": f"{lines.resolution:.6g} Hz",
        "stood_out": str(len(shown)),
        "fingerprint": found.fingerprint,
        "was_wrong": was_wrong,
    }


def _said(figure: Any, unit: str, kind: Any) -> str:
    value, wide = (
        float(in_unit(one, unit, required_kind(kind))) for one in (figure.si, figure.si + figure.expanded_si)
    )
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
