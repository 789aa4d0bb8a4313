"""What a flat moves where: the adjusters against the simulated rotor, and the aircraft file's own."""

import numpy as np
import pytest

from rotorkit.aircraft import demo_folder, load_aircraft
from rotorkit.judging.measured import measured
from rotorkit.quantities import Angle, QuantityError, assert_quantity
from rotorkit.rigging import BladePlace, PitchLink, cyclic_rod, pitch_link_adjuster, rod_for_all_blades
from tests.rigging.misrigged import adjusters_of, places_of, random_rotor

LINK = PitchLink("6.5 in", "1/4-28", "1/4-28 left hand", 6, "raises the blade angle", "8 deg")


def test_effects_are_the_slopes_of_the_simulated_rotor() -> None:
    chance = np.random.default_rng(3)
    for _ in range(5):
        rotor = random_rotor(chance)
        rotor.out_of_rig = dict.fromkeys(rotor.out_of_rig, 0)
        for adjuster in adjusters_of(rotor):
            for place in places_of(rotor):
                turned = rotor.angle(place.blade, place.position, {adjuster.name: 1})
                moved = turned - rotor.angle(place.blade, place.position, {})
                told = adjuster.effects.get(place.station)
                assert moved == pytest.approx(0.0 if told is None else told.m_as("deg"), abs=2e-4)


def test_a_link_moves_its_own_blade_and_no_cyclic_range() -> None:
    places = [
        BladePlace("white, low", "white", "low stop", None, "2 deg"),
        BladePlace("red, low", "red", "low stop"),
        BladePlace("range forward", "white", "forward", "270 deg", None, cyclic=True),
    ]
    assert list(pitch_link_adjuster("white", LINK, places, -6, 6).effects) == ["white, low"]
    assert list(rod_for_all_blades("rod", "1 deg", places, -6, 6).effects) == ["white, low", "red, low"]
    (effect,) = cyclic_rod("rod", "1.2 deg", "270 deg", places, -6, 6).effects.values()
    assert_quantity(effect, "0.2 deg", within="1e-9 deg")
    with pytest.raises(QuantityError, match="is read nowhere"):
        pitch_link_adjuster("blue", LINK, places, -6, 6)
    with pytest.raises(QuantityError, match="where nothing is read"):
        rod_for_all_blades("stop", "1 deg", places, -6, 6, positions=["high stop"])


def test_a_measured_effect_keeps_its_uncertainty() -> None:
    places = [BladePlace("white, low", "white", "low stop")]
    rod = rod_for_all_blades("rod", measured("0.9 deg", Angle, "one turn", "0.06 deg"), places, -6, 6)
    assert np.degrees(rod.effects["white, low"].expanded_si) == pytest.approx(0.01)


def test_the_aircraft_file_makes_its_own_adjusters() -> None:
    rotor = load_aircraft(demo_folder()).main_rotor
    assert rotor.pitch_links is not None
    places = [
        BladePlace(f"{blade}, {stop}", blade, stop, None, "2 deg")
        for blade in rotor.blades
        for stop in ("low stop", "high stop")
    ]
    link = rotor.pitch_links.adjuster("white", places, ("0.50 in", "0.45 in"))
    # 1/168 in a flat at each end: (0.45 - 3/8) in allow 12 flats longer, (0.70 - 0.50) in allow 33 shorter
    assert (link.least, link.most, link.name) == (-33, 12, "white pitch link")
    assert rotor.pitch_links.adjuster("white", places).most == 12
    made = {key: rod.adjuster(places) for key, rod in rotor.rods.items()}
    assert made["fore_and_aft"] is None
    assert len(made["collective"].effects) == 4
    assert len(made["low_stop"].effects) == 2
    assert made["high_stop"].instruction(3) == "High collective stop: 3 flats out (1/2 turn)"
    assert [effect.magnitude < 0 for effect in made["high_stop"].effects.values()] == [True, True]
    assert rotor.rods["high_stop"].adjuster(places[:1]) is None
