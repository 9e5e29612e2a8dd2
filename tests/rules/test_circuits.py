"""Checks 46, 49, 51 and 52: circuits and the start of the engine."""

from dataclasses import replace

import pytest

from proposal.rules.starting import start_verdict
from proposal.spec.vessel import Bonding

# --- 46 --------------------------------------------------------------------------------------------------------------


def test_pump_on_a_lithium_that_can_switch_itself_off(bench):
    none_sure = bench.option("converter", {"OPTION.banks.starter.own_cut_off": True})
    (finding,) = bench.found(none_sure, "always_on_at_risk")
    assert (finding.item, finding.severity) == ("loads.bilge_pump", "danger")
    assert finding.values == {"cause": "cut_off", "bank": "banks.lithium", "better_bank": None}


def test_pump_goes_to_the_starting_battery_where_the_house_can_switch_itself_off(bench):
    assert bench.found(bench.option("converter"), "always_on_at_risk") == []


def test_pump_on_a_bank_that_cannot(bench):
    assert bench.found(bench.option("shared"), "always_on_at_risk") == []
    sure = bench.option("converter", {"OPTION.banks.lithium.own_cut_off": False})
    assert bench.found(sure, "always_on_at_risk") == []
    lead_that_can = bench.option("shared", {"OPTION.banks.lead.own_cut_off": True})
    assert bench.only(lead_that_can, "always_on_at_risk", "loads.bilge_pump").values["better_bank"] is None


def test_pump_reached_only_through_a_contactor_is_at_risk(bench):
    """The lead main is opened in the drawing: what is left comes through the contactor, which may open."""
    evidence = bench.option("shared", {"OPTION.banks.lithium.own_cut_off": False})
    assert bench.found(evidence, "always_on_at_risk") == []
    gone = bench.set_device(evidence, "banks.lead.fuse", kind="contactor")
    finding = bench.only(gone, "always_on_at_risk", "loads.bilge_pump")
    assert finding.values["bank"] is None


def test_pump_behind_the_battery_switch(bench):
    """Named a bilge pump but not connected ahead of the switch: 5 A on the main bus, behind the switch of its bank."""
    spec = {"loads.bilge_pump.serves": "bilge_pump", "loads.bilge_pump.always_on": False}
    (finding,) = bench.found(bench.option("one", spec), "always_on_at_risk")
    assert (finding.item, finding.values) == ("loads.bilge_pump", {"cause": "switched", "better_bank": "banks.lead"})
    assert bench.found(bench.option("one", {"loads.bilge_pump.serves": "bilge_pump"}), "always_on_at_risk") == []
    without = bench.option("one", {**spec, "OPTION.banks.lead.switch": False})
    assert bench.found(without, "always_on_at_risk") == []
    unnamed = bench.option("one", {"loads.bilge_pump.always_on": False})
    assert bench.tested(unnamed, "always_on_at_risk") == 0


def test_pump_without_a_fuse(bench):
    evidence = bench.set_device(bench.option("shared"), "loads.bilge_pump.fuse", guards=())
    (finding,) = bench.found(evidence, "always_on_at_risk")
    assert (finding.values["cause"], finding.values["current_a"]) == ("no_fuse", 5.0)


# --- 49 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("negative", "fires"), [("10 AWG", False), ("12 AWG", True)])
def test_return_as_large_as_the_way_out(bench, negative, fires):
    pins = {"loads.lights.positive": "10 AWG", "loads.lights.negative": negative}
    found = bench.found(bench.option("shared", {"OPTION.pins": pins}), "return_smaller")
    assert [f.item for f in found] == (["loads.lights.negative"] if fires else [])
    for finding in found:
        assert (finding.severity, finding.values["fitted"], finding.values["size"]) == ("danger", "12 AWG", "10 AWG")


def test_banks_without_a_common_negative(bench):
    evidence = bench.option("dedicated")
    kept = tuple(c for c in evidence.circuit.conductors if c.key != "links.vsr.negative")
    (finding,) = bench.found(bench.circuit(evidence, conductors=kept), "return_smaller")
    assert (finding.item, finding.values) == ("banks.starter", {"cause": "no_common_negative"})
    assert bench.found(evidence, "return_smaller") == []


