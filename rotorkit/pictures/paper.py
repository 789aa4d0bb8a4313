"""The paper that pictures are drawn on: colours, marks, text and scales, written once.

A picture is a string of SVG that stands alone: no style sheet, no script, no identifier that could clash with that of
another picture on the same page. It brings its own white ground, so that it reads the same in a dark room's dark theme
and on a printed page. What is meant is written in words and told by shape; colour only repeats it.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Callable, Sequence
from typing import TypeVar

from rotorkit.edges.visible import escaped as escape
from rotorkit.edges.visible import visible
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.quantities import number_text, rounded_pair

PAPER = "#ffffff"
INK = "#1a1a1a"
QUIET = "#4d4d4d"
BAND = "#d3e4f3"
BAND_EDGE = "#1d4f7c"
METAL = "#e3e3e3"
SKY = "#eef4fa"
COLOURS = {
    IN_LIMITS: "#0b4f8a",
    OUT_OF_LIMITS: "#9c1c12",
    TOO_CLOSE: "#7a4b00",
    UNDONE: "#5a2a73",
    NO_LIMIT: "#4d4d4d",
}
"""A verdict's colour. They differ in lightness and hue also for those who do not tell red from green, and none is
needed to read the picture: the word is written and the mark has a shape of its own."""

LINES = {
    "main": (BAND_EDGE, 2.5, ""),
    "second": ("#7a4b00", 2.0, "7 4"),
    "third": ("#6a1b6e", 2.0, "2 3"),
    "fourth": ("#0a5c4c", 2.0, "14 4"),
    "fifth": ("#9c1c12", 2.0, "8 3 2 3 2 3"),
    "sixth": ("#4d4d4d", 3.0, "3 6"),
    "bound": (INK, 1.5, "10 3 2 3"),
}
"""A curve's colour, thickness and dashes by its style."""

Row = TypeVar("Row")
FONT = "system-ui, 'Segoe UI', 'DejaVu Sans', Arial, sans-serif"
NORMAL = 13.0
SMALL = 12.0


def _n(value: float) -> str:
    """A coordinate, to a tenth of a pixel."""
    if -1e5 < value < 1e5:
        return f"{value:.1f}".removesuffix(".0")
    if not math.isfinite(value):
        raise ValueError("a coordinate is not finite")
    return f"{round(value)}"


def picture(width: float, height: float, title: str, words: str, body: Sequence[str]) -> str:
    """The whole picture. title: what it is; words: what is to be seen in it, for those who do not see it."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label="{escape(f"{title}. {words}".strip())}" '
        f'viewBox="0 0 {_n(width)} {_n(height)}" width="{_n(width)}" height="{_n(height)}" '
        f'style="max-width:100%;height:auto;background:{PAPER}" font-family="{escape(FONT)}" font-size="{NORMAL:g}">'
        f"<title>{escape(title)}</title><desc>{escape(words)}</desc>"
        f'<rect width="{_n(width)}" height="{_n(height)}" fill="{PAPER}"/>' + "".join(body) + "</svg>"
    )


def text(
    x: float, y: float, words: str, size: float = NORMAL, colour: str = INK, anchor: str = "start", bold: bool = False
) -> str:
    """Words at a point of their base line. anchor: "start", "middle" or "end"."""
    more = "" if anchor == "start" else f' text-anchor="{anchor}"'
    more += "" if size == NORMAL else f' font-size="{size:g}"'
    more += ' font-weight="600"' if bold else ""
    return f'<text x="{_n(x)}" y="{_n(y)}" fill="{colour}"{more}>{escape(words)}</text>'


def line(x1: float, y1: float, x2: float, y2: float, colour: str = INK, thick: float = 1.5, dashes: str = "") -> str:
    """A straight line."""
    more = f' stroke-dasharray="{dashes}"' if dashes else ""
    places = f'x1="{_n(x1)}" y1="{_n(y1)}" x2="{_n(x2)}" y2="{_n(y2)}"'
    return f'<line {places} stroke="{colour}" stroke-width="{thick:g}"{more}/>'


def _stroke(colour: str, thick: float) -> str:
    return f'stroke="{colour}" stroke-width="{thick:g}" stroke-linejoin="round"'


def _run(points: Sequence[Sequence[float]]) -> str:
    """Coordinates one after the other, each as `_n` writes it."""
    if points and min(map(min, points)) > -1e5 and max(map(max, points)) < 1e5:
        said = " ".join([f"{x:.1f},{y:.1f}" for x, y in points]) + " "
        if "n" not in said:  # none that is not finite
            return said.replace(".0,", ",").replace(".0 ", " ")[:-1]
    return " ".join(f"{_n(x)},{_n(y)}" for x, y in points)


def path(points: Sequence[Sequence[float]], colour: str = INK, thick: float = 1.5, dashes: str = "") -> str:
    """A line through points."""
    more = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'<polyline points="{_run(points)}" fill="none" {_stroke(colour, thick)}{more}/>'


def curve(drawn: str, colour: str = INK, thick: float = 1.5, fill: str = "none", dashes: str = "") -> str:
    """A path written out in SVG's own commands, for drawn figures."""
    more = f' stroke-dasharray="{dashes}"' if dashes else ""
    return f'<path d="{escape(drawn)}" fill="{fill}" {_stroke(colour, thick)}{more}/>'


