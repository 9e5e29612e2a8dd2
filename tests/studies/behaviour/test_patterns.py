"""Days of use by the minute: the same energy as the balance of a day, at the hours that the spec says, by seed."""

from dataclasses import replace

import numpy as np
import pytest

from proposal.studies.behaviour import patterns
from proposal.studies.behaviour.patterns import aboard, day_patterns
from proposal.studies.behaviour.weather import calendar
from proposal.studies.energy.study import energy
from tests.generate import PROJECT_NAMES, PROJECTS, options_of, project
from tests.generate_settings import settings_text


def load_of(built, name, seed=1):
    found = day_patterns(built.spec, built.circuit, seed)
    return found.on[found.loads.index(f"loads.{name}")]


def assert_same_energy(built, seed):
    """Every pattern, every load, every season: within 1e-9 of what the energy study counts."""
    found = day_patterns(built.spec, built.circuit, seed)
    running_w = np.array([x.current_a * built.circuit.system_v for x in built.circuit.loads])
    wh = found.on.sum(axis=2) / 60.0 * running_w[:, None] + 24.0 * found.standby_w[:, None]
    assert found.loads == tuple(x.key for x in built.circuit.loads)
    assert found.on.shape == (len(found.loads), patterns.PATTERNS, 1440)
    assert (found.on >= 0.0).all()
    for day in energy(built.spec, built.circuit).days:
        use = built.spec.spec.climate.seasons[day.season].use
        counted = dict(day.loads_wh)
        for number, key in enumerate(found.loads):
            share = 1.0 if found.stays[number] else use
            assert wh[number] * share == pytest.approx(counted[key], rel=1e-9, abs=1e-9)
    most = max(1.0, max(built.spec.load(key).hours_h for key in found.loads) / 24.0)
    assert found.on.max() <= most + 1e-9


# --- energy ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PROJECT_NAMES)
def test_every_day_takes_what_the_energy_balance_counts(name):
    for built in project(name):
        assert_same_energy(built, 20261125)


@pytest.mark.parametrize("seed", range(25))
def test_so_it_is_for_any_spec(seed):
    assert_same_energy(next(options_of(settings_text(f"patterns {seed}"))), seed)


def test_hours_beyond_a_day_are_counted_as_the_balance_counts_them():
    built = project("marram")[0]
    loads = dict(built.spec.spec.loads)
    loads["fridge"] = loads["fridge"].model_copy(update={"hours_h": 30.0})
    loads["plotter"] = loads["plotter"].model_copy(update={"hours_h": 0.0, "duty": 0.5})
    spec = replace(built.spec, spec=built.spec.spec.model_copy(update={"loads": loads}))
    found = day_patterns(spec, built.circuit, 1)
    assert found.on[found.loads.index("loads.fridge")].sum(axis=1) == pytest.approx(60.0 * 30.0 * 0.5, abs=1e-9)
    assert not found.on[found.loads.index("loads.plotter")].any()


# --- seeds -----------------------------------------------------------------------------------------------------------


def test_the_same_seed_says_the_same_and_another_something_else():
    one, again = project("marram")[0], next(options_of(text_of("marram")))
    first, second = day_patterns(one.spec, one.circuit, 5), day_patterns(again.spec, again.circuit, 5)
    assert (first.on == second.on).all()
    assert (first.on != day_patterns(one.spec, one.circuit, 6).on).any()
    assert day_patterns(one.spec, one.circuit, 5) is first  # kept


def test_another_load_beside_it_moves_no_load():
    """The second option has the same loads; a spec without the first load gives all others the same days."""
    text = text_of("marram")
    shorter = "\n".join(line for line in text.splitlines() if not line.startswith("  fans:"))
    whole, less = next(options_of(text)), next(options_of(shorter))
    assert (load_of(whole, "fridge") == load_of(less, "fridge")).all()
    assert (load_of(whole, "windlass") == load_of(less, "windlass")).all()


def text_of(name):
    return (PROJECTS / name / "spec.yaml").read_text(encoding="utf-8")


def test_days_differ_from_each_other():
    days = load_of(project("marram")[0], "fridge")
    assert len({day.tobytes() for day in days}) == patterns.PATTERNS


# --- when ------------------------------------------------------------------------------------------------------------


def hours_of(day):
    """First and last hour with any use, and the number of runs, of one day."""
    on = day > 0
    minutes = np.flatnonzero(on)
    runs = int((np.diff(on.astype(int)) > 0).sum() + on[0])
    return minutes[0] / 60.0, (minutes[-1] + 1) / 60.0, runs


