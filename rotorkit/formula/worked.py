"""The worked calculation: what a person with a pocket calculator would write down, from the formula's one body.

Formula as written, each input with its conversion, the substitution, the result in the reader's unit. Each line stands
as LaTeX (for a notebook or a typeset page) and as plain text (for a terminal); both come from the same parts. Where an
input carries an uncertainty, it stands beside it, and the result's beside the result (expanded, k = 2).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from rotorkit.formula.notation import (
    bracketed,
    joined,
    latex_joined,
    latex_number,
    latex_of,
    latex_text,
    latex_unit,
    plain,
    si_label,
    text_of,
)
from rotorkit.measured import Measured
from rotorkit.quantities import (
    Reading,
    display_system,
    from_si,
    in_unit,
    number_text,
    read,
    rounded_pair,
    say,
    unit_factor,
    unit_label,
)
from rotorkit.quantities.registry import registry, scales_of, si_value
from rotorkit.quantities.saying import unit_text

if TYPE_CHECKING:
    from rotorkit.contract import Argument
    from rotorkit.formula.core import Formula
    from rotorkit.quantities import Kind

DIGITS = 6
"""Significant digits of intermediate figures: enough that a hand calculation comes out the same to four."""

TIMES = "times"
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
    """A worked calculation. value: the result as a `Measured`. In a notebook it shows itself typeset."""

    name: str
    title: str
    lines: list[Line]
    value: Any
    citation: Any
    inputs: dict[str, Any] = field(default_factory=dict)

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
        return f"**{self.title}**\n\n$$\n{self.latex}\n$$\n\n{self.citation.sentence}"

    def __str__(self) -> str:
        return self.text

    def __repr__(self) -> str:
        return f"<worked calculation of {self.name}: {say(self.value)}>"


def work_out(
    formula: Formula,
    given: list[Any],
    bare: list[float],
    uncertain: Mapping[int, Measured],
    result: Measured,
    system: str | None,
) -> Worked:
    """The lines of one calculation, from the arguments as given, their SI values and those that are uncertain."""
    chosen = system or display_system()
    traced, arguments = formula.traced, formula.contract.arguments
    symbols = list(traced.symbols.values())
    letters = {symbol: formula.letters[argument.name] for symbol, argument in zip(symbols, arguments, strict=True)}
    for symbol, constant in traced.constants.values():
        taken = letters.values()
        letters[symbol] = constant.letter if constant.letter not in taken else f"{constant.letter}'"
    left = formula.result_letter
    lines = [_equation("formula", left, latex_of(traced.written, letters), text_of(traced.written, _plain(letters)))]
    values: dict[Any, str] = {}
    for position, (symbol, argument) in enumerate(zip(symbols, arguments, strict=True)):
        if symbol not in traced.written.free_symbols:
            continue
        spread = float(uncertain[position].expanded_si) if position in uncertain else 0.0
        typed = _as_given(given[position], argument, formula.shown.get(argument.name), chosen)
        lines.append(_input_line(letters[symbol], argument, typed, bare[position], spread))
        exact = typed.is_si or typed.label == "%"
        values[symbol] = _as_typed(bare[position]) if exact else _figure(bare[position])
    for symbol, constant in traced.constants.values():
        values[symbol] = f"{float(constant):.10g}"
        label = si_label(constant.unit)
        ends = latex_joined(values[symbol], label), joined(values[symbol], label)
        lines.append(_equation("constant", letters[symbol], *ends, words=str(constant.citation or "")))
    numbers = {s: (f"({v})" if v.startswith("-") else v).replace(",", "") for s, v in values.items()}
    in_latex = {s: latex_number(f"({v})" if v.startswith("-") else v) for s, v in values.items()}
    lines.append(
        _equation("substitution", left, latex_of(traced.written, in_latex, TIMES), text_of(traced.written, numbers))
    )
    lines.append(_result_line(formula, result, chosen))
    inputs = {argument.name: value for argument, value in zip(arguments, given, strict=True)}
    return Worked(formula.name, _title(formula), lines, result, formula.citation, inputs)


def _plain(letters: Mapping[Any, str]) -> dict[Any, str]:
    return {symbol: plain(letter) for symbol, letter in letters.items()}


def _equation(part: str, letter: str, latex: str, text: str, words: str = "") -> Line:
    return Line(part, f"{letter} = {latex}", f"{plain(letter)} = {text}", words)


def _title(formula: Formula) -> str:
    return formula.name.replace("_", " ").capitalize().replace("Isa ", "ISA ")


def _figure(value: float) -> str:
    """An intermediate figure: six digits, a small one with its power of ten."""
    if value and abs(value) < 1e-4:
        return f"{value:.{DIGITS - 1}e}"
    return number_text(value, DIGITS)


def _as_typed(value: float) -> str:
    """A number that a person typed, without the digits that it never had."""
    text = f"{value:,.10g}"
    digits = text.partition("e")[0].replace(",", "").replace(".", "").lstrip("-0")
    return text if len(digits) <= DIGITS + 1 else _figure(value)


def _short(number: str) -> str:
    """A number without the noughts that end its decimals."""
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
    if isinstance(typed, str):
        typed = read(typed, kind)
    if isinstance(typed, Reading):
        compound = typed.typed.partition("±")[0].strip() if typed.compound else ""
        typed = typed.value
    if getattr(typed, "_REGISTRY", None) is registry():
        label = unit_text(typed._units)
        factor, _, _ = scales_of(kind).get(typed._units, (1.0, 0.0, None))
        is_si = label == unit_label(kind.si, kind)
        return _Given(_as_typed(float(typed.magnitude)), label, factor, is_si, compound)
    shown = (unit[1] if system == "metric" else unit[0]) if unit else None
    if isinstance(typed, Measured):
        si = float(typed.si)
        shown = typed.shown_unit(system) if typed.unit is not None or not unit else shown
    else:
        si = float(si_value(typed, kind)) if hasattr(typed, "_units") else float(typed)
    shown = kind.shown(system) if shown is None else shown
    label, is_si = unit_label(shown, kind), unit_label(shown, kind) == unit_label(kind.si, kind)
    return _Given(_as_typed(float(in_unit(si, shown, kind))), label, unit_factor(shown, kind), is_si)


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
    in_si, si_unit = _as_typed(si) if label == "%" else _figure(si), si_label(kind.si)
    around = number_text(spread, 2) if spread else ""
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
    return f" × {joined(text, per)}", rf" \times {latex_number(text)}{latex_unit(per)}"


def _result_line(formula: Formula, result: Measured, system: str) -> Line:
    kind, unit = formula.kind, result.shown_unit(system)
    si_unit, label = si_label(kind.si), unit_label(unit, kind)
    si, spread = float(result.si), float(result.expanded_si)
    in_si, factor = _figure(si), unit_factor(unit, kind)
    ends, ends_text = [latex_joined(in_si, si_unit)], [joined(in_si, si_unit)]
    if label != unit_label(kind.si, kind):
        how, how_latex = _back(in_si, label, factor, kind)
        said = say(from_si(si, kind), unit, digits=5)
        number = said[: len(said) - len(label)].strip()
        ends, ends_text = [*ends, how_latex, latex_joined(number, label)], [*ends_text, how, joined(number, label)]
    if spread:
        number, around = rounded_pair(float(in_unit(si, unit, kind)), spread / factor)
        ends[-1] = latex_joined(number, label, around) + r"\;(k = 2)"
        ends_text[-1] = joined(number, label, around) + " (k = 2)"
        if len(ends) == 1:  # the figure in full, then as it is known
            ends, ends_text = [latex_joined(in_si, si_unit), *ends], [joined(in_si, si_unit), *ends_text]
    return _equation("result", formula.result_letter, " = ".join(ends), " = ".join(ends_text), "result")


def _back(in_si: str, label: str, factor: float, kind: Kind) -> tuple[str, str]:
    """How a figure in SI units becomes one in another unit, as text and as LaTeX."""
    latex = latex_number(in_si)
    if kind.flavour == "temperature" and label == "°F":
        return f"{in_si} × 9/5 - 459.67", rf"{latex} \times \tfrac{{9}}{{5}} - 459.67"
    if kind.flavour == "temperature" and label == "°C":
        return f"{in_si} - 273.15", f"{latex} - 273.15"
    if label == "%":
        return f"{in_si} × 100", rf"{latex} \times 100"
    if abs(factor * 9 - 5) < 1e-12:
        return f"{in_si} × 9/5", rf"{latex} \times \tfrac{{9}}{{5}}"
    si_unit, text = si_label(kind.si), f"{factor:.7g}"
    per = f"{bracketed(si_unit) or '1'}/{bracketed(label)}" if label else ""
    return (
        f"{joined(in_si, si_unit)} / ({joined(text, per)})",
        rf"{latex_joined(in_si, si_unit)} \div \left({latex_joined(text, per)}\right)",
    )