def polygon(points: Sequence[tuple[float, float]], fill: str, colour: str = "none", thick: float = 1.5) -> str:
    """A closed area."""
    return f'<polygon points="{_run(points)}" fill="{fill}" {_stroke(colour, thick)}/>'


def rectangle(
    x: float,
    y: float,
    width: float,
    height: float,
    fill: str,
    colour: str = "none",
    thick: float = 1.5,
    round_: float = 0,
) -> str:
    """An upright rectangle."""
    more = f' rx="{round_:g}"' if round_ else ""
    return (
        f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(max(width, 0))}" height="{_n(max(height, 0))}" fill="{fill}" '
        f'stroke="{colour}" stroke-width="{thick:g}"{more}/>'
    )


def circle(x: float, y: float, radius: float, fill: str = "none", colour: str = INK, thick: float = 1.5) -> str:
    """A circle."""
    return (
        f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" fill="{fill}" stroke="{colour}" stroke-width="{thick:g}"/>'
    )


def arrow(x1: float, y1: float, x2: float, y2: float, colour: str = INK, thick: float = 1.5, head: float = 7) -> str:
    """A straight arrow, its head at the second point."""
    angle = math.atan2(y2 - y1, x2 - x1)
    return line(
        x1, y1, x2 - 0.6 * head * math.cos(angle), y2 - 0.6 * head * math.sin(angle), colour, thick
    ) + arrow_head(x2, y2, angle, colour, head)


def arrow_head(x: float, y: float, angle: float, colour: str = INK, head: float = 7) -> str:
    """The head of an arrow that points along `angle` (radians, clockwise from the right as on the screen)."""
    corners = [(x, y)]
    for turn in (2.65, -2.65):
        corners.append((x + head * math.cos(angle + turn), y + head * math.sin(angle + turn)))
    return polygon(corners, colour)


def verdict(right: float, y: float, word: str, shown: str = "") -> tuple[float, str]:
    """A verdict's mark and word, ending at `right` on the base line y: how wide they are, and their elements. shown:
    what to write in place of the word."""
    wide = text_width(shown or word, NORMAL, bold=True)
    drawn = mark(right - wide - 12, y - 4, word) + text(
        right, y, shown or word, NORMAL, COLOURS.get(word, QUIET), "end", bold=True
    )
    return wide + 24, drawn


def mark(x: float, y: float, word: str, size: float = 6.0) -> str:
    """A verdict's mark: a full disk in limits, a cross in a square out of limits, a half-filled diamond where it is too
    close to call, a ring with a dot where there is no verdict yet, an open ring where no limit is given."""
    colour = COLOURS.get(word, QUIET)
    if word == IN_LIMITS:
        return circle(x, y, size, colour, PAPER, 1.5)
    if word == OUT_OF_LIMITS:
        arm = size * 0.55
        return (
            rectangle(x - size, y - size, 2 * size, 2 * size, colour, PAPER, 1.5)
            + line(x - arm, y - arm, x + arm, y + arm, PAPER, 2)
            + line(x - arm, y + arm, x + arm, y - arm, PAPER, 2)
        )
    if word == TOO_CLOSE:
        tip = size * 1.3
        return polygon([(x - tip, y), (x, y - tip), (x + tip, y), (x, y + tip)], PAPER, colour, 2) + polygon(
            [(x - tip, y), (x, y - tip), (x, y + tip)], colour
        )
    ring = circle(x, y, size - 1, PAPER, colour, 2)
    return ring + circle(x, y, size * 0.35, colour) if word == UNDONE else ring


_WITHOUT_NARROW = str.maketrans("", "", "iljt.,:;'|! ()[]/°")


