"""How often the slip that was made is found, over every formula and over the sheets' chains.

The wrong figures come from `wrong_figures.py`, which knows nothing of the diagnosis. Their figures stand in
`slips_found.md`, which `slips_table.py` writes.
"""

from __future__ import annotations

import os
import random
import time
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest

from rotorkit.aircraft import demo_folder, load_aircraft
from rotorkit.folder.checks import Folder
from rotorkit.formula import REGISTERED
from rotorkit.quantities import QuantityError, read
from rotorkit.sheets.catalogue import sheet_names
from rotorkit.teach.otherwise import otherwise
from rotorkit.teach.slips import Diagnosis, diagnose, diagnose_figure
from tests.benchmarks.slips_table import keep
from tests.benchmarks.wrong_figures import Case, Maker, Slip, step_of, written
from tests.benchmarks.wrong_sheets import SheetMaker

SINGLES, PAIRS, RIGHT, AT_RANDOM = 8, 3, 5, 2
"""Cases of each kind for each formula."""
FINDINGS, WRONG, TWO = 2, 6, 2
"""Figures of each sheet, and for each of them wrong ones, and such with two slips of each sort of pair."""
SEEDS = [int(text) for text in os.environ.get("SEEDS", "2026").split()]
"""Of the sheets' cases."""
PART, PARTS = (int(text) for text in os.environ.get("PART", "1/1").split("/"))
"""Which of how many parts of the formulas and of the sheets is gone through (``PART=2/8``): each formula and each sheet
has numbers of its own, so that the parts together are the whole."""
ALIKE = ({"left out", "step left out"}, {"wrong way", "step left out"}, {"factor", "left out"}, {"diameter", "factor"})
"""Two names of one thing, where they come to the same figure."""


class Tally:
    def __init__(self) -> None:
        self.all: Counter[str] = Counter()
        self.found: Counter[str] = Counter()
        self.first: Counter[str] = Counter()
        self.sure: Counter[str] = Counter()
        self.wrong: Counter[str] = Counter()
        self.told: Counter[str] = Counter()
        self.missed: list[str] = []

    def add(self, group: str, found: Diagnosis, families: tuple[str, ...], where: tuple[str, ...], said: str) -> None:
        hits = [named(one, families, where) for one in found.explanations]
        self.all[group] += 1
        self.found[group] += any(hits)
        self.first[group] += bool(hits and hits[0])
        self.sure[group] += found.sure
        self.told[group] += len(hits)
        if found.sure and not any(hits):
            self.wrong[group] += 1
            self.missed.append(f"WRONG {said} {families} {where}: {found.hint}")
        elif not any(hits):
            self.missed.append(f"{said} {families} {where}: {found.hint[:160]}")

    def counted(self, what: str, **more: int) -> dict[str, object]:
        """As `slips_table.keep` takes it."""
        names = {"cases": self.all, "found": self.found, "first": self.first, "said": self.told, "sure": self.sure,
                 "wrong": self.wrong}  # fmt: skip
        rows = {group: {name: of[group] for name, of in names.items()} for group in self.all}
        return {"what": what, "rows": rows, **more}


def named(one: Any, families: tuple[str, ...], where: tuple[str, ...]) -> bool:
    """Whether an explanation is of what was done: the same families, and the same argument where the case names one."""
    if set(families) == {"decimal point"} and one.families == ("decimal point",) and len(families) == 2:
        return "or by one in each of two numbers" in one.words
    if len(one.families) != len(families):
        return False
    if len(families) == 2:
        pairs = list(zip(families, where, strict=True)), list(zip(one.families, one.where, strict=True))
        return (same(*pairs[0][0], *pairs[1][0]) and same(*pairs[0][1], *pairs[1][1])) or (
            same(*pairs[0][0], *pairs[1][1]) and same(*pairs[0][1], *pairs[1][0])
        )
    return same(families[0], where[0], one.families[0], one.where[0])


