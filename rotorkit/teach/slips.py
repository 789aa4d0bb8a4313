"""Which slip explains a hand figure that does not agree: found from the formula's own expression and its units.

Every slip is one thing done otherwise in the calculation: a reading taken in another unit, a term left out, a step
skipped. All of them, singly and in pairs, are worked through (`rotorkit.teach.chain`), and those that come to the
figure as written are told, the likelier first. How likely one is: how often it is made (a weight, common practice, no
source), times how near it comes. Against them stands that it is none of them: where that is likelier, nothing is named.

>>> from rotorkit.rotor import tip_speed
>>> found = diagnose(tip_speed, {"rotor_speed": "500 rpm", "rotor_radius": "12.5 ft"}, "1309 ft/s")
>>> found.word, found.explanations[0].family
('does not agree', 'diameter')
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy

from rotorkit.formula import Formula
from rotorkit.formula.worked import Worked
from rotorkit.judging.agreement import DIFFERS_LITTLE, Agreement, compare_by_hand
from rotorkit.judging.measured import Measured, difference_si
from rotorkit.quantities import (
    Kind,
    Reading,
    read,
    si_value,
)
from rotorkit.quantities.pint_inside import units_of
from rotorkit.teach.chain import Chain, Change, Node, Stage, chain_of_formula, chain_of_steps, inverted
from rotorkit.teach.usual_slips import ONLY_THE_SIGN, WEIGHTS, Slip, usual_slips

SINGLE, PAIR, ROUNDED, NONE = 0.55, 0.15, 0.1, 0.2
"""How likely a figure that does not agree comes from one slip, from two, from rounding on the way, from none of these
(an addition gone wrong, a key not pressed). Common practice (no source)."""
ON_THE_WAY = 1e-3
"""Rounding on the way moves a figure by no more than this share of it."""
BROAD = 4.0
"""A figure that no slip explains lies anywhere within some e^4 of the right one."""
NAMED = 0.5
"""What is named is together at least as likely as this."""
SURE = 0.9
"""From here on it is said without a may be."""
MOST_LINES = 3
"""So many corrected lines stand below a hand figure that does not agree."""
MOST_SAID = 6
"""More explanations than these are no help to anybody."""
WRITTEN_DOWN = 0.3
"""Of all slips at least so many are taken to be made in writing the result down (our own choice)."""
MAY_FIT = 0.02
"""Two things done otherwise are worked together where what they come to alone lets them come as near as this share."""
MOST_CHAINS = 16
"""So many workings are gone through for a slip in one of their steps."""
MOST_SINGLE = 420
"""Of a long calculation the likeliest slips are gone through, so that the pairs of them stay few enough."""


@dataclass(frozen=True)
class Explanation:
    """One thing done wrong, or two of them together, that comes to the figure as written.

    families: of each slip its family, a key of `WEIGHTS`; where: of each the argument, the step or "result" that it
    was made at; words: what was done, in plain words; lines: the corrected lines; value: what it comes to, in SI
    units; share: how likely it is beside all other explanations and beside none.
    """

    families: tuple[str, ...]
    where: tuple[str, ...]
    words: str
    lines: tuple[str, ...]
    value: float
    share: float

    @property
    def family(self) -> str:
        """The first slip's family."""
        return self.families[0]


