"""A control cable as a spring: stretch under load, axial stiffness by construction, stiffness of a run and of its
airframe.

Signs: tension positive, pull only; lengths and stiffnesses positive. The stretch is the elastic one of a cable already
pulled in; the permanent stretch of a new cable comes on top and is not covered.
"""

from __future__ import annotations

from rotorkit import sources
from rotorkit.formula import nomenclature, pi
from rotorkit.quantities import Area, Force, Length, Ratio, Stiffness, Stress, StretchFactor

_POSITIVE_LENGTH = ("1e-6 m", None)
_POSITIVE_FORCE = ("1e-6 N", None)
_POSITIVE_STIFFNESS = ("1e-6 N/m", None)
_PULL = ("0 lbf", None)

_STRETCH = sources.CABLE_STRETCH.at("stretch in per cent of length = W G / D^2")

_formula = nomenclature(
    letters={
        "load": "W", "diameter": "D", "stretch_factor": "G", "length": "L", "elastic_modulus": "E", "area": "A",
        "wire_diameter": "d", "wires": "n", "axial_stiffness": "EA", "one": "k_1", "other": "k_2",
        "structure_stiffness": "k_s", "runs": "n",
    },
    valid={
        "load": _PULL, "diameter": _POSITIVE_LENGTH, "length": _POSITIVE_LENGTH, "wire_diameter": _POSITIVE_LENGTH,
        "wires": ("1", None), "axial_stiffness": _POSITIVE_FORCE, "one": _POSITIVE_STIFFNESS,
        "other": _POSITIVE_STIFFNESS, "structure_stiffness": _POSITIVE_STIFFNESS, "runs": ("1", None),
    },
    shown={"diameter": ("in", "mm"), "length": ("in", "mm"), "area": ("in^2", "mm^2"), "wire_diameter": ("in", "mm")},
)  # fmt: skip


@_formula(source=_STRETCH, result=r"\epsilon")
def cable_stretch_ratio(load: Force, diameter: Length, stretch_factor: StretchFactor) -> Ratio:
    """Elastic stretch of a cable under load, as a ratio of its length.

    The printed factor G gives per cent; the 100 in the formula makes it a ratio.

    Parameters
    ----------
    load : Force
        [force] tension, not negative
    diameter : Length
        [length] nominal diameter of the cable
    stretch_factor : StretchFactor
        [area per force] G of the construction as printed (`rotorkit.rigging.materials`), per cent

    Returns
    -------
    Ratio
        The stretch, [-], 0.005 for half a per cent.

    Raises
    ------
    QuantityError
        a unit is missing, or a value lies outside its range.

    Notes
    -----
    Range of validity: elastic stretch of a cable already pulled in; the pages that print G call it an approximation.
    The permanent stretch of a new cable comes on top.

    Examples
    --------
    500 lbf on a 1/8 in 7x19 corrosion-resistant cable: 500 x 0.0000162 / 0.125^2 = 0.5184 per cent.

    >>> from rotorkit.quantities import say
    >>> say(cable_stretch_ratio("500 lbf", "1/8 in", "0.0000162 in^2/lbf"), "%", digits=4)
    '0.5184 %'
    """
    return load * stretch_factor / (100 * diameter**2)


@_formula(source=_STRETCH, result="L_W", shown={"result": ("in", "mm")})
def stretched_length(length: Length, load: Force, diameter: Length, stretch_factor: StretchFactor) -> Length:
    """Length under load of a cable that is `length` long without load.

    Parameters
    ----------
    length : Length
        [length] without load
    load : Force
        [force] tension, not negative
    diameter : Length
        [length] nominal diameter of the cable
    stretch_factor : StretchFactor
        [area per force] G of the construction as printed

    Returns
    -------
    Length
        The length under load.

    Notes
    -----
    Raises, range of validity: as `cable_stretch_ratio`.

    Examples
    --------
    20 in of 1/8 in 7x19 corrosion-resistant cable under 500 lbf: 20 x 1.005184 = 20.10368 in.

    >>> from rotorkit.quantities import say
    >>> say(stretched_length("20 in", "500 lbf", "1/8 in", "0.0000162 in^2/lbf"), "in", digits=7)
    '20.10368 in'
    """
    return length * (1 + cable_stretch_ratio(load, diameter, stretch_factor))


