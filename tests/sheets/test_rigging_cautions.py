"""Every sheet for which somebody works at the linkage carries the cautions of that work."""

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
