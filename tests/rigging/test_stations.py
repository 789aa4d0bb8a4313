"""Where a station stands within its limit, in half widths: nought in the middle, 1 at a side."""

import pytest

from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured
from rotorkit.quantities import Angle, Quantity
from rotorkit.rigging.stations import Station, combined_station, difference_stations

DEG = 3.141592653589793 / 180


def station(value: float, low: str | None, high: str | None, name: str = "a") -> Station:
    return Station(name, Measured(value * DEG, Angle), Limit(name, Angle, low, high, "test"), "0.5 deg")


@pytest.mark.parametrize(("value", "wanted"), [(4.0, -1.0), (5.0, 0.0), (6.0, 1.0), (6.5, 1.5)])
def test_of_a_limit_with_two_sides(value: float, wanted: float) -> None:
    assert station(value, "4 deg", "6 deg").deviation == pytest.approx(wanted)


@pytest.mark.parametrize(("inside", "wanted"), [(0.0, 1.0), (0.5, 0.0), (0.75, -0.5), (-0.5, 2.0)])
def test_of_a_limit_with_one_side(inside: float, wanted: float) -> None:
    """The scale inside the limit is the middle: as good as one needs. The two sides are mirror images."""
    assert station(6 - inside, None, "6 deg").deviation == pytest.approx(wanted)
    assert station(4 + inside, "4 deg", None).deviation == pytest.approx(-wanted)


def test_a_difference_is_the_one_less_the_other() -> None:
    one, other = station(5.0, "4 deg", "6 deg", "one"), station(4.2, "4 deg", "6 deg", "other")
    (found,) = difference_stations([one, other], Quantity(1.0, "deg"), "test")
    assert float(found.reading.si) == pytest.approx(0.8 * DEG)
    assert dict(found.parts) == {"one": 1.0, "other": -1.0}


def test_a_combination_of_combinations_adds_up() -> None:
    one, other = station(5.0, "4 deg", "6 deg", "one"), station(4.2, "4 deg", "6 deg", "other")
    limit = Limit("sum", Angle, "-1 deg", "1 deg", "test")
    less = combined_station("less", [(1.0, one), (-1.0, other)], limit)
    found = combined_station("twice and more", [(2.0, less), (1.0, one)], limit)
    assert float(found.reading.si) == pytest.approx((2 * 0.8 + 5.0) * DEG)
    assert dict(found.parts) == {"one": 3.0, "other": -2.0}
