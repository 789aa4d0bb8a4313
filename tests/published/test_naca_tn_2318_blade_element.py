"""NACA TN 2318 (Harrington, 1951): a full-scale rotor's torque at its thrust against the blade-element hover.

Known: read by eye from the figures (CT within 3e-5, CQ within 3e-6); the taper is quoted from a secondary transcription
of fig. 1. No blade angles are given. Errors are reported as found: with the smooth section's drag nothing is fitted;
with the drag of the rotor's own torque without thrust one figure is.
"""

import numpy as np
import pytest

from rotorkit.rotor.blade_element.comparison import NOTHING, Taken, compare

FOUND = compare("NACA TN 2318")
ADJUSTED = compare("NACA TN 2318", adjusted=True)


def test_the_smooth_section_is_too_good() -> None:
    """With the drag of a smooth section, nothing adjusted, torque is low everywhere: these blades were not smooth."""
    assert FOUND.adjusted_to == NOTHING
    assert FOUND.section.drag == (0.0087, -0.0216, 0.4)
    errors = [point.at_thrust_error for point in FOUND.points]
    assert len(errors) == 19
    assert all(error is not None for error in errors)
    assert FOUND.worst("at_thrust_error", counted=True) == pytest.approx((-24.1, -11.3), abs=0.2)
    assert FOUND.worst("at_thrust_error") == pytest.approx((-27.7, -11.3), abs=0.2)


def test_with_the_rotors_own_torque_without_thrust() -> None:
    assert ADJUSTED.adjusted_to == "NACA TN 2318, this rotor's torque without thrust"
    assert ADJUSTED.section.drag[0] == pytest.approx(0.0124, abs=5e-5)
    errors = [point.at_thrust_error or 0 for point in ADJUSTED.points if point.counted]
    assert len(errors) == 17
    assert (min(errors), max(errors)) == pytest.approx((-6.2, 13.1), abs=0.2)
    assert sum(errors) / len(errors) == pytest.approx(1.3, abs=0.2)


def test_the_drag_it_stands_for_by_hand() -> None:
    """Without thrust CQ = half the sum of solidity times drag times r^3: chord by the taper, 0.0000389 measured."""
    r = np.linspace(0.15, 1, 4001)
    relative = np.interp(r, [0.15, 1], [2.92, 1])
    solidity = 0.027 * relative / np.interp(0.75, r, relative)
    assert 0.0000389 / float(np.trapezoid(solidity * r**3 / 2, r)) == pytest.approx(0.0124, abs=5e-5)
    # and the solidity of thrust, three times the integral of that times r^2, is the report's within 1 %
    assert 3 * float(np.trapezoid(solidity * r**2, r)) == pytest.approx(0.027, rel=0.01)


def test_taken_as_rectangular_it_would_seem_nearer() -> None:
    def mean(taken: Taken) -> float:
        errors = [p.at_thrust_error or 0 for p in compare("NACA TN 2318", taken=taken).points if p.counted]
        return sum(errors) / len(errors)

    assert mean(Taken(tapered=False)) - mean(Taken()) == pytest.approx(5.1, abs=0.3)
