"""Every deliberate slip still fits the package: its old text stands once, its new text reads as Python."""

import ast

from .slips import SlipError, read_slips

SLIPS = read_slips()


def test_each_fits() -> None:
    faults = []
    for slip in SLIPS:
        try:
            _, source = slip.place()
            ast.parse(source)
            slip.test_files()
        except (SlipError, SyntaxError) as fault:
            faults.append(f"{slip.file}, {slip.name}: {fault}")
    assert faults == []


def test_each_has_a_name_of_its_own() -> None:
    names = [(slip.file, slip.name) for slip in SLIPS]
    assert len(set(names)) == len(names)
