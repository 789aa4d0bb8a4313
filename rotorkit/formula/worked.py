"""The worked calculation: what a person with a pocket calculator would write down, from the formula's one body.

Formula as written, each input with its conversion, the substitution, the result in the reader's unit. Each line stands as
LaTeX (for a notebook or a typeset page) and as plain text (for a terminal); both come from the same parts.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from rotorkit.quantities import Reading, display_system, from_si, in_unit, number_text, say, unit_factor, unit_label
from rotorkit.quantities.registry import kind_of_units, si_value
from rotorkit.quantities.saying import unit_text

if TYPE_CHECKING:
    from rotorkit.formula.core import Formula
    from rotorkit.quantities import Kind

DIGITS = 6
"""Significant digits of intermediate figures: enough that a hand calculation comes out the same to four."""

TIMES = "times"
GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "eta": "η", "theta": "θ", "kappa": "κ",
    "lambda": "λ", "mu": "μ", "nu": "ν", "pi": "π", "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ", "varphi": "φ",
    "psi": "ψ", "omega": "ω", "Omega": "Ω", "Delta": "Δ", "Theta": "Θ", "Phi": "Φ", "Sigma": "Σ", "infty": "∞",
}  # fmt: skip


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
        body = r" \\ ".join(line.latex.replace("=", "&=", 1) for line in self.lines)
        return rf"\begin{{aligned}} {body} \end{{aligned}}"

    def _repr_markdown_(self) -> str:
        return f"**{self.title}**\n\n$$\n{self.latex}\n$$\n\n{self.citation.sentence}"

    def __str__(self) -> str:
        return self.text

    def __repr__(self) -> str:
        return f"<worked calculation of {self.name}: {say(self.value)}>"


def work_out(formula: Formula, given: list[Any], bare: list[float], result: Any, system: str | None) -> Worked:
    """The lines of one calculation."""
    chosen = system or display_system()
    traced = formula.traced
    symbols = list(traced.symbols.values())
    letters = dict(zip(symbols, (formula.letters[a.name] for a in formula.contract.arguments), strict=True))
    letters |= {symbol: constant.letter for symbol, constant in traced.constants.values()}
    lines = [
        Line(
            "formula",
            f"{formula.result_letter} = {_latex(traced.written, letters)}",
            f"{plain(formula.result_letter)} = {_plain(traced.written, letters)}",
        )
    ]
    values: dict[Any, str] = {}
    for symbol, argument, typed, si in zip(symbols, formula.contract.arguments, given, bare, strict=True):
        if symbol not in traced.written.free_symbols:
            continue
        assert argument.kind is not None
        unit = formula.shown.get(argument.name)
        lines.append(_input_line(letters[symbol], argument, typed, si, unit, chosen))
        values[symbol] = number_text(si, DIGITS)
    for symbol, constant in traced.constants.values():
        label = si_label(constant.unit)
        lines.append(
            Line(
                "constant",
                f"{constant.letter} = {latex_number(f'{float(constant):.10g}')}{latex_unit(label)}",
                f"{plain(constant.letter)} = {float(constant):.10g} {label}".rstrip(),
                str(constant.citation or ""),
            )
        )
        values[symbol] = f"{float(constant):.10g}"
    bracketed = {s: f"({v})" if v.startswith("-") else v for s, v in values.items()}
    latex_values = {s: latex_number(v) for s, v in bracketed.items()}
    no_commas = {s: v.replace(",", "") for s, v in bracketed.items()}
    lines.append(
        Line(
            "substitution",
            f"{formula.result_letter} = {_latex(traced.written, latex_values, TIMES)}",
            f"{plain(formula.result_letter)} = {_plain(traced.written, no_commas)}",
        )
    )
    lines.append(_result_line(formula, result, chosen))
    inputs = {a.name: value for a, value in zip(formula.contract.arguments, given, strict=True)}
    return Worked(formula.name, _title(formula), lines, result, formula.citation, inputs)


def _title(formula: Formula) -> str:
    return formula.name.replace("_", " ").capitalize()


def _typed_in(typed: Any, kind: Kind, unit: tuple[str, str] | None, system: str) -> tuple[Any, str | None]:
    """(number, unit text as said) that the reader gave or would use, or (None, None) where it is SI already."""
    from rotorkit.quantities import read

    if isinstance(typed, str):
        typed = read(typed, kind)
    if isinstance(typed, Reading):
        typed = typed.value
    if hasattr(typed, "_units"):
        found = kind_of_units(typed._units)
        label = unit_text(typed._units)
        if label == si_label(kind.si, kind):
            return None, None
        if found is not None:
            return float(typed.magnitude), label
    shown = (unit[1] if system == "metric" else unit[0]) if unit else None
    if hasattr(typed, "shown_unit") and (typed.unit is not None or not unit):
        shown = typed.shown_unit(system)
    shown = shown or kind.shown(system)
    si = typed.si if hasattr(typed, "si") else si_value(typed, kind) if hasattr(typed, "_units") else float(typed)
    if unit_label(shown, kind) == si_label(kind.si, kind):
        return None, None
    return float(in_unit(si, shown, kind)), unit_label(shown, kind)


def _input_line(letter: str, argument: Any, typed: Any, si: float, unit: Any, system: str) -> Line:
    kind = argument.kind
    number, label = _typed_in(typed, kind, unit, system)
    in_si, si_unit = number_text(si, DIGITS), si_label(kind.si, kind)
    words = argument.name.replace("_", " ")
    left, left_text = f"{letter} = ", f"{plain(letter)} = "
    end, end_text = f"{latex_number(in_si)}{latex_unit(si_unit)}", _joined(in_si, si_unit)
    if number is None or label is None:
        return Line("input", left + end, left_text + end_text, words)
    shown = number_text(number, DIGITS) if not isinstance(number, float) else f"{number:,.10g}"
    if len(shown.replace(",", "").replace(".", "").lstrip("-0")) > DIGITS + 1:
        shown = number_text(number, DIGITS)
    if kind.flavour == "temperature" and label in ("°F", "°C"):
        how = f"({shown} + 459.67) × 5/9" if label == "°F" else f"{shown} + 273.15"
        how_latex = (
            rf"({latex_number(shown)} + 459.67) \times \tfrac{{5}}{{9}}"
            if label == "°F"
            else f"{latex_number(shown)} + 273.15"
        )
        return Line(
            "input",
            f"{left}{latex_number(shown)}{latex_unit(label)} = {how_latex} = {end}",
            f"{left_text}{_joined(shown, label)} = {how} = {end_text}",
            words,
        )
    factor = f"{_factor(label, kind):.7g}"
    per = f"{si_unit or '1'}/{_bracket(label)}"
    return Line(
        "input",
        rf"{left}{latex_number(shown)}{latex_unit(label)} \times {latex_number(factor)}{latex_unit(per)} = {end}",
        f"{left_text}{_joined(shown, label)} × {factor} {per} = {end_text}",
        words,
    )


def _result_line(formula: Formula, result: Any, system: str) -> Line:
    kind = formula.kind
    unit = result.shown_unit(system)
    si_unit, label = si_label(kind.si, kind), unit_label(unit, kind)
    in_si = number_text(float(result.si), DIGITS)
    letter = formula.result_letter
    left, left_text = (
        f"{letter} = {latex_number(in_si)}{latex_unit(si_unit)}",
        f"{plain(letter)} = {_joined(in_si, si_unit)}",
    )
    if label == si_unit:
        return Line("result", left, left_text, "result")
    said = say(from_si(float(result.si), kind), unit, digits=5)
    number = said[: len(said) - len(label)].strip()
    if kind.flavour == "temperature":
        how = f"{in_si} × 9/5 - 459.67" if label == "°F" else f"{in_si} - 273.15"
        how_latex = how.replace("×", r"\times").replace("9/5", r"\tfrac{9}{5}")
    else:
        factor = f"{unit_factor(unit, kind):.7g}"
        how, how_latex = f"{in_si} / {factor}", rf"{latex_number(in_si)} \div {latex_number(factor)}"
    return Line(
        "result",
        f"{left} = {how_latex.replace(',', '{,}') if kind.flavour == 'temperature' else how_latex} = {latex_number(number)}{latex_unit(label)}",
        f"{left_text} = {how} = {_joined(number, label)}",
        "result",
    )


def _factor(label: str, kind: Kind) -> float:
    return unit_factor(label.replace("·", "*").replace("²", "^2").replace("³", "^3").replace("⁴", "^4"), kind)


def si_label(unit: str, kind: Any = None) -> str:
    """An SI unit as typed, in the trade's symbols."""
    return unit.replace("^2", "²").replace("^3", "³").replace("^4", "⁴").replace("*", "·")


