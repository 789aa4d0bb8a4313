"""Weighing and loading held to physics: level turned about, common errors, envelopes sampled, searches by force."""

import itertools
import math
import random

import numpy as np
import pytest

from rotorkit.judging.measured import COVERAGE, Measured, measured
from rotorkit.mass import (
    Loading,
    burn_path,
    combined_weighings,
    envelope,
    height_of_centre_of_gravity,
    item,
    load,
    load_of,
    loading,
    mass_to_shift,
    most_that_may_be_added,
    negligible_change,
    support,
    weigh_in,
    worst_loading,
)
from rotorkit.quantities import Length, Mass, QuantityError, assert_quantity

HULL = [("92 in", "900 lb"), ("92 in", "1310 lb"), ("99 in", "1310 lb"), ("101 in", "900 lb")]


def si(figure: object) -> float:
    return float(figure.si)  # type: ignore[attr-defined]


@pytest.mark.parametrize(("pitch", "roll"), [(0.05, 0.0), (-0.08, 0.03), (0.02, -0.1)])
def test_level_correction_against_turned_geometry(pitch: float, roll: float) -> None:
    """The scales' share by plain statics of a rigid body turned about the level line, at a height of 0.9 m."""
    x, y, z = 2.4, 0.06, 0.9
    nose = x * math.cos(pitch) - z * math.sin(pitch)  # nose down moves what is high forward
    feet = {"nose": (0.5, 0.0), "left": (3.0, -0.8), "right": (3.0, 0.8)}
    ahead = (3.0 * math.cos(pitch) - nose) / (2.5 * math.cos(pitch))
    side = (y * math.cos(roll) + -z * math.sin(roll)) / (0.8 * math.cos(roll)) / (1 - ahead)  # left down moves it left
    share = {"nose": ahead, "left": (1 - ahead) * (1 - side) / 2, "right": (1 - ahead) * (1 + side) / 2}
    points = [(name, f"{800 * share[name]!r} kg", f"{px} m", f"{py} m") for name, (px, py) in feet.items()]
    done = weigh_in(points, pitch=f"{pitch} rad", roll=f"{roll} rad", height=f"{z} m")
    assert si(done.empty.arm) == pytest.approx(x, abs=1e-9)
    assert si(done.empty.lateral_arm) == pytest.approx(y, abs=1e-9)
    assert si(done.weighed.arm) != pytest.approx(x, abs=1e-3)


def test_a_tilt_without_a_height_is_refused() -> None:
    with pytest.raises(QuantityError, match="height"):
        weigh_in([("all", "800 lb", "100 in")], pitch="1 deg")
    with pytest.raises(QuantityError, match="none was given"):
        weigh_in([])
    with pytest.raises(QuantityError, match="tare"):
        support("nose", "2 lb", "10 in", tare="3 lb")


def test_height_is_what_the_correction_used() -> None:
    first = weigh_in([("a", "800 lb", "100 in")])
    x = 100 - 36 * math.tan(math.radians(5))
    assert_quantity(height_of_centre_of_gravity(first.weighed.arm, "0 deg", f"{x!r} in", "5 deg"), "36.000 in")


def test_scales_that_are_all_off_alike_leave_the_centre_alone() -> None:
    """One per cent too much on each scale: the mass is off by it, the centre of gravity not at all."""
    shared = [
        measured(f"{m} lb", Mass, name, shared={"scale factor": f"{m / 100} lb"})
        for name, m in (("nose", 150), ("mains", 650))
    ]
    done = weigh_in([item("nose", shared[0], "50 in"), item("mains", shared[1], "120 in")])
    assert float(done.empty.mass.expanded_si) == pytest.approx(8 * 0.45359237)
    assert float(done.empty.arm.expanded_si) == pytest.approx(0, abs=1e-12)


def test_uncertainty_of_the_centre_by_plain_partials() -> None:
    m1, m2, x1, x2, u1, u2 = 150.0, 650.0, 50.0, 120.0, 1.0, 3.0
    done = weigh_in([("nose", f"{m1} ± {u1} lb", f"{x1} in"), ("mains", f"{m2} ± {u2} lb", f"{x2} in")])
    cg = (m1 * x1 + m2 * x2) / (m1 + m2)
    spread = math.hypot((x1 - cg) / (m1 + m2) * u1, (x2 - cg) / (m1 + m2) * u2) * 0.0254
    assert float(done.empty.arm.expanded_si) == pytest.approx(spread, rel=1e-6)


