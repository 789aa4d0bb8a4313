"""The line of every place of a TOML text, however it is written."""

import tomllib
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rotorkit.aircraft import demo_folder
from rotorkit.aircraft.places import line_numbers

TEXT = '''\
top = 1
"a quoted.key" = 2
[one]   # comment = 3
x = { p = 1, q.r = [ "[two]", """a
b = 2""" ] }
y = [
    [1, "y = 2"], # [three]
    # z = 1
    [2, '] #'],
]
after = """
[four]
five = 5
\\""" still inside"""
end = \'\'\'a \'quoted\' thing\'\'\'
[ one . "sub table" ]
z = 2020-01-01 10:00:00
[[list]]
k = 1
[[list.inner]]
v = 1
[[list.inner]]
v = 2
[[list]]
k = 2
[list.table]
w = 1e3
'''


def test_every_place() -> None:
    tomllib.loads(TEXT)
    assert line_numbers(TEXT) == {
        ("top",): 1,
        ("a quoted.key",): 2,
        ("one",): 3,
        ("one", "x"): 4,
        ("one", "x", "p"): 4,
        ("one", "x", "q"): 4,
        ("one", "x", "q", "r"): 4,
        ("one", "x", "q", "r", "0"): 4,
        ("one", "x", "q", "r", "1"): 4,
        ("one", "y"): 6,
        ("one", "y", "0"): 7,
        ("one", "y", "0", "0"): 7,
        ("one", "y", "0", "1"): 7,
        ("one", "y", "1"): 9,
        ("one", "y", "1", "0"): 9,
        ("one", "y", "1", "1"): 9,
        ("one", "after"): 11,
        ("one", "end"): 15,
        ("one", "sub table"): 16,
        ("one", "sub table", "z"): 17,
        ("list",): 18,
        ("list", "0"): 18,
        ("list", "0", "k"): 19,
        ("list", "0", "inner"): 20,
        ("list", "0", "inner", "0"): 20,
        ("list", "0", "inner", "0", "v"): 21,
        ("list", "0", "inner", "1"): 22,
        ("list", "0", "inner", "1", "v"): 23,
        ("list", "1"): 24,
        ("list", "1", "k"): 25,
        ("list", "1", "table"): 26,
        ("list", "1", "table", "w"): 27,
    }


def test_line_ends_of_another_system_are_one_line_end() -> None:
    assert line_numbers(TEXT.replace("\n", "\r\n")) == line_numbers(TEXT)


def every_place(value: Any, place: tuple[str, ...] = ()) -> set[tuple[str, ...]]:
    parts = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return {p for name, part in parts for p in {(*place, str(name))} | every_place(part, (*place, str(name)))}


def test_every_place_of_the_demo_has_its_line() -> None:
    text = (demo_folder() / "aircraft.toml").read_text(encoding="utf-8")
    places = line_numbers(text)
    # these stand only at the head of longer names
    never_alone = {
        ("cables",),
        ("instruments",),
        ("limits",),
        ("push_pull_tubes",),
        ("belts",),
        ("shafts",),
        ("couplings",),
        ("bearings",),
        ("links",),
        ("recorders",),
        ("main_rotor", "rods"),
        ("control_limits", "travel"),
        ("loading", "stations"),
    }
    assert every_place(tomllib.loads(text)) - never_alone == places.keys()
    lines = text.splitlines()
    for place, line in places.items():
        assert place[-1] in lines[line - 1] or place[-1].isdigit(), place


VALUES = st.recursive(
    st.text(max_size=12) | st.integers(-(2**63), 2**63 - 1) | st.booleans() | st.dates(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=12,
)


@given(st.dictionaries(st.text(max_size=6), VALUES, max_size=4))
def test_finds_whatever_a_writer_of_toml_writes(data: dict[str, Any]) -> None:
    import tomlkit

    text = tomlkit.dumps(data)
    read = tomllib.loads(text)
    found = line_numbers(text)
    plain = {p for p in every_place(read) if all(part.isascii() and part.replace("_", "a").isalnum() for part in p)}
    missing = {p for p in plain - found.keys() if not any(len(f) > len(p) and f[: len(p)] == p for f in found)}
    assert not missing, text


@given(st.text(alphabet="ab.=[]{}\"'#\n ,\\1", max_size=60))
def test_ends_on_any_text(text: str) -> None:
    line_numbers(text)


@pytest.mark.parametrize("text", ["", "[", "[[", '"', "a", "a =", "a = [", "a = {", 'a = """', "= 1", "[]"])
def test_ends_on_what_ends_within_something(text: str) -> None:
    line_numbers(text)
