"""Blade-element hover over 100 000 conditions and 60 stations: against an element-by-element root find, against its own
floor, and by the number of conditions.

Run by ``make benchmarks``, alone with ``python -m tests.benchmarks.blade_element [cost.svg]``: it prints a table. Times
are the processor's, so that a busy machine does not spoil them; the figures of one run stand in DEVELOPERS.md.

- The root find: the same balance, with Prandtl's factors, compressibility, the drag polar and shock drag, in scalar
  arithmetic with Python's ``math``, solved by ``scipy.optimize.brentq`` to 1e-10; timed on a sample, extrapolated.
- The floor: what a single evaluation of the balance takes on arrays of the same size in the same blocks (section
  figures, Prandtl's factors, the sums), as if the answer were known.
"""

from __future__ import annotations

import math
import statistics
import sys
import time
from collections.abc import Callable

import numpy as np
from scipy.optimize import brentq

from rotorkit.quantities import Quantity
from rotorkit.rotor.blade_element import (
    Air,
    HoverNumbers,
    LinearSection,
    Model,
    at_collective,
    at_thrust,
    blade_element_hover,
    rotor_blades,
)
from rotorkit.rotor.blade_element.annuli import Grid, Meeting, blocks, numbers_met
from rotorkit.rotor.blade_element.solve import prandtl_factor
from tests.benchmarks.telling import tell

CONDITIONS, STATIONS, SAMPLE = 100_000, 60, 60
AT_LEAST, FLOORS = 100, 5
"""How many times quicker than a root find for each element, and within how many evaluations of the balance. On a quiet
machine (two cores of an AMD EPYC) it was 290 and 2.6; where others use the memory, for which arrays wait and single
numbers do not, 133 and 3.2 (load 18). The floor waits as the arrays do, so that of these two the machine cancels."""
SECTION = LinearSection(5.73, (0.0087, -0.0216, 0.4), 1.2, thickness_ratio=0.12)
BLADES = rotor_blades(2, "12 ft 6 in", "7 1/2 in", "20 in", SECTION, twist="-6 deg")
RNG = np.random.default_rng(4)
COLLECTIVE = RNG.uniform(np.radians(3), np.radians(11), CONDITIONS)
DENSITY = RNG.uniform(0.85, 1.3, CONDITIONS)
SOUND = RNG.uniform(320, 350, CONDITIONS)
SPEED = RNG.uniform(48, 55, CONDITIONS)
MODEL = Model(stations=STATIONS)


def seconds(work: Callable[[], object], times: int = 3) -> float:
    """The median of several runs."""
    spent = []
    for _ in range(times):
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return statistics.median(spent)


def ours(conditions: int = CONDITIONS) -> HoverNumbers:
    part = slice(conditions)
    return at_collective(BLADES, SPEED[part], Air(DENSITY[part], SOUND[part], 1.8e-5), COLLECTIVE[part], MODEL)


def floor() -> float:
    """One evaluation of the same arrays in the same blocks, with the inflow given."""
    grid = Grid(BLADES, MODEL)
    tips = SPEED * BLADES.radius
    total = 0.0
    for block in blocks(CONDITIONS, STATIONS):
        mach, reynolds = numbers_met(BLADES, grid, tips[block], DENSITY[block], SOUND[block], 1.8e-5)
        meeting = Meeting(BLADES, grid, MODEL, mach, reynolds)
        blade_angle = COLLECTIVE[block][:, None] + grid.twist
        sine = 0.4 * blade_angle
        factor = prandtl_factor(sine, grid.tip, grid.root)
        angle = blade_angle - np.arcsin(sine)
        lift, drag = meeting.section.coefficients(angle)
        square = 1 - sine * sine
        cosine = np.sqrt(square)
        left = grid.steepness * factor * sine * sine - lift * cosine
        lift, drag = lift * square, drag * square
        total += float(left.sum())
        total += float(((lift * cosine - drag * sine) @ grid.thrust_weight).sum())
        total += float(((lift * sine) @ grid.power_weight).sum() + ((drag * cosine) @ grid.power_weight).sum())
    return total


