"""A formula as a function: scalars, arrays, what is carried, what is refused."""

import math
import threading
from concurrent.futures import ThreadPoolExecutor

import numpy
import pytest

from rotorkit.formula import formula, nomenclature, sqrt
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import (
    Area,
    Constant,
    Density,
    Force,
    Length,
    Power,
    Quantity,
    QuantityError,
    Ratio,
    assert_quantity,
    read,
    say,
)
from tests.formula.relations import (
    SOURCE,
    altitude,
    barometric,
    difference,
    everything,
    hover,
    moment,
    rise,
    there_and_back,
    warmed,
    with_both_letters,
)

AIR, DISK = "1.225 kg/m^3", "531 ft^2"
SI = (1650 * 4.4482216152605, 1.225, 531 * 0.3048**2)


def by_hand(thrust, density, area):  # type: ignore[no-untyped-def]
    return thrust * numpy.sqrt(thrust / (2 * density * area))


class TestValues:
    def test_from_text_quantities_readings_and_bare_si(self) -> None:
        expected = by_hand(*SI)
        for thrust in ("1,650 lb", Quantity(1650, "lbf"), read("1650 lb", Force), Quantity(SI[0], "N")):
            assert hover(thrust, AIR, DISK).m_as("W") == pytest.approx(expected, rel=1e-8)
        assert hover(area=DISK, thrust="1,650 lb", density=AIR).m_as("W") == pytest.approx(expected, rel=1e-8)
        assert hover.si(*SI) == pytest.approx(expected, rel=1e-15)
        assert hover.si(SI[0], area=SI[2], density=SI[1]) == pytest.approx(expected, rel=1e-15)
        assert type(hover.si(*SI)) is float

    def test_the_result_is_in_coherent_si_units_and_knows_its_kind(self) -> None:
        assert hover("1,650 lb", AIR, DISK).units == Quantity(1, "watt").units
        assert say(hover("1,650 lb", AIR, DISK)) == "76.70 hp"
        assert say(rise("85 °F", "40 °F")) == "45.00 °F"
        assert say(warmed("40 °F", rise("85 °F", "40 °F"))) == "85.00 °F"
        assert say(moment("10 lb", "1 ft")) == "10.00 lbf·ft"

    def test_no_thrust_needs_no_power(self) -> None:
        assert hover("0 lb", AIR, DISK).magnitude == 0

    def test_another_formula_in_the_body_is_put_in(self) -> None:
        assert there_and_back("1000 ft").m_as("ft") == pytest.approx(
            altitude(barometric("1000 ft")).m_as("ft"), rel=1e-12
        )
        assert {constant.letter for _, constant in there_and_back.traced.constants.values()} == {"p_0", "H"}

    def test_two_constants_of_one_letter_stay_two(self) -> None:
        assert with_both_letters("10 m").m_as("m/s") == pytest.approx(2.0)
        assert sorted(float(constant) for _, constant in with_both_letters.traced.constants.values()) == [2.0, 5.0]

    def test_a_constant_of_an_enclosing_function_is_one_too(self) -> None:
        local = Constant(3.0, "m", "l_0", SOURCE)

        def body(length: Length) -> Ratio:
            return length / local

        made = formula(source=SOURCE, letters={"length": "l"}, result="n")(body)
        assert made("6 m").magnitude == pytest.approx(2.0)
        assert len(made.traced.constants) == 1

    def test_the_expression_is_there_to_go_on_with(self) -> None:
        assert {str(symbol) for symbol in hover.expression.free_symbols} == {"thrust", "density", "area"}
        assert "hover(thrust, density, area)" in repr(hover)
        assert hover.__doc__ == "Ideal power."
        assert hover.citation is SOURCE


