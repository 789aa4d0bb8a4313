"""Trial weights and influence coefficients: known rotors, uncertainty by simulation, senses of the angle."""

import cmath
import math

import numpy as np
import pytest

from rotorkit.balance import (
    Phasor,
    balance_from_amplitudes,
    balance_from_two_trials,
    balance_planes,
    chance_within,
    condition_in_words,
    influence_coefficients,
    influence_of,
    mean_phasor,
    one_plane_balance,
    phasor,
    predicted,
    still_hold,
)
from rotorkit.judging import measured
from rotorkit.quantities import QuantityError, Speed, assert_quantity


def polar(value: complex, unit: str = "in/s", spread: str = "") -> tuple[str, str]:
    angle = math.degrees(cmath.phase(value))
    return (f"{abs(value):.9f}{spread} {unit}", f"{angle:.9f} deg")


EFFECT = cmath.rect(0.03, math.radians(200))  # in/s per gram at the mark
HEAVY = cmath.rect(14.0, math.radians(75))  # grams of unbalance


def test_a_known_rotor_is_balanced_and_its_correction_stands_opposite() -> None:
    original, tried = EFFECT * HEAVY, EFFECT * (HEAVY + cmath.rect(8, math.radians(310)))
    found = one_plane_balance(polar(original), ("8 g", "310 deg"), polar(tried))
    assert_quantity(found.weight, "14.000 g")
    assert_quantity(found.angle, "-105.00 deg")
    assert abs(found.promised.si) < 1e-9


def test_angles_counted_against_the_phase_turn_round() -> None:
    """The same rotor, its weights' angles counted the other way: the answer is the mirror image."""
    original, tried = EFFECT * HEAVY, EFFECT * (HEAVY + cmath.rect(8, math.radians(310)))
    found = one_plane_balance(polar(original), ("8 g", "-310 deg"), polar(tried), sense="against phase")
    assert_quantity(found.angle, "105.00 deg")
    wrong = one_plane_balance(polar(original), ("8 g", "-310 deg"), polar(tried))
    assert abs(math.degrees(wrong.angle.si) - 105) > 1


def test_the_promise_covers_what_is_left_in_95_of_100() -> None:
    """Readings with known errors, the correction put on the true rotor: what is left against what was promised."""
    rng = np.random.default_rng(11)
    inside = below = 0
    chances = []
    runs = 200
    for _ in range(runs):
        noise = rng.normal(0, 0.01, 4)
        original, tried = EFFECT * HEAVY, EFFECT * (HEAVY + 10)
        v0, v1 = original + complex(*noise[:2]), tried + complex(*noise[2:])
        pair = []
        for value in (v0, v1):
            parts = [
                measured(f"{part:.9f} in/s", Speed, "part", "0.01 in/s", stated_as="standard")
                for part in (value.real, value.imag)
            ]
            pair.append(Phasor(*parts))
        found = one_plane_balance(pair[0], ("10 g", "0 deg"), pair[1])
        put = found.correction.si * 1000
        left = EFFECT * (HEAVY + put)
        sigma = math.sqrt(np.trace(found.promised.covariance) / 2) / 0.0254
        inside += abs(left) <= 2.4477 * sigma  # 95 % of a normal distribution in two dimensions
        chances.append(chance_within(found.promised, "0.05 in/s"))
        below += abs(left) <= 0.05
    assert 0.92 <= inside / runs <= 0.98
    assert below / runs == pytest.approx(np.mean(chances), abs=0.05)


def test_repeats_scatter_and_are_averaged_as_arrows() -> None:
    mean = mean_phasor([phasor("0.4 in/s", "350 deg"), phasor("0.4 in/s", "10 deg"), phasor("0.4 in/s", "0 deg")])
    assert mean.angle.si == pytest.approx(0, abs=1e-12)
    # s^2 = sum |z - mean|^2 / 4 over three; s / sqrt(3), widened by t for 4 degrees of freedom over 2
    values = [cmath.rect(0.4, math.radians(a)) for a in (350, 10, 0)]
    centre = sum(values) / 3
    spread = math.sqrt(sum(abs(v - centre) ** 2 for v in values) / 4 / 3) * 2.8693 / 2
    assert float(mean.along.standard_si) / 0.0254 == pytest.approx(spread, rel=1e-4)
    listed = one_plane_balance(
        [("0.4 in/s", "350 deg"), ("0.4 in/s", "10 deg")], ("5 g", "0 deg"), ("0.2 in/s", "0 deg")
    )
    assert float(listed.weight.standard_si) > 0