@dataclass(frozen=True)
class Diagnosis:
    """A hand figure judged and, where it does not agree, explained.

    agreement: the judgement (`rotorkit.judging`), by the digits written and the readings; explanations: the slips that
    explain it, the likeliest first; none where no slip does; more: how many were left out. near: whether rounding on
    the way explains it at least as well as any slip.
    """

    agreement: Agreement
    explanations: tuple[Explanation, ...] = ()
    more: int = 0
    near: bool = False
    reading: Reading | None = None

    @property
    def word(self) -> str:
        return self.agreement.word

    @property
    def good(self) -> bool:
        return self.agreement.good

    @property
    def sure(self) -> bool:
        """Whether just one explanation stands, of one slip, and is far likelier than any other. Of two slips together
        there are so many that a figure may come near by chance."""
        if len(self.explanations) != 1 or self.near:
            return False
        only = self.explanations[0]
        return only.share >= SURE and len(only.families) == 1

    @property
    def hint(self) -> str:
        """What to look at, in one or two sentences; empty for a figure that agrees to the digits written."""
        if self.good:
            return self.agreement.hint
        told = list(dict.fromkeys(one.words for one in self.explanations))  # by difference and by ratio read alike
        if len(told) > 1 and not self.near:  # what says no more than that the sign is wrong helps nobody beside a cause
            told = [words for words in told if words != ONLY_THE_SIGN]
        if self.near:
            told.append("rounding along the way, or a conversion factor with few digits")
        if not told:
            few = "it may be rounding along the way with few digits; otherwise " if self.word == DIFFERS_LITTLE else ""
            return f"none of the usual slips explains it: {few}work through the steps again, unit by unit"
        if len(told) == 1:
            plain = self.sure or self.near or told[0] == ONLY_THE_SIGN
            return told[0] if plain else f"perhaps {told[0]}"
        more = f"; or one of {self.more} more" if self.more else ""
        return f"any one of these would give this figure: {'; or '.join(told)}{more}"

    @property
    def corrected(self) -> list[str]:
        """The lines as they should be, each once."""
        return list(dict.fromkeys(line for one in self.explanations for line in one.lines if line))

    @property
    def shown(self) -> list[str]:
        """As many of the corrected lines as are shown under a hand figure."""
        return self.corrected[:MOST_LINES]


@dataclass(frozen=True)
class Other:
    """What the whole calculation comes to with something taken otherwise: another row of a table, another blade.
    value: in SI units; steps, figure: the worked steps that led to it, and the figure, for what else may have gone
    wrong in them; readings: those that led to it; aircraft: with another row in one of its tables, where that is it."""

    words: str
    value: float
    family: str = "table"
    where: str = ""
    line: str = ""
    steps: Sequence[Worked] = field(default=(), compare=False, repr=False)
    figure: Measured | None = field(default=None, compare=False, repr=False)
    readings: Mapping[str, Any] = field(default_factory=dict, compare=False, repr=False)
    aircraft: Any = field(default=None, compare=False, repr=False)


class Others(list[Other]):
    """What a sheet comes to with one thing taken otherwise each.

    both: works it with two of them; None where they are of the same reading, or it cannot be worked. most_both: so many
    pairs are worked. reckoned: those for which there was no time, each with what it should come to by how the figure
    follows its readings; work: works one of them. most_worked: so many are worked for one hand figure.
    """

    def __init__(
        self,
        found: Iterable[Other] = (),
        both: Callable[[Other, Other], float | None] | None = None,
        most_both: int = 24,
        reckoned: Sequence[Other] = (),
        work: Callable[[Other], Other | None] | None = None,
        most_worked: int = 24,
    ) -> None:
        super().__init__(found)
        self.both, self.most_both = both, most_both
        self.reckoned, self.work, self.most_worked = list(reckoned), work, most_worked

    def nearer(self, answers: Sequence[float]) -> Others:
        """The same, with those worked that are reckoned to come near to one of some answers, the nearest first."""
        if self.work is None or not self.reckoned:
            return self
        off = [min(abs(one.value - answer) / (abs(answer) or 1.0) for answer in answers) for one in self.reckoned]
        order = sorted((far, i) for i, far in enumerate(off) if far <= MAY_FIT)[: self.most_worked]
        worked = {i: self.work(self.reckoned[i]) for _, i in order}
        rest = [one for i, one in enumerate(self.reckoned) if i not in worked]
        found = [*self, *(one for one in worked.values() if one is not None)]
        return Others(found, self.both, self.most_both, rest, self.work, self.most_worked)


# the two ways in


def diagnose(
    what: Formula | Sequence[Worked],
    values: Any,
    answer: str,
    bare_unit: str | None = None,
    unknown: str = "",
    others: Sequence[Other] = (),
) -> Diagnosis:
    """Judge a hand figure, and say which slip explains it where it does not agree.

    Arguments: what, a formula, or a sheet's worked steps; values, the formula's arguments by name, as typed (of steps:
    the figure, a `Measured`); answer, the hand figure as typed; bare_unit, the unit that a bare number takes; unknown,
    the argument that the formula is solved for, in place of which values holds ``result``; others, what the whole
    comes to with something else taken otherwise.
    Returns a `Diagnosis`. Raises `QuantityError` where answer or values cannot be read.
    """
    if not isinstance(what, Formula):
        steps = what
        return _diagnosed(lambda: chain_of_steps(steps, values), values, answer, bare_unit, others)
    figure = right_figure(what, values, unknown)
    formula = what
    return _diagnosed(lambda: _chain(formula, values, unknown), figure, answer, bare_unit, others)


