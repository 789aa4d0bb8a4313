"""A value with its uncertainty, by origin: propagation with correlations kept, against a second library."""

import math
import statistics
from typing import Any

import numpy
import pytest
import uncertainties
import uncertainties.umath
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.judging.measured import (
    _STUDENT,
    STATED_AS,
    Measured,
    Origin,
    combined_by_uncertainty,
    coverage_factor,
    difference_si,
    largest_less_smallest,
    mean_of,
    measured,
    propagate,
)
from rotorkit.quantities import (
    Angle,
    Force,
    GaugePressure,
    Length,
    Mass,
    Pressure,
    Quantity,
    QuantityError,
    Ratio,
    Temperature,
    TemperatureDifference,
    assert_quantity,
    kind_of,
    read,
    say,
)

sizes = st.floats(0.001, 10)
values = st.floats(-1000, 1000)


class TestMaking:
    def test_from_text_a_quantity_or_a_reading(self) -> None:
        for given_as in ("48 ± 2 lb", read("48 ± 2 lb", Force)):
            one = measured(given_as, Force, "gauge")
            assert say(one) == "48.0 ± 2.0 lbf"
            assert_quantity(one.standard_uncertainty, "1.00000 lbf")
            assert_quantity(one.expanded, "2.00000 lbf")
        assert say(measured(Quantity(48, "lbf"), Force, "gauge", "2 lb")) == "48.0 ± 2.0 lbf"
        assert say(measured(0.6, Ratio, "humidity", 0.02)) == "0.600 ± 0.020"

    def test_what_was_typed_counts_before_the_instrument(self) -> None:
        assert_quantity(measured("48 ± 2 lb", Force, "gauge", uncertainty="5 lb").expanded, "2.00000 lbf")

    def test_an_uncertainty_in_per_cent_is_of_the_reading(self) -> None:
        assert_quantity(measured("50 lb", Force, "gauge", uncertainty="3 %").expanded, "1.50000 lbf")
        assert_quantity(measured("-50 lb", Force, "gauge", uncertainty="3 %").expanded, "1.50000 lbf")
        assert_quantity(measured("60 %", Ratio, "humidity", uncertainty="2 %").expanded, "0.020000")
        with pytest.raises(QuantityError, match="no meaning"):
            measured("85 °F", Temperature, "thermometer", uncertainty="3 %")

    def test_bounds_and_standard_uncertainties_are_stated_so(self) -> None:
        def standard(stated_as: str) -> float:
            return float(measured("5 deg", Angle, "x", "0.1 deg", stated_as=stated_as).standard_si) / math.radians(0.1)

        assert standard("expanded") == pytest.approx(1 / 2)
        assert standard("bounds") == pytest.approx(1 / math.sqrt(3))  # JCGM 100:2008, 4.3.7
        assert standard("standard") == pytest.approx(1)
        assert set(STATED_AS) == {"expanded", "bounds", "standard"}

    def test_the_uncertainty_of_a_temperature_is_a_difference(self) -> None:
        one = measured("85 ± 2 °F", Temperature, "thermometer")
        assert say(one) == "85.0 ± 2.0 °F"
        assert say(one.expanded) == "2.000 °F"
        assert say(measured("85 °F", Temperature, "thermometer", uncertainty="1 °C")) == "85.0 ± 1.8 °F"
        with pytest.raises(QuantityError):
            measured("85 °F", Temperature, "thermometer", uncertainty=Quantity(2, "degF"))

    @pytest.mark.parametrize(
        ("given_as", "kind"),
        [
            ("5 ft", Force), (read("5 ft", Length), Force), (Quantity(5, "ft"), Force), (5.0, Force), (None, Force),
            (Quantity(math.nan, "lbf"), Force), (Quantity(-5, "lb"), Mass), (math.nan, Ratio),
            (measured("5 ft", Length, "x"), Force), (measured("20 °F", TemperatureDifference, "x"), Temperature),
            (read("75 psi", GaugePressure), Pressure),
        ],
    )  # fmt: skip
    def test_what_is_not_of_the_kind_or_not_finite_is_refused(self, given_as: object, kind: object) -> None:
        with pytest.raises(QuantityError):
            measured(given_as, kind, "x")

    @pytest.mark.parametrize(
        "size", ["-1 lb", "1 ft", "nan lb", Quantity(math.inf, "lbf"), Quantity([1.0, 2.0], "lbf")]
    )
    def test_what_is_no_uncertainty_is_refused(self, size: object) -> None:
        with pytest.raises(QuantityError):
            measured("48 lb", Force, "gauge", uncertainty=size)

    def test_a_measured_comes_back_as_it_is(self) -> None:
        one = measured("48 ± 2 lb", Force, "gauge")
        assert measured(one, Force, "again", uncertainty="9 lb") is one

    def test_a_kind_is_needed(self) -> None:
        with pytest.raises(TypeError, match="needs a kind"):
            measured("48 lb", str, "x")
        with pytest.raises(TypeError, match="needs a kind"):
            Measured(1.0, str)


