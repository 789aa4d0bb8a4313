"""Reading what people type: what is understood, and what is refused with which word."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.judging.measured import measured
from rotorkit.quantities import (
    KINDS,
    Acceleration,
    Angle,
    Area,
    Density,
    Energy,
    Force,
    Frequency,
    GaugePressure,
    Length,
    Mass,
    Power,
    Pressure,
    Quantity,
    QuantityError,
    Ratio,
    RotationRate,
    SpecificFuelConsumption,
    SpecificHeat,
    Speed,
    StretchFactor,
    Temperature,
    TemperatureDifference,
    ThermalExpansion,
    Time,
    Torque,
    Volume,
    kind_of,
    read,
    read_repeats,
    say,
)
from rotorkit.quantities.pint_inside import registry
from rotorkit.quantities.spelled_units import SPELLINGS, unit_container

FOOT, INCH, POUND, DEGREE = 0.3048, 0.0254, 4.4482216152605, math.pi / 180

UNDERSTOOD = [
    # text, kind, SI value, what is echoed
    ("5/16 in", Length, 5 / 16 * INCH, "0.3125 in"),
    ("11 ft 6 in", Length, 11.5 * FOOT, "11.5 ft"),
    ("-5 ft 6 in", Length, -5.5 * FOOT, "-5.5 ft"),
    ("-0 ft 6 in", Length, -0.5 * FOOT, "-0.5 ft"),
    ("5' 6 1/2\"", Length, 66.5 * INCH, "66.5 in"),
    ("5’ 6½”", Length, 66.5 * INCH, "66.5 in"),
    ("5ft 6in", Length, 5.5 * FOOT, "5.5 ft"),
    ("35-1/2 in", Length, 35.5 * INCH, "35.5 in"),
    ("35 1/2 in", Length, 35.5 * INCH, "35.5 in"),
    ("½ in", Length, 0.5 * INCH, "0.5 in"),
    ("5½ in", Length, 5.5 * INCH, "5.5 in"),
    ("1⁄4 in", Length, 0.25 * INCH, "0.25 in"),
    ("12-ft", Length, 12 * FOOT, "12 ft"),
    (".5 ft", Length, 0.5 * FOOT, "0.5 ft"),
    ("5. ft", Length, 5 * FOOT, "5 ft"),
    ("5e3 ft", Length, 5000 * FOOT, "5,000 ft"),
    ("1,310.5 ft", Length, 1310.5 * FOOT, "1,310.5 ft"),
    ("1,310 lb", Force, 1310 * POUND, "1,310 lbf"),
    ("−5°", Angle, -5 * DEGREE, "-5°"),
    ("–5°", Angle, -5 * DEGREE, "-5°"),
    ("- 5°", Angle, -5 * DEGREE, "-5°"),
    ("+5 deg", Angle, 5 * DEGREE, "5°"),
    ("14° 30'", Angle, 14.5 * DEGREE, "14.5°"),
    ("14°30′15″", Angle, (14.5 + 15 / 3600) * DEGREE, "14°30′15″"),
    ("14˚ 30’", Angle, 14.5 * DEGREE, "14.5°"),
    ("14 deg 30 min", Angle, 14.5 * DEGREE, "14.5°"),
    ("-0° 30'", Angle, -0.5 * DEGREE, "-0.5°"),
    ("120 in-lb", Torque, 120 * INCH * POUND, "120 lbf·in"),
    ("10 ft–lb", Torque, 10 * FOOT * POUND, "10 lbf·ft"),
    ("10 foot-pounds", Torque, 10 * FOOT * POUND, "10 lbf·ft"),
    ("10 lb ft", Torque, 10 * FOOT * POUND, "10 lbf·ft"),
    ("13.6 Nm", Torque, 13.6, "13.6 N·m"),
    ("10 ft-lb", Energy, 10 * FOOT * POUND, "10 ft·lbf"),
    ("3 lb 8 oz", Mass, 3.5 * 0.45359237, "3.5 lb"),
    ("1 h 30 min", Time, 5400, "1.5 h"),
    ("0.15 ips", Speed, 0.15 * INCH, "0.15 in/s"),
    ("300 fpm", Speed, 5 * FOOT, "300 ft/min"),
    ("1.5 g", Acceleration, 1.5 * 9.80665, "1.5 g"),
    ("520 rpm", RotationRate, 520 * math.pi / 30, "520 rpm"),
    ("8 rev/s", RotationRate, 16 * math.pi, "8 turn/s"),
    ("500 cpm", Frequency, 500 / 60, "500 1/min"),
    ('29.92"Hg', Pressure, 101320.76, "29.92 inHg"),
    ("29.92 in. Hg", Pressure, 101320.76, "29.92 inHg"),
    ("1013.25 mb", Pressure, 101325, "1,013.25 hPa"),
    ("75 psig", GaugePressure, 517106.8, "75 psi"),
    ("150 HP", Power, 150 * 745.69987, "150 hp"),
    ("17 US gal", Volume, 17 * 0.003785411784, "17 gal"),
    ("1.2 kg m⁻³", Density, 1.2, "1.2 kg/m³"),
    ("0.45 lb/hp/h", SpecificFuelConsumption, 7.6034673e-08, "0.45 lb/(hp·h)"),
    ("0.45 lb/(hp·h)", SpecificFuelConsumption, 7.6034673e-08, "0.45 lb/(hp·h)"),
    ("0.45 lb per hp per hr", SpecificFuelConsumption, 7.6034673e-08, "0.45 lb/(hp·h)"),
    ("13e-6 /°F", ThermalExpansion, 2.34e-5, "1.3e-05 1/°F"),
    ("13e-6 1/°F", ThermalExpansion, 2.34e-5, "1.3e-05 1/°F"),
    ("0.000013 1/°F", ThermalExpansion, 2.34e-5, "0.000013 1/°F"),  # no power of ten where none was typed
    ("13e-6 in/in/°F", ThermalExpansion, 2.34e-5, "1.3e-05 1/°F"),
    ("13e-6 per °F", ThermalExpansion, 2.34e-5, "1.3e-05 1/°F"),
    ("1.62e-5 sq in/lb", StretchFactor, 1.62e-5 * INCH**2 / POUND, "1.62e-05 in²/lbf"),
    ("85 °F", Temperature, 302.5944444, "85 °F"),
    ("85 deg F", Temperature, 302.5944444, "85 °F"),
    ("-40 C", Temperature, 233.15, "-40 °C"),
    ("0 K", Temperature, 0, "0 K"),
    ("-20 °F", TemperatureDifference, -100 / 9, "-20 °F"),
    ("60 %", Ratio, 0.6, "60 %"),
    ("0.6", Ratio, 0.6, "0.6"),
    ("5.2:1", Ratio, 5.2, "5.2"),
    ("1 : 5.2", Ratio, 1 / 5.2, "0.1923076923"),
    ("3/4", Ratio, 0.75, "0.75"),
    ("11'-6\"", Length, 11.5 * FOOT, "11.5 ft"),
    ("11' 6''", Length, 11.5 * FOOT, "11.5 ft"),
    ("12’-6 1/2”", Length, 150.5 * INCH, "150.5 in"),
    ("11 ft, 6 in", Length, 11.5 * FOOT, "11.5 ft"),
    ("11ft6in", Length, 11.5 * FOOT, "11.5 ft"),
    ("5ft6 1/2in", Length, 66.5 * INCH, "66.5 in"),
    ("1'1\"", Length, 13 * INCH, "13 in"),
    ("14°-30'", Angle, 14.5 * DEGREE, "14.5°"),
    ("14° 30' 15''", Angle, (14.5 + 15 / 3600) * DEGREE, "14° 30' 15\""),
    ("7° 55'", Angle, (7 + 55 / 60) * DEGREE, "7° 55'"),
    ("−7°55′", Angle, -(7 + 55 / 60) * DEGREE, "-7°55′"),
    ("3lb8oz", Mass, 3.5 * 0.45359237, "3.5 lb"),
    ("1h30min", Time, 5400, "1.5 h"),
    ("1 h 20 min", Time, 4800, "80 min"),
    ("90 sec.", Time, 90, "90 s"),
    ("1 310 lb", Force, 1310 * POUND, "1,310 lbf"),
    ("1 310.5 lb", Force, 1310.5 * POUND, "1,310.5 lbf"),
    ("1\u202f310 lb", Force, 1310 * POUND, "1,310 lbf"),
    ("35 ft.lb", Torque, 35 * FOOT * POUND, "35 lbf·ft"),
    ("13.6 N.m", Torque, 13.6, "13.6 N·m"),
    ("85 degrees Fahrenheit", Temperature, 302.5944444, "85 °F"),
    ("85 deg. F", Temperature, 302.5944444, "85 °F"),
    ("29 degrees Celsius", Temperature, 302.15, "29 °C"),
    ("150 horsepower", Power, 150 * 745.69987, "150 hp"),
    ("760 mm Hg", Pressure, 101325, "760 mmHg"),
    ("760 mm of mercury", Pressure, 101325, "760 mmHg"),
    ("29.92 inches of mercury", Pressure, 101320.76, "29.92 inHg"),
    ("5 ft2", Area, 5 * FOOT**2, "5 ft²"),
    ("1/3 in", Length, INCH / 3, "0.3333333333 in"),
    ("60 per cent", Ratio, 0.6, "60 %"),
]


@pytest.mark.parametrize(("text", "kind", "si", "echo"), UNDERSTOOD)
def test_understood(text: str, kind: object, si: float, echo: str) -> None:
    reading = read(text, kind)
    assert reading.si == pytest.approx(si, rel=2e-7, abs=1e-15)
    assert reading.understood == echo
    assert str(reading) == echo
    assert reading.typed == text
    assert reading.kind is kind_of(kind)


REFUSED = [
    # text, kind, what the message says besides
    ("", Length, "is empty"),
    ("   ", Length, "is empty"),
    ("48", Force, "bare number"),
    ("5 ft 6", Length, "last number has none"),
    ("ft", Length, "cannot read"),
    ("+", Length, "cannot read"),
    ("12,5 in", Length, "comma"),
    ("8..0 in", Length, "more than one decimal point"),
    ("8.0.1 in", Length, "more than one decimal point"),
    ("0,250 in", Length, "comma"),
    ("1,65,000 ft", Length, "comma"),
    ("1,3100 ft", Length, "comma"),
    ("1310,5 ft", Length, "comma"),
    ("1  650 lb", Force, "without a unit between"),
    ("3 imp gal", Volume, "an imperial gallon is 4.54609 L"),
    ("3 Imp. gal", Volume, "gal is the US one"),
    ("3 imperial gallons", Volume, "type litres"),
    ("3 UK gal", Volume, "type litres"),
    ("1 65 lb", Force, "without a unit between"),
    ("1 310 1/2 in", Length, "without a unit between"),
    ("0-1 in", Length, "a range"),
    ("0-1/2 in", Length, "a range"),
    ("30.02-1 inHg", Pressure, "a range"),
    ("48 -1 lb", Force, "a range"),
    ("48 lb1", Force, "not clear"),
    ("48 /1 lb", Force, "not known"),
    ("94 %4", Ratio, "not clear"),
    ("94 %^2", Ratio, "not known"),
    ("94 %/%", Ratio, "not known"),
    ("5 MG", Mass, "a thousand kilograms"),
    ("1013 Mbar", Pressure, "a million bars"),
    ("12'-13\"", Length, "below 12"),
    ("5 ft - 3 in", Length, "unit"),
    ("0 lb ± 5 %", Force, "of nothing"),
    ("60 % ± 1:50", Ratio, "must be a number"),
    ("0.6 ± 500 ppm", Ratio, "two ways"),
    ("1'650 lb", Force, "cannot read"),
    ("5 ft 14 in", Length, "below 12"),
    ("14° 75'", Angle, "below 60"),
    ("5.5 ft 6 in", Length, "11 ft 8 in"),
    ("14.5° 30'", Angle, "14.5°"),
    ("5 ft -3 in", Length, "unit"),
    ("5 ft 3 ft", Length, "11 ft 8 in"),
    ("35 17/16 in", Length, "fraction"),
    ("35 - 1/2 in", Length, "unit"),
    ("1/0 in", Length, "zero"),
    ("3 1/0 in", Length, "zero"),
    ("5:0", Ratio, "zero"),
    ("1/2/3 in", Length, "unit"),
    ("½5 in", Length, "without a unit between"),
    ("12–15 ft", Length, "en dash"),
    ("--5 ft", Length, "cannot read"),
    ("5 lb/", Force, "breaks off"),
    ("5 lb/(hp*h", SpecificFuelConsumption, "brackets"),
    ("5 lb/hp*h", SpecificFuelConsumption, "put brackets"),
    ("5 lb/(hp/(h))", SpecificFuelConsumption, "brackets in brackets"),
    ("5 ft^9", Length, "power"),
    ("5 ft^0", Length, "power"),
    ("5 furlongs", Length, "'furlongs' is not known"),
    ("5 ft lb lb", Torque, "dimensions differ"),
    ("48 lbm", Force, "a mass"),
    ("12 kt", Length, "a speed"),
    ("1e300 ft", Length, "too large"),
    ("1e-400 ft", Length, "too small"),
    ("48 ± 1 ± 2 lb", Force, "35 ± 2 lb"),
    ("± 2 lb", Force, "35 ± 2 lb"),
    ("48 ±", Force, "35 ± 2 lb"),
    ("48 ± -2 lb", Force, "negative"),
    ("48 ± nan lb", Force, "not a number"),
    ("48 ± 1 ft lb", Force, "a torque"),
    ("520 rpm ± 1 Hz", RotationRate, "not of a rotation rate"),
    ("35 ft-lb ± 1 J", Torque, "not of a torque"),
    ("85 °F ± 5 %", Temperature, "no meaning"),
    ("48 ± 5 %", Force, "bare number"),
    ("48 lb ± 1 ft 6 in", Force, "one number with one unit"),
    ("\u202e48 lb", Force, "right-to-left override"),
    ("4\u200b8 lb", Force, "zero width space"),
    ("48 ｌｂ", Force, "fullwidth"),
    ("48 lЬ", Force, "cyrillic"),
    ("48\x00lb", Force, "control character"),
    ("٤٨ lb", Force, "arabic-indic"),
    ("9" * 200, Ratio, "200 characters"),
]


@pytest.mark.parametrize(("text", "kind", "word"), REFUSED)
def test_refused(text: str, kind: object, word: str) -> None:
    with pytest.raises(QuantityError) as caught:
        read(text, kind)
    assert word in str(caught.value)


def test_one_error_for_what_is_no_text_and_one_for_what_is_no_kind() -> None:
    with pytest.raises(QuantityError, match="needs text such as '35 lb', got float"):
        read(48.0, Force)  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="needs a kind"):
        read("48 lb", str)


UNCERTAIN = [
    # text, kind, value in the unit typed, the uncertainty in it
    ("48 ± 2 lb", Force, 48, 2),
    ("48 lb ± 2 lb", Force, 48, 2),
    ("48 lb ± 2", Force, 48, 2),
    ("48 lb ± 5 %", Force, 48, 2.4),
    ("48±2lb", Force, 48, 2),
    ("48 +/- 2 lb", Force, 48, 2),
    ("-5 ± 0.5 deg", Angle, -5, 0.5),
    ("85 ± 2 °F", Temperature, 85, 2),
    ("60 % ± 2", Ratio, 60, 2),
    ("48 lb ± 5 percent", Force, 48, 2.4),
    ("48 lb ± 5 per cent", Force, 48, 2.4),
    ("60 % ± 2 %", Ratio, 60, 2),
    ("0.60 ± 0.02", Ratio, 0.6, 0.02),
    ("11 ft 6 in ± 1/4 in", Length, 11.5, 0.25),
]


@pytest.mark.parametrize(("text", "kind", "value", "spread"), UNCERTAIN)
def test_with_its_uncertainty(text: str, kind: object, value: float, spread: float) -> None:
    reading = read(text, kind)
    assert reading.magnitude == pytest.approx(value)
    assert reading.uncertainty.magnitude == pytest.approx(spread)


def test_the_uncertainty_of_a_temperature_is_a_difference() -> None:
    uncertainty = read("85 ± 2 °F", Temperature).uncertainty
    assert uncertainty == Quantity(2, "delta_degF")
    assert read("85 °F ± 1 °C", Temperature).uncertainty == Quantity(1, "delta_degC")


STEPS = [
    ("24.4939 ft/s", Speed, 0.0001), ("1,310 lb", Force, 1), ("1310. lb", Force, 1), ("5/16 in", Length, 1 / 16),
    ("35 1/2 in", Length, 1 / 2), ("5e3 ft", Length, 1000), ("13e-6 /°F", ThermalExpansion, 1e-6),
    ("11 ft 6 in", Length, 1 / 12), ("11 ft 6 1/2 in", Length, 1 / 24), ("14° 30'", Angle, 1 / 60), ("60 %", Ratio, 1),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kind", "step"), STEPS)
def test_one_step_of_the_last_place_written(text: str, kind: object, step: float) -> None:
    assert read(text, kind).step.magnitude == pytest.approx(step)


def test_a_bare_number_takes_the_unit_shown_beside_the_field() -> None:
    assert read("48", Force, "lb").si == read("48 lb", Force).si
    assert read("48 ± 2", Force, "lb").uncertainty == Quantity(2, "lbf")
    assert read("48 N", Force, "lb").si == 48
    assert read("60", Ratio, "%").si == pytest.approx(0.6)
    assert read("0.6", Ratio, "").si == 0.6
    assert read("85", Temperature, "°F").si == read("85 °F", Temperature).si
    assert read("5 ft 6", Length, "in").si == pytest.approx(5.5 * FOOT)
    with pytest.raises(QuantityError):
        read("48", Force, "ft")


class TestRepeats:
    @pytest.mark.parametrize(
        ("text", "kind", "bare_unit", "ways"),
        [
            ("48 lb; 49; 50", Force, "N", ("48 lb; 49 lb; 50 lb", "48 lb; 49 N; 50 N")),
            ("12 in; 13; 14 mm", Length, None, ("12 in; 13 in; 14 mm", "12 in; 13 mm; 14 mm")),
            ("0.55; 58 %", Ratio, None, ("0.55 %; 58 %",)),
            ("27.5; 28 ± 2 %", Ratio, "", ("28 % ± 2 %", "28 ± 0.56")),
        ],
    )
    def test_a_unit_that_could_be_another_is_asked_about(
        self, text: str, kind: object, bare_unit: str | None, ways: tuple[str, ...]
    ) -> None:
        with pytest.raises(QuantityError, match="ways") as caught:
            read_repeats(text, kind, bare_unit)
        for way in ways:
            assert way in str(caught.value)

    def test_a_share_behind_the_last_is_its_uncertainty_and_no_unit(self) -> None:
        found = read_repeats("12.1; 12.3 ± 2 %", Angle, "deg")
        assert [r.understood for r in found] == ["12.1°", "12.3° ± 0.246°"]

    def test_the_last_unit_serves_all(self) -> None:
        assert [reading.understood for reading in read_repeats("12.1; 12.3; 12.2 deg", Angle)] == [
            "12.1°", "12.3°", "12.2°"
        ]  # fmt: skip
        assert [r.understood for r in read_repeats("12.1°; 12° 18'", Angle)] == ["12.1°", "12.3°"]
        assert [r.understood for r in read_repeats("-0.5; −1; –1.5 deg", Angle)] == ["-0.5°", "-1°", "-1.5°"]
        assert [r.understood for r in read_repeats("48 lb; 49; 50", Force, "lbf")] == ["48 lbf", "49 lbf", "50 lbf"]
        assert [r.si for r in read_repeats("48 lb; 49 N", Force, "kgf")] == pytest.approx([48 * POUND, 49])
        assert [r.uncertainty.magnitude for r in read_repeats("48 ± 1; 49 ± 2 lb", Force)] == [1, 2]

    def test_one_is_enough(self) -> None:
        assert len(read_repeats("12.1 deg", Angle)) == 1

    @pytest.mark.parametrize("text", ["12.1;", ";12.1 deg", "12.1;;12.2 deg", ";"])
    def test_a_missing_one_is_told(self, text: str) -> None:
        with pytest.raises(QuantityError, match="missing beside a semicolon"):
            read_repeats(text, Angle)

    def test_none_is_dropped_in_silence(self) -> None:
        assert len(read_repeats("; ".join(["12.125 deg"] * 90), Angle)) == 90
        with pytest.raises(QuantityError, match="at most"):
            read_repeats("; ".join(["12.1 deg"] * 500), Angle)


class TestEverySpelling:
    @pytest.mark.parametrize("unit", sorted(SPELLINGS.values()))
    def test_names_a_unit_that_the_registry_has(self, unit: str) -> None:
        spelling = next(spelling for spelling, named in SPELLINGS.items() if named == unit)
        assert registry().get_dimensionality(unit_container(spelling, kind_of(Speed))) is not None  # type: ignore[arg-type]

    @pytest.mark.parametrize("name", KINDS)
    def test_each_kind_reads_its_own_units_and_its_example(self, name: str) -> None:
        kind = kind_of(KINDS[name])
        assert kind is not None
        for example in kind.example.split(" or "):
            assert read(example, kind).kind is kind
        for unit in (kind.si, kind.us, kind.metric):
            assert read(f"300 {unit}", kind).si > 0
        assert read(f"1 {kind.si}", kind).si == 1.0, "its SI unit is a coherent one"


@given(st.integers(-999_999, 999_999), st.sampled_from([0, 1, 2, 4]))
def test_a_decimal_is_read_to_the_last_digit(number: int, places: int) -> None:
    text = f"{number / 10**places:.{places}f} ft"
    assert read(text, Length).magnitude == float(f"{number / 10**places:.{places}f}")
    assert read(text.replace("-", "−"), Length).si == read(text, Length).si


@given(st.integers(0, 400), st.integers(0, 59), st.booleans())
def test_degrees_and_minutes(degrees: int, minutes: int, negative: bool) -> None:
    sign = "-" if negative else ""
    value = read(f"{sign}{degrees}° {minutes}'", Angle).si
    assert value == pytest.approx((-1 if negative else 1) * (degrees + minutes / 60) * DEGREE, abs=1e-15)


@given(st.integers(-50, 50), st.integers(1, 63))
def test_feet_and_sixty_fourths_of_an_inch(feet: int, parts: int) -> None:
    text = f"{feet} ft 7 {parts}/64 in"
    whole = (abs(feet) + (7 + parts / 64) / 12) * (-1 if feet < 0 else 1)
    assert read(text, Length).magnitude == pytest.approx(whole, rel=1e-15)
    assert say(read(text, Length), "ft", digits=6) == say(Quantity(whole, "ft"), "ft", digits=6)


@pytest.mark.parametrize(("text", "wanted"), [("-5 deg ± 10 %", 0.5), ("5 deg ± 10 %", 0.5), ("-14° 30' ± 2 %", 0.29)])
def test_a_per_cent_of_a_negative_reading_is_a_size(text: str, wanted: float) -> None:
    spread = read(text, Angle).uncertainty
    assert spread is not None
    assert float(spread.m_as("deg")) == pytest.approx(wanted, rel=1e-12)


@pytest.mark.parametrize(
    ("typed", "kelvin"),
    [
        ("18 Δ°F", 10), ("18 ∆ºF", 10), ("18 delta_degF", 10), ("18 delta_degree_Fahrenheit", 10), ("10 Δ °C", 10),
        ("10 ΔC", 10), ("-10 ΔK", -10), ("10 delta_degree_Celsius", 10), ("10 Δ°C ± 1 Δ°C", 10),
    ],
)  # fmt: skip
def test_a_difference_of_temperatures_as_other_programs_write_it(typed: str, kelvin: float) -> None:
    assert read(typed, TemperatureDifference).si == pytest.approx(kelvin)
    with pytest.raises(QuantityError, match="is a difference of temperatures: needs a temperature"):
        read(typed, Temperature)


def test_what_a_difference_prints_of_itself_is_read_again() -> None:
    found = read("27 °F", TemperatureDifference).value.to("delta_degC")
    assert read(str(found), TemperatureDifference).si == pytest.approx(15)
    for spread in ("± 1 Δ°C", "+/- 1 Δ°C", "± 1 delta_degC"):
        near = read(f"20 °C {spread}", Temperature)
        assert near.si == pytest.approx(293.15)
        assert near.uncertainty == Quantity(1, "delta_degC")
    assert read("480 J/(kg*Δ°C)", SpecificHeat).si == pytest.approx(480)


@pytest.mark.parametrize("spread", ["°F", "°C", "K", "degF", "C", "F"])
@pytest.mark.parametrize("unit", ["°F", "°C", "K"])
def test_the_spread_of_a_temperature_keeps_its_own_degrees(unit: str, spread: str) -> None:
    """Two Fahrenheit degrees are 10/9 K beside any scale, and are said back as Fahrenheit degrees."""
    found = read(f"{290 if unit == 'K' else 20} {unit} ± 2 {spread}", Temperature)
    size = 10 / 9 if "F" in spread else 2.0
    assert float(measured(found, Temperature, "t").expanded_si) == pytest.approx(size, rel=1e-9)
    assert found.understood.split("± ")[1] in (f"2 °{spread[-1]}", f"2 {spread}")


@pytest.mark.parametrize("text", ["1.224 mm", "1.653 mm", "1.2 mm", "1,224 mm"])
def test_the_last_place_written_is_the_persons_own(text: str) -> None:
    """1.224 could be meant in two ways, and is taken as 1.224 where nothing else can be: still three decimals."""
    reading = read(text, Length, None, lambda found, other: found.si < 0.1 if "." in text else True)
    decimals = len(text.split()[0].partition(".")[2])
    assert reading.step.m_as("mm") == pytest.approx(10.0**-decimals)
