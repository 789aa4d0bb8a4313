"""How formulas, numbers and units are written: as LaTeX, and as plain text for a terminal."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

from rotorkit.formula.expressions import Number, Pow

GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "varepsilon": "ε", "eta": "η", "theta": "θ",
    "zeta": "ζ", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "pi": "π", "rho": "ρ", "sigma": "σ",
    "tau": "τ", "phi": "φ", "varphi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω", "Omega": "Ω", "Delta": "Δ",
    "Gamma": "Γ", "Theta": "Θ", "Lambda": "Λ", "Phi": "Φ", "Psi": "Ψ", "Sigma": "Σ", "infty": "∞", "ell": "l",
}  # fmt: skip
FUNCTIONS = {"log": "ln", "asin": "arcsin", "acos": "arccos", "atan": "arctan"}
ADD, QUOTIENT, MULTIPLY, POWER, ATOM = 1.0, 1.5, 2.0, 3.0, 4.0
"""How tightly a part of an expression holds together."""
POWER_OF_TEN = re.compile(r"(-?[\d.]+)e([+-]?\d+)")


def plain(letter: str) -> str:
    """A textbook letter for plain text: ``\\rho`` is ρ, ``C_{T}`` is C_T."""
    text = re.sub(r"\\(?:mathrm|text|mathit|operatorname)\{([^{}]*)\}", r"\1", letter)
    text = re.sub(r"\\([A-Za-z]+)\s*", lambda m: GREEK.get(m[1], m[1]), text)
    return text.replace("{", "").replace("}", "").replace(r"\,", "").strip()


def si_label(unit: str) -> str:
    """An SI unit as typed, in the trade's symbols."""
    return unit.replace("^2", "²").replace("^3", "³").replace("^4", "⁴").replace("*", "·")


def bracketed(label: str) -> str:
    """A unit as one side of a quotient of units."""
    return f"({label})" if re.search(r"[/·]", label) else label


def joined(number: str, label: str, spread: str = "") -> str:
    """A number and its unit; with an uncertainty, both in brackets before the unit."""
    number, spread, power = _with_power(number, spread)
    text = f"{number} ± {spread}" if spread else number
    if spread and (label or power):
        text = f"({text})"
    return text + (f" × 10^{power}" if power else "") + ("" if not label or label == "°" else " ") + label


def latex_joined(number: str, label: str, spread: str = "") -> str:
    """The same as LaTeX."""
    number, spread, power = _with_power(number, spread)
    text = latex_number(number)
    if spread:
        text = rf"{text} \pm {latex_number(spread)}"
        text = rf"\left({text}\right)" if label or power else text
    unit = latex_unit(label)
    if power:
        # what stands above the ten and what stands above the whole, as a degree's sign, are kept apart
        ten = rf"10^{{{power}}}"
        text += rf" \times {f'{{{ten}}}' if unit.startswith('^') else ten}"
    return text + unit


def _with_power(number: str, spread: str) -> tuple[str, str, str]:
    """A number and its uncertainty with their common power of ten: (2.36 ± 0.081) and -5 for 2.36e-05 and 8.1e-07."""
    found = POWER_OF_TEN.fullmatch(number) or (POWER_OF_TEN.fullmatch(spread) if number == "0" else None)
    if found is None:
        return number, format(Decimal(spread), "f") if "e" in spread else spread, ""
    power = int(found[2])
    if spread:
        spread = format(Decimal(f"{float(spread.replace(',', '')) / 10.0**power:.2g}"), "f")
    return number if number == "0" else found[1], spread, str(power)


def latex_number(text: str) -> str:
    """A number for LaTeX: a thousands comma without its space, an exponent as a power of ten."""
    text = re.sub(POWER_OF_TEN, lambda m: rf"{m[1]} \times 10^{{{int(m[2])}}}", text)
    return text.replace(",", "{,}").replace("%", r"\%")


def latex_letter(letter: str) -> str:
    """A textbook letter for LaTeX: several Latin letters that are one name stand upright, RH is no product."""
    return re.sub(
        r"\\(?:mathrm|text|mathit|operatorname)\{[^{}]*\}|\\[A-Za-z]+|[A-Za-z]{2,}",
        lambda m: m[0] if m[0].startswith("\\") else rf"\mathrm{{{m[0]}}}",
        letter,
    )


def latex_unit(label: str) -> str:
    """A unit for LaTeX, upright, after a thin space."""
    if not label:
        return ""
    if label == "°":
        return r"^{\circ}"
    text = label.replace("²", "^2").replace("³", "^3").replace("⁴", "^4").replace("%", r"\%")
    text = text.replace("°", r"^{\circ}").replace("·", r"{\cdot}")
    return rf"\,\mathrm{{{text}}}"


