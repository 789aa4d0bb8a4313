"""A tail rotor or fan on a mandrel: its unbalance from the weights that just start it, and what friction holds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit import sources
from rotorkit.balance.phasors import Phasor, of_kinds
from rotorkit.formula import formula
from rotorkit.judging.measured import COVERAGE, Measured, combine, coverage_factor, measured
from rotorkit.quantities import Angle, Length, Mass, QuantityError, Unbalance, from_si

LEAST_TOLD = 6.0
"""Condition number from which places all on one side tell too little: common practice (no source)."""


@formula(
    source=sources.ARITHMETIC.at("two balances of moments, half their difference"),
    letters={"here": "w_1", "opposite": "w_2", "radius": "R"},
    result="U_1",
    title="Unbalance along one place",
)
def unbalance_along(here: Mass, opposite: Mass, radius: Length) -> Unbalance:
    """The part of an unbalance that points at one place, from the weights that start it there and opposite.

    With the place level with the axle on the side that turns down, weight w starts it when (w R + U) g is what friction
    holds; with the opposite place there, (w' R - U) g. Half the difference is free of friction: U = (w' - w) R / 2.

    Parameters
    ----------
    here, opposite : Mass
        That just start it turning down, with the place and with the opposite one level with the axle.
    radius : Length
        Of both from the axle.

    Returns
    -------
    Unbalance
        Positive where the place itself is heavy.

    Notes
    -----
    Source: statics. Range: the same friction both times, so always turned the same way.

    Examples
    --------
    1 g starts it here and 5 g opposite, at 100 mm: (5 - 1) x 100 / 2 = 200 g mm, heavy here.

    >>> from rotorkit.quantities import say
    >>> say(unbalance_along("1 g", "5 g", "100 mm"), "g*mm", digits=3)
    '200 g·mm'
    """
    return (opposite - here) * radius / 2


@dataclass(frozen=True)
class OnMandrel:
    """What the starting weights tell, all as masses at their radius.

    heavy: what is too much, and where. friction: the weight that friction holds. known: of a second round with a known
    weight on, what it changed, as an arrow; None without one. scatter: standard deviation of one starting weight about
    what is worked here, kg. degrees: readings less unknowns. predicted: the weight that starts it at each place, in the
    order given, then those of the second round.
    """

    heavy: Phasor
    friction: Measured
    known: Phasor | None
    scatter: float
    degrees: int
    predicted: tuple[Measured, ...]


def on_mandrel(
    places: Sequence[Any],
    weights: Sequence[Any],
    known_places: Sequence[Any] = (),
    known_weights: Sequence[Any] = (),
) -> OnMandrel:
    """The unbalance of a part on a mandrel from the weights that just start it turning, place by place.

    Each place in turn is brought level with the axle, always on the same side, and weight is added there until the part
    just begins to turn down: w = T - U cos(place - heavy side), T what friction holds. Least squares over all places.

    Parameters
    ----------
    places : sequence of Angle
        Of the places, from one mark of the part, all counted the same way round.
    weights : sequence of Mass
        That just start it at each, in the same order, all at one radius.
    known_places, known_weights : sequences, optional
        The same with a known weight fixed somewhere at that radius: what it changed is worked with the rest, under the
        same friction.

    Returns
    -------
    OnMandrel

    Raises
    ------
    QuantityError
        Fewer readings than unknowns (three, five with the second round), numbers that differ, or places all on one
        side, so that friction and unbalance are not told apart.

    Notes
    -----
    Source: statics; least squares. The scatter of the readings about the result counts with Student's factor; where
    there are no more readings than unknowns it is not known, and `degrees` is 0. Range: rails level, no draught.

    Examples
    --------
    Friction holds 3 g, the part is 2 g heavy at 90 degrees: 3, 1, 3 and 5 g start it.

    >>> from rotorkit.quantities import say
    >>> found = on_mandrel(["0 deg", "90 deg", "180 deg", "270 deg"], ["3 g", "1 g", "3 g", "5 g"])
    >>> say(found.heavy.amplitude, "g", digits=3), say(found.heavy.angle, "deg", digits=3), say(found.friction, "g")
    ('2.00 g', '90.0°', '3.000 g')
    """
    if len(places) != len(weights) or len(known_places) != len(known_weights):
        raise QuantityError(
            f"weights: needs one for each place, got {len(weights)} for {len(places)}"
            f" and {len(known_weights)} for {len(known_places)}"
        )
    at = [of_kinds(one, (Angle,), f"place {i}") for i, one in enumerate(places, start=1)]
    later = [of_kinds(one, (Angle,), f"place {i}, second round") for i, one in enumerate(known_places, 1)]
    angles, again = [float(one.si) for one in at], [float(one.si) for one in later]
    read = [of_kinds(one, (Mass,), f"weight {i}") for i, one in enumerate(weights, start=1)]
    read += [of_kinds(one, (Mass,), f"weight {i}, second round") for i, one in enumerate(known_weights, 1)]
    unknowns = 5 if again else 3
    if len(read) < unknowns or len(angles) < 3:
        raise QuantityError(
            f"weights: needs three places at least, and two more with a known weight on; got {len(angles)} and "
            f"{len(again)}"
        )
    rows = [_row(angle, False, unknowns) for angle in angles] + [_row(angle, True, unknowns) for angle in again]
    matrix = np.array(rows)
    sizes = np.linalg.svd(matrix, compute_uv=False)
    if not sizes[-1] > 0 or sizes[0] / sizes[-1] > LEAST_TOLD:
        raise QuantityError(
            "places: they lie too much on one side to tell friction from unbalance; take places all round"
        )
    inverse = np.linalg.pinv(matrix)
    values = np.array([float(one.si) for one in read])
    solved = inverse @ values
    degrees = len(read) - unknowns
    left = values - matrix @ solved
    scatter = math.sqrt(float(left @ left) / degrees) if degrees else 0.0
    if scatter < 1e-9 * float(np.abs(values).max()):  # what rounding leaves of figures that fit together exactly
        scatter = 0.0
    # a place that is off by a little reads as if its weight were: by the slope of what is predicted there
    steep = [_steepness(angle, i >= len(angles), solved) for i, angle in enumerate([*angles, *again])]
    inputs, unit = [*read, *at, *later], read[0].unit
    slopes = np.hstack([inverse, -inverse * np.array(steep)])
    if scatter:
        share = scatter * coverage_factor(degrees) / COVERAGE
        inputs += [
            measured(
                from_si(0.0, Mass), Mass, f"scatter of starting weight {i}", from_si(share, Mass),
                stated_as="standard",
            )
            for i in range(1, len(read) + 1)
        ]  # fmt: skip
        slopes = np.hstack([slopes, inverse])

    def figure(row: np.ndarray) -> Measured:
        return combine(float(row @ solved), Mass, inputs, [float(one) for one in row @ slopes], unit)

    friction, along, across, *more = (figure(np.eye(unknowns)[k]) for k in range(unknowns))
    return OnMandrel(
        Phasor(along, across), friction, Phasor(*more) if more else None, scatter, degrees,
        tuple(figure(row) for row in matrix),
    )  # fmt: skip


def _row(angle: float, second: bool, unknowns: int) -> list[float]:
    """What friction, the heavy side along 0 and 90 degrees, and a known weight's, each add to a starting weight."""
    own = [-math.cos(angle), -math.sin(angle)]
    return [1.0, *own, *(own if second else [0.0, 0.0])][:unknowns]


def _steepness(angle: float, second: bool, solved: np.ndarray) -> float:
    """How fast the predicted starting weight rises with the place's angle, kg/rad."""
    along, across = solved[1:3] + solved[3:5] if second else solved[1:3]
    return float(along * math.sin(angle) - across * math.cos(angle))
