"""Exercises: numbers of their own from a seed, marked in stages, the slip named after the second try.

For those who build lessons and class sets, this is what to rest on:

- `exercises()` gives every exercise by its name ("blade_angles.less_the_reference"); `of_sheet` those of one sheet.
- `posed(name, seed)` draws the numbers: the same name and seed give the same question on every machine, and every seed
  is as hard as any other. `Posed.question` is what the learner reads; `Posed.hints` are told one by one.
- `Posed.mark(answer, tries)` marks one answer; `Attempt` counts the tries and hints of one learner by itself.
- `Posed.answer`, `Posed.answer_text` and `Posed.solution` are for the instructor's key. They are worked out when they
  are asked for: a `Posed` holds the given numbers alone, and a notebook the exercise's name and its seed.

>>> asked = posed("blade_angles.less_the_reference", 7)
>>> asked.mark("5 ft", tries=1).stage
'kind'
"""

from __future__ import annotations

import functools
import math
import random
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from rotorkit.aircraft import Aircraft, demo_folder, load_aircraft
from rotorkit.folder.checks import Folder
from rotorkit.formula.worked import Line
from rotorkit.judging.agreement import compare_by_hand, near_to
from rotorkit.judging.measured import Measured, difference_si
from rotorkit.quantities import Kind, QuantityError, Reading, display_system, in_unit, read, unit_factor, unit_label
from rotorkit.quantities.pint_inside import units_of
from rotorkit.quantities.spelled_units import unit_container
from rotorkit.sheets.base import Outcome, Sheet
from rotorkit.sheets.catalogue import sheet_type, sheets_in_order
from rotorkit.sheets.exercises import Exercise, Range
from rotorkit.teach.in_units import carried, in_units_of, kinds_of
from rotorkit.teach.slips import Diagnosis, diagnose, diagnose_figure, right_figure

STAGES = ("kind", "unit", "sign", "size", "digits", "right")
"""What an answer is marked by, in this order: the first that fails is told. "right" is none that failed."""
SLIP_AFTER = 2
"""From this try on the slip is named."""
MOST_DRAWS = 200
"""So often numbers are drawn again until they suit; an exercise that needs more is declared wrongly."""


@dataclass(frozen=True)
class Mark:
    """One answer marked.

    stage: one of `STAGES`; words: what to tell the learner; slip: which slip explains it, from the second try on, empty
    where none does; families: the slips' families, for a table of what a class does wrong most, whether or not they
    were told; lines: the lines as they should be, without the result.
    """

    stage: str
    words: str
    slip: str = ""
    families: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()

    @property
    def right(self) -> bool:
        return self.stage == "right"

    @property
    def points(self) -> int:
        """From 0 to 5: how many stages it came through."""
        return STAGES.index(self.stage)


