"""Edges from both sides, and signs, of what every sheet stands on."""

from datetime import date

import pytest

from rotorkit import sources
from rotorkit.aircraft.derived import blades_of
from rotorkit.aircraft.entries import Entry
from rotorkit.aircraft.instruments import Instrument
from rotorkit.formula import formula, sin
from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import Measured, Origin, propagate_together
from rotorkit.quantities import Angle, Force, Length, Mass, Pressure, QuantityError, read
from rotorkit.record.moves import moves
from rotorkit.sheets.base import Finding
from tests.sheets.small import small_aircraft


def uncertain(value: float, kind: object, name: str, size: float) -> Measured:
    return Measured(value, kind, {Origin(name): size})


def test_what_is_worked_together_moves_with_the_sign_of_each_input() -> None:
    """y = 3 a - 2 b: components 3 u_a and -2 u_b; z = a b by both sides of the point."""
    a, b = uncertain(5.0, Force, "a", 0.1), uncertain(4.0, Force, "b", 0.2)
    found = propagate_together(lambda a, b: {"y": 3 * a - 2 * b, "z": a * b}, {"y": Force, "z": Force}, (a, b))
    parts = {origin.label: float(part) for origin, part in found["y"].components.items()}
    assert parts == pytest.approx({"a": 0.3, "b": -0.4})
    parts = {origin.label: float(part) for origin, part in found["z"].components.items()}
    assert parts == pytest.approx({"a": 0.4, "b": 1.0})
    assert float(found["z"].si) == 20


@pytest.mark.parametrize(
    ("text", "kind"), [("5 ft 12 in", Length), ("5 ft 12.5 in", Length), ("5° 60'", Angle), ("3 lb 16 oz", Mass)]
)
def test_a_smaller_part_that_makes_a_whole_is_refused(text: str, kind: object) -> None:
    with pytest.raises(QuantityError, match="must be below"):
        read(text, kind)


@pytest.mark.parametrize(("text", "inches"), [("5 ft 11.99 in", 71.99), ("-5 ft 6 in", -66.0), ("-0 ft 6 in", -6.0)])
def test_parts_add_up_away_from_nought(text: str, inches: float) -> None:
    assert read(text, Length).m_as("in") == pytest.approx(inches, rel=1e-9)


USUAL = Entry(Mass, ("lb", "kg"), ("200 lb", "12000 lb"), ("600 lb", "4000 lb"))


@pytest.mark.parametrize(
    ("text", "asked"), [("599.9 lb", True), ("600 lb", False), ("4000 lb", False), ("4001 lb", True)]
)
def test_what_is_unusual_begins_beyond_the_usual(text: str, asked: bool) -> None:
    assert bool(USUAL.doubt(USUAL.read(text))) is asked


@pytest.mark.parametrize("text", ["199.9 lb", "12001 lb"])
def test_what_cannot_be_is_refused_on_both_sides(text: str) -> None:
    with pytest.raises(QuantityError, match="200 lb"):
        USUAL.read(text)


def instrument(**given: object) -> Instrument:
    return Instrument.model_validate({"title": "one", "measures": "mass", "uncertainty": "2 %", **given})


@pytest.mark.parametrize(
    ("stated_as", "standard"), [("expanded", 5.0), ("standard", 10.0), ("bounds", 10 / 3**0.5)]
)  # fmt: skip
def test_an_instruments_share_of_the_reading(stated_as: str, standard: float) -> None:
    """Two per cent of 500 kg are 10 kg, halved where that is an expanded uncertainty, over root three as bounds."""
    one = instrument(stated_as=stated_as)
    reading = read("500 kg", Mass)
    assert float(one.measure(reading, "x").standard_si) == pytest.approx(standard, rel=1e-9)
    (near,) = one.errors_near("here", reading).values()
    assert float(near.m_as("kg")) == pytest.approx(2 * standard, rel=1e-9)


