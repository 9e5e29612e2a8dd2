"""The American rule families against worked examples, and what must hold for every size, temperature and current."""

from __future__ import annotations

import csv
import itertools
import math
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from proposal.codes import FAMILIES, family
from proposal.codes.family import Ampacity, RuleFamily, highest_system_v
from proposal.codes.nec_ratings import next_standard_rating_a
from proposal.rules.registry import CHECKS
from proposal.sources import SOURCES, Citation
from proposal.units import AWG_SIZES, MM2_SIZES, SAE_SIZES, ConductorSize, parse_size

TRUTH = Path(__file__).parent / "truth"
US = family("us_boats")
NEC = family("nec_cabins")

with (TRUTH / "worked_examples.csv").open(encoding="utf-8", newline="") as _file:
    WORKED = {row["id"]: row for row in csv.DictReader(_file)}

FINDINGS = {check.id for check in CHECKS}

families = st.sampled_from(tuple(FAMILIES.values()))
sizes = st.sampled_from((*AWG_SIZES, *SAE_SIZES, *MM2_SIZES))
insulations_c = st.integers(-100, 300)
temperatures_c = st.floats(-60, 250)
counts = st.integers(1, 60)
currents_a = st.floats(0, 5000)
system_voltages_v = st.sampled_from((12.0, 24.0, 48.0))


def expected(example: str) -> float:
    return float(WORKED[example]["expected"])


# --- worked examples: source, status and printed figure stand in tests/truth/worked_examples.csv ---------------------


def test_w20_ampacity_outside_the_engine_space() -> None:
    found = US.ampacity(parse_size("2/0 AWG"), 105, 30, False, 1)
    assert found.ampacity_a == expected("W20")


def test_w21_ampacity_inside_the_engine_space() -> None:
    found = US.ampacity(parse_size("2/0 AWG"), 105, 50, True, 1)
    assert found.ampacity_a == pytest.approx(expected("W21"), rel=1e-12)
    assert (found.table_a, found.temperature_factor) == (330, 0.85)


def test_w24_fuse_cap_below_50_v() -> None:
    ampacity_a = US.ampacity(parse_size("2/0 AWG"), 105, 30, False, 1).ampacity_a
    assert US.fuse_window(100, ampacity_a, 12).largest_a == expected("W24")


def test_w28_nec_75_degree_column() -> None:
    assert NEC.ampacity(parse_size("2 AWG"), 75, 30, False, 2).ampacity_a == expected("W28")


def test_w43_breaking_capacity_by_cranking_rating() -> None:
    words = WORKED["W43"]["expected"]  # "3000 main / 1500 branch"
    main_a, branch_a = (float(word) for word in words.split() if word.isdigit())
    found = [US.minimum_interrupt_a(800, main) for main in (True, False)]
    assert [f.value for f in found if f] == [main_a, branch_a]


def test_w79_fuse_distances() -> None:
    in_mm = [float(word) for word in WORKED["W79"]["expected"].split(" / ")]
    ours_mm = [1000 * US.fuse_distance_m(*where).value for where in ((False, False), (False, True), (True, True))]
    assert ours_mm == pytest.approx(in_mm, rel=1e-12)
    assert US.fuse_distance_m(True, False).value == US.fuse_distance_m(False, False).value


def test_w06_solid_copper_resistance_before_the_allowance() -> None:
    ohm_per_m = US.resistance_20c_ohm_per_m(parse_size("10 AWG")).value
    assert ohm_per_m / 1.02 * 304.8 == pytest.approx(expected("W06"), rel=2e-4)


def test_w08_metric_conductor_under_an_awg_family() -> None:
    for known in FAMILIES.values():
        ohm_per_m = known.resistance_20c_ohm_per_m(parse_size("35 mm2")).value
        assert ohm_per_m * 1000 == pytest.approx(expected("W08"), rel=1e-12)
        assert ohm_per_m * 1000 * (1 + 0.00393 * 10) == pytest.approx(expected("W09"), rel=2e-4)


# --- single rules ----------------------------------------------------------------------------------------------------


