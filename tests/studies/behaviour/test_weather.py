"""Sun and wind of seeded years: the installer's figures stay the truth, spells are drawn, a seed repeats itself."""

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pvlib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from proposal.spec.equipment import SolarSource, WindSource
from proposal.spec.vessel import Climate, Season
from proposal.studies.behaviour import sky, weather
from proposal.studies.energy.study import energy
from tests.generate import PROJECT_NAMES, options_of, project
from tests.generate_settings import settings_text

SOLAR = "sources.solar"


def seasons_sum_wh(sun, number):
    return sky.daily_sum_h(sun.ordinary_w(number))


def stated(spec, **changes):
    """The same with other sections of the base."""
    return replace(spec, spec=spec.spec.model_copy(update=changes))


def with_climate(spec, **changes):
    return stated(spec, climate=spec.spec.climate.model_copy(update=changes))


def codes(sun):
    return [a.code for a in sun.assumptions]


# --- the mean stays what the installer wrote -------------------------------------------------------------------------


@pytest.mark.parametrize("name", PROJECT_NAMES)
def test_an_ordinary_day_gives_what_the_energy_balance_counts(name):
    built = project(name)[0]
    sun = weather.sunshine(built.spec, SOLAR)
    for number, day in enumerate(energy(built.spec, built.circuit).days):
        assert seasons_sum_wh(sun, number) == pytest.approx(dict(day.sources_wh)[SOLAR], rel=1e-12)
    assert "sun_above_clear_sky" not in codes(sun)


@pytest.mark.parametrize("seed", range(25))
def test_so_it_is_for_any_spec(seed):
    built = next(options_of(settings_text(f"weather {seed}")))
    if SOLAR not in built.circuit.title:
        return
    sun = weather.sunshine(built.spec, SOLAR)
    counted = {s.season: dict(s.sources_wh) for s in energy(built.spec, built.circuit).days}
    for number, name in enumerate(built.spec.spec.climate.seasons):
        if (sun.season == number).any():
            assert seasons_sum_wh(sun, number) == pytest.approx(counted[name][SOLAR], rel=1e-9, abs=1e-9)
    assert (sun.clear >= 0.0).all()


def test_shade_takes_its_share():
    built = project("marram")[0]
    source = built.spec.source(SOLAR)
    sources = {"solar": source.model_copy(update={"shading": 0.2})}
    shaded = stated(built.spec, sources=sources)
    whole, less = weather.sunshine(built.spec, SOLAR), weather.sunshine(shaded, SOLAR)
    assert less.clear == pytest.approx(0.8 * whole.clear)
    assert (less.mean_clearness == whole.mean_clearness).all()


def test_more_sun_than_a_clear_sky_gives_is_said_and_kept():
    built = project("skarn")[0]
    seasons = dict(built.spec.spec.climate.seasons)
    seasons["winter"] = seasons["winter"].model_copy(update={"sun_h": 7.0})
    sun = weather.sunshine(with_climate(built.spec, seasons=seasons), SOLAR)
    (told,) = [a for a in sun.assumptions if a.code == "sun_above_clear_sky"]
    assert told.values["sun_h"] == 7.0
    assert told.values["clear_h"] < 7.0
    assert seasons_sum_wh(sun, 1) == pytest.approx(7.0 * 1200.0 * 0.7)
    winter = sun.season == 1
    drawn = weather.clearness(1, 0, sun.mean_clearness)
    assert (drawn[winter] == sun.mean_clearness[winter]).all()  # nothing is left to draw
    assert (drawn[~winter] <= 1.0).all()


def test_a_season_of_polar_night_still_gives_what_was_written():
    built = project("skarn")[0]
    position = built.spec.spec.climate.position.model_copy(update={"latitude_deg": 85.0})
    seasons = {
        "dark": built.spec.spec.climate.seasons["winter"].model_copy(update={"days": 60.0, "begins_day": 320}),
        "light": built.spec.spec.climate.seasons["summer"].model_copy(update={"days": 305.0, "begins_day": 15}),
    }
    sun = weather.sunshine(with_climate(built.spec, position=position, seasons=seasons), SOLAR)
    assert seasons_sum_wh(sun, 0) == pytest.approx(0.9 * 1200.0 * 0.7)
    assert "sun_above_clear_sky" in codes(sun)


def test_without_a_place_the_day_is_twelve_hours_and_that_is_said():
    built = project("marram")[0]
    sun = weather.sunshine(with_climate(built.spec, position=None), SOLAR)
    assert "twelve_hour_day" in codes(sun)
    day = sun.ordinary_w(0)
    assert day[:7].max() == day[18:].max() == 0.0
    assert seasons_sum_wh(sun, 0) == pytest.approx(5.2 * 640.0 * 0.75)