class TestArithmetic:
    @given(values, sizes, values, sizes, sizes)
    def test_sums_and_differences_keep_what_is_shared(
        self, a: float, ua: float, b: float, ub: float, us: float
    ) -> None:
        shared = {"zero": Quantity(2 * us, "newton")}
        first = measured(Quantity(a, "newton"), Force, "first", Quantity(2 * ua, "newton"), shared)
        second = measured(Quantity(b, "newton"), Force, "second", Quantity(2 * ub, "newton"), shared)
        zero = uncertainties.ufloat(0, us)
        u_first, u_second = uncertainties.ufloat(a, ua) + zero, uncertainties.ufloat(b, ub) + zero
        for ours, theirs in (
            (first + second, u_first + u_second),
            (first - second, u_first - u_second),
            (3 * first - second / 2, 3 * u_first - u_second / 2),
            (-first + second * 0.1, -u_first + u_second * 0.1),
            (first - first, u_first - u_first),
        ):
            assert ours.si == pytest.approx(theirs.nominal_value, abs=1e-9)
            assert ours.standard_si == pytest.approx(theirs.std_dev, rel=1e-9, abs=1e-12)

    def test_a_shared_error_cancels_in_a_difference_and_adds_in_a_sum(self) -> None:
        first, second = (measured(text, Angle, text, shared={"zero": "0.2 deg"}) for text in ("9 deg", "8 deg"))
        assert float((first - second).expanded_si) == 0
        assert float((first + second).expanded_si) == pytest.approx(math.radians(0.4))

    def test_temperatures(self) -> None:
        warm, cold = (measured(text, Temperature, text) for text in ("85 ± 2 °F", "40 ± 2 °F"))
        rise = warm - cold
        assert rise.kind is kind_of(TemperatureDifference)
        assert say(rise) == "45.0 ± 2.8 °F"
        assert say(cold + rise) == "85.0 ± 2.0 °F"
        assert say(rise + cold) == "85.0 ± 2.0 °F"
        assert say(warm - rise) == "40.0 ± 2.0 °F"
        for wrong in (lambda: warm + cold, lambda: 2 * warm, lambda: -warm, lambda: rise - warm, lambda: warm / 2):
            with pytest.raises(QuantityError):
                wrong()

    def test_kinds_do_not_mix(self) -> None:
        force, length = measured("48 lb", Force, "x"), measured("5 ft", Length, "y")
        for wrong in (lambda: force + length, lambda: force - length, lambda: force + 1.0, lambda: force - "5 lb"):
            with pytest.raises(QuantityError, match="cannot"):
                wrong()
        for wrong in (lambda: force * force, lambda: force * True, lambda: force / "2"):
            with pytest.raises(TypeError):
                wrong()

    def test_arrays(self) -> None:
        many = Measured(numpy.array([1.0, 2.0]), Force, {Origin("gauge"): numpy.array([0.1, 0.3])})
        assert (many + many).standard_si.tolist() == pytest.approx([0.2, 0.6])
        assert "array" in repr(many)
        with pytest.raises(QuantityError, match="single value"):
            many.budget()


class TestBudget:
    def test_tells_what_each_origin_gives_largest_first(self) -> None:
        total = measured("10 ± 3 N", Force, "first") + measured("10 N", Force, "second", shared={"zero": "4 N"})
        rows = total.budget()
        assert [row.label for row in rows] == ["zero", "first"]
        assert_quantity(rows[0].contribution, "2.00000 N")
        assert [row.share for row in rows] == pytest.approx([16 / 25, 9 / 25])

    def test_an_exact_figure_has_none(self) -> None:
        assert measured("10 N", Force, "first").budget() == []
        assert measured("10 ± 0 N", Force, "first").budget() == []
        assert float(measured("10 N", Force, "first").expanded_si) == 0


