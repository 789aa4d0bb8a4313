"""The worked calculation: what a person with a pocket calculator would write down, from the formula's one body.

Formula as written, each input with its conversion, the substitution, the result in the reader's unit. Each line stands
as LaTeX (for a notebook or a typeset page) and as plain text (for a terminal); both come from the same parts. Where an
input carries an uncertainty, it stands beside it, and the result's beside the result (expanded, k = 2).
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Any

from rotorkit.formula.notation import (
    bracketed,
    joined,
    latex_joined,
    latex_letter,
    latex_number,
    latex_of,
    latex_text,
    latex_unit,
    plain,
    si_label,
    text_of,
)
from rotorkit.judging.measured import Measured
from rotorkit.quantities import (
    Reading,
    display_system,
    in_unit,
    number_text,
    read,
    rounded_pair,
    say,
    unit_factor,
    unit_label,
)
from rotorkit.quantities.foreign import si_value
from rotorkit.quantities.pint_inside import is_own, is_quantity, units_of
from rotorkit.quantities.registry import scales_of
from rotorkit.quantities.saying import spread_text, unit_of_size, unit_text

if TYPE_CHECKING:
    from rotorkit.formula.contract import Argument
    from rotorkit.formula.relation import Relation
    from rotorkit.quantities import Kind

DIGITS = 6
"""Significant digits of intermediate figures: enough that a hand calculation comes out the same to four."""
DIGITS_TYPED = 7
DIGITS_OF_RESULT = 5

TIMES = r"\times"
FIVE_NINTHS = "5/9"


@dataclass(frozen=True)
class Line:
    """One line of a worked calculation: its part ("formula", "input", "constant", "substitution", "result"), as LaTeX
    without delimiters, as plain text, and what it is in words."""

    part: str
    latex: str
    text: str
    words: str = ""


@dataclass(frozen=True)
class Worked:
    """A worked calculation. written: its lines, or what writes them, for a result said in its unit, when they are first
    asked for. value: the result as a `Measured`. In a notebook it shows itself typeset."""

    name: str
    title: str
    written: Sequence[Line] | Callable[..., Sequence[Line]] = field(repr=False, compare=False)
    value: Any
    citation: Any
    inputs: dict[str, Any] = field(default_factory=dict)

    @cached_property
    def lines(self) -> list[Line]:
        """The calculation line by line. To work a sheet nobody needs them: most are never written."""
        return list(self.written() if callable(self.written) else self.written)

    def titled(self, title: str) -> Worked:
        """The same under another title, by which later calculations name where its result comes from."""
        if isinstance(self.value, Measured) and self.value.worked:
            self.value.worked = title
        return dataclasses.replace(self, title=title)

    def shown_in(self, unit: str | tuple[str, str]) -> Worked:
        """The same with its result said in another unit (text, or a pair for us and metric)."""
        value, written = self.value.shown_in(unit), self.written
        value.worked = self.value.worked
        return dataclasses.replace(
            self, value=value, written=(lambda: written(value)) if callable(written) else written
        )

    @property
    def text(self) -> str:
        """The calculation as plain text, for a terminal."""
        return "\n".join(
            [self.title, *(f"  {line.text}" for line in self.lines), f"  Source: {self.citation.sentence}"]
        )

    @property
    def latex(self) -> str:
        """The calculation as one LaTeX block."""
        body = r" \\ ".join(
            f"&{line.latex}" if line.part == "step" else line.latex.replace("=", "&=", 1) for line in self.lines
        )
        return rf"\begin{{aligned}} {body} \end{{aligned}}"

    def _repr_markdown_(self) -> str:
        return f"**{self.title}**\n\n$$\n{self.latex}\n$$\n\nSource: {self.citation.sentence}"

    def __str__(self) -> str:
        return self.text

    def __repr__(self) -> str:
        return f"<worked calculation of {self.name}: {say(self.value)}>"


@dataclass(frozen=True)
class Heading:
    """What all worked calculations of one formula share: the formula as a line, the letter of each symbol, the lines of
    the constants and their figures."""

    formula: Line
    letters: dict[Any, str]
    constants: list[Line]
    figures: dict[Any, str]


def heading_of(formula: Relation) -> Heading:
    """A formula's own part of its worked calculations."""
    traced = formula.traced
    letters = {
        symbol: formula.letters[argument.name]
        for symbol, argument in zip(traced.symbols.values(), formula.contract.arguments, strict=True)
    }
    lines, figures = [], {}
    for symbol, constant in traced.constants.values():
        letter = latex_letter(constant.letter)
        letters[symbol] = letter if letter not in letters.values() else f"{letter}'"
        figures[symbol], label = f"{float(constant):,.10g}", si_label(constant.unit)
        ends = latex_joined(figures[symbol], label), joined(figures[symbol], label)
        lines.append(_equation("constant", letters[symbol], *ends, words=str(constant.citation or "")))
    in_text = {symbol: plain(letter) for symbol, letter in letters.items()}
    written = latex_of(traced.written, letters), text_of(traced.written, in_text)
    return Heading(_equation("formula", formula.result_letter, *written), letters, lines, figures)


