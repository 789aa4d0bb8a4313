"""Pages of the proof: every point, every note, and measured figures kept apart from the model's."""

from html import unescape

import pytest

from rotorkit.notebook import comparison_page, found_page
from rotorkit.notebook.proof import comparison_charts
from rotorkit.rotor.blade_element.comparison import COMPARISONS, compare

FOUND = {name: compare(name) for name in COMPARISONS}


@pytest.mark.parametrize("name", COMPARISONS)
def test_a_page_tells_every_note_and_every_point(name: str) -> None:
    comparison = FOUND[name]
    text = unescape(comparison_page(comparison).html)
    assert all(note in text for note in comparison.notes)
    assert comparison.source.text in text
    assert comparison.section.source in text
    assert text.count('<th scope="row">') == len(comparison.points)
    assert 'role="img"' in text


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


def test_the_summary_gives_the_errors_as_found() -> None:
    text = found_page(list(FOUND.values())).html
    for comparison in FOUND.values():
        for name in ("thrust_error", "torque_error", "at_thrust_error"):
            least, most = comparison.worst(name)
            if least == least:
                said = f"{least:+.1f} % to {most:+.1f} %".replace("-", "−")
                assert said in text.replace("\N{NO-BREAK SPACE}", " ")
