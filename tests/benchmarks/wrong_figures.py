"""Wrong hand figures, made on purpose and by plain arithmetic: what a diagnosis is measured by.

Nothing of `rotorkit.teach` is used here. A number is changed before it goes into a formula's bare twin (`.si`), or the
text of the formula's own Python body is changed and run on floats, or a reading of a sheet is changed and the sheet
worked again. Each case says what was done: a family of slip, and the argument that it was done to.
"""

from __future__ import annotations

import ast
import inspect
import math
import random
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from rotorkit.formula import Formula
from rotorkit.formula.functions import MathFunction, Pi
from rotorkit.quantities import Constant, Kind, QuantityError, read

UNITS: dict[str, dict[str, float]] = {
    "a length": {"ft": 0.3048, "in": 0.0254, "mm": 0.001, "m": 1.0},
    "an angle": {"deg": math.pi / 180, "rad": 1.0},
    "a rotation rate": {"rpm": math.pi / 30, "rad/s": 1.0},
    "a mass": {"lb": 0.45359237, "slug": 14.593902937206364, "kg": 1.0},
    "a force": {"lbf": 4.4482216152605, "N": 1.0, "kgf": 9.80665},
    "a power": {"hp": 745.6998715822702, "kW": 1000.0, "W": 1.0},
    "a speed": {"kt": 0.5144444444444445, "mph": 0.44704, "ft/s": 0.3048, "m/s": 1.0},
    "an area": {"ft^2": 0.09290304, "in^2": 0.00064516, "m^2": 1.0},
    "a torque": {"lbf*ft": 1.3558179483314004, "lbf*in": 0.1129848290276167, "N*m": 1.0},
    "a density": {"slug/ft^3": 515.3788183931961, "kg/m^3": 1.0},
    "a time": {"s": 1.0, "min": 60.0},
    "a volume": {"gal": 0.003785411784, "L": 0.001},
    "an absolute pressure": {"inHg": 3386.38864034, "hPa": 100.0},
    "a gauge pressure": {"psi": 6894.757293168361, "kPa": 1000.0},
    "a stiffness": {"lbf/in": 175.12683524647636, "N/m": 1.0, "lbf/ft": 14.593902937206364},
    "a stress": {"psi": 6894.757293168361, "MPa": 1e6},
}
"""Of each kind the units that a person writes it in, in SI units (standard conversion factors)."""


@dataclass(frozen=True)
class Case:
    """One figure. families: what was done; where: to which arguments ("result" for what was written down)."""

    families: tuple[str, ...]
    where: tuple[str, ...]
    values: dict[str, str]
    answer: str
    exact: float


@dataclass(frozen=True)
class Slip:
    family: str
    where: str
    argument: str = ""
    change: Any = None
    body: Any = None