def diagnose_figure(
    steps: Sequence[Worked], figure: Measured, answer: str, bare_unit: str | None = None, others: Sequence[Other] = ()
) -> Diagnosis:
    """The same for a figure of a sheet, from the steps that led to it."""
    return diagnose(steps, figure, answer, bare_unit, others=others)


def right_figure(formula: Formula, values: Mapping[str, Any], unknown: str = "") -> Measured:
    """What the formula gives, or the value of its argument `unknown` that gives ``values["result"]``."""
    if not unknown:
        found = formula(**values)
        shown = formula.shown.get("result")
        return found if isinstance(found, Measured) else Measured(_si(found, formula.kind), formula.kind, unit=shown)
    known = {name: value for name, value in values.items() if name != "result"}
    argument = next(a for a in formula.contract.arguments if a.name == unknown)
    found = formula.solve_for(unknown, result=values["result"], **known)
    return Measured(_si(found, argument.kind), argument.kind, unit=formula.shown.get(unknown))


def _si(given: Any, kind: Any) -> float:
    return given.si if isinstance(given, (Reading, Measured)) else float(si_value(given, kind))


def _chain(formula: Formula, values: Mapping[str, Any], unknown: str) -> Chain | None:
    if not unknown:
        return chain_of_formula(formula, values)
    wanted = right_figure(formula, values, unknown)
    known = {name: value for name, value in values.items() if name != "result"}
    given = values["result"]
    reading = read(given, formula.kind, by_program=True) if isinstance(given, str) else given
    whole = chain_of_formula(formula, {**known, unknown: wanted.value})
    units = units_of(reading.value if isinstance(reading, Reading) else given)
    node = Node(
        "leaf", (), _si(reading, formula.kind), "result", 0, formula.kind, units,
        isinstance(reading, Reading) and reading.compound, whole.nodes[whole.target].dimension,
        reading if isinstance(reading, Reading) else None,
    )  # fmt: skip
    return inverted(whole, unknown, node, float(wanted.si))


def _diagnosed(
    made: Callable[[], Chain | None],
    figure: Measured,
    answer: str,
    bare_unit: str | None,
    others: Sequence[Other],
) -> Diagnosis:
    agreement = compare_by_hand(answer, figure, bare_unit)
    reading = agreement.reading
    assert reading is not None
    if agreement.good:
        return Diagnosis(agreement, reading=reading)
    right, chain = float(figure.si), made()  # a figure that agrees needs none
    if chain is None:
        chain = Chain([Node("constant", (), right, "figure", 0, figure.kind), Node("stage", (0,), kind=figure.kind)])
        chain.stages, chain.target = [Stage(1, None, "the figure", {}, None, figure.kind)], 1
    half = difference_si(abs(reading.step), figure.kind) / 2
    found, more, near = _explained(chain, figure.kind, right, reading, half, others)
    done = Diagnosis(agreement, tuple(found), more, near, reading)
    return replace(done, agreement=replace(agreement, hint=done.hint))


# working them all through


