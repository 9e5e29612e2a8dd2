"""Checks 53 and 54: the mains side beside the battery system; joints with earth and hull."""

from dataclasses import replace

import pytest

from proposal.codes.fitting import fitting_limit
from proposal.spec.vessel import Bonding, Mains
from proposal.units import parse_size


def mains(**changed):
    good = {
        "earth_bonded": True, "residual_device": True, "neutral_switched": True,
        "case_conductor": parse_size("4/0 AWG"),
        "shore_earth": "isolator",
    }  # fmt: skip
    return Mains.model_construct(**{**good, **changed})


def bonding(**changed):
    return Bonding.model_construct(**{"bonds": 1, "common_negative": True, **changed})


def stated(bench, option="one", spec=None, bonds=None, **changed):
    return bench.option(option, {"mains": mains(**changed), "bonding": bonds or bonding(), **(spec or {})})


def causes(bench, evidence, check="mains_unsafe"):
    return [(f.item, f.outcome, f.values["cause"]) for f in bench.found(evidence, check)]


# --- 53 --------------------------------------------------------------------------------------------------------------


def test_mains_side_that_is_as_it_must_be_passes(bench):
    assert causes(bench, stated(bench)) == []
    assert bench.tested(stated(bench), "mains_unsafe") == 4


@pytest.mark.parametrize(
    ("fact", "cause"), [("earth_bonded", "earth"), ("residual_device", "inlet"), ("neutral_switched", "neutral")]
)
def test_each_fact_that_is_wrong_fires(bench, fact, cause):
    assert causes(bench, stated(bench, **{fact: False})) == [("mains", "fires", cause)]


@pytest.mark.parametrize("fact", ["earth_bonded", "residual_device", "neutral_switched", "case_conductor"])
def test_each_fact_that_nobody_states_is_undecided(bench, fact):
    (finding,) = bench.found(stated(bench, **{fact: None}), "mains_unsafe")
    assert (finding.outcome, finding.values["find_out"], finding.values["point_count"]) == (
        "undecided", "mains_facts", 1,
    )  # fmt: skip


def test_nothing_stated_is_one_point(bench):
    (finding,) = bench.found(bench.option("one"), "mains_unsafe")
    assert (finding.outcome, finding.values["point_count"]) == ("undecided", 4)


def test_inlets_device_trips_at_30_ma_where_the_family_has_one(bench):
    (finding,) = bench.found(stated(bench, residual_device=False), "mains_unsafe")
    assert finding.values["trips_a"] == 0.03
    # National Wiring for trailers asks for none of that kind
    assert fitting_limit("nec_cabins", "inlet_residual_a") is None
    elsewhere = stated(bench, residual_device=False, spec={"rules": "nec_cabins"})
    assert causes(bench, elsewhere) == []


def test_earth_bond_is_asked_aboard_boats(bench):
    cabin = {"vessel.kind": "cabin", "rules": "us_boats"}
    assert causes(bench, stated(bench, earth_bonded=False, spec=cabin)) == []
    assert bench.tested(stated(bench, spec=cabin), "mains_unsafe") == 3


def test_case_conductor_one_size_below_the_dc_conductor(bench):
    evidence = stated(bench)
    sizes = evidence.family.sizes
    dc = max(
        (c.size for c in evidence.circuit.conductors if c.circuit == "loads.inverter"), key=lambda size: size.area_mm2
    )
    at = next(n for n, size in enumerate(sizes) if size.label == dc.label)
    assert causes(bench, stated(bench, case_conductor=sizes[at - 1])) == []
    found = bench.found(stated(bench, case_conductor=sizes[at - 2]), "mains_unsafe")
    finding = next(f for f in found if f.item == "loads.inverter")
    assert (finding.outcome, finding.values["cause"], finding.values["size"]) == ("fires", "case", sizes[at - 1].label)
    assert finding.values["dc_mm2"] == dc.area_mm2


