"""Limits and verdicts: the decision rule at its edges, and what is said."""

import itertools
import math

import numpy
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE, WORDS, Limit, Verdict, worst
from rotorkit.judging.measured import Measured, Origin, largest_less_smallest, measured
from rotorkit.quantities import (
    Angle,
    Area,
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
    Temperature,
    TemperatureDifference,
    Torque,
    read,
    use_display,
)
from rotorkit.quantities.saying import display

TENSION = Limit("cable tension", Force, "45 lb", "50 lb", "manual 7-12")


def judged(text: str, limit: Limit = TENSION) -> Verdict:
    return limit.judge(measured(text, limit.kind, "gauge"))


class TestTheRule:
    @pytest.mark.parametrize(
        ("typed", "word"),
        [
            ("47.5 ± 1 lb", IN_LIMITS),
            ("46 ± 1 lb", IN_LIMITS),  # the interval just reaches the side
            ("49 ± 1 lb", IN_LIMITS),
            ("45.9 ± 1 lb", TOO_CLOSE),
            ("49.1 ± 1 lb", TOO_CLOSE),
            ("45 ± 1 lb", TOO_CLOSE),
            ("44.1 ± 1 lb", TOO_CLOSE),
            ("44 ± 1 lb", TOO_CLOSE),  # not wholly outside: it touches the side
            ("43.9 ± 1 lb", OUT_OF_LIMITS),
            ("51.1 ± 1 lb", OUT_OF_LIMITS),
            ("51 ± 1 lb", TOO_CLOSE),
            ("47.5 ± 3 lb", TOO_CLOSE),  # wider than the limit
            ("45 lb", IN_LIMITS),  # no uncertainty: by the value alone
            ("50 lb", IN_LIMITS),
            ("44.999 lb", OUT_OF_LIMITS),
            ("50.001 lb", OUT_OF_LIMITS),
            ("222.4 N", IN_LIMITS),
        ],
    )
    def test_two_sides(self, typed: str, word: str) -> None:
        assert judged(typed).word == word

    @pytest.mark.parametrize(
        ("low", "high", "typed", "word"),
        [
            (None, "0.5 deg", "0.3 ± 0.1 deg", IN_LIMITS),
            (None, "0.5 deg", "-30 ± 0.1 deg", IN_LIMITS),
            (None, "0.5 deg", "0.45 ± 0.1 deg", TOO_CLOSE),
            (None, "0.5 deg", "0.7 ± 0.1 deg", OUT_OF_LIMITS),
            ("0.5 deg", None, "0.7 ± 0.1 deg", IN_LIMITS),
            ("0.5 deg", None, "0.3 ± 0.1 deg", OUT_OF_LIMITS),
            (None, None, "0.3 ± 0.1 deg", NO_LIMIT),
            ("0.5 deg", "0.5 deg", "0.5 deg", IN_LIMITS),
            ("0 deg", "0 deg", "0 deg", IN_LIMITS),
        ],
    )
    def test_one_side_and_none(self, low: str | None, high: str | None, typed: str, word: str) -> None:
        verdict = judged(typed, Limit("droop", Angle, low, high, "manual 3"))
        assert verdict.word == word
        assert verdict.good == (word == IN_LIMITS)

    @given(st.floats(-100, 100), st.floats(0, 20), st.floats(-100, 100) | st.none(), st.floats(-100, 100) | st.none())
    def test_the_three_words_part_the_line_without_gap_or_overlap(
        self, value: float, expanded: float, low: float | None, high: float | None
    ) -> None:
        if low is not None and high is not None and low > high:
            low, high = high, low
        sides = [None if side is None else Quantity(side, "newton") for side in (low, high)]
        figure = Measured(value, Force, {Origin("x"): expanded / 2} if expanded else None)
        word = Limit("load", Force, *sides).judge(figure).word
        least, most = (-math.inf if low is None else low), (math.inf if high is None else high)
        near = 1e-9 * max(1.0, abs(value), expanded)
        if low is None and high is None:
            assert word == NO_LIMIT
        elif word == IN_LIMITS:
            assert least - near <= value - expanded
            assert value + expanded <= most + near
        elif word == OUT_OF_LIMITS:
            assert value + expanded < least + near or value - expanded > most - near
        else:
            assert value - expanded < least or value + expanded > most
            assert value + expanded >= least - near
            assert value - expanded <= most + near

    @given(st.floats(40, 55), st.floats(0.01, 4), st.floats(1.01, 3))
    def test_a_better_gauge_never_turns_in_into_out(self, value: float, expanded: float, factor: float) -> None:
        def word(size: float) -> str:
            return TENSION.judge(measured(Quantity(value, "lbf"), Force, "gauge", Quantity(size, "lbf"))).word

        rough, fine = word(expanded * factor), word(expanded)
        assert rough == TOO_CLOSE or fine == rough

    def test_a_limit_met_in_another_unit_is_met(self) -> None:
        for number, unit in itertools.product(range(1, 60), ("lb", "ft", "deg")):
            kind = {"lb": Force, "ft": Length, "deg": Angle}[unit]
            limit = Limit("x", kind, None, f"{number} {unit}")
            assert limit.judge(Measured(read(f"{number} {unit}", kind).si * (1 + 2e-16), kind)).word == IN_LIMITS

    def test_a_spread_between_readings(self) -> None:
        limit = Limit("blade-to-blade spread", Angle, None, "0.5 deg", "manual 7-3")
        angles = [
            measured(text, Angle, f"blade {i}", "0.1 deg", {"protractor zero": "1 deg"})
            for i, text in enumerate(("9.0 deg", "9.1 deg", "9.2 deg"))
        ]
        verdict = limit.judge(largest_less_smallest(angles))
        assert verdict.word == IN_LIMITS, "the protractor's zero cancels"

    def test_temperatures(self) -> None:
        limit = Limit("cylinder head", Temperature, None, "400 °F", "manual 9")
        assert judged("395 ± 5 °F", limit).word == IN_LIMITS
        assert judged("398 ± 5 °F", limit).word == TOO_CLOSE
        assert judged("406 ± 5 °F", limit).settle == "6.0 °F above the upper limit"
        assert judged("200 °C", limit).word == IN_LIMITS

    def test_worst_of_several(self) -> None:
        assert worst([judged("47.5 ± 1 lb"), judged("46 ± 2 lb"), judged("40 ± 1 lb")]) == OUT_OF_LIMITS
        assert worst([judged("47.5 ± 1 lb"), judged("46 ± 2 lb")]) == TOO_CLOSE
        assert worst([judged("47.5 ± 1 lb")]) == IN_LIMITS
        assert worst([judged("47.5 ± 1 lb"), judged("1 lb", Limit("x", Force))]) == NO_LIMIT
        assert worst([]) == NO_LIMIT
        assert WORDS == (OUT_OF_LIMITS, TOO_CLOSE, UNDONE, NO_LIMIT, IN_LIMITS)


