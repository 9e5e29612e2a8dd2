"""What an installer copies from an edition that he bought stands in place of what is remembered, and decides."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from proposal.circuit.laid import ampacity_of
from proposal.codes import FAMILIES, family
from proposal.codes.bounds import DROP_AT_MOST, FUSE_AT_MOST, ampacity_at_most
from proposal.codes.chosen import bought, chosen_family, installer_complaints
from proposal.codes.family import Ampacity, Bought, FuseWindow, RuleFamily
from proposal.design.step import design
from proposal.reading import read_text
from proposal.rules.finding import Evidence, RawFinding
from proposal.rules.notes import note_outcomes
from proposal.rules.registry import run_checks
from proposal.sources import Citation
from proposal.spec.installer import Installer
from proposal.spec.overlay import Pin, effective
from proposal.studies.joins.study import first_currents
from proposal.units import AWG_SIZES, MM2_SIZES, SAE_SIZES, parse_size
from tests.generate import Built, _draws, build, installer, options_of, spec_of, spec_text

EDITION = "ISO 13297:2020+A1:2022, our copy 7"
HEAD = """installer_version: "1"
name: Somebody
currency: EUR
tax: 20 %
hourly_rate: 60
labour: {survey: 1 h, per_battery: 1 h, per_device: 1 h, per_conductor: 1 h, per_metre: 1 h, commissioning: 1 h,
  documents: 1 h}
"""


def read(section: str) -> Installer:
    return read_text(HEAD + section, "installer.yaml", Installer).value


TABLE = f"""
bought_tables:
  iso_boats:
    edition: "{EDITION}"
    fuse_at_most: 90 %
    fuse_within: 150 mm
    fuse_within_sheathed: 1.5 m
    ampacity:
      - {{size: 35 mm2, insulation: 105 °C, current: 200 A}}
      - {{size: 50 mm2, insulation: 105 °C, current: 255 A}}
