"""NIST/ITL Statistical Reference Datasets: the certified line, its uncertainties and their covariance (known: read)."""

import numpy as np
import pytest

from rotorkit.judging.measured import Measured, combine, coverage_factor, measured
from rotorkit.quantities import Ratio, required_kind
from rotorkit.rigging.line_fit import Fit, least_squares
from tests.reference_table import FOLDER, rows

RATIO = required_kind(Ratio)
NAME = "nist_strd_norris.csv"
DATA = np.array([(float(row["y"]), float(row["x"])) for row in rows(NAME)])


def certified(what: str) -> list[float]:
    """The figures of the head that follow `what`."""
    head = (FOLDER / NAME).read_text(encoding="utf-8")
    words = next(line for line in head.splitlines() if line.startswith(f"# certified: {what}"))
    return [float(word) for word in words.replace(",", " ").split() if word[-1].isdigit() and word[0] not in "BD"]


def fitted(counted_from: float = 0.0) -> Fit:
    readings = [measured(str(y), Ratio, f"reading {i}") for i, y in enumerate(DATA[:, 0])]
    return least_squares([[1.0] * len(DATA), list(DATA[:, 1] - counted_from)], readings, [RATIO] * 2, "line")


def test_the_file_is_whole() -> None:
    assert DATA.shape == (36, 2)


@pytest.mark.parametrize(("which", "name"), [(0, "B0"), (1, "B1")])
def test_estimate_and_its_standard_deviation(which: int, name: str) -> None:
    value, deviation = certified(name)
    found = fitted().estimates[which]
    assert float(found.si) == pytest.approx(value, rel=1e-12)
    # ours is widened for 34 degrees of freedom, to be told with k = 2
    assert float(found.standard_si) * 2 / coverage_factor(34) == pytest.approx(deviation, rel=1e-11)


def test_residual_standard_deviation() -> None:
    fit = fitted()
    assert fit.scatter_si == pytest.approx(certified("residual")[0], rel=1e-12)
    assert fit.freedom == 34


@pytest.mark.parametrize("at", [0.0, 424.1, 1000.0, -500.0])
def test_the_value_on_the_line_by_the_certified_figures(at: float) -> None:
    """u(B0 + B1 x)^2 = s^2 / n + u(B1)^2 (x - mean)^2: with the covariance of both, from certified figures alone."""
    (spread,), (_, rate) = certified("residual"), certified("B1")
    wanted = np.sqrt(spread**2 / 36 + rate**2 * (at - DATA[:, 1].mean()) ** 2)
    for counted_from in (0.0, 1e4):  # wherever x is counted from
        start, slope = fitted(counted_from).estimates
        x = at - counted_from
        found: Measured = combine(float(start.si) + x * float(slope.si), Ratio, [start, slope], [1.0, x])
        assert float(found.standard_si) * 2 / coverage_factor(34) == pytest.approx(wanted, rel=1e-8)


def test_the_covariance_against_numpy() -> None:
    start, slope = fitted().estimates
    covariance = sum(start.components.get(origin, 0.0) * part for origin, part in slope.components.items())
    _, oracle = np.polyfit(DATA[:, 1], DATA[:, 0], 1, cov=True)
    assert float(covariance) * (2 / coverage_factor(34)) ** 2 == pytest.approx(oracle[0, 1], rel=1e-9)
