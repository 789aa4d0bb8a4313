"""JCGM 100:2008, Guide to the expression of uncertainty in measurement, examples H.1 and H.3. Known: quoted, recomputed
independently."""

import math

import numpy
import pytest

from rotorkit import sources
from rotorkit.formula import formula
from rotorkit.formula.contract import contract
from rotorkit.judging.measured import Measured, Origin, measured
from rotorkit.quantities import (
    Length,
    Quantity,
    Ratio,
    TemperatureDifference,
    ThermalExpansion,
    assert_quantity,
)
from tests.reference_table import rows

H1, H3 = sources.JCGM_100.at("H.1"), sources.JCGM_100.at("H.3")
KINDS = {"nm": Length, "degC": TemperatureDifference, "1/degC": ThermalExpansion}
UNITS = {"nm": "nanometer", "degC": "delta_degC", "1/degC": "1/delta_degC"}


@formula(
    source=H1,
    letters={
        "standard": "l_s", "difference": "d", "expansion_difference": r"\delta\alpha", "temperature": r"\theta",
        "expansion": r"\alpha_s", "temperature_difference": r"\delta\theta",
    },
    result="l",
)  # fmt: skip
def end_gauge_length(
    standard: Length,
    difference: Length,
    expansion_difference: ThermalExpansion,
    temperature: TemperatureDifference,
    expansion: ThermalExpansion,
    temperature_difference: TemperatureDifference,
) -> Length:
    """Example H.1, equation (H.3)."""
    return standard + difference - standard * (expansion_difference * temperature + expansion * temperature_difference)


def inputs() -> dict[str, Measured]:
    """The quantities of example H.1, each with its uncertainty as it is stated there."""
    found = {}
    for row in rows("gum_h1_end_gauge.csv"):
        name, unit = row["quantity"], UNITS[row["unit"]]
        stated, size = ("bounds", row["half_width"]) if row["half_width"] else ("standard", row["standard_uncertainty"])
        found[name] = measured(
            Quantity(float(row["value"]), unit), KINDS[row["unit"]], name, Quantity(float(size), unit), stated_as=stated
        )
    return found


def length() -> Measured:
    given = inputs()
    difference = given["d_0"] + given["d_1"] + given["d_2"]
    result = end_gauge_length(
        given["l_s"], difference, given["d_alpha"], given["theta"], given["alpha_s"], given["d_theta"]
    )
    assert isinstance(result, Measured)
    return result


def test_h_1_length_of_an_end_gauge() -> None:
    result = length()
    assert result.value.m_as("nanometer") == pytest.approx(50_000_838, abs=0.5)
    assert round(result.standard_uncertainty.m_as("nanometer")) == 32
    # recomputed independently, to more digits
    assert result.standard_uncertainty.m_as("nanometer") == pytest.approx(31.663879, abs=5e-7)


@pytest.mark.parametrize("row", rows("gum_h1_end_gauge.csv"), ids=lambda row: row["quantity"])
def test_h_1_budget(row: dict[str, str]) -> None:
    parts = {line.label: line.contribution.m_as("nanometer") for line in length().budget()}
    printed = row["component_nm"]
    half = 0.5 * 10.0 ** -len(printed.partition(".")[2])
    # theta and alpha_s multiply zero: no part of first order
    assert parts[row["quantity"]] == pytest.approx(float(printed), abs=half)


def test_h_1_by_an_ordinary_function_with_central_differences() -> None:
    given = inputs()

    @contract
    def by_lines(standard: Length, gap: Length, excess: ThermalExpansion, warmth: TemperatureDifference) -> Length:
        return standard + gap - standard * excess * warmth

    found = by_lines(given["l_s"], given["d_0"] + given["d_1"] + given["d_2"], given["alpha_s"], given["d_theta"])
    # without the difference in expansion (2.88679 nm), which this model leaves out
    expected = math.sqrt(31.663879**2 - 2.88679**2)
    assert found.standard_uncertainty.m_as("nanometer") == pytest.approx(expected, rel=1e-6)


@formula(source=H3, letters={"start": "y_1", "slope": "y_2", "warmth": "t - t_0"}, result="b")
def correction(start: TemperatureDifference, slope: Ratio, warmth: TemperatureDifference) -> TemperatureDifference:
    """Example H.3, equation (H.12)."""
    return start + slope * warmth


def test_h_3_correction_of_a_thermometer_with_correlated_coefficients() -> None:
    table = rows("gum_h3_thermometer.csv")
    t, b = (numpy.array([float(row[column]) for row in table]) for column in ("t_degC", "b_degC"))
    design = numpy.column_stack([numpy.ones_like(t), t - 20.0])
    (start, slope), (squares,), _, _ = numpy.linalg.lstsq(design, b)
    covariance = numpy.linalg.inv(design.T @ design) * squares / (len(t) - 2)
    u_start, u_slope = numpy.sqrt(numpy.diag(covariance))
    correlation = covariance[0, 1] / (u_start * u_slope)
    assert squares == pytest.approx(0.000110096583109, rel=1e-9)
    for found, printed in (
        (start, "-0.1712"), (u_start, "0.0029"), (slope, "0.00218"), (u_slope, "0.00067"), (correlation, "-0.930")
    ):  # fmt: skip
        assert f"{found:.{len(printed.partition('.')[2])}f}" == printed

    # two origins carry the correlation: one in common, and what the slope has of its own
    common, own = Origin("line, in common"), Origin("slope, its own")
    line = Measured(start, TemperatureDifference, {common: u_start})
    steepness = Measured(slope, Ratio, {common: correlation * u_slope, own: math.sqrt(1 - correlation**2) * u_slope})
    found = correction(line, steepness, "10 °C")
    assert_quantity(found.value, "-0.1494 °C")
    assert f"{found.standard_uncertainty.m_as('delta_degC'):.4f}" == "0.0041"
    # taken as independent the coefficients would give 0.0073
    assert math.hypot(u_start, 10 * u_slope) == pytest.approx(0.0073, abs=5e-5)


def test_4_3_7_bounds_and_h_1_3_4_of_a_uniform_distribution() -> None:
    # 0.05 degC bounds: u = 0.05 / sqrt(3) = 0.029 degC (H.1.3.4). Known: quoted.
    found = inputs()["d_theta"].standard_uncertainty.m_as("delta_degC")
    assert f"{found:.3f}" == "0.029"
