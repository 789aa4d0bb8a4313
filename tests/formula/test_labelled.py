"""Labelled sweeps: axes by name, units by attribute, and a sweep that does not fit the memory it is given."""

import subprocess
import sys
import textwrap

import numpy as np
import pytest

from rotorkit.atmosphere import air_of_the_day, humid_air_density, standard_density, vapour_pressure_from_humidity
from rotorkit.formula.contract import contract
from rotorkit.formula.labelled import labelled
from rotorkit.quantities import Force, QuantityError
from rotorkit.rotor import LinearSection, blade_element_hover, induced_velocity_hovering, rotor_blades

xarray = pytest.importorskip("xarray")
pandas = pytest.importorskip("pandas")
dask_array = pytest.importorskip("dask.array")

SECTION = LinearSection(5.73, (0.0087, -0.0216, 0.4), 1.2, thickness_ratio=0.12)
BLADES = rotor_blades(2, "12 ft 6 in", "7 1/2 in", "20 in", SECTION, twist="-6 deg")
WEIGHTS = xarray.DataArray([1200.0, 1300.0, 1450.0], dims="weight", attrs={"units": "lb"})
DENSITIES = xarray.DataArray([1.225, 1.0], dims="air", coords={"air": ["sea level", "high"]}, attrs={"units": "kg/m^3"})


def test_axes_meet_by_name() -> None:
    sweep = blade_element_hover(BLADES, "500 rpm", DENSITIES, thrust=WEIGHTS)
    assert set(sweep.power.dims) == {"weight", "air"}
    assert sweep.power.attrs["units"] == "W"
    one = blade_element_hover(BLADES, "500 rpm", "1.0 kg/m^3", thrust="1300 lbf")
    found = sweep.sel(air="high").isel(weight=1)
    for name in ("power", "induced_power", "collective", "figure_of_merit", "stalled", "thrust"):
        assert float(found[name]) == pytest.approx(getattr(one.numbers, name), rel=1e-9)


def test_units_are_read_as_a_person_types_them() -> None:
    metric = WEIGHTS * 4.4482216152605
    metric.attrs["units"] = "N"
    one, other = (blade_element_hover(BLADES, "500 rpm", "1.2 kg/m^3", thrust=w) for w in (WEIGHTS, metric))
    assert one.power.values == pytest.approx(other.power.values, rel=1e-9)
    warm = xarray.DataArray([59.0, 95.0], dims="day", attrs={"units": "°F"})
    by_day = blade_element_hover(BLADES, "500 rpm", "1.2 kg/m^3", collective="8 deg", temperature=warm)
    cold = blade_element_hover(BLADES, "500 rpm", "1.2 kg/m^3", collective="8 deg", temperature="15 degC")
    assert float(by_day.tip_mach[0]) == pytest.approx(cold.numbers.tip_mach, rel=1e-9)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"thrust": xarray.DataArray([1.0], dims="w")}, r"thrust needs a force with its unit, .* attrs\['units'\]"),
        ({"thrust": xarray.DataArray([1.0], dims="w", attrs={"units": "kg/m^3"})}, "thrust needs a force"),
        ({"thrust": xarray.DataArray([np.nan], dims="w", attrs={"units": "lb"})}, "thrust holds a value which is not"),
        ({"density": xarray.DataArray([-1.0], dims="w", attrs={"units": "kg/m^3"})}, "density needs a density of zero"),
    ],
)
def test_errors_name_the_argument(change: dict[str, object], message: str) -> None:
    given = {"rotor_speed": "500 rpm", "density": DENSITIES, "thrust": WEIGHTS, **change}
    with pytest.raises(QuantityError, match=message):
        blade_element_hover(BLADES, **given)


def test_any_formula_of_the_library() -> None:
    heights = xarray.DataArray(np.linspace(0, 3000, 4), dims="height", attrs={"units": "m"})
    density = labelled(standard_density, pressure_altitude=heights)
    assert density.name == "standard_density"
    assert density.attrs["units"] == "kg/m^3"
    assert density.values == pytest.approx([air_of_the_day(h).density for h in heights.values], rel=1e-9)
    speed = labelled(induced_velocity_hovering, thrust=WEIGHTS, density=density, disk_area="490.874 ft^2")
    assert speed.dims == ("weight", "height")
    with pytest.raises(QuantityError, match="is missing"):
        labelled(humid_air_density, pressure=heights)


