"""Checks 11, 12, 14, 15 and 19: relays, contactors and the switches of banks."""

from dataclasses import replace

import pytest

from proposal.studies.network.case import Case
from proposal.studies.network.solve import solve_quickly

CONTACTOR, RELAY = "banks.lithium.contactor", "links.vsr.relay"


# --- 11 --------------------------------------------------------------------------------------------------------------


def joining(bench, option, relay, situation, **relay_ratings):
    """14.4 V and 11.8 V joined over 11 mΩ: 236 A. Worked by hand: 2.6 / 0.011."""
    evidence = bench.fit_all_fuses(bench.option(option), rating_a=1000.0)
    if relay_ratings:
        evidence = bench.fit(evidence, relay, **relay_ratings)
    (join,) = (j for j in evidence.joins if (j.relay, j.situation) == (relay, situation))
    worked = {"difference_v": 14.4 - 11.8, "resistance_ohm": 0.011, "current_a": 2.6 / 0.011, "ruled_by": "free"}
    return replace(evidence, joins=(replace(join, **worked),))


@pytest.mark.parametrize(("make_a", "fires"), [(236.4, False), (236.3, True)])
def test_first_current_against_the_make_rating(bench, make_a, fires):
    found = bench.found(joining(bench, "shared", CONTACTOR, "far_empty", make_a=make_a), "equalising_current_high")
    assert [f.item for f in found] == ([CONTACTOR] if fires else [])
    for finding in found:
        values = finding.values
        assert (finding.severity, values["limited_by"], values["limited_item"]) == ("fault", "relay_make", CONTACTOR)
        assert values["current_a"] == pytest.approx(236.36, abs=0.01)
        # the remedies, put back into Ohm's law, give the limit
        assert values["difference_v"] / values["resistance_needed_ohm"] == pytest.approx(make_a)
        assert values["difference_allowed_v"] / values["resistance_ohm"] == pytest.approx(make_a)
        assert values["resistance_more_ohm"] == pytest.approx(values["resistance_needed_ohm"] - 0.011)


def test_unknown_make_rating_is_undecided_unless_something_else_is_too_small(bench):
    evidence = joining(bench, "shared", CONTACTOR, "far_empty", make_a=None)
    finding = bench.only(evidence, "equalising_current_high", CONTACTOR)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "relay_make_rating")
    fused = bench.fit(evidence, "banks.lead.fuse", rating_a=150.0)
    finding = bench.only(fused, "equalising_current_high", CONTACTOR)
    assert (finding.outcome, finding.values["limited_by"]) == ("fires", "fuse")


@pytest.mark.parametrize(("rating_a", "fires"), [(236.37 / 1.5, False), (236.36 / 1.5, True)])
def test_first_current_against_a_fuse_in_its_way(bench, rating_a, fires):
    """It falls, and is held at one and a half times the rating meanwhile."""
    evidence = bench.fit(joining(bench, "shared", CONTACTOR, "far_empty"), "banks.lithium.fuse", rating_a=rating_a)
    found = bench.found(evidence, "equalising_current_high")
    assert [f.values["limited_item"] for f in found] == (["banks.lithium.fuse"] if fires else [])


@pytest.mark.parametrize(("charge_max_a", "fires"), [(118.5, False), (118.0, True)])
def test_two_lithium_strings_share_what_they_take(bench, charge_max_a, fires):
    """236.4 A over two equal strings, 118.2 A each."""
    evidence = joining(bench, "shared", CONTACTOR, "near_empty")
    batteries = tuple(
        replace(b, part=b.part.model_copy(update={"charge_max_a": charge_max_a})) if b.bank == "banks.lithium" else b
        for b in evidence.circuit.batteries
    )
    found = bench.found(bench.circuit(evidence, batteries=batteries), "equalising_current_high")
    assert [f.values["limited_by"] for f in found] == (["lithium_charge"] if fires else [])


def test_unknown_charge_limit_is_undecided(bench):
    evidence = joining(bench, "shared", CONTACTOR, "near_empty")
    batteries = tuple(
        replace(b, part=b.part.model_copy(update={"charge_max_a": None})) for b in evidence.circuit.batteries
    )
    finding = bench.only(bench.circuit(evidence, batteries=batteries), "equalising_current_high", CONTACTOR)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "lithium_charge_limit")


@pytest.mark.parametrize(
    ("peak_s", "limit"), [(-0.01, "lithium_discharge"), (0.01, "lithium_peak"), (None, "lithium_peak")]
)
def test_a_peak_counts_only_while_it_is_allowed(bench, peak_s, limit):
    """A peak that is allowed for less than the current lasts leaves what the battery gives for hours."""
    evidence = joining(bench, "shared", CONTACTOR, "far_empty")
    allowed_s = None if peak_s is None else evidence.joins[0].lasts_s + peak_s
    ratings = {"peak_a": 100.0, "peak_s": allowed_s, "discharge_max_a": 100.0}
    batteries = tuple(
        replace(b, part=b.part.model_copy(update=ratings)) if b.bank == "banks.lithium" else b
        for b in evidence.circuit.batteries
    )
    finding = bench.only(bench.circuit(evidence, batteries=batteries), "equalising_current_high", CONTACTOR)
    assert finding.values["limited_by"] == limit


