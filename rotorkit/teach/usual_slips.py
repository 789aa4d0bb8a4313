"""The slips that are made at each operation of a calculation: one function for each kind of node.

Nothing here knows a sheet or a formula: what can go wrong follows from what is done (a sum has terms that are left out
or taken the wrong way, a power its exponent) and from the unit that a figure stands in (`rotorkit.teach.confusions`).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy

from rotorkit.formula.notation import plain
from rotorkit.quantities import Kind, Reading, display_system, from_si, say
from rotorkit.quantities.pint_inside import registry, units_of
from rotorkit.quantities.spelled_units import unit_container
from rotorkit.teach.chain import FUNCTIONS, Chain, Change, Node, Stage
from rotorkit.teach.confusions import confusions_of
from rotorkit.teach.tables import looked_up, printed_rows

DEGREES = math.degrees(1.0)
ONLY_THE_SIGN = "only the sign differs: check the sign convention, and which figure is subtracted from which"
WEIGHTS = {
    "unit": 1.0,
    "temperature": 1.0,
    "diameter": 1.2,
    "sign": 0.8,
    "decimal point": 0.4,
    "minutes": 1.0,
    "left out": 0.9,
    "wrong way": 0.7,
    "factor": 0.5,
    "power": 0.6,
    "upside down": 0.4,
    "swapped": 0.5,
    "step left out": 0.8,
    "other function": 0.3,
    "table": 0.8,
}
"""How often each family of slips is made, beside the others. Common practice (no source)."""


@dataclass(frozen=True)
class Slip:
    """One thing done otherwise. where: the argument, the step or "result"; sites: nodes, and what is made of them;
    line: the corrected line; same: what else comes to the same, of which the likeliest is told."""

    family: str
    where: str
    words: str
    weight: float
    sites: tuple[tuple[int, Change], ...]
    line: Callable[[], str]
    same: str = ""


def usual_slips(chain: Chain, kind: Kind, reading: Reading) -> list[Slip]:
    """Every slip that can be made in a chain, and in writing down its result.

    Arguments: chain; kind, of the result; reading, the hand figure, for the unit that it is written in.
    """
    right = chain.right()
    made: list[Slip] = []
    for place, node in enumerate(chain.nodes):
        if node.what == "leaf":
            made += _of_leaf(chain, place, node, right)
        elif node.what == "sum":
            made += _of_sum(chain, place, node, right)
        elif node.what == "product":
            made += _of_product(chain, place, node, right)
        elif node.what == "power":
            made += _of_power(chain, place, node)
        elif node.what == "function":
            made += _of_function(chain, place, node)
        elif node.what == "stage" and place != chain.target:
            made += _of_stage(chain, place, node, right)
    for stage in chain.stages:
        made += _of_arguments(chain, stage, right)
        made += _left_out(chain, stage, right)
        made += _of_tables(chain, stage, right)
    return made + list(_of_result(chain, kind, reading, right))


def _times(factor: float) -> Change:
    return lambda at, value: value * factor


def _becomes(new: float) -> Change:
    return lambda at, value: value * 0 + new


def _less(term: int, times: float) -> Change:
    return lambda at, value: value - times * at(term)


def _over(factor: int, times: int) -> Change:
    return lambda at, value: value / at(factor) ** times


def _function(inside: int, function: Callable[[Any], Any], factor: float = 1.0) -> Change:
    return lambda at, value: function(at(inside) * factor)


def _beyond(start: int, by_ratio: bool = False) -> Change:
    """As far to the other side of where it started, counted as a difference or as a ratio."""
    if by_ratio:
        return lambda at, value: at(start) ** 2 / value
    return lambda at, value: 2 * at(start) - value


def _put(other: int) -> Change:
    return lambda at, value: at(other)


def _slip(
    family: str, where: str, words: str, place: int, change: Change, line: Callable[[], str], weight: float = 1.0,
    same: str = "",
) -> Slip:  # fmt: skip
    return Slip(
        family, where, words, WEIGHTS[family] * weight, ((place, change),), line, same or f"{family} {where} {words}"
    )


def _where(chain: Chain, place: int) -> str:
    """In which step something was done, in words; empty where there is one step only."""
    if len(chain.stages) < 2:
        return ""
    title = chain.stages[min(chain.nodes[place].stage, len(chain.stages) - 1)].title
    return f', in "{title}"'


def _name(node: Node) -> str:
    """A leaf in words; a name that ends on "at" or "to" stands in quotation marks, so that the sentence reads."""
    return _worded(node.name)


def _worded(name: str) -> str:
    if name in ("result", "sign"):
        return "the given result" if name == "result" else "the factor for the sign convention"
    words = name.replace("_", " ")
    first, last = words.split(" ")[0], words.rpartition(" ")[2]
    return f"the figure “{words}”" if last in LOOSE or first in LEADING else f"the {words}"


LEADING = frozenset({"as", "with", "at", "from", "to"})
LOOSE = frozenset(
    {
        "wanted",
        "between",
        "at",
        "to",
        "of",
        "below",
        "above",
        "first",
        "second",
        "one",
        "other",
        "per",
        "after",
        "before",
    }
)


def _called(chain: Chain, place: int) -> str:
    """A node in words: an argument by its name, a step by its title, anything else by the arguments in it."""
    node = chain.nodes[place]
    if node.what == "leaf":
        return _name(node)
    if node.what == "stage":
        return next((f'"{stage.title}"' for stage in chain.stages if stage.node == place), "the step")
    if node.what == "constant":
        return f"the {plain(node.name) if node.name.strip('-').replace('.', '').isdigit() is False else node.name}"
    if node.what == "product" and chain.nodes[node.of[0]].number == -1.0 and len(node.of) == 2:
        return _called(chain, node.of[1])
    inside = list(dict.fromkeys(_arguments(chain, place)))
    if not inside:
        return "a number"
    *most, last = inside
    return f"the part with {', '.join(most)} and {last}" if most else f"the part with {last}"


def _arguments(chain: Chain, place: int) -> Iterator[str]:
    node = chain.nodes[place]
    if node.what in ("leaf", "stage"):
        yield _called(chain, place)
        return
    for one in node.of:
        yield from _arguments(chain, one)


def _formula_line(chain: Chain, place: int) -> Callable[[], str]:
    def line() -> str:
        stage = chain.stages[min(chain.nodes[place].stage, len(chain.stages) - 1)]
        if stage.worked is not None:
            of = [one.text for one in stage.worked.lines if one.part in ("formula", "substitution")]
            return "; ".join(of)
        return stage.formula.heading.formula.text if stage.formula is not None else ""

    return line


def _input_line(chain: Chain, place: int) -> Callable[[], str]:
    def line() -> str:
        node = chain.nodes[place]
        stage = chain.stages[min(node.stage, len(chain.stages) - 1)]
        words = node.name.replace("_", " ")
        if stage.worked is not None:
            for one in stage.worked.lines:
                if one.part == "input" and one.words == words:
                    return one.text
        assert node.kind is not None
        typed = from_si(node.number, node.kind).to(node.units)
        return f"{words} = {say(typed, as_typed=True, kind=node.kind)} = {say(from_si(node.number, node.kind))}"

    return line


def _of_leaf(chain: Chain, place: int, node: Node, right: Sequence[float]) -> Iterator[Slip]:
    kind, name, where = node.kind, _name(node), node.name
    assert kind is not None
    value, line, at = right[place], _input_line(chain, place), _where(chain, place)
    if value == 0 or not math.isfinite(value):
        return
    if kind.flavour == "temperature":
        yield from _of_temperature(name, where, value, node, place, line, at)
        return
    for one in confusions_of(node.units, kind):
        words = f"{name} was taken as {one.taken} where it stands in {one.written}{at}"
        yield _slip("unit", where, words, place, _times(one.ratio), line, 1.0 if one.usual else 0.35)
        if one.usual:
            words = f"{name} was converted the wrong way between {one.written} and {one.taken}{at}"
            yield _slip("unit", where, words, place, _times(one.ratio**2), line, 0.3)
    if kind.flavour == "difference":
        scale = 5 / 9 if "delta_degree_Fahrenheit" in map(str, node.units) else 1.0
        if scale != 1.0:
            words = f"{name} is a difference, and was converted like a temperature, with the 32 subtracted{at}"
            yield _slip("temperature", where, words, place, lambda get, v: v - 32 * 5 / 9, line, 0.6)
        for factor in (9 / 5, 5 / 9):
            yield _slip("temperature", where, f"{name} was taken in the other degrees, off by {factor:.2g}{at}", place,
                        _times(factor), line, 0.5, f"degrees {where} {factor:.2f}")  # fmt: skip
    if kind.si == "m":
        for word, other, factor in (("radius", "diameter", 2.0), ("diameter", "radius", 0.5)):
            if word in node.name:
                words = f"the {other} was used for {name}{at}"
                yield _slip("diameter", where, words, place, _times(factor), line, 1.0, f"diameter {where} {factor:g}")
                said = "halved" if factor == 2.0 else "doubled"
                words = f"{name} was {said} as if it were a {other}{at}"
                same = f"diameter {where} {1 / factor:g}"
                yield _slip("diameter", where, words, place, _times(1 / factor), line, 0.6, same)
        if not any(word in node.name for word in ("radius", "diameter")):
            for factor, said in ((2.0, "twice"), (0.5, "half")):
                words = f"{said} {name} was used{at}"
                yield _slip("factor", where, words, place, _times(factor), line, 0.2, f"factor {where} {factor:g}")
    bound = _low(chain, node)
    if kind.minimum is None and (bound is None or bound < 0):
        yield _slip("sign", where, f"the sign of {name} was turned{at}", place, _times(-1.0), line)
    for factor in (10.0, 0.1):
        words = f"the decimal point of {name} slipped by one place{at}"
        yield _slip(
            "decimal point", where, words, place, _times(factor), line, 0.5, f"decimal point {where} {factor:g}"
        )
    yield from _of_minutes(name, where, value, node, place, line, at)


def _low(chain: Chain, node: Node) -> float | None:
    stage = chain.stages[min(node.stage, len(chain.stages) - 1)]
    if stage.formula is None:
        return None
    return next((one.low for one in stage.formula.contract.arguments if one.name == node.name), None)


def _of_minutes(
    name: str, where: str, value: float, node: Node, place: int, line: Callable[[], str], at: str
) -> Iterator[Slip]:
    """A compound reading, 10° 20', read on as a decimal, 10.20."""
    single = [str(one) for one in node.units]
    if node.reading is None or len(single) != 1 or single[0] not in COMPOUND:
        return
    small, parts, said = COMPOUND[single[0]]
    number = abs(node.reading.magnitude)
    whole, rest = math.floor(number + 1e-9), (number - math.floor(number + 1e-9)) * parts
    if node.compound and rest > 1e-6:
        for tens in (100.0, 10.0) if rest < 9.5 else (100.0,):
            factor = (whole + rest / tens) / number
            words = f"the {small} of {name} were taken as decimals of {said}{at}"
            yield _slip("minutes", where, words, place, _times(factor), line, 1.0, f"minutes {where} {tens:g}")
    elif not node.compound and single[0] == "degree" and number % 1 and number * 100 % 1 < 1e-6 and number % 1 < 0.6:
        factor = (whole + (number - whole) * 100 / parts) / number
        words = f"the decimals of {name} were taken as {small}{at}"
        yield _slip("minutes", where, words, place, _times(factor), line, 0.4)


