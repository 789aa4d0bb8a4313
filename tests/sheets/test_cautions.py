"""Every sheet carries the cautions of its work: at the linkage, turning rotors by hand, or beside rotors that run."""

import pytest

from rotorkit.sheets.catalogue import sheet_names, sheet_type
from rotorkit.sources import cautions

RIGGING = [
    "blade_angles",
    "cable_rigging",
    "cable_tension",
    "control_corners",
    "control_travel",
    "cyclic_range",
    "pitch_rigging",
    "push_pull_tubes",
    "tension_trend",
]


@pytest.mark.parametrize("name", RIGGING)
def test_hands_in_the_linkage(name: str) -> None:
    assert cautions.HANDS_IN_LINKAGE in sheet_type(name).about.cautions


@pytest.mark.parametrize("name", sheet_names())
def test_whoever_turns_or_blocks_a_rotor_is_told_which_way(name: str) -> None:
    about = sheet_type(name).about
    told = " ".join(about.procedure).lower()
    if any(words in told for words in ("block the rotor", "turn the rotor", "bring the blade", "blade round")):
        assert cautions.TURNING_ROTORS in about.cautions


def test_only_in_their_own_direction() -> None:
    assert "only in their own direction" in cautions.TURNING_ROTORS
    assert "while anybody's hand is in the linkage" in cautions.HANDS_IN_LINKAGE


@pytest.mark.parametrize(
    "name", ["one_plane_balance", "rotor_track", "track_and_balance", "two_plane_balance", "vibration_orders"]
)
def test_who_reads_beside_turning_rotors(name: str) -> None:
    about = sheet_type(name).about
    assert cautions.TURNING_AT_SPEED in about.cautions
    assert cautions.TURNING_ROTORS not in about.cautions, "by hand only: that is another job"


@pytest.mark.parametrize("words", ["tied down", "every loose thing", "ear and eye", "nobody near a turning", "stopped"])
def test_what_they_are_told(words: str) -> None:
    assert words in cautions.TURNING_AT_SPEED
