"""The sun's place, a panel's light and a module's power, against published figures and a shipped typical year."""

import csv
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import numpy as np
import pvlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from proposal.studies.behaviour import sky
from tests.truth.reference import one, printed

CALLS = {row["call"].split("(")[0]: row for row in printed("library_checks", library="pvlib")}


def figure(call):
    """What the reference prints for a call of the library, as numbers."""
    return [float(word) for word in CALLS[call]["expected"].replace(",", "").split() if word[0].isdigit()]


# --- published cases -------------------------------------------------------------------------------------------------


def test_w65_place_of_the_sun():
    """NREL/TP-560-34302, its worked case (corroborated)."""
    when = datetime(2003, 10, 17, 19, 30, 30, tzinfo=UTC).timestamp()
    zenith, azimuth = sky.sun_position_deg(np.array([when]), 39.742476, -105.1786, 1830.14, 820.0, 11.0)
    printed_deg = [float(word) for word in one("worked_examples", id="W65")["expected"].split(";")]
    assert [zenith[0], azimuth[0]] == pytest.approx(printed_deg, abs=1e-5)
    assert [zenith[0], azimuth[0]] == pytest.approx(figure("solarposition.spa_python"), abs=1e-5)


def test_w66_power_of_a_module():
    """PVWatts as in pvlib's own tests (corroborated)."""
    expected = float(one("worked_examples", id="W66")["expected"])
    assert figure("pvsystem.pvwatts_dc") == [expected]
    assert 100.0 * sky.dc_share(np.array([900.0]), 30.0, -0.003) == pytest.approx(expected, abs=1e-9)
    assert sky.dc_share(np.array([1000.0]), 400.0, -0.003) == 0.0  # never below nothing


def test_temperature_of_a_module():
    """Faiman's model as in pvlib's own tests (corroborated)."""
    assert sky.cell_temperature_c(np.array([900.0]), 20.0, 5.0) == pytest.approx(
        figure("temperature.faiman")[0], abs=1e-8
    )


def test_the_library_gives_its_own_figures_of_what_the_clear_sky_takes_from_it():
    beyond = pvlib.irradiance.get_extra_radiation(300.0)
    assert beyond == pytest.approx(figure("irradiance.get_extra_radiation")[0], abs=1e-6)
    thick = pvlib.atmosphere.get_relative_airmass(50.11162)
    assert thick == pytest.approx(figure("atmosphere.get_relative_airmass")[0], abs=1e-8)


# --- a typical year, shipped with the library ------------------------------------------------------------------------


class Year:
    """Station 723170 of TMY3: 36.1 °N, 79.95 °W, each value the mean of the hour that ends at its time."""

    def __init__(self):
        with (Path(pvlib.__file__).parent / "data" / "723170TYA.CSV").open(encoding="utf-8") as file:
            head = next(csv.reader(file))
            rows = list(csv.DictReader(file))
        self.latitude_deg, self.longitude_deg = float(head[4]), float(head[5])
        self.level, self.beam, self.diffuse = (
            np.array([float(row[f"{name} (W/m^2)"]) for row in rows]) for name in ("GHI", "DNI", "DHI")
        )
        ends = [datetime.strptime(row["Date (MM/DD/YYYY)"], "%m/%d/%Y").replace(tzinfo=UTC) for row in rows]
        hours = [int(row["Time (HH:MM)"][:2]) for row in rows]
        middle = [e + timedelta(hours=h - 0.5 - float(head[3])) for e, h in zip(ends, hours, strict=True)]
        self.unix_s = np.array([time.timestamp() for time in middle])
        self.month = np.array([end.month for end in ends])


@pytest.fixture(scope="module")
def year():
    return Year()


def test_the_year_is_the_one_of_the_reference(year):
    sums = [float(x.sum()) / 1000.0 for x in (year.level, year.beam, year.diffuse)]
    assert sums == pytest.approx(figure("iotools.read_tmy3"), abs=1e-3)


def test_a_tilted_panel_through_a_typical_year(year):
    """Of the same file by the same model, made without this program: 1696.74 kWh/m² a year, and four months by day."""
    zenith, azimuth = sky.sun_position_deg(year.unix_s, year.latitude_deg, year.longitude_deg)
    plane = sky.plane_w_per_m2(36.0, 180.0, zenith, azimuth, year.beam, year.level, year.diffuse) / 1000.0
    assert plane.sum() == pytest.approx(1696.74, rel=0.005)
    expected = figure("TMY3 tilt 36 S isotropic albedo .2, mid-hour")
    by_month = [plane[year.month == m].sum() / ((year.month == m).sum() / 24) for m in (1, 11, 12, 6)]
    assert [plane.sum(), *by_month] == pytest.approx(expected, rel=0.005)


