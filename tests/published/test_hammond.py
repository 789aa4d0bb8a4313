"""Hammond, An application of Floquet theory to prediction of mechanical instability, 1974: the rotor's data. Known:
quoted (two secondary sources agree; the paper was not seen). The ranges without any damping were computed in two
independent ways elsewhere: about 135 to 184 and 201 to 306 rpm."""

import numpy as np
import pytest

from rotorkit.drive import GroundResonance, ground_resonance
from rotorkit.quantities import QuantityError, RotationRate, from_si, required_kind
from tests.reference_table import FOLDER, rows

DATA = {r["symbol"]: f"{r['value']} {r['unit']}".removesuffix(" -") for r in rows("hammond_1974_ground_resonance.csv")}
RPM = np.pi / 30


def rotor(damped: bool = True, blades: str | None = None) -> GroundResonance:
    none = {} if damped else {"c_zeta": "0 N*m*s/rad", "c_x": "0 N*s/m", "c_y": "0 N*s/m"}
    data = {**DATA, **none}
    order = ("m_b", "S_b", "I_b", "e", "k_zeta", "c_zeta", "m_x", "m_y", "k_x", "k_y", "c_x", "c_y")
    made: GroundResonance = ground_resonance(
        blades or data["N_b"], *(data[name].replace("N s/m", "N*s/m") for name in order)
    )
    return made


def rates(*rpm: float) -> object:
    return from_si(np.array(rpm) * RPM, required_kind(RotationRate))


def test_unstable_ranges_without_damping() -> None:
    head = (FOLDER / "hammond_1974_ground_resonance.csv").read_text()
    assert "135-184 rpm and 201-306 rpm" in head
    ranges = rotor(damped=False).unstable_ranges("60 rpm", "420 rpm", 240)
    found = [(float(one.low.magnitude) / RPM, float(one.high.magnitude) / RPM) for one in ranges]
    assert [(round(low), round(high)) for low, high in found] == [(135, 184), (201, 306)]


def test_damped_rotor_is_stable_and_one_damper_out_is_not() -> None:
    good = rotor()
    assert good.unstable_ranges("60 rpm", "420 rpm", 240) == []
    broken = good.without_damper(1).unstable_ranges("150 rpm", "350 rpm", 25)
    assert broken
    assert all(150 * RPM < float(one.low.magnitude) < 350 * RPM for one in broken)
    assert max(one.growth for one in broken) > 0.01


def test_eigenvalues_and_floquet_say_the_same() -> None:
    # Two ways through the same rotor: the fixed frame's eigenvalues, and multipliers over one turn.
    for one in (rotor(), rotor(damped=False)):
        speeds = rates(120, 160, 250, 300, 380)
        by_frame = one.growth(speeds)
        largest = np.abs(one.multipliers(speeds)).max(axis=-1)
        turning = np.log(largest) * np.array([120, 160, 250, 300, 380]) * RPM / (2 * np.pi)
        assert turning == pytest.approx(by_frame, abs=2e-4)
        # at 3 rpm the hub swings through 58 turns of its own in a turn of the rotor
        slow = np.log(np.abs(one.multipliers(rates(3))).max()) * 3 * RPM / (2 * np.pi)
        assert slow == pytest.approx(one.growth(rates(3))[0], abs=2e-4)
    with pytest.raises(QuantityError, match="too slow"):
        rotor().multipliers(rates(0.1))


def test_growth_by_stepping_through_time() -> None:
    # A third way: the equations of the module's text, one blade at a time, with SciPy's own integrator.
    from scipy.integrate import solve_ivp

    one, speed = rotor(damped=False), 250 * RPM
    n, s = 4, one.static_moment

    def rate(t: float, z: np.ndarray) -> np.ndarray:
        psi = speed * t + 2 * np.pi * np.arange(n) / n
        lag, hub, lag_rate = z[:4], z[4:6], z[6:10]
        mass = np.zeros((6, 6))
        force = np.zeros(6)
        for k in range(n):
            mass[k, k], mass[k, 4], mass[k, 5] = one.inertia, -s * np.sin(psi[k]), s * np.cos(psi[k])
            force[k] = -one.offset * s * speed**2 * lag[k]
            mass[4, k], mass[5, k] = -s * np.sin(psi[k]), s * np.cos(psi[k])
            force[4] += s * (-(speed**2) * lag[k] * np.sin(psi[k]) + 2 * speed * lag_rate[k] * np.cos(psi[k]))
            force[5] -= s * (-(speed**2) * lag[k] * np.cos(psi[k]) - 2 * speed * lag_rate[k] * np.sin(psi[k]))
        for i in (0, 1):
            mass[4 + i, 4 + i] = one.hub_mass[i] + n * one.blade_mass
            force[4 + i] -= one.hub_stiffness[i] * hub[i]
        return np.concatenate([z[6:], np.linalg.solve(mass, force)])

    turn = 2 * np.pi / speed
    start = np.zeros(12)
    start[:6] = [1, -0.5, 0.2, 0.4, 0.3, -0.6]
    way = solve_ivp(rate, (0, 24 * turn), start, rtol=1e-7, atol=1e-10, t_eval=[12 * turn, 24 * turn])
    growth = np.log(np.linalg.norm(way.y[:6, 1]) / np.linalg.norm(way.y[:6, 0])) / (12 * turn)
    assert growth == pytest.approx(one.growth(rates(250))[0], rel=0.03)


def test_two_blades_go_by_floquet_alone() -> None:
    two = rotor(damped=False, blades="2")
    assert (two.growth(rates(150, 250, 300)) > 0.1).any()
    with pytest.raises(ValueError, match="two blades"):
        two.eigenvalues(rates(200))
