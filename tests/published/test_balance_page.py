"""The page of the cases of balance and vibration: its calls say so, every case of the two tables is on it, and every
invented one is worked again by plain complex arithmetic."""

import cmath
import doctest
import itertools
import math
import re
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest

from tests.reference_table import rows

PAGE = Path(__file__).resolve().parents[2] / "docs" / "pages" / "balance_and_vibration_cases.md"


def shown() -> dict[str, str]:
    """What the page shows, by case."""
    return dict(re.findall(r"\*\*([\w.-]+)\*\*:.*?```pycon\n(.*?)```", PAGE.read_text("utf-8"), re.S))


def arrow(size: float, degrees: float) -> complex:
    return cmath.rect(size, math.radians(degrees))


def polar(*arrows: complex) -> list[float]:
    return [part for one in arrows for part in (abs(one), math.degrees(cmath.phase(one)))]


def invented() -> dict[str, Sequence[float]]:
    """The figures of each invented case, by numbers alone."""
    v0, v1, trial = arrow(0.42, 75), arrow(0.31, 130), arrow(12, 45)
    with_phase = -v0 * trial / (v1 - v0)
    # against phase: places mirrored on the way in and out
    effect = (v1 - v0) / trial.conjugate()
    against = (-v0 / effect).conjugate()
    put = arrow(8, 200).conjugate()
    later = (-arrow(0.12, 300) / effect).conjugate()
    first = sum(arrow(*one) for one in ((0.40, 73), (0.42, 75), (0.44, 77))) / 3
    second = sum(arrow(*one) for one in ((0.30, 131), (0.31, 130), (0.32, 129))) / 3
    repeated = -first * trial / (second - first)
    holes = [arrow(2.5, degrees) for degrees in (60, 110, 200)]
    nearest = min(
        itertools.product(range(9), range(9), range(3)),
        key=lambda n: abs(sum(k * hole for k, hole in zip(n, holes, strict=True)) - repeated),
    )
    achieved = sum(k * hole for k, hole in zip(nearest, holes, strict=True))

    def shares(weight: complex, first: float, second: float) -> list[float]:
        one, other = arrow(1, first), arrow(1, second)
        return list(np.linalg.solve([[one.real, other.real], [one.imag, other.imag]], [weight.real, weight.imag]))

    exact = arrow(14.362, 91.356)
    start = np.array([arrow(0.50, 40), arrow(0.35, 200)])
    in_a = np.array([arrow(0.38, 75), arrow(0.41, 215)])
    in_both = np.array([arrow(0.30, 60), arrow(0.22, 260)])
    effects = np.stack([(in_a - start) / 10, (in_both - in_a) / arrow(8, 90)], axis=1)
    known = np.array([[arrow(0.05, 30), arrow(0.02, -60)], [arrow(0.01, 110), arrow(0.06, 10)]])
    three = np.array([[3, 1j], [arrow(1, 45), 2], [arrow(2, -30), arrow(2, 60)]])
    read, counts = np.array([arrow(4, 10), arrow(3, 100), arrow(2, -50)]), np.array([2, 1, 1])
    weights = np.linalg.lstsq(counts[:, None] * three, -counts * read, rcond=None)[0]
    turning = 3000 * math.pi / 30
    total = 6.3 * 12e3 / turning
    at_first, at_second = total * 250 / 400, total * 150 / 400
    peak, omega = 0.5 * math.sqrt(2), math.tau * 7.6
    return {
        "N1": polar(with_phase, v1 - v0),
        "N2": polar(with_phase - trial),
        "N3": polar(against),
        "N4": polar(v0 + effect * put, later),
        "N5": [round(abs(repeated), 1), round(math.degrees(cmath.phase(repeated)), 1)],
        "N6": [*shares(exact, 60, 110), shares(exact, 150, 110)[0]],
        "N7": [*nearest, abs(achieved - repeated)],
        "N8": [25, 250, 1],
        "N9": [*polar(*np.linalg.solve(effects, -start)), float(np.linalg.cond(effects))],
        "N10": polar(*np.linalg.solve(known, -start), *(start + known @ [arrow(9, 200), arrow(6, 20)])),
        "N11": [*polar(*weights), *np.abs(read + three @ weights)],
        "N12": [total, 6.3e3 / turning, at_first, at_second, 100 * turning / 12e3],
        "N13": [min(at_first / 1.4, at_second / 1.4), min(at_first, at_second)],
        "N14": [peak, peak * 25.4, 2000 * peak / omega, peak * 0.0254 * omega / 9.80665],
        "N16": [5.21 * 0.3 + 6.02 * 3.1, 11.23 * 0.3 + 6.02 * 2.8, (5.21 * 0.3 + 6.02 * 3.1) / 11.23],
        "N17": [0.12, 48, 0.12 * 9.80665 / 0.0254 / (math.tau * 7.1), 48 + 90],
        "N15": [0.002 * 25.4 * math.tau * 45 / math.sqrt(2), 0.002 * 25400],
    }


@pytest.fixture(scope="module")
def told() -> dict[str, str]:
    return shown()


def test_every_call_says_what_stands_there() -> None:
    failed, tried = doctest.testfile(str(PAGE), module_relative=False, optionflags=doctest.NORMALIZE_WHITESPACE)
    assert tried > 60
    assert failed == 0


def test_every_published_case_is_there(told: dict[str, str]) -> None:
    cases = {row["id"] for table in ("balancing_examples.csv", "balance_vibration.csv") for row in rows(table)}
    assert {one for one in cases if not one.startswith("left-")} <= told.keys()


@pytest.mark.parametrize("case", invented())
def test_invented_cases_by_plain_arithmetic(case: str, told: dict[str, str]) -> None:
    answers = "\n".join(line for line in told[case].splitlines() if not line.startswith((">>>", "...")))
    there = [float(one.replace(",", "")) for one in re.findall(r"-?\d[\d,]*\.?\d*", answers.replace("), (", ") ; ("))]
    for wanted in invented()[case]:
        near = [one for one in there if abs(one - wanted) <= 5e-4 * max(abs(wanted), 1e-3)]
        turned = [one for one in there if abs(one - wanted - 360) < 0.01 or abs(one - wanted + 360) < 0.01]
        assert near or turned, (wanted, there)
