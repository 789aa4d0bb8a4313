"""Whirl, torsion, fan plots and frequency maps: limits, second methods, and mirrored cases."""

import numpy as np
import pytest

from rotorkit.drive import (
    Bearing,
    BladeSection,
    Disc,
    ShaftPiece,
    bearing_frequencies,
    bearing_lines,
    belt,
    dunkerley_frequency,
    gear_mesh_lines,
    gears,
    holzer_frequencies,
    least_separation,
    match_frequency,
    order_crossings,
    rotating_blade,
    shaft_line,
    shaft_lines,
    speed_margin,
    torsional_chain,
    torsional_modes,
    train,
    tube_critical_speeds,
    tube_whirl,
    uniform_shaft_frequency,
    vibration_frequency,
)
from rotorkit.drive.blade_modes import many_blades
from rotorkit.drive.torsion import TorsionalTrain
from rotorkit.quantities import Frequency, QuantityError, RotationRate, from_si, required_kind

RATE = required_kind(RotationRate)


@pytest.mark.parametrize("ends", ["pinned-pinned", "fixed-fixed", "fixed-pinned", "fixed-free"])
def test_uniform_shaft_against_closed_forms(ends: str) -> None:
    # Thin and without rotation: closed forms of Bernoulli and Euler. 1 m of 5 mm bar: rotary inertia counts 1e-4.
    held = {"fixed": True, "pinned": False}
    bearings = [
        Bearing(place, built_in=held[how])
        for place, how in zip(("0 m", "1 m"), ends.split("-"), strict=True)
        if how != "free"
    ]
    line = shaft_line([ShaftPiece("1 m", "5 mm")], bearings=bearings, theory="Euler-Bernoulli")
    found = line.frequencies("0 rpm", 6).magnitude[::2]
    area, second = np.pi / 4 * 0.005**2, np.pi / 64 * 0.005**4
    for mode in (1, 2, 3):
        closed = uniform_shaft_frequency("200 GPa", f"{second} m^4", f"{7850 * area} kg/m", "1 m", ends, mode)
        assert found[mode - 1] == pytest.approx(2 * np.pi * float(closed.magnitude), rel=5e-4)


def test_free_shaft_moves_as_a_whole() -> None:
    line = shaft_line([ShaftPiece("1 m", "50 mm")])
    found = line.frequencies("1000 rpm", 6).magnitude
    # At rest in three ways; the fourth is a free spinning rod's nutation: speed x polar / diametral inertia.
    nutation = 1000 * np.pi / 30 * (0.05**2 / 8) / (1 / 12 + 0.05**2 / 16)
    assert found[:4] == pytest.approx([0, 0, 0, nutation], abs=1e-3)
    assert found[4] > 100
    with pytest.raises(QuantityError, match="do not hold"):
        line.critical_speeds()


def transfer_matrix_determinant(omega: float, length: float, stations: int, ei: float, m: float, k: float) -> float:
    """Second method: lumped masses on massless fields (Myklestad and Prohl), free ends on springs; residual of moment
    and force at the far end."""
    h = length / stations
    field = np.array(
        [[1, h, h**2 / (2 * ei), h**3 / (6 * ei)], [0, 1, h / ei, h**2 / (2 * ei)], [0, 0, 1, h], [0, 0, 0, 1]]
    )
    state = np.array([[1, 0], [0, 1], [0, 0], [0, 0]], dtype=float)
    for i in range(stations + 1):
        mass = m * h * (0.5 if i in (0, stations) else 1)
        point = np.eye(4)
        point[3, 0] = mass * omega**2 - (k if i in (0, stations) else 0)
        state = point @ state
        if i < stations:
            state = field @ state
    return float(np.linalg.det(state[2:]))


