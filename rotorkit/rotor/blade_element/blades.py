"""The blades of one rotor: how many, how long, how wide, how twisted, and of which section."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from rotorkit.formula.contract import contract
from rotorkit.quantities import Angle, Length, QuantityError, Ratio
from rotorkit.rotor.blade_element.sections import Section

COLLECTIVE_AT = 0.75
"""The fraction of the radius at which the collective blade angle is counted, as the trade does."""


@dataclass(frozen=True, eq=False)
class Blades:
    """The blades of one rotor, in bare SI figures; `rotor_blades` makes one from what a builder measures.

    count: number of blades. radius: axis to tip, m. root_cutout: where the section begins, as a fraction of the radius.
    section: of the blade, the same all along. at: stations as parts of the radius, rising; chords: there, m; angles:
    blade angle there, rad, from any datum: only differences count, since the collective is the angle at 0.75 of the
    radius. Between stations both run straight, beyond the last they are held.
    """

    count: int
    radius: float
    root_cutout: float
    section: Section
    at: Sequence[float]
    chords: Sequence[float]
    angles: Sequence[float]

    def __post_init__(self) -> None:
        problems = []
        if isinstance(self.count, bool) or not isinstance(self.count, int) or not 1 <= self.count <= 8:
            problems.append(f"count must be a whole number from 1 to 8, got {self.count!r}")
        if not 0.07 < self.radius < 20:
            problems.append(f"radius must be 3 in to 60 ft, got {self.radius:g} m")
        if not 0.0 < self.root_cutout < 0.7:
            problems.append(
                "root_cutout (where the section begins) must lie between the axis and 0.7 of the radius, "
                f"got {self.root_cutout:.3g} of it"
            )
        if not hasattr(self.section, "at"):
            problems.append(f"section must be a LinearSection or a SectionTable, got {type(self.section).__name__}")
        if not len(self.at) == len(self.chords) == len(self.angles) or not len(self.at):
            problems.append("at, chords and angles must have the same length")
        elif (np.diff(self.at) <= 0).any():
            problems.append("at must rise from station to station")
        elif not all(0.01 < chord < 1.5 for chord in self.chords):
            problems.append(f"chord must be 0.5 in to 4 ft, got {min(self.chords):g} to {max(self.chords):g} m")
        if problems:
            raise QuantityError("blades: " + "; ".join(problems))

    def chord_at(self, station: Any) -> Any:
        """The chord at parts of the radius, m."""
        return np.interp(station, self.at, self.chords)

    def twist_at(self, station: Any) -> Any:
        """Blade angle at parts of the radius less the collective (the angle at 0.75 of the radius), rad."""
        return np.interp(station, self.at, self.angles) - np.interp(COLLECTIVE_AT, self.at, self.angles)

    @property
    def figures(self) -> tuple[Any, ...] | None:
        """All that tells these blades from others, to be compared; None where the section has no such figures, or goes
        by the Reynolds number."""
        section = None if self.section.uses_reynolds else getattr(self.section, "figures", None)
        along = (tuple(map(float, one)) for one in (self.at, self.chords, self.angles))
        return None if section is None else (self.count, self.radius, self.root_cutout, section, *along)

    @property
    def solidity(self) -> float:
        """Blade area over disk area, by the chord at 0.75 of the radius, counted from the axis to the tip."""
        return float(self.count * self.chord_at(COLLECTIVE_AT) / (np.pi * self.radius))

    @property
    def disk_area(self) -> float:
        """Disk area, m^2."""
        return float(np.pi * self.radius**2)


@contract
def rotor_blades(
    count: int,
    radius: Length,
    chord: Length,
    root_cutout: Length,
    section: Section,
    twist: Angle = "0 deg",
    taper: Ratio = "1",
) -> Blades:
    """Blades with a straight twist and a straight taper, from what a builder measures.

    Parameters
    ----------
    count : int
        number of blades (a plain whole number).
    radius : Length
        from the shaft's axis to the tip (length).
    chord : Length
        at the root end of the section (length); with no taper, everywhere.
    root_cutout : Length
        from the shaft's axis to where the section begins (length). The cuff and the hub inboard of it are
        not counted: neither their little lift nor their drag.
    section : Section
        `LinearSection` or `SectionTable`.
    twist : Angle
        blade angle at the tip less blade angle at the axis, running straight (angle): negative for blades that
        flatten toward the tip, as nearly all twisted ones do. From two stations: the difference of their angles
        over the difference of their radii, times the radius.
    taper : Ratio
        chord at the tip over chord at the root end (ratio), running straight.

    Returns
    -------
    Blades
        The blades, for `blade_element_hover` and its kin.

    Raises
    ------
    QuantityError
        an argument is not of its kind or not credible.

    Examples
    --------
    >>> from rotorkit.rotor.blade_element import LinearSection
    >>> section = LinearSection(5.73, (0.0087, -0.0216, 0.4), 1.2, thickness_ratio=0.12)
    >>> blades = rotor_blades(2, "11 ft 8 in", "10 in", "19 in", section, twist="-6 deg")
    >>> f"{blades.solidity:.4f}"
    '0.0455'
    """
    cutout = float(root_cutout / radius)
    if not 0.05 < taper <= 2:
        raise QuantityError(f"rotor_blades: taper must be tip chord over root chord, 0.05 to 2, got {taper:g}")
    if abs(twist) > np.pi / 4:
        raise QuantityError(f"rotor_blades: twist must be -45 to 45 deg, got {np.degrees(twist):.4g} deg")
    return Blades(
        count=count,
        radius=float(radius),
        root_cutout=cutout,
        section=section,
        at=(cutout, 1.0),
        chords=(float(chord), float(chord * taper)),
        angles=(float(twist * cutout), float(twist)),
    )
