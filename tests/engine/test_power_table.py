"""The builder's own power table: its rows, what lies between, and nothing outside."""

import numpy as np
import pytest

from rotorkit.engine import PowerTable, engine_model
from rotorkit.quantities import Quantity, QuantityError, assert_quantity

HEIGHTS = ["0 ft", "5000 ft", "10000 ft"]
TABLE = PowerTable(HEIGHTS, ["150 hp", "126 hp", "105 hp"])
BY_SPEED = PowerTable(
    HEIGHTS, [["140 hp", "150 hp"], ["118 hp", "126 hp"], ["98 hp", "105 hp"]], speeds=["2500 rpm", "2700 rpm"]
)


@pytest.mark.parametrize(("height", "power"), [("0 ft", 150), ("5000 ft", 126), ("10000 ft", 105), ("7500 ft", 115.5)])
def test_rows_and_between(height: str, power: float) -> None:
    assert_quantity(TABLE.power(height), f"{power} hp", within="1e-9 %")
    assert_quantity(BY_SPEED.power(height, "2700 rpm"), f"{power} hp", within="1e-9 %")


def test_between_two_speeds() -> None:
    assert_quantity(BY_SPEED.power("5000 ft", "2600 rpm"), "122.0 hp")


def test_arrays() -> None:
    heights = Quantity(np.array([0.0, 2500.0, 10000.0]), "ft")
    assert TABLE.power(heights).m_as("hp") == pytest.approx([150, 138, 105])
    assert BY_SPEED.power(heights, "2700 rpm").m_as("hp") == pytest.approx([150, 138, 105])


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (
            lambda: TABLE.power("12000 ft"),
            r"density altitude must be from 0 .*ft to 10,000 ft, where the table ends",
        ),
        (lambda: TABLE.power("-100 ft"), "where the table ends"),
        (lambda: TABLE.power("100 ft", "2700 rpm"), "for one engine speed"),
        (lambda: BY_SPEED.power("100 ft"), "needs the engine speed"),
        (lambda: BY_SPEED.power("100 ft", "2900 rpm"), "engine speed must be from"),
        (lambda: PowerTable(["0 ft", "0 ft"], ["1 hp", "2 hp"]), "each above the one before"),
        (lambda: PowerTable(HEIGHTS, ["1 hp", "2 hp"]), "power needs 3 rows"),
        (lambda: PowerTable(HEIGHTS, ["1 hp", "2 ft", "3 hp"]), "power needs a power"),
        (lambda: PowerTable(HEIGHTS, ["1 hp", "0 hp", "3 hp"]), "above zero"),
        (lambda: PowerTable(HEIGHTS, ["3 hp", "2 hp", "1 hp"], by="height"), "by must be"),
        (lambda: engine_model("150 hp", table=BY_SPEED), "one engine speed"),
    ],
)
def test_errors_say_what_is_wrong(call: object, message: str) -> None:
    with pytest.raises(QuantityError, match=message):
        call()  # type: ignore[operator]