def latex_text(text: str) -> str:
    """Words for LaTeX, as they stand."""
    escaped = re.sub(r"[\\%_&#${}]", lambda m: r"\backslash " if m[0] == "\\" else "\\" + m[0], text)
    return rf"\text{{{escaped}}}"


def _written(number: Any) -> str:
    """A number as a person would write it: 0.5, 1.5, and 2/3 where a decimal would never end."""
    value = float(number)
    fraction = Fraction(value).limit_denominator(12)
    if fraction.denominator in (3, 6, 7, 9, 11, 12) and abs(float(fraction) - value) < 1e-14 * abs(value):
        return f"{fraction.numerator}/{fraction.denominator}"
    return f"{value:.10g}"


def latex_of(expression: Any, names: Mapping[Any, str], times: str = "") -> str:
    """An expression as LaTeX, its symbols by `names`. times: what stands between factors, ``\\times`` between figures;
    letters stand side by side."""
    return _Latex(names, times).written(expression)[0]


def text_of(expression: Any, names: Mapping[Any, str]) -> str:
    """An expression as plain text, its symbols by `names`: ``T × √(T / (2 × ρ × A))``."""
    return _Text(names).written(expression)[0]


def _tightness(name: str) -> float:
    """How tightly a letter or a figure holds together: ``V_d/v_h`` and 2 × 10^-5 want brackets in some places."""
    if name.startswith("(") and name.endswith(")"):
        return ATOM
    if name.startswith("-") or " + " in name:
        return ADD
    if "/" in name:
        return QUOTIENT
    return MULTIPLY if "×" in name or r"\times" in name else ATOM


def _terms(part: Any) -> list[Any]:
    return [inner for term in part.args for inner in (_terms(term) if term.is_Add else [term])]


def _factors(part: Any) -> list[Any]:
    return [inner for factor in part.args for inner in (_factors(factor) if factor.is_Mul else [factor])]


class _Text:
    """Writes an expression as plain text; `_Latex` does the same in LaTeX. Each part comes with its tightness."""

    open, close, times, sign = "(", ")", " × ", "-"

    def __init__(self, names: Mapping[Any, str]) -> None:
        self.names = names

    def written(self, part: Any) -> tuple[str, float]:
        if part in self.names:
            return self.names[part], _tightness(self.names[part])
        if part.is_Add:
            return self.sum(part), ADD
        if part.is_Mul:
            return self.product(part), MULTIPLY
        if part.is_Pow:
            return self.power(part.args[0], part.args[1])
        if part.is_Number:
            return self.number(part)
        if not part.args:
            return self.letter(str(part)), ATOM
        inner = ", ".join(self.argument(argument) for argument in part.args)
        return self.function(type(part).__name__, inner), ATOM

    def number(self, part: Any) -> tuple[str, float]:
        text = str(part) if part.is_Rational else _written(part)
        return text, QUOTIENT if "/" in text else ADD if text.startswith("-") else ATOM

    def letter(self, name: str) -> str:
        return {"pi": "π", "Exp1": "e", "E": "e"}.get(name, name)

    def function(self, name: str, inner: str) -> str:
        return f"|{inner}|" if name == "Abs" else f"{FUNCTIONS.get(name, name)}({inner})"

    def argument(self, part: Any) -> str:
        """A part that stands between brackets or signs anyhow: a negative figure needs none of its own."""
        text = self.written(part)[0]
        return text[1:-1] if part in self.names and text.startswith("(-") else text

    def held(self, part: Any, tightness: float) -> str:
        text, has = self.written(part)
        return text if has >= tightness else f"{self.open}{text}{self.close}"

    def sum(self, part: Any) -> str:
        text = ""
        for term in _terms(part):
            written = self.written(term)[0]
            if not text:
                text = written
            else:
                text += f" - {written[1:]}" if written.startswith("-") else f" + {written}"
        return text

    def split(self, part: Any) -> tuple[str, list[tuple[list[Any], list[Any]]]]:
        """A product's sign, and its fractions in the order written: (factors above the line, factors below)."""
        sign = ""
        groups: list[tuple[list[Any], list[Any]]] = [([], [])]
        for factor in _factors(part):
            if factor.is_Number and factor < 0:
                sign, factor = "" if sign else self.sign, -factor
                if factor == 1:
                    continue
            if factor.is_Pow and factor.args[1].is_Number and factor.args[1] < 0:
                base, power = factor.args[0], -factor.args[1]
                groups[-1][1].append(base if power == 1 else Pow(base, power))
                continue
            if factor.is_Rational and not factor.is_Integer:
                groups[-1][1].append(Number(int(factor.q)))
                if factor.p == 1:
                    continue
                groups[-1][0].append(Number(int(factor.p)))
                continue
            if groups[-1][1]:
                groups.append(([], []))
            groups[-1][0].append(factor)
        return sign, groups

    def product(self, part: Any) -> str:
        sign, groups = self.split(part)
        numerator = [factor for above, _ in groups for factor in above]
        top = [self.held(factor, MULTIPLY if len(numerator) > 1 else QUOTIENT) for factor in numerator]
        bottom = [factor for _, below in groups for factor in below]
        text = sign + (self.times.join(top) or "1")
        if not bottom:
            return text
        if len(bottom) == 1:
            return f"{text} / {self.held(bottom[0], POWER)}"
        under = self.times.join(self.held(factor, MULTIPLY) for factor in bottom)
        return f"{text} / {self.open}{under}{self.close}"

    def power(self, base: Any, exponent: Any) -> tuple[str, float]:
        if exponent.is_Number and float(exponent) == 0.5:
            return f"√({self.argument(base)})", ATOM
        if exponent.is_Number and exponent < 0:
            under = self.written(base) if exponent == -1 else self.power(base, -exponent)
            return f"1 / {under[0] if under[1] >= POWER else f'({under[0]})'}", MULTIPLY
        return f"{self.held(base, ATOM)}^{self.held(exponent, ATOM)}", POWER


