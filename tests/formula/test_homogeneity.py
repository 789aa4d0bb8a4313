"""Every formula of the library holds in any system of units: the base units are scaled, and the result with them."""

import importlib
import pkgutil
from collections import Counter

import pytest

import rotorkit
from rotorkit.formula import REGISTERED, Formula, dimension_error, formula, sin
from rotorkit.quantities import Constant, Force, Length, Power, Ratio, Speed, Temperature
from tests.formula.relations import SOURCE, altitude, barometric, hover, rise, warmed, with_both_letters

ROOMS = ("atmosphere", "rotor", "rigging", "engine", "mass", "drive", "balance", "vibration", "flight")


def every_formula() -> list[Formula]:
    for room in ROOMS:
        try:
            package = importlib.import_module(f"{rotorkit.__name__}.{room}")
        except ModuleNotFoundError as missing:
            if missing.name != f"{rotorkit.__name__}.{room}":
                raise
            continue
        for module in pkgutil.walk_packages(package.__path__, f"{package.__name__}."):
            importlib.import_module(module.name)
    return [one for one in REGISTERED if one.__module__.startswith("rotorkit.")]


@pytest.mark.parametrize("one", every_formula(), ids=lambda one: f"{one.__module__.partition('.')[2]}.{one.name}")
def test_holds_in_any_units(one: Formula) -> None:
    assert dimension_error(one) < 1e-9


def test_there_are_many() -> None:
    assert len(every_formula()) > 60


def test_each_has_a_name_of_its_own() -> None:
    """The list of all formulas and a worked calculation name them by their titles."""
    titles = Counter(one.title.lower() for one in every_formula() if not one.name.startswith("_"))
    assert [title for title, many in titles.items() if many > 1] == []


@pytest.mark.parametrize("one", [hover, barometric, altitude, rise, warmed, with_both_letters])
def test_sound_ones_pass(one: Formula) -> None:
    assert dimension_error(one) < 1e-12
    assert dimension_error(one, {a.name: 3.0 + i for i, a in enumerate(one.contract.arguments)}) < 1e-12


def test_unsound_ones_are_seen() -> None:
    gravity = Constant(9.80665, "m/s^2", "g", SOURCE)

    @formula(source=SOURCE, letters={"force": "F", "speed": "v"}, result="P")
    def power_and_more(force: Force, speed: Speed) -> Power:
        return force * speed + force

    @formula(source=SOURCE, letters={"height": "h"}, result="v")
    def no_root(height: Length) -> Speed:
        return 2 * gravity * height

    @formula(source=SOURCE, letters={"height": "h"}, result="v")
    def number_with_a_hidden_unit(height: Length) -> Speed:
        return (2 * 9.80665 * height) ** 0.5

    @formula(source=SOURCE, letters={"height": "h"}, result="y")
    def sine_of_a_length(height: Length) -> Ratio:
        return sin(height)

    @formula(source=SOURCE, letters={"warm": "t"}, result="l")
    def celsius_inside(warm: Temperature) -> Ratio:
        return (warm - 273.15) / warm

    for unsound in (power_and_more, no_root, number_with_a_hidden_unit, sine_of_a_length, celsius_inside):
        assert dimension_error(unsound) > 1e-6, unsound.name


def test_a_formula_that_has_no_value_anywhere_is_told() -> None:
    @formula(source=SOURCE, letters={"a": "a"}, result="y")
    def nowhere(a: Ratio) -> Ratio:
        return (-1 - a**2) ** 0.5

    with pytest.raises(ValueError, match="give `at`"):
        dimension_error(nowhere)
