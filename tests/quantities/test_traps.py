"""Units that look right and are wrong: each trap is refused, or read rightly, by name."""

import datetime
import decimal
import fractions
import math

import numpy
import pint
import pytest

from rotorkit.formula.contract import contract
from rotorkit.quantities import (
    Angle,
    Energy,
    Force,
    Frequency,
    Length,
    Mass,
    Power,
    Pressure,
    Quantity,
    QuantityError,
    Ratio,
    RotationRate,
    SpecificHeat,
    Speed,
    Stress,
    Temperature,
    TemperatureDifference,
    ThermalExpansion,
    Torque,
    assert_quantity,
    from_si,
    kind_of,
    read,
    say,
    si_value,
)
from rotorkit.quantities.bare import held, taken


def refused(value: object, kind: object) -> str:
    """The message with which a value is refused as an argument of a kind."""
    wanted = kind_of(kind)
    assert wanted is not None
    with pytest.raises(QuantityError) as caught:
        held(taken(value, wanted), wanted)
    message = str(caught.value)
    assert wanted.bare_name in message, "the message says what is needed"
    return message


def accepted(value: object, kind: object) -> object:
    wanted = kind_of(kind)
    assert wanted is not None
    return held(taken(value, wanted), wanted)[0]


class TestKindsNotOnlyDimensions:
    def test_60_rpm_is_one_turn_a_second_and_no_frequency(self) -> None:
        assert accepted(Quantity(60, "rpm"), RotationRate) == pytest.approx(2 * math.pi, rel=1e-15)
        assert "turning" in refused(Quantity(60, "rpm"), Frequency)
        assert "rotation rate" in refused("60 rpm", Frequency)

    def test_5_hz_is_not_5_radians_a_second(self) -> None:
        assert "turning" in refused(Quantity(5, "Hz"), RotationRate)
        assert "frequency" in refused("5 Hz", RotationRate)
        assert accepted("5 Hz", Frequency) == 5.0

    def test_one_over_second_is_no_rotation_rate(self) -> None:
        refused(Quantity(5, "1/s"), RotationRate)

    def test_mil_is_refused_as_a_length_and_named_in_text(self) -> None:
        refused(Quantity(5, "mil"), Length)
        assert "thou" in refused("5 mil", Length)
        assert read("5 thou", Length).si == pytest.approx(0.000127)

    def test_joules_do_not_pass_as_torque(self) -> None:
        assert "energy" in refused(Quantity(50, "joule"), Torque)
        assert "an energy" in refused("50 J", Torque)
        refused(Quantity(50, "kW*h"), Torque)
        refused(Quantity(50, "watt*second"), Torque)

    def test_newton_metres_do_not_pass_as_energy(self) -> None:
        assert "torque" in refused(Quantity(50, "N*m"), Energy)

    def test_foot_pounds_typed_are_what_is_wanted(self) -> None:
        assert read("10 ft-lb", Torque).si == pytest.approx(13.558179483314004)
        assert read("10 ft-lb", Energy).si == pytest.approx(13.558179483314004)

    def test_base_units_tell_neither_torque_nor_energy(self) -> None:
        for kind in (Torque, Energy):
            assert "does not tell a torque from an energy" in refused(Quantity(5, "kg*m^2/s^2"), kind)

    def test_a_pound_of_mass_gives_no_torque_and_the_hint_says_so(self) -> None:
        message = refused(Quantity(120, "in*lb"), Torque)
        assert "pound is a mass" in message
        assert "lbf" in message
        assert accepted(Quantity(120, "in*lbf"), Torque) == pytest.approx(13.558179483314004)

    def test_a_pound_of_mass_is_no_force_and_no_pressure(self) -> None:
        assert "lbf" in refused(Quantity(48, "lb"), Force)
        assert "lbf" in refused(Quantity(2.9, "lb/ft^2"), Pressure)

    def test_a_force_is_no_mass(self) -> None:
        assert "a force" in refused("1650 lbf", Mass)
        refused(Quantity(1650, "lbf"), Mass)

    def test_kilograms_are_no_force(self) -> None:
        assert "kgf" in refused("20 kg", Force)

    def test_48_lb_is_a_force_or_a_mass_as_wanted(self) -> None:
        assert read("48 lb", Force).si == pytest.approx(213.5146375332)
        assert read("48 lb", Mass).si == pytest.approx(21.77243376)

    def test_a_ratio_is_no_angle_and_an_angle_no_ratio(self) -> None:
        refused(Quantity(0.1, ""), Angle)
        refused("10 %", Angle)
        refused(Quantity(0.1, "radian"), Ratio)
        refused("10°", Ratio)

    def test_a_solid_angle_a_count_and_a_decibel_are_no_ratio(self) -> None:
        for unit in ("steradian", "count", "decibel"):
            refused(Quantity(3, unit), Ratio)