def test_fuel_that_was_left_comes_off_and_oil_goes_on() -> None:
    done = weigh_in(
        [("all", "812 lb", "100 in")],
        removed=[("undrained fuel", "12 lb", "110 in")],
        added=[("oil", "4 lb", "120 in", "1 in")],
    )
    assert_quantity(done.empty.mass, "804.00 lb")
    assert si(done.empty.arm) / 0.0254 == pytest.approx((81200 - 1320 + 480) / 804)
    assert si(done.empty.lateral_arm) / 0.0254 == pytest.approx(4 / 804)


def test_repeated_weighings_keep_what_they_share() -> None:
    own = [measured(f"{m} lb", Mass, f"run {m}", "2 lb", shared={"scales": "4 lb"}) for m in (801, 800, 801)]
    both = combined_weighings([Loading.at(m, "100 in") for m in own])
    assert float(both.mass.expanded_si) / 0.45359237 == pytest.approx(math.hypot(2 / math.sqrt(3), 4))
    scattered = combined_weighings([Loading.at(f"{m} ± 0.1 lb", "100 in") for m in (790, 800, 810)])
    assert float(scattered.mass.expanded_si) / 0.45359237 > 2 * 10 / math.sqrt(3)
    with pytest.raises(QuantityError):
        combined_weighings([])


def test_shift_and_its_inverse() -> None:
    craft = Loading.at("1200 lb", "97 in", "0.5 in")
    needed = mass_to_shift("1200 lb", "97 in", "96.5 in", "140 in", "40 in")
    moved = craft.shifted(needed, "140 in", "40 in", "2 in", "-3 in")
    assert_quantity(moved.arm, "96.500 in")
    assert_quantity(moved.mass, "1200.0 lb")
    assert si(moved.lateral_arm) / 0.0254 == pytest.approx(0.5 - 5 * si(needed_of(needed)) / 0.45359237 / 1200)


def needed_of(quantity: object) -> Measured:
    return measured(quantity, Mass, "shifted")


@pytest.mark.parametrize(
    ("empty", "mass", "moved", "word"),
    [
        ("802 lb", "1 lb", "0.011 in", True),
        ("802 lb", "-1.001 lb", "0.011 in", False),
        ("802 lb", "1 lb", "0.012 in", False),  # 0.2 % of 6 in
        ("802 lb", "1 lb", "-0.0119 in", True),
        ("5000 lb", "2 lb", "0 in", True),
        ("51000 lb", "5.1 lb", "0 in", False),
    ],
)
def test_negligible_change_both_sides(empty: str, mass: str, moved: str, word: bool) -> None:
    # AC 43.13-1B change 1, 10-2 c: read in a copy
    assert negligible_change(empty, mass, moved, "6 in") is word


# envelopes


def test_margins_by_hand() -> None:
    hull = envelope(HULL)
    there = hull.margins(Loading.at("1105 lb", "97 in"))  # half way up: aft limit 100 in
    assert there.low is not None
    assert there.high is not None
    assert there.under is not None
    assert there.over is not None
    assert_quantity(there.low, "5.000 in")
    assert_quantity(there.high, "3.000 in")
    assert_quantity(there.under, "205.0 lb")
    assert_quantity(there.over, "205.0 lb")
    out = hull.margins(Loading.at("1105 lb", "91 in"))
    assert out.low is not None
    assert out.over is None
    assert_quantity(out.low, "-1.000 in")
    heavy = hull.margins(Loading.at("1320 lb", "95 in"))
    assert heavy.low is None
    assert heavy.over is not None
    assert_quantity(heavy.over, "-10.00 lb")


def test_on_the_edge_is_inside_and_a_hair_beyond_is_not() -> None:
    hull = envelope(HULL)
    for load_at, inside in (
        (("1310 lb", "95 in"), True),
        (("1310.001 lb", "95 in"), False),
        (("1000 lb", "92 in"), True),
        (("1000 lb", "91.9999 in"), False),
        (("900 lb", "101 in"), True),
        (("899.99 lb", "95 in"), False),
    ):
        assert hull.contains(Loading.at(*load_at)) is inside


