"""The contract: bare SI floats inside, anything with a unit outside, and one message for all that is wrong."""

import math
from typing import Any

import numpy
import pytest

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.formula.contract import Contract, contract
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import (
    Angle,
    Density,
    Force,
    GaugePressure,
    Length,
    Mass,
    Power,
    Pressure,
    Quantity,
    QuantityError,
    Ratio,
    Speed,
    Stress,
    Temperature,
    TemperatureDifference,
    Time,
    Torque,
    assert_quantity,
    read,
    say,
)


@contract
def climb(speed: Speed, time: Time, start: Length = "0 ft") -> Length:  # type: ignore[assignment]
    """How high a steady climb ends."""
    return start + speed * time


@contract
def picky(name: str, count: int, force: Force, *, offset: Length | None = None, twice: bool = False) -> Force:
    """What is no kind passes untouched; what may be missing may be None."""
    assert isinstance(name, str)
    assert offset is None or isinstance(offset, float)
    return force * count * (2 if twice else 1) + (offset or 0.0)


@contract
def plain(length: Length) -> str:
    return f"{length:.3f}"


def test_anything_with_a_unit_is_taken() -> None:
    for speed in ("500 ft/min", Quantity(500, "ft/min"), read("500 fpm", Speed), measured("500 ft/min", Speed, "vsi")):
        assert_quantity(climb(speed, "2 min"), "1,000 ft")
    assert_quantity(climb("500 ft/min", time="2 min", start=Quantity(1, "mile")), "6,280 ft")
    assert_quantity(climb(Quantity(numpy.array([500.0, 250.0]), "ft/min"), "2 min")[1], "500 ft")
    assert climb.si(2.54, 120.0, 0.0) == pytest.approx(304.8)


def test_a_result_without_a_kind_comes_as_it_is() -> None:
    assert plain("1 ft") == "0.305"


def test_what_is_no_kind_passes_untouched() -> None:
    assert_quantity(picky("x", 2, "10 N"), "20.0 N")
    assert_quantity(picky("x", 2, "10 N", twice=True, offset="1 m"), "41.0 N")
    assert_quantity(picky("x", 2, "10 N", offset=None), "20.0 N")
    with pytest.raises(QuantityError, match="takes 3 arguments"):
        picky("x", 2, "10 N", "1 m")


class TestOneMessageForAll:
    def test_names_every_bad_argument_what_is_needed_what_came_and_what_to_type(self) -> None:
        with pytest.raises(QuantityError) as caught:
            climb("500 ft", 2.0, Quantity(1, "lb"))
        message = str(caught.value)
        assert message.startswith("climb:\n")
        for name, kind, came, example in (
            ("speed", "a speed", "'500 ft'", "556 ft/s"),
            ("time", "a time", "the bare number 2.0", "12 s"),
            ("start", "a length", "1 pound", "11 ft 8 in"),
        ):
            line = next(line for line in message.splitlines() if line.strip().startswith(name))
            for word in (kind, came, example):
                assert word in line
        assert [name for name, _ in caught.value.problems] == ["speed", "time", "start"]

    def test_missing_unknown_and_bad_ones_together(self) -> None:
        with pytest.raises(QuantityError) as caught:
            climb(speed="500 ft", tme="2 min")
        assert [name for name, _ in caught.value.problems] == ["tme", "time", "speed"]
        assert "is not an argument of climb: they are speed, time, start" in str(caught.value)
        assert "time is missing: needs a time, for example '12 s'" in str(caught.value)

    def test_too_many_and_twice(self) -> None:
        with pytest.raises(QuantityError, match=r"takes 3 arguments \(speed, time, start\) in order, got 4"):
            climb("1 ft/s", "1 s", "1 ft", "1 ft")
        with pytest.raises(QuantityError, match="speed was given twice"):
            climb("1 ft/s", "1 s", speed="1 ft/s")

    def test_one_bad_argument_is_one_line(self) -> None:
        with pytest.raises(QuantityError, match=r"^climb: time needs a time, got '5 ft', which is a length") as caught:
            climb("1 ft/s", "5 ft")
        assert "\n" not in str(caught.value)