@pytest.mark.parametrize(
    ("name", "latitude_deg", "stated_deg", "told_deg"),
    [
        ("marram", 12.6, (None, None), (0.0, 180.0)),
        ("marram", 0.0, (None, None), (0.0, 180.0)),
        ("skarn", 61.2, (None, None), (61.0, 180.0)),
        ("skarn", -40.4, (None, None), (40.0, 0.0)),
        ("skarn", 61.2, (30.0, None), (30.0, 180.0)),
        ("skarn", 61.2, (None, 95.0), (61.0, 95.0)),
        ("skarn", 61.2, (30.0, 95.0), None),
        ("marram", 12.6, (0.0, None), None),  # what lies flat faces nowhere
        ("skarn", 61.2, (0.5, None), (0.5, 180.0)),
    ],
)
def test_how_a_panel_lies_is_assumed_where_nobody_says(name, latitude_deg, stated_deg, told_deg):
    built = project(name)[0]
    place = built.spec.spec.climate.position.model_copy(update={"latitude_deg": latitude_deg})
    source = built.spec.source(SOLAR).model_copy(update={"tilt_deg": stated_deg[0], "azimuth_deg": stated_deg[1]})
    spec = with_climate(stated(built.spec, sources={"solar": source}), position=place)
    told = [a.values for a in weather.sunshine(spec, SOLAR).assumptions if a.code == "panel_lies"]
    assert told == ([] if told_deg is None else [{"tilt_deg": told_deg[0], "azimuth_deg": told_deg[1]}])


def test_only_sources_of_the_sun_have_sunshine():
    built = project("marram")[0]
    with pytest.raises(TypeError, match="no solar array"):
        weather.sunshine(built.spec, "sources.alternator")
    with pytest.raises(TypeError, match="no wind generator"):
        weather.wind_w(built.spec, SOLAR, 1, 0)
    assert isinstance(built.spec.source(SOLAR), SolarSource)


# --- cloudy spells ---------------------------------------------------------------------------------------------------


def test_the_same_seed_says_the_same_and_another_something_else():
    means = np.full(365, 0.6)
    assert (weather.clearness(7, 3, means) == weather.clearness(7, 3, means)).all()
    assert (weather.clearness(7, 3, means) != weather.clearness(7, 4, means)).any()
    assert (weather.clearness(7, 3, means) != weather.clearness(8, 3, means)).any()


@pytest.mark.parametrize("mean", [0.25, 0.5, 0.74, 0.95])
def test_over_many_years_the_mean_is_the_one_asked_for_and_days_hang_together(mean):
    years = np.array([weather.clearness(1, year, np.full(365, mean)) for year in range(400)])
    # 146,000 days of a spread below 0.28, correlated by 0.3: the mean's own spread is below 0.001
    assert years.mean() == pytest.approx(mean, abs=0.004)
    before, after = years[:, :-1].ravel(), years[:, 1:].ravel()
    assert np.corrcoef(before, after)[0, 1] == pytest.approx(weather.CLEARNESS_KEPT, abs=0.02)
    assert set(np.unique(years)) <= set(weather.CLEARNESS_STATES)


@given(st.floats(0.0, 1.3))
def test_chances_of_states_give_the_mean_or_there_are_none(mean):
    chances = weather.state_chances(mean)
    within = weather.CLEARNESS_STATES[0] < mean < weather.CLEARNESS_STATES[-1]
    assert (chances is not None) is within
    if chances is not None:
        assert sum(chances) == pytest.approx(1.0)
        assert np.dot(chances, weather.CLEARNESS_STATES) == pytest.approx(mean, abs=1e-9)


def test_spells_are_those_of_a_typical_year():
    """TMY3 station 723170 (corroborated), its days over those of a clear sky: correlation from day to day, spread."""
    with (Path(pvlib.__file__).parent / "data" / "723170TYA.CSV").open(encoding="utf-8") as file:
        next(file)
        level = np.array([float(row["GHI (W/m^2)"]) for row in csv.DictReader(file)])
    clear = sky.daily_sum_h(sky.clear_sky_w_per_m2(36.1, -79.95, 0.0, 180.0))
    share = level.reshape(365, 24).sum(axis=1) / clear
    assert np.corrcoef(share[1:], share[:-1])[0, 1] == pytest.approx(weather.CLEARNESS_KEPT, abs=0.02)
    states = np.array(weather.CLEARNESS_STATES)
    chances = np.array(weather.state_chances(float(share.mean())))
    assert np.sqrt(chances @ (states - share.mean()) ** 2) == pytest.approx(share.std(), abs=0.03)
    assert share.min() == pytest.approx(states[0], abs=0.04)


# --- wind ------------------------------------------------------------------------------------------------------------