def test_springy_bearings_against_a_transfer_matrix() -> None:
    ei, m, k = 200e9 * np.pi / 64 * 0.03**4, 7850 * np.pi / 4 * 0.03**2, 2e5
    line = shaft_line(
        [ShaftPiece("2 m", "30 mm")], bearings=[Bearing("0 m", "2e5 N/m"), Bearing("2 m", "2e5 N/m")],
        theory="Euler-Bernoulli",
    )  # fmt: skip
    from scipy.optimize import brentq

    for found in line.frequencies("0 rpm", 4).magnitude[::2]:
        root = brentq(transfer_matrix_determinant, found * 0.98, found * 1.02, args=(2.0, 160, ei, m, k))
        assert root == pytest.approx(found, rel=1e-3)


def test_gyroscopic_effect_splits_forward_and_backward() -> None:
    overhung = shaft_line(
        [ShaftPiece("0.6 m", "25 mm")],
        [Disc("0.6 m", "5 kg", "0.02 kg*m^2", "0.04 kg*m^2")],
        [Bearing("0 m", "1e7 N/m"), Bearing("0.3 m", "1e7 N/m")],
    )
    still, turning = overhung.modes("0 rpm", 2), overhung.modes("5000 rpm", 2)
    slow, fast = turning.frequencies.magnitude
    assert slow < still.frequencies.magnitude[0] < fast
    assert turning.directions == ("backward", "forward")
    # At a critical speed a frequency of that speed is the speed itself.
    for one in overhung.critical_speeds(2):
        assert np.abs(overhung.frequencies(one.speed, 4).magnitude / one.speed.magnitude - 1).min() < 1e-6
    # Turning the other way mirrors the whirl and leaves the frequencies.
    other = overhung.frequencies(from_si(-5000 * np.pi / 30, RATE), 2).magnitude
    assert other == pytest.approx([slow, fast])


def test_many_speeds_in_one_call_and_damping() -> None:
    line = shaft_line(
        [ShaftPiece("1 m", "30 mm")], [Disc("0.4 m", "4 kg", "0.01 kg*m^2", "0.02 kg*m^2")],
        [Bearing("0 m", "1e6 N/m", "2e6 N/m", damping="300 N*s/m"), Bearing("1 m", "1e6 N/m")], elements=8,
    )  # fmt: skip
    speeds = from_si(np.linspace(0, 600, 7), RATE)
    table = line.frequencies(speeds, 4).magnitude
    for k in range(7):
        assert table[k] == pytest.approx(line.frequencies(speeds[k], 4).magnitude)
    damped = line.eigenvalues("3000 rpm", 4)
    assert (damped.real < 0).all()
    free = line.frequencies("3000 rpm", 4).magnitude
    assert damped.imag == pytest.approx(free, rel=0.02)


def test_dunkerley_is_never_above_rayleigh_ritz() -> None:
    pieces = [ShaftPiece("3 m", "60 mm", density="1e-6 kg/m^3")]
    places = (("1 m", "150 kg"), ("2 m", "200 kg"), ("2.5 m", "100 kg"))
    bearings = [Bearing("0 m"), Bearing("3 m")]
    exact = shaft_line(pieces, [Disc(*one) for one in places], bearings, "Euler-Bernoulli").frequencies("0 rpm", 1)
    alone = [
        from_si(
            float(shaft_line(pieces, [Disc(*one)], bearings, "Euler-Bernoulli").frequencies("0 rpm", 1).magnitude[0])
            / (2 * np.pi),
            required_kind(Frequency),
        )
        for one in places
    ]
    bound = 2 * np.pi * float(dunkerley_frequency(alone).magnitude)
    assert 0.9 * exact.magnitude[0] < bound < exact.magnitude[0]
    assert vibration_frequency("1 N/m", "1 kg") > dunkerley_frequency(["0.1 Hz"])


@pytest.mark.parametrize(
    ("changed", "said"),
    [
        ({"bearings": [Bearing("2 m")]}, "bearing 1: its place"),
        ({"pieces": [ShaftPiece("1 m", "30 mm", "30 mm")]}, "inner_diameter must be less"),
        ({"theory": "beams"}, "theory must be"),
        ({"pieces": []}, "one piece"),
        ({"discs": [Disc("0.5 m", "3 ft")]}, "disc 1 mass"),
        ({"bearings": [Bearing("0 m", "1e6 N/m", built_in=True)]}, "only a rigid bearing"),
    ],
)
def test_bad_lines_are_refused(changed: dict, said: str) -> None:
    with pytest.raises(QuantityError, match=said):
        shaft_line(**{"pieces": [ShaftPiece("1 m", "30 mm")], **changed})


