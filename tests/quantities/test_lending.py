"""No part of what is typed takes its unit or factor from another where something else could be meant.

By rule, over every kind: a text whose parts all bear their units is read as each part is read alone; a part that bears
none takes a unit only if no more than one could be meant, the units written and the field's taken together; and what is
refused says each way to write it, all of them read, no two of them alike.
"""

import itertools
import math

import pytest

from rotorkit.aircraft.entries import Entry
from rotorkit.aircraft.instruments import Instrument
from rotorkit.judging.measured import difference_si
from rotorkit.quantities import (
    KINDS,
    Angle,
    Force,
    Kind,
    Length,
    Mass,
    QuantityError,
    Ratio,
    Reading,
    Temperature,
    kind_of,
    read,
    unit_factor,
    unit_label,
    without_spread,
    written_share,
)
from rotorkit.quantities.errors import AmbiguousReading
from rotorkit.quantities.registry import in_unit

NUMBERS = {"7.5": 7.5, "5/16": 0.3125}
SPREADS = {"2": 2.0, "1/8": 0.125}


def units_of(kind: Kind) -> list[str]:
    """The kind's own units and one spelling more, no two of one size."""
    shares = ["%", "ppm"] if kind.si == "" else []
    found: dict[float, str] = {}
    for unit in [kind.us, kind.metric, kind.si, *shares]:
        found.setdefault(unit_factor(unit, kind), unit)
    return list(found.values())


def si(number: float, unit: str, kind: Kind) -> float:
    """A number in a unit as an SI value, by way of the unit's factor and zero alone."""
    zero = float(in_unit(0.0, unit, kind))
    return (number - zero) * unit_factor(unit, kind)


def parts_of(reading: Reading) -> tuple[float, float | None]:
    return reading.si, None if reading.uncertainty is None else difference_si(reading.uncertainty, reading.kind)


def check_ways(problem: AmbiguousReading, kind: Kind) -> None:
    """Every way to write it is read, and each means something else."""
    assert len(problem.ways) >= 2
    found = [parts_of(read(way, kind)) for way in problem.ways]
    assert len(set(found)) == len(found)
    assert all(way in str(problem) for way in problem.ways)


def read_or_ways(text: str, kind: Kind, beside: str | None) -> Reading | QuantityError:
    try:
        return read(text, kind, beside)
    except QuantityError as problem:
        if isinstance(problem, AmbiguousReading):
            check_ways(problem, kind)
        return problem


@pytest.mark.parametrize("name", [name for name in KINDS if name != "Ratio"])
def test_value_and_uncertainty_keep_their_own_units(name: str) -> None:
    kind = kind_of(KINDS[name])
    assert kind is not None
    units, asked = units_of(kind), 0
    for (value, x), (spread, u), mine, its, beside in itertools.product(
        NUMBERS.items(), SPREADS.items(), ["", *units], ["", "%", *units], [None, *units]
    ):
        text = f"{value} {mine} ± {spread} {its}"
        meant = {unit for unit in (mine, its, beside) if unit and unit != "%"}
        try:
            found = read(text, kind, beside)
        except AmbiguousReading as problem:
            check_ways(problem, kind)
            assert not (mine and its)
            assert len(meant) > 1, f"{text} in a field of {beside} can mean one thing only"
            asked += 1
            continue
        except QuantityError:
            assert not meant or (its == "%" and (kind.flavour == "temperature" or not (mine or beside))), text
            continue
        (of_value,) = {mine} if mine and its else meant  # what bears none takes the only one there is
        assert found.si == pytest.approx(si(x, of_value, kind), rel=1e-12), text
        assert found.uncertainty is not None
        size = u * unit_factor(its if its and its != "%" else of_value, kind) * (x / 100 if its == "%" else 1.0)
        assert difference_si(found.uncertainty, kind) == pytest.approx(size, rel=1e-12), (
            f"{text} in a field of {beside}"
        )
        # what is kept of it reads the same where no field lends it a unit
        assert parts_of(read(found.complete, kind)) == parts_of(found)
    assert asked or len(units) == 1


