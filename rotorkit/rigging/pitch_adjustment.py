"""What to turn, and by how many flats, to bring every station into limits at once.

Stations and adjusters are described in `rotorkit.rigging.stations`. The answer is the best that whole flats can do.
Best means, in this order: the greatest worst margin, in half widths of each station's limit and after the reading's
uncertainty is taken off, so that the verdict will be "in limits" for certain wherever that can be had; the least sum
of squares from mid-limit; the fewest flats. The other aim, "fewest flats", turns no more than it takes to bring every
station into limits.

The angles are taken to follow the flats in a straight line. Over two turns of a link on a 6 in arm that is good to some
thousandths of a degree, less than a protractor shows; read every station again after turning, all the same.

Source: closed form and exact search, derived in `rotorkit.rigging.whole_flats`; decision rule JCGM 106:2012, 8.3.2.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rotorkit.formula.contract import si_of
from rotorkit.judging.limits import IN_LIMITS, Verdict
from rotorkit.judging.measured import COVERAGE, Measured, combine
from rotorkit.quantities import Kind, QuantityError, from_si
from rotorkit.rigging.stations import Adjuster, Station

AIMS = ("best margin", "fewest flats")
"""What the answer is to be best in."""


@dataclass(frozen=True)
class StationOutcome:
    """One station before and after.

    before, after: verdicts; after on the predicted figure. margin_before, margin_after: in half widths, after the
    uncertainty is taken off; below zero it is not in limits for certain. from_mid: the predicted figure less mid-limit
    (None for a one-sided limit). moved: whether any adjuster moves it enough to matter.
    """

    station: Station
    before: Verdict
    after: Verdict
    margin_before: float
    margin_after: float
    from_mid: Any
    moved: bool

    @property
    def name(self) -> str:
        return self.station.name


@dataclass(frozen=True)
class Adjustment:
    """The answer.

    flats: by adjuster, positive in its positive direction. stations: each before and after. worst_margin: of the
    stations that can be moved, in half widths. met: whether every station will be in limits for certain, those that
    nothing moves included. instructions: what to turn, one line each. hindrances: where limits cannot be met, which
    station or which thread prevents it, one sentence each. proven: whether the search was completed, so that this is
    known to be the best. aim: as asked, or "best margin" where the limits cannot be met.
    """

    flats: Mapping[str, int]
    stations: tuple[StationOutcome, ...]
    worst_margin: float
    met: bool
    instructions: tuple[str, ...]
    hindrances: tuple[str, ...]
    proven: bool
    aim: str

    @property
    def flats_turned(self) -> int:
        """All flats together."""
        return sum(abs(n) for n in self.flats.values())

    @property
    def sentence(self) -> str:
        """The answer in one line."""
        if self.met and not self.flats_turned:
            return "Every station is in limits: nothing needs to be turned."
        if self.met:
            return f"{self.flats_turned} flats in all bring every station into limits."
        short = [outcome.name for outcome in self.stations if outcome.after.word != IN_LIMITS]
        return (
            f"The limits cannot all be met by turning these: {'; '.join(short)} will not certainly be in limits. "
            f"What is given is the best that can be done."
        )


def what_to_turn(
    stations: Sequence[Station], adjusters: Sequence[Adjuster], aim: str = "best margin", as_good: float = 0.0
) -> Adjustment:
    """The whole flats that bring every station into limits, with the greatest worst margin.

    Parameters
    ----------
    stations : Sequence[Station]
        with a reading and a limit each.
    adjusters : Sequence[Adjuster]
        with the effect of one flat on each station, and how far they may be turned.
    aim : str
        one of `AIMS`. With "fewest flats" no more is turned than brings every station into limits; where that
        cannot be done the best margin is given all the same.
    as_good : float
        margins that differ by no more than this, in half widths, count as equal. The very best margin may ask
        for many turns that nearly cancel each other (all links one way, the collective rod the other) for the sake
        of a hundredth of a degree. With a little of this, such as 0.1, the best margin turns few things, and none
        of them further than that takes.

    Returns
    -------
    Adjustment
        The `Adjustment`.

    Raises
    ------
    QuantityError
        two alike names, an effect on a station that there is not, an effect of another kind, a limit
        without width. The message names what to change.

    Notes
    -----
    Range of validity: effects that add up and follow the flats in a straight line (see the module).

    Examples
    --------
    Two blades at one stop, limits 1.5 to 2.5 deg; 0.105 deg for each flat. White stands at 2.9 deg, yellow at 1.75:
    9 flats shorter bring white to 1.955 deg, 2 flats longer bring yellow to 1.96 deg.

    >>> from rotorkit.judging.limits import Limit
    >>> from rotorkit.judging.measured import measured
    >>> from rotorkit.quantities import Angle
    >>> limit = Limit("low stop", Angle, "1.5 deg", "2.5 deg", "manual 7-3")
    >>> white, yellow = (
    ...     Station(name, measured(text, Angle, name, "0.2 deg"), limit)
    ...     for name, text in (("white blade", "2.9 deg"), ("yellow blade", "1.75 deg")))
    >>> links = [Adjuster(f"{name} pitch link", {f"{name} blade": "0.105 deg"}) for name in ("white", "yellow")]
    >>> for line in what_to_turn([white, yellow], links).instructions:
    ...     print(line)
    white pitch link: 9 flats shorter (1 1/2 turns)
    yellow pitch link: 2 flats longer (1/3 turn)
    """
    from rotorkit.rigging import whole_flats

    if aim not in AIMS:
        raise QuantityError(f"aim: needs {' or '.join(map(repr, AIMS))}, got {aim!r}")
    if not stations:
        raise QuantityError("stations: needs at least one, with a reading and a limit")
    _check_names(stations, adjusters)
    effects = [[_effect(adjuster, station) for adjuster in adjusters] for station in stations]
    problem = _problem(stations, adjusters, effects)
    solution, reached = None, aim
    if aim == "fewest flats":
        solution = whole_flats.best_fewest(problem)
    if solution is None:
        solution, reached = whole_flats.best_margin(problem), "best margin"
        if as_good > 0 and any(solution.flats):
            solution = whole_flats.few_turned(problem, solution, as_good)
    movable = problem.movable
    before, after = problem.margins([0] * len(adjusters)), problem.margins(solution.flats)
    outcomes = tuple(
        _outcome(station, row, solution.flats, (float(before[i]), float(after[i])), bool(movable[i]))
        for i, (station, row) in enumerate(zip(stations, effects, strict=True))
    )
    met = all(outcome.after.word == IN_LIMITS for outcome in outcomes)
    return Adjustment(
        {adjuster.name: n for adjuster, n in zip(adjusters, solution.flats, strict=True)},
        outcomes,
        solution.worst,
        met,
        tuple(adjuster.instruction(n) for adjuster, n in zip(adjusters, solution.flats, strict=True)),
        () if met else tuple(_hindrances(problem, outcomes, adjusters)),
        solution.proven,
        reached,
    )


def _check_names(stations: Sequence[Station], adjusters: Sequence[Adjuster]) -> None:
    for what, names in (("stations", [s.name for s in stations]), ("adjusters", [a.name for a in adjusters])):
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            raise QuantityError(f"{what}: {', '.join(twice)} stands there twice; give each a name of its own")
    known = {s.name for s in stations} | {part for s in stations for part in s.parts}
    for adjuster in adjusters:
        unknown = sorted(set(adjuster.effects) - known)
        if unknown:
            raise QuantityError(
                f"{adjuster.name}: has an effect on {', '.join(unknown)}, which is no station; they are "
                f"{', '.join(sorted(known))}"
            )


def _effect(adjuster: Adjuster, station: Station) -> Measured:
    """What one flat does to the station, with its uncertainty where it has one."""
    kind = station.reading.kind
    if station.name in adjuster.effects or not station.parts:
        return _as_measured(adjuster.effects.get(station.name), kind, f"{adjuster.name} on {station.name}")
    total = Measured(0.0, kind)
    for part, weight in station.parts.items():
        total = total + _as_measured(adjuster.effects.get(part), kind, f"{adjuster.name} on {part}") * weight
    return total


def _as_measured(given: Any, kind: Kind, label: str) -> Measured:
    if given is None:
        return Measured(0.0, kind)
    try:
        si, carried = si_of(given, kind, label)
    except QuantityError as problem:
        raise QuantityError(f"effect of one flat of {label}: {problem}") from None
    return carried if carried is not None else Measured(float(si), kind)


def _problem(stations: Sequence[Station], adjusters: Sequence[Adjuster], effects: Sequence[Sequence[Measured]]) -> Any:
    import numpy as np

    from rotorkit.rigging.whole_flats import Problem

    half = np.array([station.half_width_si for station in stations])
    return Problem(
        np.array([station.deviation for station in stations]),
        np.array([[float(e.si) for e in row] for row in effects]).reshape(len(stations), len(adjusters))
        / half[:, None],
        np.array([COVERAGE * float(station.reading.standard_si) for station in stations]) / half,
        np.array([station.limit.low_si is not None for station in stations]),
        np.array([station.limit.high_si is not None for station in stations]),
        np.array([adjuster.least for adjuster in adjusters], dtype=int),
        np.array([adjuster.most for adjuster in adjusters], dtype=int),
    )


def _outcome(
    station: Station, row: Sequence[Measured], flats: Sequence[int], margins: tuple[float, float], moved: bool
) -> StationOutcome:
    terms, counts = [station.reading], [1.0]
    for effect, count in zip(row, flats, strict=True):
        if count:
            terms.append(effect)
            counts.append(float(count))
    value = sum(float(term.si) * count for term, count in zip(terms, counts, strict=True))
    predicted = combine(value, station.reading.kind, terms, counts, station.reading.unit)
    low, high = station.limit.low_si, station.limit.high_si
    mid = None if low is None or high is None else from_si(value - (low + high) / 2, station.reading.kind)
    judge = station.limit.judge
    return StationOutcome(station, judge(station.reading), judge(predicted), *margins, mid, moved)


def _hindrances(problem: Any, outcomes: Sequence[StationOutcome], adjusters: Sequence[Adjuster]) -> list[str]:
    """In plain sentences, what keeps the limits from being met."""
    import numpy as np

    from rotorkit.rigging.whole_flats import EQUAL, real_optimum

    found = []
    for outcome in outcomes:
        if not outcome.moved and outcome.margin_after < -EQUAL:
            found.append(f"Nothing that is listed moves {outcome.name}, which is {outcome.before.word}.")
    narrow = [i for i in range(len(outcomes)) if problem.uncertainty[i] > 1 + EQUAL and outcomes[i].moved]
    for i in narrow:
        found.append(
            f"The limit of {outcomes[i].name} is narrower than its reading is known: no setting can be shown to be in "
            f"limits. Measure it better first."
        )
    index = [int(i) for i in np.flatnonzero(problem.movable) if i not in narrow]
    unsure = [o.name for o in outcomes if o.margin_after >= -EQUAL and o.after.word != IN_LIMITS]
    if unsure:
        found.append(
            f"The effect of a flat on {_and(unsure)} is not known well enough for so many flats: turn them, read "
            f"again, and work it out again."
        )
    if not index or not len(adjusters):
        return found
    rows = problem.of_rows(np.array(index))
    real = real_optimum(rows)
    names = [outcomes[index[i]].name for i in real.holding]
    if real.worst >= -EQUAL:
        if any(outcomes[i].margin_after < -EQUAL for i in index):
            found.append(
                f"Whole flats are too coarse for {_and(names)}: parts of a flat would do. A finer thread, or one end "
                f"turned by half a turn, can make up the rest."
            )
        return found
    if real_optimum(rows, bounded=False).worst >= -EQUAL:
        used = [
            f"{a.name} ({a.negative if n <= a.least + 1e-6 else a.positive})"
            for a, n in zip(adjusters, real.flats, strict=True)
            if n <= a.least + 1e-6 or n >= a.most - 1e-6
        ]
        found.append(
            f"Thread engagement prevents it: {_and(used)} would have to be turned further than it may be. Held back: "
            f"{_and(names)}. Look for another adjustment upstream, or a longer or shorter part."
        )
    elif len(names) == 1:
        found.append(f"No setting brings {names[0]} into limits with certainty, given its uncertainty.")
    else:
        found.append(
            f"No setting brings {_and(names)} into limits together: what helps the one harms the other. The cause lies "
            f"elsewhere (a stop, an arm, a bent part, a misreading), or these are too uncertain."
        )
    return found


def _and(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}" if names else "the adjusters"