def test_torsion_by_matrices_and_by_holzer() -> None:
    inertias = [f"{x} kg*m^2" for x in (0.2, 0.03, 0.05, 4.0, 0.01)]
    shafts = [f"{x} N*m/rad" for x in (9e3, 2e4, 5e3, 700)]
    assert torsional_chain(inertias, shafts).frequencies.magnitude[1:] == pytest.approx(
        holzer_frequencies(inertias, shafts).magnitude, rel=1e-8
    )


def test_gears_against_a_train_reduced_by_hand() -> None:
    # Engine, pinion and wheel (0.25), rotor; and the same with the rotor's side reduced by 0.25^2.
    geared = torsional_modes(
        {"engine": "0.2 kg*m^2", "pinion": "0.002 kg*m^2", "wheel": "0.05 kg*m^2", "rotor": "300 kg*m^2"},
        [("engine", "pinion", "8000 N*m/rad"), ("wheel", "rotor", "60000 N*m/rad")],
        [("pinion", "wheel", 0.25)],
    )
    middle = 0.002 + 0.05 * 0.25**2
    by_hand = torsional_chain(
        ["0.2 kg*m^2", f"{middle} kg*m^2", f"{300 * 0.25**2} kg*m^2"], ["8000 N*m/rad", f"{60000 * 0.25**2} N*m/rad"]
    )
    assert geared.frequencies.magnitude == pytest.approx(by_hand.frequencies.magnitude, abs=1e-6)
    for mode in range(3):
        shape = geared.shape(mode)
        assert shape["wheel"] == pytest.approx(0.25 * shape["pinion"])
    with pytest.raises(QuantityError, match="joined already"):
        torsional_modes({"a": "1 kg*m^2", "b": "1 kg*m^2"}, [], [("a", "b", 2), ("b", "a", 2)])


def test_fan_plot_crossings_and_margins() -> None:
    blade = rotating_blade([BladeSection("3.4 m", "4.5 kg/m", "6000 N*m^2")], "0.15 m")
    speeds = from_si(np.linspace(50, 600, 111) * np.pi / 30, RATE)
    table = blade.frequencies(speeds, 2).magnitude
    curves = {f"flap {k + 1}": from_si(table[:, k], RATE) for k in range(2)}
    found = order_crossings(speeds, curves, [1, 2, 3, 4], "400 rpm", "480 rpm")
    for one in found:  # put back: the frequency there is the order times the speed
        true = blade.frequencies(one.speed, 2).magnitude[int(one.curve[-1]) - 1]
        assert true == pytest.approx(one.order * float(one.speed.magnitude), rel=1e-3)
        assert one.margin == pytest.approx(speed_margin(one.speed, "400 rpm", "480 rpm"))
    margins = [one.margin for one in found]
    assert margins == sorted(margins)
    assert speed_margin("480 rpm", "400 rpm", "480 rpm") == 0
    inside = least_separation(speeds, curves["flap 2"], 2, "400 rpm", "480 rpm")
    assert inside > 0
    flat = least_separation(speeds, f"{2 * 440 * np.pi / 30} rad/s", 2, "400 rpm", "480 rpm")
    assert flat < 0


