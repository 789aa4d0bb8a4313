"""The compiled function is the body: the same figures as SymPy's own, for any arithmetic, for floats and for arrays."""

import math

import numpy
import pytest
import sympy
from hypothesis import assume, given
from hypothesis import strategies as st

from rotorkit.formula.compiling import (
    PIECE,
    NotCompiled,
    compiled_as_written,
    compiled_slopes_as_written,
    in_pieces,
)
from tests.formula.relations import everything

x, y = sympy.Symbol("x", positive=True), sympy.Symbol("y", positive=True)
leaves = st.sampled_from([x, y, sympy.Integer(2), sympy.Float(0.7), sympy.Rational(1, 3), sympy.pi, sympy.Integer(-3)])


def grown(inner: st.SearchStrategy[sympy.Expr]) -> st.SearchStrategy[sympy.Expr]:
    def unevaluated(make):  # type: ignore[no-untyped-def]
        def run(*parts: sympy.Expr) -> sympy.Expr:
            with sympy.evaluate(False):
                return make(*parts)

        return run

    powers = st.sampled_from([2, 3, 4, -1, -2, sympy.Rational(1, 2), sympy.Rational(3, 2), 1.5, sympy.Rational(-1, 2)])
    return st.one_of(
        st.builds(unevaluated(lambda a, b: a + b), inner, inner),
        st.builds(unevaluated(lambda a, b: a - b), inner, inner),
        st.builds(unevaluated(lambda a, b: a * b), inner, inner),
        st.builds(unevaluated(lambda a, b: a / b), inner, inner),
        st.builds(unevaluated(lambda a, p: a**p), inner, powers),
        st.builds(unevaluated(lambda a: sympy.sqrt(sympy.Abs(a))), inner),
        st.builds(unevaluated(lambda a: sympy.atan(a)), inner),
        st.builds(unevaluated(lambda a: -sympy.sin(a)), inner),
    )


@given(st.recursive(leaves, grown, max_leaves=12), st.floats(0.2, 3), st.floats(0.2, 3))
def test_any_arithmetic(expression: sympy.Expr, at_x: float, at_y: float) -> None:
    # sin(pi) / sin(pi) is nought over nought, for which every way of reckoning has another answer
    fixed = [part for part in sympy.preorder_traversal(expression) if not part.free_symbols]
    assume(all(abs(complex(part.evalf())) > 1e-9 for part in fixed))
    try:
        expected = complex(expression.subs({x: sympy.Float(at_x, 40), y: sympy.Float(at_y, 40)}).evalf(25))
        scalar = compiled_as_written(expression, [x, y], array=False)
        array = compiled_as_written(expression, [x, y], array=True)
        found = scalar(at_x, at_y)
    except (ArithmeticError, ValueError, TypeError):
        assume(False)
    assume(abs(expected.imag) < 1e-12 and 1e-6 < abs(expected.real) < 1e6 and not isinstance(found, complex))
    size = max(abs(expected.real), 1.0)
    assume(math.isfinite(found))
    # where large terms cancel, the last digits are lost to both
    if abs(found - expected.real) > 1e-9 * size:
        direct = sympy.lambdify([x, y], expression, modules="math")(at_x, at_y)
        assert found == pytest.approx(direct, rel=1e-6, abs=1e-6)
    with numpy.errstate(all="ignore"):
        many = numpy.asarray(array(numpy.array([at_x, at_x]), numpy.array([at_y, at_y])))
    assert numpy.allclose(many, found, rtol=1e-9, atol=1e-12)


def test_every_function_of_a_body() -> None:
    rewritten = sympy.lambdify(list(everything.traced.symbols.values()), everything.traced.evaluated, modules="math")
    for at in ((0.3, 1.1, -0.7), (2.0, 0.4, 1.9)):
        assert everything.si(*at) == pytest.approx(rewritten(*at), rel=1e-12)


def test_reads_like_the_body_and_works_nothing_out_twice() -> None:
    with sympy.evaluate(False):
        expression = x * sympy.sqrt(x / (2 * y)) + sympy.sqrt(x / (2 * y)) / 288.15
    source = compiled_as_written(expression, [x, y], array=False).__doc__
    assert source is not None
    assert source.count("sqrt") == 1
    assert "** 1.5" not in source
    assert "288.15" in source, "divided by, as written"


SLOPED = [
    *(
        x**power * y
        for power in (2, 3, 5, -1, -2, sympy.Rational(1, 2), sympy.Rational(3, 2), sympy.Rational(-1, 2), 0.19)
    ),
    x**y + 2**x - y ** (x * y),
    (x + y) ** 2 / (x - 3 * y) - 7,
    sympy.sin(x * y) * sympy.cos(x) * sympy.tan(y / 3) / sympy.exp(x - y),
    sympy.asin(x / 4) - sympy.acos(y / 4) * sympy.atan(x) + sympy.log(x / y),
    sympy.Abs(x - y) * y + sympy.Abs(sympy.sin(4 * x)),
    sympy.sqrt(x**2 + y**2) + x / sympy.sqrt(x**2 + y**2),
    x + 0 * y,
    sympy.Float(3),
    everything.traced.evaluated.subs(zip(everything.traced.symbols.values(), (x, y, x - y), strict=True)),
]


@pytest.mark.parametrize("expression", SLOPED, ids=str)
def test_slopes_are_sympy_s_derivatives(expression: sympy.Expr) -> None:
    scalar = compiled_slopes_as_written(expression, [x, y], array=False)
    array = compiled_slopes_as_written(expression, [x, y], array=True)
    for at_x, at_y in ((0.3, 1.1), (2.0, 0.4)):
        here = {x: at_x, y: at_y}
        expected = [float(expression.diff(symbol).subs(here).evalf()) for symbol in (x, y)]
        assert scalar(at_x, at_y) == pytest.approx(expected, rel=1e-12)
        for many, one in zip(array(numpy.full(3, at_x), numpy.full(3, at_y)), expected, strict=True):
            assert numpy.broadcast_to(many, 3) == pytest.approx(numpy.full(3, one), rel=1e-12)


def test_the_slope_of_an_absolute_value_is_one_sided_at_nought() -> None:
    slopes = compiled_slopes_as_written(sympy.Abs(x - y), [x, y], array=False)
    assert slopes(2.0, 2.0) == [1.0, -1.0]
    assert slopes(1.0, 2.0) == [-1.0, 1.0]


def test_slopes_work_nothing_out_twice() -> None:
    source = compiled_slopes_as_written(x * sympy.sqrt(x + y) / y, [x, y], array=False).__doc__
    assert source is not None
    assert source.count("sqrt") == 1


def test_another_function_is_left_to_sympy() -> None:
    with pytest.raises(NotCompiled):
        compiled_as_written(sympy.gamma(x), [x], array=False)
    with pytest.raises(NotCompiled):
        compiled_slopes_as_written(sympy.gamma(x), [x], array=False)


def test_pieces_of_lists_of_results_and_of_constants() -> None:
    run = in_pieces(lambda a, b: [a + b, 3.0, a * b])
    many = numpy.arange(2 * PIECE + 17.0)
    total, constant, product = run(many, 2.0)
    assert numpy.array_equal(total, many + 2)
    assert numpy.array_equal(product, many * 2)
    assert constant.shape == many.shape
    assert (constant == 3.0).all()
