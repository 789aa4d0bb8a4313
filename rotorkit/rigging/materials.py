"""What airframes and control cables are made of: thermal expansion, and the stretch of a cable by its construction.

The figures are those of ``references/thermal_expansion.csv`` and ``references/cable_stretch_factors.csv``; a test
holds the two together. They stand for materials at room temperature. Where the kit maker or the cable's maker gives a
figure for the very part, that figure goes before these.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from rotorkit import sources
from rotorkit.sources import Citation


@dataclass(frozen=True)
class Material:
    """A material's linear thermal expansion.

    Attributes
    ----------
    name : str
        in words.
    expansion : str
        as printed, with its unit, so that it can be given to any formula that wants a thermal expansion.
    low, high : str
        how far an unnamed alloy of the family may lie, by the table's own entries; equal to the value where
        the table has one entry only.
    citation : Citation
        where the figure is printed and how it is known.
    """

    name: str
    expansion: str
    low: str
    high: str
    citation: Citation


@dataclass(frozen=True)
class CableConstruction:
    """A cable's construction and the stretch factor G of its kind, for stretch in per cent = W G / D^2.

    Attributes
    ----------
    name : str
        strands by wires, as 7x19.
    material : str
        "corrosion-resistant steel" or "carbon steel" (galvanised or tinned).
    wires : int
        the number of wires in the section.
    wires_across : int
        the diameter of the cable in diameters of its (equal) wires, by the geometry of the lay.
    stretch_factor : str
        G as printed, in in^2/lbf; it gives per cent.
    citation : Citation
        where G is printed and how it is known.
    """

    name: str
    material: str
    wires: int
    wires_across: int
    stretch_factor: str
    citation: Citation


def _expansion(name: str, value: str, low: str, high: str, printed: str) -> Material:
    return Material(name, f"{value}e-6 /K", f"{low}e-6 /K", f"{high}e-6 /K", sources.CALLISTER.at(printed))


MATERIALS: Mapping[str, Material] = MappingProxyType(
    {
        row[0]: _expansion(*row)
        for row in (
            ("aluminium alloy 6061", "23.6", "22.9", "23.6", "alloy 6061"),
            ("aluminium alloy 2024", "22.9", "22.9", "23.6", "alloy 2024"),
            ("aluminium alloy 7075", "23.4", "22.9", "23.6", "alloy 7075"),
            ("carbon steel", "11.7", "11.3", "12.3", "steel alloy 1020"),
            ("chromium-molybdenum steel", "12.3", "11.3", "12.3", "steel alloy 4140"),
            ("corrosion-resistant steel", "17.2", "15.9", "17.2", "stainless alloy 304"),
            ("glass fibre in epoxy along the fibre", "6.6", "6.6", "6.6", "E-glass, fibre volume 0.6, longitudinal"),
            ("carbon fibre in epoxy along the fibre", "-0.5", "-0.5", "-0.5", "carbon, fibre volume 0.6, longitudinal"),
        )
    }
)
"""Materials by name. For a composite airframe the fibre's own direction is one bound only: a laminate of several
directions lies between it and the resin; ask the kit's maker."""

_LAY = {"7x19": (133, 15), "7x7": (49, 9), "1x19": (19, 5)}

CABLE_CONSTRUCTIONS: tuple[CableConstruction, ...] = tuple(
    CableConstruction(name, steel, *_LAY[name], f"{factor} in^2/lbf", sources.CABLE_STRETCH.at(f"G for {name}", known))
    for name, steel, factor, known in (
        ("7x19", "corrosion-resistant steel", "0.0000162", "read"),
        ("7x19", "carbon steel", "0.0000140", "quoted"),
        ("7x7", "corrosion-resistant steel", "0.0000120", "quoted"),
        ("7x7", "carbon steel", "0.0000107", "quoted"),
        ("1x19", "corrosion-resistant steel", "0.00000779", "quoted"),
        ("1x19", "carbon steel", "0.00000698", "quoted"),
    )
)


def material(name: str) -> Material:
    """The `Material` of that name.

    Raises
    ------
    ValueError
        no such material; the message lists those there are.

    Examples
    --------
    >>> material("aluminium alloy 6061").expansion
    '23.6e-6 /K'
    """
    found = MATERIALS.get(name.strip().lower())
    if found is None:
        raise ValueError(
            f"material: needs one of {', '.join(MATERIALS)}, or give the thermal expansion itself, "
            f"such as 23.6e-6 /K. Got {name!r}."
        )
    return found


def cable_construction(name: str, steel: str) -> CableConstruction:
    """The `CableConstruction` of that name and steel.

    Parameters
    ----------
    name : str
        strands by wires, as "7x19" or "7 x 19".
    steel : str
        "corrosion-resistant steel" or "carbon steel".

    Raises
    ------
    ValueError
        no stretch factor is known here for the two; the message lists those there are.

    Examples
    --------
    >>> cable_construction("7 x 19", "corrosion-resistant steel").stretch_factor
    '0.0000162 in^2/lbf'
    """
    wanted = name.replace(" ", "").replace("×", "x").lower(), steel.strip().lower()
    for construction in CABLE_CONSTRUCTIONS:
        if (construction.name, construction.material) == wanted:
            return construction
    known = "; ".join(f"{c.name} {c.material}" for c in CABLE_CONSTRUCTIONS)
    raise ValueError(
        f"cable construction: no stretch factor is held for {name!r} in {steel!r}. Held: {known}. "
        f"Take G from the cable maker's data and give it as a stretch factor, such as 0.0000162 in^2/lbf."
    )
