"""What to turn: random mis-rigged rotors brought within limits; and in words, why where it cannot be."""

import numpy as np
import pytest
from scipy.optimize import linprog

from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import measured
from rotorkit.quantities import Angle, Force, QuantityError, assert_quantity
from rotorkit.rigging import (
    Adjuster,
    Station,
    combined_station,
    difference_stations,
    effect_per_flat,
    what_to_turn,
)
from tests.rigging.misrigged import adjusters_of, random_rotor, stations_of, truly_in_limits


def station(name: str, reading: str, low: str | None, high: str | None, uncertainty: str = "0.1 deg") -> Station:
    limit = Limit(name, Angle, low, high, "manual 7-3", "deg")
    return Station(name, measured(reading, Angle, name, uncertainty), limit)


def link(name: str, effects: dict[str, str], bounds: int = 24) -> Adjuster:
    return Adjuster(f"{name} link", effects, -bounds, bounds)


def test_mis_rigged_rotors_come_truly_into_limits() -> None:
    chance = np.random.default_rng(7)
    for _ in range(40):
        rotor = random_rotor(chance)
        stations, adjusters = stations_of(rotor, chance), adjusters_of(rotor)
        found = what_to_turn(stations, adjusters)
        assert found.met, found.sentence
        assert found.proven
        assert not found.hindrances
        assert truly_in_limits(rotor, dict(found.flats))
        # Turning nothing back would be as good a margin at least: the way it was out of rig is one of the settings.
        undone = {name: -n for name, n in rotor.out_of_rig.items()}
        assert truly_in_limits(rotor, undone)
        assert all(outcome.after.word == "in limits" for outcome in found.stations)


def test_fewest_flats_turns_no_more_than_the_best_margin_does() -> None:
    chance = np.random.default_rng(11)
    for _ in range(10):
        rotor = random_rotor(chance)
        stations, adjusters = stations_of(rotor, chance), adjusters_of(rotor)
        best, fewest = what_to_turn(stations, adjusters), what_to_turn(stations, adjusters, aim="fewest flats")
        assert fewest.met
        assert fewest.aim == "fewest flats"
        assert fewest.flats_turned <= best.flats_turned
        assert fewest.worst_margin <= best.worst_margin + 1e-6
        assert truly_in_limits(rotor, dict(fewest.flats))


def test_a_rotor_that_no_turning_can_put_right_is_told_so() -> None:
    chance = np.random.default_rng(13)
    told = 0
    for _ in range(15):
        rotor = random_rotor(chance, fault=0.6)
        stations, adjusters = stations_of(rotor, chance), adjusters_of(rotor)
        found = what_to_turn(stations, adjusters)
        # A second opinion: is there a setting, of parts of flats even, within limits less uncertainty?
        rows, room = [], []
        for outcome in found.stations:
            one = outcome.station
            effect = [_effect(a, one) for a in adjusters]
            low, high = one.limit.low_si, one.limit.high_si
            spare = float(one.reading.expanded_si)
            rows += [effect, [-e for e in effect]]
            room += [high - spare - float(one.reading.si), float(one.reading.si) - low - spare]
        feasible = (
            linprog(np.zeros(len(adjusters)), A_ub=rows, b_ub=room, bounds=[(-24, 24)] * len(adjusters)).status == 0
        )
        if not feasible:
            told += 1
            assert not found.met
            assert found.hindrances
            assert any(outcome.name in sentence for sentence in found.hindrances for outcome in found.stations)
    assert told > 5


def _effect(adjuster: Adjuster, one: Station) -> float:
    parts = one.parts or {one.name: 1.0}
    return sum(
        w * (adjuster.effects[name].m_as("rad") if name in adjuster.effects else 0.0) for name, w in parts.items()
    )


def test_what_is_in_limits_and_in_the_middle_is_left_alone() -> None:
    found = what_to_turn([station("white", "2.0 deg", "1.5 deg", "2.5 deg")], [link("white", {"white": "0.1 deg"})])
    assert found.flats == {"white link": 0}
    assert found.instructions == ("white link: leave as it is",)
    assert found.sentence == "Every station is in limits: nothing needs to be turned."


def test_signs_and_words() -> None:
    found = what_to_turn([station("white", "3.05 deg", "1.5 deg", "2.5 deg")], [link("white", {"white": "-0.1 deg"})])
    # A link whose lengthening lowers the angle must be lengthened.
    assert found.flats["white link"] in (10, 11)
    assert "longer" in found.instructions[0]
    assert found.sentence == f"{found.flats['white link']} flats in all bring every station into limits."
    assert_quantity(found.stations[0].after.measured, "2.0 deg", within="0.051 deg")


