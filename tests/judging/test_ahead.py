"""Looking ahead: against SciPy's regression, and how often it is right on made lines whose truth is known."""

import math
from collections.abc import Sequence

import numpy as np
import pytest

from rotorkit.judging.ahead import BENDS, BENDS_DOWN, FALLING, RISING, looking_ahead
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import QuantityError, Speed

DAY = 86400.0
LIMIT = Limit("vibration", Speed, high="10 mm/s", source="test")


def figures(values: Sequence[float], spread: float = 0.0) -> list[Measured]:
    return [measured(f"{float(value)!r} ± {spread!r} mm/s", Speed, f"figure {i}") for i, value in enumerate(values)]


def test_the_line_and_its_doubt_are_the_regression_s() -> None:
    from scipy import stats  # a second to load, for one worker and not for all

    days, sizes = [0.0, 11.0, 30.0, 55.0, 60.0], [4.0, 4.9, 5.9, 7.9, 8.0]
    found = looking_ahead([one * DAY for one in days], figures(sizes), LIMIT)
    assert found is not None
    fit = stats.linregress(days, sizes)
    assert found.word == RISING
    assert found.slope_si * DAY * 1000 == pytest.approx(fit.slope)
    factor = stats.t.ppf(0.97725, 3)
    assert found.slope_half_si * DAY * 1000 == pytest.approx(factor * fit.stderr, rel=1e-4)
    met = (10 - fit.intercept) / fit.slope
    assert found.met_si is not None
    assert found.met_si / DAY == pytest.approx(met, abs=0.04)
    # the day at which the upper edge of the mean's interval meets it, by the textbook's formula
    scatter = math.sqrt(sum((y - fit.intercept - fit.slope * x) ** 2 for x, y in zip(days, sizes, strict=True)) / 3)
    middle, about = np.mean(days), sum((one - np.mean(days)) ** 2 for one in days)
    every = np.arange(60, 120, 0.01)
    edge = factor * scatter * np.sqrt(1 / 5 + (every - middle) ** 2 / about)
    line = fit.intercept + fit.slope * every
    assert found.earliest_si == pytest.approx(every[line + edge >= 10][0] * DAY, abs=0.05 * DAY)
    assert found.latest_si == pytest.approx(every[line - edge >= 10][0] * DAY, abs=0.05 * DAY)


def test_no_surer_than_the_figures() -> None:
    days = [one * DAY for one in (0, 10, 20, 30, 40)]
    assert looking_ahead(days[:3], figures([1, 2, 3]), LIMIT) is None
    assert looking_ahead([0, 0, 0, DAY, DAY], figures([1, 1, 1, 2, 2]), LIMIT) is None  # two times, however many
    assert looking_ahead(days, figures([1, 2, 3, 4, 5]), Limit("vibration", Speed)) is None
    exact, rough = (looking_ahead(days, figures([4, 5, 6, 7, 8], spread), LIMIT) for spread in (0.0, 1.0))
    assert exact is not None
    assert rough is not None
    assert exact.met_si == rough.met_si == pytest.approx(60 * DAY, abs=0.05 * DAY)
    assert exact.earliest_si == pytest.approx(60 * DAY, abs=0.05 * DAY)
    assert rough.earliest_si is not None
    assert rough.earliest_si < 55 * DAY
    from scipy import stats

    # 0.5 mm/s each stands for the scatter that there is not, and once more as of one calibration (k = 2), on day 40
    factor = stats.t.ppf(0.97725, 3)
    by_hand = math.hypot(factor * 0.5 * math.sqrt(1 / 5 + 20**2 / 1000), 2 * 0.5)
    assert rough.half_si[2000] * 1000 == pytest.approx(by_hand, rel=1e-4)
    # farther ahead than it was watched nothing is told
    far = looking_ahead(days, figures([1, 1.5, 2, 2.5, 3]), LIMIT)
    assert far is not None
    assert (far.word, far.met_si, far.earliest_si) == (RISING, None, None)
    over = looking_ahead(days, figures([8, 9, 10, 11, 12]), LIMIT)
    assert over is not None
    assert over.at_limit
    falls = looking_ahead(days, figures([8, 7, 6, 5, 4.1]), LIMIT)
    assert falls is not None
    assert (falls.word, falls.earliest_si) == (FALLING, None)
    low = looking_ahead(days, figures([8, 7, 6, 5, 4.1]), Limit("speed", Speed, low="2 mm/s", source="test"))
    assert low is not None
    assert low.met_si == pytest.approx(60.8 * DAY, abs=1 * DAY)
    with pytest.raises(QuantityError, match="as many"):
        looking_ahead([0, 1], figures([1]), LIMIT)