def test_a_48_v_system_falls_under_the_rule_for_50_v() -> None:
    """33 CFR 183.455(c): 100 % or the next standard rating, at most 150 %."""
    assert US.fuse_window(100, 330, 48).largest_a == 350
    assert US.fuse_window(100, 330, 24).largest_a == 495
    assert US.fuse_window(1, 16, 48).largest_a == 20
    assert US.fuse_window(1, 1.5, 48).largest_a == 2.25  # the next rating, 3 A, would be 200 %
    assert "50 V" in US.fuse_window(100, 330, 48).citation.clause


def test_nec_fuse_is_the_ampacity_or_the_next_standard_rating() -> None:
    """NEC 240.4(B), 240.6(A), from memory."""
    window = NEC.fuse_window(100, 115, 24)
    assert (window.smallest_a, window.largest_a) == (125, 125)
    assert window.citation.status == "from memory"
    assert NEC.fuse_window(100, 150, 24).largest_a == 150
    assert NEC.fuse_window(100, 150.0000000001, 24).largest_a == 150  # rounding of a product
    assert NEC.fuse_window(100, 150.01, 24).largest_a == 175
    assert NEC.fuse_window(100, 900, 24).largest_a == 900  # 240.4(C): no rounding up above 800 A


@pytest.mark.parametrize(("gauge", "fuse_a"), [("14", 15), ("12", 20), ("10", 30)])
def test_nec_small_conductors_never_get_a_larger_fuse(gauge: str, fuse_a: int) -> None:
    """NEC 240.4(D), from memory; NEC table 552.10(E)(1) has the same figures for vehicles, from memory."""
    for insulation_c, place_c, count in itertools.product((60, 75, 90, 105), (20, 33, 44, 58), (2, 5, 12)):
        found = NEC.ampacity(parse_size(f"{gauge} AWG"), insulation_c, place_c, False, count)
        assert NEC.fuse_window(1, found.ampacity_a, 12).largest_a <= fuse_a


def test_nec_terminals_limit_hot_insulation() -> None:
    """NEC 110.14(C), from memory: 90 °C insulation may be corrected from its own column, not used above 75 °C's."""
    at_30, at_50 = (NEC.ampacity(parse_size("2 AWG"), 105, place_c, False, 2) for place_c in (30, 50))
    assert (at_30.ampacity_a, at_30.temperature_factor) == (115, 1)
    assert "110.14(C)" in at_30.citations[-1].clause
    assert at_50.ampacity_a == pytest.approx(130 * 0.82)
    assert at_50.table_a == 130


def test_nec_ambient_between_rows_takes_the_upper_end_of_the_band() -> None:
    assert NEC.ampacity(parse_size("2 AWG"), 75, 30.5, False, 2).temperature_factor == 0.94
    assert NEC.ampacity(parse_size("2 AWG"), 75, 35, False, 2).temperature_factor == 0.94
    assert NEC.ampacity(parse_size("2 AWG"), 75, 35.5, False, 2).temperature_factor == 0.88


def test_nec_square_root_rule_where_the_table_has_no_row() -> None:
    """Textbook heat balance: I² ∝ T_insulation − T_place."""
    found = NEC.ampacity(parse_size("2 AWG"), 60, 45, False, 2)
    assert found.temperature_factor == pytest.approx(math.sqrt(15 / 30))
    assert found.citations[-1].source == "arithmetic"
    above_table = NEC.ampacity(parse_size("2 AWG"), 75, 66, False, 2)
    assert above_table.temperature_factor == pytest.approx(math.sqrt(9 / 45))


def test_us_square_root_rule_outside_the_engine_space() -> None:
    found = US.ampacity(parse_size("2/0 AWG"), 105, 45, False, 1)
    assert found.temperature_factor == pytest.approx(math.sqrt(60 / 75))
    assert found.citations[-1].status == "common practice"