def _bracket(label: str) -> str:
    return f"({label})" if re.search(r"[/·]", label) else label


def _joined(number: str, label: str) -> str:
    return number + ("" if not label or label == "°" else " ") + label


def latex_number(text: str) -> str:
    """A number for LaTeX: a thousands comma without its space, an exponent as a power of ten."""
    text = re.sub(
        r"(-?[\d.]+)e([+-]?)0*(\d+)", lambda m: rf"{m[1]} \times 10^{{{'-' if m[2] == '-' else ''}{m[3]}}}", text
    )
    return text.replace(",", "{,}").replace("%", r"\%")


def latex_unit(label: str) -> str:
    """A unit for LaTeX, upright, after a thin space."""
    if not label:
        return ""
    if label == "°":
        return r"^{\circ}"
    text = label.replace("²", "^2").replace("³", "^3").replace("⁴", "^4").replace("%", r"\%")
    text = text.replace("°", r"^{\circ}\!").replace("·", r"{\cdot}").replace("μ", r"\mu ").replace("µ", r"\mu ")
    return rf"\,\mathrm{{{text}}}"


def plain(letter: str) -> str:
    """A textbook letter for plain text: ``\\rho`` is ρ, ``C_{T}`` is C_T."""
    text = re.sub(r"\\(?:mathrm|text|mathit)\{([^{}]*)\}", r"\1", letter)
    text = re.sub(r"\\([A-Za-z]+)\s*", lambda m: GREEK.get(m[1], m[1]), text)
    return text.replace("{", "").replace("}", "").replace(r"\,", "").strip()