def _explained(
    chain: Chain, kind: Kind, right: float, reading: Reading, half: float, others: Sequence[Other]
) -> tuple[list[Explanation], int, bool]:
    answer = reading.si
    if isinstance(others, Others):
        others = others.nearer([answer])
    slips = sorted(usual_slips(chain, kind, reading), key=lambda one: -one.weight)[:MOST_SINGLE]
    slips = _written_down_as_often(slips, others)
    possible = [*others, *(others.reckoned if isinstance(others, Others) else ())]
    total = sum(one.weight for one in slips) + sum(WEIGHTS[one.family] for one in possible) or 1.0
    count = len(slips)
    single = _worked(chain, slips, numpy.arange(count), None)
    size = max(abs(right), abs(answer)) or 1.0
    half = max(half, 1e-12 * size) * (1 + 1e-9)
    none = NONE / (BROAD * size)
    rounded = ROUNDED / (2 * ON_THE_WAY * size) if abs(answer - right) <= ON_THE_WAY * abs(right) + half else 0.0

    def likelihood(value: Any) -> Any:
        value = numpy.where(numpy.isfinite(value), value, numpy.inf)
        off = numpy.abs(value - answer)
        wide = half + ON_THE_WAY / 2 * numpy.abs(value)
        score = numpy.where(off <= half, 0.9 / (2 * half), numpy.where(off <= wide, 0.1 / (2 * wide), 0.0))
        told_apart = (numpy.abs(value - right) > half) & (numpy.abs(value) > half)
        return numpy.where(numpy.isfinite(value) & told_apart, score, 0.0)

    weights = numpy.array([one.weight for one in slips]) / total
    scores = SINGLE * weights * likelihood(single)
    told: list[tuple[float, tuple[int, ...], float]] = [
        (float(scores[i]), (int(i),), float(single[i])) for i in numpy.flatnonzero(scores > 0)
    ]
    apart = [(SINGLE * WEIGHTS[one.family] / total * float(likelihood(numpy.array(one.value))), one) for one in others]
    apart = [(score, one) for score, one in apart if score > 0]
    so_far = sum(score for score, *_ in told) + sum(score for score, _ in apart)
    pairs: list[tuple[float, tuple[int, ...], float]] = []
    written: list[tuple[float, Explanation]] = []
    if not told and not apart:  # two slips are thought of only where no single one explains it
        if isinstance(others, Others):
            others = others.nearer([-answer, *(answer * by for by in (0.1, 10, 0.5, 2)), answer])
        first, second = numpy.triu_indices(count, 1)
        fits = numpy.array([_together(slips[i], slips[j]) for i, j in zip(first, second, strict=True)], dtype=bool)
        first, second = first[fits], second[fits]
        both = _worked(chain, slips, first, second)
        shares = PAIR * 2 * weights[first] * weights[second] * likelihood(both)
        # a pair one half of which changes nothing is no pair
        with numpy.errstate(invalid="ignore"):  # where a pair has no real value
            idle = (numpy.abs(both - single[first]) <= half) | (numpy.abs(both - single[second]) <= half)
        shares = numpy.where(idle, 0.0, shares)
        pairs = [
            (float(shares[k]), (int(first[k]), int(second[k])), float(both[k])) for k in numpy.flatnonzero(shares > 0)
        ]
        written = [
            *_otherwise_and_written(chain, slips, single, others, half, likelihood),
            *_otherwise_and_on_the_way(chain, slips, single, others, kind, right, reading, half, likelihood),
            *_both_otherwise(others, right, answer, half, likelihood),
        ]
        written = [(PAIR * 2 * score / total**2, one) for score, one in written]
    everything = so_far + sum(score for score, *_ in pairs) + sum(score for score, _ in written) + none + rounded
    candidates = _once([*told, *pairs], slips)
    made = (
        [
            (score / everything, _explanation([slips[i] for i in of], value, score / everything))
            for score, of, value in candidates
        ]
        + [
            (
                score / everything,
                Explanation((one.family,), (one.where,), one.words, (one.line,), one.value, score / everything),
            )
            for score, one in apart
        ]
        + [(score / everything, replace(one, share=score / everything)) for score, one in written]
    )
    made.sort(key=lambda pair: -pair[0])
    near = rounded > 0 and rounded / everything > 0.1
    if sum(share for share, _ in made) + (rounded / everything) < NAMED or not made:
        return [], 0, near or rounded > 0
    within = [one for _, one in made if abs(one.value - answer) <= half] or [one for _, one in made]
    near = near and rounded / everything > within[0].share / 10
    return within[:MOST_SAID], max(0, len(within) - MOST_SAID), near


