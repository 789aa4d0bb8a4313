"""The drive in twist, by matrices written out apart from the library: kinetic and elastic energy of hub and blades as
they are, generalized eigenvalues by SciPy."""

import math
from typing import Any

import numpy as np
import pytest
from scipy.linalg import eigh
from scipy.optimize import brentq

from rotorkit.aircraft import Aircraft
from rotorkit.drive import engine_torque_orders, torsional_modes, torsional_train
from rotorkit.judging.limits import IN_LIMITS, NO_LIMIT, OUT_OF_LIMITS, TOO_CLOSE, UNDONE
from rotorkit.quantities import QuantityError
from rotorkit.sheets.base import AN_ESTIMATE, Outcome, SheetError
from rotorkit.sheets.catalogue import sheet_type
from tests.reference_table import rows
from tests.sheets.small import small_aircraft

BLADES, MASS, CENTRE, OFFSET, INERTIA, SPRING = 3, 12.0, 1.4, 0.2, 32.0, 4000.0
LAG = {
    "offset": f"{OFFSET} m", "mass": f"{MASS} kg", "centre_of_gravity": f"{CENTRE} m", "inertia": f"{INERTIA} kg*m^2",
    "spring": f"{SPRING} N*m/rad", "damper": "50 N*m*s/rad", "greatest_speed": "520 rpm", "source": "test",
}  # fmt: skip
DISCS = {"engine": (0.15, 5.5), "jackshaft": (0.05, 3.0), "main rotor": (1.2, 1.0), "tail rotor": (0.12, 6.0)}
SPRINGS = {("engine", "jackshaft"): 9000.0, ("jackshaft", "main rotor"): 6000.0, ("jackshaft", "tail rotor"): 500.0}


def aircraft(limit: str = "10 %", **changes: Any) -> Aircraft:
    limits = {"torsional_modes": {"margin": {"low": limit, "source": "test"}}} if limit else {}
    return small_aircraft(main_rotor__lag={**LAG, **changes}, limits=limits)


def readings(slow: float = 440, fast: float = 480, spread: float = 0.01, **more: Any) -> dict[str, Any]:
    return {
        "slowest": f"{slow} ± 0 rpm", "fastest": f"{fast} ± 0 rpm",
        "discs": [{"disc": n, "inertia": f"{i} ± {i * spread} kg*m^2", "turns": str(r)} for n, (i, r) in DISCS.items()],
        "springs": [
            {"first": a, "second": b, "stiffness": f"{k} ± {k * spread} N*m/rad"} for (a, b), k in SPRINGS.items()
        ],
        **more,
    }  # fmt: skip


def turned(name: str, turns: str) -> list[dict[str, str]]:
    """The parts, one of them at another speed."""
    return [{**row, "turns": turns} if row["disc"] == name.casefold() else row for row in readings()["discs"]]


def worked(given: dict[str, Any], craft: Aircraft | None = None) -> Outcome:
    return sheet_type("torsional_modes").from_readings(given).work(craft or aircraft())


def by_hand(speed: float) -> Any:
    """rad/s, the turning as a whole left out: coordinates are each part's own twist at the rotor's speed, the hub's,
    and the lag of all blades alike from the hub."""
    names = list(DISCS)
    mass, spring = np.zeros((5, 5)), np.zeros((5, 5))
    for k, (inertia, ratio) in enumerate(DISCS.values()):
        mass[k, k] = inertia * ratio**2
    for (a, b), stiffness in SPRINGS.items():
        i, j, k = names.index(a), names.index(b), stiffness * DISCS[a][1] ** 2
        spring[i, i] += k
        spring[j, j] += k
        spring[i, j] -= k
        spring[j, i] -= k
    hub, moment = names.index("main rotor"), MASS * CENTRE
    # speed of a piece of blade at x beyond the hinge: e p' + x (p' + z')
    mass[hub, hub] += BLADES * (MASS * OFFSET**2 + 2 * OFFSET * moment + INERTIA)
    mass[hub, 4] = mass[4, hub] = BLADES * (OFFSET * moment + INERTIA)
    mass[4, 4] = BLADES * INERTIA
    spring[4, 4] = BLADES * (SPRING + moment * OFFSET * speed**2)
    return np.sqrt(np.maximum(eigh(spring, mass, eigvals_only=True), 0))[1:]


