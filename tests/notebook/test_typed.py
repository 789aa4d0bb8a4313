"""What a form's field hands on reads, without the field, as it was read in the field; and what is kept is shown so."""

import itertools

import pytest

from rotorkit.aircraft.entries import Entry, Readings
from rotorkit.judging.measured import difference_si
from rotorkit.notebook.typed import for_field, in_units_of, taken, with_unit
from rotorkit.quantities import (
    Angle,
    Force,
    Length,
    Mass,
    MomentOfInertia,
    Pressure,
    QuantityError,
    Ratio,
    Reading,
    Temperature,
)

ENTRIES = {
    "length": Entry(Length, ("in", "mm"), ("0 in", "10 ft")),
    "height": Entry(Length, ("ft", "m"), ("-1400 ft", "20000 ft")),
    "force": Entry(Force, ("lbf", "N"), ("0 lb", "2000 lb"), ("5 lb", "400 lb"), repeats=True),
    "mass": Entry(Mass, ("lb", "kg"), ("200 lb", "12000 lb"), ("600 lb", "4000 lb")),
    "temperature": Entry(Temperature, ("°F", "°C"), ("-60 °F", "160 °F")),
    "angle": Entry(Angle, ("deg", "deg"), ("-60 deg", "60 deg"), repeats=True),
    "humidity": Entry(Ratio, ("%", "%"), ("0 %", "100 %"), ("3 %", "100 %")),
    "dial": Entry(Ratio, ("", ""), ("0", None), repeats=True),
}
TEXTS = [
    *("48", "48.25", "12.3456789012345", "5/16", "5 1/2", "0.55", "1,450", "1 450", "1450.5", "1.500", "3,125", "6:1"),
    *("48 ± 2", "48 ± 5 %", "0.55 ± 5 %", "55 ± 3 %", "55 % ± 3", "14 ± 30'", "48 lb ± 2", "48 ± 2 N", "20 ± 1 °C"),
    *("5 ft 6", "5' 6 1/2\"", "5' 6 ± 1/4", "5 ft 6 in ± 1", "1'1", "14° 30'", "16.1 °C", "48.123456789012345 ± 1/3 %"),
    *("48; 49; 50", "48; 49; 50 lb", "48 lb; 49; 50", "27.5; 28 ± 2 %", "12.1; 12.3 ± 1/3 %", "48 ± 1; 49.123456789"),
]


def parts(read: Reading | Readings) -> list[tuple[float, float | None]]:
    each = list(read) if isinstance(read, Readings) else [read]
    return [(one.si, None if one.uncertainty is None else difference_si(one.uncertainty, one.kind)) for one in each]


@pytest.mark.parametrize("name", ENTRIES)
def test_a_text_handed_on_reads_as_it_did_in_its_field(name: str) -> None:
    entry, taken = ENTRIES[name], 0
    for text, system in itertools.product(TEXTS, ("us", "metric")):
        try:
            there = parts(entry.read(text, entry.shown_unit(system) or None))
        except QuantityError:
            continue
        handed = with_unit(text, entry, system)
        assert parts(entry.read(handed)) == there, (text, handed)
        taken += 1
        for shown in ("us", "metric"):
            again = parts(entry.read(for_field(handed, entry, shown), entry.shown_unit(shown) or None))
            assert [value for value, _ in again] == [value for value, _ in there], (text, handed, shown)
            for (_, spread), (_, was) in zip(again, there, strict=True):
                assert spread == (None if was is None else pytest.approx(was, rel=1e-9)), (text, handed, shown)
    assert taken > 5


def _asked(*ways: str) -> str:
    return "can be meant in two ways: type " + " or ".join(f"'{way}'" for way in ways)


WEIGHING, INERTIA = Entry(Mass, ("lb", "kg"), ("0 lb", "12000 lb"), ("5 lb", "4000 lb")), Entry(MomentOfInertia)


