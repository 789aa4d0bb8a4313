"""The inverse: by closed form or by search, every value found, each put back."""

import math
import sys
import threading

import pytest
import sympy
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.quantities import Quantity, QuantityError, assert_quantity, read
from tests.formula.relations import (
    altitude,
    barometric,
    cubic,
    difference,
    hover,
    humped,
    moment,
    rise,
    sine,
    square,
    there_and_back,
    warmed,
)
from tests.searching import examples

AIR, DISK = "1.225 kg/m^3", "531 ft^2"


class TestClosedForm:
    def test_each_argument(self) -> None:
        power = hover("1650 lbf", AIR, DISK)
        assert_quantity(hover.solve_for("thrust", result=power, density=AIR, area=DISK), "1650.00000 lbf")
        assert_quantity(hover.solve_for("area", result=power, density=AIR, thrust="1650 lbf"), "531.00000 ft^2")
        assert_quantity(hover.solve_for("density", result=power, thrust="1650 lbf", area=DISK), "1.2250000 kg/m^3")

    @given(st.floats(10, 20_000), st.floats(0.5, 1.5), st.floats(5, 100))
    @examples(40)
    def test_there_and_back(self, thrust: float, density: float, area: float) -> None:
        found = hover.solve_for(
            "thrust",
            result=Quantity(hover.si(thrust, density, area), "W"),
            density=Quantity(density, "kg/m^3"),
            area=Quantity(area, "m^2"),
        )
        assert found.magnitude == pytest.approx(thrust, rel=1e-9)

    def test_the_case_that_keeps_a_symbolic_solver_busy_is_not_given_to_it(
        self, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(sympy, "solve", lambda *_, **__: pytest.fail("was asked"))
        found = barometric.solve_for("height", result="950 hPa")
        assert_quantity(barometric(found), "95000.000 Pa")

    def test_by_way_of_another_formula(self) -> None:
        assert_quantity(there_and_back.solve_for("height", result=there_and_back("1234 ft")), "1234.000 ft")

    def test_temperatures_and_their_differences(self) -> None:
        assert_quantity(rise.solve_for("warm", result="45 °F", cold="40 °F"), "85.0000 °F")
        assert_quantity(warmed.solve_for("change", result="85 °F", cold="40 °F"), "45.0000 °F")

    def test_a_wanted_zero(self) -> None:
        assert_quantity(altitude.solve_for("pressure", result="0 ft"), "101325.000 Pa")
        assert_quantity(difference.solve_for("first", result="0 ft", second="3 ft"), "3.0000000 ft")
        assert difference.solve_for("first", result="0 ft", second="0 ft").magnitude == 0
        assert str(barometric.solve_for("height", result="101325 Pa").magnitude) == "0.0"


class TestSeveral:
    def test_are_all_named(self) -> None:
        with pytest.raises(QuantityError, match=r"several values of a do, -2.000 and 2.000: give between"):
            square.solve_for("a", result=4)
        with pytest.raises(QuantityError, match=r"-1.000 and 0 and 1.000"):
            cubic.solve_for("a", result=0, b=1)
        with pytest.raises(QuantityError, match=r"0.2592 and 2.543"):
            humped.solve_for("a", result=0.2)

    def test_between_picks_one(self) -> None:
        assert square.solve_for("a", result=4, between=(0, 5)).magnitude == 2
        assert square.solve_for("a", result=4, between=(5, 0)).magnitude == 2
        assert square.solve_for("a", result=4, between=(2, 5)).magnitude == 2
        assert cubic.solve_for("a", result=0, b=1, between=(0.5, 3)).magnitude == pytest.approx(1)
        assert humped.solve_for("a", result=0.2, between=(0, 1)).magnitude == pytest.approx(0.25917110)

    def test_bounds_pick_one(self) -> None:
        assert_quantity(sine.solve_for("a", result=0.5), "30.00000 deg")
        assert_quantity(sine.solve_for("a", result=1), "90.00000 deg")
        assert sine.solve_for("a", result=0).magnitude == 0


class TestNone:
    @pytest.mark.parametrize(
        ("solve", "message"),
        [
            (lambda: square.solve_for("a", result=-4), "no a gives -4.000"),
            (lambda: humped.solve_for("a", result=0.5), "no a gives 0.5000"),
            (lambda: sine.solve_for("a", result=2), "no a from 0 deg to 90 deg gives 2.000"),
            (lambda: square.solve_for("a", result=4, between=(3, 5)), "no a between 3.000 and 5.000 gives 4.000"),
            (
                lambda: hover.solve_for("thrust", result="-5 hp", density=AIR, area=DISK),
                "no thrust 0 lbf or more gives",
            ),
        ],
    )
    def test_is_told(self, solve, message: str) -> None:  # type: ignore[no-untyped-def]
        with pytest.raises(QuantityError) as caught:
            solve()
        assert message in str(caught.value)


class TestRefused:
    @pytest.mark.parametrize(
        ("solve", "message"),
        [
            (
                lambda: hover.solve_for("weight", result="5 hp"),
                "has no argument 'weight': they are thrust, density, area",
            ),
            (lambda: hover.solve_for("thrust", result="5 hp", density=AIR), "area is missing"),
            (lambda: hover.solve_for("thrust", result="5 hp", density=AIR, area="5 ft"), "area needs an area"),
            (lambda: hover.solve_for("thrust", result="5 lb", density=AIR, area=DISK), "result needs a power"),
            (lambda: hover.solve_for("thrust", result="5 hp", density=AIR, area=DISK, thrust="5 lb"), "thrust is not"),
            (lambda: difference.solve_for("first", result="1 ft", second="1 ft", between=("1 lb", "2 ft")), "between"),
            (lambda: difference.solve_for("first", result="1 ft", second=Quantity([1.0, 2.0], "ft")), "single values"),
        ],
    )
    def test_with_a_message(self, solve, message: str) -> None:  # type: ignore[no-untyped-def]
        with pytest.raises(QuantityError) as caught:
            solve()
        assert message in str(caught.value)

    def test_of_what_is_uncertain_the_value_counts(self) -> None:
        assert_quantity(moment.solve_for("arm", result="10 ± 1 ft-lb", force="5 ± 1 lb"), "2.000000 ft")
        assert_quantity(moment.solve_for("arm", result=read("10 ft-lb", moment.kind), force="5 lb"), "2.000000 ft")


class TestNothingElseHappens:
    def test_no_thread_no_trace_and_nothing_said_under_load(self, capfd: pytest.CaptureFixture[str]) -> None:
        """Solved while other threads keep the interpreter busy, in the caller's own thread."""
        stop, before, trace = threading.Event(), threading.active_count(), sys.gettrace()

        def busy() -> None:
            while not stop.is_set():
                sum(range(1000))

        others = [threading.Thread(target=busy) for _ in range(4)]
        for thread in others:
            thread.start()
        try:
            for _ in range(3):
                assert humped.solve_for("a", result=0.2, between=(0, 1)).magnitude == pytest.approx(0.25917110)
                assert threading.active_count() == before + 4
                assert sys.gettrace() is trace
        finally:
            stop.set()
            for thread in others:
                thread.join()
        assert capfd.readouterr() == ("", "")

    def test_a_value_that_is_met_at_a_peak_and_not_crossed(self) -> None:
        """humped is a exp(-a) : its peak is 1/e, at 1."""
        assert humped.solve_for("a", result=math.exp(-1)).magnitude == pytest.approx(1.0, abs=1e-4)
