"""Blade modes against the reference table of a rotating cantilever (an independent Ritz solution) and a hanging chain's
closed form; separations by plain arithmetic."""

import math
from typing import Any

import numpy as np
import pytest

from rotorkit.aircraft import Aircraft
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE, worst
from rotorkit.sheets.base import AN_ESTIMATE, Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from rotorkit.sheets.drive.blade_modes import LITTLE, LITTLE_MOVED, blade_of, many_frequencies
from tests.reference_table import rows
from tests.sheets.small import small_aircraft

LENGTH, MASS, STIFF = 3.0, 4.0, 5000.0
UNIT = math.sqrt(STIFF / MASS) / LENGTH**2
"""rad/s for one of the table's frequency."""


def aircraft(low: str = "5 %") -> Aircraft:
    limits = {"blade_modes": {"separation": {"low": low, "source": "test"}}} if low else {}
    return small_aircraft(limits=limits, main_rotor__speed="470 rpm")


def readings(slow: float, fast: float, lag: float = 4e6, root: str = "built in", **more: Any) -> dict[str, Any]:
    """Speeds in rad/s."""
    return {
        "rotor": "main rotor", "flap_root": root, "lag_root": "built in", "root_at": "0.3 ± 0 m",
        "slowest": f"{slow} ± 0 rad/s", "fastest": f"{fast} ± 0 rad/s",
        "sections": [
            {"ends": "3.3 ± 0 m", "mass": f"{MASS} ± 0 kg/m", "flap": f"{STIFF} ± 0 N*m^2", "lag": f"{lag} ± 0 N*m^2"}
        ],
        **more,
    }  # fmt: skip


def worked(given: dict[str, Any], craft: Aircraft | None = None) -> Outcome:
    return sheet_type("blade_modes").from_readings(given).work(craft or aircraft())


def table(eta: float) -> list[float]:
    row = next(
        one for one in rows("rotating_cantilever.csv")
        if float(one["hub_radius_ratio"]) == 0.1 and float(one["speed_parameter"]) == eta
    )  # fmt: skip
    return [float(row[f"lambda{k}"]) for k in (1, 2, 3)]


def apart(low: float, high: float, order: int) -> float:
    if order > max(low, high):
        return (order - max(low, high)) / order
    if order < min(low, high):
        return (min(low, high) - order) / order
    return -min(max(low, high) - order, order - min(low, high)) / order


def test_separations_from_the_table() -> None:
    """Two of its rows are the ends of the speeds in use; the hub's radius is a tenth of the blade."""
    slow, fast = 9.0, 10.0
    outcome = worked(readings(slow * UNIT, fast * UNIT))
    at = {k: (table(slow)[k - 1] / slow, table(fast)[k - 1] / fast) for k in (2, 3)}
    for k, (low, high) in at.items():
        found = outcome.finding(f"separation.flap.{k}").measured
        order = min(range(1, 7), key=lambda n, ends=(low, high): apart(*ends, n))
        # 2e-5: the table has six digits, the beam sixteen elements; the share of a whole order is more
        assert float(found.si) == pytest.approx(apart(low, high, order), abs=2e-4)
    assert "separation.flap.1" not in {one.key for one in outcome.findings}
    assert outcome.lead[0].startswith(AN_ESTIMATE)


def test_a_chain_hangs_outwards() -> None:
    """Hinged at the axis, hardly stiff: flap once a turn and sqrt(6) and sqrt(15) times (P_n of odd order)."""
    given = readings(49.0, 49.5, root="hinged")
    given["root_at"] = "0 ± 0 m"
    given["sections"][0]["ends"] = "3 ± 0 m"
    given["sections"][0]["flap"] = "0.01 ± 0 N*m^2"
    outcome = worked(given)
    full = 470 / 60
    for k, turns in ((1, 1.0), (2, math.sqrt(6)), (3, math.sqrt(15))):
        assert float(outcome.finding(f"mode.flap.{k}").measured.si) == pytest.approx(turns * full, rel=5e-3)


def test_lag_is_flap_less_the_square_of_the_speed() -> None:
    outcome = worked(readings(40.0, 50.0, lag=STIFF))
    whole = 470 * math.pi / 30
    for k in (1, 2):
        flap, lag = (2 * math.pi * float(outcome.finding(f"mode.{d}.{k}").measured.si) for d in ("flap", "lag"))
        assert flap**2 - lag**2 == pytest.approx(whole**2, rel=1e-6)


def lag_turns(lag: float, speed: float) -> float:
    """First lag mode a turn of an even cantilever on a hub of a tenth: Southwell's coefficients (close where it is
    stiff), from the reference table, less one."""
    row = rows("southwell_uniform_cantilever.csv")[0]
    rest = float(row["w0_nondim"]) * math.sqrt(lag / MASS) / LENGTH**2
    return math.sqrt(rest**2 + (float(row["K0"]) + 0.1 * float(row["K1"]) - 1) * speed**2) / speed


