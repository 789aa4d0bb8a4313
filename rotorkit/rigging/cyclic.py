r"""Cyclic pitch from blade angles read around the rotor.

At azimuth ``psi`` a blade stands at

    theta(psi) = mean + cosine part x cos(psi) + sine part x sin(psi)

if the swashplate is a plane and the linkage a straight line. The azimuth is counted from over the tail, in the
direction in which the rotor turns. Readings at three azimuths give the three unknowns; a fourth shows how well the wave
fits; two, half a turn apart, give the mean and the part along that one line (half the difference).

Which azimuth a stick position must raise
-----------------------------------------
A blade reaches its greatest height some way after its greatest pitch: a quarter of a turn where it flaps about the axis
of the shaft (a teetering rotor; exactly, for it is driven at its own frequency), somewhat less with the hinge further
out or a stiff root: the response lag. For the disk to tilt forward it must be lowest over the nose and highest over the
tail, so the blade angle must be greatest a lag before the tail. Seen from above, turning counter-clockwise, with a lag
of 90 deg:

    | stick | blade angle greatest | least |
    | --- | --- | --- |
    | forward | over the left side | over the right side |
    | aft | over the right side | over the left side |
    | left | over the tail | over the nose |
    | right | over the nose | over the tail |

Turning clockwise, exchange right and left in the first two rows, nose and tail in the last two. The lag, and the
azimuths at which the manual has the angles read, come from the aircraft file.

The control phase angle is another thing: how far ahead of the blade, in the direction of rotation, its link meets the
swashplate. The swashplate's highest point lies that far ahead of the blade's greatest angle (with a link that raises
the angle as it rises; opposite to that with one that lowers it).
"""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from rotorkit import sources
from rotorkit.formula import asin, formula, sin, sqrt
from rotorkit.formula.contract import si_of
from rotorkit.judging.measured import Measured, propagate
from rotorkit.quantities import Angle, Length, QuantityError, from_si, required_kind, say
from rotorkit.rigging.line_fit import least_squares
from rotorkit.rigging.pitch_link import LENGTHENING
from rotorkit.rigging.sign_convention import ChordTurn

_ANGLE = required_kind(Angle)
_SHOWN = {"result": ("deg", "deg")}

PLACES = ("over the tail", "over the right side", "over the nose", "over the left side")
"""Where a blade can point, right and left as the pilot sits."""

STICK_DIRECTIONS = ("forward", "aft", "left", "right")
_LOWEST_OVER = {"forward": PLACES[2], "aft": PLACES[0], "left": PLACES[3], "right": PLACES[1]}
"""Over which place the disk is lowest when it tilts that way."""


class RotorTurn(StrEnum):
    """The way in which the main rotor turns."""

    COUNTER_CLOCKWISE = "counter-clockwise seen from above"
    CLOCKWISE = "clockwise seen from above"


def _turn(turn: Any) -> RotorTurn:
    try:
        return RotorTurn(str(turn).strip().lower())
    except ValueError:
        raise QuantityError(f"turn: needs {' or '.join(repr(t.value) for t in RotorTurn)}, got {turn!r}") from None


def azimuth_of(place: str, turn: Any) -> Any:
    """The azimuth of a place, counted from over the tail in the direction of rotation (an angle).

    Examples
    --------
    The right side is a quarter of a turn on where the rotor turns counter-clockwise, three quarters where it turns
    clockwise.

    >>> from rotorkit.quantities import say
    >>> [say(azimuth_of("over the right side", turn), "deg", digits=3) for turn in RotorTurn]
    ['90.0°', '270°']
    """
    return from_si(azimuth_si(place, turn), _ANGLE)


@functools.lru_cache(maxsize=64)
def azimuth_si(place: str, turn: Any) -> float:
    """The same in bare radians."""
    if place not in PLACES:
        raise QuantityError(f"place: needs one of {', '.join(PLACES)}; got {place!r}")
    quarter = PLACES.index(place)
    if _turn(turn) is RotorTurn.CLOCKWISE:
        quarter = -quarter % 4
    return quarter * math.pi / 2


