"""Cyclic remaining in the hover: by plain arithmetic, and against the whole balance of the aircraft solved exactly."""

from __future__ import annotations

import math
from typing import Any

import pytest

from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE
from rotorkit.mass import hang_angle
from rotorkit.rotor import (
    cyclic_for_disk_tilt,
    disk_tilt_with_side_force,
    height_along_mast,
    height_with_hub_stiffness,
    hub_stiffness,
    mast_lean_with_side_force,
    offset_from_mast,
)
from rotorkit.sheets.base import Outcome, SheetError
from rotorkit.sheets.performance.cyclic_in_hover import CyclicInHover
from tests.sheets.small import small_aircraft

POUND = 0.45359237 * 9.80665  # N
HUB = {"arm": "100 in", "height": "50 in", "mast_left": "2 deg", "tail_rotor_below": "20 in"}
PLATE = {"rotor_turns": "counter-clockwise seen from above"}
GIVEN = {
    "forward": "6 ± 0.2 deg", "aft": "5 ± 0.2 deg", "left": "4.5 ± 0.2 deg", "right": "3.5 ± 0.2 deg",
    "density_altitude": "0 ft",
    "loadings": [{"loading": "two aboard", "weight": "1,250 lb", "arm": "98 ± 0.2 in", "lateral_arm": "-0.5 in"}],
}  # fmt: skip
ROW = dict(GIVEN["loadings"][0])  # type: ignore[call-overload]


def worked(hub: Any = HUB, plate: Any = PLATE, limit: str = "", rows: Any = None, more: Any = None,
           **given: str | None) -> Outcome:  # fmt: skip
    changes: dict[str, Any] = {"main_rotor__hub": hub, "main_rotor__swashplate": plate, **(more or {})}
    if limit:
        changes["limits__cyclic_in_hover"] = {"remaining": {"low": limit, "source": "test"}}
    readings = {**GIVEN, **given, **({"loadings": rows} if rows is not None else {})}
    readings = {key: one for key, one in readings.items() if one is not None}
    return CyclicInHover.from_readings(readings).work(small_aircraft(**changes))


def value(outcome: Outcome, key: str, unit: str = "deg") -> float:
    return float(outcome.finding(key).measured.value.m_as(unit))


def spread(outcome: Outcome, key: str, unit: str = "deg") -> float:
    return float(outcome.finding(key).measured.expanded.m_as(unit))


def tail_push(aircraft: Any, weight: float, density: float) -> float:
    """N, by momentum theory with a figure of merit."""
    rotor = aircraft.main_rotor
    area = math.pi * rotor.radius.si**2
    power = weight * math.sqrt(weight / (2 * density * area)) / rotor.figure_of_merit.si
    return float(power / rotor.speed.si / aircraft.tail_rotor.arm.si)


def fore_and_aft(e: float, h: float, weight: float, stiffness: float, lean: float) -> float:
    """The disk's tilt aft against the mast, exactly: about the hub the weight's moment is the hub's, by halving."""
    low, high = -0.5, 0.5
    for _ in range(80):
        tilt = (low + high) / 2
        nose = tilt - lean  # the disk is level
        if weight * (e * math.cos(nose) - h * math.sin(nose)) - stiffness * tilt > 0:
            low = tilt
        else:
            high = tilt
    return low


def sideways(e: float, h: float, weight: float, push: float, below: float, stiffness: float, lean: float
             ) -> tuple[float, float]:  # fmt: skip
    """(left side down, disk's tilt to the right) exactly, in the airframe's own axes: the side force square to its
    plane of symmetry at its own height, the thrust square to the disk."""
    low, high = -0.6, 0.6
    for _ in range(80):
        roll = (low + high) / 2
        across = push - weight * math.sin(roll)  # to the left along the airframe, what the thrust has to hold
        tilt = lean - math.atan2(across, weight * math.cos(roll))
        if weight * (e * math.cos(roll) - h * math.sin(roll)) + push * below - stiffness * tilt > 0:
            low = roll
        else:
            high = roll
    return low, tilt


