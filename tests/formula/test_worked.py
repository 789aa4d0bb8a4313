"""The worked calculation: what a person would write, in text and in LaTeX."""

import re
from xml.etree import ElementTree

import pint
import pytest

from rotorkit.atmosphere import density_altitude
from rotorkit.formula import Formula, formula, sqrt
from rotorkit.formula.expressions import Symbol
from rotorkit.formula.notation import (
    joined,
    latex_joined,
    latex_letter,
    latex_number,
    latex_of,
    latex_text,
    latex_unit,
    plain,
    text_of,
)
from rotorkit.judging.measured import Measured, measured
from rotorkit.quantities import (
    Angle,
    Constant,
    Density,
    Force,
    Length,
    Quantity,
    QuantityError,
    Ratio,
    Speed,
    from_si,
    read,
    use_display,
)
from tests.formula.relations import (
    SOURCE,
    barometric,
    difference,
    everything,
    hover,
    rise,
    share_in,
    share_of,
    sine,
    warmed,
    with_both_letters,
)
from tests.formula.set_figures import figure_of
from tests.formula.test_homogeneity import every_formula

AIR = "1.225 kg/m^3"


def lines(worked: object) -> list[str]:
    return [line.strip() for line in str(worked).splitlines()][1:-1]


class TestAsText:
    def test_formula_conversions_substitution_result(self) -> None:
        assert lines(hover.worked("1,650 lb", "1.225 kg/m^3", "531 ft^2")) == [
            "P = T × √(T / (2 × ρ × A))",
            "T = 1,650 lbf × 4.448222 N/lbf = 7,339.57 N",
            "ρ = 1.225 kg/m³",
            "A = 531 ft² × 0.09290304 m²/ft² = 49.3315 m²",
            "P = 7339.57 × √(7339.57 / (2 × 1.225 × 49.3315))",
            "P = 57,195.3 W = 57,195.3 W / (745.6999 W/hp) = 76.700 hp",
        ]

    def test_every_uncertain_input_with_its_uncertainty_and_the_result_too(self) -> None:
        found = lines(hover.worked("1,650 ± 10 lb", measured("1.225 kg/m^3", Density, "air", "2 %"), "531 ft^2"))
        assert found[1] == "T = (1,650 ± 10) lbf × 4.448222 N/lbf = (7,339.57 ± 44) N"
        # a reading stands as it was typed; a value that nobody typed in the reader's unit
        assert found[2] == "ρ = (1.225 ± 0.025) kg/m³"
        air = Measured(1.2251, Density, measured("1.2251 kg/m^3", Density, "air", "2 %").components)
        assert lines(hover.worked("1,650 lb", air, "531 ft^2"))[2] == (
            "ρ = (0.00237709 ± 0.000048) slug/ft³ × 515.3788 (kg/m³)/(slug/ft³) = (1.2251 ± 0.025) kg/m³"
        )
        assert found[3] == "A = 531 ft² × 0.09290304 m²/ft² = 49.3315 m²"
        assert found[-1] == "P = 57,195.3 W = 57,195.3 W / (745.6999 W/hp) = (76.7 ± 1.0) hp (k = 2)"

    def test_temperatures(self) -> None:
        assert lines(rise.worked("85 ± 2 °F", "-5 °C")) == [
            "Δt = t_2 - t_1",
            "t_2 = (85 ± 2) °F = (85 + 459.67) × 5/9 = (302.594 ± 1.1) K",
            "t_1 = -5 °C = -5 + 273.15 = 268.15 K",
            "Δt = 302.594 - 268.15",
            "Δt = 34.4444 K = 34.4444 × 9/5 = (62.0 ± 2.0) °F (k = 2)",
        ]
        assert lines(warmed.worked("288.15 K", "20 °F"))[1:] == [
            "t_1 = 288.15 K",
            "Δt = 20 °F × 5/9 K/°F = 11.1111 K",
            "t_2 = 288.15 + 11.1111",
            "t_2 = 299.261 K = 299.261 × 9/5 - 459.67 = 79 °F",
        ]

    def test_negative_numbers_are_in_brackets(self) -> None:
        assert lines(difference.worked("-3 m", "-5 m"))[1:4] == ["a = -3 m", "b = -5 m", "d = (-3) - (-5)"]

    def test_a_percentage(self) -> None:
        assert lines(share_of.worked("60 %", "100 W"))[1:4] == [
            "s = 60 % = 60 / 100 = 0.6", "P = 100 W", "P_s = 0.6 × 100"
        ]  # fmt: skip
        assert lines(share_of.worked(0.6, "100 W"))[1] == "s = 60 % = 60 / 100 = 0.6"
        assert lines(share_in.worked("25 W", "100 W"))[-1] == "s = 0.25 = 0.25 × 100 = 25 %"

    def test_compound_readings_stand_as_typed_first(self) -> None:
        assert lines(difference.worked("12 ft 6 1/2 in", "5/16 in"))[1:3] == [
            "a = 12 ft 6 1/2 in = 12.5417 ft × 0.3048 m/ft = 3.8227 m",
            "b = 5/16 in = 0.3125 in × 0.0254 m/in = 0.0079375 m",
        ]

    def test_an_angle(self) -> None:
        assert lines(sine.worked("30°")) == [
            "y = sin(θ)", "θ = 30° × 0.01745329 rad/° = 0.523599 rad", "y = sin(0.523599)", "y = 0.5"
        ]  # fmt: skip

    def test_constants_by_letter_with_their_source(self) -> None:
        worked = barometric.worked("1000 ft")
        assert [line.text for line in worked.lines if line.part == "constant"] == ["p_0 = 101,325 Pa", "H = 44,330 m"]
        assert worked.lines[0].text == "p = p_0 × (1 - h / H)^5.256"
        assert all("a relation for a test" in line.words for line in worked.lines if line.part == "constant")

    def test_two_constants_of_one_letter_can_be_told_apart(self) -> None:
        found = lines(with_both_letters.worked("10 m"))
        assert found[0] == "v = l × R / (R × R')"
        assert {"R = 2 m", "R' = 5 s"} <= set(found)

    def test_a_small_figure_has_its_power_of_ten(self) -> None:
        assert lines(difference.worked("0.00002 in", "0 in"))[1] == "a = 2 × 10^-5 in × 0.0254 m/in = 5.08 × 10^-7 m"

    def test_in_metric_by_choice(self) -> None:
        assert lines(hover.worked("1,650 lb", "1.225 kg/m^3", "531 ft^2", system="metric"))[-1].endswith("57.195 kW")
        try:
            use_display("metric")
            assert lines(hover.worked(Measured(7339.57, Force), AIR, "531 ft^2"))[1] == "T = 7,339.57 N"
        finally:
            use_display("us")

    def test_title_source_and_value(self) -> None:
        worked = hover.worked("1,650 lb", "1.225 kg/m^3", "531 ft^2")
        assert str(worked).splitlines()[0] == "Hover"
        assert str(worked).splitlines()[-1] == f"  Source: {SOURCE.sentence}"
        assert worked.value.si == pytest.approx(57195.2984, rel=1e-6)
        assert worked.inputs["thrust"] == "1,650 lb"
        assert repr(worked) == "<worked calculation of hover: 76.70 hp>"

    def test_units_of_a_reader_s_own(self) -> None:
        registry = pint.UnitRegistry()
        found = lines(difference.worked(Quantity(1, "furlong"), registry.Quantity(1, "yard")))
        assert re.fullmatch(r"a = 1 \w+ × 201\.168\d* m/\w+ = 201\.168 m", found[1])
        assert found[2] == "b = 3 ft × 0.3048 m/ft = 0.9144 m"

    def test_arrays_have_none(self) -> None:
        with pytest.raises(QuantityError, match="single values"):
            hover.worked(Quantity([1.0, 2.0], "lbf"), "1.225 kg/m^3", "531 ft^2")

    def test_the_figures_shown_give_the_result_shown(self) -> None:
        """What a hand calculator makes of the substituted line is the result, to four digits."""
        for one, given in (
            (hover, ("1,650 lb", "1.225 kg/m^3", "531 ft^2")), (barometric, ("5000 ft",)), (sine, ("30 deg",)),
            (everything, (0.3, 1.1, -0.7)), (share_of, ("60 %", "150 hp")), (difference, ("12 ft 6 in", "-1 ft")),
        ):  # fmt: skip
            worked = one.worked(*given)
            typed_in = next(line.text for line in worked.lines if line.part == "substitution").partition("= ")[2]
            assert calculated(typed_in) == pytest.approx(float(worked.value.si), rel=1e-4)

    @pytest.mark.parametrize("one", every_formula(), ids=lambda one: one.name)
    def test_the_figures_of_every_formula_give_its_result_as_text_and_as_latex(self, one: Formula) -> None:
        worked = worked_somewhere(one)
        line = next(line for line in worked.lines if line.part == "substitution")
        as_text, as_latex = (text.partition(" = ")[2] for text in (line.text, line.latex))
        assert calculated(as_text) == pytest.approx(float(worked.value.si), rel=1e-4)
        assert figure_of(as_latex) == pytest.approx(calculated(as_text), rel=1e-12)

    def test_the_result_of_a_step_above_stands_in_si_units_with_where_it_comes_from(self) -> None:
        power = hover.worked("1,650 ± 10 lb", AIR, "531 ft^2")
        found = lines(share_of.worked("60 %", power.value))
        assert found[2] == "P = (57,195.3 ± 520) W (from above: Hover)"
        assert lines(share_of.worked("60 %", power.titled("The rotor's power").value))[2].endswith(
            "(from above: The rotor's power)"
        )
        # what was worked on since is shown in full again
        assert lines(share_of.worked("60 %", power.value * 2.0))[2].startswith("P = (153.400 ± 1.4) hp × 745.6999")

    def test_a_reading_keeps_the_unit_in_which_it_was_typed(self) -> None:
        typed = measured("300 cm", Length, "a length")
        assert lines(difference.worked(typed, "1 ft"))[1] == "a = 300 cm × 0.01 m/cm = 3 m"

    def test_figures_of_one_power_of_ten_share_it(self) -> None:
        assert joined("2.36e-05", "1/K", "8.1e-07") == "(2.36 ± 0.081) × 10^-5 1/K"
        assert joined("0.00219331", "slug/ft³", "9.6e-06") == "(0.00219331 ± 0.0000096) slug/ft³"
        assert joined("0", "m", "2e-06") == "(0 ± 2) × 10^-6 m"
        assert joined("0.6", "", "0.03") == "0.6 ± 0.03"
        assert latex_joined("2.36e-05", "1/K", "8.1e-07") == (
            r"\left(2.36 \pm 0.081\right) \times 10^{-5}\,\mathrm{1/K}"
        )

    def test_lines_are_written_when_they_are_asked_for_in_the_display_that_was_in_force(self) -> None:
        worked = hover.worked("1,650 lb", AIR, "531 ft^2")
        assert "lines" not in vars(worked)
        try:
            use_display("metric")
            assert lines(worked)[-1].endswith("= 76.700 hp")
        finally:
            use_display("us")
        assert worked.lines is worked.lines

    def test_a_title_where_the_name_does_not_read_well(self) -> None:
        @formula(source=SOURCE, letters={"length": "l"}, result="y", title="Twice a length, after Smith")
        def twice_smith(length: Length) -> Length:
            return 2 * length

        assert str(twice_smith.worked("1 m")).splitlines()[0] == "Twice a length, after Smith"