def _otherwise_and_written(
    chain: Chain,
    slips: Sequence[Slip],
    single: Any,
    others: Sequence[Other],
    half: float,
    likelihood: Callable[[Any], Any],
) -> list[tuple[float, Explanation]]:
    """Pairs of something taken otherwise and a slip in writing down what it comes to, each with its two weights times
    its likelihood."""
    values = numpy.array([one.value for one in others])
    found: list[tuple[float, Explanation]] = []
    for i, slip in enumerate(slips):
        if slip.where != "result" or not len(values):
            continue
        (place, change), *more = slip.sites
        if more or place != chain.target:
            continue
        with numpy.errstate(all="ignore"):
            both = change(lambda _: numpy.full_like(values, numpy.nan), values)
            idle = (numpy.abs(both - values) <= half) | (numpy.abs(both - single[i]) <= half)
        scores = numpy.where(idle, 0.0, likelihood(both))
        for k in numpy.flatnonzero(scores > 0):
            one = others[int(k)]
            pair = _pair_of(one, slip.family, slip.where, slip.words, slip.line(), float(both[k]))
            found.append((WEIGHTS[one.family] * slip.weight * float(scores[k]), pair))
    return found


def _written_down_as_often(slips: Sequence[Slip], others: Sequence[Other]) -> list[Slip]:
    """The slips with those in writing the result down as often as they are made in any calculation: what can go wrong
    on the way grows with its length, what can go wrong at its end does not."""
    written = sum(one.weight for one in slips if one.where == "result")
    way = sum(one.weight for one in slips if one.where != "result") + sum(WEIGHTS[one.family] for one in others)
    if not written:
        return list(slips)
    times = max(1.0, WRITTEN_DOWN / (1 - WRITTEN_DOWN) * way / written)
    return [replace(one, weight=one.weight * times) if one.where == "result" else one for one in slips]


def _near(answer: float, *predicted: Any) -> Any:
    """Whether a pair may come to the answer, by what its halves come to: as their differences add, or as their ratios
    multiply."""
    with numpy.errstate(all="ignore"):
        return numpy.any([numpy.abs(one - answer) <= MAY_FIT * abs(answer) for one in predicted], axis=0)


def _pair_of(one: Other, family: str, where: str, words: str, line: str, value: float) -> Explanation:
    lines = tuple(text for text in (one.line, line) if text)
    return Explanation((one.family, family), (one.where, where), f"{one.words}, and {words}", lines, value, 0.0)


def _otherwise_and_on_the_way(
    chain: Chain,
    slips: Sequence[Slip],
    single: Any,
    others: Sequence[Other],
    kind: Kind,
    right: float,
    reading: Reading,
    half: float,
    likelihood: Callable[[Any], Any],
) -> Iterator[tuple[float, Explanation]]:
    """Pairs of something taken otherwise and a slip in a step: the steps as they were then are run again,
    where by what the two come to alone they may come to the answer together."""
    way = [i for i, slip in enumerate(slips) if slip.where != "result"]
    if not way or not right:
        return
    weights = numpy.array([slips[i].weight for i in way])
    likely = []
    for one in others:
        if one.steps and one.figure is not None and abs(one.value - right) > half:
            alone = single[way]
            with numpy.errstate(all="ignore"):  # where a slip alone has no real value
                near = _near(reading.si, one.value + alone - right, one.value * alone / right)
            if near.any():
                likely.append((WEIGHTS[one.family] * float(weights[near].sum()), one))
    likely.sort(key=lambda pair: -pair[0])
    for _, one in likely[:MOST_CHAINS]:
        again = chain_of_steps(one.steps, one.figure)
        if again is None:
            continue
        made = [slip for slip in usual_slips(again, kind, reading) if slip.where != "result"]
        made = sorted(made, key=lambda slip: -slip.weight)[:MOST_SINGLE]
        values = _worked(again, made, numpy.arange(len(made)), None)
        scores = numpy.where(numpy.abs(values - one.value) <= half, 0.0, likelihood(values))
        for i in numpy.flatnonzero(scores > 0):
            slip = made[int(i)]
            pair = _pair_of(one, slip.family, slip.where, slip.words, slip.line(), float(values[i]))
            yield WEIGHTS[one.family] * slip.weight * float(scores[i]), pair