def test_value_and_uncertainty_of_a_ratio_keep_their_own_units() -> None:
    kind = kind_of(Ratio)
    assert kind is not None
    scale = {"": 1.0, "%": 0.01, "ppm": 1e-6}
    units = list(scale)
    told = 0
    for (value, x), (spread, u), mine, its, beside in itertools.product(
        NUMBERS.items(), SPREADS.items(), units, units, [None, *units]
    ):
        text = f"{value} {mine} ± {spread} {its}"
        own = mine or beside or ""
        fraction = "/" in value and " " not in value and not mine and bool(beside)
        lent = bool(mine) and not its and mine != beside and u < 1
        found = read_or_ways(text, kind, beside)
        if isinstance(found, Reading):
            assert parts_of(found) == pytest.approx((x * scale[own], u * scale[its or own])), text
            assert parts_of(read(found.complete, kind)) == parts_of(found)
        else:
            assert "ways" in str(found)
            told += 1
        assert isinstance(found, QuantityError) == ((not own and bool(its)) or fraction or lent), (
            f"{text} in a field of {beside!r}"
        )
    assert told


SHARES = [
    # text, bare unit, what it says
    ("0.60 ± 5 %", None, ("0.60 % ± 5 %", "0.60 ± 0.03", "0.60 ± 0.05")),
    ("6:1 ± 1 %", None, ("6:1 ± 0.06", "6:1 ± 0.01")),
    ("6:1 ± 1 %", "%", ("6:1 ± 0.06", "6:1 ± 0.01")),
    ("0.15 ± 2 percent", None, ("0.15 % ± 2 %", "0.15 ± 0.003", "0.15 ± 0.02")),
    ("27.5 ± 2 %", "", ("27.5 % ± 2 %", "27.5 ± 0.55", "27.5 ± 0.02")),
    ("60 % ± 0.02", None, ("60 % ± 0.02 %", "60 % ± 2 %")),
    ("3/4", "%", ("0.75 %", "75 %")),
]


@pytest.mark.parametrize(("text", "bare_unit", "ways"), SHARES)
def test_a_share_is_never_lent(text: str, bare_unit: str | None, ways: tuple[str, ...]) -> None:
    with pytest.raises(AmbiguousReading) as caught:
        read(text, Ratio, bare_unit)
    assert caught.value.ways == tuple(ways)
    check_ways(caught.value, kind_of(Ratio))  # type: ignore[arg-type]


def test_a_field_of_per_cent_lends_its_unit_to_bare_numbers_and_to_no_ratio() -> None:
    assert parts_of(read("60 ± 2 %", Ratio, "%")) == pytest.approx((0.6, 0.02))
    assert parts_of(read("60 ± 2", Ratio, "%")) == pytest.approx((0.6, 0.02))
    assert parts_of(read("60 % ± 0.5", Ratio, "%")) == pytest.approx((0.6, 0.005))
    assert read("4.5:1", Ratio, "%").si == 4.5
    assert read("1:4", Ratio, "%").si == 0.25


OTHERS = [
    ("11 ft 6 in ± 1", Length, None, ("11 ft 6 in ± 1 in", "11 ft 6 in ± 1 ft")),
    ("14° 30' ± 5", Angle, None, ("14° 30' ± 5 '", "14° 30' ± 5 °")),
    ("14 ± 30'", Angle, None, ("14' ± 30'", "14° ± 30'")),
    ("85 ± 1 °C", Temperature, "°F", ("85 °C ± 1 °C", "85 °F ± 1 °C")),
    ("48 ± 2 N", Force, "lb", ("48 N ± 2 N", "48 lb ± 2 N")),
    ("48 lb ± 2", Force, "N", ("48 lb ± 2 lb", "48 lb ± 2 N")),
]


@pytest.mark.parametrize(("text", "kind", "bare_unit", "ways"), OTHERS)
def test_no_other_unit_is_lent_where_two_could_be(
    text: str, kind: object, bare_unit: str | None, ways: tuple[str, ...]
) -> None:
    with pytest.raises(AmbiguousReading) as caught:
        read(text, kind, bare_unit)
    assert caught.value.ways == tuple(ways)
    check_ways(caught.value, kind_of(kind))  # type: ignore[arg-type]


