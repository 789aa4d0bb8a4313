"""A check that goes on from another of its sheet: the trial runs and what was learned are kept, and held against it."""

import cmath
import math
from typing import Any

import pytest

from rotorkit.folder.offers import Offer, figures_offered
from rotorkit.judging.limits import UNDONE
from rotorkit.notebook.typed import for_field
from rotorkit.record import recheck
from rotorkit.record.rework import TAKEN
from rotorkit.record.stands import standings
from rotorkit.sheets.balance.one_plane_balance import OnePlaneBalance
from rotorkit.sheets.balance.track_and_balance import TrackAndBalance
from rotorkit.sheets.balance.two_plane_balance import LATER, TwoPlaneBalance
from rotorkit.sheets.base import Sheet
from tests.record.bench import TODAY, Bench


def the_offer(bench: Bench, sheet: type[Sheet], but: str = "") -> Offer:
    every = {name: one for name, one in standings(bench.folder, bench.record).items() if name != but}
    (found,) = figures_offered(bench.folder, sheet, every)
    return found


def taken(sheet: type[Sheet], offer: Offer) -> dict[str, Any]:
    """What stands in a form after one click: what goes with it, the tables, the field itself."""
    made: dict[str, Any] = dict(offer.also)
    made |= {name: [dict(row) for row in rows] for name, rows in offer.tables}
    if offer.rows:
        made[offer.path] = [dict(row) for row in offer.rows]
    else:
        made[offer.path] = offer.text
    for one in sheet.fields():
        if one.entry is not None and one.name in made:
            assert one.entry.read(for_field(made[one.name], one.entry, "us")) is not None
    return made


def saved(bench: Bench, check: str, readings: dict[str, Any], sheet: type[Sheet]) -> Any:
    made = sheet.from_readings(readings)
    folder = bench.folder
    return bench.record.save(
        check, made, made.work(folder.aircraft), bench.record.aircraft_text(), who="A. Builder", title="The later one"
    )


def moved(bench: Bench, check: str) -> list[str]:
    again = next(one for one in recheck(bench.folder, bench.record, today=TODAY).reworks if one.entry.check == check)
    return [cause.sentence for cause in again.causes if cause.word == TAKEN]


def arrow(size: float, degrees: float) -> complex:
    return cmath.rect(size, math.radians(degrees))


def test_one_plane_goes_on_from_the_trial_run_of_another_check(bench: Bench) -> None:
    bench.read("balance_once_a_turn")
    assert the_offer(bench, OnePlaneBalance).entry is None  # not saved yet, and it can be worked
    bench.change('trial = "30.4 g"', 'trial = "30.4 in"', "readings.toml")
    assert not figures_offered(bench.folder, OnePlaneBalance, standings(bench.folder, bench.record))
    bench.change('trial = "30.4 in"', 'trial = "30.4 g"', "readings.toml")
    first = bench.save("balance_once_a_turn")
    offer = the_offer(bench, OnePlaneBalance)
    assert (offer.path, offer.figure, offer.entry) == ("trial", "30.4 g", first.number)
    assert dict(offer.also)["counted"] == "the other way round"
    assert dict(offer.also)["tried_phase"] == f"152; 154; 151 deg [entry {first.number}: tried_phase]"
    assert not {"later", "after", "washer", "holes"} & dict(offer.also).keys()

    half_read = {name: text for name, text in first.readings.items() if name != "tried_phase"}
    assert OnePlaneBalance.again(half_read) is None

    kept = {"washer": "2.8 g", "holes": first.readings["holes"]}
    made = {**taken(OnePlaneBalance, offer), **kept}
    # without a run of its own nothing is judged by the old one, and no weight is told
    outcome = OnePlaneBalance.from_readings(made).work(bench.folder.aircraft)
    assert outcome.word == UNDONE
    assert not {"weight", "angle", "promised"} & {one.key for one in outcome.findings}
    assert outcome.finding("vibration.found").verdict.limit.open
    assert "no weight is told" in outcome.first[0]

    made |= {"later": "0.30 in/s", "later_phase": "10 deg"}
    later = saved(bench, "autumn", made, OnePlaneBalance)
    # by hand: angles of weights run against the phase here, and the trial weight stood at 0
    effect = arrow((0.78 + 0.79 + 0.78) / 3, (152 + 154 + 151) / 3) - arrow(0.62, 119)
    wanted = (-arrow(0.30, 10) * 30.4 / effect).conjugate()
    assert float(later.outcome.finding("weight").measured.si) * 1000 == pytest.approx(abs(wanted), rel=1e-3)
    assert float(later.outcome.finding("angle").measured.si) == pytest.approx(cmath.phase(wanted), abs=0.002)
    assert moved(bench, "autumn") == []

    bench.save("balance_once_a_turn", {"tried_phase": "132; 134; 131 deg"}, replaces=first.number, why="misread")
    (cause,) = moved(bench, "autumn")
    assert "132; 134; 131 deg was read" in cause


