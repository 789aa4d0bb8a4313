"""Balancing against published worked examples of references/balancing_examples.csv, each with its source."""

import math

import pytest

from rotorkit.balance import (
    balance_from_amplitudes,
    balance_from_two_trials,
    balance_planes,
    influence_coefficients,
    influence_of,
    one_plane_balance,
    static_balance,
    two_plane_balance,
)
from rotorkit.quantities import assert_quantity
from tests.reference_table import row


def arrows(text: str) -> list[tuple[str, str]]:
    return [tuple(one.strip().split("@")) for one in text.split(";")]  # type: ignore[misc]


def example(name: str) -> dict[str, str]:
    return row("balancing_examples.csv", "id", name)


def read_as(text: str, unit: str) -> list[tuple[str, str]]:
    return [(f"{size} {unit}", f"{angle} deg") for size, angle in arrows(text)]


def test_one_plane_by_a_trial_weight() -> None:
    """J. Vaughan, application note, example 2 (quoted)."""
    case = example("BK-static-ex2")
    [original], [trial], [run] = (
        read_as(case[name], unit) for name, unit in (("original", "mm/s"), ("trial", "g"), ("runs", "mm/s"))
    )
    found = one_plane_balance(original, trial, run)
    for column in ("expected", "recomputed"):
        [(size, angle)] = read_as(case[column], "g")
        assert_quantity(found.weight, size)
        assert_quantity(found.angle, angle)


def test_two_planes_by_trial_weights() -> None:
    """J. Vaughan, application note, the two-plane example (quoted)."""
    case = example("BK-dynamic")
    original = read_as(case["original"], "mm/s")
    runs = [read_as(run, "mm/s") for run in case["runs"].split("/")]
    found = balance_planes(original, influence_coefficients(original, read_as(case["trial"], "g"), runs))
    for column in ("expected", "recomputed"):
        for correction, (size, angle) in zip(found.corrections, read_as(case[column], "g"), strict=True):
            assert_quantity(correction.amplitude, size)
            assert_quantity(correction.angle, angle)
    assert all(abs(left.si) < 1e-15 for left in found.residuals)


def test_least_squares_over_more_readings_than_planes() -> None:
    """T. P. Goodman, 1964 (quoted); what is left is computed."""
    case = example("Goodman1964")
    effects = [[(float(size), f"{angle} deg") for size, angle in arrows(line)] for line in case["runs"].split("/")]
    original = [(float(size), f"{angle} deg") for size, angle in arrows(case["original"])]
    found = balance_planes(original, influence_of(effects))
    for column in ("expected", "recomputed"):
        for correction, (size, _) in zip(found.corrections, arrows(case[column]), strict=True):
            assert_quantity(correction.amplitude, size)
            assert correction.angle.si == pytest.approx(0, abs=1e-12)
    for left, (size, angle) in zip(found.residuals, arrows(example("left-Goodman1964")["recomputed"]), strict=True):
        assert_quantity(left.amplitude, size)
        assert abs(left.si - float(size) * math.cos(math.radians(float(angle)))) < 1e-7


def test_static_balance() -> None:
    """B. K. Sarkar, illustration 8.1 (quoted)."""
    case = example("Sarkar-8.1")
    masses, radii, angles = zip(*(one.split() for one in case["original"].split(";")), strict=True)
    found = static_balance(
        [f"{m} kg" for m in masses], [f"{r} mm" for r in radii], [f"{a} deg" for a in angles], f"{case['trial']} mm"
    )
    for column in ("expected", "recomputed"):
        [(size, angle)] = read_as(case[column], "kg")
        assert_quantity(found.mass, size)
        assert_quantity(found.angle, angle)


def test_couple_of_balance_planes() -> None:
    """T. Bevan, chapter 14, example 1 (BA1, quoted): the planes outside and inside."""
    expected = [float(one) for one in row("balance_vibration.csv", "id", "BA1")["recomputed"].split(";")]
    found = []
    for place in ("-10 in", "10 in"):
        near, far = two_plane_balance(["200 lb"], ["9 in"], ["0 deg"], [place], ("0 in", "50 in"), ("15 in", "15 in"))
        found += [far.mass, near.mass]
    for mass, wanted in zip(found, expected, strict=True):
        assert_quantity(mass, f"{wanted:g} lb", within="0.0001 lb")


@pytest.mark.parametrize("name", ["FR1-squares", "FR1-least"])
def test_four_runs_without_phase(name: str) -> None:
    case = example(name)
    runs = arrows(case["runs"])
    method = "sum of squares" if name == "FR1-squares" else "least squares"
    places, readings = [f"{a} deg" for _, a in runs], [f"{r} thou" for r, _ in runs]
    found = balance_from_amplitudes(f"{case['original']} thou", f"{case['trial']} g", places, readings, method)
    correction, effect, closure = case["recomputed"].split("; ")
    [(size, angle)] = arrows(correction)
    assert_quantity(found.weight, f"{size} g")
    assert_quantity(found.angle, f"{angle} deg")
    assert_quantity(found.effect, f"{effect.split()[1]} thou")
    assert f"{found.closure:.4f}" == closure.split()[1]
    assert "do not meet in one point" in found.in_words


def test_two_trial_runs_leave_two_answers() -> None:
    case = example("FR2")
    runs = arrows(case["runs"])
    answers = balance_from_two_trials(
        float(case["original"]), float(case["trial"]), [f"{a} deg" for _, a in runs], [float(r) for r, _ in runs]
    )
    correction, effect = case["recomputed"].split("; ")
    [(size, angle)] = arrows(correction)
    for answer, sign in zip(answers, (-1, 1), strict=True):
        assert_quantity(answer.effect, effect.split()[1])
        assert_quantity(answer.weight, size)
        assert_quantity(answer.angle, f"{180 + sign * float(angle):.3f} deg")
        assert "which" in answer.in_words