def meets(mode: int, order: float) -> float:
    """rotor rpm at which an order of the engine meets a mode."""
    return 30 / math.pi * float(brentq(lambda w: by_hand(w)[mode - 1] - order * 5.5 * w, 1e-3, 1e4, rtol=1e-12))


def test_modes_and_crossings_by_energies_written_out() -> None:
    outcome = worked(readings())
    middle = 460 * math.pi / 30
    for mode in range(1, 5):
        hertz = by_hand(middle)[mode - 1] / (2 * math.pi)
        assert float(outcome.finding(f"mode.{mode}").measured.si) == pytest.approx(hertz, rel=1e-9)
    told = [one.key for one in outcome.findings if one.key.startswith("speed.")]
    assert told
    for key in told:
        _, mode, order = key.split(".")
        rpm = meets(int(mode), float(order))
        assert float(outcome.finding(key).measured.si) * 30 / math.pi == pytest.approx(rpm, rel=1e-9)
        margin = rpm / 480 - 1 if rpm > 480 else 1 - rpm / 440
        assert float(outcome.finding(key.replace("speed", "margin")).measured.si) == pytest.approx(margin, rel=1e-9)
    # each crossing between half the slowest and twice the fastest speed is judged
    wanted = {f"speed.{m}.{n}" for m in range(1, 5) for n in (2, 4) if 220 <= meets(m, n) <= 960}
    assert wanted <= set(told)
    assert outcome.lead[0].startswith(AN_ESTIMATE)


def test_uncertainty_by_working_it_again() -> None:
    found = worked(readings()).finding("mode.1").measured
    total = 0.0
    for name, (inertia, ratio) in list(DISCS.items()):
        ends = []
        for sign in (1, -1):
            DISCS[name] = (inertia * (1 + sign * 0.005), ratio)
            ends.append(by_hand(460 * math.pi / 30)[0])
        DISCS[name] = (inertia, ratio)
        total += ((ends[0] - ends[1]) / 2) ** 2
    for pair, stiffness in list(SPRINGS.items()):
        ends = []
        for sign in (1, -1):
            SPRINGS[pair] = stiffness * (1 + sign * 0.005)
            ends.append(by_hand(460 * math.pi / 30)[0])
        SPRINGS[pair] = stiffness
        total += ((ends[0] - ends[1]) / 2) ** 2
    assert float(found.expanded_si) == pytest.approx(2 * math.sqrt(total) / (2 * math.pi), rel=1e-3)


def nearest() -> tuple[int, int, float]:
    """The crossing that lies next above 480 rpm."""
    met = [(meets(m, n), m, n) for m in range(1, 5) for n in (2, 4)]
    rpm, mode, order = min(one for one in met if one[0] > 480)
    return mode, order, rpm


@pytest.mark.parametrize(("share", "word"), [(0.85, IN_LIMITS), (0.95, OUT_OF_LIMITS), (1 / 1.1, TOO_CLOSE)])
def test_both_sides_of_the_limit_above(share: float, word: str) -> None:
    mode, order, rpm = nearest()
    outcome = worked(readings(slow=0.9 * share * rpm, fast=share * rpm))
    assert outcome.finding(f"margin.{mode}.{order}").verdict.word == word


@pytest.mark.parametrize(("share", "word"), [(1.3, IN_LIMITS), (1.06, OUT_OF_LIMITS)])
def test_both_sides_of_the_limit_below(share: float, word: str) -> None:
    mode, order, rpm = nearest()
    outcome = worked(readings(slow=share * rpm, fast=1.02 * share * rpm))
    assert outcome.finding(f"margin.{mode}.{order}").verdict.word == word
    assert any("run-up" in said for said in outcome.remarks)


