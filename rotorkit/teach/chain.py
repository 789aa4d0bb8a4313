"""A calculation as a chain of operations that can be run again with something done wrong in it.

A formula's own expression, or a sheet's worked steps one upon the other, become a list of nodes in the order in which
they are worked. `Chain.values` goes through the list for many slips at once: each column of its arrays is the whole
calculation once more, with what that column's slips change.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy

from rotorkit.formula import REGISTERED, Formula
from rotorkit.formula.worked import Worked
from rotorkit.judging.measured import Measured
from rotorkit.quantities import Kind, QuantityError, Reading, display_system, read
from rotorkit.quantities.pint_inside import is_own, is_quantity, registry, units_of
from rotorkit.quantities.registry import dimensions
from rotorkit.quantities.spelled_units import unit_container

Change = Callable[[Callable[[int], Any], Any], Any]
"""What a slip makes of a node's value. Arguments: gives the values of an earlier node in the slip's own columns; the
node's own value there."""


@dataclass
class Node:
    """One operation. what: "leaf", "constant", "sum", "product", "power", "function" or "stage". of: the earlier nodes
    that it works on. number: of a constant its value, of a power its exponent. name: of a leaf the argument's name, of
    a function its own. stage: the step that it stands in. dimension: exponents of the base dimensions."""

    what: str
    of: tuple[int, ...] = ()
    number: float = 0.0
    name: str = ""
    stage: int = 0
    kind: Kind | None = None
    units: Any = None
    compound: bool = False
    dimension: tuple[tuple[str, float], ...] = ()
    reading: Reading | None = None
    uses: int = 1

    @property
    def bare(self) -> bool:
        """Whether it is a plain number, without dimensions."""
        return not self.dimension


@dataclass
class Stage:
    """One formula of the chain: its node, the formula, its title, the nodes of its arguments, its worked lines."""

    node: int
    formula: Formula | None
    title: str
    arguments: dict[str, int]
    worked: Worked | None = None
    kind: Kind | None = None
    unit: str = ""


@dataclass
class Chain:
    """The nodes in order; the last one gives the result. stages: the formulas on the way, the last gives it too."""

    nodes: list[Node] = field(default_factory=list)
    stages: list[Stage] = field(default_factory=list)
    target: int = -1

    def add(self, node: Node) -> int:
        """One more node; its place is returned."""
        self.nodes.append(node)
        return len(self.nodes) - 1

    @property
    def last(self) -> Stage:
        """The stage that gives the result."""
        return self.stages[-1]

    def values(self, changes: Mapping[int, Sequence[tuple[Any, Change]]], columns: int) -> list[Any]:
        """Every node's values, an array with a column for each going-through.

        Arguments: changes, for a node the pairs of columns (an array of their numbers) and what is made of its value
        there; columns, how many there are. A column without a real value holds nan from there on.
        """
        found: list[Any] = []
        with numpy.errstate(all="ignore"):
            for place, node in enumerate(self.nodes):
                value = numpy.array(numpy.broadcast_to(_worked_out(node, found), columns), dtype=float)
                for at, change in changes.get(place, ()):
                    value[at] = change(lambda i, at=at: found[i][at], value[at])  # type: ignore[misc]
                found.append(value)
        return found

    def right(self) -> list[float]:
        """Every node's value, nothing done wrong."""
        return [float(value[0]) for value in self.values({}, 1)]

    def only_needed(self) -> Chain:
        """The same without what the result does not rest on."""
        needed = {self.target}
        for place in range(self.target, -1, -1):
            if place in needed:
                needed.update(self.nodes[place].of)
        order = sorted(needed)
        new = {old: i for i, old in enumerate(order)}
        kept = [s for s in self.stages if s.node in needed]
        number = {self.stages.index(s): i for i, s in enumerate(kept)}
        made = Chain()
        for old in order:
            node = self.nodes[old]
            made.add(
                Node(
                    node.what, tuple(new[i] for i in node.of), node.number, node.name, number.get(node.stage, 0),
                    node.kind, node.units, node.compound, node.dimension, node.reading,
                )
            )  # fmt: skip
        for node in made.nodes:
            for i in node.of:
                made.nodes[i].uses += 1
        for stage in kept:
            arguments = {name: new[i] for name, i in stage.arguments.items() if i in new}
            made.stages.append(
                Stage(new[stage.node], stage.formula, stage.title, arguments, stage.worked, stage.kind, stage.unit)
            )
        made.target = new[self.target]
        made.stages.sort(key=lambda stage: stage.node)
        return made


