"""A chain's matrices against adding one element after the other."""

import numpy as np
import pytest

from rotorkit.drive.chains import Chains, laid, values_near


@pytest.mark.parametrize("count", [1, 2, 5, 6])
def test_each_element_lies_where_its_ends_are(count: int) -> None:
    elements = np.random.default_rng(count).normal(size=(3, count, 4, 4))
    plain = np.zeros((3, 2 * count + 2, 2 * count + 2))
    for k in range(count):
        plain[:, 2 * k : 2 * k + 4, 2 * k : 2 * k + 4] += elements[:, k]
    assert (laid(elements) == plain).all()


def chain(count: int, seed: int, stiffer: float = 1.0) -> Chains:
    """Three chains of elements that hold themselves and what is beside them."""
    draw = np.random.default_rng(seed).normal
    roots = draw(size=(2, 3, count, 4, 4))
    mass, stiffness = (one @ one.swapaxes(-1, -2) + np.eye(4) for one in roots)
    return Chains(mass, stiffer * stiffness, abs(draw(size=(3, count + 1))), abs(draw(size=(3, count + 1))))


@pytest.mark.parametrize("count", [1, 2, 5, 6])
def test_an_eigenvalue_near_a_known_one_is_found_or_said_not_to_be(count: int) -> None:
    every = [chain(count, 3), chain(count + 1, 4)]  # of another length each
    alike = [(np.array([0, 2, 4]), every[0]), (np.array([1, 3, 5]), every[1])]
    values = np.empty((6, 2 * count + 2))
    for rows, chains in alike:
        mass, stiffness = chains.laid()
        values[rows] = np.sort(np.linalg.eigvals(np.linalg.solve(mass, stiffness)).real)[:, : 2 * count + 2]
    below = np.arange(2 * count + 2)
    found = values_near(alike, 1.01 * values, below)
    sure = np.isfinite(found)
    assert sure.any()
    np.testing.assert_allclose(found[sure], values[sure], rtol=1e-9)
    # nor one that is another one by its number, nor one too far off
    assert np.isnan(values_near(alike, 1.01 * values, below + 1)).all()
    assert np.isnan(values_near(alike, 1.05 * values, below)).all()