class TestMeanAndSpread:
    @given(st.lists(values, min_size=1, max_size=6), sizes)
    def test_readings_that_agree_average_out(self, numbers: list[float], size: float) -> None:
        middle = numbers[0]
        readings = [
            measured(Quantity(middle + size * 0.01 * i, "newton"), Force, f"{i}", Quantity(2 * size, "newton"))
            for i in range(len(numbers))
        ]
        mean = mean_of(readings)
        assert mean.si == pytest.approx(statistics.mean(float(r.si) for r in readings), rel=1e-9, abs=1e-9)
        assert mean.standard_si == pytest.approx(size / math.sqrt(len(numbers)), rel=1e-9)

    def test_readings_that_do_not_are_widened_as_few_readings_must_be(self) -> None:
        readings = [measured(text, Angle, text, uncertainty="0.01 deg") for text in ("10 deg", "10.4 deg", "10.8 deg")]
        mean = mean_of(readings)
        s = math.radians(0.4)
        assert float(mean.expanded_si) == pytest.approx(coverage_factor(2) * s / math.sqrt(3))
        assert [row.label for row in mean.budget()] == ["scatter of repeats"]

    def test_two_readings_that_do_not_agree_are_known_to_half_their_difference(self) -> None:
        mean = mean_of([measured(text, Angle, text, uncertainty="0.01 deg") for text in ("10 deg", "11 deg")])
        assert float(mean.standard_si) == pytest.approx(math.radians(0.5))

    def test_what_all_share_stays(self) -> None:
        readings = [measured(text, Angle, text, shared={"zero": "0.2 deg"}) for text in ("10 deg", "10 deg", "10 deg")]
        assert float(mean_of(readings).expanded_si) == pytest.approx(math.radians(0.2))
        assert float(largest_less_smallest(readings).expanded_si) == 0

    def test_temperatures_have_a_mean_and_their_spread_is_a_difference(self) -> None:
        readings = [measured(text, Temperature, text) for text in ("40 ± 1 °F", "40.5 ± 1 °F")]
        assert say(mean_of(readings)) == "40.25 ± 0.71 °F"
        assert say(largest_less_smallest(readings)) == "0.5 ± 1.4 °F"

    def test_scatter_takes_nothing_from_what_the_readings_share(self) -> None:
        """A reference read once, good to 0.4 deg, stands in all of them: no repeats tell anything of it."""
        reference = measured("1 ± 0.4 deg", Angle, "reference")
        readings = [measured(text, Angle, text) - reference for text in ("9.0 ± 0.01 deg", "9.2 ± 0.01 deg")]
        mean = mean_of(readings)  # half the difference of the two is 0.1 deg, told as 0.2
        assert float(mean.expanded_si) == pytest.approx(math.radians(math.hypot(0.4, 0.2)), rel=1e-9)

    def test_the_spread_is_largest_less_smallest(self) -> None:
        readings = [measured(text, Angle, text) for text in ("9.2 deg", "8.9 deg", "9.0 deg")]
        assert_quantity(largest_less_smallest(readings).value, "0.30000 deg")

    def test_what_has_no_mean_or_spread_is_told(self) -> None:
        one = measured("9 deg", Angle, "x")
        for wrong in (lambda: mean_of([]), lambda: largest_less_smallest([one])):
            with pytest.raises(QuantityError, match="at least"):
                wrong()
        with pytest.raises(QuantityError, match="one kind"):
            mean_of([one, measured("9 ft", Length, "y")])
        with pytest.raises(QuantityError, match="one kind"):
            mean_of([one, Quantity(9, "deg")])  # type: ignore[list-item]

    def test_coverage_needs_a_degree_of_freedom(self) -> None:
        with pytest.raises(QuantityError, match="another reading"):
            coverage_factor(0)


