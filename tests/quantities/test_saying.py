"""Saying a quantity: the right unit, no more digits than meant, and always something that can be read back."""

import threading

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from rotorkit.judging.measured import Measured, Origin, measured
from rotorkit.quantities import (
    KINDS,
    Angle,
    Area,
    DiskLoading,
    Force,
    GaugePressure,
    Kind,
    Length,
    Mass,
    Pressure,
    Quantity,
    QuantityError,
    Reading,
    SecondMomentOfArea,
    SpecificFuelConsumption,
    Stress,
    Temperature,
    TemperatureDifference,
    Torque,
    Unbalance,
    display_system,
    from_si,
    kind_of,
    number_text,
    read,
    rounded_pair,
    say,
    use_display,
)
from rotorkit.quantities.errors import AmbiguousReading

kinds = st.sampled_from(sorted(KINDS))
systems = st.sampled_from(["us", "metric"])
sizes = st.floats(1e-9, 1e9) | st.floats(-1e9, -1e-9) | st.just(0.0)


def possible(name: str, size: float) -> float:
    kind = kind_of(KINDS[name])
    assert kind is not None
    if kind.flavour == "temperature":  # rounding near absolute zero may end below it
        return 50.0 + abs(size)
    return abs(size) if kind.minimum is not None else size


def read_as_said(text: str, kind: Kind) -> Reading:
    """What we say has a decimal point and commas for thousands. Typed by somebody it may be asked about (1.650 lbf,
    which to others is 1650), and then our own meaning is the first of the ways to write it."""
    try:
        return read(text, kind)
    except AmbiguousReading as problem:
        return read_as_said(problem.ways[0], kind)


@given(kinds, sizes, systems, st.integers(2, 12))
def test_what_is_said_can_be_read_back(name: str, size: float, system: str, digits: int) -> None:
    kind = kind_of(KINDS[name])
    assert kind is not None
    si = possible(name, size)
    for unit in (None, kind.si, kind.us, kind.metric):
        text = say(from_si(si, kind), unit, system, digits, kind=kind)
        size_said = max(abs(si), 400.0) if kind.flavour == "temperature" else abs(si) or 1.0
        assert abs(read_as_said(text, kind).si - si) / size_said <= 0.6 * 10 ** (1 - digits), (text, si)


@given(kinds, sizes, systems)
def test_a_figure_with_its_uncertainty_can_be_read_back(name: str, size: float, system: str) -> None:
    kind = kind_of(KINDS[name])
    assert kind is not None
    si = possible(name, size)
    assume(kind.flavour != "temperature" or si < 1e6)
    known = Measured(si, kind, {Origin("gauge", 1): 0.01 * (abs(si) or 1.0) / 2})
    text = say(known, system=system)
    reading = read_as_said(text, kind)
    assert measured(reading, kind, "again").expanded_si == pytest.approx(known.expanded_si, rel=0.06)
    assert abs(reading.si - si) <= 0.06 * known.expanded_si + 1e-12 * abs(si)
    assert say(measured(reading, kind, "again"), system=system) == text


@given(kinds, sizes)
def test_what_was_understood_reads_as_the_same(name: str, size: float) -> None:
    kind = kind_of(KINDS[name])
    assert kind is not None
    reading = read_as_said(f"{possible(name, size):.6g} {kind.us}", kind)
    again = read(reading.understood, kind)
    assert again.si == reading.si
    assert again.understood == reading.understood


SAID = [
    (lambda: Quantity(66069.9, "watt"), {}, "88.60 hp"),
    (lambda: Quantity(66069.9, "watt"), {"system": "metric"}, "66.07 kW"),
    (lambda: Quantity(1650, "lbf"), {}, "1,650 lbf"),
    (lambda: Quantity(1234567.0, "lbf"), {"digits": 3}, "1,234,567 lbf"),
    (lambda: Quantity(0.25, "inch"), {}, "0.2500 in"),
    (lambda: Quantity(0.25, "inch"), {"system": "metric"}, "6.350 mm"),
    (lambda: Quantity(2.0, "inch^2"), {"system": "metric"}, "1,290 mm²"),
    (lambda: Quantity(0.02, "inch^4"), {"system": "metric"}, "8,325 mm⁴"),
    (lambda: Quantity(0.2, "inch/second"), {"system": "metric"}, "5.080 mm/s"),
    (lambda: Quantity(5.08, "mm/s"), {}, "0.2000 in/s"),
    (lambda: Quantity(100, "mile/hour"), {"system": "metric"}, "160.9 km/h"),
    (lambda: Quantity(185.2, "km/hour"), {}, "100.0 kt"),
    (lambda: Quantity(1, "ounce*inch"), {"system": "metric"}, "720.1 g·mm"),
    (lambda: Quantity(9.5, "degree"), {}, "9.500°"),
    (lambda: Quantity(120, "in*lbf"), {}, "120.0 lbf·in"),
    (lambda: from_si(1e6, kind_of(Stress)), {}, "145.0 psi"),
    (lambda: from_si(138.85, kind_of(DiskLoading)), {}, "2.900 lbf/ft²"),
    (lambda: from_si(517106.8, kind_of(GaugePressure)), {}, "75.00 psi"),
    (lambda: from_si(101325.0, kind_of(Pressure)), {}, "29.92 inHg"),
    # 1 psi is 6,894.757 Pa; a metric mechanic says bar, and kPa where it is small
    (lambda: read("75 psi", GaugePressure), {"system": "metric"}, "5.171 bar"),
    (lambda: from_si(517106.8, kind_of(GaugePressure)), {"system": "metric"}, "5.171 bar"),
    (lambda: read("420 kPa", GaugePressure), {"system": "metric"}, "420.0 kPa"),
    (lambda: read("0.25 psi", GaugePressure), {"system": "metric"}, "1.724 kPa"),
    (lambda: from_si(9_999.0, kind_of(GaugePressure)), {"system": "metric"}, "9.999 kPa"),
    (lambda: from_si(10_000.0, kind_of(GaugePressure)), {"system": "metric"}, "0.1000 bar"),
    (lambda: measured("0.25 ± 0.02 psi", GaugePressure, "drop"), {"system": "metric"}, "1.72 ± 0.14 kPa"),
    (lambda: read("30.00 inHg", Pressure), {"system": "metric"}, "1,016 hPa"),
    (lambda: from_si(11.0, kind_of(TemperatureDifference)), {}, "19.80 °F"),
    (lambda: from_si(7.6e-8, kind_of(SpecificFuelConsumption)), {"system": "metric"}, "273.6 g/(kW·h)"),
    (lambda: from_si(1e-7, kind_of(SecondMomentOfArea)), {"system": "metric"}, "100,000 mm⁴"),
    (lambda: Quantity(-0.001, "°F" and "delta_degF"), {"digits": 2}, "-0.0010 °F"),
    (lambda: 0.123456, {}, "0.1235"),
    (lambda: 3, {}, "3.000"),
    (lambda: Quantity([1.0, 2.0], "ft"), {}, "[1.000, 2.000] ft"),
    (lambda: Quantity(list(range(20)), "ft"), {}, "[0, 1.000, 2.000, 3.000, 4.000, 5.000, 6.000, 7.000, …] ft"),
]  # fmt: skip


