"""JCGM 106:2012, The role of measurement uncertainty in conformity assessment, clause 7: conformance probability.

Known: memory. The examples' arithmetic is the normal distribution's: a figure remembered wrongly would not agree.
"""

import pytest

from rotorkit.judging.limits import TOO_CLOSE, Limit
from rotorkit.judging.measured import Measured, Origin
from rotorkit.quantities import Quantity, Ratio
from tests.reference_table import rows


@pytest.mark.parametrize("row", rows("jcgm_106_conformance.csv"), ids=lambda row: row["example"])
def test_conformance_probability(row: dict[str, str]) -> None:
    # volts and viscosities are no kinds here: the figures are judged as plain ratios to their unit
    low, high = (Quantity(float(row[side]), "") if row[side] else None for side in ("low", "high"))
    figure = Measured(float(row["estimate"]), Ratio, {Origin("meter"): float(row["standard_uncertainty"])})
    verdict = Limit(row["example"], Ratio, low, high, "JCGM 106:2012, 7").judge(figure)
    assert verdict.probability is not None
    assert f"{verdict.probability:.2f}" == row["conformance"]
    # neither estimate is two standard uncertainties inside: the rule of this library calls neither
    assert verdict.word == TOO_CLOSE


@pytest.mark.parametrize(("probability", "distance"), [(0.80, 0.84), (0.90, 1.28), (0.95, 1.64), (0.99, 2.33)])
def test_one_sided_limits_by_distance_in_standard_uncertainties(probability: float, distance: float) -> None:
    # Table of 7.3: how far inside a single limit an estimate must lie. Known: memory; the normal distribution's own.
    found = Limit("x", Ratio, 0.0).judge(Measured(distance, Ratio, {Origin("meter"): 1.0})).probability
    assert found == pytest.approx(probability, abs=0.002)