def test_the_worst_repeat_sizes_an_error_that_is_a_share() -> None:
    """Two per cent of 500, 400 and 600 kg in any order: 12 kg, whichever was read first."""
    one = instrument(stated_as="expanded", shared="1 %")
    for order in ((500, 400, 600), (600, 500, 400), (400, 600, 500)):
        own, shared = one.errors_near("here", *(read(f"{kg} kg", Mass) for kg in order)).values()
        assert float(own.m_as("kg")) == pytest.approx(12, rel=1e-9)
        assert float(shared.m_as("kg")) == pytest.approx(6, rel=1e-9)


@pytest.mark.parametrize(("day", "past"), [(11, False), (12, False), (13, True)])
def test_a_calibration_holds_on_its_last_day(day: int, past: bool) -> None:
    one = instrument(due="2026-06-12")
    assert one.calibration_words(date(2026, 6, day)).startswith("calibration was due") is past


def finding(value: float, spread: float = 0.02, low: str | None = "1 N", high: str | None = "9 N") -> Finding:
    figure = uncertain(value, Force, "reading", spread)
    return Finding("f", "Force", Limit("force", Force, low, high, "test").judge(figure))


@pytest.mark.parametrize(
    ("now", "what"),
    [
        (finding(5.0), []),
        (finding(5.0 * (1 + 1e-8)), []),
        (finding(5.0 * (1 + 1e-5)), ["figure"]),
        (finding(5.0 * (1 - 1e-4)), ["figure"]),
        (finding(5.0, spread=0.02001), []),  # nobody sees that digit: `besides` tells it
        (finding(5.0, spread=0.021), ["uncertainty"]),
        (finding(5.0, low="1.0010 N"), ["limit"]),
        (finding(5.0, high="9.0010 N"), ["limit"]),
        (finding(5.0, high=None), ["limit"]),
        (finding(9.5), ["figure", "verdict"]),
    ],
)  # fmt: skip
def test_what_counts_as_moved(now: Finding, what: list[str]) -> None:
    assert [move.what for move in moves([finding(5.0)], [now])] == what
    assert [move.what for move in moves([now], [finding(5.0)])] == what


def test_kinds_of_the_same_dimension_are_kept_apart() -> None:
    with pytest.raises(QuantityError):
        _ = uncertain(1.0, Pressure, "p", 0.1) + uncertain(1.0, Force, "f", 0.1)


@pytest.mark.parametrize("taper", ["1", "0.5", "1.4"])
@pytest.mark.parametrize("cutout", ["20 cm", "50 cm", "120 cm"])
def test_the_chord_of_the_file_is_the_one_at_three_quarters(taper: str, cutout: str) -> None:
    """16 cm at 0.75 of the radius whatever the taper, and root to tip in the ratio of the taper."""
    aircraft = small_aircraft(main_rotor__blade__taper=taper, main_rotor__blade__root_cutout=cutout)
    blades = blades_of(aircraft.main_rotor, "main rotor")
    assert float(blades.chord_at(0.75)) == pytest.approx(0.16, rel=1e-12)
    assert float(blades.chord_at(1.0) / blades.chord_at(blades.root_cutout)) == pytest.approx(float(taper), rel=1e-12)


@formula(source=sources.ARITHMETIC.at("for a test"), letters={"angle": "a", "reach": "r"}, result="h",
         valid={"angle": ("0 deg", "180 deg")})  # fmt: skip
def height_of_arm(angle: Angle, reach: Length) -> Length:
    return reach * sin(angle)


def test_an_inverse_with_two_answers_says_so_and_takes_a_side() -> None:
    with pytest.raises(QuantityError, match=r"several values of angle do, .*30.* and .*150"):
        height_of_arm.solve_for("angle", result="1 m", reach="2 m")
    for between, wanted in ((("0 deg", "90 deg"), 30.0), (("90 deg", "180 deg"), 150.0)):
        found = height_of_arm.solve_for("angle", result="1 m", reach="2 m", between=between)
        assert float(found.m_as("deg")) == pytest.approx(wanted, rel=1e-9)