class TestAField:
    share = Entry(Ratio, physical=("0", "1"))

    def test_takes_what_its_bounds_leave_one_meaning_for(self) -> None:
        assert parts_of(self.share.read("94 ± 2 %")) == pytest.approx((0.94, 0.02))
        assert self.share.read("94 ± 2 %").typed == "94 ± 2 %"
        assert self.share.read("94 ± 2 %").understood == "94 % ± 2 %"

    @pytest.mark.parametrize("text", ["0.15 ± 2 %", "0.60 ± 5 %", "1 ± 0.5 %"])
    def test_asks_where_they_leave_two(self, text: str) -> None:
        with pytest.raises(QuantityError, match="ways"):
            self.share.read(text)

    def test_never_takes_the_other_meaning_instead(self) -> None:
        with pytest.raises(QuantityError, match="ways"):  # 0.06 is no ratio of this drive, but 6 ± 1 % says two things
            Entry(Ratio, physical=("0.5", "20")).read("6 ± 1 %")


CONTINENTAL = [
    # text, kind, the ways it can be meant, its own first
    ("3,125 in", Length, ("3125 in", "3.1250 in")),
    ("1.310 lb", Mass, ("1.31 lb", "1310 lb")),
    ("1.310 lb", Force, ("1.31 lb", "1310 lb")),
    ("1.000 ft", Length, ("1.0 ft", "1000 ft")),
    ("-2.500 ft", Length, ("-2.5 ft", "-2500 ft")),
    ("72,500 kg", Mass, ("72500 kg", "72.5 kg")),
    ("14,500°", Angle, ("14500°", "14.5°")),
    ("94,500 %", Ratio, ("94500 %", "94.5 %")),
    ("48 ± 2,250 lb", Force, ("48 lb ± 2250 lb", "48 lb ± 2.25 lb")),
    ("1450 ± 1.250 lb", Mass, ("1450 lb ± 1.25 lb", "1450 lb ± 1250 lb")),
]


@pytest.mark.parametrize(("text", "kind", "ways"), CONTINENTAL)
def test_a_comma_or_point_that_may_be_the_other_is_asked_about(text: str, kind: object, ways: tuple[str, ...]) -> None:
    with pytest.raises(AmbiguousReading) as caught:
        read(text, kind)
    assert sorted(caught.value.ways) == sorted(ways)
    check_ways(caught.value, kind_of(kind))  # type: ignore[arg-type]


CLEAR = [
    "1,310 lb",
    "1,310.5 lb",
    "1.6530 lb",
    "1.31 lb",
    "0.125 lb",
    "1,234,567 lb",
    "12.5 lb",
    "48.125 lb",
    "1310 lb",
]


@pytest.mark.parametrize("text", CLEAR)
def test_what_can_be_one_thing_only_is_read(text: str) -> None:
    assert read(text, Force).magnitude == float(text.removesuffix(" lb").replace(",", ""))


def test_what_the_trade_writes_is_not_asked_about() -> None:
    for text, kind in (("4,650 ft", Length), ("12.125 in", Length), ("0.375 in", Length), ("1,450 lb", Mass)):
        assert read(text, kind).typed == text
    for text, name in (("2,700 rpm", "RotationRate"), ("12,000 psi", "Stress"), ("1.225 kg/m^3", "Density"),
                       ("29.920 inHg", "Pressure"), ("1,900 ft/min", "Speed"), ("101,325 Pa", "Pressure")):  # fmt: skip
        assert read(text, KINDS[name]).typed == text


def test_a_field_asks_only_where_its_bounds_allow_both() -> None:
    radius = Entry(Length, ("ft", "m"), ("3 in", "60 ft"))
    weight = Entry(Mass, ("lb", "kg"), ("200 lb", "12000 lb"))
    assert radius.read("12.500 ft").understood == "12.5 ft"
    assert weight.read("1,450 lb").understood == "1,450 lb"
    for text in ("1.310 lb", "1.310 kg"):
        with pytest.raises(QuantityError, match="two ways: type "):
            weight.read(text)
    with pytest.raises(QuantityError, match="must be from 3 in to 60 ft"):
        radius.read("12,500 ft")


@pytest.mark.parametrize("name", KINDS)
def test_what_is_said_back_is_the_same_quantity(name: str) -> None:
    kind = kind_of(KINDS[name])
    assert kind is not None
    for unit in units_of(kind):
        for number in ("1", "12.5", "1.6530", "12345.678", "0.3048", "9.87654321012345", "1e-7", "2/3", "7 5/64"):
            reading = read(f"{number} {unit} ± 0.25 {unit}", kind)
            again = read(reading.understood, kind)
            assert again.si == (pytest.approx(reading.si, rel=5e-10) if reading.compound else reading.si)
            assert again.understood == reading.understood
            label = unit_label(unit, kind)
            assert label in reading.understood


