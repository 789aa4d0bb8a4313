"""A reading by its instrument, and the mean of a field's repeats, are kept while all that they rest on stays, and only
then; whose reading it is stays its own."""

import itertools
from dataclasses import replace
from typing import Any

import pytest

from rotorkit.aircraft.entries import Readings
from rotorkit.edges.recent import forget
from rotorkit.quantities import Angle, display, read
from rotorkit.rigging import Repeatability
from rotorkit.sheets.working import Working
from tests.sheets.as_it_stands import AIRCRAFT, CHECKS

SHEET = next(check for check in CHECKS if check.name == "tail_rotor_angles").made()
PROTRACTOR = next(one for one in AIRCRAFT.instruments.values() if one.measures == "angle")
WORSE = PROTRACTOR.model_copy(update={"uncertainty": "0.9 deg"})
POOLED = Repeatability(0.002, 5, Angle)
ONCE = Readings.of([read("10.1 deg", Angle)], "10.1 deg")
TWICE = Readings.of([read("10.1 deg", Angle), read("11.3 deg", Angle)], "10.1 deg; 11.3 deg")
PLAIN: dict[str, Any] = {
    "readings": TWICE, "what": "blade A", "kind": Angle, "instrument": PROTRACTOR, "place": "low stop", "pooled": None,
    "unit": "deg", "far": 1.0, "label": "", "own_step": True,
}  # fmt: skip
OTHERWISE: list[dict[str, Any]] = [
    {}, {"readings": ONCE}, {"readings": Readings.of([ONCE[0]], "10.1 deg"), "pooled": POOLED}, {"what": "blade B"},
    {"instrument": WORSE}, {"instrument": None}, {"place": "high stop"}, {"pooled": POOLED},
    {"pooled": replace(POOLED, degrees_of_freedom=2)}, {"unit": "rad"}, {"far": 0.001}, {"label": "angle"},
    {"readings": ONCE, "own_step": False},
]  # fmt: skip


def told(more: dict[str, Any]) -> list[Any]:
    to = Working(SHEET, AIRCRAFT)
    mean = to.mean(**{**PLAIN, **more})
    steps = [(one.title, [line.text for line in one.lines]) for one in to.steps]
    return [mean.si, mean.unit, [(o.label, part) for o, part in mean.components.items()], steps, to.asked]


def test_after_another_one_it_is_what_it_is_alone() -> None:
    for one, other in itertools.permutations(OTHERWISE, 2):
        forget()
        alone = told(other)
        forget()
        told(one)
        assert told(other) == alone == told(other), (one, other)


def test_it_is_said_in_the_system_in_force() -> None:
    forget()
    plain = told({"unit": ("deg", "rad")})
    with display("metric"):
        metric = told({"unit": ("deg", "rad")})
    assert plain[3] != metric[3]


def test_two_fields_that_read_alike_have_each_their_own_error() -> None:
    forget()
    to = Working(SHEET, AIRCRAFT)
    one, other = (to.mean(**PLAIN) for _ in range(2))
    apart = one - other
    own = [origin for origin in one.components if origin.number]
    assert own
    assert not set(own) & set(other.components)
    assert apart.standard_si == pytest.approx(2**0.5 * sum(one.components[origin] ** 2 for origin in own) ** 0.5)


def test_a_reading_is_that_of_its_instrument() -> None:
    check = next(check for check in CHECKS if check.name == "hover_today")
    sheet, other = check.made(), check.made()
    thermometer = AIRCRAFT.instruments[sheet.thermometer]
    worse = AIRCRAFT.model_copy(
        update={
            "instruments": {
                **AIRCRAFT.instruments,
                sheet.thermometer: thermometer.model_copy(update={"uncertainty": "9 °F"}),
            }
        }
    )
    forget()
    for _ in range(2):
        plain, again, coarse = (
            one.measured("temperature", "air", of) for one, of in ((sheet, AIRCRAFT), (other, AIRCRAFT), (sheet, worse))
        )
        assert plain.si == again.si == coarse.si
        assert plain.standard_si == again.standard_si < coarse.standard_si
        assert [o.label for o in sheet.measured("temperature", "air outside", AIRCRAFT).components] != [
            o.label for o in plain.components
        ]
        own = {origin for origin in plain.components if origin.number}
        assert own
        assert not own & set(again.components)
