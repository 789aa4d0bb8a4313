"""What a large dossier takes: two hundred checks, each with readings of its own, from record to page and PDF.

Figures of one run stand in DEVELOPERS.md.
"""

from __future__ import annotations

import random
import resource
import time
from pathlib import Path
from typing import Any

import pypdf
import pytest

from rotorkit.dossier import write_dossier
from rotorkit.sheets import Check
from tests.benchmarks.telling import tell
from tests.record.bench import Bench

CHECKS = 200


def changed(check: Check, chance: random.Random) -> dict[str, Any]:
    """Readings like those of a check, none twice the same."""
    if check.sheet == "hover_margin":
        weight, heat, height = chance.randint(1200, 1450), chance.randint(20, 100), chance.randint(0, 3000)
        damp = f"{chance.randint(10, 95)} %"
        return {
            "gross_weight": f"{weight} lb",
            "temperature": f"{heat} °F",
            "elevation": f"{height} ft",
            "humidity": damp,
        }
    if check.sheet == "cable_tension":
        dial = chance.randint(20, 40)
        return {"dial": f"{dial}; {dial}.5; {dial + 1}", "temperature": f"{chance.randint(20, 90)} °F"}
    rows = []
    for row in check.readings["stations"]:
        first, *others = row["reading"].split(";")
        moved = f"{float(first) + chance.randint(-3, 3) / 10:.1f}"
        rows.append({**row, "reading": ";".join([moved, *others])})
    return {"stations": rows}


@pytest.mark.parametrize("sheets", [("blade_angles", "cable_tension", "hover_margin"), ("hover_margin",)])
def test_two_hundred_checks(tmp_path: Path, sheets: tuple[str, ...]) -> None:
    bench, chance = Bench(tmp_path), random.Random(1)
    like = [next(check for check in bench.folder.checks if check.sheet == sheet) for sheet in sheets]
    for number in range(CHECKS):
        check = like[number % len(like)]
        sheet = type(check.made()).from_readings({**check.readings, **changed(check, chance)})
        outcome = sheet.work(bench.folder.aircraft)
        text = bench.record.aircraft_text()
        bench.record.save(
            f"{check.name}_{number}", sheet, outcome, text, "A. Builder", title=f"{check.title}, {number}"
        )
    spent: dict[str, float] = {}
    last = ["", time.perf_counter()]

    def follow(what: str, done: int, of: int) -> None:
        now = time.perf_counter()
        spent[last[0] or what] = spent.get(last[0] or what, 0.0) + now - float(last[1])
        last[:] = [what, now]

    start = time.perf_counter()
    dossier = write_dossier(bench.folder, progress=follow)
    took = time.perf_counter() - start
    assert dossier.pdf is not None, dossier.why_no_pdf
    pages = len(pypdf.PdfReader(dossier.pdf).pages)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    parts = ", ".join(f"{what} {seconds:.1f}" for what, seconds in spent.items())
    sizes = f"page {dossier.page.stat().st_size / 1e6:.1f} MB, PDF {dossier.pdf.stat().st_size / 1e6:.1f} MB"
    what = f"a dossier of {CHECKS} checks of {', '.join(sheets)}, {pages:,} pages, {sizes} ({parts})"
    tell(what, f"{took:.1f} s, {memory:.1f} GB at most so far", "", "", "30 s or less, machine quiet")