@pytest.mark.parametrize("stiffness", [0.0, 4000.0, 40000.0])
@pytest.mark.parametrize("lean", [0.0, 3.0, -2.0])
@pytest.mark.parametrize(("e", "below"), [(0.08, 0.5), (-0.06, 0.5), (0.02, -0.2), (0.0, 0.0)])
def test_the_formulas_agree_with_the_whole_balance(stiffness: float, lean: float, e: float, below: float) -> None:
    """Within 0.03 degrees at tilts up to 8: what is left out is a cosine, and no side is off by a sign."""
    h, weight, push, turn = 1.25, 6000.0, 420.0, math.radians(lean)
    off = offset_from_mast.si(e, h, turn)
    high = height_along_mast.si(e, h, turn)
    tilt = hang_angle.si(off, height_with_hub_stiffness.si(high, stiffness, weight))
    assert math.degrees(tilt - fore_and_aft(e, h, weight, stiffness, turn)) == pytest.approx(0, abs=0.01)
    for force in (push, -push):
        leans = mast_lean_with_side_force.si(off, high, weight, force, below, stiffness)
        right = disk_tilt_with_side_force.si(leans, force, weight)
        roll, exact = sideways(e, h, weight, force, below, stiffness, turn)
        assert math.degrees(leans - turn - roll) == pytest.approx(0, abs=0.03)
        assert math.degrees(right - exact) == pytest.approx(0, abs=0.03)


def test_a_stiff_hub_by_hinges_followed_round_a_turn() -> None:
    """Three blades flapping by β cos ψ pull at their hinges with S Ω² β and twist them by k β: the moment about the
    tilted axis, added up blade by blade at many places round the turn."""
    offset, moment, speed, spring, tilt = 0.25, 60.0, 40.0, 3000.0, 0.02
    whole = 0.0
    for step in range(360):
        for blade in range(3):
            psi = math.radians(step) + 2 * math.pi * blade / 3
            flap = tilt * math.cos(psi)
            whole += (offset * moment * speed**2 * flap + spring * flap) * math.cos(psi) / 360
    assert float(hub_stiffness.si(3.0, offset, moment, speed, spring)) * tilt == pytest.approx(whole)


def test_a_blade_behind_its_pitch_by_less_than_a_quarter_turn() -> None:
    """A flapping blade as a damped oscillator, driven once a turn: I (β̈ + ν² Ω² β) + c (β̇ - Ω θ') = 0, with the
    tilt over the pitch the sine of the lag between them."""
    stiff, damping = 0.12, 0.9  # (ν² - 1) and γ/8, by Ω²
    answer = damping / complex(stiff, damping)
    lag = -math.degrees(math.atan2(answer.imag, answer.real))
    tilt = float(cyclic_for_disk_tilt.si(math.radians(3.0), math.radians(lag)))
    assert math.degrees(tilt) == pytest.approx(3.0 / abs(answer), rel=1e-9)


def test_one_loading_by_plain_arithmetic() -> None:
    """2 in ahead of a hub 50 in up: arctan 0.04 = 2.291 degrees nose down and stick aft."""
    outcome = worked()
    aft = math.degrees(math.atan(2 / 50))
    assert value(outcome, "nose_down.most") == pytest.approx(aft)
    assert value(outcome, "remaining.aft", "") == pytest.approx((5 - aft) / 11)
    assert value(outcome, "remaining.forward", "") == pytest.approx((6 + aft) / 11)
    # ±: the arm's 0.2 in and the range's 0.2 degrees, of which the one in numerator and sum
    slope = math.degrees(1 / 50) / (1 + 0.04**2)
    parts = (slope * 0.2 / 11, 0.2 * (11 - (5 - aft)) / 121, 0.2 * (5 - aft) / 121)
    assert spread(outcome, "remaining.aft", "") == pytest.approx(math.hypot(*parts), rel=1e-6)
    # to the side: 0.5 in left of a hub whose mast leans 2 degrees left, the tail rotor 20 in below it
    aircraft = small_aircraft()
    weight = 1250 * POUND
    push = tail_push(aircraft, weight, 1.225) / weight
    lean = math.radians(2)
    off, high = 0.5 * math.cos(lean) + 50 * math.sin(lean), 50 * math.cos(lean) - 0.5 * math.sin(lean)
    leans = (off + 20 * push) / high
    right = math.degrees(math.atan(leans - push / math.cos(math.atan(leans))))
    assert value(outcome, "left_down.most") == pytest.approx(math.degrees(math.atan(leans)) - 2, rel=1e-6)
    assert value(outcome, "remaining.right", "") == pytest.approx((3.5 - right) / 8, rel=1e-6)
    assert value(outcome, "remaining.left", "") == pytest.approx((4.5 + right) / 8, rel=1e-6)
    assert outcome.word == NO_LIMIT
    assert outcome.missing == []
    assert outcome.lead[0].startswith("This is an estimate")