def test_a_resonance_in_use_is_out_of_limits_without_any_limit_and_leads() -> None:
    mode, order, rpm = nearest()
    outcome = worked(readings(slow=0.93 * rpm, fast=1.07 * rpm), aircraft(limit=""))
    assert outcome.word == OUT_OF_LIMITS
    assert outcome.finding(f"margin.{mode}.{order}").measured.si == pytest.approx(-(1 - 1 / 1.07), rel=1e-6)
    assert f"(order {order}) shakes mode {mode}" in outcome.lead[0]
    assert "Do not run it there" in outcome.to_do
    clear = worked(readings(slow=0.6 * rpm, fast=0.601 * rpm), aircraft(limit=""))
    assert clear.word in (NO_LIMIT, OUT_OF_LIMITS)


def test_few_cylinders_are_judged_up_to_order_four_and_what_is_weaker_is_told() -> None:
    """Of two cylinders order 3 still swings by more than the mean torque (ideal cycle, as in `TestEngineOrders`): in
    use it is out of limits. Of four cylinders order 6 is told."""
    rpm = meets(4, 3)
    twin = worked(readings(slow=0.98 * rpm, fast=1.02 * rpm, cylinders="2"), aircraft(limit=""))
    assert twin.word == OUT_OF_LIMITS
    assert "(order 3) shakes mode 4" in twin.lead[0]
    size = engine_torque_orders("100 N*m", "2585 rpm", 2).of(3)
    assert float(size.magnitude) > 100
    rpm = meets(4, 6)
    four = worked(readings(slow=0.98 * rpm, fast=1.02 * rpm))
    assert any("order 6 of the engine meets mode 4" in said for said in four.remarks)
    assert not any("order 6" in said for said in worked(readings()).remarks)


def test_a_swing_above_the_mean_torque_is_said_in_plain_figures() -> None:
    *_, rpm = nearest()
    for share in (0.999, 0.9999):
        said = " ".join(worked(readings(slow=0.9 * rpm, fast=(2 * share - 0.9) * rpm)).remarks)
        assert "swings the torque most" in said
        assert "e+" not in said


def test_a_spring_by_torque_and_twist() -> None:
    given = readings()
    given["springs"][2] = {
        "first": "jackshaft", "second": "tail rotor", "torque": "20 ± 0 N*m", "twist": f"{20 / 500} ± 0 rad",
    }  # fmt: skip
    one, other = (worked(each).finding("mode.1").measured for each in (given, readings()))
    assert float(one.si) == pytest.approx(float(other.si), rel=1e-9)


@pytest.mark.parametrize(
    ("table", "change", "path"),
    [
        ("discs", {"inertia": "0.15 ± 0.15 kg*m^2"}, "discs.0.inertia"),
        ("discs", {"inertia": "0.0001 ± 0.01 kg*m^2"}, "discs.0.inertia"),
        ("springs", {"stiffness": "90 ± 9000 N*m/rad"}, "springs.0.stiffness"),
        ("springs", {"stiffness": "", "torque": "1 ± 2 N*m", "twist": "1 ± 0.1 deg"}, "springs.0.torque"),
    ],
)
def test_what_may_as_well_be_nothing_is_refused(table: str, change: dict[str, str], path: str) -> None:
    """A spring of 90 ± 9,000 N m/rad: every mode that hangs on it may lie anywhere, and it was in limits."""
    given = readings()
    given[table][0] |= change
    with pytest.raises(SheetError, match="must be known better") as caught:
        worked(given)
    assert [where for where, _ in caught.value.problems] == [path]


def test_two_strokes_fire_twice_as_often() -> None:
    keys = {one.key for one in worked(readings(strokes="two-stroke")).findings if one.key.startswith("swing.")}
    assert keys == {"swing.4", "swing.8"}


@pytest.mark.parametrize(
    ("change", "path"),
    [
        ({"springs": readings()["springs"][:2]}, "springs"),
        ({"springs": [{"first": "engine", "second": "fan", "stiffness": "5 N*m/rad"}]}, "springs.0.second"),
        ({"springs": [{"first": "engine", "second": "jackshaft", "torque": "5 N*m"}]}, "springs.0.twist"),
        ({"fastest": "430 rpm"}, "fastest"),
        ({"piston_mass": "1 kg"}, "stroke"),
        ({"discs": [*readings()["discs"], readings()["discs"][0]]}, "discs.4.disc"),
        ({"discs": []}, "discs"),
        ({"discs": [*readings()["discs"], {"turns": "3"}]}, "discs.4.disc"),
        ({"discs": turned("main rotor", "2")}, "discs.2.turns"),
        ({"discs": turned("Engine", "5.2")}, "discs.0.turns"),  # the aircraft file has 5.5 and 6
        ({"discs": turned("tail rotor", "5.9")}, "discs.3.turns"),
    ],
)
def test_faults_at_their_fields(change: dict[str, Any], path: str) -> None:
    with pytest.raises(SheetError) as refusal:
        worked({**readings(), **change})
    assert path in dict(refusal.value.problems), refusal.value.problems


