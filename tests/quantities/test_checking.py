"""`assert_quantity`: to the digits printed, within what is allowed, and never between kinds."""

import math

import numpy
import pytest

from rotorkit.judging.measured import measured
from rotorkit.quantities import (
    Force,
    GaugePressure,
    Quantity,
    QuantityError,
    Ratio,
    Temperature,
    Torque,
    assert_quantity,
    read,
)


@pytest.mark.parametrize(
    ("actual", "expected"),
    [
        (Quantity(24.49394, "ft/s"), "24.4939 ft/s"),
        (Quantity(24.49385, "ft/s"), "24.4939 ft/s"),
        (Quantity(1650.4, "lbf"), "1,650 lbf"),
        (Quantity(0.3126, "in"), "5/16 in"),
        (Quantity(0.6, ""), "60 %"),
        (Quantity(288.15, "kelvin"), "59.0 °F"),
        (Quantity(numpy.array([1.0, 1.04]), "ft"), "1.0 ft"),
        (measured("48 ± 2 lb", Force, "gauge"), "48 lbf"),
        (read("48 lb", Force), "213.51 N"),
    ],
)
def test_agrees_to_the_digits_printed(actual: object, expected: str) -> None:
    assert_quantity(actual, expected)


@pytest.mark.parametrize(
    ("actual", "expected"),
    [
        (Quantity(24.49396, "ft/s"), "24.4939 ft/s"),
        (Quantity(24.49384, "ft/s"), "24.4939 ft/s"),
        (Quantity(math.nan, "ft"), "1 ft"),
        (Quantity(math.inf, "ft"), "1 ft"),
        (Quantity(numpy.array([1.0, 1.06]), "ft"), "1.0 ft"),
        (Quantity(-48, "lbf"), "48 lbf"),
    ],
)
def test_differs(actual: object, expected: str) -> None:
    with pytest.raises(AssertionError, match="expected"):
        assert_quantity(actual, expected)


def test_within() -> None:
    assert_quantity(Quantity(100.4, "ft"), "100.000 ft", within="0.5 %")
    assert_quantity(Quantity(101, "ft"), Quantity(100, "ft"), within="1 ft")
    assert_quantity(Quantity(100, "ft"), "100 ft", within="1 1/2 in")
    assert_quantity(Quantity(80.5, "degF"), "80 °F", within="0.5 °F", kind=Temperature)
    assert_quantity(Quantity(0.501, ""), "0.5", within="0.002")
    for within in ("0.3 %", "0.3 ft"):
        with pytest.raises(AssertionError):
            assert_quantity(Quantity(100.4, "ft"), "100 ft", within=within)
    with pytest.raises(AssertionError):
        assert_quantity(Quantity(81, "degF"), "80 °F", within="0.5 °F")


def test_kinds_do_not_mix() -> None:
    for actual, expected in (
        (Quantity(5, "ft"), "5 lb"),
        (Quantity(5, "N*m"), "5 J"),
        (Quantity(5, "Hz"), "5 rad/s"),
        (Quantity(0.1, ""), "0.1 rad"),
    ):
        with pytest.raises(QuantityError):
            assert_quantity(actual, expected)
    with pytest.raises(QuantityError):
        assert_quantity(Quantity(5, "J"), "5 N*m", kind=Torque)


def test_needs_a_quantity_and_a_tolerance() -> None:
    for bare in (5.0, numpy.array([1.0]), None, "5 ft"):
        with pytest.raises(QuantityError, match="needs a quantity"):
            assert_quantity(bare, "5 ft")
    with pytest.raises(QuantityError, match="within"):
        assert_quantity(Quantity(5, "ft"), Quantity(5, "ft"))
    with pytest.raises(QuantityError, match="no kind"):
        assert_quantity(Quantity(5, "ampere"), Quantity(5, "ampere"), within="1 %")


def test_the_message_tells_all() -> None:
    with pytest.raises(AssertionError, match=r"got 0.5  ?\(ratio\)|off by 0.1") as caught:
        assert_quantity(Quantity(0.5, ""), "0.40", kind=Ratio)
    for word in ("0.5", "0.4", "off by 0.1", "25.000%", "0.005"):
        assert word in str(caught.value)
    assert_quantity(read("75 psi", GaugePressure), "75 psi")