PLACES = {
    1: "one place",
    2: "two places, or by one in each of two numbers",
    3: "three places, or by one and two in two numbers",
}
COMPOUND = {
    "degree": ("minutes", 60, "a degree"),
    "foot": ("inches", 12, "a foot"),
    "minute": ("seconds", 60, "a minute"),
    "hour": ("minutes", 60, "an hour"),
    "pound": ("ounces", 16, "a pound"),
}
"""Of a unit the smaller one that is written behind it, how many go into one, and its name."""


def _of_temperature(
    name: str, where: str, value: float, node: Node, place: int, line: Callable[[], str], at: str
) -> Iterator[Slip]:
    """A temperature in another scale, or without the way to absolute zero."""
    unit = next(iter(str(one) for one in node.units), "kelvin")
    if unit == "degree_Fahrenheit":
        n, here = value * 9 / 5 - 459.67, "°F"
        ways = [
            (n + 273.15, "was taken as °C where it stands in °F", 1.0),
            (n, "in °F was used as if it were in K", 0.5),
            ((n - 32) * 5 / 9, "was used without adding the offset to absolute zero", 0.7),
            (n * 5 / 9, "was converted like a temperature difference, by 5/9 alone", 0.7),
            (n + 459.67, "was left in degrees Rankine, without the 5/9", 0.5),
        ]
    elif unit == "degree_Celsius":
        n, here = value - 273.15, "°C"
        ways = [
            ((n + 459.67) * 5 / 9, "was taken as °F where it stands in °C", 1.0),
            (n, "was used without adding the offset to absolute zero", 0.8),
        ]
    else:
        n, here = value, "K"
        ways = [(n + 273.15, "was taken as °C where it stands in K", 0.6)]
    for other, words, weight in ways:
        yield _slip("temperature", where, f"{name} {words}{at}", place, _becomes(other), line, weight)
    turned = value - 2 * n / (9 / 5 if here == "°F" else 1.0) if here != "K" else None
    if turned is not None:
        words = f"the sign of {name} was turned{at}"
        yield _slip("sign", where, words, place, _becomes(turned), line, 1.0 if n < 0 else 0.3)
        for factor in (10.0, 0.1):
            other = value + (factor - 1) * n / (9 / 5 if here == "°F" else 1.0)
            words = f"the decimal point of {name} slipped by one place{at}"
            yield _slip("decimal point", where, words, place, _becomes(other), line, 0.2,
                        f"decimal point {where} {factor:g}")  # fmt: skip


