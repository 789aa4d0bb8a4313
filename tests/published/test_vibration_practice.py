"""Sine conversions, zones and bands (references/balance_vibration.csv, each row with its source and word)."""

import math

from rotorkit.quantities import assert_quantity
from rotorkit.vibration import (
    ZONES,
    acceleration_from_displacement,
    acceleration_from_velocity,
    amplitude_as,
    decibels,
    displacement_from_acceleration,
    displacement_from_velocity,
    severity_zone,
    velocity_from_acceleration,
    velocity_from_displacement,
    vibration_band,
)
from tests.reference_table import row


def figures(name: str, column: str = "recomputed") -> list[float]:
    return [float(one) for one in row("balance_vibration.csv", "id", name)[column].split(";")]


def test_a_laboratory_s_formulas() -> None:
    """AV1: G = F V / 61.45, G = D F^2 / 19.56 with D peak to peak (read)."""
    per_velocity, per_displacement = figures("AV1")
    assert_quantity(acceleration_from_velocity("1 in/s", "100 Hz"), f"{100 / per_velocity:.5f} g")
    peak = amplitude_as("0.1 in", "peak-to-peak", "peak")
    assert_quantity(acceleration_from_displacement(peak, "10 Hz"), f"{0.1 * 100 / per_displacement:.5f} g")


def test_an_optical_bench_maker_s_formulas() -> None:
    """AV2, zero to peak, in inches, in/s and g at 1 Hz (read)."""
    d_of_v, d_of_a, v_of_d, v_of_a, a_of_d, a_of_v = (f"{one:g}" for one in figures("AV2"))
    assert_quantity(displacement_from_velocity("1 in/s", "1 Hz"), f"{d_of_v} in")
    assert_quantity(displacement_from_acceleration("1 g", "1 Hz"), f"{d_of_a} in")
    assert_quantity(velocity_from_displacement("1 in", "1 Hz"), f"{v_of_d} in/s")
    assert_quantity(velocity_from_acceleration("1 g", "1 Hz"), f"{v_of_a} in/s")
    assert_quantity(acceleration_from_displacement("1 in", "1 Hz"), f"{a_of_d} g")
    assert_quantity(acceleration_from_velocity("1 in/s", "1 Hz"), f"{a_of_v} g")


def test_amplitude_factors() -> None:
    """AV3: rms and average of a peak of 2 and of 1, and 20 dB (read)."""
    root_two, average, ten = figures("AV3")
    assert_quantity(amplitude_as(2, "peak", "rms"), f"{root_two}")
    assert_quantity(amplitude_as(1, "peak", "average"), f"{average}")
    assert_quantity(decibels(ten), "20.000")


def test_severity_zones() -> None:
    """VL1: ISO 10816-1, annex B (quoted): on either side of each boundary."""
    lines = row("balance_vibration.csv", "id", "VL1")["published"].split(";")
    printed = [[float(one) for one in line.split()] for line in lines]
    assert [list(bounds) for bounds in ZONES.values()] == printed
    for machine, bounds in zip(("I", "II", "III", "IV"), printed, strict=True):
        for bound, below, above in zip(bounds, "ABC", "BCD", strict=True):
            assert severity_zone(f"{bound} mm/s", machine) == below
            assert severity_zone(f"{bound + 0.001:.3f} mm/s", machine) == above


def test_bands_of_a_helicopter() -> None:
    """VL2: medium from 1000 to 2000 cycles a minute, high from 2000 (read)."""
    assert "medium 1000 to 2000" in row("balance_vibration.csv", "id", "VL2")["published"]
    words = {cycles: vibration_band(f"{cycles} cycles/min") for cycles in (999, 1000, 1999, 2000)}
    assert words == {999: "low", 1000: "medium", 1999: "medium", 2000: "high"}
    assert vibration_band(f"{2 * math.pi:.4f} Hz") == "low"