class Maker:
    """Cases of one formula. chance: the only source of numbers."""

    def __init__(self, formula: Formula, chance: random.Random) -> None:
        self.formula, self.chance = formula, chance
        self.arguments = formula.contract.arguments
        self.texts: dict[str, str] = {}
        self.si: dict[str, float] = {}
        self.units: dict[str, str] = {}

    # values

    def drawn(self) -> bool:
        """New values, until the formula has one; False where none is found."""
        for attempt in range(80):
            self.texts, self.si, self.units = {}, {}, {}
            for argument in self.arguments:
                assert argument.kind is not None
                text, unit = self._text(argument, attempt)
                try:
                    self.texts[argument.name], self.si[argument.name] = (
                        text,
                        read(text, argument.kind, by_program=True).si,
                    )
                except QuantityError:
                    return False
                self.units[argument.name] = unit
            try:
                value = float(self.formula.si(*self.si.values()))
                self.formula(**self.texts)
            except (ArithmeticError, ValueError, TypeError):
                continue
            if math.isfinite(value) and 1e-12 < abs(value) < 1e12:
                self.right = value
                return True
        return False

    def _text(self, argument: Any, attempt: int) -> tuple[str, str]:
        kind: Kind = argument.kind
        if argument.only:
            return f"{self.chance.choice(argument.only):g}", ""
        value = (
            read(kind.example.partition(" or ")[0], kind).si
            * self.chance.uniform(0.6, 1.6)
            * 10 ** self.chance.uniform(-0.02 * attempt, 0.02 * attempt)
        )
        if kind.flavour == "temperature":
            value = self.chance.uniform(265.0, 310.0)
        low, high = argument.low, argument.high
        if low is not None and high is not None and not low * 1.02 < value < high * 0.98:
            value = low + (high - low) * self.chance.uniform(0.1, 0.6)
        elif low is not None and value < low:
            value = low + abs(low) * self.chance.uniform(0.1, 2.0)
        units = UNITS.get(kind.name)
        if kind.flavour == "temperature":
            if self.chance.random() < 0.5:
                return f"{value * 9 / 5 - 459.67:.1f} degF", "degF"
            return f"{value - 273.15:.1f} degC", "degC"
        if units is None:
            unit = kind.shown(self.chance.choice(["us", "metric"]))
            return f"{read_in(value, unit, kind):.4g} {unit}".strip(), unit
        unit = self.chance.choice([one for one in units if one not in ("rad", "rad/s", "slug", "kgf", "W")])
        return f"{value / units[unit]:.4g} {unit}", unit

    # slips

    def slips(self) -> list[Slip]:
        made = [*self._of_arguments(), *self._swapped(), *self._of_body(), *self._of_result()]
        return made

    def _of_arguments(self) -> Iterator[Slip]:
        for argument in self.arguments:
            name, kind = argument.name, argument.kind
            assert kind is not None
            si, unit = self.si[name], self.units[name]
            if argument.only or not si:
                continue
            if kind.flavour == "temperature":
                number = float(self.texts[name].split()[0])
                as_f, as_c = (number + 459.67) * 5 / 9, number + 273.15
                yield Slip("temperature", name, name, lambda _, new=as_c if unit == "degF" else as_f: new)
                yield Slip("temperature", name, name, lambda _, n=number: n)
                continue
            for other, factor in UNITS.get(kind.name, {}).items():
                here = UNITS.get(kind.name, {}).get(unit)
                if here is not None and other != unit:
                    yield Slip("unit", name, name, lambda v, f=factor / here: v * f)
            if kind.flavour == "difference":
                yield Slip("temperature", name, name, lambda v: v * 9 / 5)
                yield Slip("temperature", name, name, lambda v: v * 5 / 9)
            if kind.name == "a length" and "radius" in name:
                yield Slip("diameter", name, name, lambda v: 2 * v)
            if kind.name == "a length" and "diameter" in name:
                yield Slip("diameter", name, name, lambda v: v / 2)
            if kind.minimum is None and (argument.low is None or argument.low < 0):
                yield Slip("sign", name, name, lambda v: -v)
            yield Slip("decimal point", name, name, lambda v: v * 10)
            yield Slip("decimal point", name, name, lambda v: v / 10)

    def _swapped(self) -> Iterator[Slip]:
        for i, one in enumerate(self.arguments):
            for other in self.arguments[i + 1 :]:
                if (
                    one.kind == other.kind
                    and self.si[one.name] != self.si[other.name]
                    and not one.only
                    and not other.only
                ):
                    yield Slip("swapped", f"{one.name} {other.name}", f"{one.name} {other.name}")

    def _of_result(self) -> Iterator[Slip]:
        kind = self.formula.kind
        if kind.flavour != "temperature":
            yield Slip("sign", "result", "=", lambda v: -v)
            yield Slip("decimal point", "result", "=", lambda v: 10 * v)
            yield Slip("decimal point", "result", "=", lambda v: v / 10)
            yield Slip("factor", "result", "=", lambda v: 2 * v)
            yield Slip("factor", "result", "=", lambda v: v / 2)
            yield Slip("factor", "result", "=", lambda v: 4 * v)
        for unit, factor in UNITS.get(kind.name, {}).items():
            # the number in one unit, written as if in the answer's: filled in when the answer's unit is known
            yield Slip("unit", "result", "=unit", factor, unit)

    def _of_body(self) -> Iterator[Slip]:
        """The formula's own text with one operation done otherwise."""
        try:
            source = textwrap.dedent(inspect.getsource(self.formula.__wrapped__))  # type: ignore[attr-defined]
        except (OSError, TypeError):
            return
        tree = ast.parse(source).body[0]
        assert isinstance(tree, ast.FunctionDef)
        returned = [node for node in ast.walk(tree) if isinstance(node, ast.Return)]
        if len(returned) != 1 or returned[0].value is None:
            return
        count = sum(1 for _ in ast.walk(returned[0].value))
        for number in range(count):
            for how in ("drop", "turn", "plain"):
                changed = ast.parse(source).body[0]
                assert isinstance(changed, ast.FunctionDef)
                value = next(node for node in ast.walk(changed) if isinstance(node, ast.Return)).value
                assert value is not None
                done = _Otherwise(number, how, list(ast.walk(value))[number])
                new = done.visit(value)
                if done.family:
                    yield Slip(done.family, done.where, "", None, ast.Expression(ast.fix_missing_locations(new)))

    # cases

    def case(self, *slips: Slip) -> Case | None:
        """A figure with these slips in it, written down with four digits or so; None where it shows no difference."""
        si, body, result = dict(self.si), None, []
        for slip in slips:
            if slip.argument.startswith("="):
                result.append(slip)
            elif slip.family == "swapped":
                one, other = slip.argument.split(" ")
                si[one], si[other] = si[other], si[one]
            elif slip.body is not None:
                body = slip.body
            else:
                si[slip.argument] = slip.change(si[slip.argument])
        try:
            value = float(self._bare(si) if body is None else self._run(body, si))
        except (ArithmeticError, ValueError, TypeError, NameError, QuantityError):
            return None
        if isinstance(value, complex) or not math.isfinite(value) or not 1e-14 < abs(value) < 1e14:
            return None
        kind = self.formula.kind
        units = UNITS.get(kind.name)
        unit = self.chance.choice([u for u in units if u not in ("rad", "slug", "kgf")]) if units else kind.us
        for slip in result:
            if slip.argument == "=unit":
                if units is None or slip.body == unit:
                    return None
                value = value / slip.change * units[unit]
            else:
                value = slip.change(value)
        digits = self.chance.choice([3, 4, 4, 5])
        answer = written(value, digits, unit, kind)
        if answer is None:
            return None
        try:
            reading = read(answer, kind, by_program=True)
        except QuantityError:
            return None
        if abs(reading.si - self.right) <= step_of(reading, kind) * 1.001:
            return None  # it shows no difference to the digits written
        return Case(tuple(s.family for s in slips), tuple(s.where for s in slips), dict(self.texts), answer, value)

    def right_case(self, digits: int) -> Case | None:
        kind = self.formula.kind
        units = UNITS.get(kind.name)
        unit = self.chance.choice(list(units)) if units else kind.shown(self.chance.choice(["us", "metric"]))
        answer = written(self.right, digits, unit, kind)
        return None if answer is None else Case((), (), dict(self.texts), answer, self.right)

    def _bare(self, si: dict[str, float]) -> float:
        return float(self.formula.si(*si.values()))

    def _run(self, body: ast.Expression, si: dict[str, float]) -> float:
        function = self.formula.__wrapped__  # type: ignore[attr-defined]
        scope = {name: _bare_of(value) for name, value in function.__globals__.items()}
        for name, cell in zip(function.__code__.co_freevars, function.__closure__ or (), strict=True):
            scope[name] = _bare_of(cell.cell_contents)
        return float(eval(compile(body, "<wrong>", "eval"), scope, dict(si)))