def work_out(
    formula: Relation,
    given: list[Any],
    bare: list[float],
    uncertain: Mapping[int, Measured],
    result: Measured,
    system: str | None,
) -> Worked:
    """One calculation, from the arguments as given, their SI values and those that are uncertain."""
    chosen = system or display_system()  # the one in force now, whenever the lines are asked for

    def lines(shown: Measured = result) -> list[Line]:
        return _lines(formula, given, bare, uncertain, shown, chosen)

    inputs = {argument.name: value for argument, value in zip(formula.contract.arguments, given, strict=True)}
    return Worked(formula.name, formula.title, lines, result, formula.citation, inputs)


def _lines(
    formula: Relation,
    given: list[Any],
    bare: list[float],
    uncertain: Mapping[int, Measured],
    result: Measured,
    system: str,
) -> list[Line]:
    heading, written = formula.heading, formula.traced.written
    lines, figures = [heading.formula], dict(heading.figures)
    needed = written.free_symbols
    symbols = formula.traced.symbols.values()
    for position, (symbol, argument) in enumerate(zip(symbols, formula.contract.arguments, strict=True)):
        if symbol not in needed:
            continue
        spread = float(uncertain[position].expanded_si) if position in uncertain else 0.0
        value, letter, what = bare[position], heading.letters[symbol], given[position]
        if isinstance(what, Measured) and what.worked:
            figures[symbol] = _figure(value)
            lines.append(_line_from_above(letter, argument, figures[symbol], spread, what.worked))
            continue
        typed = _as_given(what, argument, formula.shown.get(argument.name), system)
        exact = typed.is_si or typed.label == "%"
        figures[symbol] = _figure(value, DIGITS_TYPED if exact else DIGITS)
        lines.append(_input_line(letter, argument, typed, value, spread))
    lines += heading.constants
    lines.append(_substitution(formula, written, figures))
    lines.append(_result_line(formula, result, system))
    return lines


def _substitution(formula: Relation, written: Any, figures: Mapping[Any, str]) -> Line:
    """The formula with its figures: in text without commas, so that it can be typed into a calculator."""
    held = {symbol: f"({text})" if text.startswith("-") else text for symbol, text in figures.items()}
    in_latex = {symbol: latex_number(text) for symbol, text in held.items()}
    in_text = {symbol: _in_text(text.replace(",", "")) for symbol, text in held.items()}
    ends = latex_of(written, in_latex, TIMES), text_of(written, in_text)
    return _equation("substitution", formula.result_letter, *ends)


def _in_text(number: str) -> str:
    """A figure, within brackets or not, with its power of ten as a person writes it."""
    return f"({joined(number[1:-1], '')})" if number.startswith("(") else joined(number, "")