def _of_sum(chain: Chain, place: int, node: Node, right: Sequence[float]) -> Iterator[Slip]:
    at, line = _where(chain, place), _formula_line(chain, place)
    for i, term in enumerate(node.of):
        if not right[term] or node.of.index(term) != i:
            continue
        called, taken_off = _called(chain, term), _minus(chain, term)
        inner = chain.nodes[term].of[1] if taken_off and len(chain.nodes[term].of) == 2 else term
        weight = {"constant": 0.5, "leaf": 1.0, "stage": 1.0}.get(chain.nodes[inner].what, 0.7)
        words = f"{called} was not {'taken off' if taken_off else 'added'}{at}"
        where = next(iter(_arguments(chain, term)), "").removeprefix("the ").replace(" ", "_")

        zero = _zero_of_its_scale(chain.nodes[inner])
        if zero is None:
            left_out, wrong_way = _less(term, 1.0), _less(term, 2.0)
        else:  # nobody leaves out 300 K: what is left out are the degrees that are written down
            sign = -1.0 if taken_off else 1.0
            left_out, wrong_way = _less_degrees(inner, zero, sign), _less_degrees(inner, zero, 2 * sign)
        yield _slip("left out", where, words, place, left_out, line, weight)
        words = (
            f"{called} was {'added' if taken_off else 'taken off'} where it is {'taken off' if taken_off else 'added'}"
        )
        yield _slip("wrong way", where, words + at, place, wrong_way, line, weight)