def one_by_one(conditions: int) -> tuple[np.ndarray, np.ndarray]:
    """Thrust and power of the first conditions, every element by its own root find."""
    grid = Grid(BLADES, MODEL)
    stations = list(zip(grid.r.tolist(), grid.weight.tolist(), grid.twist.tolist(), strict=True))
    chord, count, radius, cut = 7.5 * 0.0254, 2, BLADES.radius, BLADES.root_cutout
    sigma = count * chord / (math.pi * radius)
    thrusts, powers = [], []
    for i in range(conditions):
        tip, sound, collective = SPEED[i] * radius, SOUND[i], COLLECTIVE[i]
        thrust = power = 0.0
        for r, weight, twist in stations:
            theta = collective + twist
            slope = 5.73 / math.sqrt(1 - (tip * r / sound) ** 2)
            steep, reach, inner = 8 * r / sigma, count / 2 * (1 - r) / r, count / 2 * (r - cut) / r

            def left(
                phi: float, theta: float = theta, slope: float = slope, steep: float = steep, reach: float = reach,
                inner: float = inner,
            ) -> float:  # fmt: skip
                sine = math.sin(phi)
                factor = math.acos(math.exp(-reach / sine)) * math.acos(math.exp(-inner / sine)) * 4 / math.pi**2
                return steep * factor * sine * sine - slope * (theta - phi) * math.cos(phi)

            phi = brentq(left, 1e-7, theta, xtol=1e-10)
            angle = theta - phi
            lift = slope * angle
            over = max(tip * r / sound - (0.87 - 0.12 - (0.1 / 80) ** (1 / 3)) + abs(lift) / 10, 0.0)
            drag = 0.0087 - 0.0216 * angle + 0.4 * angle**2 + 20 * over**4
            met = sigma / 2 * (r * math.cos(phi)) ** 2 * weight
            thrust += met * (lift * math.cos(phi) - drag * math.sin(phi))
            power += met * r * (lift * math.sin(phi) + drag * math.cos(phi))
        force = DENSITY[i] * BLADES.disk_area * tip**2
        thrusts.append(thrust * force)
        powers.append(power * force * tip)
    return np.array(thrusts), np.array(powers)


def measure() -> list[tuple[str, float, str]]:
    """The table: what, seconds, remark."""
    ours(1000)
    at_once = seconds(ours)
    lowest = seconds(floor)
    start = time.process_time()
    thrust, power = one_by_one(SAMPLE)
    single = (time.process_time() - start) * CONDITIONS / SAMPLE
    found = at_collective(
        BLADES, SPEED[:SAMPLE], Air(DENSITY[:SAMPLE], SOUND[:SAMPLE], 1.8e-5), COLLECTIVE[:SAMPLE], MODEL
    )
    apart = max(np.max(np.abs(found.thrust / thrust - 1)), np.max(np.abs(found.power / power - 1)))
    whole = ours()
    by_thrust = seconds(lambda: at_thrust(BLADES, SPEED, Air(DENSITY, SOUND, 1.8e-5), whole.thrust, MODEL), 1)
    quantities = (Quantity(SPEED, "rad/s"), Quantity(DENSITY, "kg/m^3"), Quantity(COLLECTIVE, "rad"))
    public = seconds(lambda: blade_element_hover(BLADES, quantities[0], quantities[1], collective=quantities[2]))
    elements = CONDITIONS * STATIONS
    table = [
        ("by blade angle, all at once", at_once, f"{at_once / elements * 1e9:.0f} ns an element"),
        ("element by element, brentq", single, f"{single / at_once:.0f} times as long (from {SAMPLE} conditions)"),
        ("floor: one evaluation", lowest, f"{at_once / lowest:.1f} times this"),
        ("by thrust, all at once", by_thrust, f"{by_thrust / at_once:.1f} times by blade angle"),
        ("public call, quantities of arrays", public, f"{public / at_once:.2f} times the bare engine"),
        ("greatest difference of the two", apart, "relative, thrust and power"),
    ]
    for conditions in (1, 100, 1_600, 10_000, 30_000, 100_000):
        spent = seconds(lambda n=conditions: ours(n), 5 if conditions < 20_000 else 3)
        table.append((f"{conditions} conditions", spent, f"{spent / conditions / STATIONS * 1e9:.0f} ns an element"))
    return table


def show(table: list[tuple[str, float, str]]) -> None:
    for what, spent, remark in table:
        print(f"{what:36s} {spent:12.4g} {'s' if 'difference' not in what else ' '}  {remark}")


def test_blade_element_hover() -> None:
    table = measure()
    for what, spent, remark in table:
        tell(f"blade-element hover, {STATIONS} stations: {what} (processor)", f"{spent:.3g} s", remark)
    of = {what: spent for what, spent, _ in table}
    assert of["element by element, brentq"] >= AT_LEAST * of["by blade angle, all at once"]
    assert of["by blade angle, all at once"] <= FLOORS * of["floor: one evaluation"]
    assert of["greatest difference of the two"] < 1e-6
    ten, hundred = of["10000 conditions"], of["100000 conditions"]
    assert 6 < hundred / ten < 16, "the cost is to be linear in the conditions"


def draw(table: list[tuple[str, float, str]], to: str) -> None:
    """Cost by the number of conditions, as an SVG picture: a straight line of slope one is linear cost."""
    from matplotlib.figure import Figure

    points = [(int(what.split()[0]), spent) for what, spent, _ in table if what.endswith(" conditions")]
    figure = Figure(figsize=(6, 4), layout="constrained")
    axes = figure.subplots()
    axes.loglog(*zip(*points, strict=True), "o-", label="blade-element hover, 60 stations")
    last = points[-1]
    axes.loglog([100, last[0]], [last[1] * 100 / last[0], last[1]], "--", label="linear")
    axes.set_xlabel("conditions")
    axes.set_ylabel("processor time, s")
    axes.legend()
    figure.savefig(to)


if __name__ == "__main__":
    measured = measure()
    show(measured)
    if len(sys.argv) > 1:
        draw(measured, sys.argv[1])