def test_the_difference_that_is_allowed_set_at_the_controller_mends_it(bench):
    """Contactors that make 100 A only; the controller may misread by 0.1 V, as nobody says otherwise."""
    weak = {f"{part}.make_a": 100.0 for part in ("contactor_150", "contactor_300")}
    finding = bench.only(bench.option("shared", {}, weak), "equalising_current_high", CONTACTOR)
    assert (finding.values["situation"], finding.values["limited_by"]) == ("far_empty", "relay_make")
    allowed_v = finding.values["difference_allowed_v"] - 0.1
    for off_v, fires in ((-0.01, False), (0.5, True)):
        spec = {"OPTION.contactor.lithium_above_v": allowed_v + off_v}
        assert bool(bench.found(bench.option("shared", spec, weak), "equalising_current_high")) is fires


def test_what_cannot_happen_is_not_tested(bench):
    evidence = bench.option("dedicated")
    never = [j for j in evidence.joins if not j.occurs]
    assert [(j.relay, j.situation, j.ruled_by) for j in never] == [(RELAY, "near_empty", "not_sensed")]
    assert bench.tested(evidence, "equalising_current_high") == len(evidence.joins) - 1


def test_the_design_bears_what_it_joins(bench):
    """Worked by hand from the joins themselves: the fuses' ratings and the relays' make ratings are not below them."""
    for option in ("shared", "dedicated"):
        evidence = bench.option(option)
        for join in evidence.joins:
            for device in evidence.circuit.devices:
                bears_a = {"fuse": "rating_a", "contactor": "make_a", "vsr": "make_a"}.get(device.kind)
                holds = 1.5 if device.kind == "fuse" and join.lasts_s is not None else 1.0
                if bears_a is not None:
                    assert getattr(device.part, bears_a) * holds >= join.through_a(device.key)
        assert bench.found(evidence, "equalising_current_high") == []


# --- 12 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("case", ["charging", "charging_full_lead"])
@pytest.mark.parametrize("item", [CONTACTOR, RELAY, "banks.starter.switch"])
@pytest.mark.parametrize(("current_a", "fires"), [(150.0, False), (-150.0, False), (150.1, True), (-150.1, True)])
def test_charging_current_through_a_relay_or_switch(bench, case, item, current_a, fires):
    evidence = bench.fit(bench.option("dedicated"), item, rating_a=150.0)
    evidence = bench.solved(evidence, case, "current_a", {item: current_a})
    found = bench.found(evidence, "relay_overloaded_by_charging")
    assert [f.item for f in found] == ([item] if fires else [])
    for finding in found:
        assert (finding.values["current_a"], finding.values["limit_a"]) == (pytest.approx(150.1), 150.0)
        assert finding.values["case"] == case


def test_relay_without_a_part_is_undecided_and_an_open_switch_not_tested(bench):
    evidence = bench.fit_part(bench.option("dedicated"), RELAY, None)
    finding = bench.only(evidence, "relay_overloaded_by_charging", RELAY)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "part")
    closed = [d for d in evidence.circuit.devices if d.kind in ("switch", "contactor", "vsr")]
    assert "links.vsr.emergency" in {d.key for d in closed}
    assert bench.tested(evidence, "relay_overloaded_by_charging") == len(closed) - 1


# --- 14 --------------------------------------------------------------------------------------------------------------

# Full and rested: 12.65 V flooded (BCI table); 4 × 3.334 V lithium, top of the published model curve (99 %)
FLOODED_V, LITHIUM_V = 12.65, 4 * 3.334
TOLERANCE_V = 0.05 + 0.05
"""Of the relay, as it is set below, and of what it senses (common practice)."""


def thresholds(bench, option, **settings):
    volts = {"joins_v": 13.8, "releases_v": 12.8, "tolerance_v": 0.05, **settings}
    return bench.option(option, {f"OPTION.vsr.{name}": value for name, value in volts.items()})


@pytest.mark.parametrize(
    ("releases_v", "fires"), [(LITHIUM_V + TOLERANCE_V + 0.001, False), (LITHIUM_V + TOLERANCE_V - 0.001, True)]
)
def test_resting_lithium_holds_a_relay_whose_release_lies_below_it(bench, releases_v, fires):
    found = bench.found(thresholds(bench, "dedicated", releases_v=releases_v), "relay_thresholds_fooled")
    assert [(f.item, f.outcome) for f in found] == ([(RELAY, "fires")] if fires else [])
    for finding in found:
        values = finding.values
        assert (values["effect"], values["bank"]) == ("stays_joined", "banks.lithium")
        assert values["rest_v"] == pytest.approx(LITHIUM_V)
        assert values["releases_above_v"] == pytest.approx(LITHIUM_V + TOLERANCE_V)