@_formula(
    source=_STRETCH,
    result="EA",
    valid={"stretch_factor": ("1e-9 in^2/lbf", None)},
    title="Axial stiffness from the stretch factor",
)
def axial_stiffness_from_stretch_factor(diameter: Length, stretch_factor: StretchFactor) -> Force:
    """Effective axial stiffness EA of a cable: the load that would double its length if it stayed elastic.

    From stretch = W G / (100 D^2) = W / EA follows EA = 100 D^2 / G.

    Parameters
    ----------
    diameter : Length
        [length] nominal diameter of the cable
    stretch_factor : StretchFactor
        [area per force] G of the construction as printed, per cent

    Returns
    -------
    Force
        EA [force].

    Notes
    -----
    Raises, range of validity: as `cable_stretch_ratio`.

    Examples
    --------
    1/8 in 7x19 corrosion-resistant: 100 x 0.015625 / 0.0000162 = 96,451 lbf.

    >>> from rotorkit.quantities import say
    >>> say(axial_stiffness_from_stretch_factor("1/8 in", "0.0000162 in^2/lbf"), "lbf", digits=4)
    '96,451 lbf'
    """
    return 100 * diameter**2 / stretch_factor


@_formula(source=sources.ARITHMETIC.at("Hooke's law"), result="EA", title="Axial stiffness of a uniform bar")
def axial_stiffness_of_uniform_bar(elastic_modulus: Stress, area: Area) -> Force:
    """Axial stiffness EA of a solid bar, rod or tube.

    For a cable with its metallic area this is an upper bound: the wires of a lay straighten as well as stretch, so
    that a 7x19 cable shows about half of it (`axial_stiffness_from_stretch_factor`).

    Parameters
    ----------
    elastic_modulus : Stress
        [stress] Young's modulus
    area : Area
        [area] of the metal in the section

    Returns
    -------
    Force
        EA [force].

    Examples
    --------
    200 GPa x 400 mm2 = 80,000 kN.

    >>> from rotorkit.quantities import say
    >>> say(axial_stiffness_of_uniform_bar("200 GPa", "400 mm^2"), "kN", digits=5)
    '80,000 kN'
    """
    return elastic_modulus * area


@_formula(source=sources.ARITHMETIC.at("area of equal round wires"), result="A", shown={"result": ("in^2", "mm^2")})
def metallic_area(wire_diameter: Length, wires: Ratio) -> Area:
    """Area of metal in the section of a cable of equal wires.

    Parameters
    ----------
    wire_diameter : Length
        [length] of one wire; about D/15 in a 7x19 and D/9 in a 7x7 cable of diameter D, by geometry
    wires : Ratio
        [-] their number: 133 in a 7x19, 49 in a 7x7

    Returns
    -------
    Area
        The area.

    Examples
    --------
    1/8 in 7x19: d = 0.125 / 15 = 0.00833 in; 133 x 0.7854 x 0.00833^2 = 0.00725 in2.

    >>> from rotorkit.quantities import say
    >>> say(metallic_area("0.0083333 in", "133"), "in^2", digits=3)
    '0.00725 in²'
    """
    return wires * pi * wire_diameter**2 / 4


@_formula(source=sources.ARITHMETIC.at("Hooke's law"), result="k")
def end_stiffness(axial_stiffness: Force, length: Length) -> Stiffness:
    """Force per unit of stretch between the ends of a bar or cable, EA / L.

    Examples
    --------
    96450 lbf over 200 in: 482 lbf/in.

    >>> from rotorkit.quantities import say
    >>> say(end_stiffness("96450 lbf", "200 in"), "lbf/in", digits=3)
    '482 lbf/in'
    """
    return axial_stiffness / length


@_formula(source=sources.ARITHMETIC.at("springs in series"), result="k")
def stiffness_in_series(one: Stiffness, other: Stiffness) -> Stiffness:
    """Stiffness of two springs in series, such as a cable and the push-pull tube at its end.

    Examples
    --------
    Two of 482 lbf/in: 241 lbf/in.

    >>> from rotorkit.quantities import say
    >>> say(stiffness_in_series("482 lbf/in", "482 lbf/in"), "lbf/in", digits=3)
    '241 lbf/in'
    """
    return 1 / (1 / one + 1 / other)


@_formula(source=sources.ARITHMETIC.at("equal tension changes in parallel runs"), result="k_1")
def stiffness_felt_by_one_run(structure_stiffness: Stiffness, runs: Ratio) -> Stiffness:
    """Airframe stiffness that one run meets when `runs` runs gain the same tension at once, as both of a closed loop
    do.

    The airframe gives way under the sum, so that each run meets ``k_s / n``. Use the result as the
    `structure_stiffness` of the tension formulas.

    Parameters
    ----------
    structure_stiffness : Stiffness
        [stiffness] of the airframe between the runs' ends under one force
    runs : Ratio
        [-] how many runs gain tension together, 1 or more

    Returns
    -------
    Stiffness
        The stiffness that one run meets.

    Examples
    --------
    2000 lbf/in and the two cables of a loop: 1000 lbf/in.

    >>> from rotorkit.quantities import say
    >>> say(stiffness_felt_by_one_run("2000 lbf/in", "2"), "lbf/in", digits=4)
    '1,000 lbf/in'
    """
    return structure_stiffness / runs