@pytest.mark.parametrize(
    ("speeds", "curve", "met"),
    [
        ([10, 15, 20], [20, 20, 20], [10]),  # falls away from the order at the first speed
        ([5, 8, 10], [20, 20, 20], [10]),
        ([1, 5, 10], [1, 9, 20], [10]),  # comes up to it at the last
        ([10, 15, 20], [25, 30, 45], [15]),  # touches it from above
        ([10, 15, 20], [15, 30, 35], [15]),  # and from below
        ([10, 15, 20], [15, 30, 45], [15]),  # goes through it at one of the speeds
        ([10, 15, 20, 25], [20, 30, 40, 60], [10, 20]),  # lies on it from 10 to 20
        ([10, 15, 20], [21, 31, 41], []),
    ],
)
def test_an_order_that_is_only_touched_is_met(speeds: list[float], curve: list[float], met: list[float]) -> None:
    found = order_crossings(from_si(np.array(speeds, float), RATE), {"a": from_si(np.array(curve, float), RATE)}, [2])
    assert [float(one.speed.magnitude) for one in found] == pytest.approx(met)


def test_a_blade_hinged_on_the_axis_flaps_once_a_turn_at_every_speed() -> None:
    blade = rotating_blade([BladeSection("3.4 m", "4.5 kg/m", "6000 N*m^2")], "0 m", root="hinged")
    speeds = from_si(np.linspace(20, 60, 41), RATE)
    found = order_crossings(speeds, {"flap": from_si(blade.frequencies(speeds, 1).magnitude[:, 0], RATE)}, [1])
    assert [float(one.speed.magnitude) for one in found] == [20, 60]


def test_whose_line_it_is() -> None:
    drive = train(belt("engine", "rotor", "5 in", "25 in"), gears("rotor", "tail", 60, 10))
    lines = shaft_lines(drive, "engine", "2500 rpm", blades={"rotor": 2, "tail": 2}, firings={"engine": 2})
    lines += gear_mesh_lines(drive, "engine", "2500 rpm", {"rotor": 60})
    lines += bearing_lines("pinion", bearing_frequencies("1500 rpm", 9, "0.3125 in", "1.548 in"))
    assert [one.line.part for one in match_frequency("500 Hz", lines, "1 %")] == ["rotor"]
    assert {one.line.what for one in match_frequency("100 Hz", lines)} == {"twice a turn", "blade passage"}
    # half orders of a four-stroke engine bear their own names: 2,500 rpm is 41.67 Hz, half as much again 62.5 Hz
    [half] = match_frequency("62.5 Hz", shaft_lines(drive, "engine", "2500 rpm", (0.5, 1, 1.5)), "0.1 %")
    assert half.line.what == "1.5 times a turn"
    assert match_frequency("61 Hz", lines, "1 %") == []
    fault = bearing_frequencies("1500 rpm", 9, "0.3125 in", "1.548 in")
    # outer and inner race together: as many passages as elements, once a turn
    assert float((fault.outer_race + fault.inner_race).magnitude) == pytest.approx(9 * 25)


def test_quick_tube_is_the_shaft_line_s_forward_critical_speed() -> None:
    places = [0.05, 0.9, 2.1]
    quick, _, shape = tube_whirl(0.04, 0.002, 2.2, 70e9, 2700, 5e5, places)
    piece = ShaftPiece("2.2 m", "40 mm", "36 mm", "70 GPa", "2700 kg/m^3")
    line = shaft_line([piece], bearings=[Bearing(f"{place} m", "5e5 N/m") for place in places])
    forward = next(one.speed for one in line.critical_speeds() if one.direction == "forward")
    assert quick == pytest.approx(float(forward.magnitude), rel=1e-5)
    assert np.abs(shape).max() == 1
    # couplings on it: discs without inertias of their own
    quick, _, _ = tube_whirl(0.04, 0.002, 2.2, 70e9, 2700, 5e5, places, masses=[(0.5, 1.5), (0.3, 2.1)])
    discs = [Disc("1.5 m", "0.5 kg"), Disc("2.1 m", "0.3 kg")]
    line = shaft_line([piece], discs, [Bearing(f"{place} m", "5e5 N/m") for place in places])
    forward = next(one.speed for one in line.critical_speeds() if one.direction == "forward")
    assert quick == pytest.approx(float(forward.magnitude), rel=1e-5)