@dataclass(frozen=True)
class Posed:
    """An exercise with its numbers. name: as in `exercises`; seed; given: each name with its text and unit."""

    name: str
    seed: str
    exercise: Exercise
    given: Mapping[str, str]

    @property
    def title(self) -> str:
        return self.exercise.title

    @property
    def question(self) -> str:
        """What the learner reads: the story, and what is to be found, in which unit, to how many digits."""
        one = self.exercise
        story = re.sub(r"\{([\w.]+)\}", lambda found: _as_written(self.given[found[1]]), one.story)
        unit = UNITS.get(one.unit, _as_written(one.unit))
        asked = f", in {unit}" if unit else ""
        return f"{story} Find {one.find}{asked}, to {NUMBERS.get(one.digits, one.digits)} significant digits."

    @property
    def hints(self) -> tuple[str, ...]:
        return self.exercise.hints

    @property
    def kind(self) -> Kind:
        """The kind of what is asked."""
        one = self.exercise
        if one.of is None:
            return self.answer.kind
        if not one.unknown:
            return one.of.kind
        kind = next(a.kind for a in one.of.contract.arguments if a.name == one.unknown)
        assert kind is not None
        return kind

    # for the key

    @property
    def answer(self) -> Measured:
        """The right figure, worked out now."""
        one = self.exercise
        if one.of is not None:
            return right_figure(one.of, self.given, one.unknown)
        found: Measured = self._outcome().finding(one.figure).measured
        return found

    @property
    def answer_text(self) -> str:
        """The right figure in the unit that is asked for, to the digits asked for."""
        one, found = self.exercise, self.answer
        number = float(in_unit(float(found.si), one.unit, found.kind))
        label = unit_label(one.unit, found.kind) if one.unit else ""
        text = _to_digits(number, one.digits)
        return f"{text}{'' if label == '°' else ' '}{label}".strip()

    @property
    def solution(self) -> list[str]:
        """The worked calculation, line by line; of one solved for an argument the formula with the answer put in."""
        one = self.exercise
        if one.of is None:
            chain_end = self.answer
            steps = self._outcome().steps
            number = next((i for i, s in enumerate(steps) if s.value is chain_end), len(steps) - 1)
            return [line for step in steps[: number + 1] for line in (step.title, *(x.text for x in step.lines))]
        return [line.text for line in self._worked()]

    @property
    def in_short(self) -> list[str]:
        """The worked calculation's last three steps: of a formula itself, its numbers put in, the result."""
        if self.exercise.of is None:
            return [line for line in self.solution if line.strip()][-3:]
        return [line.text for line in self._worked() if line.part in ("formula", "substitution", "result")]

    def _worked(self) -> Sequence[Line]:
        one = self.exercise
        assert one.of is not None
        values = {name: text for name, text in self.given.items() if name != "result"}
        if one.unknown:
            values[one.unknown] = self.answer.value
        return one.of.worked(**values).lines

    # for the learner

    def mark(self, answer: str, tries: int = 1) -> Mark:
        """Mark one answer as typed. tries: the how-manieth it is, from 1; from the second on the slip is named."""
        one, right = self.exercise, self.answer
        kind, text = right.kind, _told(answer, "±" in one.find)
        if not re.search(r"\d", text):
            return Mark("kind", f"Write a number with its unit, such as {kind.example}.")
        try:
            reading = read(text, kind, one.unit or None, near_to(right))
        except QuantityError as problem:
            return Mark("kind", _sentence(str(problem)))
        if one.unit and _bare(text, kind):
            return Mark("unit", f"Write the unit behind {text}: {one.find} is {kind.name}.")
        value = float(right.si)
        off = abs(reading.si - value)
        asked = self._step()
        shown = [float(in_unit(si, one.unit, kind)) for si in (reading.si, value)]
        if shown[0] * shown[1] < 0 and off > asked / 2 * (1 + 1e-9):
            return self._explained("sign", f"The sign of {reading.understood} is not right.", text, tries, right)
        diagnosis = self._diagnosed(text, right)
        near = off <= asked / 2 * (1 + 1e-6)
        step = difference_si(abs(reading.step), kind)
        fine = step <= self._step(as_written=True) * (1 + 1e-9) or self._as_many_digits(reading, step)
        if (near or diagnosis.agreement.word == "agrees") and fine:
            return Mark("right", f"{reading.understood} is right.")
        if diagnosis.good or near:
            said = (
                f"{reading.understood} is right, but give it to {one.digits} significant digits."
                if not fine
                else f"{reading.understood} is close: carry more digits along the way, and round at the end."
            )
            return Mark("digits", said)
        if diagnosis.near and not diagnosis.explanations:
            return Mark(
                "digits", f"{reading.understood} is close: carry more digits along the way, and round at the end."
            )
        larger = "large" if abs(shown[0]) > abs(shown[1]) else "small"
        return self._explained("size", f"{reading.understood} is too {larger}.", text, tries, right, diagnosis)

    def _explained(
        self, stage: str, words: str, text: str, tries: int, right: Measured, diagnosis: Diagnosis | None = None
    ) -> Mark:
        diagnosis = diagnosis or self._diagnosed(text, right)
        families = tuple(dict.fromkeys(name for one in diagnosis.explanations for name in one.families))
        if tries < SLIP_AFTER:
            return Mark(stage, f"{words} Try again.", "", families)
        told = [line for slip in diagnosis.explanations if "result" not in slip.where for line in slip.lines if line]
        lines = tuple(line for line in dict.fromkeys(told) if not self._given_away(line, right))
        return Mark(stage, words, _sentence(diagnosis.hint), families, lines)

    def _given_away(self, line: str, right: Measured) -> bool:
        """Whether a number in a line is the answer, to the digits asked for, in SI units or in the unit asked for."""
        digits, value = self.exercise.digits, float(right.si)
        answers = {
            _to_digits(abs(one), digits) for one in (value, float(in_unit(value, self.exercise.unit, right.kind)))
        }
        found = re.findall(r"\d[\d,]*\.?\d*(?:e[+-]?\d+)?", line)
        return any(_to_digits(float(text.replace(",", "")), digits) in answers for text in found)

    def _step(self, as_written: bool = False) -> float:
        """One unit in the last place that is asked for, as an SI difference. as_written: of the figure as it is
        rounded, so that 99.97 is written as 100."""
        one, right = self.exercise, self.answer
        number = abs(float(in_unit(float(right.si), one.unit, right.kind)))
        number = _rounded(number, one.digits if as_written else 12)
        place = math.floor(math.log10(number)) - one.digits + 1 if number else -one.digits
        return float(10.0**place * unit_factor(one.unit, right.kind))

    def _as_many_digits(self, reading: Reading, step: float) -> bool:
        """Whether an answer in another unit has as many digits as were asked for: 34.7 °C for 62.4 °F. Of a scale that
        begins elsewhere (194 °F for 90.0 °C) they are counted as typed."""
        one, kind = self.exercise, self.kind
        if not step:
            return False
        si = abs(reading.si)
        if float(in_unit(0.0, one.unit, kind)) != 0:
            if units_of(reading.value) == unit_container(one.unit, kind):
                return False  # in the unit asked for the place counts
            si, step = abs(float(reading.value.magnitude)), abs(float(reading.step.magnitude))
        return bool(si / step * (1 + 1e-9) >= 10.0 ** (one.digits - 1))

    def _diagnosed(self, text: str, right: Measured) -> Diagnosis:
        one = self.exercise
        bare = one.unit or None
        if one.of is not None:
            return diagnose(one.of, dict(self.given), text, bare, one.unknown)
        from rotorkit.teach.otherwise import otherwise

        outcome = self._outcome()
        figure = outcome.finding(one.figure).measured
        agrees = compare_by_hand(text, figure, bare).good  # then nothing is tried otherwise
        others = () if agrees else otherwise(self._sheet(), _aircraft(), one.figure)
        return diagnose_figure(outcome.steps, figure, text, bare, others)

    def _sheet(self) -> Sheet:
        return _made(self.name.partition(".")[0], self.exercise.check, tuple(self.given.items()))[0]

    def _outcome(self) -> Outcome:
        return _made(self.name.partition(".")[0], self.exercise.check, tuple(self.given.items()))[1]


