"""A cable that may be slack: never in limits, and never told a tension below nought."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import Force
from rotorkit.rigging import judged_tension, may_be_slack, unknown_tension

SIDES = st.one_of(st.none(), st.floats(0, 100))


def gauge(pounds: float, known_to: float = 1.0) -> Measured:
    return measured(f"{pounds:.9f} lbf", Force, "gauge", f"{known_to:.9f} lbf")


@pytest.mark.parametrize(
    ("pounds", "words"),
    [(-1.001, "is slack"), (-0.999, "may be slack"), (0.999, "may be slack"), (1.001, None), (40.0, None)],
)
def test_taut_is_what_can_be_told_from_nought(pounds: float, words: str | None) -> None:
    assert may_be_slack(gauge(pounds)) == words


@given(st.floats(-60, 120), st.floats(0.01, 20), SIDES, SIDES)
def test_no_limit_passes_a_cable_that_may_be_slack(pounds: float, known_to: float, low: float, high: float) -> None:
    if low is not None and high is not None and low > high:
        low, high = high, low
    sides = [None if side is None else f"{side:.9f} lbf" for side in (low, high)]
    limit = Limit("tension", Force, *sides, "manual")
    carried = gauge(pounds, known_to)
    verdict = judged_tension(limit, carried, "tension")
    if may_be_slack(carried):
        assert verdict.word != "in limits"
    else:
        assert verdict.word == limit.judge(carried).word
    assert may_be_slack(carried) != "is slack" or (verdict.word == "out of limits" and verdict.measured.si == 0)


@given(st.floats(0, 0.99), st.floats(-50, 100), SIDES, SIDES)
def test_a_slack_reading_is_out_of_limits_or_undone(pounds: float, most: float, low: float, high: float) -> None:
    if low is not None and high is not None and low > high:
        low, high = high, low
    limit = Limit("tension", Force, *(None if s is None else f"{s:.9f} lbf" for s in (low, high)), "manual")
    verdict = unknown_tension(limit, gauge(pounds, 1.0), gauge(most), "70 °F")
    below = low is not None and most + 1 < low
    assert verdict.word == ("out of limits" if below else "no verdict yet")