def calculated(text: str) -> float:
    """The substituted line through a calculator that knows the signs of the text."""
    import math

    python = text.replace("×", "*").replace("^", "**").replace("√", "sqrt").replace("π", "pi").replace("ln(", "log(")
    python = re.sub(r"\|([^|]*)\|", r"abs(\1)", python)
    names = {name: getattr(math, name) for name in ("sqrt", "sin", "cos", "tan", "exp", "log", "pi")}
    names |= {f"arc{name}": getattr(math, f"a{name}") for name in ("sin", "cos", "tan")}
    return float(eval(python, {"__builtins__": {}, "abs": abs}, names))


class TestAsLatex:
    def test_formula_and_inputs(self) -> None:
        found = [line.latex for line in hover.worked("1,650 ± 10 lb", "1.225 kg/m^3", "531 ft^2").lines]
        assert found[0] == r"P = T \sqrt{\frac{T}{2 \rho A}}"
        assert found[1] == (
            r"T = \left(1{,}650 \pm 10\right)\,\mathrm{lbf} \times 4.448222\,\mathrm{N/lbf}"
            r" = \left(7{,}339.57 \pm 44\right)\,\mathrm{N}"
        )
        assert found[-1].endswith(r"\left(76.70 \pm 0.70\right)\,\mathrm{hp}\;(k = 2)")
        assert r"\times" in found[4]

    def test_negative_numbers_and_powers_of_ten(self) -> None:
        assert difference.worked("-3 m", "-5 m").lines[3].latex == r"d = (-3) - (-5)"
        small = Constant(1.8e-5, "m", "l_0", SOURCE)

        @formula(source=SOURCE, letters={"length": "l"}, result="y")
        def squared(length: Length) -> Ratio:
            return small**2 / length**2

        substitution = next(line.latex for line in squared.worked("3 m").lines if line.part == "substitution")
        assert r"\left(1.8 \times 10^{-5}\right)^{2}" in substitution

    def test_several_letters_that_are_one_name_stand_upright(self) -> None:
        assert latex_letter("RH") == r"\mathrm{RH}"
        assert latex_letter("FM_t") == r"\mathrm{FM}_t"
        assert latex_letter(r"\Delta T_{ISA}") == r"\Delta T_{\mathrm{ISA}}"
        assert latex_letter(r"T_{\mathrm{pitch}}") == r"T_{\mathrm{pitch}}"
        assert latex_letter(r"c_{d0}") == "c_{d0}"
        assert plain(latex_letter("P_i/P_{i,oge}")) == "P_i/P_i,oge"
        for one in every_formula():
            assert not re.search(r"(?<![\\A-Za-z{])[A-Za-z]{2,}", one.heading.formula.latex), one.name

    def test_the_exponential_is_no_letter(self) -> None:
        found = everything.worked(0.3, 1.1, -0.7).lines[0].latex
        assert r"\exp\left(-a a\right)" in found
        assert r"\arcsin\left(\frac{a}{3}\right) \arccos\left(\frac{b}{3}\right)" in found

    def test_a_letter_that_is_a_ratio_has_brackets_where_it_is_divided_by_or_multiplied(self) -> None:
        @formula(source=SOURCE, letters={"height": "z/R"}, result="y")
        def near(height: Ratio) -> Ratio:
            return 2 / height + 4 * height - height

        assert lines(near.worked("0.5"))[0] == "y = 2 / (z/R) + 4 × (z/R) - z/R"
        assert near.heading.formula.latex == r"y = \frac{2}{z/R} + 4 \left(z/R\right) - z/R"

    def test_a_product_is_one_fraction_with_its_sign_before_it(self) -> None:
        @formula(source=SOURCE, letters={"one": "a", "other": "b"}, result="y")
        def odd(one: Ratio, other: Ratio) -> Ratio:
            return -one / 2 / other + (one / other) * (one - 2 * other)

        assert odd.heading.formula.latex == r"y = -\frac{a}{2 b} + \frac{a}{b} \left(a - 2 b\right)"
        assert odd.heading.formula.text == "y = -a / (2 × b) + a × (a - 2 × b) / b"

    def test_an_exponent_stands_on_one_line(self) -> None:
        assert density_altitude.heading.formula.latex == (
            r"H_\rho = \frac{T_0}{L} \left(1 - \left(\frac{\rho R T_0}{p_0}\right)"
            r"^{1/\left(g_0/\left(R L\right) - 1\right)}\right)"
        )

    def test_as_one_block(self) -> None:
        block = hover.worked("1,650 lb", "1.225 kg/m^3", "531 ft^2").latex
        assert block.startswith(r"\begin{aligned}")
        assert block.count(r"\\") == 5
        assert block.count("&") == 6
        assert "**Hover**" in hover.worked("1,650 lb", "1.225 kg/m^3", "531 ft^2")._repr_markdown_()

    @pytest.mark.parametrize("one", every_formula(), ids=lambda one: one.name)
    def test_every_line_of_every_formula_can_be_set(self, one: Formula) -> None:
        lines_found = worked_somewhere(one).lines
        for line in lines_found:
            assert balanced(line.latex), line.latex
            assert "\n" not in line.latex + line.text
            assert line.text.isprintable()
            assert not re.search(r"\\|\*|sqrt|\{", line.text), line.text
        ziamath = pytest.importorskip("ziamath", reason="a second reader of LaTeX, which sets it as a picture")
        for line in lines_found:
            read = tex2mml(line.latex)
            # setting a long one takes a second, and one built of the same elements and signs shows nothing new
            new = elements_and_signs(read) - SET
            if new and len(line.latex) < 200:
                assert ziamath.Latex(line.latex).svg().startswith("<svg")
                SET.update(new)