def test_hollow_envelope_and_arrays() -> None:
    hull = envelope([("0 in", "0 lb"), ("10 in", "0 lb"), ("10 in", "10 lb"), ("5 in", "2 lb"), ("0 in", "10 lb")])
    inside = hull.holds(np.array([5.0, 5.0, 1.0]) * 0.0254, np.array([1.0, 5.0, 7.0]) * 0.45359237)
    assert inside.tolist() == [True, False, True]
    assert len(hull.spans(7 * 0.45359237)) == 2


@pytest.mark.parametrize(
    ("corners", "said"),
    [
        (HULL[:2], "three or more"),
        ([HULL[0], HULL[2], HULL[1], HULL[3]], "crosses"),
        ([*HULL, HULL[0]], "closing"),
        ([("1 in", "1 lb"), ("2 in", "2 lb"), ("3 in", "3 lb")], "one line"),
    ],
)
def test_bad_envelopes_are_refused(corners: list[tuple[str, str]], said: str) -> None:
    with pytest.raises(QuantityError, match=said):
        envelope(corners)


def test_certainty_is_the_ellipse_against_the_edges() -> None:
    """Sampled: the ellipse of two standard uncertainties lies inside just where the certainty is two or more."""
    hull = envelope(HULL)
    for arm, spread, mass in (
        ("92.5 in", 0.4, 1200),
        ("92.5 in", 0.6, 1200),
        ("98.9 in", 0.3, 1295),
        ("95 in", 1, 1305),
    ):
        craft = Loading.at(f"{mass} ± 8 lb", f"{arm.split()[0]} ± {spread} in")
        x, y = hull.place(craft)
        parts = np.array([[float(o.components.get(k, 0)) for k in {**x.components, **y.components}] for o in (x, y)])
        vectors = np.array([[math.cos(a), math.sin(a)] for a in np.linspace(0, 2 * math.pi, 4000)])
        root = np.linalg.cholesky(parts @ parts.T)
        ring = vectors @ root.T * COVERAGE + [float(x.si), float(y.si)]
        assert hull.surely_contains(craft) == bool(hull.holds(ring[:, 0], ring[:, 1]).all())
    assert envelope(HULL).certainty(Loading.at("1200 lb", "95 in")) == math.inf
    assert envelope(HULL).certainty(Loading.at("1200 lb", "80 in")) == -math.inf


def test_the_whole_burn_path_against_many_points() -> None:
    """Random tanks: inside by the quadratics just where every one of 4,000 points is, unless it grazes."""
    hull, draw = envelope(HULL), random.Random(4)
    seen = set()
    for _ in range(60):
        full = Loading.at(f"{draw.uniform(1100, 1320)} lb", f"{draw.uniform(91, 100)} in")
        burned = (f"{draw.uniform(50, 250)} lb", f"{draw.uniform(60, 140)} in")
        start, end = burn_path(full, [("tank", *burned)])
        t = np.linspace(0, 1, 4000)
        mass = si(start.mass) + t * (si(end.mass) - si(start.mass))
        moment = si(start.moment) + t * (si(end.moment) - si(start.moment))
        sampled = hull.holds(moment / mass, mass)
        found = hull.path(start, end)
        assert found.inside == bool(sampled.all())
        if found.leaves_at is not None:
            assert found.leaves_at == pytest.approx(t[np.argmin(sampled)], abs=5e-4)
        if sampled.all():
            margins = [hull.margins(_between(start, end, part)).high for part in hull.tightest(start, end)]
            lowest = min(si(m) for m in margins if m is not None)
            edge = np.array([hull.spans(float(m))[0][1] for m in mass[::40]])
            assert lowest <= (edge - (moment / mass)[::40]).min() + 1e-9
        seen.add(found.inside)
    assert seen == {True, False}


