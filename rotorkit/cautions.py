"""The cautions, each written once: sheets, notebooks and reports take them from here."""

from __future__ import annotations

__all__ = [
    "AN_AID",
    "CABLES_UNDER_LOAD",
    "ENGINE_OFF",
    "ESTIMATE",
    "INSPECTION",
    "LOCKING",
    "MANUAL_GOVERNS",
    "TURNING_ROTORS",
]

MANUAL_GOVERNS = (
    "The kit maker's manual governs. Where it differs from this sheet, follow the manual; where it is unclear, ask its "
    "maker."
)
AN_AID = (
    "These figures are an aid to checking, not an approval. The local aviation authority's rules apply, and the work "
    "is released by those who are licensed to do so."
)
ENGINE_OFF = (
    "Engine off, ignition off and its leads made safe, battery disconnected, rotor brake or tie-down set, before "
    "anybody reaches into the rotors or the drive."
)
TURNING_ROTORS = (
    "Turn the rotors by hand only, slowly, with everybody in sight and clear of the blades and the tail rotor."
)
LOCKING = (
    "Every nut, turnbuckle and rod end touched is locked again as the manual says, and looked at by a second person, "
    "before the controls are used."
)
CABLES_UNDER_LOAD = (
    "A cable under tension stores energy: keep face and fingers clear, support the controls, and never slacken one run "
    "of a loop alone without knowing what the other then does."
)
INSPECTION = (
    "Have flight controls inspected by a second, qualified person after any adjustment (a duplicate inspection)."
)
ESTIMATE = (
    "This is an estimate for planning tests. It is never a reason to go beyond the manual's limits: the first hover "
    "and each step after it belong to the flight-test programme and to a qualified pilot."
)