"""


def bought_iso(section: str = TABLE):  # type: ignore[no-untyped-def]
    return family("iso_boats").with_bought(bought(read(section).bought_tables["iso_boats"]))


def test_entered_cells_replace_the_remembered_ones():
    ours, remembered = bought_iso(), family("iso_boats")
    found = ours.ampacity(parse_size("35 mm2"), 105, 30, False, 1)
    assert (found.ampacity_a, remembered.ampacity(parse_size("35 mm2"), 105, 30, False, 1).ampacity_a) == (200, 210)
    (citation,) = found.citations
    assert citation.status == "corroborated"
    assert citation.clause == f"105 °C column of {EDITION}, as the installer entered it in installer.yaml"
    # factors work on it as on the printed one
    assert ours.ampacity(parse_size("35 mm2"), 105, 50, True, 5).ampacity_a == pytest.approx(200 * 0.86 * 0.7)


def test_what_was_not_entered_stays_remembered():
    ours, remembered = bought_iso(), family("iso_boats")
    for label, class_c in (("70 mm2", 105), ("35 mm2", 90), ("35 mm2", 125)):
        one, other = (known.ampacity(parse_size(label), class_c, 30, False, 1) for known in (ours, remembered))
        assert one == other
        assert one.citations[0].status == "from memory"


def test_the_family_itself_is_left_as_it_was():
    bought_iso()
    assert family("iso_boats").ampacity(parse_size("35 mm2"), 105, 30, False, 1).ampacity_a == 210
    assert EDITION not in family("iso_boats").edition
    assert EDITION in bought_iso().edition


def test_entered_fuse_rule_and_distances_decide():
    ours = bought_iso()
    window = ours.fuse_window(100, 200, 12)
    assert (window.smallest_a, window.largest_a) == (125, 180)
    assert window.citation.status == "corroborated"
    for sheathed, distance_m in ((False, 0.15), (True, 1.5)):
        for at_battery in (False, True):
            found = ours.fuse_distance_m(at_battery, sheathed)
            assert found.value == distance_m
            assert EDITION in found.citation.clause
    plain = bought_iso(TABLE.replace("    fuse_at_most: 90 %\n", "").replace("    fuse_within: 150 mm\n", ""))
    assert plain.fuse_window(100, 200, 12) == family("iso_boats").fuse_window(100, 200, 12)
    assert plain.fuse_distance_m(True, False) == family("iso_boats").fuse_distance_m(True, False)
    assert plain.fuse_distance_m(True, True).value == 1.5


def test_a_class_that_the_family_has_no_column_for_can_be_entered():
    """IEC 60364-5-52 has tables for 90 °C; here it has one column until somebody enters another."""
    entered = Bought("the bought edition", {("35 mm²", 90): 128.0})
    ours = family("eu_vehicles").with_bought(entered)
    assert ours.ampacity(parse_size("35 mm2"), 90, 30, False, 2).ampacity_a == 128
    assert ours.ampacity(parse_size("35 mm2"), 105, 30, False, 2).ampacity_a == 128
    assert ours.ampacity(parse_size("35 mm2"), 70, 30, False, 2).ampacity_a == 99
    assert ours.ampacity(parse_size("50 mm2"), 90, 30, False, 2).ampacity_a == 118  # its row has no such column
    assert ours.insulation_classes_c == (70, 90, 105)
    assert family("us_boats").with_bought(Bought("x", {("2 AWG", 150): 230.0})).insulation_classes_c[-2:] == (150, 200)


def test_the_note_on_the_table_passes_once_it_was_read():
    built = next(options_of(spec_text(_draws("bought"), voltage_v=24, arrangements=("one_bank",), rules="iso_boats",
                                      most_loads=4)))  # fmt: skip
    cells = {(size.label, c): family("iso_boats").ampacity(size, c, 30, False, 1).table_a
             for size in built.family.sizes for c in built.family.insulation_classes_c}  # fmt: skip
    assert outcomes(built)["conductor_current"] == "undecided"
    for share in (None, 1.0):
        standing = outcomes(replace(built, family=built.family.with_bought(Bought(EDITION, cells, share))))
        assert standing["conductor_current"] == "passed"
        assert standing["fuse_rating"] == ("undecided" if share is None else "passed")
        assert standing["bundles"] == "undecided"  # its factors were not entered


def outcomes(built: Built) -> dict[str, str]:
    made = built.design()
    evidence = Evidence(made, built.spec, built.family, first_currents(made.circuit, built.family), built.catalogue)
    found = note_outcomes(evidence, run_checks(evidence))
    return {standing.note.id.partition(".")[2]: standing.outcome for standing in found}


def thin() -> Built:
    text = spec_text(_draws("thin"), voltage_v=12, arrangements=("one_bank",), rules="iso_boats", most_loads=20)
    return next(options_of(re.sub(r"insulation: \d+ °C", "insulation: 105 °C", text)))


def overloaded(built: Built, rules: RuleFamily, load: str, size: str) -> list[RawFinding]:
    """What check 3 says of the positive conductor of a load that is pinned to a size."""
    made = design(built.circuit, {load: Pin(load, size, False, ())}, built.catalogue, rules)
    evidence = Evidence(made, built.spec, rules, first_currents(made.circuit, rules), built.catalogue)
    (run,) = [run for run in run_checks(evidence) if run.check.id == "conductor_overloaded"]
    return [f for f in run.findings if f.item == f"{load}.positive" and f.values.get("cause") == "current"]


def test_an_overload_is_undecided_by_memory_and_decided_by_the_bought_table():
    """A size that ISO's remembered table finds too thin, and the most generous corroborated one not yet."""
    built, remembered = thin(), family("iso_boats")
    load, size = next(
        (load.key, size.label)
        for load in built.circuit.loads
        for size in remembered.sizes
        for found in [ampacity_of(built.circuit.conductor[f"{load.key}.positive"], size, built.circuit, remembered)]
        if load.inverter_id is None and found.ampacity_a < load.current_a < (found.certain_a or 0.0)
    )
    (finding,) = overloaded(built, remembered, load, size)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "edition")
    cells = {(size, class_c): remembered.ampacity(parse_size(size), class_c, 30, False, 1).table_a
             for class_c in remembered.insulation_classes_c}  # fmt: skip
    (finding,) = overloaded(built, remembered.with_bought(Bought(EDITION, cells)), load, size)
    assert (finding.outcome, finding.citation.status) == ("fires", "corroborated")
    assert EDITION in finding.citation.clause