@dataclass
class Attempt:
    """One learner at one exercise: counts the tries, tells the hints one by one. marks: what every try came to."""

    posed: Posed
    marks: list[Mark] = field(default_factory=list)
    hints_told: int = 0

    @property
    def done(self) -> bool:
        return bool(self.marks) and self.marks[-1].right

    def answer(self, text: str) -> Mark:
        """Mark one more answer."""
        self.marks.append(self.posed.mark(text, len(self.marks) + 1))
        return self.marks[-1]

    def hint(self) -> str:
        """The next hint; the last one again when there are no more; empty where the exercise has none."""
        hints = self.posed.hints
        if not hints:
            return ""
        self.hints_told = min(self.hints_told + 1, len(hints))
        return hints[self.hints_told - 1]


WRITTEN = (
    (re.compile(r"(?<=\d) deg\b"), "°"),
    (re.compile(r"\bdeg(?=[CF]\b)"), "°"),
    (re.compile(r"\blb\*(in|ft)\b"), r"\1·lb"),
    (re.compile(r"\*"), "·"),
    (re.compile(r"\^2"), "²"),
    (re.compile(r"\^3"), "³"),
    (re.compile(r"^-(?=[\d.])"), "−"),
)
"""What is typed of a figure and its unit, and how a person writes it."""
UNITS = {
    "m": "metres",
    "mm": "millimetres",
    "degF": "°F",
    "degC": "°C",
    "in": "inches",
    "ft": "feet",
    "deg": "degrees",
    "lb": "lb",
    "%": "per cent",
    "h": "hours",
}
"""Units that are written out in a question, or as they are typed."""
NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five"}


def exercises() -> dict[str, Exercise]:
    """Every exercise by its name, SHEET.NAME, in the builder's order of the sheets."""
    return dict(_of_all(tuple(sheets_in_order())))


@functools.lru_cache(maxsize=1)
def _of_all(sheets: tuple[type[Sheet], ...]) -> dict[str, Exercise]:
    return {f"{sheet.name}.{one.name}": one for sheet in sheets for one in _own(sheet)}


def of_sheet(sheet: str) -> dict[str, Exercise]:
    """Those of one sheet, by the same names. Raises `SheetError` for an unknown sheet."""
    found = sheet_type(sheet)
    return {f"{found.name}.{one.name}": one for one in _own(found)}


def _own(sheet: type[Sheet]) -> tuple[Exercise, ...]:
    """What a sheet declares itself: those of one that it is built on are that one's."""
    return tuple(vars(sheet).get("exercises", ()))


def posed(name: str, seed: int | str, system: str | None = None) -> Posed:
    """An exercise with the numbers of a seed, in the units of a display system, "us" or "metric" (default: the one in
    force). Raises `QuantityError` for an unknown name."""
    known = exercises()
    if name not in known:
        raise QuantityError(f"no exercise is called {name!r:.60}: there are {', '.join(known)}")
    return posed_of(name, known[name], seed, system)


