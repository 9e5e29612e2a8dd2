"""Checks 4 to 6: devices."""

from dataclasses import replace

import pytest

from proposal.studies.faults.result import Faults


def with_faults(evidence, current_a):
    """The same prospective fault current everywhere, from batteries whose makers state theirs."""
    faults = Faults(
        {key: replace(f, current_a=current_a, feeds=()) for key, f in evidence.design.faults.by_node.items()}
    )
    return replace(evidence, design=replace(evidence.design, faults=faults))


# --- 4 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("share", "fires"), [(1.0, False), (0.9999, True)])
def test_fuse_must_break_the_larger_fault_of_its_two_ends(bench, share, fires):
    evidence = bench.option("shared")
    fuse, faults = evidence.circuit.device["loads.radio.fuse"], evidence.design.faults
    fault_a = max(faults.at(fuse.from_node), faults.at(fuse.to_node))
    assert faults.at(fuse.from_node) != faults.at(fuse.to_node)
    found = bench.found(bench.fit(evidence, fuse.key, interrupt_a=share * fault_a), "breaking_capacity_low")
    assert [(f.item, f.values["cause"], f.severity) for f in found] == (
        [(fuse.key, "fault", "danger")] if fires else []
    )
    for finding in found:
        assert finding.values["needed_a"] == fault_a
        assert finding.citation.source == "abyc_e11"


@pytest.mark.parametrize(
    ("interrupt_a", "passes"), [(1000, False), (2000, False), (2999, False), (3000, True), (6000, True), (20000, True)]
)
def test_main_of_a_flooded_bank_of_800_cca_needs_3000_a(bench, interrupt_a, passes):
    """ABYC E-11, older Table V-A: 651 to 1100 CCA, main 3000 A, branch 1500 A; blade, strip, limiter, class T."""
    evidence = bench.fit(with_faults(bench.option("vented"), 500.0), "banks.starter.fuse", interrupt_a=interrupt_a)
    found = bench.found(evidence, "breaking_capacity_low")
    assert [(f.item, f.values["cause"]) for f in found] == ([] if passes else [("banks.starter.fuse", "table")])
    for finding in found:
        assert (finding.values["needed_a"], finding.values["cranking_a"]) == (3000.0, 800.0)
        assert "Table V-A" in finding.citation.clause


@pytest.mark.parametrize(("system_v", "fires"), [(12.0, True), (24.0, True), (48.0, False)])
def test_the_table_of_cranking_ratings_ends_at_24_v(bench, system_v, fires):
    weak = bench.fit(with_faults(bench.option("vented"), 500.0), "banks.starter.fuse", interrupt_a=1000)
    found = bench.found(bench.circuit(weak, system_v=system_v), "breaking_capacity_low", "banks.starter.fuse")
    assert [f.values["cause"] for f in found] == (["table"] if fires else [])


@pytest.mark.parametrize(("interrupt_a", "passes"), [(1499, False), (1500, True)])
def test_branch_of_a_flooded_bank_of_800_cca_needs_1500_a(bench, interrupt_a, passes):
    evidence = bench.fit(with_faults(bench.option("vented"), 500.0), "loads.lights.fuse", interrupt_a=interrupt_a)
    assert [f.item for f in bench.found(evidence, "breaking_capacity_low")] == ([] if passes else ["loads.lights.fuse"])


def test_table_by_cranking_rating_is_for_flooded_banks_alone(bench):
    evidence = bench.fit(with_faults(bench.option("shared"), 500.0), "banks.lead.fuse", interrupt_a=600)
    assert bench.found(evidence, "breaking_capacity_low") == []


def test_assumed_battery_decides_neither_way_alone(bench):
    """The starter battery's maker states nothing: known part decides to fire, twice the assumed part to pass."""
    evidence = bench.option("vented")
    key = "banks.starter.fuse"
    fuse, faults = evidence.circuit.device[key], evidence.design.faults
    node = max((fuse.from_node, fuse.to_node), key=faults.at)
    total_a = faults.at(node)
    assumed_a = dict(faults.by_node[node].feeds)["banks.starter.s1"]
    assert 0 < assumed_a < total_a

    def outcome(interrupt_a):
        found = bench.found(bench.fit(evidence, key, interrupt_a=interrupt_a), "breaking_capacity_low", key)
        return [(f.outcome, f.values.get("find_out"), f.values["cause"]) for f in found]

    assert outcome(total_a - assumed_a - 1) == [("fires", None, "fault")]
    assert outcome(total_a - assumed_a + 1) == [("undecided", "short_circuit_current", "fault")]
    assert outcome(total_a + 0.999 * assumed_a) == [("undecided", "short_circuit_current", "fault")]
    assert outcome(total_a + 1.001 * assumed_a) == []
    finding = bench.only(bench.fit(evidence, key, interrupt_a=total_a), "breaking_capacity_low", key)
    assert finding.values["bank"] == "banks.starter"


