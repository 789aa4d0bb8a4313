"""Several numbers in one text: repeats by spaces and lines, sums; and what is asked about instead."""

import math

import pytest

from rotorkit.aircraft import Instrument
from rotorkit.aircraft.entries import Entry
from rotorkit.quantities import (
    Angle,
    Force,
    Length,
    Mass,
    MassDifference,
    QuantityError,
    Ratio,
    Temperature,
    Volume,
    read,
    read_repeats,
    without_spread,
)

POUND, FOOT, GALLON = 0.45359237, 0.3048, 231 * 0.0254**3  # NIST SP 811, B.8


class TestRepeats:
    @pytest.mark.parametrize(
        ("text", "semicolons"),
        [
            ("1.2 1.3 1.1 deg", "1.2; 1.3; 1.1 deg"),
            ("-5.1 −5.2  –5.0 deg", "-5.1; -5.2; -5.0 deg"),
            ("1.2\n1.3\r\n\n1.1 deg\n", "1.2; 1.3; 1.1 deg"),
            ("1.2\u20281.3 deg", "1.2; 1.3 deg"),
            ("12 13 14 deg", "12; 13; 14 deg"),
        ],
    )
    def test_spaces_and_lines_part_as_semicolons_do(self, text: str, semicolons: str) -> None:
        found, wanted = read_repeats(text, Angle), read_repeats(semicolons, Angle)
        assert [(one.si, one.step.magnitude) for one in found] == [(one.si, one.step.magnitude) for one in wanted]

    def test_a_fraction_belongs_to_the_whole_before_it(self) -> None:
        assert [one.m_as("inch") for one in read_repeats("35 1/2 36 1/4 in", Length)] == [35.5, 36.25]
        assert [one.m_as("inch") for one in read_repeats("35 1/2 in", Length)] == [35.5]

    def test_a_plain_number_and_the_unit_of_the_form(self) -> None:
        assert [one.si for one in read_repeats("27 27.5 28", Ratio, "")] == [27, 27.5, 28]
        assert [one.si for one in read_repeats("40 41", Force, "N")] == [40, 41]
        assert [one.m_as("pound") for one in read_repeats("1,310 1,320 lb", Mass)] == [1310, 1320]
        assert [one.m_as("pound") for one in read_repeats("1310 520 lb", Mass)] == [1310, 520]

    @pytest.mark.parametrize(
        ("text", "kind", "unit", "ways"),
        [
            ("12 13", Angle, "deg", ("12; 13", "12° 13'")),
            ("11 8 in", Length, None, ("11; 8 in", "11 ft 8 in")),
            ("101 102 lb", Mass, None, ("101; 102 lb", "101102 lb")),
            ("1 310 1 320 lb", Mass, None, ("1; 310; 1; 320 lb", "1310; 1320 lb")),
            ("11 8 1/2 in", Length, None, ("11; 8 1/2 in", "11 ft 8 1/2 in")),
            ("14 20 1/2", Angle, "deg", ("14; 20 1/2", "14° 20 1/2'")),
            ("450 + 455 460 lb", Mass, None, ("450 + 455; 460 lb", "450 + 455460 lb")),
            ("900+180 900+181 lb", Mass, None, ("900+180; 900+181 lb", "900+180900+181 lb")),
            ("101 102\n103 104 lb", Mass, None, ("101; 102; 103; 104 lb", "101102; 103104 lb")),
            ("6; 12 ft 3 in", Length, None, ("6 in; 12 ft 3 in", "6 ft; 12 ft 3 in")),
            ("5 -3", Angle, "deg", ("5; -3", "range")),
            ("-5 3 deg", Angle, None, ("-5; 3 deg", "range")),
        ],
    )
    def test_what_can_be_something_else_is_asked_about(
        self, text: str, kind: object, unit: str | None, ways: tuple[str, ...]
    ) -> None:
        with pytest.raises(QuantityError) as caught:
            read_repeats(text, kind, unit)
        for way in ways:
            assert way in str(caught.value)

    def test_bounds_that_leave_no_other_meaning_answer_it(self) -> None:
        entry = Entry(Mass, ("lb", "kg"), ("0 lb", "12000 lb"), repeats=True)
        assert [one.m_as("pound") for one in entry.read("101 102 103 lb")] == [101, 102, 103]
        with pytest.raises(QuantityError, match="two ways"):
            entry.read("1 310 lb")
        high = Entry(Mass, ("lb", "kg"), ("900 lb", "2000 lb"), repeats=True)
        assert [one.m_as("pound") for one in high.read("1 310 lb")] == [1310]
        assert [one.m_as("pound") for one in high.read("950+180 950+181 lb")] == [1130, 1131]
        assert [one.m_as("pound") for one in high.read("1 310 + 20 lb")] == [1330]

    @pytest.mark.parametrize(
        "text",
        ["1.2 deg 1.3 deg", "1.2 1.3 ± 0.1 deg", "1.2 1.3; 1.4 deg", "5 - 3 deg", "001 002 deg", "1.2 + 1.3 deg"],
    )
    def test_anything_else_is_refused(self, text: str) -> None:
        with pytest.raises(QuantityError):
            read_repeats(text, Angle)

    def test_a_field_of_one_reading_takes_no_repeats(self) -> None:
        with pytest.raises(QuantityError, match="two numbers stand without a unit"):
            read("1.2 1.3 deg", Angle)