def _zero_of_its_scale(node: Node) -> float | None:
    """In kelvin, the zero of the scale that a temperature stands in; None for what is none, or stands in kelvin."""
    if node.what != "leaf" or node.kind is None or node.kind.flavour != "temperature" or node.units is None:
        return None
    scales = {"degree_Fahrenheit": 459.67 * 5 / 9, "degree_Celsius": 273.15}
    return scales.get(next((str(one) for one in node.units), ""))


def _less_degrees(leaf: int, zero: float, times: float) -> Change:
    return lambda at, value: value - times * (at(leaf) - zero)


def _minus(chain: Chain, place: int) -> bool:
    node = chain.nodes[place]
    return node.what == "product" and any(
        chain.nodes[i].what == "constant" and chain.nodes[i].number < 0 for i in node.of
    )


def _of_product(chain: Chain, place: int, node: Node, right: Sequence[float]) -> Iterator[Slip]:
    at, line = _where(chain, place), _formula_line(chain, place)
    number = math.prod(
        right[i] ** 1 for i in node.of if chain.nodes[i].what == "constant" and not chain.nodes[i].dimension
    )
    if abs(number) not in (0.0, 1.0):
        words = f"the factor {f'{abs(number):.6g}'} was left out{at}"
        yield _slip("factor", "", words, place, _times(1 / abs(number)), line, 1.0, f"factor {1 / abs(number):.6g}{at}")
    for i in node.of:
        one = chain.nodes[i]
        if (
            one.what == "constant"
            and not one.dimension
            and abs(one.number) != 1
            and abs(one.number - abs(number)) > 1e-12
        ):
            words = f"the factor {f'{abs(one.number):.6g}'} was left out{at}"
            same = f"factor {1 / abs(one.number):.6g}{at}"
            yield _slip("factor", "", words, place, _times(1 / abs(one.number)), line, 0.8, same)
        if one.what == "leaf" and not one.bare and (unit := _unit_of(one)):
            called = _called(chain, i)
            words = f"it was divided by {called} where it is multiplied{at}"
            yield _slip("upside down", one.name, words, place, _over_its_number(i, unit), line, 0.6)
        if one.what == "constant" or not one.bare or not right[i] or abs(right[i]) == 1:
            continue
        called = _called(chain, i)
        where = next(iter(_arguments(chain, i)), "").removeprefix("the ").replace(" ", "_")
        words = f"the correction for {called.removeprefix('the part with ')} was left out{at}"
        yield _slip("left out", where, words, place, _over(i, 1), line, 0.6)
        of = called.removeprefix("the part with ")
        words = f"the correction for {of} was made the wrong way (divided or multiplied){at}"
        yield _slip("wrong way", where, words, place, _over(i, 2), line, 0.7)


