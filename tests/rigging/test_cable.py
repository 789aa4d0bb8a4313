"""The cable as a spring: limits, round trips, construction, refusals."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.quantities import QuantityError, assert_quantity
from rotorkit.rigging import (
    CABLE_CONSTRUCTIONS,
    axial_stiffness_from_stretch_factor,
    axial_stiffness_of_uniform_bar,
    cable_construction,
    cable_stretch_ratio,
    end_stiffness,
    metallic_area,
    stiffness_felt_by_one_run,
    stiffness_in_series,
    stretched_length,
)

G = "0.0000162 in^2/lbf"


def test_no_load_no_stretch_and_twice_the_load_twice_the_stretch() -> None:
    assert_quantity(stretched_length("20 in", "0 lbf", "1/8 in", G), "20.000000 in")
    once, twice = (cable_stretch_ratio(load, "1/8 in", G) for load in ("100 lbf", "200 lbf"))
    assert_quantity(twice, 2 * once, within="1e-9 %")


@given(load=st.floats(1, 2000), diameter=st.floats(0.03, 0.5))
def test_axial_stiffness_is_load_over_stretch(load: float, diameter: float) -> None:
    w, d = f"{load:.6f} lbf", f"{diameter:.6f} in"
    stretch = float(cable_stretch_ratio(w, d, G).magnitude)
    assert_quantity(axial_stiffness_from_stretch_factor(d, G), f"{float(w[:-4]) / stretch:.9f} lbf", within="1e-6 %")


def test_round_trip_to_the_load_that_makes_a_stretch() -> None:
    load = stretched_length.solve_for("load", result="20.10368 in", length="20 in", diameter="1/8 in", stretch_factor=G)
    assert_quantity(load, "500.000 lbf")
    assert_quantity(
        axial_stiffness_from_stretch_factor.solve_for("stretch_factor", result="96450.617284 lbf", diameter="1/8 in"),
        "0.0000162000 in^2/lbf",
    )


def test_units_do_not_matter() -> None:
    metric = axial_stiffness_from_stretch_factor("3.175 mm", "2.349611351e-9 m^2/N")
    assert_quantity(metric, axial_stiffness_from_stretch_factor("1/8 in", G), within="0.0001 %")


def test_printed_stretch_lies_between_half_and_all_of_the_metal() -> None:
    # Physics: the lay can only soften the cable. Steel 28e6 to 29e6 psi (memory); a lay of strands is softer than one
    # strand.
    share = {}
    for c in CABLE_CONSTRUCTIONS:
        area = metallic_area(f"{1 / 8 / c.wires_across:.12f} in", c.wires)
        bar = axial_stiffness_of_uniform_bar("29000000 psi", area)
        cable = axial_stiffness_from_stretch_factor("1/8 in", c.stretch_factor)
        share[c.name, c.material] = float((cable / bar).to("dimensionless").magnitude)
    assert all(0.4 < part < 1.0 for part in share.values()), share
    for steel in ("carbon steel", "corrosion-resistant steel"):
        assert share["7x19", steel] < share["7x7", steel] < share["1x19", steel]


def test_springs_in_series_and_side_by_side() -> None:
    assert_quantity(stiffness_in_series("300 lbf/in", "600 lbf/in"), "200.000 lbf/in")
    assert_quantity(stiffness_in_series("300 lbf/in", "1e15 lbf/in"), "300.000 lbf/in")
    assert_quantity(stiffness_felt_by_one_run("2000 lbf/in", 1), "2000.0 lbf/in")
    assert_quantity(stiffness_felt_by_one_run("2000 lbf/in", 2), "1000.0 lbf/in")
    half = end_stiffness("96450 lbf", "100 in")
    assert_quantity(stiffness_in_series(half, half), end_stiffness("96450 lbf", "200 in"), within="1e-9 %")


def test_metal_of_a_cable_by_geometry() -> None:
    # One wire fills the circle; 19 wires five across fill 19/25 of it.
    assert_quantity(metallic_area("0.1 in", 1), f"{math.pi / 400:.10f} in^2")
    assert_quantity(metallic_area("0.02 in", 19), f"{0.76 * math.pi / 400:.10f} in^2")


def test_refusals() -> None:
    with pytest.raises(QuantityError) as caught:
        cable_stretch_ratio("-5 lbf", "0 in", "0.0000162")
    assert {name for name, _ in caught.value.problems} == {"load", "diameter", "stretch_factor"}
    with pytest.raises(QuantityError, match="load"):
        cable_stretch_ratio("500 kg", "1/8 in", G)
    with pytest.raises(ValueError, match="no stretch factor is held for '6x19' in 'carbon steel'"):
        cable_construction("6x19", "carbon steel")
    with pytest.raises(QuantityError, match="runs"):
        stiffness_felt_by_one_run("2000 lbf/in", 0)