def stiffness_for(turns: float, speed: float) -> float:
    from scipy.optimize import brentq

    return float(brentq(lambda lag: lag_turns(lag, speed) - turns, 1e3, 1e8))


@pytest.mark.parametrize(
    ("turns", "word"),
    [(1.5, IN_LIMITS), (1.9, TOO_CLOSE), (1.96, OUT_OF_LIMITS), (2.2, TOO_CLOSE), (2.08, OUT_OF_LIMITS),
     (1.62, IN_LIMITS), (1.65, TOO_CLOSE)],
)  # fmt: skip
def test_lag_on_both_sides_of_an_order(turns: float, word: str) -> None:
    """Order 2 with 5 %: from 1.90 below (at the slow end) and 2.10 above (at the fast end) it is out by the readings
    alone; clear it is with the theory's 16 % alone: up to 1.90 / 1.16 = 1.638 turns."""
    speed = 49.0
    ends = (speed, 1.001 * speed) if turns < 2 else (0.999 * speed, speed)
    given = readings(*ends, lag=stiffness_for(turns * (0.998 if word != OUT_OF_LIMITS and turns < 2 else 1.0), speed))
    found = worked(given).finding("separation.lag.1")
    assert float(found.measured.si) == pytest.approx(abs(turns - 2) / 2, abs=3e-3)
    assert found.verdict.word == word


def test_lag_that_meets_an_order_in_use_leads_without_any_limit() -> None:
    given = readings(46.0, 52.0, lag=stiffness_for(2.0, 49.0))
    outcome = worked(given, aircraft(""))
    assert outcome.finding("separation.lag.1").verdict.word == OUT_OF_LIMITS
    assert outcome.word == OUT_OF_LIMITS
    assert "meets order 2" in outcome.lead[0]
    assert any("lag mode 1 meets order 2" in said and "WITHIN" in said for said in outcome.remarks)
    clear = worked(readings(46.0, 47.0, lag=stiffness_for(1.5, 46.5)), aircraft(""))
    assert clear.finding("separation.lag.1").verdict.word == NO_LIMIT
    assert "meets order" not in clear.lead[0]


def test_uncertainty_by_working_it_again() -> None:
    lag = stiffness_for(1.6, 49.0)
    given = readings(48.0, 49.0, lag=lag)
    given["sections"][0]["lag"] = f"{lag} ± {0.1 * lag} N*m^2"
    found = worked(given).finding("separation.lag.1").measured
    ends = [1 - lag_turns(lag * (1 + sign * 0.05), 48.0) / 2 for sign in (1, -1)]
    # Southwell's shapes at rest give the speed a little too much of the frequency, and the stiffness too little;
    # what a measured beam says of the theory, 16 % of the frequency, comes beside it
    theory = 2 * 0.08 * lag_turns(lag, 48.0) / 2
    assert float(found.expanded_si) == pytest.approx(math.hypot(ends[0] - ends[1], theory), rel=2e-2)
    mode = worked(given).finding("mode.lag.1").measured
    assert float(mode.expanded_si) / float(mode.si) == pytest.approx(
        math.hypot(0.16, 2 * (ends[1] - ends[0]) / lag_turns(lag, 48.0)), rel=5e-3
    )
    close = {**given, "slowest": "38 ± 0 rad/s", "fastest": "39.5 ± 0 rad/s"}
    assert worked(close).finding("separation.lag.1").verdict.word in (TOO_CLOSE, OUT_OF_LIMITS)