def _unit_of(node: Node) -> float:
    """The size of the unit that a reading stands in, in SI units; 0 where it has none or is nothing."""
    if node.what != "leaf" or node.reading is None or node.kind is None or node.kind.flavour == "temperature":
        return 0.0
    return abs(node.reading.si / node.reading.magnitude) if node.reading.magnitude else 0.0


def _times_its_number(leaf: int, unit: float) -> Change:
    """Multiplied by a reading's number where it was divided by it."""
    return lambda at, value: value * (at(leaf) / unit) ** 2


def _over_its_number(leaf: int, unit: float) -> Change:
    return lambda at, value: value / (at(leaf) / unit) ** 2


def _of_power(chain: Chain, place: int, node: Node) -> Iterator[Slip]:
    if len(node.of) != 1:
        return
    at, line, power, base = _where(chain, place), _formula_line(chain, place), node.number, node.of[0]
    called = _called(chain, base)
    where = next(iter(_arguments(chain, base)), "").removeprefix("the ").replace(" ", "_")

    def raised(other: float) -> Change:
        return lambda get, value: numpy.power(get(base), other)

    if abs(power) != 1:
        what = {2: "square", 0.5: "root", 3: "cube"}.get(abs(power), "power")
        words = f"the {what} of {called} was left out{at}"
        yield _slip("power", where, words, place, raised(math.copysign(1.0, power)), line)
    if abs(power) == 0.5:
        words = f"{called} was squared where the root is wanted{at}"
        yield _slip("power", where, words, place, raised(math.copysign(2.0, power)), line, 0.4)
    if abs(power) == 2:
        words = f"the root of {called} was taken where the square is wanted{at}"
        yield _slip("power", where, words, place, raised(math.copysign(0.5, power)), line, 0.2)
    if abs(power) in (3, 4):
        for other in (2.0, 3.0):
            if other < abs(power):
                words = f"{called} was raised to the power {other:g} in place of {abs(power):g}{at}"
                yield _slip("power", where, words, place, raised(math.copysign(other, power)), line, 0.4)
    if chain.nodes[base].bare:
        done, right = ("multiplied", "divided") if power < 0 else ("divided", "multiplied")
        words = f"it was {done} by {called} where it is {right}"
        yield _slip("upside down", where, words + at, place, raised(-power), line, 0.6)
    elif power == -1 and (unit := _unit_of(chain.nodes[base])):
        words = f"it was multiplied by {called} where it is divided{at}"
        yield _slip("upside down", where, words, place, _times_its_number(base, unit), line, 0.6)
    if abs(power) == 1 and chain.nodes[base].what == "constant":
        words = f"the factor {f'{chain.nodes[base].number:.6g}'} was left out{at}"
        yield _slip("factor", "", words, place, lambda get, v: v * 0 + 1.0, line, 0.8,
                    f"factor {chain.nodes[base].number:.6g}{at}")  # fmt: skip