def test_turned_round_it_is_mirrored() -> None:
    """A rotor that turns clockwise, loaded on the other side, its mast leaning the other way: left is right."""
    one = worked()
    mirrored = {**ROW, "lateral_arm": "0.5 in"}
    other = worked({**HUB, "mast_left": "-2 deg"}, {"rotor_turns": "clockwise seen from above"}, rows=[mirrored],
                   left="3.5 ± 0.2 deg", right="4.5 ± 0.2 deg")  # fmt: skip
    assert value(other, "remaining.left", "") == pytest.approx(value(one, "remaining.right", ""))
    assert value(other, "left_down.most") == pytest.approx(-value(one, "left_down.most"))
    assert value(other, "remaining.aft", "") == value(one, "remaining.aft", "")
    aft = worked(rows=[{**ROW, "arm": "102 ± 0.2 in"}])
    assert value(aft, "nose_down.most") == pytest.approx(-value(one, "nose_down.most"))


@pytest.mark.parametrize(("limit", "word"), [("15 %", IN_LIMITS), ("24 %", TOO_CLOSE), ("35 %", OUT_OF_LIMITS)])
def test_both_sides_of_the_manual_s_limit(limit: str, word: str) -> None:
    """24.6 ± 2.1 per cent are left aft."""
    rows = [{**ROW, "lateral_arm": "0 in"}]
    outcome = worked(limit=limit, rows=rows)
    assert outcome.finding("remaining.aft").verdict.word == word
    if word != IN_LIMITS:
        assert "two aboard" in outcome.to_do


@pytest.mark.parametrize(("arm", "word", "says"), [
    ("94.9 ± 0.2 in", OUT_OF_LIMITS, "cannot hold"), ("95.7 ± 0.2 in", TOO_CLOSE, "may not hold"),
])  # fmt: skip
def test_a_stop_that_comes_first_leads(arm: str, word: str, says: str) -> None:
    """5.1 in ahead: 5.82 degrees of the 5 that there are; 4.3 in ahead: 4.92 ± 0.3."""
    outcome = worked(rows=[ROW, {**ROW, "loading": "heavy in front", "arm": arm}])
    assert outcome.finding("remaining.aft").verdict.word == word
    assert outcome.word == word
    assert outcome.lead[0].startswith(f"heavy in front: the stick full aft {says} it")
    assert outcome.to_do == (
        "Not to be flown until that is settled: heavy in front (aft). Less weight in front leaves more aft; or set the "
        "cyclic's range as the manual says, and read it again."
    )


