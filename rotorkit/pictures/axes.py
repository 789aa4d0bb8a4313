"""The same pictures on matplotlib's Axes, for those who go on from there: their own notes, sizes and files.

Forms, pages and documents draw with `rotorkit.pictures.draw`, as SVG text. `plot` takes the same data.
"""

from __future__ import annotations

import base64
import io
import math
from collections.abc import Sequence
from functools import cache
from textwrap import fill
from typing import Any

from rotorkit.edges.visible import escaped
from rotorkit.pictures.data import Angles, Bars, Branches, Chart, Contour, Looks, Picture, Turns
from rotorkit.pictures.paper import BAND, COLOURS, INK, LINES, QUIET, figure_text

DASHES: dict[str, Any] = {
    "main": "-",
    "second": "--",
    "third": ":",
    "fourth": (0, (7, 2)),
    "fifth": (0, (4, 1.5, 1, 1.5, 1, 1.5)),
    "sixth": (0, (1.5, 3)),
    "bound": "-.",
}
LABEL = 36
"""Letters in a line of a label beside the axis: a longer one would leave no room for the picture."""
MARKERS = {"main": "o", "second": "s"}


def plot(picture: Picture, ax: Any = None) -> Any:
    """Draw a picture's data on matplotlib's Axes.

    Parameters
    ----------
    picture : Picture
        A chart, a map of lines of equal value, bars or angles: of an outcome (``outcome.pictures``), of an exploration.
    ax : matplotlib.axes.Axes, optional
        Where to draw; one on a figure of its own where none is given.

    Returns
    -------
    matplotlib.axes.Axes
        With title, labels with units, and a key; the words of verdicts are written beside their points.

    Raises
    ------
    TypeError
        A picture without a scale: what to turn, what was looked at. Those are words: see `rotorkit.pictures.draw`.

    Examples
    --------
    >>> from rotorkit.pictures.data import Chart, Curve
    >>> ax = plot(Chart("Slope", "x, m", "y, m", (Curve("line", [0.0, 1.0], [0.0, 2.0]),)))
    >>> ax.get_xlabel(), [line.get_label() for line in ax.get_lines()]
    ('x, m', ['line'])
    """
    if isinstance(picture, (Turns, Looks, Branches)):
        raise TypeError(
            f"{picture.title}: this kind of picture has no scale to plot on; draw it with rotorkit.pictures.draw"
        )
    if ax is None:
        ax = _figure_class()(figsize=(7, 4.5), layout="constrained").subplots()
    ax.set_title(picture.title)
    if isinstance(picture, Chart):
        _chart(picture, ax)
    elif isinstance(picture, Contour):
        _contour(picture, ax)
    elif isinstance(picture, Bars):
        _bars(picture, ax)
    else:
        _angles(picture, ax)
    return ax


def plot_row(pictures: Sequence[Picture]) -> list[Any]:
    """Draw pictures side by side on one figure of matplotlib's.

    Parameters
    ----------
    pictures : sequence of Picture
        One or more, each with a scale (see `plot`).

    Returns
    -------
    list of matplotlib.axes.Axes
        One for each picture, in their order; ``axes[0].figure`` is the figure of them all.

    Raises
    ------
    TypeError
        A picture without a scale.
    ValueError
        No picture at all.

    Examples
    --------
    >>> from rotorkit.pictures.data import Chart, Curve
    >>> slope = Chart("Slope", "x, m", "y, m", (Curve("line", [0.0, 1.0], [0.0, 2.0]),))
    >>> [ax.get_title() for ax in plot_row([slope, slope])]
    ['Slope', 'Slope']
    """
    if not pictures:
        raise ValueError("there is no picture to plot: give one or more")
    figure = _figure_class()(figsize=(5.2 * len(pictures), 4.2), layout="constrained")
    across = figure.subplots(1, len(pictures), squeeze=False)[0]
    for picture, ax in zip(pictures, across, strict=True):
        plot(picture, ax).set_title(fill(picture.title, LABEL))
    return list(across)


@cache
def _figure_class() -> Any:
    """A figure of matplotlib's that a notebook shows by itself, without pyplot and its list of open figures."""
    from matplotlib.figure import Figure

    class NotebookFigure(Figure):
        def _repr_html_(self) -> str:
            file = io.BytesIO()
            self.savefig(file, format="svg", metadata={"Date": None})
            said = "; ".join(" ".join(ax.get_title().split()) for ax in self.axes) or "chart"
            drawn = base64.b64encode(file.getvalue()).decode()
            return (
                f'<img alt="{escaped(said)}" style="max-width: 100%; background: white" '
                f'src="data:image/svg+xml;base64,{drawn}">'
            )

    return NotebookFigure