def _of_function(chain: Chain, place: int, node: Node) -> Iterator[Slip]:
    at, line, inside = _where(chain, place), _formula_line(chain, place), node.of[0]
    others = {"sin": ("cos", "tan"), "cos": ("sin",), "tan": ("sin", "cos"), "asin": ("acos",), "acos": ("asin",)}
    for other in others.get(node.name, ()):
        words = f"{other} was taken in place of {node.name}{at}"
        yield _slip("other function", node.name, words, place, _function(inside, FUNCTIONS[other]), line)
    if node.name in ("sin", "cos", "tan"):
        words = f"the {node.name} was taken with the calculator in radians while degrees were typed{at}"
        function = FUNCTIONS[node.name]
        yield _slip("unit", node.name, words, place, _function(inside, function, DEGREES), line, 0.8)
        words = f"the {node.name} was left out{at}"
        yield _slip("left out", node.name, words, place, _put(inside), line, 0.3)
        words = f"the {node.name} was taken of radians with the calculator in degrees{at}"
        yield _slip("unit", node.name, words, place, _function(inside, function, 1 / DEGREES), line, 0.6)
    if node.name in ("asin", "acos", "atan"):
        words = f"the angle was left in degrees where radians go on{at}"
        yield _slip("unit", node.name, words, place, _times(DEGREES), line, 0.6)


def _of_stage(chain: Chain, place: int, node: Node, right: Sequence[float]) -> Iterator[Slip]:
    """What goes wrong with the result of a step before the next one takes it."""
    stage = next(one for one in chain.stages if one.node == place)
    kind, called = node.kind, f'"{stage.title}"'
    assert kind is not None
    if not right[place]:
        return

    def line() -> str:
        return next((one.text for one in (stage.worked.lines if stage.worked else []) if one.part == "result"), "")

    if kind.flavour != "temperature":
        for one in confusions_of(unit_container(stage.unit or kind.shown(display_system()), kind), kind):
            if one.usual:
                words = f"the result of {called} was taken as {one.taken} where it stands in {one.written}"
                yield _slip("unit", stage.title, words, place, _times(one.ratio), line, 0.5)
        if kind.minimum is None:
            yield _slip(
                "sign", stage.title, f"the sign of the result of {called} was turned", place, _times(-1.0), line, 0.5
            )
        for factor in (10.0, 0.1):
            words = f"the decimal point of the result of {called} slipped by one place"
            yield _slip("decimal point", stage.title, words, place, _times(factor), line, 0.3,
                        f"decimal point {stage.title} {factor:g}")  # fmt: skip
        for factor, said in ((2.0, "twice"), (0.5, "half")):
            words = f"{said} the result of {called} was taken on"
            yield _slip("factor", stage.title, words, place, _times(factor), line, 0.2)


def _of_arguments(chain: Chain, stage: Stage, right: Sequence[float]) -> Iterator[Slip]:
    """Two arguments of one kind put in each other's places."""
    of = list(stage.arguments.items())
    for i, (name, one) in enumerate(of):
        for other_name, other in of[i + 1 :]:
            kinds = chain.nodes[one].kind, chain.nodes[other].kind
            if None in kinds or not kinds[0].alike(kinds[1]) or one == other or right[one] == right[other]:  # type: ignore[union-attr,arg-type]
                continue
            if chain.nodes[one].what != "leaf" or chain.nodes[other].what != "leaf":
                earlier, later = sorted((one, other))
                if chain.nodes[earlier].what != "leaf":
                    continue  # the earlier one is worked before the later one is known
                if chain.nodes[later].what == "stage" and earlier in _below(chain, later):
                    continue
            first, second = right[one], right[other]
            at = f', in "{stage.title}"' if len(chain.stages) > 1 else ""
            words = f"{_worded(name)} and {_worded(other_name)} were swapped{at}"
            sites = (
                (one, _becomes(second)),
                (other, _becomes(first)),
            )
            yield Slip(
                "swapped", f"{name} {other_name}", words, WEIGHTS["swapped"], sites, _formula_line(chain, stage.node),
                f"swapped {name} {other_name}{at}",
            )  # fmt: skip


def _below(chain: Chain, place: int) -> set[int]:
    found, todo = set(), [place]
    while todo:
        for i in chain.nodes[todo.pop()].of:
            if i not in found:
                found.add(i)
                todo.append(i)
    return found