def test_uncertainty_agrees_with_a_simulation() -> None:
    found = one_plane_balance(
        ("0.50 ± 0.02 in/s", "100 ± 6 deg"), ("10 ± 0.2 g", "0 deg"), ("0.40 ± 0.02 in/s", "20 ± 6 deg")
    )
    rng = np.random.default_rng(3)
    n = 40_000

    def drawn(size: float, u: float, angle: float, ua: float) -> np.ndarray:
        turned = np.radians(rng.normal(angle, ua, n))
        return np.asarray(rng.normal(size, u, n) * np.exp(1j * turned))

    v0, v1, t = drawn(0.5, 0.01, 100, 3), drawn(0.4, 0.01, 20, 3), drawn(10, 0.1, 0, 0)
    c = -v0 * t / (v1 - v0)
    assert float(found.weight.standard_si) * 1000 == pytest.approx(np.std(np.abs(c)), rel=0.03)
    assert math.degrees(float(found.angle.standard_si)) == pytest.approx(np.degrees(np.std(np.angle(c))), rel=0.03)


def test_other_weights_leave_what_they_must() -> None:
    left = predicted(("0.4 in/s", "0 deg"), ("0.4 in/s", "60 deg"), ("10 g", "0 deg"), ("5 g", "0 deg"))
    assert_quantity(left.amplitude, f"{0.4 * math.cos(math.radians(30)):.6f} in/s")
    assert_quantity(left.angle, "30.000 deg")


@pytest.mark.parametrize("bad", [
    {"original": ("3.4", "116 deg")}, {"trial": ("0 g", "0 deg")}, {"trial": ("2 N", "0 deg")},
    {"with_trial": ("3.4 mm/s", "116 deg")}, {"original": ("-3 mm/s", "0 deg")}, {"original": ("3.4 mm/s", "116")},
    {"sense": "left"}, {"original": "3.4 mm/s"},
])  # fmt: skip
def test_what_cannot_be_worked_is_refused_with_its_name(bad: dict[str, object]) -> None:
    good = {"original": ("3.4 mm/s", "116 deg"), "trial": ("2 g", "0 deg"), "with_trial": ("1.8 mm/s", "42 deg")}
    with pytest.raises(QuantityError, match=r"(?i)reading|trial|sense"):
        one_plane_balance(**{**good, **bad})  # type: ignore[arg-type]


def test_amplitudes_alone_find_the_known_rotor() -> None:
    places = [0, 95, 170, 260]
    readings = [f"{abs(EFFECT * (HEAVY + cmath.rect(9, math.radians(a)))):.9f} in/s" for a in places]
    original = f"{abs(EFFECT * HEAVY):.9f} in/s"
    angles = [f"{a} deg" for a in places]
    for method in ("least squares", "sum of squares"):
        found = balance_from_amplitudes(original, "9 g", angles, readings, method)
        assert_quantity(found.weight, "14.0000 g")
        assert_quantity(found.angle, "255.000 deg")
        assert found.closure == pytest.approx(1, abs=1e-6)
        assert "close" in found.in_words
    both = balance_from_two_trials(original, "9 g", angles[:2], readings[:2])
    assert any(one.angle.si == pytest.approx(math.radians(255), abs=1e-6) for one in both)
    assert all(one.weight.si == pytest.approx(0.014, abs=1e-8) for one in both if one.angle.si > 4)
    with pytest.raises(QuantityError, match="do not meet"):
        balance_from_two_trials(3, 1, ["0 deg", "180 deg"], [1, 1])
    with pytest.raises(QuantityError, match="three different"):
        balance_from_amplitudes(3, 1, ["0 deg", "180 deg"], [4, 4])


PLANES = np.array([[1.0 + 0.2j, 0.3 - 0.1j], [0.2 + 0.1j, 0.9 - 0.4j], [0.5, 0.6j]]) * 0.02
UNBALANCE = np.array([cmath.rect(12, 1.0), cmath.rect(7, -2.0)])


def of_rotor(extra: np.ndarray) -> list[tuple[str, str]]:
    return [polar(value) for value in PLANES @ (UNBALANCE + extra)]


