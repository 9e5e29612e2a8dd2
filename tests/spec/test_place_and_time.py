"""Where a vessel lies, how its panel is set, when seasons begin and loads run: read, bounded, refused in place."""

import pytest

from proposal.errors import SpecError
from proposal.reading import read_text
from proposal.spec.project import Spec
from proposal.spec.references import complaints
from tests.generate import PROJECTS

MARRAM = (PROJECTS / "marram" / "spec.yaml").read_text(encoding="utf-8")


def spec_with(old="", new=""):
    assert old in MARRAM
    return read_text(MARRAM.replace(old, new), "spec.yaml", Spec, also=complaints).value


def complaint_of(old, new):
    with pytest.raises(SpecError) as caught:
        spec_with(old, new)
    (problem,) = caught.value.problems
    return f"{problem.what} · {problem.allowed}"


def test_what_marram_states():
    spec = spec_with()
    assert (spec.climate.position.latitude_deg, spec.climate.position.longitude_deg) == (12.6, -61.4)
    assert [s.begins_day for s in spec.climate.seasons.values()] == [334, 179]
    solar = spec.sources["solar"]
    assert (solar.tilt_deg, solar.azimuth_deg, solar.shading) == (0.0, None, 0.0)
    assert (spec.loads["nav_lights"].when, spec.loads["fridge"].when) == ("night", None)


def test_nothing_of_it_need_be_stated():
    spec = spec_with("  position: {latitude: 12.6 °, longitude: -61.4 °}\n", "")
    assert spec.climate.position is None


@pytest.mark.parametrize(
    ("old", "new", "what"),
    [
        ("latitude: 12.6 °", "latitude: 92 °", "`climate.position.latitude` is too large · at most 90 °"),
        ("latitude: 12.6 °", "latitude: 12.6", "`climate.position.latitude` has no unit; write 12.6 °"),
        ("longitude: -61.4 °", "longitude: -200 °", "`climate.position.longitude` is too small · at least -180 °"),
        ("tilt: 0 °", "tilt: -5 °", "is too small · at least 0 °"),
        ("tilt: 0 °", "shading: 101 %", "is beyond what a share can be here"),
        ("when: night", "when: nights", "is none of the choices; did you mean night?"),
        ("begins: 12-01", "begins: 1 December", "is not a day of the year · month-day, e.g. 12-15"),
        ("begins: 12-01", "begins: 02-29", "is not a day of every year"),
        ("begins: 12-01", "begins: 13-01", "is not a day of the year"),
        ("begins: 06-29", "begins: 09-29", "this season has 210 days, but 302 until the next one begins"),
        ("begins: 12-01, days: 210", "begins: 12-01, days: 200", "has 200 days, but 210 until the next one begins"),
    ],
)
def test_what_cannot_be_is_refused_with_a_remedy(old, new, what):
    if old == "begins: 06-29":
        with pytest.raises(SpecError) as caught:
            spec_with(old, new)
        assert len(caught.value.problems) == 2  # both seasons miss their length
        assert what in caught.value.problems[0].what
        return
    assert what in complaint_of(old, new)


@pytest.mark.parametrize(("begins", "day"), [("01-01", 0), ("12-31", 364), ("03-01", 59)])
def test_a_day_of_the_year_is_counted_from_the_first_of_january(begins, day):
    text = MARRAM.replace("begins: 06-29, ", "").replace("begins: 12-01", f"begins: {begins}")
    seasons = read_text(text, "spec.yaml", Spec, also=complaints).value.climate
    assert seasons.seasons["trade_winds"].begins_day == day
    assert seasons.first_days() == (day, (day + 210) % 365)


def test_a_miscount_of_a_leap_day_is_nobodys_fault():
    assert spec_with("days: 155 days", "days: 156 days").climate.first_days() == (334, 179)