HOLLOW = {
    ("lateral arm", "arm"): [("-3 in", "92 in"), ("-3 in", "101 in"), ("3 in", "101 in"), ("1 in", "96 in"),
                             ("3 in", "92 in")],
    ("lateral arm", "mass"): [("-3 in", "900 lb"), ("-3 in", "1310 lb"), ("3 in", "1310 lb"), ("0.8 in", "1150 lb"),
                              ("2.5 in", "900 lb")],
    ("arm", "mass"): [("92 in", "900 lb"), ("93.5 in", "1180 lb"), ("92 in", "1310 lb"), ("99 in", "1310 lb"),
                      ("101 in", "900 lb")],
}  # fmt: skip


@pytest.mark.parametrize("axes", HOLLOW)
def test_the_least_margins_of_a_way_through_a_hollow_envelope(axes: tuple[str, str]) -> None:
    """Random ways: at none of 2,000 places is a margin, by plain geometry, less than at the places that are named."""
    corners = HOLLOW[axes]
    hull, draw = envelope(corners, *axes), random.Random(len(axes[0]) + len(axes[1]))
    edges = np.array([hull.corners, hull.corners[1:] + hull.corners[:1]])
    looked_at = 0
    while looked_at < 25:
        weight, arm, side = draw.uniform(1150, 1300), draw.uniform(93, 99), draw.uniform(-2.5, 2.5)
        start = Loading.at(f"{weight} lb", f"{arm} in", f"{side} in")
        end = start.removed(("tank", f"{draw.uniform(60, 240)} lb", f"{draw.uniform(60, 140)} in",
                             f"{draw.uniform(-20, 20)} in"))  # fmt: skip
        if not hull.path(start, end).inside:
            continue
        looked_at += 1
        named = [hull.margins(_between(start, end, t)) for t in hull.tightest(start, end)]
        t = np.linspace(0, 1, 2001)
        state = [si(a) + t * (si(b) - si(a)) for a, b in zip(
            (start.mass, start.moment, start.lateral_moment), (end.mass, end.moment, end.lateral_moment), strict=True)
        ]  # fmt: skip
        of = {"mass": state[0], "arm": state[1] / state[0], "lateral arm": state[2] / state[0]}
        for along, at, names in ((0, 1, ("low", "high")), (1, 0, ("under", "over"))):
            u, v = of[axes[along]], of[axes[at]]
            # every edge that a line through the point meets: how far along it lies, towards either side
            a, b = edges[0], edges[1]
            with np.errstate(divide="ignore", invalid="ignore"):
                share = (v[:, None] - a[:, at]) / (b[:, at] - a[:, at])
                met = np.where((share >= 0) & (share < 1), a[:, along] + share * (b - a)[:, along], np.nan)
            for name, sign in zip(names, (-1, 1), strict=True):
                away = sign * (met - u[:, None])
                least = np.nanmin(np.where(away >= 0, away, np.nan))
                found = min(float(one.si) for m in named if (one := getattr(m, name)) is not None)
                assert found <= least + 1e-9, (name, found, least)


def _between(start: Loading, end: Loading, part: float) -> Loading:
    mass, moment, lateral = (
        getattr(start, name) + (getattr(end, name) - getattr(start, name)) * part
        for name in ("mass", "moment", "lateral_moment")
    )
    return Loading(mass, moment, lateral)


def test_a_path_may_leave_and_come_back() -> None:
    """Both ends inside, the middle outside: a bulge that checking the ends alone would not see."""
    hull = envelope([("0 in", "50 lb"), ("4 in", "50 lb"), ("4 in", "100 lb"), ("3 in", "75 lb"), ("0 in", "90 lb")])
    start, end = Loading.at("99 lb", "3.98 in"), Loading.at("80 lb", "1.5 in")
    assert hull.contains(start)
    assert hull.contains(end)
    assert hull.path(start, end).inside is False


def test_lateral_envelopes_of_other_axes() -> None:
    across = envelope(
        [("-2 in", "90 in"), ("2 in", "90 in"), ("2 in", "100 in"), ("-2 in", "100 in")], "lateral arm", "arm"
    )
    start = Loading.at("1000 lb", "95 in", "-1.9 in")
    assert across.contains(start)
    found = across.path(start, start.removed(("right tank", "100 lb", "95 in", "10 in")))
    # lateral moment -1900 - 10 b over 1000 - b is -2 in at b = 100/12
    assert found.leaves_at == pytest.approx(100 / 12 / 100)
    by_moment = envelope([("0 lb*in", "0 lb"), ("0 lb*in", "10 lb"), ("100 lb*in", "10 lb")], "moment")
    assert by_moment.contains(Loading.at("9 lb", "8 in"))
    assert not by_moment.contains(Loading.at("9 lb", "12 in"))


