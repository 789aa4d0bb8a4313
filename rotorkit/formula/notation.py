"""How formulas, numbers and units are written: as LaTeX, and as plain text for a terminal."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "varepsilon": "ε", "eta": "η", "theta": "θ",
    "zeta": "ζ", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν", "xi": "ξ", "pi": "π", "rho": "ρ", "sigma": "σ",
    "tau": "τ", "phi": "φ", "varphi": "φ", "chi": "χ", "psi": "ψ", "omega": "ω", "Omega": "Ω", "Delta": "Δ",
    "Gamma": "Γ", "Theta": "Θ", "Lambda": "Λ", "Phi": "Φ", "Psi": "Ψ", "Sigma": "Σ", "infty": "∞", "ell": "l",
}  # fmt: skip
FUNCTIONS = {"log": "ln"}
ADD, MULTIPLY, POWER, ATOM = 1, 2, 3, 4


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
    number = f"({number} ± {spread})" if spread else number
    return number + ("" if not label or label == "°" else " ") + label


def latex_joined(number: str, label: str, spread: str = "") -> str:
    """The same as LaTeX."""
    text = latex_number(number)
    return (rf"\left({text} \pm {latex_number(spread)}\right)" if spread else text) + latex_unit(label)


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
    text = text.replace("°", r"^{\circ}").replace("·", r"{\cdot}")
    return rf"\,\mathrm{{{text}}}"


def latex_text(text: str) -> str:
    """Words for LaTeX, as they stand."""
    escaped = re.sub(r"([\\%_&#${}^~])", lambda m: {"\\": r"\backslash ", "^": r"\hat{}"}.get(m[1], "\\" + m[1]), text)
    return rf"\text{{{escaped}}}"


def _written(number: Any) -> str:
    """A number as a person would write it: 0.5, 1.5, and 2/3 where a decimal would never end."""
    value = float(number)
    fraction = Fraction(value).limit_denominator(12)
    if fraction.denominator in (3, 6, 7, 9, 11, 12) and abs(float(fraction) - value) < 1e-14 * abs(value):
        return f"{fraction.numerator}/{fraction.denominator}"
    return f"{value:.10g}"


def latex_of(expression: Any, names: Mapping[Any, str], times: str | None = None) -> str:
    """An expression as LaTeX, its symbols by `names`."""
    from sympy.printing.latex import LatexPrinter

    class Printer(LatexPrinter):
        """Decimals as written, not with fifteen digits."""

        def _print_Float(self, number: Any) -> str:
            text = _written(number)
            return r"\tfrac{{{}}}{{{}}}".format(*text.split("/")) if "/" in text else latex_number(text)

    settings: dict[str, Any] = {
        "symbol_names": dict(names), "order": "none", "fold_short_frac": False, "ln_notation": True
    }  # fmt: skip
    if times:
        settings |= {"mul_symbol": times}
    text = str(Printer(settings).doprint(expression))
    return re.sub(r"\\left\(\((-[^()]*)\)\s*\\right\)", r"\\left(\1\\right)", text)


def text_of(expression: Any, names: Mapping[Any, str]) -> str:
    """An expression as plain text, its symbols by `names`: ``T × √(T / (2 × ρ × A))``."""
    return _text(expression, names)[0]


def _text(part: Any, names: Mapping[Any, str]) -> tuple[str, int]:
    """The text, and how tightly it holds together."""
    if part in names:
        text = names[part]
        return text, ATOM if "e" not in text or not text[:1].isdigit() else MULTIPLY
    if part.is_Add:
        return _sum(part, names), ADD
    if part.is_Mul:
        return _product(part, names), MULTIPLY
    if part.is_Pow:
        return _power(part.args[0], part.args[1], names)
    if part.is_Number:
        text = str(part) if part.is_Rational else _written(part)
        return text, MULTIPLY if "/" in text else ADD if text.startswith("-") else ATOM
    if not part.args:
        return {"pi": "π", "Exp1": "e", "E": "e"}.get(str(part), str(part)), ATOM
    inner = ", ".join(_text(argument, names)[0] for argument in part.args)
    name = type(part).__name__
    return (f"|{inner}|" if name == "Abs" else f"{FUNCTIONS.get(name, name)}({inner})"), ATOM


def _held(part: Any, names: Mapping[Any, str], tightness: int) -> str:
    text, has = _text(part, names)
    return text if has >= tightness else f"({text})"


def _sum(part: Any, names: Mapping[Any, str]) -> str:
    text = ""
    for term in part.args:
        written = _text(term, names)[0] if term.is_Add else _held(term, names, MULTIPLY)
        if term.is_Number and written.startswith("("):
            written = written[1:-1]
        if not text:
            text = written
        else:
            text += f" - {written[1:]}" if written.startswith("-") else f" + {written}"
    return text


def _factors(part: Any) -> list[Any]:
    return [inner for factor in part.args for inner in (_factors(factor) if factor.is_Mul else [factor])]


def _product(part: Any, names: Mapping[Any, str]) -> str:
    sign, top, bottom = "", [], []
    for factor in _factors(part):
        if factor == -1:
            sign = "" if sign else "-"
        elif factor.is_Pow and factor.args[1].is_Number and factor.args[1] < 0:
            base, power = factor.args[0], -factor.args[1]
            written = _text(base, names) if power == 1 else _power(base, power, names)
            bottom.append(written)
        elif factor.is_Rational and not factor.is_Integer:
            top += [str(factor.p)] if factor.p != 1 or len(part.args) == 1 else []
            bottom.append((str(factor.q), ATOM))
        else:
            top.append(_held(factor, names, POWER if factor.is_Add else MULTIPLY))
    text = sign + (" × ".join(top) or "1")
    if not bottom:
        return text
    if len(bottom) == 1 and bottom[0][1] >= POWER:
        return f"{text} / {bottom[0][0]}"
    if len(bottom) == 1:
        return f"{text} / ({bottom[0][0]})"
    return f"{text} / ({' × '.join(t if tight >= MULTIPLY else f'({t})' for t, tight in bottom)})"


def _power(base: Any, exponent: Any, names: Mapping[Any, str]) -> tuple[str, int]:
    if exponent.is_Number and float(exponent) == 0.5:
        return f"√({_text(base, names)[0]})", ATOM
    if exponent.is_Number and exponent < 0:
        under = _text(base, names) if exponent == -1 else _power(base, -exponent, names)
        return f"1 / {under[0] if under[1] >= POWER else f'({under[0]})'}", MULTIPLY
    return f"{_held(base, names, ATOM)}^{_held(exponent, names, ATOM)}", POWER