class _Latex(_Text):
    """Writes an expression as LaTeX."""

    open, close = r"\left(", r"\right)"

    def __init__(self, names: Mapping[Any, str], times: str) -> None:
        super().__init__(names)
        self.times = f" {times.strip()} " if times.strip() else " "

    def number(self, part: Any) -> tuple[str, float]:
        text, tightness = super().number(part)
        if "/" in text:
            return r"\frac{{{}}}{{{}}}".format(*text.split("/")), POWER
        return latex_number(text), tightness

    def letter(self, name: str) -> str:
        return {"pi": r"\pi", "Exp1": r"\mathrm{e}", "E": r"\mathrm{e}"}.get(name, name)

    def function(self, name: str, inner: str) -> str:
        if name == "Abs":
            return rf"\left|{inner}\right|"
        return rf"\{FUNCTIONS.get(name, name)}\left({inner}\right)"

    def product(self, part: Any) -> str:
        sign, groups = self.split(part)
        fractions = [
            rf"\frac{{{self.row(above) or '1'}}}{{{self.row(below)}}}"
            if below
            else self.factors(above, len(groups) == 1)
            for above, below in groups
        ]
        return sign + self.times.join(fractions)

    def row(self, factors: list[Any]) -> str:
        """Factors above or below the line of a fraction, which holds a single one together."""
        return self.argument(factors[0]) if len(factors) == 1 else self.factors(factors)

    def factors(self, factors: list[Any], alone: bool = False) -> str:
        """Factors side by side. alone: with no fraction beside them."""
        if alone and len(factors) == 1:
            return self.held(factors[0], QUOTIENT)
        text = ""
        for factor in factors:
            written = self.held(factor, MULTIPLY)
            # two figures side by side would be one
            between = r" \cdot " if self.times == " " and written[0].isdigit() else self.times
            text += (between if text else "") + written
        return text

    def power(self, base: Any, exponent: Any) -> tuple[str, float]:
        if exponent.is_Number and float(exponent) == 0.5:
            return rf"\sqrt{{{self.argument(base)}}}", POWER
        if exponent.is_Number and exponent < 0:
            under = self.written(base) if exponent == -1 else self.power(base, -exponent)
            return rf"\frac{{1}}{{{under[0]}}}", MULTIPLY
        return rf"{self.held(base, ATOM)}^{{{_Exponent(self.names, self.times).argument(exponent)}}}", POWER


class _Exponent(_Latex):
    """Writes an exponent on one line, as fractions over two would be too small to read there."""

    def number(self, part: Any) -> tuple[str, float]:
        text, tightness = _Text.number(self, part)
        return latex_number(text), tightness

    def product(self, part: Any) -> str:
        return _Text.product(self, part).replace(" / ", "/")

    def power(self, base: Any, exponent: Any) -> tuple[str, float]:
        if exponent == -1:
            return f"1/{self.held(base, POWER)}", MULTIPLY
        return super().power(base, exponent)