SET: set[tuple[str, str]] = set()
"""What was set already: an element of MathML within another, or a sign within its element."""


def tex2mml(latex: str) -> str:
    """LaTeX as the second reader reads it; one that it cannot read raises."""
    from ziamath.tex import tex2mml

    return str(tex2mml(latex))


def elements_and_signs(mathml: str) -> set[tuple[str, str]]:
    """Pairs of an element and what stands in it: another element, or each of its signs."""
    found = set()
    for outer in ElementTree.fromstring(mathml).iter():
        found |= {(outer.tag, inner.tag) for inner in outer} | {
            (outer.tag, sign) for sign in (outer.text or "").strip()
        }
    return found


def worked_somewhere(one: Formula):  # type: ignore[no-untyped-def]
    """A worked calculation within the bounds, with an uncertain first argument."""
    from rotorkit.formula.dimensions import _somewhere
    from rotorkit.formula.tracing import compiled_with_constants

    constants = [float(constant) for _, constant in one.traced.constants.values()]
    values, _ = _somewhere(one, compiled_with_constants(one.traced), constants, {})
    arguments = [from_si(value, a.kind) for value, a in zip(values, one.contract.arguments, strict=True)]  # type: ignore[arg-type]
    first = measured(arguments[0], one.contract.arguments[0].kind, "first", shared=None)
    return one.worked(first, *arguments[1:])


