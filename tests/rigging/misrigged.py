"""Rotors of random make, rigged right and then put out of rig by random whole flats, with readings of them.

The rotor is simulated exactly (arcsines, not a straight line), so that what is worked out with straight lines is tested
against what would really come of it.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import measured
from rotorkit.quantities import Angle
from rotorkit.rigging import (
    Adjuster,
    BladePlace,
    PitchLink,
    Station,
    cyclic_rod,
    difference_stations,
    pitch_link_adjuster,
    rod_for_all_blades,
)

POSITIONS = {"low stop": None, "high stop": None, "forward": 270.0, "aft": 90.0, "left": 0.0, "right": 180.0}
MIDDLE = {"low stop": 2.0, "high stop": 14.0, "forward": 14.0, "aft": 3.0, "left": 12.0, "right": 4.0}
HALF_WIDTH, SPREAD, UNCERTAINTY = 0.5, 0.4, 0.1
"""Degrees: of the limits of each angle, of the blade-to-blade limit, and of a reading (expanded)."""


@dataclass
class Rotor:
    """One rotor. faults: what no adjuster takes away, degrees by (blade, position)."""

    blades: list[str]
    link: PitchLink
    rod_angles: dict[str, float]
    faults: dict[tuple[str, str], float]
    out_of_rig: dict[str, int] = field(default_factory=dict)

    def angle(self, blade: str, position: str, flats: dict[str, int]) -> float:
        """The true blade angle, degrees, with so many flats turned since it was right."""
        total = {name: self.out_of_rig.get(name, 0) + flats.get(name, 0) for name in self.out_of_rig}
        middle = MIDDLE[position]
        azimuth = POSITIONS[position]
        away = np.radians(middle - 8.0)
        rise = total[f"{blade} pitch link"] * self.link.length_per_flat.m_as("m") / self.link._arm_si()
        found = middle + np.degrees(np.arcsin(np.sin(away) + rise) - away) + self.faults[blade, position]
        found += total["collective rod"] * self.rod_angles["collective rod"] / 6
        if position in ("low stop", "high stop"):
            name = f"{position} screw"
            found += total[name] * self.rod_angles[name] / 6
        if azimuth is not None:
            for name, top in (("fore-and-aft rod", 270.0), ("left-and-right rod", 0.0)):
                found += total[name] * self.rod_angles[name] / 6 * np.cos(np.radians(azimuth - top))
        return float(found)

    def names(self) -> list[str]:
        return [*(f"{blade} pitch link" for blade in self.blades), *self.rod_angles]


def random_rotor(chance: np.random.Generator, fault: float = 0.05, most_out: int = 8) -> Rotor:
    """A rotor of two to four blades, out of rig by up to `most_out` flats at every adjuster."""
    blades = ["white", "red", "blue", "green"][: int(chance.integers(2, 5))]
    arm, upper = chance.uniform(4.5, 8.0), str(chance.choice(["1/4-28", "3/8-24", "5/16-24"]))
    link = PitchLink(f"{arm:.3f} in", upper, f"{upper} left hand", 6, "raises the blade angle", "8 deg")
    rods = {
        "collective rod": chance.uniform(0.5, 1.2),
        "low stop screw": chance.uniform(0.4, 0.9),
        "high stop screw": -chance.uniform(0.4, 0.9),
        "fore-and-aft rod": chance.uniform(0.6, 1.5),
        "left-and-right rod": chance.uniform(0.6, 1.5),
    }
    faults = {(blade, position): chance.uniform(-fault, fault) for blade in blades for position in POSITIONS}
    rotor = Rotor(blades, link, rods, faults)
    rotor.out_of_rig = {name: int(chance.integers(-most_out, most_out + 1)) for name in rotor.names()}
    return rotor


def places_of(rotor: Rotor) -> list[BladePlace]:
    return [
        BladePlace(
            f"{blade}, {position}",
            blade,
            position,
            None if azimuth is None else f"{azimuth} deg",
            f"{MIDDLE[position]} deg",
        )
        for position, azimuth in POSITIONS.items()
        for blade in rotor.blades
    ]


def stations_of(rotor: Rotor, chance: np.random.Generator, noise: float = 0.05) -> list[Station]:
    """Readings with an error of up to `noise` degrees, against limits; and the differences between the blades."""
    found: list[Station] = []
    for position, middle in MIDDLE.items():
        row = []
        for blade in rotor.blades:
            read = rotor.angle(blade, position, {}) + chance.uniform(-noise, noise)
            name = f"{blade}, {position}"
            limit = Limit(name, Angle, f"{middle - HALF_WIDTH} deg", f"{middle + HALF_WIDTH} deg", "manual", "deg")
            row.append(Station(name, measured(f"{read:.6f} deg", Angle, name, f"{UNCERTAINTY} deg"), limit))
        found += [*row, *difference_stations(row, f"{SPREAD} deg", "manual", position)]
    return found


def adjusters_of(rotor: Rotor, most: int = 24) -> list[Adjuster]:
    places = places_of(rotor)
    rods = rotor.rod_angles
    return [
        *(pitch_link_adjuster(blade, rotor.link, places, -most, most) for blade in rotor.blades),
        rod_for_all_blades("collective rod", f"{rods['collective rod']} deg", places, -most, most),
        *(
            rod_for_all_blades(f"{stop} screw", f"{rods[f'{stop} screw']} deg", places, -most, most, positions=[stop])
            for stop in ("low stop", "high stop")
        ),
        cyclic_rod("fore-and-aft rod", f"{rods['fore-and-aft rod']} deg", "270 deg", places, -most, most),
        cyclic_rod("left-and-right rod", f"{rods['left-and-right rod']} deg", "0 deg", places, -most, most),
    ]


def truly_in_limits(rotor: Rotor, flats: dict[str, int]) -> bool:
    """Whether every true angle, and every true difference of blades, is in limits after turning."""
    for position, middle in MIDDLE.items():
        angles = [rotor.angle(blade, position, flats) for blade in rotor.blades]
        if max(abs(a - middle) for a in angles) > HALF_WIDTH or max(angles) - min(angles) > SPREAD:
            return False
    return True
