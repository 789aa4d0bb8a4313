"""Formulas read from LaTeX: what they say, what they refuse, how they fit."""

from __future__ import annotations

import math
from typing import Any

import pytest

from rotorkit.dossier.formulas import LINE, FormulaError, fitted, mathml, tree_of, width_of
from rotorkit.formula.notation import latex_of
from tests.dossier.conftest import Written
from tests.formula.test_homogeneity import every_formula

FUNCTIONS = {
    **{"sin": math.sin, "cos": math.cos, "tan": math.tan, "ln": math.log, "log": math.log, "exp": math.exp},
    **{"arcsin": math.asin, "arccos": math.acos, "arctan": math.atan},
}


def test_a_formula_as_a_tree() -> None:
    assert tree_of(r"P = \frac{T \sqrt{\frac{T}{2 \rho A}}}{FM}") == [
        "row",
        ["letter", "P"],
        ["op", "="],
        [
            "frac",
            [
                "row",
                ["letter", "T"],
                ["root", ["frac", ["letter", "T"], ["row", ["num", "2"], ["letter", "ρ"], ["letter", "A"]]], None],
            ],
            ["row", ["letter", "F"], ["letter", "M"]],
        ],
    ]


def test_units_are_upright_and_in_one_piece() -> None:
    assert tree_of(r"287{,}000.5\,\mathrm{J/(kg{\cdot}K)}") == [
        "row",
        ["num", "287,000.5"],
        ["gap", 0.17],
        ["upright", "J/(kg·K)"],
    ]
    assert tree_of(r"84\,\mathrm{^{\circ}\!F}")[-1] == ["upright", "°F"]
    assert tree_of(r"7.5^{\circ}") == ["row", ["num", "7.5"], ["upright", "°"]]


def test_a_sign_is_no_subtraction() -> None:
    assert tree_of("a - b")[2] == ["op", "−"]
    assert tree_of("x = -3")[3] == ["upright", "−"]
    assert tree_of(r"a \times \left(-3\right)")[3] == ["fence", "(", ["row", ["upright", "−"], ["num", "3"]], ")"]


def test_words_are_kept_letter_for_letter() -> None:
    assert tree_of(r"\text{the mean, 5\% \& more\_less \backslash frac}") == [
        "words",
        "the mean, 5% & more_less \\frac",
    ]


@pytest.mark.parametrize(
    "latex",
    [
        r"\frac{a}",
        r"\frac{a}{b",
        "a}",
        r"\href{x}{y}",
        r"\input{/etc/passwd}",
        r"\left(a",
        r"a_",
        "{" * 500 + "a" + "}" * 500,
        r"x ~ y",
        "€",
        "a" * 6000,
        r"\left<a\right>",
        r"\sqrt[3{x}",
    ],
)
def test_what_is_not_known_is_refused_and_stands_as_text(latex: str) -> None:
    with pytest.raises(FormulaError):
        tree_of(latex)
    assert fitted(latex) is None


def test_every_formula_of_the_library_can_be_set() -> None:
    count = 0
    for one in every_formula():
        symbols = list(one.traced.symbols.values())
        letters = dict(zip(symbols, (one.letters[a.name] for a in one.contract.arguments), strict=True))
        letters |= {symbol: constant.letter for symbol, constant in one.traced.constants.values()}
        latex = f"{one.result_letter} = {latex_of(one.traced.written, letters)}"
        assert fitted(latex) is not None, latex
        count += 1
    assert count > 30


def value(tree: Any) -> float:
    """What a tree with figures comes to, read as a person reads it."""
    match tree:
        case ["num", text]:
            return float(text.replace(",", ""))
        case ["letter", "π"]:
            return math.pi
        case ["letter", "e"]:
            return math.e
        case ["frac", above, below]:
            return value(above) / value(below)
        case ["root", inside, None]:
            return math.sqrt(value(inside))
        case ["fence", "|", inside, _]:
            return abs(value(inside))
        case ["fence", _, inside, _]:
            return value(inside)
        case ["scripts", base, None, above]:
            return value(base) ** value(above)
        case ["row", *parts]:
            return reckoned([part for part in parts if part[0] != "gap"])
    raise AssertionError(f"no figure: {tree}")


def reckoned(parts: list[Any]) -> float:
    """A row: sums of products of factors, a function taking the factor after it."""
    sums, sign, product, divide, i = 0.0, 1.0, None, False, 0
    while i < len(parts):
        part = parts[i]
        if part[0] == "op" and part[1] in "+−" and product is not None:
            sums, product, sign = sums + sign * product, None, -1.0 if part[1] == "−" else 1.0
        elif part == ["upright", "−"]:
            sign = -sign
        elif part[0] == "op" and part[1] in "×·":
            pass
        elif part[0] == "op" and part[1] in "/÷":
            divide = True
        else:
            if part[0] == "upright" and part[1] in FUNCTIONS:
                i += 1
                found = FUNCTIONS[part[1]](value(parts[i]))
            else:
                found = value(part)
            product = found if product is None else product / found if divide else product * found
            divide = False
        i += 1
    assert product is not None
    return sums + sign * product


def test_what_is_set_comes_to_the_result_beside_it(written: Written) -> None:
    """A bracket or a sign lost on the way would show: each formula with figures is worked out again from its tree."""
    count = 0
    for check in written.bench.record.checks():
        entry = written.bench.record.last(check)
        assert entry is not None
        for step in entry.outcome.steps:
            for line in step.lines:
                if line.part != "substitution":
                    continue
                tree = tree_of(line.latex)
                after = tree[tree.index(["op", "="]) + 1 :] if ["op", "="] in tree else tree[1:]
                # figures of six digits: a difference of two near ones keeps fewer
                assert reckoned(after) == pytest.approx(step.value.si, rel=2e-3, abs=2e-6), line.latex
                count += 1
    assert count > 40


def test_an_exponent_is_on_one_line_with_its_brackets() -> None:
    tree = tree_of(r"x^{\frac{a + b}{c d}}")
    assert tree == [
        "row",
        [
            "scripts",
            ["letter", "x"],
            None,
            [
                "row",
                ["fence", "(", ["row", ["letter", "a"], ["op", "+"], ["letter", "b"]], ")"],
                ["op", "/"],
                ["fence", "(", ["row", ["letter", "c"], ["letter", "d"]], ")"],
            ],
        ],
    ]


def test_a_long_formula_is_broken_before_an_operator() -> None:
    latex = "y = " + " + ".join(f"{n}{{,}}345.678 \\times 2.5" for n in range(11, 20))
    found = fitted(latex)
    assert found is not None
    assert len(found.lines) > 1
    assert all(width_of(line) <= LINE for line in found.lines)
    assert found.scale == 1
    assert all(line[1][0] == "op" for line in found.lines[1:])
    assert [part for line in found.lines for part in line[1:]] == tree_of(latex)[1:]


def test_a_wide_fraction_is_made_smaller_and_a_hopeless_one_stands_as_text() -> None:
    wide = r"y = \frac{" + r" \times ".join(["12345.678"] * 8) + "}{2}"
    found = fitted(wide)
    assert found is not None
    assert 0.65 <= found.scale < 1
    assert fitted(r"y = \frac{" + r" \times ".join(["12345.678"] * 30) + "}{2}") is None


def test_mathml_is_escaped_and_carries_the_plain_text() -> None:
    made = mathml(tree_of(r"a < b"), 'a < "b" & c')
    assert "<mo>&lt;</mo>" in made
    assert 'alttext="a &lt; &quot;b&quot; &amp; c"' in made
    assert "<mo>−</mo>" in mathml(tree_of("a - b"), "a - b")
