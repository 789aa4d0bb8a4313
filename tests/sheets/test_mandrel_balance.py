"""The sheet of balance on a mandrel, by plain arithmetic apart from the library."""

import math
from collections.abc import Sequence
from typing import Any

import pytest

from rotorkit.balance import on_mandrel
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.quantities import QuantityError
from rotorkit.sheets.balance.mandrel_balance import STAYS, TURNS, MandrelBalance
from rotorkit.sheets.base import SheetError
from tests.sheets.small import small_aircraft

SIX = tuple(range(0, 360, 60))
FRICTION = 8.0


def starting(place: float, *heavy: tuple[float, float], friction: float = FRICTION) -> float:
    """g: what friction holds, less what each heavy side (g, degrees) helps along the place."""
    return friction - sum(size * math.cos(math.radians(place - at)) for size, at in heavy)


def limits(high: str, key: str = "unbalance") -> dict[str, Any]:
    return {"mandrel_balance": {key: {"high": high, "source": "test"}}}


def readings(
    heavy: tuple[float, float],
    known: tuple[float, float] = (4.0, 200.0),
    found: tuple[float, float] | None = None,
    places: Sequence[float] = SIX,
    plus: str = "± 0 g",
    **changed: Any,
) -> dict[str, Any]:
    """As typed for a part that is heavy so, tried with a known weight; found: what the stand sees of that."""
    rows = [
        {
            "place": f"{at} ± 0 deg",
            "weight": f"{starting(at, heavy):.9f} {plus}",
            "with_known": f"{starting(at, heavy, found or known):.9f} {plus}",
        }
        for at in places
    ]
    given = {"radius": "100 ± 0 mm", "known": f"{known[0]} ± 0.1 g", "known_place": f"{known[1]} ± 1 deg"}
    return {**given, "starts": rows, **changed}


def worked(given: dict[str, Any], high: str = "300 g*mm", **aircraft: Any) -> Any:
    return MandrelBalance.from_readings(given).work(small_aircraft(**{"limits": limits(high), **aircraft}))


def test_the_heavy_side_by_sums_over_even_places() -> None:
    """Over places evenly round: friction is the mean, the heavy side's parts -2/n times the sums with cosine and sine.

    Each weight is known to 0.06 g of its own: the size then to 0.06 sqrt(2/6) from the first round, and less with the
    second, which shares it: twelve readings for two parts beside friction and the known weight."""
    given = readings((2.5, 130.0), plus="± 0.06 g")
    outcome = worked(given)
    shown = [float(row["weight"].split()[0]) for row in given["starts"]]
    along = -sum(w * math.cos(math.radians(at)) for w, at in zip(shown, SIX, strict=True)) / 3
    across = -sum(w * math.sin(math.radians(at)) for w, at in zip(shown, SIX, strict=True)) / 3
    assert float(outcome.finding("unbalance").measured.si) == pytest.approx(math.hypot(along, across) * 1e-4)
    assert math.degrees(float(outcome.finding("heavy_at").measured.si)) == pytest.approx(130)
    assert float(outcome.finding("friction").measured.si) == pytest.approx(sum(shown) / 6 * 1e-4)
    # the second round has its own known weight to settle: it says nothing more of the heavy side itself
    spread = float(outcome.finding("heavy").measured.expanded_si)
    assert spread == pytest.approx(0.06e-3 * math.sqrt(2 / 6))
    assert float(outcome.finding("known").measured.si) == pytest.approx(4.0e-3)
    assert any("found the known weight again: 4 " in said or "again: 4.0" in said for said in outcome.remarks)


@pytest.mark.parametrize(
    ("heavy", "word"), [(2.9, IN_LIMITS), (2.99, TOO_CLOSE), (3.01, TOO_CLOSE), (3.1, OUT_OF_LIMITS)]
)
@pytest.mark.parametrize("side", [40.0, 220.0])
def test_the_limit_from_both_sides_and_either_side_heavy(heavy: float, word: str, side: float) -> None:
    outcome = worked(readings((heavy, side), plus="± 0.06 g"))
    assert outcome.word == word
    assert worked(readings((heavy, side)), limits={}).word == NO_LIMIT


def test_scatter_bears_by_student_s_factor() -> None:
    """One weight 0.6 g more: it leaves 12 - 5 = 7 degrees of freedom; t for 95.45 % is 2.43 (JCGM 100, table G.2)."""
    given = readings((2.5, 0.0))
    changed = float(given["starts"][0]["weight"].split()[0]) + 0.6
    given["starts"][0]["weight"] = f"{changed:.9f} ± 0 g"
    outcome = worked(given)
    # by hand for six even places: the first round fits friction, cosine and sine; it leaves 0.6^2 (1 - 3/6) less what
    # friction, shared with the second round, does not follow: 1/12 + 2/6 of the one reading is followed
    left = 0.6**2 * (1 - 1 / 12 - 2 / 6)
    scatter = math.sqrt(left / 7)
    spread = scatter * math.sqrt(2 / 6) * 2.43
    assert float(outcome.finding("heavy").measured.expanded_si) == pytest.approx(spread * 1e-3, rel=3e-3)