class TestTemperatures:
    def test_a_difference_does_not_pass_as_a_temperature(self) -> None:
        for unit in ("delta_degC", "delta_degF"):
            assert "difference" in refused(Quantity(20, unit), Temperature)

    def test_a_temperature_does_not_pass_as_a_difference(self) -> None:
        for unit in ("degC", "degF"):
            assert "not a difference" in refused(Quantity(20, unit), TemperatureDifference)

    def test_a_difference_that_was_worked_out_does_not_pass_either(self) -> None:
        worked_out = from_si(11.1, kind_of(TemperatureDifference))  # type: ignore[arg-type]
        refused(worked_out, Temperature)
        assert accepted(worked_out, TemperatureDifference) == 11.1

    def test_25_degc_as_text_works_which_a_registry_s_parser_may_refuse(self) -> None:
        assert read("25 degC", Temperature).si == pytest.approx(298.15)
        assert accepted(Quantity(25, "degC"), Temperature) == 298.15

    def test_fixed_points_are_exact(self) -> None:
        assert read("212 °F", Temperature).si == 373.15
        assert read("32 °F", Temperature).si == 273.15
        assert numpy.array_equal(
            accepted(Quantity(numpy.array([32, 212]), "degF"), Temperature), numpy.array([273.15, 373.15])
        )

    def test_20_fahrenheit_is_a_difference_where_one_is_wanted(self) -> None:
        assert read("20 °F", TemperatureDifference).si == pytest.approx(100 / 9)
        assert say(read("20 °F", TemperatureDifference).value) == "20.00 °F"

    def test_degrees_alone_are_no_temperature(self) -> None:
        for text in ("85 deg", "85°"):
            assert "an angle" in refused(text, Temperature)

    def test_below_absolute_zero(self) -> None:
        assert "absolute zero" in refused("-460 °F", Temperature)
        refused(Quantity(-1, "kelvin"), Temperature)

    def test_a_zero_shifted_scale_hidden_in_a_product(self) -> None:
        assert accepted(Quantity(1006, "J/(kg*delta_degC)"), SpecificHeat) == 1006.0
        refused(Quantity(3, "degree_Reaumur"), Temperature)


class TestTradeSpellings:
    def test_ips_in_lb_psig_which_pint_does_not_know(self) -> None:
        registry = pint.UnitRegistry()
        for spelling in ("ips", "in_lb", "psig"):
            with pytest.raises(pint.errors.UndefinedUnitError):
                registry(f"1 {spelling}")
        assert read("0.15 ips", Speed).si == pytest.approx(0.00381)
        assert read("120 in-lb", Torque).si == pytest.approx(13.558179483314004)

    def test_psig_is_no_absolute_pressure(self) -> None:
        assert "air around" in refused("75 psig", Pressure)

    def test_milli_is_never_taken_for_mega(self) -> None:
        for text, kind in (("3 mPa", Stress), ("3 mpa", Stress), ("5 mJ", Energy), ("5 Mg", Mass), ("5 Mm", Length)):
            with pytest.raises(QuantityError):
                read(text, kind)
        assert read("3 MPA", Stress).si == 3e6

    @pytest.mark.parametrize(
        ("text", "kind"), [("5 ± 1 % m", Length), ("5 % ft", Length), ("2 % lb", Force), ("5 %/°F", ThermalExpansion)]
    )
    def test_a_share_beside_a_unit_is_refused_and_not_multiplied(self, text: str, kind: object) -> None:
        with pytest.raises(QuantityError, match="mixes a share"):
            read(text, kind)
        assert read("5 m ± 1 %", Length).understood == "5 m ± 0.05 m"
        assert read("13 ppm/°F", ThermalExpansion).si == pytest.approx(13e-6 * 1.8)

    def test_several_tons(self) -> None:
        assert "several tons" in refused("1 ton", Mass)