def _of_tables(chain: Chain, stage: Stage, right: Sequence[float]) -> Iterator[Slip]:
    """The row beside the right one, of what a person looks up in a printed table."""
    if stage.formula is None:
        return
    at = f', in "{stage.title}"' if len(chain.stages) > 1 else ""
    for name, place in stage.arguments.items():
        node, value = chain.nodes[place], right[place]
        line = _formula_line(chain, stage.node)
        if name == "pressure_altitude" and node.kind is not None:
            units = (
                node.units if node.units is not None else unit_container(node.kind.shown(display_system()), node.kind)
            )
            feet = "foot" in {str(one) for one in units}
            here = say(from_si(value, node.kind), "ft" if feet else "m", digits=4)
            for row in looked_up(stage.formula.name, value, feet):
                read_off = float(stage.formula.si(row))
                said = say(from_si(row, node.kind), "ft" if feet else "m", digits=4)
                words = f"the row of {said} was read in the table of the standard atmosphere, where it is {here}{at}"
                yield _slip("table", name, words, stage.node, _becomes(read_off), line, 0.5)
        for row in printed_rows(name, value):
            assert node.kind is not None
            unit = (
                node.units if node.units is not None else unit_container(node.kind.shown(display_system()), node.kind)
            )
            said, here = (say(from_si(one, node.kind).to(unit), as_typed=True, kind=node.kind) for one in (row, value))
            words = f"the row of {said} was read in place of {here}, for the {name}{at}"
            yield _slip("table", name, words, place, _becomes(row), line, 1.0, f"table {name} {row:.6g}")


def _left_out(chain: Chain, stage: Stage, right: Sequence[float]) -> Iterator[Slip]:
    """A whole step left out, or made the wrong way: what came into it, of the same kind, goes on."""
    kind, result = stage.kind, right[stage.node]

    def line() -> str:
        lines = stage.worked.lines if stage.worked else []
        return "; ".join(one.text for one in lines if one.part in ("substitution", "result"))

    for name, place in stage.arguments.items():
        of, value = chain.nodes[place].kind, right[place]
        if kind is None or of is None or not kind.alike(of) or _equal(value, result):
            continue
        called = _called(chain, place) if chain.nodes[place].what == "stage" else _worded(name)
        words = f'the correction "{stage.title}" was not made: {called} was taken as it is'
        yield _slip("step left out", stage.title, words, stage.node, _put(place), line)
        if kind.flavour == "temperature" or kind.si == "" or not value:
            continue
        words = f'the correction "{stage.title}" was made the wrong way'
        same = f"wrong way {stage.title} {name}"
        yield _slip("wrong way", stage.title, words, stage.node, _beyond(place), line, 0.8, same)
        yield _slip("wrong way", stage.title, words, stage.node, _beyond(place, by_ratio=True), line, 0.6,
                    same + " by ratio")  # fmt: skip


def _equal(one: float, other: float) -> bool:
    return abs(one - other) <= 1e-9 * max(abs(one), abs(other))


def _of_result(chain: Chain, kind: Kind, reading: Reading, right: Sequence[float]) -> Iterator[Slip]:
    """What goes wrong when the figure is written down: its unit, its sign, its decimal point, upside down."""
    place, value = chain.target, right[chain.target]
    units, stage = units_of(reading.value), chain.last

    def line() -> str:
        lines = stage.worked.lines if stage.worked else []
        of = next((one.text for one in lines if one.part == "result"), "")
        return of or say(from_si(value, kind))

    if not value:
        return
    if kind.flavour == "temperature":
        yield from _temperature_written(place, units, line)
    else:
        for one in confusions_of(units, kind):
            # the number is right in the other unit
            words = f"the figure is in {one.taken}, and {one.written} was written behind it"
            yield _slip("unit", "result", words, place, _times(1 / one.ratio), line, 1.0 if one.usual else 0.35)
            if one.usual:
                words = f"the figure was converted the wrong way between {one.taken} and {one.written}"
                yield _slip("unit", "result", words, place, _times(one.ratio), line, 0.25)
        if kind.si == "":
            words = "a per cent was written as a ratio, or a ratio as a per cent"
            for factor in (100.0, 0.01):
                yield _slip("unit", "result", words, place, _times(factor), line, 0.6, f"percent {factor:g}")
        if kind.flavour == "difference":
            for factor in (9 / 5, 5 / 9):
                words = "the difference is in the other degrees, Celsius or Fahrenheit"
                yield _slip("temperature", "result", words, place, _times(factor), line, 1.0, f"degrees {factor:.2f}")
        for factor in (10.0, 0.1, 100.0, 0.01, 1000.0, 0.001):
            by = abs(round(math.log10(factor)))
            words = f"the decimal point slipped by {PLACES[by]}"
            weight = 1.0 if factor in (10.0, 0.1) else 0.3
            yield _slip(
                "decimal point", "result", words, place, _times(factor), line, weight, f"decimal point {factor:g}"
            )
        scale = abs(reading.si / reading.magnitude) if reading.magnitude else 1.0
        upside = scale * scale / value
        words = "the figure is upside down: it was divided the wrong way round"
        yield _slip(
            "upside down",
            "result",
            words,
            place,
            lambda get, v: numpy.where(v != 0, upside / v * value, numpy.nan),
            line,
        )
    if kind.flavour != "temperature":
        yield _slip(
            "sign",
            "result",
            ONLY_THE_SIGN,
            place,
            _times(-1.0),
            line,
        )
        for factor, words, weight in (
            (2.0, "it is twice the figure wanted: a half left out, or a 2 too many", 0.8),
            (0.5, "it is half the figure wanted: a half too many, or a 2 left out", 0.8),
            (4.0, "it is four times the figure wanted: a square of 2, or a quarter, left out", 0.5),
            (0.25, "it is a quarter of the figure wanted: a square of 2 left out, or a quarter too many", 0.5),
        ):
            yield _slip("factor", "result", words, place, _times(factor), line, weight, f"factor {factor:.6g}")
        if kind.minimum is None or value > 0:
            yield _slip(
                "power",
                "result",
                "a square root was left out at the end, or a square taken too many",
                place,
                _rooted(reading, 2.0),
                line,
                0.3,
                "root 2",
            )
            yield _slip(
                "power",
                "result",
                "a square root too many was taken at the end",
                place,
                _rooted(reading, 0.5),
                line,
                0.3,
                "root .5",
            )
    yield from _written_minutes(place, kind, units, line)