def test_what_is_missing_is_no_verdict() -> None:
    given = readings()
    del given["discs"][3]["inertia"]
    outcome = worked(given)
    assert outcome.word == UNDONE
    assert "inertia and turns of the tail rotor" in outcome.missing


# --- the physics ---


def test_train_against_another_way_and_against_a_printed_one() -> None:
    """The geared system of Bevan, chapter 15, example 11 (quoted), and `torsional_modes` on any chain."""
    row = next(one for one in rows("drive_textbook.csv") if one["id"] == "TV4")
    kt = {name: 12e6 * math.pi * d**4 / 32 / length for name, d, length in (("a", 2.75, 66.5 - 27), ("b", 3.5, 25.5))}
    n = 0.6
    discs = {"A": 1500.0, "wheels": 54 + 850 * n**2, "D": 50000 * n**2}
    train = torsional_train(
        {name: f"{inertia} lb*in^2" for name, inertia in discs.items()},
        [("A", "wheels", f"{kt['a']} lbf*in/rad"), ("wheels", "D", f"{kt['b'] * n**2} lbf*in/rad")],
    )
    rpm = train.frequencies().magnitude * 30 / math.pi
    recomputed = [float(one) for one in row["recomputed"].split(";")[1:]]
    assert rpm == pytest.approx(recomputed, rel=5e-4)  # a length is inferred to three digits
    other = torsional_modes(
        {"A": "1500 lb*in^2", "pinion": "54 lb*in^2", "wheel": "850 lb*in^2", "D": "50000 lb*in^2"},
        [("A", "pinion", f"{kt['a']} lbf*in/rad"), ("wheel", "D", f"{kt['b']} lbf*in/rad")],
        [("pinion", "wheel", n)],
    )
    assert other.frequencies.magnitude[1:] == pytest.approx(train.frequencies().magnitude, rel=1e-9)


def test_a_train_that_does_not_hang_together_is_refused() -> None:
    with pytest.raises(QuantityError, match="no spring leads from a to c"):
        torsional_train(dict.fromkeys("abc", "1 kg*m^2"), [("a", "b", "10 N*m/rad")])


def test_shaken_between_its_resonances_by_closed_form() -> None:
    """Two discs, the first shaken: the spring bears T I2 k / (k (I1 + I2) - I1 I2 w^2)."""
    train = torsional_train({"a": "1 kg*m^2", "b": "3 kg*m^2"}, [("a", "b", "1000 N*m/rad")])
    for w in (5.0, 20.0, 60.0):
        bears = abs(50 * 3 * 1000 / (1000 * 4 - 3 * w**2))
        assert train.shaken("a", 50.0, w, 0.0)["a", "b"] == pytest.approx(bears, rel=1e-9)