class TestBareNumbers:
    @pytest.mark.parametrize("number", [5, 5.0, numpy.float64(5), numpy.int32(5), decimal.Decimal(5), True])
    def test_a_bare_number_is_refused_where_a_unit_is_needed(self, number: object) -> None:
        for kind in (Angle, Length, Temperature, RotationRate):
            refused(number, kind)

    @pytest.mark.parametrize(
        "number",
        [
            0.5,
            numpy.float64(0.5),
            numpy.float32(0.5),
            numpy.array(0.5),
            decimal.Decimal("0.5"),
            fractions.Fraction(1, 2),
        ],
    )
    def test_a_bare_number_is_a_ratio(self, number: object) -> None:
        found = accepted(number, Ratio)
        assert found == 0.5
        assert type(found) is float

    def test_whole_numbers_and_arrays_of_them_are_ratios(self) -> None:
        assert accepted(3, Ratio) == 3.0
        assert accepted(numpy.int64(3), Ratio) == 3.0
        array = accepted(numpy.array([1, 2], dtype="uint8"), Ratio)
        assert isinstance(array, numpy.ndarray)
        assert array.dtype == float

    def test_bare_arrays_are_refused_where_a_unit_is_needed(self) -> None:
        assert "bare numbers" in refused(numpy.array([1.0, 2.0]), Length)

    @pytest.mark.parametrize("value", [[1.0, 2.0], (1.0,), ["48 lb"]])
    def test_lists_are_refused_with_what_to_pass(self, value: object) -> None:
        assert "Quantity([...], 'lbf')" in refused(value, Force)
        assert "numpy.array" in refused(value, Ratio)

    @pytest.mark.parametrize(
        "value",
        [
            True,
            False,
            None,
            datetime.date(2026, 5, 31),
            datetime.datetime(2026, 5, 31, 12),
            b"5 ft",
            3 + 4j,
            {},
            object(),
        ],
    )
    def test_what_is_no_number_at_all(self, value: object) -> None:
        for kind in (Length, Ratio):
            refused(value, kind)

    def test_arrays_of_what_is_no_number(self) -> None:
        for dtype in ("bool", "complex", "datetime64[s]", "object", "U4"):
            refused(numpy.zeros(2, dtype=dtype), Ratio)
        refused(numpy.ma.array([1.0, 2.0], mask=[True, False]), Ratio)
        refused(numpy.recarray(2, dtype=[("x", float)]), Ratio)
        refused(Quantity(numpy.ma.array([1.0, 2.0], mask=[True, False]), "m"), Length)
        refused(Quantity(1 + 2j, "m"), Length)
        refused(pint.UnitRegistry().meter, Length)


class TestNotANumber:
    @pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
    def test_nan_and_infinity_are_refused_everywhere(self, value: float) -> None:
        for kind, unit in ((Length, "ft"), (Mass, "lb"), (Speed, "ft/s"), (Temperature, "degF"), (Ratio, "")):
            refused(Quantity(value, unit), kind)
            refused(Quantity(numpy.array([1.0, value, 2.0]), unit), kind)
            refused(Quantity(numpy.float32(value), unit), kind)
        refused(value, Ratio)
        refused(numpy.array([1.0, value]), Ratio)

    def test_opposite_infinities_do_not_cancel(self) -> None:
        refused(numpy.array([math.inf, -math.inf]), Ratio)

    @pytest.mark.parametrize("text", ["nan", "NaN ft", "inf ft", "-inf lb", "Infinity", "1e999 ft", "1e400 lb"])
    def test_typed(self, text: str) -> None:
        for kind in (Length, Mass, Ratio):
            with pytest.raises(QuantityError):
                read(text, kind)

    def test_finite_though_the_sum_is_not(self) -> None:
        assert accepted(numpy.array([1e308, 1e308]), Ratio) is not None

    def test_a_result_that_is_none(self) -> None:
        @contract
        def broken(length: Length) -> Length:
            return math.nan

        with pytest.raises(QuantityError, match="broken has no real value"):
            broken("1 ft")


