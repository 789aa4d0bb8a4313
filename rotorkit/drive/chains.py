"""Matrices of a chain of two-ended elements, such as a beam's, for many chains at once, and their eigenvalues near
known ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.lib.stride_tricks import as_strided

ABOUT = 0.04
"""How far on either side of a known eigenvalue one is looked for, over it."""
LEFT_OUT = 1e-6
"""How large the last term of the polynomial through a determinant may be, over the first: what is left out is then less
than 1e-10 of an eigenvalue."""
_FORWARD = [0, 0, 1, 0, 0, 1, 1, 2, 2, 3], [0, 1, 1, 2, 3, 2, 3, 2, 3, 3]
_BACKWARD = [2, 2, 3, 2, 2, 3, 3, 0, 0, 1], [2, 3, 3, 0, 1, 0, 1, 0, 1, 1]
"""Which entries of an element's matrix are the three of its near end, the four between, the three of its far end."""


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


@dataclass(frozen=True)
class Chains:
    """Chains of as many elements each: mass and stiffness of every element (chains, elements, 4, 4), and what is added
    to them at the first coordinate of every node (chains, nodes)."""

    mass: Any
    stiffness: Any
    mass_at: Any
    stiffness_at: Any

    def laid(self) -> tuple[Any, Any]:
        """Mass and stiffness of each chain, whole."""
        mass, stiffness = laid(self.mass), laid(self.stiffness)
        at = 2 * np.arange(self.mass_at.shape[1])
        mass[:, at, at] += self.mass_at
        stiffness[:, at, at] += self.stiffness_at
        return mass, stiffness


def values_near(alike: Sequence[tuple[Any, Chains]], near: Any, below: Any) -> Any:
    """Eigenvalues of K v = value M v that lie within 3 % of known ones; not a number where that is not sure.

    alike: which rows of near they are, and the chains, for those with as many elements. near: for each chain (rows) the
    values near which one lies (columns); below: how many lie below each.

    det(K - value M) is followed to nothing by the polynomial through it at seven values about there (Newton). Which
    eigenvalue it is is counted: K - value M has as many pivots below nothing as there are eigenvalues below (Sturm).
    """
    ways = np.linspace(-1.0, 1.0, 7)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):  # at an eigenvalue of a part there is no pivot
        sizes, counts = _determinants(alike, near[..., None] * (1 + ABOUT * ways))
        terms = np.moveaxis(sizes @ np.linalg.inv(np.vander(ways)).T, -1, 0)
        off = np.zeros_like(near)
        for _ in range(6):
            size, slope = np.zeros_like(off), np.zeros_like(off)
            for term in terms:
                slope = slope * off + size
                size = size * off + term
            off = off - size / slope
        sure = (counts[..., 0] == below) & (counts[..., -1] == below + 1)
        sure &= (np.abs(off) < 0.75) & (np.abs(terms[0]) < LEFT_OUT * np.abs(terms[-2]))
    return np.where(sure, near * (1 + ABOUT * off), np.nan)


def _determinants(alike: Sequence[tuple[Any, Chains]], values: Any) -> tuple[Any, Any]:
    """det(K - value M) of each chain, its values in the last axes, over that at the first of the last one; and how many
    pivots are below nothing at the first and the last of it. Node by node, from both ends at once to the node in the
    middle."""
    more = (..., *[None] * (values.ndim - 1))
    most = max(chains.mass_at.shape[1] // 2 for _, chains in alike)
    stiffness, mass = (np.zeros((most, 10, 2, len(values))) for _ in range(2))
    stiffness[:, [0, 2]] = 1.0  # before an end that has fewer elements: nodes that nothing hangs on
    stiffness_between, mass_between = np.empty(len(values)), np.empty(len(values))
    for rows, chains in alike:
        middle = chains.mass_at.shape[1] // 2
        for whole, between, of, at in (
            (stiffness, stiffness_between, chains.stiffness, chains.stiffness_at),
            (mass, mass_between, chains.mass, chains.mass_at),
        ):
            between[rows] = at[:, middle]
            for side, there, entries in ((0, slice(middle), _FORWARD), (1, slice(None, middle - 1, -1), _BACKWARD)):
                elements = of[:, there, *entries].transpose(1, 2, 0)
                elements[:, 0] += (at[:, :middle] if side == 0 else at[:, :middle:-1]).T
                whole[most - len(elements) :, :, side, rows] = elements
    a, b, c = (np.zeros((2, *values.shape)) for _ in range(3))
    size, pivots, ends = 1.0, list[tuple[Any, Any]](), values.shape[-1] - 1
    for of_stiffness, of_mass in zip(stiffness, mass, strict=True):
        a1, b1, c1, p, q, r, t, a2, b2, c2 = of_stiffness[more] - of_mass[more] * values
        a, b, c = a + a1, b + b1, c + c1
        det = a * c - b * b
        size = size * (det * (1 / det[..., :1]))
        pivots.append((a[..., ::ends], det[..., ::ends]))
        a, b, c = a / det, b / det, c / det
        x, y, u, v = c * p - b * r, c * q - b * t, a * r - b * p, a * t - b * q
        a, b, c = a2 - p * x - r * u, b2 - p * y - r * v, c2 - q * y - t * v
    a, b, c = a.sum(axis=0) + stiffness_between[more] - mass_between[more] * values, b.sum(axis=0), c.sum(axis=0)
    det = a * c - b * b
    first, dets = (
        np.concatenate([*one, last[None, ..., ::ends]])
        for one, last in zip(zip(*pivots, strict=True), (a, det), strict=True)
    )
    return np.prod(size, axis=0) * det / det[..., :1], np.where(dets < 0, 1, 2 * (first < 0)).sum(axis=0)
