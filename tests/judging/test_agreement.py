"""A person's own hand figure: judged by the digits written, never by a fixed per cent."""

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from rotorkit.judging.agreement import AGREES, DIFFERS, DIFFERS_LITTLE, compare_by_hand
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import Angle, Force, Length, QuantityError, Ratio, Speed, Temperature, display, use_display
from rotorkit.rotor import tip_speed

TIP_SPEED = Measured(654.4985 * 0.3048, Speed)


@pytest.mark.parametrize(
    ("typed", "word"),
    [
        ("654.5 ft/s", AGREES),
        ("654.50 ft/s", AGREES),
        ("654.498 ft/s", AGREES),
        ("654.499 ft/s", AGREES),  # 654.4985 lies half-way
        ("654.497 ft/s", DIFFERS),
        ("654.4 ft/s", DIFFERS),
        ("654 ft/s", AGREES),
        ("655 ft/s", DIFFERS),  # wrong in the last place that was written
        ("650 ft/s", DIFFERS),
        ("199.49 m/s", AGREES),
        ("446.2 mph", AGREES),
    ],
)
def test_by_the_digits_written(typed: str, word: str) -> None:
    assert compare_by_hand(typed, TIP_SPEED).word == word


@pytest.mark.parametrize(
    ("typed", "word"), [("35 1/2 deg", AGREES), ("35 1/4 deg", DIFFERS), ("35° 30'", AGREES), ("35° 28'", DIFFERS)]
)
def test_a_fraction_claims_half_of_its_part(typed: str, word: str) -> None:
    """35.5 deg: 35 1/2 is right; 35 1/4 claims an eighth and is a quarter off."""
    assert compare_by_hand(typed, Measured(math.radians(35.5), Angle)).word == word


def test_a_quantity_will_do_and_a_bare_number_will_not() -> None:
    assert compare_by_hand("654.5 ft/s", tip_speed("500 rpm", "12.5 ft")).word == AGREES
    with pytest.raises(QuantityError, match="a measured value or a quantity, got 199"):
        compare_by_hand("654.5 ft/s", 199.49)


def test_more_than_the_digits_less_than_the_readings() -> None:
    tension = measured("48.6 ± 2 lb", Force, "gauge")
    found = compare_by_hand("47.2 lb", tension)
    assert found.word == DIFFERS_LITTLE
    assert not found.good, "worked from the same readings it should come to the same"
    assert "less than the ± that the readings give it" in found.sentence
    assert "rounding along the way" in found.hint
    assert compare_by_hand("46.5 lb", tension).word == DIFFERS


@pytest.mark.parametrize(
    ("typed", "word"),
    [
        ("48.649 lb", AGREES),  # said as 48.6 ± 2.0, so half a tenth
        ("48.651 lb", DIFFERS_LITTLE),
        ("48.551 lb", AGREES),
        ("48.549 lb", DIFFERS_LITTLE),
        ("48.5 lb", DIFFERS_LITTLE),  # wrong in the last place that was written
        ("50.59 lb", DIFFERS_LITTLE),
        ("50.61 lb", DIFFERS),
        ("49 lb", AGREES),
        ("216.4 N", AGREES),  # 216.18 ± 8.9 N: in pounds half a tenth is 0.22 N
        ("216.5 N", DIFFERS_LITTLE),
    ],
)
def test_more_digits_than_the_figure_is_said_to_are_held_against_those_it_is_said_to(typed: str, word: str) -> None:
    assert compare_by_hand(typed, measured("48.6 ± 2 lb", Force, "gauge")).word == word


def test_a_bare_number_takes_the_unit_given_and_else_is_refused() -> None:
    assert compare_by_hand("654.5", TIP_SPEED, "ft/s").word == AGREES
    with pytest.raises(QuantityError):
        compare_by_hand("654.5", TIP_SPEED)
    with pytest.raises(QuantityError):
        compare_by_hand("about 650", TIP_SPEED, "ft/s")
    with pytest.raises(QuantityError):
        compare_by_hand("654.5 rpm", TIP_SPEED)


def test_a_temperature_is_compared_as_a_temperature() -> None:
    slack = Measured(273.15 - 56, Temperature)
    assert compare_by_hand("-69 °F", slack).word == AGREES  # -68.8 °F
    assert compare_by_hand("-56 °C", slack).word == AGREES
    off = compare_by_hand("-60 °F", slack)
    assert off.word == DIFFERS
    assert "8.8 °F" in off.sentence, "the difference is told in degrees, not as a temperature"


def test_the_difference_is_told_in_the_display_system() -> None:
    try:
        use_display("metric")
        assert "m/s" in compare_by_hand("600 ft/s", TIP_SPEED).sentence
    finally:
        use_display("us")
    assert "54 ft/s" in compare_by_hand("600 ft/s", TIP_SPEED).sentence


@example(value=1.03125, digits=4, off=-0.25)
@given(value=st.floats(1e-3, 1e6), digits=st.integers(2, 8), off=st.floats(-0.49, 0.49))
def test_what_is_rounded_rightly_agrees_however_many_digits(value: float, digits: int, off: float) -> None:
    """The figure rounded to any number of places agrees, and one whole unit further in the last place does not."""
    places = digits - 1 - math.floor(math.log10(value))
    assert (
        compare_by_hand(f"{round(value, places):.{max(places, 0)}f} ft/s", Measured(value * 0.3048, Speed)).good
        or places < 0
    )
    if places >= 0:
        wrong = round(value, places) + 10.0**-places * (1 if off >= 0 else -1)
        assert compare_by_hand(f"{wrong:.{places}f} ft/s", Measured(value * 0.3048, Speed)).word == DIFFERS or (
            abs(wrong - value) <= 0.5 * 10.0**-places * (1 + 1e-6)
        )


def test_a_thousands_comma_of_a_temperature_is_no_decimal_one() -> None:
    """1428 °F is 5/9 * (1428 + 459.67) = 1048.71 K; 1.428 °F is 256.2 K, which nobody could mean."""
    hot = Measured(1048.705556, Temperature)
    assert compare_by_hand("1,428", hot, "°F").word == AGREES
    assert compare_by_hand("1,438", hot, "°F").word == DIFFERS
    assert compare_by_hand("59.123 °F", Measured(288.2183333, Temperature)).word == AGREES


def test_the_figure_is_said_in_the_unit_that_a_bare_number_takes() -> None:
    """60 % is 8 % from 52 %, and not 0.08 from 0.52."""
    with display("us"):
        said = compare_by_hand("60", Measured(0.52, Ratio), "%").sentence
        assert said == "60 % is 8.0 % from 52.00 %", said
        assert compare_by_hand("2 in", Measured(3 * 0.0254, Length), "in").sentence == "2 in is 1.0 in from 3.000 in"
