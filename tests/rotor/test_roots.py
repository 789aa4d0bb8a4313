"""The finder of roots, against SciPy's own and against roots that are known."""

import math
from typing import Any

import numpy as np
import pytest
from scipy.optimize.elementwise import find_root

from rotorkit.rotor.roots import between, bracketed


def cubic(x: Any, offset: Any) -> Any:
    return x**3 + x - offset


@pytest.mark.parametrize("sign", [1.0, -1.0])
def test_as_scipy_finds_them(sign: float) -> None:
    """x^3 + x = c rises everywhere: a root between -3 and 3 for every c up to 30 either way, whichever end is which."""
    offset = np.linspace(-29.0, 29.0, 41).reshape(1, 41)
    low, high = np.full(offset.shape, -3.0), np.full(offset.shape, 3.1)
    found, settled = bracketed(lambda x: sign * cubic(x, offset), low, high)
    theirs = find_root(cubic, (low, high), args=(offset,))
    assert settled.all()
    assert theirs.success.all()
    assert np.abs(found - theirs.x).max() < 1e-10


def test_roots_that_are_known() -> None:
    """The square roots of 2 and of 1e6, and a straight line through 0.25; a root that is an end."""
    square = np.array([2.0, 1e6])
    found, settled = bracketed(lambda x: x * x - square, np.zeros(2), np.array([2.0, 1e4]))
    assert settled.all()
    assert found == pytest.approx([1.4142135623730951, 1000.0], rel=1e-10)
    found, settled = bracketed(lambda x: 0.25 - x, np.zeros(1), np.ones(1))
    assert settled.all()
    assert found == pytest.approx([0.25], rel=1e-10)
    found, settled = bracketed(lambda x: x - 1, np.zeros(1), np.ones(1))
    assert settled.all()
    assert found == pytest.approx([1.0], rel=1e-10)


def test_a_kink_and_a_step_are_found_too() -> None:
    """Where no curve guides: a corner at 0.3, and a jump from below to above at 0.7."""
    found, _ = bracketed(lambda x: np.where(x < 0.3, 5 * (x - 0.3), x - 0.3), np.zeros(1), np.ones(1))
    assert found == pytest.approx([0.3], rel=1e-9)
    found, settled = bracketed(lambda x: np.where(x < 0.7, -1.0, 1.0), np.zeros(1), np.ones(1))
    assert settled.all()
    assert found == pytest.approx([0.7], rel=1e-9)


def test_ends_that_are_one_hold_up_nothing() -> None:
    asked = []

    def residual(x: Any) -> Any:
        asked.append(1)
        return x - np.array([0.5, 9.0])

    found, settled = bracketed(residual, np.array([0.0, 2.0]), np.array([1.0, 2.0]))
    assert settled.all()
    assert found == pytest.approx([0.5, 2.0])
    assert len(asked) < 12


@pytest.mark.parametrize("size", [1.0, 1e-6, 1e9])
def test_one_equation_of_plain_numbers(size: float) -> None:
    asked: list[float] = []

    def cubic(x: float) -> float:
        asked.append(x)
        return size * (x**3 - 2)

    assert between(cubic, 0.0, 5.0) == pytest.approx(2 ** (1 / 3), rel=1e-11)
    assert len(asked) < 20
    assert between(lambda x: -cubic(x), 5.0, 0.0) == pytest.approx(2 ** (1 / 3), rel=1e-11)
    # an end that has no finite residual, one that is the root, a corner
    assert between(lambda x: cubic(x) if x > 0.5 else -math.inf, 0.0, 5.0) == pytest.approx(2 ** (1 / 3), rel=1e-11)
    assert between(lambda x: size * x, 0.0, 5.0) == 0.0
    assert between(lambda x: size * (x - 5), 0.0, 5.0) == 5.0
    assert between(lambda x: size * (5 * (x - 0.3) if x < 0.3 else x - 0.3), 0.0, 1.0) == pytest.approx(0.3, rel=1e-10)
    assert between(lambda x: -1.0 if x < 0.7 else 1e6, 0.0, 1.0) == pytest.approx(0.7, rel=1e-9)