@pytest.mark.parametrize(("fitted", "fires"), [("smallest", False), ("smaller", True)])
def test_case_conductor_beside_the_smallest_dc_conductor_is_no_smaller_itself(bench, fitted, fires):
    evidence = stated(bench)
    smallest = evidence.family.sizes[0]
    size = smallest if fitted == "smallest" else parse_size("0.5 mm2")
    evidence = stated(bench, case_conductor=size)
    thin = tuple(replace(c, size=smallest) for c in evidence.circuit.conductors)
    found = causes(bench, bench.circuit(evidence, conductors=thin))
    assert {cause for _, _, cause in found} == ({"case"} if fires else set())


def test_no_mains_no_inverter_no_question(bench):
    evidence = bench.option("one")
    circuit = evidence.circuit
    dry = bench.circuit(
        evidence,
        loads=tuple(x for x in circuit.loads if x.inverter_id is None),
        sources=tuple(s for s in circuit.sources if s.kind != "shore"),
    )
    assert bench.tested(dry, "mains_unsafe") == 0


# --- 54 --------------------------------------------------------------------------------------------------------------


def test_one_joint_and_an_isolator_pass(bench):
    assert causes(bench, stated(bench), "bonding_wrong") == []
    assert bench.tested(stated(bench), "bonding_wrong") == 2


@pytest.mark.parametrize(("bonds", "fires"), [(0, False), (1, False), (2, True)])
def test_negative_and_earth_meet_in_one_place(bench, bonds, fires):
    found = causes(bench, stated(bench, bonds=bonding(bonds=bonds)), "bonding_wrong")
    assert found == ([("bonding", "fires", "several")] if fires else [])


@pytest.mark.parametrize(("shore_earth", "fires"), [("plain", True), ("isolator", False), ("transformer", False)])
def test_shore_earth_has_something_against_corrosion(bench, shore_earth, fires):
    found = causes(bench, stated(bench, shore_earth=shore_earth), "bonding_wrong")
    assert found == ([("mains", "fires", "shore")] if fires else [])


@pytest.mark.parametrize(("leak_ohm", "fires"), [(10_000.0, False), (9_999.0, True), (0.0, True)])
def test_positive_leaks_into_a_metal_hull(bench, leak_ohm, fires):
    spec = {"vessel.hull": "metal"}
    found = causes(bench, stated(bench, spec=spec, bonds=bonding(positive_to_hull_ohm=leak_ohm)), "bonding_wrong")
    assert found == ([("bonding", "fires", "hull")] if fires else [])
    plastic = stated(bench, bonds=bonding(positive_to_hull_ohm=leak_ohm))
    assert causes(bench, plastic, "bonding_wrong") == []


def test_what_nobody_states_is_one_point_and_boats_alone_are_asked(bench):
    (finding,) = bench.found(bench.option("one"), "bonding_wrong")
    assert (finding.outcome, finding.values["find_out"], finding.values["point_count"]) == (
        "undecided", "bonding_facts", 2,
    )  # fmt: skip
    (metal,) = bench.found(bench.option("one", {"vessel.hull": "metal"}), "bonding_wrong")
    assert (metal.values["find_out"], metal.values["point_count"]) == ("bonding_facts_metal", 3)
    cabin = bench.option("one", {"vessel.kind": "cabin"})
    assert bench.tested(cabin, "bonding_wrong") == 0
    doubled = bench.option("one", {"vessel.kind": "cabin", "bonding": bonding(bonds=2)})
    assert causes(bench, doubled, "bonding_wrong") == [("bonding", "fires", "several")]


def test_no_remedy_cuts_an_earth():
    from proposal.book.sentences.findings import FINDINGS  # noqa: PLC0415 - words of a layer above

    for key, text in FINDINGS.items():
        if key.startswith(("bonding_wrong", "mains_unsafe")):
            assert "cut" not in text.do.lower() or "never cut" in text.do.lower(), key