class TestTheChanceOfBeingInside:
    @given(st.floats(-50, 50), st.floats(0.01, 20), st.floats(-60, 60) | st.none(), st.floats(-60, 60) | st.none())
    def test_is_the_normal_distribution_s(self, value: float, u: float, low: float | None, high: float | None) -> None:
        if low is None and high is None:
            return
        if low is not None and high is not None and low > high:
            low, high = high, low
        sides = [None if side is None else Quantity(side, "newton") for side in (low, high)]
        found = Limit("load", Force, *sides).judge(Measured(value, Force, {Origin("x"): u})).probability
        below = norm.cdf(math.inf if high is None else high, value, u)
        assert found == pytest.approx(below - norm.cdf(-math.inf if low is None else low, value, u), abs=1e-12)

    def test_is_not_given_without_uncertainty_or_limit(self) -> None:
        assert judged("47 lb").probability is None
        assert judged("47 ± 1 lb", Limit("x", Force)).probability is None

    def test_at_the_side_it_is_a_half(self) -> None:
        assert judged("45 ± 0.1 lb").probability == pytest.approx(0.5)


class TestWhatIsSaid:
    def test_figure_limit_and_word(self) -> None:
        assert judged("47.5 ± 1 lb").sentence == "cable tension: 47.5 ± 1.0 lbf; limit 45 lbf to 50 lbf: in limits"
        assert judged("47.5 lb").sentence.endswith("in limits (no uncertainty given)")
        assert judged("47.5 ± 1 lb", Limit("sag", Force)).sentence == "sag: 47.5 ± 1.0 lbf; no limit given"

    def test_the_limit_in_the_unit_in_which_it_was_typed(self) -> None:
        assert Limit("gap", Length, "0.010 in", "0.020 in").text == "0.01 in to 0.02 in"
        assert Limit("gap", Length, "1/64 in").text == "at least 0.015625 in"
        assert Limit("torque", Torque, None, "40 in-lb").text == "at most 40 lbf·in"
        assert Limit("droop", Angle, None, "0° 30'").text == "at most 0.5°"
        assert Limit("humidity", Ratio, "40 %", "60 %").text == "40 % to 60 %"
        assert Limit("gap", Length, Quantity(0.25, "in")).text == "at least 0.25 in"
        assert Limit("gap", Length, "0.010 in", unit="thou").text == "at least 10 thou"
        assert judged("0.015 ± 0.002 in", Limit("gap", Length, "0.010 in")).sentence.startswith(
            "gap: 0.0150 ± 0.0020 in"
        )

    def test_in_metric_by_choice(self) -> None:
        try:
            use_display("metric")
            assert Limit("gap", Length, "0.010 in").text == "at least 0.254 mm"
            assert Limit("shake", Speed, None, "0.2 in/s").text == "at most 5.08 mm/s"
            assert Limit("disk", Area, None, "10 in^2").text == "at most 6,452 mm²"
            assert judged("51.1 ± 0.1 lb").settle == "4.9 N above the upper limit"
        finally:
            use_display("us")

    def test_what_would_settle_it(self) -> None:
        near = judged("49.5 ± 1 lb")
        assert "0.50 lbf inside the limit" in near.settle
        assert "uncertainty 1.0 lbf" in near.settle
        assert "gauge" in near.settle
        assert "outside" in judged("50.5 ± 1 lb").settle
        assert "on the limit itself" in judged("50 ± 1 lb").settle
        narrow = judged("47.5 ± 3 lb").settle
        assert "narrower than the uncertainty" in narrow
        assert "2.5 lbf" in narrow
        assert judged("40 ± 1 lb").settle == "5.0 lbf below the lower limit"
        assert judged("47.5 ± 1 lb").settle == ""

    def test_it_is_the_figure_that_must_be_known_better_and_the_doubt_is_blamed_by_its_share(self) -> None:
        limit = Limit("power margin", Force, "10 lb", None)
        merit, air = measured("8 ± 3 lb", Force, "figure of merit"), measured("3 ± 1 lb", Force, "air temperature")
        assert limit.judge(merit + air).settle == (
            "the figure lies 1.0 lbf inside the limit, uncertainty 3.2 lbf: adjust, or bring the uncertainty "
            "below 1.0 lbf; main contributor: figure of merit"
        )
        even = [measured("4 ± 2 lb", Force, label) for label in ("one", "another", "a third")]
        assert "largest contributor: " in limit.judge(even[0] + even[1] + even[2]).settle


