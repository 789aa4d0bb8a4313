"""Parts of the aircraft file are put into another order, each with its comments, and nothing else is touched."""

import tomllib
from pathlib import Path

import pytest

from rotorkit.aircraft import AircraftFileError, demo_folder, load_aircraft, set_values
from rotorkit.aircraft.ordering import InOrder, reordered

THREE = """# mine

[cables.left]               # to the left pedal
title = "Left"
# its gauge is old

# ---- the other ones ----

# replaced in May
[cables.right]
title = "Right"

[cables.right.limits]
tension = { low = "30 lb", high = "40 lb", source = '''
[cables.of_the_manual]
''' }

[cables.trim]
title = "Trim" # new
[weights]
# none yet
maximum = "1,310 lb"
"""


def test_each_goes_with_its_own_comments_and_what_stands_between_stays() -> None:
    text = reordered(THREE, "cables", InOrder(["right", "trim", "left"]))
    assert (
        text
        == """# mine

# replaced in May
[cables.right]
title = "Right"

[cables.right.limits]
tension = { low = "30 lb", high = "40 lb", source = '''
[cables.of_the_manual]
''' }

# ---- the other ones ----

[cables.trim]
title = "Trim" # new

[cables.left]               # to the left pedal
title = "Left"
# its gauge is old

[weights]
# none yet
maximum = "1,310 lb"
"""
    )
    assert list(tomllib.loads(text)["cables"]) == ["right", "trim", "left"]
    back = reordered(text, "cables", InOrder(["left", "right", "trim"]))
    assert back == THREE.replace("[weights]", "\n[weights]"), "but for the empty line that parts a comment from it"
    assert reordered(THREE, "cables", InOrder(["left", "right", "trim"])) == THREE


def test_what_stood_apart_comes_together() -> None:
    text = "[a.one]\nx = 1\n\n[b]\ny = 2\n\n[a.two]\nx = 3\n\n[a.one.more]\nz = 4"
    assert reordered(text, "a", InOrder(["two", "one"])) == (
        "[a.two]\nx = 3\n\n[b]\ny = 2\n\n[a.one]\nx = 1\n\n[a.one.more]\nz = 4\n"
    )


@pytest.mark.parametrize(
    ("text", "place", "order", "after"),
    [
        (
            '[controls] \npedals = ["left",\n  "right"]  # by feet\n# the stick\ncyclic = ["fore", "aft"]\n\n[x]\n',
            "controls",
            ["cyclic", "pedals"],
            '[controls] \n# the stick\ncyclic = ["fore", "aft"]\npedals = ["left",\n  "right"]  # by feet\n\n[x]\n',
        ),
        (
            "[[m]]\na = 1\n# of the first\n\n[[m]]\na = 2\n",
            "m",
            ["1", "0"],
            "[[m]]\na = 2\n\n[[m]]\na = 1\n# of the first\n",
        ),
        ("[t]\none.a = 1\none.b = 2\ntwo.a = 3\n", "t", ["two", "one"], "[t]\ntwo.a = 3\none.a = 1\none.b = 2\n"),
        ("[c.b]\r\nx = 1\r\n\r\n[c.a]\r\nx = 2\r\n", "c", ["a", "b"], "[c.a]\r\nx = 2\r\n\r\n[c.b]\r\nx = 1\r\n"),
    ],
)
def test_in_whatever_way_they_are_written(text: str, place: str, order: list[str], after: str) -> None:
    assert reordered(text, place, InOrder(order)) == after


def written(folder: Path, text: str) -> Path:
    file = folder / "aircraft.toml"
    file.write_bytes(text.encode())
    return file


def test_the_file_is_written_with_it_or_left_as_it_was(tmp_path: Path) -> None:
    head = '[aircraft]\nname = "Mine"\n'
    cables = 'cables = { left = { title = "Left" }, right = { title = "Right" } }\n'
    file = written(tmp_path, cables + head)
    with pytest.raises(AircraftFileError, match="cannot be changed from here"):
        set_values(tmp_path, {"cables": InOrder(["right", "left"])})
    assert file.read_text() == cables + head
    # a key that would come to stand under another section's header
    text = head + '[controls]\npedals = ["left", "right"]\n[control_limits]\n'
    file = written(tmp_path, text)
    with pytest.raises(AircraftFileError):
        set_values(tmp_path, {"controls": InOrder(["pedals", "gone"])})
    assert file.read_text() == text


def test_what_does_not_come_to_stand_so_is_not_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    parts = "[[milestones]]\ntitle = '{}'\nneeds = []\n"
    file = written(tmp_path, '[aircraft]\nname = "Mine"\n' + "".join(map(parts.format, ("First", "Second"))))
    before = file.read_text()
    for wrong in (before, before.replace("Second", "First")):
        monkeypatch.setattr("rotorkit.aircraft.file.reordered", lambda *_, wrong=wrong: wrong)
        with pytest.raises(AircraftFileError, match="cannot be changed from here"):
            set_values(tmp_path, {"milestones": InOrder("10")})
        assert file.read_text() == before


def test_a_list_within_brackets_and_values_written_beside(tmp_path: Path) -> None:
    row = '{{ sheet = "{}", why = "{}" }}'
    milestones = ",\n".join(
        f'  {{ title = "{one}", needs = [{row.format("compression", one)}] }}' for one in ("First", "Second", "Third")
    )
    file = written(tmp_path, f'milestones = [\n{milestones} # last\n]\n[aircraft]\nname = "Mine"\n')
    aircraft = set_values(tmp_path, {"milestones": InOrder("201"), "aircraft.registration": "X-1"})
    assert [one.title for one in aircraft.milestones] == ["Third", "First", "Second"]
    held = tomllib.loads(file.read_text())
    assert held["milestones"][0]["needs"] == [{"sheet": "compression", "why": "Third"}]
    assert held["aircraft"] == {"name": "Mine", "registration": "X-1"}
    assert "Third" in next(line for line in file.read_text().split("\n") if "# last" in line)


@pytest.mark.parametrize(
    "place", ["cables", "links", "instruments", "main_rotor.rods", "loading.stations", "loading.envelopes", "controls"]
)
def test_turned_round_and_back_the_demo_s_file_is_as_it_was(place: str) -> None:
    text = (demo_folder() / "aircraft.toml").read_text(encoding="utf-8")
    there = tomllib.loads(text)
    for name in place.split("."):
        there = there[name]
    names = list(map(str, range(len(there)))) if isinstance(there, list) else list(there)
    turned = reordered(text, place, InOrder(reversed(names)))
    assert sorted(turned.split("\n")) == sorted(text.split("\n")), "no line is another"
    assert turned != text
    back = names[::-1] if isinstance(there, list) else names
    assert reordered(turned, place, InOrder(back)) == text
    if not isinstance(there, list):
        held = tomllib.loads(turned)
        assert held == tomllib.loads(text)
        for name in place.split("."):
            held = held[name]
        assert list(held) == names[::-1]


def test_no_order_of_the_demo_s_cables_is_no_aircraft(tmp_path: Path) -> None:
    written(tmp_path, (demo_folder() / "aircraft.toml").read_text(encoding="utf-8"))
    before = load_aircraft(tmp_path)
    after = set_values(tmp_path, {"cables": InOrder(["pedal_right", "pedal_left"])})
    assert after == before
    assert list(after.choices("cables")) == ["pedal_right", "pedal_left"]
