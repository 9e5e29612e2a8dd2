"""Checks 17, 20 and 48: cutting off in an emergency, sense leads, and what goes dark."""

from dataclasses import replace

import pytest

from proposal.spec.options import EmergencyOff

CONTACTOR = "banks.lithium.contactor"
LATCHING = {"OPTION.contactor.part": "latching_300", "OPTION.contactor.driven_as": "latching"}


def acting(acts):
    return {"OPTION.emergency_off": EmergencyOff(title="Off", acts=acts)}


# --- 17 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("spec", "cause"),
    [
        (acting("coil"), None),
        (acting("signal"), "signals_only"),
        (acting("hand_switch"), None),
        ({**acting("hand_switch"), "OPTION.banks.lithium.switch": False}, "no_switch"),
        ({**acting("coil"), **LATCHING}, None),
        ({**acting("coil"), **LATCHING, "OPTION.banks.lithium.switch": False}, "stays_closed"),
        ({**acting("coil"), "OPTION.banks.lithium.switch": False}, None),
    ],
)
def test_what_cuts_the_battery_off_whatever_fails(bench, spec, cause):
    found = bench.found(bench.option("shared", spec), "emergency_off_defeated")
    assert [(f.item, f.outcome, f.severity, f.values["cause"]) for f in found] == (
        [(CONTACTOR, "fires", "danger", cause)] if cause else []
    )
    assert all(f.citation.source == "abyc_e13" for f in found)


def test_a_latching_contactor_without_a_switch_is_wrong_whatever_is_told(bench):
    spec = {**LATCHING, "OPTION.banks.lithium.switch": False}
    finding = bench.only(bench.option("shared", spec), "emergency_off_defeated", CONTACTOR)
    assert (finding.outcome, finding.values["cause"]) == ("fires", "stays_closed")


def test_an_emergency_off_of_which_nobody_tells(bench):
    finding = bench.only(bench.option("shared"), "emergency_off_defeated", CONTACTOR)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "emergency_off")
    assert bench.tested(bench.option("one"), "emergency_off_defeated") == 0


def cranking(bench, drop_out_v, share=1.0):
    """Drop-out voltage as a share of what the coil finds while cranking, or as it is."""
    evidence = bench.option("shared", acting("coil"))
    (coil,) = (d.coil for d in evidence.switching.devices if d.key == CONTACTOR)
    return coil, bench.fit(evidence, CONTACTOR, drop_out_v=drop_out_v if drop_out_v is None else coil.least_v * share)


@pytest.mark.parametrize(("share", "fires"), [(0.9999, False), (1.0001, True)])
def test_a_coil_that_lets_go_while_the_engine_cranks(bench, share, fires):
    coil, evidence = cranking(bench, 1.0, share)
    assert coil.least_case == "cranking_joined"
    found = bench.found(evidence, "emergency_off_defeated")
    assert [f.values["cause"] for f in found] == (["drops_out"] if fires else [])
    for finding in found:
        assert finding.values["voltage_v"] == pytest.approx(coil.least_v)


def test_a_latching_coil_does_not_drop_out(bench):
    evidence = bench.option("shared", {**acting("coil"), **LATCHING})
    assert bench.found(bench.fit(evidence, CONTACTOR, drop_out_v=99.0), "emergency_off_defeated") == []


@pytest.mark.parametrize(("least_v", "asked"), [(8.41, False), (8.39, True)])
def test_a_drop_out_that_nobody_states_is_asked_for_below_seven_tenths(bench, least_v, asked):
    """0.7 · 12 V is 8.4 V."""
    _, evidence = cranking(bench, None)
    met = evidence.switching
    devices = tuple(replace(d, coil=replace(d.coil, least_v=least_v)) if d.key == CONTACTOR else d for d in met.devices)
    evidence.__dict__["switching"] = replace(met, devices=devices)
    found = bench.found(evidence, "emergency_off_defeated")
    assert [f.values["find_out"] for f in found] == (["drop_out"] if asked else [])


# --- 20 --------------------------------------------------------------------------------------------------------------

RIGHT = {
    "OPTION.contactor.sense_at": "bank", "OPTION.contactor.sense_fused": True,
    "OPTION.contactor.sense_negative": "own", "OPTION.contactor.tolerance_v": 0.05,
}  # fmt: skip