def _rooted(reading: Reading, power: float) -> Change:
    scale = abs(reading.si / reading.magnitude) if reading.magnitude else 1.0
    return lambda get, value: numpy.power(numpy.abs(value) / scale, power) * scale


def _written_minutes(place: int, kind: Kind, units: Any, line: Callable[[], str]) -> Iterator[Slip]:
    single = [str(one) for one in units]
    if len(single) != 1 or single[0] not in COMPOUND or kind.flavour:
        return
    small, parts, said = COMPOUND[single[0]]
    scale = (
        abs(float(registry().Quantity(1.0, units).to_base_units().magnitude))
        if single[0] != "degree"
        else math.pi / 180
    )

    def as_decimals(get: Any, value: Any) -> Any:
        number = numpy.abs(value) / scale
        whole = numpy.floor(number + 1e-9)
        return numpy.sign(value) * (whole + (number - whole) * parts / 100) * scale

    words = f"the {small} of the figure were written as decimals of {said}"
    yield _slip("minutes", "result", words, place, as_decimals, line, 0.6)


def _temperature_written(place: int, units: Any, line: Callable[[], str]) -> Iterator[Slip]:
    unit = next(iter(str(one) for one in units), "kelvin")

    def number(si: Any, of: str) -> Any:
        return {"°C": si - 273.15, "°F": si * 9 / 5 - 459.67}.get(of, si)

    def si(written: Any) -> Any:
        return {"°C": written + 273.15, "°F": (written + 459.67) * 5 / 9}.get(here, written)

    def taken(of: str, by: float = 1.0) -> Change:
        return lambda get, value: si(number(value, of) * by)

    here = {"degree_Fahrenheit": "°F", "degree_Celsius": "°C"}.get(unit, "K")
    for said in ("°C", "°F", "K"):
        if said != here:
            words = f"the figure is in {said}, and {here} was written behind it"
            yield _slip("temperature", "result", words, place, taken(said), line)
    if here == "°F":
        yield _slip("temperature", "result", "the 32 was left out", place,
                    lambda get, v: si(number(v, "°C") * 9 / 5), line, 0.7)  # fmt: skip
        yield _slip("temperature", "result", "5/9 was taken for 9/5", place,
                    lambda get, v: si(number(v, "°C") * 5 / 9 + 32), line, 0.7)  # fmt: skip
    yield _slip("sign", "result", ONLY_THE_SIGN, place, taken(here, -1.0), line)
    for factor in (10.0, 0.1):
        words = "the decimal point slipped by one place"
        yield _slip("decimal point", "result", words, place, taken(here, factor), line,
                    1.0, f"decimal point {factor:g}")  # fmt: skip
