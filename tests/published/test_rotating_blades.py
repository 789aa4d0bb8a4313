"""Blade frequencies: the uniform rotating cantilever (known: computed, by a Ritz solution made elsewhere), Southwell's
coefficients (computed; the first quoted), and closed forms of hinged blades (computed)."""

import numpy as np
import pytest

from rotorkit.drive import (
    BladeSection,
    hinged_flap_frequency_ratio,
    rotating_blade,
    southwell_frequency,
)
from rotorkit.quantities import RotationRate, assert_quantity, from_si, required_kind
from tests.reference_table import row, rows

UNIFORM = [BladeSection("1 m", "1 kg/m", "1 N*m^2")]
RATE = required_kind(RotationRate)


@pytest.mark.parametrize("ratio", ["0", "0.1"])
def test_uniform_rotating_cantilever(ratio: str) -> None:
    table = [r for r in rows("rotating_cantilever.csv") if r["hub_radius_ratio"] == ratio]
    speeds = from_si(np.array([float(r["speed_parameter"]) for r in table]), RATE)
    found = rotating_blade(UNIFORM, f"{ratio} m").frequencies(speeds, 3).magnitude
    for k in (1, 2, 3):
        printed = np.array([float(r[f"lambda{k}"]) for r in table])
        assert found[:, k - 1] == pytest.approx(printed, rel=1.5e-5)
    assert len(table) == 13


def test_southwell_coefficients() -> None:
    for entry, mode in zip(rows("southwell_uniform_cantilever.csv"), rotating_blade(UNIFORM).southwell(3), strict=True):
        assert mode.rest.magnitude == pytest.approx(float(entry["w0_nondim"]), rel=2e-5)
        assert pytest.approx(float(entry["K0"]), rel=2e-5) == mode.K0
        assert pytest.approx(float(entry["K1"]), rel=2e-5) == mode.K1
    expected = row("drive_checks.csv", "given", "Southwell coefficient")["expected"]
    assert round(rotating_blade(UNIFORM).southwell(1)[0].K0, 2) == float(expected)
    # the estimate lies above the exact figure of the same blade
    assert_quantity(southwell_frequency("3.51602 rad/s", "5 rad/s", 1.19334), "6.4958 rad/s")


def test_uniform_cantilever_at_rest() -> None:
    roots = [float(x) for x in row("drive_checks.csv", "given", "uniform cantilever beta L")["expected"].split(";")]
    assert rotating_blade(UNIFORM).frequencies("0 rad/s", 3).magnitude == pytest.approx(np.square(roots), rel=1e-5)


def test_hanging_chain_of_a_hinged_blade() -> None:
    # Without stiffness (omega / Omega)^2 = n (2 n - 1): 1, 6, 15, 28; in the plane of rotation 1 less.
    expected = [float(x) for x in row("drive_checks.csv", "given", "uniform hinged chain")["expected"].split(";")]
    chain = rotating_blade([BladeSection("1 m", "1 kg/m", "1e-9 N*m^2")], root="hinged", elements=60)
    assert chain.frequencies("1 rad/s", 4).magnitude ** 2 == pytest.approx(expected, rel=5e-4)
    lag = chain.frequencies("1 rad/s", 4, "lag").magnitude ** 2
    assert lag == pytest.approx(np.array(expected) - 1, rel=5e-4, abs=1e-6)


def test_rigid_hinged_blade() -> None:
    figures = row("drive_checks.csv", "given", "rigid hinged")["expected"].split(";")
    for e, expected in zip((0.03, 0.05), figures, strict=True):
        assert_quantity(hinged_flap_frequency_ratio(e), expected.strip())
        stiff = rotating_blade(
            [BladeSection(f"{1 - e} m", "1 kg/m", "1000 N*m^2")], f"{e} m", root="hinged", elements=8
        )
        assert stiff.frequencies("1 rad/s", 1).magnitude[0] == pytest.approx(float(expected), rel=1e-5)
        lag = stiff.frequencies("1 rad/s", 1, "lag").magnitude[0]
        assert lag**2 == pytest.approx(1.5 * e / (1 - e), rel=1e-4)