@pytest.mark.parametrize(
    ("changes", "cause"),
    [({}, None), ({"sense_fused": False}, "unfused"), ({"sense_at": "bus"}, "at_bus"),
     ({"sense_negative": "shared"}, "shared_negative")],
)  # fmt: skip
def test_where_the_controller_of_a_contactor_measures(bench, changes, cause):
    spec = RIGHT | {f"OPTION.contactor.{name}": value for name, value in changes.items()}
    found = bench.found(bench.option("shared", spec), "sense_lead_wrong")
    assert [(f.item, f.outcome, f.values["cause"]) for f in found] == ([(CONTACTOR, "fires", cause)] if cause else [])


@pytest.mark.parametrize("pole", ["positive", "negative"])
@pytest.mark.parametrize(("error_v", "fires"), [(0.0499, False), (0.0501, True)])
def test_what_is_lost_on_the_way_against_the_tolerance(bench, pole, error_v, fires):
    wrong = (
        {"OPTION.contactor.sense_at": "bus"} if pole == "positive" else {"OPTION.contactor.sense_negative": "shared"}
    )
    evidence = bench.option("shared", RIGHT | wrong)
    bank = evidence.bank["banks.lithium"]
    post, bus = evidence.strings(bank)[0], evidence.circuit.bus[bank.bus]
    one, other = (post.positive, bus.positive) if pole == "positive" else (post.negative, bus.negative)
    for case, solution in evidence.design.flow.solutions.items():
        off_v = error_v if case == "usual" else 0.0
        evidence = bench.solved(evidence, case, "voltage_v", {one: solution.voltage_v[other] + off_v})
    found = bench.found(evidence, "sense_lead_wrong")
    assert bool(found) is fires
    for finding in found:
        assert (finding.values["error_v"], finding.values["case"]) == (pytest.approx(error_v), "usual")


def test_sense_leads_of_which_nobody_tells_are_one_question(bench):
    finding = bench.only(bench.option("shared"), "sense_lead_wrong", CONTACTOR)
    assert (finding.outcome, finding.values["find_out"]) == ("undecided", "sense_leads")


@pytest.mark.parametrize(("fused", "outcome"), [(True, None), (False, "fires"), (None, "undecided")])
def test_the_sense_lead_of_a_voltage_sensitive_relay(bench, fused, outcome):
    found = bench.found(bench.option("vented", {"OPTION.vsr.sense_fused": fused}), "sense_lead_wrong")
    assert [(f.item, f.outcome) for f in found] == ([("links.vsr.relay", outcome)] if outcome else [])


# --- 48 --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("warns", "outcome"), [(True, None), (False, "fires"), (None, "undecided")])
def test_lithium_that_takes_all_with_it(bench, warns, outcome):
    """House on lithium alone: its radio, needed for safety, goes dark with it; the bilge pump is on the starter's."""
    found = bench.found(bench.option("converter", {"OPTION.banks.lithium.warns_before": warns}), "cut_off_darkens")
    assert [(f.item, f.outcome) for f in found] == ([("banks.lithium", outcome)] if outcome else [])
    for finding in found:
        assert (finding.values["first_item"], finding.values["dark_count"]) == ("loads.radio", 1)
        assert finding.citation.source == "abyc_e13"


@pytest.mark.parametrize("serves", ["navigation", "radio", "engine_control"])
def test_loads_that_serve_navigation_radio_or_engine_count(bench, serves):
    spec = {"OPTION.banks.lithium.warns_before": False, "loads.radio.critical": False}
    assert bench.found(bench.option("converter", spec), "cut_off_darkens") == []
    (finding,) = bench.found(bench.option("converter", {**spec, "loads.lights.serves": serves}), "cut_off_darkens")
    assert (finding.values["first_item"], finding.values["dark_count"]) == ("loads.lights", 1)


def test_lead_that_goes_on_feeding_them_answers_it(bench):
    spec = {"OPTION.contactor.warns_before": False}
    assert bench.found(bench.option("shared", spec), "cut_off_darkens") == []
    assert bench.tested(bench.option("shared"), "cut_off_darkens") == 1
    assert bench.tested(bench.option("one"), "cut_off_darkens") == 0


def test_a_bank_that_cannot_switch_itself_off_darkens_nothing(bench):
    spec = {"OPTION.banks.lithium.warns_before": False, "OPTION.banks.lithium.own_cut_off": False}
    assert bench.found(bench.option("converter", spec), "cut_off_darkens") == []