def highest_azimuth(
    stick: str, turn: Any, response_lag: Any = "90 deg", positive: Any = ChordTurn.LEADING_EDGE_UP
) -> Any:
    """The azimuth at which a stick displacement must make the blade angle greatest (an angle, 0 to 360 deg).

    Parameters
    ----------
    stick : str
        "forward", "aft", "left" or "right".
    turn : Any
        a `RotorTurn` or its words.
    response_lag : Any
        [angle] from greatest blade angle to greatest height of the blade.
    positive : Any
        the `ChordTurn` that the blade angles count positive; leading edge down turns the azimuth half round.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> [say(highest_azimuth(stick, "counter-clockwise seen from above"), "deg", digits=3)
    ...  for stick in STICK_DIRECTIONS]
    ['270°', '90.0°', '0°', '180°']
    """
    if stick not in STICK_DIRECTIONS:
        raise QuantityError(f"stick: needs one of {', '.join(STICK_DIRECTIONS)}; got {stick!r}")
    lag = float(si_of(response_lag, _ANGLE, "response_lag")[0])
    if not 0 < lag <= math.pi / 2 + 1e-9:
        raise QuantityError(f"response_lag: needs more than 0 and at most 90 deg, got {say(from_si(lag, _ANGLE))}")
    lowest = azimuth_si(_LOWEST_OVER[stick], turn)
    lowering = math.pi if ChordTurn(positive) is ChordTurn.LEADING_EDGE_DOWN else 0.0
    found = (lowest + math.pi - lag + lowering) % (2 * math.pi)
    return from_si(0.0 if math.isclose(found, 2 * math.pi, abs_tol=1e-9) else found, _ANGLE)


@formula(
    source=sources.DEFINITION.at("cyclic pitch from two readings half a turn apart"),
    letters={"here": r"\theta_1", "opposite": r"\theta_2"},
    result=r"\theta_c",
    shown=_SHOWN,
    title="Half the difference of two opposite readings",
)
def half_difference(here: Angle, opposite: Angle) -> Angle:
    """Cyclic pitch along one line across the rotor: half the difference of the blade angles at its two ends.

    The same blade is read at both places; collective, reference and zero drop out.

    Parameters
    ----------
    here : Angle
        [angle] where the cyclic pitch is counted positive
    opposite : Angle
        [angle] half a turn on

    Returns
    -------
    Angle
        The part of the cyclic pitch along that line.

    Examples
    --------
    14.2 deg over the left side, 2.6 deg over the right: 5.8 deg.

    >>> from rotorkit.quantities import say
    >>> say(half_difference("14.2 deg", "2.6 deg"), "deg", digits=2)
    '5.8°'
    """
    return (here - opposite) / 2


@formula(
    source=sources.DEFINITION.at("collective pitch from two readings half a turn apart"),
    letters={"here": r"\theta_1", "opposite": r"\theta_2"},
    result=r"\theta_0",
    shown=_SHOWN,
    title="Mean of two opposite readings",
)
def mean_of_opposite(here: Angle, opposite: Angle) -> Angle:
    """Collective pitch at a stick position: the mean of two blade angles half a turn apart.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> say(mean_of_opposite("14.2 deg", "2.6 deg"), "deg", digits=2)
    '8.4°'
    """
    return (here + opposite) / 2


@formula(
    source=sources.ARITHMETIC.at("amplitude of a first harmonic"),
    letters={"cosine_part": r"\theta_{1c}", "sine_part": r"\theta_{1s}"},
    result=r"\theta_1",
    shown=_SHOWN,
)
def cyclic_amplitude(cosine_part: Angle, sine_part: Angle) -> Angle:
    """Greatest cyclic pitch around the rotor, from its parts.

    Examples
    --------
    3 and 4 deg: 5 deg.

    >>> from rotorkit.quantities import say
    >>> say(cyclic_amplitude("3 deg", "4 deg"), "deg", digits=2)
    '5.0°'
    """
    return sqrt(cosine_part**2 + sine_part**2)


@formula(
    source=sources.ARITHMETIC.at("horn and swashplate as two arms on one link"),
    letters={"amplitude": r"\theta_1", "arm": "a", "link_radius": "r"},
    result=r"\gamma",
    valid={"amplitude": ("-45 deg", "45 deg"), "arm": ("1e-3 m", None), "link_radius": ("1e-3 m", None)},
    shown={"arm": ("in", "mm"), "link_radius": ("in", "mm"), **_SHOWN},
)
def swashplate_tilt(amplitude: Angle, arm: Length, link_radius: Length) -> Angle:
    """Tilt of the swashplate for a cyclic pitch, with vertical links between swashplate and horn.

    Parameters
    ----------
    amplitude : Angle
        [angle] greatest cyclic pitch around the rotor
    arm : Length
        [length] of the pitch horn
    link_radius : Length
        [length] from the swashplate's centre to the link's lower bearing

    Returns
    -------
    Angle
        The tilt. Its inverse (`solve_for("amplitude", ...)`) gives the cyclic pitch that a tilt makes.

    Notes
    -----
    Range of validity: a horn that is square to the link at the mean pitch; 10 deg off changes it by 2 per cent.

    Examples
    --------
    5.8 deg with a horn of 6.5 in and links at 5.2 in: asin(6.5 sin(5.8) / 5.2) = 7.26 deg.

    >>> from rotorkit.quantities import say
    >>> say(swashplate_tilt("5.8 deg", "6.5 in", "5.2 in"), "deg", digits=3)
    '7.26°'
    """
    return asin(arm * sin(amplitude) / link_radius)