def test_most_that_may_be_added_lands_on_the_edge() -> None:
    hull, craft = envelope(HULL), Loading.at("1200 lb", "92.4 in")
    for arm, free in (("64 in", False), ("95 in", True), ("140 in", True)):
        most = most_that_may_be_added(craft, [hull], arm)
        after = craft.added(("added", most, arm))
        assert hull.contains(craft.added(("added", most * 0.999, arm)))
        assert not hull.contains(craft.added(("added", most * 1.001, arm)))
        assert (si(after.mass) / 0.45359237 == pytest.approx(1310)) is free
    assert si(most_that_may_be_added(Loading.at("1400 lb", "95 in"), [hull], "95 in")) == 0
    assert_quantity(most_that_may_be_added(craft, [hull], "95 in", at_most="20 lb"), "20.00 lb")


# the worst loading


def force(base: tuple[float, float], loads: list[list[tuple[float, float]]], most: float, sign: int) -> float:
    best = math.inf
    for ways in itertools.product(*loads):
        mass = base[0] + sum(m for m, _ in ways)
        if mass <= most:
            best = min(best, sign * (base[0] * base[1] + sum(m * x for m, x in ways)) / mass)
    return sign * best


@pytest.mark.parametrize("seed", range(40))
def test_worst_loading_against_every_combination(seed: int) -> None:
    draw = random.Random(seed)
    base = (800.0, draw.uniform(90, 110))
    loads = [
        [
            (0.0 if draw.random() < 0.4 else draw.uniform(5, 200), draw.uniform(20, 180))
            for _ in range(draw.randint(1, 4))
        ]
        for _ in range(5)
    ]
    lightest = 800 + sum(min(m for m, _ in ways) for ways in loads)
    most = draw.choice([1e9, lightest + draw.uniform(0, 150)])
    named = [load_of(f"load {i}", [(f"{m!r} lb", f"{x!r} in") for m, x in ways]) for i, ways in enumerate(loads)]
    for towards, sign in (("forward", 1), ("aft", -1)):
        found = worst_loading(Loading.at("800 lb", f"{base[1]!r} in"), named, towards, f"{most!r} lb")
        assert si(found.loading.arm) / 0.0254 == pytest.approx(force(base, loads, most, sign), rel=1e-10)
        assert si(found.loading.mass) / 0.45359237 <= most * (1 + 1e-9)


@pytest.mark.parametrize("seed", range(12))
def test_worst_loading_of_ranges_against_linear_programming(seed: int) -> None:
    """Fuel and persons of any mass between bounds, cut by a greatest mass: SciPy's linear programming, made of the
    ratio by Charnes and Cooper's change of variables, gives the same."""
    from scipy.optimize import linprog

    draw = random.Random(100 + seed)
    n, m0, x0 = 5, 800.0, draw.uniform(90, 110)
    low = np.array([draw.uniform(0, 50) for _ in range(n)])
    high = low + [draw.uniform(0, 150) for _ in range(n)]
    arms = np.array([draw.uniform(20, 180) for _ in range(n)])
    most = float(m0 + low.sum() + draw.uniform(0.1, 0.9) * (high - low).sum())
    named = [load(f"{i}", f"{a!r} lb", f"{b!r} lb", f"{x!r} in") for i, (a, b, x) in
             enumerate(zip(low.tolist(), high.tolist(), arms.tolist(), strict=True))]  # fmt: skip
    # y = t m, with t (m0 + sum m) = 1: least of t m0 x0 + sum x y
    for towards, sign in (("forward", 1), ("aft", -1)):
        bounds = np.vstack([
            np.hstack([-np.eye(n), low[:, None]]),
            np.hstack([np.eye(n), -high[:, None]]),
            np.hstack([np.ones(n), [m0 - most]]),
        ])  # fmt: skip
        solved = linprog(
            sign * np.append(arms, m0 * x0), bounds, np.zeros(2 * n + 1), np.append(np.ones(n), m0)[None], [1.0]
        )
        found = worst_loading(Loading.at(f"{m0} lb", f"{x0!r} in"), named, towards, f"{most!r} lb")
        assert si(found.loading.arm) / 0.0254 == pytest.approx(sign * solved.fun, rel=1e-8)


