"""The drive's links as the aircraft file gives them, made one train: the speed of every shaft from any one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from rotorkit.aircraft.drive_parts import ENGINE, MAIN_ROTOR, SPEEDS_AGREE_WITHIN, TAIL_ROTOR, Belt, DriveLink
from rotorkit.aircraft.entries import Figures
from rotorkit.quantities import QuantityError

if TYPE_CHECKING:
    from rotorkit.drive.train import Train

__all__ = ["links_against", "ratios_over", "turns_of"]


def ratios_over(links: Mapping[str, DriveLink], belts: Mapping[str, Belt]) -> Train:
    """The links as a `Train`. Raises `QuantityError` where they do not hang together."""
    from rotorkit.drive import train as made
    from rotorkit.drive.train import Link, belt, gears, one_way_clutch, shaft

    ways = {"gears": "external", "internal gears": "internal", "bevel gears": "bevel", "chain": "chain"}
    found = []
    for link in links.values():
        ends = link.driver, link.driven
        if link.kind == "shaft":
            found.append(shaft(*ends))
        elif link.kind == "one-way clutch":
            found.append(one_way_clutch(*ends))
        elif link.belt and belts[link.belt].has("driver_diameter", "driven_diameter"):
            sizes = belts[link.belt].driver_diameter.value, belts[link.belt].driven_diameter.value
            found.append(belt(*ends, *sizes, slip=link.slip.value))
        elif link.belt:
            raise QuantityError(f"the belt drive {link.belt} has no diameters yet, and {' to '.join(ends)} needs them")
        elif link.driver_teeth is not None:
            found.append(gears(*ends, link.driver_teeth, link.driven_teeth, arrangement=ways[link.kind]))
        else:
            assert link.turns is not None  # the section asks for one of the three
            slip = float(link.slip.si) if link.kind == "belt" else 0.0
            reverses = {"gears": True, "bevel gears": None}.get(link.kind, False)
            kind = "belt" if link.kind == "belt" else "gears"
            found.append(Link(kind, *ends, float(link.turns.si) * (1 - slip), 1.0, reverses))
    return made(*found)


def turns_of(links: Mapping[str, DriveLink], belts: Mapping[str, Belt]) -> dict[str, float]:
    """Turns of every shaft for one turn of the main rotor; empty where the links do not have it."""
    made = ratios_over(links, belts) if links else None
    return made.ratios(MAIN_ROTOR) if made is not None and MAIN_ROTOR in made.shafts else {}


def links_against(links: Mapping[str, DriveLink], belts: Mapping[str, Belt], drive: Figures) -> str:
    """Where the links come to another ratio than [drive], in words; empty where they agree, or say nothing of it."""
    turns = turns_of(links, belts)
    said = []
    if links and not turns:
        said.append(
            "[links] do not lead to the main rotor, so that no shaft's speed follows from them: call its shaft "
            f'"{MAIN_ROTOR}"'
        )
    for link in links.values():
        own = belts[link.belt].turns if link.belt else None
        if own is not None and link.driver in turns and abs(turns[link.driver] / own.si - 1) > SPEEDS_AGREE_WITHIN:
            said.append(
                f"[links] make {turns[link.driver]:.4g} turns of {link.driver} for one of the main rotor, and "
                f"[belts.{link.belt}] turns is {own.typed}"
            )
    for shaft, key in ((ENGINE, "engine_to_main_rotor"), (TAIL_ROTOR, "tail_to_main_rotor")):
        if shaft in turns and drive.has(key):
            filed = getattr(drive, key)
            if abs(turns[shaft] / filed.si - 1) > SPEEDS_AGREE_WITHIN:
                said.append(
                    f"[links] make {turns[shaft]:.4g} turns of the {shaft} for one of the main rotor, and [drive] "
                    f"{key} is {filed.typed}"
                )
    return "; ".join(said)
