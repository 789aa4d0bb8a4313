"""A thousand mis-rigged rotors of two to four blades: each brought within limits by whole flats, and the time it takes.

Figures of one run stand in DEVELOPERS.md.
"""

from __future__ import annotations

import statistics
import time

import numpy as np

from rotorkit.rigging import what_to_turn
from tests.benchmarks.telling import tell, time_of
from tests.rigging.misrigged import adjusters_of, random_rotor, stations_of, truly_in_limits

ROTORS = 1000


def test_a_thousand_rotors() -> None:
    chance = np.random.default_rng(2026)
    times, met, true, proven, flats = [], 0, 0, 0, []
    for _ in range(ROTORS):
        rotor = random_rotor(chance)
        stations, adjusters = stations_of(rotor, chance), adjusters_of(rotor)
        start = time.process_time()
        found = what_to_turn(stations, adjusters)
        times.append(time.process_time() - start)
        met += found.met
        proven += found.proven
        true += truly_in_limits(rotor, dict(found.flats))
        flats.append(found.flats_turned)
    times.sort()
    tell(
        f"what to turn on {ROTORS:,} mis-rigged rotors, 7 to 9 adjusters, 18 to 60 stations (processor): {met} in "
        f"limits as predicted, {true} in truth, {proven} proven best, {statistics.mean(flats):.0f} flats on average",
        f"median {time_of(statistics.median(times))}, 99 % {time_of(times[int(0.99 * ROTORS)])}, "
        f"worst {time_of(times[-1])}",
    )
    assert (met, true, proven) == (ROTORS, ROTORS, ROTORS)
