"""Track and balance of the rotors: static balance, trial weights, influence coefficients, whole washers, blades."""

from __future__ import annotations

from rotorkit.balance.blades import (
    MatchedBlades,
    Station,
    centre_of_mass,
    match_blades,
    smallest_shown,
    span_moment_from_knife_edge,
    span_moment_from_scales,
)
from rotorkit.balance.by_hand import move_from_trial, weight_from_trial, what_the_trial_did
from rotorkit.balance.chord import MatchedChords, chordwise_centre, match_chords
from rotorkit.balance.grades import (
    balance_grade,
    grade_of,
    permissible_eccentricity,
    permissible_unbalance,
    unbalance_in_planes,
    unbalance_of_plane,
    weight_at_hole,
)
from rotorkit.balance.holes import Hole, Split, split_between_holes
from rotorkit.balance.mandrel import OnMandrel, on_mandrel, unbalance_along
from rotorkit.balance.one_plane import OnePlane, one_plane_balance, predicted
from rotorkit.balance.phasors import Phasor, chance_within, mean_phasor, phasor
from rotorkit.balance.plan import EffectModel, Move, MovesPlan, effect_model, plan_moves, unanswered
from rotorkit.balance.planes import (
    Agreement,
    Influence,
    PlanesBalance,
    PlanesSplit,
    balance_planes,
    condition_in_words,
    influence_coefficients,
    influence_of,
    split_between_planes,
    still_hold,
)
from rotorkit.balance.static import BalanceMass, static_balance, two_plane_balance
from rotorkit.balance.track import flapping_difference, track_spread
from rotorkit.balance.without_phase import WithoutPhase, balance_from_amplitudes, balance_from_two_trials

__all__ = [
    "Agreement",
    "BalanceMass",
    "EffectModel",
    "Hole",
    "Influence",
    "MatchedBlades",
    "MatchedChords",
    "Move",
    "MovesPlan",
    "OnMandrel",
    "OnePlane",
    "Phasor",
    "PlanesBalance",
    "PlanesSplit",
    "Split",
    "Station",
    "WithoutPhase",
    "balance_from_amplitudes",
    "balance_from_two_trials",
    "balance_grade",
    "balance_planes",
    "centre_of_mass",
    "chance_within",
    "chordwise_centre",
    "condition_in_words",
    "effect_model",
    "flapping_difference",
    "grade_of",
    "influence_coefficients",
    "influence_of",
    "match_blades",
    "match_chords",
    "mean_phasor",
    "move_from_trial",
    "on_mandrel",
    "one_plane_balance",
    "permissible_eccentricity",
    "permissible_unbalance",
    "phasor",
    "plan_moves",
    "predicted",
    "smallest_shown",
    "span_moment_from_knife_edge",
    "span_moment_from_scales",
    "split_between_holes",
    "split_between_planes",
    "static_balance",
    "still_hold",
    "track_spread",
    "two_plane_balance",
    "unanswered",
    "unbalance_along",
    "unbalance_in_planes",
    "unbalance_of_plane",
    "weight_at_hole",
    "weight_from_trial",
    "what_the_trial_did",
]
