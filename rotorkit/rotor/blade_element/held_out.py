"""How far published measurements lie from a blade-element hover that was not adjusted to them.

The uncertainty of the model that sheets carry (`rotorkit.rotor.blade_element.trust`) is held to this by a test.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rotorkit.rotor.blade_element.comparison import AS_IT_STANDS, COMPARISONS, ComparedPoint, Taken, compare


@dataclass(frozen=True)
class HeldOut:
    """How far the reports lie from a theory that was not adjusted to them. of: as in `ComparedPoint.deviation`; points:
    by report, each counted point with its deviation, a part of the model's figure."""

    of: str
    points: dict[str, list[tuple[ComparedPoint, float]]]

    def root_mean_square(self, report: str) -> float:
        """Of one report's deviations, about the theory as it stands."""
        return float(np.sqrt(np.mean([deviation**2 for _, deviation in self.points[report]])))

    def mean(self, report: str) -> float:
        """Of one report's deviations: what is common to them."""
        return float(np.mean([deviation for _, deviation in self.points[report]]))

    def standard(self, without: str = "") -> float:
        """The standard uncertainty that the reports give, each counting alike; `without`: all but that one."""
        used = [self.root_mean_square(report) for report in self.points if report != without]
        return float(np.sqrt(np.mean(np.square(used))))

    def outside(self, standard: float, report: str = "") -> list[tuple[str, ComparedPoint, float]]:
        """The points, of all reports or of one, that twice a standard uncertainty does not cover."""
        return [
            (name, point, deviation)
            for name, points in self.points.items()
            for point, deviation in points
            if report in ("", name) and abs(deviation) > 2 * standard
        ]

    def count(self, report: str = "") -> int:
        """How many points there are, of all reports or of one."""
        return sum(len(points) for name, points in self.points.items() if report in ("", name))


def held_out(of: str, taken: Taken = AS_IT_STANDS) -> HeldOut:
    """What the reports say of the theory's "angle for a thrust", "thrust at an angle", "power at a thrust" or "torque
    at an angle", with nothing adjusted to any rotor.

    Examples
    --------
    >>> angle = held_out("angle for a thrust")
    >>> list(angle.points), f"{angle.standard():.3f}"
    (['NACA TN 626', 'NACA TN 2474', 'NASA TM-81232'], '0.148')
    """
    found: dict[str, list[tuple[ComparedPoint, float]]] = {}
    for name in COMPARISONS:
        for point in compare(name, taken=taken).points:
            deviation = point.deviation(of) if point.counted else None
            if deviation is not None:
                found.setdefault(name, []).append((point, deviation))
    return HeldOut(of, found)