def _both_otherwise(
    others: Sequence[Other], right: float, answer: float, half: float, likelihood: Callable[[Any], Any]
) -> Iterator[tuple[float, Explanation]]:
    """Pairs of things taken otherwise: worked, the likeliest first, where they may come to the answer together."""
    both = others.both if isinstance(others, Others) else None
    if both is None or not right:
        return
    assert isinstance(others, Others)
    every = [*others, *others.reckoned]
    values = numpy.array([one.value for one in every])
    first, second = numpy.triu_indices(len(every), 1)
    one, other = values[first], values[second]
    predicted = numpy.array([one + other - right, one * other / right, *_without_signs(one, other, right, answer)])
    shows = (numpy.abs(one - right) > half) & (numpy.abs(other - right) > half)
    near = numpy.flatnonzero(shows & _near(answer, *predicted))
    off = numpy.nanmin(numpy.abs(predicted[:, near] - answer), axis=0) if len(near) else near
    for k in near[numpy.argsort(off, kind="stable")][: others.most_both]:
        first_one, second_one = every[int(first[k])], every[int(second[k])]
        value = both(first_one, second_one)
        if value is None or min(abs(value - first_one.value), abs(value - second_one.value)) <= half:
            continue
        score = float(likelihood(numpy.array(value)))
        if score > 0:
            pair = _pair_of(first_one, second_one.family, second_one.where, second_one.words, second_one.line, value)
            yield WEIGHTS[first_one.family] * WEIGHTS[second_one.family] * score, pair


def _without_signs(one: Any, other: Any, right: float, answer: float) -> Iterator[Any]:
    """What two come to together in a figure that has no sign, such as how far apart two readings lie: each of the three
    may have had one before it was dropped."""
    for first, second in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
        yield math.copysign(1.0, answer) * numpy.abs(first * one + second * other - right)


def _once(
    found: list[tuple[float, tuple[int, ...], float]], slips: Sequence[Slip]
) -> list[tuple[float, tuple[int, ...], float]]:
    """Of explanations that are the same in other words the likeliest, with what all of them weigh."""
    kept: dict[tuple[str, ...], tuple[float, tuple[int, ...], float]] = {}
    for score, of, value in sorted(found, key=lambda one: -one[0]):
        key = tuple(sorted(_alike(slips[i], value) for i in of))
        if key in kept:
            before = kept[key]
            kept[key] = (before[0] + score, before[1], before[2])
        else:
            kept[key] = (score, of, value)
    return sorted(kept.values(), key=lambda one: -one[0])


def _alike(slip: Slip, value: float) -> str:
    """What a slip has in common with those that are the same in other words: a term left out, and the step left out
    that adds it."""
    if slip.family in ("left out", "step left out"):
        return f"left out {value:.9g}"
    return f"wrong way {value:.9g}" if slip.family == "wrong way" else slip.same


def _together(one: Slip, other: Slip) -> bool:
    """Whether two slips can be made in one calculation: not two of one family at one place."""
    if one.where == other.where and (one.family == other.family or "step left out" in (one.family, other.family)):
        return False
    return one.same != other.same


def _worked(chain: Chain, slips: Sequence[Slip], first: Any, second: Any) -> Any:
    """The result of going through with each slip, or with each pair of slips."""
    columns = len(first)
    if not columns:
        return numpy.zeros(0)
    members: dict[int, list[Any]] = {}
    for of in (first, second) if second is not None else (first,):
        order = numpy.argsort(of, kind="stable")
        bounds = numpy.searchsorted(of[order], numpy.arange(len(slips) + 1))
        for i in range(len(slips)):
            members.setdefault(i, []).append(order[bounds[i] : bounds[i + 1]])
    changes: dict[int, list[tuple[Any, Change]]] = {}
    for i, slip in enumerate(slips):
        at = numpy.concatenate(members[i])
        if len(at):
            for place, change in slip.sites:
                changes.setdefault(place, []).append((at, change))
    return chain.values(changes, columns)[chain.target]


def _explanation(slips: Sequence[Slip], value: float, share: float) -> Explanation:
    return Explanation(
        tuple(one.family for one in slips),
        tuple(one.where for one in slips),
        ", and ".join(one.words for one in slips),
        tuple(dict.fromkeys(line for one in slips if (line := one.line()))),
        value,
        share,
    )
