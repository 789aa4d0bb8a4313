"""Wrong figures of a sheet, made on purpose and apart from the diagnosis: one thing done otherwise, or two.

A reading is changed and the sheet worked again; what the last step is made of is taken in place of its result; what
came out is written down wrongly. Each case says what was done, and to which field.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from rotorkit.quantities import QuantityError
from rotorkit.sheets.base import SheetError

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
PLAIN = re.compile(r"^-?\d+(?:\.\d+)?(?:[;,] *-?\d+(?:\.\d+)?)* *[^\d;,±'\"\[]*$")
"""A reading, or repeats of it, with one unit behind it."""
UNITS = {
    "in": ("mm", "ft"), "ft": ("in", "m"), "mm": ("in",), "lb": ("kg",), "kg": ("lb",), "lbf": ("N", "kgf"),
    "gal": ("L",), "kt": ("mph",), "mph": ("kt",), "psi": ("kPa",), "min": ("s",), "s": ("min",), "hp": ("kW",),
    "inHg": ("hPa",),
    "lb*ft": ("lb*in",), "lb*in": ("lb*ft",), "oz": ("g",), "g": ("oz",),
}  # fmt: skip
MOST_CHANGED = 16
"""So many changed readings are worked for the cases of one slip."""
WRITTEN = (
    (-1.0, "sign"), (10.0, "decimal point"), (0.1, "decimal point"), (2.0, "factor"), (0.5, "factor"),
)  # fmt: skip
"""What is done wrong in writing a figure down."""


@dataclass(frozen=True)
class SheetCase:
    """families: what was done; where: to which fields, empty where any will do; value: in SI units; group: which sort
    it is counted under."""

    families: tuple[str, ...]
    where: tuple[str, ...]
    value: float
    group: str
    said: str = ""


@dataclass(frozen=True)
class Change:
    """One reading done otherwise. paths: the fields that it touches; put: their new texts."""

    family: str
    put: dict[str, str]
    said: str = ""

    @property
    def paths(self) -> set[str]:
        return set(self.put)


class SheetMaker:
    """Cases of one figure of one check. chance: the only source of numbers."""

    def __init__(self, check: Any, key: str, outcome: Any, aircraft: Any, chance: random.Random) -> None:
        self.check, self.key, self.outcome, self.aircraft, self.chance = check, key, outcome, aircraft, chance
        self.figure = outcome.finding(key).measured
        self.right = float(self.figure.si)

    @property
    def ways(self) -> tuple[tuple[float, str], ...]:
        """What is done wrong in writing a figure down; nobody halves a temperature."""
        if self.figure.kind.flavour != "temperature":
            return WRITTEN
        return tuple(one for one in WRITTEN if one[1] != "factor")

    def _written(self, value: float, factor: float) -> float:
        """A figure miswritten, a temperature in its degrees Fahrenheit."""
        if self.figure.kind.flavour != "temperature":
            return value * factor
        return ((value * 9 / 5 - 459.67) * factor + 459.67) * 5 / 9

    def singles(self) -> list[SheetCase]:
        """One slip."""
        found = [SheetCase((family,), ("",), self._written(self.right, factor), family) for factor, family in self.ways]
        found += [SheetCase((family,), ("",), value, family) for family, value in self._last_step(self.outcome)]
        changes = self._changes()
        for change in self.chance.sample(changes, min(MOST_CHANGED, len(changes))):
            value = self._value(self._worked(change))
            if value is not None and value != self.right:
                found.append(SheetCase((change.family,), ("",), value, f"reading: {change.family}", change.said))
        return found

    def pairs(self, each: int) -> Iterator[SheetCase]:
        """Two slips at once, so many of each sort: a reading and what is written down; the last step and what is
        written down; two readings; a reading and the last step."""
        for sort in (self._reading_and_written, self._step_and_written, self._two_readings, self._reading_and_step):
            made = 0
            for _ in range(6 * each):
                case = sort()
                if case is not None and self._both_show(case):
                    yield case
                    made += 1
                if made == each:
                    break

    def _both_show(self, case: SheetCase) -> bool:
        return abs(case.value - self.right) > max(float(self.figure.expanded_si), 1e-3 * abs(self.right))

    def _shows(self, value: float | None) -> bool:
        """Whether a slip alone makes a difference that is not lost in the digits."""
        return value is not None and abs(value - self.right) > max(
            float(self.figure.expanded_si), 1e-3 * abs(self.right)
        )

    def _reading_and_written(self) -> SheetCase | None:
        change = self._any_change()
        value = None if change is None else self._value(self._worked(change))
        factor, family = self.chance.choice(self.ways)
        if change is None or value is None or not self._shows(value):
            return None
        return SheetCase(
            (change.family, family), ("", ""), self._written(value, factor), "a reading, written down", change.said
        )

    def _step_and_written(self) -> SheetCase | None:
        steps = list(self._last_step(self.outcome))
        factor, written = self.chance.choice(self.ways)
        if not steps:
            return None
        family, value = self.chance.choice(steps)
        if not value or not self._shows(value):
            return None
        return SheetCase((family, written), ("", ""), self._written(value, factor), "the last step, written down")

    def _two_readings(self) -> SheetCase | None:
        one, other = self._any_change(), self._any_change()
        if one is None or other is None or one.paths & other.paths:
            return None
        alone = [self._value(self._worked(each)) for each in (one, other)]
        both = self._value(self._worked(one, other))
        if both is None or not all(self._shows(value) and value != both for value in alone):
            return None
        return SheetCase((one.family, other.family), ("", ""), both, "two readings", f"{one.said}; {other.said}")

    def _reading_and_step(self) -> SheetCase | None:
        change = self._any_change()
        outcome = None if change is None else self._worked(change)
        if change is None or outcome is None or not self._shows(self._value(outcome)):
            return None
        steps = list(self._last_step(outcome))
        if not steps:
            return None
        family, value = self.chance.choice(steps)
        if not value or value == self._value(outcome):
            return None
        return SheetCase((change.family, family), ("", ""), value, "a reading, the last step", change.said)

    # what is done

    def _last_step(self, outcome: Any) -> Iterator[tuple[str, float]]:
        """What goes into the step that gives the figure taken for its result, or the step made the wrong way."""
        figure = outcome.finding(self.key).measured
        step = next((one for one in outcome.steps if one.value is figure), None)
        if step is None:
            return
        for given in step.inputs.values():
            if hasattr(given, "kind") and hasattr(given, "si") and given.kind == step.value.kind and given.kind.si:
                yield "left out", float(given.si)
                yield "wrong way", 2 * float(given.si) - float(figure.si)

    def _texts(self) -> dict[str, str]:
        found = {}
        for name, value in self.check.readings.items():
            if isinstance(value, list):
                for i, row in enumerate(value):
                    found |= {f"{name}.{i}.{column}": text for column, text in row.items() if isinstance(text, str)}
            elif isinstance(value, str):
                found[name] = value
        return found

    def _changes(self) -> list[Change]:
        """Every reading done otherwise: swapped with another row, its decimal point, its sign, its unit, °F for °C."""
        texts, found = self._texts(), []
        for path, text in texts.items():
            if not PLAIN.match(text.strip()) or not NUMBER.search(text):
                continue
            unit = text.strip().rpartition(" ")[2]
            if unit.endswith("°F") or unit == "degF":
                found.append(Change("temperature", {path: re.sub("°F|degF", "°C", text)}, f"{path} in °C"))
                continue
            if all(float(number) == 0 for number in NUMBER.findall(text)):
                continue
            for factor in (10.0, 0.1):
                moved = NUMBER.sub(lambda one, by=factor: f"{float(one[0]) * by:.6g}", text)
                found.append(Change("decimal point", {path: moved}, f"{path} times {factor:g}"))
            turned = NUMBER.sub(lambda one: one[0][1:] if one[0].startswith("-") else f"-{one[0]}", text)
            found.append(Change("sign", {path: turned}, f"{path} turned"))
            for other in UNITS.get(unit, ()):
                found.append(Change("unit", {path: text[: -len(unit)] + other}, f"{path} in {other}"))
        for path, text in texts.items():
            table, _, rest = path.partition(".")
            number, _, column = rest.partition(".")
            for other, second in texts.items():
                same = re.fullmatch(rf"{re.escape(table)}\.(\d+)\.{re.escape(column)}", other) if rest else None
                if same and int(same[1]) > int(number) and second != text and NUMBER.match(text.strip()):
                    found.append(Change("swapped", {path: second, other: text}, f"{path} and {other}"))
        return found

    def _any_change(self) -> Change | None:
        """One of them, each family as likely."""
        changes = self._all_changes if hasattr(self, "_all_changes") else self._changes()
        self._all_changes = changes
        families = sorted({one.family for one in changes})
        if not families:
            return None
        family = self.chance.choice(families)
        return self.chance.choice([one for one in changes if one.family == family])

    def _worked(self, *changes: Change) -> Any:
        readings = {
            name: [dict(row) for row in value] if isinstance(value, list) else value
            for name, value in self.check.readings.items()
        }
        for change in changes:
            for path, text in change.put.items():
                name, _, rest = path.partition(".")
                number, _, column = rest.partition(".")
                if rest:
                    readings[name][int(number)][column] = text
                else:
                    readings[name] = text
        try:
            return type(self.check.made()).from_readings(readings).work(self.aircraft)
        except (SheetError, QuantityError, KeyError, ValueError):
            return None

    def _value(self, outcome: Any) -> float | None:
        try:
            return None if outcome is None else float(outcome.finding(self.key).measured.si)
        except (KeyError, SheetError):
            return None
