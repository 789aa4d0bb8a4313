"""Where a caution or a word of the rotor's physics begins, from both sides; what is carried beside the lift."""

import math

import numpy as np
import pytest

from rotorkit.rotor import (
    LinearSection,
    blade_cautions,
    descent_cautions,
    power_model,
    power_parts,
    working_state,
)


@pytest.mark.parametrize(
    ("mach", "lift", "told"), [(0.80, 1.10, 0), (0.801, 1.10, 2), (0.80, 1.101, 2), (0.801, 1.101, 3)]
)
def test_cautions_of_the_blades_begin_above_their_figure(mach: float, lift: float, told: int) -> None:
    """Mach 0.8 on the advancing tip, lift coefficient 1.1 on the retreating blade (common practice, no source)."""
    assert len(blade_cautions(mach, lift)) == told


@pytest.mark.parametrize(
    ("ratio", "state"),
    [
        (0.001, "climb"), (0.0, "hover"), (-0.249, "slow descent"), (-0.25, "vortex-ring state"),
        (-1.499, "vortex-ring state"), (-1.5, "turbulent-wake state"), (-1.999, "turbulent-wake state"),
        (-2.0, "windmill state"),
    ],
)  # fmt: skip
def test_working_states_from_both_sides(ratio: float, state: str) -> None:
    assert working_state(ratio) == state
    assert bool(descent_cautions(ratio)) is (ratio < 0)


@pytest.mark.parametrize("download", [0.0, 0.04, 0.10])
def test_the_hover_carries_its_own_download(download: float) -> None:
    """The downwash pushes on the airframe in proportion to the thrust: T = W / (1 - d); power by momentum theory."""
    radius, turn, chord_share = 3.3, 49.0, 0.05
    model = power_model("3.3 m", "49 rad/s", "0.05", "1.15", "0.011", "0.6 m^2", "4.2 m", "0.6 m", "294 rad/s", "0.11",
                        "100 %", "0 W", download_ratio=f"{download}")  # fmt: skip
    disk, air = math.pi * radius**2, 1.15
    thrust = 560 * 9.80665 / (1 - download)
    parts = power_parts(model, 560.0, air)
    assert float(parts.induced) == pytest.approx(1.15 * thrust * math.sqrt(thrust / (2 * air * disk)), rel=1e-9)
    assert float(parts.profile) == pytest.approx(air * disk * (turn * radius) ** 3 * chord_share * 0.011 / 8, rel=1e-9)


@pytest.mark.parametrize("zero_lift", [0.0, -4.0, 3.0])
def test_a_section_stalls_by_its_lift_not_by_its_angle(zero_lift: float) -> None:
    """Lift 5.73 per radian from the angle without lift, stalled beyond 1.2: 12.0 degrees either way of it."""
    section = LinearSection(5.73, (0.01, 0.0, 0.4), 1.2, f"{zero_lift} deg").at(np.zeros(1))
    reach = math.degrees(1.2 / 5.73)
    for side in (1, -1):
        for off, stalled in ((-0.01, False), (0.01, True)):
            angle = np.radians([zero_lift + side * (reach + off)])
            assert bool(section.stalled(angle)[0]) is stalled
