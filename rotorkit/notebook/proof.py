"""The blade-element hover beside published measurements, to read: pictures, every error, and what is behind it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from rotorkit.notebook import words
from rotorkit.notebook.pages import Page
from rotorkit.pictures.axes import plot_row
from rotorkit.pictures.data import Chart, Curve, Dots
from rotorkit.rotor.blade_element.comparison import LOOKED_FOR, ComparedPoint, Comparison
from rotorkit.rotor.blade_element.held_out import HeldOut, held_out
from rotorkit.rotor.blade_element.trust import STATED
from rotorkit.sources import HOW_KNOWN

STYLES = ("main", "second")
ANGLE, THRUST, TORQUE = "blade angle at 0.75 of the radius, °", "thrust coefficient CT", "torque coefficient CQ"


def comparison_page(comparison: Comparison) -> Page:
    """One source against the model: what the model rests on, what was found, every point's errors."""
    source = comparison.source
    table = words.table(
        f"{source.key}: the model's errors, in per cent of what was measured",
        (
            "Case",
            "Blade angle",
            "CT measured",
            "Thrust",
            "Whole torque",
            "Total torque at that thrust",
            "Blade angle for that thrust",
        ),
        [_row(point) for point in comparison.points],
    )
    return Page(
        f"<p><b>{words.escape(source.text)}</b> (table: {words.escape(HOW_KNOWN[source.known])})</p>"
        f"<p><b>What the model rests on:</b> {words.escape(comparison.section.source)}; "
        f"{words.escape(comparison.assumed)}. <b>Adjusted to:</b> {words.escape(comparison.adjusted_to)}.</p>"
        f"<p><b>What was found</b></p>{words.listed(comparison.notes)}"
        f"<details><summary>Every point</summary>{table}</details>"
    )


def comparison_axes(comparison: Comparison) -> list[Any]:
    """The pictures of one source side by side on matplotlib's Axes; ``[0].figure`` is the figure of them all."""
    return plot_row(comparison_charts(comparison))


_ERRORS = ("thrust_error", "whole_torque_error", "whole_at_thrust_error", "angle_error")


def found_page(comparisons: Sequence[Comparison]) -> Page:
    """The least and greatest errors of every source in one table, as found, with what was adjusted to what."""
    rows = []
    for comparison in comparisons:
        for asked, counted, said in (
            (False, False, "every point"),
            (False, True, "every point that counts"),
            (True, False, "blade angles from 6° to 10°"),
        ):
            found = [comparison.worst(name, asked, counted) for name in _ERRORS]
            told = [_range(*one) for one in found[:-1]]
            angle = _degrees_range(*found[-1])
            if any((*told, angle)):
                key, to = comparison.source.key, comparison.adjusted_to
                rows.append((key, to, said, *(one or "not given" for one in (*told, angle))))
    heads = ("Source", "Adjusted to", "Of", "Thrust at the angle", "Torque at the angle", "Torque at the thrust",
             "Blade angle for the thrust")  # fmt: skip
    return Page(
        words.table("The model's errors: in per cent of what was measured, blade angles in degrees", heads, rows)
    )


def held_out_page() -> Page:
    """What the reports that the theory was not adjusted to say of it, beside what the sheets state."""
    rows = []
    for of, standard in STATED.items():
        found = held_out(of)
        outside = found.outside(standard)
        of_reports = ", ".join(f"{name} {100 * found.root_mean_square(name):.1f}" for name in found.points)
        left = ", ".join(_left_out(found, name) for name in found.points)
        told = "; ".join(f"{name} {point.case}" + _at(point) for name, point, _ in outside) or "none"
        rows.append(
            (
                of, of_reports, f"{200 * standard:.0f}\N{NO-BREAK SPACE}%",
                f"{found.count() - len(outside)} of {found.count()}", told, left,
            )
        )  # fmt: skip
    heads = ("The theory's", "Root mean square by report, %", "Stated (k = 2)", "Points within", "Points outside",
             "Left out: what the others would give, points within")  # fmt: skip
    return Page(words.table("How far the theory may be off, as a fraction of what it says", heads, rows))


def looked_for_page() -> Page:
    """What was changed in turn to look for the cause, and what it does to the mean difference of each report."""
    rows = []
    for said, taken in LOOKED_FOR.items():
        thrust, power = held_out("thrust at an angle", taken), held_out("power at a thrust", taken)
        rows.append((said, *(", ".join(f"{name} {_per_cent(100 * one.mean(name))}" for name in one.points)
                             for one in (thrust, power))))  # fmt: skip
    heads = ("Theory", "Measured over theory: thrust at an angle", "Measured over theory: power at a thrust")
    return Page(words.table("Possible causes of the differences: means of the points that count", heads, rows))


def _left_out(found: HeldOut, name: str) -> str:
    standard = found.standard(without=name)
    within = found.count(name) - len(found.outside(standard, name))
    return f"{name} {200 * standard:.0f}\N{NO-BREAK SPACE}%, {within} of {found.count(name)}"