class _Otherwise(ast.NodeTransformer):
    """One operation of an expression done otherwise."""

    def __init__(self, number: int, how: str, at: ast.AST) -> None:
        self.how, self.at, self.family, self.where = how, at, "", ""

    def generic_visit(self, node: ast.AST) -> Any:
        if node is self.at and (new := self._other(node)) is not None:
            return new
        return super().generic_visit(node)

    def _other(self, node: ast.AST) -> Any:
        if isinstance(node, ast.BinOp):
            name = next((n.id for n in ast.walk(node.right) if isinstance(n, ast.Name)), "")
            if isinstance(node.op, (ast.Add, ast.Sub)):
                if self.how == "drop":
                    self.family, self.where = "left out", name
                    return node.left
                if self.how == "turn":
                    self.family, self.where = "wrong way", name
                    return ast.BinOp(node.left, ast.Sub() if isinstance(node.op, ast.Add) else ast.Add(), node.right)
            if isinstance(node.op, ast.Pow) and self.how == "plain":
                self.family = "power"
                return node.left
            if isinstance(node.op, ast.Mult) and isinstance(node.left, ast.Constant) and self.how == "drop":
                self.family = "factor"
                return node.right
            if isinstance(node.op, ast.Div) and isinstance(node.right, ast.Constant) and self.how == "drop":
                self.family = "factor"
                return node.left
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            if node.func.id == "sqrt" and self.how == "plain":
                self.family = "power"
                return node.args[0]
            if node.func.id in ("sin", "cos") and self.how == "turn":
                self.family = "other function"
                node.func.id = {"sin": "cos", "cos": "sin"}[node.func.id]
                return node
        return None


def _bare_of(value: Any) -> Any:
    """What stands in a body, for floats."""
    if isinstance(value, Formula):
        return value.si
    if isinstance(value, Constant):
        return float(value)
    if isinstance(value, Pi):
        return math.pi
    if isinstance(value, MathFunction):
        return {"Abs": abs}.get(value.symbolic) or getattr(math, value.symbolic, None)
    return value


def read_in(si: float, unit: str, kind: Kind) -> float:
    """An SI value in a unit, for a kind without a table of its own here."""
    one = read(f"1 {unit}", kind).si if unit else 1.0
    return si / one


def written(si: float, digits: int, unit: str, kind: Kind) -> str | None:
    """A value as a person writes it: rounded, with its unit."""
    if kind.flavour == "temperature":
        number = si * 9 / 5 - 459.67 if unit.endswith("F") else si - 273.15
        return f"{number:.1f} {unit}"
    factor = UNITS[kind.name][unit] if unit in UNITS.get(kind.name, {}) else read_in(1.0, unit, kind) ** -1
    number = si / factor
    if number == 0 or not 1e-9 < abs(number) < 1e9:
        return None
    decimals = digits - 1 - math.floor(math.log10(abs(number)))
    if decimals < 0:
        decimals = 0
    return f"{number:.{decimals}f} {unit}".strip()


def step_of(reading: Any, kind: Kind) -> float:
    """One in the last place written, in SI units."""
    text = reading.typed.split()[0]
    step = 10.0 ** -len(text.partition(".")[2])
    unit = reading.typed.partition(" ")[2]
    if kind.flavour == "temperature":
        return step * (5 / 9 if unit.endswith("F") else 1.0)
    return step * (UNITS[kind.name][unit] if unit in UNITS.get(kind.name, {}) else 1 / read_in(1.0, unit, kind))
