"""What the sheets of balancing have in common: fields, and amplitude with phase as an arrow."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rotorkit.aircraft.entries import Entry, Readings
from rotorkit.balance import Agreement, Phasor, phasor, still_hold
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured
from rotorkit.pictures.data import Chart, Curve, Point
from rotorkit.quantities import Angle, Mass, Speed, in_unit
from rotorkit.sheets.working import Working

AMPLITUDE = Entry(Speed, ("in/s", "mm/s"), ("0 in/s", "20 in/s"), ("0 in/s", "3 in/s"), by="analyser", repeats=True)
PHASE = Entry(Angle, None, ("-360 deg", "360 deg"), (None, None), by="phase_meter", repeats=True)
PLACE = Entry(Angle, None, ("-360 deg", "360 deg"))
WEIGHT = Entry(Mass, ("g", "g"), ("0 g", "5 kg"), ("0.1 g", "500 g"), exact=True)
TRIAL = Entry(Mass, ("g", "g"), ("0.01 g", "5 kg"), ("0.1 g", "500 g"), by="scale")
WASHER = Entry(Mass, ("g", "g"), ("0.01 g", "1 kg"), ("0.1 g", "100 g"), by="scale")
WITH, AGAINST = "the way the phase rises", "the other way round"
SENSE = {WITH: "with phase", AGAINST: "against phase"}
"""Which way round the weights' angles are counted, as a form asks it, and the word of it for the functions."""
OTHER_SENSE = {"with phase": "against phase", "against phase": "with phase"}
TURNED = (
    "What is read is what these washers do where the weights' angles are counted the other way than is said here. Find "
    "out which way round they are counted, with the phase or against it, before anything else is put on. Then take "
    "these washers off, leave this check run out, and work it again."
)
STRANGE = "Put no weight on by these coefficients: look for what changed, then make trial runs."
"""What is to be done where a check run is not what was promised."""
VIBRATION = ("in/s", "mm/s")
A_RUN_OF_ITS_OWN = "a later run, to balance from: the run as found is another check's"
NO_RUN_OF_ITS_OWN = (
    "The run as found was taken from another check, and washers may have gone on since: nothing is judged by it and no "
    "weight is told from it. Make a run as it is now, and enter it as the later run."
)


def of_another_check(readings: Readings | None) -> bool:
    """Whether readings were taken from another check."""
    return readings is not None and any(one.taken_from is not None for one in readings)


def size_of(to: Working, path: str, readings: Readings, what: str) -> Measured:
    """The amplitude in a field, with the vibration meter's uncertainty. what: in words, "the run as found"."""
    to.mixed(path, readings)
    return to.mean(readings, f"amplitude of {what}", Speed, to.instrument("analyser"), unit=VIBRATION)


def arrow_of(to: Working, size: Measured | tuple[str, Readings], path: str, phases: Readings, what: str) -> Phasor:
    """A run as an arrow. size: its amplitude, or the field that holds it with what stands there; path, phases: the
    field of its phase, with what stands there."""
    angles = [one.si for one in phases]
    if max(angles) - min(angles) > math.pi:
        to.problem(
            path, "has repeats on both sides of the mark: write the one as negative, -10 deg for 350, to average them"
        )
    to.mixed(path, phases)
    size = size if isinstance(size, Measured) else size_of(to, *size, what)
    angle = to.mean(phases, f"phase of {what}", Angle, to.instrument("phase_meter"), unit="deg")
    return phasor(size, angle, label=what)


def chance_in_words(chance: float) -> str:
    """A chance, 0 to 1, as no surer than it is known: "more than 99 %", "48 %", "less than 1 %"."""
    shown = "more than 99" if chance > 0.99 else f"{100 * chance:.0f}" if chance >= 0.01 else "less than 1"
    return f"{shown} %"


def agreement_of(
    to: Working, promised: Sequence[Phasor], turned: Sequence[Phasor], read: Sequence[Phasor]
) -> Agreement | None:
    """Whether a check run is what was promised, said among the notes, or in the lead where it is not; None where
    nothing has an uncertainty. turned: what the same washers promise with their angles counted the other way round."""
    arrows = [*promised, *read]
    if not any(float(part.standard_si) for one in arrows for part in (one.along, one.across)):
        return None
    agreement = still_hold(promised, read)
    if agreement.holds:
        to.notes.append(agreement.in_words)
    else:
        if still_hold(turned, read).holds:
            to.lead.append(TURNED)
        to.lead.append(agreement.in_words)
    return agreement


def arrows_picture(title: str, runs: Sequence[tuple[str, Phasor, str]], limit: Limit | None, system: str) -> Chart:
    """Arrows of runs with their uncertainty, and the limit as a circle. runs: each with its name and the style of its
    arrow; where that is empty, a point alone."""
    unit = VIBRATION[system == "metric"]

    def at(one: Phasor) -> tuple[float, float]:
        return in_unit(one.si.real, unit, one.kind), in_unit(one.si.imag, unit, one.kind)

    def spread(one: Phasor) -> tuple[float, float]:
        along, across = (float(part.expanded_si) for part in (one.along, one.across))
        return in_unit(along, unit, one.kind), in_unit(across, unit, one.kind)

    curves = [Curve(name, [0.0, at(one)[0]], [0.0, at(one)[1]], style) for name, one, style in runs if style]
    points = [Point(name, *at(one), *spread(one)) for name, one, _ in runs]
    if limit is not None and limit.high is not None:
        radius = abs(at(phasor(limit.high))[0])
        turns = [math.tau * k / 72 for k in range(73)]
        around = [radius * math.cos(turn) for turn in turns], [radius * math.sin(turn) for turn in turns]
        curves.append(Curve("limit", *around, "bound"))
    return Chart(title, f"along 0°, {unit}", f"along 90°, {unit}", curves, (), points, equal=True)