def test_survey_that_found_no_common_negative_is_believed(bench):
    stated = {"bonding": Bonding.model_construct(common_negative=False)}
    (finding,) = bench.found(bench.option("dedicated", stated), "return_smaller")
    assert (finding.item, finding.values) == ("banks.starter", {"cause": "no_common_negative"})
    stated["bonding"] = Bonding.model_construct(common_negative=True)
    assert bench.found(bench.option("dedicated", stated), "return_smaller") == []


def returning(bench, current_a, out_a):
    evidence = bench.option("dedicated")
    flow, key = evidence.design.flow, "links.vsr"
    demands = {
        **flow.demands,
        f"{key}.negative": replace(flow.demands[f"{key}.negative"], current_a=current_a, case="usual"),
        f"{key}.positive": replace(flow.demands[f"{key}.positive"], current_a=out_a),
    }
    return replace(evidence, design=replace(evidence.design, flow=replace(flow, demands=demands)))


def test_shared_negative_carries_what_left_by_another_positive(bench):
    limit_a = bench.option("dedicated").ampacity_a("links.vsr.negative")
    assert bench.found(returning(bench, limit_a, 10.0), "return_smaller") == []
    assert bench.found(returning(bench, limit_a + 0.1, limit_a + 0.1), "return_smaller") == []  # its own current alone
    (finding,) = bench.found(returning(bench, limit_a + 0.1, 10.0), "return_smaller")
    values = finding.values
    assert (finding.item, values["cause"], values["own_a"], values["case"]) == (
        "links.vsr.negative", "shared", 10.0, "usual",
    )  # fmt: skip
    assert values["current_a"] == limit_a + 0.1 > values["limit_a"] == limit_a
    evidence = bench.option("dedicated")
    larger = evidence.circuit.conductor["links.vsr.negative"].size
    mended = next(s for s in evidence.family.sizes if s.label == values["size"])
    assert mended.area_mm2 > larger.area_mm2


# --- 51 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("item", "limit_v"), [("loads.radio", 0.36), ("loads.lights", 1.2)])
@pytest.mark.parametrize("beyond_v", [0.0, 0.001])
def test_three_and_ten_percent_of_12_v(bench, item, limit_v, beyond_v):
    """ABYC E-11: 3 % for what is critical, else 10 %."""
    evidence = bench.option("shared")
    assert evidence.design.drops[item].limit_v == pytest.approx(limit_v)
    found = bench.found(
        bench.drop(evidence, item, drop_v=evidence.design.drops[item].limit_v + beyond_v), "voltage_drop_high"
    )
    assert [f.item for f in found] == ([item] if beyond_v else [])
    for finding in found:
        assert finding.values["drop_share"] == pytest.approx((limit_v + beyond_v) / 12.0)
        assert finding.citation.source == "abyc_e11"
        assert ("3 %" if limit_v < 1 else "10 %") in finding.citation.clause


RADIO = ("loads.radio.positive", "loads.radio.negative")


def thin_radio(bench, size, **spec):
    """The boat as designed for its radio, everything pinned, and then a radio cable of another size or length."""
    rules = {k: v for k, v in spec.items() if k == "rules"}
    pins = bench.pins(bench.option("shared", rules))
    return bench.option("shared", {**spec, "OPTION.pins": {**pins, **dict.fromkeys(RADIO, size)}})


@pytest.mark.parametrize("family", ["us_boats", "nec_cabins"])
def test_size_that_the_finding_names_mends_it_and_the_next_smaller_does_not(bench, family):
    finding = bench.only(thin_radio(bench, "18 AWG", rules=family), "voltage_drop_high", "loads.radio")
    mended = thin_radio(bench, finding.values["size"], rules=family)
    assert bench.found(mended, "voltage_drop_high", "loads.radio") == []
    labels = [s.label for s in mended.family.sizes]
    smaller = thin_radio(bench, labels[labels.index(finding.values["size"]) - 1], rules=family)
    assert bench.found(smaller, "voltage_drop_high", "loads.radio") != []