def test_what_grows_faster_and_faster_is_told() -> None:
    days = np.arange(8) * 10.0
    bent = looking_ahead(days * DAY, figures([2 + 0.001 * one**2 for one in days]), LIMIT)
    straight = looking_ahead(days * DAY, figures([2 + 0.05 * one for one in days]), LIMIT)
    slower = looking_ahead(days * DAY, figures([2 + math.sqrt(one) for one in days]), LIMIT)
    assert [one and one.word for one in (bent, straight, slower)] == [BENDS, RISING, RISING]


def test_what_settles_is_not_said_to_grow_and_what_wears_down_falls() -> None:
    """y = 1 + 3 exp(-t/2) bends upwards and falls throughout; 4 - 0.03 t^2 falls faster and faster to a low limit."""
    low = Limit("speed", Speed, low="1 mm/s", source="test")
    times = [one * DAY for one in range(8)]
    for pace in (0.2, 0.5, 1.0):
        settling = [3 * math.exp(-pace * one) for one in range(8)]
        for values, limit in (([1 + one for one in settling], LIMIT), ([8 - one for one in settling], low)):
            found = looking_ahead(times, figures(values), limit)
            assert found is not None
            assert found.word == (FALLING if limit is LIMIT else RISING)
    worn = looking_ahead(times, figures([4 - 0.03 * one**2 for one in range(8)]), low)
    assert worn is not None
    assert worn.word == BENDS_DOWN


def test_today_is_told_to_the_last_bit_and_either_side_is_looked_at() -> None:
    """Where a figure's own ± reaches the limit the earliest day is today itself, however long it was watched."""
    for last in np.random.default_rng(1).uniform(1e4, 1e8, 200):
        found = looking_ahead(np.array([0, 1 / 3, 2 / 3, 1]) * last, figures([9, 9.2, 9.4, 9.6], 1.0), LIMIT)
        assert found is not None
        assert found.earliest_si == found.last_si == last
    # 1.25 mm/s lies above 1.2, though it falls below 1.0 next and its ± reaches both
    both = Limit("speed", Speed, low="1 mm/s", high="1.2 mm/s", source="test")
    found = looking_ahead([0, DAY, 2 * DAY, 3 * DAY], figures([1.55, 1.45, 1.35, 1.25], 1.0), both)
    assert found is not None
    assert found.at_limit


def test_the_truth_lies_between_earliest_and_latest() -> None:
    """Of 1,000 made lines the day on which the true line meets the limit lies within what is told in 95 % or more; and
    of 1,000 that do not change a trend is seen in no more than chance makes."""
    random = np.random.default_rng(16)
    inside = told = seen = bent = 0
    for _ in range(1000):
        days = np.sort(random.uniform(0, 100, 6))
        days -= days[0]
        rate = random.uniform(0.02, 0.06)
        truth = 10 - rate * random.uniform(1.2, 1.8) * days[-1]
        noise = random.normal(0, 0.15, 6)
        found = looking_ahead(days * DAY, figures([float(one) for one in truth + rate * days + noise]), LIMIT)
        assert found is not None
        met = (10 - truth) / rate * DAY
        step = found.horizon_si / 4000
        inside += (found.earliest_si is not None and found.earliest_si <= met + step) and (
            found.latest_si is None or met <= found.latest_si + step
        )
        told += found.latest_si is not None
        still = looking_ahead(days * DAY, figures([float(one) for one in 5 + noise]), LIMIT)
        assert still is not None
        seen += still.word in (RISING, FALLING)
        bent += still.word == BENDS
    assert inside >= 950
    assert told >= 300
    # 4.55 % by Student's t on either side, and half of that for a bend towards the limit; three standard deviations
    assert seen <= 65
    assert bent <= 37