class TestNegatives:
    @pytest.mark.parametrize(("kind", "unit"), [(Mass, "lb"), (Pressure, "inHg")])
    def test_kinds_that_cannot_be_negative(self, kind: object, unit: str) -> None:
        refused(Quantity(-5, unit), kind)
        refused(Quantity(numpy.array([1.0, -5.0]), unit), kind)
        refused(f"-5 {unit}", kind)
        assert accepted(Quantity(0, unit), kind) == 0.0

    @pytest.mark.parametrize(("kind", "unit"), [(Length, "ft"), (Force, "lbf"), (Speed, "kt"), (Power, "hp")])
    def test_kinds_that_can(self, kind: object, unit: str) -> None:
        assert accepted(Quantity(-5, unit), kind) < 0  # type: ignore[operator]

    def test_minus_zero_is_zero(self) -> None:
        assert math.copysign(1, read("-0 lb", Force).si) == 1
        assert say(Quantity(-0.0, "lbf")) == "0 lbf"
        assert say(Quantity(-1e-12, "lbf"), digits=2).startswith("-1.0e-12")


class TestArrays:
    def test_integer_and_narrow_arrays_are_widened_before_they_are_scaled(self) -> None:
        assert numpy.array_equal(
            accepted(Quantity(numpy.array([200], dtype="uint8"), "km"), Length), numpy.array([200_000.0])
        )
        narrow = accepted(Quantity(numpy.array([60_000.0], dtype="float16"), "km"), Length)
        assert isinstance(narrow, numpy.ndarray)
        assert narrow.dtype == numpy.float64
        assert numpy.isfinite(narrow).all()

    def test_zero_dimensional_arrays_are_single_values(self) -> None:
        assert type(accepted(Quantity(numpy.array(3), "m"), Length)) is float

    def test_empty_arrays_pass(self) -> None:
        assert numpy.size(accepted(Quantity(numpy.array([]), "m"), Length)) == 0


class TestOtherRegistries:
    @pytest.fixture(autouse=True, scope="class")
    @classmethod
    def registry_of_its_own(cls) -> None:
        cls.registry = pint.UnitRegistry()
        cls.registry.define("furrow = 220 yard")
        cls.registry.define("double_furrow = 2 furrow")
        cls.registry.define("coin = [money]")

    def test_quantities_of_another_registry_are_taken(self) -> None:
        assert accepted(self.registry.Quantity(12.5, "ft"), Length) == pytest.approx(3.81)
        assert accepted(self.registry.Quantity(numpy.array([32.0, 212.0]), "degF"), Temperature).tolist() == [  # type: ignore[attr-defined]
            273.15,
            373.15,
        ]
        assert accepted(self.registry.Quantity(60, "percent"), Ratio) == pytest.approx(0.6)
        assert_quantity(self.registry.Quantity(1, "mile"), "1609.344 m")
        assert say(self.registry.Quantity(1, "mile")) == "5,280 ft"

    def test_units_that_only_the_other_registry_knows(self) -> None:
        assert accepted(self.registry.Quantity(1, "furrow"), Length) == pytest.approx(201.168)
        assert accepted(self.registry.Quantity(1, "kilodouble_furrow"), Length) == pytest.approx(402_336)
        refused(self.registry.Quantity(1, "double_furrow"), Force)
        assert "money" in refused(self.registry.Quantity(1, "coin"), Length)

    def test_the_other_registry_s_own_definition_counts(self) -> None:
        own = pint.UnitRegistry(on_redefinition="ignore")
        own.define("foot = 0.3 * meter = ft")
        assert accepted(own.Quantity(10, "ft"), Length) == pytest.approx(3.0)

    def test_the_traps_are_traps_from_another_registry_too(self) -> None:
        for value, unit, kind in (
            (5, "Hz", RotationRate), (50, "joule", Torque), (5, "in*lb", Torque), (20, "delta_degC", Temperature),
            (math.nan, "ft", Length), (-1, "lb", Mass), (0.1, "", Angle),
        ):  # fmt: skip
            refused(self.registry.Quantity(value, unit), kind)

    def test_quantities_with_an_uncertain_number_are_refused_with_a_message(self) -> None:
        uncertain = pytest.importorskip("uncertainties").ufloat(5, 1)
        refused(self.registry.Quantity(uncertain, "ft"), Length)


def test_the_quick_way_of_making_a_quantity_is_as_good_as_pint_s() -> None:
    for kind, unit in ((Length, "meter"), (Torque, "newton*meter"), (Ratio, ""), (TemperatureDifference, "delta_degC")):
        wanted = kind_of(kind)
        assert wanted is not None
        quick, slow = from_si(2.5, wanted), Quantity(2.5, unit)
        assert type(quick) is type(slow)
        assert quick == slow
        assert (2 * quick).units == slow.units
        assert (quick.to_base_units() + slow.to_base_units()).magnitude == pytest.approx(5.0)
        assert si_value(quick, wanted) == 2.5
