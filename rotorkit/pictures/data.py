"""The data of pictures: what is to be seen, without how it is drawn. Drawn by `rotorkit.pictures`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any


class _Plotted:
    """A picture that has a scale."""

    def plot(self, ax: Any = None) -> Any:
        """Draw it on matplotlib's Axes (`ax`, or new ones) and return them: `rotorkit.pictures.axes.plot`."""
        from importlib import import_module

        return import_module("rotorkit.pictures.axes").plot(self, ax)


@dataclass(frozen=True)
class BarRow:
    """One figure on its own scale: value, expanded uncertainty, the limit's sides (None open), unit, verdict word.
    shown: what to write in the word's place, where that is not the word, as of a forecast; digits: to how many digits a
    side is said (what it is drawn at is exact)."""

    label: str
    value: float
    spread: float
    low: float | None
    high: float | None
    unit: str
    word: str
    shown: str = ""
    digits: float = 6


@dataclass(frozen=True)
class Bars(_Plotted):
    """Figures against their limits, one under the other."""

    title: str
    rows: Sequence[BarRow]


@dataclass(frozen=True)
class AngleRow:
    """A blade section at an angle, in degrees, positive leading edge up in the picture; limit sides or None."""

    label: str
    angle: float
    spread: float
    low: float | None
    high: float | None
    word: str


@dataclass(frozen=True)
class Angles(_Plotted):
    """Blade sections at their angles, with the limit as a wedge. positive: which way is positive, in words."""

    title: str
    positive: str
    rows: Sequence[AngleRow]


@dataclass(frozen=True)
class Curve:
    """A line of a chart. label: empty for one more of those that the line before it names. style: "main", "second",
    "third", "fourth", "fifth", "sixth" or "bound"."""

    label: str
    x: Sequence[float]
    y: Sequence[float]
    style: str = "main"


@dataclass(frozen=True)
class Band:
    """The area between two lines of a chart, such as a limit that moves with temperature."""

    label: str
    x: Sequence[float]
    low: Sequence[float]
    high: Sequence[float]


@dataclass(frozen=True)
class Dots:
    """Points of one sort, such as those that were measured: marked alike, named once in the key. style: "main" (disks)
    or "second" (open squares)."""

    label: str
    x: Sequence[float]
    y: Sequence[float]
    style: str = "main"


@dataclass(frozen=True)
class Point:
    """A marked point of a chart with its expanded uncertainties."""

    label: str
    x: float
    y: float
    x_spread: float = 0.0
    y_spread: float = 0.0
    word: str = ""


@dataclass(frozen=True)
class Chart(_Plotted):
    """A chart of one thing over another. equal: whether both axes have one scale, as arrows need it."""

    title: str
    x_label: str
    y_label: str
    curves: Sequence[Curve] = field(default_factory=tuple)
    bands: Sequence[Band] = field(default_factory=tuple)
    points: Sequence[Point] = field(default_factory=tuple)
    dots: Sequence[Dots] = field(default_factory=tuple)
    equal: bool = False


@dataclass(frozen=True)
class Contour(_Plotted):
    """Lines of equal value over two things. values: a row for each y, a column for each x; not finite where there is
    none. unit: of the values. zero: what the heavy line at nothing is, in words; below: what the values beyond it are.
    asked: a value that is asked for, with its words; None where nothing is."""

    title: str
    x_label: str
    y_label: str
    x: Sequence[float]
    y: Sequence[float]
    values: Sequence[Sequence[float]]
    unit: str
    zero: str
    below: str
    asked: tuple[float, str] | None = None
    points: Sequence[Point] = field(default_factory=tuple)


@dataclass(frozen=True)
class Turn:
    """How far one thing is turned. amount: in words, such as "2 flats longer (1/3 turn)". way: 1 where its ends move
    apart, -1 where they draw together, 0 where it stays as it is."""

    amount: str
    way: int


@dataclass(frozen=True)
class TurnRow:
    """One thing to turn, under each aim. how: which way round, in words; empty where that is not known. stop: whether
    it is a stop bolt, which goes out or in, and no rod."""

    label: str
    turns: Sequence[Turn]
    how: str = ""
    stop: bool = False


@dataclass(frozen=True)
class Turns:
    """What to turn, one thing under the other. aims: what each column is best in."""

    title: str
    aims: Sequence[str]
    rows: Sequence[TurnRow]


@dataclass(frozen=True)
class Look:
    """One thing that was looked at, not measured: what was seen, and the verdict's word. shown: what to write in the
    word's place, where that is not the word; of: what it is a combination of, such as each control at its end."""

    label: str
    seen: str
    word: str
    shown: str = ""
    of: tuple[str, ...] = ()


@dataclass(frozen=True)
class Looks:
    """Things that were looked at, one under the other; where they are every combination of several things, as a
    table."""

    title: str
    rows: Sequence[Look]


@dataclass(frozen=True)
class Branch:
    """One thing that hangs on another. label: its name; said: what is said of it, such as its speed; under: what it
    hangs on, and by: how, in words, both empty of what hangs on nothing; depth: how many carry it, 0 of that; marked:
    whether it is told apart."""

    label: str
    said: str
    under: str = ""
    by: str = ""
    depth: int = 0
    marked: bool = False


@dataclass(frozen=True)
class Branches:
    """What hangs on what, each row under what carries it."""

    title: str
    rows: Sequence[Branch]


Picture = Bars | Angles | Chart | Contour | Turns | Looks | Branches


def with_a_scale(pictures: Sequence[Picture]) -> list[Chart | Contour | Bars | Angles]:
    """Those of the pictures that can be plotted on Axes; what to turn, what was looked at and what hangs on what
    have none."""
    return [picture for picture in pictures if not isinstance(picture, (Turns, Looks, Branches))]