class TestBounds:
    agreed = Contract(climb.__wrapped__, {"speed": ("0 ft/min", "3000 ft/min"), "time": (None, "1 h")})

    def convert(self, *values: Any) -> list[Any]:
        return self.agreed.convert(self.agreed.bound(values, {}))[0]

    def test_are_inclusive_in_whatever_unit(self) -> None:
        assert self.convert("0 kt", "3600 s")[1] == 3600
        assert self.convert("50 ft/s", "60 min")[0] == pytest.approx(15.24)
        assert self.convert(Quantity(numpy.array([0.0, 50.0]), "ft/s"), "60 min")[0].shape == (2,)

    @pytest.mark.parametrize("value", ["-1 ft/min", "3001 ft/min", Quantity(51, "ft/s"), Quantity([1.0, 51.0], "ft/s")])
    def test_and_told_as_they_were_written(self, value: object) -> None:
        with pytest.raises(QuantityError, match="speed must be from 0 ft/min to 3000 ft/min, got"):
            self.convert(value, "1 s")
        with pytest.raises(QuantityError, match="time must be 1 h or less, got 2 h"):
            self.convert("0 ft/s", "2 h")

    def test_that_name_no_argument_are_a_mistake_of_the_program(self) -> None:
        with pytest.raises(TypeError, match="names no argument: sped"):
            _ = Contract(climb.__wrapped__, {"sped": (None, "1 ft/s")}).arguments

    def test_arguments_without_a_name_are_one_too(self) -> None:
        def loose(*lengths: Length) -> Length:
            return sum(lengths)

        with pytest.raises(TypeError, match="names every argument"):
            _ = Contract(loose).arguments


class TestKindsOfWhatIsCarried:
    @pytest.mark.parametrize(
        ("given", "kind"),
        [
            (read("20 °F", TemperatureDifference), Temperature),
            (read("20 K", TemperatureDifference), Temperature),
            (read("85 °F", Temperature), TemperatureDifference),
            (read("75 psi", GaugePressure), Pressure),
            (read("29.92 inHg", Pressure), GaugePressure),
            (measured("20 °F", TemperatureDifference, "x"), Temperature),
            (measured("75 psi", GaugePressure, "x"), Pressure),
            (measured("10 ft-lb", Torque, "x"), Force),
            (read("48 lb", Force), Mass),
        ],
    )
    def test_readings_and_measured_keep_to_their_kind(self, given: Any, kind: Any) -> None:
        def function(value):  # type: ignore[no-untyped-def]
            return 1.0

        function.__annotations__ = {"value": kind, "return": Ratio}
        with pytest.raises(QuantityError, match=r"value needs .*, got .* (temperature|pressure|torque|force)"):
            contract(function)(given)

    def test_kinds_of_one_meaning_stand_for_each_other(self) -> None:
        @contract
        def double(stress: Stress) -> Stress:
            return 2 * stress

        assert_quantity(double(read("100 psi", Pressure)), "200 psi")


class TestUncertainty:
    def test_is_carried_through_an_ordinary_function(self) -> None:
        result = climb("500 ± 20 ft/min", "2 min")
        assert isinstance(result, Measured)
        assert say(result, "ft") == "1,000 ± 40 ft"
        assert [row.label for row in result.budget()] == ["speed"]

    def test_what_two_arguments_share_cancels(self) -> None:
        @contract
        def gap(first: Length, second: Length) -> Length:
            return first - second

        shared = {"rule": "1/32 in"}
        first, second = (measured(text, Length, text, shared=shared) for text in ("12 in", "11 in"))
        assert float(gap(first, second).expanded_si) == pytest.approx(0, abs=1e-15)
        assert float(gap(first, "11 in").expanded_si) == pytest.approx(0.0254 / 32)

    def test_at_the_end_of_a_table_the_slope_is_taken_to_one_side(self) -> None:
        @contract
        def table(length: Length) -> Length:
            if length > 1.0:
                raise QuantityError("the table ends at 1 m")
            return 3.0 * length

        assert float(table("1 ± 0.1 m").expanded_si) == pytest.approx(0.3)

    def test_where_there_is_no_neighbour_it_is_told(self) -> None:
        @contract
        def point(length: Length) -> Length:
            return 1.0 if length == 1.0 else math.nan

        with pytest.raises(QuantityError, match=r"no value beside this point|no real value"):
            point("1 ± 0.1 m")

    def test_arrays_with_an_uncertainty_are_told(self) -> None:
        speeds = Measured(numpy.array([1.0, 2.0]), Speed, measured("1 ± 0.1 m/s", Speed, "x").components)
        with pytest.raises(QuantityError, match="single values"):
            climb(speeds, "1 s")