def test_a_formula_is_called_with_a_labelled_array_as_with_anything() -> None:
    by_axes = induced_velocity_hovering(WEIGHTS, DENSITIES, "490.874 ft^2")
    assert (by_axes.dims, by_axes.name, by_axes.attrs["units"]) == (
        ("weight", "air"),
        *("induced_velocity_hovering", "m/s"),
    )
    plain = [
        [(w * 4.4482216152605 / (2 * d * 490.874 * 0.3048**2)) ** 0.5 for d in (1.225, 1.0)] for w in (1200, 1300, 1450)
    ]
    assert by_axes.values == pytest.approx(np.array(plain), rel=1e-9)
    lazy = induced_velocity_hovering(WEIGHTS.chunk({"weight": 2}), DENSITIES, "490.874 ft^2")
    assert isinstance(lazy.data, dask_array.Array)
    assert lazy.compute().values == pytest.approx(by_axes.values, rel=1e-12)


def test_a_formula_is_called_with_a_column_of_a_table() -> None:
    table = pandas.DataFrame(
        {"weight": [1200.0, 1450.0], "air": [1.225, 1.0], "factor": [1, 2]}, index=["light", "heavy"]
    )
    table.attrs["units"] = {"weight": "lb", "air": "kg/m^3"}
    speed = induced_velocity_hovering(table["weight"], table["air"], "490.874 ft^2")
    assert list(speed.index) == ["light", "heavy"]
    assert speed.attrs["units"] == "m/s"
    assert speed["heavy"] == pytest.approx((1450 * 4.4482216152605 / (2 * 490.874 * 0.3048**2)) ** 0.5, rel=1e-9)
    warm = pandas.Series([59.0, 95.0])
    warm.attrs["units"] = "°F"
    assert vapour_pressure_from_humidity("100 %", warm).iloc[0] == pytest.approx(
        1705.7, rel=2e-3
    )  # 15 °C, steam tables, from memory


def test_a_function_of_single_figures_is_worked_row_by_row() -> None:
    @contract
    def beyond(weight: Force, extra: Force = "10 lbf") -> Force:
        return weight + extra if weight > 6000 else weight

    assert beyond(WEIGHTS).values == pytest.approx([1200 * 4.4482216, 1300 * 4.4482216, 1460 * 4.4482216], rel=1e-7)
    with pytest.raises(QuantityError, match="weight needs a force"):
        beyond(WEIGHTS.assign_attrs(units="kg/m^3"))


@pytest.mark.parametrize(
    ("units", "other", "message"),
    [
        (None, "1 kg/m^3", r"thrust needs a force with its unit, got a Series without one: set its attrs\['units'\]"),
        ("kg/m^3", "1 kg/m^3", "thrust needs a force, got a Series in 'kg/m"),
        ("lb", "99 kg/m^3", "density must be from"),
        ("lb", "1 ± 0.1 kg/m^3", "an uncertainty is not carried along a column"),
        ("lb", pandas.Series([1.0, 2.0], index=[4, 5], name="air"), "density needs a density with its unit"),
        ("lb", DENSITIES, "columns of pandas and of xarray together"),
    ],
)
def test_what_is_wrong_with_a_column_is_told_with_its_argument(units: str | None, other: object, message: str) -> None:
    weights = pandas.Series([1200.0, 1450.0])
    weights.attrs = {"units": units} if units else {}
    with pytest.raises(QuantityError, match=message):
        induced_velocity_hovering(weights, other, "490.874 ft^2")