@pytest.mark.parametrize(("make", "how", "said"), SAID)
def test_said(make: object, how: dict[str, object], said: str) -> None:
    assert say(make(), **how) == said  # type: ignore[operator]


def test_what_cannot_be_said_is_told() -> None:
    for value in ("48 lb", None, True, [1, 2], object()):
        with pytest.raises(QuantityError, match="say needs a quantity"):
            say(value)
    with pytest.raises(QuantityError, match="cannot say"):
        say(Quantity(1, "ft"), "lb", kind=Force)
    with pytest.raises(QuantityError, match="'us' or 'metric'"):
        say(Quantity(1, "ft"), system="imperial")


class TestRounding:
    @pytest.mark.parametrize(
        ("value", "uncertainty", "said"),
        [
            (88.6031, 1.23, ("88.6", "1.2")),
            (88.6031, 0.996, ("88.6", "1.0")),
            (88.6031, 12.3, ("89", "12")),
            (88.6031, 123.0, ("90", "120")),
            (312_912.0, 16_716.0, ("313,000", "17,000")),
            (-312_912.0, 99_600.0, ("-310,000", "100,000")),
            (4.0, 123.0, ("0", "120")),
            (0.0123456, 0.00099, ("0.01235", "0.00099")),
            (1650.0, 0.5, ("1,650.00", "0.50")),
            (-0.004, 0.1, ("0.00", "0.10")),
            (5.0, 0.0, ("5.000", "0")),
        ],
    )
    def test_to_the_second_digit_of_the_uncertainty(
        self, value: float, uncertainty: float, said: tuple[str, str]
    ) -> None:
        assert rounded_pair(value, uncertainty) == said

    @pytest.mark.parametrize(
        ("value", "digits", "said"),
        [(0.0, 4, "0"), (-0.0, 4, "0"), (999.96, 4, "1,000"), (1e-7, 3, "1.00e-07"), (1e15, 4, "1.000e+15"),
         (12345.6, 2, "12,346")],
    )  # fmt: skip
    def test_whole_digits_are_never_dropped(self, value: float, digits: int, said: str) -> None:
        assert number_text(value, digits) == said


class TestDisplay:
    def test_is_a_choice(self) -> None:
        try:
            use_display("metric")
            assert display_system() == "metric"
            assert say(Quantity(10, "ft")) == "3.048 m"
            assert say(measured("48 ± 2 lb", Force, "gauge")) == "213.5 ± 8.9 N"
        finally:
            use_display("us")
        assert say(Quantity(10, "ft")) == "10.00 ft"

    def test_of_this_thread_of_work_alone(self) -> None:
        seen = []
        other = threading.Thread(target=lambda: (use_display("metric"), seen.append(say(Quantity(10, "ft")))))
        other.start()
        other.join()
        assert seen == ["3.048 m"]
        assert display_system() == "us"

    def test_what_is_stored_never_depends_on_it(self) -> None:
        try:
            use_display("metric")
            assert read("48 lb", Force).value == Quantity(48, "lbf")
            assert read("48 lb", Force).understood == "48 lbf"
        finally:
            use_display("us")

    def test_only_two_systems(self) -> None:
        with pytest.raises(QuantityError, match="'us' or 'metric'"):
            use_display("imperial")


def test_units_of_every_kind_are_labels_that_can_be_typed() -> None:
    for annotation in KINDS.values():
        kind = kind_of(annotation)
        assert kind is not None
        for system in ("us", "metric"):
            label = say(from_si(300.0, kind), system=system, kind=kind).partition(" ")[2]
            assert "**" not in label
            assert "_" not in label


def test_kinds_named_in_this_file_exist() -> None:
    assert {Angle, Area, Length, Mass, Temperature, Torque} <= set(KINDS.values())


def test_a_span_moment_in_pound_inches_is_kilogram_metres_on_a_metric_face() -> None:
    """3 lb·in are 3 * 0.45359237 * 0.0254 = 0.034563... kg·m: 34,563 g·mm would pretend to five digits."""
    moment = read("3 lb*in", Unbalance)
    assert say(moment, system="metric") == "0.03456 kg·m"
    assert say(moment, system="us") == "3.000 lb·in"
    assert say(read("0.25 oz*in", Unbalance), system="metric") == "180.0 g·mm"