class TestArrays:
    thrusts = numpy.linspace(1000, 9000, 7)

    def test_of_every_argument_or_of_one(self) -> None:
        found = hover(Quantity(self.thrusts, "N"), AIR, Quantity(numpy.full(7, 49.0), "m^2"))
        assert numpy.allclose(found.magnitude, by_hand(self.thrusts, 1.225, 49.0), rtol=1e-15)
        assert hover(Quantity(self.thrusts, "N"), AIR, "49 m^2").magnitude.shape == (7,)

    def test_broadcast(self) -> None:
        columns = Quantity(self.thrusts[:, None], "N")
        rows = Quantity(numpy.array([[0.9, 1.0, 1.2]]), "kg/m^3")
        found = hover(columns, rows, "49 m^2").magnitude
        assert numpy.allclose(found, by_hand(self.thrusts[:, None], numpy.array([[0.9, 1.0, 1.2]]), 49.0))
        assert numpy.allclose(hover.si(self.thrusts[:, None], numpy.array([[0.9, 1.0, 1.2]]), 49.0), found)

    def test_of_whole_numbers_and_of_units(self) -> None:
        found = hover(Quantity(numpy.array([1000, 1650]), "lbf"), AIR, DISK)
        assert_quantity(found[1], hover("1650 lbf", AIR, DISK), within="1e-9 %")

    def test_single_values_in_disguise_give_a_plain_float(self) -> None:
        for one in (numpy.array(7339.0), numpy.float64(7339.0), numpy.float32(7339.0), numpy.int64(7339)):
            assert type(hover(Quantity(one, "N"), AIR, DISK).magnitude) is float

    def test_long_ones_are_worked_piece_by_piece_with_the_same_figures(self) -> None:
        many = numpy.linspace(1.0, 9000.0, 100_001)
        assert numpy.array_equal(hover.si(many, 1.225, 49.0), by_hand(many, 1.225, 49.0))
        square = many[:100_000].reshape(100, 1000)
        assert numpy.array_equal(hover.si(square, 1.225, 49.0), by_hand(square, 1.225, 49.0))
        assert numpy.array_equal(hover.si(square.T, 1.225, 49.0), by_hand(square.T, 1.225, 49.0))
        assert hover(Quantity(square, "N"), AIR, DISK).magnitude.shape == (100, 1000)

    def test_are_not_changed(self) -> None:
        before = self.thrusts.copy()
        quantity = Quantity(self.thrusts, "lbf")
        hover(quantity, AIR, DISK)
        assert numpy.array_equal(self.thrusts, before)
        assert quantity.units == Quantity(1, "lbf").units

    def test_that_do_not_fit_together_are_told(self) -> None:
        with pytest.raises(QuantityError, match=r"do not fit together: thrust \(7,\), density \(3,\)"):
            hover(Quantity(self.thrusts, "N"), Quantity(numpy.ones(3), "kg/m^3"), DISK)

    def test_empty_ones_give_empty_ones(self) -> None:
        assert hover(Quantity(numpy.array([]), "N"), AIR, DISK).magnitude.size == 0


class TestRefused:
    def test_every_bad_argument_at_once(self) -> None:
        with pytest.raises(QuantityError) as caught:
            hover("1650 kg", 1.225, Quantity(531, "ft"))
        assert [name for name, _ in caught.value.problems] == ["thrust", "density", "area"]

    def test_outside_its_range(self) -> None:
        with pytest.raises(QuantityError, match="thrust must be 0 lbf or more, got -5 lb"):
            hover("-5 lb", AIR, DISK)
        with pytest.raises(QuantityError, match="thrust must be 0 lbf or more"):
            hover(Quantity(numpy.array([5.0, -5.0]), "lbf"), AIR, DISK)

    def test_where_it_has_no_real_value(self) -> None:
        with pytest.raises(QuantityError, match=r"hover has no real value for thrust = 1,000 lbf, density = 0"):
            hover("1000 lb", "0 kg/m^3", DISK)
        with pytest.raises(QuantityError, match="barometric has no real value for height"):
            barometric("50 km")
        with pytest.raises(QuantityError, match=r"no real value at 1 of 2 points \(the first is 1\)"):
            barometric(Quantity(numpy.array([1.0, 50.0]), "km"))

    def test_where_its_uncertainty_has_no_slope(self) -> None:
        @formula(source=SOURCE, letters={"a": "a"}, result="y")
        def root(a: Ratio) -> Ratio:
            return sqrt(a)

        assert root(0).magnitude == 0
        with pytest.raises(QuantityError, match="no finite slope"):
            root("0 ± 0.1")

    def test_overflow(self) -> None:
        with pytest.raises(QuantityError, match="no real value"):
            everything(30.0, -4.0, 1e300)