def _worked_out(node: Node, found: Sequence[Any]) -> Any:
    if node.what in ("leaf", "constant"):
        return node.number
    if node.what == "stage":
        return found[node.of[0]]
    if node.what == "sum":
        return sum(found[i] for i in node.of[1:]) + found[node.of[0]] if len(node.of) > 1 else found[node.of[0]]
    if node.what == "product":
        value = found[node.of[0]]
        for i in node.of[1:]:
            value = value * found[i]
        return value
    if node.what == "power":
        if len(node.of) == 2:
            return numpy.power(found[node.of[0]], found[node.of[1]])
        return numpy.power(found[node.of[0]], node.number)
    return FUNCTIONS[node.name](found[node.of[0]])


FUNCTIONS: dict[str, Callable[[Any], Any]] = {
    "sin": numpy.sin,
    "cos": numpy.cos,
    "tan": numpy.tan,
    "asin": numpy.arcsin,
    "acos": numpy.arccos,
    "atan": numpy.arctan,
    "exp": numpy.exp,
    "log": numpy.log,
    "Abs": numpy.abs,
}


# from a formula


def chain_of_formula(formula: Formula, values: Mapping[str, Any], system: str | None = None) -> Chain:
    """The chain of one formula with its arguments as typed. Raises `QuantityError` where one is bad or missing."""
    chain = Chain()
    bound = formula.contract.bound((), dict(values))
    bare, _ = formula.contract.convert(bound)
    leaves = {
        argument.name: chain.add(_leaf(argument.name, argument.kind, given, float(si), formula, 0, system))
        for argument, given, si in zip(formula.contract.arguments, bound, bare, strict=True)
    }
    _stage(chain, formula, formula.title, leaves, formula.worked(**values), system)
    return chain.only_needed()


def chain_of_steps(steps: Sequence[Worked], figure: Any, system: str | None = None) -> Chain | None:
    """The chain of a sheet's steps that leads to a figure (a `Measured`); None where no formula of them gives it."""
    by_name = {one.name: one for one in REGISTERED}
    before: list[tuple[Measured, int]] = []
    steps = [one for one in steps if isinstance(one.value, Measured) and not getattr(one.value.si, "shape", ())]
    found = -1
    for number, worked in enumerate(steps):
        if worked.name in by_name and worked.inputs and worked.value.kind.alike(figure.kind):
            if worked.value is figure:
                found = number
                break
            if found < 0 and _equal(float(worked.value.si), float(figure.si)):
                found = number
        before.append((worked.value, number))
    if found < 0:
        return None
    chain, places, leaves = Chain(), dict[int, int](), list[tuple[Any, int]]()

    def place_of(number: int) -> int | None:
        """The node of a step's result, worked with all that it rests on; None for a step that is no formula."""
        worked = steps[number]
        formula = by_name.get(worked.name)
        if formula is None or not worked.inputs:
            return None
        if number in places:
            return places[number]
        bare, _ = formula.contract.convert(list(worked.inputs.values()))
        given = list(zip(formula.contract.arguments, worked.inputs.values(), bare, strict=True))
        at = {}
        for argument, value, si in given:
            above = _above(value, float(si), argument.kind, before[:number])
            place = None if above is None else place_of(above)
            if place is not None:
                at[argument.name] = place
        for argument, value, si in given:
            if argument.name in at:
                continue
            # one reading that several steps use was read once
            same = None if isinstance(value, (str, int, float)) else next((i for g, i in leaves if g is value), None)
            if same is None:
                made = _leaf(argument.name, argument.kind, value, float(si), formula, len(chain.stages), system)
                same = chain.add(made)
                leaves.append((value, same))
            at[argument.name] = same
        places[number] = _stage(chain, formula, worked.title, at, worked, system)
        return places[number]

    before = [(one.value, number) for number, one in enumerate(steps)]
    try:
        place_of(found)
    except (QuantityError, TypeError, ValueError):
        return None
    return chain.only_needed()


def _above(given: Any, si: float, kind: Kind | None, made: Sequence[tuple[Measured, int]]) -> int | None:
    if not isinstance(given, Measured) and not is_quantity(given):
        return None
    for value, place in reversed(made):
        if value is given:
            return place
    if isinstance(given, Measured) and given.reading is not None:
        return None
    for value, place in reversed(made):
        if kind is not None and value.kind.alike(kind) and si and _equal(float(value.si), si):
            return place
    return None


