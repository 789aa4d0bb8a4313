"""Every deliberate slip still fits the package: its old text stands once, its new text reads as Python."""

import ast
import sys
from collections import defaultdict
from pathlib import Path

from .slips import Slip, SlipError, read_slips

SLIPS = read_slips()


def test_each_fits() -> None:
    """What stands together in one module is made at once, and each slip by itself where that is no Python."""
    faults, modules = [], defaultdict[Path, list[tuple[int, int, Slip]]](list)
    for slip in SLIPS:
        try:
            path, start, end, _ = slip.where()
            slip.test_files()
            modules[path].append((start, end, slip))
        except SlipError as fault:
            faults.append(f"{slip.file}, {slip.name}: {fault}")
    for path, slips in modules.items():
        source, upto, alone = path.read_text("utf-8"), sys.maxsize, []
        for start, end, slip in sorted(slips, key=lambda one: one[:2], reverse=True):
            if end > upto:  # two slips of the same words
                alone.append(slip)
                continue
            source, upto = source[:start] + "\n".join(slip.new) + source[end:], start
        try:
            ast.parse(source)
        except SyntaxError:
            alone = [slip for _, _, slip in slips]
        for slip in alone:
            try:
                ast.parse(slip.place()[1])
            except SyntaxError as fault:
                faults.append(f"{slip.file}, {slip.name}: {fault}")
    assert faults == []


def test_each_has_a_name_of_its_own() -> None:
    names = [(slip.file, slip.name) for slip in SLIPS]
    assert len(set(names)) == len(names)