class TestMistakesOfTheProgram:
    def test_a_body_that_branches(self) -> None:
        @formula(source=SOURCE, letters={"a": "a"}, result="y")
        def branching(a: Ratio) -> Ratio:
            return a if a > 0 else -a

        with pytest.raises(TypeError, match=r"branching: the body of a formula is one return .* without if"):
            branching(1.0)

    def test_a_body_that_uses_another_library(self) -> None:
        @formula(source=SOURCE, letters={"a": "a"}, result="y")
        def foreign(a: Ratio) -> Ratio:
            return math.sqrt(a)

        with pytest.raises(TypeError, match=r"foreign: the body of a formula is one return"):
            foreign(1.0)

    @pytest.mark.parametrize(
        "how",
        [
            {"letters": {}},
            {"letters": {"a": "a"}, "shown": {"b": ("in", "mm")}},
            {"letters": {"a": "a"}, "valid": {"b": ("0", None)}},
        ],
    )
    def test_letters_units_or_bounds_that_name_no_argument(self, how: dict[str, object]) -> None:
        with pytest.raises(TypeError, match="letters must name a"):

            @formula(source=SOURCE, result="y", **how)  # type: ignore[arg-type]
            def odd(a: Ratio) -> Ratio:
                return a

    def test_an_argument_or_a_result_without_a_kind(self) -> None:
        @formula(source=SOURCE, letters={"a": "a"}, result="y")
        def no_kind(a: float) -> Ratio:
            return a

        @formula(source=SOURCE, letters={"a": "a"}, result="y")
        def no_result(a: Ratio) -> float:
            return a

        for wrong in (no_kind, no_result):
            with pytest.raises(TypeError, match="kind"):
                wrong(1.0)


class TestNomenclature:
    of_file = staticmethod(
        nomenclature(
            letters={"length": "L", "ratio": "q"}, valid={"length": ("1 mm", "2 m")}, shown={"length": ("in", "mm")}
        )
    )

    def test_a_relation_takes_what_its_arguments_have_and_its_own_stands_instead(self) -> None:
        @self.of_file(source=SOURCE, result="y")
        def usual(length: Length) -> Length:
            return length

        @self.of_file(
            source=SOURCE, letters={"length": "l"}, result="y", valid={"length": ("0 mm", None), "ratio": ("0", "1")}
        )
        def own(length: Length, ratio: Ratio) -> Length:
            return length * ratio

        assert (usual.letters, usual.shown) == ({"length": "L"}, {"length": ("in", "mm")})
        assert usual.contract.arguments[0].bounds == "from 1 mm to 2 m"
        assert (own.letters, own.shown) == ({"length": "l", "ratio": "q"}, {"length": ("in", "mm")})
        assert [one.bounds for one in own.contract.arguments] == ["0 mm or more", "from 0 to 1"]

    def test_a_name_that_no_letter_stands_for(self) -> None:
        with pytest.raises(TypeError, match="no letter for lenght"):
            nomenclature(letters={"length": "L"}, valid={"lenght": ("1 mm", None)})
        with pytest.raises(TypeError, match="letters must name width"):

            @self.of_file(source=SOURCE, result="y")
            def odd(width: Length) -> Length:
                return width


class TestThreads:
    def test_first_uses_at_once_from_many_threads(self) -> None:
        start = threading.Barrier(8)

        def body(thrust: Force, density: Density, area: Area) -> Power:
            return 2 * hover(thrust, density, area) / 2

        made = formula(source=SOURCE, letters={"thrust": "T", "density": "r", "area": "A"}, result="P")(body)

        def work(i: int) -> float:
            start.wait()
            return float(made(f"{1000 + i} N", AIR, DISK).magnitude)

        with ThreadPoolExecutor(8) as pool:
            found = list(pool.map(work, range(8)))
        assert found == pytest.approx([by_hand(1000 + i, 1.225, SI[2]) for i in range(8)], rel=1e-6)

    def test_a_call_while_another_thread_traces_gives_a_value(self) -> None:
        from rotorkit.formula import tracing

        tracing.active.depth += 1
        try:
            with ThreadPoolExecutor(1) as pool:
                assert_quantity(pool.submit(hover, "1650 lb", AIR, DISK).result(), "76.70 hp")
        finally:
            tracing.active.depth -= 1


def test_with_an_uncertainty_the_result_is_measured() -> None:
    for thrust in ("1,650 ± 10 lb", measured("1,650 lb", Force, "scales", "10 lb"), read("1650 ± 10 lb", Force)):
        result = hover(thrust, AIR, DISK)
        assert isinstance(result, Measured)
        assert say(result) == "76.70 ± 0.70 hp"
    assert not isinstance(difference("1 ft", "2 ft"), Measured)
