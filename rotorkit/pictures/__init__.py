"""Pictures: pure functions from the data of a picture to a string of SVG that stands alone.

`draw` takes any picture of an outcome; `measuring` gives the drawn figure of how a sheet's readings are taken.
"""

from __future__ import annotations

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


def draw(picture: Picture, width: float = WIDTH) -> str:
    """A picture as SVG text. width: in pixels at which its words are read without magnifying."""
    match picture:
        case Bars():
            return draw_bars(picture, width)
        case Angles():
            return draw_angles(picture, width)
        case Chart():
            return draw_chart(picture, width)
        case Turns():
            return draw_turns(picture, width)
        case Looks():
            return draw_looks(picture, width)
        case Branches():
            return draw_branches(picture, width)
        case Contour():
            return draw_contour(picture, width)
    raise TypeError(f"draw needs the data of a picture, got {type(picture).__name__}")