def test_conflicting_stations_are_named() -> None:
    # One link, two positions whose readings differ by more than their limits allow.
    stations = [
        station("low stop", "2.0 deg", "1.5 deg", "2.5 deg"),
        station("high stop", "16.0 deg", "13.5 deg", "14.5 deg"),
    ]
    found = what_to_turn(stations, [link("white", {"low stop": "0.1 deg", "high stop": "0.1 deg"})])
    assert not found.met
    (sentence,) = found.hindrances
    assert "low stop and high stop" in sentence
    assert "harms the other" in sentence
    # The best that can be had shares the fault between them.
    assert found.stations[0].margin_after == pytest.approx(found.stations[1].margin_after, abs=0.11)


def test_thread_engagement_is_named() -> None:
    found = what_to_turn(
        [station("white", "5.0 deg", "1.5 deg", "2.5 deg")], [link("white", {"white": "0.1 deg"}, bounds=12)]
    )
    assert found.flats == {"white link": -12}
    assert "Thread engagement" in found.hindrances[0]
    assert "white link (shorter)" in found.hindrances[0]


def test_flats_that_are_too_coarse_are_named() -> None:
    stations = [
        station("white", "2.0 deg", "1.95 deg", "2.15 deg", "0.02 deg"),
        station("x", "5 deg", "4.4 deg", "4.6 deg", "0.02 deg"),
    ]
    found = what_to_turn(
        stations, [link("white", {"white": "0.33 deg", "x": "0.001 deg"}), link("x", {"x": "0.3 deg"})]
    )
    assert not found.met
    assert any("too coarse" in sentence for sentence in found.hindrances)


def test_a_station_that_nothing_moves_is_named_and_does_not_spoil_the_rest() -> None:
    stations = [station("white", "3.0 deg", "1.5 deg", "2.5 deg"), station("neutral", "9.0 deg", "6 deg", "8 deg")]
    found = what_to_turn(stations, [link("white", {"white": "0.1 deg"})])
    assert found.flats == {"white link": -10}
    assert found.worst_margin == pytest.approx(0.8)
    assert found.hindrances == ("Nothing that is listed moves neutral, which is out of limits.",)
    assert not found.stations[1].moved


def test_an_uncertainty_wider_than_the_limit_is_named() -> None:
    found = what_to_turn(
        [station("white", "2.2 deg", "1.5 deg", "2.5 deg", "0.6 deg")], [link("white", {"white": "0.1 deg"})]
    )
    assert found.flats == {"white link": -2}
    assert "narrower than its reading is known" in found.hindrances[0]


def test_an_effect_that_is_badly_known_is_named() -> None:
    effect = effect_per_flat(
        measured("8.0 deg", Angle, "before", "0.1 deg"), measured("8.1 deg", Angle, "after", "0.1 deg"), 1
    )
    found = what_to_turn(
        [station("white", "3.2 deg", "1.5 deg", "2.5 deg")], [Adjuster("white link", {"white": effect}, -24, 24)]
    )
    assert found.flats == {"white link": -12}
    assert not found.met
    assert "effect of a flat" in found.hindrances[0]


def test_travel_and_difference_follow_from_their_parts() -> None:
    low, high = station("low", "2.0 deg", "1 deg", "3 deg"), station("high", "14.0 deg", "13 deg", "15 deg")
    travel = combined_station(
        "travel", [(1, high), (-1, low)], Limit("travel", Angle, "11.5 deg", "11.9 deg", "m", "deg")
    )
    found = what_to_turn(
        [low, high, travel], [link("stop", {"low": "0.1 deg"}), link("all", {"low": "0.1 deg", "high": "0.1 deg"})]
    )
    # 3 flats of the stop make the travel 11.7; the rod then takes half of it back.
    assert found.flats["stop link"] == 3
    assert_quantity(found.stations[2].after.measured, "11.7 deg", within="1e-9 deg")
    pair = difference_stations([low, high], "0.3 deg", "manual")
    assert [p.name for p in pair] == ["low less high"]
    assert_quantity(pair[0].reading, "-12 deg", within="1e-9 deg")
    # A travel of a difference: parts of parts.
    again = combined_station("twice", [(2, travel)], travel.limit)
    assert again.parts == {"high": 2.0, "low": -2.0}