def test_a_gross_overload_is_sure_whatever_is_remembered():
    """33 CFR 183.425 Table 5, corroborated: 16 AWG, which is more than 1 mm², carries 25 A at 105 °C."""
    built, remembered = thin(), family("iso_boats")
    load = max(built.circuit.loads, key=lambda item: item.current_a)
    assert load.current_a > 25.0
    (finding,) = overloaded(built, remembered, load.key, "1 mm2")
    assert (finding.outcome, finding.citation.source) == ("fires", "cfr183")
    assert finding.citation.clause == (
        "183.425 Table 5: 16 AWG at 105 °C carries 25 A, and no table known here allows more"
    )


# --- what a remembered factor alone makes too much -------------------------------------------------------------------


def test_an_overload_rests_on_the_table_or_on_a_remembered_factor():
    """BS 7671's column is corroborated, its grouping factor remembered: 75 A · 0.8 for two circuits of 10 mm²."""
    found = family("british").ampacity(parse_size("10 mm2"), 90, 30, False, 4)
    assert found.ampacity_a == pytest.approx(60)
    assert found.certain_a == pytest.approx(75)
    assert found.over(61).status == found.over(75).status == "from memory"
    assert found.over(75.1).status == "corroborated"


def test_with_nothing_remembered_the_table_decides():
    table = Citation("bs7671", "a table", "corroborated")
    assert Ampacity(10, 10, 1, 1, (table,)).over(11) is table
    hot = family("us_boats").ampacity(parse_size("2/0 AWG"), 105, 45, False, 1)
    assert hot.certain_a == hot.ampacity_a
    assert hot.over(hot.ampacity_a + 0.1).status == "corroborated"


# --- what can be wrong in the file -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("row", "where", "what"),
    [
        ("{size: 35 AWG SAE, insulation: 105 °C, current: 200 A}", None, None),
        ("{size: 240 mm2, insulation: 105 °C, current: 600 A}", "size", "240 mm² is not a size of Small craft by ISO"),
        ("{size: 2 AWG, insulation: 105 °C, current: 200 A}", "size", "2 AWG is not a size of Small craft by ISO"),
        ("{size: 35 mm2, insulation: 30 °C, current: 200 A}", "insulation", "30 °C is no class of insulation"),
        ("{size: 35 mm2, insulation: 90.5 °C, current: 200 A}", "insulation", "90.5 °C is no class of insulation"),
        ("{size: 35 mm2, insulation: 90 °C, current: 0 A}", "current", "a conductor of a table carries something"),
        ("{size: 35 mm2, insulation: 105 °C, current: 9 A}", None, "35 mm² at 105 °C stands here a second time"),
    ],
)
def test_rows_that_do_not_fit_are_told_with_their_place(row: str, where: str | None, what: str | None) -> None:
    if what is None:
        with pytest.raises(Exception, match="conductor size"):
            read(TABLE + f"      - {row}\n")
        return
    document = read_text(HEAD + TABLE + f"      - {row}\n", "installer.yaml", Installer)
    ((loc, told, allowed),) = installer_complaints(document.value)
    assert told.startswith(what)
    assert allowed
    line, column = document.position(loc)
    text = (HEAD + TABLE + f"      - {row}\n").splitlines()[line - 1]
    assert row in text
    assert where is None or text[: column - 1].endswith(f"{where}: ")


def test_a_table_for_rules_that_there_are_not():
    document = read_text(HEAD + TABLE.replace("iso_boats:", "moon_boats:"), "installer.yaml", Installer)
    (complaint,) = installer_complaints(document.value)
    assert complaint == (("bought_tables", "moon_boats"), "“moon_boats” is no rule family", ", ".join(FAMILIES))


def test_the_chosen_family_has_the_installers_table_and_others_have_not():
    spec = spec_of(spec_text(_draws("chosen"), rules="iso_boats", most_loads=3))
    option = next(iter(spec.options))
    with_table = installer().model_copy(update={"bought_tables": read(TABLE).bought_tables})
    assert EDITION in chosen_family(effective(spec, with_table, option), with_table).edition
    other = spec.model_copy(update={"rules": "us_boats"})
    assert chosen_family(effective(other, with_table, option), with_table) is family("us_boats")
    assert build(spec, option).family is family("iso_boats")