def _equation(part: str, letter: str, latex: str, text: str, words: str = "") -> Line:
    return Line(part, f"{letter} = {latex}", f"{plain(letter)} = {text}", words)


def _figure(value: float, digits: int = DIGITS) -> str:
    """A figure: as it is where it ends within these digits, else rounded to six, a small one with its power of ten."""
    text = f"{value:,.10g}"
    if len(text.partition("e")[0].replace(",", "").replace(".", "").lstrip("-0")) <= digits:
        return text
    return f"{value:.{DIGITS - 1}e}" if abs(value) < 1e-4 else number_text(value, DIGITS)


def _short(number: str) -> str:
    """A number without the zeros that end its decimals."""
    return number.rstrip("0").rstrip(".") if "." in number and "e" not in number else number


@dataclass(frozen=True)
class _Given:
    """An input as the reader gave it: number, unit, SI units in one of it, and the text of a compound reading."""

    number: str
    label: str
    factor: float
    is_si: bool = False
    compound: str = ""


def _as_given(typed: Any, argument: Argument, unit: tuple[str, str] | None, system: str) -> _Given:
    kind = argument.kind
    assert kind is not None
    compound = ""
    if isinstance(typed, Measured) and typed.reading is not None:
        typed = typed.reading
    if isinstance(typed, str):
        typed = read(typed, kind)
    if isinstance(typed, Reading):
        compound = typed.typed.partition("±")[0].strip() if typed.compound else ""
        typed = typed.value
    if is_own(typed):
        label = unit_text(units_of(typed))
        factor, _, _ = scales_of(kind).get(units_of(typed), (1.0, 0.0, None))
        is_si = label == unit_label(kind.si, kind)
        return _Given(_figure(float(typed.magnitude), DIGITS_TYPED), label, factor, is_si, compound)
    shown = (unit[1] if system == "metric" else unit[0]) if unit else None
    if isinstance(typed, Measured):
        si = float(typed.si)
        shown = typed.shown_unit(system) if typed.unit is not None or not unit else shown
    else:
        si = float(si_value(typed, kind)) if is_quantity(typed) else float(typed)
    shown = unit_of_size(kind, si, system) if shown is None else shown
    label, is_si = unit_label(shown, kind), unit_label(shown, kind) == unit_label(kind.si, kind)
    return _Given(_figure(float(in_unit(si, shown, kind)), DIGITS_TYPED), label, unit_factor(shown, kind), is_si)


def _line_from_above(letter: str, argument: Argument, figure: str, spread: float, title: str) -> Line:
    """An input that an earlier step gave: in SI units, as that step showed it."""
    assert argument.kind is not None
    unit, around = si_label(argument.kind.si), spread_text(spread) if spread else ""
    source = f"(from above: {title})"
    latex = rf"{latex_joined(figure, unit, around)}\;{latex_text(source)}"
    words = argument.name.replace("_", " ")
    return _equation("input", letter, latex, f"{joined(figure, unit, around)} {source}", words)


def _input_line(letter: str, argument: Argument, typed: _Given, si: float, spread: float) -> Line:
    kind = argument.kind
    assert kind is not None
    words = argument.name.replace("_", " ")
    number, label = typed.number, typed.label
    own = _short(number_text(spread / typed.factor, 2)) if spread else ""
    latex, text = latex_joined(number, label, own), joined(number, label, own)
    if typed.compound:
        latex, text = f"{latex_text(typed.compound)} = {latex}", f"{typed.compound} = {text}"
    if typed.is_si:
        return _equation("input", letter, latex, text, words)
    in_si, si_unit = _figure(si, DIGITS_TYPED if label == "%" else DIGITS), si_label(kind.si)
    around = spread_text(spread) if spread else ""
    end, end_text = latex_joined(in_si, si_unit, around), joined(in_si, si_unit, around)
    how, how_latex = _conversion(number, label, typed.factor, kind)
    return _equation("input", letter, f"{latex}{how_latex} = {end}", f"{text}{how} = {end_text}", words)