def test_the_clear_sky_stands_where_the_clearest_days_of_a_year_stand(year):
    """By month within 14 %: one turbidity for all year is too hazy for winter, too clear for summer there."""
    clear_h = sky.daily_sum_h(sky.clear_sky_w_per_m2(year.latitude_deg, year.longitude_deg, 0.0, 180.0)) / 1000.0
    share = year.level.reshape(365, 24).sum(axis=1) / 1000.0 / clear_h
    month = year.month.reshape(365, 24)[:, 0]
    clearest = [share[month == m].max() for m in range(1, 13)]
    assert all(0.92 < found < 1.14 for found in clearest)
    assert np.mean(clearest) == pytest.approx(1.0, abs=0.03)


# --- what must hold anywhere -----------------------------------------------------------------------------------------


def test_a_polar_night_is_dark_and_a_polar_day_has_no_end():
    night = sky.clear_sky_w_per_m2(75.0, 20.0, 60.0, 180.0, (0, 354))
    assert (night == 0.0).all()
    day = sky.clear_sky_w_per_m2(75.0, 20.0, 0.0, 180.0, (171,))
    assert (day > 0.0).all()


def test_the_year_begins_in_winter_in_the_north_and_in_summer_in_the_south():
    north = sky.daily_sum_h(sky.clear_sky_w_per_m2(45.0, 0.0, 0.0, 180.0, (0, 171)))
    south = sky.daily_sum_h(sky.clear_sky_w_per_m2(-45.0, 0.0, 0.0, 0.0, (0, 171)))
    assert north[0] < 0.4 * north[1]
    assert south[1] < 0.4 * south[0]


def test_noon_is_at_twelve_wherever_it_lies():
    """Within the equation of time, 16 minutes: the samples on both sides of noon are nearly equal."""
    for longitude in (-150.0, -61.4, 0.0, 97.0):
        day = sky.clear_sky_w_per_m2(12.6, longitude, 0.0, 180.0, (80,))[0]
        assert int(day.argmax()) == 12
        assert day[9] == pytest.approx(day[15], rel=0.08)


@settings(max_examples=15)
@given(st.floats(-60, 60), st.floats(-180, 180), st.floats(0, 90), st.floats(0, 360), st.integers(0, 364))
def test_a_panel_gets_no_more_than_beam_and_sky_give(latitude, longitude, tilt, azimuth, day):
    plane = sky.clear_sky_w_per_m2(latitude, longitude, tilt, azimuth, (day,))
    assert plane.shape == (1, 25)
    assert np.isfinite(plane).all()
    assert (plane >= 0.0).all()
    assert (plane < 1400.0).all()
    assert plane[0, 0] < 1.0 or abs(latitude) > 45  # midnight


def test_a_flat_plane_sees_the_level_light_and_a_wall_half_the_sky():
    sun = (np.array([30.0]), np.array([180.0]), np.array([800.0]), np.array([800.0 * np.cos(np.pi / 6) + 100.0]))
    flat = sky.plane_w_per_m2(0.0, 180.0, *sun, np.array([100.0]))
    assert flat == pytest.approx(sun[3])
    facing = sky.plane_w_per_m2(30.0, 180.0, *sun, np.array([0.0]))
    assert facing == pytest.approx(800.0 + sun[3] * 0.2 * (1 - np.cos(np.pi / 6)) / 2)
    behind = sky.plane_w_per_m2(90.0, 0.0, *sun, np.array([100.0]))
    assert behind == pytest.approx(50.0 + sun[3] * 0.1)


def test_a_place_that_nobody_knows_has_a_half_sine_of_twelve_hours():
    day = sky.half_sine_w_per_m2()
    assert day.shape == (365, 25)
    assert day[0, 6] == day[0, 18] == day[0, 0] == 0.0
    assert day[0, 9] == pytest.approx(1000.0 * np.sin(np.pi / 4))
    # straight lines between hours lose π²/(12·12²) of the area 2·12/π under a half sine
    assert sky.daily_sum_h(day)[0] == pytest.approx(1000.0 * 24.0 / np.pi, rel=0.007)


def test_nothing_heavy_is_loaded_where_no_place_is_known():
    code = (
        "import sys, proposal.studies.behaviour.patterns, proposal.studies.behaviour.weather as w;"
        "w.sky.half_sine_w_per_m2();"
        "print(sorted({'pvlib', 'pandas', 'scipy', 'numba'} & sys.modules.keys()))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
