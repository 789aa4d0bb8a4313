"""Simulated aircraft that shake and fly out of track, for the plan and for the plain single-plane method beside it.

Invented: two to four blades, readings in hover, 40, 60 and 80 kt. A washer at a tip shakes sideways, a flat of a pitch
link moves a tip and shakes up and down, a tab does so more with speed. Each aircraft's true effects differ from what is
thought: each sort of move by 30 % in size and 20 degrees in angle, each single effect by 5 %; readings have noise.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from rotorkit.balance import EffectModel, Move, effect_model, plan_moves
from rotorkit.balance.phasors import Phasor
from rotorkit.judging.measured import Measured
from rotorkit.quantities import Length, Speed
from rotorkit.sheets.balance.track_and_balance import BRANCHES

SPEEDS = np.array([0.0, 40.0, 60.0, 80.0])
INCH = 0.0254
LATERAL, VERTICAL, TRACK = 0.2 * INCH, 0.3 * INCH, 0.5 * INCH
"""Limits of the simulation, common in practice (references/vibration_practice.csv), and no aircraft's."""
VIBRATION_NOISE, TRACK_NOISE = 0.015 * INCH, 0.05 * INCH
MOST_ROUNDS = 15


def thought(blades: int) -> np.ndarray:
    """Readings x moves: sideways and up-and-down arrows of each condition, then heights. Moves: washers, flats, tab
    steps, each for every blade."""
    at = np.exp(1j * math.tau * np.arange(blades) / blades)
    share = (SPEEDS / 80) ** 2
    rows = []
    for k in range(len(SPEEDS)):
        rows.append(np.concatenate([0.04 * at, 0.01 * at, 0.01 * at * share[k]]))
    for k in range(len(SPEEDS)):
        rows.append(np.concatenate([0.002 * at, 0.06 * (0.3 + share[k]) * at * 1j, 0.08 * share[k] * at * 1j]))
    for k in range(len(SPEEDS)):
        for blade in range(blades):
            own = np.arange(blades) == blade
            rows.append(np.concatenate([0.0 * own, (0.20 + 0.05 * share[k]) * own, 0.30 * share[k] * own]))
    return np.array(rows, dtype=complex) * INCH


def limits(blades: int) -> np.ndarray:
    return np.array([LATERAL] * 4 + [VERTICAL] * 4 + [TRACK] * 4)


def prior(blades: int) -> EffectModel:
    """What is thought, with doubts as the truth is scattered: by sort in size and angle, and each effect by itself."""
    mean = thought(blades)
    return effect_model(
        [[as_arrow(one) for one in row] for row in mean[:8]],
        [[[Measured(float(one.real), Length) for one in row] for row in rows] for rows in np.split(mean[8:], 4)],
        doubt=0.3,
        doubt_angle=math.radians(20),
        vibration_noise=Measured(VIBRATION_NOISE, Speed),
        track_noise=Measured(TRACK_NOISE, Length),
        sorts=[sort for sort in ("washer", "flat", "tab") for _ in range(blades)],
        own=0.05,
    )


@dataclass
class Craft:
    """One aircraft with its truth."""

    blades: int
    effects: np.ndarray
    state: np.ndarray
    rng: np.random.Generator

    @classmethod
    def made(cls, seed: int) -> Craft:
        rng = np.random.default_rng(seed)
        blades = int(rng.integers(2, 5))
        mean = thought(blades)
        sort = np.repeat(np.arange(3), blades)  # washers, flats, tabs: each off by its own factor and angle
        size, turn = 1 + rng.normal(0, 0.3, 3).clip(-0.7, 0.9), np.exp(1j * np.radians(rng.normal(0, 20, 3)))
        effects = mean * size[sort] * (1 + rng.normal(0, 0.05, mean.shape))
        effects[:8] *= turn[sort]
        wrong = np.concatenate(
            [rng.normal(0, 5, blades), rng.normal(0, 2.0, blades), rng.normal(0, 1.5, blades)]
        )  # no whole steps
        return cls(blades, effects, effects @ wrong, rng)

    def read(self) -> np.ndarray:
        noise = self.rng.normal(0, VIBRATION_NOISE, (8, 2)) @ np.array([1, 1j])
        return np.concatenate(
            [self.state[:8] + noise, self.state[8:] + self.rng.normal(0, TRACK_NOISE, 4 * self.blades)]
        )

    def move(self, steps: np.ndarray) -> None:
        self.state = self.state + self.effects @ steps

    def worst(self, readings: np.ndarray) -> float:
        heights = readings[8:].real.reshape(4, self.blades)
        spreads = (heights.max(axis=1) - heights.min(axis=1)) / TRACK
        return float(max(np.abs(readings[:4]).max() / LATERAL, np.abs(readings[4:8]).max() / VERTICAL, spreads.max()))