def test_two_planes_of_a_known_rotor_with_both_weights_in_one_run_too() -> None:
    original = of_rotor(np.zeros(2))
    trials = [("10 g", "30 deg"), {0: ("5 g", "0 deg"), 1: ("8 g", "100 deg")}]
    put = [np.array([cmath.rect(10, math.radians(30)), 0]), np.array([5, cmath.rect(8, math.radians(100))])]
    influence = influence_coefficients(original, trials, [of_rotor(one) for one in put])
    assert influence.matrix * 0.001 / 0.0254 == pytest.approx(PLANES, abs=1e-8)
    found = balance_planes(original, influence)
    for correction, heavy in zip(found.corrections, UNBALANCE, strict=True):
        assert correction.si * 1000 == pytest.approx(-heavy, abs=1e-6)
    assert found.condition == pytest.approx(np.linalg.cond(PLANES), rel=1e-6)
    # nothing put on: what is promised is what is read
    for left, before in zip(found.with_weights([("0 g", "0 deg")] * 2), found.original, strict=True):
        assert left.si == pytest.approx(before.si)


def test_the_worst_reading_is_least_and_importance_counts() -> None:
    """Against a general-purpose minimiser: SciPy's SLSQP of the largest weighted reading."""
    from scipy.optimize import minimize

    rng = np.random.default_rng(5)
    matrix = rng.normal(size=(5, 2)) + 1j * rng.normal(size=(5, 2))
    v0 = rng.normal(size=5) + 1j * rng.normal(size=5)
    importance = np.array([1, 2, 1, 0.5, 1])
    known = influence_of([[(abs(a), f"{math.degrees(cmath.phase(a)):.12f} deg") for a in row] for row in matrix])
    original = [(abs(v), f"{math.degrees(cmath.phase(v)):.12f} deg") for v in v0]
    found = balance_planes(original, known, importance=importance, least="worst")
    worst = max(w * abs(left.si) for w, left in zip(importance, found.residuals, strict=True))
    start = [0.0, 0.0, 0.0, 0.0, 5.0]
    sides = {
        "type": "ineq",
        "fun": lambda x: x[4] ** 2 - np.abs(importance * (v0 + matrix @ (x[:2] + 1j * x[2:4]))) ** 2,
    }
    best = minimize(lambda x: x[4], start, constraints=[sides], options={"ftol": 1e-12, "maxiter": 500})
    assert worst == pytest.approx(best.fun, rel=2e-3)
    plain = balance_planes(original, known, importance=importance)
    assert worst < max(w * abs(left.si) for w, left in zip(importance, plain.residuals, strict=True))
    solved = np.linalg.lstsq(importance[:, None] * matrix, -importance * v0, rcond=None)[0]
    assert np.array([one.si for one in plain.corrections]) == pytest.approx(solved)


def test_planes_that_cannot_be_told_apart_are_said_and_held_back() -> None:
    known = influence_of([[(1, "0 deg"), (1.001, "0 deg")], [(1, "0 deg"), (1, "0 deg")]])
    original = [(1, "0 deg"), (1.05, "0 deg")]
    plain, held = balance_planes(original, known), balance_planes(original, known, ridge=0.1)
    assert plain.condition > 1000
    assert "hardly told apart" in plain.in_words
    assert max(abs(one.si) for one in plain.corrections) > 20
    assert max(abs(one.si) for one in held.corrections) < 1
    assert max(abs(one.si) for one in held.residuals) < 0.1
    assert "cannot tell" in condition_in_words(math.inf)
    with pytest.raises(QuantityError, match="cannot settle"):
        balance_planes([(1, "0 deg")], influence_of([[(1, "0 deg"), (1, "0 deg")]]))


def test_kept_coefficients_hold_or_not() -> None:
    promised = phasor("0.10 ± 0.04 in/s", "0 ± 10 deg")
    assert still_hold(promised, phasor("0.11 ± 0.04 in/s", "5 ± 10 deg")).holds
    gone = still_hold(promised, phasor("0.30 ± 0.04 in/s", "90 ± 10 deg"))
    assert not gone.holds
    assert "no longer hold" in gone.in_words
    with pytest.raises(QuantityError, match="uncertainty"):
        still_hold(phasor("1 in/s"), phasor("2 in/s"))


def test_the_chance_against_counted_draws() -> None:
    left = phasor("0.12 ± 0.08 in/s", "40 ± 50 deg")
    rng = np.random.default_rng(1)
    drawn = rng.multivariate_normal([left.si.real, left.si.imag], left.covariance, 200_000)
    for limit in (0.08, 0.15, 0.2):
        counted = np.mean(np.hypot(*drawn.T) <= limit * 0.0254)
        assert chance_within(left, f"{limit} in/s") == pytest.approx(counted, abs=0.004)
    assert chance_within(phasor("0.2 in/s"), "0.2 in/s") == 1.0
    assert chance_within(phasor("0.2001 in/s"), "0.2 in/s") == 0.0