def test_washers_go_opposite_as_few_as_do() -> None:
    """Heavy at 60 by 3 g: three washers of 1 g at 240, none of them on the heavy side, and they leave nothing."""
    given = readings((3.0, 60.0), washer="1 ± 0 g")
    for row in given["starts"]:
        row["largest"] = "5 g"
    outcome = worked(given, high="200 g*mm")
    assert outcome.to_do.startswith("Add 3 washers at 240.0°: ")
    assert outcome.to_do.endswith(" should be left. Then measure again.")
    assert float(outcome.finding("promised").measured.si) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("most", "enough"), [("2 g", False), ("5 g", True)])
def test_washers_that_do_not_bring_it_in_limits_lead(most: str, enough: bool) -> None:
    """6 g heavy at 60: two washers of 1 g each at 180, 240 and 300 take 4 g of it. 2 g at 100 mm are 200 g mm, where
    190 may stay; of 5 g at each place six do. 190 g mm of 2 kg at 314.159 rad/s are 29.85 mm/s."""
    given = readings((6.0, 60.0), washer="1 ± 0 g", mass="2 ± 0 kg", speed="3000 ± 0 rpm")
    for row in given["starts"]:
        row["largest"] = most
    for limit in (limits("190 g*mm"), limits("29.85 mm/s", "grade")):
        outcome = worked(given, limits=limit)
        assert outcome.word == OUT_OF_LIMITS
        assert outcome.to_do.startswith("Add ")
        assert any("bring it in limits" in said for said in outcome.lead) != enough


def test_no_washer_is_told_where_none_follows() -> None:
    """3 g heavy; a washer of 8 g at the one place left would make it 5 g the other way."""
    given = readings((3.0, 60.0), washer="8 ± 0 g")
    given["starts"][4]["largest"] = "8 g"
    outcome = worked(given, high="200 g*mm")
    assert "Nothing to add" not in outcome.to_do
    assert any("No washer in these places" in said for said in outcome.remarks)
    assert any("bring it in limits" in said for said in outcome.lead)


def test_grade_and_yardsticks() -> None:
    """250 g mm, 2 kg, 3000 rpm: 250e-6 / 2 x 314.159 = 39.27 mm/s; G6.3 would leave 6.3 x 2 / 314.159 = 40.1 g mm."""
    given = readings((2.5, 0.0), mass="2 ± 0 kg", speed="3000 ± 0 rpm")
    metric = {"aircraft__display": "metric"}
    outcome = worked(given, limits=limits("39 mm/s", "grade"), **metric)
    assert float(outcome.finding("grade").measured.si) == pytest.approx(0.25e-3 / 2 * 100 * math.pi)
    assert outcome.word == OUT_OF_LIMITS
    assert worked(given, limits=limits("40 mm/s", "grade")).word == IN_LIMITS
    assert any("G6.3 40 g·mm" in said for said in outcome.remarks)
    bare = worked(readings((2.5, 0.0)), limits=limits("40 mm/s", "grade"))
    assert bare.word == UNDONE
    assert any("highest speed" in one for one in bare.missing)


def test_a_stand_that_does_not_find_the_known_weight_gives_no_verdict() -> None:
    for seen in ((4.0, 160.0), (2.0, 200.0), (4.0, 20.0)):
        outcome = worked(readings((0.5, 10.0), found=seen, plus="± 0.06 g"))
        assert outcome.word == UNDONE
        assert "does not find the known weight" in outcome.lead[0]
    # angles counted two ways are the same: seen in a mirror
    assert worked(readings((0.5, 10.0), found=(4.0, -200.0), plus="± 0.06 g")).word == UNDONE
    outcome = worked(readings((0.5, 10.0), found=(0.01, 0.0), plus="± 0.06 g"))
    assert "does not show the known weight" in outcome.lead[0]


def test_below_its_own_uncertainty_no_washer_follows() -> None:
    given = readings((0.02, 0.0), plus="± 0.06 g", washer="0.01 ± 0 g")
    for row in given["starts"]:
        row["largest"] = "5 g"
    outcome = worked(given)
    assert outcome.word == IN_LIMITS
    assert any("no washer follows" in said for said in outcome.remarks)
    assert all(one.key != "promised" for one in outcome.findings)