def moves(blades: int, made: np.ndarray) -> list[Move]:
    """What may still be moved: washers 0 to 20 in each tip, flats and tab steps of all blades."""
    found = []
    for kind, (low, high) in (("washer", (0, 20)), ("flat", (-8, 8)), ("tab", (-6, 6))):
        for blade in range(blades):
            at = int(made[len(found)])
            found.append(Move(f"{kind} {blade}", low - at, high - at, 0.005))
    return found


def as_arrow(value: complex) -> Phasor:
    return Phasor(Measured(value.real, Speed), Measured(value.imag, Speed))


def by_plan(seed: int) -> tuple[int, list[float]]:
    """(runs after the first until in limits, the model's promises: distance of what came in standard uncertainties).

    As many plans are tried as the sheet tries, however quick the machine is."""
    craft = Craft.made(seed)
    model, made = prior(craft.blades), np.zeros(3 * craft.blades)
    now, kept = craft.read(), []
    for rounds in range(MOST_ROUNDS):
        if craft.worst(now) <= 1:
            return rounds, kept
        heights = [[Measured(float(h), Length) for h in row] for row in now[8:].real.reshape(4, craft.blades)]
        plan = plan_moves(
            model, moves(craft.blades, made), [as_arrow(v) for v in now[:8]],
            [Measured(one, Speed) for one in [LATERAL] * 4 + [VERTICAL] * 4],
            heights, [Measured(TRACK, Length)] * 4, seconds=60, nodes=BRANCHES,
            alike=[range(first, first + craft.blades) for first in range(0, 3 * craft.blades, craft.blades)],
        )  # fmt: skip
        steps = np.array(plan.steps, dtype=float)
        made += steps
        craft.move(steps)
        after = craft.read()
        sure = np.sqrt(model.promised(now, steps)[1] ** 2 + model.noise**2)
        kept += list((np.abs(after - plan.promised) / sure)[:8])
        model = model.learned(plan.steps, now, after)
        now = after
    return MOST_ROUNDS, kept


def by_single_plane(seed: int) -> int:
    """The textbook way, one thing at a time: track in hover by links, at speed by tabs, then one trial weight and the
    weight that its effect asks for in hover; over again until in limits."""
    craft = Craft.made(seed)
    blades, mean = craft.blades, thought(craft.blades)
    made, rounds = np.zeros(3 * blades), 0
    now, effect = craft.read(), None
    trial = np.zeros(3 * blades)
    while craft.worst(now) > 1 and rounds < MOST_ROUNDS:
        heights = now[8:].real.reshape(4, blades)
        steps = np.zeros(3 * blades)
        if np.ptp(heights[0]) > TRACK / 2:
            wanted = (heights[0][0] - heights[0]) / mean[8, blades].real
            steps[blades : 2 * blades] = np.clip(
                np.round(wanted), -8 - made[blades : 2 * blades], 8 - made[blades : 2 * blades]
            )
        elif np.ptp(heights[3] - heights[0]) > TRACK / 2:
            lift = heights[3] - heights[0]
            wanted = (lift[0] - lift) / mean[8 + 3 * blades, 2 * blades].real
            steps[2 * blades :] = np.clip(np.round(wanted), -6 - made[2 * blades :], 6 - made[2 * blades :])
        if not steps.any():
            if effect is None:
                trial[0] = 4
                before = now
                craft.move(trial)
                now, rounds = craft.read(), rounds + 1
                effect = (now[0] - before[0]) / 4
                made += trial
                continue
            at = np.exp(1j * math.tau * np.arange(blades) / blades)
            wanted = -now[0] / effect
            best = None
            for first in range(blades):
                for m in range(-int(made[first]), 21 - int(made[first])):
                    for n in range(-int(made[(first + 1) % blades]), 21 - int(made[(first + 1) % blades])):
                        left = abs(m * at[first] + n * at[(first + 1) % blades] - wanted)
                        if best is None or (left, abs(m) + abs(n)) < best[0]:
                            best = ((left, abs(m) + abs(n)), first, m, n)
            assert best is not None
            steps[best[1]], steps[(best[1] + 1) % blades] = best[2], best[3]
        craft.move(steps)
        made += steps
        now, rounds = craft.read(), rounds + 1
    return rounds
