"""Every deliberate slip still fits the package: its old text stands once, its new text reads as Python."""

import ast

import pytest

from .slips import Slip, read_slips

SLIPS = read_slips()


@pytest.mark.parametrize("slip", SLIPS, ids=lambda slip: f"{slip.file}: {slip.name}")
def test_it_fits(slip: Slip) -> None:
    _, source = slip.place()
    ast.parse(source)
    assert slip.test_files()
    assert slip.new, "a slip needs its new text"
    assert slip.old != slip.new


def test_each_has_a_name_of_its_own() -> None:
    names = [(slip.file, slip.name) for slip in SLIPS]
    assert len(set(names)) == len(names)