def test_engine_space_hotter_than_its_note() -> None:
    """A space of 60 °C: the lower of the note's 0.85 (50 °C) and the square-root rule."""
    found = US.ampacity(parse_size("2/0 AWG"), 105, 60, True, 1)
    assert found.temperature_factor == pytest.approx(math.sqrt(45 / 75))
    assert US.ampacity(parse_size("2/0 AWG"), 105, 50.2, True, 1).temperature_factor == 0.85
    assert US.ampacity(parse_size("2/0 AWG"), 105, 51, True, 1).temperature_factor == pytest.approx(math.sqrt(54 / 75))
    # insulation below the lowest class: the space is taken as 50 °C even where it is said to be cool
    poor = US.ampacity(parse_size("2/0 AWG"), 55, 20, True, 1)
    assert poor.temperature_factor == pytest.approx(math.sqrt((55 - 50) / (60 - 30)))
    assert poor.table_a == 225  # the 60 °C column
    assert "insulation 55 °C" in poor.citations[-1].clause
    assert US.ampacity(parse_size("2/0 AWG"), 200, 20, True, 1).temperature_factor == 1.0


def test_us_bundles_count_from_50_v_only() -> None:
    size = parse_size("6 AWG")
    assert US.ampacity(size, 105, 30, False, 12).bundle_factor == 1
    assert US.ampacity(size, 105, 30, False, 12, system_v=24).bundle_factor == 1
    assert US.ampacity(size, 105, 30, False, 12, system_v=48).bundle_factor == 0.5


def test_nec_resistance_agrees_by_both_coefficients() -> None:
    """Table 8's own note: R2 = R1·(1 + 0.00323·(T2 − 75)); the package uses 0.00393/K from 20 °C."""
    with (TRUTH / "nec_ch9_table8.csv").open(encoding="utf-8", newline="") as file:
        stranded = {row["awg"]: row for row in csv.DictReader(file) if row["stranding"] == "stranded"}
    for size in NEC.sizes:
        row = stranded[size.label.removesuffix(" AWG")]
        ours = NEC.resistance_20c_ohm_per_m(size)
        assert ours.value * 1000 == pytest.approx(float(row["ohm_per_km_75C"]) * (1 - 0.00323 * 55), rel=2e-4)
        assert ours.value * 1000 * (1 + 0.00393 * 55) == pytest.approx(float(row["ohm_per_km_75C"]), rel=1e-12)
        assert ours.citation.status == row["status"]


def test_a_metric_size_outside_the_table_is_reckoned_by_area() -> None:
    for known in FAMILIES.values():
        found = known.resistance_20c_ohm_per_m(ConductorSize("mm2", "300 mm²", 300.0))
        assert found.value == pytest.approx(1.02 * 0.017241 / 300)
        assert found.citation.status == "common practice"


def test_both_families_agree_on_copper() -> None:
    """Stranded copper is the same metal under both: 2 % by practice against the printed table."""
    for size in NEC.sizes:
        ours = US.resistance_20c_ohm_per_m(size).value
        assert ours == pytest.approx(NEC.resistance_20c_ohm_per_m(size).value, rel=0.012)


def test_interrupt_rows_at_their_edges() -> None:
    """Older ABYC Table V-A, main device of a flooded bank."""
    asked = {1: 1500, 650: 1500, 651: 3000, 1100: 3000, 1100.5: 5000, 2200: 5000, 2201: 5000}
    for cranking_a, main_a in asked.items():
        found = US.minimum_interrupt_a(cranking_a, True)
        assert found is not None
        assert found.value == main_a
        assert ("maker" in found.citation.clause) == (cranking_a > 2200)
    assert US.minimum_interrupt_a(None, True) is None
    assert NEC.minimum_interrupt_a(800, True) is None


def test_drop_limits_and_floors() -> None:
    assert [US.drop_limit(c).value for c in (True, False)] == [0.03, 0.10]
    assert [NEC.drop_limit(c).value for c in (True, False)] == [0.03, 0.05]
    assert "advice" in NEC.drop_limit(True).citation.clause
    assert [US.minimum_size(s).size.label for s in (False, True)] == ["16 AWG", "18 AWG"]
    assert NEC.minimum_size(False).size.label == "14 AWG"
    device = US.device_per_battery_above_ah()
    assert device is not None
    assert device.value == 500
    assert NEC.device_per_battery_above_ah() is None
    assert NEC.fuse_distance_m(True, True).value == 0.45


