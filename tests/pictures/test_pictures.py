"""Pictures: what is to be seen is said in words too, marks differ in shape, nothing typed gets out of its place."""

import functools
import itertools
import math
import re
import sys
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import replace

import pytest

from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE, WORDS
from rotorkit.pictures import draw, paper
from rotorkit.pictures.bars import scale_of
from rotorkit.pictures.chart import point_words
from rotorkit.pictures.contour import BELOW, lines_at
from rotorkit.pictures.data import (
    AngleRow,
    Angles,
    Band,
    BarRow,
    Bars,
    Chart,
    Contour,
    Curve,
    Dots,
    Look,
    Looks,
    Picture,
    Point,
)
from rotorkit.pictures.figures import measuring, names
from rotorkit.record.dumps import picture_dump, picture_restored
from rotorkit.sheets.catalogue import sheet_names

SVG = "{http://www.w3.org/2000/svg}"
BARS = Bars(
    "Against the limits",
    [
        BarRow("Cable tension", 48.0, 1.0, 42.0, 52.0, "lbf", IN_LIMITS),
        BarRow("Far above", 1000.0, 5.0, 42.0, 52.0, "lbf", OUT_OF_LIMITS),
        BarRow("Far below", -1000.0, 5.0, 42.0, 52.0, "lbf", OUT_OF_LIMITS),
        BarRow("Known badly", 47.0, 300.0, 42.0, 52.0, "lbf", TOO_CLOSE),
        BarRow(
            "Spread, blade to blade, a label that is far too long for one line of it",
            0.2,
            0.1,
            None,
            0.3,
            "°",
            IN_LIMITS,
        ),
        BarRow("Power margin", 11.1, 7.3, 10.0, None, "hp", TOO_CLOSE),
        BarRow("No uncertainty", 55.0, 0.0, 42.0, 52.0, "lbf", OUT_OF_LIMITS),
        BarRow("On a point", 0.0, 0.0, 0.0, 0.0, "", IN_LIMITS),
        BarRow("No limit", 5.0, 1.0, None, None, "", NO_LIMIT),
    ],
)
ANGLES = Angles(
    "Angles at the stops",
    "leading edge up",
    [
        AngleRow("Blade white, low stop", 2.1, 0.2, 1.5, 2.5, IN_LIMITS),
        AngleRow("Blade A, low stop", -7.05, 0.28, -9.0, -7.0, TOO_CLOSE),
        AngleRow("Blade A, neutral", 0.0, 0.2, None, None, NO_LIMIT),
        AngleRow("Blade A, high stop", 95.0, 0.2, 21.0, 23.0, OUT_OF_LIMITS),
        AngleRow("One-sided", 3.0, 0.2, None, 2.0, OUT_OF_LIMITS),
    ],
)
CHART = Chart(
    "Tension over temperature",
    "temperature, °F",
    "tension, lbf",
    (Curve("wanted", [0, 50, 100], [30, 45, 60]), Curve("maximum", [0, 100], [70, 70], "bound")),
    (Band("limit", [0, 50, 100], [25, 40, 55], [35, 50, 65]),),
    (Point("today", 95.0, 40.0, 2.0, 2.0, OUT_OF_LIMITS),),
    (Dots("read in spring", [40.0, 50.0, math.nan], [33.0, 46.0, 40.0]), Dots("in autumn", [60.0], [41.0], "second")),
)
CONTOUR = Contour(
    "Margin over two things",
    "temperature, °F",
    "height, ft",
    [0.0, 50.0, 100.0],
    [0.0, 5000.0, 10000.0],
    [[40.0, 30.0, 20.0], [20.0, 10.0, 0.0], [0.0, -10.0, math.nan]],
    "hp",
    "nothing is left",
    "less than nothing",
    (10.0, "required, 10 hp"),
    (Point("here", 84.0, 700.0, word=IN_LIMITS),),
)
CORNERS = Looks(
    "Corners",
    [
        Look(", ".join(of), "lever touches the tank" if out else "free", OUT_OF_LIMITS if out else UNDONE, of=of)
        for of in itertools.product(
            ("collective low", "collective high"), ("stick forward", "stick aft"), ("pedals left", "pedals right")
        )
        for out in (of == ("collective high", "stick aft", "pedals left"),)
    ],
)
PICTURES: list[Picture] = [BARS, ANGLES, CHART, CONTOUR, CORNERS]
DRAWN: dict[str, Callable[[], str]] = {
    **{type(picture).__name__: lambda picture=picture: draw(picture) for picture in PICTURES},  # type: ignore[misc]
    **{name: functools.partial(measuring, name) for name in names()},
}