def posed_of(name: str, exercise: Exercise, seed: int | str, system: str | None = None) -> Posed:
    """An exercise that need not be a sheet's, with the numbers of a seed, in the units of a display system (default:
    the one in force). name: what it is called by who asks."""
    system = display_system() if system is None else system
    asked, kinds = in_units_of(exercise, system), kinds_of(exercise)
    draw = random.Random(f"{name} {seed}")
    for _ in range(MOST_DRAWS):
        given = {
            key: carried(_drawn(one, draw), one.step, kinds.get(key), system) if isinstance(one, Range) else one
            for key, one in asked.given.items()
        }
        made = Posed(name, str(seed), asked, given)
        if _suits(made):
            return made
    raise TypeError(f"exercise {name}: no numbers of its ranges suit")


def _suits(made: Posed) -> bool:
    """Whether the numbers are as hard as any others: the answer is there, is not nothing, and has its sign; no two
    numbers of one unit are the same, so that taking one for the other shows."""
    try:
        value = float(made.answer.si)
    except QuantityError:
        return False
    drawn = [made.given[key] for key, one in made.exercise.given.items() if isinstance(one, Range)]
    if not math.isfinite(value) or value == 0 or len(set(drawn)) < len(drawn):
        return False
    return not made.exercise.sign or value * made.exercise.sign > 0


_NUMBER = re.compile(r"^([+-]?[\d,]*\.?\d+(?:e[+-]?\d+)?)\s*(.*)$")


def _drawn(one: Range, draw: random.Random) -> str:
    """A number of the range as text, with the unit of its lower end."""
    (low, unit), (high, _), (step, _) = (_parted(text) for text in (one.low, one.high, one.step))
    steps = round((float(high) - float(low)) / float(step))
    decimals = len(step.partition(".")[2])
    number = float(low) + draw.randint(0, steps) * float(step)
    return f"{number:,.{decimals}f} {unit}".strip()


def _as_written(text: str) -> str:
    """A figure or a unit as a person writes it: "100 lb*in" is 100 in·lb, "-1.2 deg" is −1.2°."""
    for typed, written in WRITTEN:
        text = typed.sub(written, text)
    return text


def _parted(text: str) -> tuple[str, str]:
    found = _NUMBER.match(text)
    if found is None:
        raise TypeError(f"a range is of numbers with a unit, got {text!r}")
    return found[1].replace(",", ""), found[2]


@functools.cache
def _aircraft() -> Aircraft:
    """The invented aircraft that exercises on a whole sheet are worked with."""
    return load_aircraft(demo_folder())


@functools.cache
def _folder() -> Folder:
    return Folder(demo_folder())


@functools.lru_cache(maxsize=64)
def _made(name: str, check: str, given: tuple[tuple[str, str], ...]) -> tuple[Sheet, Outcome]:
    """The sheet with an exercise's readings, and what it comes to: one question is looked at several times."""
    sheet = sheet_type(name).from_readings(_filled(_base(name, check), dict(given)))
    return sheet, sheet.work(_aircraft())


def _base(sheet: str, check: str) -> Mapping[str, Any]:
    """The demo's readings of a sheet, of the check named or of the first."""
    found = next((one for one in _folder().checks if one.sheet == sheet and check in ("", one.name)), None)
    return found.readings if found is not None else {}


def _filled(base: Mapping[str, Any], given: Mapping[str, str]) -> dict[str, Any]:
    """Readings with those of an exercise in their places."""
    made = {name: [dict(row) for row in value] if isinstance(value, list) else value for name, value in base.items()}
    for path, text in given.items():
        name, _, rest = path.partition(".")
        if rest:
            number, _, column = rest.partition(".")
            made[name][int(number)][column] = text
        else:
            made[name] = text
    return made


def _bare(text: str, kind: Kind) -> bool:
    """Whether a number stands without a unit where it needs one."""
    try:
        read(text, kind)
    except QuantityError as problem:
        return "unit" in str(problem)
    return False


def _rounded(number: float, digits: int) -> float:
    """To so many digits, so that 0.0999999 counts as 0.10 and 99.97 as 100; a half, as binary fractions miss it by a
    hair, goes away from zero as on paper."""
    return float(f"{number * (1 + 1e-12):.{digits - 1}e}")


def _told(answer: str, spread: bool) -> str:
    """An answer without what people write before it: = ≈ ~, and ± where a ± is asked for."""
    text = re.sub(r"^[=≈≅~\s]+", "", answer.strip())
    return re.sub(r"^(±|\+/-|\+-)\s*", "", text) if spread else text


def _to_digits(number: float, digits: int) -> str:
    if number == 0:
        return "0"
    number = _rounded(number, digits)
    decimals = digits - 1 - math.floor(math.log10(abs(number)))
    rounded = round(number, decimals)
    return f"{rounded:,.{max(decimals, 0)}f}"


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith(('.', '!', '?')) else '.'}" if text else ""