def test_one_surely_out_goes_before_one_that_may_be_further_out() -> None:
    """At a height of 50 in 4.1 in ahead is 4.69 degrees, of 5 and 6 rigged 2.8 per cent left, and 4.7 in is 5.37, none;
    3.5 ± 2 in is 4.0, 9.1 per cent left, which may be less than nothing, and no more is known of it."""
    vague, sure, beyond = ({**ROW, "loading": name, "arm": arm} for name, arm in (
        ("vague", "96.5 ± 2 in"), ("sure", "95.9 ± 0.1 in"), ("beyond", "95.3 ± 0.1 in")))  # fmt: skip
    small = {"aft": "5 ± 0.02 deg", "forward": "6 ± 0.02 deg"}
    outcome = worked(limit="5 %", rows=[vague, sure], **small)
    assert value(outcome, "remaining.aft", "percent") == pytest.approx(100 * (5 - math.degrees(math.atan(0.082))) / 11)
    assert outcome.finding("remaining.aft").verdict.word == OUT_OF_LIMITS
    assert outcome.lead[0].startswith("vague: the stick full aft may not hold it")
    outcome = worked(limit="5 %", rows=[vague, beyond], **small)
    assert outcome.lead[0].startswith("beyond: the stick full aft cannot hold it")


def test_what_is_missing_is_no_verdict_yet() -> None:
    for left_out, part in (
        ({"aft": None}, "cyclic range aft"), ({"density_altitude": None}, "density altitude"),
        ({"rows": [{**ROW, "lateral_arm": ""}]}, "a loading with its weight and both arms"),
        ({"hub": {"arm": "100 in", "height": "50 in"}}, "tail_rotor_below"),
    ):  # fmt: skip
        outcome = worked(limit="1 %", **left_out)  # type: ignore[arg-type]
        assert any(part in one for one in outcome.missing), (part, outcome.missing)
        assert outcome.word not in (IN_LIMITS, NO_LIMIT)
        assert outcome.finding("nose_down.most") is not None


def test_a_loading_outside_the_envelope_is_told_and_not_judged() -> None:
    file = {
        "empty_weight": "800 lb", "empty_arm": "106 in", "source": "test",
        "envelopes": [{
            "title": "Lengthwise", "between": "arm and mass", "source": "test",
            "corners": [{"arm": arm, "mass": mass} for arm, mass in
                        (("97 in", "800 lb"), ("97 in", "1,400 lb"), ("103 in", "1,400 lb"), ("103 in", "800 lb"))],
        }],
    }  # fmt: skip
    outside = {**ROW, "loading": "never", "arm": "94 ± 0.2 in"}
    outcome = worked(rows=[ROW, outside], more={"loading": file}, limit="1 %")
    assert outcome.word == IN_LIMITS
    assert any("never: " in said and "outside an envelope" in said for said in outcome.remarks)
    alone = worked(rows=[outside], more={"loading": file}, limit="1 %")
    assert "a loading inside the envelopes" in alone.missing
    assert not any(one.key.startswith("remaining") for one in alone.findings)


def test_wrong_things_are_refused_at_their_field() -> None:
    for given, path in (
        ({"rows": [{**ROW, "weight": ""}]}, "loadings.0.weight"),
        ({"rows": [{**ROW, "loading": " "}]}, "loadings.0.loading"),
        ({"rows": [ROW, ROW]}, "loadings.1.loading"),
        ({"rows": []}, "loadings"),
        ({"aft": "-7 deg"}, "forward"),
    ):  # fmt: skip
        with pytest.raises(SheetError) as refused:
            worked(**given)  # type: ignore[arg-type]
        assert path in {at for at, _ in refused.value.problems}


def test_a_stiff_hub_needs_less_and_asks_for_its_blade() -> None:
    """Hinges 2 in out, 3,000 lb in each: K = b/2 e S Ω², and the height it comes to is h + K / W."""
    hub = {**HUB, "hinge_offset": "2 in", "blade_moment": "3,000 lb*in"}
    outcome = worked(hub)
    rotor = small_aircraft().main_rotor
    speed = rotor.speed.si
    stiffness = len(rotor.blades) / 2 * 0.0508 * (3000 * 0.45359237 * 0.0254) * speed**2
    high = 50 + stiffness / (1250 * POUND) / 0.0254
    assert value(outcome, "nose_down.most") == pytest.approx(math.degrees(math.atan(2 / high)), rel=1e-6)
    with pytest.raises(ValueError, match="blade_moment is needed beside hinge_offset"):
        worked({**HUB, "hinge_offset": "2 in"})