def test_length_that_the_finding_names_mends_it(bench):
    length_m = bench.only(thin_radio(bench, "18 AWG"), "voltage_drop_high", "loads.radio").values["length_m"]
    assert 0 < length_m < 6
    for share, fires in ((0.999, False), (1.01, True)):
        evidence = thin_radio(bench, "18 AWG", **{"routes.radio.length_m": share * length_m})
        assert bool(bench.found(evidence, "voltage_drop_high", "loads.radio")) is fires


def far_radio(bench, length_m, current_a=20.0, **spec):
    return bench.option("one", {"routes.radio.length_m": length_m, "loads.radio.current_a": current_a, **spec})


def test_where_no_size_will_do_two_side_by_side_or_a_higher_voltage_will(bench):
    """Half of each pole's current in each conductor: the loss of one of double area."""
    finding = bench.only(far_radio(bench, 40.0), "voltage_drop_high", "loads.radio")
    values = finding.values
    assert (values["size"], values["parallel_size"]) == (None, "4/0 AWG")
    count = values["parallel_count"]
    assert count in (2, 3)
    assert values["shared_drop_v"] is None
    # as many side by side are one of that area: half, or a third, of the length in one such conductor
    pins = {"OPTION.pins": {"loads.radio": "4/0 AWG"}}
    enough = far_radio(bench, 40.0 / count, **pins)
    assert bench.found(enough, "voltage_drop_high", "loads.radio") == []
    one_less = far_radio(bench, 40.0 / (count - 1), **pins)
    assert bench.found(one_less, "voltage_drop_high", "loads.radio") != []


@pytest.mark.parametrize(("drop_v", "higher_v"), [(1.44, 24.0), (1.45, 48.0), (5.76, 48.0), (5.77, None)])
def test_system_voltage_at_which_the_same_power_loses_little_enough(bench, drop_v, higher_v):
    """0.36 V are allowed at 12 V. At twice the voltage half is lost, of which a quarter of the share remains."""
    evidence = bench.drop(bench.option("shared"), "loads.radio", drop_v=drop_v)
    assert bench.only(evidence, "voltage_drop_high", "loads.radio").values["higher_v"] == higher_v


def test_what_is_lost_before_its_own_cable_asks_for_a_nearer_bus(bench):
    pins = {
        "OPTION.pins": {"panels.panel.positive": "18 AWG", "panels.panel.negative": "18 AWG"},
        "routes.short.length_m": 60.0,
    }
    finding = bench.only(far_radio(bench, 0.5, **pins), "voltage_drop_high", "loads.radio")
    values = finding.values
    assert values["shared_drop_v"] == pytest.approx(values["drop_v"] - values["own_drop_v"])
    assert values["shared_drop_v"] > values["limit_v"]
    assert (values["size"], values["length_m"], values["parallel_count"]) == (None, None, None)


def test_load_that_finds_no_voltage(bench):
    evidence = bench.solved(bench.option("shared"), "reserve", "collapsed", ("loads.fridge",))
    (finding,) = bench.found(evidence, "voltage_drop_high")
    assert (finding.item, finding.values) == ("loads.fridge", {"cause": "collapse", "case": "reserve"})


def test_converter_that_finds_no_voltage_is_named_by_its_own_key(bench):
    evidence = bench.solved(bench.option("converter"), "charging", "collapsed", ("links.dc_dc.input",))
    (finding,) = bench.found(evidence, "voltage_drop_high")
    assert finding.item == evidence.circuit.converters[0].key == "links.dc_dc"


