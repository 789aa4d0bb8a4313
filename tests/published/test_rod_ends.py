"""Rod ends and pitch links: the witness hole of US Army TM 1-1500-204-23-1 (known: read), and angles per turn by the
closed form asin(pitch n / arm) (known: computed)."""

import pytest

from rotorkit.quantities import assert_quantity
from rotorkit.rigging import (
    WITNESS_WIRE,
    PitchLink,
    angle_from_length_change,
    length_change_one_end,
    thread,
    witness_hole_verdict,
)
from tests.reference_table import row


def test_witness_hole() -> None:
    rule = row("control_rules.csv", "rule", "witness hole")
    assert f"{rule['figure']} {rule['unit']}" == WITNESS_WIRE
    assert rule["known"] == "read"
    words = {
        (wire, threads): witness_hole_verdict(wire, threads).word for wire in (True, False) for threads in (True, False)
    }
    assert words == {
        (False, True): "in limits",
        (True, True): "out of limits",
        (False, False): "out of limits",
        (True, False): "out of limits",
    }
    assert witness_hole_verdict(None).word == "no verdict yet"
    assert "TM 1-1500-204-23-1" in witness_hole_verdict(True).limit.source


@pytest.mark.parametrize("case", ["RE1", "RE2"])
def test_angle_per_turn(case: str) -> None:
    checked = row("thread_and_friction_examples.csv", "id", case)
    designation, arm = checked["given"].split(" on ")
    one_turn = length_change_one_end(thread(designation).pitch, 1)
    assert_quantity(angle_from_length_change(one_turn, arm), checked["published"])
    # The link itself, one end alone adjusted, by whole turns, says the same.
    assert_quantity(PitchLink(arm, designation, "", 1).angle_per_flat(), checked["published"])
