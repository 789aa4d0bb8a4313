"""Whirl and fan plot over many speeds in one call, beside a plain loop and beside LAPACK on the same matrices.

Processor times on one thread each; figures of one run stand in DEVELOPERS.md.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from rotorkit.drive import (
    Bearing,
    BladeSection,
    Disc,
    ShaftLine,
    ShaftPiece,
    order_crossings,
    rotating_blade,
    shaft_line,
)
from rotorkit.quantities import RotationRate, from_si, required_kind
from tests.benchmarks.telling import tell, time_of

RATE = required_kind(RotationRate)
SPEEDS = from_si(np.linspace(10, 600, 500), RATE)
"""Of a shaft: 95 to 5,730 rpm."""


def least(work: Callable[[], object], repeats: int = 5) -> float:
    """The least processor time of several runs."""
    work()
    times = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def train(spans: int) -> ShaftLine:
    """A tube on hangers, a coupling in the middle of every span."""
    span = 0.95
    places = [k * span for k in range(spans + 1)]
    made: ShaftLine = shaft_line(
        [ShaftPiece(f"{span} m", "38 mm", "35 mm", "69 GPa", "2700 kg/m^3", None, "0.33") for _ in range(spans)],
        discs=[Disc(f"{at + span / 2} m", "0.4 kg", "1e-4 kg*m^2", "2e-4 kg*m^2") for at in places[:-1]],
        bearings=[Bearing(f"{at} m", "1.4e6 N/m") for at in places],
    )
    return made


def test_ten_spans_over_five_hundred_speeds() -> None:
    line = train(10)
    line.frequencies(SPEEDS[:1])  # the modes at rest, which every speed shares
    ours = least(lambda: line.frequencies(SPEEDS))
    singly = [from_si(float(one), RATE) for one in SPEEDS.magnitude]
    loop = least(lambda: [line.frequencies(one) for one in singly], 3)
    matrices = line._hermitian(np.asarray(SPEEDS.magnitude), line._kept(6))
    floor = least(lambda: np.linalg.eigvalsh(matrices))
    # every coordinate, nothing reduced: what a plain program does
    n = len(line.mass)
    inverse = np.linalg.inv(line.mass)

    def whole(speed: float) -> Any:
        state = np.zeros((2 * n, 2 * n))
        state[:n, n:] = np.eye(n)
        state[n:, :n], state[n:, n:] = -inverse @ line.stiffness, -inverse @ (speed * line.gyroscopic)
        return np.sort(np.abs(np.linalg.eigvals(state).imag))[::2][:6]

    some = np.asarray(SPEEDS.magnitude)[::100]
    plain = least(lambda: [whole(float(speed)) for speed in some], 1) / len(some) * 500
    for speed in some:
        found = line.frequencies(from_si(float(speed), RATE)).magnitude
        assert found == pytest.approx(whole(float(speed)), rel=1e-5)
    of = "whirl of ten spans, 500 speeds"
    tell(f"{of}, each / a loop over the speeds", time_of(ours / 500), time_of(loop / 500), f"{ours / loop:.2f}")
    tell(f"{of} / LAPACK on the same matrices", time_of(ours), time_of(floor), f"{ours / floor:.2f}", "1.5 or less")
    tell(f"{of} / a loop, {2 * n} states, nothing reduced", time_of(ours), time_of(plain), f"1/{plain / ours:.0f}")
    assert ours < 3 * floor


def test_cost_against_number_of_spans() -> None:
    taken = {}
    for spans in (2, 5, 10, 20, 40):
        line = train(spans)
        start = time.process_time()
        line.frequencies(SPEEDS[:1])
        taken[spans] = time.process_time() - start, least(lambda line=line: line.frequencies(SPEEDS), 3)  # type: ignore[misc]
    for spans, (modes, turning) in taken.items():
        tell(f"whirl of {spans} spans: modes at rest, once / 500 speeds", time_of(modes), time_of(turning))


def test_fan_plot_over_five_hundred_speeds() -> None:
    sections = [BladeSection("1.5 m", "7 kg/m", "12e4 N*m^2"), BladeSection("2 m", "5 kg/m", "8e4 N*m^2")]
    blade = rotating_blade(sections, "0.1 m", root="hinged")
    speeds = from_si(np.linspace(5, 60, 500), RATE)
    ours = least(lambda: blade.frequencies(speeds), 3)
    loop = least(lambda: [blade.frequencies(from_si(float(one), RATE)) for one in speeds.magnitude], 1)
    found = blade.frequencies(speeds)
    curves = {f"flap {k + 1}": found[:, k] for k in range(3)}
    crossings = least(lambda: order_crossings(speeds, curves, range(1, 11)))
    pull = blade.centrifugal + blade.offset * blade.per_offset
    factor = np.linalg.inv(np.linalg.cholesky(blade.mass))
    bending, turning = factor @ blade.bending @ factor.T, factor @ pull @ factor.T
    matrices = bending + np.asarray(speeds.magnitude)[:, None, None] ** 2 * turning
    floor = least(lambda: np.linalg.eigvalsh(matrices), 3)
    of = "fan plot of a blade of 60 elements, 500 speeds"
    tell(f"{of} / a loop over the speeds", time_of(ours), time_of(loop), f"{ours / loop:.2f}")
    tell(f"{of} / LAPACK on the same matrices", time_of(ours), time_of(floor), f"{ours / floor:.2f}", "1.5 or less")
    tell("crossings of three modes with ten orders, 500 speeds", time_of(crossings))
    assert (np.diff(found.magnitude[:, 0]) > 0).all()