def test_columns_of_other_rows_and_holes_are_refused() -> None:
    weights, air = pandas.Series([1200.0, 1450.0]), pandas.Series([1.0, 1.1], index=[1, 2])
    weights.attrs["units"], air.attrs["units"] = "lb", "kg/m^3"
    with pytest.raises(QuantityError, match="different rows"):
        induced_velocity_hovering(weights, air, "490.874 ft^2")
    hole = weights.where(weights > 1300)
    hole.attrs["units"] = "lb"
    with pytest.raises(
        QuantityError, match="thrust needs a force, got an array that holds a value which is not a number"
    ):
        induced_velocity_hovering(hole, "1 kg/m^3", "490.874 ft^2")
    with pytest.raises(QuantityError, match="pass one of its columns"):
        induced_velocity_hovering(pandas.DataFrame({"w": [1.0]}), "1 kg/m^3", "490.874 ft^2")
    with pytest.raises(QuantityError, match="takes single values"):
        induced_velocity_hovering.worked(weights, "1 kg/m^3", "490.874 ft^2")


def test_a_formula_alone_in_a_cell_shows_itself_with_its_source() -> None:
    shown = induced_velocity_hovering._repr_markdown_()
    assert r"\sqrt" in shown
    assert "Rankine-Froude momentum theory" in shown
    assert "- $T$: `thrust`, force, 0 lbf or more" in shown


def test_dask_is_left_unworked_and_gives_the_same() -> None:
    weights, air = WEIGHTS.chunk({"weight": 2}), DENSITIES.chunk({"air": 1})
    lazy = blade_element_hover(BLADES, "500 rpm", air, thrust=weights)
    assert isinstance(lazy.power.data, dask_array.Array)
    assert lazy.power.data.numblocks == (2, 2)
    plain = blade_element_hover(BLADES, "500 rpm", DENSITIES, thrust=WEIGHTS)
    assert lazy.power.compute().values == pytest.approx(plain.power.values, rel=1e-9)


MEMORY_MB = 120
CONDITIONS = 4_000_000
SWEEP = """
    import resource
    import numpy as np, dask, dask.array as da, xarray as xr
    from rotorkit.rotor import LinearSection, blade_element_hover, rotor_blades

    section = LinearSection(5.73, (0.0087, 0.0, 0.4), 1.2)
    blades = rotor_blades(2, "12 ft 6 in", "7 1/2 in", "20 in", section, twist="-6 deg")

    def sweep(conditions, together):
        angle = xr.DataArray(
            da.linspace(0.04, 0.16, conditions // 100, chunks=together // 100), dims="angle", attrs={"units": "rad"}
        )
        air = xr.DataArray(da.linspace(0.8, 1.3, 100, chunks=100), dims="air", attrs={"units": "kg/m^3"})
        found = blade_element_hover(blades, "500 rpm", air, collective=angle, stations=4)
        return dask.compute(
            *(found[name].max() for name in ("thrust", "power", "figure_of_merit", "stalled")), scheduler="synchronous"
        )

    sweep(10_000, 10_000)  # everything imported and warm
    base = int(open("/proc/self/statm").read().split()[0]) * resource.getpagesize()
    limit = base + MEMORY_MB * 2**20
    resource.setrlimit(resource.RLIMIT_AS, (limit, limit))
    try:
        sweep(CONDITIONS, CONDITIONS)
        raise SystemExit("the whole sweep in one piece was to be too large")
    except MemoryError:
        pass
    found = sweep(CONDITIONS, 100_000)
    print(*(float(value) for value in found))
"""


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="limits the address space as Linux does")
def test_a_sweep_larger_than_the_memory_it_may_use() -> None:
    """Sixteen results of four million conditions are 488 MB; the process may take 120 MB more than it stands at. In one
    piece the sweep does not fit; in blocks the same call works it out."""
    results = 16 * 8 * CONDITIONS / 2**20
    assert results > 3.5 * MEMORY_MB
    code = textwrap.dedent(SWEEP).replace("MEMORY_MB", str(MEMORY_MB)).replace("CONDITIONS", str(CONDITIONS))
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    thrust, power, merit, _ = (float(word) for word in done.stdout.split())
    section = LinearSection(5.73, (0.0087, 0.0, 0.4), 1.2)
    blades = rotor_blades(2, "12 ft 6 in", "7 1/2 in", "20 in", section, twist="-6 deg")
    corner = blade_element_hover(blades, "500 rpm", "1.3 kg/m^3", collective="0.16 rad", stations=4).numbers
    assert thrust == pytest.approx(corner.thrust, rel=1e-6)
    assert power == pytest.approx(corner.power, rel=1e-6)
    assert 0.5 < merit < 0.9