def test_the_line_between_both_us_rules_is_50_v() -> None:
    """33 CFR 183.455(c), 183.435(b): a nominal 38.8 V reaches 50.1 V, 38.6 V reaches 49.9 V."""
    for nominal_v, largest_a, bundle_factor in ((38.8, 100, 0.7), (38.6, 150, 1.0)):
        assert US.fuse_window(1, 100, nominal_v).largest_a == largest_a
        assert US.ampacity(parse_size("4 AWG"), 105, 30, False, 3, system_v=nominal_v).bundle_factor == bundle_factor


def test_highest_system_voltage() -> None:
    """ISO 10133's window for 12 and 24 V, corroborated; 58 to 62 V at 48 V, common practice."""
    assert [highest_system_v(v).value for v in (12, 24, 48)] == pytest.approx([15.5, 31, 62])
    assert [highest_system_v(v).citation.status for v in (12, 24, 48)] == ["corroborated"] * 2 + ["common practice"]


# --- what holds for everything ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Case:
    """One question for an ampacity; 48 V, so that both families' bundling counts."""

    known: RuleFamily
    size: ConductorSize
    insulation_c: int
    place_c: float
    engine_space: bool
    bundled_count: int
    system_v: float = 48.0

    @property
    def found(self) -> Ampacity:
        return self.known.ampacity(
            self.size, self.insulation_c, self.place_c, self.engine_space, self.bundled_count, system_v=self.system_v
        )

    @property
    def ampacity_a(self) -> float:
        return self.found.ampacity_a


cases = st.builds(Case, families, sizes, insulations_c, temperatures_c, st.booleans(), counts)
ROUNDING = 1 + 1e-12


@given(cases, system_voltages_v)
def test_ampacity_is_its_factors_and_never_above_the_table(case: Case, volts: float) -> None:
    found = replace(case, system_v=volts).found
    product = found.table_a * found.temperature_factor * found.bundle_factor
    assert math.isclose(found.ampacity_a, product, rel_tol=1e-12)
    assert 0 <= found.temperature_factor <= 1
    assert 0 < found.bundle_factor <= 1
    assert found.citations
    if case.place_c >= case.insulation_c:
        assert found.ampacity_a == 0


@given(cases, temperatures_c)
def test_cold_never_raises_an_ampacity(case: Case, cold_c: float) -> None:
    at_30 = replace(case, place_c=30).ampacity_a
    assert replace(case, place_c=min(cold_c, 30)).ampacity_a == at_30


@given(cases, sizes)
def test_ampacity_grows_with_size(case: Case, other: ConductorSize) -> None:
    small, large = sorted((case.size, other))
    assert replace(case, size=small).ampacity_a <= replace(case, size=large).ampacity_a * ROUNDING


@given(cases, insulations_c)
def test_ampacity_grows_with_insulation_class(case: Case, other_c: int) -> None:
    poor_c, good_c = sorted((case.insulation_c, other_c))
    assert replace(case, insulation_c=poor_c).ampacity_a <= replace(case, insulation_c=good_c).ampacity_a * ROUNDING


@given(cases, temperatures_c)
def test_ampacity_falls_with_heat(case: Case, other_c: float) -> None:
    cool_c, hot_c = sorted((case.place_c, other_c))
    assert replace(case, place_c=cool_c).ampacity_a * ROUNDING >= replace(case, place_c=hot_c).ampacity_a


@given(cases, counts)
def test_ampacity_falls_with_company(case: Case, other: int) -> None:
    few, many = sorted((case.bundled_count, other))
    assert replace(case, bundled_count=few).ampacity_a >= replace(case, bundled_count=many).ampacity_a


@given(cases)
def test_an_engine_space_never_helps(case: Case) -> None:
    """But for rounding of the printed factors, and for 200 °C insulation, whose factor of 1 is from memory."""
    assume(case.insulation_c < 200)
    inside, outside = (replace(case, engine_space=engine).ampacity_a for engine in (True, False))
    assert inside <= outside * 1.01