@pytest.mark.parametrize(
    ("entry", "system", "text", "said"),
    [
        (ENTRIES["angle"], "us", "1,013", _asked("1013 deg", "1.0130 deg")),
        (ENTRIES["angle"], "us", "1,013.25", "must be from -60 deg to 60 deg, got 1,013.25°"),
        (ENTRIES["angle"], "us", "1.013,25", "the comma in '1.013,25 deg' is not clear: write 11.5 for a decimal"),
        (ENTRIES["angle"], "us", "12; 1,013", _asked("1013 deg", "1.0130 deg")),
        (ENTRIES["angle"], "us", "1,013 ± 1", _asked("1013 deg ± 1 deg", "1.0130 deg ± 1 deg")),
        (ENTRIES["length"], "us", "1,013", _asked("1013 in", "1.0130 in")),
        (ENTRIES["length"], "metric", "1,013", 1.013),
        (ENTRIES["height"], "us", "1,013", 1013 * 0.3048),
        (ENTRIES["height"], "us", "5.000", _asked("5.0 ft", "5000 ft")),
        (ENTRIES["temperature"], "us", "1,013", _asked("1013 °F", "1.0130 °F")),
        (ENTRIES["temperature"], "metric", "1 013", "must be from -60 °F to 160 °F, got 1013 °C"),
        (ENTRIES["humidity"], "us", "1,013", _asked("1013 %", "1.0130 %")),
        (ENTRIES["dial"], "us", "1,013", _asked("1013", "1.0130")),
        (WEIGHING, "us", "1,013", 1013 * 0.45359237),
        (WEIGHING, "us", "1.013", _asked("1.0130 lb", "1013 lb")),
        (WEIGHING, "us", "3.000", _asked("3.0 lb", "3000 lb")),
        (WEIGHING, "us", "5.000", 5 * 0.45359237),
        (WEIGHING, "us", "-1,013", "'-1,013 lb' is below zero"),
        (INERTIA, "metric", "1,013", _asked("1013 kg*m^2", "1.0130 kg*m^2")),
        (INERTIA, "metric", "1.013", 1.013),
    ],
)
def test_a_bare_number_with_a_comma_or_a_point_is_asked_about_in_the_unit_beside_its_field(
    entry: Entry, system: str, text: str, said: str | float
) -> None:
    """A thousand or a thousandth of it: never guessed, and never answered by "needs its unit", which stands there."""
    found = taken(text, entry, system)
    if isinstance(said, float):
        assert isinstance(found.reading, Reading)
        assert found.reading.si == pytest.approx(said, rel=1e-12)
    else:
        assert found.reading is None
        assert said in found.problem


def test_an_altimeter_s_reading_with_a_comma_is_asked_about_in_its_own_unit() -> None:
    setting = Entry(Pressure, ("inHg", "hPa"), ("28 inHg", "31 inHg"), ("28.5 inHg", "30.8 inHg"))
    assert taken("1,013", setting, "us").meant == "Is it 1013 hPa? Then write it so."


@pytest.mark.parametrize(
    ("text", "repeats", "given"),
    [
        ("900", False, "900 in"),
        ("900 ± 2", False, "900 ± 2 in"),
        ("12; 900 +/- 2", True, "12 in; 900 ± 2 in"),
        ("900; much", True, "900; much"),
        ("900; 2", False, "900; 2"),
    ],
)
def test_bare_numbers_out_of_bounds_bear_their_unit_so_that_no_other_is_taken_for_it(
    text: str, repeats: bool, given: str
) -> None:
    """As 900 mm it would be within them."""
    entry = Entry(Length, ("in", "mm"), physical=("-60 ft", "60 ft"), repeats=repeats)
    found = taken(text, entry, "us")
    assert (found.given, found.reading) == (given, None)
    assert in_units_of("metric", text, entry, "us") == given
    assert in_units_of("us", text, entry, "us") == text