def test_a_rapped_frequency_that_does_not_fit_takes_the_verdict_away() -> None:
    hertz = 3.51602 * UNIT / (2 * math.pi)
    fits = worked(readings(48.0, 49.0, rest_flap=f"{1.05 * hertz} ± 0 Hz"))
    assert float(fits.finding("rest.flap").measured.si) == pytest.approx(hertz, rel=1e-4)
    assert "Rapped" not in fits.lead[0]
    off = worked(readings(48.0, 49.0, rest_flap=f"{1.2 * hertz} ± 0 Hz"))
    assert off.finding("rest.flap").verdict.word == UNDONE
    assert "Rapped" in off.lead[0]
    assert off.word == TOO_CLOSE, "worse than no verdict: flap, by the theory's 16 %, as without any rapping"
    for outcome, word in ((fits, IN_LIMITS), (off, UNDONE)):
        beside = [one.verdict for one in outcome.findings if not (one.aside or one.key.startswith("separation.flap"))]
        assert worst(beside) == word


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"fastest": "40 rad/s"}, "fastest"),
        ({"sections": []}, "sections"),
        ({"sections": [{"ends": "3.3 m"}]}, "sections.0.mass"),
        ({"sections": [{"ends": "0.2 m"}]}, "sections.0.ends"),
        ({"rotor": "fan"}, "rotor"),
    ],
)
def test_faults_at_their_fields(change: dict[str, Any], path: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked({**readings(48.0, 49.0), **change})
    assert path in dict(refusal.value.problems), refusal.value.problems


def test_two_stretches_are_as_one_where_they_are_alike() -> None:
    one = worked(readings(48.0, 49.0))
    halves = {"mass": f"{MASS} ± 0 kg/m", "flap": f"{STIFF} ± 0 N*m^2", "lag": "4e6 ± 0 N*m^2"}
    two = worked(readings(48.0, 49.0, sections=[{"ends": f"{at} ± 0 m", **halves} for at in (3.3, 1.5)]))
    figures = [[float(found.measured.si) for found in each.findings] for each in (one, two)]
    # the elements lie elsewhere: the highest mode differs by 3e-6
    assert np.allclose(figures[0], figures[1], rtol=2e-5, atol=5e-6)


@pytest.mark.parametrize("empty", [[], [{}, {}]])
def test_a_blade_without_figures_is_asked_for_at_a_field_of_its_own(empty: list[Any]) -> None:
    with pytest.raises(SheetError) as refusal:
        worked({**readings(45.0, 50.0), "sections": empty})
    [(path, _)] = refusal.value.problems
    assert path == ("sections.0.ends" if empty else "sections")


@pytest.mark.parametrize(("slow", "fast", "asked"), [(45.0, 50.0, False), (100.0, 110.0, True), (30.0, 40.0, True)])
def test_speeds_of_another_rotor_are_asked_about(slow: float, fast: float, asked: bool) -> None:
    """The aircraft's main rotor turns at 470 rpm: 49.2 rad/s."""
    assert any("are they this rotor's" in said for said in worked(readings(slow, fast)).remarks) == asked


def test_the_spreads_of_a_fan_plot() -> None:
    """Readings without ± leave the theory's 16 %; a stiffness of 10 % is 5 % of a frequency at rest beside it."""
    exact = sheet_type("blade_modes").from_readings(readings(48.0, 49.0))
    for shares in exact.spreads(aircraft(), 48.0).values():
        assert shares == pytest.approx([0.16] * len(shares), rel=1e-6)
    given = readings(48.0, 49.0)
    given["sections"][0]["flap"] = f"{STIFF} ± {0.1 * STIFF} N*m^2"
    still = sheet_type("blade_modes").from_readings(given).spreads(aircraft(), 1e-3)
    assert still["flap"] == pytest.approx([math.hypot(0.16, 0.05)] * 3, rel=2e-3)
    assert still["lag"] == pytest.approx([0.16, 0.16], rel=1e-6)
    marked = worked(given).pictures[-2].points
    shares = sheet_type("blade_modes").from_readings(given).spreads(aircraft(), 49.0)["flap"]
    assert [one.label for one in marked] == [f"flap {k}" for k in (1, 2, 3)]
    assert [one.y_spread / one.y for one in marked] == pytest.approx(shares, rel=1e-6)
    assert all(one.x == pytest.approx(49.0 * 30 / math.pi) for one in marked)


@pytest.mark.parametrize(("direction", "root"), [("flap", "hinged"), ("lag", "built in")])
def test_blades_that_differ_by_more_than_little_are_worked_each(direction: str, root: str) -> None:
    figures = np.array([0.1, 0.5, 1.1, 6.0, 9000.0, 9e5, 3.1, 4.0, 6000.0, 6e5])
    more = {0: 0.02, 2: 0.02, 6: 1.01 * LITTLE_MOVED} | dict.fromkeys((1, 3, 4, 5, 7, 8, 9), 1.01 * LITTLE)
    rows = np.stack([figures, *(figures * (1 + size * (np.arange(10) == i)) for i, size in more.items())])
    speeds = np.tile([30.0, 40.0], (len(rows), 1))
    found = many_frequencies(rows.T, direction, root, speeds, 2)
    each = [blade_of(row, direction, root).at(speeds[0], 2, direction) for row in rows]
    np.testing.assert_allclose(found, each, rtol=1e-9, atol=1e-5)


def test_a_blade_divided_otherwise_is_not_told_by_the_first_one_s_nodes() -> None:
    """A stretch of 5.4995 elements' length is one of five, of 5.5045 one of six."""
    figures = np.array([0.0, 0.5, 1.0999, 6.0, 9000.0, 9e5, 3.2, 4.0, 6000.0, 6e5])
    rows = np.stack([figures, figures + 1e-3 * (np.arange(10) == 2)])
    assert LITTLE_MOVED * 3.2 > 1e-3
    speeds = np.full((2, 1), 40.0)
    found = many_frequencies(rows.T, "flap", "built in", speeds, 3)
    each = [blade_of(row, "flap", "built in").at(speeds[0], 3, "flap") for row in rows]
    np.testing.assert_allclose(found, each, rtol=1e-9)