@given(families, currents_a, currents_a, system_voltages_v)
def test_fuse_window_is_empty_only_for_a_conductor_too_small(
    known: RuleFamily, design_a: float, ampacity_a: float, volts: float
) -> None:
    window = known.fuse_window(design_a, ampacity_a, volts)
    assert window.smallest_a == 1.25 * design_a
    highest_a = max(1.5 * ampacity_a, next_standard_rating_a(ampacity_a).value)
    assert ampacity_a * (1 - 1e-9) <= window.largest_a <= highest_a
    if window.smallest_a > window.largest_a:
        assert ampacity_a < 1.25 * design_a * ROUNDING


@given(families, currents_a, currents_a, system_voltages_v)
def test_fuse_window_grows_with_ampacity(known: RuleFamily, one: float, two: float, volts: float) -> None:
    small_a, large_a = sorted((one, two))
    assert known.fuse_window(1, small_a, volts).largest_a <= known.fuse_window(1, large_a, volts).largest_a


@given(families, sizes)
def test_resistance_is_that_of_copper(known: RuleFamily, size: ConductorSize) -> None:
    """No conductor is better than solid IACS copper of its area, nor 20 % worse."""
    ohm_mm2_per_m = known.resistance_20c_ohm_per_m(size).value * size.area_mm2
    assert 0.017241 < ohm_mm2_per_m < 1.2 * 0.017241


@pytest.mark.parametrize("known", FAMILIES.values(), ids=list(FAMILIES))
def test_ladder_and_resistance_run_one_way(known: RuleFamily) -> None:
    assert list(known.sizes) == sorted(known.sizes)
    assert {size.system for size in known.sizes} == {known.size_system}
    ohms = [known.resistance_20c_ohm_per_m(size).value for size in known.sizes]
    assert ohms == sorted(ohms, reverse=True)
    assert list(known.insulation_classes_c) == sorted(known.insulation_classes_c)
    assert known.minimum_size(False).size in known.sizes


# --- code notes ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("known", FAMILIES.values(), ids=list(FAMILIES))
def test_code_notes(known: RuleFamily) -> None:
    notes = known.code_notes
    assert 12 <= len(notes) <= 40
    assert len({note.id for note in notes}) == len(notes)
    assert len({note.topic for note in notes}) == len(notes)
    for note in notes:
        assert note.id.startswith(f"{known.id}.")
        assert set(note.checks) <= FINDINGS
        assert note.citation.source in SOURCES
        assert note.citation.clause == note.clause
        assert note.text.endswith(".")
        assert note.text == note.text.strip()
    assert any(note.checks for note in notes)
    assert any(not note.checks for note in notes)


def test_notes_from_memory_send_the_reader_to_the_edition_or_name_the_clause() -> None:
    for known in FAMILIES.values():
        for note in known.code_notes:
            if note.citation.status == "from memory":
                assert "check your edition" in note.clause or note.clause.removeprefix("Table ")[0].isdigit()


# --- the package -----------------------------------------------------------------------------------------------------


def _citations(known: RuleFamily) -> Iterator[Citation]:
    for size, insulation_c, place_c, engine, count in itertools.product(
        (*known.sizes, *MM2_SIZES), known.insulation_classes_c, (20, 33, 70), (False, True), (1, 5, 50)
    ):
        yield from known.ampacity(size, insulation_c, place_c, engine, count, system_v=48).citations
        yield known.resistance_20c_ohm_per_m(size).citation
    for flag in (False, True):
        yield known.drop_limit(flag).citation
        yield known.fuse_distance_m(flag, flag).citation


@pytest.mark.parametrize("known", FAMILIES.values(), ids=list(FAMILIES))
def test_every_answer_can_be_looked_up(known: RuleFamily) -> None:
    for citation in set(_citations(known)):
        assert citation.source in SOURCES
        assert citation.clause


def test_an_unknown_family_names_the_known_ones() -> None:
    with pytest.raises(KeyError, match="us_boats, iso_boats, nec_cabins, eu_vehicles, british"):
        family("moon")


def test_importing_reads_no_table_and_nothing_heavy() -> None:
    program = (
        "import sys, proposal.codes as c, proposal.codes.rows as r;"
        "assert r.rows.cache_info().currsize == 0;"
        "assert not {'numpy', 'pydantic', 'yaml', 'pandas'} & set(sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
