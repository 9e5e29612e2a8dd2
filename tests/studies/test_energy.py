"""Energy of a day, autonomy and charging times, worked by hand on the small boat of the checks."""

import pytest

from proposal.spec.equipment import WindSource
from proposal.studies.energy.study import energy
from tests.rules.conftest import Bench

PUMP_WH = 5.0 * 12.0 * 0.3
FRIDGE_WH = 60.0 * 24.0 * 0.5
LIGHTS_WH = 4.0 * 12.0 * 4.0
RADIO_WH = 5.0 * 12.0 * 4.0
INVERTER_WH = 700.0 / 0.9 * 0.4 + 8.0 * 24.0
WINDLASS_WH = 90.0 * 12.0 * 0.1
COIL_WH = 0.4 * 12.0 * 24.0
SUN_WH = 300.0 * 5.0 * 0.75
ALL_WH = PUMP_WH + FRIDGE_WH + LIGHTS_WH + RADIO_WH + INVERTER_WH + WINDLASS_WH + COIL_WH


@pytest.fixture(scope="module")
def bench():
    return Bench()


def only_day(evidence):
    (day,) = energy(evidence.spec, evidence.circuit).days
    return day


def test_each_load_of_a_day_by_hand(bench):
    used = dict(only_day(bench.option("shared")).loads_wh)
    assert used == pytest.approx(
        {
            "loads.bilge_pump": PUMP_WH,
            "loads.fridge": FRIDGE_WH,
            "loads.lights": LIGHTS_WH,
            "loads.radio": RADIO_WH,
            "loads.inverter": INVERTER_WH,
            "loads.windlass": WINDLASS_WH,
            "banks.lithium.controller": COIL_WH,
        }
    )


def test_only_what_stays_on_counts_on_days_without_use(bench):
    """Two days in five aboard: the bilge pump and the held coil run on all of them."""
    day = only_day(bench.option("shared", {"climate.seasons.summer.use": 0.4}))
    assert day.use_wh == pytest.approx(PUMP_WH + COIL_WH + 0.4 * (ALL_WH - PUMP_WH - COIL_WH))


def test_what_is_missing_is_made_by_the_engine(bench):
    """Half of the use goes through the banks; lithium is the better house bank and gives back 95 %."""
    day = only_day(bench.option("shared"))
    assert day.sources_wh == (("sources.solar", pytest.approx(SUN_WH)), ("sources.shore", 0.0))
    assert day.loss_wh == pytest.approx(0.5 * ALL_WH * (1 / 0.95 - 1))
    assert day.engine_wh == pytest.approx(ALL_WH + day.loss_wh - SUN_WH)
    assert (day.made_up_by, day.engine_h) == ("engine", pytest.approx(day.engine_wh / (40.0 * 14.2)))
    assert day.balance_wh == pytest.approx(0.0)


def test_plenty_of_sun_leaves_the_engine_off(bench):
    day = only_day(bench.option("shared", {"climate.seasons.summer.sun_h": 12.0}))
    assert (day.engine_wh, day.engine_h) == (0.0, 0.0)
    assert day.balance_wh == pytest.approx(300.0 * 12.0 * 0.75 - ALL_WH - day.loss_wh)


def test_hours_at_the_shore_and_a_mean_of_wind_are_given_too(bench):
    sources = dict(bench.project.spec.value.sources)
    sources["shore"] = sources["shore"].model_copy(update={"hours_h": 2.0})
    sources["wind"] = WindSource.model_validate(
        {
            "kind": "wind",
            "title": "Wind",
            "current": "20 A",
            "mean_power": "15 W",
            "voltage": "14.2 V",
            "route": "solar",
        }
    )
    given = dict(only_day(bench.option("shared", {"sources": sources})).sources_wh)
    assert given["sources.shore"] == pytest.approx(30.0 * 14.2 * 2.0)
    assert given["sources.wind"] == pytest.approx(15.0 * 24.0)


