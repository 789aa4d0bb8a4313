"""How the aircraft hangs in the hover, by plain arithmetic; and that the demo's weighing, loading and hovers agree."""

from __future__ import annotations

import math
from typing import Any

import pytest

from rotorkit.aircraft import demo_folder
from rotorkit.folder.checks import Folder
from rotorkit.judging.agreement import says_the_same
from rotorkit.quantities import Length, Mass, read
from rotorkit.sheets.base import Outcome
from rotorkit.sheets.performance.hover_margin import HoverMargin
from tests.sheets.small import small_aircraft

DAY = {
    "gross_weight": "1,250 ± 4 lb", "altimeter_setting": "29.92 ± 0.02 inHg", "elevation": "500 ± 5 ft",
    "temperature": "70 ± 1 °F", "humidity": "50 ± 5 %", "rotor_speed": "470 ± 2 rpm",
}  # fmt: skip
HUB = {"arm": "100 ± 0.1 in", "lateral_arm": "0.5 ± 0.1 in", "height": "50 ± 2 in"}


def worked(hub: Any = HUB, **given: str) -> Outcome:
    return HoverMargin.from_readings({**DAY, **given}).work(small_aircraft(**({"main_rotor__hub": hub} if hub else {})))


def degrees(outcome: Outcome, key: str) -> tuple[float, float]:
    found = outcome.finding(key).measured
    return float(found.value.m_as("deg")), float(found.expanded.m_as("deg"))


@pytest.mark.parametrize("ahead", [3.0, -3.0, 0.0])
def test_nose_and_left_side_hang_where_the_weight_is(ahead: float) -> None:
    """arctan(e / h): 3 in ahead of a hub 50 in up are 3.434 degrees nose down; aft of it, nose up."""
    outcome = worked(arm=f"{100 - ahead} ± 0.2 in", lateral_arm=f"{0.5 - ahead} ± 0.2 in")
    slope = math.degrees(1) / (1 + (ahead / 50) ** 2)
    spread = slope * math.hypot(0.2 / 50, 0.1 / 50, 2 * ahead / 50**2)
    for key in ("hangs_nose_down", "hangs_left_down"):
        assert degrees(outcome, key) == pytest.approx((math.degrees(math.atan(ahead / 50)), spread), rel=2e-3, abs=1e-9)
    assert any("stick is off centre by as much: aft" in said for said in outcome.remarks)


def test_a_mast_that_leans_is_told_to_move_the_stick_too() -> None:
    """The airframe hangs as it did; the disk, square to the mast at stick centred, stands off by the lean besides."""
    outcome = worked({**HUB, "mast_forward": "3 deg"}, arm="97 ± 0.2 in", lateral_arm="0.5 ± 0.2 in")
    assert degrees(outcome, "hangs_nose_down")[0] == pytest.approx(math.degrees(math.atan(3 / 50)), rel=2e-3)
    assert any("by as much, and by the mast's own lean besides: aft" in said for said in outcome.remarks)


def test_it_is_told_beside_the_margin_and_asked_for_by_nothing() -> None:
    plain, hung = worked(), worked(arm="97 ± 0.2 in")
    assert hung.word == plain.word
    assert hung.missing == plain.missing == []
    assert [one.key for one in hung.findings if one.key not in {two.key for two in plain.findings}] == [
        "hangs_nose_down"
    ]
    assert any("write [main_rotor.hub]" in said for said in worked(None, arm="97 ± 0.2 in").remarks)


def test_the_demo_s_weight_centre_and_fuel_agree() -> None:
    """Weighing, ledger, aircraft file, loading and every check that takes its weight: one aircraft, one afternoon."""
    folder = Folder(demo_folder())
    aircraft, checks = folder.aircraft, {one.name: one for one in folder.checks}
    empty = ("empty_weight", "empty_arm", "empty_lateral_arm")
    weighed = checks["weighed"].outcome(aircraft)
    ledger = checks["equipment_since"].outcome(aircraft)
    begins = checks["equipment_since"].readings
    for key, field, kind in zip(empty, ("weighed_weight", "weighed_arm", "weighed_lateral_arm"),
                                (Mass, Length, Length), strict=True):  # fmt: skip
        assert says_the_same(read(begins[field], kind), weighed.finding(key).measured)
        assert says_the_same(getattr(aircraft.loading, key), ledger.finding(key).measured)
    loaded = checks["loaded_today"].outcome(aircraft)
    start = float(loaded.finding("gross_weight").measured.value.m_as("lb"))
    assert start == pytest.approx(1255, abs=0.5)
    flown = [one for one in folder.checks if "gross_weight" in one.readings]
    assert len(flown) >= 4
    for one in flown:
        assert one.readings["gross_weight"].startswith("1,255 lb"), one.name
    hover = checks["hover_today"].readings
    assert says_the_same(read(hover["arm"], Length), loaded.finding("arm_start").measured)
    assert says_the_same(read(hover["lateral_arm"], Length), loaded.finding("lateral_arm_start").measured)
    # the tank that the weighing could not drain, the loading and the hub: one place, one datum
    tank = aircraft.loading.stations["fuel"]  # type: ignore[union-attr]
    (undrained,) = checks["weighed"].readings["aboard"]
    assert undrained["arm"] == tank.arm.typed
    assert undrained["lateral_arm"] == tank.lateral_arm.typed
    fuel = next(row for row in checks["loaded_today"].readings["items"] if row["station"] == "Fuel")
    assert float(read(fuel["mass"], Mass).value.m_as("lb")) <= float(tank.most.value.m_as("lb"))
    hub = aircraft.main_rotor.hub
    assert hub is not None
    assert hub.arm.typed.startswith("100.0")