def swashplate_highest_azimuth(
    blade_highest_at: Any, control_phase: Any, link_raised: str = "raises the blade angle"
) -> Any:
    """Where the swashplate stands highest, for a blade angle that is greatest at a given azimuth (an angle).

    Parameters
    ----------
    blade_highest_at : Any
        [angle] azimuth, counted from over the tail in the direction of rotation.
    control_phase : Any
        [angle] how far ahead of its blade, in that direction, the link meets the swashplate; negative
        behind.
    link_raised : str
        what a rising link does, in the words of `LENGTHENING`.

    Examples
    --------
    Greatest over the left side (270 deg), link 90 deg ahead: 360 = 0, over the tail.

    >>> from rotorkit.quantities import say
    >>> say(swashplate_highest_azimuth("270 deg", "90 deg"), "deg", digits=3)
    '0°'
    """
    if link_raised not in LENGTHENING:
        raise QuantityError(f"link_raised: needs {' or '.join(map(repr, LENGTHENING))}, got {link_raised!r}")
    azimuth = float(si_of(blade_highest_at, _ANGLE, "blade_highest_at")[0])
    azimuth += float(si_of(control_phase, _ANGLE, "control_phase")[0])
    azimuth += 0.0 if link_raised == LENGTHENING[0] else math.pi
    found = azimuth % (2 * math.pi)
    return from_si(0.0 if math.isclose(found, 2 * math.pi, abs_tol=1e-9) else found, _ANGLE)


@dataclass(frozen=True)
class Harmonics:
    """Mean and first harmonic of the blade angle around the rotor, at one position of the controls.

    mean, cosine, sine: Measured angles. azimuths_si, residuals_si: of the readings, radians; a residual is reading less
    wave. Three readings leave no residual.
    """

    mean: Measured
    cosine: Measured
    sine: Measured
    azimuths_si: tuple[float, ...]
    residuals_si: tuple[float, ...]

    def toward(self, azimuth: Any) -> Measured:
        """The part of the cyclic pitch along the line to an azimuth, positive where it raises the angle there."""
        psi = float(si_of(azimuth, _ANGLE, "azimuth")[0])
        return self.cosine * _clean(math.cos(psi)) + self.sine * _clean(math.sin(psi))

    def at(self, azimuth: Any) -> Measured:
        """The blade angle at an azimuth."""
        return self.mean + self.toward(azimuth)

    def at_si(self, azimuth: float) -> float:
        """The same of bare radians, without its uncertainty: for a curve."""
        sine, cosine = float(self.sine.si), float(self.cosine.si)
        return float(self.mean.si) + (cosine * _clean(math.cos(azimuth)) + sine * _clean(math.sin(azimuth)))

    @property
    def amplitude(self) -> Any:
        """The greatest cyclic pitch around the rotor; where there is none at all, as uncertain as its worse part."""
        if not (float(self.cosine.si) or float(self.sine.si)):
            return max(self.cosine, self.sine, key=lambda part: float(part.standard_si))
        return cyclic_amplitude(self.cosine, self.sine)

    @property
    def highest_at(self) -> Measured:
        """The azimuth at which the blade angle is greatest, 0 to 360 deg. Without meaning where there is no cyclic
        pitch to speak of: see its uncertainty."""
        centre = math.atan2(float(self.sine.si), float(self.cosine.si))

        def near(cosine: float, sine: float) -> float:
            around = math.remainder(math.atan2(sine, cosine) - centre, 2 * math.pi)
            return centre % (2 * math.pi) + around

        return propagate(near, Angle, [self.cosine, self.sine])

    @property
    def greatest_residual_si(self) -> float:
        """How far the readings lie off the wave at most, radians; a play, a bent part or a slip of reading."""
        return max((abs(r) for r in self.residuals_si), default=0.0)


def _clean(ratio: float) -> float:
    return 0.0 if abs(ratio) < 1e-12 else ratio