def test_without_engine_or_generator_nothing_makes_it_up(bench):
    sources = {k: v for k, v in bench.project.spec.value.sources.items() if k != "alternator"}
    day = only_day(bench.option("shared", {"sources": sources}))
    assert (day.made_up_by, day.engine_wh, day.engine_h) == ("", 0.0, None)
    assert day.balance_wh < 0.0
    sunny = only_day(bench.option("shared", {"sources": sources, "climate.seasons.summer.sun_h": 12.0}))
    assert (sunny.engine_wh, sunny.engine_h) == (0.0, 0.0)


def test_the_season_with_the_lowest_balance_decides(bench):
    summer = bench.project.spec.value.climate.seasons["summer"]
    dark = summer.model_copy(update={"title": "Winter", "sun_h": 1.0})
    found = bench.option("shared", {"climate.seasons": {"summer": summer, "winter": dark}}).energy
    assert found.worst_season == "winter"
    # Nobody aboard in the dark: the little sun then covers the little use better than the summer's does.
    empty = dark.model_copy(update={"use": 0.0})
    found = bench.option("shared", {"climate.seasons": {"summer": summer, "winter": empty}}).energy
    assert found.worst_season == "summer"


def test_autonomy_is_what_is_usable_over_what_is_used(bench):
    """Half of lead's charge and 80 % of lithium's, less in the cold; alone, the critical loads last longer."""
    found = bench.option("shared").energy
    banks = {b.bank: b for b in found.banks}
    lead, lithium = banks["banks.lead"], banks["banks.lithium"]
    assert (lead.capacity_ah, lead.nominal_v, lead.usable_share) == (220.0, 12.0, 0.5)
    assert (lithium.capacity_ah, lithium.nominal_v, lithium.usable_share) == (460.0, 12.8, 0.8)
    assert max(lead.temperature_share, lithium.temperature_share) < 1.0
    usable_wh = {
        "banks.lead": 220.0 * 0.5 * lead.temperature_share * 12.0,
        "banks.lithium": 460.0 * 0.8 * lithium.temperature_share * 12.8,
    }
    usable_wh["house"] = sum(usable_wh.values())
    assert {a.bank: a.usable_wh for a in found.autonomy} == pytest.approx(usable_wh)
    for entry in found.autonomy:
        assert entry.days == pytest.approx(usable_wh[entry.bank] / ALL_WH)
        assert entry.critical_only_days == pytest.approx(usable_wh[entry.bank] / (PUMP_WH + RADIO_WH))


def test_a_warm_place_adds_no_charge(bench):
    found = bench.option("shared", {"climate.places.box.coldest_c": 40.0, "climate.places.box.hottest_c": 45.0}).energy
    assert [b.temperature_share for b in found.banks] == [1.0, 1.0]


def test_hours_to_charge_after_what_the_loads_take(bench):
    found = bench.option("shared").energy
    charge_ah = sum(b.usable_ah for b in found.banks)
    hours = {c.source: c.hours_h for c in found.charging}
    for source, current_a in (("sources.alternator", 40.0), ("sources.shore", 30.0)):
        assert hours[source] == pytest.approx(charge_ah / 0.95 / (current_a - ALL_WH / 24.0 / 12.0))


def test_a_source_below_the_mean_use_never_fills_a_bank(bench):
    found = bench.option("shared", {"loads.fridge.power_w": 900.0, "loads.fridge.duty": 1.0}).energy
    shore = next(c for c in found.charging if c.source == "sources.shore")
    assert (shore.current_a, shore.hours_h) == (0.0, None)


def test_starter_bank_is_no_reserve_of_the_house(bench):
    found = bench.option("vented").energy
    assert {a.bank for a in found.autonomy} == {"house", "banks.house"}
    (house,) = [b for b in found.banks if b.bank == "banks.house"]
    assert all(c.charge_ah == pytest.approx(house.usable_ah) for c in found.charging)


def test_mass_and_standing_drain(bench):
    """Two lead of 32 kg and two lithium of 26 kg; the held coil, and the standby of what stays on."""
    plain = bench.option("shared").energy
    assert plain.battery_mass_kg == 2 * 32.0 + 2 * 26.0
    assert plain.standing_drain_a == pytest.approx(0.4)
    awake = bench.option("shared", {"loads.bilge_pump.standby_w": 6.0, "loads.radio.standby_w": 6.0})
    assert energy(awake.spec, awake.circuit).standing_drain_a == pytest.approx(0.4 + 0.5)