def test_the_heavy_side_that_turns_by_itself() -> None:
    """Friction 1 g, heavy 3 g at 120: of eight places those at 90 and 135 turn by themselves; the others tell it."""
    rows: list[dict[str, Any]] = []
    for at in range(0, 360, 45):
        alone, known = (starting(at, *heavy, friction=1.0) for heavy in ([(3.0, 120.0)], [(3.0, 120.0), (3.0, 290.0)]))
        rows.append({"place": f"{at} ± 0 deg", "weight": f"{alone:.6f} ± 0.01 g" if alone > 0 else ""})
        rows[-1]["by_itself"] = STAYS if alone > 0 else TURNS
        rows[-1]["with_known"] = f"{known:.6f} ± 0.01 g"
    by_itself = [row["place"] for row in rows if row["by_itself"] == TURNS]
    assert by_itself == ["90 ± 0 deg", "135 ± 0 deg", "180 ± 0 deg"]
    given = {"radius": "100 ± 0 mm", "known": "3 ± 0.05 g", "known_place": "290 ± 1 deg", "starts": rows}
    outcome = worked(given, high="400 g*mm")
    assert outcome.word == IN_LIMITS
    assert float(outcome.finding("heavy").measured.si) == pytest.approx(3e-3, rel=1e-4)
    # said of a place where friction would hold 3.9 g, it cannot be
    rows[7].update(weight="", by_itself=TURNS)
    outcome = worked(given, high="400 g*mm")
    assert outcome.word == UNDONE
    assert "said to turn down by itself" in outcome.lead[0]


def test_not_tried_with_a_known_weight_or_few_places_is_no_verdict() -> None:
    given = readings((2.5, 0.0))
    bare = [{"place": row["place"], "weight": row["weight"]} for row in given["starts"]]
    without = {"radius": "100 ± 0 mm", "starts": bare}
    outcome = worked(without)
    assert (outcome.word, len(outcome.missing)) == (UNDONE, 1)
    assert worked({**without, "starts": bare[:2]}).missing
    # physics: friction that drives
    low = [
        {"place": f"{at} ± 0 deg", "weight": f"{starting(at, (3.0, 180.0), friction=-0.2):.6f} ± 0.01 g"}
        for at in (-75, -45, 0, 45, 75)
    ]
    outcome = worked({**without, "starts": low}, high="900 g*mm")
    assert outcome.word != IN_LIMITS
    assert "friction drives the part" in outcome.lead[0]


@pytest.mark.parametrize(
    ("changed", "path", "said"),
    [
        ({"known": ""}, "known", "is needed"),
        ({"known_place": ""}, "known_place", "is needed"),
        ({"starts": [{"weight": "1 g"}]}, "starts.0.place", "is needed"),
        ({"starts": [{"place": "0 deg", "weight": "1 g", "by_itself": TURNS}]}, "starts.0.by_itself", "cannot be"),
        (
            {"starts": [{"place": "0 deg", "weight": "1 g"}, {"place": "360 deg", "weight": "1 g"}]},
            "starts.1.place",
            "",
        ),
        (
            {
                "starts": [{"place": f"{at} deg", "weight": "3 g"} for at in (0, 10, 20, 30)],
                "known": "",
                "known_place": "",
            },
            "starts",
            "too much on one side",
        ),
        ({"starts": []}, "starts", "needs a reading"),
        ({"known": "4 ± 0 g", "known_place": "200 ± 0 deg"}, "known", "needs its ±"),
        # 0 in place of what would hold it back: ten grams heavy, with 2 g of friction, would come out as six
        ({"starts": [{"place": "0 deg", "weight": "0 g", "by_itself": TURNS}]}, "starts.0.weight", "no reading at 0"),
        (
            {"starts": [{"place": "0 deg", "weight": "2 g", "with_known": "0 g"}]},
            "starts.0.with_known",
            "leave it empty",
        ),
        ({"starts": [{"place": "0 deg", "weight": "0 g; 2 g", "by_itself": TURNS}]}, "starts.0.by_itself", "cannot be"),
    ],
)
def test_faults_at_their_fields(changed: dict[str, Any], path: str, said: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked({**readings((2.5, 0.0)), **changed})
    assert said in dict(refusal.value.problems)[path]


def test_a_place_that_is_off_reads_as_a_weight() -> None:
    """Heavy 2 g at 90; the place at 0 known to 3 degrees: there the weight changes by 2 g a radian."""
    places = ["0 ± 3 deg", "90 deg", "180 deg", "270 deg"]
    found = on_mandrel(places, ["3 g", "1 g", "3 g", "5 g"])
    # along 0 the part is (w180 - w0) / 2: half of 2 g x 3 degrees
    assert float(found.heavy.along.expanded_si) == pytest.approx(2e-3 * math.radians(3) / 2, rel=1e-3)
    with pytest.raises(QuantityError, match="one for each place"):
        on_mandrel(places, ["3 g"])
