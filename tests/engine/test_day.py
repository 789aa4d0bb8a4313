"""The engine on the day by plain arithmetic: the rating as a cap, dry air, another engine's power from one table."""

import pytest

from rotorkit.atmosphere import DayAir, air_of_the_day
from rotorkit.engine import EngineModel, EngineOnTheDay, PowerTable, engine_model, power_held_to_rating
from rotorkit.engine.power_of_the_day import power_in
from rotorkit.quantities import assert_quantity

RATED = 100_000.0


@pytest.mark.parametrize("ratio", ["1", "1.0001", "1.01", "1.1"])
def test_denser_air_gives_no_more_than_the_rating(ratio: str) -> None:
    assert power_held_to_rating("134 hp", ratio).m_as("hp") == pytest.approx(134, rel=1e-12)


def test_thinner_air_gives_less_from_the_first() -> None:
    """0.9999 - (1 - 0.9999) / 7.55, by hand 0.99988675."""
    assert_quantity(power_held_to_rating("100 hp", "0.9999"), "99.988675 hp", within="0.00001 hp")


def plain(dry_share: float) -> EngineOnTheDay:
    return EngineOnTheDay(EngineModel(RATED, RATED, 0.0, "Gagg & Ferrar"), 0.0, 0.0, dry_share)


@pytest.mark.parametrize("dry_share", [1.0, 0.98])
def test_an_engine_breathes_the_dry_part_of_the_air(dry_share: float) -> None:
    ratio = dry_share * 1.05 / 1.225
    assert plain(dry_share).available(RATED, 1.05) == pytest.approx(RATED * (ratio - (1 - ratio) / 7.55), rel=1e-4)


@pytest.mark.parametrize("dry_share", [1.0, 0.98])
def test_the_rating_is_the_cap(dry_share: float) -> None:
    assert plain(dry_share).available(RATED, 1.3) == pytest.approx(RATED)


def tabled() -> EngineModel:
    table = PowerTable(["0 m", "1000 m", "2000 m"], ["100 kW", "90 kW", "81 kW"], by="pressure altitude")
    return engine_model("100 kW", table=table)


@pytest.mark.parametrize(("power", "wanted"), [(100_000, 85_500), (110_000, 94_050), (90_000, 76_950)])
def test_a_table_is_scaled_with_the_engines_power(power: float, wanted: float) -> None:
    """Halfway between 90 and 81 kW, times what the engine gives over the 100 kW of the table."""
    air = air_of_the_day(1500.0)
    assert float(power_in(tabled(), power, air)) == pytest.approx(wanted, rel=1e-5)


def test_a_table_says_nothing_beyond_its_ends() -> None:
    air = [air_of_the_day(height) for height in (-200.0, 2200.0)]
    assert not [x for one in air if (x := float(power_in(tabled(), 100_000, one))) == x]


def test_derating_and_warm_intake_lower_the_power_each() -> None:
    air = DayAir(101325.0, 288.15, 0.0, 1.225)
    whole = engine_model("100 kW").available(air)
    derated = engine_model("100 kW", derated_to="80 %")
    assert derated.available(air) == pytest.approx(80_000, rel=1e-9)
    assert derated.rating == pytest.approx(80_000)
    warm = engine_model("100 kW", intake_rise="20 K").available(air)
    assert warm / whole == pytest.approx((288.15 / 308.15) ** 0.5, rel=1e-4)