def _conversion(number: str, label: str, factor: float, kind: Kind) -> tuple[str, str]:
    """What stands between a number in a unit and the same in SI units, as text and as LaTeX."""
    if kind.flavour == "temperature" and label == "°F":
        return (
            f" = ({number} + 459.67) × 5/9",
            rf" = \left({latex_number(number)} + 459.67\right) \times \tfrac{{5}}{{9}}",
        )
    if kind.flavour == "temperature" and label == "°C":
        return f" = {number} + 273.15", f" = {latex_number(number)} + 273.15"
    if label == "%":
        return f" = {number} / 100", f" = {latex_number(number)} / 100"
    per = f"{bracketed(si_label(kind.si)) or '1'}/{bracketed(label)}" if label else ""
    if abs(factor * 9 - 5) < 1e-12:
        return f" × {FIVE_NINTHS} {per}", rf" \times \tfrac{{5}}{{9}}{latex_unit(per)}"
    text = f"{factor:.7g}"
    return f" × {joined(text, per)}", rf" \times {latex_joined(text, per)}"


def _result_line(formula: Relation, result: Measured, system: str) -> Line:
    kind, unit = formula.kind, result.shown_unit(system)
    si_unit, label = si_label(kind.si), unit_label(unit, kind)
    si, spread = float(result.si), float(result.expanded_si)
    in_si, factor = _figure(si), unit_factor(unit, kind)
    value = float(in_unit(si, unit, kind))
    ends, ends_text = [latex_joined(in_si, si_unit)], [joined(in_si, si_unit)]
    if label != unit_label(kind.si, kind):
        how, how_latex = _back(in_si, label, factor, kind)
        number = _figure(value, DIGITS_OF_RESULT)
        number = number if number == f"{value:,.10g}" else number_text(value, DIGITS_OF_RESULT)
        ends, ends_text = [*ends, how_latex, latex_joined(number, label)], [*ends_text, how, joined(number, label)]
    if spread:
        number, around = rounded_pair(value, spread / factor)
        ends[-1] = latex_joined(number, label, around) + r"\;(k = 2)"
        ends_text[-1] = joined(number, label, around) + " (k = 2)"
        if len(ends) == 1:  # the figure in full, then as it is known
            ends, ends_text = [latex_joined(in_si, si_unit), *ends], [joined(in_si, si_unit), *ends_text]
    return _equation("result", formula.result_letter, " = ".join(ends), " = ".join(ends_text), "result")


def _back(in_si: str, label: str, factor: float, kind: Kind) -> tuple[str, str]:
    """How a figure in SI units becomes one in another unit, as text and as LaTeX."""
    latex = latex_number(in_si)
    if kind.flavour == "temperature" and label == "°F":
        return f"{joined(in_si, '')} × 9/5 - 459.67", rf"{latex} \times \tfrac{{9}}{{5}} - 459.67"
    if kind.flavour == "temperature" and label == "°C":
        return f"{joined(in_si, '')} - 273.15", f"{latex} - 273.15"
    if label == "%":
        return f"{joined(in_si, '')} × 100", rf"{latex} \times 100"
    if abs(factor * 9 - 5) < 1e-12:
        return f"{joined(in_si, '')} × 9/5", rf"{latex} \times \tfrac{{9}}{{5}}"
    si_unit, text = si_label(kind.si), f"{factor:.7g}"
    per = f"{bracketed(si_unit) or '1'}/{bracketed(label)}" if label else ""
    return (
        f"{joined(in_si, si_unit)} / ({joined(text, per)})",
        rf"{latex_joined(in_si, si_unit)} \div \left({latex_joined(text, per)}\right)",
    )
