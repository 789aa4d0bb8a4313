"""Whole washers in holes and at blade stations: the best against a plain count of everything."""

import cmath
import itertools
import math
from typing import Any

import numpy as np
import pytest

from rotorkit.balance import (
    Hole,
    Station,
    match_blades,
    smallest_shown,
    span_moment_from_knife_edge,
    span_moment_from_scales,
    split_between_holes,
    static_balance,
    two_plane_balance,
    weight_at_hole,
)
from rotorkit.edges.recent import forget
from rotorkit.quantities import QuantityError, assert_quantity


@pytest.mark.parametrize("seed", range(6))
def test_the_nearest_is_the_nearest_of_all(seed: int) -> None:
    rng = np.random.default_rng(seed)
    angles = np.sort(rng.uniform(0, 360, 5))
    caps, installed = rng.integers(1, 4, 5), [0, 1, 0, 0, 1]
    size, angle = rng.uniform(2, 14), rng.uniform(0, 360)
    holes = [
        Hole(f"{a:.6f} deg", f"{2 * c} g", min(i, int(c))) for a, c, i in zip(angles, caps, installed, strict=True)
    ]
    found = split_between_holes((f"{size:.9f} g", f"{angle:.9f} deg"), holes, "2 g")
    arrows = 2 * np.exp(1j * np.radians(angles))
    wanted = cmath.rect(size, math.radians(angle))
    ways = itertools.product(
        *(range(-hole.installed, int(c) - hole.installed + 1) for hole, c in zip(holes, caps, strict=True))
    )
    best = min(abs(arrows @ np.array(way) - wanted) for way in ways)
    assert abs(found.error.si) * 1000 == pytest.approx(best, abs=1e-6)
    assert found.achieved.si * 1000 == pytest.approx(complex(arrows @ np.array(found.changes)), abs=1e-5)
    assert all(n <= c - h.installed and n >= -h.installed for n, c, h in zip(found.changes, caps, holes, strict=True))


def test_of_equals_the_fewest_washers() -> None:
    """Twelve even holes: three washers at one hole, not the many sums that cancel to the same."""
    holes = [Hole(f"{30 * k} deg", "10 g") for k in range(12)]
    found = split_between_holes(("6 g", "90 deg"), holes, "2 g")
    assert found.changes == tuple(3 if k == 3 else 0 for k in range(12))
    assert found.compared == 6**12
    assert found.in_words.startswith("Add 3 washers at 90")


def test_few_places_and_close_enough() -> None:
    holes = [Hole(f"{40 * k} deg", "10 g") for k in range(9)]
    wanted = ("9.3 g", "55 deg")
    free = split_between_holes(wanted, holes, "1 g")
    two = split_between_holes(wanted, holes, "1 g", most_places=2)
    easy = split_between_holes(wanted, holes, "1 g", close_enough="0.7 g")
    assert two.places == 2
    assert abs(free.error.si) <= abs(two.error.si)
    assert abs(easy.error.si) <= 0.0007
    assert easy.places <= 2
    arrows = np.exp(1j * np.radians([40 * k for k in range(9)]))
    target = cmath.rect(9.3, math.radians(55))
    tried = [
        abs(arrows[a] * m + arrows[b] * n - target)
        for a, b in itertools.combinations(range(9), 2)
        for m in range(11)
        for n in range(11)
    ]
    assert abs(two.error.si) * 1000 == pytest.approx(min(tried), abs=1e-9)


def test_what_washers_and_places_are_known_to_is_kept() -> None:
    """Three washers of 2 g, each 0.1 g too heavy or light, are 0.3 g: one washer's error, not three of them; 2 degrees
    of a place at 6 g are 0.209 g across."""
    found = split_between_holes(("6 g", "0 deg"), [Hole("0 ± 2 deg", "6 g")], "2 ± 0.1 g")
    assert found.changes == (3,)
    assert found.achieved.along.expanded_si * 1000 == pytest.approx(0.3)
    assert found.achieved.across.expanded_si * 1000 == pytest.approx(6 * math.radians(2))
    arm = split_between_holes(("12 g*cm", "0 deg"), [Hole("0 deg", "6 g", radius="2 ± 0.1 cm")], "2 g")
    assert arm.achieved.along.expanded_si * 1e5 == pytest.approx(0.6)


def test_washers_come_out_and_limits_hold() -> None:
    """A washer taken out at 0 serves as one added opposite, where no hole is; a full hole takes no more."""
    found = split_between_holes(("2 g", "180 deg"), [Hole("0 deg", "2 g", installed=1)], "2 g")
    assert found.changes == (-1,)
    assert "take 1 washer out" in found.in_words.lower()
    full = split_between_holes(("9 g", "0 deg"), [Hole("0 deg", "5 g")], "2 g")
    assert full.changes == (2,)
    with pytest.raises(QuantityError, match="may carry 1 at most"):
        split_between_holes(("1 g", "0 deg"), [Hole("0 deg", "2 g", installed=2)], "2 g")
    with pytest.raises(QuantityError, match="radius"):
        split_between_holes(("1 oz*in", "0 deg"), [Hole("0 deg", "2 oz")], "0.1 oz")
    arm = split_between_holes(("1 oz*in", "0 deg"), [Hole("0 deg", "2 oz", radius="5 in")], "0.1 oz")
    assert arm.changes == (2,)