def test_load_that_nothing_feeds(bench):
    evidence = bench.option("shared")
    volts = {k: v for k, v in evidence.design.flow.solutions["usual"].port_v.items() if k != "loads.radio"}
    flow = evidence.design.flow
    usual = replace(flow.solutions["usual"], port_v=volts)
    drops = {k: d for k, d in evidence.design.drops.items() if k != "loads.radio"}
    design = replace(evidence.design, flow=replace(flow, solutions={**flow.solutions, "usual": usual}), drops=drops)
    (finding,) = bench.found(replace(evidence, design=design), "voltage_drop_high")
    assert (finding.item, finding.values["cause"]) == ("loads.radio", "no_supply")


# --- 52 --------------------------------------------------------------------------------------------------------------


def cranking(bench, volts, minimum_v=None, **spec):
    evidence = bench.option("dedicated", {"engine.minimum_v": minimum_v, **spec})
    return bench.solved(evidence, "cranking", "port_v", {"engine": volts})


@pytest.mark.parametrize(("volts", "outcome"), [(7.99, "fires"), (8.0, "undecided"), (9.49, "undecided"), (9.5, None)])
def test_without_the_makers_figure_8_and_9_5_v_decide(bench, volts, outcome):
    found = bench.found(cranking(bench, volts), "starter_voltage_low")
    assert [f.outcome for f in found] == ([outcome] if outcome else [])
    for finding in found:
        assert finding.item == "engine"
        assert finding.values["voltage_v"] == finding.values["cranking_v"] == volts
        assert finding.values["cranking_joined_v"] > 0
        assert finding.values["cranking_emergency_v"] > 0
        if outcome == "undecided":
            assert finding.values["find_out"] == "minimum_cranking_voltage"
        else:
            assert finding.values["limit_v"] == 8.0
            # what the loop must lose less at 250 A
            assert finding.values["resistance_less_ohm"] == pytest.approx(0.01 / 250)


@pytest.mark.parametrize(
    ("volts", "outcome"), [(8.84, "fires"), (8.86, "undecided"), (9.14, "undecided"), (9.16, None)]
)
def test_with_the_makers_figure_a_margin_of_0_15_v_on_either_side(bench, volts, outcome):
    found = bench.found(cranking(bench, volts, minimum_v=9.0), "starter_voltage_low")
    assert [f.outcome for f in found] == ([outcome] if outcome else [])


def test_assumed_starter_current_decides_nothing(bench):
    (finding,) = bench.found(cranking(bench, 11.0, minimum_v=9.0, **{"engine.starter_a": None}), "starter_voltage_low")
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "starter_current")


def test_starter_that_gets_no_voltage(bench):
    evidence = bench.option("dedicated")
    volts = {k: v for k, v in evidence.design.flow.solutions["cranking"].port_v.items() if k != "engine"}
    flow = evidence.design.flow
    dead = replace(flow, solutions={**flow.solutions, "cranking": replace(flow.solutions["cranking"], port_v=volts)})
    (finding,) = bench.found(replace(evidence, design=replace(evidence.design, flow=dead)), "starter_voltage_low")
    assert (finding.outcome, finding.values["cause"]) == ("fires", "no_supply")


@pytest.mark.parametrize(("volts", "outcome", "limit_v"), [(15.9, "fires", 16.0), (18.9, "undecided", 19.0)])
def test_limits_of_a_24_v_engine(bench, volts, outcome, limit_v):
    finding = bench.only(bench.circuit(cranking(bench, volts), system_v=24.0), "starter_voltage_low", "engine")
    assert (finding.outcome, finding.values["limit_v"]) == (outcome, limit_v)
    assert finding.values["lacking_v"] == pytest.approx(0.1)


@pytest.mark.parametrize("system_v", [12.0, 24.0, 48.0])
def test_thresholds_follow_the_system_voltage(system_v):
    scale = system_v / 12.0
    assert start_verdict(9.5 * scale, None, system_v) == "starts"
    assert start_verdict(8.0 * scale, None, system_v) == "uncertain"
    assert start_verdict(7.99 * scale, None, system_v) == "fails"
    assert start_verdict(None, None, system_v) == "fails"
    assert start_verdict(12.0 * scale, None, system_v, current_known=False) == "unknown"
