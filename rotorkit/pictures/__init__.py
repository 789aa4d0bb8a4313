"""Pictures: pure functions from the data of a picture to a string of SVG that stands alone.

`draw` takes any picture of an outcome; `measuring` gives the drawn figure of how a sheet's readings are taken.
"""

from __future__ import annotations

import pickle

from rotorkit.edges.recent import Recent
from rotorkit.pictures.angles import draw_angles
from rotorkit.pictures.bars import draw_bars
from rotorkit.pictures.branches import draw_branches
from rotorkit.pictures.chart import draw_chart
from rotorkit.pictures.contour import draw_contour
from rotorkit.pictures.data import Angles, Bars, Branches, Chart, Contour, Looks, Picture, Turns
from rotorkit.pictures.looks import draw_looks
from rotorkit.pictures.turns import draw_turns

__all__ = ["draw"]

WIDTH = 480
_DRAWN = Recent[str](64)
"""Pictures drawn last, by all their data: from one edit to the next some stay as they are."""


def draw(picture: Picture, width: float = WIDTH, low: float = 0.0) -> str:
    """A picture as SVG text. width: in pixels at which its words are read without magnifying. low: about so high it
    should be, where there is more room across than down: rows stand two and two, a chart's key beside its axes; 0 for
    as high as it is of itself."""
    return _DRAWN.get((pickle.dumps(picture), width, low), lambda: _draw(picture, width, low))


def _draw(picture: Picture, width: float, low: float) -> str:
    match picture:
        case Bars():
            return draw_bars(picture, width, 2 if low else 1)
        case Angles():
            return draw_angles(picture, width, 2 if low else 1)
        case Chart():
            return draw_chart(picture, width, low)
        case Turns():
            return draw_turns(picture, width)
        case Looks():
            return draw_looks(picture, width)
        case Branches():
            return draw_branches(picture, width)
        case Contour():
            return draw_contour(picture, width)
    raise TypeError(f"draw needs the data of a picture, got {type(picture).__name__}")