def test_blades_are_matched_as_a_count_of_everything_matches_them() -> None:
    moments = [2070.0, 2066.3, 2071.1]
    levers = [[1.3, 0.4], [1.3], [0.9]]
    stations = [[Station(f"{arm * 100:g} in", "0.03 lb", 1 if arm == 0.4 else 0) for arm in row] for row in levers]
    found = match_blades([f"{m} lb*in" for m in moments], stations, "0.01 lb")
    ranges = [[range(0, 4), range(-1, 3)], [range(0, 4)], [range(0, 4)]]
    best = (math.inf, 0)
    for ways in itertools.product(*(list(itertools.product(*row)) for row in ranges)):
        reached = [
            m + sum(n * a for n, a in zip(way, arms, strict=True))
            for m, way, arms in zip(moments, ways, levers, strict=True)
        ]
        rank = (round(max(reached) - min(reached), 9), sum(abs(n) for way in ways for n in way))
        best = min(best, rank)
    assert found.spread.si / (0.45359237 * 0.0254) == pytest.approx(best[0], abs=1e-6)
    assert found.washers == best[1]
    assert_quantity(found.before, "4.8 lb*in")


def test_scales_knife_edge_and_stand() -> None:
    assert_quantity(span_moment_from_scales("12 lb", "10 in", "15 lb", "130 in"), "2070 lb*in")
    assert_quantity(span_moment_from_knife_edge("27 lb", "10 in", "15 lb", "130 in"), "2070 lb*in")
    assert_quantity(smallest_shown("2 oz*in", "8 mm", "1 mm"), "0.25 oz*in")


def test_known_masses_balance_and_the_couple_is_gone() -> None:
    """Force and moment of all masses with the two balance masses, by plain arithmetic."""
    masses, radii, angles, places = [3.0, 2.0, 4.0], [40.0, 60.0, 30.0], [10.0, 130.0, 250.0], [0.1, 0.4, 0.9]
    near, far = two_plane_balance(
        [f"{m} kg" for m in masses], [f"{r} mm" for r in radii], [f"{a} deg" for a in angles],
        [f"{x} m" for x in places], ("0.2 m", "0.8 m"), ("50 mm", "80 mm"),
    )  # fmt: skip
    arrows = [m * r * cmath.exp(1j * math.radians(a)) for m, r, a in zip(masses, radii, angles, strict=True)]
    put = [one.mass.si * one.radius.si * 1000 * cmath.exp(1j * one.angle.si) for one in (near, far)]
    assert abs(sum(arrows) + sum(put)) < 1e-9
    assert abs(sum(a * x for a, x in zip(arrows, places, strict=True)) + put[0] * 0.2 + put[1] * 0.8) < 1e-9
    alone = static_balance(["1 kg"], ["10 mm"], ["0 deg"], "5 mm")
    assert_quantity(alone.mass, "2.000 kg")
    assert_quantity(alone.angle, "180.0 deg")
    with pytest.raises(QuantityError, match="radii"):
        static_balance(["1 kg"], [], ["0 deg"], "5 mm")


@pytest.mark.parametrize("holes", [("60 deg", "240 deg"), ("60 deg", "420 deg"), ("60 deg", "60 deg")])
def test_no_weight_is_split_between_holes_of_one_line(holes: tuple[str, str]) -> None:
    with pytest.raises(QuantityError, match="neither in one place nor opposite"):
        weight_at_hole("10 g", "90 deg", *holes)


def test_a_weight_split_between_two_holes_adds_up() -> None:
    """As arrows, by plain complex numbers; the second pair does not have the place between its holes."""
    for place, one, other in ((90.0, 60.0, 110.0), (-20.0, 60.0, 110.0)):
        holes = (one, other), (other, one)
        shares = [weight_at_hole("10 g", f"{place} deg", f"{a} deg", f"{b} deg").m_as("g") for a, b in holes]
        summed = sum(share * cmath.exp(1j * math.radians(at)) for share, (at, _) in zip(shares, holes, strict=True))
        assert summed == pytest.approx(10 * cmath.exp(1j * math.radians(place)), rel=1e-12)


@pytest.mark.parametrize("close", [None, "1 g"])
def test_what_is_kept_of_one_split_never_answers_for_another(close: str | None) -> None:
    """Each figure that the tables rest on is another, one at a time, after a split that left all of them behind."""
    plain = {"largest": "10 g", "installed": 1, "angles": ("0 deg", "60 deg", "200 deg"), "washer": "2 g"}

    def split(given: dict[str, Any]) -> tuple[Any, ...]:
        holes = [Hole(angle, given["largest"], given["installed"]) for angle in given["angles"]]
        found = split_between_holes(("18.2 g", "31 deg"), holes, given["washer"], close_enough=close)
        return found.changes, found.achieved.si, found.error.si

    others = [{"largest": "14 g"}, {"installed": 3}, {"angles": ("0 deg", "70 deg", "200 deg")}, {"washer": "1.5 g"}]
    for other in others:
        split(plain)
        warm = split({**plain, **other})
        forget()
        assert warm == split({**plain, **other}) != split(plain)
