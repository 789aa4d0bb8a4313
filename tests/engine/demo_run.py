"""The demo's ground run by its stated model: ``python -m tests.engine.demo_run`` writes it anew."""

from __future__ import annotations

import numpy as np

from rotorkit.aircraft import demo_folder
from rotorkit.folder.making import DEMO_RUN

FIRST = 9 * 3600 + 41 * 60 + 7
"""The time of day of the first row, s."""
FIRES, OIL = 14, 22
"""Seconds after the first row when the engine fires and when oil pressure comes."""
LEFT, RIGHT = 77.0, 101.0
"""What the engine speed drops on each ignition alone, rpm."""
PEAKS = {1: (7.66, 1428.0), 2: (7.80, 1438.0), 3: (7.54, 1421.0), 4: (7.86, 1431.0)}
"""The fuel flow, gal/h, at which each cylinder's exhaust is hottest, and how hot, °F."""
CURVE = 46.0
"""By how many °F it is cooler 1 gal/h from there, and by its square further off."""
LAG = 2.5
"""Seconds of the exhaust probes' time constant."""
STEPS = (9.4, 8.8, 8.3, 8.0, 7.7, 7.4, 7.1)
FULL_FLOW = 12.6
CHECK, FULL, LEAN = (455, 535), (560, 600), (640, 920)
"""When the ignitions were tried, when it ran at full power, and when the mixture was drawn back, from and until."""
IDLE = (960, 1020)
BAD = {333: "RPM", 707: "EGT2"}
"""Rows that the monitor spoiled, and in which column."""


def _plan() -> tuple[np.ndarray, np.ndarray]:
    """Engine speed, rpm, and fuel flow, gal/h, at each second."""
    t = np.arange(1041)
    speed_at = [(0, 0), (9, 0), (10, 180), (14, 400), (18, 1010), (180, 1010), (200, 1400), (430, 1400), (450, 2010),
                (536, 2010), (552, 2640), (602, 2640), (620, 2010), (930, 2010), (950, 1010), (1030, 1010), (1036, 0),
                (1040, 0)]  # fmt: skip
    speed = np.interp(t, *np.array(speed_at).T)
    for start, drop in ((470, LEFT), (492, RIGHT)):
        speed -= drop * np.clip(np.minimum((t - start) / 2, (start + 12 - t) / 2), 0, 1)
    flow_at = [(0, 0), (12, 0), (18, 2.6), (180, 2.6), (200, 4.4), (430, 4.4), (450, 9.4), (536, 9.4), (552, 12.6),
               (602, 12.6), (620, 9.4)]  # fmt: skip
    flow = np.interp(t, *np.array(flow_at).T)
    for i, step in enumerate(STEPS):
        flow[640 + 40 * i : 680 + 40 * i] = step
    flow[920:] = np.interp(t[920:], [920, 924, 930, 950, 1030, 1033], [7.1, 9.4, 9.4, 2.6, 2.6, 0])
    return speed, flow


def demo_run() -> str:
    """The file's text: time of day, engine speed, fuel flow, exhausts and heads of four cylinders, oil, air."""
    draw = np.random.default_rng(11)
    speed, flow = _plan()
    n = len(speed)
    columns = {
        "RPM": np.where(speed > 0, speed + draw.normal(0, 4, n), 0).round(),
        "FF": flow + draw.normal(0, 0.03, n),
    }
    for i, (at, top) in PEAKS.items():
        still = np.where(speed > 300, top - CURVE * np.minimum((flow - at) ** 2, 12), 70.0)
        columns[f"EGT{i}"] = (_behind(still, LAG) + draw.normal(0, 1.5, n)).round(0)
        heat = 150 + 100 * np.clip(flow / 12.6, 0, 1) + 8 * i
        columns[f"CHT{i}"] = (_behind(np.where(speed > 300, heat + 90, 66.0), 90.0) + draw.normal(0, 0.6, n)).round(0)
    warm = 40 + 20 * np.clip(speed / 2000, 0, 1.4) + np.where(speed > 1500, 8, -8)
    columns["OILP"] = (_behind(np.where(np.arange(n) >= OIL, warm, 0.0), 2.0) + draw.normal(0, 0.4, n)).clip(0).round(0)
    columns["OILT"] = (_behind(np.where(speed > 300, 178.0, 66.0), 150.0) + draw.normal(0, 0.4, n)).round(0)
    columns["OAT"] = np.full(n, 66.0) + draw.normal(0, 0.2, n)
    rows = []
    for i in range(n):
        at = FIRST + i
        cells = {name: f"{values[i]:.{2 if name == 'FF' else 0}f}" for name, values in columns.items()}
        if i in BAD:
            cells[BAD[i]] = "ERR"
        clock = f"{at // 3600:02d}:{at % 3600 // 60:02d}:{at % 60:02d}"
        rows.append(",".join([clock, *cells.values()]))
    head = "Engine monitor, made by a stated model: no engine ran"
    return "\n".join([head, ",".join(["Time", *columns]), *rows]) + "\n"


def _behind(values: np.ndarray, constant: float) -> np.ndarray:
    """What a probe of this time constant shows of values a second apart."""
    shown, part = values.copy(), 1 - np.exp(-1 / constant)
    for i in range(1, len(values)):
        shown[i] = shown[i - 1] + part * (values[i] - shown[i - 1])
    return shown


def clock(seconds: int) -> str:
    """A second of the run as its clock shows it."""
    at = FIRST + seconds
    return f"{at // 3600:02d}:{at % 3600 // 60:02d}:{at % 60:02d}"


if __name__ == "__main__":
    (demo_folder() / DEMO_RUN).write_text(demo_run(), encoding="utf-8")