def test_what_stations_share_cancels_in_their_difference() -> None:
    limit = Limit("angle", Angle, "1 deg", "3 deg", "manual")
    rows = [
        Station(name, measured("2 deg", Angle, name, "0.05 deg", {"protractor": "0.4 deg"}), limit)
        for name in ("white", "red")
    ]
    (pair,) = difference_stations(rows, "0.3 deg", "manual")
    assert np.degrees(pair.reading.expanded_si) == pytest.approx(0.05 * np.sqrt(2))


def test_one_sided_limits() -> None:
    one = station("white", "2.0 deg", None, "1.0 deg")
    with pytest.raises(QuantityError, match="one side only"):
        what_to_turn([one], [link("white", {"white": "0.1 deg"})])
    scaled = Station(one.name, one.reading, one.limit, scale="0.5 deg")
    found = what_to_turn([scaled], [link("white", {"white": "0.1 deg"})])
    # Half a degree (and the reading's uncertainty) inside is as good as one needs: no more is turned than that takes.
    assert found.flats == {"white link": -16}
    assert found.met


def test_stations_may_be_of_different_kinds() -> None:
    tension = Station(
        "tension", measured("40 lbf", Force, "gauge", "1 lbf"), Limit("tension", Force, "45 lbf", "50 lbf", "m")
    )
    angle = station("white", "3 deg", "1.5 deg", "2.5 deg")
    found = what_to_turn([tension, angle], [link("x", {"tension": "2 lbf", "white": "-0.25 deg"})])
    assert found.flats == {"x link": 4}
    assert found.met


def test_refusals() -> None:
    one = station("white", "2 deg", "1.5 deg", "2.5 deg")
    good = link("white", {"white": "0.1 deg"})
    with pytest.raises(QuantityError, match="stands there twice"):
        what_to_turn([one, one], [good])
    with pytest.raises(QuantityError, match="which is no station"):
        what_to_turn([one], [link("white", {"wite": "0.1 deg"})])
    with pytest.raises(QuantityError, match="effect of one flat of white link on white"):
        what_to_turn([one], [link("white", {"white": "0.1 lbf"})])
    with pytest.raises(QuantityError, match="aim"):
        what_to_turn([one], [good], aim="speed")
    with pytest.raises(QuantityError, match="needs at least one"):
        what_to_turn([], [good])
    with pytest.raises(QuantityError, match="needs a limit"):
        what_to_turn([Station("w", one.reading, Limit("w", Angle))], [])
    with pytest.raises(QuantityError, match="no width"):
        what_to_turn([station("w", "2 deg", "2 deg", "2 deg")], [])
    with pytest.raises(QuantityError, match="least <= 0 <= most"):
        Adjuster("x", {}, 1, 5)
    with pytest.raises(QuantityError, match="whole number of flats"):
        Adjuster("x", {}, -1, 2.5)  # type: ignore[arg-type]
    with pytest.raises(QuantityError, match="other than zero"):
        effect_per_flat(one.reading, one.reading, 0)


def test_nothing_to_turn_at_all() -> None:
    found = what_to_turn([station("white", "2.4 deg", "1.5 deg", "2.5 deg", "0.05 deg")], [])
    assert found.met
    assert found.flats == {}


@pytest.mark.parametrize(
    ("flats", "per_turn", "said"),
    [(1, 6, "1 flat longer (1/6 turn)"), (-6, 6, "6 flats shorter (1 turn)"), (12, 6, "12 flats longer (2 turns)"),
     (3, 2, "3 flats longer (1 1/2 turns)"), (2, 1, "2 flats longer (2 turns)")],
)  # fmt: skip
def test_instructions(flats: int, per_turn: int, said: str) -> None:
    assert Adjuster("link", {}, -20, 20, per_turn).instruction(flats) == f"link: {said}"


@pytest.mark.parametrize("seed", range(12))
def test_few_turned_is_as_good_as_the_best_and_turns_less(seed: int) -> None:
    """On random mis-rigged rotors: the worst margin within a tenth of a half width of the best, with less turned."""
    chance = np.random.default_rng(seed)
    rotor = random_rotor(chance)
    stations, adjusters = stations_of(rotor, chance), adjusters_of(rotor)
    best = what_to_turn(stations, adjusters)
    few = what_to_turn(stations, adjusters, as_good=0.1)
    assert best.worst_margin - 0.1 - 1e-4 <= few.worst_margin <= best.worst_margin + 1e-4
    assert few.met == best.met
    things = [sum(n != 0 for n in answer.flats.values()) for answer in (few, best)]
    assert things[0] <= things[1]
    assert truly_in_limits(rotor, dict(few.flats)) or not truly_in_limits(rotor, dict(best.flats))
