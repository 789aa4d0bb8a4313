"""Whatever is typed is answered, with a reading or with a `QuantityError`, and never evaluated.

`make test` looks at the same texts every time; `make fuzz` makes up new ones. What it finds becomes an `example` here.
How long an answer takes is measured in ``tests/benchmarks/test_reading.py``, where no test run depends on it.
"""

import builtins
import math
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from rotorkit.edges.visible import UNSEEN
from rotorkit.quantities import KINDS, QuantityError, Reading, kind_of, read, read_repeats
from rotorkit.quantities.reading import LARGEST, _read
from tests.searching import examples

ROOT = Path(__file__).resolve().parents[2]
kinds = st.sampled_from(sorted(KINDS))
bare_units = st.sampled_from([None, "", "%", "in", "lb", "deg", "°F", "rpm", "hp"])

# pieces that are right on their own: put together they make what a tired person types, and worse
PIECES = [
    *("1", "12", "0", "5/16", "1/2", "½", "6 1/2", "1,650", "12,5", "-3", "−3", "0.25", ".5", "1e5", "1e-9", "1e999"),
    *("ft", "in", "'", '"', "°", "′", "″", "deg", "lb", "lbf", "#", "oz", "kg", "N", "N·m", "ft-lb", "in-lb", "hp"),
    *("rpm", "Hz", "%", ":", "5.2:1", "°F", "°C", "K", "F", "psi", "inHg", "gal", "h", "min", "s", "slug", "mil", "J"),
    *(" ", "  ", "\t", "±", "+/-", "/", "*", "**", "^2", "^-3", "²", "⁻³", "(", ")", "·", "-", "–", "per", "sq", "cu"),
    *("nan", "inf", "e", "E", "+", ";", "1/", "²³"),
]
assembled = st.lists(st.sampled_from(PIECES), max_size=12).map("".join)
spaced = st.lists(st.sampled_from(PIECES), max_size=10).map(" ".join)
LOOK_ALIKE = (
    "аеорсухІіΙοОЅѕｆｔ１２３४๓¹₂ⅷ⁄∕÷−–—‐·•×°º˚′ʹ’‛″”“ "  # letters, digits and signs that look like others
    "\u00a0\u200b\u200e\u200f\u202d\u202e\u2066\u2069\ufeff\x00\x07\x1b\x7f\U000e0041"  # and what is not seen at all
)
strange = st.text(st.sampled_from(LOOK_ALIKE + "0123456789.ftlbin/-^ "), max_size=60)
nested = st.integers(1, 400).map(lambda n: "9" + "**9" * n) | st.integers(1, 200).map(lambda n: "(" * n + "1" + ")" * n)
digits = st.integers(1, 20_000).map(lambda n: "7" * n + " ft") | st.integers(1, 5000).map(lambda n: "1e" + "9" * n)
long_units = st.integers(1, 60).map(lambda n: "1 " + "ft·" * n + "ft") | st.integers(1, 40).map(
    lambda n: "1 ft" + "^4" * n
)
anything = st.one_of(
    st.text(max_size=200), assembled, spaced, strange, nested, digits, long_units, st.text(st.characters(), max_size=40)
)


def answered(text: str, kind: str, bare_unit: str | None) -> Reading | None:
    try:
        return read(text, KINDS[kind], bare_unit)
    except QuantityError as problem:
        message = str(problem)
    assert 0 < len(message) < 600
    assert not UNSEEN.search(message), "what cannot be seen stays out of the message"
    return None


@pytest.fixture(autouse=True, scope="module")
def _registry_made() -> None:
    read("1 ft", KINDS["Length"])


@given(anything, kinds, bare_units)
@examples(1500)
@example("1" * 1000 + " ft", "Length", None)
@example("9**9**9**9", "Ratio", None)
@example("1e9999999999", "Ratio", None)
@example("\u202e48 lb", "Force", None)
@example("__import__('os').getcwd()", "Ratio", "")
@example("5" + " 1/2" * 29 + " in", "Length", None)
@example("1/°F", "ThermalExpansion", None)
@example("0 ft ± 1e30 ft", "Length", None)
def test_any_text_is_answered(text: str, kind: str, bare_unit: str | None) -> None:
    answered(text, kind, bare_unit)


@given(st.one_of(assembled, spaced), kinds, bare_units)
@examples(1500)
@example("1'1", "Length", "in")
@example("0.60 ± 5 %", "Ratio", None)
@example("1/3 in", "Length", None)
@example("1e-9 lb ± 1/2 %", "Force", None)
@example("12 1/2 '-1/2 in", "Length", None)
def test_what_is_read_is_a_finite_quantity_of_the_kind(text: str, kind: str, bare_unit: str | None) -> None:
    reading = answered(text, kind, bare_unit)
    if reading is None:
        return
    wanted = kind_of(KINDS[kind])
    assert reading.kind is wanted
    assert abs(reading.si) <= LARGEST
    assert wanted is not None
    assert wanted.minimum is None or reading.si >= wanted.minimum
    assert math.copysign(1, reading.magnitude) == 1 or reading.magnitude < 0, "no minus zero"
    if reading.uncertainty is not None:
        assert reading.uncertainty.magnitude >= 0
    # what is echoed is what was understood: typed again, it is the same; so is what is kept of a bare number
    again = read(reading.understood, KINDS[kind])
    assert again.si == (pytest.approx(reading.si, rel=5e-10, abs=1e-30) if reading.compound else reading.si)
    kept = read(reading.complete, KINDS[kind])
    assert (kept.si, kept.uncertainty) == (reading.si, reading.uncertainty)


@given(anything)
@examples(300)
def test_repeats_of_anything_are_answered(text: str) -> None:
    try:
        found = read_repeats(text, KINDS["Angle"])
    except QuantityError:
        return
    assert len(found) == text.count(";") + 1


@pytest.mark.parametrize("name", ["eval", "exec", "compile", "open"])
def test_nothing_is_evaluated(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    for text in ["1-1 ft", "2*3 lb", "sum([1])", "(lambda: 1)() ft", f"{name}('1') ft", "1 if 1 else 2 ft", "0x10 lb"]:
        with monkeypatch.context() as patched:
            patched.setattr(builtins, name, lambda *_, **__: pytest.fail("was called"))
            _read.cache_clear()
            for kind in ("Length", "Force", "Ratio"):
                assert answered(text, kind, None) is None


def test_the_registry_is_one_whatever_threads_ask_first() -> None:
    code = (
        "import threading; from rotorkit.quantities.registry import registry; start = threading.Barrier(8); found = [];"
        "ask = lambda: (start.wait(), found.append(registry()));"
        "threads = [threading.Thread(target=ask) for _ in range(8)]; [t.start() for t in threads];"
        "[t.join() for t in threads]; print(len(set(map(id, found))))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "1"