def test_many_tubes_at_once_are_each_by_itself() -> None:
    """Also where a hanger stands on a node of the even pieces in one and beside it in the next."""
    row = [0.04, 0.002, 2.4, 70e9, 2700, 5e5, 0.05, 1.2, 2.1]
    rows = [row, *([*row[:i], 1.001 * row[i], *row[i + 1 :]] for i in range(len(row)))]
    each = [tube_whirl(*one[:6], one[6:])[0] for one in rows]
    np.testing.assert_allclose(tube_critical_speeds(rows), each, rtol=1e-12)
    assert len({len(tube_whirl(*one[:6], one[6:])[1]) for one in rows}) > 1
    loaded = [[*one, 0.4, 0.7, 0.3, 1.8] for one in rows]
    each = [tube_whirl(*one[:6], one[6:9], masses=[(0.4, 0.7), (0.3, 1.8)])[0] for one in loaded]
    np.testing.assert_allclose(tube_critical_speeds(loaded, masses=2), each, rtol=1e-12)
    with pytest.raises(QuantityError, match="two hangers at least"):
        tube_critical_speeds([[*row[:6], 0.5, 0.5, 0.5]])
    with pytest.raises(QuantityError, match="two hangers at least"):
        tube_critical_speeds([[*row[:6], 0.5, 0.5, 0.5, 0.4, 0.7]], masses=1)


def test_tubes_near_a_known_speed_are_what_each_is_by_itself() -> None:
    """Also with other numbers of nodes, where two speeds lie within the reach, and where a speed lies out of it."""
    row = np.array([0.04, 0.002, 2.4, 70e9, 2700, 5e5, 0.05, 1.2, 2.1, 0.4, 0.7, 0.3, 1.8])
    for size in (1e-4, 3e-3, 0.05):
        rows = np.concatenate(
            [[row], *([row * (1 + s * size * (np.arange(13) == i))] for i in range(13) for s in (-1, 1))]
        )
        each = tube_critical_speeds(rows, masses=2)
        near = tube_critical_speeds(
            rows, masses=2, near=tube_whirl(*row[:6], row[6:9], masses=[(0.4, 0.7), (0.3, 1.8)])[0]
        )
        np.testing.assert_allclose(near, each, rtol=1e-9)  # a piece of a tenth of a millimetre costs digits either way
        assert len({len(tube_whirl(*one[:6], one[6:9])[1]) for one in rows}) > 1
        assert (each.max() / each.min() > 1.02) == (size == 0.05)
    # two spans alike, far from each other: the second speed is hardly above the first
    rows = [[0.04, 0.002, 2.4, 70e9, 2700, 1e8, 0.0, 1.0 + at, 1.1, 1.2, 1.3, 1.4, 2.4] for at in (0.0, 0.001, 0.003)]
    each = tube_critical_speeds(rows)
    for near in (each[0], 1.005 * each[0], 2 * each[0]):
        np.testing.assert_allclose(tube_critical_speeds(rows, near=near), each, rtol=1e-11)


def test_a_smooth_line_over_all_speeds_is_as_good_as_each_speed_by_itself() -> None:
    speeds = np.linspace(0.0, 60.0, 97)
    for root in ("fixed", "hinged"):
        blade = rotating_blade([BladeSection("3.4 m", "4.5 kg/m", "6000 N*m^2")], "0.15 m", root, elements=16)
        for direction in ("flap", "lag"):
            through = blade.over_speeds(60.0, 3, direction)(speeds)
            np.testing.assert_allclose(through, blade.at(speeds, 3, direction), rtol=1e-8, atol=1e-5)