def _equal(one: float, other: float) -> bool:
    return abs(one - other) <= 1e-12 * max(abs(one), abs(other))


def _leaf(name: str, kind: Any, given: Any, si: float, formula: Formula, stage: int, system: str | None) -> Node:
    units, compound, reading = _units_typed(given, kind, formula.shown.get(name), system)
    node = Node("leaf", (), si, name, stage, kind, units, compound, _dimension(kind), reading)
    return node


def _units_typed(given: Any, kind: Kind, shown: Any, system: str | None) -> tuple[Any, bool, Reading | None]:
    """The units in which a person has a figure before them."""
    reading = given.reading if isinstance(given, Measured) else given
    if isinstance(reading, str):
        reading = read(reading, kind, by_program=True)
    if isinstance(reading, Reading):
        return units_of(reading.value), reading.compound, reading
    if is_own(given):
        return units_of(given), False, None
    system = system or display_system()
    unit = shown[system == "metric"] if shown else kind.shown(system)
    if isinstance(given, Measured) and (given.unit is not None or not shown):
        unit = given.shown_unit(system)
    return unit_container(unit, kind), False, None


def _dimension(kind: Kind | None) -> tuple[tuple[str, float], ...]:
    return () if kind is None else tuple(sorted((str(k), float(v)) for k, v in dimensions(kind).items()))


def _stage(
    chain: Chain, formula: Formula, title: str, leaves: Mapping[str, int], worked: Worked, system: str | None
) -> int:
    import sympy

    traced = formula.traced
    number = len(chain.stages)
    known: dict[Any, int] = {symbol: leaves[name] for name, symbol in traced.symbols.items()}
    for symbol, constant in traced.constants.values():
        container = registry().parse_units(constant.unit) if constant.unit else registry().parse_units("")
        dimension = registry().get_dimensionality(container)
        known[symbol] = chain.add(
            Node("constant", (), float(constant), constant.letter, number,
                 dimension=tuple(sorted((str(k), float(v)) for k, v in dimension.items())))
        )  # fmt: skip
    body = _expression(chain, traced.written, known, number, sympy)
    unit = worked.value.shown_unit(system or display_system()) if isinstance(worked.value, Measured) else ""
    place = chain.add(Node("stage", (body,), stage=number, kind=formula.kind, dimension=_dimension(formula.kind)))
    chain.stages.append(Stage(place, formula, title, dict(leaves), worked, formula.kind, unit))
    chain.target = place
    return place


def _expression(chain: Chain, expression: Any, known: dict[Any, int], stage: int, sympy: Any) -> int:
    """The node of an expression; what stands in it twice is worked once."""
    if expression in known:
        return known[expression]

    def parts(of: Any, what: str) -> list[Any]:
        """What a sum of sums, or a product of products, is of."""
        held = []
        for one in of.args:
            same = one.is_Add if what == "sum" else one.is_Mul
            held += parts(one, what) if same else [one]
        return held

    def child(one: Any) -> int:
        return _expression(chain, one, known, stage, sympy)

    if expression.is_number and not expression.free_symbols:
        made = Node("constant", (), float(expression), str(expression), stage)
    elif expression.is_Add:
        of = tuple(child(one) for one in parts(expression, "sum"))
        made = Node("sum", of, stage=stage, dimension=next((chain.nodes[i].dimension for i in of), ()))
    elif expression.is_Mul:
        of = tuple(child(one) for one in parts(expression, "product"))
        made = Node("product", of, stage=stage, dimension=_together([(chain.nodes[i].dimension, 1.0) for i in of]))
    elif expression.is_Pow:
        base, power = expression.args
        if power.is_number and not power.free_symbols:
            of = (child(base),)
            exponent = float(power)
            made = Node(
                "power", of, exponent, stage=stage, dimension=_together([(chain.nodes[of[0]].dimension, exponent)])
            )
        else:
            made = Node("power", (child(base), child(power)), stage=stage)
    elif type(expression).__name__ in FUNCTIONS:
        of = (child(expression.args[0]),)
        name = type(expression).__name__
        made = Node(
            "function", of, name=name, stage=stage, dimension=chain.nodes[of[0]].dimension if name == "Abs" else ()
        )
    else:
        raise TypeError(f"no operation for {type(expression).__name__}")
    known[expression] = chain.add(made)
    return known[expression]