def test_two_planes_go_on_from_the_trial_runs(bench: Bench) -> None:
    bench.read("fan_both_ends")
    first = bench.save("fan_both_ends")
    offer = the_offer(bench, TwoPlaneBalance)
    made = taken(TwoPlaneBalance, offer)
    # a place of which a run was not read teaches nothing, and is left behind
    lone = {"run": "as found", "place": "in the middle", "amplitude": "0.1 in/s", "phase": "3 deg"}
    again = TwoPlaneBalance.again({**first.readings, "runs": [*first.readings["runs"], lone]})
    assert again is not None
    assert "in the middle" not in {row["place"] for _, row in again.tables["runs"]}
    rows = made["runs"]
    assert len(rows) == 8  # three runs at two places, and two rows for the later run
    assert rows[2]["amplitude"] == f"0.38; 0.39; 0.40 in/s [entry {first.number}: runs.2.amplitude]"
    assert [row for row in rows if row["run"] == LATER] == [
        {"run": LATER, "place": place} for place in ("fan end", "pulley end")
    ]
    made |= {
        "washer": "1.4 g",
        "holes": [{k: v for k, v in row.items() if k != "put"} for row in first.readings["holes"]],
    }
    outcome = TwoPlaneBalance.from_readings(made).work(bench.folder.aircraft)
    assert outcome.word == UNDONE
    assert not any(one.key.startswith(("weight.", "promised.")) for one in outcome.findings)
    assert all(one.verdict.limit.open for one in outcome.findings)

    now = {"fan end": arrow(0.3, 40), "pulley end": arrow(0.2, -70)}
    for row in rows:
        if row["run"] == LATER:
            z = now[row["place"]]
            row |= {"amplitude": f"{abs(z)} in/s", "phase": f"{math.degrees(cmath.phase(z))} deg"}
    later = saved(bench, "fan_autumn", made, TwoPlaneBalance)

    def mean(i: int) -> complex:
        row = first.readings["runs"][i]
        bare = [row["amplitude"].removesuffix(" in/s"), row["phase"].removesuffix(" deg")]
        size, angle = (sum(map(float, text.split(";"))) / 3 for text in bare)
        return arrow(size, angle)

    start, in_a, in_b = ((mean(i), mean(i + 1)) for i in (0, 2, 4))
    # weights against the phase: a trial weight of 8.2 g at 0 and at -90
    columns = [[(b - a) / (8.2 * t) for a, b in zip(start, run, strict=True)]
               for run, t in ((in_a, 1), (in_b, arrow(1, -90)))]  # fmt: skip
    (a, c), (b, d) = columns
    x, y = now.values()
    weights = [(-x * d + y * b) / (a * d - b * c), (-a * y + c * x) / (a * d - b * c)]
    for plane, weight in zip("AB", weights, strict=True):
        figure = later.outcome.finding(f"weight.{plane}").measured
        assert float(figure.si) * 1000 == pytest.approx(abs(weight), rel=1e-3)
    assert moved(bench, "fan_autumn") == []


def test_track_and_balance_goes_on_from_the_runs(bench: Bench) -> None:
    """The old runs teach and are judged no more; bounds of the moves count from another run, and are asked for anew."""
    bench.read("two_speeds")
    first = bench.save("two_speeds")
    offer = the_offer(bench, TrackAndBalance)
    made = taken(TrackAndBalance, offer)
    last = max(int(row["run"]) for row in first.readings["runs"])
    assert made["earlier"] == str(last)
    own = [row for row in made["runs"] if row["run"] == str(last + 1)]
    assert len(own) == 4
    assert all(row.keys() == {"run", "condition", "place"} for row in own)
    assert all(row.keys() <= {"move", "blade"} for row in made["moves"])
    assert made["made"][0]["steps"].endswith(f"[entry {first.number}: made.0.steps]")

    def outcome() -> Any:
        return TrackAndBalance.from_readings(made).work(bench.folder.aircraft)

    assert outcome().word == UNDONE
    assert not outcome().findings
    assert f"Fly run {last + 1} as it is now" in outcome().first[0]
    made["moves"] = first.readings["moves"]
    # the next job reads what the old one read last: so the noise is the same, and what was learned too
    for table, column in (("runs", "place"), ("heights", "blade")):
        was = {(row["condition"], row[column]): row for row in first.readings[table] if row["run"] == str(last)}
        for row in made[table]:
            if row["run"] == str(last + 1):
                row |= {**was[row["condition"], row[column]], "run": str(last + 1)}
    later = saved(bench, "next_year", made, TrackAndBalance)
    keys = {one.key for one in later.outcome.findings}
    assert not any(key.startswith(("first.", "change.", "expected.")) for key in keys)
    learned = [key for key in keys if key.startswith("learned.")]
    assert learned
    for key in learned:
        before, now = (float(one.outcome.finding(key).measured.si) for one in (first, later))
        assert now == pytest.approx(before, rel=1e-9)
    assert moved(bench, "next_year") == []

    # a job of one run, or in which nothing was moved, has taught nothing
    assert TrackAndBalance.again({**first.readings, "made": []}) is None
    lone = [row for row in first.readings["runs"] if row["run"] == "1"]
    assert TrackAndBalance.again({**first.readings, "runs": lone}) is None

    # of three jobs nothing is learned across either break
    again = TrackAndBalance.again(later.readings)
    assert again is not None
    assert again.set["earlier"] == f"{last}; {last + 1}"