def test_the_worst_loading_bears_the_uncertainty_of_its_arms() -> None:
    """By hand: (800 · 100 + 200 · 80) / 1000 = 96 in; the arm's ± 0.5 in counts with 200/1000, that of the empty
    aircraft's arm with 800/1000, its ± 2 lb with (100 - 96)/1000 in/lb; together the root of the sum of squares."""
    empty = Loading.at("800 ± 2 lb", "100 ± 0.2 in")
    found = worst_loading(empty, [load("pilot", "150 lb", "200 lb", "80 ± 0.5 in")], "forward").loading.arm
    assert float(found.si) / 0.0254 == pytest.approx(96)
    expected = math.hypot(0.5 * 0.2, 0.2 * 0.8, 2 * 4 / 1000)
    assert float(found.expanded_si) / 0.0254 == pytest.approx(expected, rel=1e-6)


def test_left_is_the_mirror_of_right() -> None:
    def craft(sign: int) -> tuple[Loading, list[object]]:
        return Loading.at("800 lb", "100 in", f"{0.3 * sign} in"), [
            load("pilot", "120 lb", "240 lb", "80 in", f"{sign * 12} in"),
            load("passenger", "90 lb", "240 lb", "80 in", f"{sign * -12} in", or_none=True),
            load("fuel", "5 lb", "110 lb", "104 in", f"{sign * -6} in"),
        ]

    (here, loads), (there, mirrored) = craft(1), craft(-1)
    one = worst_loading(here, loads, "right", "1310 lb")  # type: ignore[arg-type]
    other = worst_loading(there, mirrored, "left", "1310 lb")  # type: ignore[arg-type]
    assert si(one.loading.lateral_arm) == pytest.approx(-si(other.loading.lateral_arm))
    assert {thing.name: round(si(thing.mass) / 0.45359237) for thing in one.aboard} == {"pilot": 240, "fuel": 5}
    # (240 + 2880 - 30) / 1045
    assert si(one.loading.lateral_arm) / 0.0254 == pytest.approx((0.3 * 800 + 240 * 12 - 5 * 6) / 1045)


def test_a_million_combinations_are_not_tried_one_by_one() -> None:
    draw = random.Random(1)
    ways = [(draw.uniform(5, 60), draw.uniform(20, 180)) for _ in range(20)]
    named = [load_of(f"{i}", [("0 lb", "0 in"), (f"{m!r} lb", f"{x!r} in")]) for i, (m, x) in enumerate(ways)]
    found = worst_loading(Loading.at("800 lb", "100 in"), named, "forward", "1150 lb")
    picks = np.arange(2**20)
    mass, moment = np.full(2**20, 800.0), np.full(2**20, 80000.0)
    for i, (m, x) in enumerate(ways):
        aboard = (picks >> i) & 1
        mass += aboard * m
        moment += aboard * m * x
    best = (moment / mass)[mass <= 1150].min()
    assert si(found.loading.arm) / 0.0254 == pytest.approx(best, rel=1e-10)
    assert found.looked_at < 200


def test_what_cannot_be_loaded_is_refused() -> None:
    with pytest.raises(QuantityError, match="lightest"):
        worst_loading(Loading.at("800 lb", "100 in"), [load("pilot", "170 lb", "200 lb", "80 in")], "aft", "900 lb")
    with pytest.raises(QuantityError, match="towards"):
        worst_loading(Loading.at("800 lb", "100 in"), [], "up")
    with pytest.raises(QuantityError, match="least"):
        load("pilot", "200 lb", "170 lb", "80 in")
    with pytest.raises(QuantityError, match="above zero"):
        loading([("nothing", "0 lb", "1 in")])
    with pytest.raises(QuantityError, match="item"):
        loading(["170 lb"])


def test_an_origin_in_mass_and_arm_counts_once() -> None:
    load_known = Loading.at("1000 ± 10 lb", "100 ± 1 in")
    assert float(load_known.arm.expanded_si) == pytest.approx(0.0254)
    assert measured("1 in", Length, "x").components == {}
