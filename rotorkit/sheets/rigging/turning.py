"""What to turn, for any sheet: the plan under both aims, in plain words, as pictures and as worked steps."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from rotorkit import sources
from rotorkit.formula import Worked
from rotorkit.pictures.data import Bars, Picture, Turn, TurnRow, Turns
from rotorkit.quantities import Length, kind_of, say, unit_for_display
from rotorkit.rigging import Adjuster, Adjustment, PitchLink, Station, StationOutcome, what_to_turn
from rotorkit.rigging.stations import in_sentence
from rotorkit.sheets.base import Finding, bars, forecast, plain_step
from rotorkit.sheets.working import capital

BEST, FEWEST = "best margin", "fewest flats"
READ_AGAIN = (
    "Turn, lock, read again: the figures after turning are a forecast. Nothing is in limits until you have read every "
    "station again with the jam nuts tight."
)


@dataclass
class Plan:
    """The answer under both aims. best: the greatest margin; fewest: no more flats than it takes. how: by adjuster,
    how it is turned in its positive and in its negative direction, in words."""

    best: Adjustment
    fewest: Adjustment
    adjusters: Sequence[Adjuster]
    how: Mapping[str, tuple[str, str]] = field(default_factory=dict)

    @property
    def same(self) -> bool:
        """Whether both aims come to the same."""
        return dict(self.best.flats) == dict(self.fewest.flats)

    @property
    def to_do(self) -> str:
        """What to turn for the best margin, in one line; that nothing needs to be, where that is so."""
        turned = [capital(a.instruction(n)) for a in self.adjusters if (n := self.best.flats[a.name])]
        if not turned:
            return self.best.sentence
        short = "" if self.best.met else " That does not bring every station into limits."
        return f"{'; '.join(turned)}.{short} Lock, and read again."

    @property
    def remarks(self) -> list[str]:
        """What to do, in plain words; then what stands in the way."""
        said = [self.best.sentence if not self.best.flats_turned else f"To turn ({BEST}): {self.best.sentence}"]
        said += [self._words(adjuster, self.best) for adjuster in self.adjusters if self.best.flats[adjuster.name]]
        if not self.same and self.fewest.aim == FEWEST:
            turned = [a.instruction(n) for a in self.adjusters if (n := self.fewest.flats[a.name])]
            fewest = "; ".join(turned) or "nothing"
            said.append(
                f"Fewest flats that bring every station into limits ({self.fewest.flats_turned} in all): {fewest}."
            )
        said += self.best.hindrances
        if not self.best.proven:
            said.append("The search was cut short: a still better setting may exist.")
        if self.best.flats_turned:
            said.append(READ_AGAIN)
        return said

    def _words(self, adjuster: Adjuster, answer: Adjustment) -> str:
        said = adjuster.instruction(answer.flats[adjuster.name])
        how = self._how(adjuster, answer)
        return f"{capital(said)}. {how}" if how else f"{capital(said)}."

    def _how(self, adjuster: Adjuster, answer: Adjustment) -> str:
        flats = answer.flats[adjuster.name]
        ways = self.how.get(adjuster.name, ("", ""))
        return ways[0 if flats > 0 else 1] if flats else ""

    def pictures(self, system: str) -> list[Picture]:
        """What to turn under both aims; the stations as they stand, and as they are expected to stand."""
        answers = [self.best] if self.same else [self.best, self.fewest]
        aims = ["Best margin", "Fewest flats"][: len(answers)]
        rows = [
            TurnRow(
                capital(adjuster.name),
                [_turn(adjuster, answer.flats[adjuster.name]) for answer in answers],
                self._how(adjuster, self.best),
                "out" in adjuster.positive.split(),
            )
            for adjuster in self.adjusters
        ]
        pictures: list[Picture] = [Turns("What to turn", aims, rows)]
        if self.best.flats_turned:
            pictures.append(_stations("Expected after turning, best margin", self.best, system))
            if not self.same and self.fewest.flats_turned:
                pictures.append(_stations("Expected after turning, fewest flats", self.fewest, system))
        return pictures

    @property
    def steps(self) -> list[Worked]:
        """How each expected figure comes about: reading plus flats times the effect of one."""
        if not self.best.flats_turned:
            return []
        found = []
        for outcome in self.best.stations:
            if outcome.moved:
                found.append(self._step(outcome))
        return found

    def _step(self, outcome: StationOutcome) -> Worked:
        station = outcome.station
        after = outcome.after.measured.shown_in(station.limit.said_in)
        moved = [f"{capital(a.name)} {n:+d} flats" for a in self.adjusters if (n := self._flats(a, station))]
        unit = station.limit.said_in
        change = say((after - station.reading).value, unit, digits=2)
        line = (
            f"{say(station.reading, unit)}, changed by {change} ({', '.join(moved) or 'not moved'}): {say(after, unit)}"
        )
        cited = sources.ARITHMETIC.at("effects that add up, in proportion to the flats")
        return plain_step(f"Expected after turning: {in_sentence(station.name)}", [line], after, cited)

    def _flats(self, adjuster: Adjuster, station: Station) -> int:
        touched = station.name in adjuster.effects or any(part in adjuster.effects for part in station.parts)
        return self.best.flats[adjuster.name] if touched else 0


AS_GOOD = 0.1
"""Margins that differ by less than this, in half widths of the limits, count as equal to the builder: of a limit half a
degree wide either way, a twentieth of a degree, less than a protractor tells (our own choice)."""


def plan(stations: Sequence[Station], adjusters: Sequence[Adjuster], how: Mapping[str, tuple[str, str]]) -> Plan:
    """The plan for stations and adjusters, under both aims.

    What is told as the best margin is as good as the best to within `AS_GOOD`, and turns no more than that takes.
    """
    best = what_to_turn(stations, adjusters, BEST, AS_GOOD)
    return Plan(best, what_to_turn(stations, adjusters, FEWEST), adjusters, how)


def link_words(link: PitchLink) -> tuple[str, str]:
    """How a link is made longer, and how shorter, in words: which way round its body or its rod end is turned."""
    kind = kind_of(Length)
    assert kind is not None
    per_flat = say(link.length_per_flat, unit_for_display("in", kind), digits=3)
    if link.lower is None:
        step = {1: "whole turns", 2: "half turns"}.get(link.flats_per_turn, f"steps of 1/{link.flats_per_turn} turn")
        said = "Take the rod end off its bolt and screw it {} by {}; each step makes {}."
        return said.format("out", step, per_flat), said.format("in", step, per_flat)
    # a right-hand end leaves the body when the body turns clockwise as seen from that end
    clockwise = link.upper.left_hand != (link.out_per_turn[0] > 0)
    ways = ("clockwise", "counter-clockwise") if clockwise else ("counter-clockwise", "clockwise")
    longer, shorter = (
        f"Jam nuts loose, both rod ends held still: turn the body {way} as seen from the pitch horn along the link. "
        f"Each flat makes {per_flat}; confirm on the first flat that the link gets {result}."
        for way, result in zip(ways, ("longer", "shorter"), strict=True)
    )
    return longer, shorter


def _turn(adjuster: Adjuster, flats: int) -> Turn:
    if not flats:
        return Turn("as it is", 0)
    said = adjuster.instruction(flats).removeprefix(f"{adjuster.name}: ")
    return Turn(said, 1 if flats > 0 else -1)


def _stations(title: str, answer: Adjustment, system: str) -> Bars:
    drawn = bars(title, [Finding("", outcome.name, outcome.after) for outcome in answer.stations], system)
    return Bars(title, [forecast(row) for row in drawn.rows])
