"""Checks 1 to 3: conductors."""

from dataclasses import replace

import pytest

INCH_M = 0.0254  # by definition
SEVEN_IN_M, SEVENTY_TWO_IN_M = 7 * INCH_M, 72 * INCH_M  # 33 CFR 183.455; ABYC E-11 for sheathed battery leads


# --- 1 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("after_m", "fires"), [(SEVEN_IN_M - 1e-4, False), (SEVEN_IN_M + 1e-4, True)])
def test_bare_tail_of_a_battery_may_be_seven_inches(bench, after_m, fires):
    spec = {"routes.lead.sheathed": False, "OPTION.banks.lead.fuse_after_m": after_m}
    found = bench.found(bench.option("dedicated", spec), "positive_unfused")
    assert [f.item for f in found] == (["banks.lead.tail"] if fires else [])
    for finding in found:
        assert (finding.severity, finding.outcome) == ("danger", "fires")
        assert finding.values["limit_m"] == pytest.approx(SEVEN_IN_M)
        assert finding.values["excess_m"] == pytest.approx(1e-4)
        assert finding.values["source"] == "banks.lead"
        assert finding.citation.source == "cfr183"


@pytest.mark.parametrize(("after_m", "fires"), [(1.5287, False), (1.5289, True)])
def test_sheathed_way_from_the_battery_counts_the_links_in_its_box(bench, after_m, fires):
    """0.3 m between batteries + the tail: 72 in from the nearest string, not from its neighbour."""
    spec = {"routes.lead.length_m": 4.0, "OPTION.banks.lead.fuse_after_m": after_m}
    found = bench.found(bench.option("one", spec), "positive_unfused")
    assert [f.item for f in found] == (["banks.lead.tail"] if fires else [])
    for finding in found:
        assert finding.values["distance_m"] == pytest.approx(0.3 + after_m)
        assert finding.values["limit_m"] == pytest.approx(SEVENTY_TWO_IN_M)
        assert finding.values["enclosed"] is True


def test_a_bare_piece_on_the_way_ends_the_sheathed_allowance(bench):
    """The tail is sheathed, but the links before it are made bare bank conductors: the whole way must be enclosed."""
    evidence = bench.option("one", {"routes.lead.length_m": 4.0, "OPTION.banks.lead.fuse_after_m": 1.0})
    assert bench.found(evidence, "positive_unfused") == []
    bare = tuple(
        replace(c, purpose="bank", sheathed=False) if c.purpose == "string" else c for c in evidence.circuit.conductors
    )
    items = [f.item for f in bench.found(bench.circuit(evidence, conductors=bare), "positive_unfused")]
    assert "banks.lead.tail" in items


def test_cranking_conductor_is_exempt_and_the_shared_main_is_not(bench):
    """33 CFR 183.455: circuits that only crank. The starter's 2 m, bare and unfused, are no objection."""
    evidence = bench.option("shared", {"routes.lead.length_m": 3.0, "OPTION.banks.lead.fuse_after_m": 2.5})
    assert evidence.design.feeds["engine.positive"].from_end[0].kind == "battery"
    assert [f.item for f in bench.found(evidence, "positive_unfused")] == ["banks.lead.tail"]
    positives = sum(1 for c in evidence.circuit.conductors if c.pole == "positive")
    assert bench.tested(evidence, "positive_unfused") == positives - 1


def test_family_that_exempts_no_cranking_conductor_asks_for_its_fuse(bench, monkeypatch):
    """The exemption is asked of the family; an invented one that grants none finds the starter's bare 2 m."""
    evidence = bench.option("shared")
    granted = evidence.family.cranking_exempt()
    assert granted.exempt
    before = bench.tested(evidence, "positive_unfused")
    assert bench.found(evidence, "positive_unfused", "engine.positive") == []
    strict = replace(granted, exempt=False)
    monkeypatch.setattr(type(evidence.family), "cranking_exempt", lambda _: strict)
    finding = bench.only(evidence, "positive_unfused", "engine.positive")
    assert finding.values["source"] == "banks.lead"
    assert finding.values["distance_m"] > 2.0 > finding.values["limit_m"]
    assert bench.tested(evidence, "positive_unfused") == before + 1


@pytest.mark.parametrize(("ampacity_a", "fires"), [(80.0, False), (79.9, True)])
def test_conductor_of_a_source_needs_no_fuse_while_it_carries_all_of_it(bench, ampacity_a, fires):
    evidence = bench.option("shared")
    design = evidence.design
    key = "sources.alternator.positive"
    weak = {**design.ampacities, key: replace(design.ampacities[key], ampacity_a=ampacity_a)}
    found = bench.found(replace(evidence, design=replace(design, ampacities=weak)), "positive_unfused")
    assert [f.item for f in found] == ([key] if fires else [])
    for finding in found:
        assert finding.values["source_a"] == 80.0
        assert finding.values["limit_m"] == pytest.approx(SEVEN_IN_M)
        assert finding.values["size"] is not None


# --- 2 ---------------------------------------------------------------------------------------------------------------

TIE = "OPTION.composition.links.tie"


@pytest.mark.parametrize(
    ("fused", "ends"), [("both_ends", []), ("from_end", ["to"]), ("to_end", ["from"]), ("none", ["from", "to"])]
)
def test_link_needs_a_fuse_at_each_end_with_a_battery(bench, fused, ends):
    found = bench.found(bench.option("composed", {f"{TIE}.fused": fused}), "link_fused_one_end")
    assert [(f.item, f.outcome) for f in found] == [("links.tie.positive", "fires")] * len(ends)
    assert [f.values["end"] for f in found] == ends
    for finding in found:
        assert finding.values["largest_a"] > finding.values["smallest_a"] > 0
        assert finding.values["fault_a"] > 1000
        assert finding.values["bus"] == {"from": "buses.start", "to": "buses.main"}[finding.values["end"]]