def same(family: str, where: str, other: str, at: str) -> bool:
    if family != other and not any({family, other} <= group for group in ALIKE):
        return False
    exact = family in ("unit", "temperature", "diameter", "sign", "decimal point", "swapped")
    return not exact or not where or where == at or (family in ("sign", "decimal point") and "result" in (where, at))


def test_over_every_formula() -> None:
    sheet_names()
    tally = Tally()
    formulas = [one for one in REGISTERED if one.__module__.startswith("rotorkit.") and not one.name.startswith("_")]
    formulas = sorted(formulas, key=lambda one: (one.__module__, one.name))[PART - 1 :: PARTS]
    worked, alarms, rights, at_random, claimed, maybe = 0, list[str](), 0, 0, 0, 0
    for formula in formulas:
        chance = random.Random(f"2026 {formula.__module__} {formula.name}")
        maker = Maker(formula, chance)
        if not maker.drawn():
            continue
        worked += 1
        slips = maker.slips()
        for slip in chance.sample(slips, min(SINGLES, len(slips))):
            case = maker.case(slip)
            if case is not None and (found := judged(formula, case)) is not None:
                tally.add("one", found, case.families, case.where, f"{formula.name}{case.values} {case.answer}")
                tally.add(f"  {slip.family}", found, case.families, case.where, "")
        for one, other in pairs(slips, chance):
            case = maker.case(one, other)
            if case is not None and (found := judged(formula, case)) is not None:
                tally.add("two", found, case.families, case.where, f"{formula.name}{case.values} {case.answer}")
        for digits in (2, 3, 4, 5, 6)[:RIGHT]:
            case = maker.right_case(digits)
            if case is not None and (found := judged(formula, case)) is not None:
                rights += 1
                if not found.good:
                    alarms.append(f"{formula.name}{case.values} {case.answer}: {found.agreement.sentence}")
        for _ in range(AT_RANDOM):
            case = maker.case(Slip("none", "", "=", lambda v, by=chance: v * 10 ** by.uniform(-1, 1)))
            if case is not None and (found := judged(formula, case)) is not None:
                at_random += 1
                claimed += found.sure
                maybe += bool(found.explanations)
    show(tally, f"{worked} of {len(formulas)} formulas")
    told = tally.counted(
        "each formula with numbers of its own", right=rights, alarms=len(alarms), at_random=at_random, claimed=claimed
    )
    keep("formulas", f"{PART}/{PARTS}", told)
    print(f"right figures: {rights}, called wrong: {len(alarms)}")
    print(f"figures at random: {at_random}, a slip named for sure: {claimed}, any slip or pair named: {maybe}")
    for line in alarms[:10]:
        print("ALARM", line)
    assert not alarms
    assert tally.found["one"] >= 0.95 * tally.all["one"]
    assert tally.wrong["one"] + tally.wrong["two"] <= 0.02 * (tally.all["one"] + tally.all["two"])


def pairs(slips: list[Slip], chance: random.Random) -> Iterator[tuple[Slip, Slip]]:
    for _ in range(PAIRS):
        one, other = chance.sample(slips, 2) if len(slips) > 1 else (slips[0], slips[0])
        if one.where != other.where and (
            one.body is None or other.body is None or "=" in one.argument + other.argument
        ):
            yield one, other


def judged(formula: Any, case: Case) -> Diagnosis | None:
    try:
        return diagnose(formula, case.values, case.answer)
    except QuantityError:
        return None


def show(tally: Tally, what: str) -> None:
    print(f"\n{what}")
    print(f"{'what was done':>20} {'cases':>6} {'found':>7} {'first':>7} {'said':>5} {'sure':>6} {'sure, wrong':>12}")
    for group, count in tally.all.items():
        print(
            f"{group:>20} {count:6} {100 * tally.found[group] / count:6.1f}% {100 * tally.first[group] / count:6.1f}% "
            f"{tally.told[group] / count:5.1f} {tally.sure[group]:6} {tally.wrong[group]:6}"
        )
    for line in tally.missed if os.environ.get("ALL") else tally.missed[:400:20]:
        if line.strip():
            print("   ", line[:400])