def test_remedy_for_a_held_relay_mends_it(bench):
    finding = bench.only(thresholds(bench, "dedicated"), "relay_thresholds_fooled", RELAY)
    assert finding.values["parts_at_share"] < 0.15  # on the flat curve 12.7 V is a nearly empty bank
    mended = {"releases_v": finding.values["releases_above_v"], "joins_v": finding.values["joins_above_v"] + 0.001}
    assert bench.found(thresholds(bench, "dedicated", **mended), "relay_thresholds_fooled") == []


@pytest.mark.parametrize("senses", ["start", "house"])
def test_the_load_that_parts_them_brings_what_is_sensed_down_to_the_release(bench, senses):
    """Put back as a load beyond the relay, with full and rested banks: Ohm's law and Kirchhoff's, solved apart."""
    evidence = thresholds(bench, "dedicated", senses=senses)
    load_a = bench.only(evidence, "relay_thresholds_fooled", RELAY).values["parts_at_a"]
    circuit, relay = evidence.circuit, evidence.circuit.device[RELAY]
    probe = replace(
        circuit.loads[0], key="loads.probe", positive=relay.to_node, negative=circuit.node[relay.to_node].mate
    )
    loaded = replace(circuit, loads=(probe,), memo={})
    volts = solve_quickly(loaded, Case("probe", "20", 0.99, (("loads.probe", load_a),)), evidence.family).voltage_v
    node = relay.from_node if senses == "start" else relay.to_node
    assert volts[node] - volts[circuit.node[node].mate] == pytest.approx(12.8 - TOLERANCE_V, abs=2e-4)


def test_whether_the_usual_load_parts_them(bench):
    evidence = thresholds(bench, "dedicated")
    bus = evidence.circuit.bus["buses.main"]
    for volts, parts in ((12.71, False), (12.69, True)):
        heavy = bench.solved(evidence, "usual", "voltage_v", {bus.positive: volts + 0.3, bus.negative: 0.3})
        values = bench.only(heavy, "relay_thresholds_fooled", RELAY).values
        assert values["usual_v"] == pytest.approx(volts)
        assert values["usual_load_parts"] is parts


@pytest.mark.parametrize(
    ("releases_v", "fires"), [(FLOODED_V + TOLERANCE_V + 0.001, False), (FLOODED_V + TOLERANCE_V - 0.001, True)]
)
def test_flooded_bank_that_rests_below_the_release_parts_at_once(bench, releases_v, fires):
    found = bench.found(thresholds(bench, "vented", releases_v=releases_v), "relay_thresholds_fooled")
    assert [f.outcome for f in found] == (["fires"] if fires else [])
    for finding in found:
        assert finding.values["rest_v"] == pytest.approx(FLOODED_V)
        assert finding.values["parts_at_share"] > 0.98


def test_resting_voltage_from_memory_is_undecided(bench):
    """AGM: 12.85 V by a typical vendor curve only."""
    spec = {"OPTION.banks.house.battery": "agm_110"}
    evidence = bench.option("vented", spec)
    finding = bench.only(evidence, "relay_thresholds_fooled", RELAY)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "resting_voltage")
    assert finding.citation.status == "from memory"


def test_thresholds_that_nobody_states_are_undecided(bench):
    evidence = bench.option("vented", {"OPTION.vsr.part": "vsr_plain"})
    finding = bench.only(evidence, "relay_thresholds_fooled", RELAY)
    assert (finding.outcome, finding.values) == ("undecided", {"find_out": "relay_thresholds"})


def test_thresholds_of_a_part_that_was_chosen_count_before_assumed_ones(bench):
    evidence = bench.option("vented", {"OPTION.vsr.part": None})
    assert evidence.circuit.device[RELAY].part_id == "vsr_200"
    assert bench.found(evidence, "relay_thresholds_fooled") == []  # 12.8 − 0.1 V: 12.8 and 0.05 as the part states


@pytest.mark.parametrize(("joins_v", "fires"), [(14.1, False), (14.11, True)])
def test_relay_that_no_charge_voltage_reaches(bench, joins_v, fires):
    """Sources are set to 14.2 V; the relay may join as late as 0.1 V above its setting."""
    found = bench.found(thresholds(bench, "vented", joins_v=joins_v), "relay_thresholds_fooled")
    assert [f.values["effect"] for f in found] == (["never_joins"] if fires else [])
    for finding in found:
        assert finding.values["joins_below_v"] == pytest.approx(14.1)


