"""Pages of the proof: every point, every note, and measured figures kept apart from the model's."""

from html import unescape

import pytest

from rotorkit.notebook import comparison_page, found_page, held_out_page, looked_for_page
from rotorkit.notebook.proof import comparison_axes, comparison_charts
from rotorkit.rotor.blade_element.comparison import COMPARISONS, LOOKED_FOR, compare

FOUND = {name: compare(name) for name in COMPARISONS}


@pytest.mark.parametrize("name", COMPARISONS)
def test_a_page_tells_every_note_and_every_point(name: str) -> None:
    comparison = FOUND[name]
    text = unescape(comparison_page(comparison).html)
    assert all(note in text for note in comparison.notes)
    assert comparison.source.text in text
    assert comparison.section.source in text
    assert text.count('<th scope="row">') == len(comparison.points)


@pytest.mark.parametrize("name", COMPARISONS)
def test_the_pictures_stand_side_by_side_on_axes_and_show_themselves(name: str) -> None:
    charts = comparison_charts(FOUND[name])
    axes = comparison_axes(FOUND[name])
    assert [ax.get_title().replace("\n", " ") for ax in axes] == [chart.title for chart in charts]
    for ax, chart in zip(axes, charts, strict=True):
        drawn = {line.get_label(): list(line.get_ydata()) for line in ax.get_lines()}
        assert {dots.label: list(dots.y) for dots in chart.dots}.items() <= drawn.items()
        assert ax.figure is axes[0].figure
    shown = unescape(axes[0].figure._repr_html_())
    assert all(chart.title in shown for chart in charts)
    assert 'src="data:image/svg+xml;base64,' in shown


@pytest.mark.parametrize("name", COMPARISONS)
def test_the_pictures_hold_what_was_measured(name: str) -> None:
    comparison = FOUND[name]
    measured = {point.thrust for point in comparison.points if point.torque is not None or point.pitch_deg is not None}
    shown: set[float] = set()
    for chart in comparison_charts(comparison):
        for dots in chart.dots:
            if "measured" in dots.label:
                shown |= set(dots.y) | set(dots.x)
    sections = {p.thrust for p in comparison.points if p.case.startswith("section") and p.pitch_deg != 8}
    assert measured - sections <= shown


def test_the_summary_gives_the_errors_as_found_and_what_was_adjusted_to_what() -> None:
    adjusted = compare("NACA TN 2318", adjusted=True)
    text = unescape(found_page([*FOUND.values(), adjusted]).html).replace("\N{NO-BREAK SPACE}", " ")
    assert text.count("<td>nothing</td>") == 3 + 3 + 2 + 3
    assert text.count(f"<td>{adjusted.adjusted_to}</td>") == 2
    for comparison in (*FOUND.values(), adjusted):
        for counted in (False, True):
            for name in ("thrust_error", "whole_torque_error", "whole_at_thrust_error"):
                least, most = comparison.worst(name, counted=counted)
                if least == least:
                    assert f"{least:+.1f} % to {most:+.1f} %".replace("-", "−") in text
            least, most = comparison.worst("angle_error", counted=counted)
            if least == least:
                assert f"{least:+.2f}° to {most:+.2f}°".replace("-", "−") in text


def test_what_is_stated_stands_beside_what_falls_out() -> None:
    text = unescape(held_out_page().html).replace("\N{NO-BREAK SPACE}", " ")
    for said in ("30 %", "33 %", "25 %", "34 of 35", "39 of 41", "NASA TM-81232 tip Mach 0.794, 5°",
                 "NASA TM-81232 11 %, 0 of 10", "NACA TN 2318 15 %, 3 of 17"):  # fmt: skip
        assert said in text


def test_every_change_that_was_tried_is_told() -> None:
    text = unescape(looked_for_page().html)
    assert all(said in text for said in LOOKED_FOR)
