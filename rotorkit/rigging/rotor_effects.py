"""What one flat of each adjuster does to each blade, worked out from the geometry of the rotor.

    | adjuster | moves |
    | --- | --- |
    | a blade's pitch link | that blade, at every position of the controls |
    | the collective rod | every blade, at every position |
    | a stop | every blade, at that stop only |
    | a cyclic rod | every blade, by the cosine of its azimuth from where the rod's effect is greatest |

All signs are for one flat in the positive direction (longer, further out), as the aircraft file states it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from rotorkit.formula.contract import si_of
from rotorkit.judging.measured import Measured
from rotorkit.quantities import Angle, QuantityError, from_si
from rotorkit.rigging.pitch_link import PitchLink
from rotorkit.rigging.stations import Adjuster


@dataclass(frozen=True)
class BladePlace:
    """Where and how a blade is read: the station's name, the blade, the position of the controls, and the azimuth.

    azimuth: [angle] from over the tail in the direction of rotation; None where the cyclic stick is at neutral and it
    does not matter. blade_angle: [angle] as read, for a horn that is not square everywhere; None if of no account.
    cyclic: whether the station is a cyclic range (half a difference across the rotor, positive toward `azimuth`), which
    links, collective rod and stops leave as it is.
    """

    station: str
    blade: str
    position: str
    azimuth: Any = None
    blade_angle: Any = None
    cyclic: bool = False


def pitch_link_adjuster(
    blade: str, link: PitchLink, places: Sequence[BladePlace], least: int, most: int, name: str = ""
) -> Adjuster:
    """The pitch link of one blade.

    Parameters
    ----------
    blade : str
        its name.
    link : PitchLink
        threads, arm and what lengthening does.
    places : Sequence[BladePlace]
        all that are read; those of other blades are passed over.
    least, most : int
        flats to be had (`flats_within_engagement`).
    name : str
        of the adjuster; "white pitch link" for the blade "white" where none is given.

    Raises
    ------
    QuantityError
        no place of that blade is given.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> link = PitchLink("6.5 in", "1/4-28", "1/4-28 left hand", 6, "raises the blade angle")
    >>> places = [BladePlace(f"{blade}, low stop", blade, "low stop") for blade in ("white", "red")]
    >>> made = pitch_link_adjuster("white", link, places, -12, 12)
    >>> made.name, {station: say(effect, "deg", digits=3) for station, effect in made.effects.items()}
    ('white pitch link', {'white, low stop': '0.105°'})
    """
    effects = {
        place.station: link.angle_per_flat(place.blade_angle)
        for place in places
        if place.blade == blade and not place.cyclic
    }
    if not effects:
        blades = ", ".join(sorted({place.blade for place in places})) or "none"
        raise QuantityError(f"blade: {blade!r} is read nowhere; blades read: {blades}")
    return Adjuster(name or f"{blade} pitch link", effects, least, most, link.flats_per_turn)


def rod_for_all_blades(
    name: str,
    angle_per_turn: Any,
    places: Sequence[BladePlace],
    least: int,
    most: int,
    flats_per_turn: int = 6,
    positions: Sequence[str] = (),
    directions: tuple[str, str] = ("longer", "shorter"),
) -> Adjuster:
    """A collective rod, or a stop: it moves every blade alike, at every position of the controls or at those named.

    Parameters
    ----------
    name : str
        in words.
    angle_per_turn : Any
        [angle] change of blade angle for one turn in the positive direction, with its sign; text, a
        quantity or a Measured (turn it, measure, divide).
    places : Sequence[BladePlace]
        all that are read.
    least, most : int
        flats to be had.
    flats_per_turn : int
        of the rod's body; 1 for a rod end that is taken off and turned.
    positions : Sequence[str]
        where it acts, such as ("low stop",); everywhere if none is named.
    directions : tuple[str, str]
        what the two directions are called.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> places = [BladePlace(f"white, {stop}", "white", stop) for stop in ("low stop", "high stop")]
    >>> stop = rod_for_all_blades("low stop screw", "0.6 deg", places, -12, 12, positions=["low stop"])
    >>> {station: say(effect, "deg", digits=3) for station, effect in stop.effects.items()}
    {'white, low stop': '0.100°'}
    """
    unknown = sorted(set(positions) - {place.position for place in places})
    if unknown:
        raise QuantityError(
            f"{name}: acts at {', '.join(unknown)}, where nothing is read; read positions: "
            f"{', '.join(sorted({place.position for place in places}))}"
        )
    one = _share(angle_per_turn, 1.0 / flats_per_turn, name)
    acts = {
        place.station: one for place in places if not place.cyclic and (not positions or place.position in positions)
    }
    return Adjuster(name, acts, least, most, flats_per_turn, *directions)


def cyclic_rod(
    name: str,
    angle_per_turn: Any,
    greatest_at: Any,
    places: Sequence[BladePlace],
    least: int,
    most: int,
    flats_per_turn: int = 6,
    directions: tuple[str, str] = ("longer", "shorter"),
) -> Adjuster:
    """A cyclic rod: it tilts the swashplate at every position of the controls alike.

    Parameters
    ----------
    name : str
        in words.
    angle_per_turn : Any
        [angle] greatest change of blade angle around the rotor for one turn in the positive direction.
    greatest_at : Any
        [angle] the azimuth at which it raises the blade angle most.
    places : Sequence[BladePlace]
        all that are read; those without an azimuth are not moved (the mean of a blade brought round the whole
        turn does not change), so give one to every place that was read at one azimuth alone.
    least, most, flats_per_turn, directions : int, tuple[str, str]
        as for `rod_for_all_blades`.

    Examples
    --------
    >>> from rotorkit.quantities import say
    >>> places = [BladePlace(f"white at {a}", "white", "full forward", a) for a in ("270 deg", "0 deg", "90 deg")]
    >>> rod = cyclic_rod("fore-and-aft rod", "1.2 deg", "270 deg", places, -12, 12)
    >>> {station: say(effect, "deg", digits=2) for station, effect in rod.effects.items()}
    {'white at 270 deg': '0.20°', 'white at 90 deg': '-0.20°'}
    """
    top = float(si_of(greatest_at, Angle, "greatest_at")[0])
    one = _share(angle_per_turn, 1.0 / flats_per_turn, name)  # once: what is not known of it is the same everywhere
    acts = {}
    for place in places:
        if place.azimuth is not None:
            share = math.cos(float(si_of(place.azimuth, Angle, "azimuth")[0]) - top)
            if abs(share) > 1e-9:
                acts[place.station] = _share(one, share, name)
    return Adjuster(name, acts, least, most, flats_per_turn, *directions)


def _share(angle_per_turn: Any, share: float, name: str) -> Any:
    si, carried = si_of(angle_per_turn, Angle, f"{name}, angle_per_turn")
    if isinstance(carried, Measured):
        return carried * share
    return from_si(float(si) * share, Angle)
