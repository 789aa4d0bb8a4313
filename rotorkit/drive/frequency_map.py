"""The frequency map: which shaft, rotor, gear, belt or bearing a measured line of a vibration belongs to.

Lines are worked out from the train at one speed. A measured frequency is matched with every line within its own ±; two
lines that are nearer to each other than that cannot be told apart, and both are named.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.drive.bearings import BearingFrequencies
from rotorkit.drive.train import Train
from rotorkit.formula.contract import contract, si_of
from rotorkit.quantities import Frequency, Length, QuantityError, Ratio, Speed, from_si


@dataclass(frozen=True)
class FrequencyLine:
    """One line: the part it belongs to, what it is, and its frequency as a quantity."""

    part: str
    what: str
    frequency: Any


@dataclass(frozen=True)
class LineMatch:
    """A line near a measured frequency. off: measured over the line's frequency, less 1."""

    line: FrequencyLine
    off: float


def _hertz(rate: Any, factor: float) -> Any:
    return from_si(float(rate.magnitude) * factor / (2 * np.pi), Frequency)


def shaft_lines(
    train: Train, of: str, speed: Any, orders: Sequence[float] = (1, 2), blades: Mapping[str, int] | None = None,
    firings: Mapping[str, float] | None = None,
) -> list[FrequencyLine]:  # fmt: skip
    """Lines of every shaft of a train, blade passages and firings, at one speed.

    Parameters
    ----------
    train : Train
        made by `rotorkit.drive.train.train`.
    of : str
        the shaft whose speed is given.
    speed : RotationRate
        its speed.
    orders : sequence of float
        times in a turn for each shaft: 1 imbalance, 2 a misaligned coupling or a universal joint.
    blades : mapping of str to int
        number of blades of the shafts that are rotors or fans.
    firings : mapping of str to float
        firings in a turn of the shafts that are engines: half the cylinders of a four-stroke.

    Returns
    -------
    list of FrequencyLine
        lowest first.

    Examples
    --------
    >>> from rotorkit.drive.train import gears, train
    >>> from rotorkit.quantities import say
    >>> found = shaft_lines(train(gears("engine", "rotor", 10, 60)), "engine", "2700 rpm", (1,), {"rotor": 2})
    >>> [(one.part, one.what, say(one.frequency, "Hz", digits=3)) for one in found]
    [('rotor', 'once a turn', '7.50 Hz'), ('rotor', 'blade passage', '15.0 Hz'), ('engine', 'once a turn', '45.0 Hz')]
    """
    words: dict[float, str] = {1: "once a turn", 2: "twice a turn"}
    found = []
    for name, rate in train.speeds(of, speed).items():
        for order in orders:
            found.append(FrequencyLine(name, words.get(order, f"{order:g} times a turn"), _hertz(rate, order)))
        for table, what in ((blades or {}, "blade passage"), (firings or {}, "firing")):
            if name in table:
                found.append(FrequencyLine(name, what, _hertz(rate, float(table[name]))))
    for name in [*(blades or {}), *(firings or {})]:
        if name not in train.shafts:
            raise QuantityError(f"shaft_lines: there is no shaft {name!r}: they are {', '.join(train.shafts)}")
    return sorted(found, key=lambda one: float(one.frequency.magnitude))


def gear_mesh_lines(train: Train, of: str, speed: Any, teeth: Mapping[str, int]) -> list[FrequencyLine]:
    """Mesh frequency of gears: teeth of a shaft's gear times its turns. teeth: by the shaft that bears the gear.

    >>> from rotorkit.drive.train import gears, train
    >>> from rotorkit.quantities import say
    >>> found = gear_mesh_lines(train(gears("pinion", "rotor", 11, 43)), "pinion", "1800 rpm", {"pinion": 11})
    >>> say(found[0].frequency, "Hz", digits=4)
    '330.0 Hz'
    """
    speeds = train.speeds(of, speed)
    for name in teeth:
        if name not in speeds:
            raise QuantityError(f"gear_mesh_lines: there is no shaft {name!r}: they are {', '.join(train.shafts)}")
    return [FrequencyLine(name, "gear mesh", _hertz(speeds[name], float(count))) for name, count in teeth.items()]


def bearing_lines(part: str, found: BearingFrequencies) -> list[FrequencyLine]:
    """Lines of a bearing's faults, from `bearing_frequencies`; an element's fault counts twice its spin."""
    twice = from_si(2 * float(found.element.magnitude), Frequency)
    return [
        FrequencyLine(part, "bearing cage", found.cage),
        FrequencyLine(part, "bearing outer race", found.outer_race),
        FrequencyLine(part, "bearing inner race", found.inner_race),
        FrequencyLine(part, "bearing ball or roller", twice),
    ]


@contract(valid={"belt_length": ("1 mm", "100 m")})
def belt_pass_frequency(belt_speed: Speed, belt_length: Length) -> Frequency:
    """How often a belt comes round: a bad place in it shakes at this frequency and at twice this. Formula: v / L.

    >>> from rotorkit.quantities import say
    >>> say(belt_pass_frequency("6362 ft/min", "83.554 in"), "Hz", digits=4)
    '15.23 Hz'
    """
    return belt_speed / belt_length


def match_frequency(measured: Any, lines: Sequence[FrequencyLine], tolerance: Any = "3 %") -> list[LineMatch]:
    """Lines that a measured frequency may be, nearest first.

    Parameters
    ----------
    measured : Frequency
        of the vibration.
    lines : sequence of FrequencyLine
        that there are.
    tolerance : Ratio
        how far off a line may lie: resolution of the measurement and error of the speed together.

    Returns
    -------
    list of LineMatch
        none where nothing lies near; several where they cannot be told apart.

    Examples
    --------
    >>> from rotorkit.drive.train import gears, train
    >>> lines = shaft_lines(train(gears("engine", "rotor", 10, 60)), "engine", "2700 rpm", blades={"rotor": 2})
    >>> [(one.line.part, one.line.what, round(one.off, 3)) for one in match_frequency("15.1 Hz", lines)]
    [('rotor', 'twice a turn', 0.007), ('rotor', 'blade passage', 0.007)]
    """
    at = float(si_of(measured, Frequency, "measured")[0])
    wide = float(si_of(tolerance, Ratio, "tolerance")[0])
    if at <= 0 or wide <= 0:
        raise QuantityError("match_frequency: measured and tolerance must be above zero")
    found = [
        LineMatch(line, at / float(line.frequency.magnitude) - 1) for line in lines if line.frequency.magnitude > 0
    ]
    return sorted((one for one in found if abs(one.off) <= wide), key=lambda one: abs(one.off))