def test_many_blades_are_what_each_is_by_itself() -> None:
    lengths = np.array([[1.0, 2.0], [1.0, 2.0], [1.5, 1.5], [1.0, 0.0]])
    masses, rigid = np.array([[6.0, 4.0]] * 4), np.array([[9000.0, 6000.0]] * 4)
    hubs, tips = np.array([0.1, 0.2, 0.1, 0.1]), np.array([0.0, 0.5, 0.0, 0.0])
    found = dict.fromkeys(range(4))
    for places, blades in many_blades(lengths, masses, rigid, hubs, "fixed", tips, 16):
        for place, row in zip(places, blades.at(np.full((len(places), 1), 40.0), 2, "flap"), strict=True):
            found[int(place)] = row[0]
    assert found[3] is None  # a section without length is no blade
    for k in range(3):
        sections = [
            BladeSection(f"{a} m", f"{b} kg/m", f"{c} N*m^2")
            for a, b, c in zip(lengths[k], masses[k], rigid[k], strict=True)
        ]
        alone = rotating_blade(sections, f"{hubs[k]} m", tip_mass=f"{tips[k]} kg", elements=16)
        np.testing.assert_allclose(found[k], alone.frequencies("40 rad/s", 2).magnitude, rtol=1e-12)


@pytest.mark.parametrize("root", ["fixed", "hinged"])
@pytest.mark.parametrize("direction", ["flap", "lag"])
def test_a_small_difference_does_to_a_blade_what_its_shapes_say(root: str, direction: str) -> None:
    """Each figure a little more and a little less, by the blade's shapes and each blade worked by itself."""
    figures = np.array([1.0, 2.0, 6.0, 4.0, 9000.0, 6000.0, 0.1, 0.5])
    for size, some, within in ((4e-4, slice(None), 3e-3), (0.05, slice(2, None), 1e-3)):
        ways = np.eye(8)[some] * size
        rows = figures * (1 + np.concatenate([np.zeros((1, 8)), ways, -ways]))
        columns = rows[:, :2], rows[:, 2:4], rows[:, 4:6], rows[:, 6], root, rows[:, 7], 16
        speeds = np.tile([20.0, 40.0, 55.0], (len(rows), 1))
        ((_, alone),) = many_blades(*(one[:1] if isinstance(one, np.ndarray) else one for one in columns))
        (shapes,) = alone.laid().with_shapes(speeds[:1], 2, direction)[1]
        ((_, blades),) = many_blades(*columns)
        whole, quick = blades.at(speeds, 2, direction), blades.beside(speeds, shapes, direction)
        np.testing.assert_allclose(quick[0], whole[0], rtol=1e-7)
        slopes, exact = (one[1 : len(ways) + 1] - one[len(ways) + 1 :] for one in (quick, whole))
        assert (np.abs(slopes - exact) < within * np.sqrt((exact**2).sum(axis=0))).all()


def test_crossings_of_many_trains_are_those_of_each() -> None:
    """Two discs on a spring that turning stiffens: w^2 = k (1 / a + 1 / b), k = k0 + c s^2, met where w = n s."""
    a, b, still, gain = (np.array(one) for one in ([1.0, 2.0], [3.0, 1.0], [1000.0, 4000.0], [0.5, 0.0]))
    trains = TorsionalTrain(("a", "b"), np.stack([a, b], 1), ((0, 1),), still[:, None], gain[:, None])
    found = trains.crossings([1, 1], [2.0, 3.0])
    for row, order in zip(found, (2.0, 3.0), strict=True):
        both = 1 / a + 1 / b
        np.testing.assert_allclose(row, np.sqrt(still * both / (order**2 - gain * both)), rtol=1e-12)
    never = TorsionalTrain(("a", "b"), np.array([1.0, 1.0]), ((0, 1),), np.array([1000.0]), np.array([2.0]))
    assert np.isnan(never.crossing(1, 1.5))  # its frequency rises faster than the order


def test_a_light_part_on_a_stiff_shaft_hides_no_slow_mode() -> None:
    """1 kg m2 each side of a coupling of 1e-6 kg m2, 1,000,000 and 20 N m/rad: the two on both springs in a row."""
    found = torsional_chain(["1 kg*m^2", "1e-6 kg*m^2", "1 kg*m^2"], ["1000000 N*m/rad", "20 N*m/rad"])
    both = 1 / (1 / 1e6 + 1 / 20)
    assert found.frequencies.magnitude[0] == 0
    assert found.frequencies.magnitude[1] == pytest.approx(np.sqrt(2 * both), rel=1e-4)