@pytest.mark.parametrize(("joins_v", "fires"), [(12.91, False), (12.89, True)])
def test_relay_whose_thresholds_overlap(bench, joins_v, fires):
    found = bench.found(thresholds(bench, "vented", joins_v=joins_v), "relay_thresholds_fooled")
    assert [f.values["effect"] for f in found] == (["chatters"] if fires else [])


@pytest.mark.parametrize(
    ("senses", "effect"), [("start", "stays_joined"), ("house", "joins_at_rest"), ("both", "joins_at_rest")]
)
def test_resting_lithium_joins_a_relay_that_senses_its_side(bench, senses, effect):
    evidence = bench.option("dedicated", {"OPTION.vsr.senses": senses, "OPTION.vsr.joins_v": 13.3})
    assert bench.only(evidence, "relay_thresholds_fooled", RELAY).values["effect"] == effect


# --- 15 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("driven_as", "part", "fires"),
    [("held", "contactor_300", False), ("held", "latching_300", True), ("latching", "contactor_300", True),
     ("latching", "latching_300", False)],
)  # fmt: skip
def test_coil_driven_as_another_kind(bench, driven_as, part, fires):
    spec = {"OPTION.contactor.driven_as": driven_as, "OPTION.contactor.part": part}
    found = bench.found(bench.option("shared", spec), "coil_driven_wrong")
    assert [(f.item, f.values["cause"]) for f in found] == ([(CONTACTOR, "kind")] if fires else [])
    for finding in found:
        assert finding.values["driven_as"] == driven_as != finding.values["fitted"]


@pytest.mark.parametrize("item", [CONTACTOR, RELAY])
def test_coil_of_another_voltage(bench, item):
    evidence = bench.fit(bench.option("dedicated"), item, coil_v=24.0)
    finding = bench.only(evidence, "coil_driven_wrong", item)
    assert (finding.outcome, finding.values["coil_v"], finding.values["system_v"]) == ("fires", 24.0, 12.0)


@pytest.mark.parametrize("item", [CONTACTOR, RELAY])
def test_unknown_coil_or_relay_is_undecided(bench, item):
    evidence = bench.option("dedicated")
    assert (
        bench.only(bench.fit(evidence, item, coil_v=None), "coil_driven_wrong", item).values["find_out"]
        == "coil_voltage"
    )
    assert bench.only(bench.fit_part(evidence, item, None), "coil_driven_wrong", item).values["find_out"] == "part"


def test_contactor_that_nobody_says_how_to_drive_is_undecided(bench):
    evidence = bench.set_device(bench.option("shared"), CONTACTOR, driven_as=None)
    finding = bench.only(evidence, "coil_driven_wrong", CONTACTOR)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "coil_drive")


# --- 19 --------------------------------------------------------------------------------------------------------------


def test_bank_without_a_switch(bench):
    evidence = bench.option("shared", {"OPTION.banks.lithium.switch": False})
    (finding,) = bench.found(evidence, "bank_without_switch")
    assert (finding.item, finding.severity, finding.values["capacity_ah"]) == ("banks.lithium", "fault", 460.0)
    assert finding.values["wanted_a"] > 0
    assert bench.tested(evidence, "bank_without_switch") == 2
    assert bench.found(bench.option("shared"), "bank_without_switch") == []


def past_the_switch(bench, option, far):
    """A conductor from the posts of the lead bank to another node of the positive pole."""
    evidence = bench.option(option)
    circuit = evidence.circuit
    post = next(b.positive for b in circuit.batteries if b.bank == "banks.lead")
    way = next(c for c in circuit.conductors if c.pole == "positive")
    made = replace(way, key="links.past.positive", from_node=post, to_node=far(circuit))
    return bench.circuit(evidence, conductors=(*circuit.conductors, made))


@pytest.mark.parametrize(
    ("far", "item"),
    [(lambda c: c.sources[0].positive, "loads.fridge"), (lambda c: c.starter.positive, "engine"),
     (lambda c: next(b.positive for b in c.batteries if b.bank == "banks.lithium"), "banks.lithium")],
)  # fmt: skip
def test_what_goes_past_the_switch_of_a_bank(bench, far, item):
    """Past the solar controller's lead it is the whole bus, its first load the refrigerator."""
    found = bench.found(past_the_switch(bench, "shared", far), "bank_without_switch", "banks.lead")
    assert [(f.values["cause"], f.values["first_item"]) for f in found] == [("bypassed", item)]


def test_what_must_stay_on_may_go_past_the_switch(bench):
    """The bilge pump hangs on the lead's posts, ahead of its switch, as it should."""
    evidence = past_the_switch(bench, "shared", lambda circuit: circuit.load["loads.bilge_pump"].positive)
    assert bench.found(evidence, "bank_without_switch") == []