def _at(point: ComparedPoint) -> str:
    return f", CT {point.thrust:.5f}" if point.pitch_deg is None else f", {point.pitch_deg:g}°"


def comparison_charts(comparison: Comparison) -> list[Chart]:
    """The pictures of one source: measured points, and the model's line through the same conditions."""
    return _CHARTS[comparison.source.key](comparison)


def _thrust_and_torque(comparison: Comparison) -> list[Chart]:
    """Thrust over blade angle, where the source gives angles, and torque over thrust; a line for each case."""
    charts = []
    if any(point.pitch_deg is not None for point in comparison.points):
        charts.append(_chart(comparison, "thrust over blade angle", ANGLE, THRUST, _thrust))
    if any(point.torque is not None for point in comparison.points):
        what = "torque, less that without thrust, over thrust" if _less_idle(comparison) else "torque over thrust"
        charts.append(_chart(comparison, what, THRUST, TORQUE, _torque))
    return charts


Places = tuple[float | None, float | None, float | None]
"""Where a point stands along the chart, what was measured there, and what the model gives."""


def _thrust(point: ComparedPoint) -> Places:
    return point.pitch_deg, point.thrust, point.thrust_model


def _torque(point: ComparedPoint) -> Places:
    return point.thrust, point.torque, point.torque_at_thrust


def _chart(
    comparison: Comparison, what: str, x_label: str, y_label: str, places: Callable[[ComparedPoint], Places]
) -> Chart:
    curves, dots = [], []
    for style, case in zip(STYLES, dict.fromkeys(point.case for point in comparison.points), strict=False):
        found = [places(point) for point in comparison.points if point.case == case]
        measured = [(x, y) for x, y, _ in found if x is not None and y is not None]
        model = sorted((x, y) for x, _, y in found if x is not None and y is not None)
        dots.append(Dots(f"{case}, measured", *_columns(measured), style))
        curves.append(Curve(f"{case}, model", *_columns(model), style))
    return Chart(f"{comparison.source.key}: {what}", x_label, y_label, curves, dots=dots)


def _less_idle(comparison: Comparison) -> bool:
    return any(point.idle for point in comparison.points)


def _model_rotor(comparison: Comparison) -> list[Chart]:
    """Thrust over blade angle at several tip Mach numbers, and the lift of the sections along the blade at 8°."""
    sections = [point for point in comparison.points if point.case.startswith("section lift at ")]
    whole = [point for point in comparison.points if point not in sections and point.pitch_deg is not None]
    angles = [point.pitch_deg or 0.0 for point in whole]
    at_eight = [point for point in sections if point.pitch_deg == 8]
    stations = [float(point.case.removeprefix("section lift at ").removesuffix(" R")) for point in at_eight]
    key = comparison.source.key
    return [
        Chart(
            f"{key}: thrust over blade angle",
            ANGLE,
            THRUST,
            dots=(
                Dots("measured, tip Mach 0.43 to 0.88", angles, [p.thrust for p in whole]),
                Dots("model, at the same tip Mach numbers", angles, [p.thrust_model or 0.0 for p in whole], "second"),
            ),
        ),
        Chart(
            f"{key}: lift along the blade at 8°",
            "fraction of the radius",
            "section lift coefficient",
            (Curve("model", stations, [point.thrust_model or 0.0 for point in at_eight], "second"),),
            dots=(Dots("measured", stations, [point.thrust for point in at_eight]),),
        ),
    ]


_CHARTS: dict[str, Callable[[Comparison], list[Chart]]] = {
    "NACA TN 626": _thrust_and_torque,
    "NACA TN 2474": _thrust_and_torque,
    "NACA TN 2318": _thrust_and_torque,
    "NASA TM-81232": _model_rotor,
}


def _columns(pairs: Sequence[tuple[float, float]]) -> tuple[list[float], list[float]]:
    return [x for x, _ in pairs], [y for _, y in pairs]


def _row(point: ComparedPoint) -> tuple[str, ...]:
    angle = "" if point.pitch_deg is None else f"{point.pitch_deg:.2f}°"
    errors = (point.thrust_error, point.whole_torque_error, point.whole_at_thrust_error)
    off = "" if point.angle_error is None else _degrees(point.angle_error)
    return (
        point.case + ("" if point.counted or point.loading is None else " (not counted: too little load)"),
        angle, f"{point.thrust:.5f}", *("" if one is None else _per_cent(one) for one in errors), off,
    )  # fmt: skip


def _per_cent(error: float) -> str:
    return f"{error:+.1f}\N{NO-BREAK SPACE}%".replace("-", "−")


def _degrees(error: float) -> str:
    return f"{error:+.2f}°".replace("-", "−")


def _range(least: float, most: float) -> str:
    return "" if least != least else f"{_per_cent(least)} to {_per_cent(most)}"


def _degrees_range(least: float, most: float) -> str:
    return "" if least != least else f"{_degrees(least)} to {_degrees(most)}"
