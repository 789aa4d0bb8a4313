"""The drive's links as the aircraft file gives them, made one train: the speed of every shaft from any one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from rotorkit.aircraft.drive_parts import (
    ENGINE,
    MAIN_ROTOR,
    SPEEDS_AGREE_WITHIN,
    TAIL_ROTOR,
    Belt,
    DriveBearing,
    DriveLink,
    DriveShaft,
    as_it_is_known,
)
from rotorkit.aircraft.entries import Figures
from rotorkit.quantities import QuantityError, Reading, RotationRate, from_si, say

if TYPE_CHECKING:
    from rotorkit.drive.train import Train


MOST_OVER = 1.25
"""A shaft that turns by more than this over its speed at the rotor's 100 % is another shaft: no rotor is run so fast
(our own choice)."""
ONE_WAY = "one-way clutch"


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
        elif link.kind == ONE_WAY:
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


@dataclass(frozen=True)
class OnLink:
    """A shaft of the links, seen from the engine. under: the shaft that drives it, and link: by which link of the file,
    both empty of the first; depth: how many links lie before it."""

    shaft: str
    under: str = ""
    link: str = ""
    depth: int = 0


def from_the_engine(links: Mapping[str, DriveLink]) -> list[OnLink]:
    """Every shaft of the links, each after the one that drives it, and what it drives before that one's next: from the
    engine, or where no link has it from a shaft that nothing drives."""
    driven = {one.driven for one in links.values()}
    ends = [one.driver for one in links.values()]
    first = ENGINE if ENGINE in {*ends, *driven} else next((one for one in ends if one not in driven), "")
    found: list[OnLink] = []

    def walk(here: OnLink) -> None:
        found.append(here)
        for key, link in links.items():
            for one, other in ((link.driver, link.driven), (link.driven, link.driver)):
                if one == here.shaft and other not in {each.shaft for each in found}:
                    walk(OnLink(other, here.shaft, key, here.depth + 1))

    if first:
        walk(OnLink(first))
    return found


def shafts_that_brake(links: Mapping[str, DriveLink]) -> set[str]:
    """The shafts on which a brake slows the main rotor: each one-way clutch on the way from it is passed from its
    driver to what it drives. Past a clutch that is met from its driven side the rotor runs on, brake or no brake."""
    found, new = set[str](), [MAIN_ROTOR]
    while new:
        here = new.pop()
        found.add(here)
        for link in links.values():
            ways = [(link.driver, link.driven)]
            if link.kind != ONE_WAY:
                ways.append((link.driven, link.driver))
            new += [there for start, there in ways if start == here and there not in found]
    return found


def at_clutches(links: Mapping[str, DriveLink]) -> list[tuple[str, str]]:
    """The one-way clutches of the links, each as the shaft that drives it and the one that it drives."""
    return [(one.driver, one.driven) for one in links.values() if one.kind == ONE_WAY]


def link_words(link: DriveLink, belts: Mapping[str, Belt], shafts: Mapping[str, DriveShaft]) -> str:
    """How a link drives, in words: "bevel gears, 15 on 58 teeth"."""
    slips = f", slip {link.slip.typed}" if link.slip.si else ""
    if link.shaft and link.shaft in shafts:
        return f"shaft ({shafts[link.shaft].named})"
    if link.belt and belts[link.belt].has("driver_diameter", "driven_diameter"):
        belt = belts[link.belt]
        return f"belt, {belt.driver_diameter.typed} on {belt.driven_diameter.typed}{slips}"
    if link.driver_teeth is not None:
        return f"{link.kind}, {link.driver_teeth} on {link.driven_teeth} teeth"
    if link.turns is not None:
        turns = f"{link.turns.si:.4g}"
        return f"{link.kind}, {turns} turn{'' if turns == '1' else 's'} for one{slips}"
    return link.kind


def bearing_turns(
    bearing: DriveBearing, links: Mapping[str, DriveLink], belts: Mapping[str, Belt]
) -> tuple[float | None, str]:
    """Turns of a bearing's inner ring for one of the main rotor: by the shaft of the links that it sits on, else as the
    file gives them, None where neither says it; and where both say it and differ, or the shaft is none, why."""
    typed = bearing.turns
    if not bearing.on_shaft:
        return (None if typed is None else float(typed.si)), ""
    turns, name = turns_of(links, belts), as_it_is_known(bearing.on_shaft)
    if name not in turns:
        there = ", ".join(turns) or "none that leads to the main rotor"
        return None, f'on_shaft = "{bearing.on_shaft}" is no shaft of [links]: they have {there}'
    if typed is not None and abs(turns[name] / typed.si - 1) > SPEEDS_AGREE_WITHIN:
        return None, (
            f"[links] make {turns[name]:.4g} turns of {name} for one of the main rotor, and its turns are {typed.typed}"
        )
    return turns[name], ""


def speeds_against(
    links: Mapping[str, DriveLink], belts: Mapping[str, Belt], shafts: Mapping[str, DriveShaft], rotor: Reading
) -> dict[str, str]:
    """Where the greatest speed of a belt's driving pulley or of a shaft on hangers is less than what the links make of
    the main rotor's 100 % speed, or is that of another shaft: in words, by place."""
    turns, found = turns_of(links, belts), dict[str, str]()
    for link in links.values() if turns else ():
        made = turns.get(link.driver, 0.0) * float(rotor.si)
        belt, shaft = belts.get(link.belt), shafts.get(link.shaft)
        for place, key, of in (
            (f"belts.{link.belt}", "driver_speed", belt),
            (f"shafts.{link.shaft}", "greatest_speed", shaft),
        ):
            if of is None or not of.has(key) or not made:
                continue
            filed = getattr(of, key)
            if not 1 - SPEEDS_AGREE_WITHIN <= filed.si / made <= MOST_OVER:
                at = say(from_si(made, RotationRate), "rpm", digits=4)
                found[place] = (
                    f"[links] make {at} of {link.driver} at the main rotor's {rotor.typed}, and [{place}] {key} is "
                    f"{filed.typed}"
                )
    return found


def links_against(
    links: Mapping[str, DriveLink], belts: Mapping[str, Belt], drive: Figures, bearings: Mapping[str, DriveBearing]
) -> str:
    """Where the links come to another ratio than [drive], or than a belt's or bearing's own turns, in words; empty
    where they agree, or say nothing of it."""
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
    for key, bearing in bearings.items():
        if why := bearing_turns(bearing, links, belts)[1]:
            said.append(f"[bearings.{key}]: {why}")
    for shaft, key in ((ENGINE, "engine_to_main_rotor"), (TAIL_ROTOR, "tail_to_main_rotor")):
        if shaft in turns and drive.has(key):
            filed = getattr(drive, key)
            if abs(turns[shaft] / filed.si - 1) > SPEEDS_AGREE_WITHIN:
                said.append(
                    f"[links] make {turns[shaft]:.4g} turns of the {shaft} for one of the main rotor, and [drive] "
                    f"{key} is {filed.typed}"
                )
    return "; ".join(said)