def test_fuse_that_was_not_found_is_named_with_what_it_must_be(bench):
    evidence = bench.set_device(bench.option("shared"), "loads.windlass.fuse", part=None, part_id=None)
    (finding,) = bench.found(evidence, "breaking_capacity_low")
    window = evidence.design.windows["loads.windlass.fuse"]
    assert (finding.outcome, finding.values["cause"]) == ("fires", "no_part")
    assert finding.values["smallest_a"] == window.smallest_a >= 1.25 * 90
    assert finding.values["needed_a"] > 1000
    assert finding.values["highest_v"] == 15.5
    assert bench.found(evidence, "device_voltage_low") == []


# --- 5 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("capacity_ah", "fires"), [(500 / 3, False), (166.7, True)])
def test_parallel_bank_above_500_ah_has_a_device_per_battery(bench, capacity_ah, fires):
    """ABYC E-11 of July 2025, 11.10.1.4.1."""
    evidence = bench.option(
        "vented", {"OPTION.banks.house.fuse_per_battery": False}, {"flooded_180.capacity_ah": capacity_ah}
    )
    found = bench.found(evidence, "battery_without_device")
    assert [f.item for f in found] == (["banks.house"] if fires else [])
    for finding in found:
        assert finding.values["battery_count"] == finding.values["without_count"] == 3
        assert finding.values["limit_ah"] == 500.0
        assert finding.values["capacity_ah"] == pytest.approx(500.1)


def test_device_per_battery_answers_it(bench):
    evidence = bench.option("vented", {"OPTION.banks.house.fuse_per_battery": True})
    assert evidence.capacity_ah(evidence.bank["banks.house"]) == 540.0
    assert bench.found(evidence, "battery_without_device") == []
    assert bench.tested(evidence, "battery_without_device") == 1


def test_one_battery_without_its_device_is_enough(bench):
    evidence = bench.option("vented", {"OPTION.banks.house.fuse_per_battery": True})
    gone = bench.set_device(evidence, "banks.house.s2.fuse", kind="switch")
    assert bench.only(gone, "battery_without_device", "banks.house").values["without_count"] == 1


def test_family_without_such_a_rule_tests_nothing(bench):
    evidence = bench.option("vented", {"OPTION.banks.house.fuse_per_battery": False, "rules": "nec_cabins"})
    assert bench.tested(evidence, "battery_without_device") == 0


# --- 6 ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("item", ["loads.radio.fuse", "banks.lead.switch", "banks.lithium.contactor", "buses.main"])
@pytest.mark.parametrize(("rated_v", "fires"), [(15.5, False), (15.4, True)])
def test_devices_bear_the_highest_voltage_and_not_the_nominal_one(bench, item, rated_v, fires):
    """ISO 10133: a 12 V system reaches 15.5 V."""
    evidence = bench.fit(bench.option("shared"), item, voltage_max_v=rated_v)
    found = bench.found(evidence, "device_voltage_low")
    assert [(f.item, f.values["cause"]) for f in found] == ([(item, "rating")] if fires else [])
    for finding in found:
        assert finding.values == {"cause": "rating", "rating_v": rated_v, "highest_v": 15.5}


@pytest.mark.parametrize("item", ["banks.lithium.contactor", "links.vsr.relay", "buses.start"])
def test_device_that_was_not_found_is_undecided(bench, item):
    evidence = bench.fit_part(bench.option("dedicated"), item, None)
    finding = bench.only(evidence, "device_voltage_low", item)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "part")


@pytest.mark.parametrize(
    ("item", "fires"),
    [
        ("sources.shore.fuse", True),
        ("banks.lead.fuse", True),
        ("loads.lights.fuse", False),
        ("panels.panel.fuse", False),
    ],
)
def test_polarised_breaker_where_current_can_come_from_both_sides(bench, item, fires):
    evidence = bench.fit(bench.option("shared"), item, polarised=True)
    found = bench.found(evidence, "device_voltage_low")
    assert [(f.item, f.values["cause"]) for f in found] == ([(item, "polarised")] if fires else [])
