"""The slopes that carry an uncertainty: against central differences, and a second library, correlations kept."""

import math

import numpy
import pytest
import uncertainties
from hypothesis import assume, given
from hypothesis import strategies as st
from uncertainties import umath, unumpy

from rotorkit.judging.measured import Measured, Origin, measured
from rotorkit.quantities import Area, Density, Force, Length, Quantity, Ratio, assert_quantity, kind_of
from tests.formula.relations import altitude, barometric, difference, everything, hover, rise

near = st.floats(0.1, 2.5)


@given(near, near, st.floats(-2, 2))
def test_symbolic_slopes_are_those_of_central_differences(a: float, b: float, c: float) -> None:
    assume(abs(a - b) > 1e-2 and abs(math.cos(a * b)) > 0.1)
    at = [a, b, c]
    slopes = everything._slopes.scalar(*at)
    for i, slope in enumerate(slopes):
        step = 1e-5
        high, low = list(at), list(at)
        high[i], low[i] = at[i] + step, at[i] - step
        central = (everything.si(*high) - everything.si(*low)) / (2 * step)
        assert slope == pytest.approx(central, rel=2e-5, abs=2e-5)


@given(near, near, st.floats(-2, 2), st.floats(1e-4, 0.05), st.floats(1e-4, 0.05), st.floats(1e-4, 0.05))
def test_every_function_as_the_second_library_has_it(
    a: float, b: float, c: float, ua: float, ub: float, uc: float
) -> None:
    assume(abs(a - b) > 1e-3 and abs(math.cos(a * b)) > 0.05)
    ours = everything(*(Measured(v, Ratio, {Origin(n): u}) for v, n, u in ((a, "a", ua), (b, "b", ub), (c, "c", uc))))
    x, y, z = (uncertainties.ufloat(v, u) for v, u in ((a, ua), (b, ub), (c, uc)))
    theirs = (
        umath.sin(x) * umath.cos(y) + umath.tan(x * y) - umath.asin(x / 3) * umath.acos(y / 3)
        + umath.atan(z) / umath.sqrt(x + y + 3) + umath.exp(-x * x) * umath.log(z + 4) - umath.sqrt((x - y) ** 2) ** 1.5
        + math.pi * z**3 / (1 + y**2) + (z + 4) ** (2 / 3) + (x + 3) ** -2
    )  # fmt: skip
    assert ours.si == pytest.approx(theirs.nominal_value, rel=1e-9, abs=1e-12)
    assert ours.standard_si == pytest.approx(theirs.std_dev, rel=1e-7)


@given(
    st.floats(3000, 9000), st.floats(0.7, 1.3), st.floats(20, 60), st.floats(1, 100), st.floats(0.001, 0.02),
    st.floats(0.01, 0.5), st.floats(0.1, 50),
)  # fmt: skip
def test_a_chain_of_formulas_keeps_its_correlations(
    thrust: float, density: float, area: float, ut: float, ud: float, ua: float, us: float
) -> None:
    """Two powers that share air, disk and an error of the scales: their difference, and their ratio to each other."""
    shared = Origin("scales")
    first = Measured(thrust, Force, {Origin("T", 1): ut, shared: us})
    second = Measured(1.1 * thrust, Force, {Origin("T", 2): ut, shared: us})
    air, disk = Measured(density, Density, {Origin("rho"): ud}), Measured(area, Area, {Origin("A"): ua})
    gap = hover(second, air, disk) - hover(first, air, disk)

    u = uncertainties.ufloat
    scales = u(0, us)
    t1, t2, rho, disk_area = u(thrust, ut) + scales, u(1.1 * thrust, ut) + scales, u(density, ud), u(area, ua)
    theirs = t2 * umath.sqrt(t2 / (2 * rho * disk_area)) - t1 * umath.sqrt(t1 / (2 * rho * disk_area))
    assert gap.si == pytest.approx(theirs.nominal_value, rel=1e-9)
    assert gap.standard_si == pytest.approx(theirs.std_dev, rel=1e-8)
    rows = gap.budget()
    assert sum(row.share for row in rows) == pytest.approx(1)
    assert sorted(row.label for row in rows) == ["A", "T", "T", "rho", "scales"]


@given(st.floats(-500, 5000), st.floats(0.1, 50))
def test_there_and_back_again_leaves_the_uncertainty_as_it_was(height: float, u: float) -> None:
    start = Measured(height, Length, {Origin("altimeter"): u})
    pressure = barometric(start)
    # not the exact inverse of each other, but near it, and fully correlated
    back = altitude(pressure)
    assert back.standard_si == pytest.approx(u, rel=0.02)
    assert float((back - start).standard_si) < 0.02 * u


def test_one_reading_used_twice_is_one_origin() -> None:
    one = measured("10 ± 1 ft", Length, "tape")
    assert float(difference(one, one).standard_si) == 0
    assert_quantity(difference("10 ± 1 ft", "10 ± 1 ft").expanded, "1.41421 ft")


def test_a_difference_of_temperatures() -> None:
    assert_quantity(rise("85 ± 2 °F", "40 ± 1 °F").expanded, "2.23607 °F")


def test_arrays_as_the_second_library_has_them() -> None:
    size = 200
    thrust, air, disk = numpy.linspace(3000, 9000, size), numpy.linspace(0.9, 1.2, size), numpy.linspace(30, 50, size)
    u_thrust, u_air, u_disk = 0.01 * thrust, 0.002 * air, numpy.full(size, 0.1)
    ours = hover(
        Measured(thrust, Force, {Origin("T"): u_thrust}),
        Measured(air, Density, {Origin("rho"): u_air}),
        Measured(disk, Area, {Origin("A"): u_disk}),
    )
    t, r, a = (unumpy.uarray(v, u) for v, u in ((thrust, u_thrust), (air, u_air), (disk, u_disk)))
    theirs = t * unumpy.sqrt(t / (2 * r * a))
    assert numpy.allclose(ours.si, unumpy.nominal_values(theirs), rtol=1e-12)
    assert numpy.allclose(ours.standard_si, unumpy.std_devs(theirs), rtol=1e-9)


def test_an_array_with_one_uncertainty_for_all() -> None:
    many = Quantity(numpy.linspace(3000, 9000, 5), "N")
    ours = hover(many, measured("1.2 ± 0.02 kg/m^3", Density, "air"), "49 m^2")
    one = hover("9000 N", measured("1.2 ± 0.02 kg/m^3", Density, "air"), "49 m^2")
    assert ours.standard_si[-1] == pytest.approx(float(one.standard_si))
    assert kind_of(Density) is not None