class TestSums:
    @pytest.mark.parametrize(
        ("text", "kind", "unit", "si"),
        [
            ("900 + 180 + 170 lb", Mass, None, 1250 * POUND),
            ("900+180+170", Mass, "lb", 1250 * POUND),
            ("900 lb + 80 kg", Mass, None, 900 * POUND + 80),
            ("11 ft 8 in + 2 ft 3 in", Length, None, 13.9166666666667 * FOOT),
            ("4.5 + 4.5 gal", Volume, None, 9 * GALLON),
            ("(900 + 180) lb", Mass, "kg", 1080 * POUND),
            ("1e+3 + 1,310 lb", Mass, None, 2310 * POUND),
            ("(35 1/2 + 3) in ± 1/16", Length, "in", 38.5 / 12 * FOOT),
            ("(12 ft 3 in + 6 in) ± 1/8 in", Length, "ft", 12.75 * FOOT),
        ],
    )
    def test_what_the_trade_adds_is_added(self, text: str, kind: object, unit: str | None, si: float) -> None:
        found = read(text, kind, unit)
        assert found.si == pytest.approx(si, rel=1e-12)
        assert read(found.complete, kind).si == pytest.approx(si, rel=1e-12)
        assert read(found.understood, kind).si == pytest.approx(si, rel=1e-9)
        assert found.told == f"{found.understood}, the sum of {text.count('+') - text.count('e+') + 1}"

    def test_its_uncertainty_is_that_of_readings_of_their_own(self) -> None:
        """The root of the sum of squares (JCGM 100:2008, 5.1.2): 3, 4 and 12 make 13."""
        found = read("900 ± 3 + 180 ± 4 + 170 ± 12 lb", Mass)
        assert found.uncertainty.m_as("pound") == pytest.approx(13)
        assert read(found.complete, Mass).uncertainty.m_as("pound") == pytest.approx(13)
        assert read("(900 + 180) lb ± 1 %", Mass).uncertainty.m_as("pound") == pytest.approx(10.8)
        assert read("(900 + 180) ± 3", Mass, "lb").uncertainty.m_as("pound") == pytest.approx(3)

    def test_an_instrument_errs_anew_with_each_and_its_common_part_with_every_one(self) -> None:
        scale = Instrument(title="scale", measures="mass", uncertainty="2 lb", shared="0.5 lb")
        found = scale.measure(read("900 + 180 + 170 lb", Mass), "weight")
        assert float(found.expanded_si) / POUND == pytest.approx(math.hypot(2 * math.sqrt(3), 3 * 0.5))
        share = Instrument(title="scale", measures="mass", uncertainty="1 %")
        of_sum = share.measure(read("900 + 180 lb", Mass), "weight")
        assert float(of_sum.expanded_si) / POUND == pytest.approx(math.hypot(9, 1.8))
        near = scale.errors_near("front", read("900 + 180 lb", Mass))
        assert near["scale near front"].m_as("pound") == pytest.approx(2 * math.sqrt(2))
        assert near["scale, in common"].m_as("pound") == pytest.approx(1.0)

    def test_repeats_of_a_sum(self) -> None:
        found = read_repeats("900+180; 901+180 lb", Mass)
        assert [one.m_as("pound") for one in found] == pytest.approx([1080, 1081])

    @pytest.mark.parametrize(
        ("text", "kind", "unit", "said"),
        [
            ("900 + 180 ± 1 lb", Mass, "lb", "one part or of the sum"),
            ("(900 + 180) ± 3 lb", Mass, "kg", "two ways"),
            ("900 + 80 kg + 3 lb", Mass, None, "900 kg + 80 kg + 3 lb"),
            ("12 ft 3 in + 6", Length, "ft", "12 ft 3 in + 6 in"),
            ("6 + 12 ft 3 in", Length, None, "6 in + 12 ft 3 in"),
            ("(12 ft + 3 in) ± 1", Length, None, "in ft or in in"),
            ("(900 lb + 180 lb) ± 2", Mass, "kg", "in lb or in kg"),
            ("(900 + 180 lb) kg ± 2", Mass, None, "unit behind the brackets"),
            ("1.310 + 20 lb", Mass, None, "'1310 lb'"),
            ("900 +", Mass, "lb", "cannot read the sum"),
            ("900 + -20 lb", Mass, "lb", "cannot read the sum"),
            ("900 - 20 lb", Mass, None, "range"),
            ("900 + 20", Mass, None, "unit"),
            ("5 + 3 deg", Angle, None, "range or a sum"),
            ("20 + 30 °F", Temperature, None, "range or a sum"),
            ("30 + 5 lb", Force, None, "range or a sum"),
            ("5 + 3 lb", MassDifference, None, "range or a sum"),
        ],
    )
    def test_what_is_no_clear_sum_is_refused(self, text: str, kind: object, unit: str | None, said: str) -> None:
        with pytest.raises(QuantityError) as caught:
            read(text, kind, unit)
        assert said in str(caught.value)

    @pytest.mark.parametrize(
        ("text", "bare"),
        [
            ("900 ± 3 + 180 ± 4 + 170 ± 12 lb", "900 + 180 + 170 lb"),
            ("(900 + 180) ± 3 lb", "(900 + 180) lb"),
            ("(900 + 180) lb ± 1 %", "(900 + 180) lb"),
            ("900 + 180 lb", "900 + 180 lb"),
        ],
    )
    def test_it_is_said_without_its_uncertainty(self, text: str, bare: str) -> None:
        assert without_spread(text) == bare
        assert read(without_spread(text), Mass).si == pytest.approx(read(text, Mass).si)