# the sheets


@pytest.mark.parametrize("seed", SEEDS)
def test_over_every_sheets_chain(seed: int) -> None:
    """Each check of the demo: a reading changed and the sheet worked again, a step left out, the result miswritten;
    then two of these at once."""
    aircraft, folder = load_aircraft(demo_folder()), Folder(demo_folder())
    tally, seen, alarms, rights, at_random, maybe, claimed = Tally(), set(), [], 0, 0, 0, 0
    first_of_each = {check.sheet: check for check in reversed(folder.checks)}
    for sheet in sorted(first_of_each)[PART - 1 :: PARTS]:
        check, began = first_of_each[sheet], time.process_time()
        chance, by_chance = random.Random(f"{seed} {sheet}"), random.Random(f"{seed} {sheet} at random")
        outcome = check.outcome(aircraft)
        found_here = [one for one in outcome.findings if not one.counted and float(one.measured.si)]
        for finding in chance.sample(found_here, min(FINDINGS, len(found_here))):
            figure, kind = finding.measured, finding.measured.kind
            unit = figure.shown_unit("us")
            others = otherwise(check.made(), aircraft, finding.key)
            for digits in (3, 4, 5):
                answer = written(float(figure.si), digits, unit, kind) if kind.flavour != "temperature" else None
                if answer is not None:
                    rights += 1
                    if not diagnose_figure(outcome.steps, figure, answer).good:
                        alarms.append(f"{check.name} {finding.key} {answer}")
            maker = SheetMaker(check, finding.key, outcome, aircraft, chance)
            singles = maker.singles()
            cases = [*chance.sample(singles, min(WRONG, len(singles))), *maker.pairs(TWO)]
            for case in cases:
                answer = written(case.value, 4, unit, kind) if case.value else None
                if answer is None:
                    continue
                try:
                    reading = read(answer, kind, by_program=True)
                except QuantityError:
                    continue  # what cannot be, such as a pressure below nothing, is refused and not explained
                off = abs(reading.si - float(figure.si))
                if off <= step_of(reading, kind):
                    continue  # a right figure
                try:
                    found = diagnose_figure(outcome.steps, figure, answer, others=others)
                except QuantityError:
                    continue  # what can be meant in two ways, such as 9.200 lb, is asked about and not explained
                seen.add(check.sheet)
                two = len(case.families) == 2
                text = f"{check.name} {finding.key} {answer} {case.said}"
                tally.add("sheets, two" if two else "sheets, one", found, case.families, case.where, text)
                tally.add(f"  {case.group}", found, case.families, case.where, "")
            for _ in range(0 if kind.flavour == "temperature" else AT_RANDOM):
                answer = written(float(figure.si) * 10 ** by_chance.uniform(-1, 1), 4, unit, kind)
                found = None if answer is None else diagnose_figure(outcome.steps, figure, answer, others=others)
                if found is not None and not found.good:
                    at_random += 1
                    claimed += found.sure
                    maybe += bool(found.explanations)
        print(f"{sheet}: {time.process_time() - began:.0f} s", flush=True)
    show(tally, f"{len(seen)} sheets, seed {seed}")
    told = tally.counted(
        f"{FINDINGS} figures of each sheet's first check in the demo, drawn with seed {seed}", right=rights,
        alarms=len(alarms), at_random=at_random, claimed=claimed,
    )  # fmt: skip
    keep("sheets", f"{PART}/{PARTS}", told)
    print(f"right figures: {rights}, called wrong: {len(alarms)}")
    print(f"figures at random: {at_random}, a slip named for sure: {claimed}, any slip or pair named: {maybe}")
    assert not alarms