class TestPropagation:
    @given(st.floats(0.5, 5), st.floats(0.5, 5), st.floats(1e-6, 1e-3), st.floats(1e-6, 1e-3))
    def test_through_an_ordinary_function_as_the_second_library_says(
        self, a: float, b: float, ua: float, ub: float
    ) -> None:
        first, second = (Measured(v, Ratio, {Origin(name): u}) for v, name, u in ((a, "a", ua), (b, "b", ub)))
        ours = propagate(lambda x, y: x**2 * math.sin(y) / (x + y), Ratio, [first, second])
        x, y = uncertainties.ufloat(a, ua), uncertainties.ufloat(b, ub)
        theirs = x**2 * uncertainties.umath.sin(y) / (x + y)
        assert ours.si == pytest.approx(theirs.nominal_value)
        assert ours.standard_si == pytest.approx(theirs.std_dev, rel=1e-4, abs=1e-9)

    def test_what_is_exact_is_not_moved(self) -> None:
        """At the very end of a function, exact, there is nothing to find beside it."""
        asked = []

        def root(x: float, y: float) -> float:
            asked.append((x, y))
            return math.sqrt(1 - x) + y

        found = propagate(root, Ratio, [Measured(1.0, Ratio, {}), Measured(3.0, Ratio, {Origin("y"): 0.5})])
        assert asked == [(1.0, 3.0), (1.0, 2.5), (1.0, 3.5)]
        assert (found.si, found.components) == (3.0, {Origin("y"): 0.5})

    def test_all_in_one_call_as_one_by_one_also_where_the_function_ends(self) -> None:
        """The root of 1 - x + y ends at x = 1: of two sides one is left, and of none the figure is refused."""
        x, y = Measured(0.95, Ratio, {Origin("x"): 0.1}), Measured(0.0, Ratio, {Origin("y"): 0.01})

        def root(x: float, y: float) -> float:
            return math.sqrt(1 - x + y)

        def roots(x: Any, y: Any) -> Any:
            with numpy.errstate(invalid="ignore"):
                return numpy.sqrt(1 - x + y)

        one, many = propagate(root, Ratio, [x, y]), propagate(root, Ratio, [x, y], many=roots)
        assert many.si == pytest.approx(one.si, rel=1e-14)
        assert list(many.components.values()) == pytest.approx(list(one.components.values()), rel=1e-12)
        assert one.components[Origin("x")] == pytest.approx(math.sqrt(0.05) - math.sqrt(0.15), rel=1e-12)
        with pytest.raises(ValueError, match="math domain"):
            propagate(root, Ratio, [Measured(1.5, Ratio, {Origin("x"): 0.1}), y], many=roots)


def test_the_size_of_an_uncertainty() -> None:
    angle, temperature, force = (kind_of(kind) for kind in (Angle, Temperature, Force))
    assert angle is not None
    assert temperature is not None
    assert force is not None
    assert difference_si("0.1 deg", angle) == pytest.approx(math.radians(0.1))
    assert difference_si("1.8 °F", temperature) == pytest.approx(1.0)
    assert difference_si(Quantity(2, "newton"), force) == 2
    assert difference_si("5 %", force, of=-100.0) == pytest.approx(5)


def test_the_factor_for_few_readings_is_scipys() -> None:
    from scipy.special import ndtr, stdtrit

    assert len(_STUDENT) == 30
    for degrees in range(1, 33):
        assert coverage_factor(degrees) == stdtrit(degrees, ndtr(2.0))


def test_an_error_in_common_hides_no_scatter() -> None:
    """799 and 801 lb: u = 1.5 in common, 0.5 for itself each: half way; its own part 0.5/root 2, its scatter 1 instead.
    Apart from each other, with 0.5 and 1.5 together each, the scatter is less than 1.581/root 2, which stands."""
    shared, apart = (
        [
            measured(f"{m} lb", Mass, f"weighing {m}", "1 lb", {f"scales{of}": "3 lb"})
            for m, of in zip((799, 801), names, strict=True)
        ]
        for names in (("", ""), ("", " of the club"))
    )
    whole = combined_by_uncertainty(shared)
    assert_quantity(whole.value, "800.0 lb")
    assert float(whole.standard_uncertainty.m_as("lb")) == pytest.approx(math.hypot(1.5, 1.0))
    other = combined_by_uncertainty(apart)
    assert float(other.standard_uncertainty.m_as("lb")) == pytest.approx(math.sqrt((1.5**2 + 0.5**2) / 2))
