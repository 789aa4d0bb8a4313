"""What the drawn figures have in common: turned groups, a protractor, labels with a leader, numbered steps."""

from __future__ import annotations

import math
from collections.abc import Sequence

from rotorkit.pictures import paper
from rotorkit.pictures.paper import BAND_EDGE, INK, METAL, PAPER, QUIET, SMALL

ACCENT = BAND_EDGE


def group(x: float, y: float, degrees: float, parts: Sequence[str], mirrored: bool = False) -> str:
    """Parts drawn about (0, 0), set at a place and turned clockwise; mirrored: left for right before that."""
    flip = " scale(-1,1)" if mirrored else ""
    return f'<g transform="translate({x:g},{y:g}) rotate({degrees:g}){flip}">' + "".join(parts) + "</g>"


def protractor(marked: str = "left", size: float = 1.0) -> list[str]:
    """A protractor that stands on (0, 0): its scale, and one end marked by a black tab ("left" or "right")."""
    wide, high = 46 * size, 24 * size
    parts = [
        paper.rectangle(-wide / 2, -high, wide, high, PAPER, INK, 1.5, 3),
        paper.rectangle(-wide / 4, -high + 5 * size, wide / 2, 9 * size, METAL, INK, 1),
        paper.line(-wide / 4 + 4, -high + 9.5 * size, wide / 4 - 4, -high + 9.5 * size, INK, 1, "3 2"),
    ]
    start = -wide / 2 if marked == "left" else wide / 2 - 7 * size
    parts.append(paper.rectangle(start, -high, 7 * size, high, INK, INK, 1))
    return parts


def section(chord: float) -> list[str]:
    """A blade section about its quarter chord, leading edge to the left, level; a dot marks the leading edge."""
    from rotorkit.pictures.angles import blade_section

    return [blade_section((0, 0), chord, 0.0), paper.circle(-chord * 0.25 + 5, 0, 2.4, INK, INK, 1)]


def label(
    words: str, x: float, y: float, to: tuple[float, float] | None = None, width: float = 150, anchor: str = "start"
) -> str:
    """Words in lines from a base line down, with a leader to what they name."""
    lines = paper.wrapped(words, width, SMALL)
    parts = [paper.text(x, y + 14.5 * i, one, SMALL, INK, anchor) for i, one in enumerate(lines)]
    if to is not None:
        longest = max(paper.text_width(one, SMALL) for one in lines)
        middle = y - 4 + 14.5 * (len(lines) - 1) / 2
        edges = {"start": (x, x + longest), "end": (x - longest, x), "middle": (x - longest / 2, x + longest / 2)}[
            anchor
        ]
        if to[0] > edges[1]:
            start = (edges[1] + 2, middle)
        elif to[0] < edges[0]:
            start = (edges[0] - 4, middle)
        else:
            start = (min(max(to[0], edges[0]), edges[1]), y - 14 if to[1] < y else y + 14.5 * (len(lines) - 1) + 5)
        parts.append(paper.line(*start, *to, QUIET, 1) + paper.circle(*to, 2, QUIET, QUIET, 1))
    return "".join(parts)


def number(x: float, y: float, figure: int) -> str:
    """A numbered step's disk."""
    return paper.circle(x, y, 10, ACCENT, ACCENT, 1) + paper.text(
        x, y + 4.5, str(figure), 13, PAPER, "middle", bold=True
    )


def paragraph(words: str, x: float, y: float, width: float, bold: bool = False) -> str:
    """Words in lines from a base line down."""
    return "".join(
        paper.text(x, y + 15 * i, one, SMALL, INK, bold=bold)
        for i, one in enumerate(paper.wrapped(words, width / (1.1 if bold else 1), SMALL))
    )


def turn_arrow(x: float, y: float, radius: float, start: float, end: float, colour: str = ACCENT) -> str:
    """An arc with a head at its end, about (x, y); angles in degrees, clockwise from the right as on the screen."""
    steps = max(4, int(abs(end - start) / 6))
    angles = [math.radians(start + (end - start) * i / steps) for i in range(steps + 1)]
    arc = [(x + radius * math.cos(a), y + radius * math.sin(a)) for a in angles]
    way = angles[-1] + math.copysign(math.pi / 2, end - start)
    return paper.path(arc, colour, 2) + paper.arrow_head(*arc[-1], way, colour, 9)


def craft_and_datum() -> list[str]:
    """The datum's line, and a helicopter from its left side behind it, where what is weighed is drawn into."""
    return [
        paper.line(54, 58, 54, 246, QUIET, 1.5, "6 3"),
        paper.text(54, 52, "datum", SMALL, INK, "middle"),
        paper.rectangle(104, 116, 112, 66, METAL, INK, 1.5, 18),
        paper.line(214, 142, 346, 134, INK, 5),
        paper.line(172, 116, 172, 86, INK, 4),
        paper.line(88, 86, 258, 86, INK, 2),
    ]