def windy(mean_w, current_a=20.0):
    built = project("marram")[0]
    wind = WindSource.model_validate(
        {"kind": "wind", "title": "W", "current": f"{current_a} A", "mean_power": f"{mean_w} W", "voltage": "14 V",
         "route": "solar"}
    )  # fmt: skip
    sources = {**built.spec.spec.sources, "wind": wind}
    return stated(built.spec, sources=sources)


@pytest.mark.parametrize("mean_w", [10.0, 60.0, 150.0])
def test_wind_has_its_stated_mean_over_many_years(mean_w):
    spec = windy(mean_w)
    years = np.array([weather.wind_w(spec, "sources.wind", 1, year) for year in range(20)])
    assert years.shape == (20, 365, 25)
    assert sky.daily_sum_h(years).mean() / 24.0 == pytest.approx(mean_w, rel=0.05)
    assert years.max() <= 20.0 * 14.0 * (1 + 1e-12)
    assert years.min() >= 0.0
    assert (years[0, :-1, 24] == years[0, 1:, 0]).all()
    hours = years[:, :, :24].reshape(-1)
    assert np.corrcoef(hours[:-1], hours[1:])[0, 1] > 0.8


def test_the_first_hour_of_a_year_is_as_any_other():
    draws = np.random.default_rng(1)
    firsts = np.array([weather._normal_chain(draws, 2) for _ in range(4000)])
    assert firsts.std(axis=0) == pytest.approx(1.0, abs=0.03)  # 4000 draws: 0.011 of spread
    assert np.corrcoef(firsts[:, 0], firsts[:, 1])[0, 1] == pytest.approx(weather.WIND_KEPT_PER_HOUR, abs=0.01)


def test_wind_is_seeded_and_never_above_what_the_generator_gives():
    spec = windy(60.0)
    assert (weather.wind_w(spec, "sources.wind", 1, 2) == weather.wind_w(spec, "sources.wind", 1, 2)).all()
    assert (weather.wind_w(spec, "sources.wind", 1, 2) != weather.wind_w(spec, "sources.wind", 1, 3)).any()
    assert (weather.wind_w(windy(400.0), "sources.wind", 1, 2) == 280.0).all()
    assert (weather.wind_w(windy(0.0), "sources.wind", 1, 2) == 0.0).all()
    assert weather.wind_assumption("sources.wind").code == "wind_spells"


# --- the year's seasons ----------------------------------------------------------------------------------------------


def climate(*seasons):
    return Climate.model_validate(
        {
            "places": {"p": {"title": "P", "coldest": "1 °C", "hottest": "2 °C"}},
            "seasons": {
                f"s{n}": {"title": "S", "days": f"{days} days", "sun": "1 h", "temperature": "9 °C"}
                | ({"begins": begins} if begins else {})
                for n, (days, begins) in enumerate(seasons)
            },
        }
    )


@pytest.mark.parametrize(
    ("seasons", "expected"),
    [
        ([(365, None)], {0: 0, 364: 0}),
        ([(100, None), (265, None)], {0: 0, 99: 0, 100: 1, 364: 1}),
        ([(50, None), (50, None)], {0: 0, 181: 0, 183: 1, 364: 1}),  # stretched to fill the year
        ([(500, None), (500, None)], {0: 0, 181: 0, 183: 1, 364: 1}),
        ([(210, "12-01"), (155, "06-29")], {334: 0, 364: 0, 0: 0, 178: 0, 179: 1, 333: 1}),
        ([(210, "12-01"), (155, None)], {334: 0, 0: 0, 178: 0, 179: 1, 333: 1}),  # follows the one before it
        ([(122, None), (243, "05-01")], {0: 0, 119: 0, 120: 1, 364: 1}),  # lasts until the next begins
    ],
)
def test_which_season_a_day_belongs_to(seasons, expected):
    found = weather.calendar(climate(*seasons))
    assert found.shape == (365,)
    assert {day: int(found[day]) for day in expected} == expected


@given(st.lists(st.integers(1, 400), min_size=1, max_size=6))
def test_every_day_has_a_season_and_each_season_its_share(days):
    found = weather.calendar(climate(*((d, None) for d in days)))
    for number, wanted in enumerate(days):
        assert (found == number).sum() == pytest.approx(365 * wanted / sum(days), abs=1.5)  # both ends are rounded


@given(st.lists(st.tuples(st.integers(0, 364), st.integers(1, 400)), min_size=1, max_size=5))
def test_of_two_seasons_that_begin_on_one_day_the_later_holds(firsts):
    seasons = {str(n): Season.model_construct(begins_day=first, days=float(d)) for n, (first, d) in enumerate(firsts)}
    found = weather.calendar(Climate.model_construct(seasons=seasons))
    for first, _ in firsts:
        assert int(found[first]) == max(n for n, (other, _) in enumerate(firsts) if other == first)
