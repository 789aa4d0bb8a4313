"""Who gets the engine's power: the balance closes, and nothing is counted twice."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.quantities import QuantityError, assert_quantity
from rotorkit.rotor import (
    disk_area,
    engine_power_needed,
    hover_power_from_figure_of_merit,
    main_rotor_power_available,
    main_rotor_torque,
    power_after_transmission,
    tail_rotor_power,
    tail_rotor_power_from_share,
    tail_rotor_thrust_needed,
    transmission_loss,
)


@given(st.floats(50, 300), st.floats(0, 0.3), st.floats(0, 10), st.floats(0.8, 1))
def test_available_and_needed_are_inverses(engine: float, share: float, accessories: float, efficiency: float) -> None:
    main = main_rotor_power_available(f"{engine} hp", share, f"{accessories} hp", efficiency)
    tail = tail_rotor_power_from_share(main, share)
    assert engine_power_needed(main, tail, f"{accessories} hp", efficiency).m_as("hp") == pytest.approx(
        engine, rel=1e-12
    )


def test_the_balance_closes() -> None:
    """Engine = accessories + loss + main rotor + tail rotor."""
    engine, accessories = "150 hp", 3.0
    main = main_rotor_power_available(engine, "10 %", "3 hp", "94 %").m_as("hp")
    tail = tail_rotor_power_from_share(f"{main} hp", "10 %").m_as("hp")
    loss = transmission_loss("147 hp", "94 %").m_as("hp")
    assert accessories + loss + main + tail == pytest.approx(150, rel=1e-12)
    assert power_after_transmission("147 hp", "94 %").m_as("hp") == pytest.approx(main + tail, rel=1e-12)


def test_torque_thrust_and_power_of_the_tail_rotor() -> None:
    torque = main_rotor_torque("104 hp", "500 rpm")
    thrust = tail_rotor_thrust_needed(torque, "14.5 ft")
    assert_quantity(thrust, f"{104 * 5252.113 / 500 / 14.5:.4f} lb")
    same = hover_power_from_figure_of_merit(thrust, "1.225 kg/m^3", disk_area("2 ft"), 0.55)
    assert_quantity(tail_rotor_power(thrust, "1.225 kg/m^3", disk_area("2 ft"), 0.55), same, within="0.0000001 %")


def test_a_longer_tail_needs_less_thrust() -> None:
    assert tail_rotor_thrust_needed("1000 ft-lb", "16 ft") < tail_rotor_thrust_needed("1000 ft-lb", "14 ft")


def test_without_losses_everything_reaches_the_rotors() -> None:
    assert_quantity(main_rotor_power_available("150 hp", 0, "0 hp", 1), "150.000000 hp")
    assert abs(transmission_loss("150 hp", "100 %").m_as("W")) < 1e-9


@pytest.mark.parametrize("efficiency", ["94", "110 %", "6 %"])
def test_an_efficiency_that_is_a_loss_or_a_percent_is_refused(efficiency: str) -> None:
    with pytest.raises(QuantityError, match="transmission_efficiency"):
        power_after_transmission("150 hp", efficiency)


def test_energy_is_not_torque() -> None:
    with pytest.raises(QuantityError, match="torque"):
        tail_rotor_thrust_needed("1356 J", "14.5 ft")
