"""A chain's matrices against adding one element after the other."""

import numpy as np
import pytest

from rotorkit.drive.chains import laid


@pytest.mark.parametrize("count", [1, 2, 5, 6])
def test_each_element_lies_where_its_ends_are(count: int) -> None:
    elements = np.random.default_rng(count).normal(size=(3, count, 4, 4))
    plain = np.zeros((3, 2 * count + 2, 2 * count + 2))
    for k in range(count):
        plain[:, 2 * k : 2 * k + 4, 2 * k : 2 * k + 4] += elements[:, k]
    assert (laid(elements) == plain).all()
