"""Whirl of shafts: examples of Friswell and others, Dynamics of Rotating Machines, 2010 (known: quoted, as an open
rotor-dynamics library's tests assert them), and Nelson and McVaugh's stepped rotor (data quoted, results computed by
beam elements of our own making elsewhere). Tolerances: the published figures are those of coarser elements."""

import json
from typing import Any

import numpy as np
import pytest

from rotorkit.drive import Bearing, Disc, ShaftLine, ShaftPiece, shaft_line, solid_disc
from tests.reference_table import FOLDER

TEXT = (FOLDER / "rotor_whirl_benchmarks.json").read_text(encoding="utf-8")
TABLE: dict[str, Any] = json.loads("\n".join(line for line in TEXT.splitlines() if not line.startswith("#")))
DISCS = [
    solid_disc("0.5 m", "0.28 m", "0.07 m", "7810 kg/m^3", "0.05 m"),
    solid_disc("1.0 m", "0.35 m", "0.07 m", "7810 kg/m^3", "0.05 m"),
]
PIECE = ShaftPiece("1.5 m", "0.05 m", elastic_modulus="211e9 Pa", density="7810 kg/m^3", shear_modulus="81.2e9 Pa")


@pytest.mark.parametrize("case", TABLE["cases"], ids=lambda case: case["id"])
def test_examples(case: dict[str, Any]) -> None:
    sideways = "0.8e6 N/m" if "5.9.2" in case["id"] else "1e6 N/m"
    bearings = [Bearing(place, "1e6 N/m", sideways) for place in ("0 m", "1.5 m")]
    line = shaft_line([PIECE], DISCS, bearings, elements=48)
    speed = "4000 rpm" if "4000" in case["id"] else "0 rpm"
    found = line.frequencies(speed, 5).magnitude
    assert found == pytest.approx(case["recomputed"], abs=0.011)
    assert found == pytest.approx(case["published"], rel=4e-4)


def nelson(theory: str, cross: bool = False) -> ShaftLine:
    data = TABLE["nelson_mcvaugh_1976"]
    at = data["station_cm"]
    pieces = [
        ShaftPiece(
            f"{end - start} cm",
            f"{2 * outer} cm",
            f"{2 * inner} cm",
            elastic_modulus=f"{data['E_Pa']} Pa",
            density=f"{data['rho']} kg/m^3",
            elements=2,
        )
        for start, end, inner, outer in zip(
            at[:-1], at[1:], data["inner_radius_cm"], data["outer_radius_cm"], strict=True
        )
    ]
    disc = Disc("8.89 cm", "1.401 kg", "0.00136 kg*m^2", "0.00203 kg*m^2")
    return shaft_line(pieces, [disc], [Bearing("16.51 cm", "4.378e7 N/m"), Bearing("28.70 cm", "4.378e7 N/m")], theory)


@pytest.mark.parametrize("theory", ["Euler-Bernoulli", "Timoshenko"])
def test_stepped_rotor(theory: str) -> None:
    data = TABLE["nelson_mcvaugh_1976"]
    known = data["computed_timoshenko" if theory == "Timoshenko" else "computed_euler_bernoulli_with_rotary_inertia"]
    line = nelson(theory)
    rest = line.frequencies("0 rpm", 6).magnitude[::2] * 30 / np.pi
    assert rest == pytest.approx(known["rest_cpm"], rel=3e-4)
    criticals = line.critical_speeds(8)
    for direction in ("forward", "backward"):
        found = [one.speed.magnitude * 30 / np.pi for one in criticals if one.direction == direction][:3]
        assert found == pytest.approx(known[f"critical_{direction}_rpm"][: len(found)], rel=6e-4)
        assert len(found) >= 2
    if "forward_30000" in known:
        modes = line.modes("30000 rpm", 6)
        speeds = modes.frequencies.magnitude * 30 / np.pi
        for direction in ("forward", "backward"):
            found = [s for s, word in zip(speeds, modes.directions, strict=True) if word == direction]
            assert found == pytest.approx(known[f"{direction}_30000"], rel=3e-4)