def balanced(latex: str) -> bool:
    depth = 0
    for character in re.sub(r"\\[{}]", "", latex):
        depth += {"{": 1, "}": -1}.get(character, 0)
        if depth < 0:
            return False
    return depth == 0 and latex.count(r"\left") == latex.count(r"\right")


class TestNotation:
    @pytest.mark.parametrize(
        ("letter", "text"),
        [(r"\rho", "ρ"), ("C_{T}", "C_T"), (r"\Delta\theta", "Δθ"), (r"T_{\mathrm{pitch}}", "T_pitch"), ("H'", "H'"),
         (r"\theta_{75}", "θ_75"), (r"\dot{m}", "dotm")],
    )  # fmt: skip
    def test_letters(self, letter: str, text: str) -> None:
        assert plain(letter) == text

    def test_a_letter_that_holds_another_word_stays_itself(self) -> None:
        @formula(source=SOURCE, letters={"pitch": r"\theta_{\mathrm{pitch}}", "chord": "c_{sqrt}"}, result="x_{pi}")
        def odd(pitch: Angle, chord: Length) -> Length:
            return sqrt(chord * chord) * pitch

        assert lines(odd.worked("1 rad", "2 m"))[0] == "x_pi = √(c_sqrt × c_sqrt) × θ_pitch"

    @pytest.mark.parametrize(
        ("number", "latex"),
        [("1,650", "1{,}650"), ("2.5e-05", r"2.5 \times 10^{-5}"), ("1e+12", r"1 \times 10^{12}"), ("60 %", r"60 \%")],
    )
    def test_numbers(self, number: str, latex: str) -> None:
        assert latex_number(number) == latex

    def test_units_and_words(self) -> None:
        assert latex_unit("lbf·in") == r"\,\mathrm{lbf{\cdot}in}"
        assert latex_unit("°") == r"^{\circ}"
        assert latex_unit("°F") == r"\,\mathrm{^{\circ}F}"
        assert latex_unit("ft²") == r"\,\mathrm{ft^2}"
        assert latex_text("5 % of 12_a") == r"\text{5 \% of 12\_a}"

    @pytest.mark.parametrize(
        ("make", "text"),
        [
            (lambda a, b, c: a - b - c, "a - b - c"),
            (lambda a, b, c: a - (b - c), "a - (b - c)"),
            (lambda a, b, c: a / b / c, "a / (b × c)"),
            (lambda a, b, c: a / (b / c), "a / (b / c)"),
            (lambda a, b, c: -(a + b) * c, "-(a + b) × c"),
            (lambda a, b, c: (a + b) ** c, "(a + b)^c"),
            (lambda a, b, c: a ** (b / c), "a^(b / c)"),
            (lambda a, b, c: (a**b) ** c, "(a^b)^c"),
            (lambda a, b, c: 1 / (a * b), "1 / (a × b)"),
            (lambda a, b, c: a ** (2 / 3), "a^(2/3)"),
            (lambda a, b, c: 0.5 * a + 3, "0.5 × a + 3"),
            (lambda a, b, c: a * -b, "-a × b"),
            (lambda a, b, c: a - -b, "a + b"),
            (lambda a, b, c: (a * b) / 2, "a × b / 2"),
        ],
    )
    def test_expressions(self, make, text: str) -> None:  # type: ignore[no-untyped-def]
        symbols = [Symbol(name) for name in "abc"]
        expression = make(*symbols)
        names = {symbol: symbol.name for symbol in symbols}
        written = text_of(expression, names)
        values = {"a": 1.7, "b": 2.3, "c": 0.6}
        typed_in = re.sub(r"[abc]", lambda m: repr(values[m[0]]), written)
        assert calculated(typed_in) == pytest.approx(make(*values.values()))
        assert written == text
        assert balanced(latex_of(expression, names))


def test_kinds_used_here() -> None:
    assert read("1 ft/s", Speed).si > 0
