"""Power off the rated speed, by plain arithmetic."""

import numpy as np
import pytest

from rotorkit.engine import power_at_engine_speed
from rotorkit.quantities import QuantityError


def test_the_torque_is_held_below_and_the_power_above() -> None:
    found = power_at_engine_speed.si(100.0, np.array([0.0, 20.0, 39.0, 40.0, 44.0]), 40.0)
    assert found == pytest.approx([0.0, 50.0, 97.5, 100.0, 100.0])


@pytest.mark.parametrize(
    ("speed", "rated", "said"),
    [("-400 rpm", "455 rpm", "speed must not be negative"), ("400 rpm", "-455 rpm", "above zero"),
     ("400 rpm", "0 rpm", "above zero")],
)  # fmt: skip
def test_a_sign_or_a_zero_is_refused_by_name(speed: str, rated: str, said: str) -> None:
    with pytest.raises(QuantityError, match=said):
        power_at_engine_speed("138 hp", speed, rated)
