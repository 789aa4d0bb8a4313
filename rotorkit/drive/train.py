"""A drive train as a small graph: every shaft's speed from any one, which way each turns, and what each carries.

>>> drive = train(
...     belt("engine", "jackshaft", "9 in", "13.5 in"),
...     one_way_clutch("jackshaft", "pinion"),
...     gears("pinion", "main rotor", 11, 43),
...     shaft("pinion", "tail drive"),
...     gears("tail drive", "tail rotor", 20, 13),
... )
>>> from rotorkit.quantities import say
>>> {name: say(speed, "rpm", digits=4) for name, speed in drive.speeds("engine", "2700 rpm").items()}
{'engine': '2,700 rpm', 'jackshaft': '1,800 rpm', 'pinion': '1,800 rpm', 'main rotor': '460.5 rpm',
 'tail drive': '1,800 rpm', 'tail rotor': '2,769 rpm'}
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rotorkit.drive.speeds import gear_driven_speed, pulley_driven_speed
from rotorkit.formula.contract import contract, si_of
from rotorkit.quantities import Length, Power, QuantityError, Ratio, RotationRate, from_si


@dataclass(frozen=True)
class Link:
    """What joins two shafts: driven speed = ratio x driver speed.

    kind: belt, gears, shaft or one-way clutch. ratio: driven over driver speed, slip included. efficiency: power out
    over power in. reverses: whether the driven shaft turns the other way round, seen from one place; None where that
    has no meaning (bevel gears).
    """

    kind: str
    driver: str
    driven: str
    ratio: float
    efficiency: float = 1.0
    reverses: bool | None = False


@dataclass(frozen=True)
class ShaftLoad:
    """What a shaft carries: its speed, power and torque, as quantities."""

    speed: Any
    power: Any
    torque: Any


@contract
def belt(
    driver: str,
    driven: str,
    driver_diameter: Length,
    driven_diameter: Length,
    belt_thickness: Length = "0 mm",
    slip: Ratio = "0",
    efficiency: Ratio = "1",
    crossed: bool = False,
) -> Link:
    """A belt between two shafts (see `pulley_driven_speed`). efficiency: power out over in, 0.95 to 0.98 for V-belts
    (common practice, no source). crossed: whether the belt crosses itself, so that the driven shaft turns the other
    way.

    >>> belt("engine", "jackshaft", "9 in", "13.5 in").ratio
    0.6666666666666667
    """
    return Link(
        "belt",
        driver,
        driven,
        pulley_driven_speed.si(1.0, driver_diameter, driven_diameter, belt_thickness, slip),
        _share(efficiency),
        crossed,
    )


@contract
def gears(
    driver: str,
    driven: str,
    driver_teeth: Ratio,
    driven_teeth: Ratio,
    efficiency: Ratio = "1",
    arrangement: str = "external",
) -> Link:
    """A pair of gears between two shafts. arrangement: "external" (the driven turns the other way), "internal" or
    "chain" (the same way), "bevel" (neither). efficiency: 0.98 to 0.99 a mesh (common practice, no source).

    >>> gears("pinion", "main rotor", 11, 44).ratio
    0.25
    """
    ways = {"external": True, "internal": False, "chain": False, "bevel": None}
    if arrangement not in ways:
        raise QuantityError(f"gears: arrangement must be {', '.join(ways)}, got {arrangement!r}")
    ratio = gear_driven_speed.si(1.0, driver_teeth, driven_teeth)
    return Link("gears", driver, driven, ratio, _share(efficiency), ways[arrangement])


def shaft(driver: str, driven: str) -> Link:
    """A shaft, coupling, friction clutch that holds or universal joint in its mean: the same speed at both ends."""
    return Link("shaft", driver, driven, 1.0)


def one_way_clutch(driver: str, driven: str) -> Link:
    """A one-way clutch: it drives at the same speed, and lets the driven side run on faster."""
    return Link("one-way clutch", driver, driven, 1.0)


def _share(efficiency: float) -> float:
    if not 0 < efficiency <= 1:
        raise QuantityError(f"efficiency must be above 0 and not above 1, got {efficiency:g}")
    return float(efficiency)


def train(*links: Link) -> Train:
    """A drive train of links, given in any order; each shaft is named in one link or more.

    Raises `QuantityError` where the shafts do not all hang together, or where two ways lead to the same shaft.
    """
    if not links:
        raise QuantityError("train: needs a link at least, for example belt('engine', 'jackshaft', '9 in', '13.5 in')")
    for link in links:
        if link.driver == link.driven:
            raise QuantityError(f"train: the {link.kind} joins {link.driver} with itself")
    names = list(dict.fromkeys(name for link in links for name in (link.driver, link.driven)))
    made = Train(tuple(links), tuple(names))
    reached = made.ratios(names[0])
    if len(reached) < len(names):
        lost = ", ".join(name for name in names if name not in reached)
        raise QuantityError(f"train: no link leads from {names[0]} to {lost}")
    if len(links) != len(names) - 1:
        raise QuantityError("train: two ways lead to the same shaft; give each shaft one way")
    return made


@dataclass(frozen=True)
class Train:
    """Shafts and what joins them; made by `train`."""

    links: tuple[Link, ...]
    shafts: tuple[str, ...]

    def _known(self, name: str) -> None:
        if name not in self.shafts:
            raise QuantityError(f"train: there is no shaft {name!r}: they are {', '.join(self.shafts)}")

    def ratios(self, of: str, freewheeling: bool = False) -> dict[str, float]:
        """Speed of every shaft over that of one, as plain numbers.

        freewheeling: whether one-way clutches are free; then only what is joined with that shaft otherwise is told.
        """
        self._known(of)
        found = {of: 1.0}
        waiting = [of]
        while waiting:
            here = waiting.pop()
            for link in self.links:
                if freewheeling and link.kind == "one-way clutch":
                    continue
                if link.driver == here and link.driven not in found:
                    found[link.driven] = found[here] * link.ratio
                    waiting.append(link.driven)
                elif link.driven == here and link.driver not in found:
                    found[link.driver] = found[here] / link.ratio
                    waiting.append(link.driver)
        return {name: found[name] for name in self.shafts if name in found}

    def speeds(self, of: str, speed: Any, freewheeling: bool = False) -> dict[str, Any]:
        """Every shaft's speed, as a quantity, from the speed of any one (text, a quantity, an array of them)."""
        si = si_of(speed, RotationRate, "speed")[0]
        return {name: from_si(ratio * si, RotationRate) for name, ratio in self.ratios(of, freewheeling).items()}

    def senses(self, of: str) -> dict[str, bool | None]:
        """Whether each shaft turns the same way round as one does; None beyond bevel gears, where it has no meaning."""
        self._known(of)
        found: dict[str, bool | None] = {of: True}
        waiting = [of]
        while waiting:
            here = waiting.pop()
            for link in self.links:
                for one, other in ((link.driver, link.driven), (link.driven, link.driver)):
                    if one == here and other not in found:
                        same = found[here]
                        found[other] = None if same is None or link.reverses is None else same != link.reverses
                        waiting.append(other)
        return {name: found[name] for name in self.shafts}

    def loads(self, of: str, speed: Any, takes: Mapping[str, Any]) -> dict[str, ShaftLoad]:
        """What every shaft carries: the power that its ends take and the losses on the way, and the torque.

        Parameters
        ----------
        of : str
            the shaft whose speed is given.
        speed : RotationRate
            its speed, above zero.
        takes : mapping of str to Power
            the power taken off each shaft that does work, main rotor and tail rotor for instance, fan and generator.

        Returns
        -------
        dict of str to ShaftLoad
            for every shaft, in the order of the train; that of the engine is what the engine must give.

        Raises
        ------
        QuantityError
            a shaft is not of the train, or a figure is not of its kind.

        Notes
        -----
        Mean torque. That of a piston engine swings about it: see `rotorkit.drive.shafts.peak_torque`.

        Examples
        --------
        100 hp at the rotor through a belt of 97 %: the engine gives 103.1 hp.

        >>> from rotorkit.quantities import say
        >>> drive = train(belt("engine", "rotor", "5 in", "10 in", efficiency="97 %"))
        >>> load = drive.loads("engine", "2700 rpm", {"rotor": "100 hp"})
        >>> say(load["engine"].power, "hp", digits=4), say(load["rotor"].torque, "lbf*ft", digits=4)
        ('103.1 hp', '389.0 lbf·ft')
        """
        power = dict.fromkeys(self.shafts, 0.0)
        for name, taken in takes.items():
            self._known(name)
            power[name] += float(si_of(taken, Power, name)[0])
        order: list[Link] = []
        left = list(self.links)
        while left:  # outermost first: a link is ready when nothing that waits is driven by its driven shaft
            ready = [link for link in left if not any(link.driven == other.driver for other in left)]
            if not ready:
                raise QuantityError("train: power would go round in a circle; give each link driver first")
            order += ready
            left = [link for link in left if link not in ready]
        for link in order:
            power[link.driver] += power[link.driven] / link.efficiency
        from rotorkit.drive.shafts import torque_from_power

        loads = {}
        for name, rate in self.speeds(of, speed).items():
            loads[name] = ShaftLoad(
                rate, from_si(power[name], Power), torque_from_power(from_si(power[name], Power), rate)
            )
        return loads