def test_hours_fall_where_the_spec_puts_them():
    built = project("marram")[0]
    for day in load_of(built, "cabin_lights"):
        first_h, last_h, runs = hours_of(day)
        assert first_h >= 18.0
        assert last_h <= 23.0
        assert runs == 1
    for day in load_of(built, "plotter"):  # ten hours in a window of eight, which grows on both sides
        first_h, last_h, _ = hours_of(day)
        assert first_h >= 7.7
        assert last_h <= 18.3
    assert len({hours_of(day)[0] for day in load_of(built, "plotter")}) > 1  # not all at the same minute
    for day in load_of(built, "nav_lights"):
        assert not day[6 * 60 : 20 * 60].any()
        assert day[22 * 60 :].sum() + day[: 6 * 60].sum() > 300.0


NIGHT_HOURS = np.r_[0 : 7 * 60, 22 * 60 : 24 * 60]


@pytest.mark.parametrize("stays", ["always_on: yes, away: yes", "always_on: yes", "away: yes"])
def test_what_runs_by_itself_runs_at_night_too(stays):
    text = text_of("marram").replace("hours: 0.3 h, critical: yes, always_on: yes, away: yes", f"hours: 0.3 h, {stays}")
    assert load_of(next(options_of(text)), "bilge_pump")[:, NIGHT_HOURS].any()
    assert not load_of(project("marram")[0], "fresh_water")[:, NIGHT_HOURS].any()


def test_a_stated_time_of_day_holds_for_what_runs_by_itself():
    text = text_of("marram").replace("hours: 0.3 h, critical", "hours: 0.3 h, when: evening, critical")
    days = load_of(next(options_of(text)), "bilge_pump")
    assert days[:, 18 * 60 : 23 * 60].sum() == pytest.approx(days.sum())


def test_deck_gear_works_when_the_trip_begins():
    for day in load_of(project("marram")[0], "windlass"):
        first_h, last_h, runs = hours_of(day)
        assert (first_h, runs) == (8.5, 1)
        assert last_h < 8.6


def test_a_compressor_cycles_in_about_half_an_hour_and_pumps_come_in_bursts():
    built = project("marram")[0]
    for day in load_of(built, "fridge"):
        assert 36 <= hours_of(day)[2] <= 46  # 41 cycles of 35 minutes
        assert np.convolve(day, np.ones(60), "valid").max() < 45.0
        begins = np.flatnonzero(np.diff((day > 0).astype(int)) > 0)
        lengths = np.diff(begins)[1:-1]
        assert 35.0 * 0.75 < lengths.min() < 33.0  # none like the other: a fifth either way
        assert 37.0 < lengths.max() < 35.0 * 1.25
    for day in load_of(built, "fresh_water"):
        assert day.sum() == pytest.approx(30.0)
        assert 4 <= hours_of(day)[2] <= 10
    assert max(hours_of(day)[2] for day in load_of(built, "watermaker")) == 1


def test_use_at_an_hour_that_nobody_stated_is_said():
    built = project("marram")[0]
    (told,) = day_patterns(built.spec, built.circuit, 1).assumptions
    assert told.code == "times_of_day"
    assert told.values == {"loads": 4, "from_h": 7.0, "until_h": 22.0}


# --- who is aboard ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PROJECT_NAMES)
def test_as_many_days_aboard_as_the_season_says(name):
    spec = project(name)[0].spec
    season_of_day = calendar(spec.spec.climate)
    for year in range(5):
        there = aboard(spec, 1, year)
        for number, season in enumerate(spec.spec.climate.seasons.values()):
            days = season_of_day == number
            assert there[days].sum() == round(season.use * days.sum())
    assert (aboard(spec, 1, 0) == aboard(spec, 1, 0)).all()


def test_small_shares_are_weekends_and_large_ones_weeks():
    spec = project("frostbit")[0].spec  # 80 % in winter, 25 % in summer
    summer = np.flatnonzero(calendar(spec.spec.climate) == 1)
    there = aboard(spec, 1, 0)[summer]
    runs = np.diff(np.flatnonzero(np.diff(np.concatenate([[0], there.astype(int), [0]]))))[::2]
    assert runs.max() <= 2  # of 70 days of weekends 61 are taken
    seasons = {k: s.model_copy(update={"use": 0.1}) for k, s in spec.spec.climate.seasons.items()}
    rare = replace(
        spec, spec=spec.spec.model_copy(update={"climate": spec.spec.climate.model_copy(update={"seasons": seasons})})
    )
    days = np.flatnonzero(np.diff(np.concatenate([[0], aboard(rare, 1, 0).astype(int), [0]])))
    pairs = np.diff(days)[::2] == 2
    assert pairs.sum() >= 15  # 36 days, nearly all of them whole weekends
    winter = aboard(spec, 1, 0)[31:90]
    away = np.diff(np.flatnonzero(np.diff(np.concatenate([[1], winter.astype(int), [1]]))))[::2]
    assert away.max() >= 5
    assert (aboard(spec, 1, 0) != aboard(spec, 1, 1)).any()