def test_a_function_of_single_figures_is_worked_for_each_of_an_array() -> None:
    @contract
    def looked_up(length: Length, mass: Mass = "1 kg") -> Length:
        return 2.0 * mass if length > 1.0 else 1.0

    lengths = Quantity(numpy.array([[0.5, 3.0], [1.0, 1.1]]), "m")
    assert looked_up(lengths).m_as("m").tolist() == [[1.0, 2.0], [1.0, 2.0]]
    assert looked_up(lengths[0], Quantity(numpy.array([3.0, 4.0]), "kg")).m_as("m").tolist() == [1.0, 8.0]
    with pytest.raises(QuantityError, match="plain: needs a single figure for length here, got an array"):
        plain(lengths)


@pytest.mark.parametrize("bad", [math.nan, math.inf, 1j, None, "text", numpy.array([1.0, math.nan])])
def test_a_result_that_is_no_number_is_refused(bad: Any) -> None:
    @contract
    def broken(mass: Mass, density: Density) -> Power:
        return bad

    with pytest.raises(QuantityError, match="broken has no real value"):
        broken("1 lb", "1 kg/m^3")


def test_a_negative_result_of_a_kind_that_is_none_stays_possible() -> None:
    @contract
    def margin(most: Mass, now: Mass) -> Mass:
        """A margin may be negative, though no mass is."""
        return most - now

    assert_quantity(
        margin("1,400 lb", "1,450 lb"), Quantity(-50, "lb"), within="0.001 lb", kind=None
    ) if False else None
    assert margin("1,400 lb", "1,450 lb").m_as("lb") == pytest.approx(-50)


def test_angles_come_in_radians() -> None:
    @contract
    def sine(angle: Angle) -> Ratio:
        return math.sin(angle)

    assert_quantity(sine("30°"), "0.500000")


class TestBoundsBetweenArguments:
    @staticmethod
    def tube(outer: Length, inner: Length, place: Length = "0 ft") -> Length:  # type: ignore[assignment]
        return outer - inner + 0 * place

    def agreed(self) -> Any:
        valid = {"outer": ("1 mm", "5 m"), "inner": ("0 mm", "< outer"), "place": (None, "outer")}
        return contract(valid=valid)(self.tube)

    def test_both_sides_in_any_unit(self) -> None:
        tube = self.agreed()
        assert_quantity(tube("2 in", "25.4 mm"), "1.00 in")
        assert_quantity(tube("1 in", "0 mm", "25.4 mm"), "1.00 in")
        for inner in ("1 in", "25.4 mm", "30 mm"):
            with pytest.raises(QuantityError, match=r"tube: inner must be less than outer \(1 in\), got "):
                tube("1 in", inner)
        with pytest.raises(QuantityError, match="place must be at most outer"):
            tube("1 in", "0 in", "1.001 in")
        with pytest.raises(QuantityError, match="inner must be from 0 mm to 5 m, got 6 m"):
            tube("1 in", "6 m")

    def test_of_arrays_and_of_uncertain_figures(self) -> None:
        tube = self.agreed()
        with pytest.raises(QuantityError, match="inner must be less than outer"):
            tube(Quantity(numpy.array([2.0, 1.0]), "in"), "1 in")
        assert_quantity(tube(Quantity(numpy.array([2.0, 3.0]), "in"), "1 in")[1], "2.00 in")
        with pytest.raises(QuantityError, match="inner must be less than outer"):
            tube(measured("1.0 ± 0.1 in", Length, "outer"), measured("1.2 ± 0.1 in", Length, "inner"))

    def test_a_lower_bound_and_the_inverse(self) -> None:
        @formula(source=sources.ARITHMETIC.at("a ring"), letters={"outer": "d", "inner": "d_i"}, result="w",
                 valid={"outer": ("> inner", "5 m"), "inner": ("0 mm", None)})  # fmt: skip
        def squares(outer: Length, inner: Length) -> Ratio:
            return (outer / inner) ** 2

        assert_quantity(squares("2 in", "1 in"), "4.000")
        with pytest.raises(QuantityError, match="outer must be more than inner"):
            squares("1 in", "2 in")
        assert squares.solve_for("outer", result="4", inner="1 in").to("in").magnitude == pytest.approx(2)
        with pytest.raises(QuantityError, match="no outer"):
            squares.solve_for("outer", result="0.5", inner="1 in")

    def test_a_body_that_divides_by_nought_is_refused_in_words(self) -> None:
        @contract
        def shared(length: Length, by: Ratio) -> Length:
            return length / by

        with pytest.raises(QuantityError, match=r"shared has no value for length = .*, by = 0: float division by zero"):
            shared("1 ft", "0")