class TestEngineOrders:
    RATE = 2700 * math.pi / 30

    def test_pistons_by_the_series_of_the_crank(self) -> None:
        """m r^2 w^2 times q/4, 1/2, 3q/4, q^2/4 for orders 1 to 4, q crank over rod (any text on engines; memory):
        the first terms, the next ones being of q^3."""
        q, m, r = 0.27, 1.6, 0.049
        found = engine_torque_orders("0 N*m", "2700 rpm", 1, piston_mass=f"{m} kg", stroke=f"{2 * r} m", rod_ratio=q)
        unit = m * (r * self.RATE) ** 2
        for order, share in (
            (1, q / 4 + q**3 / 16),
            (2, 0.5 + q**4 / 32),
            (3, 3 * q / 4 + 9 * q**3 / 32),
            (4, q * q / 4),
        ):
            assert float(found.of(order).magnitude) == pytest.approx(share * unit, rel=0.05 if order == 4 else 5e-3)
        assert float(found.of(0.5).magnitude) < 1e-6 * unit

    def test_gas_by_its_own_sum_and_by_many_cylinders(self) -> None:
        """Of z cylinders only order z/2 and its multiples are left, each z times one cylinder's."""
        one = engine_torque_orders("100 N*m", "2700 rpm", 1)
        four = engine_torque_orders("400 N*m", "2700 rpm", 4)
        for order, size in zip(four.orders, four.amplitudes.magnitude, strict=True):
            wanted = 4 * float(one.of(order).magnitude) if order % 2 == 0 else 0.0
            assert float(size) == pytest.approx(wanted, rel=1e-6, abs=1e-3)

    def test_gas_by_quadrature(self) -> None:
        """Order 2 of one cylinder by SciPy's quadrature over the expansion and the compression, exponent 1.3, mean
        pressure nine times the intake's."""
        from scipy.integrate import quad

        q, ratio, n = 0.27, 8.5, 1.3

        def slope(a: float) -> float:
            return math.sin(a) + q * math.sin(a) * math.cos(a) / math.sqrt(1 - (q * math.sin(a)) ** 2)

        def squeezed(a: float) -> float:
            gone = 1 - math.cos(a) + (1 - math.sqrt(1 - (q * math.sin(a)) ** 2)) / q
            clearance = 1 / (ratio - 1)
            return float(((clearance + 1) / (clearance + gone / 2)) ** n)

        whole = quad(lambda a: squeezed(a) * slope(a), 0, math.pi)[0]
        burnt = 1 + 9 * 2 / whole

        def torque(a: float) -> float:
            return (burnt * squeezed(a) - 1 if a < math.pi else squeezed(a) - 1) * slope(a)

        def over(weight: Any) -> float:
            pieces = ((0, math.pi), (3 * math.pi, 4 * math.pi))
            return sum(quad(lambda a: torque(a) * weight(a), *piece, limit=200)[0] for piece in pieces)

        mean = over(lambda a: 1.0) / (4 * math.pi)
        size = math.hypot(over(lambda a: math.cos(2 * a)), over(lambda a: math.sin(2 * a))) / (2 * math.pi)
        found = engine_torque_orders("100 N*m", "2700 rpm", 1).of(2)
        assert float(found.magnitude) == pytest.approx(100 * size / mean, rel=2e-3)

    def test_one_out_brings_half_an_order(self) -> None:
        whole, less = (engine_torque_orders("400 N*m", "2700 rpm", 4, one_out=out) for out in (False, True))
        assert float(whole.of(0.5).magnitude) == 0
        assert float(less.of(0.5).magnitude) > 50
        with pytest.raises(QuantityError, match="whole number"):
            engine_torque_orders("400 N*m", "2700 rpm", 2.5)


def test_the_aircraft_file_s_cylinders_and_links_are_not_contradicted() -> None:
    """What the file says of the engine and of a shaft is the one owner: another figure here is refused at its field."""
    craft = aircraft()
    six = craft.model_copy(update={"engine": craft.engine.model_copy(update={"cylinders": 6})})
    assert worked(readings(cylinders="6"), six).findings
    with pytest.raises(SheetError) as refusal:
        worked(readings(cylinders="4"), six)
    assert "must be 6, as the aircraft file's [engine] says; got 4" in dict(refusal.value.problems)["cylinders"]
    given = readings()
    names = [row["disc"] for row in given["discs"]]
    between = next(name for name in names if name not in ("engine", "main rotor", "tail rotor"))
    turns = float(next(row["turns"] for row in given["discs"] if row["disc"] == between))
    for share, fits in ((1.0, True), (1.2, False)):
        links = {
            "one": {"kind": "gears", "driver": "engine", "driven": between, "turns": f"{share * turns / 5.5}"},
            "two": {"kind": "gears", "driver": between, "driven": "main rotor", "turns": f"{1 / (share * turns)}"},
        }
        linked = small_aircraft(main_rotor__lag=LAG, links=links)
        if fits:
            assert worked(given, linked).findings
        else:
            with pytest.raises(SheetError) as refusal:
                worked(given, linked)
            assert any("links make it" in said for said in dict(refusal.value.problems).values())