def harmonics(readings: Sequence[tuple[Any, Measured]]) -> Harmonics:
    """Mean, cosine part and sine part from blade angles at three azimuths or more, by least squares.

    Source: closed form (first harmonic). At four azimuths a quarter of a turn apart the mean is that of all four, and
    each part half the difference of an opposite pair. The one residual pattern that four leave (two opposite readings
    high, the other two low, all by the same) is a second harmonic: blades or pins that bind, or a swashplate not flat.

    Parameters
    ----------
    readings : Sequence[tuple[Any, Measured]]
        (azimuth, blade angle) pairs, the angle a Measured; of one blade brought round, or of several.

    Raises
    ------
    QuantityError
        fewer than three azimuths, or three that do not tell the parts apart.

    Examples
    --------
    8.4 over the tail, 2.6 over the right side (90 deg), 8.4 over the nose, 14.2 over the left: mean 8.4, cosine
    part 0, sine part -5.8 deg.

    >>> from rotorkit.judging.measured import measured
    >>> from rotorkit.quantities import say
    >>> found = harmonics([(f"{90 * i} deg", measured(text, Angle, text))
    ...                    for i, text in enumerate(["8.4 deg", "2.6 deg", "8.4 deg", "14.2 deg"])])
    >>> say(found.mean, "deg"), say(found.sine, "deg"), say(found.highest_at, "deg")
    ('8.400°', '-5.800°', '270.0°')
    """
    if len(readings) < 3:
        raise QuantityError(
            f"readings: the first harmonic needs three azimuths or more, got {len(readings)}. Two readings half a turn "
            f"apart give the part along their own line: half_difference"
        )
    azimuths = [float(si_of(azimuth, _ANGLE, "azimuth")[0]) for azimuth, _ in readings]
    columns = [[1.0] * len(azimuths), [_clean(math.cos(a)) for a in azimuths], [_clean(math.sin(a)) for a in azimuths]]
    fit = least_squares(columns, [angle for _, angle in readings], [_ANGLE] * 3, "first harmonic")
    mean, cosine, sine = fit.estimates
    return Harmonics(mean, cosine, sine, tuple(azimuths), fit.residuals_si)


@dataclass(frozen=True)
class CyclicRanges:
    """Cyclic pitch at the ends of the stick's travel.

    range: by stick direction, the cyclic pitch that tilts the disk that way (positive: it does). cross: by stick
    direction, the cyclic pitch a quarter of a turn on, positive where it tilts the disk to the right (of forward and
    aft) or forward (of left and right): the wrong axis, ideally none. collective: by direction, the mean blade angle.
    ahead: by direction, the part a quarter of a turn ahead of the azimuth that should be highest.
    """

    range: Mapping[str, Measured]
    cross: Mapping[str, Measured]
    collective: Mapping[str, Measured]
    ahead: Mapping[str, Measured]

    def travel(self, axis: str = "fore and aft") -> Measured:
        """Forward plus aft, or left plus right: the whole travel, in which a slip of neutral drops out."""
        one, other = ("forward", "aft") if axis == "fore and aft" else ("left", "right")
        missing = [d for d in (one, other) if d not in self.range]
        if missing:
            raise QuantityError(f"the travel {axis} needs readings with the stick full {' and full '.join(missing)}")
        return self.range[one] + self.range[other]

    def phase_error(self, stick: str) -> Measured:
        """How far, in the direction of rotation, the blade angle is greatest beyond where it should be: the control
        phase is off by this much."""
        return propagate(lambda along, ahead: math.atan2(ahead, along), Angle, [self.range[stick], self.ahead[stick]])


def cyclic_range(
    at_full_stick: Mapping[str, Harmonics],
    turn: Any,
    response_lag: Any = "90 deg",
    positive: Any = ChordTurn.LEADING_EDGE_UP,
) -> CyclicRanges:
    """Cyclic range forward, aft, left and right, from the harmonics at each full stick position.

    Parameters
    ----------
    at_full_stick : Mapping[str, Harmonics]
        by stick direction ("forward", "aft", "left", "right"); those that were read.
    turn : Any
        a `RotorTurn` or its words.
    response_lag : Any
        [angle] see the module.
    positive : Any
        the `ChordTurn` that the blade angles count positive.

    Examples
    --------
    Counter-clockwise, stick full forward: 14.2 deg over the left side, 2.6 over the right, 8.4 over nose and tail:
    5.8 deg forward, nothing across.
    """
    words = _turn(turn)
    found: dict[str, Measured] = {}
    cross: dict[str, Measured] = {}
    ahead: dict[str, Measured] = {}
    for stick, wave in at_full_stick.items():
        highest = highest_azimuth(stick, words, response_lag, positive)
        found[stick] = wave.toward(highest)
        other = "right" if stick in ("forward", "aft") else "forward"
        cross[stick] = wave.toward(highest_azimuth(other, words, response_lag, positive))
        ahead[stick] = wave.toward(from_si(float(si_of(highest, _ANGLE, "azimuth")[0]) + math.pi / 2, _ANGLE))
    return CyclicRanges(found, cross, {stick: wave.mean for stick, wave in at_full_stick.items()}, ahead)