@pytest.mark.parametrize(("left_m", "fires"), [(SEVEN_IN_M - 1e-3, False), (SEVEN_IN_M + 1e-3, True)])
def test_bank_fuse_within_seven_inches_of_the_link_serves_as_its_fuse(bench, left_m, fires):
    spec = {f"{TIE}.fused": "to_end", "OPTION.banks.starter.fuse_after_m": 1.0 - left_m}
    evidence = bench.option("composed", spec)
    assert [f.values["end"] for f in bench.found(evidence, "link_fused_one_end")] == (["from"] if fires else [])


def test_bank_fuse_beside_the_link_serves_only_if_small_enough(bench):
    spec = {f"{TIE}.fused": "to_end", "OPTION.banks.starter.fuse_after_m": 0.9}
    evidence = bench.option("composed", spec)
    largest_a = evidence.largest_fuse_a("links.tie.positive")
    assert bench.found(bench.fit(evidence, "banks.starter.fuse", rating_a=largest_a), "link_fused_one_end") == []
    (finding,) = bench.found(bench.fit(evidence, "banks.starter.fuse", rating_a=largest_a + 1), "link_fused_one_end")
    assert finding.values["end"] == "from"


def test_input_of_a_converter_is_fed_from_one_end_only(bench):
    evidence = bench.option("converter")
    assert bench.tested(evidence, "link_fused_one_end") == 1
    assert bench.found(evidence, "link_fused_one_end") == []


# --- 3 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("share", "fires"), [(1.0, False), (1.001, True)])
def test_current_above_ampacity(bench, share, fires):
    evidence = bench.option("shared")
    key, design = "loads.lights.negative", evidence.design
    ampacity_a = design.ampacities[key].ampacity_a
    demand = replace(design.flow.demands[key], current_a=share * ampacity_a)
    flow = replace(design.flow, demands={**design.flow.demands, key: demand})
    found = bench.found(replace(evidence, design=replace(design, flow=flow)), "conductor_overloaded")
    assert [(f.item, f.values["cause"]) for f in found] == ([(key, "current")] if fires else [])
    if fires:
        sizes = [size.label for size in evidence.family.sizes]
        fitted = evidence.circuit.conductor[key].size.label
        assert sizes.index(found[0].values["size"]) == sizes.index(fitted) + 1


@pytest.mark.parametrize(("rating_a", "fires"), [(90.0, False), (91.0, True)])
def test_own_fuse_of_10_awg_at_105_degrees_is_at_most_90_a(bench, rating_a, fires):
    """33 CFR 183.425 Table 5: 60 A; 183.455(c): 150 %. Remedy: 8 AWG carries 80 A, so 120 A."""
    pins = {"loads.radio": "10 AWG"}
    evidence = bench.fit(bench.option("shared", {"OPTION.pins": pins}), "loads.radio.fuse", rating_a=rating_a)
    found = bench.found(evidence, "conductor_overloaded")
    assert [(f.item, f.values["cause"]) for f in found] == ([("loads.radio.fuse", "own_fuse")] if fires else [])
    for finding in found:
        assert finding.values["limit_a"] == pytest.approx(90.0)
        assert finding.values["size"] == "8 AWG"
        assert finding.citation.clause.startswith("183.455(c)")


def test_fuses_of_others_together_may_overload_a_link_without_its_own(bench):
    spec = {f"{TIE}.fused": "none", "OPTION.pins": {"links.tie": "8 AWG"}}
    evidence = bench.option("composed", spec)
    found = bench.found(evidence, "conductor_overloaded", "links.tie.positive")
    ends = {f.values["end"]: f for f in found if f.values["cause"] == "fuses_together"}
    feeds = evidence.design.feeds["links.tie.positive"]
    assert ends
    for end, finding in ends.items():
        fed = feeds.from_end if end == "from" else feeds.to_end
        ratings = [f.limited_a or evidence.circuit.device[f.key].part.rating_a for f in fed]
        assert finding.values["current_a"] == pytest.approx(sum(ratings))
        assert finding.values["limit_a"] == pytest.approx(1.5 * 68.0)  # 8 AWG, 105 °C: 80 A · 0.85 in an engine space
        assert evidence.family.sizes[-1].label != "8 AWG"
        assert finding.values["size"] not in (None, "8 AWG")


def test_fuses_together_at_the_limit_pass(bench):
    spec = {f"{TIE}.fused": "none", "OPTION.pins": {"links.tie": "2/0 AWG"}}
    evidence = bench.option("composed", spec)
    key = "links.tie.positive"
    largest_a = evidence.largest_fuse_a(key)
    others_a = sum(f.limited_a or 0.0 for f in evidence.design.feeds[key].to_end)
    main = "banks.house.fuse"
    at_limit = bench.fit(evidence, main, rating_a=largest_a - others_a)
    assert bench.found(at_limit, "conductor_overloaded", key) == []
    (finding,) = bench.found(bench.fit(evidence, main, rating_a=largest_a - others_a + 1), "conductor_overloaded", key)
    assert (finding.values["cause"], finding.values["end"]) == ("fuses_together", "to")