def _chart(chart: Chart, ax: Any) -> None:
    ax.set(xlabel=chart.x_label, ylabel=chart.y_label)
    for band in chart.bands:
        ax.fill_between(band.x, band.low, band.high, color=BAND, label=band.label, zorder=0)
    for curve in chart.curves:
        colour, thick, _ = LINES[curve.style]
        ax.plot(curve.x, curve.y, linestyle=DASHES[curve.style], color=colour, linewidth=thick, label=curve.label)
    for dots in chart.dots:
        colour = LINES[dots.style][0]
        face = colour if dots.style == "main" else "none"
        ax.plot(dots.x, dots.y, MARKERS[dots.style], color=colour, markerfacecolor=face, label=dots.label)
    if chart.equal:
        ax.set_aspect("equal", adjustable="datalim")
    _points(chart.points, ax)
    if ax.get_legend_handles_labels()[1]:
        ax.legend(fontsize="small")


def _points(points: Sequence[Any], ax: Any) -> None:
    for point in points:
        colour = COLOURS.get(point.word, QUIET)
        ax.errorbar(
            [point.x], [point.y], xerr=[point.x_spread], yerr=[point.y_spread], fmt="D", color=colour, capsize=3
        )
        words = point.label + (f": {point.word}" if point.word else "")
        # the words go where there is room, on a ground of their own
        left = point.x > sum(ax.get_xlim()) / 2
        ax.annotate(
            words, (point.x, point.y), xytext=(-8 if left else 8, 8), textcoords="offset points", fontsize="small",
            ha="right" if left else "left",
            bbox={"boxstyle": "round,pad=0.15", "fc": "white", "ec": "none", "alpha": 0.8},
        )  # fmt: skip


def _contour(contour: Contour, ax: Any) -> None:
    import numpy as np

    ax.set(xlabel=contour.x_label, ylabel=contour.y_label)
    values = np.ma.masked_invalid(np.asarray(contour.values, dtype=float))
    lines = ax.contour(contour.x, contour.y, values, colors=INK, linewidths=1)
    ax.clabel(lines, fontsize="small", fmt=lambda level: f"{level:g} {contour.unit}".strip())
    if values.min() <= 0 <= values.max():
        ax.contour(contour.x, contour.y, values, levels=[0.0], colors=COLOURS["out of limits"], linewidths=2.5)
        ax.plot([], [], color=COLOURS["out of limits"], linewidth=2.5, label=contour.zero)
    if contour.asked is not None:
        level, words = contour.asked
        ax.contour(contour.x, contour.y, values, levels=[level], colors=INK, linestyles="--", linewidths=2)
        ax.plot([], [], "--", color=INK, linewidth=2, label=words)
    _points(contour.points, ax)
    if ax.get_legend_handles_labels()[1]:
        ax.legend(fontsize="small")


def _bars(bars: Bars, ax: Any) -> None:
    """Each figure on a scale of its own limit: from the low side (0) to the high side (1)."""
    labels = []
    for place, row in enumerate(bars.rows):
        sides = [side for side in (row.low, row.high) if side is not None]
        scale = (sides[-1] - sides[0]) if len(sides) == 2 else (abs(sides[0]) if sides and sides[0] else 1.0)
        zero = sides[0] if len(sides) == 2 or row.low is not None else (sides[0] - scale if sides else 0.0)

        def along(value: float, zero: float = zero, scale: float = scale) -> float:
            return (value - zero) / scale if scale else 0.0

        for side in sides:
            ax.plot([along(side)] * 2, [place - 0.3, place + 0.3], color=INK, linewidth=2)
        ax.errorbar(
            [along(row.value)], [place], xerr=[row.spread / abs(scale) if scale else 0.0], fmt="D", capsize=3,
            color=COLOURS.get(row.word, QUIET),
        )  # fmt: skip
        labels.append(
            f"{fill(row.label, LABEL)}\n{figure_text(row.value, row.spread, row.unit)}: {row.shown or row.word}"
        )
    ax.set_yticks(range(len(labels)), labels, fontsize="small")
    ax.invert_yaxis()
    ax.set_xlabel("the limit's own scale: its sides are the lines")


def _angles(angles: Angles, ax: Any) -> None:
    labels = []
    for place, row in enumerate(angles.rows):
        for side in (row.low, row.high):
            if side is not None and math.isfinite(side):
                ax.plot([side, side], [place - 0.3, place + 0.3], color=INK, linewidth=2)
        ax.errorbar([row.angle], [place], xerr=[row.spread], fmt="D", capsize=3, color=COLOURS.get(row.word, QUIET))
        labels.append(f"{fill(row.label, LABEL)}\n{figure_text(row.angle, row.spread, '°')}: {row.word}")
    ax.set_yticks(range(len(labels)), labels, fontsize="small")
    ax.invert_yaxis()
    ax.set_xlabel(f"angle, °, {angles.positive}")
