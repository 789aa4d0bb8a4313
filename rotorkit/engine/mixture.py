"""The mixture on the ground: where a cylinder's exhaust is hottest as the fuel is drawn back."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.judging.measured import Measured, Origin, measured, propagate_together, recently
from rotorkit.quantities import QuantityError, Temperature, VolumeFlow, required_kind

MOST_USED = 5
"""So many points about the hottest are used: further off the curve is no parabola."""


@dataclass(frozen=True)
class Peak:
    """Where a cylinder peaks. flow: of fuel, all cylinders together; temperature: of its exhaust there; used: how many
    points the parabola was laid through."""

    flow: Measured
    temperature: Measured
    used: int


def exhaust_peak(flows: Sequence[Any], temperatures: Sequence[Any], name: str = "exhaust") -> Peak | None:
    """The fuel flow at which one cylinder's exhaust is hottest, with its uncertainty.

    Parameters
    ----------
    flows : sequence of VolumeFlow
        at each step of drawing the mixture back, throttle and load untouched, in any order.
    temperatures : sequence of Temperature
        of this cylinder's exhaust at each step, settled.
    name : str
        of the cylinder, for the budget.

    Returns
    -------
    Peak or None
        None where the hottest step is the first or the last: the peak was not passed, and nobody knows where it is.

    Raises
    ------
    QuantityError
        Fewer than three steps, two at the same flow, or arguments that are not of their kind.

    Notes
    -----
    Source: a parabola by least squares through the hottest step and up to two on either side (derived here). The ±
    typed with the readings is carried; where more than three points are used, so is their scatter about the parabola. A
    probe that is off by the same amount at every step moves the temperature and not the flow. Range: steps close enough
    about the peak, a twentieth of the flow apart or so.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> flows = ["9.0 gal/h", "8.5 gal/h", "8.0 gal/h", "7.5 gal/h", "7.0 gal/h"]
    >>> peak = exhaust_peak(flows, ["1374 °F", "1406 °F", "1422 °F", "1422 °F", "1406 °F"])
    >>> say(peak.flow, "gal/h", digits=4), say(peak.temperature, "degF", digits=5)
    ('7.750 gal/h', '1,424.0 °F')
    """
    if len(flows) != len(temperatures):
        raise QuantityError(
            f"exhaust_peak: {len(flows)} flows and {len(temperatures)} temperatures: one of each a step"
        )
    if len(flows) < 3:
        raise QuantityError(f"exhaust_peak: needs three steps or more, got {len(flows)}")
    steps = sorted(
        (
            (measured(flow, VolumeFlow, f"fuel flow, step {i}"), measured(hot, Temperature, f"{name}, step {i}"))
            for i, (flow, hot) in enumerate(zip(flows, temperatures, strict=True), 1)
        ),
        key=lambda step: float(step[0].si),
    )
    x = [float(flow.si) for flow, _ in steps]
    if min(b - a for a, b in itertools.pairwise(x)) <= 1e-9 * max(x):
        raise QuantityError("exhaust_peak: two steps at the same fuel flow: leave one out")
    y = [float(hot.si) for _, hot in steps]
    top = int(np.argmax(y))
    if top in (0, len(steps) - 1):
        return None
    reach = min(MOST_USED // 2, top, len(steps) - 1 - top)
    used = steps[top - reach : top + reach + 1]
    flow, temperature = _top(name, *(one for step in used for one in step))
    return Peak(flow.shown_in(("gal/h", "L/h")), temperature.shown_in(("degF", "degC")), len(used))


@recently(64)
def _top(name: str, *given: Measured) -> tuple[Measured, Measured]:
    """The parabola's top: the other cylinders' stay where one is read again. given: flow and temperature in turn."""
    found = propagate_together(_peaks, {"flow": VolumeFlow, "temperature": Temperature}, given)
    if len(found) < 2:
        raise QuantityError(f"exhaust_peak: no parabola through the steps about the hottest of {name} has a top")
    found = _scattered(found, list(zip(given[::2], given[1::2], strict=True)), name)
    return found["flow"], found["temperature"]


def _peaks(*values: Any) -> dict[str, Any]:
    """Flow and temperature of many parabolas' tops; values: flow and temperature of each point in turn."""
    flow, temperature = _vertex(np.stack(values[::2], axis=-1), np.stack(values[1::2], axis=-1))
    return {"flow": flow, "temperature": temperature}


def _parabola(x: np.ndarray, y: np.ndarray) -> tuple[Any, Any, np.ndarray]:
    """(middle, size) by which x is made small, and the coefficients, highest first, of the parabola by least squares:
    points in the last axis, of any number of parabolas."""
    middle, size = x.mean(axis=-1), np.ptp(x, axis=-1)
    small = (x - middle[..., None]) / size[..., None]
    powers = np.stack((small**2, small, np.ones_like(small)), axis=-1)
    found = np.linalg.pinv(powers) @ (y - y.mean(axis=-1, keepdims=True))[..., None]
    return middle, size, np.moveaxis(found[..., 0], -1, 0)


def _vertex(x: np.ndarray, y: np.ndarray) -> tuple[Any, Any]:
    """Where the parabola is highest, and how high; not a number where it is not highest anywhere."""
    middle, size, (a, b, c) = _parabola(x, y)
    with np.errstate(all="ignore"):
        flow, top = middle - size * b / (2 * a), y.mean(axis=-1) + c - b * b / (4 * a)
    return np.where(a < 0, flow, np.nan), np.where(a < 0, top, np.nan)


def _scatter(used: Sequence[tuple[Measured, Measured]]) -> float:
    """Standard deviation of the temperatures about the parabola; nothing where it runs through every point."""
    x, y = (np.array([float(step[i].si) for step in used]) for i in (0, 1))
    if len(used) < 4:
        return 0.0
    middle, size, coefficients = _parabola(x, y)
    left = y - y.mean() - np.polyval(coefficients, (x - middle) / size)
    return float(math.sqrt(left @ left / (len(used) - 3)))


def _scattered(found: dict[str, Measured], used: Sequence[tuple[Measured, Measured]], name: str) -> dict[str, Measured]:
    """The figures with what the points scatter about the parabola as an origin of its own."""
    scatter = _scatter(used)
    if not scatter:
        return found
    values = np.array([float(one.si) for step in used for one in step])
    moved = np.eye(len(values))[1::2] * scatter / 100
    origin, both = Origin(f"scatter about the parabola, {name}"), {}
    for which, (up, down) in _peaks(*np.moveaxis(values + np.stack((moved, -moved)), -1, 0)).items():
        own = scatter * float(np.sqrt((((up - down) / (scatter / 50)) ** 2).sum()))
        one = found[which]
        both[which] = Measured(one.si, required_kind(one.kind), {**one.components, origin: own}, one.unit)
    return both
