"""Push-pull tubes: Euler against the eigenvalue of a beam cut in pieces, Johnson against Euler where they meet."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import eigh

from rotorkit.judging.measured import measured
from rotorkit.quantities import Length, QuantityError, assert_quantity
from rotorkit.rigging import (
    buckling_load,
    euler_load,
    johnson_load,
    radius_of_gyration,
    slenderness_ratio,
    transition_slenderness,
    tube_area,
    tube_column,
    tube_second_moment,
)

ALLOY = ("10000000 psi", "40000 psi")


def test_section_against_a_sum_over_rings() -> None:
    r = np.linspace(0.375 - 0.049, 0.375, 200001)
    mid, width = (r[1:] + r[:-1]) / 2, np.diff(r)
    assert_quantity(tube_area("3/4 in", "0.049 in"), f"{(2 * np.pi * mid * width).sum():.9f} in^2", within="1e-7 in^2")
    second = (np.pi * mid**3 * width).sum()  # half of the polar moment
    assert_quantity(tube_second_moment("3/4 in", "0.049 in"), f"{second:.9f} in^4", within="1e-7 in^4")


def test_a_wall_of_half_the_diameter_is_a_solid_rod() -> None:
    assert_quantity(tube_area("1 in", "0.5 in"), f"{math.pi / 4:.9f} in^2", within="1e-8 in^2")
    assert_quantity(tube_second_moment("1 in", "0.5 in"), f"{math.pi / 64:.9f} in^4", within="1e-8 in^4")


def test_euler_is_the_least_eigenvalue_of_a_pinned_beam() -> None:
    # Beam elements with geometric stiffness: K v = P G v, deflection held at both ends, slopes free.
    pieces, ei, length = 24, 10e6 * 0.00666, 36.0
    h = length / pieces
    k = ei / h**3 * np.array([[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                              [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]])  # fmt: skip
    g = 1 / (30 * h) * np.array([[36, 3 * h, -36, 3 * h], [3 * h, 4 * h * h, -3 * h, -h * h],
                                 [-36, -3 * h, 36, -3 * h], [3 * h, -h * h, -3 * h, 4 * h * h]])  # fmt: skip
    size = 2 * (pieces + 1)
    stiffness, geometric = np.zeros((size, size)), np.zeros((size, size))
    for i in range(pieces):
        part = slice(2 * i, 2 * i + 4)
        stiffness[part, part] += k
        geometric[part, part] += g
    free = [i for i in range(size) if i not in (0, size - 2)]
    least = 1 / eigh(geometric[np.ix_(free, free)], stiffness[np.ix_(free, free)], eigvals_only=True)[-1]
    assert_quantity(euler_load("10000000 psi", "0.00666 in^4", "36 in", 1), f"{least:.6f} lbf", within="0.001 %")


@given(
    outer=st.floats(0.3, 2.0),
    share=st.floats(0.03, 0.3),
    modulus=st.floats(9e6, 30e6),
    strength=st.floats(2e4, 1.5e5),
)
def test_the_two_curves_meet_with_one_tangent_at_half_the_yield_strength(
    outer: float, share: float, modulus: float, strength: float
) -> None:
    d, t = f"{outer:.9f} in", f"{outer * share:.9f} in"
    e, y = f"{modulus:.3f} psi", f"{strength:.3f} psi"
    area, second = tube_area(d, t), tube_second_moment(d, t)
    radius = radius_of_gyration(second, area)
    meet = float(transition_slenderness(e, y).magnitude) * radius.m_as("in")

    def loads(length: float) -> tuple[float, float]:
        text = f"{length:.12f} in"
        return (
            euler_load(e, second, text, 1).m_as("lbf"),
            johnson_load(e, y, area, text, radius, 1).m_as("lbf"),
        )

    slender, stocky = loads(meet)
    assert slender == pytest.approx(stocky, rel=1e-9)
    assert slender == pytest.approx(0.5 * strength * area.m_as("in^2"), rel=1e-6)
    for factor in (0.98, 1.02):  # one tangent: both fall away alike, to second order
        slender, stocky = loads(meet * factor)
        assert slender == pytest.approx(stocky, rel=3e-3)
        assert slender >= stocky
    assert slenderness_ratio(f"{meet} in", radius, 1).magnitude == pytest.approx(transition_slenderness(e, y).magnitude)


def test_the_right_curve_is_taken() -> None:
    tube = ("3/4 in", "0.049 in")
    area, second = tube_area(*tube), tube_second_moment(*tube)
    radius = radius_of_gyration(second, area)
    assert_quantity(
        buckling_load(*tube, "36 in", *ALLOY, 1), euler_load(ALLOY[0], second, "36 in", 1), within="1e-9 lbf"
    )
    stocky = johnson_load(*ALLOY, area, "12 in", radius, 1)
    assert_quantity(buckling_load(*tube, "12 in", *ALLOY, 1), stocky, within="1e-9 lbf")
    assert stocky.m_as("lbf") < euler_load(ALLOY[0], second, "12 in", 1).m_as("lbf")
    # A very short tube bears its yield strength and no more.
    assert_quantity(
        buckling_load(*tube, "0.01 in", *ALLOY, 1), f"{40000 * area.m_as('in^2'):.6f} lbf", within="0.01 lbf"
    )


def test_longer_never_bears_more() -> None:
    loads = [buckling_load("3/4 in", "0.049 in", f"{x} in", *ALLOY, 1).m_as("lbf") for x in np.linspace(2, 60, 60)]
    assert np.all(np.diff(loads) < 0)


def test_column_with_margin_and_remarks() -> None:
    found = tube_column("3/4 in", "0.049 in", measured("36 in", Length, "tube", "0.1 in"), *ALLOY, "200 lbf")
    assert found.regime == "slender (Euler)"
    assert float(found.margin.si) == pytest.approx(1.536, abs=0.001)
    assert float(found.load.expanded_si) / float(found.load.si) == pytest.approx(2 * 0.1 / 36, rel=1e-3)
    assert not found.remarks
    thin = tube_column("2 in", "0.02 in", "12 in", *ALLOY, "20000 lbf")
    assert thin.regime == "stocky (Johnson)"
    assert [remark.split(":")[0][:20] for remark in thin.remarks] == ["The wall is thin for", "The tube buckles und"]
    assert tube_column("3/4 in", "0.049 in", "36 in", *ALLOY).margin is None


def test_refusals() -> None:
    with pytest.raises(QuantityError, match="more than half"):
        tube_column("3/4 in", "0.4 in", "36 in", *ALLOY)
    with pytest.raises(QuantityError, match="end_factor"):
        euler_load(ALLOY[0], "0.00666 in^4", "36 in", 0)
