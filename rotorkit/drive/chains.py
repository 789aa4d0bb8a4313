"""Matrices of a chain of two-ended elements, such as a beam's, for many chains at once."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.lib.stride_tricks import as_strided


def laid(elements: Any) -> Any:
    """The matrices of many chains of which each element shares its last two coordinates with the next one's first two.

    elements: shape (chains, elements, 4, 4). Returns shape (chains, n, n), n = 2 (elements + 1).
    """
    chains, count = elements.shape[:2]
    whole = np.zeros((chains, 2 * count + 2, 2 * count + 2))
    chain, row, column = whole.strides
    for first in (0, 1):  # of every second element no two meet: all of them are added at once
        part = elements[:, first::2]
        blocks = as_strided(
            whole[:, 2 * first :, 2 * first :], part.shape, (chain, 4 * (row + column), row, column), writeable=True
        )
        blocks += part
    return whole