@functools.lru_cache(maxsize=4096)
def text_width(words: str, size: float = NORMAL, bold: bool = False) -> float:
    """About how wide words are; on the wide side, so that what is set by it does not run over."""
    words = visible(words)
    narrow = len(words) - len(words.translate(_WITHOUT_NARROW))
    return size * (0.62 * (len(words) - narrow) + 0.34 * narrow) * (1.1 if bold else 1.0)


def wrapped(words: str, width: float, size: float = NORMAL) -> list[str]:
    """Words in lines no wider than `width`; a single word that is wider is cut."""
    return list(_lines(words, width, size))


@functools.lru_cache(maxsize=2048)
def _lines(words: str, width: float, size: float) -> tuple[str, ...]:
    """The same, kept: from one edit to the next most words stay."""
    lines: list[str] = []
    for word in visible(words).split():
        while text_width(word, size) > width and len(word) > 4:
            cut = max(4, int(len(word) * width / text_width(word, size)) - 1)
            lines.append(word[:cut])
            word = word[cut:]
        if lines and text_width(f"{lines[-1]} {word}", size) <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return tuple(lines) or ("",)


def heading(title: str, width: float) -> tuple[list[str], float]:
    """A picture's title at its top, in as many lines as it needs; and the height of the last of them."""
    body, y = list[str](), 8.0
    for part in wrapped(title, (width - 28) / 1.1, 14):
        y += 17
        body.append(text(14, y, part, 14, INK, bold=True))
    return body, y


def rows(
    of: Sequence[Row],
    draw: Callable[[Row, float, float], tuple[float, list[str]]],
    y: float,
    width: float,
    columns: int,
) -> tuple[float, list[str]]:
    """Rows from the height y downwards, in columns read from left to right: the height after them, and their elements.
    draw: of a row, a height and a width what height it takes, and its elements."""
    body, each = list[str](), width / columns
    for at in range(0, len(of), columns):
        drawn = [draw(row, y, each) for row in of[at : at + columns]]
        for number, (_, parts) in enumerate(drawn):
            body += moved(parts, number * each)
        y += max(taken for taken, _ in drawn)
    return y, body


def moved(parts: Sequence[str], right: float) -> list[str]:
    """Elements, so much further to the right."""
    return [f'<g transform="translate({_n(right)} 0)">', *parts, "</g>"] if right else list(parts)


def join_unit(number: str, unit: str) -> str:
    """A number with its unit as the trade writes it."""
    return number + ("" if not unit or unit == "°" else " ") + unit


def figure_text(value: float, spread: float, unit: str) -> str:
    """A figure with its uncertainty: ``11.1 ± 7.3 hp``."""
    if not spread:
        return join_unit(number_text(value), unit)
    number, around = rounded_pair(value, spread)
    return join_unit(f"{number} ± {around}", unit)


def side_text(side: float, unit: str, digits: float = 6) -> str:
    """A limit's side: exact, so without zeros; said to so many digits."""
    if side and digits < 6:
        number = f"{side:,.{max(0, int(digits) - 1 - math.floor(math.log10(abs(side))))}f}"
        return join_unit(number.rstrip("0").rstrip(".") if "." in number else number, unit)
    return join_unit(f"{side:,.6g}", unit)


def limit_text(low: float | None, high: float | None, unit: str, digits: float = 6) -> str:
    """A limit in words."""
    if low is not None and high is not None:
        return f"{side_text(low, unit, digits)} to {side_text(high, unit, digits)}"
    if high is not None:
        return f"at most {side_text(high, unit, digits)}"
    return f"at least {side_text(low, unit, digits)}" if low is not None else NO_LIMIT


def nice_ticks(low: float, high: float, most: int = 6) -> list[float]:
    """Round figures from `low` to `high`, no more than `most`: steps of 1, 2 or 5 times a power of ten."""
    if not (math.isfinite(low) and math.isfinite(high)) or high <= low:
        return [low] if math.isfinite(low) else []
    rough = (high - low) / max(most - 1, 1)
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(power * size for size in (1, 2, 5, 10) if power * size >= rough * (1 - 1e-9))
    first, last = math.ceil(low / step - 1e-9), math.floor(high / step + 1e-9)
    return [round(k * step, 12) + 0.0 for k in range(first, last + 1)]


def tick_texts(ticks: Sequence[float]) -> list[str]:
    """The ticks' numbers, all with the same decimals."""
    step = abs(ticks[1] - ticks[0]) if len(ticks) > 1 else abs(ticks[0]) if ticks else 1.0
    decimals = max(0, -math.floor(math.log10(step) + 1e-9)) if step > 0 else 0
    return [f"{tick:,.{min(decimals, 9)}f}" for tick in ticks]