def test_lines_of_equal_value_run_where_they_should() -> None:
    """On values that fall evenly, 40 - x / 5 - y / 250, a line is straight: every point on it gives its value."""
    for level in (0.0, 10.0, 25.0):
        lines = lines_at(CONTOUR, level)
        assert lines
        for x, y in itertools.chain.from_iterable(lines):
            assert 40 - x / 5 - y / 250 == pytest.approx(level, abs=1e-9)


def test_a_contour_says_what_is_shaded_and_where_the_heavy_line_runs() -> None:
    drawn = draw(CONTOUR)
    assert "nothing is left: from" in drawn
    assert drawn.count("less than nothing") == 1
    assert "here: temperature 84 °F, height 700 ft: in limits" in drawn
    shaded = [float(w) for w in re.findall(rf'width="([\d.]+)" height="[\d.]+" fill="{BELOW}"', drawn)]
    assert len(shaded) == 2, "one row's part, and the key"
    nowhere = replace(CONTOUR, values=[[math.nan] * 3] * 3, points=())
    assert "Over temperature" in draw(nowhere)


def test_dots_are_each_drawn_once_named_once_and_told_in_words() -> None:
    drawn = draw(CHART)
    assert drawn.count("read in spring") == 3, "the key, and the description, which stands there twice"
    assert "read in spring: 2 points, from 33.00 at 40.00 to 46.00 at 50.00." in drawn
    without = draw(Chart(CHART.title, CHART.x_label, CHART.y_label, CHART.curves, CHART.bands, CHART.points))
    assert drawn.count("<circle") - without.count("<circle") == 3, "two dots and the key's"
    assert drawn.count("<rect") - without.count("<rect") == 2, "one square and the key's"


@pytest.mark.parametrize("picture", [CHART, CONTOUR], ids=["chart", "contour"])
def test_what_runs_to_the_right_is_said_within_the_picture(picture: Chart | Contour) -> None:
    parts = "1 engine, 2 jackshaft, 3 main rotor, 4 tail rotor, 5 main-rotor blades"
    drawn = draw(replace(picture, x_label=parts), 405)
    placed = re.findall(r'<text x="([\d.]+)" y="([\d.]+)" fill="[^"]*" text-anchor="middle"[^>]*>([^<]*)<', drawn)
    lines = [(float(x), float(y), words) for x, y, words in placed if words in parts and len(words) > 9]
    assert " ".join(words for _, _, words in lines) == parts
    assert len({y for _, y, _ in lines}) == len(lines) == 2
    for x, _, words in lines:
        half = paper.text_width(words, paper.SMALL) / 2
        assert 0 < x - half < x + half < 405


def test_combinations_stand_in_a_table_with_those_that_are_not_well_in_words() -> None:
    """Two rows of four marks, beneath stick and pedals; the description says all eight."""
    body = draw(CORNERS, 405).split("</desc>")[1]
    written = re.findall(r"<text[^>]*>([^<]*)</text>", body)
    assert written.count("stick forward") == written.count("stick aft") == 1
    assert written.count("collective high") == 1
    assert "out of limits: 1" in written
    assert "no verdict yet: 7" in written
    assert written.count("lever touches the tank") == 1
    assert "free" not in written
    crosses = [(float(x), float(y)) for x, y in re.findall(r'<rect x="([\d.]+)" y="([\d.]+)" width="16"', body)]
    rings = {(float(x), float(y)) for x, y in re.findall(r'cx="([\d.]+)" cy="([\d.]+)" r="7"', body)}
    assert len(rings) == 7
    across, down = sorted({x for x, _ in rings}), sorted({y for _, y in rings})
    assert [(x + 8, y + 8) for x, y in crosses] == [(pytest.approx(across[2], abs=0.2), down[1])], "aft and left"
    assert all(f"{row.label}: {row.seen}: {row.word}." in draw(CORNERS) for row in CORNERS.rows)
    assert draw(picture_restored(picture_dump(CORNERS))) == draw(CORNERS), "out of a record too"


