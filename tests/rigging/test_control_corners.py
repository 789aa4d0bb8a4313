"""Corners: all combinations there are, and nothing taken for good that was not tried."""

import itertools

import pytest

from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import measured
from rotorkit.quantities import Angle, Length, QuantityError, assert_quantity
from rotorkit.rigging import CornerReading, added_effects, corner_combinations, corner_map

CONTROLS = {"collective": ("low", "high"), "stick": ("forward", "aft"), "pedals": ("left", "right")}
LIMIT = Limit("clearance", Length, low="1/4 in", source="manual", unit="in")


def ends(*which: str) -> dict[str, str]:
    return dict(zip(CONTROLS, which, strict=True))


def test_every_combination_once() -> None:
    corners = corner_combinations(CONTROLS)
    assert [tuple(end for _, end in corner) for corner in corners] == list(itertools.product(*CONTROLS.values()))
    three = corner_combinations({"stick": ("forward", "neutral", "aft"), "pedals": ("left", "right")})
    assert len(three) == 6


def test_all_tried_and_free() -> None:
    found = corner_map(CONTROLS, [CornerReading(dict(corner), True, "") for corner in corner_combinations(CONTROLS)])
    assert found.word == "in limits"
    assert not found.missing
    assert found.sentence == "8 of 8 combinations tried"


def test_one_missing_is_no_verdict() -> None:
    corners = corner_combinations(CONTROLS)
    found = corner_map(CONTROLS, [CornerReading(dict(corner), True, "") for corner in corners[1:]])
    assert found.word == "no verdict yet"
    assert found.sentence == "7 of 8 combinations tried; not tried: collective low, stick forward, pedals left"


def test_contact_and_a_control_short_of_its_end_are_out_whatever_is_missing() -> None:
    found = corner_map(
        CONTROLS,
        [
            CornerReading(ends("low", "forward", "left"), True, "link rubs on the hub"),
            CornerReading(ends("high", "aft", "right"), False, ""),
        ],
    )
    assert found.word == "out of limits"
    assert [f.word for f in found.findings].count("out of limits") == 2
    assert "interference or a control short of its end at 2" in found.sentence


def test_clearances_are_judged_with_their_uncertainty() -> None:
    texts = {"left": "0.30 ± 0.02 in", "right": "0.26 ± 0.02 in"}
    readings = [CornerReading(ends("low", "aft", p), True, "", measured(t, Length, p)) for p, t in texts.items()]
    found = corner_map(CONTROLS, readings, LIMIT)
    assert [f.word for f in found.findings if f.reading] == ["in limits", "too close to call"]
    assert dict(found.least_clearance.corner)["pedals"] == "right"
    # A clearance is no look at contact, however ample it is.
    alone = corner_map(
        CONTROLS, [CornerReading(ends("low", "aft", "left"), True, None, measured("0.3 in", Length, "x"))], LIMIT
    )
    assert {f.word for f in alone.findings} == {"no verdict yet"}
    assert "not looked at: contact" in next(f.sentence for f in alone.findings if f.reading)


def test_what_was_not_looked_at_is_no_verdict() -> None:
    found = corner_map(
        CONTROLS, [CornerReading(ends("low", "aft", "left"), None, ""), CornerReading(ends("low", "aft", "right"))]
    )
    assert {f.word for f in found.findings} == {"no verdict yet"}
    assert len(found.missing) == 8


def test_added_effects() -> None:
    def angle(degrees: float, own: str | None = None, shared: str | None = None):
        return measured(f"{degrees} deg", Angle, str(degrees), own, {"zero": shared} if shared else None)

    assert_quantity(added_effects(angle(6), [angle(10), angle(8)]), "12 deg", within="1e-9 deg")
    # The base counts once less for each control beyond the first; a zero in common counts once.
    found = added_effects(angle(6, None, "0.3 deg"), [angle(10, None, "0.3 deg"), angle(8, None, "0.3 deg")])
    assert_quantity(found.expanded, "0.3 deg", within="1e-9 deg")


def test_refusals() -> None:
    with pytest.raises(QuantityError, match="two different ends"):
        corner_combinations({"stick": ("forward",)})
    with pytest.raises(QuantityError, match="two different ends"):
        corner_combinations({"stick": ("forward", "forward")})
    with pytest.raises(QuantityError, match="needs 1 to 8"):
        corner_combinations({})
    with pytest.raises(QuantityError, match="must name every control"):
        corner_map(CONTROLS, [CornerReading({"stick": "aft"})])
    with pytest.raises(QuantityError, match="is no combination"):
        corner_map(CONTROLS, [CornerReading(ends("low", "up", "left"))])
    with pytest.raises(QuantityError, match="was given twice"):
        corner_map(CONTROLS, [CornerReading(ends("low", "aft", "left"))] * 2)
