"""The compiled function is the body: the same figures as SymPy's own, for any arithmetic, for floats and for arrays."""

import math
from functools import partial

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
from rotorkit.formula.expressions import Expression, Number, PiNumber, Symbol, applied, in_sympy
from tests.formula.relations import everything


def everything_of(*values: Expression) -> Expression:
    """The body of `everything`, of other things than its own arguments."""
    traced = everything.traced
    given = dict(zip(traced.symbols.values(), values, strict=True))

    def put(part: Expression) -> Expression:
        if part in given:
            return given[part]  # type: ignore[index]
        return type(part)(*map(put, part.args)) if part.args else part

    return put(traced.written)


x, y = Symbol("x", positive=True), Symbol("y", positive=True)
X, Y = sympy.Symbol("x", positive=True), sympy.Symbol("y", positive=True)
LETTERS = {x: X, y: Y}
sqrt, sin, cos, tan, asin, acos, atan, exp, log = (
    partial(applied, name) for name in ("sqrt", "sin", "cos", "tan", "asin", "acos", "atan", "exp", "log")
)
leaves = st.sampled_from([x, y, Number(2), Number(0.7), Number(1 / 3), PiNumber(), Number(-3)])


def grown(inner: st.SearchStrategy[Expression]) -> st.SearchStrategy[Expression]:
    powers = st.sampled_from([2, 3, 4, -1, -2, 0.5, 1.5, -0.5])
    return st.one_of(
        st.builds(lambda a, b: a + b, inner, inner),
        st.builds(lambda a, b: a - b, inner, inner),
        st.builds(lambda a, b: a * b, inner, inner),
        st.builds(lambda a, b: a / b, inner, inner),
        st.builds(lambda a, p: a**p, inner, powers),
        st.builds(lambda a: sqrt(abs(a)), inner),
        st.builds(lambda a: atan(a), inner),
        st.builds(lambda a: -sin(a), inner),
    )


def parts_of(expression: Expression) -> list[Expression]:
    return [expression, *(inner for part in expression.args for inner in parts_of(part))]


@given(st.recursive(leaves, grown, max_leaves=12), st.floats(0.2, 3), st.floats(0.2, 3))
def test_any_arithmetic(expression: Expression, at_x: float, at_y: float) -> None:
    # sin(pi) / sin(pi) is nought over nought, for which every way of reckoning has another answer
    fixed = [in_sympy(part, LETTERS) for part in parts_of(expression) if not part.free_symbols]
    assume(all(abs(complex(part.evalf())) > 1e-9 for part in fixed))
    whole = in_sympy(expression, LETTERS)
    try:
        expected = complex(whole.subs({X: sympy.Float(at_x, 40), Y: sympy.Float(at_y, 40)}).evalf(25))
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
        direct = sympy.lambdify([X, Y], whole, modules="math")(at_x, at_y)
        assert found == pytest.approx(direct, rel=1e-6, abs=1e-6)
    with numpy.errstate(all="ignore"):
        many = numpy.asarray(array(numpy.array([at_x, at_x]), numpy.array([at_y, at_y])))
    assert numpy.allclose(many, found, rtol=1e-9, atol=1e-12)


def test_every_function_of_a_body() -> None:
    there = everything.traced.in_sympy
    rewritten = sympy.lambdify(list(there.symbols.values()), there.expression.subs(there.constants), modules="math")
    for at in ((0.3, 1.1, -0.7), (2.0, 0.4, 1.9)):
        assert everything.si(*at) == pytest.approx(rewritten(*at), rel=1e-12)


def test_reads_like_the_body_and_works_nothing_out_twice() -> None:
    expression = x * sqrt(x / (2 * y)) + sqrt(x / (2 * y)) / 288.15
    source = compiled_as_written(expression, [x, y], array=False).__doc__
    assert source is not None
    assert source.count("sqrt") == 1
    assert "** 1.5" not in source
    assert "288.15" in source, "divided by, as written"


SLOPED = [
    *(x**power * y for power in (2, 3, 5, -1, -2, 0.5, 1.5, -0.5, 0.19)),
    x**y + 2**x - y ** (x * y),
    (x + y) ** 2 / (x - 3 * y) - 7,
    sin(x * y) * cos(x) * tan(y / 3) / exp(x - y),
    asin(x / 4) - acos(y / 4) * atan(x) + log(x / y),
    abs(x - y) * y + abs(sin(4 * x)),
    sqrt(x**2 + y**2) + x / sqrt(x**2 + y**2),
    x + 0 * y,
    -(x - 2) * -(3 * y) - -x,
    Number(3.0),
    everything_of(x, y, x - y),
]


@pytest.mark.parametrize("expression", SLOPED, ids=str)
def test_slopes_are_sympy_s_derivatives(expression: Expression) -> None:
    scalar = compiled_slopes_as_written(expression, [x, y], array=False)
    array = compiled_slopes_as_written(expression, [x, y], array=True)
    whole = in_sympy(expression, LETTERS)
    for at_x, at_y in ((0.3, 1.1), (2.0, 0.4)):
        here = {X: at_x, Y: at_y}
        expected = [float(whole.diff(symbol).subs(here).evalf()) for symbol in (X, Y)]
        assert scalar(at_x, at_y) == pytest.approx(expected, rel=1e-12)
        for many, one in zip(array(numpy.full(3, at_x), numpy.full(3, at_y)), expected, strict=True):
            assert numpy.broadcast_to(many, 3) == pytest.approx(numpy.full(3, one), rel=1e-12)


def test_the_slope_of_an_absolute_value_is_one_sided_at_nought() -> None:
    slopes = compiled_slopes_as_written(abs(x - y), [x, y], array=False)
    assert slopes(2.0, 2.0) == [1.0, -1.0]
    assert slopes(1.0, 2.0) == [-1.0, 1.0]


def test_slopes_work_nothing_out_twice() -> None:
    source = compiled_slopes_as_written(x * sqrt(x + y) / y, [x, y], array=False).__doc__
    assert source is not None
    assert source.count("sqrt") == 1


def test_the_slope_of_a_very_small_quotient_is_not_lost() -> None:
    # d/dy of e^x / (y (e^x - 1)) is -e^x / (e^x - 1) / y^2, here -1/4: the square of e^500 is beyond all floats
    slopes = compiled_slopes_as_written(exp(x) / (y * (exp(x) - 1)), [x, y], array=False)
    assert slopes(500.0, 2.0)[1] == pytest.approx(-0.25, rel=1e-12)


def test_a_function_that_is_not_known_is_refused() -> None:
    with pytest.raises(NotCompiled):
        compiled_as_written(sympy.gamma(X), [X], array=False)
    with pytest.raises(NotCompiled):
        compiled_slopes_as_written(sympy.gamma(X), [X], array=False)


def test_pieces_of_lists_of_results_and_of_constants() -> None:
    run = in_pieces(lambda a, b: [a + b, 3.0, a * b])
    many = numpy.arange(2 * PIECE + 17.0)
    total, constant, product = run(many, 2.0)
    assert numpy.array_equal(total, many + 2)
    assert numpy.array_equal(product, many * 2)
    assert constant.shape == many.shape
    assert (constant == 3.0).all()
