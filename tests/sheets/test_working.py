"""The shared base of a working, on a sheet of the test's own aircraft."""

from typing import Any

import pytest

from rotorkit.judging.limits import Limit
from rotorkit.judging.measured import measured
from rotorkit.quantities import Ratio
from rotorkit.sheets import Outcome, SheetError
from rotorkit.sheets.balance.rotor_track import RotorTrack
from rotorkit.sheets.working import Working

from .small import small_aircraft

SMALL = small_aircraft()


def track(**heights: str) -> RotorTrack:
    return RotorTrack.from_readings(
        {"marks": [{"blade": blade, "height": height} for blade, height in heights.items()]}
    )


def refused(**heights: str) -> dict[str, str]:
    with pytest.raises(SheetError) as caught:
        track(**heights).work(SMALL)
    return dict(caught.value.problems)


def spread_of(outcome: Outcome) -> Any:
    return outcome.finding("spread").measured


@pytest.mark.parametrize("typed", ["1.0 in; 26 mm", "26 mm; 1.0 in"])
def test_the_finest_step_is_the_smallest_length_whatever_its_unit(typed: str) -> None:
    """26 mm was read to 1 mm, 1.0 in to 0.1 in = 2.54 mm. The finer over the square root of 12 is the resolution where
    it is more than the scatter: three blades whose repeats agree to 0.6 mm (JCGM 100, F.2.2.1)."""
    outcome = track(red=typed, green=typed, blue="1.0 in; 26 mm").work(SMALL)
    scatter_of_one = 0.6 / 2**0.5  # of 25.4 and 26: three degrees of freedom, whose factor is 3.307 / 2 (JCGM 100, G.2)
    of_mean = max(3.307 / 2 * scatter_of_one / 2**0.5, 1 / 12**0.5)
    assert float(spread_of(outcome).standard_si) * 1e3 == pytest.approx(2**0.5 * of_mean, rel=1e-3)
    coarse = track(red="1 in; 25.4 mm", green="1 in; 25.4 mm", blue="1 in; 25.4 mm").work(SMALL)
    assert float(spread_of(coarse).standard_si) * 1e3 == pytest.approx(2**0.5 * 0.1 / 12**0.5, rel=1e-6)


def test_repeats_of_which_only_some_bear_an_uncertainty_are_refused() -> None:
    told = refused(red="1 in; 1.1 in ± 0.1 in", green="1 in")
    assert "has ± with some repeats and not with others" in told["marks.0.height"]


def test_all_that_is_wrong_comes_in_one_message() -> None:
    sheet = RotorTrack.from_readings(
        {"marks": [{"blade": b, "height": "1 in"} for b in ("red", "Red", "violet")] + [{"blade": "blue"}]}
    )
    with pytest.raises(SheetError) as caught:
        sheet.work(SMALL)
    told = dict(caught.value.problems)
    assert told["marks.1.blade"] == "already entered in row 1: put repeats in one row"
    assert told["marks.2.blade"] == "is not a blade of the main rotor; blades: red, green, blue; got 'violet'"
    assert "marks.3.blade" not in told


def test_fields_that_count_together_alone() -> None:
    """Of a row's two columns the empty one is noted at its place, with what is there where no reason is said."""
    sheet = track(red="1 in", green="1 in")
    to = Working(sheet, SMALL)
    bare = sheet.marks[0].model_copy(update={"blade": None})
    to.together(("blade", "height"), row=bare, at="marks.0.")
    to.together(("blade", "height"), "goes with its height", bare, "marks.1.")
    to.together(("blade", "height"), row=bare.model_copy(update={"height": None}))
    to.together(("blade", "height"), row=sheet.marks[1])
    assert to.problems == [("marks.0.blade", "is needed with Height"), ("marks.1.blade", "goes with its height")]


@pytest.mark.parametrize(("high", "bad"), [("0.9", True), ("1.1", True), ("1.5", False)])
def test_figures_that_are_out_of_limits_or_too_close_to_call(high: str, bad: bool) -> None:
    to = Working(track(red="1 in"), SMALL)
    to.judge("centre.red", "Centre", Limit("centre", Ratio, high=high), measured("1.0 ± 0.2", Ratio, "centre"))
    assert (to.bad(), to.bad("centre."), to.bad("spread", "centre"), to.bad("spread")) == (bad, bad, bad, False)
