"""The demo's recording by its stated model: ``python -m tests.vibration.demo_recording`` writes it anew."""

from __future__ import annotations

import numpy as np

from rotorkit.aircraft import demo_folder
from rotorkit.folder.making import DEMO_RECORDING
from rotorkit.vibration import simulated_recording

ORDERS = {1: ("0.26 in/s", 132.0), 2: ("0.35 in/s", -40.0), 4: ("0.05 in/s", 75.0)}
"""The rotor's orders: peak velocity, and the degrees that the rotor has gone past the mark, times the order."""
TAIL, ENGINE, FAN = 6.4, 5.8, 10.3
OTHERS = {TAIL: "0.06 in/s", ENGINE: "0.04 in/s", FAN: "0.02 in/s"}
VOLTS, AT_REST = 0.1, 1.65
"""What the pick-up gives for 1 g, and at rest across gravity: upright it shows 1.75, turned over 1.55."""
LOST, FALSE_ROW = 47, 1234
"""The pulse that the tachometer missed, and a row that the logger spoiled."""


def demo_recording() -> str:
    """The file's text: time in s, the pick-up in volts, the tachometer."""
    made = simulated_recording(24, "200 Hz", "455 rpm", ORDERS, OTHERS, noise="0.01 g", end_speed="456.2 rpm", seed=5)
    volts = AT_REST + VOLTS * made.acceleration / 9.80665
    rising = np.flatnonzero(np.diff(made.pulses) > 0) + 1
    pulses = made.pulses.copy()
    pulses[rising[LOST] : rising[LOST] + 4] = 0
    rows = [f"{t:.3f},{v:.4f},{p:.0f}" for t, v, p in zip(made.times, volts, pulses, strict=True)]
    rows[FALSE_ROW] = f"{made.times[FALSE_ROW]:.3f},---,0"
    return "\n".join(["time_s,cabin_volts,mark", *rows]) + "\n"


if __name__ == "__main__":
    (demo_folder() / DEMO_RECORDING).write_text(demo_recording(), encoding="utf-8")
