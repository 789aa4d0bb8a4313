"""Weighing and loading: worked examples of handbooks, an advisory circular and a flight manual, each with its word."""

from rotorkit.mass import (
    Loading,
    ballast_mass,
    centre_of_gravity,
    centre_of_gravity_after_change,
    centre_of_gravity_change_by_shift,
    load,
    loading,
    minimum_fuel_for_forward_check,
    weigh_in,
    worst_loading,
)
from rotorkit.quantities import assert_quantity
from tests.reference_table import row, rows

COVERED = {
    "weighing_examples.csv": {
        "forward loading check",
        "minimum fuel for a forward check",
        "helicopter loading, persons aboard",
        "three-point helicopter weighing",
        "nosewheel weighing",
        "helicopter longitudinal and lateral",
        "ballast",
    },
    "weighing_more.csv": {"WB1", "WB2", "WB4", "WB6"},
}
NOT_COMPUTED = {"WB7"}  # where a datum usually lies: nothing to compute


def test_every_row_is_here_or_named() -> None:
    assert {r["case"] for r in rows("weighing_examples.csv")} == COVERED["weighing_examples.csv"]
    assert {r["id"] for r in rows("weighing_more.csv")} == COVERED["weighing_more.csv"] | NOT_COMPUTED


def test_forward_check_with_minimum_fuel() -> None:
    # AC 43.13-1B, fig. 10-10: read. 1439 lb, 16104 lb in, 11.2 in.
    expected = row("weighing_examples.csv", "case", "forward loading check")
    assert expected["recomputed"] == "11.1911"
    empty = Loading.at("1169 lb", "10.6 in")
    whole = empty.added(("oil", "17 lb", "-49 in"), ("pilot", "170 lb", "16 in"), ("fuel", "83 lb", "22 in"))
    assert_quantity(whole.mass, "1439 lb")
    assert_quantity(whole.moment, "16104 lb*in")
    assert_quantity(whole.arm, "11.2 in")
    # recomputed there from the moment as printed, in whole lb in
    assert_quantity(centre_of_gravity("16104 lb*in", "1439 lb"), "11.1911 in")
    # the search finds that loading by itself: the fuel, aft of the centre, at its least
    oil = empty.added(("oil", "17 lb", "-49 in"))
    found = worst_loading(oil, [load("fuel", "83 lb", "240 lb", "22 in"), load("pilot", "170 lb", "170 lb", "16 in")])
    assert_quantity(found.loading.arm, "11.2 in")
    assert float(found.loading.arm.si) == float(whole.arm.si)


def test_minimum_fuel_is_half_a_pound_a_horsepower() -> None:
    # AC 43.13-1B, chapter 10: read. 165 hp: 82.5, printed as 83 lb.
    assert_quantity(minimum_fuel_for_forward_check("165 hp"), "82.5 lb")
    assert_quantity(minimum_fuel_for_forward_check("165 hp"), "83 lb", within="0.51 lb")


def test_helicopter_with_and_without_fuel() -> None:
    # a certified light helicopter's flight manual, loading example 1: read
    whole = loading([("empty", "3272.8 lb", "210.420741 in")])
    assert_quantity(centre_of_gravity("688665 lb*in", "3272.8 lb"), "210.420741 in")
    for arm in ("130.70 in", "173.0 in", "213.0 in"):
        whole = whole.added(*((f"person {i}", "170 lb", arm) for i in range(2)))
    assert_quantity(whole.mass, "4292.8 lb")
    assert_quantity(whole.moment, "864343 lb*in")
    assert_quantity(whole.arm, "201.3471 in")
    fuelled = whole.added(("fuel", "994 lb", "191.1 in"))
    assert_quantity(fuelled.mass, "5286.8 lb")
    # 864343 + 189953.4 = 1054296.4
    assert_quantity(fuelled.moment, "1054296 lb*in")
    assert_quantity(fuelled.arm, "199.4205 in")