def _latex(expression: Any, names: dict[Any, str], times: str | None = None) -> str:
    from sympy.printing.latex import LatexPrinter

    class Printer(LatexPrinter):  # type: ignore[misc]
        """Decimals as written, not with fifteen digits."""

        def _print_Float(self, number: Any) -> str:
            return latex_number(f"{float(number):.10g}")

    settings: dict[str, Any] = {"symbol_names": names, "order": "none", "fold_short_frac": False}
    if times:
        settings |= {"mul_symbol": times}
    text = str(Printer(settings).doprint(expression))
    return re.sub(r"\\left\(\((-[^()]*)\)\s*\\right\)", r"\\left(\1\\right)", text)


def _flat(expression: Any) -> Any:
    """A product of products as one product, and likewise sums, without evaluating: the text form then needs no brackets."""
    if not expression.args:
        return expression
    parts = [_flat(part) for part in expression.args]
    if expression.is_Mul or expression.is_Add:
        parts = [inner for part in parts for inner in (part.args if part.func == expression.func else (part,))]
        return expression.func(*parts, evaluate=False)
    return expression.func(*parts, evaluate=False) if expression.is_Pow or expression.is_Function else expression


def _plain(expression: Any, names: dict[Any, str]) -> str:
    from sympy.printing.str import StrPrinter

    class Printer(StrPrinter):  # type: ignore[misc]
        def _print_Float(self, number: Any) -> str:
            return f"{float(number):.10g}"

        def _print_Symbol(self, symbol: Any) -> str:
            return plain(names[symbol]) if symbol in names else str(symbol.name)

    text = str(Printer({"order": "none"}).doprint(_flat(expression)))
    text = _single_brackets(text)
    return text.replace("**", "^").replace("*", " × ").replace("/", " / ").replace("sqrt", "√").replace("pi", "π")


def _single_brackets(text: str) -> str:
    """Text without doubled brackets: ``a/((b*c))`` as ``a/(b*c)``."""
    opened, pairs = [], {}
    for i, character in enumerate(text):
        if character == "(":
            opened.append(i)
        elif character == ")" and opened:
            pairs[opened.pop()] = i
    doubled = {i for i, end in pairs.items() if pairs.get(i + 1) == end - 1}
    gone = doubled | {pairs[i] for i in doubled}
    return "".join(character for i, character in enumerate(text) if i not in gone)
