"""Tension at another temperature: limits, signs, symmetry, round trips, an independent solution, propagation."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from rotorkit.judging.measured import measured
from rotorkit.quantities import Force, ForcePerTemperature, QuantityError, Temperature, assert_quantity
from rotorkit.rigging import (
    MATERIALS,
    material,
    slack_temperature,
    stiffness_felt_by_one_run,
    tension_at_temperature,
    tension_change,
    tension_change_from_growth,
    tension_change_rigid_structure,
    tension_change_two_temperatures,
    tension_slope,
    tension_slope_rigid_structure,
    thermal_growth,
)

ALUMINIUM, STEEL = MATERIALS["aluminium alloy 6061"].expansion, MATERIALS["carbon steel"].expansion
RUN = {"length": "200 in", "axial_stiffness": "96450 lbf", "structure_stiffness": "1000 lbf/in"}


def test_same_material_no_change() -> None:
    assert_quantity(tension_slope(STEEL, STEEL, **RUN), "0.000000 lbf/°F")
    assert_quantity(tension_change(STEEL, STEEL, "60 °F", **RUN), "0.000000 lbf")


def test_sign_follows_which_of_the_two_grows_more() -> None:
    carbon = MATERIALS["carbon fibre in epoxy along the fibre"].expansion
    for structure, hotter in ((ALUMINIUM, 1), (carbon, -1)):
        for change, sign in (("20 °F", 1), ("-20 °F", -1)):
            found = tension_change(structure, STEEL, change, **RUN).magnitude
            assert np.sign(found) == hotter * sign


@given(stiffness=st.floats(1, 1e6), length=st.floats(10, 500))
def test_rigid_airframe_is_the_upper_bound(stiffness: float, length: float) -> None:
    real = tension_slope(ALUMINIUM, STEEL, f"{length:.3f} in", "96450 lbf", f"{stiffness:.3f} lbf/in").magnitude
    bound = tension_slope_rigid_structure(ALUMINIUM, STEEL, "96450 lbf").magnitude
    assert 0 < real < bound


def test_limits_of_stiffness() -> None:
    rigid = tension_slope_rigid_structure(ALUMINIUM, STEEL, "96450 lbf")
    assert_quantity(tension_slope(ALUMINIUM, STEEL, "200 in", "96450 lbf", "1e15 lbf/in"), rigid, within="1e-6 %")
    # A structure as soft as butter takes no tension up.
    soft = tension_slope(ALUMINIUM, STEEL, "200 in", "96450 lbf", "1e-3 lbf/in")
    assert_quantity(soft, "0.0000 lbf/°F")
    # The change for a rigid airframe is the slope times the change of temperature.
    assert_quantity(
        tension_change_rigid_structure(ALUMINIUM, STEEL, "50 °F", "96450 lbf"),
        tension_change(ALUMINIUM, STEEL, "50 °F", "200 in", "96450 lbf", "1e15 lbf/in"),
        within="1e-6 %",
    )


def test_against_equilibrium_solved_as_linear_equations() -> None:
    # Independent: unknowns are the two runs' tension changes and the shortening of the airframe they both load.
    L, EA, ks, dt = 5.08, 429031.0, 350253.0, 27.0
    a_s, a_c = 23.6e-6, 11.7e-6
    #   gap:      a_s L dt - s = a_c L dt + T L / EA   (each run)        force: ks s = T1 + T2
    matrix = np.array([[L / EA, 0, 1], [0, L / EA, 1], [-1, -1, ks]])
    T1, T2, _ = np.linalg.solve(matrix, [(a_s - a_c) * L * dt, (a_s - a_c) * L * dt, 0])
    one_run = stiffness_felt_by_one_run(f"{ks} N/m", 2)
    found = tension_change(f"{a_s} /K", f"{a_c} /K", f"{dt} K", f"{L} m", f"{EA} N", one_run)
    assert pytest.approx(T2) == T1
    assert found.to("newton").magnitude == pytest.approx(T1, rel=1e-9)


def test_two_temperatures_fall_back_to_one_and_see_a_hot_boom() -> None:
    same = tension_change_two_temperatures(ALUMINIUM, "30 °F", STEEL, "30 °F", **RUN)
    assert_quantity(same, tension_change(ALUMINIUM, STEEL, "30 °F", **RUN), within="1e-9 %")
    assert tension_change_two_temperatures(STEEL, "30 °F", STEEL, "0 °F", **RUN).magnitude > 0
    growth = thermal_growth(STEEL, "200 in", "30 °F")
    general = tension_change_from_growth(growth, "0 in", "482.25 lbf/in", "1000 lbf/in")
    assert_quantity(tension_change_two_temperatures(STEEL, "30 °F", STEEL, "0 °F", **RUN), general, within="1e-6 %")


@pytest.mark.parametrize("unknown", ["tension", "slope", "measured_at", "wanted_at"])
def test_round_trip_through_the_inverse(unknown: str) -> None:
    known = {"tension": "48 lbf", "slope": "0.43 lbf/°F", "measured_at": "50 °F", "wanted_at": "75 °F"}
    result = tension_at_temperature(**known)
    assert_quantity(result, "58.75 lbf")
    rest = {name: value for name, value in known.items() if name != unknown}
    kind = Temperature if unknown.endswith("_at") else None
    found = tension_at_temperature.solve_for(unknown, result=result, **rest)
    assert_quantity(
        found, known[unknown], within={"tension": "1e-6 lbf", "slope": "1e-6 lbf/°F"}.get(unknown), kind=kind
    )


def test_there_and_back_is_nothing() -> None:
    warm = tension_at_temperature("48 lbf", "0.43 lbf/°F", "50 °F", "75 °F")
    assert_quantity(tension_at_temperature(warm, "0.43 lbf/°F", "75 °F", "50 °F"), "48.000000 lbf")


def test_slack_is_where_the_tension_line_crosses_nothing() -> None:
    where = slack_temperature("48 lbf", "0.637 lbf/°F", "50 °F")
    assert_quantity(where, "-25.4 °F", kind=Temperature)
    assert_quantity(tension_at_temperature("48 lbf", "0.637 lbf/°F", "50 °F", where), "0.000000 lbf")
    assert tension_at_temperature("48 lbf", "0.637 lbf/°F", "50 °F", "-40 °F").magnitude < 0
    with pytest.raises(QuantityError, match="no real value"):
        slack_temperature("48 lbf", "0 lbf/°F", "50 °F")


def test_units_do_not_matter() -> None:
    metric = tension_at_temperature("213.5147 N", "3.442924 N/K", "10 °C", "23.888889 °C")
    assert_quantity(metric, "58.750 lbf")
    assert_quantity(
        tension_slope("13.111111e-6 /°F", "6.5e-6 /°F", "5.08 m", "429.0310 kN", "175.12684 N/mm"),
        tension_slope(ALUMINIUM, STEEL, **RUN),
        within="0.0001 %",
    )


def test_refusals() -> None:
    with pytest.raises(QuantityError) as caught:
        tension_at_temperature("-3 lbf", "0.43 lbf", "50", "25 K")
    assert {name for name, _ in caught.value.problems} >= {"tension", "slope", "measured_at"}
    with pytest.raises(QuantityError, match="structure_expansion"):
        # 23.6 without its 1e-6 would turn the figure into nonsense a million times over.
        tension_slope("23.6 /K", STEEL, **RUN)
    with pytest.raises(QuantityError, match="axial_stiffness"):
        tension_slope(ALUMINIUM, STEEL, "200 in", "0 lbf", "1000 lbf/in")
    with pytest.raises(ValueError, match="material: needs one of"):
        material("unobtainium")


def test_uncertainty_agrees_with_an_independent_library() -> None:
    # Oracle: the `uncertainties` package, on the same figures in the same units.
    found = tension_at_temperature(
        measured("48 lbf", Force, "tension", "2 lbf"),
        measured("0.32 lbf/°F", ForcePerTemperature, "slope", "0.32 lbf/°F", stated_as="bounds"),
        measured("50 °F", Temperature, "hangar", "2 °F"),
        "75 °F",
    )
    oracle = ufloat(48, 1) + ufloat(0.32, 0.32 / np.sqrt(3)) * (75 - ufloat(50, 1))
    assert found.value.to("force_pound").magnitude == pytest.approx(oracle.n)
    assert found.standard_uncertainty.to("force_pound").magnitude == pytest.approx(oracle.s, rel=1e-9)
    shares = {row.label: row.share for row in found.budget()}
    assert sum(shares.values()) == pytest.approx(1)
    assert max(shares, key=shares.__getitem__) == "slope"


def test_propagation_through_the_whole_slope_against_an_independent_library() -> None:
    numbers = {
        "a_s": (23.6e-6, 0.3e-6),
        "a_c": (11.7e-6, 0.3e-6),
        "L": (5.08, 0.01),
        "EA": (4.29e5, 2e4),
        "k": (1.75e5, 3e4),
    }
    a_s, a_c, L, EA, k = (ufloat(*pair) for pair in numbers.values())
    oracle = (a_s - a_c) * L / (L / EA + 1 / k)
    units = ("/K", "/K", "m", "N", "N/m")
    texts = [f"{n} {u} ± {2 * s} {u}" for (n, s), u in zip(numbers.values(), units, strict=True)]
    found = tension_slope(*texts)
    assert found.standard_si == pytest.approx(oracle.s, rel=1e-9)
    assert found.si == pytest.approx(oracle.n, rel=1e-12)