class TestRefused:
    def test_upside_down(self) -> None:
        with pytest.raises(QuantityError, match=r"upside down: low 50 lbf is above high 45 lbf"):
            Limit("cable tension", Force, "50 lb", "45 lb")
        with pytest.raises(QuantityError, match=r"low 7 kW is above high 3 kW"):  # as typed, whatever is displayed
            Limit("power margin", Power, "7 kW", "3 kW")
        with pytest.raises(QuantityError, match=r"'kg' is a mass; for a power type for example '138 hp'"):
            Limit("power margin", Power, "7 kg")

    @pytest.mark.parametrize("side", ["5 ft", "50", "50 ± 1 lb", 50.0, Quantity(5, "ft"), Quantity(math.nan, "lbf")])
    def test_a_side_that_is_none(self, side: object) -> None:
        with pytest.raises(QuantityError):
            Limit("cable tension", Force, side)
        with pytest.raises(QuantityError):
            Limit("cable tension", Force, Quantity([1.0, 2.0], "lbf"))

    def test_a_figure_of_another_kind(self) -> None:
        for limit, figure in (
            (TENSION, measured("5 ft", Length, "x")),
            (TENSION, Quantity(48, "lbf")),
            (Limit("t", Temperature, None, "90 °F"), measured("20 °F", TemperatureDifference, "x")),
            (Limit("p", Pressure, None, "30 psi"), measured("20 psi", GaugePressure, "x")),
        ):
            with pytest.raises(QuantityError, match="the limit of"):
                limit.judge(figure)  # type: ignore[arg-type]

    def test_a_figure_that_is_not_one_finite_value(self) -> None:
        for si in (math.nan, math.inf, numpy.array([1.0, 2.0])):
            with pytest.raises(QuantityError, match="one figure at a time"):
                TENSION.judge(Measured(si, Force))
        with pytest.raises(QuantityError, match="one figure at a time"):
            TENSION.judge(Measured(1.0, Force, {Origin("x"): math.nan}))

    def test_no_kind(self) -> None:
        with pytest.raises(TypeError, match="must be a kind"):
            Limit("x", str)


def test_a_negative_margin_is_judged_though_no_mass_is_negative() -> None:
    limit = Limit("weight margin", Mass, "0 lb", None, "manual 2")
    assert limit.judge(Measured(-5.0, Mass, {Origin("x"): 1.0})).word == OUT_OF_LIMITS


def test_a_small_gauge_pressure_is_said_in_the_smaller_unit_by_its_limit_too() -> None:
    """0.11 psi is 758.4 Pa: kPa in a metric hangar, as its bar on the picture says it; 75 psi is 5.171 bar."""
    drop = Limit("drop across the cylinders", GaugePressure, low="0.11 psi")
    oil = Limit("oil pressure", GaugePressure, low="75 psi")
    found = measured("0.130 ± 0.006 psi", GaugePressure, "gauge")
    with display("metric"):
        assert drop.text == "at least 0.7584 kPa"
        assert "0.896 ± 0.041 kPa" in drop.judge(found).sentence
        assert oil.text == "at least 5.171 bar"
    with display("us"):
        assert drop.text == "at least 0.11 psi"