@pytest.mark.parametrize(("sheathed", "remembered_m", "certain_m"), [(True, 1.8, 1.8288), (False, 0.2, 0.45)])
def test_an_unfused_battery_is_sure_where_every_rule_forbids_it(sheathed, remembered_m, certain_m):
    """ISO's distances are remembered; ABYC's 72 in and NEC's 450 mm, both corroborated, are the longest of all."""
    limit = family("iso_boats").fuse_distance_m(True, sheathed)
    assert limit.value == remembered_m
    assert limit.over(remembered_m + 0.01).status == "from memory"
    assert limit.over(certain_m).status == "from memory"
    assert limit.over(certain_m + 0.001).status == "corroborated"
    others = [known.fuse_distance_m(True, sheathed) for known in FAMILIES.values()]
    assert max(found.value for found in others if found.citation.status == "corroborated") == pytest.approx(certain_m)


def test_a_limit_without_another_rests_on_itself():
    limit = family("us_boats").fuse_distance_m(True, True)
    assert limit.over(99.0) is limit.citation


# --- what no rule known here allows ----------------------------------------------------------------------------------


@pytest.mark.parametrize("known", FAMILIES.values(), ids=list(FAMILIES))
def test_no_table_lets_a_conductor_carry_more_than_the_bound(known: RuleFamily) -> None:
    for size in (*AWG_SIZES, *SAE_SIZES, *MM2_SIZES):
        for class_c in (60, 70, 75, 80, 85, 90, 105, 125, 200):
            bound = ampacity_at_most(size, class_c)
            assert known.ampacity(size, class_c, 30, False, 1).ampacity_a <= bound.value * (1 + 1e-12)
            assert bound.citation.status == "corroborated"


@pytest.mark.parametrize("known", FAMILIES.values(), ids=list(FAMILIES))
def test_no_fuse_rule_and_no_drop_limit_allows_more_than_the_bound(known: RuleFamily) -> None:
    for ampacity_a in (15.0, 55.0, 100.0, 480.0):
        for volts in (12.0, 24.0, 48.0):
            assert known.fuse_window(1.0, ampacity_a, volts).largest_a <= FUSE_AT_MOST.value * ampacity_a
    assert max(known.drop_limit(critical).value for critical in (True, False)) <= DROP_AT_MOST.value
    remembered = [known.fuse_window(1.0, 50.0, 12.0).citation, known.drop_limit(True).citation]
    bounded = [known.fuse_window(1.0, 50.0, 12.0).certain, known.drop_limit(True).certain]
    for citation, bound in zip(remembered, bounded, strict=True):
        assert (bound is not None) == (citation.status == "from memory")


def test_a_fuse_is_surely_too_large_beyond_what_any_rule_allows() -> None:
    """IEC 60364-4-43, from memory, against 33 CFR's 150 %, corroborated; 80 A is the corroborated table of 25 mm²."""
    carries = family("eu_vehicles").ampacity(parse_size("25 mm2"), 70, 30, False, 2)
    window = family("eu_vehicles").fuse_window(10.0, carries.ampacity_a, 12.0)
    assert window.over(81.0, carries).source == window.over(120.0, carries).source == "iec60364_4_43"
    assert window.over(120.1, carries) == FUSE_AT_MOST.citation
    remembered = family("iso_boats").ampacity(parse_size("25 mm2"), 105, 30, False, 1)
    assert (remembered.ampacity_a, remembered.certain_a) == (170, 180)  # Table 5: 3 AWG at 105 °C
    window = family("iso_boats").fuse_window(10.0, 170.0, 12.0)
    assert window.over(270.0, remembered).status == "from memory"
    assert window.over(270.1, remembered).status == "corroborated"


def test_a_rule_that_was_read_needs_no_bound() -> None:
    window = family("us_boats").fuse_window(10.0, 100.0, 12.0)
    carries = family("us_boats").ampacity(parse_size("10 AWG"), 105, 30, False, 1)
    assert window.over(1e6, carries) is window.citation
    assert FuseWindow(1, 2, window.citation).over(3, Ampacity(2, 2, 1, 1, (window.citation,))) is window.citation
    entered = bought_iso()
    assert entered.fuse_window(10, 200, 12).certain is None
    assert EDITION in entered.fuse_window(10, 200, 12).over(1e6, carries).clause