def test_three_point_weighing_of_a_helicopter() -> None:
    # a pilot examination question; answer computed. The datum lies 3.40 m forward of the rotor axis.
    done = weigh_in(
        [("nose", "220 kg", "1.40 m"), ("left", "500 kg", "3.90 m"), ("right", "480 kg", "3.90 m")],
    )
    assert_quantity(done.empty.mass, "1200 kg")
    assert_quantity(done.empty.arm, "3.4417 m")


def test_nosewheel_weighing() -> None:
    # FAA-H-8083-1, chapter 3: memory (high). 114.8 in.
    done = weigh_in([("nose", "340 lb", "50 in"), ("mains", "1666 lb", "128 in")])
    assert_quantity(done.empty.arm, "114.8 in")
    assert_quantity(done.empty.arm, "114.7797 in")


def test_helicopter_both_ways() -> None:
    # FAA-H-8083-1, helicopter chapter: memory (medium; the sums close)
    whole = loading(
        [
            ("empty", "1545 lb", "101.4 in", "0.2 in"),
            ("pilot", "170 lb", "64 in", "13.5 in"),
            ("passenger", "250 lb", "64 in", "-13.5 in"),
            ("fuel", "288 lb", "96 in", "-8.4 in"),
        ]
    )
    assert_quantity(whole.mass, "2253 lb")
    assert_quantity(whole.moment, "211191 lb*in")
    assert_quantity(whole.lateral_moment, "-3190 lb*in", within="0.51 lb*in")
    assert_quantity(whole.arm, "93.7377 in")
    assert_quantity(whole.lateral_arm, "-1.4160 in")


def test_the_training_notes_ballast_is_the_handbooks() -> None:
    # mechanics' training notes: read. W (wanted - CG) / (ballast arm - wanted): 100 (2 - 1) / (12 - 2) = 10
    assert_quantity(ballast_mass("100 lb", "1 in", "2 in", "12 in"), "10.0 lb")


def test_light_twin() -> None:
    # FAA-H-8083-1B, figs 6-1 to 6-4: quoted (WB1)
    assert row("weighing_more.csv", "id", "WB1")["recomputed"] == "5064; 215093; 42.4749"
    whole = loading(
        [
            (str(i), f"{mass} lb", f"{arm} in")
            for i, (mass, arm) in enumerate([(3404, 35.28), (840, 61), (320, 37), (310, 75), (100, -15), (90, 113)])
        ]
    )
    assert_quantity(whole.mass, "5064 lb")
    assert_quantity(whole.moment, "215093 lb*in")
    assert_quantity(whole.arm, "42.47 in")
    assert_quantity(whole.arm, "42.4749 in")


def test_empty_weight_centre_of_gravity() -> None:
    # FAA-H-8083-1B, fig. 3-5: quoted (WB2)
    assert_quantity(centre_of_gravity("65756 lb*in", "2006 lb"), "32.8 in")
    assert_quantity(centre_of_gravity("65756 lb*in", "2006 lb"), "32.7797 in")


def test_shifting_weight() -> None:
    # FAA-H-8083-1B, p. 10-6: quoted (WB4). 1.36 in forward; aft is positive here.
    assert_quantity(centre_of_gravity_change_by_shift("50 lb", "246 in", "118 in", "4709 lb"), "-1.3591 in")
    before = Loading.at("4709 lb", "120 in")
    assert_quantity((before.shifted("50 lb", "246 in", "118 in").arm - before.arm), "-1.36 in")


def test_ballast() -> None:
    # FAA-H-8083-1B, p. 10-7: quoted (WB6). 7.7 lb.
    needed = ballast_mass("1876 lb", "32.2 in", "33 in", "228 in")
    assert_quantity(needed, "7.69641 lb")
    assert_quantity(needed, "7.7 lb")
    assert_quantity(centre_of_gravity_after_change("1876 lb", "32.2 in", "7.69641 lb", "228 in"), "33.0000 in")
