"""Whose word in writing an option needs, and whether the spec names the paper."""

import datetime
from dataclasses import replace

import pytest

from proposal.results.consents import consent_rows, limits_row
from proposal.rules.consents import needed_consents
from proposal.spec.vessel import Consent, Mains


def codes(evidence):
    return [need.code for need in needed_consents(evidence)]


def test_lead_alone_needs_nobodys_word_but_that_of_the_mains_and_of_the_builder(bench):
    plain = {"sources.alternator.limited": False}
    assert codes(bench.option("one", plain)) == ["mains_electrician", "holes"]


def test_lithium_that_a_relay_joins_with_lead_needs_makers_and_insurer(bench):
    (both, insurer, *_) = needed_consents(bench.option("shared"))
    assert (both.code, both.values) == ("lithium_with_lead", {"bank": "banks.lithium", "lead": "banks.lead"})
    # two strings of 230 Ah at 12.8 V, as the maker states the nominal voltage
    battery = bench.option("shared").circuit.battery["banks.lithium.s1"]
    held_wh = 2 * battery.part.capacity_ah * battery.part.voltage_v
    assert (insurer.code, insurer.values) == ("lithium_insurer", {"energy_wh": held_wh})


def test_converter_parts_lithium_and_lead(bench):
    assert codes(bench.option("converter")) == ["lithium_insurer", "alternator_regulator", "mains_electrician", "holes"]


def test_regulator_that_limits_an_alternator_needs_its_makers_word(bench):
    need = next(n for n in needed_consents(bench.option("one")) if n.code == "alternator_regulator")
    assert need.values == {"source": "sources.alternator", "limited_a": 40.0, "nameplate_a": 80.0}


@pytest.mark.parametrize(("allowed", "needed"), [(None, True), (1, True), (2, False), (4, False)])
def test_lithium_in_series_needs_its_makers_word_unless_the_sheet_allows_it(bench, allowed, needed):
    evidence = bench.option("shared")
    batteries = tuple(
        replace(b, series_count=2, part=b.part.model_copy(update={"series_max": allowed}))
        if b.bank == "banks.lithium"
        else b
        for b in evidence.circuit.batteries
    )
    stacked = bench.circuit(evidence, batteries=batteries)
    assert ("series" in codes(stacked)) == needed
    held_wh = [
        next(n.values["energy_wh"] for n in needed_consents(each) if n.code == "lithium_insurer")
        for each in (evidence, stacked)
    ]
    assert held_wh[1] == 2.0 * held_wh[0]


def test_holes_are_asked_for_where_runs_leave_the_space_of_their_bank_aboard_boats(bench):
    need = next(n for n in needed_consents(bench.option("one")) if n.code == "holes")
    circuit = bench.option("one").circuit
    assert need.values["run_count"] == len({c.circuit for c in circuit.conductors if c.place != "box"}) > 0
    assert "holes" not in codes(bench.option("one", {"vessel.kind": "camper"}))


def paper(settles, given=None, who="Somebody"):
    date = datetime.date(2026, 1, given) if given else None
    return Consent.model_construct(who=who, what="it", given=date, where="folder", settles=settles)


def test_paper_that_is_there_comes_before_one_that_is_asked_for(bench):
    papers = (
        paper("lithium_insurer"),
        paper("lithium_insurer", 3, "Insurer"),
        paper("holes"),
        paper(None, 4, "Harbour"),
    )
    evidence = bench.option("shared", {"consents": papers})
    rows = {row.code: row for row in consent_rows(evidence)}
    assert {code: row.state for code, row in rows.items()} == {
        "lithium_with_lead": "missing", "lithium_insurer": "there", "alternator_regulator": "missing",
        "mains_electrician": "missing", "holes": "asked",
    }  # fmt: skip
    insured = rows["lithium_insurer"]
    assert (insured.who, insured.given, insured.where) == ("Insurer", "2026-01-03", "folder")
    limits = limits_row(evidence.spec.spec, ())
    assert [(p.who, p.given) for p in limits.papers] == [("Harbour", "2026-01-04")]


def test_limits_say_where_the_mains_side_begins(bench):
    mains = Mains.model_construct(by="Electrician", begins_at="the plug")
    limits = limits_row(bench.option("one", {"mains": mains}).spec.spec, ())
    assert (limits.mains_by, limits.mains_begins_at, limits.mains_aboard) == ("Electrician", "the plug", False)
