"""What hangs on what: each drawn once, moved in under what carries it, and told in words."""

import re

import pytest

from rotorkit.pictures import draw
from rotorkit.pictures.data import Branch, Branches, Chart, with_a_scale

TREE = Branches(
    "The drive",
    [
        Branch("engine", "2,600 rpm", marked=True),
        Branch("lay shaft", "1,300 rpm", "engine", "gears, 20 on 40 teeth", 1),
        Branch("main rotor", "473 rpm", "lay shaft", "bevel gears, 12 on 33 teeth", 2, True),
        Branch("tail shaft", "2,836 rpm", "lay shaft", "belt, 2.182 turns for one", 2),
    ],
)


@pytest.mark.parametrize("width", [480, 260])
def test_each_stands_in_its_box_under_what_carries_it(width: int) -> None:
    drawn = draw(TREE, width)
    boxes = [tuple(map(float, one)) for one in re.findall(r'<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)"', drawn)]
    boxes = [one for one in boxes if one[0] >= 14][-4:]
    lefts, tops = [one[0] for one in boxes], [one[1] for one in boxes]
    assert lefts[0] < lefts[1] < lefts[2] == lefts[3]
    assert tops == sorted(tops)
    assert all(left + wide == pytest.approx(width - 14, abs=0.2) for left, _, wide in boxes)
    for row in TREE.rows:
        assert drawn.count(f">{row.label}<") == 1
        assert f">{row.said}<" in drawn
    assert "main rotor, on lay shaft by bevel gears, 12 on 33 teeth: 473 rpm." in drawn
    assert "engine: 2,600 rpm." in drawn


def test_it_has_no_scale() -> None:
    chart = Chart("a", "x", "y")
    assert with_a_scale([TREE, chart]) == [chart]
    plot = pytest.importorskip("rotorkit.pictures.axes").plot
    with pytest.raises(TypeError, match="no scale"):
        plot(TREE)


def test_one_alone_and_names_that_need_two_lines() -> None:
    long = Branch("a shaft with a name that somebody took great care to write out in full", "455.0 rpm")
    assert "in full" in draw(Branches("Alone", [long]), 260)
