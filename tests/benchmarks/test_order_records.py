"""A thousand records made by a stated model: how often amplitude and phase are within their stated uncertainty."""

from __future__ import annotations

import math

from rotorkit.vibration import orders_of, recording, turns_from_pulses
from tests.vibration.test_orders import made

RECORDS = 1000


def test_a_thousand_records() -> None:
    """Each of them 5 s long, its speed rising, noise as large as the order; a pulse in forty lost."""
    amplitude = phase = 0
    for seed in range(RECORDS):
        x, pulses = made(5, 7.2 + 0.4 * (seed % 5) / 5, 7.6, {1: (0.05, 130), 3: (0.02, 10)}, 0.05, seed)
        kept = [one for k, one in enumerate(pulses) if k % 40 != 17]
        once = orders_of(recording(x, "400 Hz", "g"), turns_from_pulses(kept), [1])[1].vibration
        amplitude += abs(float(once.amplitude.si) - 0.05 * 9.80665) <= float(once.amplitude.expanded_si)
        phase += abs(float(once.angle.si) - math.radians(130)) <= float(once.angle.expanded_si)
    print(
        f"within the stated uncertainty: amplitude {amplitude / RECORDS:.1%}, phase {phase / RECORDS:.1%} of {RECORDS}"
    )
    for covered in (amplitude, phase):
        assert 0.93 <= covered / RECORDS <= 0.98
