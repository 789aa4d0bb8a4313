"""The worked calculation of a check, step by step, and where its uncertainties come from."""

from __future__ import annotations

from collections.abc import Iterator

from rotorkit.dossier import blocks
from rotorkit.formula import Worked
from rotorkit.quantities import Kind, unit_factor, unit_label
from rotorkit.quantities.saying import spread_text
from rotorkit.record.entry import SavedEntry
from rotorkit.sheets.base import Finding

MOST_ORIGINS = 6
"""So many origins of an uncertainty are named; what is left is added up."""
LEAST_SHARE = 0.0005
"""What would be printed as 0.0 % is not named."""


def step_blocks(number: int, step: Worked) -> Iterator[blocks.Block]:
    """One step: the formula, its letters with each conversion, the formula with figures, the result, the source."""
    formulas = [line for line in step.lines if line.part == "formula"]
    values = [line for line in step.lines if line.part in ("input", "constant")]
    figures = [line for line in step.lines if line.part == "substitution"]
    results = [line for line in step.lines if line.part == "result"]
    known = {id(line) for line in (*formulas, *values, *figures, *results)}
    first: list[blocks.Block] = [blocks.Heading(4, f"{number}. {step.title}")]
    first += [blocks.Formula(line.latex, line.text) for line in formulas]
    if not formulas and values:
        first.append(blocks.Paragraph("with"))
    rest: list[blocks.Block] = []
    for line in step.lines:
        if id(line) not in known:
            rest.append(blocks.Paragraph(line.text))
    if not values and not rest and figures:
        first += [blocks.Formula(line.latex, line.text) for line in figures]
        figures = []
    if values:
        rows: list[tuple[blocks.Letter, str, str]] = []
        for line in values:
            letter, value = _parted(line.latex, line.text)
            if line.part == "constant":
                rows.append((letter, "constant", f"{value} ({line.words})" if line.words else value))
            else:
                rows.append((letter, line.words, value))
        first.append(blocks.Values(rows))
    rest += [blocks.Formula(line.latex, line.text) for line in figures]
    for line in results:
        letter, value = _parted(line.latex, line.text)
        rest.append(blocks.Paragraph([letter, " = ", blocks.Strong(value)] if value else [blocks.Strong(line.text)]))
    rest.append(blocks.Paragraph(f"Source: {step.citation.sentence}.".replace("..", "."), "small"))
    yield blocks.Together(first + rest)


def _parted(latex: str, text: str) -> tuple[blocks.Letter, str]:
    """A line's letter, and what stands after its first sign of equality."""
    letter, _, _ = latex.partition(" = ")
    name, _, value = text.partition(" = ")
    return blocks.Letter(letter, name), value


def uncertainty_blocks(entry: SavedEntry) -> Iterator[blocks.Block]:
    """The budget of every figure that has an uncertainty: where it comes from, and how much each part causes alone."""
    saved = entry.work["outcome"]["findings"]
    rows: list[list[blocks.Inline]] = []
    bare: list[str] = []
    system = str(entry.work.get("display", "us"))
    for found, kept in zip(entry.findings, saved, strict=True):
        if not found.measured.components:
            bare.append(str(kept["title"]))
            continue
        budget = [row for row in found.measured.budget() if row.share > 0]
        named = [row for row in budget if row.share >= LEAST_SHARE]
        named = budget if len(budget) <= min(MOST_ORIGINS, len(named)) + 1 else named[:MOST_ORIGINS]
        standard = float(found.measured.standard_si)
        shares = [(row.share, row.label) for row in named]
        if len(named) < len(budget):
            many = f"{len(budget) - len(named)} smaller ones together"
            shares.append((sum(row.share for row in budget[len(named) :]), many))
        parts = [
            f"{100 * share:.1f} %, {_size(share**0.5 * standard, found, system)}: {label}"
            if share >= LEAST_SHARE
            else f"less than 0.1 %: {label}"
            for share, label in shares
        ]
        rows.append([str(kept["title"]), blocks.Strong(_size(2 * standard, found, system)), "\n".join(parts)])
    if not rows and not bare:
        return
    yield blocks.Heading(3, "Uncertainty")
    if rows:
        yield blocks.Table(
            "Where each uncertainty comes from: share of the variance, and its own contribution",
            ["Figure", "U (k = 2)", "Sources, largest first"],
            rows,
            [26, 16, 58],
        )
    if bare:
        yield blocks.Paragraph(f"No uncertainty was given for: {'; '.join(bare)}.", "small")


def _size(si: float, found: Finding, system: str) -> str:
    """The size of an uncertainty in the figure's unit, to two digits."""
    unit = found.unit(system)
    kind: Kind = found.measured.kind
    label = unit_label(unit, kind)
    return spread_text(si / unit_factor(unit, kind)) + ("" if label in ("", "°") else " ") + label