def test_what_is_not_every_combination_stays_a_list() -> None:
    for rows in (
        CORNERS.rows[:-1],
        [replace(row, of=()) for row in CORNERS.rows],
        [*CORNERS.rows[1:], CORNERS.rows[0]],
    ):
        assert re.findall(r"<text[^>]*>free<", draw(Looks("Corners", rows), 405)), "each row says what was seen"


def luminance(colour: str) -> float:
    """Relative luminance of a colour (WCAG 2.2)."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours (WCAG 2.2)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_itself() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)  # the well-known lightest grey that passes


@pytest.mark.parametrize("name", DRAWN)
class TestEveryPicture:
    def test_stands_alone_and_says_what_is_seen(self, name: str) -> None:
        text = DRAWN[name]()
        svg = ET.fromstring(text)
        assert svg.get("role") == "img"
        assert len(svg.get("aria-label", "")) > 60
        assert svg.find(f"{SVG}title") is not None
        assert (svg.findtext(f"{SVG}desc") or "") in svg.get("aria-label", "")
        assert not re.search(r"<(script|style|image|use|foreignObject)|href|url\(|\sid=", text)
        assert "nan" not in text.lower().replace("finance", "")
        assert "inf" not in re.findall(r'="(inf|nan)"', text)

    def test_brings_its_own_ground(self, name: str) -> None:
        svg = ET.fromstring(DRAWN[name]())
        first = next(child for child in svg if child.tag not in (f"{SVG}title", f"{SVG}desc"))
        assert first.tag == f"{SVG}rect"
        assert first.get("fill") == paper.PAPER
        assert (first.get("width"), first.get("height")) == (svg.get("width"), svg.get("height"))

    def test_words_are_read_on_every_ground_they_stand_on(self, name: str) -> None:
        """4.5 to 1 for words. They stand on paper, a band, or a pale box; white ones on a dark disk."""
        for element in ET.fromstring(DRAWN[name]()).iter(f"{SVG}text"):
            fill = element.get("fill", "")
            grounds = [paper.BAND_EDGE] if fill == paper.PAPER else [paper.PAPER, paper.BAND, paper.SKY]
            assert all(contrast(fill, ground) >= 4.5 for ground in grounds), (fill, element.text)
            assert float(element.get("font-size", paper.NORMAL)) >= 12

    def test_words_stay_within_the_picture(self, name: str) -> None:
        svg = ET.fromstring(DRAWN[name]())
        width, height = float(svg.get("width", 0)), float(svg.get("height", 0))
        for element in svg.iter(f"{SVG}text"):
            size = float(element.get("font-size", paper.NORMAL))
            wide = 0.9 * paper.text_width(element.text or "", size, element.get("font-weight") == "600")
            anchor, x = element.get("text-anchor", "start"), float(element.get("x", 0))
            left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
            assert min(left, width - left - wide) >= -1, element.text
            assert 8 <= float(element.get("y", 0)) <= height, element.text


def test_marks_differ_in_shape_and_are_seen() -> None:
    shapes = {}
    for word in WORDS:
        drawn = ET.fromstring(f"<g>{paper.mark(0, 0, word)}</g>")
        shapes[word] = [child.tag for child in drawn] + [drawn[0].get("fill") == paper.PAPER]
        assert contrast(paper.COLOURS[word], paper.PAPER) >= 4.5
        assert contrast(paper.COLOURS[word], paper.BAND) >= 3
    assert len({str(shape) for shape in shapes.values()}) == len(WORDS)
    assert contrast(paper.BAND_EDGE, paper.PAPER) >= 3
    assert all(contrast(colour, paper.PAPER) >= 3 for colour, _, _ in paper.LINES.values())


def test_verdict_words_and_numbers_are_written() -> None:
    text = draw(BARS)
    for words in ("48.0 ± 1.0 lbf", "42 lbf", "52 lbf", "10 hp or more", "0.3° or less", "1,000.0 ± 5.0 lbf"):
        assert f">{words}<" in text
    for row in BARS.rows:
        assert f">{row.word}<" in text
    assert ">42 lbf to 52 lbf<" in text  # both sides together, where the band is narrow on the scale


@pytest.mark.parametrize("row", BARS.rows, ids=lambda row: row.label[:12])
def test_scale_shows_the_whole_limit_and_the_figure_or_an_arrow(row: BarRow) -> None:
    scale = scale_of(row, 0, 400)
    for side in (row.low, row.high):
        assert side is None or scale.holds(side)
    assert scale.holds(row.value) or abs(row.value) == 1000.0
    assert 0 <= scale.at(row.value) <= 400


def test_a_blade_stands_leading_edge_up_for_a_positive_angle() -> None:
    def leading_edge(angle: float) -> tuple[float, float]:
        polygon = next(iter(ET.fromstring(f"<g>{paper_section(angle)}</g>").iter("polygon")))
        points = [tuple(map(float, point.split(","))) for point in polygon.get("points", "").split()]
        return min(points)  # type: ignore[return-value]

    assert leading_edge(10)[1] < leading_edge(0)[1] < leading_edge(-10)[1]  # the screen's y runs downwards


def paper_section(angle: float) -> str:
    from rotorkit.pictures.angles import blade_section

    return blade_section((100, 100), 80, angle)


def test_hostile_words_stay_words() -> None:
    words = '<script>alert("x")</script> & "quotes" \'single\' ]]>'
    curve = Curve(words, [0, 1], [0, 1], words)
    pictures: list[Picture] = [
        Bars(words, [BarRow(words, 1, 1, 0, 2, words, words)]),
        Angles(words, words, [AngleRow(words, 1, 1, 0, 2, words)]),
        Chart(
            words, words, words, (curve,), (Band(words, [0, 1], [0, 0], [1, 1]),), (Point(words, 0, 0, 1, 1, words),)
        ),
    ]
    for picture in pictures:
        svg = ET.fromstring(draw(picture))
        assert "script" not in {element.tag.removeprefix(SVG) for element in svg.iter()}


def test_what_is_not_finite_is_said_and_breaks_nothing() -> None:
    nothing, endless = math.nan, math.inf
    rows = [BarRow("a", nothing, 0, 0, 1, "", NO_LIMIT), BarRow("b", 1, endless, 0, 1, "", TOO_CLOSE)]
    assert "no figure" in draw(Bars("x", rows))
    draw(Angles("x", "up", [AngleRow("a", nothing, 0, 0, 1, NO_LIMIT), AngleRow("b", 0, endless, 0, 1, NO_LIMIT)]))
    draw(Chart("x", "a", "b", (Curve("c", [0, nothing, 2], [0, 1, endless]),), (), (Point("p", nothing, 1),)))
    draw(Chart("x", "a", "b"))
    draw(Bars("x", []))


@pytest.mark.parametrize(
    ("low", "high"), [(0, 10_000), (1132.5, 1588.4), (-69, 120), (0.0931, 0.1102), (-1e-7, 3e-7), (1e8, 1.1e8)]
)
def test_ticks_are_round_even_and_within(low: float, high: float) -> None:
    ticks = paper.nice_ticks(low, high)
    assert 2 <= len(ticks) <= 7
    assert low - 1e-9 * abs(low) <= ticks[0]
    assert ticks[-1] <= high + 1e-9 * abs(high)
    steps = [b - a for a, b in itertools.pairwise(ticks)]
    assert max(steps) == pytest.approx(min(steps))
    assert f"{steps[0]:.3e}"[0] in "125"
    assert len(set(paper.tick_texts(ticks))) == len(ticks)


def test_every_sheet_has_its_drawn_figure() -> None:
    assert set(names()) == set(sheet_names())
    assert all(measuring(name).startswith("<svg") for name in sheet_names())
    assert measuring("something else") == ""


def test_drawing_takes_a_moment() -> None:
    """A guard against a slip of an order of magnitude, counted in calls, which no other work on the machine changes.
    The times stand in the benchmarks."""
    calls = 0

    def count(_frame: object, event: str, _argument: object) -> None:
        nonlocal calls
        calls += event in ("call", "c_call")

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        for picture in PICTURES:
            draw(picture)
    finally:
        sys.setprofile(before)
    assert calls / len(PICTURES) < 50_000


def test_a_point_named_by_where_it_stands_is_told_once() -> None:
    labels = "frequency, Hz", "velocity, in/s"
    assert point_words(Point("7.594 Hz", 7.594, 0.21), *labels) == "frequency 7.594 Hz, velocity 0.21 in/s"
    assert point_words(Point("rotor", 7.5, 0.2), *labels) == "rotor: frequency 7.5 Hz, velocity 0.2 in/s"


def test_which_way_is_up_reads_as_words() -> None:
    said = " ".join(re.findall(r">([^<]+)</text>", draw(ANGLES)))
    assert "Positive, and drawn upwards: leading edge up. Each section" in said