@pytest.mark.parametrize(
    ("text", "value"),
    [("12' ± 1 in", "12'"), ('12" ± 1/4 in', '12"'), ("1e3 ± 1 ft", "1e3 ft"), ("7.0 ± 1.0 ft^2", "7.0 ft^2"),
     ("48 lb ± 5 %", "48 lb"), ("6:1 ± 0.1", "6:1"), ("94 ± 2 %", "94 %"), ("12 +/- 1 in", "12 in"),
     ("1,380 lb ± 0.5 %", "1,380 lb"), ("against", "against"), ("0.75 ± 0.02", "0.75")],
)  # fmt: skip
def test_a_value_without_its_uncertainty_keeps_its_own_unit(text: str, value: str) -> None:
    assert without_spread(text) == value


class TestAnInstrument:
    def instrument(self, **given: object) -> Instrument:
        return Instrument.model_validate({"title": "gauge", "serial": "7", "measures": "cable tension", **given})

    @pytest.mark.parametrize("share", ["5 %", "5%", "5 percent", "5 per cent", "50000 ppm"])
    def test_a_share_is_of_the_reading_however_it_is_written(self, share: str) -> None:
        assert written_share(share) == pytest.approx(0.05)
        table = {"riser": "1", "cable_diameter": "1/8 in", "rows": [(10.0, "20 lb"), (25.0, "50 lb"), (40.0, "80 lb")]}
        dial = self.instrument(uncertainty=share, tables=[table]).measure("27.5", "dial")
        assert float(dial.expanded_si) == pytest.approx(27.5 * 0.05)
        pull = self.instrument(uncertainty=share).measure("40 N", "pull")
        assert float(pull.expanded_si) == pytest.approx(2.0)
        humid = self.instrument(uncertainty=share, measures="humidity").measure("60 %", "air")
        assert float(humid.expanded_si) == pytest.approx(0.05)

    def test_a_share_below_nothing_is_told_when_the_file_is_read(self) -> None:
        for size in ("-5 %", "-2 lb"):
            with pytest.raises(ValueError, match="zero or more"):
                self.instrument(uncertainty=size)


def test_a_field_takes_our_own_meaning_though_it_is_unusual_where_the_other_is_so_too() -> None:
    entry = Entry(Length, ("ft", "m"), ("0 m", "5 km"), ("10 m", "2 km"))
    assert entry.read("3.048 m").understood == "3.0480 m"  # 3 km is as unusual
    with pytest.raises(QuantityError, match="two ways"):
        entry.read("1.500 m")  # and 1500 m is usual


def test_a_program_s_point_is_a_decimal_point() -> None:
    """What a program wrote has no other meaning of a point; a comma before three figures is asked about."""
    from rotorkit.quantities import assert_quantity
    from rotorkit.rotor import disk_area, tip_speed

    assert_quantity(disk_area("2.083 ft"), f"{math.pi * 2.083**2:.4f} ft^2")
    assert_quantity(tip_speed("455 rpm", "11.667 ft"), f"{455 * math.pi / 30 * 11.667:.3f} ft/s")
    with pytest.raises(QuantityError, match="two ways"):
        disk_area("3,125 in")
    with pytest.raises(AmbiguousReading):
        read("2.083 ft", Length)


def test_parts_in_a_million_behind_the_uncertainty_alone() -> None:
    """4 ± 3 ppm is what an instrument's leaflet prints. Where a reading may be no more than 5000 ppm only one of the
    two things that it could mean is possible; where nothing is known of it, it is asked back with both."""
    gas = Entry(Ratio, ("ppm", "ppm"), ("0 ppm", "5000 ppm"))
    assert gas.read("4 ± 3 ppm").understood == "4 ppm ± 3 ppm"
    assert gas.read("4 ± 3 ppm").si == pytest.approx(4e-6, rel=1e-12)
    with pytest.raises(AmbiguousReading, match="4 ppm ± 3 ppm") as asked:
        read("4 ± 3 ppm", Ratio)
    assert asked.value.ways == ("4 ppm ± 3 ppm", "4 ± 0.000003")