def _together(parts: Sequence[tuple[tuple[tuple[str, float], ...], float]]) -> tuple[tuple[str, float], ...]:
    total: dict[str, float] = {}
    for dimension, power in parts:
        for name, exponent in dimension:
            total[name] = total.get(name, 0.0) + power * exponent
    return tuple(sorted((name, value) for name, value in total.items() if abs(value) > 1e-9))


# turned round


def inverted(chain: Chain, unknown: str, result: Node, wanted: float) -> Chain | None:
    """The chain of a formula turned round: worked for one of its arguments, from a given result.

    Arguments: chain, of one formula, with the unknown at its right value; unknown, the argument's name; result, the
    leaf that the given result becomes; wanted, the right value of the unknown. None where the unknown stands in several
    places, so that a person does not turn the formula round by hand.
    """
    values = chain.right()
    start = chain.last.arguments.get(unknown)
    if start is None:
        return None
    path = [start]
    while path[-1] != chain.target:
        above = [i for i, node in enumerate(chain.nodes) if path[-1] in node.of]
        if len(above) != 1 or chain.nodes[above[0]].of.count(path[-1]) != 1:
            return None
        path.append(above[0])
    turned = Chain()
    kept: dict[int, int] = {}
    for i, node in enumerate(chain.nodes):
        if i not in path:
            kept[i] = turned.add(
                Node(
                    node.what, tuple(kept[j] for j in node.of), node.number, node.name, 0,
                    node.kind, node.units, node.compound, node.dimension, node.reading,
                )
            )  # fmt: skip
    given = at = turned.add(result)
    for node_at, below in zip(reversed(path), reversed(path[:-1]), strict=False):
        node, others = chain.nodes[node_at], [kept[j] for j in chain.nodes[node_at].of if j != below]
        if node.what == "sum":
            for other in others:
                at = turned.add(_less(turned, at, other))
        elif node.what == "product":
            factors = [at] + [
                turned.nodes[o].of[0] if turned.nodes[o].what == "power" and turned.nodes[o].number == -1.0
                else turned.add(Node("power", (o,), -1.0, dimension=_together([(turned.nodes[o].dimension, -1.0)])))
                for o in others
            ]  # fmt: skip
            at = turned.add(
                Node(
                    "product", tuple(factors), dimension=_together([(turned.nodes[f].dimension, 1.0) for f in factors])
                )
            )
        elif node.what == "power" and len(node.of) == 1:
            at = turned.add(
                Node(
                    "power",
                    (at,),
                    1 / node.number,
                    dimension=_together([(turned.nodes[at].dimension, 1 / node.number)]),
                )
            )
            if values[below] < 0:
                minus = turned.add(Node("constant", (), -1.0, "-1"))
                at = turned.add(Node("product", (minus, at), dimension=turned.nodes[at].dimension))
        elif node.what == "function" and node.name in UNDONE:
            at = turned.add(Node("function", (at,), name=UNDONE[node.name]))
        elif node.what != "stage":
            return None
    argument = chain.nodes[start]
    place = turned.add(Node("stage", (at,), kind=argument.kind, dimension=argument.dimension))
    arguments = {name: kept[i] for name, i in chain.last.arguments.items() if i in kept} | {"result": given}
    turned.stages.append(Stage(place, chain.last.formula, chain.last.title, arguments, None, argument.kind, ""))
    turned.target = place
    found = turned.right()[place]
    if not abs(found - wanted) <= 1e-7 * max(abs(found), abs(wanted)):
        return None  # another branch of an inverse function
    return turned.only_needed()


UNDONE = {
    "sin": "asin",
    "cos": "acos",
    "tan": "atan",
    "asin": "sin",
    "acos": "cos",
    "atan": "tan",
    "exp": "log",
    "log": "exp",
}


def _less(chain: Chain, value: int, other: int) -> Node:
    """The difference as a sum: a term that was taken off is added again."""
    node = chain.nodes[other]
    dimension = chain.nodes[value].dimension
    if node.what == "product" and chain.nodes[node.of[0]].what == "constant" and chain.nodes[node.of[0]].number == -1.0:
        rest = node.of[1:]
        plus = rest[0] if len(rest) == 1 else chain.add(Node("product", rest, dimension=node.dimension))
        return Node("sum", (value, plus), dimension=dimension)
    minus = chain.add(Node("constant", (), -1.0, "-1"))
    return Node(
        "sum", (value, chain.add(Node("product", (minus, other), dimension=node.dimension))), dimension=dimension
    )
