"""Every rigging formula: dimensions sound by machine, a source named, the printed and the bare value alike."""

import pytest

import rotorkit.rigging as rigging
from rotorkit.formula.core import Formula
from rotorkit.formula.dimensions import dimension_error

FORMULAS = [value for name in rigging.__all__ if isinstance(value := getattr(rigging, name), Formula)]
AT = {
    "slope": 3.4,
    "tension": 213.5,
    "measured_at": 283.0,
    "wanted_at": 297.0,
    "reading_below": 0.5,
    "reading_above": 0.9,
}


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f.name)
def test_dimensions_hold(formula: Formula) -> None:
    at = {name: value for name, value in AT.items() if name in formula.contract.names}
    assert dimension_error(formula, at) < 1e-9


@pytest.mark.parametrize("formula", FORMULAS, ids=lambda f: f.name)
def test_each_names_its_source_and_works_an_example(formula: Formula) -> None:
    assert str(formula.citation)
    assert ">>>" in (formula.__doc__ or "")


def test_they_are_found() -> None:
    assert {"blade_angle", "travel_between_stops", "tension_slope"} <= {formula.name for formula in FORMULAS}
